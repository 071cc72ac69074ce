"""How far a task under way is: so many of so many, in the unit people counted."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.evening import HowFar, latest
from crewjobs.domain.job import HoldPassed, JobRecord
from crewjobs.domain.tasks import Driver, Task
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import upper
from crewjobs.engines.readiness.holds import Hold, HoldKind, holds
from crewjobs.files.evening_text import HOW_FAR_RIGHT, Measure, read_how_far
from crewjobs.services.evenings.far_words import far_words, left_words
from crewjobs.services.rows import Done
from crewjobs.services.ticking import crew_planned, hold_words, moment_of, with_task
from crewjobs.services.weeks.pins import lacks
from crewjobs.services.wording import at_site, no_crew, quantity_words, read_line, task_words

if TYPE_CHECKING:
    from crewjobs.domain.crew import Shop
    from crewjobs.storage.unit_of_work import UnitOfWork

OFF: Final = 0.02
"""A whole may differ from the task's own size by so much: people round."""


def how_far(
    uow: UnitOfWork, now: datetime, job: int, task: int, text: str, *, crew: str = "", at: str = "", because: str = ""
) -> Done:
    """Record how far a task is (``9 of 19 rows``, ``90 of 185 ft2``, ``50 %``); work on it has begun with that.

    `crew` is who goes on with it from here, where that is not who began it.

    Raises:
        OnHold: it is on hold, or less is done than was said, and no reason is given.
        Refused: unknown job, task or crew, a crew that cannot do it, not open, more than there is, no such measure, or a
            moment to come.
    """
    reason = read_line(because, "the reason")
    before = uow.job(job)
    moment = moment_of(before, at, now)
    found = before.task(task)
    after = reported(before, found, read_how_far(text), moment, reason, uow.shop().units)
    goes_on = _who_can(uow.shop(), found, crew) if crew.strip() else found.crew or crew_planned(uow, job, task)
    after = with_task(after, replace(after.task(task), crew=goes_on))
    uow.save_job(before, after)
    said = after.how_far[-1]
    zone = before.job.site.zone
    # The fact first: where there is little room, a task's long name would stand in its place.
    what = f"job {job}: {far_words(said)}, {task_words(found)}, {at_site(zone, moment)}"
    what += f", {goes_on} goes on with it" if crew.strip() else ""
    what += f", because {reason}" if reason else ""
    whole = f"That is all of it: `crewjobs tick {job} {task}` says that it is done."
    then = whole if said.share == 1 else f"{upper(left_words(said))}."
    return Done(sentence=upper(what) + ".", change=uow.commit(what, at=now, job=job), then=(then,))


def _who_can(shop: Shop, task: Task, name: str) -> str:
    """Return the crew that goes on with a task, as the shop spells it.

    Raises:
        Refused: no such crew, or it cannot do the task.
    """
    crew = {one.name.casefold(): one for one in shop.crews}.get(name.strip().casefold())
    if crew is None:
        raise Refused(no_crew(name, shop))
    if fault := lacks([task], crew, crew.workers):
        raise Refused(f"{fault}.")
    return crew.name


def reported(
    record: JobRecord, task: Task, typed: Measure, moment: datetime, because: str, units: UnitSystem
) -> JobRecord:
    """Return the record with how far a task is at an instant; it is under way from then if it was not begun.

    Raises:
        OnHold: as `how_far`.
        Refused: as `how_far`.
    """
    name, zone = upper(task_words(task)), record.job.site.zone
    if not task.open:
        raise Refused(f"{name} of job {record.job.number} is {task.state} already.")
    last = latest(record.how_far, task.number)
    if last is not None and last.at > moment:
        raise Refused(
            f"{name}: how far it is was said already {at_site(zone, last.at)}, "
            f"after {at_site(zone, moment, to_wall(zone, last.at).date())}."
        )
    if task.started_at is not None and task.started_at > moment:
        raise Refused(f"{name} was begun {at_site(zone, task.started_at)}: nothing was done of it before that.")
    said = _measured(task, typed, last, moment, units)
    if last is not None and said.share < last.share and not because:
        raise OnHold(
            f"{name}: {far_words(said)} is less than {far_words(last)}, said {at_site(zone, last.at)}. "
            "If some was taken up again, give the reason."
        )
    stopped = _stopped(record, task, moment)
    if stopped and not because:
        done = "begun" if task.started_at is None else "done"
        words = hold_words(stopped, zone)
        raise OnHold(f"{name} is on hold: {words}. If it was {done} all the same, give the reason.")
    if stopped:
        seen = tuple(hold_words([hold], zone) for hold in stopped)
        passed = HoldPassed(task=task.number, at=moment, because=because, seen=seen)
        record = replace(record, passed=(*record.passed, passed))
    if task.started_at is None:
        record = with_task(record, replace(task, started_at=moment))
    return replace(record, how_far=(*record.how_far, said))


