"""Forms of few lines are kept while they are open: a dropped link loses none of them, and none is recorded twice unseen."""

from __future__ import annotations

import asyncio
import json
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, Select

from crewjobs.domain.errors import Refused
from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.screens.widgets.yes_no import YesNo
from crewjobs.services.places import PlacesView
from crewjobs.services.rows import Done
from tests.screens.conftest import press, said, settled
from tests.screens.fake_office import FakeOffice
from tests.screens.test_leaving import remembering

OPENED = {
    "reading": ("3", "enter", "r"),
    "found": ("3", "enter", "r"),
    "away": ("4", "right", "r"),
    "answered": ("3", "enter", "r"),
    "arrived": ("3", "enter", "a"),
    "furniture": ("5", "e"),
}
"""Each form, and the keys that open it or the list it is in."""


async def opened(pilot: Pilot[None], app: CrewApp, name: str) -> None:
    """Open a form."""
    await press(pilot, *OPENED[name])
    if isinstance(app.screen, Choose) and OPENED[name][-1] == "r":
        app.screen.query_one(Sheet).select(name)
        await press(pilot, "enter")
    elif isinstance(app.screen, Choose):
        await press(pilot, "enter")


def contents(app: CrewApp) -> tuple[str, list[object]]:
    """What the form in front holds: its title, and its lines, choices and boxes."""
    form = app.screen
    lines = [field.value for field in form.query(Field)]
    return form.title_text(), [
        *lines,
        *(one.value for one in form.query(Select)),
        *(one.value for one in form.query(YesNo)),
    ]


def fault(app: CrewApp) -> str:
    """What is said below the lines."""
    return str(app.screen.query_one("#fault").content)


def gone(app: CrewApp) -> None:
    """The process is gone: its lock is free."""
    assert app.forms is not None
    if app.forms._lock is not None:
        app.forms._lock.release()


@pytest.mark.parametrize("name", list(OPENED))
async def test_what_is_typed_is_taken_up_and_left_is_gone(office: FakeOffice, tmp_path: Path, name: str) -> None:
    """Lines, choices and boxes, of the same job, crew and day; left with Esc it is not offered again."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await opened(pilot, app, name)
        form = app.screen
        for place, field in enumerate(form.query(Field)):
            assert len(field.label) < 14, f"'{field.label}' is cut off before its line"
            field.query_one(Input).value = f"{place} typed"
        for pick in form.query(Select):
            pick.value = [value for _, value in pick._options if isinstance(value, str)][-1]
        for box in form.query(YesNo):
            box.value = True
        await settled(pilot)
        held = contents(app)
        form.keep_now()
    gone(app)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(40, 20)) as pilot:
        await settled(pilot)
        assert contents(again) == held
        assert "taken up as it was typed" in fault(again)
        assert office.log == []
        await press(pilot, "escape", "escape")
        assert again.front is again.screen
    assert list((tmp_path / "forms").iterdir()) == []


async def test_recorded_it_is_not_offered_again(office: FakeOffice, tmp_path: Path) -> None:
    """Taken up, it is recorded as if it had been typed now, and told."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "reading")
        await press(pilot, *"70F 40%")
        app.screen.keep_now()
    gone(app)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "ctrl+s")
        assert again.front is again.screen
        assert "is recorded." in said(again)
        assert len(office.log) == 1
    third = remembering(office, tmp_path)
    async with third.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert third.front is third.screen


