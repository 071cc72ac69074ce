"""What was read of a job, in words: how its floors stand by it, then the readings themselves, the latest first."""

from __future__ import annotations

from datetime import datetime

from crewjobs.domain.job import JobRecord
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.reading import UNITS, AirReadings, Reading, ReadingKind
from crewjobs.domain.units import UnitSystem
from crewjobs.engines.heights.flatness import flatness_limit, gap_words, limit_words, worst
from crewjobs.engines.readiness.air_read import RoomAir
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.dew import dew_margin, dew_standing
from crewjobs.services.readings.readings_told import (
    VAPOR_UNIT,
    dew_sentence,
    flatness_sentences,
    ten_feet,
    vapor_words,
    wood_sentences,
)
from crewjobs.services.wording import assumed, at_site


def reading_lines(record: JobRecord, now: datetime, units: UnitSystem = "us") -> tuple[str, ...]:
    """Return how wood and floors over their dew point stand now, then what was read by when, by whom, with what."""
    stands: list[str] = []
    for material in record.job.materials:
        wood = material_clock(record, material, now).wood
        if wood is not None:
            stands += wood_sentences(record, material, wood, now)
    for room in record.job.rooms:
        if dew_margin(record, room.name, now) is not None or dew_standing(record, room.name, now) is not None:
            stands.append(dew_sentence(record, room.name, now))
    for room in record.job.rooms:
        flat = [one for one in record.readings if one.kind is ReadingKind.FLATNESS and one.room == room.name]
        if flat:
            stands += flatness_sentences(record, max(reversed(flat), key=lambda one: one.at), units)
    lines = [*stands, *(words for _, words in sorted(_taken(record, units), key=lambda one: one[0], reverse=True))]
    return assumed(record.job, lines, units)


def taken_lines(record: JobRecord, units: UnitSystem = "us") -> tuple[str, ...]:
    """Return what was read by when, by whom, with what, the first reading first: beside its limit, and nothing of what it means."""
    return assumed(record.job, [words for _, words in sorted(_taken(record, units), key=lambda one: one[0])], units)


def _taken(record: JobRecord, units: UnitSystem) -> list[tuple[datetime, str]]:
    zone = record.job.site.zone
    read = [(one.samples[-1].at, air_words(zone, one)) for one in record.air]
    read += [(one.at, reading_words(record, one, units)) for one in record.readings]
    return read


def air_words(zone: str, taken: AirReadings) -> str:
    """Return what one meter or logger read of the air: ``Thu 5 Mar 08:00 air: 70 °F and 40 % RH in den``."""
    last = taken.samples[-1]
    if len(taken.samples) == 1:
        said = f"{at_site(zone, last.at)} air: {RoomAir(room=taken.room, sample=last).words}"
    else:
        low, high = min(one.temp_f for one in taken.samples), max(one.temp_f for one in taken.samples)
        said = (
            f"{at_site(zone, taken.first)} to {at_site(zone, last.at)} air of {taken.room or 'the house'}: {len(taken.samples)} readings, "
            f"{low:g} to {high:g} °F"
        )
    return said + _by(taken.by, taken.meter)


def reading_words(record: JobRecord, reading: Reading, units: UnitSystem = "us") -> str:
    """Return what was read of a floor: ``Thu 5 Mar 08:00 boards of mill oak: 14 values, 7.9 to 9 %, 8.2 on average``.

    What dishes gained is told as the vapor emission that limits are in, with what was typed; a limit of the room's new floor
    stands behind what is held to it.
    """
    where = f" of {reading.material}" if reading.material else ""
    where += f" in {reading.room}" if reading.room else ""
    values = values_words(reading, units)
    if reading.kind is ReadingKind.SLAB_VAPOR:
        values = f"{vapor_words(reading)} ({values})"
    said = (
        f"{at_site(record.job.site.zone, reading.at)} {reading.kind}{where}: {values}{_limit(record, reading, units)}"
    )
    return said + _by(reading.by, reading.meter)


def _limit(record: JobRecord, reading: Reading, units: UnitSystem) -> str:
    """Return what the new floor of a reading's room allows of what was read; empty where it says nothing of that."""
    floor = next((room.floor for room in record.job.rooms if room.name == reading.room), None)
    if floor is None:
        return ""
    material = record.job.material(floor)
    match reading.kind:
        case ReadingKind.SLAB_RH:
            most = f"{material.slab_limits.rh:g} % RH"
        case ReadingKind.SLAB_VAPOR:
            most = f"{material.slab_limits.vapor:g} {VAPOR_UNIT}"
        case ReadingKind.SLAB_PH:
            most = f"pH {material.slab_limits.ph:g}"
        case ReadingKind.FLATNESS:
            limit = flatness_limit(material)
            most = f"{limit_words(worst(reading.values, limit), limit, units)} in {ten_feet(units)}"
        case _:
            return ""
    return f"; {material.name} asks for {most} at most"


def values_words(reading: Reading, units: UnitSystem = "us") -> str:
    """Return the values of a reading: one as it is, several by how many, from what to what, and their mean."""
    unit, count = UNITS[reading.kind], len(reading.values)
    if reading.kind is ReadingKind.FLATNESS:
        most = gap_words(max(reading.values), units)
        return (
            f"{most} under the straightedge" if count == 1 else f"{count} places, {most} under the straightedge at most"
        )
    after = f" after {reading.hours:g} h" if reading.hours is not None else ""
    if count == 1:
        return told_in(f"{reading.values[0]:g} {unit}{after}", units)
    low, high = min(reading.values), max(reading.values)
    if low == high:
        return told_in(f"{count} values of {low:g} {unit}{after}", units)
    if unit == "°F":
        return told_in(f"{count} values, {low:g} to {high:g} {unit}, {reading.mean:.1f} {unit} on average", units)
    return f"{count} values, {low:g} to {high:g} {unit}, {reading.mean:.1f} on average{after}"


def _by(by: str, meter: str) -> str:
    said = ", ".join(filter(None, (by, meter)))
    return f" ({said})" if said else ""
