"""What of a job cannot be laid as it is written, found when its file is read: one sentence each, with what can be changed.

A job that is kept already may still say such a thing: its floors are then told to be counted by area, and why.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from crewjobs.domain.house import Opening, Room, Transition
from crewjobs.domain.job import Job
from crewjobs.domain.layout import Direction
from crewjobs.domain.material import Material, Method
from crewjobs.domain.pattern import Pattern
from crewjobs.domain.units import quoted

OUTSIDE: Final = "outside"


def faults_of_laying(job: Job) -> Iterator[str]:
    """Yield a sentence for everything in a job that no floor can be laid by."""
    yield from overlap_faults(job.openings)
    yield from continuous_faults(job.openings, job.rooms)
    yield from outside_faults(job.openings)
    yield from obstacle_faults(job.rooms)
    yield from start_wall_faults(job.rooms)
    yield from pattern_faults(job.materials)
    yield from pad_faults(job.rooms, job.materials)


def obstacle_faults(rooms: Sequence[Room]) -> Iterator[str]:
    """Yield a sentence for every two obstacles that share floor, and for a room of which they leave nothing."""
    for room in rooms:
        for place, obstacle in enumerate(room.obstacles):
            for other in room.obstacles[:place]:
                if obstacle.outline.overlaps(other.outline):
                    yield (
                        f"room {quoted(room.name)}: {quoted(other.name)} and {quoted(obstacle.name)} lie on each other: give them as one, "
                        "by its corners."
                    )
        if room.obstacles and room.net_ft2 <= 0:
            yield f"room {quoted(room.name)}: what stands in it leaves no floor: look at its sizes."


def start_wall_faults(rooms: Sequence[Room]) -> Iterator[str]:
    """Yield a sentence for every room whose rows are to begin at a wall that they do not run along."""
    for room in rooms:
        if not room.start_wall or room.rows is Direction.UNSAID:
            continue
        (x0, y0), (x1, y1) = room.outline.sides[0]
        (a0, b0), (a1, b1) = room.outline.sides[room.start_wall - 1]
        first = abs(x1 - x0) >= abs(y1 - y0)
        if (first == (abs(a1 - a0) >= abs(b1 - b0))) != (room.rows is Direction.ALONG):
            other = "across" if room.rows is Direction.ALONG else "along"
            yield (
                f"room {quoted(room.name)}: rows that begin at wall {room.start_wall} run {other} the first wall, and rows says "
                f"{room.rows}: leave one of the two out."
            )


def pattern_faults(materials: Sequence[Material]) -> Iterator[str]:
    """Yield a sentence for every material whose pieces cannot lie in its pattern."""
    for material in materials:
        if material.pattern is Pattern.HERRINGBONE and material.plank_width == material.plank_length:
            yield (
                f"material {quoted(material.name)}: squares make no herringbone: they are laid in a grid, a third offset or a diagonal grid."
            )


def outside_faults(openings: Sequence[Opening]) -> Iterator[str]:
    """Yield a sentence for every opening through which a floor is to run on out of the house."""
    for opening in openings:
        if opening.transition is Transition.CONTINUOUS and OUTSIDE in opening.between:
            yield f'opening {quoted(opening.name)}: no floor runs on outside: give it a strip, such as transition = "threshold".'


def pad_faults(rooms: Sequence[Room], materials: Sequence[Material]) -> Iterator[str]:
    """Yield a sentence for every room whose floor is glued down and is to lie on a pad."""
    glued = {material.name for material in materials if material.method is Method.GLUED}
    for room in rooms:
        if room.pad and room.floor in glued:
            yield f"room {quoted(room.name)}: {quoted(room.floor)} is glued down, and a pad is to lie under it: leave the pad out."


def overlap_faults(openings: Sequence[Opening]) -> Iterator[str]:
    """Yield a sentence for every two openings that are said to lie on each other in one wall."""
    known: dict[tuple[str, int], list[tuple[int, int, str]]] = {}
    for opening in openings:
        for name, wall, offset in zip(opening.between, opening.walls, opening.offsets, strict=True):
            if not wall:
                continue
            others = known.setdefault((name, wall), [])
            for start, end, other in others:
                if offset < end and start < offset + opening.width:
                    yield (
                        f"openings {quoted(other)} and {quoted(opening.name)} lie on each other in wall {wall} of room {quoted(name)}: "
                        "look at their offsets and widths."
                    )
            others.append((offset, offset + opening.width, opening.name))


def continuous_faults(openings: Sequence[Opening], rooms: Sequence[Room]) -> Iterator[str]:
    """Yield a sentence for every opening through which two different floors are to run on as one."""
    floors = {room.name: room.floor for room in rooms}
    for opening in openings:
        one, other = (floors.get(name) for name in opening.between)
        if opening.transition is Transition.CONTINUOUS and one and other and one != other:
            yield (
                f"opening {quoted(opening.name)}: a floor cannot run on from {quoted(one)} to {quoted(other)}: give it a strip, such as "
                'transition = "T-mold", or both rooms one material.'
            )
