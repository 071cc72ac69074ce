"""A calendar program played by tests: it knows an event by its UID and takes what has the higher SEQUENCE (RFC 5545, 3.8.7.4)."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import icalendar
import vobject


@dataclass(frozen=True)
class Seen:
    """An event as a program reads it."""

    uid: str
    sequence: int
    cancelled: bool
    start: object
    end: object
    summary: str
    place: str
    text: str


def read(data: bytes) -> list[Seen]:
    """Return the events of a file by icalendar, and assert that vobject reads the same."""
    assert data.count(b"\n") == data.count(b"\r\n")
    for line in data.split(b"\r\n"):
        assert len(line) <= 75  # octets without the line's end (RFC 5545, 3.1)
        line.decode("utf-8")  # no sign is cut in two
    calendar = icalendar.Calendar.from_ical(data)
    assert (calendar["version"], calendar["method"]) == ("2.0", "PUBLISH")
    assert calendar["prodid"]
    found = [_by_icalendar(event) for event in calendar.walk("VEVENT")]
    other = vobject.readOne(data.decode())
    assert found == [_by_vobject(event) for event in other.contents.get("vevent", [])]
    assert len({seen.uid for seen in found}) == len(found)
    return found


def _by_icalendar(event) -> Seen:
    assert event.errors == []
    for wanted in ("DTSTAMP", "LAST-MODIFIED", "TRANSP", "CATEGORIES"):
        assert wanted in event
    return Seen(
        uid=str(event["UID"]),
        sequence=int(event["SEQUENCE"]),
        cancelled=event["STATUS"] == "CANCELLED",
        start=event["DTSTART"].dt,
        end=event["DTEND"].dt if "DTEND" in event else None,
        summary=str(event["SUMMARY"]),
        place=str(event.get("LOCATION", "")),
        text=str(event.get("DESCRIPTION", "")),
    )


def _by_vobject(event) -> Seen:
    def value(name: str):
        found = event.contents.get(name)
        return found[0].value if found else ""

    return Seen(
        uid=value("uid"),
        sequence=int(value("sequence")),
        cancelled=value("status") == "CANCELLED",
        start=value("dtstart"),
        end=value("dtend") or None,
        summary=value("summary"),
        place=value("location"),
        text=value("description"),
    )


class Program:
    """Keeps what it imported."""

    def __init__(self) -> None:
        self.events: dict[str, Seen] = {}

    def take(self, events: list[Seen]) -> None:
        """Import a file's events: what is known with as high a number stays, and is the same."""
        for seen in events:
            known = self.events.get(seen.uid)
            if known is not None and known.sequence == seen.sequence:
                assert known == seen
            if known is None or seen.sequence > known.sequence:
                self.events[seen.uid] = seen

    def take_file(self, path: Path) -> list[Seen]:
        """Import a file."""
        events = read(path.read_bytes())
        self.take(events)
        return events

    @property
    def shown(self) -> list[Seen]:
        """Return what it shows, by start."""
        return sorted((seen for seen in self.events.values() if not seen.cancelled), key=lambda seen: str(seen.start))
