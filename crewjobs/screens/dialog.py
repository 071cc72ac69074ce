"""What all dialogs share: a title, a body, buttons, and a place for a refusal; what was typed stays."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from textwrap import wrap
from typing import TYPE_CHECKING, Generic, TypeVar, cast

from textual.await_complete import AwaitComplete
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Button, Input, Select, Static, TextArea

from crewjobs.domain.wording import upper
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.in_keys import in_keys
from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.going_on import GoOn
from crewjobs.screens.widgets.said_below import SaidBelow
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.screens.widgets.yes_no import YesNo
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult
    from textual.widget import Widget

    from crewjobs.screens.app import CrewApp

R = TypeVar("R")

NOT_WRITTEN = "Nothing of this is written yet. Esc or Close again leaves it; any other key goes on."
KEEP_FIRST = "Nothing of this is written yet: keep it first, or leave it with Esc."

_SCROLLING = ("up", "down", "pageup", "pagedown", "ctrl+home", "ctrl+end", "ctrl+pageup", "ctrl+pagedown")
"""Keys that go through a form without its cursor."""
_CHROME = 8
"""Lines a dialog needs besides its body: rule, title of up to two lines, buttons and the blanks between."""
_WIDTH, _BESIDE, _AROUND_BUTTON = 68, 5, 4
"""Columns: of the frame at its widest, beside its row of buttons, and around a button's label."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A place of a dialog where a fault can be said."""

    names: tuple[str, ...]
    """What sentences about it begin with."""
    note: Callable[[str], None]
    """Says a fault there; an empty one takes back the last."""
    focus: Widget
    around: Widget
    """What has to be in sight for the fault to be read."""


def mark_of(field: Field) -> Mark:
    """Return a field as a place of faults; what else is noted at it stays."""

    def note(fault: str) -> None:
        if fault or field.faulty:
            field.note(fault, wrong=True)

    return Mark((field.label, field.key), note, field.query_one(Input), field)


def _choice_of(words: Static) -> Select[object] | None:
    """Return the choice that words stand above, or that is noted at right above them."""
    step = 1 if words.has_class("hint") else -1 if words.has_class("note") else 0
    if not step or words.parent is None:
        return None
    beside = list(words.parent.children)
    place = beside.index(words) + step
    found = beside[place] if 0 <= place < len(beside) else None
    return found if isinstance(found, Select) else None


