"""What is scheduled: activities, the starts each may have, what they wait for and what they share.

Times are whole slots from the start of the axis; a slot is a quarter hour in a week plan and one period in the
published instances. An activity occupies its machine and its pools from its start up to, not including, its end.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple


@dataclass(frozen=True, slots=True, kw_only=True)
class StartTable:
    """Every slot an activity may start at in one mode, ascending, and the slot it then ends at (ends exclusive).

    Hours, lunch, nights, days off and rules about pauses are all in here: nothing else knows a calendar.
    A later start may end sooner: by then more people are there.
    """

    starts: Sequence[int]
    ends: Sequence[int]


EMPTY = StartTable(starts=(), ends=())


def always(duration: int, horizon: int) -> StartTable:
    """Return the table of an activity that takes `duration` slots whenever it starts and ends by `horizon`."""
    return StartTable(starts=range(horizon - duration + 1), ends=range(duration, horizon + 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode:
    """One way to do an activity: on a machine (a crew; none is -1) by a start table."""

    table: StartTable
    machine: int = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Activity:
    """Work in one go. `group` is the job it belongs to, `uses` the units it takes of each pool while it runs."""

    modes: tuple[Mode, ...]
    group: int = 0
    uses: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Lag:
    """From the end of one activity to the start of another: `least` slots by the clock, at most `most` if named."""

    before: int
    after: int
    least: int = 0
    most: int | None = None


class Placed(NamedTuple):
    """An activity's place: its mode, start, and end."""

    mode: int
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Activities by their place in `activities`, from 0.

    A machine does one activity at a time. Between activities of two groups it needs `setups[group, group]` slots
    (of the clock; 0 where not named). `pools` are capacities that activities share.
    """

    activities: tuple[Activity, ...]
    lags: tuple[Lag, ...]
    machines: int = 0
    pools: tuple[int, ...] = ()
    setups: Mapping[tuple[int, int], int] = field(default_factory=dict)


Schedule = tuple[Placed, ...]
"""A place for every activity, in the problem's order."""
