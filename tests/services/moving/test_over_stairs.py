"""Stairs as a way: what is carried over them, when they are worked, and what is said where nothing leads."""

from __future__ import annotations

import tomllib
from datetime import date

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import Job
from crewjobs.engines.stages.walks import FEET_A_MIN, HEAVY_FEET_A_MIN, STEP_MIN, Walks, passages
from crewjobs.services.forms.checking import check_job
from crewjobs.services.forms.draft import Draft, draft_of
from crewjobs.services.forms.fields import JOB_PAGES
from tests.services.conftest import Shop

TWO_FLOORS = """
number = 7
title = "Two floors"

[customer]
name = "Tamsin Rook"

[site]
address = "3 Weir Street, Marrow Bend"
year_built = 1994

[[room]]
name = "living"
length = "20 ft"
width = "14 ft"
layers = ["carpet"]
floor = "slate plank"
furniture = ["sofa"]

[[room]]
name = "landing"
length = "10 ft"
width = "6 ft"
storey = 1

[[room]]
name = "bedroom"
length = "12 ft"
width = "11 ft"
storey = 1
layers = ["carpet"]
floor = "slate plank"
furniture = ["queen bed", "dresser"]

[[opening]]
between = ["living", "outside"]
width = "36 in"

[[opening]]
between = ["landing", "bedroom"]
width = "30 in"

[[stairs]]
name = "stairs"
steps = 14
layers = ["carpet"]
floor = "slate plank"
between = ["living", "landing"]

[[material]]
name = "slate plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.8 ft2"

[[order]]
material = "slate plank"
cartons = 24
ordered = 2026-02-16
due = "2026-03-03 10:00"
"""
NOWHERE = TWO_FLOORS.replace('between = ["living", "landing"]\n', "")
DOORWAY = TWO_FLOORS.replace(
    '[[stairs]]\nname = "stairs"\nsteps = 14\nlayers = ["carpet"]\nfloor = "slate plank"\nbetween = ["living", "landing"]\n',
    '[[opening]]\nbetween = ["living", "landing"]\nwidth = "36 in"\n',
)


TODAY = date(2026, 3, 2)


def form(text: str) -> Draft:
    """The form opened on a job's file."""
    return draft_of(JOB_PAGES, tomllib.loads(text), "America/Chicago")


def two_floors(shop: Shop, text: str = TWO_FLOORS) -> Job:
    """The house, loaded as job 7."""
    shop.office.load([shop.file("two.toml", text)])
    return shop.record(7).job


def test_a_walk_over_stairs_is_its_steps_and_half_of_both_rooms(shop: Shop) -> None:
    """The rates are those of doorways with steps: both ways, 50 lb slower on each step, 200 lb slower on foot too."""
    job = two_floors(shop)
    spots = [(room.name, "") for room in job.rooms]
    walks, feet = Walks(spots, passages(job, [])), (20 + 14) / 4 + (10 + 6) / 4
    assert walks.minutes(50, 1)[0][1] == pytest.approx(2 * feet / FEET_A_MIN + STEP_MIN * 14 * 1.25)
    assert walks.minutes(200, 2)[0][1] == pytest.approx(2 * (2 * feet / HEAVY_FEET_A_MIN + STEP_MIN * 14 * 2))


def test_stairs_are_a_way_and_worked_when_nothing_is_carried_over_them(shop: Shop) -> None:
    """Nothing goes over steps that are glued: before them all that crosses them, after their glue has set what goes home."""
    two_floors(shop)
    shop.office.moves(7)
    record = shop.record(7)
    plan = record.moves_in_force
    assert plan is not None
    upper = {"landing", "bedroom"}
    assert any(
        (one.start[0] in upper) != (one.to[0] in upper)
        for stage in plan.stages
        for one in stage.carried
        if one.start[0]
    )
    names = {task.number: task.key.template for task in record.tasks}
    pairs = {(names[link.before], names[link.after]): link.wait_min for link in record.links}
    assert ("move-furniture", "glue-treads-first") in pairs
    assert pairs["glue-treads-between", "furniture-home"] == 24 * 60
    jambs = [task.key.scope.name for task in record.tasks if task.key.template == "undercut-jambs"]
    assert not any("landing" in name and "living" in name for name in jambs)
    assert any("what is carried over them" in words for words in plan.taken_as)


def test_what_is_missing_for_a_way_is_said_wherever_the_job_is_told(shop: Shop) -> None:
    """At load, on the job's page, in the form beside the rooms, and when the stages are looked for: in the same words."""
    missing = "no doorway and no stairs lead to landing and bedroom: add a doorway, or stairs with the room below and the room above"
    done = shop.office.load([shop.file("two.toml", NOWHERE)])
    assert any(missing in line for line in done.then)
    assert any(missing in line for line in shop.office.job(7).site_lines)
    with pytest.raises(Refused) as refused:
        shop.office.moves(7)
    assert refused.value.sentences == (f"job 7: {missing}.",)
    draft = form(NOWHERE)
    said = {(draft.parts[one.part].name, one.key): one.words for one in check_job(draft, TODAY).remarks}
    assert "No doorway and no stairs lead here" in said["landing", "name"]
    assert "No doorway and no stairs lead here" in said["bedroom", "name"]
    assert ("living", "name") not in said


def test_a_doorway_from_storey_to_storey_is_told_as_the_stairs_it_is_taken_for(shop: Shop) -> None:
    """At load and beside the field; steps that are said are told of no more."""
    done = shop.office.load([shop.file("two.toml", DOORWAY)])
    assert any("living / landing leads from one storey to another" in line and "13 steps" in line for line in done.then)
    draft = form(DOORWAY)
    place = next(i for i, part in enumerate(draft.parts) if part.name == "living / landing")
    assert any(one.part == place and "stairs of 13 steps" in one.words for one in check_job(draft, TODAY).remarks)
    draft.parts[place].texts["steps"] = "14"
    assert not any(one.part == place for one in check_job(draft, TODAY).remarks)


def test_a_doorway_beside_its_stairs_is_one_way_with_their_steps(shop: Shop) -> None:
    """Nobody climbs the same stairs twice, and nothing has to be supposed of them."""
    job = two_floors(shop, TWO_FLOORS + '\n[[opening]]\nbetween = ["landing", "living"]\nwidth = "32 in"\n')
    taken_as: list[str] = []
    (way,) = [one for one in passages(job, taken_as) if {one.a[0], one.b[0]} == {"living", "landing"}]
    assert (way.steps, way.width_in) == (14, 32)
    assert not any("taken as" in words for words in taken_as)
