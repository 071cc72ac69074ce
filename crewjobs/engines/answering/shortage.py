"""Where the hours themselves forbid it: work that only some crew can do, against all the hours it has before a promise."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import QUARTER
from crewjobs.engines.planning.jobwork import Floor, JobWork, job_work
from crewjobs.engines.planning.problem import PlanProblem


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """Jobs with more work for one crew than it has hours from `since` (UTC) to the end of the last promised day.

    `work_min` are minutes of the crew, at the least; `has_min` its hours, wherever it works. `crew` is empty where all
    crews together have too few.
    """

    jobs: tuple[int, ...]
    crew: str
    since: datetime
    until: date
    work_min: int
    has_min: int


def shortage(problem: PlanProblem, jobs: Collection[int]) -> Shortage | None:
    """Return the crew whose hours are short of what some jobs ask of it before their promises, None where none's are.

    What it returns is a proof: the work is counted with the most people, the hours without drive, site hours and waits.
    """
    floor = Floor(problem)
    works = [work for record in problem.jobs if record.job.number in jobs and (work := _work(record.job.number, floor))]
    for crew in ["", *floor.crews]:
        found = _short(floor, works, crew)
        if found is not None:
            return found
    return None


def _work(number: int, floor: Floor) -> JobWork | None:
    record = next(record for record in floor.problem.jobs if record.job.number == number)
    try:
        return job_work(record, floor) if record.job.promised is not None else None
    except Refused:
        return None


def _short(floor: Floor, works: list[JobWork], crew: str) -> Shortage | None:
    slots, since, ends, jobs = 0, floor.axis.slots, [], []
    for work in works:
        mine = 0
        for key, block in work.blocks.items():
            able = [name for name in floor.crews if floor.able(block, name)]
            if able and (not crew or able == [crew]):
                mine += min(floor.slots(block, name, floor.roster.most(name)) for name in able)
                fact = work.ready.get(key)
                since = min(since, max(0, floor.axis.up(fact.at)) if fact is not None else 0)
        if mine and work.record.job.promised is not None:
            slots += mine
            ends.append((floor.day(work.record, work.record.job.promised)[1], work.record.job.promised))
            jobs.append(work.number)
    if not ends:
        return None
    last, until = max(ends)
    names = [crew] if crew else list(floor.crews)
    last = min(max(0, last), floor.axis.slots)
    has = sum(max(0, floor.calendars.crew(n).count(last) - floor.calendars.crew(n).count(since)) for n in names)
    if slots <= has:
        return None
    return Shortage(
        jobs=tuple(sorted(jobs)),
        crew=crew,
        since=floor.axis.at(since),
        until=until,
        work_min=slots * QUARTER,
        has_min=has * QUARTER,
    )
