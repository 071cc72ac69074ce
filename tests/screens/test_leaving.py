"""A link that drops: what was acknowledged is kept, and one comes back to where one was."""

from __future__ import annotations

import os
import select
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest
from textual.widgets import Input

from crewjobs.screens import leaving, link
from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.palette import DAYLIGHT, LAMP
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.clock import DEMO_NOW
from crewjobs.services.forms.kept_files import KeptForms
from crewjobs.services.office import Office
from crewjobs.services.screen_memory import ScreenMemory, name_of
from tests.screens.conftest import front, press, said, settled
from tests.screens.fake_office import FakeOffice


def remembering(office: FakeOffice, folder: Path) -> CrewApp:
    """The app of a next start over the same memory."""
    memory, forms = ScreenMemory(folder / "screens.json", "shop"), KeptForms(folder / "forms", "shop")
    return CrewApp(lambda: office, folder, memory=memory, forms=forms)


async def test_after_a_dropped_link_one_is_where_one_was(office: FakeOffice, tmp_path: Path) -> None:
    """The same screen, crew, day and time from which ticks count; nothing was left on purpose."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "4", "g", "down", "enter", "right", "w", *"noon", "enter")
        shown = (front(app).sheet.text, app.crew, app.site_day)
    again = remembering(office, tmp_path)
    async with again.run_test(size=(40, 20)) as pilot:
        await settled(pilot)
        assert again.current_mode == "on_site"
        assert (front(again).sheet.text, again.crew, again.site_day) == shown
        assert "Ticks count from: noon" in front(again).sheet.text


async def test_a_job_page_is_come_back_to(office: FakeOffice, tmp_path: Path) -> None:
    """A page above a screen is opened again, too."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter")
        number = app.job
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert type(front(again)).__name__ == "JobScreen"
        assert again.job == number


async def test_a_form_that_was_open_is_taken_up(office: FakeOffice, tmp_path: Path) -> None:
    """A job being written comes back, page, lines and all; closed, it does not."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "+", *"Rivera")
        app.screen.keep_now()
    app.forms._lock.release()  # as the system does when a process ends
    seconds = office.now().timestamp()
    os.utime(app.forms._own, (seconds, seconds))
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert type(again.screen).__name__ == "DraftForm"
        assert again.focused.value == "Rivera"
        assert "taken up as it was typed" in str(again.screen.query_one("#fault").content)
        assert " · kept from Mon 2 Mar 06:30 · " in again.screen.title_text()  # by the shop's clock
        await press(pilot, "escape", "escape")
        assert again.front is again.screen
    assert list((tmp_path / "forms").iterdir()) == []


async def test_an_evening_being_typed_is_taken_up(office: FakeOffice, tmp_path: Path) -> None:
    """Every line that was typed, in its field."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4", "h", *"7:10", "enter", *"15:00")
        app.screen.keep_now()
        typed = [(field.key, field.value) for field in app.screen.query(Field) if field.value]
    app.forms._lock.release()
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert [(field.key, field.value) for field in again.screen.query(Field) if field.value] == typed
        assert len(typed) == 2


