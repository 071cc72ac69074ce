"""Limits by year, area and airflow, inclusive and exclusive as the rules have them."""

from __future__ import annotations

import pytest

from crewjobs.domain.house import Covering, Layer, Site
from crewjobs.engines.safety.limits import base_length_ft, grinder_airflow, over_painted_limit, refer_mold


@pytest.mark.parametrize(("year", "presumed"), [(1980, True), (1981, False), (None, True)])
def test_old_resilient_layers_are_presumed_to_hold_asbestos(year: int | None, presumed: bool) -> None:
    """29 CFR 1926.1101(b), (k): no later than 1980, the year itself included; nobody knows is old."""
    assert Layer(covering=Covering.SHEET_VINYL, year=year).suspect is presumed
    assert not Layer(covering=Covering.CARPET, year=year).suspect


@pytest.mark.parametrize(("built", "applies"), [(1977, True), (1978, False), (None, True)])
def test_the_lead_rule_is_for_houses_built_before_1978(built: int | None, applies: bool) -> None:
    """40 CFR 745: before 1978, the year itself not."""
    assert Site(address="4 Ferry Lane", zone="America/Chicago", year_built=built).lead_rule is applies


@pytest.mark.parametrize(("area", "over"), [(6.0, False), (6.01, True)])
def test_six_square_feet_of_paint(area: float, over: bool) -> None:
    """40 CFR 745.83: more than 6 ft² in a room."""
    assert over_painted_limit(area) is over


@pytest.mark.parametrize(("height", "feet"), [(3.5, 20.57), (5.25, 13.71), (7.25, 9.93)])
def test_how_much_base_that_is(height: float, feet: float) -> None:
    """Derived from 6 ft²."""
    assert base_length_ft(height) == pytest.approx(feet, abs=0.01)


@pytest.mark.parametrize(("area", "refer"), [(9.9, False), (10, True)])
def test_ten_square_feet_of_mold(area: float, refer: bool) -> None:
    """EPA mold guidance: under 10 ft² a specialist is not presumed needed; who decides is not the program."""
    assert refer_mold(area) is refer


@pytest.mark.parametrize(("wheel", "cfm"), [(4.5, 112.5), (5, 125), (7, 175)])
def test_grinders(wheel: float, cfm: float) -> None:
    """29 CFR 1926.1153 Table 1 (xii): 25 cfm for an inch of wheel (5 in read in secondary texts)."""
    assert grinder_airflow(wheel) == cfm
