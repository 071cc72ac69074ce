"""What a customer is told of a room that is shut for what was found in it: no instant, no heat asked for, nothing to clear there."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from crewjobs.cli.week import week_text
from crewjobs.domain.agreed import SmallVisit, VisitKind
from crewjobs.domain.calendar import EventKind
from crewjobs.domain.found import NOBODY_IN, TURNED_OFF
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.files.catalogue import finding_kinds
from crewjobs.paper.house_ready import KEEP, KEEP_THE_REST
from crewjobs.paper.notice import OutOfUse
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.calendars.calendar_events import HANGS, Visited, planned_events, to_house
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.findings.hanging import ALL_HANGS, DAYS_HANG, FOUND_THERE, ONLY_IF, PART_HANGS, TO_CREW
from crewjobs.services.office import Office
from crewjobs.services.pages.notice_rooms import REPAIRED, SETTLED, SHUT, SHUT_OFF
from crewjobs.services.pages.ready_asked import LEAVE_OFF
from crewjobs.services.weeks.repaired import opened_by
from crewjobs.services.weeks.visits import planned
from crewjobs.storage.database import open_database

ZONE = "America/Chicago"
DAY = date(2026, 3, 2)
LATER = to_utc(ZONE, date(2026, 3, 2), 8 * 60)


EMPTY = "shelves, closets and drawers emptied"
WAY_IN = "A clear way in"
IF_SETTLED = "if what was found in your house is settled by then"


def at(path, moment: datetime = DEMO_NOW) -> Office:
    return Office(open_database(path, create=False), FixedClock(moment), who="tester", follows=True)


def told(office: Office, job: int) -> str:
    return " ".join(office.page_text(office.notice(job)).split())


def asked(office: Office, job: int) -> str:
    return " ".join(office.page_text(office.ready_questions(job)).split())


def out(office: Office, job: int) -> dict[str, OutOfUse]:
    return {one.room: one for one in office.notice(job).out}


def ready_events(office: Office, job: int, now: datetime = DEMO_NOW) -> list[str]:
    with office._database.reading() as uow:
        events = planned_events(planned(uow), now)
    return [event.to_house.summary for event in events if event.job == job and event.kind is EventKind.READY]


def test_no_day_is_told_of_rooms_behind_a_live_line(demo_file):
    """The bedrooms are reached only over the landing: nothing is carried through, no way is cleared, nobody comes first by a day.

    With a plumber's day each coming has its if, and so has the calendar's.
    """
    office = at(demo_file)
    assert WAY_IN in told(office, 6)
    office.found(6, "landing", "live wire or pipe", words="gas pipe")
    bedrooms = {"corner bedroom", "east bedroom", "small bedroom"}
    assert {name: one.out for name, one in out(office, 6).items()} == {
        **dict.fromkeys(bedrooms, SHUT_OFF),
        "landing": SHUT,
    }
    notice = office.notice(6)
    assert not notice.days
    assert not notice.clear
    assert WAY_IN not in told(office, 6)
    assert "comes first" not in asked(office, 6)
    office.promised(6, "plumber", "2026-03-09 10:00")
    assert {day.hangs for day in office.notice(6).days} == {ALL_HANGS}
    assert f"as planned today, {IF_SETTLED}." in asked(office, 6)
    with office._database.reading() as uow:
        events = [one for one in planned_events(planned(uow), DEMO_NOW) if one.job == 6]
    visits = to_house([one for one in events if one.kind is EventKind.VISIT])
    assert visits
    assert all(ALL_HANGS in one.to_house.lines for one in visits)


def test_nothing_is_emptied_where_the_place_of_agreed_work_is_shut(demo_file):
    """A callback lays no floor: its hall is the only room, and its customer is to stay out of it."""
    office = at(demo_file)
    assert EMPTY in asked(office, 15)
    assert "Rooms emptied" in told(office, 15)
    office.found(15, "hall", "live wire or pipe", words="wire")
    assert "emptied" not in told(office, 15) + asked(office, 15)


def test_a_floor_without_a_day_names_whoever_is_asked_about_what_was_found(demo_file):
    """Beside the oak that is late: whether a day is usual for their answer or nobody knows one, and also where little is told."""
    office = at(demo_file)
    office.found(7, "study", "suspect asbestos", words="black mastic")
    notice = office.notice(7)
    for who in ("inspector", "laboratory"):
        assert f"we have yet to ask the {who} (what was found in your house)" in notice.no_day
        assert f"We have yet to ask the {who} (what was found in your house); no day is promised yet" in notice.changes
    office.chased(7, "inspector")
    assert "we wait for the inspector (what was found in your house)" in office.notice(7).no_day
    later = at(demo_file, LATER)
    later.way_on(7, "study", "suspect asbestos", "proven clear", laboratory="Bay", sampled="2026-03-02", sample="K-1")
    assert "what was found" not in told(later, 7)


def test_a_room_in_which_something_was_found_is_told_where_nothing_is_to_come(demo_file):
    """Mold shuts no room; that something was found there is told all the same, and of the other room nothing."""
    office = at(demo_file)
    assert not office.notice(7).out
    office.found(7, "study", "mold", area="20 ft2", words="sewage")
    assert {name: one.found for name, one in out(office, 7).items()} == {"study": FOUND_THERE}
    assert any("the specialist (what was found in your house)" in line for line in office.notice(7).changes)


@pytest.mark.parametrize(("job", "room"), [(10, "laundry"), (14, "back bedroom")])
def test_a_room_that_is_shut_has_no_instant_and_its_house_no_heat_asked_for(demo_file, job, room):
    """Whether its floor is laid or not: nobody goes in, and whoever decides says when heat or air run."""
    office = at(demo_file)
    before = out(office, job)[room]
    assert "walked on" in before.walk
    assert "Heat or air running: day and night" in told(office, job)
    office.found(job, room, "suspect asbestos")
    shut = out(office, job)[room]
    assert shut.out == SHUT
    assert "keep the door shut" in shut.walk
    assert SETTLED in shut.walk
    assert "walked on" not in shut.walk + shut.furnish
    text = told(office, job)
    assert "Heat or air running" not in text
    assert "Heat or air: please leave it off where the crew turned it off" in text
    assert "asbestos" not in text
    assert "We have yet to ask the inspector (what was found in your house); no day is promised yet" in text
    office.chased(job, "inspector")
    asked = told(office, job)
    assert (
        "We wait for the inspector (what was found in your house), expected Mon 2 Mar at the earliest; no day is promised yet"
        in asked
    )
    assert "We have yet to ask the laboratory (what was found in your house); no day is promised yet" in asked
    office.promised(job, "inspector", "2026-03-03 10:00")
    assert "We wait for the inspector (what was found in your house), promised for Tue 3 Mar 10:00" in told(office, job)


def test_heat_that_was_answered_for_and_turned_off_since_is_not_to_be_kept_on(demo_file):
    """The questions' page says of the answer what holds now, and asks to keep the rest."""
    office = at(demo_file)

    office.ready(2, answers=Answers(ready=tuple(ReadyItem)))
    assert KEEP in asked(office, 2)
    office.found(2, "bath", "suspect asbestos")
    page = asked(office, 2)
    assert KEEP not in page
    assert KEEP_THE_REST in page
    assert f"P{LEAVE_OFF[1:]}." in page


