"""A change of several jobs at once stands in the log of each of them."""

from __future__ import annotations

from dataclasses import replace

from crewjobs.storage.database import open_database
from tests.builders import central, record, task


def test_a_change_of_two_jobs_is_in_the_log_of_both(tmp_path):
    """One evening at two houses: each house's log has it, a third house's does not; loading them is in none."""
    database = open_database(tmp_path / "shop.sqlite3", create=True)
    at = central("2026-03-02", "17:50")
    with database.unit_of_work(who="tester") as uow:
        for number in (1, 2, 3):
            uow.add_job(record([task(1)], number=number))
        uow.commit("loaded", at=at)
    with database.unit_of_work(who="tester") as uow:
        for number in (1, 2):
            before = uow.job(number)
            done = replace(before.task(1), done_at=at, started_at=at)
            uow.save_job(before, replace(before, tasks=(done,)))
        uow.commit("the evening", at=at)
    with database.reading() as uow:
        logs = {number: [change.what for change in uow.changes(job=number)] for number in (1, 2, 3)}
    assert logs == {1: ["the evening"], 2: ["the evening"], 3: []}
