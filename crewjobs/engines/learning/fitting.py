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
from crewjobs.engines.learning.scales import BAND_SDS, GROUPS, Effect, Priors, Scales, common, moved
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
            scales = scales_from(scales, effects, mean, cov, seen, priors)
            if step == steps - LAST_STEPS - 1:
                scales = widened(scales, effects, cov, seen, priors)
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


def scales_from(
    scales: Scales, effects: Sequence[Effect], mean: Floats, cov: Floats, seen: LeftOut, priors: Priors
) -> Scales:
    """Return all scales but the entry's one step nearer to the most likely ones."""
    first, weight = priors.scales, priors.weight
    wide = common(scales, first)
    squares = _by_group(effects, (mean * _precisions(effects, scales)) ** 2)
    curves = _curves(scales, effects, cov)
    groups = {
        group: moved(scales.groups[group], float(squares[at]), float(curves[at]), wide * first.groups[group], weight)
        for at, group in enumerate(GROUPS)
    }
    return replace(
        scales,
        groups=groups,
        job=moved(scales.job, *seen.job, wide * first.job, weight),
        within=moved(scales.within, *seen.within, wide * first.within, weight),
    )


def widened(scales: Scales, effects: Sequence[Effect], cov: Floats, seen: LeftOut, priors: Priors) -> Scales:
    """Return the scales so much wider that 80 % bands allow for how unsure the scales themselves are.

    A scale known from m degrees of freedom makes a band Student's instead of normal: at z it is 1 + (z² + 1) / 4m as wide.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.5 (MEMORY), its first term.
    """
    curves = _curves(scales, effects, cov)

    def wide(scale: float, curvature: float) -> float:
        return scale * (1 + (BAND_SDS**2 + 1) / 4 / max(1.0, priors.weight + curvature * scale**2))

    groups = {group: wide(scales.groups[group], float(curves[at])) for at, group in enumerate(GROUPS)}
    return replace(scales, groups=groups, job=wide(scales.job, seen.job[1]), within=wide(scales.within, seen.within[1]))


def _curves(scales: Scales, effects: Sequence[Effect], cov: Floats) -> Floats:
    """Return the curvature of each group of effects, as `scales.moved` has it."""
    precision = _precisions(effects, scales)
    return _by_group(effects, np.maximum(precision - np.diag(cov) * precision**2, 0))


def _precisions(effects: Sequence[Effect], scales: Scales) -> Floats:
    """Return one over each effect's variance, 0 for what does not differ at all."""
    sds = _sds(effects, scales)
    found: Floats = np.divide(1.0, sds**2, out=np.zeros_like(sds), where=sds > 0)
    return found


def _by_group(effects: Sequence[Effect], values: Floats) -> Floats:
    kind = np.array([GROUPS.index(effect[0]) for effect in effects])
    return np.bincount(kind, values, len(GROUPS)).astype(float)
