"""What holds for all screens: opening, faults, typed text, help, keys and clicks."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from textual import events
from textual.widgets import Button, Input

from crewjobs.domain.errors import Refused
from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.help import MOVING
from crewjobs.screens.job import JobScreen
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.key_line import KeyLine
from crewjobs.screens.widgets.planning_line import PlanningLine
from crewjobs.screens.widgets.refusal import Sentences
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.rows import JobPage, WeekView
from tests.screens import fake_rows
from tests.screens.conftest import front, press, refused, said, settled, tap, title_of
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]
PHONE = (40, 20)
PAINTING = ("crewjobs.screens.widgets.sheet:Sheet.render_line", "crewjobs.screens.widgets.drawn:Drawn.render_line")


async def test_nothing_to_undo_is_said(office: FakeOffice, make_app: MakeApp) -> None:
    """An undo that cannot be done says why."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "u")
        assert "There is nothing to undo." in refused(app)


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


@pytest.mark.parametrize("key", ["1", "2", "3", "4", "5", "6"])
async def test_no_shop_says_what_to_do(key: str, make_app: MakeApp) -> None:
    """Every screen of an empty database names the two commands that fill it."""
    app = make_app(FakeOffice(empty=True))
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, key)
        assert "crewjobs load shop.toml" in front(app).sheet.text
        assert "crewjobs demo" in " ".join(front(app).sheet.text.split())


async def test_nothing_waits_is_said(office: FakeOffice, make_app: MakeApp) -> None:
    """An empty waiting list says so and where to go on."""
    office.wait_rows = ()
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "Nothing is waited for" in front(app).sheet.text


async def test_without_a_job_the_first_one_is_offered(office: FakeOffice, make_app: MakeApp) -> None:
    """A shop whose first job was not written yet opens with how to write it; the key is there and help names it."""
    office.wait_rows = office.job_rows = ()
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "No job yet. + writes one in a form" in front(app).sheet.text
        await press(pilot, "question_mark")
        assert "new job" in app.screen.query_one(Sheet).text


@pytest.mark.parametrize("key", ["1", "2", "3", "4", "5", "6"])
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
        assert app.screen.title_text() == "Tick 2 tasks of job 101 at once? subfloor prep, dining"


async def test_key_line_is_clickable(office: FakeOffice, make_app: MakeApp) -> None:
    """A click on a key in the bottom line does what the key does."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        line = front(app).query_one(KeyLine)
        await pilot.click(line, offset=(line.text.index("week after"), 0))
        await settled(pilot)
        assert title_of(app) == "Week of Mon 9 Mar 2026"


async def test_screens_are_reached_by_click(office: FakeOffice, make_app: MakeApp) -> None:
    """The names on top lead to the screens, at 40 columns, too."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await settled(pilot)
        for column, mode in (
            (8, "week"),
            (14, "jobs"),
            (20, "on_site"),
            (27, "rooms"),
            (34, "rates"),
            (2, "waiting"),
        ):
            await pilot.click("Headline", offset=(column, 0))
            await settled(pilot)
            assert app.current_mode == mode


async def test_palette_reaches_the_screens_own_actions(office: FakeOffice, make_app: MakeApp) -> None:
    """The command palette lists planning, going, undo and what the screen itself can do."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4")
        titles = {command.title for command in app.get_system_commands(app.screen)}
        assert {"Plan the weeks", "Go to Waiting", "Go to Rooms"} <= titles
        for begins in ("Undo: ", "All: ", "Crew: ", "Quit: "):
            assert any(title.startswith(begins) for title in titles), begins


@pytest.mark.parametrize("where", ["crewjobs.screens.waiting.draw_waits", "crewjobs.screens.drawing.bar", *PAINTING])
def test_a_fault_in_drawing_leaves_with_one_sentence(where: str, tmp_path: Path) -> None:
    """A fault of the screens themselves: exit code 1 and a sentence on standard error, never a traceback."""
    module, _, name = where.rpartition(".")
    code = f"""
import pkgutil
from pathlib import Path
from unittest.mock import patch

def broken(*_args, **_more):
    raise ZeroDivisionError("drawing \\x1b[31m")

