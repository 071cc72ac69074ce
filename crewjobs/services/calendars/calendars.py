"""Calendars written: a file for each crew and each job, and what they said kept, so that the next files are changes to them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.domain.calendar import EventKind, WrittenEvent, crew_calendar, job_calendar
from crewjobs.domain.crew import Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.planning.roster import with_parts
from crewjobs.paper.calendar import Calendar, CalendarEvent
from crewjobs.services.calendars.calendar_events import PlannedEvent, Visited, cut_short, planned_events, to_house
from crewjobs.services.calendars.calendar_files import file_names, places, staged
from crewjobs.services.calendars.calendar_rows import CalendarRow, CalendarsView
from crewjobs.services.calendars.calendar_written import Named, ToWrite, named, to_write
from crewjobs.services.findings.house_told import with_houses
from crewjobs.services.findings.same_house import found_in_their_houses
from crewjobs.services.pages.sheets import NO_PLAN
from crewjobs.services.people.people import LONGEST, find_person
from crewjobs.services.weeks.days_done import DaysDone
from crewjobs.services.weeks.under_way import crews_at, left_at
from crewjobs.services.weeks.visits import QUARTER_HOUR, Planned, planned
from crewjobs.services.wording import no_crew

if TYPE_CHECKING:
    from crewjobs.storage.database import Database
    from crewjobs.storage.unit_of_work import UnitOfWork


@dataclass(frozen=True, slots=True, kw_only=True)
class _Chosen:
    """A calendar to write: as it is called in the records, to people, and by what name of file."""

    key: str
    told: str
    title: str
    file: str
    visits_only: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """Calendars with what each says now."""

    chosen: tuple[_Chosen, ...]
    said: tuple[tuple[ToWrite, ...], ...]

    def view(
        self, files: Sequence[Path | None], change: int | None, *, written: bool, there: Set[Path] = frozenset()
    ) -> CalendarsView:
        rows = tuple(_row(*one, there) for one in zip(self.chosen, self.said, files, strict=True))
        return CalendarsView(calendars=rows, change=change, written=written)


def write(
    database: Database, who: str, now: datetime, out: Path, *, crew: str = "", job: int | None = None
) -> CalendarsView:
    """Write the calendars of a crew or person, of a job or of all of them, and keep what they said.

    `out` is a folder, or for one calendar a file that ends in ``.ics``. The files are written beside their places first, and
    put in place once it is kept what they say: where they cannot be written nothing is kept.

    Raises:
        Refused: nothing is planned, no such crew, person or job, or the files cannot be written.
    """
    from crewjobs.paper.ical import ical

    with database.unit_of_work(who) as uow:
        told = _told(uow, now, crew, job)
        files = places(
            [one.file if events_of else None for one, events_of in zip(told.chosen, told.said, strict=True)],
            out,
            single=bool(crew) != (job is not None),
        )
        data = {
            path: ical(Calendar(name=one.title, events=tuple(map(_event, events_of))), now)
            for one, events_of, path in zip(told.chosen, told.said, files, strict=True)
            if path is not None
        }
        there = {path for path in data if path.exists()}
        with staged(data) as put_in_place:
            change = _keep(uow, told.chosen, told.said, now)
            put_in_place()
    return told.view(files, change, written=True, there=there)


def look(uow: UnitOfWork, now: datetime, *, crew: str = "", job: int | None = None) -> CalendarsView:
    """Return what the calendars would say; no file is made, and nothing is kept.

    Raises:
        Refused: nothing is planned, no such crew, person or job.
    """
    told = _told(uow, now, crew, job)
    return told.view([None] * len(told.chosen), None, written=False)


def _told(uow: UnitOfWork, now: datetime, crew: str, job: int | None) -> _Told:
    written = uow.written_events()
    visited = _visited(uow, now)
    found = _found(uow, now, written, visited)
    if found is None:
        raise Refused(NO_PLAN)
    found = with_houses(uow, found)
    events = planned_events(found, now, visited, crews_at(uow, found, now))
    crews = [event for event in events if event.end > now or not event.kind.takes_time]
    chosen = _chosen(uow, found, written, events, crew, job, now)
    seed = str(uow.first_change_at())
    been = frozenset(_been(uow, found, written, now))
    coming = {
        True: named(crews, written, seed=seed, to_crews=True, now=now, been=been),
        False: named(to_house(events), written, seed=seed, to_crews=False, now=now, been=been),
    }
    today = _today(found.shop, now)
    uids = {one.uid for events_of in coming.values() for one in events_of}
    left = [row for row in written if row.uid not in uids and (row.uid in been or _was_told_there(row, now, today))]
    cut = tuple(_cut_short(uow, found, left, written, now))
    known = {
        crews: [*events_of, *(one for row, one in cut if row.calendar.startswith("crew ") == crews)]
        for crews, events_of in coming.items()
    }
    said = tuple(to_write(one.key, _of(one, known), written, now, been, today=today) for one in chosen)
    return _Told(chosen=tuple(chosen), said=said)


def _was_told_there(row: WrittenEvent, now: datetime, today: datetime) -> bool:
    """Return whether a visit of today is over that was told otherwise while it went on: nobody knows which file a phone was given."""
    return row.kind is EventKind.VISIT and not row.cancelled and row.start < row.changed_at and today < row.end <= now


def _cut_short(
    uow: UnitOfWork, found: Planned, rows: Sequence[WrittenEvent], written: Sequence[WrittenEvent], now: datetime
) -> Iterator[tuple[WrittenEvent, Named]]:
    """Yield visits that were begun and of which the plan has nothing more with their true end, those without one not at all.

    That is not before the crew was seen there last: it may have stayed, whatever was told of its end.
    """
    day = to_wall(found.shop.zone, now).date()
    days, numbers = DaysDone(uow, found, day, day, now), frozenset(uow.job_numbers())
    for row in rows:
        if row.kind is not EventKind.VISIT or row.cancelled or row.job not in numbers:
            continue
        record = found.records.get(row.job) or uow.job(row.job)
        crews = [
            one.name for one in found.shop.crews if row.calendar in (crew_calendar(one.name), job_calendar(row.job))
        ]
        ends = {crew: end for crew in crews if (end := left_at(days, crew, row.job, now)) is not None}
        if not ends or not any(task.number in row.tasks for task in record.tasks):
            continue
        end = row.end
        if row.end > now:
            end = max([*ends.values(), *(mark for mark in _marks(record, row) if mark <= now)])
        end = max(min(end, row.end), _seen_last(days, row, written, ends))
        event = cut_short(found, row, next(iter(ends)), record, end, now)
        if not row.calendar.startswith("crew "):
            [event] = to_house([event])
        if event.end > event.start:
            yield row, Named(event=event, uid=row.uid, what=row.what)


def _seen_last(days: DaysDone, row: WrittenEvent, written: Sequence[WrittenEvent], crews: Iterable[str]) -> datetime:
    """Return when a crew was seen last (UTC) in the house of a visit, its start where not in its time or in that of a later one."""
    seen = [days.seen(days.last).last(row.job, crew) for crew in crews]
    last = max((at for at in seen if at is not None), default=row.start)
    visits = [one for one in written if (one.calendar, one.job, one.kind) == (row.calendar, row.job, row.kind)]
    later = any(row.start < one.start <= last and not one.cancelled for one in visits)
    return row.start if later else max(row.start, last)


def _today(shop: Shop, now: datetime) -> datetime:
    """Return when the shop's date of an instant began."""
    return to_utc(shop.zone, to_wall(shop.zone, now).date(), 0)


