"""Records as arrays: a row a day at a house, an entry a task done that day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from crewjobs.domain.pace import WorkedDay
from crewjobs.engines.learning.effects import effects_of
from crewjobs.engines.learning.scales import Effect

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike:
    """Jobs with the same number of days: `rows` (jobs × days) are their records."""

    rows: Ints


@dataclass(frozen=True, slots=True, kw_only=True)
class Records:
    """Days at houses in the order of jobs, and what was done on them.

    For each record: `said`, the log of its labor minutes. For each entry: its record (`row`), the log of its book minutes, the
    places of its effects (padded with `effects`, the number of them), and which task of its job it is (`task`, from 0).
    """

    days: tuple[WorkedDay, ...]
    said: Floats
    row: Ints
    book: Floats
    places: Ints
    task: Ints
    effects: int
    most_tasks: int
    alike: tuple[Alike, ...]
    bounds: Mapping[int, tuple[int, int]]

    @property
    def count(self) -> int:
        """Return the number of records."""
        return len(self.days)


def ordered(days: Iterable[WorkedDay]) -> tuple[WorkedDay, ...]:
    """Return those records that tell a pace, in one order whatever order they come in."""
    return tuple(sorted((day for day in days if day.tells_pace), key=_order))


def _order(day: WorkedDay) -> tuple[object, ...]:
    done = tuple(sorted((one.number, one.book_min, one.template, sorted(one.conditions)) for one in day.done))
    return (day.job, day.day.toordinal(), day.crew, day.labor_min, done)


def as_arrays(days: Sequence[WorkedDay], places: Mapping[Effect, int]) -> Records:
    """Return ordered records as arrays; every effect of theirs has a place."""
    effects = len(places)
    rows: list[int] = []
    book: list[float] = []
    found: list[list[int]] = []
    tasks: list[int] = []
    bounds: dict[int, tuple[int, int]] = {}
    numbers: dict[int, int] = {}
    for row, day in enumerate(days):
        if day.job not in bounds:
            numbers = {}
        bounds[day.job] = (bounds.get(day.job, (row, row))[0], row + 1)
        for task in sorted(day.done, key=lambda one: one.number):
            rows.append(row)
            book.append(task.book_min)
            found.append([places[effect] for effect in effects_of(day.crew, task.template, task.conditions)])
            tasks.append(numbers.setdefault(task.number, len(numbers)))
    widest = max(map(len, found), default=1)
    padded = [[*one, *[effects] * (widest - len(one))] for one in found]
    return Records(
        days=tuple(days),
        said=np.log(np.array([day.labor_min for day in days], dtype=float)),
        row=np.array(rows, dtype=np.intp),
        book=np.log(np.array(book, dtype=float)),
        places=np.array(padded, dtype=np.intp).reshape(-1, widest),
        task=np.array(tasks, dtype=np.intp),
        effects=effects,
        most_tasks=max(tasks, default=0) + 1,
        alike=_alike(bounds),
        bounds=bounds,
    )


def _alike(bounds: Mapping[int, tuple[int, int]]) -> tuple[Alike, ...]:
    lengths = sorted({end - start for start, end in bounds.values()})
    return tuple(
        Alike(rows=np.array([range(start, end) for start, end in bounds.values() if end - start == length]))
        for length in lengths
    )
