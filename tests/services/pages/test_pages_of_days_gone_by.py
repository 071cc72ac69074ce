"""What pages for customers say of days that have gone by."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace

import pytest

from crewjobs.domain.wall import to_utc
from crewjobs.services.clock import FixedClock
from crewjobs.services.office import Office
from crewjobs.services.pages.notice_no_day import promised_words
from crewjobs.storage.database import open_database


def at(path, day: int, clock: int = 8 * 60) -> Office:
    moment = to_utc("America/Chicago", date(2026, 3, day), clock)
    return Office(open_database(path, create=False), FixedClock(moment), who="tester")


def told(office: Office, page) -> str:
    return " ".join(office.page_text(page).split())


def test_no_answer_is_asked_for_today_where_no_day_is_planned(demo_file):
    """All its work is gone by and not ticked: it has no new day, so no answer has a day either; one with a day to come has one."""
    office = at(demo_file, 20)
    page = office.ready_questions(3)
    text = told(office, page)
    assert "What is left of our work has no new day yet" in text
    assert page.answer_by is None
    assert "! Please answer" not in text
    early = at(demo_file, 2)
    assert "! Please answer by" in told(early, early.ready_questions(3))


def test_somebody_waited_for_whose_day_is_gone_by_was_promised_for_it(demo_file):
    """The painter, promised for Thursday 17:00, is told of on Friday as promised then and not done."""
    before, after = at(demo_file, 5, 16 * 60), at(demo_file, 6)
    assert "We wait for the painter, promised for Thu 5 Mar 17:00" in told(before, before.notice(6))
    assert "We wait for the painter: was promised for Thu 5 Mar 17:00, not done yet" in told(after, after.notice(6))


@pytest.mark.parametrize(
    ("hour", "said"),
    [(9, ", expected Mon 2 Mar at the earliest; no day is promised yet"), (11, "; no day is promised yet")],
)
def test_who_was_expected_by_a_day_that_is_over_is_not_expected_by_it(hour, said):
    """Nobody promised it: that it is usual by then says nothing any more."""
    record = SimpleNamespace(job=SimpleNamespace(site=SimpleNamespace(zone="UTC")))
    waits = SimpleNamespace(promised=to_utc("UTC", date(2026, 3, 2), 10 * 60), usual=True, to_be_asked=False)
    assert promised_words(record, waits, to_utc("UTC", date(2026, 3, 2), hour * 60)) == said
