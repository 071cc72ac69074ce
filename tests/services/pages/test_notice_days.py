"""The customer's notice: what is asked of the house for a small visit, one day for one thing, and a floor without a day."""

from __future__ import annotations

import contextlib
from datetime import date, timedelta

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.house_ready import ASK_AHEAD_DAYS
from crewjobs.domain.tasks import ScopeKind
from crewjobs.domain.wall import days_from, to_utc, to_wall
from crewjobs.domain.wording import moment_words
from crewjobs.engines.readiness.house import is_looking
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.services.pages.notice import stretches_of
from crewjobs.services.pages.notice_no_day import SOMEBODY_THERE
from crewjobs.services.pages.plain_words import on_paper
from crewjobs.services.waiting.around_waits import working_days_before
from crewjobs.services.weeks.visits import planned, quarter_before
from crewjobs.storage.database import open_database


@pytest.fixture(scope="module")
def demo(demo_made) -> Office:
    """The demo, only looked at."""
    return Office(open_database(demo_made, create=False), FixedClock(DEMO_NOW), who="tester")


def _text(office: Office, page) -> str:
    return " ".join(office.page_text(page).split())


@pytest.mark.parametrize(
    ("job", "looks", "why"),
    [(8, "We measure", "said yes to our offer"), (7, "the way in", "barrel oak is late")],
)
def test_a_small_visit_asks_for_nothing_but_somebody_there(demo: Office, job: int, looks: str, why: str) -> None:
    """No room is emptied for half an hour of looking; that the floor itself has no day is said, with why."""
    notice = demo.notice(job)
    assert not notice.clear
    assert not notice.out
    assert notice.ready == (SOMEBODY_THERE,)
    assert looks in notice.days[0].looks
    assert notice.no_day.startswith("Your floor has no day yet: ")
    assert why in notice.no_day
    assert notice.no_day in _text(demo, notice)
    assert "`" not in notice.no_day


def test_a_job_with_a_visit_to_come_after_it_was_closed_gets_a_notice(demo: Office) -> None:
    """Job 13 is closed, and somebody comes for a callback: that day is told, and no word of a floor to come."""
    notice = demo.notice(13)
    assert [one.day for one in notice.days] == [date(2026, 3, 5)]
    assert notice.ready == (SOMEBODY_THERE,)
    assert not notice.no_day


def test_a_room_is_cleared_by_one_evening_before_its_cartons_come(demo: Office) -> None:
    """Of every job: the evening named is before all that comes into the room, and nothing else names another day for it."""
    seen = 0
    for job in (3, 6, 12):
        notice = demo.notice(job)
        carried = [one.day for one in notice.days if "Carry in" in one.what]
        for one in notice.clear:
            assert one.by is not None
            if one.cartons is not None:
                seen += 1
                assert one.cartons in carried
                assert one.by == one.cartons - timedelta(days=1)
        assert notice.clear
        assert not [words for words in notice.ready if "emptied" in words]
        assert "emptied" not in _text(demo, notice).partition("WHAT TO CLEAR")[2]
    assert seen > 3


def test_the_house_is_asked_by_a_day_though_its_cartons_were_carried_in(demo_made) -> None:
    """Job 5 took its cartons a week ago and nobody has asked since: the questions and the notice name first day and answer's day."""
    now = to_utc("America/Chicago", date(2026, 3, 16), 8 * 60)
    office = Office(open_database(demo_made, create=False), FixedClock(now), who="tester")
    questions, notice = office.ready_questions(5), office.notice(5)
    assert questions.first == notice.days[0].day == date(2026, 3, 18)
    with office._database.reading() as uow:
        shop = uow.shop()
    assert questions.answer_by == working_days_before(shop, date(2026, 3, 18), ASK_AHEAD_DAYS) == notice.ready_by
    assert "comes first on Wed 18 Mar" in _text(office, questions)
    assert "Please answer today, Mon 16 Mar." in _text(office, questions)
    assert "PLEASE HAVE READY BY MON 16 MAR" in _text(office, notice)


