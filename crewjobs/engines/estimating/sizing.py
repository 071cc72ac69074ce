"""How much work a task is: the quantity that drives it, and its labor minutes."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import TypeAlias

from crewjobs.domain.house import Layer, Room, Stairs
from crewjobs.domain.job import Job
from crewjobs.domain.material import Material
from crewjobs.domain.tasks import Driver, ScopeKind, TaskTemplate, ThreePoint
from crewjobs.domain.units import FOOT
from crewjobs.engines.estimating.instances import Instance, work_of
from crewjobs.engines.estimating.places import Atom, facts_of, fits, flights_to, floored_rooms, floored_stairs
from crewjobs.engines.estimating.quantities import (
    FLIGHT,
    LB_PER_FT2,
    SHEET_FT2,
    SPARE_CARTONS,
    base_length,
    carton_weight_factor,
    cartons_needed,
    steps_ft2,
    trips,
    whole_units,
)
from crewjobs.engines.estimating.rolls import running_feet, seam_feet
from crewjobs.engines.estimating.waste import waste_of

JAMBS_PER_OPENING = 2
Stays: TypeAlias = frozenset[tuple[Atom, int]]
"""Layers of the present floor that nobody takes out, each by its section or stairs and its place from the top."""


def quantity(job: Job, instance: Instance, stays: Stays = frozenset()) -> float:
    """Return how much of the template's driver there is; 0 where there is nothing to do. What `stays` is not hauled."""
    scope = instance.key.scope
    match instance.template.driver:
        case Driver.AREA:
            return _rounded(sum(_area(instance.template, room, part) for room, part in _sections(job, instance)))
        case Driver.PERIMETER:
            return _rounded(sum(_base(job, room, part) for room, part in _sections(job, instance)))
        case Driver.STEPS:
            stairs = [a[1] for a in instance.atoms if a[0] is ScopeKind.STAIRS]
            return sum(_steps(instance.template, flight) for flight in job.stairs if flight.name in stairs)
        case Driver.POUNDS:
            return _rounded(_weight(job, instance, stays))
        case Driver.CARTONS | Driver.RUNNING_FEET:
            return sum(count_of(job, m) for m in job.materials if scope.kind is ScopeKind.JOB or m.name == scope.name)
        case Driver.SEAMS:
            return _rounded(sum(_seams(job, room, part) for room, part in _sections(job, instance)))
        case Driver.PIECES:
            return _pieces(job, instance)
        case Driver.FIXTURES:
            kinds = instance.template.applies.fixtures
            rooms = {a[1] for a in instance.atoms if a[0] is ScopeKind.SECTION}
            return sum(f.count for room in job.rooms if room.name in rooms for f in room.fixtures if f.kind in kinds)
        case Driver.ROOMS:
            return len({atom[:2] for atom in instance.atoms if atom[0] is ScopeKind.SECTION}) or 1  # stairs are none
        case Driver.JAMBS:
            return JAMBS_PER_OPENING
        case Driver.HOURS:
            return work_of(job, instance.key).minutes / 60
        case Driver.CARRYING:
            return _rounded(instance.move.minutes) if instance.move is not None else 0.0
        case Driver.DOORS | Driver.OPENINGS | Driver.ONCE:
            return 1


def _rounded(amount: float) -> float:
    """Return hundredths, and never nothing for a sliver that has to be done all the same."""
    return max(0.01, round(amount, 2)) if amount > 0 else 0.0


def estimate(job: Job, instance: Instance, amount: float) -> ThreePoint:
    """Return whole labor minutes of one person: rate times quantity plus fixed, under the place's conditions.

    What is carried takes longer by weight, and by every flight of stairs where no elevator is booked.
    """
    template, factor = instance.template, 1.0
    conditions = conditions_of(job, instance)
    for name, times in template.factors:
        if name in conditions:
            factor *= times
    rate, fixed = template.rate, template.fixed
    weight, climbs = carrying(job, instance, amount) if template.elevator else (1.0, 0.0)
    low, likely, high = (
        float(round(((minutes * amount + climb * climbs) * weight + fixed) * factor))
        for minutes, climb in ((rate.low, FLIGHT.low), (rate.likely, FLIGHT.likely), (rate.high, FLIGHT.high))
    )
    return ThreePoint(low=low, likely=max(1.0, likely), high=max(1.0, high))


def carrying(job: Job, instance: Instance, amount: float) -> tuple[float, float]:
    """Return how much longer the weight of a load makes it, and how many flights are climbed in all, load by load."""
    driver, scope = instance.template.driver, instance.key.scope
    if scope.kind is ScopeKind.MATERIAL and driver is Driver.CARTONS:
        material = job.material(scope.name)
        return carton_weight_factor(material.carton_lb), amount * _mean_flights(job, material)
    if scope.kind is ScopeKind.MATERIAL and driver is Driver.RUNNING_FEET:  # one roll, all who carry it climb with it
        return 1.0, instance.template.least_people * _mean_flights(job, job.material(scope.name))
    room = job.room(scope.name) if scope.kind in (ScopeKind.SECTION, ScopeKind.ROOM) else None
    match driver:
        case Driver.POUNDS:
            return 1.0, trips(amount) * flights_to(job, room)
        case Driver.AREA:
            return 1.0, whole_units(amount, SHEET_FT2) * flights_to(job, room)
        case _:
            return 1.0, 0.0


