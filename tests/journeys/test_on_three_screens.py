"""A week planned at the table, a morning on a phone over a slow link, a finding at 10:40 with one glove off: keys alone, on real records."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pdfplumber
import pytest
from textual.widgets import Input, Select

from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.record.form import Form
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database
from tests.journeys import test_a_finding_at_ten_forty
from tests.screens.conftest import front, press, refused, said, settled
from tests.services.conftest import Shop

TABLE, PHONE = (120, 36), (40, 20)
TUESDAY = date(2026, 3, 3)
house_of_1962 = pytest.fixture(name="house_of_1962")(test_a_finding_at_ten_forty.shop.__wrapped__)


@pytest.fixture
def unplanned(demo_made: Path, tmp_path: Path) -> Office:
    """The demo's shop whose plan was taken back."""
    path = Path(shutil.copy(demo_made, tmp_path / "demo.sqlite3"))
    Office(open_database(path, create=False), FixedClock(DEMO_NOW), who="tester").undo()
    return Office(open_database(path, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)


async def test_plan_the_week_and_print_tuesday(unplanned: Office, tmp_path: Path) -> None:
    """2, p, down to Tuesday, d: every crew that works on Tuesday has its page, with the houses and hours of the plan."""
    app = CrewApp(lambda: unplanned, tmp_path / "pages")
    async with app.run_test(size=TABLE) as pilot:
        await press(pilot, "2", "p")
        week = front(app)
        week.sheet.select(("day", TUESDAY))
        await press(pilot, "d")
        assert "2026-03-03" in said(app)
    visits = next(one.visits for one in unplanned.week(TUESDAY).days if one.day == TUESDAY)
    assert visits
    for visit in visits:
        page = tmp_path / "pages" / f"day-plan-2026-03-03-{visit.crew.lower()}.pdf"
        with pdfplumber.open(page) as read:
            text = "".join("".join((one.extract_text() or "").split()) for one in read.pages)
        assert visit.title.replace(" ", "") in text
        assert f"{visit.start:%H:%M}" in text


async def test_a_morning_on_a_phone(demo_file: Path, tmp_path: Path) -> None:
    """40 columns: 4, what is under way is not begun again (s), is ticked with Enter and taken back with u; each is in the file at once."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)
    app = CrewApp(lambda: office, tmp_path, slow=True)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        text = front(app).sheet.text
        assert max(len(line) for line in text.splitlines()) <= PHONE[0]
        target = front(app).sheet.selected
        assert isinstance(target, tuple)
        _, number, task = target
        await press(pilot, "s")
        assert "is under way already" in refused(app)
        await press(pilot, "escape", "enter")
        assert "done" in said(app)
        assert state(demo_file, number, task) == "done"
        await press(pilot, "u")
        assert state(demo_file, number, task) == "under way"
        assert (
            front(app).sheet.selected == target
        )  # the hand is on what was given back, not on what came into its place


def state(path: Path, job: int, task: int) -> str:
    """Return a task's state as somebody else reads it from the file at that moment."""
    page = Office(open_database(path, create=False), FixedClock(DEMO_NOW), who="other").job(job)
    return next(one.state for one in page.tasks if one.number == task)


async def test_a_finding_at_ten_forty(house_of_1962: Shop, tmp_path: Path, screens: Callable[[Shop], CrewApp]) -> None:
    """F on site: where, what, how much. It says that nobody disturbs it and who decides; the kitchen's tear-out is on hold at once."""
    shop = house_of_1962
    app = screens(shop)
    async with app.run_test(size=TABLE) as pilot:
        await press(pilot, "4")
        carpet = shop.number_of("carpet-out", "kitchen")
        front(app).sheet.select(("task", 4, carpet))
        await press(pilot, "F")
        form = app.screen
        assert isinstance(form, Form)
        form.query_one("#pick-place", Select).value = "kitchen"
        form.query_one("#pick-kind", Select).value = "suspect asbestos"
        form.query_one("#field-area", Field).query_one(Input).value = "90 ft2"
        form.pressed("save")
        await settled(pilot)
        told = " ".join(str(one.render()) for one in app.screen.query("Static")) + said(app)
        assert "asbestos" in told
        assert "laboratory" in told
        await press(pilot, "escape")
    (finding,) = shop.record().findings
    assert finding.place == "kitchen"
    held = {row.number for row in shop.office.job(4).tasks if row.hold}
    assert carpet in held


@pytest.fixture
def screens(tmp_path: Path) -> Callable[[Shop], CrewApp]:
    """The screens over a shop's records."""
    return lambda shop: CrewApp(lambda: shop.office, tmp_path, slow=True)


async def test_undo_asks_before_the_plan_goes(unplanned: Office, tmp_path: Path) -> None:
    """p, u: asked, and left; what is taken back is put back with U; what was before the screens is asked, too."""
    app = CrewApp(lambda: unplanned, tmp_path)
    app.LOOK_SECONDS = app.LOOK_AFTER_SECONDS = 0.0
    async with app.run_test(size=TABLE) as pilot:
        await press(pilot, "u")
        assert isinstance(app.screen, Choose)
        assert "demo did this, " in app.screen.query_one(Sheet).text
        await press(pilot, "escape")
        unplanned.edit(1, unplanned.job(1).version, {"weight": "3"})
        await press(pilot, "u")  # it is nothing that was said last here
        assert isinstance(app.screen, Choose)
        assert "This was done " in app.screen.query_one(Sheet).text
        await press(pilot, "down", "enter")
        assert said(app).startswith("Taken back: ")
        assert "U puts it back." in said(app)
        assert "u would now take back, after asking: " in said(app)
        assert not front(app).status.undoable
        assert unplanned.job(1).terms["weight"] != "3"
        await press(pilot, "U")
        assert said(app).startswith("There again: ")
        assert unplanned.job(1).terms["weight"] == "3"
        await press(pilot, "U")
        assert "Nothing was taken back" in said(app)
        unplanned.edit(1, unplanned.job(1).version, {"weight": "2"})
        await press(pilot, "u", "down", "enter", "u", "down", "enter")
        await press(pilot, "U")
        assert "U puts it back" not in said(app)  # it would be what is there again
        assert "U would now put back: " in said(app)
        await press(pilot, "U")
        assert unplanned.job(1).terms["weight"] == "2"
        unplanned.plan(lambda *_: None, lambda: False)
        await press(pilot, "u")
        assert isinstance(app.screen, Choose)
        assert "the plan of all crews" in app.screen.query_one(Sheet).text
        await press(pilot, "enter")
        assert unplanned.is_planned()
        await press(pilot, "u", "down", "enter")
        assert not unplanned.is_planned()
        await press(pilot, "U")
        assert unplanned.is_planned()
