"""The cut plan of sheet goods: which drops come off the roll, for which floor, how many running feet, how long the seams are.

Every room is planned in both directions with the places for seams of `roll_ways`, and the pieces of all of them are laid on the
roll together, so that a closet comes out of what is left beside a narrow strip. A floor that runs on through a doorway has a seam
in it. Where a pattern has to match, drops begin at the same place of it. Sheet goods are taken off by roll width and seams, not by
area: common practice, no source.

What is ordered, what a lot must carry and the minutes for seams all come from this plan, so that none says other than another.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby, product
from math import ceil, hypot, prod
from typing import Final

from crewjobs.domain.house import Opening, Room, Transition
from crewjobs.domain.material import Material
from crewjobs.domain.units import FOOT
from crewjobs.engines.estimating.bands import Ring, Shape
from crewjobs.engines.estimating.roll_packing import EFFORT, Cut, packed
from crewjobs.engines.estimating.roll_ways import FEET_A_FAULT, Doorway, Drop, SheetFloor, Way, cost, ways
from crewjobs.engines.estimating.roll_ways import TRIM_ALLOWANCE as TRIM_ALLOWANCE

HOW_TAKEN_OFF: Final = "by the cut plan off the roll"
"""What the take-off is, said wherever its figure is."""
NARROWEST_ROLL: Final = 2 * FOOT
"""Nothing is planned off a narrower one: it is a slip of the finger. Its feet are by area."""
MOST_COMPARED: Final = 240
"""Ways of all floors together that are each laid on the roll; of more of them, floor by floor."""
MORE_FEET: Final = 0.15
WORTH_TELLING: Final = 3 * FOOT
"""A plan with so much less seam is told where it takes no more than that share of feet more; ours."""
LAST_COMPARED: Final = 4
"""The best of them are looked at longer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedDrop:
    """A drop with where it is cut: `at` from the beginning of the roll, `left` from the roll's left edge (1/4064 inch)."""

    room: str
    section: str
    turned: bool
    drop: Drop
    at: int
    left: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidFloor:
    """The way a room or section is covered. `to_others` is the seam to the section before, and in doorways."""

    floor: SheetFloor
    way: Way
    to_others: int

    @property
    def seams(self) -> int:
        """Return how long its seams are (1/4064 inch)."""
        return self.way.seam_length + self.to_others


@dataclass(frozen=True, slots=True, kw_only=True)
class Other:
    """Another plan a lead may like better: its running feet, how long all its seams are, its slivers and seams in doorways."""

    feet: int
    seams: int
    faults: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RollPlan:
    """Drops in the order they come off the roll; `length` is what is taken off it, `least` what no way compared takes less than.

    `others` are the one with fewer feet that has a fault more, and the one with less seam that takes a few feet more.
    """

    roll: int
    repeat: int
    floors: tuple[LaidFloor, ...]
    drops: tuple[PlacedDrop, ...]
    length: int
    least: int
    others: tuple[Other, ...] = ()

    @property
    def feet(self) -> int:
        """Return the running feet to buy, rounded up once to whole feet."""
        return ceil(self.length / FOOT)

    @property
    def proved(self) -> bool:
        """Return whether no way compared takes fewer running feet."""
        return self.feet <= ceil(self.least / FOOT)

    def floor_of(self, room: str, section: str = "") -> LaidFloor:
        """Return how a floor is covered."""
        return next(one for one in self.floors if (one.floor.room, one.floor.section) == (room, section))


def roll_plan(rooms: Iterable[Room], material: Material, openings: Iterable[Opening] = ()) -> RollPlan:
    """Return the cut plan of a material for rooms, with the openings of their job.

    Raises:
        ValueError: the roll is narrower than any that is made.
    """
    if material.plank_width < NARROWEST_ROLL:
        raise ValueError("the roll is too narrow to plan")
    covered, gaps = tuple(rooms), tuple(openings)
    floors = tuple(floor for room in covered for floor in _floors(room, gaps))
    others = tuple(_to_others(covered, floor, gaps) for floor in floors)
    return _planned(
        floors, others, tuple(_joined(covered, gaps)), material.plank_width, material.repeat or 0, material.fill
    )


