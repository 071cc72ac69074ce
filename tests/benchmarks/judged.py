"""Whether measured figures are what is expected of them, with their standard errors, a made shop being one observation.

What is wrong in one shop is wrong together: its crews are slower than their hours said, or quicker. So a shop is one observation, and a
standard error is that of a ratio of sums over shops (ratio estimator of cluster sampling; Cochran, Sampling Techniques, 1977,
equation 6.13, MEMORY), not that of so many days or jobs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import inf, isfinite, nan, sqrt
from typing import Any

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Estimate = tuple[float, float]
"""A figure and its standard error, which is nan where there is none."""

HELD, WITHIN, NOT = "held", "held within its standard error", "not held"


def ratio(sums: Sequence[float] | Floats, counts: Sequence[float] | Floats) -> Estimate:
    """Return a mean from each shop's sum and count, and its standard error with the shops as the observations."""
    total, number = np.asarray(sums, dtype=float), np.asarray(counts, dtype=float)
    mean, shops = float(total.sum() / number.sum()), len(total)
    if shops < 2:
        return mean, nan
    rest = total - mean * number
    return mean, float(np.sqrt(shops / (shops - 1) * (rest**2).sum()) / number.sum())


def root(found: Estimate) -> Estimate:
    """Return the square root of a figure; its error to the first order (delta method)."""
    square, error = found
    return sqrt(square), error / (2 * sqrt(square)) if square > 0 else nan


def told(found: Estimate, digits: int) -> dict[str, float | None]:
    """Return a figure and its error as they are printed; an error there is none of is None."""
    mean, error = found
    return {"mean": round(mean, digits), "error": round(error, digits) if isfinite(error) else None}


def judge(found: Estimate | float, least: float = -inf, most: float = inf) -> dict[str, Any]:
    """Return whether a figure lies between two bounds, or outside by no more than its standard error, and all it was judged by."""
    value, error = found if isinstance(found, tuple) else (found, nan)
    by = max(least - value, value - most)
    held = by <= 0
    within = held or by <= error
    return {
        "value": value,
        "error": error if isfinite(error) else None,
        "at_least": least if isfinite(least) else None,
        "at_most": most if isfinite(most) else None,
        "held": held,
        "held_within_error": within,
        "told": HELD if held else WITHIN if within else NOT,
    }


def verdicts(judged: Mapping[str, Mapping[str, Any]]) -> list[str]:
    """Return what was judged as lines for people."""
    said = []
    for name, one in judged.items():
        error = "" if one["error"] is None else f" ± {one['error']:.3g}"
        bounds = [f"at {word} {one[key]:g}" for word, key in _BOUNDS if one[key] is not None]
        said.append(f"  {name.replace('_', ' '):<38} {one['value']:.4g}{error}, {' and '.join(bounds)}: {one['told']}")
    return said


_BOUNDS = (("least", "at_least"), ("most", "at_most"))


def in_lines(figures: Mapping[str, Any]) -> Iterable[str]:
    """Yield figures in parts as lines for people; the part `expected` as `verdicts`."""
    for title, part in figures.items():
        yield title if isinstance(part, Mapping) else f"{title}: {part}"
        if title == "expected":
            yield from verdicts(part)
            continue
        for name, value in part.items() if isinstance(part, Mapping) else ():
            for row in value if isinstance(value, list) else [value]:
                yield f"  {name.replace('_', ' '):<38} {row}"
