"""What a dialog says below its fields, or above the one in hand: brought into sight once it has its lines, whatever stands above meanwhile."""

from __future__ import annotations

from textual.widget import Widget
from textual.widgets import Select, Static


class SaidBelow(Static):
    """The last lines of what is scrolled, or those before a field; hidden while there is nothing to say."""

    def __init__(self) -> None:
        super().__init__("", markup=False, id="fault")
        self.display = False
        self._to_be_seen = False
        self._before: Widget | None = None
        """The field that it stands before, in sight with it; None: it is below all."""

    def say(self, words: str, *, before: Widget | None = None) -> None:
        """Show words, or nothing, at the end of what is scrolled, or above the field that has the cursor."""
        if before is not None and isinstance(self.parent, Widget):
            self.parent.move_child(self, before=_in(self.parent, before))
            self._before = before
        else:
            self.go_below()
        self.update(words)
        self.display = bool(words)
        self._to_be_seen = bool(words)
        if words:
            self.call_after_refresh(self._bring)

    def go_below(self) -> None:
        """Stand at the end again."""
        if self._before is not None and isinstance(self.parent, Widget):
            self.parent.move_child(self, after=-1)
        self._before = None

    def on_resize(self) -> None:
        """Laid out: below another screen that may be long after it was said."""
        if self._to_be_seen:
            self._to_be_seen = False
            self.call_after_refresh(self._bring)

    def _bring(self) -> None:
        if not self.display or not isinstance(self.parent, Widget):
            return
        if self._before is None or not self._before.is_attached:
            self.parent.scroll_end(animate=False, force=True)
        else:
            self.parent.scroll_to_widget(self, animate=False, top=True, force=True, immediate=True)
            # Of words longer than there is room for, the last ones: the cursor is never out of sight.
            self.parent.scroll_to_widget(self._before, animate=False, force=True)


def _in(parent: Widget, field: Widget) -> Widget:
    """Return the part of `parent` that a field is in; of a choice, the words that stand above it."""
    part = next(node for node in field.ancestors_with_self if node.parent is parent)
    assert isinstance(part, Widget)
    if isinstance(field, Select):
        above = list(parent.children)
        label = above[max(above.index(part) - 1, 0)]
        return label if label.has_class("hint") else part
    return part
