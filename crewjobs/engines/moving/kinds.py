"""A problem in arrays: alike pieces are one kind with a count, so that six chairs are one thing to decide, six times.

Arrays are of 64-bit integers; `NEVER` stands for what cannot be.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from crewjobs.engines.moving.access import Access
from crewjobs.engines.moving.model import MovingProblem, Piece

Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]
NEVER: Final = 10**9
"""A cost no plan reaches."""


@dataclass(frozen=True, slots=True)
class Step:
    """A stage of an order without its pieces: what is worked (none: a wait), and what cures meanwhile, as bits of places."""

    worked: int
    curing: int


class Kinds:
    """The pieces of a problem by kind, and what a stage costs each kind in each place.

    `members[k]` are the pieces of kind k; `moves` has the shape (kinds, places, places), `stays` (kinds, places).
    """

    def __init__(self, problem: MovingProblem) -> None:
        self.problem = problem
        found: dict[tuple[Any, ...], list[int]] = {}
        for number, piece in enumerate(problem.pieces):
            found.setdefault(_alike(piece), []).append(number)
        self.members = tuple(tuple(numbers) for numbers in found.values())
        firsts = [problem.pieces[numbers[0]] for numbers in self.members]
        places = len(problem.places)
        self.size = len(firsts), places
        self.count: Ints = np.array([len(numbers) for numbers in self.members], dtype=np.int64)
        self.footprint: Ints = np.array([piece.footprint for piece in firsts], dtype=np.int64)
        self.home: Ints = np.array([piece.home for piece in firsts], dtype=np.int64)
        self.bed = np.array([piece.bed for piece in firsts], dtype=bool)
        self.moves: Ints = np.array([piece.moves for piece in firsts], dtype=np.int64).reshape(-1, places, places)
        self.stays: Ints = np.array([piece.nights for piece in firsts], dtype=np.int64).reshape(-1, places)
        for kind, piece in enumerate(firsts):
            for place in range(places):
                if place not in piece.allowed:
                    self.stays[kind, place] = NEVER
        self.capacity: Ints = np.array([place.capacity for place in problem.places], dtype=np.int64)
        self.as_passage: Ints = np.array([place.as_passage for place in problem.places], dtype=np.int64)
        self.sleeps = np.array([place.sleeps for place in problem.places], dtype=bool)
        self.access = Access(problem)
        self._stage: dict[Step, Ints] = {}

    @cached_property
    def homeward(self) -> Ints:
        """What it costs each kind to be carried home from each place, shape (kinds, places)."""
        return np.take_along_axis(self.moves, self.home[:, None, None], axis=2)[:, :, 0]

    @cached_property
    def start(self) -> Ints:
        """What each kind has cost before the first stage: nothing at home, shape (kinds, places)."""
        begin = np.full(self.size, NEVER, dtype=np.int64)
        np.put_along_axis(begin, self.home[:, None], 0, axis=1)
        return begin

    def stage(self, step: Step) -> Ints:
        """Return what a stage costs each kind in each place, `NEVER` where it cannot stand; shape (kinds, places)."""
        found = self._stage.get(step)
        if found is None:
            found = self.stays.copy()
            found[:, [*self.empty(step)]] = NEVER
            self._stage[step] = found
        return found

    def empty(self, step: Step) -> tuple[int, ...]:
        """Return the places that hold nothing in a stage: worked, kept clear of dust, or curing."""
        worked = [*numbers(step.worked)]
        clear = {place for section in worked for place in self.problem.clear.get(section, ())}
        return tuple(sorted({*worked, *clear, *numbers(step.curing)}))


def _alike(piece: Piece) -> tuple[Any, ...]:
    return piece.home, piece.footprint, piece.allowed, piece.moves, piece.nights, piece.bed


def bits(places: Iterable[int]) -> int:
    """Return places as bits of a number."""
    return sum(1 << place for place in places)


def numbers(places: int) -> Iterable[int]:
    """Yield the places whose bits are set."""
    while places:
        low = places & -places
        yield low.bit_length() - 1
        places ^= low
