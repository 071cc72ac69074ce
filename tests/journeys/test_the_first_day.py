"""Somebody who never saw the program: from no database to a printed day plan for one room, in the screens alone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from textual.events import Paste
from textual.pilot import Pilot
from textual.widgets import Button, Input, Select

from crewjobs.domain.job import JobState
from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.draft.answers import Answer
from crewjobs.screens.draft.form import DraftForm
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services import beginning
from crewjobs.services.beginning import Beginning
from crewjobs.services.clock import SystemClock
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database
from tests import quick_screens
from tests.builders import central
from tests.screens.conftest import front, press, refused, said, settled

SHOP_KEYS = ("Alder Floors", "enter", "pagedown", "Alder", "enter", "Pia, Jon", "ctrl+s")
JOB_KEYS = (
    *("Teo", "enter", "9 Quarry Road", "enter", "1994", "enter", "tab", "enter"),
    *("gray plank", "enter", "tab", "7 in x 48 in", "enter", "23.8 ft2", "enter", "enter"),
    *("den", "enter", "14' 6", "enter", "12' 3 1/2", "enter", "tab", "carpet", "enter", "sofa, desk", "pagedown"),
    *("tab", "tab", "36 in", "pagedown"),
    *("tab", "10", "enter", "enter", "tue 8:00", "enter"),
    *("Quarry den", "ctrl+s"),
)


@pytest.fixture
def first_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[], CrewApp]:
    """The screens over no database, on Monday 2 March 2026 at 6:30 in Chicago."""
    monkeypatch.setattr(SystemClock, "now", lambda _: central("2026-03-02", "06:30"))
    monkeypatch.setattr(beginning, "here", lambda: "America/Chicago")
    monkeypatch.setattr(CrewApp, "LOOK_AFTER_SECONDS", 0)
    path = tmp_path / "shop.sqlite3"
    return lambda: CrewApp(lambda: Office.at(database=path), tmp_path / "pages", lambda: Beginning(path), slow=True)


@pytest.fixture(autouse=True)
def quick():
    """Screens start without parsing their style sheets anew."""
    with quick_screens.installed():
        yield


async def keys(pilot: Pilot[None], *typed: str) -> None:
    """Press keys, and put texts in: short ones letter by letter, longer ones as a terminal pastes them."""
    for text in typed:
        if text in ("enter", "tab", "escape", "pagedown", "pageup") or text.startswith("ctrl+"):
            await press(pilot, text)
        else:
            await put_in(pilot, text)


async def put_in(pilot: Pilot[None], text: str) -> None:
    """Write into the field that has the cursor."""
    if len(text) < 6:
        await press(pilot, *text)
        return
    await settled(pilot)
    assert isinstance(pilot.app.focused, Input)
    pilot.app.focused.post_message(Paste(text))
    await settled(pilot)


def records(app: CrewApp) -> Office:
    """The office behind the screens."""
    assert isinstance(app.office, Office)
    return app.office


async def test_from_nothing_to_a_printed_day_by_keys_alone(first_run, tmp_path):
    """Set-up, first job, plan, print: Alder's page of Tuesday 3 March, the day the planks come, with the den's tasks."""
    app = first_run()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await keys(pilot, "enter", *SHOP_KEYS)
        assert app.shop == "Alder Floors"
        await keys(pilot, *JOB_KEYS)
        assert isinstance(app.screen, Choose)
        await keys(pilot, "enter")
        assert "day plan of" in said(app)
    pages = sorted(path.name for path in (tmp_path / "pages").iterdir())
    assert [Path(name).suffix for name in pages] == [".pdf", ".txt"]
    text = (tmp_path / "pages" / pages[1]).read_text(encoding="utf-8")
    assert "Quarry den" in text
    assert "gray plank" in text
    job = records(app).job(1)
    assert job.row.state == "booked"
    assert "carpet" in records(app).dump(1)


async def click(pilot: Pilot[None], what: object) -> None:
    """Click the middle of a widget."""
    await pilot.click(what)
    await settled(pilot)


async def button(pilot: Pilot[None], name: str) -> None:
    """Click a button of the dialog in front, scrolled to where it can be seen."""
    found = next(one for one in pilot.app.screen.query(Button) if one.name == name)
    if found.name.partition(":")[0] in ("add", "remove"):
        found.scroll_visible(animate=False)
        await settled(pilot)
    await click(pilot, found)


async def write(pilot: Pilot[None], key: str, text: str) -> None:
    """Click into a field; what is then typed stands in it."""
    field = next(one for one in pilot.app.screen.query(Answer) if one.key == key).query_one(Input)
    if not pilot.app.screen.query_one("#body").region.contains_region(field.region):
        field.scroll_visible(animate=False)
        await settled(pilot)
    await pilot.click(field)
    assert field.has_focus
    field.value = text


async def choose(pilot: Pilot[None], target: object) -> None:
    """Click a line of the list in front."""
    sheet = pilot.app.screen.query_one(Sheet)
    box = sheet.box(target)
    await pilot.click(sheet, offset=(box.left + 2, box.top - sheet.scroll_offset.y))
    await settled(pilot)


async def test_a_job_in_two_rooms_by_mouse_alone(first_run, tmp_path):
    """Nothing but clicks, and letters into the field clicked: shop, job, a second room with its doorway, another trim."""
    app = first_run()
    async with app.run_test(size=(120, 36)) as pilot:
        await settled(pilot)
        await choose(pilot, "shop")
        await write(pilot, "shop.name", "Alder")
        await button(pilot, "next")
        await write(pilot, "name", "Alder")
        await write(pilot, "workers", "Pia")
        await button(pilot, "keep")
        await write(pilot, "customer.name", "Teo")
        await write(pilot, "site.address", "9 Quarry")
        await choose(pilot, ("part", 1))
        await write(pilot, "plank", "7 in x 48 in")
        await write(pilot, "carton", "23.8 ft2")
        await button(pilot, "next")
        for name in ("den", "hall"):
            await write(pilot, "name", name)
            await write(pilot, "length", "9'")
            await write(pilot, "width", "8'")
            if name == "den":
                await button(pilot, "add:room")
        select = next(one for one in app.screen.query(Answer) if one.key == "trim").query_one(Select)
        await click(pilot, select)
        overlay = select.query_one("SelectOverlay")
        await pilot.click(overlay, offset=(3, 2))
        await settled(pilot)
        await button(pilot, "next")
        await write(pilot, "width", "32 in")
        await choose(pilot, ("add", "opening"))
        await write(pilot, "width", "32 in")
        await button(pilot, "next")
        await button(pilot, "remove")
        await button(pilot, "keep")
        await choose(pilot, "look")
    job = tmp_path / "shop.sqlite3"
    with open_database(job, create=False).reading() as uow:
        record = uow.job(1)
    assert [room.name for room in record.job.rooms] == ["den", "hall"]
    assert [opening.between for opening in record.job.openings] == [("den", "outside"), ("hall", "outside")]
    assert record.job.rooms[0].trim != record.job.rooms[1].trim


async def test_leaving_the_set_up_writes_nothing_and_going_back_keeps_all(first_run, tmp_path):
    """Typed, back to the welcome, in again: it is all there; then leaving: no file, no folder, the program ends."""
    app = first_run()
    async with app.run_test(size=(40, 20)) as pilot:
        await settled(pilot)
        await keys(pilot, "enter", "Alder Street Floors", "enter", "pagedown", "Alder", "pageup", "escape", "escape")
        await keys(pilot, "enter")
        assert isinstance(app.screen, DraftForm)
        assert [one.value for one in app.screen.query(Answer) if one.key == "shop.name"] == ["Alder Street Floors"]
        await keys(pilot, "pagedown")
        assert [one.value for one in app.screen.query(Answer) if one.key == "name"] == ["Alder"]
        await keys(pilot, "escape", "escape", "escape")
    assert list(tmp_path.iterdir()) == []
    assert app.return_code == 0


async def _set_up_and_taken_back(pilot: Pilot[None], app: CrewApp) -> None:
    """The shop is set up, its first job left, and the set-up taken back."""
    await settled(pilot)
    await keys(pilot, "enter", *SHOP_KEYS, "escape")
    await press(pilot, "u")
    assert "before these screens" not in app.screen.query_one(Sheet).text
    await press(pilot, "down", "enter")


async def test_a_set_up_that_is_taken_back_leads_to_the_first_choice(first_run):
    """No shop is there, and what it is begun with is asked as at first; set up anew, the program goes on."""
    app = first_run()
    async with app.run_test(size=(80, 24)) as pilot:
        await _set_up_and_taken_back(pilot, app)
        assert isinstance(app.screen, Choose)
        assert app.screen.title_text() == "No shop yet. How do you want to begin?"
        assert refused(app) == ""
        assert "The first line of the choice puts it back." in said(app)
        assert "U puts it back" not in said(app)  # the choice takes no U
        assert app.office is None
        await keys(pilot, "enter", *SHOP_KEYS)
        assert app.shop == "Alder Floors"
        assert isinstance(app.screen, DraftForm)
        await keys(pilot, "escape")
        await press(pilot, "U")
        assert "Nothing was taken back" in said(app)


async def test_a_set_up_that_is_taken_back_can_be_put_back(first_run):
    """The first choice offers it, too: the shop is there again."""
    app = first_run()
    async with app.run_test(size=(80, 24)) as pilot:
        await _set_up_and_taken_back(pilot, app)
        await press(pilot, "up", "enter")
        assert app.shop == "Alder Floors"
        assert app.screen is front(app)
        assert "shop Alder Floors set up" in said(app)
        assert records(app).shop_name() == "Alder Floors"


@pytest.mark.parametrize("keys_before", [(), ("3",), ("5",)])
async def test_a_set_up_that_another_program_takes_back_leads_to_the_first_choice(first_run, tmp_path, keys_before):
    """Beside open screens, as `crewjobs undo` does: what it is begun with is asked, and the first line puts it back."""
    app = first_run()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await keys(pilot, "enter", *SHOP_KEYS, "escape")
        await press(pilot, *keys_before)
        Office.at(database=tmp_path / "shop.sqlite3").undo()
        app.on_app_focus()
        await settled(pilot)
        assert isinstance(app.screen, Choose)
        assert app.screen.title_text() == "No shop yet. How do you want to begin?"
        assert "Put back what was taken back: shop Alder Floors set up." in app.screen.query_one(Sheet).text
        assert refused(app) == ""
        assert "another program took its set-up back" in said(app)
        await press(pilot, "up", "enter")
        assert app.shop == "Alder Floors"
        assert app.screen is front(app)
        assert records(app).shop_name() == "Alder Floors"


async def test_what_is_typed_is_not_left_for_the_first_choice(first_run, tmp_path):
    """The set-up is taken back beside an open form: it stays, says why it is not kept, and the choice comes when it is left."""
    app = first_run()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await keys(pilot, "enter", *SHOP_KEYS, "escape")
        await press(pilot, "plus", *"Teo")
        form = app.screen
        Office.at(database=tmp_path / "shop.sqlite3").undo()
        app.on_app_focus()
        front(app).load()
        await settled(pilot)
        assert app.screen is form
        assert app.focused.value == "Teo"
        await press(pilot, "escape", "escape")
        assert isinstance(app.screen, Choose)
        assert refused(app) == ""


async def test_the_demo_is_one_key_away(first_run, tmp_path, monkeypatch, demo_file):
    """The welcome's second line opens the demo, in its own file; nothing is written where the shop would be."""
    from crewjobs.services.demonstration.demo import demo_office

    monkeypatch.setattr(Beginning, "demo", lambda *_: demo_office(demo_file))
    app = first_run()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "down", "enter")
        assert app.demo
        assert "SPC" not in said(app)
    assert not (tmp_path / "shop.sqlite3").exists()


async def test_a_job_is_changed_and_called_off_and_both_are_taken_back(shop, tmp_path):
    """e, Whole job: the den becomes shorter; e, Call off: it is off the list; u, u: it is as it was."""
    before = shop.record().job
    app = CrewApp(lambda: shop.office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "e")
        await button(pilot, "whole")
        assert isinstance(app.screen, DraftForm)
        await keys(pilot, "pagedown", "pagedown", "enter")
        field = next(one for one in app.screen.query(Answer) if one.key == "length").query_one(Input)
        assert field.has_focus
        field.value = "10'"
        await keys(pilot, "ctrl+s")
        assert "changed" in said(app)
        assert shop.record().job.rooms != before.rooms
        await press(pilot, "e")
        await button(pilot, "off")
        assert shop.record().job.state is JobState.BOOKED, "asked first"
        await press(pilot, "down", "enter")
        assert shop.record().job.state is JobState.CALLED_OFF
        assert "called off" in said(app)
        await press(pilot, "u")
        assert shop.record().job.state is JobState.BOOKED
        await press(pilot, "u")
        assert front(app).PLACE == "jobs"
    assert shop.record().job == before
