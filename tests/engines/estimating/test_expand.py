"""The order of work, on random jobs and on a house a lead would know."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.house import (
    Covering,
    Fixture,
    FixtureKind,
    Layer,
    Opening,
    Piece,
    Stairs,
    Subfloor,
    Transition,
    Trim,
)
from crewjobs.domain.material import METHODS, SHEET_GOODS, WOOD
from crewjobs.domain.tasks import Phase, ScopeKind
from crewjobs.domain.units import FOOT
from crewjobs.engines.estimating.expand import cautions_for
from tests import thorough
from tests.engines.estimating.graph import Graph, catalogue
from tests.engines.estimating.show import in_halves, one_room, plank
from tests.strategies import jobs

SUSPECT_REMOVALS = ("glued-carpet-out", "sheet-vinyl-out", "vinyl-tile-out", "glued-vinyl-out")
HOUSE = Graph(in_halves())
some = settings(max_examples=thorough.examples(12, 6), deadline=None)


@settings(max_examples=thorough.examples(20, 10), deadline=None)
@given(jobs())
def test_links_have_no_circle(job):
    """networkx finds the links of any job acyclic, and the working order keeps them."""
    graph = Graph(job)
    assert nx.is_directed_acyclic_graph(graph.links)
    place = {task.key: number for number, task in enumerate(graph.wanted.tasks)}
    assert all(place[link.before] < place[link.after] for link in graph.wanted.links)


@some
@given(jobs())
def test_keys_are_unique(job):
    """No two tasks of a job share a key, also where a covering lies there twice."""
    assert max(Counter(task.key for task in Graph(job).wanted.tasks).values(), default=1) == 1


@some
@given(jobs())
def test_each_section_is_laid_once(job):
    """Whatever the floor and however it is held down, each section with a new floor has one laying task."""
    sections = Counter((room.name, section.name) for room in job.rooms if room.floor for section in room.sections)
    assert Counter((key.scope.name, key.scope.part) for key in Graph(job).laying()) == sections


@some
@given(jobs())
def test_laying_waits_for_its_material(job):
    """Between the carry-in of a floor and its laying lie the material's hours; a reading too where it is wood.

    The reading may be taken up to three days before the hours are over, no sooner.
    """
    graph = Graph(job)
    for key in graph.laying():
        material = job.material(job.room(key.scope.name).floor)
        carry_in = "carry-in-wood" if material.kind in WOOD else "carry-in-sheet" if material.is_sheet else "carry-in"
        carried = graph.one(carry_in, material.name)
        assert graph.wait(carried, key) >= material.acclimation_min
        checked = graph.one("roll-check" if material.is_sheet else "count-lot-check", material.name)
        assert graph.comes_before(checked, key)
        if material.by_reading:
            reading = graph.one("wood-reading", material.name)
            assert graph.comes_before(reading, key)
            assert graph.wait(carried, reading) >= material.acclimation_min - 3 * 24 * 60


@some
@given(jobs())
def test_laying_comes_after_demolition_and_prep_of_its_section(job):
    """Nothing is laid over a layer that is still to come out, or over unready subfloor."""
    graph = Graph(job)
    for key in graph.laying():
        for other, task in graph.tasks.items():
            same = other.scope.kind is ScopeKind.SECTION and other.scope == key.scope
            if same and task.phase in (Phase.DEMOLITION, Phase.SUBFLOOR_PREP):
                assert graph.comes_before(other, key), other


@some
@given(jobs())
def test_layers_come_up_from_the_top(job):
    """One removal for each layer of each section, in the order they lie."""
    graph = Graph(job)
    for room in job.rooms:
        for section in room.sections if room.floor else ():
            removals = [
                task
                for task in graph.wanted.tasks
                if task.phase is Phase.DEMOLITION
                and task.key.scope.kind is ScopeKind.SECTION
                and (task.key.scope.name, task.key.scope.part) == (room.name, section.name)
                and catalogue().template(task.key.template).applies.coverings
            ]
            coverings = [next(iter(catalogue().template(t.key.template).applies.coverings)) for t in removals]
            assert coverings == [layer.covering for layer in room.layers]
            for above, below in pairwise(removals):
                assert graph.comes_before(above.key, below.key)


@some
@given(jobs())
def test_suspect_layers_wait_for_the_laboratory(job):
    """Every removal of a layer presumed to hold asbestos comes after the laboratory's answer, five days after sampling."""
    graph = Graph(job)
    for room in job.rooms:
        if room.floor and any(layer.suspect for layer in room.layers):
            for key in graph.named(*SUSPECT_REMOVALS):
                if key.scope.name == room.name:
                    answer = graph.one("laboratory-answer")
                    assert graph.links.has_edge(answer, key)
                    assert graph.wait(graph.one("sampling"), key) >= 5 * 24 * 60


