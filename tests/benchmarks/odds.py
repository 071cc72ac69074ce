"""How true and how fast odds are: ``python -m tests.benchmarks.odds --seed 1 --json``.

Shops with hidden paces are made as in ``tests.benchmarks.rates``. Each learns from a history of 4 to 24 jobs a crew, hours known only as
sums, and how late deliveries come from what came of the deliveries of those jobs (`engines/learning/lateness`): the chance that one is late and
the days then differ by shop and are told to no model. Then six jobs a crew lie ahead, one after the other, in blocks of a few tasks, some with
a cure of a day after them, some jobs waiting for a delivery (`odds_shops`). Their odds are sampled from what was learned; then the jobs happen, at
the true paces and with the deliveries as they come, a few times each, so that fewer shops tell as much.

What the truth shares with what is checked: it goes through the same calendars, the same rule for nights and breaks, the same order of
work and the same code for them (`engines/planning/odds`, one sample, nothing unsure). A fault there would be in both and not show here;
`tests/engines/planning/test_odds.py` looks for those. Paces are products of effects with log normal spread, and lateness is exponential, in both;
of their sizes the model knows nothing but its own prior.

Printed (`odds_reliability`): for each tenth of said chances how often the day held (reliability), how many points it is off and the standard
error of that, a shop one observation; the mean and the largest of them; the Brier score (mean squared error of the chance; less is better)
of the odds as learned, of odds by the book with the model's own prior, and of the plan taken at its word; how often the likely, 80 % and
95 % finish held; and the milliseconds of 10,000 samples of a plan of 400 steps; the published network of fourteen activities by the classical
reckoning and sampled (`odds_published`); and a season of the demo shop with its promises (`tests.benchmarks.season`). Last, of each thing expected,
whether it is held, held within its standard error, or not.

``--shops`` makes fewer, ``--seasons 0`` leaves the season away, ``--season-jobs`` makes it shorter, ``--processes`` says in how many processes.
How far it is goes to standard error, a line a minute at most. `core_seconds` are seconds of one core, by the processor's own clock, which
other work on the machine lengthens little; the default season takes by far the longest.
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
from tests.benchmarks.judged import in_lines, judge
from tests.benchmarks.made_shops import CREWS
from tests.benchmarks.odds_published import published
from tests.benchmarks.odds_reliability import judged, reliability
from tests.benchmarks.odds_shops import WAIT, usual_hours
from tests.benchmarks.season import JOBS, lines, seasons

SHOPS = 800
MOST_MS = 1000.0


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
    parser.add_argument("--season-jobs", type=whole(2, 1000), default=JOBS)
    parser.add_argument("--processes", type=whole(1, MOST_WORKERS), default=None)
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args()
    network, network_judged = published(np.random.default_rng([args.seed, 7]))
    figures: dict[str, Any] = {
        "seed": args.seed,
        "odds": reliability(args.shops, args.seed, args.processes),
        "speed": speed(np.random.default_rng([args.seed, 1])),
        "published_network": network,
    }
    figures["expected"] = {
        **judged(figures["odds"]),
        "sample_400_ms": judge(figures["speed"]["sample_400_ms"], most=MOST_MS),
        **network_judged,
    }
    if args.seasons:
        figures["season"] = seasons(args.seed, args.seasons, args.season_jobs, args.processes)
    if args.json:
        print(json.dumps(figures, indent=2, ensure_ascii=False))
        return
    if "season" in figures:
        print("\n".join(lines(figures.pop("season"))))
    print("\n".join(in_lines(figures)))


if __name__ == "__main__":
    main()
