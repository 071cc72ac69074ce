"""`crewjobs rates [CREW]`: each crew's own pace beside the book's; with `--job N` an estimate against its hours and what is left.

`crewjobs rates CREW --pin TEMPLATE RATE` sets a rate by hand, `--unpin TEMPLATE` lets it be as it is learned again.
"""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from typing import TYPE_CHECKING

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said, table, terminal_width, wrap
from crewjobs.domain.errors import Refused
from crewjobs.drawing.bars import Compared, compared_bars

if TYPE_CHECKING:
    from crewjobs.services.rates.rates_rows import AgainstView, AheadView, CrewRates, JobPace, RatesView


def arguments(command: ArgumentParser) -> None:
    """Declare whose rates, or which job."""
    command.add_argument("crew", nargs="?", action=Named, metavar="CREW", help="of this crew alone (default: of all)")
    command.add_argument(
        "--job",
        type=int,
        metavar="N",
        help="this job's estimate against its hours, and what is left of it by each crew's pace, instead",
    )
    by_hand = command.add_mutually_exclusive_group()
    by_hand.add_argument(
        "--pin",
        nargs=2,
        metavar=("TEMPLATE", "RATE"),
        help="set the crew's rate at a task template by hand: 260 (as shown), '260 ft2', '24 m2', '45 min' or 1.2x of the book's time",
    )
    by_hand.add_argument("--unpin", metavar="TEMPLATE", help="let that rate be as it is learned again")
    add_json(command)


def run(args: Namespace) -> int:
    """Print the rates, or one job's hours; set a rate by hand, or let it be."""
    by_hand = args.pin is not None or args.unpin is not None
    if args.job is not None and (args.crew or by_hand):
        raise Refused("a job's hours are of all its crews: give a crew or --job, not both.")
    if by_hand and not args.crew:
        raise Refused("whose rate? A rate is set by hand for one crew: crewjobs rates CREW --pin TEMPLATE RATE.")
    office = open_office(args)
    if by_hand:
        done = office.unpin_rate(args.crew, args.unpin) if args.pin is None else office.pin_rate(args.crew, *args.pin)
        return emit(args, done, lambda: said(done.sentence, done.then))
    if args.job is not None:
        job = office.job_pace(args.job)
        return emit(args, job, lambda: "\n".join(_job(job)))
    view = office.rates(args.crew or "")
    return emit(args, view, lambda: "\n".join(_rates(view)))


def _rates(view: RatesView) -> Iterator[str]:
    if not view.jobs and not any(crew.rows for crew in view.crews):
        yield wrap(view.note)
        yield from (wrap(crew.note) for crew in view.crews if crew.sub)
        return
    for crew in view.crews:
        yield from _crew(crew)
        yield ""
    if not any(crew.rows for crew in view.crews):
        return
    for head, rows in (
        ("To ask about:", tuple(odd.sentence for odd in view.ask)),
        ("Where it is, beyond the book's factors:", view.conditions),
        ("Hours that tell no pace:", view.apart),
    ):
        if rows:
            yield head
            yield from (wrap(row, indent="    ", first="  - ") for row in rows)
            yield ""
    yield wrap(view.note)


def _crew(crew: CrewRates) -> Iterator[str]:
    if crew.note:
        yield wrap(crew.note)
    if crew.rows:
        jobs = f"{crew.jobs} job{'s' * (crew.jobs != 1)}"
        yield wrap(f"{crew.crew}, hours of {jobs}: what one person does in a man-day of 8 h, or the minutes it takes")
        rows = [
            (
                row.title,
                row.book_words,
                row.own_words + (" pinned" if row.pinned else ""),
                row.band_words,
                str(row.jobs),
            )
            for row in crew.rows
        ]
        yield table(["task", ">book", ">own", ">80 % band", ">jobs"], rows, stretch=(0,))
    yield from (wrap(one, indent="    ", first="  - ") for one in crew.pinned)


def _job(view: JobPace) -> Iterator[str]:
    for part in (view.against, view.ahead):
        if part is not None:
            yield wrap(f"Job {part.job}: {part.title}")
            break
    if view.against is not None:
        yield from _against(view.against)
    if view.ahead is not None:
        if view.against is not None:
            yield ""
        yield from _ahead(view.ahead)


def _ahead(view: AheadView) -> Iterator[str]:
    yield wrap(
        f"Left: {view.tasks} task{'s' * (view.tasks != 1)}, {view.book_min / 60:.1f} h of one person by the book. Hours of one "
        "person by phase:"
    )
    rows = [
        (phase.phase, f"{phase.book_min / 60:.1f}", *(f"{crew.phases[place] / 60:.1f}" for crew in view.crews))
        for place, phase in enumerate(view.phases)
        if phase.book_min
    ]
    whole = ("all", f"{view.book_min / 60:.1f}", *(f"{crew.likely_min / 60:.1f}" for crew in view.crews))
    yield table(["phase", ">book", *(f">{crew.crew}" for crew in view.crews)], [*rows, whole], stretch=(0,))
    yield from (wrap(crew.sentence, indent="    ", first="  - ") for crew in view.crews)


def _against(view: AgainstView) -> Iterator[str]:
    yield wrap(view.sentence)
    yield ""
    rows = (Compared(one.phase, one.estimated_min, one.likely_min) for one in view.phases)
    yield from (f"  {line.text}" for line in compared_bars(rows, terminal_width() - 2))
    yield ""
    yield from (wrap(one.sentence, indent="    ", first="  - ") for one in view.phases)
    yield from (wrap(one, indent="    ", first="  - ") for one in view.apart)
    yield wrap(view.note)
