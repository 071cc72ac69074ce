"""Which ways of all floors together take the fewest feet off a roll: compared all where they are few, else floor by floor."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby, product
from math import ceil, prod
from typing import Final

from crewjobs.domain.units import FOOT
from crewjobs.engines.estimating.roll_packing import EFFORT, Cut, packed
from crewjobs.engines.estimating.roll_ways import FEET_A_FAULT, Drop, SheetFloor, Way, cost, ways

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


Joined = tuple[tuple[str, bool], tuple[str, bool]]
"""Two rooms whose floor runs on from one to the other, each with whether the wall between lies along its x."""


@lru_cache(maxsize=128)
def planned(
    floors: tuple[SheetFloor, ...],
    others: tuple[int, ...],
    joined: tuple[Joined, ...],
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
    floors: Sequence[SheetFloor], choice: Sequence[Way], joined: Sequence[Joined], costs: tuple[float, ...]
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


def _turns(floors: Sequence[SheetFloor], choice: Sequence[Way], joined: Sequence[Joined]) -> int:
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
        if not unit:  # a section so narrow that it goes one way only, and its neighbor the other
            unit = [*product(*(one[:2] for one in those))]
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
    joined: Sequence[Joined],
    roll: int,
    repeat: int,
    *,
    effort: int = 0,
) -> tuple[float, ...]:
    """Return what the ways of all floors are compared by; a pattern that turns in a doorway is a fault."""
    turns = _turns(floors, choice, joined)
    return cost(choice, packed(_cuts(floors, choice, repeat), roll, repeat, effort=effort).length, turns)


def _one_by_one(
    floors: Sequence[SheetFloor], units: Sequence[_Unit], joined: Sequence[Joined], roll: int, repeat: int
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
