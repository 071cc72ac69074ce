"""Pages built from what is stored: the week, notice, house-ready questions, job record and shopping list."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from crewjobs.cli.job import job_text
from crewjobs.cli.printing import plain
from crewjobs.domain.errors import Refused
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.tasks import Phase
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import moment_words
from crewjobs.engines.readiness.found import EXTRA_WORK
from crewjobs.files.catalogue import read_catalogue
from crewjobs.paper.document_html import document_html
from crewjobs.paper.document_pdf import document_pdf
from crewjobs.paper.document_text import document_text
from crewjobs.paper.notice import NO_DAYS
from crewjobs.paper.shopping_list import NO_JOB, NOTHING
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.calendars.calendar_waits import ready_instants
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.jobs.known import LAYING
from crewjobs.services.office import Office
from crewjobs.services.pages.job_record import LAID_ON_STAIRS
from crewjobs.services.pages.notice_fixtures import BACK_AND_WHAT
from crewjobs.services.pages.notice_rooms import FURNITURE_BACK
from crewjobs.services.pages.notice_stands import OVER
from crewjobs.services.pages.notice_work import BEFORE_LAID, HOUSE_WORDS
from crewjobs.services.pages.printed import document_of
from crewjobs.services.pages.supplier_days import supplier_days
from crewjobs.services.weeks.usable import FURNITURE
from crewjobs.services.weeks.visits import planned
from crewjobs.storage.database import open_database
from tests.paper import reading
from tests.services.conftest import JOB, Shop, kept, load_den

SECRETS = {
    "the entry code": ("side door, code 4471", "SECRET-ENTRY 4471"),
    "the customer's phone": ("555-0142", "555-SECRET-PHONE"),
}
KEPT_IN_THE_SHOP = 'parking = "SECRET-PARKING"\npets = "SECRET-PETS"\nkey_with = "SECRET-KEY 555-0199"'
OTHER = (
    JOB.replace("number = 4", "number = 5")
    .replace("Teo Halloran", "SECRET-NEIGHBOR")
    .replace("Den, Quarry Road", "SECRET-TITLE")
    .replace("9 Quarry Road", "SECRET-ADDRESS")
    .replace("gray plank", "SECRET-PLANK")
)


def plan_two(shop: Shop) -> None:
    """Plan job 4, full of marked secrets, beside job 5 of somebody else that competes for the crew."""
    load_den(shop)
    text = JOB.replace("year_built = 1994", f"year_built = 1994\n{KEPT_IN_THE_SHOP}")
    for plain_word, marked in SECRETS.values():
        assert plain_word in text
        text = text.replace(plain_word, marked)
    text = text.replace('layers = ["carpet"]', 'layers = ["carpet", "vinyl tile"]')
    shop.office.load([shop.file("den.toml", text)], replace=True)
    shop.office.load([shop.file("other.toml", OTHER)])
    shop.ready(5, asked="SECRET-NEIGHBOR")
    shop.office.ask(4, "plumber", "SECRET-WAITED-FOR", holds=[])
    shop.office.plan_visit(4, "reading", at="2026-03-05 09:00", who="Ines Varga", because="SECRET-WHY")
    shop.office.plan()


den = kept(load_den)
two = kept(plan_two)


@pytest.fixture(scope="module")
def demo(demo_made) -> Office:
    """The demo, only looked at."""
    return Office(open_database(demo_made, create=False), FixedClock(DEMO_NOW), who="tester")


@pytest.fixture
def own(demo_file) -> Office:
    """The demo to write to."""
    return Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)


def said(page) -> str:
    """All a page says, as text, as HTML and as PDF."""
    document = document_of(page)
    return "\n".join((document_text(document), document_html(document), reading.pdf_text(document_pdf(document))))


@pytest.mark.parametrize("page", ["notice", "ready_questions"])
def test_what_leaves_the_shop_says_nothing_private(two: Shop, page: str) -> None:
    """Entry code, phones, key, notes of the shop, another customer's name, house and plank: on no form of the page."""
    if page == "ready_questions":
        two.office.ready(4, asked="Teo Halloran", answers=Answers(not_ready=(ReadyItem.AIR,)))
    told = said(getattr(two.office, page)(4))
    assert "SECRET" not in told
    assert "Teo Halloran" in told
    assert "gray plank" in told or page == "ready_questions"


def test_the_types_of_what_leaves_the_shop_have_no_place_for_it() -> None:
    """No field for entry notes, a phone or mail but the shop's, keys, titles or reasons of the plan."""
    from dataclasses import fields, is_dataclass
    from typing import get_args, get_type_hints

    from crewjobs.paper.house_ready import ReadyQuestions
    from crewjobs.paper.notice import CustomerNotice

    def names(kind: type) -> set[str]:
        found = {one.name for one in fields(kind)}
        for hint in get_type_hints(kind).values():
            for part in (hint, *get_args(hint)):
                found |= names(part) if isinstance(part, type) and is_dataclass(part) and part is not kind else set()
        return found

    for kind in (CustomerNotice, ReadyQuestions):
        found = names(kind)
        assert "shop_phone" in found
        assert not [name for name in found if "entry" in name or "mail" in name or "key" in name]
        assert not [name for name in found if "phone" in name and name != "shop_phone"]
        assert not found & {"title", "reason", "notes", "pets", "parking"}


