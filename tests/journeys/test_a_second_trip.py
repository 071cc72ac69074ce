"""Stairs that wait days for their nose: the rooms are done now, the stairs on a second trip, nothing torn open between."""

from __future__ import annotations

from datetime import date

import pytest

from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from tests.builders import CENTRAL
from tests.journeys.test_two_lots_and_a_late_nose import HOUSE
from tests.services.conftest import SHOP, Shop

NOSE_IN_TIME, NOSE_LATE = "2026-03-06 10:00", "2026-03-18 10:00"


@pytest.fixture
def visits(empty_shop: Shop):
    """Return the visits to the house by day, once its nose is due at an instant."""

    def planned(nose: str) -> dict[date, list]:
        text = HOUSE.replace(NOSE_IN_TIME, nose)
        assert nose in text
        empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("tollgate.toml", text)])
        empty_shop.office.plan()
        weeks = [empty_shop.office.week(monday) for monday in (date(2026, 3, 2), date(2026, 3, 9), date(2026, 3, 16))]
        return {day.day: list(day.visits) for week in weeks for day in week.days if day.visits}

    return planned


def when(shop: Shop, template: str, where: str = "") -> tuple[date, date]:
    """Return the first and the last day of a template's tasks in the plan in force, in one place or all."""
    known = shop.record(8).tasks
    numbers = {t.number for t in known if t.key.template == template and where in ("", t.where)}
    assert numbers
    with shop.office._database.reading() as uow:
        found = [p for p in uow.latest_plan().placements if numbers & set(p.tasks)]
    return to_wall(CENTRAL, found[0].start).date(), to_wall(CENTRAL, found[-1].end).date()


def test_rooms_are_laid_now_and_the_stairs_after_their_nose(visits, empty_shop):
    """Rows within the first ten days, stairs from the 18th on, and nobody at the house for days between."""
    days = visits(NOSE_LATE)
    _, rows_end = when(empty_shop, "lay-click-vinyl")
    stairs_start, _ = when(empty_shop, "fit-stairs")
    assert rows_end <= date(2026, 3, 12)
    assert stairs_start >= date(2026, 3, 18)
    first = [day for day in days if day < date(2026, 3, 14)]
    second = [day for day in days if day > max(first)]
    assert (min(second) - max(first)).days > 4


def test_the_stairs_keep_their_carpet_until_the_second_trip(visits, empty_shop):
    """What is torn off the stairs is torn off on the second trip."""
    visits(NOSE_LATE)
    off = [t for t in empty_shop.record(8).tasks if t.phase.value == "demolition" and t.where == "main stairs"]
    assert off
    for task in off:
        assert when(empty_shop, task.key.template, "main stairs")[0] >= date(2026, 3, 17)


def test_the_second_trip_is_the_reason(visits):
    """The visits after the pause say that they are a second trip, and what it waits for."""
    days = visits(NOSE_LATE)
    reasons = [visit.reason for day in days if day >= date(2026, 3, 16) for visit in days[day]]
    assert reasons[0].startswith("second trip: ")
    assert not any(v.reason.startswith("second trip") for day in days if day < date(2026, 3, 14) for v in days[day])


def test_a_nose_that_comes_in_time_makes_one_trip(visits):
    """Where the nose comes with the planks nobody speaks of a second trip."""
    days = visits("2026-03-04 10:00")
    assert not any("second trip" in visit.reason for day in days for visit in days[day])


def put_off(shop: Shop, nose: str) -> tuple[dict[date, list], dict[date, list]]:
    """Plan with a nose that comes in time, have it back-ordered to a day, plan again: the visits before and after."""
    weeks = (date(2026, 3, 2), date(2026, 3, 9), date(2026, 3, 16))

    def visits_now() -> dict[date, list]:
        return {day.day: list(day.visits) for monday in weeks for day in shop.office.week(monday).days if day.visits}

    shop.office.load([shop.file("shop.toml", SHOP), shop.file("tollgate.toml", HOUSE)])
    shop.office.plan()
    before = visits_now()
    shop.clock.set("2026-03-03", "10:00")
    shop.office.arrived(8, "harbor plank", 26, in_rooms=True)
    shop.office.check_lot(8, "harbor plank", "A", 26)
    shop.office.back_ordered(8, "stair nose", nose)
    shop.office.plan()
    return before, visits_now()


