"""What a crew's page keeps of a day whose plan was made anew since: the house it was sent to, and where its work is now."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from crewjobs.domain.wall import to_utc
from crewjobs.files.evening_text import read_form
from crewjobs.services.clock import FixedClock
from crewjobs.services.office import Office
from crewjobs.services.rows import Visit
from crewjobs.services.weeks.at_house import at_house
from crewjobs.services.weeks.days_done import DaysDone
from crewjobs.services.weeks.under_way import left_at
from crewjobs.services.weeks.visits import planned
from crewjobs.storage.database import open_database

MONDAY, TUESDAY = date(2026, 3, 2), date(2026, 3, 3)
NOTHING = ("Nothing is planned", "No house is planned", "None listed", "no house on this day")
LEFT_AT_NINE = "House 1, job 11\nStarted 07:15 Stopped 09:10\n"
ELSEWHERE = "House 1, job 4\nStarted 10:00 Stopped 11:00\n"
SHEET = (
    "House 1, job 11\nStarted 07:20 Stopped 15:10\n[ x ] 11 x\n[ done 10:40 ] 6 x\n[ 60 of 120 ft2 ] 13 x\n[ x ] 12 x\n"
)


def office_at(file: Path, day: date, clock: str) -> Office:
    hour, _, minute = clock.partition(":")
    moment = to_utc("America/Chicago", day, int(hour) * 60 + int(minute))
    return Office(open_database(file, create=False), FixedClock(moment), who="tester", follows=True)


def told(office: Office, day: date = MONDAY, crew: str = "Birch") -> str:
    return " ".join(office.day_plan_text(day, crew).split())


def visits(office: Office, day: date = MONDAY, crew: str = "Birch") -> list[Visit]:
    return [one for of_week in office.week().days if of_week.day == day for one in of_week.visits if one.crew == crew]


def in_week(office: Office, day: date = MONDAY, crew: str = "Birch") -> list[tuple[int, str, str]]:
    return times(visits(office, day, crew))


def times(of_day: list[Visit]) -> list[tuple[int, str, str]]:
    return [(one.job, f"{one.start:%H:%M}", f"{one.end:%H:%M}") for one in of_day]


def in_evening(office: Office, day: date = MONDAY, crew: str = "Birch") -> list[tuple[int, str, str]]:
    return [(house.job, house.start, house.stop) for house in office.evening_sheet(crew, day).houses]


def monday_ticked(file: Path) -> None:
    """Tick what Monday's plan has, as planned: Tuesday's is then the plan's as it stands."""
    office = Office(open_database(file, create=False), FixedClock(to_utc("America/Chicago", MONDAY, 15 * 60)), who="t")
    for job, tasks in ((10, (31, *range(34, 46))), (11, (6, *range(11, 19))), (14, range(14, 23))):
        office.tick(job, tasks)


@pytest.fixture
def found(demo_file: Path) -> Path:
    """Birch found something at nine that stops all of job 11: the plan has it on Friday since."""
    office_at(demo_file, MONDAY, "09:00").found(11, "front room", "suspect asbestos", by="Ines")
    return demo_file


def test_a_house_that_was_stopped_stays_on_the_page_of_today(found: Path) -> None:
    """The crew stands in it: the stop, the cautions and the lines for hours are still there, and no task is for today."""
    page = told(office_at(found, MONDAY, "09:05"))
    assert not [words for words in NOTHING if words in page]
    assert "HOUSE 1 07:15–09:00 Job 11" in page
    assert "Found: front room: suspect asbestos, Mon 2 Mar 09:00. Stop there" in page
    assert (
        "House 1: times by the plans of today, no hours are recorded. * No more is planned for this crew today." in page
    )
    assert "Started ____" in page
    assert page.count("NOT TODAY: Moved to ") == 9
    assert "How far" not in page
    assert "[ ] Hammer drill" not in page