def test_the_notice_says_the_plan_as_it_is_today(two: Shop) -> None:
    """Each planned day once, its hours around the visit's; room and clearing follow the first work in it."""
    notice = two.office.notice(4)
    assert "As planned today, Mon 2 Mar 2026." in document_text(document_of(notice))
    visits = [
        v
        for week in range(3)
        for d in two.office.week(date(2026, 3, 2) + timedelta(7 * week)).days
        for v in d.visits
        if v.job == 4
    ]
    crew_days = [one for one in notice.days if "one of us" not in one.what]
    assert [(one.day) for one in crew_days] == [v.start.date() for v in visits]
    for one, visit in zip(crew_days, visits, strict=True):
        assert one.start <= visit.start.time() <= visit.end.time() <= one.end
        assert one.start.minute % 15 == one.end.minute % 15 == 0
    assert notice.finish == visits[-1].end.date()
    (clear,) = notice.clear
    assert clear.room == "den"
    assert clear.by is not None
    assert clear.by < crew_days[-1].day
    assert set(clear.we_move) == {"sofa", "desk"}
    assert "may hold asbestos" in " ".join(notice.cautions)


def test_who_must_be_there_for_a_walk_through_is_told(demo: Office) -> None:
    """On the day of the walk-through the notice asks the customer to be there, and on no other."""
    notice = demo.notice(5)
    days = notice.days
    assert [one.with_you for one in days] == [one is days[-1] for one in days]
    assert days[-1].day == notice.finish
    assert "furnished" not in next(one.walk for one in demo.notice(5).out if "stairs" in one.room)


def test_work_agreed_in_words_is_told_in_full(demo: Office) -> None:
    """A callback's one task stands on the notice as it was agreed; no old floor is spoken of where none comes out."""
    notice = demo.notice(15)
    (task,) = [t for t in _record(demo, 15).tasks if t.key.template == EXTRA_WORK]
    assert notice.days[0].what == f"{task.title[0].upper()}{task.title[1:]}"
    assert not [one for one in notice.changes if "old floor" in one]


def _record(office: Office, number: int):
    with office._database.reading() as uow:
        return uow.job(number)


def test_a_finish_told_before_on_another_day_is_said(two: Shop) -> None:
    """Told for the plan's day nothing is added; told for another day the notice says which, and that it is newer."""
    two.office.told(4)
    assert two.office.notice(4).told is None
    two.clock.set("2026-03-02", "06:45")
    two.office.told(4, "2026-03-25")
    assert "Before, you were told Wed 25 Mar: this is newer." in " ".join(
        two.office.page_text(two.office.notice(4)).split()
    )


def test_without_a_plan_or_a_day_to_come_the_notice_says_so(den: Shop) -> None:
    """No plan: no day is named. A job called off gets no notice at all."""
    assert NO_DAYS in " ".join(document_text(document_of(den.office.notice(4))).split())
    den.office.edit(4, den.record().version, {"state": "called off", "promised": "2026-03-06"})
    with pytest.raises(Refused, match="called off"):
        den.office.notice(4)
    promised = [line.partition(" for ")[0] for line in den.office.job_record(4).dates if "romised for" in line]
    assert promised == ["Was promised"]
    with pytest.raises(Refused, match="no job 99"):
        den.office.notice(99)


def test_walking_and_furnishing_are_never_promised_before_the_plan_lets_them(demo: Office) -> None:
    """Of every demo job: no task that a wait after laying holds begins before the instants the notice names."""
    from crewjobs.services.weeks.usable import usable_from

    with demo._database.reading() as uow:
        found = planned(uow)
    assert found is not None
    seen = 0
    for record in found.records.values():
        times = found.task_minutes(record)
        for task in record.tasks:
            laid = found.placement(record.job.number, task.number)
            if task.key.template not in LAYING or laid is None:
                continue
            ends = usable_from(found, times, record, [task])
            walk, furnish = ends[False], ends[True]
            assert walk is not None
            assert furnish is not None
            assert laid.start < times[task.number][1] <= walk <= furnish
            for link in record.links:
                after = found.placement(record.job.number, link.after)
                if link.before == task.number and link.wait_min and after is not None:
                    seen += 1
                    wait = timedelta(minutes=link.wait_min)
                    assert after.start >= laid.end + wait
                    bound = furnish if FURNITURE in link.name else walk
                    assert times[task.number][1] + wait <= bound <= after.start
    assert seen > 3


