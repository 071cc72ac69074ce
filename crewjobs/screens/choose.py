"""One of several, by key or by tap."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from typing import TYPE_CHECKING

from textual.binding import Binding

from crewjobs.screens.dialog import Dialog
from crewjobs.screens.drawing import Line, Piece, Target, filled, fit
from crewjobs.screens.widgets.sheet import Sheet

if TYPE_CHECKING:
    from textual.widget import Widget


class Choose(Dialog[Hashable]):
    """Closes with the value of what was chosen."""

    BINDINGS = [Binding("enter,space", "choose", "choose", key_display="Enter")]

    def __init__(self, title: str, options: Sequence[tuple[Hashable, str]], chosen: Hashable = None) -> None:
        super().__init__()
        self._title = title
        self._options = options
        self._chosen = chosen

    def title_text(self) -> str:
        """The question."""
        return self._title

    def body(self) -> Iterable[Widget]:
        """The answers, each two lines high for a thumb."""
        sheet = Sheet(id="options", tap=True)
        sheet.styles.height = min(2 * len(self._options), 14)
        yield sheet

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Only closing."""
        return (("close", "Close"),)

    def on_mount(self) -> None:
        """Draw the answers."""
        values = [value for value, _ in self._options]
        self.query_one(Sheet).show(self._draw, self._chosen if self._chosen in values else None)

    def _draw(self, width: int, _selected: Target | None) -> list[Line]:
        lines: list[Line] = []
        for value, label in self._options:
            text = Piece(fit(label, width - 2), "strong", value)
            lines.append(filled([Piece(" ", "mark", value), text], width, value))
            lines.append([])
        return lines[:-1]

    def action_choose(self) -> None:
        """Enter."""
        self.query_one(Sheet).choose()

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Close with it."""
        self.dismiss(event.target)
