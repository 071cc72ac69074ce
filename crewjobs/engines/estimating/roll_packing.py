"""Lengths cut off a roll: pieces side by side and one behind the other, never turned, so that the fewest feet are taken.

Straight cuts only, each right through: the roll is cut across into lengths, a length along into columns, a column across into
pieces (guillotine cuts in three stages). A pattern begins anew every `repeat`: every piece begins at the place of the pattern its
floor asks for, and a piece with a seam keeps the roll's own edge there, because only the edges match side by side.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

LEFT, RIGHT, BOTH = "left", "right", "both"
EFFORT: Final = 3000
"""Places tried for a piece before the best found so far stands."""
MOST_BESIDE: Final = 400
"""Pieces that something may lie beside; what is more has its length for itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A piece as it comes off the roll: how wide and how long (1/4064 inch).

    `pattern` is how far behind the pattern's beginning it starts, `left` and `right` say that it needs that edge of the roll.
    """

    width: int
    length: int
    pattern: int = 0
    left: bool = False
    right: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Packed:
    """Where every piece lies on the roll, in the order given: from its beginning, and from its left edge.

    `length` is what is taken off the roll, `least` what no way of cutting these pieces takes less than.
    """

    places: tuple[tuple[int, int], ...]
    length: int
    least: int


@dataclass(slots=True)
class _Column:
    """Pieces one behind the other: each by its number with where it begins in its length; `edge` of the roll it keeps to."""

    width: int
    end: int
    edge: str
    pieces: list[tuple[int, int]]


_Length = list[_Column]
"""Columns beside each other."""


def least_length(cuts: Sequence[Cut], roll: int, repeat: int = 0) -> int:
    """Return a length no way of cutting goes below.

    For every width t up to half the roll: pieces wider than the rest of the roll beside t lie beside nothing as wide as t, so
    their lengths add up, and to them what the pieces from t on take by area, by the longest, and by those over half the roll.
    """
    best = 0
    for t in {0, *(cut.width for cut in cuts if 2 * cut.width <= roll)}:
        alone = [cut for cut in cuts if cut.width > roll - t]
        others = [cut for cut in cuts if t <= cut.width <= roll - t]
        wide = [cut for cut in others if 2 * cut.width > roll]
        longest = sorted(others, key=lambda cut: -cut.length)[:1]
        area = -(-sum(cut.width * cut.length for cut in others) // roll)
        behind = max(_behind([*alone, *those], repeat) for those in (wide, longest))
        best = max(best, behind, sum(cut.length for cut in alone) + area)
    return best


def _behind(cuts: Sequence[Cut], repeat: int) -> int:
    """Return what pieces take of which none lies beside another: whole repeats for all but one that begin alike."""
    rests = [-cut.length % repeat for cut in cuts] if repeat and len({cut.pattern for cut in cuts}) == 1 else [0]
    return sum(cut.length for cut in cuts) + sum(rests) - max(rests)


def packed(cuts: Sequence[Cut], roll: int, repeat: int = 0, *, effort: int = EFFORT) -> Packed:
    """Return pieces placed on a roll of a width; with an `effort` of 0 each goes where it first fits, longest first.

    Raises:
        ValueError: a piece is wider than the roll.
    """
    if any(cut.width > roll for cut in cuts):
        raise ValueError("a piece is wider than the roll")
    search = _Search(cuts, roll, repeat, effort)
    search.run()
    return search.told()


class _Search:
    """Places pieces one after the other, longest first: in a column, beside one, or as a new length; goes back where it must."""

    def __init__(self, cuts: Sequence[Cut], roll: int, repeat: int, effort: int) -> None:
        self._cuts, self._roll, self._repeat, self._effort = cuts, roll, repeat, effort
        order = sorted(range(len(cuts)), key=lambda i: (-cuts[i].length, -cuts[i].width, i))
        narrowest = min((cut.width for cut in cuts), default=0)
        beside = [i for i in order if cuts[i].width + narrowest <= roll]  # beside the others nothing lies
        self._order = beside[:MOST_BESIDE]
        self._lengths: list[_Length] = [
            [self._column(i, self._edge(cuts[i]))] for i in order if i not in set(self._order)
        ]
        self._alone = len(self._lengths)
        self._least = least_length(cuts, roll, repeat)
        self._best: int | None = None
        self._kept: list[list[tuple[str, list[tuple[int, int]]]]] = []

    def run(self) -> None:
        """Look until no place is left to try, the bound is met or the effort is spent."""
        self._place(0)

    def told(self) -> Packed:
        """Return where every piece lies in the best way found."""
        places = [(0, 0)] * len(self._cuts)
        at = end = 0
        for columns in self._kept:
            left = 0
            for edge, pieces in columns:
                width = max(self._cuts[i].width for i, _ in pieces)
                for i, start in pieces:
                    places[i] = at + start, self._roll - self._cuts[i].width if edge == RIGHT else left
                    end = max(end, at + start + self._cuts[i].length)
                left += width
            at = self._up(end)
        return Packed(places=tuple(places), length=end, least=self._least)

    def _up(self, at: int) -> int:
        """Return the end of the repeat a place lies in."""
        return -(-at // self._repeat) * self._repeat if self._repeat else at

    def _start(self, at: int, cut: Cut) -> int:
        """Return where a piece begins at or behind a place, by its pattern."""
        return at + (cut.pattern - at) % self._repeat if self._repeat else at

    def _edge(self, cut: Cut) -> str:
        if not self._repeat or not (cut.left or cut.right):
            return ""
        return BOTH if cut.left and cut.right else LEFT if cut.left else RIGHT

    def _total(self) -> int:
        """Return what is taken off the roll: whole repeats for every length but the last, which is the one that saves most."""
        ends = [max(column.end for column in one) for one in self._lengths]
        ups = [self._up(end) for end in ends]
        return sum(ups) - max((up - end for up, end in zip(ups, ends, strict=True)), default=0)

    def _place(self, number: int) -> None:
        total = self._total()
        if self._best is not None and total >= self._best:
            return
        if number == len(self._order):
            self._keep(total)
            return
        for _ in self._tries(self._order[number]):
            self._effort -= 1
            self._place(number + 1)
            if self._best is not None and (self._effort < 0 or self._best <= self._least):
                return

    def _tries(self, i: int) -> Iterator[None]:
        """Put a piece where it may lie, one place after the other; each is taken back when the next is asked for."""
        cut, edge = self._cuts[i], self._edge(self._cuts[i])
        for length in self._lengths[self._alone :]:
            end = max(column.end for column in length)
            spare = self._roll - sum(column.width for column in length)
            for column in length:
                start = self._start(column.end, cut)
                wider = max(0, cut.width - column.width)
                fits = start + cut.length <= end and wider <= spare
                if fits and self._may(length, edge, column):
                    before = column.width, column.end, column.edge
                    column.width, column.end, column.edge = (
                        column.width + wider,
                        start + cut.length,
                        edge or column.edge,
                    )
                    column.pieces.append((i, start))
                    yield
                    column.pieces.pop()
                    column.width, column.end, column.edge = before
            if cut.width <= spare and self._may(length, edge, None):
                length.append(self._column(i, edge))
                yield
                length.pop()
        self._lengths.append([self._column(i, edge)])
        yield
        self._lengths.pop()

    def _column(self, i: int, edge: str) -> _Column:
        start = self._start(0, self._cuts[i])
        return _Column(self._cuts[i].width, start + self._cuts[i].length, edge, [(i, start)])

    def _may(self, length: _Length, edge: str, column: _Column | None) -> bool:
        """Return whether a piece may keep to its edge of the roll in a column of a length, or in a new one."""
        if not edge:
            return True
        if column is not None and column.edge:
            return column.edge == edge
        return edge != BOTH and all(one.edge != edge for one in length)

    def _keep(self, total: int) -> None:
        self._best = total
        saves = [self._up(end) - end for end in (max(column.end for column in one) for one in self._lengths)]
        last = max(range(len(saves)), key=lambda n: (saves[n], n), default=0)
        order = [*(n for n in range(len(saves)) if n != last), *([last] if saves else [])]
        place = {LEFT: 0, BOTH: 0, "": 1, RIGHT: 2}
        self._kept = [
            [(one.edge, [*one.pieces]) for one in sorted(self._lengths[n], key=lambda one: place[one.edge])]
            for n in order
        ]
