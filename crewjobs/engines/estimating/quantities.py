"""How much of it there is: areas, walls less doors, cartons, and labor in man-days."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil
from typing import Final

from crewjobs.domain.house import Covering, Stairs
from crewjobs.domain.tasks import ThreePoint
from crewjobs.domain.units import FOOT

USUAL_WASTE: Final = 0.10
"""What is bought over the floor's area: common practice, no source."""
SPARE_CARTONS: Final = 1
"""One carton stays in the house: common practice, no source."""
STEP_FT2: Final = 4.5
"""Floor on one step, tread and riser of a 3 ft stair: common practice, no source."""
STEP_RUN_IN: Final = 18.0
"""Tread and riser together, of a step whose width was measured: common practice, no source."""
LB_PER_FT2: Final = {
    Covering.CARPET: 0.9,
    Covering.GLUED_CARPET: 0.7,
    Covering.SHEET_VINYL: 0.8,
    Covering.VINYL_TILE: 1.4,
    Covering.GLUED_VINYL: 1.1,
    Covering.CLICK_VINYL: 1.8,
    Covering.LAMINATE: 1.5,
    Covering.FLOATING_WOOD: 1.7,
    Covering.NAILED_WOOD: 3.0,
    Covering.GLUED_WOOD: 2.2,
    Covering.CERAMIC_TILE: 5.0,
    Covering.PLYWOOD: 0.9,
}
"""What a square foot weighs on its way out, with pad, glue, nails or mortar: common practice, no source."""
TRIP_LB: Final = 40.0
"""A bag or bundle of one person: common practice, no source."""
CARTON_LB: Final = 35.0
"""The carton that carry-in minutes are meant for, and of a material whose weight is not given: common practice, no source."""
SHEET_FT2: Final = 32.0
"""A sheet of plywood, 4 ft by 8 ft."""
FLIGHT: Final = ThreePoint(low=0.4, likely=0.7, high=1.2)
"""Minutes of one person for a flight of stairs, there and back with one load: common practice, no source."""
LEVELER_FT3: Final = 0.45
"""What a 50 lb bag of leveler fills; common practice, no source, the bag's label rules."""
MAN_DAY_MIN: Final = 8 * 60
"""A man-day is always 8 h, whatever the shift's length. Source: NAVEDTRA 14045, p. 2-27."""


def whole_units(need: float, cover: float) -> int:
    """Return how many whole cartons, pails or rolls a need takes; an exact fit takes no extra one.

    Raises:
        ValueError: `cover` is not above zero or `need` is negative.
    """
    if cover <= 0 or need < 0:
        raise ValueError("a unit covers more than nothing and a need is not negative")
    return ceil(round(need / cover, 9))


def cartons_needed(area_ft2: float, carton_ft2: float, *, waste: float = USUAL_WASTE, extra: int = 0) -> int:
    """Return the cartons for an area in ft²: waste multiplied on, rounded up once at the end, then `extra`."""
    return whole_units(area_ft2 * (1 + waste), carton_ft2) + extra


def step_ft2(stairs: Stairs) -> float:
    """Return the floor on one step in ft²: by its width where that was measured."""
    return STEP_FT2 if stairs.width is None else stairs.width / FOOT * STEP_RUN_IN / 12


def steps_ft2(stairs: Stairs) -> float:
    """Return the floor on all steps of stairs in ft²: a whole tread at each flight's last step too, where there is but a nose."""
    return step_ft2(stairs) * stairs.steps


def leveler_bags(area_ft2: float, depth_in: float) -> int:
    """Return the 50 lb bags of leveler for an area in ft² poured to a mean depth in inches."""
    return whole_units(area_ft2 * depth_in / 12, LEVELER_FT3)


def trips(weight_lb: float) -> int:
    """Return the trips of one person for a weight that can be shared out into bags and bundles."""
    return whole_units(weight_lb, TRIP_LB)


def carton_weight_factor(carton_lb: float | None) -> float:
    """Return how much longer a carton of this weight takes to carry than the usual one; never below 1."""
    return max(1.0, (carton_lb or CARTON_LB) / CARTON_LB)


def base_length(walls: Iterable[int], openings: Iterable[int]) -> int:
    """Return the length of base: all walls (both faces of partitions) less the openings, never below 0.

    Lengths in, lengths out, in one unit. Source: a college text on estimating, p. 169 (trade-facts 5.2).
    """
    return max(0, sum(walls) - sum(openings))


def man_days(labor_min: float, delay_factor: float = 1.0) -> float:
    """Return labor minutes of one person as man-days of 8 h. Source: NAVEDTRA 14045, p. 2-27."""
    return labor_min / MAN_DAY_MIN * delay_factor


def man_day_equivalent(shift_h: float, *, lunch_h: float = 0, travel_h: float = 0, breaks_h: float = 0) -> float:
    """Return how many man-days one person's shift is. Source: NAVEDTRA 14045, p. 2-28 to 2-29."""
    return (shift_h - lunch_h - travel_h - breaks_h) / 8


def duration_days(days: float, crew: int, *, availability: float = 1.0, equivalent: float = 1.0) -> float:
    """Return how many working days a crew takes for so many man-days; whole days are this rounded up.

    `availability` is the share of the crew that is really at the work, `equivalent` the man-days in one
    person's shift. Source: NAVEDTRA 14045, p. 2-28 to 2-29.

    Raises:
        ValueError: nobody is there to do it.
    """
    if crew < 1 or availability <= 0 or equivalent <= 0:
        raise ValueError("a crew has one person or more, there for part of the day")
    return days / crew / availability / equivalent
