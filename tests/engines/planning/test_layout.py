"""Tasks of a block on the people of a crew, and the lines of the day plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Phase, Task
from crewjobs.domain.wall import to_wall
from crewjobs.engines.judging.minutes import Minutes
from crewjobs.engines.planning.layout import TaskSpan, day_pieces, lay_out, makespan, task_times
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.roster import with_parts
from tests import thorough
from tests.engines.planning.networks import (
    CENTRAL,
    MONDAY,
    Network,
    at,
    crew,
    house,
    job,
    problem,
    random_problem,
    shop,
)

Work = tuple[list[Task], list[int], list[tuple[int, int]], int]


def _tasks(*rows: tuple[float, int, int]) -> list[Task]:
    net = Network(job=job(1))
    for minutes, people, least in rows:
        net.add("work", Phase.INSTALL, minutes, people=people, least=least)
    return net.tasks


@st.composite
def works(draw: st.DrawFn) -> Work:
    """Draw tasks with labor, people and links that run from lower to higher numbers, and a crew's size."""
    count = draw(st.integers(1, 9))
    rows = [(draw(st.integers(1, 300)), most, draw(st.integers(1, most))) for most in draw(
        st.lists(st.integers(1, 4), min_size=count, max_size=count))]  # fmt: skip
    pairs = [(a, b) for b in range(1, count + 1) for a in range(1, b)]
    inner = draw(st.lists(st.sampled_from(pairs), unique=True)) if pairs else []
    return _tasks(*rows), [row[0] for row in rows], inner, draw(st.integers(1, 4))


def _by_task(spans: tuple[TaskSpan, ...]) -> dict[int, TaskSpan]:
    return {span.task: span for span in spans}


def test_a_layout_is_of_what_is_asked_this_time() -> None:
    """What was laid out before stands for the same work only: other labor, links, people or hands make another one."""
    (one, two), link = _tasks((60, 2, 1), (60, 2, 1)), [(1, 2)]
    assert makespan(lay_out([one, two], [60, 60], link, 2)) == 60
    assert makespan(lay_out([one, two], [60, 180], link, 2)) == 120
    assert makespan(lay_out([one, two], [60, 60], link, 1)) == 120
    assert makespan(lay_out([one, replace(two, people=1)], [60, 60], link, 2)) == 90
    assert lay_out([one, two], [60, 60], [(1, 2)], 2)[0].task == 1
    assert lay_out([two, one], [60, 60], [(2, 1)], 2)[0].task == 2
    alone = [replace(task, people=1) for task in (one, two)]
    assert makespan(lay_out(alone, [60, 60], [], 2)) == 60
    assert makespan(lay_out(alone, [60, 60], link, 2)) == 120
    assert makespan(lay_out([replace(task, least_people=2) for task in alone], [60, 60], [], 2)) == 60
    assert {span.people for span in lay_out(alone, [60, 60], [], 2)} == {(0,), (1,)}
    assert {span.people for span in lay_out([replace(task, least_people=2) for task in alone], [60, 60], [], 2)} == {
        (0, 1)
    }


@given(works())
def test_every_task_is_done_once(work: Work) -> None:
    """A layout holds every task exactly once."""
    assert sorted(span.task for span in lay_out(*work)) == [task.number for task in work[0]]


@given(works())
def test_links_are_kept(work: Work) -> None:
    """A task starts no earlier than all it waits for has ended."""
    spans = _by_task(lay_out(*work))
    assert all(spans[before].end <= spans[after].start for before, after in work[2])


@given(works())
def test_nobody_is_in_two_places(work: Work) -> None:
    """No one works on two tasks in the same minute."""
    spans = lay_out(*work)
    for person in range(work[3]):
        mine = sorted((span.start, span.end) for span in spans if person in span.people)
        assert all(end <= start for (_, end), (start, _) in pairwise(mine))


@given(works())
def test_people_are_enough_and_not_too_many(work: Work) -> None:
    """On every task work at least as many as it needs (the crew allowing) and at most as many as can."""
    tasks, _, _, people = work
    for span, task in ((span, tasks[span.task - 1]) for span in lay_out(*work)):
        assert min(task.least_people, people) <= len(span.people) <= max(task.people, task.least_people)
        assert len(set(span.people)) == len(span.people)
        assert set(span.people) <= set(range(people))


