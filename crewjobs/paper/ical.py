"""A calendar as a file that phones and calendar programs import (RFC 5545, published as RFC 5546 has it).

Instants are written in UTC, which needs no table of time zones and means the same minute everywhere; whole days as dates.
RFC 5546 would name an organizer too: a shop may have no mail, and programs take an organizer for an invitation to be
answered, so none is named.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Final
from unicodedata import category

from crewjobs.paper.calendar import Calendar, CalendarEvent

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT: Final = "-//crewjobs//crewjobs//EN"
LINE_ENDS: Final = ("\u2028", "\u2029")
"""Signs that some programs take for the end of a line."""


def ical(calendar: Calendar, now: datetime) -> bytes:
    """Return a calendar as the bytes of its file, made at an instant (UTC)."""
    from icalendar import Calendar as Component
    from icalendar import vText

    component = Component()
    component.add("prodid", PRODUCT)
    component.add("version", "2.0")
    component.add("calscale", "GREGORIAN")
    component.add("method", "PUBLISH")
    component.add("x-wr-calname", vText(_plain(calendar.name)))  # a name of no kind of its own would go unescaped
    for event in calendar.events:
        component.add_component(_event(event, now))
    data: bytes = component.to_ical()
    return data


def _event(event: CalendarEvent, now: datetime) -> Event:
    from icalendar import Event

    component = Event()
    component.add("uid", event.uid)
    component.add("dtstamp", now.replace(microsecond=0))
    component.add("last-modified", event.changed_at.replace(microsecond=0))
    component.add("sequence", event.sequence)
    component.add("dtstart", event.start)
    if event.end is not None:
        component.add("dtend", event.end)
    component.add("summary", _plain(event.summary))
    if event.address:
        component.add("location", _plain(event.address))
    if event.lines:
        component.add("description", "\n".join(_plain(line) for line in event.lines))
    component.add("categories", [event.kind.value])
    component.add("transp", "OPAQUE" if event.busy and not event.cancelled else "TRANSPARENT")
    component.add("status", "CANCELLED" if event.cancelled else "CONFIRMED")
    return component


def _plain(text: str) -> str:
    """Return a text in one line without control characters, which the format has no place for."""
    return "".join(" " if category(sign) == "Cc" or sign in LINE_ENDS else sign for sign in text)
