"""Jobs: finding, ordering, editing, material that arrives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest
from textual.widgets import Button, Input, Static

from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.draft.answers import Answer
from crewjobs.screens.draft.form import DraftForm
from crewjobs.screens.edit import EditDialog
from crewjobs.screens.job import JobScreen
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.rows import Done
from tests.screens import fake_rows
from tests.screens.conftest import front, press, said, settled, tap
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]


async def test_a_cell_of_the_job_ticks_its_phase(office: FakeOffice, make_app: MakeApp) -> None:
    """On the page of a job, Enter on a phase of a section ticks all of it."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "3", "enter")
        front(app).sheet.select(("cell", "subfloor prep", "dining"))
        await press(pilot, "enter")
        assert office.calls[0] == ("tick_phase", 101, "subfloor prep", "dining", "", "")


async def test_a_job_is_selected_where_the_one_before_is_gone(office: FakeOffice, make_app: MakeApp) -> None:
    """The selected job left the list meanwhile: a job stands selected, never a heading, so that keys act."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "end")
        kept = office.job_rows[0]
        office.job_rows = (kept,)
        await press(pilot, "1", "3")
        assert front(app).sheet.selected == ("job", kept.number)
        front(app).sheet.selected = ("job", 999_999)
        office.job_rows = (replace(kept, number=kept.number + 1),)
        await press(pilot, "1", "3")
        assert front(app).sheet.selected == ("job", kept.number + 1)


async def test_edit_conflict_keeps_what_was_typed(office: FakeOffice, make_app: MakeApp) -> None:
    """Somebody else's change refuses the edit; the text stays, and after a look it can be saved knowingly."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "e")
        dialog = app.screen
        assert isinstance(dialog, EditDialog)
        title = dialog.query_one("#field-title", Field).query_one(Input)
        title.value = "Ames Lane, whole house"
        office.version, office.title = 8, "Ames Lane, ground floor"
        await pilot.click(next(button for button in dialog.query(Button) if button.name == "save"))
        await settled(pilot)
        assert "changed by somebody else" in str(dialog.query_one("#fault").render())
        assert title.value == "Ames Lane, whole house"
        await pilot.click(next(button for button in dialog.query(Button) if button.name == "look"))
        await settled(pilot)
        assert "stored now: Ames Lane, ground floor" in str(dialog.query_one("#field-title .note").render())
        await pilot.click(next(button for button in dialog.query(Button) if button.name == "save"))
        await settled(pilot)
        assert office.calls[-1] == ("edit", 101, 8, {"title": "Ames Lane, whole house"})
        assert "Changed title of job 101." in said(app)


@pytest.mark.parametrize("typed", ["three", "9" * 5000])
async def test_cartons_that_are_no_number_are_said_beside_the_field(
    office: FakeOffice, make_app: MakeApp, typed: str
) -> None:
    """The office is not asked; the sentence stands at the field and the text stays."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "a", "enter")
        cartons = app.screen.query_one("#field-cartons", Field)
        cartons.query_one(Input).value = typed
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "save"))
        await settled(pilot)
        assert "whole number" in str(cartons.query_one(".note").render())
        assert cartons.value == typed
        assert office.calls == []


async def test_arrival_is_recorded_with_its_lot(office: FakeOffice, make_app: MakeApp) -> None:
    """Cartons, lot and being in the rooms reach the office as they were given."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "a", "enter", "tab", *"C9", "tab", "tab", "space")
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "save"))
        await settled(pilot)
        assert office.calls == [("arrived", 101, "Quarter round, white", 3, "C9", "", True, "", "")]
        assert "3 cartons of Quarter round, white have come." in said(app)


async def test_find_narrows_the_list_and_escape_widens_it(office: FakeOffice, make_app: MakeApp) -> None:
    """Every typed word has to occur somewhere in the job; Esc shows all again."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "slash", *"mill tamm")
        assert [target for target in front(app).sheet.targets if target[0] == "job"] == [("job", 107)]
        await press(pilot, "escape")
        assert len([target for target in front(app).sheet.targets if target[0] == "job"]) == 5


async def test_closed_jobs_on_demand(office: FakeOffice, make_app: MakeApp) -> None:
    """x adds the closed ones."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3")
        assert ("job", 98) not in front(app).sheet.targets
        await press(pilot, "v")
        assert ("job", 98) in front(app).sheet.targets


