"""`crewjobs agreed N WHAT [AMOUNT]`: a change order the customer agreed to, or was only asked."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import Refused


def arguments(command: ArgumentParser) -> None:
    """Declare what for, how much, when and by whom."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("what", metavar="WHAT", help="what it is for, in the same words when asked and when agreed")
    command.add_argument(
        "amount",
        nargs="?",
        default="",
        metavar="AMOUNT",
        help="1250, 1,250.00 or $1,250, a credit -120 or '($120)'; as asked if left away",
    )
    command.add_argument("--on", default="", metavar="DAY", help="the day (default: today)")
    command.add_argument("--by", action=Named, default="", metavar="NAME", help="who agreed, or said no")
    answer = command.add_mutually_exclusive_group()
    answer.add_argument("--asked", action="store_true", help="only asked, not agreed yet")
    answer.add_argument("--no", action="store_true", help="the customer said no to it")
    add_json(command)


def run(args: Namespace) -> int:
    """Record it."""
    if args.no:
        if args.amount:
            raise Refused("what the customer said no to has no amount: leave it out with --no.")
        done = open_office(args).declined(args.number, args.what, on=args.on, by=args.by)
        return emit(args, done, lambda: said(done.sentence, done.then))
    done = open_office(args).agreed(args.number, args.what, args.amount, on=args.on, by=args.by, only_asked=args.asked)
    return emit(args, done, lambda: said(done.sentence, done.then))
