"""`crewjobs money N FACT [AMOUNT]`: the deposit is in, the balance was asked, the balance was received."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare the fact, the amount and the day."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("fact", metavar="FACT", help="deposit (in), asked (the balance) or received (the balance)")
    command.add_argument("amount", nargs="?", default="", metavar="AMOUNT", help="1250, 1,250.00 or $1,250, if noted")
    command.add_argument("--on", default="", metavar="DAY", help="the day (default: today)")
    command.add_argument("--again", action="store_true", help="a further part of what is recorded already")
    add_json(command)


def run(args: Namespace) -> int:
    """Record it."""
    done = open_office(args).money(args.number, args.fact, args.amount, on=args.on, again=args.again)
    return emit(args, done, lambda: said(done.sentence, done.then))
