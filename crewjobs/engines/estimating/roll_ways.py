"""The ways sheet goods can lie on a floor: drops along it or across it, and where the seams between them lie.

Drops are as wide as the roll, or less at a wall. They are counted from the near wall, from the far one, evenly between both, from
a jog in the outline, or so that no seam runs into a doorway. Each is cut over the length and width of the floor it covers, with an
allowance at walls. Common practice, no source: no strip so narrow that it is a sliver, no seam in a doorway's line of traffic.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise, product
from typing import Final

from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.estimating.bands import Part, Shape, floor_beside, length_of, parts_of, shared
from crewjobs.engines.estimating.roll_packing import Cut, packed

TRIM_ALLOWANCE: Final = 3 * INCH
"""What a sheet is cut longer and wider at each wall, to be trimmed in place: common practice, no source."""
NARROWEST_STRIP: Final = 6 * INCH
"""Floor covered by less than this beside a seam is a sliver: common practice, no source."""
SHORTEST_FILL: Final = 2 * FOOT
"""No piece of a strip filled in with several is shorter: common practice, no source."""
CLEAR: Final = 2 * INCH
"""How far a seam is moved beside a doorway it would run into; ours."""
MOST_BANDS: Final = 40
"""Drops side by side on one floor; above that no places but the first are compared."""
MOST_JOGS: Final = 4
"""Jogs of which two at once are tried as places of seams."""
KEPT: Final = 8
"""Ways that are compared further, for each direction."""
FEET_A_FAULT: Final = 3
"""Feet off the roll that a seam kept out of a doorway, or a sliver less, is worth; ours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doorway:
    """An opening in a wall of a floor: its two jambs in the room's corner points, and how deep it is."""

    name: str
    jambs: tuple[tuple[int, int], tuple[int, int]]
    throat: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFloor:
    """What is covered in one go: a section of a room, or all of it. Its shape has doorways deeper than the allowance reaches."""

    room: str
    section: str
    shape: Shape
    doorways: tuple[Doorway, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """A piece of sheet goods on the floor, with its allowance: along the roll from `start` to `end`, across from `near` to `far`.

    `seam_near` and `seam_far` say where it meets another along its side; `part` of `parts` that a strip is filled in with.
    """

    start: int
    end: int
    near: int
    far: int
    seam_near: bool = False
    seam_far: bool = False
    part: int = 1
    parts: int = 1

    @property
    def length(self) -> int:
        """Return how long it is cut off the roll."""
        return self.end - self.start

    @property
    def width(self) -> int:
        """Return how wide it is cut."""
        return self.far - self.near


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """A seam: along the drops at `at` across the floor, or `crossing` one at `at` along it; from `start` to `end`."""

    at: int
    start: int
    end: int
    crossing: bool = False

    @property
    def length(self) -> int:
        """Return how long it is."""
        return self.end - self.start


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """Drops over one floor, along the room's x or `turned` along its y: seams, doorways they run into, slivers."""

    turned: bool
    drops: tuple[Drop, ...]
    seams: tuple[Seam, ...]
    in_doorways: tuple[str, ...]
    slivers: int
    along_longest: bool

    @property
    def seam_length(self) -> int:
        """Return how long its seams are together."""
        return sum(seam.length for seam in self.seams)

    @property
    def faults(self) -> int:
        """Return how many slivers it has and doorways with a seam."""
        return self.slivers + len(self.in_doorways)

    def cuts(self, repeat: int = 0, since: int = 0) -> tuple[Cut, ...]:
        """Return its drops as cut off a roll; `since` is where on the floor the pattern begins."""
        return tuple(
            Cut(
                width=drop.width,
                length=drop.length,
                pattern=(drop.start - since) % repeat if repeat else 0,
                left=drop.seam_near,
                right=drop.seam_far,
            )
            for drop in self.drops
        )


def ways(floor: SheetFloor, roll: int, *, repeat: int = 0, fill: int = 1) -> tuple[Way, ...]:
    """Return the best ways of both directions for a floor, the best of each first; there is at least one.

    `repeat` is how long the pattern is (0: none to match), `fill` how many pieces a strip under half the roll may be made of.
    """
    found: list[Way] = []
    for turned in (False, True):
        shape = floor.shape.turned() if turned else floor.shape
        doors = [_turned(door) if turned else door for door in floor.doorways]
        those = [
            way
            for seams in dict.fromkeys(_seam_places(shape, roll, doors))
            for way in _laid(shape, seams, doors, roll, turned, fill)
        ]
        matched = [way for way in those if not repeat or _matches(way, roll)]
        those = matched or those
        those.sort(key=lambda way: cost([way], packed(way.cuts(repeat), roll, repeat, effort=0).length))
        found += dict.fromkeys(those[:KEPT])
    whole = [way for way in found if not way.seams]  # what one drop covers gets no seam
    return tuple(whole or found)


def cost(ways: Sequence[Way], length: int, more_faults: int = 0) -> tuple[float, ...]:
    """Return what ways are compared by: feet off the roll and faults together, seams, what is left, where the full drops lie."""
    feet = -(-length // FOOT)
    faults = sum(way.faults for way in ways) + more_faults
    seams = sum(way.seam_length for way in ways)
    pieces = sum(len(way.drops) for way in ways)
    along = sum(not way.along_longest for way in ways)
    widest = sum(max((drop.width for drop in way.drops), default=0) for way in ways)
    return feet + FEET_A_FAULT * faults, seams, pieces, length, -widest, along


def _seam_places(shape: Shape, roll: int, doors: Sequence[Doorway]) -> Iterator[tuple[int, ...]]:
    """Yield where seams may lie across a floor, in order."""
    low, high = shape.reach
    near, far = low - TRIM_ALLOWANCE, high + TRIM_ALLOWANCE
    if far - near > MOST_BANDS * roll:
        yield from _filled(near, far, roll)[:1]
        return
    yield from _filled(near, far, roll)
    for door in doors:
        levels = [y for _, y in door.jambs]
        for beside in (min(levels) - CLEAR, max(levels) + CLEAR):
            seams = range(near + ((beside - near) % roll or roll), far, roll)
            if far - (seams[-1] if seams else near) <= roll:
                yield tuple(seams)
    jogs = [level for level in shape.levels if low < level < high]
    breaks = sorted({level + side * TRIM_ALLOWANCE for level in jogs for side in (-1, 1)})
    breaks = [one for one in breaks if low < one < high]
    for one in breaks:
        for before, behind in product(_filled(near, one, roll), _filled(one, far, roll)):
            yield (*before, one, *behind)
    if len(jogs) <= MOST_JOGS:
        for one, other in combinations(breaks, 2):
            parts = _filled(near, one, roll), _filled(one, other, roll), _filled(other, far, roll)
            for a, b, c in zip(*(part * 3 for part in parts), strict=False):
                yield (*a, one, *b, other, *c)


def _filled(near: int, far: int, roll: int) -> list[tuple[int, ...]]:
    """Return seams that share out a width: whole strips from the near side, from the far side, the two outer ones equal."""
    count = -(-(far - near) // roll)
    if count <= 1:
        return [()]
    even = (far - near - (count - 2) * roll) // 2
    first = (roll, far - near - (count - 1) * roll, even)
    return [tuple(near + begin + n * roll for n in range(count - 1)) for begin in dict.fromkeys(first)]


def _laid(
    shape: Shape, seams: Sequence[int], doors: Sequence[Doorway], roll: int, turned: bool, fill: int
) -> Iterator[Way]:
    """Yield the way with seams at these places, where every drop comes off the roll, and those with narrow strips filled in."""
    low, high = shape.reach
    lines = [line for line in seams if low < line < high]
    drops: list[Drop] = []
    meets: list[Seam] = []
    for line in lines:
        stretches = shared(floor_beside(shape, line, -1), floor_beside(shape, line, 1))
        meets += [Seam(at=line, start=round(start), end=round(end)) for start, end in stretches]
    slivers = 0
    for near, far in pairwise((low, *lines, high)):
        for part in parts_of(shape, near, far):
            slivers += part.far - part.near < NARROWEST_STRIP and bool(lines)
            drops.append(_drop(shape, part, lines))
    if any(drop.width > roll for drop in drops):
        return
    names = tuple(door.name for door in doors if any(_runs_into(seam, door) for seam in meets))
    along = _along_longest(shape, drops)
    for parts in range(1, fill + 1):
        split = [piece for drop in drops for piece in _split(drop, parts, roll)]
        if parts > 1 and len(split) == len(drops):
            break
        cross = [
            Seam(at=piece.end, start=piece.near, end=piece.far, crossing=True)
            for piece in split
            if piece.part < piece.parts
        ]
        yield Way(
            turned=turned, drops=tuple(split), seams=(*meets, *cross), in_doorways=names, slivers=slivers,
            along_longest=along,
        )  # fmt: skip


def _drop(shape: Shape, part: Part, lines: Sequence[int]) -> Drop:
    """Return the drop over a part of the floor, with an allowance at its ends, and at its sides wherever there is a wall."""
    seam_near, over_near = _side(shape, part, part.near, lines, 1)
    seam_far, over_far = _side(shape, part, part.far, lines, -1)
    return Drop(
        start=part.start - TRIM_ALLOWANCE,
        end=part.end + TRIM_ALLOWANCE,
        near=part.near - over_near,
        far=part.far + over_far,
        seam_near=seam_near,
        seam_far=seam_far,
    )


def _side(shape: Shape, part: Part, at: int, lines: Sequence[int], inward: int) -> tuple[bool, int]:
    """Return whether a side of a part meets another drop, and how far over the side it is cut for walls on it or near to it."""
    if at not in lines:
        return False, TRIM_ALLOWANCE
    seam, over = False, 0
    for level in (at, *shape.levels):
        inside = (level - at) * inward
        if not 0 <= inside < TRIM_ALLOWANCE:
            continue
        own = shared([(part.start, part.end)], floor_beside(shape, level, inward))
        runs_on = length_of(shared(own, floor_beside(shape, level, -inward)))
        if level == at:
            seam = runs_on > 0
        if runs_on + 1 < length_of(own):
            over = max(over, TRIM_ALLOWANCE - inside)
    return seam, over


def _split(drop: Drop, parts: int, roll: int) -> list[Drop]:
    """Return the pieces a narrow strip is filled in with; a wide one, and one that would be in short pieces, stays whole."""
    narrow = 2 * drop.width <= roll and not (drop.seam_near and drop.seam_far)
    if parts == 1 or not narrow or drop.length < parts * SHORTEST_FILL:
        return [drop]
    ends = [drop.start + drop.length * n // parts for n in range(parts + 1)]
    return [
        Drop(
            start=start, end=end, near=drop.near, far=drop.far, seam_near=drop.seam_near, seam_far=drop.seam_far,
            part=number, parts=parts,
        )
        for number, (start, end) in enumerate(pairwise(ends), 1)
    ]  # fmt: skip


def _runs_into(seam: Seam, door: Doorway) -> bool:
    """Return whether a seam along the drops ends in a doorway."""
    (x1, y1), (x2, y2) = door.jambs
    if not min(y1, y2) < seam.at < max(y1, y2):
        return False
    wall, reach = x1 + (x2 - x1) * (seam.at - y1) / (y2 - y1), door.throat / 2 + INCH
    return min(abs(seam.start - wall), abs(seam.end - wall)) <= reach


def _along_longest(shape: Shape, drops: Sequence[Drop]) -> bool:
    """Return whether the widest drop lies along the longest wall that runs with the drops, where there is one."""
    walls = [(abs(x2 - x1), y1) for (x1, y1), (x2, y2) in pairwise((*shape.outline, shape.outline[0])) if y1 == y2]
    if not walls or not drops:
        return True
    longest, widest = max(length for length, _ in walls), max(drop.width for drop in drops)
    levels = [level for length, level in walls if length == longest]
    return any(drop.width == widest and drop.near <= level <= drop.far for drop in drops for level in levels)


def _matches(way: Way, roll: int) -> bool:
    """Return whether every seam is between the roll's own edges, where alone a pattern matches side by side."""
    return all(
        (not (drop.seam_near and drop.seam_far) or drop.width == roll)
        and (not drop.seam_near or drop.near in {seam.at for seam in way.seams})
        and (not drop.seam_far or drop.far in {seam.at for seam in way.seams})
        for drop in way.drops
    )


def _turned(door: Doorway) -> Doorway:
    (x1, y1), (x2, y2) = door.jambs
    return Doorway(name=door.name, jambs=((y1, x1), (y2, x2)), throat=door.throat)
