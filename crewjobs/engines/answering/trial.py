"""Some jobs tried anew on a board, while all other work stands where a plan has it.

Only jobs that compete are tried, so that a trial costs what these cost, whatever the size of the shop.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace

from crewjobs.domain.plan import BlockKey, Placement, WeekPlan
from crewjobs.engines.answering.effort import PLACED, STEP, Effort, OutOfTime
from crewjobs.engines.answering.ground import Ground
from crewjobs.engines.answering.on_time import on_time, put_on_time
from crewjobs.engines.answering.planned_job import tools_of
from crewjobs.engines.answering.standing import kept
from crewjobs.engines.planning.board import Board, Settled
from crewjobs.engines.planning.jobwork import Floor, JobWork, rank
from crewjobs.engines.planning.list_schedule import plan_of
from crewjobs.engines.planning.objective import Objective, PlanCost
from crewjobs.engines.planning.search import STEPS, Search
from crewjobs.engines.planning.timeline import Booking

BROKEN = 10_000
"""A promise that has to be kept weighs as much as so many blocks without a place."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tried:
    """All work of a trial with a place, and the promises that are kept then, those of jobs that stand among them."""

    settled: Mapping[int, Settled]
    kept: frozenset[int]


class Trial:
    """A board with some jobs to be tried, the work of all others booked where a plan has it.

    `jobs` are those that are tried: open and without a circle. `now` is how they stand in the plan.
    """

    def __init__(self, ground: Ground, plan: WeekPlan, jobs: Collection[int], effort: Effort | None = None) -> None:
        self._ground = ground
        self.effort = effort or ground.effort
        self._plan = plan
        self._floor = ground.bare.emptied()
        works = [work for number in sorted(jobs) if (work := ground.work(number)) is not None and work.blocks]
        self.jobs = frozenset(work.number for work in works)
        self._stand = tuple(self._standing())
        for placed in self._stand:
            booking = _booking(self._floor, placed)
            if booking is not None:
                self._floor.timelines[placed.crew].add(booking)
        self._around = kept(ground.problem, plan) - self.jobs
        works.sort(key=lambda work: rank(work, self._floor))
        self._board = Board(self._floor, works, keeping=ground.problem.previous is not None)
        for work in works:
            self._board.place(work.number, unpin=True)
        self.effort.spend(PLACED * self._blocks(self.jobs))
        self.now = self._tried()

    def _standing(self) -> Iterator[Placement]:
        for placed in self._plan.placements:
            record = self._ground.records.get(placed.key.job)
            if record is None or placed.key.job in self.jobs or placed.crew not in self._floor.timelines:
                continue
            if any(record.task(number).open for number in placed.tasks):
                yield placed

    def _blocks(self, jobs: Collection[int]) -> int:
        return sum(len(self._board.works[number].blocks) for number in jobs)

    # -- what is kept

    def keeps(self, goal: frozenset[int], *, harder: bool = False) -> Tried | None:
        """Return all work placed so that the promises of some jobs are kept, None where no such places were found.

        Jobs beside them are placed after them, wherever there is room. `harder` tries longer before it gives up.

        Raises:
            OutOfTime: there was no time to look, or to look to the end.
        """
        mine = goal & self.jobs
        if not goal - mine <= self._around or not all(self._whole(number) for number in mine):
            return None
        if goal <= self.now.kept:
            return self.now
        if self.effort():
            raise OutOfTime
        try:
            if put_on_time(self._board, mine, self.effort, harder=harder):
                for number in self._board.works:
                    if number not in self._board.settled:
                        self._board.place(number)
                self.effort.spend(PLACED * self._blocks(self.jobs - mine))
                found = self._tried()
                if goal <= found.kept:
                    return found
        finally:
            self._go(self.now)
        if self.effort():
            raise OutOfTime
        return None

    def _whole(self, number: int) -> bool:
        """Return whether all work of a job has a place, or would have with nothing else in its way.

        What has none for reasons of its own keeps no promise.
        """
        if not self.now.settled[number].missing:
            return True
        if number not in self._ground.whole:
            bare = alone(self._ground, (number,), self.effort)
            self._ground.whole[number] = not bare.now.settled[number].missing
        return self._ground.whole[number]

    def _tried(self) -> Tried:
        mine = {number for number in self.jobs if on_time(self._board, number)}
        return Tried(settled=dict(self._board.settled), kept=self._around | mine)

    def _go(self, tried: Tried) -> None:
        changed = [
            number for number in self._board.works if self._board.settled.get(number) is not tried.settled[number]
        ]
        for number in changed:
            if number in self._board.settled:
                self._board.lift(number)
        for number in changed:
            self._board.put(number, tried.settled[number])

    # -- better, and as a plan

    def better(self, tried: Tried, goal: frozenset[int], rounds: int) -> Tried:
        """Return what was tried after some rounds of search that break no promise of `goal`: less late, less moved."""
        if not self.jobs or self.effort():
            return tried
        self._go(tried)
        try:
            search = Search(self._board, self._floor, objective=_Keeping(self._floor, goal & self.jobs))
            for _ in range(rounds):
                if self.effort():
                    break
                search.round(None)
                self.effort.spend(STEPS * STEP * self._blocks(self.jobs))
            search.back()
            found = self._tried()
            return found if goal <= found.kept else tried
        finally:
            self._go(self.now)

    def plan(self, tried: Tried) -> WeekPlan:
        """Return what was tried as a plan of all jobs."""
        problem = self._ground.problem
        mine = replace(
            problem,
            jobs=tuple(record for record in problem.jobs if record.job.number in self.jobs),
            stands=tuple(placed for placed in problem.stands if placed.key.job in self.jobs),
        )
        self._go(tried)
        try:
            made = plan_of(mine, self._board, ())
        finally:
            self._go(self.now)
        others = (*self._stand, *(placed for placed in problem.stands if placed.key.job not in self.jobs))
        left = (*made.left_out, *(left for left in self._plan.left_out if left.job not in self.jobs))
        return replace(
            made,
            placements=tuple(sorted((*made.placements, *others), key=lambda one: (one.start, one.crew, one.key))),
            left_out=tuple(sorted(left, key=lambda left: (left.job, left.tasks))),
        )


class _Keeping(Objective):
    """Judges as ever, but a promise that has to be kept comes before all else."""

    def __init__(self, floor: Floor, goal: frozenset[int]) -> None:
        super().__init__(floor)
        self._goal = goal

    def of_job(self, work: JobWork, bookings: Mapping[BlockKey, Booking], missing: int) -> PlanCost:
        cost = super().of_job(work, bookings, missing)
        broken = work.number in self._goal and (cost.late or missing)
        return cost._replace(missing=cost.missing + BROKEN) if broken else cost


def _booking(floor: Floor, placed: Placement) -> Booking | None:
    """Return a place of a plan as far as it lies ahead, None where it does not."""
    start, end = max(0, floor.axis.down(placed.start)), floor.axis.up(placed.end)
    if end <= start:
        return None
    tools = tools_of(floor.problem, placed)
    return Booking(key=placed.key, crew=placed.crew, start=start, end=end, people=placed.people, tools=tools)


def alone(ground: Ground, jobs: Collection[int], effort: Effort | None = None) -> Trial:
    """Return a trial of some jobs with nothing else in their way."""
    now = ground.problem.now
    return Trial(ground, WeekPlan(made_at=now, until=now, placements=(), left_out=()), jobs, effort)