async def test_order_by_a_clicked_heading(office: FakeOffice, make_app: MakeApp) -> None:
    """A double click on a heading orders by it; jobs without a promise come last."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "3")
        sheet = front(app).sheet
        await tap(pilot, sheet, ("order", "promised"))
        await tap(pilot, sheet, ("order", "promised"))
        numbers = [target[1] for target in sheet.targets if target[0] == "job"]
        assert numbers == [101, 107, 104, 112, 109]


@pytest.mark.parametrize("keys", [("home",), ("pageup", "pageup"), ("up", "up")])
async def test_the_way_to_the_top_ends_at_the_first_job(
    office: FakeOffice, make_app: MakeApp, keys: tuple[str, ...]
) -> None:
    """Headings are for taps: what keys select is a job, and shows its mark."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "down", *keys)
        sheet = front(app).sheet
        assert sheet.selected == next(target for target in sheet.targets if target[0] == "job")
        assert sheet.scroll_offset.y == 0
        await press(pilot, "enter")
        assert isinstance(front(app), JobScreen)


async def test_two_thousand_jobs_are_all_within_reach(office: FakeOffice, make_app: MakeApp) -> None:
    """A long list is drawn in leaves, says how many more there are, and finds among all of them."""
    office.job_rows = tuple(fake_rows.job_row(number=number, title=f"House {number}") for number in range(1, 2001))
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3")
        assert "1,900 more" in front(app).sheet.text
        await press(pilot, "end", "enter")
        assert "1,800 more" in front(app).sheet.text
        await press(pilot, "slash", *"1999")
        assert ("job", 1999) in front(app).sheet.targets


async def test_the_edit_form_shows_what_was_agreed_and_can_empty_it(office: FakeOffice, make_app: MakeApp) -> None:
    """All six fields come filled as agreed; an emptied one is sent as empty, untouched ones are not sent."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "e")
        fields = {field.key: field for field in app.screen.query(Field)}
        assert fields["weight"].value == "2"
        assert fields["blocked"].value == "2026-03-09"
        fields["blocked"].query_one(Input).value = ""
        seen = office.version
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "save"))
        await settled(pilot)
        assert office.calls[-1] == ("edit", 101, seen, {"blocked": ""})


async def test_a_job_opens_at_its_head(office: FakeOffice, make_app: MakeApp) -> None:
    """How the job stands is seen first; what is selected out of sight is shown by Enter before anything is ticked."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "3", "enter")
        sheet = front(app).sheet
        assert sheet.scroll_offset.y == 0
        box = sheet.box(("task", 4))
        assert sheet.selected == ("task", 4)
        assert box.top >= sheet.size.height
        await press(pilot, "enter")
        assert office.calls == []
        assert sheet.scroll_offset.y <= box.top < sheet.scroll_offset.y + sheet.size.height
        await press(pilot, "enter")
        assert office.calls == [("tick", 101, (4,), "", "")]


@pytest.mark.parametrize("width", [40, 80, 120])
async def test_a_promise_without_a_planned_finish_is_said(width: int, office: FakeOffice, make_app: MakeApp) -> None:
    """A promised job that the plan does not bring to its end says so in the list, at every width."""
    office.job_rows = (fake_rows.job_row(planned_finish=None),)
    app = make_app(office)
    async with app.run_test(size=(width, 24)) as pilot:
        await press(pilot, "3")
        assert "not planned to its end" in front(app).sheet.text


async def test_holds_that_were_passed_stand_on_the_page(office: FakeOffice, make_app: MakeApp) -> None:
    """Who passed a hold and why is read where the job is read."""
    sentence = "Task 6 was ticked Mon 2 Mar 14:00 although on hold, because the leveler rang hard."
    page = replace(office.job(101), passed=(sentence,))
    office.job = lambda number: page  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter")
        assert sentence in " ".join(front(app).sheet.text.replace("‖", "").split())


async def test_material_says_cartons_and_lots_once(office: FakeOffice, make_app: MakeApp) -> None:
    """The job page names each lot and each count once."""
    app = make_app(office)
    async with app.run_test(size=(120, 60)) as pilot:
        await press(pilot, "3", "enter")
        text = " ".join(front(app).sheet.text.split())
        assert text.count("20 of 20 cartons") == 1
        assert text.count("lot B-20") == 1


