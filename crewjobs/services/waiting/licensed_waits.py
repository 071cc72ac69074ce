"""Work of licensed trades on the waiting list: it is somebody else's, and has to be asked for before the crew's own can begin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from crewjobs.domain.house import FixtureKind
from crewjobs.domain.house_ready import Other
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.tasks import Task
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wording import typed
from crewjobs.engines.heights.left import left_under
from crewjobs.engines.heights.meeting import FlangeAt, FlangeNeed, met
from crewjobs.engines.readiness.others import SAMPLING
from crewjobs.services.rows import WaitRow
from crewjobs.services.wording import task_words

GAS: Final = (FixtureKind.GAS_RANGE, FixtureKind.GAS_DRYER)
WIRED_RANGE: Final = (FixtureKind.HARD_WIRED_RANGE,)
WIRED_DISHWASHER: Final = (FixtureKind.HARD_WIRED_DISHWASHER,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Licensed:
    """What is asked of whom before a task of a template begins in a room where one of the fixtures stands."""

    template: str
    fixtures: tuple[FixtureKind, ...]
    who: Other
    what: str


_OFF: Final = "hard-wired appliance disconnected"
_ON: Final = "hard-wired appliance reconnected"
LICENSED: Final = (
    Licensed(template="gas-appliances-out", fixtures=GAS, who=Other.PLUMBER, what="gas shut, disconnected and capped"),
    Licensed(template="gas-appliances-back", fixtures=GAS, who=Other.PLUMBER, what="gas reconnected and leak-checked"),
    Licensed(template="appliances-out", fixtures=WIRED_RANGE, who=Other.ELECTRICIAN, what=_OFF),
    Licensed(template="appliances-back", fixtures=WIRED_RANGE, who=Other.ELECTRICIAN, what=_ON),
    Licensed(template="plumbed-appliances-out", fixtures=WIRED_DISHWASHER, who=Other.ELECTRICIAN, what=_OFF),
    Licensed(template="plumbed-appliances-back", fixtures=WIRED_DISHWASHER, who=Other.ELECTRICIAN, what=_ON),
)
"""Local code says who is licensed for what: a plumber, a gas fitter, the utility, an electrician (common practice, no source)."""
FLANGE_TASK: Final = "toilet-back"
SAMPLES: Final = "samples of every suspect layer"
LICENSE: Final = "by whoever local code licenses"
ACCREDITED: Final = "by an accredited inspector, never by the crew"
"""29 CFR 1926.1101(k)(5): who samples; who may is for local code to say, too."""
FLANGE: Final = "closet flange brought to the new floor's height"


def licensed_rows(record: JobRecord) -> Iterator[WaitRow]:
    """Yield a row for everything of a booked job that a licensed or accredited person does and nobody was asked for yet."""
    for task, who, what in unasked(record):
        yield _row(record, task, who, what)


def unasked(record: JobRecord) -> Iterator[tuple[Task, Other, str]]:
    """Yield what of a booked job a licensed or accredited person does and nobody was asked for yet: before which task, who, what."""
    if record.job.state is not JobState.BOOKED:
        return
    asked = {(waits.who, number) for waits in record.waiting_on for number in waits.holds}
    for task in record.tasks:
        if not task.open or task.started_at is not None:
            continue
        for who, what in wanted(record, task):
            if (who, task.number) not in asked:
                yield task, who, what


def wanted(record: JobRecord, task: Task) -> Iterator[tuple[Other, str]]:
    """Yield what licensed trades do before a task, and the inspector of a sampling: who, and what."""
    if task.key.template == SAMPLING:
        yield Other.INSPECTOR, SAMPLES
    room = next((room for room in record.job.rooms if room.name == task.key.scope.name), None)
    if room is None:
        return
    for one in LICENSED:
        if one.template == task.key.template and any(room.has(kind) for kind in one.fixtures):
            yield one.who, one.what
    if task.key.template == FLANGE_TASK and room.name in _flanges(record):
        yield Other.PLUMBER, FLANGE


def _flanges(record: JobRecord) -> frozenset[str]:
    """Return the rooms whose closet flange no ring and no extender brings to the new floor."""
    return frozenset(
        one.room
        for one in met(record.job, left_under(record))
        if isinstance(one, FlangeAt) and one.need in (FlangeNeed.PLUMBER, FlangeNeed.LOWER)
    )


def _row(record: JobRecord, task: Task, who: Other, what: str) -> WaitRow:
    number = record.job.number
    return WaitRow(
        job=number,
        title=record.job.title,
        what=f"{who}: {what}, {ACCREDITED if who is Other.INSPECTOR else LICENSE}",
        state=WaitState.TO_ASK,
        since=None,
        ready_at=None,
        minutes_left=None,
        done=None,
        verified=True,
        holds=task_words(task),
        call=f"ask for a day: `crewjobs ask {number} {who} {typed(what)} --holds {task.number}`",
        whom=who.value,
    )
