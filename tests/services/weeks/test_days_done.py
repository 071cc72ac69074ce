"""What a crew did of its day stays on its list, whatever the plan made anew holds."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from crewjobs.cli.week import week_text
from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.engines.planning.layout import TaskTime
from crewjobs.paper.wording import between as on_paper
from crewjobs.screens.widgets.site_day import draw_day, next_task
from crewjobs.screens.words import between
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.services.pages.crew_houses import as_planned
from crewjobs.services.pages.page import _drives
from crewjobs.services.rows import WeekDay
from crewjobs.services.weeks.days_done import _with_done
from crewjobs.services.weeks.visits import Stretch, planned
from crewjobs.services.weeks.week import _visit
from crewjobs.storage.database import open_database
from tests.builders import record, task

TODAY = date(2026, 3, 2)


@pytest.fixture
def office(demo_by_book: Path, tmp_path: Path) -> Office:
    """The demo at 09:20 of its Monday; its plan follows."""
    path = Path(shutil.copy(demo_by_book, tmp_path / "demo.sqlite3"))
    clock = FixedClock(DEMO_NOW + timedelta(hours=2, minutes=50))
    return Office(open_database(path, create=False), clock, who="tester", follows=True)


def listed(office: Office, crew: str) -> list[tuple[int, list[int]]]:
    """The day on site: of each house its job and its tasks in their order."""
    return [(house.job, [task.number for task in house.tasks]) for house in office.site_day(crew).houses]


def test_a_day_ticked_ahead_stays_on_the_list_when_the_plan_gives_it_up(office: Office) -> None:
    """The plan follows the ticks and holds nothing more of today: On site, the page and the evening's sheet all do."""
    before = listed(office, "Cedar")
    [(job, tasks)] = before
    done = office.tick(job, tasks, because="the customer helped")
    assert done.plan is not None, "the plan is another one now"
    day = office.site_day("Cedar")
    assert listed(office, "Cedar") == before
    assert {task.state for house in day.houses for task in house.tasks} == {"done"}
    page = office.day_plan_text(TODAY, "Cedar")
    assert f"job {job}" in page
    assert page.count("[x] DONE ") == len(tasks)
    sheet = office.evening_sheet("Cedar", TODAY)
    assert [(house.job, {line.task for line in house.lines}) for house in sheet.houses] == [(job, set(tasks))]
    office.undo()
    assert listed(office, "Cedar") == before
    assert "done" not in {task.state for house in office.site_day("Cedar").houses for task in house.tasks}


def test_a_block_said_to_be_in_part_done_keeps_each_task_its_pace(demo_made: Path, tmp_path: Path) -> None:
    """What is done of a block stays in the plan that follows, which is read again by every page and planned anew from."""
    path = Path(shutil.copy(demo_made, tmp_path / "demo.sqlite3"))
    clock = FixedClock(datetime(2026, 3, 2, 17, 45, tzinfo=UTC))
    office = Office(open_database(path, create=False), clock, who="tester", follows=True)
    before = office.week()
    assert office.how_far(11, 13, "40 %").plan is not None
    assert office.week().plan_number > before.plan_number
    assert office.day_plan_text(TODAY, "Birch")
    with open_database(path, create=False).reading() as uow:
        plan = uow.latest_plan()
    assert plan is not None
    cut = [one for one in plan.placements if one.key.job == 11 and one.pace]
    assert cut
    assert all(len(one.pace) == len(one.tasks) for one in cut)


def found_mold(office: Office) -> None:
    """Birch finds mold in the only house of its day."""
    office.found(11, "house", "mold", area="12")


def test_what_a_finding_takes_from_a_day_stays_on_the_list_as_on_hold(office: Office) -> None:
    """The plan has nothing more of that house today; the crew still sees its page's work, held, and never that all is ticked."""
    (before,) = listed(office, "Birch")
    office.tick(11, [6])
    found_mold(office)
    (house,) = office.site_day("Birch").houses
    assert {task.number for task in house.tasks} == set(before[1])
    assert {task.number for task in house.tasks if task.state == "done"} == {6}
    assert all(task.taken and task.hold and not task.moved for task in house.tasks if task.state != "done")
    shown = "\n".join("".join(piece.text for piece in line) for line in draw_day(office.site_day("Birch"), 40))
    assert "All is ticked" not in shown
    assert f"1 of {len(before[1])} ticked" in shown
    assert "Call the office" in " ".join(shown.split())


def test_a_house_that_is_held_before_anything_is_ticked_stays_on_the_list(office: Office) -> None:
    """Nothing of it is done or planned any more: it is on the day's list all the same."""
    (before,) = listed(office, "Birch")
    found_mold(office)
    (house,) = office.site_day("Birch").houses
    assert {task.number for task in house.tasks} == set(before[1])
    assert all(task.hold for task in house.tasks if task.taken)
    office.undo()
    assert listed(office, "Birch") == [before]


