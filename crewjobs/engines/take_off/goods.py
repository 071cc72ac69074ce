"""What is bought beside the planks: pad, plywood, adhesive, base and shoe by the stick, strips in doorways, stair noses."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Final

from crewjobs.domain.house import Opening, Room, Stairs, Transition, Trim
from crewjobs.domain.job import Job
from crewjobs.domain.layout import Obstacle
from crewjobs.domain.material import FloorKind, Material, Method
from crewjobs.domain.units import FOOT, INCH, format_length
from crewjobs.domain.wording import listed
from crewjobs.engines.estimating.places import floored_rooms, floored_stairs
from crewjobs.engines.estimating.quantities import SHEET_FT2, whole_units
from crewjobs.engines.take_off.rules import GAP
from crewjobs.engines.take_off.sticks import Sticks, fewest_sticks
from crewjobs.engines.take_off.walls import End, Stretch, around, stretches

PAD_ROLL_FT2: Final = 200.0
"""What a roll of pad covers where nothing else is said. Source: a retail measuring guide (trade-facts 12.5)."""
PAIL_FT2: Final = 175.0
"""What a pail of adhesive covers where the label was not typed in. Source: a retail measuring guide (trade-facts 12.5)."""
TROWEL: Final = {
    FloorKind.CLICK_VINYL: '1/16" square notch',
    FloorKind.GLUED_VINYL: '1/16" square notch',
    FloorKind.SHEET_VINYL: '1/16" square notch',
    FloorKind.ENGINEERED_WOOD: '3/16" V-notch',
    FloorKind.SOLID_WOOD: '1/4" V-notch',
}
"""The trowel adhesive is usually spread with, by kind of floor; common practice, no source (from memory): the label decides."""
BASE_STICK: Final = 16 * FOOT
"""How long base and shoe come; common practice, no source."""
BASE_THICK: Final = INCH // 2
"""How thick base is: a wider gap takes shoe before it; common practice, no source."""
CABINETS: Final = ("island", "cabinet", "peninsula", "vanity", "counter")
COLUMNS: Final = ("column", "post", "pillar", "chase")
"""What an obstacle is called that gets shoe at its toe kick, or is trimmed as the walls are; common practice, no source."""
STRIP_STICK: Final = 78 * FOOT // 12
"""How long strips for doorways come; common practice, no source."""


class What(StrEnum):
    """What is bought."""

    PAD = "pad"
    PLYWOOD = "plywood underlayment"
    ADHESIVE = "adhesive"
    BASE = "base"
    SHOE = "shoe"
    STRIP = "strip"
    STAIR_NOSE = "stair nose"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of what to buy: how many `units` of `cover` each (ft², or 1/4064 inch of length) for a `need` of the same.

    `name` is what it is called, `places` where it goes, `sticks` which piece is cut from which, `lengths` how many
    pieces of which length where that is known, `treads` how many whole ones the steps of its noses have; `usual` says that the cover is
    as usual and not as typed in, `trowel` which notch adhesive is usually spread with then.
    """

    what: What
    name: str
    count: int
    unit: str
    need: float
    cover: float
    places: tuple[str, ...]
    usual: bool = True
    sticks: Sticks | None = None
    lengths: tuple[tuple[int, int], ...] = ()
    trowel: str = ""
    treads: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lengths:
    """How long sticks come (1/4064 inch)."""

    base: int = BASE_STICK
    shoe: int = BASE_STICK
    strip: int = STRIP_STICK


@dataclass(frozen=True, slots=True)
class Goods:
    """All lines, and what had to be assumed."""

    lines: tuple[Line, ...]
    taken_as: tuple[str, ...] = field(default=())


