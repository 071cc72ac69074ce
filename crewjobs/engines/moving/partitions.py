"""What a house costs at least by how it is cut into stages, in whichever order these come.

A partition is some sets of sections, each worked in one stage, that hold every section once. There are far fewer than orders, and
most of what a plan costs depends on the partition alone: a piece that stands somewhere in some stage has been carried
there and is carried home, so that it costs no less than the way there and back for the dearest place it stands in, and
its nights. Floor and beds have prices as in `priced`, a set's prices being known to all partitions that hold it.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import count, permutations

import numpy as np

from crewjobs.engines.moving.kinds import NEVER, Flags, Floats, Ints, Kinds
from crewjobs.engines.moving.orders import Alive, Lying, Orders
from crewjobs.engines.moving.shut_out import Ends, ShutOut
from crewjobs.engines.moving.step import Step, numbers

MOST_PARTITIONS = 4000
"""Of houses that can be cut up in more ways, none are looked at."""
STEPS = 25
"""Times the prices of a partition are moved when it is looked at."""
MOST_LOOKS = 16
"""Times a partition is looked at before it is left as it is."""
LOOKS_BEFORE_WAITS = 2
"""Times a partition is looked at before its order is: how many stages of waiting it needs."""
MOST_CURED = 3
"""Stages a floor cures that are counted."""
STALLS = 6
"""Times without a better bound after which the steps are made smaller."""


@dataclass(frozen=True, slots=True)
class _Set:
    """What is known of a stage in which some sections are worked: places by kind in the order of `_Sides.order`."""

    stays: Floats
    sleeping: Floats
    floor: Floats
    beds: int


@dataclass(slots=True)
class _Part:
    """A partition: the numbers of its sets, their prices, how often it was looked at; what its stages cost is `fixed`."""

    sets: tuple[int, ...]
    price: Floats = field(default_factory=lambda: np.zeros((0, 0)))
    earns: Floats = field(default_factory=lambda: np.zeros(0))
    scale: float = 1.0
    looks: int = 0
    fixed: int = 0
    waits: int = 0
    ends: Ends | None = None


class _Stages:
    """Some stages side by side: what is known of each, with the stage as first axis."""

    def __init__(self, sets: Sequence[_Set]) -> None:
        self.stays = np.array([one.stays for one in sets])
        self.sleeping = np.array([one.sleeping for one in sets])
        self.floor = np.array([one.floor for one in sets])
        self.beds = np.array([one.beds for one in sets], dtype=np.float64)


class Partitions:
    """All partitions of a house, bounded closer and closer, the one that costs least first.

    `bounds` are what no plan with each costs less than, `members` which sets it holds; shapes (partitions) and
    (partitions, sets). Without any: there are too many, and nothing is known.
    """

    def __init__(self, kinds: Kinds, orders: Orders) -> None:
        self._kinds, self._orders = kinds, orders
        every = [worked for worked in orders.all_sets if not worked & orders.done]
        steps = [Step(worked=worked, curing=0, phase=kinds.phase_of_any_order(worked)) for worked in every]
        self.steps = [step for step in steps if orders.possible(step)]
        self.sets = tuple(step.worked for step in self.steps)
        self._number = {worked: i for i, worked in enumerate(self.sets)}
        there_and_back = kinds.there_and_back
        self._order = np.argsort(there_and_back, axis=1, kind="stable")
        self._level: Floats = np.take_along_axis(there_and_back, self._order, axis=1).astype(np.float64)
        self._area: Floats = (kinds.footprint * kinds.count).astype(np.float64)
        self._cures: Ints = np.array([place.cures for place in kinds.problem.places], dtype=np.int64)
        self._looked: dict[Step, _Set] = {}
        self._sets = [self._looked_at(step) for step in self.steps]
        self._parts = self._all()
        self.members: Flags = np.zeros((len(self._parts), len(self.sets)), dtype=np.bool_)
        for row, part in enumerate(self._parts):
            self.members[row, list(part.sets)] = True
        setup = kinds.problem.setup
        self.bounds: Ints = np.array([setup * len(part.sets) for part in self._parts], dtype=np.int64)
        self._known: dict[int, tuple[Floats, float]] = {}
        self._queue = [(int(bound), row) for row, bound in enumerate(self.bounds)]
        heapq.heapify(self._queue)

    def _looked_at(self, step: Step) -> _Set:
        kinds = self._kinds
        floor = kinds.floor(step).astype(np.float64)
        for place in numbers(kinds.always(step)):
            floor[place] = min(floor[place], kinds.as_passage[place])
        sleeping = np.outer(kinds.bed, kinds.sleeps_in(step)).astype(np.float64)
        return _Set(
            stays=np.take_along_axis(kinds.stage(step), self._order, axis=1).astype(np.float64),
            sleeping=np.take_along_axis(sleeping, self._order, axis=1),
            floor=floor,
            beds=kinds.beds(step),
        )

    def _all(self) -> list[_Part]:
        found: list[_Part] = []
        everything = self._orders.everything
        holding = [[i for i, worked in enumerate(self.sets) if worked >> s & 1] for s in range(everything.bit_length())]

        def grow(done: int, sets: tuple[int, ...]) -> bool:
            if done == everything:
                found.append(_Part(tuple(sorted(sets))))
                return len(found) <= MOST_PARTITIONS
            first = min(numbers(everything & ~done))
            return all(grow(done | self.sets[i], (*sets, i)) for i in holding[first] if not self.sets[i] & done)

        return found if grow(self._orders.done, ()) else []

    @property
    def least(self) -> int:
        """What no plan costs less than, whichever partition it has."""
        return int(self.bounds.min()) if len(self.bounds) else 0

    def of(self, steps: Sequence[Step]) -> int:
        """Return what no plan costs less than in which some stages are worked."""
        chosen = [self._number[step.worked] for step in steps if step.worked]
        if not len(self.bounds):
            return 0
        these = self.bounds[self.members[:, chosen].all(axis=1)]
        return int(these.min()) if len(these) else NEVER

    def drop(self, worked: int) -> None:
        """Leave out what holds a set that cannot be worked in one stage."""
        self.bounds[self.members[:, self._number[worked]]] = NEVER

    def alive(self, below: int) -> frozenset[int]:
        """Return the sets (bits of sections) that some plan cheaper than that may work in one stage."""
        if not len(self.bounds):
            return frozenset(self.sets)
        used = set(np.nonzero(self.members[self.bounds < below])[1].tolist())
        return frozenset(self.sets[i] for i in used)

    def prices(self, worked: int) -> tuple[Floats, float] | None:
        """Return the prices known for a stage in which some sections are worked: a square foot by place, a bed that sleeps."""
        return self._known.get(self._number.get(worked, -1))

    def look(self, upper: int) -> bool:
        """Look closer at the partition that costs least; return False where nothing is left to be looked at below `upper`."""
        while self._queue and self._queue[0][0] < upper:
            _, row = heapq.heappop(self._queue)
            part = self._parts[row]
            if part.looks >= MOST_LOOKS or self.bounds[row] >= upper:
                continue
            self._closer(row, part, upper)
            heapq.heappush(self._queue, (int(self.bounds[row]), row))
            return True
        return False

    def _closer(self, row: int, part: _Part, upper: int) -> None:
        problem = self._kinds.problem
        if part.looks == LOOKS_BEFORE_WAITS:
            waits = self._fewest(self._orders.done, [self.sets[i] for i in part.sets], in_order=False)
            part.ends = None if waits is None else self._ends(part, waits)
            if waits is None or part.ends is None:
                self.bounds[row] = NEVER
                return
            part.waits = waits
            part.fixed += problem.wait * waits
            self.bounds[row] += problem.wait * waits
        if part.looks == 0:
            part.fixed = problem.setup * len(part.sets)
            known = [self._known.get(i) for i in part.sets]
            part.price = np.array([one[0] if one else np.zeros(self._kinds.size[1]) for one in known])
            part.earns = np.array([one[1] if one else 0.0 for one in known])
        part.looks += 1
        pieces = self._moved(part, upper - part.fixed) if len(self._area) else 0.0
        self.bounds[row] = max(int(self.bounds[row]), min(NEVER, part.fixed + int(np.ceil(pieces - 1e-6))))
        for i, price, earns in zip(part.sets, part.price, part.earns.tolist(), strict=True):
            self._known[i] = price, earns

    def _moved(self, part: _Part, upper: float) -> float:
        """Return the best bound found for the pieces while a partition's prices are moved; keep the best prices."""
        kinds, order = self._kinds, self._order
        stages = _Stages([self._sets[i] for i in part.sets])
        shut = self._shut_out([self.sets[i] for i in part.sets], part.ends, part.waits)
        every, places = np.arange(len(order)), np.arange(order.shape[1])
        price, earns = part.price, part.earns
        best, stalled = -np.inf, 0
        for _ in range(STEPS):
            value, costs, farthest = self._value(stages, shut, price, earns)
            if value > best + 1e-6:
                best, stalled, part.price, part.earns = value, 0, price, earns
            else:
                stalled += 1
                if stalled == STALLS:
                    part.scale, stalled = part.scale * 0.7, 0
            if value >= upper:
                break
            costs[:, places[None, :] > farthest[:, None]] = np.inf
            at = costs.argmin(axis=2)
            slept = np.take_along_axis(stages.sleeping, at[:, :, None], axis=2)[:, :, 0] @ kinds.count
            stands = order[every[None, :], at]
            load = np.array([np.bincount(one, weights=self._area, minlength=len(places)) for one in stands])
            over, short = load - stages.floor, stages.beds - slept
            over[(over < 0) & (price <= 0)] = 0
            short[(short < 0) & (earns <= 0)] = 0
            size = float((over**2).sum() + (short**2).sum())
            if size == 0:
                break
            target = upper if upper < NEVER / 2 else value * 1.05 + kinds.problem.setup
            pace = part.scale * max(1.0, target - value) / size
            price, earns = np.maximum(0.0, price + pace * over), np.maximum(0.0, earns + pace * short)
        return best

    def _value(self, stages: _Stages, shut: ShutOut | None, price: Floats, earns: Floats) -> tuple[float, Floats, Ints]:
        """Return what the pieces cost at least with some prices; what each stage costs each kind; how far each is carried."""
        kinds, order = self._kinds, self._order
        feet = kinds.footprint[None, :, None].astype(np.float64)
        costs = stages.stays + feet * price[:, order] - earns[:, None, None] * stages.sleeping
        nearer = np.minimum.accumulate(costs, axis=2)
        ends = nearer.sum(axis=0) + self._level
        farthest = ends.argmin(axis=1)
        value = float(np.take_along_axis(ends, farthest[:, None], axis=1)[:, 0] @ kinds.count)
        if shut is not None:
            later, saved = shut.later(costs, nearer, ends)
            ends = ends + later
            farthest = ends.argmin(axis=1)
            all_later = float(np.take_along_axis(ends, farthest[:, None], axis=1)[:, 0] @ kinds.count) - saved
            value = min(all_later, value + kinds.problem.wait)  # or one stage of waiting more, and nothing is said
        return value + float(earns @ stages.beds) - float((price * stages.floor).sum()), costs, farthest

    def _shut_out(self, worked: Sequence[int], ends: Ends | None, waits: int, begun: int = 0) -> ShutOut | None:
        """Return what cures after stages with this work, of which the first ones are begun: what cures in those is known.

        There may be so many `waits` more. None where nothing cures, or it is not known yet how an order ends.
        """
        if ends is None:
            return None
        kinds, order = self._kinds, self._order
        cures = np.minimum(self._cures[kinds.home], MOST_CURED)
        own = np.full(len(order), -1, dtype=np.int64)
        for number, sections in enumerate(worked):
            own[(sections >> kinds.home & 1).astype(np.bool_)] = number
        early = (own >= 0) & (own < begun)
        cures = np.where(early, np.minimum(cures - (begun - 1 - own), len(worked) - begun), cures)
        cures = np.where(own < 0, 0, np.maximum(cures, 0))
        if not cures.any():
            return None
        barred = (np.array(worked, dtype=np.int64)[own][:, None] >> order & 1).astype(np.bool_)
        barred &= self._cures[order] >= self._cures[kinds.home][:, None]  # shut as long as its own floor at least
        barred[cures == 0] = False
        waiting = np.take_along_axis(kinds.stays, order, axis=1).astype(np.float64)
        return ShutOut(kinds.count, own, cures, barred, waiting, ends, begun, min(waits, MOST_CURED))

    def _ends(self, part: _Part, waits: int) -> Ends | None:
        """Return how a partition's order may end, and what that costs in waits more than some order does; None: not at all."""
        sets = [self.sets[i] for i in part.sets]
        most = max((self._cures[s] for one in sets for s in numbers(one)), default=0)
        length = min(len(sets), int(most) + 1, MOST_CURED + 1)
        known = []
        for last in permutations(range(len(sets)), length):
            needed = self._waits_of([sets[i] for i in reversed(last)])
            if needed is not None:
                known.append((last, max(0, needed - waits) * self._kinds.problem.wait))
        return Ends(len(sets), known) if known else None

    def _waits_of(self, tail: Sequence[int]) -> int | None:
        """Return how many stages of waiting there are at least between stages that come last, in this order; None: it is none."""
        done = self._orders.everything
        for worked in tail:
            done &= ~worked
        return self._fewest(done, tail, in_order=True)

    def _fewest(self, done: int, sets: Sequence[int], *, in_order: bool) -> int | None:
        """Return how many stages of waiting some sets need when some sections are done, furniture left aside; None: no order.

        What cures when other sections were done before is not known, and left aside.
        """
        orders, chosen, ticket = self._orders, {0, *sets}, count()
        lying: Lying = ()
        if done == orders.done:
            lying = orders.lying
            if orders.problem.opening:
                lying = orders.lying_after(orders.opening(), lying)
        first = done, lying, orders.alive
        heap = [(0, 0, next(ticket), first)]
        seen: set[tuple[int, Lying, Alive]] = set()
        while heap:
            waits, *_, state = heapq.heappop(heap)
            if state in seen:
                continue
            seen.add(state)
            done, lying, alive = state
            if done == orders.everything:
                return waits
            if in_order:
                chosen = {0, next(worked for worked in sets if not worked & done)}
            for step, lying_then, still in orders.following(done, lying, alive):
                if step.worked in chosen:
                    after = done | step.worked, lying_then, still
                    heapq.heappush(heap, (waits + (not step.worked), -after[0].bit_count(), next(ticket), after))
        return None

    def closer(self, steps: Sequence[Step], below: int) -> int:
        """Return what no plan costs less than that begins with some stages, by the prices of all partitions it may have."""
        if not len(self.bounds):
            return 0
        begun = [step for step in steps if not step.opening]
        chosen = [self._number[step.worked] for step in begun if step.worked]
        least = NEVER
        for row in sorted(np.nonzero(self.members[:, chosen].all(axis=1))[0].tolist(), key=lambda i: self.bounds[i]):
            if self.bounds[row] >= min(least, below):
                return min(least, int(self.bounds[row]))
            least = min(least, self._begun(row, begun))
        return least

    def _begun(self, row: int, begun: Sequence[Step]) -> int:
        part, problem = self._parts[row], self._kinds.problem
        if not part.looks:
            return int(self.bounds[row])
        at = {self.sets[i]: number for number, i in enumerate(part.sets)}
        left = [worked for worked in at if not any(step.worked == worked for step in begun)]
        for step in begun:
            if step not in self._looked:
                self._looked[step] = self._looked_at(step)
        stages = _Stages([*(self._looked[step] for step in begun), *(self._sets[self._number[one]] for one in left)])
        worked = [*(step.worked for step in begun), *left]
        waits = sum(not step.worked for step in begun)
        fixed = max(part.fixed, problem.setup * len(part.sets) + problem.wait * waits)
        order = [at.get(step.worked, -1) for step in begun]
        ends = part.ends and part.ends.begun(order, [at[one] for one in left], fixed - part.fixed)
        if part.ends and not ends:
            return NEVER
        nothing = np.zeros(self._order.shape[1])
        price = np.array([part.price[at[one]] if one else nothing for one in worked])
        earns = np.array([part.earns[at[one]] if one else 0.0 for one in worked])
        shut = self._shut_out(worked, ends, max(0, part.waits - waits), len(begun))
        value, *_ = self._value(stages, shut, price, earns)
        return max(int(self.bounds[row]), min(NEVER, fixed + int(np.ceil(value - 1e-6))))
