"""What a reading says of the floors it is about: from when they can be laid, or why not yet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from typing import Final

from crewjobs.domain.conditions import Outside
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.reading import DISH_HOURS, AirReadings, Reading, ReadingKind
from crewjobs.domain.units import FOOT, INCH, UnitSystem, format_area, format_length, span_words
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import counted, day_words, upper
from crewjobs.engines.climate.boards import TARGET_POINTS, points_apart
from crewjobs.engines.climate.dew_point import LEAST_MARGIN_F
from crewjobs.engines.climate.slab_tests import vapor_emission
from crewjobs.engines.estimating.quantities import leveler_bags
from crewjobs.engines.heights.flatness import flatness_limit, gap_words, limit_words, within, worst
from crewjobs.engines.readiness.air_read import air_of, latest_air, out_of_range, rooms_of
from crewjobs.engines.readiness.clocks import MaterialClock, material_clock
from crewjobs.engines.readiness.dew import dew_margin, dew_standing
from crewjobs.engines.readiness.slab import slab_whys
from crewjobs.engines.readiness.wood import WoodStands
from crewjobs.services.wording import at_site

VAPOR_UNIT: Final = "lb/1000 ft²/24 h"


def told_of_air(before: JobRecord, after: JobRecord, taken: Sequence[AirReadings], now: datetime) -> Iterator[str]:
    """Yield what the air, as read now, says of each material that goes into the rooms it was read in."""
    rooms = {one.room for one in taken}
    for material in after.job.materials:
        if "" not in rooms and not rooms & rooms_of(after, material):
            continue
        clock = material_clock(after, material, now)
        if clock.wood is not None:
            yield from wood_sentences(after, material, clock.wood, now)
        elif clock.counted is not None:
            yield air_clock_words(after, material_clock(before, material, now), clock)
        else:
            yield from _before_it_lies_there(after, material, now)
    for room in after.job.rooms:
        if ("" in rooms or room.name in rooms) and dew_margin(after, room.name, now) is not None:
            yield dew_sentence(after, room.name, now)


def air_clock_words(record: JobRecord, was: MaterialClock, clock: MaterialClock) -> str:
    """Return how the hours of a material that lies in its rooms stand, and when they were over by what was known before."""
    zone, material, counted = record.job.site.zone, clock.material, clock.counted
    assert counted is not None
    asks = f"{material.name} asks for {material.asks.words}"
    if counted.out is not None and counted.out_since is not None:
        since = at_site(zone, counted.out_since)
        over = "all its hours have counted, but it is not laid in such air" if counted.ready_at else "no hours count"
        again = (
            " and all of them are counted anew then"
            if material.asks.outside is Outside.STARTS_AGAIN and not counted.ready_at
            else ""
        )
        return f"{asks}: {counted.out.words}, so {over} since {since} until it is read in range{again}. The plan takes it that it is by then."
    ready = at_site(zone, clock.ready_at) if clock.ready_at else "not yet known"
    moved = f", before it was {at_site(zone, was.ready_at)}" if was.ready_at and was.ready_at != clock.ready_at else ""
    anew = (
        f", counted anew from {at_site(zone, counted.since)}" if material.asks.outside is Outside.STARTS_AGAIN else ""
    )
    lost = (anew or f", {span_words(counted.lost_min)} out of range not counted") if counted.lost_min else ""
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


def told_of_reading(record: JobRecord, reading: Reading, now: datetime, units: UnitSystem = "us") -> Iterator[str]:
    """Yield what a reading of boards, subfloor, slab or surface says of the floors it is about."""
    if reading.kind in (ReadingKind.BOARDS, ReadingKind.SUBFLOOR):
        for material in record.job.materials:
            of_it = reading.material == material.name or reading.room in rooms_of(record, material)
            clock = material_clock(record, material, now)
            if material.by_reading and of_it and clock.wood is not None:
                yield from wood_sentences(record, material, clock.wood, now)
    elif reading.kind is ReadingKind.SURFACE:
        yield dew_sentence(record, reading.room, now)
    elif reading.kind is ReadingKind.FLATNESS:
        yield from flatness_sentences(record, reading, units)
    else:
        yield from _slab_sentences(record, reading, now)


def flatness_sentences(record: JobRecord, reading: Reading, units: UnitSystem) -> Iterator[str]:
    """Yield how flat a room's subfloor is against what its new floor wants, and what a pour over it would take."""
    room = record.job.room(reading.room)
    if room.floor is None:
        return
    material = record.job.material(room.floor)
    limit = flatness_limit(material)
    most = worst(reading.values, limit)
    asked = f"{material.name} asks for {limit_words(most, limit, units)} in {ten_feet(units)} at most ({limit.source}; its maker decides)"
    if within(most, limit):
        yield f"{upper(room.name)}: {gap_words(most, units)} under the straightedge at most; {asked}."
        return
    yield (
        f"{upper(room.name)}: {gap_words(most, units)} under the straightedge, and {asked}: grind the highs, fill the lows, and read "
        "again before the first row."
    )
    if room.level_ft2:
        bags = leveler_bags(room.level_ft2, most / 2)
        yield (
            f"Poured over the {format_area(room.level_ft2, units)} to be leveled at half of that depth on average it takes "
            f"{counted(bags, 'bag')} of 50 lb (common practice, the bag's label rules)."
        )


