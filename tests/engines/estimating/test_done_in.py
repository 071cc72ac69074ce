"""Where the tasks of a job are done: what is of the house, of a material or between two rooms is done in its rooms."""

from __future__ import annotations

from hypothesis import given, settings

from crewjobs.domain.house import Subfloor
from crewjobs.domain.tasks import ScopeKind
from crewjobs.engines.estimating.done_in import done_in
from tests import thorough
from tests.engines.estimating.graph import Graph, catalogue
from tests.strategies import jobs


@settings(max_examples=thorough.examples(20, 10), deadline=None)
@given(jobs())
def test_every_task_is_done_somewhere_in_its_house(job):
    """In rooms and on stairs the job has; those with a room's name in that room, a material in the rooms it is for."""
    places = done_in(job, catalogue())
    everywhere = {room.name for room in job.rooms} | {flight.name for flight in job.stairs}
    for task in Graph(job).wanted.tasks:
        found, scope = places[task.key], task.key.scope
        assert found
        assert found <= everywhere
        if scope.kind in (ScopeKind.ROOM, ScopeKind.SECTION, ScopeKind.STAIRS):
            assert found == {scope.name}
        if scope.kind is ScopeKind.OPENING:
            [opening] = [one for one in job.openings if one.name == scope.name]
            assert found == set(opening.between) & everywhere
        if scope.kind is ScopeKind.MATERIAL:
            of = [*job.rooms, *job.stairs]
            assert found == {place.name for place in of if place.floor == scope.name}


@settings(max_examples=thorough.examples(20, 10), deadline=None)
@given(jobs())
def test_the_slab_test_is_done_on_slabs_alone(job):
    """In every room with a new floor on a slab and in no other; what else is of the house is done in all of it."""
    slabs = {room.name for room in job.rooms if room.subfloor is Subfloor.SLAB and room.floor is not None}
    everywhere = {room.name for room in job.rooms} | {flight.name for flight in job.stairs}
    for key, found in done_in(job, catalogue()).items():
        if key.scope.kind is ScopeKind.JOB:
            assert found == (slabs if key.template.startswith("slab-test") else everywhere)
