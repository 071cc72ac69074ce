"""Nobody types at seven in the morning: today's work counts as far as it would be by the plan, for the planner only."""

from __future__ import annotations

import shutil
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from crewjobs.domain.house_ready import Other, ReadyItem
from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_wall
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.clock import FixedClock
from crewjobs.services.office import Office
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.repair import holds
from crewjobs.storage.database import open_database
from tests import thorough
from tests.builders import CENTRAL, central

TODAY, TOMORROW = date(2026, 3, 2), date(2026, 3, 3)


@pytest.fixture
def demo_file(demo_by_book: Path, tmp_path: Path) -> Path:
    """The demo planned nearly by the book: what moves here moves from that one plan."""
    return Path(shutil.copy(demo_by_book, tmp_path / "demo.sqlite3"))


def office_at(path: Path, moment: str) -> Office:
    """The demo shop at a time of its first day; its plan follows."""
    at = central(TODAY.isoformat(), moment)
    return Office(open_database(path, create=False), FixedClock(at), who="tester", follows=True)


def begun(path: Path, moment: datetime) -> dict[tuple[int, int], tuple[str, bool]]:
    """Who is taken to have begun what nobody has ticked, and whether it is taken as done."""
    with open_database(path, create=False).reading() as uow:
        stored = {(r.job.number, t.number): t for r in uow.live_jobs() for t in r.tasks}
        problem = problem_of(uow, moment)
    return {
        (record.job.number, task.number): (task.crew, not task.open)
        for record in problem.jobs
        for task in record.tasks
        if task.started_at is not None and stored[record.job.number, task.number].started_at is None
    }


def test_a_tick_of_one_crew_leaves_the_others_mornings_alone(demo_file: Path) -> None:
    """At nine Cedar ticks; what the others were to begin at seven is taken to run: no new plan, nothing moves."""
    office = office_at(demo_file, "09:00")
    before = office.week()
    first = next(visit for day in before.days if day.day == TODAY for visit in day.visits if visit.crew == "Cedar")
    done = office.tick(first.job, first.tasks[:1], at="09:00")
    assert done.plan is None, done.then
    assert office.week().days == before.days or office.week().plan_number == before.plan_number


@pytest.mark.parametrize("moment", ["09:00", "12:00", "16:45"])
def test_what_the_plan_has_done_by_now_is_taken_as_done_and_stays_in_the_plan(demo_file: Path, moment: str) -> None:
    """Each presumed task was planned to begin by then with that crew; done ones keep their place in the next plan."""
    at = central(TODAY.isoformat(), moment)
    with open_database(demo_file, create=False).reading() as uow:
        plan = uow.latest_plan()
    assert plan is not None
    planned = {(p.key.job, task): p for p in plan.placements for task in p.tasks}
    taken = begun(demo_file, at)
    assert taken
    for key, (crew, _) in taken.items():
        assert planned[key].crew == crew
        assert planned[key].start <= at
    office = office_at(demo_file, moment)
    office.away("Ines", TOMORROW, because="sick")  # hits Birch's tomorrow: a new plan
    with open_database(demo_file, create=False).reading() as uow:
        after = uow.latest_plan()
    assert after is not None
    assert after.number > plan.number
    still = {(p.key.job, task): p for p in after.placements for task in p.tasks}
    for key, (crew, done) in taken.items():
        if done:
            assert (still[key].crew, still[key].start) == (crew, planned[key].start)


def test_a_house_answered_not_ready_has_begun_nothing(demo_file: Path) -> None:
    """Job 2 is planned for the morning; answered not ready, none of it is taken to have begun."""
    office = office_at(demo_file, "09:00")
    assert any(job == 2 for job, _ in begun(demo_file, central(TODAY.isoformat(), "09:00")))
    office.ready(2, asked="the customer", answers=Answers(not_ready=(ReadyItem.POWER,)))
    assert not any(job == 2 for job, _ in begun(demo_file, central(TODAY.isoformat(), "09:00")))


def test_a_crew_that_is_not_there_has_begun_nothing(demo_file: Path) -> None:
    """All of Rowan is out today: its morning is not taken to have begun, and the plan does not wait for it today."""
    office = office_at(demo_file, "06:45")
    for name in ("Silas", "Noor"):
        office.away(name, TODAY, because="sick")
    at = central(TODAY.isoformat(), "09:00")
    assert "Rowan" not in {crew for crew, _ in begun(demo_file, at).values()}


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_as_the_clock_runs_nothing_moves(demo_file: Path) -> None:
    """From the morning to the evening of a day on which nobody records anything, a repair is the plan in force itself."""
    with open_database(demo_file, create=False).reading() as uow:
        plan = uow.latest_plan()
        assert plan is not None
        moments = [central(TODAY.isoformat(), f"{hour:02}:{minute:02}") for hour in range(7, 18) for minute in (5, 30)]
        assert [at for at in moments if not holds(uow, plan, at)] == []


