"""The rooms of a job with its furniture stages: from the records to rows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.furniture import Keeps, Piece
from crewjobs.domain.house import Room
from crewjobs.domain.job import JobRecord
from crewjobs.domain.moves import IN_PLACE, Belongs, MovesPlan, MoveStage, Spot, StageKind
from crewjobs.domain.tasks import Catalogue, Phase, Task
from crewjobs.domain.units import UnitSystem, format_length
from crewjobs.domain.wording import counted, listed, upper
from crewjobs.drawing.shapes import Fill
from crewjobs.engines.readiness.clocks import running_waits
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.stages.cures import furniture_waits
from crewjobs.engines.stages.drawing import drawn, place_words, way_words
from crewjobs.engines.stages.progress import nights
from crewjobs.engines.stages.tiles import spots
from crewjobs.engines.stages.unfit import places_words
from crewjobs.services.moving.rooms_rows import CarryRow, PlaceRow, RoomRow, RoomsView, SectionRow, StageRow, sure_words
from crewjobs.services.waiting.unmeasured import what_to_do
from crewjobs.services.wording import assumed, hours_words

CREW: Final = 2
"""People who carry where no piece needs more: the usual crew at a house (common practice, no source)."""
NOT_IN_FORCE: Final = "The furniture stages that were found are no longer in force."
NO_STAGES: Final = "No furniture stages have been found for this job yet."
NO_FURNITURE: Final = "Nothing is known of furniture in these rooms."
ORDER_CHANGED: Final = "The order of work was changed since the furniture stages were found: find them again."
HOUSE_CHANGED: Final = "The house or its furniture was changed since the stages were found: find them again."
_KEEPS: Final = {
    Keeps.ANYTHING: "",
    Keeps.FURNITURE: "keeps furniture, no planks",
    Keeps.NOTHING: "nothing is kept here",
}


def rooms_view(
    record: JobRecord,
    now: datetime,
    *,
    basis: str = "",
    units: UnitSystem = "us",
    catalogue: Catalogue | None = None,
) -> RoomsView:
    """Return a job's rooms and, where furniture stages are in force, each of them.

    Args:
        record: the job as recorded.
        now: the instant that is looked at.
        basis: what stages found now would be based on; empty where that is not to be looked at.
        units: how sizes are written.
        catalogue: whose templates say how long a floor cures; None: a glued one for one stage.
    """
    job, plan = record.job, record.moves_in_force
    if not job.rooms:
        raise Refused(f"job {job.number} has no rooms{'' if job.stairs or job.work else f' yet; {what_to_do(job)}'}.")
    states = section_states(record, now)
    here = stage_at(record, plan, states) if plan else 0
    cures = cure_stages(record, catalogue) if plan else None
    stages = tuple(stage_row(record, plan, n, now, cures) for n in range(len(plan.stages))) if plan else ()
    moved = [stage for stage in plan.stages if stage.kind is not StageKind.CARRY_IN] if plan else []
    minutes, people = round(sum(stage.minutes for stage in moved)), max((stage.people for stage in stages), default=0)
    clock, carries = sum(stage.clock_min for stage in stages), sum(len(stage.carried) for stage in moved)
    stale = ""
    if record.moves and plan is None:
        stale = ORDER_CHANGED
    elif plan is not None and basis and basis != plan.basis:
        stale = HOUSE_CHANGED
    return RoomsView(
        job=job.number,
        title=job.title,
        headline=_headline(record, plan, stages[here].label if stages else "", carries, minutes, clock, people),
        stages=stages,
        rooms=tuple(_room(room, states, units) for room in job.rooms),
        drawing=drawn(job, None, 0, states=states),
        minutes=minutes,
        clock_min=clock,
        people=people,
        taken_as=assumed(job, plan.taken_as, units) if plan else (),
        stale=stale,
    )


def cure_stages(record: JobRecord, catalogue: Catalogue | None) -> dict[Spot, int] | None:
    """Return for how many stages after its own each section cures, as the search for stages counts it."""
    if catalogue is None:
        return None
    return {spot: nights(minutes) for spot, minutes in furniture_waits(record.job, catalogue).items()}


def stage_row(
    record: JobRecord, plan: MovesPlan, number: int, now: datetime, cures: Mapping[Spot, int] | None = None
) -> StageRow:
    """Return one stage of a plan of moves, by its place in the plan; `cures` as `cure_stages` has them."""
    stage = plan.stages[number]
    states = section_states(record, now)
    at_it = number == stage_at(record, plan, states)
    wet = {spot: Fill.CURES for spot, state in states.items() if state is Fill.CURES} if at_it else {}
    minutes, people = 0 if stage.kind is StageKind.CARRY_IN else round(stage.minutes), CREW
    clock = 0 if stage.kind is StageKind.CARRY_IN else clock_minutes(plan, stage, people)
    most = max((plan.pieces[c.piece].people for c in stage.carried), default=0)
    worked = tuple(place_words(spot) for spot in stage.worked)
    return StageRow(
        number=number,
        label=stage_label(plan, number),
        sentence=_sentence(stage, worked, len(stage.carried), minutes, clock, people)
        + _many(plan, stage, most, people)
        + _aside(plan, stage)
        + _doors_off(plan, number),
        worked=worked,
        carries=tuple(_carries(plan, stage)),
        standing=_standing(plan, stage),
        drawing=drawn(record.job, plan, number, states=wet, cures=cures),
        minutes=minutes,
        clock_min=clock,
        people=people,
        here=at_it,
    )


def _many(plan: MovesPlan, stage: MoveStage, most: int, people: int) -> str:
    """Return which pieces take more people than the usual crew has, as a sentence; empty where none does."""
    heavy = dict.fromkeys(
        plan.pieces[carry.piece].name for carry in stage.carried if plan.pieces[carry.piece].people > people
    )
    return (
        f" {upper(listed(list(heavy), most=3))}: up to {most} people, {most - people} more than the crew has."
        if heavy
        else ""
    )


def _aside(plan: MovesPlan, stage: MoveStage) -> str:
    """Return what is pushed aside where it stands, as a sentence; empty where all stays as it stood."""
    names = dict.fromkeys(f"{plan.pieces[i].letter} {plan.pieces[i].name}" for i in stage.aside)
    return f" Pushed aside where they stand: {listed(list(names), most=6)}." if names else ""


def _doors_off(plan: MovesPlan, number: int) -> str:
    """Return which doors come off before a stage and where they lean, as a sentence; empty where none does."""
    before = {one.piece for one in plan.stages[number - 1].standing} if number else set[int]()
    doors = [
        f"{plan.pieces[one.piece].letter} {plan.pieces[one.piece].name.removeprefix('door ')} to {place_words(one.spot)}"
        for one in plan.stages[number].standing
        if plan.pieces[one.piece].belongs is Belongs.DOOR and one.piece not in before
    ]
    return f" Doors off: {listed(doors, most=6)}." if doors else ""


def stage_label(plan: MovesPlan, number: int) -> str:
    """Return what a stage is called: ``carry-in``, ``move 2 of 3``, ``wait``, ``everything home``."""
    kind = plan.stages[number].kind
    if kind is StageKind.WORK:
        work = [place for place, stage in enumerate(plan.stages) if stage.kind is StageKind.WORK]
        return f"move {work.index(number) + 1} of {len(work)}"
    return {StageKind.CARRY_IN: "carry-in", StageKind.WAIT: "wait", StageKind.HOME: "everything home"}[kind]


def clock_minutes(plan: MovesPlan, stage: MoveStage, people: int) -> int:
    """Return about how many minutes by the clock its carries take, to five: as many at a time as there are hands for."""
    total = 0.0
    for carry in stage.carried:
        hands = plan.pieces[carry.piece].people
        total += carry.minutes / (hands * max(1, people // hands))
    return -(-round(total) // 5) * 5


def labor_words(minutes: int, clock: int, people: int) -> str:
    """Return labor and the clock: ``45 min of labor, about 25 min by the clock with 2 people``."""
    labor, time = (hours_words(timedelta(minutes=one)) for one in (minutes, clock))
    return f"{labor} of labor, about {time} by the clock with {counted(people, 'person', 'people')}"


def section_states(record: JobRecord, now: datetime) -> dict[Spot, Fill]:
    """Return what each section is now by what was ticked: worked, curing, laid or still to come."""
    cures = {wait.task.number for wait in running_waits(record, now)}
    found: dict[Spot, Fill] = {}
    for room in record.job.rooms:
        for spot in spots(room):
            tasks = [task for task in record.tasks if not task.not_needed and _is_in(task, spot)]
            laying = [task for task in tasks if task.phase is Phase.INSTALL]
            if room.floor is None:
                found[spot] = Fill.KEPT if room.furniture else Fill.UNUSED
            elif any(task.number in cures for task in laying):
                found[spot] = Fill.CURES
            elif laying and not any(task.open for task in laying):
                found[spot] = Fill.LAID
            elif any(task.started_at is not None or not task.open for task in tasks if task.phase is not Phase.HOUSE):
                found[spot] = Fill.WORKED
            else:
                found[spot] = Fill.LATER
    return found


def stage_at(record: JobRecord, plan: MovesPlan, states: dict[Spot, Fill]) -> int:
    """Return the place of the stage a job is at: the first whose floors are not laid; the last when all are."""
    work = [number for number, stage in enumerate(plan.stages) if stage.kind is StageKind.WORK]
    over = (Fill.LAID, Fill.CURES)
    at = next((n for n in work if any(states.get(spot) not in over for spot in plan.stages[n].worked)), None)
    if at is None:
        return len(plan.stages) - 1
    begun = any(states.get(spot) is not Fill.LATER for spot in plan.stages[at].worked)
    carried_in = all(not task.open for task in record.tasks if is_carry_in(task)) and any(
        map(is_carry_in, record.tasks)
    )
    before_work = at == work[0] and not begun and not carried_in
    waits = [
        n for n in range(max((n for n in work if n < at), default=-1) + 1, at) if plan.stages[n].kind is StageKind.WAIT
    ]
    if waits and not begun and Fill.CURES in states.values():
        return waits[0]
    return at - 1 if before_work and at and plan.stages[at - 1].kind is StageKind.CARRY_IN else at


def _is_in(task: Task, spot: Spot) -> bool:
    scope = task.key.scope
    return scope.name == spot[0] and scope.part in ("", spot[1])


def _headline(
    record: JobRecord,
    plan: MovesPlan | None,
    here: str,
    carries: int,
    minutes: int,
    clock: int,
    people: int,
) -> str:
    if plan is None and record.moves:
        return NOT_IN_FORCE
    if plan is None:
        return NO_STAGES if any(room.furniture for room in record.job.rooms) else NO_FURNITURE
    best = sure_words(plan)
    now = f"Now: {here}."
    return f"{upper(counted(carries, 'carry', 'carries'))}: {labor_words(minutes, clock, people)}. {best} {now}"


def _sentence(stage: MoveStage, worked: Sequence[str], carries: int, minutes: int, clock: int, people: int) -> str:
    if stage.kind is StageKind.WAIT:
        first = "Nothing is worked: the floor laid last cures."
    elif worked:
        places = upper(places_words(stage.worked, most=6))
        first = f"{places} {'is' if len(worked) == 1 else 'are'} worked."
    else:
        first = (
            "Everything goes home." if stage.kind is StageKind.HOME else "The cartons come in, nothing is worked yet."
        )
    if not carries:
        return f"{first} Nothing is carried."
    if not minutes:  # cartons: their labor is that of the task that carries them in
        return f"{first} They are put where the list says."
    return f"{first} {counted(carries, 'carry', 'carries')}: {labor_words(minutes, clock, people)}."


def _carries(plan: MovesPlan, stage: MoveStage) -> list[CarryRow]:
    rows = []
    for number, carry in enumerate(stage.carried, start=1):
        piece = plan.pieces[carry.piece]
        start, to = way_words(piece, carry.start, carry.to)
        rows.append(
            CarryRow(
                number=number,
                letter=piece.letter,
                name=piece.name,
                start=start,
                to=to,
                people=piece.people,
                minutes=round(carry.minutes),
                down=carry.down,
            )
        )
    return rows


def _standing(plan: MovesPlan, stage: MoveStage) -> tuple[PlaceRow, ...]:
    found: dict[Spot, list[str]] = defaultdict(list)
    for stands in sorted(
        stage.standing, key=lambda one: (len(plan.pieces[one.piece].letter), plan.pieces[one.piece].letter)
    ):
        piece = plan.pieces[stands.piece]
        if stands.spot != IN_PLACE:
            found[stands.spot].append(f"{piece.letter} {piece.name}")
    return tuple(PlaceRow(place=place_words(spot), pieces=tuple(pieces)) for spot, pieces in found.items())


def _room(room: Room, states: dict[Spot, Fill], units: UnitSystem) -> RoomRow:
    length, width = room.outline.size
    return RoomRow(
        name=room.name,
        size=f"{format_length(length, units)} × {format_length(width, units)}",
        sections=tuple(SectionRow(name=spot[1], state=states[spot].value) for spot in spots(room)),
        furniture=tuple(_piece_words(piece) for piece in room.furniture),
        keeps=_KEEPS[room.keeps] if room.floor is None else "",
    )


def _piece_words(piece: Piece) -> str:
    count = f"{piece.count} × " if piece.count > 1 else ""
    return f"{count}{piece.name}{', stays' if piece.stays else ''}"
