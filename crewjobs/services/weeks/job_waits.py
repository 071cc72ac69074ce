"""What the jobs of a plan wait for until an instant, told alike by the week and by the crews' pages, and whose wait it is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum
from typing import Final

from crewjobs.domain.house_ready import WaitingOn
from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_utc
from crewjobs.domain.wording import upper
from crewjobs.engines.readiness.clocks import ACCLIMATING, counted_by_lots, material_clock
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.readiness.others import asked_on, still_out
from crewjobs.services.weeks.gone_by import unsure
from crewjobs.services.weeks.visits import Planned

SHORT_WAIT: Final = timedelta(hours=2)
"""A wait shorter than this (caulk before paint) is inside a day's work: it is told at its house alone."""


class WaitKind(Enum):
    """What ends a wait: a material's hours in the rooms, others who come, the hours that work has to stand."""

    MATERIAL = "material"
    OTHERS = "others"
    WORK = "work"


@dataclass(frozen=True, slots=True, kw_only=True)
class JobWait:
    """A wait of a job from `start` to `end` (UTC). `what` is the material, who is asked for what, or the wait's name in full.

    `where` is the place of work that stands; `planned`: material that the plan has carried in by then; `by_reading`: its hours
    end nothing, a reading does; `unpromised`: others are expected then at the earliest, and nobody promised it.
    """

    kind: WaitKind
    what: str
    where: str = ""
    start: datetime
    end: datetime
    planned: bool = False
    by_reading: bool = False
    unpromised: bool = False

    @property
    def short(self) -> bool:
        """Return whether it is over within a day's work."""
        return self.end - self.start < SHORT_WAIT

    @property
    def words(self) -> str:
        """Return what the week calls it, without its place."""
        if self.kind is WaitKind.MATERIAL:
            return f"{self.what} acclimates"
        return self.what if self.kind is WaitKind.OTHERS else upper(self.what.partition(" (")[0])


def job_waits(found: Planned, record: JobRecord, now: datetime) -> tuple[JobWait, ...]:
    """Return what a job waits for until an instant: by the clock, running or started by planned work, and others' promises.

    Of others only what is ahead at `now`; what work or a material's hours ended before it is there too. A laboratory that was
    asked, and whose own task runs to the same instant, is told once.
    """
    waits = [*_materials(record, now), *_others(record, now), *_work(found, record, now)]
    clocks = {(one.words.casefold(), one.end) for one in waits if one.kind is not WaitKind.OTHERS}
    return tuple(
        one
        for one in waits
        if one.kind is not WaitKind.OTHERS or (one.what.partition(":")[0].casefold(), one.end) not in clocks
    )


def crew_of(found: Planned, job: int, end: datetime) -> str:
    """Return whose a wait is: the crew whose work of the job comes next after its end, else the one that was there last; empty: nobody's."""
    placed = sorted((p for p in found.plan.placements if p.key.job == job), key=lambda p: p.start)
    after = [p for p in placed if p.start >= end]
    return (after[0] if after else placed[-1]).crew if placed else ""


def _materials(record: JobRecord, now: datetime) -> Iterator[JobWait]:
    """Yield what lies in the rooms, acclimates and is to be laid."""
    for material in record.job.materials:
        clock = material_clock(record, material, now)
        laying = any(task.needs_material == material.name and task.open for task in record.tasks)
        if laying and clock.since is not None and clock.ready_at is not None and not clock.due:
            yield JobWait(
                kind=WaitKind.MATERIAL,
                what=material.name,
                start=clock.since,
                end=clock.ready_at,
                by_reading=material.by_reading,
            )


def _others(record: JobRecord, now: datetime) -> Iterator[JobWait]:
    for waits in still_out(record, now):
        if waits.promised is not None and waits.promised > now:
            yield JobWait(
                kind=WaitKind.OTHERS,
                what=f"{waits.who.value}: {_asked_for(waits)}",
                start=to_utc(record.job.site.zone, waits.asked, 0),
                end=waits.promised,
                unpromised=waits.usual,
            )


def _asked_for(waits: WaitingOn) -> str:
    return f"{waits.what}, {asked_on(waits)}" if waits.to_be_asked else waits.what


def _work(found: Planned, record: JobRecord, now: datetime) -> Iterator[JobWait]:
    """Yield what stands after work, and material's hours after it is carried in as planned.

    None from work nobody knows the end of, nor from a carry-in of before a new date that it cannot keep.
    """
    late = unsure(found.task_minutes(record), record, now)
    clocks = {material.name: material_clock(record, material, now) for material in record.job.materials}
    for link in record.links:
        before, after = record.task(link.before), record.task(link.after)
        if not link.wait_min or not after.open or before.not_needed or before.number in late:
            continue
        if before.done_at is not None and counted_by_lots(link, after):
            continue
        start = found.waits_from(record, before)
        if start is None:
            continue
        end = start + timedelta(minutes=link.wait_min)
        if link.name == ACCLIMATING:
            clock = clocks.get(before.key.scope.name)
            if clock is not None and clock.due and clock.ready_at is not None and end < clock.ready_at:
                continue
            yield JobWait(
                kind=WaitKind.MATERIAL,
                what=before.where,
                start=start,
                end=end,
                planned=before.done_at is None,
                by_reading=clock is not None and clock.material.by_reading,
            )
        elif not is_carry_in(before):
            where = before.where.replace("house", "")
            yield JobWait(kind=WaitKind.WORK, what=link.name, where=where, start=start, end=end)
