"""What the other screens and dialogs are made of is loaded while one reads the first: no key waits for it then."""

from __future__ import annotations

import asyncio
from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING, Final

from crewjobs.screens.outcome import outcome_of, work

if TYPE_CHECKING:
    from crewjobs.screens.app import CrewApp

_MODULES: Final = ("week", "jobs", "on_site", "rooms", "rates", "job", "help", "commands", "record.menu", "what_if")
_AFTER_SECONDS: Final = 0.5
"""The records are shown first."""


def warm(app: CrewApp) -> None:
    """Load them one by one beside the screens; what cannot be loaded is said where it is asked for."""
    if not app.is_headless:
        work(app, load, "warm")


async def load() -> None:
    """Load them in a thread, soon."""
    await asyncio.sleep(_AFTER_SECONDS)
    for name in _MODULES:
        await outcome_of(partial(import_module, f"crewjobs.screens.{name}"))
