"""The week plan: rules that hold for any shop, and the ways of the trade one by one."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.crew import Skill
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import Pin, Placement, WeekPlan
from crewjobs.domain.tasks import Link, Pause, Phase, ScopeKind, Task
from crewjobs.domain.wall import to_wall
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.improve import repaired_cost
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import Earliest, PlanProblem, SameDay
from tests import thorough
from tests.engines.planning.networks import (
    CENTRAL,
    MONDAY,
    Network,
    at,
    booked_weeks,
    crew,
    hours,
    house,
    job,
    problem,
    random_problem,
    shop,
)

BIRCH, CEDAR = crew("Birch", 3), crew("Cedar", 2)
SHOP = shop(BIRCH, CEDAR)


def _day(number: int) -> date:
    return date(2026, 3, number)


def _planned(the_problem: PlanProblem) -> WeekPlan:
    """Plan, and have the judge look at it."""
    plan = plan_week(the_problem)
    assert check_plan(the_problem, plan) == ()
    return plan


def _of(plan: WeekPlan, number: int, task: int) -> Placement:
    return next(p for p in plan.placements if p.key.job == number and task in p.tasks)


def _start(plan: WeekPlan, number: int, task: int) -> str:
    return f"{to_wall(CENTRAL, _of(plan, number, task).start):%a %d %H:%M}"


def _whys(plan: WeekPlan) -> list[str]:
    return [left.why for left in plan.left_out]


def _single(*, number: int = 1, minutes: float = 120, **more: object) -> JobRecord:
    net = Network(job=job(number))
    net.add("work", Phase.INSTALL, minutes, **more)  # type: ignore[arg-type]
    return net.record()


@settings(max_examples=thorough.examples(18, 6), deadline=None)
@given(st.integers(0, 1_000_000))
def test_any_plan_holds(seed: int) -> None:
    """Whatever the shop, jobs, facts, pins and clocks, the judge finds nothing against the plan."""
    _planned(random_problem(seed))


@pytest.mark.parametrize("seed", range(4))
def test_booked_weeks_hold(seed: int) -> None:
    """Realistic houses with late lots and promises give plans the judge finds nothing against."""
    _planned(booked_weeks(10, 3, 4, seed))


@settings(max_examples=thorough.examples(14, 2), deadline=None)
@given(st.integers(0, 1_000_000), st.integers(60, 5000))
def test_planning_again_holds(seed: int, later: int) -> None:
    """Planning again from a plan made some time before gives a plan that holds too."""
    the_problem = random_problem(seed)
    plan = plan_week(the_problem)
    _planned(replace(the_problem, now=the_problem.now + timedelta(minutes=later), previous=plan))


def _digest(seed: str) -> str:
    code = (
        "from tests.engines.planning.networks import booked_weeks, random_problem\n"
        "from crewjobs.engines.planning.list_schedule import plan_week\n"
        "print(plan_week(booked_weeks(8, 3, 4, 1)))\n"
        "print([plan_week(random_problem(seed)) for seed in range(8)])\n"
    )
    env = {**os.environ, "PYTHONHASHSEED": seed}
    return subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True).stdout


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_the_same_problem_gives_the_same_plan() -> None:
    """Plans do not depend on the order in which Python happens to walk a set."""
    first, *others = [_digest(seed) for seed in ("0", "4242")]
    assert len(first) > 1000
    assert all(other == first for other in others)


def test_acclimation_counts_hours_across_the_clock_change() -> None:
    """Moved in Friday 6 March 14:00 CST, 48 h later it is Sunday 15:00 CDT: laying starts then, not at 14:00."""
    daily = crew("Birch", 2, hours(("07:00", "19:00"), days="mon tue wed thu fri sat sun"))
    net = Network(job=job(1, drive=0))
    carry = net.add("Carry in planks", Phase.HOUSE, 60, people=1, scope=ScopeKind.MATERIAL)
    net.add("Lay rows", Phase.INSTALL, 120, waits={carry: (48 * 60, "acclimating")})
    fact = Earliest(at=at(_day(6), "13:00"), reason="planks come")
    plan = _planned(problem([net.record()], shop(daily), earliest={(1, carry): (fact,)}))
    assert _of(plan, 1, carry).end == at(_day(6), "14:00")
    assert _start(plan, 1, 2) == "Sun 08 15:00"
    assert _of(plan, 1, 2).reason == "acclimating until Sun 15:00"


def test_one_crew_does_the_whole_job() -> None:
    """A job goes to one crew where that crew can do all of it."""
    plan = _planned(problem([house(1), house(2)], SHOP))
    for number in (1, 2):
        assert len({p.crew for p in plan.placements if p.key.job == number}) == 1


def test_what_only_another_crew_can_do_goes_there() -> None:
    """The leveler is poured by the crew that levels, the rest stays with the crew that lays the floor."""
    lays, levels = crew("Birch", 3, skills="floating, tile removal"), crew("Cedar", 2, skills="leveling")
    plan = _planned(problem([house(1, level=True)], shop(lays, levels)))
    assert [p.phase for p in plan.placements if p.crew == "Cedar"] == [Phase.SUBFLOOR_PREP]


def test_cartons_go_in_at_once_and_the_house_opens_late() -> None:
    """Cartons go in on the first morning; the house is opened no more days before the laying than it takes."""
    plan = _planned(problem([house(1)], shop(BIRCH)))
    assert _start(plan, 1, 2) == "Mon 02 08:00"
    opened = min(p.start for p in plan.placements if p.phase is Phase.DEMOLITION)
    assert to_wall(CENTRAL, opened).date() == _day(4)


def test_protection_goes_right_before_a_late_lot() -> None:
    """Where the lot comes on Wednesday afternoon, the way in is protected in the same visit."""
    fact = Earliest(at=at(_day(4), "13:00"), reason="planks come")
    plan = _planned(problem([house(1)], shop(BIRCH), earliest={(1, 2): (fact,)}))
    assert _of(plan, 1, 1).end == _of(plan, 1, 2).start


def test_all_that_a_late_lot_needs_is_one_visit() -> None:
    """Reading the rooms and protecting the way, two blocks, go right before the cartons that come on Wednesday."""
    net = Network(job=job(1))
    read = net.add("read the rooms", Phase.ACCLIMATE, 30, stage=0, scope=ScopeKind.MATERIAL)
    protect = net.add("protect the way", Phase.HOUSE, 30, read, stage=0, scope=ScopeKind.JOB)
    carry = net.add("carry in", Phase.HOUSE, 60, protect, stage=0, scope=ScopeKind.MATERIAL)
    net.add("carpet up", Phase.DEMOLITION, 60, protect)
    net.add("rows", Phase.INSTALL, 300, 4, waits={carry: (2880, "acclimating")})
    fact = Earliest(at=at(_day(4), "08:00"), reason="planks come")
    plan = _planned(problem([net.record()], shop(BIRCH), earliest={(1, carry): (fact,)}))
    visit = [_of(plan, 1, number) for number in (read, protect, carry)]
    assert all(before.end == after.start for before, after in pairwise(visit))
    assert to_wall(CENTRAL, visit[0].start).date() == _day(4)


def test_a_half_day_is_done_in_one_visit_where_the_job_ends_as_soon() -> None:
    """Trim that could begin late on Friday is done on Monday in one go: the last cure ends on that day anyway."""
    net = Network(job=job(1, drive=0))
    net.add("rows", Phase.INSTALL, 60, done_at=at(_day(6), "06:00"))
    trim = net.add("trim", Phase.TRIM, 180, people=1)
    net.add("walk-through", Phase.HOUSE, 30, waits={trim: (120, "caulk dries")})
    fact = Earliest(at=at(_day(6), "15:00"), reason="glue sets")
    the_shop, now = shop(crew("Birch", 1)), at(_day(6), "06:30")
    plan = _planned(problem([net.record()], the_shop, now=now, earliest={(1, trim): (fact,)}))
    assert _start(plan, 1, trim) == "Mon 09 07:30"


def test_the_promise_with_less_time_left_goes_first() -> None:
    """Of two equal houses for one crew, the one promised sooner is done first."""
    records = [house(1, promised=_day(20)), house(2, promised=_day(9))]
    plan = _planned(problem(records, shop(BIRCH)))
    ends = {number: max(p.end for p in plan.placements if p.key.job == number) for number in (1, 2)}
    assert ends[2] < ends[1]


def test_the_wished_start_is_waited_for() -> None:
    """A start wished for Wednesday 11 March is kept, and cartons come in two days before their hours must begin."""
    plan = _planned(problem([house(1, wished=_day(11))], shop(BIRCH)))
    opened = _of(plan, 1, 3)
    assert to_wall(CENTRAL, opened.start).date() == _day(11)
    assert to_wall(CENTRAL, _of(plan, 1, 2).start).date() >= _day(7)


def test_a_promise_outweighs_the_wished_start() -> None:
    """Where waiting for the wished start would break the promise, work starts sooner."""
    record = house(1, stages=2, wished=_day(9), promised=_day(9))
    plan = _planned(problem([record], shop(BIRCH)))
    assert to_wall(CENTRAL, max(p.end for p in plan.placements)).date() <= _day(9)


def test_a_house_whose_floor_cannot_come_stays_closed() -> None:
    """Nothing of a job is planned while its planks are not ordered; the why says so."""
    plan = _planned(problem([house(1)], SHOP, impossible={(1, 2): "oak is not ordered", (1, 9): "oak is not ordered"}))
    assert plan.placements == ()
    assert _whys(plan) == ["oak is not ordered; until then the house is not opened"]


def test_a_truck_is_met_at_a_house_that_stays_closed() -> None:
    """The planks come, the laying has no date for another reason: they are carried in, with what that needs, no more."""
    plan = _planned(problem([house(1)], SHOP, impossible={(1, 9): "the customer has not chosen"}))
    assert {number for p in plan.placements for number in p.tasks} == {1, 2}
    assert _whys(plan) == ["the customer has not chosen; until then the house is not opened"]


def test_a_house_that_is_open_is_worked_on_as_far_as_it_goes() -> None:
    """Once demolition has begun, what can be done is planned; laying and all after it is left out with the why."""
    record = house(1)
    tasks = tuple(replace(t, done_at=at(_day(1), "12:00")) if t.number <= 4 else t for t in record.tasks)
    plan = _planned(problem([replace(record, tasks=tasks)], SHOP, impossible={(1, 9): "oak is not ordered"}))
    assert {number for p in plan.placements for number in p.tasks} == {5, 6, 7, 8}
    assert [(left.tasks, left.why) for left in plan.left_out] == [
        ((9, 10, 11, 12, 13, 14, 15, 16), "oak is not ordered")
    ]


def test_what_comes_ahead_of_a_shut_house_comes_before_the_plan_ends() -> None:
    """Every day of the plan is blocked: the house stays shut, and nothing is carried in after the plan's end either."""
    blocked = frozenset(MONDAY + timedelta(days=n) for n in range(16))
    plan = _planned(problem([house(1, blocked=blocked)], SHOP, days=14))
    assert plan.placements == ()
    assert [left.tasks for left in plan.left_out] == [tuple(range(1, 17))]


