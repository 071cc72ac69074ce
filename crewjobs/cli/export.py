"""`crewjobs export jobs|hours|material`: a table for a spreadsheet, as CSV."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit
from crewjobs.domain.wording import counted

if TYPE_CHECKING:
    from crewjobs.services.spreadsheets.export_rows import ExportTable

CHOICES = ("jobs", "hours", "material")


def arguments(command: ArgumentParser) -> None:
    """Declare what, of which days, and where it goes."""
    command.add_argument("what", choices=CHOICES, metavar="TABLE", help=f"which table: {', '.join(CHOICES)}")
    command.add_argument("--out", type=Path, metavar="FILE", help="write to this file (default: print)")
    command.add_argument("--from", dest="since", default="", metavar="DATE", help="from this day on")
    command.add_argument("--to", dest="until", default="", metavar="DATE", help="up to this day")
    command.add_argument(
        "--bom",
        action="store_true",
        help="begin with a byte order mark, by which some spreadsheets see that the text is UTF-8",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print or write the table; an existing file is left alone."""
    office = open_office(args)
    if args.out is not None:
        rows = office.export_file(args.what, args.out, since=args.since, until=args.until, bom=args.bom)
        said = f"Wrote {args.out}: {counted(rows, 'row', 'rows')}."
        return emit(args, {"what": args.what, "file": args.out, "rows": rows}, lambda: said)
    table = office.export(args.what, since=args.since, until=args.until)
    return emit(args, table, lambda: _csv(args, table))


def _csv(args: Namespace, table: ExportTable) -> str:
    """Return the table as CSV, and have standard output take it as it is: UTF-8, each line's end as written."""
    from crewjobs.files.csv_text import write_csv

    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(encoding="utf-8", newline="")
    return write_csv(table.columns, table.rows, bom=args.bom)
