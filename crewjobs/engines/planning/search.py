"""The plan made better while somebody waits: a few jobs at a time are lifted off the board and put back another way.

Ruin and recreate (G. Schrimpf et al. 2000, Record breaking optimization results using the ruin and recreate
principle, Journal of Computational Physics 159) with late acceptance (E. K. Burke and Y. Bykov 2017, The late
acceptance hill-climbing heuristic, European Journal of Operational Research 258): a change is kept where the plan is
no worse than it is now or was some steps ago, so it only ever compares costs and needs no weights. Every place comes
from the same rules as the first plan's. The same seed and number of steps give the same plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from random import Random

from crewjobs.engines.planning.board import Board, Choose, Settled
from crewjobs.engines.planning.choosing import Found
from crewjobs.engines.planning.jobwork import HALF_DAY_SLOTS, UNSPLIT_SLOTS, Floor, JobWork
from crewjobs.engines.planning.objective import Objective, PlanCost
from crewjobs.engines.planning.placing import Way

MEMORY = 40
"""Steps a worse plan is remembered for: how far the search may go back down the hill it has climbed."""
LATER_DAYS = 8
"""How many days later than it could a house is opened at most, where that is tried."""


class Search:
    """A board, the best that was found on it, and the steps that lead on."""

    def __init__(self, board: Board, floor: Floor, seed: int = 0) -> None:
        self.board = board
        self.steps = 0
        self._floor = floor
        self._objective = Objective(floor)
        self._random = Random(seed)
        self._costs = {number: self._cost(number) for number in board.works}
        self.total = self._sum()
        self.best, self.best_cost = dict(board.settled), self.total
        self._late = [self.total] * MEMORY

    def _cost(self, number: int) -> PlanCost:
        settled = self.board.settled[number]
        return self._objective.of_job(self.board.works[number], self.board.bookings_of(number), settled.missing)

    def _sum(self) -> PlanCost:
        total = PlanCost()
        for cost in self._costs.values():
            total = total.plus(cost)
        return total

    def step(self) -> bool:
        """Lift some jobs and put them back another way; return whether a better plan than ever was found."""
        board, random = self.board, self._random
        numbers = self._group()
        before = {number: (board.lift(number), self._costs[number]) for number in numbers}
        order = self._order(numbers)
        total = self.total
        for number in order:
            board.place(number, self._choose())
            total = total.minus(self._costs[number])
            self._costs[number] = self._cost(number)
            total = total.plus(self._costs[number])
        place = self.steps % MEMORY
        self.steps += 1
        if total > self.total and total > self._late[place]:
            self._undo(before)
            total = self.total
        self.total = total
        self._late[place] = min(self._late[place], total)
        if total < self.best_cost:
            self.best, self.best_cost = dict(board.settled), total
            return True
        if random.random() < 0.002:
            self.back()
        return False

    def back(self) -> None:
        """Put the best plan found back on the board."""
        changed = [number for number, settled in self.board.settled.items() if settled is not self.best[number]]
        for number in changed:
            self.board.lift(number)
        for number in changed:
            self.board.put(number, self.best[number])
            self._costs[number] = self._cost(number)
        self.total = self._sum()

    def _undo(self, before: dict[int, tuple[Settled, PlanCost]]) -> None:
        for number in before:
            self.board.lift(number)
        for number, (settled, cost) in before.items():
            self.board.put(number, settled)
            self._costs[number] = cost

    def _group(self) -> list[int]:
        """Return a job, more often one that costs much, and some that are at work at the same time."""
        random, board = self._random, self.board
        numbers = list(board.works)
        costly = [n for n in numbers if self._costs[n][:5] > (0, 0, 0, 0, 0)]
        first = random.choice(costly if costly and random.random() < 0.6 else numbers)
        span = self._span(first)
        near = [n for n in numbers if n != first and _meet(span, self._span(n))]
        size = random.choice((0, 1, 1, 2, 2, 3, 4))
        pool = near if near and random.random() < 0.8 else [n for n in numbers if n != first]
        return [first, *random.sample(pool, min(size, len(pool)))]

    def _span(self, number: int) -> tuple[int, int]:
        bookings = self.board.settled[number].bookings.values() if number in self.board.settled else ()
        if not bookings:
            return 0, self._floor.axis.slots
        week = 96 * 5
        return min(b.start for b in bookings) - week, max(b.end for b in bookings)

    def _order(self, numbers: Sequence[int]) -> list[int]:
        order = list(numbers)
        self._random.shuffle(order)
        return order

    def _choose(self) -> Choose | None:
        """Return how the next job is put back: the best way now, or one crew at random, maybe some days later."""
        random, chooser, floor = self._random, self.board.chooser, self._floor
        if random.random() < 0.35:
            return chooser.best

        def some(work: JobWork, wished: int) -> Found:
            mains = chooser.mains(work)
            tried = [mains[random.randrange(len(mains))]] if random.random() < 0.5 else mains
            ways = [
                Way(main=main, since=wished, wished=wished, joined=bool(work.ahead) and random.random() < 0.5,
                    unsplit=random.choice((UNSPLIT_SLOTS, HALF_DAY_SLOTS)))
                for main in tried
            ]  # fmt: skip
            found = min((chooser.attempt(work, way) for way in ways), key=lambda one: one.rank)
            starts = [booking.start for key, booking in found.packed.items() if key not in work.ahead]
            if not starts or work.under_way or work.pins or found.refused or random.random() < 0.5:
                return found
            opening = floor.date_of(work.record, min(starts)) + timedelta(days=random.randint(1, LATER_DAYS))
            later = chooser.attempt(work, replace(found.attempt.way, since=floor.day(work.record, opening)[0]))
            return later if not later.refused and later.cost.missing <= found.cost.missing else found

        return some


def _meet(one: tuple[int, int], other: tuple[int, int]) -> bool:
    return one[0] < other[1] and other[0] < one[1]
