"""What a job that is called off leaves behind: cartons still on their way, what lies in the house, who was told a day.

Of one that is done: who was asked for something that it needs no more.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Final, NamedTuple

from crewjobs.domain.agreed import Told
from crewjobs.domain.errors import Refused
from crewjobs.domain.found import NOBODY_IN
from crewjobs.domain.goods import GoodsLine
from crewjobs.domain.job import ENDED, JobRecord, JobState
from crewjobs.domain.material import Material
from crewjobs.domain.shut_for_found import ways_of
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import counted, dated_words, day_words, listed, typed, upper
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.goods import goods_clock, latest_word
from crewjobs.engines.readiness.others import who_words
from crewjobs.services.asked.telling import last_told, told_off
from crewjobs.services.findings.asked_together import waited_for_in
from crewjobs.services.findings.found_asked import to_ask_again
from crewjobs.services.findings.house_told import others_of_its_house
from crewjobs.services.jobs.asked_off import AskedOff, asked_off
from crewjobs.services.people.small_visits import visit_words
from crewjobs.services.rows import Done, WaitRow
from crewjobs.services.wording import at_site

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


ON_ITS_WAY: Final = "job called off: stop it or say where it goes"
"""Said of such an order wherever deliveries are told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StillOrdered:
    """What was ordered for a job called off and has not come: of what, how many of how many, from whom, due when (UTC)."""

    of: Material | GoodsLine
    missing: int
    count: int
    suppliers: tuple[str, ...]
    due: datetime | None

    @property
    def whom(self) -> str:
        """Return whom to call."""
        return listed(list(self.suppliers)) or "the supplier"


