"""Walls in words, as they are recognized on coming into a room."""

from __future__ import annotations

from collections.abc import Iterable
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
_BRIEFLY: Final = {
    Seen.AHEAD: "facing you",
    Seen.LEFT: "on your left",
    Seen.RIGHT: "on your right",
    Seen.BEHIND: "that you come in through",
}
_SLANT: Final = {
    Seen.LEFT: "to your left",
    Seen.RIGHT: "to your right",
    Seen.AHEAD: "away from you",
    Seen.BEHIND: "toward you",
}
_COUNTED: Final = "are counted from 1 along the corners of the job file, the first is the room's length (in which wall an opening is was not said)"


def wall_words(job: Job, room: str, wall: int, units: UnitSystem) -> str:
    """Return a wall (counted from 1) as somebody sees it who comes in, with its length.

    For example ``the wall of living on your left as you come in from hall (18' 6")``; by its number where it is not said in
    which wall any opening is.
    """
    found = seen(job, job.room(room), wall)
    length = format_length(found.length, units)
    name = "window wall" if found.window else "wall"
    across = " across from the windows" if found.opposite_window else ""
    if found.side is Seen.BEHIND and not found.entered:
        return (
            f"the {name} of {room}{across} behind you as you come in from {found.coming_from} ({_which(found, length)})"
        )
    if found.side is None:
        known = found.window or found.opposite_window
        return f"{f'the {name}' if known else f'wall {wall}'} of {room}{across} ({length})"
    return f"the {name} of {room}{across} {_SEEN[found.side].format(found.coming_from)} ({_which(found, length)})"


def wall_legend(job: Job, room: str, units: UnitSystem) -> str:
    """Return which number is which wall of a room, with their lengths, as a sentence.

    For example ``Walls of kitchen as you come in from hall: 1 facing you (12' 4"), 2 on your right (11' 8"), 3 that you come in through
    (12' 4"), 4 on your left (11' 8").``; where it is not said in which wall any opening is, how walls are counted.
    """
    there = job.room(room)
    found = [seen(job, there, wall) for wall in range(1, len(there.outline.corners) + 1)]
    sides = [_briefly(one) for one in found]
    coming = found[0].coming_from
    head = f"as you come in from {coming}" if coming else _COUNTED
    walls = [
        " ".join(filter(None, (str(one.wall), side, f"({format_length(one.length, units)})")))
        for one, side in zip(found, sides, strict=True)
    ]
    return f"Walls of {room} {head}: {', '.join(walls)}."


def wall_legends(job: Job, rooms: Iterable[str], units: UnitSystem) -> tuple[str, ...]:
    """Return which number is which wall, once for each room."""
    return tuple(wall_legend(job, room, units) for room in dict.fromkeys(rooms))


def _briefly(found: SeenWall) -> str:
    """Return on which side a wall is; of several behind who comes in only one is the one come in through."""
    if found.side is None:
        return ""
    side = "behind you" if found.side is Seen.BEHIND and not found.entered else _BRIEFLY[found.side]
    return f"{side}, slanted {_SLANT[found.slanted]}" if found.slanted is not None else side


def _which(found: SeenWall, length: str) -> str:
    """Return its length, and its number where others lie on the same side."""
    return length if found.alone else f"wall {found.wall}, {length}"
