"""The floors of a job as fields: rooms whose floor runs on are one outline, others end in the middle of their doorways.

A room joined to another is turned and moved so that both sides of the opening face each other, as far apart as the doorway is
deep. The field has the corner points of its first room, moved so that none is negative.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import DEEPEST_THROAT, Opening, Room, Transition
from crewjobs.domain.job import Job
from crewjobs.domain.outline import Outline, Point
from crewjobs.domain.units import INCH, format_length
from crewjobs.domain.wording import listed
from crewjobs.engines.laying.model import Field
from crewjobs.engines.take_off.walls import wall_of

Vector = tuple[float, float]
THINNEST: Final = INCH // 16
"""Rooms that open into each other without a wall between are laid out so far apart: their walls do not touch."""
MOST_OFF: Final = INCH
"""Sides of a doorway that lie so far beside each other, by all that was measured, are those of a doorway measured a little off."""
_OVER: Final = INCH // 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Where a room lies in its field: turned (cosine, sine), then moved; 1/4064 inch."""

    room: str
    turn: Vector
    shift: Vector

    def to(self, point: Vector) -> Vector:
        """Return a point of the room in the field."""
        (x, y), (c, s) = point, self.turn
        return c * x - s * y + self.shift[0], s * x + c * y + self.shift[1]

    def from_field(self, point: Vector) -> Vector:
        """Return a point of the field in the room."""
        (x, y), (c, s) = (point[0] - self.shift[0], point[1] - self.shift[1]), self.turn
        return c * x + s * y, c * y - s * x

    def turned(self, direction: Vector) -> Vector:
        """Return a direction of the room in the field."""
        (x, y), (c, s) = direction, self.turn
        return c * x - s * y, s * x + c * y


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseField:
    """A floor laid in one go: its rooms with their places, and its outline as the layout takes it.

    `doorways` are the numbers of corners in the middle of doorways, where the floor ends under a strip.
    """

    field: Field
    rooms: tuple[Placed, ...]
    doorways: frozenset[int] = frozenset()

    def place_of(self, room: str) -> Placed:
        """Return where a room lies."""
        return next(one for one in self.rooms if one.room == room)


@dataclass(frozen=True, slots=True)
class _Gap:
    """An opening on a wall, in the direction that keeps the room to the left: where it begins and ends."""

    opening: Opening
    side: int
    start: float
    end: float


def fields_of(job: Job, material: str, taken_as: list[str]) -> tuple[HouseField, ...]:
    """Return the fields of a material in the order of the job's rooms; what was assumed is added to `taken_as`.

    Raises:
        Refused: rooms that lie on each other by where their openings are said to be.
    """
    rooms = {room.name: room for room in job.rooms if room.floor == material}
    found, seen = [], set[str]()
    taken_as += _unsaid(job, rooms)
    for room in rooms.values():
        if room.name not in seen:
            joined = _Joined(rooms, job.openings, seen)
            found.append(joined.field(room))
            taken_as += joined.taken_as
    return tuple(found)


def _unsaid(job: Job, rooms: Mapping[str, Room]) -> Iterator[str]:
    """Say of which openings it is not known where they are."""
    strips = []
    for opening in job.openings:
        sides = [side for side in (0, 1) if opening.between[side] in rooms]
        if all(opening.walls[side] for side in sides):
            continue
        if opening.transition is Transition.CONTINUOUS and len(sides) == 2:
            yield (
                f"{opening.name} runs on without a strip, and it is not said in which walls that opening is (walls, offsets): "
                "laid out room by room, cut pieces shared"
            )
        else:
            strips.append(opening.name)
    if strips:
        yield f"the floor in the doorways of {listed(strips, most=6)} is left out: it is not said in which walls they are"


