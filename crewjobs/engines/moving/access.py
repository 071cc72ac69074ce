"""How the crew gets to the sections of a stage: through which places, of which it needs a walkway."""

from __future__ import annotations

from collections.abc import Iterator

from crewjobs.engines.moving.model import OUTSIDE, MovingProblem

MOST_WAYS = 64
"""Ways to one section that are looked at, the shortest first."""


class Access:
    """The ways from outside to every section, as sets of places (bits) walked through, without those that hold others."""

    def __init__(self, problem: MovingProblem) -> None:
        self._next: dict[int, list[int]] = {}
        for a, b in problem.ways:
            self._next.setdefault(a, []).append(b)
            self._next.setdefault(b, []).append(a)
        self._closed = sum(1 << i for i, place in enumerate(problem.places) if place.as_passage < 0)
        self._to = {section: tuple(self._ways(section)) for section in problem.sections}
        self._found: dict[tuple[int, int], tuple[frozenset[int], ...]] = {}

    def _ways(self, section: int) -> Iterator[int]:
        kept: list[int] = []
        layer = [(OUTSIDE, 0)]
        while layer and len(kept) < MOST_WAYS:
            following = []
            for at, through in layer:
                for place in self._next.get(at, ()):
                    if place == section:
                        if not any(one & through == one for one in kept):
                            kept.append(through)
                            yield through
                    elif (
                        place != OUTSIDE and not through >> place & 1 and not any(one & through == one for one in kept)
                    ):
                        following.append((place, through | 1 << place))
            layer = following[: MOST_WAYS * 8]

    def ways(self, worked: int, curing: int) -> tuple[frozenset[int], ...]:
        """Return the sets of places (bits, one set an entry of the result for every section worked) that lead there.

        Each entry holds the ways to one of the sections, any of which will do; places worked in the same stage are empty
        and count as free. An empty entry: there is no way.
        """
        key = worked, curing
        if key not in self._found:
            self._found[key] = tuple(
                frozenset(self._least(section, worked, curing)) for section in self._to if worked >> section & 1
            )
        return self._found[key]

    def _least(self, section: int, worked: int, curing: int) -> list[int]:
        open_ways = {
            way & ~worked for way in self._to[section] if not way & curing and not way & ~worked & self._closed
        }
        return [way for way in open_ways if not any(other != way and other & way == other for other in open_ways)]

    def always(self, worked: int, curing: int) -> int:
        """Return the places (bits) that every way to some section of a stage leads through."""
        found = 0
        for ways in self.ways(worked, curing):
            shared = -1
            for way in ways:
                shared &= way
            found |= shared if ways else 0
        return found
