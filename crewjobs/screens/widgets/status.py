"""What was done last, and what follows from it."""

from __future__ import annotations

from textual.reactive import reactive

from crewjobs.screens.drawing import Line, Piece, paragraph
from crewjobs.screens.widgets.drawn import Drawn
from crewjobs.services.rows import Done


class StatusLine(Drawn):
    """One sentence with a mark before it, and its follow-up sentences; nothing when nothing was done."""

    said: reactive[tuple[str, ...]] = reactive((), layout=True)
    busy: reactive[str] = reactive("", layout=True)

    def done(self, done: Done) -> None:
        """Say what an action did."""
        self.said = (done.sentence, *done.then)

    def say(self, *sentences: str) -> None:
        """Say something that needs no undo."""
        self.said = sentences

    def draw(self, width: int) -> list[Line]:
        """The sentences, wrapped."""
        if self.busy:
            return [[Piece(f" … {self.busy}", "muted")]]
        lines: list[Line] = []
        for number, sentence in enumerate(self.said):
            lead, style = (" = ", "strong") if number == 0 else ("   ", "")
            lines += paragraph(sentence, width - 1, style, lead)
        return lines
