"""What a crew's page says of a house beside its tasks."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from crewjobs.paper.model import HouseFact
from crewjobs.services.pages.page_agreed import agreed_facts
from crewjobs.services.pages.sheets import day_plans
from tests.services.conftest import JOB, Shop, kept, load_den

MONDAY = date(2026, 3, 2)


def make_den(shop: Shop) -> None:
    """The den with its cartons acclimated, planned."""
    text = JOB.replace("2026-03-03 10:00", "2026-02-20 10:00")
    shop.office.load([shop.file("den.toml", text)], replace=True)
    shop.office.arrived(4, "gray plank", 9, in_rooms=True, at="2026-02-26 10:00")
    shop.office.plan()


den = kept(load_den, make_den)


def pages(shop) -> dict[tuple[date, str], tuple[set[int], list[HouseFact], str]]:
    """Return by day and crew the tasks, facts of houses and text of the pages with work."""
    found = {}
    for week in (shop.office.week(MONDAY), shop.office.week(MONDAY + timedelta(days=7))):
        for day in week.days:
            for crew in {visit.crew for visit in day.visits}:
                with shop.office._database.reading() as uow:
                    (plan,) = day_plans(
                        uow,
                        shop.office._catalogue(uow),
                        shop.clock.now(),
                        day.day,
                        crew,
                        lead_copy=False,
                        paper="",
                    )
                tasks = {line.task for house in plan.houses for line in house.tasks}
                facts = [fact for house in plan.houses for fact in house.facts]
                found[day.day, crew] = tasks, facts, shop.office.day_plan_text(day.day, crew)
    assert found
    return found


def texts(facts: list[HouseFact], label: str) -> list[str]:
    return [fact.text for fact in facts if fact.label == label]


def test_what_the_walk_through_agreed_stands_on_the_page(den):
    """Rows, color, lot and damage of the walk before the work, the latest word on each, on every page of the house."""
    (aside,) = [
        text for _, facts, _ in pages(den).values() for text in texts(facts, "Furniture")
    ]  # on the day it is moved
    assert aside.startswith("no room but den is listed: ask where it stands meanwhile")
    den.office.walk_before(4, "Teo Halloran", color="gray", direction="along the closet wall", at="6:00")
    den.office.walk_before(
        4, "Teo Halloran", lot="0417", direction="along the street wall", damage=[("sill: crack", "")]
    )
    den.office.plan()
    for _, facts, text in pages(den).values():
        assert texts(facts, "Agreed") == ["rows along the street wall; color gray; lot 0417"]
        assert texts(facts, "Damaged before") == ["sill: crack"]
        assert "along the street wall" in text


def test_what_is_not_agreed_is_asked_for_before_the_first_row(den):
    """No walk-through yet: the page of the day of the rows says what is open, other pages say nothing."""
    lay = den.number_of("lay-click-vinyl")
    said = {key: (lay in tasks, texts(facts, "To agree")) for key, (tasks, facts, _) in pages(den).items()}
    assert any(lays for lays, _ in said.values())
    wanted = "direction of the rows, color and lot: ask before the first row"
    assert all(found == ([wanted] if lays else []) for lays, found in said.values())


def test_where_rows_lie_nothing_is_asked_before_the_first(den):
    """The first row is laid: what was not recorded is asked before going on."""
    lay = den.number_of("lay-click-vinyl")
    task = replace(den.record().task(lay), started_at=datetime(2026, 3, 3, 16, tzinfo=UTC))
    record = replace(den.record(), tasks=tuple(task if one.number == lay else one for one in den.record().tasks))
    facts = list(agreed_facts(record, [task], "us", datetime(2026, 3, 3, 18, tzinfo=UTC)))
    assert texts(facts, "To agree") == []
    assert texts(facts, "Not recorded") == ["direction of the rows, color and lot: ask before going on"]


def test_change_orders_stand_on_the_page_without_their_money(den):
    """What is agreed is work, what is only asked is not done; no amount is on a crew's page."""
    den.office.agreed(4, "closet floor too", "350.00", by="Teo Halloran")
    den.office.agreed(4, "new shoe in the hall", "127.50", only_asked=True)
    for _, facts, text in pages(den).values():
        assert texts(facts, "Agreed extra") == ["closet floor too"]
        assert texts(facts, "Not agreed") == ["new shoe in the hall: not done before the lead says so"]
        assert not any(amount in text for amount in ("350", "127", "$"))


def test_the_weight_of_the_day_is_said_where_something_is_hauled(den):
    """178 ft² of carpet and pad go out: the page of that day says the pounds of its task, the others none."""
    task = den.record().task(den.number_of("haul-out"))
    found = [(task.number in tasks, texts(facts, "Haul-out")) for tasks, facts, _ in pages(den).values()]
    assert any(hauls for hauls, _ in found)
    wanted = [f"about {task.quantity:.0f} lb, estimated"]
    assert all(said == (wanted if hauls else []) for hauls, said in found)
