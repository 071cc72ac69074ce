"""How far a job's furniture stages are: what is laid, what is begun, where everything stands by what was ticked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from math import ceil
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.moves import IN_PLACE, MovedPiece, MovesPlan, MoveStage, Spot, StageKind, Standing
from crewjobs.domain.tasks import Phase, ScopeKind, Task
from crewjobs.engines.stages.house import Here
from crewjobs.engines.stages.letters import letters
from crewjobs.engines.stages.things import Thing

OVERNIGHT_MIN: Final = 15 * 60
"""From the end of one working day to the start of the next: what has cured by then costs no stage."""
NIGHT_MIN: Final = 24 * 60
HANGS_DOORS: Final = frozenset({"hang-doors", "hang-rated-door"})
"""Templates by which a door is back on its hinges."""
ON_FLOOR: Final = frozenset({Phase.DEMOLITION, Phase.SUBFLOOR_PREP, Phase.INSTALL})
"""Work of a section that needs it empty."""


def nights(wait_min: float) -> int:
    """Return for how many stages after its own a floor is nothing to stand on, by what it waits from the end of its day."""
    return max(0, ceil((wait_min - OVERNIGHT_MIN) / NIGHT_MIN))


def laid(record: JobRecord, spots: Iterable[Spot]) -> frozenset[Spot]:
    """Return the sections whose floor is laid: all their work that needs them empty is ticked."""
    work = {spot: [*_floor_work(record, spot)] for spot in spots}
    return frozenset(spot for spot, tasks in work.items() if tasks and not any(task.open for task in tasks))


def hanging(record: JobRecord) -> frozenset[str]:
    """Return the openings whose doors hang again, or never come off, by what was ticked."""
    found: dict[str, list[bool]] = {}
    for task in record.tasks:
        if task.key.scope.kind is ScopeKind.OPENING and task.key.template in HANGS_DOORS:
            found.setdefault(task.key.scope.name, []).append(task.not_needed or task.done_at is not None)
    return frozenset(name for name, over in found.items() if all(over))


def here_of(record: JobRecord, things: Sequence[Thing], waits: Mapping[Spot, int], now: datetime) -> Here:
    """Return how far a job is; `waits` are minutes by the clock until furniture may stand on each section once it is laid.

    `things` are those that take floor now.
    """
    done = laid(record, waits)
    work = {spot: [*_floor_work(record, spot)] for spot in waits}
    plan = record.moves_in_force
    reached = reached_stage(record, plan) if plan is not None else -1
    begun = {
        spot
        for spot, tasks in work.items()
        if spot not in done and any(task.started_at is not None or task.done_at is not None for task in tasks)
    }
    curing = []
    for spot in sorted(done):
        ends = [task.done_at for task in work[spot] if task.done_at is not None]
        left = waits[spot] - (now - max(ends)).total_seconds() / 60 if ends else 0.0
        curing.append((spot, nights(left + OVERNIGHT_MIN) if left > 0 else 0))
    at: dict[int, Spot] = {}
    if plan is not None and reached >= 0:
        begun |= {spot for spot in plan.stages[reached].worked if spot not in done}
        at = _standing(plan, reached, things)
    return Here(
        done=done,
        begun=frozenset(begun),
        at=at,
        curing=tuple((spot, left) for spot, left in curing if left),
        hanging=hanging(record),
    )


def _floor_work(record: JobRecord, spot: Spot) -> Iterator[Task]:
    for task in record.tasks:
        scope = task.key.scope
        here = scope.kind is ScopeKind.SECTION and (scope.name, scope.part) == spot
        if here and not task.not_needed and task.phase in ON_FLOOR:
            yield task


def reached_stage(record: JobRecord, plan: MovesPlan) -> int:
    """Return the number of the last stage whose moves are made, -1 for none: ticked, or its sections begun."""
    ticked = {task.key.scope.name for task in record.tasks if task.done_at is not None}
    moved = {task.key.scope.name for task in record.tasks if task.key.scope.kind is ScopeKind.STAGE} & ticked
    carried_in = [task for task in record.tasks if _carries_in(task)]
    reached = -1
    for number, stage in enumerate(plan.stages):
        if stage.kind is StageKind.CARRY_IN:
            made = bool(carried_in) and all(task.done_at is not None for task in carried_in)
        elif stage.kind is StageKind.WORK:
            name = " + ".join(", ".join(filter(None, spot)) for spot in stage.worked)
            begun = any(
                task.started_at is not None or task.done_at is not None
                for spot in stage.worked
                for task in _floor_work(record, spot)
            )
            made = name in moved or begun
        else:
            made = False
        if made:
            reached = number
    return reached


def _carries_in(task: Task) -> bool:
    return task.phase is Phase.HOUSE and task.key.scope.kind is ScopeKind.MATERIAL and not task.not_needed


def _standing(plan: MovesPlan, reached: int, things: Sequence[Thing]) -> dict[int, Spot]:
    """Return where the things of today stand by a stage of a plan made before, alike ones in their order."""
    spots: dict[tuple[object, ...], list[Spot]] = {}
    stood = {standing.piece: standing.spot for standing in plan.stages[reached].standing}
    for number, piece in enumerate(plan.pieces):
        spots.setdefault(_same(piece), []).append(stood.get(number, IN_PLACE))
    seen: Counter[tuple[object, ...]] = Counter()
    found: dict[int, Spot] = {}
    for number, thing in enumerate(things):
        key = _same(thing)
        known = spots.get(key, [])
        if seen[key] < len(known):
            found[number] = known[seen[key]]
        seen[key] += 1
    return found


def _same(piece: MovedPiece | Thing) -> tuple[object, ...]:
    return piece.belongs, piece.home, piece.name


def same_letters(before: MovesPlan, after: MovesPlan) -> MovesPlan:
    """Return a plan whose things keep the letters they had in the one before: they stand on pages already printed."""
    had = {_same(piece): piece.letter for piece in before.pieces}
    new: dict[str, str] = {}
    for piece in after.pieces:
        if _same(piece) in had:
            new.setdefault(piece.letter, had[_same(piece)])
    free = (letter for letter in letters() if letter not in {*had.values(), *new.values()})
    for piece in after.pieces:
        if piece.letter not in new:
            new[piece.letter] = next(free)
    return replace(after, pieces=tuple(replace(piece, letter=new[piece.letter]) for piece in after.pieces))


def with_laid(plan: MovesPlan, laid: frozenset[Spot]) -> MovesPlan:
    """Return a plan in which every section is worked, those laid already that it does not name in a first stage of their own."""
    missing = tuple(sorted(laid - {spot for stage in plan.stages for spot in stage.worked}))
    if not missing:
        return plan
    spots = {standing.piece: standing.spot for standing in plan.stages[0].standing} if plan.stages else {}
    for stage in reversed(plan.stages):
        spots |= {carry.piece: carry.start for carry in reversed(stage.carried)}
    standing = tuple(Standing(piece=piece, spot=spot) for piece, spot in sorted(spots.items()) if spot != IN_PLACE)
    first = MoveStage(kind=StageKind.WORK, worked=missing, standing=standing)
    return replace(plan, stages=(first, *plan.stages))


def joined(before: MovesPlan, made: int, after: MovesPlan, *, begun: bool) -> MovesPlan:
    """Return a plan made from here with the stages before it that were made already, so that the whole way is told.

    `made` stages are over. With `begun` the next one is being worked: it stays the stage it is, with what was carried for it,
    and what is carried for the rest of it now comes after that.
    """
    pieces = list(after.pieces)
    places: dict[tuple[object, ...], list[int]] = {}
    for number, piece in enumerate(pieces):
        places.setdefault(_same(piece), []).append(number)
    seen: Counter[tuple[object, ...]] = Counter()
    number_of: dict[int, int] = {}
    for number, piece in enumerate(before.pieces):
        key = _same(piece)
        known = places.get(key, [])
        if seen[key] < len(known):
            number_of[number] = known[seen[key]]
        else:
            number_of[number] = len(pieces)
            pieces.append(piece)
        seen[key] += 1
    kept = [
        replace(
            stage,
            carried=tuple(replace(carry, piece=number_of[carry.piece]) for carry in stage.carried),
            standing=tuple(replace(one, piece=number_of[one.piece]) for one in stage.standing),
            aside=tuple(number_of[piece] for piece in stage.aside),
        )
        for stage in before.stages[: made + begun]
    ]
    stages = [*after.stages]
    first = next((n for n, stage in enumerate(stages) if stage.kind is StageKind.WORK), None)
    if begun and first is not None and set(stages[first].worked) <= set(kept[-1].worked):
        rest = stages.pop(first)
        kept[-1] = replace(kept[-1], carried=(*kept[-1].carried, *rest.carried), standing=rest.standing, free=rest.free)
    return replace(after, pieces=tuple(pieces), stages=(*kept, *stages))
