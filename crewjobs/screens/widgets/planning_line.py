"""Planning as it goes: a bar, what it is at, and how to stop it. Everything else keeps working meanwhile."""

from __future__ import annotations

from textual.reactive import reactive

from crewjobs.screens.drawing import Line, Piece, Target, bar, cell_len, fit, row
from crewjobs.screens.widgets.drawn import Drawn

Progress = tuple[int, int, str]
"""Steps done, steps in all, and what is being done."""


class PlanningLine(Drawn):
    """Hidden unless a week is being planned."""

    progress: reactive[Progress | None] = reactive(None)

    seconds: reactive[int] = reactive(0)
    """How long it has been at work: what says nothing else shows so that it goes on."""

    refused: reactive[bool] = reactive(False)
    """A refusal stands above, which the next Esc closes."""

    def on_mount(self) -> None:
        """Count seconds while something is at work."""
        self.set_interval(1.0, self._count)

    def _count(self) -> None:
        if self.progress is not None:
            self.seconds += 1

    def watch_progress(self, before: Progress | None, progress: Progress | None) -> None:
        """Show while there is progress."""
        if before is None or progress is None:
            self.seconds = 0
        self.display = progress is not None

    def draw(self, width: int) -> list[Line]:
        """``Planning ├━━━━╸····┤ 12 of 40  placing 104   Esc stops``."""
        if self.progress is None:
            return []
        done, steps, what = self.progress
        stop = "then Esc stops" if self.refused else "Esc stops"
        if not steps:  # nobody knows how much there is to do: what is being done is said instead
            gone = f"{self.seconds} s  " if self.seconds else ""
            right: Line = [Piece(gone, "muted"), Piece(stop, "key", "stop"), Piece(" ")]
            return [row([Piece(" At work: ", "strong"), Piece(what)], right, width)]
        size = min(max(width // 3, 8), 30)
        line: Line = [Piece(" Planning ", "strong"), *bar(done / steps if steps else 0.0, size)]
        count = f" {done} of {steps} " if steps else " "
        room = width - 10 - size - cell_len(count) - cell_len(stop) - 2
        line += [Piece(count), Piece(fit(what, max(room, 0)), "muted")]
        used = sum(cell_len(piece.text) for piece in line)
        return [[*line, Piece(" " * max(width - used - cell_len(stop) - 1, 1)), Piece(stop, "key", "stop")]]

    def clicked(self, _target: Target) -> None:
        """Stop by click."""
        self.screen.run_worker(self.screen.run_action("screen.back"))
