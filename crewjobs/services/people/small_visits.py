"""Small visits: an hour or two at a house, one person, a reason of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.agreed import SmallVisit, VisitKind
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import hour_words, to_wall
from crewjobs.domain.wording import day_words, listed, typed, upper
from crewjobs.engines.planning.stays import Stay, clash, drive_between, first_free
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.services.clock import read_ahead, read_moment
from crewjobs.services.jobs.known import HAND_OVER, READINGS, WALK_BEFORE
from crewjobs.services.people.people import (
    Person,
    find_person,
    house_windows,
    likely_people,
    outside,
    stays_of,
    windows_of,
)
from crewjobs.services.rows import Done, VisitProposal
from crewjobs.services.weeks.visits import planned
from crewjobs.services.wording import at_site, dated, read_line, span_at_site, task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

USUAL_MIN: Final = 60
EARLIEST_H: Final = 5
LATEST_H: Final = 21
"""Hours of the site's day outside which nobody goes to a house without a reason; common practice, no source."""
_ENDED: Final = frozenset({JobState.DONE, JobState.CLOSED})
_ALSO_ENDED: Final = frozenset({VisitKind.CALLBACK, VisitKind.PUNCH_LIST})
_ONLY_BOOKED: Final = frozenset({VisitKind.CARRY_IN, VisitKind.PUNCH_LIST})


def read_kind(text: str) -> VisitKind:
    """Return the kind of a small visit as typed: ``site check`` or ``site-check``.

    Raises:
        Refused: there is no such kind.
    """
    plain = text.strip().casefold().replace("-", " ").replace("_", " ")
    for kind in VisitKind:
        if kind.value.replace("-", " ") == plain:
            return kind
    raise Refused(f"{quoted(text)} is no small visit: it is one of {', '.join(kind.value for kind in VisitKind)}.")


def propose(
    uow: UnitOfWork, now: datetime, job: int, kind: str, *, who: str = "", minutes: int = USUAL_MIN
) -> VisitProposal:
    """Return the first time at which somebody can make a small visit; nothing is recorded.

    Without `who` it is the shop's lead, else whichever crew's lead is free first.

    Raises:
        Refused: unknown job, kind or person, a kind that does not fit the job, or no time in the next four weeks.
    """
    record, wanted = uow.job(job), read_kind(kind)
    _check_kind(record, wanted)
    people = [find_person(uow.shop(), who)] if who else likely_people(uow.shop())
    found = []
    for person in people:
        probe = _visit(wanted, person.name, now, minutes, "")
        stays = stays_of(uow, person, now, planned(uow))
        windows = windows_of(uow, person, record, wanted, now)
        start = first_free(stays, windows, stay_of(record, probe), now)
        if start is not None:
            found.append((start, person.name))
    if not found:
        names = listed([person.name for person in people]) or "nobody"
        raise Refused(
            f"job {job}: {names} and the house have no {minutes} minutes together in the next four weeks: "
            "give a time with --at."
        )
    start, name = min(found, key=lambda one: one[0])
    at = f"{to_wall(record.job.site.zone, start):%Y-%m-%d %H:%M}"
    plain = wanted.value.replace(" ", "-")
    command = f'crewjobs visit {job} {plain} --who {typed(name)} --at "{at}"'
    if minutes != USUAL_MIN:
        command += f" --minutes {minutes}"
    return VisitProposal(
        sentence=f"{name} is first free for a {wanted} at job {job} {at_site(record.job.site.zone, start)}, {minutes} min. "
        "Nothing is recorded yet.",
        job=job,
        kind=wanted.value,
        who=name,
        start=to_wall(record.job.site.zone, start),
        minutes=minutes,
        command=command,
    )


