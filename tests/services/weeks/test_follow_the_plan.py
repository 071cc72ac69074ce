"""Working exactly as planned is never refused: planner and tick judge by the same facts."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest

from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_wall
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.layout import task_times
from crewjobs.engines.readiness.holds import needs_cartons
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.clock import DEMO_NOW
from crewjobs.services.jobs.written import WANTED
from crewjobs.services.office import Office
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.storage.database import open_database
from tests import thorough
from tests.builders import central
from tests.services.conftest import SetClock


class Lead:
    """Somebody who does what the plan says: trucks come when due, others when promised, every task is ticked at its planned end.

    What does not end on the day it begins is said to have begun.
    """

    def __init__(self, demo) -> None:
        self.database = open_database(demo, create=False)
        self.clock = SetClock(None)
        self.office = Office(self.database, self.clock, who="lead")
        self.times: dict[int, dict[tuple[int, int], tuple[datetime, datetime, str]]] = {}

    def read(self):
        with self.database.reading() as uow:
            return uow.shop(), uow.live_jobs(), uow.latest_plan()

    def plan(self, at) -> None:
        self.clock.at = at
        with self.database.reading() as uow:
            problem = problem_of(uow, at)
        if self.office.plan().plan is not None:  # else the plan in force stays, with what is done of it
            _, _, plan = self.read()
            assert check_plan(problem, plan) == ()

    def work(self, day: date) -> None:
        """Tick what the plan in force ends on a day, in the order it ends; then begin what goes on tomorrow."""
        shop, records, plan = self.read()
        if plan.number not in self.times:
            self.times[plan.number] = self.times_of(shop, records, plan)
        times = self.times[plan.number]
        self.trucks(shop, records, day)
        self.others(shop, records, day)
        jobs = {record.job.number: record for record in records}
        for job, task in sorted(times, key=lambda key: (times[key][1], key)):
            if to_wall(shop.zone, times[job, task][1]).date() == day:
                self.tick(jobs[job], task, times[job, task][1])
        for (job, task), (start, end, crew) in times.items():
            if to_wall(shop.zone, start).date() == day < to_wall(shop.zone, end).date():
                self.begin(job, task, start, crew)

    def trucks(self, shop, records, day: date) -> None:
        """Let what is due on a day come then, whoever is there to count it."""
        for record in records:
            for order in record.job.orders:
                come = sum(lot.cartons for lot in record.lots if lot.material == order.material)
                if order.due and to_wall(shop.zone, order.due).date() == day and come < order.cartons:
                    self.clock.at = order.due
                    self.office.arrived(record.job.number, order.material, order.cartons - come)
            for line in record.job.goods:
                come = sum(one.count for one in record.goods_come if one.line == line.name)
                due = next((word.due for word in reversed(record.new_dates) if word.line == line.name), line.due)
                if due and to_wall(shop.zone, due).date() == day and come < line.count:
                    self.clock.at = due
                    self.office.arrived(record.job.number, line.name, line.count - come)

    def others(self, shop, records, day: date) -> None:
        """Let what others promised for a day be there then."""
        for record in records:
            for other in record.waiting_on:
                if other.came_at is None and other.promised and to_wall(shop.zone, other.promised).date() == day:
                    self.clock.at = other.promised
                    self.office.came(record.job.number, other.who.value, what=other.what)

    def times_of(self, shop, records, plan):
        jobs, crews = {r.job.number: r for r in records}, {crew.name: crew for crew in shop.crews}
        times = {}
        for placed in plan.placements:
            for piece in task_times(placed, jobs[placed.key.job], shop, crews[placed.crew], plan.made_at):
                start, end, _ = times.get((piece.job, piece.task), (piece.start, piece.end, ""))
                times[piece.job, piece.task] = (min(start, piece.start), max(end, piece.end), placed.crew)
        return times

    def begin(self, job: int, task: int, start: datetime, crew: str) -> None:
        with self.database.reading() as uow:
            found = uow.job(job).task(task)
        if found.started_at is None:
            self.clock.at = start
            self.office.start(job, task, crew=crew)

    def tick(self, known: JobRecord, task: int, end) -> None:
        """Tick a task of a job as it was in the morning, its cartons brought where not all had come."""
        self.clock.at = end
        job, found = known.job.number, known.task(task)
        if needs_cartons(found):
            with self.database.reading() as uow:
                record = uow.job(job)
            name = found.key.scope.name
            ordered = sum(o.cartons for o in record.job.orders if o.material == name)
            come = sum(lot.cartons for lot in record.lots if lot.material == name)
            if come < ordered:
                self.office.arrived(job, name, ordered - come)
        # A task on hold is refused still: only what is ticked with words anyway has some.
        because = "Northfield Lab, sample 17: none found" if found.key.template in WANTED else ""
        self.office.tick(job, [task], because=because)


@pytest.mark.parametrize("replan", thorough.of([False, True], 1), ids=str)
def test_working_as_planned_is_never_refused(demo_file, replan):
    """Four weeks of the demo shop, every house answered ready: no tick meets a hold, every plan passes the judge, every planned job is finished."""
    lead = Lead(demo_file)
    _, _, first = lead.read()
    planned = {p.key.job for p in first.placements}
    lead.clock.at = DEMO_NOW
    for job in sorted(planned):
        lead.office.ready(job, asked="the customer", answers=Answers(ready=tuple(ReadyItem)))
    day = date(2026, 3, 2)
    for n in range(29):
        today = day + timedelta(days=n)
        if replan and n:
            lead.plan(central(today.isoformat(), "05:00"))
        lead.work(today)
    _, records, _ = lead.read()
    unfinished = {r.job.number for r in records if r.job.number in planned and any(t.open for t in r.tasks)}
    assert unfinished == set()
