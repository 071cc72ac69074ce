"""Tasks become blocks: what may be one block, what must not, and what waits between blocks."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.crew import Shop, Skill
from crewjobs.domain.evening import CrewHours, HowFar
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Pause, Phase, ScopeKind
from crewjobs.engines.planning.blocks import begun_tasks, blocks_of, opened
from crewjobs.engines.planning.problem import Block, BlockLink
from tests.engines.planning.networks import MONDAY, Network, at, crew, house, job, random_problem, shop

BIRCH = crew("Birch", 3)
Cut = tuple[tuple[Block, ...], tuple[BlockLink, ...]]


def _cut(record: JobRecord, *crews: object, earliest: dict[int, datetime] | None = None) -> Cut:
    return blocks_of(record, crews or (BIRCH,), begun={}, earliest=earliest or {}, impossible={})  # type: ignore[arg-type]


def _numbers(blocks: tuple[Block, ...]) -> list[list[int]]:
    return sorted(sorted(task.number for task in block.tasks) for block in blocks)


def _random(seed: int) -> list[tuple[JobRecord, Cut]]:
    problem = random_problem(seed)
    found = []
    for record in problem.jobs:
        begun = begun_tasks(record, problem.shop, problem.now, None)
        found.append((record, blocks_of(record, problem.shop.crews, begun=begun, earliest={}, impossible={})))
    return found


@settings(deadline=None)
@given(st.integers(0, 100_000))
def test_every_open_task_is_in_one_block(seed: int) -> None:
    """The blocks hold every open task once and nothing else."""
    for record, (blocks, _) in _random(seed):
        numbers = sorted(task.number for block in blocks for task in block.tasks)
        assert numbers == sorted(task.number for task in record.tasks if task.open)


@settings(deadline=None)
@given(st.integers(0, 100_000))
def test_blocks_come_in_an_order_that_keeps_the_links(seed: int) -> None:
    """Links only run from earlier to later blocks, so there is no circle among them."""
    for _, (blocks, links) in _random(seed):
        place = {block.key: i for i, block in enumerate(blocks)}
        assert all(place[link.before] < place[link.after] for link in links)


@settings(deadline=None)
@given(st.integers(0, 100_000))
def test_no_wait_inside_a_block(seed: int) -> None:
    """Two tasks with a wait between them are never in one block."""
    for record, (blocks, _) in _random(seed):
        of = {task.number: block.key for block in blocks for task in block.tasks}
        begun = {task.number for block in blocks if block.begun for task in block.tasks}
        for link in record.links:
            if link.wait_min and link.before in of and link.after in of and link.after not in begun:
                assert of[link.before] != of[link.after]


@settings(deadline=None)
@given(st.integers(0, 100_000))
def test_tasks_of_a_block_are_alike(seed: int) -> None:
    """All tasks of a block have its phase, stage and pause rule, and come after those they wait for."""
    for _, (blocks, _) in _random(seed):
        for block in blocks:
            assert {(task.phase, task.stage, task.pause) for task in block.tasks} == {
                (block.phase, block.stage, block.pause)
            }
            place = {task.number: i for i, task in enumerate(block.tasks)}
            assert all(place[before] < place[after] for before, after in block.inner)
            assert block.key.task == min(place)


def test_a_plain_house() -> None:
    """A plain house is cut as the trade works: in, furniture, demolition, prep, laying, trim, doors, end."""
    blocks, _ = _cut(house(1))
    assert _numbers(blocks) == [[1, 2], [3], [4, 5, 6], [7], [8, 9], [10, 11, 12], [13], [14, 15, 16]]


def test_the_longest_wait_between_blocks_counts() -> None:
    """Of two waits between the same blocks the longer is kept with its name."""
    net = Network(job=job(1))
    first = net.add("pour", Phase.SUBFLOOR_PREP, 30)
    second = net.add("prime", Phase.SUBFLOOR_PREP, 30)
    net.add("lay", Phase.INSTALL, 60, waits={first: (960, "leveler cures"), second: (120, "primer dries")})
    _, links = _cut(net.record())
    assert [(link.wait_min, link.name) for link in links] == [(960, "leveler cures")]


def test_what_waits_for_something_else_stays_apart() -> None:
    """Rows that wait for a cure do not hold back rows of the same stage that wait for nothing but the planks."""
    net = Network(job=job(1))
    carry = net.add("carry in", Phase.HOUSE, 30, scope=ScopeKind.MATERIAL)
    pour = net.add("pour", Phase.SUBFLOOR_PREP, 30)
    net.add("rows here", Phase.INSTALL, 60, waits={carry: (2880, "acclimating"), pour: (960, "cures")})
    net.add("rows there", Phase.INSTALL, 60, waits={carry: (2880, "acclimating")})
    assert _numbers(_cut(net.record())[0]) == [[1], [2], [3], [4]]


def test_a_late_lot_does_not_hold_back_the_other() -> None:
    """Two lots that come on different days are carried in apart, two that are there in one go."""
    net = Network(job=job(1))
    net.add("carry planks", Phase.HOUSE, 30, scope=ScopeKind.MATERIAL)
    net.add("carry glue", Phase.HOUSE, 30, scope=ScopeKind.MATERIAL)
    record = net.record()
    assert _numbers(_cut(record)[0]) == [[1, 2]]
    assert _numbers(_cut(record, earliest={2: at(MONDAY, "13:00")})[0]) == [[1], [2]]


def test_carrying_in_does_not_wait_for_house_work_it_does_not_need() -> None:
    """Hanging dust walls stays out of the carry-in's block, protecting the way it needs goes in."""
    net = Network(job=job(1))
    protect = net.add("protect the way", Phase.HOUSE, 30, scope=ScopeKind.JOB)
    net.add("dust walls", Phase.HOUSE, 60, scope=ScopeKind.JOB)
    net.add("carry in", Phase.HOUSE, 30, protect, scope=ScopeKind.MATERIAL)
    assert _numbers(_cut(net.record())[0]) == [[1, 3], [2]]


