"""The sheet keeps what is selected in sight, whatever comes and goes around it and however late it is laid out."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence

import pytest
from textual.app import App, ComposeResult
from textual.widgets import Static

from crewjobs.screens.drawing import Line, Piece, Target
from crewjobs.screens.widgets.sheet import Draw, Sheet


def rows(numbers: Sequence[int]) -> Draw:
    """Each number a target of three lines."""

    def draw(_width: int, _selected: Target | None) -> list[Line]:
        return [[Piece(f"row {number} line {line}", "", number)] for number in numbers for line in range(3)]

    return draw


class OneSheet(App[None]):
    """A sheet and a line below it, which grows."""

    CSS = "Sheet { height: 1fr; } Static { height: auto; }"

    def __init__(self) -> None:
        super().__init__()
        self.sheet = Sheet()
        self.below = Static("")

    def compose(self) -> ComposeResult:
        yield self.sheet
        yield self.below

    def on_mount(self) -> None:
        """Shown before there is any room to draw in."""
        self.sheet.show(rows(range(20)), 15)


class EmptySheet(OneSheet):
    """A sheet that has room and nothing on it yet, so that it has no bar."""

    def on_mount(self) -> None:
        """Nothing is shown."""


def in_sight(sheet: Sheet) -> range:
    """The lines of what is selected, counted from the top of the view."""
    box, top = sheet.box(sheet.selected), sheet.scroll_offset.y
    return range(box.top - top, box.bottom - top + 1)


async def test_what_is_selected_is_seen_whole_though_the_layout_comes_late() -> None:
    """Selected before the first layout, and with less room after something was said below: all its lines are seen."""
    app = OneSheet()
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.pause()
        assert set(in_sight(app.sheet)) <= set(range(12))
        app.below.update("\n" * 5)
        await pilot.pause()
        assert app.sheet.size.height < 7
        assert set(in_sight(app.sheet)) <= set(range(app.sheet.size.height))


async def test_what_is_selected_stays_where_it_is_when_lines_above_it_go() -> None:
    """Read anew, rows above are gone, or more have come: the eye has the selected one where it was."""
    app = OneSheet()
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.pause()
        before = in_sight(app.sheet)
        app.sheet.show(rows(range(4, 20)))
        await pilot.pause()
        assert in_sight(app.sheet) == before
        app.sheet.show(rows(range(20)))
        await pilot.pause()
        assert in_sight(app.sheet) == before


@pytest.mark.parametrize("turns", range(12))
async def test_what_is_drawn_anew_before_it_is_in_sight_is_brought_there(turns: int) -> None:
    """Shown, and read anew some turns of the loop later, be it laid out by then or on its way: it stands on top all the same."""
    app = EmptySheet()
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.pause()
        app.sheet.show(rows(range(30)), 8, on_top=True)
        for _ in range(turns):
            await asyncio.sleep(0)
        app.sheet.show(rows(range(30)))
        app.sheet.show(rows(range(30)))
        for _ in range(5):
            await pilot.pause()
        assert app.sheet.scroll_offset.y == app.sheet.box(8).top == 24
        app.sheet.show(rows(range(3, 30)))  # once it is there the eye has it where it is
        for _ in range(5):
            await pilot.pause()
        assert app.sheet.scroll_offset.y == app.sheet.box(8).top == 15


async def test_what_comes_into_the_place_of_the_selected_one_is_seen_whole() -> None:
    """The selected row itself is gone with those above it: the one in its place is."""
    app = OneSheet()
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.pause()
        app.sheet.show(rows([*range(8), 16, 17, 18, 19]))
        await pilot.pause()
        assert set(in_sight(app.sheet)) <= set(range(12))


def long_row(_width: int, _selected: Target | None) -> list[Line]:
    """A task of two lines that say what it is, and 30 of cautions, between two others."""
    tall = ["Lay rows", "front room", *(f"! caution {number}" for number in range(30))]
    texts = [("a", "before"), *(("tall", text) for text in tall), ("z", "after")]
    return [[Piece(text, "", target)] for target, text in texts]


async def test_what_is_selected_says_what_it_is_while_one_reads_on_in_it() -> None:
    """Longer than the view: its first lines stay on top, no caution is skipped, and one goes on after the last."""
    app = OneSheet()
    app.sheet.unfolds = True

    def seen() -> list[str]:
        return [app.sheet.render_line(y).text.strip() for y in range(app.sheet.scrollable_content_region.height)]

    async with app.run_test(size=(40, 12)) as pilot:
        app.sheet.show(long_row, "tall")
        app.sheet.focus()
        await pilot.pause()
        read: set[str] = set()
        for _ in range(12):
            if app.sheet.selected != "tall":
                break
            assert {"Lay rows", "front room"} <= set(seen())
            read |= set(seen())
            await pilot.press("down")
            await pilot.pause()
        assert app.sheet.selected == "z"
        assert {f"! caution {number}" for number in range(30)} <= read
