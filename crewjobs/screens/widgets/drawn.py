"""A small widget drawn with lines of pieces, of which some can be clicked: headline, key line, status."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.segment import Segment
from textual.strip import Strip
from textual.widget import Widget

from crewjobs.screens.drawing import Line, Target, cell_len
from crewjobs.screens.words import clean

if TYPE_CHECKING:
    from textual import events
    from textual.geometry import Size

NAMES = ("strong", "muted", "accent", "warn", "rule", "head", "bar", "mark", "key", "here", "here-dim")
STYLES = {f"sheet--{name}" for name in NAMES}
"""Component classes that the style sheet gives their look; a piece names them without the prefix."""


class Drawn(Widget):
    """As high as its drawing; subclasses draw, and act on what was clicked."""

    ALLOW_SELECT = False
    COMPONENT_CLASSES = STYLES

    def draw(self, width: int) -> list[Line]:
        """The lines for a width in cells."""
        raise NotImplementedError

    def clicked(self, target: Target) -> None:
        """A piece that belongs to a target was clicked."""

    @property
    def text(self) -> str:
        """What is drawn now, as plain text."""
        lines = self.draw(max(self.content_size.width, 1))
        return "\n".join("".join(piece.text for piece in line).rstrip() for line in lines)

    def get_content_height(self, _container: Size, _viewport: Size, width: int) -> int:
        """As many lines as are drawn."""
        return len(self.draw(width))

    def render_line(self, y: int) -> Strip:
        """One drawn line."""
        width = self.content_size.width
        lines = self.draw(width)
        if y >= len(lines):
            return Strip.blank(width, self.rich_style)
        segments = []
        for piece in lines[y]:
            names = [f"sheet--{name}" for name in piece.style.split()]
            style = self.get_component_rich_style(*names) if names else self.rich_style
            segments.append(Segment(clean(piece.text), style))
        return Strip(segments).adjust_cell_length(width, self.rich_style)

    def on_click(self, event: events.Click) -> None:
        """Find the piece under the pointer."""
        offset = event.get_content_offset(self)
        lines = self.draw(self.content_size.width)
        if offset is None or offset.y >= len(lines):
            return
        place = 0
        for piece in lines[offset.y]:
            place += cell_len(piece.text)
            if offset.x < place:
                if piece.target is not None:
                    self.clicked(piece.target)
                return
