"""The plan made better while somebody waits: a few jobs at a time are lifted off the board and put back another way.

Two kinds of steps take turns in rounds. Whole jobs: ruin and recreate (G. Schrimpf et al. 2000, Record breaking
optimization results using the ruin and recreate principle, Journal of Computational Physics 159) with late acceptance
(E. K. Burke and Y. Bykov 2017, The late acceptance hill-climbing heuristic, European Journal of Operational Research
258): a change is kept where the plan is no worse than it is now or was some steps ago, so it only ever compares costs
and needs no weights. Some blocks: those of a stretch of days or of a costly job are set free and the solver finds their
best places, two sets at a time in two threads while the first kind of step goes on from where it was. Most of what is
gained comes from the solver, and more from twenty-odd blocks at once than from fewer more often. Every place comes from
the same rules as the first plan's, and the same seed and number of rounds give the same plan: solvers stop by their own
count of work, and what they find is taken in a fixed order.
"""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import Executor, Future
from dataclasses import replace
from datetime import timedelta
from random import Random

from crewjobs.domain.plan import BlockKey
from crewjobs.engines.planning.board import Board, Choose, Settled
from crewjobs.engines.planning.choosing import LATER_DAYS, Found
from crewjobs.engines.planning.jobwork import HALF_DAY_SLOTS, UNSPLIT_SLOTS, Floor, JobWork
from crewjobs.engines.planning.objective import Objective, PlanCost, Weights
from crewjobs.engines.planning.placing import Way
from crewjobs.engines.planning.problem import Stop
from crewjobs.engines.planning.solving import Freed, booked, freed, model_of
from crewjobs.engines.scheduling.model import Schedule
from crewjobs.engines.scheduling.solver import TABLES, Answer, solve

MEMORY = 40
"""Steps a worse plan is remembered for: how far the search may go back down the hill it has climbed."""
BEST = 0.1
"""The share of jobs that are put back the best way there is, every crew looked at closer."""
AS_BEFORE = 0.25
"""The share of jobs that are put back where a plan before had them: what can stay, stays."""
ONE = 0.5
"""The share of the others that are tried with one crew only."""
SEQUENCES, SEQUENCE = 0.5, 7
"""The share of steps in which a job moves ahead or back among those that follow it, and how many of these at most."""
CLOSER = 0.05
"""The share of the jobs that follow which are looked at closer, with the crew they have."""
STEPS = 24
"""Steps with whole jobs in a round."""
FREE_BLOCKS, LEAST_BLOCKS, MOST_BLOCKS = 22, 14, 26
"""Blocks that are set free at once, at first, at least and at most: as many as the solver can prove meanwhile."""
GROWS, SHRINKS = 1, 3
"""How many more are set free where nothing better is proven to exist, and how many fewer where nothing is proven."""
DRAWS = 6
"""How often blocks are drawn anew where a proof says that they lie best already."""
SMALL = {**TABLES, "cp_model_presolve": False, "linearization_level": 0}
"""Settings for so few blocks: without presolve and linear relaxation the proof takes half the time."""
SOLVER_WORK = 0.25
"""What a solver may do in a round, in its own count of work."""


