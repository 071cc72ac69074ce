"""Odd records: how likely one is not what it says, seen from all the others, and how much less it then counts.

A record is ordinary, or, one in a hundred, it is not what it says (a wrong digit, a second house, work that nobody ticked) and
its log hours stray by 1.5 more. Both figures are common practice, no source. The record counts for the chance that it is
ordinary: what is learned from it is the mean of learning from it and of leaving it out. The days of a job together are judged
in the same way.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from crewjobs.engines.learning.arrays import Floats

ONE_IN: Final = 100.0
STRAY: Final = 1.5
MOST_CHANCE: Final = 0.9999
ODD: Final = 0.5
"""From this chance on a record is asked about."""


def odd_chance(off: Floats, variance: Floats) -> Floats:
    """Return the chance that records are not what they say.

    `off` is how far each log is from what all the others say, `variance` how far an ordinary one strays from it.
    """
    wide = variance + STRAY**2
    ordinary = np.log(ONE_IN - 1) - (off**2 / variance + np.log(variance)) / 2
    odd = -(off**2 / wide + np.log(wide)) / 2
    found: Floats = 1 / (1 + np.exp(np.clip(ordinary - odd, -500, 500)))
    return found


def added_variance(chance: Floats, variance: Floats) -> Floats:
    """Return the variance to add to records so that each moves the others by its chance of being ordinary as much."""
    capped = np.minimum(chance, MOST_CHANCE)
    found: Floats = variance * capped / (1 - capped)
    return found
