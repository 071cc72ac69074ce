"""A program that ticks tasks one after the other and tells after each commit; tests kill it at any moment."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from multiprocessing.connection import Connection
from pathlib import Path

from crewjobs.storage import open_database

START = datetime(2026, 3, 2, tzinfo=UTC)


def ticked_at(change: int) -> datetime:
    """Return the instant that a change ticks its task at, another one for every change."""
    return START + timedelta(seconds=change)


def tick_for_ever(path: Path, told: Connection) -> None:
    """Tick the tasks of job 1 in turn, each at the instant of its change; tell every change once it is committed."""
    database = open_database(path)
    while True:
        with database.unit_of_work(who="ticker") as uow:
            before, change = uow.job(1), uow.last_change_number() + 1
            number = change % len(before.tasks) + 1
            tasks = tuple(replace(t, done_at=ticked_at(change)) if t.number == number else t for t in before.tasks)
            uow.save_job(before, replace(before, tasks=tasks))
            uow.commit(f"task {number} done", at=ticked_at(change), job=1)
        told.send(change)
