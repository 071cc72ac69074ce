"""What a floor does with the seasons, by the figures of Table 13-5 and of rigid PVC, worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.domain import species
from crewjobs.domain.material import FloorKind, Material, Method
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.climate import movement as climate
from crewjobs.engines.laying.floors import Laid, floor_of
from crewjobs.engines.laying.frames import Wall
from crewjobs.engines.take_off.movement import Moves, Way, runs_of
from crewjobs.engines.take_off.rules import product_of
from tests.engines.laying.given import rectangle

VINYL = Material(
    name="plank", kind=FloorKind.CLICK_VINYL, method=Method.FLOATING, plank_width=7 * INCH, plank_length=48 * INCH,
    carton_ft2=23.8, acclimation_min=0,
)  # fmt: skip


def runs(material: Material, wide: float, deep: float, wall: Wall = Wall.TOP):
    floor = floor_of(product_of(material), [Laid(field=rectangle(wide * 12, deep * 12), wall=wall)])
    return [*runs_of(material, floor.fields[0])]


def test_vinyl_grows_by_its_length_and_the_heat_it_is_kept_in() -> None:
    """3.0e-5 per degree F (engineering handbook tables): 40 ft from 65 to 85 F grow 480 x 3e-5 x 20 = 0.288 in, 18 ft 0.1296 in."""
    along, across = runs(VINYL, 40, 18)
    assert (along.way, along.length, along.moves, along.between) == (Way.ALONG, 40 * FOOT, Moves.HEAT, (65, 85))
    assert along.grows == pytest.approx(0.288 * INCH)
    assert across.grows == pytest.approx(0.1296 * INCH)
    assert not along.over
    assert (along.breaks, across.breaks) == (True, False)  # over 30 ft makers differ (common practice, no source)
    turned = runs(VINYL, 40, 18, Wall.LEFT)
    assert [run.length for run in turned] == [18 * FOOT, 40 * FOOT]
    (tight, _) = runs(replace(VINYL, gap=INCH // 8), 40, 18)
    assert tight.over


def test_wood_moves_across_its_boards_as_its_species_does() -> None:
    """Red oak, flat sawn: 0.00369 for 1 % (Table 13-5); 70 F and 30 to 50 % are 6.2 and 9.2 % (Wood Handbook, Table 4-2): 120 in move
    120 x 0.00369 x 3.0 = 1.33 in at most. Where the species was not said nothing is known; glued down it does not move as one."""
    oak = replace(
        VINYL,
        kind=FloorKind.SOLID_WOOD,
        method=Method.NAILED,
        plank_width=13 * INCH // 4,
        carton_ft2=21.7,
        species="red oak",
    )
    (across,) = runs(oak, 12, 10)
    assert across.way is Way.ACROSS
    assert across.between == (pytest.approx(6.2, abs=0.1), pytest.approx(9.2, abs=0.1))
    assert across.grows == pytest.approx(120 * 0.00369 * 3.0 * INCH, rel=0.04)
    (quartered,) = runs(replace(oak, cut="quarter"), 12, 10)
    assert quartered.grows == pytest.approx(across.grows * 0.00158 / 0.00369)
    assert not runs(replace(oak, species=""), 12, 10)
    assert not runs(replace(VINYL, kind=FloorKind.GLUED_VINYL, method=Method.GLUED), 40, 18)


def test_the_species_people_may_write_are_those_of_the_table() -> None:
    """One list for the job file, one table for the figures."""
    assert {*species.SPECIES} == {*climate.SPECIES}
