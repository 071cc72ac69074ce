"""What leaves the shop while the plan is behind, partly without days, or done; and comings told in the customer's words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from crewjobs.domain.calendar import EventKind
from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Phase
from crewjobs.domain.wall import to_utc
from crewjobs.paper.document_text import document_text
from crewjobs.paper.house_ready import questions_document
from crewjobs.paper.notice import NoticeDay, notice_document
from crewjobs.services.calendars.calendar_events import planned_events
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.jobs.known import READINGS
from crewjobs.services.office import Office
from crewjobs.services.pages.job_record import READ_IN, ROOM_READING
from crewjobs.services.pages.notice_fixtures import fixtures_out
from crewjobs.services.pages.notice_no_day import NOT_KNOWN
from crewjobs.services.pages.notice_rooms import LAID, ONCE_LOOKED
from crewjobs.services.pages.notice_work import together
from crewjobs.services.weeks.gone_by import unsure
from crewjobs.services.weeks.untold import DAYS_COUNT
from crewjobs.services.weeks.visits import planned
from crewjobs.storage.database import open_database

ZONE = "America/Chicago"


def at(path, day: date, minute: int) -> Office:
    """The demo looked at, or written to, at a wall time; its plan follows."""
    clock = FixedClock(to_utc(ZONE, day, minute))
    return Office(open_database(path, create=False), clock, who="tester", follows=True)


def _text(office: Office, page) -> str:
    return " ".join(office.page_text(page).split())


@pytest.fixture(scope="module")
def wednesday(demo_made) -> Office:
    """The demo on Wednesday, nothing ticked since Monday morning; only looked at."""
    return at(demo_made, date(2026, 3, 4), 10 * 60 + 40)


def test_a_notice_on_a_plan_that_is_behind_warns_the_shop_off_the_page(wednesday: Office) -> None:
    """Job 14 was planned for Monday and is not ticked: the shop is told, the customer that its rest has no new day."""
    notice = wednesday.notice(14)
    assert "(since Mon 2 Mar)" in wednesday.behind(14)
    assert "tick what is done, or plan again" in wednesday.behind(14)
    text = _text(wednesday, notice)
    assert "tick" not in text
    assert "What is left of our work has no new day yet" in text
    assert "No day is planned yet" not in text
    assert "14" in wednesday.behind()


def test_nothing_is_promised_and_nothing_past_is_asked_for_on_such_a_plan(wednesday: Office) -> None:
    """Job 2 should have been out of its bath since Tuesday: no finish, no room to clear, nothing to have ready by a day."""
    notice = wednesday.notice(2)
    assert wednesday.behind(2)
    assert notice.days
    assert (notice.finish, notice.told, notice.clear, notice.ready_by) == (None, None, (), None)
    assert "emptied" not in " ".join(notice.ready)


def test_a_plan_that_is_followed_warns_of_nothing(demo_made) -> None:
    """On the morning it was made, and during a day whose work is ticked in the evening."""
    for day, minute in ((date(2026, 3, 2), 6 * 60 + 30), (date(2026, 3, 2), 11 * 60)):
        office = at(demo_made, day, minute)
        assert not office.behind(11)
        assert office.notice(11).finish


def test_a_floor_that_is_done_gets_no_notice(demo_file) -> None:
    """Every task of job 10 is ticked: as of a closed job there is nothing to give notice of; a punch list is."""
    office = at(demo_file, date(2026, 3, 2), 6 * 60 + 30)
    office.tick(10, [31, *range(34, 46)])
    with pytest.raises(Refused, match="no work of it is left"):
        office.notice(10)
    office.walk_after(10, "Ingrid Maldonado", punch=["caulk at the den door"])
    text = _text(office, office.notice(10))
    assert "Our work at your house is done." in text
    assert "caulk at the den door" in text
    assert "HAVE READY" not in text


def test_what_has_no_day_is_told_beside_what_has_one(demo_file) -> None:
    """Rot found in one bedroom of three: the others keep their days, the rest is said to have none, and why."""
    office = at(demo_file, date(2026, 3, 2), 6 * 60 + 30)
    office.found(6, "small bedroom", "rot", area="4 ft2")
    notice = office.notice(6)
    assert notice.days
    assert notice.finish is None
    assert notice.no_day.startswith("The rest of our work has no day yet: what was found in your house")


def test_the_air_is_asked_for_now_where_material_lies(demo_made) -> None:
    """Job 5's oak lies there since February; job 12's maple has not come."""
    office = Office(open_database(demo_made, create=False), FixedClock(DEMO_NOW), who="tester")
    assert "now already, since mill oak lies in your house" in office.notice(5).ready[0]
    assert "now already" in office.ready_questions(5).questions[0].why
    assert "Nothing more is carried in" in document_text(questions_document(office.ready_questions(5)))
    assert "Nothing is carried in" in document_text(questions_document(office.ready_questions(12)))
    assert "now already" not in office.notice(12).ready[0]


def test_a_crew_that_helps_is_no_coming_of_its_own(demo_made) -> None:
    """Job 12, Tuesday 17 March: furniture is brought back between 10:15 and 10:30, within 08:00 to 11:30."""
    office = Office(open_database(demo_made, create=False), FixedClock(DEMO_NOW), who="tester")
    (last,) = [one for one in office.notice(12).days if one.day == date(2026, 3, 17)]
    assert "furniture back in its place" in last.what
    assert last.with_you


def test_comings_of_one_time_are_one_and_those_that_only_touch_stay_two() -> None:
    """One that begins while another is there is told with it, to the later end; another day, or later, is a coming of its own."""
    day = date(2026, 3, 17)

    def coming(start: int, end: int, what: str, day: date = day) -> NoticeDay:
        return NoticeDay(day=day, start=time(start), end=time(end), what=what)

    whole, inside, over = coming(8, 12, "Install (den)"), coming(9, 10, "Cleaned up"), coming(11, 13, "Trim (den)")
    other, after = coming(9, 10, "Cleaned up", day + timedelta(days=1)), coming(13, 14, "Trim (hall)")
    found = together([inside, after, over, other, whole])
    assert [(one.start.hour, one.end.hour, one.what) for one in found] == [
        (8, 13, "Install (den); cleaned up; trim (den)"), (13, 14, "Trim (hall)"), (9, 10, "Cleaned up")
    ]  # fmt: skip


def test_no_notice_says_more_without_saying_of_what(demo_made) -> None:
    """``and 22 more`` of a list of tasks says nothing to a customer; rooms beyond the third are counted as rooms."""
    office = Office(open_database(demo_made, create=False), FixedClock(DEMO_NOW), who="tester")
    for job in (1, 2, 3, 4, 5, 6, 11, 12, 14):
        text = document_text(notice_document(office.notice(job)))
        assert not [line for line in text.splitlines() if line.endswith(" more") or " more)" in line]


@pytest.fixture(scope="module")
def friday(demo_made) -> Office:
    """The demo on Friday, nothing ticked since Monday morning; only looked at."""
    return at(demo_made, date(2026, 3, 6), 8 * 60)


@pytest.mark.parametrize("job", [2, 4, 10])
def test_nothing_that_is_out_comes_back_on_a_day_that_is_past(friday: Office, job: int) -> None:
    """All of these jobs was planned for the days before: what is out has no day to come back, and that is said."""
    notice = friday.notice(job)
    assert not notice.days
    told = [*(one.back for one in (*notice.toilets, *notice.fixtures)), *(one.furnish for one in notice.out)]
    told += [one.walk for one in notice.out if "now" not in one.walk]
    assert [text for text in told if text]
    for text in filter(None, told):
        assert "not planned yet; we tell you" in text
        assert " Mar " not in text


def test_every_room_begun_and_not_finished_is_out_of_use(friday: Office) -> None:
    """Of job 2 nothing is ticked, which was planned since Tuesday; of job 4 the old floor is out, of job 10 the base is left."""
    rooms = {job: [(one.room, one.out) for one in friday.notice(job).out] for job in (2, 4, 10)}
    assert rooms[2][0] == ("bath", "out of use since about Tue 3 Mar 07:45, as it was planned")
    assert rooms[4] == [("family room", "out of use now"), ("entry", "out of use now")]
    assert rooms[10] == [("den", LAID), ("laundry", LAID)]
    assert friday.notice(2).toilets[0].out == "since about Tue 3 Mar 07:45, as it was planned"


def test_a_laying_not_ticked_cures_from_no_day(wednesday: Office) -> None:
    """Job 2's floor was planned for Tuesday; no hour says when a floor that may not lie yet can be walked on."""
    assert {one.walk for one in wednesday.notice(2).out} == {"May be walked on: on a day not planned yet; we tell you."}


