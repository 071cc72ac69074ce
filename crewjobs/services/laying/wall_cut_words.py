"""What walls cut from planks, in words: ripped along a wall, notched at a corner, cut at an angle."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from crewjobs.domain.units import INCH, UnitSystem, format_cut
from crewjobs.domain.wording import listed
from crewjobs.engines.laying.fixtures import CutOut, Side, wall_cuts
from crewjobs.engines.laying.model import Layout, Point
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
        words = _angled(cut, layout, wide, units) if cut.slanted else _squarely(cut, wide, whole_length, units)
        told.setdefault(cut.piece, []).append(words)
    return {piece: tuple(dict.fromkeys(words)) for piece, words in told.items()}


def _squarely(cut: CutOut, wide: int, whole_length: bool, units: UnitSystem) -> str:
    edge = "toward the starting wall" if Side.NEAR in cut.open else "away from the starting wall"
    if whole_length:
        return f"ripped to {format_cut(wide - cut.depth, units)}, off the edge {edge}"
    size = f"{format_cut(cut.width, units)} x {format_cut(cut.depth, units)}"
    if not cut.from_left:
        return f"notch {size} at its left end, off the edge {edge}"
    if not cut.from_right:
        return f"notch {size} at its right end, off the edge {edge}"
    return f"notch {size}, {format_cut(cut.from_left, units)} from its left end, off the edge {edge}"


def _angled(cut: CutOut, layout: Layout, wide: int, units: UnitSystem) -> str:
    length, line = layout.pieces[cut.piece].length, cut.line
    if len(line) == 2 and (line[0][0], line[1][0]) == (0, length):
        kept = [y if Side.FAR in cut.open else wide - y for _, y in line]
        edge = "away from the starting wall" if Side.FAR in cut.open else "toward the starting wall"
        left, right = (format_cut(width, units) if width >= FINEST else "nothing" for width in kept)
        return f"ripped at a slant, off the edge {edge}: {left} left at its left end, {right} at its right"
    if len(line) > 1 and not _across(line, wide):
        spots = [_spot_words(point, length, wide, units) for point in line]
        way = f" by way of {listed(spots[1:-1], most=4)}" if len(spots) > 2 else ""
        return f"cut at an angle, from {spots[0]}{way} to {spots[-1]}"
    if cut.from_left and cut.from_right:
        along = format_cut(cut.from_left, units)
        return f"cut at an angle over {format_cut(cut.width, units)}, {along} from its left end"
    near, far = (max(0, length - taken) for taken in cut.edges)
    end = "" if not cut.from_left and not cut.from_right else f" at its {'left' if not cut.from_left else 'right'} end"
    return f"cut at an angle{end}: {_edge(near, units)} along the edge toward the starting wall, {_edge(far, units)} along the other"


def _across(line: Sequence[Point], wide: int) -> bool:
    """Return whether a cut goes straight from one long edge of a piece to the other."""
    return len(line) == 2 and {line[0][1], line[1][1]} == {0, wide}


def _spot_words(point: Point, length: int, wide: int, units: UnitSystem) -> str:
    """Return a point of a cut: how far from the piece's nearer end, and on which edge or how far from the one toward the starting wall."""
    x, y = point
    if min(x, length - x) < FINEST:
        where = "its left end" if x <= length - x else "its right end"
    elif x <= length - x:
        where = f"{format_cut(x, units)} from its left end"
    else:
        where = f"{format_cut(length - x, units)} from its right end"
    if y in (0, wide):
        return f"{where} on the edge {'toward' if y == 0 else 'away from'} the starting wall"
    return f"{where}, {format_cut(y, units)} from the edge toward the starting wall"


def _edge(length: int, units: UnitSystem) -> str:
    return format_cut(length, units) if length >= FINEST else "nothing"