class Dialog(ModalScreen[R | None], Generic[R]):
    """Esc closes it with nothing done; where something was typed, it asks once before. ^s is its main button, if it has one."""

    TITLE_TEXT = ""
    ABOUT = ""
    """What it is for, where its title does not say it all; told by help."""
    BINDINGS = [
        Binding("escape", "back", "close", key_display="Esc"),
        Binding("question_mark", "help", "help", key_display="?", show=False),
        Binding("f1", "help", "help", key_display="F1", show=False),
        Binding("ctrl+s", "keep", "keep it", priority=True, show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._saving = self._is_over = False
        self._asked = ""
        """What is asked until another key is pressed: nothing of what is typed is written."""
        self._height = 0
        self.stands = asyncio.Event()
        """Whether what is typed reaches the fields it is meant for: keys wait while others are put in place."""
        self.stands.set()
        self._to_close_with: tuple[R | None, ...] = ()
        """What it closes with as soon as nothing stands above it."""

    def compose(self) -> ComposeResult:
        """A frame with title, body, refusal and buttons."""
        with Vertical(id="frame"):
            yield Static(self.title_text(), markup=False, classes="title")
            with VerticalScroll(id="body", can_focus=False):
                yield from self.body()
                yield SaidBelow()
            yield Static("", markup=False, id="asked")
            with Horizontal(id="buttons"):
                for name, label in self.buttons():
                    button = Button(label, name=name, compact=True)
                    # A press counts at once, also right after another one that was refused.
                    button.active_effect_duration = 0
                    yield button

    def on_resize(self) -> None:
        """Title and buttons stay in sight, buttons in two columns where one row is too narrow; the rest scrolls."""
        labels = [label for _, label in self.buttons()]
        needed = sum(len(label) + _AROUND_BUTTON for label in labels) + _BESIDE
        two = needed > min(self.size.width, _WIDTH)
        self.query_one("#buttons").set_class(two, "-two")
        more = -(-len(labels) // 2) - 1 if two else 0
        height = self._height = max(self.size.height - _CHROME - more - self._asked_lines(), 3)
        self.query_one("#body").styles.max_height = height
        for sheet in self.query(Sheet):  # it scrolls by itself, so that what is selected stays in sight
            sheet.styles.max_height = height - 1

    def _asked_lines(self) -> int:
        """Return how many lines the question above the buttons takes, with the blank above it."""
        return len(wrap(self._asked, min(self.size.width, _WIDTH) - _BESIDE)) + 1 if self._asked else 0

    def room(self) -> int:
        """Return how many lines a sheet in it has; it is laid out before it is drawn."""
        return self._height - 1

    def title_text(self) -> str:
        """What stands on top."""
        return self.TITLE_TEXT

    def body(self) -> Iterable[Widget]:
        """The fields."""
        raise NotImplementedError

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Names and labels."""
        return (("save", "Save"), ("close", "Close"))

    def pressed(self, name: str) -> None:
        """A button was pressed."""
        raise NotImplementedError

    @property
    def crew_app(self) -> CrewApp:
        """The app, by its own type."""
        return cast("CrewApp", self.app)

    def say(self, *sentences: str) -> None:
        """Show why not, below the fields."""
        self.query_one(SaidBelow).say("\n".join(in_keys(sentence) for sentence in sentences))

    def say_above(self, *sentences: str) -> None:
        """Show what has to be read first, above the field that has the cursor, both in sight."""
        inside = list(self.query_one("#body").query("*"))
        hand = self.focused if self.focused in inside else next((one for one in inside if one.focusable), None)
        words = "\n".join(in_keys(sentence) for sentence in sentences)
        self.query_one(SaidBelow).say(words, before=hand)

    def say_no(self, *sentences: str) -> None:
        """Show why not: what begins with a field's name below that field, and the first such field in sight; the rest below.

        What is said of a field in the words of `services` begins with its key or its label: ``promised: …``.
        """
        marks = list(self.marks())
        named = {name.casefold(): mark for mark in marks for name in mark.names}
        said: dict[int, list[str]] = {}
        rest = []
        for sentence in sentences:
            name, colon, words = sentence.partition(": ")
            mark = named.get(name.strip().casefold()) if colon else None
            if mark is None:
                rest.append(sentence)
            else:
                said.setdefault(id(mark), []).append(upper(in_keys(words)))
        for mark in marks:
            mark.note(" ".join(said.get(id(mark), ())))
        self.say(*rest)
        first = next((mark for mark in marks if id(mark) in said), None)
        if first is not None:
            first.focus.focus()
            self.call_after_refresh(first.around.scroll_visible, animate=False)

    def marks(self) -> Iterable[Mark]:
        """What a fault can be said at, top to bottom."""
        return [mark_of(field) for field in self.query(Field)]

    def save(self, call: Callable[[OfficeFace], Done], meanwhile: str = "") -> None:
        """Change something; close with what was done, or say why not and keep what was typed.

        What takes seconds says so `meanwhile`; pressed again before it is done, it is not done twice.
        """
        if self._saving:
            return
        self._saving = True
        if meanwhile:
            self.say(meanwhile)
        work(self, partial(self._save, call), "save", exclusive=True)

    async def _save(self, call: Callable[[OfficeFace], Done]) -> None:
        office = self.crew_app.office
        if office is None:
            self._saving = False
            return
        try:
            async with self.crew_app.writing:
                outcome = await outcome_of(lambda: call(office))
        finally:
            self._saving = False
        if outcome.value is None:
            self.refused(outcome)
        else:
            self.done(outcome.value)

    def dismiss(self, result: R | None = None) -> AwaitComplete:
        """Close once, and never another screen in its place: while something stands above, it closes when that is gone."""
        if self._is_over or self._to_close_with:
            return AwaitComplete()
        if not self.is_active:
            self._to_close_with = (result,)
            return AwaitComplete()
        self._is_over = True
        return super().dismiss(result)

    def on_screen_resume(self) -> None:
        """What stood above is gone: close, where that was only waited for."""
        if self._to_close_with:
            (result,), self._to_close_with = self._to_close_with, ()
            self.dismiss(result)

    def on_unmount(self) -> None:
        """Gone, it holds nothing back."""
        self.stands.set()

    def done(self, done: Done) -> None:
        """Close with what was done."""
        self.dismiss(cast("R", done))

    def refused(self, outcome: Outcome[Done]) -> None:
        """The office said no."""
        self.say_no(*outcome.sentences)

    def typed(self) -> bool:
        """Whether something was typed that closing would lose."""
        return any(field.typed for field in self.query(Field))

    def main_button(self) -> str:
        """The name of the button that does what the dialog is for; empty where it only shows, or none of several is it."""
        names = [name for name, _ in self.buttons() if name != "close"]
        return "save" if "save" in names else names[0] if len(names) == 1 else ""

    def keeps(self) -> bool:
        """Whether ^s does something: there is a main button."""
        return bool(self.main_button())

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Where there is no main button its key does nothing, and no list has it."""
        return super().check_action(action, parameters) if action != "keep" else self.keeps()

    def action_keep(self) -> None:
        """Press the main button."""
        if name := self.main_button():
            self.pressed(name)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Who types on, does not leave, and sees it; what was said of the line was said of another text."""
        self.goes_on()
        if event.input is self.focused:
            self._bring_hand()
        field = event.input.parent
        if isinstance(field, Field) and field.faulty and event.value != field.said_of:
            field.note("")

    def on_key(self, event: events.Key) -> None:
        """So does who presses any other key than the one that leaves."""
        leaves = event.key == "escape" or (event.key == "enter" and getattr(self.focused, "name", "") == "close")
        if not leaves:
            self.goes_on()
        if event.key not in _SCROLLING:
            self._bring_hand()

    def on_text_area_changed(self, event: TextArea.Changed) -> None:
        """Who types on, sees it."""
        if event.text_area is self.focused:
            self._bring_hand()

    def _bring_hand(self) -> None:
        """Have the line, box or choice that the key was for in sight, wherever the form was scrolled to."""
        if isinstance(hand := self.focused, Input | TextArea | YesNo | Select):
            self.call_after_refresh(hand.scroll_visible, animate=False)

    def on_click(self, event: events.Click) -> None:
        """A tap beside an open choice closes its list; what takes the cursor closes it by that.

        On the words above a choice, or on what is said below it, a tap goes to the choice.
        """
        inside = set(event.widget.ancestors_with_self) if event.widget is not None else set()
        for choice in self.query(Select):
            if choice.expanded and choice not in inside:
                choice.expanded = False
        if isinstance(event.widget, Static) and (named := _choice_of(event.widget)) is not None:
            named.focus()

    def on_button_pressed(self, event: Button.Pressed) -> None:
        """Close, or what the dialog does."""
        if event.button.name == "close":
            self.action_close()
        else:
            self.pressed(event.button.name or "")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter in a field."""
        self.entered(event.input)

    def entered(self, _field: Input) -> None:
        """Enter goes on to the next field, and from the last to saving.

        Overridden where it does something else: handlers of an event are called for every class, overridden or not.
        """
        self.focus_next()

    def on_go_on(self, event: GoOn) -> None:
        """Enter in a box or a choice."""
        event.stop()
        self.went_on(event.field)

    def went_on(self, _field: Widget) -> None:
        """Enter goes on from a box or a choice, too: to tick and to open there is Space."""
        self.focus_next()

    def action_help(self) -> None:
        """What can be done here."""
        self.crew_app.action_help()

    def action_back(self) -> None:
        """Esc."""
        self.action_close()

    def action_close(self) -> None:
        """Nothing done; what was typed is asked for once."""
        if self.typed() and self._asked != NOT_WRITTEN:
            self._ask(NOT_WRITTEN)
            return
        self.dismiss(None)

    def ask_to_keep(self) -> None:
        """Say that what is typed is not written: something else was asked for, and this form is not left for it.

        One Esc does not leave it after that: who struck no other was not asked yet.
        """
        self._ask(KEEP_FIRST)

    def _ask(self, words: str) -> None:
        """Ask above the buttons, where the field in hand stays in sight; of nothing, no more."""
        self._asked = words
        asked = self.query_one("#asked", Static)
        asked.update(words)
        asked.display = bool(words)
        self.on_resize()
        if self.focused is not None:
            self.call_after_refresh(self.focused.scroll_visible, animate=False)

    def goes_on(self) -> None:
        """It is not left: what was asked is asked no more, and the field in hand is in sight again."""
        if self._asked:
            self._ask("")