def test_stairs_closed_over_nights_are_told_where_they_are_agreed(demo: Office) -> None:
    """Job 5: the notice minds it and the week sheet has it before the start, from and to when the notice has the stairs out."""
    notice = demo.notice(5)
    stairs = next(one for one in notice.out if one.room == "main stairs")
    (told,) = [one for one in notice.cautions if one.startswith("Main stairs")]
    assert "another way out and to the bathroom" in told.lower()
    assert "nights" in told
    (warned,) = [one for one in demo.week_sheet().warnings if "main stairs" in one]
    out, back = stairs.out.partition("about ")[2], stairs.walk.partition("before ")[2].rstrip(".")
    assert f"from {out} to {back}, nights included" in warned
    assert not [one for one in demo.notice(6).cautions if "tairs" in one]


def test_a_room_is_out_of_use_from_its_own_first_minute(demo: Office) -> None:
    """Of a block of several rooms each is out from when the day plan begins in it, and cleared the evening before or earlier."""
    with demo._database.reading() as uow:
        found = planned(uow)
    assert found is not None
    later = 0
    for record in found.records.values():
        zone = record.job.site.zone
        pieces = [p for s in stretches_of(found, record.job.number, DEMO_NOW) for p in s.pieces]
        rooms = {room.name for room in record.job.rooms}
        for one in demo.notice(record.job.number).out:
            if one.room not in rooms or "about" not in one.out:
                continue
            own = [t for t in record.tasks if t.key.scope.name == one.room and not is_looking(t) and not t.not_needed]
            numbers = {t.number for t in own if t.key.scope.kind in (ScopeKind.ROOM, ScopeKind.SECTION)}
            first = min(p.start for p in pieces if p.task in numbers)
            assert one.out == f"out of use from about {moment_words(to_wall(zone, quarter_before(first)))}"
            blocks = [
                p.start for p in found.plan.placements if p.key.job == record.job.number and numbers & set(p.tasks)
            ]
            later += min(blocks) < quarter_before(first)
            cleared = next((c.by for c in demo.notice(record.job.number).clear if c.room == one.room), None)
            assert cleared is None or cleared < to_wall(zone, first).date()
    assert later


def test_a_day_says_where_and_in_words_a_customer_knows(demo: Office) -> None:
    """Work at doorways alone names their rooms; nobody is told of a phase by its word of the trade."""
    assert "Install (doorways of front room and back room)" in {one.what for one in demo.notice(11).days}
    days = [one.what for job in range(1, 13) for one in demo.notice(job).days]
    assert not [what for what in days if "cclimate" in what]
    assert [what for what in days if "get used to the rooms" in what]


def test_no_page_of_the_demo_names_a_command(demo: Office, tmp_path) -> None:
    """All pages of paper of the demo, days and jobs, in plain words."""
    texts = [demo.page_text(demo.week_sheet(day)) for day in (date(2026, 3, 2), date(2026, 3, 9), date(2026, 3, 16))]
    texts.append(demo.page_text(demo.shopping_list()))
    for job in range(1, 16):
        for page in (demo.notice, demo.job_record, demo.ready_questions):
            with contextlib.suppress(Refused):
                texts.append(demo.page_text(page(job)))
    for day in days_from(date(2026, 3, 2), 4):
        texts += demo.day_plan_text(day, "").split("\n\n\n")
    assert len(texts) > 45
    assert not [line for text in texts for line in text.splitlines() if "`" in line]


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ("nobody has asked (`crewjobs ready 13 --asked NAME --all` when it is)", "nobody has asked"),
        ("no task levels it: `crewjobs found 4 den dip` or `hump` adds the work", "no task levels it"),
        ("It is stale. `crewjobs plan` makes it anew. So it is.", "It is stale. So it is."),
        ("Nothing (at all); nothing.", "Nothing (at all); nothing."),
    ],
)
def test_a_command_is_left_out_of_a_sentence_on_paper(said: str, read: str) -> None:
    """What surrounds it stays a sentence."""
    assert on_paper(said) == read
