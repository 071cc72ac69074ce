"""Orders of sections: what may be worked next, what cures then, and how few stages are left at least."""

from __future__ import annotations

from collections.abc import Iterator

from crewjobs.engines.moving.kinds import Kinds, Step, bits, numbers
from crewjobs.engines.moving.model import MovingProblem


class Orders:
    """The stages that may follow each other. Sections are bits of places; `everything` are all of them."""

    def __init__(self, kinds: Kinds) -> None:
        self._kinds = kinds
        self.problem: MovingProblem = kinds.problem
        self.everything = bits(self.problem.sections)
        self.all_sets = tuple(sorted({bits(one) for one in self.problem.sets}))
        self._earlier: dict[int, int] = {}
        for first, then in self.problem.before:
            self._earlier[then] = self._earlier.get(then, 0) | 1 << first
        self._toilets = bits(i for i, place in enumerate(self.problem.places) if place.toilet)
        self._left: dict[int, int] = {self.everything: 0}
        self._twins = _twins(kinds)

    def sets(self, done: int) -> Iterator[int]:
        """Yield what may be worked when some sections are done, twins in their order; whatever cures."""
        for worked in self.all_sets:
            if worked & done or any(self._earlier.get(s, 0) & ~(done | worked) for s in numbers(worked)):
                continue
            if any(worked & twin and not worked & first and not done & first for first, twin in self._twins):
                continue
            yield worked

    def following(self, done: int, last: Step | None, lying: tuple[tuple[int, int], ...]) -> Iterator[Step]:
        """Yield the stages that may come next; `lying` are the places that still cure, with for how many stages more."""
        curing = bits(place for place, _ in lying)
        for worked in self.sets(done):
            step = Step(worked=worked, curing=curing)
            if self.possible(step):
                yield step
        if lying and last is not None:
            step = Step(worked=0, curing=curing)
            if self.possible(step):
                yield step

    def possible(self, step: Step) -> bool:
        """Return whether a stage has a toilet and a way to each of its sections, as far as furniture does not matter."""
        if self._toilets and not self._toilets & ~(step.worked | step.curing):
            return False
        if step.worked & step.curing:
            return False
        return all(self._kinds.access.ways(step.worked, step.curing))

    def lying_after(self, step: Step, lying: tuple[tuple[int, int], ...]) -> tuple[tuple[int, int], ...]:
        """Return what cures in the stage after a stage, with for how many stages from then on."""
        places = self.problem.places
        still = [(place, left - 1) for place, left in lying if left > 1]
        return tuple(sorted([*still, *((s, places[s].cures) for s in numbers(step.worked) if places[s].cures)]))

    def stages_left(self, done: int) -> int:
        """Return how many stages of work are left at least; many where it cannot be finished."""
        if done not in self._left:
            self._left[done] = 10**6
            self._left[done] = min((1 + self.stages_left(done | worked) for worked in self.sets(done)), default=10**6)
        return self._left[done]


def _twins(kinds: Kinds) -> tuple[tuple[int, int], ...]:
    """Return pairs of sections (bits) that can be swapped with all that stands in them without changing anything.

    Of two such rooms the first is worked first, in whichever order they are: any plan has a mirror image with the other.
    """
    problem = kinds.problem
    found = []
    single = [
        s for s in problem.sections if sum(s in one for one in problem.sets) == 1 and frozenset({s}) in problem.sets
    ]
    for i, a in enumerate(single):
        for b in single[i + 1 :]:
            if _swaps(problem, a, b):
                found.append((1 << a, 1 << b))
                break
    return tuple(found)


def _swaps(problem: MovingProblem, a: int, b: int) -> bool:
    """Return whether a problem is the same with two sections, and the pieces in them, in each other's place."""
    to = {a: b, b: a}

    def other(place: int) -> int:
        return to.get(place, place)

    one, two = problem.places[a], problem.places[b]
    if (one.capacity, one.as_passage, one.sleeps, one.toilet, one.cures) != (
        two.capacity, two.as_passage, two.sleeps, two.toilet, two.cures,
    ):  # fmt: skip
        return False
    if {(other(x), other(y)) for x, y in problem.before} != set(problem.before):
        return False
    ways = {frozenset(way) for way in problem.ways}
    if {frozenset((other(x), other(y))) for x, y in problem.ways} != ways:
        return False
    if {other(s): frozenset(map(other, kept)) for s, kept in problem.clear.items()} != {
        s: frozenset(kept) for s, kept in problem.clear.items()
    }:
        return False
    count = range(len(problem.places))

    def looks(piece: object, *, swapped: bool) -> tuple[object, ...]:
        p = problem.pieces[piece] if isinstance(piece, int) else problem.pieces[0]
        at = other if swapped else int
        return (
            at(p.home),
            p.footprint,
            frozenset(map(at, p.allowed)),
            tuple(tuple(p.moves[at(x)][at(y)] for y in count) for x in count),
            tuple(p.nights[at(x)] for x in count),
            p.bed,
        )

    pieces = range(len(problem.pieces))
    plain = sorted((looks(piece, swapped=False) for piece in pieces), key=repr)
    mirrored = sorted((looks(piece, swapped=True) for piece in pieces), key=repr)
    return plain == mirrored
