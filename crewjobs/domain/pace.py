"""How fast a crew works: what a day at a house was spent on, and the rate that is learned from such days."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from math import isfinite
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted

MOST_LABOR_MIN: Final = 8 * 24 * 60
"""Labor minutes of one crew at one house on one day: eight people around the clock (`domain.evening.CrewHours`)."""
SLOWEST: Final = 20.0
"""A rate typed by hand lies between a twentieth of the book's time and twenty times it; beyond, a digit slipped."""


class HoursKind(StrEnum):
    """What hours at a house were. Only work tells a pace; the others are kept apart and added up."""

    WORK = "work"
    CALLBACK = "callback"
    DRY_RUN = "dry run"
    WAITING = "waiting"


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneTask:
    """What was done of a task: `number` is the task's in its job, `book_min` the labor minutes the book gives for that part.

    Book minutes are book rate × quantity × the share that got done, with the book's own factors. `conditions` are those that
    hold where the task is (furnished, upstairs, cut-up); the model learns what they cost beyond the book's factors.
    """

    number: int
    template: str
    book_min: float
    conditions: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        if not (isfinite(self.book_min) and self.book_min > 0):
            raise Refused(
                f"task {self.number} ({quoted(self.template)}): {self.book_min:g} minutes by the book; it is more than 0."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedDay:
    """A crew's labor minutes at a house on a day, breaks taken off, and what they were spent on.

    The minutes are known for all of `done` together; where minutes were told of one task, they are a record of their own
    with that task alone. `labor_min` are minutes of one person, everybody's added up. Of several `days` whose work cannot be told
    apart, `day` is the last.

    Raises:
        Refused: no labor, or more than eight people can do in a day; the same task twice.
    """

    job: int
    crew: str
    day: date
    labor_min: float
    done: tuple[DoneTask, ...] = ()
    kind: HoursKind = HoursKind.WORK
    days: int = 1

    def __post_init__(self) -> None:
        faults = list(self._faults())
        if faults:
            raise Refused([f"job {self.job}, {self.day.isoformat()}, {quoted(self.crew)}: {fault}" for fault in faults])

    def _faults(self) -> Iterator[str]:
        if self.days < 1 or not 0 < self.labor_min <= MOST_LABOR_MIN * self.days:
            yield (
                f"{self.labor_min / 60:g} h of one person; it is more than 0 and at most {MOST_LABOR_MIN // 60 * self.days}, "
                "eight people around the clock."
            )
        numbers = [task.number for task in self.done]
        for number in sorted({number for number in numbers if numbers.count(number) > 1}):
            yield f"task {number} is there twice; add up what was done of it."

    @property
    def book_min(self) -> float:
        """Return the labor minutes that the book gives for all that was done."""
        return sum(task.book_min for task in self.done)

    @property
    def tells_pace(self) -> bool:
        """Return whether a pace can be learned from it: work, with something done."""
        return self.kind is HoursKind.WORK and bool(self.done)


@dataclass(frozen=True, slots=True, kw_only=True)
class RatePin:
    """A rate set by hand: a crew takes `factor` times the book's minutes for work of a template, whatever was learned.

    Raises:
        Refused: the factor is not between a twentieth and twenty.
    """

    crew: str
    template: str
    factor: float

    def __post_init__(self) -> None:
        if not 1 / SLOWEST <= self.factor <= SLOWEST:
            raise Refused(
                f"{quoted(self.crew)}, {quoted(self.template)}: {self.factor:g} times the book's time; "
                f"it is from {1 / SLOWEST:g} to {SLOWEST:g}."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class LearnedRate:
    """A crew's pace at work of a template: how many times the book's minutes it takes.

    `factor` is the median, `low` and `high` bound the 80 % band of the crew's mean pace (equal to it where pinned).
    `spread` is the standard deviation of the log of one task's minutes on a new job: what is not known of the pace, how jobs
    differ, and how tasks of a job do. `jobs` counts the jobs behind it, `learned` is the median where a pin outranks it.
    """

    crew: str
    template: str
    factor: float
    low: float
    high: float
    spread: float
    jobs: int
    learned: float
    pinned: bool = False

    def per_man_day(self, book: float) -> float:
        """Return the amount one person does in a man-day of 8 h, in the unit in which `book` is the book's amount."""
        return book / self.factor

    def per_man_day_band(self, book: float) -> tuple[float, float]:
        """Return the 80 % band of `per_man_day`, the slower amount first."""
        return book / self.high, book / self.low
