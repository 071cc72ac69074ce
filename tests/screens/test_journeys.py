"""What people do with the screens, by keyboard and by mouse, from the first key to what the office was asked."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest
from textual.widgets import Button, Input, Select

from crewjobs.domain.errors import Refused
from crewjobs.screens.app import CrewApp
from crewjobs.screens.base import CrewScreen
from crewjobs.screens.edit import EditDialog
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.key_line import KeyLine
from crewjobs.screens.widgets.planning_line import PlanningLine
from crewjobs.screens.widgets.refusal import Sentences
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.rows import WeekView
from tests.screens import fake_rows
from tests.screens.conftest import press, settled
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]
PHONE = (40, 20)


def front(app: CrewApp) -> CrewScreen:
    """The screen in front."""
    assert app.front is not None
    return app.front


def said(app: CrewApp) -> str:
    """The status line."""
    return "\n".join(front(app).status.said)


def refused(app: CrewApp) -> str:
    """The refusal in sight, or nothing."""
    panel = front(app).refusal
    return " ".join(panel.query_one(Sentences).text.split()) if panel.display else ""


async def tap(pilot, sheet: Sheet, target: object) -> None:
    """Click the middle of a target, wherever it stands on the sheet."""
    sheet.select(target)
    await settled(pilot)
    box = sheet.box(target)
    await pilot.click(sheet, offset=(box.left + 1, box.top - sheet.scroll_offset.y))
    await settled(pilot)


async def test_tick_on_site_by_keyboard(office: FakeOffice, make_app: MakeApp) -> None:
    """4, Enter: the next task is ticked, the program says so, and the eye is led to the one after."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "enter")
        assert office.calls == [("tick", 101, (4,), "", "")]
        assert "Ticked screw down squeaks, scrape, dining." in said(app)
        assert app.screen.query_one(Sheet).selected == ("task", 101, 5)


async def test_tick_on_site_by_one_tap(office: FakeOffice, make_app: MakeApp) -> None:
    """One tap on a task, anywhere in its three lines, ticks it."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        sheet = front(app).sheet
        box = sheet.box(("task", 101, 5))
        assert box.bottom - box.top == 2
        await pilot.click(sheet, offset=(20, box.bottom - sheet.scroll_offset.y))
        await settled(pilot)
        assert office.calls == [("tick", 101, (5,), "", "")]


async def test_refused_tick_is_recorded_with_a_reason(office: FakeOffice, make_app: MakeApp) -> None:
    """A task on hold is refused with its sentence; a typed reason repeats the tick with it."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "right")
        front(app).sheet.select(("task", 101, 6))
        await press(pilot, "enter")
        assert "On hold until Mon 2 Mar 15:00" in refused(app)
        await press(pilot, *"dry early", "enter")
        assert office.calls[-1] == ("tick", 101, (6,), "", "dry early")
        assert refused(app) == ""
        assert "Ticked lay click rows, kitchen." in said(app)


async def test_reason_is_kept_when_refused_again(office: FakeOffice, make_app: MakeApp) -> None:
    """What was typed as a reason stays in its field while the office still says no."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "right")
        front(app).sheet.select(("task", 101, 6))
        await press(pilot, "enter", *"fan on")
        office.task_rows = tuple(replace(one, state="done") for one in office.task_rows)
        await press(pilot, "enter")
        assert "is ticked already" in refused(app)
        assert front(app).refusal.query_one(Input).value == "fan on"


async def test_escape_closes_a_refusal_and_returns_to_the_list(office: FakeOffice, make_app: MakeApp) -> None:
    """After Esc the keys work on the list again and nothing was written."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "right")
        front(app).sheet.select(("task", 101, 6))
        await press(pilot, "enter", "escape")
        assert refused(app) == ""
        assert isinstance(app.focused, Sheet)
        assert office.log == []


async def test_whole_phase_at_once(office: FakeOffice, make_app: MakeApp) -> None:
    """P ticks all that is left of the phase of the section of the selected task, and no task of another day."""
    later = fake_rows.task(11, "subfloor prep", "dining", "Prime the patch")
    office.task_rows = (*office.task_rows, later)
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "P")
        assert office.calls == [("tick", 101, (4, 5), "", "")]


