"""Whether a house is ready for the crew, and who else it waits for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted


class ReadyItem(StrEnum):
    """What is asked before cartons or a crew are sent to a house."""

    AIR = "air"
    PAINT = "paint"
    EMPTIED = "emptied"
    POWER = "power"
    KEY = "key"


READY_WORDS: Final = {
    ReadyItem.AIR: "heat or air running",
    ReadyItem.PAINT: "wet work and paint done",
    ReadyItem.EMPTIED: "rooms emptied of what is the customer's to move",
    ReadyItem.POWER: "power and water",
    ReadyItem.KEY: "somebody or a key there",
}
"""The items as they are asked."""

NOT_READY_WORDS: Final = {
    ReadyItem.AIR: "heat or air is not running",
    ReadyItem.PAINT: "wet work or paint is not done",
    ReadyItem.EMPTIED: "rooms are not emptied",
    ReadyItem.POWER: "there is no power or water",
    ReadyItem.KEY: "nobody and no key is there",
}
"""The items as they are missing."""

ASK_AHEAD_DAYS: Final = 2
"""Working days before cartons or a crew come; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyAsked:
    """The customer (or who has the key) was asked whether the house will be ready."""

    at: datetime
    of: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyAnswer:
    """An answer to one item: ready or not, by whom, and the instant it will be, where that was said.

    `since` is since when it is so, where that was said (air running since).
    """

    item: ReadyItem
    ready: bool
    at: datetime
    by: str
    until: datetime | None = None
    since: datetime | None = None

    def __post_init__(self) -> None:
        if self.ready and self.until is not None:
            raise Refused(f"house ready, {self.item}: it is ready or will be, not both.")
        if self.since is not None and self.since > self.at:
            raise Refused(f"house ready, {self.item}: it cannot be so since later than it was said.")


@dataclass(frozen=True, slots=True, kw_only=True)
class DryRun:
    """A crew sent to a house that was not ready: when it stood there, and why it could not work."""

    at: datetime
    crew: str
    because: str
    item: ReadyItem | None = None

    def __post_init__(self) -> None:
        if not self.because.strip():
            raise Refused("a dry run is recorded with its reason.")


class Other(StrEnum):
    """Who else a job may wait for."""

    PLUMBER = "plumber"
    ELECTRICIAN = "electrician"
    PAINTER = "painter"
    INSPECTOR = "inspector"
    LABORATORY = "laboratory"
    SPECIALIST = "specialist"
    ASSOCIATION = "association"
    CUSTOMER = "customer"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitingOn:
    """Something asked of somebody else. `holds` are the tasks that may not start before it is there; empty holds none.

    `promised` is the instant it was promised for, `chased` the days it was asked for again, `came_at` when it was there.
    `asked_at` is the instant from which it is waited for, None where only its day is known. `usual`: it is waited for because of a
    finding, and nobody has promised anything: `promised` is when such an answer is usually there, and the first day of `chased` is
    the day on which somebody asked at all.
    """

    who: Other
    what: str
    asked: date
    promised: datetime | None = None
    chased: tuple[date, ...] = ()
    holds: tuple[int, ...] = ()
    came_at: datetime | None = None
    asked_at: datetime | None = None
    usual: bool = False

    def __post_init__(self) -> None:
        if not self.what.strip():
            raise Refused(f"waiting on the {self.who}: say what for.")
        if any(day < self.asked for day in self.chased):
            raise Refused(
                f"waiting on the {self.who} for {quoted(self.what)}: chased before it was asked on {self.asked}."
            )
        if list(self.chased) != sorted(self.chased):
            raise Refused(
                f"waiting on the {self.who} for {quoted(self.what)}: the days it was chased are not in order."
            )

    @property
    def to_be_asked(self) -> bool:
        """Return whether nobody is known to have asked yet."""
        return self.usual and not self.chased

    @property
    def asked_first(self) -> date | None:
        """Return the day it was asked for, None while nobody is known to have asked."""
        return next(iter(self.chased), None) if self.usual else self.asked

    @property
    def asked_again(self) -> tuple[date, ...]:
        """Return the days it was asked for again."""
        return self.chased[1:] if self.usual else self.chased
