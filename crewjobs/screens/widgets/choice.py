"""One of several on one line: Space or ↓ opens it, letters pick the option that begins so, Enter goes on."""

from __future__ import annotations

from collections.abc import Hashable
from typing import TYPE_CHECKING, Final, TypeVar

from textual.widgets import Select

from crewjobs.screens.widgets.going_on import GoOn

if TYPE_CHECKING:
    from textual import events

T = TypeVar("T", bound=Hashable)

_ONE_WORD: Final = 1.0
"""Seconds within which letters belong to one word."""


class Choice(Select[T]):
    """A choice in a form: what is typed on it while it is closed picks, and is never lost without a sign."""

    _typed, _typed_at = "", 0.0

    def on_key(self, event: events.Key) -> None:
        """Enter goes on; letters and digits pick. Once it is open, its list takes the keys."""
        if self.expanded:
            return
        if event.key == "enter":
            event.stop()
            event.prevent_default()
            self.post_message(GoOn(self))
        elif event.character is not None and event.character.isalnum():
            event.stop()
            event.prevent_default()
            self._pick(event.character.casefold(), event.time)

    def goes_on_from(self, other: Choice[T]) -> None:
        """Take over the word that is being typed on a choice in whose place this one stands."""
        self._typed, self._typed_at = other._typed, other._typed_at

    def _pick(self, letter: str, now: float) -> None:
        before = self._typed if now - self._typed_at < _ONE_WORD else ""
        self._typed_at = now
        for typed in (before + letter, letter):
            found = [value for words, value in self._options if str(words).casefold().startswith(typed)]
            if found:
                self._typed = typed
                # The same letter again goes on to the next option that begins so.
                again = len(typed) == 1 and self.value in found
                place = (found.index(self.value) + 1) % len(found) if again else 0
                self.value = found[place]
                return
        self._typed = ""
        self.app.bell()