async def test_whole_phase_by_tap(office: FakeOffice, make_app: MakeApp) -> None:
    """The box beside a phase of a section does the same by tap."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        sheet = front(app).sheet
        box = sheet.box(("phase", 101, "subfloor prep", "dining"))
        await pilot.click(sheet, offset=(box.left + 2, box.top - sheet.scroll_offset.y))
        await settled(pilot)
        assert office.calls == [("tick", 101, (4, 5), "", "")]


async def test_a_cell_of_the_job_ticks_its_phase(office: FakeOffice, make_app: MakeApp) -> None:
    """On the page of a job, Enter on a phase of a section ticks all of it."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "3", "enter")
        front(app).sheet.select(("cell", "subfloor prep", "dining"))
        await press(pilot, "enter")
        assert office.calls[0] == ("tick_phase", 101, "subfloor prep", "dining", "", "")


async def test_long_refusal_leaves_room_for_the_reason(office: FakeOffice, make_app: MakeApp) -> None:
    """However much the office has to say, at 40x20 the field for the reason is in sight."""
    office.task_rows = tuple(replace(one, hold=f"{one.hold} {'And one thing more. ' * 20}") for one in office.task_rows)
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "enter")
        field = front(app).refusal.query_one(Input)
        assert field.region.height == 1
        assert field.region.bottom <= 19


async def test_time_typed_goes_with_the_ticks(office: FakeOffice, make_app: MakeApp) -> None:
    """A time set with w is sent as typed, shown, and its refusal is shown as it is."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "w", *"noonish", "enter")
        assert "Ticks count from: noonish" in front(app).sheet.text
        await press(pilot, "enter")
        assert office.calls == [("tick", 101, (4,), "noonish", "")]
        assert "'noonish' is no time" in refused(app)


async def test_undo_takes_back_the_tick(office: FakeOffice, make_app: MakeApp) -> None:
    """u after a tick: the task is to do again and the program says what was undone."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4", "enter", "u")
        assert said(app).startswith("Undone: Ticked screw down squeaks")
        assert next(one for one in office.task_rows if one.number == 4).state == "to do"
        assert "[x]" not in front(app).sheet.text


async def test_nothing_to_undo_is_said(office: FakeOffice, make_app: MakeApp) -> None:
    """An undo that cannot be done says why."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "u")
        assert "There is nothing to undo." in refused(app)


async def test_planning_shows_progress_and_stops(office: FakeOffice, make_app: MakeApp) -> None:
    """While planning runs the other screens work; Esc stops it and the best so far is told."""
    office.gate.clear()
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("2")
        await pilot.pause(0.1)
        await pilot.press("p")
        await pilot.pause(0.4)
        assert "12 of 40" in front(app).query_one(PlanningLine).text
        await pilot.press("1")
        await pilot.pause(0.2)
        assert "Self-leveler" in front(app).sheet.text
        assert front(app).query_one(PlanningLine).display
        await pilot.press("escape")
        await settled(pilot)
        assert "12 of 40 rounds" in said(app)
        assert "Tamm kitchen and bath is 4 days late." in said(app)
        assert not front(app).query_one(PlanningLine).display


async def test_quitting_stops_planning(office: FakeOffice, make_app: MakeApp) -> None:
    """Leaving the program does not wait for a plan that never ends."""
    office.gate.clear()
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        await pilot.press("p")
        await pilot.pause(0.2)
        await pilot.press("q")
    for _ in range(100):
        if office.log:
            break
        await asyncio.sleep(0.02)
    assert office.log[-1][0].endswith("12 of 40 rounds.")


async def test_visit_says_why_and_is_pinned(office: FakeOffice, make_app: MakeApp) -> None:
    """Enter on a visit shows its reason; crew and day chosen there are pinned."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "2")
        front(app).sheet.select(("visit", date(2026, 3, 3), 0))
        await press(pilot, "enter")
        texts = " ".join(str(widget.render()) for widget in app.screen.query("#body Static"))
        assert "The leveler is ready on Mon 2 Mar 15:00" in texts
        app.screen.query_one("#crew", Select).value = "Cedar"
        app.screen.query_one("#day", Select).value = date(2026, 3, 4)
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "pin"))
        await settled(pilot)
        assert office.calls == [("pin", 101, 6, "Cedar", date(2026, 3, 4))]
        assert "Pinned task 6" in said(app)


