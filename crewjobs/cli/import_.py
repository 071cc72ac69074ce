"""`crewjobs import FILE`: a plain list of jobs and customers, shown as it would come in; with --keep it does."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said, table, wrap

if TYPE_CHECKING:
    from crewjobs.services.spreadsheets.import_rows import ImportView

MOST_ROWS = 40
"""Rows that are shown as text; --json gives all."""


def arguments(command: ArgumentParser) -> None:
    """Declare the list and how it is read."""
    add = command.add_argument
    add(
        "file",
        type=Path,
        metavar="FILE",
        help="a list with a heading: commas, semicolons or tabs between its cells, up to 5,000 rows",
    )
    add(
        "--map",
        action="append",
        default=[],
        metavar="COLUMN=WHAT",
        help='what a column is, such as "Client=customer": customer, address, title, phone, mail, state, wished, promised, year_built, '
        "drive_min, parking, pets, key_with; with nothing after = it is left alone",
    )
    add(
        "--state",
        choices=("asked", "quoted", "booked"),
        default="asked",
        help="of rows that give none (default: asked)",
    )
    add(
        "--dates",
        choices=("day-first", "month-first", "serial"),
        default="",
        help="how days such as 3/4/2026 are written (default: as the column's other days say), or serial: a spreadsheet's numbers, "
        "such as 46094",
    )
    add(
        "--encoding",
        default="",
        metavar="NAME",
        help="of the file, such as cp1251 (default: UTF-8, UTF-16 or Windows-1252)",
    )
    add("--keep", action="store_true", help="make the jobs, all of them or none (default: only show)")
    add_json(command)


def run(args: Namespace) -> int:
    """Show what the list would become, or keep it; with faults the exit code is 1 either way."""
    office = open_office(args)
    how = {"columns": tuple(args.map), "state": args.state, "dates": args.dates, "encoding": args.encoding}
    if args.keep:
        done = office.import_list(args.file, **how)
        return emit(args, done, lambda: said(done.sentence, done.then))
    view = office.look_at_list(args.file, **how)
    emit(args, view, lambda: "\n".join(_lines(view)))
    return int(bool(view.faults))


def _lines(view: ImportView) -> Iterator[str]:
    before = "; a list with this heading came in before, its columns are taken as then" if view.kept else ""
    yield wrap(f"{view.source}: {view.delimiter} between the cells, {view.encoding}{before}.")
    yield ""
    yield table(
        ["column", "taken as", "such as"],
        [(one.column, one.taken_as or "-", " · ".join(one.examples)) for one in view.columns],
        stretch=(0, 2),
    )
    if view.rows:
        yield ""
        shown = view.rows[:MOST_ROWS]
        yield table(
            [">line", "becomes", "title", "customer", "address", "state", "wished", "promised", "why"],
            [
                (
                    str(row.line),
                    row.becomes,
                    row.title,
                    row.customer,
                    row.address,
                    row.state,
                    str(row.wished or ""),
                    str(row.promised or ""),
                    row.why,
                )
                for row in shown
            ],
            stretch=(2, 3, 4, 8),
        )
        if len(view.rows) > len(shown):
            yield f"… and {len(view.rows) - len(shown)} rows more"
    if view.notes or view.faults:
        yield ""
    yield from (wrap(note, indent="    ", first="  ") for note in view.notes)
    yield from (wrap(fault.words, indent="    ", first="  ! ") for fault in view.faults)
    yield ""
    then = (
        'Mend the list, or say what its columns are: --map "Client=customer".' if view.faults else "--keep makes them."
    )
    yield wrap(f"{view.sentence} Nothing is kept yet. {then if view.faults or view.new else ''}".rstrip())
