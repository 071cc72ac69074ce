"""Drawings as SVG: well-formed, every shape at its place, and user text as text."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

from crewjobs.drawing.shapes import Box, Drawing, Fill, Line, Polygon, Says, Tile, Words
from crewjobs.drawing.svg import SCALE, drawing_svg

NS = "{http://www.w3.org/2000/svg}"


def _drawing(text: str) -> Drawing:
    return Drawing(
        width=100, depth=60, line=5, tiles=(Tile(name="den", x=0, y=0, width=100, depth=60, inner=(0, 0, 100, 60)),),
        shapes=(
            Polygon(tile=0, corners=((0, 0), (100, 0), (100, 60), (0, 60)), fill=Fill.WORKED),
            Box(tile=0, x=10, y=10, width=30, depth=7, fill=Fill.PIECE),
            Words(tile=0, text=text, says=Says.LETTER, x=10, y=10, width=30, depth=7, middle=True),
            Line(tile=0, start=(0, 0), end=(100, 0), wall=True),
        ),
    )  # fmt: skip


def test_a_drawing_is_an_svg_of_its_shapes() -> None:
    """A polygon, a box, a line and words: each is there at its place, in the picture's own units."""
    root = ElementTree.fromstring(drawing_svg(_drawing("12"), "Den"))
    polygons = root.findall(f"{NS}polygon")
    assert [one.get("points") for one in polygons] == [
        " ".join(f"{x * SCALE},{y * SCALE}" for x, y in corners)
        for corners in (((0, 0), (100, 0), (100, 60), (0, 60)), ((10, 10), (40, 10), (40, 17), (10, 17)))
    ]
    (line,) = root.findall(f"{NS}line")
    assert (line.get("x2"), line.get("y2")) == (str(100 * SCALE), "0")
    (text,) = root.findall(f"{NS}text")
    assert text.text == "12"


def test_text_is_never_markup() -> None:
    """A title and a name with signs of markup stand there as typed."""
    root = ElementTree.fromstring(drawing_svg(_drawing("<b>&1"), "A & <script>"))
    assert root.findtext(f"{NS}title") == "A & <script>"
    assert root.findtext(f"{NS}text") == "<b>&1"
    assert not root.findall(f".//{NS}b")


def test_what_is_too_thin_to_be_written_on_has_no_words() -> None:
    """A row of a quarter inch is drawn without its numbers."""
    thin = replace(
        _drawing("12"), shapes=(Words(tile=0, text="12", says=Says.LETTER, x=0, y=0, width=30, depth=0, middle=True),)
    )
    assert ElementTree.fromstring(drawing_svg(thin, "Den")).findall(f"{NS}text") == []
