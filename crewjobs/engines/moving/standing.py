"""Whether the stages of a plan can be stood, rectangle by rectangle; what cannot is learned as a cut.

Only places whose `floor` is known are asked, and only pieces that have a `shape`. Pieces that all began in a place, or
are all at home there, stand as they stood: that arrangement is known to exist. Where the crew walks through, a walkway must
be left besides. What the fitting cannot decide counts as not fitting.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, permutations

import numpy as np

from crewjobs.engines.moving.access import Ways
from crewjobs.engines.moving.cuts import Cut
from crewjobs.engines.moving.fitting import GRID, Fits, FloorPlan, Rect, Standing, stand
from crewjobs.engines.moving.kinds import NEVER, Ints, Kinds
from crewjobs.engines.moving.model import MovingPlan, MovingProblem
from crewjobs.engines.moving.orders import Orders
from crewjobs.engines.moving.step import Step, numbers

Shape = tuple[tuple[int, int], ...]
Known = dict[tuple[FloorPlan, Shape], Standing]
Stop = Callable[[], bool]
MOST_ROWS = 4
"""Kinds in a failing set for which larger pieces are put in their stead: rows of a cut double with each."""
LEFT_STANDING_EFFORT = 0.2
"""The solver's deterministic time for a floor on which things stay where they stand."""
MOST_RECTANGLES = 4
"""Rectangles of a shape that are matched with those of another."""


class Stopped(Exception):
    """The search was stopped while a floor was looked at: nothing is known of it."""