@pytest.mark.parametrize("nose", ["2026-03-09", "2026-03-11", "2026-03-15", "2026-03-18"])
def test_a_nose_put_off_moves_no_rows(empty_shop, nose):
    """Told that the nose comes later, by days or by weeks, the rows stay on the days they were planned for."""
    before, _ = put_off(empty_shop, nose)
    rows_before = [day for day, visits in before.items() if any("install" in v.what for v in visits)]
    assert when(empty_shop, "lay-click-vinyl")[0] == min(rows_before)
    assert when(empty_shop, "fit-stairs")[0] >= date.fromisoformat(nose)
    assert when(empty_shop, "lay-click-vinyl")[1] <= max(rows_before)


def test_a_nose_without_a_day_leaves_out_the_stairs_alone(empty_shop):
    """Nobody can say when it comes: rooms are planned whole, the stairs and the last walk-through are left out with it,
    and so is tearing the stairs out.
    """
    _, after = put_off(empty_shop, "none")
    assert after
    with empty_shop.office._database.reading() as uow:
        plan = uow.latest_plan()
    record = empty_shop.record(8)
    left = {number for entry in plan.left_out for number in entry.tasks}
    placed = {number for p in plan.placements for number in p.tasks}
    stairs = {t.number for t in record.tasks if t.where == "main stairs" and t.open}
    assert stairs <= left
    assert {t.number for t in record.tasks if t.where in ("living", "hall") and t.open} <= placed
    assert "walk-through-after" in {record.task(number).key.template for number in left}
    assert all("stair nose" in entry.why for entry in plan.left_out)
    (row,) = [row for row in empty_shop.office.waiting() if row.state is WaitState.NOT_PLANNED]
    assert "stair nose" in row.what.casefold()
    assert "main stairs" in row.holds


def test_a_finish_told_and_lost_is_a_call_to_make(empty_shop):
    """The customer was told a day; the nose without a day takes the finish away: that is on the list to be told."""
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("tollgate.toml", HOUSE)])
    empty_shop.office.plan()
    empty_shop.office.told(8)
    told = empty_shop.record(8).told[-1].finish
    empty_shop.office.back_ordered(8, "stair nose", "none")
    empty_shop.office.plan()
    (call,) = [row for row in empty_shop.office.waiting() if row.state is WaitState.TO_TELL]
    day = f"{told:%a} {told.day} {told:%b}"
    assert call.what == f"finish told for {day}: now not all of it has a place"
    empty_shop.office.told(8)
    assert [row for row in empty_shop.office.waiting() if row.state is WaitState.TO_TELL] == []


def test_a_strip_without_a_day_leaves_out_only_itself(empty_shop):
    """The customer has not chosen the strip: all floors are planned, the strip and what ends the job are not."""
    text = HOUSE.replace('width = "5 ft"\n\n[[stairs]]', 'width = "5 ft"\ntransition = "T-mold"\n\n[[stairs]]')
    assert text != HOUSE
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("tollgate.toml", text)])
    strip = empty_shop.number_of("set-strip", job=8)
    empty_shop.office.ask(8, "customer", "which strip", holds=[strip])
    empty_shop.office.plan()
    with empty_shop.office._database.reading() as uow:
        plan = uow.latest_plan()
    placed = {number for p in plan.placements for number in p.tasks}
    laying = {t.number for t in empty_shop.record(8).tasks if t.needs_material}
    assert laying <= placed
    assert strip not in placed
    assert any("which strip" in entry.why for entry in plan.left_out)
    # A date given, the job has a finish again, later than promised: that is said.
    empty_shop.office.promised(8, "customer", "2026-03-20 9:00")
    said = empty_shop.office.plan().then
    assert any(words.startswith("Job 8: has a finish again, ") and "promised was Fri 13 Mar" in words for words in said)
