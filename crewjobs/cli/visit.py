"""`crewjobs visit N KIND`: small visits, planned, made or called off."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import Refused


def arguments(command: ArgumentParser) -> None:
    """Declare where, what for, who and when."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument(
        "kind",
        metavar="KIND",
        help="measuring, site-check, carry-in, reading, walk-through, punch-list or callback",
    )
    command.add_argument("--who", action=Named, default="", metavar="NAME", help="who goes (default: the lead)")
    command.add_argument(
        "--at",
        default="",
        metavar="MOMENT",
        help="from when, in the site's time; without it a time is proposed. With --done: when it was made",
    )
    command.add_argument("--minutes", type=int, default=60, help="15 to 240 (default: 60)")
    command.add_argument("--because", default="", metavar="WHY", help="the reason, in a few words")
    command.add_argument("--leaves-crew", action="store_true", help="they leave their crew's planned day for it")
    command.add_argument("--done", action="store_true", help="it was made; no task is ticked by that")
    command.add_argument("--off", action="store_true", help="it is called off")
    add_json(command)


def run(args: Namespace) -> int:
    """Propose, plan, record or call off."""
    if args.done and args.off:
        raise Refused("a visit was made or is called off: say --done or --off, not both.")
    office = open_office(args)
    if args.done:
        done = office.visit_done(args.number, args.kind, who=args.who, at=args.at, minutes=args.minutes)
    elif args.off:
        done = office.visit_off(args.number, args.kind, who=args.who, at=args.at)
    elif args.at:
        done = office.plan_visit(
            args.number,
            args.kind,
            at=args.at,
            who=args.who,
            minutes=args.minutes,
            because=args.because,
            leaves_crew=args.leaves_crew,
        )
    else:
        found = office.propose_visit(args.number, args.kind, who=args.who, minutes=args.minutes)
        return emit(args, found, lambda: said(found.sentence, (f"`{found.command}` records it.",)))
    return emit(args, done, lambda: said(done.sentence, done.then))
