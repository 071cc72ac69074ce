"""A crew's day as the screen on site lists it: what is to do, what is done, what is on hold, and what the plan took from the day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import chain
from typing import TYPE_CHECKING

from crewjobs.domain.evening import latest
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.tasks import Catalogue, Task
from crewjobs.domain.wall import to_wall
from crewjobs.engines.readiness.holds import Hold, holds
from crewjobs.services.evenings.how_far import far_of
from crewjobs.services.findings.air import title_told
from crewjobs.services.findings.found_told import task_cautions
from crewjobs.services.findings.house_told import told_there, with_houses
from crewjobs.services.jobs.jobs import quantity_words, site_lines
from crewjobs.services.jobs.known_hours import recorded_on
from crewjobs.services.jobs.written import WRITTEN, written_facts
from crewjobs.services.pages.behind import before_its_day, elsewhere_before, unticked_before
from crewjobs.services.pages.crew_houses import CrewHouse, crew_houses, moved_words
from crewjobs.services.pages.day_recorded import recorded_words
from crewjobs.services.pages.sheets import crew_named, planned_or_refused
from crewjobs.services.rows import SiteDay, SiteHouse, SiteTask
from crewjobs.services.ticking import hold_words, said_open
from crewjobs.services.weeks.days_done import DaysDone, Taken
from crewjobs.services.weeks.planned_before import not_ticked_of
from crewjobs.services.weeks.visits import Planned, Stretch
from crewjobs.services.wording import told_of

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


_NO_PLACE = "taken from this day's plan, which has no place for it now: call the office"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Taken:
    """Tasks of one job that the plan took from the day: where each was (UTC), and where the plan has it now, if anywhere."""

    record: JobRecord
    was: Mapping[int, datetime]
    until: Mapping[int, datetime]
    moved: Mapping[int, str]


def site_day(uow: UnitOfWork, catalogue: Catalogue, now: datetime, crew: str, day: date | None) -> SiteDay:
    """Return one crew's day on site (default: today), with what is done, what is on hold right now, and what was taken from it.

    Raises:
        Refused: there is no such crew, or nothing is planned.
    """
    found = with_houses(uow, planned_or_refused(uow))
    chosen = crew_named(found, crew).name
    today = to_wall(found.shop.zone, now).date()
    shown = day or today
    days = DaysDone(uow, found, shown, shown, now)
    stands = days.day(chosen, shown)
    taken = _taken(found, chosen, shown, days.taken(chosen, shown))
    last = {stretch.record.job.number: place for place, stretch in enumerate(stands)}
    since = days.begun(chosen, shown)
    houses = [
        _site_house(
            found,
            stretch,
            taken.pop(number, None) if last[number] == place else None,
            catalogue,
            now,
            shown,
            _since(stretch, since, stands[place - 1].end if place else None),
        )
        for place, stretch in enumerate(stands)
        for number in [stretch.record.job.number]
    ]
    houses += [_house_taken(found, one, catalogue, now, shown) for one in taken.values()]
    houses = list(_until(found, houses, crew_houses(found, days, crew_named(found, crew), stands, shown, now)))
    told = (
        _with_records(uow, found, house, chosen, now, shown) for house in sorted(houses, key=lambda one: one.arrive)
    )
    of_the_day = {house.job for house in houses}
    return SiteDay(
        crew=chosen,
        day=shown,
        houses=tuple(told),
        earlier=tuple(elsewhere_before(found, chosen, of_the_day, now, shown)),
        recorded=() if houses or shown >= today else recorded_words(uow, chosen, shown, today, found.shop.zone),
        unticked=unticked_before(found, chosen, of_the_day, now, shown, not_ticked_of(uow, found, chosen, now)),
    )


def _until(found: Planned, houses: Sequence[SiteHouse], page: Sequence[CrewHouse]) -> Iterator[SiteHouse]:
    """Yield the houses until when the crew was there: where it was stopped, or seen after its work was to end, as its page says.

    So does one of which the plan has nothing left, and only its beginning is known.
    """
    jobs = [house.job for house in houses]
    for house in houses:
        mine = [one for one in page if one.stretch.record.job.number == house.job]
        if len(mine) != 1 or jobs.count(house.job) != 1 or mine[0].told or mine[0].start >= mine[0].end:
            yield house
            continue
        one, only_begun = mine[0], house.arrive == house.leave
        beside = one.elsewhere is None and (one.stopped is not None or one.end > one.stretch.end)
        yield replace(house, leave=to_wall(found.shop.zone, one.end)) if beside or only_begun else house


def _with_records(uow: UnitOfWork, found: Planned, house: SiteHouse, crew: str, now: datetime, day: date) -> SiteHouse:
    """Return a house with what of the days before is not ticked there, and the crew's hours there that day where it told them.

    Of a job that has ended nothing is left to tick.
    """
    record = found.records.get(house.job)
    if record is None:
        return replace(house, recorded=recorded_on(uow.job(house.job), crew, day))
    return replace(house, earlier=before_its_day(found, record, now, day), recorded=recorded_on(record, crew, day))


def _taken(found: Planned, crew: str, day: date, pieces: Sequence[Taken]) -> dict[int, _Taken]:
    """Return by job what the plan took from a crew's day."""
    taken: dict[int, _Taken] = {}
    for record, *_ in pieces:
        number = record.job.number
        if number not in taken:
            times = found.task_minutes(record)
            taken[number] = _Taken(
                record=record,
                was={own.task: own.start for of, own, _ in pieces if of.job.number == number},
                until={own.task: own.end for of, own, _ in pieces if of.job.number == number},
                moved={
                    own.task: words
                    for of, own, _ in pieces
                    if of.job.number == number and (words := moved_words(found, record, own.task, times, crew, day))
                },
            )
    return taken


