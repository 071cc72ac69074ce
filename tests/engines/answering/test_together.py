"""Whether promises can be kept together: what was tried, what was seen, and what there was no time for."""

from __future__ import annotations

from datetime import date

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Phase
from crewjobs.engines.answering.clash_words import clash_sentence, way_sentence
from crewjobs.engines.answering.clashes import Clash
from crewjobs.engines.answering.effort import Effort
from crewjobs.engines.answering.ground import Ground
from crewjobs.engines.answering.promises import Found, look
from crewjobs.engines.answering.rivals import rivals
from crewjobs.engines.answering.standing import kept
from crewjobs.engines.answering.trial import Trial
from crewjobs.engines.answering.ways_out import WayKind, WayOut, slips_of
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import PlanProblem
from tests.engines.planning.networks import Network, crew, job, problem, shop

BIRCH, CEDAR = crew("Birch", 3), crew("Cedar", 3)


def _look(week: PlanProblem) -> Found:
    return look(week, plan_week(week), Effort(1e6))


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

    What is found keeps all three, and the judge finds nothing against it.
    """
    week = _three_houses_of_two_pieces()
    jobs = frozenset({1, 2, 3})
    trial = Trial(Ground(week, Effort(1e6)), plan_week(week), jobs)
    found = trial.keeps(jobs)
    assert found is not None
    plan = trial.plan(found)
    assert kept(week, plan) == jobs
    assert check_plan(week, plan) == ()


def test_what_the_search_keeps_is_no_clash() -> None:
    """The same three houses: no clash is told, and the third is told as kept in another order."""
    week = _three_houses_of_two_pieces()
    assert kept(week, plan_week(week)) == {1, 2}
    found = _look(week)
    assert (found.clashes, found.more, found.cut) == ((), (3,), False)
    assert found.order is not None
    sentence = way_sentence(week, found.order)
    assert sentence == "In another order of the work job 3 holds too, and so do all other promises."


def test_a_plan_that_was_seen_needs_no_search() -> None:
    """What a proposal that waits keeps together is no clash, and its plan is the other order."""
    week = _three_houses_of_two_pieces()
    seen = _look(week).order
    assert seen is not None
    found = look(week, plan_week(week), Effort(1e6), seen=(seen.plan,))
    assert found.order is not None
    assert (found.clashes, found.order.plan) == ((), seen.plan)


def test_work_that_is_not_tried_stays_where_it_is() -> None:
    """Two of three houses are tried: each piece of the third has its crew and its hour in what is found."""
    week = _three_houses_of_two_pieces()
    plan = plan_week(week)
    trial = Trial(Ground(week, Effort(1e6)), plan, (1, 2))
    found = trial.keeps(frozenset({1, 2}))
    assert found is not None
    made = trial.plan(found)
    third = [[(p.key, p.crew, p.start) for p in one.placements if p.key.job == 3] for one in (plan, made)]
    assert third[0] == third[1]
    assert check_plan(week, made) == ()


def test_rivals_are_those_at_work_before_the_promise() -> None:
    """Birch is on job 1 before job 3 is promised, Cedar on job 2 of another floor, and on job 4 only after that."""
    week = problem([_house(1, 3, (8,)), _house(3, 3, (8,)), _house(4, 12, (8,))], shop(BIRCH))
    found = rivals(Ground(week, Effort(1e6)), plan_week(week), 1)
    assert found == {1, 3}


def test_many_jobs_of_which_nobody_knows_who_clashes_are_not_listed() -> None:
    """Six houses by Friday for one crew, and no time to find out which of them clash: the late one is named alone."""
    week = problem([_house(number, 6, (8,)) for number in range(1, 7)], shop(BIRCH))
    clash = Clash(jobs=(1, 2, 3, 4, 5, 6), smallest=False, without={}, late=6)
    assert clash_sentence(week, clash, None) == (
        "No plan found keeps the promise of job 6 together with the others that can be kept; there was no time to find "
        "out which of them it clashes with."
    )


def test_a_promise_no_plan_keeps_is_in_no_clash() -> None:
    """20 h by Monday cannot be kept by one crew of 8 h: it is told by itself, and the two beside it clash."""
    week = problem([_house(1, 2, (8,)), _house(2, 2, (20,)), _house(3, 2, (8,))], shop(BIRCH))
    found = _look(week)
    assert found.impossible == (2,)
    assert [clash.jobs for clash, _ in found.clashes] == [(1, 3)]


def test_half_a_saturday_is_found_where_a_house_is_shared() -> None:
    """Three houses of 6 h and 5 h by Saturday, two days of two crews left, 32 h: half a Saturday of one is enough.

    Only where the third house is done by both, so no order of whole houses shows it.
    """
    off = [_day(day) for day in (2, 3, 4)]
    crews = crew("Birch", 3, off=off), crew("Cedar", 3, off=off)
    week = problem([_house(number, 7, (6, 5)) for number in (1, 2, 3)], shop(*crews))
    ((_, ways),) = _look(week).clashes
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
        found = _look(week)
        assert found.impossible == (1,)
        assert bool(found.saves) == saved
        for way in found.saves:
            sentence = way_sentence(week, way)
            said = "Birch works Sat 7 Mar 08:00-12:00: then job 1 holds, and so do all other promises"
            assert sentence.startswith(said)


def test_a_job_that_is_late_either_way_and_ends_later_is_a_loss_that_is_said() -> None:
    """Three houses of 8 h by Monday, the first first in both plans, the others the other way round: one ends a day later."""
    houses = [_house(1, 2, (8,), 3), _house(2, 2, (8,), 2), _house(3, 2, (8,), 1)]
    week = problem(houses, shop(BIRCH))
    other = plan_week(problem([houses[0], _house(2, 2, (8,), 1), _house(3, 2, (8,), 2)], shop(BIRCH)))
    slips = slips_of(week, other, plan_week(week))
    assert [(slip.job, slip.held, slip.later) for slip in slips] == [(2, False, 1), (3, False, 0)]
    way = WayOut(kind=WayKind.ORDER, plan=other, keeps=(1,), wins=(1,), slips=slips)
    assert way_sentence(week, way) == (
        "In another order of the work job 1 holds too, but job 2 ends Wed 4 Mar 16:00, 1 day later than in this plan; "
        "job 3 stays late."
    )
