"""Tasks that are ticked only with words written down: which words, and what was written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from crewjobs.domain.errors import NotWritten
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.wording import upper
from crewjobs.services.jobs.known import GAS_APPLIANCES_BACK, LABORATORY_ANSWER
from crewjobs.services.wording import at_site, task_words

WRITTEN: Final = "Written down"
"""What such words are called on the pages of whoever goes in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is written down with a tick, an example of it, and what is done instead where the answer is a bad one."""

    what: str
    such_as: str
    instead: str


WANTED: Final = {
    LABORATORY_ANSWER: Wanted(
        what="laboratory, day, sample numbers and result",
        such_as="Northfield Lab, 3 Mar, sample 17: none found",
        instead='found in it: not ticked, `crewjobs found {job} PLACE "suspect asbestos"` holds the work and says the ways on',
    ),
    GAS_APPLIANCES_BACK: Wanted(
        what="the licensed person who reconnected and leak-checked it, and the hour",
        such_as="Ada Lund, licensed plumber, 14:30: leak-checked",
        instead="not leak-checked: not ticked",
    ),
}
"""By task template, as the catalogue's notes on them say; who reads it judges the words, the program cannot."""


def not_written(record: JobRecord, task: Task, because: str) -> NotWritten | None:
    """Return the refusal of a tick that lacks the words its task is ticked with; None where it has them or needs none.

    What to write comes first: a narrow screen has room for no more.
    """
    wanted = WANTED.get(task.key.template)
    if wanted is None or because:
        return None
    return NotWritten(
        [
            f'Write as the reason {wanted.what}, such as "{wanted.such_as}": {task_words(task)} is ticked only with that.',
            f"{upper(wanted.instead.format(job=record.job.number))}.",
        ]
    )


def by_itself(task: Task) -> str:
    """Return that a task is ticked by itself, where it is ticked only with words; empty for any other.

    A reason given to several tasks at once, such as that the house was open all the same, is none of its words.
    """
    wanted = WANTED.get(task.key.template)
    return f"{upper(task_words(task))} is ticked by itself, with {wanted.what} written down" if wanted else ""


def words_wanted(task: Task) -> str:
    """Return what is written down with the tick of a task that is ticked only so; empty of any other."""
    wanted = WANTED.get(task.key.template)
    return wanted.what if wanted is not None else ""


def written_with(record: JobRecord, task: Task) -> str:
    """Return what was written with the tick of a task that is ticked only so; empty where nothing was, or of another."""
    if task.key.template not in WANTED or task.done_at is None:
        return ""
    return next((one.because for one in record.passed if (one.task, one.at) == (task.number, task.done_at)), "")


def written_lines(record: JobRecord) -> tuple[str, ...]:
    """Return as lines what was written with ticks: when, for which task, the words."""
    zone = record.job.site.zone
    return tuple(
        f"{at_site(zone, task.done_at)} {task_words(task)}: {words}"
        for task in record.tasks
        if task.done_at is not None and (words := written_with(record, task))
    )


def written_facts(record: JobRecord, now: datetime) -> tuple[str, ...]:
    """Return what was written with ticks by an instant as whoever goes in next reads it on their page, without numbers of tasks."""
    zone = record.job.site.zone
    return tuple(
        f"{task.title}: {words} ({at_site(zone, task.done_at)})"
        for task in record.tasks
        if (words := written_with(record, task)) and task.done_at is not None and task.done_at <= now
    )


def written_then(record: JobRecord, task: Task) -> Iterator[str]:
    """Yield how a tick that should not have been is taken back, where words were written with it."""
    if written_with(record, task) and task.key.template in WANTED:
        instead = WANTED[task.key.template].instead.format(job=record.job.number)
        back = f"`crewjobs tick {record.job.number} {task.number} --take-back`"
        yield f"Nobody but who reads it judges what is written. {upper(instead)}; {back} takes the tick back."
