"""Furniture stages against the clock: ``python -m tests.benchmarks.moving FILE... --seconds 30 --json``.

Files are houses in the format of ``tests/data/moving``; what they expect, and a witness, may be missing. One row a file: its
name, how sure the plan is, its cost and what no plan costs less than (labor minutes, in the file's own semantics), the
seconds it took, and the stages with every piece's place, so that anyone can replay it. Every plan is replayed by the
judge first; one that breaks a rule ends the run.

``--generate ZONES PIECES --seeds 20`` makes houses instead, and puts the listed order beside them: one room at a time as
they are listed, all into the stores, halves where a room does not fit. Read the ratios; seconds depend on the machine.

``--lived-in ROOMS --seeds 20`` makes jobs of so many furnished rooms around a hall, with a kitchen, a bath and a garage, turns
them into problems as a job is, and judges every plan from the job alone; they have no listed order. ``--generate`` may
be given besides.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

from crewjobs.engines.moving.model import MovingPlan, Status
from crewjobs.engines.moving.search import Search
from crewjobs.engines.stages.cures import furniture_waits
from crewjobs.engines.stages.house import House, house_of
from crewjobs.engines.stages.progress import nights
from crewjobs.engines.stages.told import moves_plan
from crewjobs.files.catalogue import read_catalogue
from crewjobs.files.usual_furniture import usual_furniture
from tests.benchmarks.arguments import MOST_SEED, Arguments, seconds, whole
from tests.engines.moving.given import in_the_format, problem_of
from tests.engines.moving.instances import Instance, Stage, generated, read_instance, tenths
from tests.engines.moving.listed_order import Failure, listed_order
from tests.engines.moving.replay import replay
from tests.engines.stages.judged_stages import faults_of
from tests.engines.stages.lived_in import lived_in

EXPECTED = {
    (4, 12): "proved in 1 s, every one",
    (5, 16): "proved in 10 s, every one",
    (6, 20): "proved in 10 s, 90 %",
    (8, 24): "within 3 % of the bound in 30 s",
    (12, 60): "a plan with a stated gap in 60 s, always",
}
EXPECTED_JOBS = "within 3 % of the bound in 10 s, most proved"
FEW_ROOMS = 4
AT = datetime(2026, 3, 2, 12, tzinfo=UTC)
"""When a plan is said to be made; nothing depends on it."""
MOST_ROOMS = 6
MOST_ZONES, MOST_PIECES, MOST_SEEDS = 14, 200, 1000


@dataclass(frozen=True, slots=True)
class Row:
    """What came of one house; minutes of labor, seconds by the clock. `first` is when there was a plan at all."""

    name: str
    plan: MovingPlan
    stages: list[Stage]
    seconds: float
    first: float | None
    expected: float | None
    listed: float | None = None
    listed_moving: float | None = None
    moving: float | None = None
    listed_failure: str = ""

    def as_data(self) -> dict[str, Any]:
        """Return the row for ``--json``."""
        return {
            "name": self.name,
            "status": self.plan.status.value,
            "cost": self.plan.cost / 10 if self.stages else None,
            "bound": self.plan.bound / 10 if self.plan.status is not Status.NO_WAY else None,
            "seconds": round(self.seconds, 2),
            "first_plan_seconds": None if self.first is None else round(self.first, 2),
            "expected": self.expected,
            "listed_order": self.listed,
            "listed_order_failure": self.listed_failure or None,
            "stages": [{"work": list(work), "positions": dict(at)} for work, at in self.stages],
        }


def solved(house: Instance, limit: float, *, beside: bool) -> Row:
    """Solve a house within a limit of seconds; `beside` puts the listed order next to it."""
    begin = time.perf_counter()
    firsts: list[float] = []
    search = Search(problem_of(house))
    plan = search.run(
        stop=lambda: time.perf_counter() - begin > limit, found=lambda _: firsts.append(time.perf_counter() - begin)
    )
    took = time.perf_counter() - begin
    stages = in_the_format(house, plan.stages)
    if stages:
        minutes, faults = replay(house, stages)
        if faults or tenths(minutes) != plan.cost:
            sys.exit(f"moving: {house.name}: the plan breaks a rule: {[*faults, f'it costs {minutes}'][0]}")
    listed = listed_order(house) if beside else None
    row = Row(
        name=house.name,
        plan=plan,
        stages=stages,
        seconds=took,
        first=firsts[0] if firsts else None,
        expected=house.expected.optimal_cost_min if house.expected else None,
        moving=_moving(house, stages) if stages else None,
    )
    if listed is None:
        return row
    if isinstance(listed, Failure):
        return _with(row, listed_failure=listed.value)
    return _with(row, listed=replay(house, listed)[0], listed_moving=_moving(house, listed))


def job_solved(seed: int, rooms: int, limit: float) -> Row:
    """Solve a job people live in within a limit of seconds; its plan is judged from the job alone."""
    job = lived_in(seed, rooms=rooms)
    cures = {spot: nights(wait) for spot, wait in furniture_waits(job, read_catalogue()).items()}
    house = house_of(job, usual_furniture(), cures=cures)
    name = f"lived-in-{rooms}-{seed}"
    if not isinstance(house, House):
        sys.exit(f"moving: {name}: {house.sentences[0]}")
    begin = time.perf_counter()
    firsts: list[float] = []
    plan = Search(house.problem).run(
        stop=lambda: time.perf_counter() - begin > limit, found=lambda _: firsts.append(time.perf_counter() - begin)
    )
    took = time.perf_counter() - begin
    stages: list[Stage] = []
    if plan.stages:
        faults = [*faults_of(job, moves_plan(house, plan, at=AT, basis=""), cures)]
        if faults:
            sys.exit(f"moving: {name}: the plan breaks a rule: {faults[0]}")
        names = [place.name or "nowhere" for place in house.problem.places]
        stages = [
            (
                tuple(names[one] for one in sorted(stage.worked)),
                {
                    f"{i} {piece.name}": names[z]
                    for i, (piece, z) in enumerate(zip(house.problem.pieces, stage.at, strict=True))
                },
            )
            for stage in plan.stages
        ]
    return Row(name=name, plan=plan, stages=stages, seconds=took, first=firsts[0] if firsts else None, expected=None)


def _with(row: Row, **more: Any) -> Row:
    return Row(**{**{name: getattr(row, name) for name in row.__dataclass_fields__}, **more})


def _moving(house: Instance, stages: Sequence[Stage]) -> float:
    """Return the minutes of carrying alone, over all stages and back home."""
    total = 0
    for item in house.items:
        stops = [item.home, *(at[item.id] for _, at in stages), item.home]
        total += sum(tenths(item.move_minutes[a][b]) for a, b in pairwise(stops))
    return total / 10


def main(given: Sequence[str] | None = None) -> None:
    """Run it."""
    parser = Arguments(prog="moving", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("files", nargs="*", type=Path, metavar="FILE")
    parser.add_argument("--generate", nargs=2, type=whole(1, MOST_PIECES), metavar=("ZONES", "PIECES"))
    parser.add_argument(
        "--lived-in", type=whole(1, MOST_ROOMS), metavar="ROOMS", help="furnished rooms of jobs made up"
    )
    parser.add_argument("--seeds", type=whole(1, MOST_SEEDS), default=20, help="how many houses are made")
    parser.add_argument("--seed", type=whole(0, MOST_SEED - MOST_SEEDS), default=0, help="of the first")
    parser.add_argument("--cures", action="store_true", help="some of their floors are glued")
    parser.add_argument("--seconds", type=seconds, default=30.0, help="for each house")
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args(given)
    if bool(args.files) == bool(args.generate or args.lived_in):
        parser.error("name files, --generate ZONES PIECES or --lived-in ROOMS")
    if args.generate and args.generate[0] > MOST_ZONES:
        parser.error(f"houses of at most {MOST_ZONES} zones are made, not {args.generate[0]}")
    rows = [_shown(solved(house, args.seconds, beside=bool(args.generate)), args) for house in _houses(args)]
    seeds = range(args.seed, args.seed + args.seeds) if args.lived_in else ()
    jobs = [_shown(job_solved(seed, args.lived_in, args.seconds), args) for seed in seeds]
    if args.json:
        print(json.dumps([row.as_data() for row in (*rows, *jobs)], indent=1))
        return
    if args.generate:
        zones, pieces = args.generate
        what = f"{len(rows)} houses of {zones} zones and {pieces} pieces"
        print("\n".join(_summary(rows, what, args.seconds, EXPECTED.get((zones, pieces)))))
        print("\n".join(_beside(rows)))
    if args.lived_in:
        what = f"{len(jobs)} jobs of {args.lived_in} furnished rooms"
        print("\n".join(_summary(jobs, what, args.seconds, EXPECTED_JOBS if args.lived_in <= FEW_ROOMS else None)))


def _shown(row: Row, args: argparse.Namespace) -> Row:
    if not args.json:
        print(_line(row), flush=True)
    return row


def _houses(args: argparse.Namespace) -> Iterator[Instance]:
    for path in args.files:
        try:
            yield read_instance(path)
        except (OSError, ValueError) as fault:
            sys.exit(f"moving: {path}: {fault}")
    if args.generate:
        zones, pieces = args.generate
        for seed in range(args.seed, args.seed + args.seeds):
            yield generated(zones, pieces, seed, cures=args.cures)


def _line(row: Row) -> str:
    plan = row.plan
    cost = f"{plan.cost / 10:8.1f}  bound {plan.bound / 10:8.1f}  gap {plan.gap:6.2%}" if row.stages else " " * 36
    listed = f"  listed order {row.listed:.1f}" if row.listed is not None else ""
    listed = f"  listed order: {row.listed_failure}" if row.listed_failure else listed
    expected = f"  expected {row.expected:.1f}" if row.expected is not None else ""
    return (
        f"{row.name:32} {plan.status.value:8}{cost}  {row.seconds:6.2f} s  {len(row.stages):2} stages{expected}{listed}"
    )


def _summary(rows: Sequence[Row], what: str, limit: float, expected: str | None) -> Iterator[str]:
    proved = [row for row in rows if row.plan.status in (Status.PROVED, Status.NO_WAY)]
    planned = [row for row in rows if row.stages]
    yield f"\n{what}, {limit:g} s each"
    for within in (1, 10, limit):
        if within <= limit:
            count = sum(row.seconds <= within + 0.5 * (within == limit) for row in proved)
            yield f"proved within {within:g} s{'':22} {count} of {len(rows)}"
    yield f"with a plan{'':28} {len(planned)} of {len(rows)}, {len([r for r in proved if not r.stages])} proved to have none"
    if planned:
        yield f"gap, the largest{'':23} {max(row.plan.gap for row in planned):.2%}"
        yield f"seconds, median{'':24} {statistics.median(row.seconds for row in rows):.2f}"
        yield f"seconds to the first plan, most{'':8} {max(row.first or 0.0 for row in planned):.2f}"
    if expected is not None:
        yield f"expected{'':31} {expected}"


def _beside(rows: Sequence[Row]) -> Iterator[str]:
    planned = [row for row in rows if row.stages]
    failed = [row for row in rows if row.listed_failure]
    yield f"listed order fails{'':21} {len(failed)} of {len(rows)}"
    both = [row for row in planned if row.listed is not None and row.listed_moving and row.moving]
    if both:
        cost = statistics.mean((row.listed or 0) / (row.plan.cost / 10) for row in both)
        moving = statistics.mean((row.listed_moving or 0) / (row.moving or 1) for row in both)
        yield f"listed order over the plan, cost{'':7} {cost:.3f} over {len(both)}"
        yield f"listed order over the plan, carrying{'':3} {moving:.3f}"


if __name__ == "__main__":
    main()