patch.object(pkgutil.resolve_name({module!r}), {name!r}, broken).start()
from crewjobs.screens.app import CrewApp
from tests.screens.fake_office import FakeOffice

app = CrewApp(FakeOffice, Path({str(tmp_path)!r}))
app.run(headless=True, size=(80, 24))
raise SystemExit(app.return_code)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60)
    assert done.returncode == 1
    sentence = "crewjobs met a fault of its own (ZeroDivisionError: drawing ␛[31m); nothing recorded was lost."
    assert " ".join(done.stderr.split()) == sentence
    assert "Traceback" not in done.stdout


async def test_a_done_task_offers_no_reason(office: FakeOffice, make_app: MakeApp) -> None:
    """Ticking what is ticked already says so and no more: there is nothing to pass."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter")
        front(app).sheet.select(("task", 5))
        office.task_rows = tuple(replace(one, state="done") for one in office.task_rows)  # by somebody else, meanwhile
        await press(pilot, "enter")
        assert office.calls == [("tick", 101, (5,), "", "")]
        assert "Nothing changed" in refused(app)
        assert "is ticked already" in refused(app)
        assert front(app).refusal.query_one(Input).region.height == 0


async def test_a_refusal_that_is_no_hold_offers_no_reason(office: FakeOffice, make_app: MakeApp) -> None:
    """A moment that is none is refused with its sentence alone, also where a reason could be sent."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4")
        front(app).act(
            lambda face: face.tick(101, [4], at="noonish"),
            lambda reason: None,
        )
        await settled(pilot)
        assert "is no time" in refused(app)
        assert front(app).refusal.query_one(Input).region.height == 0


@pytest.mark.parametrize("keys", [("1",), ("2",), ("3",), ("4",), ("5",), ("3", "enter")], ids="-".join)
async def test_no_screen_hides_a_key_of_the_app(keys: tuple[str, ...], office: FakeOffice, make_app: MakeApp) -> None:
    """Each key that help shows as working everywhere does the app's own action on every screen."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, *keys)
        told = {display for display, _, _ in MOVING}
        for key, binding in app._bindings.key_to_bindings.items():
            (mine,) = binding
            if mine.show or mine.key in told or mine.action.startswith("go("):
                active = app.screen.active_bindings[key]
                assert (active.node, active.binding.action) == (app, mine.action), key
        assert {"b"} <= told & set(app._bindings.key_to_bindings)


async def test_what_another_program_recorded_is_read_when_one_looks_again(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """The terminal gets the focus: where the newest change is another, the screen is read anew; below a dialog it is not."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4")
        office.tick(101, [4])
        assert "[x]" not in front(app).sheet.text
        await press(pilot, "question_mark")
        app.post_message(events.AppFocus())
        await settled(pilot)
        assert "[x]" not in front(app).sheet.text
        await press(pilot, "escape")
        office.tick(101, [5])
        app.post_message(events.AppFocus())
        await settled(pilot)
        assert front(app).sheet.text.count("[x]") >= 2


@pytest.mark.parametrize("keys", ["4g", "6g", "1r", "2r", "2c", "2i", "5g", "4v", "4s", "4h", "4w", "2p"])
async def test_no_list_is_offered_before_the_records_are_open(office: FakeOffice, tmp_path: Path, keys: str) -> None:
    """A list of crews, jobs or forms asked for while they open would stand empty for good: that they open is said instead."""
    gate = threading.Event()

    def slowly() -> FakeOffice:
        gate.wait(10)
        return office

    app = CrewApp(slowly, tmp_path)
    async with app.run_test(size=PHONE) as pilot:
        for key in keys:
            await pilot.press(key)
            await pilot.pause(0.05)
        answered, stack = said(app), len(app.screen_stack)
        gate.set()
        await settled(pilot)
        assert "Still opening the records" in answered
        assert stack == 1
        assert "Still opening the records" not in said(app)  # they are open by now


