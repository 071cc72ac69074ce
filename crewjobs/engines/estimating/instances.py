"""One instance of a template for every place of a job it applies in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from crewjobs.domain.house import Layer
from crewjobs.domain.job import Job
from crewjobs.domain.moves import MovesPlan, MoveStage, Spot, StageKind
from crewjobs.domain.tasks import Catalogue, Driver, Phase, Scope, ScopeKind, TaskKey, TaskTemplate
from crewjobs.domain.work import ExtraWork
from crewjobs.engines.estimating.over_stairs import carried_over
from crewjobs.engines.estimating.places import (
    OUTSIDE,
    Atom,
    Facts,
    facts_of,
    fits,
    floored_openings,
    floored_rooms,
    floored_stairs,
)

EARLY = frozenset({Phase.ACCLIMATE, Phase.DEMOLITION, Phase.SUBFLOOR_PREP, Phase.INSTALL})
"""Work at an opening that comes before the floor there; trim and fixtures wait for the last one."""
FURNITURE_HOME = "furniture-home"
"""The template of the last moves, when everything goes back."""
ALL_BACK = "all back"
ROOM_EARLY = EARLY - {Phase.INSTALL}


@dataclass(frozen=True, slots=True, kw_only=True)
class Instance:
    """A task in the making. `rank` is the stage it stands for in the order, None where it stands for all.

    `layer` is the place from the top of the layer it takes out, None for other work. Of a stage of moves, `move` is what is
    carried, `people` how many carry its pieces, `onto` the floors they are carried onto, and `over` the stairs they are carried over.
    """

    template: TaskTemplate
    key: TaskKey
    atoms: frozenset[Atom]
    stage: int
    rank: int | None
    layer: int | None = None
    move: MoveStage | None = None
    onto: frozenset[Atom] = frozenset()
    over: frozenset[str] = frozenset()
    people: tuple[int, ...] = ()

    @property
    def laying(self) -> bool:
        """Return whether it lays the floor of a section."""
        template = self.template
        return template.phase is Phase.INSTALL and template.scope is ScopeKind.SECTION and template.needs_material


@dataclass(frozen=True, slots=True)
class _House:
    """The atoms of a job with the stage each is worked in."""

    job: Job
    stages: dict[Atom, int]
    _facts: dict[Scope, tuple[Facts, ...]] = field(default_factory=dict)

    def facts(self, scope: Scope) -> tuple[Facts, ...]:
        """Return what a scope's places are like; every template asks it anew."""
        if scope not in self._facts:
            self._facts[scope] = facts_of(self.job, scope)
        return self._facts[scope]

    def of_room(self, name: str) -> frozenset[Atom]:
        return frozenset(atom for atom in self.stages if atom[0] is ScopeKind.SECTION and atom[1] == name)

    def of_stairs(self, name: str) -> frozenset[Atom]:
        return frozenset({(ScopeKind.STAIRS, name, "")})

    def of_material(self, name: str) -> frozenset[Atom]:
        rooms = [self.of_room(room.name) for room in floored_rooms(self.job) if room.floor == name]
        stairs = [self.of_stairs(flight.name) for flight in floored_stairs(self.job) if flight.floor == name]
        return frozenset().union(*rooms, *stairs)

    def of_opening(self, between: Sequence[str]) -> frozenset[Atom]:
        return frozenset().union(*(self.of_room(name) for name in between if name != OUTSIDE))


def instances_of(job: Job, catalogue: Catalogue, moves: MovesPlan | None = None) -> tuple[Instance, ...]:
    """Return every instance the job wants, in the catalogue's order and the job's own within it.

    `moves` are the furniture stages it is worked by, if any.
    """
    house = _house(job)
    used = [t for t in catalogue.templates if t.staged is None or t.staged == (moves is not None)]
    return tuple(
        instance
        for template in used
        for instance in (
            stage_instances(template, moves, house.stages, job)
            if moves is not None and template.scope is ScopeKind.STAGE
            else _instances(template, house)
        )
    )


def stage_instances(
    template: TaskTemplate, moves: MovesPlan, stages: Mapping[Atom, int], job: Job
) -> Iterator[Instance]:
    """Yield an instance for every stage in which something is carried: before each stage of work, or when all goes home."""
    waits = 0
    for number, stage in enumerate(moves.stages):
        waits += stage.kind is StageKind.WAIT
        home = stage.kind is StageKind.HOME
        if not stage.carried or stage.kind is StageKind.CARRY_IN or home != (template.key == FURNITURE_HOME):
            continue
        onto = frozenset(_atom(carry.to) for carry in stage.carried) & stages.keys()
        # what is carried while all waits makes room for the work after it
        works = stage.worked or next((one.worked for one in moves.stages[number:] if one.worked), ())
        worked = frozenset() if home else frozenset(map(_atom, works)) & stages.keys()
        rank = min(stages[atom] for atom in worked) if worked else max(stages.values(), default=0) + home
        places = " + ".join(", ".join(filter(None, spot)) for spot in stage.worked)
        scope = Scope(kind=ScopeKind.STAGE, name=places or (ALL_BACK if home else f"wait {waits}"))
        yield Instance(
            template=template,
            key=TaskKey(template=template.key, scope=scope),
            atoms=worked or onto,
            stage=rank,
            rank=rank,
            move=stage,
            onto=frozenset(stages) if home else onto - worked,  # home goes over every floor of the house
            over=carried_over(job, moves, stage),
            people=tuple(sorted({moves.pieces[carry.piece].people for carry in stage.carried})),
        )


