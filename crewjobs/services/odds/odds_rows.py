"""What odds show: frozen rows, every word ready to print."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class DriverRow:
    """What moves a job's finish, with its rank correlation with it over the samples (0 to 1)."""

    words: str
    correlation: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OddsRow:
    """The odds of one job in the plan in force.

    `chance` is that it is done by its promised day and `error` the standard error of that by sampling alone, both None without a
    promise or a finish. `likely` is the first day by which it is done in half of all samples, `by_80` and `by_95` in so many percent;
    None: after the plan's days. `note` says why there are no odds.
    """

    job: int
    title: str
    promised: date | None
    planned: date | None
    chance: float | None
    error: float | None
    likely: date | None
    by_80: date | None
    by_95: date | None
    drivers: tuple[DriverRow, ...]
    note: str
    sentence: str
    days: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OddsView:
    """The odds of the plan in force; `taken` says what they stand on, `error` is the largest standard error of a chance."""

    plan_number: int
    stale: str
    samples: int
    error: float
    rows: tuple[OddsRow, ...]
    taken: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseView:
    """The first day by which a job is done with a chance of `odds` percent, all that is planned beside it.

    `chance` is that of this day, `before` that of the day before, `error` the standard error of `chance`. `supposed` says what of
    it is not so yet (booked, material there on a day), `not_booked` that nobody has said yes to the job, `moved` which other jobs
    move for it.
    """

    job: int
    title: str
    odds: float
    day: date
    chance: float
    error: float
    before: float
    planned: date
    promised: date | None
    promised_chance: float | None
    stale: str
    samples: int
    sentences: tuple[str, ...]
    drivers: tuple[DriverRow, ...]
    taken: tuple[str, ...]
    supposed: str = ""
    not_booked: bool = False
    moved: tuple[int, ...] = ()