BACK = "the only toilet would be out over night"


def _bath_and_den(*, den: float = 900, bath: float = 90, cure: int = 0) -> JobRecord:
    """Return a job whose den (tasks 1 to 3) and bath (4 to 8, from toilet out to toilet back) wait for nothing common."""
    net = Network(job=job(1))
    net.add("Carpet up", Phase.DEMOLITION, 60)
    net.add("Scrape", Phase.SUBFLOOR_PREP, 60, 1)
    net.add("Lay the den", Phase.INSTALL, den, 2)
    net.add("Toilet out", Phase.DEMOLITION, 30)
    net.add("Vinyl up", Phase.DEMOLITION, 60, 4)
    net.add("Scrape the bath", Phase.SUBFLOOR_PREP, 60, 5)
    net.add("Lay the bath", Phase.INSTALL, bath, 6)
    net.add("Toilet back", Phase.FIXTURES_RESET, 60, waits={7: (cure, "glue sets")})
    return net.record()


def test_a_toilet_goes_out_on_the_day_on_which_it_is_back() -> None:
    """More than a day of work: the den goes first, and all of the bath fits on one day after that."""
    pair = SameDay(job=1, first=4, last=8, why=BACK)
    for den in (300, 700, 900, 2000):
        plan = _planned(problem([_bath_and_den(den=den)], shop(crew("Birch", 2)), same_day=[pair]))
        assert plan.left_out == ()


