"""A second trip: what waits days longer than the rest of a house is done apart, and the house is closed between."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from random import Random

import pytest

from crewjobs.domain.crew import Skill
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Placement, WeekPlan
from crewjobs.domain.tasks import Driver, Phase
from crewjobs.domain.wall import to_wall
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import Earliest, Errand, PlanProblem
from crewjobs.engines.planning.trips import left_for_later, second_trip
from tests import thorough
from tests.engines.planning.networks import CENTRAL, MONDAY, Network, at, crew, job, problem, random_problem, shop

MOVE, ROOM_OFF, STAIRS_OFF, ROOM, BASE, BACK, STAIRS, WALK = range(1, 9)


def _house(**terms: object) -> JobRecord:
    """A room and stairs, each torn out and laid; the room's furniture back, a walk-through after all of it."""
    net = Network(job=job(1, **terms))  # type: ignore[arg-type]
    net.add("Move furniture", Phase.HOUSE, 60)
    net.add("Carpet up, room", Phase.DEMOLITION, 120, MOVE)
    net.add("Carpet up, stairs", Phase.DEMOLITION, 90, MOVE)
    net.add("Lay rows", Phase.INSTALL, 600, ROOM_OFF, skill=Skill.FLOATING)
    net.add("Base back", Phase.TRIM, 60, ROOM)
    net.add("Furniture back", Phase.HOUSE, 60, BASE)
    net.add("Treads and nose", Phase.INSTALL, 400, STAIRS_OFF, ROOM, skill=Skill.STAIRS)
    net.add("Walk-through", Phase.HOUSE, 30, BACK, STAIRS)
    units = {ROOM: Driver.AREA, STAIRS: Driver.STEPS}
    record = net.record()
    tasks = (
        replace(t, unit=units[t.number], needs_material="planks") if t.number in units else t for t in record.tasks
    )
    return replace(record, tasks=tuple(tasks))


def _facts(days: Mapping[int, int]) -> dict[tuple[int, int], tuple[Earliest, ...]]:
    """Return the instants 13:00 so many days after the Monday, by task."""
    return {
        (1, task): (Earliest(at=at(MONDAY + timedelta(days=n), "13:00"), reason="stair nose is due"),)
        for task, n in days.items()
    }


def _planned(the_problem: PlanProblem) -> WeekPlan:
    plan = plan_week(the_problem)
    assert check_plan(the_problem, plan) == ()
    return plan


def _at(plan: WeekPlan, task: int) -> Placement:
    return next(p for p in plan.placements if task in p.tasks)


def _day(plan: WeekPlan, task: int) -> date:
    return to_wall(CENTRAL, _at(plan, task).start).date()


def test_the_room_is_done_now_and_the_stairs_when_their_nose_is_there() -> None:
    """With the nose 16 days away the room is laid, trimmed and furnished this week, the stairs then, with their carpet."""
    plan = _planned(problem([_house()], shop(crew("Birch")), earliest=_facts({STAIRS: 16})))
    first = {_day(plan, task) for task in (MOVE, ROOM_OFF, ROOM, BASE, BACK)}
    second = {_day(plan, task) for task in (STAIRS_OFF, STAIRS, WALK)}
    assert max(first) <= MONDAY + timedelta(days=4)
    assert min(second) >= MONDAY + timedelta(days=15)
    assert _at(plan, STAIRS).reason == "second trip: stair nose is due Wed 13:00"


def test_a_few_days_make_no_second_trip() -> None:
    """A nose two days away is waited for in one go: the house is opened later rather than twice."""
    plan = _planned(problem([_house()], shop(crew("Birch")), earliest=_facts({STAIRS: 2})))
    assert not any("second trip" in p.reason for p in plan.placements)
    assert _day(plan, STAIRS) - _day(plan, ROOM_OFF) <= timedelta(days=1)


def test_a_house_is_not_torn_open_for_planks_that_come_late() -> None:
    """Where all floors wait 16 days, or the room does and the stairs after it, nothing is torn out before."""
    for facts in ({ROOM: 16, STAIRS: 16}, {ROOM: 16}):
        plan = _planned(problem([_house()], shop(crew("Birch")), earliest=_facts(facts)))
        assert min(_day(plan, task) for task in (MOVE, ROOM_OFF, STAIRS_OFF)) >= MONDAY + timedelta(days=14)
        assert not any("second trip" in p.reason for p in plan.placements)


