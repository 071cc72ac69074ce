"""A furnished house, from its file to the key handed back: stages found, carried, worked, found again from here."""

from __future__ import annotations

from crewjobs.domain.job import JobRecord
from crewjobs.domain.moves import Carried, MovesPlan, Spot, StageKind
from crewjobs.domain.tasks import ScopeKind, Task
from crewjobs.domain.wall import to_wall
from tests.services.conftest import Shop
from tests.services.moving.test_moves import FLAT

BEFORE = ("walk-through-before", "protect-house", "count-lot-check", "room-reading")


def moves_of(record: JobRecord) -> list[int]:
    """The moves of a job, in the order of its stages."""
    tasks = [task for task in record.tasks if task.key.scope.kind is ScopeKind.STAGE and not task.not_needed]
    return [task.number for task in sorted(tasks, key=lambda task: task.stage)]


def spot_of(task: Task) -> Spot | None:
    """The section a task is about."""
    scope = task.key.scope
    return (scope.name, scope.part) if scope.kind is ScopeKind.SECTION else None


def told(plan: MovesPlan, carry: Carried) -> tuple[str, str, Spot, Spot]:
    """A carry as it stands on a page."""
    piece = plan.pieces[carry.piece]
    return piece.letter, piece.name, carry.start, carry.to


def test_a_furnished_house_is_worked_stage_by_stage(shop: Shop) -> None:
    """One file, one command: order, week and page follow; halfway a bed is brought, the rest is found from there; all ends home."""
    office = shop.office
    said = office.load([shop.file("flat.toml", FLAT)])
    assert any("`crewjobs moves 7`" in one for one in said.then)
    office.moves(7)
    shop.ready(7, asked="Tamsin Rook")
    office.plan()
    record = shop.record(7)
    plan = record.moves_in_force
    assert plan is not None

    # The week has every move, one after the other, and the page of its day draws it.
    with office._database.reading() as uow:
        week = uow.latest_plan()
    assert week is not None
    placed = {task: block for block in week.placements if block.key.job == 7 for task in block.tasks}
    moves = moves_of(record)
    assert moves
    assert set(moves) <= placed.keys()
    starts = [placed[number].start for number in moves]
    assert starts == sorted(starts)
    day = to_wall("America/Chicago", placed[moves[0]].start).date()
    text = " ".join(office.day_plan_text(day, placed[moves[0]].crew).split())
    assert "FURNITURE: move 1 of" in text
    assert "Furniture moved, so that it can be worked" in text

    # The cartons come, the first stage is carried and laid.
    shop.clock.set("2026-03-03", "10:00")
    office.arrived(7, "slate plank", 18, in_rooms=True)
    shop.clock.set("2026-03-12", "15:00")
    first = next(stage for stage in plan.stages if stage.kind is StageKind.WORK)
    done = [
        task.number
        for task in shop.record(7).tasks
        if task.open and (task.key.template in BEFORE or task.number == moves[0] or spot_of(task) in first.worked)
    ]
    office.tick(7, done, because="seen on site")

    # A bed more stands in the hall: what is left is found from where things stand.
    office.furnish(7, "hall", "twin bed")
    assert "changed since" in office.rooms(7).stale
    office.moves(7)
    again = shop.record(7)
    anew = again.moves_in_force
    assert anew is not None
    assert sorted(spot for stage in anew.stages for spot in stage.worked) == sorted(
        spot for stage in plan.stages for spot in stage.worked
    )
    same = next(stage for stage in anew.stages if stage.kind is StageKind.WORK)
    assert [told(anew, carry) for carry in same.carried] == [told(plan, carry) for carry in first.carried]
    assert again.task(moves[0]).done_at is not None
    assert any(piece.name == "twin bed" for piece in anew.pieces)
    assert not office.rooms(7).stale

    # All the rest is ticked: the job is finished.
    shop.clock.set("2026-03-20", "15:00")
    office.tick(7, [task.number for task in shop.record(7).tasks if task.open], because="seen on site")
    assert shop.record(7).finished
