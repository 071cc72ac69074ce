"""The week sheet, built from the plan in force and today's facts for the paper to print."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from crewjobs.domain.crew import Crew, Shop
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.wall import days_from, hour_words, to_wall
from crewjobs.domain.wording import day_words, moment_words
from crewjobs.engines.planning.roster import present, with_parts
from crewjobs.paper.directions import whole
from crewjobs.paper.initials import initials
from crewjobs.paper.week_sheet import (
    BesideCell,
    CrewCell,
    NotPlanned,
    WeekColumn,
    WeekPromise,
    WeekSheet,
    WeekVisit,
    WeekWait,
)
from crewjobs.services.calendars.calendar_waits import deliveries
from crewjobs.services.jobs.called_off import ON_ITS_WAY
from crewjobs.services.pages.paper_sheets import paper_of, sheet_of
from crewjobs.services.pages.plain_words import on_paper
from crewjobs.services.rows import PromiseRow, SmallVisitRow, Visit, WaitSpan, WeekDay, WeekView
from crewjobs.services.weeks.job_waits import crew_of
from crewjobs.services.weeks.visits import Planned, planned
from crewjobs.services.weeks.week import week

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

NO_PLAN = "Nothing is planned yet."
WORKDAYS = 5


def week_sheet(uow: UnitOfWork, now: datetime, day: date | None, *, paper: str = "") -> WeekSheet:
    """Return the sheet of the week that holds a day (default: today); before there is a plan it says so."""
    view, found = week(uow, now, day), planned(uow)
    shop = found.shop if found else with_parts(uow.shop(), uow.away())
    records = found.records if found else {record.job.number: record for record in uow.live_jobs()}
    by_day = {one.day: one for one in view.days}
    comes = _comes((*records.values(), *uow.called_off_jobs()), now)
    shown = [
        day
        for day in days_from(view.monday, 7)
        if day.weekday() < WORKDAYS or comes.get(day) or (day in by_day and _says_something(by_day[day]))
    ]
    days = [by_day.get(day, WeekDay(day=day, off=(), visits=(), waits=())) for day in shown]
    crews = [crew for crew in shop.crews if not crew.only or any(v.crew == crew.name for d in days for v in d.visits)]
    holders = _holders(found, days) if found else {}
    names = {crew.name for crew in crews}
    return WeekSheet(
        shop_name=shop.name,
        shop_phone=shop.phone,
        sheet=sheet_of(shop, f"Week of {day_words(view.monday)}", found, now),
        paper=paper_of(shop, paper),
        monday=view.monday,
        days=tuple(shown),
        columns=tuple(_column(found, uow, shop, crew, days, holders) for crew in crews),
        beside=tuple(
            BesideCell(
                comes=tuple(comes.get(one.day, ())),
                small=tuple(_small_words(small) for small in one.small),
                away=one.away,
                waits=tuple(_waits(days, one, lambda span: holders.get(_key(span), "") not in names)),
            )
            for one in days
        ),
        not_planned=tuple(NotPlanned(job=row.job, name=row.title, why=on_paper(row.why)) for row in view.left_out),
        promises=tuple(_promises(view)),
        warnings=view.warnings,
        notes=tuple(on_paper(one) for one in ("" if found else NO_PLAN, view.stale, view.ends, view.clocks) if one),
    )


def _says_something(day: WeekDay) -> bool:
    """Return whether a day of the weekend is shown: waits alone run over it."""
    return bool(day.visits or day.small or day.away or any(span.end.date() == day.day for span in day.waits))


def _comes(records: Iterable[JobRecord], now: datetime) -> dict[date, list[str]]:
    """Return the deliveries that are promised, by the site's date; for a job called off they come until somebody stops them."""
    comes: dict[date, list[tuple[datetime, str]]] = {}
    for record in records:
        if record.job.state in (JobState.BOOKED, JobState.CALLED_OFF):
            off = f"; {ON_ITS_WAY}" if record.job.state is JobState.CALLED_OFF else ""
            for one in deliveries(record, now):
                at = to_wall(record.job.site.zone, one.at)
                when = "" if one.all_day else f"{hour_words(at)} "
                comes.setdefault(at.date(), []).append(
                    (at, f"{when}job {record.job.number} {one.summary.removesuffix(' due')}{off}")
                )
    return {day: [words for _, words in sorted(found)] for day, found in comes.items()}


def _key(span: WaitSpan) -> tuple[int, str, datetime]:
    return span.job, span.what, span.end


def _holders(found: Planned, days: Sequence[WeekDay]) -> dict[tuple[int, str, datetime], str]:
    """Return by wait whose it is; what nobody is planned to come after or was before is nobody's."""
    spans = [one for day in days for one in day.waits]
    return {_key(span): crew for span in spans if (crew := crew_of(found, span.job, span.end))}


