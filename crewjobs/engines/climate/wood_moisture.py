"""The moisture that wood comes to in air that stays as it is.

Source: Hailwood-Horrobin equation with two hydrates, coefficients of the USDA FPL Wood Handbook, Eq. 4-5 (FPL-GTR-190, 2010, and
FPL-GTR-282, 2021; Simpson 1973, FPL-190), read in secondary texts. Its Table 4-2 is computed from it and, by its own words, meant
for any species in practice.
"""

from __future__ import annotations

from typing import Final

DRIEST: Final = 0.0
WETTEST: Final = 100.0


def equilibrium_moisture(temp_f: float, rh: float) -> float:
    """Return the equilibrium moisture of wood, in % of its dry weight.

    Args:
        temp_f: temperature of the air, °F.
        rh: relative humidity, %, 0 to 100.
    """
    t = temp_f
    w = 330 + 0.452 * t + 0.00415 * t**2
    k = 0.791 + 0.000463 * t - 0.000000844 * t**2
    k1 = 6.34 + 0.000775 * t - 0.0000935 * t**2
    k2 = 1.09 + 0.0284 * t - 0.0000904 * t**2
    return _hailwood_horrobin(w, k, k1, k2, rh)


def equilibrium_moisture_celsius(temp_c: float, rh: float) -> float:
    """Return the same from °C, by the equation's SI form: it differs from the other by 0.013 points at most (32 to 120 °F)."""
    t = temp_c
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    return _hailwood_horrobin(w, k, k1, k2, rh)


def _hailwood_horrobin(w: float, k: float, k1: float, k2: float, rh: float) -> float:
    kh = k * rh / 100
    hydrates = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / w * (kh / (1 - kh) + hydrates)


def humidity_for(temp_f: float, moisture: float) -> float | None:
    """Return the relative humidity, %, in which wood comes to a moisture, by halving; None where no air does."""
    if not 0 <= moisture <= equilibrium_moisture(temp_f, WETTEST):
        return None
    low, high = DRIEST, WETTEST
    for _ in range(60):
        middle = (low + high) / 2
        if equilibrium_moisture(temp_f, middle) < moisture:
            low = middle
        else:
            high = middle
    return (low + high) / 2
