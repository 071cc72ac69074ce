"""The plan follows what is recorded: at once, as a change of its own, and without ever costing the record."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.plan import LeftOut
from crewjobs.domain.wall import to_wall
from crewjobs.engines.judging.check import check_plan
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.services.weeks import following
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.repair import broken, repaired
from crewjobs.storage.database import open_database
from tests import thorough


@pytest.fixture
def demo_file(demo_by_book: Path, tmp_path: Path) -> Path:
    """The demo planned nearly by the book: what moves here moves from that one plan."""
    return Path(shutil.copy(demo_by_book, tmp_path / "demo.sqlite3"))


@pytest.fixture
def office(demo_file: Path) -> Office:
    """The demo shop as people open it: its plan follows."""
    return Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)


def test_a_person_out_moves_what_misses_them_and_undo_brings_both_back(office: Office) -> None:
    """Three people planned, two there: the plan follows in the same breath; one undo takes both changes back."""
    before = office.week()
    done = office.away("Ines", office.read_day("tomorrow"), because="sick")
    assert any(words.startswith("The plan follows (plan ") for words in done.then)
    assert not any(words.startswith("Plan again") for words in done.then)
    after = office.week()
    assert after.plan_number == before.plan_number + 1
    assert after.stale == ""
    was, now = (
        {(v.job, v.crew, v.start, v.end, v.tasks) for d in view.days for v in d.visits} for view in (before, after)
    )
    assert {crew for _, crew, *_ in was ^ now} == {"Birch"}, "who is not hit stays"
    office.undo()
    assert office.week() == before


def test_a_tick_on_time_makes_no_new_plan(office: Office) -> None:
    """What was planned first and is done first moves nothing: the plan in force stays, and is not called stale."""
    number = office.week().plan_number
    office.tick(1, [5])
    assert office.week().plan_number == number
    assert office.week().stale == ""


def test_less_than_what_is_told_as_moved_is_kept_all_the_same(office: Office) -> None:
    """Birch stops at one on Thursday, so that its first house goes on on Friday, an hour into the second one's time.

    No visit begins more than an hour later and none is told as moved; but the plan in force is one the crew can work.
    """
    number = office.week().plan_number
    done = office.hours("Birch", date(2026, 3, 5), "7:00-13:00")
    with office._database.reading() as uow:
        problem, plan = problem_of(uow, DEMO_NOW), uow.latest_plan()
    assert plan is not None
    assert plan.number == number + 1
    assert check_plan(problem, plan) == ()
    assert f"The plan follows (plan {plan.number}): no work moves by more than an hour." in done.then


def test_a_planner_that_fails_never_costs_the_record(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    """The tick stands although the plan could not follow, and the answer says why."""

    def refuses(*_: object) -> None:
        raise Refused("the disk is full.")

    monkeypatch.setattr(following, "follow", refuses)
    done = office.tick(1, [5])
    assert done.then[-2] == "This is recorded; the plan could not follow: the disk is full."
    assert done.then[-1].startswith("Do not record it again")
    assert next(task for task in office.job(1).tasks if task.number == 5).state == "done"


def test_without_a_plan_nothing_follows(demo_file: Path) -> None:
    """Before the first plan a tick is a tick."""
    database = open_database(demo_file, create=False)
    office = Office(database, FixedClock(DEMO_NOW), who="tester", follows=True)
    office.undo()  # the demo's plan is its last change
    assert office.week().plan_number == 0
    assert office.tick(1, [5]).sentence.startswith("Job 1: task 5")
    assert office.week().plan_number == 0


@pytest.mark.parametrize("words", [("amend",), ("pin",)])
def test_what_the_lead_sets_is_followed_too(office: Office, words: tuple[str]) -> None:
    """A pin and a blocked day move work at once; what the plan cannot keep is said."""
    if words == ("pin",):
        done = office.pin(6, [20], "Cedar", office.read_day("2026-03-12"))
    else:
        done = office.edit(6, office.job(6).version, {"blocked": "2026-03-09, 2026-03-10, 2026-03-11"})
    assert any(sentence.startswith("The plan follows") for sentence in done.then), done
    assert office.week().stale == ""


def test_a_pin_that_cannot_be_kept_is_said_once_and_its_job_stays_planned(office: Office) -> None:
    """Pinned before its room can be torn out: nothing moves, one sentence says why and where it is, and why names it."""
    before = {(v.job, v.crew, v.start) for d in office.week().days for v in d.visits}
    done = office.pin(6, [30], "Birch", office.read_day("2026-03-03"))
    assert "The plan stays as it is: no work moves." in done.then
    said = [words for words in done.then if "pinned to Birch on Tue 3 Mar, but it waits for the demolition" in words]
    assert [words.startswith("Job 6: ") and "; Birch does it Tue 10 Mar " in words for words in said] == [True]
    assert {(v.job, v.crew, v.start) for d in office.week().days for v in d.visits} == before
    assert any("`crewjobs unpin 6 30` lets it go" in words for words in office.why(6).job.left_out)
    number = office.week().plan_number
    office = Office(office._database, FixedClock(DEMO_NOW + timedelta(minutes=50)), who="tester", follows=True)
    assert not any("pinned to Birch" in words for words in office.tick(1, [5]).then)
    assert office.week().plan_number == number
    assert any(re.match("Job 6: task 30 .*: pinned to Birch on Tue 3 Mar, but", words) for words in office.plan().then)


def test_a_day_that_nobody_ticked_moves_work_on_with_the_crews_it_had(office: Office) -> None:
    """On Tuesday nothing of Monday is ticked: it is done on Tuesday. No half-done house changes its crew for fewer moves."""
    database, at = office._database, DEMO_NOW + timedelta(days=1, minutes=50)
    with database.reading() as uow:
        problem, plan = problem_of(uow, at), uow.latest_plan()
    assert plan is not None
    made, _ = repaired(problem, plan)
    now = {(p.key.job, task): p.crew for p in made.placements for task in p.tasks}
    assert {(p.key.job, task): p.crew for p in plan.placements for task in p.tasks if (p.key.job, task) in now} == now
    assert broken(problem, made) - broken(problem, plan) == {14}  # whose sub comes no more before its promise


def test_what_moves_since_a_day_was_not_ticked_is_told_apart(office: Office) -> None:
    """Tuesday morning, Monday not ticked: what a sick call on Thursday moves is not blamed for what slipped by itself."""
    office = Office(office._database, FixedClock(DEMO_NOW + timedelta(days=1, minutes=15)), follows=True)
    done = office.away("Ines", date(2026, 3, 5), because="sick")
    (head,) = [words for words in done.then if words.startswith("The plan follows")]
    assert "move anyway, since work planned before today is not ticked" in head or "all of it moves anyway" in head
    assert any(words.startswith("Not by this record: job 14 would be late without it") for words in done.then)
    again = office.away("Tobiah", date(2026, 3, 5), because="sick")
    assert not any("anyway" in words or "Not by this record" in words for words in again.then), "it was told once"


@pytest.mark.skipif(not thorough.THOROUGH, reason="half a minute: with CREWJOBS_THOROUGH")
def test_yesterdays_work_typed_in_crew_by_crew_leaves_the_plan_as_it_was(office: Office) -> None:
    """Tuesday morning Monday's work is ticked, one crew after the other: in the end all else is where it was before.

    After the first the plan has the others do it today; it was done, so the plan people know is the one before.
    """
    office = Office(office._database, FixedClock(DEMO_NOW + timedelta(days=1)), follows=True)
    with office._database.reading() as uow:
        first = uow.latest_plan()
    assert first is not None
    of_monday = [p for p in first.placements if p.start.date() == DEMO_NOW.date()]
    for name in dict.fromkeys(placed.crew for placed in of_monday):
        for placed in (one for one in of_monday if one.crew == name):
            end = f"yesterday {to_wall('America/Chicago', placed.end):%H:%M}"
            office.tick(placed.key.job, placed.tasks, at=end, because="typed in the next morning")
    with office._database.reading() as uow:
        last, problem = uow.latest_plan(), problem_of(uow, DEMO_NOW + timedelta(days=1))
    assert last is not None
    assert last.number > first.number, "the plan followed meanwhile"
    was = {(p.key.job, task): (p.crew, p.start, p.end) for p in first.placements for task in p.tasks}
    now = {(p.key.job, task): (p.crew, p.start, p.end) for p in last.placements for task in p.tasks}
    assert {key: place for key, place in now.items() if was[key] != place} == {}
    assert check_plan(problem, last) == ()


def test_work_done_ahead_gives_up_its_place(office: Office) -> None:
    """All of a visit done hours early: its place is void, the crew is said to be free, and nobody is sent there again."""
    with office._database.reading() as uow:
        plan = uow.latest_plan()
    assert plan is not None
    visit = [p for p in plan.placements if p.crew == "Cedar" and p.start.date() == DEMO_NOW.date()]
    (job,) = {placed.key.job for placed in visit}
    tasks = {task for placed in visit for task in placed.tasks}
    office = Office(office._database, FixedClock(visit[0].start + timedelta(minutes=75)), follows=True)
    done = office.tick(job, sorted(tasks), because="it went fast")
    assert any(words.startswith(f"Cedar is done at job {job}, planned to Mon 2 Mar") for words in done.then)
    with office._database.reading() as uow:
        plan = uow.latest_plan()
    assert plan is not None
    assert not any(tasks & set(p.tasks) for p in plan.placements if p.key.job == job)


def test_a_crew_is_not_done_at_a_house_with_more_planned_there_today(office: Office) -> None:
    """Only the first piece of a visit is done early: the crew goes on with the next, and is not said to be free."""
    with office._database.reading() as uow:
        plan = uow.latest_plan()
    assert plan is not None
    today = [p for p in plan.placements if p.start.date() == p.end.date() == DEMO_NOW.date()]
    first = next(
        p
        for p in sorted(today, key=lambda p: p.start)
        if p.end - p.start > timedelta(minutes=45)
        and any(q.start >= p.end and (q.crew, q.key.job) == (p.crew, p.key.job) for q in today)
    )
    office = Office(office._database, FixedClock(first.start + timedelta(minutes=5)), follows=True)
    done = office.tick(first.key.job, first.tasks, because="it went fast")
    assert any("gives up its place" in words or "move" in words for words in done.then), done.then
    assert not any("is done at job" in words for words in done.then)


def test_a_pin_of_work_that_has_no_place_is_said_not_to_be_kept(demo_file: Path) -> None:
    """Job 9 waits for its wood: a pin of its work keeps nothing, once for all tasks that are named, with the reason."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)
    done = office.pin(9, [20, 21], "Birch", date(2026, 3, 3))
    assert done.plan is None
    (said,) = done.then
    assert said.startswith("Not kept: task 20 ")
    assert "are not planned: drift oak is not ordered" in said
    planned = office.pin(1, [20], "Birch", date(2026, 3, 4))
    assert not any(words.startswith("Not kept") for words in planned.then)


