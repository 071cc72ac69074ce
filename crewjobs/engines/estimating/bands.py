"""What of a floor lies in a band across it: a plain sweep over its corners, for outlines with jogs, slants and what stands in them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor

Ring = tuple[tuple[int, int], ...]
"""Corners as (along the run, across it), 1/4064 inch."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A floor: its outline, what is added to it (doorways), what is left out of it (an island, a hearth).

    Rings added or left out may lie on each other and on the walls.
    """

    outline: Ring
    added: tuple[Ring, ...] = ()
    left_out: tuple[Ring, ...] = ()

    def turned(self) -> Shape:
        """Return it with run and across changed for each other."""
        outline, added, left_out = _turned(self.outline), map(_turned, self.added), map(_turned, self.left_out)
        return Shape(outline=outline, added=tuple(added), left_out=tuple(left_out))

    @property
    def levels(self) -> tuple[int, ...]:
        """Return where across it corners lie, in order."""
        return tuple(sorted({y for ring in (self.outline, *self.added, *self.left_out) for _, y in ring}))

    @property
    def reach(self) -> tuple[int, int]:
        """Return where across it the floor begins and ends."""
        levels = [y for ring in (self.outline, *self.added) for _, y in ring]
        return min(levels), max(levels)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Floor that hangs together within a band: the rectangle around it, run from `start` to `end`, across from `near` to `far`."""

    start: int
    end: int
    near: int
    far: int


@dataclass(frozen=True, slots=True)
class _End:
    """Where an edge passes a slab: its run at the slab's near side, in its middle, at its far side."""

    near: float
    middle: float
    far: float


_Stretch = tuple[_End, _End]


def parts_of(shape: Shape, near: int, far: int) -> tuple[Part, ...]:
    """Return the parts of a floor in a band, in the order of their run."""
    levels = [near, *(level for level in shape.levels if near < level < far), far]
    slabs = [(low, high, stretch) for low, high in pairwise(levels) for stretch in _slab(shape, low, high)]
    group = [*range(len(slabs))]
    for i, (_, high, (left, right)) in enumerate(slabs):
        for j in range(i + 1, len(slabs)):
            low, _, (left2, right2) = slabs[j]
            if low == high and min(right.far, right2.near) > max(left.far, left2.near):
                old, new = group[j], group[i]
                group = [new if one == old else one for one in group]
    found = []
    for name in dict.fromkeys(group):
        own = [slabs[i] for i in range(len(slabs)) if group[i] == name]
        found.append(
            Part(
                start=floor(min(min(left.near, left.far) for _, _, (left, _) in own)),
                end=ceil(max(max(right.near, right.far) for _, _, (_, right) in own)),
                near=min(low for low, _, _ in own),
                far=max(high for _, high, _ in own),
            )
        )
    return tuple(sorted(found, key=lambda part: (part.start, part.near)))


def floor_beside(shape: Shape, level: int, side: int) -> list[tuple[float, float]]:
    """Return the stretches of floor along a line across, just before it (`side` -1) or just behind it (1)."""
    levels = shape.levels
    if side < 0:
        low = max((one for one in levels if one < level), default=None)
        return [] if low is None else [(left.far, right.far) for left, right in _slab(shape, low, level)]
    high = min((one for one in levels if one > level), default=None)
    return [] if high is None else [(left.near, right.near) for left, right in _slab(shape, level, high)]


def shared(one: Iterable[tuple[float, float]], other: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the stretches that lie in both."""
    both = [(max(a, c), min(b, d)) for a, b in one for c, d in other]
    return [(start, end) for start, end in both if end > start]


def length_of(stretches: Iterable[tuple[float, float]]) -> int:
    """Return how long stretches are together."""
    return round(sum(end - start for start, end in stretches))


def _slab(shape: Shape, low: int, high: int) -> list[_Stretch]:
    """Return the stretches of floor in a slab in which no corner lies."""
    found = _met(shape.outline, low, high)
    for ring in shape.added:
        found = _joined([*found, *_met(ring, low, high)])
    for ring in shape.left_out:
        for left, right in _met(ring, low, high):
            found = [
                piece
                for start, end in found
                for piece in _without(start, end, left, right)
                if piece[1].middle > piece[0].middle
            ]
    return found


def _met(ring: Ring, low: int, high: int) -> list[_Stretch]:
    ends = []
    middle = (low + high) / 2
    for (x1, y1), (x2, y2) in pairwise((*ring, ring[0])):
        if min(y1, y2) < middle < max(y1, y2):
            slope = (x2 - x1) / (y2 - y1)
            ends.append(_End(x1 + slope * (low - y1), x1 + slope * (middle - y1), x1 + slope * (high - y1)))
    ends.sort(key=lambda end: end.middle)
    return [*zip(ends[::2], ends[1::2], strict=True)]


def _joined(stretches: list[_Stretch]) -> list[_Stretch]:
    found: list[_Stretch] = []
    for left, right in sorted(stretches, key=lambda one: one[0].middle):
        if found and left.middle <= found[-1][1].middle:
            if right.middle > found[-1][1].middle:
                found[-1] = found[-1][0], right
        else:
            found.append((left, right))
    return found


def _without(start: _End, end: _End, left: _End, right: _End) -> list[_Stretch]:
    if right.middle <= start.middle or left.middle >= end.middle:
        return [(start, end)]
    return [(start, left), (right, end)]


def _turned(ring: Ring) -> Ring:
    return tuple((y, x) for x, y in ring)
