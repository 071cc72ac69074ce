"""What is supposed as it is recorded: the commands, and what the plan in force is once all of them were given in their order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import Span, spans_words
from crewjobs.domain.wording import hours_command, typed
from crewjobs.services.weeks import following

if TYPE_CHECKING:
    from crewjobs.domain.plan import Pin, WeekPlan
    from crewjobs.services.office import Office
    from crewjobs.services.rows import Done
    from crewjobs.services.weeks.following import Followed
    from crewjobs.storage.database import Database

OnACopy = Callable[[], AbstractContextManager[tuple["Database", "Office"]]]
"""Gives a copy of the database that is thrown away, with an office that records in it and has its plan follow."""


class Recording(NamedTuple):
    """A command that records one thing supposed, and what the command does; whether the plan in force follows that."""

    command: str
    record: Callable[[Office], Done]
    follows: bool = True


def in_turn(on_a_copy: OnACopy, now: datetime, recordings: Sequence[Recording], in_force: WeekPlan) -> Followed:
    """Return the plan in force beside what it is once everything was recorded, one after the other.

    Each record is made in a copy of the database by what its command calls, and the plan there follows it: what is told is
    what then happens.

    Raises:
        Refused: one of them cannot be recorded after those before it, with its command.
    """
    with on_a_copy() as (database, office):
        for one in recordings:
            try:
                one.record(office)
            except Refused as refused:
                raise Refused(f"recorded in this order, `{one.command}` is refused: {refused}") from None
        return following.since(database, now, in_force)


# -- the commands


def pinned(pins: Sequence[Pin]) -> Recording:
    """Return the pins of one visit."""
    first, tasks = pins[0], [one.task for one in pins]
    numbers = ",".join(str(task) for task in tasks)
    return Recording(
        f"crewjobs pin {first.job} {numbers} {typed(first.crew)} {first.day.isoformat()}",
        lambda office: office.pin(first.job, tasks, first.crew, first.day),
    )


def works(crew: str, day: date, spans: Sequence[Span], *, usual: bool = False) -> Recording:
    """Return a crew's hours on a day: none is a day off, `usual` are those of every week."""
    command = hours_command(crew, day, spans, usual=usual)
    if usual:
        return Recording(command, lambda office: office.usual_hours(crew, day))
    return Recording(command, lambda office: office.hours(crew, day, spans_words(spans) if spans else "off"))


def out(worker: str, day: date, *, again: bool) -> Recording:
    """Return that a person is out on a day; `again` where something is recorded of that day already."""
    command = f"crewjobs away {typed(worker)} {day.isoformat()}{' --again' if again else ''}"
    return Recording(command, lambda office: office.away(worker, day, again=again))


def due(job: int, what: str, day: str) -> Recording:
    """Return a new day, as typed, of what has not come."""
    plain = typed(what), day if day == "none" else f'"{day}"'
    return Recording(
        f"crewjobs back-ordered {job} {' '.join(plain)}", lambda office: office.back_ordered(job, what, day)
    )


def amended(job: int, field: str, value: str) -> Recording:
    """Return a change of what was agreed on a job."""
    shown = f'"{value}"' if " " in value else value
    return Recording(
        f"crewjobs amend {job} --{field} {shown}",
        lambda office: office.edit(job, office.job(job).version, {field: value}),
    )


def loaded(file: Path) -> Recording:
    """Return a job file that is loaded; the plan waits for what is recorded or planned after it."""
    return Recording(f"crewjobs load {typed(str(file))}", lambda office: office.load([file]), follows=False)
