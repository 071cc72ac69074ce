"""Days and hours of a kept form, read on another day: they mean the day they were typed on."""

from __future__ import annotations

from datetime import datetime

import pytest

from crewjobs.services.forms.kept import KeptForm, KeptPage, typed_in
from crewjobs.services.forms.kept_days import DayLine, How, as_meant, written_out

MONDAY = datetime(2026, 3, 2, 15, 30)


@pytest.mark.parametrize(
    ("how", "typed", "meant"),
    [
        (How.DAY, "today", "2026-03-02"),
        (How.DAY, "tomorrow", "2026-03-03"),
        (How.DAY, "fri", "2026-03-06"),
        (How.GONE_DAY, "fri", "2026-02-27"),
        (How.GONE_DAY, "yesterday", "2026-03-01"),
        (How.MOMENT, "14:30", "2026-03-02 14:30"),
        (How.MOMENT, "yesterday 16:00", "2026-03-01 16:00"),
        (How.AHEAD, "thu 7:00", "2026-03-05 07:00"),
        (How.AHEAD, "16:00", "2026-03-02 16:00"),
        (How.PROMISED, "wed 10:00", "2026-03-04 10:00"),
        (How.PROMISED, "wed", "2026-03-04"),
        (How.PROMISED, "none", "none"),
        (How.DAYS, "mon to wed, 2026-03-20, US-TX", "2026-03-02 to 2026-03-04, 2026-03-20, US-TX"),
        (How.MOMENT, "2026-02-28 9:00", "2026-02-28 9:00"),
        (How.DAY, "banana", "banana"),
        (How.DAY, "", ""),
    ],
)
def test_it_is_written_out_as_it_was_meant(how: How, typed: str, meant: str) -> None:
    """What has its date, and what is no day, stands as it was typed."""
    assert as_meant(typed, DayLine("Day", how), MONDAY) == meant


def test_an_empty_line_is_the_moment_it_was_left_empty() -> None:
    """Where empty says now, or today."""
    assert as_meant("", DayLine("When", How.MOMENT, "now"), MONDAY) == "2026-03-02 15:30"
    assert as_meant("", DayLine("Day", How.GONE_DAY, "today"), MONDAY) == "2026-03-02"


def test_only_lines_of_days_are_written_out_and_it_is_told() -> None:
    """Words elsewhere stay as they are; of today nothing is written out."""
    page = KeptPage(kind="terms", origin=0, texts={"promised": "fri", "title": "fri"})
    order = KeptPage(kind="order", origin=0, texts={"ordered": "fri", "due": "fri 8:00"})
    kept = KeptForm(
        form="job",
        title="Job 4",
        texts={"day": "today", "because": "today"},
        pages=(page, order),
        moment="2026-03-02T15:30:00-06:00",
    )
    lines = {"day": DayLine("Day", How.DAY)}
    found = written_out(kept, lines)
    assert found.texts == {"day": "2026-03-02", "because": "today"}
    assert found.pages[0].texts == {"promised": "2026-03-06", "title": "fri"}
    assert found.pages[1].texts == {"ordered": "2026-02-27", "due": "2026-03-06 8:00"}
    assert found.meant[:3] == ("Day 2026-03-02 ('today')", "Promised 2026-03-06 ('fri')", "Ordered 2026-02-27 ('fri')")
    assert typed_in(found)[:4] == ["today", "today", "Days, Title: 'fri'", "Days, Promised: 'fri'"]  # as it was typed
    of_today = KeptForm(form="job", title="Job 4", texts=kept.texts, pages=(page,))
    assert written_out(of_today, lines) is of_today


def test_what_a_new_page_begins_with_is_not_told_as_typed() -> None:
    """Nobody typed its 'today': it is the day it is opened again, or of a page that is begun the day it was, told so."""
    texts = {"material": "new floor", "cartons": "", "ordered": "today", "due": ""}
    untouched = KeptPage(kind="order", origin=0, texts=texts, typed=())
    more = {"cartons": "9", "due": "mon 8am"}
    for typed in (tuple(more), None):
        begun = KeptPage(kind="order", origin=1, texts=texts | more, typed=typed)
        kept = KeptForm(form="job", title="New job", pages=(untouched, begun), moment="2026-03-02T15:30:00-06:00")
        found = written_out(kept, {})
        assert [page.texts["ordered"] for page in found.pages] == ["today", "2026-03-02"]
        assert found.meant == ("Ordered 2026-03-02 ('today', as it stood there)", "Comes 2026-03-02 8am ('mon 8am')")
        assert typed_in(found)[-2:] == ["Order new floor, Cartons: '9'", "Order new floor, Comes: 'mon 8am'"]