def test_what_is_planned_for_another_day_since_says_where_it_went(office: Office) -> None:
    """Everybody of the crew is out for the rest of the day: its work is moved, and the list says to whom or to when."""
    (job, tasks) = listed(office, "Cedar")[0]
    for worker in ("Maeve Ostrow", "Dario Nkemelu"):
        office.away(worker, TODAY)
    day = office.site_day("Cedar")
    rows = [task for house in day.houses for task in house.tasks if task.job == job]
    assert {task.number for task in rows} == set(tasks)
    assert all(task.moved.startswith("moved to ") or task.hold for task in rows)
    assert any(task.moved for task in rows)


def piece(job: int, task: int, start: int, end: int) -> TaskTime:
    """A task from one full hour to another."""
    at = datetime(2026, 3, 2, tzinfo=UTC)
    return TaskTime(
        job=job, task=task, start=at + timedelta(hours=start), end=at + timedelta(hours=end), people=(0,), part=1
    )


def day_of(stands: list[TaskTime], done: list[TaskTime]) -> list[tuple[int, int, int, list[int]]]:
    """The houses of a day as job, hours and tasks."""
    numbers = dict.fromkeys(one.job for one in (*stands, *done))
    records = {
        number: record([task(one.task, minutes=60) for one in (*stands, *done) if one.job == number], number=number)
        for number in numbers
    }
    at = [Stretch(record=records[one.job], crew="Birch", pieces=(one,)) for one in stands]
    made = _with_done("Birch", at, [(records[one.job], one) for one in done])
    return [(s.record.job.number, s.start.hour, s.end.hour, [p.task for p in s.pieces]) for s in made]


def test_what_is_done_stands_at_its_house_or_in_its_place_of_the_day() -> None:
    """Done ahead of the rest of a house it comes before it there; a house that is all done stands where it was."""
    assert day_of([piece(1, 2, 9, 11)], [piece(1, 1, 7, 9)]) == [(1, 7, 11, [1, 2])]
    assert day_of([piece(1, 2, 9, 11)], [piece(1, 1, 10, 11)]) == [(1, 9, 11, [1, 2])]
    assert day_of([piece(2, 1, 10, 12)], [piece(1, 1, 7, 9)]) == [(1, 7, 9, [1]), (2, 10, 12, [1])]
    assert day_of([piece(2, 1, 8, 9)], [piece(1, 1, 7, 8), piece(1, 2, 9, 10)]) == [
        (1, 7, 8, [1]),
        (2, 8, 9, [1]),
        (1, 9, 10, [2]),
    ]


def test_nobody_is_at_two_houses_when_work_was_done_early() -> None:
    """Job 1 was planned 9 to 12 and is done; the plan has job 2 from 9 on: the day still goes from one to the other."""
    day = day_of([piece(3, 1, 7, 9), piece(2, 1, 9, 12)], [piece(1, 1, 9, 10), piece(1, 2, 10, 12)])
    assert [job for job, *_ in day] == [3, 2, 1]
    assert all(before[2] <= after[1] for before, after in pairwise(day))


def test_the_week_keeps_what_was_done(office: Office) -> None:
    """Days that are over, and today's, show what was ticked, in the plan made anew as well; it is not to be moved."""
    [(job, tasks)] = listed(office, "Cedar")
    office.tick(job, tasks, because="the customer helped")
    today = office.week().days[0]
    [visit] = [one for one in today.visits if one.crew == "Cedar"]
    assert (visit.job, visit.done, visit.begun, visit.tasks, visit.reason) == (job, True, False, (), "")
    assert any(not one.done and one.tasks for one in today.visits)
    column = next(one for one in office.week_sheet().columns if one.crew == "Cedar")
    assert [(one.job, one.marks) for one in column.days[0].visits] == [(job, ("done",))]


def test_a_visit_that_has_no_time_left_is_shown_when_it_was_done(office: Office) -> None:
    """Ticked at 11:30 while the plan had the crew elsewhere until 13:08: told once, as no span of nothing, and nobody drives there."""
    at, cut = datetime(2026, 3, 2, 17, 30, tzinfo=UTC), datetime(2026, 3, 2, 19, 8, tzinfo=UTC)
    with office._database.reading() as uow:
        found = planned(uow)
    assert found is not None
    [first] = found.day("Birch", TODAY)
    done = found.records[10]
    tasks = tuple(
        replace(one, started_at=at, done_at=at) if one.number == 35 else one for one in done.tasks if one.number in {35}
    )
    one = TaskTime(job=10, task=35, start=cut, end=cut, people=(0,), part=1)
    nothing = Stretch(record=replace(done, tasks=tasks, links=()), crew="Birch", pieces=(one,))
    visit = _visit(found, nothing, TODAY, at)
    assert visit.done
    assert [f"{moment:%H:%M}" for moment in (visit.start, visit.end)] == ["11:30", "11:30"]
    week = replace(office.week(), days=(WeekDay(day=TODAY, off=(), visits=(visit,), waits=()),))
    assert "Birch    11:30        job 10" in week_text(week)
    assert between(visit.start, visit.end) == "11:30"
    assert on_paper(visit.start.time(), visit.end.time()) == "11:30"
    legs = [
        leg.what
        for leg in _drives(found, [as_planned(one, gone=False, since=one.start) for one in (first, nothing)], None)
    ]
    assert legs == ["Shop to House 1", "House 1 to shop"]


