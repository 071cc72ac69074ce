"""Figures at the truck: each answer, each refusal."""

from __future__ import annotations

import shlex

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.services.figuring.figures import FIGURES, answer, figure_rows
from tests import thorough

ANSWERS = {
    # value, unit, tolerance; where the value is from
    "emc temp=70 rh=40": (7.7, "%", 0.1),  # Wood Handbook Table 4-2, in secondary texts
    "dew-point temp=70 rh=50": (50.53, "°F", 0.1),  # psychrolib and CoolProp
    "slab-holes area=2500": (5, "holes", 0),  # ASTM F2170 sec. 10.1
    "slab-depth thickness=4 sides=1": (1.6, "in", 0.01),  # ASTM F2170 sec. 10.2
    "slab-depth thickness=4 sides=2": (0.8, "in", 0.01),  # the same
    "vapor grams=3.0 hours=72": (4.955, "lb/1000 ft²/24 h", 0.01),  # F1869-16a worked text
    "vapor grams=3.0 hours=72 dome=whole": (4.54, "lb/1000 ft²/24 h", 0.01),  # the same, older form
    'wood-movement width=5 species="red oak" cut=flat from=6 to=10': (0.0738, "in", 0.0001),  # Table 13-5, derived
    "vinyl-movement length=40 from=60 to=80": (0.288, "in", 0.001),  # derived from 3.0e-5
    "lift weight=44 h=23 v=15 d=49 angle=0 per-min=0.2 hours=1 grip=fair": (16.3, "lb", 0.5),  # 94-110 ex. 1, MEMORY
    "grinder-airflow wheel=5": (125, "cfm", 0),  # 29 CFR 1926.1153 Table 1
    "first-row width=127 plank=6 gap=1/4": (3.25, "in", 0.001),  # derived from the balance rule
    "cartons area=120 waste=10 cover=24": (6, "cartons", 0),  # retail measuring guide
    "cartons area=240 waste=0 cover=24": (10, "cartons", 0),  # an exact fit takes no carton more
    "leveler area=60 depth=1/4": (3, "bags of 50 lb", 0),  # common practice, no source
}


@pytest.mark.parametrize("asked", ANSWERS)
def test_published_values(asked: str) -> None:
    """The value with its unit, and where it is from."""
    name, *words = shlex.split(asked)
    found, (value, unit, off) = answer(name, words), ANSWERS[asked]
    assert found.value == pytest.approx(value, abs=off)
    assert (found.name, found.unit) == (name, unit)
    assert found.source
    assert found.note


def test_a_level_change_is_told_as_it_is_made() -> None:
    """3/8 in: a bevel of 1:2 over the eighth that may not stand vertical (ADA 303.3)."""
    found = answer("level-change", ["height=3/8"])
    assert (found.value, '1:2, over 1/4"' in found.rule) == ("bevel", True)
    assert answer("level-change", ["height=9/16"]).value == "ramp"


def test_every_figure_is_listed_with_an_example_that_runs() -> None:
    """And a key left out is as the list says."""
    for row in figure_rows():
        name, *words = shlex.split(row.example)
        assert answer(name, words).name == row.name == name


@pytest.mark.parametrize(
    "words", [["thickness=4 in", "sides=1"], ['thickness=4"', "sides=1"], ["thickness=101.6 mm", "sides=1"]]
)
def test_lengths_carry_units(words: list[str]) -> None:
    """However it is written it is the same slab."""
    assert answer("slab-depth", words).value == pytest.approx(1.6)


def test_temperatures_carry_units_and_metric_shops_have_their_own() -> None:
    """21 °C is 69.8 °F; in a metric shop a bare 21 is °C."""
    same = answer("emc", ["temp=21C", "rh=40"])
    assert answer("emc", ["temp=69.8", "rh=40 %"]) == same
    metric = answer("emc", ["temp=21", "rh=40"], "metric")
    assert (metric.value, metric.unit) == (same.value, same.unit)
    assert "air of 21 °C" in metric.rule


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ("fog temp=70", "there is no figure 'fog'"),
        ("vapour grams=3", r"did you mean vapor\?"),
        ("emc temp=70", r"emc: rh \(relative humidity, % RH\) is missing"),
        ("emc temp=70 rh=40 wind=3", "there is no key 'wind'"),
        ("emc temp=70 temp=71 rh=40", "temp is given twice"),
        ("emc 70 40", "'70' is not key=value"),
        ("emc temp=400 rh=40", "400 °F cannot be in a house"),
        ("emc temp=21 rh=40", "may be °F or °C"),
        ("emc temp=70 rh=0.4", "write 40 for 40 %"),
        ("emc temp=70 rh=101", "it is 0 to 100"),
        ("emc temp=nan rh=40", "'nan' is not a temperature"),
        ("emc temp=70 rh=inf", "'inf' is not a percentage"),
        ("dew-point temp=70 rh=0", "it is more than 0"),
        ("vapor grams=3 hours=59", "it is 60 or more and at most 72 h"),
        ("vapor grams=-3 hours=72", "'-3' cannot be"),
        ("wood-movement width=5 species=ironwood from=6 to=10", "'ironwood' is not listed"),
        ("wood-movement width=5 species='red oek' from=6 to=10", r"did you mean red oak\?"),
        ("wood-movement width=5 species=hickory cut=quarter from=6 to=10", "only flat is listed"),
        ("wood-movement width=5 species='red oak' from=5 to=10", "from: '5' cannot be: it is 6 or more and at most 14"),
        ("slab-holes area=-3", "'-3' is not an area"),
        ("slab-depth thickness=4/0 sides=1", "divided by 0"),
        ("lift weight=44 h=23 v=15 d=49 per-min=9 hours=8", "beyond what could be read of the table"),
        ("first-row width=1/2 plank=6", "leaves nothing between its gaps"),
        ("first-row width=1 plank=6", "deep, less than the narrowest row"),
        ("cartons area=120 cover=0", "it is more than 0"),
    ],
)
def test_what_cannot_be_answered_is_said(asked: str, says: str) -> None:
    """Which figure, which key, and what would be right."""
    name, *words = shlex.split(asked)
    with pytest.raises(Refused, match=says):
        answer(name, words)


@settings(max_examples=thorough.examples(60, 20))
@given(st.sampled_from(FIGURES), st.lists(st.text(max_size=12), min_size=8, max_size=8))
def test_whatever_is_typed_is_answered_or_refused(figure, texts: list[str]) -> None:
    """Never anything else."""
    words = [f"{key.name}={text}" for key, text in zip(figure.keys, texts, strict=False)]
    try:
        found = answer(figure.name, words)
    except Refused as fault:
        assert fault.sentences  # noqa: PT017 - either is right
    else:
        assert found.name == figure.name
