"""May wood be laid, by its readings: first the room, then the boards against the subfloor, and against what the region has.

What today's air alone leads to is no target: a wet room whose boards match it stays on hold. Nothing here is a permission: it says
what was read, what is asked, and what keeps it; the lead decides, and passes a hold with a written reason.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf
from typing import Final

from crewjobs.domain.crew import USUAL_WOOD_TARGET
from crewjobs.domain.house import Subfloor
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.reading import Reading, ReadingKind
from crewjobs.domain.units import INCH
from crewjobs.domain.wording import listed
from crewjobs.engines.climate.boards import (
    AIR_DAYS,
    LOOK_CLOSER_FROM,
    LOOK_CLOSER_POINTS,
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

TOGETHER: Final = timedelta(hours=24)
"""Boards and places read within a day are one reading; common practice, no source."""
STANDS_FOR: Final = timedelta(days=3)
"""How long a reading of boards stands; common practice, no source: it is due the day before they are laid."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """When boards will be where they are wanted, by a forecast: UTC, `early` and `late` its 80 % band (None: nothing bounds it).

    `equilibrium` is what the room's air leads to, in %, None where it was not read. Where no day can be given, `why_not` says so.
    """

    equilibrium: float | None = None
    ready_at: datetime | None = None
    early: datetime | None = None
    late: datetime | None = None
    why_not: str = ""


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

    `wet` is what dries or cures in the house at that instant, in words.
    """
    boards = _last(record, ReadingKind.BOARDS, at, material=material.name)
    if not boards:
        return None
    rooms = rooms_of(record, material)
    wooden = frozenset(r.name for r in record.job.rooms if r.name in rooms and r.subfloor is not Subfloor.SLAB)
    under = _last(record, ReadingKind.SUBFLOOR, at, rooms=wooden)
    values, floor = _values(boards), _values(under)
    mean, target = _mean(values), boards[-1].target or USUAL_WOOD_TARGET
    last_air = latest_air(air_of(record, rooms, at), rooms)
    why = (
        *_of_the_room(record, material, rooms, last_air, at),
        *(f"{words} in the house" for words in wet),
        *_of_the_boards(record, material, values, boards[-1].at, at),
        *_of_the_subfloor(record, material, wooden, mean, floor),
        *_of_the_target(mean, target),
    )
    return WoodStands(
        why=why,
        boards=mean,
        read_at=boards[-1].at,
        target=target,
        subfloor=_mean(floor) if floor else None,
        ahead=_ahead(record, material, last_air, at, target),
    )


def _last(
    record: JobRecord,
    kind: ReadingKind,
    at: datetime,
    *,
    material: str = "",
    rooms: frozenset[str] | None = None,
) -> list[Reading]:
    """Return the last readings of a kind, those within a day of the very last one, in the order of time."""
    found = sorted(
        (
            one
            for one in record.readings
            if one.kind is kind and one.at <= at and one.material == material and (rooms is None or one.room in rooms)
        ),
        key=lambda one: one.at,
    )
    return [one for one in found if found[-1].at - one.at < TOGETHER]


def _values(readings: Sequence[Reading]) -> list[float]:
    return [value for one in readings for value in one.values]


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


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
    record: JobRecord, material: Material, values: Sequence[float], read_at: datetime, at: datetime
) -> Iterator[str]:
    area = sum(room.net_ft2 for room in record.job.rooms if room.floor == material.name)
    wanted = boards_wanted(area)
    if len(values) < wanted:
        yield f"{len(values)} of {wanted} boards were read"
    mean = _mean(values)
    far = [value for value in values if abs(value - mean) > LOOK_CLOSER_POINTS]
    if len(far) >= LOOK_CLOSER_FROM:
        shown = listed([f"{value:g} %" for value in far], most=4)
        yield f"{len(far)} boards ({shown}) are more than {LOOK_CLOSER_POINTS:g} points off the mean of {mean:.1f} %: look closer"
    if at - read_at > STANDS_FOR:
        yield f"the boards were read {(at - read_at) // timedelta(days=1)} days ago: read them again"


def _of_the_subfloor(
    record: JobRecord, material: Material, wooden: frozenset[str], mean: float, floor: Sequence[float]
) -> Iterator[str]:
    if not wooden:
        return
    wanted = subfloor_wanted(sum(r.net_ft2 for r in record.job.rooms if r.name in wooden))
    if len(floor) < wanted:
        yield f"the subfloor was read in {len(floor)} of {wanted} places"
    if not floor:
        return
    under, apart = _mean(floor), points_apart(material.plank_width / INCH)
    if abs(mean - under) > apart + 1e-9:
        yield f"boards {mean:.1f} % and subfloor {under:.1f} % are {abs(mean - under):.1f} points apart, {apart:g} at most"
    if under > WETTEST_SUBFLOOR:
        yield f"the subfloor has {under:.1f} %, {WETTEST_SUBFLOOR:g} at most"


def _of_the_target(mean: float, target: float) -> Iterator[str]:
    if abs(mean - target) > TARGET_POINTS + 1e-9:
        yield f"boards {mean:.1f} % are {abs(mean - target):.1f} points off the {target:g} % that wood indoors has here, {TARGET_POINTS:g} at most"


def _ahead(record: JobRecord, material: Material, last: Sequence[RoomAir], at: datetime, target: float) -> Ahead:
    """Return equilibrium and forecast, by all days on which boards were read."""
    humid = [one.sample for one in last if one.sample.rh is not None]
    if not humid:
        return Ahead(why_not="without the room's temperature and humidity nothing says what the boards come to")
    equilibrium = sum(equilibrium_moisture(one.temp_f, one.rh or 0.0) for one in humid) / len(humid)
    taken = sorted(
        (r for r in record.readings if r.kind is ReadingKind.BOARDS and r.material == material.name and r.at <= at),
        key=lambda r: r.at,
    )
    first = taken[0].at
    points = [((one.at - first) / timedelta(hours=1), one.mean) for one in taken]
    found = forecast(points, equilibrium, target - TARGET_POINTS, target + TARGET_POINTS)
    if isinstance(found, NoForecast):
        return Ahead(equilibrium=equilibrium, why_not=found.why)
    ends = [_instant(first, hours) for hours in (found.hours, found.early, found.late)]
    return Ahead(equilibrium=equilibrium, ready_at=ends[0], early=ends[1], late=ends[2])


def _instant(first: datetime, hours: float) -> datetime | None:
    return None if hours == inf else first + timedelta(hours=round(hours))
