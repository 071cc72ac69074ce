"""The plan of a week as people read it: days, crews, the waits that run beside the work."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from crewjobs.domain.crew import Away
from crewjobs.domain.house_ready import ASK_AHEAD_DAYS
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import clock_beside, days_from, to_utc, to_wall
from crewjobs.domain.wording import day_words, listed, moment_words
from crewjobs.engines.planning.buffers import spare
from crewjobs.engines.planning.spare import Spare
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.goods import goods_clock
from crewjobs.services.findings.hanging import ONLY_IF, finish_hangs
from crewjobs.services.findings.house_told import in_short, with_houses
from crewjobs.services.findings.same_house import found_in_their_houses
from crewjobs.services.jobs.known_hours import far_on, recorded_on
from crewjobs.services.pages.crew_houses import NO_PLACE, CrewHouse, crew_houses
from crewjobs.services.people.away import day_lines
from crewjobs.services.people.day_hours import day_hours_lines
from crewjobs.services.rows import LeftOutRow, PromiseRow, SmallVisitRow, Visit, WaitSpan, WeekDay, WeekView
from crewjobs.services.waiting.around_waits import working_days_before
from crewjobs.services.waiting.held_work import owed_to
from crewjobs.services.weeks.days_done import DaysDone
from crewjobs.services.weeks.gone_by import behind_since
from crewjobs.services.weeks.job_waits import JobWait, job_waits
from crewjobs.services.weeks.overnight import stair_warnings, toilet_warnings
from crewjobs.services.weeks.plan_problem import errands_of
from crewjobs.services.weeks.recorded import recorded_since
from crewjobs.services.weeks.recorded_visits import DRY_RUN, recorded_visits
from crewjobs.services.weeks.repaired import repaired_before
from crewjobs.services.weeks.visits import QUARTER_HOUR, Planned, Stretch, done_words, planned, work_words

if TYPE_CHECKING:
    from crewjobs.storage.jobs import BookedVisit
    from crewjobs.storage.unit_of_work import UnitOfWork

ONLY_PLANNED = "no hours, nothing ticked; planned that day: "
"""How what a visit was about begins that a day gone by had by its plan alone."""


class StaleKept:
    """Whether the plan in force still holds, kept as long as nothing is recorded: finding it out plans anew.

    The planner counts in quarters of an hour, and so does this.
    """

    def __init__(self) -> None:
        """Know nothing yet."""
        self._kept: tuple[tuple[int, datetime], str] | None = None

    def words(self, uow: UnitOfWork, found: Planned, now: datetime) -> str:
        """Return what `stale_words` says, found out once for a state."""
        quarter = now.replace(minute=now.minute - now.minute % 15, second=0, microsecond=0)
        state = (uow.last_change_number(), quarter)
        kept = self._kept
        if kept is None or kept[0] != state:
            kept = (state, stale_words(uow, found, now))
            self._kept = kept
        return kept[1]


def week(uow: UnitOfWork, now: datetime, day: date | None, stale: StaleKept | None = None) -> WeekView:
    """Return the week that holds a day (default: today) out of the plan in force; `stale` keeps whether it still holds."""
    shop = uow.shop()
    shown = day or to_wall(shop.zone, now).date()
    monday = shown - timedelta(days=shown.weekday())
    crews = tuple(crew.name for crew in shop.crews)
    found = planned(uow)
    entries = uow.away()
    small = small_rows(uow, entries, found, shop.zone, monday, now)
    hours = uow.day_hours()
    recorded = recorded_visits(uow, shop.zone, monday, now)
    away = {d: (*day_hours_lines(shop, hours, d), *day_lines(shop, entries, d)) for d in days_from(monday, 7)}
    if found is None:
        days = tuple(
            WeekDay(day=d, off=(), visits=recorded[d], waits=(), small=small[d], away=away[d])
            for d in days_from(monday, 7)
            if small[d] or away[d] or recorded[d]
        )
        return WeekView(
            monday=monday,
            crews=crews,
            days=days,
            left_out=(),
            promises=(),
            plan_number=0,
            made_at=None,
            stale="",
            clocks=_other_clocks(uow, {}, _small_comings(small)),
        )
    found = with_houses(uow, found)
    spans = tuple(_wait_spans(found, now))
    next_monday = monday + timedelta(days=7)
    over = next_monday <= to_wall(shop.zone, now).date()
    done = DaysDone(uow, found, monday, monday + timedelta(days=6), now)
    return WeekView(
        monday=monday,
        crews=crews,
        days=tuple(
            replace(_day(found, done, d, spans, recorded[d], now), small=small[d], away=away[d])
            for d in days_from(monday, 7)
        ),
        left_out=() if over else _left_out(found),
        promises=tuple(row for row in _promises(uow, found, now) if not over or monday <= row.promised < next_monday),
        plan_number=found.plan.number,
        made_at=to_wall(shop.zone, found.plan.made_at),
        stale=(stale or StaleKept()).words(uow, found, now),
        warnings=() if over else (*toilet_warnings(found, now, monday), *stair_warnings(found, now, monday)),
        ends=_ends(found, monday),
        clocks=_other_clocks(uow, found.records, [*_worked_at(found, monday), *_small_comings(small)]),
        after=_after(found, monday, now),
        proposed=uow.proposed_number(),
    )


def _worked_at(found: Planned, monday: date) -> Iterator[tuple[int, datetime]]:
    for crew in found.shop.crews:
        for day in days_from(monday, 7):
            yield from ((stretch.record.job.number, stretch.start) for stretch in found.day(crew.name, day))


def _small_comings(small: Mapping[date, Sequence[SmallVisitRow]]) -> list[tuple[int, datetime]]:
    return [(row.job, row.start) for rows in small.values() for row in rows]


def _other_clocks(uow: UnitOfWork, read: Mapping[int, JobRecord], comings: Iterable[tuple[int, datetime]]) -> str:
    """Return at which houses of a week, by job and instant of a coming, another clock is kept than the shop's.

    `read` are jobs that were read already.
    """
    zones, kept = dict[int, str](), dict[str, dict[int, None]]()
    for number, at in sorted(comings):
        if number not in zones:
            zones[number] = (read.get(number) or uow.job(number)).job.site.zone
        if clock := clock_beside(zones[number], at):
            kept.setdefault(clock, {})[number] = None
    told = [
        f"{'Job' if len(some) == 1 else 'Jobs'} {listed([str(n) for n in some], most=9)}: {clock}"
        for clock, some in kept.items()
    ]
    return f"{'; '.join(told)}. Hours here without a name are the shop's." if told else ""


def _ends(found: Planned, monday: date) -> str:
    """Say where the plan ends if that is before the week does: what is not shown then is not planned, not free."""
    zone = found.shop.zone
    until = max([found.plan.until, *(placed.end for placed in found.plan.placements)])  # a job goes on past its end
    if until >= to_utc(zone, monday + timedelta(days=7), 0):
        return ""
    nothing = "nothing of this week is" if until <= to_utc(zone, monday, 0) else "nothing after that is"
    return f"This plan ends {moment_words(to_wall(zone, until))}: {nothing} planned yet."


def _after(found: Planned, monday: date, now: datetime) -> str:
    """Say when the next work of the crews is planned, where the week that runs has none any more; else empty."""
    today, next_monday = to_wall(found.shop.zone, now).date(), monday + timedelta(days=7)
    if not monday <= today < next_monday:
        return ""
    days = days_from(today, max(7, (found.plan.until - now) // timedelta(days=1) + 2))
    by_day = ([s for crew in found.shop.crews for s in found.day(crew.name, day) if s.end > now] for day in days)
    first = min(next(filter(None, by_day), ()), key=lambda s: s.start, default=None)
    if first is None or to_wall(found.shop.zone, first.start).date() < next_monday:
        return ""
    start = moment_words(to_wall(found.shop.zone, first.start))
    return f"Nothing more is planned in this week; next is {start}, {first.crew} at job {first.record.job.number}."


def small_rows(
    uow: UnitOfWork, entries: Sequence[Away], plan: Planned | None, zone: str, monday: date, now: datetime
) -> dict[date, tuple[SmallVisitRow, ...]]:
    """Return the small visits of a week by day, those of one person after the other; `entries` say who is out.

    By the `plan` in force something found there may be repaired before one.
    """
    rows: dict[date, list[SmallVisitRow]] = {day: [] for day in days_from(monday, 7)}
    out = {(away.worker, away.day) for away in entries if not away.to}
    visits = [one for one in uow.small_visits(to_utc(zone, monday, 0)) if to_wall(zone, one.visit.start).date() in rows]
    found = _found_there(uow, [one for one in visits if one.visit.done_at is None], plan, now)
    for booked in visits:
        start = to_wall(zone, booked.visit.start)
        rows[start.date()].append(
            SmallVisitRow(
                job=booked.job,
                title=booked.title,
                kind=booked.visit.kind.value,
                who=booked.visit.who,
                start=start,
                end=to_wall(zone, booked.visit.start + timedelta(minutes=booked.visit.minutes)),
                why=booked.visit.why,
                address=booked.address,
                done=booked.visit.done_at is not None,
                out=booked.visit.done_at is None and (booked.visit.who, start.date()) in out,
                found=found.get(booked, ""),
            )
        )
    return {day: tuple(sorted(of_day, key=lambda row: (row.who, row.start))) for day, of_day in rows.items()}


def _found_there(
    uow: UnitOfWork, visits: Sequence[BookedVisit], plan: Planned | None, now: datetime
) -> dict[BookedVisit, str]:
    records = {number: uow.job(number) for number in {one.job for one in visits}}
    others = found_in_their_houses(uow, records)
    return {
        one: in_short(records[one.job], others.get(one.job, ()), now, repaired_before(plan, one.visit.start, now))
        for one in visits
    }


def _day(
    found: Planned,
    done: DaysDone,
    day: date,
    spans: tuple[WaitSpan, ...],
    recorded: Sequence[Visit],
    now: datetime,
) -> WeekDay:
    """Return a day of the plan in force, with what was `recorded` on it at houses that it has there no more."""
    shop = found.shop
    regular = [crew for crew in shop.crews if not crew.only and crew.hours.every]
    off = tuple(crew.name for crew in regular if not crew.comes(day) or day in shop.holidays)
    start, end = to_utc(shop.zone, day, 0), to_utc(shop.zone, day + timedelta(days=1), 0)
    pages = {one.name: crew_houses(found, done, one, done.day(one.name, day), day, now) for one in shop.crews}
    visits = [one for houses in pages.values() for one in _crew_visits(found, houses, day, now)]
    there = [(one.crew, one.job) for one in visits]
    told = {(one.crew, one.job): one for one in recorded if one.recorded}
    visits = [
        _as_recorded(one, told.get(key)) if there.count(key) == 1 else one
        for one, key in zip(visits, there, strict=True)
    ]
    had = {(one.crew, one.record.job.number): one for crew in shop.crews for one in done.had(crew.name, day)}
    today = to_wall(shop.zone, now).date()
    at_work = [one for one in recorded if (one.crew, one.job) not in there]
    visits += [_with_planned(one, had.get((one.crew, one.job)), shop.zone, gone=day < today) for one in at_work]
    been = {*there, *((one.crew, one.job) for one in at_work)}
    only = {key: one for key, one in had.items() if key not in been and day < today}
    visits += [_only_planned(found, one, _of_job(pages[crew], job)) for (crew, job), one in only.items()]
    crews = {crew.name: place for place, crew in enumerate(shop.crews)}
    visits.sort(key=lambda one: (crews.get(one.crew, len(crews)), one.crew, one.start))
    return WeekDay(
        day=day,
        off=off if len(off) < len(shop.crews) or day.weekday() < 5 else (),
        visits=tuple(visits),
        waits=tuple(span for span in spans if span.start < end and span.end > start),
    )


def _of_job(houses: Sequence[CrewHouse], job: int) -> CrewHouse | None:
    return next((one for one in houses if one.stretch.record.job.number == job), None)


def _crew_visits(found: Planned, houses: Sequence[CrewHouse], day: date, now: datetime) -> Iterator[Visit]:
    """Yield a crew's visits of a day, with the times its page has of its `houses`."""
    zone = found.shop.zone
    for house in houses:
        if house.stands is not None:
            visit = _visit(found, house.stands, day, now)
            if house.start < house.end:
                visit = replace(visit, start=to_wall(zone, house.start), end=to_wall(zone, house.end))
            if house.told and not house.recorded:  # at the first visit to the house it is told
                visit = replace(visit, recorded="")
            yield replace(visit, reason=_beside_words(house, zone) or visit.reason)
        elif house.left and not house.told and not _sent_for_nothing(house, zone, day):
            yield _stopped_visit(found, house)


