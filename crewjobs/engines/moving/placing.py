"""A plan for a given order, made stage by stage and bettered piece by piece. It is found at once, and proves nothing."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from random import Random

import numpy as np

from crewjobs.engines.moving.cuts import Cut
from crewjobs.engines.moving.kinds import NEVER, Flags, Floats, Ints, Kinds
from crewjobs.engines.moving.priced import floor_of
from crewjobs.engines.moving.step import Step, numbers

SWEEPS = 20
"""Times all pieces are looked at again, at most."""


class Placing:
    """Pieces put into an order's stages. Every piece is on its own here: `kind_of[i]` is the kind of piece i.

    `at[i, t]` is the place of piece i in stage t.
    """

    def __init__(self, kinds: Kinds, order: Sequence[Step]) -> None:
        self.kinds = kinds
        self.order = order
        self.kind_of: Ints = np.repeat(np.arange(len(kinds.count)), kinds.count)
        self._stage: Ints = np.array([kinds.stage(step) for step in order], dtype=np.int64)
        self._floor = floor_of(kinds, order)
        self._walked = [0] * len(order)
        self._sleeps: Flags = np.zeros(self._floor.shape, dtype=np.bool_)
        for t in range(len(order)):
            self._choose_ways(t)
            self._choose_beds(t)

    def _choose_ways(self, t: int) -> None:
        """Where there are several ways to what must be reached, take the one over which the least floor is given up."""
        self._walked[t] = self.kinds.always(self.order[t])
        for ways in self.kinds.access.asked(self.order[t]):
            if ways:
                self._walk(t, min(sorted(ways), key=lambda way: self._lost(t, way)))

    def _lost(self, t: int, way: int) -> int:
        return sum(int(max(0, self._floor[t, p] - self.kinds.as_passage[p])) for p in numbers(way))

    def _walk(self, t: int, way: int) -> None:
        self._walked[t] |= way
        for place in numbers(way):
            self._floor[t, place] = min(self._floor[t, place], self.kinds.as_passage[place])

    def _choose_beds(self, t: int) -> None:
        """Say where beds are slept in: wherever one gets, and if that is not enough, where the least floor is given up for it."""
        kinds, step = self.kinds, self.order[t]
        to_beds = kinds.access.to_beds(step)
        lying = {p: int((kinds.count * (kinds.bed & (self._stage[t, :, p] < NEVER))).sum()) for p in to_beds}
        needed, found = kinds.beds(step), 0
        for own in (True, False):
            left = [p for p in to_beds if lying[p] and not self._sleeps[t, p]]
            while left:
                lost, place = min((min(self._lost(t, way) for way in to_beds[p]), p) for p in left)
                left.remove(place)
                beds = int((kinds.count * (kinds.bed & (kinds.home == place))).sum())
                if lost and (found >= needed or (own and not beds)):
                    continue
                self._sleeps[t, place] = True
                self._walk(t, min(sorted(to_beds[place]), key=lambda way: self._lost(t, way)))
                room = int(self._floor[t, place]) // max(1, int(kinds.footprint[kinds.bed].min()))
                found += beds if own and lost else min(room, lying[place])

    def made(self, backward: Floats, noise: Random | None = None) -> Ints | None:
        """Return where every piece stands, placed stage by stage by costs to the end; None where something fits nowhere.

        What would lose most by not getting its best place goes first, beds as long as some have to sleep.
        """
        kinds, pieces = self.kinds, len(self.kind_of)
        at: Ints = np.empty((pieces, len(self.order)), dtype=np.int64)
        here: Ints = kinds.begins[self.kind_of]
        for t in range(len(self.order)):
            cost: Floats = (
                kinds.moves[self.kind_of, here].astype(np.float64) + (self._stage[t] + backward[t])[self.kind_of]
            )
            if noise is not None:
                cost = cost * np.array([[1 + 0.05 * noise.random() for _ in row] for row in cost])
            placed = self._stage_of(cost, t)
            if placed is None:
                return None
            at[:, t] = here = placed
        return at

    def _stage_of(self, cost: Floats, t: int) -> Ints | None:
        kinds = self.kinds
        free, needed = self._floor[t].copy(), kinds.beds(self.order[t])
        cuts = self._cuts(t)
        counts: Ints = np.zeros(kinds.size, dtype=np.int64)
        for place, cut in cuts:
            cost[:, place] = np.where(cut.closed_to(counts[:, place])[self.kind_of], np.inf, cost[:, place])
        feet, beds = kinds.footprint[self.kind_of], kinds.bed[self.kind_of]
        cost = np.where(cost >= NEVER, np.inf, cost)
        placed: Ints = np.full(len(cost), -1, dtype=np.int64)
        left = set(range(len(cost)))
        while left:
            these = [i for i in left if beds[i]] if needed > 0 else []
            these = these or sorted(left)
            if needed > 0 and not any(beds[i] for i in these):
                return None
            now = np.where(feet[these][:, None] <= free[None, :], cost[these], np.inf)
            if needed > 0:
                now = np.where(self._sleeps[t][None, :], now, np.inf)
            two = np.partition(now, 1, axis=1)[:, :2] if now.shape[1] > 1 else np.hstack([now, now])
            best = two[:, 0]
            if needed > 0:
                if not np.isfinite(best).any():
                    return None
            elif not np.isfinite(best).all():
                return None
            known = np.where(np.isfinite(two), two, 0.0)
            regret = np.where(np.isfinite(two[:, 1]), known[:, 1] - known[:, 0], 1e12)
            regret = np.where(np.isfinite(best), regret, -1.0)
            chosen = int(np.lexsort((-feet[these], -regret))[0])
            i, place = these[chosen], int(now[chosen].argmin())
            placed[i] = place
            free[place] -= feet[i]
            counts[self.kind_of[i], place] += 1
            for other, cut in cuts:
                if other == place:
                    closed = cut.closed_to(counts[:, place])[self.kind_of]
                    cost[:, place] = np.where(closed, np.inf, cost[:, place])
            left.discard(i)
            needed -= 1 if needed > 0 else 0
        return placed

    def _cuts(self, t: int) -> list[tuple[int, Cut]]:
        """Return what was found not to fit in a stage, by place."""
        known = self.kinds.cuts
        return [
            (place, cut)
            for place in known.places()
            for cut in known.at(place, walked=bool(self._walked[t] >> place & 1))
        ]

    def counts(self, at: Ints) -> Ints:
        """Return how many of each kind stand in each place, by stage; shape (stages, kinds, places)."""
        found: Ints = np.zeros((len(self.order), *self.kinds.size), dtype=np.int64)
        for i, kind in enumerate(self.kind_of):
            found[np.arange(len(self.order)), kind, at[i]] += 1
        return found

    def of_counts(self, counts: Sequence[Ints]) -> Ints:
        """Return where every piece stands from how many of each kind stand in each place, by stage; as few carried as can be."""
        at: Ints = np.empty((len(self.kind_of), len(self.order)), dtype=np.int64)
        here: Ints = self.kinds.begins[self.kind_of]
        for t, many in enumerate(counts):
            left, now = many.copy(), np.full_like(here, -1)
            for i, kind in enumerate(self.kind_of):
                if left[kind, here[i]] > 0:
                    now[i] = here[i]
                    left[kind, here[i]] -= 1
            for i, kind in enumerate(self.kind_of):
                if now[i] < 0:
                    now[i] = int(np.nonzero(left[kind])[0][0])
                    left[kind, now[i]] -= 1
            at[:, t] = here = now
        return at

    def bettered(self, at: Ints) -> Ints:
        """Return places that no single piece can better by taking another way through all stages, the others staying."""
        kinds = self.kinds
        at = at.copy()
        stages, places = len(self.order), kinds.size[1]
        load: Ints = np.zeros((stages, places), dtype=np.int64)
        every = np.arange(stages)
        for i in range(len(at)):
            load[every, at[i]] += kinds.footprint[self.kind_of[i]]
        beds: Ints = np.array([kinds.beds(step) for step in self.order], dtype=np.int64)
        slept = np.array([int((kinds.bed[self.kind_of] & self._sleeps[t, at[:, t]]).sum()) for t in range(stages)])
        counts = self.counts(at)
        cuts = [(t, place, cut) for t in range(stages) for place, cut in self._cuts(t)]
        for _ in range(SWEEPS):
            changed = False
            for i, kind in enumerate(self.kind_of):
                feet, now = kinds.footprint[kind], self._cost(at[i], kind)
                load[every, at[i]] -= feet
                counts[every, kind, at[i]] -= 1
                open_to: Ints = self._stage[:, kind, :].copy()
                open_to[load + feet > self._floor] = NEVER
                for t, place, cut in cuts:
                    if cut.rows[:, kind].any() and cut.closed_to(counts[t, :, place])[kind]:
                        open_to[t, place] = NEVER
                if kinds.bed[kind]:
                    slept -= self._sleeps[every, at[i]]
                    open_to[(slept < beds)[:, None] & ~self._sleeps] = NEVER
                found = self._way(kind, open_to)
                if found is not None and self._cost(found, kind) < now:
                    at[i], changed = found, True
                load[every, at[i]] += feet
                counts[every, kind, at[i]] += 1
                if kinds.bed[kind]:
                    slept += self._sleeps[every, at[i]]
            if not changed:
                break
        return at

    def _way(self, kind: int, open_to: Ints) -> Ints | None:
        kinds, stages = self.kinds, len(self.order)
        moves, home = kinds.moves[kind], int(kinds.home[kind])
        came: list[Ints] = []
        cost: Ints = np.full(kinds.size[1], NEVER, dtype=np.int64)
        cost[kinds.begins[kind]] = 0
        for t in range(stages):
            ways = cost[:, None] + moves
            came.append(ways.argmin(axis=0))
            cost = np.minimum(ways.min(axis=0) + open_to[t], NEVER)
        ends = cost + moves[:, home]
        place = int(ends.argmin())
        if ends[place] >= NEVER:
            return None
        found: Ints = np.empty(stages, dtype=np.int64)
        for t in range(stages - 1, -1, -1):
            found[t] = place
            place = int(came[t][place])
        return found

    def _cost(self, at: Ints, kind: int) -> int:
        kinds = self.kinds
        home = int(kinds.home[kind])
        stops = [int(kinds.begins[kind]), *(int(place) for place in at), home]
        carried = sum(int(kinds.moves[kind, a, b]) for a, b in pairwise(stops))
        return carried + int(sum(self._stage[t, kind, place] for t, place in enumerate(at)))

    def cost(self, at: Ints) -> int:
        """Return what the pieces cost in these places, setups left out."""
        return sum(self._cost(at[i], kind) for i, kind in enumerate(self.kind_of))

    def by_piece(self, at: Ints) -> list[tuple[int, ...]]:
        """Return the places by stage, pieces in the problem's order."""
        order = [number for numbers_ in self.kinds.members for number in numbers_]
        stages = []
        for t in range(len(self.order)):
            row = [0] * len(order)
            for i, number in enumerate(order):
                row[number] = int(at[i, t])
            stages.append(tuple(row))
        return stages