@pytest.mark.parametrize(
    ("job", "floor", "said"),
    [
        (2, "bath", "Wed 4 Mar 16:00"),
        (2, "back hall", "Thu 5 Mar 08:00"),
        (4, "entry", "Wed 4 Mar 11:15"),
        (4, "family room", "Wed 4 Mar 13:15"),
    ],
)
def test_a_glued_floor_is_walked_on_from_one_instant_on_every_paper(
    demo: Office, job: int, floor: str, said: str
) -> None:
    """Notice, week and calendar count from the room's own laying, whatever else is laid in its block: no customer reads two hours."""
    walk = next(one.walk for one in demo.notice(job).out if one.room.partition(",")[0] == floor)
    assert f"not before {said}." in walk
    waits = {wait.what: wait for day in demo.week(date(2026, 3, 2)).days for wait in day.waits if wait.job == job}
    (told,) = [wait for what, wait in waits.items() if what == f"Glue sets for light foot ({floor})"]
    assert moment_words(told.end) == said
    with demo._database.reading() as uow:
        found = planned(uow)
    assert found is not None
    dated = [one for one in ready_instants(found, found.records[job], DEMO_NOW) if f"({floor})" in one.summary]
    zone = found.records[job].job.site.zone
    assert said in {moment_words(to_wall(zone, one.at)) for one in dated if one.summary.startswith("Glue sets")}


@pytest.mark.parametrize(
    ("job", "floor", "said"),
    [(2, "bath", "Thu 5 Mar 16:00"), (4, "entry", "Thu 5 Mar 11:15"), (11, "front room", "Sun 8 Mar 09:00")],
)
def test_a_glued_floor_nobody_puts_anything_back_on_waits_for_furniture(
    demo: Office, job: int, floor: str, said: str
) -> None:
    """By its template glue cures 48 h for furniture: the customer's own is not told the 24 h of a light foot."""
    out = next(one for one in demo.notice(job).out if one.room.partition(",")[0] == floor)
    assert "furnished" not in out.walk
    assert out.furnish == f"Furniture: not before {said}."


def test_a_floor_that_has_set_is_told_with_the_wet_one_on_its_only_way(demo: Office) -> None:
    """The bath of job 2 sets a night before the back hall one comes through: its way is told, the toilet that is out is told once."""
    rooms = {one.room: one for one in demo.notice(2).out}
    assert list(rooms) == ["bath", "back hall", "way to bath"]
    assert rooms["way to bath"].out == "out of use from about Wed 4 Mar 16:00"
    assert "through back hall, where the floor sets over night" in rooms["way to bath"].walk
    assert rooms["way to bath"].walk.endswith("In use again: not before Thu 5 Mar 08:00.")
    (warned,) = [one for one in demo.week_sheet().warnings if "Job 2" in one]
    assert "the only way" not in warned
    assert len(demo.notice(2).toilets) == 1


@pytest.mark.parametrize("template", ["lay-glued-vinyl", "lay-glued-wood", "roll-sheet", "lay-sheet-perimeter"])
def test_every_floor_that_cures_for_furniture_says_so_where_no_link_does(demo: Office, template: str) -> None:
    """One laid task without any link: walked on from the tick by what the job has, furnished by the template of its kind."""
    from crewjobs.services.weeks.usable import usable_from

    with demo._database.reading() as uow:
        record, catalogue = uow.job(4), read_catalogue()
    laid = next(task for task in record.tasks if task.key.template == "lay-glued-vinyl")
    laid = replace(laid, key=replace(laid.key, template=template), done_at=DEMO_NOW)
    record = replace(record, tasks=(laid,), links=())
    wait = max(one.minutes for one in catalogue.template(template).waits if "furniture-back" in one.before)
    ends = usable_from(None, {}, record, [laid], catalogue)
    assert ends == {False: DEMO_NOW, True: DEMO_NOW + timedelta(minutes=wait)}


def test_the_toilet_is_out_as_long_as_the_plan_has_it_out(demo: Office) -> None:
    """Job 2 has one toilet: when it comes out and is back, and what is used meanwhile."""
    (toilet,) = demo.notice(2).toilets
    assert toilet.room == "bath"
    assert "rented toilet" in toilet.meanwhile
    warned = next(one for one in demo.week_sheet().warnings if "Job 2" in one)
    assert f"out from {toilet.out.removeprefix('about ')} to {toilet.back.removeprefix('about ')}" in warned


def test_what_else_is_taken_out_is_told_by_name(demo: Office) -> None:
    """The kitchen of job 3: its range and what else stands there, out before the floor comes up and back at the end."""
    told = [one for one in demo.notice(3).fixtures if one.room == "kitchen"]
    assert "gas range" in {one.what for one in told}
    assert all("Mar" in one.out and "Mar" in one.back for one in told)


