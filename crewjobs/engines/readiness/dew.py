"""Whether a floor is far enough above the dew point before primer, leveler or adhesive goes on it, by what was read last."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.reading import ReadingKind
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
            f"floor {self.surface:g} °F, air {self.temp_f:g} °F and {self.rh:g} % RH: {self.margin:.1f} °F above the dew point of "
            f"{self.dew:.1f} °F"
        )


def dew_margin(record: JobRecord, room: str, at: datetime) -> DewMargin | None:
    """Return how far a room's floor lies above the dew point, by what was read within a day; None where either was not."""
    surfaces = [
        one
        for one in record.readings
        if one.kind is ReadingKind.SURFACE and one.room == room and speaks_for(one.at, at)
    ]
    rooms = frozenset({room})
    humid = [
        one.sample
        for one in latest_air(air_of(record, rooms, at), rooms)
        if one.sample.rh and speaks_for(one.sample.at, at)
    ]
    if not surfaces or not humid:
        return None
    surface = min(max(surfaces, key=lambda one: one.at).values)
    worst = max(humid, key=lambda one: dew_point(one.temp_f, one.rh or 0.0))
    assert worst.rh is not None
    return DewMargin(surface=surface, temp_f=worst.temp_f, rh=worst.rh, dew=dew_point(worst.temp_f, worst.rh))


def speaks_for(read: datetime, at: datetime) -> bool:
    """Return whether something read by an instant still speaks for it."""
    return read <= at and at - read < SPEAKS_FOR


def dew_why(record: JobRecord, task: Task, at: datetime) -> str:
    """Return why a task that spreads something on a floor must wait for it to be warmer or the air drier; empty where it need not."""
    if task.key.template not in SPREAD or task.key.scope.kind not in (ScopeKind.ROOM, ScopeKind.SECTION):
        return ""
    found = dew_margin(record, task.key.scope.name, at)
    if found is None or found.enough:
        return ""
    return f"{found.words}, {LEAST_MARGIN_F:g} at least before {task.title[:1].lower()}{task.title[1:]}"