def plan(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    kind: str,
    *,
    at: str,
    who: str = "",
    minutes: int = USUAL_MIN,
    because: str = "",
    leaves_crew: bool = False,
) -> Done:
    """Record that somebody will make a small visit. `leaves_crew` lets them leave their crew's planned day for it.

    Raises:
        Refused: unknown job, kind or person, a kind that does not fit, a time gone by, outside site hours, by night
            without a reason, on a day they are away, or while they are elsewhere, the drive between counted.
    """
    record, wanted = uow.job(job), read_kind(kind)
    _check_kind(record, wanted)
    person = _who_goes(uow, who)
    start = read_ahead(at, record.job.site.zone, now)
    if start < now:
        raise Refused(f"{dated(record.job.site.zone, start)} has gone by: --done --at records a visit that was made.")
    visit = _visit(wanted, person.name, start, minutes, read_line(because, "the reason"))
    check_house(record, visit)
    _check_night(record, visit)
    _check_person(uow, person, record, visit, leaves_crew=leaves_crew)
    after = replace(record, small_visits=(*record.small_visits, visit))
    _check_twice(record, visit)
    uow.save_job(record, after)
    what = f"job {job}: {visit_words(record, visit)}"
    said = outside(uow.shop(), person, record.job.site.zone, visit)
    return Done(sentence=upper(what) + ".", change=uow.commit(what, at=now, job=job), then=(said,) if said else ())


def done(
    uow: UnitOfWork, now: datetime, job: int, kind: str, *, who: str = "", at: str = "", minutes: int = USUAL_MIN
) -> Done:
    """Record that a small visit was made: the first planned one of its kind, or one that nobody planned.

    `at` is when it was made, in the site's time (empty: now). One that was not planned needs `who` and `at`. No task is ticked by it.

    Raises:
        Refused: none is planned and it is not said who went when, the time it is planned for has not come and it is
            not said when it was made, or a moment that has not come.
    """
    record, wanted = uow.job(job), read_kind(kind)
    zone = record.job.site.zone
    moment = read_moment(at, zone, now)
    if moment > now:
        raise Refused(f"{dated(zone, moment)} has not come yet: only what has happened is recorded.")
    waits = [visit for visit in record.small_visits if visit.kind is wanted and visit.done_at is None]
    if who:
        name = find_person(uow.shop(), who).name
        waits = [visit for visit in waits if visit.who == name]
    if waits:
        old = min(waits, key=lambda visit: visit.start)
        if not at.strip() and moment < old.start:
            raise Refused(
                f"job {job}: the {wanted} of {old.who} is planned for {at_site(zone, old.start)}, which has not come yet; "
                "if it was made earlier, say when with --at."
            )
        made = replace(old, done_at=moment)
        visits = tuple(made if visit is old else visit for visit in record.small_visits)
    else:
        made = _unplanned(uow, record, wanted, who, moment if at else None, minutes)
        visits = (*record.small_visits, made)
    uow.save_job(record, replace(record, small_visits=visits))
    what = f"job {job}: {visit_words(record, made)}"
    then = tuple(_offers(record, wanted))
    return Done(sentence=upper(what) + ".", change=uow.commit(what, at=now, job=job), then=then)


def call_off(uow: UnitOfWork, now: datetime, job: int, kind: str, *, who: str = "", at: str = "") -> Done:
    """Take a planned small visit away; the change log keeps it. `who` and `at` choose among several of its kind.

    Raises:
        Refused: none such is planned, or several are.
    """
    record, wanted = uow.job(job), read_kind(kind)
    found = [visit for visit in record.small_visits if visit.kind is wanted and visit.done_at is None]
    if who:
        name = find_person(uow.shop(), who).name
        found = [visit for visit in found if visit.who == name]
    if at:
        start = read_ahead(at, record.job.site.zone, now)
        found = [visit for visit in found if visit.start == start]
    if not found:
        raise Refused(f"job {job} has no such {wanted} planned: `crewjobs job {job}` lists its small visits.")
    if len(found) > 1:
        when = listed([f"{at_site(record.job.site.zone, visit.start)} {visit.who}" for visit in found], most=9)
        raise Refused(f"job {job} has {len(found)} of kind {wanted} planned ({when}): say which with --at.")
    visits = tuple(visit for visit in record.small_visits if visit is not found[0])
    uow.save_job(record, replace(record, small_visits=visits))
    what = f"job {job}: called off: {visit_words(record, found[0])}"
    return Done(sentence=upper(what) + ".", change=uow.commit(what, at=now, job=job))


