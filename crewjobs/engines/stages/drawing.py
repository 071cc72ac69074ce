"""A house drawn for one stage of its furniture moves: each room a tile of one scale, what is worked, what stands where.

How rooms lie to each other and in which wall a door is, is not known, and so not drawn: tiles stand on shelves in the order of
the job, doors are words below the room.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Final

from crewjobs.domain.house import Room
from crewjobs.domain.job import Job
from crewjobs.domain.material import Method
from crewjobs.domain.moves import IN_PLACE, Belongs, MovedPiece, MovesPlan, MoveStage, Spot, StageKind
from crewjobs.drawing.shapes import Drawing, Fill, LegendRow
from crewjobs.engines.stages.letters import letters
from crewjobs.engines.stages.tiles import House, Made, Rectangle, Stands, place_tile, room_tile, shelved, spots

_LINES_ACROSS: Final = 38
_LEAST_LINE: Final = 9


def drawn(
    job: Job,
    plan: MovesPlan | None,
    stage: int,
    *,
    states: Mapping[Spot, Fill] | None = None,
    cures: Mapping[Spot, int] | None = None,
    ratio: float = 1.4,
) -> Drawing:
    """Return the house in a stage of a plan (counted from 0), or as it is where there is no plan.

    Args:
        job: its rooms and openings.
        plan: where what stands; None: everything stands in its room.
        stage: which of the plan's stages.
        states: what sections are, where that is known better than by the plan.
        cures: for how many stages after its own nothing stands on a section; None: one where its floor is glued.
        ratio: width to depth of the room there is for the drawing.
    """
    known = dict(states or {})
    if plan is None:
        standing, legend = _at_home(job)
        fills = {spot: known.get(spot, _unplanned(job, spot[0])) for room in job.rooms for spot in spots(room)}
        ways: Mapping[Spot, tuple[Rectangle, ...]] = {}
    else:
        now = plan.stages[stage]
        standing, legend = _in_stage(plan, now), _legend(plan, now)
        fills = stage_fills(job, plan, stage, cures) | known
        ways = dict(now.free)
    rooms = [room for room in job.rooms if _shown(room, fills, standing, ways)] or list(job.rooms)
    known_rooms = {room.name for room in job.rooms}
    others = list(dict.fromkeys(name for name, _ in standing if name not in known_rooms))
    line = 12
    for _ in range(3):  # words as high as the page can bear depend on how wide it is, and the other way round
        house = House(job=job, fills=fills, standing=standing, ways=ways, line=line)
        width, depth, *_ = shelved(_tiles(house, rooms, others), line, ratio)
        line = max(_LEAST_LINE, round(max(width, depth * ratio) / _LINES_ACROSS))
    house = House(job=job, fills=fills, standing=standing, ways=ways, line=line)
    width, depth, tiles, shapes = shelved(_tiles(house, rooms, others), line, ratio)
    return Drawing(width=width, depth=depth, line=line, shapes=shapes, tiles=tiles, legend=legend)


def _tiles(house: House, rooms: Sequence[Room], others: Sequence[str]) -> list[Made]:
    made = [room_tile(number, room, house) for number, room in enumerate(rooms)]
    for number, name in enumerate(others, len(rooms)):
        stands = [one for spot, there in house.standing.items() if spot[0] == name for one in there]
        made.append(place_tile(number, name, stands, house.line))
    return made


def stage_fills(job: Job, plan: MovesPlan, stage: int, cures: Mapping[Spot, int] | None = None) -> dict[Spot, Fill]:
    """Return what each section is in a stage; `cures` are stages after its own in which a floor cures, as in `drawn`."""
    now = plan.stages[stage]
    since = {spot: stage - number for number, one in enumerate(plan.stages[:stage]) for spot in one.worked}
    kept, walked = {stands.spot for stands in now.standing}, {spot for spot, _ in now.free}
    found: dict[Spot, Fill] = {}
    for room in job.rooms:
        glued = room.floor is not None and job.material(room.floor).method is Method.GLUED
        for spot in spots(room):
            if spot in now.worked:
                found[spot] = Fill.WORKED
            elif spot in since:
                stages = int(glued) if cures is None else cures.get(spot, 0)
                wet = since[spot] <= stages and now.kind is not StageKind.HOME and spot not in kept
                found[spot] = Fill.CURES if wet else Fill.LAID
            elif room.floor is not None:
                found[spot] = Fill.LATER
            else:
                found[spot] = Fill.KEPT if spot in kept else Fill.PASSED if spot in walked else Fill.UNUSED
    return found


def place_words(spot: Spot) -> str:
    """Return a place as people say it: ``living, window half``."""
    return ", ".join(filter(None, spot))


def way_words(piece: MovedPiece, start: Spot, to: Spot) -> tuple[str, str]:
    """Return from where and to where a piece is carried; what comes from or goes to no floor is said."""
    off = {Belongs.CARTONS: ("the truck", "laid"), Belongs.DOOR: ("its hinges", "its hinges")}
    gone, back = off.get(piece.belongs, ("outside", "outside"))
    return (place_words(start) if start != IN_PLACE else gone), (place_words(to) if to != IN_PLACE else back)


def _unplanned(job: Job, name: str) -> Fill:
    room = job.room(name)
    if room.floor is not None:
        return Fill.LATER
    return Fill.KEPT if room.furniture else Fill.UNUSED


def _at_home(job: Job) -> tuple[dict[Spot, list[Stands]], tuple[LegendRow, ...]]:
    pieces = [(room, piece) for room in job.rooms for piece in room.furniture]
    standing: dict[Spot, list[Stands]] = defaultdict(list)
    legend: list[LegendRow] = []
    for letter, (room, piece) in zip(letters(), pieces, strict=False):
        spot = (room.name, piece.part)
        standing[spot].append(Stands(letter))
        name = f"{piece.name}, stays" if piece.stays else piece.name
        legend.append(LegendRow(letter=letter, name=name, count=piece.count, where=place_words(spot)))
    return standing, tuple(legend)


def _in_stage(plan: MovesPlan, now: MoveStage) -> dict[Spot, list[Stands]]:
    standing: dict[Spot, list[Stands]] = defaultdict(list)
    for stands in now.standing:
        if stands.spot != IN_PLACE:
            standing[stands.spot].append(Stands(plan.pieces[stands.piece].letter, stands.at))
    return standing


def _legend(plan: MovesPlan, now: MoveStage) -> tuple[LegendRow, ...]:
    came: dict[int, str] = {}
    for carry in now.carried:
        came.setdefault(carry.piece, way_words(plan.pieces[carry.piece], carry.start, carry.to)[0])
    rows = [
        LegendRow(
            letter=plan.pieces[stands.piece].letter,
            name=plan.pieces[stands.piece].name,
            count=1,
            where=place_words(stands.spot),
            came=came.get(stands.piece, ""),
        )
        for stands in now.standing
        if stands.spot != IN_PLACE
    ]
    return tuple(sorted(rows, key=lambda row: (len(row.letter), row.letter)))


def _shown(
    room: Room,
    fills: Mapping[Spot, Fill],
    standing: Mapping[Spot, Sequence[Stands]],
    ways: Mapping[Spot, Sequence[Rectangle]],
) -> bool:
    """Return whether a room matters: it is worked, nobody may walk on it, something stands in it, or people walk through."""
    own = spots(room)
    return (
        any(fills.get(spot) in (Fill.WORKED, Fill.CURES) for spot in own)
        or any(spot[0] == room.name for spot in standing)
        or any(spot in ways for spot in own)
    )
