"""The judge's view of where crews and shared tools are and how long the way is, from the bare records."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, timedelta
from itertools import combinations, pairwise
from typing import NamedTuple

from crewjobs.domain.crew import Crew
from crewjobs.domain.plan import Placement
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import QUARTER, to_wall
from crewjobs.engines.judging.minutes import Minutes, whole_quarters
from crewjobs.engines.planning.problem import PlanProblem

DAY = 24 * 60
LOADING = timedelta(minutes=60)
"""In the first hour of its day a crew loads and drives: common practice, no source."""
SHOP = 0
"""Where a crew is that was at no house today."""


Begun = Callable[[int, Task], str | None]
"""The crew that goes on with a job's task under way, empty where nobody knows; None where it is not under way."""


class Stood(NamedTuple):
    """The house a crew was at last today, since when, up to when, and whether it was turned away there."""

    at: datetime
    job: int
    turned: bool
    until: datetime


class Ways:
    """Where the crews of a problem are at its `now`, and the drives between its houses in minutes."""

    def __init__(self, problem: PlanProblem, minutes: Minutes) -> None:
        self._problem = problem
        self._minutes = minutes
        self._sites = {record.job.number: record.job.site for record in problem.jobs}
        self.now = minutes.of(next_quarter(problem.now))

    def drive(self, one: int, other: int) -> int:
        """Return the minutes between two houses, or from the shop; over the shop where they are not known."""
        if one == other:
            return 0
        for pair in ((one, other), (other, one)):
            if pair in self._problem.drive:
                return self._problem.drive[pair]
        if SHOP in (one, other):
            return self._sites[one or other].drive_min
        a, b = self._sites[one], self._sites[other]
        return 0 if a.address == b.address else a.drive_min + b.drive_min

    def between(self, crew: Crew, mine: Sequence[Placement]) -> Iterator[str]:
        """Yield what a crew's places in order leave it no time for: to be done, and to drive to the next."""
        for before, after in pairwise(mine):
            end, start = self._minutes.of(before.end), self._minutes.of(after.start)
            if start < end:
                yield f"{name_of(after)}: {crew.name} is still on job {before.key.job}."
            elif self._minutes.day(end - 1) == self._minutes.day(start):
                drive = whole_quarters(self.drive(before.key.job, after.key.job))
                if self._minutes.hours(crew, end, start) < drive:
                    yield f"{name_of(after)}: {crew.name} needs {drive} minutes to drive from job {before.key.job}."

    def from_now(self, crew: Crew, mine: Sequence[Placement], begun: Begun) -> Iterator[str]:
        """Yield that a crew cannot be in time at the first house it is sent to from where it is.

        It leaves now, or is on its way already where the plan before has it there next.
        """
        first, house = (mine[0] if mine else None), self.house(crew, begun)
        if first is None or house is None:
            return
        stood, start = self.last(crew), self._minutes.of(first.start)
        if self._minutes.day(self.now) != self._minutes.day(start):
            return
        free = self.now if stood is None else max(self.now, self._minutes.of(stood.until))
        drive, had = whole_quarters(self.drive(house, first.key.job)), self._minutes.hours(crew, free, start)
        when, ahead = self._was_next(crew)
        if ahead == first.key.job and not (stood and stood.turned):
            # The plan before had it leave in time, or it has had so long since.
            had = max(had, drive if stood is None else (first.start - stood.until) // timedelta(minutes=1) + QUARTER)
        elif ahead and not (stood and stood.turned):  # it was on its way to another house, and goes on from there
            further = whole_quarters(self.drive(ahead, first.key.job))
            had = drive if self._minutes.hours(crew, max(self.now, self._minutes.of(when)), start) >= further else had
        if had < drive:
            yield f"{name_of(first)}: {crew.name} needs {drive} minutes to drive from {_house(house)}."

    def house(self, crew: Crew, begun: Begun) -> int | None:
        """Return the house a crew stands or works at in the middle of its day, or the shop; None before and after it.

        None, too, where nobody knows at which house it goes on, or its work counts as done by the plan.

        `begun` tells the crew that goes on with a task under way. What another crew had by the plan before, it is not at.
        """
        stood = self.last(crew)
        if stood is not None and stood.turned:
            return stood.job if self._in_its_day(crew) else None
        if stood is None and self._minutes.at(self.now) - LOADING < self._began(crew):
            return None  # it loads and drives, wherever it is sent
        if not self._in_its_day(crew) or any(
            one.crew == crew.name and one.end > self._problem.now for one in self._problem.stands
        ):
            return None
        before = self._problem.previous.placements if self._problem.previous else ()
        had = {(one.key.job, number): one.crew for one in before for number in one.tasks}
        for record in self._problem.jobs:
            job = record.job.number
            for task in record.tasks:
                mine = begun(job, task) == crew.name and had.get((job, task.number), crew.name) == crew.name
                if mine and stood is None:
                    return None
        return stood.job if stood is not None else SHOP

    def last(self, crew: Crew) -> Stood | None:
        """Return where a crew was last today, None if at no house."""
        zone, now = self._problem.shop.zone, self._problem.now
        seen = [
            Stood(run.at, record.job.number, True, run.at)
            for record in self._problem.jobs
            for run in record.dry_runs
            if run.crew == crew.name
        ]
        seen += [
            Stood(moment, record.job.number, False, moment)
            for record in self._problem.jobs
            for task in record.tasks
            if task.crew == crew.name
            for moment in (task.started_at, task.done_at)
            if moment is not None
        ]
        seen += [
            Stood(placed.start, placed.key.job, False, min(placed.end, now))
            for placed in (self._problem.previous.placements if self._problem.previous else ())
            if placed.crew == crew.name and placed.key.job in self._sites and not self._left_since(placed, placed.start)
        ]
        seen += [
            Stood(been.at, been.job, False, been.until)
            for been in self._problem.been
            if been.crew == crew.name and been.job in (SHOP, *self._sites)
        ]
        today = to_wall(zone, now).date()
        of_today = (one for one in seen if one.at <= now and to_wall(zone, one.at).date() == today)
        return max(of_today, key=lambda one: (one.at, one.job == SHOP, one), default=None)

    def _left_since(self, placed: Placement, by: datetime) -> bool:
        """Return whether a crew told that it left a house by an instant, after the plan before had sent it there."""
        made = self._problem.previous.made_at if self._problem.previous else by
        zone = self._problem.shop.zone
        return any(
            made < told.stop <= by and to_wall(zone, told.stop).date() == to_wall(zone, by).date()
            for record in self._problem.jobs
            for told in record.crew_hours
            if record.job.number == placed.key.job and told.crew == placed.crew
        )

    def _in_its_day(self, crew: Crew) -> bool:
        day = self._minutes.day
        today = day(self._minutes.of(self._problem.now))
        over = next(m for m in range(self.now, self.now + 2 * DAY) if day(m) != today)
        return self._began(crew) < self._minutes.at(self.now) and self._minutes.hours(crew, self.now, over) > 0

    def _began(self, crew: Crew) -> datetime:
        """Return when a crew's day began, or begins; long after now where it has none today."""
        today = self._minutes.day(self._minutes.of(self._problem.now))
        first = next(m for m in range(self.now - DAY - 60, self.now + DAY) if self._minutes.day(m) == today)
        minutes = (m for m in range(first, first + DAY) if self._minutes.hours(crew, m, m + 1))
        return self._minutes.at(next(minutes, first + 3 * DAY))

    def _was_next(self, crew: Crew) -> tuple[datetime, int]:
        """Return when and to which job a crew goes next today by the plan before, or where it is by that; 0 for none."""
        zone, now = self._problem.shop.zone, self._problem.now
        is_open = {(r.job.number, task.number) for r in self._problem.jobs for task in r.tasks if task.open}
        ahead = [
            (placed.start, placed.key.job)
            for placed in (self._problem.previous.placements if self._problem.previous else ())
            if placed.crew == crew.name
            and placed.end > now
            and not self._left_since(placed, now)
            and to_wall(zone, placed.start).date() == to_wall(zone, now).date()
            and any((placed.key.job, number) in is_open for number in placed.tasks)
        ]
        return min(ahead, default=(now, SHOP))

    def too_many_out(self, placements: Sequence[Placement], begun: Callable[[int, int], bool]) -> Iterator[str]:
        """Yield each shared tool of which the shop has too few for places that it cannot go to one after the other.

        Places clash where a tool cannot be brought from one to the other in between, by the clock. Work under way
        (`begun`) has its tools: that alone may be more than the shop owns.
        """
        for tool in self._problem.shop.tools:
            holds = [
                p for p in placements if any(tool.name in self._problem.tools.get((p.key.job, n), ()) for n in p.tasks)
            ]
            fresh = [p for p in holds if not any(begun(p.key.job, number) for number in p.tasks)]
            for one in fresh:
                near = [p for p in holds if p is not one and self._clash(one, p)]
                for more in combinations(near, tool.count):
                    if all(self._clash(a, b) for a, b in combinations(more, 2)):
                        jobs = ", ".join(str(p.key.job) for p in sorted((one, *more), key=lambda p: p.start))
                        yield f"the {tool.name} is at {tool.count + 1} places about {one.start} (jobs {jobs}), of {tool.count}."
                        break

    def _clash(self, one: Placement, other: Placement) -> bool:
        way = timedelta(minutes=whole_quarters(self.drive(one.key.job, other.key.job)))
        return one.start < other.end + way and other.start < one.end + way


def next_quarter(moment: datetime) -> datetime:
    """Return the first whole quarter of an hour from an instant on."""
    return moment + timedelta(seconds=-moment.timestamp() % (QUARTER * 60))


def name_of(placement: Placement) -> str:
    """Return how the judge names a place."""
    return f"job {placement.key.job}, {placement.phase.value} {placement.stage} (task {placement.key.task})"


def _house(job: int) -> str:
    return f"job {job}" if job else "the shop"
