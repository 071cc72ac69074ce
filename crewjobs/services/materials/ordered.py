"""What was ordered for a job, cartons and goods alike: found by name, counted, late, back-ordered."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import ORDERED_IN_THE_FILE, GoodsLine, NewDate
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.tasks import Task
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import dated_words, listed, upper
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.goods import goods_clock, held_by, serves
from crewjobs.services.clock import read_promised
from crewjobs.services.rows import Done
from crewjobs.services.wording import at_site, dated, read_line

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

NOBODY_KNOWS = "none"
"""Typed for a day nobody can name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    """A material or a goods line with how much of it was ordered and has come; `on` is the earliest order day."""

    of: Material | GoodsLine
    count: int
    come: int
    on: date | None
    due: datetime | None

    @property
    def name(self) -> str:
        """Return the name it is asked for by."""
        return self.of.name

    @property
    def missing(self) -> int:
        """Return how many have not come (or came damaged)."""
        return max(0, self.count - self.come)

    def counted(self, count: int) -> str:
        """Return a count of it: ``14 pieces of stair nose``, ``1 carton of harbor plank``."""
        return f"{self.of.counted(count)} of {self.name}"


def find_ordered(record: JobRecord, name: str, now: datetime) -> Ordered:
    """Return a material or goods line by its name as typed; empty means the job's only material.

    Goods may be named without their place where the job has one such line.

    Raises:
        Refused: there is none of that name, or several.
    """
    job, wanted = record.job, name.strip().casefold()
    if not wanted and len(job.materials) == 1:
        return _of_material(record, job.materials[0], now)
    for material in job.materials:
        if material.name.casefold() == wanted:
            return _of_material(record, material, now)
    named = [line for line in job.goods if line.name.casefold() == wanted]
    lines = named or [line for line in job.goods if str(line.goods).casefold() == wanted]
    if len(lines) == 1:
        clock = goods_clock(record, lines[0], now)
        return Ordered(of=lines[0], count=lines[0].count, come=clock.come, on=lines[0].ordered, due=clock.due)
    if lines:
        raise Refused(f"job {job.number} has more than one: say {_or([line.name for line in lines])}.")
    known = listed(
        [f"'{known}'" for known in (*(m.name for m in job.materials), *(line.name for line in job.goods))], 8
    )
    if not wanted:
        raise Refused(f"job {job.number}: say which material came; it has {known or 'none'}.")
    what = "material or goods" if job.goods else "material"
    raise Refused(f"job {job.number}: there is no {what} {quoted(name)}; it has {known or 'none'}.")


def find_material(record: JobRecord, name: str, now: datetime) -> Material:
    """Return a material by its name as typed; empty means the job's only one.

    Raises:
        Refused: there is none of that name, or it names goods.
    """
    found = find_ordered(record, name, now).of
    if isinstance(found, GoodsLine):
        raise Refused(f"job {record.job.number}: {found.name} comes without lots; only the floor itself has them.")
    return found


def _or(names: list[str]) -> str:
    return " or ".join(f"'{name}'" for name in names)


def _of_material(record: JobRecord, material: Material, now: datetime) -> Ordered:
    clock = material_clock(record, material, now)
    on = [order.ordered for order in record.job.orders if order.material == material.name and order.ordered]
    return Ordered(of=material, count=clock.ordered, come=clock.come, on=min(on, default=None), due=clock.due)


def check_delivery(record: JobRecord, ordered: Ordered, count: int, moment: datetime, now: datetime) -> None:
    """Refuse a delivery that cannot be.

    Raises:
        Refused: no count, a moment to come, not ordered, before its order, or more than ordered.
    """
    zone, number, name = record.job.site.zone, record.job.number, ordered.name
    if count < 1:
        raise Refused(f"{count} {ordered.of.unit} is not a delivery: give how many came, 1 or more.")
    if moment > now:
        raise Refused(f"{dated(zone, moment)} has not come yet: only what has happened is recorded.")
    if ordered.on is None:
        missing = (
            f"its order says no day: write it {ORDERED_IN_THE_FILE}, then say what came."
            if ordered.count
            else "it is not ordered: put its order into the job file and load it with --replace."
        )
        raise Refused(f"job {number}: {name}: {missing}")
    if to_wall(zone, moment).date() < ordered.on:
        raise Refused(
            f"job {number}: a delivery {dated(zone, moment)} comes before its order of {dated_words(ordered.on)}: "
            f"where it was ordered earlier, write that day {ORDERED_IN_THE_FILE}, then say what came."
        )
    come = _ever_come(record, ordered)
    if come + count > ordered.count:
        total = ordered.counted(come + count)
        raise Refused(f"job {number}: {total} would have come, {ordered.count} are ordered.")


