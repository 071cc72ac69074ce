"""Tiny weeks solved over all starts by a model of the tests' own: which promises can be kept is known to proof.

The model shares nothing with the planner but the problem: minutes are simulated one by one (`judging.minutes`), lengths
and rules are written down here, and CP-SAT (OR-Tools) chooses one start of every block with one crew among all there are.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from random import Random

import pytest

from crewjobs.domain.crew import Away, Crew
from crewjobs.domain.tasks import Pause, Phase, Task
from crewjobs.domain.wall import to_wall
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.judging.minutes import Minutes
from crewjobs.engines.planning.improve import improve
from crewjobs.engines.planning.problem import PlanProblem
from tests import thorough
from tests.engines.planning.networks import CENTRAL, MONDAY, Network, at, crew, job, problem, shop

QUARTER = 15
MORE_DAYS = 3
"""So many days after the plan's end starts are looked at: every tiny week is long done by then."""
UNSPLIT = 120
"""Up to two hours' work is done on one day, and half an hour at least on the first of several (`common practice`)."""
LEAST_START = 30
PHASES = (Phase.DEMOLITION, Phase.SUBFLOOR_PREP, Phase.INSTALL, Phase.TRIM)


def tiny(seed: int) -> PlanProblem:
    """Return two or three jobs of two to four blocks for one or two crews, promised within days, with cures between."""
    return replace(_weeks(seed, people=2), days=7)


def tiny_with_people_elsewhere(seed: int) -> PlanProblem:
    """Return such a week for crews of up to three of whom some are out or lent to the other crew on single days."""
    week, random = _weeks(seed, people=0), Random(seed)
    names = [one.name for one in week.shop.crews]
    away = [
        Away(
            crew=one.name,
            worker=worker.name,
            day=MONDAY + timedelta(days=random.randrange(5)),
            to=random.choice(["", *(name for name in names if name != one.name)]),
        )
        for one in week.shop.crews
        for worker in one.workers
        if random.random() < 0.35
    ]
    return replace(week, away=tuple(away), days=11)


def tiny_with_waits_at_most(seed: int) -> PlanProblem:
    """Return such a week in which half of the waits are no longer than hours, a night or a day over their least."""
    week, random = tiny_with_people_elsewhere(seed), Random(seed)
    records = []
    for record in week.jobs:
        links = tuple(
            replace(link, most_min=link.wait_min + random.choice((60, 240, 960, 1440)))
            if random.random() < 0.5
            else link
            for link in record.links
        )
        records.append(replace(record, links=links))
    return replace(week, jobs=tuple(records))


def _weeks(seed: int, people: int) -> PlanProblem:
    """Return the jobs of a tiny week for crews of so many people, 0 for two or three by the seed."""
    random = Random(seed)
    sizes = [people or 2 + (seed + i) % 2 for i in range(2)]
    crews = [crew("Birch", sizes[0]), crew("Cedar", sizes[1])][: random.choice((1, 2, 2))]
    records = []
    for number in range(1, random.choice((3, 4))):
        promised = MONDAY + timedelta(days=random.randrange(0, 5))
        net = Network(job=job(number, drive=0, promised=promised, weight=random.choice((1, 2, 3))))
        before = 0
        for phase in PHASES[: random.choice((2, 2, 3, 4))]:
            labor, wait = random.choice((120, 240, 480, 720)), random.choice((0, 0, 120, 960, 1440))
            pause = random.choice((Pause.NIGHT, Pause.NIGHT, Pause.LUNCH, Pause.NONE)) if labor <= 480 else Pause.NIGHT
            waits = {before: (wait, "cures")} if before and wait else None
            before = net.add(
                phase.value, phase, labor, *([before] if before and not wait else []), waits=waits, pause=pause
            )
        records.append(net.record())
    return problem(records, replace(shop(*crews), kept_percent=0), days=7)


@dataclass(frozen=True, slots=True)
class Place:
    """A start of a task with a crew, and its end, in quarter hours after the plan's start."""

    crew: str
    start: int
    end: int


def present(week: PlanProblem, one: Crew, day: date) -> int:
    """Return how many work in a crew on a day, from the bare records of who is away."""
    gone = {entry.worker for entry in week.away if entry.crew == one.name and entry.day == day}
    lent = {entry.worker for entry in week.away if entry.to == one.name and entry.day == day}
    return sum(worker.name not in gone for worker in one.workers) + len(lent)


