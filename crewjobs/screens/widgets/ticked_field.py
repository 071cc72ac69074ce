"""A task's line of the evening: a box that a tap or Space ticks, and beside it whatever is typed instead."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.containers import Vertical
from textual.widgets import Input

from crewjobs.domain.errors import Refused
from crewjobs.screens.drawing import Line, Target, filled, paragraph
from crewjobs.screens.widgets.drawn import Drawn
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.hinted import HintedInput
from crewjobs.screens.widgets.job_page import box

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult

TICK = "x"


class TickedField(Field):
    """All of it but what is typed is one target: a tap there writes the x, or takes it away."""

    def __init__(
        self, name: str, title: str, label: str, hint: str = "", *, step: Callable[[str, int], str] | None = None
    ) -> None:
        super().__init__(name, label, "", hint, step=step)
        self._title = title
        self._put = False
        """Whether the x that stands there was put by a tap or Space: only then Space takes it away, one typed may have more behind it."""
        self._other = ""
        """What stood there before the last tap, which the next one brings back."""

    def compose(self) -> ComposeResult:
        """The box and the task's words above the line."""
        yield _Ticked(self._title)
        with Vertical(classes="line"):
            yield from super().compose()

    def input(self) -> Input:
        """The line, on which Space ticks."""
        return _Line(placeholder=self.placeholder, compact=True, select_on_focus=False)

    def on_click(self, event: events.Click) -> None:
        """A tap beside what is typed; in the line it only goes there."""
        if isinstance(event.widget, Input) or (
            isinstance(event.widget, Drawn) and not isinstance(event.widget, _Ticked)
        ):
            return
        self.turn()
        self.query_one(Input).focus(scroll_visible=False)

    def turn(self) -> None:
        """Done becomes not done, and anything else done; what was typed comes back with the next turn."""
        now = self.value
        was_done = _state(now) == "done"
        before = self._other if (_state(self._other) == "done") != was_done else ""
        self._other = now
        line = self.query_one(Input)
        line.value = before if was_done else before or TICK
        line.cursor_position = len(line.value)
        self._put = line.value == TICK

    def spaced(self) -> bool:
        """Tick by Space: an empty line, and one ticked so; say whether that was it, and no blank of a text."""
        if self.query_one(Input).value and not (self._put and self.value == TICK):
            return False
        self.turn()
        return True

    def on_input_changed(self, event: Input.Changed) -> None:
        """The box tells what is typed."""
        self._put = self._put and event.value == TICK
        ticked = self.query_one(_Ticked)
        ticked.state = _state(event.value)
        ticked.refresh()


class _Ticked(Drawn):
    """The box and the words, over the whole width."""

    state = ""

    def __init__(self, words: str) -> None:
        super().__init__()
        self._words = words

    def draw(self, width: int) -> list[Line]:
        """``[x] Kitchen: Lay the planks``."""
        return [filled(line, width) for line in paragraph(self._words, width, "", f"{box(self.state)} ")]

    def clicked(self, _target: Target) -> None:
        """The whole field is the target."""


class _Line(HintedInput):
    """A line of text on which Space ticks as long as it is empty."""

    def on_key(self, event: events.Key) -> None:
        """Space in an empty line, or in one that it ticked."""
        field = next((node for node in self.ancestors if isinstance(node, TickedField)), None)
        if event.key == "space" and field is not None and field.spaced():
            event.stop()
            event.prevent_default()


def _state(text: str) -> str:
    """What a text says of a task: done, under way, or neither."""
    from crewjobs.files.evening_text import read_answer

    try:
        answer = read_answer(text)
    except Refused:
        return ""
    return "done" if answer.done else "under way" if answer.far else ""
