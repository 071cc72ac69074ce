"""What work will take a crew: the median of its labor minutes and how far it may be off, and the rate of one template."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from math import exp, hypot, log, log1p, sqrt
from statistics import NormalDist

import numpy as np

from crewjobs.domain.errors import Refused
from crewjobs.domain.pace import DoneTask, LearnedRate
from crewjobs.engines.learning.arrays import Floats
from crewjobs.engines.learning.effects import effects_of
from crewjobs.engines.learning.pace import Pace
from crewjobs.engines.learning.scales import BAND_SDS, CONDITION, Effect


@dataclass(frozen=True, slots=True, kw_only=True)
class Predicted:
    """Labor minutes of one person, lognormal: their median, and the standard deviation of their log."""

    median: float
    sigma: float

    @property
    def mean(self) -> float:
        """Return the expected minutes."""
        return self.median * exp(self.sigma**2 / 2)

    def within(self, chance: float) -> float:
        """Return the minutes that suffice with a chance between 0 and 1, both left out."""
        return self.median * exp(NormalDist().inv_cdf(chance) * self.sigma)

    @property
    def band(self) -> tuple[float, float]:
        """Return the 80 % band."""
        return self.median * exp(-BAND_SDS * self.sigma), self.median * exp(BAND_SDS * self.sigma)


def log_factors(pace: Pace, crew: str, works: Sequence[tuple[str, Collection[str]]]) -> tuple[Floats, Floats]:
    """Return mean and covariance of the logs of a crew's mean pace at works: (template, conditions) each.

    Of a pinned rate only what the conditions cost is unsure.
    """
    used = [list(_effects(pace, crew, *work)) for work in works]
    new = sorted({effect for one in used for effect in one if effect not in pace.places})
    at = {effect: place for place, effect in enumerate(new, start=len(pace.mean))}
    pick = np.zeros((len(works), len(pace.mean) + len(new)))
    for row, one in enumerate(used):
        for effect in one:
            pick[row, pace.places.get(effect, at.get(effect, -1))] += 1
    old = pick[:, : len(pace.mean)]
    fresh = pick[:, len(pace.mean) :] * np.array([pace.scales.of(effect) for effect in new])
    mean = old @ pace.mean
    for row, (template, _) in enumerate(works):
        pin = pace.pins.get((crew, template))
        mean[row] += log(pin.factor) if pin is not None else 0.0
    return mean, old @ pace.cov @ old.T + fresh @ fresh.T


def _effects(pace: Pace, crew: str, template: str, conditions: Collection[str]) -> Iterable[Effect]:
    every = effects_of(crew, template, conditions)
    return (effect for effect in every if effect[0] == CONDITION) if (crew, template) in pace.pins else every


def rate(pace: Pace, crew: str, template: str) -> LearnedRate:
    """Return a crew's rate at a template, without conditions beyond the book's."""
    mean, cov = log_factors(pace, crew, [(template, ())])
    factor, sd = exp(mean[0]), sqrt(max(0.0, cov[0, 0]))
    unpinned, _ = log_factors(pace.pinned(()), crew, [(template, ())])
    return LearnedRate(
        crew=crew,
        template=template,
        factor=factor,
        low=factor * exp(-BAND_SDS * sd),
        high=factor * exp(BAND_SDS * sd),
        spread=hypot(sd, pace.scales.job, pace.scales.within),
        jobs=pace.jobs.get((crew, template), 0),
        learned=exp(unpinned[0]),
        pinned=(crew, template) in pace.pins,
    )


def condition_factor(pace: Pace, condition: str) -> tuple[float, float, float]:
    """Return how many times as long work takes under a condition beyond the book's factor, with its 80 % band."""
    effect = (CONDITION, condition)
    place = pace.places.get(effect)
    middle, sd = (0.0, pace.scales.of(effect)) if place is None else (pace.mean[place], sqrt(pace.cov[place, place]))
    return exp(middle), exp(middle - BAND_SDS * sd), exp(middle + BAND_SDS * sd)


def predict(pace: Pace, crew: str, tasks: Sequence[DoneTask]) -> Predicted:
    """Return what tasks of one job will take a crew together, from its pace, how jobs differ and how tasks of one do.

    The sum of the tasks' lognormal minutes, correlated by what they share, is taken as lognormal with the true sum's mean
    and variance. Source: Fenton 1960, called Fenton-Wilkinson (MEMORY).

    Raises:
        Refused: no task.
    """
    if not tasks:
        raise Refused("nothing to predict: name at least one task.")
    return _together(pace, tasks, *log_factors(pace, crew, [(task.template, task.conditions) for task in tasks]))