def _atom(spot: Spot) -> Atom:
    return ScopeKind.SECTION, *spot


def _house(job: Job) -> _House:
    stages: dict[Atom, int] = {}
    for room in floored_rooms(job):
        for section in room.sections:
            stages[(ScopeKind.SECTION, room.name, section.name)] = job.stage_of(room.name, section.name)
    last = max(stages.values(), default=1)  # stairs come last: people walk on them until then
    for flight in floored_stairs(job):
        stages[(ScopeKind.STAIRS, flight.name, "")] = last
    return _House(job, stages)


def _instances(template: TaskTemplate, house: _House) -> Iterator[Instance]:
    if template.driver is Driver.HOURS:
        yield from _agreed(template, house)
        return
    for scope, atoms in _scopes(template, house):
        if not any(fits(template.applies, facts) for facts in house.facts(scope)):
            continue
        stage, rank = _stage(template, [house.stages[atom] for atom in atoms])
        for cause, layer in _causes(template, scope, house.job):
            key = TaskKey(template=template.key, scope=scope, cause=cause)
            yield Instance(template=template, key=key, atoms=atoms, stage=stage, rank=rank, layer=layer)


def _agreed(template: TaskTemplate, house: _House) -> Iterator[Instance]:
    """Yield an instance for each entry of work agreed in words, told apart by what it is.

    What it touches is not known, so it has to do with every floor of the house: it comes after what opens the house
    and before what ends the work in it.
    """
    for entry in house.job.work:
        key = TaskKey(template=template.key, scope=work_scope(house.job, entry), cause=entry.what)
        yield Instance(template=template, key=key, atoms=frozenset(house.stages), stage=0, rank=None)


def work_scope(job: Job, entry: ExtraWork) -> Scope:
    """Return where an entry of work is: a room or stairs of the job, or the job."""
    if not entry.place:
        return Scope(kind=ScopeKind.JOB)
    stairs = any(flight.name == entry.place for flight in job.stairs)
    return Scope(kind=ScopeKind.STAIRS if stairs else ScopeKind.ROOM, name=entry.place)


def work_of(job: Job, key: TaskKey) -> ExtraWork:
    """Return the entry of work that an instance of it was made for."""
    return next(entry for entry in job.work if (entry.what, work_scope(job, entry)) == (key.cause, key.scope))


def _scopes(template: TaskTemplate, house: _House) -> Iterator[tuple[Scope, frozenset[Atom]]]:
    job, kind = house.job, template.scope
    match kind:
        case ScopeKind.JOB:
            atoms = frozenset(atom for atom in house.stages if _atom_fits(template, atom, house))
            if atoms:
                yield Scope(kind=kind), atoms
        case ScopeKind.ROOM:
            for room in floored_rooms(job):
                yield Scope(kind=kind, name=room.name), house.of_room(room.name)
        case ScopeKind.SECTION:
            for room in floored_rooms(job):
                for section in room.sections:
                    atom = (ScopeKind.SECTION, room.name, section.name)
                    yield Scope(kind=kind, name=room.name, part=section.name), frozenset({atom})
        case ScopeKind.OPENING:
            for opening in floored_openings(job):
                yield Scope(kind=kind, name=opening.name), house.of_opening(opening.between)
        case ScopeKind.STAIRS:
            for flight in floored_stairs(job):
                yield Scope(kind=kind, name=flight.name), house.of_stairs(flight.name)
        case ScopeKind.MATERIAL:
            for material in job.materials:
                atoms = house.of_material(material.name)
                if atoms:
                    yield Scope(kind=kind, name=material.name), atoms


def _atom_fits(template: TaskTemplate, atom: Atom, house: _House) -> bool:
    scope = Scope(kind=atom[0], name=atom[1], part=atom[2])
    return any(fits(template.applies, facts) for facts in house.facts(scope))


def _stage(template: TaskTemplate, stages: Sequence[int]) -> tuple[int, int | None]:
    """Return a task's stage (0 for the whole house and for material) and its rank in the order."""
    match template.scope:
        case ScopeKind.JOB:
            return 0, None
        case ScopeKind.MATERIAL:
            return 0, min(stages)
        case ScopeKind.ROOM:
            stage = min(stages) if template.phase in ROOM_EARLY else max(stages)
        case ScopeKind.OPENING:
            stage = min(stages) if template.phase in EARLY else max(stages)
        case _:
            stage = max(stages)
    return stage, stage


def _causes(template: TaskTemplate, scope: Scope, job: Job) -> Iterator[tuple[str, int | None]]:
    """Yield one cause for each layer a removal template takes out, else the one empty cause.

    A cause names the covering where the template alone would not tell two layers apart, so that a key keeps
    its meaning when other layers are added.
    """
    coverings = template.applies.coverings
    if template.phase is not Phase.DEMOLITION or not coverings:
        yield "", None
        return
    seen: Counter[str] = Counter()
    for place, layer in enumerate(_layers(scope, job)):
        if layer.covering not in coverings:
            continue
        seen[layer.covering] += 1
        count, several = seen[layer.covering], len(coverings) > 1
        cause = " ".join(
            filter(None, (layer.covering if several or count > 1 else "", str(count) if count > 1 else ""))
        )
        yield cause, place


def _layers(scope: Scope, job: Job) -> tuple[Layer, ...]:
    if scope.kind is ScopeKind.STAIRS:
        return next(flight.layers for flight in job.stairs if flight.name == scope.name)
    return job.room(scope.name).layers
