"""Keys one after the other: each finds the field or the dialog that the one before led to, however quickly they come."""

from __future__ import annotations

import asyncio
from contextlib import suppress
from time import monotonic
from typing import TYPE_CHECKING, Final

from textual import events
from textual.screen import ModalScreen
from textual.widgets import Input, TextArea

from crewjobs.screens.outcome import work
from crewjobs.screens.widgets.sheet import Sheet

if TYPE_CHECKING:
    from textual.dom import DOMNode
    from textual.message_pump import MessagePump
    from textual.screen import Screen
    from textual.worker import Worker

    from crewjobs.screens.app import CrewApp

Struck = events.Key | events.Paste

_ROUNDS: Final = 3
"""How often what a key sets going is followed up: the key itself, what its field says then, what that sets going."""
_PAUSE: Final = 0.3
"""Seconds without a key after which what is struck is no longer meant for a page that was not turned to."""
_PATIENCE: Final = 1.0
"""Seconds after which a part that does not answer is waited for no longer."""
_OPENS_WITHIN: Final = 5.0
"""Seconds after which a dialog that is asked for is waited for no longer; what was struck for it is dropped."""
_LOOKS: Final = 0.005
"""Seconds after which it is looked again whether it is there."""
_WALKS: Final = frozenset({"up", "down", "left", "right", "pageup", "pagedown", "home", "end", "j", "k"})
"""Keys that open nothing on a screen: they wait only for those before them."""
_LEAVES: Final = frozenset({"escape", "ctrl+c", "ctrl+q"})
"""Keys that are never dropped: they record nothing, and nobody is kept from leaving."""


