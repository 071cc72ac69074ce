"""A box that is ticked or not, told by its sign and not by its color."""

from __future__ import annotations

from textual.binding import Binding
from textual.reactive import reactive

from crewjobs.screens.drawing import Line, Target, paragraph
from crewjobs.screens.widgets.drawn import Drawn


class YesNo(Drawn, can_focus=True):
    """``[x]`` yes, ``[ ]`` no; Enter, space or a tap turns it."""

    BINDINGS = [Binding("enter,space", "choose", "yes or no", show=False)]

    value: reactive[bool] = reactive(False)

    def __init__(self, label: str, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._label = label

    def draw(self, width: int) -> list[Line]:
        """Box and label."""
        style = "accent" if self.has_focus else ""
        return paragraph(self._label, width, style, "[x] " if self.value else "[ ] ", "box")

    def clicked(self, _target: Target) -> None:
        """A tap turns it."""
        self.action_choose()

    def action_choose(self) -> None:
        """Yes becomes no."""
        self.value = not self.value
