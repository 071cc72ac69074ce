"""The chain that fixes a job's end: what it names is in the plan, and binds."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from crewjobs.domain.crew import Away, SharedTool
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey, Pin, Placement, WeekPlan
from crewjobs.domain.tasks import Link, Pause, Phase, ScopeKind
from crewjobs.domain.wall import QUARTER, to_wall
from crewjobs.engines.answering.chain import HOUR, Chain, chain_of
from crewjobs.engines.answering.chain_steps import StepKind
from crewjobs.engines.answering.chain_words import Told, told
from crewjobs.engines.answering.later import Later, why_later
from crewjobs.engines.answering.planned_job import Binding, PlannedJob, floor_of
from crewjobs.engines.answering.soonest import soonest
from crewjobs.engines.answering.standing import alone
from crewjobs.engines.planning.calendars import Calendar, slots_of
from crewjobs.engines.planning.critical_path import critical_path
from crewjobs.engines.planning.jobwork import job_work
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import Earliest, PlanProblem
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.readiness.holds import FactKind
from tests import thorough
from tests.engines.planning.networks import (
    CENTRAL,
    MONDAY,
    Network,
    at,
    booked_weeks,
    crew,
    hours,
    house,
    job,
    problem,
    random_problem,
    shop,
)
from tests.engines.planning.test_critical_path import NINE, RELIABLE, SLACK, _network

BIRCH = crew("Birch", 3)
_TOLD_ELSEWHERE = (
    StepKind.AT_MOST,
    StepKind.DELIVERY,
    StepKind.CURE,
    StepKind.FACT,
    StepKind.CREW,
    StepKind.WORK,
    StepKind.TOGETHER,
)


def _day(number: int) -> date:
    return date(2026, 3, number)


def _told(the_problem: PlanProblem, number: int = 1, plan: WeekPlan | None = None) -> Told:
    made = plan or plan_week(the_problem)
    chain = chain_of(the_problem, made, number)
    assert chain is not None
    zone = next(r for r in the_problem.jobs if r.job.number == number).job.site.zone
    return told(chain, floor_of(the_problem, made), zone)


def _planks(**terms: object) -> tuple[JobRecord, dict[tuple[int, int], tuple[Earliest, ...]]]:
    """Return a job whose planks are due on Friday at 13:00 and acclimate 48 h, and that fact."""
    net = Network(job=job(1, drive=0, **terms))  # type: ignore[arg-type]
    carry = net.add("Carry in planks", Phase.HOUSE, 15, scope=ScopeKind.MATERIAL)
    net.add("Lay rows", Phase.INSTALL, 3 * 372, people=3, waits={carry: (48 * 60, "acclimating")})
    due = Earliest(at=at(_day(6), "13:00"), reason="planks are due", kind=FactKind.DUE)
    return net.record(), {(1, carry): (due,)}


def test_the_chain_of_late_planks() -> None:
    """Due Friday, 48 h over the weekend and the change of clock, laid on Monday: each link with its time, nothing else.

    Carrying in takes a quarter of an hour: a step of the chain, and too little for the sentence.

    48 h from Friday 13:15 CST are Sunday 14:15 CDT; 6.2 h from Monday 7:30 with half an hour of lunch end at 14:15.
    """
    record, earliest = _planks()
    found = _told(problem([record], shop(BIRCH), earliest=earliest))
    assert found.sentence == (
        "Job 1 ends Mon 9 Mar 14:12: planks are due Fri 6 Mar 13:00 and acclimates 48 h until Sun 8 Mar 14:15; from Mon 9 "
        "Mar 07:30 Birch works 6 h 15 min on the laying, to 14:12."
    )
    kinds = [step.kind for step in found.steps]
    assert kinds == [StepKind.DELIVERY, StepKind.WORK, StepKind.ACCLIMATION, StepKind.WORK]


def _crew_and_cure(since: str, hours_there: float, cures: datetime) -> PlanProblem:
    """Return base to go on at job 1 after a cure, by a crew that is at job 2 for some hours from an instant on."""
    first = Network(job=job(2, drive=0, promised=_day(9)))
    first.add("Lay rows", Phase.INSTALL, 3 * 60 * hours_there, people=3)
    second = Network(job=job(1, drive=0))
    second.add("Base back", Phase.TRIM, 60)
    cure = Earliest(at=cures, reason="leveler cures until", kind=FactKind.CURE)
    come = Earliest(
        at=at(MONDAY if since == "Monday" else _day(9), "07:00"), reason="planks are due", kind=FactKind.DUE
    )
    return problem([first.record(), second.record()], shop(BIRCH), earliest={(1, 1): (cure,), (2, 1): (come,)})


def test_a_wait_that_ends_first_and_costs_nothing_is_not_named() -> None:
    """A cure until Tuesday costs nothing where the crew is at another house from Monday to Wednesday."""
    found = _told(_crew_and_cure("Monday", 20, at(MONDAY + timedelta(days=1), "13:00")))
    assert [step.kind for step in found.steps] == [StepKind.CREW, StepKind.WORK]
    assert found.waits_for == (2,)
    assert found.because.startswith("Birch is on job 2 until Wed 4 Mar 11:30; from 11:30 Birch works")


def test_what_costs_days_is_named_before_what_costs_hours() -> None:
    """A cure until Sunday keeps the crew from coming the week before; on Monday it is at another house until 15:30."""
    found = _told(_crew_and_cure("the Monday after", 7.5, at(_day(8), "13:00")))
    assert found.because.startswith(
        "leveler cures until Sun 8 Mar 13:00; Birch is on job 2 until Mon 9 Mar 15:30; from 15:30 Birch works"
    )


def _case(kind: StepKind) -> tuple[PlanProblem, str]:
    """Return a problem in which one kind of thing binds job 1, and words its sentence must hold."""
    record, earliest = _planks()
    if kind is StepKind.WISHED:
        return problem([house(1, wished=_day(11))], shop(BIRCH)), "the start is wished for Wed 11 Mar; from 08:00"
    if kind is StepKind.PIN:
        net = Network(job=job(1, drive=0))
        net.add("Lay rows", Phase.INSTALL, 60)
        pin = Pin(job=1, task=1, crew="Birch", day=_day(4))
        return problem([net.record()], shop(BIRCH), pins=[pin]), "pinned to Birch on Wed 4 Mar; from 07:30 Birch works"
    if kind is StepKind.HOURS:
        off = crew("Birch", 3, off=[_day(9), _day(10)])
        return problem([record], shop(off), earliest=earliest), "Birch is off Mon 9 Mar and Tue 10 Mar; from Wed 11 Mar"
    if kind is StepKind.PEOPLE:
        net = Network(job=job(1, drive=0))
        net.add("Lay rows", Phase.INSTALL, 60, least=3)
        away = [Away(crew="Birch", worker="Birch 2", day=MONDAY)]
        return problem(
            [net.record()], shop(BIRCH), away=away
        ), "takes 3 people, Birch has 2 on Mon 2 Mar (Birch 2 is out); from Tue 3 Mar"
    if kind is StepKind.STRETCH:
        net = Network(job=job(1, drive=0))
        net.add("Pour leveler", Phase.SUBFLOOR_PREP, 300, people=1, pause=Pause.LUNCH)
        come = Earliest(at=at(MONDAY, "13:00"), reason="leveler is due", kind=FactKind.DUE)
        said = "the subfloor prep takes 5 h on one day, and Tue 3 Mar 07:30 is the first time it fits; from 07:30"
        return problem([net.record()], shop(BIRCH), earliest={(1, 1): (come,)}), said
    if kind is StepKind.ELEVATOR:
        net = Network(job=job(1, drive=0))
        net.add("Carry out", Phase.HOUSE, 60, elevator=True)
        slots = hours(("09:00", "11:00"), days="wed")
        site = replace(net.job.site, elevator=slots)
        return problem([replace(net.record(), job=replace(net.job, site=site))], shop(BIRCH)), (
            "the elevator is booked from Wed 4 Mar 09:00; from 09:00 Birch works"
        )
    if kind is StepKind.TOOL:
        nets = [Network(job=job(number, drive=0, promised=_day(1 + number))) for number in (1, 2)]
        for net in nets:
            net.add("Lay rows", Phase.INSTALL, 3 * 240, people=3)
        the_shop = replace(shop(BIRCH, crew("Cedar", 3)), tools=(SharedTool(name="flooring saw", count=1),))
        tools = {(number, 1): frozenset({"flooring saw"}) for number in (1, 2)}
        early = [replace(net.record(), job=replace(net.job, promised=_day(4 - net.job.number))) for net in nets]
        said = "the flooring saw is at job 2 until Mon 2 Mar 11:30, which costs 4 h of the same day; from 11:30"
        return replace(problem(early, the_shop), tools=tools), said
    if kind is StepKind.PROMISE:
        fact = Earliest(at=at(_day(5), "09:00"), reason="the plumber has promised 'gas' for", kind=FactKind.PROMISE)
        net = Network(job=job(1, drive=0))
        net.add("Range back", Phase.FIXTURES_RESET, 60)
        return problem([net.record()], shop(BIRCH), earliest={(1, 1): (fact,)}), (
            "the plumber has promised 'gas' for Thu 5 Mar 09:00; from 09:00 Birch works"
        )
    if kind is StepKind.HOUSE:
        fact = Earliest(at=at(_day(5), "09:00"), reason="no power or water before", kind=FactKind.HOUSE)
        return problem([record], shop(BIRCH), earliest={(1, 2): (fact,)}), "no power or water before Thu 5 Mar 09:00"
    if kind is StepKind.BEGUN:
        net = Network(job=job(1, drive=0))
        net.add("Lay rows", Phase.INSTALL, 600, started_at=at(MONDAY, "06:00"), crew="Birch")
        return problem([net.record()], shop(BIRCH)), "it is under way since Mon 2 Mar 06:00; Birch works"
    assert kind is StepKind.ACCLIMATION
    ready = at(_day(8), "14:00")
    facts = (
        Earliest(at=at(_day(6), "13:00"), reason="oak is due", kind=FactKind.DUE),
        Earliest(at=ready, reason="oak is due and acclimated by (48 h after its delivery)",
                 kind=FactKind.ACCLIMATION, of="oak", since=at(_day(6), "13:00")),
    )  # fmt: skip
    net = Network(job=job(1, drive=0))
    net.add("Lay rows", Phase.INSTALL, 60)
    said = "oak is due Fri 6 Mar 13:00 and acclimates 48 h until Sun 8 Mar 14:00; from Mon 9 Mar 07:30 Birch works"
    return problem([net.record()], shop(BIRCH), earliest={(1, 1): facts}), said


@pytest.mark.parametrize("kind", [kind for kind in StepKind if kind not in _TOLD_ELSEWHERE])
def test_each_kind_of_link_is_told(kind: StepKind) -> None:
    """Where one kind of thing binds a job's end, the chain has a step of that kind, with its words and times."""
    the_problem, said = _case(kind)
    found = _told(the_problem)
    assert kind in [step.kind for step in found.steps]
    assert said in found.sentence, found.sentence


