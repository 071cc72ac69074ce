"""Dew points against ASHRAE's values and an independent library."""

from __future__ import annotations

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.engines.climate.dew_point import dew_point, margin, saturation_pressure

KPA_PER_PSI = 6.894757


@pytest.mark.parametrize(
    ("temp_f", "rh", "dew"),
    [  # psychrolib and CoolProp agree on these
        (60, 50, 41.33), (65, 40, 40.12), (68, 50, 48.69), (70, 40, 44.60), (70, 50, 50.53),
        (75, 60, 60.19), (80, 65, 67.18), (85, 60, 69.56), (85, 80, 78.13), (50, 70, 40.62),
    ],
)  # fmt: skip
def test_published_states(temp_f: float, rh: float, dew: float) -> None:
    """Rooms as they are."""
    assert dew_point(temp_f, rh) == pytest.approx(dew, abs=0.1)


@pytest.mark.parametrize(("temp_f", "psia"), [(41, 0.12656), (77, 0.45973), (122, 1.79140)])
def test_saturation_pressure(temp_f: float, psia: float) -> None:
    """ASHRAE Fundamentals 2017 ch. 1 Table 3, as psychrolib's own tests have it; the Magnus form lies within 0.3 %."""
    assert saturation_pressure(temp_f) / KPA_PER_PSI == pytest.approx(psia, rel=0.003)


def test_ashraes_worked_example() -> None:
    """100 °F dry bulb, 65 °F wet bulb, 14.696 psia: RH 13 %, dew point 40 °F (ASHRAE 2017 ch. 1 Example 1).

    The humidity comes from psychrolib, which is asked for nothing else.
    """
    psychrolib.SetUnitSystem(psychrolib.IP)
    rh = 100 * psychrolib.GetRelHumFromTWetBulb(100, 65, 14.696)
    assert rh == pytest.approx(13, abs=1)
    assert dew_point(100, rh) == pytest.approx(40, abs=1)


@given(st.floats(50, 90), st.floats(20, 100))
def test_as_psychrolib_has_it(temp_f: float, rh: float) -> None:
    """Within 0.06 °F where the dew point lies above freezing; below, that library refers to ice and this to water."""
    psychrolib.SetUnitSystem(psychrolib.IP)
    theirs = psychrolib.GetTDewPointFromRelHum(temp_f, rh / 100)
    if theirs >= 32:
        assert dew_point(temp_f, rh) == pytest.approx(theirs, abs=0.06)
    assert dew_point(temp_f, rh) <= temp_f + 1e-9


def test_a_surface_over_the_dew_point() -> None:
    """Air at 100 % has its own temperature; slab 61 °F under air of 72 °F and 60 %: 3.6 °F; 64 °F under 55 %: 9 °F (by psychrolib)."""
    assert dew_point(71.5, 100) == pytest.approx(71.5, abs=0.01)
    psychrolib.SetUnitSystem(psychrolib.IP)
    for surface, rh, apart in ((61, 60, 3.6), (64, 55, 9.0)):
        assert margin(surface, 72, rh) == pytest.approx(apart, abs=0.1)
        assert margin(surface, 72, rh) == pytest.approx(
            surface - psychrolib.GetTDewPointFromRelHum(72, rh / 100), abs=0.06
        )
