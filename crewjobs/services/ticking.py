"""Ticking tasks off, starting them, and what a tick sets in motion."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import AlreadySo, OnHold, Refused
from crewjobs.domain.evening import last_open
from crewjobs.domain.job import HoldPassed, JobRecord, JobState
from crewjobs.domain.tasks import Phase, Task
from crewjobs.domain.units import quoted
from crewjobs.domain.wording import listed, upper
from crewjobs.engines.readiness.at_most import at_most_holds
from crewjobs.engines.readiness.clocks import material_clock, running_waits
from crewjobs.engines.readiness.dew import dew_unread
from crewjobs.engines.readiness.holds import Hold, HoldKind, holds, is_carry_in
from crewjobs.engines.readiness.material_holds import NO_AIR
from crewjobs.engines.readiness.shut import air_left_off
from crewjobs.services.clock import read_moment
from crewjobs.services.evenings.far_words import far_words
from crewjobs.services.findings.found_told import to_be_settled
from crewjobs.services.jobs.all_ticked import ALL_TICKED, is_all_ticked, to_end
from crewjobs.services.jobs.known import PROTECTION_UP
from crewjobs.services.jobs.written import WANTED, by_itself, not_written, written_then
from crewjobs.services.readings.reading_notes import left_out_notes
from crewjobs.services.rows import Done
from crewjobs.services.waiting.card_waits import without_card
from crewjobs.services.wording import at_site, counted_of, dated, no_crew, read_line, task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

MOST_HOLDS: Final = 3
"""How many holds a sentence names; those with an instant always, and two of the others at least."""


def tick(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    tasks: Sequence[int],
    *,
    at: str = "",
    because: str = "",
) -> Done:
    """Record that tasks of a job are done, all of them or none.

    `at` is the moment as typed, in the site's time (empty: now); cures run from it. A task on hold is
    refused unless `because` gives the reason, which is kept with what was seen.

    Raises:
        OnHold: a task is on hold and no reason is given.
        Refused: unknown job or task, already done, not needed, or a moment that has not come.
    """
    reason = read_line(because, "the reason")
    before = uow.job(job)
    moment = moment_of(before, at, now)
    if len(set(tasks)) > 1 and (alone := next(filter(None, map(by_itself, map(before.task, tasks))), "")):
        raise Refused(f"{alone}: leave it out here. Nothing is ticked.")
    after = before
    for number in in_working_order(before, tasks):
        after = ticked(after, after.task(number), moment, reason)
    uow.save_job(before, after)
    done = [after.task(number) for number in dict.fromkeys(tasks)]
    zone = before.job.site.zone
    what = f"job {job}: {listed([task_words(task) for task in done])} done {at_site(zone, moment)}"
    if any(passed.seen for passed in after.passed[len(before.passed) :]):
        what += f", although on hold, because {reason}"
    elif after.passed != before.passed:
        what += f"; written down: {reason}"
    cards = without_card(uow.shop(), uow.away(), done, moment) if any(task.card for task in done) else ()
    out = (f"{upper(note)}." for task in done for note in left_out_notes(after, task))
    then = (
        *cards,
        *out,
        *(said for task in done for said in written_then(after, task)),
        *_air_off(after, done, now),
        *_unread(before, done, moment),
        *set_in_motion(before, after, now),
    )
    return Done(sentence=upper(what) + ".", change=uow.commit(what, at=now, job=job), then=then)


def _air_off(record: JobRecord, done: Sequence[Task], now: datetime) -> Iterator[str]:
    """Yield that the air handler stays off, where what was done names it as running again."""
    if air_left_off(record, now) and any(task.key.template == PROTECTION_UP for task in done):
        yield "The air handler stays off, whatever the task says: whoever decides about what was found says when it runs again."


def _unread(record: JobRecord, done: Sequence[Task], moment: datetime) -> Iterator[str]:
    """Yield of which rooms nobody knew how far the floor lay above the dew point when something was spread on it."""
    for where in dict.fromkeys(task.key.scope.name for task in done if dew_unread(record, task, moment)):
        yield f"Nobody had read floor and air of {where} within a day before: how far it was above the dew point is not known."


def tick_phase(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    phase: str,
    where: str,
    *,
    only: Collection[int] = (),
    at: str = "",
    because: str = "",
) -> Done:
    """Record that every open task of a phase in one place (a room, section, the house) is done, or those that are named by `only`.

    Of several, one that is ticked only with words stays open, which is said: it has its own, and is ticked by itself.

    Raises:
        Refused: as `tick`, or nothing of that phase is open there.
    """
    record, wanted, place = uow.job(job), phase.strip().casefold(), where.strip().casefold()
    if wanted not in [known.value for known in Phase]:
        raise Refused(f"{quoted(phase)} is no phase: it is one of {', '.join(known.value for known in Phase)}.")
    asked = [task for task in record.tasks if task.open and task.phase.value == wanted]
    # Rooms may differ in capitals alone: the very name goes first.
    numbers = (
        list(only)
        or [task.number for task in asked if task.where == where]
        or [task.number for task in asked if task.where.casefold() == place]
    )
    if not numbers:
        raise Refused(
            f"job {job} has no open task of phase {quoted(wanted)} in {quoted(where)}: "
            f"`crewjobs job {job}` lists its tasks."
        )
    alone = {number: said for number in numbers if (said := by_itself(record.task(number)))} if numbers[1:] else {}
    done = tick(uow, now, job, [number for number in numbers if number not in alone] or numbers, at=at, because=because)
    return replace(done, then=(*(f"{said}: it stays open." for said in alone.values()), *done.then))


def start(uow: UnitOfWork, now: datetime, job: int, task: int, *, crew: str = "", at: str = "") -> Done:
    """Record that work on a task has begun, by which crew if known; the plan keeps it where it is.

    Raises:
        Refused: unknown job, task or crew, already begun or done, on hold, or a moment that has not come.
    """
    before = uow.job(job)
    moment = moment_of(before, at, now)
    found = before.task(task)
    if crew:
        shop = uow.shop()
        known = {one.name.casefold(): one.name for one in shop.crews}.get(crew.strip().casefold())
        if known is None:
            raise Refused(no_crew(crew, shop))
        crew = known
    if found.started_at is not None or not found.open:
        raise Refused(f"{upper(task_words(found))} of job {job} is {found.state} already.")
    stopped = holds(before, found, moment)
    if stopped:
        raise Refused(f"{upper(task_words(found))} is on hold: {hold_words(stopped, before.job.site.zone)}.")
    crew = crew or crew_planned(uow, job, task)
    after = with_task(before, replace(found, started_at=moment, crew=crew))
    uow.save_job(before, after)
    by = f" by {crew}" if crew else ""
    what = f"job {job}: {task_words(found)} begun {at_site(before.job.site.zone, moment)}{by}"
    return Done(sentence=upper(what) + ".", change=uow.commit(what, at=now, job=job))


def crew_planned(uow: UnitOfWork, job: int, task: int) -> str:
    """Return the crew the plan in force has on a task: who begins it, unless somebody says otherwise."""
    plan = uow.latest_plan()
    return next((p.crew for p in plan.placements if p.key.job == job and task in p.tasks), "") if plan else ""


def with_task(record: JobRecord, task: Task) -> JobRecord:
    """Return the record with one task in the place of the one of its number."""
    return replace(record, tasks=tuple(task if task.number == old.number else old for old in record.tasks))


def hold_words(stopped: Sequence[Hold], zone: str) -> str:
    """Return in one clause what is missing and until when: what has an instant first and always, the latest first."""
    dated = sorted(
        ((hold.until, hold.what) for hold in stopped if hold.until), key=lambda entry: entry[0], reverse=True
    )
    words = [f"{what}, until {at_site(zone, until)}" for until, what in dated]
    others = [hold.what for hold in stopped if not hold.until]
    room = max(2, MOST_HOLDS - len(words))
    more = [f"and {len(others) - room} more"] if len(others) > room else []
    return "; ".join([*words, *others[:room], *more])


def ticked(record: JobRecord, task: Task, moment: datetime, because: str) -> JobRecord:
    """Return the record with a task done at an instant; a hold is passed with the reason given, which is kept.

    Raises:
        AlreadySo: it is done already.
        OnHold: it is on hold and no reason is given.
        NotWritten: it is ticked only with words written down, and none are given.
        Refused: it is not needed, begun only later, or said later to be done in part.
    """
    job = record.job.number
    if task.done_at is not None:
        done = at_site(record.job.site.zone, task.done_at)
        raise AlreadySo(
            f"{upper(task_words(task))} of job {job} is done already, since {done}. "
            f"`crewjobs tick {job} {task.number} --take-back` takes the tick back."
        )
    if task.not_needed:
        raise Refused(f"{upper(task_words(task))} of job {job} is not needed: it is not part of the job as it stands.")
    for at, said in said_open(record, task):
        if at > moment:
            raise Refused(f"{said}: it cannot be done before that; give a moment after it.")
    if is_carry_in(task) and not any(lot.material == task.key.scope.name for lot in record.lots):
        sheet = any(m.is_sheet for m in record.job.materials if m.name == task.key.scope.name)
        raise Refused(
            f"{upper(task_words(task))}: {'nothing' if sheet else 'no carton'} of {task.key.scope.name} has come; "
            f"record it with `crewjobs arrived {job}` first."
        )
    stopped = tuple(hold for hold in holds(record, task, moment) if hold.kind is not HoldKind.TOO_LATE)
    stopped += tuple(at_most_holds(record, task, moment - time_for(task)))
    unwritten = not_written(record, task, because)
    if stopped and not because:
        words = hold_words(stopped, record.job.site.zone)
        what = task_words(task)
        held = f"{upper(what)} is on hold: {words}. If it was done all the same, give the reason."
        raise OnHold([*unwritten.sentences, held] if unwritten else held, what=what, why=words)
    if unwritten is not None:
        raise unwritten
    if stopped or task.key.template in WANTED:
        seen = tuple(hold_words([hold], record.job.site.zone) for hold in stopped)
        passed = HoldPassed(task=task.number, at=moment, because=because, seen=seen)
        record = replace(record, passed=(*record.passed, passed))
    if is_carry_in(task):
        record = _moved_in(record, task.key.scope.name, moment)
    return with_task(record, replace(task, started_at=task.started_at or moment, done_at=moment))


def said_open(record: JobRecord, task: Task) -> Iterator[tuple[datetime, str]]:
    """Yield the instants (UTC) before which a task cannot have been done, each with what was said of it then."""
    zone, what = record.job.site.zone, upper(task_words(task))
    if task.started_at is not None:
        yield task.started_at, f"{what} was begun {at_site(zone, task.started_at)}"
    far = last_open(record.how_far, task.number)
    if far is not None:
        yield far.at, f"{what}: {far_words(far)} was said {at_site(zone, far.at)}"


def time_for(task: Task) -> timedelta:
    """Return about how long a task took that was ticked when done: with everybody whom its estimate counts on."""
    return timedelta(minutes=round(task.estimate.expected / task.people))


def _moved_in(record: JobRecord, material: str, moment: datetime) -> JobRecord:
    """Start the clock of every lot that has come and is not in the rooms yet."""
    lots = tuple(
        replace(lot, moved_in_at=max(moment, lot.arrived_at))
        if lot.material == material and lot.moved_in_at is None
        else lot
        for lot in record.lots
    )
    return replace(record, lots=lots)


def moment_of(record: JobRecord, at: str, now: datetime) -> datetime:
    """Return when something typed was done on a job, in the site's time.

    Raises:
        Refused: no moment, one that has not come, or the job is not booked.
    """
    moment = read_moment(at, record.job.site.zone, now)
    if moment > now:
        raise Refused(f"{dated(record.job.site.zone, moment)} has not come yet: only what has happened is recorded.")
    if record.job.state is not JobState.BOOKED:
        raise Refused(f"job {record.job.number} is {record.job.state.value}, not booked: nothing is ticked on it.")
    return moment


def in_working_order(record: JobRecord, numbers: Sequence[int]) -> list[int]:
    """Return the tasks so that each comes after those of them it waits for (links have no circle)."""
    wanted = dict.fromkeys(record.task(number).number for number in numbers)
    ahead = {
        number: {link.before for link in record.links if link.after == number} & wanted.keys() for number in wanted
    }
    ordered: list[int] = []
    while len(ordered) < len(wanted):
        ordered.extend(n for n in wanted if n not in ordered and ahead[n] <= set(ordered))
    return ordered


def set_in_motion(before: JobRecord, after: JobRecord, now: datetime) -> tuple[str, ...]:
    """Say which waits the tick started, what came into the rooms, what was found and is to be settled now, and how a job without work ends."""
    zone = after.job.site.zone
    old = {(wait.task.number, wait.name) for wait in running_waits(before, now)}
    said = [
        f"{upper(wait.name)} until {at_site(zone, wait.until)} ({wait.task.where})."
        for wait in running_waits(after, now)
        if (wait.task.number, wait.name) not in old
    ]
    for lot, was in zip(after.lots, before.lots, strict=True):
        if lot != was and lot.moved_in_at is not None:
            said.append(lot_words(after, lot.material, now))
    said += to_be_settled(before, after, now)
    if is_all_ticked(after) and not is_all_ticked(before):
        said.append(f"{ALL_TICKED}: {to_end(after)}.")
    return tuple(dict.fromkeys(said))


def lot_words(record: JobRecord, material: str, now: datetime) -> str:
    """Say when a material in the rooms is ready to lay."""
    clock = material_clock(record, record.job.material(material), now)
    if clock.no_air:
        return f"{material} is in the rooms, and no hours count: {NO_AIR}."
    if clock.ready_at is None:
        return f"{material}: {counted_of(clock.material, clock.come, clock.ordered)} have come."
    ready = f"{material} is ready to lay {at_site(record.job.site.zone, clock.ready_at)}"
    ready += " at the earliest" if clock.missing else ", counted from when the air ran" if clock.by_air else ""
    if clock.verified:
        return f"{ready}."
    return f"{ready}, by hours only: {'a reading decides' if clock.material.by_reading else 'nobody read the air'}."