@pytest.mark.parametrize("job", [1, 11])
def test_what_comes_after_work_not_ticked_has_no_hour(demo_made, job: int) -> None:
    """On Thursday, nothing ticked since Monday: job 11's laying is planned for today, after tear-out that nobody said is done.

    No room of it is walked on or furnished by an hour, and neither its calendar nor the week has its glue set by one.
    """
    office = at(demo_made, date(2026, 3, 5), 8 * 60 + 30)
    out = office.notice(job).out
    assert {one.walk for one in out} == {"May be walked on: on a day not planned yet; we tell you."}
    assert not any(" Mar " in one.furnish for one in out)
    with office._database.reading() as uow:
        events = planned_events(planned(uow), office.now())
    assert not [one.what for one in events if one.job == job and one.kind is EventKind.READY]
    assert not [one.what for day in office.week().days for one in day.waits if one.job == job]


def test_what_is_still_to_be_taken_out_is_not_said_to_be_out(demo_made) -> None:
    """Job 3's range and its neighbors go out on a day to come, whatever before it is not ticked; nobody knows when they are back."""
    with open_database(demo_made, create=False).reading() as uow:
        found = planned(uow)
    fixtures = list(fixtures_out(found, found.records[3], {}, DEMO_NOW))
    assert fixtures
    assert all(one.out.startswith("about ") for one in fixtures)
    assert all(one.back == NOT_KNOWN for one in fixtures)


