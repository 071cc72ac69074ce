"""What takes floor in a house while it is worked: furniture, appliances, the job's own cartons, doors taken off."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Final

from crewjobs.domain.furniture import Piece, UsualFurniture, UsualPiece
from crewjobs.domain.house import FixtureKind, Room
from crewjobs.domain.job import Job
from crewjobs.domain.material import Material
from crewjobs.domain.moves import Belongs, Spot
from crewjobs.domain.units import INCH
from crewjobs.engines.estimating.sizing import count_of
from crewjobs.engines.stages.letters import letters

APPLIANCES: Final = (
    FixtureKind.REFRIGERATOR,
    FixtureKind.GAS_RANGE,
    FixtureKind.ELECTRIC_RANGE,
    FixtureKind.HARD_WIRED_RANGE,
    FixtureKind.DISHWASHER,
    FixtureKind.HARD_WIRED_DISHWASHER,
    FixtureKind.WASHER,
    FixtureKind.GAS_DRYER,
    FixtureKind.ELECTRIC_DRYER,
)
UNKNOWN_SIZE: Final = (36, 24)
"""Inches of floor for a piece nobody gave a size, and no usual furniture has its name; common practice, no source."""
UNKNOWN_LB: Final = 60.0
CARTONS_HIGH: Final = 5
"""So many cartons lie on each other; common practice, no source, and the carton's own sheet comes first."""
CARTON_MARGIN: Final = 1
"""Inches a carton is longer and wider than its planks."""
CARTON_LB: Final = 40.0
DOOR_INCHES: Final = (80, 6)
"""A door leans on its long edge against a wall; common practice, no source."""
TILTED: Final = 0.8
TAKEN_APART_MIN: Final = 15
"""A piece that takes so long to be made ready is taken apart; common practice, no source."""
DOOR_LB: Final = 35.0
RATED_DOOR_LB: Final = 90.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """One thing that is carried as one. `rects` are the inches of floor it takes, `grips` how often it is taken up.

    `home` is the section it belongs to, `said` whether the job says so (else it was shared out); `used_by` and `loose_from` are as the engine's pieces have them.
    """

    letter: str
    name: str
    belongs: Belongs
    home: Spot
    rects: tuple[tuple[int, int], ...]
    people: int
    weight_lb: float
    set_down_min: float = 0.0
    grips: int = 1
    power: bool = False
    sleeps: bool = False
    stays: bool = False
    said: bool = False
    apart: bool = False
    used_by: frozenset[Spot] = frozenset()
    loose_from: frozenset[Spot] = frozenset()

    @property
    def needs_in(self) -> int:
        """Return the inches of an opening it goes through: its narrower side less what tilting saves; common practice, no source.

        What is taken apart goes through any.
        """
        return 0 if self.apart else int(TILTED * max((min(rect) for rect in self.rects), default=0))

    @property
    def area_in2(self) -> int:
        """Return the floor it takes, in square inches."""
        return sum(width * depth for width, depth in self.rects)


def things_of(
    job: Job,
    usual: UsualFurniture,
    floored: Sequence[Spot],
    taken_as: list[str],
    *,
    laid: Collection[Spot] = (),
    hanging: Collection[str] = (),
) -> tuple[Thing, ...]:
    """Return all that takes floor, alike things of one entry under one letter; `floored` are the sections still to be laid.

    Doors are off from the first section they lead to that is worked, also of those `laid` already, until they are `hanging`
    again (by the opening's name).
    """
    marks = letters()
    found: list[Thing] = []
    for room in job.rooms:
        here: list[Thing] = []
        for piece in room.furniture:
            here += _pieces(room, piece, usual, next(marks), taken_as)
        for fixture in room.fixtures:
            known = usual.piece(fixture.kind)
            if fixture.kind in APPLIANCES and known is not None:
                here += _stacks(
                    room, known, Piece(name=fixture.kind, count=fixture.count, people=known.people), next(marks)
                )
        found += _shared_out(room, here, taken_as)
    for material in job.materials:
        if not material.is_sheet:
            found += _cartons(job, material, floored, marks)
    every = [(room.name, part.name) for room in job.rooms if room.floor is not None for part in room.sections]
    for opening in job.openings:
        if not opening.door or "outside" in opening.between:
            continue
        letter, ends = next(marks), _ends(opening.between, opening.parts, every)
        spots = [spot for spot in ends if spot in floored or spot in laid]
        if spots and opening.name not in hanging:
            found.append(
                Thing(
                    letter=letter,
                    name=f"door {opening.name}",
                    belongs=Belongs.DOOR,
                    home=ends[0],
                    rects=(DOOR_INCHES,),
                    people=2 if opening.rated else 1,
                    weight_lb=RATED_DOOR_LB if opening.rated else DOOR_LB,
                    loose_from=frozenset(spots),
                )
            )
    return tuple(found)


