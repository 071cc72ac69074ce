"""`crewjobs load FILE…`: job files and the shop file, all of them or none."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from crewjobs.cli.opening import path_of
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare the files."""
    command.add_argument("files", nargs="+", type=Path, metavar="FILE", help="job files (one job each) or a shop file")
    command.add_argument("--replace", action="store_true", help="a job that is there already is changed to its file")
    add_json(command)


def run(args: Namespace) -> int:
    """Read all files, then store all of them."""
    from crewjobs.services.office import Office

    office = Office.first_load(args.files, database=path_of(args), pretend=getattr(args, "now", ""))
    done = office.load(args.files, replace=args.replace)
    return emit(args, done, lambda: said(done.sentence, done.then))