def _ever_come(record: JobRecord, ordered: Ordered) -> int:
    """Return how many that can be laid are recorded, whatever the clock says now: it may have been set back."""
    if isinstance(ordered.of, GoodsLine):
        return sum(came.count for came in record.goods_come if came.line == ordered.name)
    return sum(lot.usable for lot in record.lots if lot.material == ordered.name)


def back_ordered(uow: UnitOfWork, now: datetime, job: int, name: str, day: str, because: str = "") -> Done:
    """Record for when the supplier promises what has not come; ``none`` where nobody can say.

    Raises:
        Refused: unknown job, material or goods, not ordered, nothing missing, or a day gone by.
    """
    before = uow.job(job)
    ordered = find_ordered(before, name, now)
    after = with_new_date(before, ordered.name, day, because, now)
    uow.save_job(before, after)
    zone, new = before.job.site.zone, after.new_dates[-1]
    until = f"to {at_site(zone, new.due)}" if new.due else "and nobody can say until when"
    was = f" (was due {at_site(zone, ordered.due)})" if ordered.due else ""
    reason = f", because {new.because}" if new.because else ""
    what = f"job {job}: {ordered.counted(ordered.missing)} back-ordered {until}{was}{reason}"
    change = uow.commit(what, at=now, job=job)
    held = held_words(tasks_waiting(after, ordered))
    then = [f"Holds back {held}."] if held else []
    if isinstance(ordered.of, GoodsLine) and not any(serves(before.job, ordered.of, task) for task in before.tasks):
        then = [f"{upper(not_needed_words(ordered.of))}."]
    return Done(sentence=upper(what) + ".", change=change, then=(*then, "Plan again to use it."))


def with_new_date(record: JobRecord, name: str, day: str, because: str, now: datetime) -> JobRecord:
    """Return the record with the supplier's new word on what is missing.

    Raises:
        Refused: not ordered, nothing missing, no day, or a day gone by.
    """
    ordered, zone, job = find_ordered(record, name, now), record.job.site.zone, record.job.number
    if ordered.on is None:
        raise Refused(f"job {job}: {ordered.name} is not ordered, so nothing of it can be back-ordered.")
    if not ordered.missing:
        raise Refused(f"job {job}: all {ordered.counted(ordered.count)} have come; nothing is back-ordered.")
    if not day.strip():
        raise Refused("say for which day it is promised now, such as 2026-03-18, or 'none' where nobody can say.")
    due = None if day.strip().casefold() == NOBODY_KNOWS else read_promised(day, zone, now)
    if due is not None and due < now:
        raise Refused(
            f"{dated(zone, due)} has gone by: give the day it is promised for now, or 'none' where nobody can say."
        )
    new = NewDate(line=ordered.name, at=now, due=due, because=read_line(because, "the reason"))
    others = [word for word in record.new_dates if (word.line, word.at) != (new.line, new.at)]
    return replace(record, new_dates=(*others, new))


def tasks_waiting(record: JobRecord, ordered: Ordered) -> tuple[Task, ...]:
    """Return the open tasks that need what was ordered."""
    if isinstance(ordered.of, GoodsLine):
        return held_by(record, ordered.of)
    return tuple(task for task in record.tasks if task.open and task.needs_material == ordered.name)


def not_needed_words(line: GoodsLine) -> str:
    """Return that no task waits for a line of goods, which may be a slip in the job file."""
    where = f" in {line.place}" if line.place else ""
    return f"no task of the job needs {line.goods}{where}, so nothing waits for it"


def held_words(tasks: Sequence[Task]) -> str:
    """Return tasks by their titles with where they are: ``Lay rows (living and hall)``."""
    by_title: dict[str, list[str]] = {}
    for task in tasks:
        by_title.setdefault(task.title, []).append(task.where)
    return listed([f"{title} ({listed(places)})" for title, places in by_title.items()], most=3)


def missing_sentences(record: JobRecord, ordered: Ordered, now: datetime) -> Iterator[str]:
    """Yield what is still missing and until when, where it is known or was asked; nothing where all is there."""
    if not ordered.missing:
        return
    zone = record.job.site.zone
    known = [word for word in record.new_dates if word.line == ordered.name]
    if ordered.due is not None:
        late = ", and late: call for a new date" if ordered.due < now else ""
        until = f", due {at_site(zone, ordered.due)}{late}"
    else:
        until = ", back-ordered without a date" if known else ", without a date"
    one = ordered.missing == 1
    yield f"{ordered.counted(ordered.missing)} {'is' if one else 'are'} still missing{until}."
