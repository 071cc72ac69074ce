"""The app: paints first, then builds the office in a thread; the keys and colors all screens share."""

from __future__ import annotations

import asyncio
import os
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterable, Mapping
from functools import partial
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Any, TypeVar

from rich.text import Text
from textual import events
from textual._context import active_message_pump
from textual.app import App
from textual.binding import Binding
from textual.screen import ModalScreen
from textual.widget import AwaitMount, Widget
from textual.worker import WorkerFailed, active_worker

from crewjobs.screens.base import OPENING, CrewScreen
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.in_turn import InTurn
from crewjobs.screens.leaving import note_place, return_to, watch_for_the_end
from crewjobs.screens.link import PROGRESS_SECONDS
from crewjobs.screens.odds_kept import OddsKept
from crewjobs.screens.outcome import Outcome, fault_words, outcome_of, work
from crewjobs.screens.palette import DAYLIGHT, LAMP
from crewjobs.screens.waiting import WaitingScreen
from crewjobs.screens.warming import warm
from crewjobs.screens.widgets.key_line import KeyLine
from crewjobs.screens.widgets.planning_line import PlanningLine, Progress
from crewjobs.screens.words import clean

if TYPE_CHECKING:
    from datetime import datetime

    from textual.actions import ActionParseResult
    from textual.app import SystemCommand
    from textual.command import Provider
    from textual.dom import DOMNode
    from textual.screen import Screen

    from crewjobs.domain.units import UnitSystem
    from crewjobs.screens.draft.beginning import BeginningFactory
    from crewjobs.services.forms.kept_files import KeptForms
    from crewjobs.services.rows import Done
    from crewjobs.services.screen_memory import ScreenMemory

T = TypeVar("T")
OfficeFactory = Callable[[], OfficeFace]
_TURN_SECONDS = 0.001
PALETTES = (LAMP.name, DAYLIGHT.name)
_TOLD = 6
"""So many answers ``n`` shows."""
_OF_SCREENS = ("go(", "undo", "redo")
"""How that begins which the app does to the screens below a dialog."""


def _week() -> Screen[None]:
    from crewjobs.screens.week import WeekScreen

    return WeekScreen()


def _jobs() -> Screen[None]:
    from crewjobs.screens.jobs import JobsScreen

    return JobsScreen()


def _on_site() -> Screen[None]:
    from crewjobs.screens.on_site import OnSiteScreen

    return OnSiteScreen()


def _rooms() -> Screen[None]:
    from crewjobs.screens.rooms import RoomsScreen

    return RoomsScreen()


def _rates() -> Screen[None]:
    from crewjobs.screens.rates import RatesScreen

    return RatesScreen()


def _commands() -> type[Provider]:
    from crewjobs.screens.commands import Commands

    return Commands


