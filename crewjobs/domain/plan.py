"""The week plan as it is kept: which crew does which tasks when, and why there."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Final, NamedTuple

from crewjobs.domain.tasks import Phase


class BlockKey(NamedTuple):
    """A block is named by its job and the lowest number among its tasks: both never change meaning."""

    job: int
    task: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """One block with one crew. `start` and `end` are UTC instants on the quarter hour.

    Between them lie lunch and nights where the work may pause. `reason` is one sentence for people:
    what fixes the start. `people` is how many of the crew it is planned with, 0 for all of them. `pace` says of each task
    how many times the book's minutes it was planned with (empty: by the book), `spread` how far all the crew's work at the
    job may be off: the standard deviation of the log of its minutes (None: as the estimates say).
    """

    key: BlockKey
    tasks: tuple[int, ...]
    phase: Phase
    stage: int
    crew: str
    start: datetime
    end: datetime
    reason: str
    people: int = 0
    pace: tuple[float, ...] = ()
    spread: float | None = None

    def __post_init__(self) -> None:
        if self.pace and len(self.pace) != len(self.tasks):
            raise ValueError(f"a block of {len(self.tasks)} tasks has {len(self.pace)} paces")

    def cut(self, tasks: Collection[int], end: datetime) -> Placement:
        """Return the block with some of its tasks alone, each with its pace, and another end."""
        kept = [place for place, task in enumerate(self.tasks) if task in tasks]
        return replace(
            self,
            tasks=tuple(self.tasks[place] for place in kept),
            pace=tuple(self.pace[place] for place in kept) if self.pace else (),
            end=end,
        )


NOT_BOOKED: Final = ", not booked"
"""How it ends why nothing is planned of a job that nobody has agreed to yet."""


NO_ROOMS: Final = "no rooms yet, so no tasks"
"""Why nothing is planned of a job that came from a list, in words for people."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Work of a job that has no place in the plan, and why: one sentence for people; no tasks where none are known yet."""

    job: int
    tasks: tuple[int, ...]
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """The block that holds this task stays with this crew on this day (of the site)."""

    job: int
    task: int
    crew: str
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Unkept:
    """A pin that no plan keeps, so that its work is planned without it: `why` is one sentence, `instead` where it is now."""

    pin: Pin
    why: str
    instead: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekPlan:
    """One immutable version of the plan. `number` is 0 until it is stored; `based_on` is the change it saw.

    One that is `proposed` is not in force: it waits to be accepted. `unkept` are the pins it was made without; they are
    said when it is made and not stored, but the reasons of their work's places name them.
    """

    made_at: datetime
    until: datetime
    placements: tuple[Placement, ...]
    left_out: tuple[LeftOut, ...]
    number: int = 0
    based_on: int = 0
    proposed: bool = False
    unkept: tuple[Unkept, ...] = ()
