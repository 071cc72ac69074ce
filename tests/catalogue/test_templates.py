"""The catalogue's own content: rates, waits, cautions and what they must never say."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from crewjobs.domain.goods import Goods
from crewjobs.domain.house import PRESUMED, Covering, FixtureKind
from crewjobs.domain.tasks import ONTO, PHASES, PREVIOUS_STAGE, Applies, Driver, Phase, ScopeKind
from crewjobs.engines.estimating.quantities import LB_PER_FT2, TRIP_LB
from crewjobs.files.catalogue import read_catalogue

CATALOGUE = read_catalogue()
CATALOGUE_FOLDER = Path(__file__).parent.parent.parent / "crewjobs" / "catalogue"
README = Path(__file__).parent.parent.parent / "README.md"
TEMPLATES = {template.key: template for template in CATALOGUE.templates}
WAITS = {(t.key, wait.name): wait.minutes for t in CATALOGUE.templates for wait in t.waits}


@pytest.mark.parametrize(
    ("keys", "low", "likely", "high"),
    [  # starting rates in h a unit, trade-facts 6.3 (COMMON: common practice, no source)
        (("lay-click-vinyl",), 0.020, 0.030, 0.045),
        (("lay-laminate",), 0.020, 0.030, 0.045),
        (("lay-glued-vinyl",), 0.025, 0.035, 0.055),
        (("sheet-template", "rough-cut-sheet", "lay-sheet-glued", "roll-sheet"), 0.025, 0.035, 0.060),
        (("skim-for-sheet",), 0.008, 0.012, 0.025),
        (("nail-first-rows", "lay-nailed", "nail-last-rows"), 0.035, 0.050, 0.070),
        (("carpet-out",), 0.008, 0.012, 0.020),
        (("laminate-out",), 0.007, 0.010, 0.015),
        (("click-vinyl-out",), 0.007, 0.010, 0.015),
        (("glued-vinyl-out",), 0.015, 0.025, 0.050),
        (("glued-carpet-out",), 0.015, 0.025, 0.050),
        (("nailed-wood-out",), 0.015, 0.025, 0.035),
        (("ceramic-tile-out", "thinset-out"), 0.035, 0.060, 0.100),
        (("plywood-underlayment",), 0.012, 0.018, 0.030),
        (("patch",), 0.008, 0.012, 0.025),
        (("prime", "pour-leveler"), 0.010, 0.015, 0.030),
        (("base-off",), 0.015, 0.022, 0.040),
        (("base-new",), 0.025, 0.035, 0.060),
        (("shoe-on",), 0.012, 0.018, 0.030),
        (("undercut-jambs",), 0.10, 0.15, 0.30),
        (("doors-off", "hang-doors"), 0.5, 0.75, 1.2),
        (("set-strip",), 0.20, 0.35, 0.60),
        (("toilet-out",), 0.3, 0.4, 0.75),
        (("toilet-back",), 0.75, 1.0, 1.75),
        (("appliances-out", "appliances-back"), 0.2, 0.3, 0.5),
    ],
)
def test_rates_are_the_starting_defaults(keys, low, likely, high):
    """Minutes a unit are the table's hours times 60; a job split over two templates adds up to it."""
    rates = [TEMPLATES[key].rate for key in keys]
    assert sum(rate.low for rate in rates) == pytest.approx(low * 60)
    assert sum(rate.likely for rate in rates) == pytest.approx(likely * 60)
    assert sum(rate.high for rate in rates) == pytest.approx(high * 60)