class Stands:
    """The floors of a house, what was found out about them, and the cuts learned (`kinds.cuts`).

    `known` is what was found out for other houses with the same floors: it is used, and added to.
    """

    def __init__(self, kinds: Kinds, known: Known | None = None) -> None:
        self._kinds = kinds
        self._floors = {
            number: place.floor
            for number, place in enumerate(kinds.problem.places)
            if place.floor is not None and number != kinds.problem.nowhere
        }
        self.known: Known = {} if known is None else known
        self._shaped: Ints = np.array([bool(shape) for shape in kinds.shapes], dtype=np.int64)
        self.asked = bool(self._floors) and bool(self._shaped.any())
        """Whether there is anything to ask: a house without floors or shapes is done with by area."""
        if self.asked:
            self._bar()

    def _bar(self) -> None:
        """Take places out in which a piece would not even stand alone."""
        kinds = self._kinds
        for kind, shape in enumerate(kinds.shapes):
            for place, floor in self._floors.items():
                strange = kinds.begins[kind] != place != kinds.home[kind]
                if shape and strange and self._look(_unwalked(floor), shape, lambda: False).fits is not Fits.YES:
                    kinds.stays[kind, place] = NEVER

    # -- one stage

    def stage(self, step: Step, counts: Ints, stop: Stop = lambda: False, *, beds: int | None = None) -> int | None:
        """Return the places somebody walks through (bits) where a stage stands; None, having learned why, where it does not.

        `counts[k, z]` is how many of kind k stand in place z; `beds` are slept in, as many as the house asks for where none
        are said. Raise `Stopped` when `stop` said so meanwhile.
        """
        asked = self._kinds.beds(step) if beds is None else beds
        if not self.asked:
            return self._walked(step, counts, asked, lambda _: True)
        bad = [place for place in self._floors if not self._fits(place, counts[:, place], stop, walked=False)]
        for place in bad:
            self._learn(place, counts[:, place], stop, walked=False)
        if bad:
            return None
        walked = self._walked(step, counts, asked, lambda place: self._passes(place, counts, stop))
        if walked is None:
            self._learn_ways(step, counts, stop, beds=asked > 0)
        return walked

    def _walked(self, step: Step, counts: Ints, beds: int, passes: Callable[[int], bool]) -> int | None:
        """Return the places of a way to all that must be reached, of those that can be walked the ones through the fewest."""
        load, access = self._kinds.footprint @ counts, self._kinds.access

        def good(ways: Ways) -> list[int]:
            return [
                way for way in ways if all(load[p] <= self._kinds.as_passage[p] and passes(p) for p in numbers(way))
            ]

        found = 0
        for ways in access.asked(step):
            open_ways = good(ways)
            if not open_ways:
                return None
            found |= min(open_ways, key=lambda way: ((way & ~found).bit_count(), way))
        to_beds = self._to_beds(step, counts) if beds > 0 else {}
        reached = {place: open_ways for place, (_, ways) in to_beds.items() if (open_ways := good(ways))}
        while beds > 0:
            if not reached:
                return None
            _, way, place = min(
                ((way & ~found).bit_count(), way, place) for place, open_ways in reached.items() for way in open_ways
            )
            found |= way
            beds -= to_beds[place][0]
            del reached[place]
        return found

    def _to_beds(self, step: Step, counts: Ints) -> dict[int, tuple[int, Ways]]:
        """Return how many beds stand in each place where they may be slept in, and the ways there."""
        standing = counts[self._kinds.bed].sum(axis=0)
        ways = self._kinds.access.to_beds(step)
        return {place: (int(standing[place]), ways[place]) for place in ways if standing[place]}

    def _passes(self, place: int, counts: Ints, stop: Stop) -> bool:
        return place not in self._floors or self._fits(place, counts[:, place], stop, walked=True)

    def _learn_ways(self, step: Step, counts: Ints, stop: Stop, *, beds: bool) -> None:
        """Learn of every way that floor area would allow the first place that cannot be walked through."""
        load, learned = self._kinds.footprint @ counts, set[int]()
        to_beds = [ways for _, ways in self._to_beds(step, counts).values()] if beds else []
        for ways in (*self._kinds.access.asked(step), *to_beds):
            for way in sorted(ways):
                if any(load[p] > self._kinds.as_passage[p] for p in numbers(way)):
                    continue
                bad = next((p for p in numbers(way) if not self._passes(p, counts, stop)), None)
                if bad is not None and bad not in learned:
                    learned.add(bad)
                    self._learn(bad, counts[:, bad], stop, walked=True)

    # -- one place

    def _fits(self, place: int, counts: Ints, stop: Stop, *, walked: bool) -> bool:
        shaped = counts * self._shaped
        if not walked and self._as_found(place, shaped):
            return True
        if any(cut.broken(counts) for cut in self._kinds.cuts.at(place, walked=walked)):
            return False
        floor = self._floors[place]
        return self._look(floor if walked else _unwalked(floor), self._shape(shaped), stop).fits is Fits.YES

    def _as_found(self, place: int, shaped: Ints) -> bool:
        """Return whether all that stands in a place began there, or all of it is at home there."""
        kinds = self._kinds
        return not shaped[kinds.begins != place].any() or not shaped[kinds.home != place].any()

    def _shape(self, counts: Ints) -> Shape:
        every = [one for kind, count in enumerate(counts.tolist()) for one in self._kinds.shapes[kind] * count]
        return tuple(sorted(every, reverse=True))

    def _look(self, floor: FloorPlan, shape: Shape, stop: Stop) -> Standing:
        key = floor, tuple(sorted(shape, reverse=True))
        found = self.known.get(key)
        if found is None:
            found = stand(floor, key[1], stop=stop)
            if found.fits is Fits.UNDECIDED and stop():
                raise Stopped
            self.known[key] = found
        return found

    def drawn(self, at: Sequence[int], walked: int, before: Mapping[int, Stood] | None = None) -> Iterator[Stood]:
        """Yield how each known floor stands that holds a piece with a shape or is walked through; it is known to.

        What stood in a place `before` stays where it is drawn, as far as what comes and the way leave room for that.
        """
        problem, number = self._kinds.problem, {m: k for k, ms in enumerate(self._kinds.members) for m in ms}
        for place, floor in self._floors.items():
            passed = bool(walked >> place & 1)
            every = [(one, -i) for i, z in enumerate(at) if z == place for one in self._kinds.shapes[number[i]]]
            every.sort(reverse=True)
            if not every and not passed:
                continue
            pieces = tuple(-i for _, i in every)
            shape, whole = tuple(one for one, _ in every), floor if passed else _unwalked(floor)
            found = self._look(whole, shape, lambda: False)
            if found.fits is Fits.YES:
                found = _left_standing(whole, pieces, shape, (before or {}).get(place)) or found
                yield Stood(place=place, pieces=pieces, at=found.at, walkway=found.walkway)
            else:
                assert not passed
                assert all(place in (problem.pieces[i].begins, problem.pieces[i].home) for i in pieces)
                yield Stood(place=place, pieces=tuple(sorted({*pieces})), as_found=True)

    # -- what is learned

    def _learn(self, place: int, counts: Ints, stop: Stop, *, walked: bool) -> None:
        """Add cuts for a smallest set of what stands in a place, wherever it does not fit either."""
        cuts = self._kinds.cuts
        if any(cut.broken(counts) for cut in cuts.at(place, walked=walked)):
            return
        floor = self._floors[place] if walked else _unwalked(self._floors[place])
        least = (counts * self._shaped).copy()
        for kind in sorted(np.nonzero(least)[0].tolist(), key=lambda k: (_area(self._kinds.shapes[k]), k)):
            while least[kind]:
                least[kind] -= 1
                if self._look(floor, self._shape(least), stop).fits is Fits.YES:
                    least[kind] += 1
                    break
        sure = self._look(floor, self._shape(least), stop).fits is Fits.NO
        rows, number = self._rows(least, sure=sure)
        for other, its in self._floors.items():
            if other == place or its == self._floors[place] or (sure and not walked and _within(_unwalked(its), floor)):
                cuts.add(other, self._cut(other, rows, number, walked=walked), walked=walked)

    def _cut(self, place: int, rows: Sequence[Ints], least: Sequence[int], *, walked: bool) -> Cut:
        """Return the cut for a place: there it holds only with something that neither began there nor is at home there."""
        every, number = [*rows], [*least]
        if not walked:
            for at in (self._kinds.begins, self._kinds.home):
                strange = np.where(at != place, self._shaped, 0)
                if not any((strange == row).all() for row in every):
                    every.append(strange)
                    number.append(1)
        return Cut(np.array(every, dtype=np.int64).reshape(-1, self._kinds.size[0]), np.array(number, dtype=np.int64))

    def _rows(self, least: Ints, *, sure: bool) -> tuple[list[Ints], list[int]]:
        """Return the rows of a cut for a failing set, and the least of each.

        Where a set does not fit, no set does that has a larger piece for each of its own. Whether there is one for each is
        P. Hall's condition (1935): for every choice of kinds of the set, enough pieces that are as large as one of them.
        """
        kinds = np.nonzero(least)[0].tolist()
        shapes = self._kinds.shapes
        larger = {
            k: [int(_contains(shape, shapes[k]) if sure else shape == shapes[k]) for shape in shapes] for k in kinds
        }
        if len(kinds) > MOST_ROWS:
            larger = {k: [int(other == k) for other in range(len(shapes))] for k in kinds}
            chosen: list[tuple[int, ...]] = [(k,) for k in kinds]
        else:
            chosen = [some for size in range(1, len(kinds) + 1) for some in combinations(kinds, size)]
        rows, number = [], []
        for some in chosen:
            if len(some) > 1 and not _connected([larger[k] for k in some]):
                continue
            rows.append(np.array([max(larger[k][i] for k in some) for i in range(len(shapes))], dtype=np.int64))
            number.append(int(sum(least[k] for k in some)))
        return rows, number


