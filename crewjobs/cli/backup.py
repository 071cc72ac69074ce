"""`crewjobs backup FILE`: copy the database, whole."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, clean, emit


def arguments(command: ArgumentParser) -> None:
    """Declare where the copy goes."""
    command.add_argument("file", type=Path, help="the file to write; it must not be there yet")
    add_json(command)


def run(args: Namespace) -> int:
    """Write the copy; an existing file is left alone."""
    path = open_office(args).backup(args.file)
    return emit(args, {"file": path}, lambda: f"Copied to {clean(str(path))}.")
