"""What a job that is called off leaves behind: cartons still on their way, what lies in the house, who was told a day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from crewjobs.domain.goods import GoodsLine
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.material import Material
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wording import counted, dated_words, day_words, listed, upper
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.found import way_taken
from crewjobs.engines.readiness.goods import goods_clock, latest_word
from crewjobs.engines.readiness.others import asked_words, still_out
from crewjobs.services.asked.telling import last_told
from crewjobs.services.findings.found_asked import because_of
from crewjobs.services.people.small_visits import visit_words
from crewjobs.services.rows import WaitRow
from crewjobs.services.wording import at_site


@dataclass(frozen=True, slots=True, kw_only=True)
class _Open:
    """What was ordered and has not come: of what, how many of how many, from whom, due when (UTC)."""

    of: Material | GoodsLine
    missing: int
    count: int
    suppliers: tuple[str, ...]
    due: datetime | None

    @property
    def whom(self) -> str:
        return listed(list(self.suppliers)) or "the supplier"


def if_off(record: JobRecord, now: datetime) -> Iterator[str]:
    """Yield what calling a job off would leave behind, while it can still be decided: what has begun, then as after it."""
    job, tasks = record.job, [task for task in record.tasks if not task.not_needed]  # as lists count them
    done, begun = sum(task.state == "done" for task in tasks), sum(task.state == "under way" for task in tasks)
    if done or begun:
        yield f"Work has begun: {done} of {len(tasks)} tasks done, {begun} under way."
    yield from off_sentences(replace(record, job=replace(job, state=JobState.CALLED_OFF)), now)
    yield f"{counted(sum(task.open for task in tasks), 'task')} still open would leave the plan."


def off_sentences(record: JobRecord, now: datetime) -> Iterator[str]:
    """Yield what is left to be stopped, fetched and told of a job that is called off."""
    job, zone = record.job, record.job.site.zone
    for one in _still_ordered(record, now):
        due = f", due {at_site(zone, one.due)}" if one.due else ", with no day"
        yield (
            f"{upper(one.of.counted(one.missing))} of {one.of.name} still on order from {one.whom}{due}: "
            "stop it, then take the order out of the job (its form or its file)."
        )
    here = list(_here(record, now))
    if here:
        yield f"{listed(here, most=9)} came for it: `crewjobs returned {job.number}` records what goes back."
    for visit in record.small_visits:
        if visit.done_at is None and visit.start > now:
            yield f"{upper(visit_words(record, visit))}: nobody goes; tell {visit.who} and {job.customer.name}."
    told, promised = last_told(record), job.promised
    if told is not None:
        yield f"{job.customer.name} was told that it is finished {day_words(told)}: tell them that nobody comes."
    elif promised is not None:
        yield f"{job.customer.name} was promised {dated_words(promised)}: tell them that nobody comes."
    kept = [one for one in record.findings if way_taken(record, one, now) is None]
    for waits in still_out(record, now):
        if waits.to_be_asked or any(because_of(finding, waits) for finding in kept):
            continue  # nobody was asked yet; or what was found is there whoever lays the floor
        yield f"{upper(asked_words(waits))}: tell them that it is no longer needed."


def off_rows(record: JobRecord, now: datetime) -> Iterator[WaitRow]:
    """Yield a row of the waiting list for each order of a job called off that nobody has stopped and that has not come."""
    zone = record.job.site.zone
    for one in _still_ordered(record, now):
        yield WaitRow(
            job=record.job.number,
            title=record.job.title,
            what=f"called off, {one.of.counted(one.missing)} of {one.of.name} still on order"
            + (f", due {at_site(zone, one.due)}" if one.due else ""),
            state=WaitState.TO_TELL,
            since=None,
            ready_at=None,
            minutes_left=None,
            done=None,
            verified=True,
            holds="",
            call=f"call {one.whom}: stop it, then take the order out of the job (its form or its file); `crewjobs arrived {record.job.number}` where it comes all the same",
            whom=one.whom,
        )


def _still_ordered(record: JobRecord, now: datetime) -> Iterator[_Open]:
    if record.job.state is not JobState.CALLED_OFF:
        return
    for material in record.job.materials:
        placed = [one for one in record.job.orders if one.material == material.name and one.ordered is not None]
        count = sum(one.cartons for one in placed)
        missing = count - sum(lot.cartons for lot in record.lots if lot.material == material.name)
        if missing > 0:
            word = latest_word(record, material.name, now)
            days = [one.due for one in placed if one.due is not None]
            yield _Open(
                of=material,
                missing=missing,
                count=count,
                suppliers=tuple(dict.fromkeys(one.supplier for one in placed if one.supplier)),
                due=word.due if word is not None else max(days, default=None),
            )
    for line in record.job.goods:
        clock = goods_clock(record, line, now)
        if line.ordered is not None and clock.missing:
            whom = (line.supplier,) if line.supplier else ()
            yield _Open(of=line, missing=clock.missing, count=line.count, suppliers=whom, due=clock.due)


def _here(record: JobRecord, now: datetime) -> Iterator[str]:
    """Yield what came for the job and has not gone back."""
    for material in record.job.materials:
        clock = material_clock(record, material, now)
        left = clock.come + clock.damaged - _back(record, material.name)
        if left > 0:
            yield f"{material.counted(left)} of {material.name}"
    for line in record.job.goods:
        if come := goods_clock(record, line, now).come:
            yield f"{line.counted(come)} of {line.name}"


def _back(record: JobRecord, name: str) -> int:
    return sum(one.count for one in record.went_back if one.material == name)
