"""A form that was left waits until it is open, put back or let go by hand: nothing else that is typed or chosen takes it."""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from textual.widgets import Input

from crewjobs.domain.errors import Refused
from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.dialog import NOT_WRITTEN
from crewjobs.screens.draft.form import DraftForm
from crewjobs.screens.draft.jobs import ask_new_job
from crewjobs.screens.evening import EveningDialog
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.forms.checking import Checked
from crewjobs.services.forms.kept import KeptForm, KeptPage
from crewjobs.services.forms.kept_files import KeptForms
from crewjobs.services.rows import EveningSheet
from tests.screens import fake_rows
from tests.screens.conftest import press, said, settled
from tests.screens.fake_office import FakeOffice
from tests.screens.test_draft import FakeBeginning
from tests.screens.test_leaving import remembering

BIRCH = KeptForm(
    form="evening",
    title="Evening: Birch, Mon 2 Mar 2026, plan 1",
    about={"crew": "Birch", "day": "2026-03-02", "houses": "101"},
    texts={"h1-start": "7:20"},
)


def waiting(folder: Path, *forms: KeptForm) -> None:
    """Each was open when some window ended."""
    for one in forms:
        KeptForms(folder / "forms", "shop").put_back(one)


def kept(folder: Path) -> list[KeptForm]:
    """What the next start finds, the newest first."""
    forms, found = KeptForms(folder / "forms", "shop"), []
    while (one := forms.left()) is not None:
        found.append(one)
    for one in found:
        forms.put_back(one)
    return found


def gone(app: CrewApp) -> None:
    """The process is gone: its locks are free."""
    assert app.forms is not None
    for lock in (app.forms._lock, *app.forms._waiting.values()):
        if lock is not None:
            lock.release()


def told(app: CrewApp) -> str:
    """What stands in the question in front, as one line."""
    return " ".join(app.screen.query_one(Sheet).text.split())


def fault(app: CrewApp) -> str:
    """What is said below the lines."""
    return " ".join(str(app.screen.query_one("#fault").content).split())


def renamed(office: FakeOffice, monkeypatch: pytest.MonkeyPatch) -> None:
    """Birch is called Oakes, whose houses it has; Hazel has another one."""
    seen = office.evening_sheet

    def sheet(crew: str, day: date | None = None) -> EveningSheet:
        found = seen("Birch", day)
        (house,) = found.houses
        return replace(found, crew=crew, houses=(house if crew == "Oakes" else replace(house, job=109),))

    monkeypatch.setattr(office, "crews", lambda: ("Hazel", "Oakes"))
    monkeypatch.setattr(office, "evening_sheet", sheet)


@pytest.mark.parametrize("answer", ["escape", "let go"])
async def test_a_form_that_cannot_be_opened_stands_before_no_other(
    office: FakeOffice, tmp_path: Path, answer: str
) -> None:
    """It is named, and stays kept unless it is let go; the sheet that waits behind it is opened in the same start."""
    days = KeptPage(kind="terms", origin=0, texts={"title": "Den anew", "weight": "3"}, typed=("title",))
    job = KeptForm(form="job", title="Job 101", about={"job": "101"}, stood="as it was", pages=(days,))
    waiting(tmp_path, BIRCH, job)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "Job 101 was changed since the screens ended" in told(app)
        assert told(app).count("Days, Title: 'Den anew'") == 1, "once, and no line that only stood there"
        assert "'3'" not in told(app)
        if answer == "let go":
            app.screen.query_one(Sheet).select("go")
            await press(pilot, "enter")
        else:
            await press(pilot, "escape")
        assert isinstance(app.screen, EveningDialog)
        assert app.screen.query(Field).first().value == "7:20"
        await press(pilot, "escape", "escape")
        ask_new_job(app.front)
        await settled(pilot)
        await press(pilot, *"Ann")
        app.screen.keep_now()
        await press(pilot, "escape", "escape")
    gone(app)
    assert kept(tmp_path) == ([] if answer == "let go" else [job])


