"""Rates and estimates against hours, from what is recorded."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from math import sqrt

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.job import JobRecord
from crewjobs.engines.estimating.worked import works
from crewjobs.engines.learning.pace import learn
from crewjobs.engines.learning.predicting import job_pace, rate
from crewjobs.engines.planning.paces import BOOK
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.office import Office
from crewjobs.services.rates.learned import learned
from crewjobs.services.rates.paces import days_worked
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.planning_paces import SPREAD_STEP, STEP
from tests.builders import central
from tests.services.conftest import JOB, SHOP, Shop, kept
from tests.services.evenings.test_evening import HERE, SUB, TUESDAY, as_done


def make_worked(shop: Shop) -> None:
    """Birch has laid the den on Tuesday, with the hours its sheet was typed back with; Hazel is a sub."""
    shop.office.load([shop.file("shop.toml", SHOP + SUB), shop.file("den.toml", HERE)])
    shop.office.arrived(4, "gray plank", 9, in_rooms=True, at="2026-03-02 06:10")
    shop.office.ready(4, asked="Teo Halloran", answers=Answers(ready=tuple(ReadyItem)))
    shop.office.pin(4, [shop.number_of("carpet-out")], "Birch", TUESDAY)
    shop.office.plan()
    shop.clock.set("2026-03-03", "17:30")
    sheet = shop.office.evening_sheet("Birch").houses[0]
    entry = EveningEntry(houses=(HouseEntry(house=1, tasks=as_done(sheet.lines)),))
    shop.office.evening("Birch", TUESDAY, entry)


worked = kept(make_worked)
den = kept(lambda shop: shop.office.load([shop.file("shop.toml", SHOP + SUB), shop.file("den.toml", JOB)]))


def test_without_hours_the_book_stands(den):
    """One sentence says so and from how many jobs on a pace is told; no rate is listed."""
    view = den.office.rates()
    assert view.jobs == 0
    assert "the book's rates stand. Write down in the evening" in view.note
    assert all(not crew.rows for crew in view.crews)


def test_a_crews_rate_is_the_books_over_what_it_takes(worked):
    """Amount a man-day = book / factor, the band's ends lie as far from it on the log as each other, jobs are counted."""
    with worked.office._database.reading() as uow:
        pace = learn(days_worked(uow.worked_jobs(), uow.shop(), worked.clock.now()))
    birch = next(crew for crew in worked.office.rates().crews if crew.crew == "Birch")
    assert birch.jobs == 1
    assert birch.rows
    for row in birch.rows:
        learned = rate(pace, "Birch", row.template)
        slower = row.unit in ("min", "× book")
        assert row.own == pytest.approx(row.book * learned.factor if slower else row.book / learned.factor)
        assert sqrt(row.low * row.high) == pytest.approx(row.own)
        assert row.low < row.own < row.high
        assert row.jobs == 1


def test_the_book_of_a_rate_is_the_catalogues(worked):
    """The book's amount a man-day is what the templates list, to its rounding."""
    paces = {row.key: row.pace for row in worked.office.templates()}
    birch = worked.office.rates("birch").crews[0]
    of_area = [row for row in birch.rows if row.unit == "ft²"]
    assert of_area
    assert all(paces[row.template] == f"{row.book:.0f} ft² per man-day" for row in of_area)


def test_a_metric_shop_reads_square_metres(worked):
    """The same rate in m²: 10.7639 ft² are 1 m² (1 ft = 0.3048 m, exact since 1959)."""
    in_feet = {row.template: row for row in worked.office.rates("Birch").crews[0].rows}
    with worked.office._database.unit_of_work(who="tester") as uow:
        uow.save_shop(replace(uow.shop(), units="metric"))
        uow.commit("metric", at=worked.clock.now())
    rows = worked.office.rates("Birch").crews[0].rows
    assert {"m²"} <= {row.unit for row in rows}
    assert not {"ft²", "ft", "running ft", "seam ft", "lb"} & {row.unit for row in rows}
    for row in rows:
        if row.unit == "m²":
            assert row.own == pytest.approx(in_feet[row.template].own * 0.3048**2)


def test_a_sub_has_a_capacity(worked):
    """It is said, not listed."""
    hazel = worked.office.rates("Hazel").crews[0]
    assert hazel.rows == ()
    assert "a sub: it has a capacity (400 ft² in a full day), not rates" in hazel.note


def test_hours_of_days_to_come_are_not_known_yet(worked):
    """Seen from Monday, nothing was worked on Tuesday."""
    worked.clock.set("2026-03-02", "12:00")
    assert worked.office.rates().jobs == 0


