"""The facts of a house that stop a crew at its door, in the same words on the job's page, On site and on paper."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from itertools import groupby

from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import WeekHours, clock_beside, clock_name, to_wall
from crewjobs.domain.wording import day_words, listed
from crewjobs.services.weeks.cut_off import setting_on_the_way
from crewjobs.services.weeks.toilets import none_to_use, outages, resets, toilet_rooms

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def site_facts(record: JobRecord, now: datetime, at: datetime | None = None) -> Iterator[tuple[str, str]]:
    """Yield each fact as a label and its text, in the order of the printed page, without entry notes; its clock as it stands `at` the visit.

    Pets, parking, hours and key where they were given; whether there is a toilet for the crew always, as it is at an instant.
    """
    site = record.job.site
    built = f"built {site.year_built}" if site.year_built else "year built unknown, counts as old"
    yield "House", f"{built}; {'occupied' if site.occupied else 'empty'}; {site.grade} grade"
    name = clock_name(to_wall(site.zone, at or now))
    if clock := clock_beside(site.zone, at or now):
        yield "Clock there", f"{clock}; hours without a name are the shop's, a moment typed for this job is {name}"
    own = f" ({name})" if name else ""
    if site.hours is not None:
        yield "Site hours", _site_hours(site.hours, site.elevator) + own
    elif site.elevator is not None:
        yield "Elevator", week_hours(site.elevator) + own
    if record.job.blocked:
        days = listed([day_words(day) for day in sorted(record.job.blocked)], most=6)
        yield "Nobody may work there", f"on {days}"
    if site.flights_up:
        yield "Stairs up", f"{site.flights_up} flight{'s' if site.flights_up > 1 else ''}"
    for label, text in (("Pets", site.pets), ("Parking", site.parking), ("Key", site.key_with)):
        if text:
            yield label, text
    yield "Toilet for the crew", _crew_toilet(record, now)


def week_hours(hours: WeekHours) -> str:
    """Return hours as people say them: ``9:00-16:00 Mon-Fri, 9:00-12:00 Sat``."""
    runs = groupby(enumerate(hours.days), key=lambda day: day[1])
    said = []
    for spans, run in runs:
        if spans:
            days = [number for number, _ in run]
            name = _DAYS[days[0]] if len(days) == 1 else f"{_DAYS[days[0]]}-{_DAYS[days[-1]]}"
            said.append(f"{' and '.join(f'{_clock(s.start)}-{_clock(s.end)}' for s in spans)} {name}")
    return ", ".join(said)


def _site_hours(hours: WeekHours, elevator: WeekHours | None) -> str:
    """Return a site's hours with the days it is shut and the elevator's slot, its days only where they differ."""
    shut = [_DAYS[number] for number, spans in enumerate(hours.days) if not spans]
    text = week_hours(hours)
    if 0 < len(shut) < 7:
        text += f", not on {listed(shut, most=7)}"
    if elevator is None:
        return text
    slots = {spans for spans in elevator.days if spans}
    same_days = [bool(spans) for spans in elevator.days] == [bool(spans) for spans in hours.days]
    if len(slots) == 1 and same_days:
        return f"{text}; elevator {' and '.join(f'{_clock(s.start)}-{_clock(s.end)}' for s in slots.pop())}"
    return f"{text}; elevator {week_hours(elevator)}"


def _clock(minute: int) -> str:
    return f"{minute // 60}:{minute % 60:02d}"


def _crew_toilet(record: JobRecord, now: datetime) -> str:
    if not record.job.site.crew_toilet:
        return "none in the house"
    if shut := none_to_use(record, now):
        return shut
    pairs = [pair for pair in resets(record) if pair.back.open]
    if pairs and len(pairs) == len(resets(record)):
        instead = record.job.site.toilet_meanwhile or "another is agreed before"
        lead = list(dict.fromkeys(pair.why for pair in pairs if pair.for_lead))
        if len(pairs) > 1 and not record.job.site.toilet_meanwhile and not lead:
            return "in the house, ask first; all that are listed come out for this job, one after the other"
        only = len(pairs) == 1
        which = f"{'the only one listed comes' if only else 'all that are listed come'} out for this job"
        if lead:  # one that is cut off stays where it is
            which = f"{'the only one listed is' if only else 'all that are listed are'} out for some of this job's days"
        why = f" ({'; '.join(lead)})" if lead else ""
        return f"in the house, ask first; {which}{why}: {instead}"
    return f"in the house, ask first{_while_it_sets(record, now)}"


def _while_it_sets(record: JobRecord, now: datetime) -> str:
    """Return when none of the toilets is come to for a floor that sets, and what is used then; empty where one is."""
    gone = {one.room for one in outages(record) if one.back.open}
    ways = {room: setting_on_the_way(record, room, now) for room in toilet_rooms(record) if room not in gone}
    if not ways or not all(ways.values()):
        return ""
    said = [f"{listed(rooms)}, the only way to {room}" for room, rooms in ways.items()]
    return f"; not while the floor sets in {'; '.join(said)}: {record.job.site.toilet_meanwhile or 'another is agreed before'}"
