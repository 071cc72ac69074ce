"""What goes on the truck is what the job has."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.domain.material import Method
from crewjobs.services.pages.page_load import ADHESIVE, ADHESIVE_AND_PAD, PAD, _of_the_job
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