def test_what_has_begun_is_reckoned_from_there_whatever_before_it_was_not_ticked(demo_made) -> None:
    """Job 11's back room is under way on Thursday: its glue sets by the plan, and the front room's by no hour."""
    now = to_utc(ZONE, date(2026, 3, 5), 11 * 60 + 30)
    with open_database(demo_made, create=False).reading() as uow:
        found = planned(uow)
    record = found.records[11]
    times = found.task_minutes(record)
    front, back = (t.number for t in record.tasks if t.phase is Phase.INSTALL and t.needs_material)
    begun = [replace(t, started_at=now - timedelta(minutes=10)) if t.number == back else t for t in record.tasks]
    left = unsure(times, replace(record, tasks=tuple(begun)), now)
    assert front in left
    assert back not in left


@pytest.mark.parametrize(("job", "room"), [(1, "living, window half"), (2, "bath")])
def test_no_floor_is_walked_on_now_while_nobody_said_that_it_is_laid(demo_made, job: int, room: str) -> None:
    """On the evening of its laying, nothing ticked: what is told hangs on that, and no clock opens it."""
    noon, evening = (
        next(one for one in at(demo_made, date(2026, 3, 3), minute).notice(job).out if one.room == room)
        for minute in (12 * 60, 17 * 60 + 30)
    )
    assert "not before" in noon.walk
    assert noon.found == ""
    assert evening.found == DAYS_COUNT
    assert "it may be walked on now" not in evening.walk
    assert (ONCE_LOOKED if job == 1 else "not before Wed 4 Mar 16:00") in evening.walk


def test_a_floor_that_was_ticked_is_walked_on_by_the_clock(demo_made) -> None:
    """The laundry of job 10 lay on Friday: by the clock it may be walked on, and the crew says so."""
    (laundry,) = [one for one in at(demo_made, date(2026, 3, 2), 7 * 60).notice(10).out if one.room == "laundry"]
    assert laundry.walk.startswith("By the clock it may be walked on now; the crew says so.")
    assert laundry.out == LAID


def test_the_questions_to_a_house_hold_whether_or_not_its_cartons_came(demo_made) -> None:
    """Job 12's maple was planned for Monday and is not ticked; the page names the next day and says so, and asks at once.

    Job 3's plank was planned for this very morning, which is ticked in the evening. Job 2 has no day any more.
    """
    office = at(demo_made, date(2026, 3, 10), 12 * 60)
    page = office.ready_questions(12)
    text = _text(office, page)
    assert (
        "comes next on Wed 11 Mar, as planned today. If creek maple does not lie in your house yet, it is still" in text
    )
    assert page.answer_by == date(2026, 3, 10)
    assert office.notice(12).no_day == page.late
    assert "If gravel plank does not lie in your house yet" in office.ready_questions(3).late
    assert "has no new day yet" in office.ready_questions(2).late


def test_a_house_that_nothing_is_late_for_is_told_its_first_day_alone(friday: Office) -> None:
    page = friday.ready_questions(12)
    assert page.late == ""
    assert "comes first on Mon 9 Mar, as planned today. ! Please answer today" in _text(friday, page)


def test_nobody_is_invited_to_a_last_day_that_may_not_be_it(demo_made) -> None:
    """Job 1's walk-through is planned for Thursday; nothing since Tuesday is ticked, so no day can be its last."""
    assert any(day.with_you for day in at(demo_made, date(2026, 3, 2), 390).notice(1).days)
    assert not any(day.with_you for day in at(demo_made, date(2026, 3, 5), 12 * 60).notice(1).days)


def test_what_was_answered_with_yes_is_not_asked_for_again(demo_made) -> None:
    """Job 2 answered all five on Thursday: they are to be kept so, none is asked for; the questions are a confirmation."""
    monday = at(demo_made, date(2026, 3, 2), 12 * 60)
    notice = monday.notice(2)
    assert [one.partition(":")[0] for one in notice.kept][:2] == ["Heat or air running", "Wet work and paint done"]
    assert (notice.ready, notice.ready_by, notice.emptied) == ((), None, True)
    text = _text(monday, notice)
    assert "YOU TOLD US IT IS READY; PLEASE KEEP IT SO" in text
    assert "HAVE READY" not in text
    assert "Please clear" not in text
    asked = _text(monday, monday.ready_questions(1))
    assert "THE HOUSE IS READY, AS YOU TOLD US" in asked
    assert "PLEASE ANSWER" not in asked


def test_a_record_says_of_what_was_ticked_that_no_figure_was_kept(demo_made) -> None:
    """Job 4's slab was read and its walk-through held, by their ticks alone."""
    page = at(demo_made, date(2026, 3, 2), 12 * 60).job_record(4)
    assert any(
        one.startswith("Slab moisture read") and one.endswith("ticked Sat 28 Feb, its figures were not recorded")
        for one in page.readings
    )
    assert page.walks == ("Walk-through before the work: ticked Tue 24 Feb, what was said was not recorded",)
    assert {ROOM_READING, *READ_IN} == READINGS
