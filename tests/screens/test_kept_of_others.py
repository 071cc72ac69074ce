"""A kept form says when and of whom it is: of another day, another shop or another house it is not taken for this one's."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from textual.widgets import Input

from crewjobs.screens import taking_up
from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.forms.kept import KeptForm
from tests.screens import fake_rows
from tests.screens.conftest import press, said, settled
from tests.screens.fake_office import FakeOffice
from tests.screens.test_kept_waits import BIRCH, fault, gone, kept, told, waiting
from tests.screens.test_leaving import remembering
from tests.screens.test_small_forms_kept import opened


async def typed(office: FakeOffice, folder: Path, name: str, *keys: str) -> CrewApp:
    """A form is typed in, and the process gone."""
    app = remembering(office, folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, name)
        await press(pilot, *keys)
        app.screen.keep_now()
    gone(app)
    return app


@pytest.mark.parametrize("which", ["shop", "house"])
async def test_of_another_shop_or_house_it_is_not_opened(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, which: str
) -> None:
    """The job of its number is somebody else's: that is said with what was typed, and it stays kept."""
    before = office.whose([101])
    await typed(office, tmp_path, "reading", *"70F 40%")
    now = before | ({"shop": "Elm Floors"} if which == "shop" else {"101": "Ann Lee, 4 Elm Street"})
    monkeypatch.setattr(office, "whose", lambda _jobs: now)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert isinstance(app.screen, Choose)
        assert "70F 40%" in told(app)
        if which == "shop":
            assert "in the records of Linden Floor Crew; these are the records of Elm Floors" in told(app)
        else:
            assert f"Job 101 was of {before['101']}, when it was typed; now job 101 is of Ann Lee" in told(app)
        await press(pilot, "enter")
        assert said(app).startswith("Still kept: ")
    gone(app)
    assert len(kept(tmp_path)) == 1


async def test_of_the_same_house_under_another_name_it_is_opened_by_hand(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its address was put right meanwhile: whoever knows that opens it."""
    await typed(office, tmp_path, "reading", *"70F 40%")
    monkeypatch.setattr(office, "whose", lambda _jobs: {"shop": "Linden Floor Crew", "101": "Ames, 41 Quarry Road"})
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        app.screen.query_one(Sheet).select("open")
        await press(pilot, "enter")
        assert app.screen.query(Field).first().value == "70F 40%"


async def test_a_form_of_before_is_opened_as_before(office: FakeOffice, tmp_path: Path) -> None:
    """Its file does not say whose it is, nor when it was typed."""
    app = await typed(office, tmp_path, "reading", *"70F 40%")
    (file,) = (tmp_path / "forms").glob("*.json")
    raw = json.loads(file.read_text(encoding="utf-8"))
    assert raw["whose"]["shop"] == "Linden Floor Crew"
    file.write_text(json.dumps({key: raw[key] for key in ("form", "title", "about", "stood", "at", "pages", "texts")}))
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert app.screen.query(Field).first().value == "70F 40%"


async def test_today_stays_the_day_it_was_typed_on(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Opened the next day, the day that was meant stands in the line, and that is told; so is the hour an empty line meant."""
    for name, key, was, later in (
        ("away", "day", "today", timedelta(days=1)),
        ("reading", "at", "", timedelta(days=1)),
        ("reading", "at", "", timedelta(hours=2)),
    ):
        app = remembering(office, tmp_path)
        async with app.run_test(size=(80, 24)) as pilot:
            await opened(pilot, app, name)
            app.screen.query(Input).first().value = "Silas"
            app.screen.query_one(f"#field-{key} Input", Input).value = was
            await settled(pilot)
            app.screen.keep_now()
        gone(app)
        moment = office.now()
        with monkeypatch.context() as patched:
            patched.setattr(office, "now", lambda at=moment + later: at)
            for _ in range(2):  # and it is so after a second drop, too
                app = remembering(office, tmp_path)
                async with app.run_test(size=(80, 24)) as pilot:
                    await settled(pilot)
                    meant = f"{moment:%Y-%m-%d}" if was else f"{moment:%Y-%m-%d %H:%M}"
                    assert app.screen.query_one(f"#field-{key}", Field).value == meant
                    if _ == 0:
                        assert "written out as they were meant then" in fault(app)
                        assert f"{meant} ('today')" in fault(app) or f"{meant} (empty was now)" in fault(app)
                    app.screen.keep_now()
                gone(app)
        kept_now = remembering(office, tmp_path)
        async with kept_now.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            await press(pilot, "escape", "escape")


async def test_the_days_of_a_job_and_of_what_came_are_written_out(office: FakeOffice, tmp_path: Path) -> None:
    """Whichever form it is, and where what is recorded has no line for when, that too."""
    (row,) = [row for row in fake_rows.tasks() if row.number == 13] or fake_rows.tasks()[:1]
    moment = f"{office.now() - timedelta(days=1):%Y-%m-%dT%H:%M}:00"
    yesterday = moment[:10]
    came = KeptForm(form="arrived", title="Arrived", texts={"cartons": "3", "box in-rooms": "yes"}, moment=moment)
    assert taking_up._as_meant(came).texts["at"] == moment[:16].replace("T", " "), "the clock of its rooms begins then"
    assert taking_up._as_meant(replace(came, moment="")).texts["at"] == ""
    edit = KeptForm(form="edit", title="Edit", about={"job": "101"}, texts={"wished": "today"}, moment=moment)
    far = KeptForm(
        form="how far",
        title="How far",
        about={"job": "101", "task": str(row.number), "at": ""},
        texts={"text": "50 %"},
        moment=moment,
    )
    for one in (edit, far):
        waiting(tmp_path, one)
        app = remembering(office, tmp_path)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            assert f"{yesterday}" in fault(app)
            if one is edit:
                assert app.screen.query_one("#field-wished", Field).value == yesterday
            await press(pilot, "escape", "escape")
    waiting(tmp_path, replace(BIRCH, moment=moment))  # its hours are of its own day
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert app.screen.query(Field).first().value == "7:20"
