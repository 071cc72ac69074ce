"""What a crew's page says of its day when that has gone by: what is recorded, and that the rest is what had been planned."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database

MONDAY, FRIDAY = date(2026, 3, 2), date(2026, 2, 27)
WEDNESDAY = DEMO_NOW + timedelta(days=2)
TO_COME = ("today", "Back by", "Start ", "Nothing to load", "no work of", "ask the shop")


def office_at(file: Path, moment=WEDNESDAY) -> Office:
    return Office(open_database(file, create=False), FixedClock(moment), who="tester", follows=True)


def told(office: Office, day: date, crew: str = "Birch") -> str:
    return " ".join(office.day_plan_text(day, crew).split())


def test_what_was_done_on_a_day_without_a_plan_is_told(demo_file: Path) -> None:
    """Birch was at jobs 4 and 11 before the first plan: its page has their hours and ticks, and not that nothing was planned."""
    page = told(office_at(demo_file), FRIDAY)
    assert "No plan of Fri 27 Feb is kept: * Job 4 " in page
    assert "Birch 14:30–15:30, 3 people" in page
    assert "The plan has no house on this day." in page
    assert not [words for words in TO_COME if words in page]
    free = told(office_at(demo_file), date(2026, 2, 22))  # a Sunday
    assert "* Birch was off. * No plan of Sun 22 Feb is kept, and nothing is recorded of Birch that day." in free


def test_a_planned_day_of_which_nothing_is_ticked_says_so(demo_file: Path) -> None:
    """On Wednesday Monday's page has its times as planned ones; on Monday itself it is as ever."""
    then, page = told(office_at(demo_file, DEMO_NOW), MONDAY), told(office_at(demo_file), MONDAY)
    assert "gone by" not in then
    assert "Lunch 12:00–12:30 Back by " in then
    assert "This day has gone by: all but the ticks stands here as it was planned." in page
    assert "tasks planned for Birch at job 11 was ticked for it. * No hours of Birch are recorded for it." in page
    assert "* None of the " in page
    assert "Planned start 07:00 shop Planned lunch 12:00–12:30 Planned back by " in page
    assert "LOAD BEFORE LEAVING" in page
    sub = told(office_at(demo_file), MONDAY, "Hazel")
    assert "The task" in sub or "None of the " in sub
    assert "No hours of" not in sub  # a sub is not asked for any


def test_a_day_whose_rest_is_planned_anew_tells_no_way_back(demo_file: Path) -> None:
    """Ticked on Wednesday for Monday, the plan has the rest elsewhere: all has the place it had, a way back and a load none."""
    office = office_at(demo_file)
    house, *_ = office.site_day("Birch", MONDAY).houses
    (done, planned) = next(task.number for task in house.tasks if not task.hold), len(house.tasks)
    office.tick(house.job, [done], at="2026-03-02 13:00")
    page = told(office, MONDAY)
    assert "gone by, and the plan was made anew since: its work stands here where the day's plan had it." in page
    assert f"Ticked for it: 1 of {planned} tasks planned for Birch at job {house.job}." in page
    assert page.count("DONE") >= 1
    assert page.count("NOT TICKED: Moved to ") == planned - 1
    assert not [words for words in (*TO_COME, "Planned back by", "LOAD", "by the clock;", "Drive:") if words in page]


def test_a_day_all_of_which_is_planned_anew_tells_what_had_been_planned(demo_file: Path) -> None:
    """Nothing of it is ticked and the plan has it elsewhere: it is not said that no house was planned."""
    office = office_at(demo_file)
    planned = [len(one.tasks) for one in office.site_day("Birch", MONDAY).houses]
    office.plan(stop=lambda: True)
    page = told(office, MONDAY)
    assert (
        "This day has gone by, and the plan was made anew since: its work stands here where the day's plan had it."
        in page
    )
    assert f"None of the {sum(planned)} tasks planned for Birch at job 11 was ticked for it." in page
    assert "house is planned" not in page
    assert "no house on this day" not in page
    assert page.count("NOT TICKED: ") == sum(planned)


def test_a_visit_of_a_day_gone_by_is_told_as_one_not_made(demo_file: Path) -> None:
    """The lead's page of Monday on Wednesday: planned times, and that nobody recorded the visit."""
    office = office_at(demo_file, DEMO_NOW)
    office.plan_visit(8, "measuring", at="2026-03-02 15:00")
    lead = next(row.who for row in office.week().days[0].small if row.job == 8)
    assert "gone by" not in told(office, MONDAY, lead)
    page = told(office_at(demo_file), MONDAY, lead)
    assert "This day has gone by: this visit is not recorded as made; times are as they were planned." in page
    assert "Planned back by " in page


def test_other_hours_and_who_was_out_are_told_of_that_day_and_not_of_today(demo_file: Path) -> None:
    """Half a Monday for Cedar, one of Birch sick: on Monday both are so today, on Wednesday they were so that day."""
    office = office_at(demo_file, DEMO_NOW)
    office.hours("Cedar", MONDAY, "7:30-12:00")
    office.away("Tobiah", MONDAY, because="sick")
    hours, out = (
        "Cedar works 07:30-12:00 {} instead of 07:30-12:00, 12:30-16:00.",
        "Tobiah Lund of Birch is out {} (sick).",
    )
    for moment, when in ((DEMO_NOW, "today"), (WEDNESDAY, "that day")):
        then = office_at(demo_file, moment)
        assert hours.format(when) in told(then, MONDAY, "Cedar")
        assert out.format(when) in told(then, MONDAY)
