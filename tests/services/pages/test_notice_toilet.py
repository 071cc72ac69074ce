"""What a customer and the lead are told of toilets and sinks whose room is shut, or whose floor has no day."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import date

import pytest

from crewjobs.domain.wall import to_utc
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.findings.kept_out import NOBODY_GOES_IN
from crewjobs.services.office import Office
from crewjobs.services.pages.notice_fixtures import CALL, OPEN_AGAIN, SHUT, UNSHUT, toilets_out
from crewjobs.services.pages.notice_no_day import NOT_KNOWN
from crewjobs.services.pages.notice_rooms import SHUT as ROOM_SHUT
from crewjobs.services.pages.notice_rooms import SHUT_OFF
from crewjobs.services.weeks.overnight import stair_warnings, toilet_warnings
from crewjobs.services.weeks.visits import planned
from crewjobs.storage.database import open_database

WEDNESDAY = to_utc("America/Chicago", date(2026, 3, 4), 10 * 60 + 40)
MONDAY = date(2026, 3, 2)


def at(path, moment=DEMO_NOW) -> Office:
    return Office(open_database(path, create=False), FixedClock(moment), who="tester")


def agree(office: Office, job: int) -> list[str]:
    return [one for one in office.week(MONDAY).warnings if one.startswith(f"Job {job} ")]


def test_the_page_of_a_small_visit_tells_of_a_shut_room(demo_file):
    """Whoever looks in for half an hour reads what was found, in a house with work left and in one that is done."""
    office = at(demo_file)
    office.found(2, "bath", "suspect asbestos")
    office.plan_visit(2, "site check", who="Adela Whitcomb", at="2026-03-04 10:00", minutes=30)
    page = " ".join(office.day_plan_text(date(2026, 3, 4), "Adela Whitcomb").split())
    assert "bath: suspect asbestos, Mon 2 Mar 06:30. Stop there, air handler off, door shut" in page
    assert "presumed to hold asbestos" in page
    office.edit(2, office.job(2).version, {"state": "done"})
    office.plan_visit(2, "punch list", who="Adela Whitcomb", at="2026-03-05 13:00", minutes=30)
    page = " ".join(office.day_plan_text(date(2026, 3, 5), "Adela Whitcomb").split())
    assert "bath: suspect asbestos, found Mon 2 Mar 06:30, is not settled. Stop there, air handler off" in page
    assert "presumed to hold asbestos" in page


def test_a_toilet_behind_a_shut_room_is_out_of_use_too(demo_file):
    """The bath opens from the back hall alone: nobody walks through it, so the toilet is cut off, and the bath is told so."""
    office = at(demo_file)
    said = office.found(2, "back hall", "suspect asbestos").then
    assert any("bath, cut off by what was found on the way there: out of use from now" in one for one in said)
    notice = office.notice(2)
    (toilet,) = notice.toilets
    assert (toilet.room, toilet.out, toilet.back) == ("bath", SHUT, OPEN_AGAIN)
    rooms = {one.room: one.out for one in notice.out}
    assert rooms["back hall"] == ROOM_SHUT
    assert rooms["bath"] == SHUT_OFF
    office.way_on(2, "back hall", "suspect asbestos", "proven clear", laboratory="L", sampled="2026-03-02", sample="1")
    assert SHUT_OFF not in {one.out for one in office.notice(2).out}


@pytest.mark.parametrize("kind", ["live wire", "rot"])
def test_a_toilet_behind_a_place_nobody_steps_on_is_out_of_use_whatever_the_kind(demo_file, kind):
    """No shut door but hands off, or nobody on it: the way there is as little one; for the crew as for the customer."""
    with closing(sqlite3.connect(demo_file)) as file, file:
        file.execute("update site set crew_toilet = 1 where job = 2")
    office = at(demo_file)
    said = office.found(2, "back hall", kind).then
    assert any("bath, cut off by what was found on the way there: out of use from now" in one for one in said)
    notice = office.notice(2)
    (toilet,) = notice.toilets
    assert (toilet.room, toilet.out, toilet.back) == ("bath", SHUT, OPEN_AGAIN)
    assert {one.room: one.out for one in notice.out}["bath"] == SHUT_OFF
    assert any("bath is cut off by what was found" in line for line in office.job(2).site_lines)


def test_a_finding_where_no_work_is_left_is_told_to_whoever_comes(demo_file):
    """Everything there is ticked, the job is not closed: what was found is there as before, and the looks leave that room out."""
    office = at(demo_file)
    office.found(2, "bath", "suspect asbestos")
    with closing(sqlite3.connect(demo_file)) as file, file:
        file.execute("update task set done_at = '2026-03-02 12:00:00' where job = 2")
    office.plan_visit(2, "measuring", who="Adela Whitcomb", at="2026-03-04 10:00", minutes=30)
    page = " ".join(office.day_plan_text(date(2026, 3, 4), "Adela Whitcomb").partition("HOUSE 2")[0].split())
    assert "bath: suspect asbestos, found Mon 2 Mar 06:30, is not settled. Stop there, air handler off" in page
    assert "presumed to hold asbestos" in page
    assert (
        f"Lift a corner or a vent: every layer to the subfloor, and the year each went in - not in bath: {NOBODY_GOES_IN}"
        in page
    )


def test_nobody_who_goes_there_is_sent_to_a_toilet_that_is_shut(demo_file):
    """A page's line of the crew's toilet is as of what was found, and what would be looked at in such a room is on hold."""
    with closing(sqlite3.connect(demo_file)) as file, file:
        assert file.execute("update site set crew_toilet = 1 where job = 2").rowcount == 1
    office = at(demo_file)
    office.found(2, "back hall", "suspect asbestos")
    office.plan_visit(2, "measuring", who="Adela Whitcomb", at="2026-03-04 10:00", minutes=30)
    page = " ".join(office.day_plan_text(date(2026, 3, 4), "Adela Whitcomb").partition("HOUSE 2")[0].split())
    assert "the only one listed cannot be used, bath is cut off by what was found: rented toilet" in page
    assert "ask first" not in page
    assert page.count(f"ON HOLD: {NOBODY_GOES_IN}") == 4
    assert any("bath is cut off by what was found" in line for line in office.job(2).site_lines)
    office.way_on(2, "back hall", "suspect asbestos", "proven clear", laboratory="L", sampled="2026-03-02", sample="1")
    page = " ".join(office.day_plan_text(date(2026, 3, 4), "Adela Whitcomb").partition("HOUSE 2")[0].split())
    assert "in the house, ask first" in page
    assert NOBODY_GOES_IN not in page


def test_the_only_toilet_in_a_room_that_is_shut_is_out_of_use_from_now(demo_file):
    """Not from next week, and back on no day; what is used meanwhile is asked for at once, of customer and lead."""
    office = at(demo_file)
    (before,) = office.notice(2).toilets
    assert before.out.startswith("about")
    assert before.meanwhile == "Meanwhile: rented toilet beside the garage."
    said = office.found(2, "bath", "suspect asbestos").then
    assert any(one.startswith("The only toilet listed is in bath, shut") and "needed at once" in one for one in said)
    notice = office.notice(2)
    (toilet,) = notice.toilets
    assert (toilet.room, toilet.out, toilet.back) == ("bath", SHUT, UNSHUT)
    assert "rented toilet beside the garage, needed from now on: please call us at once" in toilet.meanwhile
    assert [(one.out, one.back) for one in notice.fixtures] == [(SHUT, UNSHUT)]
    (warning,) = agree(office, 2)
    assert (
        "out of use from now until it is settled; meanwhile: rented toilet beside the garage, needed at once" in warning
    )


def test_where_nothing_is_agreed_a_shut_toilet_asks_for_a_call(demo_file):
    """And a toilet of another room that is not shut serves the house meanwhile."""
    office = at(demo_file)
    office.found(2, "bath", "suspect asbestos")
    with office._database.reading() as uow:
        record, found = uow.job(2), planned(uow)
    site = replace(record.job.site, toilet_meanwhile="")
    bare = replace(record, job=replace(record.job, site=site))
    (toilet,) = toilets_out(found, bare, {}, DEMO_NOW, {})
    assert toilet.meanwhile == f"Meanwhile: {CALL}."
    hall = next(room for room in record.job.rooms if room.name == "back hall")
    bath = next(room for room in record.job.rooms if room.name == "bath")
    rooms = (bath, replace(hall, fixtures=bath.fixtures))
    two = replace(bare, job=replace(bare.job, rooms=rooms))
    (toilet,) = toilets_out(found, two, {}, DEMO_NOW, {})
    assert (toilet.room, toilet.meanwhile) == ("bath", "Meanwhile: another toilet in the house stays.")


def test_what_stands_on_a_floor_without_a_day_has_none_either(demo_file):
    """Nothing is ticked and the floor's days are gone by: its toilet is not promised for the day after."""
    office = at(demo_file, WEDNESDAY)
    notice = office.notice(2)
    bath = next(one for one in notice.out if one.room == "bath")
    assert NOT_KNOWN in bath.walk
    assert [one.back for one in (*notice.toilets, *notice.fixtures)] == [NOT_KNOWN, NOT_KNOWN]


