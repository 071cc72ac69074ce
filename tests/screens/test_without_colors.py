"""With NO_COLOR nothing is told by a ground: where the hand is shows in lines, letters reversed or underlined."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from textual.pilot import Pilot
from textual.widget import Widget
from textual.widgets import Input, TextArea

from crewjobs.screens.app import CrewApp
from tests.screens.conftest import press, settled
from tests.screens.fake_office import FakeOffice

Cell = tuple[str, bool, bool, bool]


def told(app: CrewApp) -> list[list[Cell]]:
    """All that is seen without colors: each letter, whether bold, underlined or reversed."""
    return [
        [
            (letter, bool(style and style.bold), bool(style and style.underline), bool(style and style.reverse))
            for segment in line
            for style in [segment.style]
            for letter in segment.text
        ]
        for line in app.screen._compositor.render_strips(app.size)
    ]


@pytest.fixture
def colorless(
    office: FakeOffice, make_app: Callable[[FakeOffice], CrewApp], monkeypatch: pytest.MonkeyPatch
) -> CrewApp:
    """The screens as they start where NO_COLOR is set."""
    monkeypatch.setenv("NO_COLOR", "1")
    return make_app(office)


def blinked_off(hand: Widget | None) -> None:
    """As a field looks half of the time: its cursor not there. Where the hand is must show all the same."""
    if isinstance(hand, Input | TextArea):
        hand.cursor_blink = False
        hand._cursor_visible = False


async def seen_to_move(pilot: Pilot[None], key: str, times: int) -> None:
    """Each time the key is struck, something else is seen."""
    assert isinstance(pilot.app, CrewApp)
    for time in range(times):
        hand = pilot.app.focused
        blinked_off(hand)
        await pilot.pause()
        before = told(pilot.app)
        await press(pilot, key)
        now = pilot.app.focused
        blinked_off(now)
        await pilot.pause()
        assert told(pilot.app) != before, (key, time, hand, now)


async def test_the_palette_shows_its_line(colorless: CrewApp) -> None:
    """Down, down: the line to be run is another one each time."""
    async with colorless.run_test(size=(80, 24)) as pilot:
        await press(pilot, "ctrl+p", "w")
        await pilot.pause(0.3)
        await seen_to_move(pilot, "down", 3)


@pytest.mark.parametrize("keys", [("plus",), ("3", "enter", "e"), ("r", "enter"), ("4", "h"), ("4", "F")], ids="-".join)
@pytest.mark.parametrize("size", [(80, 24), (40, 20)], ids=str)
async def test_a_form_shows_its_field(colorless: CrewApp, keys: tuple[str, ...], size: tuple[int, int]) -> None:
    """From field to field, where one types is seen."""
    async with colorless.run_test(size=size) as pilot:
        await press(pilot, *keys)
        await settled(pilot)
        await seen_to_move(pilot, "tab", 8)


async def test_an_open_choice_shows_its_line(colorless: CrewApp) -> None:
    """A list of words to choose from."""
    async with colorless.run_test(size=(80, 24)) as pilot:
        await press(pilot, "r")
        await seen_to_move(pilot, "down", 3)
