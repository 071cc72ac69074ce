"""What a dialog says below its fields: brought into sight once it has its lines, whatever stands above meanwhile."""

from __future__ import annotations

from textual.widget import Widget
from textual.widgets import Static


class SaidBelow(Static):
    """The last lines of what is scrolled; hidden while there is nothing to say."""

    def __init__(self) -> None:
        super().__init__("", markup=False, id="fault")
        self.display = False
        self._to_be_seen = False

    def say(self, words: str) -> None:
        """Show words, or nothing, at the end of what is scrolled."""
        self.update(words)
        self.display = bool(words)
        self._to_be_seen = bool(words)
        if words:
            self.call_after_refresh(self._bring)

    def on_resize(self) -> None:
        """Laid out: below another screen that may be long after it was said."""
        if self._to_be_seen:
            self._to_be_seen = False
            self.call_after_refresh(self._bring)

    def _bring(self) -> None:
        if self.display and isinstance(self.parent, Widget):
            self.parent.scroll_end(animate=False, force=True)
