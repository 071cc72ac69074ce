"""An app over the stand-in office, driven without a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from itertools import zip_longest
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input
from textual.worker import WorkerCancelled

from crewjobs.screens.app import CrewApp
from crewjobs.screens.base import CrewScreen
from crewjobs.screens.widgets.page_title import PageTitle
from crewjobs.screens.widgets.refusal import Sentences
from crewjobs.screens.widgets.sheet import Sheet
from tests import quick_screens
from tests.screens.fake_office import FakeOffice


@pytest.fixture(scope="session", autouse=True)
def quick() -> Iterator[None]:
    """Screens start without parsing their style sheets anew."""
    with quick_screens.installed():
        yield


@pytest.fixture(autouse=True)
def plain_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pictures do not depend on how the person who runs the tests has set up their terminal."""
    for name in ("NO_COLOR", "TEXTUAL_ANIMATIONS", "TEXTUAL_THEME", "TEXTUAL_FILTERS", "COLUMNS", "LINES"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def office() -> FakeOffice:
    """The invented shop."""
    return FakeOffice()


@pytest.fixture
def make_app(tmp_path: Path) -> Callable[[FakeOffice], CrewApp]:
    """An app that writes day plans into a scratch folder."""
    return lambda office: CrewApp(lambda: office, tmp_path)


async def settled(pilot: Pilot[None]) -> None:
    """Wait until no worker runs and everything is drawn; a question that a newer one makes void is no fault."""
    for _ in range(8):
        with suppress(WorkerCancelled):
            await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        if quick_screens.at_rest(pilot.app):
            break


async def press(pilot: Pilot[None], *keys: str) -> None:
    """Press keys one after the other, each with all its consequences; letters of a word follow each other as typed."""
    await settled(pilot)
    for key, then in zip_longest(keys, keys[1:], fillvalue=""):
        await pilot.press(key)
        if not (len(key) == len(then) == 1 and isinstance(pilot.app.focused, Input)):
            await settled(pilot)


def front(app: CrewApp) -> CrewScreen:
    """The screen in front."""
    assert app.front is not None
    return app.front


def title_of(app: CrewApp) -> str:
    """What the screen in front says on the left of the line above its sheet."""
    return "".join(piece.text for piece in front(app).query_one(PageTitle).left)


def said(app: CrewApp) -> str:
    """The status line."""
    return "\n".join(front(app).status.said)


def refused(app: CrewApp) -> str:
    """The refusal in sight, or nothing."""
    panel = front(app).refusal
    return " ".join(panel.query_one(Sentences).text.split()) if panel.display else ""


async def tap(pilot: Pilot[None], sheet: Sheet, target: object) -> None:
    """Click the middle of a target, wherever it stands on the sheet."""
    sheet.select(target)
    await settled(pilot)
    box = sheet.box(target)
    await pilot.click(sheet, offset=(box.left + 1, box.top - sheet.scroll_offset.y))
    await settled(pilot)
