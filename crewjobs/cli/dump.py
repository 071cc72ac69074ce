"""`crewjobs dump N`, `crewjobs dump shop`: a job, or the shop, as the file that load reads."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from pathlib import Path

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit


def arguments(command: ArgumentParser) -> None:
    """Declare the job, or the shop, and where its file goes."""
    command.add_argument("what", type=_job_or_shop, metavar="N", help="the job's number, or shop")
    command.add_argument("--out", type=Path, metavar="FILE", help="write to this file (default: print)")
    add_json(command)


def run(args: Namespace) -> int:
    """Print or write the file; an existing one is left alone."""
    office = open_office(args)
    if args.what is None:
        named, text = {"shop": office.shop_name()}, office.dump_shop()
    else:
        named, text = {"job": args.what}, office.dump(args.what)
    if args.out is None:
        return emit(args, {**named, "text": text}, lambda: text)
    from crewjobs.files.new_file import write_new

    write_new(args.out, text, "dump")
    return emit(args, {**named, "file": args.out}, lambda: f"Wrote {args.out}")


def _job_or_shop(word: str) -> int | None:
    """Return a job's number, None for the shop."""
    if word.casefold() == "shop":
        return None
    try:
        return int(word)
    except ValueError:
        raise ArgumentTypeError(f"{word!r} is neither a job's number nor shop") from None
