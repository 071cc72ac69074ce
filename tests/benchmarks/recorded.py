"""A database with so many recorded tasks: the demo's jobs over again, closed, with the hours of the crews that did them.

And what a tick, the rates and the learned pace take in it: `timed` prints nothing and asserts nothing.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final

import numpy as np
from sqlalchemy import Connection

from crewjobs.domain.crew import Crew
from crewjobs.domain.evening import CrewHours
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.services.clock import DEMO_NOW
from crewjobs.services.demonstration.demo import run_demo
from crewjobs.services.office import Office
from crewjobs.services.rates.learned import learned, pace_to_plan
from crewjobs.storage.database import Database, open_database

FIRST_NUMBER: Final = 1000
DAY_MIN: Final = 8 * 60
SPREAD: Final = 0.3
"""Standard deviation of the log of a day's hours about the book's: common practice, no source."""

TICKS: Final = 40
ASKED: Final = 5


class _Then:
    """The clock of the demo."""

    def now(self) -> datetime:
        """Return the demo's moment."""
        return DEMO_NOW


def timed(tasks: int, random: np.random.Generator) -> dict[str, Any]:
    """Return milliseconds of ticks, of rates and of the learned pace with so many recorded tasks.

    A tick is timed whole, its commit (the database's own) alone, and what it takes beyond; the plan that follows is no part of it.
    """
    with tempfile.TemporaryDirectory() as folder:
        opened = fill_recorded(Path(folder) / "recorded.sqlite3", tasks, Path(folder), random)
        office = Office(opened, _Then(), who="bench")
        with opened.reading() as uow:
            worked = uow.worked_jobs()
            still = [(job.job.number, task.number) for job in uow.live_jobs() for task in job.tasks if task.open]
        rates = [_took(office.rates) for _ in range(1 + ASKED)]
        pace = [_took(lambda: _learned(office)) for _ in range(ASKED)]
        ticks = [_tick(office, job, task) for job, task in still[:TICKS]]
        planned_by = [_took(lambda: _to_plan(office)) for _ in range(ASKED)]
        after = _took(office.rates)
    return {
        "recorded_tasks": sum(task.done_at is not None for job in worked for task in job.tasks),
        "recorded_jobs": len(worked),
        "ticks": len(ticks),
        "tick_ms": _middle([whole for whole, _, _ in ticks]),
        "tick_commit_ms": _middle([commit for _, commit, _ in ticks]),
        "tick_beyond_commit_ms": _middle([whole - commit for whole, commit, _ in ticks]),
        "tick_processor_ms": _middle([processor for _, _, processor in ticks]),
        "rates_cold_ms": round(rates[0]),
        "rates_kept_ms": round(statistics.median(rates[1:])),
        "rates_after_the_ticks_ms": round(after),
        "learned_kept_ms": round(statistics.median(pace)),
        "planned_by_after_the_ticks_ms": round(statistics.median(planned_by)),
    }


def _middle(times: list[float]) -> dict[str, float]:
    """Return the median and the 95th percentile."""
    return {"median": round(statistics.median(times), 1), "p95": round(float(np.percentile(times, 95)), 1)}


def _to_plan(office: Office) -> None:
    """Read the rates the plan that follows a tick is made by."""
    with office._database.reading() as uow:
        pace_to_plan(uow, DEMO_NOW)


def _learned(office: Office) -> None:
    with office._database.reading() as uow:
        learned(uow, DEMO_NOW)


def _took(ask: Callable[[], object]) -> float:
    begin = time.perf_counter()
    ask()
    return (time.perf_counter() - begin) * 1000


def _tick(office: Office, job: int, task: int) -> tuple[float, float, float]:
    """Return the milliseconds of a tick by the clock, of its commit, and of the processor, whatever else the machine does."""
    begin = time.process_time()
    with _commits() as took:
        whole = _took(lambda: office.tick(job, [task], because="bench"))
    return whole, sum(took), (time.process_time() - begin) * 1000


@contextmanager
def _commits() -> Iterator[list[float]]:
    """Yield a list to which each commit of a connection adds its milliseconds."""
    took: list[float] = []
    commit = Connection.commit

    def watched(connection: Connection) -> None:
        took.append(_took(lambda: commit(connection)))

    Connection.commit = watched  # type: ignore[method-assign]
    try:
        yield took
    finally:
        Connection.commit = commit  # type: ignore[method-assign]


def fill_recorded(path: Path, tasks: int, folder: Path, random: np.random.Generator) -> Database:
    """Make the demo with closed jobs behind it until `tasks` tasks are done and have hours; return it, opened."""
    run_demo(path, folder / "pages")
    opened = open_database(path, create=False)
    with opened.reading() as uow:
        live, crews = uow.live_jobs(), [crew for crew in uow.shop().crews if crew.sub is None]
    made, number = 0, FIRST_NUMBER
    with opened.unit_of_work(who="bench") as uow:
        while made < tasks:
            record = _closed(live[number % len(live)], number, crews[number % len(crews)], random)
            uow.add_job(record)
            made, number = made + len(record.tasks), number + 1
        uow.commit(f"{number - FIRST_NUMBER} closed jobs", at=DEMO_NOW)
    return opened


def _closed(record: JobRecord, number: int, crew: Crew, random: np.random.Generator) -> JobRecord:
    """Return a job done by one crew, a day of work after the other."""
    first = (DEMO_NOW - timedelta(days=int(random.integers(30, 700)))).replace(hour=14, minute=0)
    people, labor, day, done, hours = len(crew.workers), 0.0, 0, [], []
    for task in (task for task in record.tasks if not task.not_needed):
        labor += task.estimate.expected
        at = first + timedelta(days=day, hours=7)
        done.append(replace(task, started_at=at, done_at=at, crew=crew.name))
        if labor >= people * DAY_MIN:
            hours.append(_hours(crew, first + timedelta(days=day), labor, random))
            labor, day = 0.0, day + 1
    if labor:
        hours.append(_hours(crew, first + timedelta(days=day), labor, random))
    numbers = {task.number for task in done}
    links = tuple(link for link in record.links if link.before in numbers and link.after in numbers)
    job = replace(record.job, number=number, state=JobState.CLOSED)
    return JobRecord(job=job, tasks=tuple(done), links=links, crew_hours=tuple(hours))


def _hours(crew: Crew, start: datetime, labor: float, random: np.random.Generator) -> CrewHours:
    """Return a day's hours: the book's, off by what a crew is off, written down to the quarter hour."""
    people = len(crew.workers)
    minutes = 15 * max(1, round(labor * float(np.exp(random.normal(0, SPREAD))) / people / 15))
    return CrewHours(crew=crew.name, start=start, stop=start + timedelta(minutes=min(minutes, 14 * 60)), people=people)
