"""The cut plan of sheet goods: which drops come off the roll, for which floor, how many running feet, how long the seams are.

Every room is planned in both directions with the places for seams of `roll_ways`, and the pieces of all of them are laid on the
roll together, so that a closet comes out of what is left beside a narrow strip. A floor that runs on through a doorway has a seam
in it. Where a pattern has to match, drops begin at the same place of it. Sheet goods are taken off by roll width and seams, not by
area: common practice, no source.

What is ordered, what a lot must carry and the minutes for seams all come from this plan, so that none says other than another.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import hypot
from typing import Final

from crewjobs.domain.house import Opening, Room, Transition
from crewjobs.domain.material import Material
from crewjobs.domain.units import FOOT
from crewjobs.engines.estimating.bands import Ring, Shape
from crewjobs.engines.estimating.roll_choice import Joined, RollPlan, planned
from crewjobs.engines.estimating.roll_ways import TRIM_ALLOWANCE as TRIM_ALLOWANCE
from crewjobs.engines.estimating.roll_ways import Doorway, SheetFloor

HOW_TAKEN_OFF: Final = "by the cut plan off the roll"
"""What the take-off is, said wherever its figure is."""


def roll_plan(rooms: Iterable[Room], material: Material, openings: Iterable[Opening] = ()) -> RollPlan:
    """Return the cut plan of a material for rooms, with the openings of their job."""
    covered, gaps = tuple(rooms), tuple(openings)
    floors = tuple(floor for room in covered for floor in _floors(room, gaps))
    others = tuple(_to_others(covered, floor, gaps) for floor in floors)
    return planned(
        floors, others, tuple(_joined(covered, gaps)), material.plank_width, material.repeat or 0, material.fill
    )


def running_feet(rooms: Iterable[Room], material: Material, openings: Iterable[Opening] = ()) -> int:
    """Return the running feet to buy for rooms, rounded up once at the end to whole feet."""
    return roll_plan(rooms, material, openings).feet


def seam_feet(
    rooms: Iterable[Room], room: Room, part: int, material: Material, openings: Iterable[Opening] = ()
) -> float:
    """Return the feet of seam in a section of a room that is planned with others: within it, and to what was laid before it."""
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


def _joined(rooms: Sequence[Room], openings: Sequence[Opening]) -> Iterator[Joined]:
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
