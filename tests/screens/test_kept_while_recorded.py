"""A form whose recording was begun and never answered: what was recorded since is told, until that is answered."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.draft.form import DraftForm
from crewjobs.screens.draft.jobs import ask_whole_job
from crewjobs.screens.widgets.field import Field
from crewjobs.services.forms.draft import Draft
from crewjobs.services.forms.kept import NOT_SENT
from crewjobs.services.rows import ChangeRow, Done
from tests.screens import fake_rows
from tests.screens.conftest import press, settled
from tests.screens.fake_office import FakeOffice
from tests.screens.test_kept_waits import fault, gone, told
from tests.screens.test_leaving import remembering
from tests.screens.test_small_forms_kept import opened


@pytest.fixture
def office() -> FakeOffice:
    """Its changes are numbered from 1."""
    found = FakeOffice()
    found.version = 0
    return found


def lost(app: CrewApp, monkeypatch: pytest.MonkeyPatch) -> None:
    """The process ends after the writing, before the form is closed."""
    monkeypatch.setattr(app.forms, "drop", lambda: None)


def as_kept(folder: Path) -> dict[str, object]:
    """What the only file holds."""
    (file,) = (folder / "forms").glob("*.json")
    found = json.loads(file.read_text(encoding="utf-8"))
    assert isinstance(found, dict)
    return found


async def test_a_new_job_that_was_made_is_told(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Made, but gone before it was said: the form says what was recorded since, and not that nothing is written."""
    monkeypatch.setattr(office, "keep_draft", lambda _draft: office._write("Job 102 is made."))
    monkeypatch.setattr(DraftForm, "_is_right", _right)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "+", *"Rivera")
        lost(app, monkeypatch)
        app.screen.action_keep()
        await settled(pilot)
    assert len(office.log) == 1
    gone(app)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert isinstance(again.screen, DraftForm)
        assert f"Recorded since then: {office.log[0][0]}" in fault(again)
        assert "Nothing of this is written yet" not in fault(again)


@pytest.mark.parametrize("ending", [True, False])
async def test_what_is_written_to_its_end_after_the_terminal_went_is_told(
    office: FakeOffice, tmp_path: Path, ending: bool
) -> None:
    """Nobody saw its answer: the next start says that it is recorded, so that it is not typed once more."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "reading")
        await press(pilot, *"70F 40%")
        app.ending = ending
        await press(pilot, "ctrl+s")
        assert app.front is app.screen
    assert len(office.log) == 1
    gone(app)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        if ending:
            assert f"Recorded since then: {office.log[0][0]}" in " ".join(fault(again).split())
        else:
            assert again.front is again.screen


async def test_a_changed_job_that_was_written_is_told(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It cannot be opened again, for it stands otherwise by now: with that what was recorded since is said."""
    seen = office.job_draft

    def draft(number: int) -> Draft:
        found = seen(number)
        found.seen = f"{len(office.log)} changes"
        return found

    monkeypatch.setattr(office, "job_draft", draft)
    monkeypatch.setattr(office, "keep_draft", lambda _draft: office._write("Job 101 is changed."))
    monkeypatch.setattr(DraftForm, "_is_right", _right)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        ask_whole_job(app.front, 101)
        await settled(pilot)
        await press(pilot, *"Rivera")
        lost(app, monkeypatch)
        app.screen.action_keep()
        await settled(pilot)
    gone(app)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert isinstance(again.screen, Choose)
        assert f"Recorded since then: {office.log[0][0]}" in told(again)


async def _right(_form: object) -> bool:
    """Nothing is wrong in it."""
    return True


@pytest.mark.parametrize("typed_on", [False, True])
async def test_a_second_drop_forgets_nothing(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, typed_on: bool
) -> None:
    """Opened again and gone again, with nothing recorded or left: it is told as the first time."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "reading")
        await press(pilot, *"70F 40%")
        lost(app, monkeypatch)
        await press(pilot, "ctrl+s")
    (change,) = [what for what, _ in office.log]
    for _ in range(2):
        gone(app)
        app = remembering(office, tmp_path)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            assert f"Recorded since then: {change}" in fault(app)
            if typed_on:
                await press(pilot, "x")
            app.screen._keep_later()
            await settled(pilot)


async def test_refused_again_it_still_tells_what_was_recorded_first(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A refusal answers for its own recording, not for the one before whose answer was lost."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "reading")
        await press(pilot, *"70F 40%")
        lost(app, monkeypatch)
        await press(pilot, "ctrl+s")
    gone(app)
    office.says_no = "the moment has not come."
    monkeypatch.setattr(office, "read_air", lambda *_, **__: office.ready(101))
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "ctrl+s")
        assert "the moment has not come" in fault(app)
    assert as_kept(tmp_path)["sent_after"] == 0


async def test_what_was_refused_was_not_being_recorded(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Gone right after the refusal, and something else is recorded then: it is no word on this form."""
    office.says_no = "the moment has not come."
    monkeypatch.setattr(office, "read_air", lambda *_, **__: office.ready(101))
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "reading")
        await press(pilot, *"70F 40%", "ctrl+s")
        assert "the moment has not come" in fault(app)
    assert as_kept(tmp_path)["sent_after"] == NOT_SENT
    gone(app)
    office._write("Task 12 of job 109 is done.")
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert app.screen.query(Field).first().value == "70F 40%"
        assert "Nothing of this is written yet" in fault(app)


async def test_of_many_changes_the_first_are_told(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One's own is the first or near it; plans that followed are no news, what was taken back neither, the rest is counted."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "reading")
        await press(pilot, *"70F 40%")
        lost(app, monkeypatch)
        await press(pilot, "ctrl+s")
    gone(app)
    words = ["air read", "plan 7 follows", "a", "taken away", "b", "c", "d", "plan 8 proposed", "e", "f"]
    rows = [
        ChangeRow(number=place, at=fake_rows.NOW, who="", what=what, undone=what == "taken away")
        for place, what in enumerate(words, start=1)
    ]
    monkeypatch.setattr(office, "last_change", lambda: len(rows))
    monkeypatch.setattr(office, "changes", lambda limit=200: tuple(reversed(rows[len(rows) - limit :])))
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "Recorded since then: air read; a; b; c; d; and 2 more. Where" in fault(again)


async def test_nothing_recorded_since_is_no_recording(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It was begun and never written: what others record later is no word on it, however often the link drops."""

    def ends(*_: object, **__: object) -> Done:
        raise RuntimeError("gone")

    monkeypatch.setattr(office, "read_air", ends)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, "reading")
        await press(pilot, *"70F 40%", "ctrl+s")
    assert as_kept(tmp_path)["sent_after"] == 0
    for _ in range(2):
        gone(app)
        app = remembering(office, tmp_path)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            assert "Nothing of this is written yet" in fault(app)
            app.screen.keep_now()
        office._write("Task 12 of job 109 is done.")
