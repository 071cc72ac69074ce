"""Stairs that wait days for their nose: the rooms are done now, the stairs on a second trip, nothing torn open between."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from crewjobs.domain.goods import Goods
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
        with empty_shop.office._database.unit_of_work(who="tester") as uow:
            before = uow.job(8)
            stairs = [t for t in before.tasks if t.key.template == "lay-stairs"]
            nosed = {t.number: replace(t, needs_goods=Goods.STAIR_NOSE) for t in stairs}
            uow.save_job(before, replace(before, tasks=tuple(nosed.get(t.number, t) for t in before.tasks)))
            uow.commit("stairs need their nose", at=empty_shop.clock.now(), job=8)
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
    stairs_start, _ = when(empty_shop, "lay-stairs")
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
