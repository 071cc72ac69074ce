"""Short forms for what tests do to a database."""

from __future__ import annotations

from dataclasses import replace

from crewjobs.domain.crew import Crew, Shop, Worker
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import WeekHours
from tests.builders import link, material, record, task, utc

NOW = utc(2026, 3, 2, 12, 30)


def house(number=1):
    """Return a job with three tasks in a row."""
    tasks = [task(1), task(2), task(3)]
    return record(tasks, [link(1, 2), link(2, 3, 24, "glue cures")], materials=[material()], number=number)


def plan(until=NOW):
    """Return an empty plan."""
    return WeekPlan(made_at=NOW, until=until, placements=(), left_out=())


def shop(*crews):
    """Return a shop with crews of one."""
    off = WeekHours(days=((),) * 7)
    made = [Crew(name=name, workers=(Worker(name="Ira", lead=True),), hours=off, skills=frozenset()) for name in crews]
    return Shop(name="Harbor Floors", zone="America/Chicago", hours=off, crews=tuple(made))


def add(database, wanted=None, what="added"):
    """Add a job and return the change."""
    wanted = wanted or house()
    with database.unit_of_work(who="Sam") as uow:
        uow.add_job(wanted)
        return uow.commit(what, at=NOW, job=wanted.job.number)


def change(database, edit, what="changed", number=1):
    """Save a job as `edit` makes it and return the change."""
    with database.unit_of_work(who="Sam") as uow:
        before = uow.job(number)
        uow.save_job(before, edit(before))
        return uow.commit(what, at=NOW, job=number)


def planned(database, until=NOW, caused_by=None):
    """Save a plan and return the change."""
    with database.unit_of_work(who="Sam") as uow:
        number = uow.save_plan(plan(until))
        return uow.commit(f"plan {number}", at=NOW, caused_by=caused_by)


def undo(database, number=None, **more):
    """Take a change back."""
    with database.unit_of_work(who="Kim") as uow:
        return uow.undo(number, at=NOW, **more)


def tick(number):
    """Return the edit that ticks a task."""

    def edit(before):
        return replace(before, tasks=tuple(replace(t, done_at=NOW) if t.number == number else t for t in before.tasks))

    return edit


def title(words):
    """Return the edit that gives a job another title."""
    return lambda before: replace(before, job=replace(before.job, title=words))


def job(database, number=1):
    """Read a job."""
    with database.reading() as uow:
        return uow.job(number)


def latest(database):
    """Read the plan in force."""
    with database.reading() as uow:
        return uow.latest_plan()


def log(database):
    """Return what the log says, oldest first: number, sentence, the change that took it back."""
    with database.reading() as uow:
        return [(entry.number, entry.what, entry.undone_by) for entry in reversed(uow.changes(1000))]
