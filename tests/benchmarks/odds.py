"""How true and how fast odds are: ``python -m tests.benchmarks.odds --seed 1 --json``.

Shops with hidden paces are made as in ``tests.benchmarks.rates``. Each learns from a history of 4 to 24 jobs a crew, hours known only as
sums. Then six jobs a crew lie ahead, one after the other, in blocks of a few tasks, some with a cure of a day after them, some jobs waiting for a
delivery that may be late. Their odds are sampled from what was learned; then the jobs happen, at the true paces and through the
same calendars, a few times each, so that fewer shops tell as much. Printed: for each tenth of said chances how often the day held (reliability), the mean and the largest distance in points; the
Brier score (mean squared error of the chance; less is better) of the odds as learned, of odds by the book with the model's own prior,
and of the plan taken at its word; how often the likely, 80 % and 95 % finish held; and the milliseconds of 10,000 samples of a plan of
400 steps. ``--shops`` makes fewer.
"""

from __future__ import annotations

import json
import statistics
import time
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import numpy as np

from crewjobs.domain.pace import DoneTask
from crewjobs.domain.tasks import Pause
from crewjobs.engines.learning.pace import Pace, learn
from crewjobs.engines.learning.predicting import parted
from crewjobs.engines.planning.calendars import SLOTS_A_DAY, Calendar, calendar_of
from crewjobs.engines.planning.odds import After, Late, Network, Sampled, Step, sample
from tests.benchmarks.arguments import MOST_SEED, Arguments, whole
from tests.benchmarks.rates import CREWS, Made, World

AHEAD = 6
PEOPLE = 3
SAMPLES = 2000
HAPPEN = 4
BLOCK = (2, 7)
WAIT_CHANCE, WAIT = 0.3, SLOTS_A_DAY
LATE_SHARE, LATE_CHANCE, LATE_MEAN = 0.3, 0.25, 2 * SLOTS_A_DAY
DAYS = 170
SAID_DAYS = (-1, 0, 1, 2, 3, 5, 8)
"""Days asked for, from the planned one."""
EXPECTED = {
    "reliability_mean_points": "at most 3",
    "reliability_most_points": "at most 3",
    "brier": "learned below both others",
    "sample_400_ms": "at most 1000",
}


@dataclass(frozen=True, slots=True)
class Ahead:
    """A job ahead: its truth, and its blocks of tasks by place."""

    number: int
    made: Made
    blocks: tuple[tuple[DoneTask, ...], ...]
    waits: tuple[bool, ...]
    late: bool


def usual_hours(days: int = DAYS) -> Calendar:
    """Return 7:00 to 15:30 with half an hour of lunch, Monday to Friday."""
    first = date(2026, 3, 2)
    workdays = [number for number in range(days) if number % 7 < 5]
    found = [
        (
            first + timedelta(days=n),
            ((n * SLOTS_A_DAY + 28, n * SLOTS_A_DAY + 48), (n * SLOTS_A_DAY + 50, n * SLOTS_A_DAY + 62)),
        )
        for n in workdays
    ]
    return calendar_of(found, days * SLOTS_A_DAY)


def ahead(world: World, random: np.random.Generator) -> list[Ahead]:
    """Return the jobs ahead of a shop, crew by crew."""
    found = []
    for crew in range(CREWS):
        for at in range(AHEAD):
            made = world.job(0, crew)
            blocks, place = [], 0
            while place < len(made.tasks):
                size = int(random.integers(*BLOCK))
                blocks.append(made.tasks[place : place + size])
                place += size
            waits = tuple(bool(random.random() < WAIT_CHANCE) for _ in blocks)
            found.append(Ahead(crew * AHEAD + at, made, tuple(blocks), waits, bool(random.random() < LATE_SHARE)))
    return found