@some
@given(jobs())
def test_protection_comes_before_demolition(job):
    """Floor protection is down before anything of the house comes out."""
    graph = Graph(job)
    for key, task in graph.tasks.items():
        if task.phase is Phase.DEMOLITION and key.scope.kind is not ScopeKind.JOB:
            assert graph.comes_before(graph.one("protect-house"), key), key


@some
@given(jobs())
def test_the_walk_through_with_the_customer_is_last(job):
    """Everything else in the job comes before the last walk-through."""
    graph = Graph(job)
    for last in graph.named("walk-through-after"):
        assert graph.ancestors(last) == graph.tasks.keys() - {last}


@some
@given(jobs())
def test_vinyl_and_laminate_come_in_early(job):
    """Their carry-in waits for the room reading and the count, for nothing that is torn out or poured."""
    graph = Graph(job)
    for key in graph.named("carry-in"):
        assert {before.template for before in graph.ancestors(key)} == {"room-reading", "count-lot-check"}


@some
@given(jobs())
def test_wood_comes_in_after_wet_work(job):
    """No wood in the house until leveler and patch of the first rooms it goes to are dry for a day."""
    graph = Graph(job)
    for key in graph.named("carry-in-wood"):
        rooms = [room for room in job.rooms if room.floor == key.scope.name]
        parts = {(room.name, section.name) for room in rooms for section in room.sections}
        stairs = [1 for flight in job.stairs if flight.floor == key.scope.name]
        if not parts or (stairs and not rooms):
            continue
        first = min(job.stage_of(*part) for part in parts)
        for wet in graph.named("pour-leveler", "patch"):
            part = (wet.scope.name, wet.scope.part)
            if part in parts and job.stage_of(*part) == first:
                assert graph.wait(wet, key) >= 24 * 60


@some
@given(jobs())
def test_a_stage_opens_only_when_the_stage_before_is_laid(job):
    """Furniture, trim and layers of a section are touched after every floor of the stage before can be stood on."""
    graph = Graph(job)
    laid = {key: graph.tasks[key].stage for key in graph.laying()}
    opened = {key for key in graph.tasks if key.scope.kind is ScopeKind.SECTION and key not in laid}
    for key in opened:
        earlier = [stage for stage in laid.values() if stage < graph.tasks[key].stage]
        for before, stage in laid.items():
            if earlier and stage == max(earlier):
                assert graph.comes_before(before, key), (before, key)


@some
@given(jobs())
def test_rooms_without_a_new_floor_are_left_alone(job):
    """A room that is only passed through has no task of its own."""
    without = {room.name for room in job.rooms if room.floor is None}
    kinds = (ScopeKind.ROOM, ScopeKind.SECTION)
    assert not [key for key in Graph(job).tasks if key.scope.kind in kinds and key.scope.name in without]


@some
@given(jobs())
def test_estimates_are_whole_ordered_minutes(job):
    """Low, likely and high are whole minutes in order, and there is something to do."""
    for task in Graph(job).wanted.tasks:
        three = task.estimate
        assert 0 <= three.low <= three.likely <= three.high
        assert three.likely >= 1
        assert all(minutes == round(minutes) for minutes in (three.low, three.likely, three.high))
        assert task.quantity > 0
        assert 1 <= task.least_people <= task.people <= 4


