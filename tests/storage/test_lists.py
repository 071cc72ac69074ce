"""Lists of jobs, and what keeps material and crews where they are."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from sqlalchemy import event

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobState
from crewjobs.domain.material import Lot
from crewjobs.domain.plan import Pin
from crewjobs.storage import database as database_module
from crewjobs.storage import open_database
from tests.builders import record, task
from tests.storage.actions import NOW, add, change, house, shop


def queries(database, read, monkeypatch):
    """Return how many statements a read takes."""
    statements = []
    engine = database_module._engine

    def listening(path, begin):
        made = engine(path, begin)
        event.listen(made, "before_cursor_execute", lambda *args: statements.append(args[2]))
        return made

    monkeypatch.setattr(database_module, "_engine", listening)
    with open_database(database.path).reading() as uow:
        read(uow)
    return len(statements)


@pytest.mark.parametrize(
    "read", [lambda uow: uow.live_jobs(), lambda uow: uow.job_summaries(True), lambda uow: uow.changes(60)]
)
def test_lists_take_as_many_queries_for_thirty_jobs_as_for_one(database, read, monkeypatch):
    """No list asks the database once a job."""
    add(database)
    one = queries(database, read, monkeypatch)
    for number in range(2, 31):
        add(database, house(number))
    assert queries(database, read, monkeypatch) == one


def test_live_jobs_are_those_asked_quoted_or_booked(database):
    """Jobs done, closed or called off are history, and are not among the live ones."""
    for number, state in enumerate(JobState, start=1):
        wanted = house(number)
        add(database, replace(wanted, job=replace(wanted.job, state=state)))
    with database.reading() as uow:
        live = uow.live_jobs()
        assert [found.job.state for found in live] == [JobState.ASKED, JobState.QUOTED, JobState.BOOKED]
        assert live == tuple(uow.job(number) for number in (1, 2, 3))
        assert [row.number for row in uow.job_summaries()] == [1, 2, 3]
        assert [row.number for row in uow.job_summaries(everything=True)] == list(uow.job_numbers())


def test_a_summary_counts_the_tasks_of_its_job(database):
    """A row of the list counts tasks done of those needed, also where a job has none."""
    tasks = (task(1, done_at=NOW), replace(task(2, done_at=NOW), not_needed=True), task(3), task(4))
    add(database, record(tasks))
    add(database, record(number=2))
    with database.reading() as uow:
        assert [(row.tasks_done, row.tasks_all) for row in uow.job_summaries()] == [(1, 3), (0, 0)]
        [first, _] = uow.job_summaries()
    assert (first.title, first.customer, first.address) == (
        "Ferry Lane 4",
        "Odalys Brandt",
        "4 Ferry Lane, Marrow Bend",
    )


def test_a_material_of_which_cartons_came_stays(database):
    """Cartons in the house are a fact: their material does not go from the job under them."""
    add(database, replace(house(), lots=(Lot(material="harbor plank", name="A", cartons=3, arrived_at=NOW),)))
    bare = replace(house().job.rooms[0], floor=None)
    with pytest.raises(Refused, match="cartons of 'harbor plank' have come"):
        change(database, lambda b: replace(b, job=replace(b.job, rooms=(bare,), materials=())))


def test_a_crew_with_a_pin_stays(database):
    """A crew that something is pinned to is not taken out of the shop under the pin."""
    add(database)
    with database.unit_of_work() as uow:
        uow.save_shop(shop("North", "South"))
        uow.save_pin(Pin(job=1, task=1, crew="South", day=date(2026, 3, 4)))
        uow.commit("pinned", at=NOW)
    with pytest.raises(Refused, match="job 1, task 1 is pinned to crew 'South'"), database.unit_of_work() as uow:
        uow.save_shop(shop("North"))


def test_a_pin_takes_the_place_of_the_one_before(database):
    """A task has one pin; dropping it leaves none."""
    add(database)
    pins = [Pin(job=1, task=1, crew=crew, day=date(2026, 3, 4)) for crew in ("North", "South")]
    with database.unit_of_work() as uow:
        uow.save_shop(shop("North", "South"))
        for pin in pins:
            uow.save_pin(pin)
        assert uow.pins() == (pins[1],)
        uow.drop_pin(1, 1)
        assert uow.pins() == ()
