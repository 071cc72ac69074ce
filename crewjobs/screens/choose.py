"""One of several, by key or by tap."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from typing import TYPE_CHECKING

from textual.binding import Binding

from crewjobs.screens.dialog import Dialog
from crewjobs.screens.drawing import Line, Piece, Target, filled, paragraph
from crewjobs.screens.widgets.sheet import Sheet

if TYPE_CHECKING:
    from textual.widget import Widget


class Choose(Dialog[Hashable]):
    """Closes with the value of what was chosen."""

    BINDINGS = [Binding("enter,space", "choose", "choose", key_display="Enter")]

    def __init__(
        self,
        title: str,
        options: Sequence[tuple[Hashable, str]],
        chosen: Hashable = None,
        *,
        close: str = "Close",
        told: Sequence[str] = (),
    ) -> None:
        """Take the question in a few words, its answers, and what is `told` between them, as long as it may be."""
        super().__init__()
        self._told = told
        self._close = close
        self._title = title
        self._options = options
        self._chosen = chosen

    def title_text(self) -> str:
        """The question."""
        return self._title

    def body(self) -> Iterable[Widget]:
        """The answers, with room between them for a thumb."""
        yield Sheet(id="options", tap=True)

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Only closing."""
        return (("close", self._close),)

    def on_mount(self) -> None:
        """Draw the answers."""
        values = [value for value, _ in self._options]
        chosen = self._chosen if self._chosen in values else None
        self.query_one(Sheet).show(self._draw, chosen, reveal=not self._told)  # what is told is read from its beginning

    def _draw(self, width: int, _selected: Target | None) -> list[Line]:
        told: list[Line] = [line for sentence in self._told for line in paragraph(sentence, width - 1, "", " ")]
        answers: list[Line] = []
        for value, label in self._options:
            texts = paragraph(label, width - 2, "strong", target=value)
            answers += [[], *(filled([Piece(" ", "mark", value), *text], width, value) for text in texts)]
        if not told:
            return answers[1:]
        if len(told) + len(answers) > self.room():  # the answers are seen, and what is told below them is scrolled
            return [*answers[1:], [], *told]
        return [*told, *answers]

    def action_choose(self) -> None:
        """Enter."""
        self.query_one(Sheet).choose()

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Close with it."""
        self.dismiss(event.target)