def running_feet(rooms: Iterable[Room], material: Material, openings: Iterable[Opening] = ()) -> int:
    """Return the running feet to buy for rooms, rounded up once at the end to whole feet."""
    covered = tuple(rooms)
    if material.plank_width < NARROWEST_ROLL:
        return ceil(round(sum(room.outline.area_ft2 for room in covered) / material.carton_ft2, 9))
    return roll_plan(covered, material, openings).feet


def seam_feet(
    rooms: Iterable[Room], room: Room, part: int, material: Material, openings: Iterable[Opening] = ()
) -> float:
    """Return the feet of seam in a section of a room that is planned with others: within it, and to what was laid before it."""
    if material.plank_width < NARROWEST_ROLL:
        return 0.0
    plan = roll_plan(rooms, material, openings)
    return plan.floor_of(room.name, room.sections[part].name).seams / FOOT


def _floors(room: Room, openings: Sequence[Opening]) -> Iterator[SheetFloor]:
    """Yield the sections of a room in the lead's order, each with the doorways in its walls."""
    doors = [*_doorways(room, openings)]
    for section in room.sections:
        outline = room.outline_of(section.name)
        here = [(door, ring) for door, ring in doors if all(outline.holds(jamb) for jamb in door.jambs)]
        shape = Shape(
            outline=outline.corners,
            added=tuple(ring for _, ring in here if ring),
            left_out=tuple(obstacle.outline.corners for obstacle in room.obstacles),
        )
        doorways = tuple(door for door, _ in here)
        yield SheetFloor(room=room.name, section=section.name, shape=shape, doorways=doorways)


def _doorways(room: Room, openings: Sequence[Opening]) -> Iterator[tuple[Doorway, Ring]]:
    """Yield the openings of which it is said where they are, with the floor in them that the allowance does not reach."""
    turn = 1 if sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in room.outline.sides) > 0 else -1
    for opening, side in _openings_of(room.name, openings):
        if not opening.walls[side]:
            continue
        (x1, y1), (x2, y2) = room.outline.sides[opening.walls[side] - 1]
        length = hypot(x2 - x1, y2 - y1)
        along, start = ((x2 - x1) / length, (y2 - y1) / length), opening.offsets[side]
        near, far = ((x1 + along[0] * at, y1 + along[1] * at) for at in (start, start + opening.width))
        deep = max(0.0, opening.throat / 2 - TRIM_ALLOWANCE) * turn
        out = along[1] * deep, -along[0] * deep
        ring = [near, far, (far[0] + out[0], far[1] + out[1]), (near[0] + out[0], near[1] + out[1])]
        corners = tuple((round(x), round(y)) for x, y in ring)
        door = Doorway(name=opening.name, jambs=(corners[0], corners[1]), throat=opening.throat)
        yield door, corners if deep else ()


def _openings_of(room: str, openings: Iterable[Opening]) -> Iterator[tuple[Opening, int]]:
    yield from ((opening, side) for opening in openings for side in (0, 1) if opening.between[side] == room)


def _to_others(rooms: Sequence[Room], floor: SheetFloor, openings: Sequence[Opening]) -> int:
    """Return the seam to the section before, and in doorways through which the floor of a room before runs on."""
    number = next(n for n, room in enumerate(rooms) if room.name == floor.room)
    room, parts = rooms[number], [section.name for section in rooms[number].sections]
    part = parts.index(floor.section)
    seam = room.outline.across(room.stretch(room.cuts[part][0])[0]) if part > 0 else 0
    before = {one.name for one in rooms[:number]}
    for opening, side in _openings_of(room.name, openings):
        here = (opening.parts[side] or parts[0]) == floor.section
        if here and opening.transition is Transition.CONTINUOUS and opening.between[1 - side] in before:
            seam += opening.width
    return seam


