"""Dialogs of a few lines, such as what was agreed about a job, are kept while they are open: a dropped link loses nothing."""

from __future__ import annotations

import asyncio
import re
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Button, Input, Select

from crewjobs.domain.errors import OnHold
from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.said_below import SaidBelow
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.screens.widgets.yes_no import YesNo
from crewjobs.services.rows import Done
from tests.screens.conftest import press, settled
from tests.screens.fake_office import FakeOffice
from tests.screens.test_leaving import remembering
from tests.screens.test_small_forms_kept import contents, fault, gone

OPENED = {
    "edit": ("3", "enter", "e"),
    "how far": ("4", "f"),
    "lots": ("3", "enter", "l"),
    "rate": ("6", "enter"),
}
"""Each dialog, and the keys that open it."""


async def opened(pilot: Pilot[None], app: CrewApp, name: str) -> None:
    """Open a dialog, of the first one where it is asked of which."""
    await press(pilot, *OPENED[name])
    if isinstance(app.screen, Choose):
        await press(pilot, "enter")
    assert app.front is not app.screen


@pytest.mark.parametrize("name", list(OPENED))
async def test_what_is_typed_is_taken_up_and_left_is_gone(office: FakeOffice, tmp_path: Path, name: str) -> None:
    """Lines and boxes, of the same job, task and crew; left with Esc it is not offered again."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await opened(pilot, app, name)
        form = app.screen
        for place, field in enumerate(form.query(Field)):
            assert len(field.label) < 14, f"'{field.label}' is cut off before its line"
            field.query_one(Input).value = f"{place} typed"
        for box in form.query(YesNo):
            box.value = True
        await asyncio.sleep(1.1)  # without a word of the system: the process may be killed
        await settled(pilot)
        held = contents(app)
        assert "0 typed" in held[1]
    gone(app)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(40, 20)) as pilot:
        await settled(pilot)
        assert contents(again) == held
        assert "taken up as it was typed" in str(again.screen.query_one(SaidBelow).content)
        assert office.log == []
        await press(pilot, "escape", "escape")
        assert again.front is again.screen
    assert list((tmp_path / "forms").iterdir()) == []


async def test_taken_up_it_is_recorded(office: FakeOffice, tmp_path: Path) -> None:
    """Only what was typed is written, and what it did is told; lines that were left alone stand as they are stored now."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "edit")
        app.screen.query_one("#field-title Input", Input).value = "Den, all new"
        app.screen.query_one("#field-promised Input", Input).value = ""
        await settled(pilot)
        app.screen.keep_now()
    gone(app)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "ctrl+s")
        assert again.front is again.screen
        (changes,) = [call[-1] for call in office.calls if call[0] == "edit"]
        assert changes["title"] == "Den, all new"
        assert set(changes) <= {"title", "promised"}
        assert office.title == "Den, all new"


async def test_what_was_changed_meanwhile_is_looked_at_first(office: FakeOffice, tmp_path: Path) -> None:
    """Changed by somebody else since it was kept, it is not written over unseen, as in a form that stays open."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "edit")
        app.screen.query_one("#field-title Input", Input).value = "Den, all new"
        await settled(pilot)
        app.screen.keep_now()
    gone(app)
    office.version += 1
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "ctrl+s")
        assert "changed by somebody else" in fault(again)
        assert office.log == []
        look = next(one for one in again.screen.query(Button) if one.name == "look")
        assert look.display
        await pilot.click(look)
        await settled(pilot)
        await press(pilot, "ctrl+s")
        assert office.title == "Den, all new"


async def test_of_a_task_that_is_gone_it_is_said(office: FakeOffice, tmp_path: Path) -> None:
    """One sentence says what was typed, and that there is nothing any more for it."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "how far")
        await press(pilot, *"9/19")
        app.screen.keep_now()
        task, _job = re.findall(r"\d+", app.screen.title_text())
    gone(app)
    office.task_rows = tuple(row for row in office.task_rows if str(row.number) != task)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert isinstance(again.screen, Choose)
        told = " ".join(again.screen.query_one(Sheet).text.split())
        assert f"has no task {task} any more" in told
        assert "9/19" in told
        await press(pilot, "down", "enter")  # let go by hand
        assert again.front is again.screen
    assert list((tmp_path / "forms").iterdir()) == []


HELD = "Task is on hold: patch is curing. If it was done all the same, give the reason."


async def test_the_reason_that_a_held_task_asks_for_is_kept(office: FakeOffice, tmp_path: Path) -> None:
    """It is asked for in the dialog, right below why; without one nothing is recorded, and with what was kept it is."""
    record = office.how_far

    def held(job: int, task: int, text: str, *, at: str = "", because: str = "") -> Done:
        if not because:
            raise OnHold(HELD)
        return record(job, task, text, at=at, because=because)

    office.how_far = held  # type: ignore[method-assign]
    app = remembering(office, tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await opened(pilot, app, "how far")
        form = app.screen
        because = form.query_one("#field-because", Field)
        assert not because.display
        await press(pilot, *"9/19", "enter")
        assert because.display
        assert "patch is curing" in fault(app)
        await press(pilot, "enter")
        assert because.faulty
        assert office.log == []
        await press(pilot, *"seen dry")
        form.keep_now()
        held_texts = contents(app)
    gone(app)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(40, 20)) as pilot:
        await settled(pilot)
        assert contents(again) == held_texts
        assert again.screen.query_one("#field-because", Field).display
        assert "job 101?" in again.screen.title_text()
        await press(pilot, "ctrl+s")
        assert "patch is curing" in fault(again), "what holds it may be something else by now"
        await press(pilot, "ctrl+s")
        assert again.front is again.screen
        assert [call[3:] for call in office.calls if call[0] == "how_far"] == [("9/19", "", "seen dry")]


async def move_to(pilot: Pilot[None], app: CrewApp) -> None:
    """Open the first visit of the week, and choose another crew and day for it."""
    await press(pilot, "2", "enter")
    if isinstance(app.screen, Choose):
        await press(pilot, "enter")
    for pick in app.screen.query(Select):
        pick.value = next(value for _, value in reversed(pick._options) if value != pick.value)
    await settled(pilot)


async def test_where_a_visit_is_to_be_moved_to_is_kept(office: FakeOffice, tmp_path: Path) -> None:
    """Its crew and its day stand chosen again, and Pin keeps them; one left as it stands is nothing to keep."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await move_to(pilot, app)
        chosen = contents(app)
        await asyncio.sleep(1.1)  # without a word of the system: the process may be killed
        await settled(pilot)
    gone(app)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert contents(again) == chosen
        assert "taken up as it was typed" in str(again.screen.query_one(SaidBelow).content)
        await press(pilot, "ctrl+s")
        assert again.front is again.screen
        (pinned,) = [call for call in office.calls if call[0] == "pin"]
        assert set(chosen[1]) <= set(pinned)
        assert list((tmp_path / "forms").iterdir()) == []
        await press(pilot, "2", "enter")
        if isinstance(again.screen, Choose):
            await press(pilot, "enter")
        assert again.screen.kept() is None


async def test_of_a_visit_that_has_another_place_it_is_said(office: FakeOffice, tmp_path: Path) -> None:
    """Nothing is moved from where nobody saw it."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await move_to(pilot, app)
        app.screen.keep_now()
    gone(app)
    office.plan_number = 0
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert isinstance(again.screen, Choose)
        told = " ".join(again.screen.query_one(Sheet).text.split())
        assert "The plan has another place for this work" in told
        assert "It stood with " in told
