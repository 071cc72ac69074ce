"""Rows at 45 degrees: the field turned, from which corner they begin, and where a turned point lies on the drawing.

A field turned by 45 degrees is one of straight rows with angled walls. Its first row lies across a corner of the room.
"""

from __future__ import annotations

from math import cos, hypot, radians, sin
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import Room
from crewjobs.domain.job import Job
from crewjobs.engines.laying.directions import Direction, WallReason, WayReason
from crewjobs.engines.laying.floors import Laid, floor_of
from crewjobs.engines.laying.frames import Frame, Wall
from crewjobs.engines.laying.model import Field, Product
from crewjobs.engines.laying.patterns import DIAGONAL, turned
from crewjobs.engines.laying.rows import Rips
from crewjobs.engines.take_off.fields import HouseField, Vector

_COS: Final = cos(radians(DIAGONAL))
_SIN: Final = sin(radians(DIAGONAL))


def turned_to(point: Vector) -> Vector:
    """Return where a point of the drawing lies once the field is turned."""
    x, y = point
    return x * _COS - y * _SIN, x * _SIN + y * _COS


def turned_back(point: Vector) -> Vector:
    """Return where a point of the turned field lies on the drawing."""
    x, y = point
    return x * _COS + y * _SIN, y * _COS - x * _SIN


def propose_diagonal(product: Product, field: HouseField, asked: tuple[Room, int] | None) -> Direction:
    """Return the corner at which rows begin, as the side of the turned field that it is: fewest rows, then fewest slivers.

    `asked` is a room with a wall of it (from 1): rows begin at the corner where that wall begins.

    Raises:
        Refused: no row is wide enough from any corner (the sentence is the first one's).
    """
    diagonal = turned(field.field)
    if asked is not None:
        side = _side_of(diagonal, field.place_of(asked[0].name).to(asked[0].outline.corners[asked[1] - 1]))
        return Direction(wall=side, way=WayReason.ASKED, why_wall=WallReason.ASKED, rips=_rips(product, diagonal, side))
    found: dict[Wall, Rips] = {}
    faults: list[Refused] = []
    for wall in Wall:
        try:
            found[wall] = _rips(product, diagonal, wall)
        except Refused as fault:
            faults.append(fault)
    if not found:
        raise faults[0]
    figures = {wall: (len(rips.widths), rips.slivers) for wall, rips in found.items()}
    best = min(found, key=lambda wall: figures[wall])
    alone = sum(figures[wall] == figures[best] for wall in found) < len(found)
    why = WallReason.FEWEST_SLIVERS if alone else WallReason.EITHER
    way = WayReason.FEWEST_ROWS if len({rows for rows, _ in figures.values()}) > 1 else WayReason.EITHER
    return Direction(wall=best, way=way, why_wall=why, rips=found[best])


def corner_of(job: Job, field: HouseField, side: Wall) -> tuple[str, int]:
    """Return the room, and the wall of it (from 1) that begins in the corner at which rows from a side begin."""
    frame, diagonal = Frame(wall=side), turned(field.field)
    first = min(diagonal.outline, key=lambda point: frame.to(point)[1])
    at = turned_back(first)

    def far(room: str, corner: Vector) -> float:
        x, y = field.place_of(room).to(corner)
        return hypot(x - at[0], y - at[1])

    corners = [
        (far(place.room, corner), place.room, number)
        for place in field.rooms
        for number, corner in enumerate(job.room(place.room).outline.corners, 1)
    ]
    _, room, wall = min(corners)
    return room, wall


def _side_of(diagonal: Field, corner: Vector) -> Wall:
    """Return the side of a turned field that a corner of the room lies nearest to."""
    x, y = turned_to(corner)
    point = round(x), round(y)

    def off(wall: Wall) -> int:
        frame = Frame(wall=wall)
        return frame.to(point)[1] - min(frame.to(one)[1] for one in diagonal.outline)

    return min(Wall, key=off)


def _rips(product: Product, diagonal: Field, wall: Wall) -> Rips:
    return floor_of(product, [Laid(field=diagonal, wall=wall)]).fields[0].rips
