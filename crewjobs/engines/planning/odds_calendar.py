"""Calendars as arrays, so that all samples of a plan are moved through them at once.

Times are slots of a quarter hour, one a sample. The rules of starting and pausing are those of the planner's start tables.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from crewjobs.domain.tasks import Pause
from crewjobs.engines.planning.calendars import Calendar

Slots = npt.NDArray[np.int32]

NEVER: Final = 2**30
"""The end of what does not fit on the calendar's axis: later than any day that can be asked for."""


class Lookup:
    """A calendar as arrays: working slots before each slot, the slot of each of them, and the room left in its stretch.

    Each has an entry more, for what lies behind the last working slot.
    """

    def __init__(self, calendar: Calendar) -> None:
        self.total = calendar.total
        self.longest = {pause: calendar.longest(pause) for pause in (Pause.LUNCH, Pause.NONE)}
        self.longest_day = calendar.longest_day
        at = np.array(calendar.at, dtype=np.int32)
        worked = np.zeros(int(at[-1]) + 2 if self.total else 1, dtype=np.int32)
        worked[at + 1] = 1
        self.before = np.cumsum(worked, dtype=np.int32)
        self.after = np.append(at + 1, np.int32(NEVER)).astype(np.int32)
        lengths = np.array(calendar.ends, dtype=np.int64) - np.array(calendar.starts, dtype=np.int64)
        by_day = np.repeat(np.array(calendar.day_end, dtype=np.int64), lengths)
        by_window = np.repeat(np.array(calendar.before, dtype=np.int64) + lengths, lengths)
        self.day_end = by_day.astype(np.int32)
        index = np.arange(self.total)
        day, window = (np.append(ends - index, NEVER).astype(np.int32) for ends in (by_day, by_window))
        self.room = {Pause.NIGHT: day, Pause.LUNCH: day, Pause.NONE: window}

    def worked(self, ready: Slots, work: Slots, pause: Pause, unsplit: int, opening: int) -> Slots:
        """Return the slot after the last of `work` working slots from the first slot at which they may start.

        Before a night `opening` slots at least are worked on the first day, and all of up to `unsplit`, as in `starts.StartTables`.
        Work longer than any stretch it may not leave starts with one and goes on in the next.
        """
        index = self.before.take(ready, mode="clip")
        self._make_room(index, self._least(work, pause, unsplit, opening), self.room[pause])
        found: Slots = self.after.take(index + work - 1, mode="clip")
        return found

    def _least(self, work: Slots, pause: Pause, unsplit: int, opening: int) -> Slots:
        """Return the working slots that must be left in the stretch that work starts in."""
        if pause is Pause.NIGHT:
            first = np.where(work <= unsplit, work, np.int32(opening))
            return np.minimum(first, np.int32(self.longest_day))
        return np.minimum(work, np.int32(self.longest[pause]))

    def _make_room(self, index: Slots, least: Slots, room: Slots) -> None:
        """Move indices to the start of the first stretch with enough room, in place."""
        short = np.flatnonzero(room.take(index) < least)
        while short.size:
            moved = index[short]
            moved += room.take(moved)
            index[short] = moved
            short = short[room.take(moved) < least[short]]

    def driven(self, end: Slots, drive: int) -> Slots:
        """Return the slot from which a crew that ends at a slot can be elsewhere, `drive` slots of its hours away.

        Where its day has no room for the drive it goes home, and the next morning's drive counts, as in `timeline`.
        """
        if drive == 0 or self.total == 0:
            return end
        done = self.before.take(end, mode="clip")
        until = np.minimum(done + np.int32(drive), self.day_end.take(done - 1, mode="clip"))
        found: Slots = np.maximum(self.after.take(until - 1, mode="clip"), end)
        return found


def looked_up(lookups: dict[int, Lookup], calendar: Calendar) -> Lookup:
    """Return a calendar as arrays, made once."""
    if id(calendar) not in lookups:
        lookups[id(calendar)] = Lookup(calendar)
    return lookups[id(calendar)]
