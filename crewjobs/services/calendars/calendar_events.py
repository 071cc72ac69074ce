"""What calendars tell of the plan in force: visits, what is due to come, and when what lies or cures has had its hours.

Said twice: to the crew with address and tasks in short, and to the customer with what the house needs to know. Neither is
given a phone, mail, entry note or reason of the plan (which may name another customer's house).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from typing import Final

from crewjobs.domain.calendar import EventKind, WrittenEvent
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import days_from, to_utc, to_wall
from crewjobs.domain.wording import listed, upper
from crewjobs.engines.planning.layout import TaskTime
from crewjobs.services.calendars.calendar_waits import Dated, deliveries, ready_instants, walked_on
from crewjobs.services.findings.hanging import ALL_HANGS, PART_HANGS, TO_CREW, hanging, hangs_words
from crewjobs.services.findings.house_told import as_the_house, in_short
from crewjobs.services.pages.notice_rooms import shut_words
from crewjobs.services.pages.notice_work import coming_words, with_words
from crewjobs.services.weeks.at_house import AtHouse
from crewjobs.services.weeks.gone_by import still_ahead
from crewjobs.services.weeks.repaired import repaired_before
from crewjobs.services.weeks.under_way import from_beginning
from crewjobs.services.weeks.visits import QUARTER_HOUR, Planned, Stretch, work_words

MOST_LINES = 40
"""So many tasks are listed in an event; the day plan has them all."""
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
CHANGES = "By the plan in force; the shop says when a day changes."
NOWHERE: Final[Mapping[str, AtHouse]] = {}
HANGS: Final = frozenset({ALL_HANGS, PART_HANGS})


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What is said of an event to one reader."""

    summary: str
    address: str = ""
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedEvent:
    """An event as the plan and the facts have it now; instants are UTC.

    `what` is its name among those of its kind at its job, empty for a visit, which its tasks tell. It stands in the
    calendar of `crew` (a crew, or the person who makes a small visit), where there is one, as `to_crew`, and in that of its job as `to_house`. `day` is the site's date where
    no hour was said.
    """

    job: int
    kind: EventKind
    what: str
    tasks: tuple[int, ...]
    start: datetime
    end: datetime
    day: date | None
    crew: str
    to_crew: Said
    to_house: Said


@dataclass(frozen=True, slots=True, kw_only=True)
class Visited:
    """A job with a small visit still to be made; `others` are the other jobs of its house in which something was found."""

    record: JobRecord
    others: tuple[JobRecord, ...] = ()


def planned_events(
    found: Planned, now: datetime, visited: Sequence[Visited] = (), at: Mapping[str, AtHouse] = NOWHERE
) -> tuple[PlannedEvent, ...]:
    """Return what is still to come or under way at an instant, by the time it begins.

    Visits are among it to the end of their quarter hour, as their house is told them; of a crew that is at a house (`at`, by crew)
    from when it came there. Small visits are those of the jobs `visited`, in whatever state.
    """
    stretches = tuple(_stretches(found, now, at))
    hung = {number: hanging(record, now) for number, record in found.records.items()}
    events = [*(_visit(found, stretch, hung[stretch.record.job.number], now) for stretch in stretches)]
    for record in found.records.values():
        if record.job.state is JobState.BOOKED:
            mine = [stretch for stretch in stretches if stretch.record.job.number == record.job.number]
            events += [_dated(record, mine, one) for one in deliveries(record, now)]
            events += [_dated(record, mine, one) for one in ready_instants(found, record, now)]
            events += [replace(_dated(record, (), one), crew="") for one in walked_on(found, record, now)]
    for one in visited:
        events += _small_visits(found, one, now)
    return tuple(sorted(events, key=lambda event: (event.start, event.job, event.kind, event.what, event.crew)))


def _stretches(found: Planned, now: datetime, at: Mapping[str, AtHouse]) -> Iterator[Stretch]:
    zone = found.shop.zone
    today = to_wall(zone, now).date()
    for crew in found.shop.crews:
        ends = [placed.end for placed in found.plan.placements if placed.crew == crew.name]
        days = (to_wall(zone, max(ends)).date() - today).days + 1 if ends else 0
        for day in days_from(today, max(0, days)):
            stretches = found.day(crew.name, day)
            if day == today:
                stretches = from_beginning(at.get(crew.name), stretches, now)
            yield from (stretch for stretch in stretches if outward(stretch)[1] > now)


def outward(span: Stretch | PlannedEvent) -> tuple[datetime, datetime]:
    """Return the quarter hours that hold a visit, as the notice gives them to a house."""
    start = span.start - (span.start - EPOCH) % QUARTER_HOUR
    return start, span.end + (EPOCH - span.end) % QUARTER_HOUR


def to_house(events: Sequence[PlannedEvent]) -> tuple[PlannedEvent, ...]:
    """Return events as a house's calendar has them: whoever comes, comes and goes by the quarter hour.

    A crew that comes while another is there is told with it, as in the notice: one visit, which does the work of both.
    """
    found, last = list[PlannedEvent](), dict[int, int]()
    by_time = sorted(
        events, key=lambda one: (outward(one)[0], -outward(one)[1].timestamp(), one.job, one.kind, one.what)
    )
    for event in by_time:
        if not event.kind.takes_time:
            found.append(event)
            continue
        told = replace(event, start=outward(event)[0], end=outward(event)[1])
        place = last.get(event.job)
        if event.kind is EventKind.VISIT and place is not None and told.start < found[place].end:
            found[place] = _both(found[place], told)
            continue
        if event.kind is EventKind.VISIT:
            last[event.job] = len(found)
        found.append(told)
    return tuple(found)