class Search:
    """A board, the best that was found on it, and the rounds that lead on."""

    def __init__(
        self,
        board: Board,
        floor: Floor,
        *,
        seed: int = 0,
        weights: Weights | None = None,
        objective: Objective | None = None,
    ) -> None:
        self.board = board
        self.steps = 0
        self.rounds = 0
        self._weights = weights or Weights()
        self._floor = floor
        self.objective = objective or Objective(floor)
        self._random = Random(seed)
        self._costs = {number: self._cost(number) for number in board.works}
        self.total = self._sum()
        self.best, self.best_cost = dict(board.settled), self.total
        self._late = [self.total] * MEMORY
        self._least = dict(self._costs)  # what each job cost at least, ever
        self._proven: set[frozenset[BlockKey]] = set()  # blocks that cannot lie better while the rest is as it is
        self._size = FREE_BLOCKS
        self._wandered: dict[int, Settled] | None = None  # where the steps ended, no better than the best

    def _cost(self, number: int) -> PlanCost:
        settled = self.board.settled[number]
        return self.objective.of_job(self.board.works[number], self.board.bookings_of(number), settled.missing)

    def _sum(self) -> PlanCost:
        total = PlanCost()
        for cost in self._costs.values():
            total = total.plus(cost)
        return total

    def step(self) -> bool:
        """Lift some jobs and put them back another way; return whether a better plan than ever was found.

        Placing ends where the plan is already too costly if all jobs that follow cost no more than they ever did.
        """
        board = self.board
        chosen = self._sequence() if self._random.random() < SEQUENCES else self._scattered()
        before = {number: (board.lift(number), self._costs[number]) for number, _ in chosen}
        place = self.steps % MEMORY
        self.steps += 1
        limit = max(self.total, self._late[place])
        total, least = self.total, self.total
        for number, _ in chosen:
            least = least.minus(self._costs[number]).plus(self._least[number])
        for number, choose in chosen:
            board.place(number, choose)
            cost = self._cost(number)
            total = total.minus(self._costs[number]).plus(cost)
            least = least.minus(self._least[number]).plus(cost)
            self._costs[number] = cost
            self._least[number] = min(self._least[number], cost)
            if least > limit:
                self._undo(before)
                total = self.total
                break
        self.total = total
        self._late[place] = min(self._late[place], total)
        if total < self.best_cost:
            self._found(total)
            return True
        return False

    def _found(self, total: PlanCost) -> None:
        """Keep what is on the board as the best."""
        self.best, self.best_cost = dict(self.board.settled), total
        self._proven.clear()

    def _scattered(self) -> list[tuple[int, Choose]]:
        """Return a job with some beside it, to be put back in any order."""
        numbers = self._group()
        self._random.shuffle(numbers)
        return [(number, self._choose()) for number in numbers]

    def _sequence(self) -> list[tuple[int, Choose]]:
        """Return the jobs from one on as they follow, one of them moved ahead or back: the rest closes up behind it."""
        random, board = self._random, self.board
        first = {n: min(b.start for b in one.bookings.values()) for n, one in board.settled.items() if one.bookings}
        order = sorted(first, key=lambda number: (first[number], number))
        if len(order) < 2:
            return self._scattered()
        at = random.randrange(len(order))
        to = max(0, min(len(order) - 1, at + random.choice((-4, -3, -2, -2, -1, -1, 0, 1, 1, 2))))
        low = min(at, to)
        moved = order[low : low + SEQUENCE]
        job = order[at]
        if job in moved:
            moved.remove(job)
        moved.insert(to - low, job)
        return [(number, self._choose() if number == job else self._same(number)) for number in moved]

    def _same(self, number: int) -> Choose:
        """Return how a job is put back with the crew it has, as early as it can be then."""
        way = self.board.settled[number].way
        chooser, closer = self.board.chooser, self._random.random() < CLOSER
        if way is None:
            return chooser.best

        def same(work: JobWork, wished: int) -> Found:
            found = chooser.attempt(work, replace(way, since=wished, wished=wished))
            return chooser.closer(work, found) if closer and not found.refused else found

        return same

    def round(self, pool: Executor | None, workers: int = 2, stop: Stop | None = None) -> bool:
        """Make a round's steps, with solvers beside them where a pool of threads is given; return whether it got better.

        The board then holds the best plan found. Solvers start from that one, whole jobs from where the last round's
        steps ended, unless a solver has found a better plan since.
        """
        self.rounds += 1
        before, steps_from = self.best_cost, self._wandered
        running = self._solving(pool, workers, stop) if pool is not None else []
        start = dict(self.board.settled)
        if steps_from is not None:
            self._go(steps_from)
        for _ in range(STEPS):
            if stop is not None and stop():
                break
            self.step()
        self._wandered = dict(self.board.settled)
        self.back()
        for one, future in running:
            answer = future.result()
            taken = False
            if answer.schedule is not None and answer.schedule != one.hint:
                taken = self._take(one, answer.schedule, start)
            if answer.proven and not taken and self.best_cost == before:
                self._proven.add(frozenset(one.keys))
            if taken:
                self._wandered = None
            elif answer.proven:
                self._size = min(MOST_BLOCKS, self._size + GROWS)
            else:
                self._size = max(LEAST_BLOCKS, self._size - SHRINKS)
        return self.best_cost < before

    def _solving(self, pool: Executor, workers: int, stop: Stop | None) -> list[tuple[Freed, Future[Answer]]]:
        """Return sets of blocks on the board that solvers now look at, each in a thread."""
        running = []
        for keys in [self._blocks() for _ in range(workers)]:
            found = freed(self.board, self._floor, keys) if keys else None
            if found is None:
                continue
            model = model_of(found, self.board, self._floor, self.objective, self._weights)
            seed = self._random.randrange(2**30)
            answer = pool.submit(
                solve, model, deterministic=SOLVER_WORK, workers=1, seed=seed, stop=stop, settings=SMALL
            )
            running.append((found, answer))
        return running

    def _take(self, found: Freed, schedule: Schedule, start: Mapping[int, Settled]) -> bool:
        """Take a solver's answer if that makes the plan better; return whether it does.

        Where the jobs it speaks of have changed meanwhile, it is held against them on the plan it started from.
        """
        board = self.board
        if any(board.settled[job] is not start[job] for job in found.stands):
            self._go(start)
        settled = booked(found, schedule, board, self._floor)
        if settled is None:
            self.back()
            return False
        for number in settled:
            board.lift(number)
        for number, one in settled.items():
            board.put(number, one)
            self._costs[number] = self._cost(number)
        self.total = self._sum()
        if self.total < self.best_cost:
            self._found(self.total)
            return True
        self.back()
        return False

    def _blocks(self) -> list[BlockKey]:
        """Return blocks that were not looked at since something got better, as far as some draws find such."""
        for _ in range(DRAWS):
            keys = self._drawn()
            if frozenset(keys) not in self._proven:
                break
        return keys

    def _drawn(self) -> list[BlockKey]:
        """Return the blocks of a stretch of days, of a costly job with some that lie beside it, or of any two jobs."""
        random, board = self._random, self.board
        at = {key: booking for settled in board.settled.values() for key, booking in settled.bookings.items()}
        if not at:
            return []
        kind = random.random()
        if kind < 0.45:
            middle = at[random.choice(list(at))].start
            return sorted(at, key=lambda key: (abs(at[key].start - middle), key))[: self._size]
        numbers = [number for number, settled in board.settled.items() if settled.bookings]
        costly = [number for number in numbers if self._costs[number][:4] > (0, 0, 0, 0)]
        first = random.choice(costly if costly and kind < 0.8 else numbers)
        span = self._span(first)
        near = [n for n in numbers if n != first and (kind >= 0.8 or _meet(span, self._span(n)))]
        random.shuffle(near)
        keys = list(board.settled[first].bookings)
        for number in near:
            more = list(board.settled[number].bookings)
            if len(keys) + len(more) > self._size + 6:
                break
            keys += more
        return keys

    def back(self) -> None:
        """Put the best plan found back on the board."""
        self._go(self.best)

    def _go(self, plan: Mapping[int, Settled]) -> None:
        changed = [number for number, settled in self.board.settled.items() if settled is not plan[number]]
        for number in changed:
            self.board.lift(number)
        for number in changed:
            self.board.put(number, plan[number])
            self._costs[number] = self._cost(number)
        self.total = self._sum()

    def _undo(self, before: dict[int, tuple[Settled, PlanCost]]) -> None:
        """Put jobs back as they were; those that are on the board are taken off first."""
        for number in before:
            if number in self.board.settled:
                self.board.lift(number)
        for number, (settled, cost) in before.items():
            self.board.put(number, settled)
            self._costs[number] = cost

    def _group(self) -> list[int]:
        """Return a job, more often one that costs much, and some that are at work at the same time."""
        random, board = self._random, self.board
        numbers = list(board.works)
        costly = [n for n in numbers if self._costs[n][:4] > (0, 0, 0, 0)]
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

    def _choose(self) -> Choose:
        """Return how the next job is put back: the best way now, or one crew at random, maybe some days later."""
        random, chooser, floor = self._random, self.board.chooser, self._floor
        if floor.problem.previous is not None and random.random() < AS_BEFORE:
            return self.board.keeper.as_before
        if random.random() < BEST:
            return chooser.best

        def some(work: JobWork, wished: int) -> Found:
            mains = chooser.mains(work)
            tried = [mains[random.randrange(len(mains))]] if random.random() < ONE else mains
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
