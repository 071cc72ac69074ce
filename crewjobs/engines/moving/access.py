"""Who gets where in a stage: the crew to its sections by day, those who live there to beds and a toilet in the evening.

A way is the places walked through, of which each needs a walkway. By day what is worked is passed; in the evening it is
passed unless it cures then.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from crewjobs.engines.moving.model import OUTSIDE, MovingProblem
from crewjobs.engines.moving.step import Step, bits, numbers

MOST_WAYS = 64
"""Ways to one place that are looked at, the shortest first."""
Ways = frozenset[int]
"""Ways of which any will do, each as bits of the places walked through; empty: there is none."""


class Access:
    """The ways from outside to every place, as sets of places (bits) walked through, without those that hold others."""

    def __init__(self, problem: MovingProblem) -> None:
        self._problem = problem
        self._next: dict[int, list[int]] = {}
        for a, b in problem.ways:
            self._next.setdefault(a, []).append(b)
            self._next.setdefault(b, []).append(a)
        self._closed = bits(i for i, place in enumerate(problem.places) if place.as_passage < 0)
        self._cures = bits(i for i, place in enumerate(problem.places) if place.cures)
        self._toilets = bits(i for i, place in enumerate(problem.places) if place.toilet)
        beds = {z for piece in problem.pieces if piece.bed for z in piece.allowed}
        self._beds = [z for z in sorted(beds - {problem.nowhere}) if problem.places[z].sleeps]
        self._to: dict[int, tuple[int, ...]] = {}
        self._asked: dict[Step, tuple[Ways, ...]] = {}
        self._bed_ways: dict[Step, Mapping[int, Ways]] = {}

    def _ways(self, target: int) -> Iterator[int]:
        kept: list[int] = []
        layer = [(OUTSIDE, 0)]
        while layer and len(kept) < MOST_WAYS:
            following = []
            for at, through in layer:
                for place in self._next.get(at, ()):
                    if place == target:
                        if not any(one & through == one for one in kept):
                            kept.append(through)
                            yield through
                    elif (
                        place != OUTSIDE and not through >> place & 1 and not any(one & through == one for one in kept)
                    ):
                        following.append((place, through | 1 << place))
            layer = following[: MOST_WAYS * 8]

    def asked(self, step: Step) -> tuple[Ways, ...]:
        """Return what must be reached in a stage, each as the ways that lead there; beds are left to `to_beds`.

        Places that are empty, because they are worked in the same stage, count as free and are in no way.
        """
        found = self._asked.get(step)
        if found is None:
            found = self._asked[step] = () if step.opening else tuple(self._all_asked(step))
        return found

    def _all_asked(self, step: Step) -> Iterator[Ways]:
        for section in numbers(step.worked):
            yield self._least(self._least_to([section], step.curing, step.worked))
        out = step.worked | step.curing
        for place in sorted(self._problem.reach):
            if not step.worked >> place & 1:
                yield self._in_the_evening([place], step)
        if self._toilets:
            inside = self._toilets & ~out
            if self._problem.lived_in:
                yield self._in_the_evening(numbers(inside), step)
            else:
                yield frozenset({0} if inside else ())

    def to_beds(self, step: Step) -> Mapping[int, Ways]:
        """Return the ways to each place where a bed may be slept in in a stage, where there is any."""
        found = self._bed_ways.get(step)
        if found is None:
            out = step.worked | step.curing
            if self._problem.lived_in:
                ways = {z: self._in_the_evening([z], step) for z in self._beds if not out >> z & 1}
            else:
                ways = {z: frozenset({0}) for z in self._beds if not out >> z & 1}
            found = self._bed_ways[step] = {z: way for z, way in ways.items() if way}
        return found

    def _in_the_evening(self, places: Iterable[int], step: Step) -> Ways:
        wet = step.worked & self._cures
        return self._least(self._least_to(places, step.curing | wet, step.worked & ~wet))

    def _least_to(self, places: Iterable[int], barred: int, free: int) -> set[int]:
        found = set[int]()
        for place in places:
            if place not in self._to:
                self._to[place] = tuple(self._ways(place))
            found |= {way & ~free for way in self._to[place] if not way & barred and not way & ~free & self._closed}
        return found

    @staticmethod
    def _least(ways: set[int]) -> Ways:
        return frozenset(way for way in ways if not any(other != way and other & way == other for other in ways))

    def always(self, step: Step, *, beds: bool) -> int:
        """Return the places (bits) somebody walks through whichever ways are taken; `beds`: some bed is slept in."""
        found = 0
        to_beds = [frozenset().union(*self.to_beds(step).values())] if beds else []
        for ways in (*self.asked(step), *to_beds):
            shared = -1
            for way in ways:
                shared &= way
            found |= shared if ways else 0
        return found
