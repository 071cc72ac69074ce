"""A drawn house for the page template: its shapes in points, words cut to the boxes kept for them."""

from __future__ import annotations

from collections.abc import Callable

from crewjobs.drawing.columns import cut_to
from crewjobs.drawing.shapes import Box, Drawing, Fill, Line, Polygon, Says, Shape, Words
from crewjobs.paper import wording as say

Json = dict[str, "Json"] | list["Json"] | str | float | bool | None
WIDEST, DEEPEST = 322.0, 220.0
"""Points there are for a drawing beside what is carried."""
WHOLE_WIDTH, WHOLE_DEPTH = 500.0, 330.0
"""Points there are for a drawing by itself: rows deep enough that the numbers in them are read at arm's length."""
_LARGEST = 1.3
"""Points an inch at most: a single small room does not fill the page."""
_SMALLEST_TYPE, _LARGEST_TYPE, _OF_A_LINE = 5.0, 9.0, 0.84
_HALF = 0.5
"""A character's width in the narrow types here is about half its size."""
_NAMES = {
    Fill.WORKED: "worked",
    Fill.CURES: "cures",
    Fill.LAID: "laid",
    Fill.LATER: "later",
    Fill.KEPT: "kept",
    Fill.PASSED: "passed",
    Fill.UNUSED: "unused",
    Fill.WAY: "way",
    Fill.PIECE: "piece",
    Fill.WHOLE: "whole",
    Fill.CUT: "cut",
    Fill.CUT_ALONE: "cut",
    Fill.CUT_ONWARD: "cut",
}
_PLANKS = frozenset({Fill.WHOLE, Fill.CUT, Fill.CUT_ALONE, Fill.CUT_ONWARD, Fill.LAID, Fill.LATER})
"""What a box is where it is a plank and not a piece of furniture."""


def drawn_payload(
    drawing: Drawing,
    carried: frozenset[str],
    show: Callable[[str], str],
    *,
    widest: float = WIDEST,
    deepest: float = DEEPEST,
) -> dict[str, Json]:
    """Return a drawing for the template.

    Args:
        drawing: the house.
        carried: letters of what is carried in this stage: their edges are heavy.
        show: replaces what cannot be printed.
        widest: points it may be wide.
        deepest: points it may be deep.
    """
    scale = min(widest / drawing.width, deepest / drawing.depth, _LARGEST / drawing.per_inch)
    size = min(_LARGEST_TYPE, max(_SMALLEST_TYPE, drawing.line * scale * _OF_A_LINE))
    moved = {_at(word) for word in drawing.shapes if isinstance(word, Words) and word.text in carried}
    shapes: list[Json] = [_shape(shape, scale, size, moved, show) for shape in drawing.shapes]
    key: list[Json] = [{"fill": _NAMES[fill], "text": fill.value} for fill in drawing.fills if fill is not Fill.PIECE]
    return {
        "width": drawing.width * scale,
        "depth": drawing.depth * scale,
        "size": size,
        "shapes": shapes,
        "key": key,
    }


def _at(shape: Box | Words) -> tuple[int, int, int, int]:
    return shape.x, shape.y, shape.width, shape.depth


def _shape(
    shape: Shape, scale: float, size: float, moved: set[tuple[int, int, int, int]], show: Callable[[str], str]
) -> Json:
    if isinstance(shape, Polygon):
        corners: list[Json] = [[x * scale, y * scale] for x, y in shape.corners]
        return {"kind": "floor", "fill": _NAMES[shape.fill], "corners": corners}
    if isinstance(shape, Line):
        (x, y), (to_x, to_y) = shape.start, shape.end
        ends: list[Json] = [x * scale, y * scale, to_x * scale, to_y * scale]
        return {"kind": "wall" if shape.wall else "joint" if shape.joint else "cut", "ends": ends}
    place: dict[str, Json] = {
        "x": shape.x * scale,
        "y": shape.y * scale,
        "width": shape.width * scale,
        "depth": shape.depth * scale,
    }
    if isinstance(shape, Box):
        if shape.fill in _PLANKS:
            return place | {"kind": "plank", "fill": _NAMES[shape.fill]}
        kind = "piece" if shape.fill is Fill.PIECE else "way"
        return place | {"kind": kind, "heavy": _at(shape) in moved}
    text = say.visible(shape.text)
    if shape.says is not Says.LETTERS:
        lines = max(1, round(shape.depth * scale / size)) if shape.says is Says.NOTE else 1
        text = cut_to(text, max(1, int(lines * shape.width * scale / (size * _HALF))))
    return place | {"kind": "words", "says": shape.says.value, "text": show(text), "middle": shape.middle}
