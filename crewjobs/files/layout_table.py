"""What a job file says of a room's layout: what is laid around, and what comes through the floor."""

from __future__ import annotations

from dataclasses import dataclass

from crewjobs.domain.errors import Refused
from crewjobs.domain.layout import CutOut, Obstacle
from crewjobs.domain.outline import Outline, Point
from crewjobs.domain.units import quoted
from crewjobs.files.faults import At
from crewjobs.files.values import length_text, read_length, read_two_lengths


@dataclass(frozen=True, slots=True, kw_only=True)
class ObstacleTable:
    """An island, a hearth or a column as its table spells it: its near corner and size, or all its corners."""

    name: str
    at: Point | None = None
    size: tuple[int, int] | None = None
    corners: tuple[Point, ...] | None = None

    def value(self) -> Obstacle:
        """Return the obstacle.

        Raises:
            Refused: neither a place with a size nor corners, or both; corners that are no outline.
        """
        if self.corners is not None:
            if self.at is not None or self.size is not None:
                raise At("corners", f"{quoted(self.name)} has a place or size too: give one or the other.")
            try:
                return Obstacle(name=self.name, outline=Outline(corners=self.corners))
            except Refused as fault:
                raise At("corners", fault) from None
        if self.at is None or self.size is None:
            key = "at" if self.at is None else "size"
            raise At(
                key, 'missing; write at = ["3\'", "4\' 6"] (its near corner) and size = "60 in x 36 in", or corners.'
            )
        (x, y), (length, width) = self.at, self.size
        ring = ((x, y), (x + length, y), (x + length, y + width), (x, y + width))
        return Obstacle(name=self.name, outline=Outline(corners=ring))


def read_point(value: object, _: object) -> Point:
    """Return a point of a room from two lengths, along its length and across it."""
    if not isinstance(value, list) or len(value) != 2:
        raise Refused('a place in a room is two lengths from its first corner, such as ["3\'", "4\' 6"].')
    return read_coordinate(value[0]), read_coordinate(value[1])


def read_offsets(value: object, _: object) -> Point:
    """Return how far from the first corner of its wall an opening begins, on both sides."""
    if not isinstance(value, list) or len(value) != 2:
        raise Refused(
            'offsets are one for each of the two sides, in the order of between, such as walls = [2, 0] with offsets = ["2\'", "0"].'
        )
    right = "an offset is 0 or more, from where the wall begins"
    return read_coordinate(value[0], right), read_coordinate(value[1], right)


def read_space(value: object, _: object) -> int:
    """Return what stays free at the walls or between tiles; nothing is ``0``."""
    return read_coordinate(value, "a joint or a gap is 0 or more")


def read_flange(value: object, _: object) -> int:
    """Return how far a closet flange's top stands above the present floor, less than zero where it lies below (``-1/4 in``)."""
    if not isinstance(value, str) or not value.strip().startswith(("-", "\N{MINUS SIGN}")):
        return read_coordinate(value)
    try:
        return -read_coordinate(value.strip()[1:])
    except Refused:
        raise Refused(
            f"{quoted(value)} is not how far below the floor it lies: write it with its unit, such as -1/4 in or -6 mm."
        ) from None


def flange_text(flange: int) -> str:
    """Return how a flange stands to the present floor, as `read_flange` reads it back."""
    return f"{'-' * (flange < 0)}{coordinate_text(abs(flange))}"


def read_coordinate(value: object, right: str = "measure every corner from one outer corner of the room") -> int:
    """Return a length from the room's first corner; nothing is ``0``, `right` is what to do about one that is negative."""
    if value == 0 or (isinstance(value, str) and value.strip() == "0"):
        return 0
    if isinstance(value, str) and value.strip().startswith(("-", "−")):
        raise Refused(f"{quoted(value)} is negative: {right}.")
    return read_length(value)


def read_extent(value: object, _: object) -> tuple[int, int]:
    """Return along and across from text such as ``60 in x 36 in``."""
    return read_two_lengths(value, 'a size: write along x across, such as "60 in x 36 in"')


def obstacle_data(obstacle: Obstacle) -> dict[str, object]:
    """Return an obstacle as its table spells it."""
    ring = obstacle.outline.corners
    (x, y), (length, width) = ring[0], obstacle.outline.size
    if ring == ((x, y), (x + length, y), (x + length, y + width), (x, y + width)):
        size = f"{length_text(length)} x {length_text(width)}"
        return {"name": obstacle.name, "at": point_data((x, y)), "size": size}
    return {"name": obstacle.name, "corners": [point_data(corner) for corner in ring]}


def cut_out_data(cut_out: CutOut) -> dict[str, object]:
    """Return what comes through the floor as its table spells it."""
    size = " x ".join(length_text(side) for side in cut_out.size)
    return {"what": cut_out.what, "at": point_data(cut_out.at), "size": size}


def point_data(point: Point) -> list[str]:
    """Return a point as two lengths."""
    return [coordinate_text(length) for length in point]


def coordinate_text(length: int) -> str:
    """Return a length from the first corner; nothing is ``0``."""
    return length_text(length) if length else "0"