def test_an_estimate_against_its_hours_adds_up(worked):
    """The phases share the day's hours: their likely minutes add up to them, their estimates to the job's."""
    view = worked.office.against(4)
    record = worked.record()
    assert view.taken_min == sum(hours.labor for hours in record.crew_hours)
    assert sum(one.likely_min for one in view.phases) == pytest.approx(view.taken_min, rel=1e-6)
    that_day = [
        task for task in record.tasks if task.done_at is not None and task.done_at > central("2026-03-03", "0:00")
    ]
    done = sum(task.estimate.expected for task in that_day)
    assert view.estimated_min == pytest.approx(done)
    assert all(one.low_min <= one.likely_min <= one.high_min for one in view.phases)
    assert view.open == sum(task.open for task in record.tasks)


def test_a_job_without_hours_is_compared_with_nothing(den):
    """One sentence, with the command that records them."""
    with pytest.raises(Refused, match="job 4 has no hours of a crew at work that was ticked: `crewjobs evening`"):
        den.office.against(4)


def test_no_day_is_changed_by_asking(worked):
    """Rates and hours are answers: the change log stays as it is."""
    before = worked.office.changes()
    worked.office.rates()
    worked.office.against(4)
    assert worked.office.changes() == before


def test_a_closed_job_still_tells_the_pace(worked):
    """What was done there stays known once the job is closed; a job without hours is not read at all."""
    before = worked.office.rates("Birch").crews[0].rows
    worked.office.edit(4, worked.office.job(4).version, {"state": "closed"})
    assert worked.office.rates("Birch").crews[0].rows == before
    with worked.office._database.reading() as uow:
        assert [record.job.number for record in uow.worked_jobs()] == [4]


def test_hours_that_are_far_off_are_asked_about(worked):
    """Eight dens done in about the same hours, and one with ten times theirs (a wrong digit): a sentence asks, the pace hardly moves."""

    def den(number: int, people: int, minutes: int) -> JobRecord:
        (hours,) = record.crew_hours
        said = replace(hours, people=people, break_min=0, stop=hours.start + timedelta(minutes=minutes))
        return replace(record, job=replace(record.job, number=number), crew_hours=(said,))

    record = worked.record()
    with worked.office._database.unit_of_work(who="tester") as uow:
        for number in range(11, 19):
            uow.add_job(den(number, 1, 500 + 10 * (number % 3)))
        uow.commit("dens", at=worked.clock.now())
    usual = worked.office.rates("Birch")
    assert usual.ask == ()
    with worked.office._database.unit_of_work(who="tester") as uow:
        uow.add_job(den(20, 8, 625))
        uow.commit("a den with a wrong digit", at=worked.clock.now())
    odd = worked.office.rates("Birch")
    (asked,) = odd.ask
    assert (asked.job, asked.crew) == (20, "Birch")
    assert asked.sentence.startswith("Job 20, Tue 3 Mar, Birch: 83.3 h of one person where about")
    assert "it is kept" in asked.sentence
    for before, after in zip(usual.crews[0].rows, odd.crews[0].rows, strict=True):
        assert after.factor == pytest.approx(before.factor, rel=0.1)
    assert worked.office.rates("Cedar").ask == ()


def test_the_planner_takes_each_crews_own_pace(worked):
    """What a plan is made by is what the hours tell, in steps of a twentieth of the book's time; a sub has none."""
    with worked.office._database.reading() as uow:
        record, pace = uow.job(4), learned(uow, worked.clock.now())
        paces = problem_of(uow, worked.clock.now()).paces
    left = works(record, [task.number for task in record.tasks if task.open])
    assert left
    factors, spread = job_pace(pace, "Birch", left)
    for task, factor in zip(left, factors, strict=True):
        assert paces.of("Birch", 4, task.number) == pytest.approx(factor, abs=STEP / 2 + 1e-9)
        assert paces.of("Birch", 4, task.number) / STEP == pytest.approx(round(factor / STEP))
    assert paces.spreads["Birch", 4] == pytest.approx(spread, abs=SPREAD_STEP / 2 + 1e-9)
    assert not any(crew == "Hazel" for crew, *_ in (*paces.times, *paces.spreads))


def test_without_hours_everything_is_planned_by_the_book(den):
    """No hours, no pace beside the book's: plans are those of the estimates."""
    with den.office._database.reading() as uow:
        assert problem_of(uow, den.clock.now()).paces == BOOK


def test_a_plan_keeps_the_pace_it_was_made_by(worked):
    """It is stored with the plan, block by block, and read back as it was."""
    worked.office.plan()
    with worked.office._database.reading() as uow:
        paces, plan = problem_of(uow, worked.clock.now()).paces, uow.latest_plan()
    mine = [placed for placed in plan.placements if placed.crew == "Birch"]
    assert mine
    for placed in mine:
        kept_pace = placed.pace or (1.0,) * len(placed.tasks)
        assert kept_pace == tuple(paces.of("Birch", 4, number) for number in placed.tasks)
        assert placed.spread == paces.spreads["Birch", 4]


