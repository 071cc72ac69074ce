"""Weeks to plan for the benchmark: a shop, its booked houses and what is known about them, from a seed.

Houses are those of the planning tests, with estimates that have a spread, late lots, crews off, site hours, days a
customer excludes, drives and cures. Their size is set so that the crews have work for a share of their hours, and
promises lie where the jobs would end one after the other on crews that share all work, but never before a job could end
if it were the only one: some jobs contend. Few houses for many crews take less: no house is larger than one that could
be done if it were the only one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from random import Random

from crewjobs.domain.crew import Skill
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import ThreePoint
from crewjobs.engines.planning.jobwork import Floor, job_work
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import Earliest, PlanProblem
from tests.engines.planning.networks import MONDAY, USUAL, at, crew, hours, house, problem, shop

LOAD = 0.7
"""The share of all crews' hours in the weeks that the jobs take."""
SMALLER, LEAST_SCALE = 0.9, 0.05
"""Houses that do not fit alone are made a tenth smaller again and again, down to this size."""
NAMES = ("Birch", "Cedar", "Hazel", "Larch", "Maple", "Rowan", "Alder", "Aspen")
SKILLS = (
    "",
    "floating, glue-down, leveling, stairs",
    "floating, nailed, tile removal, leveling",
    "floating, glue-down, nailed, leveling",
)
SITE_HOURS = hours(("09:00", "15:00"))
PLANKS = 2
"""The task of a house that carries in its planks."""


def weeks(jobs: int, crews: int, count: int, seed: int) -> PlanProblem:
    """Return so many booked houses for so many crews and weeks."""
    random = Random(seed)
    days = [MONDAY + timedelta(days=n) for n in range(7 * count)]
    the_shop = shop(
        *(
            crew(
                NAMES[i % len(NAMES)] + ("" if i < len(NAMES) else f" {i // len(NAMES) + 1}"),
                2 + (i + 1) % 3,
                USUAL,
                SKILLS[i % len(SKILLS)],
                off=random.sample([day for day in days if day.weekday() < 5], random.choice((0, 1, 2))),
            )
            for i in range(crews)
        )
    )
    sizes = [random.uniform(0.5, 1.6) for _ in range(jobs)]
    kinds = [_kind(random, days) for _ in range(jobs)]
    spreads = [random.uniform(1.2, 1.8) for _ in range(jobs)]
    earliest = {
        (number, PLANKS): (
            Earliest(
                at=at(MONDAY + timedelta(days=random.randrange(0, 7 * count // 3)), "13:00"), reason="planks come"
            ),
        )
        for number in range(1, jobs + 1)
        if random.random() < 0.4
    }
    drive = {
        (a, b): random.choice((10, 15, 30))
        for a in range(1, jobs + 1)
        for b in range(a + 1, jobs + 1)
        if random.random() < 0.1
    }

    def made(scale: float) -> list[JobRecord]:
        return [
            _spread(house(i + 1, size=size * scale, **kinds[i]), spreads[i])  # type: ignore[arg-type]
            for i, size in enumerate(sizes)
        ]

    plain = problem(made(1.0), the_shop, days=7 * count, earliest=earliest, drive=drive)
    scale = LOAD / _loads(plain, made(1.0))
    records = made(scale)
    while (ends := _alone(plain, records)) is None:
        scale *= SMALLER
        if scale < LEAST_SCALE:
            raise Refused(f"seed {seed}: some house does not fit into {count} weeks: name more weeks.")
        records = made(scale)
    promises = _promises(random, plain, records, ends, count)
    records = [
        replace(one, job=replace(one.job, promised=promised)) for one, promised in zip(records, promises, strict=True)
    ]
    return replace(plain, jobs=tuple(records))


def _kind(random: Random, days: Sequence[date]) -> dict[str, object]:
    return {
        "stages": random.choice((1, 1, 1, 2)),
        "floor": random.choice((Skill.FLOATING, Skill.FLOATING, Skill.GLUED, Skill.NAILED)),
        "tile": random.random() < 0.25,
        "level": random.random() < 0.4,
        "drive": random.choice((10, 20, 25, 40)),
        "weight": random.choice((1, 1, 2, 3)),
        "site_hours": SITE_HOURS if random.random() < 0.2 else None,
        "blocked": frozenset(random.sample(list(days), random.choice((0, 0, 1, 2)))),
    }


def _spread(record: JobRecord, most: float) -> JobRecord:
    """Return a house whose tasks take between a fifth less and `most` times what is likely."""
    tasks = tuple(
        replace(task, estimate=ThreePoint(low=likely * 0.8, likely=likely, high=likely * most))
        for task in record.tasks
        for likely in (task.estimate.likely,)
    )
    return replace(record, tasks=tasks)


def _slots(floor: Floor, record: JobRecord) -> float:
    """Return the slots a job takes, each block by the mean of the crews that can do it."""
    total = 0.0
    for block in job_work(record, floor).blocks.values():
        able = [floor.slots(block, crew) for crew in floor.crews if floor.able(block, crew)]
        total += sum(able) / len(able)
    return total


def _loads(plain: PlanProblem, records: Sequence[JobRecord]) -> float:
    floor = Floor(plain)
    offered = sum(floor.calendars.crew(crew).count(floor.until) for crew in floor.crews)
    return sum(_slots(floor, record) for record in records) / offered


def _alone(plain: PlanProblem, records: Sequence[JobRecord]) -> list[datetime] | None:
    """Return when each job would end if it were the only one, None where one of them would not fit even then."""
    ends = []
    for record in records:
        plan = plan_week(replace(plain, jobs=(record,)))
        if plan.left_out:
            return None
        ends.append(max(placed.end for placed in plan.placements))
    return ends


def _promises(
    random: Random, plain: PlanProblem, records: Sequence[JobRecord], ends: Sequence[datetime], count: int
) -> list[date | None]:
    """Return when each job is promised: no sooner than it `ends` alone, nor than its turn in any order."""
    floor = Floor(replace(plain, jobs=tuple(records)))
    order = list(range(len(records)))
    random.shuffle(order)
    needs = [_slots(floor, record) for record in records]
    offered = sum(floor.calendars.crew(crew).count(floor.until) for crew in floor.crews)
    done = 0.0
    promises: list[date | None] = [None] * len(records)
    for i in order:
        done += needs[i]
        turn = round(7 * count * done / offered * random.uniform(0.9, 1.2))
        promised = max(ends[i].date() + timedelta(days=random.choice((0, 1, 2))), MONDAY + timedelta(days=turn))
        promises[i] = promised if random.random() < 0.85 else None
    return promises
