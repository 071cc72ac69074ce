"""What is known in the evening: how far the work got, the crew's hours at a house, what was found."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from crewjobs.domain.errors import Refused
from crewjobs.domain.found import Photo
from crewjobs.domain.units import quoted

LONGEST_DAY = timedelta(hours=24)


@dataclass(frozen=True, slots=True, kw_only=True)
class HowFar:
    """How far a task under way is: so many of so many, in the unit people counted (rows, ft², steps); the latest counts."""

    task: int
    at: datetime
    done: float
    whole: float
    unit: str

    def __post_init__(self) -> None:
        if not self.whole > 0 or not 0 <= self.done <= self.whole:
            raise Refused(f"{self.done:g} of {self.whole:g} {self.unit} cannot be: it is between 0 and {self.whole:g}.")

    @property
    def share(self) -> float:
        """Return the share done, 0..1."""
        return self.done / self.whole


def latest(said: Sequence[HowFar], task: int, at: datetime | None = None) -> HowFar | None:
    """Return how far a task was said to be last, by an instant where one is given; None if nobody said."""
    known = [one for one in said if one.task == task and (at is None or one.at <= at)]
    return max(reversed(known), key=lambda one: one.at, default=None)  # of the same instant the one said last


def share_left(said: Sequence[HowFar], task: int) -> float:
    """Return the share of an open task that is left by what was said of it last, 0..1; all of it where nobody said."""
    far = latest(said, task)
    return 1.0 if far is None else 1 - far.share


def last_open(said: Sequence[HowFar], task: int) -> HowFar | None:
    """Return the latest that was said of a task while it was not all done: it cannot have been done before that."""
    return latest([one for one in said if one.share < 1], task)


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewHours:
    """A crew at a house: from when to when (UTC), and how many people; breaks in minutes are taken off.

    `wait_min` of the time there, breaks not among them, all of them waited (for a delivery, another trade, a key: `wait_why`).
    """

    crew: str
    start: datetime
    stop: datetime
    people: int
    break_min: int = 0
    wait_min: int = 0
    wait_why: str = ""

    def __post_init__(self) -> None:
        if self.stop <= self.start:
            raise Refused(f"{quoted(self.crew)}: the crew stopped before it started.")
        if self.stop - self.start > LONGEST_DAY:
            raise Refused(f"{quoted(self.crew)}: more than 24 hours in a day.")
        if not 1 <= self.people <= 8:
            raise Refused(f"{quoted(self.crew)}: {self.people} people; it is 1 to 8.")
        if self.break_min < 0 or timedelta(minutes=self.break_min) >= self.stop - self.start:
            there = (self.stop - self.start) // timedelta(minutes=1)
            raise Refused(
                f"{quoted(self.crew)}: a break of {self.break_min} min; it is shorter than the time there, {there} min."
            )
        if not 0 <= self.wait_min <= self.minutes:
            raise Refused(
                f"{quoted(self.crew)}: {self.wait_min} min of waiting; it is 0 to {self.minutes}, the time there without breaks."
            )

    @property
    def minutes(self) -> int:
        """Return the minutes by the clock, without breaks; what was waited is among them."""
        return (self.stop - self.start) // timedelta(minutes=1) - self.break_min

    @property
    def labor(self) -> int:
        """Return the labor minutes: each person's at work, added up; waiting is none."""
        return (self.minutes - self.wait_min) * self.people

    @property
    def waited(self) -> int:
        """Return the minutes of waiting: each person's, added up."""
        return self.wait_min * self.people


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What was found in a place of the house, in the words of who found it.

    `kind` is the catalogue's, empty where none fits. `area_ft2` is how much of it is seen, `year` when the layer went in, where
    known. `holds` are the tasks it held when it was recorded: they stay on hold until a way on is taken. `work` is the job's extra
    work that was added for it (empty: none), after which it dries for `dry_min` minutes by the clock.
    """

    at: datetime
    place: str
    what: str
    by: str = ""
    kind: str = ""
    area_ft2: float | None = None
    year: int | None = None
    photos: tuple[Photo, ...] = ()
    holds: tuple[int, ...] = ()
    work: str = ""
    dry_min: int = 0

    @property
    def order(self) -> str:
        """Return what the change order of its work is called."""
        return f"{self.kind} in {self.place}: {self.work}"

    def further_order(self, nth: int) -> str:
        """Return what the change order of more of its work is called, seen after the first was asked for; `nth` counts from 1."""
        return f"more {self.order}" if nth == 1 else f"more ({nth}) {self.order}"

    def about_its_work(self, order: str) -> bool:
        """Return whether a change order of that name is of its work: the first one, or of more of it."""
        return order == self.order or re.fullmatch(rf"more (\(\d+\) )?{re.escape(self.order)}", order) is not None

    def __post_init__(self) -> None:
        if not self.what.strip():
            raise Refused("a finding says what was found.")


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseEntry:
    """What was typed for one house of the sheet; every field as typed, empty where nothing was.

    `house` is its number on the page, `job` is given where the house is not on the page. `tasks` are answers by the
    task's number (``done 14:20``, ``9/19 rows``), `found` the findings (``kitchen: wet at the sink``).
    """

    house: int
    job: int | None = None
    start: str = ""
    stop: str = ""
    people: str = ""
    pause: str = ""
    wait: str = ""
    tasks: tuple[tuple[int, str], ...] = ()
    found: tuple[str, ...] = ()

    @property
    def empty(self) -> bool:
        """Return whether nothing was typed for it."""
        times = (self.start, self.stop, self.people, self.pause, self.wait)
        texts = (*times, *(answer for _, answer in self.tasks), *self.found)
        return not any(text.strip() for text in texts)


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningEntry:
    """A crew's printed sheet of a day, typed back: its houses in the page's order.

    With `again` the times typed for a house stand in the place of those recorded for it that day; others stay.
    """

    houses: tuple[HouseEntry, ...] = ()
    again: bool = False
