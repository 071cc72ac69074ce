"""Tasks and links of jobs that are worked by furniture stages."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache

import networkx as nx
import pytest

from crewjobs.domain.job import Job
from crewjobs.domain.moves import Belongs, Carried, MovesPlan, MoveStage, Spot, StageKind
from crewjobs.domain.tasks import Phase, ScopeKind
from crewjobs.drawing.characters import drawing_text
from crewjobs.drawing.columns import display_width
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.wanted import Wanted, WantedTask
from crewjobs.engines.moving.search import Search
from crewjobs.engines.stages.cures import furniture_waits
from crewjobs.engines.stages.drawing import drawn
from crewjobs.engines.stages.house import House, house_of
from crewjobs.engines.stages.progress import nights
from crewjobs.engines.stages.told import moves_plan
from crewjobs.files.catalogue import read_catalogue
from crewjobs.files.usual_furniture import usual_furniture
from tests import thorough
from tests.engines.stages.lived_in import lived_in

SEEDS = thorough.of(range(12), 6)


@cache
def worked(seed: int) -> tuple[Job, MovesPlan, Wanted] | None:
    """A lived-in house with the stages found for it and what they make of its tasks; None where none were found."""
    job = lived_in(seed, rooms=2)
    catalogue = read_catalogue()
    cures = {spot: nights(wait) for spot, wait in furniture_waits(job, catalogue).items()}
    house = house_of(job, usual_furniture(), cures=cures)
    assert isinstance(house, House)
    found = Search(house.problem).run(rounds=1)
    if not found.stages:
        return None
    plan = moves_plan(house, found, at=datetime(2026, 3, 2, 12, tzinfo=UTC), basis="")
    job = replace(job, stages=plan.order)
    return job, plan, expand(job, catalogue, plan)


def order_of(wanted: Wanted) -> nx.DiGraph:
    """The tasks, each after all it waits for."""
    order = nx.DiGraph()
    order.add_nodes_from(task.key for task in wanted.tasks)
    order.add_edges_from((link.before, link.after) for link in wanted.links)
    return order


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_most_houses_have_stages() -> None:
    """The houses below are not looked at in vain."""
    assert sum(worked(seed) is not None for seed in SEEDS) > len(SEEDS) / 2


@pytest.mark.parametrize("seed", SEEDS)
def test_sections_follow_their_stages(seed: int) -> None:
    """No circle; a stage's sections are emptied first, laid before the next stage is emptied, and all comes home last."""
    found = worked(seed)
    if found is None:
        return
    _, plan, wanted = found
    order = order_of(wanted)
    assert nx.is_directed_acyclic_graph(order)
    moves = {task.key.scope.name: task.key for task in wanted.tasks if task.key.scope.kind is ScopeKind.STAGE}
    laid_before: set[object] = set()
    for stage in plan.stages:
        if stage.kind not in (StageKind.WORK, StageKind.HOME):
            continue
        name = " + ".join(", ".join(filter(None, spot)) for spot in stage.worked) or "all back"
        if not any(carry for carry in stage.carried):
            assert name not in moves
            continue
        move = moves[name]
        before, after = nx.ancestors(order, move), nx.descendants(order, move)
        assert laid_before <= before
        of_stage = {
            task.key: task
            for task in wanted.tasks
            if task.key.scope.kind is ScopeKind.SECTION and (task.key.scope.name, task.key.scope.part) in stage.worked
        }
        on_floor = {
            key
            for key, task in of_stage.items()
            if task.phase in (Phase.DEMOLITION, Phase.SUBFLOOR_PREP, Phase.INSTALL)
        }
        assert on_floor <= after
        laid_before |= {key for key, task in of_stage.items() if task.phase is Phase.INSTALL}


