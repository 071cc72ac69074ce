"""`crewjobs restore FILE`: put a backup in the place of the database; what stood there is kept beside it."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from crewjobs.cli.opening import path_of
from crewjobs.cli.printing import add_json, clean, emit, wrap


def arguments(command: ArgumentParser) -> None:
    """Declare what is put back."""
    command.add_argument("file", type=Path, help="the backup; it stays as it is")
    add_json(command)


def run(args: Namespace) -> int:
    """Put it back, and bring it up to date where it is of an older version."""
    from crewjobs.services.checkup import put_back

    done = put_back(args.file, path_of(args))
    return emit(args, done, lambda: wrap(clean(done.sentence)))
