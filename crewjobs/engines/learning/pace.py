"""A shop's pace as learned: all effects with how sure they are, and what is needed to learn on from one more job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from crewjobs.domain.pace import RatePin, WorkedDay
from crewjobs.engines.learning.arrays import Floats, Records, as_arrays, ordered
from crewjobs.engines.learning.doubting import ODD
from crewjobs.engines.learning.effects import effects_seen
from crewjobs.engines.learning.fitting import Fit, fit
from crewjobs.engines.learning.noise import covariance
from crewjobs.engines.learning.odd import OddRecord
from crewjobs.engines.learning.scales import Effect, Priors, Scales
from crewjobs.engines.learning.sums import Linear

MOST_JOBS_FOR_SCALES: Final = 300
"""The latest jobs tell how much paces differ; more tell it no better and take longer."""

Worked = tuple[str, str]
"""A crew and a template."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Told:
    """What one job told, linear in the effects: slope (days × the effects known then), target, the days' covariance."""

    slope: Floats
    target: Floats
    noise: Floats
    worked: frozenset[Worked]
    odd: tuple[OddRecord, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pace:
    """All that was learned of a shop's crews. `places` says where in mean and covariance an effect is.

    `jobs` counts the jobs behind a crew's pace at a template, odd days left out.
    """

    scales: Scales = field(default_factory=Scales)
    places: Mapping[Effect, int] = field(default_factory=dict)
    mean: Floats = field(default_factory=lambda: np.zeros(0))
    cov: Floats = field(default_factory=lambda: np.zeros((0, 0)))
    told: Mapping[int, Told] = field(default_factory=dict)
    jobs: Mapping[Worked, int] = field(default_factory=dict)
    pins: Mapping[Worked, RatePin] = field(default_factory=dict)
    doubted: bool = True

    @property
    def odd(self) -> tuple[OddRecord, ...]:
        """Return the records to ask about, by job and day."""
        return tuple(record for job in sorted(self.told) for record in self.told[job].odd)

    def pinned(self, pins: Iterable[RatePin]) -> Pace:
        """Return the same pace with these rates set by hand, and no others."""
        return replace(self, pins={(pin.crew, pin.template): pin for pin in pins})


def learn(days: Iterable[WorkedDay], *, priors: Priors | None = None, pins: Iterable[RatePin] = ()) -> Pace:
    """Return the pace of a shop's crews from records of any jobs, in any order; without any the book's, as sure as its prior.

    Hours that were no work (callbacks, dry runs, waiting) and days without anything done tell no pace and are passed over.
    """
    priors = priors or Priors()
    known = ordered(days)
    if not known:
        return Pace(scales=priors.scales, doubted=priors.doubted).pinned(pins)
    effects = effects_seen(known)
    places = {effect: place for place, effect in enumerate(effects)}
    records = as_arrays(known, places)
    start: Scales | None = None
    if priors.learned and len(records.bounds) > MOST_JOBS_FOR_SCALES:
        latest = sorted(records.bounds)[-MOST_JOBS_FOR_SCALES]
        start = learn([day for day in known if day.job >= latest], priors=priors).scales
    found = fit(records, effects, priors, start)
    told = _told(records, found)
    return Pace(
        scales=found.scales,
        places=places,
        mean=found.mean,
        cov=found.cov,
        told=told,
        jobs=Counter(worked for one in told.values() for worked in one.worked),
        doubted=priors.doubted,
    ).pinned(pins)


def told_by(days: Sequence[WorkedDay], line: Linear, rows: slice, noise: Floats, off: Floats, chance: Floats) -> Told:
    """Return what the days of one job told; `rows` are theirs in the linear records, `off` and `chance` are of its days."""
    odd = chance > ODD
    return Told(
        slope=line.slope[rows],
        target=line.target[rows],
        noise=noise,
        worked=frozenset(
            (day.crew, task.template) for day, left in zip(days, odd, strict=True) if not left for task in day.done
        ),
        odd=tuple(
            OddRecord(day=day, expected_min=float(day.labor_min * np.exp(-far)), chance=float(sure))
            for day, far, sure in zip(days, off, chance, strict=True)
            if sure > ODD
        ),
    )


def _told(records: Records, found: Fit) -> dict[int, Told]:
    noise: dict[int, Floats] = {}
    for jobs in records.alike:
        both = zip(jobs.rows[:, 0], covariance(jobs, found.line.parts, found.scales, found.doubt), strict=True)
        noise.update((int(row), one) for row, one in both)
    seen = found.left_out
    return {
        job: told_by(
            records.days[first:end],
            found.line,
            slice(first, end),
            noise[first],
            seen.off[first:end],
            seen.chance[first:end],
        )
        for job, (first, end) in records.bounds.items()
    }
