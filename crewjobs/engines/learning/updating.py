"""Learning on from one job, in milliseconds: what it told before is taken back, what it tells now is added.

The scales stay; `pace.learn` finds them anew when all is learned from the start. Taking back and adding are exact for records
linear in the effects (Woodbury identity, which is the Kalman filter's update); sums are made linear around what is found.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Final

import numpy as np

from crewjobs.domain.errors import Refused
from crewjobs.domain.pace import WorkedDay
from crewjobs.engines.learning.arrays import Floats, as_arrays, ordered
from crewjobs.engines.learning.effects import with_new
from crewjobs.engines.learning.fitting import left_out
from crewjobs.engines.learning.noise import Doubt, covariance
from crewjobs.engines.learning.pace import Pace, Worked, told_by
from crewjobs.engines.learning.scales import Effect
from crewjobs.engines.learning.sums import linear

STEPS: Final = 4


def with_job(pace: Pace, job: int, days: Iterable[WorkedDay]) -> Pace:
    """Return the pace with `days` as all the records of a job; without any, as if it had never been.

    Raises:
        Refused: a record is of another job.
    """
    mine = tuple(days)
    for day in mine:
        if day.job != job:
            raise Refused(f"hours of job {day.job} among those of job {job}; give the records of one job.")
    without = _taken_back(pace, job)
    known = ordered(mine)
    return _added(without, job, known) if known else without


def _taken_back(pace: Pace, job: int) -> Pace:
    told = pace.told.get(job)
    if told is None:
        return pace
    wide = np.zeros((len(told.target), len(pace.mean)))
    wide[:, : told.slope.shape[1]] = told.slope
    shared = wide @ pace.cov
    gain = np.linalg.solve(told.noise - shared @ wide.T, shared).T
    rest = {number: one for number, one in pace.told.items() if number != job}
    return replace(
        pace,
        mean=pace.mean - gain @ (told.target - wide @ pace.mean),
        cov=_even(pace.cov + gain @ shared),
        told=rest,
        jobs=_counted(pace.jobs, told.worked, -1),
    )


def _added(pace: Pace, job: int, days: tuple[WorkedDay, ...]) -> Pace:
    places = with_new(pace.places, days)
    mean, cov = widened(pace, places)
    records = as_arrays(days, places)
    jobs = records.alike[0]
    found, after, doubt = mean, cov, Doubt.none(len(days))
    for _ in range(STEPS):
        line = linear(records, found, after, pace.scales)
        noise = covariance(jobs, line.parts, pace.scales, doubt)[0]
        shared = line.slope @ cov
        gain = np.linalg.solve(noise + shared @ line.slope.T, shared).T
        found = mean + gain @ (line.target - line.slope @ mean)
        after = _even(cov - gain @ shared)
        seen = left_out(records, line, found, after, pace.scales, doubt, doubted=pace.doubted)
        doubt = seen.doubt
    told = told_by(days, line, slice(None), noise, seen.off, seen.chance)
    return replace(
        pace,
        places=places,
        mean=found,
        cov=after,
        told={**pace.told, job: told},
        jobs=_counted(pace.jobs, told.worked, 1),
    )


def widened(pace: Pace, places: Mapping[Effect, int]) -> tuple[Floats, Floats]:
    """Return mean and covariance with room for effects the pace knows nothing of, each as it is before any hours."""
    old, new = len(pace.mean), len(places)
    mean, cov = np.zeros(new), np.zeros((new, new))
    mean[:old], cov[:old, :old] = pace.mean, pace.cov
    for effect, place in places.items():
        if place >= old:
            cov[place, place] = pace.scales.of(effect) ** 2
    return mean, cov


def _even(cov: Floats) -> Floats:
    found: Floats = (cov + cov.T) / 2
    return found


def _counted(jobs: Mapping[Worked, int], worked: Iterable[Worked], by: int) -> dict[Worked, int]:
    found = dict(jobs)
    for one in worked:
        found[one] = found.get(one, 0) + by
    return {one: count for one, count in found.items() if count}
