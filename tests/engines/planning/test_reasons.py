"""What fixes the start of a block is told truly: who was missing, what was packed, what was left where it stood."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from crewjobs.domain.crew import Away, Shop
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Pin, Placement, WeekPlan
from crewjobs.domain.tasks import Phase, ScopeKind
from crewjobs.engines.planning.calendars import worked_minutes
from crewjobs.engines.planning.improve import repaired_cost
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import Earliest
from crewjobs.engines.planning.roster import with_parts
from tests import thorough
from tests.engines.planning.networks import MONDAY, Network, at, booked_weeks, crew, hours, job, problem, shop

BIRCH, LONER = crew("Birch", 2), crew("Cedar", 1)


def _day(number: int) -> date:
    return date(2026, 3, number)


def _out(day: date, *numbers: int) -> list[Away]:
    return [Away(crew="Birch", worker=f"Birch {number}", day=day) for number in numbers]


def _reasons(plan: WeekPlan) -> dict[int, str]:
    return {number: placed.reason for placed in plan.placements for number in placed.tasks}


def test_who_is_missing_is_the_reason_where_it_is() -> None:
    """One of two is out on Monday, on Tuesday both are there: who was out on Monday is why it begins on Tuesday."""
    net = Network(job=job(1, drive=0))
    net.add("Lay rows", Phase.INSTALL, 2 * 120, least=2)
    alone = plan_week(problem([net.record()], shop(BIRCH), away=_out(MONDAY, 2)))
    assert _reasons(alone)[1] == "takes 2 people, Birch has 1 on Mon 2 Mar"


def test_who_is_missing_before_a_day_with_everybody_there_is_no_reason() -> None:
    """Out on Monday, back on Tuesday, pinned work before it ends on Wednesday: what it follows is the reason."""
    net = Network(job=job(1, drive=0))
    first = net.add("Demolition", Phase.DEMOLITION, 2 * 480)
    net.add("Lay rows", Phase.INSTALL, 2 * 120, first, least=2)
    come = {(1, first): (Earliest(at=at(_day(4), "07:30"), reason="the dumpster comes"),)}
    plan = plan_week(problem([net.record()], shop(BIRCH), earliest=come, away=_out(MONDAY, 2)))
    assert _reasons(plan)[2] == "follows the demolition"


def test_one_person_is_one_person() -> None:
    """The crew that does most of a job has nobody on the day of some of it: people are counted in words that fit."""
    net = Network(job=job(1, drive=0))
    first = net.add("Lay rows", Phase.INSTALL, 900, least=2)
    net.add("Base back", Phase.TRIM, 60, first, people=1)
    pin = Pin(job=1, task=2, crew="Cedar", day=_day(3))
    the_problem = problem([net.record()], shop(BIRCH, LONER), away=_out(_day(3), 1, 2), pins=[pin])
    assert _reasons(plan_week(the_problem))[2] == "pinned to Cedar on Tue 3 Mar; takes 1 person, Birch crew has nobody"


def _left_open(plan: WeekPlan, the_shop: Shop, records: dict[int, JobRecord], placed: Placement) -> int:
    """Return the minutes its crew has at the house between a block and what its job or its crew does next."""
    crew = next(one for one in the_shop.crews if one.name == placed.crew)
    after = [
        p for p in plan.placements if p.start >= placed.end and (p.key.job == placed.key.job or p.crew == placed.crew)
    ]
    until = min((p.start for p in after), default=placed.end)
    return worked_minutes(the_shop, crew, records[placed.key.job].job, placed.end, until)


@pytest.mark.parametrize("seed", thorough.of(range(8), 2))
def test_what_is_said_to_be_packed_is(seed: int) -> None:
    """After a repair for people who are out, too: what is told to keep a house shut opens it, and something follows it.

    Something of the job or the crew follows with less than an hour of the crew left between, or after a wait.
    """
    week = booked_weeks(6, 2, 3, seed)
    plan = plan_week(week)
    worker = week.shop.crews[0]
    for day in range(2, 7):
        away = [Away(crew=worker.name, worker=one.name, day=_day(day)) for one in worker.workers[:-1]]
        changed = replace(week, away=tuple(away), previous=plan)
        made, _ = repaired_cost(changed, plan)
        the_shop, records = with_parts(changed.shop, changed.away), {r.job.number: r for r in changed.jobs}
        for placed in made.placements:
            if "open fewer days" not in placed.reason:
                continue
            mine = [p for p in made.placements if p.key.job == placed.key.job and not _ahead(p, records)]
            assert placed.start == min(p.start for p in mine), placed
            waits = [link for link in records[placed.key.job].links if link.before in placed.tasks and link.wait_min]
            assert waits or _left_open(made, the_shop, records, placed) < 60, placed


def _ahead(placed: Placement, records: dict[int, JobRecord]) -> bool:
    titles = {records[placed.key.job].task(number).title for number in placed.tasks}
    return bool(titles & {"Carry in planks", "Protect the way in"})


def test_what_a_repair_leaves_where_it_stood_is_not_said_to_be_packed() -> None:
    """All but one are out on the day a house is opened: what one can do stays there, the rest goes to the next day.

    Then nothing stands next to it, and the reason is the plan before.
    """
    net = Network(job=job(1, drive=0, promised=_day(6)))
    protect = net.add("Protection down", Phase.HOUSE, 60, people=1, scope=ScopeKind.JOB)
    net.add("Lay rows", Phase.INSTALL, 2 * 600, protect, least=2)
    other = Network(job=job(2, drive=0))
    other.add("Base back", Phase.TRIM, 60)
    before = problem([net.record(), other.record()], shop(BIRCH))
    plan = plan_week(before)
    start, length = at(_day(3), "07:30"), timedelta(minutes=30)
    placements = tuple(
        replace(p, start=start, end=start + length)
        if p.key.job == 1 and protect in p.tasks
        else replace(p, start=start + length, end=at(_day(4), "10:00"))
        if p.key.job == 1
        else p
        for p in plan.placements
    )
    stood = replace(plan, placements=placements)
    made, _ = repaired_cost(replace(before, away=tuple(_out(_day(3), 2)), previous=stood), stood)
    found = {number: p for p in made.placements if p.key.job == 1 for number in p.tasks}
    assert found[2].reason == "takes 2 people, Birch has 1 on Tue 3 Mar"
    assert found[protect].start == start
    assert found[protect].reason == "stays where the plan before has it"


def test_site_hours_too_short_for_the_work_are_named() -> None:
    """Half an hour a day at the house, and 17.5 h of work: the hours there are, not one wait, are why."""
    net = Network(job=job(1, drive=0, site_hours=hours(("09:00", "09:30"))))
    first = net.add("Scrape", Phase.SUBFLOOR_PREP, 2 * 450)
    net.add("Lay rows", Phase.INSTALL, 2 * 600, waits={first: (60, "patch dries")})
    plan = plan_week(problem([net.record()], shop(BIRCH)))
    assert [left.why for left in plan.left_out] == [
        "the site's hours leave Birch 30 min a day there: 15 h in 6 weeks, and the work takes it 17 h 30 min"
    ]


def test_a_pin_before_its_planks_are_due_is_told_in_one_piece() -> None:
    """Pinned to Tuesday, planks due on Thursday: the fact and that it is too late are two parts of one sentence."""
    net = Network(job=job(1, drive=0))
    net.add("Lay rows", Phase.INSTALL, 60)
    come = {(1, 1): (Earliest(at=at(_day(5), "13:00"), reason="creek maple is due"),)}
    pin = Pin(job=1, task=1, crew="Birch", day=_day(3))
    plan = plan_week(problem([net.record()], shop(BIRCH), earliest=come, pins=[pin]))
    said = "pinned to Birch on Tue 3 Mar, but creek maple is due Thu 13:00, too late for Birch that day"
    assert said in " ".join([*(left.why for left in plan.left_out), *map(str, plan.unkept), *_reasons(plan).values()])
