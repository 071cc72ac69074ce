"""Whether a floor is far enough above the dew point before primer, leveler or adhesive goes on it, by what was read last."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.reading import AirSample, Reading, ReadingKind
from crewjobs.domain.tasks import ScopeKind, Task
from crewjobs.engines.climate.dew_point import LEAST_MARGIN_F, dew_point
from crewjobs.engines.readiness.acclimating import SPEAKS_FOR
from crewjobs.engines.readiness.air_read import air_of, latest_air

SPREAD: Final = frozenset(
    {
        "prime",
        "pour-leveler",
        "patch",
        "skim-for-sheet",
        "lay-glued-vinyl",
        "lay-glued-wood",
        "lay-sheet-glued",
    }
)
"""Task templates that put primer, leveler, patch or adhesive on a floor. A test holds them to the catalogue."""
SMALL: Final = frozenset({"patch", "skim-for-sheet"})
"""Those of them that are done in so many houses that nobody is told each time that floor and air were not read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DewMargin:
    """A surface over the dew point of the air above it, °F; the air the worse of what was read in the room at once."""

    surface: float
    temp_f: float
    rh: float
    dew: float

    @property
    def margin(self) -> float:
        """Return how far the surface lies above the dew point."""
        return self.surface - self.dew

    @property
    def enough(self) -> bool:
        """Return whether it is as far as is asked for, to the tenth that meters show."""
        return round(self.margin, 1) >= LEAST_MARGIN_F

    @property
    def words(self) -> str:
        """Return it as people say it."""
        return (
            f"floor {self.surface:g} °F, air {self.temp_f:g} °F and {self.rh:g} % RH: {abs(self.margin):.1f} °F "
            f"{'above' if self.margin >= 0 else 'below'} the dew point of "
            f"{self.dew:.1f} °F"
        )


def dew_margin(record: JobRecord, room: str, at: datetime) -> DewMargin | None:
    """Return how far a room's floor lies above the dew point, by what was read within a day; None where either was not."""
    surface, humid = _surface(record, room, at), _humid(record, room, at)
    if surface is None or not speaks_for(surface.at, at):
        return None
    return _margin(surface, [one for one in humid if speaks_for(one.at, at)])


def dew_standing(record: JobRecord, room: str, at: datetime) -> DewMargin | None:
    """Return the margin that holds a room: too small when floor and air were read, and not both of them read anew since and enough.

    Floor and air read more than a day apart say nothing of each other.
    """
    floors = sorted(
        (one for one in record.readings if one.kind is ReadingKind.SURFACE and one.room == room and one.at <= at),
        key=lambda one: one.at,
    )
    if not floors:
        return None
    standing: tuple[DewMargin, datetime, datetime] | None = None
    for floor, air in _pairs(record, room, floors, at):
        found = _margin(floor, [air])
        assert found is not None
        if not found.enough:
            standing = (found, floor.at, air.at)
        elif standing is not None and floor.at > standing[1] and air.at > standing[2]:
            standing = None
    return None if standing is None else standing[0]


def _pairs(
    record: JobRecord, room: str, floors: Sequence[Reading], at: datetime
) -> Iterator[tuple[Reading, AirSample]]:
    """Yield, in the order of time, each floor with the air it was read under, and each air with the floor read before it."""
    by_minute = {one.at: one for one in floors}  # of one minute the last recorded
    samples = {one.sample.at: one.sample for one in air_of(record, frozenset({room}), at) if one.sample.rh}
    floor: Reading | None = None
    air: AirSample | None = None
    for moment in sorted({*by_minute, *samples}):
        floor, air = by_minute.get(moment, floor), samples.get(moment, air)
        if floor is not None and air is not None and abs(floor.at - air.at) < SPEAKS_FOR:
            yield floor, air


def _surface(record: JobRecord, room: str, at: datetime) -> Reading | None:
    read = [one for one in record.readings if one.kind is ReadingKind.SURFACE and one.room == room and one.at <= at]
    return max(reversed(read), key=lambda one: one.at, default=None)  # of one minute the last recorded


def _humid(record: JobRecord, room: str, at: datetime) -> list[AirSample]:
    rooms = frozenset({room})
    return [one.sample for one in latest_air(air_of(record, rooms, at), rooms) if one.sample.rh]


def _margin(surface: Reading, humid: Sequence[AirSample]) -> DewMargin | None:
    if not humid:
        return None
    worst = max(humid, key=lambda one: dew_point(one.temp_f, one.rh or 0.0))
    assert worst.rh is not None
    return DewMargin(
        surface=min(surface.values), temp_f=worst.temp_f, rh=worst.rh, dew=dew_point(worst.temp_f, worst.rh)
    )


def speaks_for(read: datetime, at: datetime) -> bool:
    """Return whether something read by an instant still speaks for it."""
    return read <= at and at - read < SPEAKS_FOR


def dew_why(record: JobRecord, task: Task, at: datetime) -> str:
    """Return why a task that spreads something on a floor must wait for it to be warmer or the air drier; empty where it need not.

    A floor read too cold stays too cold until floor and air are read again.
    """
    if not spreads(task):
        return ""
    found = dew_standing(record, task.key.scope.name, at)
    if found is None:
        return ""
    return f"{found.words}, {LEAST_MARGIN_F:g} °F at least before {task.title[:1].lower()}{task.title[1:]}"


def dew_unread(record: JobRecord, task: Task, at: datetime) -> bool:
    """Return whether a task spreads primer, leveler or adhesive on a floor whose margin over the dew point nobody read within a day."""
    return spreads(task) and task.key.template not in SMALL and dew_margin(record, task.key.scope.name, at) is None


def spreads(task: Task) -> bool:
    """Return whether a task puts something on a floor that a damp one would spoil."""
    return task.key.template in SPREAD and task.key.scope.kind in (ScopeKind.ROOM, ScopeKind.SECTION)
