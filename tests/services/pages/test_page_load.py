"""What goes on the truck is what the job has."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from crewjobs.domain.material import Method
from crewjobs.services.demonstration.demo import demo_office
from crewjobs.services.pages.page_load import ADHESIVE, ADHESIVE_AND_PAD, PAD, _of_the_job
from crewjobs.services.pages.sheets import day_plans
from tests.services.conftest import Shop


@pytest.mark.parametrize(
    ("method", "pad", "said"),
    [(Method.FLOATING, False, ""), (Method.FLOATING, True, PAD), (Method.GLUED, False, ADHESIVE)],
)
def test_adhesive_and_pad_go_along_where_the_floor_has_them(shop: Shop, method: Method, pad: bool, said: str) -> None:
    """A floating floor without a pad asks for neither; a pad of its own or glue is named alone; all else stays as it is."""
    record = shop.record()
    (room,), (material,) = record.job.rooms, record.job.materials
    job = replace(record.job, rooms=(replace(room, pad=pad),), materials=(replace(material, method=method),))
    carry = record.task(shop.number_of("carry-in"))
    assert _of_the_job(job, carry, ADHESIVE_AND_PAD) == said
    assert _of_the_job(job, carry, "hand truck") == "hand truck"


def roller(database: Path, day: int, crew: str) -> tuple[str, list[str]]:
    """Return what the load list says of the demo's one roller, and what stands of it where the crew leaves a house."""
    office, on = demo_office(database), date(2026, 3, day)
    with office._database.reading() as uow:
        (page,) = day_plans(uow, office._catalogue(uow), office._clock.now(), on, crew, lead_copy=False, paper="")
    (note,) = [item.note for item in page.load if item.what == "100 lb roller"]
    return note, [told for house in page.houses for told in house.floor_notes if "roller" in told]


def test_both_crews_are_told_that_a_shared_tool_goes_from_one_to_the_other(demo_made: Path) -> None:
    """On Tuesday Rowan needs it while Birch has it and nobody drives over; on Wednesday Rowan takes it to the shop for Birch."""
    has, none = roller(demo_made, 3, "Birch")
    needs, _ = roller(demo_made, 3, "Rowan")
    assert has.startswith("Rowan needs it Tue 3 Mar 14:15, at job 2, ")
    assert has.endswith("nobody has a drive for it: agree who brings it")
    assert needs.endswith("nobody has a drive for it: agree who brings it")
    assert none == []
    _, (leaves,) = roller(demo_made, 4, "Rowan")
    assert leaves.startswith("100 lb roller: take it along to the shop: Birch needs it Thu 5 Mar 11:00, at job 11, ")
    loads, _ = roller(demo_made, 5, "Birch")
    assert loads.endswith("Rowan takes it along to the shop on Wed 4 Mar")
