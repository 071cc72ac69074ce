"""The fit of drying wood against made data and scipy."""

from __future__ import annotations

from math import exp, inf
from random import Random

import numpy as np
import pytest
from scipy.optimize import curve_fit
from scipy.stats import t as student

from crewjobs.engines.climate import drying
from crewjobs.engines.climate.drying import Forecast, NoForecast, forecast


def made(start: float, equilibrium: float, rate: float, hours: list[float], noise: float = 0, seed: int = 1):
    random = Random(seed)
    return [(at, equilibrium + (start - equilibrium) * exp(-rate * at) + random.gauss(0, noise)) for at in hours]


@pytest.mark.parametrize(("start", "equilibrium", "goal"), [(12.0, 8.0, 10.0), (4.0, 8.0, 6.0)])
def test_without_noise_the_constants_are_found(start: float, equilibrium: float, goal: float) -> None:
    """Drying and taking up alike: the rate, the start and the hour at which the range is reached, from both sides."""
    found = forecast(made(start, equilibrium, 0.004, [0, 24, 48]), equilibrium, 6, 10)
    assert isinstance(found, Forecast)
    assert (found.rate, found.start) == (pytest.approx(0.004, rel=1e-4), pytest.approx(start, abs=1e-4))
    reached = equilibrium + (start - equilibrium) * exp(-0.004 * found.hours)
    assert reached == pytest.approx(goal, abs=1e-6)
    assert found.early <= found.hours <= found.late


@pytest.mark.parametrize("seed", range(12))
def test_the_fit_is_scipys(seed: int) -> None:
    """Noisy readings: rate and start as `curve_fit` has them, equilibrium known; the band by its covariance too."""
    random = Random(seed)
    hours = [0.0, 24.0, 50.0, 75.0, 98.0][: 3 + seed % 3]
    readings = made(13.5, 8.0, 0.006, hours, noise=0.15, seed=seed)
    found = forecast(readings, 8.0, 6, 9)
    at, moisture = (np.array(values) for values in zip(*readings, strict=True))
    (amplitude, rate), covariance = curve_fit(
        lambda x, a, k: 8.0 + a * np.exp(-k * x), at, moisture, p0=(5.0, 0.005 + random.random() * 0.002)
    )
    assert isinstance(found, Forecast)
    assert (found.rate, found.start) == (pytest.approx(rate, rel=1e-3), pytest.approx(8.0 + amplitude, rel=1e-4))
    # The band: scipy scales by the readings' own scatter, the engine by no less than a meter's.
    scatter = np.sum((moisture - 8.0 - amplitude * np.exp(-rate * at)) ** 2) / (len(at) - 2)
    slope = np.array([1 / (amplitude * rate), -found.hours / rate])
    variance = slope @ covariance @ slope * max(scatter, drying.METER_POINTS**2) / scatter
    if found.late < inf:
        assert found.late - found.hours == pytest.approx(student.ppf(0.9, len(at) - 2) * np.sqrt(variance), rel=0.02)


def test_students_t() -> None:
    """The table that the band is drawn with, by scipy."""
    assert pytest.approx([student.ppf(0.9, df) for df in range(1, 11)], abs=0.001) == drying._STUDENT_80


@pytest.mark.parametrize(
    ("readings", "equilibrium", "why"),
    [
        ([(0, 12), (24, 11)], 8.0, "3 readings or more"),
        ([(0, 12), (0, 11.9), (24, 11)], 8.0, "3 readings or more"),
        ([(0, 12), (24, 11.5), (48, 11.2)], 11.0, "the air first"),
        ([(0, 11), (24, 11.4), (48, 11.9)], 8.0, "do not come nearer"),
        ([(0, 11), (24, 10.4), (48, 9.8)], 8.0, "within 6 to 10 % already"),
        ([(0, 12.0), (24, 11.99), (48, 11.985)], 8.0, "half a year"),
    ],
)
def test_where_nothing_can_be_said(readings: list[tuple[float, float]], equilibrium: float, why: str) -> None:
    """Too few, a room that leads elsewhere, readings that rise, already there, far too slow: it says which."""
    found = forecast(readings, equilibrium, 6, 10)
    assert isinstance(found, NoForecast)
    assert why in found.why


def test_few_readings_leave_a_wide_band() -> None:
    """Three readings of a slow board: the safe day lies well after the likely one, or nothing bounds it; six narrow it."""
    few = forecast(made(12, 8, 0.004, [0, 24, 48]), 8.0, 6, 10)
    many = forecast(made(12, 8, 0.004, [0, 24, 48, 72, 96, 120]), 8.0, 6, 10)
    assert isinstance(few, Forecast)
    assert isinstance(many, Forecast)
    assert few.late - few.hours > many.late - many.hours
