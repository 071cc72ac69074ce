"""When a plan is called proven best, which says nothing of visits and hours."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Any

import pytest

from crewjobs.domain.agreed import Told
from crewjobs.domain.crew import Away, Shop
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Pin
from crewjobs.domain.tasks import Driver, Phase
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.improve import improve
from crewjobs.engines.planning.list_schedule import first_board, plan_week
from crewjobs.engines.planning.objective import Objective
from crewjobs.engines.planning.problem import Earliest
from crewjobs.engines.planning.prove import proven
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
    shop,
)


@pytest.mark.parametrize("seed", thorough.of([1, 2], 1))
def test_what_is_proven_no_search_betters(seed: int) -> None:
    """Small weeks with a crew a job are proven; searches from other seeds find nothing better up to the days."""
    week = booked_weeks(2, 3, 3, seed)
    found = improve(week, rounds=8, seed=0)
    assert found.proven
    for other in thorough.of((1, 2), 1):
        assert improve(week, rounds=4, seed=other, workers=0).cost[:5] >= found.cost[:5]


def test_a_job_that_could_be_sooner_is_not_proven() -> None:
    """One house, one crew: as planned it is proven; put back a day later it is not."""
    board, _ = first_board(problem([house(1)], shop(crew("Birch"))))
    with ThreadPoolExecutor(1) as pool:
        assert proven(board, board.floor, Objective(board.floor), pool)
        settled = board.lift(1)
        assert settled.way is not None
        since = board.floor.day(board.works[1].record, MONDAY + timedelta(days=9))[0]
        later = replace(settled.way, since=since)
        board.place(1, lambda work, _: board.chooser.attempt(work, later))
        assert not proven(board, board.floor, Objective(board.floor), pool)


def test_the_hour_of_the_day_is_no_part_of_the_proof() -> None:
    """Two hours' work from 07:30 is proven, and so is the same from 09:30: the days are what is proven, and no plan has fewer."""
    net = Network(job=job(1, drive=0))
    net.add("rows", Phase.INSTALL, 240)
    board, _ = first_board(problem([net.record()], shop(crew("Birch", 2))))
    objective, settled = Objective(board.floor), board.lift(1)
    costs = []
    with ThreadPoolExecutor(1) as pool:
        for later in (0, 8):
            moved = {key: b._replace(start=b.start + later, end=b.end + later) for key, b in settled.bookings.items()}
            board.put(1, replace(settled, bookings=moved))
            assert proven(board, board.floor, objective, pool)
            costs.append(objective.of_job(board.works[1], board.bookings_of(1), 0))
            board.lift(1)
    assert costs[0] < costs[1]
    assert costs[0][:6] == costs[1][:6]


def test_two_jobs_for_one_crew_are_not_proven() -> None:
    """Where one waits for the other's crew, alone it would be sooner: nothing is claimed."""
    board, _ = first_board(problem([house(1), house(2)], shop(crew("Birch"))))
    with ThreadPoolExecutor(1) as pool:
        assert not proven(board, board.floor, Objective(board.floor), pool)


def test_nothing_is_claimed_with_work_left_out() -> None:
    """A job without a place, whatever the reason, leaves the plan unproven."""
    week = problem([house(1), house(2)], shop(crew("Birch"), crew("Cedar")), impossible={(2, 7): "oak is not ordered"})
    assert not improve(week, rounds=7).proven


@dataclass(frozen=True, kw_only=True)
class Proof:
    """A problem about which something is claimed or not."""

    records: tuple[JobRecord, ...]
    shop: Shop
    facts: Mapping[str, Any] = field(default_factory=dict)


def _claimed(records: Sequence[JobRecord], the_shop: Shop, **facts: Any) -> bool:
    """Return whether the first plan is claimed to be proven best."""
    week = problem(records, the_shop, **facts)
    board, _ = first_board(week)
    with ThreadPoolExecutor(1) as pool:
        return proven(board, board.floor, Objective(board.floor), pool)