@given(works())
def test_labor_is_shared_evenly(work: Work) -> None:
    """A task takes its labor minutes divided by the people on it, rounded up."""
    for span in lay_out(*work):
        assert span.end - span.start == -(-work[1][span.task - 1] // len(span.people))


@given(works())
def test_someone_works_in_every_minute(work: Work) -> None:
    """There is no minute in a block in which nobody works."""
    spans = lay_out(*work)
    assert all(any(span.start <= minute < span.end for span in spans) for minute in range(makespan(spans)))


def test_light_work_runs_side_by_side() -> None:
    """Two tasks one person can do take two people the time of the longer one."""
    assert makespan(lay_out(_tasks((60, 1, 1), (40, 1, 1)), [60, 40], [], 2)) == 60


def test_long_work_is_not_left_to_one() -> None:
    """A short task does not pin one of two people down on a long one: both share each, 315 minutes in all."""
    assert makespan(lay_out(_tasks((600, 2, 1), (30, 2, 1)), [600, 30], [], 2)) == 315


def test_who_worked_in_a_room_stays_there() -> None:
    """After two tasks side by side, each person goes on in the room they were in."""
    net = Network(job=job(1))
    for number in range(4):
        net.add("work", Phase.INSTALL, 60, people=1)
        room = ("bath", "hall", "hall", "bath")[number]
        key = net.tasks[-1].key
        scope = type(key.scope)(kind=key.scope.kind, name=room)
        net.tasks[-1] = _with_scope(net.tasks[-1], scope)
    spans = _by_task(lay_out(net.tasks, [60] * 4, [(1, 3), (2, 3), (1, 4), (2, 4)], 2))
    assert spans[1].people == spans[4].people
    assert spans[2].people == spans[3].people


def _with_scope(task: Task, scope: object) -> Task:
    return replace(task, key=replace(task.key, scope=scope))  # type: ignore[arg-type]


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
@settings(max_examples=thorough.examples(15, 5), deadline=None)
@given(st.integers(0, 100_000))
def test_day_plan_adds_up_to_the_labor(seed: int) -> None:
    """Over all days, the minutes on paper of a task times its people are its span in the layout."""
    the_problem = random_problem(seed)
    plan = plan_week(the_problem)
    records = {record.job.number: record for record in the_problem.jobs}
    crews = {one.name: one for one in with_parts(the_problem.shop, the_problem.away).crews}
    for placement in plan.placements:
        record, one = records[placement.key.job], crews[placement.crew]
        times = task_times(placement, record, the_problem.shop, one, plan.made_at)
        total = sum((time.end - time.start for time in times), timedelta())
        assert total >= timedelta(minutes=len(placement.tasks))
        assert {time.task for time in times} == set(placement.tasks)
        assert min(time.start for time in times) == placement.start
        assert placement.end - timedelta(minutes=15) < max(time.end for time in times) <= placement.end


@settings(max_examples=thorough.examples(15, 5), deadline=None)
@given(st.integers(0, 100_000))
def test_day_plan_has_no_minute_outside_the_hours(seed: int) -> None:
    """Every minute on paper is one the crew can work at that site, by the minute simulation."""
    the_problem = random_problem(seed)
    plan = plan_week(the_problem)
    records = {record.job.number: record for record in the_problem.jobs}
    last = max([the_problem.now, *(placement.end for placement in plan.placements)])
    minutes = Minutes(the_problem.shop, the_problem.now, last)
    for placement in plan.placements:
        crews = with_parts(the_problem.shop, the_problem.away).crews
        one = next(one for one in crews if one.name == placement.crew)
        record = records[placement.key.job]
        there = minutes.there(one, record.job)
        for time in task_times(placement, record, the_problem.shop, one, plan.made_at):
            start, end = minutes.of(time.start), minutes.of(time.end)
            assert there.count(start, end) == end - start


def test_lines_are_cut_at_lunch_and_night() -> None:
    """Twelve labor hours of two people run over lunch and night: six hours in three lines, counted from 1."""
    the_problem = problem([house(1)], shop(crew("Birch", 2)))
    plan = plan_week(the_problem)
    lines = []
    for day in (date(2026, 3, 4), date(2026, 3, 5)):
        for piece in day_pieces(plan, the_problem.shop, the_problem.jobs, "Birch", day):
            if piece.task == 9:
                start, end = (to_wall(CENTRAL, moment) for moment in (piece.start, piece.end))
                lines.append(f"{piece.part}: {start:%a %H:%M}-{end:%H:%M}")
    assert lines == ["1: Wed 09:45-12:00", "2: Wed 12:30-15:30", "3: Thu 08:00-08:45"]


def test_a_crew_that_is_not_there_is_refused() -> None:
    """Asking for the day of an unknown crew names the crews there are."""
    the_problem = problem([house(1)], shop(crew("Birch"), crew("Cedar")))
    with pytest.raises(Refused, match="the crews are Birch, Cedar"):
        day_pieces(plan_week(the_problem), the_problem.shop, the_problem.jobs, "Oak", MONDAY)


def test_what_runs_by_the_plan_alone_is_laid_out_in_what_the_plan_has_left_for_it() -> None:
    """Four hours counted as begun at eight have one left at eleven; nobody recorded it: the crew's list ends at noon, as the plan does."""
    record = Network(job=job(1))
    record.add("Lay rows", Phase.INSTALL, 240, people=1)
    the_problem = problem([record.record()], shop(crew("Birch", 1)), now=at(MONDAY, "06:30"))
    (whole,) = plan_week(the_problem).placements
    rest = replace(whole, start=at(MONDAY, "11:00"), end=at(MONDAY, "12:00"), reason="under way since Mon 08:00")
    of_crew = the_problem.shop, the_problem.shop.crews[0], at(MONDAY, "11:00")
    (piece,) = task_times(rest, the_problem.jobs[0], *of_crew)
    assert (piece.start, piece.end) == (rest.start, rest.end)
    assert task_times(replace(rest, reason=""), the_problem.jobs[0], *of_crew)[-1].end > rest.end