def test_the_week_sheet_has_every_visit_and_every_end(demo: Office) -> None:
    """What the week says stands on the sheet: visits in their crew's cell, waits once a day, each end on its day."""
    for monday in (date(2026, 3, 2), date(2026, 3, 9)):
        view, sheet = demo.week(monday), demo.week_sheet(monday)
        by_crew = {column.crew: dict(zip(sheet.days, column.days, strict=True)) for column in sheet.columns}
        beside = dict(zip(sheet.days, sheet.beside, strict=True))
        for day in view.days:
            for visit in day.visits:
                at = (visit.job, visit.start.time().replace(tzinfo=None), visit.what)
                assert at in [(one.job, one.start, one.work) for one in by_crew[visit.crew][day.day].visits]
            if day.day not in sheet.days:
                assert not day.visits
                assert not [span for span in day.waits if span.end.date() == day.day]
                continue
            shown = [wait for cells in by_crew.values() for wait in cells[day.day].waits] + [*beside[day.day].waits]
            assert sorted((w.job, w.what) for w in shown) == sorted((s.job, s.what) for s in day.waits)
            ends = {(s.job, s.what, s.end.time().replace(tzinfo=None)) for s in day.waits if s.end.date() == day.day}
            assert {(w.job, w.what, w.ends) for w in shown if w.ends} == ends
        assert [(one.job, one.why) for one in sheet.not_planned] == [(one.job, one.why) for one in view.left_out]


def test_the_week_of_four_crews_stands_whole_on_its_first_page(demo: Office) -> None:
    """Every day of the demo's week, its weekend as one row where nobody works; promises may stand on the back."""
    pages = reading.pages(document_pdf(document_of(demo.week_sheet())))
    assert len(pages) <= 2
    first = pages[0].extract_text()
    assert all(day in first for day in ("Mon 2 Mar", "Tue 3 Mar", "Wed 4 Mar", "Thu 5 Mar", "Fri 6 Mar", "Sat 7 and"))
    assert "Sun 12:15 ends: job 6 field laminate acclimates" in first


def test_a_wait_stands_with_the_crew_whose_work_it_holds(demo: Office) -> None:
    """The next planned work of its job after a wait is this crew's; where none comes after, the last before is."""
    with demo._database.reading() as uow:
        found = planned(uow)
    assert found is not None
    sheet, seen = demo.week_sheet(), 0
    for column in sheet.columns:
        for day, cell in zip(sheet.days, column.days, strict=True):
            for wait in cell.waits:
                if wait.ends is None:
                    continue
                seen += 1
                end = to_utc(found.shop.zone, day, wait.ends.hour * 60 + wait.ends.minute)
                placed = sorted((p for p in found.plan.placements if p.key.job == wait.job), key=lambda p: p.start)
                after = [p for p in placed if p.start >= end]
                assert (after[0] if after else placed[-1]).crew == column.crew
    assert seen > 2


def test_a_week_before_any_plan_is_a_page(den: Shop) -> None:
    """It says that nothing is planned, and still what comes."""
    text = document_text(document_of(den.office.week_sheet()))
    assert "Nothing is planned yet." in text
    assert "Comes: 10:00 job 4 gray plank, 9 cartons" in " ".join(text.split())


def test_house_ready_asks_what_is_not_answered(two: Shop) -> None:
    """Every item of the house once; what was answered no is asked again, two working days before the first there."""
    two.office.ready(4, answers=Answers(not_ready=(ReadyItem.PAINT,), until="2026-03-05 12:00"))
    two.office.plan()
    page = two.office.ready_questions(4)
    assert [one.answered for one in page.questions] == [True, False, True, True, True]
    assert page.questions[1].known.endswith("until Thu 5 Mar 12:00.")
    assert page.questions[1].as_said == "not yet; on Thu 5 Mar 12:00, as said before"
    two.clock.set("2026-03-05", "12:30")
    late = two.office.ready_questions(4).questions[1]
    assert late.known.endswith("until Thu 5 Mar 12:00. Is it ready now?")
    assert not late.as_said
    assert page.first is not None
    assert page.answer_by is not None
    assert page.answer_by < page.first
    text = document_text(document_of(page))
    assert text.count("[ ] yes") == 1
    assert max(len(line) for line in text.splitlines()) <= 40


def test_house_ready_is_not_asked_once_work_has_begun(demo: Office) -> None:
    """The crew sees the house for itself then; a job that is over is not asked either."""
    with pytest.raises(Refused, match="work has begun at job 11"):
        demo.ready_questions(11)
    with pytest.raises(Refused, match="closed"):
        demo.ready_questions(13)


def test_the_job_record_tells_what_was_recorded(den: Shop) -> None:
    """Lot, hours, reading, passed hold, walk-through, change order and finding stand on it; nothing is called laid."""
    office = den.office
    den.clock.set("2026-03-03", "11:00")
    office.arrived(4, "gray plank", 9, in_rooms=True, lot="B7")
    office.read_air(4, ["70F", "40%"], room="den", by="Ines Varga")
    office.found(4, "den", "black glue under the pad")
    office.tick(4, [den.number_of("carpet-out")], because="lead said so")
    office.agreed(4, "new shoe", "180", by="Teo Halloran")
    page = office.job_record(4)
    told = " ".join(document_text(document_of(page)).split())
    assert "lot B7: 9 cartons" in told
    assert "70 °F and 40 % RH in den" in told
    assert "black glue under the pad" in told
    assert "Done all the same: lead said so" in told
    assert "'new shoe', $180.00" in told
    assert [room.laid for room in page.rooms] == ["not laid yet"]
    assert "carpet on plywood" in told
    assert "trim: reuse base" in told
    assert "4471" not in said(page)


