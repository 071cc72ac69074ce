"""The morning's offers in sentences, and the main reason where there is none."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.tasks import Catalogue, Task
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import counted, day_words, listed
from crewjobs.engines.planning.calendars import SLOT
from crewjobs.services.answers.offers import (
    Morning,
    calendar_at,
    chains,
    fitting,
    looked_from,
    morning_of,
    row_of,
    visits,
    way_to,
    with_others,
)
from crewjobs.services.wording import hours_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

BEST: Final = 3
_FULL_DAY_MIN: Final = 24 * 60

Reason = tuple[int, str]
"""How near a job came to being offered (more is nearer), and what stood in the way."""


def best_words(uow: UnitOfWork, catalogue: Catalogue, at: datetime, crew: str, *, not_at: int) -> tuple[str, ...]:
    """Return the best of the offers from an instant as sentences, or that there is none and why."""
    morning = morning_of(uow, catalogue, at, crew, not_at)
    rows = [row_of(visit, morning) for visit in visits(uow, morning, catalogue)]
    if not rows:
        return (_none(uow, morning),)
    return tuple(
        f"Ready for {row.crew}: job {row.job} {row.title}, {row.what}, {row.arrive:%H:%M}-{row.leave:%H:%M}; {row.why}."
        for row in rows[:BEST]
    )


def none_words(
    uow: UnitOfWork, catalogue: Catalogue, now: datetime, crew: str, *, at: str = "", not_at: int | None = None
) -> str:
    """Return the sentence for no offers, with the main reason; asked as `offers` is.

    Raises:
        Refused: no such crew or job, or not a moment.
    """
    return _none(uow, morning_of(uow, catalogue, looked_from(uow, at, now), crew, not_at))


def _none(uow: UnitOfWork, morning: Morning) -> str:
    head = f"No ready work fits {morning.crew.name} for the rest of {day_words(morning.day)}"
    return f"{head}: {_crew_reason(uow, morning) or _main_reason(uow, morning)}."


def _crew_reason(uow: UnitOfWork, morning: Morning) -> str:
    """Return why the crew can do nothing at all; empty if it can."""
    crew, shop, day = morning.crew, morning.shop, morning.day
    gone = not morning.workers and any((one.crew, one.day) == (crew.name, day) for one in uow.away())
    if day in shop.holidays or not (crew.comes(day) or gone):
        return f"{crew.name} does not work that day"
    if not morning.workers:
        return f"nobody of {crew.name} is there"
    wall = to_wall(shop.zone, morning.at)
    ends = crew.hours.on(day)[-1].end
    if wall.hour * 60 + wall.minute >= ends:
        return f"its day ends at {ends // 60:02d}:{ends % 60:02d}"
    return ""


def _main_reason(uow: UnitOfWork, morning: Morning) -> str:
    """Return what stands in the way of the job that came nearest; jobs alike in that are named together."""
    pinned = {(pin.job, pin.task) for pin in uow.pins() if pin.crew != morning.crew.name}
    reasons = [
        (record.job.number, _reason(record, morning, pinned | with_others(record, morning)))
        for record in uow.live_jobs()
        if record.job.state is JobState.BOOKED
        and (morning.stranded is None or record.job.number != morning.stranded.job.number)
    ]
    nearest = max((rank for _, (rank, _) in reasons), default=0)
    if nearest == 0:
        return (
            "at no other booked house anything is ready" if morning.stranded else "at no booked house anything is ready"
        )
    return listed([f"job {number}: {why}" for number, (rank, why) in reasons if rank == nearest], most=3)


def _reason(record: JobRecord, morning: Morning, taken: set[tuple[int, int]]) -> Reason:
    if not chains(record, morning, frozenset(), anybody=True):
        return 0, ""
    anybody = chains(record, morning, taken, anybody=True)
    if not anybody:
        return 1, "what is ready there is another crew's that day"
    mine = chains(record, morning, taken)
    if not mine:
        return 2, _unable([task for chain in anybody for task in chain], morning)
    way = way_to(record, morning)
    calendar, _ = calendar_at(record, morning, morning.at + way)
    if not calendar.total:
        return 3, f"too far for the rest of the day, {hours_words(way)} of drive leave no time for work there"
    if not fitting(record, mine, morning, _FULL_DAY_MIN)[0]:
        return 2, "what is ready would leave the only toilet out over night"
    left = hours_words(calendar.total * SLOT)
    return 4, f"too short a rest of the day, {left} there after {hours_words(way)} of drive"


def _unable(tasks: Sequence[Task], morning: Morning) -> str:
    """Return what the crew lacks for ready work: a card, a skill, or people."""
    held = {card for worker in morning.workers for card in worker.cards}
    cards = sorted({task.card for task in tasks if task.card} - held)
    if cards:
        return f"nobody of {morning.crew.name} there holds the card {listed([quoted(card) for card in cards])}"
    skills = sorted({task.skill.value for task in tasks if task.skill} - {skill.value for skill in morning.crew.skills})
    if skills:
        return f"{morning.crew.name} does not do {listed(skills)}"
    people = max(task.least_people for task in tasks)
    there = len(morning.workers)
    return f"it needs {counted(people, 'person', 'people')}, {there or 'nobody'} {'is' if there < 2 else 'are'} there"
