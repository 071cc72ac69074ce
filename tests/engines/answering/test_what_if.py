"""What if: a problem with something supposed, planned by the same means, and both plans side by side."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from random import Random

import pytest

from crewjobs.domain.plan import Pin, Unkept, WeekPlan
from crewjobs.domain.tasks import Phase
from crewjobs.domain.wall import Span
from crewjobs.engines.answering import what_if
from crewjobs.engines.answering.standing import end_of, last_day, promised_jobs
from crewjobs.engines.answering.what_if import (
    Compared,
    Effort,
    both,
    called_off,
    compared,
    crew_off,
    crew_works,
    extra_crew,
    looked_for,
    only_more,
    pinned,
    promise_moved,
    supposed_pins,
    usual_spans,
    worker_off,
)
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.jobwork import Floor
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.objective import PlanCost
from crewjobs.engines.planning.problem import PlanProblem
from tests import thorough
from tests.engines.planning.networks import MONDAY, Network, booked_weeks, crew, job, problem, shop

AT_ONCE = Effort()
FRIDAY = MONDAY + timedelta(days=4)
SATURDAY = MONDAY + timedelta(days=5)
MORNING = (Span(start=8 * 60, end=12 * 60),)


def in_force(seed: int, jobs: int = 7, crews: int = 2) -> tuple[PlanProblem, WeekPlan]:
    """A shop's weeks with a plan that people know."""
    first = booked_weeks(jobs, crews, 3, seed)
    plan = plan_week(first)
    return replace(first, previous=plan), plan


def tried(before: PlanProblem, after: PlanProblem, plan: WeekPlan) -> tuple[Compared, WeekPlan, WeekPlan]:
    """Both plans and how they compare."""
    now, then = both(before, after, plan, AT_ONCE)
    return compared(before, now, after, then), now, then


def harm(the_problem: PlanProblem, plan: WeekPlan) -> tuple[int, int]:
    """Tasks without a place, and days after promises by the jobs' weights."""
    late = 0
    for record in promised_jobs(the_problem):
        end, promised = end_of(plan, record.job.number), record.job.promised
        if end is not None and promised is not None:
            late += record.job.weight * max(0, (last_day(record, end) - promised).days)
    return sum(len(left.tasks) for left in plan.left_out), late


def two_days(promised: date, off: frozenset[date] = frozenset()) -> tuple[PlanProblem, WeekPlan]:
    """One job of two days of Birch from Monday, promised for a day; the plan of it."""
    net = Network(job=job(1, drive=0, promised=promised))
    net.add("Lay rows", Phase.INSTALL, 16 * 3 * 60, people=3)
    the_problem = problem([net.record()], shop(crew("Birch", 3, off=tuple(off))))
    plan = plan_week(the_problem)
    return replace(the_problem, previous=plan), plan


def test_what_is_pinned_is_kept_though_a_plan_without_it_costs_less(monkeypatch: pytest.MonkeyPatch) -> None:
    """A plan found in spite of the pins that are asked about answers nothing: the other goes first, other pins weigh as ever."""
    the_problem, plan = two_days(FRIDAY)
    asked, other = (Pin(job=1, task=1, crew="Birch", day=MONDAY + timedelta(days=n)) for n in (1, 2))
    cheap = replace(plan, unkept=(Unkept(pin=asked, why="no room", instead="Birch does it"),)), PlanCost(days=1)
    dear = replace(plan, unkept=(Unkept(pin=other, why="no room", instead="Birch does it"),)), PlanCost(days=2)
    monkeypatch.setattr(what_if, "repaired_cost", lambda *_asked: cheap)
    monkeypatch.setattr(what_if, "planned_cost", lambda *_asked: dear)
    assert looked_for(the_problem, plan, AT_ONCE).plan == cheap[0]
    assert looked_for(the_problem, plan, AT_ONCE, pins=(asked,)).plan == dear[0]
    assert looked_for(the_problem, plan, AT_ONCE, pins=(asked, other)).plan == cheap[0]
    assert supposed_pins(the_problem, pinned(the_problem, (asked,))) == {asked}


# -- what must hold


@pytest.mark.parametrize("seed", thorough.of(range(4), 2))
def test_nothing_supposed_changes_nothing(seed: int) -> None:
    """The same problem twice: no job changes, nothing moves, and the plan in force is the plan."""
    before, plan = in_force(seed)
    found, now, then = tried(before, before, plan)
    assert (found.changed, found.moves) == ((), ())
    assert now == then


@pytest.mark.parametrize("seed", thorough.of(range(4), 1))
def test_a_crew_more_never_costs_a_day(seed: int) -> None:
    """With a crew more no more work has no place, and the jobs are together no later by weight; at once or in rounds."""
    before, plan = in_force(seed)
    after = extra_crew(before, "Elm", "Birch")
    assert only_more(before, after)
    for effort in (AT_ONCE, Effort(rounds=1)):
        now, then = both(before, after, plan, effort)
        assert harm(after, then) <= harm(before, now)


