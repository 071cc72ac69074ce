"""May wood be laid, by its readings: first the room, then the boards against the subfloor, and against what the region has.

What today's air alone leads to is no target: a wet room whose boards match it stays on hold. Nothing here is a permission: it says
what was read, what is asked, and what keeps it; the lead decides, and passes a hold with a written reason.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf
from typing import Final

from crewjobs.domain.crew import USUAL_WOOD_TARGET
from crewjobs.domain.house import Room, Subfloor
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.units import INCH
from crewjobs.domain.wording import listed
from crewjobs.engines.climate.boards import (
    AIR_DAYS,
    LOOK_CLOSER_FROM,
    LOOK_CLOSER_POINTS,
    ONE_FAR_POINTS,
    TARGET_POINTS,
    WETTEST_SUBFLOOR,
    boards_wanted,
    points_apart,
    subfloor_wanted,
)
from crewjobs.engines.climate.drying import NoForecast, forecast
from crewjobs.engines.climate.wood_moisture import equilibrium_moisture
from crewjobs.engines.readiness.acclimating import SPEAKS_FOR
from crewjobs.engines.readiness.air import air
from crewjobs.engines.readiness.air_read import RoomAir, air_of, latest_air, out_of_range, rooms_of
from crewjobs.engines.readiness.wood_visits import Visit, board_visits, mean, places_read

STANDS_FOR: Final = timedelta(days=3)
"""How long a reading of boards stands; common practice, no source: it is due the day before they are laid."""
APART: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """When boards will be where they are wanted, by a forecast: UTC, `early` and `late` its 80 % band (None: nothing bounds it).

    `equilibrium` is what the room's air leads to, in %, None where it was not read. Where no day can be given, `why_not` says so, and `never` that none will come by
    itself; empty
    where the boards are within what is asked of them already.
    """

    equilibrium: float | None = None
    ready_at: datetime | None = None
    early: datetime | None = None
    late: datetime | None = None
    why_not: str = ""
    never: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodStands:
    """How wood stands by its readings. Moistures in %, instants in UTC.

    `why` are what keeps it, the room's first; empty where all that is asked is met. `boards` is the mean of the last reading,
    `subfloor` that of what it lies on (None: not read, or a slab), `target` what wood indoors has in the region.
    """

    why: tuple[str, ...]
    boards: float
    read_at: datetime
    target: float
    subfloor: float | None
    ahead: Ahead

    @property
    def ready_at(self) -> datetime | None:
        """Return when the boards will be where they are wanted, by a forecast; None where none can be given."""
        return self.ahead.ready_at

    @property
    def fits(self) -> bool:
        """Return whether all that is asked is met."""
        return not self.why


def wood_stands(record: JobRecord, material: Material, at: datetime, wet: Sequence[str] = ()) -> WoodStands | None:
    """Return how wood stands by what was read until an instant; None where no board was read yet.

    The last visit decides, room by room where boards were read by rooms. `wet` is what dries or cures in the house at that instant,
    in words.
    """
    visits = board_visits(record, material, at)
    if not visits:
        return None
    boards, target = visits[-1], visits[-1].target or USUAL_WOOD_TARGET
    rooms = rooms_of(record, material)
    wooden = [room for room in record.job.rooms if room.name in rooms and room.subfloor is not Subfloor.SLAB]
    under = {room.name: values for room in wooden if (values := places_read(record, room.name, at))}
    last_air = latest_air(air_of(record, rooms, at), rooms)
    why = (
        *_of_the_room(record, material, rooms, last_air, at),
        *(f"{words} in the house" for words in wet),
        *_of_the_boards(record, material, boards, rooms, at),
        *_of_the_subfloor(material, wooden, boards, under),
        *_of_the_target(boards, target),
    )
    places = [value for values in under.values() for value in values]
    return WoodStands(
        why=why,
        boards=boards.mean,
        read_at=boards.at,
        target=target,
        subfloor=mean(places) if places else None,
        ahead=_ahead(material, visits, under, last_air, target),
    )


def _of_the_room(
    record: JobRecord, material: Material, rooms: frozenset[str], last: Sequence[RoomAir], at: datetime
) -> Iterator[str]:
    runs = air(record, at)
    since = runs.since or _said_first(record, at)
    if not runs.runs:
        yield "heat or air is not running"
    elif since is None:
        yield f"nobody said since when heat or air runs: {AIR_DAYS} days or more before wood is laid"
    elif at - since < timedelta(days=AIR_DAYS):
        yield f"heat or air has run for {(at - since) // timedelta(hours=1)} h, not {AIR_DAYS} days"
    out = out_of_range(last, material.asks)
    if out is not None:
        yield f"{out.words}, and it asks for {material.asks.words}"
    read = {one.room for one in last if at - one.sample.at < SPEAKS_FOR}
    unread = [] if "" in read else sorted(rooms - read)
    if unread:
        yield f"the air of {listed(unread)} was not read within a day"


def _said_first(record: JobRecord, at: datetime) -> datetime | None:
    """Return the first answer of the last unbroken run of them that says the air runs: it has run since then at least."""
    first = None
    for answer in sorted((a for a in record.answers if a.item is ReadyItem.AIR and a.at <= at), key=lambda a: a.at):
        first = None if not answer.ready else first or answer.at
    return first


def _of_the_boards(
    record: JobRecord, material: Material, boards: Visit, rooms: frozenset[str], at: datetime
) -> Iterator[str]:
    area = sum(room.net_ft2 for room in record.job.rooms if room.floor == material.name)
    wanted = boards_wanted(area)
    if boards.count < wanted:
        yield f"{boards.count} of {wanted} boards were read"
    unread = [] if "" in boards.by_room else sorted(rooms - set(boards.by_room))
    if unread:
        yield f"no board of {listed(unread)} was read"
    for room, values in boards.by_room.items():
        yield from _far_off(values, "board", f" in {room}" if room else "")
    if at - boards.at > STANDS_FOR:
        yield f"the boards were read {(at - boards.at) // timedelta(days=1)} days ago: read them again"


def _far_off(values: Sequence[float], what: str, where: str) -> Iterator[str]:
    middle = mean(values)
    far = [value for value in values if abs(value - middle) > LOOK_CLOSER_POINTS + APART]
    alone = [value for value in far if abs(value - middle) > ONE_FAR_POINTS]
    if len(far) < LOOK_CLOSER_FROM and alone:
        yield f"one {what}{where} ({alone[0]:g} %) is {abs(alone[0] - middle):.1f} points off the mean of {middle:.1f} %: look closer"
    if len(far) >= LOOK_CLOSER_FROM:
        shown = listed([f"{value:g} %" for value in far], most=4)
        yield (
            f"{len(far)} {what}s{where} ({shown}) are more than {LOOK_CLOSER_POINTS:g} points off the mean of {middle:.1f} %: look closer"
        )


def _of_the_subfloor(
    material: Material, wooden: Sequence[Room], boards: Visit, under: Mapping[str, Sequence[float]]
) -> Iterator[str]:
    if not wooden:
        return
    wanted, read = subfloor_wanted(sum(room.net_ft2 for room in wooden)), sum(map(len, under.values()))
    if read < wanted:
        yield f"the subfloor was read in {read} of {wanted} places"
    unread = [room.name for room in wooden if room.name not in under]
    if unread and read:
        yield f"the subfloor of {listed(unread)} was not read"
    apart, several = points_apart(material.plank_width / INCH), len(wooden) > 1
    for room, values in under.items():
        of, inside = (f" of {room}", f" in {room}") if several else ("", "")
        lies, floor = boards.mean_of(room), mean(values)
        if round(abs(lies - floor), 1) > apart:
            yield (
                f"boards {lies:.1f} % and subfloor{of} {floor:.1f} % are {abs(lies - floor):.1f} points apart, {apart:g} at most"
            )
        if floor > WETTEST_SUBFLOOR:
            yield f"the subfloor{of} has {floor:.1f} %, {WETTEST_SUBFLOOR:g} at most"
        elif (most := max(values)) > WETTEST_SUBFLOOR:
            yield f"one place of the subfloor{inside} has {most:g} %, {WETTEST_SUBFLOOR:g} at most: look closer there"
        yield from _far_off(values, "place", f" of the subfloor{inside}")


def _of_the_target(boards: Visit, target: float) -> Iterator[str]:
    for room, values in boards.by_room.items():
        off = abs(mean(values) - target)
        if round(off, 1) > TARGET_POINTS:
            inside = f" in {room}" if room else ""
            yield (
                f"boards{inside} {mean(values):.1f} % are {off:.1f} points off the {target:g} % that wood indoors has here, "
                f"{TARGET_POINTS:g} at most"
            )


def _ahead(
    material: Material,
    visits: Sequence[Visit],
    under: Mapping[str, Sequence[float]],
    last: Sequence[RoomAir],
    target: float,
) -> Ahead:
    """Return equilibrium and forecast by all visits: when the last of the rooms' boards are within all that is asked of them."""
    humid = [one.sample for one in last if one.sample.rh is not None]
    wanted = {room: _wanted(material, room, under, target) for room in visits[-1].by_room}
    there = all(low <= mean(visits[-1].by_room[room]) <= high for room, (low, high) in wanted.items())
    if not humid:
        air_first = "" if there else "without the room's temperature and humidity nothing says what the boards come to"
        return Ahead(why_not=air_first)
    equilibrium = mean([equilibrium_moisture(one.temp_f, one.rh or 0.0) for one in humid])
    first, slowest = visits[0].at, None
    for room, (low, high) in wanted.items():
        if low > high:
            return Ahead(equilibrium=equilibrium, why_not=_never(room, under, target), never=True)
        points = [
            ((one.at - first) / timedelta(hours=1), mean(one.by_room[room])) for one in visits if room in one.by_room
        ]
        if low <= points[-1][1] <= high:
            continue
        found = forecast(points, equilibrium, low, high)
        if isinstance(found, NoForecast):
            return Ahead(equilibrium=equilibrium, why_not=found.why)
        if slowest is None or found.hours > slowest.hours:
            slowest = found
    if slowest is None:
        return Ahead(equilibrium=equilibrium)
    ends = [_instant(first, hours) for hours in (slowest.hours, slowest.early, slowest.late)]
    return Ahead(equilibrium=equilibrium, ready_at=ends[0], early=ends[1], late=ends[2])


def _wanted(material: Material, room: str, under: Mapping[str, Sequence[float]], target: float) -> tuple[float, float]:
    """Return within what moistures boards of a room lie by the target and by the subfloor; of no room said, by every subfloor."""
    apart = points_apart(material.plank_width / INCH)
    floors = [mean(values) for name, values in under.items() if room in ("", name)]
    return (
        max([target - TARGET_POINTS, *(floor - apart for floor in floors)]),
        min([target + TARGET_POINTS, *(floor + apart for floor in floors)]),
    )


def _never(room: str, under: Mapping[str, Sequence[float]], target: float) -> str:
    floors = listed([f"{mean(values):.1f} %" for name, values in under.items() if room in ("", name)], most=4)
    return f"no boards fit both the {target:g} % wanted here and a subfloor of {floors}: the subfloor first"


def _instant(first: datetime, hours: float) -> datetime | None:
    return None if hours == inf else first + timedelta(hours=round(hours))
