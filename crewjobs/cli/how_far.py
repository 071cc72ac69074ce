"""`crewjobs how-far N TASK "9 of 19 rows"`: say how far a task under way is, and who goes on with it."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import OnHold, Refused


def arguments(command: ArgumentParser) -> None:
    """Declare task, measure and circumstances."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("task", type=int, metavar="TASK", help="the task's number, as `crewjobs job N` lists it")
    command.add_argument(
        "far", metavar="HOW-FAR", help="'9/19 rows', 'rows 1-9 of 19', '90 of 185 ft2', '12 of 19 steps', '50 %%'"
    )
    command.add_argument(
        "--crew", action=Named, default="", metavar="CREW", help="who goes on with it from here, if not who began it"
    )
    command.add_argument("--at", default="", metavar="MOMENT", help="when, in the site's time (default: now)")
    command.add_argument(
        "--because",
        default="",
        metavar="REASON",
        help="less than was said, or worked on although on hold: the reason, which is kept",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Record it."""
    try:
        office = open_office(args)
        done = office.how_far(args.number, args.task, args.far, crew=args.crew, at=args.at, because=args.because)
    except OnHold as hold:
        last = hold.sentences[-1].removesuffix(".")
        raise Refused([*hold.sentences[:-1], f"{last} with --because."]) from None
    return emit(args, done, lambda: said(done.sentence, done.then))