def test_week_sheet_and_evening_say_one_time_of_a_house_that_was_stopped(found: Path) -> None:
    """At 09:10 Birch has no more to do: it was at job 11 until nine everywhere, and blank times are recorded so."""
    office = office_at(found, MONDAY, "09:10")
    assert "07:15–09:00 House 1, job 11" in told(office)
    assert in_week(office) == [(11, "07:15", "09:00")]
    assert in_evening(office) == [(11, "07:15", "09:00")]
    (visit,) = visits(office)
    assert visit.what == "stopped: demolition and subfloor prep (front room and back room)"
    assert visit.reason == "stopped 09:00, the rest moved to Fri 6 Mar"
    assert visit.tasks == ()


def test_what_was_ticked_before_a_stop_does_not_end_the_house(demo_file: Path) -> None:
    """Half an hour after its one task that is done Rowan was stopped: it was there until then."""
    office_at(demo_file, TUESDAY, "07:45").tick(2, [5])
    office = office_at(demo_file, TUESDAY, "08:00")
    office.found(2, "back hall", "rot")
    assert "07:15–08:00 House 1, job 2" in told(office, TUESDAY, "Rowan")
    assert in_week(office, TUESDAY, "Rowan") == in_evening(office, TUESDAY, "Rowan") == [(2, "07:15", "08:00")]


def test_who_did_the_rest_after_a_part_was_stopped_was_not_stopped_then(demo_file: Path) -> None:
    """The slab of the family room is wet at 9:50; Birch lays the entry by half past twelve: only a part of job 4 was stopped."""
    monday_ticked(demo_file)
    office_at(demo_file, TUESDAY, "09:50").found(4, "family room", "wet slab", by="Ines")
    office = office_at(demo_file, TUESDAY, "12:45")
    office.tick(4, [25, 26, 30], at="2026-03-03 12:30")
    visit = next(one for one in visits(office, TUESDAY) if one.job == 4)
    assert f"{visit.end:%H:%M}" > "10:05"
    assert visit.reason == "part of it stopped 09:50, the plan has no place for the rest"


def test_a_drive_is_no_work_at_the_house_before_it(found: Path) -> None:
    """Sent on at 09:05, Birch drives to job 4: the house it was stopped in ended at nine, nobody has it work in the truck."""
    office_at(found, MONDAY, "09:05").pin(4, [25], "Birch", MONDAY)
    office = office_at(found, MONDAY, "09:10")
    page = told(office)
    assert "07:15–09:00 House 1, job 11 09:00–09:45 Drive: House 1 to House 2 10:00–" in page
    assert in_week(office)[0] == in_evening(office)[0] == (11, "07:15", "09:00")
    assert in_week(office)[1][:2] == in_evening(office)[1][:2] == (4, "10:00")


def test_a_stop_where_nothing_was_ticked_has_one_hour_everywhere(demo_file: Path) -> None:
    """Cedar's first task is not ticked when a live wire stops it at 10:40, told at eleven: the house ends then, that day and after."""
    office = office_at(demo_file, TUESDAY, "11:00")
    office.found(1, "living", "live wire or pipe", at="2026-03-03 10:40")
    the_next_day = office_at(demo_file, date(2026, 3, 4), "07:00")
    for then in (office, the_next_day):
        assert "07:45–10:40 House 1, job 1" in told(then, TUESDAY, "Cedar")
        first, _ = visits(then, TUESDAY, "Cedar")
        assert times([first]) == in_evening(then, TUESDAY, "Cedar")[:1] == [(1, "07:45", "10:40")]
        assert first.reason == "stopped 10:40, the plan has no place for the rest"
    with open_database(demo_file, create=False).reading() as uow:
        plan = planned(uow)
        assert plan is not None
        now = to_utc("America/Chicago", TUESDAY, 11 * 60 + 5)
        assert left_at(DaysDone(uow, plan, TUESDAY, TUESDAY, now), "Cedar", 1, now) == to_utc(
            "America/Chicago", TUESDAY, 10 * 60 + 40
        )


