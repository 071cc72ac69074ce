"""What people still owe to planned work stands beside it: in the week, at the head of the page, at the task."""

from __future__ import annotations

from datetime import date

from crewjobs.cli.week import week_text
from crewjobs.domain.wall import to_wall
from crewjobs.services.pages.sheets import day_plans
from tests.builders import CENTRAL
from tests.services.conftest import JOB, SHOP, Shop

ASKED = "supply line behind the wall moved"


def when(shop: Shop, task: int) -> tuple[date, str]:
    """Return the day and the crew of a task's visit in the plan in force."""
    with shop.office._database.reading() as uow:
        placed = next(p for p in uow.latest_plan().placements if task in p.tasks)
    return to_wall(CENTRAL, placed.start).date(), placed.crew


def house_of(shop: Shop, day: date, crew: str):
    office = shop.office
    with office._database.reading() as uow:
        (plan,) = day_plans(uow, office._catalogue(uow), office._clock.now(), day, crew, lead_copy=False, paper="")
    return plan.houses[0]


def visit_of(shop: Shop, task: int):
    views = [shop.office.week(), shop.office.week(date(2026, 3, 9))]
    return next(v for view in views for day in view.days for v in day.visits if task in v.tasks)


def test_work_held_by_a_plumber_who_is_late_says_so_on_the_page_and_in_the_week(shop):
    """Promised for Monday noon, not there at six: the house's head, the carpet's line, the visit and the text say it."""
    carpet = shop.number_of("carpet-out")
    shop.office.plan()
    shop.office.ask(4, "plumber", ASKED, holds=[carpet], promised="mon 12:00")
    shop.clock.set("2026-03-02", "18:00")
    house = house_of(shop, *when(shop, carpet))
    said = f"the plumber: {ASKED}, late, was promised for Mon 2 Mar 12:00"
    title = shop.record().task(carpet).title
    assert house.owed == (f"Waits for {said}; holds back {title} (den).",)
    assert {line.task: line.hold for line in house.tasks if line.hold} == {carpet: f"Waits for {said}."}
    assert visit_of(shop, carpet).owed == house.owed
    assert f"! Waits for {said}" in " ".join(week_text(shop.office.week(when(shop, carpet)[0])).split())


def test_a_promise_before_the_planned_start_holds_no_line_but_is_said_at_the_head(shop):
    """Promised for Tuesday noon, planned after it: nobody reads On hold, and still it is known that it waits."""
    carpet = shop.number_of("carpet-out")
    shop.office.ask(4, "plumber", ASKED, holds=[carpet], promised="tue 12:00")
    shop.office.plan()
    house = house_of(shop, *when(shop, carpet))
    assert [line.hold for line in house.tasks if line.hold] == []
    assert house.owed[0].startswith(f"Waits for the plumber: {ASKED}, promised for Tue 3 Mar 12:00")
    spans = [span for day in shop.office.week().days for span in day.waits if ASKED in span.what]
    assert {span.end for span in spans} == {to_wall(CENTRAL, shop.record().waiting_on[0].promised)}


def test_a_house_nobody_asked_says_so_on_the_page_and_once_it_is_due_in_the_week(empty_shop):
    """The page always says it; the week from two working days ahead on, and neither once all is answered yes."""
    shop = empty_shop
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", JOB)])
    shop.office.plan()
    carpet = shop.number_of("carpet-out")
    day, crew = when(shop, carpet)
    assert house_of(shop, day, crew).owed == ("Nobody has asked whether the house is ready.",)
    shop.clock.set("2026-02-20", "07:00")
    assert visit_of_in(shop, carpet, day).owed == ()
    shop.clock.set(day.isoformat(), "06:30")
    assert visit_of_in(shop, carpet, day).owed == ("Nobody has asked whether the house is ready.",)
    shop.ready()
    # Nothing of the days before is ticked: that alone is said now.
    (left,) = house_of(shop, day, crew).owed
    assert left.startswith("not ticked, though planned to be done")
    assert visit_of_in(shop, carpet, day).owed == ()


def visit_of_in(shop: Shop, task: int, day: date):
    return next(v for d in shop.office.week(day).days for v in d.visits if task in v.tasks)


def test_a_job_without_a_place_says_why_at_its_head_and_on_the_waiting_list(shop):
    """Held without a date the house stays shut: job page, its text and the waiting list name the reason."""
    from crewjobs.cli.job import job_text
    from crewjobs.domain.waits import WaitState

    assert shop.office.job(4).not_planned == ()
    shop.office.ask(4, "plumber", ASKED, holds=[shop.number_of("protect-house")])
    shop.office.plan()
    (why,) = shop.office.job(4).not_planned
    assert "waits for the plumber" in why
    assert "Not planned: " in job_text(shop.office.job(4), everything=False)
    (row,) = [row for row in shop.office.waiting() if row.state is WaitState.NOT_PLANNED]
    assert row.job == 4
    assert row.what.casefold() in why.casefold()
    shop.office.came(4, "plumber")
    shop.office.plan()
    assert shop.office.job(4).not_planned == ()
    assert [row for row in shop.office.waiting() if row.state is WaitState.NOT_PLANNED] == []


def test_work_that_a_finding_holds_says_so_at_its_line_though_it_is_planned(shop):
    """Planned for after the work that was agreed about the hump: until somebody takes a way on, its line says On hold."""
    office = shop.office
    office.plan()
    office.found(4, "den", "hump", area="6 ft2")
    office.agreed(4, "hump in den: take the hump down", "120", by="Odalys")
    office.plan()
    [finding] = shop.record().findings
    with office._database.reading() as uow:
        placed = {task for one in uow.latest_plan().placements if one.key.job == 4 for task in one.tasks}
    held = placed & set(finding.holds)
    assert held
    for task in held:
        lines = [line for line in house_of(shop, *when(shop, task)).tasks if line.task == task]
        assert lines
        assert all(line.hold.startswith("Hump found in den ") for line in lines), lines
    work = shop.number_of("extra-work")
    assert not any(line.hold for line in house_of(shop, *when(shop, work)).tasks if line.task == work)
    office.tick(4, [work], because="Ines Varga, ground down")
    office.way_on(4, "den", "hump", "leveled", by="Odalys")
    lines = [line for line in house_of(shop, *when(shop, min(held))).tasks if line.task == min(held)]
    assert lines
    assert not any("Hump" in line.hold for line in lines)