def test_a_toilet_that_cannot_be_back_leaves_the_house_shut() -> None:
    """Glue that sets for a night, or more work than a day has, lies between: nothing of it is planned, with the why."""
    pair = SameDay(job=1, first=4, last=8, why=BACK)
    for record in (_bath_and_den(cure=24 * 60), _bath_and_den(cure=16 * 60), _bath_and_den(bath=2400)):
        plan = _planned(problem([record], shop(crew("Birch", 2)), same_day=[pair]))
        assert plan.placements == ()
        assert [left.why.startswith(BACK) for left in plan.left_out] == [True]


@pytest.mark.parametrize("last", ["no date", "no crew"])
def test_what_cannot_come_back_is_not_taken_out_of_an_open_house(last: str) -> None:
    """The den is torn open, so the house is worked on; but no toilet goes out that has no time to be put back."""
    record = _bath_and_den()
    tasks = [replace(t, done_at=at(_day(1), "12:00")) if t.number == 1 else t for t in record.tasks]
    if last == "no crew":
        tasks = [replace(t, skill=Skill.NAILED) if t.number == 8 else t for t in tasks]
    barred = {(1, 8): "the toilet is not ordered"} if last == "no date" else {}
    pair = SameDay(job=1, first=4, last=8, why=BACK)
    crews = shop(crew("Birch", 2, skills="floating"))
    plan = _planned(problem([replace(record, tasks=tuple(tasks))], crews, impossible=barred, same_day=[pair]))
    assert {number for placed in plan.placements for number in placed.tasks} == {2, 3}
    assert [left.tasks for left in plan.left_out] == [(4, 5, 6, 7, 8)]