def _site_house(
    found: Planned,
    stretch: Stretch,
    taken: _Taken | None,
    catalogue: Catalogue,
    now: datetime,
    day: date,
    since: Mapping[int, datetime],
) -> SiteHouse:
    zone = found.shop.zone
    starts: dict[int, datetime] = {}
    for piece in stretch.pieces:
        starts.setdefault(piece.task, piece.start)
    starts = {number: min(start, since.get(number, start)) for number, start in starts.items()}
    starts = dict(sorted(starts.items(), key=lambda one: one[1]))
    also = taken or _Taken(record=stretch.record, was={}, until={}, moved={})
    ends = {**also.until, **{piece.task: piece.end for piece in stretch.pieces}}
    times = to_wall(zone, min(stretch.start, *starts.values())), to_wall(zone, stretch.end)
    return _house(found, replace(also, record=stretch.record, until=ends), starts, times, catalogue, now, day)


def _since(stretch: Stretch, since: Mapping[tuple[int, int], datetime], after: datetime | None) -> dict[int, datetime]:
    """Return since when a crew is at tasks of a stretch, where no other house came `after` that."""
    here = {task: at for (job, task), at in since.items() if job == stretch.record.job.number}
    return {task: at for task, at in here.items() if after is None or at >= after}


def _house_taken(found: Planned, taken: _Taken, catalogue: Catalogue, now: datetime, day: date) -> SiteHouse:
    """Return a house of which nothing is left in the day's plan, at the time it was to begin."""
    began = to_wall(found.shop.zone, min(taken.was.values()))
    return _house(found, taken, {}, (began, began), catalogue, now, day)