def _sent_for_nothing(house: CrewHouse, zone: str, day: date) -> bool:
    """Return whether a crew had a dry run at a house that day: it did not work there, and `recorded_visits` tells it."""
    stretch = house.stretch
    runs = (one.at for one in stretch.record.dry_runs if one.crew == stretch.crew)
    return any(to_wall(zone, at).date() == day for at in runs)


def _stopped_visit(found: Planned, house: CrewHouse) -> Visit:
    """Return the visit at a house that a plan sent a crew to, of which another took all: the crew was there until then."""
    stretch, zone = house.stretch, found.shop.zone
    return Visit(
        job=stretch.record.job.number,
        title=stretch.record.job.title,
        crew=stretch.crew,
        start=to_wall(zone, house.start),
        end=to_wall(zone, house.end),
        what=f"stopped: {work_words(house.waiting or stretch.tasks)}",
        tasks=(),
        reason=_stopped_words(house, zone),
        pinned=False,
        begun=False,
        recorded=house.recorded,
    )


def _beside_words(house: CrewHouse, zone: str) -> str:
    """Return what is recorded beside a house's plan: when its crew was stopped, or until when it had not come; empty for neither."""
    if house.elsewhere is not None:
        return f"not there by then: recorded in the house before until {to_wall(zone, house.elsewhere):%H:%M}"
    return _stopped_words(house, zone) if house.left else ""


