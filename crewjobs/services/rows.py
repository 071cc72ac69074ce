"""What screens and commands show: frozen rows, free of storage, with every word ready to print.

Instants are aware wall times of the site (or the shop where there is no site); a face only formats them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from crewjobs.domain.waits import WaitState as WaitState


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitRow:
    """One thing waited for. `done` is the elapsed share 0..1 of a wait that runs by the clock, else None.

    `ready_at` is the site's wall time it is (expected to be) ready, None where nobody can know yet.
    `verified` is False where the instant stands on hours alone and a reading decides.
    `holds` says what it holds back (``lay rows in living, hall``), `call` whom to ask or what to do next.
    """

    job: int
    title: str
    what: str
    state: WaitState
    since: datetime | None
    ready_at: datetime | None
    minutes_left: int | None
    done: float | None
    verified: bool
    holds: str
    call: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRow:
    """One job in the list."""

    number: int
    title: str
    customer: str
    address: str
    state: str
    phase: str
    tasks_done: int
    tasks_all: int
    hours_left: float
    promised: date | None
    planned_finish: datetime | None
    late: bool
    waits_for: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskRow:
    """One task. Hours are labor of one person; `hold` is empty when it may start now.

    `how_far` says how far it is while it is under way (``rows 1–9 of 19``), empty where nobody said.

    `after` are the unfinished tasks it waits for: a task that only comes after others is in its order, not in trouble.
    """

    number: int
    phase: str
    stage: int
    where: str
    title: str
    quantity: str
    hours: float
    spread: float
    pace: str
    state: str
    started_at: datetime | None
    done_at: datetime | None
    hold: str
    planned: str
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    after: tuple[int, ...] = ()
    how_far: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseCell:
    """A phase of a section (or of the house): how many of its tasks are done, their hours, the pace these mean."""

    phase: str
    where: str
    done: int
    all: int
    hours: float
    spread: float
    pace: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseTotal:
    """The labor of one phase of a job, in hours of one person."""

    phase: str
    hours: float
    spread: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialRow:
    """One material or goods line of a job: ordered against come in its `unit`, and its lots in words.

    `cartons_come` are those that can be used; `lots_asked` is what the lead must say about the lots, else empty.
    """

    name: str
    kind: str
    cartons_ordered: int
    cartons_come: int
    lots: tuple[str, ...]
    status: str
    unit: str = "cartons"
    lots_asked: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeRow:
    """One entry of the change log."""

    number: int
    at: datetime
    who: str
    what: str
    undone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPage:
    """One job, whole. `cells` is phases × sections; `version` is what an edit must carry.

    `passed` are holds that were passed with a reason and what was seen then; `terms` is what was agreed, by the field names `edit` takes, as a person would type it.
    """

    row: JobRow
    version: int
    site_lines: tuple[str, ...]
    rooms: tuple[str, ...]
    materials: tuple[MaterialRow, ...]
    cells: tuple[PhaseCell, ...]
    tasks: tuple[TaskRow, ...]
    hours: float
    spread: float
    area_ft2: float
    cautions: tuple[str, ...]
    changes: tuple[ChangeRow, ...]
    pace: str = ""
    man_days: float = 0.0
    phases: tuple[PhaseTotal, ...] = ()
    passed: tuple[str, ...] = ()
    terms: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One stretch of a crew at a site in a day, wall times of the shop.

    `reason` says why it is there; `pinned` and `begun` mark what a new plan keeps.
    """

    job: int
    title: str
    crew: str
    start: datetime
    end: datetime
    what: str
    tasks: tuple[int, ...]
    reason: str
    pinned: bool
    begun: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitSpan:
    """A wait that runs beside the work: acclimating, curing; shop wall times. `ends` today is what matters."""

    job: int
    what: str
    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekDay:
    """One day: visits by crew, and the waits that run or end on it."""

    day: date
    off: tuple[str, ...]
    visits: tuple[Visit, ...]
    waits: tuple[WaitSpan, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOutRow:
    """What is not planned, and why."""

    job: int
    title: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseRow:
    """A promised day against the planned finish."""

    job: int
    title: str
    promised: date
    finish: datetime | None
    holds: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekView:
    """A week of the plan in force. `stale` is a sentence when facts changed since it was made, else empty.

    `warnings` are what the plan does to the people in a house, each with what may be done about it. `ends` is a
    sentence where the week goes on after the plan's end, else empty.
    """

    monday: date
    crews: tuple[str, ...]
    days: tuple[WeekDay, ...]
    left_out: tuple[LeftOutRow, ...]
    promises: tuple[PromiseRow, ...]
    plan_number: int
    made_at: datetime | None
    stale: str
    warnings: tuple[str, ...] = ()
    ends: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteTask:
    """One line of On site: a task of the crew's day; `how_far` says how far it is while it is under way."""

    job: int
    number: int
    title: str
    where: str
    phase: str
    quantity: str
    state: str
    time: str
    hold: str
    cautions: tuple[str, ...]
    how_far: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteHouse:
    """One house of the crew's day with its tasks in order."""

    job: int
    title: str
    address: str
    arrive: datetime
    leave: datetime
    facts: tuple[str, ...]
    tasks: tuple[SiteTask, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteDay:
    """One crew's day on site."""

    crew: str
    day: date
    houses: tuple[SiteHouse, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What an action did, in one sentence, and the change it made (for undo); `then` are follow-up sentences."""

    sentence: str
    change: int
    then: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TemplateRow:
    """One task template: minutes of one person per unit (low, likely, high) and the pace they mean."""

    key: str
    phase: str
    title: str
    minutes: str
    pace: str
    people: int
    overridden: bool
    source: str