def test_skills_no_one_crew_has_are_apart() -> None:
    """Two tasks are one block only if some crew can do both."""
    net = Network(job=job(1))
    net.add("tile up", Phase.DEMOLITION, 60, skill=Skill.TILE_REMOVAL)
    net.add("stairs up", Phase.DEMOLITION, 60, skill=Skill.STAIRS)
    tile, stairs = crew("Birch", 2, skills="tile removal"), crew("Cedar", 2, skills="stairs")
    assert _numbers(_cut(net.record(), tile, stairs)[0]) == [[1], [2]]
    assert _numbers(_cut(net.record(), crew("Hazel", 2))[0]) == [[1, 2]]


def test_another_block_between_keeps_two_apart() -> None:
    """Two tasks of one phase with another phase between them are two blocks."""
    net = Network(job=job(1))
    scrape = net.add("scrape", Phase.SUBFLOOR_PREP, 30)
    jambs = net.add("jambs", Phase.INSTALL, 30, scrape)
    net.add("vacuum", Phase.SUBFLOOR_PREP, 30, jambs)
    assert _numbers(_cut(net.record())[0]) == [[1], [2], [3]]


@pytest.mark.parametrize("pause", [Pause.LUNCH, Pause.NONE])
def test_pause_rules_do_not_mix(pause: Pause) -> None:
    """A task done in one go is not put together with one that may stop over night."""
    net = Network(job=job(1))
    net.add("pour", Phase.SUBFLOOR_PREP, 30, pause=pause)
    net.add("patch", Phase.SUBFLOOR_PREP, 30)
    assert _numbers(_cut(net.record())[0]) == [[1], [2]]


def test_what_is_not_needed_passes_its_links_on() -> None:
    """Rows still wait for the demolition when the test between them is not needed."""
    net = Network(job=job(1))
    old = net.add("carpet up", Phase.DEMOLITION, 30)
    test = net.add("moisture test", Phase.SUBFLOOR_PREP, 30, old, not_needed=True)
    net.add("rows", Phase.INSTALL, 30, test)
    _, links = _cut(net.record())
    assert [(link.before.task, link.after.task) for link in links] == [(1, 3)]


def test_left_of_work_under_way() -> None:
    """Three labor hours begun at 8:00 by two people are one at 9:00; at noon a quarter hour is still counted."""
    net = Network(job=job(1))
    net.add("rows", Phase.INSTALL, 180, started_at=at(MONDAY, "08:00"), crew="Birch")
    record, the_shop = net.record(), shop(crew("Birch", 2))
    assert begun_tasks(record, the_shop, at(MONDAY, "09:00"), None)[1].labor == 60
    assert begun_tasks(record, the_shop, at(MONDAY, "12:00"), None)[1].labor == 15