def _pieces(room: Room, piece: Piece, usual: UsualFurniture, letter: str, taken_as: list[str]) -> Iterator[Thing]:
    known = usual.piece(piece.name)
    if known is None:
        width, depth = UNKNOWN_SIZE
        known = UsualPiece(name=piece.name, length=width * INCH, width=depth * INCH, weight_lb=UNKNOWN_LB)
        if piece.length is None:
            taken_as.append(f"{piece.name} in {room.name}: taken as {width} in x {depth} in of floor")
    return _stacks(room, known, piece, letter)


def _stacks(room: Room, known: UsualPiece, piece: Piece, letter: str) -> Iterator[Thing]:
    """Yield the stacks a piece is carried in; a piece that does not stack is a stack of its own."""
    length = piece.length if piece.length is not None else known.length
    width = piece.width if piece.width is not None else known.width
    high = piece.stack if piece.stack is not None else known.stack
    weight = piece.weight_lb if piece.weight_lb is not None else known.weight_lb
    set_down = piece.set_down_min if piece.set_down_min is not None else known.set_down_min
    left = piece.count
    while left > 0:
        count = min(high, left)
        left -= count
        yield Thing(
            letter=letter,
            name=str(piece.name) if count == 1 else f"{count} x {piece.name}",
            belongs=Belongs.APPLIANCE if known.name in APPLIANCES else Belongs.FURNITURE,
            home=(room.name, piece.part),
            rects=((-(-length // INCH), -(-width // INCH)),),
            people=piece.people,
            weight_lb=weight,
            set_down_min=set_down * count,
            grips=count,
            power=known.power if piece.power is None else piece.power,
            sleeps=bool(known.sleeps if piece.sleeps is None else piece.sleeps),
            stays=piece.stays,
            said=bool(piece.part) or not room.cuts,
            apart=set_down >= TAKEN_APART_MIN,
        )


def _shared_out(room: Room, things: Sequence[Thing], taken_as: list[str]) -> list[Thing]:
    """Return things with their section: where it was not said, the largest first into the emptiest section."""
    if not room.cuts:
        return list(things)
    left = {part.name: part.area_ft2 * 144.0 for part in room.sections}
    for thing in things:
        if thing.home[1]:
            left[thing.home[1]] -= thing.area_in2
    sizes = {name: sorted(side // INCH for side in room.outline_of(name).size) for name, _ in room.cuts}
    placed: dict[int, Spot] = {}
    open_ones = [i for i, thing in enumerate(things) if not thing.home[1]]
    for i in sorted(open_ones, key=lambda i: (-things[i].area_in2, i)):
        fits = [name for name, size in sizes.items() if _fits(things[i], size)]
        part = max(fits or left, key=lambda name: left[name])
        left[part] -= things[i].area_in2
        placed[i] = (room.name, part)
    if open_ones:
        taken_as.append(f"which section of {room.name} its furniture stands in was not said: shared out evenly")
    return [replace(thing, home=placed.get(i, thing.home)) for i, thing in enumerate(things)]


def _fits(thing: Thing, size: Sequence[int]) -> bool:
    return all(min(rect) <= size[0] and max(rect) <= size[1] for rect in thing.rects)


def _cartons(job: Job, material: Material, floored: Sequence[Spot], marks: Iterator[str]) -> Iterator[Thing]:
    """Yield the cartons of each section by its share of the area, lying flat in stacks."""
    areas = {
        (room.name, part.name): part.area_ft2
        for room in job.rooms
        if room.floor == material.name
        for part in room.sections
    }
    shares = _shared(count_of(job, material), areas)
    size = tuple(-(-side // INCH) + CARTON_MARGIN for side in (material.plank_length, material.plank_width))
    for spot, cartons in shares.items():
        letter = next(marks)  # also for what is laid: letters stay as they are while the job goes on
        if spot not in floored or not cartons:
            continue
        where = ", ".join(filter(None, spot))
        yield Thing(
            letter=letter,
            name=f"{cartons} cartons for {where}" if cartons > 1 else f"1 carton for {where}",
            belongs=Belongs.CARTONS,
            home=spot,
            rects=((size[0], size[1]),) * ceil(cartons / CARTONS_HIGH),
            people=1,
            weight_lb=material.carton_lb or CARTON_LB,
            grips=cartons,
            used_by=frozenset({spot}),
        )


def _shared(count: int, areas: Mapping[Spot, float]) -> dict[Spot, int]:
    """Return cartons shared out by area, none more than there are: whole ones first, then the largest rest."""
    total = sum(areas.values())
    exact = {spot: count * area / total for spot, area in areas.items()}
    found = {spot: int(share) for spot, share in exact.items()}
    for spot in sorted(exact, key=lambda spot: (found[spot] - exact[spot], spot))[: count - sum(found.values())]:
        found[spot] += 1
    return found


def _ends(between: tuple[str, str], parts: tuple[str, str], floored: Sequence[Spot]) -> list[Spot]:
    """Return the sections to be laid that an opening leads to."""
    found = []
    for name, part in zip(between, parts, strict=True):
        found += [spot for spot in floored if spot[0] == name and part in ("", spot[1])]
    return found
