"""Visits under way: since when their crew is at the house, and until when one was there that the plan has cut short since."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.wall import to_wall
from crewjobs.services.weeks.at_house import AtHouse, at_house, since_there
from crewjobs.services.weeks.days_done import DaysDone, stopped_by
from crewjobs.services.weeks.visits import Planned, Stretch

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def crews_at(uow: UnitOfWork, found: Planned, now: datetime) -> Mapping[str, AtHouse]:
    """Return by crew at which house it is now, where it is at one."""
    day = to_wall(found.shop.zone, now).date()
    days = DaysDone(uow, found, day, day, now)
    known = ((crew.name, at_house(found, days, crew.name, now)) for crew in found.shop.crews)
    return {name: at for name, at in known if at is not None}


def from_beginning(at: AtHouse | None, stretches: Sequence[Stretch], now: datetime) -> tuple[Stretch, ...]:
    """Return the stretches of a crew's today, that at the house where it is (`at`) from when it came there.

    A plan made meanwhile has only the rest of it, from its own instant on.
    """
    since = [since_there(at, stretches, place, now) for place in range(len(stretches))]
    return tuple(_from(one, start) if start else one for one, start in zip(stretches, since, strict=True))


def _from(stretch: Stretch, start: datetime) -> Stretch:
    first = min(stretch.pieces, key=lambda piece: piece.start)
    return replace(stretch, pieces=tuple(replace(one, start=start) if one is first else one for one in stretch.pieces))


def left_at(days: DaysDone, crew: str, job: int, now: datetime) -> datetime | None:
    """Return until when (UTC) a crew was at a job's house today by the plans of the day, each as long as it held; None if never.

    What stopped it there and was told a while later ended it when it happened (`stopped_by`). It was not where it was to begin
    while it was seen in the house before.

    Raises:
        Refused: there is no such crew.
    """
    left: datetime | None = None
    seen = days.seen(days.last)
    for plan, held, stretches in days.by_plans(crew, days.last):
        until = days.held_until(job, days.last, held)
        for stretch in stretches:
            here = stretch.record.job.number == job and stretch.start < min(until, now)
            if here and seen.elsewhere(job, crew, stretch.start) is None:
                tasks = {task.number for task in stretch.tasks}
                end = min(stretch.end, stopped_by(stretch.record, days.zone, tasks, crew, (plan.made_at, until)), now)
                left = end if left is None else max(left, end)
    return left
