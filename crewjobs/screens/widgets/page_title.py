"""One line that stays above a sheet: which job, or whose day, one is looking at."""

from __future__ import annotations

from textual.message import Message
from textual.reactive import reactive

from crewjobs.screens.drawing import Line, Piece, Target, row, width_of
from crewjobs.screens.widgets.drawn import Drawn


class PageTitle(Drawn):
    """Pieces on the left and on the right; those with a target can be clicked. Those `aside` stand where there is room."""

    left: reactive[tuple[Piece, ...]] = reactive(())
    aside: reactive[tuple[Piece, ...]] = reactive(())
    right: reactive[tuple[Piece, ...]] = reactive(())

    class Clicked(Message):
        """A piece of the title was clicked."""

        def __init__(self, target: Target) -> None:
            self.target = target
            super().__init__()

    def draw(self, width: int) -> list[Line]:
        """Always one line."""
        right = [*self.right, Piece(" ")] if self.right else []
        left = [Piece(" "), *self.left]
        if width_of([*left, *self.aside, *right]) < width:
            left += self.aside
        return [row(left, right, width)]

    def clicked(self, target: Target) -> None:
        """Tell the screen."""
        self.post_message(self.Clicked(target))