def test_who_worked_on_in_the_house_before_is_at_one_house_only(demo_file: Path) -> None:
    """Sent on to job 10 from 12:30, Cedar did the rest of job 1 by 15:10: it was there until then, on that day and after."""
    office_at(demo_file, TUESDAY, "11:30").tick(1, range(5, 15), at="2026-03-03 11:20")
    office = office_at(demo_file, TUESDAY, "15:10")
    office.tick(1, [15, 16, 17])
    the_next_day = office_at(demo_file, date(2026, 3, 4), "07:00")
    for then in (office, the_next_day):
        page = told(then, TUESDAY, "Cedar")
        assert "07:45–15:10 House 1, job 1" in page
        assert (
            "House 2 was planned from 12:30: by what is recorded the crew was in the house before until 15:10." in page
        )
        first, *after = visits(then, TUESDAY, "Cedar")
        assert times([first]) == in_evening(then, TUESDAY, "Cedar")[:1] == [(1, "07:45", "15:10")]
        assert times(after) == (
            [] if then is office else [(10, "12:30", "15:27")]
        )  # the plan has it on Wednesday since
        assert f"{then.site_day('Cedar', TUESDAY).houses[0].leave:%H:%M}" == "15:10"
    assert after[0].reason == "not there by then: recorded in the house before until 15:10"
    with open_database(demo_file, create=False).reading() as uow:
        plan, now = planned(uow), to_utc("America/Chicago", TUESDAY, 15 * 60 + 15)
        assert plan is not None
        days = DaysDone(uow, plan, TUESDAY, TUESDAY, now)
        at = at_house(plan, days, "Cedar", now)
        assert at is not None
        assert at.job == 1
        assert left_at(days, "Cedar", 10, now) is None


def test_who_worked_on_a_little_goes_on_after_the_drive(demo_file: Path) -> None:
    """Cedar did the rest of job 1 by 13:10: job 10, planned from 12:30, is its next house after the drive of 25 minutes."""
    office_at(demo_file, TUESDAY, "11:30").tick(1, range(5, 15), at="2026-03-03 11:20")
    office = office_at(demo_file, TUESDAY, "13:10")
    office.tick(1, [15, 16, 17])
    assert "07:45–13:10 House 1, job 1 12:00–12:30 Lunch 13:10–13:35 Drive: House 1 to House 2 13:45–" in told(
        office, TUESDAY, "Cedar"
    )
    assert [house[:2] for house in in_evening(office, TUESDAY, "Cedar")] == [(1, "07:45"), (10, "13:45")]


def test_a_crew_drives_on_from_a_house_whose_job_was_called_off(demo_file: Path) -> None:
    """At 10:40 Cedar stands at job 1: it is 15 minutes to the shop and 10 from there to job 10, where it has work under way."""
    office = office_at(demo_file, TUESDAY, "10:40")
    office.edit(1, office.job(1).version, {"state": "called off"})
    first, second = visits(office, TUESDAY, "Cedar")
    assert times([first, second]) == [(1, "07:45", "10:40"), (10, "11:15", "15:45")]
    assert first.reason == "stopped 10:40, the job is called off"
    ten = next(row for row in office.offers("Cedar") if row.job == 10)
    assert f"{ten.arrive:%H:%M}" == "11:15"
    assert "10 min drive, back at the shop 10:55" in ten.why


def test_a_house_whose_job_was_called_off_ends_then_though_no_plan_follows(demo_file: Path) -> None:
    """Nothing else moves for it: an hour later Cedar is at the shop since, on page, week, evening sheet, calendar and in offers."""
    office = office_at(demo_file, MONDAY, "10:10")
    office.edit(10, office.job(10).version, {"state": "called off"})
    then = office_at(demo_file, MONDAY, "11:10")
    (visit,) = visits(then, MONDAY, "Cedar")
    assert times([visit]) == in_evening(then, MONDAY, "Cedar") == [(10, "07:45", "10:10")]
    assert visit.reason == "stopped 10:10, the job is called off"
    assert "07:45–10:10 House 1, job 10" in told(then, MONDAY, "Cedar")
    assert not [row.why for row in then.offers("Cedar") if "back at the shop" in row.why]
    with open_database(demo_file, create=False).reading() as uow:
        plan, now = planned(uow), to_utc("America/Chicago", MONDAY, 11 * 60 + 10)
        assert plan is not None
        assert plan.plan.number == 1
        left = left_at(DaysDone(uow, plan, MONDAY, MONDAY, now), "Cedar", 10, now)
        assert left == to_utc("America/Chicago", MONDAY, 10 * 60 + 10)


