"""The most likely effects of all records with how sure they are, and the scales they are drawn from.

Gauss-Newton in log minutes: records are made linear around the effects found so far (`sums`), which are then found exactly, as
in any normal model with known covariances (job effects integrated out). In the same steps the scales move towards the most
likely ones (`scales.moved`) and odd records lose weight (`doubting`). Nothing is drawn at random.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from crewjobs.engines.learning.arrays import Floats, Records
from crewjobs.engines.learning.doubting import added_variance, odd_chance
from crewjobs.engines.learning.noise import Doubt, covariance, whitened
from crewjobs.engines.learning.scales import GROUPS, Effect, Priors, Scales, moved
from crewjobs.engines.learning.sums import Linear, linear

STEPS: Final = 16
LAST_STEPS: Final = 4
"""Steps at the end with scales that stay."""
CLOSE: Final = 1e-8


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Records as seen from all the others.

    `off` is each record's log hours less what the others say, `chance` the chance that it is not what it says; where the days of
    its job are odder together, both are theirs. The squares and curvatures of jobs and of tasks within them are for `scales.moved`.
    """

    off: Floats
    chance: Floats
    doubt: Doubt
    job: tuple[float, float]
    within: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """What was found: effects with their covariance, scales, the records linear there, and each as seen from the others."""

    mean: Floats
    cov: Floats
    scales: Scales
    line: Linear
    doubt: Doubt
    left_out: LeftOut


def fit(records: Records, effects: Sequence[Effect], priors: Priors, start: Scales | None = None) -> Fit:
    """Return the effects of at least one record; with `start` its scales stay as they are."""
    scales = start or priors.scales
    learned = priors.learned and start is None
    mean, doubt = np.zeros(len(effects)), Doubt.none(records.count)
    steps = STEPS if learned else 2 * LAST_STEPS
    cov = np.diag(_sds(effects, scales) ** 2)
    for step in range(steps):
        line = linear(records, mean, cov, scales)
        before, used = mean, doubt
        mean, cov = posterior(records, line, _sds(effects, scales), scales, doubt)
        seen = left_out(records, line, mean, cov, scales, doubt, doubted=priors.doubted)
        doubt = seen.doubt
        if learned and 1 <= step < steps - LAST_STEPS:
            scales = _moved(scales, effects, mean, cov, seen, priors)
        elif np.abs(mean - before).max() < CLOSE and step > 1:
            break
    return Fit(mean=mean, cov=cov, scales=scales, line=line, doubt=used, left_out=seen)


def posterior(records: Records, line: Linear, sds: Floats, scales: Scales, doubt: Doubt) -> tuple[Floats, Floats]:
    """Return mean and covariance of the effects of linear records: exact, with job effects integrated out."""
    slope, target = whitened(records.alike, line, scales, doubt)
    scaled = slope * sds
    precision = scaled.T @ scaled
    precision[np.diag_indices_from(precision)] += 1.0
    cov = np.linalg.inv(precision) * sds * sds[:, None]
    cov = (cov + cov.T) / 2
    return cov @ (slope.T @ target), cov


def left_out(
    records: Records, line: Linear, mean: Floats, cov: Floats, scales: Scales, doubt: Doubt, *, doubted: bool = True
) -> LeftOut:
    """Return each record as seen from all the others, its own left out: with K⁻¹ of all records, exact.

    With `doubted` false no record is odd.

    Source: Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, equation 5.12 (MEMORY).
    """
    rest = line.target - line.slope @ mean
    shared = line.slope @ cov
    off, chance = np.zeros(records.count), np.zeros(records.count)
    by_record, by_job = np.zeros(records.count), np.zeros(records.count)
    job, within = np.zeros(2), np.zeros(2)
    for jobs in records.alike:
        rows = jobs.rows
        inverse = np.linalg.inv(covariance(jobs, line.parts, scales, doubt))
        fitted = shared[rows] @ line.slope[rows].transpose(0, 2, 1)
        inner = inverse - inverse @ fitted @ inverse
        pull = (inverse @ rest[rows][:, :, None])[:, :, 0]
        own = np.maximum(np.diagonal(inner, axis1=1, axis2=2), 1e-12)
        variance = np.maximum(1 / own - doubt.record[rows], scales.entry**2 + 1e-9)
        off[rows] = pull / own
        chance[rows] = odd_chance(off[rows], variance)
        by_record[rows] = added_variance(chance[rows], variance)
        pulls, owns = pull.sum(axis=1), np.maximum(inner.sum(axis=(1, 2)), 1e-12)
        if rows.shape[1] > 1:
            variance = np.maximum(1 / owns - doubt.job[rows[:, 0]], scales.entry**2 + 1e-9)
            together = odd_chance(pulls / owns, variance)
            by_job[rows] = added_variance(together, variance)[:, None]
            more = together[:, None] > chance[rows]
            off[rows] = np.where(more, (pulls / owns)[:, None], off[rows])
            chance[rows] = np.where(more, together[:, None], chance[rows])
        job += (pulls**2).sum(), owns.sum()
        parts = line.parts[rows]
        within += ((parts.transpose(0, 2, 1) @ pull[:, :, None]) ** 2).sum(), ((inner @ parts) * parts).sum()
    return LeftOut(
        off=off,
        chance=chance if doubted else np.zeros(records.count),
        doubt=Doubt(record=by_record, job=by_job) if doubted else Doubt.none(records.count),
        job=(float(job[0]), float(job[1])),
        within=(float(within[0]), float(within[1])),
    )


def _sds(effects: Sequence[Effect], scales: Scales) -> Floats:
    return np.array([scales.of(effect) for effect in effects])


def _moved(
    scales: Scales, effects: Sequence[Effect], mean: Floats, cov: Floats, seen: LeftOut, priors: Priors
) -> Scales:
    """Return all scales but the entry's one step on."""
    first, weight = priors.scales, priors.weight
    kind = np.array([GROUPS.index(effect[0]) for effect in effects])
    variance = _sds(effects, scales) ** 2
    squares = np.bincount(kind, (mean / variance) ** 2, len(GROUPS))
    curves = np.bincount(kind, np.maximum(variance - np.diag(cov), 0) / variance**2, len(GROUPS))
    groups = {
        group: moved(scales.groups[group], float(squares[at]), float(curves[at]), first.groups[group], weight)
        for at, group in enumerate(GROUPS)
    }
    return replace(
        scales,
        groups=groups,
        job=moved(scales.job, *seen.job, first.job, weight),
        within=moved(scales.within, *seen.within, first.within, weight),
    )