@pytest.mark.parametrize("seed", thorough.of(range(3), 1))
def test_every_supposed_plan_can_be_done(seed: int) -> None:
    """The judge of plans, which knows only calendars and links, finds no fault with any of them."""
    before, plan = in_force(seed)
    random, numbers = Random(seed), [record.job.number for record in before.jobs]
    for after in (
        crew_off(before, "Birch", MONDAY + timedelta(days=random.randrange(5))),
        worker_off(before, "Birch", before.shop.crews[0].workers[-1].name, FRIDAY),
        crew_works(before, "Cedar", SATURDAY, MORNING),
        crew_works(before, "Cedar", FRIDAY, MORNING),
        extra_crew(before, "Elm", "Cedar", FRIDAY),
        promise_moved(before, random.choice(numbers), FRIDAY),
        called_off(before, random.choice(numbers)),
    ):
        assert check_plan(after, tried(before, after, plan)[2]) == ()


# -- by hand


def test_a_day_off_breaks_a_promise() -> None:
    """Monday and Tuesday for a promise of Tuesday: off on Tuesday the job ends Wednesday, a promise lost, a day moved."""
    before, plan = two_days(MONDAY + timedelta(days=1))
    after = crew_off(before, "Birch", MONDAY + timedelta(days=1))
    (one,) = tried(before, after, plan)[0].changed
    assert (one.was.holds, one.now.holds, one.lost, one.won) == (True, False, True, False)
    assert one.now.end is not None
    assert one.now.end.date() == MONDAY + timedelta(days=2)
    assert (one.was.crew_days, one.now.crew_days) == (2, 2)


def test_a_promise_moved_to_a_later_day_is_won() -> None:
    """Promised for Monday it is broken; for Tuesday the same plan keeps it, and nothing moves."""
    before, plan = two_days(MONDAY)
    found, now, then = tried(before, promise_moved(before, 1, MONDAY + timedelta(days=1)), plan)
    assert [one.won for one in found.jobs] == [True]
    assert (found.moves, now.placements) == ((), then.placements)


def test_a_crew_more_takes_the_second_job() -> None:
    """Two jobs of a day promised for Monday, one crew: the second is late; with a crew more both are kept."""
    records = []
    for number in (1, 2):
        net = Network(job=job(number, drive=0, promised=MONDAY))
        net.add("Lay rows", Phase.INSTALL, 8 * 3 * 60, people=3)
        records.append(net.record())
    first = problem(records, shop(crew("Birch", 3)))
    plan = plan_week(first)
    before = replace(first, previous=plan)
    found = tried(before, extra_crew(before, "Elm", "Birch"), plan)[0]
    assert [one.job for one in found.jobs if one.won] == [2]
    assert found.jobs[1].now.crews == ("Elm",)
    later = tried(before, extra_crew(before, "Elm", "Birch", MONDAY + timedelta(days=1)), plan)[0]
    assert [one.job for one in later.jobs if one.won] == []


def test_a_job_called_off_is_gone_and_no_promise_is_lost_with_it() -> None:
    """It has no place, it is not there any more, and that is no broken promise."""
    before, plan = two_days(MONDAY + timedelta(days=1))
    found, _, then = tried(before, called_off(before, 1), plan)
    assert then.placements == ()
    assert not found.jobs[0].now.there
    assert not found.jobs[0].lost


# -- what is supposed, and no more


def test_hours_of_a_single_day_are_of_that_day_alone() -> None:
    """A Saturday worked adds its hours to the crew's calendar; every other day stays as it was."""
    before, _ = two_days(FRIDAY)
    calendars = [Floor(one).calendars.crew("Birch") for one in (before, crew_works(before, "Birch", SATURDAY, MORNING))]
    assert calendars[1].total - calendars[0].total == 16
    assert sorted(set(calendars[1].days) - set(calendars[0].days)) == [SATURDAY]
    longer = crew_works(before, "Birch", FRIDAY, (Span(start=6 * 60, end=18 * 60),))
    days = Floor(longer).calendars.crew("Birch").days
    assert sorted(set(days)) == sorted(set(calendars[0].days))


def test_usual_hours_of_a_day_off_are_those_of_the_day_before() -> None:
    """Saturday is worked as Friday is; a crew without hours has none."""
    birch = crew("Birch", 3)
    assert usual_spans(birch, SATURDAY) == birch.hours.on(FRIDAY)
    none = replace(birch, hours=replace(birch.hours, days=((),) * 7))
    assert usual_spans(none, SATURDAY) == ()


def test_a_hired_crew_is_like_the_other_but_for_its_days_off() -> None:
    """People, hours and floors are the other's; the other's days off are not."""
    before, _ = two_days(FRIDAY, frozenset({MONDAY}))
    birch, elm = extra_crew(before, "Elm", "Birch").shop.crews
    assert (elm.people, elm.hours, elm.skills) == (birch.people, birch.hours, birch.skills)
    assert elm.comes(MONDAY)
    assert not birch.comes(MONDAY)
    assert not {worker.name for worker in elm.workers} & {worker.name for worker in birch.workers}


def test_what_takes_something_away_is_not_only_more() -> None:
    """A day off, shorter hours, a Saturday inside a work, a promise moved: a plan of the first may not be one of it."""
    before, _ = two_days(FRIDAY)
    for after in (
        crew_off(before, "Birch", FRIDAY),
        crew_works(before, "Birch", FRIDAY, MORNING),
        crew_works(before, "Birch", SATURDAY, MORNING),
        promise_moved(before, 1, MONDAY),
        called_off(before, 1),
    ):
        assert not only_more(before, after)