@pytest.mark.parametrize("seed", SEEDS)
def test_minutes_and_people_are_those_of_the_carries(seed: int) -> None:
    """A move takes the labor of its carries, and as many people as its heaviest piece; nothing else moves furniture."""
    found = worked(seed)
    if found is None:
        return
    _, plan, wanted = found
    stages = {
        " + ".join(", ".join(filter(None, spot)) for spot in stage.worked) or "all back": stage
        for stage in plan.stages
        if stage.kind in (StageKind.WORK, StageKind.HOME)
    }
    for task in wanted.tasks:
        if task.key.scope.kind is ScopeKind.STAGE and task.key.scope.name in stages:
            stage = stages[task.key.scope.name]
            assert task.quantity == pytest.approx(stage.minutes, abs=0.01)
            assert task.least_people == max(plan.pieces[carry.piece].people for carry in stage.carried)
        assert task.key.template not in ("move-furniture-out", "move-furniture-over", "furniture-back")


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_carried_while_all_waits_comes_before_the_next_work(seed: int) -> None:
    """Two waits in a row that carry something, put before the last stage of work: a task each, both before that stage's floors."""
    found = worked(seed)
    if found is None:
        return
    job, plan, _ = found
    last = max(number for number, stage in enumerate(plan.stages) if stage.kind is StageKind.WORK)
    before = plan.stages[last - 1] if last else plan.stages[last]
    one = next((one for one in before.standing if plan.pieces[one.piece].belongs is Belongs.FURNITURE), None)
    if one is None:
        return
    waits = [
        MoveStage(
            kind=StageKind.WAIT,
            carried=(Carried(piece=one.piece, start=start, to=to, minutes=minutes),),
            standing=before.standing,
        )
        for start, to, minutes in ((one.spot, ("garage", ""), 3.0), (("garage", ""), one.spot, 12.0))
    ]
    plan = replace(plan, stages=(*plan.stages[:last], *waits, *plan.stages[last:]))
    wanted = expand(job, read_catalogue(), plan)
    tasks = [task for task in wanted.tasks if task.key.scope.name.startswith("wait ")]
    assert sorted(task.quantity for task in tasks) == [3.0, 12.0]
    assert len({task.key for task in wanted.tasks}) == len(wanted.tasks)
    order = order_of(wanted)
    floors = {
        task.key
        for task in wanted.tasks
        if task.key.scope.kind is ScopeKind.SECTION
        and (task.key.scope.name, task.key.scope.part) in plan.stages[last + 2].worked
        and task.phase in (Phase.DEMOLITION, Phase.SUBFLOOR_PREP, Phase.INSTALL)
    }
    for task in tasks:
        assert floors <= nx.descendants(order, task.key)


@pytest.mark.parametrize("seed", SEEDS)
def test_furniture_stands_only_where_it_may_by_the_clock(seed: int) -> None:
    """What is carried onto a new floor waits as long as the floor's own wait for furniture says, from the end of its laying."""
    found = worked(seed)
    if found is None:
        return
    job, plan, wanted = found
    waits = furniture_waits(job, read_catalogue())
    links = {(link.before, link.after): link.wait_min for link in wanted.links}
    order = [*nx.topological_sort(order_of(wanted))]
    keys = {task.key.scope.name: task.key for task in wanted.tasks if task.key.scope.kind is ScopeKind.STAGE}
    laid: set[Spot] = set()
    for stage in plan.stages:
        name = " + ".join(", ".join(filter(None, spot)) for spot in stage.worked) or "all back"
        onto = {carry.to for carry in stage.carried} & laid
        laid |= set(stage.worked)
        for spot in onto:
            floor = [task.key for task in wanted.tasks if _lays(task, spot)]
            since = dict.fromkeys(floor, 0)
            for key in order:  # the longest wait from laying to each task
                ways = [
                    since[before] + wait for (before, after), wait in links.items() if after == key and before in since
                ]
                if ways:
                    since[key] = max(since.get(key, 0), *ways)
            assert since[keys[name]] >= waits[spot]


def _lays(task: WantedTask, spot: Spot) -> bool:
    return task.needs_material is not None and (task.key.scope.name, task.key.scope.part) == spot


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("width", thorough.of([20, 38, 57, 80, 118], [38, 80]))
def test_every_stage_is_drawn_at_every_width(seed: int, width: int) -> None:
    """Houses with more things than the alphabet has letters are drawn too: no line is too wide, no letter is lost."""
    found = worked(seed)
    if found is None:
        return
    job, plan, _ = found
    for number, stage in enumerate(plan.stages):
        text = drawing_text(drawn(job, plan, number), width)
        assert max(display_width(line) for line in text.splitlines()) <= width
        words = set(re.findall(r"[A-Z]+", text))
        assert {plan.pieces[standing.piece].letter for standing in stage.standing} <= words