@some
@given(jobs())
def test_halves_share_out_the_base_of_a_room(job):
    """Base taken off section by section is as long as what goes back on in the room."""
    graph = Graph(job)
    for key in graph.named("base-back"):
        off = sum(graph.tasks[k].quantity for k in graph.named("base-off") if k.scope.name == key.scope.name)
        assert off == pytest.approx(graph.tasks[key].quantity, abs=0.05)


@some
@given(jobs())
def test_expanding_twice_gives_the_same(job):
    """The same job and catalogue want the same tasks in the same order."""
    assert Graph(job).wanted == Graph(job).wanted


def test_half_two_is_opened_when_furniture_may_stand_on_stage_one():
    """Glue-down laid in stage 1 holds the furniture of half 2 for 48 h, floating wood for nothing."""
    over = HOUSE.one("move-furniture-over", "living", "garden half")
    assert HOUSE.wait(HOUSE.one("lay-glued-vinyl", "kitchen"), over) == 48 * 60
    assert HOUSE.wait(HOUSE.one("lay-floating-wood", "living", "street half"), over) == 0


def test_a_heap_grows_with_each_half():
    """Five of six pieces move: three from the first half, all five from the second, three back to it."""
    assert HOUSE.tasks[HOUSE.one("move-furniture-over", "living", "street half")].quantity == 3
    assert HOUSE.tasks[HOUSE.one("move-furniture-over", "living", "garden half")].quantity == 5
    assert HOUSE.tasks[HOUSE.one("furniture-back", "living")].quantity == 3


def test_the_half_worked_first_is_the_first_however_it_is_named():
    """Where the lead starts with the garden half, the smaller heap is moved there."""
    stages = ((("living", "garden half"), ("kitchen", ""), ("bath", "")), (("living", "street half"),))
    graph = Graph(replace(in_halves(), stages=stages))
    assert graph.tasks[graph.one("move-furniture-over", "living", "garden half")].quantity == 3


def test_trim_and_toilet_wait_until_the_glue_takes_a_foot():
    """Base, toilet and vents come 24 h after glue-down vinyl, furniture and appliances 48 h (trade-facts 9, COMMON);
    nobody walks out onto the glue to clean up sooner.
    """
    bath, kitchen = HOUSE.one("lay-glued-vinyl", "bath"), HOUSE.one("lay-glued-vinyl", "kitchen")
    assert HOUSE.wait(bath, HOUSE.one("base-back", "bath")) == 24 * 60
    assert HOUSE.wait(bath, HOUSE.one("toilet-back", "bath")) == 24 * 60
    assert HOUSE.wait(kitchen, HOUSE.one("appliances-back", "kitchen")) == 48 * 60
    assert HOUSE.wait(kitchen, HOUSE.one("daily-clean-up", "kitchen")) == 24 * 60


def test_nothing_is_moved_onto_a_floor_not_cleaned_up():
    """The half just laid is cleaned up before furniture comes onto it, and before its base."""
    clean = HOUSE.one("daily-clean-up", "living", "street half")
    assert HOUSE.comes_before(clean, HOUSE.one("move-furniture-over", "living", "garden half"))
    assert HOUSE.comes_before(clean, HOUSE.one("base-back", "living"))


def test_a_suspect_room_is_not_touched_before_the_laboratory_answers():
    """Its furniture, trim and appliances stay until then too: found in it, all of that would have been for nothing."""
    answer = HOUSE.one("laboratory-answer")
    touched = [
        key
        for key, task in HOUSE.tasks.items()
        if key.scope.name == "kitchen" and (task.phase is Phase.DEMOLITION or "furniture" in key.template)
    ]
    assert len(touched) >= 3
    assert all(HOUSE.comes_before(answer, key) for key in touched)


