"""`crewjobs plan`: plan the weeks ahead."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare the output."""
    add_json(command)


def run(args: Namespace) -> int:
    """Plan all booked jobs; pins and work begun stay."""

    def show(done: int, of: int, what: str) -> None:
        print(
            f"\r{done} of {of} {what:<30.30}",
            end="" if done < of else "\r" + " " * 50 + "\r",
            file=sys.stderr,
            flush=True,
        )

    done = open_office(args).plan(progress=show if sys.stderr.isatty() else None)
    return emit(args, done, lambda: said(done.sentence, done.then))
