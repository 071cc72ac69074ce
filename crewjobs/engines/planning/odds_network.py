"""A stored plan as steps to sample (`odds`): its blocks in the crews' order, what they wait for, and what may be late.

A crew's first block at a house starts no earlier than planned, since people were told; what follows it at the same house without
a gap goes on as soon as the crew is ready. Not looked at: shared tools, small visits in between and at-most waits, so odds are
hopeful where those bind.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import exp, hypot, log1p, sqrt

from crewjobs.domain.crew import Crew
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey, Placement, WeekPlan
from crewjobs.domain.wall import QUARTER
from crewjobs.engines.planning.blocks import begun_tasks, by_elevator, open_links
from crewjobs.engines.planning.calendars import Axis, slots_of
from crewjobs.engines.planning.coming_late import HowLate, Late
from crewjobs.engines.planning.jobwork import OPENING_SLOTS, UNSPLIT_SLOTS, Floor
from crewjobs.engines.planning.layout import makespan, placement_spans
from crewjobs.engines.planning.odds import After, Network, Step
from crewjobs.engines.planning.problem import Earliest, PlanProblem


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockPace:
    """What a block takes: `factor` times its planned minutes in the median, and the standard deviation of their log.

    `lean` is how much of what is unsure of the crew's pace it has (`Step`).
    """

    factor: float
    sigma: float
    lean: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spreads:
    """How far everything may differ. Blocks without a pace of their own get `by_estimate`.

    `lateness` tells of a fact ahead of a job (a delivery, others' work) how late it may come; None where it is sure.
    """

    blocks: Mapping[BlockKey, BlockPace] = field(default_factory=dict)
    job_sigma: float = 0.0
    crew_sigma: Mapping[str, float] = field(default_factory=dict)
    lateness: Callable[[JobRecord, Earliest], HowLate | None] = lambda _record, _fact: None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanNetwork:
    """The steps with their axis; `keys` are the blocks of the steps, in their order."""

    network: Network
    axis: Axis
    keys: tuple[BlockKey, ...]


def by_estimate(record: JobRecord, placement: Placement) -> BlockPace:
    """Return the pace that the tasks' three-point estimates mean: the plan's minutes in the mean, PERT's spread."""
    estimates = [record.task(number).estimate for number in placement.tasks]
    expected = sum(one.expected for one in estimates)
    if expected <= 0:
        return BlockPace(factor=1.0, sigma=0.0)
    variance = log1p((hypot(*(one.spread for one in estimates)) / expected) ** 2)
    return BlockPace(factor=exp(-variance / 2), sigma=sqrt(variance))


def network_of(problem: PlanProblem, plan: WeekPlan, spreads: Spreads | None = None) -> PlanNetwork:
    """Return a plan as steps from the problem's `now` on; what ended by then is over, what began is sampled as what is left.

    With `spreads` of nothing (`Spreads(blocks=...)` with factor 1 and sigma 0) sampling gives the plan.
    """
    return _Building(problem, plan, spreads or Spreads()).built()


class _Building:
    def __init__(self, problem: PlanProblem, plan: WeekPlan, spreads: Spreads) -> None:
        self.problem, self.plan, self.spreads = problem, plan, spreads
        self.floor = Floor(problem)
        self.axis = self.floor.axis
        self.records = {record.job.number: record for record in problem.jobs}
        every = [one for one in plan.placements if one.key.job in self.records and one.crew in self.floor.crews]
        self.over = {self._task(one, n): one.end for one in every if one.end <= problem.now for n in one.tasks}
        ahead = [one for one in every if one.end > problem.now]
        self.begun = {
            number: begun_tasks(record, problem.shop, problem.now, problem.previous, problem.paces)
            for number, record in self.records.items()
        }
        self.ahead = sorted(ahead, key=lambda one: (one.start, one.end, one.key))
        self.place = {self._task(one, n): place for place, one in enumerate(self.ahead) for n in one.tasks}
        self.lates: dict[str, Late] = {}

    @staticmethod
    def _task(placement: Placement, number: int) -> tuple[int, int]:
        return placement.key.job, number

    def built(self) -> PlanNetwork:
        links = {number: self._links(record) for number, record in self.records.items()}
        before: dict[str, Placement] = {}
        steps = []
        for place, placement in enumerate(self.ahead):
            steps.append(self._step(place, placement, before.get(placement.crew), links[placement.key.job]))
            before[placement.crew] = placement
        network = Network(
            steps=tuple(steps),
            lates=tuple(self.lates.values()),
            job_sigma=self.spreads.job_sigma,
            crew_sigma=self.spreads.crew_sigma,
        )
        return PlanNetwork(network=network, axis=self.axis, keys=tuple(one.key for one in self.ahead))

    def _links(self, record: JobRecord) -> dict[int, list[tuple[int, int]]]:
        """Return, by task, the tasks it still waits for with minutes by the clock."""
        begun = self.begun[record.job.number]
        found: dict[int, list[tuple[int, int]]] = {}
        for link in open_links(record, begun):
            found.setdefault(link.after, []).append((link.before, link.wait_min))
        return found

    def _step(
        self, place: int, placement: Placement, before: Placement | None, links: Mapping[int, list[tuple[int, int]]]
    ) -> Step:
        record, crew = self.records[placement.key.job], self.floor.crews[placement.crew]
        elevator = any(by_elevator(record, record.task(number)) for number in placement.tasks)
        calendar = self.floor.calendars.at(placement.crew, record.job, elevator=elevator)
        start, end = self.axis.up(placement.start), self.axis.up(placement.end)
        under_way = placement.start <= self.problem.now
        goes_on = before is not None and before.key.job == placement.key.job
        if goes_on and before is not None:
            goes_on = calendar.count(max(0, self.axis.up(before.end))) == calendar.count(max(0, start))
        floors = [0 if under_way or goes_on else start]
        after, late = set[After](), set[str]()
        for number in () if under_way else placement.tasks:
            if number not in self.begun[record.job.number]:  # what is under way has what it needs
                floors += self._facts(record, number, late)
            for other, wait in links.get(number, ()):
                at = self.place.get((record.job.number, other))
                if at is not None and at < place:
                    after.add(After(step=at, wait=slots_of(wait)))
                elif (record.job.number, other) in self.over:
                    floors.append(self.axis.up(self.over[record.job.number, other]) + slots_of(wait))
        pace = self.spreads.blocks.get(placement.key) or by_estimate(record, placement)
        left = calendar.count(end) - calendar.count(0) if under_way else 0
        minutes = left * QUARTER if under_way else self._minutes(placement, record, crew)
        begun = under_way or any(number in self.begun[record.job.number] for number in placement.tasks)
        return Step(
            job=record.job.number,
            crew=placement.crew,
            calendar=calendar,
            hours=self.floor.calendars.crew(placement.crew),
            minutes=minutes * pace.factor,
            sigma=pace.sigma,
            lean=pace.lean,
            floor=max(floors),
            pause=record.task(placement.tasks[0]).pause,
            unsplit=0 if begun else UNSPLIT_SLOTS,
            opening=1 if begun else OPENING_SLOTS,
            drive=self.floor.roads.slots(before.key.job, record.job.number) if before is not None else 0,
            after=tuple(sorted(after, key=lambda one: (one.step, one.wait))),
            late=tuple(sorted(late)),
        )

    def _facts(self, record: JobRecord, number: int, late: set[str]) -> list[int]:
        """Return the slots of facts ahead of a task that are sure; note those that may be late."""
        sure = []
        for fact in self.problem.earliest.get((record.job.number, number), ()):
            told = self.spreads.lateness(record, fact)
            if told is None:
                sure.append(self.axis.up(fact.at))
                continue
            name = f"job {record.job.number}: {fact.reason}"
            self.lates[name] = Late(name=name, due=self.axis.up(fact.at), how=told)
            late.add(name)
        return sure

    def _minutes(self, placement: Placement, record: JobRecord, crew: Crew) -> int:
        return max(1, makespan(placement_spans(placement, record, self.problem.shop, crew, self.plan.made_at)))
