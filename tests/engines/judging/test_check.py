"""The judge must see what is wrong: plans spoiled on purpose, and facts that change under a plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from crewjobs.domain.crew import Away, Skill
from crewjobs.domain.evening import CrewHours, HowFar
from crewjobs.domain.house_ready import DryRun
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey, LeftOut, Pin, Placement, WeekPlan
from crewjobs.domain.tasks import Pause, Phase
from crewjobs.domain.wall import to_wall
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import Earliest, Errand, PlanProblem, SameDay
from tests import thorough
from tests.engines.planning.networks import CENTRAL, MONDAY, Network, at, booked_weeks, crew, house, job, problem, shop

QUARTER = timedelta(minutes=15)
SEEDS = thorough.of(range(5), 2)


def _planned(seed: int) -> tuple[PlanProblem, WeekPlan]:
    the_problem = booked_weeks(3, 2, 2, seed)
    return the_problem, plan_week(the_problem)


def _with(plan: WeekPlan, old: Placement, **changes: object) -> WeekPlan:
    new = replace(old, **changes)  # type: ignore[arg-type]
    return replace(plan, placements=tuple(new if p is old else p for p in plan.placements))


@pytest.mark.parametrize("seed", SEEDS)
def test_the_plan_itself_holds(seed: int) -> None:
    """The judge finds nothing in the planner's plan."""
    assert check_plan(*_planned(seed)) == ()


SPOILS: dict[str, Callable[[Placement], dict[str, object]]] = {
    "ends a slot later": lambda p: {"end": p.end + QUARTER},
    "ends a slot sooner": lambda p: {"end": p.end - QUARTER},
    "starts a slot sooner": lambda p: {"start": p.start - QUARTER},
    "starts a slot later": lambda p: {"start": p.start + QUARTER},
    "moved into the night": lambda p: {"start": p.start + 12 * 4 * QUARTER, "end": p.end + 12 * 4 * QUARTER},
    "off the quarter": lambda p: {"start": p.start + timedelta(minutes=5), "end": p.end + timedelta(minutes=5)},
    "before the plan": lambda p: {"start": p.start - timedelta(days=7), "end": p.end - timedelta(days=7)},
    "another crew": lambda p: {"crew": "Nobody"},
    "another stage": lambda p: {"stage": p.stage + 1},
    "another name": lambda p: {"key": BlockKey(job=p.key.job, task=p.key.task + 100)},
    "a task less": lambda p: {"tasks": p.tasks[1:]},
    "no reason": lambda p: {"reason": " "},
}


@pytest.mark.parametrize("spoil", SPOILS)
def test_every_spoiled_placement_is_seen(spoil: str) -> None:
    """Whatever placement is spoiled, and in each of these ways, the judge sees it."""
    the_problem, plan = _planned(1)
    for placement in thorough.of(plan.placements, plan.placements[::3]):
        assert check_plan(the_problem, _with(plan, placement, **SPOILS[spoil](placement))), placement


def test_a_missing_or_doubled_placement_is_seen() -> None:
    """A block that is not there, or there twice, is seen."""
    the_problem, plan = _planned(2)
    for placement in plan.placements:
        less = tuple(p for p in plan.placements if p is not placement)
        assert check_plan(the_problem, replace(plan, placements=less))
        assert check_plan(the_problem, replace(plan, placements=(*plan.placements, placement)))


@pytest.mark.parametrize("seed", SEEDS)
def test_moved_by_a_slot_before_what_fixes_it_is_seen(seed: int) -> None:
    """A block whose start is fixed by a wait, a link or its crew, moved a slot sooner as a whole, is seen."""
    the_problem, plan = _planned(seed)
    fixed = [p for p in plan.placements if "until" in p.reason or p.reason.startswith("follows")]
    assert fixed
    for placement in fixed:
        moved = _with(plan, placement, start=placement.start - QUARTER, end=placement.end - QUARTER)
        assert check_plan(the_problem, moved), placement