@pytest.mark.parametrize(("job", "place"), [(1, "hall"), (4, "house"), (5, "front room"), (10, "den"), (11, "house")])
def test_power_water_and_heat_are_not_asked_for_where_a_live_line_was_found(demo_file, job, place):
    """Turned off for it they stay off: neither to be kept running nor to be had ready, on neither page."""
    office = at(demo_file)
    before = told(office, job)
    assert "Heat or air running" in before
    assert "Power and water" in before
    office.found(job, place, "live wire")
    after = told(office, job)
    assert "Heat or air running" not in after
    assert "Power and water" not in after
    assert f"Heat, air, power, water or gas: {LEAVE_OFF}." in after
    assert "Somebody or a key there" in after


def test_the_questions_leave_out_what_was_turned_off_and_ask_it_again_once_it_is_settled(demo_file):
    """The customer cannot answer it with yes: whoever decides says when it runs again."""
    office = at(demo_file)
    assert "Power and water?" in asked(office, 5)
    office.found(5, "front room", "live wire")
    page = asked(office, 5)
    assert "Heat or air running?" not in page
    assert "Power and water?" not in page
    assert f"Heat, air, power, water or gas: {LEAVE_OFF}." in page
    later = at(demo_file, LATER)
    later.way_on(5, "front room", "live wire or pipe", "made by the trade", by="Ohm")
    assert "Heat or air running?" in asked(later, 5)
    assert "Power and water?" in asked(later, 5)


