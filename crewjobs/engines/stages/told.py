"""A plan found by the search, told in the house's own places: what is carried in which order, and where everything stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import pairwise
from typing import Final

from crewjobs.domain.moves import (
    IN_PLACE,
    Belongs,
    Carried,
    MovedPiece,
    MovesPlan,
    MoveStage,
    Spot,
    StageKind,
    Standing,
)
from crewjobs.domain.wording import listed
from crewjobs.engines.moving.carrying import Carry, carries
from crewjobs.engines.moving.model import MovingPlan, Stage, Status
from crewjobs.engines.moving.resting import rested
from crewjobs.engines.moving.standing import StageStood, pushed_aside, standing
from crewjobs.engines.stages.house import PACKED, House
from crewjobs.engines.stages.unfit import places_words, spot_words

NO_ORDER: Final = (
    "no order was found in which each piece finds its floor free before {where}: some have to be set down in the way "
    "or outside for a moment"
)
Rects = tuple[tuple[int, int, int, int], ...]


def moves_plan(house: House, plan: MovingPlan, *, at: datetime, basis: str) -> MovesPlan:
    """Return a plan with stages as the job's own: the carry-in, each stage of work, waits, and everything home."""
    plan = rested(house.problem, plan)
    problem, stood = house.problem, standing(house.problem, plan)
    begins = tuple(piece.begins for piece in problem.pieces)
    ends = tuple(piece.home for piece in problem.pieces)
    layouts = [begins, *(stage.at for stage in plan.stages), ends]
    stages, unordered = [], list[str]()
    for number, (before, after) in enumerate(pairwise(layouts)):
        stage = plan.stages[number] if number < len(plan.stages) else None
        in_order = carries(problem, before, after)
        if in_order is None:
            unordered.append(NO_ORDER.format(where=_where(house, stage)))
        stages.append(
            MoveStage(
                kind=_kind(house, stage, number),
                worked=tuple(sorted(house.spots[i] for i in stage.worked)) if stage is not None else (),
                carried=tuple(
                    _carried(house, carry)
                    for carry in in_order or _direct(before, after)
                    if not _is_no_carry(house, carry)
                ),
                standing=_standing(house, after, stood[number]) if stage is not None else _home(house),
                free=_free(house, stood[number]) if stage is not None else (),
                aside=_aside(stood, number, before, after) if stage is not None else (),
            )
        )
    return MovesPlan(
        at=at,
        pieces=tuple(
            MovedPiece(
                letter=thing.letter,
                name=thing.name,
                belongs=thing.belongs,
                home=thing.home,
                people=thing.people,
                weight_lb=float(thing.weight_lb),
                covers=thing.rects,
                bed=thing.sleeps,
                power=thing.power,
            )
            for thing in house.things
        ),
        stages=tuple(stages),
        cost=plan.cost / 10,
        bound=plan.bound / 10,
        proved=plan.status is Status.PROVED,
        basis=basis,
        taken_as=(*house.taken_as, *_packed_close(house, plan), *unordered),
    )


def _packed_close(house: House, plan: MovingPlan) -> Iterator[str]:
    """Say which floors are covered more than they usually are, where there was no other way."""
    if house.packed <= PACKED:
        return
    most: dict[int, float] = {}
    for stage in plan.stages:
        load: dict[int, int] = {}
        for piece, place in enumerate(stage.at):
            load[place] = load.get(place, 0) + house.problem.pieces[piece].footprint
        for place, covered in load.items():
            if place < len(house.spots) and not all(
                house.problem.pieces[i].home == place for i, at in enumerate(stage.at) if at == place
            ):
                most[place] = max(most.get(place, 0.0), covered / house.areas[place])
    close = [
        f"{spot_words(house.spots[place])} to {share:.0%}" for place, share in sorted(most.items()) if share > PACKED
    ]
    if close:
        yield (
            f"there is no way with {PACKED:.0%} of a floor covered at most, so things are packed closer: "
            f"{listed(close, most=6)}; look on site whether they can be set down so"
        )


def _kind(house: House, stage: Stage | None, number: int) -> StageKind:
    if stage is None:
        return StageKind.HOME
    if stage.worked:
        return StageKind.WORK
    return StageKind.CARRY_IN if house.problem.opening and number == 0 else StageKind.WAIT


def _where(house: House, stage: Stage | None) -> str:
    if stage is None:
        return "everything goes home"
    return (
        f"{places_words(house.spots[i] for i in sorted(stage.worked))} is worked"
        if stage.worked
        else "nothing is worked"
    )


def _direct(before: Sequence[int], after: Sequence[int]) -> Sequence[Carry]:
    """Return the carries as they come, for where no order lets each find its floor free."""
    return [Carry(piece=i, start=a, to=b) for i, (a, b) in enumerate(zip(before, after, strict=True)) if a != b]


def _is_no_carry(house: House, carry: Carry) -> bool:
    """Return whether a piece only comes or goes: cartons are gone when their floor is laid, doors have tasks of their own."""
    nowhere, belongs = len(house.spots), house.things[carry.piece].belongs
    return (carry.to >= nowhere and belongs is Belongs.CARTONS) or (
        nowhere in (carry.start, carry.to) and belongs is Belongs.DOOR
    )


def _spot(house: House, place: int) -> Spot:
    return house.spots[place] if place < len(house.spots) else IN_PLACE


def _carried(house: House, carry: Carry) -> Carried:
    piece = house.problem.pieces[carry.piece]
    return Carried(
        piece=carry.piece,
        start=_spot(house, carry.start),
        to=_spot(house, carry.to),
        minutes=piece.moves[carry.start][carry.to] / 10,
        down=carry.down,
    )


def _standing(house: House, at: Sequence[int], stood: StageStood) -> tuple[Standing, ...]:
    rects: dict[int, list[tuple[int, int, int, int]]] = {}
    for here in stood.places:
        for piece, rect in zip(here.pieces, here.at, strict=not here.as_found):
            rects.setdefault(piece, []).append((rect.x, rect.y, rect.width, rect.depth))
    return tuple(
        Standing(piece=piece, spot=house.spots[place], at=tuple(rects.get(piece, ())))
        for piece, place in enumerate(at)
        if place < len(house.spots)
    )


def _aside(stood: Sequence[StageStood], number: int, before: Sequence[int], after: Sequence[int]) -> tuple[int, ...]:
    """Return what stays in its place and is pushed aside there."""
    stays = [i for i, (a, b) in enumerate(zip(before, after, strict=True)) if a == b]
    return pushed_aside(stood[number - 1], stood[number], stays) if number else ()


def _free(house: House, stood: StageStood) -> tuple[tuple[Spot, Rects], ...]:
    found = []
    for here in stood.places:
        floor = house.problem.places[here.place].floor
        if here.walkway >= 0 and floor is not None:
            found.append(
                (house.spots[here.place], tuple((r.x, r.y, r.width, r.depth) for r in floor.walkways[here.walkway]))
            )
    return tuple(found)


def _home(house: House) -> tuple[Standing, ...]:
    """Return all furniture at home, where it stands as its people want it."""
    return tuple(
        Standing(piece=i, spot=thing.home)
        for i, thing in enumerate(house.things)
        if not thing.used_by and not thing.loose_from
    )
