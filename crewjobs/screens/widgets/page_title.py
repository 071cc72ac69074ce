"""One line that stays above a sheet: which job, or whose day, one is looking at."""

from __future__ import annotations

from textual.message import Message
from textual.reactive import reactive

from crewjobs.screens.drawing import Line, Piece, Target, row
from crewjobs.screens.widgets.drawn import Drawn


class PageTitle(Drawn):
    """Pieces on the left and on the right; those with a target can be clicked."""

    left: reactive[tuple[Piece, ...]] = reactive(())
    right: reactive[tuple[Piece, ...]] = reactive(())

    class Clicked(Message):
        """A piece of the title was clicked."""

        def __init__(self, target: Target) -> None:
            self.target = target
            super().__init__()

    def draw(self, width: int) -> list[Line]:
        """Always one line."""
        return [row([Piece(" "), *self.left], [*self.right, Piece(" ")] if self.right else [], width)]

    def clicked(self, target: Target) -> None:
        """Tell the screen."""
        self.post_message(self.Clicked(target))
