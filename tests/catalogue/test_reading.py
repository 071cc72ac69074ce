"""Reading the catalogue, and a shop's changes to it."""

from __future__ import annotations

from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import Covering, Layer, Room, Stairs, Subfloor
from crewjobs.domain.job import Job
from crewjobs.domain.material import FloorKind, Method
from crewjobs.domain.tasks import Driver, TemplateOverride, ThreePoint
from crewjobs.files.catalogue import apply_overrides, parse_catalogue, read_catalogue
from tests import thorough
from tests.engines.estimating.graph import Graph
from tests.engines.estimating.show import in_halves, plank
from tests.strategies import jobs

CATALOGUE = read_catalogue()
CAUTIONS = '[dust]\norder = 1\ntext = "Saw outside."\nsource = "common practice, no source"\n'
RIGHT = """phase = "trim"
[one]
title = "One"
scope = "room"
driver = "ft"
minutes = [1, 2, 3]
cautions = ["dust"]
[two]
title = "Two"
scope = "room"
driver = "once"
minutes = [1, 2.5, 3]
after = ["one?"]
waits = [{ name = "dries", minutes = 60, before = ["one"] }]
factors = { small = 1.3 }
"""


def faults(text: str, cautions: str = CAUTIONS) -> list[str]:
    """What is said about a template file."""
    with pytest.raises(Refused) as refused:
        parse_catalogue({"trim.toml": text}, cautions)
    return list(refused.value.sentences)


def test_a_right_file_is_read_as_written():
    """Every key lands in its field."""
    one, two = parse_catalogue({"trim.toml": RIGHT}, CAUTIONS).templates
    assert (one.phase, one.scope, one.driver, one.cautions) == ("trim", "room", "ft", ("dust",))
    assert two.rate == ThreePoint(low=1, likely=2.5, high=3)
    assert (two.waits[0].minutes, two.waits[0].before, two.factors) == (60, frozenset({"one"}), (("small", 1.3),))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('phase = "trim"', 'phase = "polish"', ["trim.toml", "phase", "'polish'", "fixtures reset"]),
        ("minutes = [1, 2, 3]", "minutes = [3, 2, 1]", ["trim.toml, one, minutes", "out of order"]),
        ("minutes = [1, 2, 3]", "minutes = [1, 2]", ["trim.toml, one, minutes", "low, likely, high"]),
        ("minutes = [1, 2, 3]", "minutes = [1, 2, inf]", ["trim.toml, one, minutes", "a number"]),
        ("minutes = [1, 2, 3]\n", "", ["trim.toml, one", "minutes is missing"]),
        ('scope = "room"', 'scope = "attic"', ["trim.toml, one, scope", "'attic'", "section"]),
        ('driver = "ft"', 'driver = "doors"', ["one", "doors are not counted for a room"]),
        ('title = "One"', 'titel = "One"', ["trim.toml, one", "'titel'", "title"]),
        ('title = "One"', "title = 1", ["trim.toml, one, title", "a text"]),
        ('["dust"]', '["dist"]', ["one, cautions", "'dist'"]),
        ('["one?"]', '["three"]', ["two, after", "'three'"]),
        ('before = ["one"]', 'before = ["three"]', ["two, waits", "'three'"]),
        ("minutes = 60", "minutes = -60", ["trim.toml, two, waits", "0 or more"]),
        ("minutes = 60", 'minutes = "a day"', ["trim.toml, two, waits", "'a day'", "material"]),
        ("minutes = 60", 'minutes = "material"', ["two, waits", "about a material"]),
        ("small = 1.3", "hot = 1.3", ["trim.toml, two, factors", "cut-up"]),
        ('cautions = ["dust"]', "least_people = 3", ["one", "at least as many as it needs"]),
        ('cautions = ["dust"]', 'after = ["two"]', ["circle", "one", "two"]),
        ('cautions = ["dust"]', 'applies = { coverings = ["moss"] }', ["trim.toml, one, applies", "'moss'", "carpet"]),
        ('cautions = ["dust"]', "applies = { suspect = 1 }", ["trim.toml, one, applies", "true or false"]),
        ("minutes = 60", "minutes = 60, at_most = 59", ["two, waits", "at_most 59", "60 minutes at least"]),
        ("minutes = 60", "minutes = 60, at_most = -1", ["trim.toml, two, waits", "0 or more"]),
        ('60, before = ["one"]', "60, at_most = 90", ["two, waits", "at_most needs before"]),
        ('phase = "trim"', 'phase = "trim', ["trim.toml", "not TOML"]),
    ],
)
def test_a_wrong_file_is_refused_by_place_and_key(old, new, said):
    """Whatever is wrong is named with its file, its template, its key and what would be right."""
    sentences = " ".join(faults(RIGHT.replace(old, new, 1)))
    assert all(word in sentences for word in said), sentences


