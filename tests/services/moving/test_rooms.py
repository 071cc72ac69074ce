"""The rooms of a job with its furniture stages, as rows."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

import pytest

from crewjobs.domain.job import JobRecord
from crewjobs.domain.moves import MovesPlan
from crewjobs.domain.outline import Outline
from crewjobs.domain.tasks import Phase
from crewjobs.drawing.shapes import Box, Fill
from crewjobs.services.moving.rooms_rows import drawing_text
from crewjobs.services.moving.rooms_view import (
    HOUSE_CHANGED,
    NO_FURNITURE,
    NO_STAGES,
    ORDER_CHANGED,
    _many,
    clock_minutes,
    cure_stages,
    rooms_view,
    section_states,
)
from tests.moved_house import DOOR, HALL, JOB, STUDY, WINDOW, moves_plan
from tests.services.conftest import SHOP, Shop

NOW = datetime(2026, 3, 2, 13, 0, tzinfo=UTC)


@pytest.fixture
def moved(empty_shop: Shop) -> Shop:
    """The invented house loaded as people load it, its stages stored as a search stores them."""
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("house.toml", JOB)])
    store(empty_shop, moves_plan())
    return empty_shop


def store(shop: Shop, plan: MovesPlan) -> None:
    """Keep a plan of moves with the job."""
    with shop.office._writing() as uow:
        before = uow.job(21)
        uow.save_job(before, replace(before, moves=(*before.moves, plan)))
        uow.commit("furniture stages of job 21", at=NOW, job=21)


def done(record: JobRecord, where: str) -> JobRecord:
    """The record with all the laying in some place ticked at noon."""
    tasks = tuple(
        replace(task, started_at=NOW, done_at=NOW) if task.phase is Phase.INSTALL and task.where == where else task
        for task in record.tasks
    )
    assert tasks != record.tasks
    return replace(record, tasks=tasks)


def test_stages_are_named_and_counted(moved: Shop) -> None:
    """Carry-in, moves counted by the work, everything home; labor and the clock are each called what they are."""
    view = moved.office.rooms(21)
    assert [stage.label for stage in view.stages] == [
        "carry-in",
        "move 1 of 3",
        "move 2 of 3",
        "move 3 of 3",
        "everything home",
    ]
    assert view.stages[2].worked == ("living, door half", "hall")
    assert view.stages[2].sentence == (
        "Living (door half) and hall are worked. 6 carries: 36 min of labor, about 20 min by the clock with 2 people."
    )
    assert "of labor, about" in view.headline
    assert "by the clock with 2 people" in view.headline
    assert view.taken_as == moves_plan().taken_as


def test_carries_are_in_order_with_all_a_carrier_asks(moved: Shop) -> None:
    """Letter, name, from, to, people and what is only set down, in the order of carrying."""
    carries = moved.office.rooms(21).stages[2].carries
    assert [carry.number for carry in carries] == list(range(1, 7))
    assert carries[0].words == "A  sofa: garage → living, window half (set down), 2 people"
    assert carries[4].words == "E  hall bench: hall → garage, 1 person"


def test_everything_stands_somewhere(moved: Shop) -> None:
    """In each stage every piece that is on a floor is listed in one place, and drawn with the same letter."""
    for stage, planned in zip(moved.office.rooms(21).stages, moves_plan().stages, strict=True):
        listed = [piece.split(" ")[0] for place in stage.standing for piece in place.pieces]
        assert sorted(listed) == [row.letter for row in stage.drawing.legend]
        assert len(listed) == len(planned.standing)


def test_by_the_clock_two_carry_one_person_pieces_beside_each_other() -> None:
    """Two people carry two light pieces at a time: half the labor, up to the next five minutes."""
    plan = moves_plan()
    assert clock_minutes(plan, plan.stages[2], 2) == 20  # 36 / 2 = 18
    assert clock_minutes(plan, plan.stages[2], 4) == 10  # 36 / 4 = 9
    assert clock_minutes(plan, plan.stages[2], 3) == 15  # one pair at a time: 18 / 2; three by themselves: 18 / 3


def test_without_stages_the_house_is_shown_as_it_is(moved: Shop) -> None:
    """No plan of moves: rooms by state, furniture by room with counts, a drawing of all, and the sentence that says so."""
    record = replace(moved.record(21), moves=())
    view = rooms_view(record, NOW)
    assert (view.headline, view.stages, view.stale) == (NO_STAGES, (), "")
    assert view.rooms[0].furniture == ("sofa", "bookcase", "2 × armchair", "low table", "upright piano, stays")
    assert [section.state for section in view.rooms[0].sections] == ["worked later", "worked later"]
    assert len(view.drawing.legend) == 7
    assert "living" in drawing_text(view.drawing, 60)


def test_a_house_without_furniture_says_so(moved: Shop) -> None:
    """Nothing known of furniture is not the same as no stages found."""
    record = moved.record(21)
    rooms = tuple(replace(room, furniture=()) for room in record.job.rooms)
    assert rooms_view(replace(record, job=replace(record.job, rooms=rooms), moves=()), NOW).headline == NO_FURNITURE


def test_states_follow_the_ticks(moved: Shop) -> None:
    """A section is worked later, then laid; a glued one cures as long as the clock says, then is laid."""
    record = moved.record(21)
    assert section_states(record, NOW)[WINDOW] is Fill.LATER
    record = done(record, "living, window half")
    assert section_states(record, NOW)[WINDOW] is Fill.LAID
    assert section_states(record, NOW)[DOOR] is Fill.LATER
    record = done(record, "study")
    assert section_states(record, NOW)[STUDY] is Fill.CURES
    assert section_states(record, datetime(2026, 3, 20, tzinfo=UTC))[STUDY] is Fill.LAID


def test_the_stage_one_is_at_follows_the_work(moved: Shop) -> None:
    """Carry-in before anything begins; then the stage whose floors are not laid; at the end everything home."""
    record = moved.record(21)
    assert rooms_view(record, NOW).here == 0
    carried = tuple(replace(t, done_at=NOW) if t.key.template.startswith("carry-in") else t for t in record.tasks)
    record = replace(record, tasks=carried)
    assert rooms_view(record, NOW).here == 1
    record = done(record, "living, window half")
    assert rooms_view(record, NOW).here == 2
    for where in ("living, door half", "hall", "study"):
        record = done(record, where)
    assert rooms_view(record, NOW).here == 4
    assert [stage.here for stage in rooms_view(record, NOW).stages].count(True) == 1


def test_a_floor_that_cures_now_is_drawn_so(moved: Shop) -> None:
    """At the stage the job is at, what the clock says of a cure outranks the plan."""
    record = done(moved.record(21), "study")
    view = rooms_view(record, NOW)
    assert Fill.CURES in view.stages[view.here].drawing.fills
    assert Fill.CURES not in view.stages[1].drawing.fills


def test_another_order_of_work_makes_stages_stale(moved: Shop) -> None:
    """Stages found for another order are not shown, and the view says why."""
    record = moved.record(21)
    other = replace(record.job, stages=((WINDOW, DOOR, HALL), (STUDY,)))
    view = rooms_view(replace(record, job=other), NOW)
    assert (view.stages, view.stale) == ((), ORDER_CHANGED)


def test_a_changed_house_is_told(moved: Shop) -> None:
    """Where what the stages are based on differs now, they are shown and called stale."""
    record = moved.record(21)
    assert rooms_view(record, NOW, basis="as measured").stale == ""
    view = rooms_view(record, NOW, basis="another house")
    assert view.stale == HOUSE_CHANGED
    assert view.stages


def test_a_plan_for_a_house_that_shrank_still_draws(moved: Shop) -> None:
    """A room measured smaller since: every letter is still there, none through a wall."""
    record = moved.record(21)
    small = tuple(
        replace(room, outline=Outline.rectangle(4064 * 60, 4064 * 60)) if room.name == "garage" else room
        for room in record.job.rooms
    )
    view = rooms_view(replace(record, job=replace(record.job, rooms=small)), NOW)
    drawing = view.stages[1].drawing
    garage = next(tile for tile in drawing.tiles if tile.name == "garage")
    x, y, width, depth = garage.inner
    for box in (shape for shape in drawing.shapes if isinstance(shape, Box) and drawing.tiles[shape.tile] == garage):
        assert x <= box.x <= box.x + box.width <= x + width
        assert y <= box.y <= box.y + box.depth <= y + depth
    assert "A B" in drawing_text(drawing, 78)


@pytest.mark.parametrize(
    ("bound", "words"),
    [(420.0, "No other way costs less"), (400.0, "Another way could cost up to 5 % less")],
)
def test_best_is_only_said_of_what_is_proved(moved: Shop, bound: float, words: str) -> None:
    """A plan that is not proved says how far it may be from the best, rounded up."""
    store(moved, replace(moves_plan(), at=datetime(2026, 3, 2, tzinfo=UTC), bound=bound, proved=bound == 420.0))
    assert words in moved.office.rooms(21).headline


def test_cartons_count_with_the_carrying_in(moved: Shop) -> None:
    """Where cartons are only given their places, no labor is counted twice, nor called nought."""
    plan = moves_plan()
    first = replace(plan.stages[0], carried=tuple(replace(carry, minutes=0.0) for carry in plan.stages[0].carried))
    plan = replace(plan, stages=(first, *plan.stages[1:]))
    view = rooms_view(replace(moved.record(21), moves=(plan,)), NOW)
    assert view.stages[0].sentence == ("The cartons come in, nothing is worked yet. They are put where the list says.")
    assert view.headline.startswith("14 carries: 1 h 30 min of labor")


def test_the_catalogue_says_how_long_a_floor_cures(moved: Shop) -> None:
    """With templates at hand the cure of a glued floor is theirs: the study is kept off as long as they say."""
    record = moved.record(21)
    with moved.office._database.reading() as uow:
        cures = cure_stages(record, moved.office._catalogue(uow))
    assert cures is not None
    assert cures[WINDOW] == 0
    assert cures[STUDY] > 0


def test_a_piece_too_heavy_for_the_crew_says_how_many_more() -> None:
    """What the crew cannot carry alone says so where the stage is told, not only in its long answer."""
    plan: Any = SimpleNamespace(
        pieces=[SimpleNamespace(name="piano", people=4), SimpleNamespace(name="chair", people=1)]
    )
    stage: Any = SimpleNamespace(carried=[SimpleNamespace(piece=0), SimpleNamespace(piece=1)])
    assert _many(plan, stage, 4, 2) == " Piano: up to 4 people, 2 more than the crew has."
    assert _many(plan, stage, 4, 4) == ""
