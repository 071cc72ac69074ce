"""The catalogue's own content: rates, waits, cautions and what they must never say."""

from __future__ import annotations

import re

import pytest

from crewjobs.domain.house import RESILIENT, Covering, FixtureKind
from crewjobs.domain.tasks import PHASES, PREVIOUS_STAGE, Phase, ScopeKind
from crewjobs.files.catalogue import read_catalogue

CATALOGUE = read_catalogue()
TEMPLATES = {template.key: template for template in CATALOGUE.templates}
WAITS = {(t.key, wait.name): wait.minutes for t in CATALOGUE.templates for wait in t.waits}


@pytest.mark.parametrize(
    ("keys", "low", "likely", "high"),
    [  # starting rates in h a unit, trade-facts 6.3 (COMMON: common practice, no source)
        (("lay-click-vinyl",), 0.020, 0.030, 0.045),
        (("lay-laminate",), 0.020, 0.030, 0.045),
        (("lay-glued-vinyl",), 0.025, 0.035, 0.055),
        (("lay-nailed",), 0.035, 0.050, 0.070),
        (("carpet-out",), 0.008, 0.012, 0.020),
        (("laminate-out",), 0.007, 0.010, 0.015),
        (("click-vinyl-out",), 0.007, 0.010, 0.015),
        (("glued-vinyl-out",), 0.015, 0.025, 0.050),
        (("nailed-wood-out",), 0.015, 0.025, 0.035),
        (("ceramic-tile-out",), 0.035, 0.060, 0.100),
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
        ("lay-glued-wood", "glue sets for light foot", 12),
        ("lay-glued-wood", "glue cures for furniture", 24),
        ("lay-stairs", "glue sets, nobody on the stairs", 24),
        ("slab-test-set", "slab test stands", 24),  # ASTM F2170 sec. 10.3.4, current editions (READ-SEC)
    ],
)
def test_waits_are_the_drying_times(key, name, hours):
    """What cures and dries waits as long as the table says."""
    assert WAITS[key, name] == hours * 60


def test_floating_floors_wait_for_nothing():
    """A floating floor may be used at once (general guides, READ-SEC)."""
    for key in ("lay-click-vinyl", "lay-laminate", "lay-floating-wood", "lay-nailed"):
        assert not TEMPLATES[key].waits


def test_there_are_forty_templates_over_all_phases():
    """Every phase on paper has work, and so has the house."""
    assert len(TEMPLATES) >= 40
    assert {template.phase for template in TEMPLATES.values()} == {*PHASES, Phase.HOUSE}


def test_every_name_points_somewhere():
    """Each template named after, waited for or warned by is there."""
    cautions = {caution.key for caution in CATALOGUE.cautions}
    for template in TEMPLATES.values():
        assert {name.removesuffix("?") for name in template.after} - {PREVIOUS_STAGE} <= TEMPLATES.keys()
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


@pytest.mark.parametrize("covering", sorted(RESILIENT))
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
    (haul,) = [t for t in TEMPLATES.values() if t.phase is Phase.HOUSE and covering in t.applies.coverings]
    said = " ".join(haul.notes)
    assert ("mortar" in said) is (covering is Covering.CERAMIC_TILE)
    assert ("nails" in said) is (haul.key == "haul-wood-out")
    assert haul.key in TEMPLATES["scrape-and-look"].after


def test_tile_is_hauled_in_half_bags_at_a_pace_a_crew_believes():
    """About 5 lb a square foot in bags of 40 lb, 3 to 10 minutes of one person a bag (common practice, no source)."""
    bag_ft2 = 40 / 5
    assert 3 <= TEMPLATES["haul-tile-out"].rate.likely * bag_ft2 <= 10


def test_a_new_wax_ring_is_on_the_truck():
    """The toilet never goes back on its old ring."""
    assert "new wax ring" in TEMPLATES["toilet-back"].load


def test_what_is_poured_is_poured_in_one_go():
    """Leveler takes two people or more and does not stop half way."""
    assert TEMPLATES["pour-leveler"].pause == "none"
    assert TEMPLATES["pour-leveler"].least_people >= 2