def test_the_slab_is_tested_after_the_walk_through():
    """Nobody drills a hole in a house before the customer has walked through it with the lead."""
    graph = Graph(replace(one_room(), rooms=(replace(one_room().rooms[0], subfloor=Subfloor.SLAB),)))
    assert graph.comes_before(graph.one("walk-through-before"), graph.one("slab-test-set"))


def test_jambs_are_undercut_on_the_ready_subfloor_before_laying():
    """Leveler takes a foot after 4 h; the saw comes then, the floor after it."""
    jambs = HOUSE.one("undercut-jambs", "living / kitchen")
    pour = HOUSE.one("pour-leveler", "living", "street half")
    assert HOUSE.wait(pour, jambs) == 4 * 60
    for lay in (HOUSE.one("lay-floating-wood", "living", "street half"), HOUSE.one("lay-glued-vinyl", "kitchen")):
        assert HOUSE.comes_before(jambs, lay)


def test_a_covering_that_lies_there_twice_comes_up_twice():
    """Sheet vinyl, plywood, sheet vinyl: the lower one has its own name and comes after the plywood."""
    upper, lower = HOUSE.one("sheet-vinyl-out"), HOUSE.one("sheet-vinyl-out", cause="sheet vinyl 2")
    plywood = HOUSE.one("plywood-out")
    assert HOUSE.comes_before(upper, plywood)
    assert HOUSE.comes_before(plywood, lower)


def test_a_slab_is_read_a_day_after_its_test_is_set():
    """24 h in the hole (ASTM F2170, current editions), before anything is primed, padded or laid."""
    job = one_room()
    graph = Graph(replace(job, rooms=(replace(job.rooms[0], subfloor=Subfloor.SLAB, level_ft2=50.0, patch_ft2=20.0),)))
    read = graph.one("slab-test-read")
    assert graph.wait(graph.one("slab-test-set"), read) == 24 * 60
    for later in ("prime", "patch", "roll-pad", "lay-click-vinyl"):
        assert graph.comes_before(read, graph.one(later))
    assert not graph.named("screw-down", "wood-subfloor-reading")


def test_primer_dries_before_leveler_and_leveler_cures_before_the_floor():
    """2 h after primer, 24 h after leveler (trade-facts 9, COMMON); pouring does not stop half way."""
    job = one_room()
    graph = Graph(replace(job, rooms=(replace(job.rooms[0], level_ft2=50.0),)))
    pour = graph.one("pour-leveler")
    assert graph.wait(graph.one("prime"), pour) == 2 * 60
    assert graph.wait(pour, graph.one("lay-click-vinyl")) == 24 * 60
    assert graph.tasks[pour].quantity == 50
    assert graph.tasks[pour].pause == "none"


def test_stairs_are_done_by_the_step_and_closed_for_a_day():
    """13 steps; the last walk-through comes a day after the treads are glued."""
    treads = HOUSE.one("glue-treads-between")
    assert HOUSE.tasks[HOUSE.one("fit-stairs")].quantity == 13
    assert HOUSE.tasks[HOUSE.one("stairs-carpet-out")].quantity == 13
    assert HOUSE.wait(treads, HOUSE.one("walk-through-after")) >= 24 * 60


def test_cartons_come_from_the_order_and_before_it_from_the_rooms():
    """250 ft² with a tenth more over 23.8 ft² is 12 cartons, and one to stay in the house."""
    graph = Graph(one_room())
    assert graph.tasks[graph.one("carry-in")].quantity == 13


def test_a_door_to_outside_stays_hung():
    """Its jambs are undercut, the door itself is not taken off."""
    graph = Graph(one_room())
    assert len(graph.named("undercut-jambs")) == 2
    assert not graph.named("doors-off", "hang-doors")


