"""Which stick of base or shoe is cut for which walls, with the fewest sticks.

A stretch longer than a stick is spliced: whole sticks, and the rest as one piece. Spliced elsewhere, its pieces might fill what other
sticks leave, so that fewer are proved impossible only where all lengths together need as many. The pieces are then packed into
sticks: the largest first, each into the fullest stick that still takes it; where the bound says there may be fewer, the solver looks.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

from crewjobs.domain.units import INCH
from crewjobs.engines.scheduling.solver import available, library
from crewjobs.engines.take_off.walls import End, Stretch

KERF: Final = INCH // 8
"""What the saw takes with every cut."""
MITRE: Final = 3 * INCH // 4
"""What a piece is longer by at an outside corner or a scarf: the base's thickness and a little; common practice, no source."""
SHORTEST_SPLICE: Final = 16 * INCH
"""No piece of a spliced stretch is shorter, so that it holds on a stud at each end; common practice, no source."""
EFFORT: Final = 4.0
"""The solver's deterministic time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A piece of base: the stretch it is for, which part of it (counted from 1 of `of`), and how long it is cut."""

    stretch: Stretch
    part: int
    of: int
    length: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Sticks:
    """Sticks of one length with the pieces cut from each, longest first; `proved`: no fewer will do, wherever walls are spliced."""

    stick: int
    cut: tuple[tuple[Piece, ...], ...]
    proved: bool

    @property
    def left(self) -> tuple[int, ...]:
        """Return what is left of each stick."""
        return tuple(self.stick - sum(piece.length + KERF for piece in pieces) + KERF for pieces in self.cut)


def pieces_of(stretches: Sequence[Stretch], stick: int, scarf: int = MITRE) -> tuple[Piece, ...]:
    """Return the pieces that stretches are made of, from sticks of one length; `scarf` is what a splice takes (1/4064 inch)."""
    found = []
    for stretch in stretches:
        whole = stretch.length + MITRE * sum(end is End.OUTSIDE for end in stretch.ends)
        lengths = _spliced(whole, stick, scarf)
        found += [
            Piece(stretch=stretch, part=number, of=len(lengths), length=length)
            for number, length in enumerate(lengths, 1)
        ]
    return tuple(found)


def fewest_sticks(
    stretches: Sequence[Stretch], stick: int, *, scarf: int = MITRE, stop: Callable[[], bool] = lambda: False
) -> Sticks:
    """Return the fewest sticks found for stretches of wall, and whether no fewer will do; `scarf` 0 is pieces butted."""
    pieces = sorted(pieces_of(stretches, stick, scarf), key=lambda piece: -piece.length)
    sizes = [piece.length + KERF for piece in pieces]
    room = stick + KERF  # the last cut of a stick needs no kerf
    bins = _best_fit(sizes, room)
    least = least_bins(sizes, room)
    if len(bins) > least and available() and not stop():
        bins, least = _solved(sizes, room, bins, least, stop)
    if any(piece.of > 1 for piece in pieces):
        least = -(-sum(sizes) // room)  # no other splices have less length, or fewer cuts
    return Sticks(stick=stick, cut=tuple(tuple(pieces[i] for i in one) for one in bins), proved=len(bins) <= least)


def least_bins(sizes: Sequence[int], room: int) -> int:
    """Return a number of sticks that no packing goes below.

    Source: bound L2 of S. Martello and P. Toth 1990, Knapsack Problems, chapter 8 (MEMORY): for every size a up to half a stick,
    pieces over the rest have a stick each, those over half too, and the others fill what these leave.
    """
    best = -(-sum(sizes) // room)
    for a in {0, *(size for size in sizes if size <= room // 2)}:
        large = sum(size > room - a for size in sizes)
        middle = [size for size in sizes if room - a >= size > room / 2]
        small = sum(size for size in sizes if room / 2 >= size >= a)
        spare = len(middle) * room - sum(middle)
        best = max(best, large + len(middle) + max(0, -(-(small - spare) // room)))
    return best


def _spliced(whole: int, stick: int, scarf: int) -> list[int]:
    if whole <= stick:
        return [whole]
    count = 1
    while count * stick - (count - 1) * scarf < whole:
        count += 1
    total = whole + (count - 1) * scarf
    rest = total - (count - 1) * stick
    short = max(0, SHORTEST_SPLICE - rest)
    return [*([stick] * (count - 2)), stick - short, rest + short]


def _best_fit(sizes: Sequence[int], room: int) -> list[list[int]]:
    bins: list[list[int]] = []
    left: list[int] = []
    for i, size in enumerate(sizes):
        fits = [b for b in range(len(bins)) if left[b] >= size]
        if fits:
            fullest = min(fits, key=lambda b: left[b])
            bins[fullest].append(i)
            left[fullest] -= size
        else:
            bins.append([i])
            left.append(room - size)
    return bins


def _solved(
    sizes: Sequence[int], room: int, bins: list[list[int]], least: int, stop: Callable[[], bool]
) -> tuple[list[list[int]], int]:
    """Return a packing with fewer sticks where the solver finds one, and what no packing goes below."""
    cp_model = library()
    while len(bins) > least and not stop():
        count = len(bins) - 1
        model: Any = cp_model.CpModel()
        inside = [[model.new_bool_var(f"{i}.{b}") for b in range(count)] for i in range(len(sizes))]
        for row in inside:
            model.add_exactly_one(row)
        loads = []
        for b in range(count):
            load = sum(size * inside[i][b] for i, size in enumerate(sizes))
            model.add(load <= room)
            loads.append(load)
        for one, then in pairwise(loads):
            model.add(one >= then)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = EFFORT
        status = solver.solve(model)
        if status == cp_model.INFEASIBLE:
            return bins, len(bins)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return bins, least
        bins = [[i for i in range(len(sizes)) if solver.value(inside[i][b])] for b in range(count)]
    return bins, least