def test_the_job_record_knows_work_that_is_under_way(demo: Office) -> None:
    """Job 14 of the demo is laid to row 9 of 19: neither the room nor the list of what is open says that nothing lies."""
    page = demo.job_record(14)
    assert [room.laid for room in page.rooms if room.laid] == ["begun, rows 1–9 of 19"]
    (still,) = [line for line in page.not_done if "still open" in line]
    assert still.startswith("9 tasks of 22 still open: Lay click vinyl rows (back bedroom; begun, rows 1–9 of 19), ")


def test_the_job_record_tells_of_a_tear_out_how_far_it_is_said_to_be(den: Shop) -> None:
    """Begun without a word how far, then half of it, then done: each as it was recorded."""
    out = den.number_of("carpet-out")
    den.office.tick(4, [1, 2, 3, *range(5, out)], because="set up by the test")
    den.office.start(4, out)
    assert any("(den; begun Mon 2 Mar)" in line for line in den.office.job_record(4).not_done)
    den.office.how_far(4, out, "50 %")
    assert any("(den; begun, 50 %)" in line for line in den.office.job_record(4).not_done)
    assert [room.laid for room in den.office.job_record(4).rooms] == ["not laid yet"]
    den.office.tick(4, [out])
    assert not any("begun" in line for line in den.office.job_record(4).not_done)


def test_what_was_agreed_stands_whole_in_the_record_and_on_the_job(den: Shop) -> None:
    """Two agreements whose first words are the same are told apart: the longest line there may be is not cut."""
    same = "the old threshold between den and hall, as spoken of with the customer on the phone: it "
    ends = [f"{same}{word} {'and so on ' * 11}"[:200].strip() for word in ("stays", "goes")]
    for words in ends:
        den.office.agreed(4, words, "0", by="Teo Halloran")
    page, job = den.office.job_record(4), den.office.job(4)
    told = " ".join(document_text(document_of(page)).split())
    shown = " ".join(job_text(job, everything=False).split())
    for words in ends:
        assert any(f"'{words}'" in line for line in page.agreed)
        assert any(f"'{words}'" in line for line in job.change_orders)
        assert words in told
        assert words in shown


def test_the_record_of_a_finished_job_says_when_each_room_was_laid(demo: Office) -> None:
    """Job 13 of the demo is closed: laid on a day, nothing open, and the shop kept its own rules: no hold was passed."""
    page = demo.job_record(13)
    assert not page.passed
    assert page.state == "closed"
    assert [room.laid for room in page.rooms if room.laid] == ["Thu 19 Feb"]
    assert not [line for line in page.not_done if "still open" in line]


def test_shopping_buys_what_is_not_ordered_and_nothing_that_is(demo: Office) -> None:
    """The demo's drift oak waits for its deposit; what has an order that is placed is on its way, never both."""
    page = demo.shopping_list()
    (oak,) = [one for one in page.buy if one.what == "drift oak"]
    assert (oak.amount, oak.supplier, oak.hold) == ("15 cartons", "mill order", "not placed before the deposit is in")
    way = {(one.job, one.what) for one in page.on_its_way}
    assert (7, "barrel oak") in way
    assert not way & {(one.job, one.what) for one in page.buy if "not placed" in one.why}
    assert all(one.late == ("was due" in one.due) for one in page.on_its_way)


def test_an_order_line_short_of_what_was_laid_out_is_to_be_bought(den: Shop) -> None:
    """Once the den's floor is laid out the take-off is a count: the order is held against it, before that it is not."""
    text = JOB.replace("cartons = 9", "cartons = 6")
    den.office.load([den.file("den.toml", text)], replace=True)
    page = den.office.shopping_list([4])
    assert [one for one in page.buy if one.what == "gray plank"] == []
    (short,) = page.short
    table = den.office.export("material")
    row = next(row for row in table.rows if row[table.columns.index("material")] == "gray plank")
    assert str(int(row[table.columns.index("needed")])) == short.needed
    text = " ".join(document_text(document_of(page)).split())
    assert (
        f"gray plank, job 4: 6 cartons ordered, about {short.needed} by area, a tenth and one carton to keep: lay it out"
        in text
    )
    assert "Nothing is to be bought" not in text
    den.office.lay_out(4, seconds=0.2)
    assert den.office.shopping_list([4]).short == ()
    (plank,) = [one for one in den.office.shopping_list([4]).buy if one.what == "gray plank"]
    assert "as laid out; 6 cartons on order" in plank.why
    need = int(plank.why.split()[1])
    assert plank.amount == f"{need - 6} carton{'s' if need > 7 else ''}"