def test_a_rated_door_is_not_cut():
    """It comes off and goes back uncut, with the caution that its rating decides."""
    job = in_halves()
    rated = Opening(between=("kitchen", "bath"), width=3 * FOOT, rated=True, transition=Transition.CONTINUOUS)
    graph = Graph(replace(job, openings=(rated,)))
    assert not graph.named("hang-doors", "set-strip", "set-threshold")
    back = graph.tasks[graph.one("hang-rated-door")]
    assert "rated-door" in [caution.key for caution in cautions_for(graph.job, back, catalogue())]


def test_heavy_furniture_asks_for_as_many_people_as_it_takes():
    """A piece for three makes the move a task for three."""
    job = one_room(furnished=True)
    heavy = replace(job.rooms[0], furniture=(Piece(name="safe", people=3),))
    graph = Graph(replace(job, rooms=(heavy,)))
    assert graph.tasks[graph.one("move-furniture-out")].least_people == 3


@pytest.mark.parametrize(
    ("year", "said"),
    [(1966, True), (1977, True), (1978, False), (None, True)],  # 40 CFR 745: built before 1978; unknown counts as old
)
def test_the_lead_caution_goes_by_the_year_of_the_house(year, said):
    """Base off in a house of that year says what the lead rule asks, and the papers come first."""
    job = one_room()
    graph = Graph(replace(job, site=replace(job.site, year_built=year)))
    base = graph.one("base-off")
    assert ("lead-paint" in [c.key for c in cautions_for(graph.job, graph.tasks[base], catalogue())]) is said
    assert bool(graph.named("lead-papers")) is said
    if said:
        assert graph.comes_before(graph.one("lead-papers"), base)


@pytest.mark.parametrize(
    ("year", "said"),
    [(1980, True), (1981, False), (None, True)],  # 29 CFR 1926.1101: put in no later than 1980; unknown counts as old
)
def test_the_asbestos_caution_goes_by_the_year_of_the_layer(year, said):
    """An old sheet floor is sampled first and its removal says so; a newer one is not presumed."""
    job = one_room()
    room = replace(job.rooms[0], layers=(Layer(covering=Covering.SHEET_VINYL, year=year),))
    graph = Graph(replace(job, rooms=(room,)))
    task = graph.tasks[graph.one("sheet-vinyl-out")]
    assert ("asbestos" in [c.key for c in cautions_for(graph.job, task, catalogue())]) is said
    assert bool(graph.named("sampling", "laboratory-answer")) is said


@pytest.mark.parametrize(("year", "sampled"), [(None, True), (1980, True), (2004, False)])
def test_glued_carpet_is_cut_pulled_and_scraped(year, sampled):
    """No pad or tack strip is taken up; its glue, old or of no known year, is sampled first, and it is hauled out before anyone looks."""
    job = one_room()
    room = replace(job.rooms[0], layers=(Layer(covering=Covering.GLUED_CARPET, year=year),))
    graph = Graph(replace(job, rooms=(room,)))
    out = graph.one("glued-carpet-out")
    assert not graph.named("carpet-out")
    assert graph.comes_before(out, graph.one("haul-out"))
    assert graph.comes_before(graph.one("haul-out"), graph.one("scrape-and-look"))
    assert bool(graph.named("sampling", "laboratory-answer")) is sampled
    assert ("asbestos" in [c.key for c in cautions_for(graph.job, graph.tasks[out], catalogue())]) is sampled
    if sampled:
        assert graph.comes_before(graph.one("laboratory-answer"), out)


def test_other_rooms_do_not_wait_for_the_laboratory():
    """The suspect kitchen holds itself; carpet and tile elsewhere come out meanwhile."""
    answer = HOUSE.one("laboratory-answer")
    assert HOUSE.comes_before(answer, HOUSE.one("sheet-vinyl-out"))
    assert not HOUSE.comes_before(answer, HOUSE.one("carpet-out", "living", "street half"))
    assert not HOUSE.comes_before(answer, HOUSE.one("ceramic-tile-out", "bath"))