class _Joined:
    """Walks along the walls of a room and, through openings without a strip, of those joined to it."""

    def __init__(self, rooms: Mapping[str, Room], openings: Sequence[Opening], seen: set[str]) -> None:
        self._rooms, self._openings, self._seen = rooms, openings, seen
        self._together = frozenset[str]()  # rooms of this field
        self._placed: list[Placed] = []
        self._ends: list[Vector] = []  # corners in the middle of doorways
        self._closing: dict[
            str, list[tuple[Vector, Vector]]
        ] = {}  # both sides of openings between rooms joined elsewhere
        self.taken_as: list[str] = []

    def field(self, first: Room) -> HouseField:
        """Return the field that begins with a room."""
        self._together = frozenset(self._reached(first.name))
        ring = [*self._ring(first, Placed(room=first.name, turn=(1.0, 0.0), shift=(0.0, 0.0)), None)]
        holes, cut = list[list[Vector]](), list[list[Vector]]()
        for place in self._placed:
            room = self._rooms[place.room]
            for obstacle in room.obstacles:
                at_wall = any(wall_of(room, side) is not None for side in obstacle.outline.sides)
                (cut if at_wall else holes).append([place.to(corner) for corner in obstacle.outline.corners])
        ring, more = _without(ring, cut)
        holes += more
        try:
            ring, more = self._closed(ring)
        except Refused:
            ring, more = ring, []  # rooms that lie on each other: said below
        holes += more
        left, top = min(x for x, _ in ring), min(y for _, y in ring)
        name = " + ".join(place.room for place in self._placed)
        corners = _plain([(round(x - left), round(y - top)) for x, y in ring])
        try:
            Outline(corners=corners)
        except Refused as fault:
            if len(self._placed) == 1:
                raise
            raise Refused(
                f"{listed([place.room for place in self._placed], most=6)} lie on each other by where their openings are said to "
                "be: look at walls and offsets of the openings without a strip."
            ) from fault
        rooms = tuple(
            Placed(room=one.room, turn=one.turn, shift=(one.shift[0] - left, one.shift[1] - top))
            for one in self._placed
        )
        moved = tuple(_plain([(round(x - left), round(y - top)) for x, y in hole]) for hole in holes)
        ends = {(round(x - left), round(y - top)) for x, y in self._ends}
        doorways = frozenset(number for number, corner in enumerate(corners) if corner in ends)
        return HouseField(field=Field(name=name, outline=corners, holes=moved), rooms=rooms, doorways=doorways)

    def _reached(self, first: str) -> set[str]:
        """Return the rooms that a room's floor runs on into."""
        found, new = set[str](), {first}
        while new:
            found |= new
            new = {
                name
                for one in self._openings
                if one.transition is Transition.CONTINUOUS and all(one.walls) and found & {*one.between}
                for name in one.between
                if name in self._rooms
            } - found
        return found

    def _ring(self, room: Room, place: Placed, entry: Opening | None) -> Iterator[Vector]:
        """Yield the corners of a room and of those joined to it, in the field; from an opening all around back to it."""
        self._seen.add(room.name)
        self._placed.append(place)
        corners = [*_leftward(room.outline)]
        walls = [*zip(corners, (*corners[1:], corners[0]), strict=True)]
        gaps = [[*self._gaps(room, number, walls)] for number in range(len(walls))]
        order: list[tuple[int, float, float]] = [(number, 0.0, 0.0) for number in range(len(walls))]
        if entry is not None:  # begin behind the opening, end before it
            wall, gap = next((n, gap) for n, here in enumerate(gaps) for gap in here if gap.opening is entry)
            order = [(wall, gap.end, 0.0), *order[wall + 1 :], *order[:wall], (wall, 0.0, gap.start)]
        for number, since, until in order:
            (a, b), here = walls[number], gaps[number]
            along = _unit(a, b)
            outward = (along[1], -along[0])
            yield place.to(_on(a, along, since))
            for gap in here:
                if gap.opening is entry or gap.start < since or (until and gap.end > until):
                    continue
                yield place.to(_on(a, along, gap.start))
                yield from self._through(gap, place, (_on(a, along, gap.start), _on(a, along, gap.end)), outward)
                yield place.to(_on(a, along, gap.end))
            if until:
                yield place.to(_on(a, along, until))

    def _through(self, gap: _Gap, place: Placed, ends: tuple[Vector, Vector], outward: Vector) -> Iterator[Vector]:
        """Yield what lies beyond an opening: the room joined there, or its doorway as far as the strip."""
        opening, (start, end) = gap.opening, ends
        other = self._rooms.get(opening.between[1 - gap.side])
        if opening.transition is Transition.CONTINUOUS and other is not None:
            if other.name not in self._seen and opening.walls[1 - gap.side]:
                yield from self._ring(other, self._beside(other, gap, place, ends, outward), opening)
                return
            if other.name in self._seen:
                self._closing.setdefault(opening.name, []).append((place.to(start), place.to(end)))
            return
        # both halves of a doorway within one field do not touch
        deep = max(0.0, opening.throat / 2 - (THINNEST if other is not None and other.name in self._together else 0))
        for x, y in (start, end):
            corner = place.to((x + outward[0] * deep, y + outward[1] * deep))
            self._ends.append(corner)
            yield corner

    def _closed(self, ring: list[Vector]) -> tuple[list[Vector], list[list[Vector]]]:
        """Return the outline with the doorways between rooms that are joined elsewhere, too, and the walls they leave standing.

        Raises:
            Refused: the rooms lie on each other.
        """
        quads = [*self._doorways_closing()]
        if not quads:
            return ring, []
        from shapely import Polygon, unary_union
        from shapely.geometry.polygon import orient

        floor = Polygon(ring)
        if not floor.is_valid:
            raise Refused("the rooms lie on each other.")
        whole = unary_union([floor, *map(Polygon, quads)])
        if not isinstance(whole, Polygon):
            raise Refused("the rooms lie on each other.")
        whole = orient(whole)
        outer, *inner = ([(x, y) for x, y, *_ in one.coords[:-1]] for one in (whole.exterior, *whole.interiors))
        return outer, inner

    def _doorways_closing(self) -> Iterator[list[Vector]]:
        """Yield the floors of doorways whose both sides face each other by where the rooms lie; tell of the others."""
        for name, sides in self._closing.items():
            if len(sides) < 2:  # the wall of one side was not said: told with those
                continue
            (a, b), (c, d) = sides
            along = _unit(a, b)
            out = (along[1], -along[0])
            beyond = [(far[0] - near[0], far[1] - near[1]) for near, far in ((a, d), (b, c))]
            off = max(abs(x * along[0] + y * along[1]) for x, y in beyond)
            deep = [x * out[0] + y * out[1] for x, y in beyond]
            if off > MOST_OFF or not min(deep) > 0 or max(deep) - min(deep) > MOST_OFF or max(deep) > DEEPEST_THROAT:
                why = (
                    f"by the other openings its sides lie {format_length(round(off))} beside each other"
                    if off > MOST_OFF
                    else "by the other openings its sides do not face each other, or lie too far apart"
                )
                self.taken_as.append(
                    f"the floor in the doorway {name} is left out: {why} (look at walls, offsets and throats)"
                )
                continue
            since, until = -_OVER, max(deep) + _OVER  # over the walls' lines, so that nothing is left between
            yield [
                (x + out[0] * far, y + out[1] * far) for (x, y), far in ((a, since), (a, until), (b, until), (b, since))
            ]

    def _beside(self, other: Room, gap: _Gap, place: Placed, ends: tuple[Vector, Vector], outward: Vector) -> Placed:
        """Return where a room lies that is joined through an opening: its side of it faces this one."""
        corners = [*_leftward(other.outline)]
        walls = [*zip(corners, (*corners[1:], corners[0]), strict=True)]
        number, own = next(
            (n, one) for n in range(len(walls)) for one in self._gaps(other, n, walls) if one.opening is gap.opening
        )
        (a, b), deep = walls[number], max(gap.opening.throat, THINNEST)
        theirs = _unit(a, b)
        ours = place.turned(_unit(*ends))
        # turned so that its wall runs the other way: cosine and sine of the angle from theirs to the opposite of ours
        cosine = -(theirs[0] * ours[0] + theirs[1] * ours[1])
        sine = theirs[1] * ours[0] - theirs[0] * ours[1]
        turned = Placed(room=other.name, turn=(cosine, sine), shift=(0.0, 0.0))
        far = place.to((ends[0][0] + outward[0] * deep, ends[0][1] + outward[1] * deep))
        met = turned.to(_on(a, theirs, own.end))
        return Placed(room=other.name, turn=turned.turn, shift=(far[0] - met[0], far[1] - met[1]))

    def _gaps(self, room: Room, number: int, walls: Sequence[tuple[Point, Point]]) -> Iterator[_Gap]:
        """Yield the openings in a wall in order; the walls here may run the other way round than they were measured."""
        count, turned = len(walls), walls[0][0] != room.outline.corners[0] or walls[0][1] != room.outline.corners[1]
        (a, b) = walls[number]
        length = hypot(b[0] - a[0], b[1] - a[1])
        said = count - 1 - number if turned else number
        found = []
        for opening in self._openings:
            for side in (0, 1):
                if opening.between[side] == room.name and opening.walls[side] == said + 1:
                    start = float(opening.offsets[side])
                    end = start + opening.width
                    found.append(_Gap(opening, side, *((length - end, length - start) if turned else (start, end))))
        yield from sorted(found, key=lambda gap: gap.start)