def network(jobs: Sequence[Ahead], medians: Sequence[float], sigmas: Sequence[float], hours: Calendar) -> Network:
    """Return the jobs as steps in the crews' order, without floors; `medians` are labor minutes."""
    steps, place = list[Step](), 0
    for job in jobs:
        for block, wait in enumerate((False, *job.waits[:-1])):
            after = (After(step=place - 1, wait=WAIT if wait else 0),) if block else ()
            steps.append(
                Step(
                    job=job.number,
                    crew=job.made.crew,
                    calendar=hours,
                    hours=hours,
                    minutes=medians[place] / PEOPLE,
                    sigma=sigmas[place],
                    floor=0,
                    after=after,
                    drive=0 if block else 2,
                )
            )
            place += 1
    return Network(steps=tuple(steps))


def promised(plain: Network, jobs: Sequence[Ahead]) -> tuple[Network, dict[int, int]]:
    """Return the plan that comes of a network without spread, each job's first block no earlier than in it, and its planned ends.

    A delivery is due two days before its job's planned start.
    """
    still = tuple(replace(step, sigma=0.0) for step in plain.steps)
    sure = replace(plain, steps=still, job_sigma=0.0, crew_sigma={})
    run = sample(sure, np.random.default_rng(0), 1)
    steps, lates, seen = [], [], set[int]()
    ends = dict.fromkeys((job.number for job in jobs), 0)
    for step, end in zip(plain.steps, run.ends[:, 0].tolist(), strict=True):
        ends[step.job] = max(ends[step.job], end)
        if step.job in seen:
            steps.append(step)
            continue
        seen.add(step.job)
        work = max(1, int(np.ceil(step.minutes / 15 - 1e-9)))
        index = step.calendar.count(end - 1) + 1 - work
        start = step.calendar.slot(index)
        late: tuple[str, ...] = ()
        if next(job for job in jobs if job.number == step.job).late:
            due = max(0, start - 2 * SLOTS_A_DAY)
            lates.append(Late(name=f"job {step.job}", due=due, chance=LATE_CHANCE, mean_slots=LATE_MEAN))
            late = (f"job {step.job}",)
        steps.append(replace(step, floor=start, late=late))
    return replace(plain, steps=tuple(steps), lates=tuple(lates)), ends


def happened(world: World, plan: Network, jobs: Sequence[Ahead], random: np.random.Generator) -> Sampled:
    """Return the jobs as they really went, once: true paces, and deliveries as they came."""
    steps, place = list[Step](), 0
    for job in jobs:
        off = random.normal(0, world.sd["job"])
        crew = int(job.made.crew.split()[1])
        for block in job.blocks:
            took = 0.0
            for task in block:
                holds = world.condition[[CONDITION_AT[name] for name in sorted(task.conditions)]].sum()
                log = world.pace[crew, int(task.template.split()[1])] + holds + off
                took += task.book_min * float(np.exp(log + random.normal(0, world.sd["within"])))
            steps.append(replace(plan.steps[place], minutes=took / PEOPLE, sigma=0.0))
            place += 1
    came = []
    for late in plan.lates:
        by = random.exponential(late.mean_slots) if random.random() < late.chance else 0.0
        came.append(replace(late, due=late.due + int(np.ceil(by)), chance=0.0, mean_slots=0.0))
    return sample(Network(steps=tuple(steps), lates=tuple(came)), random, 1)


CONDITION_AT = {"furnished": 0, "upstairs": 1, "cut-up": 2}


def said(
    pace: Pace, jobs: Sequence[Ahead], hours: Calendar, like: Network | None = None
) -> tuple[Network, dict[int, int]]:
    """Return the plan by a pace with what it holds unsure, and planned ends; with `like` its floors and deliveries instead."""
    medians, sigmas, shared = list[float](), list[float](), dict[str, float]()
    for crew in dict.fromkeys(job.made.crew for job in jobs):
        works = [block for job in jobs if job.made.crew == crew for block in job.blocks]
        found = parted(pace, crew, works)
        medians += found.medians
        sigmas += found.sigmas
        shared[crew] = found.shared
    plain = replace(network(jobs, medians, sigmas, hours), job_sigma=pace.scales.job, crew_sigma=shared)
    if like is None:
        return promised(plain, jobs)
    pairs = zip(plain.steps, like.steps, strict=True)
    steps = tuple(replace(step, floor=other.floor, late=other.late) for step, other in pairs)
    return replace(plain, steps=steps, lates=like.lates), {}