@pytest.mark.parametrize(
    ("key", "name", "hours"),
    [  # defaults of trade-facts 9 (COMMON: common practice, no source; the product's label rules)
        ("pour-leveler", "leveler cures", 24),
        ("pour-leveler", "leveler hardens for light foot", 4),
        ("patch", "patch dries", 1),
        ("prime", "primer dries", 2),
        ("lay-glued-vinyl", "glue sets for light foot", 24),
        ("lay-glued-vinyl", "glue cures for furniture", 48),
        ("skim-for-sheet", "skim dries", 1),
        ("lay-sheet-glued", "adhesive sets for light foot", 24),
        ("lay-sheet-glued", "adhesive cures for furniture", 48),
        ("roll-sheet", "adhesive sets for light foot", 24),
        ("roll-sheet", "adhesive cures for furniture", 48),
        ("seal-seams", "seam sealer sets", 8),
        ("lay-glued-wood", "glue sets for light foot", 12),
        ("lay-glued-wood", "glue cures for furniture", 24),
        ("lay-stairs", "glue sets, nobody on the stairs", 24),
        ("glue-treads-first", "glue sets on every second tread", 24),
        ("glue-treads-between", "glue sets on the treads between", 24),
        ("slab-test-set", "slab test stands", 24),  # ASTM F2170 sec. 10.3.4, current editions (READ-SEC)
    ],
)
def test_waits_are_the_drying_times(key, name, hours):
    """What cures and dries waits as long as the table says."""
    assert WAITS[key, name] == hours * 60


def test_waits_at_most_leave_a_night_between():
    """Only primer has one so far, from memory: a day to pour in, and its source says that the label decides."""
    most = {(t.key, wait.name): wait.at_most_min for t in CATALOGUE.templates for wait in t.waits if wait.at_most_min}
    assert most == {("prime", "primer dries"): 24 * 60}
    assert all("MEMORY, the label decides" in TEMPLATES[key].source for key, _ in most)


def test_floating_floors_wait_for_nothing():
    """A floating floor may be used at once (general guides, READ-SEC)."""
    for key in ("lay-click-vinyl", "lay-laminate", "lay-floating-wood", "lay-nailed", "nail-last-rows"):
        assert not TEMPLATES[key].waits


def test_there_are_seventy_templates_over_all_phases():
    """Every phase on paper has work, and so has the house; the README says how many templates there are."""
    assert len(TEMPLATES) >= 70
    assert f"{len(TEMPLATES)} task templates" in README.read_text(encoding="utf-8")
    assert {template.phase for template in TEMPLATES.values()} == {*PHASES, Phase.HOUSE}


def test_every_name_points_somewhere():
    """Each template named after, waited for or warned by is there."""
    cautions = {caution.key for caution in CATALOGUE.cautions}
    for template in TEMPLATES.values():
        assert {name.removeprefix(ONTO).removesuffix("?") for name in template.after} - {
            PREVIOUS_STAGE
        } <= TEMPLATES.keys()
        assert {name for wait in template.waits for name in wait.before} <= TEMPLATES.keys()
        assert set(template.cautions) <= cautions


def test_every_caution_is_said_somewhere():
    """No caution is written that no task names."""
    assert {caution.key for caution in CATALOGUE.cautions} == {key for t in TEMPLATES.values() for key in t.cautions}


def test_keys_are_kebab_case():
    """Keys are what people type into a shop's changes: small letters and hyphens."""
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", key) for key in TEMPLATES)


def test_every_figure_says_where_it_comes_from():
    """Rates are the trade's judgement, and each template says so."""
    assert all("common practice, no source" in template.source for template in TEMPLATES.values())


def test_nothing_is_called_safe():
    """Neither a caution nor a task says that something is harmless; they say what to check and who decides."""
    said = [caution.text for caution in CATALOGUE.cautions]
    said += [line for t in TEMPLATES.values() for line in (t.title, *t.notes)]
    assert not [
        line for line in said if re.search(r"\b(safe|safely|harmless|no risk|no danger)\b", line, re.IGNORECASE)
    ]


@pytest.mark.parametrize("covering", sorted(PRESUMED))
def test_suspect_coverings_wait_for_the_laboratory_and_say_why(covering):
    """Whatever takes out a layer that is presumed asbestos names the laboratory's answer and the caution."""
    removals = [t for t in TEMPLATES.values() if covering in t.applies.coverings and t.phase is Phase.DEMOLITION]
    assert {t.scope for t in removals} == {ScopeKind.SECTION, ScopeKind.STAIRS}
    for template in removals:
        assert "laboratory-answer" in template.after
        assert "asbestos" in template.cautions