_Joined = tuple[tuple[str, bool], tuple[str, bool]]


def _joined(rooms: Sequence[Room], openings: Sequence[Opening]) -> Iterator[_Joined]:
    """Yield rooms whose floor runs on from one to the other, each with whether the wall between lies along its x."""
    known = {room.name: room for room in rooms}
    for opening in openings:
        if (
            opening.transition is Transition.CONTINUOUS
            and all(opening.walls)
            and all(n in known for n in opening.between)
        ):
            sides = []
            for name, wall in zip(opening.between, opening.walls, strict=True):
                (x1, y1), (x2, y2) = known[name].outline.sides[wall - 1]
                sides.append((name, abs(x2 - x1) >= abs(y2 - y1)))
            yield sides[0], sides[1]


@lru_cache(maxsize=128)
def _planned(
    floors: tuple[SheetFloor, ...],
    others: tuple[int, ...],
    joined: tuple[_Joined, ...],
    roll: int,
    repeat: int,
    fill: int,
) -> RollPlan:
    units = [*_units(floors, roll, repeat, fill)]
    found: list[tuple[tuple[float, ...], tuple[Way, ...]]] = []
    least = _least(units, roll)
    if prod(map(len, units)) <= MOST_COMPARED:
        combined = [tuple(way for one in choice for way in one) for choice in product(*units)]
        found = [(_cost(floors, choice, joined, roll, repeat), choice) for choice in combined]
        if combined:
            least = max(
                least, min(packed(_cuts(floors, choice, repeat), roll, repeat, effort=0).least for choice in combined)
            )
    else:
        found = [*_one_by_one(floors, units, joined, roll, repeat)]
    found.sort(key=lambda one: one[0])
    best = min(
        (choice for _, choice in found[:LAST_COMPARED]),
        key=lambda choice: _cost(floors, choice, joined, roll, repeat, effort=EFFORT),
        default=(),
    )
    cuts = _cuts(floors, best, repeat)
    there = packed(cuts, roll, repeat)
    chosen = Other(
        feet=ceil(there.length / FOOT),
        seams=sum(way.seam_length for way in best),
        faults=sum(way.faults for way in best) + _turns(floors, best, joined),
    )
    told = [_other(floors, choice, joined, costs) for costs, choice in found]
    owners = [(floor, way, drop) for floor, way in zip(floors, best, strict=True) for drop in way.drops]
    drops = [
        PlacedDrop(room=floor.room, section=floor.section, turned=way.turned, drop=drop, at=at, left=left)
        for (floor, way, drop), (at, left) in zip(owners, there.places, strict=True)
    ]
    return RollPlan(
        roll=roll,
        repeat=repeat,
        floors=tuple(
            LaidFloor(floor=floor, way=way, to_others=other)
            for floor, way, other in zip(floors, best, others, strict=True)
        ),
        drops=tuple(sorted(drops, key=lambda one: (one.at, one.left))),
        length=there.length,
        least=min(least, there.length),
        others=tuple(_liked(chosen, told)),
    )


def _other(
    floors: Sequence[SheetFloor], choice: Sequence[Way], joined: Sequence[_Joined], costs: tuple[float, ...]
) -> Other:
    faults = sum(way.faults for way in choice) + _turns(floors, choice, joined)
    return Other(
        feet=round(costs[0]) - FEET_A_FAULT * faults, seams=sum(way.seam_length for way in choice), faults=faults
    )


