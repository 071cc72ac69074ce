"""When a job nobody has planned yet would fit: beside all that is planned, and sooner where others can move."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from crewjobs.domain.plan import Placement, WeekPlan
from crewjobs.domain.tasks import Pause, Phase
from crewjobs.engines.answering.what_if import compared
from crewjobs.engines.answering.when import fits
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.compare import moves
from crewjobs.engines.planning.improve import repaired_cost
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import PlanProblem
from tests import thorough
from tests.engines.planning.networks import MONDAY, Network, booked_weeks, crew, house, job, problem, shop

NEW = 99
TUESDAY, WEDNESDAY, THURSDAY = (MONDAY + timedelta(days=days) for days in (1, 2, 3))


def asked(seed: int) -> tuple[PlanProblem, WeekPlan, PlanProblem]:
    """Booked weeks with the plan people know, and the same with a house more that nobody has planned."""
    first = booked_weeks(7, 2, 3, seed)
    plan = plan_week(first)
    before = replace(first, previous=plan)
    plan, _ = repaired_cost(before, plan)
    return before, plan, replace(before, jobs=(*before.jobs, house(NEW, drive=20)))


def others(plan: WeekPlan) -> set[tuple[object, str, object]]:
    """Where a plan has all that is not of the new house."""
    return {_place(placed) for placed in plan.placements if placed.key.job != NEW}


def _place(placed: Placement) -> tuple[object, str, object]:
    return placed.key, placed.crew, placed.start


@pytest.mark.parametrize("seed", thorough.of(range(5), (1, 4)))
def test_beside_the_plan_nothing_else_moves(seed: int) -> None:
    """Without moving anything means just that: every other block is where it was, and the judge finds no fault."""
    _, plan, after = asked(seed)
    found = fits(after, plan, NEW)
    assert found.undisturbed is not None
    assert found.undisturbed.moved == ()
    assert others(found.undisturbed.plan) == others(found.without) == others(plan)
    assert check_plan(after, found.undisturbed.plan) == ()


@pytest.mark.parametrize("seed", thorough.of(range(5), (1, 4)))
def test_sooner_nobody_stands_worse(seed: int) -> None:
    """As soon as it can be is no later than beside; no promise is lost, and only the jobs that are named move."""
    before, plan, after = asked(seed)
    found = fits(after, plan, NEW)
    assert found.soonest is not None
    assert found.undisturbed is not None
    assert found.soonest.end.date() <= found.undisturbed.end.date()
    assert check_plan(after, found.soonest.plan) == ()
    assert not any(one.lost for one in compared(before, plan, after, found.soonest.plan).jobs)
    zones = {record.job.number: record.job.site.zone for record in after.jobs}
    moved = {move.job for move in moves(plan, found.soonest.plan, zones)}
    assert moved - {NEW} <= set(found.soonest.moved)


def three_days(promised: date | None) -> tuple[PlanProblem, WeekPlan]:
    """One crew with a day of work each for Monday, Tuesday and Wednesday, Wednesday's promised or not; and one more day."""
    terms: list[dict[str, object]] = [{"promised": MONDAY}, {"promised": TUESDAY}, {"promised": promised}, {}]
    records = []
    for number, more in zip((1, 2, 3, NEW), terms, strict=True):
        net = Network(job=job(number, drive=0, **more))
        net.add("Lay rows", Phase.INSTALL, 8 * 3 * 60, people=3)
        records.append(net.record())
    first = problem(records[:3], shop(crew("Birch", 3)))
    plan = plan_week(first)
    return replace(first, jobs=tuple(records), previous=plan), plan


def test_a_job_without_a_promise_makes_room() -> None:
    """Wednesday's work is promised to nobody: a new day's work fits on Thursday without moving it, and on Wednesday with."""
    after, plan = three_days(None)
    found = fits(after, plan, NEW)
    assert found.undisturbed is not None
    assert found.soonest is not None
    assert found.undisturbed.start.date() == THURSDAY
    assert (found.soonest.start.date(), found.soonest.moved) == (WEDNESDAY, (3,))


def test_a_promise_of_that_day_makes_no_room() -> None:
    """The same, promised for Wednesday: it stays, and the new work comes on Thursday."""
    after, plan = three_days(WEDNESDAY)
    found = fits(after, plan, NEW)
    assert found.soonest is not None
    assert found.soonest == found.undisturbed
    assert found.soonest.start.date() == THURSDAY


def test_what_begins_within_a_day_stays() -> None:
    """One job on Monday, planned at Monday's start and promised to nobody: it is not turned around for a call."""
    nets = [Network(job=job(number, drive=0)) for number in (1, NEW)]
    for net in nets:
        net.add("Lay rows", Phase.INSTALL, 8 * 3 * 60, people=3)
    old, new = (net.record() for net in nets)
    first = problem([old], shop(crew("Birch", 3)))
    plan = plan_week(first)
    found = fits(replace(first, jobs=(old, new), previous=plan), plan, NEW)
    assert found.soonest is not None
    assert found.soonest == found.undisturbed
    assert found.soonest.start.date() == TUESDAY


def test_the_crew_that_is_asked_for_does_it() -> None:
    """Two equal crews, both free: the house goes to the one that is named."""
    nets = [Network(job=job(NEW, drive=0))]
    nets[0].add("Lay rows", Phase.INSTALL, 8 * 2 * 60, people=2)
    first = problem([nets[0].record()], shop(crew("Birch", 2), crew("Cedar", 2)))
    empty = plan_week(replace(first, jobs=()))
    for name in ("Birch", "Cedar"):
        found = fits(replace(first, previous=empty), empty, NEW, name)
        assert found.soonest is not None
        assert found.soonest.crews == (name,)


def test_what_fits_nowhere_says_why() -> None:
    """Work that is longer on one day than any crew has: no place, and the planner's own sentence."""
    net = Network(job=job(NEW, drive=0))
    net.add("Pour", Phase.SUBFLOOR_PREP, 30 * 3 * 60, people=3, pause=Pause.LUNCH)
    first = problem([net.record()], shop(crew("Birch", 3)))
    empty = plan_week(replace(first, jobs=()))
    found = fits(replace(first, previous=empty), empty, NEW)
    assert (found.soonest, found.undisturbed) == (None, None)
    assert found.why_not
