"""The jobs ahead of a made shop for ``tests.benchmarks.odds``: planned, with what is unsure of them, and as they really go.

How late deliveries come is drawn for each shop (`deliveries`) and told to no model: what is said of them is learned from what came of
the deliveries of the shop's history.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from crewjobs.domain.pace import DoneTask
from crewjobs.engines.learning.lateness import Kept, Lateness, WordKind
from crewjobs.engines.learning.lateness import Late as Held
from crewjobs.engines.learning.pace import Pace
from crewjobs.engines.learning.predicting import parted
from crewjobs.engines.planning.calendars import SLOTS_A_DAY, Calendar, calendar_of
from crewjobs.engines.planning.coming_late import Late
from crewjobs.engines.planning.odds import After, Network, Sampled, Step, sample
from crewjobs.services.odds.lateness import how_late
from tests.benchmarks.made_shops import CREWS, Made, World

AHEAD = 6
PEOPLE = 3
BLOCK = (2, 7)
WAIT_CHANCE, WAIT = 0.3, SLOTS_A_DAY
LATE_SHARE = 0.3
"""Of jobs, in the history and ahead, this share waits for a delivery."""
LATE_CHANCES, LATE_MEANS = (0.05, 0.5), (0.5, 4.0)
"""A shop's hidden chance that a delivery is late, and its hidden mean of days then, each drawn evenly between two bounds. Common
practice, no source."""
DAYS = 170


@dataclass(frozen=True, slots=True)
class Deliveries:
    """How deliveries really come to a shop: the chance that one is late, and its mean days then."""

    chance: float
    mean_days: float

    def days(self, random: np.random.Generator) -> float:
        """Return by how many days one delivery is late, 0 for what comes in time."""
        return float(random.exponential(self.mean_days)) if random.random() < self.chance else 0.0

    def history(self, jobs: int, random: np.random.Generator) -> list[Kept]:
        """Return what came of the deliveries of so many jobs."""
        lates = [self.days(random) for _ in range(jobs) if random.random() < LATE_SHARE]
        return [Kept(kind=WordKind.DELIVERY, late=days > 0, days=days) for days in lates]


def deliveries(random: np.random.Generator) -> Deliveries:
    """Return how deliveries come to a shop, drawn."""
    return Deliveries(chance=float(random.uniform(*LATE_CHANCES)), mean_days=float(random.uniform(*LATE_MEANS)))


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


def promised(plain: Network, jobs: Sequence[Ahead], lateness: Lateness) -> tuple[Network, dict[int, int]]:
    """Return the plan that comes of a network without spread, each job's first block no earlier than in it, and its planned ends.

    A delivery is due two days before its job's planned start, and held to be as late as was learned.
    """
    held = lateness.of(WordKind.DELIVERY)
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
            lates.append(_late(f"job {step.job}", due, held))
            late = (f"job {step.job}",)
        steps.append(replace(step, floor=start, late=late))
    return replace(plain, steps=tuple(steps), lates=tuple(lates)), ends


def _late(name: str, due: int, held: Held) -> Late:
    return Late(name=name, due=due, how=how_late(held, WordKind.DELIVERY))


def happened(
    world: World, come: Deliveries, plan: Network, jobs: Sequence[Ahead], random: np.random.Generator
) -> Sampled:
    """Return the jobs as they really went, once: true paces, and deliveries as they come to the shop, whatever was held of either."""
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
        by = come.days(random) * SLOTS_A_DAY
        came.append(Late(name=late.name, due=late.due + int(np.ceil(by))))
    return sample(Network(steps=tuple(steps), lates=tuple(came)), random, 1)


CONDITION_AT = {"furnished": 0, "upstairs": 1, "cut-up": 2}


def said(
    pace: Pace, lateness: Lateness, jobs: Sequence[Ahead], hours: Calendar, like: Network | None = None
) -> tuple[Network, dict[int, int]]:
    """Return the plan by a pace with what it holds unsure, and planned ends; with `like` its floors and due dates instead."""
    medians, sigmas, leans, shared = list[float](), list[float](), list[float](), dict[str, float]()
    for crew in dict.fromkeys(job.made.crew for job in jobs):
        works = [block for job in jobs if job.made.crew == crew for block in job.blocks]
        found = parted(pace, crew, works)
        medians += found.medians
        sigmas += found.sigmas
        leans += found.leans
        shared[crew] = found.shared
    blocks = network(jobs, medians, sigmas, hours)
    plain = replace(
        blocks,
        steps=tuple(replace(step, lean=lean) for step, lean in zip(blocks.steps, leans, strict=True)),
        job_sigma=pace.scales.job,
        crew_sigma=shared,
    )
    if like is None:
        return promised(plain, jobs, lateness)
    pairs = zip(plain.steps, like.steps, strict=True)
    steps = tuple(replace(step, floor=other.floor, late=other.late) for step, other in pairs)
    held = lateness.of(WordKind.DELIVERY)
    return replace(plain, steps=steps, lates=tuple(_late(one.name, one.due, held) for one in like.lates)), {}