def _column(
    found: Planned | None,
    uow: UnitOfWork,
    shop: Shop,
    crew: Crew,
    days: Sequence[WeekDay],
    holders: Mapping[tuple[int, str, datetime], str],
) -> WeekColumn:
    """Return a crew's column; whoever is with it on a day of the week has initials of their own."""
    there = {
        one.day: found.present(crew.name, one.day) if found else present(shop, uow.away(), crew.name, one.day)
        for one in days
    }
    every = [*crew.workers, *(worker for on in there.values() for worker in on)]
    names = list(dict.fromkeys(worker.name for worker in every))
    marks = dict(zip(names, initials(names), strict=True))
    cells = []
    for one in days:
        mine = [visit for visit in one.visits if visit.crew == crew.name]
        visits = [_visit(uow, found, visit, one.day, marks) for visit in mine] if found else []
        visited = {visit.job for visit in mine}
        cells.append(
            CrewCell(
                off=crew.name in one.off,
                visits=tuple(visits),
                waits=tuple(_waits(days, one, _of_crew(crew.name, one.day, visited, holders))),
            )
        )
    return WeekColumn(crew=crew.name, people=tuple((name, marks[name]) for name in names), days=tuple(cells))


def _of_crew(
    crew: str, day: date, visited: AbstractSet[int], holders: Mapping[tuple[int, str, datetime], str]
) -> Callable[[WaitSpan], bool]:
    """Return which waits of a day stand in a crew's column: its own, and what ends that day at the jobs it has `visited` that day."""

    def mine(span: WaitSpan) -> bool:
        holder = holders.get(_key(span))
        return holder == crew or (bool(holder) and span.job in visited and span.end.date() == day)

    return mine


def _visit(uow: UnitOfWork, found: Planned, visit: Visit, day: date, marks: Mapping[str, str]) -> WeekVisit:
    record = found.records.get(visit.job) or uow.job(visit.job)  # what was done that week may be of a closed job
    there = found.present(visit.crew, day)
    places = {
        place
        for stretch in found.day(visit.crew, day)
        if stretch.record is record and to_wall(found.shop.zone, stretch.start) == visit.start
        for piece in stretch.pieces
        for place in piece.people
    }
    whole = len(places) >= len(there) and {worker.name for worker in there} == {
        worker.name for crew in found.shop.crews if crew.name == visit.crew for worker in crew.workers
    }
    return WeekVisit(
        job=visit.job,
        name=visit.title,
        address=record.job.site.address.partition(",")[0],
        start=visit.start.time().replace(tzinfo=None),
        end=visit.end.time().replace(tzinfo=None),
        work=visit.what,
        people=() if whole else tuple(marks[there[place].name] for place in sorted(places) if place < len(there)),
        marks=tuple(
            word for word, so in (("pinned", visit.pinned), ("under way", visit.begun), ("done", visit.done)) if so
        ),
        owed=visit.warned,
        recorded=visit.recorded,
    )


def _waits(days: Sequence[WeekDay], day: WeekDay, mine: Callable[[WaitSpan], bool]) -> Iterator[WeekWait]:
    """Yield the waits of a day that `mine` says yes to, those that end that day after the others, by the clock."""
    spans = [span for span in day.waits if mine(span)]
    for span in sorted(spans, key=lambda one: (one.end.date() == day.day, one.end, one.job, one.what)):
        ends = span.end.time().replace(tzinfo=None) if span.end.date() == day.day else None
        earlier = any(span in one.waits for one in days if one.day < day.day)
        yield WeekWait(
            job=span.job,
            what=span.what,
            until=f"expected {day_words(span.end.date())} at the earliest, promised by nobody"
            if span.unpromised
            else f"until {_until(days[0].day, span.end) if days else moment_words(span.end)}",
            ends=ends,
            first=not earlier,
            unpromised=span.unpromised,
        )


def _until(first: date, end: datetime) -> str:
    """Return when a wait ends: within the week of the sheet by weekday alone."""
    return f"{end:%a %H:%M}" if end.date() < first + timedelta(days=7) else moment_words(end)


def _small_words(small: SmallVisitRow) -> str:
    done = " (done)" if small.done else " (out that day: a new time)" if small.out else ""
    where = f", {whole(small.address.partition(',')[0])}" if small.address else ""
    found = f"; {small.found}" if small.found else ""
    return f"{small.start:%H:%M}–{small.end:%H:%M} {small.who}: {small.kind}, job {small.job} {small.title}{where}{done}{found}"


def _promises(view: WeekView) -> Iterator[WeekPromise]:
    for row in view.due:
        finish = f"planned end {_end(row, row.finish)}" if row.finish else "not planned to its end"
        yield WeekPromise(
            job=row.job,
            name=row.title,
            promised=row.promised,
            planned=f"{finish}, {row.only_if}" if row.only_if else finish,
            word=row.word,
            holds=row.holds,
        )


def _end(row: PromiseRow, finish: datetime) -> str:
    """Return a planned end; of a job with planned work that is not ticked the day alone: its hour says nothing."""
    return day_words(finish.date()) if row.unticked else moment_words(finish)
