"""What others bring or do, and how late it may come: drawn for all samples of a plan at once (`odds`)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf, isfinite

import numpy as np
import numpy.typing as npt

from crewjobs.domain.errors import Refused
from crewjobs.engines.planning.calendars import SLOTS_A_DAY

Floats = npt.NDArray[np.float32]
Doubles = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class HowLate:
    """How late things of one source come: late with a `chance`, then by `mean_days` of 24 h on the average, exponential.

    Where the two are known from few dates only, the chance is a beta worth `dates` of them, and the mean that of an exponential whose
    rate is a gamma of shape `lates` (more than 1), which by itself is Lomax's distribution (1954, MEMORY). What is unsure of them is
    the same for all things of one source `whose`: a supplier who is later than thought is so at every house. With no name each thing
    is a source of its own.
    """

    chance: float = 0.0
    mean_days: float = 0.0
    dates: float = inf
    lates: float = inf
    whose: str = ""

    def __post_init__(self) -> None:
        if not (0 <= self.chance <= 1 and isfinite(self.mean_days) and self.mean_days >= 0):
            raise Refused(
                f"late with a chance of {self.chance:g} by {self.mean_days:g} days; the chance is from 0 to 1, the days 0 or more."
            )
        if not (self.dates > 0 and self.lates > 1):
            raise Refused(
                f"how late is known from {self.dates:g} dates and {self.lates:g} late ones; more than 0 and more than 1."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Late:
    """Something that others bring or do, due at a slot; with nothing said of how late, it comes as promised."""

    name: str
    due: int
    how: HowLate = HowLate()


def draw_lates(lates: Iterable[Late], random: np.random.Generator, count: int) -> dict[str, Floats]:
    """Return by how many slots each thing is late in each sample, by its name; drawn in the order given."""
    sources = dict[object, tuple[Doubles | float, Doubles | float]]()
    found: dict[str, Floats] = {}
    for late in lates:
        source = late.how if late.how.whose else late.name
        if source not in sources:
            sources[source] = _chance(late.how, random, count), _mean_slots(late.how, random, count)
        chance, mean = sources[source]
        by = np.where(random.random(count) < chance, random.exponential(1.0, count) * mean, 0.0)
        found[late.name] = by.astype(np.float32)
    return found


def _chance(how: HowLate, random: np.random.Generator, count: int) -> Doubles | float:
    if how.dates == inf or how.chance in (0, 1):
        return how.chance
    drawn: Doubles = random.beta(how.chance * how.dates, (1 - how.chance) * how.dates, count)
    return drawn


def _mean_slots(how: HowLate, random: np.random.Generator, count: int) -> Doubles | float:
    mean = how.mean_days * SLOTS_A_DAY
    if how.lates == inf:
        return mean
    drawn: Doubles = mean * (how.lates - 1) / random.gamma(how.lates, 1.0, count)
    return drawn
