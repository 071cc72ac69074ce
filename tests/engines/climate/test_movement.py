"""Movement of wood and vinyl against worked examples."""

from __future__ import annotations

import pytest

from crewjobs.domain.species import SPECIES
from crewjobs.engines.climate.movement import Cut, coefficient, vinyl_movement, wood_movement


@pytest.mark.parametrize(
    ("width", "per_percent", "before", "after", "change", "off"),
    [
        (9.15, 0.00245, 8, 11, 0.067, 0.001),  # white fir, FPL-GTR-190 p. 13-19 (8 % MEMORY)
        (232, 0.00245, 8, 11, 1.7, 0.05),  # the same in mm
        (5, 0.00129, 6, 9, 0.019, 0.001),  # mesquite, a trade text built on the Handbook's table
        (8, 0.0026, 6, 12, 0.1248, 0.0001),  # red alder, a magazine's text (6 points)
        (5, 0.00369, 6, 10, 0.0738, 0.0001),  # red oak by Table 13-5, derived
        (2.25, 0.00369, 6, 10, 0.0332, 0.0001),  # red oak strip, derived
    ],
)
def test_worked_examples_of_wood(
    width: float, per_percent: float, before: float, after: float, change: float, off: float
) -> None:
    """Eq. 13-2."""
    assert wood_movement(width, per_percent, before, after) == pytest.approx(change, abs=off)


def test_drying_shrinks() -> None:
    """Red oak, 5 in, flat, from 11.2 % to 8 %: about 0.06 in narrower."""
    flat = coefficient("red oak", Cut.FLAT)
    assert flat is not None
    assert wood_movement(5, flat, 11.2, 8) == pytest.approx(-0.06, abs=0.002)


@pytest.mark.parametrize(("before", "after"), [(5.9, 8), (8, 14.1)])
def test_outside_of_what_the_table_holds_for(before: float, after: float) -> None:
    """Never silently."""
    with pytest.raises(ValueError, match="from 6 to 14"):
        wood_movement(5, 0.00369, before, after)


def test_what_no_table_gives_is_not_made_up() -> None:
    """True hickory has no coefficient of quarter-sawn boards; a species not listed has none at all."""
    assert coefficient("hickory", Cut.QUARTER) is None
    with pytest.raises(KeyError):
        coefficient("ironwood", Cut.FLAT)


@pytest.mark.parametrize(
    ("length", "degrees", "per", "change", "off"),
    [
        (500 * 12, 60, 3.0e-5, 10.8, 0.01),  # pipe design text
        (6, 60, 50.4e-6, 0.0181, 0.0001),  # engineering handbook table, metres and °C
        (40 * 12, 20, 3.0e-5, 0.288, 0.001),  # derived
        (100 * 12, 10, 3.0e-5, 0.360, 0.001),  # pipe design texts: 0.360 in for 10 °F and 100 ft
    ],
)
def test_worked_examples_of_vinyl(length: float, degrees: float, per: float, change: float, off: float) -> None:
    """Length times coefficient times degrees."""
    assert vinyl_movement(length, 60, 60 + degrees, per) == pytest.approx(change, abs=off)


WHOLE_TABLE = {
    # FPL-GTR-190 Table 13-5, p. 13-18: radial (quarter), tangential (flat), per 1 % of moisture
    "red oak": (0.00158, 0.00369),
    "white oak": (0.00180, 0.00365),
    "hard maple": (0.00165, 0.00353),
    "soft maple": (0.00137, 0.00289),
    "yellow birch": (0.00256, 0.00338),
    "white ash": (0.00169, 0.00274),
    "beech": (0.00190, 0.00431),
    "black cherry": (0.00126, 0.00248),
    "black walnut": (0.00190, 0.00274),
    "pecan": (0.00169, 0.00315),
    # an earlier edition, through trade tables
    "hickory": (None, 0.00411),
    "douglas-fir": (None, 0.00267),
    "southern yellow pine": (None, 0.00265),
}


@pytest.mark.parametrize("species", SPECIES)
def test_every_species_of_the_table(species: str) -> None:
    """Each as printed there; none beyond it."""
    assert (coefficient(species, Cut.QUARTER), coefficient(species, Cut.FLAT)) == WHOLE_TABLE[species]
