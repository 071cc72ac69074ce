"""What others were asked for: asked, promised, chased, there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.house_ready import Other, WaitingOn
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed, upper
from crewjobs.engines.readiness.found import held_by
from crewjobs.engines.readiness.others import by_the_laboratory, who_words
from crewjobs.services.clock import read_moment, read_promised
from crewjobs.services.findings.asked_together import job_as_asked, told_in_the_house
from crewjobs.services.findings.found_asked import answered_by, laboratory_behind, promised_before_the_sample
from crewjobs.services.findings.found_told import held_still
from crewjobs.services.rows import Done
from crewjobs.services.wording import at_site, dated, read_line, task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def ask(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    who: str,
    what: str,
    *,
    promised: str = "",
    holds: Sequence[int] = (),
    template: str = "",
    at: str = "",
) -> Done:
    """Record that somebody else was asked for something, and the tasks that may not start before it is there.

    `template` names tasks by their template's key, besides those in `holds`; `promised` is when it was promised for,
    as typed in the site's time, empty where nobody said.

    Raises:
        Refused: unknown job, person or task, asked already, or a moment that cannot be.
    """
    before, other = job_as_asked(uow, job, now), read_who(who)
    zone, words = before.job.site.zone, read_line(what, "what for")
    moment = _not_to_come(read_moment(at, zone, now), now, zone)
    for waits in before.waiting_on:
        if waits.who is other and waits.what.casefold() == words.casefold():
            if waits.to_be_asked and waits.came_at is None:
                return _asked_now(uow, now, before, waits, moment, _promised(promised, zone, moment))
            here = f"and came {at_site(zone, waits.came_at)}" if waits.came_at else "and has not come"
            raise Refused(
                f"job {job}: {who_words(waits)} was asked for {quoted(waits.what)} {day_words(waits.asked)} {here}; "
                "ask for something new in other words."
            )
    asked = WaitingOn(
        who=other,
        what=words,
        asked=to_wall(zone, moment).date(),
        asked_at=moment,
        promised=_promised(promised, zone, moment),
        holds=_held(before, holds, template),
    )
    uow.save_job(uow.job(job), by_the_laboratory(replace(before, waiting_on=(*before.waiting_on, asked))))
    until = f", promised for {at_site(zone, asked.promised)}" if asked.promised else ""
    what = f"job {job}: {who_words(asked)} asked for {quoted(words)}{until}"
    held = listed([task_words(before.task(number)) for number in asked.holds])
    then = (f"Until it is there it holds {held}.",) if held else ()
    return Done(sentence=f"{upper(what)}.", change=uow.commit(what, at=now, job=job), then=then)


def promise(uow: UnitOfWork, now: datetime, job: int, who: str, until: str, *, what: str = "") -> Done:
    """Record when something asked for is promised, in the place of what was promised before.

    Raises:
        Refused: nothing such is waited for, or a moment that has gone by.
    """
    before = job_as_asked(uow, job, now)
    waits, zone = _the_one(before, who, what), before.job.site.zone
    promised = _promised(until, zone, now)
    if promised is None:
        raise Refused("say what it is promised for, such as 'thu 12:00'.")
    said = f"{who_words(waits)} promises {quoted(waits.what)} for {at_site(zone, promised)}"
    if waits.promised:
        said += f", {'usual was' if waits.usual else 'before that'} {at_site(zone, waits.promised)}"
    behind = laboratory_behind(before, uow.shop(), waits, promised)
    return _save(uow, now, behind, waits, _promised_by(waits, promised, to_wall(zone, now).date()), said)


def _promised_by(waits: WaitingOn, promised: datetime, today: date) -> WaitingOn:
    """Return it with a date promised: who promises has been asked, that day at the latest."""
    asked = max(waits.asked, waits.asked_first or today)
    return replace(waits, promised=promised, usual=False, asked=asked, chased=waits.asked_again)


def _asked_now(
    uow: UnitOfWork, now: datetime, before: JobRecord, waits: WaitingOn, moment: datetime, promised: datetime | None
) -> Done:
    """Record that somebody was asked for what a finding had said is to be asked for."""
    zone = before.job.site.zone
    _check_not_before(waits, moment, zone, "chased")
    day, behind = to_wall(zone, moment).date(), before
    asked, until = replace(waits, chased=(day,)), ""
    if promised is not None:
        asked, until = _promised_by(asked, promised, day), f", promised for {at_site(zone, promised)}"
        behind = laboratory_behind(before, uow.shop(), waits, promised)
    said = f"{who_words(waits)} asked for {quoted(waits.what)} {day_words(day)}{until}"
    return _save(uow, now, behind, waits, asked, said)


def chase(uow: UnitOfWork, now: datetime, job: int, who: str, *, what: str = "", at: str = "") -> Done:
    """Record that something was asked for again.

    Raises:
        Refused: nothing such is waited for, before it was asked, or a moment that has not come.
    """
    before = job_as_asked(uow, job, now)
    waits, zone = _the_one(before, who, what), before.job.site.zone
    moment = _not_to_come(read_moment(at, zone, now), now, zone)
    if waits.to_be_asked:
        return _asked_now(uow, now, before, waits, moment, None)
    day = to_wall(zone, moment).date()
    _check_not_before(waits, moment, zone, "chased")
    chased = replace(waits, chased=tuple(sorted({*waits.chased, day})))
    return _save(
        uow, now, before, waits, chased, f"{who_words(waits)} chased for {quoted(waits.what)} {day_words(day)}"
    )


def came(uow: UnitOfWork, now: datetime, job: int, who: str, *, what: str = "", at: str = "") -> Done:
    """Record that something asked for is there; what it held may start, unless what was found holds it until a way on is taken.

    Raises:
        Refused: nothing such is waited for, it is there already, before it was asked, or a moment that has not come.
    """
    before = job_as_asked(uow, job, now)
    waits, zone = _the_one(before, who, what, done="came"), before.job.site.zone
    moment = _not_to_come(read_moment(at, zone, now), now, zone)
    _check_not_before(waits, moment, zone, "have come")
    said = f"what {who_words(waits)} was asked for, {quoted(waits.what)}, is there {at_site(zone, moment)}"
    if waits.to_be_asked:
        said = f"{quoted(waits.what)} of {who_words(waits)} is there {at_site(zone, moment)}"
    behind = laboratory_behind(before, uow.shop(), waits, moment)
    done = _save(uow, now, behind, waits, replace(waits, came_at=moment), said)
    after = uow.job(job)
    live = after.job.state in LIVE  # what is over is held by nothing
    held = [number for number in waits.holds if live and after.task(number).open]
    still = {number for finding in after.findings for number in held_by(after, finding, now)}
    free = [task_words(after.task(number)) for number in held if number not in still]
    return replace(
        done,
        then=(
            *((f"It no longer holds {listed(free)}.",) if free else ()),
            *held_still(after, held, now),
            *done.then,
        ),
    )


def read_who(text: str) -> Other:
    """Return who is meant.

    Raises:
        Refused: nobody a job waits for by that word.
    """
    try:
        return Other(text.strip().casefold())
    except ValueError:
        known = ", ".join(other.value for other in Other)
        raise Refused(f"{quoted(text)} is nobody a job waits for: it is one of {known}.") from None


def _the_one(record: JobRecord, who: str, what: str, done: str = "") -> WaitingOn:
    """Return the one thing meant: of those by this person what is still out, by its words where there are several."""
    other, wanted, number = read_who(who), what.strip().casefold(), record.job.number
    asked = [w for w in record.waiting_on if w.who is other and (not wanted or w.what.casefold() == wanted)]
    still = [waits for waits in asked if waits.came_at is None]
    name = who_words(asked[0]) if asked else ("somebody else" if other is Other.OTHER else f"the {other.value}")
    if not asked:
        of_what = f" for {quoted(what.strip())}" if wanted else ""
        raise Refused(
            f"job {number}: {name} was not asked{of_what}; record it with `crewjobs ask {number} {other.value} …`."
        )
    if not still:
        last = asked[-1]
        assert last.came_at is not None
        when = at_site(record.job.site.zone, last.came_at)
        if settled := answered_by(record, last):
            raise Refused(
                f"job {number}: nobody waits for {quoted(last.what)} of {name} any more: {settled.way} was taken from "
                f"{settled.kind} in {settled.place} {when}."
            )
        raise Refused(f"job {number}: {quoted(last.what)} of {name} {done or 'came'} already, {when}.")
    if len(still) > 1:
        raise Refused(
            f"job {number}: say which of {listed([quoted(w.what) for w in still], most=9)} of {name} is meant."
        )
    return still[0]


def _save(uow: UnitOfWork, now: datetime, record: JobRecord, old: WaitingOn, new: WaitingOn, said: str) -> Done:
    """Save a job with something asked of others changed, and the same in the other jobs of the house that wait for it."""
    number, waiting = record.job.number, tuple(new if waits is old else waits for waits in record.waiting_on)
    after = by_the_laboratory(replace(record, waiting_on=waiting))
    uow.save_job(uow.job(number), after)
    others = [f"job {other}" for other in told_in_the_house(uow, after, now)]
    too = (f"The same is waited for in {listed(others, most=6)}: it is known there too.",) if others else ()
    what = f"job {number}: {said}"
    return Done(
        sentence=f"{upper(what)}.", change=uow.commit(what, at=now, job=number), then=(*too, *_too_early(after, new))
    )


def _too_early(record: JobRecord, told: WaitingOn) -> Iterator[str]:
    """Yield that a laboratory promised its answer for before its sample is taken, where a word was of either of them."""
    if told.who not in (Other.INSPECTOR, Other.LABORATORY):
        return
    zone = record.job.site.zone
    for waits, sampled in promised_before_the_sample(record):
        assert waits.promised is not None
        yield (
            f"The laboratory promised {quoted(waits.what)} for {at_site(zone, waits.promised)}, before its sample of "
            f"{at_site(zone, sampled)}: get a new day (`crewjobs promised {record.job.number} laboratory DAY`)."
        )


def _held(record: JobRecord, numbers: Sequence[int], template: str) -> tuple[int, ...]:
    found = [record.task(number) for number in numbers]
    if template.strip():
        named = [task for task in record.tasks if task.key.template == template.strip() and task.open]
        if not named:
            raise Refused(f"job {record.job.number} has no open task of template {quoted(template)}.")
        found += named
    for task in found:
        if not task.open:
            raise Refused(f"{upper(task_words(task))} of job {record.job.number} is {task.state}: nothing can hold it.")
    return tuple(sorted({task.number for task in found}))


def _promised(text: str, zone: str, asked: datetime) -> datetime | None:
    if not text.strip():
        return None
    promised = read_promised(text, zone, asked)
    if promised <= asked:
        raise Refused(f"promised for {dated(zone, promised)}: that has gone by, give a moment to come.")
    return promised


def _not_to_come(moment: datetime, now: datetime, zone: str) -> datetime:
    if moment > now:
        raise Refused(f"{dated(zone, moment)} has not come yet: only what has happened is recorded.")
    return moment


def _check_not_before(waits: WaitingOn, moment: datetime, zone: str, what: str) -> None:
    """Refuse what cannot have happened: a moment before it was asked for, or before it was found that somebody is to be asked."""
    before = moment < waits.asked_at if waits.asked_at is not None else to_wall(zone, moment).date() < waits.asked
    if before and waits.usual:
        raise Refused(
            f"{quoted(waits.what)} of {who_words(waits)} is waited for since {asked_when(waits, zone)}: "
            f"it cannot {'have been asked for' if what == 'chased' else what} before that, {at_site(zone, moment, waits.asked)}."
        )
    if before:
        cannot = "be chased" if what == "chased" else what
        raise Refused(
            f"{who_words(waits)} was asked for {quoted(waits.what)} {asked_when(waits, zone)}: "
            f"it cannot {cannot} before that, {at_site(zone, moment, waits.asked)}."
        )


def asked_when(waits: WaitingOn, zone: str) -> str:
    """Return when something was asked for: the moment, or the day where only that is known."""
    return at_site(zone, waits.asked_at) if waits.asked_at else day_words(waits.asked)


def chased_words(chased: Sequence[date]) -> str:
    """Return when something was asked for again last, and how often; empty for never."""
    if not chased:
        return ""
    times = f" ({len(chased)} times)" if len(chased) > 1 else ""
    return f"last chased {day_words(chased[-1])}{times}"