@pytest.mark.parametrize(
    ("state", "why"), [(JobState.QUOTED, "quoted, not booked"), (JobState.ASKED, "asked, not booked")]
)
def test_only_booked_jobs_are_planned(state: JobState, why: str) -> None:
    """A job not booked is left out and says so."""
    plan = _planned(problem([house(1, state=state)], SHOP))
    assert plan.placements == ()
    assert _whys(plan) == [why]


def _why_cases() -> dict[str, tuple[PlanProblem, str]]:
    lays = shop(crew("Birch", 2, skills="floating"))
    far = Earliest(at=at(date(2026, 4, 20), "11:00"), reason="planks ready (48 h)")
    weeks = frozenset(MONDAY + timedelta(days=n) for n in range(60))
    blocked = Network(job=job(1, blocked=weeks))
    blocked.add("work", Phase.INSTALL, 60)
    circle = Network(job=job(1))
    circle.add("one", Phase.INSTALL, 60, 2)
    circle.add("two", Phase.INSTALL, 60, 1)
    return {
        "skill": (problem([_single(skill=Skill.NAILED)], lays), "no crew lays nailed floors"),
        "people": (problem([_single(least=3, people=3)], lays), "'work' needs 3 people; the largest crew has 2"),
        "one go": (
            problem([_single(minutes=900, people=1, pause=Pause.NONE)], SHOP),
            "'work' needs 15 h in one go, and no crew has that long at this site",
        ),
        "one day": (
            problem([_single(minutes=900, people=1, pause=Pause.LUNCH)], SHOP),
            "'work' needs 15 h on one day, and no crew has that long at this site",
        ),
        "horizon": (
            problem([_single()], SHOP, earliest={(1, 1): (far,)}),
            "planks ready Mon 20 Apr 11:00 (48 h), after the plan ends Mon 30 Mar 07:30",
        ),
        "blocked": (problem([blocked.record()], SHOP), "blocked days and the drive leave no working time for Birch and Cedar"),
        "circle": (
            problem([circle.record()], SHOP),
            "the links go in a circle: 1 'one' → 2 'two' → 1 'one'; take one of them out",
        ),
        "no crew": (problem([_single()], shop()), "the shop has no crew"),
    }  # fmt: skip


@pytest.mark.parametrize("case", _why_cases())
def test_the_why_names_the_binding_fact(case: str) -> None:
    """Work without a place says what fact stands in the way, in one sentence."""
    the_problem, why = _why_cases()[case]
    plan = _planned(the_problem)
    assert plan.placements == ()
    assert _whys(plan) == [why]


