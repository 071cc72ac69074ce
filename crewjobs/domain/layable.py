"""What of a job cannot be laid as it is written, found when its file is read: one sentence each, with what can be changed.

A job that is kept already may still say such a thing: its floors are then told to be counted by area, and why.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from crewjobs.domain.house import Opening, Room, Transition
from crewjobs.domain.job import Job
from crewjobs.domain.material import Material
from crewjobs.domain.pattern import Pattern
from crewjobs.domain.units import quoted


def faults_of_laying(job: Job) -> Iterator[str]:
    """Yield a sentence for everything in a job that no floor can be laid by."""
    yield from overlap_faults(job.openings)
    yield from continuous_faults(job.openings, job.rooms)
    yield from obstacle_faults(job.rooms)
    yield from pattern_faults(job.materials)


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


def pattern_faults(materials: Sequence[Material]) -> Iterator[str]:
    """Yield a sentence for every material whose pieces cannot lie in its pattern."""
    for material in materials:
        if material.pattern is Pattern.HERRINGBONE and material.plank_width == material.plank_length:
            yield (
                f"material {quoted(material.name)}: squares make no herringbone: they are laid in a grid, a third offset or a diagonal grid."
            )


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