def test_nobody_drives_to_a_house_whose_work_was_moved_before_the_crew_came(demo_file: Path) -> None:
    """Birch was to be at job 11 from 14:00; moved to Wednesday at 10:35, it is told as not today, and the way back is from job 4."""
    monday_ticked(demo_file)
    office = office_at(demo_file, TUESDAY, "10:35")
    office.pin(11, [7, 19], "Birch", date(2026, 3, 4))
    page = told(office, TUESDAY)
    assert "not today House 2, job 11" in page
    assert "Drive: House 1 to shop" in page
    assert "House 1 to House 2" not in page
    assert "House 2: times by the plans of today" not in page
    assert [job for job, *_ in in_week(office, TUESDAY)] == [4]


def test_a_crew_that_told_it_left_comes_back_to_the_house_by_the_shop(demo_file: Path) -> None:
    """Rowan left job 2 at 10:15, what it did last ticked for then; told at two, it is sent there again after the drive from the shop."""
    office_at(demo_file, TUESDAY, "08:10").tick(2, [5], at="2026-03-03 08:00")
    office = office_at(demo_file, TUESDAY, "14:00")
    office.evening("Rowan", TUESDAY, read_form("House 1, job 2\nStarted 07:20 Stopped 10:15\n[ x ] 8 x\n", "sheet"))
    first, again = visits(office, TUESDAY, "Rowan")
    assert times([first, again]) == [(2, "07:20", "10:15"), (2, "14:30", "16:30")]
    assert [one.recorded for one in (first, again)] == ["07:20–10:15, 2 people: 5.8 h of one person", ""]
    page = told(office, TUESDAY, "Rowan")
    assert "07:20–10:15 House 1, job 2 10:15–10:35 Drive: House 1 to shop" in page
    assert "14:10–14:30 Drive: Shop to House 2 14:30–16:30 House 2, job 2" in page
    assert [start for _, start, _ in in_evening(office, TUESDAY, "Rowan")] == ["07:15", "14:30"]


def test_what_was_done_before_its_time_is_not_to_come(found: Path) -> None:
    """The last of nine tasks is ticked at 09:02 in a house that was stopped: it is not planned for the afternoon any more."""
    last = 18
    office = office_at(found, MONDAY, "09:02")
    office.tick(11, [last], because="looked at")
    then = office_at(found, MONDAY, "09:06")
    assert in_week(then) == [(11, "07:15", "09:02")]
    assert "07:15–09:02 House 1, job 11" in told(then)


def test_a_crew_sent_on_after_a_dry_run_keeps_the_house_it_stood_in(demo_file: Path) -> None:
    """No power at job 11, so Birch goes on to job 4: both are on its page, the first until it was turned away, with what stopped it."""
    office_at(demo_file, MONDAY, "07:30").dry_run(11, "Birch", "no power in the house")
    office_at(demo_file, MONDAY, "07:40").pin(4, [25], "Birch", MONDAY)
    page = told(office_at(demo_file, MONDAY, "07:45"))
    assert "07:15–07:30 House 1, job 11 07:30–08:15 Drive: House 1 to House 2 08:45–09:05 House 2, job 4" in page
    assert "Start 07:00 shop Back by 09:35" in page
    first, _, second = page.partition("HOUSE 2")
    assert first.count("NOT TODAY: The plan has no place for it now: call the office.") == 9
    assert "ASK FIRST: The house is not ready: there is no power or water" in first
    assert "NOT TODAY" not in second
    assert "[ ] Oscillating saw and blades" in page
    assert "[ ] Hammer drill" not in page


