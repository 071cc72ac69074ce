"""What the six screens and the job page share: head, status, refusals, keys, and how they talk to the office."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from contextlib import contextmanager
from functools import partial
from typing import TYPE_CHECKING, ClassVar, TypeVar, cast

from textual.binding import Binding
from textual.screen import Screen

from crewjobs.screens.drawing import Line, Target, paragraph
from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.screens.widgets.headline import Headline
from crewjobs.screens.widgets.key_line import KeyLine
from crewjobs.screens.widgets.planning_line import PlanningLine
from crewjobs.screens.widgets.refusal import Again, Refusal
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.screens.widgets.status import StatusLine

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.widget import Widget

    from crewjobs.screens.app import CrewApp
    from crewjobs.screens.face import OfficeFace
    from crewjobs.screens.record.about import About
    from crewjobs.services.rows import Done

T = TypeVar("T")

NO_SHOP = (
    "No shop yet. Leave with q, then type  crewjobs load shop.toml  to load yours, or  crewjobs demo  to look around."
)
NO_JOBS = "No jobs yet: + writes one, in a form. Or leave with q and type  crewjobs load job.toml  to load one."
NO_JOB = "There is no job yet: + writes one."
OPENING = "Still opening the records; try again in a moment."
_AGAIN = "again in a moment."
"""How it ends that a key came too early: it is over once what it waited for is read, or that key is pressed again."""
_READING = f"Reading …: press {{key}} {_AGAIN}"
_STRUCK_EARLY = "What was struck before this was read did nothing: strike it again."
_SHUT = "The records cannot be opened."
_GONE = "There is no shop here any more: another program took its set-up back."
_ANEW = "read anew"
_UNSURE = "The last step may not be kept: the change log of the job says what is."
_STILL = "Still at work on it: that key did nothing more."
_CHANGED = "The list had just changed under that key: it did nothing."
_REFRESH_SECONDS = 60.0
_LOOK_SECONDS = 5.0
"""How often it is looked whether another program recorded something; on a slow link only when hours are read anew."""
_BLINK_SECONDS = 0.02
"""What takes longer is said to be at work; what is shorter would only flicker."""


class CrewScreen(Screen[None]):
    """A screen over the office. Subclasses give `body`, `load` and their keys."""

    PLACE = ""
    NAME = ""
    """What help calls a page that stands above one of the six."""
    ABOUT = ""
    """What the screen is for, told by help."""

    CHOSEN = ""
    """What Enter acts on, where it says that nothing of the kind is there to be selected."""

    OF_ITSELF: ClassVar[tuple[str, ...]] = ("back", "new", "find")
    """What keys do whatever the screen shows: they need not wait until it is read."""

    TURNS: ClassVar[tuple[str, ...]] = ()
    """What goes on to yet another page while the one that was turned to is read."""

    AUTO_FOCUS = "Sheet"
    BINDINGS = [Binding("escape", "back", "back", key_display="Esc", show=False)]

    def __init__(self) -> None:
        super().__init__()
        self._pending: set[Hashable] = set()
        self._written: set[Hashable] = set()
        """What of it is written and not shown yet."""
        self._unread = False
        self._questions = self._answered = 0
        """How many readings were asked for, and which of them was shown last."""
        self._seen = 0
        """The newest change that what is shown knows of."""
        self._drawn = self._awaited = False
        """Whether what was read has been drawn once, and whether that is still waited for: no key acts on what is unseen."""

    def compose(self) -> ComposeResult:
        """Head, body, and below it whatever has to be said."""
        yield Headline(self.PLACE)
        yield from self.body()
        yield PlanningLine()
        yield Refusal()
        yield StatusLine()
        yield KeyLine()

    def body(self) -> Iterable[Widget]:
        """The widgets between head and status."""
        raise NotImplementedError

    def load(self) -> None:
        """Ask the office for what is shown."""
        raise NotImplementedError

    @property
    def crew_app(self) -> CrewApp:
        """The app, by its own type."""
        return cast("CrewApp", self.app)

    @property
    def sheet(self) -> Sheet:
        """The screen's main sheet."""
        return self.query_one(Sheet)

    @property
    def status(self) -> StatusLine:
        """Where actions say what they did."""
        return self.query_one(StatusLine)

    @property
    def refusal(self) -> Refusal:
        """Where refusals are shown."""
        return self.query_one(Refusal)

    def on_mount(self) -> None:
        """Hours left go down by themselves."""
        self.set_interval(_REFRESH_SECONDS, self._while_shown)
        self.set_interval(_LOOK_SECONDS, self._look)

    def _look(self) -> None:
        if not self.crew_app.slow:
            self.read_if_changed()

    def _in_front(self) -> bool:
        """Whether it is looked at, with no dialog above it; not while the screens begin or end."""
        return self.is_mounted and bool(self.app.screen_stack) and self.app.screen is self

    def read_if_changed(self) -> None:
        """Read anew where something was recorded since, by another program too; not below a dialog."""
        if self._in_front() and self._drawn and self.crew_app.planning is None:
            work(self, self._read_if_changed, "look for changes", exclusive=True)

    async def _read_if_changed(self) -> None:
        office = self.crew_app.office
        if office is None:
            return
        outcome = await outcome_of(office.last_change)
        if outcome.value is not None and outcome.value != self._seen and self._in_front():
            self.load()

    def _while_shown(self) -> None:
        if self.is_current:
            self.load()

    def on_screen_resume(self) -> None:
        """Facts may have changed on another screen."""
        line = self.query_one(PlanningLine)
        line.progress, line.seconds = self.crew_app.planning, self.crew_app.planning_seconds
        self.crew_app.note_place()
        if self.crew_app.trouble:
            self.show_trouble()
        else:
            self.load()

    def show_trouble(self) -> None:
        """Say why there is nothing to show; the sentences name what to do."""

        def draw(width: int, _selected: Target | None) -> list[Line]:
            lines: list[Line] = [[], *paragraph("The records cannot be opened", width - 2, "warn", " ")]
            for sentence in self.crew_app.trouble:
                lines += paragraph(f"{sentence[:1].upper()}{sentence[1:]}", width - 2, "", " ")
            return lines

        self.sheet.show(draw)
        self._no_more_too_early()

    def on_screen_suspend(self) -> None:
        """What was said here is old when one comes back."""
        if self.is_mounted and self.app.screen_stack and not self.app.screen.is_modal:
            self.status.say()

    # The office

    def is_open(self) -> bool:
        """Say whether the records are open; where not, that is told: no list of theirs is offered empty."""
        if self.crew_app.office is not None:
            return True
        self.status.say(_SHUT if self.crew_app.trouble else OPENING)
        self.crew_app.in_turn.too_early()
        return False

    def ask(self, call: Callable[[OfficeFace], T], then: Callable[[T], None]) -> None:
        """Read in a thread and show; a newer question makes an older answer void."""
        self._awaited = not self._drawn
        self._questions += 1
        work(self, partial(self._asked, call, then, self._questions), "ask", exclusive=True)

    def waits_for_the_records(self) -> None:
        """Note that they are still being opened: until they are read no key is answered out of nothing."""
        self._awaited = not self._drawn

    def turns_to_another(self) -> None:
        """Note that what is read next is another page than the one that is seen: no key acts on that one any more."""
        self._drawn, self.sheet.turned_from = False, True

    @property
    def reading(self) -> bool:
        """Whether what is shown is being read anew."""
        return self._answered != self._questions

    @property
    def drawn(self) -> bool:
        """Whether what was read stands on the screen."""
        return self._drawn

    @property
    def changing(self) -> bool:
        """Whether something is being written, or taken or put back, so that what is shown may be old in a moment."""
        return self.crew_app.writing.locked() or _ANEW in self._pending

    def ask_to_open(self, call: Callable[[OfficeFace], T], then: Callable[[T], None]) -> None:
        """Read in a thread what a dialog is opened with; what is struck meanwhile is for that dialog."""
        work(self, partial(self._asked, call, then, None), "opening", exclusive=True, opens=True)

    async def _asked(self, call: Callable[[OfficeFace], T], then: Callable[[T], None], number: int | None) -> None:
        office = self.crew_app.office
        if office is None:
            if number is None:
                self.is_open()
            return
        with self._at_work("reading"):
            outcome = await outcome_of(self.crew_app.reads(office, call))
        if office is not self.crew_app.office:  # its shop was taken back meanwhile: there is nothing to show of it
            return
        if number is not None:  # what a screen shows was read, not what a dialog is opened with
            self._answered = number
            self._pending -= self._written
            self._written.clear()
        if outcome.value is None and await self._begun_anew(office):
            return
        if outcome.value is None:
            self._unread = number is not None  # a dialog that does not open: that is closed by hand, not by a reading
            if number is not None:
                self._awaited = self.sheet.turned_from = False
                self.sheet.empty()  # what was read before is another page, or no longer so: nothing acts on it
                self._no_more_too_early()
            self.cannot_show(outcome.sentences)
            return
        if self._unread and number is not None:
            self._unread = False
            self.refusal.close()
        seen, value, now = outcome.value
        if number is not None:
            self._seen = seen
        head = self.query_one(Headline)
        head.shop, head.demo, head.now = self.crew_app.shop, self.crew_app.demo, now
        then(value)
        if not self._drawn:
            self.call_after_refresh(self._is_drawn)

    async def _begun_anew(self, office: OfficeFace) -> bool:
        """Offer the first choice where another program took the shop's set-up back; say whether that was so.

        Below a dialog it waits until that is closed: what is typed there is not lost.
        """
        app = self.crew_app
        if self.changing or not self._in_front() or not await app.no_shop_left():
            return False
        if self.changing or not self._in_front() or office is not app.office:
            return office is not app.office
        self.status.say(_GONE)
        app.begin_anew()
        return True

    def cannot_show(self, sentences: tuple[str, ...]) -> None:
        """Say why there is nothing to show."""
        self.refusal.say(sentences, title="Cannot be shown")

    def _is_drawn(self) -> None:
        self._drawn, self._awaited, self.sheet.turned_from = True, False, False
        self._no_more_too_early()
        if self.crew_app.front is self and self.crew_app.in_turn.first_stands():
            self._missed(_STRUCK_EARLY)

    def _no_more_too_early(self) -> None:
        """What a key waited for is over, read or not: that it came too early is no longer so."""
        if any(words.endswith(_AGAIN) for words in self.status.said):
            self.status.say()

    @contextmanager
    def _at_work(self, what: str) -> Iterator[None]:
        """Say on top that a key is being answered, where that takes longer than a blink."""
        head = self.query_one(Headline)
        over = False

        def told() -> None:
            if not over:  # it may have been called just before the work ended, and come after it
                head.busy = what

        timer = self.set_timer(_BLINK_SECONDS, told)
        try:
            yield
        finally:
            over = True
            timer.stop()
            head.busy = ""

    def take_up(self, key: Hashable) -> bool:
        """Note that something is acted on; say whether it is not already."""
        if key in self._pending:
            self._missed(_STILL)
            return False
        self._pending.add(key)
        return True

    def _missed(self, why: str) -> None:
        """Say that a key or a tap did nothing, and why, beside what was said."""
        if why not in self.status.said:
            self.status.add(why)

    def on_sheet_missed(self) -> None:
        """Nothing is acted on that nobody has seen."""
        self._missed(_CHANGED)

    def let_go(self, key: Hashable) -> None:
        """It is acted on no more."""
        self._pending.discard(key)

    def await_anew(self) -> None:
        """Note that what is shown is old in a moment; `read_anew` ends it."""
        self._pending.add(_ANEW)

    def read_anew(self) -> None:
        """Read what was noted to be old."""
        self._pending.discard(_ANEW)
        self.load()

    def act(self, call: Callable[[OfficeFace], Done], again: Again | None = None, key: Hashable = None) -> None:
        """Change something in a thread, say what was done, read anew.

        Args:
            call: the change.
            again: repeats it with a reason, where a hold can be passed with one.
            key: what is acted on; a second tap on it while the first is still being written does nothing, and that is said.
        """
        if key is not None and not self.take_up(key):
            return
        work(self, partial(self._acted, call, again, key), "act")

    async def _acted(self, call: Callable[[OfficeFace], Done], again: Again | None, key: Hashable) -> None:
        office = self.crew_app.office
        if office is None:
            self.status.say(OPENING)
            self._pending.discard(key)
            return
        with self._at_work("writing"):
            async with self.crew_app.writing:
                outcome = await outcome_of(lambda: call(office))
        if outcome.value is None:
            self._pending.discard(key)
        else:
            self._written.add(key)  # until what it did is shown: struck again before, it is the same tap still
        self.told(outcome, again)

    def proposed(self, done: Done) -> None:
        """Say below what was done that a better plan was found since, and what it saves."""
        saves = done.then[0].removeprefix("In all: ") if done.then else ""
        self.status.add(f"A better plan is proposed (Week, x): {saves}".rstrip(" :"))
        self.load()

    def told(
        self, outcome: Outcome[Done], again: Again | None = None, *, looks: bool = True, beside: bool = False
    ) -> None:
        """Show what came of an action; `looks` has a better plan looked for where it recorded something.

        What took its time is told `beside` what was told meanwhile.
        """
        if outcome.value is None:
            self.status.say()
            unsure = (_UNSURE,) if outcome.fault else ()
            title = "Nothing changed" if outcome.already else "Not done"
            self._unread = False  # what is refused stands until it is read, also when the screen is read anew
            again = again if outcome.on_hold else None
            self.refusal.say((*outcome.sentences, *unsure), again, title, words=outcome.wanting)
            if not outcome.fault:
                self.load()  # what was refused may be so since somebody else recorded something
            return
        self.refusal.close()
        self.crew_app.taken_back.clear()
        self.crew_app.speaks(self)
        self.status.done(outcome.value, beside=beside)
        if outcome.value.change and outcome.value.plan is not None:
            work(self, partial(self._check_undo, outcome.value.change), "undo next", exclusive=True)
        self.load()
        if looks:
            self.crew_app.look_after(outcome.value.change)

    async def _check_undo(self, change: int) -> None:
        """Offer no undo beside what is nobody's record, such as a proposal: u takes back something else."""
        office = self.crew_app.office
        if office is None:
            return
        found = await outcome_of(office.undo_next)
        if self.status.takes == change and (found.value is None or found.value.number != change):
            self.status.undoable, self.status.takes = False, None

    def first(self, what: str) -> None:
        """Say what has to be selected for the key that was pressed."""
        self.status.say(f"Select {what} first.")

    def action_choose(self) -> None:
        """Enter: act on what is selected; where there is nothing, say of what it would be."""
        if self.CHOSEN and not self.sheet.targets:
            self.first(self.CHOSEN)
        else:
            self.sheet.choose()

    def is_too_early(self, action: str) -> bool:
        """Say whether what a key does here waits until the screen is read for the first time, and tell that.

        Nothing is acted on unseen, and nothing is answered out of what nobody has read yet.
        """
        name = action.partition("(")[0]
        if not self._awaited or self.crew_app.trouble or name in self.OF_ITSELF or self._turns_on(name):
            self._no_more_too_early()  # it was pressed again
            return False
        key = "Enter" if name == "choose" else "it"
        self.status.say(_READING.format(key=key) if self.crew_app.office is not None else OPENING)
        self.crew_app.in_turn.too_early()
        return True

    def _turns_on(self, name: str) -> bool:
        return self.sheet.turned_from and name in self.TURNS

    def on_sheet_walked(self) -> None:
        """Who walks on has read what was said."""
        self.status.fade()

    def undone(self) -> None:
        """Something was taken or put back: what that means for what is selected."""

    def about(self) -> About:
        """What stands under the hand: what is recorded is about it, as far as nothing else is said."""
        from crewjobs.screens.record.about import About

        return About(job=None, crews=self.crew_app.crews)

    def action_record(self) -> None:
        """Record what happened to what is selected: its house, its crew, its day."""
        from crewjobs.screens.record.menu import ask_record

        if self.is_open():
            ask_record(self, self.about())

    def action_back(self) -> None:
        """Close what is open: a refusal, planning, this page."""
        if self.refusal.display:
            self.refusal.close()
        elif self.crew_app.planning is not None:
            self.crew_app.stop_planning()
        else:
            self.leave()

    def leave(self) -> None:
        """What Esc does when nothing is open; a page goes back to where it was opened (`turn_back`)."""
        self.status.say()

    def turn_back(self) -> None:
        """Close this page; a second Esc struck before it was gone closes nothing below it."""
        if self.is_active and len(self.app.screen_stack) > 1:
            self.app.pop_screen()