def test_a_pin_by_which_work_finds_a_place_is_not_said_to_be_unkept(demo_file: Path, monkeypatch) -> None:
    """What had no place before the pin may have one by it: what is said is what the plan does then."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)
    with office._database.reading() as uow:
        plan = uow.latest_plan()
    assert plan is not None
    mine = next(one for one in plan.placements if 20 in one.tasks and one.key.job == 1)
    left = LeftOut(job=1, tasks=mine.tasks, why="no day has room for it")
    short = replace(
        plan, placements=tuple(one for one in plan.placements if one is not mine), left_out=(*plan.left_out, left)
    )
    with office._database.unit_of_work(who="tester") as uow:
        uow.save_plan(short)
        uow.commit("a plan without it", at=DEMO_NOW)
    done = office.pin(1, [20], mine.crew, date(2026, 3, 4))
    assert done.plan is not None
    assert not any(words.startswith("Not kept") for words in done.then)


def test_a_pin_moves_only_those_in_whose_place_it_is(demo_file: Path) -> None:
    """The pad comes late and Cedar is off on a day; then a callback is pinned to Cedar's full Friday.

    What Cedar has after that goes later, with Cedar: its promise is lost either way. No other crew's work moves, nor is it packed anew "so that the house is open
    fewer days": nothing hit it.
    """
    at = DEMO_NOW.replace(hour=17, minute=30)  # Monday 11:30
    office = Office(open_database(demo_file, create=False), FixedClock(at), who="tester", follows=True)
    office.back_ordered(6, "pad", "2026-03-10")
    office.hours("Cedar", office.read_day("tue"), "off")

    def places() -> set[tuple[int, str, datetime]]:
        with office._database.reading() as uow:
            plan = uow.latest_plan()
        assert plan is not None
        return {(p.key.job, p.crew, p.start) for p in plan.placements}

    before = places()
    office.pin(15, [1], "Cedar", office.read_day("fri"))
    gone, new = before - places(), places() - before
    assert {crew for job, crew, _ in gone | new if job != 15} == {"Cedar"}
    assert [(crew, start.day) for job, crew, start in new if job == 15] == [("Cedar", 6)]
    assert 6 not in {job for job, _, _ in gone | new}


def _hazel_half_done(demo_file: Path) -> Office:
    """The demo on Monday evening: its sub laid 15 of 19 rows, and comes no more for two weeks."""
    evening = FixedClock(DEMO_NOW.replace(hour=23))  # 17:00
    office = Office(open_database(demo_file, create=False), evening, who="tester", follows=True)
    office.how_far(14, 14, "15 of 19 rows")
    return office


def _of_job(office: Office, job: int) -> list[tuple[str, date, tuple[int, ...]]]:
    """Return crew, day and tasks of a job's blocks in the plan in force."""
    with office._database.reading() as uow:
        plan = uow.latest_plan()
    assert plan is not None
    return [(p.crew, p.start.date(), p.tasks) for p in plan.placements if p.key.job == job]