def visit_lines(record: JobRecord) -> tuple[str, ...]:
    """Return a job's small visits as lines, by their start."""
    ordered = sorted(record.small_visits, key=lambda visit: visit.start)
    off = ", not made: the job is called off" if record.job.state is JobState.CALLED_OFF else ""
    return tuple(upper(visit_words(record, visit)) + ("" if visit.done_at else off) for visit in ordered)


def visit_words(record: JobRecord, visit: SmallVisit) -> str:
    """Return a small visit as ``reading, Thu 5 Mar 09:00, 60 min, Ines Varga (ask for the key)``."""
    zone = record.job.site.zone
    why = f" ({visit.why})" if visit.why else ""
    made = f", done {at_site(zone, visit.done_at)}" if visit.done_at else ""
    return f"{visit.kind}, {at_site(zone, visit.start)}, {visit.minutes} min, {visit.who}{why}{made}"


def _visit(kind: VisitKind, who: str, start: datetime, minutes: int, why: str) -> SmallVisit:
    return SmallVisit(kind=kind, who=who, start=start, minutes=minutes, why=why)


def stay_of(record: JobRecord, visit: SmallVisit) -> Stay:
    """Return where and how long a person is for a small visit."""
    site = record.job.site
    return Stay(
        job=record.job.number,
        address=site.address,
        drive_min=site.drive_min,
        start=visit.start,
        end=visit.start + timedelta(minutes=visit.minutes),
    )


def _check_kind(record: JobRecord, kind: VisitKind) -> None:
    state, number = record.job.state, record.job.number
    still = sum(task.open for task in record.tasks)
    if state is JobState.CALLED_OFF:
        raise Refused(f"job {number} is called off: nobody goes there.")
    if kind is VisitKind.CALLBACK and not record.finished:
        open_words = f" with {still} task{'' if still == 1 else 's'} open" if still else ""
        raise Refused(
            f"job {number} is {state}{open_words}: a callback belongs to a job that was finished; "
            "plan a site check or a punch list."
        )
    if kind not in _ALSO_ENDED and state in _ENDED:
        raise Refused(
            f"job {number} is {state}: no {kind} there; what comes after the end is a callback or a punch list."
        )
    if kind in _ONLY_BOOKED and state in (JobState.ASKED, JobState.QUOTED):
        raise Refused(f"job {number} is {state}, not booked: no {kind} there yet.")
    if kind is VisitKind.CARRY_IN and not any(is_carry_in(task) and task.open for task in record.tasks):
        raise Refused(f"job {number} has no carry-in left to do.")


def check_house(record: JobRecord, visit: SmallVisit) -> None:
    """Refuse a small visit on a day or at an hour the house does not allow.

    Raises:
        Refused: nobody may work there that day, or it lies outside the site's or the elevator's hours.
    """
    job, zone = record.job, record.job.site.zone
    day = to_wall(zone, visit.start).date()
    if day in job.blocked:
        raise Refused(f"job {job.number}: nobody may work there on {day_words(day)}.")
    elevator = visit.kind is VisitKind.CARRY_IN and job.site.elevator is not None
    hours = job.site.elevator if elevator else job.site.hours
    if hours is None:
        return
    stay = stay_of(record, visit)
    open_at = house_windows(hours, zone, day)
    if any(opens <= stay.start and stay.end <= closes for opens, closes in open_at):
        return
    what = "the elevator's hours" if elevator else "site hours"
    there = listed([f"{to_wall(zone, a):%H:%M}-{hour_words(to_wall(zone, b))}" for a, b in open_at]) or "closed"
    raise Refused(
        f"job {job.number}: {span_at_site(zone, stay.start, stay.end)} is a slot outside {what} "
        f"({day_words(day)}: {there})."
    )


def _check_night(record: JobRecord, visit: SmallVisit) -> None:
    """People are at home and asleep: earlier or later than anybody works takes a reason."""
    if visit.why:
        return
    zone = record.job.site.zone
    start, end = to_wall(zone, visit.start), to_wall(zone, visit.start + timedelta(minutes=visit.minutes))
    late = end.date() > start.date() or (end.hour, end.minute) > (LATEST_H, 0)
    if start.hour < EARLIEST_H or late:
        raise Refused(
            f"{day_words(start.date())} {start:%H:%M} to {hour_words(end)} lies outside {EARLIEST_H}:00 to {LATEST_H}:00: "
            "if that is agreed with the house, say why with --because."
        )


