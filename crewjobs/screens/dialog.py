"""What all dialogs share: a title, a body, buttons, and a place for a refusal; what was typed stays."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, Generic, TypeVar, cast

from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Button, Input, Static

from crewjobs.screens.face import OfficeFace
from crewjobs.screens.in_keys import in_keys
from crewjobs.screens.outcome import outcome_of, work
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.widget import Widget

    from crewjobs.screens.app import CrewApp

R = TypeVar("R")

_CHROME = 8
"""Lines a dialog needs besides its body: rule, title of up to two lines, buttons and the blanks between."""
_WIDTH, _BESIDE, _AROUND_BUTTON = 68, 5, 4
"""Columns: of the frame at its widest, beside its row of buttons, and around a button's label."""


class Dialog(ModalScreen[R | None], Generic[R]):
    """Esc closes it with nothing done."""

    TITLE_TEXT = ""
    ABOUT = ""
    """What it is for, where its title does not say it all; told by help."""
    BINDINGS = [
        Binding("escape", "back", "close", key_display="Esc"),
        Binding("question_mark", "help", "help", key_display="?", show=False),
        Binding("f1", "help", "help", key_display="F1", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._saving = False

    def compose(self) -> ComposeResult:
        """A frame with title, body, refusal and buttons."""
        with Vertical(id="frame"):
            yield Static(self.title_text(), markup=False, classes="title")
            with VerticalScroll(id="body", can_focus=False):
                yield from self.body()
                fault = Static("", markup=False, id="fault")
                fault.display = False
                yield fault
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
        height = max(self.size.height - _CHROME - more, 3)
        self.query_one("#body").styles.max_height = height
        for sheet in self.query(Sheet):  # it scrolls by itself, so that what is selected stays in sight
            sheet.styles.max_height = height - 1

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
        fault = self.query_one("#fault", Static)
        fault.update("\n".join(in_keys(sentence) for sentence in sentences))
        fault.display = bool(sentences)
        if sentences:
            self.query_one("#body").scroll_end(animate=False)

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
            self.say(*outcome.sentences)
            self.refused()
        else:
            self.dismiss(cast("R", outcome.value))

    def refused(self) -> None:
        """The office said no."""

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

    def action_help(self) -> None:
        """What can be done here."""
        self.crew_app.action_help()

    def action_back(self) -> None:
        """Esc."""
        self.action_close()

    def action_close(self) -> None:
        """Nothing done."""
        self.dismiss(None)
