"""The panel that says no: what is wrong in the program's sentences, and a field for the reason where one may be given."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final, cast

from textual.containers import Vertical, VerticalScroll
from textual.widgets import Input

from crewjobs.screens.drawing import Line, Piece, Target, paragraph, width_of
from crewjobs.screens.widgets.drawn import Drawn
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.planning_line import PlanningLine

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from crewjobs.screens.app import CrewApp

Again = Callable[[str], None]
"""Repeats the refused action with a reason."""
NO_REASON: Final = "Without a reason nothing is recorded: write it here. Esc leaves all as it is."
_ROOM: Final = 7
"""So many lines of it are in sight, its heading among them (`crewjobs.tcss`)."""


class Sentences(Drawn):
    """The sentences of a refusal."""

    def __init__(self) -> None:
        super().__init__()
        self._title = ""
        self._sentences: tuple[str, ...] = ()
        self._whole = False

    def say(self, title: str, sentences: tuple[str, ...], *, whole: bool) -> None:
        """Show other sentences; `whole` says whether a key shows those that have no room."""
        self._title, self._sentences, self._whole = title, sentences, whole
        self.refresh(layout=True)

    def draw(self, width: int) -> list[Line]:
        """A heading and the sentences, wrapped."""
        lines: list[Line] = [[Piece(self._title, "warn"), Piece("  "), Piece("Esc closes", "muted", "close")]]
        for sentence in self._sentences:
            lines += paragraph(sentence, width)
        if len(lines) > _ROOM and self._whole:
            rest = "n shows the rest"
            if width_of(lines[0]) + len(rest) + 2 <= width:
                lines[0].append(Piece(f", {rest}", "muted", "close"))
            else:  # too narrow for one line
                lines.insert(1, [Piece(rest, "muted", "close")])
        return lines

    def clicked(self, _target: Target) -> None:
        """Close by click."""
        for node in self.ancestors:
            if isinstance(node, Refusal):
                node.close()


class Hint(Drawn):
    """What records it all the same, or with its words; a tap does, too."""

    def __init__(self) -> None:
        super().__init__(classes="hint")
        self._words = False

    def say(self, *, words: bool) -> None:
        """Tell of words that it is ticked with, or of a reason for what is on hold."""
        self._words = words
        self.refresh(layout=True)

    def draw(self, width: int) -> list[Line]:
        """One sentence, wrapped."""
        what = "records it, with these words" if self._words else "records it all the same, with this reason"
        return paragraph(f"Enter, or a tap here, {what}.", width, "muted", "", "record")

    def clicked(self, _target: Target) -> None:
        """Record it."""
        for node in self.ancestors:
            if isinstance(node, Refusal):
                node.record()


class Refusal(Vertical):
    """Hidden until something is refused. What was typed as the reason stays if it is refused again."""

    def __init__(self) -> None:
        super().__init__()
        self._again: Again | None = None
        self.display = False

    def compose(self) -> ComposeResult:
        """Sentences, a field, a hint."""
        with VerticalScroll(can_focus=False):
            yield Sentences()
        yield Field("because", "Because", id="because")
        yield Hint()

    def say(
        self, sentences: tuple[str, ...], again: Again | None = None, title: str = "Not done", *, words: bool = False
    ) -> None:
        """Show why not; with `again`, offer to repeat it with a reason, or with the `words` that alone are missing."""
        self._again = again
        # With a reason asked for, keys are text; what was said is behind n all the same, once it is closed.
        self.query_one(Sentences).say(title, sentences, whole=again is None)
        self.query_one(Hint).say(words=words)
        cast("CrewApp", self.app).told_last.appendleft((f"{title}:", *sentences))
        self.set_class(again is not None, "-reason")
        self.display = True
        self._tell()
        if again is not None:
            self.query_one(Input).focus()

    def close(self) -> None:
        """Hide and forget the reason."""
        if not self.display:
            return
        self.display = False
        self._tell()
        self._again = None
        self.query_one(Input).value = ""
        self.query_one(Field).note("")
        self.screen.focus_next("Sheet")

    def _tell(self) -> None:
        """What is at work says which Esc stops it."""
        for line in self.screen.query(PlanningLine):
            line.refused = self.display

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Repeat with the reason; an empty one is no reason."""
        event.stop()
        self.record()

    def on_input_changed(self, event: Input.Changed) -> None:
        """What was said of an empty reason goes once one is written."""
        if event.value.strip():
            self.query_one(Field).note("")

    def record(self) -> None:
        """Repeat what was refused with the reason that is written; an empty one is no reason, which is said at its line."""
        reason = self.query_one(Input).value.strip()
        if self._again is None:
            return
        self.query_one(Field).note("" if reason else NO_REASON)
        if reason:
            self._again(reason)