def test_what_was_turned_off_before_it_was_answered_for_is_not_told_to_be_ready(demo_file):
    """With a yes to all that is asked the page names what is off, and not the house as ready."""
    office = at(demo_file)
    office.found(12, "music room", "suspect asbestos")
    office.ready(12, asked="Priya", answers=Answers(ready=(ReadyItem.PAINT, ReadyItem.POWER, ReadyItem.KEY)))
    page = asked(office, 12)
    assert "THE HOUSE, AS YOU TOLD US" in page
    assert "IS READY" not in page
    assert f"Heat or air: {LEAVE_OFF}." in page
    assert KEEP_THE_REST in page


def test_both_pages_ask_the_same_of_a_house_whose_only_room_is_shut(demo_file):
    """Nothing to be emptied there, no heat, no way cleared into it; of another house with a room left these are asked."""
    office = at(demo_file)
    assert EMPTY in asked(office, 12)
    assert WAY_IN in told(office, 12)
    office.found(12, "music room", "suspect asbestos")
    notice, questions = told(office, 12), asked(office, 12)
    assert WAY_IN not in notice
    assert "emptied" not in notice + questions
    assert "Heat or air running" not in notice + questions
    for both in ("Wet work and paint done", "Power and water", "Somebody or a key there"):
        assert both in notice
        assert both in questions
    office.found(6, "small bedroom", "suspect asbestos")
    assert WAY_IN in told(office, 6), "other rooms are left for it"


def test_days_that_hang_on_what_was_found_say_so_beside_them(demo_file):
    """The days, the end and the first day on the questions' page; where other rooms go on, of part of a day."""
    office = at(demo_file)
    assert IF_SETTLED not in told(office, 12) + asked(office, 12)
    office.found(12, "music room", "suspect asbestos")
    notice = office.notice(12)
    assert notice.days
    assert {day.hangs for day in notice.days} == {f"Only {IF_SETTLED}."}
    assert f"Finished, as planned: Tue 17 Mar, {IF_SETTLED}." in told(office, 12)
    assert f"comes first on Mon 9 Mar, as planned today, {IF_SETTLED}." in asked(office, 12)
    office.found(6, "small bedroom", "suspect asbestos")
    assert f"Part of it only {IF_SETTLED}." in {day.hangs for day in office.notice(6).days}
    assert f"Only {IF_SETTLED}." not in {day.hangs for day in office.notice(6).days[:1]}


def test_days_of_rooms_and_of_what_is_put_back_hang_as_well(demo_file):
    """A specialist's day is promised: the room's work is planned after it, and each of its days has its if, the other rooms' not."""
    office = at(demo_file)
    office.found(6, "corner bedroom", "mold", area="40 ft2")
    office.promised(6, "specialist", "2026-03-09 10:00")
    rooms = out(office, 6)
    assert "Mar" in rooms["corner bedroom"].walk
    assert DAYS_HANG in rooms["corner bedroom"].found
    assert not rooms["east bedroom"].found
    office.found(3, "dinette", "mold", area="40 ft2")
    office.promised(3, "specialist", "2026-03-09 10:00")
    (range_out,) = [one for one in office.notice(3).fixtures if one.what == "gas range"]
    assert IF_SETTLED in range_out.back
    assert DAYS_HANG in out(office, 3)["kitchen"].found
    assert FOUND_THERE not in out(office, 3)["kitchen"].found


def test_what_hangs_no_more_is_told_as_any_other_day(demo_file):
    """Once a way on is taken."""
    office = at(demo_file)
    office.found(12, "music room", "suspect asbestos")
    later = at(demo_file, LATER)
    later.way_on(
        12, "music room", "suspect asbestos", "proven clear", laboratory="Bay", sampled="2026-03-02", sample="K-1"
    )
    assert IF_SETTLED not in told(later, 12) + asked(later, 12)


def test_a_room_in_which_something_was_found_says_so_and_takes_no_material(demo_file):
    """Mold shuts no room, but its work has no day before it is settled; the other rooms go on."""
    office = at(demo_file)
    office.found(6, "corner bedroom", "mold", area="40 ft2")
    notice = office.notice(6)
    clear = {one.room: one for one in notice.clear}
    assert clear["corner bedroom"].found == FOUND_THERE
    assert clear["corner bedroom"].cartons is None
    assert clear["east bedroom"].cartons == date(2026, 3, 6)
    assert {one.room for one in notice.clear if one.found} == {"corner bedroom"}
    assert {one.room for one in notice.out if one.found} == {"corner bedroom"}
    text = told(office, 6)
    assert text.count(FOUND_THERE) == 2
    assert "mold" not in text


