"""What a tap on − or + makes of a line of the evening's sheet, so that it can be filled without a keyboard.

Each takes what stands there and 1 or -1, and returns what stands there next; what cannot be read stays as it is.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import DAY, clock
from crewjobs.files.evening_text import read_clock, read_hours, read_how_far, read_pause, read_people, read_wait

Step = Callable[[str, int], str]
_MINUTES: Final = 15
_SHARE: Final = 10
"""Per cent."""


def _or_as_it_is(step: Step) -> Step:
    def tried(text: str, way: int) -> str:
        try:
            return step(text, way)
        except Refused:
            return text

    return tried


def time_step(planned: str) -> Step:
    """A time of day, or hours worked, a quarter of an hour on or back; begun at the planned time."""

    def step(text: str, way: int) -> str:
        worked = read_hours(text) if text else None
        if worked is not None:
            return f"{max(worked + way * _MINUTES, _MINUTES) / 60:g} h"
        return clock((read_clock(text or planned) + way * _MINUTES) % DAY)

    return _or_as_it_is(step)


def people_step(most: int) -> Step:
    """One more or fewer of the crew's people that day."""
    return _or_as_it_is(lambda text, way: str(min(max(read_people(text or str(most)) + way, 1), max(most, 1))))


def pause_step(planned: int) -> Step:
    """A quarter of an hour more or less of break."""
    return _or_as_it_is(lambda text, way: str(max(read_pause(text or str(planned)) + way * _MINUTES, 0)))


def wait_step(text: str, way: int) -> str:
    """A quarter of an hour more or less of waiting; what was waited for stays."""

    def step(text: str, way: int) -> str:
        minutes, why = read_wait(text or "0")
        left = max(minutes + way * _MINUTES, 0)
        return f"{left} min {why}".strip() if left or why else ""

    return _or_as_it_is(step)(text, way)


def share_step(text: str, way: int) -> str:
    """A tenth more or less done, told in per cent; what is typed in rows or feet stays."""

    def step(text: str, way: int) -> str:
        far = read_how_far(text or "0 %")
        share = min(max(round(far.done) + way * _SHARE, 0), 100)
        return text if far.unit != "%" else f"{share} %" if share else ""

    return _or_as_it_is(step)(text, way)
