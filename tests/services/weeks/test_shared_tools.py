"""A tool that crews share, from the shop file to the plan and the truck list."""

from __future__ import annotations

from crewjobs.services.weeks.plan_problem import problem_of
from tests.services.conftest import JOB, SHOP

TOOLS = '\n[[tools]]\nname = "Vinyl cutter"\n'


def test_the_plan_is_told_which_tasks_need_what_the_shop_lists(empty_shop):
    """Without a list every crew has its own; with one the laying needs it, however it is spelled, and dump gives it back."""
    shop = empty_shop
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", JOB)])
    with shop.office._database.reading() as uow:
        assert problem_of(uow, shop.clock.at).tools == {}
    shop.office.load([shop.file("shop.toml", SHOP + TOOLS)], replace=True)
    with shop.office._database.reading() as uow:
        found = problem_of(uow, shop.clock.at)
        assert [(tool.name, tool.count) for tool in uow.shop().tools] == [("vinyl cutter", 1)]
    assert found.tools == {(4, shop.number_of("lay-click-vinyl")): frozenset({"vinyl cutter"})}


def test_the_truck_list_says_where_the_tool_was(empty_shop):
    """Two dens: the day on which the second is begun says at which house the one cutter was last, and until when."""
    shop = empty_shop
    second = JOB.replace("number = 4", "number = 5").replace("9 Quarry Road", "11 Quarry Road")
    files = [shop.file("shop.toml", SHOP + TOOLS), shop.file("den.toml", JOB), shop.file("den5.toml", second)]
    shop.office.load(files)
    for number in (4, 5):
        shop.ready(number)
        shop.clock.set("2026-03-03", "10:00")
        shop.office.arrived(number, "", 9, in_rooms=True)
    shop.office.plan()
    with shop.office._database.reading() as uow:
        plan = uow.latest_plan()
        lays = {number: shop.number_of("lay-click-vinyl", job=number) for number in (4, 5)}
    placed = sorted((p for p in plan.placements if lays.get(p.key.job) in p.tasks), key=lambda p: p.start)
    assert placed[0].end <= placed[1].start
    text = shop.office.day_plan_text(placed[1].start.date(), placed[1].crew)
    assert f"at job {placed[0].key.job}, " in text
