"""Slabs by what was read of them, and floors above the dew point."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from crewjobs.domain.conditions import SlabLimits
from crewjobs.domain.house import Subfloor
from crewjobs.domain.job import JobRecord
from crewjobs.domain.reading import AirReadings, AirSample, Reading, ReadingKind
from crewjobs.domain.tasks import Scope, ScopeKind, Task, TaskKey
from crewjobs.engines.readiness.dew import SPREAD, dew_margin
from crewjobs.engines.readiness.hold import HoldKind
from crewjobs.engines.readiness.holds import cannot_be_planned, holds
from crewjobs.engines.readiness.slab import slab_whys
from crewjobs.files.catalogue import read_catalogue
from tests.builders import central, material, record, task

PLANK = material()
MORNING = central("2026-03-02", "08:00")
LATER = central("2026-03-02", "09:10")


def in_room(number: int, template: str, **given) -> Task:
    made = task(number, template, **given)
    return replace(made, key=TaskKey(template=template, scope=Scope(kind=ScopeKind.SECTION, name="living")))


def slab(*readings: Reading, limits: SlabLimits | None = None) -> JobRecord:
    found = record([in_room(1, "lay-click-vinyl", needs_material=PLANK.name)], materials=[replace(PLANK, slab=limits)])
    [room] = found.job.rooms
    return replace(
        found, job=replace(found.job, rooms=(replace(room, subfloor=Subfloor.SLAB),)), readings=tuple(readings)
    )


def read(kind: ReadingKind, *values: float, hours: float | None = None, at: datetime = MORNING) -> Reading:
    return Reading(kind=kind, at=at, room="living", values=values, hours=hours)


def whys(found: JobRecord) -> list[str]:
    return [*slab_whys(found, found.job.rooms[0], found.job.materials[0], LATER)]


@pytest.mark.parametrize(
    ("reading", "why"),
    [
        (read(ReadingKind.SLAB_RH, 70, 72, 75, hours=24), ""),  # F710: 75 % where the maker gives no limit
        (read(ReadingKind.SLAB_RH, 70, 72, 75.1, hours=24), "75.1 % RH in the slab, 75 at most"),
        (read(ReadingKind.SLAB_RH, 70, 72, 74, hours=23), "read after 23 h: they count from 24 h on"),  # F2170 10.3.4
        (read(ReadingKind.SLAB_RH, 70, 72, hours=24), "2 of 3 holes were read"),  # F2170 10.1
        (read(ReadingKind.SLAB_VAPOR, 1.8, 1.7, 1.6, hours=72), ""),  # 2.97 lb, F1869
        (
            read(ReadingKind.SLAB_VAPOR, 3.0, 1.7, 1.6, hours=72),
            "gives off 4.96 lb/1000 ft²/24 h, 3 lb/1000 ft²/24 h at most",
        ),
        (read(ReadingKind.SLAB_PH, 9), ""),
        (read(ReadingKind.SLAB_PH, 10), "pH 10 on the slab, 9 at most"),
    ],
)
def test_one_reading(reading: Reading, why: str) -> None:
    """Within its limit it keeps nothing; else the floor is held, and says by what."""
    found = slab(reading)
    assert len(whys(found)) == bool(why)
    assert why in "".join(whys(found))
    held = [hold for hold in holds(found, found.tasks[0], LATER) if hold.kind is HoldKind.MOISTURE]
    assert len(held) == bool(why)


def test_the_floors_own_limit_and_the_last_reading_count() -> None:
    """A floor that allows 85 %; a slab that has dried since: neither is held any more."""
    wet = read(ReadingKind.SLAB_RH, 80, 82, 84, hours=24)
    assert whys(slab(wet))
    assert not whys(slab(wet, limits=SlabLimits(rh=85, vapor=5, ph=10)))
    assert not whys(slab(wet, read(ReadingKind.SLAB_RH, 70, 70, 70, hours=48, at=LATER)))


def test_a_wet_slab_has_no_day() -> None:
    """It dries on no known day: the floor is not planned, and the reason is told."""
    found = slab(read(ReadingKind.SLAB_RH, 80, 82, 88, hours=24))
    assert cannot_be_planned(found, LATER)[1].startswith("88 % RH in the slab, 75 at most (living)")


def dewy(surface: float, temp: float, rh: float, at: datetime) -> JobRecord:
    found = record([in_room(1, "prime"), in_room(2, "screw-down")])
    air = AirReadings(room="", samples=(AirSample(at=at, temp_f=temp, rh=rh),))
    return replace(found, readings=(read(ReadingKind.SURFACE, surface, at=at),), air=(air,))


def test_a_cold_slab_holds_primer_until_it_is_warmer_or_the_air_drier() -> None:
    """61 °F under 72 °F and 60 %: 3.6 °F above the dew point, on hold; 64 °F under 55 %: 9 °F. By psychrolib (see climate)."""
    cold, warm = dewy(61, 72, 60, MORNING), dewy(64, 72, 55, LATER)
    [hold] = holds(cold, cold.tasks[0], MORNING)
    assert (hold.kind, "3.6 °F above the dew point of 57.4 °F, 5 °F at least" in hold.what) == (HoldKind.DEW, True)
    assert holds(cold, cold.tasks[1], MORNING) == ()
    assert holds(warm, warm.tasks[0], LATER) == ()
    found = dew_margin(warm, "living", LATER)
    assert found is not None
    assert round(found.margin, 1) == 9.0


@pytest.mark.parametrize(("surface", "held"), [(62.2, True), (62.4, False), (62.5, False)])
def test_five_degrees_are_enough(surface: float, held: bool) -> None:
    """72 °F and 60 % have their dew point at 57.4 °F (psychrolib, see climate): from 62.4 °F on the floor is 5 °F above it."""
    found = dewy(surface, 72, 60, MORNING)
    assert bool(holds(found, found.tasks[0], MORNING)) is held


def test_a_floor_read_too_cold_stays_so_until_it_is_read_again() -> None:
    """A day later the margin is not known any more, but nobody has seen it warmer; what was enough yesterday holds nothing today."""
    day_later = MORNING + timedelta(hours=24)
    cold, warm = dewy(61, 72, 60, MORNING), dewy(64, 72, 55, MORNING)
    assert dew_margin(cold, "living", day_later) is None
    assert [hold.kind for hold in holds(cold, cold.tasks[0], day_later)] == [HoldKind.DEW]
    assert holds(warm, warm.tasks[0], day_later) == ()
    again = replace(cold, readings=(*cold.readings, read(ReadingKind.SURFACE, 64, at=day_later)))
    assert holds(again, again.tasks[0], day_later)  # the air was not read again
    drier = AirReadings(room="", samples=(AirSample(at=day_later, temp_f=72, rh=55),))
    again = replace(again, air=(*again.air, drier))
    assert holds(replace(cold, air=again.air), cold.tasks[0], day_later)  # the floor was not
    assert holds(again, again.tasks[0], day_later) == ()


def test_of_one_minute_the_last_recorded_counts() -> None:
    """A slip is corrected at once: probes read again with their hours, a fourth dish, the air."""
    early = read(ReadingKind.SLAB_RH, 71, 74, 73, hours=23)
    assert whys(slab(early))
    assert not whys(slab(early, replace(early, hours=24.0)))
    few = read(ReadingKind.SLAB_VAPOR, 1.8, 1.7, hours=72)
    assert not whys(slab(few, replace(few, values=(1.8, 1.7, 1.5))))
    cold = dewy(61, 72, 60, MORNING)
    dry = AirReadings(room="", samples=(AirSample(at=MORNING, temp_f=72, rh=40),))
    assert dew_margin(replace(cold, air=(*cold.air, dry)), "living", MORNING).rh == 40


def test_what_is_spread_is_in_the_catalogue() -> None:
    """Templates that are renamed there are renamed here."""
    assert {template.key for template in read_catalogue().templates} >= SPREAD
