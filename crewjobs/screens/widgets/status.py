"""What was done last, and what follows from it."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.reactive import reactive

from crewjobs.screens.drawing import Line, Piece, Target, paragraph, row, width_of
from crewjobs.screens.shortening import shortened
from crewjobs.screens.widgets.drawn import Drawn

if TYPE_CHECKING:
    from collections.abc import Sequence

    from crewjobs.screens.app import CrewApp
    from crewjobs.services.rows import Done


_HIGH, _LOW = 24, 3
"""Below so many lines of the screen, at most so many are given to what was said."""


class StatusLine(Drawn):
    """One sentence with a mark before it, and its follow-up sentences; nothing when nothing was done.

    What has no room is behind ``n``.
    """

    said: reactive[tuple[str, ...]] = reactive((), layout=True)
    busy: reactive[str] = reactive("", layout=True)
    undoable: reactive[bool] = reactive(False)
    _beside: tuple[str, ...] = ()
    """What another work told at its end while one was at work: it stands below the first thing that one tells."""
    takes: int | None = None
    """The change that is said, which undo takes back without asking; None: it asks first."""

    def done(self, done: Done, *, beside: bool = False) -> None:
        """Say what an action did; `beside` what another one told meanwhile, which stays."""
        self._beside = self._beside if beside else ()
        sentence, *then = self._kept((done.sentence, *done.then))
        self.said = (sentence, *self._beside, *then)
        self.undoable = bool(done.change)
        self.takes = done.change or None

    def say(self, *sentences: str, takes: int | None = None, lasts: bool = False) -> None:
        """Say something that needs no undo, or name the change that undo `takes` back next.

        What `lasts` is told at the end of a work: what is at work besides leaves it in sight when it ends.
        """
        self._beside = sentences if lasts else ()
        self.said = self._kept(sentences)
        self.undoable = False
        self.takes = takes

    def add(self, sentence: str) -> None:
        """Say one thing more, ahead of what follows from the last action."""
        self.said = (*self.said[:1], sentence, *self.said[1:])
        told = cast("CrewApp", self.app).told_last
        if told and told[0][:1] == self.said[:1]:
            told[0] = (*told[0][:1], sentence, *told[0][1:])

    def _kept(self, sentences: tuple[str, ...]) -> tuple[str, ...]:
        if sentences:
            told = cast("CrewApp", self.app).told_last
            if not told or told[0] != sentences:
                told.appendleft(sentences)
        return sentences

    def fade(self) -> None:
        """The hand goes on: where there is little room, it is for the sheet; what was said stays behind ``n``."""
        if self.said and self.screen.size.height < _HIGH:
            self.said, self.undoable = (), False

    def draw(self, width: int) -> list[Line]:
        """The sentences, wrapped."""
        if self.busy:
            return [[Piece(f" … {self.busy}", "muted")]]
        undo: Line = [Piece("u", "key", "undo"), Piece(" undo ", "muted", "undo")] if self.undoable else []
        room = width - 1 - width_of(undo)
        most = _LOW if self.screen.size.height < _HIGH else max(self.screen.size.height // 5, _LOW)
        lines, _ = self._wrapped(self.said, room)
        if len(lines) > most:
            lines = self._cut(room, most - 1)
        if lines and undo:
            lines[0] = row(lines[0], undo, width)
        return lines

    @staticmethod
    def _wrapped(sentences: Sequence[str], room: int) -> tuple[list[Line], list[int]]:
        """Return the lines, and after how many of them each sentence ends."""
        told: list[Line] = []
        ends: list[int] = []
        for number, sentence in enumerate(sentences):
            lead, style = (" = ", "strong") if number == 0 else ("   ", "")
            told += paragraph(sentence, room, style, lead)
            ends.append(len(told))
        return told, ends

    def _cut(self, room: int, kept: int) -> list[Line]:
        """Return so many lines and one that says how much is left out: of what was done its names, so that it is seen what it was."""
        first = shortened(self.said[0], lambda text: len(self._wrapped((text,), room)[0]) <= kept)
        told, ends = self._wrapped((first, *self.said[1:]), room)
        # As much as fits, whether or not a sentence ends there: its beginning says more than that there is one.
        begun = kept < len(told) and kept not in ends
        left = sum(end > kept for end in ends) - begun
        rest = f"   {'… ' if begun else ''}{f'and {left} more ' if left else ''}"
        return [
            *told[:kept],
            [Piece(rest, "muted", "more"), Piece("n", "key", "more"), Piece(" all", "muted", "more")],
        ]

    def clicked(self, target: Target) -> None:
        """Undo by click, or all that was said."""
        if target == "more":
            self.run_worker(self.app.run_action("app.answer"))
        if target == "undo" and self.undoable:
            self.run_worker(self.app.run_action("app.undo"))
