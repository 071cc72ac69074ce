"""The days of jobs that are over, in TOML: entered afterward from their paper, a line a crew's day at a house.

```toml
[[day]]
job = 16
crew = "Birch"
start = "2026-01-12 07:00"   # wall times of the site
stop = "2026-01-12 15:30"
people = 3
break_min = 30
until = "subfloor prep"      # all work to the end of that phase was done then; left out: all that was left

[[came]]
job = 16
material = "field laminate"
cartons = 15
at = "2026-01-08 11:20"
```
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Phase
from crewjobs.files.faults import At
from crewjobs.files.tables import Hook, converter, structured, table
from crewjobs.files.toml_text import parse_toml
from crewjobs.files.values import read_any_whole, read_instant

_RIGHT: Final = {
    "job": "the number of a job in the same folder",
    "crew": "the name of the crew",
    "start": 'when the crew came, such as start = "2026-01-12 07:00"',
    "stop": 'when it left, such as stop = "2026-01-12 15:30"',
    "people": "how many people were there",
}


MOMENTS: Final = ("start", "stop", "at")


@dataclass(frozen=True, slots=True, kw_only=True)
class PastDay:
    """A crew's day at a house: from when to when (UTC), and the phase to whose end all was done (None: all)."""

    job: int
    crew: str
    start: datetime
    stop: datetime
    people: int
    break_min: int = 0
    until: Phase | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PastCame:
    """Cartons of a material that came to a job at an instant (UTC)."""

    job: int
    material: str
    cartons: int
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """All days and arrivals of a file."""

    day: tuple[PastDay, ...] = ()
    came: tuple[PastCame, ...] = ()


def read_past(text: str, source: str, zones: Mapping[int, str]) -> Past:
    """Return the days of past jobs; `zones` gives the time zone of each job's site by its number.

    Raises:
        Refused: with one sentence for every fault.
    """
    words: dict[type[StrEnum], dict[str, StrEnum]] = {Phase: {}}
    made = converter(words)
    day = table(made, PastDay, start=_as_it_is, stop=_as_it_is, people=_whole)
    came = table(made, PastCame, at=_as_it_is, cartons=_whole)
    made.register_structure_hook(PastDay, _timed(day, zones))
    made.register_structure_hook(PastCame, _timed(came, zones))
    read: Callable[[object], Past] = table(made, Past)
    return structured(read, parse_toml(text, source), source, "UTC", _RIGHT)


def _timed(entry: Callable[[Any], Any], zones: Mapping[int, str]) -> Hook:
    """Return what reads a table of a job with its moments in the zone of the job's site."""

    def read(value: object, _: object) -> object:
        job = value.get("job") if isinstance(value, dict) else None
        if not isinstance(value, dict) or not isinstance(job, int):
            return entry(value)
        if job not in zones:
            raise At("job", f"there is no job {job}.")
        return entry({**value, **{key: _instant(key, value[key], zones[job]) for key in MOMENTS if key in value}})

    return read


def _instant(key: str, value: object, zone: str) -> datetime:
    try:
        return read_instant(value, zone)
    except Refused as fault:
        raise At(key, fault) from None


def _as_it_is(value: object, _: object) -> object:
    """Return a moment that was read already."""
    return value


def _whole(value: object, _: object) -> int:
    return read_any_whole(value)