def _together(pace: Pace, tasks: Sequence[DoneTask], mean: Floats, cov: Floats) -> Predicted:
    cov = cov + pace.scales.job**2
    cov[np.diag_indices_from(cov)] += pace.scales.within**2
    minutes = np.array([task.book_min for task in tasks]) * np.exp(mean + np.diag(cov) / 2)
    total = float(minutes.sum())
    variance = log1p(float(minutes @ np.expm1(cov) @ minutes) / total**2)
    return Predicted(median=total * exp(-variance / 2), sigma=sqrt(variance))


def job_pace(pace: Pace, crew: str, tasks: Sequence[DoneTask]) -> tuple[list[float], float]:
    """Return how many times the book's minutes each task of one job usually takes a crew, and the log spread of all together.

    Raises:
        Refused: no task.
    """
    if not tasks:
        raise Refused("nothing to predict: name at least one task.")
    mean, cov = log_factors(pace, crew, [(task.template, task.conditions) for task in tasks])
    return np.exp(mean).tolist(), _together(pace, tasks, mean, cov).sigma


def chance_within(predicted: Predicted, minutes: float) -> float:
    """Return the chance that work takes no more than so many labor minutes."""
    if minutes <= 0:
        return 0.0
    return NormalDist(log(predicted.median), max(predicted.sigma, 1e-12)).cdf(log(minutes))


def usual_minutes(pace: Pace, crew: str, tasks: Sequence[DoneTask]) -> float:
    """Return the labor minutes that tasks take a crew on the average over many jobs, its mean pace as it is known."""
    mean, cov = log_factors(pace, crew, [(task.template, task.conditions) for task in tasks])
    more = (pace.scales.job**2 + pace.scales.within**2) / 2
    return sum(task.book_min * exp(m + v / 2 + more) for task, m, v in zip(tasks, mean, np.diag(cov), strict=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Parted:
    """What works of one crew take, one by one: medians in minutes, and the standard deviation of each one's log by itself.

    `shared` is the standard deviation of what is unsure of the crew's pace at all of them alike, `leans` how much of it each one
    has, from 0 to 1; how jobs differ (`Scales.job`) comes to it.
    """

    shared: float
    medians: tuple[float, ...]
    sigmas: tuple[float, ...]
    leans: tuple[float, ...] = ()


def parted(pace: Pace, crew: str, works: Sequence[Sequence[DoneTask]]) -> Parted:
    """Return what several works (blocks of a plan) take a crew, for odds in which overruns of one crew come together.

    The covariance of the works' log minutes is split into what they share, each as far as it does, and the rest.

    Raises:
        Refused: a work without a task.
    """
    if not all(works):
        raise Refused("nothing to predict: name at least one task.")
    if not works:
        return Parted(shared=0.0, medians=(), sigmas=())
    tasks = [task for work in works for task in work]
    mean, cov = log_factors(pace, crew, [(task.template, task.conditions) for task in tasks])
    first = np.cumsum([0, *map(len, works)])[:-1]
    minutes = np.array([task.book_min for task in tasks]) * np.exp(mean)
    total = np.add.reduceat(minutes, first)
    share = minutes / np.repeat(total, [len(work) for work in works])
    rows = np.add.reduceat(np.add.reduceat(cov * share * share[:, None], first, axis=0), first, axis=1)
    own = np.log1p(np.expm1(pace.scales.within**2) * np.add.reduceat(share**2, first))
    bend = (np.add.reduceat(share * np.diag(cov), first) - np.diag(rows)) / 2  # as in `sums.linear`
    loads = _common(rows, total)
    shared = float(loads.max(initial=0.0))
    return Parted(
        shared=shared,
        medians=tuple(float(one) for one in total * np.exp(bend + (pace.scales.within**2 - own) / 2)),
        sigmas=tuple(sqrt(float(one)) for one in np.maximum(np.diag(rows) - loads**2, 0) + own),
        leans=tuple(float(one) for one in (loads / shared if shared > 0 else loads)),
    )


def _common(cov: Floats, minutes: Floats) -> Floats:
    """Return how far each work strays with one thing all share, so that what the works share of the sum's variance stays.

    A single factor: its products stand for the covariances of different works, weighed by their minutes. A work that is known far
    better than the rest (a rate set by hand) hardly shares in it.
    """
    apart = cov - np.diag(np.diag(cov))
    whole = float(minutes @ apart @ minutes)
    if whole <= 0:
        return np.zeros(len(minutes))
    loads: Floats = np.maximum(apart @ minutes, 0) / sqrt(whole)
    among = float((minutes @ loads) ** 2 - (minutes**2) @ (loads**2))
    if among <= 0:
        return np.zeros(len(minutes))
    return np.minimum(loads * sqrt(whole / among), np.sqrt(np.diag(cov)))
