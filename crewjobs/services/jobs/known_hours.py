"""What the evenings told of a job, in words: crew hours, what they were spent on, findings with what to check."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from crewjobs.domain.evening import CrewHours, Finding, HowFar
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, Phase, Task
from crewjobs.domain.units import format_hours
from crewjobs.domain.wall import hour_words, to_wall
from crewjobs.domain.wording import day_words
from crewjobs.engines.estimating.spread import spread_hours
from crewjobs.services.evenings.far_words import far_words

_BRINGS: Final[dict[str, re.Pattern[str]]] = {
    "asbestos": re.compile(r"\basbestos\b", re.IGNORECASE),
    "lead-paint": re.compile(r"(?<!\bthe )\blead\b(?! (?:says|said|knows|decides|has|was|will))", re.IGNORECASE),
    "gas": re.compile(r"\bgas\b", re.IGNORECASE),
    "mold": re.compile(r"\b(?:mold|moldy|mould|mouldy|wet|soaked|damp)\b", re.IGNORECASE),
}
"""Words of a finding, and the caution of the catalogue each brings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderWay:
    """Work a crew had under way on a day and did not tick for it: `words` such as ``begun 10:40, rows 1–9 of 19``, told `at` (UTC)."""

    task: Task
    at: tuple[datetime, ...]
    words: str


def finding_cautions(findings: Iterable[Finding], catalogue: Catalogue) -> tuple[str, ...]:
    """Return the catalogue's cautions that words of findings bring, first things first: what to check, who decides."""
    texts = [finding.what for finding in findings]
    brought = {key for key, words in _BRINGS.items() if any(words.search(text) for text in texts)}
    found = sorted(catalogue.cautions, key=lambda caution: (caution.order, caution.key))
    return tuple(caution.said for caution in found if caution.key in brought)


def finding_words(finding: Finding) -> str:
    """Return a finding as it is told: ``kitchen: black glue under the tile``."""
    return f"{finding.place}: {finding.what}"


def hours_lines(record: JobRecord) -> tuple[str, ...]:
    """Return a job's crew hours, a day and crew a line, the latest first."""
    zone = record.job.site.zone
    ordered = sorted(record.crew_hours, key=lambda hours: hours.start, reverse=True)
    return tuple(f"{day_words(to_wall(zone, one.start).date())} {one.crew} {times_words(one, zone)}" for one in ordered)


def recorded_on(record: JobRecord, crew: str, day: date) -> str:
    """Return a crew's hours at a job on a day, and how far what it left under way was said to be then; empty without hours."""
    zone = record.job.site.zone
    hours = [one for one in record.crew_hours if one.crew == crew and to_wall(zone, one.start).date() == day]
    if not hours:
        return ""
    parts = [times_words(one, zone) for one in sorted(hours, key=lambda one: one.start)]
    return "; ".join([*parts, *far_on(record, crew, day)])


def far_on(record: JobRecord, crew: str, day: date) -> Iterator[str]:
    """Yield how far what a crew has under way at a job was said to be on a day, be it without hours."""
    far = _said_on(record, day)
    left = [task for task in record.tasks if task.number in far and task.open and task.crew == crew]
    yield from (f"task {task.number} {far_words(far[task.number])}" for task in left)


def under_way_on(record: JobRecord, crew: str, day: date) -> Iterator[UnderWay]:
    """Yield what a crew began at a job on a day, or said how far it was, and did not tick for that day.

    Who has a task under way began it, as far as the record knows.
    """
    zone, far = record.job.site.zone, _said_on(record, day)
    for task in record.tasks:
        if task.crew != crew or (task.done_at is not None and to_wall(zone, task.done_at).date() == day):
            continue
        said = far.get(task.number)
        begun = task.started_at if task.started_at and to_wall(zone, task.started_at).date() == day else None
        if begun is not None or said is not None:
            words = [f"begun {to_wall(zone, begun):%H:%M}"] if begun else []
            words += [far_words(said)] if said else []
            at = tuple(one for one in (begun, said.at if said else None) if one is not None)
            yield UnderWay(task=task, at=at, words=", ".join(words))


def _said_on(record: JobRecord, day: date) -> dict[int, HowFar]:
    """Return by task how far it was said to be last on a day."""
    zone, said = record.job.site.zone, sorted(record.how_far, key=lambda one: one.at)
    return {one.task: one for one in said if to_wall(zone, one.at).date() == day}


def ticked_by(record: JobRecord, crew: str, day: date) -> list[Task]:
    """Return what was ticked for a day at a job that a crew did: it began it, or nobody else was there.

    A tick says when a task was done; by whom only where that crew began it or was at the house that day.
    """
    zone = record.job.site.zone
    there = {one.crew for one in record.crew_hours if to_wall(zone, one.start).date() == day}
    return [
        task
        for task in record.tasks
        if task.done_at is not None
        and to_wall(zone, task.done_at).date() == day
        and (task.crew == crew or (not task.crew and there == {crew}))
    ]


def times_words(hours: CrewHours, zone: str) -> str:
    """Return ``07:15–15:45, 30 min of it break, 3 people: 24.0 h of one person``; waiting is told, and no hours at work."""
    start, stop = to_wall(zone, hours.start), to_wall(zone, hours.stop)
    pause = f", {hours.break_min} min of it break" if hours.break_min else ""
    people = f"{hours.people} {'person' if hours.people == 1 else 'people'}"
    why = f" ({hours.wait_why})" if hours.wait_why else ""
    wait = f", {hours.wait_min} min of it waiting{why}" if hours.wait_min else ""
    work = " at work" if hours.wait_min else ""
    return f"{start:%H:%M}–{hour_words(stop)}{pause}{wait}, {people}: {format_hours(hours.labor)} of one person{work}"


def spent_hours(record: JobRecord) -> tuple[dict[Phase, float], float]:
    """Return the hours of one person so far by phase, as spread, and those that no ticked task could take."""
    spent: dict[Phase, float] = {}
    rest = 0
    for day in spread_hours(record):
        rest += day.rest
        for number, minutes in day.tasks.items():
            phase = record.task(number).phase
            spent[phase] = spent.get(phase, 0) + minutes / 60
    return spent, rest / 60
