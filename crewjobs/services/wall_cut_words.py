"""What walls cut from planks, in words: ripped along a wall, notched at a corner, cut at an angle."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from crewjobs.domain.units import INCH, UnitSystem, format_length
from crewjobs.engines.laying.fixtures import CutOut, Side, wall_cuts
from crewjobs.engines.laying.model import Layout
from crewjobs.engines.take_off.floors import HouseFloor

FINEST: Final = INCH // 8
"""What is cut less wide or deep than this is not told: it is fitted as it is laid."""


def wall_cut_words(house: HouseFloor, layout: Layout, field: int, units: UnitSystem) -> Mapping[int, tuple[str, ...]]:
    """Return by piece what is cut from it where it meets a wall, a jog or what stands in the room; lengths by the shop's units."""
    rows = house.floor.fields[field]
    told: dict[int, list[str]] = {}
    for cut in wall_cuts(house.floor, layout):
        if cut.field != field or min(cut.width, cut.depth) < FINEST:
            continue
        wide = rows.rips.widths[cut.row]
        whole_length = not cut.from_left and not cut.from_right
        if whole_length and not cut.slanted and wide - cut.depth == rows.along_wall(cut.row):
            continue  # the row is told as ripped along its wall
        words = _angled(cut, layout, units) if cut.slanted else _squarely(cut, wide, whole_length, units)
        told.setdefault(cut.piece, []).append(words)
    return {piece: tuple(dict.fromkeys(words)) for piece, words in told.items()}


def _squarely(cut: CutOut, wide: int, whole_length: bool, units: UnitSystem) -> str:
    edge = "toward the starting wall" if Side.NEAR in cut.open else "away from the starting wall"
    if whole_length:
        return f"ripped to {format_length(wide - cut.depth, units)}, off the edge {edge}"
    size = f"{format_length(cut.width, units)} x {format_length(cut.depth, units)}"
    if not cut.from_left:
        return f"notch {size} at its left end, off the edge {edge}"
    if not cut.from_right:
        return f"notch {size} at its right end, off the edge {edge}"
    return f"notch {size}, {format_length(cut.from_left, units)} from its left end, off the edge {edge}"


def _angled(cut: CutOut, layout: Layout, units: UnitSystem) -> str:
    length = layout.pieces[cut.piece].length
    if cut.from_left and cut.from_right:
        along = format_length(cut.from_left, units)
        return f"cut at an angle over {format_length(cut.width, units)}, {along} from its left end"
    near, far = (max(0, length - taken) for taken in cut.edges)
    end = "" if not cut.from_left and not cut.from_right else f" at its {'left' if not cut.from_left else 'right'} end"
    return f"cut at an angle{end}: {_edge(near, units)} along the edge toward the starting wall, {_edge(far, units)} along the other"


def _edge(length: int, units: UnitSystem) -> str:
    return format_length(length, units) if length >= FINEST else "nothing"
