"""What this screen is for and what can be done here; each key can be clicked."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.binding import Binding

from crewjobs.screens.base import CrewScreen
from crewjobs.screens.dialog import Dialog
from crewjobs.screens.drawing import Line, Piece, Target, filled, heading, paragraph
from crewjobs.screens.widgets.headline import PLACES
from crewjobs.screens.widgets.key_line import shown_bindings
from crewjobs.screens.widgets.sheet import Sheet

if TYPE_CHECKING:
    from textual.widget import Widget

MOVING = (
    ("↑ ↓", "select; page up, page down, home, end"),
    ("^p", "the palette: all commands by name"),
    ("b", "bright: light or dark"),
    ("Esc", "close, stop planning, go back"),
)
"""Keys that work on every screen, as they are shown, with what they do."""


class HelpScreen(Dialog[str]):
    """Closes with the key that was chosen."""

    BINDINGS = [
        Binding("enter,space", "choose", "do it", key_display="Enter"),
        Binding("question_mark,f1", "help", "close", show=False),
    ]

    def __init__(self, screen: CrewScreen) -> None:
        super().__init__()
        self._about = screen.ABOUT
        self._name = dict(PLACES).get(screen.PLACE, "")[2:]
        self._keys = [
            (active.binding.key, screen.app.get_key_display(active.binding), active.binding.description)
            for active in shown_bindings(screen.active_bindings)
            if active.binding.key != "question_mark"
        ]

    def title_text(self) -> str:
        """Which screen."""
        return f"Help: {self._name}"

    def body(self) -> Iterable[Widget]:
        """One sheet."""
        yield Sheet(id="help", tap=True)

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Only closing."""
        return (("close", "Close"),)

    def on_mount(self) -> None:
        """Draw it."""
        self.query_one(Sheet).show(self._draw)

    def _draw(self, width: int, _selected: Target | None) -> list[Line]:
        lines = [*paragraph(self._about, width - 2, "", " "), [], heading("Keys here, or tap them", width)]
        for key, display, words in self._keys:
            lines.append(
                filled([Piece(" ", "mark", key), Piece(f"{display:<8}", "key", key), Piece(words, "", key)], width, key)
            )
        lines.append(heading("Everywhere", width))
        for number, (_, name) in enumerate(PLACES, 1):
            key = str(number)
            lines.append(
                filled([Piece(" ", "mark", key), Piece(f"{key:<8}", "key", key), Piece(name[2:], "", key)], width, key)
            )
        for display, words in MOVING:
            text = paragraph(words, width - 10)
            lines.append([Piece(f" {display:<8}", "key"), *text[0]])
            lines += [[Piece(" " * 9), *line] for line in text[1:]]
        return lines

    def action_choose(self) -> None:
        """Enter."""
        self.query_one(Sheet).choose()

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Do what the key does."""
        self.dismiss(str(event.target))
