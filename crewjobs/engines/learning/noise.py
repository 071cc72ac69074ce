"""How far the records of a job stray together and each by itself, and what each job's records say of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crewjobs.engines.learning.arrays import Alike, Floats
from crewjobs.engines.learning.scales import Scales
from crewjobs.engines.learning.sums import Linear


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Variance of log minutes added to records that are hardly what they say: by record, and by the job of each record."""

    record: Floats
    job: Floats

    @classmethod
    def none(cls, count: int) -> Doubt:
        """Return no doubt about so many records."""
        return cls(record=np.zeros(count), job=np.zeros(count))


def covariance(jobs: Alike, parts: Floats, scales: Scales, doubt: Doubt) -> Floats:
    """Return the covariance (jobs × days × days) of the log hours of jobs alike, given all effects that stay."""
    rows = jobs.rows
    mine = parts[rows]
    found: Floats = scales.within**2 * (mine @ mine.transpose(0, 2, 1))
    found += (scales.job**2 + doubt.job[rows[:, :1]])[:, :, None]
    diagonal = np.arange(rows.shape[1])
    found[:, diagonal, diagonal] += scales.entry**2 + doubt.record[rows] + 1e-12
    return found


def whitened(alike: tuple[Alike, ...], line: Linear, scales: Scales, doubt: Doubt) -> tuple[Floats, Floats]:
    """Return slopes and targets of all records divided by the root of their jobs' covariances."""
    slope, target = np.empty_like(line.slope), np.empty_like(line.target)
    for jobs in alike:
        root = np.linalg.cholesky(covariance(jobs, line.parts, scales, doubt))
        rows = jobs.rows
        slope[rows] = np.linalg.solve(root, line.slope[rows])
        target[rows] = np.linalg.solve(root, line.target[rows][:, :, None])[:, :, 0]
    return slope, target
