"""Waits at most in a plan: what comes before goes later, what cannot be is said, and the judge counts the minutes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from crewjobs.domain.crew import Skill
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Placement, WeekPlan
from crewjobs.domain.tasks import Link, Pause, Phase, ScopeKind
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import Earliest, PlanProblem
from tests.engines.planning.networks import MONDAY, USUAL, Network, at, crew, hours, job, problem, shop

DAY_MIN = 24 * 60


def primed(most: int, *, wait: int = 120, **terms: object) -> JobRecord:
    """Return a house to prime, pour and lay, with a wait at least and at most between the first two."""
    net = Network(job=job(1, **terms))  # type: ignore[arg-type]
    prime = net.add("Prime", Phase.SUBFLOOR_PREP, 100, pause=Pause.LUNCH)
    pour = net.add("Pour leveler", Phase.SUBFLOOR_PREP, 240, pause=Pause.NONE, skill=Skill.LEVELING)
    net.add("Lay rows", Phase.INSTALL, 720, waits={pour: (16 * 60, "leveler cures")})
    net.links.append(Link(before=prime, after=pour, wait_min=wait, name="primer dries", most_min=most))
    return net.record()


def planned(the_problem: PlanProblem) -> WeekPlan:
    """Return the plan, which the judge finds right."""
    plan = plan_week(the_problem)
    assert check_plan(the_problem, plan) == ()
    return plan


def of(plan: WeekPlan, task: int) -> Placement:
    """Return where a task is planned."""
    return next(placed for placed in plan.placements if task in placed.tasks)


def test_what_comes_before_goes_later_so_that_the_rest_can_follow_in_time() -> None:
    """Leveler that comes on Thursday is poured on primer of Wednesday afternoon or Thursday, not of Monday."""
    come = at(MONDAY + timedelta(days=3), "10:00")
    facts = {(1, 2): (Earliest(at=come, reason="leveler comes"),)}
    plan = planned(problem([primed(DAY_MIN)], shop(crew("Birch")), earliest=facts))
    assert not plan.left_out
    assert of(plan, 2).start - of(plan, 1).end <= timedelta(hours=24)
    assert of(plan, 1).start > at(MONDAY + timedelta(days=2), "07:30")
    assert "at most 24 h after it" in of(plan, 1).reason or "so the house is open" in of(plan, 1).reason


def test_over_a_weekend_primer_is_rolled_when_work_goes_on() -> None:
    """From Friday noon nothing can be poured within a day; the primer waits for Monday, like the pour."""
    friday = at(date(2026, 3, 6), "13:30")
    plan = planned(problem([primed(DAY_MIN)], shop(crew("Birch")), now=friday))
    assert of(plan, 1).start >= at(date(2026, 3, 9), "07:30")


@pytest.mark.parametrize(("labor", "most"), [(120, 24 * 60), (100, 24 * 60 + 10), (118, 24 * 60 + 1)])
def test_a_wait_is_as_short_as_it_may_be_at_most_where_quarters_keep_it(labor: int, most: int) -> None:
    """At least a day and at most as much, and the minutes by which two people are done before their last quarter ends.

    A minute less, where it is no less than at least, cannot be kept in quarter hours, and is said so.
    """
    for allowed in {most, max(24 * 60, most - 1)}:
        net = Network(job=job(1, drive=0))
        prime = net.add("Prime", Phase.SUBFLOOR_PREP, labor, pause=Pause.LUNCH)
        pour = net.add("Pour leveler", Phase.SUBFLOOR_PREP, 240)
        net.links.append(Link(before=prime, after=pour, wait_min=24 * 60, name="primer dries", most_min=allowed))
        plan = planned(problem([net.record()], shop(crew("Birch", 2))))
        if allowed == most:
            assert of(plan, 2).start - of(plan, 1).end == timedelta(days=1)
        else:
            assert "too close together for a plan in quarter hours" in plan.left_out[0].why


def test_a_chain_of_short_waits_is_placed_by_whichever_crews_it_takes() -> None:
    """Four visits, each within an hour or four after a wait of a day or night: two crews keep that, neither does alone.

    One person takes longer for a visit, so that the next begins another time of the day.
    """
    net = Network(job=job(1, drive=0))
    steps = (480, Pause.LUNCH), (240, Pause.NIGHT), (480, Pause.NIGHT), (480, Pause.NIGHT)
    for labor, pause in steps:
        net.add("step", Phase.SUBFLOOR_PREP, labor, pause=pause)
    for before, least, most in ((1, 1440, 1500), (2, 1440, 1500), (3, 960, 1200)):
        net.links.append(Link(before=before, after=before + 1, wait_min=least, name="cures", most_min=most))
    plan = planned(problem([net.record()], shop(crew("Birch", 3), crew("Cedar", 1)), days=14))
    assert not plan.left_out
    assert {placed.crew for placed in plan.placements} == {"Birch", "Cedar"}
    for people in (3, 1):
        one_crew = planned(problem([net.record()], shop(crew("Birch", people)), days=14))
        assert one_crew.left_out


@pytest.mark.parametrize(("saturday", "sunday"), [("2026-03-07", "2026-03-08"), ("2026-10-31", "2026-11-01")])
def test_hours_at_most_are_hours_by_the_clock_across_a_change_of_it(saturday: str, sunday: str) -> None:
    """A wait at most between Saturday and Sunday is as many hours as pass, 23 or 25 from noon to noon."""
    week = hours(("08:00", "12:00"), days="sat sun")
    first, second = date.fromisoformat(saturday), date.fromisoformat(sunday)
    now = at(first, "06:00")
    night = (at(second, "08:30") - at(first, "12:00")) // timedelta(minutes=1)
    record = primed(night, wait=16 * 60, drive=0)
    the_shop = shop(crew("Birch", 1, week))
    plan = planned(problem([record], the_shop, now=now))
    gap = of(plan, 2).start - of(plan, 1).end
    assert timedelta(hours=16) <= gap <= timedelta(minutes=night)
    late = replace(
        record,
        links=tuple(
            replace(one, most_min=gap // timedelta(minutes=1) - 1) if one.most_min else one for one in record.links
        ),
    )
    said = check_plan(problem([late], the_shop, now=now), plan)
    assert any("task 2 starts more than" in fault for fault in said), said


def test_what_cannot_follow_in_time_is_left_out_and_says_so() -> None:
    """Nobody primes where no pour can follow: the house stays shut, and the sentence names both and the hours."""
    short = planned(problem([primed(129)], shop(crew("Birch"))))
    assert not short.placements
    assert "'Pour leveler' (living) must start at most 129 min after 'Prime' (living)" in short.left_out[0].why
    assert "too close together for a plan in quarter hours" in short.left_out[0].why
    halves = shop(crew("Birch", skills="floating", week=hours(("08:00", "12:00"), days="mon")),
                  crew("Cedar", skills="leveling", week=hours(("08:00", "13:00"), days="thu")))  # fmt: skip
    prime_only = primed(DAY_MIN)
    skilled = replace(prime_only.tasks[0], skill=Skill.FLOATING)
    apart = planned(problem([replace(prime_only, tasks=(skilled, *prime_only.tasks[1:]))], halves))
    assert not apart.placements
    assert "no two places are so close" in apart.left_out[0].why


def ticked(done: datetime, record: JobRecord) -> JobRecord:
    """Return the record with its first task ticked."""
    first = replace(record.tasks[0], started_at=done, done_at=done)
    return replace(record, tasks=(first, *record.tasks[1:]))


def test_what_is_ticked_says_by_when_the_rest_must_start() -> None:
    """Primed on Monday at 15:00, it is poured by Tuesday 15:00, before another job's promise; else the plan says why."""
    done, now = at(MONDAY, "15:00"), at(MONDAY, "15:30")
    plan = planned(problem([ticked(done, primed(DAY_MIN))], shop(crew("Birch")), now=now))
    assert of(plan, 2).start <= done + timedelta(hours=24)
    wednesday = {(1, 2): (Earliest(at=at(MONDAY + timedelta(days=2), "08:00"), reason="leveler comes"),)}
    missed = planned(problem([ticked(done, primed(DAY_MIN))], shop(crew("Birch")), now=now, earliest=wednesday))
    (left,) = missed.left_out
    assert "'Pour leveler' (living) must start by Tue 15:00, at most 24 h after 'Prime' (living)" in left.why