def places(week: PlanProblem, minutes: Minutes, one: Crew, number: int, task: Task) -> list[Place]:
    """Return every start of a task with a crew and any number of its people, simulated from each quarter hour on."""
    record = next(record for record in week.jobs if record.job.number == number)
    flags, begin = list(minutes.there(one, record.job).flags), minutes.of(week.now)
    days = [minutes.day(m) for m in range(len(flags))]
    here = {day: present(week, one, day) for day in dict.fromkeys(days)}
    at_work = [m for m in range(begin, len(flags)) if flags[m] and here[days[m]]]
    found = []
    for people in sorted({*here.values()} - {0}):
        work = -(-round(task.estimate.likely) // min(task.people, people))
        work = -(-work // QUARTER) * QUARTER
        for i, start in enumerate(at_work):
            if (start - begin) % QUARTER or i + work > len(at_work):
                continue
            worked = at_work[i : i + work]
            last = worked[-1]
            first = sum(days[m] == days[start] for m in worked)
            broken = {
                Pause.NONE: last - start != work - 1,
                Pause.LUNCH: first < work,
                Pause.NIGHT: first < (work if work <= UNSPLIT else LEAST_START),
            }
            if not broken[task.pause] and min(here[day] for day in {days[m] for m in worked}) == people:
                found.append(Place(one.name, (start - begin) // QUARTER, (last + 1 - begin) // QUARTER))
    return list(dict.fromkeys(found))


def fewest_days_late(week: PlanProblem) -> int | None:
    """Return the fewest days after promises, by weight, over all starts and crews of all blocks; proven.

    None where not all blocks have a place within their waits at most.
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    minutes = Minutes(week.shop, week.now, week.now + timedelta(days=week.days + MORE_DAYS))
    busy: dict[tuple[str, int], list[cp_model.IntVar]] = {}
    cost = []
    for record in week.jobs:
        number, promised = record.job.number, record.job.promised
        starts, ends = {}, {}
        late = model.new_int_var(0, week.days + MORE_DAYS, f"late {number}")
        for task in record.tasks:
            chosen = {
                place: model.new_bool_var("")
                for one in week.shop.crews
                for place in places(week, minutes, one, number, task)
            }
            model.add_exactly_one(chosen.values())
            starts[task.number] = sum(place.start * is_it for place, is_it in chosen.items())
            ends[task.number] = sum(place.end * is_it for place, is_it in chosen.items())
            for place, is_it in chosen.items():
                for slot in range(place.start, place.end):
                    busy.setdefault((place.crew, slot), []).append(is_it)
            assert promised is not None
            model.add(late >= sum(_days_late(week.now, place, promised) * is_it for place, is_it in chosen.items()))
        for link in record.links:
            model.add(QUARTER * (starts[link.after] - ends[link.before]) >= link.wait_min)
            if link.most_min is not None:  # labor is in whole quarters: what is done is done when its last slot is over
                model.add(QUARTER * (starts[link.after] - ends[link.before]) <= link.most_min)
        cost.append(record.job.weight * late)
    for at_once in busy.values():
        model.add_at_most_one(at_once)
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    assert status == cp_model.OPTIMAL
    return round(solver.objective_value)


def _days_late(now: datetime, place: Place, promised: date) -> int:
    ends = now + timedelta(minutes=QUARTER * place.end - 1)
    return max(0, (to_wall(CENTRAL, ends).date() - promised).days)


@pytest.mark.parametrize("seed", thorough.of(range(24), (1, 2, 3)))
def test_every_promise_that_can_be_kept_is_kept(seed: int) -> None:
    """In a few rounds the search is as late as the best of all plans there are, and never claims more than that."""
    _as_late_as_can_be(tiny(seed))


@pytest.mark.parametrize("seed", thorough.of(range(14), (1, 2)))
def test_every_promise_that_can_be_kept_with_people_elsewhere_is_kept(seed: int) -> None:
    """So it is where people are out or lent on single days, and work takes more or fewer of them."""
    _as_late_as_can_be(tiny_with_people_elsewhere(seed))


@pytest.mark.parametrize("seed", thorough.of(range(50, 58), (51,)))
def test_every_promise_that_can_be_kept_with_waits_at_most_is_kept(seed: int) -> None:
    """So it is where work must follow within hours, people elsewhere or not; what cannot all be placed is not compared."""
    _as_late_as_can_be(tiny_with_waits_at_most(seed))


def _as_late_as_can_be(week: PlanProblem) -> None:
    fewest = fewest_days_late(week)
    if fewest is None:
        assert improve(week, rounds=1, seed=0).cost.missing
        return
    found = improve(week, rounds=3, seed=0)
    assert check_plan(week, found.plan) == ()
    assert found.cost.missing == 0
    assert found.cost.late >= fewest, "the model knows every place the planner may use"
    assert found.cost.late == fewest


def test_the_model_is_right_about_a_week_by_hand() -> None:
    """Two jobs of a day each for one crew, both promised Monday: one is a day late, the lighter one."""
    records = []
    for number, weight in ((1, 3), (2, 2)):
        net = Network(job=job(number, drive=0, promised=MONDAY, weight=weight))
        net.add("rows", Phase.INSTALL, 8 * 60 * 2)
        records.append(net.record())
    week = problem(records, replace(shop(crew("Birch", 2)), kept_percent=0), days=7)
    assert week.now == at(MONDAY, "06:30")
    assert fewest_days_late(week) == 2
