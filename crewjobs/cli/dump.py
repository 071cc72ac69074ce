"""`crewjobs dump N`: a job as the file that load reads."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit
from crewjobs.domain.errors import Refused


def arguments(command: ArgumentParser) -> None:
    """Declare the job and where its file goes."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("--out", type=Path, metavar="FILE", help="write to this file (default: print)")
    add_json(command)


def run(args: Namespace) -> int:
    """Print or write the job file; an existing file is left alone."""
    text = open_office(args).dump(args.number)
    if args.out is None:
        return emit(args, {"job": args.number, "text": text}, lambda: text)
    try:
        with args.out.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except OSError as error:
        raise Refused(f"{args.out} cannot be written: {error.strerror}.") from None
    return emit(args, {"job": args.number, "file": args.out}, lambda: f"Wrote {args.out}")
