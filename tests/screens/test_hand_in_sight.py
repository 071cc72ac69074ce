"""A form shows the line that has the cursor: opened again with what was typed before, and at every key."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widget import Widget
from textual.widgets import Input

from crewjobs.screens.app import CrewApp
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.said_below import SaidBelow
from tests.screens.conftest import press, settled
from tests.screens.fake_office import FakeOffice
from tests.screens.test_leaving import remembering
from tests.screens.test_small_forms_kept import gone, opened

SIZES = [(80, 24), (40, 20)]


async def open_form(pilot: Pilot[None], app: CrewApp, name: str) -> None:
    """Open a form that is kept while it is open."""
    if name == "evening":
        await press(pilot, "4", "h")
    elif name == "job":
        await press(pilot, "3", "+")
    else:
        await opened(pilot, app, name)


def in_sight(app: CrewApp, widget: Widget | None) -> bool:
    """Whether all lines of something stand in the part of the form that is seen."""
    assert widget is not None
    body = app.screen.query_one("#body").region
    return body.y <= widget.region.y and widget.region.bottom <= body.bottom


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("name", ["evening", "job", "reading", "found", "away", "arrived", "furniture"])
async def test_taken_up_the_hand_and_what_is_said_are_in_sight(
    office: FakeOffice, tmp_path: Path, name: str, size: tuple[int, int]
) -> None:
    """What is typed next is seen, and so is the sentence that this was kept."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=size) as pilot:
        await open_form(pilot, app, name)
        app.screen.query(Input).first().value = "7"
        await settled(pilot)
        app.screen.keep_now()
    gone(app)
    again = remembering(office, tmp_path)
    async with again.run_test(size=size) as pilot:
        await settled(pilot)
        said = again.screen.query_one(SaidBelow)
        assert "aken up as it was typed" in str(said.content)
        assert in_sight(again, said)
        assert in_sight(again, again.focused)
        if isinstance(again.focused, Input):
            await press(pilot, "5")
            assert in_sight(again, again.focused)


async def test_a_key_brings_its_line_into_sight(office: FakeOffice, tmp_path: Path) -> None:
    """Scrolled to the end of a long form, what is typed then is seen; keys that scroll go on scrolling."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await open_form(pilot, app, "evening")
        line = app.screen.query(Field).first().query_one(Input)
        assert app.focused is line
        for key in ("5", "left", "backspace", "home"):
            await press(pilot, *["pagedown"] * 9)
            assert not in_sight(app, line)
            await press(pilot, key)
            assert in_sight(app, line), key


async def test_what_is_said_next_stands_below_all_again(office: FakeOffice, tmp_path: Path) -> None:
    """Above the line in hand stands only what is said first."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_form(pilot, app, "reading")
        said = app.screen.query_one(SaidBelow)
        body = app.screen.query_one("#body")
        app.screen.say_above("First.")
        await settled(pilot)
        fields = [one for one in body.children if isinstance(one, Field)]
        assert body.children[list(body.children).index(fields[0]) - 1] is said
        app.screen.say("Then.")
        await settled(pilot)
        assert body.children[-1] is said
