"""A problem in arrays: alike pieces are one kind with a count, so that six chairs are one thing to decide, six times.

Arrays are of 64-bit integers; `NEVER` stands for what cannot be.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from crewjobs.engines.moving.access import Access
from crewjobs.engines.moving.cuts import Cuts
from crewjobs.engines.moving.model import NONE, MovingProblem, Piece
from crewjobs.engines.moving.step import Step, bits, numbers

Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
NEVER: Final = 10**9
"""A cost no plan reaches."""
ON_FLOOR, EITHER, AWAY = 0, 1, 2
"""Where things that come and go are in a stage: on floor, wherever it is better, or nowhere."""


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
        self.begins: Ints = np.array([piece.begins for piece in firsts], dtype=np.int64)
        self.shapes = tuple(tuple(sorted((max(one), min(one)) for one in piece.shape)) for piece in firsts)
        self.bed = np.array([piece.bed for piece in firsts], dtype=bool)
        self.moves: Ints = np.array([piece.moves for piece in firsts], dtype=np.int64).reshape(-1, places, places)
        self.nights: Ints = np.array([piece.nights for piece in firsts], dtype=np.int64).reshape(-1, places)
        self.stays: Ints = self.nights.copy()
        for kind, piece in enumerate(firsts):
            for place in range(places):
                if place not in piece.allowed or place == problem.nowhere:
                    self.stays[kind, place] = NEVER
        self.capacity: Ints = np.array([place.capacity for place in problem.places], dtype=np.int64)
        self.as_passage: Ints = np.array([place.as_passage for place in problem.places], dtype=np.int64)
        self.sleeps = np.array([place.sleeps for place in problem.places], dtype=bool)
        if problem.nowhere != NONE:
            self.capacity[problem.nowhere] = int(self.footprint @ self.count)
            self.sleeps[problem.nowhere] = False
        come_and_go = [(bits(piece.used_by), bits(piece.loose_from)) for piece in firsts]
        known = sorted({one for one in come_and_go if one != (0, 0)}) if problem.nowhere != NONE else []
        self._come_and_go = tuple(known)
        self._number = [known.index(one) if one in known else -1 for one in come_and_go]
        self._done = bits(problem.done)
        self.access = Access(problem)
        self.cuts = Cuts()
        self._stage: dict[Step, Ints] = {}

    @cached_property
    def homeward(self) -> Ints:
        """What it costs each kind to be carried home from each place, shape (kinds, places)."""
        return np.take_along_axis(self.moves, self.home[:, None, None], axis=2)[:, :, 0]

    @cached_property
    def may_stand(self) -> Flags:
        """Whether each kind may stand in each place in some stage, shape (kinds, places)."""
        found: Flags = np.array(self.stays < NEVER, dtype=np.bool_)
        if self.problem.nowhere != NONE:
            found[:, self.problem.nowhere] = [number >= 0 for number in self._number]
        return found

    @cached_property
    def there_and_back(self) -> Ints:
        """The least a piece of each kind costs to be carried from its start to each place and home, over any others.

        It is carried over places where it may stand, and over nowhere only when it comes and goes.
        """
        least = np.minimum(self.moves, NEVER)
        for through in range(self.size[1]):
            shut = np.where(self.may_stand[:, through], 0, NEVER)[:, None, None]
            least = np.minimum(least, least[:, :, through, None] + least[:, None, through, :] + shut)
        every = np.arange(len(self.home))
        found: Ints = least[every, self.begins, :] + least[every, :, self.home]
        return found

    @cached_property
    def start(self) -> Ints:
        """What each kind has cost before the first stage: nothing where it starts, shape (kinds, places)."""
        begin = np.full(self.size, NEVER, dtype=np.int64)
        np.put_along_axis(begin, self.begins[:, None], 0, axis=1)
        return begin

    def stage(self, step: Step) -> Ints:
        """Return what a stage costs each kind in each place, `NEVER` where it cannot stand; shape (kinds, places)."""
        found = self._stage.get(step)
        if found is None:
            found = self.stays.copy()
            found[:, [*self.empty(step)]] = NEVER
            for kind in range(len(found)):
                if step.opening and not self.carried_in(kind):
                    self._only(found, kind, int(self.begins[kind]))
                    continue
                where = self._where(kind, step.phase)
                if where == AWAY:
                    self._only(found, kind, self.problem.nowhere)
                elif where == EITHER:
                    found[kind, self.problem.nowhere] = self.nights[kind, self.problem.nowhere]
            self._stage[step] = found
        return found

    def _only(self, stage: Ints, kind: int, place: int) -> None:
        stage[kind] = NEVER
        stage[kind, place] = self.nights[kind, place]

    def floor(self, step: Step) -> Ints:
        """Return how much may stand in each place in a stage, wherever the crew walks.

        In the opening a place fuller than it should be takes nothing more, and stays as it is.
        """
        if not step.opening:
            return self.capacity
        standing = np.zeros_like(self.capacity)
        for kind, place in enumerate(self.begins):
            if not self.carried_in(kind):
                standing[place] += self.footprint[kind] * self.count[kind]
        return np.maximum(self.capacity, standing)

    def beds(self, step: Step) -> int:
        """Return how many beds must be slept in in a stage."""
        return 0 if step.opening else self.problem.beds

    def always(self, step: Step) -> int:
        """Return the places (bits) somebody walks through in a stage, whichever ways are taken."""
        return self.access.always(step, beds=self.beds(step) > 0)

    def sleeps_in(self, step: Step) -> Flags:
        """Return for each place whether a bed may be slept in there in a stage."""
        found: Flags = np.zeros(self.size[1], dtype=np.bool_)
        found[[*self.access.to_beds(step)]] = True
        found &= self.sleeps
        return found

    def carried_in(self, kind: int) -> bool:
        """Return whether a kind is carried in by the opening: it starts nowhere, and has to be on floor."""
        away = self.begins[kind] == self.problem.nowhere != NONE
        return bool(away) and self._where(kind, self.phase(self._done, 0)) == ON_FLOOR

    def phase(self, done: int, worked: int) -> int:
        """Return where things that come and go are while sections are worked after others were done; two bits a group."""
        found = 0
        for number, (used, loose) in enumerate(self._come_and_go):
            where = EITHER if loose and not loose & (done | worked) else ON_FLOOR
            if used and not used & ~done:
                where = AWAY
            found |= where << 2 * number
        return found

    def phase_of_any_order(self, worked: int) -> int:
        """Return the same where it is not known what was done before: wherever it is better, if it can be."""
        found = 0
        for number, (used, loose) in enumerate(self._come_and_go):
            if used and not used & ~self._done:
                where = AWAY
            elif used & worked or (not used and loose & (self._done | worked)):
                where = ON_FLOOR
            else:
                where = EITHER
            found |= where << 2 * number
        return found

    def _where(self, kind: int, phase: int) -> int:
        number = self._number[kind]
        return ON_FLOOR if number < 0 else phase >> 2 * number & 3

    def empty(self, step: Step) -> tuple[int, ...]:
        """Return the places that hold nothing in a stage: worked, kept clear of dust, or curing."""
        worked = [*numbers(step.worked)]
        clear = {place for section in worked for place in self.problem.clear.get(section, ())}
        return tuple(sorted({*worked, *clear, *numbers(step.curing)}))


def _alike(piece: Piece) -> tuple[Any, ...]:
    return (
        piece.begins, piece.home, piece.footprint, piece.allowed, piece.moves, piece.nights, piece.bed,
        tuple(sorted((max(one), min(one)) for one in piece.shape)), piece.used_by, piece.loose_from,
    )  # fmt: skip
