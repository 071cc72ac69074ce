"""The same days through the screens, on real records: what a lead or a crew presses and types, and what they then see."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, Select, Static

from crewjobs.screens.app import CrewApp
from crewjobs.screens.record.form import Form
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.sheet import Sheet
from tests.journeys import (
    test_acclimation,
    test_new_date_to_tell,
    test_one_toilet,
    test_the_card_is_out,
    test_the_evening,
    test_the_paint_is_wet,
)
from tests.screens.conftest import front, press, refused, said, settled
from tests.services.conftest import Shop

acclimating = pytest.fixture(name="acclimating")(test_acclimation.shop.__wrapped__)
wet_paint = pytest.fixture(name="wet_paint")(test_the_paint_is_wet.shop.__wrapped__)
third_floor = pytest.fixture(name="third_floor")(test_new_date_to_tell.shop.__wrapped__)
card_week = pytest.fixture(name="card_week")(test_the_card_is_out.week.__wrapped__)
great_room = pytest.fixture(name="great_room")(test_the_evening.week.__wrapped__)
SIZE = (64, 60)


@pytest.fixture
def screens(tmp_path) -> Callable[[Shop], CrewApp]:
    """The screens over a shop's records."""
    return lambda shop: CrewApp(lambda: shop.office, tmp_path)


def drawn(app: CrewApp) -> str:
    """All that the screen in front holds, as one line."""
    return " ".join(front(app).sheet.text.split())


async def record(pilot: Pilot[None], app: CrewApp, entry: str, button: str = "save", **typed: str) -> None:
    """Press r, choose what is recorded, write and pick, press the button."""
    await press(pilot, "r")
    app.screen.query_one(Sheet).select(entry)
    await press(pilot, "enter")
    form = app.screen
    assert isinstance(form, Form)
    for key, text in typed.items():
        if form.query(f"#pick-{key}"):
            form.query_one(f"#pick-{key}", Select).value = text
        else:
            form.query_one(f"#field-{key}", Field).query_one(Input).value = text
    form.pressed(button)
    await settled(pilot)


async def test_laid_half_an_hour_early(acclimating, screens):
    """Sunday 14:30 the tick of the rows is refused with Sunday 15:00; at 15:00 the same key takes it."""
    shop, lay = acclimating, acclimating.number_of("lay-click-vinyl")
    shop.clock.set("2026-03-08", "14:30")
    app = screens(shop)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "3", "enter")
        front(app).sheet.select(("task", lay))
        await press(pilot, "enter")
        assert "acclimates 48 h, until Sun 8 Mar 15:00" in refused(app)
        assert shop.record().task(lay).open
        await press(pilot, "escape")
        shop.clock.set("2026-03-08", "15:00")
        front(app).sheet.select(("task", lay))
        await press(pilot, "enter")
        assert "done Sun 8 Mar 15:00" in said(app)


async def test_the_paint_is_wet_at_ten_past_seven(wet_paint, screens):
    """One form on site records the dry run; the ready work is read whole, best first; after planning the move is said."""
    app = screens(wet_paint)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "4")
        before = len(wet_paint.office.changes())
        await record(pilot, app, "dry run", because="paint is wet", until="thu 7:00")
        assert len(wet_paint.office.changes()) == before + 1
        told = [str(one.render()) for one in app.screen.query(".follows").results(Static)]
        offered = [words for words in told if words.startswith("Ready for Birch: ")]
        assert offered[0].startswith("Ready for Birch: job 5 Study, Mill Street, ")
        await press(pilot, "escape", "1")
        assert "not ready house not ready: wet Thu 5 Mar 07:00" in drawn(app)
        await press(pilot, "2", "p")
        assert "Job 4: finish moves from " in said(app)


async def test_the_truck_misses_the_elevator(third_floor, screens):
    """The new finish is a call on the waiting screen; told there, it is off the list."""
    test_new_date_to_tell.missed(third_floor)
    app = screens(third_floor)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "1")
        assert "finish moves from" in drawn(app)
        await record(pilot, app, "told")
        assert "finish moves from" not in drawn(app)
        assert not test_new_date_to_tell.calls(third_floor)


async def test_the_card_is_out_at_a_quarter_past_six(card_week, screens):
    """Who is out is typed in the week; planned there, the card's task is not on Thursday, and the page says who is out."""
    shop = card_week
    test_the_card_is_out.work_as_planned(shop, test_the_card_is_out.THURSDAY)
    shop.clock.set("2026-03-05", "06:15")
    before = test_the_card_is_out.visits(shop, test_the_card_is_out.THURSDAY)
    app = screens(shop)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "2")
        await record(pilot, app, "away", who="Ines", because="sick")
        assert "Ines Varga" in said(app)
        await press(pilot, "escape", "p")
    after = test_the_card_is_out.visits(shop, test_the_card_is_out.THURSDAY)
    assert len(before - after) <= 2
    card = next(task.number for task in shop.record(11).tasks if task.card)
    day = shop.office.site_day("Birch", test_the_card_is_out.THURSDAY)
    tasks = [task for house in day.houses for task in house.tasks]
    assert (11, card) not in {(task.job, task.number) for task in tasks if not task.moved}
    assert all("Birch" not in task.moved or "Thu 5 Mar" not in task.moved for task in tasks)


async def test_nine_of_nineteen_rows_at_ten_to_six(great_room, screens):
    """On site, e: times, people, and 9/19 rows are typed in the sheet's order; ten rows remain."""
    shop, rows = great_room, test_the_evening.rows_of(great_room)
    app = screens(shop)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "4", "h")
        fields = list(app.screen.query(Field))
        lines = [field for field in fields if "-task-" in field.key]
        for field in lines:
            if field.key.endswith(f"-task-{rows}"):
                field.query_one(Input).value = "9/19 rows"
                break
            field.query_one(Input).value = "x"
        for name, text in (("start", "7:15"), ("stop", "8.5 h"), ("people", "3")):
            app.screen.query_one(f"#field-h1-{name}", Field).query_one(Input).value = text
        app.screen.pressed("save")
        await settled(pilot)
        assert "10 of 19 rows left" in said(app)
    assert [(one.people, one.minutes) for one in shop.record().crew_hours[-1:]] == [(3, 510)]


async def test_one_toilet_and_a_floor_that_cures(empty_shop, screens):
    """The week says that the bath is not planned, why, and the three ways out."""
    test_one_toilet.bath(empty_shop, "glue-down vinyl")
    app = screens(empty_shop)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "2")
        text = drawn(app)
        assert "only toilet would be out over night" in text
        assert all(way in text for way in ("a click floor", "a rented toilet", "a night away"))
