"""Changing what was agreed on a job: an edit carries the version the person saw."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from crewjobs.domain.errors import ChangedMeanwhile, Refused
from crewjobs.domain.job import ENDED as FINISHED
from crewjobs.domain.job import LIVE, Job, JobRecord, JobState
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed, upper
from crewjobs.engines.readiness.others import still_out
from crewjobs.services.asked.telling import told_since
from crewjobs.services.clock import read_day
from crewjobs.services.findings.asked_together import asked_too, waited_for_in
from crewjobs.services.findings.comes_along import with_its_house
from crewjobs.services.findings.found_asked import because_of
from crewjobs.services.findings.found_told import not_settled, unsettled
from crewjobs.services.findings.house_told import others_of_its_house
from crewjobs.services.findings.same_house import held_elsewhere
from crewjobs.services.jobs.asked_off import asked_off_sentences
from crewjobs.services.jobs.called_off import off_sentences
from crewjobs.services.jobs.catalogues import catalogue_of
from crewjobs.services.jobs.money import owed_at_end
from crewjobs.services.jobs.walks import left_at_end
from crewjobs.services.rows import Done
from crewjobs.services.weeks.plan_faults import promise_gone_by
from crewjobs.services.wording import read_line

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


ENDED = FINISHED | {JobState.CALLED_OFF}


def edit(uow: UnitOfWork, now: datetime, number: int, version: int, changes: Mapping[str, str]) -> Done:
    """Change fields of a job as typed, all of them or none.

    Raises:
        Refused: unknown job or field, a value that is not one, or the job changed since `version` was seen.
    """
    record = uow.job(number)
    if record.version != version:
        raise ChangedMeanwhile(
            f"job {number} was changed meanwhile: look at it again, then repeat what you want changed."
        )
    today = to_wall(record.job.site.zone, now).date()
    job, faults = record.job, []
    for field, value in changes.items():
        try:
            job = _changed(job, field, value, today)
        except Refused as refused:
            # What says by itself what it is of names it once; before the colon it is said at its field.
            faults += [f"{field}: {said.removeprefix(field).lstrip()}" for said in refused.sentences]
    if faults:
        raise Refused(faults)
    fields = [field for field in changes if getattr(job, field) != getattr(record.job, field)]
    if not fields:
        raise Refused(f"job {number} is so already: nothing was changed.")
    told = told_since(record, job.state)  # called off again, everybody is told again
    saved = uow.save_job(record, replace(record, job=job, told=told))
    along: tuple[str, ...] = ()
    if job.state in LIVE and record.job.state not in LIVE:
        after, along = with_its_house(uow, saved, catalogue_of(uow), now)
        if after != saved:
            uow.save_job(saved, after)
    words = [
        f"{field} {_words(getattr(record.job, field), today)} → {_words(getattr(job, field), today)}"
        for field in fields
    ]
    what = f"job {number}: {', '.join(words)}"
    then: tuple[str, ...] = ()
    still = sum(task.open for task in record.tasks)
    house = others_of_its_house(uow, number) if job.state in ENDED and job.state is not record.job.state else ()
    if job.state is JobState.CALLED_OFF and record.job.state is not JobState.CALLED_OFF:
        then = tuple(
            off_sentences(replace(record, job=job), house, now)
        )  # what somebody has to do about it comes first
    elif job.state in FINISHED and record.job.state not in ENDED:
        then = tuple(asked_off_sentences(replace(record, job=job), house, now))
    if still and job.state in ENDED and record.job.state not in ENDED:
        are = "is still open and leaves" if still == 1 else "are still open and leave"
        then = (*then, f"{still} of its tasks {are} the plan: `crewjobs undo` takes this back.")
    off = job.state is JobState.CALLED_OFF  # also of a job that was done: nobody is asked for it any more
    if job.state is not record.job.state and job.state in ENDED and (record.job.state not in ENDED or off):
        then = (*_of_unsettled(record, house, job.state, now), *then)
    if job.state is not record.job.state and job.state in FINISHED:
        ended = replace(record, job=job)
        then = (*left_at_end(ended), *owed_at_end(ended), *then)
    gone = promise_gone_by(replace(record, job=job), now) if "promised" in fields else ""
    then = (*along, *then, gone) if gone else (*along, *then)
    return Done(sentence=upper(what) + ".", change=uow.commit(what, at=now, job=number), then=then)


def _of_unsettled(record: JobRecord, others: Sequence[JobRecord], state: JobState, now: datetime) -> Iterator[str]:
    """Yield of a job that is over what nobody has decided, and who still asks: the shop, unless it comes no more.

    It asks as long as a job of the house that is not called off waits for the answer. After that whoever was asked is told, one way
    or the other.
    """
    known = asked_too(record, others, now)
    for finding in unsettled(known, now):
        held = [f"job {number}" for number in held_elsewhere(others, finding, now)]
        out = [waits for waits in still_out(known, now) if because_of(finding, waits)]
        still = [other for other in others if other.job.state is not JobState.CALLED_OFF]
        asking = sorted({number for waits in out for number in waited_for_in(still, waits)})
        nobody = state is JobState.CALLED_OFF and not held and not asking
        asked = "whoever decides is still asked"
        if held:
            asked += f", it holds {listed(held, most=6)}"
        elif asking and state is JobState.CALLED_OFF:
            asked += f" for {listed([f'job {number}' for number in asking], most=6)}"
        if nobody:
            asked = "and whoever decides is for them to ask, no longer for the shop"
        yield f"{upper(not_settled(known, finding))} The customer is told, {asked}."


def terms_of(job: Job) -> dict[str, str]:
    """Return what was agreed on a job by the fields `edit` takes, each as a person would type it."""
    return {
        "title": job.title,
        "state": job.state.value,
        "promised": job.promised.isoformat() if job.promised else "",
        "wished": job.wished.isoformat() if job.wished else "",
        "weight": str(job.weight),
        "blocked": ", ".join(sorted(day.isoformat() for day in job.blocked)),
    }


def _changed(job: Job, field: str, value: str, today: date) -> Job:
    setters: dict[str, Callable[[], Job]] = {
        "title": lambda: replace(job, title=_title(value)),
        "state": lambda: replace(job, state=_state(value)),
        "promised": lambda: replace(job, promised=_day(value, today)),
        "wished": lambda: replace(job, wished=_day(value, today)),
        "weight": lambda: replace(job, weight=_weight(value)),
        "blocked": lambda: replace(job, blocked=_days(value, today)),
    }
    if field not in setters:
        raise Refused(f"there is no such field: choose among {', '.join(setters)}.")
    return setters[field]()


def _title(value: str) -> str:
    title = read_line(value, "the title")
    if not title:
        raise Refused("a job needs a title: say what it is called.")
    return title


def _state(value: str) -> JobState:
    try:
        return JobState(value.strip().lower())
    except ValueError:
        raise Refused(f"{quoted(value)} is not a state: choose among {', '.join(s.value for s in JobState)}.") from None


def _day(value: str, today: date) -> date | None:
    return None if value.strip().lower() in ("", "none") else read_day(value, today)


def _days(value: str, today: date) -> frozenset[date]:
    words = [word for word in re.split(r"[,\s]+", value.strip()) if word]
    return frozenset() if words in ([], ["none"]) else frozenset(read_day(word, today) for word in words)


def _weight(value: str) -> int:
    if value.strip() not in ("1", "2", "3"):
        raise Refused(f"{quoted(value)} is not a weight: 1, 2 or 3.")
    return int(value)


def _words(value: object, today: date) -> str:
    if isinstance(value, frozenset):
        return ", ".join(_words(item, today) for item in sorted(value)) or "none"
    if isinstance(value, date):
        return day_words(value, today)
    return "none" if value is None else str(value)
