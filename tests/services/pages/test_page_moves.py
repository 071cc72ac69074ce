"""Which stages of the furniture a day plan draws, and on which days their carries are to be ticked."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Phase, Scope, ScopeKind, Task, TaskKey
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.services.pages.page_moves import HOME, MOVE, stages_on
from tests.moved_house import JOB, moves_plan
from tests.services.conftest import SHOP, Shop

ORDER = """
[[order]]
material = "harbor plank"
cartons = 17
ordered = 2026-02-16
due = "2026-03-03 10:00"
"""
NOW = datetime(2026, 3, 2, 13, 0, tzinfo=UTC)


@pytest.fixture
def record(empty_shop: Shop) -> JobRecord:
    """The invented house with its stages in force, and the tasks that carry for each of them."""
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("house.toml", JOB)])
    loaded = empty_shop.record(21)
    kept = tuple(task for task in loaded.tasks if task.key.template not in (MOVE, HOME))
    last = max(task.number for task in loaded.tasks)
    made = tuple(_move(loaded.tasks[0], last + n, HOME if n == 4 else MOVE, n) for n in range(1, 5))
    return replace(loaded, tasks=(*kept, *made), moves=(moves_plan(),))


def _move(like: Task, number: int, template: str, stage: int) -> Task:
    key = TaskKey(template=template, scope=Scope(kind=ScopeKind.JOB), cause=f"stage {stage}")
    return replace(like, number=number, key=key, stage=stage, phase=Phase.HOUSE, title="Move furniture")


def moving(record: JobRecord, stage: int) -> Task:
    return next(t for t in record.tasks if t.key.template in (MOVE, HOME) and t.stage == stage)


def laying(record: JobRecord, where: str) -> tuple[Task, ...]:
    return tuple(task for task in record.tasks if task.phase is Phase.INSTALL and task.where == where)


def test_the_day_of_a_move_has_its_carries(record: JobRecord) -> None:
    """The move's own day draws its stage and lists each carry in order; what stays where it stood is listed apart."""
    (stage,) = stages_on(record, [moving(record, 2)], NOW)
    assert stage.label == "move 2 of 3"
    assert [carry.letter for carry in stage.carries] == list("ABCDEG")
    assert [stands.letter for stands in stage.stands] == ["F"]


def test_a_later_day_of_the_same_stage_is_drawn_without_carries(record: JobRecord) -> None:
    """A day on which a section is worked whose move was made before shows where all stands, and nothing to carry."""
    (stage,) = stages_on(record, laying(record, "hall"), NOW)
    assert (stage.label, stage.carries) == ("move 2 of 3", ())
    assert {stands.letter for stands in stage.stands} == set("ABCDEFG")
    assert (
        stage.sentence
        == "Living (door half) and hall are worked. Its furniture was carried before; it stands as drawn."
    )


def test_a_day_in_two_stages_draws_both_in_order(record: JobRecord) -> None:
    """Laying ends in the morning, the next move is made in the afternoon: two drawings, in the order of the stages."""
    tasks = [moving(record, 2), *laying(record, "living, window half")]
    assert [stage.label for stage in stages_on(record, tasks, NOW)] == ["move 1 of 3", "move 2 of 3"]


def test_carry_in_and_the_way_home_are_stages_too(record: JobRecord) -> None:
    """Cartons carried in show where they go; the last carrying shows everything home."""
    carry_in = next(task for task in record.tasks if is_carry_in(task))
    (first,) = stages_on(record, [carry_in], NOW)
    (last,) = stages_on(record, [moving(record, 4)], NOW)
    assert (first.label, [carry.letter for carry in first.carries]) == ("carry-in", ["G"])
    assert (last.label, [carry.letter for carry in last.carries]) == ("everything home", ["F"])


def test_without_stages_nothing_is_drawn(record: JobRecord) -> None:
    """A job without a plan of moves, or worked in another order since, has no drawing on its page."""
    assert stages_on(replace(record, moves=()), record.tasks, NOW) == ()
    other = replace(record.job, stages=(tuple(spot for stage in record.job.stages for spot in stage),))
    assert stages_on(replace(record, job=other), record.tasks, NOW) == ()


def test_where_no_task_carries_the_work_shows_what_is_carried(record: JobRecord) -> None:
    """With the moving tasks switched off by the shop, the carries stand with the work itself, so that none is lost."""
    bare = replace(record, tasks=tuple(t for t in record.tasks if t.key.template not in (MOVE, HOME)))
    (stage,) = stages_on(bare, laying(bare, "study"), NOW)
    assert [carry.letter for carry in stage.carries] == list("CDEFG")


def test_tasks_of_the_whole_house_draw_nothing(record: JobRecord) -> None:
    """Protection, the walk-through and other tasks of the house belong to no stage."""
    house = [t for t in record.tasks if t.key.scope.kind is ScopeKind.JOB and t.key.template not in (MOVE, HOME)]
    assert house
    assert stages_on(record, [task for task in house if not is_carry_in(task)], NOW) == ()


def test_the_drawing_is_on_the_printed_day(empty_shop: Shop) -> None:
    """From the records to the page: a planned day of the house draws the stage it works on, and its cautions stay."""
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("house.toml", JOB + ORDER)])
    with empty_shop.office._writing() as uow:
        before = uow.job(21)
        uow.save_job(before, replace(before, moves=(moves_plan(),)))
        uow.commit("furniture stages of job 21", at=NOW, job=21)
    empty_shop.ready(21, "Odalys Brandt")
    empty_shop.office.plan()
    week = [empty_shop.office.week(monday) for monday in _mondays()]
    days = [(day.day, visit.crew) for view in week for day in view.days for visit in day.visits if visit.job == 21]
    assert days
    pages = [empty_shop.office.day_plan_text(day, crew) for day, crew in days]
    drawn = [page for page in pages if "FURNITURE: move 1 of 3" in page]
    assert drawn
    assert "A  sofa: living, window half → garage, 2 people" in " ".join(drawn[0].split()).replace("[ ] A ", "A  ")
    assert all("CAUTIONS" in page for page in pages)


def _mondays():
    return [datetime(2026, 3, day, tzinfo=UTC).date() for day in (2, 9, 16, 23)]


def test_trim_of_a_floor_laid_before_draws_nothing(record: JobRecord) -> None:
    """Trim goes on after the furniture has moved on: the stage of its floor is no more how the house stands."""
    trim = [task for task in record.tasks if task.phase is Phase.TRIM]
    assert trim
    assert stages_on(record, trim, NOW) == ()