LAST = MONDAY + timedelta(days=27)
PLAIN = Proof(records=(house(1),), shop=shop(crew("Birch")))


def _spread(record: JobRecord) -> JobRecord:
    """Return a job whose tasks may take five times as long as is likely."""
    tasks = (replace(t, estimate=replace(t.estimate, high=5 * t.estimate.likely)) for t in record.tasks)
    return replace(record, tasks=tuple(tasks))


def _ends() -> date:
    plan = plan_week(problem(PLAIN.records, PLAIN.shop))
    return to_wall(CENTRAL, max(placed.end for placed in plan.placements)).date()


def _with_night() -> Proof:
    night = crew("Birch", week=hours(("14:00", "18:00"), ("18:30", "22:30")))
    return Proof(records=PLAIN.records, shop=shop(night))


def _with_people_out() -> Proof:
    return replace(PLAIN, facts={"away": (Away(crew="Birch", worker="Birch 2", day=LAST),)})


def _with_told() -> Proof:
    told = Told(at=at(MONDAY, "00:00"), finish=_ends() + timedelta(days=1))
    return replace(PLAIN, records=(replace(house(1), told=(told,)),))


def _with_short() -> Proof:
    record = _spread(house(1, promised=_ends() + timedelta(days=2)))
    return replace(PLAIN, records=(record,), shop=replace(PLAIN.shop, kept_percent=100))


def _with_pin() -> Proof:
    plan = plan_week(problem(PLAIN.records, PLAIN.shop))
    first = min((placed for placed in plan.placements if placed.key.task > 2), key=lambda placed: placed.start)
    pin = Pin(job=1, task=first.key.task, crew=first.crew, day=to_wall(CENTRAL, first.start).date())
    return replace(PLAIN, facts={"pins": (pin,)})


def _with_wish_dropped() -> Proof:
    return replace(PLAIN, records=(house(1, wished=_ends(), promised=_ends()),))


def _with_second_trip() -> Proof:
    """A day's rows now, a day's stairs in a trip of their own, when their nose is there: as many days as in one go."""
    net = Network(job=job(1, drive=0))
    units = {
        net.add("rows", Phase.INSTALL, 900): Driver.AREA,
        net.add("stairs", Phase.INSTALL, 900): Driver.STEPS,
    }
    record = net.record()
    tasks = tuple(replace(task, unit=units[task.number], needs_material="oak") for task in record.tasks)
    nose = Earliest(at=at(MONDAY + timedelta(days=9), "06:00"), reason="stair nose is due")
    return Proof(records=(replace(record, tasks=tasks),), shop=PLAIN.shop, facts={"earliest": {(1, 2): (nose,)}})


def _with_moved() -> Proof:
    """The last block lay with another crew in the plan before, days from now: it moves, and nobody was told."""
    plan = plan_week(problem(PLAIN.records, PLAIN.shop))
    last = max(plan.placements, key=lambda placed: placed.start)
    others = tuple(replace(placed, crew="Cedar") if placed is last else placed for placed in plan.placements)
    return replace(PLAIN, facts={"previous": replace(plan, placements=others)})


WITHOUT_PROOF: dict[str, Callable[[], Proof]] = {
    "people out": _with_people_out,
    "night shifts": _with_night,
    "days told": _with_told,
    "time kept": _with_short,
    "pins": _with_pin,
    "a wish dropped": _with_wish_dropped,
    "a second trip": _with_second_trip,
    "work that moves": _with_moved,
}


@pytest.mark.parametrize("why", WITHOUT_PROOF)
def test_nothing_is_claimed_where_the_model_is_not_exact(why: str) -> None:
    """One house for one crew is proven; with one of these things beside it nothing is claimed, though nothing is better."""
    assert _claimed(PLAIN.records, PLAIN.shop)
    case = WITHOUT_PROOF[why]()
    assert not _claimed(case.records, case.shop, **case.facts)
