"""What the places of a job are like, and whether a template applies in one.

A job's floor is cut into atoms: each section of each room that gets a new floor, and each stair that does.
Everything a task is about (job, room, section, opening, stairs, material) covers some of them; two
tasks have to do with each other where they share one.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

from crewjobs.domain.house import Layer, Opening, Room, Stairs
from crewjobs.domain.job import Job
from crewjobs.domain.tasks import Applies, Scope, ScopeKind

SMALL_FT2 = 60.0
HEAVY_LB = 51.0
"""The lifting equation's load constant: the most it gives one person in the best of cases (DHHS/NIOSH 94-110)."""
OUTSIDE = "outside"
_ASKED = tuple(field.name for field in fields(Applies))
"""The fields of `Applies`, read once: every template asks every place."""

Atom = tuple[ScopeKind, str, str]
"""A section (kind, room, part) or a stair (kind, name, empty)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What `Applies` asks of a place, field by field, and the conditions of estimates."""

    coverings: frozenset[str] = frozenset()
    lowest: frozenset[str] = frozenset()
    suspect: bool = False
    floors: frozenset[str] = frozenset()
    methods: frozenset[str] = frozenset()
    subfloors: frozenset[str] = frozenset()
    trims: frozenset[str] = frozenset()
    fixtures: frozenset[str] = frozenset()
    transitions: frozenset[str] = frozenset()
    furnished: bool = False
    occupied: bool = False
    lead_rule: bool = False
    painted_trim: bool = True
    leveling: bool = False
    patching: bool = False
    plywood: bool = False
    pad: bool = False
    door: bool = False
    rated: bool = False
    new_floor: bool = True
    by_reading: bool = False
    several_sections: bool = False
    heavy_cartons: bool = False
    heavy_pieces: bool = False
    flights: bool = False
    conditions: frozenset[str] = frozenset()


def fits(applies: Applies, facts: Facts) -> bool:
    """Return whether every field given fits the place."""
    for name in _ASKED:
        wanted = getattr(applies, name)
        if isinstance(wanted, frozenset):
            if wanted and wanted.isdisjoint(getattr(facts, name)):
                return False
        elif wanted is not None and wanted != getattr(facts, name):
            return False
    return True


def floored_rooms(job: Job) -> tuple[Room, ...]:
    """Return the rooms that get a new floor: the others are passed through and make no tasks."""
    return tuple(room for room in job.rooms if room.floor is not None)


def floored_stairs(job: Job) -> tuple[Stairs, ...]:
    """Return the stairs that get a new floor."""
    return tuple(stairs for stairs in job.stairs if stairs.floor is not None)


def floored_openings(job: Job) -> tuple[Opening, ...]:
    """Return the openings that touch a room with a new floor."""
    names = {room.name for room in floored_rooms(job)}
    return tuple(opening for opening in job.openings if names & set(opening.between))


def facts_of(job: Job, scope: Scope) -> tuple[Facts, ...]:
    """Return the places a scope is about; what applies in one of them applies to the scope.

    Empty where the job no longer has it.
    """
    rooms, stairs = floored_rooms(job), floored_stairs(job)
    match scope.kind:
        case ScopeKind.ROOM | ScopeKind.SECTION:
            return tuple(_room_facts(job, room) for room in rooms if room.name == scope.name)
        case ScopeKind.STAIRS:
            return tuple(_stairs_facts(job, flight) for flight in stairs if flight.name == scope.name)
        case ScopeKind.OPENING:
            return tuple(
                _opening_facts(job, room, opening)
                for opening in floored_openings(job)
                if opening.name == scope.name
                for room in rooms
                if room.name in opening.between
            )
        case ScopeKind.MATERIAL:
            return (
                *(_room_facts(job, room) for room in rooms if room.floor == scope.name),
                *(_stairs_facts(job, flight) for flight in stairs if flight.floor == scope.name),
            )
        case ScopeKind.JOB | ScopeKind.STAGE:
            return (*(_room_facts(job, room) for room in rooms), *(_stairs_facts(job, flight) for flight in stairs))


def place_facts(job: Job, scope: Scope) -> tuple[Facts, ...]:
    """Return a room, stairs or all of them as they are, with a new floor or without; empty where there is none."""
    everywhere = scope.kind is ScopeKind.JOB
    return (
        *(_room_facts(job, room) for room in job.rooms if everywhere or room.name == scope.name),
        *(_stairs_facts(job, flight) for flight in job.stairs if everywhere or flight.name == scope.name),
    )


def _room_facts(job: Job, room: Room) -> Facts:
    kinds = frozenset(fixture.kind for fixture in room.fixtures)
    conditions = {
        "furnished": room.pieces > 0,
        "occupied": job.site.occupied,
        "upstairs": job.site.flights_up > 0 or room.storey > 0,
        "cut-up": len(room.outline.corners) > 4 or len(kinds) >= 2,
        "small": room.outline.area_ft2 < SMALL_FT2,
    }
    return replace(
        _floor_facts(job, room.floor, room.layers),
        subfloors=frozenset({room.subfloor}),
        trims=frozenset({room.trim}),
        painted_trim=room.painted_trim,
        fixtures=kinds,
        furnished=room.pieces > 0,
        leveling=room.level_ft2 > 0,
        patching=room.patch_ft2 > 0,
        plywood=room.add_plywood,
        pad=room.pad,
        several_sections=len(room.sections) > 1,
        heavy_pieces=any(piece.people > 1 and not piece.stays for piece in room.furniture),
        flights=flights_to(job, room) > 0,
        conditions=frozenset(name for name, there in conditions.items() if there),
    )


def flights_to(job: Job, room: Room | None) -> int:
    """Return the flights of stairs things are carried to a room, up or down; None is a stair of the job.

    Where an elevator is booked nothing goes by the stairs.
    """
    if job.site.elevator is not None:
        return 0
    return max(job.site.flights_up, abs(room.storey) if room is not None else 0)


def _stairs_facts(job: Job, stairs: Stairs) -> Facts:
    conditions = {"occupied": job.site.occupied, "upstairs": job.site.flights_up > 0}
    return replace(
        _floor_facts(job, stairs.floor, stairs.layers),
        flights=flights_to(job, None) > 0,
        conditions=frozenset(name for name, there in conditions.items() if there),
    )


def _floor_facts(job: Job, floor: str | None, layers: tuple[Layer, ...]) -> Facts:
    material = job.material(floor) if floor is not None else None
    return Facts(
        coverings=frozenset(layer.covering for layer in layers),
        lowest=frozenset(layer.covering for layer in layers[-1:]),
        suspect=any(layer.suspect for layer in layers),
        floors=frozenset({material.kind} if material else ()),
        methods=frozenset({material.method} if material else ()),
        occupied=job.site.occupied,
        lead_rule=job.site.lead_rule,
        new_floor=material is not None,
        by_reading=material is not None and material.by_reading,
        heavy_cartons=material is not None and (material.carton_lb or 0) > HEAVY_LB,
    )


def _opening_facts(job: Job, room: Room, opening: Opening) -> Facts:
    """A door to outside stays hung: it swings over its sill, not over the new floor."""
    return replace(
        _room_facts(job, room),
        transitions=frozenset({opening.transition}),
        door=opening.door and OUTSIDE not in opening.between,
        rated=opening.rated,
    )