def test_what_is_too_late_is_planned_with_what_must_be_checked() -> None:
    """Primed on Monday, looked at on Wednesday: it is planned, and says what was done when and that the lead decides."""
    done, now = at(MONDAY, "15:00"), at(MONDAY + timedelta(days=2), "06:30")
    plan = planned(problem([ticked(done, primed(DAY_MIN))], shop(crew("Birch")), now=now))
    reason = of(plan, 2).reason
    assert "'Prime' (living) was done Mon 2 Mar 15:00, more than 24 h before" in reason
    assert "its label must be checked" in reason
    assert "the lead decides" in reason
    assert "safe" not in reason


def test_replanned_after_a_delay_what_was_primed_late_stays_close() -> None:
    """Planned again with leveler two days later, the primer moves along although it was told for Monday."""
    record, the_shop = primed(DAY_MIN), shop(crew("Birch", week=USUAL))
    first = planned(problem([record], the_shop))
    late = {(1, 2): (Earliest(at=at(MONDAY + timedelta(days=3), "08:00"), reason="leveler comes"),)}
    again = planned(problem([record], the_shop, earliest=late, previous=first))
    assert of(again, 1).start > of(first, 1).start
    assert of(again, 2).start - of(again, 1).end <= timedelta(hours=24)


def test_the_judge_sees_what_is_planned_alone() -> None:
    """A plan that primes and never pours is wrong, however well it says why."""
    the_problem = problem([primed(DAY_MIN)], shop(crew("Birch")))
    plan = planned(the_problem)
    less = replace(plan, placements=tuple(p for p in plan.placements if 2 not in p.tasks and 3 not in p.tasks))
    assert any("must follow soon" in fault for fault in check_plan(the_problem, less))


def test_nothing_is_begun_in_a_shut_house_that_something_else_without_a_date_must_follow() -> None:
    """The way is protected before cartons come; of two lots one has no date, and what it needs must follow soon.

    That serves nothing now, so it has no place; what it would have to follow then has none either.
    """
    net = Network(job=job(1))
    way = net.add("Protect the way", Phase.HOUSE, 30, stage=0, scope=ScopeKind.JOB)
    net.add("Carry in planks", Phase.HOUSE, 60, way, stage=0, scope=ScopeKind.MATERIAL)
    soon = net.add("Set the stand", Phase.TRIM, 30, stage=0)
    late = net.add("Carry in oak", Phase.HOUSE, 60, soon, stage=0, scope=ScopeKind.MATERIAL)
    net.add("Rows", Phase.INSTALL, 300, 2, late)
    net.links.append(Link(before=way, after=soon, most_min=45))
    plan = planned(problem([net.record()], shop(crew("Birch")), impossible={(1, late): "oak is not ordered"}))
    assert plan.placements == ()
    free = replace(net.record(), links=tuple(link for link in net.links if link.most_min is None))
    plan = planned(problem([free], shop(crew("Birch")), impossible={(1, late): "oak is not ordered"}))
    assert {task for placed in plan.placements for task in placed.tasks} == {way, 2}
