"""What stands in which room of a furnished house meanwhile, by the furniture stages and the plan, in words for the customer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.moves import IN_PLACE, Belongs, MovedPiece, MovesPlan, Spot, StageKind
from crewjobs.domain.tasks import ScopeKind, Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed, moment_words
from crewjobs.engines.estimating.instances import ALL_BACK
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.stages.drawing import place_words
from crewjobs.paper.notice import StandsMeanwhile
from crewjobs.services.pages.notice_no_day import NO_DAY
from crewjobs.services.weeks.cut_off import laying_of
from crewjobs.services.weeks.usable import Times, start_of

TOLD: Final = (Belongs.FURNITURE, Belongs.APPLIANCE, Belongs.CARTONS)
"""What is told of: a door that leans somewhere is the crew's to mind."""
OVER: Final = "move-furniture-over"
"""The template by which furniture is put on the other part of a room; a test holds it to the catalogue."""
UNTIL_LAID: Final = "until they are laid"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stands:
    """A piece at a place: put there by the stage `since`, carried on by the stage `until`; None where no stage does."""

    piece: MovedPiece
    spot: Spot
    since: int
    until: int | None


def stands_meanwhile(record: JobRecord, times: Times) -> Iterator[StandsMeanwhile]:
    """Yield the places where something stands for a time, each with what and from when to when; nothing where no stages are in force.

    `times`: from when to when each task is worked by the plan. What was carried on already is not told.
    """
    plan = record.moves_in_force
    if plan is None:
        return
    found: dict[Spot, dict[str, list[str]]] = {}
    moves, alike = stage_tasks(record, plan), _in_several_rooms(plan)
    for one in _runs(plan):
        when = _when(record, moves, times, one)
        if when:
            found.setdefault(one.spot, {}).setdefault(when, []).append(_whose(one.piece, alike))
    for spot, lines in found.items():
        yield StandsMeanwhile(
            place=place_words(spot), lines=tuple(f"{_named(names)}, {when}" for when, names in lines.items())
        )


def _in_several_rooms(plan: MovesPlan) -> frozenset[str]:
    """Return the names of pieces that more than one room has: of these it is said whose they are."""
    rooms: dict[str, set[str]] = {}
    for piece in plan.pieces:
        rooms.setdefault(piece.name, set()).add(piece.home[0])
    return frozenset(name for name, homes in rooms.items() if len(homes) > 1)


def _whose(piece: MovedPiece, alike: Collection[str]) -> str:
    return f"{piece.name} of {piece.home[0]}" if piece.name in alike and piece.home != IN_PLACE else piece.name


def stage_tasks(record: JobRecord, plan: MovesPlan) -> Mapping[int, tuple[Task, ...]]:
    """Return by the stage's place in the plan the tasks by which its carries are made; a stage that carries nothing has none."""
    waits, found = 0, dict[int, tuple[Task, ...]]()
    needed = [task for task in record.tasks if not task.not_needed]
    for number, stage in enumerate(plan.stages):
        waits += stage.kind is StageKind.WAIT
        if stage.kind is StageKind.CARRY_IN:
            found[number] = tuple(task for task in needed if is_carry_in(task))
            continue
        name = " + ".join(", ".join(filter(None, spot)) for spot in stage.worked)
        name = name or (ALL_BACK if stage.kind is StageKind.HOME else f"wait {waits}")
        scopes = [task for task in needed if task.key.scope.kind is ScopeKind.STAGE]
        found[number] = tuple(task for task in scopes if task.key.scope.name == name)
    return found


