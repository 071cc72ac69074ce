"""The classical reckoning of a network's odds: means and variances of the critical path, and what sampling says beside it.

The classical one takes the path that is critical by means as the only one, so it is too hopeful wherever another is nearly as
long; sampling takes the longest path of each sample. Neither knows crews, hours or calendars: `odds` does.
Source: Malcolm, Roseboom, Clark, Fazar, Operations Research 7 (1959) 646-669 (MEMORY).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from crewjobs.domain.tasks import ThreePoint
from crewjobs.engines.planning.critical_path import Arc, in_order

Floats = npt.NDArray[np.float64]
ROUND = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Pert:
    """A network by the classical reckoning, in the unit of its estimates.

    `length` is the mean of the critical path and `variance` its tasks' variances added up; `critical` are its tasks in order,
    `slack` how much each task may take longer without moving the end, by means.
    """

    length: float
    variance: float
    critical: tuple[int, ...]
    slack: Mapping[int, float]

    def chance_by(self, time: float) -> float:
        """Return the chance that the critical path is done by a time, taken as normal."""
        if self.variance <= 0:
            return 1.0 if self.length <= time else 0.0
        return NormalDist(self.length, sqrt(self.variance)).cdf(time)


def pert(estimates: Mapping[int, ThreePoint], arcs: Sequence[Arc]) -> Pert:
    """Return the classical reckoning of a network; of several critical paths the one with the most variance counts.

    Raises:
        Refused: the links go in a circle.
    """
    order = in_order(tuple(estimates), arcs)
    into, out = _sides(order, arcs)
    end: dict[int, float] = {}
    for task in order:
        end[task] = estimates[task].expected + max((end[other] + wait for other, wait in into[task]), default=0.0)
    tail: dict[int, float] = {}
    for task in reversed(order):
        tail[task] = estimates[task].expected + max((wait + tail[other] for other, wait in out[task]), default=0.0)
    length = max(end.values(), default=0.0)
    slack = {task: length - end[task] - tail[task] + estimates[task].expected for task in order}
    slack = {task: 0.0 if abs(left) < ROUND * max(1.0, length) else left for task, left in slack.items()}
    best: dict[int, tuple[float, tuple[int, ...]]] = {}
    for task in order:
        start = end[task] - estimates[task].expected
        ways = [
            best[other]
            for other, wait in into[task]
            if other in best and abs(end[other] + wait - start) < ROUND * max(1.0, length)
        ]
        if slack[task] == 0.0:
            variance, path = max(ways, default=(0.0, ()))
            best[task] = (variance + estimates[task].spread ** 2, (*path, task))
    ends = [best[task] for task in order if task in best and not any(other in best for other, _ in out[task])]
    variance, critical = max(ends, default=(0.0, ()))
    return Pert(length=length, variance=variance, critical=critical, slack=slack)


def sampled_times(estimates: Mapping[int, ThreePoint], count: int, random: np.random.Generator) -> dict[int, Floats]:
    """Return samples of each task's time: a beta between low and high with the PERT mean and standard deviation."""
    return {task: _beta(estimate, count, random) for task, estimate in sorted(estimates.items())}


def sampled_ends(times: Mapping[int, Floats], arcs: Sequence[Arc]) -> Floats:
    """Return when the whole network ends, for each sample of its tasks' times.

    Raises:
        Refused: the links go in a circle.
    """
    order = in_order(tuple(times), arcs)
    into, _ = _sides(order, arcs)
    end: dict[int, Floats] = {}
    whole: Floats = np.zeros(0)
    for task in order:
        start: Floats = np.zeros_like(times[task])
        for other, wait in into[task]:
            np.maximum(start, end[other] + wait, out=start)
        end[task] = start + times[task]
        whole = np.maximum(whole, end[task]) if whole.size else end[task]
    return whole


def _beta(estimate: ThreePoint, count: int, random: np.random.Generator) -> Floats:
    width = estimate.high - estimate.low
    if width <= 0:
        return np.full(count, float(estimate.likely))
    mean = (estimate.expected - estimate.low) / width
    both = mean * (1 - mean) * 36 - 1  # the variance of the beta is (1/6)² of its width
    return estimate.low + width * random.beta(mean * both, (1 - mean) * both, count)


def _sides(
    order: Sequence[int], arcs: Sequence[Arc]
) -> tuple[dict[int, list[tuple[int, int]]], dict[int, list[tuple[int, int]]]]:
    into: dict[int, list[tuple[int, int]]] = {task: [] for task in order}
    out: dict[int, list[tuple[int, int]]] = {task: [] for task in order}
    for before, after, wait in arcs:
        into[after].append((before, wait))
        out[before].append((after, wait))
    return into, out