async def test_pinned_visit_is_unpinned(office: FakeOffice, make_app: MakeApp) -> None:
    """A pinned visit offers to be unpinned; others do not."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "2")
        front(app).sheet.select(("visit", date(2026, 3, 4), 0))
        await press(pilot, "enter")
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "unpin"))
        await settled(pilot)
        assert office.calls == [("unpin", 101, 8)]


async def test_week_turns_and_comes_back(office: FakeOffice, make_app: MakeApp) -> None:
    """] and [ go a week on and back, t to the week that runs."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "2", "right_square_bracket")
        assert "Week of Mon 9 Mar 2026" in front(app).sheet.text
        await press(pilot, "left_square_bracket", "left_square_bracket")
        assert "Week of Mon 23 Feb 2026" in front(app).sheet.text
        await press(pilot, "t")
        assert "Week of Mon 2 Mar 2026" in front(app).sheet.text


async def test_day_plans_say_where_they_are(office: FakeOffice, make_app: MakeApp) -> None:
    """d writes the plans of the selected day and names the files and their folder."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "2")
        front(app).sheet.select(("visit", date(2026, 3, 4), 1))
        await press(pilot, "d")
        assert office.calls == [("day_plans", date(2026, 3, 4), "", False)]
        assert str(app.folder) in said(app)
        assert "2026-03-04-birch.pdf" in said(app)


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


async def test_cartons_that_are_no_number_are_said_beside_the_field(office: FakeOffice, make_app: MakeApp) -> None:
    """The office is not asked; the sentence stands at the field and the text stays."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "a", "enter")
        cartons = app.screen.query_one("#field-cartons", Field)
        cartons.query_one(Input).value = "three"
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "save"))
        await settled(pilot)
        assert "whole number" in str(cartons.query_one(".note").render())
        assert cartons.value == "three"
        assert office.calls == []


async def test_arrival_is_recorded_with_its_lot(office: FakeOffice, make_app: MakeApp) -> None:
    """Cartons, lot and being in the rooms reach the office as they were given."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "a", "enter", "tab", *"C9", "tab", "tab", "space")
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "save"))
        await settled(pilot)
        assert office.calls == [("arrived", 101, "Quarter round, white", 3, "C9", "", True)]
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
        await press(pilot, "x")
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


async def test_two_thousand_jobs_are_all_within_reach(office: FakeOffice, make_app: MakeApp) -> None:
    """A long list is drawn in leaves, says how many more there are, and finds among all of them."""
    office.job_rows = tuple(fake_rows.job_row(number=number, title=f"House {number}") for number in range(1, 2001))
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3")
        assert "1,750 more" in front(app).sheet.text
        await press(pilot, "end", "enter")
        assert "1,500 more" in front(app).sheet.text
        await press(pilot, "slash", *"1999")
        assert ("job", 1999) in front(app).sheet.targets


async def test_selection_survives_resizing(office: FakeOffice, make_app: MakeApp) -> None:
    """From wide to narrow and back the same visit stays selected and in view."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "2")
        sheet = front(app).sheet
        target = ("visit", date(2026, 3, 5), 1)
        sheet.select(target)
        for width, height in ((40, 20), (80, 24), (120, 36)):
            await pilot.resize_terminal(width, height)
            await settled(pilot)
            box = sheet.box(target)
            assert sheet.selected == target
            assert sheet.scroll_offset.y <= box.top
            assert box.bottom < sheet.scroll_offset.y + sheet.size.height


async def test_typed_text_is_never_markup(office: FakeOffice, make_app: MakeApp) -> None:
    """Brackets and escape characters in a title are shown, in lists, pages, dialogs and sentences."""
    office.title = "[bold]x[/] \x1b[31m"
    office.job_rows = (fake_rows.job_row(title=office.title),)
    office.wait_rows = (fake_rows.wait(title=office.title, what="[red]oak[/red]", job=101),)
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "[red]oak[/red]" in front(app).sheet.text
        assert "[bold]x[/] ␛[31m" in front(app).sheet.text
        await press(pilot, "3", "enter", "e")
        assert "[bold]x[/] ␛[31m" in app.screen.query_one("#field-title", Field).value
        app.screen.query_one("#field-title", Field).query_one(Input).value = "[link=x]y"
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "save"))
        await settled(pilot)
        await press(pilot, "4")
        assert "[link=x]y" in front(app).sheet.text


