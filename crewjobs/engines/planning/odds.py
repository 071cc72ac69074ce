"""The odds of a plan: task times sampled through it many times, on the same calendars and rules as the plan.

The policy: every crew keeps its order of work; work shifts right inside its hours, never to another crew; waits run by
the clock from when their work really ended; what is delivered, or done by others, may be late by itself. Nothing starts before
its `floor`. Without any spread the plan itself comes out.

All samples go through the plan at once, a step at a time: times are slots of a quarter hour, arrays of them one a sample.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import sqrt
from typing import Final

import numpy as np
import numpy.typing as npt

from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Pause
from crewjobs.domain.wall import QUARTER
from crewjobs.engines.planning.calendars import Calendar
from crewjobs.engines.planning.coming_late import Late, draw_lates
from crewjobs.engines.planning.odds_calendar import NEVER, Lookup, Slots, looked_up

Floats = npt.NDArray[np.float32]

SAMPLES: Final = 10_000
RANKED: Final = 2_000
"""So many samples tell what drives a risk."""
ROUND: Final = 1e-6
"""Slots: less than that over a whole one is rounding."""


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """What a step waits for: an earlier step by its place, and slots by the clock after it."""

    step: int
    wait: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One block of a plan with its crew.

    `minutes` is the median of the crew's minutes, `sigma` the standard deviation of their log by what is the step's own. Nothing
    starts before `floor` (a slot), before what it is `after`, before `late` things have come, or before the crew is there: `drive`
    slots of the crew's hours (`hours`) after its step before, but no later than the next of its mornings.
    `lean` is how much of what is unsure of its crew's pace it has, 0 where its own is set by hand.
    `unsplit` and `opening` are the plan's rules for starting before a night (`jobwork`).
    """

    job: int
    crew: str
    calendar: Calendar
    hours: Calendar
    minutes: float
    sigma: float
    floor: int
    pause: Pause = Pause.NIGHT
    unsplit: int = 8
    opening: int = 2
    drive: int = 0
    after: tuple[After, ...] = ()
    late: tuple[str, ...] = ()
    lean: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """A plan to sample: steps in an order that keeps links and crews, and what may be late.

    `job_sigma` is how jobs differ and `crew_sigma` how unsure each crew's pace is, both of log minutes: all steps of a job or of a
    crew share them, so that overruns add up instead of evening out.
    """

    steps: tuple[Step, ...]
    lates: tuple[Late, ...] = ()
    job_sigma: float = 0.0
    crew_sigma: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Driver:
    """What moves a job's end: a step's place or a late thing's name, a job or a crew as a whole, and its correlation with the end."""

    what: str
    correlation: float
    step: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sampled:
    """What came of all samples: ends of steps (steps × samples) in slots, and what was drawn, by name."""

    network: Network
    ends: Slots
    drawn: Mapping[tuple[str, str], Floats]

    def job_ends(self, job: int) -> Slots:
        """Return when a job ends in each sample.

        Raises:
            Refused: no step is of that job.
        """
        mine = [place for place, step in enumerate(self.network.steps) if step.job == job]
        if not mine:
            raise Refused(f"job {job} has no place in this plan.")
        found: Slots = self.ends[mine].max(axis=0)
        return found

    def chance_by(self, job: int, slot: int) -> float:
        """Return the chance that a job is done by a slot."""
        return float((self.job_ends(job) <= slot).mean())

    def chance_error(self, job: int, slot: int) -> float:
        """Return the standard error of `chance_by`, which comes of sampling alone."""
        chance = self.chance_by(job, slot)
        return sqrt(chance * (1 - chance) / self.ends.shape[1])

    def finish(self, job: int, chance: float) -> int:
        """Return the first slot by which a job is done with a chance; `NEVER` where the plan's axis is too short."""
        ends = np.sort(self.job_ends(job))
        return int(ends[min(len(ends) - 1, max(0, int(np.ceil(chance * len(ends) - 1e-9)) - 1))])

    def drivers(self, job: int, most: int = 3) -> tuple[Driver, ...]:
        """Return what moves the end of a job most: rank correlation with it, the strongest first.

        Only what delays is named. Source: Spearman 1904 (MEMORY).
        """
        ends = _ranks(self.job_ends(job)[:RANKED].astype(np.float32))
        found = []
        for (kind, name), values in self.drawn.items():
            strength = float(ends @ _ranks(values[:RANKED])) / len(ends)
            found.append(
                Driver(what=f"{kind} {name}".strip(), correlation=strength, step=int(name) if kind == "step" else None)
            )
        strong = [one for one in found if one.correlation > 4 / sqrt(len(ends))]
        return tuple(sorted(strong, key=lambda one: (-one.correlation, one.what))[:most])


