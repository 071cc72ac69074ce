"""Crews are planned by their own pace, and what is kept before a promise follows what their hours tell."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from math import exp
from random import Random

import pytest
from scipy.stats import lognorm

from crewjobs.domain.crew import Sub
from crewjobs.domain.tasks import Driver, Phase
from crewjobs.domain.wall import to_wall
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.buffers import kept_slots, spare
from crewjobs.engines.planning.jobwork import Floor, job_work
from crewjobs.engines.planning.layout import task_times
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.odds_network import BlockPace, Spreads, network_of
from crewjobs.engines.planning.paces import BOOK, Paces, paces_in
from tests import thorough
from tests.engines.planning.networks import CENTRAL, MONDAY, Network, at, crew, job, problem, random_problem, shop


def _record(minutes=480, **terms):
    net = Network(job=job(1, **terms))
    net.add("Scrape", Phase.SUBFLOOR_PREP, minutes, people=2)
    return net.record()


def _hours(placement):
    start, end = (to_wall(CENTRAL, moment) for moment in (placement.start, placement.end))
    return f"{start:%a %H:%M} to {end:%a %H:%M}"


def _paced(the_problem, times, spreads=None):
    return replace(
        the_problem,
        paces=Paces(
            times={(name, 1, 1): factor for name, factor in times.items()},
            spreads={(name, 1): one for name, one in (spreads or {}).items()},
        ),
    )


def test_a_crew_takes_its_own_time() -> None:
    """480 labor minutes of two people are 4 h by the book, 6 h at half as long again, 3 h at three quarters."""
    by_the_book = problem([_record()], shop(crew("Birch", 2)))
    assert _hours(plan_week(by_the_book).placements[0]) == "Mon 08:00 to Mon 12:00"
    slow = plan_week(_paced(by_the_book, {"Birch": 1.5}))
    assert _hours(slow.placements[0]) == "Mon 08:00 to Mon 14:30", "half an hour of it is lunch"
    assert slow.placements[0].pace == (1.5,)
    quick = plan_week(_paced(by_the_book, {"Birch": 0.75}))
    assert _hours(quick.placements[0]) == "Mon 08:00 to Mon 11:00"
    for plan, times in ((slow, 1.5), (quick, 0.75)):
        assert check_plan(_paced(by_the_book, {"Birch": times}), plan) == ()


def test_the_judge_sees_another_pace() -> None:
    """What was planned by the book does not hold for a crew that is slower, nor does a plan that hides by what it was made."""
    by_the_book = problem([_record()], shop(crew("Birch", 2)))
    plan, slower = plan_week(by_the_book), _paced(by_the_book, {"Birch": 1.5})
    assert any("the work takes 360" in fault for fault in check_plan(slower, plan))
    silent = tuple(replace(placed, pace=()) for placed in plan_week(slower).placements)
    assert any("pace" in fault for fault in check_plan(slower, replace(plan_week(slower), placements=silent)))


def test_of_two_crews_the_quicker_one_is_sent_where_the_day_counts() -> None:
    """A promise that only one of two crews can keep goes to it."""
    the_problem = problem(
        [_record(1600, promised=MONDAY + timedelta(days=1))], shop(crew("Birch", 2), crew("Cedar", 2))
    )
    for quick, slow in (("Birch", "Cedar"), ("Cedar", "Birch")):
        plan = plan_week(_paced(the_problem, {quick: 0.8, slow: 1.6}))
        assert {placed.crew for placed in plan.placements} == {quick}


def test_the_page_keeps_the_pace_it_was_planned_by() -> None:
    """Rates learned later do not change the page in the crew's hands: what a plan was made by is kept in it."""
    record, the_crew = _record(), crew("Birch", 2)
    plan = plan_week(_paced(problem([record], shop(the_crew)), {"Birch": 1.5}))
    times = task_times(plan.placements[0], record, shop(the_crew), the_crew, plan.made_at)
    assert times[-1].end == plan.placements[0].end
    assert paces_in(plan.placements).of("Birch", 1, 1) == 1.5
    assert paces_in(replace(one, pace=()) for one in plan.placements) == BOOK


