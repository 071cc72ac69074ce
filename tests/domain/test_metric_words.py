"""Sentences of the program's own told in metric: what is converted, how it is rounded, and what is left alone."""

from __future__ import annotations

import pytest

from crewjobs.domain.metric_words import told_in
from crewjobs.domain.units import format_cut, parse_length
from crewjobs.files.catalogue import read_catalogue

TOLD = {
    "3 in over at every wall": "75 mm over at every wall",  # 76.2
    "every 4 to 6 in in the field": "every 100 to 150 mm in the field",  # 101.6 and 152.4
    "3/16 in in 10 ft": "5 mm in 3 m",  # 4.76 and 3.05
    "1/16 in square notch": "1.5 mm square notch",  # 1.59
    "200 ft² a gallon": "4.9 m² a litre",  # 18.58 m² of 3.785 l
    "0.45 ft³ a bag of 50 lb": "13 l a bag of 23 kg",  # 12.7 and 22.7
    "at 65-85 °F, 5 °F warmer": "at 18-29 °C, 2.8 °C warmer",
    "air of 70.7 °F": "air of 21.5 °C",
    "3 lb per 1000 ft² in 24 h": "15 g/m² in 24 h",  # 14.6
    'joints 8" apart, the floor 7\' 3 1/2" deep': "joints 203 mm apart, the floor 2.222 m deep",
    "about 130 a sheet, 1000 in a box, 2 in reserve": "about 130 a sheet, 1000 in a box, 2 in reserve",
    "IPC 405.4 in secondary texts": "IPC 405.4 in secondary texts",
    "'12 ft hall' is no room": "'12 ft hall' is no room",
}


@pytest.mark.parametrize(("ours", "metric"), TOLD.items())
def test_a_sentence_in_metric(ours: str, metric: str) -> None:
    """Rough measures stay rough, a tape's lengths keep their millimetre, counts and quoted text stay; arithmetic beside."""
    assert told_in(ours, "metric") == metric
    assert told_in(ours, "us") == ours


def test_names_stay_as_typed() -> None:
    """A room called by a measure keeps its name."""
    assert told_in("8 in shelf room: 3 in over", "metric", ["8 in shelf room"]) == "8 in shelf room: 75 mm over"


def test_what_is_cut_is_in_whole_millimetres() -> None:
    """However long: a cut list never mixes metres and millimetres; in feet and inches it is as any length."""
    assert [format_cut(parse_length(text), "metric") for text in ("3.81 m", "813 mm", "48 in")] == [
        "3810 mm", "813 mm", "1219 mm",
    ]  # fmt: skip
    assert format_cut(parse_length("48 in")) == "4'"


def test_the_catalogue_of_a_metric_shop() -> None:
    """Titles, notes and cautions are told in metric; keys, loads and sources are the same."""
    ours, metric = read_catalogue(), read_catalogue((), "metric")
    for one, other in zip(ours.templates, metric.templates, strict=True):
        assert (one.key, one.load, one.source, one.rate) == (other.key, other.load, other.source, other.rate)
    assert any("100 lb" in one.title for one in ours.templates)
    assert not any("lb" in one.title.split() for one in metric.templates)
    assert "0.93 m² and more" in " ".join(caution.text for caution in metric.cautions)
