"""How good learned rates are, on made shops whose true paces are known: ``python -m tests.benchmarks.rates --seed 1 --json``.

Shops of three crews and thirty templates are made until they have 10,000 jobs, with so many jobs that a crew has 2 to 64 of them. A
crew's true pace at a template is the book's times a shop's, a template's, a crew's and a crew's own factor at it; jobs and tasks
differ; hours are known only as sums over the tasks of a day, written down to the quarter hour. How far all these differ is drawn for each
shop (`made_shops.SPANS`), and the model is told none of it. One record in two hundred is wrong by up to ten times.

Printed: how often the 80 % bands of mean pace and of a new job's hours hold the truth, in all and by the jobs behind them; the error of a crew's estimate
with five recorded jobs (of the log of a new job's mean minutes, root mean square) by the book, by the plain average of the crew's spread hours
and as learned, with their ratios in this run; milliseconds of learning on from one job with 20,000 recorded tasks; and, in a database with
as many, of a tick beyond its commit, of the rates when nothing is kept yet and when it is, and of the learned pace. Beside shares and
errors stand their standard errors, a shop being one observation (`judged`). Then the exact cases (`closed_forms` of the tests): by how much
the fitted model differs from conditioning one large normal on numbers drawn by the seed, and from a textbook's worked numbers.
Last, of each thing expected, whether it is held, held within its standard error, or not.
``--jobs`` makes fewer jobs, ``--seed`` another world; ``--spread 1.5`` lets all that differs differ half as much again as `SPANS` says, which is
further from what the model holds before any hours.
"""

from __future__ import annotations

import argparse
import json
import math
import statistics
import time
from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from crewjobs.domain.pace import WorkedDay
from crewjobs.engines.learning.pace import Pace, learn
from crewjobs.engines.learning.predicting import predict, rate, usual_minutes
from crewjobs.engines.learning.updating import with_job
from tests.benchmarks.arguments import MOST_SEED, Arguments, whole
from tests.benchmarks.judged import Estimate, in_lines, judge, ratio, root, told
from tests.benchmarks.made_shops import CREWS, TEMPLATES, Made, World
from tests.benchmarks.recorded import timed
from tests.engines.learning.closed_forms import PRINTED, TROUT_MEAN, TROUT_SD, conditioned, trout

JOBS_A_CREW = (2, 4, 8, 16, 32, 64)
NEW_JOBS = 10
"""New jobs of each crew that are predicted before they are known."""
FIVE = 5
FIVE_SHOPS = 120
UPDATE_TASKS, UPDATES = 20_000, 15
COVERED = (0.78, 0.82)
MOST_OVER_BOOK = 0.5
MOST_MS = 50.0
MOST_OFF = 1e-8
"""What an exact update may differ from the closed form: rounding."""


def held(jobs: int, random: np.random.Generator, spread: float) -> dict[str, Any]:
    """Return how often bands hold the truth, over shops that together have so many jobs."""
    pace, new = list[Bins](), list[Bins]()
    made = shops = 0
    while made < jobs:
        world, each = World(random, spread), JOBS_A_CREW[shops % len(JOBS_A_CREW)]
        history = [world.job(number, number % CREWS) for number in range(each * CREWS)]
        found = learn(day for job in history for day in job.days)
        made, shops = made + len(history), shops + 1
        pace.append(defaultdict(list))
        new.append(defaultdict(list))
        for crew in range(CREWS):
            for template in range(TEMPLATES):
                band = rate(found, f"crew {crew}", f"work {template:02}")
                pace[-1][_bin(band.jobs)].append(band.low <= math.exp(world.pace[crew, template]) <= band.high)
            for _ in range(NEW_JOBS):
                job = world.job(0, crew)
                low, high = predict(found, job.crew, job.tasks).band
                new[-1][f"{each} jobs a crew"].append(low <= job.minutes <= high)
    return {
        "jobs": made,
        "shops": shops,
        "coverage_mean_pace": told(covered(pace), 4),
        "coverage_mean_pace_by_jobs_behind": _by_bin(pace),
        "coverage_new_job": told(covered(new), 4),
        "coverage_new_job_by_history": _by_bin(new),
    }


Bins = dict[str, list[bool]]
"""Whether bands held in one shop, by what tells the cases apart."""


def covered(shops: Sequence[Bins], name: str | None = None) -> Estimate:
    """Return the share that held, in one bin or in all, with its standard error."""
    ones = [[one for key, held in bins.items() if name in (None, key) for one in held] for bins in shops]
    return ratio([float(sum(mine)) for mine in ones], [len(mine) for mine in ones])


