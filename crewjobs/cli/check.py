"""`crewjobs check`: whether the database is whole, as a file and record by record. Nothing is changed."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import path_of
from crewjobs.cli.printing import add_json, clean, emit, wrap


def arguments(command: ArgumentParser) -> None:
    """Nothing but the database."""
    add_json(command)


def run(args: Namespace) -> int:
    """Say what was looked through; 1 where something is wrong."""
    from crewjobs.services.checkup import check_at

    found = check_at(path_of(args))
    lines = [found.sentence, *(f"  ! {fault}" for fault in found.faults)]
    emit(args, found, lambda: "\n".join(wrap(clean(line)) for line in lines))
    return 1 if found.faults else 0
