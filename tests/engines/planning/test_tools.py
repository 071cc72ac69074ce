"""Tools that crews share: never at more houses than there are of them, said where they are, and judged."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.crew import SharedTool, Skill
from crewjobs.domain.plan import BlockKey, Pin
from crewjobs.domain.tasks import Phase
from crewjobs.domain.wall import to_wall
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.planning.tools import Toolbox, shared
from tests.engines.planning.networks import CENTRAL, MONDAY, Network, at, crew, job, problem, shop

STRIPPER = "tile stripper"


def houses(count: int, tools: int, minutes: float = 1800) -> PlanProblem:
    """Return so many houses with tile to strip over days, a crew of one for each, and so many strippers."""
    records = []
    for number in range(1, count + 1):
        net = Network(job=job(number))
        net.add("Tile up", Phase.DEMOLITION, minutes, people=1)
        net.add("Lay rows", Phase.INSTALL, 300, 1)
        records.append(net.record())
    names = ("Birch", "Cedar", "Hazel")[:count]
    the_shop = replace(shop(*(crew(name, 1) for name in names)), tools=(SharedTool(name=STRIPPER, count=tools),))
    needs = {(number, 1): frozenset({STRIPPER}) for number in range(1, count + 1)}
    return replace(problem(records, the_shop), tools=needs)


def test_one_tool_goes_from_house_to_house() -> None:
    """With one stripper the second house begins when the first gives it back, on the same day too, and says so."""
    the_problem = houses(2, 1, minutes=120)
    only_cedar = the_problem.jobs[1]
    tasks = (replace(only_cedar.tasks[0], skill=Skill.NAILED),)
    crews = (crew("Birch", 1, skills="floating"), crew("Cedar", 1))
    the_problem = replace(
        the_problem,
        jobs=(the_problem.jobs[0], replace(only_cedar, tasks=tasks, links=())),
        shop=replace(the_problem.shop, crews=crews),
        pins=(Pin(job=1, task=1, crew="Birch", day=MONDAY),),
    )
    plan = plan_week(the_problem)
    assert check_plan(the_problem, plan) == ()
    first, second = sorted((p for p in plan.placements if 1 in p.tasks), key=lambda p: p.start)
    assert (first.crew, second.crew) == ("Birch", "Cedar")
    assert second.start >= first.end
    assert f"the {STRIPPER} is at job 1 until" in second.reason


def test_a_pin_whose_tool_is_at_another_house_says_where_it_is() -> None:
    """Both are pinned to Monday, each with a crew that is free, and there is one stripper: the first house has it all day."""
    the_problem = houses(2, 1, minutes=420)
    pins = tuple(Pin(job=number, task=1, crew=name, day=MONDAY) for number, name in ((1, "Birch"), (2, "Cedar")))
    plan = plan_week(replace(the_problem, pins=pins))
    (said,) = plan.unkept
    other = next(pin.job for pin in pins if pin != said.pin)
    (there,) = (placed for placed in plan.placements if placed.key.job == other and 1 in placed.tasks)
    until = f"{to_wall(CENTRAL, there.end):%a %H:%M}"
    assert said.why == (
        f"pinned to {said.pin.crew} on Mon 2 Mar, but the {STRIPPER} is at job {other} until {until}; "
        "the first day with room is Tue 3 Mar"
    )


def test_as_many_houses_at_once_as_there_are_tools() -> None:
    """Two strippers serve two of three houses from the first morning on; with three all begin then."""
    for tools, at_once in ((2, 2), (3, 3)):
        the_problem = houses(3, tools)
        plan = plan_week(the_problem)
        assert check_plan(the_problem, plan) == ()
        morning = min(p.start for p in plan.placements)
        assert sum(p.start == morning for p in plan.placements if 1 in p.tasks) == at_once


def test_the_judge_sees_a_tool_at_two_houses() -> None:
    """A plan made for two strippers is wrong for one."""
    two = houses(2, 2)
    plan = plan_week(two)
    one = replace(two, shop=replace(two.shop, tools=(SharedTool(name=STRIPPER),)))
    assert any(f"the {STRIPPER} is at 2 places" in fault for fault in check_plan(one, plan))


def test_work_under_way_has_its_tool() -> None:
    """What was begun goes on at once with the tool; the other house waits for it, although its number is lower."""
    the_problem = houses(2, 1)
    begun = the_problem.jobs[1]
    task = replace(begun.tasks[0], started_at=at(MONDAY, "06:00"), crew="Cedar")
    jobs = (the_problem.jobs[0], replace(begun, tasks=(task, *begun.tasks[1:])))
    under_way = replace(the_problem, jobs=jobs, now=at(MONDAY, "07:00"))
    plan = plan_week(under_way)
    assert check_plan(under_way, plan) == ()
    starts = {p.key.job: p for p in plan.placements if 1 in p.tasks}
    assert starts[1].start >= starts[2].end


def test_planned_again_tools_stay_where_they_can() -> None:
    """The plan before stays as it was where nothing changed, tools and all."""
    the_problem = houses(3, 1, minutes=700)
    first = plan_week(the_problem)
    again = plan_week(replace(the_problem, previous=first))
    assert check_plan(replace(the_problem, previous=first), again) == ()
    assert [(p.key, p.crew, p.start) for p in again.placements] == [(p.key, p.crew, p.start) for p in first.placements]


def test_a_shared_tool_is_one_the_shop_lists() -> None:
    """What the load of a template names is shared only where the shop says so; capitals do not matter."""
    the_shop = replace(shop(crew("Birch")), tools=(SharedTool(name="Dust collector"),))
    assert shared(the_shop, ["dust collector", "mixer"]) == {"Dust collector"}
    assert shared(shop(crew("Birch")), ["dust collector"]) == frozenset()


spans = st.tuples(st.integers(0, 60), st.integers(1, 20)).map(lambda span: (span[0], span[0] + span[1]))


class Everywhere(NamedTuple):
    """Ways of so many slots between any two houses."""

    way: int

    def slots(self, one: int, other: int) -> int:
        return 0 if one == other else self.way


held = st.lists(st.tuples(st.integers(1, 4), spans), max_size=7)


@given(held, spans, st.integers(1, 3), st.integers(0, 4))
def test_free_is_where_the_pieces_can_go_round(
    taken: list[tuple[int, tuple[int, int]]], asked: tuple[int, int], count: int, way: int
) -> None:
    """A tool is free for a span exactly if the pieces can serve it and those that overlap it, each with the way to the next.

    The check tries every way to hand the pieces on, one span after the other.
    """
    box = Toolbox(replace(shop(crew("Birch")), tools=(SharedTool(name=STRIPPER, count=count),)), Everywhere(way))
    near = []
    for number, (house, (start, end)) in enumerate(taken, start=1):
        box.add(Booking(BlockKey(job=house, task=number), "Birch", start, end, 1, frozenset({STRIPPER})))
        if start < asked[1] + way and asked[0] < end + way:
            near.append((start, end, house))
    free = box.free_from([STRIPPER], *asked, 5)
    assert (free is None) == can_go_round([*near, (*asked, 5)], count, way)
    assert free is None or free > asked[0]


def can_go_round(served: list[tuple[int, int, int]], count: int, way: int) -> bool:
    """Return whether so many pieces can serve spans at houses, with the way between two houses: by trying all."""

    def serve(left: list[tuple[int, int, int]], pieces: tuple[tuple[int, int], ...]) -> bool:
        if not left:
            return True
        (start, end, job), *rest = left
        return any(
            serve(rest, (*pieces[:i], (end, job), *pieces[i + 1 :]))
            for i, (back, house) in enumerate(pieces)
            if house == 0 or back + (0 if house == job else way) <= start
        )

    return serve(sorted(served), ((0, 0),) * count)
