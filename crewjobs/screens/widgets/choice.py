"""One of several on one line: Space, ↓ or a letter opens its list, Enter takes there; closed, Enter goes on."""

from __future__ import annotations

from collections.abc import Hashable
from typing import TYPE_CHECKING, Final, TypeVar

from textual import on
from textual.widgets import Select
from textual.widgets._select import SelectCurrent, SelectOverlay

from crewjobs.screens.widgets.going_on import GoOn

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult

T = TypeVar("T", bound=Hashable)

_ONE_WORD: Final = 1.0
"""Seconds within which letters belong to one word."""


class Choice(Select[T]):
    """A choice in a form. Letters open its list at what begins so: nothing is changed before Enter takes it there."""

    def compose(self) -> ComposeResult:
        """What is picked, and the list."""
        yield SelectCurrent(self.prompt)
        yield _Options().data_bind(compact=Select.compact)

    def on_key(self, event: events.Key) -> None:
        """Enter goes on; letters and digits open. Once it is open, its list takes the keys."""
        if self.expanded:
            return
        if event.key == "enter":
            event.stop()
            event.prevent_default()
            self.post_message(GoOn(self))
        elif event.character is not None and event.character.isalnum():
            event.stop()
            event.prevent_default()
            self.action_show_overlay()
            options = self.query_one(_Options)
            options.begin()
            options.find(event.character.casefold(), event.time)

    @on(SelectOverlay.UpdateSelection)
    def _taken(self) -> None:
        """Taken by Enter, the form goes on, once it knows what was taken."""
        options = self.query_one(_Options)
        if options.goes_on:
            options.goes_on = False
            self.call_later(self.post_message, GoOn(self))


class _Options(SelectOverlay):
    """The list: letters jump to what begins so, Enter takes and goes on, Space takes where no word is begun, Esc leaves it."""

    goes_on = False
    """Whether what is taken was taken by Enter."""
    _typed, _typed_at = "", 0.0

    async def _on_key(self, event: events.Key) -> None:
        if event.key == "enter" or (event.key == "space" and not self._word(event.time)):
            event.stop()
            event.prevent_default()
            self.goes_on = event.key == "enter" and self.highlighted is not None
            self.action_select()
        elif event.character is not None and event.is_printable:
            event.stop()
            event.prevent_default()
            self.find(event.character.casefold(), event.time)

    def begin(self) -> None:
        """Another word begins, however soon after one before."""
        self._typed = ""

    def find(self, letter: str, now: float) -> None:
        """Jump to what begins with the word typed, the same letter again to the next; what begins none rings."""
        before = self._word(now)
        self._typed_at = now
        found = self._begin_with(before + letter)
        again = not found and before == letter
        if again:
            found = self._begin_with(letter)
        if not found:
            self.app.bell()
            return
        self._typed = letter if again else before + letter
        here = found.index(self.highlighted) if self.highlighted in found else -1
        self.select(found[(here + 1) % len(found)] if again or here < 0 else found[here])

    def _begin_with(self, typed: str) -> list[int]:
        return [place for place, option in enumerate(self.options) if str(option.prompt).casefold().startswith(typed)]

    def _word(self, now: float) -> str:
        if now - self._typed_at >= _ONE_WORD:
            self._typed = ""
        return self._typed
