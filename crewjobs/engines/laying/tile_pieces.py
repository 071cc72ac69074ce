"""Which two cut pieces of tiles come from one tile, with the fewest tiles for all of them.

A piece is taken as the rectangle around it. Two lie side by side in a tile along its length, or along its width; a piece cut in both
directions may go either way, so that every way to share such pieces out is looked at, or, where they are many, ways are changed
one piece at a time. A piece that one wall cuts at 45 degrees is a cap of the tile: two of them lie at opposite corners.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from itertools import product
from math import prod
from typing import Final, NamedTuple

MOST_WAYS: Final = 256
"""So many ways to share out pieces that are cut in both directions are all looked at."""

Pairs = list[tuple[int, int]]


class Corner(IntEnum):
    """The corner of the tile that a cap is, in the frame of the grid: near left, near right, far left, far right."""

    NEAR_LEFT = 0
    NEAR_RIGHT = 1
    FAR_LEFT = 2
    FAR_RIGHT = 3

    @property
    def opposite(self) -> Corner:
        """Return the corner across the tile."""
        return Corner(3 - self)


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPiece:
    """A cut piece: its extent along the tile's length and width (1/4064 inch), and at which of its sides it is cut."""

    wide: int
    deep: int
    left: bool
    right: bool
    low: bool
    high: bool


class Cap(NamedTuple):
    """A piece cut at 45 degrees by one wall: how deep it is along the tile's diagonal (1/4064 inch), and which corner it is."""

    depth: int
    corner: Corner


class _Side(NamedTuple):
    """A piece in one direction: its number, extent there, and the two sides at which it is cut."""

    number: int
    size: int
    first: bool
    last: bool


def side_by_side(pieces: Sequence[CutPiece], length: int, width: int, kerf: int, *, click: bool) -> Pairs:
    """Return the most pairs of pieces (by their number) that come from one tile each.

    With `click` the cut edges stand at walls, so that one of two is cut at the left and the other at the right (or one low, one
    high), and tiles are not turned. A piece as large as the tile in one direction has no other beside it there.
    """
    along = [_Side(n, piece.wide, piece.left, piece.right) for n, piece in enumerate(pieces)]
    across = [_Side(n, piece.deep, piece.low, piece.high) for n, piece in enumerate(pieces)]
    only_along = [n for n, one in enumerate(pieces) if one.wide < length and one.deep >= width]
    only_across = [n for n, one in enumerate(pieces) if one.deep < width and one.wide >= length]
    groups = dict[CutPiece, list[int]]()
    for n, piece in enumerate(pieces):
        if piece.wide < length and piece.deep < width:
            groups.setdefault(piece, []).append(n)

    def paired(counts: Sequence[int]) -> Pairs:
        """Return the pairs with so many of each group laid along the length."""
        first, last = [*only_along], [*only_across]
        for count, group in zip(counts, groups.values(), strict=True):
            first += group[:count]
            last += group[count:]
        return [
            *_pairs([along[n] for n in first], length, kerf, click=click),
            *_pairs([across[n] for n in last], width, kerf, click=click),
        ]

    sizes = [len(group) for group in groups.values()]
    if prod(size + 1 for size in sizes) <= MOST_WAYS:
        return max((paired(counts) for counts in product(*(range(size + 1) for size in sizes))), key=len)
    counts, best = [*sizes], paired(sizes)
    for group, size in enumerate(sizes):
        for count in range(size):
            tried = [*counts[:group], count, *counts[group + 1 :]]
            pairs = paired(tried)
            if len(pairs) > len(best):
                counts, best = tried, pairs
    return best


def cap_pairs(caps: Sequence[Cap], diagonal: float, kerf: int, *, click: bool) -> Pairs:
    """Return the most pairs of caps (by their number) that lie at opposite corners of one tile, a saw's cut between them.

    Square tiles without a profile are turned as needed; with `click` a cap stays the corner that it is.
    """
    if not click:
        sides = [_Side(n, cap.depth, first=True, last=False) for n, cap in enumerate(caps)]
        return _pairs(sides, diagonal, kerf, click=False)
    found: Pairs = []
    for corner in (Corner.NEAR_LEFT, Corner.NEAR_RIGHT):
        sides = [
            _Side(n, cap.depth, cap.corner is corner, cap.corner is corner.opposite)
            for n, cap in enumerate(caps)
            if cap.corner in (corner, corner.opposite)
        ]
        found += _pairs(sides, diagonal, kerf, click=True)
    return found


def _pairs(pieces: Sequence[_Side], full: float, kerf: int, *, click: bool) -> Pairs:
    """Return the most pairs that fit one after the other: the longest with the shortest that is left."""
    if click:
        ones = sorted((one for one in pieces if one.first and not one.last), key=lambda one: -one.size)
        others = sorted((one for one in pieces if one.last and not one.first), key=lambda one: one.size)
        found: Pairs = []
        for one in ones:
            if len(found) < len(others) and one.size + others[len(found)].size + kerf <= full:
                found.append((one.number, others[len(found)].number))
        return found
    order = sorted(pieces, key=lambda one: one.size)
    low, high, found = 0, len(order) - 1, []
    while low < high:
        if order[low].size + order[high].size + kerf <= full:
            found.append((order[low].number, order[high].number))
            low += 1
        high -= 1
    return found
