"""Odds in words: chances, days, and what drives a risk."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey, Placement
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import counted, day_words
from crewjobs.engines.learning.pace import Pace
from crewjobs.engines.planning.odds import Driver
from crewjobs.engines.planning.problem import Earliest, PlanProblem
from crewjobs.engines.readiness.hold import FactKind
from crewjobs.services.odds.odds_rows import DriverRow
from crewjobs.services.weeks.visits import work_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Telling:
    """What is needed to tell of a driver: the problem, the blocks by their steps, and of how many jobs a crew's hours are known."""

    problem: PlanProblem
    keys: tuple[BlockKey, ...]
    placements: Mapping[BlockKey, Placement]
    pace: Pace
    today: date

    def rows(self, job: int, drivers: tuple[Driver, ...]) -> tuple[DriverRow, ...]:
        """Return the drivers of a job's finish in words, the strongest first."""
        return tuple(DriverRow(words=self._words(job, one), correlation=one.correlation) for one in drivers)

    def _words(self, job: int, driver: Driver) -> str:
        if driver.step is not None:
            return self._block(job, self.placements[self.keys[driver.step]])
        kind, _, name = driver.what.partition(" ")
        if kind == "crew":
            jobs = _jobs_of(self.pace, name)
            known = f"known from {counted(jobs, 'job')}" if jobs else "not known from any hours yet"
            return f"how quick {name} is, {known}"
        if kind == "job":
            return (
                "how this house turns out beside others" if int(name) == job else f"how job {name} turns out before it"
            )
        return self._late(name)

    def _block(self, job: int, placement: Placement) -> str:
        record = self._record(placement.key.job)
        start = day_words(to_wall(record.job.site.zone, placement.start).date(), self.today)
        what = work_words([record.task(number) for number in placement.tasks])
        where = "" if placement.key.job == job else f" at job {placement.key.job} before it"
        return f"{placement.crew}'s {what}{where}, planned {start}"

    def _record(self, job: int) -> JobRecord:
        return next(record for record in self.problem.jobs if record.job.number == job)

    def _late(self, name: str) -> str:
        """Return a late thing in words; its name is ``job 12: creek maple is due``, as `odds_network` gives it."""
        number, _, reason = name.removeprefix("job ").partition(": ")
        fact = next(
            fact
            for (job, _), facts in self.problem.earliest.items()
            if job == int(number)
            for fact in facts
            if fact.reason == reason
        )
        return late_words(fact, self._record(int(number)), self.today)


def late_words(fact: Earliest, record: JobRecord, today: date) -> str:
    """Return what may come late, with the day it is there for."""
    day = day_words(to_wall(record.job.site.zone, fact.at).date(), today)
    if fact.kind is FactKind.DUE:
        return f"{fact.reason.removesuffix(' is due')} (job {record.job.number}), due {day}, may come late"
    if fact.kind is FactKind.PROMISE:
        return f"{fact.reason.removesuffix(' for')} (job {record.job.number}) for {day}, which may be later"
    return f"the house of job {record.job.number} may be ready later ({fact.reason} {day})"


def _jobs_of(pace: Pace, crew: str) -> int:
    """Return of how many jobs hours of a crew are known."""
    return sum(any(name == crew for name, _ in told.worked) for told in pace.told.values())
