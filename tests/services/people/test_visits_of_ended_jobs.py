"""Small visits booked at a job that is called off or done afterwards: who goes, and what its customer is told of it."""

from __future__ import annotations

from datetime import date

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database

WEDNESDAY = date(2026, 3, 4)
INES = "Ines Varga"


@pytest.fixture
def demo(demo_file) -> Office:
    return Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester")


def state(office: Office, job: int, to: str) -> tuple[str, ...]:
    with office._database.reading() as uow:
        version = uow.job(job).version
    return office.edit(job, version, {"state": to}).then


def goes(office: Office) -> dict[str, bool]:
    """Return whether Ines goes to job 12 on Wednesday by each that says so."""
    week = next(day for day in office.week(DEMO_NOW.date()).days if day.day == WEDNESDAY)
    try:
        noticed = any(one.day == WEDNESDAY for one in office.notice(12).days)
    except Refused:
        noticed = False
    calendars = {
        name: office.look_at_calendars(**of).calendars[0]
        for name, of in (("crew", {"crew": INES}), ("job", {"job": 12}))
    }
    return {
        "week": any(row.who == INES and row.job == 12 for row in week.small),
        "day plan": f"{INES} at job 12" in office.day_plan_text(WEDNESDAY, "Birch"),
        "notice": noticed,
        **{name: bool(row.events) for name, row in calendars.items()},
    }


def test_nobody_goes_to_a_job_that_is_called_off_and_all_say_so(demo):
    """Neither week nor pages nor calendars send anybody; who was to go is to be told; booked again, they go again."""
    demo.plan_visit(12, "measuring", at="2026-03-04 09:00", who=INES)
    assert all(goes(demo).values())
    told = f"Measuring, Wed 4 Mar 09:00, 60 min, {INES}: nobody goes; tell {INES} and Priya Halloran."
    assert told in demo.if_called_off(12)
    assert told in state(demo, 12, "called off")
    assert not any(goes(demo).values())
    assert demo.job(12).small_visits[-1].endswith("not made: the job is called off")
    with pytest.raises(Refused, match="nobody goes there"):
        demo.plan_visit(12, "measuring", at="2026-03-05 09:00", who=INES)
    state(demo, 12, "booked")
    assert all(goes(demo).values())


def test_a_visit_that_was_made_stays_in_the_week(demo):
    """It happened, whatever became of the job."""
    demo.plan_visit(12, "measuring", at="2026-03-02 09:00", who=INES, leaves_crew=True)
    later = Office(demo._database, FixedClock(DEMO_NOW.replace(hour=18)), who="tester")
    later.visit_done(12, "measuring")
    state(later, 12, "called off")
    monday = later.week(DEMO_NOW.date()).days[0]
    assert [row.job for row in monday.small if row.who == INES] == [12]


def test_the_notice_of_a_done_job_with_a_visit_tells_the_visit_alone(demo):
    """No room, no toilet and no delivery of work that is not done any more; no finish that was told before."""
    before = demo.notice(2)
    assert before.out
    assert before.toilets
    assert before.fixtures
    state(demo, 2, "done")
    demo.plan_visit(2, "punch list", at="2026-03-04 10:00")
    notice = demo.notice(2)
    assert [one.day for one in notice.days] == [WEDNESDAY]
    assert notice.ready == ("Somebody there to let us in",)
    for told in (notice.out, notice.toilets, notice.fixtures, notice.comes, notice.cautions):
        assert told == ()
    assert (notice.finish, notice.told, notice.no_day) == (None, None, "")


def test_a_delivery_is_not_told_to_the_customer_of_a_done_job(demo):
    """What is still on its way is for the shop to stop."""
    assert demo.notice(12).comes
    state(demo, 12, "done")
    demo.plan_visit(12, "punch list", at="2026-03-04 10:00")
    assert not demo.notice(12).comes


def test_a_floor_that_still_cures_is_told_with_the_visit(demo):
    """Called done, it is laid all the same: until it may be walked on the visit's notice says so."""
    numbers = [task.number for task in demo.job(4).tasks if task.state != "done"]
    demo.tick(4, numbers, because="all of it is done")
    state(demo, 4, "done")
    demo.plan_visit(4, "punch list", at="2026-03-04 10:00")
    assert {one.room for one in demo.notice(4).out} == {"family room", "entry"}