@pytest.mark.parametrize("key", ["1", "2", "3", "4"])
async def test_no_shop_says_what_to_do(key: str, make_app: MakeApp) -> None:
    """Every screen of an empty database names the two commands that fill it."""
    app = make_app(FakeOffice(empty=True))
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, key)
        assert "crewjobs load shop.toml" in front(app).sheet.text
        assert "crewjobs demo" in " ".join(front(app).sheet.text.split())


async def test_no_plan_says_what_to_do(make_app: MakeApp) -> None:
    """A shop that has not planned is told which key plans."""
    app = make_app(FakeOffice(planned=False))
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        assert "No plan yet. Press p" in front(app).sheet.text


async def test_nothing_waits_is_said(office: FakeOffice, make_app: MakeApp) -> None:
    """An empty waiting list says so and where to go on."""
    office.wait_rows = ()
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "Nothing is waited for" in front(app).sheet.text


@pytest.mark.parametrize("key", ["1", "2", "3", "4"])
async def test_records_that_cannot_be_opened(key: str, make_app: MakeApp) -> None:
    """Every screen shows the office's sentence, and the keys still work."""

    def factory() -> FakeOffice:
        raise Refused("jobs.db is from a newer crewjobs: update this one.")

    app = CrewApp(factory, make_app(FakeOffice()).folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, key)
        assert "Jobs.db is from a newer crewjobs" in front(app).sheet.text


async def test_a_fault_of_the_program_is_a_sentence(office: FakeOffice, make_app: MakeApp, monkeypatch) -> None:
    """An error nobody foresaw is told without a traceback, and the program goes on."""

    def week(_monday: date | None = None) -> WeekView:
        raise ValueError("a slot of 0 minutes")

    monkeypatch.setattr(office, "week", week)
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        assert "met a fault of its own (ValueError: a slot of 0 minutes)" in refused(app)
        await press(pilot, "1")
        assert "Self-leveler" in front(app).sheet.text


async def test_first_frame_comes_before_the_records(office: FakeOffice, make_app: MakeApp) -> None:
    """The screen stands while the office is still being built in a thread of its own."""
    built, threads = threading.Event(), []

    def factory() -> FakeOffice:
        threads.append(threading.current_thread())
        built.wait(5)
        return office

    app = CrewApp(factory, make_app(office).folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.1)
        assert "Opening the records" in front(app).sheet.text
        built.set()
        await settled(pilot)
        assert "Self-leveler" in front(app).sheet.text
        assert threads[0] is not threading.main_thread()


async def test_help_does_what_its_keys_do(office: FakeOffice, make_app: MakeApp) -> None:
    """A key chosen in help acts on the screen below, so that a mouse alone reaches everything."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4", "question_mark")
        await tap(pilot, app.screen.query_one(Sheet), "P")
        assert office.calls == [("tick", 101, (4, 5), "", "")]


async def test_key_line_is_clickable(office: FakeOffice, make_app: MakeApp) -> None:
    """A click on a key in the bottom line does what the key does."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        line = front(app).query_one(KeyLine)
        await pilot.click(line, offset=(line.text.index("week after"), 0))
        await settled(pilot)
        assert "Week of Mon 9 Mar 2026" in front(app).sheet.text


async def test_screens_are_reached_by_click(office: FakeOffice, make_app: MakeApp) -> None:
    """The names on top lead to the screens, at 40 columns, too."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await settled(pilot)
        for column, mode in ((12, "week"), (22, "jobs"), (30, "on_site"), (2, "waiting")):
            await pilot.click("Headline", offset=(column, 0))
            await settled(pilot)
            assert app.current_mode == mode


async def test_palette_reaches_the_screens_own_actions(office: FakeOffice, make_app: MakeApp) -> None:
    """The command palette lists planning, going, undo and what the screen itself can do."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4")
        titles = {command.title for command in app.get_system_commands(app.screen)}
        assert {"Plan the weeks", "Go to Waiting", "Undo", "All", "Crew", "Quit"} <= titles
