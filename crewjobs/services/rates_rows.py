"""What rates show: frozen rows, every word ready to print."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class RateRow:
    """A crew's pace at one template beside the book's.

    `book`, `own`, `low` and `high` are amounts of `unit` that one person does in a man-day of 8 h, the more the quicker; where a
    task has no such unit they are its minutes of one person. `factor` is how many times the book's minutes the crew takes.
    The band holds 80 %: from the slower to the quicker amount, or from the fewer to the more minutes.
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
class RatesView:
    """Rates of the crews. `ask` are records to ask about, `conditions` what work took beyond the book's factors."""

    jobs: int
    days: int
    note: str
    crews: tuple[CrewRates, ...]
    ask: tuple[str, ...]
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
    """A job's estimate against its hours; `open` are tasks not done yet, whose estimates are left out."""

    job: int
    title: str
    estimated_min: float
    taken_min: float
    sentence: str
    phases: tuple[PhaseHours, ...]
    apart: tuple[str, ...]
    open: int
    note: str
