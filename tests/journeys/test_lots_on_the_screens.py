"""Two lots and a late nose through the screens, on real records."""

from __future__ import annotations

from textual.widgets import Button, Input

from crewjobs.screens.app import CrewApp
from crewjobs.screens.widgets.field import Field
from tests.journeys.test_two_lots_and_a_late_nose import check_and_carry_in, truck
from tests.journeys.test_two_lots_and_a_late_nose import shop as shop  # the same house
from tests.screens.conftest import front, press, said, settled


async def save(pilot, app: CrewApp, button: str = "save", **typed: str) -> None:
    for name, text in typed.items():
        app.screen.query_one(f"#field-{name}", Field).query_one(Input).value = text
    await pilot.click(next(one for one in app.screen.query(Button) if one.name == button))
    await settled(pilot)


def drawn(app: CrewApp) -> str:
    return " ".join(front(app).sheet.text.split())


async def test_the_lead_answers_on_the_waiting_screen(shop, tmp_path):
    """The list asks which lot goes where; the rooms refused in two lots stay typed; answered, it says what lot A covers."""
    truck(shop)
    check_and_carry_in(shop)
    app = CrewApp(lambda: shop.office, tmp_path)
    async with app.run_test(size=(100, 50)) as pilot:
        await press(pilot, "1")
        assert "two lots of harbor plank: say which rooms each goes into" in drawn(app)
        assert "back-ordered, north yard brings it Wed 18 Mar 10:00" in drawn(app)
        await press(pilot, "l")
        await save(pilot, app, rooms="A=living,hall B=hall,main stairs")
        assert "two lots do not mix in a room" in str(app.screen.query_one("#fault").render())
        assert app.screen.query_one("#field-rooms", Field).value == "A=living,hall B=hall,main stairs"
        await save(pilot, app, rooms="A=living,hall B=main stairs")
        assert "24 cartons cover 571 ft², the rooms are 520 ft²" in " ".join(said(app).split())
        assert "two lots of harbor plank" not in drawn(app)
    assert [use.lot for use in shop.record(8).lot_uses] == ["A", "B"]


async def test_a_new_date_is_given_on_the_jobs_page(shop, tmp_path):
    """The nose's line on the job's page takes the new day without a delivery, and shows it."""
    app = CrewApp(lambda: shop.office, tmp_path)
    async with app.run_test(size=(100, 60)) as pilot:
        await press(pilot, "3", "enter", "a", "down", "enter")
        await save(pilot, app, cartons="", back="2026-03-18 10:00")
        assert "stair nose (main stairs) back-ordered to Wed 18 Mar 10:00" in " ".join(said(app).split())
        assert "due Wed 18 Mar 10:00, back-ordered" in drawn(app)