def test_on_the_page_of_a_day_gone_by_what_is_ticked_for_it_stays_and_the_rest_is_left_to_tick(office: Office) -> None:
    """On Friday Monday's work is ticked for Monday: the plan has the rest elsewhere by now, which may be done all the same."""
    [(job, tasks)] = listed(office, "Birch")
    friday = Office(office._database, FixedClock(DEMO_NOW + timedelta(days=4)), who="tester", follows=True)
    first = next(number for number in tasks if not office.site_day("Birch").houses[0].tasks[tasks.index(number)].hold)
    friday.tick(job, [first], at="2026-03-02 13:00")
    (house,) = friday.site_day("Birch", TODAY).houses
    rows = {task.number: task for task in house.tasks}
    assert set(rows) == set(tasks)
    assert rows[first].state == "done"
    rest = [row for number, row in rows.items() if number != first]
    assert not any(row.taken or row.moved for row in rest)
    assert any(row.by_now.startswith("moved to ") for row in rest)
    planned = {task.number: task.until for house in office.site_day("Birch").houses for task in house.tasks}
    assert {number: row.until for number, row in rows.items()} == planned  # when that day's plan had each done
    shown = "\n".join("".join(piece.text for piece in line) for line in draw_day(friday.site_day("Birch", TODAY), 40))
    assert "nothing else is left" not in shown
    assert "› moved to " in shown


def test_what_was_open_on_a_later_day_was_not_done_on_one_gone_by(office: Office) -> None:
    """On Tuesday half of it is said, another is begun at ten on Monday: the one is not asked for Monday, the other not before ten."""
    [(job, tasks)] = listed(office, "Birch")
    rows = {task.number: task for house in office.site_day("Birch").houses for task in house.tasks}
    half, begun = [number for number in tasks if not rows[number].hold][:2]
    hour = max(rows[begun].until, "10:00")
    tuesday = Office(office._database, FixedClock(DEMO_NOW + timedelta(days=1, hours=2)), who="tester")
    tuesday.how_far(job, half, "50 %")
    tuesday.start(job, begun, at=f"2026-03-02 {hour[:2]}:59")
    (house,) = tuesday.site_day("Birch", TODAY).houses
    now = {task.number: task for task in house.tasks}
    assert "50 % was said Tue 3 Mar" in now[half].not_yet
    assert (now[begun].not_yet, now[begun].until) == ("", f"{hour[:2]}:59")
    with pytest.raises(Refused, match=re.escape(now[half].not_yet)):
        tuesday.tick(job, [half], at=f"2026-03-02 {rows[half].until}")
    with pytest.raises(Refused, match="cannot be done before that"):
        tuesday.tick(job, [begun], at=f"2026-03-02 {hour[:2]}:58")
    assert not any(task.not_yet for house in tuesday.site_day("Birch").houses for task in house.tasks)
    tuesday.tick(job, [begun], at=f"2026-03-02 {now[begun].until}")


def test_a_crew_is_told_of_its_days_before_at_houses_it_does_not_go_to(office: Office) -> None:
    """Cedar's Monday and Tuesday were never ticked: its Friday, with no visit, says so in a sentence for each house."""
    friday = Office(office._database, FixedClock(DEMO_NOW + timedelta(days=4)), who="tester")
    day = friday.site_day("Cedar", TODAY + timedelta(days=4))
    told = {words.partition(",")[0] for words in day.earlier} | {
        f"Job {house.job}" for house in day.houses if house.earlier
    }
    assert {f"Job {job}" for job, _ in listed(office, "Cedar")} <= told
    assert all("not ticked: tick what is done on the page of its day" in words for words in day.earlier)
    assert friday.site_day("Cedar", TODAY).earlier == ()
    assert office.site_day("Cedar").earlier == ()
    assert day.unticked is not None
    assert (day.unticked.since, day.unticked.own) == (TODAY, TODAY)
    of_monday = [
        t for house in friday.site_day("Cedar", day.unticked.own).houses for t in house.tasks if t.state != "done"
    ]
    assert 0 < len(of_monday) < day.unticked.tasks
    assert friday.site_day("Cedar", TODAY).unticked is None
    assert office.site_day("Cedar").unticked is None