def test_a_room_without_a_day_is_told_once_and_the_way_to_it_beside_it(demo_file):
    """The floor of the entry sets on the only way to it: two rows of one room said different days of it."""
    office = at(demo_file)
    office.found(4, "family room", "wet slab")
    rows = [one.room for one in office.notice(4).out]
    assert rows == ["family room", "entry", "way to family room"]
    assert "not planned yet" in out(office, 4)["family room"].walk
    assert "In use again: not before" in out(office, 4)["way to family room"].walk


@pytest.mark.parametrize(
    ("job", "place", "what"),
    [
        (2, "house", "Your floor"),
        (5, "front room", "Your floor"),
        (11, "house", "What is left of our work"),
    ],
)
def test_work_without_a_day_is_no_rest_where_no_visit_is_listed(demo_file, job, place, what):
    """It stands alone under when we come, and is the floor where only cartons are in the house; beside days that are listed it is the rest."""
    office = at(demo_file)
    office.found(job, place, "live wire")
    assert not office.notice(job).days
    assert office.notice(job).no_day.startswith(f"{what} has no day yet")
    office.found(6, "corner bedroom", "mold", area="40 ft2")
    assert office.notice(6).no_day.startswith("The rest of our work has no day yet")


def test_nobody_is_asked_to_empty_a_room_that_is_shut(demo_file):
    """The questions' page says which not, as the notice has none of its rooms to clear."""
    office = at(demo_file)
    assert EMPTY in asked(office, 5)
    office.found(5, "front room", "suspect asbestos")
    assert "; not front room: please stay out there and keep the door shut" in asked(office, 5)


def test_a_floor_laid_before_it_was_seen_is_shut_in_notice_and_calendar(demo_file):
    """Its glue has its hours on Tuesday: nobody is told to walk on it, in neither place; once it is settled both tell it."""
    office = at(demo_file)
    office.found(4, "family room", "suspect asbestos")
    office.tick(4, [27], because="laid before it was seen")
    assert out(office, 4)["family room"].out == SHUT
    assert out(office, 4)["entry"].out != SHUT
    assert not [one for one in ready_events(office, 4) if "(family room)" in one]
    assert [one for one in ready_events(office, 4) if "(entry)" in one]
    later = at(demo_file, LATER)
    later.way_on(
        4, "family room", "suspect asbestos", "proven clear", laboratory="Bay", sampled="2026-03-02", sample="K-1"
    )
    assert "Tue 3 Mar 06:30" in out(later, 4)["family room"].walk
    assert [one for one in ready_events(later, 4, LATER) if "(family room)" in one]
    assert "Heat or air running" in told(later, 4)


def test_a_shut_room_is_not_to_be_cleared_and_the_others_are(demo_file):
    """Nobody goes into it, its customer neither: it is no room to clear; what was found in the whole house shuts all of it."""
    office = at(demo_file)
    rooms = [one.room for one in office.notice(6).clear]
    assert "small bedroom" in rooms
    office.found(6, "small bedroom", "suspect asbestos")
    assert [one.room for one in office.notice(6).clear] == [one for one in rooms if one != "small bedroom"]
    assert out(office, 6)["small bedroom"].out == SHUT
    office.found(6, "house", "live wire")
    assert not office.notice(6).clear
    assert {one.out for one in office.notice(6).out} == {SHUT}


def test_what_a_way_on_keeps_is_ours_to_decide_and_no_more_its_customers(demo_file):
    """Settled by floating over, the rest has no day for the crew's own sake; what is found next is the customer's again."""
    office = at(demo_file)
    office.found(11, "front room", "suspect asbestos")
    assert "what was found in your house is to be settled with you first" not in told(office, 11), "others are asked"
    later = at(demo_file, LATER)
    later.way_on(
        11, "front room", "suspect asbestos", "float over", by="Ines", because="heights checked, told in writing"
    )
    ours = "The rest of our work has no day yet: we still decide how the rest is done over what stays in your house."
    assert ours in told(later, 11)
    assert "settled with you" not in told(later, 11)
    later.found(11, "back room", "hump", area="4 ft2")
    text = told(later, 11)
    assert "what was found in your house is to be settled with you first and we still decide how the rest" in text


