"""Goods, back-orders and lots as the screens ask for them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from textual.pilot import Pilot
from textual.widgets import Button, Input

from crewjobs.screens.app import CrewApp
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.yes_no import YesNo
from crewjobs.services.rows import MaterialRow
from tests.screens.conftest import front, press, said, settled
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]
NOSE = MaterialRow(
    name="stair nose", kind="from north yard", cartons_ordered=3, cartons_come=1, lots=(), status="due", unit="pieces"
)


async def fill(pilot: Pilot[None], app: CrewApp, button: str, **typed: str) -> None:
    """Type into fields and press a button of the dialog in front."""
    for name, text in typed.items():
        app.screen.query_one(f"#field-{name}", Field).query_one(Input).value = text
    await pilot.click(next(one for one in app.screen.query(Button) if one.name == button))
    await settled(pilot)


def two_lots(office: FakeOffice) -> None:
    """The job's planks came in two lots nobody has said anything about."""
    planks = office.material_rows[0]
    asked = (f"two lots of {planks.name}: say which rooms each goes into",)
    office.material_rows = (replace(planks, lots=("lot A: 18 cartons", "lot B: 2 cartons"), lots_asked=asked),)


async def test_goods_are_counted_in_their_unit_and_have_no_lot(office: FakeOffice, make_app: MakeApp) -> None:
    """Pieces are asked for, no lot and no rooms; the day the rest is promised for goes along."""
    office.material_rows = (NOSE,)
    app = make_app(office)
    async with app.run_test(size=(100, 40)) as pilot:
        await press(pilot, "3", "enter", "a")
        assert not app.screen.query("#field-lot")
        await fill(pilot, app, "save", cartons="1", back="wed 10:00")
        assert office.calls == [("arrived", 101, "stair nose", 1, "", "", False, "wed 10:00", "")]


async def test_a_new_date_without_a_delivery(office: FakeOffice, make_app: MakeApp) -> None:
    """The count emptied and a day given: only the new date is recorded."""
    office.material_rows = (NOSE,)
    app = make_app(office)
    async with app.run_test(size=(100, 40)) as pilot:
        await press(pilot, "3", "enter", "a")
        await fill(pilot, app, "save", cartons="", back="2026-03-18")
        assert office.calls == [("back_ordered", 101, "stair nose", "2026-03-18", "")]


async def test_a_reason_goes_along(office: FakeOffice, make_app: MakeApp) -> None:
    """Cartons into a house that is not ready, or a new day: the reason typed reaches the office."""
    app = make_app(office)
    async with app.run_test(size=(100, 60)) as pilot:
        await press(pilot, "3", "enter", "a", "enter")
        await fill(pilot, app, "save", because="one room is dry")
        assert office.calls[-1][0] == "arrived"
        assert office.calls[-1][-1] == "one room is dry"
        await press(pilot, "a", "enter")
        await fill(pilot, app, "save", cartons="", back="2026-03-18", because="truck broke down")
        assert office.calls[-1][2:] == (office.calls[0][2], "2026-03-18", "truck broke down")


async def test_the_lead_says_which_lot_goes_where(office: FakeOffice, make_app: MakeApp) -> None:
    """Lots with their rooms reach the office apart, also where a room's name has a blank."""
    two_lots(office)
    app = make_app(office)
    async with app.run_test(size=(100, 40)) as pilot:
        await press(pilot, "3", "enter", "l")
        await fill(pilot, app, "save", rooms="A=living, back hall B=bath")
        assert office.calls == [
            ("lots", 101, "Click vinyl plank, light", ("A=living, back hall", "B=bath"), ""),
        ]
        assert "B=bath" in said(app)


async def test_a_lot_is_checked_before_it_is_opened(office: FakeOffice, make_app: MakeApp) -> None:
    """Count, damage and color reach the office; a count that is none is said beside its field."""
    two_lots(office)
    app = make_app(office)
    async with app.run_test(size=(100, 50)) as pilot:
        await press(pilot, "3", "enter", "l")
        await fill(pilot, app, "check", lot="A", cartons="many")
        assert "whole number" in str(app.screen.query_one("#field-cartons", Field).query_one(".note").render())
        app.screen.query_one(YesNo).value = True
        await fill(pilot, app, "check", cartons="18", damaged="2")
        assert office.calls == [("check_lot", 101, "Click vinyl plank, light", "A", 18, 2, True, "")]


async def test_the_question_stands_with_the_material(office: FakeOffice, make_app: MakeApp) -> None:
    """A job's page says what the lead must say about its lots, and by which key."""
    two_lots(office)
    app = make_app(office)
    async with app.run_test(size=(100, 60)) as pilot:
        await press(pilot, "3", "enter")
        text = " ".join(front(app).sheet.text.split())
        assert "two lots of Click vinyl plank, light: say which rooms each goes into: press l" in text
