"""How a floor is laid, on the screen: found with one key, floors stepped through, a row that lies told."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from textual.widgets import Input

from crewjobs.screens.app import CrewApp
from crewjobs.screens.drawing import width_of
from crewjobs.screens.floor_layout import FloorLayoutScreen
from crewjobs.screens.record.form import Form
from crewjobs.screens.rooms import RoomsScreen
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.laid_floor import draw_floors
from crewjobs.screens.widgets.planning_line import PlanningLine
from tests.screens.conftest import front, press, refused, said, settled
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]


def shown(app: CrewApp) -> str:
    """What the screen's sheet says, on one line."""
    return " ".join(front(app).sheet.text.split())


async def test_rows_and_cuts_of_every_floor(office: FakeOffice, make_app: MakeApp) -> None:
    """From Rooms l opens the first floor, the arrows go to the next and stop at the last; Esc goes back."""
    app = make_app(office)
    app.job = 101
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "5", "L")
        assert isinstance(app.screen, FloorLayoutScreen)
        assert "[living + hall]" in shown(app)
        assert 'start 21" (plank 1, keep 26" for row 3); 2 whole; end 105" (plank 4)' in shown(app)
        assert 'ripped to 3 1/2": start' in shown(app)
        assert "tight" in shown(app)
        assert 'end 105": vent: 4" x 10", 3" from its left end' in shown(app)
        await press(pilot, "right", "right")
        assert "[study]" in shown(app)
        await press(pilot, "pagedown", "pageup")
        assert "[study]" in shown(app)
        await press(pilot, "left", "left")
        assert "[living + hall]" in shown(app)
        await press(pilot, "escape")
        assert isinstance(app.screen, RoomsScreen)


async def test_one_key_lays_a_floor_out(office: FakeOffice, make_app: MakeApp) -> None:
    """Not laid out yet: Enter finds the layout, saying how far it is; Esc stops with the best so far; again asks for fewer."""
    app = make_app(office)
    app.job = 104
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5", "L")
        assert "Harbor plank: not laid out yet. p lays it out." in shown(app)
        await press(pilot, "right", "r")
        assert "p finds one" in said(app)
        office.gate.clear()
        await pilot.press("p")
        await pilot.pause(0.3)
        assert "49 planks, 48 at" in front(app).query_one(PlanningLine).text
        await pilot.press("escape")
        await settled(pilot)
        office.gate.set()
        assert ("lay_out", 104, False) in office.calls
        assert "[living + hall]" in shown(app)
        assert "48 planks" in said(app)
        await press(pilot, "p")
        await settled(pilot)
        assert ("lay_out", 104, True) in office.calls


async def test_why_there_is_none_is_said(office: FakeOffice, make_app: MakeApp) -> None:
    """A floor that cannot be laid: the sentence, and nothing is lost."""
    app = make_app(office)
    app.job = 104
    office.says_no = "'study': the last row would be 1\" wide: turn the rows."
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5", "L", "p")
        await settled(pilot)
        assert "turn the rows" in refused(app)


async def test_a_row_that_lies_is_told(office: FakeOffice, make_app: MakeApp) -> None:
    """Its number and what was measured; no such row: the sentence, and what was typed stays."""
    app = make_app(office)
    app.job = 101
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5", "L", "r")
        assert isinstance(app.screen, Form)
        fields = {key: app.screen.query_one(f"#field-{key}", Field).query_one(Input) for key in ("row", "measured")}
        for text, sentence in (("seven", "is not a whole number"), ("13", "there is no row 13")):
            fields["row"].value = text
            await settled(pilot)  # the fault said before goes, and the button moves up
            await pilot.click("Button")
            await settled(pilot)
            assert sentence in str(app.screen.query_one("#field-row .note").render())
        fields["row"].value, fields["measured"].value = "seven", "abc"
        await settled(pilot)
        await pilot.click("Button")
        await settled(pilot)
        notes = [str(app.screen.query_one(f"#field-{key} .note").render()) for key in ("row", "measured")]
        assert [words in note for words, note in zip(("whole number", "is not a length"), notes, strict=True)] == [
            True
        ] * 2
        fields["row"].value, fields["measured"].value = "7", "18' 6 1/4"
        await settled(pilot)
        await pilot.click("Button")
        await settled(pilot)
        assert ("row_lies", 101, "living", 7, "18' 6 1/4", "") in office.calls
        assert "after row 7" in said(app)


async def test_planning_anew_says_so_and_is_not_done_twice(office: FakeOffice, make_app: MakeApp) -> None:
    """It takes seconds: a sentence stands meanwhile, and a second press is none."""
    app = make_app(office)
    app.job = 101
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5", "L", "r")
        app.screen.query_one("#field-row", Field).query_one(Input).value = "7"
        office.gate.clear()
        await pilot.click("Button")
        await pilot.pause()
        assert "Planning the other rows anew" in str(app.screen.query_one("#fault").render())
        await pilot.click("Button")
        office.gate.set()
        await settled(pilot)
        assert [call for call in office.calls if call[0] == "row_lies"] == [("row_lies", 101, "living", 7, "", "")]
        assert "after row 7" in said(app)


@pytest.mark.parametrize("width", [38, 78, 118])
@pytest.mark.parametrize("job", [101, 104])
def test_no_line_is_wider_than_the_sheet(width: int, job: int, office: FakeOffice) -> None:
    """At every width all lines fit, laid out or not."""
    for floor in (0, 1):
        lines = draw_floors(office.layouts(job), width, ("floor", floor))
        assert max(width_of(line) for line in lines) <= width
