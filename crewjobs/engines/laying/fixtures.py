"""Where a flange, a vent, a pipe, a cable or a jamb comes through: which row and piece, and how far from its ends.

Points and rectangles are given on the drawing, as the outline is. Distances are in the frame: left and right along the row as
seen by who faces the starting wall, near to and far from that wall across it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.engines.laying.floors import Floor
from crewjobs.engines.laying.model import Kind, Layout, Point


class Side(StrEnum):
    """A side of a piece."""

    LEFT = "left"
    RIGHT = "right"
    NEAR = "near"
    FAR = "far"


@dataclass(frozen=True, slots=True, kw_only=True)
class CutOut:
    """What is cut out of one piece (lengths in 1/4064 inch, distances from its sides; rows count from 0).

    `open` are the sides at which the cut-out reaches the piece's edge: none, a hole in it; else a notch. `piece` is the number
    of the piece in the layout, `place` which piece of its run it is, from 0.
    """

    field: int
    row: int
    run: int
    piece: int
    place: int
    kind: Kind
    from_left: int
    from_right: int
    from_near: int
    from_far: int
    width: int
    depth: int
    open: frozenset[Side]

    @property
    def inside(self) -> bool:
        """Return whether it is a hole, closed all around."""
        return not self.open


def cut_outs(floor: Floor, layout: Layout, field: int, one: Point, other: Point | None = None) -> list[CutOut]:
    """Return the cut-outs for a point, or for the rectangle between two corners; a rectangle may cut several pieces.

    Raises:
        Refused: no piece of the field lies there.
    """
    rows = floor.fields[field]
    (ax, ay), (bx, by) = rows.frame.to(one), rows.frame.to(other or one)
    left, right, near, far = min(ax, bx), max(ax, bx), min(ay, by), max(ay, by)
    found, place, last = [], 0, -1
    for number, piece in enumerate(layout.pieces):
        place = place + 1 if piece.run == last else 0
        last = piece.run
        run = floor.problem.runs[piece.run]
        if run.field != field:
            continue
        low, high = rows.row_at(run.row)
        if not (_meet(piece.left, piece.right, left, right) and _meet(low, high, near, far)):
            continue
        distances = {
            Side.LEFT: left - piece.left,
            Side.RIGHT: piece.right - right,
            Side.NEAR: near - low,
            Side.FAR: high - far,
        }
        found.append(
            CutOut(
                field=field,
                row=run.row,
                run=piece.run,
                piece=number,
                place=place,
                kind=piece.kind,
                from_left=max(0, distances[Side.LEFT]),
                from_right=max(0, distances[Side.RIGHT]),
                from_near=max(0, distances[Side.NEAR]),
                from_far=max(0, distances[Side.FAR]),
                width=min(right, piece.right) - max(left, piece.left),
                depth=min(far, high) - max(near, low),
                open=frozenset(side for side, distance in distances.items() if distance <= 0),
            )
        )
    if not found:
        raise Refused(
            f"{quoted(rows.field.name)}: no plank lies where the fixture is: measure it from the same corner as the walls."
        )
    return found


def _meet(low: int, high: int, begin: int, end: int) -> bool:
    """Return whether a stretch of a piece and one of a fixture share more than an edge; a point lies in what begins with it."""
    return low <= begin < high if begin == end else low < end and begin < high
