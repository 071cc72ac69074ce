"""Work agreed in words: one task an entry, sized by the hours said, between what opens the house and what ends it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import Covering, Layer
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.tasks import Driver, ScopeKind, TemplateOverride
from crewjobs.domain.work import MOST_WORK_MIN, ExtraWork
from crewjobs.engines.estimating.estimate import per_man_day
from crewjobs.engines.estimating.expand import cautions_for, expand
from crewjobs.engines.estimating.reconcile import reconcile
from crewjobs.files.catalogue import apply_overrides
from tests import thorough
from tests.engines.estimating.graph import Graph, catalogue
from tests.engines.estimating.show import one_room
from tests.strategies import jobs, worked_on

WORK = "extra-work"
SHELF = ExtraWork(what="shelf off the wall", minutes=40)
some = settings(max_examples=thorough.examples(20, 7), deadline=None)


def bare(job: Job) -> Job:
    """The job with its rooms as they are and no new floor."""
    rooms = tuple(replace(room, floor=None) for room in job.rooms)
    return replace(job, rooms=rooms, stairs=tuple(replace(flight, floor=None) for flight in job.stairs))


@some
@given(worked_on(jobs()))
def test_each_entry_is_one_task_of_its_hours(job: Job) -> None:
    """Likely labor is what was said, with more above it than below (common practice, no source); people as agreed."""
    tasks = [task for task in Graph(job).wanted.tasks if task.key.template == WORK]
    assert sorted((task.title, task.where_is, task.estimate.likely) for task in map(_Seen, tasks)) == sorted(
        (entry.title, entry.place or "house", entry.minutes) for entry in job.work
    )
    for task in tasks:
        low, likely, high = task.estimate.low, task.estimate.likely, task.estimate.high
        assert low <= likely <= high
        assert high - likely >= likely - low
        assert task.people == task.least_people
        assert task.needs_material is None


class _Seen:
    """A wanted task by where it is."""

    def __init__(self, task) -> None:
        self.title, self.estimate, self.where_is = task.title, task.estimate, str(task.key.scope)


@some
@given(worked_on(jobs()))
def test_it_comes_after_protection_and_before_the_last_walk_through(job: Job) -> None:
    """In a house that gets a floor, agreed work waits for its protection, and the house is handed over after it."""
    graph = Graph(job)
    for key in graph.named(WORK):
        for last in graph.named("walk-through-after"):
            assert graph.comes_before(key, last)
        for protect in graph.named("protect-house"):
            assert graph.comes_before(protect, key)


@some
@given(worked_on(jobs()).map(bare))
def test_without_a_floor_there_is_nothing_else(job: Job) -> None:
    """A job of agreed work alone has its tasks and no other, and none of them waits."""
    wanted = expand(job, catalogue())
    assert {task.key.template for task in wanted.tasks} <= {WORK}
    assert len(wanted.tasks) == len(job.work)
    assert wanted.links == ()


@given(st.integers(1, MOST_WORK_MIN))
def test_any_minutes_are_kept(minutes: int) -> None:
    """Whatever was said, to the minute, is the likely labor of the task."""
    job = replace(bare(one_room()), work=(replace(SHELF, minutes=minutes),))
    (task,) = expand(job, catalogue()).tasks
    assert (task.unit, task.estimate.likely) == (Driver.HOURS, minutes)


def test_its_key_is_what_and_where() -> None:
    """Other hours or people keep the number; another place or other words are other work."""
    job = replace(bare(one_room()), work=(SHELF,))
    record = reconcile(JobRecord(job=job), expand(job, catalogue()))
    assert record.tasks[0].key.scope.kind is ScopeKind.JOB

    def numbers(**changed: object) -> list[int]:
        after = replace(job, work=(replace(SHELF, **changed),))
        found = reconcile(replace(record, job=after), expand(after, catalogue()))
        return [task.number for task in found.tasks if not task.not_needed]

    assert numbers(minutes=90, people=2, needs="a drill") == [1]
    assert numbers(what="shelf up again") == [2]
    assert numbers(place=job.rooms[0].name) == [2]


def test_the_room_it_is_in_brings_its_cautions() -> None:
    """Old vinyl tile in the room, or an old house, is said before somebody works there, and only then."""
    job = one_room()
    new = replace(job, site=replace(job.site, year_built=1994), rooms=(replace(job.rooms[0], layers=()),))
    old = replace(new, rooms=(replace(new.rooms[0], layers=(Layer(covering=Covering.VINYL_TILE, year=1962),)),))

    def said(base: Job) -> set[str]:
        work = replace(bare(base), work=(replace(SHELF, place=base.rooms[0].name),))
        (task,) = expand(work, catalogue()).tasks
        return {caution.key for caution in cautions_for(work, task, catalogue())}

    assert said(new) == set()
    assert said(old) == {"asbestos"}
    assert said(replace(new, site=replace(new.site, year_built=1950))) == {"lead-paint"}


def test_a_shop_does_not_leave_it_out() -> None:
    """What was agreed is not forgotten by a shop's own templates, and has no pace."""
    with pytest.raises(Refused, match="cannot be left out: what was agreed"):
        apply_overrides(catalogue(), [TemplateOverride(key=WORK, off=True)])
    template = catalogue().template(WORK)
    assert template is not None
    assert per_man_day(template) is None
