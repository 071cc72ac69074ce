"""Walls in words, as they are recognized on coming into a room."""

from __future__ import annotations

from typing import Final

from crewjobs.domain.job import Job
from crewjobs.domain.units import UnitSystem, format_length
from crewjobs.engines.take_off.entering import Seen, SeenWall, seen

_SEEN: Final = {
    Seen.AHEAD: "facing you as you come in from {}",
    Seen.LEFT: "on your left as you come in from {}",
    Seen.RIGHT: "on your right as you come in from {}",
    Seen.BEHIND: "that you come in through from {}",
}


def wall_words(job: Job, room: str, wall: int, units: UnitSystem) -> str:
    """Return a wall (counted from 1) as somebody sees it who comes in, with its length.

    For example ``the wall of living on your left as you come in from hall (18' 6")``; by its number where it is not said in
    which wall any opening is.
    """
    found = seen(job, job.room(room), wall)
    length = format_length(found.length, units)
    name = "window wall" if found.window else "wall"
    across = " across from the windows" if found.opposite_window else ""
    if found.side is None:
        known = found.window or found.opposite_window
        return f"{f'the {name}' if known else f'wall {wall}'} of {room}{across} ({length})"
    return f"the {name} of {room}{across} {_SEEN[found.side].format(found.coming_from)} ({_which(found, length)})"


def _which(found: SeenWall, length: str) -> str:
    """Return its length, and its number where others lie on the same side."""
    return length if found.alone else f"wall {found.wall}, {length}"
