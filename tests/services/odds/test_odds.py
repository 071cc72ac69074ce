"""Odds of the plan in force: chances, days, what drives them, and the first day that holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.found import WayTaken
from crewjobs.domain.house_ready import Other, ReadyItem, WaitingOn
from crewjobs.domain.material import Lot
from crewjobs.domain.pace import DoneTask, WorkedDay
from crewjobs.engines.answering.standing import end_of
from crewjobs.engines.learning.lateness import WordKind
from crewjobs.engines.learning.pace import learn
from crewjobs.engines.planning.odds import sample
from crewjobs.engines.planning.odds_network import BlockPace, Spreads, network_of
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.jobs import loading
from crewjobs.services.odds import odds
from crewjobs.services.odds.lateness import known_lateness, lateness_words
from crewjobs.services.odds.odds_spread import spreads_of, without_done
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.visits import planned as plan_in_force
from tests.services.conftest import JOB, SHOP, Shop, kept


def make_planned(shop: Shop) -> None:
    """The den waits for its planks, due on Tuesday, and is promised for Friday of the week after; it is planned."""
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", JOB)])
    shop.office.ready(4, asked="Teo Halloran", answers=Answers(ready=tuple(ReadyItem)))
    shop.office.plan()


planned = kept(make_planned)


def odds_of(shop: Shop) -> odds.Odds:
    with shop.office._database.reading() as uow:
        return odds.odds_of(uow, shop.clock.now())


def test_without_a_plan_there_are_no_odds(shop):
    """One sentence says what does it."""
    for ask in (shop.office.odds, lambda: shop.office.promise(4, 90)):
        with pytest.raises(Refused, match=r"nothing is planned yet: `crewjobs plan` does it\."):
            ask()


def test_without_any_spread_the_plan_itself_comes_out(planned):
    """Every block as long as planned, nothing late: the job ends when the plan has it end."""
    with planned.office._database.reading() as uow:
        problem, in_force = problem_of(uow, planned.clock.now()), plan_in_force(uow)
    plan = without_done(in_force.plan, in_force.records)
    still = Spreads(blocks={one.key: BlockPace(factor=1.0, sigma=0.0) for one in plan.placements})
    network = network_of(problem, plan, still)
    run = sample(network.network, np.random.default_rng(0), 3)
    assert network.axis.at(run.finish(4, 0.5)) == end_of(plan, 4)


def test_odds_are_the_same_each_time_and_change_nothing(planned):
    """Seeded; the change log stays as it is."""
    before = planned.office.changes()
    view = planned.office.odds()
    assert view == planned.office.odds()
    assert planned.office.changes() == before
    assert [row.job for row in view.rows] == [4]
    assert view.samples == 10_000


def test_days_come_in_the_order_of_their_chances(planned):
    """Likely, then 80 %, then 95 %; the chance of the promised day lies between those of the days around it."""
    (row,) = planned.office.odds(4).rows
    assert row.planned <= row.by_80
    assert row.likely <= row.by_80 <= row.by_95
    assert 0 < row.chance < 1
    assert row.error == pytest.approx((row.chance * (1 - row.chance) / 10_000) ** 0.5)
    assert "holds with a chance of" in row.sentence


def test_a_later_promise_holds_with_a_greater_chance(planned):
    """The same plan, one promise later by a week."""
    found = odds_of(planned)
    (record,) = found.problem.jobs
    chances = [found.chance(record, record.job.promised + timedelta(days=days))[0] for days in range(-7, 15)]
    assert chances == sorted(chances)
    assert chances[0] < chances[-1]


def test_the_first_day_that_holds_is_the_first(planned):
    """Its chance is what was asked for or more, that of the day before is less; more odds never give an earlier day."""
    days = []
    for asked in (50, 80, 90, 99):
        view = planned.office.promise(4, asked)
        assert view.before < asked / 100 <= view.chance
        assert f"{view.day.isoformat()}` promises that day; nothing was kept" in " ".join(view.sentences)
        days.append(view.day)
    assert days == sorted(days)
    found = odds_of(planned)
    (record,) = found.problem.jobs
    assert found.chance(record, planned.office.promise(4, 90).day)[0] == planned.office.promise(4, 90).chance


def test_a_delivery_that_comes_late_moves_what_waits_for_it(planned):
    """The planks five days later: the den ends later, by its acclimation after them."""
    found = odds_of(planned)
    network = found.sampled.network
    assert any("gray plank is due" in late.name for late in network.lates)
    moved = replace(network, lates=tuple(replace(one, due=one.due + 5 * 96) for one in network.lates))
    later, sooner = sample(moved, np.random.default_rng(1), 500), sample(network, np.random.default_rng(1), 500)
    assert later.finish(4, 0.5) >= sooner.finish(4, 0.5) + 3 * 96


def test_what_drives_a_risk_is_named_in_words(planned):
    """A crew's pace, a block with its crew, the delivery; the strongest first."""
    (row,) = planned.office.odds(4).rows
    strengths = [one.correlation for one in row.drivers]
    assert strengths == sorted(strengths, reverse=True)
    words = " ".join(one.words for one in row.drivers)
    assert "gray plank (job 4), due Tue 3 Mar, may come late" in words
    assert "planned" in words


