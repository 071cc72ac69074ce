"""In which rooms and on which stairs each task of a job is done, also one that is of the whole house, a material or a stage of moves."""

from __future__ import annotations

from collections.abc import Iterator

from crewjobs.domain.job import Job
from crewjobs.domain.moves import IN_PLACE, MovesPlan
from crewjobs.domain.tasks import Catalogue, Driver, ScopeKind, TaskKey
from crewjobs.engines.estimating.instances import Instance, instances_of


def done_in(job: Job, catalogue: Catalogue, moves: MovesPlan | None = None) -> dict[TaskKey, frozenset[str]]:
    """Return, by task, the names of the places somebody works in; `moves` are the furniture stages in force, if any.

    What is of the whole house is done in every place of it, unless its template is for some of them (slabs); a stage of moves
    in the rooms it makes free and wherever its pieces are carried from, to and over. Work agreed in words is done where it was agreed.
    """
    return {instance.key: places_worked(job, instance, moves) for instance in instances_of(job, catalogue, moves)}


def places_worked(job: Job, instance: Instance, moves: MovesPlan | None = None) -> frozenset[str]:
    """Return the names of the rooms and stairs somebody works in on one task, as `done_in` does for all of them."""
    everywhere = frozenset([*(room.name for room in job.rooms), *(flight.name for flight in job.stairs)])
    return _places(job, instance, moves, everywhere) & everywhere


def _places(job: Job, instance: Instance, moves: MovesPlan | None, everywhere: frozenset[str]) -> frozenset[str]:
    scope, template = instance.key.scope, instance.template
    if scope.kind is ScopeKind.OPENING:
        return frozenset(name for one in job.openings if one.name == scope.name for name in one.between)
    if scope.kind is ScopeKind.JOB and not template.applies.subfloors:
        return everywhere
    if template.driver is Driver.HOURS:
        return frozenset({scope.name})
    return frozenset([*(name for _, name, _ in instance.atoms), *_carried(instance, moves)])


def _carried(instance: Instance, moves: MovesPlan | None) -> Iterator[str]:
    if instance.move is None or moves is None:
        return
    for carry in instance.move.carried:
        home = moves.pieces[carry.piece].home
        yield from ((home if spot == IN_PLACE else spot)[0] for spot in (carry.start, carry.to))
    yield from instance.over