async def test_an_evening_that_cannot_be_opened_is_named(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Which sheet, what is typed in it, why not now, and that it is still kept."""

    def not_yet(crew: str, day: date | None = None) -> EveningSheet:
        raise Refused("Tue 3 Mar 2026 has not come yet.")

    monkeypatch.setattr(office, "evening_sheet", not_yet)
    waiting(tmp_path, BIRCH)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert app.screen.title_text() == "Not taken up, and still kept"
        assert BIRCH.title in told(app)
        assert "Typed in it: 7:20." in told(app)
        assert "has not come yet" in told(app)
        await press(pilot, "enter")
        assert said(app) == f"Still kept: {BIRCH.title}."
    gone(app)
    assert kept(tmp_path) == [BIRCH]


async def test_what_finds_no_line_stays_kept_and_is_not_let_go_unasked(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Kept again with what is typed now; when the sheet has its house again, it stands there as it was typed."""
    seen = office.evening_sheet
    (house,) = seen("Birch", fake_rows.MONDAY).houses
    second = replace(house, house=2, job=109)
    both = KeptForm(
        form="evening",
        title="Evening: Birch",
        about={"crew": "Birch", "day": fake_rows.MONDAY.isoformat(), "houses": "101,109"},
        texts={"h2-start": "7:20", "h2-found-1": "entry: crack in slab"},
    )
    waiting(tmp_path, both)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "no line for it: 7:20 and entry: crack in slab (job 109)" in fault(app)
        assert "stays kept until this sheet is recorded or left" in fault(app)
        await press(pilot, "escape")
        assert str(app.screen.query_one("#asked").content) == NOT_WRITTEN
        await press(pilot, *"6:30")
        line = next(line for line in house.lines if line.state != "done")
        app.screen.query_one(f"#field-h1-task-{line.task} Input", Input).value = "x"
        await settled(pilot)
        app.screen.keep_now()
    gone(app)
    house = replace(house, house=2, told=("07:00–12:00, 2 people",), lines=(replace(line, state="done"),))
    monkeypatch.setattr(
        office,
        "evening_sheet",
        lambda crew, day=None: replace(seen(crew, day), houses=(replace(second, house=1), house)),
    )
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        lines = {field.key: field.value for field in app.screen.query(Field) if field.value}
        assert lines == {"h1-start": "7:20", "h1-found-1": "entry: crack in slab", "h2-start": "6:30"}
        assert "Recorded already of house 2, job 101: 07:00–12:00, 2 people." in fault(app)
        assert f"Ticked meanwhile: task {line.task}." in fault(app)  # that is no line that is lost
        assert "no line for it" not in fault(app)
        await press(pilot, "escape", "escape")
    assert kept(tmp_path) == []


async def test_a_wrong_crew_is_said_and_asked_for_again(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A crew whose sheet has none of the houses is not the one; the next answer opens the sheet with all that was typed."""
    renamed(office, monkeypatch)
    waiting(tmp_path, BIRCH)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        app.screen.query_one(Sheet).select("Hazel")
        await press(pilot, "enter")
        assert isinstance(app.screen, Choose)
        assert "Hazel's sheet for Mon 2 Mar has none of the houses of which something is typed (job 101)" in told(app)
        app.screen.query_one(Sheet).select("Oakes")
        await press(pilot, "enter")
        assert app.screen.title_text().startswith("Evening: Oakes")
        assert app.screen.query(Field).first().value == "7:20"


async def test_whose_sheet_is_asked_with_what_was_typed(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also when the crew that is chosen has no sheet: what is typed is read there, whatever comes of it."""
    seen = office.evening_sheet
    monkeypatch.setattr(office, "crews", lambda: ("Beech",))
    monkeypatch.setattr(
        office, "evening_sheet", lambda crew, day=None: replace(seen("Birch", day), crew=crew, houses=())
    )
    waiting(tmp_path, BIRCH)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "there is no crew Birch any more. Typed in it: 7:20." in told(app)
        app.screen.query_one(Sheet).select("Beech")
        await press(pilot, "enter")
        assert "Beech has no sheet for" in told(app)
        assert "Typed in it: 7:20." in told(app)


async def test_the_next_one_is_opened_when_the_first_is_closed(office: FakeOffice, tmp_path: Path) -> None:
    """Two windows ended with a form each: the newer is opened first, and closed or recorded the other one comes."""
    older = KeptForm(form="edit", title="Edit job 101", about={"job": "101"}, texts={"title": "Den"})
    waiting(tmp_path, older)
    for file in (tmp_path / "forms").glob("*.json"):
        os.utime(file, (1000, 1000))
    waiting(tmp_path, BIRCH, KeptForm(form="job", title="Job 101", about={"job": "101"}, stood="as it was"))
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "Job 101 was changed" in told(app)
        await press(pilot, "enter")
        assert isinstance(app.screen, EveningDialog)
        await press(pilot, "ctrl+s")
        assert office.calls[-1][0] == "evening"
        assert app.screen.title_text() == "Edit job 101"
        assert app.screen.query_one("#field-title", Field).value == "Den"
        await press(pilot, "escape", "escape")
        assert app.front is app.screen
        assert not app.taking_up
        await press(pilot, "4", "h", "7", "escape", "escape")
        assert app.front is app.screen


async def test_a_wrong_crew_takes_nothing_of_the_sheet_that_is_open(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Renamed while its sheet was typed: the form stays until the right one is chosen, and says what was done."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4", "h", *"7:20")
        app.screen.keep_now()
        renamed(office, monkeypatch)
        app.crews = office.crews()
        await press(pilot, "ctrl+s")
        app.screen.query_one(Sheet).select("Hazel")
        await press(pilot, "enter")
        assert "has none of the houses" in told(app)
        await press(pilot, "escape")
        assert app.screen.title_text().startswith("Evening: Birch")
        assert app.screen.query(Field).first().value == "7:20"
        await press(pilot, "ctrl+s")
        app.screen.query_one(Sheet).select("Oakes")
        await press(pilot, "enter")
        assert app.screen.title_text().startswith("Evening: Oakes")
        assert fault(app) == "Taken along as it was typed. Nothing of this is written yet."
        assert len(app.screen_stack) == 2
    gone(app)
    (found,) = kept(tmp_path)
    assert found.texts["h1-start"] == "7:20"


async def test_what_is_typed_beside_the_question_does_not_take_its_sheet(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A new job over the question is kept for itself, and closed; the sheet is asked for at the next start."""
    renamed(office, monkeypatch)
    waiting(tmp_path, BIRCH)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert isinstance(app.screen, Choose)
        ask_new_job(app.front)
        await settled(pilot)
        await press(pilot, *"Ann")
        app.screen.keep_now()
        assert len(list((tmp_path / "forms").glob("*.json"))) == 2
        await press(pilot, "escape", "escape")
        assert isinstance(app.screen, Choose)
    gone(app)
    assert kept(tmp_path) == [BIRCH]


def beginning(office: FakeOffice, folder: Path) -> CrewApp:
    """The screens where there is no shop."""
    forms = KeptForms(folder / "forms", "shop")
    return CrewApp(lambda: office, folder, lambda: FakeBeginning(office), forms=forms)


async def test_the_first_choice_takes_no_form_but_its_own(office: FakeOffice, tmp_path: Path) -> None:
    """A job that was being typed stays kept while there is no shop, whatever is typed of one; a set-up is taken up."""
    job = KeptForm(form="job", title="New job", texts={"name": "Ann"})
    waiting(tmp_path, job)
    app = beginning(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "enter", *"Elm")
        assert isinstance(app.screen, DraftForm)
        app.screen.keep_now()
    gone(app)
    assert [one.form for one in kept(tmp_path)] == ["set-up", "job"]
    app = beginning(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert isinstance(app.screen, DraftForm)
        assert "taken up as it was typed" in fault(app)
        await press(pilot, "escape", "escape")
    assert kept(tmp_path) == [job]


async def test_a_set_up_that_came_too_late_is_named(office: FakeOffice, tmp_path: Path) -> None:
    """The shop was made otherwise meanwhile: what was typed of it is told, and stays kept until it is let go."""
    app = beginning(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "enter", *"Elm Floors")
        app.screen.keep_now()
    gone(app)
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert isinstance(app.screen, Choose)
        assert "Your shop, kept from" in told(app)
        assert "Shop's name: 'Elm Floors'" in told(app)
        assert "There is a shop by now: Linden Floor Crew." in told(app)
        app.screen.query_one(Sheet).select("go")
        await press(pilot, "enter")
        assert app.front is app.screen
    assert kept(tmp_path) == []


async def test_what_waits_is_named_where_there_is_no_shop_and_once_there_is_one(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On the first choice, and in the session in which another shop is made: it is none of that shop's."""
    before = {"shop": "Elm Floors", "101": "Ann Lee, 4 Elm Street"}
    waiting(tmp_path, replace(BIRCH, whose=before))
    monkeypatch.setattr(FakeBeginning, "check", lambda *_: Checked())
    app = beginning(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert f"once there is a shop: {BIRCH.title} (from " in told(app)
        await press(pilot, "enter")
        await press(pilot, *"Oak", "ctrl+s")
        assert isinstance(app.screen, DraftForm)
        await press(pilot, "escape")
        assert "It was typed in the records of Elm Floors; these are the records of Linden Floor Crew." in told(app)
        assert "Typed in it: 7:20." in told(app)
        await press(pilot, "enter")
    gone(app)
    assert kept(tmp_path) == [BIRCH]


async def test_a_form_that_is_open_when_its_shop_is_taken_back_stays_kept(office: FakeOffice, tmp_path: Path) -> None:
    """It is closed by nobody's hand; what is typed of a new shop does not take its place."""
    app = beginning(office, tmp_path)
    app.no_shop = False
    started: list[bool] = []

    class Later(FakeBeginning):
        def needed(self) -> bool:
            return bool(started)

    app._beginning = lambda: Later(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "+", *"Rivera")
        started.append(True)
        app.begin_anew()
        await settled(pilot)
        assert isinstance(app.screen, Choose)
        await press(pilot, "enter", *"Elm")
        app.screen.keep_now()
        await press(pilot, "escape", "escape")
    (found,) = kept(tmp_path)
    assert found.form == "job"
    assert "Rivera" in str(found.pages)
