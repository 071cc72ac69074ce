"""How true and how fast odds are: ``python -m tests.benchmarks.odds --seed 1 --json``.

Shops with hidden paces are made as in ``tests.benchmarks.rates``. Each learns from a history of 4 to 24 jobs a crew, hours known only as
sums. Then six jobs a crew lie ahead, one after the other, in blocks of a few tasks, some with a cure of a day after them, some jobs waiting for a
delivery that may be late (`odds_shops`). Their odds are sampled from what was learned; then the jobs happen, at the true paces and through the
same calendars, a few times each, so that fewer shops tell as much. Printed (`odds_reliability`): for each tenth of said chances how often the
day held (reliability), how many points it is off and the standard error of that, a shop one observation; the mean and the largest of
them; the Brier score (mean squared error of the chance; less is better) of the odds as learned, of odds by the book with the model's own prior,
and of the plan taken at its word; how often the likely, 80 % and 95 % finish held; and the milliseconds of 10,000 samples of a plan of
400 steps; and a season of the demo shop with its promises (`tests.benchmarks.season`). ``--shops`` makes fewer, ``--seasons 0`` leaves the
season away, ``--processes`` says in how many processes.
"""

from __future__ import annotations

import json
import statistics
import time
from typing import Any

import numpy as np

from crewjobs.domain.tasks import Pause
from crewjobs.engines.planning.odds import After, Network, Step, sample
from tests.benchmarks.arguments import MOST_SEED, MOST_WORKERS, Arguments, whole
from tests.benchmarks.odds_reliability import reliability
from tests.benchmarks.odds_shops import WAIT, usual_hours
from tests.benchmarks.rates import CREWS
from tests.benchmarks.season import JOBS, lines, seasons

SHOPS = 800
EXPECTED = {
    "reliability_mean_points": "at most 3",
    "reliability_most_points": "at most 3",
    "tenths_off_by_more_than_allowed_and_chance": 0,
    "brier": "learned below both others",
    "sample_400_ms": "at most 1000",
}


def speed(random: np.random.Generator) -> dict[str, Any]:
    """Return milliseconds of 10,000 samples of 400 steps of three crews over some twenty weeks."""
    hours = [usual_hours() for _ in range(CREWS)]
    steps = [
        Step(
            job=place // 10,
            crew=f"crew {place % CREWS}",
            calendar=hours[place % CREWS],
            hours=hours[place % CREWS],
            minutes=float(random.uniform(30, 400)),
            sigma=0.25,
            floor=0,
            pause=(Pause.NIGHT, Pause.NIGHT, Pause.NIGHT, Pause.LUNCH, Pause.NONE)[place % 5],
            drive=2 if place % 10 == 0 else 0,
            after=tuple(After(step=place - back, wait=WAIT if back == 5 else 0) for back in (1, 5) if place >= back),
        )
        for place in range(400)
    ]
    crews = {f"crew {crew}": 0.1 for crew in range(CREWS)}
    plan = Network(steps=tuple(steps), job_sigma=0.15, crew_sigma=crews)
    times = []
    for _ in range(4):
        begin = time.perf_counter()
        run = sample(plan, random, 10_000)
        times.append((time.perf_counter() - begin) * 1000)
    begin = time.perf_counter()
    run.drivers(39)
    return {
        "sample_400_ms": round(statistics.median(times[1:])),
        "drivers_ms": round((time.perf_counter() - begin) * 1000),
    }


def main() -> None:
    """Measure and print."""
    parser = Arguments(prog="odds", description=__doc__)
    parser.add_argument("--seed", type=whole(0, MOST_SEED), default=1)
    parser.add_argument("--shops", type=whole(4, 100_000), default=SHOPS)
    parser.add_argument("--seasons", type=whole(0, 1000), default=1)
    parser.add_argument("--processes", type=whole(1, MOST_WORKERS), default=None)
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args()
    figures: dict[str, Any] = {
        "seed": args.seed,
        "odds": reliability(args.shops, args.seed, args.processes),
        "speed": speed(np.random.default_rng([args.seed, 1])),
        "expected": EXPECTED,
    }
    if args.seasons:
        figures["season"] = seasons(args.seed, args.seasons, JOBS, args.processes)
    if args.json:
        print(json.dumps(figures, indent=2, ensure_ascii=False))
        return
    if "season" in figures:
        print("\n".join(lines(figures.pop("season"))))
    for title, part in figures.items():
        print(title if isinstance(part, dict) else f"{title}: {part}")
        for name, value in part.items() if isinstance(part, dict) else ():
            rows = value if isinstance(value, list) else [value]
            for row in rows:
                print(f"  {name.replace('_', ' '):<28} {row}")


if __name__ == "__main__":
    main()
