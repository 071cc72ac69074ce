"""`crewjobs moves`: a job's furniture stages, found where it has none."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from typing import TYPE_CHECKING

from crewjobs.cli import looking
from crewjobs.cli.interrupt import until_interrupted
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said, terminal_width, wrap
from crewjobs.domain.errors import Refused

if TYPE_CHECKING:
    from crewjobs.services.moving.rooms_rows import RoomsView, StageRow


def arguments(command: ArgumentParser) -> None:
    """Declare the job, how the stages are found, and what is shown."""
    from crewjobs.services.moving.rooms_rows import MOVES_SECONDS

    add = command.add_argument
    add("job", type=int)
    add(
        "--again",
        action="store_true",
        help="find them anew, in any order its floors allow; as what was changed asks for",
    )
    add(
        "--from-here",
        action="store_true",
        help="find what is left anew, from what is laid and where things stand by now",
    )
    add("--look", action="store_true", help="show what is in force, and find nothing")
    add("--stage", type=int, default=None, metavar="N", help="show only the Nth stage, as they are numbered")
    add(
        "--seconds",
        type=float,
        default=MOVES_SECONDS,
        metavar="S",
        help="look for better ones at most so long, unless they are proved best before (default: %(default)g)",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Find them where it is asked for or there are none in force, and show them."""
    looking.check_seconds(args)
    office = open_office(args)
    view = office.rooms(args.job)
    done = None
    if not args.look and (args.again or args.from_here or not view.stages):
        with until_interrupted() as stop:
            done = office.moves(args.job, again=args.again, seconds=args.seconds, stop=stop)
        view = office.rooms(args.job)
    numbers = [stage.number for stage in view.stages]
    if args.stage is not None and args.stage not in numbers:
        there = f"it has {numbers[0]} to {numbers[-1]}" if numbers else "it has none"
        raise Refused(f"job {args.job} has no stage {args.stage}: {there}.")
    stages = [stage for stage in view.stages if args.stage in (None, stage.number)]
    told = [said(done.sentence, done.then), ""] if done is not None else []
    data = {"done": done, "rooms": view}
    return emit(args, data, lambda: "\n".join([*told, *_lines(view, stages, args.stage is None)]))


def _lines(view: RoomsView, stages: list[StageRow], whole: bool) -> Iterator[str]:
    from crewjobs.services.moving.rooms_rows import drawing_text

    yield wrap(f"Job {view.job}: {view.title}. {view.headline}", indent="  ", first="")
    if view.stale:
        yield wrap(f"! {view.stale}", indent="    ", first="  ")
    if not view.stages:
        yield ""
        yield drawing_text(view.drawing, terminal_width())
        yield from (wrap(f"{row.letter}  {row.name}", indent="     ", first="  ") for row in view.drawing.legend)
        return
    for stage in stages:
        yield ""
        yield wrap(f"{stage.number}  {stage.label}: {stage.sentence}", indent="   ", first="")
        for carry in stage.carries:
            yield wrap(f"{carry.number:>3}  {carry.words}", indent="        ", first="  ")
        yield drawing_text(stage.drawing, terminal_width())
        for place in stage.standing:
            yield wrap(f"{place.place}: {', '.join(place.pieces)}", indent="     ", first="  ")
    if whole and view.taken_as:
        yield ""
        yield "Taken as usual, since the job does not say:"
        yield from (wrap(f"- {sentence}", indent="    ", first="  ") for sentence in view.taken_as)