@pytest.mark.parametrize("kind", list(FixtureKind))
def test_what_is_taken_out_is_put_back(kind):
    """Each fixture that comes out has a task in fixtures reset; a pipe is only cut around."""
    phases = {t.phase for t in TEMPLATES.values() if kind in t.applies.fixtures}
    expected = {Phase.INSTALL} if kind is FixtureKind.PIPE else {Phase.DEMOLITION, Phase.FIXTURES_RESET}
    assert expected <= phases


def test_gas_is_for_the_licensed():
    """Both tasks that move a gas appliance name a licensed person and the caution; the range's bracket goes back."""
    for key in ("gas-appliances-out", "gas-appliances-back"):
        assert "licensed person" in TEMPLATES[key].title
        assert "gas" in TEMPLATES[key].cautions
    assert "anti-tip" in TEMPLATES["gas-appliances-back"].cautions


def test_dust_makers_warn_of_silica():
    """Chipping tile, grinding, emptying bags and drilling slab count (29 CFR 1926.1153)."""
    for key in ("ceramic-tile-out", "patch", "pour-leveler", "slab-test-set"):
        assert "silica" in TEMPLATES[key].cautions


def test_a_slab_in_a_tall_house_may_hold_tensioned_cables():
    """Before a slab is drilled the caution asks for cables and says who decides (common practice, no source)."""
    (text,) = [caution.text for caution in CATALOGUE.cautions if caution.key == "hidden-lines"]
    assert "tensioned cables" in text
    assert "engineer decides" in text
    assert "hidden-lines" in TEMPLATES["slab-test-set"].cautions


def test_lead_dust_is_checked_before_the_house_is_uncovered():
    """The certified renovator's check comes before protection up and furniture back (40 CFR 745.85, MEMORY)."""
    check = TEMPLATES["lead-clean-check"]
    assert check.applies.lead_rule is True
    assert "certified renovator" in check.title
    assert "lead-paint" in check.cautions
    for key in ("uncover-house", "furniture-back"):
        assert check.key in TEMPLATES[key].after


def test_nobody_comes_back_because_caulk_dries():
    """Caulk is the last thing done in a room: it holds back no task (common practice, no source)."""
    assert not TEMPLATES["caulk"].waits


def test_a_dishwasher_takes_longer_than_a_refrigerator():
    """What has water and a drain is unhooked, drained and run again (common practice, no source)."""
    for plumbed, rolled in (
        ("plumbed-appliances-out", "appliances-out"),
        ("plumbed-appliances-back", "appliances-back"),
    ):
        assert TEMPLATES[plumbed].rate.likely > TEMPLATES[rolled].rate.likely
        assert "water-shutoff" in TEMPLATES[plumbed].cautions


@pytest.mark.parametrize("covering", list(Covering))
def test_each_covering_is_hauled_out_once_with_notes_that_fit(covering):
    """Tile is hauled as tile, boards as boards, and only boards have nails to bend over."""
    (haul,) = [
        t
        for t in TEMPLATES.values()
        if t.phase is Phase.HOUSE
        and covering in t.applies.coverings
        and t.scope is ScopeKind.SECTION
        and t.driver is Driver.POUNDS
    ]
    said = " ".join(haul.notes)
    assert ("mortar" in said) is (covering is Covering.CERAMIC_TILE)
    assert ("nails" in said) is (haul.key == "haul-wood-out")
    assert haul.key in TEMPLATES["scrape-and-look"].after


def test_tile_is_hauled_in_half_bags_at_a_pace_a_crew_believes():
    """About 5 lb a square foot (trade-facts 8.2, COMMON) in bags of 40 lb, 3 to 10 minutes of one person a bag."""
    assert LB_PER_FT2[Covering.CERAMIC_TILE] == 5
    assert 3 <= TEMPLATES["haul-tile-out"].rate.likely * TRIP_LB <= 10


