"""The furniture stages a day plan draws: those that are carried or worked on that day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.moves import MovesPlan, StageKind
from crewjobs.domain.tasks import Catalogue, Task
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.stages.progress import ON_FLOOR
from crewjobs.paper.model import CarryLine, HouseStage, StandsLine
from crewjobs.services.moving.rooms_rows import StageRow
from crewjobs.services.moving.rooms_view import cure_stages, stage_row

MOVE: Final = "move-furniture"
HOME: Final = "furniture-home"
"""Task templates of the carries of a stage, and of the last of all."""


def stages_on(
    record: JobRecord, tasks: Sequence[Task], now: datetime, catalogue: Catalogue | None = None
) -> tuple[HouseStage, ...]:
    """Return the stages of a job's furniture that some tasks of a day belong to, in their order; none without a plan."""
    plan = record.moves_in_force
    if plan is None:
        return ()
    found: dict[int, bool] = {}
    for task in tasks:
        number = _stage_of(plan, task)
        if number is not None:
            found[number] = found.get(number, False) or _carries(task) or not _has_move(record, task)
    cures = cure_stages(record, catalogue) if found else None
    return tuple(
        house_stage(stage_row(record, plan, number, now, cures), made=made) for number, made in sorted(found.items())
    )


def house_stage(row: StageRow, *, made: bool) -> HouseStage:
    """Return a stage for the paper; `made`: its carries are made that day, each with a box to tick."""
    carries = tuple(
        CarryLine(
            letter=carry.letter,
            name=carry.name,
            start=carry.start,
            to=carry.to,
            people=carry.people,
            down=carry.down,
        )
        for carry in (row.carries if made else ())
    )
    carried = {carry.letter for carry in carries}
    return HouseStage(
        label=row.label,
        sentence=row.sentence if made else _only_worked(row),
        drawing=row.drawing,
        carries=carries,
        stands=tuple(
            StandsLine(letter=one.letter, name=one.name, place=one.where)
            for one in row.drawing.legend
            if one.letter not in carried
        ),
    )


def _only_worked(row: StageRow) -> str:
    """Return a stage's sentence for a day on which nothing of it is carried any more."""
    return f"{row.sentence.split('. ')[0].rstrip('.')}. Its furniture was carried before; it stands as drawn."


def _stage_of(plan: MovesPlan, task: Task) -> int | None:
    """Return the place in the plan of the stage that a task belongs to; None where it belongs to none."""
    work = [number for number, stage in enumerate(plan.stages) if stage.kind is StageKind.WORK]
    if is_carry_in(task):
        return next((n for n, stage in enumerate(plan.stages) if stage.kind is StageKind.CARRY_IN), None)
    if task.key.template == HOME:
        return next((n for n, stage in enumerate(plan.stages) if stage.kind is StageKind.HOME), None)
    if not 1 <= task.stage <= len(work):
        return None
    number = work[task.stage - 1]
    scope = task.key.scope
    worked = any(scope.name == room and scope.part in ("", part) for room, part in plan.stages[number].worked)
    # Trim of a floor laid before goes on while the house stands for the next stage already.
    floor = worked and task.phase in ON_FLOOR
    return number if floor or task.key.template == MOVE else None


def _carries(task: Task) -> bool:
    return task.key.template in (MOVE, HOME) or is_carry_in(task)


def _has_move(record: JobRecord, task: Task) -> bool:
    """Return whether some task of the job is the carrying of a task's stage: then that is when its carries are made."""
    return any(one.key.template == MOVE and one.stage == task.stage and not one.not_needed for one in record.tasks)
