"""How many boards are read, and how far apart they and the subfloor may be."""

from __future__ import annotations

import pytest

from crewjobs.engines.climate.boards import boards_wanted, points_apart, subfloor_wanted
from crewjobs.engines.climate.slab_tests import dish_count


@pytest.mark.parametrize(("area", "boards", "places"), [(1000, 40, 20), (500, 20, 10), (120, 5, 3), (10, 3, 3)])
def test_readings_of_an_area(area: float, boards: int, places: int) -> None:
    """National wood flooring installation guidelines, in secondary texts: 40 boards and 20 places for 1000 ft²; three at least
    (common practice, no source)."""
    assert (boards_wanted(area), subfloor_wanted(area)) == (boards, places)


@pytest.mark.parametrize(("width", "points"), [(2.25, 4), (2.99, 4), (3, 2), (7, 2)])
def test_strips_and_planks(width: float, points: float) -> None:
    """The same guidelines: 4 points under 3 in, 2 from 3 in on."""
    assert points_apart(width) == points


@pytest.mark.parametrize(("area", "dishes"), [(1000, 3), (1001, 4)])
def test_dishes(area: float, dishes: int) -> None:
    """ASTM F1869: three for the first 1000 ft², then one for each further 1000 ft² (MEMORY)."""
    assert dish_count(area) == dishes
