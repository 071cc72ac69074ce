"""When wood that was read several times will have come to where it is wanted.

Wood comes to the equilibrium E of its room as a first-order approach: M(t) = E + A exp(-k t). E is known from the room's air; A and k
are fitted to the readings by least squares (for each k the best A is a quotient, and k is found by halving an interval). The band
comes from the curvature of the fit, with Student's t for so few readings, and no reading is held for better than a meter reads.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, inf, log, sqrt
from typing import Final

FEWEST_READINGS: Final = 3
METER_POINTS: Final = 0.2
"""Points by which a mean of readings is uncertain at least; common practice, no source."""
SLOWEST: Final = 1e-5
FASTEST: Final = 1.0
"""Per hour: a board that takes years, and one that takes an hour."""
_STUDENT_80: Final = (3.078, 1.886, 1.638, 1.533, 1.476, 1.440, 1.415, 1.397, 1.383, 1.372)
"""Two-sided 80 % of Student's t for 1 to 10 degrees of freedom (a standard table; MEMORY, checked in the tests)."""
_NORMAL_80: Final = 1.282
LONGEST_H: Final = 24 * 180.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """When a mean moisture comes within its range, in hours after the first reading; `early` and `late` bound it with 80 %.

    `late` is infinite where the readings cannot say. `rate` is k, per hour, `start` the fitted moisture at the first reading.
    """

    hours: float
    early: float
    late: float
    rate: float
    start: float
    equilibrium: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NoForecast:
    """Why nothing can be said about the day, in words that go on a sentence."""

    why: str


def forecast(
    readings: Sequence[tuple[float, float]], equilibrium: float, low: float, high: float
) -> Forecast | NoForecast:
    """Return when readings that approach an equilibrium come into a range.

    Args:
        readings: hours after the first one, and the mean moisture in %.
        equilibrium: what wood comes to in the room's air, %.
        low: the least moisture wanted, %.
        high: the most.
    """
    if len(readings) < FEWEST_READINGS or len({hours for hours, _ in readings}) < FEWEST_READINGS:
        return NoForecast(why=f"{FEWEST_READINGS} readings or more, on different days, say how fast it dries")
    last = readings[-1][1]
    if low <= last <= high:
        return NoForecast(why=f"{last:.1f} % is within {low:g} to {high:g} % already")
    if not low < equilibrium < high:
        return NoForecast(
            why=f"in the room's air wood comes to {equilibrium:.1f} %, and {low:g} to {high:g} % is wanted: the air first"
        )
    goal = high if last > high else low
    rate, amplitude, error = _fit(readings, equilibrium)
    if rate <= SLOWEST * 1.01 or amplitude * (goal - equilibrium) <= 0 or abs(amplitude) <= abs(goal - equilibrium):
        return NoForecast(why="the readings do not come nearer to it")
    hours = log(amplitude / (goal - equilibrium)) / rate
    spread = _spread(readings, rate, amplitude, hours, error)
    student = _STUDENT_80[len(readings) - 3] if len(readings) - 3 < len(_STUDENT_80) else _NORMAL_80
    since = readings[-1][0]
    early, late = max(since, hours - student * spread), hours + student * spread
    if hours > LONGEST_H:
        return NoForecast(why="at the pace read it would take more than half a year")
    return Forecast(
        hours=max(hours, since),
        early=early,
        late=late if late <= LONGEST_H else inf,
        rate=rate,
        start=equilibrium + amplitude,
        equilibrium=equilibrium,
    )


def _fit(readings: Sequence[tuple[float, float]], equilibrium: float) -> tuple[float, float, float]:
    """Return rate, amplitude and the sum of squared errors, least over all rates, by golden section on log k from the best of a grid."""

    def amplitude_of(rate: float) -> tuple[float, float]:
        decays = [exp(-rate * hours) for hours, _ in readings]
        gaps = [moisture - equilibrium for _, moisture in readings]
        best = sum(x * y for x, y in zip(decays, gaps, strict=True)) / max(sum(x * x for x in decays), 1e-300)
        return best, sum((y - best * x) ** 2 for x, y in zip(decays, gaps, strict=True))

    steps = 60
    grid = [log(SLOWEST) + (log(FASTEST) - log(SLOWEST)) * n / steps for n in range(steps + 1)]
    best = min(range(steps + 1), key=lambda n: amplitude_of(exp(grid[n]))[1])
    low, high = grid[max(0, best - 1)], grid[min(steps, best + 1)]
    golden = (sqrt(5) - 1) / 2
    for _ in range(80):
        one, other = high - golden * (high - low), low + golden * (high - low)
        if amplitude_of(exp(one))[1] <= amplitude_of(exp(other))[1]:
            high = other
        else:
            low = one
    rate = exp((low + high) / 2)
    amplitude, error = amplitude_of(rate)
    return rate, amplitude, error


def _spread(
    readings: Sequence[tuple[float, float]], rate: float, amplitude: float, hours: float, error: float
) -> float:
    """Return the standard deviation of the hours, by the delta method."""
    variance = max(error / (len(readings) - 2), METER_POINTS**2)
    aa = ak = kk = 0.0
    for at, _ in readings:
        decay = exp(-rate * at)
        by_amplitude, by_rate = decay, -amplitude * at * decay
        aa += by_amplitude**2
        ak += by_amplitude * by_rate
        kk += by_rate**2
    determinant = aa * kk - ak**2
    if determinant <= 0:
        return inf
    to_amplitude, to_rate = 1 / (amplitude * rate), -hours / rate
    inverse = to_amplitude**2 * kk - 2 * to_amplitude * to_rate * ak + to_rate**2 * aa
    return sqrt(max(0.0, variance * inverse / determinant))
