"""How late what others bring or promise comes: the chance of it, and the days then, learned from what came of earlier dates.

The chance has a beta prior and records of kept or not; the days of what is late are exponential, their rate a gamma prior. Both are
exact: of what is still out the days so far count, and that it is not over (a censored exponential). Whoever has a name (a
supplier, the plumber) is judged from all others of the kind, worth some records, and from what they did themselves.
Source: Gelman and others, Bayesian Data Analysis, 2013, 2.4 to 2.6: binomial and exponential models (MEMORY).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from math import isfinite
from typing import Final

from crewjobs.domain.errors import Refused


class WordKind(StrEnum):
    """Whose word a date is."""

    DELIVERY = "delivery"
    OTHERS = "others"
    HOUSE = "house"


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What came of a date that was said: late or not, and by how many days of 24 h.

    `by` is who said it, empty where nobody has a name. `over` is false for what is late and still not there: `days` are then
    those so far.
    """

    kind: WordKind
    by: str = ""
    late: bool = False
    days: float = 0.0
    over: bool = True

    def __post_init__(self) -> None:
        if not (isfinite(self.days) and self.days >= 0) or (self.days > 0 and not self.late):
            raise Refused(f"{self.kind}: {self.days:g} days late; they are 0 or more, and 0 for what came in time.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Late:
    """How late something comes, as far as it is known: a beta of the chance, a gamma of the rate a day at which what is late comes.

    `records` are the dates behind it and `lates` those of them that were not kept.
    """

    late: float
    kept: float
    came: float
    days: float
    records: int = 0
    lates: int = 0

    @property
    def chance(self) -> float:
        """Return the chance that it comes late."""
        return self.late / (self.late + self.kept)

    @property
    def mean_days(self) -> float:
        """Return the days of 24 h on the average, where it is late: the mean of the mean days, which is that of the days."""
        return self.days / (self.came - 1)

    def learned(self, records: Iterable[Kept]) -> Late:
        """Return the same after more records, by the conjugate updates; of any one not more than `MOST_DAYS` count."""
        ones = tuple(records)
        lates = [one for one in ones if one.late]
        return Late(
            late=self.late + len(lates),
            kept=self.kept + len(ones) - len(lates),
            came=self.came + sum(one.over for one in lates),
            days=self.days + sum(min(one.days, MOST_DAYS) for one in lates),
            records=self.records + len(ones),
            lates=self.lates + len(lates),
        )


CHANCE_WORTH: Final = 4.0
DAYS_WORTH: Final = 2.0
"""How many dates, and how many late ones, what is held before any records is worth: common practice, no source. Few, so that shops whose
suppliers are far better or worse than held are soon known for it."""

MOST_DAYS: Final = 14.0
"""Days late beyond that count as so many: what came weeks late was given up or entered afterward, and work was planned around it
(common practice, no source)."""

BEFORE: Final[Mapping[WordKind, tuple[float, float]]] = {
    WordKind.DELIVERY: (0.25, 2.0),
    WordKind.OTHERS: (0.25, 2.0),
    WordKind.HOUSE: (0.2, 1.5),
}
"""By kind the chance that it comes late, and by how many days of 24 h then on the average, before any records: common practice,
no source."""


def before(chance: float, mean_days: float, *, worth: float = CHANCE_WORTH, lates: float = DAYS_WORTH) -> Late:
    """Return what is held before any records: a chance worth so many dates, mean days worth so many late ones."""
    return Late(late=chance * worth, kept=(1 - chance) * worth, came=lates + 1, days=mean_days * lates)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lateness:
    """How late each kind of thing comes, and whoever has a name."""

    kinds: Mapping[WordKind, Late] = field(
        default_factory=lambda: {kind: before(*told) for kind, told in BEFORE.items()}
    )
    names: Mapping[tuple[WordKind, str], Late] = field(default_factory=dict)

    def of(self, kind: WordKind, by: str = "") -> Late:
        """Return how late something of a kind comes from somebody; of who is not known, as the kind does."""
        return self.names.get((kind, same_name(by)), self.kinds[kind])


def same_name(name: str) -> str:
    """Return a name as it is compared, however it was typed."""
    return " ".join(name.split()).casefold()


def learn_lateness(records: Iterable[Kept]) -> Lateness:
    """Return how late all kinds and names come, from what came of earlier dates, in any order."""
    by_kind: dict[WordKind, list[Kept]] = {kind: [] for kind in WordKind}
    for one in sorted(records, key=lambda one: (one.by, one.late, one.days, one.over)):
        by_kind[one.kind].append(one)
    kinds, names = dict[WordKind, Late](), dict[tuple[WordKind, str], Late]()
    for kind, ones in by_kind.items():
        first = before(*BEFORE[kind])
        kinds[kind] = first.learned(ones)
        for name in sorted({same_name(one.by) for one in ones if one.by.strip()}):
            others = first.learned(one for one in ones if same_name(one.by) != name)
            like_them = before(others.chance, others.mean_days)
            names[kind, name] = like_them.learned(one for one in ones if same_name(one.by) == name)
    return Lateness(kinds=kinds, names=names)
