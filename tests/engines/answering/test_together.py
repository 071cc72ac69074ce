"""Whether promises can be kept together: what was tried, what was seen, and what there was no time for."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from itertools import chain, repeat

import pytest

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.tasks import Phase
from crewjobs.engines.answering.clash_words import clash_sentence, way_sentence
from crewjobs.engines.answering.clashes import clashes
from crewjobs.engines.answering.together import by_list, by_orders_and_solver, by_solver, kept, whole
from crewjobs.engines.answering.ways_out import WayKind, WayOut, in_another_order, overtime, slips_of, ways_out
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import PlanProblem, Stop
from tests.engines.planning.networks import Network, booked_weeks, crew, job, problem, shop

BIRCH, CEDAR = crew("Birch", 3), crew("Cedar", 3)


def never() -> bool:
    """Never out of time."""
    return False


def stops_after(asks: int) -> Stop:
    """Return a stop that fires when it was asked so often."""
    answers: Iterator[bool] = chain(repeat(False, asks), repeat(True))
    return lambda: next(answers)


def _day(number: int) -> date:
    return date(2026, 3, number)


def _house(number: int, day: int, hours: tuple[float, ...], weight: int = 1) -> JobRecord:
    """Return a job of one piece of work after the other, each in a phase of its own, promised for a day of March."""
    net = Network(job=job(number, drive=0, promised=_day(day), weight=weight))
    before: tuple[int, ...] = ()
    for phase, length in zip((Phase.SUBFLOOR_PREP, Phase.INSTALL), hours, strict=False):
        before = (net.add(f"Do {phase.value}", phase, length * 3 * 60, *before, people=3),)
    return net.record()


def _three_houses_of_two_pieces() -> PlanProblem:
    """Return three houses of 5 h and 5 h by Tuesday for two crews of 16 h: one must be done by both."""
    return problem([_house(number, 3, (5, 5)) for number in (1, 2, 3)], shop(BIRCH, CEDAR))


def test_a_house_shared_by_two_crews_is_found() -> None:
    """Three houses of 5 h and 5 h, two crews of 16 h: no crew has room for two whole ones, and both for half of one.

    No order of whole houses keeps all three; what the solver finds, the judge finds nothing against, twice alike.
    """
    week = _three_houses_of_two_pieces()
    jobs = frozenset({1, 2, 3})
    assert by_list(never)(week, jobs) is None
    found = by_orders_and_solver(never)(week, jobs)
    assert found is not None
    assert kept(week, found) == jobs
    assert check_plan(week, found) == ()
    assert by_orders_and_solver(never)(week, jobs) == found


def test_what_the_search_keeps_is_no_clash() -> None:
    """The same three houses: no clash is told, and the third is told as kept in another order."""
    week = _three_houses_of_two_pieces()
    plan = plan_week(week)
    assert kept(week, plan) == {1, 2}
    assert clashes(week, plan, by_list(never), never).clashes
    known = clashes(week, plan, by_orders_and_solver(never), never)
    assert (known.clashes, known.more, known.finished) == ((), (3,), True)
    way = in_another_order(week, plan, known, by_orders_and_solver(never))
    assert way is not None
    assert way_sentence(week, way) == "In another order of the work job 3 holds too, and so do all other promises."


def test_a_plan_that_was_seen_needs_no_test() -> None:
    """What a proposal that waits keeps together is not asked about, and is no clash."""
    week = _three_houses_of_two_pieces()
    seen = by_solver(never)(week, frozenset({1, 2, 3}))
    assert seen is not None

    def keeps(_problem: PlanProblem, jobs: frozenset[int]) -> WeekPlan | None:
        pytest.fail(f"asked about {sorted(jobs)}")

    known = clashes(week, plan_week(week), keeps, never, seen=(seen,))
    assert (known.clashes, known.more, known.better) == ((), (3,), seen)


def test_a_plan_found_for_fewer_that_keeps_all_takes_the_clash_back() -> None:
    """All three are tried in vain, then a plan for two of them turns out to keep the third as well: nothing clashes."""
    week = _three_houses_of_two_pieces()
    lucky = by_solver(never)(week, frozenset({1, 2, 3}))
    assert lucky is not None

    def keeps(asked: PlanProblem, jobs: frozenset[int]) -> WeekPlan | None:
        if len(jobs) == 1:
            return plan_week(asked)
        return lucky if len(jobs) == 2 else None

    known = clashes(week, plan_week(week), keeps, never)
    assert (known.clashes, known.more, known.better) == ((), (3,), lucky)


def test_no_is_not_no_time() -> None:
    """Wherever time runs out: no job is late alone that was not tried, no set is smallest that was not tried whole.

    Three houses of 8 h by Tuesday for one crew, of which each can be kept alone and any two together.
    """
    week = problem([_house(number, 3, (8,)) for number in (1, 2, 3)], shop(BIRCH))
    plan = plan_week(week)
    ends = []
    for asks in range(60):
        stop = stops_after(asks)
        known = clashes(week, plan, by_list(stop), stop)
        ends.append(known.finished)
        assert known.alone_late == ()
        assert known.unknown == (() if known.clashes else (3,))
        for clash in known.clashes:
            assert clash.jobs == (1, 2, 3)
            assert clash.smallest == known.finished == (set(clash.without) == {1, 2, 3})
            sentence = clash_sentence(week, clash, None)
            assert sentence.startswith("No plan tried keeps" if clash.smallest else "These promises together")
    assert ends == sorted(ends), "with more time no less is found out"
    assert (ends[0], ends[-1]) == (False, True)


def test_many_jobs_of_which_nobody_knows_who_clashes_are_not_listed() -> None:
    """Six houses of 8 h by Friday for one crew, stopped after the whole was tried in vain: the late one is named alone."""
    week = problem([_house(number, 6, (8,)) for number in range(1, 7)], shop(BIRCH))
    plan = plan_week(week)
    over: list[frozenset[int]] = []

    def keeps(asked: PlanProblem, jobs: frozenset[int]) -> WeekPlan | None:
        found = by_list(never)(asked, jobs)
        if len(jobs) > 1:
            over.append(jobs)
        return found

    known = clashes(week, plan, keeps, lambda: len(over) > 1)
    (clash,) = known.clashes
    assert (clash.jobs, clash.late, clash.smallest) == ((1, 2, 3, 4, 5, 6), 6, False)
    assert clash_sentence(week, clash, None) == (
        "No plan tried keeps the promise of job 6 together with the others that can be kept; there was no time to find "
        "out which of them it clashes with."
    )


def test_a_promise_no_plan_keeps_is_in_no_clash() -> None:
    """20 h by Monday cannot be kept by one crew of 8 h: it is told by itself, and the two beside it clash."""
    week = problem([_house(1, 2, (8,)), _house(2, 2, (20,)), _house(3, 2, (8,))], shop(BIRCH))
    known = clashes(week, plan_week(week), by_orders_and_solver(never), never)
    assert known.impossible == (2,)
    assert [clash.jobs for clash in known.clashes] == [(1, 3)]


def test_half_a_saturday_is_found_where_a_house_is_shared() -> None:
    """Three houses of 6 h and 5 h by Saturday, two days of two crews left, 32 h: half a Saturday of one is enough.

    Only where the third house is done by both, so no order of whole houses shows it.
    """
    off = [_day(day) for day in (2, 3, 4)]
    crews = crew("Birch", 3, off=off), crew("Cedar", 3, off=off)
    week = problem([_house(number, 7, (6, 5)) for number in (1, 2, 3)], shop(*crews))
    plan = plan_week(week)
    keeps = by_orders_and_solver(never)
    known = clashes(week, plan, keeps, never)
    (clash,) = known.clashes
    ways = ways_out(week, plan, clash, known, keeps, never)
    found = [way_sentence(week, way) for way in ways if way.kind is WayKind.SATURDAY]
    assert [sentence.partition(":00-12:00: then ")[0] for sentence in found] == [
        "Birch works Sat 7 Mar 08",
        "Cedar works Sat 7 Mar 08",
    ]
    assert all("then jobs 1, 2 and 3 hold, and so do all other promises" in sentence for sentence in found)


def test_overtime_keeps_what_cannot_be_kept_otherwise() -> None:
    """44 h by Saturday in a week of 40 h cannot be kept; half a Saturday more, it can. 60 h it does not keep either."""
    for hours, saved in ((44, True), (60, False)):
        week = problem([_house(1, 7, (hours,)), _house(2, 20, (8,))], shop(BIRCH))
        plan = plan_week(week)
        known = clashes(week, plan, by_list(never), never)
        assert known.impossible == (1,)
        way = overtime(week, plan, 1, known, by_list(never), never)
        assert (way is not None) == saved
        if way is not None:
            sentence = way_sentence(week, way)
            assert sentence.startswith(
                "Birch works Sat 7 Mar 08:00-12:00: then job 1 holds, and so do all other promises"
            )


def test_a_job_that_is_late_either_way_and_ends_later_is_a_loss_that_is_said() -> None:
    """Three houses of 8 h by Monday, the first first in both plans, the others the other way round: one ends a day later."""
    houses = [_house(1, 2, (8,), 3), _house(2, 2, (8,), 2), _house(3, 2, (8,), 1)]
    week = problem(houses, shop(BIRCH))
    other = plan_week(problem([houses[0], _house(2, 2, (8,), 1), _house(3, 2, (8,), 2)], shop(BIRCH)))
    slips = slips_of(week, other, plan_week(week))
    assert [(slip.job, slip.held, slip.later) for slip in slips] == [(2, False, 1), (3, False, 0)]
    way = WayOut(kind=WayKind.ORDER, plan=other, keeps=(1,), slips=slips)
    assert way_sentence(week, way) == (
        "In another order of the work job 1 holds too, but job 2 ends Wed 4 Mar 16:00, 1 day later than in this plan; "
        "job 3 stays late."
    )


@pytest.mark.parametrize("seed", range(6))
def test_no_way_out_breaks_more_than_the_plan_in_force_and_all_it_makes_worse_is_said(seed: int) -> None:
    """Houses of the trade, too many for their crews: each job that is worse off than in the plan in force is named."""
    week = booked_weeks(7, 1, 2, seed)
    plan = plan_week(week)
    known = clashes(week, plan, by_list(never), never)
    now = {slip.job: slip for slip in slips_of(week, plan)}
    for clash in known.clashes:
        for way in ways_out(week, plan, clash, known, by_list(never), never):
            assert len(way.slips) <= len(now)
            sentence = way_sentence(week, way)
            for slip in way.slips:
                was = now.get(slip.job)
                worse = was is None or (was.end is not None and slip.days > was.days)
                if worse and slip.end is not None and slip.job != way.job:
                    assert f"job {slip.job} slips to" in sentence or f"job {slip.job} ends" in sentence
                if was is not None and was.end is not None and slip.end is None and slip.job != way.job:
                    assert re.search(rf"jobs? [0-9, and]*\b{slip.job}\b[0-9, and]* ha(s|ve) no end", sentence)


def test_a_plan_of_some_jobs_becomes_one_of_all() -> None:
    """Others are planned around what a plan has, whose promises still hold."""
    week = problem([_house(number, 3, (5, 5)) for number in (1, 2, 3)] + [_house(4, 3, (4, 4))], shop(BIRCH, CEDAR))
    some = problem([_house(number, 3, (5, 5)) for number in (1, 2, 3)], shop(BIRCH, CEDAR))
    jobs = frozenset({1, 2, 3})
    found = by_solver(never)(some, jobs)
    assert found is not None
    made = whole(week, found, jobs)
    assert made is not None
    assert kept(week, made) == jobs
    assert check_plan(week, made) == ()
    assert {placed.key.job for placed in made.placements} == {1, 2, 3, 4}
