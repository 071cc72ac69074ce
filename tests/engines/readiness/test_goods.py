"""Order lines of goods: how far each is, and which tasks it holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.agreed import Money, MoneyFact
from crewjobs.domain.goods import Goods, GoodsCome, GoodsLine, NewDate
from crewjobs.domain.house import Opening, Stairs
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Scope, ScopeKind
from crewjobs.domain.waits import WaitState
from crewjobs.engines.readiness.goods import goods_clock, goods_holds, goods_known, goods_no_date, held_by
from tests.builders import central, record, task

DUE = central("2026-03-06", "10:00")
NOSE = GoodsLine(goods=Goods.STAIR_NOSE, count=14, place="main stairs", ordered=date(2026, 2, 20), due=DUE)
STAIRS = replace(
    task(1, "stairs", scope=Scope(kind=ScopeKind.STAIRS, name="main stairs")), needs_goods=Goods.STAIR_NOSE
)
CELLAR = replace(
    task(2, "stairs", scope=Scope(kind=ScopeKind.STAIRS, name="cellar stairs")), needs_goods=Goods.STAIR_NOSE
)
ROOM = task(3, "lay")


def house(*lines: GoodsLine, come=(), new=(), money=()) -> JobRecord:
    base = record([STAIRS, CELLAR, ROOM])
    stairs = tuple(Stairs(name=name, steps=13) for name in ("main stairs", "cellar stairs"))
    job = replace(base.job, stairs=stairs, goods=lines)
    return replace(base, job=job, goods_come=tuple(come), new_dates=tuple(new), money=tuple(money))


def came(count: int, at=DUE) -> GoodsCome:
    return GoodsCome(line=NOSE.name, count=count, at=at)


@pytest.mark.parametrize(
    ("line", "come", "hours", "state"),
    [
        (replace(NOSE, ordered=None), (), -1, WaitState.NOT_ORDERED),
        (NOSE, (), -1, WaitState.DUE),
        (replace(NOSE, due=None), (), 99, WaitState.DUE),
        (NOSE, (), 1, WaitState.LATE),
        (NOSE, (came(13),), 1, WaitState.LATE),
        (NOSE, (came(13), came(1, DUE + timedelta(minutes=30))), 1, WaitState.READY),
        (NOSE, (came(14, DUE + timedelta(hours=2)),), 1, WaitState.LATE),
    ],
)
def test_a_line_goes_from_not_ordered_to_here(line, come, hours, state):
    """Each fact moves the line on; what came later does not count earlier."""
    assert goods_clock(house(line, come=come), line, DUE + timedelta(hours=hours)).state is state


def test_only_tasks_in_the_lines_place_wait_for_it():
    """Nose for the main stairs holds these: the cellar stairs and the rooms go on."""
    waiting = house(NOSE)
    before = DUE - timedelta(days=1)
    held = [task.number for task in waiting.tasks if [*goods_holds(waiting, task, before)]]
    assert held == [1]
    assert [hold.what for hold in goods_holds(waiting, STAIRS, before)] == [
        "stair nose (main stairs): 0 of 14 pieces have come"
    ]


def test_a_line_without_a_place_serves_every_place():
    """Nose ordered for the job holds both stairs, never a room."""
    waiting = house(replace(NOSE, place=""))
    held = [task.number for task in waiting.tasks if [*goods_holds(waiting, task, DUE)]]
    assert held == [1, 2]


@pytest.mark.parametrize(
    ("place", "held"),
    [("hall", [1, 2]), ("hall / outside", [1]), ("hall / bath", [2]), ("bath", [2]), ("bed", []), ("", [1, 2, 3])],
)
def test_strips_for_a_room_are_for_every_opening_of_it(place, held):
    """A room's name is every opening it has, an opening's name that one alone; no place is everywhere."""
    doors = [("hall", "outside"), ("hall", "bath"), ("den", "outside")]
    tasks = [
        replace(
            task(number, "set-strip", scope=Scope(kind=ScopeKind.OPENING, name=" / ".join(between))),
            needs_goods=Goods.TRANSITION,
        )
        for number, between in enumerate(doors, start=1)
    ]
    strips = GoodsLine(goods=Goods.TRANSITION, count=2, place=place, ordered=date(2026, 2, 20), due=DUE)
    base = record(tasks)
    openings = tuple(Opening(between=between, width=914 * 160) for between in doors)
    rooms = tuple(replace(base.job.rooms[0], name=name) for name in ("hall", "bath", "den", "bed"))
    waiting = replace(base, job=replace(base.job, rooms=rooms, openings=openings, goods=(strips,)))
    assert [one.number for one in held_by(waiting, strips)] == held
    assert [one.number for one in waiting.tasks if [*goods_holds(waiting, one, DUE)]] == held


def test_goods_without_an_order_line_come_from_the_shops_stock():
    """Nothing ordered, nothing held."""
    assert [*goods_holds(house(), STAIRS, DUE)] == []


def test_the_suppliers_latest_word_counts():
    """Back-ordered twice: the plan goes by the second day; by what was known before, by the first."""
    first = NewDate(line=NOSE.name, at=DUE - timedelta(days=2), due=DUE + timedelta(days=12))
    second = NewDate(line=NOSE.name, at=DUE, due=DUE + timedelta(days=20))
    waiting = house(NOSE, new=(first, second))
    assert [fact.at for fact in goods_known(waiting, STAIRS, DUE)] == [second.due]
    assert [fact.at for fact in goods_known(waiting, STAIRS, DUE - timedelta(hours=1))] == [first.due]
    assert goods_no_date(waiting, STAIRS, DUE) == ""


def test_no_date_cannot_be_planned():
    """Back-ordered without a date, late, not ordered, deposit not in: each says so in its own words."""
    unknown = NewDate(line=NOSE.name, at=DUE, due=None)
    assert goods_no_date(house(NOSE, new=[unknown]), STAIRS, DUE) == (
        "stair nose (main stairs) is back-ordered without a delivery date"
    )
    assert "new delivery date is needed" in goods_no_date(house(NOSE), STAIRS, DUE + timedelta(hours=1))
    special = replace(NOSE, ordered=None, special=True)
    assert goods_no_date(house(special), STAIRS, DUE).endswith("is not ordered: the deposit releases it")
    deposit = MoneyFact(fact=Money.DEPOSIT, day=date(2026, 2, 20))
    assert goods_no_date(house(special, money=[deposit]), STAIRS, DUE).endswith("is not ordered")


@given(
    counts=st.lists(st.integers(1, 9), max_size=6),
    hours=st.lists(st.integers(-200, 200), min_size=6, max_size=6),
    promised=st.none() | st.integers(-300, 300),
    now=st.integers(-250, 250),
)
def test_a_line_holds_exactly_while_something_is_missing(counts, hours, promised, now):
    """Held or not is the count alone; what is held has a date ahead or says that it has none, never both or neither."""
    at = DUE + timedelta(hours=now)
    come = [came(count, DUE + timedelta(hours=hour)) for count, hour in zip(counts, hours, strict=False)]
    promise = None if promised is None else DUE + timedelta(hours=promised)
    word = [NewDate(line=NOSE.name, at=DUE - timedelta(hours=400), due=promise)]
    waiting = house(NOSE, come=come, new=word)
    here = sum(one.count for one in come if one.at <= at)
    held = [*goods_holds(waiting, STAIRS, at)]
    assert bool(held) == (here < NOSE.count)
    dated, undated = [*goods_known(waiting, STAIRS, at)], goods_no_date(waiting, STAIRS, at)
    assert bool(held) == (bool(dated) != bool(undated))
    assert not (dated and undated)
