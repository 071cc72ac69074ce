"""Slab tests against the standards' worked values."""

from __future__ import annotations

import pytest

from crewjobs.engines.climate.slab_tests import DOME_FT2, NET_DISH_FT2, probe_count, probe_depth, vapor_emission


@pytest.mark.parametrize(
    ("area_ft2", "holes"), [(1, 3), (200, 3), (1000, 3), (1001, 4), (2000, 4), (2500, 5), (5400, 8)]
)
def test_holes(area_ft2: float, holes: int) -> None:
    """ASTM F2170 sec. 10.1: three for the first 1000 ft², one for each further 1000 ft² begun."""
    assert probe_count(area_ft2) == holes


def test_depth() -> None:
    """ASTM F2170 sec. 10.2: a 4 in slab, 1.6 in where it dries from one side, 0.8 in from both."""
    assert probe_depth(4, 1) == pytest.approx(1.6)
    assert probe_depth(4, 2) == pytest.approx(0.8)


@pytest.mark.parametrize(
    ("grams", "hours", "area", "pounds", "off"),
    [
        (3.0, 72, NET_DISH_FT2, 4.955, 0.01),  # F1869-16a, worked text
        (3.0, 72, DOME_FT2, 4.536, 0.01),  # the older form; its text prints 4.54
        (1.8, 72, NET_DISH_FT2, 2.973, 0.001),  # derived
        (1.5, 60, NET_DISH_FT2, 2.973, 0.001),  # derived
    ],
)
def test_vapor(grams: float, hours: float, area: float, pounds: float, off: float) -> None:
    """Pounds per 1000 ft² and 24 h."""
    assert vapor_emission(grams, hours, area) == pytest.approx(pounds, abs=off)
