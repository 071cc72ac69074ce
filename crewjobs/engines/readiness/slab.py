"""May a floor be laid on a slab, by what was read of it: enough holes that have stood long enough, within what the floor allows.

Nothing read says nothing: the tasks of the slab test hold until they are done. Nothing here is a permission: the floor's and the
adhesive's maker give the limits, and the lead decides.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from crewjobs.domain.house import Room, Subfloor
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.reading import Reading, ReadingKind
from crewjobs.engines.climate.slab_tests import PROBE_HOURS, dish_count, probe_count, vapor_emission


def slab_whys(record: JobRecord, room: Room, material: Material, at: datetime) -> Iterator[str]:
    """Yield what keeps a material from a room's slab, by what was read until an instant; nothing where nothing was read."""
    if room.subfloor is not Subfloor.SLAB:
        return
    area, limits = room.outline.area_ft2, material.slab_limits
    if (humid := _last(record, room, ReadingKind.SLAB_RH, at)) is not None:
        yield from _humidity(humid, probe_count(area), limits.rh)
    if (dishes := _last(record, room, ReadingKind.SLAB_VAPOR, at)) is not None:
        hours, wanted = dishes.hours or 0.0, dish_count(area)
        most = max(vapor_emission(grams, hours) for grams in dishes.values)
        if len(dishes.values) < wanted:
            yield f"{len(dishes.values)} of {wanted} dishes were read"
        if most > limits.vapor:
            yield f"the slab gives off {most:.2f} lb/1000 ft²/24 h, {limits.vapor:g} lb/1000 ft²/24 h at most"
    if (acid := _last(record, room, ReadingKind.SLAB_PH, at)) is not None and max(acid.values) > limits.ph:
        yield f"pH {max(acid.values):g} on the slab, {limits.ph:g} at most"


def slab_over(record: JobRecord, room: Room, material: Material, at: datetime) -> str:
    """Return the first limit that a room's slab is over, in words: it dries on no known day; empty where it is over none."""
    return next((why for why in slab_whys(record, room, material, at) if why.endswith("at most")), "")


def _humidity(reading: Reading, wanted: int, limit: float) -> Iterator[str]:
    if reading.hours is not None and reading.hours < PROBE_HOURS:
        yield f"the probes were read after {reading.hours:g} h: they count from {PROBE_HOURS:g} h on"
    if len(reading.values) < wanted:
        yield f"{len(reading.values)} of {wanted} holes were read"
    if max(reading.values) > limit:
        yield f"{max(reading.values):g} % RH in the slab, {limit:g} at most"


def _last(record: JobRecord, room: Room, kind: ReadingKind, at: datetime) -> Reading | None:
    found = [one for one in record.readings if one.kind is kind and one.room == room.name and one.at <= at]
    return max(
        reversed(found), key=lambda one: one.at, default=None
    )  # of one minute the last recorded corrects the others
