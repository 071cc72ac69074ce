"""An app over the stand-in office, driven without a terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from textual.pilot import Pilot

from crewjobs.screens.app import CrewApp
from tests.screens.fake_office import FakeOffice


@pytest.fixture
def office() -> FakeOffice:
    """The invented shop."""
    return FakeOffice()


@pytest.fixture
def make_app(tmp_path: Path) -> Callable[[FakeOffice], CrewApp]:
    """An app that writes day plans into a scratch folder."""
    return lambda office: CrewApp(lambda: office, tmp_path)


async def settled(pilot: Pilot[None]) -> None:
    """Wait until no worker runs and everything is drawn."""
    for _ in range(3):
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()


async def press(pilot: Pilot[None], *keys: str) -> None:
    """Press keys one after the other, each with all its consequences."""
    await settled(pilot)
    for key in keys:
        await pilot.press(key)
        await settled(pilot)
