"""What follows from something just recorded, whole, where it is more than the status line holds."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widgets import Static

from crewjobs.screens.dialog import Dialog
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual.widget import Widget


class Follows(Dialog[None]):
    """Any key that closes a dialog closes it."""

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

    def pressed(self, _name: str) -> None:
        """There is nothing else to press."""
