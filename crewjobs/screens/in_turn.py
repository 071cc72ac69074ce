"""Keys in dialogs one after the other: each finds the field that the one before led to, however quickly they come."""

from __future__ import annotations

import asyncio
from contextlib import suppress
from time import monotonic
from typing import TYPE_CHECKING, Final

from textual import events
from textual.widgets import Input, TextArea

from crewjobs.screens.outcome import work

if TYPE_CHECKING:
    from textual.dom import DOMNode
    from textual.message_pump import MessagePump

    from crewjobs.screens.app import CrewApp

Struck = events.Key | events.Paste

_ROUNDS: Final = 3
"""How often what a key sets going is followed up: the key itself, what its field says then, what that sets going."""
_PAUSE: Final = 0.3
"""Seconds without a key after which what is struck is no longer meant for a page that was not turned to."""
_PATIENCE: Final = 1.0
"""Seconds after which a part that does not answer is waited for no longer."""


class InTurn:
    """Holds keys back while one before them is still at work in a dialog, and feeds them on in their order.

    A pasted text, or what a lagging link delivers at once, comes as it would from slow fingers. What is typed into a line
    waits for nothing: a line keeps its own order.
    """

    def __init__(self, app: CrewApp) -> None:
        self._app = app
        self._held: list[Struck] = []
        self._fed: Struck | None = None
        self._at_work = False
        self._dropping = 0.0
        """Until when what is struck is dropped."""

    def holds(self, event: Struck) -> bool:
        """Say whether it is held back for now; else what it sets going holds back what comes after it."""
        from crewjobs.screens.dialog import Dialog

        if event is self._fed:
            self._fed = None
            return False
        if monotonic() < self._dropping and getattr(event, "key", "") != "escape":
            self._dropping = monotonic() + _PAUSE
            return True
        if self._at_work:
            self._held.append(event)
            return True
        screen = self._app.screen
        if not isinstance(screen, Dialog):
            return False
        waits = not screen.stands.is_set()
        if waits or not self._is_text(event):
            if waits:
                self._held.append(event)
            self._at_work = True
            work(self._app, self._feed, "keys")
        return waits

    def drop(self) -> bool:
        """Let go of what is held, and of what follows it at once: it was meant for a page that is not turned to.

        Say whether that was anything.
        """
        dropped = bool(self._held)
        if dropped:
            self._held.clear()
            self._dropping = monotonic() + _PAUSE
        return dropped

    def _is_text(self, event: Struck) -> bool:
        field = self._app.focused
        return isinstance(field, Input | TextArea) and (isinstance(event, events.Paste) or event.is_printable)

    async def _feed(self) -> None:
        try:
            await self._over()
            while self._held:
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
            if isinstance(app.screen, Dialog):
                await app.screen.stands.wait()
                await self._reached(app)

    @staticmethod
    async def _reached(node: MessagePump) -> None:
        """Wait until a part has done all it was told before."""
        reached = asyncio.Event()
        if node.call_later(reached.set):
            with suppress(TimeoutError):
                await asyncio.wait_for(reached.wait(), _PATIENCE)
