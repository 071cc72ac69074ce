"""What of a job cannot be laid as it is written."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from crewjobs.domain.errors import Refused
from crewjobs.domain.outline import Outline
from crewjobs.files.job_file import read_job
from tests import thorough
from tests.services.conftest import JOB

ROOM = '\n[[room]]\nname = "hall"\nlength = "12 ft"\nwidth = "6 ft"\nfloor = "FLOOR"\n'
WAY = '\n[[opening]]\nbetween = ["den", "hall"]\nwidth = "36 in"\ntransition = "continuous"\n'
OTHER = '\n[[material]]\nname = "other plank"\nkind = "laminate"\nplank = "7 in x 48 in"\ncarton = "23.8 ft2"\n'
ISLANDS = 'obstacles = [{ name = "island", at = ["3 ft", "3 ft"], size = "36 in x 36 in" }, { name = "column", at = ["5 ft", "5 ft"], size = "36 in x 36 in" }]\nlayers'


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            JOB + ROOM.replace("FLOOR", "other plank") + WAY + OTHER,
            "a floor cannot run on from 'gray plank' to 'other plank'",
        ),
        (JOB.replace("layers", ISLANDS, 1), "'island' and 'column' lie on each other"),
        (
            JOB.replace(
                "layers",
                'obstacles = [{ name = "stage", corners = [["0", "0"], ["14 ft 6 in", "0"], ["14 ft 6 in", "12 ft 3 1/2 in"], ["0", "12 ft 3 1/2 in"]] }]\nlayers',
                1,
            ),
            "what stands in it leaves no floor",
        ),
        (
            JOB.replace(
                'kind = "click vinyl"\nplank = "7 in x 48 in"',
                'kind = "glue-down vinyl"\nplank = "12 in x 12 in"\npattern = "herringbone"',
            ).replace("stagger", "#"),
            "squares make no herringbone",
        ),
        (
            (JOB + ROOM.replace("FLOOR", "gray plank")).replace(
                'between = ["den", "outside"]\nwidth = "36 in"',
                'between = ["den", "outside"]\nwidth = "36 in"\nwalls = [1, 0]\noffsets = ["2 ft", "0"]',
            )
            + WAY.replace('"continuous"', '"T-mold"\nwalls = [1, 3]\noffsets = ["4 ft", "0"]'),
            "lie on each other in wall 1 of room 'den'",
        ),
        (JOB + ROOM.replace("FLOOR", "gray plank") + WAY + WAY, "each says which it is"),
    ],
)
def test_it_is_said_when_the_file_is_read(text: str, says: str) -> None:
    """With what can be changed."""
    with pytest.raises(Refused, match=says):
        read_job(text, "job.toml", "America/Chicago")


corners = st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=3, max_size=6)


@settings(max_examples=thorough.examples(150, 50))
@given(corners, corners)
def test_outlines_share_floor_as_shapely_has_it(one: list[tuple[int, int]], other: list[tuple[int, int]]) -> None:
    """Any two simple outlines: they overlap where their intersection has an area."""
    try:
        made = [Outline(corners=tuple((100 * x, 100 * y) for x, y in ring)) for ring in (one, other)]
    except Refused:
        return
    shared = Polygon(made[0].corners).intersection(Polygon(made[1].corners)).area
    assert made[0].overlaps(made[1]) == (shared > 1e-6) == made[1].overlaps(made[0])
