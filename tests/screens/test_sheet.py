"""The sheet keeps what is selected in sight, whatever comes and goes around it and however late it is laid out."""

from __future__ import annotations

from collections.abc import Sequence

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


async def test_what_comes_into_the_place_of_the_selected_one_is_seen_whole() -> None:
    """The selected row itself is gone with those above it: the one in its place is."""
    app = OneSheet()
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.pause()
        app.sheet.show(rows([*range(8), 16, 17, 18, 19]))
        await pilot.pause()
        assert set(in_sight(app.sheet)) <= set(range(12))
