"""Records for tests of what is learned: plain days, and made shops whose true paces are known."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from crewjobs.domain.pace import DoneTask, WorkedDay

FIRST = date(2026, 3, 2)


def day(job, labor, *done, crew="Birch", after=0, **more):
    """Return a day at a house; `done` are (template, book minutes) or (template, book minutes, conditions)."""
    tasks = tuple(
        DoneTask(number=number, template=one[0], book_min=one[1], conditions=frozenset(one[2:]))
        for number, one in enumerate(done, start=1)
    )
    return WorkedDay(job=job, crew=crew, day=FIRST + timedelta(days=after), labor_min=labor, done=tasks, **more)


@dataclass(frozen=True)
class Shop:
    """A made shop: its records, and the true log factor of each crew at each template."""

    days: list[WorkedDay]
    true: dict[tuple[str, str], float]


def shop(seed, jobs, *, crews=3, templates=8, job=0.15, within=0.2, conditions=()):
    """Return a made shop: each job 1 to 3 days with 2 to 5 tasks a day, known only by the day's sum."""
    random = np.random.default_rng(seed)
    names = [f"crew {number}" for number in range(crews)]
    works = [f"work {number}" for number in range(templates)]
    base = random.normal(0, 0.15)
    of_work, of_crew = random.normal(0, 0.25, templates), random.normal(0, 0.15, crews)
    own = random.normal(0, 0.1, (crews, templates))
    true = {
        (name, work): float(base + of_work[t] + of_crew[c] + own[c, t])
        for c, name in enumerate(names)
        for t, work in enumerate(works)
    }
    days = []
    for number in range(1, jobs + 1):
        crew = names[random.integers(crews)]
        off = random.normal(0, job)
        for later in range(random.integers(1, 4)):
            holds = [name for name, _ in conditions if random.random() < 0.5]
            cost = sum(effect for name, effect in conditions if name in holds)
            picked = random.choice(templates, random.integers(2, 6), replace=False)
            books = np.exp(random.normal(4.5, 0.6, len(picked)))
            logs = [true[crew, works[t]] + off + cost + random.normal(0, within) for t in picked]
            done = [(works[t], float(book), *holds) for t, book in zip(picked, books, strict=True)]
            # numbers differ from day to day: each task is done in one day
            tasks = tuple(
                DoneTask(number=10 * later + at, template=one[0], book_min=one[1], conditions=frozenset(one[2:]))
                for at, one in enumerate(done)
            )
            labor = float((books * np.exp(logs)).sum())
            days.append(
                WorkedDay(job=number, crew=crew, day=FIRST + timedelta(days=later), labor_min=labor, done=tasks)
            )
    return Shop(days=days, true=true)
