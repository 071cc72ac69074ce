"""A box that is ticked or not, told by its sign and not by its color."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.reactive import reactive

from crewjobs.screens.drawing import Line, Target, paragraph
from crewjobs.screens.widgets.drawn import Drawn
from crewjobs.screens.widgets.going_on import GoOn

if TYPE_CHECKING:
    from textual import events


class YesNo(Drawn, can_focus=True):
    """``[x]`` yes, ``[ ]`` no; space or a tap turns it, Enter goes on to the next field and changes nothing."""

    BINDINGS = [Binding("space", "choose", "yes or no", show=False)]

    value: reactive[bool] = reactive(False)

    def __init__(self, label: str, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._label = label

    def draw(self, width: int) -> list[Line]:
        """Box and label."""
        return paragraph(self._label, width, "", "[x] " if self.value else "[ ] ", "box")

    def on_key(self, event: events.Key) -> None:
        """Enter goes on, as from a line of text."""
        if event.key == "enter":
            event.stop()
            event.prevent_default()
            self.post_message(GoOn(self))

    def clicked(self, _target: Target) -> None:
        """A tap turns it."""
        self.action_choose()

    def action_choose(self) -> None:
        """Yes becomes no."""
        self.value = not self.value
