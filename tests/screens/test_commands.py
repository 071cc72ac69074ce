"""The command palette reaches everything, help stands in dialogs too, and calendars are written from the screens."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from textual.widgets import Input

from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.commands import Commands
from crewjobs.screens.dialog import Dialog
from crewjobs.screens.help import HelpScreen
from crewjobs.screens.keys import MEANINGS
from crewjobs.screens.record.menu import _entries
from crewjobs.screens.widgets.page_title import PageTitle
from crewjobs.screens.widgets.sheet import Sheet
from tests.screens.conftest import press, said, settled, tap
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]
PLACES = [("1",), ("2",), ("3",), ("3", "enter"), ("4",), ("5",), ("5", "L"), ("6",)]
MOVES = {"walk", "leaf", "far", "go", "light"}
NAMED = {"new": "New job", "plan": "Plan the weeks"}
"""Keys whose command stands in the palette once, under its fuller name."""


@pytest.mark.parametrize("keys", PLACES, ids="-".join)
async def test_palette_reaches_every_key_and_form(keys: tuple[str, ...], office: FakeOffice, make_app: MakeApp) -> None:
    """Whatever a key does here but moving the hand, and every form there is to record with, stands in the palette."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, *keys)
        told = [(one.title, one.help) for one in app.get_system_commands(app.screen)]
        for active in app.screen.active_bindings.values():
            key = active.binding.key
            if key in MEANINGS and MEANINGS[key][0] not in MOVES and key != "f1":  # the help of ?, too
                kind, hidden = MEANINGS[key][0], not active.binding.show
                here = any(f"key {app.get_key_display(active.binding)}" == words for _, words in told)
                assert here or NAMED.get(kind) in [name for name, _ in told] or (kind == "step" and hidden), key
        about = app.front.about() if app.front is not None else None
        for entry in _entries():
            if about is not None and (about.job is not None or not entry.of_a_job):
                assert any(entry.words[1:] in title for title, _ in told), entry.words
        assert {"Calendar", "Day plans of today", "Palette: lamp", "Palette: daylight", "Slow link: on"} <= {
            one.title for one in app.get_system_commands(app.screen)
        }


async def test_the_palette_opens_once_and_pages_through_nothing(office: FakeOffice, make_app: MakeApp) -> None:
    """^p twice, pages turned before anything is found, closed and opened at once: the screens go on."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        app.action_command_palette()
        app.action_command_palette()
        await pilot.press("pageup", "pagedown", "pageup", "escape", "ctrl+p", "escape", "ctrl+p", "pagedown")
        await settled(pilot)
        await pilot.press("escape", "escape")
        await settled(pilot)
        assert app.is_running
        assert app.front is app.screen


async def test_palette_has_each_command_once_and_texts_of_the_job_in_hand(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """No command stands twice under two names; take-off, heights and the log open as text, a backup says where it is."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        for keys in (("2",), ("3",)):
            await press(pilot, *keys)
            names = [one.title for one in app.get_system_commands(app.screen)]
            assert len([name for name in names if name.startswith(("New job", "Plan"))]) == 2, names
        commands = {one.title: one.callback for one in app.get_system_commands(app.screen)}
        job = app.front.about().job if app.front is not None else None
        for title, words in (
            (f"Take-off, job {job}", "What it takes"),
            (f"Heights, job {job}", "Heights over the subfloor"),
            ("Printed sheets", "No sheet was printed yet."),
            ("Log of changes", "Nothing has been changed yet."),
        ):
            commands[title]()
            await settled(pilot)
            assert words in app.screen.query_one(Sheet).text
            await press(pilot, "escape")
        commands["Backup"]()
        await settled(pilot)
        assert "Copied to demo.db.backup" in said(app)
        await press(pilot, "5")
        names = [one.title for one in app.get_system_commands(app.screen)]
        assert {"Stage before", "Stage after", "Week sheet of this week"} <= set(names)


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        (("4", "w", "f1"), "What is typed stays"),
        (("2", "enter", "question_mark"), "Keys here"),
        (("4", "r", "question_mark"), "One of several"),
    ],
)
async def test_help_stands_in_dialogs(keys: tuple[str, ...], words: str, office: FakeOffice, make_app: MakeApp) -> None:
    """A dialog says what can be done in it; the key that opened help closes it, and the dialog is as it was."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        if keys[:2] == ("2", "enter"):
            await press(pilot, "2", "down")
            keys = keys[1:]
        await press(pilot, *keys)
        assert isinstance(app.screen, HelpScreen)
        assert words in " ".join(app.screen.query_one(Sheet).text.split())
        await press(pilot, "question_mark")
        assert isinstance(app.screen, Dialog)
        assert not isinstance(app.screen, HelpScreen)


async def test_a_key_pressed_in_help_closes_it_and_does_what_it_says(office: FakeOffice, make_app: MakeApp) -> None:
    """ "Keys here" can be pressed as they stand; a job's page is not called by the list it was opened from."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4", "question_mark", "right_square_bracket")
        assert not isinstance(app.screen, HelpScreen)
        assert "Tue 3 Mar" in app.screen.query_one(PageTitle).text
        await press(pilot, "question_mark", "3")
        assert app.current_mode == "jobs"
        await press(pilot, "enter", "question_mark")
        assert isinstance(app.screen, HelpScreen)
        assert app.screen.title_text() == "Help: a job's page"