def _mean_flights(job: Job, material: Material) -> float:
    """Return the flights a carton is carried on average: each room takes cartons by its area."""
    parts = [
        (room.outline.area_ft2, flights_to(job, room)) for room in floored_rooms(job) if room.floor == material.name
    ]
    parts += [
        (steps_ft2(flight), flights_to(job, None)) for flight in floored_stairs(job) if flight.floor == material.name
    ]
    area = sum(part for part, _ in parts)
    return sum(part * flights for part, flights in parts) / area if area else 0.0


def conditions_of(job: Job, instance: Instance) -> frozenset[str]:
    """Return the conditions of the places an instance is about (of any of them, where it is several)."""
    scope, applies = instance.key.scope, instance.template.applies
    return frozenset().union(*(facts.conditions for facts in facts_of(job, scope) if fits(applies, facts)))


def least_people(job: Job, instance: Instance) -> int:
    """Return how many people the task needs: furniture as its heaviest piece asks for, agreed work as was agreed."""
    least = instance.template.least_people
    if instance.template.driver is Driver.HOURS:
        return work_of(job, instance.key).people
    if instance.move is not None:
        return max([least, *instance.people])
    if instance.template.driver is Driver.PIECES:
        pieces = [piece.people for piece in job.room(instance.key.scope.name).furniture if not piece.stays]
        return max([least, *pieces])
    return least


def count_of(job: Job, material: Material) -> int:
    """Return the cartons (running feet of sheet goods) of a material: those in its order lines, else the take-off."""
    ordered = [order.cartons for order in job.orders if order.material == material.name]
    if ordered:
        return sum(ordered)
    return take_off(job, material)


def take_off(job: Job, material: Material) -> int:
    """Return what to buy of a material: cartons by area, waste and a spare one; of sheet goods feet by the cut plan."""
    if material.is_sheet:
        rooms = [room for room in floored_rooms(job) if room.floor == material.name]
        return running_feet(rooms, material, job.openings)
    area = sum(room.net_ft2 for room in floored_rooms(job) if room.floor == material.name)
    area += sum(steps_ft2(flight) for flight in floored_stairs(job) if flight.floor == material.name)
    return cartons_needed(area, material.carton_ft2, waste=waste_of(material), extra=SPARE_CARTONS)


def _seams(job: Job, room: Room, part: int) -> float:
    material = job.material(room.floor) if room.floor is not None else None
    if material is None or not material.is_sheet:
        return 0.0
    rooms = [one for one in floored_rooms(job) if one.floor == material.name]
    return seam_feet(rooms, room, part, material, job.openings)


def _sections(job: Job, instance: Instance) -> list[tuple[Room, int]]:
    """Return the rooms with the places of the sections an instance covers."""
    return [
        (room, place)
        for room in floored_rooms(job)
        for place, section in enumerate(room.sections)
        if (ScopeKind.SECTION, room.name, section.name) in instance.atoms
    ]


def _area(template: TaskTemplate, room: Room, part: int) -> float:
    area, whole = room.sections[part].area_ft2, room.outline.area_ft2
    share = area / whole if whole else 0.0
    if template.applies.leveling:
        return room.level_ft2 * share
    if template.applies.patching:
        return room.patch_ft2 * share
    return room.net_ft2 * share  # what stands there is laid around, wherever in the room it stands


def _steps(template: TaskTemplate, stairs: Stairs) -> int:
    """Return the steps a task is about: all, every second one from the first, or those between."""
    return {1: ceil(stairs.steps / 2), 2: stairs.steps // 2}.get(template.half, stairs.steps)


def _weight(job: Job, instance: Instance, stays: Stays) -> float:
    """Return the pounds of the layers a template names, but those that stay, in the sections or on the stairs it is about."""
    coverings = instance.template.applies.coverings

    def per_ft2(layers: Sequence[Layer], atom: Atom) -> float:
        return sum(
            LB_PER_FT2[layer.covering]
            for place, layer in enumerate(layers)
            if layer.covering in coverings and (atom, place) not in stays
        )

    rooms = sum(
        room.sections[part].area_ft2 * per_ft2(room.layers, (ScopeKind.SECTION, room.name, room.sections[part].name))
        for room, part in _sections(job, instance)
    )
    stairs = {atom[1]: atom for atom in instance.atoms if atom[0] is ScopeKind.STAIRS}
    return rooms + sum(
        steps_ft2(flight) * per_ft2(flight.layers, stairs[flight.name])
        for flight in job.stairs
        if flight.name in stairs
    )


def _base(job: Job, room: Room, part: int) -> float:
    """Return the feet of base of a section: the room's, shared out by the wall along each section."""
    widths = [opening.width for opening in job.openings if room.name in opening.between]
    length = base_length(room.outline.walls, widths) / FOOT
    return length * _wall_of(room, part) / room.outline.perimeter


def _wall_of(room: Room, part: int) -> int:
    if not room.cuts:
        return room.outline.perimeter
    name = room.cuts[part][0]
    start, length = room.stretch(name)
    return room.outline_of(name).perimeter - room.outline.across(start) - room.outline.across(start + length)


def _pieces(job: Job, instance: Instance) -> int:
    """Return the pieces moved: a heap grows as sections are cleared, and the last move back is the rest of it.

    In the section worked as number i of s stand i/s of the pieces by then; back go all of them from other rooms,
    or the part that stands on another section.
    """
    scope = instance.key.scope
    room = job.room(scope.name)
    count = len(room.sections)
    if scope.kind is ScopeKind.SECTION:
        worked = sorted((section.name for section in room.sections), key=lambda part: job.stage_of(room.name, part))
        return ceil(room.pieces * (worked.index(scope.part) + 1) / count)
    return room.pieces if count == 1 else ceil(room.pieces * (count - 1) / count)