def _unwalked(floor: FloorPlan) -> FloorPlan:
    return replace(floor, walkways=()) if floor.walkways else floor


def _area(shape: Shape) -> int:
    return sum(width * depth for width, depth in shape)


def _up(inches: int) -> int:
    return -(-inches // GRID) * GRID


def _contains(large: Shape, small: Shape) -> bool:
    """Return whether each rectangle of a shape lies within one of its own of another."""
    if large == small:
        return True
    if len(small) > len(large) or not small or len(large) > MOST_RECTANGLES:
        return False
    return any(
        all(_up(w) >= _up(a) and _up(d) >= _up(b) for (w, d), (a, b) in zip(some, small, strict=True))
        for some in permutations(large, len(small))
    )


def _within(small: FloorPlan, large: FloorPlan) -> bool:
    """Return whether all that stands on one floor would stand on another, neither being walked through."""
    if small.width <= large.width and small.depth <= large.depth:
        inside = Rect(0, 0, small.width, small.depth)
        return all(
            not rect.overlaps(inside) or any(_covers(other, rect, inside) for other in small.blocked)
            for rect in large.blocked
        )
    return not large.blocked and small.width <= large.depth and small.depth <= large.width


def _covers(large: Rect, small: Rect, inside: Rect) -> bool:
    """Return whether a rectangle covers what of another lies inside a third."""
    right, low = min(small.x + small.width, inside.width), min(small.y + small.depth, inside.depth)
    return (
        large.x <= max(0, small.x)
        and large.y <= max(0, small.y)
        and large.x + large.width >= right
        and large.y + large.depth >= low
    )


def _connected(groups: Sequence[Sequence[int]]) -> bool:
    """Return whether groups of kinds (flags) hang together by kinds they share; apart, each is counted for itself."""
    met, left = list(groups[0]), list(groups[1:])
    while left:
        near = [group for group in left if any(a and b for a, b in zip(group, met, strict=True))]
        if not near:
            return False
        left = [group for group in left if not any(group is one for one in near)]
        met = [int(a or any(group[i] for group in near)) for i, a in enumerate(met)]
    return True


def _left_standing(floor: FloorPlan, pieces: Sequence[int], shape: Shape, before: Stood | None) -> Standing | None:
    """Return how pieces stand with those that stood there left where they are, or the largest of them; None: none can be."""
    if before is None or not before.at:
        return None
    stood: dict[int, list[Rect]] = {}
    for piece, rect in zip(before.pieces, before.at, strict=True):
        stood.setdefault(piece, []).append(rect)
    staying = [piece for piece in dict.fromkeys(pieces) if piece in stood]  # the largest first, as pieces are
    while staying:
        left = {piece: [*stood[piece]] for piece in staying}
        fixed = [left[piece].pop(0) if left.get(piece) else None for piece in pieces]
        taken = tuple(rect for rect in fixed if rect is not None)
        ways = [
            (number, way) for number, way in enumerate(floor.walkways)
            if not any(rect.overlaps(one) for rect in way for one in taken)
        ]  # fmt: skip
        if ways or not floor.walkways:
            rest = replace(floor, blocked=(*floor.blocked, *taken), walkways=tuple(way for _, way in ways))
            new = [size for size, rect in zip(shape, fixed, strict=True) if rect is None]
            found = stand(rest, new, effort=LEFT_STANDING_EFFORT)
            if found.fits is Fits.YES:
                comes = iter(found.at)
                at = tuple(rect if rect is not None else next(comes) for rect in fixed)
                return Standing(Fits.YES, at, ways[found.walkway][0] if ways else -1)
        staying = staying[: len(staying) // 2]
    return None


# -- a plan, for drawings


@dataclass(frozen=True, slots=True, kw_only=True)
class Stood:
    """How pieces stand on one floor: `at[i]` is a rectangle of the piece `pieces[i]`, in inches.

    `walkway` is the number of the floor's walkway that is free for the crew, -1 where nobody has to walk. `as_found` marks pieces
    that stand as they stood before, or as they do at home, in an arrangement that is not known: without rectangles.
    """

    place: int
    pieces: tuple[int, ...] = ()
    at: tuple[Rect, ...] = ()
    walkway: int = -1
    as_found: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StageStood:
    """One stage: the places the crew walks through on its way, and how each known floor stands that holds anything."""

    walked: frozenset[int]
    places: tuple[Stood, ...]


def standing(problem: MovingProblem, plan: MovingPlan) -> tuple[StageStood, ...]:
    """Return for each stage of a plan how its pieces stand, by the same fitting that let the plan pass.

    Raise ValueError for a plan that cannot be stood, or whose stages do not follow each other in this house.
    """
    kinds = Kinds(problem)
    stands, orders = Stands(kinds), Orders(kinds)
    steps = orders.steps_of([sum(1 << s for s in stage.worked) for stage in plan.stages])
    found: list[StageStood] = []
    for step, stage in zip(steps, plan.stages, strict=True):
        walked = stands.stage(step, counted(kinds, stage.at))
        if walked is None:
            raise ValueError(f"stage {len(found) + 1} cannot be stood")
        before = {one.place: one for one in found[-1].places} if found else {}
        drawn = tuple(stands.drawn(stage.at, walked, before))
        found.append(StageStood(walked=frozenset(numbers(walked)), places=drawn))
    return tuple(found)


def pushed_aside(before: StageStood, after: StageStood, stays: Iterable[int]) -> tuple[int, ...]:
    """Return the pieces that stay in their place from one stage to the next and do not stand there as they stood."""
    places = [{piece: one for one in stood.places for piece in one.pieces} for stood in (before, after)]
    found = []
    for piece in stays:
        one, other = (there.get(piece) for there in places)
        if one is not None and other is not None and one.at and other.at and _rects(one, piece) != _rects(other, piece):
            found.append(piece)
    return tuple(found)


def _rects(stood: Stood, piece: int) -> list[Rect]:
    return sorted(rect for one, rect in zip(stood.pieces, stood.at, strict=True) if one == piece)


def counted(kinds: Kinds, at: Iterable[int]) -> Ints:
    """Return how many of each kind stand in each place, from the place of every piece."""
    where = list(at)
    counts = np.zeros(kinds.size, dtype=np.int64)
    for kind, members in enumerate(kinds.members):
        for number in members:
            counts[kind, where[number]] += 1
    return counts