def test_cautions_come_in_their_order():
    """What is worst is said first, whatever order a template names them in."""
    for task in HOUSE.wanted.tasks:
        orders = [caution.order for caution in cautions_for(HOUSE.job, task, catalogue())]
        assert orders == sorted(orders)


@some
@given(st.sampled_from([(kind, method) for kind, methods in METHODS.items() for method in methods]))
def test_every_floor_has_one_way_to_be_laid(floor):
    """Each kind held down in each way that exists for it finds exactly one laying template with the skill it takes."""
    kind, method = floor
    job = replace(one_room(), materials=(plank("harbor plank", kind, method, 48),))
    graph = Graph(job)
    (lay,) = graph.laying()
    skill = {"floating": "floating", "glued": "glue-down", "nailed": "nailed"}.get(method, "sheet goods")
    assert graph.tasks[lay].skill == ("sheet goods" if kind in SHEET_GOODS else skill)
    assert graph.tasks[lay].needs_material == "harbor plank"


@pytest.mark.parametrize("together", [False, True], ids=["one after the other", "in one stage"])
def test_cuts_in_a_room_of_sections_are_not_made_before_its_rows_are_begun(together):
    """Whatever the order of stages, the sections of a room but its last are laid before its cuts, which come before trim."""
    job = one_room()
    parts = ("street half", "middle", "garden half")
    room = replace(
        job.rooms[0],
        cuts=((parts[0], 5 * FOOT), (parts[1], 5 * FOOT), (parts[2], 10 * FOOT)),
        fixtures=(Fixture(kind=FixtureKind.FLOOR_VENT, count=2),),
    )
    stages = (tuple((room.name, part) for part in parts),) if together else ()
    graph = Graph(replace(job, rooms=(room,), stages=stages))
    cuts = graph.one("around-obstacles")
    first, second, last = (graph.one("lay-click-vinyl", part=part) for part in parts)
    assert graph.comes_before(first, cuts)
    assert graph.comes_before(second, cuts)
    assert not graph.comes_before(last, cuts)
    assert graph.comes_before(cuts, graph.one("base-back"))


@some
@given(st.sampled_from(list(Covering)))
def test_every_covering_comes_out_of_a_room_and_off_stairs(covering):
    """Each covering finds exactly one removal in a section and one on stairs."""
    job = one_room()
    layers = (Layer(covering=covering, year=2010),)
    stairs = Stairs(name="front stairs", steps=12, layers=layers, floor="harbor plank")
    graph = Graph(replace(job, rooms=(replace(job.rooms[0], layers=layers),), stairs=(stairs,)))
    removals = [
        key
        for key, task in graph.tasks.items()
        if task.phase is Phase.DEMOLITION and catalogue().template(key.template).applies.coverings
    ]
    assert Counter(key.scope.kind for key in removals) == {
        ScopeKind.SECTION: 1,
        ScopeKind.STAIRS: 1,
    }


@pytest.mark.parametrize(
    ("trim", "off", "on"),
    [
        (Trim.REUSE_BASE, {"base-off"}, {"base-back", "caulk"}),
        (Trim.NEW_BASE, {"base-off-scrap"}, {"base-new", "caulk"}),
        (Trim.SHOE_ONLY, {"shoe-off"}, {"shoe-on", "caulk"}),
        (Trim.NONE, set(), set()),
    ],
)
def test_trim_comes_off_and_on_as_agreed(trim, off, on):
    """Each choice of trim has its own way off before the layers and on after the floor."""
    job = one_room()
    graph = Graph(replace(job, rooms=(replace(job.rooms[0], trim=trim),)))
    trims = {"base-off", "base-off-scrap", "shoe-off", "base-back", "base-new", "shoe-on", "caulk"}
    assert {key.template for key in graph.named(*trims)} == off | on
    for key in graph.named(*off):
        assert graph.comes_before(key, graph.one("carpet-out"))
    for key in graph.named(*on):
        assert graph.comes_before(graph.one("lay-click-vinyl"), key)
