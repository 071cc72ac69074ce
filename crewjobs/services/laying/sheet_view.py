"""The cut plan of sheet goods in words: which drop first, how long, from which foot of the roll, where the seams lie."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import Room
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.units import FOOT, INCH, UnitSystem, format_cut, format_length, quoted
from crewjobs.domain.wording import counted, listed, upper
from crewjobs.engines.estimating.places import floored_rooms
from crewjobs.engines.estimating.roll_choice import LaidFloor, PlacedDrop, RollPlan
from crewjobs.engines.estimating.roll_ways import Seam
from crewjobs.engines.estimating.rolls import roll_plan
from crewjobs.engines.take_off.roll_drawing import drawn_roll
from crewjobs.engines.take_off.roll_rests import rests_of
from crewjobs.services.laying.sheet_rows import DropRow, SheetView
from crewjobs.services.laying.through_words import through
from crewjobs.services.laying.wall_words import wall_legend


def plan_of(job: Job, material: Material) -> RollPlan:
    """Return the cut plan of sheet goods for all rooms that get them."""
    return roll_plan([room for room in floored_rooms(job) if room.floor == material.name], material, job.openings)


def sheet_view(
    record: JobRecord, material: Material, room: str, *, units: UnitSystem = "us", anew: bool = False
) -> SheetView:
    """Return how sheet goods are cut and laid in a room.

    Raises:
        Refused: the rest is to be planned `anew` from a row.
    """
    if anew:
        raise Refused(
            f"{quoted(room)} gets {material.kind} off a roll, which has no rows (--row): change the room in the job file where a wall "
            "turned out otherwise, and load it with --replace before the roll is cut."
        )
    job, plan = record.job, plan_of(record.job, material)
    there = job.room(room)
    floors = [one for one in plan.floors if one.floor.room == room]
    return SheetView(
        job=job.number,
        title=job.title,
        material=material.name,
        rooms=(room,),
        direction=_direction(there, floors[0], units),
        feet=plan.feet,
        counted=material.counted(plan.feet),
        bound_feet=ceil(plan.least / FOOT),
        proved=plan.proved,
        sure=sure_words(plan, material),
        drops=tuple(row for row in drop_rows(plan, units) if row.room == room),
        seams=tuple(words for floor in floors for words in _seams(there, floor, units)),
        notes=(*_notes(job, plan, material, floors, units), *through(job, [room], units)),
        taken_as=tuple(unsaid(job, [there])),
        drawing=drawn_roll(there, plan, material.counted(plan.feet)),
    )


def sure_words(plan: RollPlan, material: Material) -> str:
    """Return how sure it is that no fewer feet will do, as a sentence."""
    if plan.proved:
        return "No way compared takes fewer."
    fewer = plan.feet - ceil(plan.least / FOOT)
    return f"{material.counted(fewer)} fewer may be possible, not more."


def other_words(plan: RollPlan, material: Material, units: UnitSystem) -> Iterator[str]:
    """Yield what another plan would take, where a lead may like it better."""
    seams = sum(floor.way.seam_length for floor in plan.floors)
    for other in plan.others:
        if other.feet < plan.feet:
            yield told_in(
                f"{material.counted(other.feet)} would do with a seam in a doorway, a strip under 6 in, or drops that turn in a doorway",
                units,
            )
        else:
            more, less = other.feet - plan.feet, format_length(seams - other.seams, units)
            yield f"{material.counted(more)} more would save {less} of seam: {material.number(other.feet)} in all, {format_length(other.seams, units)} of seam"


def drop_rows(plan: RollPlan, units: UnitSystem) -> Iterator[DropRow]:
    """Yield all drops in the order they come off the roll."""
    for number, one in enumerate(plan.drops, 1):
        drop = one.drop
        yield DropRow(
            number=number,
            room=one.room,
            section=one.section,
            length=format_cut(drop.length, units),
            width=format_cut(drop.width, units),
            length_in=drop.length / INCH,
            width_in=drop.width / INCH,
            at_in=one.at / INCH,
            left_in=one.left / INCH,
            sentence=_drop_words(number, one, plan, units),
        )


def _drop_words(number: int, one: PlacedDrop, plan: RollPlan, units: UnitSystem) -> str:
    drop = one.drop
    where = f"{one.room}, {one.section}" if one.section else one.room
    wide = "the whole width" if drop.width == plan.roll else f"{format_cut(drop.width, units)} wide"
    if one.left:
        edge = one.left + drop.width == plan.roll
        wide += ", at the right edge" if edge else f", {format_cut(one.left, units)} from the left edge"
    part = f", piece {drop.part} of {drop.parts} of its strip" if drop.parts > 1 else ""
    return (
        f"drop {number}: {format_cut(drop.length, units)} long, {wide}, from {format_cut(one.at, units)} to "
        f"{format_cut(one.at + drop.length, units)} of the roll: {where}{part}"
    )


def rest_words(plan: RollPlan, units: UnitSystem) -> Iterator[str]:
    """Yield the largest pieces left of the whole feet that are bought."""
    for start, left, end, right in rests_of(plan):
        yield f"{format_cut(end - start, units)} by {format_cut(right - left, units)} from {format_cut(start, units)} of the roll on"


def fault_words(plan: RollPlan, units: UnitSystem) -> Iterator[str]:
    """Yield seams that run into doorways and strips that are slivers, where no other place was as good."""
    for floor in plan.floors:
        if floor.way.in_doorways:
            yield f"{floor.floor.room}: a seam runs into {listed([*floor.way.in_doorways])}; every way without would take much more"
        if floor.way.slivers:
            yield f"{floor.floor.room}: {counted(floor.way.slivers, 'strip')} of floor under {told_in('6 in', units)} beside a seam"


def unsaid(job: Job, rooms: list[Room]) -> Iterator[str]:
    """Yield openings of which it is not known where they are: seams are not kept out of them."""
    names = {room.name for room in rooms}
    gaps = [
        opening.name
        for opening in job.openings
        if any(name in names and not wall for name, wall in zip(opening.between, opening.walls, strict=True))
    ]
    if gaps:
        yield f"no seam is kept out of {listed(gaps, most=6)}: it is not said in which walls they are"


def _direction(room: Room, floor: LaidFloor, units: UnitSystem) -> str:
    wall, length = _longest_wall(room, turned=floor.way.turned)
    along = f"wall {wall} ({format_length(length, units)})" if wall else "the room's length"
    return f"Drops run along {along}: {counted(len(floor.way.drops), 'piece')}, {_seam_total(floor, units)}"


def _seam_total(floor: LaidFloor, units: UnitSystem) -> str:
    return f"{format_length(floor.seams, units)} of seam" if floor.seams else "no seam"


def _longest_wall(room: Room, *, turned: bool) -> tuple[int, int]:
    """Return the number (from 1) and the length of the longest wall that runs with the drops; 0 where there is none."""
    walls = [
        (length, -number)
        for number, (((x1, y1), (x2, y2)), length) in enumerate(
            zip(room.outline.sides, room.outline.walls, strict=True), 1
        )
        if (x1 == x2 if turned else y1 == y2)
    ]
    length, number = max(walls, default=(0, 0))
    return -number, length


def _seams(room: Room, floor: LaidFloor, units: UnitSystem) -> Iterator[str]:
    wall, _ = _longest_wall(room, turned=floor.way.turned)
    for seam in floor.way.seams:
        long = format_cut(seam.length, units)
        if seam.crossing:
            yield f"a seam across its strip, {long} long"
        elif wall:
            (x, y), _ = room.outline.sides[wall - 1]
            far = abs(seam.at - (x if floor.way.turned else y))
            yield f"a seam {long} long, {format_cut(far, units)} from wall {wall}"
        else:
            yield f"a seam {long} long, {_from_corner(room, floor, seam, units)}"
    if floor.to_others:
        yield f"{format_length(floor.to_others, units)} of seam to the section before, or in doorways the floor runs through"


def _from_corner(room: Room, floor: LaidFloor, seam: Seam, units: UnitSystem) -> str:
    near = min((x if floor.way.turned else y) for x, y in room.outline.corners)
    return f"{format_cut(seam.at - near, units)} from the room's corner"


def _notes(job: Job, plan: RollPlan, material: Material, floors: list[LaidFloor], units: UnitSystem) -> Iterator[str]:
    yield from (f"! {words}" for words in fault_words(plan, units) if words.split(":")[0] == floors[0].floor.room)
    yield from (f"{upper(words)}." for words in other_words(plan, material, units))
    yield wall_legend(job, floors[0].floor.room, units)
    yield told_in("Lengths are 3 in over at every wall, to be trimmed in place (common practice, no source).", units)
    if material.repeat:
        yield (
            f"The pattern repeats every {format_cut(material.repeat, units)}, straight across: drops begin at the same place of "
            "it and keep the roll's own edge at seams; the maker's match comes first."
        )
    elif any(floor.way.seams for floor in floors):
        yield "No pattern to match is known (repeat): drops begin wherever the last one ends."
    others = [room for room in dict.fromkeys(one.room for one in plan.drops) if room != floors[0].floor.room]
    if others:
        yield f"Cut off the same roll: {listed(others, most=6)}."
    if job.room(floors[0].floor.room).obstacles:
        yield "What stands in the room is cut out of the drops in place."
