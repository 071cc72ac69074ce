"""How much wood and vinyl grow and shrink.

Sources: wood by the USDA FPL Wood Handbook (FPL-GTR-190), Eq. 13-2 and Table 13-5, for moistures from 6 to 14 %; vinyl by the linear
expansion of rigid PVC in engineering handbook tables and pipe design texts. What a mineral-filled core does is lower: the maker says.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from crewjobs.domain.species import Cut as Cut

MOISTURES: Final = (6.0, 14.0)
"""% between which the coefficients hold."""
PVC_PER_F: Final = 3.0e-5
"""Per °F: 0.36 in for 10 °F and 100 ft."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coefficients:
    """Change of width for 1 % of moisture, as a share of the width; None where no table gives it."""

    quarter: float | None
    flat: float
    source: str = "USDA FPL Wood Handbook, FPL-GTR-190, Table 13-5"


_EARLIER: Final = "earlier edition of the Wood Handbook, in trade tables"
SPECIES: Final = {
    "red oak": Coefficients(quarter=0.00158, flat=0.00369),
    "white oak": Coefficients(quarter=0.00180, flat=0.00365),
    "hard maple": Coefficients(quarter=0.00165, flat=0.00353),
    "soft maple": Coefficients(quarter=0.00137, flat=0.00289),
    "yellow birch": Coefficients(quarter=0.00256, flat=0.00338),
    "white ash": Coefficients(quarter=0.00169, flat=0.00274),
    "beech": Coefficients(quarter=0.00190, flat=0.00431),
    "black cherry": Coefficients(quarter=0.00126, flat=0.00248),
    "black walnut": Coefficients(quarter=0.00190, flat=0.00274),
    "pecan": Coefficients(quarter=0.00169, flat=0.00315),
    "hickory": Coefficients(quarter=None, flat=0.00411, source=_EARLIER),
    "douglas-fir": Coefficients(quarter=None, flat=0.00267, source=_EARLIER),
    "southern yellow pine": Coefficients(quarter=None, flat=0.00265, source=_EARLIER),
}


def coefficient(species: str, cut: Cut) -> float | None:
    """Return the change of width for 1 % of moisture, None where no table gives it.

    Raises:
        KeyError: the species is not listed.
    """
    found = SPECIES[species]
    return found.flat if cut is Cut.FLAT else found.quarter


def wood_movement(width: float, per_percent: float, before: float, after: float) -> float:
    """Return how much wider a board gets, in the unit of its width; negative where it shrinks.

    An upper bound for a laid floor: boards restrain one another.

    Args:
        width: of the board.
        per_percent: as `coefficient` gives it.
        before: its moisture, %, within `MOISTURES`.
        after: the moisture it comes to, %, within `MOISTURES`.

    Raises:
        ValueError: a moisture outside of what the coefficients hold for.
    """
    low, high = MOISTURES
    if not (low <= before <= high and low <= after <= high):
        raise ValueError(f"moistures {before:g} and {after:g} %: the coefficients hold from {low:g} to {high:g} %")
    return width * per_percent * (after - before)


def vinyl_movement(length: float, before_f: float, after_f: float, per_f: float = PVC_PER_F) -> float:
    """Return how much longer a run of vinyl gets, in the unit of its length, from a temperature in °F to another."""
    return length * per_f * (after_f - before_f)
