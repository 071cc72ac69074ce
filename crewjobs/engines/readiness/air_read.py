"""What was read of the air: of which rooms, by an instant, and how it fits what a material asks for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from crewjobs.domain.conditions import Conditions
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.reading import AirSample


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomAir:
    """One sample of the air, and where it was read; `room` is empty for the whole house."""

    room: str
    sample: AirSample

    @property
    def words(self) -> str:
        """Return it as people say it: ``58 °F and 40 % RH in living``."""
        humid = "" if self.sample.rh is None else f" and {self.sample.rh:g} % RH"
        return f"{self.sample.temp_f:g} °F{humid} in {self.room or 'the house'}"


def rooms_of(record: JobRecord, material: Material) -> frozenset[str]:
    """Return the rooms in which a material lies; where it goes on stairs alone, all of them."""
    rooms = frozenset(room.name for room in record.job.rooms if room.floor == material.name)
    return rooms or frozenset(room.name for room in record.job.rooms)


def air_of(record: JobRecord, rooms: frozenset[str], at: datetime) -> tuple[RoomAir, ...]:
    """Return what was read of rooms' air by an instant, in the order of time; what was read of the house is of each.

    Of what was read in one place in one minute the last recorded counts: it corrects the others.
    """
    found = {
        (taken.room, sample.at): RoomAir(room=taken.room, sample=sample)
        for taken in record.air
        if not taken.room or taken.room in rooms
        for sample in taken.samples
        if sample.at <= at
    }
    return tuple(sorted(found.values(), key=lambda one: one.sample.at))


def latest_air(read: Sequence[RoomAir], rooms: frozenset[str]) -> tuple[RoomAir, ...]:
    """Return what was read last of each room, of samples in the order of time; of equal instants all."""
    last: dict[str, list[RoomAir]] = {}
    for one in read:
        for room in [one.room] if one.room else rooms:
            before = last.get(room, [])
            last[room] = [*before, one] if before and before[-1].sample.at == one.sample.at else [one]
    return tuple(dict.fromkeys(one for taken in last.values() for one in taken))


def out_of_range(read: Sequence[RoomAir], asks: Conditions) -> RoomAir | None:
    """Return the first of samples that does not fit what a material asks for, None if all do."""
    return next((one for one in read if not asks.fits(one.sample.temp_f, one.sample.rh)), None)