def test_all_faults_are_named_at_once():
    """Two wrong keys in two templates and a wrong caution: three sentences."""
    text = RIGHT.replace('title = "One"', "title = 1").replace("small = 1.3", "hot = 1.3")
    assert len(faults(text, CAUTIONS.replace("order = 1", 'order = "first"'))) >= 3


def test_no_changes_give_the_programs_own():
    """A shop without changes has the catalogue as it is."""
    assert apply_overrides(CATALOGUE, []) == CATALOGUE


def test_a_change_changes_only_what_it_names():
    """Title, minutes, people, load and a wait of the shop's own; the rest of the catalogue stays."""
    minutes = ThreePoint(low=1, likely=2, high=4)
    own = TemplateOverride(
        key="pour-leveler",
        title="Pour",
        minutes=minutes,
        fixed=5,
        people=4,
        load=("leveler",),
        waits=(("leveler cures", 4320),),
    )
    changed = read_catalogue([own])
    before, after = CATALOGUE.template("pour-leveler"), changed.template("pour-leveler")
    assert before is not None
    assert after is not None
    assert (after.title, after.rate, after.fixed, after.people, after.load) == ("Pour", minutes, 5, 4, ("leveler",))
    assert {wait.name: wait.minutes for wait in after.waits}["leveler cures"] == 4320
    assert {wait.name: wait.minutes for wait in after.waits}["leveler hardens for light foot"] == 240
    assert (after.after, after.cautions, after.applies) == (before.after, before.cautions, before.applies)
    others = [t for t in changed.templates if t.key != "pour-leveler"]
    assert others == [t for t in CATALOGUE.templates if t.key != "pour-leveler"]


@pytest.mark.parametrize(
    ("override", "said"),
    [
        (TemplateOverride(key="pour-levler"), "'pour-levler'"),
        (TemplateOverride(key="prime", waits=(("dries", 60),)), "'dries'"),
        (TemplateOverride(key="prime", waits=(("primer dries", -1),)), "between 0"),
        (TemplateOverride(key="prime", waits=(("primer dries", 1500),)), "at least 25 h and at most 24 h"),
        (TemplateOverride(key="prime", at_most=(("primer dries", 60),)), "at least 2 h and at most 1 h"),
        (TemplateOverride(key="prime", at_most=(("dries", 60),)), "it is one of primer dries"),
        (TemplateOverride(key="seal-seams", at_most=(("seam sealer sets", 600),)), "it has none"),
        (TemplateOverride(key="prime", at_most=(("primer dries", 10**7),)), "between 0 minutes and a year"),
        (TemplateOverride(key="carry-in", waits=(("acclimating", 60),)), "follows the material"),
        (TemplateOverride(key="prime", minutes=ThreePoint(low=3, likely=2, high=1)), "at least the one before"),
        (TemplateOverride(key="prime", minutes=ThreePoint(low=-1, likely=2, high=3)), "below 0"),
        (TemplateOverride(key="prime", fixed=-1), "fixed"),
        (TemplateOverride(key="pour-leveler", people=1), "2 to 4"),
        (TemplateOverride(key="prime", title=" "), "title"),
        (TemplateOverride(key="laboratory-answer", off=True), "cannot be left out"),
        (TemplateOverride(key="sampling", off=True), "cannot be left out"),
        (TemplateOverride(key="wood-reading", off=True), "cannot be left out"),
    ],
)
def test_a_change_that_does_not_fit_is_refused(override, said):
    """One sentence says which template, what is wrong and what would be right."""
    with pytest.raises(Refused) as refused:
        read_catalogue([override])
    (sentence,) = refused.value.sentences
    assert said in sentence


def test_the_same_template_changed_twice_is_refused():
    """Which of two changes holds would be anybody's guess."""
    with pytest.raises(Refused, match="twice"):
        read_catalogue([TemplateOverride(key="prime", fixed=1), TemplateOverride(key="prime", fixed=2)])