def test_the_week_says_that_such_times_were_planned_and_not_ticked(demo_file):
    """Of a toilet's as of stairs' times; on the day before there is nothing to tick."""
    with at(demo_file)._database.reading() as uow:
        found = planned(uow)
    late = ", as it was planned: work planned to be done by now is not ticked"
    assert late not in " ".join((*toilet_warnings(found, DEMO_NOW, MONDAY), *stair_warnings(found, DEMO_NOW, MONDAY)))
    (toilet,) = (one for one in toilet_warnings(found, WEDNESDAY, MONDAY) if one.startswith("Job 2 "))
    assert f"to Thu 5 Mar 12:45{late}; meanwhile" in toilet
    after = to_utc("America/Chicago", date(2026, 3, 20), 12 * 60)
    (stairs,) = stair_warnings(found, after, MONDAY)
    assert f"to Thu 26 Mar 10:30{late}, nights included" in stairs


def test_stairs_that_are_shut_are_told_from_now(demo_file):
    """Nobody steps on them, whenever the plan would have closed them."""
    office = at(demo_file)
    (before,) = agree(office, 5)
    assert "cannot be used from Thu 19 Mar" in before
    office.found(5, "house", "live wire")
    (now,) = (one for one in agree(office, 5) if "main stairs" in one)
    assert "main stairs shut for what was found there, from now until it is settled" in now


def test_where_only_cartons_are_in_the_house_nothing_is_left_of_our_work(demo_file):
    """The toilet is not agreed and the floor has no day: cartons lie in the house and nothing of the work was begun, so it is the floor."""
    with closing(sqlite3.connect(demo_file)) as file, file:
        assert file.execute("update site set toilet_meanwhile = '' where job = 2").rowcount == 1
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)
    office.plan()
    assert office.notice(2).no_day == (
        "Your floor has no day yet: a rented toilet or nights away are first to be agreed with you, please call us. "
        "We tell you as soon as it has a day."
    )
    office.tick(2, [5])
    assert office.notice(2).no_day.startswith("What is left of our work has no day yet: ")