def _instants(the_problem: PlanProblem, plan: WeekPlan, chain: Chain) -> set[datetime]:
    """Return every instant a sentence on a plan may speak of: its places, ends of waits, facts, the end to the minute."""
    known = {chain.end}
    for placed in plan.placements:
        known |= {placed.start, placed.end}
    record = next(r for r in the_problem.jobs if r.job.number == chain.job)
    of = {n: p for p in plan.placements if p.key.job == chain.job for n in p.tasks}
    waits = {link.wait_min for link in record.links}
    for placed in of.values():
        slots = {timedelta(minutes=-(-wait // QUARTER) * QUARTER) for wait in waits}
        ends = {placed.end + wait for wait in slots}
        known |= ends | {end - timedelta(minutes=wait) for end in ends for wait in waits}
    for facts in the_problem.earliest.values():
        known |= {moment for fact in facts for moment in (fact.at, fact.since) if moment is not None}
    known |= {task.started_at for task in record.tasks if task.started_at is not None}
    floor = floor_of(the_problem, plan)
    for pin in the_problem.pins:
        known.add(floor.axis.at(max(0, floor.day(record, pin.day)[0])))
    known |= {floor.axis.at(floor.day(record, record.job.wished)[0])} if record.job.wished else set()
    known |= {floor.axis.at(spot.bound.slot) for spot in chain.spots}  # where days without work begin to count
    known |= {floor.axis.at(spot.start) for spot in chain.spots}  # the first time something fits
    return known


def _chains(the_problem: PlanProblem, plan: WeekPlan) -> list[Chain]:
    numbers = sorted({placed.key.job for placed in plan.placements})
    found = [chain_of(the_problem, plan, number) for number in numbers]
    return [chain for chain in found if chain is not None]


@settings(max_examples=thorough.examples(18, 8), deadline=None)
@given(st.integers(0, 1_000_000))
@example(4657)  # the tool is at another job: no word on when its crew would be there until
def test_every_time_told_is_in_the_plan(seed: int) -> None:
    """Whatever the shop and jobs: every time of every step is the plan's, and the sentence says all of them in order."""
    the_problem = random_problem(seed)
    plan = plan_week(the_problem)
    floor = floor_of(the_problem, plan)
    for chain in _chains(the_problem, plan):
        known = _instants(the_problem, plan, chain)
        zone = next(r for r in the_problem.jobs if r.job.number == chain.job).job.site.zone
        found = told(chain, floor, zone)
        assert {m for step in found.steps for m in (step.since, step.until) if m is not None} <= known
        assert found.steps
        assert f"{to_wall(zone, found.end):%H:%M}" in found.head
        work = [step for step in found.steps if step.kind is StepKind.WORK]
        assert work[-1].until == found.end


@settings(max_examples=thorough.examples(18, 8), deadline=None)
@given(st.integers(0, 1_000_000))
@example(114)
def test_the_spots_are_one_chain(seed: int) -> None:
    """Spots follow each other without going back in time, end with the job's last work, and begin with a root.

    A root waits for no other work of the job, or for people who are missing after it.
    """
    the_problem = random_problem(seed)
    plan = plan_week(the_problem)
    for chain in _chains(the_problem, plan):
        first, last = chain.spots[0], chain.spots[-1]
        assert first.bound.source is None or first.later is Later.PEOPLE
        assert last.placement.end == max(p.end for p in plan.placements if p.key.job == chain.job)
        for before, after in zip(chain.spots, chain.spots[1:], strict=False):
            assert after.bound.source == before.placement.key
            assert before.end <= after.bound.slot <= after.start


def _first_fit(the_problem: PlanProblem, plan: WeekPlan, number: int) -> tuple[date, int, Calendar] | None:
    """Return the day, slot and calendar of a job's end, its blocks in the plan's order, each at its crew's first place.

    By the planner's own blocks and places, not by what the chain is walked through; all other jobs stand where they are.
    """
    floor = floor_of(the_problem, replace(plan, placements=tuple(p for p in plan.placements if p.key.job != number)))
    record = next(r for r in the_problem.jobs if r.job.number == number)
    work = job_work(record, floor)
    placed = {n: p for p in plan.placements if p.key.job == number for n in p.tasks}
    wished = floor.day(record, record.job.wished)[0] if record.job.wished else 0
    done: dict[BlockKey, Booking] = {}
    for key in sorted(
        work.order, key=lambda key: (placed[work.blocks[key].tasks[0].number].start, work.order.index(key))
    ):
        block, fact = work.blocks[key], work.ready.get(key)
        slots = [done[link.before].end + slots_of(link.wait_min) for link in work.into[key] if link.before in done]
        slots += [floor.axis.up(fact.at)] if fact is not None else []
        slots += [max(0, wished)] if key not in work.ahead else []
        found = floor.first(record, block, placed[block.tasks[0].number].crew, max(slots, default=0))
        if found is None:
            return None
        floor.timelines[found.crew].add(found)
        done[key] = found
    last = max(done.values(), key=lambda one: one.end)
    return floor.date_of(record, last.end - 1), last.end, floor.calendar(record, last.crew)


def _without_first(the_problem: PlanProblem, plan: WeekPlan, found: Told) -> tuple[PlanProblem, WeekPlan] | None:
    """Return a problem and plan without the first cause a sentence names, None where it names none to take away."""
    link = found.links[0]
    if link.kind is StepKind.CREW:
        jobs = {int(number) for number in re.findall(r"\d+", link.words.partition(" until ")[0])}
        return the_problem, replace(plan, placements=tuple(p for p in plan.placements if p.key.job not in jobs))
    if link.kind in (StepKind.DELIVERY, StepKind.FACT, StepKind.HOUSE, StepKind.PROMISE):
        earliest = {key: facts for key, facts in the_problem.earliest.items() if key[0] != found.job}
        return replace(the_problem, earliest=earliest), plan
    if link.kind is StepKind.WISHED:
        jobs_left = (
            replace(r, job=replace(r.job, wished=None)) if r.job.number == found.job else r for r in the_problem.jobs
        )
        return replace(the_problem, jobs=tuple(jobs_left)), plan
    return None


def _without_waits(the_problem: PlanProblem, found: Told) -> PlanProblem:
    """Return a problem in which a job waits no time for what a sentence says dries, cures or acclimates."""

    def told_of(link: Link) -> bool:
        words = "acclimates" if link.name == "acclimating" else link.name.partition(" (")[0]
        return bool(link.wait_min) and words in found.because

    return replace(
        the_problem,
        jobs=tuple(
            replace(r, links=tuple(replace(k, wait_min=0) if told_of(k) else k for k in r.links))
            if r.job.number == found.job
            else r
            for r in the_problem.jobs
        ),
    )


@pytest.mark.parametrize("seed", thorough.of(range(8), 4))
def test_without_the_first_cause_named_the_job_ends_sooner(seed: int) -> None:
    """Weeks of the trade: take away what a sentence begins with, and the job ends sooner by an hour of work or a day.

    Where it is followed by what then dries, cures or acclimates, it may be that time that costs it. Checked by placing the job anew, block by block, with the planner's own places and all other work fixed.
    """
    the_problem = booked_weeks(10, 3, 4, seed)
    plan = plan_week(the_problem)
    for chain in _chains(the_problem, plan):
        found = told(chain, floor_of(the_problem, plan), CENTRAL)
        less = _without_first(the_problem, plan, found)
        now = _first_fit(the_problem, plan, chain.job)
        if less is None or now is None or chain.shared:
            continue
        ends = [_first_fit(*less, chain.job), _first_fit(_without_waits(the_problem, found), plan, chain.job)]
        assert any(
            then is not None and (then[0] < now[0] or now[2].count(now[1]) - now[2].count(then[1]) >= HOUR)
            for then in ends
        ), found.sentence


def test_a_fact_in_the_same_night_is_named_and_not_where_the_crew_merely_was() -> None:
    """The leveler cures until Monday's end of day, and the crew was elsewhere until 14:00: the leveler is named."""
    other = Network(job=job(2, drive=0))
    other.add("Lay rows", Phase.INSTALL, 3 * 360, people=3)
    net = Network(job=job(1, drive=0))
    net.add("Lay rows", Phase.INSTALL, 3 * 120, people=3)
    cure = Earliest(at=at(MONDAY, "15:30"), reason="leveler cures until", kind=FactKind.CURE)
    the_problem = problem([net.record(), other.record()], shop(BIRCH), earliest={(1, 1): (cure,)})
    plan = WeekPlan(
        made_at=the_problem.now,
        until=the_problem.now + timedelta(days=28),
        placements=(_laid(2, MONDAY, "07:30", "14:00"), _laid(1, _day(3), "07:30", "09:30")),
        left_out=(),
    )
    found = _told(the_problem, plan=plan)
    assert found.because.startswith("leveler cures until Mon 2 Mar 15:30; from Tue 3 Mar 07:30 Birch works 2 h")
    assert found.waits_for == ()


def test_a_pin_is_named_and_not_the_house_the_crew_comes_from_that_day() -> None:
    """Pinned to Wednesday, the crew comes from a quarter of an hour at another house: the pin is the cause."""
    net = Network(job=job(1, drive=0))
    net.add("Lay rows", Phase.INSTALL, 3 * 120, people=3)
    other = Network(job=job(2, drive=0))
    other.add("Furniture back", Phase.INSTALL, 3 * 15, people=3)
    pin = Pin(job=1, task=1, crew="Birch", day=_day(4))
    the_problem = problem([net.record(), other.record()], shop(BIRCH), pins=[pin])
    plan = WeekPlan(
        made_at=the_problem.now,
        until=the_problem.now + timedelta(days=28),
        placements=(_laid(2, _day(4), "07:30", "07:45"), _laid(1, _day(4), "07:45", "09:45")),
        left_out=(),
    )
    assert _told(the_problem, plan=plan).because.startswith("pinned to Birch on Wed 4 Mar; from 07:45 Birch works 2 h")


def test_work_under_way_whose_crew_is_not_there_says_when_it_goes_on() -> None:
    """Begun by Birch, who is off until Thursday: the day on which it goes on is in the chain, and why a promise is lost."""
    net = Network(job=replace(job(1, drive=0), promised=_day(3)))
    net.add("Lay rows", Phase.INSTALL, 600, started_at=at(MONDAY - timedelta(days=3), "14:00"), crew="Birch")
    off = crew("Birch", 3, off=[_day(2), _day(3), _day(4)])
    the_problem = problem([net.record()], shop(off, crew("Cedar", 3)))
    plan = plan_week(the_problem)
    assert (
        "under way since Fri 27 Feb 14:00 and Birch goes on with it Thu 5 Mar 07:30"
        in _told(the_problem, 1, plan).sentence
    )
    found = alone(the_problem, plan, 1)
    assert found is not None
    assert found.need is not None
    assert found.need.since >= found.need.until


def test_a_whole_crew_sick_for_days_is_said_first() -> None:
    """All of Birch out from Tuesday to Thursday in the middle of four days of work: that comes before all else."""
    net = Network(job=job(1, drive=0))
    net.add("Lay rows", Phase.INSTALL, 3 * 1200, people=3)
    away = [one for day in (3, 4, 5) for one in _away_on(_day(day), 1, 2, 3)]
    the_problem = problem([net.record()], shop(BIRCH), away=away)
    placed = replace(_laid(1, MONDAY, "07:30", "08:00"), end=at(_day(9), "13:00"))
    plan = WeekPlan(
        made_at=the_problem.now, until=the_problem.now + timedelta(days=28), placements=(placed,), left_out=()
    )
    found = _told(the_problem, plan=plan)
    assert found.because.startswith(
        "nobody of Birch is there Tue 3 Mar to Thu 5 Mar; from Mon 2 Mar 07:30 Birch works 21 h"
    )
    assert found.because.count("nobody") == 1


@pytest.mark.parametrize("seed", thorough.of(range(4), 2))
def test_chains_of_booked_weeks_are_short_and_whole(seed: int) -> None:
    """Houses of the trade: each chain has at most a dozen steps, and its sentence names at most four links.

    None of them but the last is work or a wait of less than an hour.
    """
    the_problem = booked_weeks(10, 3, 4, seed)
    plan = plan_week(the_problem)
    for chain in _chains(the_problem, plan):
        found = told(chain, floor_of(the_problem, plan), CENTRAL)
        assert 1 <= len(found.steps) <= 12, found.sentence
        assert 1 <= len(found.links) <= 4, found.sentence
        assert all(link.minutes == 0 or link.minutes >= 60 for link in found.links[:-1])


@pytest.mark.parametrize("name", ["Hendrickson", "Reliable Construction"])
def test_where_no_crew_is_short_the_chain_is_the_critical_path(name: str) -> None:
    """Nine activities, or fourteen, each begun as early as its links allow by a crew of its own: the chain is critical.

    Source: Hendrickson, chapter 10, table 10-2 (A C F I, 30), and Hillier and Lieberman (MEMORY, 44), as in
    test_critical_path; a day or week there is an hour here.
    """
    table = {k: (v[0], v[1]) for k, v in NINE.items()} if name == "Hendrickson" else RELIABLE
    length = 30 if name == "Hendrickson" else 44
    critical = {k for k in table if (NINE[k][6] == 0 if name == "Hendrickson" else k not in SLACK)}
    number = {activity: i for i, activity in enumerate(table, start=1)}
    net = Network(job=job(1, drive=0))
    for hour, before in table.values():
        net.add("work", Phase.INSTALL, hour * 60, *[number[b] for b in before], people=1)
    minutes, arcs = _network(table)
    times = critical_path(minutes, arcs)
    always = hours(("00:00", "24:00"), days="mon tue wed thu fri sat sun")
    the_shop = shop(*(crew(activity, 1, always) for activity in table))
    the_problem = problem([net.record()], the_shop, now=at(MONDAY, "00:00"))
    placed = tuple(
        Placement(
            key=BlockKey(job=1, task=number[activity]), tasks=(number[activity],), phase=Phase.INSTALL, stage=1,
            crew=activity, reason="early",
            start=the_problem.now + timedelta(hours=times[ord(activity)].early_start),
            end=the_problem.now + timedelta(hours=times[ord(activity)].early_finish),
        )
        for activity in table
    )  # fmt: skip
    plan = WeekPlan(made_at=the_problem.now, until=the_problem.now + timedelta(days=28), placements=placed, left_out=())
    chain = chain_of(the_problem, plan, 1)
    assert chain is not None
    assert chain.end == the_problem.now + timedelta(hours=length)
    found = [spot.placement.crew for spot in chain.spots]
    assert set(found) <= critical
    assert sum(table[activity][0] for activity in found) == length
    assert all(spot.bound.binding in (Binding.FOLLOWS, Binding.PLAN) for spot in chain.spots)


def test_a_longest_wait_says_what_it_waits_for() -> None:
    """Primer could go down on Monday; the glue on it waits for planks due on Thursday, and at most 20 h after the primer."""
    net = Network(job=job(1, drive=0))
    prime = net.add("Prime the slab", Phase.SUBFLOOR_PREP, 240)
    lay = net.add("Spread glue", Phase.INSTALL, 240, prime)
    links = tuple(replace(link, most_min=20 * 60) for link in net.links)
    due = Earliest(at=at(_day(5), "07:30"), reason="planks are due", kind=FactKind.DUE)
    the_problem = problem([replace(net.record(), links=links)], shop(BIRCH), earliest={(1, lay): (due,)})
    plan = plan_week(the_problem)
    assert _told(the_problem, plan=plan).because.startswith(
        "planks are due Thu 5 Mar 07:30; the subfloor prep waits until 07:30, so that 'Spread glue' starts at most 20 h "
        "after it; from 07:30 Birch works 4 h"
    )
    walk = PlannedJob(the_problem, plan, 1)
    place = walk.places[next(p.key for p in plan.placements if prime in p.tasks)]
    last = max(place.bounds, key=lambda bound: bound.slot)
    assert why_later(walk, place, last, soonest(walk))[0] is Later.AT_MOST


# -- what was put later only to have the house open fewer days is no cause


@pytest.mark.parametrize("promised", [5, 6, 13])
def test_a_promise_is_never_broken_or_tight_because_of_where_the_planner_likes_work(promised: int) -> None:
    """Planks due on Monday at 9:00: in every case the sentence names them where the promise is late or tight.

    The demolition is put right before the laying, so in the plan the laying waits for that and not for its planks. With
    a week to spare that is a reason: the house is opened later.
    """
    record = house(1, promised=_day(promised), drive=0, size=1.2)
    tasks = tuple(replace(t, estimate=replace(t.estimate, high=t.estimate.likely * 1.5)) for t in record.tasks)
    due = Earliest(at=at(MONDAY, "09:00"), reason="planks are due", kind=FactKind.DUE)
    the_problem = problem([replace(record, tasks=tasks)], shop(BIRCH), earliest={(1, 2): (due,)})
    plan = plan_week(the_problem)
    found = _told(the_problem, plan=plan)
    assert found.because.startswith("planks are due Mon 2 Mar 09:00 and acclimates 48 h until Wed 4 Mar"), (
        found.sentence
    )
    assert "open fewer days" not in found.because


@settings(max_examples=thorough.examples(12, 6), deadline=None)
@given(st.integers(0, 1_000_000))
def test_as_early_as_it_can_be_is_a_plan_no_later(seed: int) -> None:
    """The job as early as it can be ends none of its work later, keeps all waits, and no crew is at two places at once."""
    the_problem = random_problem(seed)
    plan = plan_week(the_problem)
    for chain in _chains(the_problem, plan):
        walk = PlannedJob(the_problem, plan, chain.job)
        early, planned = soonest(walk), walk.as_planned
        for key, booking in early.items():
            assert booking.start <= planned[key].start
            assert booking.end <= planned[key].end
            calendar = walk.places[key].calendar
            if calendar is not None:
                assert calendar.count(booking.end) - calendar.count(booking.start) == walk.places[key].work
        for link in walk.links:
            before, after = walk.of[link.before], walk.of[link.after]
            if before != after:
                assert early[before].end + slots_of(link.wait_min) <= early[after].start
        others = [booking for line in walk.floor.timelines.values() for booking in line.bookings]
        for name in walk.floor.crews:
            mine = [one for one in early.values() if one.crew == name]
            theirs = [one for one in others if one.crew == name and one.key.job != chain.job]
            spans = sorted((one.start, one.end) for one in [*mine, *theirs])
            assert all(a[1] <= b[0] for a, b in pairwise(spans))


@settings(max_examples=thorough.examples(12, 6), deadline=None)
@given(st.integers(0, 1_000_000))
def test_no_late_job_is_told_that_the_house_is_open_fewer_days(seed: int) -> None:
    """Where a promise is broken, what the planner likes best is never the reason given."""
    the_problem = random_problem(seed)
    plan = plan_week(the_problem)
    for chain in _chains(the_problem, plan):
        record = next(r for r in the_problem.jobs if r.job.number == chain.job)
        zone, promised = record.job.site.zone, record.job.promised
        if promised is not None and to_wall(zone, chain.end - timedelta(minutes=1)).date() > promised:
            words = told(chain, floor_of(the_problem, plan), zone)
            assert "open fewer days" not in words.because


# -- who is out


def _away_on(day: date, *workers: int) -> list[Away]:
    return [Away(crew="Birch", worker=f"Birch {number}", day=day) for number in workers]


def test_a_day_that_nobody_needs_is_not_the_cause() -> None:
    """All of Birch are out on Tuesday, the planks come on Thursday: who is out on Tuesday is not named."""
    net = Network(job=job(1, drive=0))
    net.add("Lay rows", Phase.INSTALL, 3 * 300, people=3, least=3)
    come = Earliest(at=at(_day(5), "09:00"), reason="planks are due", kind=FactKind.DUE)
    the_problem = problem(
        [net.record()],
        shop(BIRCH),
        earliest={(1, 1): (come,)},
        away=[*_away_on(_day(3), 1, 2, 3), *_away_on(_day(6), 1)],
    )
    found = _told(the_problem)
    assert found.because == "planks are due Thu 5 Mar 09:00; from 09:00 Birch works 5 h on the laying, to 14:30"


def test_a_day_with_all_there_between_frees_those_who_were_out() -> None:
    """One of three is out on Monday, on Tuesday all are there and free, the work stands on Wednesday: Monday is no cause.

    Where it stands on Tuesday, Monday is.
    """
    other = Network(job=job(2, drive=0))
    other.add("Lay rows", Phase.INSTALL, 60)
    net = Network(job=job(1, drive=0))
    net.add("Lay rows", Phase.INSTALL, 3 * 120, people=3, least=3)
    away = _away_on(MONDAY, 2)
    the_problem = problem([net.record(), other.record()], shop(BIRCH), away=away)
    placed = [
        _laid(2, MONDAY, "07:30", "08:00"), _laid(1, _day(4), "07:30", "09:30"),
    ]  # fmt: skip
    plan = WeekPlan(
        made_at=the_problem.now, until=the_problem.now + timedelta(days=28), placements=tuple(placed), left_out=()
    )
    found = _told(the_problem, plan=plan)
    assert "Birch 2" not in found.sentence, "on Tuesday all three were there"
    out = _told(the_problem, plan=replace(plan, placements=(placed[0], _laid(1, _day(3), "07:30", "09:30"))))
    assert out.because.endswith(
        "the laying takes 3 people, Birch has 2 on Mon 2 Mar (Birch 2 is out); from Tue 3 Mar 07:30 Birch works 2 h on "
        "the laying, to 09:30"
    )


def _laid(number: int, day: date, start: str, end: str) -> Placement:
    return Placement(
        key=BlockKey(job=number, task=1), tasks=(1,), phase=Phase.INSTALL, stage=1, crew="Birch", reason="",
        start=at(day, start), end=at(day, end), people=3,
    )  # fmt: skip


def test_who_is_missing_is_named_with_the_days_of_it() -> None:
    """Work of two days, one of three people out on the second: the sentence says who and when, not "2 of 3 people"."""
    net = Network(job=job(1, drive=0))
    tear = net.add("Tear out", Phase.DEMOLITION, 3 * 420, people=3)
    net.add("Lay rows", Phase.INSTALL, 3 * 300, tear, people=3)
    away = [Away(crew="Birch", worker="Birch 2", day=_day(3))]
    whole = _told(problem([net.record()], shop(BIRCH)))
    short = _told(problem([net.record()], shop(BIRCH), away=away))
    assert "(without" not in whole.sentence
    assert short.because.startswith(
        "Birch 2 is out Tue 3 Mar, which costs 2 h 30 min of the same day; from Mon 2 Mar 07:30 Birch works 14 h 30 min"
    )
    assert short.end > whole.end


def test_what_costs_a_day_is_named_before_what_costs_hours_of_the_same_day() -> None:
    """Planks of Wednesday, and that day two of three people: the planks are why it is Wednesday, who is out stands by the work."""
    net = Network(job=job(1, drive=0))
    net.add("Lay rows", Phase.INSTALL, 3 * 240, people=3)
    come = Earliest(at=at(_day(4), "09:00"), reason="planks are due", kind=FactKind.DUE)
    the_problem = problem([net.record()], shop(BIRCH), earliest={(1, 1): (come,)}, away=_away_on(_day(4), 2))
    assert _told(the_problem).because == (
        "planks are due Wed 4 Mar 09:00; from 09:00 Birch (without Birch 2 on Wed 4 Mar) works 6 h on the laying, to 15:30"
    )


def test_hours_of_the_same_day_are_said_as_what_they_are() -> None:
    """The only crew is at another house on Monday morning: without that the job ends on Monday, too, four hours sooner."""
    first, net = Network(job=job(2, drive=0)), Network(job=job(1, drive=0))
    first.add("Lay rows", Phase.INSTALL, 3 * 240, people=3)
    net.add("Lay rows", Phase.INSTALL, 3 * 240, people=3)
    placed = (_laid(2, MONDAY, "07:30", "11:30"), _laid(1, MONDAY, "11:30", "16:00"))
    the_problem = problem([net.record(), first.record()], shop(BIRCH))
    plan = WeekPlan(made_at=the_problem.now, until=the_problem.now + timedelta(days=28), placements=placed, left_out=())
    alone = _told(problem([net.record()], shop(BIRCH)))
    assert alone.end == at(MONDAY, "11:30")
    assert _told(the_problem, plan=plan).because == (
        "Birch is on job 2 until Mon 2 Mar 11:30, which costs 4 h of the same day; from 11:30 Birch works 4 h on the "
        "laying, to 16:00"
    )


def test_work_with_idle_days_between_is_not_told_as_one_stretch() -> None:
    """Carried in on Tuesday, prepared and laid on Thursday, when 48 h are over: they are the chain, not 8 h of work in 2 days.

    The preparing could be on Tuesday, too; the plan has it beside the laying, so that the house is open on fewer days.
    """
    net = Network(job=job(1, drive=0))
    carry = net.add("Carry in", Phase.ACCLIMATE, 45, people=3, scope=ScopeKind.MATERIAL)
    scrape = net.add("Scrape", Phase.SUBFLOOR_PREP, 3 * 240, carry, people=3)
    rows = net.add("Lay rows", Phase.INSTALL, 3 * 240, scrape, people=3, waits={carry: (48 * 60, "acclimating")})
    due = Earliest(at=at(_day(3), "10:00"), reason="planks are due", kind=FactKind.DUE)
    the_problem = problem([net.record()], shop(BIRCH), earliest={(1, carry): (due,)})
    spans = ((carry, _day(3), "10:00", "10:15"), (scrape, _day(5), "07:30", "11:30"), (rows, _day(5), "11:30", "16:00"))
    phases = {carry: Phase.ACCLIMATE, scrape: Phase.SUBFLOOR_PREP, rows: Phase.INSTALL}
    placed = tuple(
        replace(_laid(1, day, start, end), key=BlockKey(job=1, task=task), tasks=(task,), phase=phases[task])
        for task, day, start, end in spans
    )
    plan = WeekPlan(made_at=the_problem.now, until=the_problem.now + timedelta(days=28), placements=placed, left_out=())
    found = _told(the_problem, plan=plan)
    assert found.because == (
        "planks are due Tue 3 Mar 10:00 and acclimates 48 h until Thu 5 Mar 10:15; from 11:30 Birch works 4 h on the "
        "laying, to 16:00"
    )
