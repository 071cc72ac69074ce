"""`crewjobs take-off`: what a job's floors take, and what is bought beside them."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli import looking
from crewjobs.cli.interrupt import until_interrupted
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, wrap


def arguments(command: ArgumentParser) -> None:
    """Declare the job, the reserve, and how long layouts are looked for."""
    from crewjobs.services.laying.layout_rows import LAYOUT_SECONDS

    add = command.add_argument
    add("job", type=int)
    add(
        "--reserve",
        type=float,
        default=None,
        metavar="PERCENT",
        help="planks bought beyond those laid (default: 2, of wood 5; common practice, no source)",
    )
    add(
        "--kept",
        type=int,
        default=1,
        metavar="CARTONS",
        help="whole cartons that stay in the house (default: %(default)d)",
    )
    for what, usual in (("base", "16', or 4.8 m"), ("shoe", "16', or 4.8 m"), ("strip", "6' 6\", or 2 m")):
        add(f"--{what}-stick", default="", metavar="LENGTH", help=f"how long sticks of {what} come (default: {usual})")
    add("--again", action="store_true", help="look for layouts with fewer planks than those kept")
    add(
        "--seconds",
        type=float,
        default=LAYOUT_SECONDS,
        metavar="S",
        help="look at most so long at each material, unless it is proved before (default: %(default)g)",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print the shopping list."""
    from crewjobs.services.laying.take_off_words import lines_of

    looking.check_seconds(args)
    office = open_office(args)
    with until_interrupted() as stop, looking.watched() as watch:
        view = office.take_off(
            args.job,
            reserve=args.reserve,
            kept=args.kept,
            again=args.again,
            sticks={what: given for what in ("base", "shoe", "strip") if (given := getattr(args, f"{what}_stick"))},
            seconds=args.seconds,
            stop=stop,
            watch=watch,
        )
    return emit(
        args, view, lambda: "\n".join(wrap(one.text, indent=one.indent, first=one.first) for one in lines_of(view))
    )