def _stopped_words(house: CrewHouse, zone: str) -> str:
    """Return when a crew was stopped at a house, and where the plan has the rest: of several places the first is told."""
    where = dict.fromkeys(house.taken.values())
    if where and all(one.endswith(NO_PLACE) for one in where):
        rest = "the plan has no place for the rest"
    elif len(where) == 1 and house.stretch.record.job.state is not JobState.BOOKED:
        rest = next(iter(where)).rpartition("the rest ")[2]
    elif len(where) == 1:  # of what is done in part it is said already that it is the rest
        rest = f"the rest {next(iter(where)).rpartition('the rest ')[2]}"
    else:
        rest = "the rest is elsewhere"
    if house.stopped is None:
        return ""
    went_on = house.end - house.stopped > QUARTER_HOUR  # what was not stopped was done after it
    return f"{'part of it ' if went_on else ''}stopped {to_wall(zone, house.stopped):%H:%M}, {rest}"


def _visit(found: Planned, stretch: Stretch, day: date, now: datetime) -> Visit:
    job, done = stretch.record.job, all(task.done_at is not None for task in stretch.tasks)
    numbers = tuple(one.number for one in stretch.tasks if found.placement(job.number, one.number) is not None)
    ask_now = working_days_before(found.shop, day, ASK_AHEAD_DAYS) <= to_wall(found.shop.zone, now).date()
    first = found.placement(job.number, numbers[0]) if numbers else None
    reason = _still_so(stretch.record, first.reason, now) if first else ""
    if first is not None and to_wall(found.shop.zone, first.start).date() < day:
        reason = "goes on from the day before"
    start, end, others = stretch.start, stretch.end, found.others.get(job.number, ())
    if start == end and done:  # there was no time left for it between others: when it was done is known
        start = end = max(task.done_at for task in stretch.tasks if task.done_at is not None)
    return Visit(
        job=job.number,
        title=job.title,
        crew=stretch.crew,
        start=to_wall(found.shop.zone, start),
        end=to_wall(found.shop.zone, end),
        what=done_words(stretch.record, stretch.tasks) if done else work_words(stretch.tasks),
        tasks=numbers,
        reason=reason,
        pinned=found.pinned(job.number, numbers),
        begun=not done and any(task.started_at is not None for task in stretch.tasks),
        done=done,
        owed=owed_to(stretch.record, stretch.tasks, now, not_asked=ask_now),
        recorded=recorded_on(stretch.record, stretch.crew, day) or "; ".join(far_on(stretch.record, stretch.crew, day)),
        found="" if done else in_short(stretch.record, others, now, repaired_before(found, stretch.start, now)),
    )