def _by_bin(shops: Sequence[Bins]) -> dict[str, Any]:
    names = sorted({name for bins in shops for name in bins}, key=_first)
    return {name: told(covered([bins for bins in shops if name in bins], name), 4) for name in names}


def _bin(jobs: int) -> str:
    edges = (0, 1, 3, 6, 11, 21)
    at = max(place for place, edge in enumerate(edges) if jobs >= edge)
    last = edges[at + 1] - 1 if at + 1 < len(edges) else None
    return f"{edges[at]}" if last == edges[at] else f"{edges[at]}–{last}" if last else f"{edges[at]} and more"


def _first(name: str) -> int:
    return int(name.replace("–", " ").split()[0])


def errors(random: np.random.Generator, spread: float) -> dict[str, Any]:
    """Return the errors of a crew's estimates with five recorded jobs, in a shop whose crews have five each."""
    shops = list[dict[str, list[float]]]()
    for _ in range(FIVE_SHOPS):
        world, off = World(random, spread), defaultdict[str, list[float]](list)
        shops.append(off)
        history = [world.job(number, number % CREWS) for number in range(FIVE * CREWS)]
        days = [day for job in history for day in job.days]
        found, plain = learn(days), averages(days)
        for crew in range(CREWS):
            for _ in range(NEW_JOBS):
                job = world.job(0, crew)
                book = sum(task.book_min for task in job.tasks)
                average = sum(task.book_min * plain.get((job.crew, task.template), 1.0) for task in job.tasks)
                whole_crew = book * plain[job.crew, ""]
                learned = usual_minutes(found, job.crew, job.tasks)
                guesses = {"book": book, "average": average, "crew_average": whole_crew, "learned": learned}
                for name, guess in guesses.items():
                    off[name].append(math.log(guess / job.mean_min))
                    off[f"{name}_hours"].append(math.log(guess / job.minutes))
                for task in job.tasks:
                    true = world.pace[crew, int(task.template[5:])]
                    off["book_rate"].append(-true)
                    off["average_rate"].append(math.log(plain.get((job.crew, task.template), 1.0)) - true)
                    off["learned_rate"].append(math.log(rate(found, job.crew, task.template).factor) - true)

    def rms(kind: str, names: Sequence[str]) -> dict[str, Any]:
        return {name: told(root_mean_square(shops, name + kind), 4) for name in names}

    def over(other: str, kind: str = "") -> dict[str, float | None]:
        return told(error_over(shops, "learned" + kind, other + kind), 3)

    three = ("book", "average", "learned")
    return {
        "recorded_jobs": FIVE,
        "shops": len(shops),
        "rms_log_error_of_estimate": rms("", ("book", "average", "crew_average", "learned")),
        "error_over_book": over("book"),
        "error_over_average": over("average"),
        "error_over_crew_average": over("crew_average"),
        "rms_log_error_of_rate": rms("_rate", three),
        "rate_error_over_book": over("book", "_rate"),
        "rate_error_over_average": over("average", "_rate"),
        "rms_log_error_against_hours": rms("_hours", three),
    }


def root_mean_square(shops: Sequence[Mapping[str, Sequence[float]]], name: str) -> Estimate:
    """Return the root of the mean square of all shops' errors, with its standard error."""
    return root(ratio([_squares(off[name]) for off in shops], [len(off[name]) for off in shops]))


def error_over(shops: Sequence[Mapping[str, Sequence[float]]], one: str, other: str) -> Estimate:
    """Return the ratio of two root mean squares over the same shops, with its standard error."""
    return root(ratio([_squares(off[one]) for off in shops], [_squares(off[other]) for off in shops]))


def _squares(errors: Sequence[float]) -> float:
    return sum(error**2 for error in errors)


def exact(seed: int) -> dict[str, float]:
    """Return how far the fitted model is from the closed form on numbers drawn by a seed, and from a textbook's printed numbers."""
    (mean, cov), (true_mean, true_cov) = conditioned(seed)
    trout_mean, trout_sd, _ = trout()
    return {
        "effects": len(mean),
        "mean_off_closed_form": float(np.abs(mean - true_mean).max()),
        "covariance_off_closed_form": float(np.abs(cov - true_cov).max()),
        "textbook_mean": round(trout_mean, 5),
        "textbook_mean_printed": TROUT_MEAN,
        "textbook_mean_off": abs(trout_mean - TROUT_MEAN),
        "textbook_sd": round(trout_sd, 6),
        "textbook_sd_printed": TROUT_SD,
        "textbook_sd_off": abs(trout_sd - TROUT_SD),
    }