async def test_of_a_job_that_is_gone_it_is_said(office: FakeOffice, tmp_path: Path) -> None:
    """Which form, of which job and what was typed is told; it stays kept, and is opened once the job is there again."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "reading")
        await press(pilot, *"70F 40%")
        app.screen.keep_now()
        number = app.job
    gone(app)
    rows = office.job_rows
    office.job_rows = tuple(row for row in rows if row.number != number)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert isinstance(again.screen, Choose)
        told = " ".join(again.screen.query_one(Sheet).text.split())
        assert f"A reading, job {number}, kept from" in told
        assert "Typed in it: " in told
        assert "70F 40%" in told
        assert f"There is no job {number} any more." in told
        await press(pilot, "escape")
    gone(again)
    office.job_rows = rows
    third = remembering(office, tmp_path)
    async with third.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert third.screen.query(Field).first().value == "70F 40%"


async def test_of_a_room_that_is_gone_it_is_said(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So it is where the job has no such room any more: what was typed is told, and stays kept until it is let go."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "furniture")
        form = app.screen
        form.query(Input).last().value = "sofa, piano"
        await settled(pilot)
        form.keep_now()
        assert list((tmp_path / "forms").glob("*.json"))
    gone(app)
    seen = office.rooms
    monkeypatch.setattr(office, "rooms", lambda job: replace(seen(job), rooms=()))
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert isinstance(again.screen, Choose)
        told = " ".join(again.screen.query_one(Sheet).text.split())
        assert "sofa, piano" in told
        assert "has no room" in told
        again.screen.query_one(Sheet).select("go")
        await press(pilot, "enter")
        assert again.front is again.screen
    assert list((tmp_path / "forms").iterdir()) == []


async def test_an_answer_that_was_lost_is_told(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Written, but ended before it was said: what was recorded since is named before one records it again."""
    office.version = 0  # its changes are numbered from 1
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "reading")
        await press(pilot, *"70F 40%")
        monkeypatch.setattr(app.forms, "drop", lambda: None)
        await press(pilot, "ctrl+s")
    (change,) = [what for what, _ in office.log]
    gone(app)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert f"Recorded since then: {change}" in fault(again)
        assert "leave it with Esc" in fault(again)
        assert len(office.log) == 1


async def test_gone_while_it_is_recorded_it_is_written_once(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The terminal goes before the answer: what is being written is kept as such, and let go as soon as it is written."""
    begun, goes_on, read_air = threading.Event(), threading.Event(), office.read_air

    def slow(*said: object, **more: object) -> Done:
        begun.set()
        goes_on.wait(10)
        return read_air(*said, **more)

    monkeypatch.setattr(office, "read_air", slow)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "reading")
        await press(pilot, *"70F 40%")
        form = app.screen
        form.pressed("save")
        await asyncio.to_thread(begun.wait, 10)
        form.keep_now()
        (file,) = (tmp_path / "forms").glob("*.json")
        assert json.loads(file.read_text())["sent_after"] == office.last_change()
        goes_on.set()
        await settled(pilot)
        assert len(office.log) == 1
    assert list((tmp_path / "forms").iterdir()) == []


async def test_what_was_not_written_yet_is_not_called_recorded(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ended before anything was written, it is offered as it was typed."""

    def no(*_: object, **__: object) -> Done:
        raise Refused("the moment has not come.")

    monkeypatch.setattr(office, "read_air", no)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "reading")
        await press(pilot, *"70F 40%", "ctrl+s")
        assert "the moment has not come" in fault(app)
    gone(app)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "Nothing of this is written yet" in fault(again)


async def test_what_is_no_more_to_be_picked_is_said(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A place that was renamed meanwhile is not taken for another one."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "found")
        app.screen.query_one("#pick-place", Select).value = "kitchen"
        app.screen.query_one("#field-words Input", Input).value = "soft"
        await settled(pilot)
        app.screen.keep_now()
    gone(app)
    places = office.places(101)
    assert isinstance(places, PlacesView)
    monkeypatch.setattr(office, "places", lambda _job: PlacesView(rooms=("den",), stairs=(), ways=places.ways))
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "Where: 'kitchen' is no more to be picked" in fault(again)
        assert again.screen.query_one("#field-words", Field).value == "soft"
        assert again.screen.query_one("#pick-place", Select).value != "kitchen"


async def test_what_was_deleted_does_not_come_back(office: FakeOffice, tmp_path: Path) -> None:
    """A line that was emptied stands as at the beginning: nothing is kept of it any more, also where the terminal goes at once."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        for at_once in (False, True):
            await opened(pilot, app, "reading")
            await press(pilot, *"70F")
            app.screen.keep_now()
            assert list((tmp_path / "forms").glob("*.json"))
            await press(pilot, "backspace", "backspace", "backspace")
            if at_once:
                app.screen.keep_now()
            else:
                await asyncio.sleep(1.2)
                await settled(pilot)
            assert list((tmp_path / "forms").iterdir()) == []
            await press(pilot, "escape")


async def test_who_types_without_a_pause_is_kept(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each key comes before the pause is over: after a few seconds what is typed is kept all the same."""
    monkeypatch.setattr("crewjobs.screens.kept_dialog._PAUSE", 30.0)
    monkeypatch.setattr("crewjobs.screens.kept_dialog._LONGEST", 0.5)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "reading")
        for key in "70F 40%":
            await pilot.press(key)
            await asyncio.sleep(0.2)
        assert list((tmp_path / "forms").glob("*.json"))
