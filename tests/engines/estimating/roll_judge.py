"""A judge of cut plans that shares no code with them: shapely looks whether floors are covered and the roll is cut without overlap."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Any

from hypothesis import strategies as st
from shapely import LineString, Polygon, box, unary_union

from crewjobs.domain.house import Room
from crewjobs.domain.layout import Obstacle
from crewjobs.domain.material import Material
from crewjobs.domain.outline import Outline
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.estimating.roll_choice import PlacedDrop, RollPlan
from crewjobs.engines.estimating.roll_ways import Seam

ALLOWANCE = 3 * INCH
SAME = INCH * INCH / 100
"""Square units an area may differ by: slanted walls end on the grid."""


def faults_of(rooms: Sequence[Room], material: Material, plan: RollPlan) -> list[str]:
    """Return what is wrong with a plan for rooms floored whole."""
    return [*_on_the_roll(material, plan), *(fault for room in rooms for fault in _on_the_floor(room, material, plan))]


def _on_the_roll(material: Material, plan: RollPlan) -> Iterator[str]:
    cuts = [box(one.at, one.left, one.at + one.drop.length, one.left + one.drop.width) for one in plan.drops]
    roll = box(0, 0, plan.length, material.plank_width)
    for number, cut in enumerate(cuts):
        if not roll.covers(cut):
            yield f"drop {number + 1} is not on the roll"
    for (i, one), (j, other) in combinations(enumerate(cuts), 2):
        if one.intersection(other).area > 0:
            yield f"drops {i + 1} and {j + 1} are cut from the same place"
    if max(cut.bounds[2] for cut in cuts) != plan.length:
        yield "more is taken than the last drop needs"


def _on_the_floor(room: Room, material: Material, plan: RollPlan) -> Iterator[str]:
    drops = [one for one in plan.drops if one.room == room.name]
    if len({one.turned for one in drops}) != 1:
        yield f"{room.name}: drops run both ways"
    floor: Any = Polygon(room.outline.corners)
    for obstacle in room.obstacles:
        floor = floor.difference(Polygon(obstacle.outline.corners))
    walls = Polygon(room.outline.corners).buffer(ALLOWANCE, join_style="mitre", mitre_limit=10)
    covered = unary_union([_place(one) for one in drops])
    if floor.difference(covered).area > SAME:
        yield f"{room.name}: floor left bare"
    if not room.obstacles and len(room.outline.corners) == len(walls.exterior.coords) - 1:
        upright = all(a[0] == b[0] or a[1] == b[1] for a, b in room.outline.sides)
        if upright and walls.difference(covered).area > SAME:
            yield f"{room.name}: an allowance is short"
    lines = [
        LineString(_ends(seam, plan.floor_of(room.name).way.turned)) for seam in plan.floor_of(room.name).way.seams
    ]
    trimmed = unary_union(
        [line.buffer(ALLOWANCE + 1, cap_style="square") for line in lines]
    )  # a side that is a wall in part
    for one, other in combinations(drops, 2):
        meet = _place(one).intersection(_place(other))
        if meet.intersection(floor).difference(trimmed).area > SAME:
            yield f"{room.name}: drops lie on each other"
        if meet.intersection(floor).length > INCH and material.repeat:
            first, second = one.at - one.drop.start, other.at - other.drop.start
            if (first - second) % material.repeat:
                yield f"{room.name}: the pattern does not match"
    yield from _seams(room, floor, plan)


def _seams(room: Room, floor: Any, plan: RollPlan) -> Iterator[str]:
    way = plan.floor_of(room.name).way
    inside = floor.buffer(-1)
    lines = []
    for seam in way.seams:
        ends = (
            [(seam.at, seam.start), (seam.at, seam.end)]
            if seam.crossing != way.turned
            else [(seam.start, seam.at), (seam.end, seam.at)]
        )
        lines.append(LineString(ends))
    for line, seam in zip(lines, way.seams, strict=True):
        if not seam.crossing and line.difference(floor.buffer(2)).length > 0:
            yield f"{room.name}: a seam outside the floor"
    levels = {seam.at for seam in way.seams if not seam.crossing}
    reach = 200 * FOOT
    for level in levels:
        whole = [(level, -1), (level, reach)] if way.turned else [(-1, level), (reach, level)]
        told = sum(seam.length for seam in way.seams if seam.at == level and not seam.crossing)
        if abs(LineString(whole).intersection(inside).length - told) > INCH:
            yield f"{room.name}: the seam at {level} is not as long as is said"


def _ends(seam: Seam, turned: bool) -> list[tuple[int, int]]:
    upright = seam.crossing != turned
    return [(seam.at, end) if upright else (end, seam.at) for end in (seam.start, seam.end)]


def _place(one: PlacedDrop) -> Any:
    drop = one.drop
    ends = (drop.start, drop.near, drop.end, drop.far)
    return box(ends[1], ends[0], ends[3], ends[2]) if one.turned else box(*ends)


@st.composite
def roll_rooms(draw: st.DrawFn) -> Room:
    """A room as rooms are: plain, with a corner cut out (square or slanted), a bay, or an island."""
    length, width = (draw(st.integers(3 * FOOT // INCH, 26 * FOOT // INCH)) * INCH for _ in range(2))
    a, b = draw(st.integers(1, 8)) * length // 9, draw(st.integers(1, 8)) * width // 9
    kind = draw(st.sampled_from(("plain", "L", "T", "U", "slant", "island")))
    plain = Outline.rectangle(length, width)
    corners = {
        "L": ((0, 0), (length, 0), (length, b), (a, b), (a, width), (0, width)),
        "T": ((0, 0), (length, 0), (length, b), (length - a // 2, b), (length - a // 2, width), (a // 3, width), (a // 3, b), (0, b)),
        "U": ((0, 0), (length, 0), (length, width), (length - a // 2, width), (length - a // 2, b), (a // 3, b), (a // 3, width), (0, width)),
        "slant": ((0, 0), (length, 0), (length, b), (a, width), (0, width)),
    }  # fmt: skip
    if kind in corners:
        return Room(name="kitchen", outline=Outline(corners=corners[kind]))
    if kind == "plain":
        return Room(name="kitchen", outline=plain)
    island = (
        (length // 3, width // 3),
        (length // 2, width // 3),
        (length // 2, width // 2),
        (length // 3, width // 2),
    )
    return Room(name="kitchen", outline=plain, obstacles=(Obstacle(name="island", outline=Outline(corners=island)),))