def test_strips_are_looked_at_one_by_one(demo: Office) -> None:
    """Job 10: its T-mold between den and laundry is set (task 33), the threshold to the outside (task 34) is not."""
    stock = demo.shopping_list([10]).stock
    assert [(one.what, one.why) for one in stock] == [("threshold", "for den / outside")]


@pytest.mark.parametrize("asked", [{"jobs": [1], "crew": "Hazel"}, {"week": date(2027, 1, 1)}])
def test_a_list_of_no_job_says_so(demo: Office, asked: dict[str, object]) -> None:
    """That nothing is to be bought would be said of houses that need things, and are worked by others or later."""
    text = " ".join(document_text(document_of(demo.shopping_list(**asked))).split())
    assert NO_JOB in text
    assert NOTHING not in text


def test_an_empty_list_says_so_once(demo: Office) -> None:
    """Nothing to buy is one sentence, whether work is left or not."""
    page = replace(demo.shopping_list([15]), supplies=(), stock=())
    assert not page.buy
    text = document_text(document_of(page))
    assert text.count("Nothing is to be bought") == 1
    assert "No job here has work left" not in text


def test_work_done_on_several_days_names_the_first_and_the_last(demo: Office) -> None:
    """Job 10: rows were laid in the den on Thursday and in the laundry on Friday."""
    (rows,) = [one for one in demo.job_record(10).work if one.what == "Lay laminate rows"]
    assert rows.where == "den and laundry"
    assert rows.when == "Thu 26 to Fri 27 Feb"


def test_a_week_over_new_year_names_both_years(demo: Office) -> None:
    """As any day beside a year that is not its own."""
    assert document_of(demo.week_sheet(date(2030, 1, 1))).aside == "Mon 31 Dec 2029 to Sun 6 Jan 2030"


def test_a_reserve_names_the_lot_that_lies_there(demo: Office) -> None:
    """Job 1's lot A carries all that is laid, as its take-off says: more of it is a reserve of that lot, with no day."""
    (plank,) = [one for one in demo.shopping_list([1]).buy if one.what == "harbor plank"]
    assert (plank.reserve, plank.by, plank.order_by) == ("reserve; lot A only, or none", None, None)
    text = document_text(document_of(demo.shopping_list([1])))
    assert "at once" not in text.split("TO ORDER")[1].split("FROM STOCK")[0]