def _visited(uow: UnitOfWork, now: datetime) -> tuple[Visited, ...]:
    """Return the jobs with small visits still to be made, the quoted and the closed too."""
    ahead = {one.job for one in uow.small_visits(now - LONGEST) if one.visit.done_at is None}
    records = {number: uow.job(number) for number in sorted(ahead)}
    others = found_in_their_houses(uow, records)
    return tuple(Visited(record=record, others=others.get(number, ())) for number, record in records.items())


def _found(
    uow: UnitOfWork, now: datetime, written: Sequence[WrittenEvent], visited: Sequence[Visited]
) -> Planned | None:
    """Return the plan in force; an empty one where none is any more, and calendars said what one had or small visits are to come."""
    found = planned(uow)
    if found is not None or not (written or visited):
        return found
    away = uow.away()
    none = WeekPlan(made_at=now, until=now, placements=(), left_out=())
    known = {record.job.number: record for record in uow.live_jobs()}
    return Planned(shop=with_parts(uow.shop(), away), plan=none, records=known, pins=(), away=away)


def _been(uow: UnitOfWork, found: Planned, written: Sequence[WrittenEvent], now: datetime) -> Iterator[str]:
    """Yield the UIDs of visits in their hours to which somebody went, by what was recorded of their work, or found there, since."""
    numbers = frozenset(uow.job_numbers())
    for row in written:
        if not row.kind.takes_time or row.cancelled or not row.start <= now < row.end or row.job not in numbers:
            continue
        record = found.records.get(row.job) or uow.job(row.job)
        small = [
            visit.done_at
            for visit in record.small_visits
            if timedelta() <= visit.start - row.start < QUARTER_HOUR and visit.done_at is not None
        ]
        found_there = (finding.at for finding in record.findings)
        if any(row.start <= mark <= now for mark in (*_marks(record, row), *found_there)) or small:
            yield row.uid


def _marks(record: JobRecord, row: WrittenEvent) -> Iterator[datetime]:
    """Yield when something was recorded of a visit's work (UTC): begun, done, or how far it was."""
    for task in record.tasks:
        if task.number in row.tasks:
            yield from (mark for mark in (task.started_at, task.done_at) if mark is not None)
    yield from (said.at for said in record.how_far if said.task in row.tasks)