@pytest.mark.parametrize("seed", SEEDS)
def test_a_crew_without_the_skill_is_seen(seed: int) -> None:
    """A block given to a crew that cannot do it is seen."""
    the_problem, plan = _planned(seed)
    records = {record.job.number: record for record in the_problem.jobs}
    for placement in plan.placements:
        skills = {records[placement.key.job].task(number).skill for number in placement.tasks} - {None}
        for other in the_problem.shop.crews:
            if not skills <= other.skills:
                assert check_plan(the_problem, _with(plan, placement, crew=other.name))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_wait_that_grows_by_a_minute_is_seen(seed: int) -> None:
    """Where a wait fixes a start to the minute, one more minute of it breaks the plan."""
    the_problem, plan = _planned(seed)
    of = {(p.key.job, number): p for p in plan.placements for number in p.tasks}
    tight = 0
    for place, record in enumerate(the_problem.jobs):
        for i, link in enumerate(record.links):
            pair = [of.get((record.job.number, number)) for number in (link.before, link.after)]
            if not link.wait_min or None in pair:
                continue
            before, after = pair
            if after.start - before.end == timedelta(minutes=link.wait_min):  # type: ignore[union-attr]
                tight += 1
                links = (*record.links[:i], replace(link, wait_min=link.wait_min + 1), *record.links[i + 1 :])
                jobs = list(the_problem.jobs)
                jobs[place] = replace(record, links=links)
                assert check_plan(replace(the_problem, jobs=tuple(jobs)), plan)
    assert tight


def _first(plan: WeekPlan) -> tuple[Placement, object]:
    placement = plan.placements[0]
    return placement, to_wall(CENTRAL, placement.start).date()


def _day_off(the_problem: PlanProblem, plan: WeekPlan) -> PlanProblem:
    placement, day = _first(plan)
    crews = tuple(
        replace(crew, days_off=frozenset({day})) if crew.name == placement.crew else crew
        for crew in the_problem.shop.crews
    )
    return replace(the_problem, shop=replace(the_problem.shop, crews=crews))


def _holiday(the_problem: PlanProblem, plan: WeekPlan) -> PlanProblem:
    return replace(the_problem, shop=replace(the_problem.shop, holidays=frozenset({_first(plan)[1]})))


def _changed_job(the_problem: PlanProblem, plan: WeekPlan, **changes: object) -> PlanProblem:
    number = plan.placements[0].key.job
    jobs = tuple(
        replace(record, job=replace(record.job, **changes)) if record.job.number == number else record  # type: ignore[arg-type]
        for record in the_problem.jobs
    )
    return replace(the_problem, jobs=jobs)


def _blocked(the_problem: PlanProblem, plan: WeekPlan) -> PlanProblem:
    return _changed_job(the_problem, plan, blocked=frozenset({_first(plan)[1]}))


def _further(the_problem: PlanProblem, plan: WeekPlan) -> PlanProblem:
    record = next(record for record in the_problem.jobs if record.job.number == plan.placements[0].key.job)
    return _changed_job(the_problem, plan, site=replace(record.job.site, drive_min=record.job.site.drive_min + 60))


def _later_fact(the_problem: PlanProblem, plan: WeekPlan) -> PlanProblem:
    placement = plan.placements[0]
    fact = Earliest(at=placement.start + timedelta(minutes=1), reason="planks ready")
    return replace(the_problem, earliest={(placement.key.job, placement.tasks[0]): (fact,)})


def _impossible(the_problem: PlanProblem, plan: WeekPlan) -> PlanProblem:
    placement = plan.placements[0]
    return replace(the_problem, impossible={(placement.key.job, placement.tasks[0]): "not ordered"})


def _pinned(the_problem: PlanProblem, plan: WeekPlan) -> PlanProblem:
    placement, day = _first(plan)
    pin = Pin(job=placement.key.job, task=placement.tasks[0], crew=placement.crew, day=day + timedelta(days=1))  # type: ignore[operator]
    return replace(the_problem, pins=(pin,))


def _changed_task(the_problem: PlanProblem, plan: WeekPlan, **changes: object) -> PlanProblem:
    placement, jobs = max(((p, p.end - p.start) for p in plan.placements), key=lambda pair: pair[1])[0], []
    for record in the_problem.jobs:
        here = record.job.number == placement.key.job
        tasks = tuple(
            replace(t, **changes) if here and t.number in placement.tasks else t  # type: ignore[arg-type]
            for t in record.tasks
        )
        jobs.append(replace(record, tasks=tasks))
    return replace(the_problem, jobs=tuple(jobs))


