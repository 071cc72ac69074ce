"""What this screen or dialog is for and what can be done here; each key can be clicked."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from textual.binding import Binding
from textual.widgets import Button, Input

from crewjobs.screens.dialog import Dialog
from crewjobs.screens.drawing import Line, Piece, Target, filled, heading, paragraph
from crewjobs.screens.keys import MEANINGS, TOLD_BY_ITSELF
from crewjobs.screens.widgets.headline import PLACES
from crewjobs.screens.widgets.key_line import shown_bindings
from crewjobs.screens.widgets.sheet import Sheet

if TYPE_CHECKING:
    from textual import events
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen

MOVING = (
    ("↑ ↓", "select; page up, page down, home, end", ""),
    ("^p", "the palette: all commands by name", "ctrl+p"),
    ("n", "all that was said last", "n"),
    ("b", "bright: light or dark", "b"),
    ("Esc", "close, stop what is at work, go back", "escape"),
)
"""Keys that work on every screen, as they are shown, with what they do, and what a tap on them presses."""
IN_A_DIALOG = (
    ("Enter", "from a field on to the next; a button it presses, in a list it takes what is selected", ""),
    (
        "Space",
        "ticks a box, opens a choice, as ↓ does; letters open it at what begins so, Enter takes it, Esc leaves it",
        "",
    ),
    ("Tab", "on to the next field or button; shift and Tab back", ""),
    ("F1", "this help, from inside a field too, where ? is text", ""),
    ("^p", "the palette: all commands by name", "ctrl+p"),
)
_FORM = "What is typed stays when it is refused; the sentence says what would be right."
_LIST = "One of several: Enter or a tap takes it."
_PAGE = "To be read: arrows and page keys scroll."


class HelpScreen(Dialog[str]):
    """Closes with the key that was chosen."""

    BINDINGS = [
        Binding("enter,space", "choose", "do it", key_display="Enter"),
        Binding("question_mark,f1", "help", "close", show=False),
    ]

    def __init__(self, screen: CrewScreen | Dialog[Any]) -> None:
        super().__init__()
        self._dialog = isinstance(screen, Dialog)
        if isinstance(screen, Dialog):
            self._about, self._name = screen.ABOUT or _kind(screen), screen.title_text()
        else:
            self._about, self._name = screen.ABOUT, screen.NAME or dict(PLACES).get(screen.PLACE, "")[2:]
        self._keys = [
            (active.binding.key, screen.app.get_key_display(active.binding), active.binding.description)
            for active in shown_bindings(screen.active_bindings)
            if active.binding.key not in ("question_mark", "f1")
        ]
        shown = {key for key, _, _ in self._keys}
        everywhere = set() if self._dialog else {*(name[0] for _, name in PLACES), *(key for *_, key in MOVING)}
        self._pressed = (shown | everywhere) - {"", "escape", "enter", "space"}
        """Keys told here: pressed, they close help and are done. Those that walk and close are help's own."""
        self._buttons = [str(button.label) for button in screen.query(Button) if button.display] if self._dialog else []

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
        lines = [heading("Keys here: press or tap them", width)] if self._keys else []
        for key, display, words in self._keys:
            lines += self._row(display, _told(key, words), key, width)
        if self._buttons:
            lines += paragraph(f"Buttons: {', '.join(self._buttons)}.", width - 2, "", " ")
        lines.append(heading("What this is", width))
        lines += paragraph(self._about, width - 2, "", " ")
        lines.append(heading("In every dialog" if self._dialog else "Everywhere", width))
        for number, (_, name) in enumerate(() if self._dialog else PLACES, 1):
            lines += self._row(str(number), name[2:], str(number), width)
        for display, words, key in IN_A_DIALOG if self._dialog else MOVING:
            lines += self._row(display, words, key, width)
        return lines

    @staticmethod
    def _row(display: str, words: str, key: str, width: int) -> list[Line]:
        """A key and what it does; a tap on it presses it."""
        target = key or None
        texts = paragraph(words, width - 10, "", target=target) or [[]]
        lines: list[Line] = [[Piece(" ", "mark", target), Piece(f"{display:<8}", "key", target), *texts[0]]]
        lines += [[Piece(" ", "mark", target), Piece(" " * 8, "", target), *text] for text in texts[1:]]
        return [filled(line, width, target) for line in lines]

    def action_help(self) -> None:
        """The key that opened it closes it."""
        self.action_close()

    def on_key(self, event: events.Key) -> None:
        """A key that stands here can be pressed as well as tapped."""
        if event.key in self._pressed:
            event.stop()
            event.prevent_default()
            self.dismiss(event.key)

    def action_choose(self) -> None:
        """Enter."""
        self.query_one(Sheet).choose()

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Do what the key does."""
        self.dismiss(str(event.target))


def _told(key: str, words: str) -> str:
    """What a key does here, and, where that is no more than a word, what it means everywhere."""
    action, meaning = MEANINGS.get(key, ("", ""))
    if action in TOLD_BY_ITSELF:
        return words
    return f"{words}: {meaning}" if meaning and words.casefold() not in meaning.casefold() else meaning or words


def _kind(dialog: Dialog[Any]) -> str:
    """What a dialog is for, by what it is made of."""
    if dialog.query(Input):
        return _FORM
    return _LIST if any(sheet.tap for sheet in dialog.query(Sheet)) else _PAGE