def _pin_cases() -> dict[str, tuple[PlanProblem, str, str]]:
    tuesday = _day(3)
    off = shop(crew("Birch", off=[tuesday]), CEDAR)
    pin = Pin(job=1, task=1, crew="Birch", day=tuesday)
    ready = Earliest(at=at(_day(5), "11:00"), reason="planks ready (48 h from Tue 11:00)")
    chain = Network(job=job(1))
    chain.add("long", Phase.DEMOLITION, 3000)
    chain.add("work", Phase.INSTALL, 60, 1)
    late = Pin(job=1, task=2, crew="Birch", day=tuesday)
    cures = Network(job=job(1))
    cures.add("level", Phase.SUBFLOOR_PREP, 120)
    cures.add("lay", Phase.INSTALL, 60, waits={1: (2880, "leveler cures")})
    jambs = Network(job=job(1))
    jambs.add("jambs", Phase.INSTALL, 3000)
    jambs.add("lay", Phase.INSTALL, 60, 1, stage=2)
    other = Pin(job=2, task=1, crew="Birch", day=tuesday)
    soon = Network(job=job(1))
    soon.add("primer", Phase.SUBFLOOR_PREP, 60)
    soon.add("pour", Phase.SUBFLOOR_PREP, 60)
    soon.links.append(Link(before=1, after=2, most_min=240))
    fact = Earliest(at=at(_day(6), "07:00"), reason="leveler comes")
    return {
        "day off": (
            problem([_single()], off, pins=[pin]),
            "pinned day Tue 3 Mar is a day off for Birch",
            "Birch Mon 08:00",
        ),
        "early": (
            problem([_single()], SHOP, pins=[pin], earliest={(1, 1): (ready,)}),
            "pinned to Birch on Tue 3 Mar, but planks ready Thu 11:00 (48 h from Tue 11:00), too late for Birch that day",
            "Birch Thu 11:00",
        ),
        "late": (
            problem([chain.record()], SHOP, pins=[late]),
            "pinned to Birch on Tue 3 Mar, but it waits for the demolition until Thu 12:00 at the soonest",
            "Birch Thu 12:30",
        ),
        "late, and a fact that is over by noon": (
            problem([chain.record()], SHOP, pins=[late], earliest={(1, 2): (replace(ready, at=at(tuesday, "11:00")),)}),
            "pinned to Birch on Tue 3 Mar, but it waits for the demolition until Thu 12:00 at the soonest",
            "Birch Thu 12:30",
        ),
        "a cure": (
            problem([cures.record()], SHOP, pins=[late]),
            "pinned to Birch on Tue 3 Mar, but leveler cures until Wed 09:00 at the soonest",
            "Birch Wed 09:00",
        ),
        "the laying does not wait for the laying": (
            problem([jambs.record()], SHOP, pins=[late]),
            "pinned to Birch on Tue 3 Mar, but it waits for 'jambs' (living) until Thu 12:00 at the soonest",
            "Birch Thu 12:30",
        ),
        "its crew elsewhere": (
            problem(
                [
                    _single(minutes=900, people=3, pause=Pause.LUNCH),
                    _single(number=2, minutes=900, people=3, pause=Pause.LUNCH),
                ],
                SHOP,
                pins=[other, pin],
            ),
            "pinned to Birch on Tue 3 Mar, but it takes 5 h from Tue 08:00 at the soonest, and Birch is on job 1 "
            "until Tue 13:30; the first day with room is Wed 4 Mar",
            "Birch Mon 08:00",
        ),
        "past": (
            problem([_single()], SHOP, pins=[replace(pin, day=_day(1))]),
            "pinned to Birch on Sun 1 Mar, a day that is past",
            "Birch Mon 08:00",
        ),
        "skill": (
            problem([_single(skill=Skill.NAILED)], shop(crew("Birch", 2, skills="floating"), CEDAR), pins=[pin]),
            "pinned to Birch on Tue 3 Mar, but no one there lays nailed floors",
            "Cedar Mon 08:00",
        ),
        "bars the rest": (
            problem([soon.record()], SHOP, pins=[pin], earliest={(1, 2): (fact,)}),
            "pinned to Birch on Tue 3 Mar, but then other work of the job has no place",
            "Birch Fri 08:00",
        ),
    }


