"""An answer in a panel that scrolls; at most one thing can be done about it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Generic

from crewjobs.screens.dialog import Dialog, R
from crewjobs.screens.drawing import Line, Piece, Target, paragraph, wrap
from crewjobs.screens.in_keys import in_keys
from crewjobs.screens.widgets.sheet import Sheet

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.services.text_lines import TextLine


def said_whole(told: Iterable[Sequence[str]]) -> Answer[None]:
    """All that the last actions said, the newest first: what each did, and what follows."""
    answers = list(told)

    def draw(width: int) -> list[Line]:
        lines: list[Line] = []
        for place, sentences in enumerate(answers):
            lines += [[]] if place else []
            for number, sentence in enumerate(sentences):
                lead, style = (" = ", "strong") if number == 0 else ("   ", "")
                lines += paragraph(sentence, width - 1, style, lead)
        return lines

    return Answer("What was said", draw)


def text_answer(title: str, text: Sequence[TextLine]) -> Answer[None]:
    """A text of the office on a sheet that scrolls."""

    def draw(width: int) -> list[Line]:
        lines: list[Line] = []
        for line in text:
            parts = wrap(in_keys(line.text), max(width - len(line.indent) - 2, 8)) or [""]
            lines += [[Piece(f" {line.indent if number else line.first}{part}")] for number, part in enumerate(parts)]
        return lines

    return Answer(title, draw)


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
