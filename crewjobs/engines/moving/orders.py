"""Orders of sections: what may be worked next, what cures then, and how few stages are left at least."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import permutations

from crewjobs.engines.moving.kinds import Kinds
from crewjobs.engines.moving.model import MovingProblem, Piece
from crewjobs.engines.moving.step import Step, bits, numbers

Lying = tuple[tuple[int, int], ...]
"""Places that cure, with for how many stages more."""
Alive = tuple[int, ...]
"""Of each continuous field the alternatives that still hold, as bits of their numbers."""

MOST_PARTS = 3
"""Sections of a room for which it is looked whether another room is its twin."""


class Orders:
    """The stages that may follow each other. Sections are bits of places; `everything` are all of them."""

    def __init__(self, kinds: Kinds) -> None:
        self._kinds = kinds
        self.problem: MovingProblem = kinds.problem
        self.everything = bits(self.problem.sections)
        self.all_sets = tuple(sorted({bits(one) for one in self.problem.sets}))
        self.done = bits(self.problem.done) & self.everything
        self.lying = tuple(sorted((place, stages) for place, stages in self.problem.curing if stages > 0))
        self._earlier = _earlier(self.problem.before)
        self._fields = tuple(tuple(_earlier(pairs) for pairs in alternatives) for alternatives in self.problem.fields)
        self._following: dict[tuple[int, Lying, Alive], tuple[tuple[Step, Lying, Alive], ...]] = {}
        self._ends: dict[tuple[int, Lying, Alive], bool] = {}
        self._left: dict[int, int] = {self.everything: 0}
        self._sets: dict[int, tuple[int, ...]] = {}
        self._twins = _twins(kinds)

    def sets(self, done: int) -> tuple[int, ...]:
        """Return what may be worked when some sections are done, twins in their order; whatever cures.

        Of each field some alternative allows it; that it is the same one throughout is left to `following`.
        """
        found = self._sets.get(done)
        if found is None:
            found = self._sets[done] = tuple(self._allowed(done))
        return found

    def _allowed(self, done: int) -> Iterator[int]:
        for worked in self.all_sets:
            if worked & done or not _in_order(self._earlier, done, worked):
                continue
            if any(worked & twin and not worked & first and not done & first for first, twin in self._twins):
                continue
            if all(any(_in_order(one, done, worked) for one in field) for field in self._fields):
                yield worked

    @property
    def alive(self) -> Alive:
        """Return the alternatives of each field that hold before the first stage.

        One that what is done has broken is out; where all are, what is done is done, and each may be gone on with.
        """
        found = []
        for field in self._fields:
            every = (1 << len(field)) - 1
            broken = [any(self.done >> s & 1 and one[s] & ~self.done for s in one) for one in field]
            found.append(bits(i for i, is_broken in enumerate(broken) if not is_broken) or every)
        return tuple(found)

    def alive_after(self, done: int, worked: int, alive: Alive) -> Alive | None:
        """Return the alternatives of each field that hold after one more stage; None where of some field none does."""
        found = []
        for field, still in zip(self._fields, alive, strict=True):
            now = bits(i for i in numbers(still) if _in_order(field[i], done, worked))
            if not now:
                return None
            found.append(now)
        return tuple(found)

    def opening(self) -> Step:
        """Return the carry-in."""
        return Step(
            worked=0, curing=bits(place for place, _ in self.lying), opening=True, phase=self._phase(self.done, 0)
        )

    def following(self, done: int, lying: Lying, alive: Alive) -> tuple[tuple[Step, Lying, Alive], ...]:
        """Return the stages that may come next, with what cures and what holds after each; `lying` cures now."""
        key = done, lying, alive
        found = self._following.get(key)
        if found is None:
            nexts = self._nexts(done, lying, alive)
            found = self._following[key] = tuple((step, self.lying_after(step, lying), after) for step, after in nexts)
        return found

    def _nexts(self, done: int, lying: Lying, alive: Alive) -> Iterator[tuple[Step, Alive]]:
        curing = bits(place for place, _ in lying)
        for worked in self.sets(done):
            after = self.alive_after(done, worked, alive)
            step = Step(worked=worked, curing=curing, phase=self._phase(done, worked))
            if after is not None and self.possible(step):
                yield step, after
        if lying:
            step = Step(worked=0, curing=curing, phase=self._phase(done, 0))
            if self.possible(step):
                yield step, alive

    def _phase(self, done: int, worked: int) -> int:
        return self._kinds.phase(done, worked)

    def possible(self, step: Step) -> bool:
        """Return whether everybody gets where they must in a stage, as far as furniture does not matter."""
        if step.worked & step.curing:
            return False
        beds = not self._kinds.beds(step) or bool(self._kinds.access.to_beds(step))
        return beds and all(self._kinds.access.asked(step))

    def ends(self, done: int, lying: Lying, alive: Alive) -> bool:
        """Return whether everything can be worked from here on, as far as furniture does not matter."""
        if done == self.everything:
            return True
        key = done, lying, alive
        if key not in self._ends:
            # What cures only shuts ways: where there is none without it, there is none. Waiting first comes to that soonest.
            self._ends[key] = (not lying or self.ends(done, (), alive)) and any(
                self.ends(done | step.worked, lying_then, after)
                for step, lying_then, after in reversed(self.following(done, lying, alive))
            )
        return self._ends[key]

    def lying_after(self, step: Step, lying: Lying) -> Lying:
        """Return what cures in the stage after a stage, with for how many stages from then on."""
        places = self.problem.places
        still = [(place, left - 1) for place, left in lying if left > 1]
        return tuple(sorted([*still, *((s, places[s].cures) for s in numbers(step.worked) if places[s].cures)]))

    def steps_of(self, stages: Sequence[int]) -> tuple[Step, ...]:
        """Return the stages of a plan by what is worked in each (bits), with what cures and comes and goes meanwhile."""
        done, lying, found = self.done, self.lying, list[Step]()
        for worked in stages:
            step = Step(
                worked=worked,
                curing=bits(place for place, _ in lying),
                phase=self._phase(done, worked),
                opening=self.problem.opening and not found,
            )
            found.append(step)
            done, lying = done | worked, self.lying_after(step, lying)
        return tuple(found)

    def stages_left(self, done: int) -> int:
        """Return how many stages of work are left at least; many where it cannot be finished."""
        if done not in self._left:
            self._left[done] = 10**6
            self._left[done] = min((1 + self.stages_left(done | worked) for worked in self.sets(done)), default=10**6)
        return self._left[done]


def _earlier(pairs: Iterable[tuple[int, int]]) -> dict[int, int]:
    """Return by section which (bits) must be worked no later than it."""
    found: dict[int, int] = {}
    for first, then in pairs:
        found[then] = found.get(then, 0) | 1 << first
    return found


def _in_order(earlier: Mapping[int, int], done: int, worked: int) -> bool:
    return not any(earlier.get(s, 0) & ~(done | worked) for s in numbers(worked))


def _twins(kinds: Kinds) -> Lying:
    """Return pairs of rooms (bits of their sections) that can be swapped with all that stands in them, changing nothing.

    A room here is what is worked together in some set. Of two such rooms the first is begun first, in whichever order they
    are: any plan has a mirror image with the other.
    """
    problem = kinds.problem
    rooms = [room for room in _rooms(problem) if not {*room} & problem.done]
    found = []
    for i, room in enumerate(rooms):
        for other in rooms[i + 1 :]:
            if len(other) == len(room) <= MOST_PARTS and any(
                _swaps(problem, dict(zip((*room, *parts), (*parts, *room), strict=True)))
                for parts in permutations(other)
            ):
                found.append((bits(room), bits(other)))
                break
    return tuple(found)


def _rooms(problem: MovingProblem) -> list[tuple[int, ...]]:
    """Return the sections that are worked together in some set, directly or by way of others."""
    rooms: list[set[int]] = [{section} for section in problem.sections]
    for one in problem.sets:
        met = [room for room in rooms if room & one]
        rooms = [room for room in rooms if not room & one] + ([set().union(*met)] if met else [])
    return sorted(tuple(sorted(room)) for room in rooms)


def _swaps(problem: MovingProblem, to: Mapping[int, int]) -> bool:
    """Return whether a problem is the same with sections, and the pieces in them, in each other's place."""

    def other(place: int) -> int:
        return to.get(place, place)

    def pairs(given: Iterable[tuple[int, int]]) -> frozenset[tuple[int, int]]:
        return frozenset((other(x), other(y)) for x, y in given)

    places = problem.places
    if any(replace(places[a], name="") != replace(places[b], name="") for a, b in to.items()):
        return False
    if {frozenset(map(other, one)) for one in problem.sets} != {*problem.sets}:
        return False
    if pairs(problem.before) != frozenset(problem.before) or pairs(problem.curing) != frozenset(problem.curing):
        return False
    plain = Counter(frozenset(map(frozenset, field)) for field in problem.fields)
    if Counter(frozenset(map(pairs, field)) for field in problem.fields) != plain:
        return False
    ways = {frozenset(way) for way in problem.ways}
    if {frozenset((other(x), other(y))) for x, y in problem.ways} != ways:
        return False
    if {other(s): frozenset(map(other, kept)) for s, kept in problem.clear.items()} != {
        s: frozenset(kept) for s, kept in problem.clear.items()
    }:
        return False
    if {*map(other, problem.reach)} != {*problem.reach}:
        return False
    looks = Counter(_looks(piece, int) for piece in problem.pieces)
    return Counter(_looks(piece, other) for piece in problem.pieces) == looks


def _looks(piece: Piece, at: Callable[[int], int]) -> tuple[object, ...]:
    """Return all of a piece that matters, with places called by other numbers."""
    count = range(len(piece.nights))
    return (
        at(piece.home),
        at(piece.begins),
        piece.footprint,
        frozenset(map(at, piece.allowed)),
        tuple(tuple(piece.moves[at(x)][at(y)] for y in count) for x in count),
        tuple(piece.nights[at(x)] for x in count),
        piece.bed,
        tuple(sorted(piece.shape)),
        frozenset(map(at, piece.used_by)),
        frozenset(map(at, piece.loose_from)),
    )
