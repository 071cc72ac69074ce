"""Start tables: every slot at which work may start with a crew at a house, and the slot it then ends at.

Hours, lunch, nights, days off, holidays, site hours, blocked days, the drive and the rules about pauses are all in
them. The planner, its search and the solver read the same tables.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator

from crewjobs.domain.tasks import Pause
from crewjobs.engines.planning.calendars import Calendar, Window
from crewjobs.engines.scheduling.model import EMPTY, StartTable

Stretches = tuple[tuple[int, ...], tuple[int, ...]]
"""The slots work may start at, and how many working slots lie before each."""


class Starts:
    """The starts of `work` slots of work on a calendar, ascending.

    Tables of one calendar with the same room for a start share their slots: only where work ends differs.
    """

    __slots__ = ("_at", "_index", "_slots", "_usable", "work")

    def __init__(self, calendar: Calendar, stretches: Stretches, work: int) -> None:
        self.work = work
        self._slots, self._index = stretches
        self._at = calendar.at
        self._usable = bisect_right(self._index, calendar.total - work)

    def first(self, low: int, high: int) -> Window | None:
        """Return the earliest start from slot `low` on and its end, if that is no later than `high`."""
        i = bisect_left(self._slots, low)
        if i >= self._usable:
            return None
        end = self._at[self._index[i] + self.work - 1] + 1
        return (self._slots[i], end) if end <= high else None

    def last(self, low: int, high: int) -> Window | None:
        """Return the latest start that ends no later than slot `high`, and its end, if it is no earlier than `low`."""
        i = bisect_right(self._index, bisect_left(self._at, high) - self.work) - 1
        if i < 0 or self._slots[i] < low:
            return None
        return self._slots[i], self._at[self._index[i] + self.work - 1] + 1

    def table(self, low: int, high: int) -> StartTable:
        """Return the starts from slot `low` on whose work ends by `high`, with their ends."""
        i = bisect_left(self._slots, low)
        j = bisect_right(self._index, bisect_left(self._at, high) - self.work)
        if i >= j:
            return EMPTY
        more = self.work - 1
        return StartTable(starts=self._slots[i:j], ends=tuple(self._at[q + more] + 1 for q in self._index[i:j]))


class StartTables:
    """The start tables of one plan, each made once."""

    def __init__(self) -> None:
        self._stretches: dict[tuple[int, bool, int], Stretches] = {}
        self._tables: dict[tuple[int, int, Pause, int], Starts] = {}
        self._calendars: dict[int, Calendar] = {}  # kept, so that no other calendar gets the id of one that is gone

    def of(self, calendar: Calendar, work: int, pause: Pause, opening: int) -> Starts:
        """Return the starts of `work` slots of work; `opening` slots at least are worked on its first day.

        Unless the work, or every day of the calendar, is shorter. `pause` says over what it may stop.
        """
        key = (id(calendar), work, pause, opening)
        found = self._tables.get(key)
        if found is None:
            night = pause is Pause.NIGHT
            least = min(work, opening, calendar.longest_day) if night else work
            self._calendars[id(calendar)] = calendar
            shared = (id(calendar), pause is Pause.NONE, least)
            if shared not in self._stretches:
                self._stretches[shared] = _with_room(calendar, pause, least)
            found = self._tables[key] = Starts(calendar, self._stretches[shared], work)
        return found


def _with_room(calendar: Calendar, pause: Pause, least: int) -> Stretches:
    """Return the slots with at least so many working slots left in their stretch: a window, or a day."""
    at: list[int] = []
    index: list[int] = []
    for begin, end in _stretches(calendar, pause):
        room = end - least + 1
        if room > begin:
            at += calendar.at[begin:room]
            index += range(begin, room)
    return tuple(at), tuple(index)


def _stretches(calendar: Calendar, pause: Pause) -> Iterator[tuple[int, int]]:
    """Yield the stretches of working slots that work without such a pause may not leave, as indices."""
    if pause is Pause.NONE:
        for start, end, before in zip(calendar.starts, calendar.ends, calendar.before, strict=True):
            yield before, before + end - start
    else:
        yield from dict.fromkeys(zip(calendar.day_begin, calendar.day_end, strict=True))