def _check_person(uow: UnitOfWork, person: Person, record: JobRecord, visit: SmallVisit, *, leaves_crew: bool) -> None:
    shop, zone, wanted = uow.shop(), record.job.site.zone, stay_of(record, visit)
    day = to_wall(shop.zone, visit.start).date()
    for away in uow.away():
        if (away.worker, away.day, away.to) == (person.name, day, "") and away.crew == person.crew:
            raise Refused(f"{person.name} is out on {day_words(day)}{f' ({away.why})' if away.why else ''}.")
    taken = clash(stays_of(uow, person, visit.start, None), wanted)
    if taken is not None:
        raise Refused(f"{_elsewhere(person, taken, wanted, zone)}: nobody is in two places at once.")
    found = None if leaves_crew else planned(uow)
    others = [stay for stay in stays_of(uow, person, visit.start, found) if stay.job != wanted.job]
    with_crew = clash(others, wanted)
    if with_crew is not None:
        raise Refused(
            f"{_elsewhere(person, with_crew, wanted, zone)} with their crew: say --leaves-crew if they leave it for that."
        )


def _elsewhere(person: Person, taken: Stay, wanted: Stay, zone: str) -> str:
    drive = drive_between(taken, wanted)
    road = f", {round(drive.total_seconds() / 60)} min of drive apart" if drive else ""
    return f"{person.name} is at job {taken.job} {span_at_site(zone, taken.start, taken.end)}{road}"


def _check_twice(record: JobRecord, visit: SmallVisit) -> None:
    for known in record.small_visits:
        if (known.kind, known.start) == (visit.kind, visit.start):
            when = at_site(record.job.site.zone, visit.start)
            raise Refused(f"job {record.job.number} has a {visit.kind} {when} already, by {known.who}.")


def _who_goes(uow: UnitOfWork, who: str) -> Person:
    if who:
        return find_person(uow.shop(), who)
    people = likely_people(uow.shop())
    if len(people) == 1:
        return people[0]
    raise Refused(f"say who goes with --who: {listed([person.name for person in people], most=9)}.")


def _unplanned(
    uow: UnitOfWork, record: JobRecord, kind: VisitKind, who: str, moment: datetime | None, minutes: int
) -> SmallVisit:
    if not who or moment is None:
        raise Refused(
            f"job {record.job.number} has no {kind} planned: say who went and from when, with --who and --at."
        )
    _check_kind(record, kind)
    person = find_person(uow.shop(), who)
    made = replace(_visit(kind, person.name, moment, minutes, ""), done_at=moment)
    taken = clash(stays_of(uow, person, moment, None), stay_of(record, made))
    if taken is not None:
        raise Refused(
            f"{_elsewhere(person, taken, stay_of(record, made), record.job.site.zone)}: nobody is in two places at once."
        )
    _check_twice(record, made)
    return made


def _offers(record: JobRecord, kind: VisitKind) -> Iterator[str]:
    """Yield what may be recorded now; a visit by itself ticks nothing."""
    job, still = record.job.number, [task for task in record.tasks if task.open]
    if kind is VisitKind.READING:
        for task in still:
            if task.key.template in READINGS:
                yield f"The number read is for you to judge; `crewjobs tick {job} {task.number}` ticks {task_words(task)}."
    elif kind is VisitKind.WALK_THROUGH:
        for template, word in ((WALK_BEFORE, "before"), (HAND_OVER, "after")):
            if any(task.key.template == template for task in still):
                yield f"`crewjobs walk {job} {word} --with NAME` records what was said and ticks its task."
                return
    elif kind is VisitKind.CARRY_IN:
        numbers: Sequence[str] = [str(task.number) for task in still if is_carry_in(task)]
        if numbers:
            yield f"`crewjobs tick {job} {' '.join(numbers)}` starts the clock of what is in the rooms now."
    elif kind is VisitKind.CALLBACK:
        yield f'`crewjobs callback {job} "WHAT"` books what is to be done there as a small job of its own.'
    elif kind is VisitKind.PUNCH_LIST:
        yield f"`crewjobs walk {job} after --with NAME --punch …` records what is still open."