def _both(one: PlannedEvent, other: PlannedEvent) -> PlannedEvent:
    work = with_words(one.to_house.lines[0], other.to_house.lines[0])
    return replace(
        one,
        tasks=tuple(sorted({*one.tasks, *other.tasks})),
        end=max(one.end, other.end),
        to_house=replace(one.to_house, lines=(work, *_hang_both(one, other), CHANGES)),
    )


def _hang_both(one: PlannedEvent, other: PlannedEvent) -> Iterator[str]:
    """Yield that what two crews come for hangs on what was found, or part of it."""
    said = {HANGS & set(event.to_house.lines) for event in (one, other)}
    if any(said):
        yield ALL_HANGS if said == {frozenset({ALL_HANGS})} else PART_HANGS


def _visit(found: Planned, stretch: Stretch, hung: frozenset[int], now: datetime) -> PlannedEvent:
    """Return a crew's coming; what is not settled in the house is told to the crew, as on its page."""
    job, tasks = stretch.record.job, stretch.tasks
    others = found.others.get(job.number, ())
    open_ = upper(in_short(stretch.record, others, now, repaired_before(found, stretch.start, now)))
    work, hangs = work_words(tasks), hangs_words(tasks, hung)
    only = (hangs,) if hangs else ()
    return PlannedEvent(
        job=job.number,
        kind=EventKind.VISIT,
        what="",
        tasks=tuple(sorted(task.number for task in tasks)),
        start=stretch.start,
        end=stretch.end,
        day=None,
        crew=stretch.crew,
        to_crew=Said(
            summary=f"Job {job.number} {job.title}: {work}",
            address=job.site.address,
            lines=(*(TO_CREW[one] for one in only), *filter(None, (open_,)), *_task_lines(tasks)),
        ),
        to_house=Said(summary=f"{found.shop.name} at the house", lines=(upper(coming_words(tasks)), *only, CHANGES)),
    )


def cut_short(
    found: Planned, row: WrittenEvent, crew: str, record: JobRecord, end: datetime, now: datetime
) -> PlannedEvent:
    """Return a visit that was written and begun, and of which the plan has nothing more, with the instant (UTC) it ended."""
    mine = [task for task in record.tasks if task.number in row.tasks]
    tasks = [task for task in mine if task.started_at is not None or task.done_at is not None] or mine
    pieces = [TaskTime(job=row.job, task=task.number, start=row.start, end=end, people=(), part=1) for task in tasks]
    return _visit(found, Stretch(record=record, crew=crew, pieces=tuple(pieces)), frozenset(), now)


def _task_lines(tasks: Sequence[Task]) -> Iterator[str]:
    """Yield the tasks in their order, each title once with its places; of very many the rest is counted."""
    places: dict[str, list[str]] = {}
    for task in tasks:
        places.setdefault(task.title, []).append(task.where)
    lines = [f"{title} ({listed(list(dict.fromkeys(where)), most=6)})" for title, where in places.items()]
    yield from lines[:MOST_LINES]
    if len(lines) > MOST_LINES:
        yield f"and {len(lines) - MOST_LINES} more: see the day plan"


def _dated(record: JobRecord, stretches: Sequence[Stretch], one: Dated) -> PlannedEvent:
    """Return what comes or is ready; it is told to the crew that is at the house next after it, else to the last there."""
    job, zone = record.job, record.job.site.zone
    start, end, day = one.at, one.at, to_wall(zone, one.at).date() if one.all_day else None
    if day is not None:
        start, end = to_utc(zone, day, 0), to_utc(zone, day + timedelta(days=1), 0)
    by_time = sorted(stretches, key=lambda stretch: (stretch.start, stretch.crew))
    after = [stretch for stretch in by_time if stretch.end > one.at] or by_time[-1:]
    return PlannedEvent(
        job=job.number,
        kind=one.kind,
        what=one.name,
        tasks=(),
        start=start,
        end=end,
        day=day,
        crew=after[0].crew if after else "",
        to_crew=Said(
            summary=f"Job {job.number} {job.title}: {one.summary}", address=job.site.address, lines=one.to_crew
        ),
        to_house=Said(summary=upper(one.summary), lines=one.to_house),
    )


def _small_visits(found: Planned, visited: Visited, now: datetime) -> Iterator[PlannedEvent]:
    """Yield the small visits still to be made: the customer has to be there, and whoever makes it has it in a calendar of their own.

    What is not settled in the house is told to both, as on their pages.
    """
    counts: dict[str, int] = {}
    record = visited.record
    job = record.job
    ahead = still_ahead(found.task_minutes(record), record, now)
    shut = tuple(shut_words(as_the_house(record, visited.others, now), ahead, now))
    for visit in record.small_visits:
        counts[visit.kind] = counts.get(visit.kind, 0) + 1
        end = visit.start + timedelta(minutes=visit.minutes)
        open_ = in_short(record, visited.others, now, repaired_before(found, visit.start, now))
        event = PlannedEvent(
            job=job.number,
            kind=EventKind.SMALL_VISIT,
            what=f"{visit.kind.value} {counts[visit.kind]}",
            tasks=(),
            start=visit.start,
            end=end,
            day=None,
            crew=visit.who,
            to_crew=Said(
                summary=f"Job {job.number} {job.title}: {visit.kind.value}",
                address=job.site.address,
                lines=tuple(filter(None, (visit.why, upper(open_)))),
            ),
            to_house=Said(summary=f"{found.shop.name}: {visit.kind.value}", lines=(*shut, CHANGES)),
        )
        if visit.done_at is None and outward(event)[1] > now:
            yield event