def _liked(chosen: Other, told: Sequence[Other]) -> Iterator[Other]:
    fewer = min(told, key=lambda one: (one.feet, one.faults, one.seams), default=chosen)
    if fewer.feet < chosen.feet:
        yield fewer
    most = chosen.feet * (1 + MORE_FEET)
    plain = [one for one in told if one.faults <= chosen.faults and one.feet <= most]
    less = min(plain, key=lambda one: (one.seams, one.feet), default=chosen)
    if less.seams + WORTH_TELLING <= chosen.seams:
        yield less


def _turns(floors: Sequence[SheetFloor], choice: Sequence[Way], joined: Sequence[_Joined]) -> int:
    """Return in how many doorways that a floor runs through its drops turn."""
    turned = {floor.room: way.turned for floor, way in zip(floors, choice, strict=True)}
    return sum((turned[one] is along) != (turned[other] is along2) for (one, along), (other, along2) in joined)


_Unit = list[tuple[Way, ...]]
"""The ways of all sections of a room, in one direction."""


def _units(floors: Sequence[SheetFloor], roll: int, repeat: int, fill: int) -> Iterator[_Unit]:
    for _, own in groupby(floors, key=lambda floor: floor.room):
        those = [ways(floor, roll, repeat=repeat, fill=fill) for floor in own]
        unit = []
        for turned in (False, True):
            lists = [[way for way in one if way.turned is turned] for one in those]
            if len(lists) > 1:  # sections of a room: the best few of each
                lists = [one[: max(1, round(MOST_COMPARED ** (1 / len(lists)) / 2))] for one in lists]
            unit += [*product(*lists)]
        yield unit


def _cuts(floors: Sequence[SheetFloor], choice: Sequence[Way], repeat: int) -> list[Cut]:
    """Return all drops as they are cut; the pattern of a room begins with its longest one."""
    if not repeat:
        return [cut for way in choice for cut in way.cuts()]
    longest: dict[str, Drop] = {}
    for floor, way in zip(floors, choice, strict=True):
        for drop in way.drops:
            if floor.room not in longest or drop.length > longest[floor.room].length:
                longest[floor.room] = drop
    return [
        cut for floor, way in zip(floors, choice, strict=True) for cut in way.cuts(repeat, longest[floor.room].start)
    ]


def _cost(
    floors: Sequence[SheetFloor],
    choice: Sequence[Way],
    joined: Sequence[_Joined],
    roll: int,
    repeat: int,
    *,
    effort: int = 0,
) -> tuple[float, ...]:
    """Return what the ways of all floors are compared by; a pattern that turns in a doorway is a fault."""
    turns = _turns(floors, choice, joined)
    return cost(choice, packed(_cuts(floors, choice, repeat), roll, repeat, effort=effort).length, turns)


def _one_by_one(
    floors: Sequence[SheetFloor], units: Sequence[_Unit], joined: Sequence[_Joined], roll: int, repeat: int
) -> Iterator[tuple[tuple[float, ...], tuple[Way, ...]]]:
    """Yield ways of all floors, beginning with the best of each by itself and changing one room at a time to what is best."""
    chosen = [unit[0] for unit in units]

    def compared() -> tuple[tuple[float, ...], tuple[Way, ...]]:
        choice = tuple(way for one in chosen for way in one)
        return _cost(floors, choice, joined, roll, repeat), choice

    best = compared()
    yield best
    for _ in range(len(units)):
        before = best
        for number, unit in enumerate(units):
            kept = chosen[number]
            for option in unit:
                chosen[number] = option
                now = compared()
                if now[0] < best[0]:
                    best, kept = now, option
            chosen[number] = kept
        if best is before:
            return
        yield best


def _least(units: Sequence[_Unit], roll: int) -> int:
    """Return a length that no choice of ways goes below: the least of each room by area, and by drops over half the roll."""
    areas = [min(sum(d.width * d.length for way in one for d in way.drops) for one in unit) for unit in units]
    wide = [
        min(sum(d.length for way in one for d in way.drops if 2 * d.width > roll) for one in unit) for unit in units
    ]
    return max(-(-sum(areas) // roll), sum(wide))
