"""Which floors a day plan says how to lay: those laid that day, with the rows of the part that is laid."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from crewjobs.domain.evening import HowFar
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.drawing.shapes import Fill
from crewjobs.services.jobs.known import LAYING
from crewjobs.services.pages.page_layouts import layouts_on, rows_of, stale_layouts
from tests.moved_house import JOB
from tests.services.conftest import SHOP, Shop, kept

NOW = datetime(2026, 3, 2, 13, 0, tzinfo=UTC)


def load_house(shop: Shop) -> None:
    """The invented house, its plank floor laid out."""
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("house.toml", JOB)])
    shop.office.lay_out(21, seconds=0.3)


house = kept(load_house)


@pytest.fixture
def record(house: Shop) -> JobRecord:
    return house.record(21)


def laying(record: JobRecord, where: str) -> tuple[Task, ...]:
    found = tuple(task for task in record.tasks if task.key.template in LAYING and task.where == where)
    assert found
    return found


def test_the_rows_of_the_half_that_is_laid(record: JobRecord, house: Shop) -> None:
    """The window half today: the pieces of each of its rows, and together with the other parts every piece once."""
    view = house.office.layout(21, "living", seconds=0)
    (today,) = layouts_on(record, laying(record, "living, window half"), "us")
    assert today.title == "harbor plank, living, window half"
    mine = [row for row in view.rows if row.place == "living, window half"]
    assert [row.label for row in today.rows] == [f"Row {row.row}" for row in mine]
    assert [row.pieces.split('": ')[-1] for row in today.rows] == ["; ".join(row.words) for row in mine]
    later = [row for row in view.rows if row.place != "living, window half"]
    assert len(mine) + len(later) == len(view.rows)
    assert sum(len(row.pieces) for row in (*mine, *later)) == sum(len(row.pieces) for row in view.drawn_rows)
    drawn = [piece.fill for row in today.drawn_rows for piece in row.pieces]
    assert drawn.count(Fill.LATER) + sum(len(row.pieces) for row in mine) == len(drawn)


def test_the_second_half_has_the_first_one_laid(record: JobRecord) -> None:
    """On the day of the other half what was laid before is drawn as laid, nothing as later but the rest of the floor."""
    over = {task.number for task in laying(record, "living, window half")}
    today = layouts_on(record, (*laying(record, "living, door half"), *laying(record, "hall")), "us", over)
    drawn = {piece.fill for one in today for row in one.drawn_rows for piece in row.pieces}
    assert Fill.LAID in drawn
    assert Fill.LATER not in drawn


def test_a_row_laid_in_two_parts_on_a_day_says_in_which(record: JobRecord) -> None:
    """It is on the list once for each part, under the same number."""
    halves = ("living, window half", "living, door half")
    (both,) = layouts_on(record, [task for half in halves for task in laying(record, half)], "us")
    assert {row.pieces.split(": ")[0] for row in both.rows} == {*halves}
    assert len({row.label for row in both.rows}) < len(both.rows)


def test_a_plank_is_opened_by_what_is_laid_first(record: JobRecord) -> None:
    """The door half laid before the window half, whatever the stages say: nothing there is kept from what lies later."""
    (first,) = layouts_on(record, laying(record, "living, door half"), "us")
    opened = {word for row in first.rows for word in re.findall(r"plank (\d+)", row.pieces)}
    kept = {word for row in first.rows for word in re.findall(r"kept (\d+)", row.pieces)}
    assert kept <= opened
    assert opened
    over = {task.number for task in laying(record, "living, door half")}
    (then,) = layouts_on(record, laying(record, "living, window half"), "us", over)
    assert not opened & {word for row in then.rows for word in re.findall(r"plank (\d+)", row.pieces)}


def test_nothing_where_no_planks_are_laid_or_none_were_laid_out(record: JobRecord) -> None:
    """A day of demolition, a floor off a roll, and a job whose planks were never laid out: no cut list."""
    other = tuple(task for task in record.tasks if task.key.template not in LAYING)
    assert layouts_on(record, other, "us") == ()
    bare = replace(record, layouts=())
    assert layouts_on(bare, laying(record, "living, window half"), "us") == ()
    assert stale_layouts(bare, laying(record, "living, window half")) == ()


def test_rows_that_lie_are_left_out(record: JobRecord) -> None:
    """Said in the evening: 5 of so many rows lie; the next day's list begins with row 6. Other counts change nothing."""
    tasks = laying(record, "living, window half")
    (whole,) = layouts_on(record, tasks, "us")
    count = len({row.label for row in whole.rows})

    def said(done: float, of: float, unit: str) -> JobRecord:
        return replace(record, how_far=(HowFar(task=tasks[0].number, at=NOW, done=done, whole=of, unit=unit),))

    (after,) = layouts_on(said(5, count, "rows"), tasks, "us")
    assert [row.label for row in after.rows] == [row.label for row in whole.rows][5:]
    assert f"5 rows of {count} lie already, as was said." in after.sentences
    assert [one.label for one in after.drawn_rows] == [one.label for one in whole.drawn_rows][5:]
    for other in (said(5, count + 3, "rows"), said(5, count, "ft²")):
        assert layouts_on(other, tasks, "us") == (whole,)


def test_a_house_changed_since_is_said(record: JobRecord) -> None:
    """A room was measured again: the old cut list is not printed, and the page says how to lay it out anew."""
    tasks = laying(record, "living, window half")
    job = record.job
    shorter = replace(job.room("hall"), outline=job.room("hall").outline.rectangle(150 * 4064, 50 * 4064))
    changed = replace(record, job=replace(job, rooms=tuple(shorter if r.name == "hall" else r for r in job.rooms)))
    assert layouts_on(changed, tasks, "us") == ()
    (sentence,) = stale_layouts(changed, tasks)
    assert "lay it out anew" in sentence
    assert stale_layouts(record, tasks) == ()


def test_the_task_that_lays_the_rows_is_asked_for_rows(record: JobRecord) -> None:
    """Rows of the window half for the task that lays them; none for a task of two places, of demolition, or without a list."""
    (task,) = laying(record, "living, window half")
    (today,) = layouts_on(record, (task,), "us")
    assert rows_of(record, (today,), task) == len({row.label for row in today.rows})
    other = next(one for one in record.tasks if one.key.template not in LAYING)
    assert rows_of(record, (today,), other) == 0
    assert rows_of(record, (), task) == 0