@pytest.mark.parametrize("case", _pin_cases())
def test_a_pin_that_cannot_be_kept_is_said_and_its_work_planned(case: str) -> None:
    """The job is planned without the pin; one sentence says why not, and where the work is instead; its reason too."""
    the_problem, why, where = _pin_cases()[case]
    plan = _planned(the_problem)
    assert plan.left_out == ()
    [said] = plan.unkept
    placed = _of(plan, said.pin.job, said.pin.task)
    start = to_wall(CENTRAL, placed.start)
    assert (said.pin, said.why) == (the_problem.pins[0], why)
    assert f"{placed.crew} {start:%a %H:%M}" == where
    assert said.instead == f"{placed.crew} does it {start:%a} {start.day} {start:%b %H:%M}"
    assert placed.reason.endswith(f"; {why}")


def test_what_comes_before_a_pin_ends_before_it() -> None:
    """Birch would have the room torn out by Thursday; Cedar helps out, so that Birch lays on Tuesday as pinned."""
    net = Network(job=job(1))
    for _ in range(3):
        net.add("Tear out", Phase.DEMOLITION, 700, pause=Pause.LUNCH, people=2)
    net.add("Lay", Phase.INSTALL, 300, 1, 2, 3)
    net.tasks = [replace(task, stage=number) for number, task in enumerate(net.tasks, start=1)]
    pin = Pin(job=1, task=4, crew="Birch", day=_day(4))
    plan = _planned(problem([net.record()], SHOP, pins=[pin]))
    assert plan.unkept == ()
    assert (_of(plan, 1, 4).crew, _start(plan, 1, 4)[:6]) == ("Birch", "Wed 04")


def test_a_repair_leaves_work_whose_pin_cannot_be_kept() -> None:
    """Planned without its pin, a job stays where it is when the plan is repaired an hour later."""
    the_problem, _, _ = _pin_cases()["late"]
    records = (*the_problem.jobs, house(2), house(3))
    first = plan_week(replace(the_problem, jobs=records))
    made, _ = repaired_cost(replace(the_problem, jobs=records, now=the_problem.now + timedelta(minutes=30)), first)
    places = [{(p.key, p.crew, p.start) for p in plan.placements} for plan in (first, made)]
    assert places[0] == places[1]
    assert [one.pin for one in made.unkept] == [one.pin for one in first.unkept]


def test_a_full_crew_is_named() -> None:
    """When the crew is booked to the end, a job that finds no room says until when, and when it could start."""
    records = [_single(number=number, minutes=1500) for number in range(1, 5)]
    plan = _planned(problem(records, shop(BIRCH), days=3))
    assert _whys(plan) == ["no room before the plan ends Thu 5 Mar 06:30: it could start Thu 5 Mar"] * 2


def test_what_begins_too_late_to_be_planned_says_when_and_after_what() -> None:
    """A wait that outlasts the plan: the earliest start after it is named, with what the wait is of."""
    net = Network(job=job(1, drive=0))
    pour = net.add("Pour leveler", Phase.SUBFLOOR_PREP, 120)
    net.add("Lay rows", Phase.INSTALL, 120, pour, waits={pour: (60 * 24 * 60, "slab dries")})
    plan = _planned(problem([net.record()], shop(BIRCH), days=14))
    (why,) = _whys(plan)
    assert why.startswith("the laying can begin Fri 1 May"), why
    assert why.endswith("after the subfloor prep: too late to fit before the plan ends Mon 16 Mar 07:30"), why


def test_a_job_longer_than_the_plan_says_so_and_which_laying_comes_before_which() -> None:
    """Two layings, the first longer than the plan: the places tell them apart, and it is said that no earlier start would help."""
    net = Network(job=job(1, drive=0))
    first = net.add("Lay rows", Phase.INSTALL, 90 * 60, people=1)
    net.add("Lay rows", Phase.INSTALL, 60 * 60, first, people=1, stage=2)
    record = net.record()
    tasks = [
        replace(task, key=replace(task.key, scope=replace(task.key.scope, name=f"bed {task.stage}")))
        for task in record.tasks
    ]
    (why,) = _whys(_planned(problem([replace(record, tasks=tuple(tasks))], shop(crew("Birch", 1)), days=7)))
    assert "(bed 2) can begin" in why, why
    assert "after the laying (bed 1): too late" in why, why
    assert why.endswith("; the job is longer than the 7 days the plan looks ahead, however soon it begins"), why