def test_a_template_that_is_off_hands_its_place_on():
    """Without priming, leveler comes after what priming came after."""
    graph = Graph(in_halves(), read_catalogue([TemplateOverride(key="prime", off=True)]))
    assert not graph.named("prime")
    pour = graph.one("pour-leveler", "living", "street half")
    assert graph.comes_before(graph.one("flatness-check", "living", "street half"), pour)


def test_a_label_of_the_shops_own_is_kept():
    """The shop's hours for a wait, at least and at most, reach the links of its jobs; the others stay as they were."""
    own = TemplateOverride(key="prime", waits=(("primer dries", 180),), at_most=(("primer dries", 720),))
    links = [link for link in Graph(in_halves(), read_catalogue([own])).wanted.links if link.name == "primer dries"]
    assert links
    assert {(link.after.template, link.wait_min, link.most_min) for link in links} == {("pour-leveler", 180, 720)}
    book = [link for link in Graph(in_halves()).wanted.links if link.most_min is not None]
    assert {(link.before.template, link.after.template, link.most_min) for link in book} == {
        ("prime", "pour-leveler", 1440)
    }


def test_what_follows_in_place_of_what_is_off_need_not_hurry():
    """Without leveler in this shop, what comes after the primer waits for it, and no at most is meant for it."""
    graph = Graph(in_halves(), read_catalogue([TemplateOverride(key="pour-leveler", off=True)]))
    followers = [link for link in graph.wanted.links if link.before.template == "prime"]
    assert followers
    assert all(link.most_min is None and link.wait_min == 120 for link in followers)


def test_a_wait_meant_for_what_is_off_holds_its_followers():
    """With no furniture moved back by this shop, the last walk-through waits for the glue as the furniture did."""
    job = in_halves()
    oak, slate = job.materials
    job = replace(job, materials=(oak, replace(slate, name="slate tile")), rooms=(
        *(room for room in job.rooms if room.name != "bath"),
        replace(job.room("bath"), furniture=job.room("living").furniture[:1]),
    ))  # fmt: skip
    off = read_catalogue([TemplateOverride(key="furniture-back", off=True)])
    graph = Graph(job, off)
    assert graph.wait(graph.one("lay-glued-vinyl", "bath"), graph.one("uncover-house")) >= 48 * 60


def test_a_laboratory_holds_only_the_rooms_it_is_about():
    """What is done once for some floors waits for no answer about other ones, whatever the shop leaves out.

    Suspect tile on the stairs; the offcuts are those of the kitchen's roll, and the slab tested is the hall's.
    """
    job = in_halves()
    roll = plank("slate sheet", FloorKind.SHEET_VINYL, Method.GLUED, 24)
    plain = Room(name="kitchen", outline=job.rooms[0].outline, floor="slate sheet")
    job = Job(
        number=1,
        title="Stairs",
        customer=job.customer,
        site=job.site,
        rooms=(plain, replace(plain, name="hall", floor="oak plank", subfloor=Subfloor.SLAB)),
        stairs=(Stairs(name="stairs", steps=3, layers=(Layer(covering=Covering.VINYL_TILE),), floor="oak plank"),),
        materials=(plank("oak plank", FloorKind.CLICK_VINYL, Method.FLOATING, 48), roll),
    )
    for off in ([], ["daily-clean-up"]):
        graph = Graph(job, read_catalogue([TemplateOverride(key=key, off=True) for key in off]))
        answer = graph.one("laboratory-answer")
        assert graph.comes_before(answer, graph.one("stairs-covering-out", "stairs", cause="vinyl tile"))
        assert not graph.comes_before(answer, graph.one("roll-ends"))
        assert not graph.comes_before(answer, graph.one("slab-test-set"))


REMOVABLE = [
    t.key for t in CATALOGUE.templates if not (t.applies.suspect or t.needs_reading or t.driver is Driver.HOURS)
]


@settings(max_examples=thorough.examples(40, 18), deadline=None)
@given(jobs(most_rooms=2), st.sets(st.sampled_from(REMOVABLE), min_size=1, max_size=5))
def test_the_order_survives_templates_that_are_off(job, off):
    """The other tasks are all there, without a circle, and none waits for one it did not wait for before."""
    full = Graph(job)
    less = Graph(job, read_catalogue([TemplateOverride(key=key, off=True) for key in sorted(off)]))
    assert nx.is_directed_acyclic_graph(less.links)
    assert less.tasks.keys() == {key for key in full.tasks if key.template not in off}
    for before, after in nx.transitive_closure_dag(less.links).edges:
        assert full.comes_before(before, after), (before, after)
