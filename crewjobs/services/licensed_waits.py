"""Work of licensed trades on the waiting list: it is somebody else's, and has to be asked for before the crew's own can begin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from crewjobs.domain.house_ready import Other
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.waits import WaitState
from crewjobs.services.rows import WaitRow
from crewjobs.services.wording import task_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Licensed:
    """What is asked of whom before a task of a template begins."""

    who: Other
    what: str


LICENSED: Final = {
    "gas-appliances-out": Licensed(who=Other.PLUMBER, what="gas shut, disconnected and capped"),
    "gas-appliances-back": Licensed(who=Other.PLUMBER, what="gas reconnected and leak-checked"),
}
"""By template. Local code says who is licensed for it: a plumber, a gas fitter, the utility (common practice, no source)."""


def licensed_rows(record: JobRecord) -> Iterator[WaitRow]:
    """Yield a row for everything of a booked job that a licensed person does and nobody was asked for yet."""
    if record.job.state is not JobState.BOOKED:
        return
    asked = {number for waits in record.waiting_on for number in waits.holds}
    for task in record.tasks:
        wanted = LICENSED.get(task.key.template)
        if wanted is None or not task.open or task.started_at is not None or task.number in asked:
            continue
        number = record.job.number
        yield WaitRow(
            job=number,
            title=record.job.title,
            what=f"{wanted.who}: {wanted.what}, by whoever local code licenses",
            state=WaitState.TO_ASK,
            since=None,
            ready_at=None,
            minutes_left=None,
            done=None,
            verified=True,
            holds=task_words(task),
            call=f"ask for a day: `crewjobs ask {number} {wanted.who} '{wanted.what}' --holds {task.number}`",
        )
