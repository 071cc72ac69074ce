"""Supplies by what a job implies: worked by hand from the rules that are told, and what holds for any job."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings

from crewjobs.domain.house import Covering, Fixture, FixtureKind, Layer, Room, Trim
from crewjobs.domain.job import Job
from crewjobs.domain.outline import Outline
from crewjobs.domain.units import FOOT
from crewjobs.engines.take_off.supplies import supplies_of
from crewjobs.files.catalogue import read_catalogue
from tests import strategies as ours
from tests import thorough
from tests.engines.take_off.test_fields import _job


def _room(length: int, width: int, **given_: object) -> Room:
    outline = Outline.rectangle(length * FOOT, width * FOOT)
    return Room(name="den", floor="plank", outline=outline, **given_)  # type: ignore[arg-type]


def _counts(job: Job) -> dict[str, int]:
    return {supply.name: supply.count for supply in supplies_of(job)}


def test_leveler_by_the_bag() -> None:
    """60 ft² at 1/4 in take 2.8 bags of 50 lb, so 3 (common practice, no source; the bag's label rules; trade-facts 8.2)."""
    counts = _counts(_job([_room(12, 10, level_ft2=60.0)], []))
    assert (counts["leveler"], counts["primer"]) == (3, 1)


def test_a_toilet_takes_a_ring_bolts_and_a_line() -> None:
    """A wax ring every time the bowl lifts (common practice, trade-facts 10); a refrigerator asks for none of it."""
    counts = _counts(_job([_room(8, 5, fixtures=(Fixture(kind=FixtureKind.TOILET),))], []))
    assert (counts["new wax ring"], counts["closet bolts"], counts["supply lines"]) == (1, 1, 1)
    cold = _counts(_job([_room(8, 5, fixtures=(Fixture(kind=FixtureKind.REFRIGERATOR),))], []))
    assert not {"new wax ring", "closet bolts", "supply lines"} & {*cold}


def test_a_tube_of_caulk_goes_fifty_five_feet() -> None:
    """18.2 in³ (10.1 fl oz at 1.805 in³) in a bead of 3/16 in are 659 in: 56 ft of wall take two tubes, 52 ft one; derived."""
    tube = 10.1 * 1.805 / (3.14159 / 4 * (3 / 16) ** 2) / 12
    assert 54 < tube < 56
    assert _counts(_job([_room(18, 10, trim=Trim.NEW_BASE)], []))["caulk gun and caulk"] == 2
    assert _counts(_job([_room(16, 10, trim=Trim.NEW_BASE)], []))["caulk gun and caulk"] == 1
    assert "caulk gun and caulk" not in _counts(_job([_room(16, 10, trim=Trim.NONE)], []))


def test_the_old_floor_goes_out_in_bags() -> None:
    """120 ft² of carpet at 0.9 lb are 108 lb: three bags of 40 lb; nothing to take out is no bag."""
    assert _counts(_job([_room(12, 10, layers=(Layer(covering=Covering.CARPET),))], []))["contractor bags"] == 3
    assert "contractor bags" not in _counts(_job([_room(12, 10)], []))


def test_every_supply_is_one_of_the_load_list() -> None:
    """What is bought and what goes on the truck have one name: each stands in some template's load."""
    catalogue = read_catalogue()
    names = {name for template in catalogue.templates for name in template.load}
    job = _job([_room(12, 10, level_ft2=20.0, patch_ft2=5.0, add_plywood=True, pad=True)], [])
    assert {supply.name for supply in supplies_of(job)} <= names


@settings(max_examples=thorough.examples(10, 4), deadline=None)
@given(ours.jobs())
def test_any_job_has_supplies_with_their_rule(job: Job) -> None:
    """Whatever the job: whole counts above zero, each with its rule and its standing, names of the load list."""
    names = {name for template in read_catalogue().templates for name in template.load}
    for supply in supplies_of(job):
        assert supply.count >= 1
        assert supply.rule
        assert supply.standing
        assert supply.name in names
    assert supplies_of(replace(job, title="another")) == supplies_of(job)