@pytest.mark.parametrize(
    ("job", "place", "behind"),
    [
        (1, "hall", {"living, window half", "living, door half"}),
        (2, "bath", set()),
        (6, "landing", {"corner bedroom", "east bedroom", "small bedroom"}),
        (6, "small bedroom", set()),
    ],
)
def test_a_yes_to_the_work_on_soft_wood_opens_no_room_before_it_is_done(demo_file, job, place, behind):
    """Nobody steps on it, to get behind it as little; from the yes on it is told until when by the plan, and nothing is emptied."""
    office = at(demo_file)
    office.found(job, place, "rot", area="4 ft2")
    shut = {name: one.out for name, one in out(office, job).items() if one.out in (SHUT, SHUT_OFF)}
    assert shut == {place: SHUT, **dict.fromkeys(behind, SHUT_OFF)}
    with office._database.reading() as uow:
        order = next(one.order for one in uow.job(job).findings if one.kind == "rot")
    office.agreed(job, order, "300", by="the customer")
    notice = office.notice(job)
    told_of = {one.room: f"{one.out} {one.walk}" for one in notice.out}
    assert not {SHUT, SHUT_OFF} & {one.out for one in notice.out}
    for name in shut:
        assert f"is {REPAIRED}: planned to be done by " in told_of[name]
        assert told_of[name].startswith(("out of use now Please ", "out of use until what was found "))
    assert {one.out for one in notice.toilets if one.room in shut} <= {"of use now"}
    assert not any("settled" in one.back for one in notice.toilets)
    assert not {one.partition(",")[0] for one in shut} & {one.room for one in notice.clear}
    work = next(row.number for row in office.job(job).tasks if row.title.startswith("cut out"))
    office.tick(job, [work], because="Ines Varga, seen")
    assert not {SHUT, SHUT_OFF} & {one.out for one in out(office, job).values()}
    assert not any(REPAIRED in one.walk for one in out(office, job).values())


def test_a_repair_that_is_in_no_plan_opens_nothing(demo_file):
    """Agreed and not planned it has no day, as what nobody has agreed to."""
    office = at(demo_file)
    office.found(2, "back hall", "rot", area="4 ft2")
    with office._database.reading() as uow:
        record, found = uow.job(2), planned(uow)
        [finding] = [one for one in record.findings if one.kind == "rot"]
        assert not opened_by(record, found.task_minutes(record), DEMO_NOW)
    office.agreed(2, finding.order, "300", by="the customer")
    with office._database.reading() as uow:
        record, found = uow.job(2), planned(uow)
    repair = next(task.number for task in record.tasks if task.key.cause == finding.work)
    times = found.task_minutes(record)
    assert opened_by(record, times, DEMO_NOW).keys() == {"back hall", "bath"}
    assert not opened_by(record, {n: span for n, span in times.items() if n != repair}, DEMO_NOW)
    assert not opened_by(record, times, times[repair][1] + timedelta(hours=1)), (
        "its time is gone by, and it is not ticked"
    )