def test_a_new_wax_ring_is_on_the_truck():
    """The toilet never goes back on its old ring."""
    assert "new wax ring" in TEMPLATES["toilet-back"].load


def test_what_is_poured_is_poured_in_one_go():
    """Leveler takes two people or more and does not stop half way."""
    assert TEMPLATES["pour-leveler"].pause == "none"
    assert TEMPLATES["pour-leveler"].least_people >= 2


def test_every_covering_has_a_weight():
    """Whatever lies in a house can be hauled by the pound; boards weigh more than carpet, tile with its mortar most."""
    assert LB_PER_FT2.keys() == set(Covering)
    assert max(LB_PER_FT2, key=LB_PER_FT2.__getitem__) is Covering.CERAMIC_TILE
    assert LB_PER_FT2[Covering.NAILED_WOOD] > LB_PER_FT2[Covering.CARPET]


def test_what_leaves_or_enters_the_flat_goes_by_the_elevator():
    """Carry-ins and haul-outs are bound by a booked elevator; work inside the flat and a few cartons back are not."""
    moved = {key for key, template in TEMPLATES.items() if template.elevator}
    assert moved == {
        "carry-in", "carry-in-sheet", "carry-in-wood", "carry-in-plywood", "haul-out", "haul-wood-out", "haul-tile-out", "haul-stairs-out",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("goods", "keys"),
    [
        (Goods.PAD, {"roll-pad"}),
        (
            Goods.GLUE,
            {
                "lay-glued-vinyl",
                "lay-glued-wood",
                "lay-sheet-glued",
                "lay-sheet-perimeter",
                "glue-treads-first",
                "glue-treads-between",
            },
        ),
        (Goods.TRANSITION, {"set-strip", "set-threshold"}),
        (Goods.STAIR_NOSE, {"fit-stairs", "lay-stairs"}),
        (Goods.PLYWOOD, {"carry-in-plywood", "plywood-underlayment"}),
        (Goods.LEVELER, {"pour-leveler"}),
        (Goods.BASE, {"base-new"}),
    ],
)
def test_each_kind_of_goods_holds_what_it_is_for(goods, keys):
    """What has not come moves only the tasks that need it."""
    assert {key for key, template in TEMPLATES.items() if template.needs_goods is goods} == keys


def test_the_lead_card_is_asked_where_the_rule_applies():
    """Whatever disturbs coated trim or checks the dust asks for a certified renovator, by the year of the house
    (40 CFR 745.90(b), MEMORY)."""
    asking = {key: template for key, template in TEMPLATES.items() if template.card}
    assert {"base-off", "base-off-scrap", "shoe-off", "undercut-jambs", "hang-doors", "stairs-prep"} <= asking.keys()
    for template in asking.values():
        assert template.card == "lead-safe renovator"
        assert "lead-paint" in template.cautions
        assert template.applies.lead_rule or template.card_applies == Applies(lead_rule=True, painted_trim=True)


def test_people_reach_their_beds_over_half_glued_stairs():
    """The second half of the treads waits a day for the first, and both say to the house where feet go."""
    first, between = TEMPLATES["glue-treads-first"], TEMPLATES["glue-treads-between"]
    assert (first.half, between.half) == (1, 2)
    assert between.after == (first.key,)
    assert "said to everyone in the house" in " ".join(first.notes)
    assert "said to everyone in the house" in " ".join(between.notes)
    assert "stairs" in first.cautions


def test_what_is_left_of_an_old_floor_is_not_sanded_under_a_sheet():
    """Scraping and skimming under sheet goods name the black adhesive, whatever year the layers have; the caution says
    what is not done and who decides (29 CFR 1926.1101(g)(8)(i))."""
    (caution,) = [caution for caution in CATALOGUE.cautions if caution.key == "black-adhesive"]
    assert caution.applies == Applies()
    assert "not sanded" in caution.text
    assert "laboratory decide" in caution.text
    for key in ("scrape-and-look", "skim-for-sheet"):
        assert caution.key in TEMPLATES[key].cautions


