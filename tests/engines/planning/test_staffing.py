"""Where a block goes when people are out, lent or away for an hour: with as many as are there."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from crewjobs.domain.crew import Away
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Placement
from crewjobs.domain.tasks import Pause, Phase
from crewjobs.engines.planning.jobwork import Floor, job_work
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import Block
from tests import thorough
from tests.engines.planning.networks import MONDAY, Network, at, crew, job, problem, random_problem, shop

TUESDAY = MONDAY + timedelta(days=1)


def alone(minutes: int, pause: Pause, people: int, *away: Away) -> Placement:
    """Return where one task of so many labor minutes is planned for a crew of so many."""
    net = Network(job=job(1, drive=0))
    net.add("Pour leveler", Phase.SUBFLOOR_PREP, minutes, pause=pause)
    plan = plan_week(problem([net.record()], shop(crew("Birch", people), crew("Cedar", people)), days=14, away=away))
    assert not plan.left_out
    return next(iter(plan.placements))


def out_on(day_number: int, crew_name: str, *people: int) -> list[Away]:
    """Return that some of a crew are out on a day of the week."""
    day = MONDAY + timedelta(days=day_number)
    return [Away(crew=crew_name, worker=f"{crew_name} {n}", day=day) for n in people]


@pytest.mark.parametrize(
    ("minutes", "pause", "hours"), [(480, Pause.NONE, ("07:30", "11:30")), (720, Pause.LUNCH, ("07:30", "14:00"))]
)
def test_what_may_not_pause_waits_for_a_day_with_enough_people(
    minutes: int, pause: Pause, hours: tuple[str, str]
) -> None:
    """Too long for one person in one stretch or day: with one out on Monday it is done on Tuesday by both."""
    both = alone(minutes, pause, 2)
    assert (both.start, both.people) == (at(MONDAY, hours[0]), 2)
    out = [*out_on(0, "Birch", 2), *out_on(0, "Cedar", 2)]
    later = alone(minutes, pause, 2, *out)
    assert (later.start, later.end, later.people) == (at(TUESDAY, hours[0]), at(TUESDAY, hours[1]), 2)


@pytest.mark.parametrize(
    ("hours_of_labor", "start", "end", "people"),
    [(24, "tue 07:30", "wed 11:30", 2), (9, "mon 07:30", "tue 08:30", 1), (4, "mon 07:30", "mon 11:30", 1)],
)
def test_a_block_begins_when_it_is_done_first(hours_of_labor: int, start: str, end: str, people: int) -> None:
    """With one of two out on Monday: 24 h of labor take one person to Wednesday evening, both from Tuesday on to noon.

    Nine take one person to Tuesday 08:30 and both to 12:30; so the one begins.
    """
    net = Network(job=job(1, drive=0))
    net.add("Lay rows", Phase.INSTALL, hours_of_labor * 60)
    floor = Floor(problem([net.record()], shop(crew("Birch", 2)), away=out_on(0, "Birch", 2)))
    work = job_work(net.record(), floor)
    (block,) = work.blocks.values()
    found = floor.first(net.record(), block, "Birch", 0)
    assert found is not None
    days = {"mon": MONDAY, "tue": TUESDAY, "wed": MONDAY + timedelta(days=2)}
    when = [at(days[day], clock) for day, clock in (start.split(), end.split())]
    assert [floor.axis.at(found.start), floor.axis.at(found.end), found.people] == [*when, people]


@pytest.mark.parametrize("seed", thorough.of(range(40), 10))
def test_no_number_of_people_ends_a_block_sooner(seed: int) -> None:
    """Any calendars, people out, lent or on errands: of all starts with all numbers of people none that holds ends sooner.

    Work under way starts no later than any of them.

    Each start is looked at by itself; the place found starts before the slot it is told to, and with those who are there.
    """
    the_problem = random_problem(seed)
    the_problem = replace(the_problem, away=the_problem.away[:8])
    floor = Floor(the_problem)
    for record in the_problem.jobs:
        work = job_work(record, floor)
        for block in work.blocks.values():
            for name in floor.crews:
                if block.crew not in ("", name) or not floor.able(block, name):
                    continue
                line = floor.timelines[name]
                way = line.free_from(line.stands, record.job.number) if line.stands else 0
                for earliest, before in ((0, None), (130, None), (0, 300)):
                    found = floor.first(record, block, name, earliest, before=before)
                    begun = bool(block.begun and block.crew)
                    places = [
                        start if begun else end
                        for people in range(1, floor.roster.most(name) + 1)
                        for start, end in _all(floor, record, block, name, people)
                        if start >= max(earliest, way) and (before is None or start < before)
                        if floor.staff(record, block, name, start, end) == people
                    ]
                    best = min(places, default=None)
                    assert best == (None if found is None else found.start if begun else found.end)
                    if found:
                        assert floor.staff(record, block, name, found.start, found.end) == found.people


def _all(floor: Floor, record: JobRecord, block: Block, name: str, people: int) -> list[tuple[int, int]]:
    table = floor.starts(record, block, name, people=people).table(0, floor.axis.slots)
    return list(zip(table.starts, table.ends, strict=True))
