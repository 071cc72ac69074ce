"""What the planner is given: jobs, crews, calendars and the moment it plans from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Final

from crewjobs.domain.crew import Away, Shop, Skill
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey, Pin, Placement, WeekPlan
from crewjobs.domain.tasks import Pause, Phase, Task
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.paces import BOOK, Paces
from crewjobs.engines.readiness.hold import FactKind

Progress = Callable[[int, int, str], None]
"""Told after every job: how many are planned, of how many, and which."""
Stop = Callable[[], bool]
"""Asked between jobs; true ends the planning early."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Earliest:
    """A block cannot start before `at`, because of `reason` (``planks ready (48 h from Fri 14:00)``).

    `kind` says what sort of fact that is; of hours that begin later than now, `of` is what they run for and `since`
    when they begin.
    """

    at: datetime
    reason: str
    kind: FactKind = FactKind.OTHER
    of: str = ""
    since: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SameDay:
    """Of a job, what begins with task `first` must end with task `last` on one day of the site, or not begin at all.

    `why` is the sentence for people where that cannot be.
    """

    job: int
    first: int
    last: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Errand:
    """A person leaves their crew's work between two instants (UTC), drive included: a small visit somewhere else."""

    crew: str
    worker: str
    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Tasks of one job, phase and stage with nothing to wait for between them: what the planner moves.

    Tasks are in an order that keeps their links. `inner` are the links among them, `labor` the labor minutes
    left of each task. `cards` are what somebody there must hold. `begun` is when the first of them was started, `crew`
    who started it where known.
    `carry_in` marks what starts days of waiting and opens no house, so it comes as early as it can: material
    moved into the rooms, a sample for a laboratory. `elevator` marks what moves through the house by a booked
    elevator, so only while it is; `second` what may be left for a second trip, days after the rest. `tools` are those
    of the shop's shared tools it holds from its start to its end.
    """

    key: BlockKey
    phase: Phase
    stage: int
    tasks: tuple[Task, ...]
    labor: tuple[int, ...]
    inner: tuple[tuple[int, int], ...]
    skills: frozenset[Skill]
    pause: Pause
    least_people: int
    cards: frozenset[str] = frozenset()
    begun: datetime | None = None
    crew: str = ""
    carry_in: bool = False
    elevator: bool = False
    second: bool = False
    tools: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockLink:
    """Block `after` starts at least `wait_min` minutes by the clock after block `before` ended, at most `most_min` if set.

    Both blocks of a link with `most_min` hold one task each, so that what holds for them holds for the tasks. The slots
    it leaves are `links.most_slots`.
    """

    before: BlockKey
    after: BlockKey
    wait_min: int = 0
    name: str = ""
    most_min: int | None = None


UNDER_WAY: Final = "under way since"
"""How the reason of a place begins whose work counts as begun when it was planned, as recorded or by the plan before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Been:
    """A crew was at the house of a job from `at` on, up to `until` as far as is known; job 0: at `at` it left for the shop.

    It is at the shop from `until` on then, which may be to come. Instants are UTC.
    """

    crew: str
    job: int
    at: datetime
    until: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanProblem:
    """Everything the planner looks at. Instants are UTC; `now` is where the plan starts.

    `earliest` holds instants of tasks (job, task) that are fixed by facts: a lot's ready instant, a promised
    delivery, a cure that runs. `impossible` holds tasks that cannot be planned at all, with the reason
    (``oak: not ordered``). `drive` holds minutes between two jobs' sites where known; otherwise the
    way goes over the shop. `previous` is the plan in force, whose begun work stays where it is. `away` says who is
    not with their crew on which days, `errands` who leaves it for an hour or two: they do not count for work meanwhile.
    `tools` names the shared tools of the shop that tasks (job, task) need; work under way has its own. `stands` are
    places of today in the plan before whose work is taken as done without having been ticked: they stay in every plan.
    Those that end after `now` go on as they were planned, and keep their crew until then. `been` are the houses crews were
    at today that `previous` may know nothing of: those of the plans before it, and what was recorded there. `paces` are the
    crews' own beside the book's.
    """

    now: datetime
    days: int
    shop: Shop
    jobs: tuple[JobRecord, ...]
    earliest: Mapping[tuple[int, int], tuple[Earliest, ...]]
    impossible: Mapping[tuple[int, int], str]
    pins: tuple[Pin, ...] = ()
    drive: Mapping[tuple[int, int], int]
    previous: WeekPlan | None = None
    away: tuple[Away, ...] = ()
    same_day: tuple[SameDay, ...] = ()
    errands: tuple[Errand, ...] = ()
    tools: Mapping[tuple[int, int], frozenset[str]] = field(default_factory=dict)
    stands: tuple[Placement, ...] = ()
    been: tuple[Been, ...] = ()
    paces: Paces = BOOK

    @property
    def today(self) -> date:
        """Return the shop's date: dates of another year than this are told with theirs."""
        return to_wall(self.shop.zone, self.now).date()