@pytest.mark.parametrize("keys", ["a", "down", "enter", "r", "3e", ""])
@pytest.mark.parametrize("opened", [False, True])
async def test_keys_before_the_first_screen_stands_are_not_lost_without_a_word(
    office: FakeOffice, tmp_path: Path, keys: str, opened: bool
) -> None:
    """Once it stands it says that they did nothing, on the screen that was gone to; the next screens say nothing of the kind."""
    gate, reads = threading.Event(), {name: getattr(office, name) for name in ("waiting", "jobs")}

    def slowly() -> FakeOffice:
        if not opened:
            gate.wait(10)
        return office

    def read(name: str) -> Callable[..., object]:
        def slow(*asked: object, **named: object) -> object:
            gate.wait(10)
            return reads[name](*asked, **named)

        return slow

    for name in reads:
        setattr(office, name, read(name))
    app = CrewApp(slowly, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.2)
        for key in [keys] if len(keys) > 2 else keys:
            await pilot.press(key)
            await pilot.pause(0.05)
        gate.set()
        await settled(pilot)
        assert said(app) == ("What was struck before this was read did nothing: strike it again." if keys else "")
        assert office.calls == []
        await press(pilot, "2", "down")
        assert said(app) == ""


async def test_whose_day_is_asked_once_the_records_are_open(office: FakeOffice, make_app: MakeApp) -> None:
    """Then every crew is in the list."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "g")
        assert all(crew in app.screen.query_one(Sheet).text for crew in fake_rows.CREWS)


@pytest.mark.parametrize(
    ("keys", "reads"),
    [
        ("5p", "rooms"),
        ("5e", "rooms"),
        ("4h", "site_day"),
        ("4f", "site_day"),
        ("2]", "week"),
        ("3e", "jobs"),
        ("3r", "jobs"),
        ("6e", "rates"),
        ("6g", "rates"),
    ],
)
async def test_a_key_before_its_screen_is_read_is_answered(
    office: FakeOffice, make_app: MakeApp, keys: str, reads: str
) -> None:
    """It is neither lost nor answered out of what nobody has read: that it is read still is said, on every screen."""
    gate, read = threading.Event(), getattr(office, reads)

    def slowly(*asked: object) -> object:
        gate.wait(10)
        return read(*asked)

    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await settled(pilot)
        setattr(office, reads, slowly)
        for key in keys:
            await pilot.press(key)
            await pilot.pause(0.05)
        answered, stack = said(app), len(app.screen_stack)
        gate.set()
        await settled(pilot)
        assert answered == "Reading …: press it again in a moment."
        assert stack == 1
        assert office.calls == []
        assert said(app) == ""  # it is read by now


async def test_what_was_too_early_is_not_said_above_what_cannot_be_shown(office: FakeOffice, make_app: MakeApp) -> None:
    """The reading ended without a page: why is said, and no key is to be pressed again."""
    gate = threading.Event()

    def refuses(*_asked: object) -> object:
        gate.wait(10)
        raise Refused("the rooms cannot be read.")

    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await settled(pilot)
        office.rooms = refuses  # type: ignore[method-assign, assignment]
        await pilot.press("5")
        await pilot.pause(0.05)
        await pilot.press("p")
        await pilot.pause(0.05)
        answered = said(app)
        gate.set()
        await settled(pilot)
        assert answered == "Reading …: press it again in a moment."
        assert "Cannot be shown" in refused(app)
        assert said(app) == ""


async def test_records_that_cannot_be_opened_ask_for_no_other_try(tmp_path: Path) -> None:
    """Why they cannot is on the screen: that they are still being opened is said no more."""
    gate = threading.Event()

    def closed() -> FakeOffice:
        gate.wait(10)
        raise Refused("the file is no database.")

    app = CrewApp(closed, tmp_path)
    async with app.run_test(size=PHONE) as pilot:
        await pilot.press("r")
        await pilot.pause(0.05)
        answered = said(app)
        gate.set()
        await settled(pilot)
        assert "Still opening the records" in answered
        assert "The file is no database." in front(app).sheet.text
        assert said(app) == ""


async def test_a_key_about_the_job_itself_waits_for_no_page(office: FakeOffice, make_app: MakeApp) -> None:
    """Enter and e in one go: the job's form opens, whatever of its page is read by then."""
    gate, read = threading.Event(), office.job
    calls: list[int] = []

    def slowly(number: int) -> JobPage:
        calls.append(number)
        if len(calls) == 1:
            gate.wait(10)
        return read(number)

    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3")
        office.job = slowly  # type: ignore[method-assign]
        await pilot.press("enter")
        await pilot.pause(0.05)
        await pilot.press("e")
        await pilot.pause(0.2)
        stack = len(app.screen_stack)
        gate.set()
        await settled(pilot)
        assert stack == 3


