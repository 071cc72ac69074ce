"""Readings as people type them, and what each of them changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import Room, Subfloor
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.reading import AirReadings, AirSample, Reading, ReadingKind
from crewjobs.domain.units import quoted, span_words
from crewjobs.domain.wording import counted, listed, upper
from crewjobs.engines.readiness.acclimating import SPEAKS_FOR
from crewjobs.engines.readiness.lots import lots_here
from crewjobs.services.clock import read_moment
from crewjobs.services.readings.known_readings import values_words
from crewjobs.services.readings.reading_values import AIR as AIR
from crewjobs.services.readings.reading_values import read_hours, read_values
from crewjobs.services.readings.readings_told import told_of_air, told_of_reading
from crewjobs.services.rows import Done
from crewjobs.services.typed_values import looks_celsius
from crewjobs.services.wording import assumed, at_site, dated, read_line, told_of

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

KINDS: Final = (AIR, *ReadingKind)


def record_air(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    values: Sequence[str],
    *,
    room: str = "",
    at: str = "",
    by: str = "",
    meter: str = "",
) -> Done:
    """Record the air of a room (empty: of the house) as read: a temperature and, where it was read, % relative humidity.

    Raises:
        Refused: unknown job or room, no such air, a moment to come, or read already.
    """
    before, units = _live(uow, job), uow.shop().units
    temp_f, *humidity = read_values(AIR, values, units)
    place = _place(before, room)
    moment = _moment(before, at, now)
    sample = AirSample(at=moment, temp_f=temp_f, rh=humidity[0] if humidity else None)
    taken = AirReadings(
        room=place, samples=(sample,), by=read_line(by, "who read it"), meter=read_line(meter, "the meter")
    )
    if any(one.room == place and sample in one.samples for one in before.air):
        raise Refused(
            f"that air of {place or 'the house'} at {at_site(before.job.site.zone, moment)} is recorded already."
        )
    return _air_done(uow, now, before, [taken], ())


def record_logger(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    path: Path,
    *,
    room: str = "",
    zone: str = "",
    unit: str = "",
    by: str = "",
) -> Done:
    """Record what a logger's file holds of a room's air (empty: of the house); a file may name the rooms itself.

    What was read from such a file before is not recorded twice.

    Raises:
        Refused: unknown job or room, a file that cannot be read, readings to come, or nothing new in it.
    """
    from crewjobs.domain.wall import zone_of
    from crewjobs.files.detect import read_text_file, shown_name
    from crewjobs.files.logger import gaps, read_logger

    before = _live(uow, job)
    if zone.strip():
        zone_of(zone.strip())
    source = shown_name(path.name)
    logged = read_logger(read_text_file(path), source, zone.strip() or before.job.site.zone, unit)
    said = []
    if logged.twice:
        was = "was there twice and is left out" if logged.twice == 1 else "were there twice and are left out"
        said.append(f"{counted(logged.twice, 'line')} {was}")
    taken = []
    for name, samples in logged.samples.items():
        place = _place(before, room)
        if name:
            if room.strip() and _place(before, name, source) != place:
                raise Refused(
                    f"{source}: it was read in {quoted(name)}, not in {quoted(place)}: leave --room out, or give its own."
                )
            place = _place(before, name, source)
        late = next((one for one in samples if one.at > now), None)
        if late is not None:
            raise Refused(
                f"{source}: a reading of {dated(before.job.site.zone, late.at)} is still to come; "
                "give the logger's zone with --zone, or set its clock."
            )
        known = {sample for one in before.air if one.room == place for sample in one.samples}
        new = tuple(one for one in samples if one not in known)
        if len(new) < len(samples):
            known_now = counted(len(samples) - len(new), "reading")
            said.append(f"recorded before and left out: {known_now}")
        if new:
            taken.append(AirReadings(room=place, samples=new, by=read_line(by, "who read it"), meter=source))
        unread = [f"{at_site(before.job.site.zone, start)} for {span_words((end - start) // timedelta(minutes=1))}"
                  for start, end in gaps(samples, SPEAKS_FOR)]  # fmt: skip
        if unread:
            said.append(f"nothing was read from {listed(unread, most=4)}")
    if not taken:
        raise Refused(f"{source}: all its readings are recorded already.")
    read = [sample.temp_f for one in taken for sample in one.samples]
    if not logged.celsius and not unit and looks_celsius(read):
        middle = sorted(read)[len(read) // 2]
        raise Refused(
            f"{source}: its heading says °F, and {middle:g} °F would be frost in the house: is it °C? Give --unit C, or --unit F where it "
            "really froze."
        )
    return _air_done(uow, now, before, taken, said)


def record_reading(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    kind: str,
    values: Sequence[str],
    *,
    room: str = "",
    material: str = "",
    hours: str = "",
    at: str = "",
    by: str = "",
    meter: str = "",
) -> Done:
    """Record a reading of boards, subfloor, slab or surface: one value for each board, place, hole or dish.

    Raises:
        Refused: unknown job, kind, room or material, no such value, a moment to come or before the boards came, or read already.
    """
    before, shop = _live(uow, job), uow.shop()
    what = read_kind(kind)
    assert isinstance(what, ReadingKind)
    if not values:
        read_values(what, values, shop.units)  # says what is missing before anything else is looked for
    place = _floor_place(before, what, room, material)
    boards = _boards(before, place, material) if what is ReadingKind.BOARDS else None
    moment = _moment(before, at, now)
    if boards is not None:
        _check_here(before, boards, moment)
    reading = Reading(
        kind=what,
        at=moment,
        room=place.name if place is not None else "",
        values=read_values(what, values, shop.units),
        material=boards.name if boards is not None else "",
        hours=read_hours(what, hours),
        by=read_line(by, "who read it"),
        meter=read_line(meter, "the meter"),
        target=shop.wood_target if boards is not None else None,
    )
    if any(
        (one.kind, one.at, one.room, one.values, one.hours)
        == (what, moment, reading.room, reading.values, reading.hours)
        for one in before.readings
    ):
        raise Refused(f"that reading of {what} at {at_site(before.job.site.zone, moment)} is recorded already.")
    after = replace(before, readings=(*before.readings, reading))
    uow.save_job(before, after)
    where = f" in {reading.room}" if reading.room else ""
    of = f" of {reading.material}" if reading.material else ""
    said = f"job {job}: {what}{of}{where} read {at_site(before.job.site.zone, moment)}: {values_words(reading, shop.units)}"
    change = uow.commit(said, at=now, job=job)
    then = assumed(after.job, told_of_reading(after, reading, now, shop.units), shop.units)
    return Done(sentence=upper(said) + ".", change=change, then=then)


def read_kind(text: str) -> str:
    """Return what is read, of what a person typed.

    Raises:
        Refused: none of the kinds.
    """
    plain = " ".join(text.casefold().replace("-", " ").replace("_", " ").split())
    found: list[str] = [kind for kind in KINDS if kind == plain] or [
        kind for kind in KINDS if plain and kind.startswith(plain)
    ]
    if len(found) != 1:
        kinds = listed([kind.replace(" ", "-") for kind in KINDS], most=len(KINDS))
        raise Refused(f"{quoted(text)} is not read of a house: it is {kinds}.")
    return found[0]


def _live(uow: UnitOfWork, job: int) -> JobRecord:
    record = uow.job(job)
    if record.job.state not in LIVE:
        raise Refused(f"job {job} is {record.job.state}: nothing is read of it any more.")
    return record


def _moment(record: JobRecord, at: str, now: datetime) -> datetime:
    moment = read_moment(at, record.job.site.zone, now)
    if moment > now:
        raise Refused(
            f"when: {dated(record.job.site.zone, moment)} is still to come: a reading is recorded when it was read."
        )
    return moment


def _place(record: JobRecord, room: str, source: str = "") -> str:
    """Return a room by its name in any capitals; empty for the house."""
    wanted = room.strip().casefold()
    if not wanted or wanted == "house":
        return ""
    found = next((one.name for one in record.job.rooms if one.name.casefold() == wanted), None)
    if found is None:
        names = listed([quoted(one.name) for one in record.job.rooms], most=12)
        raise Refused(
            f"{source + ': ' if source else ''}there is no room {quoted(room)} in job {record.job.number}: there {'is' if len(record.job.rooms) == 1 else 'are'} {names}."
        )
    return found


def _floor_place(record: JobRecord, kind: ReadingKind, room: str, material: str) -> Room | None:
    """Return the room of a reading: the one named, else the only one of which it can be; boards need none."""
    slab = kind in (ReadingKind.SLAB_RH, ReadingKind.SLAB_VAPOR, ReadingKind.SLAB_PH)
    name = _place(record, room)
    if name:
        found = record.job.room(name)
        if slab != (found.subfloor is Subfloor.SLAB) and kind in (*_SLAB, ReadingKind.SUBFLOOR):
            other = "slab-rh, slab-vapor or slab-ph" if found.subfloor is Subfloor.SLAB else "subfloor"
            raise Refused(f"the subfloor of {quoted(name)} is {found.subfloor}: what is read of it is {other}.")
        return found
    if kind is ReadingKind.BOARDS:
        return None
    able = [
        one
        for one in record.job.rooms
        if kind in (ReadingKind.SURFACE, ReadingKind.FLATNESS) or slab == (one.subfloor is Subfloor.SLAB)
        if not material.strip() or one.floor == material.strip()
    ]
    if len(able) != 1:
        *others, last = ["", *(quoted(one.name) for one in able)]
        names = f"{', '.join(others[1:])} or {last}"
        raise Refused(
            f"room: choose {names}." if able else f"job {record.job.number} has no room of which {kind} is read."
        )
    return able[0]


_SLAB: Final = (ReadingKind.SLAB_RH, ReadingKind.SLAB_VAPOR, ReadingKind.SLAB_PH)


def _boards(record: JobRecord, place: Room | None, material: str) -> Material:
    """Return the material whose boards were read."""
    wood = [one for one in record.job.materials if one.by_reading]
    names = listed([quoted(one.name) for one in wood], most=12)
    if material.strip():
        found = [one for one in wood if one.name.casefold() == material.strip().casefold()]
        if not found:
            there = f": there is {names}" if wood else ""
            raise Refused(f"there is no wood {quoted(material)} in job {record.job.number}{there}.")
    else:
        found = [one for one in wood if place is None or one.name == place.floor] or wood
    if not found:
        raise Refused(f"job {record.job.number} has no wood floor: moisture is read of boards of wood only.")
    if len(found) > 1:
        raise Refused(f"say which boards with --material: {names}.")
    if place is not None and place.floor != found[0].name:
        there = listed([quoted(one.name) for one in record.job.rooms if one.floor == found[0].name], most=12)
        where = f"its rooms are {there}" if there else "it lies on stairs, so leave the room out"
        raise Refused(f"{quoted(place.name)} does not get {quoted(found[0].name)}: {where}.")
    return found[0]


def _check_here(record: JobRecord, material: Material, at: datetime) -> None:
    if lots_here(record, material.name, at):
        return
    first = min((lot.arrived_at for lot in record.lots if lot.material == material.name), default=None)
    came = f"it came {dated(record.job.site.zone, first)}" if first is not None else "it has not come"
    raise Refused(f"no board of {material.name} could be read then: {came}.")


def _air_done(
    uow: UnitOfWork, now: datetime, before: JobRecord, taken: Sequence[AirReadings], said: Sequence[str]
) -> Done:
    job, zone = before.job.number, before.job.site.zone
    after = replace(before, air=(*before.air, *taken))
    uow.save_job(before, after)
    parts = []
    for one in taken:
        where, last = one.room or "the house", one.samples[-1]
        if len(one.samples) == 1:
            humid = "" if last.rh is None else f" and {last.rh:g} % RH"
            parts.append(f"air of {where} read {at_site(zone, last.at)}: {last.temp_f:g} °F{humid}")
        else:
            span = f"{at_site(zone, one.first)} to {at_site(zone, last.at)}"
            parts.append(f"{counted(len(one.samples), 'reading')} of the air of {where} from {one.meter}, {span}")
    units = uow.shop().units
    what = told_of(before.job, f"job {job}: {listed(parts, most=12)}", units)
    change = uow.commit(what, at=now, job=job)
    then = (*(upper(one) + "." for one in said), *assumed(after.job, told_of_air(before, after, taken, now), units))
    return Done(sentence=upper(what) + ".", change=change, then=then)