def test_what_waits_with_the_late_floor() -> None:
    """The stairs, what tears them out and the walk-through wait; the room's own work does not, nor what both need."""
    record = _house()
    now = at(MONDAY, "06:30")
    links = record.links
    assert second_trip(record, links, {STAIRS: now + timedelta(days=9)}, now) == {STAIRS_OFF, STAIRS, WALK}
    assert second_trip(record, links, {STAIRS: now + timedelta(days=3)}, now) == frozenset()
    assert second_trip(record, links, {BASE: now + timedelta(days=9)}, now) == {BASE, BACK, WALK}


def test_the_floor_that_is_ready_last_but_one_counts() -> None:
    """A nose that comes two days after late planks is no second trip: the room waits as long."""
    record, now = _house(), at(MONDAY, "06:30")
    known = {ROOM: now + timedelta(days=9), STAIRS: now + timedelta(days=11)}
    assert second_trip(record, record.links, known, now) == frozenset()


@pytest.mark.parametrize("seed", thorough.of(range(60), range(0, 60, 6)))
def test_any_problem_with_late_goods_is_planned_by_the_rules(seed: int) -> None:
    """The judge finds nothing in plans of random problems whose tasks lay floors and wait for goods up to 20 days."""
    random, the_problem = Random(seed), random_problem(seed)
    jobs, late = [], dict(the_problem.earliest)
    for record in the_problem.jobs:
        tasks = [
            replace(t, needs_material="planks", unit=random.choice((Driver.AREA, Driver.STEPS)))
            if random.random() < 0.5
            else t
            for t in record.tasks
        ]
        jobs.append(replace(record, tasks=tuple(tasks)))
        for task in tasks:
            if random.random() < 0.15:
                due = the_problem.now + timedelta(days=random.randrange(4, 20))
                late[record.job.number, task.number] = (Earliest(at=due, reason="nose is due"),)
    _planned(replace(the_problem, jobs=tuple(jobs), earliest=late))


@pytest.mark.parametrize("seed", thorough.of(range(30), range(0, 30, 4)))
def test_any_problem_is_planned_and_planned_again_by_the_rules(seed: int) -> None:
    """People leave for small visits, some work has no date: the judge finds nothing in the plan, nor in the one made
    after more goods came late.
    """
    random, the_problem = Random(seed), random_problem(seed)
    jobs, impossible = [], dict(the_problem.impossible)
    for record in the_problem.jobs:
        tasks = tuple(
            replace(t, needs_material="planks", unit=Driver.AREA) if random.random() < 0.4 else t for t in record.tasks
        )
        jobs.append(replace(record, tasks=tasks))
        for task in tasks:
            if random.random() < 0.05:
                impossible[record.job.number, task.number] = "nobody can say when it comes"
    errands = [
        Errand(crew=one.name, worker=worker.name, start=start, end=start + timedelta(minutes=90))
        for one in the_problem.shop.crews
        for worker in one.workers
        for start in [the_problem.now + timedelta(minutes=15 * random.randrange(900))]
    ]
    the_problem = replace(the_problem, jobs=tuple(jobs), impossible=impossible, errands=tuple(errands))
    plan = _planned(the_problem)
    late = dict(the_problem.earliest)
    for record in jobs:
        for task in record.tasks:
            if random.random() < 0.05:
                due = the_problem.now + timedelta(days=random.randrange(1, 9))
                late[record.job.number, task.number] = (Earliest(at=due, reason="comes late"),)
    _planned(replace(the_problem, earliest=late, previous=plan))


def test_what_has_no_date_leaves_out_only_what_it_would_leave_bare() -> None:
    """The stairs without a date stay carpeted, the room goes on; a strip without a date leaves itself and the end; the
    room without a date leaves nothing to lay first, so the house stays closed.
    """
    record = _house()
    assert set(left_for_later(record, record.links, {STAIRS: "no nose"})) == {STAIRS_OFF, STAIRS, WALK}
    assert set(left_for_later(record, record.links, {BASE: "no base"})) == {BASE, BACK, WALK}
    assert left_for_later(record, record.links, {ROOM: "no planks"}) == {}
    assert left_for_later(record, record.links, {}) == {}