def _as_recorded(visit: Visit, recorded: Visit | None) -> Visit:
    """Return a visit that is done with the hours of its crew in the place of planned ones."""
    return replace(visit, start=recorded.start, end=recorded.end) if visit.done and recorded is not None else visit


def _with_planned(visit: Visit, had: Stretch | None, zone: str, *, gone: bool) -> Visit:
    """Return a visit of which no hours are recorded with the times the day's plan had for it: the crew was there by that."""
    if had is None or visit.recorded or visit.what.startswith(DRY_RUN):
        return visit
    end = to_wall(zone, had.end) if gone else visit.end
    return replace(visit, start=min(visit.start, to_wall(zone, had.start)), end=max(visit.end, end))


def _only_planned(found: Planned, stretch: Stretch, house: CrewHouse | None) -> Visit:
    """Return a visit of a day gone by that its plan had and the plan in force has no more, and of which nothing is recorded.

    It has the times the page of the crew has of that `house`.
    """
    times = house if house is not None and house.start < house.end else stretch
    return Visit(
        job=stretch.record.job.number,
        title=stretch.record.job.title,
        crew=stretch.crew,
        start=to_wall(found.shop.zone, times.start),
        end=to_wall(found.shop.zone, times.end),
        what=f"{ONLY_PLANNED}{work_words(stretch.tasks)}",
        tasks=(),
        reason=_beside_words(house, found.shop.zone) if house is not None else "",
        pinned=False,
        begun=False,
    )