def _chosen(
    uow: UnitOfWork,
    found: Planned,
    written: Sequence[WrittenEvent],
    events: Sequence[PlannedEvent],
    crew: str,
    job: int | None,
    now: datetime,
) -> list[_Chosen]:
    """Return the calendars to write: those asked for, else of all crews, booked jobs and who and what has small visits.

    Those of others follow while they still say something, be it that it is cancelled.
    """
    shop = found.shop
    today = _today(shop, now)
    still = [row for row in written if row.end > (today if row.cancelled else now) or _was_told_there(row, now, today)]
    crews = [one.name for one in shop.crews if not one.only or max(one.only) >= to_wall(shop.zone, now).date()]
    small = [event for event in events if event.kind is EventKind.SMALL_VISIT]
    people = list(dict.fromkeys(event.crew for event in small))
    gone = sorted({row.calendar.removeprefix("crew ") for row in still if row.calendar.startswith("crew ")})
    names = list(dict.fromkeys([*crews, *people, *gone]))
    of_visits = {name for name in names if name not in crews and _only_small_visits(name, people, written)}
    files = dict(zip(names, file_names(names, of_visits), strict=True))
    booked = [number for number, record in found.records.items() if record.job.state is JobState.BOOKED]
    open_jobs = (int(row.calendar.removeprefix("job ")) for row in still if row.calendar.startswith("job "))
    jobs = sorted({*booked, *open_jobs, *(event.job for event in small)})
    if crew or job is not None:
        names = [_name_of(names, crew, shop)] if crew else []
        files |= {name: file_names([name], {name})[0] for name in names if name not in files}
        jobs = [uow.job(job).job.number] if job is not None else []
    known = frozenset(uow.job_numbers())
    titles = {
        number: (found.records.get(number) or uow.job(number)).job.title
        for number in jobs
        if number in found.records or number in known
    }
    return [
        *(
            _Chosen(key=crew_calendar(n), told=n, title=f"{n}, {shop.name}", file=files[n], visits_only=n in of_visits)
            for n in names
        ),
        *(
            _Chosen(
                key=job_calendar(number),
                told=f"job {number}",
                title=": ".join(filter(None, (shop.name, titles.get(number, "")))),
                file=f"job-{number}",
            )
            for number in jobs
        ),
    ]


def _only_small_visits(name: str, people: Sequence[str], written: Sequence[WrittenEvent]) -> bool:
    """Return whether a calendar is a person's: it has, or had, small visits alone."""
    had = [row.kind for row in written if row.calendar == crew_calendar(name)]
    return all(kind is EventKind.SMALL_VISIT for kind in had) and (name in people or bool(had))


def _name_of(names: Sequence[str], crew: str, shop: Shop) -> str:
    """Return the name of a crew or person as it is spelled; one that left the shop has a calendar while that still says something."""
    for name in names:
        if name.casefold() == crew.strip().casefold():
            return name
    try:
        return find_person(shop, crew).name
    except Refused:
        others = f"{no_crew(crew, shop).removesuffix('.')}; one of its people by the whole name has a calendar, too."
        raise Refused(others) from None


def _of(one: _Chosen, known: Mapping[bool, Sequence[Named]]) -> list[Named]:
    """Return the events that belong into a calendar."""
    if one.key.startswith("crew "):
        return [event for event in known[True] if event.event.crew and crew_calendar(event.event.crew) == one.key]
    return [event for event in known[False] if job_calendar(event.event.job) == one.key]


def _event(one: ToWrite) -> CalendarEvent:
    row, said = one.row, one.said
    return CalendarEvent(
        uid=row.uid,
        sequence=row.sequence,
        kind=row.kind,
        start=row.day if row.day is not None else row.start,
        end=row.day + timedelta(days=1) if row.day is not None else row.end if row.end > row.start else None,
        changed_at=row.changed_at,
        summary=row.summary,
        address=said.address if said is not None else "",
        lines=said.lines if said is not None else (),
        busy=row.kind.takes_time,
        cancelled=row.cancelled,
    )


def _keep(uow: UnitOfWork, chosen: Sequence[_Chosen], said: Sequence[Sequence[ToWrite]], now: datetime) -> int | None:
    """Keep what the files say, with one change of the log that no undo takes back; nothing where nothing is otherwise."""
    differs = [one.row for events in said for one in events if one.row != one.before]
    if not differs:
        return None
    uow.save_written(differs)
    told = [
        one.told
        for one, events in zip(chosen, said, strict=True)
        if any(event.row.sequence != event.before.sequence if event.before else True for event in events)
    ]
    whose = f" of {listed(told)}" if told else ""
    return uow.commit(f"calendar{whose} written: {counted(len(differs), 'event')} new or other", at=now, undoable=False)


def _row(one: _Chosen, events: Sequence[ToWrite], path: Path | None, there: Set[Path]) -> CalendarRow:
    return CalendarRow(
        name=one.told,
        file=path,
        events=sum(event.said is not None for event in events),
        new=sum(event.new for event in events),
        changed=sum(event.changed for event in events),
        cancelled=sum(event.said is None for event in events),
        visits_only=one.visits_only,
        replaced=path in there,
    )