def test_what_was_begun_on_friday_is_done_when_the_plan_has_it_done(demo_file: Path) -> None:
    """Task 35 of job 10 was begun on Friday and is planned to its end on Monday: by the evening it counts as done."""
    with open_database(demo_file, create=False).reading() as uow:
        stored = uow.job(10).task(35)
        evening = problem_of(uow, central(TODAY.isoformat(), "17:30"))
        night = problem_of(uow, central(TOMORROW.isoformat(), "06:00"))
    assert stored.open
    assert stored.started_at is not None
    (of_evening,), (of_night,) = (
        [r.task(35) for r in problem.jobs if r.job.number == 10] for problem in (evening, night)
    )
    assert of_evening.done_at is not None
    assert of_evening.started_at == stored.started_at
    assert of_night.open


def test_an_evening_sheet_of_one_crew_loses_no_promise_of_the_others(demo_file: Path) -> None:
    """Cedar types its sheet at half past five, the others have not yet: what they were to do today counts as done."""
    office = office_at(demo_file, "17:30")
    (house,) = {v.job for d in office.week().days if d.day == TODAY for v in d.visits if v.crew == "Cedar"}
    tasks = [t for d in office.week().days if d.day == TODAY for v in d.visits if v.crew == "Cedar" for t in v.tasks]
    done = office.tick(house, sorted(set(tasks)), at="17:00")
    assert not any("would be lost" in words for words in done.then), done.then
    assert office.week().stale == ""


def test_a_finished_job_is_never_late(demo_file: Path) -> None:
    """All of job 10 is ticked a day before its promise, which the plan had for a day after: it is not late."""
    office = office_at(demo_file, "17:30")
    office.edit(10, office.job(10).version, {"promised": TODAY.isoformat()})
    office.pin(10, [45], "Cedar", date(2026, 3, 5))
    assert next(row for row in office.jobs(everything=True) if row.number == 10).late
    office.tick(
        10, [task.number for task in office.job(10).tasks if task.state not in ("done", "not needed")], at="17:00"
    )
    row = next(row for row in office.jobs(everything=True) if row.number == 10)
    assert (row.late, row.planned_finish) == (False, None)


def test_yesterdays_work_is_not_taken_for_granted(demo_file: Path) -> None:
    """On Tuesday at six nothing of Monday counts as begun that nobody ticked."""
    assert begun(demo_file, central(TOMORROW.isoformat(), "06:00")) == {}


def test_a_crew_wholly_out_tomorrow_goes_on_today(demo_file: Path) -> None:
    """Rowan has begun at job 2; both are out on Tuesday: what is left of today's work stays today."""
    office = office_at(demo_file, "10:00")
    row = next(v for d in office.week().days if d.day == TODAY for v in d.visits if v.crew == "Rowan")
    office.start(row.job, row.tasks[0], crew="Rowan", at="07:00")
    for name in ("Silas", "Noor"):
        office.away(name, TOMORROW, because="sick")
    with office._database.reading() as uow:
        plan = uow.latest_plan()
    assert plan is not None
    days = {to_wall(CENTRAL, p.start).date() for p in plan.placements if p.crew == "Rowan" and p.key.job == row.job}
    assert TODAY in days
    assert TOMORROW not in days


def test_what_is_overdue_today_stays_planned_and_tomorrow_has_no_date(demo_file: Path) -> None:
    """The laboratory's answer for job 3 is promised for Tuesday 10:00: an hour later it is still expected, on Wednesday not."""
    with open_database(demo_file, create=False).reading() as uow:
        out = next(w for w in uow.job(3).waiting_on if w.who is Other.LABORATORY)
        assert out.promised is not None
        later, next_day = out.promised + timedelta(hours=1), out.promised + timedelta(days=1)
        barred = [{task for job, task in problem_of(uow, at).impossible if job == 3} for at in (later, next_day)]
        still = {task.number for task in uow.job(3).tasks if task.open} & set(out.holds)
    assert still
    assert not still & barred[0]
    assert still <= barred[1]


@pytest.mark.parametrize(
    ("moment", "said", "follows"), [("09:00", "10 %", True), ("15:00", "10 %", True), ("08:30", "80 %", False)]
)
def test_what_somebody_said_today_outranks_the_plan(demo_file: Path, moment: str, said: str, follows: bool) -> None:
    """Tile that comes up far slower than planned is followed, before and after its planned end; what is on time is not.

    With a tenth of it up at three, when the crew was to be gone, nothing after it counts as begun.
    """
    office = office_at(demo_file, moment)
    tile = next(t.number for t in _record(demo_file, 11).tasks if t.open and t.started_at and "tile" in t.title)
    done = office.how_far(11, tile, said)
    assert (done.plan is not None) == follows, done.then
    taken = begun(demo_file, central(TODAY.isoformat(), "15:05"))
    after = {link.after for link in _record(demo_file, 11).links if link.before == tile}
    if moment == "15:00":
        assert not any((11, number) in taken for number in after)
        assert not taken.get((11, tile), ("", False))[1]


def _record(path: Path, job: int) -> JobRecord:
    with open_database(path, create=False).reading() as uow:
        return uow.job(job)