def test_what_is_left_is_by_the_book_and_by_each_crew(worked):
    """The crew whose hours are known comes with a narrower band than the one without, a sub not at all."""
    ahead = worked.office.ahead(4)
    with worked.office._database.reading() as uow:
        still = [task for task in uow.job(4).tasks if task.open]
    assert ahead.book_min == pytest.approx(sum(task.estimate.expected for task in still))
    assert [crew.crew for crew in ahead.crews] == ["Birch", "Cedar"]
    birch, cedar = ahead.crews
    assert (birch.jobs, cedar.jobs) == (1, 0)
    assert birch.high_min / birch.low_min < cedar.high_min / cedar.low_min
    pace = worked.office.job_pace(4)
    assert pace.ahead == ahead
    assert pace.against == worked.office.against(4)


def test_what_was_said_to_be_done_is_not_left(worked):
    """Two thirds of the laying said done: the rates and the job's page count its last third, as the list of jobs does."""
    record = worked.record()
    still = [task for task in record.tasks if task.open]
    laying = max(still, key=lambda task: task.estimate.expected)
    worked.clock.set("2026-03-04", "16:00")
    worked.office.how_far(4, laying.number, "67 %", because="begun all the same")
    worked.office.plan()
    ahead, page = worked.office.ahead(4), worked.office.job(4)
    (row,) = [one for one in worked.office.jobs() if one.number == 4]
    left = {task.number: task.estimate.expected for task in still}
    left[laying.number] *= 1 - 0.67
    assert ahead.book_min == pytest.approx(sum(left.values()))
    assert row.hours_left == pytest.approx(sum(left.values()) / 60)
    with worked.office._database.reading() as uow:
        paces = problem_of(uow, worked.clock.now()).paces
        crews = {n: one.crew for one in uow.latest_plan().placements for n in one.tasks}
    by_pace = sum(minutes * paces.of(crews[n], 4, n) for n, minutes in left.items())
    assert f"by the pace of the crews it is planned with, {by_pace / 60:.1f} h are left" in page.by_pace


def test_the_walk_after_says_what_took_longer(worked):
    """After the walk-through the whole job is told against its estimate, what took longer, and where the rest is shown."""
    then = worked.office.walk_after(4, "Teo Halloran", because="the customer travels tomorrow").then
    view = worked.office.against(4)
    told = next(sentence for sentence in then if sentence.startswith(view.sentence))
    sure = [one for one in view.phases if one.sure and one.likely_min > 1.1 * one.estimated_min]
    assert sure
    assert told.endswith(" took longer.")
    for one in sure[:3]:
        assert f"(about {one.likely_min / 60:.1f} h, estimated {one.estimated_min / 60:.1f} h)" in told
    assert "`crewjobs rates --job 4`" in then[-1]


def test_a_walk_without_hours_says_nothing_of_them(den):
    """What was never typed back is held against nothing; the walk is recorded all the same."""
    done = den.office.walk_after(4, "Teo Halloran", because="the customer travels tomorrow")
    assert not any("estimated" in sentence for sentence in done.then)
    assert den.record().walks


def test_jobs_worked_lately_come_last_first(worked):
    """Each job with hours stands with its own estimate against them; a shop without hours says what brings them."""
    (one,) = worked.office.lately().jobs
    assert one == worked.office.against(4)
    assert one.last == TUESDAY


def test_without_hours_nothing_is_held_against_an_estimate(den):
    """A sentence says what brings it."""
    view = den.office.lately()
    assert not view.jobs
    assert "crewjobs evening" in view.note


def test_a_jobs_page_says_its_hours_by_the_pace_it_is_planned_with(worked):
    """Hours by the book come with what the crews it is planned with take; without hours nothing is said."""
    worked.office.plan()
    page = worked.office.job(4)
    with worked.office._database.reading() as uow:
        paces, record = problem_of(uow, worked.clock.now()).paces, uow.job(4)
        crews = {n: one.crew for one in uow.latest_plan().placements for n in one.tasks}
    left = sum(t.estimate.expected * paces.of(crews[t.number], 4, t.number) for t in record.tasks if t.open)
    assert f"by the pace of the crews it is planned with, {left / 60:.1f} h are left" in page.by_pace
    assert "`crewjobs rates --job 4`" in page.by_pace


def test_without_hours_a_jobs_page_is_by_the_book_alone(den):
    """Nothing is said of a pace nobody knows."""
    assert den.office.job(4).by_pace == ""


def test_ticked_work_of_which_no_hours_were_told_is_said(demo_file):
    """The figures are of part of the job, and say of which part nothing is known."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    view = office.job_pace(10).against
    assert view.sentence.startswith("By the hours that were told it took ")
    assert re.search(r"No hours were told of \d+ ticked tasks \(.*demolition", view.note)
