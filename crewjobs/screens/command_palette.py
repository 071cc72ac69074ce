"""The command palette, opened once however quickly it is asked for, and turned by page only where it has lines."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

from textual.command import CommandPalette

if TYPE_CHECKING:
    from textual.app import App


class Palette(CommandPalette):
    """Textual's, but for its list before anything was found: turning that by a page fails there (textual 8.2)."""

    def _action_command_list(self, action: str) -> None:
        with suppress(KeyError):
            super()._action_command_list(action)


def open_palette(app: App[None]) -> None:
    """Open it, unless it is open or still closing: two of them would share one place."""
    if app.use_command_palette and not any(isinstance(one, CommandPalette) for one in app.screen_stack):
        app.push_screen(Palette())
