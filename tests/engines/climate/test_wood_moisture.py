"""Equilibrium moisture against the Wood Handbook's table and worked values."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.engines.climate.wood_moisture import (
    equilibrium_moisture,
    equilibrium_moisture_celsius,
    humidity_for,
)

HUMIDITIES = range(20, 95, 5)
TABLE = {  # USDA FPL Wood Handbook, Table 4-2; grid from MEMORY, two of its cells read in secondary texts
    30: (4.6, 5.5, 6.3, 7.1, 7.9, 8.7, 9.5, 10.4, 11.3, 12.4, 13.5, 14.9, 16.5, 18.5, 21.0),
    40: (4.6, 5.5, 6.3, 7.1, 7.9, 8.7, 9.5, 10.4, 11.3, 12.3, 13.5, 14.9, 16.5, 18.5, 21.0),
    50: (4.6, 5.5, 6.3, 7.1, 7.9, 8.7, 9.5, 10.3, 11.2, 12.3, 13.4, 14.8, 16.4, 18.4, 20.9),
    60: (4.6, 5.4, 6.2, 7.0, 7.8, 8.6, 9.4, 10.2, 11.1, 12.1, 13.3, 14.6, 16.2, 18.2, 20.7),
    70: (4.5, 5.4, 6.2, 6.9, 7.7, 8.5, 9.2, 10.1, 11.0, 12.0, 13.1, 14.4, 16.0, 17.9, 20.5),
    80: (4.4, 5.3, 6.1, 6.8, 7.6, 8.3, 9.1, 9.9, 10.8, 11.7, 12.9, 14.2, 15.7, 17.7, 20.2),
    90: (4.3, 5.1, 5.9, 6.7, 7.4, 8.1, 8.9, 9.7, 10.5, 11.5, 12.6, 13.9, 15.4, 17.3, 19.8),
    100: (4.2, 5.0, 5.8, 6.5, 7.2, 7.9, 8.7, 9.5, 10.3, 11.2, 12.3, 13.6, 15.1, 17.0, 19.5),
}


@pytest.mark.parametrize("temp_f", TABLE)
def test_the_handbooks_table(temp_f: int) -> None:
    """Its 120 cells within 0.1: the table is rounded, so equality on one decimal would fail in some."""
    for rh, printed in zip(HUMIDITIES, TABLE[temp_f], strict=True):
        assert equilibrium_moisture(temp_f, rh) == pytest.approx(printed, abs=0.1), rh


@pytest.mark.parametrize(
    ("temp_f", "rh", "moisture", "off"),
    [
        (70, 40, 7.7, 0.1),  # Wood Handbook Table 4-2, in secondary texts
        (70, 65, 12.0, 0.1),  # the same
        (140, 55, 8.4, 0.1),  # Eq. 4-5 in an encyclopaedia's text
        (70, 100, 28.8, 0.1),  # Eq. 4-5, a calculator's page citing FPL-RN-0268
        (70, 0, 0.0, 0.001),  # the equation itself
    ],
)
def test_worked_values(temp_f: float, rh: float, moisture: float, off: float) -> None:
    """Values others have published."""
    assert equilibrium_moisture(temp_f, rh) == pytest.approx(moisture, abs=off)


@pytest.mark.parametrize(
    ("rh", "moisture"),
    [(20, 4.49), (30, 6.17), (40, 7.70), (50, 9.25), (60, 10.97), (70, 13.09), (80, 16.00), (90, 20.49)],
)
def test_the_fahrenheit_form(rh: float, moisture: float) -> None:
    """Eq. 4-5 at 70 °F, computed with its coefficients by others to the hundredth."""
    assert equilibrium_moisture(70, rh) == pytest.approx(moisture, abs=0.01)


@pytest.mark.parametrize(("rh", "moisture"), [(30, 6.188), (40, 7.722), (50, 9.271), (65, 11.996), (80, 16.037)])
def test_the_celsius_form(rh: float, moisture: float) -> None:
    """Its SI form at 20 °C, likewise to the thousandth."""
    assert equilibrium_moisture_celsius(20, rh) == pytest.approx(moisture, abs=0.001)


def test_the_two_forms_agree() -> None:
    """°F against °C, 32 to 120 °F and 5 to 95 %: the two forms' coefficients were published one by one."""
    apart = max(
        abs(equilibrium_moisture(temp, rh) - equilibrium_moisture_celsius((temp - 32) / 1.8, rh))
        for temp in range(32, 121)
        for rh in range(5, 96)
    )
    assert 0.005 < apart < 0.02


@pytest.mark.parametrize(
    ("moisture", "low", "high"),
    [(5, 19, 25), (6, 25, 32), (7, 32, 39), (8, 39, 46), (9, 46, 52)],  # university wood-drying columns
)
def test_the_humidity_for_a_moisture_lies_in_published_bands(moisture: float, low: float, high: float) -> None:
    """At room temperature."""
    found = humidity_for(70, moisture)
    assert found is not None
    assert low <= found <= high


def test_there_is_no_air_for_some_moistures() -> None:
    """Wetter than wood gets in any air, or drier than dry."""
    assert humidity_for(70, 40) is None
    assert humidity_for(70, -1) is None


temperatures = st.floats(30, 140)


@given(temperatures, st.floats(0, 98), st.floats(0.5, 2))
def test_it_rises_with_humidity_and_is_found_back(temp_f: float, rh: float, more: float) -> None:
    """Damper air, wetter wood; and the inverse gives the humidity back."""
    assert equilibrium_moisture(temp_f, rh) < equilibrium_moisture(temp_f, rh + more)
    assert humidity_for(temp_f, equilibrium_moisture(temp_f, rh)) == pytest.approx(rh, abs=1e-6)


@given(st.floats(40, 139), st.floats(5, 95))
def test_it_falls_with_temperature(temp_f: float, rh: float) -> None:
    """From 40 °F up: below that it can rise slightly."""
    assert equilibrium_moisture(temp_f + 1, rh) < equilibrium_moisture(temp_f, rh)