async def test_seconds_at_work_are_those_of_the_search_that_runs(office: FakeOffice, make_app: MakeApp) -> None:
    """A screen that was not in front when one ended does not count on from it in the next."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "1", "2")
        app._progress((0, 0, "a search"))
        await press(pilot, "1")
        line = front(app).query_one(PlanningLine)
        line.seconds = 22  # so long the first one took
        await press(pilot, "3")
        app._progress(None)
        await press(pilot, "2")
        app._progress((0, 0, "another search"))
        await press(pilot, "1")
        assert front(app).query_one(PlanningLine) is line
        assert line.seconds < 5
        app._progress(None)


async def test_the_page_of_a_job_that_was_taken_back_closes(office: FakeOffice, make_app: MakeApp) -> None:
    """It is not shown as if the job were still there: the list says that there is none."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter")
        number = app.job
        office.job_rows = [row for row in office.job_rows if row.number != number]
        front(app).read_anew()
        await settled(pilot)
        assert not isinstance(front(app), JobScreen)
        assert f"There is no job {number} any more" in said(app)


async def test_a_dialog_that_does_not_open_says_why_until_it_is_read(office: FakeOffice, make_app: MakeApp) -> None:
    """A screen that is read anew meanwhile closes nothing that was said of something else."""
    app = make_app(office)

    def fails(_office: object) -> None:
        raise Refused("The sheet is not there.")

    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4")
        front(app).ask_to_open(fails, lambda _none: None)
        await settled(pilot)
        assert "The sheet is not there." in refused(app)
        front(app).load()
        await settled(pilot)
        assert "The sheet is not there." in refused(app)
        await press(pilot, "escape")
        assert not refused(app)


async def test_what_a_refusal_says_on_top_is_whole(office: FakeOffice, make_app: MakeApp) -> None:
    """On a narrow terminal, too, that a key shows the rest is not cut."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "4")
        front(app).refusal.say(("It is on hold because of a thing that takes many words to say. " * 5,))
        await settled(pilot)
        lines = front(app).refusal.query_one(Sentences)
        drawn = ["".join(piece.text for piece in line) for line in lines.draw(lines.size.width)]
        assert any("n shows the rest" in line for line in drawn)
        assert all(len(line) <= lines.size.width for line in drawn)


async def test_the_answers_to_a_long_question_are_in_sight(office: FakeOffice, make_app: MakeApp) -> None:
    """What is told with it is what is scrolled."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        told = ("Much is told about what would be taken back and who did it. " * 8,)
        app.push_screen(
            Choose("Take this back?", [("leave", "Leave it"), ("take", "Take it back")], "leave", told=told)
        )
        await settled(pilot)
        sheet = app.screen.query_one(Sheet)
        seen = "\n".join("".join(segment.text for segment in sheet.render_line(y)) for y in range(sheet.size.height))
        assert "Leave it" in seen
        assert "Take it back" in seen
        assert "Much is told" in seen


async def test_a_line_has_no_commands_of_its_own(office: FakeOffice, make_app: MakeApp) -> None:
    """How the cursor moves in a field is not offered by name."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "+")
        titles = [one.title.casefold() for one in app.get_system_commands(app.screen)]
        assert not any("cursor" in title for title in titles)


@pytest.mark.parametrize(("key", "what"), [("1", "what is waited for"), ("3", "a job"), ("4", "a task")])
async def test_where_nothing_can_be_selected_enter_says_so(make_app: MakeApp, key: str, what: str) -> None:
    """It is in the key line there, too: it says of what it would be, as the other keys do."""
    app = make_app(FakeOffice(empty=True))
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, key, "enter")
        assert said(app) == f"Select {what} first."