def test_nothing_spread_is_left_over_night():
    """Sheet goods are spread, laid, cut and rolled within a day: open time is in hours (common practice, no source)."""
    for key in ("lay-sheet-glued", "lay-sheet-perimeter", "cut-seams", "roll-sheet"):
        assert TEMPLATES[key].pause == "lunch"
    assert "open time" in " ".join(TEMPLATES["lay-sheet-glued"].notes)


def test_loads_by_hand_say_how_to_lift():
    """Every task that carries cartons, pounds, sheets or pieces names the lifting caution (DHHS/NIOSH 94-110)."""
    carried = [t for t in TEMPLATES.values() if t.elevator or t.driver in (Driver.PIECES, Driver.POUNDS)]
    assert all("lifting" in template.cautions for template in carried)


def _texts(value: object) -> list[str]:
    """Return every text in a TOML value, but not names of cards: they are what the rule calls its holder."""
    if isinstance(value, str):
        return [value]
    if isinstance(value, list):
        return [text for item in value for text in _texts(item)]
    if isinstance(value, dict):
        return [text for key, item in value.items() if key != "card" for text in _texts(item)]
    return []


@pytest.mark.parametrize("path", sorted(CATALOGUE_FOLDER.rglob("*.toml")), ids=lambda path: path.stem)
def test_no_text_of_any_file_says_safe_or_gives_a_permission(path):
    """Every text of the catalogue says what must be there and who decides; none says that something is allowed."""
    permission = r"you (may|can)|allowed|permitted|permission|ok(ay)? to|fine to|go ahead|no need to|without risk"
    texts = _texts(tomllib.loads(path.read_text(encoding="utf-8")))
    assert texts
    pattern = re.compile(rf"\b(safe|safely|safer|harmless|{permission})\b", re.IGNORECASE)
    assert not [text for text in texts if pattern.search(text)]


def test_cautions_come_in_the_order_they_are_done():
    """Cautions are said in the order in which they are done: asbestos before silica, fan and grille before dust."""
    order = [caution.key for caution in CATALOGUE.cautions]
    for earlier, later in (
        ("asbestos", "silica"), ("lead-paint", "dust"), ("fan-and-grille", "chipping"), ("chipping", "silica"),
        ("electricity", "water-shutoff"), ("mold", "bleach"), ("hidden-lines", "power-tools"), ("power-tools", "nailer"),
    ):  # fmt: skip
        assert order.index(earlier) < order.index(later)


def test_each_tool_brings_its_caution():
    """What is on the truck for a task says what is checked: power tools, grinders, chisels by machine, nailers."""
    for tool, names in (
        (r"(miter|table|circular|track|jamb) saw", {"power-tools"}),
        (r"grinder", {"power-tools", "silica", "fan-and-grille"}),
        (r"hammer drill", {"power-tools", "silica", "hidden-lines"}),
        (r"nailer", {"power-tools", "nailer"}),
        (r"mixer", {"silica"}),
        (r"heat gun", {"flames"}),
    ):
        using = [t for t in TEMPLATES.values() if re.search(rf"\b{tool}", " ".join(t.load))]
        assert using
        assert not {t.key: names - set(t.cautions) for t in using if names - set(t.cautions)}


def test_chipping_by_machine_asks_for_a_respirator():
    """Tile and thinset by machine is the worst of the silica work (29 CFR 1926.1153, Table 1 (x), MEMORY)."""
    (chipping,) = [caution for caution in CATALOGUE.cautions if caution.key == "chipping"]
    assert "respirator on" in chipping.text
    assert "MEMORY" in chipping.source
    assert {t.key for t in TEMPLATES.values() if "chipping" in t.cautions} == {"ceramic-tile-out", "thinset-out"}
    assert all("respirators" in TEMPLATES[key].load for key in ("ceramic-tile-out", "thinset-out"))
