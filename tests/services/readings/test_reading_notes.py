"""What the day plan says a moisture reading takes in this house: how many, how deep, within what."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.domain.conditions import SlabLimits
from crewjobs.domain.house import Subfloor
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import FloorKind, Method
from crewjobs.domain.tasks import Scope, ScopeKind, TaskKey
from crewjobs.domain.units import INCH
from crewjobs.files.catalogue import read_catalogue
from crewjobs.services.readings.reading_notes import reading_notes
from tests.builders import material, record, task

OAK = replace(material(), kind=FloorKind.SOLID_WOOD, method=Method.NAILED, plank_width=9 * INCH // 4)
SCOPES = {
    "wood-reading": Scope(kind=ScopeKind.MATERIAL, name=OAK.name),
    "wood-subfloor-reading": Scope(kind=ScopeKind.SECTION, name="living"),
    "slab-test-set": Scope(kind=ScopeKind.JOB, name=""),
    "slab-test-read": Scope(kind=ScopeKind.JOB, name=""),
}


def house(template: str, floor=OAK, subfloor: Subfloor = Subfloor.PLYWOOD) -> JobRecord:
    made = replace(task(1, template), key=TaskKey(template=template, scope=SCOPES[template]))
    found = record([made], materials=[floor])
    [room] = found.job.rooms
    return replace(found, job=replace(found.job, rooms=(replace(room, subfloor=subfloor),)))


def notes(found: JobRecord, units="us") -> str:
    return "; ".join(reading_notes(found, found.tasks[0], 8.0, units))


def test_wood_by_its_width_and_area() -> None:
    """40 boards and 20 places to 1000 ft², three at least; strips under 3 in may lie 4 points off, planks 2 (trade-facts section 3)."""
    found = house("wood-reading")
    area = found.job.rooms[0].net_ft2
    assert f"here {-(-area * 40 // 1000):.0f} boards of harbor plank; wanted 6 to 10 %" in notes(found)
    assert "at most 4 points off the subfloor" in notes(found)
    assert "at most 2 points" in notes(house("wood-reading", replace(OAK, plank_width=5 * INCH)))
    assert f"in living {max(3, -(-area * 20 // 1000)):.0f} places" in notes(house("wood-subfloor-reading"))


def test_slab_by_its_rooms_and_what_the_floor_allows() -> None:
    """Three holes in a room up to 1000 ft² (F2170 10.1), and the floor's own limits."""
    limits = SlabLimits(rh=85, vapor=5, ph=10)
    assert "holes, or dishes: 3 in living" in notes(house("slab-test-set", subfloor=Subfloor.SLAB))
    read = house("slab-test-read", replace(material(), slab=limits), Subfloor.SLAB)
    assert "harbor plank: 85 % RH, 5 lb/1000 ft²/24 h and pH 10 at most" in notes(read)
    assert "24 g/m²/24 h" in notes(read, "metric")


@pytest.mark.parametrize("template", SCOPES)
def test_templates_are_the_catalogues(template: str) -> None:
    """Each that is told of exists, and has something to say where it applies."""
    assert template in {one.key for one in read_catalogue().templates}
    floor = OAK if template.startswith("wood") else material()
    assert notes(house(template, floor, Subfloor.SLAB if template.startswith("slab") else Subfloor.PLYWOOD))
