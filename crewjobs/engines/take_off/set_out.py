"""How a pattern is set out in its field: which way it runs, and the walls its lines are measured from."""

from __future__ import annotations

from dataclasses import dataclass

from crewjobs.domain.house import Room
from crewjobs.domain.job import Job
from crewjobs.engines.laying.frames import Frame, Wall
from crewjobs.engines.take_off.fields import HouseField
from crewjobs.engines.take_off.floors import along_x, side_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Runs:
    """Which way a pattern runs on the field's drawing, and whether a lead asked for it."""

    along_x: bool
    asked: bool


def runs_of(job: Job, field: HouseField) -> Runs:
    """Return how a pattern runs: as the lead said (rows, start_wall), else along the field's longer extent."""
    for place in field.rooms:
        room = job.room(place.room)
        if room.start_wall:
            return Runs(along_x=side_of(field, room, room.start_wall).along_x, asked=True)
        if room.rows:
            return Runs(along_x=along_x(field, room, room.rows), asked=True)
    xs, ys = ([point[axis] for point in field.field.outline] for axis in (0, 1))
    return Runs(along_x=max(xs) - min(xs) >= max(ys) - min(ys), asked=False)


def outermost(job: Job, field: HouseField, side: Wall) -> tuple[Room, int]:
    """Return the room and its wall (from 1) that lies farthest out on a side of the drawing, the longest of such."""
    frame, found = Frame(wall=side), list[tuple[int, int, str, int]]()
    for place in field.rooms:
        room = job.room(place.room)
        for wall, length in enumerate(room.outline.walls, 1):
            if side_of(field, room, wall) is side:
                x, y = place.to(room.outline.corners[wall - 1])
                to_x, to_y = place.to(room.outline.corners[wall % len(room.outline.corners)])
                out = max(frame.to((round(x), round(y)))[1], frame.to((round(to_x), round(to_y)))[1])
                found.append((out, -length, room.name, wall))
    _, _, name, wall = min(found)
    return job.room(name), wall


def extent_of(job: Job, field: HouseField, gap: int, frame: Frame | None = None) -> tuple[int, int, int, int]:
    """Return left, low, right and high of the rooms of a field within their gap, in a frame: doorways are not in it."""
    turn = frame or Frame()
    points = [
        turn.to((round(x), round(y)))
        for place in field.rooms
        for x, y in map(place.to, job.room(place.room).outline.corners)
    ]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs) + gap, min(ys) + gap, max(xs) - gap, max(ys) - gap