def test_night_and_lunch_do_no_work() -> None:
    """From 15:00 on Monday to 8:30 on Tuesday a crew 20 minutes away works one hour at the site."""
    net = Network(job=job(1))
    net.add("rows", Phase.INSTALL, 600, people=1, started_at=at(MONDAY, "15:00"), crew="Birch")
    begun = begun_tasks(net.record(), shop(crew("Birch", 2)), at(MONDAY + timedelta(days=1), "08:30"), None)
    assert begun[1].labor == 600 - 60


def _told(*hours: tuple[str, str]) -> tuple[JobRecord, Shop]:
    """Return rows of 600 minutes for one person, begun on Monday at 8:00, half done at 14:00, with the hours Birch told of that day."""
    net = Network(job=job(1))
    net.add("rows", Phase.INSTALL, 600, people=1, started_at=at(MONDAY, "08:00"), crew="Birch")
    said = HowFar(task=1, at=at(MONDAY, "14:00"), done=1, whole=2, unit="rooms")
    told = tuple(
        CrewHours(crew="Birch", start=at(MONDAY, first), stop=at(MONDAY, last), people=2) for first, last in hours
    )
    return replace(net.record(), how_far=(said,), crew_hours=told), shop(crew("Birch", 2))


@pytest.mark.parametrize(
    ("days", "clock", "left"), [(0, "14:30", 270), (0, "15:50", 300), (0, "17:00", 300), (1, "06:20", 300)]
)
def test_what_was_said_last_of_a_day_is_how_far_it_got_once_that_day_is_over(days: int, clock: str, left: int) -> None:
    """While the crew can still be placed there it goes on; after that nothing more is taken for done."""
    record, the_shop = _told()
    assert begun_tasks(record, the_shop, at(MONDAY + timedelta(days=days), clock), None)[1].labor == left


@pytest.mark.parametrize(
    ("hours", "worked"), [((), 7 * 60), ((("07:00", "11:00"),), 180), ((("07:00", "09:00"), ("13:00", "14:00")), 120)]
)
def test_hours_a_crew_told_are_all_it_worked_that_day(hours: tuple[tuple[str, str], ...], worked: int) -> None:
    """Where nobody said how far a task is: by Monday evening as much is done as the crew was there, no more."""
    record, the_shop = _told(*hours)
    record = replace(record, how_far=())
    assert begun_tasks(record, the_shop, at(MONDAY, "18:00"), None)[1].labor == 600 - worked


@pytest.mark.parametrize(
    ("phase", "is_open"),
    [
        (Phase.HOUSE, False),
        (Phase.ACCLIMATE, False),
        (Phase.SUBFLOOR_PREP, False),
        (Phase.DEMOLITION, True),
        (Phase.INSTALL, True),
    ],
)
def test_what_opens_a_house(phase: Phase, is_open: bool) -> None:
    """Carrying in and testing open no house while there is demolition to do; demolition and laying do."""
    net = Network(job=job(1))
    net.add("done", phase, 30)
    net.add("carpet up", Phase.DEMOLITION, 30)
    record = net.record()
    tasks = (replace(record.tasks[0], done_at=at(MONDAY, "08:00")), record.tasks[1])
    assert opened(replace(record, tasks=tasks)) is is_open


def test_a_sample_for_the_laboratory_opens_no_house() -> None:
    """Demolition of no stage, such as a sample taken, tears nothing open."""
    net = Network(job=job(1))
    net.add("sample taken", Phase.DEMOLITION, 30, stage=0, done_at=at(MONDAY, "08:00"))
    net.add("carpet up", Phase.DEMOLITION, 30)
    assert not opened(net.record())


def _laid_and_cleaned(wait_min: int) -> tuple[tuple[Block, ...], tuple[BlockLink, ...]]:
    net = Network(job=job(1))
    rows = net.add("rows", Phase.INSTALL, 240, scope=ScopeKind.SECTION)
    net.add("clean up", Phase.HOUSE, 30, rows, scope=ScopeKind.SECTION)
    net.add("base", Phase.TRIM, 60, 2, waits={rows: (wait_min, "glue sets")})
    return _cut(net.record())


def test_a_section_is_cleaned_up_in_the_visit_that_lays_it() -> None:
    """Hauling out and cleaning up go with the work they follow, so that no other day comes between."""
    blocks, _ = _laid_and_cleaned(0)
    assert _numbers(blocks) == [[1, 2], [3]]
    assert blocks[0].phase is Phase.INSTALL


def test_cleaning_up_does_not_make_glue_wait() -> None:
    """Where the laying starts a wait, the wait counts from the laying, not from the clean-up after it."""
    blocks, _ = _laid_and_cleaned(24 * 60)
    assert _numbers(blocks) == [[1], [2], [3]]
