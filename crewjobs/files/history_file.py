"""The demo's past in TOML: what happened, in order, to be told to the same use cases as people tell it to.

```toml
[[happened]]
job = 4
at = "2026-02-27 14:00"
arrived = { material = "click oak", cartons = 12, lot = "A", in_rooms = true }

[[happened]]
job = 4
at = "2026-02-27 16:30"
ticked = ["carpet-up: living", "base-off: living"]
```
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import Final

from crewjobs.domain.bounds import MOST_CARTONS
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.files.faults import At
from crewjobs.files.tables import converter, structured, table
from crewjobs.files.toml_text import parse_toml
from crewjobs.files.values import LINE, read_instant, read_text, with_limit, within

_RIGHT: Final = {
    "job": "the number of the job",
    "at": 'the site\'s wall time, such as at = "2026-02-27 14:00"',
    "material": "the name of one of the job's materials",
    "cartons": "how many cartons came",
    "asked": "who was asked whether the house is ready",
    "happened": "one [[happened]] for each thing that happened",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskName:
    """A task as people name it: the key of its template, and where (``living, window half``; empty is the house)."""

    template: str
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """Cartons of one lot that came; `in_rooms` if they went into the conditioned rooms at once."""

    material: str
    cartons: int
    lot: str = "A"
    in_rooms: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedIn:
    """A lot that was carried into the conditioned rooms; its clock starts."""

    material: str
    lot: str = "A"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """The house was asked for being ready, and everything that is asked was answered yes."""

    asked: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """One thing that happened to a job at an instant (UTC): exactly one of the five is given."""

    job: int
    at: datetime
    arrived: Arrival | None = None
    moved_in: MovedIn | None = None
    ready: Ready | None = None
    started: tuple[TaskName, ...] = ()
    ticked: tuple[TaskName, ...] = ()
    because: str = ""
    crew: str = ""

    def __post_init__(self) -> None:
        events = (self.arrived, self.moved_in, self.ready, self.started or None, self.ticked or None)
        if sum(event is not None for event in events) != 1:
            raise Refused("give exactly one of arrived, moved_in, ready, started and ticked.")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Entry:
    """One entry as its table spells it: its instant is not known before its job's site is."""

    job: int
    at: str | datetime
    arrived: Arrival | None = None
    moved_in: MovedIn | None = None
    ready: Ready | None = None
    started: tuple[TaskName, ...] = ()
    ticked: tuple[TaskName, ...] = ()
    because: str = ""
    crew: str = ""

    def value(self, zones: Mapping[int, str]) -> Happened:
        if self.job not in zones:
            raise At("job", f"there is no job {self.job}.")
        try:
            at = read_instant(self.at, zones[self.job])
        except Refused as fault:
            raise At("at", fault) from None
        return Happened(
            job=self.job,
            at=at,
            arrived=self.arrived,
            moved_in=self.moved_in,
            ready=self.ready,
            started=self.started,
            ticked=self.ticked,
            because=self.because,
            crew=self.crew,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _File:
    """A history file as it is spelled."""

    happened: tuple[Happened, ...]

    def value(self) -> tuple[Happened, ...]:
        for before, after in pairwise(self.happened):
            if after.at < before.at:
                raise Refused(
                    f"happened: {after.at:%Y-%m-%d %H:%M} UTC (job {after.job}) comes after "
                    f"{before.at:%Y-%m-%d %H:%M} UTC (job {before.job}): list what happened in order."
                )
        return self.happened


def read_history(text: str, source: str, zones: Mapping[int, str]) -> tuple[Happened, ...]:
    """Return what happened, in order; `zones` gives the time zone of each job's site by job number.

    Raises:
        Refused: with one sentence for every fault, also where an entry is earlier than the one before it.
    """
    return structured(_reader(zones), parse_toml(text, source), source, "UTC", _RIGHT)


def _reader(zones: Mapping[int, str]) -> Callable[[object], tuple[Happened, ...]]:
    made = converter({})
    made.register_structure_hook(TaskName, lambda value, _: _read_task(value))
    table(made, Arrival, cartons=within(1, MOST_CARTONS))
    table(made, MovedIn)
    table(made, Ready, asked=with_limit(LINE, empty=False))
    entry = table(made, _Entry, at=lambda value, _: value, because=with_limit(LINE))
    made.register_structure_hook(Happened, lambda value, _: entry(value).value(zones))
    whole = table(made, _File)
    return lambda raw: whole(raw).value()


def _read_task(value: object) -> TaskName:
    template, _, where = read_text(value, 2 * LINE).partition(":")
    if not template.strip():
        raise Refused(f'{quoted(str(value))} names no task: write its template and where, such as "carpet-up: living".')
    return TaskName(template=template.strip(), where=where.strip())