def reliability(shops: int, random: np.random.Generator) -> dict[str, Any]:
    """Return how said chances and finishes compare with what happened."""
    hours = usual_hours()
    pairs: dict[str, list[tuple[float, bool]]] = defaultdict(list)
    held: dict[str, list[bool]] = defaultdict(list)
    for number in range(shops):
        world = World(random, 1.0)
        each = (4, 8, 16, 24)[number % 4]
        pace = learn(day for n in range(each * CREWS) for day in world.job(n + 1, n % CREWS).days)
        jobs = ahead(world, random)
        plan, ends = said(pace, jobs, hours)
        by_book, _ = said(Pace(), jobs, hours, plan)
        runs = {"learned": sample(plan, random, SAMPLES), "book": sample(by_book, random, SAMPLES)}
        truths = [happened(world, plan, jobs, random) for _ in range(HAPPEN)]
        for job in jobs:
            came = [int(truth.job_ends(job.number)[0]) for truth in truths]
            for name, chance in (("likely", 0.5), ("80 %", 0.8), ("95 %", 0.95)):
                finish = runs["learned"].finish(job.number, chance)
                held[name] += [end <= finish for end in came]
            for more in SAID_DAYS:
                day = (ends[job.number] // SLOTS_A_DAY + 1 + more) * SLOTS_A_DAY
                chances = {name: run.chance_by(job.number, day) for name, run in runs.items()}
                chances["plan at its word"] = float(ends[job.number] <= day)
                for name, chance in chances.items():
                    pairs[name] += [(chance, end <= day) for end in came]
    bins = [
        (tenth, [(chance, held) for chance, held in pairs["learned"] if min(9, int(chance * 10)) == tenth])
        for tenth in range(10)
    ]
    rows = [
        {
            "said": round(statistics.fmean(chance for chance, _ in ones), 3),
            "held": round(statistics.fmean(held for _, held in ones), 3),
            "days": len(ones),
        }
        for _, ones in bins
        if ones
    ]
    off = [abs(row["said"] - row["held"]) * 100 for row in rows]
    return {
        "shops": shops,
        "jobs": shops * CREWS * AHEAD,
        "times_each": HAPPEN,
        "reliability": rows,
        "reliability_mean_points": round(
            sum(o * row["days"] for o, row in zip(off, rows, strict=True)) / len(pairs["learned"]), 2
        ),
        "reliability_most_points": round(max(off), 2),
        "brier": {
            name: round(statistics.fmean((c - h) ** 2 for c, h in ones), 4) for name, ones in sorted(pairs.items())
        },
        "finish_held": {name: round(statistics.fmean(ones), 3) for name, ones in held.items()},
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
    parser.add_argument("--shops", type=whole(4, 10_000), default=200)
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args()
    randoms = [np.random.default_rng([args.seed, part]) for part in range(2)]
    figures = {
        "seed": args.seed,
        "odds": reliability(args.shops, randoms[0]),
        "speed": speed(randoms[1]),
        "expected": EXPECTED,
    }
    if args.json:
        print(json.dumps(figures, indent=2, ensure_ascii=False))
        return
    for title, part in figures.items():
        print(title if isinstance(part, dict) else f"{title}: {part}")
        for name, value in part.items() if isinstance(part, dict) else ():
            rows = value if isinstance(value, list) else [value]
            for row in rows:
                print(f"  {name.replace('_', ' '):<28} {row}")


if __name__ == "__main__":
    main()