def stands_on(record: JobRecord, times: Times, name: str, bringing: Sequence[Task]) -> str:
    """Return that furniture is put on a section of a room that is laid in parts, while another part of it is worked; empty where none is, or nobody knows when.

    It stands there until this section's own turn comes, else until it is put back by the tasks `bringing`. With stages in force
    `stands_meanwhile` tells it, piece by piece.
    """
    room, _, part = name.partition(", ")
    over = {
        task.key.scope.part: task
        for task in record.tasks
        if task.key.template == OVER and task.key.scope.name == room and not task.not_needed
    }
    own = over.pop(part, None)
    before = [one for one in over.values() if own is not None and own.open and _turn(times, one) < _turn(times, own)]
    after = [one for one in over.values() if own is None or _turn(times, own) < _turn(times, one)]
    if not before and not (after and any(task.open for task in bringing)):
        return ""
    put = min(before or after, key=lambda one: _turn(times, one))
    start, end = start_of(times, [put]), start_of(times, [own]) if before and own is not None else None
    if put.open and start is None:
        return ""
    zone, stands = record.job.site.zone, "stands" if len(over) == 1 else "may stand"
    since = f"from about {moment_words(to_wall(zone, start))}" if put.open and start else "now"
    until = f" to about {moment_words(to_wall(zone, end))}" if end else ""
    return f"The room's furniture {stands} on it {since}{until}."


def _turn(times: Times, task: Task) -> tuple[bool, bool, float, int]:
    """Return what orders the carrying over of furniture for the parts of a room: what is done, then as it is planned."""
    at = task.done_at or (times[task.number][0] if task.number in times else None)
    return task.open, at is None, at.timestamp() if at else 0.0, task.number


def brought_back(record: JobRecord, room: str) -> list[Task]:
    """Return the tasks by which the last of a room's furniture comes home by the stages in force; none where none do."""
    plan = record.moves_in_force
    if plan is None:
        return []
    last = [
        number
        for number, stage in enumerate(plan.stages)
        for carry in stage.carried
        if (piece := plan.pieces[carry.piece]).belongs in (Belongs.FURNITURE, Belongs.APPLIANCE)
        and piece.home[0] == room
        and carry.to == piece.home
    ]
    return [*stage_tasks(record, plan)[max(last)]] if last else []


def _runs(plan: MovesPlan) -> Iterator[_Stands]:
    """Yield where each piece stands that is not its own place, in the plan's order."""
    for number, piece in enumerate(plan.pieces):
        if piece.belongs not in TOLD:
            continue
        ways = [
            (place, carry.to)
            for place, stage in enumerate(plan.stages)
            for carry in stage.carried
            if carry.piece == number and not carry.down
        ]
        for (since, spot), then in zip(ways, [*ways[1:], None], strict=False):
            at_home = spot == piece.home and piece.belongs is not Belongs.CARTONS
            if spot == IN_PLACE or at_home or (then and then[0] == since):
                continue
            used = then is None or (piece.belongs is Belongs.CARTONS and then[1] == IN_PLACE)
            yield _Stands(piece=piece, spot=spot, since=since, until=None if used or then is None else then[0])


def _when(record: JobRecord, moves: Mapping[int, tuple[Task, ...]], times: Times, one: _Stands) -> str:
    """Return from when to when a piece stands somewhere, in words; empty where that is over, or no task puts it there."""
    zone, put = record.job.site.zone, moves[one.since]
    on = moves[one.until] if one.until is not None else ()
    if not put or (on and not any(task.open for task in on)) or _laid(record, one):
        return ""
    start = start_of(times, [task for task in put if task.open])
    if not any(task.open for task in put):
        since = "there now"
    elif start is None:
        return NO_DAY
    else:
        since = f"from about {moment_words(to_wall(zone, start))}"
    if one.piece.belongs is Belongs.CARTONS and one.until is None:
        return f"{since} {UNTIL_LAID}"
    end = start_of(times, [task for task in on if task.open])
    return (
        f"{since} to about {moment_words(to_wall(zone, end))}"
        if end
        else f"{since}; when it is carried on is not planned yet"
    )


def _laid(record: JobRecord, one: _Stands) -> bool:
    """Return whether cartons that wait for a floor are used up: it is laid."""
    room, part = one.piece.home
    laying = [t for t in laying_of(record.tasks) if t.key.scope.name == room and t.key.scope.part in ("", part)]
    return one.piece.belongs is Belongs.CARTONS and bool(laying) and not any(task.open for task in laying)


def _named(names: list[str]) -> str:
    return listed([f"{count} × {name}" if count > 1 else name for name, count in Counter(names).items()])
