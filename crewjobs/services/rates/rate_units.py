"""A rate in the unit the shop reads: an amount one person does in a man-day, or minutes of what has no amount; told, and read back."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import inf, isfinite
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Driver, TaskTemplate
from crewjobs.domain.units import FOOT, MILLIMETRE, UnitSystem, quoted
from crewjobs.engines.estimating.estimate import per_man_day

FOOT_M: Final = FOOT / (1000 * MILLIMETRE)
POUND_KG: Final = 0.45359237
MINUTES: Final = "min"
TIMES: Final = "× book"

_METRIC: Final = {
    Driver.AREA: (FOOT_M**2, "m²"),
    Driver.PERIMETER: (FOOT_M, "m"),
    Driver.RUNNING_FEET: (FOOT_M, "m"),
    Driver.SEAMS: (FOOT_M, "seam m"),
    Driver.POUNDS: (POUND_KG, "kg"),
}
_TYPED: Final[dict[str, str]] = {
    "ft2": "ft²", "sqft": "ft²", "sq ft": "ft²", "sf": "ft²", "m2": "m²", "sqm": "m²", "feet": "ft", "foot": "ft",
    "lbs": "lb", "minutes": "min", "minute": "min", "x": TIMES, "×": TIMES, "times": TIMES, "x book": TIMES, "× book": TIMES,
}  # fmt: skip
_RATE: Final = re.compile(r"(?P<ahead>[x×])?\s*(?P<amount>\d{1,6}(?:[.,]\d{1,3})?)\s*(?P<unit>[^\d\s].*)?")
_A_DAY: Final = re.compile(r"\s*(?:/|per|a)\s*(?:man-?)?day$", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class RateUnit:
    """How a template's rate is told: `book` in `unit`, the more the quicker with `a_day`, else the more the slower."""

    book: float
    unit: str
    a_day: bool

    def own(self, factor: float) -> float:
        """Return the amount or the minutes of a crew that takes so many times the book's time."""
        return self.book / factor if self.a_day else self.book * factor

    def number(self, amount: float) -> str:
        """Return an amount as it is told in this unit, without it."""
        if self.a_day:
            return f"{amount:,.0f}" if amount >= 20 else f"{amount:.1f}"
        return f"{amount:.0f}" if self.unit == MINUTES else f"{amount:.2f}"

    def band(self, low: float, high: float) -> str:
        """Return a band as it is told in this unit, without it."""
        return f"{self.number(low)}–{self.number(high)}"

    def words(self, amount: float) -> str:
        """Return an amount with its unit, as of a man-day where it is."""
        return f"{self.number(amount)} {self.unit}{' a man-day' if self.a_day else ''}"


def unit_of(template: TaskTemplate | None, units: UnitSystem) -> RateUnit:
    """Return how a template's rate is told in a shop; a template the catalogue lacks as times the book's."""
    amount = per_man_day(template) if template is not None else None
    if template is None or amount is None or template.driver is Driver.CARRYING:
        minutes = template.rate.expected + template.fixed if template is not None else 0.0
        once = template is not None and template.driver is Driver.ONCE and minutes > 0
        return RateUnit(book=minutes if once else 1.0, unit=MINUTES if once else TIMES, a_day=False)
    factor, unit = (
        _METRIC[template.driver] if units == "metric" and template.driver in _METRIC else (1.0, template.driver.value)
    )
    return RateUnit(book=amount * factor, unit=unit, a_day=True)


def read_factor(text: str, template: TaskTemplate, units: UnitSystem) -> float:
    """Return how many times the book's time a rate as typed takes: ``260``, ``260 ft2``, ``24 m2``, ``45 min``, ``1.2x``.

    A number alone is in the unit that the shop reads.

    Raises:
        Refused: it is no rate, none at all, or in a unit that this work is not counted in.
    """
    told = unit_of(template, units)
    right = f"write such as {_example(told)} or 1.2x, times the book's time"
    found = _RATE.fullmatch(_A_DAY.sub("", text.strip()))
    if found is None:
        raise Refused(f"{quoted(text)} is no rate: {right}.")
    amount = float(found["amount"].replace(",", "."))
    said = (found["unit"] or ("x" if found["ahead"] else "")).strip().casefold()
    unit = _TYPED.get(said, said)
    if not (isfinite(amount) and amount > 0):
        raise Refused(f"{quoted(text)}: a rate is more than 0; {right}.")
    if unit == TIMES or (not unit and told.unit == TIMES):
        return amount
    for system in (units, "us", "metric"):
        known = unit_of(template, system)
        if unit in (
            "",
            known.unit,
            known.unit.removeprefix("running ").removeprefix("seam "),
            known.unit.removesuffix("s"),
        ):
            return known.book / amount if known.a_day else amount / known.book
    raise Refused(f"{quoted(text)}: {template.title} is not counted in {quoted(said)}; {right}.")


def _example(told: RateUnit) -> str:
    amount = told.book if told.book < inf else 1.0
    plain = f"{amount:.0f}" if amount >= 20 else f"{amount:.1f}"
    return f"{plain} {told.unit}" if told.unit != TIMES else "0.9x"
