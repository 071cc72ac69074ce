"""Enter in a field that is no line of text: on to the next one, as from a line."""

from __future__ import annotations

from textual.message import Message
from textual.widget import Widget


class GoOn(Message):
    """Enter was pressed in a box or in a closed choice; its dialog goes on from there."""

    def __init__(self, field: Widget) -> None:
        self.field = field
        super().__init__()
