"""A job's estimate against its hours, phase by phase: what took longer, as far as sums over a day's tasks can tell.

Each day's hours are known for all its tasks together. How they part is inferred from the crew's pace as it is without this
job: every task's log minutes lie around it, as far as the pace is unsure and jobs and tasks differ, and the parts add up to
the day. So a phase comes with a band, and what its hours do not tell is said to be unsure.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, sqrt
from typing import Final

import numpy as np

from crewjobs.domain.errors import Refused
from crewjobs.domain.pace import DoneTask, HoursKind, WorkedDay
from crewjobs.domain.tasks import Phase
from crewjobs.domain.units import format_hours
from crewjobs.domain.wording import upper
from crewjobs.engines.learning.arrays import Floats, Ints, ordered
from crewjobs.engines.learning.odd import OddRecord
from crewjobs.engines.learning.pace import Pace
from crewjobs.engines.learning.predicting import log_factors
from crewjobs.engines.learning.scales import BAND_SDS
from crewjobs.engines.learning.updating import with_job

STEPS: Final = 8
AS_ESTIMATED: Final = 0.1
"""Up to a tenth off is as estimated (common practice, no source)."""
LEAST_SHOWN_MIN: Final = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseAgainst:
    """Labor minutes of a phase: as estimated, as they most likely were, and the 80 % band of the latter."""

    phase: Phase
    estimated_min: float
    likely_min: float
    low_min: float
    high_min: float
    doubted: bool = False

    @property
    def more(self) -> float:
        """Return how much longer it most likely took, as a share of the estimate; negative where it was quicker."""
        return self.likely_min / self.estimated_min - 1

    @property
    def sure(self) -> bool:
        """Return whether the estimate lies outside the band, and no record behind it is asked about."""
        return not self.doubted and not self.low_min <= self.estimated_min <= self.high_min

    @property
    def sentence(self) -> str:
        """Return in words what came of the estimate."""
        about = f"about {format_hours(self.likely_min)} of one person where {format_hours(self.estimated_min)} were estimated"
        band = f"likely between {format_hours(self.low_min)} and {format_hours(self.high_min)}"
        name = upper("the house" if self.phase is Phase.HOUSE else self.phase.value)
        if abs(self.more) <= AS_ESTIMATED:
            return f"{name} was as estimated: {about}."
        way = "longer" if self.more > 0 else "less"
        if self.sure:
            return f"{name} took {way}: {about}, {band}."
        if self.doubted:
            return f"{name} may have taken {way}: {about}; a record of it is asked about, so nothing is sure."
        return f"{name} may have taken {way}: {about}; {band}, since its hours are known only with other work's."


@dataclass(frozen=True, slots=True, kw_only=True)
class JobAgainst:
    """A job's estimate against its hours, in labor minutes.

    `taken_min` are the hours of days with something done, which the phases share; `idle_min` those of days with nothing done,
    `apart` those that were no work, by kind.
    """

    job: int
    estimated_min: float
    taken_min: float
    phases: tuple[PhaseAgainst, ...]
    idle_min: float
    apart: tuple[tuple[HoursKind, float], ...]
    odd: tuple[OddRecord, ...] = ()

    @property
    def sentences(self) -> tuple[str, ...]:
        """Return the whole job in a sentence, its phases from the one that lost most hours, and what is kept apart."""
        share = self.taken_min / self.estimated_min - 1
        off = "as estimated" if abs(share) < 0.005 else f"{abs(share) * 100:.0f} % {'more' if share > 0 else 'less'}"
        whole = (
            f"The job took {format_hours(self.taken_min)} of one person where {format_hours(self.estimated_min)} were "
            f"estimated: {off}."
        )
        most = sorted(self.phases, key=lambda one: (one.estimated_min - one.likely_min, one.phase))
        rest = [
            f"{upper(kind.value)}: {format_hours(minutes)} of one person, kept apart." for kind, minutes in self.apart
        ]
        rest += [f"Asked about: {odd.sentence}" for odd in self.odd]
        if self.idle_min:
            rest.insert(0, f"{format_hours(self.idle_min)} of one person on days without a ticked task.")
        return (whole, *(one.sentence for one in most), *rest)


def against(
    pace: Pace,
    days: Sequence[WorkedDay],
    phases: Mapping[int, Phase],
    estimates: Mapping[int, float] | None = None,
) -> JobAgainst:
    """Return a job's estimate against its hours.

    `phases` are of its tasks by number, `estimates` labor minutes by number, for what was done of each (the book's, where a
    task has none). What the job itself told of the pace is taken back first.

    Raises:
        Refused: no hours with anything done, or hours of several jobs.
    """
    jobs = {day.job for day in days}
    if len(jobs) > 1:
        raise Refused(f"hours of jobs {', '.join(map(str, sorted(jobs)))}; give the records of one job.")
    known = ordered(days)
    if not known:
        raise Refused("no hours with anything done: there is nothing to compare the estimate with.")
    job = known[0].job
    parts = _Parts(known)
    logs, cov = parts.prior(with_job(pace, job, ()))
    odd = pace.told[job].odd if job in pace.told else ()
    minutes, spread = parts.parted(logs, cov, pace.scales.entry)
    estimated = _estimated(parts, estimates or {})
    rows = []
    for phase in Phase:
        mine = np.array([phases[task.number] is phase for task in parts.done])
        if not mine.any():
            continue
        likely = float(minutes[mine].sum())
        slope = np.bincount(parts.task[mine], minutes[mine], len(parts.tasks))
        sd = sqrt(max(0.0, float(slope @ spread @ slope))) / likely
        rows.append(
            PhaseAgainst(
                phase=phase,
                estimated_min=sum(
                    estimated[number] for number in sorted({t.number for t in parts.done if phases[t.number] is phase})
                ),
                likely_min=likely,
                low_min=likely * exp(-BAND_SDS * sd),
                high_min=likely * exp(BAND_SDS * sd),
                doubted=bool(odd),
            )
        )
    kinds = [
        (kind, sum(day.labor_min for day in days if day.kind is kind))
        for kind in HoursKind
        if kind is not HoursKind.WORK
    ]
    return JobAgainst(
        job=job,
        estimated_min=sum(estimated.values()),
        taken_min=sum(day.labor_min for day in known),
        phases=tuple(rows),
        idle_min=sum(day.labor_min for day in days if day.kind is HoursKind.WORK and not day.done),
        apart=tuple((kind, minutes) for kind, minutes in kinds if minutes),
        odd=odd,
    )


class _Parts:
    """What was done of each task on each day: `task` says which of `tasks` (crew, task) a part is of, `row` of which day."""

    def __init__(self, days: Sequence[WorkedDay]) -> None:
        self.done = [task for day in days for task in day.done]
        crews = [day.crew for day in days for _ in day.done]
        keys = [(crew, task.number) for crew, task in zip(crews, self.done, strict=True)]
        self.tasks: dict[tuple[str, int], DoneTask] = dict(zip(keys, self.done, strict=True))
        at = {key: place for place, key in enumerate(self.tasks)}
        self.task: Ints = np.array([at[key] for key in keys], dtype=np.intp)
        self.row: Ints = np.array([row for row, day in enumerate(days) for _ in day.done], dtype=np.intp)
        self.book: Floats = np.array([task.book_min for task in self.done])
        self.labor: Floats = np.array([day.labor_min for day in days], dtype=float)

    def prior(self, pace: Pace) -> tuple[Floats, Floats]:
        """Return mean and covariance of the tasks' log factors in this job; what crews share of the shop counts as their own."""
        mean, cov = np.zeros(len(self.tasks)), np.zeros((len(self.tasks), len(self.tasks)))
        for crew in sorted({crew for crew, _ in self.tasks}):
            mine = np.array([place for place, (name, _) in enumerate(self.tasks) if name == crew])
            works = [(task.template, task.conditions) for (name, _), task in self.tasks.items() if name == crew]
            mean[mine], cov[np.ix_(mine, mine)] = log_factors(pace, crew, works)
        cov += pace.scales.job**2
        cov[np.diag_indices_from(cov)] += pace.scales.within**2
        return mean, cov

    def parted(self, logs: Floats, cov: Floats, entry: float) -> tuple[Floats, Floats]:
        """Return the minutes of each part, which add up to each day's, and the covariance of the tasks' logs given the days."""
        count, off = len(self.labor), np.zeros(len(logs))
        for _ in range(STEPS):
            minutes = self.book * np.exp((logs + off)[self.task])
            total = np.bincount(self.row, minutes, count)
            share = np.zeros((count, len(logs)))
            np.add.at(share, (self.row, self.task), minutes / total[self.row])
            target = np.log(self.labor / total) + share @ off
            shared = share @ cov
            noise = max(entry, 1e-3) ** 2 * np.eye(count)
            gain = np.linalg.solve(shared @ share.T + noise, shared).T
            off = gain @ target
        minutes = self.book * np.exp((logs + off)[self.task])
        total = np.bincount(self.row, minutes, count)
        return minutes * (self.labor / total)[self.row], cov - gain @ shared


def _estimated(parts: _Parts, estimates: Mapping[int, float]) -> dict[int, float]:
    book: dict[int, float] = {}
    for task in parts.done:
        book[task.number] = book.get(task.number, 0.0) + task.book_min
    return {number: estimates.get(number, minutes) for number, minutes in sorted(book.items())}
