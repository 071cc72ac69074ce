"""Made shops whose true paces are known, for the benchmarks of rates and of odds: crews, templates, and the jobs that come of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from crewjobs.domain.pace import DoneTask, WorkedDay

SPANS = {
    "shop": (0.10, 0.30),
    "template": (0.15, 0.35),
    "crew": (0.08, 0.22),
    "own": (0.05, 0.18),
    "condition": (0.05, 0.20),
    "job": (0.10, 0.25),
    "within": (0.15, 0.35),
}
"""Standard deviations of log minutes, each shop's drawn evenly between two bounds. Common practice, no source."""
CREWS, TEMPLATES = 3, 30
TASKS = (10, 40)
"""Tasks of a job, of templates that may come several times: what a job of a few rooms expands to."""
CONDITIONS = ("furnished", "upstairs", "cut-up")
WRONG = 1 / 200
FIRST = date(2026, 3, 2)


class World:
    """One made shop: its truth, which no model sees, and the jobs that come of it."""

    def __init__(
        self, random: np.random.Generator, spread: float, crews: int = CREWS, templates: int = TEMPLATES
    ) -> None:
        self.random = random
        self.crews, self.templates = crews, templates
        self.sd = {name: spread * random.uniform(*span) for name, span in SPANS.items()}
        normal, sd = random.normal, self.sd
        self.pace = (
            normal(0, sd["shop"])
            + normal(0, sd["template"], templates)
            + normal(0, sd["crew"], (crews, 1))
            + normal(0, sd["own"], (crews, templates))
        )
        self.condition = normal(0, sd["condition"], len(CONDITIONS))
        self.size = random.uniform(2.7, 5.0, templates)
        self.often = random.dirichlet(np.full(templates, 2.0))

    def job(self, number: int, crew: int) -> Made:
        """Return a job: its records, and each task with the log of its true mean factor."""
        random = self.random
        off = random.normal(0, self.sd["job"])
        picked = random.choice(self.templates, random.integers(*TASKS), p=self.often)
        holds = [at for at in range(len(CONDITIONS)) if random.random() < 0.3]
        books = np.exp(random.normal(self.size[picked], 0.5))
        middle = self.pace[crew, picked] + self.condition[holds].sum()
        minutes = books * np.exp(middle + off + random.normal(0, self.sd["within"], len(picked)))
        names = frozenset(CONDITIONS[at] for at in holds)
        tasks = tuple(
            DoneTask(number=at, template=f"work {t:02}", book_min=float(book), conditions=names)
            for at, (t, book) in enumerate(zip(picked, books, strict=True))
        )
        more = (self.sd["job"] ** 2 + self.sd["within"] ** 2) / 2
        return Made(
            crew=f"crew {crew}",
            days=tuple(self._days(number, f"crew {crew}", tasks, minutes)),
            tasks=tasks,
            mean_min=float((books * np.exp(middle + more)).sum()),
            minutes=float(minutes.sum()),
        )

    def _days(self, number: int, crew: str, tasks: Sequence[DoneTask], minutes: np.ndarray) -> Iterator[WorkedDay]:
        """Yield the days of a job: up to a crew's day of work each, a task going over to the next by its true share."""
        left, day = [(task, float(took), 1.0) for task, took in zip(tasks, minutes, strict=True)], 0
        while left:
            room, done, labor = self.random.uniform(700, 1500), [], 0.0
            while left and labor < room:
                task, took, share = left.pop(0)
                part = min(1.0, (room - labor) / (took * share))
                part = part if part < 0.95 else 1.0
                labor += took * share * part
                done.append(
                    DoneTask(
                        number=task.number,
                        template=task.template,
                        book_min=task.book_min * share * part,
                        conditions=task.conditions,
                    )
                )
                if part < 1:
                    left.insert(0, (task, took, share * (1 - part)))
                    break
            if self.random.random() < WRONG:
                labor *= 10 ** self.random.uniform(-1, 1)
            said = max(15.0, 15 * round(labor / 15))
            yield WorkedDay(
                job=number, crew=crew, day=FIRST + timedelta(days=day), labor_min=min(said, 11_000.0), done=tuple(done)
            )
            day += 1


@dataclass(frozen=True, slots=True)
class Made:
    """A job with its truth: `mean_min` is what its tasks take its crew on the average, `minutes` what they took."""

    crew: str
    days: tuple[WorkedDay, ...]
    tasks: tuple[DoneTask, ...]
    mean_min: float
    minutes: float