CHANGES: dict[str, Callable[[PlanProblem, WeekPlan], PlanProblem]] = {
    "day off": _day_off,
    "holiday": _holiday,
    "blocked day": _blocked,
    "longer drive": _further,
    "later fact": _later_fact,
    "impossible": _impossible,
    "pin elsewhere": _pinned,
    "in one go": lambda the_problem, plan: _changed_task(the_problem, plan, pause=Pause.NONE),
    "on one day": lambda the_problem, plan: _changed_task(the_problem, plan, pause=Pause.LUNCH),
    "five people": lambda the_problem, plan: _changed_task(the_problem, plan, least_people=5),
    "done": lambda the_problem, plan: _changed_task(the_problem, plan, not_needed=True),
    "no skill": lambda the_problem, plan: replace(
        the_problem,
        shop=replace(
            the_problem.shop,
            crews=tuple(replace(c, skills=c.skills - {Skill.FLOATING}) for c in the_problem.shop.crews),
        ),
    ),
    "called off": lambda the_problem, plan: _changed_job(the_problem, plan, state="called off"),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_plan_that_facts_overtook_is_seen(change: str) -> None:
    """When a fact changes under a plan so that it no longer holds, the judge says so."""
    the_problem, plan = _planned(3)
    assert check_plan(CHANGES[change](the_problem, plan), plan)


def test_two_crews_at_once_is_fine_but_one_crew_twice_is_seen() -> None:
    """A crew sent to a second house while it is at the first is seen; so is one without time for the way."""
    the_problem, plan = _planned(4)
    seen = False
    for before, after in zip(plan.placements, plan.placements[1:], strict=False):
        if before.crew == after.crew and before.key.job != after.key.job:
            moved = _with(plan, after, start=before.start, end=before.start + (after.end - after.start))
            assert any("still on job" in fault or "drive" in fault for fault in check_plan(the_problem, moved))
            seen = True
    assert seen


def test_what_goes_out_and_does_not_come_back_is_seen() -> None:
    """Of two tasks that belong on one day the last is left out though it is open: the judge sees that the first stays."""
    the_problem, plan = _planned(1)
    last = max(plan.placements, key=lambda p: p.end)
    first = next(p for p in plan.placements if p.key.job == last.key.job and p is not last)
    pair = SameDay(job=last.key.job, first=first.key.task, last=last.key.task, why="the toilet would be out over night")
    less = replace(
        plan,
        placements=tuple(p for p in plan.placements if p is not last),
        left_out=(*plan.left_out, LeftOut(job=last.key.job, tasks=last.tasks, why="no plumber")),
    )
    said = "which must end that day, is not"
    assert not any(said in fault for fault in check_plan(the_problem, less))
    assert any(said in fault for fault in check_plan(replace(the_problem, same_day=(pair,)), less))


def test_left_out_without_a_why_is_seen() -> None:
    """Work left out with an empty why is seen; half a house is seen."""
    the_problem, plan = _planned(5)
    last = plan.placements[-1]
    less = tuple(p for p in plan.placements if p is not last)
    silent = replace(plan, placements=less, left_out=(LeftOut(job=last.key.job, tasks=last.tasks, why=" "),))
    faults = check_plan(the_problem, silent)
    assert any("without a why" in fault for fault in faults)
    assert any("opened though not all" in fault for fault in faults)


def test_what_ends_on_another_day_than_it_begins_is_seen() -> None:
    """Two tasks that are planned on different days, or the first alone, break a rule that they are of one day."""
    the_problem, plan = _planned(1)
    of = {(p.key.job, number): p for p in plan.placements for number in p.tasks}
    seen = 0
    for first, then in zip(plan.placements, plan.placements[1:], strict=False):
        if first.key.job != then.key.job:
            continue
        days = [to_wall(CENTRAL, moment).date() for moment in (first.start, then.end - timedelta(minutes=1))]
        pair = SameDay(job=first.key.job, first=first.tasks[0], last=then.tasks[-1], why="the toilet is out")
        faults = check_plan(replace(the_problem, same_day=(pair,)), plan)
        assert bool(faults) == (days[0] != days[1])
        assert all("does not end on the day on which" in fault for fault in faults)
        seen += days[0] != days[1]
    assert seen
    last = max(plan.placements, key=lambda placed: placed.end)
    pair = SameDay(job=last.key.job, first=last.tasks[0], last=last.tasks[0] - 1, why="the toilet is out")
    before = of[last.key.job, last.tasks[0] - 1]
    less = replace(plan, placements=tuple(p for p in plan.placements if p is not before))
    assert any(
        "which must end that day, is not" in one for one in check_plan(replace(the_problem, same_day=(pair,)), less)
    )


@pytest.mark.parametrize("holders", ["nobody", "somebody", "somebody who is out that day", "somebody who leaves"])
def test_a_card_that_nobody_there_holds_is_seen(holders: str) -> None:
    """What needs a card is planned on days on which somebody there holds it, all of the time, or the judge says so."""
    record = house(1)
    record = replace(record, tasks=tuple(replace(t, card="lead" if t.number == 5 else "") for t in record.tasks))
    birch = crew("Birch", 3)
    with_card = tuple(replace(one, cards=frozenset({"lead"} if one.name == "Birch 2" else ())) for one in birch.workers)
    the_problem = problem([record], shop(replace(birch, workers=with_card)))
    plan = plan_week(the_problem)
    placed = next(p for p in plan.placements if 5 in p.tasks)
    if holders == "nobody":
        the_problem = replace(the_problem, shop=shop(birch))
    elif holders == "somebody who is out that day":
        out = Away(crew="Birch", worker="Birch 2", day=to_wall(CENTRAL, placed.start).date())
        the_problem = replace(the_problem, away=(out,))
    elif holders == "somebody who leaves":
        errand = Errand(crew="Birch", worker="Birch 2", start=placed.start, end=placed.start + QUARTER)
        the_problem = replace(the_problem, errands=(errand,))
    said = [fault for fault in check_plan(the_problem, plan) if "task 5 needs the card 'lead'" in fault]
    assert bool(said) == (holders != "somebody")


@pytest.mark.parametrize("days", [0, 1, 2])
def test_work_under_way_that_waits_is_seen(days: int) -> None:
    """What a crew has begun goes on in the first minute it can work there; a day later at the same hour it is seen."""
    net = Network(job=job(1, drive=0))
    begun = at(MONDAY - timedelta(days=3), "14:00")
    net.add("rows", Phase.INSTALL, 900, started_at=begun, crew="Birch")
    the_problem = problem([net.record()], shop(crew("Birch")))
    plan = plan_week(the_problem)
    (placed,) = plan.placements
    later = _with(plan, placed, start=placed.start + timedelta(days=days), end=placed.end + timedelta(days=days))
    faults = check_plan(the_problem, later)
    assert bool(faults) == bool(days)
    assert all("is under way but does not go on at once" in fault for fault in faults)


def test_other_work_under_way_may_go_on_first() -> None:
    """Of two tasks a crew has begun one goes on at once, the other after it: that is no fault."""
    records = []
    for number in (1, 2):
        net = Network(job=job(number, drive=0))
        started = at(MONDAY - timedelta(days=3), "14:00") + timedelta(minutes=number)
        net.add("rows", Phase.INSTALL, 900, started_at=started, crew="Birch")
        records.append(net.record())
    the_problem = problem(records, shop(crew("Birch")))
    assert check_plan(the_problem, plan_week(the_problem)) == ()


@pytest.mark.parametrize("now", ["14:30", "15:50", "18:00", "next day"])
@pytest.mark.parametrize("told", [False, True])
@pytest.mark.parametrize("looked", [False, True])
def test_what_is_left_of_work_under_way_is_known_to_the_judge(now: str, told: bool, looked: bool) -> None:
    """By the hours told and by how far it was said to be the plan has no fault; with less than is left it has."""
    net = Network(job=job(1))
    net.add("rows", Phase.INSTALL, 1200, people=1, started_at=at(MONDAY, "08:00"), crew="Birch")
    record = net.record()
    if looked:
        said = HowFar(task=1, at=at(MONDAY, "13:00"), done=1, whole=2, unit="rooms")
        record = replace(record, how_far=(said,))
    if told:
        hours = CrewHours(crew="Birch", start=at(MONDAY, "07:00"), stop=at(MONDAY, "13:30"), people=1)
        record = replace(record, crew_hours=(hours,))
    moment = at(MONDAY + timedelta(days=1), "06:20") if now == "next day" else at(MONDAY, now)
    the_problem = problem([record], shop(crew("Birch", 1)), now=moment)
    plan = plan_week(the_problem)
    (placed,) = plan.placements
    assert check_plan(the_problem, plan) == ()
    assert check_plan(the_problem, _with(plan, placed, end=placed.end - QUARTER))


def _begun(number: int, minutes: float = 900) -> JobRecord:
    """Return a job of rows that Birch began on Friday."""
    net = Network(job=job(number, drive=20))
    net.add("rows", Phase.INSTALL, minutes, started_at=at(MONDAY - timedelta(days=3), "14:00"), crew="Birch")
    return net.record()


@pytest.mark.parametrize("worked_since", [False, True])
def test_a_crew_that_stands_at_a_house_drives_on_from_there(worked_since: bool) -> None:
    """Sent away from job 2, or done there, it is at job 1 forty minutes of drive later, and that is at once enough.

    Who was sent away still stands there for a quarter of an hour.
    """
    now = at(MONDAY, "09:00")
    sent = replace(house(2), dry_runs=(DryRun(at=at(MONDAY, "08:00"), crew="Birch", because="no key"),))
    if worked_since:
        done = replace(sent.tasks[0], started_at=at(MONDAY, "08:15"), done_at=at(MONDAY, "08:30"), crew="Birch")
        sent = replace(sent, tasks=(done, *sent.tasks[1:]))
    the_problem = problem([_begun(1), sent], shop(crew("Birch")), now=now)
    at_once = problem([_begun(1), house(2)], shop(crew("Birch")), now=now)
    first = plan_week(at_once).placements[0]
    assert first.start == now
    rest = replace(plan_week(the_problem), placements=(first,), left_out=())
    said = [fault for fault in check_plan(the_problem, rest) if "drive from job 2" in fault]
    assert said
    driven = plan_week(the_problem).placements[0]
    assert driven.start == now + timedelta(minutes=45 if worked_since else 60)
    assert check_plan(the_problem, plan_week(the_problem)) == ()


def test_a_crew_whose_block_stands_goes_on_once_that_is_over() -> None:
    """At 9:00 Birch is at job 2 until 11:00, as the plan before has it: job 1 goes on after the drive from there, not later."""
    now = at(MONDAY, "09:00")
    stands = Placement(
        key=BlockKey(2, 1),
        tasks=(1,),
        phase=Phase.INSTALL,
        stage=1,
        crew="Birch",
        start=at(MONDAY, "08:00"),
        end=at(MONDAY, "11:00"),
        reason="as it was planned",
    )
    done = Network(job=job(2, drive=20))
    done.add("rows", Phase.INSTALL, 180, started_at=at(MONDAY, "08:00"), done_at=at(MONDAY, "11:00"), crew="Birch")
    the_problem = replace(problem([_begun(1), done.record()], shop(crew("Birch")), now=now), stands=(stands,))
    plan = plan_week(the_problem)
    (placed,) = [one for one in plan.placements if one.key.job == 1]
    assert placed.start == at(MONDAY, "11:45")
    assert check_plan(the_problem, plan) == ()
    later = _with(plan, placed, start=placed.start + timedelta(hours=1), end=placed.end + timedelta(hours=1))
    assert any("does not go on at once" in fault for fault in check_plan(the_problem, later))


@pytest.mark.parametrize("people", [1, 2])
@pytest.mark.parametrize("leaves_in", [0, 4, 60])
def test_who_is_on_an_errand_cannot_go_on_at_once(people: int, leaves_in: int) -> None:
    """One person alone goes on right after the errand, and no judge asks for more; of two the other goes on meanwhile."""
    now = at(MONDAY, "09:00")
    leaves = now + timedelta(minutes=leaves_in)
    errand = Errand(crew="Birch", worker="Birch 1", start=leaves, end=leaves + timedelta(hours=1))
    the_problem = replace(problem([_begun(1)], shop(crew("Birch", people)), now=now), errands=(errand,))
    plan = plan_week(the_problem)
    assert check_plan(the_problem, plan) == ()
    (placed,) = plan.placements
    back = now + timedelta(minutes=-(-(leaves_in + 60) // 15) * 15)  # on the next quarter hour
    assert placed.start == (back if people == 1 else now)
    later = _with(plan, placed, start=placed.start + timedelta(days=1), end=placed.end + timedelta(days=1))
    assert any("does not go on at once" in fault for fault in check_plan(the_problem, later))


def test_a_day_on_which_nobody_of_a_crew_is_there_is_no_day_of_work() -> None:
    """With both out on Tuesday Monday's work goes on on Wednesday: the judge, too, counts no minute of Tuesday."""
    out = tuple(Away(crew="Birch", worker=f"Birch {n}", day=MONDAY + timedelta(days=1)) for n in (1, 2))
    net = Network(job=job(2))
    net.add("rows", Phase.INSTALL, 3000)
    the_problem = problem([_begun(1, 300), net.record()], shop(crew("Birch", 2)), away=out)
    plan = plan_week(the_problem)
    assert check_plan(the_problem, plan) == ()
    assert any(to_wall(CENTRAL, p.start).date() <= MONDAY < to_wall(CENTRAL, p.end).date() for p in plan.placements)
    assert check_plan(replace(the_problem, away=()), plan), "the day is missing once they are there"


def test_too_few_people_for_a_task_are_seen() -> None:
    """Where a task turns out to take three people, a plan with two is wrong, and the judge says how many are there."""
    net = Network(job=job(1))
    net.add("Set the stove", Phase.FIXTURES_RESET, 120, people=3, least=2)
    the_problem = problem([net.record()], shop(crew("Birch", 2)))
    plan = plan_week(the_problem)
    assert check_plan(the_problem, plan) == ()
    (record,) = the_problem.jobs
    heavier = replace(record, tasks=tuple(replace(task, least_people=3) for task in record.tasks))
    said = check_plan(replace(the_problem, jobs=(heavier,)), plan)
    assert said == ("job 1, fixtures reset 1 (task 1): task 1 needs 3 people, Birch has 2.",)


def test_work_under_way_with_another_crew_is_seen() -> None:
    """What Birch began, Birch goes on with: the same plan is wrong where it turns out that Cedar began it."""
    net = Network(job=job(1))
    net.add("Lay rows", Phase.INSTALL, 600, started_at=at(MONDAY, "08:00"), crew="Birch")
    the_problem = problem([net.record()], shop(crew("Birch", 2), crew("Cedar", 2)), now=at(MONDAY, "09:00"))
    plan = plan_week(the_problem)
    assert check_plan(the_problem, plan) == ()
    (record,) = the_problem.jobs
    others = replace(record, tasks=tuple(replace(task, crew="Cedar") for task in record.tasks))
    said = check_plan(replace(the_problem, jobs=(others,)), plan)
    assert any(fault.endswith("was begun by Cedar, not Birch.") for fault in said), said


def test_tasks_with_different_pauses_in_one_block_are_seen() -> None:
    """A morning's block is wrong where one of its tasks may not pause, even if nothing in it pauses."""
    net = Network(job=job(1, drive=0))
    net.add("Set base", Phase.TRIM, 60)
    net.add("Glue nosing", Phase.TRIM, 60)
    the_problem = problem([net.record()], shop(crew("Birch", 2)))
    plan = plan_week(the_problem)
    assert [placed.tasks for placed in plan.placements] == [(1, 2)]
    assert check_plan(the_problem, plan) == ()
    (record,) = the_problem.jobs
    one_go = replace(record, tasks=(record.tasks[0], replace(record.tasks[1], pause=Pause.NONE)))
    said = check_plan(replace(the_problem, jobs=(one_go,)), plan)
    assert any("its tasks pause by different rules" in fault for fault in said), said