def test_what_is_not_known_is_said_to_be_common_practice(planned):
    """Lateness has no source, and the paces are the book's without hours."""
    taken = " ".join(planned.office.odds().taken)
    assert "(common practice, no source)" in taken
    assert "No hours of crews are known yet, so times are the book's" in taken


@pytest.mark.parametrize("asked", [49.9, 99.1, 0, -5, float("nan"), float("inf")])
def test_odds_that_are_none_are_refused(planned, asked):
    """A promise is asked for with 50 to 99 percent."""
    with pytest.raises(Refused, match="a promise is asked for with 50 to 99"):
        planned.office.promise(4, asked)


def test_a_job_that_is_not_planned_or_over_has_no_odds(planned):
    """One sentence each."""
    fresh = JOB.replace("number = 4", "number = 5").replace("9 Quarry", "11 Quarry")
    with planned.office._writing() as uow:
        loading.load(uow, planned.clock.now(), loading.read([planned.file("5.toml", fresh)]))
    with pytest.raises(Refused, match=r"job 5 is not in the plan: `crewjobs plan` plans it\."):
        planned.office.promise(5, 90)
    with pytest.raises(Refused, match="there is no job 99"):
        planned.office.promise(99, 90)
    (row,) = planned.office.odds(5).rows
    assert row.chance is None
    assert "not in the plan" in row.sentence
    planned.office.edit(4, planned.office.job(4).version, {"state": "called off"})
    for ask in (planned.office.odds, lambda job: planned.office.promise(job, 90)):
        with pytest.raises(Refused, match=r"job 4 is called off: nothing of it is planned\."):
            ask(4)


def test_days_are_those_of_the_calendar(planned):
    """The first day that holds is one on which a crew works."""
    day = planned.office.promise(4, 90).day
    assert isinstance(day, date)
    assert day.weekday() < 5


def test_what_was_planned_for_a_day_gone_by_must_be_ticked_first(planned):
    """Nothing is ticked on the day after the first block's: no chance is told as if it had been done."""
    first = min(one.start for one in plan_of(planned).placements)
    planned.clock.at = first + timedelta(days=1)
    (row,) = planned.office.odds(4).rows
    assert row.chance is None
    assert "is not ticked: tick what is done, or `crewjobs plan`" in row.sentence
    with pytest.raises(Refused, match="job 4 has work that was planned to be done by now"):
        planned.office.promise(4, 90)


def plan_of(shop: Shop):
    with shop.office._database.reading() as uow:
        return plan_in_force(uow).plan