class InTurn:
    """Holds keys back while one before them is still at work or opens a dialog, and feeds them on in their order.

    A pasted text, or what a lagging link delivers at once, comes as it would from slow fingers. What is typed into a line
    waits for nothing: a line keeps its own order. What would overtake it waits until it is in the line, such as ^s.
    """

    def __init__(self, app: CrewApp) -> None:
        self._app = app
        self._held: list[Struck] = []
        self._fed: Struck | None = None
        self._at_work = False
        self._begun = self._lost = False
        """Whether a screen has stood with what it shows, and whether a key before that did nothing."""
        self._dropping = 0.0
        """Until when what is struck is dropped."""
        self._openings: list[Worker[None]] = []
        """What opens a dialog once it has read what stands in it."""
        self._shut: list[Worker[None]] = []
        """What a closed dialog began and what is at work still."""
        self._laid_out: Screen[object] | None = None
        """The dialog that was waited for last, until it was painted."""

    def too_early(self) -> None:
        """Note that a key did nothing, since nothing is read yet that it could be about."""
        self._lost = not self._begun

    def first_stands(self) -> bool:
        """Note that a screen stands with what it shows; say whether keys before that did nothing. Of the first one alone that is asked."""
        lost, self._lost, self._begun = self._lost, False, True
        return lost

    def opens(self, opening: Worker[None]) -> None:
        """Hold what is struck from now on for the dialog that this opens: none of it is for what lies behind."""
        self._openings.append(opening)
        if not self._at_work:
            self._at_work = True
            work(self._app, self._feed, "keys")

    def shuts(self, working: Worker[None]) -> None:
        """Drop what is struck until this is done: it was meant for the dialog that began it, and not for the page behind."""
        self._shut.append(working)
        self._held.clear()

    def holds(self, event: Struck) -> bool:
        """Say whether it is held back for now; else what it sets going holds back what comes after it."""
        from crewjobs.screens.dialog import Dialog

        if event is self._fed:
            self._fed = None
            return False
        if self.drops() and getattr(event, "key", "") not in _LEAVES:
            self._dropping = monotonic() + _PAUSE
            return True
        if self._at_work:
            if getattr(event, "key", "") == "escape" and self._is_opening():
                self._leave_off()
            else:
                self._held.append(event)
            return True
        screen = self._app.screen
        if not isinstance(screen, Dialog) and getattr(event, "key", "") in _WALKS:
            if not isinstance(screen, ModalScreen):
                self.too_early()
            return False
        waits = isinstance(screen, Dialog) and (not screen.stands.is_set() or self._overtakes(event))
        if waits or not self._is_text(event):
            if waits:
                self._held.append(event)
            self._at_work = True
            work(self._app, self._feed, "keys")
        return waits

    def drops(self) -> bool:
        """Say whether what is struck now is dropped: it follows at once what was meant for something that is not there."""
        return self._is_shut() or monotonic() < self._dropping

    def drop(self) -> bool:
        """Let go of what is held, and of what follows it at once: it was meant for a page that is not turned to.

        Say whether that was anything.
        """
        dropped = bool(self._held)
        if dropped:
            self._held.clear()
            self._dropping = monotonic() + _PAUSE
        return dropped

    def _leave_off(self) -> None:
        """Esc before the dialog is there: it does not open, and what was struck for it is gone."""
        for opening in self._openings:
            opening.cancel()
        self._held.clear()

    def _is_text(self, event: Struck) -> bool:
        field = self._app.focused
        return isinstance(field, Input | TextArea) and (isinstance(event, events.Paste) or event.is_printable)

    def _overtakes(self, event: Struck) -> bool:
        """Say whether it is acted on before the line under the hand has what was typed into it."""
        active = self._app.screen.active_bindings.get(getattr(event, "key", ""))
        return active is not None and active.binding.priority

    async def _feed(self) -> None:
        text = False
        try:
            await self._over()
            while self._held:
                if text and self._overtakes(self._held[0]):
                    await self._over()
                self._fed = self._held.pop(0)
                text = self._is_text(self._fed)
                self._app.post_message(self._fed)
                await self._reached(self._app)
                if not text:
                    await self._over()
        finally:
            self._at_work = False

    async def _over(self) -> None:
        """Wait until all is done that the last key set going."""
        from crewjobs.screens.dialog import Dialog

        app = self._app
        field: DOMNode = app.focused or app.screen
        for _ in range(_ROUNDS):
            for node in (app, *field.ancestors_with_self, app, app.screen, app):
                await self._reached(node)
            await self._opened()
            screen = app.screen
            if isinstance(screen, Dialog):
                await screen.stands.wait()
                if screen is not self._laid_out:
                    self._laid_out = screen
                    await self._painted(screen)
                await self._reached(app)

    def _is_shut(self) -> bool:
        self._shut = [working for working in self._shut if not working.is_finished]
        return bool(self._shut)

    def _is_opening(self) -> bool:
        return not all(opening.is_finished for opening in self._openings)

    async def _opened(self) -> None:
        """Wait for the dialog that is asked for; where none comes up, what was struck for it is dropped."""
        if not self._openings:
            return
        until = monotonic() + _OPENS_WITHIN
        while self._is_opening() and monotonic() < until:
            await asyncio.sleep(_LOOKS)
        self._openings.clear()
        await self._reached(self._app)
        if not isinstance(self._app.screen, ModalScreen):
            self.drop()
        # Enter again and again before it is there was meant for what lies behind: it must not go through a form and save it.
        while self._held and getattr(self._held[0], "key", "") == "enter":
            self._held.pop(0)

    async def _painted(self, screen: Screen[object]) -> None:
        """Wait until a dialog is laid out: before, its lists know no lines to walk."""
        painted = asyncio.Event()
        if screen.call_after_refresh(painted.set):
            with suppress(TimeoutError):
                await asyncio.wait_for(painted.wait(), _PATIENCE)
        for sheet in screen.query(Sheet):
            await self._reached(sheet)
        await self._reached(screen)

    @staticmethod
    async def _reached(node: MessagePump) -> None:
        """Wait until a part has done all it was told before."""
        reached = asyncio.Event()
        if node.call_later(reached.set):
            with suppress(TimeoutError):
                await asyncio.wait_for(reached.wait(), _PATIENCE)
