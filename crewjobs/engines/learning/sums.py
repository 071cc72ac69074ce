"""The log of a sum of lognormal minutes: where it lies, how it moves with the effects, how far it spreads.

A day's hours are the sum of its tasks' minutes. Such a sum is taken as lognormal with the mean and variance of the true one.
Source: Fenton, The sum of log-normal probability distributions, 1960, called Fenton-Wilkinson (MEMORY).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crewjobs.engines.learning.arrays import Floats, Records
from crewjobs.engines.learning.scales import Scales


@dataclass(frozen=True, slots=True, kw_only=True)
class Linear:
    """Records linear in the effects, around some values of them.

    `slope` (records × effects) is each effect's share in the expected sum; `target` what slope @ effects would have to be to give
    the hours that were said. `parts` (records × tasks of the job) are the shares that a task's own deviation
    has in a record, so that within² × parts @ partsᵀ is the covariance of a job's records by them.
    """

    slope: Floats
    target: Floats
    parts: Floats


def linear(records: Records, effects: Floats, cov: Floats, scales: Scales) -> Linear:
    """Return the records linear around values of the effects, which are known as surely as `cov` says.

    The log of a sum bends: where the parts are unsure, its expectation lies above its value at theirs, by half of what the
    parts vary apart from their sum. Made linear by expectation, sums of parts that are never seen alone stay true.
    Source: García-Fernández and others, Posterior linearization filter, 2015 (MEMORY), here to the second order.
    """
    padded = np.append(effects, 0.0)
    minutes = np.exp(records.book + padded[records.places].sum(axis=1))
    count = records.count
    total = np.bincount(records.row, minutes, count)
    share = minutes / total[records.row]
    variance = np.log1p(np.expm1(scales.within**2) * np.bincount(records.row, share**2, count))
    middle = np.log(total) + (scales.within**2 - variance) / 2
    wide = records.effects + 1
    flat = (records.row[:, None] * wide + records.places).ravel()
    shares = np.repeat(share, records.places.shape[1])
    slope: Floats = np.bincount(flat, shares, count * wide).astype(float).reshape(count, wide)[:, :-1]
    padded_cov = np.pad(cov, (0, 1))
    varies = padded_cov[records.places[:, :, None], records.places[:, None, :]].sum(axis=(1, 2))
    together = ((slope @ cov) * slope).sum(axis=1)
    bend = (np.bincount(records.row, share * varies, count) - together) / 2
    target = records.said - middle - bend + slope @ effects
    plain = scales.within**2 * np.bincount(records.row, share**2, count)
    scaled = share * np.sqrt(variance / plain)[records.row] if scales.within > 0 else share
    parts = np.zeros((count, records.most_tasks))
    parts[records.row, records.task] = scaled
    return Linear(slope=slope, target=target, parts=parts)
