"""Keys struck faster than screens answer: a cat on the keyboard, a sentence typed at the wrong window."""

from __future__ import annotations

import asyncio
import random
from collections.abc import Callable
from contextlib import suppress
from typing import NoReturn

import pytest
from textual import events
from textual.app import App
from textual.keys import _character_to_key
from textual.pilot import Pilot
from textual.widgets import Input
from textual.worker import WorkerCancelled

from crewjobs.domain.errors import Refused
from crewjobs.screens.app import CrewApp
from crewjobs.screens.dialog import Dialog
from crewjobs.screens.draft.form import DraftForm
from crewjobs.screens.record.form import Form
from crewjobs.screens.widgets.field import Field
from tests import thorough
from tests.screens.conftest import front, press, settled
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]
KEYS = (*"123456ubaslryncepfdhixtmoLUP?/+-., 7", "enter", "escape", "tab", "up", "down", "left", "right", "space")
OFTEN = ("enter", "escape", "escape", *"123456")


def strike(app: App[None], *keys: str) -> None:
    """Strike keys all at once: none waits for what the one before does."""
    for key in keys:
        app.post_message(events.Key(_character_to_key(key) if len(key) == 1 else key, key if len(key) == 1 else None))


async def rest(pilot: Pilot[None]) -> None:
    """Wait until all is done that a burst began, and until a key is no more taken for the rest of it.

    What it began and made void is no fault.
    """
    assert isinstance(pilot.app, CrewApp)
    for _ in range(50):
        with suppress(WorkerCancelled):
            await settled(pilot)
            if not pilot.app.in_turn.drops():
                return
        await asyncio.sleep(0.02)
    raise AssertionError("It does not come to rest.")


async def closed(pilot: Pilot[None], app: CrewApp) -> None:
    """Close whatever stands above the screen in front."""
    for _ in range(20):
        if len(app.screen_stack) == 1:
            return
        await press(pilot, "escape")
        await rest(pilot)
    raise AssertionError(app.screen_stack)


@pytest.mark.parametrize("seed", thorough.of(range(30), 4))
async def test_no_burst_of_keys_ends_the_screens(seed: int, office: FakeOffice, make_app: MakeApp) -> None:
    """Bursts of any keys at each of the six screens: they go on, and 1 is Waiting at last."""
    chance = random.Random(seed)
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        for screen in "123456":
            for _ in range(2):
                strike(app, screen, *(chance.choice((*KEYS, *OFTEN)) for _ in range(12)))
                await rest(pilot)
        await closed(pilot, app)
        await press(pilot, "1")
        await closed(pilot, app)
        assert front(app).PLACE == "waiting"


async def test_a_dialog_closes_once_and_nothing_else(office: FakeOffice, make_app: MakeApp) -> None:
    """Esc struck twice closes the dialog, not the page it was opened from; one that help stands above waits for it."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "r")
        page, menu = app.screen_stack[-2:]
        strike(app, "escape", "escape")
        await rest(pilot)
        assert app.screen in (page, front(app))
        assert menu not in app.screen_stack
        app.open_job(101)
        await rest(pilot)
        await press(pilot, "r", "question_mark")
        menu, above = app.screen_stack[-2:]
        assert isinstance(menu, Dialog)
        menu.dismiss(None)
        menu.dismiss(None)
        await rest(pilot)
        assert app.screen is above
        await press(pilot, "escape")
        assert menu not in app.screen_stack


@pytest.mark.parametrize("times", range(2))
async def test_keys_struck_before_a_form_stands_are_for_the_form(
    times: int, office: FakeOffice, make_app: MakeApp
) -> None:
    """What is typed right behind + is the new job's customer: nothing of it is taken back, opened or recorded behind."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "1")
        strike(app, "plus", *"uaOlga rTamm")
        await rest(pilot)
        form = app.screen
        assert isinstance(form, DraftForm)
        assert [type(screen) for screen in app.screen_stack[1:]] == [DraftForm]
        assert form.query(Input).first().value == "uaOlga rTamm"
        assert office.calls == []


async def test_keys_struck_before_a_list_stands_walk_it(office: FakeOffice, make_app: MakeApp) -> None:
    """The second ↓ is not lost, and what follows Enter is typed into the form that it opens."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter")
        strike(app, "r", "down", "down", "enter", *"70F 40%")
        await rest(pilot)
        form = app.screen
        assert isinstance(form, Form)
        assert form.title_text() == "A reading, job 101"
        assert form.query_one("#field-values", Field).value == "70F 40%"


@pytest.mark.parametrize("before", [(), ("7", "0", "backspace", "backspace")])
async def test_what_is_typed_before_ctrl_s_is_kept_by_it(
    before: tuple[str, ...], office: FakeOffice, make_app: MakeApp
) -> None:
    """In one burst: it takes the line with all that was typed before it, and not as it was."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4", "f")
        strike(app, *before, *"50 %", "ctrl+s")
        await rest(pilot)
        assert [(name, *rest[2:3]) for name, *rest in office.calls] == [("how_far", "50 %")]


async def test_esc_before_a_form_stands_leaves_it_off(office: FakeOffice, make_app: MakeApp) -> None:
    """Nothing opens afterwards; and where nothing can be opened, what was struck for it does nothing."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "1")
        strike(app, "plus", "u", "escape")
        await rest(pilot)
        await closed(pilot, app)
        assert office.calls == []
        office.job = refuse  # type: ignore[method-assign,assignment]
        await press(pilot, "3")
        strike(app, "e", *"u2")
        await rest(pilot)
        assert front(app).PLACE == "jobs"
        assert office.calls == []


def refuse(*_: object) -> NoReturn:
    """Refuse to read a job."""
    raise Refused("It cannot be read.")