def test_one_record_on_tuesday_does_not_make_forget_what_monday_left(office: Office) -> None:
    """The plan follows what one task is on Tuesday and has all of Monday's work anew: the rest of it is led to all the same.

    Until it is ticked for Monday, or known to be worked on a later day.
    """
    [(job, tasks)] = listed(office, "Birch")
    tuesday = Office(office._database, FixedClock(DEMO_NOW + timedelta(days=1, hours=2)), who="tester", follows=True)
    before = tuesday.site_day("Birch").unticked
    assert before is not None
    first, *rest = tasks
    assert tuesday.how_far(job, first, "50 %", because="the house was open").plan is not None
    then = tuesday.site_day("Birch").unticked
    assert then is not None
    assert (then.since, then.own) == (TODAY, TODAY)
    assert then.tasks == before.tasks - 1 == len(rest)
    assert {t.number for house in tuesday.site_day("Birch", TODAY).houses for t in house.tasks} == set(tasks)
    tuesday.tick(job, [first], because="it is done")
    tuesday.tick(job, rest[1:], at="2026-03-02 15:00", because="it was done")
    last = tuesday.site_day("Birch").unticked
    assert last is not None
    assert (last.tasks, last.own) == (1, TODAY)
    tuesday.tick(job, rest[:1], because="it is done")
    assert tuesday.site_day("Birch").unticked is None


def test_what_is_under_way_stands_since_when_the_crew_is_at_it_and_is_next(demo_made: Path, tmp_path: Path) -> None:
    """Half of the tile is up at 10:40, which puts off the rest of the day: its page still has the crew there since seven.

    The slab test, which the plan before had begun by then, has not begun: the crew is behind with what came before it.
    """
    path = Path(shutil.copy(demo_made, tmp_path / "demo.sqlite3"))
    clock = FixedClock(datetime(2026, 3, 2, 16, 40, tzinfo=UTC))
    office = Office(open_database(path, create=False), clock, who="tester", follows=True)
    (before,) = [house for house in office.site_day("Birch").houses if house.job == 11]
    at_work = before.tasks[0]
    later = [task.number for task in before.tasks if at_work.until <= task.time < "10:40"]
    assert at_work.state == "under way"
    assert later, "the plan has something begun by now that comes after it"
    assert office.how_far(11, at_work.number, "50 %").plan is not None
    day = office.site_day("Birch")
    (house,) = [house for house in day.houses if house.job == 11]
    assert (house.arrive, house.tasks[0].number, house.tasks[0].time) == (before.arrive, at_work.number, at_work.time)
    assert next_task(day) == house.tasks[0]
    assert all(task.taken or task.time >= "10:40" for task in house.tasks if task.number in later)
    assert all(task.taken or task.time >= "10:40" for task in house.tasks if task.state == "to do")


def test_a_job_called_off_during_the_day_stays_on_the_crews_list_with_its_hours(office: Office) -> None:
    """No other plan was needed for it: the house is what the crew was at, and its sheet is still to be typed."""
    before = listed(office, "Birch")
    [(job, [first, *rest])] = before
    office.tick(job, [first], at="9:00", because="it went fast")
    number = office.week().plan_number
    office.edit(job, office.job(job).version, {"state": "called off"})
    assert office.week().plan_number == number, "the plan in force still has it"
    [house] = office.site_day("Birch").houses
    assert (house.job, {task.number for task in house.tasks}) == (job, {first, *rest})
    assert {task.number for task in house.tasks if task.state == "done"} == {first}
    left = [task for task in house.tasks if task.number != first]
    assert {(task.taken, task.moved, task.ended) for task in left} == {(True, "the job is called off", "called off")}
    assert (house.recorded, house.earlier) == ("", "")
    office.evening("Birch", TODAY, EveningEntry(houses=(HouseEntry(house=1, stop="9:15", pause="0"),)))
    [house] = office.site_day("Birch").houses
    assert "–09:15, " in house.recorded
    office.undo()
    office.undo()
    assert listed(office, "Birch") == before


def test_a_job_called_off_before_a_day_is_not_on_its_list(office: Office) -> None:
    """The plan in force has it on the days to come too: they were not given to the crew any more."""
    [(job, _)] = listed(office, "Birch")
    office.edit(job, office.job(job).version, {"state": "called off"})
    later = Office(office._database, FixedClock(DEMO_NOW + timedelta(days=1)), who="tester", follows=True)
    with office._database.reading() as uow:
        plan = uow.latest_plan()
    assert plan is not None
    assert any(one.key.job == job and one.start.date() == date(2026, 3, 3) for one in plan.placements)
    assert job not in [of for of, _ in listed(later, "Birch")]
    assert job in [house.job for house in later.site_day("Birch", TODAY).houses], "that of its day it stays on"
