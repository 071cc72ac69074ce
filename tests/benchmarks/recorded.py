"""A database with so many recorded tasks: the demo's jobs over again, closed, with the hours of the crews that did them."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

import numpy as np

from crewjobs.domain.crew import Crew
from crewjobs.domain.evening import CrewHours
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.services.clock import DEMO_NOW
from crewjobs.services.demo import run_demo
from crewjobs.storage.database import Database, open_database

FIRST_NUMBER: Final = 1000
DAY_MIN: Final = 8 * 60
SPREAD: Final = 0.3
"""Standard deviation of the log of a day's hours about the book's: common practice, no source."""


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
