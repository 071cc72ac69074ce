"""What rates show: frozen rows, every word ready to print."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class RateRow:
    """A crew's pace at one template beside the book's.

    `book`, `own`, `low` and `high` are amounts of `unit` that one person does in a man-day of 8 h, the more the quicker; where a
    task has no such unit they are its minutes of one person. `factor` is how many times the book's minutes the crew takes.
    The band holds 80 %: from the slower to the quicker amount, or from the fewer to the more minutes. `pace` is how many times
    the book's pace the crew has, `slow` and `quick` bound its band: one scale for all rates.
    """

    template: str
    phase: str
    title: str
    unit: str
    book: float
    own: float
    low: float
    high: float
    factor: float
    pace: float
    slow: float
    quick: float
    jobs: int
    pinned: bool
    book_words: str
    own_words: str
    band_words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewRates:
    """A crew's rates at all it has hours behind; `note` says what there is to say of it where it has none.

    `pinned` are sentences: each rate set by hand, with what was learned beside it.
    """

    crew: str
    people: int
    jobs: int
    rows: tuple[RateRow, ...]
    sub: bool
    note: str
    pinned: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AskRow:
    """A record of hours that is odd beside the rest, to be asked about."""

    job: int
    crew: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RatesView:
    """Rates of the crews. `ask` are records to ask about, `conditions` what work took beyond the book's factors."""

    jobs: int
    days: int
    note: str
    crews: tuple[CrewRates, ...]
    ask: tuple[AskRow, ...]
    conditions: tuple[str, ...]
    apart: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseHours:
    """A phase's labor minutes of one person as estimated and as they most likely were, with the 80 % band."""

    phase: str
    estimated_min: float
    likely_min: float
    low_min: float
    high_min: float
    sure: bool
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AgainstView:
    """A job's estimate against its hours up to `last`; `open` are tasks not done yet, whose estimates are left out."""

    job: int
    title: str
    last: date
    estimated_min: float
    taken_min: float
    sentence: str
    phases: tuple[PhaseHours, ...]
    apart: tuple[str, ...]
    open: int
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseAhead:
    """A phase's open work in labor minutes of one person by the book."""

    phase: str
    book_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewAhead:
    """What a job's open work takes a crew, in labor minutes of one person: likely, the 80 % band, likely by phase.

    `phases` are in the order of the view's; medians, so they add up to a little less than the whole. `jobs` counts the jobs
    whose hours tell the crew's pace.
    """

    crew: str
    likely_min: float
    low_min: float
    high_min: float
    jobs: int
    sentence: str
    phases: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AheadView:
    """A job's open work by the book and by each crew's own pace."""

    job: int
    title: str
    tasks: int
    book_min: float
    phases: tuple[PhaseAhead, ...]
    crews: tuple[CrewAhead, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPace:
    """A job's estimate against its hours, and what is left of it; None where there is nothing to tell."""

    against: AgainstView | None
    ahead: AheadView | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LatelyView:
    """The jobs whose hours tell something, each with its estimate against them, the one worked last first.

    `more` says that there are jobs before them; `note` says what there is to say where there is none.
    """

    jobs: tuple[AgainstView, ...]
    more: bool
    note: str
