"""What is carried: by weight, by the flight, by the elevator."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.furniture import Piece
from crewjobs.domain.house import Covering, Layer, Stairs
from crewjobs.domain.job import Job
from crewjobs.domain.material import FloorKind, Method
from crewjobs.domain.tasks import Driver, ScopeKind
from crewjobs.domain.wall import Span, WeekHours
from crewjobs.engines.estimating.expand import cautions_for
from crewjobs.engines.estimating.quantities import LB_PER_FT2, STEP_FT2, carton_weight_factor, trips
from tests import thorough
from tests.engines.estimating.graph import Graph, catalogue
from tests.engines.estimating.show import in_halves, one_room
from tests.strategies import jobs

some = settings(max_examples=thorough.examples(20, 10), deadline=None)
SLOT = WeekHours(days=((Span(start=9 * 60, end=11 * 60),),) * 5 + ((),) * 2)


def minutes(job: Job) -> dict[tuple[str, str], float]:
    """Likely minutes of the tasks that carry something through the house, by template and place."""
    graph = Graph(job)
    carried = {template.key for template in catalogue().templates if template.elevator}
    return {
        (key.template, str(key.scope)): task.estimate.likely
        for key, task in graph.tasks.items()
        if key.template in carried
    }


@some
@given(jobs(), st.integers(0, 5), st.integers(1, 5))
def test_more_flights_never_take_less_time(job, flights, more):
    """Whatever is carried, a flight more takes as long or longer."""
    fewer = minutes(replace(job, site=replace(job.site, flights_up=flights, elevator=None)))
    higher = minutes(replace(job, site=replace(job.site, flights_up=flights + more, elevator=None)))
    assert fewer.keys() == higher.keys()
    assert all(higher[key] >= fewer[key] for key in fewer)


@some
@given(jobs(), st.none() | st.floats(1, 400), st.floats(0, 400))
def test_heavier_cartons_never_take_less_time(job, pounds, more):
    """A carton that weighs more takes as long or longer to carry in; without a weight it counts as the usual one."""

    def weighing(lb):
        weighed = (material if material.is_sheet else replace(material, carton_lb=lb) for material in job.materials)
        return minutes(replace(job, materials=tuple(weighed)))

    lighter, heavier = weighing(pounds), weighing((pounds or 35.0) + more)
    assert all(heavier[key] >= lighter[key] for key in lighter)


@some
@given(jobs())
def test_the_haul_of_a_room_is_the_haul_of_its_sections(job):
    """Pounds hauled section by section add up to the room's area times what lies there, whatever the lead's lines."""
    graph = Graph(job)
    for room in job.rooms:
        if room.floor is None:
            continue
        hauled = sum(
            task.quantity
            for key, task in graph.tasks.items()
            if task.unit is Driver.POUNDS and key.scope.kind is ScopeKind.SECTION and key.scope.name == room.name
        )
        weight = room.outline.area_ft2 * sum(LB_PER_FT2[layer.covering] for layer in room.layers)
        assert hauled == pytest.approx(weight, abs=0.02 * 3 * len(room.sections))


def test_stairs_are_hauled_by_the_step():
    """13 steps of carpet at 4.5 ft² and 0.9 lb (common practice, no source)."""
    graph = Graph(in_halves())
    assert graph.tasks[graph.one("haul-stairs-out")].quantity == pytest.approx(13 * STEP_FT2 * 0.9, abs=0.01)


@pytest.mark.parametrize(("pounds", "count"), [(0, 0), (1, 1), (40, 1), (40.5, 2), (1250, 32)])
def test_trips_are_bags_of_forty_pounds(pounds, count):
    """A weight takes as many trips as bags; an exact fit takes no extra one."""
    assert trips(pounds) == count


def test_a_usual_carton_takes_its_usual_time():
    """Up to 35 lb, and without a weight given, nothing is added; 70 lb takes twice as long (common practice, no source)."""
    assert [carton_weight_factor(lb) for lb in (None, 20, 35, 70)] == [1, 1, 1, 2]


def test_a_booked_elevator_takes_the_stairs_out_of_the_hours():
    """On the third floor with an elevator booked, carrying takes what it takes on the ground floor."""
    ground = one_room()
    third = replace(ground, site=replace(ground.site, flights_up=2))
    by_elevator = replace(third, site=replace(third.site, elevator=SLOT))
    assert minutes(by_elevator) == minutes(ground)
    assert minutes(third)["carry-in", "harbor plank"] > minutes(ground)["carry-in", "harbor plank"]


def test_cartons_climb_to_the_rooms_they_are_for():
    """13 cartons two flights up: 13 × 2 × 0.7 min over the ground floor (common practice, no source)."""
    ground = one_room()
    upstairs = replace(ground, rooms=(replace(ground.rooms[0], storey=2),))
    more = minutes(upstairs)["carry-in", "harbor plank"] - minutes(ground)["carry-in", "harbor plank"]
    assert more == pytest.approx(13 * 2 * 0.7, abs=1)


@pytest.mark.parametrize(
    ("pounds", "flights", "said"), [(30, 0, set()), (60, 0, {"heavy-cartons"}), (30, 2, {"flights"})]
)
def test_heavy_cartons_and_flights_have_their_cautions(pounds, flights, said):
    """Over 51 lb (DHHS/NIOSH 94-110, load constant) and over stairs the carry-in says more than that it is lifting."""
    job = one_room()
    job = replace(
        job,
        site=replace(job.site, flights_up=flights),
        materials=(replace(job.materials[0], carton_lb=float(pounds)),),
    )
    graph = Graph(job)
    keys = {caution.key for caution in cautions_for(job, graph.tasks[graph.one("carry-in")], catalogue())}
    assert keys == {"lifting", *said}


def test_heavy_pieces_have_their_caution():
    """A sofa for two is said; chairs alone are not."""
    job = one_room(furnished=True)
    chairs = replace(job, rooms=(replace(job.rooms[0], furniture=(Piece(name="chair", count=4),)),))
    for house, said in ((job, True), (chairs, False)):
        graph = Graph(house)
        task = graph.tasks[graph.one("move-furniture-out")]
        assert ("heavy-pieces" in {c.key for c in cautions_for(house, task, catalogue())}) is said


@some
@given(st.integers(1, 60))
def test_every_step_is_glued_once(steps):
    """The first half of the treads and those between are all of them; a single step has none between."""
    job = in_halves()
    job = replace(job, stairs=(replace(job.stairs[0], steps=steps, open_ends=0),))
    graph = Graph(job)
    glued = [graph.tasks[key].quantity for key in graph.named("glue-treads-first", "glue-treads-between")]
    assert sum(glued) == steps
    assert max(glued) - min(glued) <= 1 or len(glued) == 1


def test_stairs_are_no_room():
    """What is done room by room counts rooms alone; of a house of stairs alone it is done once."""
    job = in_halves()
    rooms = sum(room.floor is not None for room in job.rooms)
    graph = Graph(job)
    by_room = [
        task.quantity
        for task in graph.tasks.values()
        if task.unit is Driver.ROOMS and task.key.scope.kind is ScopeKind.JOB
    ]
    assert job.stairs
    assert by_room
    assert set(by_room) == {rooms}
    alone = Graph(replace(job, rooms=(), openings=(), stages=(), starts=()))
    assert {task.quantity for task in alone.tasks.values() if task.unit is Driver.ROOMS} == {1}


def test_a_flight_has_a_tread_less_than_risers():
    """From floor to floor the last riser ends at the edge of the floor above, and at each landing one does: geometry."""
    assert Stairs(name="stairs", steps=14).treads == 13
    assert Stairs(name="stairs", steps=14, flights=2).treads == 12
    assert Stairs(name="stoop", steps=1).treads == 0


def test_stairs_of_an_empty_house_are_done_at_once():
    """Where nobody sleeps, all treads are glued in one go."""
    job = in_halves()
    graph = Graph(replace(job, site=replace(job.site, occupied=False)))
    assert graph.named("lay-stairs")
    assert not graph.named("fit-stairs", "glue-treads-first", "glue-treads-between")


def test_the_second_half_of_the_treads_waits_a_day():
    """24 h after the first half is glued; the house is walked through a day after the last."""
    graph = Graph(in_halves())
    first, between = graph.one("glue-treads-first"), graph.one("glue-treads-between")
    assert graph.wait(first, between) == 24 * 60
    assert graph.wait(first, graph.one("walk-through-after")) >= 48 * 60


@pytest.mark.parametrize(("year", "asked"), [(1977, True), (1978, False), (1994, False), (None, True)])
def test_the_card_goes_by_the_year_of_the_house(year, asked):
    """40 CFR 745 (READ-SEC): built before 1978, unknown counts as old; a house of 1994 asks no card of anybody."""
    job = in_halves()
    graph = Graph(replace(job, site=replace(job.site, year_built=year)))
    for template in ("undercut-jambs", "base-off", "stairs-prep"):
        for key in graph.named(template):
            assert bool(graph.tasks[key].card) is asked
    assert any(task.card for task in graph.tasks.values()) is asked


def test_thinset_is_ground_only_where_tile_lies_on_the_subfloor():
    """Tile over plywood underlayment leaves with the plywood."""
    job = one_room()
    layers = (Layer(covering=Covering.CERAMIC_TILE), Layer(covering=Covering.PLYWOOD))
    over, on = (Graph(replace(job, rooms=(replace(job.rooms[0], layers=lying),))) for lying in (layers, layers[:1]))
    assert not over.named("thinset-out")
    assert on.comes_before(on.one("ceramic-tile-out"), on.one("thinset-out"))
    assert on.comes_before(on.one("thinset-out"), on.one("haul-tile-out"))


def test_a_nailed_floor_is_laid_from_paper_to_the_last_row():
    """Felt or paper, first rows, field, last rows, gap looked at, then trim."""
    job = one_room()
    solid = replace(job.materials[0], kind=FloorKind.SOLID_WOOD, method=Method.NAILED)
    graph = Graph(replace(job, materials=(solid,)))
    order = ["felt-paper", "nail-first-rows", "lay-nailed", "nail-last-rows", "gap-check", "base-back"]
    keys = [graph.one(template) for template in order]
    assert all(graph.comes_before(one, other) for one, other in pairwise(keys))


def test_a_dust_wall_stands_while_tile_comes_out():
    """In a lived-in house: up before the tile, down after the floor is cleaned, before the house is uncovered."""
    job = one_room(furnished=True)
    tile = replace(job, rooms=(replace(job.rooms[0], layers=(Layer(covering=Covering.CERAMIC_TILE),)),))
    graph = Graph(tile)
    assert graph.comes_before(graph.one("dust-wall"), graph.one("ceramic-tile-out"))
    assert graph.comes_before(graph.one("daily-clean-up"), graph.one("dust-wall-down"))
    assert graph.comes_before(graph.one("dust-wall-down"), graph.one("uncover-house"))
    empty = Graph(replace(tile, site=replace(tile.site, occupied=False)))
    assert not empty.named("dust-wall", "dust-wall-down")


def test_unused_stairs_need_no_haul():
    """Stairs without a covering have nothing to carry away."""
    job = one_room()
    stairs = Stairs(name="front stairs", steps=12, floor="harbor plank")
    assert not Graph(replace(job, stairs=(stairs,))).named("haul-stairs-out")