def test_pins_stay_where_they_are() -> None:
    """A pinned block is with its crew on its day, though another place would be sooner."""
    pin = Pin(job=1, task=9, crew="Cedar", day=_day(11))
    plan = _planned(problem([house(1), house(2)], SHOP, pins=[pin]))
    placed = _of(plan, 1, 9)
    assert (placed.crew, to_wall(CENTRAL, placed.start).date()) == ("Cedar", _day(11))
    assert placed.reason == "pinned to Cedar on Wed 11 Mar"


def test_a_pin_is_kept_free_from_jobs_planned_before() -> None:
    """A job with work begun is planned first, and still leaves the pinned place of another alone."""
    first = house(1)
    begun = tuple(replace(t, done_at=at(_day(1), "12:00")) if t.number <= 4 else t for t in first.tasks)
    pin = Pin(job=2, task=1, crew="Birch", day=MONDAY)
    plan = _planned(problem([replace(first, tasks=begun), _single(number=2, minutes=600)], shop(BIRCH), pins=[pin]))
    assert to_wall(CENTRAL, _of(plan, 2, 1).start).date() == MONDAY


def _begin(record: JobRecord, done: int, started: int, since: datetime, who: str) -> JobRecord:
    def state(task: Task) -> Task:
        if task.number <= done:
            return replace(task, done_at=since, crew=who)
        return replace(task, started_at=since, crew=who) if task.number == started else task

    return replace(record, tasks=tuple(state(task) for task in record.tasks))


def test_work_under_way_goes_on_at_once_with_its_crew() -> None:
    """Rows begun yesterday by Cedar go on with Cedar this morning with the hours that are left."""
    record = _begin(house(1), 8, 9, at(MONDAY, "13:00"), "Cedar")
    now = at(_day(3), "06:30")
    plan = _planned(problem([record, house(2, promised=_day(4), weight=3)], SHOP, now=now))
    rows = _of(plan, 1, 9)
    assert (rows.crew, _start(plan, 1, 9)) == ("Cedar", "Tue 03 08:00")
    # 720 labor minutes, two people from 13:00 to 15:30: 300 done, 420 left for two: 3.5 h
    assert rows.end == at(_day(3), "11:30")
    assert rows.reason == "under way since Mon 13:00"


def test_the_previous_plan_knows_who_began() -> None:
    """Where a task does not say who began it, the plan in force does."""
    record = house(1)
    plan = _planned(problem([record], shop(CEDAR, BIRCH)))
    crew_then = _of(plan, 1, 9).crew
    started = _of(plan, 1, 9).start
    later = _begin(record, 8, 9, started, "")
    now = started + timedelta(hours=1)
    again = _planned(problem([later, house(2)], shop(CEDAR, BIRCH), now=now, previous=plan))
    assert _of(again, 1, 9).crew == crew_then
    assert _of(again, 1, 9).start == now


def test_planning_again_changes_nothing_where_nothing_changed() -> None:
    """The same problem with its own plan as the previous one gives the same placements."""
    the_problem = booked_weeks(8, 3, 4, 2)
    plan = _planned(the_problem)
    assert _planned(replace(the_problem, previous=plan)).placements == plan.placements


REASONS = (
    ("first hours of the day at this site", 1, 1),
    ("follows the laying", 1, 10),
    ("caulk cures until", 1, 14),
)


@pytest.mark.parametrize(("words", "number", "task"), REASONS)
def test_every_place_has_its_reason(words: str, number: int, task: int) -> None:
    """A placement says what fixes its start: the morning, the work before it, a cure."""
    plan = _planned(problem([house(1)], shop(BIRCH)))
    assert _of(plan, number, task).reason.startswith(words)