def test_what_is_left_of_work_under_way_is_by_the_crew_s_pace() -> None:
    """Begun at 8 and looked at at 10, work that takes its crew 6 h goes on for 4."""
    record = _record()
    begun = replace(record, tasks=(replace(record.tasks[0], started_at=at(MONDAY, "08:00"), crew="Birch"),))
    now = _paced(problem([begun], shop(crew("Birch", 2)), now=at(MONDAY, "10:00")), {"Birch": 1.5})
    plan = plan_week(now)
    assert _hours(plan.placements[0]) == "Mon 10:00 to Mon 14:30"
    assert check_plan(now, plan) == ()


def test_a_sub_has_its_capacity_whatever_its_rates() -> None:
    """Paces are of the shop's own crews; of a sub's laying they are not looked at."""
    record = _record(999)
    laying = replace(record.tasks[0], phase=Phase.INSTALL, needs_material="planks", quantity=350, unit=Driver.AREA)
    sub = replace(crew("Birch", 2), sub=Sub(area_ft2=350))
    plain = problem([replace(record, tasks=(laying,))], shop(sub))
    assert plan_week(plain).placements[0].end == plan_week(_paced(plain, {"Birch": 3.0})).placements[0].end


def test_what_is_kept_is_what_one_job_in_twenty_takes_longer() -> None:
    """A spread of 0.3: the 95th percentile of a lognormal (scipy) over its median, here all of it, of 4 h of the crew."""
    record = _record(promised=MONDAY + timedelta(days=4))
    the_problem = problem([record], replace(shop(crew("Birch", 2)), kept_percent=100))
    paced = _paced(the_problem, {"Birch": 1.0}, {"Birch": 0.3})
    floor = Floor(paced)
    longer = lognorm.ppf(0.95, 0.3) - 1
    assert kept_slots(job_work(record, floor), floor, "Birch") == pytest.approx(240 * longer / 15, abs=1)
    assert paced.paces.more("Birch", 1) == pytest.approx(exp(1.645 * 0.3) - 1)
    assert paced.paces.more("Cedar", 1) is None
    plan = plan_week(paced)
    found = spare(paced.shop, (), (), record, plan, plan.placements[0].end, paced.now)
    assert found is not None
    assert found.kept_min == pytest.approx(240 * longer, abs=2), "the page says what the planner kept"
    by_estimates = plan_week(the_problem)
    before = spare(the_problem.shop, (), (), record, by_estimates, by_estimates.placements[0].end, the_problem.now)
    assert before is not None
    assert before.kept_min != found.kept_min


def test_odds_without_any_spread_are_the_plan_whatever_its_pace() -> None:
    """Steps to sample take what the plan gave them, by its pace, not the book's minutes."""
    paced = _paced(problem([_record()], shop(crew("Birch", 2))), {"Birch": 1.5})
    plan = plan_week(paced)
    still = Spreads(blocks={one.key: BlockPace(factor=1.0, sigma=0.0) for one in plan.placements})
    assert network_of(paced, plan, still).network.steps[0].minutes == 360


@pytest.mark.parametrize("seed", thorough.of(range(60), 12))
def test_any_problem_with_paces_is_planned_by_the_rules(seed: int) -> None:
    """The judge, who reckons anew, finds nothing in plans of random problems in which every crew has its own times."""
    the_problem, random = random_problem(seed), Random(seed)
    names = [one.name for one in the_problem.shop.crews] + [one.to for one in the_problem.away if one.to]
    tasks = [(record.job.number, task.number) for record in the_problem.jobs for task in record.tasks]
    times = {
        (name, *task): round(random.uniform(0.5, 2), 2) for name in names for task in tasks if random.random() < 0.7
    }
    spreads = {(name, record.job.number): random.uniform(0, 0.6) for name in names for record in the_problem.jobs}
    paced = replace(the_problem, paces=Paces(times=times, spreads=spreads))
    plan = plan_week(paced)
    assert check_plan(paced, plan) == ()
    later = replace(paced, previous=plan)
    assert check_plan(later, plan_week(later)) == ()