def sample(network: Network, random: np.random.Generator, count: int = SAMPLES) -> Sampled:
    """Return a plan sampled; the same generator state gives the same samples."""
    drawn = _draw(network, random, count)
    came = {one.name: _came(one, drawn) for one in network.lates}
    factors, lookups = _Factors(drawn, count), dict[int, Lookup]()
    ends = np.empty((len(network.steps), count), dtype=np.int32)
    last: dict[str, int] = {}
    for place, step in enumerate(network.steps):
        calendar = looked_up(lookups, step.calendar)
        ready = np.full(count, step.floor, dtype=np.int32)
        before = last.get(step.crew)
        if before is not None:
            hours = looked_up(lookups, step.hours)
            np.maximum(ready, hours.driven(ends[before], step.drive), out=ready)
        for link in step.after:
            np.maximum(ready, ends[link.step] + np.int32(link.wait), out=ready)
        for name in step.late:
            np.maximum(ready, came[name], out=ready)
        ends[place] = calendar.worked(ready, factors.work(step, place), step.pause, step.unsplit, step.opening)
        last[step.crew] = place
    return Sampled(network=network, ends=ends, drawn={key: values for key, values in drawn.items() if values.any()})


def _draw(network: Network, random: np.random.Generator, count: int) -> dict[tuple[str, str], Floats]:
    """Return the logs of what differs, by what it is of, drawn in a fixed order."""
    drawn: dict[tuple[str, str], Floats] = {}
    for name, late in draw_lates(network.lates, random, count).items():
        drawn["late", name] = late

    def normal(sigma: float) -> Floats:
        return random.standard_normal(count, dtype=np.float32) * np.float32(sigma)

    if network.job_sigma > 0:
        for job in sorted({step.job for step in network.steps}):
            drawn["job", str(job)] = normal(network.job_sigma)
    for crew in sorted({step.crew for step in network.steps}):
        if network.crew_sigma.get(crew, 0.0) > 0:
            drawn["crew", crew] = normal(network.crew_sigma[crew])
    for place, step in enumerate(network.steps):
        if step.sigma > 0:
            drawn["step", str(place)] = normal(step.sigma)
    return drawn


def _came(late: Late, drawn: Mapping[tuple[str, str], Floats]) -> Slots:
    slots = np.ceil(drawn["late", late.name].astype(np.float64))
    found: Slots = np.minimum(late.due + slots, NEVER).astype(np.int32)
    return found


class _Factors:
    """What the work of steps is multiplied by in each sample; what a job and a crew share is kept."""

    def __init__(self, drawn: Mapping[tuple[str, str], Floats], count: int) -> None:
        self._drawn, self._count = drawn, count
        self._shared: dict[tuple[int, str, float], Floats | None] = {}

    def work(self, step: Step, place: int) -> Slots:
        """Return the slots of work of a step in each sample, one at least."""
        slots = step.minutes / QUARTER
        own, shared = self._drawn.get(("step", str(place))), self._of(step)
        if own is None and shared is None:
            return np.full(self._count, max(1, int(np.ceil(slots - ROUND))), dtype=np.int32)
        factor = shared if own is None else np.exp(own) if shared is None else np.exp(own) * shared
        assert factor is not None
        found: Slots = np.ceil(factor * np.float32(slots) - np.float32(ROUND)).astype(np.int32)
        return np.maximum(found, 1, out=found)

    def _of(self, step: Step) -> Floats | None:
        key = (step.job, step.crew, step.lean)
        if key not in self._shared:
            names = ((("job", str(step.job)), 1.0), (("crew", step.crew), step.lean))
            logs = [self._drawn[name] * np.float32(lean) for name, lean in names if name in self._drawn and lean > 0]
            self._shared[key] = np.exp(sum(logs[1:], start=logs[0])) if logs else None
        return self._shared[key]


def _ranks(values: Floats) -> Floats:
    """Return ranks with mean 0 and variance 1, of equal values the mean of theirs; all 0 where they are all equal."""
    _, where, times = np.unique(values, return_inverse=True, return_counts=True)
    middle = np.cumsum(times) - (times + 1) / 2 - (len(values) - 1) / 2
    ranks: Floats = middle[where].astype(np.float32)
    spread = ranks.std()
    return ranks / spread if spread > 0 else ranks
