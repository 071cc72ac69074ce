"""`crewjobs undo`: take the last change back."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare the output."""
    add_json(command)


def run(args: Namespace) -> int:
    """Write the old values back, unless something stands on the change."""
    done = open_office(args).undo()
    return emit(args, done, lambda: said(done.sentence, done.then))