def goods_of(
    job: Job,
    lengths: Lengths | None = None,
    *,
    places: Collection[str] | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> Goods:
    """Return what is bought beside the planks, from net areas without waste, whole rolls, pails, sheets and sticks.

    With `places` it is that of these rooms and stairs alone; strips are those of all doorways.
    """
    lengths, taken_as = lengths or Lengths(), list[str]()
    rooms = [room for room in floored_rooms(job) if places is None or room.name in places]
    lines = [
        *_pad(rooms),
        *_plywood(rooms),
        *_adhesive(job, rooms),
        *_trim(job, rooms, What.BASE, lengths.base, taken_as, stop),
        *_trim(job, rooms, What.SHOE, lengths.shoe, taken_as, stop),
        *strips_of(job, lengths, stop=stop),
        *_noses([flight for flight in floored_stairs(job) if places is None or flight.name in places]),
    ]
    return Goods(tuple(lines), tuple(dict.fromkeys(taken_as)))


def strips_of(
    job: Job,
    lengths: Lengths | None = None,
    openings: Collection[str] | None = None,
    *,
    stop: Callable[[], bool] = lambda: False,
) -> tuple[Line, ...]:
    """Return the strips of a job's doorways, or of those `openings` alone, kind by kind in whole sticks."""
    some = (one for one in job.openings if openings is None or one.name in openings)
    return tuple(_strips(job, tuple(some), (lengths or Lengths()).strip, stop))


def _pad(rooms: Sequence[Room]) -> Iterator[Line]:
    padded = [room for room in rooms if room.pad]
    yield from _covered(What.PAD, "pad", "roll", padded, PAD_ROLL_FT2)


def _plywood(rooms: Sequence[Room]) -> Iterator[Line]:
    raised = [room for room in rooms if room.add_plywood]
    yield from _covered(What.PLYWOOD, "plywood underlayment", "sheet", raised, SHEET_FT2, usual=False)


def _adhesive(job: Job, rooms: Sequence[Room]) -> Iterator[Line]:
    for material in job.materials:
        if material.method is Method.GLUED:
            glued = [room for room in rooms if room.floor == material.name]
            cover = material.pail_ft2 or PAIL_FT2
            name = f"adhesive for {material.name}"
            usual = material.pail_ft2 is None
            for line in _covered(What.ADHESIVE, name, "pail", glued, cover, usual=usual):
                yield replace(line, trowel=TROWEL.get(material.kind, "") if usual else "")


def _covered(
    what: What, name: str, unit: str, rooms: Sequence[Room], cover: float, *, usual: bool = True
) -> Iterator[Line]:
    area = sum(room.net_ft2 for room in rooms)
    if area:
        yield Line(
            what=what, name=name, count=whole_units(area, cover), unit=unit, need=area, cover=cover,
            places=tuple(room.name for room in rooms), usual=usual,
        )  # fmt: skip


def _trim(
    job: Job, rooms: Sequence[Room], what: What, stick: int, taken_as: list[str], stop: Callable[[], bool]
) -> Iterator[Line]:
    walls: list[Stretch] = []
    places = []
    for room in rooms:
        here: list[Stretch] = []
        if what in _trims_of(job, room, taken_as):
            own, unplaced = stretches(room, job.openings, _trimmed(room, what))
            here += own
            if unplaced:
                names = listed([opening.name for opening in unplaced], most=6)
                are = "is" if len(unplaced) == 1 else "are"
                taken_as.append(
                    f"{what} of {room.name}: it was not said in which wall {names} {are}, taken out of the longest one"
                )
        here += (stretch for obstacle in _trimmed(room, what) for stretch in around(room, obstacle))
        taken_as += _untrimmed(room)
        walls += here
        places += [room.name] * bool(here)
    if walls:
        sticks = fewest_sticks(walls, stick, stop=stop)
        yield Line(
            what=what, name=str(what), count=len(sticks.cut), unit="stick", need=sum(one.length for one in walls),
            cover=stick, places=tuple(places), sticks=sticks,
        )  # fmt: skip


def _trims_of(job: Job, room: Room, taken_as: list[str]) -> tuple[What, ...]:
    """Return what a room's walls get new: base with shoe before it where the gap is wider than the base is thick."""
    gap = _gap(job.material(room.floor)) if room.floor is not None else 0
    match room.trim:
        case Trim.NEW_BASE:
            return (What.BASE, What.SHOE) if gap > BASE_THICK else (What.BASE,)
        case Trim.SHOE_ONLY:
            return (What.SHOE,)
        case Trim.REUSE_BASE if gap > BASE_THICK:
            taken_as.append(
                f"old base and shoe go back in {room.name}: look whether they cover a gap of {format_length(gap)}, else write new shoe"
            )
    return ()


def _gap(material: Material) -> int:
    if material.is_sheet or material.method is Method.GLUED:
        return material.gap or 0
    return material.gap if material.gap is not None else GAP.get(material.kind, 0)


def _trimmed(room: Room, what: What) -> tuple[Obstacle, ...]:
    """Return what stands in a room and gets this trim: cabinets shoe, columns what the walls get, hearths nothing."""
    if room.trim is Trim.NONE:
        return ()
    wall = What.BASE if room.trim is Trim.NEW_BASE else What.SHOE if room.trim is Trim.SHOE_ONLY else None
    named = {obstacle: obstacle.name.casefold() for obstacle in room.obstacles}
    return tuple(
        obstacle
        for obstacle, name in named.items()
        if (what is What.SHOE if any(word in name for word in CABINETS) else what is wall and _is_column(name))
    )


def _is_column(name: str) -> bool:
    return any(word in name for word in COLUMNS)


def _untrimmed(room: Room) -> Iterator[str]:
    """Say of what stands in a room and gets no trim that it gets none."""
    if room.trim is Trim.NONE:
        return
    for obstacle in room.obstacles:
        name = obstacle.name.casefold()
        if not any(word in name for word in CABINETS) and not _is_column(name):
            yield f"no base or shoe around {obstacle.name} in {room.name}: the floor is scribed to it, or an end cap set"


def _strips(job: Job, some: Sequence[Opening], stick: int, stop: Callable[[], bool]) -> Iterator[Line]:
    floored = {room.name for room in floored_rooms(job)}
    kinds: dict[Transition, list[Opening]] = {}
    for opening in some:
        if opening.transition is not Transition.CONTINUOUS and floored & {*opening.between}:
            kinds.setdefault(opening.transition, []).append(opening)
    for kind, openings in kinds.items():
        ends = (End.OPENING, End.OPENING)
        lengths = [Stretch(room=one.name, wall=0, start=0, end=one.width, ends=ends) for one in openings]
        sticks = fewest_sticks(lengths, stick, scarf=0, stop=stop)
        yield Line(
            what=What.STRIP, name=str(kind), count=len(sticks.cut), unit="stick", need=sum(one.width for one in openings),
            cover=stick, places=tuple(one.name for one in openings), sticks=sticks,
        )  # fmt: skip


def _noses(flights: Sequence[Stairs]) -> Iterator[Line]:
    steps = sum(flight.steps for flight in flights)
    if steps:
        yield Line(
            what=What.STAIR_NOSE, name="stair nose", count=steps, unit="piece", need=steps, cover=1,
            places=tuple(flight.name for flight in flights), usual=False, treads=sum(flight.treads for flight in flights),
            lengths=tuple((flight.width, flight.steps) for flight in flights if flight.width is not None),
        )  # fmt: skip
