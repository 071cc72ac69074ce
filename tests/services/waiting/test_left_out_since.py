"""A job without a place has had none since the first of the plans that leave it out one after the other, not since the newest."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from crewjobs.domain.waits import WaitState
from crewjobs.services.office import Office

FIRST = "2026-03-02 06:30"
OAK, LATE_OAK = 7, "barrel oak"


def without_a_place(demo: Path, now: str) -> dict[int, datetime | None]:
    """Return since when each job has no place."""
    office = Office.at(database=demo, pretend=now)
    return {row.job: row.since for row in office.waiting() if row.state is WaitState.NOT_PLANNED}


def plan_anew(demo: Path, now: str) -> None:
    Office.at(database=demo, pretend=now).plan(lambda *_: None, lambda: False)


def test_a_plan_made_anew_leaves_since_where_it_was(demo_file: Path) -> None:
    """What had no place on Monday has none since Monday, also by the plans of Tuesday and Wednesday."""
    first = without_a_place(demo_file, FIRST)
    assert len(first) > 1
    for day in ("2026-03-03 06:30", "2026-03-04 06:30"):
        plan_anew(demo_file, day)
        then = without_a_place(demo_file, day)
        assert {job: then[job] for job in first} == first


def test_with_a_place_in_between_it_begins_again(demo_file: Path) -> None:
    """A date given for the oak opens the job; back-ordered without one it has no place anew, since that plan."""
    office = Office.at(database=demo_file, pretend="2026-03-02 12:00")
    before = without_a_place(demo_file, FIRST)[OAK]
    office.back_ordered(OAK, LATE_OAK, "2026-03-05 10:00")
    plan_anew(demo_file, "2026-03-02 12:00")
    assert OAK not in without_a_place(demo_file, "2026-03-02 12:30")
    plan_anew(demo_file, "2026-03-06 06:30")  # the day has gone by, nothing came
    again = without_a_place(demo_file, "2026-03-06 06:30")[OAK]
    assert before is not None
    assert again is not None
    assert again.date().isoformat() == "2026-03-06"


def test_a_plan_taken_back_counts_for_nothing(demo_file: Path) -> None:
    """Undone, the plan in which it had a place never was."""
    before = without_a_place(demo_file, FIRST)[OAK]
    office = Office.at(database=demo_file, pretend="2026-03-02 12:00")
    office.back_ordered(OAK, LATE_OAK, "2026-03-05 10:00")
    plan_anew(demo_file, "2026-03-02 12:00")
    for _ in range(4):
        if OAK in without_a_place(demo_file, "2026-03-02 12:30"):
            break
        office.undo()
    assert without_a_place(demo_file, "2026-03-02 12:30")[OAK] == before