def test_hours_recorded_today_stand_on_its_page(found: Path) -> None:
    """Birch left at ten past nine: its page has that in the place of planned times and of the blanks for them."""
    office_at(found, MONDAY, "15:45").evening("Birch", MONDAY, read_form(LEFT_AT_NINE, "sheet"))
    page = told(office_at(found, MONDAY, "15:50"))
    assert "HOUSE 1 07:15–09:10 Job 11" in page
    assert "Recorded: 07:15–09:10, 3 people" in page
    assert "Started ____" not in page
    assert "no hours are recorded" not in page
    assert not [words for words in NOTHING if words in page]


def test_what_was_left_in_the_evening_is_told_with_how_far_it_is(demo_file: Path) -> None:
    """Three of nine tasks are ticked, one is halfway: the page has all nine, and no way back at the hour the plan gives."""
    office_at(demo_file, MONDAY, "15:40").evening("Birch", MONDAY, read_form(SHEET, "sheet"))
    page = told(office_at(demo_file, MONDAY, "17:00"))
    assert "HOUSE 1 07:20–15:10 Job 11" in page
    assert "Recorded: 07:20–15:10, 30 min of it break, 3 people: 22.0 h of one person; task 13 60 of 120 ft²" in page
    assert page.count(" DONE ") == 3
    assert "NOT TODAY: 60 of 120 ft², the rest moved to Tue 3 Mar." in page
    assert page.count("NOT TODAY: Moved to Tue 3 Mar.") == 5
    assert "Back by" not in page
    assert "by the clock;" not in page


def test_work_taken_from_a_house_that_goes_on_has_no_time_of_its_own(demo_file: Path) -> None:
    """The front room's tile is out at nine; the slab test is another day's: its line comes last, and the house goes on as planned."""
    office = office_at(demo_file, MONDAY, "09:00")
    office.pin(11, [6], "Birch", TUESDAY)
    page = told(office)
    lines = office.day_plan_text(MONDAY, "Birch").splitlines()
    place = next(place for place, line in enumerate(lines) if line.startswith("      [ ] Slab moisture test set"))
    assert "NOT TODAY: Moved to " in " ".join(lines[place : place + 3])
    assert not [line for line in lines[place + 1 :] if "[ ] Front room" in line or "[ ] Back room" in line]
    assert "Start 07:00 shop" in page
    assert "Back by " in page
    assert "Started ____" in page
    assert "No more is planned" not in page


def test_hours_at_a_house_no_plan_had_are_told(demo_file: Path) -> None:
    """Rowan has nothing on Monday and was at job 4 for an hour: its page says so, and not that there was nothing."""
    office = office_at(demo_file, MONDAY, "15:45")
    assert "* Nothing is planned for this crew today." in told(office, crew="Rowan")
    office.evening("Rowan", MONDAY, read_form(ELSEWHERE, "sheet"))
    page = told(office, crew="Rowan")
    assert "* Job 4 Family room and entry on slab: Rowan 10:00–11:00, 2 people: 2.0 h of one person." in page
    assert "* No more is planned for this crew today." in page
    assert "Nothing is planned" not in page


@pytest.mark.parametrize("crew", ["Birch", "Hazel"])
def test_the_page_of_a_day_gone_by_has_the_house_it_counts_tasks_of(found: Path, crew: str) -> None:
    """Stopped by what was found, or planned anew since nobody ticked it: nine tasks of a house are named, and stand there."""
    office = office_at(found, TUESDAY, "06:30")
    office.plan(stop=lambda: True)
    job = {"Birch": 11, "Hazel": 14}[crew]
    page = told(office_at(found, TUESDAY, "06:50"), crew=crew)
    assert f"None of the 9 tasks planned for {crew} at job {job} was ticked for it." in page
    assert not [words for words in NOTHING if words in page]
    assert f"Job {job}" in page
    assert page.count("NOT TICKED: ") == 9
    assert "NOT TODAY" not in page