def _still_so(record: JobRecord, reason: str, now: datetime) -> str:
    """Return the reason of a place in the plan, made when something was due, as it is since that has come."""
    here = [material.name for material in record.job.materials if not material_clock(record, material, now).missing]
    here += [line.name for line in record.job.goods if not goods_clock(record, line, now).missing]
    return next((f"{name} has come" for name in here if reason.startswith(f"{name} is due")), reason)


def _wait_spans(found: Planned, now: datetime) -> Iterator[WaitSpan]:
    """Yield what is waited for until an instant after now, but what is inside a day's work. Equal ends are one wait."""
    for record in found.records.values():
        if record.job.state is not JobState.BOOKED:
            continue
        merged: dict[tuple[str, datetime], list[JobWait]] = {}
        for wait in job_waits(found, record, now):
            if wait.end > now and not wait.short:
                merged.setdefault((wait.words, wait.end), []).append(wait)
        zone = found.shop.zone
        for (what, end), waits in sorted(merged.items(), key=lambda item: (item[0][1], item[0][0])):
            places = list(dict.fromkeys(wait.where for wait in waits if wait.where))
            yield WaitSpan(
                job=record.job.number,
                what=what + (f" ({listed(places)})" if places else ""),
                start=to_wall(zone, min(wait.start for wait in waits)),
                end=to_wall(zone, end),
                unpromised=any(wait.unpromised for wait in waits),
            )


