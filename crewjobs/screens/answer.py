"""An answer in a panel that scrolls; at most one thing can be done about it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Generic

from crewjobs.screens.dialog import Dialog, R
from crewjobs.screens.drawing import Line, Target
from crewjobs.screens.widgets.sheet import Sheet

if TYPE_CHECKING:
    from textual.widget import Widget


class Answer(Dialog[R], Generic[R]):
    """Esc or its last button closes it with nothing done."""

    def __init__(self, title: str, draw: Callable[[int], list[Line]]) -> None:
        super().__init__()
        self._title = title
        self._lines = draw

    def title_text(self) -> str:
        """What was asked."""
        return self._title

    def body(self) -> Iterable[Widget]:
        """One sheet that scrolls."""
        yield Sheet(id="answer")

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Only closing."""
        return (("close", "Close"),)

    def pressed(self, _name: str) -> None:
        """There is nothing else to press."""

    def on_mount(self) -> None:
        """Draw it."""
        self.query_one(Sheet).show(self._draw)

    def _draw(self, width: int, _selected: Target | None) -> list[Line]:
        return self._lines(width)