def _without(ring: list[Vector], cut: Sequence[list[Vector]]) -> tuple[list[Vector], list[list[Vector]]]:
    """Return an outline without what stands at its walls, and what cannot be taken out of it so: it is laid around as what stands free."""
    if not cut:
        return ring, []
    from shapely import Polygon
    from shapely.geometry.polygon import orient

    floor = Polygon([(round(x), round(y)) for x, y in ring])
    if not floor.is_valid:
        return ring, [*cut]
    left = []
    for corners in cut:
        rest = floor.difference(Polygon([(round(x), round(y)) for x, y in corners]))
        if isinstance(rest, Polygon) and not rest.is_empty and len(rest.interiors) == len(floor.interiors):
            floor = rest
        else:
            left.append(corners)
    outer = [(x, y) for x, y, *_ in orient(floor).exterior.coords[:-1]]
    return outer, [*left, *([(x, y) for x, y, *_ in one.coords[:-1]] for one in floor.interiors)]


def outward(outline: Outline, wall: int) -> Vector:
    """Return the direction out of a room through one of its walls (counted from 1), of length 1."""
    (x0, y0), (x1, y1) = outline.sides[wall - 1]
    turn = 1 if sum(a * d - c * b for (a, b), (c, d) in outline.sides) > 0 else -1
    x, y = _unit((x0, y0), (x1, y1))
    return y * turn, -x * turn


def _leftward(outline: Outline) -> Iterator[Point]:
    """Yield corners in the direction in which the floor lies to the left of the walls (x to the right, y up)."""
    turn = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in outline.sides)
    ring = outline.corners
    yield from ring if turn > 0 else (ring[0], *ring[:0:-1])


def _unit(a: Vector, b: Vector) -> Vector:
    length = hypot(b[0] - a[0], b[1] - a[1])
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def _on(a: Vector, along: Vector, far: float) -> Vector:
    return a[0] + along[0] * far, a[1] + along[1] * far


def _plain(ring: Sequence[Point]) -> tuple[Point, ...]:
    """Return a ring without corners that are twice there or lie in a straight wall."""
    found = [*ring]
    i = 0
    while i < len(found) and len(found) > 3:
        (x0, y0), (x, y), (x1, y1) = found[i - 1], found[i], found[(i + 1) % len(found)]
        straight = (x - x0) * (y1 - y) == (x1 - x) * (y - y0) and (x - x0) * (x1 - x) + (y - y0) * (y1 - y) >= 0
        if straight:
            del found[i]
            i = max(0, i - 2)
        else:
            i += 1
    return tuple(found)