async def test_what_another_screen_said_goes_when_more_is_done(office: FakeOffice, make_app: MakeApp) -> None:
    """A step told on the list, a later one on a job's page: back on the list the first is not offered for undo any more."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "3")
        jobs = front(app)
        jobs.told(Outcome(value=Done(sentence="Job 101 is made.", change=1)))
        app.open_job(101)
        app.push_screen(Choose("What next?", [("look", "Look")]))
        await press(pilot, "escape")
        front(app).told(Outcome(value=Done(sentence="Job 101 is called off.", change=2)))
        await press(pilot, "escape")
        assert front(app) is jobs
        assert said(app) == ""
        assert not jobs.status.undoable


async def test_before_a_job_is_called_off_it_is_said_what_that_leaves_behind(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """Call off asks first, with what was done and promised; left, nothing is written, chosen, it is called off."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "e")
        form = app.screen
        assert isinstance(form, EditDialog)
        form.pressed("off")
        await settled(pilot)
        assert isinstance(app.screen, Choose)
        told = app.screen.query_one(Sheet).text
        assert "Work has begun: " in told
        assert "was promised job 101" in told
        await press(pilot, "enter")
        assert app.screen is form
        assert not any(call[0] == "edit" for call in office.calls)
        form.pressed("off")
        await settled(pilot)
        await press(pilot, "down", "enter")
        assert office.calls[-1][-1] == {"state": "called off"}


async def test_call_off_keeps_what_else_was_typed(office: FakeOffice, make_app: MakeApp) -> None:
    """A title typed in the same form is written with it."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "e")
        form = app.screen
        form.query_one("#field-title", Field).query_one(Input).value = "Ames Lane, all of it"
        form.pressed("off")  # type: ignore[attr-defined]
        await settled(pilot)
        await press(pilot, "down", "enter")
        assert office.calls[-1][-1] == {"title": "Ames Lane, all of it", "state": "called off"}


async def test_whole_job_takes_along_what_was_typed(office: FakeOffice, make_app: MakeApp) -> None:
    """It stands in the whole form with the hand there, is said not to be written, and leaving that form asks once."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "3", "enter", "e")
        for key, text in (("title", "Ames Lane, all of it"), ("state", " Quoted"), ("promised", "someday")):
            app.screen.query_one(f"#field-{key}", Field).query_one(Input).value = text
        app.screen.pressed("whole")  # type: ignore[attr-defined]
        await settled(pilot)
        form = app.screen
        assert isinstance(form, DraftForm)
        values = {one.key: one.value for one in form.query(Answer)}
        assert (values["title"], values["state"], values["promised"]) == ("Ames Lane, all of it", "quoted", "someday")
        assert form.query_one("#field-title Input").has_focus
        assert "Nothing of this is written yet." in str(form.query_one("#fault", Static).content)
        await press(pilot, "escape")
        assert app.screen is form


async def test_whole_job_with_an_emptied_state_keeps_the_stored_one(office: FakeOffice, make_app: MakeApp) -> None:
    """A choice is never empty; where nothing was typed, the form opens on its first page and Esc leaves it at once."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "e")
        app.screen.query_one("#field-state", Field).query_one(Input).value = ""
        app.screen.pressed("whole")  # type: ignore[attr-defined]
        await settled(pilot)
        assert next(one.value for one in app.screen.query(Answer) if one.key == "state") == "booked"
        await press(pilot, "escape", "escape", "e")
        app.screen.pressed("whole")  # type: ignore[attr-defined]
        await settled(pilot)
        form = app.screen
        assert isinstance(form, DraftForm)
        assert "1 of " in form.title_text()
        await press(pilot, "escape")
        assert app.screen is not form


async def test_see_stored_is_there_only_where_somebody_else_changed_the_job(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """A word that is no day is no reason to look at what is stored."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "e")
        form = app.screen
        look = next(button for button in form.query(Button) if button.name == "look")
        form.query_one("#field-promised", Field).query_one(Input).value = "someday"
        await press(pilot, "ctrl+s")
        assert form.query_one("#field-promised", Field).faulty
        assert not look.display
        office.version += 1
        await press(pilot, "ctrl+s")
        assert look.display


@pytest.mark.parametrize("state", ["done", "closed", "called off"])
async def test_a_job_that_is_over_is_not_called_unplanned(state: str, office: FakeOffice, make_app: MakeApp) -> None:
    """Nobody plans it any more: what became of it stands beside its promise."""
    row = replace(office.job_rows[0], state=state, planned_finish=None, promised=date(2026, 3, 4), late=False)
    office.job_rows = (row, *office.job_rows[1:])
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        app.open_job(row.number)
        await settled(pilot)
        assert f"promised Wed 4 Mar, {state}" in " ".join(front(app).sheet.text.split())
