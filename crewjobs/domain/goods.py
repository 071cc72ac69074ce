"""Goods that come beside the floor's own cartons: no clock runs on them, but what needs them waits until they are there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Final

from crewjobs.domain.bounds import MOST_GOODS
from crewjobs.domain.errors import Refused
from crewjobs.domain.material import unit_of, whole_count
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall

ORDERED_IN_THE_FILE: Final = "into its order in the job file (ordered) and load it with --replace"
"""Where a job file says on which day an order was placed; a form has a field for it."""


class Goods(StrEnum):
    """What is ordered beside the planks."""

    PAD = "pad"
    GLUE = "glue"
    TRANSITION = "transition"
    STAIR_NOSE = "stair nose"
    PLYWOOD = "plywood underlayment"
    LEVELER = "leveler"
    BASE = "base"


GOODS_UNITS: Final = {
    Goods.PAD: "rolls",
    Goods.GLUE: "pails",
    Goods.TRANSITION: "pieces",
    Goods.STAIR_NOSE: "pieces",
    Goods.PLYWOOD: "sheets",
    Goods.LEVELER: "bags",
    Goods.BASE: "pieces",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class GoodsLine:
    """One order line of goods: how many, from whom, ordered on, due at (UTC).

    `place` names the stairs, opening or room they are for; empty means wherever the job needs such goods.
    A `special` order is not placed before the deposit is in.
    """

    goods: Goods
    count: int
    place: str = ""
    supplier: str = ""
    ordered: date | None = None
    due: datetime | None = None
    special: bool = False

    def __post_init__(self) -> None:
        if not 1 <= self.count <= MOST_GOODS:
            raise Refused(f"order of {quoted(self.name)}: {self.count} {self.unit}; it is 1 to {MOST_GOODS}.")

    @property
    def name(self) -> str:
        """Return its name within its job, such as ``stair nose (main stairs)``."""
        return f"{self.goods} ({self.place})" if self.place else str(self.goods)

    @property
    def unit(self) -> str:
        """Return what it is counted in."""
        return GOODS_UNITS[self.goods]

    def kept(self, typed: float) -> int:
        """Return a count of it as typed.

        Raises:
            Refused: it is no whole number.
        """
        return whole_count(typed, self.unit, self.name)

    def counted(self, count: int) -> str:
        """Return a count of it with its unit: ``1 piece``, ``14 pieces``."""
        return f"{count} {unit_of(count, self.unit)}"

    def late_order(self, zone: str) -> str:
        """Return a sentence if it is due before it was ordered, by the site's calendar; empty if not."""
        early = early_due(self.ordered, self.due, zone)
        return f"order of {quoted(self.name)}: {early}" if early else ""


def early_due(ordered: date | None, due: datetime | None, zone: str) -> str:
    """Return what is wrong if something is due before it was ordered, by the calendar of a zone; empty if nothing."""
    if ordered and due and to_wall(zone, due).date() < ordered:
        return f"due before it was ordered on {ordered}: put right the day it was ordered or the day it comes."
    return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GoodsCome:
    """Goods of an order line that came; `line` is the line's name."""

    line: str
    count: int
    at: datetime

    def __post_init__(self) -> None:
        if self.count < 1:
            raise Refused(f"{quoted(self.line)}: {self.count} is not a delivery: give how many came, 1 or more.")


@dataclass(frozen=True, slots=True, kw_only=True)
class WentBack:
    """Cartons of a material that went back to its supplier at an instant: damaged ones, and full ones left over."""

    material: str
    count: int
    at: datetime

    def __post_init__(self) -> None:
        if self.count < 1:
            raise Refused(f"{quoted(self.material)}: {self.count} is not a return: give how many went back, 1 or more.")


@dataclass(frozen=True, slots=True, kw_only=True)
class NewDate:
    """What a supplier says about what has not come: back-ordered until `due` (UTC), or None where nobody can say.

    `line` is the name of a material or of a goods line; the latest word counts.
    """

    line: str
    at: datetime
    due: datetime | None
    because: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotUse:
    """The lead's word on which rooms (or stairs) a lot goes into; no rooms means all that the material is laid in.

    With `because` it is laid although it is little, differs in color, or shares a room with another lot.
    """

    material: str
    lot: str
    rooms: tuple[str, ...] = ()
    because: str = ""
