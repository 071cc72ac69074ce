"""A measure on paper stays on one line: its first part alone would be read as another measure."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from crewjobs.paper.day_plan_document import day_plan_document
from crewjobs.paper.document import Say
from crewjobs.paper.document_html import document_html
from crewjobs.paper.document_text import document_text
from crewjobs.paper.payload import shower
from crewjobs.paper.text import day_plan_text
from crewjobs.paper.wrap import display_width, wrap
from tests.paper import page_samples, samples

MEASURES = [
    ('cut 1\' 3 ⅜", 7 ⅜" here', "1' 3 ⅜\","),
    ('cut 7 ⅜" here', '7 ⅜"'),
    ('keep 9 3/4" of it', '9 3/4"'),
    ("from 12' 6\" on", "12' 6\""),
    ("lay 52.5 ft² there", "52.5 ft²"),
    ("under 3/16 in in 10 ft of it", "3/16 in"),
    ("waits 4 h 30 min, then", "4 h 30 min,"),
    ("at 40 % of it", "40 %"),
    ("at 65–85 °F there", "65–85 °F"),
]
BROKEN = re.compile(r"[0-9]['\u2032]?\n[ |]*(?:[¼½¾⅓⅔⅛⅜⅝⅞]|[0-9]+/[0-9]+\"|(?:ft²?|in|lb|h|min|%|°F)(?![\w²]))")


@pytest.mark.parametrize(("line", "measure"), MEASURES)
def test_a_measure_is_one_word(line: str, measure: str) -> None:
    """Lines break at plain spaces only; what is no measure keeps its own."""
    words = shower(())(line).split(" ")
    assert measure.replace(" ", "\u00a0") in words
    assert words[0] == line.split(" ")[0]


@pytest.mark.parametrize(("line", "measure"), MEASURES)
def test_a_measure_stands_on_one_line_of_a_text_page(line: str, measure: str) -> None:
    """However many columns there are, by the rule of the PDF; a column too narrow for it breaks it at its spaces."""
    for width in range(display_width(measure), display_width(line) + 1):
        lines = wrap(line, width)
        assert any(measure in one for one in lines)
        assert " ".join(lines) == line
        assert max(map(display_width, lines)) <= width
    assert " ".join(wrap(measure, max(map(display_width, measure.split(" "))))) == measure


@pytest.mark.parametrize(("line", "measure"), MEASURES)
def test_a_phone_breaks_no_measure(line: str, measure: str) -> None:
    """In HTML as in the PDF."""
    page = replace(page_samples.document(page_samples.notice()), blocks=(Say(text=line),))
    html = document_html(page)
    assert measure.replace(" ", "\u00a0").replace('"', "&quot;").replace("'", "&#x27;") in html


def test_no_page_of_text_breaks_a_measure() -> None:
    """Days with a floor to lay, on a phone and on a terminal."""
    plan = samples.laying_day()
    for width in range(30, 79, 3):
        assert not BROKEN.findall(day_plan_text(plan, width))
        assert not BROKEN.findall(document_text(day_plan_document(plan), width))
