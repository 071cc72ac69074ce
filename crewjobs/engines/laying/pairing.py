"""Which pieces come from one plank: with a click profile one start and one end piece, and pieces from wall to wall between.

The end that leaves least takes the shortest start, if that fits; no pairing has more pairs, since what one end can go with
any shorter end can go with, too. Of all pairings with so many pairs the one is kept whose smallest rest is largest: the
shortest starts go with the shortest ends, the longest of the ones with the shortest of the others. A piece from wall to wall
plays either part, or goes along with another piece.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from crewjobs.engines.laying.model import Kind, Offcut, Product, Profile


class Cut(NamedTuple):
    """A piece to be cut: its run, kind and length (1/4064 inch)."""

    run: int
    kind: Kind
    length: int


class Part(NamedTuple):
    """What a piece from wall to wall does in the pairing: it stands for a start or an end, or goes with another run's piece."""

    kind: Kind
    beside: int | None = None


class Bin:
    """A plank being filled; `room` is what another piece with its cut may still take."""

    __slots__ = ("cuts", "has_end", "has_start", "offcut", "room")

    def __init__(self, room: int, *, offcut: int | None = None, has_start: bool = False, has_end: bool = False) -> None:
        self.cuts: list[Cut] = []
        self.room = room
        self.offcut = offcut
        self.has_start, self.has_end = has_start, has_end

    def put(self, cut: Cut, kerf: int) -> None:
        """Take a piece."""
        self.cuts.append(cut)
        self.room -= cut.length + kerf
        self.has_start |= cut.kind is Kind.START
        self.has_end |= cut.kind is Kind.END

    def takes(self, cut: Cut, kerf: int, profile: Profile) -> bool:
        """Return whether a piece still comes from it."""
        if cut.length + kerf > self.room:
            return False
        if profile is Profile.NONE:
            return True
        return not (cut.kind is Kind.START and self.has_start) and not (cut.kind is Kind.END and self.has_end)


def pack(
    product: Product, cuts: Sequence[Cut], offcuts: Sequence[Offcut] = (), parts: Mapping[int, Part] | None = None
) -> list[Bin]:
    """Return the planks and offcuts the pieces come from, as few new planks as this finds.

    `parts` says what pieces from wall to wall do, by run. With a click profile and no more than two pieces to a plank nothing
    is better than the pairing with the right parts; where short pieces go between, and with square ends, other ways are tried.
    """
    ways = [_paired(product, cuts, offcuts, parts or {})]
    if parts is None or product.profile is Profile.NONE:
        ways.append(_best_fit(product, cuts, offcuts))
    return min(ways, key=opened)


def opened(bins: Sequence[Bin]) -> int:
    """Return how many new planks are opened."""
    return sum(one.offcut is None for one in bins)


def _at_hand(product: Product, offcuts: Sequence[Offcut]) -> list[Bin]:
    """Return the offcuts as bins: one with a right factory end is a plank whose end piece is gone."""
    square = product.profile is Profile.NONE
    return [
        Bin(
            one.length + product.kerf,
            offcut=number,
            has_start=not square and not one.starts,
            has_end=not square and one.starts,
        )
        for number, one in enumerate(offcuts)
    ]


def _grouped(cuts: Sequence[Cut], parts: Mapping[int, Part]) -> tuple[list[list[Cut]], list[list[Cut]], list[Cut]]:
    """Return start groups, end groups (pieces that go together), and the pieces without a part."""
    groups: dict[tuple[int, Kind], list[Cut]] = {
        (cut.run, cut.kind): [cut] for cut in cuts if cut.kind is not Kind.SINGLE
    }
    loose = []
    singles = [cut for cut in cuts if cut.kind is Kind.SINGLE]
    for cut in singles:
        part = parts.get(cut.run)
        if part is None:
            loose.append(cut)
        elif part.beside is None:
            groups[cut.run, part.kind] = [cut]
    for cut in singles:
        part = parts.get(cut.run)
        if part is not None and part.beside is not None:
            groups[part.beside, part.kind].append(cut)
    starts = [group for (_, kind), group in groups.items() if kind is Kind.START]
    ends = [group for (_, kind), group in groups.items() if kind is Kind.END]
    return starts, ends, loose


def _paired(product: Product, cuts: Sequence[Cut], offcuts: Sequence[Offcut], parts: Mapping[int, Part]) -> list[Bin]:
    """Pair end groups with start groups; pieces without a part go where the least is left over."""
    kerf, profile = product.kerf, product.profile

    def long(group: list[Cut]) -> int:
        return sum(cut.length + kerf for cut in group)

    starts, ends, loose = _grouped(cuts, parts)
    bins = _at_hand(product, offcuts)
    ending = sorted((one for one in bins if one.has_start), key=lambda one: one.room)
    holding = [one for one in bins if not one.has_start]
    for group in sorted(ends, key=long, reverse=True):
        one = next((b for b in ending if not b.cuts and b.room >= long(group)), None)
        if one is None:
            one = Bin(product.length + kerf)
            bins.append(one)
            holding.append(one)
        for cut in group:
            one.put(cut, kerf)
    holding.sort(key=lambda one: one.room)
    starts.sort(key=long)
    pairs = 0
    for one in holding:  # the least room first takes the shortest start, if any
        pairs += pairs < len(starts) and long(starts[pairs]) <= one.room
    # with so many pairs the shortest starts and the roomiest planks leave the most to spare where that is least
    for one, group in zip(holding[len(holding) - pairs :], starts, strict=False):
        for cut in group:
            one.put(cut, kerf)
    for group in starts[pairs:]:
        one = Bin(product.length + kerf)
        bins.append(one)
        for cut in group:
            one.put(cut, kerf)
    return _fill(bins, sorted(loose, key=lambda cut: -cut.length), product.length, kerf, profile)


def _fill(bins: list[Bin], cuts: Sequence[Cut], length: int, kerf: int, profile: Profile) -> list[Bin]:
    """Put pieces one by one where the least is left over, else into new planks; return what holds any."""
    for cut in cuts:
        fits = [b for b in bins if b.takes(cut, kerf, profile)]
        one = min(fits, key=lambda b: b.room, default=None)
        if one is None:
            bins.append(one := Bin(length + kerf))
        one.put(cut, kerf)
    return [one for one in bins if one.cuts]


def _best_fit(product: Product, cuts: Sequence[Cut], offcuts: Sequence[Offcut]) -> list[Bin]:
    """Put all pieces, longest first, where the least is left over."""
    ordered = sorted(cuts, key=lambda cut: -cut.length)
    return _fill(_at_hand(product, offcuts), ordered, product.length, product.kerf, product.profile)