def judged(figures: Mapping[str, Any]) -> dict[str, Any]:
    """Return of each thing expected whether it is held."""
    bands, five, off = figures["bands"], figures["five_jobs"], figures["exact"]

    def found(of: Mapping[str, float | None]) -> Estimate:
        return of["mean"] or 0.0, math.nan if of["error"] is None else of["error"]

    return {
        "coverage_mean_pace": judge(found(bands["coverage_mean_pace"]), *COVERED),
        "coverage_new_job": judge(found(bands["coverage_new_job"]), *COVERED),
        "error_over_book": judge(found(five["error_over_book"]), most=MOST_OVER_BOOK),
        "update_ms": judge(figures["speed"]["update_ms"], most=MOST_MS),
        "tick_beyond_commit_ms_p95": judge(figures["database"]["tick_beyond_commit_ms"]["p95"], most=MOST_MS),
        "tick_processor_ms_p95": judge(figures["database"]["tick_processor_ms"]["p95"], most=MOST_MS),
        "mean_off_closed_form": judge(off["mean_off_closed_form"], most=MOST_OFF),
        "covariance_off_closed_form": judge(off["covariance_off_closed_form"], most=MOST_OFF),
        "textbook_mean_off": judge(off["textbook_mean_off"], most=PRINTED["mean"]),
        "textbook_sd_off": judge(off["textbook_sd_off"], most=PRINTED["sd"]),
    }


def averages(days: Sequence[WorkedDay]) -> Mapping[tuple[str, str], float]:
    """Return the plain averages: hours spread by the book over a day's tasks, added up, over the book's.

    By crew and template, and by crew alone under an empty template.
    """
    took: dict[tuple[str, str], float] = defaultdict(float)
    book: dict[tuple[str, str], float] = defaultdict(float)
    for day in days:
        for task in day.done:
            for template in (task.template, ""):
                took[day.crew, template] += day.labor_min * task.book_min / day.book_min
                book[day.crew, template] += task.book_min
    return {key: took[key] / book[key] for key in book}


def update_times(random: np.random.Generator, spread: float) -> dict[str, Any]:
    """Return milliseconds of learning, and of learning on from one more job, with 20,000 recorded tasks."""
    world, days, tasks, number = World(random, spread, crews=5, templates=60), list[WorkedDay](), 0, 0
    while tasks < UPDATE_TASKS:
        number += 1
        job = world.job(number, number % 5)
        days += job.days
        tasks += len(job.tasks)
    begin = time.perf_counter()
    pace = learn(days)
    took = (time.perf_counter() - begin) * 1000
    times = [_once(pace, world.job(number + at, at % 5), number + at) for at in range(1, UPDATES + 1)]
    return {
        "recorded_tasks": tasks,
        "recorded_jobs": number,
        "effects": len(pace.mean),
        "learn_all_ms": round(took),
        "update_ms": round(statistics.median(times), 2),
        "update_ms_most": round(max(times), 2),
    }


def _once(pace: Pace, job: Made, number: int) -> float:
    begin = time.perf_counter()
    with_job(pace, number, job.days)
    return (time.perf_counter() - begin) * 1000


def _spread(text: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not 0.1 <= number <= 3:
        raise argparse.ArgumentTypeError(f"a number from 0.1 to 3 is needed, not {text!r}")
    return number


def main() -> None:
    """Measure and print."""
    parser = Arguments(prog="rates", description=__doc__)
    parser.add_argument("--seed", type=whole(0, MOST_SEED), default=1)
    parser.add_argument("--jobs", type=whole(100, 1_000_000), default=10_000)
    parser.add_argument("--spread", type=_spread, default=1.0)
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args()
    randoms = [np.random.default_rng([args.seed, part]) for part in range(4)]
    figures: dict[str, Any] = {
        "seed": args.seed,
        "spread": args.spread,
        "bands": held(args.jobs, randoms[0], args.spread),
        "five_jobs": errors(randoms[1], args.spread),
        "speed": update_times(randoms[2], args.spread),
        "database": timed(UPDATE_TASKS, randoms[3]),
        "exact": exact(args.seed),
    }
    figures["expected"] = judged(figures)
    if args.json:
        print(json.dumps(figures, indent=2, ensure_ascii=False))
        return
    print("\n".join(in_lines(figures)))


if __name__ == "__main__":
    main()