def _left_out(found: Planned) -> tuple[LeftOutRow, ...]:
    rows = dict.fromkeys((left.job, left.why) for left in found.plan.left_out)
    return tuple(
        LeftOutRow(job=job, title=found.records[job].job.title, why=why) for job, why in rows if job in found.records
    )


def _promises(uow: UnitOfWork, found: Planned, now: datetime) -> tuple[PromiseRow, ...]:
    rows = []
    for record in found.records.values():
        job = record.job
        if job.promised is None or job.state is not JobState.BOOKED or not record.to_do:
            continue
        end = found.finish(record)
        finish = to_wall(job.site.zone, end) if end else None
        today = to_wall(job.site.zone, now).date()
        behind = behind_since(found.task_minutes(record), record, now) is not None
        kept = finish is not None and finish.date() <= job.promised
        holds = kept and not behind
        row = PromiseRow(
            job=job.number,
            title=job.title,
            promised=job.promised,
            finish=finish,
            holds=holds,
            overdue=kept and behind and today <= job.promised,
            unticked=behind,
            only_if=ONLY_IF if finish is not None and finish_hangs(record, now) else "",
        )
        rows.append(_with_slack(row, spared(uow, found, record, now) if holds else None))
    return tuple(sorted(rows, key=lambda row: (row.promised, row.job)))


def spared(uow: UnitOfWork, found: Planned, record: JobRecord, now: datetime) -> Spare | None:
    """Return what a job of the plan in force has to spare before its promise, None where that does not hold."""
    end = found.finish(record)
    if end is None:
        return None
    errands = tuple(errands_of(uow, found.shop, now))
    return spare(found.shop, found.away, errands, record, found.plan, end, now)


def _with_slack(row: PromiseRow, found: Spare | None) -> PromiseRow:
    """Return a promise that holds with the time its last crew has to spare."""
    if found is None:
        return row
    return replace(
        row, crew=found.crew, slack_min=found.slack_min, booked_min=found.booked_min, kept_min=found.kept_min
    )


def stale_words(uow: UnitOfWork, found: Planned, now: datetime) -> str:
    """Say why the plan in force says less than it seems to: days went by without a tick, or facts have changed since."""
    return " ".join(filter(None, (unticked_words(found, now), _changed_words(uow, found.plan, now))))


def unticked_words(found: Planned, now: datetime) -> str:
    """Say which jobs have work that was planned for a day that is over and that nobody has ticked; empty where none has."""
    first: dict[int, date] = {}
    for placed in found.plan.placements:
        record = found.records.get(placed.key.job)
        if record is None or record.job.state is not JobState.BOOKED:
            continue
        day = to_wall(record.job.site.zone, placed.end).date()
        if day < to_wall(record.job.site.zone, now).date() and any(
            task.open for task in record.tasks if task.number in placed.tasks
        ):
            first[record.job.number] = min(day, first.get(record.job.number, day))
    if not first:
        return ""
    jobs = f"job{'s' if len(first) > 1 else ''} {listed([str(job) for job in sorted(first)], most=9)}"
    return f"Work planned before today is not ticked ({jobs}, since {day_words(min(first.values()))}): tick what is done, or plan again."


def _changed_words(uow: UnitOfWork, plan: WeekPlan, now: datetime) -> str:
    """Say what has changed since the plan was made; the change that stored the plan itself is not one."""
    others = recorded_since(uow, plan.based_on)
    if not others:
        return ""
    from crewjobs.services.weeks.repair import holds

    if holds(uow, plan, now):
        return ""
    count = f"{len(others)} change{'s' if len(others) > 1 else ''}"
    return f"{count} since this plan was made, the last: {others[0].what}. Plan again to take it in."