def test_an_agreed_repair_that_is_planned_leaves_no_if_on_any_page(demo_file):
    """What was found is the crew's to repair: week, notice, calendar, list and call say the same, each by the plan."""
    office = at(demo_file)
    office.found(2, "back hall", "rot", area="4 ft2")
    week = " ".join(week_text(office.week(DAY)).split())
    assert (
        "the only toilet listed is in bath, cut off by what was found on the way there: out of use from now until it is settled"
        in week
    )
    assert [row.what for row in office.waiting() if row.job == 2 and row.state is WaitState.TO_DECIDE]
    with office._database.reading() as uow:
        order = next(one.order for one in uow.job(2).findings if one.kind == "rot")
    office.agreed(2, order, "300", by="the customer")
    week = " ".join(week_text(office.week(DAY)).split())
    assert "! repair agreed: rot in back hall" in week
    assert "not settled" not in week
    assert "out of use from now to" in week
    assert "until it is settled" not in week
    [toilet] = office.notice(2).toilets
    assert toilet.back.startswith("about ")
    assert f"out of use from now to {toilet.back.removeprefix('about ')} by the plan" in week
    assert "settled" not in told(office, 2)
    with office._database.reading() as uow:
        events = [one for one in planned_events(planned(uow), DEMO_NOW) if one.job == 2]
    assert not any("settled" in line for one in events for line in (*one.to_house.lines, *one.to_crew.lines))
    assert any("Repair agreed: rot in back hall" in one.to_crew.lines for one in events)
    visits = [one for day in office.week(DAY).days for one in day.visits if one.job == 2]
    said = [(one.found, "cut out and replace" in one.what) for one in visits]
    there = [repair for _, repair in said].index(True)
    assert {found for found, _ in said[: there + 1]} == {"repair agreed: rot in back hall"}
    assert {found for found, _ in said[there + 1 :]} == {"repair planned before: rot in back hall"}
    assert any("Repair planned before: rot in back hall" in one.to_crew.lines for one in events)
    looks = [SmallVisit(kind=VisitKind.READING, who="Ann", start=visits[n].start, minutes=30, why="") for n in (0, -1)]
    with office._database.reading() as uow:
        visited = Visited(record=replace(uow.job(2), small_visits=tuple(looks)))
        events = planned_events(planned(uow), DEMO_NOW, [visited])
    small = [one.to_crew.lines for one in events if one.kind is EventKind.SMALL_VISIT]
    assert small == [("Repair agreed: rot in back hall",), ("Repair planned before: rot in back hall",)]
    assert any(
        "walk" in one.what or "over (bath)" in one.to_house.summary for one in events if one.kind is EventKind.READY
    )
    rows = {row.state: row for row in office.waiting() if row.job == 2 and "rot in back hall" in row.what}
    assert rows.keys() == {WaitState.DUE}
    assert rows[WaitState.DUE].ready_at is not None
    assert not any(
        ONLY_IF in one for one in (*office.told(2).then, *office.why(2).job.promise, office.job(2).row.only_if)
    )


def test_nothing_is_to_be_emptied_in_a_house_that_is_shut(demo_file):
    """Its customer is told to stay out of each of its rooms and off its stairs; what else they can have ready is asked as before."""
    office = at(demo_file)
    office.found(5, "house", "live wire")
    assert not any("emptied" in one for one in office.notice(5).ready)
    assert any("Wet work" in one for one in office.notice(5).ready)
    stairs = out(office, 5)["main stairs"]
    assert stairs.out == SHUT
    assert stairs.walk.startswith("Please stay off")


def test_what_shuts_a_room_is_what_the_catalogue_says_to_do_first():
    """The kinds named are those whose first words keep people out, or air off, and no others."""
    first = {kind.key: kind.first.casefold() for kind in finding_kinds()}
    out_words = ("door shut", "nobody steps", "nobody near")
    assert {key for key, words in first.items() if any(word in words for word in out_words)} == NOBODY_IN
    assert {
        key for key, words in first.items() if "air handler off" in words or "power off" in words
    } == TURNED_OFF.keys()
    power = {key for key, words in first.items() if "power off" in words}
    assert {key for key, off in TURNED_OFF.items() if ReadyItem.POWER in off} == power
    assert all(ReadyItem.AIR in off for off in TURNED_OFF.values())


def test_the_calendars_say_the_same_if_as_the_notice(demo_file):
    """Each coming that hangs on what was found has its if in the house's calendar and in the crew's; the others have none."""
    office = at(demo_file)
    office.found(6, "small bedroom", "suspect asbestos")
    with office._database.reading() as uow:
        events = [one for one in planned_events(planned(uow), DEMO_NOW) if one.job == 6]
    visits = to_house([one for one in events if one.kind is EventKind.VISIT])
    told_days = {day.day: day.hangs for day in office.notice(6).days if day.hangs}
    hung = {to_wall(ZONE, one.start).date(): one.to_house.lines[1] for one in visits if len(one.to_house.lines) > 2}
    assert hung == told_days
    assert PART_HANGS in hung.values()
    with office._database.reading() as uow:
        others = [one for one in planned_events(planned(uow), DEMO_NOW) if one.job != 6]
    assert not [one for one in others if HANGS & set(one.to_house.lines)]
    crews = [TO_CREW[said] for said in (ALL_HANGS, PART_HANGS)]
    for one in events:
        if one.kind is EventKind.VISIT:
            assert any(line in crews for line in one.to_crew.lines) is (len(one.to_house.lines) > 2)
    ready = [one for one in events if one.kind is EventKind.READY and "small bedroom" in one.to_house.summary]
    assert all(ALL_HANGS in one.to_house.lines for one in ready)