def test_a_ready_lot_is_the_reason() -> None:
    """Where a lot's own clock fixes the laying, the reason gives the instant and where it comes from."""
    fact = Earliest(at=at(_day(5), "11:00"), reason="planks ready (48 h from Tue 11:00)")
    plan = _planned(problem([_single()], SHOP, earliest={(1, 1): (fact,)}))
    assert _of(plan, 1, 1).reason == "planks ready Thu 11:00 (48 h from Tue 11:00)"


def test_a_busy_crew_is_the_reason() -> None:
    """Where the crew is elsewhere, the reason names the job and until when."""
    plan = _planned(problem([_single(), _single(number=2)], shop(BIRCH)))
    assert _of(plan, 2, 1).reason == "Birch crew is on job 1 until Mon 09:00"
    assert _start(plan, 2, 1) == "Mon 02 09:45"


def test_known_minutes_between_two_houses_are_used() -> None:
    """Ten minutes between two sites, given as such, replace the way over the shop."""
    plan = _planned(problem([_single(), _single(number=2)], shop(BIRCH), drive={(2, 1): 10}))
    assert _start(plan, 2, 1) == "Mon 02 09:15"


def test_nobody_comes_back_for_a_quarter_hour() -> None:
    """Work of up to two hours is done on one day: what does not fit today waits for the morning."""
    records = [_single(minutes=13 * 60, people=2), _single(number=2, minutes=150, people=2)]
    plan = _planned(problem(records, shop(crew("Birch", 2)), drive={(1, 2): 15}))
    assert _start(plan, 2, 1) == "Tue 03 08:00"


def test_a_stop_leaves_the_rest_out_with_the_reason() -> None:
    """When planning is stopped, jobs whose turn did not come say so, and the plan still holds."""
    turns = iter((False, True, True))
    the_problem = problem([_single(number=number) for number in (1, 2, 3)], SHOP)
    plan = plan_week(the_problem, stop=lambda: next(turns))
    assert check_plan(the_problem, plan) == ()
    assert _whys(plan) == ["planning was stopped before its turn"] * 2


def test_progress_is_told_after_every_job() -> None:
    """Progress counts the jobs and names each."""
    told: list[tuple[int, int, str]] = []
    plan_week(problem([_single(number=n) for n in (1, 2)], SHOP), progress=lambda *words: told.append(words))
    assert told == [(1, 2, "job 1"), (2, 2, "job 2")]


def _visits(plan: WeekPlan, who: str) -> Sequence[int]:
    """Return the jobs a crew goes to, one after the other."""
    mine = sorted((p for p in plan.placements if p.crew == who), key=lambda p: p.start)
    return [p.key.job for i, p in enumerate(mine) if i == 0 or mine[i - 1].key.job != p.key.job]


def test_a_crew_does_not_zigzag() -> None:
    """One crew with three plain houses carries in three times, then does house after house."""
    plan = _planned(problem([house(1), house(2), house(3)], shop(BIRCH)))
    assert len(_visits(plan, "Birch")) <= 7


@pytest.mark.parametrize("seed", thorough.of([107, 1494], 1))
def test_what_must_end_on_its_day_goes_with_what_has_no_date(seed: int) -> None:
    """Found at random: a day's pair of which one has no date, or that what is carried in would part, is not begun."""
    found = random_problem(seed)
    plan = plan_week(found)
    later = replace(found, now=found.now + timedelta(minutes=60 + seed * 37), previous=plan)
    assert check_plan(found, plan) == ()
    assert check_plan(later, plan_week(later)) == ()


def test_a_drive_that_no_day_has_room_for_is_the_next_mornings() -> None:
    """Whoever works to the end of the day goes home: the next house begins by its own drive from the shop, not the long way."""
    records = []
    for number, promised in ((1, MONDAY), (2, MONDAY + timedelta(days=1))):
        net = Network(job=job(number, drive=0, promised=promised))
        net.add("rows", Phase.INSTALL, 16 * 60)
        records.append(net.record())
    plan = _planned(problem(records, shop(crew("Birch", 2)), drive={(1, 2): 60}))
    assert [(p.key.job, p.start, p.end) for p in plan.placements] == [
        (number, at(day, "07:30"), at(day, "16:00")) for number, day in ((1, MONDAY), (2, MONDAY + timedelta(days=1)))
    ]
