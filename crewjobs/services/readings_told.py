"""What a reading says of the floors it is about: from when they can be laid, or why not yet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.reading import AirReadings, Reading
from crewjobs.domain.units import span_words
from crewjobs.domain.waits import WaitState
from crewjobs.engines.readiness.air_read import air_of, latest_air, out_of_range, rooms_of
from crewjobs.engines.readiness.clocks import MaterialClock, material_clock
from crewjobs.services.wording import at_site


def told_of_air(before: JobRecord, after: JobRecord, taken: Sequence[AirReadings], now: datetime) -> Iterator[str]:
    """Yield what the air, as read now, says of each material that goes into the rooms it was read in."""
    rooms = {one.room for one in taken}
    for material in after.job.materials:
        if "" not in rooms and not rooms & rooms_of(after, material):
            continue
        clock = material_clock(after, material, now)
        if clock.counted is not None:
            yield air_clock_words(after, material_clock(before, material, now), clock)
        else:
            yield from _before_it_lies_there(after, material, now)


def air_clock_words(record: JobRecord, was: MaterialClock, clock: MaterialClock) -> str:
    """Return how the hours of a material that lies in its rooms stand, and when they were over by what was known before."""
    zone, material, counted = record.job.site.zone, clock.material, clock.counted
    assert counted is not None
    asks = f"{material.name} asks for {material.asks.words}"
    if counted.out is not None and counted.out_since is not None:
        since = at_site(zone, counted.out_since)
        over = "its hours are over, and it is not laid in such air" if counted.ready_at else "no hours count"
        again = (
            " and all of them are counted anew then"
            if material.asks.outside == "starts again" and not counted.ready_at
            else ""
        )
        return f"{asks}: {counted.out.words}, so {over} since {since} until it is read in range{again}."
    ready = at_site(zone, clock.ready_at) if clock.ready_at else "not yet known"
    moved = f", before it was {at_site(zone, was.ready_at)}" if was.ready_at and was.ready_at != clock.ready_at else ""
    lost = f", {span_words(counted.lost_min)} out of range not counted" if counted.lost_min else ""
    unread = f"; {span_words(counted.unread_min)} of them were not read" if counted.unread_min else ""
    planned = "its hours are over" if material.by_reading else "it is ready by its hours"
    return f"{asks}: {planned} {ready}{moved}{lost}{unread}."


def _before_it_lies_there(record: JobRecord, material: Material, now: datetime) -> Iterator[str]:
    """Yield that rooms are out of range for what is still to be carried in; nothing where they are in range."""
    if material_clock(record, material, now).state is WaitState.READY:
        return
    rooms = rooms_of(record, material)
    out = out_of_range(latest_air(air_of(record, rooms, now), rooms), material.asks)
    if out is not None:
        yield f"{material.name} asks for {material.asks.words}, and {out.words} is not: its hours will not count in such air."


def told_of_reading(before: JobRecord, after: JobRecord, reading: Reading, now: datetime) -> Iterator[str]:
    """Yield what a reading of boards, subfloor, slab or surface says of the floors it is about."""
    yield from ()
