"""`crewjobs day-plan DATE`: each crew's page for a day and each small-visit person's, as PDF and text."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.page_options import file_kind, there, warn, written_lines
from crewjobs.cli.printing import add_json, emit
from crewjobs.domain.errors import Refused
from crewjobs.services.pages.places import check_folder


def arguments(command: ArgumentParser) -> None:
    """Declare day, crew, folder and copy."""
    command.add_argument("day", metavar="DATE", help="the day: 2026-03-03, today, tomorrow or a weekday")
    command.add_argument(
        "--crew",
        action=Named,
        default="",
        help="one crew, with its people's small visits, or one person (default: everybody)",
    )
    command.add_argument("--out", type=Path, metavar="FOLDER", help="where to write (default: here)")
    command.add_argument("--lead-copy", action="store_true", help="with entry notes, for the lead alone")
    command.add_argument(
        "--print", dest="show", action="store_true", help="print the text page instead of writing files"
    )
    command.add_argument("--html", action="store_true", help="write each as one HTML file too, for a phone")
    command.add_argument("--paper", choices=["letter", "a4"], default="", help="paper size (default: the shop's)")
    add_json(command)


def run(args: Namespace) -> int:
    """Write the pages and say where, or print their text."""
    office = open_office(args)
    day = office.read_day(args.day)
    if args.show:
        if args.json:
            raise Refused("--print shows the page as text and --json gives data: choose one.")
        if args.html or args.out is not None:
            option = "--html" if args.html else "--out"
            raise Refused(f"--print shows the page as text and writes no file, {option} is for files: choose one.")
        text = office.day_plan_text(day, args.crew, lead_copy=args.lead_copy)
        return emit(args, text, lambda: text)
    folder = args.out or Path(".")
    if file_kind(folder):
        raise Refused(f"{folder} is the name of a file: a day has a page for each crew, so --out names a folder.")
    check_folder(folder)
    known = there((), folder)
    written = office.day_plans(day, folder, crew=args.crew, lead_copy=args.lead_copy, paper=args.paper, html=args.html)
    warn(office.behind())
    return emit(args, {"day": day, "files": written}, lambda: "\n".join(written_lines(written, known)))
