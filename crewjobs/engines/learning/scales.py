"""How much paces differ: the standard deviations of the model's effects, and what is held of them before any hours.

Every effect is a difference in the log of minutes: 0.1 is about a tenth more. All starting values are common practice,
no source; hours replace them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import sqrt
from statistics import NormalDist
from typing import Final

SHOP: Final = "shop"
TEMPLATE: Final = "template"
CREW: Final = "crew"
OWN: Final = "own"
CONDITION: Final = "condition"
GROUPS: Final = (SHOP, TEMPLATE, CREW, OWN, CONDITION)
"""Kinds of effects that stay: the whole shop, a template in it, a crew, a crew at a template, a condition."""

BAND: Final = 0.8
"""How much of what is possible a band holds, half of the rest on each side."""
BAND_SDS: Final = NormalDist().inv_cdf((1 + BAND) / 2)

Effect = tuple[str, ...]
"""An effect by its group and what it is of: ``("own", "Birch", "lay-laminate")``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scales:
    """Standard deviations of log minutes: of each group of effects, and of what comes anew.

    `job` is how jobs differ after all that is known of them, `within` how tasks of one job do, `entry` how far off the hours
    of a day are written down. `entry` is not learned.
    """

    groups: Mapping[str, float] = field(
        default_factory=lambda: {SHOP: 0.2, TEMPLATE: 0.25, CREW: 0.15, OWN: 0.12, CONDITION: 0.12}
    )
    job: float = 0.18
    within: float = 0.25
    entry: float = 0.05

    def of(self, effect: Effect) -> float:
        """Return the standard deviation that an effect has before any hours."""
        return self.groups[effect[0]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Priors:
    """What is held before any hours: the scales, and how many effects (or jobs, or tasks) each of them is worth.

    With `weight` 0 the scales are as good as unknown, with `learned` false they are taken as they are. With `doubted` false every
    record counts in full, however odd.
    """

    scales: Scales = field(default_factory=Scales)
    weight: float = 4.0
    learned: bool = True
    doubted: bool = True


def common(scales: Scales, first: Scales) -> float:
    """Return how many times as far all differs as was held before any hours, most likely for these scales.

    Where jobs differ more than thought, so will crews and templates, of which there are few: one factor that all scales share, as
    the prior's own scale (`moved`), and is itself held at 1 as firmly as one of them is.
    """
    pairs = [(scales.groups[group], first.groups[group]) for group in GROUPS]
    pairs += [(scales.job, first.job), (scales.within, first.within)]
    ratios = [(before / now) ** 2 for now, before in pairs if now > 0 and before > 0]
    return sqrt((len(ratios) + 1) / (sum(ratios) + 1))


def moved(scale: float, seen: float, curvature: float, prior: float, weight: float) -> float:
    """Return a standard deviation one step nearer to the most likely one.

    `seen` is the sum of squares of Zᵀ K⁻¹ r and `curvature` the trace of Zᵀ K⁻¹ Z, for the part scale² Z Zᵀ of the covariance K
    of the residuals r. The step is that of the MM algorithm for variance components (Zhou, Hu, Qiao, Cho 2019, MEMORY),
    scale² × √(seen / curvature), with a scaled inverse χ² prior of `weight` degrees of freedom around `prior`.
    """
    held = scale**4 * seen + weight * prior**2
    steep = weight + sqrt(weight**2 + 4 * curvature * held)
    return sqrt(2 * held / steep) if steep > 0 else scale
