"""Any drawing as SVG (W3C SVG 1.1): black on white, told by hatches, never by a color. User text is escaped."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final
from xml.sax.saxutils import escape

from crewjobs.drawing.columns import cut_to
from crewjobs.drawing.shapes import Box, Drawing, Fill, Line, Polygon, Shape, Words

SCALE: Final = 4
"""Units of the picture an inch."""
_MARGIN: Final = 4
_NARROW: Final = 0.55
"""A character's width as a share of its height."""
_HATCHED: Final = {
    Fill.WORKED: "dense",
    Fill.CURES: "crossed",
    Fill.PIECE: "cut",
    Fill.CUT: "cut",
    Fill.CUT_ALONE: "cut",
    Fill.CUT_ONWARD: "cut",
    Fill.LATER: "dotted",
    Fill.LAID: "lined",
}
_PATTERNS: Final = (
    '<pattern id="dense" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M0 6L6 0" stroke="#000" stroke-width="1"/></pattern>'
    '<pattern id="crossed" width="8" height="8" patternUnits="userSpaceOnUse"><path d="M0 8L8 0M0 0L8 8" stroke="#000" stroke-width="0.6"/></pattern>'
    '<pattern id="dotted" width="12" height="12" patternUnits="userSpaceOnUse"><circle cx="6" cy="6" r="1"/></pattern>'
    '<pattern id="lined" width="12" height="12" patternUnits="userSpaceOnUse"><path d="M6 0L6 12" stroke="#000" stroke-width="0.8"/></pattern>'
    '<pattern id="cut" width="10" height="10" patternUnits="userSpaceOnUse"><path d="M0 10L10 0" stroke="#999" stroke-width="0.6"/></pattern>'
)


def drawing_svg(drawing: Drawing, title: str) -> str:
    """Return a drawing as the text of an SVG file with a title."""
    scale = max(1, SCALE // drawing.per_inch)
    margin = _MARGIN * SCALE
    width, depth = drawing.width * scale + 2 * margin, drawing.depth * scale + 2 * margin
    shapes = "\n".join(one for shape in drawing.shapes for one in _painted(shape, scale))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{-margin} {-margin} {width} {depth}" '
        f'width="{width}" height="{depth}" font-family="sans-serif">\n'
        f"<title>{escape(title)}</title>\n<defs>{_PATTERNS}</defs>\n"
        f'<rect x="{-margin}" y="{-margin}" width="100%" height="100%" fill="#fff"/>\n{shapes}\n</svg>\n'
    )


def _painted(shape: Shape, scale: int) -> Iterator[str]:
    if isinstance(shape, Line):
        (x, y), (to_x, to_y) = shape.start, shape.end
        wide = 6 if shape.wall else 1.5 if shape.joint else 2
        yield (
            f'<line x1="{x * scale}" y1="{y * scale}" x2="{to_x * scale}" y2="{to_y * scale}" stroke="#000" '
            f'stroke-width="{wide}" stroke-linecap="square"/>'
        )
        return
    if isinstance(shape, Words):
        yield from _words(shape, scale)
        return
    fill = f"url(#{_HATCHED[shape.fill]})" if shape.fill in _HATCHED else "none"
    edge = ' stroke="#000" stroke-width="1.5"' if isinstance(shape, Box) else ""
    points = " ".join(f"{x * scale},{y * scale}" for x, y in _corners(shape))
    if fill != "none" or edge:
        yield f'<polygon points="{points}" fill="{fill}"{edge}/>'


def _corners(shape: Polygon | Box) -> tuple[tuple[int, int], ...]:
    return shape.corners


def _words(shape: Words, scale: int) -> Iterator[str]:
    size = 0.8 * shape.depth * scale
    if size <= 0:  # a row too thin to be written on
        return
    text = cut_to(shape.text, max(0, int(shape.width * scale / (size * _NARROW))))
    if not text:
        return
    x = (shape.x + shape.width / 2) * scale if shape.middle else shape.x * scale
    y = (shape.y + 0.75 * shape.depth) * scale
    anchor = ' text-anchor="middle"' if shape.middle else ""
    yield f'<text x="{x:g}" y="{y:g}" font-size="{size:g}"{anchor}>{escape(text)}</text>'
