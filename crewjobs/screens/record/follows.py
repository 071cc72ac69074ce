"""What follows from something just recorded, whole, where it is more than the status line holds."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.widgets import Static

from crewjobs.screens.dialog import Dialog
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual.widget import Widget


class Follows(Dialog[None]):
    """Read whole: arrows and page keys scroll it; any key that closes a dialog closes it."""

    BINDINGS = [
        Binding(key, f"read({lines})", "read on", show=False)
        for key, lines in (
            ("down", 1),
            ("up", -1),
            ("pagedown", 8),
            ("space", 8),
            ("pageup", -8),
            ("end", 9999),
            ("home", -9999),
        )
    ]

    def __init__(self, done: Done) -> None:
        super().__init__()
        self._done = done

    def title_text(self) -> str:
        """What was recorded."""
        return "Recorded"

    def body(self) -> Iterable[Widget]:
        """One sentence a paragraph."""
        yield Static(self._done.sentence, markup=False, classes="strong")
        for sentence in self._done.then:
            yield Static(sentence, markup=False, classes="follows")

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Only closing."""
        return (("close", "Close"),)

    def action_read(self, lines: int) -> None:
        """Go so many lines on, or back."""
        self.query_one("#body").scroll_relative(y=lines, animate=False)

    def pressed(self, _name: str) -> None:
        """There is nothing else to press."""