def test_begun_work_that_goes_on_on_another_day_is_told_as_moved(demo_file: Path) -> None:
    """The sub comes for half a Wednesday: what it had begun goes on then, days sooner, and the answer says so."""
    office = _hazel_half_done(demo_file)
    assert {day.day for _, day, _ in _of_job(office, 14)} == {16}
    done = office.hours("Hazel", date(2026, 3, 4), "7:30-12:00")
    assert ("Hazel", date(2026, 3, 4), (14,)) in _of_job(office, 14)
    moved = "Job 14: install, trim and fixtures reset (back bedroom) from Hazel Mon 16 Mar 07:30 to Wed 4 Mar 08:00."
    assert moved in done.then


def test_nobody_drives_to_a_house_for_a_quarter_of_an_hour_and_comes_back_days_later(demo_file: Path) -> None:
    """A day given back draws work begun there, and with it all that the crew has left to do in the house."""
    office = _hazel_half_done(demo_file)
    before = _of_job(office, 14)
    office.hours("Hazel", date(2026, 3, 10), "7:30-16:00")
    after = _of_job(office, 14)
    assert [(crew, tasks) for crew, _, tasks in after] == [(crew, tasks) for crew, _, tasks in before]
    assert {day.day for _, day, _ in after} == {10}


def test_two_facts_in_one_minute_leave_no_block_twice(demo_file: Path) -> None:
    """The second plan of the minute goes on with what ran by the first one: each of today's blocks is in it once."""
    at = DEMO_NOW.replace(hour=17, minute=30)  # Monday 11:30, what ran by then is over or goes on
    office = Office(open_database(demo_file, create=False), FixedClock(at), who="tester", follows=True)
    office.hours("Cedar", office.read_day("tue"), "off")
    office.pin(15, [1], "Cedar", office.read_day("fri"))
    with office._database.reading() as uow:
        plan = uow.latest_plan()
    assert plan is not None
    places = [(task, p.key.job) for p in plan.placements for task in p.tasks]
    assert len(places) == len(set(places))