def test_a_crew_that_is_slower_than_the_book_has_longer_blocks_and_worse_odds(planned):
    """Twenty dens that took twice the book's time: blocks take nearly twice as long, and are surer than without any hours."""
    with planned.office._database.reading() as uow:
        problem, plan = problem_of(uow, planned.clock.now()), plan_in_force(uow).plan
    (record,) = problem.jobs
    crew = max(plan.placements, key=lambda one: len(one.tasks)).crew
    numbers = {number for one in plan.placements if one.crew == crew for number in one.tasks}
    done = tuple(
        DoneTask(number=n, template=record.task(n).key.template, book_min=record.task(n).estimate.expected)
        for n in sorted(numbers)
    )
    labor = 2 * sum(one.book_min for one in done)
    days = [WorkedDay(job=n, crew=crew, day=date(2026, 1, 5), labor_min=labor, done=done) for n in range(100, 120)]
    slow, book = spreads_of(problem, plan, learn(days)), spreads_of(problem, plan, learn([]))
    mine = [one for one in plan.placements if one.crew == crew]
    weigh = [sum(record.task(n).estimate.expected for n in one.tasks) for one in mine]
    longer = sum(w * slow.blocks[one.key].factor for w, one in zip(weigh, mine, strict=True)) / sum(weigh)
    assert 1.7 < longer < 2.1
    assert sum(weigh) == pytest.approx(sum(one.book_min for one in done))
    assert slow.crew_sigma[crew] < book.crew_sigma[crew]
    ends = [
        np.median(
            sample(network_of(problem, plan, one).network, np.random.default_rng(1), 500).job_ends(record.job.number)
        )
        for one in (slow, book)
    ]
    assert ends[0] > ends[1]


def test_what_came_of_earlier_dates_makes_a_supplier_less_trusted(planned):
    """Every fact that may be late has the chance learned of who says it; the sentences tell the dates behind it."""
    found = odds_of(planned)
    assert "A delivery is taken as late with 25 %, then by 2.0 days on the average (no date behind it yet)" in " ".join(
        found.taken
    )
    (record,) = found.problem.jobs
    (order,) = record.job.orders
    came = Lot(material=order.material, name="A", cartons=order.cartons, arrived_at=order.due + timedelta(days=3))
    past = [replace(record, lots=(came,)) for _ in range(8)]
    known = known_lateness(past, order.due + timedelta(days=9))
    assert known.of(WordKind.DELIVERY).chance == pytest.approx((0.25 * 4 + 8) / 12)
    with planned.office._database.reading() as uow:
        problem, in_force = problem_of(uow, planned.clock.now()), plan_in_force(uow)
    plan = without_done(in_force.plan, in_force.records)
    network = network_of(problem, plan, spreads_of(problem, plan, learn(()), known)).network
    late = next(one for one in network.lates if "gray plank" in one.name)
    assert late.how.chance == pytest.approx(known.of(WordKind.DELIVERY, order.supplier).chance)
    assert late.how.mean_days == pytest.approx(known.of(WordKind.DELIVERY, order.supplier).mean_days)
    words = lateness_words(known)
    assert "8 dates behind it, 8 of them late" in words
    assert order.supplier in words


def test_a_promise_that_a_way_on_made_needless_is_neither_kept_nor_broken(planned):
    """Of one who is no longer waited for nothing is known; a promise that came is one kept."""
    (record,) = odds_of(planned).problem.jobs
    now = planned.clock.now()
    asked = WaitingOn(
        who=Other.INSPECTOR,
        what="look at the glue in den",
        asked=now.date(),
        promised=now + timedelta(days=2),
        came_at=now + timedelta(days=2),
    )
    settled = WayTaken(
        found_at=now, place="den", kind="suspect asbestos", way="cleared", at=now + timedelta(days=2), by="Ida Moen"
    )

    def behind(waits: WaitingOn, *ways: WayTaken) -> int:
        past = replace(record, waiting_on=(waits,), ways_taken=ways)
        return known_lateness([past], now + timedelta(days=9)).of(WordKind.OTHERS).records

    assert behind(asked) == 1
    assert behind(asked, settled) == 0


def test_what_was_to_be_done_by_now_is_said_to_be_taken_as_done(planned):
    """An hour after the first block's planned end, with nothing ticked: the odds say so, with the job."""
    with planned.office._database.reading() as uow:
        first = min(plan_in_force(uow).plan.placements, key=lambda one: one.end)
    assert "taken as done" not in planned.office.odds().stale
    planned.clock.at = first.end + timedelta(minutes=1)
    assert "not ticked is taken as done (job 4)" in planned.office.odds().stale
