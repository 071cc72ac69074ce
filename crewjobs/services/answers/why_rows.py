"""What `why` shows: frozen rows, every word ready to print. Instants are wall times of the site."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyStep:
    """One link of the chain that fixes a finish; `minutes` are work of a crew, `job` another job waited for."""

    kind: str
    words: str
    since: datetime | None
    until: datetime | None
    crew: str
    job: int | None
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyJob:
    """Why one job is finished when it is. `sentence` is the whole chain, `promise` how the promise stands, after what was found that its
    days hang on.

    `holds` is None where nothing is promised, and False too where work planned before today is not ticked: the plan cannot
    tell then.
    `alone` is the finish with every crew free, for a late job; `possible` is False where no plan at all keeps the
    promise. `left_out` says what of it is not planned and why, and which pins are not kept; `gives_a_date` what would
    give what is left out one.
    """

    job: int
    title: str
    finish: datetime | None
    promised: date | None
    holds: bool | None
    sentence: str
    steps: tuple[WhyStep, ...]
    promise: tuple[str, ...]
    alone: datetime | None
    possible: bool | None
    left_out: tuple[str, ...]
    gives_a_date: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipRow:
    """A promise that is not kept, and when the job ends instead; None where it has no end.

    `held` says that the plan in force keeps it; `days_later` are the days after the end it has there, None where only
    that one has an end.
    """

    job: int
    promised: date
    finish: datetime | None
    days_late: int | None = None
    held: bool = False
    days_later: int | None = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOutRow:
    """Something that can be done, tried by the planner: what holds then and what does not.

    `name` is what it is taken by and `command` takes it, both empty for the plan in force itself. `wins` hold then and not
    in the plan in force. `crew` works `hours` on `day` where it needs that; `records` is the command for these hours alone.
    """

    kind: str
    sentence: str
    keeps: tuple[int, ...]
    slips: tuple[SlipRow, ...]
    name: str = ""
    command: str = ""
    wins: tuple[int, ...] = ()
    crew: str = ""
    day: date | None = None
    hours: str = ""
    records: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LateRow:
    """What is said of a promise that no plan keeps; `explained` says that asking why of the job tells more.

    `days_late` is how late it is in the plan in force, None where it has no finish or that is not the question. `grouped`
    says that a line of a group tells it, where there are many.
    """

    job: int
    sentence: str
    explained: bool
    days_late: int | None = None
    grouped: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LateGroup:
    """Promises that no plan keeps for one reason: the reason in `head`, a line a job."""

    head: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClashRow:
    """Jobs whose promises clash. `smallest`: without any one of them the others can be kept.

    `pairs` says which two clash, where one sentence tells of several pairs.
    """

    jobs: tuple[int, ...]
    smallest: bool
    proved: bool
    sentence: str
    ways: tuple[WayOutRow, ...]
    pairs: tuple[tuple[int, ...], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyView:
    """Why a job is finished when it is, or (without one) which promises clash and what can be done.

    `late` is said of promises no plan keeps; of many, `late_sum` is said first and `late_groups` puts together what has one
    reason, else both are empty. `saves` extra work that does, `order` another plan that keeps more,
    `note` says what was not looked at. `stale` is a sentence when facts changed since the plan was made, else empty.
    """

    plan_number: int
    stale: str
    job: WhyJob | None
    late: tuple[LateRow, ...]
    clashes: tuple[ClashRow, ...]
    order: WayOutRow | None
    note: str
    saves: tuple[WayOutRow, ...] = ()
    late_sum: str = ""
    late_groups: tuple[LateGroup, ...] = ()