class CrewApp(App[None]):
    """Six screens, each its own mode, so that one comes back to where one was."""

    CSS_PATH = Path(__file__).with_name("crewjobs.tcss")
    TITLE = "crewjobs"
    MODES = {
        "waiting": WaitingScreen,
        "week": _week,
        "jobs": _jobs,
        "on_site": _on_site,
        "rooms": _rooms,
        "rates": _rates,
    }
    DEFAULT_MODE = "waiting"
    LOOK_SECONDS = 10.0
    """How long a better plan is looked for after planning, unless Esc ends it; 0: not at all."""
    LOOK_AFTER_SECONDS = 5.0
    """How long one is looked for by itself after something was recorded; 0: not at all."""
    LOOK_AFTER_PAUSE = 0.6
    """Seconds before that begins: who records one thing after the other is not looked for each time."""
    COMMAND_PALETTE_DISPLAY = "^p"
    COMMANDS = {_commands}
    BINDINGS = [
        Binding("1", "go('waiting')", "Waiting", show=False),
        Binding("2", "go('week')", "Week", show=False),
        Binding("3", "go('jobs')", "Jobs", show=False),
        Binding("4", "go('on_site')", "On site", show=False),
        Binding("5", "go('rooms')", "Rooms", show=False),
        Binding("6", "go('rates')", "Rates", show=False),
        Binding("u", "undo", "undo"),
        Binding("U", "redo", "put back", show=False),
        Binding("n", "answer", "all that was said last", show=False),
        Binding("b", "light", "light or dark", show=False),
        Binding("q", "quit", "quit"),
        Binding("question_mark", "help", "help", key_display="?"),
        Binding("f1", "help", "help", key_display="F1", show=False),
    ]

    def __init__(
        self,
        factory: OfficeFactory,
        folder: Path,
        beginning: BeginningFactory | None = None,
        *,
        slow: bool = False,
        memory: ScreenMemory | None = None,
        forms: KeptForms | None = None,
    ) -> None:
        """Take what builds the office and where pages go.

        Args:
            factory: builds the office; called in a thread after the first frame.
            folder: where pages are written.
            beginning: what is offered where there is no shop yet; called like the factory.
            slow: whether the link is to be spared.
            memory: what this person's screens remember between two runs; None remembers nothing.
            forms: where what is typed in an open form is kept; None keeps none.
        """
        # Without colors the terminal's own are left as they are, none of ours turned to gray.
        super().__init__(ansi_color=True if os.environ.get("NO_COLOR") else None)
        self.register_theme(LAMP)
        self.register_theme(DAYLIGHT)
        self.memory = memory
        self.forms = forms
        self.theme = memory.palette if memory is not None and memory.palette in PALETTES else LAMP.name
        self.slow = slow
        self._factory = factory
        self.no_shop = False
        """Whether what to begin with is asked, because there is no shop yet."""
        self._beginning = beginning
        self.folder = folder
        self.office: OfficeFace | None = None
        self.trouble: tuple[str, ...] = ()
        """Why the records cannot be opened, when they cannot."""
        self.shop = ""
        self.units: UnitSystem = "us"
        self.demo = False
        self.crews: tuple[str, ...] = ()
        self._shop_seen = 0
        """The newest change that shop, units and crews are known with."""
        self.crew = ""
        """The crew whose day On site shows."""
        self.site_day = ""
        """The day that it shows, ISO; empty is today."""
        self.ticks_from = ""
        """From when its ticks count; empty is now."""
        self.job: int | None = None
        """The job that was looked at last: Rooms opens with it."""
        self.odds = OddsKept()
        self.in_turn = InTurn(self)
        self.begun_at: int | None = None
        """The change that an undo would have taken back when the records were opened; None before, 0 where there was none."""
        self._spoke: CrewScreen | None = None
        self.told_last: deque[tuple[str, ...]] = deque(maxlen=_TOLD)
        """What was said last on any screen, the newest first, also where it is out of sight since."""
        self.taken_back: list[tuple[int, str]] = []
        """The undos of this session that can be put back, the last one last."""
        self.taking_up = False
        """Whether a form that was left may still wait for the one in front to be closed."""
        self.ending = False
        """Whether the terminal is gone: what is recorded now is told to nobody."""
        self.writing = asyncio.Lock()
        self.planning: Progress | None = None
        self._planning_since = 0.0
        self._stop = threading.Event()
        self._leave_off = threading.Event()

    def on_ready(self) -> None:
        """The first frame stands: now open the records."""
        if self.slow:
            self.animation_level = "none"
        watch_for_the_end(self)
        # A terminal that is begun anew is empty: only what changed since would be painted.
        self.app_resume_signal.subscribe(self, lambda _: self.refresh(layout=True))
        work(self, self._open, "open")

    async def _open(self) -> None:
        if self._beginning is not None:
            from crewjobs.screens.draft.beginning import begin

            if await begin(self, self._beginning):
                return
        await self.open_with(self._factory)
        await return_to(self)
        warm(self)

    async def no_shop_left(self) -> bool:
        """Return whether the shop's set-up was taken back, here or by another program."""
        beginning, office = self._beginning, self.office
        if beginning is None or office is None or (await outcome_of(office.shop_name)).value is not None:
            return False
        return bool((await outcome_of(lambda: beginning().needed())).value)  # no fault of the file or its disk

    def begin_anew(self) -> None:
        """Offer the first choice again, where the shop's set-up was taken back."""
        office, beginning = self.office, self._beginning
        if beginning is None or office is None:
            return
        self.office, self.shop, self.crews, self.job = None, "", (), None  # nothing is read of a shop that is none
        if self.front is not None:
            self.front.refusal.close()
        work(self, partial(self._begin_anew, beginning, office), "open")

    async def _begin_anew(self, beginning: BeginningFactory, office: OfficeFace) -> None:
        from crewjobs.screens.draft.beginning import begin
        from crewjobs.screens.kept_dialog import KeptDialog

        for one in self.screen_stack:
            if isinstance(one, KeptDialog):
                one.leave_kept()
        while len(self.screen_stack) > 1:
            self.pop_screen()
        if not await begin(self, beginning, office):
            await self.open_with(lambda: office)

    async def open_with(self, factory: OfficeFactory) -> None:
        """Open the records, and have every screen read them."""
        outcome = await outcome_of(partial(self._opened, factory))
        if outcome.value is None:
            self.trouble = outcome.sentences
            if self.front is not None:
                self.front.show_trouble()
            return
        self.no_shop = False
        self.office, self.shop, self.units, self.demo, self.crews = outcome.value
        for screen in self.screen_stack:
            if isinstance(screen, CrewScreen):
                screen.query_one(KeyLine).resting = False
                screen.load()

    def reads(self, office: OfficeFace, call: Callable[[OfficeFace], T]) -> Callable[[], tuple[int, T, datetime]]:
        """Return what reads something in a thread, with the newest change and the hour.

        Where something was changed since, by an undo or another program too, the shop's name, units and crews are read with
        it: a crew may have another name. They are known before what is read for one of them is refused.
        """

        def read() -> tuple[int, T, datetime]:
            newest = self.look_at_shop(office)
            return newest, call(office), office.now()

        return read

    def look_at_shop(self, office: OfficeFace) -> int:
        """Read the shop's name, units and crews where something was changed since, in a thread; return the newest change."""
        newest = office.last_change()
        if newest != self._shop_seen:
            name, units, crews = office.shop_name(), office.units(), office.crews()
            if office is self.office:
                self.shop, self.units, self.crews, self._shop_seen = name, units, crews, newest
        return newest

    async def read_shop(self) -> None:
        """The shop is another: its name, its crews."""
        if (office := self.office) is not None:
            await self.open_with(lambda: office)

    def _opened(self, factory: OfficeFactory) -> tuple[OfficeFace, str, UnitSystem, bool, tuple[str, ...]]:
        office = factory()
        if self.begun_at is None:
            stands = office.undo_next()
            self.begun_at = stands.number if stands is not None else 0
        return office, office.shop_name(), office.units(), office.is_demo(), office.crews()

    def on_app_focus(self) -> None:
        """The terminal is looked at again: another program may have recorded something meanwhile."""
        if self.front is not None:
            self.front.read_if_changed()

    def _fatal_error(self) -> None:
        """A fault in drawing ends the screens with one sentence; the traceback is for developers (TEXTUAL=debug)."""
        if "debug" in self.features:
            super()._fatal_error()
            return
        if self._exit_renderables:  # a drawing that fails, fails again while the screens close
            return
        error: BaseException | None = self._exception
        if isinstance(error, WorkerFailed):
            error = error.error
        self.panic(Text(clean(f"crewjobs met a fault of its own ({fault_words(error)}); nothing recorded was lost.")))

    @property
    def front(self) -> CrewScreen | None:
        """The screen in front, below any dialog."""
        return next((screen for screen in reversed(self.screen_stack) if isinstance(screen, CrewScreen)), None)

    async def on_event(self, event: events.Event) -> None:
        """Let nothing typed overtake what was typed before it."""
        if isinstance(event, events.Key | events.Paste) and not event.is_forwarded and self.in_turn.holds(event):
            return
        await super().on_event(event)

    async def run_action(
        self,
        action: str | ActionParseResult,
        default_namespace: DOMNode | None = None,
        namespaces: Mapping[str, DOMNode] | None = None,
    ) -> bool:
        """Do what a key means, unless a dialog came up after it was struck: nothing below that is acted on unseen.

        So it is with a screen that is not read yet: that is said.
        """
        node = default_namespace
        if isinstance(node, CrewScreen) and node.is_current and node.is_too_early(str(action)):
            return True
        if node is not None and isinstance(self.screen, ModalScreen):
            late = str(action).startswith(_OF_SCREENS) if node is self else node.screen is not self.screen
            if late:
                return False
        return await super().run_action(action, default_namespace, namespaces)

    def push_screen(self, screen: Any, *rest: Any, **named: Any) -> Any:
        """Open a page or a dialog, unless another one came up after what asks for it was struck.

        What was worked out meanwhile is shown wherever one is by then.
        """
        asks = active_message_pump.get(None)
        if isinstance(asks, Widget) and active_worker.get(None) is None and not asks.screen.is_active:
            return AwaitMount(self.screen, [])
        return super().push_screen(screen, *rest, **named)

    def action_command_palette(self) -> None:
        """All that keys and forms reach, by name."""
        from crewjobs.screens.command_palette import open_palette

        open_palette(self)

    def action_go(self, mode: str) -> None:
        """Go to one of the six screens; from a page above it, back down to it."""
        if self.asks_before_leaving():
            return
        if mode != self.current_mode:
            self.switch_mode(mode)
            return
        while len(self.screen_stack) > 1:
            self.pop_screen()

    def asks_before_leaving(self) -> bool:
        """Say whether something is typed in an open form that is not written; then that is said there.

        A form that is left by name would be lost, or hidden below another one: only one is kept for a dropped link.
        """
        from crewjobs.screens.dialog import Dialog

        typed = [one for one in self.screen_stack if isinstance(one, Dialog) and one.typed()]
        if typed:
            typed[-1].ask_to_keep()
        return bool(typed)

    def action_undo(self) -> None:
        """Take back the last change."""
        from crewjobs.screens.undoing import take_back

        if self.front is not None:
            take_back(self.front)

    def action_redo(self) -> None:
        """Put back what was taken back last."""
        from crewjobs.screens.undoing import put_back

        if self.front is not None:
            put_back(self.front)

    def action_answer(self) -> None:
        """All that was said last, to be read on a sheet of its own."""
        from crewjobs.screens.answer import said_whole

        if self.front is not None and self.told_last:
            self.push_screen(said_whole(self.told_last))
        elif self.front is not None:
            self.front.status.say("Nothing was said here yet.")

    def speaks(self, screen: CrewScreen) -> None:
        """What was done is told on this screen: what another one still says of an earlier step is stale, its undo with it."""
        before, self._spoke = self._spoke, screen
        if before is not None and before is not screen and before.is_attached:
            before.status.say()

    def action_light(self) -> None:
        """The other palette."""
        self.wear(DAYLIGHT.name if self.theme == LAMP.name else LAMP.name)

    def wear(self, palette: str) -> None:
        """Show this palette, now and next time."""
        self.theme = palette
        if self.memory is not None:
            self.memory.keep_palette(palette)
        if self.front is not None:
            words = (
                "dark on light, for outdoors" if palette == DAYLIGHT.name else "light on dark, for the kitchen table"
            )
            self.front.status.say(f"Palette {palette}: {words}; b changes it back.")

    def spare(self, slow: bool) -> None:
        """Spare the link from now on, or no more."""
        self.slow = slow
        self.animation_level = "none" if slow else "full"
        if self.front is not None:
            words = "is spared: nothing moves by itself, progress is told once a second" if slow else "is not spared"
            self.front.status.say(f"The link {words}.")

    def note_place(self) -> None:
        """Where one is now, for when the link drops."""
        note_place(self)

    async def action_quit(self) -> None:
        """Leave: the next start begins with what waits. What is typed and not written is asked for first (^q reaches over forms)."""
        if self.asks_before_leaving():
            return
        if self.memory is not None:
            self.memory.leave()
        await super().action_quit()

    def action_help(self) -> None:
        """What can be done here: on the screen, or in the dialog above it."""
        from crewjobs.screens.dialog import Dialog
        from crewjobs.screens.help import HelpScreen

        here = self.screen if isinstance(self.screen, Dialog) else self.front
        if here is not None and not isinstance(here, HelpScreen):
            self.push_screen(HelpScreen(here), self.press)

    def press(self, key: str | None) -> None:
        """Do what a key does here; of none nothing."""
        if key and (active := self.screen.active_bindings.get(key)):
            self.run_worker(self.run_action(active.binding.action, active.node))

    def open_job(self, number: int) -> None:
        """The page of one job, above where one is."""
        from crewjobs.screens.job import JobScreen

        self.job = number
        self.push_screen(JobScreen(number))

    def new_job(self) -> None:
        """The form of a new job, from everywhere."""
        from crewjobs.screens.draft.jobs import ask_new_job

        if self.front is not None and not self.asks_before_leaving():
            ask_new_job(self.front)

    def change_shop(self) -> None:
        """The form of the shop and its crews."""
        from crewjobs.screens.draft.jobs import ask_shop

        if self.front is not None and not self.asks_before_leaving():
            ask_shop(self.front)

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """The palette reaches all that keys and forms reach, and what needs no key."""
        from crewjobs.screens.commands import commands_of

        return commands_of(self, screen)

    # Planning

    def _begin(self, what: str) -> OfficeFace | None:
        """Return the office to work something out with; None, and a sentence, while something else is at work."""
        if self.planning is not None or self.office is None:
            if self.front is not None:
                busy = self.planning is not None
                self.front.status.say("Something is at work; Esc stops it." if busy else OPENING)
                self.in_turn.too_early()
            return None
        self._stop.clear()
        self._leave_off.set()
        if self.front is not None:
            self.front.refusal.close()  # Esc stops what is at work now: what was refused before is over
        self._progress((0, 0, what))
        return self.office

    def begin_work(self, what: str) -> Callable[[], bool]:
        """Tell what is at work before there is an office, and for how long; return what says whether Esc stopped it."""
        self._stop.clear()
        self._progress((0, 0, what))
        return self._stop.is_set

    def end_work(self) -> None:
        """It is at work no more."""
        self._progress(None)

    def plan(self) -> None:
        """Plan all crews in a thread; the screens stay alive."""
        office = self._begin("planning")
        if office is not None:
            work(self, partial(self._plan, office), "plan")

    def find_out(
        self, what: str, call: Callable[[OfficeFace, Callable[[], bool]], T], then: Callable[[T], None]
    ) -> None:
        """Find something out in a thread that takes seconds; Esc ends it with what was found by then."""
        office = self._begin(what)
        if office is not None:
            work(self, partial(self._find_out, lambda: call(office, self._stop.is_set), then), "plan")

    async def _find_out(self, call: Callable[[], T], then: Callable[[T], None]) -> None:
        outcome = await outcome_of(call)
        self._progress(None)
        if outcome.value is not None:
            then(outcome.value)
        elif self.front is not None:
            self.front.refusal.say(outcome.sentences, title="Cannot be shown")

    async def _plan(self, office: OfficeFace) -> None:
        latest: list[Progress] = []

        def progress(done: int, steps: int, what: str) -> None:
            latest[:] = [(done, steps, what)]

        def show() -> None:
            if latest and self.planning is not None:
                self._progress(latest[0])

        timer = self.set_interval(PROGRESS_SECONDS[self.slow], show)
        first = await outcome_of(lambda: not office.is_planned())
        outcome: Outcome[Done] = await outcome_of(lambda: office.plan(progress, self._stop.is_set))
        if outcome.value is not None and self.LOOK_SECONDS and not self._stop.is_set():
            if self.front is not None:
                self.front.told(outcome, looks=False, beside=True)
            outcome = await self._look(office, latest, outcome.value.plan if first.value else None)
        timer.stop()
        self._progress(None)
        if self.front is not None:
            self.front.told(outcome, looks=False, beside=True)

    def find_moves(self, job: int, *, again: bool) -> None:
        """Find the furniture stages of a job in a thread; Esc ends it with the best so far."""
        office = self._begin(f"furniture stages of job {job}")
        if office is not None:
            work(self, partial(self._find_moves, office, job, again), "plan")

    async def _find_moves(self, office: OfficeFace, job: int, again: bool) -> None:
        stop = self._stop.is_set
        outcome = await outcome_of(lambda: office.moves(job, again=again, stop=stop))
        self._progress(None)
        if self.front is not None:
            self.front.told(outcome, beside=True)

    def lay_out(self, job: int, *, again: bool) -> None:
        """Find the layouts of a job's floors in a thread, telling how far it is; Esc ends it with the best so far."""
        office = self._begin(f"layouts of job {job}")
        if office is not None:
            work(self, partial(self._lay_out, office, job, again), "plan")

    async def _lay_out(self, office: OfficeFace, job: int, again: bool) -> None:
        stop, latest = self._stop.is_set, list[str]()

        def show() -> None:
            if latest and self.planning is not None:
                self._progress((0, 0, latest[-1]))

        timer = self.set_interval(PROGRESS_SECONDS[self.slow], show)
        outcome = await outcome_of(lambda: office.lay_out(job, again=again, stop=stop, watch=latest.append))
        timer.stop()
        self._progress(None)
        if self.front is not None:
            self.front.told(outcome, looks=False, beside=True)

    async def _look(self, office: OfficeFace, latest: list[Progress], unseen: int | None) -> Outcome[Done]:
        """Look for a better plan while the first one is read already."""

        def watch(rounds: int, saves: str) -> None:
            latest[:] = [(0, 0, f"round {rounds}: {saves or 'nothing better yet'}")]

        latest[:] = [(0, 0, "looking for a better plan")]
        seconds, stop = self.LOOK_SECONDS, self._stop.is_set
        return await outcome_of(lambda: office.improve(seconds, watch=watch, stop=stop, unseen=unseen))

    def look_after(self, change: int) -> None:
        """Something was recorded, and the plan has followed: look beside the work for one that is better still."""
        self._leave_off.set()
        if self.LOOK_AFTER_SECONDS and self.planning is None and self.office is not None:
            self._leave_off = threading.Event()
            work(self, partial(self._looked_after, self.office, change, self._leave_off), "look", exclusive=True)

    async def _looked_after(self, office: OfficeFace, change: int, leave_off: threading.Event) -> None:
        await asyncio.sleep(self.LOOK_AFTER_PAUSE)
        seconds = self.LOOK_AFTER_SECONDS
        outcome = await outcome_of(lambda: office.improve(seconds, stop=leave_off.is_set, after=change))
        if leave_off.is_set() or outcome.value is None or outcome.value.plan is None or self.front is None:
            return  # nothing better, or a fault that costs nobody anything: what was recorded stands
        self.front.proposed(outcome.value)

    def _progress(self, progress: Progress | None) -> None:
        if self.planning is None:
            self._planning_since = monotonic()
        self.planning = progress
        if self.front is not None and self.front.is_mounted:
            self.front.query_one(PlanningLine).progress = progress

    @property
    def planning_seconds(self) -> int:
        """How long it has been at work, whichever screen was in front meanwhile."""
        return int(monotonic() - self._planning_since) if self.planning is not None else 0

    def stop_planning(self) -> None:
        """Keep the best found so far."""
        self._stop.set()
        if self.front is not None:
            kept = "the best so far is kept or shown" if self.office is not None else "nothing of it is kept"
            self.front.status.say(f"Stopping; {kept}.")

    def on_unmount(self) -> None:
        """Nobody waits for a plan any more."""
        self.leave_off()

    def leave_off(self) -> None:
        """End all that is looked for."""
        self._stop.set()
        self._leave_off.set()


def run(
    office_factory: OfficeFactory,
    folder: Path | None = None,
    beginning: BeginningFactory | None = None,
    *,
    slow: bool = False,
    memory: ScreenMemory | None = None,
    forms: KeptForms | None = None,
) -> int:
    """Show the screens until the user quits; return the exit code, 1 after a fault.

    Args:
        office_factory: builds the office; called in a thread after the first frame.
        folder: where day plans are written; `day-plans` in the folder one is in by default.
        beginning: what is offered where there is no shop yet; called like the other.
        slow: whether the link is to be spared.
        memory: what this person's screens remember between two runs; None remembers nothing.
        forms: where what is typed in an open form is kept; None keeps none.
    """
    app = CrewApp(office_factory, folder or Path("day-plans"), beginning, slow=slow, memory=memory, forms=forms)
    # What is worked out in threads must not make a key wait for its turn: 5 ms each time is Python's own.
    sys.setswitchinterval(_TURN_SECONDS)
    app.run()
    return app.return_code or 0