def test_who_is_left_of_a_crew_goes_on_in_its_house(office: Office) -> None:
    """One of two is sick on the day a house is to be done: the other does there what takes no two, to the last of it.

    What takes two is done the next morning; no other crew takes the house over for fewer moves.
    """
    office.away("Maeve", office.read_day("today"), because="sick")
    today = date(2026, 3, 2)
    done = {task for _, day, tasks in _of_job(office, 10) for task in tasks if day == today}
    assert {crew for crew, *_ in _of_job(office, 10)} == {"Cedar"}
    assert {35, 41, 42} <= done  # the base, the vents, a door
    assert 39 not in done  # the appliances


ASKED = """
number = 31
title = "Den, Quarry Road"
state = "asked"

[customer]
name = "Teo Halloran"

[site]
address = "9 Quarry Road, Marrow Bend"

[[room]]
name = "den"
length = "14 ft"
width = "12 ft"
"""


def test_jobs_that_came_in_asked_are_no_news_of_the_next_record(office: Office, tmp_path: Path) -> None:
    """A list of many is asked for at once; a job that a record takes out of the plan is told."""
    file = tmp_path / "asked.toml"
    file.write_text(ASKED, encoding="utf-8")
    office.load([file])
    said = office.found(14, "passage", "rot").then
    assert any(words.startswith("The plan follows") for words in said)
    assert not any("not booked" in words for words in said)
    done = office.edit(2, office.job(2).version, {"state": "quoted"})
    assert "Job 2: quoted, not booked." in done.then
