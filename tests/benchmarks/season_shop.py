"""The demo shop's season for ``tests.benchmarks.season``: jobs like its own come in, and what is true of its crews, which no policy sees.

Crews, hours, task templates and houses are those of ``seed_data``; subs are left out, since they have no rates. Every house comes again
and again, its work a fifth more or less each time. True paces, conditions, jobs and tasks differ by `SPANS`, as in
``tests.benchmarks.rates``; deliveries keep their day or come later. Everything is drawn by the seed and the job's number, so that all
policies work the same jobs.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import cache
from typing import Final

import numpy as np

from crewjobs.domain.crew import Shop
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import to_utc
from crewjobs.engines.estimating.worked import conditions
from crewjobs.engines.readiness.lots import is_carry_in
from crewjobs.files.catalogue import read_catalogue
from crewjobs.files.detect import Loaded
from crewjobs.services.jobs import loading
from crewjobs.services.resources import seed_folder
from tests.benchmarks.made_shops import SPANS

FIRST: Final = date(2026, 3, 2)
JOBS_A_DAY: Final = 0.85
"""How many jobs come in on a working day; with those of the demo the crews then have work for two thirds of their hours by the book."""
HOUSE_SPREAD: Final = 0.2
DELIVERED: Final = (4, 11)
"""Days from coming in to the day the floor is due, the last left out."""
LATE_CHANCE, LATE_DAYS = 0.25, 2.5
MORNING, DELIVERY = 5 * 60, 10 * 60
"""Minutes of the site's day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """A job of the season: the day it comes in, when its floor is due, and when that really comes."""

    record: JobRecord
    on: date
    due: datetime
    comes: datetime

    @property
    def number(self) -> int:
        """Return the job's number."""
        return self.record.job.number

    def waiting(self) -> Iterator[Task]:
        """Yield the tasks that wait for the floor: carrying it in, and laying where nothing is carried in."""
        yield from (task for task in self.record.tasks if is_carry_in(task) or task.needs_material is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """What every task takes each crew in labor minutes over the book's: by job, crew and task."""

    factors: Mapping[tuple[int, str, int], float]

    def minutes(self, record: JobRecord, crew: str, number: int) -> float:
        """Return the labor minutes that a whole task takes a crew."""
        return record.task(number).estimate.expected * self.factors[record.job.number, crew, number]


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """A shop, the jobs that come in, in their order, and what is true."""

    shop: Shop
    jobs: tuple[Coming, ...]
    truth: Truth


def workdays(shop: Shop, start: date, end: date) -> int:
    """Return the working days of the shop after one date up to another, below 0 where that lies before it."""
    if end < start:
        return -workdays(shop, end, start)
    days = (start + timedelta(days=n) for n in range(1, (end - start).days + 1))
    return sum(1 for day in days if day.weekday() < 5 and day not in shop.holidays)


def later(shop: Shop, day: date, days: int) -> date:
    """Return the date so many working days of the shop after another."""
    while days > 0:
        day += timedelta(days=1)
        days -= day.weekday() < 5 and day not in shop.holidays
    return day


def season(seed: int, jobs: int) -> Season:
    """Return the season of a seed with so many jobs."""
    random = np.random.default_rng([seed, 2])
    seeds = _demo()
    shop = seeds.shop
    assert shop is not None
    shop = replace(shop, crews=tuple(crew for crew in shop.crews if crew.sub is None))
    day, coming = FIRST, list[Coming]()
    for number in range(1, jobs + 1):
        while random.random() > JOBS_A_DAY / (1 + JOBS_A_DAY):
            day = later(shop, day, 1)
        coming.append(_coming(seeds, shop, number, day, np.random.default_rng([seed, 3, number])))
    return Season(shop=shop, jobs=tuple(coming), truth=_truth(shop, coming, seed))


@cache
def _demo() -> Loaded:
    return loading.read([path for path in sorted(seed_folder().glob("*.toml")) if path.name != "history.toml"])


def _coming(seeds: Loaded, shop: Shop, number: int, on: date, random: np.random.Generator) -> Coming:
    house = seeds.jobs[int(random.integers(len(seeds.jobs)))]
    plain = replace(
        house,
        number=number,
        title=f"{house.title} ({number})",
        state=JobState.BOOKED,
        promised=None,
        wished=None,
        orders=(),
        goods=(),
        callback_of=None,
    )
    size = float(np.exp(random.normal(0, HOUSE_SPREAD)))
    made = loading.fresh_record(plain, read_catalogue((), shop.units))
    record = replace(made, tasks=tuple(replace(task, estimate=task.estimate.times(size)) for task in made.tasks))
    day = on + timedelta(days=int(random.integers(*DELIVERED)))
    by = random.exponential(LATE_DAYS) if random.random() < LATE_CHANCE else 0.0
    due, comes = (_delivered(shop, day + timedelta(days=int(np.ceil(more)))) for more in (0.0, by))
    return Coming(record=record, on=on, due=due, comes=comes)


def _delivered(shop: Shop, day: date) -> datetime:
    """Return when trucks come on a day, or on the working day after it."""
    while day.weekday() >= 5 or day in shop.holidays:
        day += timedelta(days=1)
    return to_utc(shop.zone, day, DELIVERY)


def _truth(shop: Shop, jobs: list[Coming], seed: int) -> Truth:
    random = np.random.default_rng([seed, 4])
    sd = {name: random.uniform(*span) for name, span in SPANS.items()}
    names = sorted({task.key.template for job in jobs for task in job.record.tasks})
    base = random.normal(0, sd["shop"])
    template = dict(zip(names, random.normal(0, sd["template"], len(names)), strict=True))
    crews = {crew.name: random.normal(0, sd["crew"]) for crew in shop.crews}
    own = {(crew.name, name): random.normal(0, sd["own"]) for crew in shop.crews for name in names}
    where = {(job.number, task.number): conditions(job.record, task) for job in jobs for task in job.record.tasks}
    cost = {
        name: random.normal(0, sd["condition"]) for name in sorted({one for ones in where.values() for one in ones})
    }
    factors = {}
    for job in jobs:
        drawn = np.random.default_rng([seed, 5, job.number])
        off = drawn.normal(0, sd["job"])
        for task in job.record.tasks:
            more = off + drawn.normal(0, sd["within"]) + sum(cost[one] for one in where[job.number, task.number])
            for crew in shop.crews:
                log = base + template[task.key.template] + crews[crew.name] + own[crew.name, task.key.template] + more
                factors[job.number, crew.name, task.number] = float(np.exp(log))
    return Truth(factors=factors)