def test_what_is_used_up_says_of_each_job_what_its_count_stands_on(demo: Office) -> None:
    """Feet of wall are one job's: each has its line and they add up to the count; a rule that all share stands once."""
    (caulk,) = [one for one in demo.shopping_list().supplies if one.what.endswith("caulk")]
    assert len(caulk.lines) == len(caulk.jobs) > 1
    assert sum(int(line.split()[2]) for line in caulk.lines) == int(caulk.amount.split()[0])
    for line in caulk.lines:  # 55 ft a tube, whole tubes
        tubes, feet = int(line.split()[2]), int(line.split()[4])
        assert tubes == -(-feet // 55)
    assert "ft of wall" not in caulk.rule
    (guard,) = [one for one in demo.shopping_list().supplies if one.what == "floor protection"]
    assert guard.lines == ()


def test_the_day_to_order_is_how_long_the_supplier_took_before(demo: Office) -> None:
    """By hand: the upper middle of all whole deliveries of a supplier, taken off the day in the house; under three say nothing."""
    with demo._database.reading() as uow:
        records = [*uow.live_jobs(), *uow.ended_jobs(40)]
    by_hand: dict[str, list[int]] = {}
    for record in records:
        for order in record.job.orders:
            of_it = [one for one in record.job.orders if one.material == order.material]
            lots = [lot for lot in record.lots if lot.material == order.material]
            if len(of_it) == 1 and order.ordered and sum(lot.cartons for lot in lots) >= order.cartons:
                last = max(lot.arrived_at for lot in lots).date()
                by_hand.setdefault(order.supplier, []).append((last - order.ordered).days)
        for line in record.job.goods:
            came = [one for one in record.goods_come if one.line == line.name]
            if line.ordered and sum(one.count for one in came) >= line.count:
                by_hand.setdefault(line.supplier, []).append((max(one.at for one in came).date() - line.ordered).days)
    took = supplier_days(records)
    assert took.keys() == {name for name, days in by_hand.items() if name and len(days) >= 3}
    assert all(took[name].days == sorted(by_hand[name])[len(by_hand[name]) // 2] for name in took)
    for one in demo.shopping_list().buy:
        if one.supplier in took and one.by is not None:
            assert one.order_by == one.by - timedelta(days=took[one.supplier].days)
        else:
            assert one.order_by is None


def test_a_shopping_list_is_for_whom_it_was_asked(demo: Office) -> None:
    """By jobs, by week, by crew; each narrows, and says on the page for whom it is."""
    assert demo.shopping_list([3]).whose == "job 3"
    assert {one.job for one in demo.shopping_list([3]).stock} == {3}
    cedar = demo.shopping_list(crew="cedar", week=date(2026, 3, 4))
    planned_there = {v.job for d in demo.week(date(2026, 3, 2)).days for v in d.visits if v.crew == "Cedar"}
    assert {one.job for one in (*cedar.buy, *cedar.stock, *cedar.on_its_way)} <= planned_there
    with pytest.raises(Refused, match="no crew 'Willow'"):
        demo.shopping_list(crew="Willow")
    with pytest.raises(Refused, match="closed"):
        demo.shopping_list([13])


def test_every_page_of_the_demo_goes_out_in_every_form(own: Office, tmp_path) -> None:
    """PDF, text, HTML and JSON of all five pages, under names that tell them apart."""
    pages = [own.week_sheet(), own.notice(1), own.ready_questions(12), own.job_record(5), own.shopping_list()]
    written = [path for page in pages for path in own.write_page(page, tmp_path)]
    assert len({path.name for path in written}) == 15
    assert all(path.stat().st_size > 200 for path in written)
    for page in pages:
        assert json.dumps(plain(page))


def pages_of(office: Office) -> list:
    """A page of every kind that office prints by itself."""
    return [office.week_sheet(), office.notice(4), office.job_record(4), office.shopping_list()]


def test_showing_a_page_records_nothing(two: Shop) -> None:
    """The database stays as it was, byte for byte."""
    before = two.path.read_bytes()
    for page in pages_of(two.office):
        two.office.page_text(page)
    two.office.day_plan_text(DEMO_NOW.date(), "")
    two.office.printed_sheets()
    assert two.path.read_bytes() == before


def test_a_sheet_has_another_revision_only_where_it_says_something_else(own: Office, tmp_path) -> None:
    """Printed twice it is the same one; after a tick the crew's page is the next; undo takes no print back."""

    def foot() -> str:
        return own.day_plan_text(monday, "Birch").splitlines()[-2]

    monday = DEMO_NOW.date()
    assert foot().startswith("Birch Mon 2 Mar, revision 1, plan 1 ")
    last = own.last_change()
    own.day_plans(monday, tmp_path)
    assert own.last_change() == last  # the demo printed these pages already
    task = next(task for house in own.site_day("Birch").houses for task in house.tasks if task.state != "done")
    own.tick(task.job, [task.number])
    assert foot().startswith("Birch Mon 2 Mar, plan ")  # only shown: no number another sheet would have
    assert {row.name: row.holds for row in own.printed_sheets().sheets}["Birch Mon 2 Mar"] is False
    own.day_plans(monday, tmp_path)
    assert own.last_change() > last
    found = {row.name: (row.revision, row.holds) for row in own.printed_sheets().sheets}
    assert found["Birch Mon 2 Mar"] == (2, True)
    assert foot().startswith("Birch Mon 2 Mar, revision 2, ")
    own.undo()
    found = {row.name: (row.revision, row.holds) for row in own.printed_sheets().sheets}
    assert found["Birch Mon 2 Mar"] == (2, False)  # the tick is taken back, the sheet is still out there
    assert foot().startswith("Birch Mon 2 Mar, plan ")


def test_every_sheet_holds_a_minute_after_it_was_printed(own: Office, tmp_path) -> None:
    """What is printed hangs on no clock but the one at its foot; a called-off job's sheets hold no more."""
    for page in (own.week_sheet(), own.notice(1), own.ready_questions(12), own.job_record(5), own.shopping_list()):
        own.write_page(page, tmp_path)
    later = Office(own._database, FixedClock(DEMO_NOW + timedelta(minutes=1)))
    rows = later.printed_sheets().sheets
    assert {row.kind for row in rows} == {
        "day plan",
        "week sheet",
        "notice",
        "house-ready questions",
        "job record",
        "shopping list",
    }
    assert [row.holds for row in rows] == [True] * len(rows)
    assert "Shopping list, all booked jobs" in {row.name for row in rows}
    tomorrow = Office(own._database, FixedClock(DEMO_NOW + timedelta(days=1)))
    assert tomorrow.printed_sheets().past == sum(row.kind == "day plan" for row in rows)


def test_a_shopping_list_is_compared_for_what_it_was_asked(own: Office, tmp_path) -> None:
    """Each by its own jobs, crew and week: after an order is placed those that have it are to be printed again, the others hold."""
    week, lists = date(2026, 3, 9), {}
    many = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]
    for jobs, crew, day in (
        ([6, 5], "", None),
        ([1, 1], "", None),
        ([], "cedar", week),
        ([], "", week),
        (many, "", None),
        ([*many[:-1], 12], "", None),
    ):
        page = own.shopping_list(jobs, crew=crew, week=day)
        own.write_page(page, tmp_path)
        lists[page.whose] = page
    names = ["jobs 6 and 5", "job 1", "cedar, week of Mon 9 Mar", "week of Mon 9 Mar"]
    assert list(lists) == [*names, *(f"jobs 1, 2, 3, 4, 5, 6, 7, 8, 9, 10 and {last}" for last in (11, 12))]
    rows = {
        row.name.partition(", ")[2]: row.holds for row in own.printed_sheets().sheets if row.kind == "shopping list"
    }
    assert rows == dict.fromkeys(lists, True)
    own.arrived(12, "creek maple", 10, lot="A")
    rows = {
        row.name.partition(", ")[2]: row.holds for row in own.printed_sheets().sheets if row.kind == "shopping list"
    }
    assert (rows["job 1"], rows["jobs 6 and 5"]) == (True, True)
    assert rows["week of Mon 9 Mar"] is False
    assert [holds for name, holds in rows.items() if name.startswith("jobs 1, 2")] == [
        False,
        True,
    ]  # the one with job 12
    after = Office(own._database, FixedClock(DEMO_NOW + timedelta(days=21)))
    assert "week of" not in " ".join(row.name for row in after.printed_sheets().sheets)


def test_printing_makes_no_plan_old(own: Office, tmp_path) -> None:
    """A sheet that was printed is no fact the plan has to take in: with work behind, too, it says the same again."""
    late = Office(own._database, FixedClock(DEMO_NOW + timedelta(days=1, hours=2)), who="tester")
    late.write_page(late.week_sheet(), tmp_path)
    late.write_page(late.ready_questions(12), tmp_path)
    assert {row.kind: row.holds for row in late.printed_sheets().sheets}["week sheet"] is True
    assert "printed" not in late.week().stale


def test_the_leads_copy_is_the_same_sheet(own: Office, tmp_path) -> None:
    """Its entry notes make no other revision, nor does its paper."""
    last = own.last_change()
    own.day_plans(DEMO_NOW.date(), tmp_path, lead_copy=True, paper="a4")
    assert own.last_change() == last


def test_the_templates_that_pages_know_are_the_catalogues(demo: Office) -> None:
    """Every template named by these pages is in the catalogue, and furniture waits are told by their names."""
    with demo._database.reading() as uow:
        catalogue = demo._catalogue(uow)
    keys = {template.key for template in catalogue.templates}
    assert BEFORE_LAID.keys() == {one.key for one in catalogue.templates if one.phase is Phase.ACCLIMATE}
    assert keys >= FURNITURE_BACK | LAID_ON_STAIRS | HOUSE_WORDS.keys() | {EXTRA_WORK, OVER}
    for out, (back, kinds) in BACK_AND_WHAT.items():
        template = next(one for one in catalogue.templates if one.key == out)
        assert template.applies.fixtures == {kind.value for kind in kinds}
        assert back in keys
    waits = {wait.name for template in catalogue.templates for wait in template.waits}
    assert any(FURNITURE in name for name in waits)
    assert any("light foot" in name for name in waits)


def test_what_came_or_lies_in_a_room_is_not_bought_again(own: Office) -> None:
    """Job 2: the plywood of the bath is carried in, then its base is on; the list has the back hall's alone."""

    def stock() -> dict[str, tuple[str, str]]:
        return {one.what: (one.amount, one.why) for one in own.shopping_list([2]).stock}

    assert stock()["plywood underlayment"] == ("3 sheets", "for bath and back hall")
    own.tick(2, [6], because="it came with another job's")
    assert stock()["plywood underlayment"] == ("2 sheets", "for back hall")
    assert stock()["base"] == ("4 sticks", "for bath and back hall")
    own.tick(2, [37], because="only the base was ticked")
    assert stock()["base"] == ("2 sticks", "for back hall")
    own.tick(2, [7], because="it came, too")
    assert "plywood underlayment" not in stock()


def test_what_was_ordered_for_a_job_called_off_is_on_its_way_until_somebody_stops_it(
    own: Office, demo_file: Path
) -> None:
    """Ten cartons of maple come on the Monday after next, job or no job: the list and the week's sheet say so, and what to do."""
    own.edit(12, own.job(12).version, {"state": "called off"})
    words = "job called off: stop it or say where it goes"
    [maple] = [one for one in own.shopping_list().on_its_way if one.what == "creek maple"]
    assert (maple.job, maple.amount, maple.late) == (12, "10 cartons", False)
    assert maple.due == f"promised for Mon 9 Mar 13:00; {words}"
    sheet = own.week_sheet(date(2026, 3, 9))
    [comes] = [one for day in sheet.beside for one in day.comes if "creek maple" in one]
    assert comes == f"13:00 job 12 creek maple, 10 cartons; {words}"
    in_week = {
        day: any(one.job == 12 for one in own.shopping_list(week=date(2026, 3, day)).on_its_way) for day in (4, 11)
    }
    assert in_week == {4: False, 11: True}
    assert not [one for one in own.shopping_list(crew="Birch").on_its_way if one.job == 12]
    later = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW + timedelta(days=8)), who="tester")
    [late] = [one for one in later.shopping_list().on_its_way if one.job == 12]
    assert late.late
    assert late.due == f"was due Mon 9 Mar 13:00; {words}", "nobody asks for a new day of what is to be stopped"
    later.arrived(12, "creek maple", 10)
    assert not [one for one in later.shopping_list().on_its_way if one.job == 12]