def _stopped(record: JobRecord, task: Task, moment: datetime) -> tuple[Hold, ...]:
    """Return what holds a task at an instant and was not passed with a reason before.

    A reason for going on with what was found holds for once: the next time it is asked for again.
    """
    stopped = holds(record, task, moment)
    if task.started_at is None:
        return stopped
    seen = [words for one in record.passed if one.task == task.number and one.at <= moment for words in one.seen]
    return tuple(
        hold
        for hold in stopped
        if hold.kind is HoldKind.FOUND or not any(words.startswith(hold.what) for words in seen)
    )


def _measured(task: Task, typed: Measure, last: HowFar | None, moment: datetime, units: UnitSystem) -> HowFar:
    """Fill in what was left away from what is known of the task, and hold it to that.

    Raises:
        Refused: more than there is, a whole that is not the task's, or none known.
    """
    name = upper(task_words(task))
    size, own = own_measure(task, units)
    unit = typed.unit or _unit_meant(task, typed.whole, last, size, own)
    whole = typed.whole
    if unit == own and size is not None:
        if whole is not None and abs(whole - size) > max(1.0, OFF * size):
            raise Refused(f"{name} is {size:g} {own}, not {whole:g}: say how far it is of that, or in %.")
        whole = whole or size
    if whole is None and last is not None and last.unit == unit:
        whole = last.whole
    if whole is None:
        raise Refused(f"{name}: {typed.done:g} {unit} of how many? {upper(HOW_FAR_RIGHT)}.")
    if typed.done > whole or whole <= 0:
        # A unit that is only guessed is not put into anybody's mouth.
        known = bool(typed.unit) or unit == own or (last is not None and last.unit == unit)
        words = f"{whole:g} {unit}" if known else f"{whole:g}"
        raise Refused(f"{name}: {typed.done:g} of {words} cannot be: there are {whole:g}.")
    if typed.done == 0 and last is None and task.started_at is None:
        raise Refused(f"{name}: nothing is done of it yet, so there is nothing to record.")
    _check_range(name, typed, last, unit)
    return HowFar(task=task.number, at=moment, done=typed.done, whole=whole, unit=unit)


def _unit_meant(task: Task, whole: float | None, last: HowFar | None, size: float | None, own: str) -> str:
    """Return the unit of a bare ``9 of 19``: the task's own where the whole is its size, else as it was counted."""
    if size is not None and whole is not None and abs(whole - size) < 1:
        return own
    if last is not None:
        return last.unit
    if task.unit is Driver.AREA:
        return "rows"
    return own or "parts"


def _check_range(name: str, typed: Measure, last: HowFar | None, unit: str) -> None:
    if typed.first is None:
        return
    known = last.done if last is not None and last.unit == unit else 0
    if typed.first > typed.done:
        raise Refused(f"{name}: {unit} {typed.first:g} to {typed.done:g} runs backwards.")
    if typed.first > known + 1:
        raise Refused(
            f"{name}: {unit} {typed.first:g} to {typed.done:g} leaves out those before: {known:g} were said so far."
        )


def own_measure(task: Task, units: UnitSystem) -> tuple[float | None, str]:
    """Return a task's own size in the shop's units with the unit's name.

    None and empty for what is done once or agreed by the hour: nobody counts hours of work done, but shares of it.
    """
    if task.unit in (Driver.ONCE, Driver.HOURS):
        return None, ""
    if task.unit is Driver.FIXTURES:
        return float(round(task.quantity)), "each"
    number, _, unit = quantity_words(task, units).partition(" ")
    plural = task.unit.value if unit == task.unit.value.removesuffix("s") else unit
    return float(number), plural


def far_of(record: JobRecord, task: Task) -> str:
    """Return how far a task under way is in words, empty where nobody said or it is done."""
    said = latest(record.how_far, task.number)
    return far_words(said) if said is not None and task.open else ""
