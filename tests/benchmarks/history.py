"""A database with years of history, and job files to load, made from the demo shop's own files."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from crewjobs.domain.job import JobRecord, JobState
from crewjobs.services.clock import DEMO_NOW
from crewjobs.services.demonstration.demo import run_demo
from crewjobs.services.resources import seed_folder
from crewjobs.storage.database import open_database


def fill(database: Path, jobs: int, folder: Path) -> list[Path]:
    """Make the demo with `jobs` closed jobs of history behind it; return 100 job files and their shop file."""
    run_demo(database, folder / "pages")
    opened = open_database(database, create=False)
    with opened.reading() as uow:
        live = uow.live_jobs()
    with opened.unit_of_work(who="bench") as uow:
        for count in range(jobs):
            uow.add_job(_closed(live[count % len(live)], 1000 + count))
        uow.commit(f"{jobs} closed jobs", at=DEMO_NOW)
    return [seed_folder() / "shop.toml", *_job_files(folder)]


def _closed(record: JobRecord, number: int) -> JobRecord:
    done = DEMO_NOW - timedelta(days=number % 700 + 10)
    tasks = tuple(replace(t, started_at=done, done_at=done) for t in record.tasks if not t.not_needed)
    numbers = {task.number for task in tasks}
    links = tuple(link for link in record.links if link.before in numbers and link.after in numbers)
    return JobRecord(job=replace(record.job, number=number, state=JobState.CLOSED), tasks=tasks, links=links)


def _job_files(folder: Path) -> list[Path]:
    texts = [path.read_text(encoding="utf-8") for path in sorted(seed_folder().glob("[0-9]*.toml"))]
    paths = []
    for count in range(100):
        path = folder / f"job-{count:03d}.toml"
        path.write_text(re.sub(r"(?m)^number *=.*$", "", texts[count % len(texts)], count=1), encoding="utf-8")
        paths.append(path)
    return paths