def ten_feet(units: UnitSystem) -> str:
    """Return the length of the straightedge that limits of flatness are for."""
    return "3 m" if units == "metric" else format_length(10 * FOOT, units)


def wood_sentences(record: JobRecord, material: Material, wood: WoodStands, now: datetime) -> Iterator[str]:
    """Yield how wood stands by its readings: what was read, what keeps it, and when it may be where it is wanted."""
    zone, ahead = record.job.site.zone, wood.ahead
    read = f"{material.name}: boards {wood.boards:.1f} %"
    read += f", subfloor {wood.subfloor:.1f} %" if wood.subfloor is not None else ""
    read += f", the room leads to {ahead.equilibrium:.1f} %" if ahead.equilibrium is not None else ""
    yield f"{read}; wanted is {wood.target:g} % (what wood indoors has here over the year)."
    if wood.fits:
        yield "The readings are within all that is asked: room, boards against subfloor, the region's normal. The lead decides."
        return
    if wood.subfloor is not None and not any("points apart" in why for why in wood.why):
        apart = points_apart(material.plank_width / INCH)
        yield f"Boards against the subfloor: within the {apart:g} points asked for, which is only one of the things asked."
    yield from (f"On hold: {why}." for why in wood.why)
    if ahead.ready_at is not None:
        band = f", between {at_site(zone, ahead.early)} and " if ahead.early else ", at the latest "
        band += at_site(zone, ahead.late) if ahead.late else "a day that so few readings cannot say"
        due = to_wall(zone, ahead.ready_at - timedelta(days=1)).date()
        again = f"on {day_words(due)}" if due > to_wall(zone, now).date() else "today"
        yield (
            f"By the readings so far its boards are within {TARGET_POINTS:g} points of that, and near enough to the subfloor, about {at_site(zone, ahead.ready_at)}{band} (80 %); "
            f"a forecast plans, a reading decides: read again {again}."
        )
    elif ahead.why_not:
        yield f"No day can be given: {ahead.why_not}."


def dew_sentence(record: JobRecord, room: str, now: datetime) -> str:
    """Return how a room's floor lies to the dew point; what is still to be read where something is."""
    standing = dew_standing(record, room, now)
    found = standing or dew_margin(record, room, now)
    if found is None:
        return f"With the air of {room} too, read within a day, the dew point is told (`crewjobs reading {record.job.number} air`)."
    held = (
        ""
        if standing is None
        else f"; {LEAST_MARGIN_F:g} °F at least is asked for before primer, leveler or adhesive: they are on hold"
    )
    return f"{upper(room)}: {found.words}{held}."


def vapor_words(reading: Reading) -> str:
    """Return the least and the most vapor emission by what dishes gained, in the unit that limits are in."""
    each = [vapor_emission(grams, reading.hours or DISH_HOURS[0]) for grams in reading.values]
    low, high = f"{min(each):.2f}", f"{max(each):.2f}"
    return f"{high if low == high else f'{low} to {high}'} {VAPOR_UNIT}"


def _slab_sentences(record: JobRecord, reading: Reading, now: datetime) -> Iterator[str]:
    room = record.job.room(reading.room)
    material = next((one for one in record.job.materials if one.name == room.floor), None)
    if material is None:
        return
    if reading.kind is ReadingKind.SLAB_VAPOR:
        yield f"Vapor emission {vapor_words(reading)} (ASTM F1869)."
    whys = [*slab_whys(record, room, material, now)]
    yield from (f"On hold for {material.name}: {why}." for why in whys)
    if not whys:
        limits = material.slab_limits
        yield (
            f"Within {limits.rh:g} % RH, {limits.vapor:g} lb/1000 ft²/24 h and pH {limits.ph:g}, by what was read; the limits of "
            f"{material.name} and its adhesive decide."
        )