def _house(
    found: Planned,
    taken: _Taken,
    starts: Mapping[int, datetime],
    times: tuple[datetime, datetime],
    catalogue: Catalogue,
    now: datetime,
    day: date,
) -> SiteHouse:
    record, zone = taken.record, found.shop.zone
    stopped = {
        number: list(holds(record, record.task(number), now))
        for number in chain(starts, taken.was)
        if record.task(number).open
    }
    held = _on_hold(stopped)
    here = {number: f"{to_wall(zone, start):%H:%M}" for number, start in starts.items()}
    until = {number: f"{_done_by(record, zone, number, end):%H:%M}" for number, end in taken.until.items()}
    were = {number: f"was {to_wall(zone, start):%H:%M}" for number, start in taken.was.items()}
    told_of_day = _by_now if day < to_wall(zone, now).date() else _task_taken
    return SiteHouse(
        job=record.job.number,
        title=record.job.title,
        address=record.job.site.address,
        arrive=times[0],
        leave=times[1],
        facts=(*site_lines(record, now), *(f"{WRITTEN}: {words}" for words in written_facts(record, now))),
        found=told_there(found, record, catalogue, now),
        tasks=tuple(
            replace(
                _site_task(found, record, record.task(number), catalogue, now, held.get(number, ())),
                time=time,
                until=until.get(number, ""),
                behind=bool(stopped.get(number)) and not held[number],
                at_it=_at_it(record, number, day),
                not_yet=_not_yet(record, number, day),
            )
            for number, time in here.items()
        )
        + tuple(
            told_of_day(
                replace(
                    _site_task(found, record, record.task(number), catalogue, now, held[number]),
                    time=time,
                    until=until.get(number, ""),
                    not_yet=_not_yet(record, number, day),
                ),
                taken.moved.get(number, ""),
            )
            for number, time in were.items()
        ),
    )


def _at_it(record: JobRecord, number: int, day: date) -> bool:
    """Return whether a task that is under way was begun on a day, or how far it is was said on it."""
    task, far = record.task(number), latest(record.how_far, number)
    said = [task.started_at, far.at if far is not None else None]
    zone = record.job.site.zone
    return task.open and any(at is not None and to_wall(zone, at).date() == day for at in said)


def _done_by(record: JobRecord, zone: str, task: int, planned: datetime) -> datetime:
    """Return when a task was done on the day it was planned for, by the wall: not while it was not begun, or said to be left."""
    end = to_wall(zone, planned)
    said = (to_wall(zone, at) for at, _ in said_open(record, record.task(task)))
    return max([end, *(at for at in said if at.date() == end.date())])


def _not_yet(record: JobRecord, task: int, day: date) -> str:
    """Return what was said on a later day of an open task, by which it was not done on this one; empty where nothing was."""
    zone, found = record.job.site.zone, record.task(task)
    later = [one for one in said_open(record, found) if to_wall(zone, one[0]).date() > day]
    return max(later)[1] if later and found.open else ""


def _task_taken(task: SiteTask, moved: str) -> SiteTask:
    return replace(task, taken=True, moved=moved, hold=task.hold or ("" if moved else _NO_PLACE))


def _by_now(task: SiteTask, moved: str) -> SiteTask:
    """Return a task of a day gone by that the plan has elsewhere by now: whether it was done then the crew knows."""
    return replace(task, by_now=moved)


def _on_hold(stopped: dict[int, list[Hold]]) -> dict[int, list[Hold]]:
    """Return of each task what holds it, apart from the order of the visit.

    What only comes after another task of the visit is in its order, not on hold, unless that one is itself on hold.
    """
    held: dict[int, list[Hold]] = {number: [] for number in stopped}
    grown = True
    while grown:
        grown = False
        for number, found in stopped.items():
            now = [hold for hold in found if hold.task not in stopped or held[hold.task]]
            grown, held[number] = grown or len(now) > len(held[number]), now
    return held


def _site_task(
    found: Planned, record: JobRecord, task: Task, catalogue: Catalogue, now: datetime, held: Sequence[Hold]
) -> SiteTask:
    return SiteTask(
        job=record.job.number,
        number=task.number,
        title=title_told(record, task, catalogue, now),
        where=task.where,
        phase=task.phase.value,
        quantity=quantity_words(task, found.shop.units),
        state=task.state,
        time="",
        hold=told_of(record.job, hold_words(held, record.job.site.zone), found.shop.units) if held else "",
        cautions=tuple(caution.said for caution in task_cautions(record, task, catalogue, now)),
        how_far=far_of(record, task),
        ended="" if record.job.state is JobState.BOOKED else record.job.state.value,
    )
