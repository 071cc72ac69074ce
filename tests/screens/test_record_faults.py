"""A form that is refused says all that is wrong with it, each at its line, not one fault after the other."""

from __future__ import annotations

import pytest
from textual.widgets import Input, Static

from crewjobs.screens.widgets.field import Field
from tests.screens.conftest import press, settled
from tests.screens.fake_office import FakeOffice
from tests.screens.test_record import MakeApp, choose, fill

WRONG = "zz ??"

FORMS = (
    (
        ("3", "enter", "r"),
        "reading",
        "save",
        {"file": ""},
        {"values": "not a humidity", "hours": "belong to other", "material": "belong to other", "at": "not a day"},
    ),
    (
        ("3", "enter", "r"),
        "reading",
        "save",
        {},
        {"values": "leave it empty", "at": "leave it empty", "meter": "leave it empty", "hours": "belong to other"},
    ),
    (
        ("3", "enter", "r"),
        "reading",
        "save",
        {"kind": "slab rh"},
        {"values": "value in", "hours": "number of hours", "file": "It holds the air"},
    ),
    (("4", "r"), "hours", "save", {}, {"day": "not a day", "hours": "no hours of a day"}),
    (("4", "r"), "away", "save", {}, {"who": "nobody called", "day": "not a day"}),
    (("4", "r"), "away", "back", {}, {"who": "nobody called", "day": "not a day"}),
    (
        ("3", "enter", "r"),
        "visit",
        "save",
        {"kind": "reading"},
        {"who": "nobody called", "at": "moment", "minutes": "whole number"},
    ),
)


@pytest.mark.parametrize(("keys", "entry", "button", "more", "said"), FORMS)
async def test_all_that_is_wrong_is_said_at_once(
    office: FakeOffice,
    make_app: MakeApp,
    keys: tuple[str, ...],
    entry: str,
    button: str,
    more: dict[str, str],
    said: dict[str, str],
) -> None:
    """Every line holds what it cannot be: each is told at it."""
    app = make_app(office)
    async with app.run_test(size=(100, 50)) as pilot:
        await press(pilot, *keys)
        await choose(pilot, app, entry)
        for field in app.screen.query(Field):
            field.query_one(Input).value = WRONG
        await settled(pilot)
        await fill(pilot, app, button, more)
        notes = {
            field.key: str(note.content)
            for field in app.screen.query(Field)
            for note in field.query(".note").results(Static)
            if note.display
        }
        assert {key: notes.get(key, "") for key, words in said.items() if words not in notes.get(key, "")} == {}, notes
        assert office.log == []


async def test_a_day_off_asks_nothing_of_the_hours(office: FakeOffice, make_app: MakeApp) -> None:
    """What a button does not record is not what it stumbles over."""
    app = make_app(office)
    async with app.run_test(size=(100, 50)) as pilot:
        await press(pilot, "4", "r")
        await choose(pilot, app, "hours")
        await fill(pilot, app, "off", {"day": "2026-03-05", "hours": WRONG})
        assert len(office.log) == 1
