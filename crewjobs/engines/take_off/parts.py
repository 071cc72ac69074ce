"""Where on a floor the parts of its rooms lie that are worked one after the other, and which piece is laid with which."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from crewjobs.domain.house import Room
from crewjobs.domain.job import Job
from crewjobs.domain.moves import Spot
from crewjobs.engines.laying.cut_list import laying_order
from crewjobs.engines.laying.floors import Floor
from crewjobs.engines.laying.model import Layout, Piece
from crewjobs.engines.take_off.diagonal import turned_back
from crewjobs.engines.take_off.fields import HouseField, Placed, Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A section of a room (or all of it) within its field, and the stage it is worked in; `middle` in 1/4064 inch."""

    spot: Spot
    stage: int
    middle: Vector
    area_ft2: float


def parts_of(job: Job, field: HouseField) -> tuple[Part, ...]:
    """Return the parts of a field in the order in which they are worked, those of one stage in the order of the rooms."""
    found = [
        Part(
            spot=(room.name, section.name),
            stage=job.stage_of(room.name, section.name),
            middle=place.to(_middle(room, section.name)),
            area_ft2=section.area_ft2,
        )
        for place in field.rooms
        for room in (job.room(place.room),)
        for section in room.sections
    ]
    return tuple(sorted(found, key=lambda part: part.stage))


def onward(job: Job, field: HouseField) -> Vector | None:
    """Return the way from the middle of what is worked first to that of the rest; None where all is worked at once."""
    parts = parts_of(job, field)
    first = [part for part in parts if part.stage == parts[0].stage]
    rest = [part for part in parts if part.stage != parts[0].stage]
    if not rest:
        return None
    (x0, y0), (x1, y1) = _center(first), _center(rest)
    return (x1 - x0, y1 - y0) if max(abs(x1 - x0), abs(y1 - y0)) > 1 else None


def line_between(job: Job, field: HouseField) -> Vector | None:
    """Return how the line runs that parts of a room are worked by, on the field's drawing; None where there is none."""
    for place in field.rooms:
        room = job.room(place.room)
        if len({job.stage_of(room.name, section.name) for section in room.sections}) > 1:
            return place.turned((0.0, 1.0))  # sections are cut across a room's length
    return None


def spots_of(
    job: Job, fields: Sequence[HouseField], floor: Floor, layout: Layout, *, diagonal: bool = False
) -> tuple[Spot, ...]:
    """Return for every piece of a layout the part of a room its middle lies in; `diagonal`: rows lie at 45 degrees.

    A piece in a doorway, or over a corner that juts in, is counted to what is nearest.
    """
    rooms = [[(place, job.room(place.room)) for place in field.rooms] for field in fields]
    found: list[Spot] = []
    for piece in layout.pieces:
        run = floor.problem.runs[piece.run]
        rows = floor.fields[run.field]
        near, far = rows.row_at(run.row)
        middle = rows.frame.back(((piece.left + piece.right) // 2, (near + far) // 2))
        found.append(_spot(rooms[run.field], turned_back(middle) if diagonal else middle))
    return tuple(found)


def laid_with(floor: Floor, layout: Layout, lies: Sequence[Spot], stage_of: Callable[[Spot], int]) -> tuple[Spot, ...]:
    """Return the part of a room each piece is laid with: the one it lies in, `lies`, but none before what it goes on from.

    `stage_of` says when a part is laid. Rows are laid one after the other, from the left: what would be laid earlier than the row before it, or than the piece to its
    left, is laid with that.
    """
    runs, found = floor.problem.runs, [*lies]
    stages = {spot: stage_of(spot) for spot in set(lies)}
    before: dict[tuple[int, int], list[int]] = {}
    for i in laying_order(floor, layout):
        piece = layout.pieces[i]
        run = runs[piece.run]
        row = before.setdefault((run.field, run.row), [])
        onto = [k for k in before.get((run.field, run.row - 1), ()) if _beside(layout.pieces[k], piece)]
        left = [k for k in row[-1:] if layout.pieces[k].run == piece.run]
        for others in (onto, left):
            first = min(others, key=lambda k: stages[found[k]], default=None)
            if first is not None and stages[found[first]] > stages[found[i]]:
                found[i] = found[first]
        row.append(i)
    return tuple(found)


def _beside(one: Piece, other: Piece) -> bool:
    return one.left < other.right and other.left < one.right


def stages_of(job: Job, spots: Sequence[Spot]) -> dict[int, int]:
    """Return by piece the stage it is laid in."""
    stages = {spot: job.stage_of(*spot) for spot in set(spots)}
    return {piece: stages[spot] for piece, spot in enumerate(spots)}


def _spot(rooms: list[tuple[Placed, Room]], point: Vector) -> Spot:
    own = [(place.from_field(point), room) for place, room in rooms]
    (x, _), room = min(own, key=lambda one: _aside(one[1], one[0]))
    least = min(corner[0] for corner in room.outline.corners)
    for name, length in room.cuts:
        if x - least < length:
            return room.name, name
        least += length
    return room.name, room.cuts[-1][0] if room.cuts else ""


def _aside(room: Room, point: Vector) -> float:
    """Return how far a point lies from the rectangle around a room, squared; less than nothing in the room itself."""
    if room.outline.holds((round(point[0]), round(point[1]))):
        return -1.0
    total = 0.0
    for axis in (0, 1):
        values = [corner[axis] for corner in room.outline.corners]
        total += max(min(values) - point[axis], 0.0, point[axis] - max(values)) ** 2
    return total


def _middle(room: Room, part: str) -> Vector:
    xs, ys = zip(*room.outline_of(part).corners, strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _center(parts: list[Part]) -> Vector:
    """Return the middle of parts, by their areas: a closet does not turn a room."""
    area = sum(part.area_ft2 for part in parts)
    x, y = (sum(part.middle[axis] * part.area_ft2 for part in parts) / area for axis in (0, 1))
    return x, y
