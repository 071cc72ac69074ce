"""The bar of the day: houses, drives, lunch and the waits that end, on one line of hours."""

from dataclasses import dataclass
from datetime import time
from typing import Literal

from crewjobs.paper.model import DayPlan
from crewjobs.paper.wording import wait_title, waits_by_clock

MINUTES_A_DAY = 24 * 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A stretch of the day; `house` is its number on the page, None for drives and lunch."""

    kind: Literal["house", "drive", "lunch"]
    start: int
    end: int
    house: int | None = None
    job: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """An instant at which a wait ends or a reading is due."""

    at: int
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DayBar:
    """All values are minutes after midnight; `first` and `last` are whole hours."""

    first: int
    last: int
    bars: tuple[Bar, ...]
    marks: tuple[Mark, ...]


def minutes(at: time) -> int:
    """Minutes after midnight by the wall clock."""
    return at.hour * 60 + at.minute


def day_bar(plan: DayPlan) -> DayBar | None:
    """The bar of a plan; None on a day without any stretch of time in it."""
    bars = [
        *(Bar(kind="drive", start=minutes(leg.start), end=minutes(leg.end)) for leg in plan.drives),
        *(
            Bar(
                kind="house",
                start=minutes(house.arrive),
                end=minutes(house.leave),
                house=house.number,
                job=house.job,
            )
            for house in plan.houses
            if not house.not_today
        ),
    ]
    if plan.lunch is not None:
        bars.append(Bar(kind="lunch", start=minutes(plan.lunch.start), end=minutes(plan.lunch.end)))
    # A stretch past midnight is drawn to the end of this day's line.
    bars = [bar if bar.end >= bar.start else _to_midnight(bar) for bar in bars]
    marks = sorted(
        (Mark(at=minutes(at), label=wait_title(wait)) for at, wait in waits_by_clock(plan)),
        key=lambda mark: mark.at,
    )
    edges = [minutes(at) for at in (plan.start, plan.back_by) if at is not None]
    edges += [edge for bar in bars for edge in (bar.start, bar.end)]
    if not bars:
        return None
    edges += [mark.at for mark in marks]
    first = min(edges) // 60 * 60
    last = max(first + 60, -(-max(edges) // 60) * 60)
    return DayBar(first=first, last=last, bars=tuple(bars), marks=tuple(marks))


def _to_midnight(bar: Bar) -> Bar:
    return Bar(kind=bar.kind, start=bar.start, end=MINUTES_A_DAY, house=bar.house, job=bar.job)
