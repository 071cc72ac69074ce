"""Promises: how they stand, which clash, and ways out of that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.tasks import Pause, Phase, ScopeKind
from crewjobs.domain.wall import Span
from crewjobs.engines.answering.chain import chain_of
from crewjobs.engines.answering.chain_words import told
from crewjobs.engines.answering.clash_words import clash_sentence, dear_sentence, way_sentence
from crewjobs.engines.answering.effort import Effort
from crewjobs.engines.answering.forward import soonest
from crewjobs.engines.answering.planned_job import floor_of
from crewjobs.engines.answering.promises import Found, look
from crewjobs.engines.answering.shortage import shortage
from crewjobs.engines.answering.standing import alone, end_of, kept, only, promised_jobs, standing
from crewjobs.engines.answering.standing_words import standing_sentence
from crewjobs.engines.answering.ways_out import WayKind, with_hours
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import Earliest, PlanProblem
from crewjobs.engines.readiness.holds import FactKind
from tests import thorough
from tests.engines.planning.networks import (
    CENTRAL,
    MONDAY,
    Network,
    at,
    booked_weeks,
    crew,
    job,
    problem,
    random_problem,
    shop,
)

BIRCH = crew("Birch", 3)


def _day(number: int) -> date:
    return date(2026, 3, number)


def _houses(*terms: tuple[float, int, int]) -> list:
    """Return jobs of one task each without a drive: hours of the crew, promised day of March, weight."""
    records = []
    for number, (length, day, weight) in enumerate(terms, start=1):
        net = Network(job=job(number, drive=0, promised=_day(day), weight=weight))
        net.add("Lay rows", Phase.INSTALL, length * 3 * 60, people=3)
        records.append(net.record())
    return records


def _found(the_problem: PlanProblem, effort: float = 1e6) -> tuple[WeekPlan, Found]:
    plan = plan_week(the_problem)
    return plan, look(the_problem, plan, Effort(effort))


# -- how a promise stands


def test_a_promise_that_holds_says_the_hours_between() -> None:
    """8 h on Monday from 7:30, promised for Tuesday: the rest of the day and Tuesday, 8 h of Birch, are to spare."""
    the_problem = problem(_houses((8, 3, 1)), shop(BIRCH))
    plan = plan_week(the_problem)
    found = standing(the_problem, plan, 1)
    assert found is not None
    assert found.spare is not None
    assert (found.holds, found.spare.slack_min, found.spare.crew) == (True, 8 * 60, "Birch")


def test_a_late_job_waits_for_the_other() -> None:
    """Two jobs of 8 h promised for Monday: the second is a day late, and with every crew free it would hold."""
    the_problem = problem(_houses((8, 2, 1), (8, 2, 1)), shop(BIRCH))
    plan = plan_week(the_problem)
    found = standing(the_problem, plan, 2)
    chain = chain_of(the_problem, plan, 2)
    assert found is not None
    assert chain is not None
    words = told(chain, floor_of(the_problem, plan), CENTRAL)
    assert standing_sentence(found, words, CENTRAL) == (
        "Promised Mon 2 Mar: it is 1 day late, and with every crew free it would end Mon 2 Mar 16:00; it waits for job 1."
    )


def test_a_promise_that_no_plan_keeps_is_proved_and_counted() -> None:
    """Planks due Friday 13:00 and 48 h of acclimation, promised for Monday: 6.2 h could be laid, 9 h are left."""
    net = Network(job=job(1, drive=0, promised=_day(9)))
    carry = net.add("Carry in planks", Phase.HOUSE, 15, scope=ScopeKind.MATERIAL)
    net.add("Lay rows", Phase.INSTALL, 3 * 540, people=3, waits={carry: (48 * 60, "acclimating")})
    due = Earliest(at=at(_day(6), "13:00"), reason="planks are due", kind=FactKind.DUE)
    the_problem = problem([net.record()], shop(BIRCH), earliest={(1, 1): (due,)})
    plan = plan_week(the_problem)
    found = standing(the_problem, plan, 1)
    assert found is not None
    assert found.alone is not None
    assert found.alone.proved
    need = found.alone.need
    assert need is not None
    assert (need.work_min, need.has_min, need.wait_min) == (540, 8 * 60, 0)
    chain = chain_of(the_problem, plan, 1)
    assert chain is not None
    assert standing_sentence(found, told(chain, floor_of(the_problem, plan), CENTRAL), CENTRAL) == (
        "Promised Mon 9 Mar: it is 1 day late, and cannot be kept even with every crew free: from Sun 8 Mar 14:15 to the end of the promised day Birch has 8 h there, and 9 h of work are to "
        "come."
    )


def test_hours_that_explain_nothing_are_not_said() -> None:
    """A cure of three days between two pieces of work breaks the promise, and 4 h of 32 h do not: the cure is named.

    With hours enough and no wait at all there is nothing to say in hours.
    """
    net = Network(job=job(1, drive=0, promised=_day(4)))
    pour = net.add("Pour leveler", Phase.SUBFLOOR_PREP, 3 * 120, people=3)
    net.add("Lay rows", Phase.INSTALL, 3 * 120, people=3, waits={pour: (72 * 60, "leveler cures")})
    the_problem = problem([net.record()], shop(BIRCH))
    plan = plan_week(the_problem)
    found, chain = standing(the_problem, plan, 1), chain_of(the_problem, plan, 1)
    assert found is not None
    assert chain is not None
    sentence = standing_sentence(found, told(chain, floor_of(the_problem, plan), CENTRAL), CENTRAL)
    assert sentence.endswith("4 h of work and 72 h of drying and curing are to come.")
    net = Network(job=job(1, drive=0, promised=_day(4)))
    for stage in range(1, 5):
        net.add("Pour", Phase.SUBFLOOR_PREP, 300, *range(1, stage), stage=stage, people=1, pause=Pause.LUNCH)
    the_problem = problem([net.record()], shop(BIRCH))
    found = standing(the_problem, plan_week(the_problem), 1)
    assert found is not None
    assert found.alone is not None
    assert found.alone.proved, "5 h on one day, four times, of days of 8 h"
    assert found.alone.need is None


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
@settings(max_examples=thorough.examples(20, 7), deadline=None)
@given(st.integers(0, 1_000_000))
def test_no_plan_ends_a_job_sooner_than_the_forward_pass(seed: int) -> None:
    """Whatever the shop and jobs: the earliest end of a job alone is no later than in any plan made, with the pins it keeps."""
    the_problem = random_problem(seed)
    plan = plan_week(the_problem)
    for record in the_problem.jobs:
        number = record.job.number
        end = end_of(plan, number)
        if end is None:
            continue
        for made in (plan, plan_week(only(the_problem, [number]))):
            unkept = {one.pin for one in made.unkept}
            kept = replace(the_problem, pins=tuple(pin for pin in the_problem.pins if pin not in unkept))
            soon, ends = soonest(only(kept, [number]), number), end_of(made, number)
            assert ends is None or (soon is not None and soon <= ends)


@settings(max_examples=thorough.examples(15, 5), deadline=None)
@given(st.integers(0, 1_000_000))
@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_alone_is_never_later_than_the_plan(seed: int) -> None:
    """With every crew free a job ends no later than among all the others, and what is said of it is a plan that holds."""
    the_problem = random_problem(seed)
    plan = plan_week(the_problem)
    for record in promised_jobs(the_problem):
        found, end = alone(the_problem, plan, record.job.number), end_of(plan, record.job.number)
        if end is not None:
            assert found is not None
            assert found.end <= end


def test_what_a_crew_is_at_in_another_house_is_not_there_for_a_job_alone() -> None:
    """Asked while Birch goes on in one house: of the other, with every crew free, it is said when it would end."""
    the_problem = problem(_houses((6, 3, 1), (6, 3, 1)), shop(BIRCH))
    plan = plan_week(the_problem)
    first = plan.placements[0]
    other = next(placed.key.job for placed in plan.placements if placed.key.job != first.key.job)
    now = first.start + timedelta(minutes=15)
    found = alone(replace(the_problem, now=now, stands=(first,)), replace(plan, made_at=now), other)
    end = end_of(plan, other)
    assert found is not None
    assert end is not None
    assert found.end < end


# -- clashes


def test_two_of_three_fit() -> None:
    """Three jobs of 8 h promised for Tuesday with one crew: no plan keeps all, any two of them fit."""
    the_problem = problem(_houses((8, 3, 1), (8, 3, 1), (8, 3, 1)), shop(BIRCH))
    _, found = _found(the_problem)
    ((clash, _),) = found.clashes
    assert (clash.jobs, clash.smallest) == ((1, 2, 3), True)
    assert clash_sentence(the_problem, clash, None) == (
        "No plan found keeps the promises of jobs 1, 2 and 3 (all Tue 3 Mar) together; any two of them can be kept."
    )
    assert clash_sentence(the_problem, clash, shortage(the_problem, clash.jobs)) == (
        "Jobs 1, 2 and 3 (all Tue 3 Mar) cannot all keep their promises: their work takes all crews "
        "together 24 h at the least, and by Tue 3 Mar there are 16 h."
    )


@pytest.mark.parametrize("effort", thorough.of(range(0, 60, 3), range(0, 60, 7)))
def test_with_less_effort_nothing_false_is_claimed(effort: int) -> None:
    """Wherever the effort ends: no job is called late alone, a set is smallest only with a plan for each without one.

    Three houses of 8 h by Tuesday for one crew, of which any two can be kept and not all three.
    """
    the_problem = problem(_houses((8, 3, 1), (8, 3, 1), (8, 3, 1)), shop(BIRCH))
    _, found = _found(the_problem, effort)
    assert not found.alone_late
    assert not found.impossible
    for clash, _ in found.clashes:
        assert clash.jobs == (1, 2, 3)
        assert clash.smallest == (set(clash.without) == {1, 2, 3})
    assert found.cut or found.clashes


def _edd_keeps(terms: Sequence[tuple[float, int, int]], jobs: Sequence[int]) -> bool:
    """Return whether one crew of 8 h a day from Monday 2 March keeps some promises, by the earliest due date rule.

    Source: J. R. Jackson 1955, Scheduling a production line to minimize maximum tardiness (MEMORY): on one machine the
    order of due dates keeps all of them if any order does.
    """
    done = 0.0
    for number in sorted(jobs, key=lambda number: terms[number - 1][1]):
        length, day, _ = terms[number - 1]
        done += length
        if done > sum(8 for d in range(2, day + 1) if _day(d).weekday() < 5):
            return False
    return True


@pytest.mark.parametrize("seed", thorough.of(range(25), 12))
def test_tiny_clashes_are_those_of_the_exact_rule(seed: int) -> None:
    """One crew, jobs of one task: every clash named cannot be kept by the exact rule, and all but any one of it can.

    Where the exact rule keeps all promises, so does the plan or the one found for `more`.
    """
    random = Random(seed)
    terms = [
        (float(random.choice((2, 4, 6, 8, 12))), random.choice((2, 3, 4, 5)), random.choice((1, 2, 3)))
        for _ in range(random.randrange(2, 7))
    ]
    the_problem = problem(_houses(*terms), shop(BIRCH))
    plan, found = _found(the_problem)
    numbers = range(1, len(terms) + 1)
    for clash, _ in found.clashes:
        assert clash.smallest
        assert not _edd_keeps(terms, clash.jobs)
        assert all(_edd_keeps(terms, rest) for rest in combinations(clash.jobs, len(clash.jobs) - 1))
    for number in (*found.impossible, *found.alone_late):
        assert not _edd_keeps(terms, [number])
    if _edd_keeps(terms, list(numbers)):
        assert not found.clashes
        assert kept(the_problem, plan) | set(found.more) == set(numbers)


@pytest.mark.parametrize("seed", thorough.of(range(7), (0, 6)))
def test_without_any_job_of_a_smallest_set_the_others_hold(seed: int) -> None:
    """Houses of the trade, too many for their crews: each plan that stands behind a clash keeps what it says, by the judge."""
    the_problem = booked_weeks(7, 1, 2, seed)
    plan, found = _found(the_problem)
    holds = kept(the_problem, plan)
    for clash, _ in found.clashes:
        assert clash.smallest
        assert set(clash.without) == set(clash.jobs)
        for number, tried in clash.without.items():
            assert set(clash.jobs) - {number} <= tried.kept
    assert not holds & {*found.impossible, *found.alone_late, *found.more}


# -- ways out


def _ways(the_problem: PlanProblem) -> list[str]:
    _, found = _found(the_problem)
    ((_, ways),) = found.clashes
    return [way_sentence(the_problem, way) for way in ways]


def test_each_slip_is_a_day_and_an_hour() -> None:
    """Three jobs of 8 h, promised for Tuesday, one crew: each of them may slip, to Wednesday 16:00."""
    the_problem = problem(_houses((8, 3, 1), (8, 3, 1), (8, 3, 1)), shop(BIRCH))
    assert sorted(_ways(the_problem)) == [
        "Keep jobs 1 and 2, as in this plan: then job 3 ends Wed 4 Mar 16:00, 1 day after its promise, and all other "
        "promises hold.",
        "Keep jobs 1 and 3: then job 2 ends Wed 4 Mar 16:00, 1 day after its promise; late in this plan and kept then: "
        "job 3, and all other promises hold.",
        "Keep jobs 2 and 3: then job 1 ends Wed 4 Mar 16:00, 1 day after its promise; late in this plan and kept then: "
        "job 3, and all other promises hold.",
    ]


def test_a_saturday_morning_keeps_all() -> None:
    """Eleven jobs of 4 h promised for Saturday, 40 h a week: four hours on Saturday are what is missing."""
    the_problem = problem(_houses(*[(4, 7, 1)] * 11), shop(BIRCH))
    found = _ways(the_problem)
    assert found[0] == (
        "Birch works Sat 7 Mar 08:00-12:00: then jobs 1, 2, 3 and 8 more hold, and so do all other promises."
    )


def test_a_day_off_given_back_comes_before_a_saturday() -> None:
    """With Wednesday off the same work fits where it is given back, and that is told before Saturday."""
    off = crew("Birch", 3, off=[_day(4)])
    the_problem = problem(_houses((8, 4, 1), (8, 4, 1), (8, 4, 1)), shop(off))
    assert _ways(the_problem)[0] == (
        "Birch gives its day off on Wed 4 Mar back: then jobs 1, 2 and 3 hold, and so do all other promises."
    )


def test_a_recorded_day_off_is_given_back_as_every_week() -> None:
    """Off on Wednesday as recorded for that day, not by the shop file: the usual hours come back by themselves."""
    whole = crew("Birch", 3)
    off = replace(whole, hours=whole.hours.with_single(_day(4), ()))
    the_problem = problem(_houses((8, 4, 1), (8, 4, 1), (8, 4, 1)), shop(off))
    assert _ways(the_problem)[0] == (
        "Birch gives its day off on Wed 4 Mar back: then jobs 1, 2 and 3 hold, and so do all other promises."
    )


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_a_saturday_that_is_off_by_name_is_not_asked_of_anybody() -> None:
    """A Saturday recorded as a day off, or in the days off, is no way out; one with hours already is none either."""
    for single in (BIRCH.hours.with_single(_day(7), ()), BIRCH.hours.with_single(_day(7), (Span(start=420, end=435),))):
        the_problem = problem(_houses(*[(4, 7, 1)] * 11), shop(replace(BIRCH, hours=single)))
        assert not any("works Sat 7 Mar" in way for way in _ways(the_problem))


@pytest.mark.parametrize("seed", thorough.of(range(5), (0, 3)))
def test_every_way_out_is_a_plan_the_judge_finds_nothing_against(seed: int) -> None:
    """Whatever the way: its plan keeps the shop's rules, and what it says of every promise is what the plan has.

    It wins a promise, or is the plan in force; it breaks no more than that, and no job loses its end.
    """
    the_problem = booked_weeks(7, 1, 2, seed)
    plan, found = _found(the_problem)
    now = kept(the_problem, plan)
    numbers = {record.job.number for record in promised_jobs(the_problem)}
    for way in found.ways:
        holds = kept(the_problem, way.plan)
        assert {slip.job for slip in way.slips} == numbers - holds
        assert set(way.wins) == holds - now
        assert len(holds) >= len(now)
        assert way.as_is or holds - now
        for record in the_problem.jobs:
            assert end_of(plan, record.job.number) is None or end_of(way.plan, record.job.number) is not None
        if way.day is None:
            assert check_plan(the_problem, way.plan) == ()
        else:
            birch = next(one for one in the_problem.shop.crews if one.name == way.crew)
            assert check_plan(with_hours(the_problem, birch, way.day, way.spans), way.plan) == ()
    for clash, ways in found.clashes:
        for way in ways:
            assert set(way.keeps) == kept(the_problem, way.plan) & set(clash.jobs)
            assert set(clash.jobs) - {way.job} <= set(way.keeps)


@pytest.mark.parametrize("seed", thorough.of(range(2), 1))
def test_the_same_question_gets_the_same_answer_and_less_effort_the_first_part(seed: int) -> None:
    """Asked twice, every way is the same plan; where the clock ends it sooner, what there is, is what was found first."""
    the_problem = booked_weeks(7, 1, 2, seed)
    plan, found = _found(the_problem)
    again = look(the_problem, plan, Effort(1e6))
    assert [(way.name, way.plan) for way in found.ways] == [(way.name, way.plan) for way in again.ways]
    asks = iter([False] * 40 + [True] * 100_000)
    cut = look(the_problem, plan, Effort(1e6, lambda: next(asks)))
    all_of = [clash.jobs for clash, _ in found.clashes]
    assert [clash.jobs for clash, _ in cut.clashes if clash.smallest] == all_of[
        : sum(c.smallest for c, _ in cut.clashes)
    ]


def test_work_on_a_saturday_is_on_that_saturday_alone() -> None:
    """The plan behind a Saturday has work on no other one."""
    the_problem = replace(problem(_houses(*[(7, 7, 1)] * 6, (7, 20, 1)), shop(BIRCH)), days=28)
    _, found = _found(the_problem)
    ((_, ways),) = found.clashes
    way = next(way for way in ways if way.kind is WayKind.SATURDAY)
    moments = [moment for placed in way.plan.placements for moment in (placed.start, placed.end)]
    assert {moment.date() for moment in moments if moment.weekday() == 5} == {_day(7)}
    assert MONDAY + timedelta(days=5) == way.day


def test_out_of_time_says_so_and_gives_what_there_is() -> None:
    """With no time at all nothing is claimed."""
    the_problem = problem(_houses((8, 3, 1), (8, 3, 1), (8, 3, 1)), shop(BIRCH))
    found = look(the_problem, plan_week(the_problem), Effort(1e6, lambda: True))
    assert (found.clashes, found.unknown, found.cut) == ((), (3,), True)


# -- what costs others their end


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
@pytest.mark.parametrize(("jobs", "seed"), thorough.of([(12, 1), (14, 1)], 1))
def test_a_promise_that_leaves_other_work_without_an_end_is_no_way_out_but_is_told(jobs: int, seed: int) -> None:
    """Far more houses than a crew can do in ten days: some promise can be kept, with all that hold, where others drop out.

    That is no way out, and it is not called impossible or a clash: the sentence names who has no end then.
    """
    the_problem = replace(booked_weeks(jobs, 1, 1, seed), days=10)
    plan, found = _found(the_problem, 4500)
    assert found.dear
    told_of = {number for clash, _ in found.clashes for number in (clash.late,)}
    for way in found.dear:
        (number,) = way.keeps
        assert kept(the_problem, plan) | {number} <= kept(the_problem, way.plan)
        endless = [slip.job for slip in way.slips if slip.later is None] + list(way.open_end)
        assert endless
        assert all(end_of(plan, one) is not None and end_of(way.plan, one) is None for one in endless)
        assert number not in {*found.impossible, *found.alone_late, *found.more, *told_of}
        sentence = dear_sentence(the_problem, number, way)
        assert all(str(one) in sentence for one in endless)
        assert not check_plan(the_problem, way.plan)