@pytest.mark.parametrize("answer", ["chosen", "let go", "left open"])
async def test_the_sheet_of_a_crew_that_is_no_more_is_asked_for(
    answer: str, office: FakeOffice, tmp_path: Path
) -> None:
    """It has another name since: whose sheet it is is said then, or at the next start; nothing typed is lost."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "4", "h", *"7:20")
        app.screen.keep_now()
    app.forms._lock.release()
    office.crews = lambda: ("Zeder", "Cedar")  # type: ignore[method-assign]
    seen = office.evening_sheet
    office.evening_sheet = lambda crew, day: replace(seen("Birch", day), crew=crew)  # type: ignore[method-assign]
    if answer == "left open":
        app = remembering(office, tmp_path)
        async with app.run_test(size=(40, 20)) as pilot:
            await settled(pilot)
            assert isinstance(app.screen, Choose)
            await press(pilot, "escape")
            assert "The sheet of Birch stays kept" in said(app)
            await press(pilot, "4", "g", "enter", "h", "escape")
    app = remembering(office, tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await settled(pilot)
        assert isinstance(app.screen, Choose)
        assert "there is no crew Birch any more" in " ".join(app.screen.query_one(Sheet).text.split())
        app.screen.query_one(Sheet).select("" if answer == "let go" else "Zeder")
        await press(pilot, "enter")
        if answer == "let go":
            assert len(app.screen_stack) == 1
        else:
            assert app.screen.query(Field).first().value == "7:20"
            await press(pilot, "ctrl+s")
            assert office.calls[-1][:2] == ("evening", "Zeder")
    app = remembering(office, tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await settled(pilot)
        assert len(app.screen_stack) == 1


async def test_who_leaves_begins_with_what_waits(office: FakeOffice, tmp_path: Path) -> None:
    """After q the next start opens on Waiting."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4", "q")
    again = remembering(office, tmp_path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert again.current_mode == "waiting"


async def test_the_palette_is_kept(office: FakeOffice, tmp_path: Path) -> None:
    """Light or dark stays as it was left."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        assert app.theme == LAMP.name
        await press(pilot, "b")
        assert said(app).startswith("Palette daylight: dark on light")
        await press(pilot, "q")
    assert remembering(office, tmp_path).theme == DAYLIGHT.name


@pytest.mark.parametrize(
    ("environ", "asked", "slow"),
    [
        ({}, None, False),
        ({"SSH_CONNECTION": "192.0.2.7 50022 192.0.2.8 22"}, None, True),
        ({"SSH_CONNECTION": "192.0.2.7 50022 192.0.2.8 22", "CREWJOBS_SLOW_LINK": "0"}, None, False),
        ({"CREWJOBS_SLOW_LINK": "1"}, None, True),
        ({"CREWJOBS_SLOW_LINK": "1"}, False, False),
        ({}, True, True),
    ],
)
def test_when_a_link_is_slow(environ: dict[str, str], asked: bool | None, slow: bool) -> None:
    """The command line outranks the environment, which outranks that it is SSH."""
    assert link.is_slow(environ, asked) is slow


async def test_on_a_slow_link_nothing_moves_by_itself(office: FakeOffice, tmp_path: Path) -> None:
    """Nothing is animated and no cursor blinks."""
    app = CrewApp(lambda: office, tmp_path, slow=True)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "4", "w")
        assert app.animation_level == "none"
        assert not app.focused.cursor_blink


async def test_on_a_slow_link_every_form_opens(office: FakeOffice, tmp_path: Path) -> None:
    """The pages of a new job have lines, boxes and choices; none of them may count on a cursor that blinks."""
    app = CrewApp(lambda: office, tmp_path, slow=True)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "3", "+")
        form = app.screen
        for _ in range(9):
            await press(pilot, "pagedown")
        assert app.screen is form
        assert not any(field.cursor_blink for field in form.query(Input))


class Terminal:
    """The program at a terminal that can be taken away."""

    def __init__(self, database: Path, home: Path) -> None:
        """Start the screens."""
        import pty

        self.ours, theirs = pty.openpty()
        environ = {**os.environ, "HOME": str(home), "XDG_CONFIG_HOME": str(home), "TERM": "xterm-256color"}
        environ |= {"COLUMNS": "80", "LINES": "24", "CREWJOBS_SLOW_LINK": "1"}
        command = [sys.executable, "-m", "crewjobs.cli.main", "--db", str(database)]
        self.process = subprocess.Popen(
            command, stdin=theirs, stdout=theirs, stderr=theirs, env=environ, start_new_session=True
        )
        os.close(theirs)
        self.seen = ""

    def until(self, there: Callable[[str], bool], seconds: float = 60.0) -> None:
        """Read what is painted until something is there."""
        end = time.monotonic() + seconds
        while not there(self.seen):
            assert time.monotonic() < end, self.seen[-2000:]
            if select.select([self.ours], [], [], 0.1)[0]:
                self.seen += os.read(self.ours, 65536).decode("utf-8", "replace")

    def type(self, text: str) -> None:
        """Press keys."""
        self.seen = ""
        os.write(self.ours, text.encode())


@pytest.mark.skipif(not hasattr(signal, "SIGHUP"), reason="this system has no such signal")
def test_a_terminal_that_goes_away_loses_nothing(demo_file: Path, tmp_path: Path) -> None:
    """A tick that was acknowledged is kept when the terminal hangs up, the process ends, and the place is remembered."""
    terminal = Terminal(demo_file, tmp_path)
    try:
        terminal.until(lambda seen: "waited" in seen)
        terminal.type("4")
        terminal.until(lambda seen: "today" in seen and "next" in seen)
        before = Office.at(database=demo_file).last_change()
        terminal.type("\r")
        os.kill(terminal.process.pid, signal.SIGCONT)  # as the system does beside the other; nothing was stopped
        terminal.until(lambda seen: "undo" in seen)
        assert "\x1b[?1049h" not in terminal.seen, "the terminal is begun a second time"
        os.kill(terminal.process.pid, signal.SIGHUP)
        os.close(terminal.ours)
        assert terminal.process.wait(30) == 128 + signal.SIGHUP
    finally:
        terminal.process.kill()
    assert Office.at(database=demo_file).last_change() > before
    place = ScreenMemory(tmp_path / "crewjobs" / "screens.json", name_of(demo_file)).place(DEMO_NOW)
    assert place is not None
    assert place.screen == "on_site"


async def test_a_form_that_cannot_be_kept_holds_up_no_end(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is only just opened, its lines not there yet, when the terminal goes."""
    monkeypatch.setattr(threading, "Timer", lambda *_: SimpleNamespace(start=lambda: None))  # it would end the tests
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "+")
        monkeypatch.setattr(app.screen, "kept", lambda: app.screen.query_one("#not-there-yet"))
        await leaving._end(app, 1)
    assert app.return_code == 129


