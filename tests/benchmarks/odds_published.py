"""The published network of fourteen activities by the classical reckoning and sampled, for ``tests.benchmarks.odds``."""

from __future__ import annotations

from math import sqrt
from typing import Any

import numpy as np

from crewjobs.engines.planning.pert import pert, sampled_ends, sampled_times
from tests.benchmarks.judged import Estimate, judge, told
from tests.engines.planning.published_pert import ARCS, BY, CHANCE, CRITICAL, ESTIMATES, VARIANCE, WEEKS

SAMPLES = 200_000
ROUND = 1e-9
PRINTED = 0.0005
"""Half of the last digit of the printed chance."""
NEAR_WEEKS, NEAR_VARIANCE, NEAR_CHANCE = 0.05, 0.2, 0.01
"""How near samples of the critical path come to the printed numbers; its chance is not quite normal."""


def published(random: np.random.Generator) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return the figures of the published network, and whether they are the printed ones."""
    found = pert(ESTIMATES, ARCS)
    times = sampled_times(ESTIMATES, SAMPLES, random)
    ends, path = sampled_ends(times, ARCS), np.sum([times[ord(name)] for name in CRITICAL], axis=0)
    variance = float(path.var(ddof=1)), float(((path - path.mean()) ** 2).std() / sqrt(SAMPLES))
    figures = {
        "weeks": round(found.length, 6),
        "variance": round(found.variance, 6),
        "critical_path": "".join(map(chr, found.critical)),
        f"chance_in_{BY}_weeks": round(found.chance_by(BY), 4),
        "samples": SAMPLES,
        "sampled_path_weeks": told(_mean(path), 4),
        "sampled_path_variance": told(variance, 4),
        f"sampled_path_chance_in_{BY}_weeks": told(_mean(path <= BY), 4),
        "sampled_network_weeks": told(_mean(ends), 4),
        f"sampled_network_chance_in_{BY}_weeks": told(_mean(ends <= BY), 4),
    }
    return figures, {
        "pert_weeks": judge(found.length, WEEKS - ROUND, WEEKS + ROUND),
        "pert_variance": judge(found.variance, VARIANCE - ROUND, VARIANCE + ROUND),
        "pert_chance": judge(found.chance_by(BY), CHANCE - PRINTED, CHANCE + PRINTED),
        "pert_sampled_path_weeks": judge(_mean(path), WEEKS - NEAR_WEEKS, WEEKS + NEAR_WEEKS),
        "pert_sampled_path_variance": judge(variance, VARIANCE - NEAR_VARIANCE, VARIANCE + NEAR_VARIANCE),
        "pert_sampled_path_chance": judge(_mean(path <= BY), CHANCE - NEAR_CHANCE, CHANCE + NEAR_CHANCE),
        "pert_sampled_network_chance": judge(_mean(ends <= BY), most=CHANCE),
    }


def _mean(values: np.ndarray) -> Estimate:
    return float(values.mean()), float(values.std() / sqrt(len(values)))
