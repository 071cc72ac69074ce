"""What follows from something just recorded, whole, where it is more than the status line holds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.widgets import Static

from crewjobs.screens.dialog import Dialog
from crewjobs.screens.in_keys import in_keys

if TYPE_CHECKING:
    from textual.widget import Widget


class Follows(Dialog[None]):
    """Read whole: arrows and page keys scroll it; any key that closes a dialog closes it."""

    BINDINGS = [
        Binding("up,k", "walk(-1)", "up", show=False),
        Binding("down,j", "walk(1)", "down", show=False),
        Binding("pageup", "leaf(-1)", "page up", show=False),
        Binding("pagedown", "leaf(1)", "page down", show=False),
        Binding("home", "far(0)", "first", show=False),
        Binding("end", "far(-1)", "last", show=False),
    ]

    def __init__(self, said: Sequence[str]) -> None:
        super().__init__()
        self._said = said

    def title_text(self) -> str:
        """What was recorded."""
        return "Recorded"

    def body(self) -> Iterable[Widget]:
        """One sentence a paragraph."""
        for number, sentence in enumerate(self._said):
            yield Static(in_keys(sentence), markup=False, classes="follows" if number else "strong")

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Only closing."""
        return (("close", "Close"),)

    def action_walk(self, way: int) -> None:
        """A line on, or back."""
        self.query_one("#body").scroll_relative(y=way, animate=False)

    def action_leaf(self, way: int) -> None:
        """A page on, or back."""
        body = self.query_one("#body")
        body.scroll_relative(y=way * max(body.size.height - 1, 1), animate=False)

    def action_far(self, place: int) -> None:
        """To the beginning or the end."""
        body = self.query_one("#body")
        (body.scroll_home if place == 0 else body.scroll_end)(animate=False)

    def pressed(self, _name: str) -> None:
        """There is nothing else to press."""
