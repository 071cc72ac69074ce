"""The temperature at which air gives off its water, and how far a surface lies above it.

Source: Magnus form of Alduchov and Eskridge, J. Appl. Meteor. 35 (1996), over water, read in secondary texts. Against the formulation of
ASHRAE Fundamentals it differs by 0.05 °F at most where the dew point lies at or above freezing (50 to 90 °F).
"""

from __future__ import annotations

from math import exp, log
from typing import Final

LEAST_MARGIN_F: Final = 5.0
"""A surface lies at least so far above the dew point before primer, leveler or adhesive; common practice, no source."""
_A: Final = 0.61094
_B: Final = 17.625
_C: Final = 243.04


def celsius(temp_f: float) -> float:
    """Return a temperature in °C."""
    return (temp_f - 32) / 1.8


def saturation_pressure(temp_f: float) -> float:
    """Return the pressure of water vapor over water, in kPa, at a temperature in °F."""
    t = celsius(temp_f)
    return _A * exp(_B * t / (t + _C))


def dew_point(temp_f: float, rh: float) -> float:
    """Return the dew point in °F of air at a temperature in °F and a relative humidity in %, more than 0 to 100."""
    t = celsius(temp_f)
    gamma = log(rh / 100) + _B * t / (t + _C)
    return 32 + 1.8 * _C * gamma / (_B - gamma)


def margin(surface_f: float, temp_f: float, rh: float) -> float:
    """Return how far a surface lies above the dew point of the air over it, in °F; negative where water settles on it."""
    return surface_f - dew_point(temp_f, rh)
