"""What was done last, and what follows from it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.reactive import reactive

from crewjobs.screens.drawing import Line, Piece, Target, paragraph, row, width_of
from crewjobs.screens.widgets.drawn import Drawn

if TYPE_CHECKING:
    from crewjobs.services.rows import Done


class StatusLine(Drawn):
    """One sentence with a mark before it, and its follow-up sentences; nothing when nothing was done."""

    said: reactive[tuple[str, ...]] = reactive((), layout=True)
    busy: reactive[str] = reactive("", layout=True)
    undoable: reactive[bool] = reactive(False)

    def done(self, done: Done) -> None:
        """Say what an action did."""
        self.said = (done.sentence, *done.then)
        self.undoable = True

    def say(self, *sentences: str) -> None:
        """Say something that needs no undo."""
        self.said = sentences
        self.undoable = False

    def add(self, sentence: str) -> None:
        """Say one thing more, ahead of what follows from the last action."""
        self.said = (*self.said[:1], sentence, *self.said[1:])

    def draw(self, width: int) -> list[Line]:
        """The sentences, wrapped."""
        if self.busy:
            return [[Piece(f" … {self.busy}", "muted")]]
        lines: list[Line] = []
        undo: Line = [Piece("u", "key", "undo"), Piece(" undo ", "muted", "undo")] if self.undoable else []
        room = width - 1 - width_of(undo)
        for number, sentence in enumerate(self.said):
            lead, style = (" = ", "strong") if number == 0 else ("   ", "")
            more = paragraph(sentence, room, style, lead)
            left = len(self.said) - number
            if number and len(lines) + len(more) + (left > 1) > max(self.screen.size.height // 5, 3):
                lines.append([Piece(f"   and {left} more: tap here, or ^p (all that was said)"[:room], "muted", "all")])
                break
            lines += more
        if lines and undo:
            lines[0] = row(lines[0], undo, width)
        return lines

    def show_all(self) -> None:
        """Show whole what was said last."""
        from crewjobs.screens.record.follows import Follows

        self.app.push_screen(Follows(self.said))

    def clicked(self, target: Target) -> None:
        """Undo by click, or show all that was said."""
        if target == "all":
            self.show_all()
        if target == "undo" and self.undoable:
            self.run_worker(self.app.run_action("app.undo"))