def if_off(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> Iterator[str]:
    """Yield what calling a job off would leave behind, while it can still be decided: what has begun, then as after it.

    `others` are the other jobs of its house.
    """
    job, tasks = record.job, [task for task in record.tasks if not task.not_needed]  # as lists count them
    done, begun = sum(task.state == "done" for task in tasks), sum(task.state == "under way" for task in tasks)
    if done or begun:
        yield f"Work has begun: {done} of {len(tasks)} tasks done, {begun} under way."
    yield from off_sentences(replace(record, job=replace(job, state=JobState.CALLED_OFF)), others, now)
    yield f"{counted(sum(task.open for task in tasks), 'task')} still open would leave the plan."


def off_sentences(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> Iterator[str]:
    """Yield what is left to be stopped, fetched and told of a job that is called off; `others` are the other jobs of its house."""
    job, zone = record.job, record.job.site.zone
    for one in still_ordered(record, now):
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
    yield from (f"{upper(one.of)}: {one.tell}." for one in _to_tell(record, others, now))


def tell_off(uow: UnitOfWork, now: datetime, number: int, day: str = "", *, finish: bool = False) -> Done:
    """Record that everybody who counts on a job called off was told that nobody comes, of a job done that nobody is needed.

    Who was asked once for several jobs of a house that are called off is told once, and is to be asked anew where one of them is
    booked again. `finish` says that it is a finish that
    was told, be it the plan's: of such a job there is none.

    Raises:
        Refused: unknown job, one that is not over, a finish told, or nobody is to be told of it.
    """
    before, others = uow.job(number), others_of_its_house(uow, number)
    state = before.job.state
    if state is not JobState.CALLED_OFF and state not in ENDED:
        raise Refused(f"job {number} is {state.value}, not called off.")
    names = listed(list(asked_to_tell_off(before, others, now)), most=9)
    if day.strip() or finish:
        raise Refused(
            f"job {number} is {state.value}, so no finish is told: `crewjobs told {number}`, with no day, records everybody "
            f"as told: {names}."
        )
    too = [other for other in others if _told_too(other, before, others, now)]
    shop = uow.shop()
    for one in (before, *too):
        said = Told(at=now, finish=None, off=one.job.state is JobState.CALLED_OFF)
        after = replace(one, told=(*(told for told in one.told if told.at != now), said))
        off = [asked.waits for asked in asked_off(one, others, now)] if state is JobState.CALLED_OFF else []
        asks = tuple(to_ask_again(one, waits, shop, now) if waits in off else waits for waits in one.waiting_on)
        uow.save_job(one, replace(after, waiting_on=asks))
    gone = "called off" if state is JobState.CALLED_OFF else "no longer needed"
    what = f"job {number}: {names} told that it is {gone}"
    with_it = listed([f"job {other.job.number}" for other in too], most=6)
    then = (f"Nobody is to be told of {with_it} any more either.",) if too else ()
    return Done(sentence=f"{upper(what)}.", change=uow.commit(what, at=now, job=number), then=then)


def asked_to_tell_off(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> tuple[str, ...]:
    """Return who is to be told that a job is called off or that he is not needed, as `to_tell_off`.

    Raises:
        Refused: nobody is.
    """
    names = to_tell_off(record, others, now)
    if not names:
        raise Refused(f"job {record.job.number} is {record.job.state.value}, and nobody is to be told of it any more.")
    return names


def _told_too(other: JobRecord, told: JobRecord, others: Sequence[JobRecord], now: datetime) -> bool:
    """Return whether all who count on a job called off are told with another of its house: they were asked once for both."""
    if other.job.state is not JobState.CALLED_OFF or told.job.state is not JobState.CALLED_OFF:
        return False
    owed = list(_to_tell(other, [told, *(one for one in others if one is not other)], now))
    return bool(owed) and all(one.waits is not None and waited_for_in([told], one.waits.waits) for one in owed)


def off_rows(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> Iterator[WaitRow]:
    """Yield what a job called off still needs, a row of the waiting list each: it goes when that is done. Of one done who is not needed.

    An order goes when somebody has stopped it or it has come, cartons when they went back, who is to be told when `told`
    says so; a customer also when the day he counts on has gone by. `others` are the other jobs of its house: who was asked once for
    several of them that are called off stands with one.
    """
    zone, number = record.job.site.zone, record.job.number
    for one in still_ordered(record, now):
        yield _row(
            record,
            f"{one.of.counted(one.missing)} of {one.of.name} still on order"
            + (f", due {at_site(zone, one.due)}" if one.due else ""),
            f"call {one.whom}: stop it, then take the order out of the job (its form or its file); "
            f"`crewjobs arrived {number}` where it comes all the same",
            one.whom,
        )
    today = to_wall(zone, now).date()
    for owed in _to_tell(record, others, now):
        if owed.waits is not None and _told_with(record, others, owed.waits) != number:
            continue
        if owed.until is None or owed.until >= today:
            call = f"{owed.tell.replace('them', owed.named or owed.whom, 1)}; when everybody is told, `crewjobs told {number}`"
            if owed.waits is not None and record.job.state in ENDED:
                call += f"; where it came all the same, `crewjobs came {number} {owed.waits.waits.who.value}`"
            yield _row(record, owed.of, call, owed.whom)
    if record.job.state is JobState.CALLED_OFF:
        for material, count in _material_here(record, now):
            yield _row(
                record,
                f"{material.counted(count)} of {material.name} came for it",
                f"fetch what goes back, then `crewjobs returned {number} {typed(material.name)} {material.number(count)}`",
                "",
            )


def _row(record: JobRecord, what: str, call: str, whom: str) -> WaitRow:
    return WaitRow(
        job=record.job.number,
        title=record.job.title,
        what=f"{record.job.state.value}, {what}",
        state=WaitState.TO_TELL,
        since=None,
        ready_at=None,
        minutes_left=None,
        done=None,
        verified=True,
        holds="",
        call=call,
        whom=whom,
    )


class _ToTell(NamedTuple):
    """Somebody who counts on a job called off: who, why he does, what to tell him, the day until which he does, his name in a sentence."""

    whom: str
    of: str
    tell: str
    until: date | None = None
    named: str = ""
    waits: AskedOff | None = None


def to_tell_off(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> tuple[str, ...]:
    """Return who is to be told that a job is called off, or that he is not needed, and nobody said yet is, by name."""
    return tuple(dict.fromkeys(one.named or one.whom for one in _to_tell(record, others, now)))


def _told_with(record: JobRecord, others: Sequence[JobRecord], asked: AskedOff) -> int:
    """Return with which of the jobs of a house somebody is told: the first that tells others too, else the first."""
    if not asked.found:
        return record.job.number
    off = [one for one in others if one.job.state is JobState.CALLED_OFF and not told_off(one)]
    waiting = [record, *(one for one in off if waited_for_in([one], asked.waits))]
    return min(waiting, key=lambda one: (not any(_counting(one)), one.job.number)).job.number


def _to_tell(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> Iterator[_ToTell]:
    """Yield whom nobody has told yet that a job is called off: who works there now, the customer, who was asked for something.

    Of a job that is done only who was asked.
    """
    if record.job.state is JobState.CALLED_OFF and not told_off(record):
        yield from _counting(record)
    for asked in asked_off(record, others, now):
        yield _ToTell(asked.waits.who.value, asked.of, asked.tell, named=who_words(asked.waits), waits=asked)


def _counting(record: JobRecord) -> Iterator[_ToTell]:
    """Yield who counts on a job without having been asked for anything: who works there now, the customer.

    The customer also is to hear what was found in a place nobody goes into and is not settled: that is not over with any day.
    """
    job, zone = record.job, record.job.site.zone
    begun = dict[str, datetime]()
    for task in record.tasks:
        if task.open and task.started_at is not None and task.crew:
            begun[task.crew] = min(task.started_at, begun.get(task.crew, task.started_at))
    for crew, since in sorted(begun.items()):
        yield _ToTell(crew, f"{crew} is at it since {at_site(zone, since)}", "tell them to stop")
    told, promised, name = last_told(record), job.promised, job.customer.name
    shut = [
        f"{one.kind} in {one.place}" for one in record.findings if one.kind in NOBODY_IN and not ways_of(record, one)
    ]
    found = f"{listed(shut, most=3)} {'is' if len(shut) == 1 else 'are'} not settled" if shut else ""
    tell = f"tell them that nobody comes{f', and that {found}' if found else ''}"
    if told is not None:
        yield _ToTell(name, f"{name} was told that it is finished {day_words(told)}", tell, None if found else told)
    elif promised is not None:
        yield _ToTell(name, f"{name} was promised {dated_words(promised)}", tell, None if found else promised)
    elif found:
        yield _ToTell(name, found, tell)


def still_ordered(record: JobRecord, now: datetime) -> Iterator[StillOrdered]:
    """Yield what is on order still for a job that is called off; nothing of any other."""
    if record.job.state is not JobState.CALLED_OFF:
        return
    for material in record.job.materials:
        placed = [one for one in record.job.orders if one.material == material.name and one.ordered is not None]
        count = sum(one.cartons for one in placed)
        missing = count - sum(lot.cartons for lot in record.lots if lot.material == material.name)
        if missing > 0:
            word = latest_word(record, material.name, now)
            days = [one.due for one in placed if one.due is not None]
            yield StillOrdered(
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
            yield StillOrdered(of=line, missing=clock.missing, count=line.count, suppliers=whom, due=clock.due)


def _here(record: JobRecord, now: datetime) -> Iterator[str]:
    """Yield what came for the job and has not gone back."""
    yield from (f"{material.counted(left)} of {material.name}" for material, left in _material_here(record, now))
    for line in record.job.goods:
        if come := goods_clock(record, line, now).come:
            yield f"{line.counted(come)} of {line.name}"


def _material_here(record: JobRecord, now: datetime) -> Iterator[tuple[Material, int]]:
    for material in record.job.materials:
        clock = material_clock(record, material, now)
        left = clock.come + clock.damaged - _back(record, material.name)
        if left > 0:
            yield material, left


def _back(record: JobRecord, name: str) -> int:
    return sum(one.count for one in record.went_back if one.material == name)
