"""The recommended weight of one two-handed lift.

Source: revised NIOSH lifting equation, DHHS/NIOSH 94-110 (1994, revised 2021), read in secondary texts (the row of poor coupling is from
memory). It speaks of one two-handed lift: not of carrying, carts, stairs, kneeling, one hand or two people.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

LOAD_LB: Final = 51.0
NEAREST_IN: Final = 10.0
FARTHEST_IN: Final = 25.0
HIGHEST_IN: Final = 70.0
SHORTEST_IN: Final = 10.0
LONGEST_IN: Final = 70.0
MOST_TURN: Final = 135.0
KNUCKLES_IN: Final = 30.0


class Grip(StrEnum):
    """How well the hands hold it."""

    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"


_COUPLING: Final = {Grip.GOOD: (1.0, 1.0), Grip.FAIR: (0.95, 1.0), Grip.POOR: (0.90, 0.90)}
"""Below 30 in, and from there up."""
_PER_MIN: Final = {
    1: {0.2: 1.00, 0.5: 0.97, 1: 0.94, 2: 0.91, 3: 0.88, 4: 0.84, 5: 0.80, 6: 0.75, 7: 0.70, 8: 0.60, 9: 0.52, 10: 0.45},
    2: {0.2: 0.95, 0.5: 0.92, 1: 0.88, 2: 0.84, 3: 0.79},
    8: {0.2: 0.85, 0.5: 0.81},
}  # fmt: skip
"""By hours of lifting up to, then by lifts a minute up to; what lies beyond was not read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """A lift: inches, degrees, lifts a minute, hours.

    `reach` is from the ankles to the hands, `height` from the floor to the hands where it begins, `travel` how far up or down it
    goes, `turn` how far the body is twisted.
    """

    reach: float
    height: float
    travel: float
    turn: float = 0.0
    per_min: float = 0.2
    hours: float = 1.0
    grip: Grip = Grip.FAIR


def frequency(per_min: float, hours: float) -> float | None:
    """Return the multiplier of how often and how long; None beyond what could be read of the table.

    Between two rates of the table the higher one counts.
    """
    for longest, rates in _PER_MIN.items():
        if hours <= longest:
            return next((factor for most, factor in rates.items() if per_min <= most), None)
    return None


def recommended_weight(lift: Lift) -> float | None:
    """Return the recommended weight in lb, 0 where the equation's limits are passed; None where its table could not be read so far."""
    often = frequency(lift.per_min, lift.hours)
    if often is None:
        return None
    if lift.reach > FARTHEST_IN or lift.height > HIGHEST_IN or lift.travel > LONGEST_IN or lift.turn > MOST_TURN:
        return 0.0
    low, high = _COUPLING[lift.grip]
    return (
        LOAD_LB
        * (NEAREST_IN / max(lift.reach, NEAREST_IN))
        * (1 - 0.0075 * abs(lift.height - KNUCKLES_IN))
        * (1.0 if lift.travel < SHORTEST_IN else 0.82 + 1.8 / lift.travel)
        * (1 - 0.0032 * lift.turn)
        * often
        * (low if lift.height < KNUCKLES_IN else high)
    )
