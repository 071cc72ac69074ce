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

[[happened]]
at = "2026-02-27 17:00"             # of the shop, not of a job
away = { worker = "Tobiah Lund", day = 2026-03-03, because = "a tooth" }
```
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from datetime import datetime
from enum import StrEnum
from itertools import pairwise
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import Goods
from crewjobs.domain.house_ready import Other, ReadyItem
from crewjobs.domain.units import quoted
from crewjobs.files import history_events as events
from crewjobs.files.faults import At
from crewjobs.files.history_events import TaskName as TaskName
from crewjobs.files.tables import converter, structured, table
from crewjobs.files.toml_text import parse_toml
from crewjobs.files.values import LINE, read_instant, read_text, read_whole, with_limit

SHOP: Final = 0
"""Stands for a job's number where something happened to the shop."""
_RIGHT: Final = {
    "job": "the number of the job",
    "at": 'the site\'s wall time, such as at = "2026-02-27 14:00"',
    "material": "the name of one of the job's materials",
    "cartons": "how many cartons came",
    "happened": "one [[happened]] for each thing that happened",
}
_OF_SHOP: Final = frozenset({"away"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """One thing that happened to a job (or to the shop, job 0) at an instant (UTC): exactly one event is given."""

    job: int = SHOP
    at: datetime
    arrived: events.Arrival | None = None
    moved_in: events.MovedIn | None = None
    checked: events.Checked | None = None
    lots: events.LotsSaid | None = None
    goods: events.GoodsArrival | None = None
    back_ordered: events.BackOrdered | None = None
    asked: events.Asked | None = None
    ready: events.Ready | None = None
    not_ready: events.NotReady | None = None
    dry_run: events.DryRunMade | None = None
    waiting_on: events.WaitingAsked | None = None
    chased: events.WaitingNamed | None = None
    came: events.WaitingNamed | None = None
    how_far: events.HowFarSaid | None = None
    crew_hours: events.HoursWorked | None = None
    walk_before: events.WalkBefore | None = None
    walk_after: events.WalkAfter | None = None
    money: events.MoneyNoted | None = None
    change_order: events.ChangeOrdered | None = None
    visit: events.VisitPlanned | None = None
    visited: events.VisitMade | None = None
    callback: events.CalledBack | None = None
    away: events.AwayEntered | None = None
    told: events.Told | None = None
    went_back: events.WentBack | None = None
    closed: events.Closed | None = None
    started: tuple[TaskName, ...] = ()
    ticked: tuple[TaskName, ...] = ()
    because: str = ""
    crew: str = ""

    def __post_init__(self) -> None:
        given = [name for name in EVENTS if getattr(self, name)]
        if len(given) != 1:
            raise Refused(f"give exactly one of {', '.join(EVENTS)}.")
        if self.job == SHOP and given[0] not in _OF_SHOP:
            raise At("job", f"missing; write {_RIGHT['job']}.")


EVENTS: Final = tuple(field.name for field in fields(Happened) if field.name not in ("job", "at", "because", "crew"))
"""The keys an entry gives exactly one of."""


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
    """Return what happened, in order; `zones` gives the time zone of each job's site by job number, of the shop by 0.

    Raises:
        Refused: with one sentence for every fault, also where an entry is earlier than the one before it.
    """
    return structured(_reader(zones), parse_toml(text, source), source, "UTC", _RIGHT)


def _reader(zones: Mapping[int, str]) -> Callable[[object], tuple[Happened, ...]]:
    words: dict[type[StrEnum], dict[str, StrEnum]] = {Goods: {}, ReadyItem: {}, Other: {}}
    made = converter(words)
    made.register_structure_hook(TaskName, lambda value, _: _read_task(value))
    table(made, events.Arrival, cartons=_counted)
    table(made, events.Checked, cartons=_counted)
    table(made, events.GoodsArrival, count=_counted)
    table(made, events.WentBack, count=_counted)
    table(made, events.Asked, of=with_limit(LINE, empty=False))
    for kind in (
        events.MovedIn, events.LotsSaid, events.BackOrdered, events.Ready, events.NotReady, events.DryRunMade,
        events.WaitingAsked, events.WaitingNamed, events.HowFarSaid, events.HoursWorked, events.WalkBefore,
        events.WalkAfter, events.MoneyNoted, events.ChangeOrdered, events.VisitPlanned, events.VisitMade,
        events.CalledBack,
        events.AwayEntered, events.Told, events.Closed,
    ):  # fmt: skip
        table(made, kind)
    entry: Callable[[object], Happened] = table(made, Happened, at=lambda value, _: value, because=with_limit(LINE))

    def read(value: object, _: object) -> Happened:
        if not isinstance(value, dict):
            return entry(value)
        job = value.get("job", SHOP)
        if "at" not in value or not isinstance(job, int):
            return entry(value)
        if job not in zones:
            raise At("job", f"there is no job {job}.")
        try:
            at = read_instant(value["at"], zones[job])
        except Refused as fault:
            raise At("at", fault) from None
        return entry({**value, "at": at})

    made.register_structure_hook(Happened, read)
    whole = table(made, _File)
    return lambda raw: whole(raw).value()


def _counted(value: object, _: object) -> int:
    return read_whole(value, 1)


def _read_task(value: object) -> TaskName:
    template, _, where = read_text(value, 2 * LINE).partition(":")
    if not template.strip():
        raise Refused(f'{quoted(str(value))} names no task: write its template and where, such as "carpet-up: living".')
    return TaskName(template=template.strip(), where=where.strip())
