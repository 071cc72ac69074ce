"""What stands between shop and customer beside the contract: walk-throughs, change orders, money, what was told."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from crewjobs.domain.errors import Refused


class Walk(StrEnum):
    """The two walk-throughs with the customer."""

    BEFORE = "before"
    AFTER = "after"


@dataclass(frozen=True, slots=True, kw_only=True)
class Damage:
    """Damage seen in a place, with a photo's path and the SHA-256 of its bytes, where there is one."""

    place: str
    what: str
    photo: str = ""
    sha256: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkThrough:
    """A walk-through with the customer.

    Before: color, direction of the rows, lot, damage already there. After: name, day, punch list, and whether
    one full carton and the care sheet were left.
    """

    walk: Walk
    at: datetime
    name: str
    color: str = ""
    direction: str = ""
    lot: str = ""
    damage: tuple[Damage, ...] = ()
    punch: tuple[str, ...] = ()
    carton_left: bool = False
    care_sheet: bool = False

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise Refused("a walk-through names who of the house walked along.")


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeOrder:
    """Extra work or money: asked on a day, agreed or declined on a day by somebody, or not yet. Money in cents.

    `minutes` are labor of one person where it was drafted with them. While it is only `drafted`, nobody was asked: `asked` is the
    day of the draft then.
    """

    what: str
    cents: int
    asked: date
    agreed: date | None = None
    by: str = ""
    minutes: int = 0
    drafted: bool = False
    declined: date | None = None

    def __post_init__(self) -> None:
        if not self.what.strip():
            raise Refused("a change order says what it is for.")
        if self.declined is not None and (self.agreed is not None or self.drafted or self.declined < self.asked):
            raise Refused("a change order is declined after it was asked, and not agreed too.")
        if self.drafted and self.agreed is not None:
            raise Refused("a change order that is agreed is no draft any more.")
        if self.agreed is not None and self.agreed < self.asked:
            raise Refused(f"a change order asked on {self.asked} cannot be agreed before, on {self.agreed}.")


class Money(StrEnum):
    """The three facts of money."""

    DEPOSIT = "deposit in"
    ASKED = "balance asked"
    RECEIVED = "balance received"


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyFact:
    """One of the facts, on a day; `cents` is 0 where the amount was not noted."""

    fact: Money
    day: date
    cents: int = 0

    def __post_init__(self) -> None:
        if self.cents < 0:
            raise Refused(f"{self.fact}: the amount is zero or more.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """The day of the finish that the customer was told; None: that no day is known, or nobody is needed, or `off`: that the job is called off.

    With the customer, of a job that is over, everybody else who counted on it was told.
    """

    at: datetime
    finish: date | None
    off: bool = False


class VisitKind(StrEnum):
    """An hour or two at a house with a reason of its own."""

    MEASURING = "measuring"
    SITE_CHECK = "site check"
    CARRY_IN = "carry-in"
    READING = "reading"
    WALK_THROUGH = "walk-through"
    PUNCH_LIST = "punch list"
    CALLBACK = "callback"


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallVisit:
    """A small visit: who goes, from when (UTC) for how many minutes, and why. It never counts in a crew's pace."""

    kind: VisitKind
    who: str
    start: datetime
    minutes: int
    why: str = ""
    done_at: datetime | None = None

    def __post_init__(self) -> None:
        if not 15 <= self.minutes <= 4 * 60:
            raise Refused(f"{self.kind}: {self.minutes} minutes; a small visit takes 15 minutes to 4 hours.")
        if not self.who.strip():
            raise Refused(f"{self.kind}: say who goes.")