async def test_a_question_mark_in_a_field_is_text(office: FakeOffice, make_app: MakeApp) -> None:
    """In a field ? is typed; F1 helps there."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4", "w", "question_mark")
        assert app.screen.query_one(Input).value == "?"


async def test_a_calendar_is_written_from_the_palette(office: FakeOffice, make_app: MakeApp) -> None:
    """The crew under the hand stands first; where the file is and what is other than before is said."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4")
        next(one for one in app.get_system_commands(app.screen) if one.title == "Calendar").callback()
        await settled(pilot)
        sheet = app.screen.query_one(Sheet)
        await tap(pilot, sheet, next(one for one in sheet.targets if isinstance(one, tuple) and one[0] == "crew"))
        assert [call for call in office.calls if call[0] == "calendars"] == [("calendars", "Birch", None)]
        assert "birch.ics: 3 events, 2 new, 1 no longer planned" in said(app)


async def test_a_persons_calendar_is_in_the_list(office: FakeOffice, make_app: MakeApp) -> None:
    """Who has small visits has a calendar, and it can be written alone; a job not under the hand is among all of them only."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4")
        next(one for one in app.get_system_commands(app.screen) if one.title == "Calendar").callback()
        await settled(pilot)
        sheet = app.screen.query_one(Sheet)
        listed = list(dict.fromkeys(one for one in sheet.targets if isinstance(one, tuple)))
        assert listed[-2:] == [("crew", "Adela Whitcomb"), ("all", None)]
        await tap(pilot, sheet, ("crew", "Adela Whitcomb"))
        assert [call for call in office.calls if call[0] == "calendars"] == [("calendars", "Adela Whitcomb", None)]


async def test_a_palette_is_worn_by_name(office: FakeOffice, make_app: MakeApp) -> None:
    """Each palette has its own command, so that one need not know which is on."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        for name in ("daylight", "daylight", "lamp"):
            next(one for one in app.get_system_commands(app.screen) if one.title == f"Palette: {name}").callback()
            assert app.theme == name


@pytest.mark.parametrize(
    ("word", "title"),
    [("theme", "Palette: lamp"), ("dark", "Palette: lamp"), ("zone", "Shop and crews"), ("shop", "Shop and crews")],
)
async def test_commands_are_found_by_what_they_do(word: str, title: str, office: FakeOffice, make_app: MakeApp) -> None:
    """A word that only the text behind a command's name says finds it, too."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        provider = Commands(app.screen)
        assert title in [str(hit.text) async for hit in provider.search(word)]


@pytest.mark.parametrize(
    ("word", "title"),
    [
        ("evening", "Evening: hours and sheet of a crew"),
        ("tick", "Tick a task"),
        ("furniture", "Furniture of a room"),
        ("stages", "Furniture stages"),
        ("cut list", "Cut list"),
        ("found", "Record: a finding: what was uncovered"),
        ("call off", "Call off a job"),
        ("cancel", "Call off a job"),
        ("restore", "Restore a backup"),
        ("walk through", "Record: walk-through before the work"),
        ("notice", "Notice for the customer"),
        ("shopping", "Shopping list of all booked jobs"),
    ],
)
async def test_the_week_finds_what_stands_elsewhere_by_peoples_words(
    word: str, title: str, office: FakeOffice, make_app: MakeApp
) -> None:
    """Best first: nothing that only has the letters somewhere stands before it."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        hits = [hit async for hit in Commands(app.screen).search(word)]
        best = max(hit.score for hit in hits)
        assert title in [str(hit.text) for hit in hits if hit.score == best], [(str(h.text), h.score) for h in hits]


async def test_what_stands_elsewhere_goes_there_and_asks_of_which_job(office: FakeOffice, make_app: MakeApp) -> None:
    """The evening of a crew opens from the week; a finding asks for its job where none is in hand."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        for word, title, told in (
            ("evening", "Evening: hours and sheet of a crew", "Evening"),
            ("call off", "Call off a job", "Edit job"),
            ("found", "Record: a finding: what was uncovered", "A finding, job"),
        ):
            hits = {str(hit.text): hit async for hit in Commands(app.screen).search(word)}
            hits[title].command()
            await settled(pilot)
            if isinstance(app.screen, Choose):
                await press(pilot, "enter")
            assert isinstance(app.screen, Dialog)
            assert told in app.screen.title_text()
            await press(pilot, "escape", "2")
        assert app.current_mode == "week"


async def test_pages_of_a_job_are_written_from_where_none_is_in_hand(office: FakeOffice, make_app: MakeApp) -> None:
    """The job is asked for; the shopping list of all booked jobs needs none."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        hits = {str(hit.text): hit async for hit in Commands(app.screen).search("page")}
        hits["Shopping list of all booked jobs"].command()
        await settled(pilot)
        assert office.calls[-1] == ("job_pages", "shopping-list", 0)
        assert "Shopping list of all booked jobs" in said(app)
        hits["Record for the file"].command()
        await settled(pilot)
        assert isinstance(app.screen, Choose)
        await press(pilot, "enter")
        assert office.calls[-1][:2] == ("job_pages", "job-record")
        assert office.calls[-1][2]