@pytest.mark.parametrize("command", ["Go to jobs", "Go to on site", "New job", "Shop and crews"])
async def test_by_name_no_form_is_left_with_what_was_typed(office: FakeOffice, tmp_path: Path, command: str) -> None:
    """It asks as Esc does: what is typed stays in sight and kept, and no second form takes its place."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "+", *"Rivera")
        form = app.screen
        form.keep_now()
        next(one for one in app.get_system_commands(form) if one.title.casefold() == command.casefold()).callback()
        await settled(pilot)
        assert app.screen is form
        assert app.current_mode == "jobs"
        assert "Nothing of this is written yet" in str(form.query_one("#asked").content)
        assert list((tmp_path / "forms").iterdir()) != []
        await press(pilot, "s", "ctrl+q")
        assert "Nothing of this is written yet" in str(form.query_one("#asked").content)
        assert app.focused.value == "Riveras"
        assert not form.query_one("#fault").display


async def test_an_evening_is_not_left_by_name(office: FakeOffice, tmp_path: Path) -> None:
    """Nor is the evening's sheet; with nothing typed in it it is."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4", "h", "7")
        sheet = app.screen
        app.action_go("on_site")
        app.action_go("jobs")
        assert app.screen is sheet
        await press(pilot, "backspace")
        app.action_go("jobs")
        await settled(pilot)
        assert app.current_mode == "jobs"


@pytest.mark.skipif(not hasattr(signal, "SIGCONT"), reason="no process is stopped here")
def test_the_terminal_is_begun_anew_only_where_it_was_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    """In the background it stops within that once more, and goes on within it when it is brought to the front."""
    done: list[str] = []
    handlers: dict[int, Callable[[int, object], None]] = {}

    def goes_on(number: int, _frame: object) -> None:
        done.append("goes on")
        if done[-2:] == ["stops", "goes on"]:
            handlers[number](number, None)

    handlers |= {signal.SIGTSTP: lambda *_: done.append("stops"), signal.SIGCONT: goes_on}
    monkeypatch.setattr(signal, "getsignal", handlers.get)
    monkeypatch.setattr(signal, "signal", handlers.__setitem__)
    leaving._begin_again_only_where_stopped()
    for name in ("SIGCONT", "SIGTSTP", "SIGCONT", "SIGCONT"):
        handlers[getattr(signal, name)](getattr(signal, name), None)
    assert done == ["stops", "goes on", "goes on"]


async def test_all_is_painted_where_the_screens_are_gone_on_with(
    office: FakeOffice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stopped and brought to the front again, the terminal was empty but for what changed, until the next key."""
    app = remembering(office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        updates: list[str] = []
        monkeypatch.setattr(app, "_display", lambda _screen, seen: updates.append(type(seen).__name__))
        app.app_resume_signal.publish(app)
        await settled(pilot)
        assert "LayoutUpdate" in updates, "all of it"


BLOCKED = """
import asyncio, queue, types
from crewjobs.screens import leaving

leaving._WRITING_SECONDS = leaving._CLOSING_SECONDS = 0
leaving._GRACE_SECONDS = 1

async def paint_for_good() -> None:
    leaving.watch_for_the_end(types.SimpleNamespace(is_headless=False))
    print("ready", flush=True)
    full = queue.Queue(1)
    full.put("drawn")
    full.put("never drawn")

asyncio.run(paint_for_good())
"""


@pytest.mark.skipif(not hasattr(signal, "SIGHUP"), reason="no terminal hangs up here")
@pytest.mark.parametrize("told", ["SIGHUP", "SIGTERM"])
def test_a_loop_that_waits_for_a_terminal_that_is_gone_ends(told: str) -> None:
    """Where painting waits for good, nothing that is asked of the loop is done: the process ends all the same."""
    with subprocess.Popen([sys.executable, "-c", BLOCKED], stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        process.send_signal(getattr(signal, told))
        assert process.wait(timeout=120) == -signal.SIGALRM
