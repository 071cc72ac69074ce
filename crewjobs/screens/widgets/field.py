"""A labeled field of a form, with the sentence about a fault right below it."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from textual.containers import Vertical
from textual.widgets import Input, Static

from crewjobs.screens.drawing import Line, Piece, Target
from crewjobs.screens.widgets.drawn import Drawn
from crewjobs.screens.widgets.hinted import HintedInput

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult


MOST_DIGITS: Final = 6
"""More than any count of cartons, minutes or tasks has: what is longer slipped from the finger."""


def whole(text: str) -> int | None:
    """Return a whole number as typed, None for anything else."""
    return int(text) if text.isdecimal() and len(text) <= MOST_DIGITS else None


def count_in(text: str, unit: str) -> float | None:
    """Return a count as typed in its unit: whole, but of metres to the centimetre; None for anything else."""
    if unit == "m" and re.fullmatch(r"[0-9]{1,6}\.[0-9]{1,2}", text):
        return float(text)
    return whole(text)


class _Steps(Drawn):
    """− and + behind a line."""

    def draw(self, _width: int) -> list[Line]:
        """Two targets of three columns."""
        return [[Piece(" − ", "key", -1), Piece(" + ", "key", 1)]]

    def clicked(self, target: Target) -> None:
        """A step."""
        field = next((node for node in self.ancestors if isinstance(node, Field)), None)
        if field is not None and isinstance(target, int):
            field.step(target)


class Field(Vertical):
    """One line high, two with a note. The label stands before the input."""

    def __init__(
        self,
        name: str,
        label: str,
        value: str = "",
        hint: str = "",
        *,
        id: str | None = None,
        step: Callable[[str, int], str] | None = None,
    ) -> None:
        """Take what it is; with a `step` there are − and + to tap, which make the next text of the one there."""
        super().__init__(id=id or f"field-{name}", classes="" if step is None else "-steps")
        self._step = step
        self.key = name
        self.label = label
        self._value = value
        self._hint = hint
        self.faulty = False
        """Whether what is said about it is a fault."""
        self.said_of = ""
        """The text that stood in its line when something was said about it last; a choice has no line."""

    def compose(self) -> ComposeResult:
        """Label and input on one line, the note below."""
        yield Static(self.label, markup=False, classes="label")
        yield self.input()
        if self._step is not None:
            yield _Steps()
        note = Static("", markup=False, classes="note")
        note.display = False
        yield note

    @property
    def placeholder(self) -> str:
        """What shows while it is empty."""
        return f"({self._hint})" if self._hint else ""

    def input(self) -> Input:
        """The line itself."""
        return HintedInput(self._value, placeholder=self.placeholder, compact=True, select_on_focus=False)

    def on_mount(self) -> None:
        """On a slow link the cursor stands still."""
        if getattr(self.app, "slow", False):
            for field in self.query(Input):  # a box to tick and a choice have none
                field.cursor_blink = False

    def on_click(self, event: events.Click) -> None:
        """A tap on the words before a line, or on what is said of it, goes to the line."""
        words = event.widget
        if isinstance(words, Static) and words.parent is self:
            parts = list(self.children)
            behind = parts[parts.index(words) :]
            for target in [one for one in (*behind, *parts) if one.focusable][:1]:
                target.focus()

    @property
    def value(self) -> str:
        """What is typed, without blanks around it."""
        return self.query_one(Input).value.strip()

    @property
    def typed(self) -> bool:
        """Whether something else stands in it than at the beginning."""
        return self.value != self._value.strip()

    def begin_with(self, value: str) -> None:
        """Write something into it that nobody typed."""
        self._value = self.query_one(Input).value = value

    def step(self, way: int) -> None:
        """One step on, or back."""
        if self._step is not None:
            line = self.query_one(Input)
            line.value = self._step(self.value, way)
            line.cursor_position = len(line.value)

    def note(self, sentence: str, *, wrong: bool = False) -> None:
        """Say something about this field, perhaps a fault; an empty sentence takes it back."""
        self.faulty = wrong and bool(sentence)
        lines = self.query(Input)
        self.said_of = lines.first().value if lines else ""
        note = self.query_one(".note", Static)
        note.update(sentence)
        note.display = bool(sentence)
