"""One of several on one line: Space, ↓ or a letter opens its list, Enter takes there; closed, Enter goes on."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from types import MappingProxyType
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
    """A choice in a form. Letters open its list at what begins so: nothing is changed before Enter takes it there.

    `also` are the words that people have for some of its options, by what is shown of them: these find it where no option begins so.
    """

    also: Mapping[str, Sequence[str]] = MappingProxyType({})

    def compose(self) -> ComposeResult:
        """What is picked, and the list."""
        yield SelectCurrent(self.prompt)
        yield _Options(self.also).data_bind(compact=Select.compact)

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

    def __init__(self, also: Mapping[str, Sequence[str]]) -> None:
        super().__init__()
        self._also = also

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
        """Jump to what begins with the word typed, the same letter again to the next; of what begins none it rings and marks nothing."""
        before = self._word(now)
        self._typed_at = now
        found = self._begin_with(before + letter)
        again = not found and before == letter
        if again:
            found = self._begin_with(letter)
        if not found:
            # The letters stay one word: what follows them in haste is no other word's beginning. Nothing is marked, so Enter takes nothing.
            self._typed, self.highlighted = before + letter, None
            self.app.bell()
            return
        self._typed = letter if again else before + letter
        here = found.index(self.highlighted) if self.highlighted in found else -1
        self.select(found[(here + 1) % len(found)] if again or here < 0 else found[here])

    def _begin_with(self, typed: str) -> list[int]:
        names = [str(option.prompt) for option in self.options]
        named = [place for place, name in enumerate(names) if name.casefold().startswith(typed)]
        return named or [
            place
            for place, name in enumerate(names)
            if any(words.casefold().startswith(typed) for words in self._also.get(name, ()))
        ]

    def _word(self, now: float) -> str:
        if now - self._typed_at >= _ONE_WORD:
            self._typed = ""
        return self._typed
