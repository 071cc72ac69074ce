"""A booked job of which every task is ticked says how it ends: at the last tick, and in Waiting until it is set done."""

from __future__ import annotations

from pathlib import Path

import pytest

from crewjobs.domain.waits import WaitState
from crewjobs.services.jobs.all_ticked import ALL_TICKED
from crewjobs.services.office import Office

DEN = 10
DONE = "(`crewjobs amend 10 --state done`)"
WALK = "the walk-through after (`crewjobs walk 10 after --with NAME`)"


@pytest.fixture
def office(demo_file: Path) -> Office:
    """The demo in which one room's trim is all that is left."""
    return Office.at(database=demo_file, pretend="2026-03-02 17:30")


def all_but_the_last(office: Office) -> int:
    """Tick all open work of the den but its last task, and return that."""
    *left, last = [task.number for task in office.job(DEN).tasks if task.done_at is None]
    office.tick(DEN, left, because="done while nobody looked")
    return last


def rows(office: Office) -> list[tuple[WaitState, str]]:
    return [(row.state, row.call) for row in office.waiting() if row.job == DEN and ALL_TICKED in row.what]


def test_the_last_tick_says_what_is_to_be_recorded_yet(office: Office) -> None:
    """With the balance asked already, the walk-through is left; the row stands until the job is set done."""
    last = all_but_the_last(office)
    assert rows(office) == []
    done = office.tick(DEN, [last])
    told = f"record {WALK}, then set it done {DONE}"
    assert f"{ALL_TICKED}: {told}." in done.then
    assert rows(office) == [(WaitState.TO_DECIDE, told)]
    office.edit(DEN, office.job(DEN).version, {"state": "done"})
    assert rows(office) == []


def test_a_walk_through_recorded_is_asked_for_no_more(office: Office) -> None:
    """It ticks the last task by itself, and says what is left then."""
    all_but_the_last(office)
    done = office.walk_after(DEN, "Ingrid Maldonado", carton_left=True, care_sheet=True)
    assert f"{ALL_TICKED}: set it done {DONE}." in done.then
    assert rows(office) == [(WaitState.TO_DECIDE, f"set it done {DONE}")]


def test_a_job_that_asked_for_no_money_says_so(office: Office) -> None:
    """The balance stands beside the walk-through."""
    job = 14
    office.tick(job, [task.number for task in office.job(job).tasks if task.done_at is None], because="all done")
    (call,) = (row.call for row in office.waiting() if row.job == job and ALL_TICKED in row.what)
    assert "and the balance asked (`crewjobs money 14 asked`), then set it done" in call


def test_a_callback_asks_for_no_balance(office: Office) -> None:
    """It is paid with the job that it comes back to."""
    job = 15
    office.tick(job, [task.number for task in office.job(job).tasks if task.done_at is None], because="done at once")
    (call,) = (row.call for row in office.waiting() if row.job == job and ALL_TICKED in row.what)
    assert call == "set it done (`crewjobs amend 15 --state done`)"


def test_a_punch_list_that_is_open_comes_first(office: Office) -> None:
    """Set done before it is made, the job would say nothing of it but its own row."""
    all_but_the_last(office)
    office.walk_after(DEN, "Ingrid Maldonado", punch=["gap at the door"], carton_left=True, care_sheet=True)
    made = "record the punch list as made (`crewjobs walk 10 after --with NAME`), then set it done"
    assert rows(office) == [(WaitState.TO_DECIDE, f"{made} {DONE}")]
