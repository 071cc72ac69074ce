"""Calendars as files: read back by two parsers, whatever signs are in the names; no field for what is private."""

from __future__ import annotations

from dataclasses import fields
from datetime import UTC, date, datetime, timedelta

import pytest

from crewjobs.domain.calendar import EventKind, WrittenEvent
from crewjobs.paper.calendar import Calendar, CalendarEvent
from crewjobs.paper.ical import ical
from tests.calendars import read

NOW = datetime(2026, 3, 2, 12, 30, 15, 999, tzinfo=UTC)
NAMES = {
    "plain": "Den, Quarry Road",
    "signs": r'a;b,c\d "e" \n : f=g',
    "long": "x" * 200,
    "long words": "Living room and hall, in halves " * 6,
    "Arabic": "غرفة المعيشة، شارع المحجر " * 8,
    "CJK": "居間と廊下を半分ずつ張り替える" * 13,
    "joined": "👩‍👩‍👧‍👦" * 25,
    "nothing": "",
}


def event(**but) -> CalendarEvent:
    usual = {
        "uid": "1",
        "sequence": 0,
        "kind": EventKind.VISIT,
        "start": NOW.replace(second=0, microsecond=0),
        "end": NOW.replace(second=0, microsecond=0) + timedelta(hours=2),
        "changed_at": NOW,
        "summary": "Den",
    }
    return CalendarEvent(**(usual | but))


@pytest.mark.parametrize("name", NAMES)
def test_every_name_is_read_back_as_it_was(name):
    """Escaped and folded within 75 octets (RFC 5545, 3.1 and 3.3.11), both parsers give back the same signs."""
    text = NAMES[name]
    [seen] = read(ical(Calendar(name=text, events=(event(summary=text, address=text, lines=(text, text)),)), NOW))
    assert (seen.summary, seen.place) == (text, text)
    assert seen.text == f"{text}\n{text}"


def test_control_characters_and_line_ends_become_spaces():
    """A line of ours cannot be ended from within: no name smuggles in a property."""
    sly = "a\r\nATTENDEE:mailto:x\x07\u2028b\x85c"
    data = ical(Calendar(name=sly, events=(event(summary=sly),)), NOW)
    [seen] = read(data)
    assert seen.summary == "a  ATTENDEE:mailto:x  b c"
    assert b"\r\nATTENDEE" not in data


def test_instants_are_in_utc_and_days_are_dates():
    """A visit begins and ends at instants, a delivery without an hour is its day, what is ready is an instant alone."""
    day = date(2026, 3, 18)
    events = (
        event(uid="visit", busy=True),
        event(uid="day", kind=EventKind.DELIVERY, start=day, end=day + timedelta(days=1)),
        event(uid="ready", kind=EventKind.READY, end=None),
        event(uid="gone", sequence=3, cancelled=True, busy=True),
    )
    data = ical(Calendar(name="Birch", events=events), NOW)
    visit, whole, ready, gone = read(data)
    assert (visit.start, visit.end) == (events[0].start, events[0].end)
    assert (whole.start, whole.end) == (day, day + timedelta(days=1))
    assert (ready.start, ready.end) == (events[2].start, None)
    assert (gone.cancelled, gone.sequence) == (True, 3)
    for line in (b"DTSTART:20260302T123000Z", b"DTSTART;VALUE=DATE:20260318", b"DTSTAMP:20260302T123015Z"):
        assert line in data.split(b"\r\n")
    assert (data.count(b"TRANSP:OPAQUE"), data.count(b"TRANSP:TRANSPARENT")) == (1, 3)


@pytest.mark.parametrize("kind", [Calendar, CalendarEvent, WrittenEvent])
def test_calendars_have_no_field_for_what_is_private(kind):
    """Neither what is sent nor what is kept of it can hold a phone, mail, entry note or customer."""
    names = {field.name for field in fields(kind)}
    assert not [n for n in names if any(word in n for word in ("phone", "mail", "entry", "note", "customer", "reason"))]
