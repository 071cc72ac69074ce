"""The fields of a page: a line to write, one of several, yes or no, some of several, words to find, lines of a file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, cast

from rich.text import Text
from textual.binding import Binding
from textual.widgets import Input, OptionList, Select, Static, TextArea
from textual.widgets.option_list import Option

from crewjobs.screens.widgets.choice import Choice
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.hinted import HintedInput
from crewjobs.screens.widgets.yes_no import YesNo
from crewjobs.services.forms.fields import Entry
from crewjobs.services.forms.texts import Kind

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.widget import Widget

    from crewjobs.domain.units import UnitSystem
    from crewjobs.screens.app import CrewApp

_FOUND: Final = 4
"""What fits, shown at once below what is typed."""
_TOLD: Final = {
    ("shop.units", "us"): "feet and inches",
    ("shop.units", "metric"): "metres and millimetres",
    ("shop.paper", "letter"): "Letter",
    ("shop.paper", "a4"): "A4",
}
"""Words of the file that are told otherwise here."""


def answer_for(entry: Entry, text: str, options: Sequence[str], units: UnitSystem = "us") -> Answer:
    """Return the field an entry is answered in, with what stands in it, or an example for who measures so."""
    answer = _answer_for(entry, text, options)
    answer.example = entry.example(units)
    return answer


def _answer_for(entry: Entry, text: str, options: Sequence[str]) -> Answer:
    match entry.kind:
        case Kind.CHOICE:
            return PickAnswer(entry, text, options)
        case Kind.FLAG:
            return FlagAnswer(entry, text)
        case Kind.TICKS:
            return TicksAnswer(entry, text)
        case Kind.ZONE | Kind.LAYERS | Kind.COUNTS | Kind.FURNITURE:
            return FindAnswer(entry, text)
        case Kind.REST:
            return LinesAnswer(entry, text)
        case _:
            return LineAnswer(entry, text)


class Answer(Field):
    """A field that is one entry of a page: `value` is its line, `note` says something below it."""

    def __init__(self, entry: Entry, text: str) -> None:
        super().__init__(entry.key, entry.label, text, entry.hint, id=f"field-{entry.key.replace('.', '-')}")
        self.entry = entry
        self.example = entry.hint
        self._noted = ("", True)

    def compose(self) -> ComposeResult:
        """Label, what is filled in, the note."""
        yield Static(self.label, markup=False, classes="label")
        yield self.filled_in()
        yield from self.below()
        note = Static("", markup=False, classes="note")
        note.display = False
        yield note

    def filled_in(self) -> Widget:
        """What is filled in."""
        # What stands there as an example is typed over; what a person wrote is not.
        # A zone is found by typing a city, never by adding to the one that is there.
        over = bool(self._value) and (self._value == self.entry.fresh or self.entry.kind is Kind.ZONE)
        return HintedInput(
            self._value, placeholder=f"({self.example})" if self.example else "", compact=True, select_on_focus=over
        )

    def below(self) -> ComposeResult:
        """What stands between that and the note."""
        yield from ()

    def follow(self, text: str) -> None:
        """Let something stand in it that follows from another field."""
        for field in self.query(Input):
            field.value = text

    def note(self, sentence: str, *, wrong: bool = True) -> None:
        """Say something below; what is only worth knowing looks other than what is wrong."""
        if self._noted == (sentence, wrong or not sentence):
            return
        self._noted = (sentence, wrong or not sentence)
        super().note(sentence)
        self.query_one(".note", Static).set_class(not wrong, "-remark")


class LineAnswer(Answer):
    """A line to write."""


class PickAnswer(Answer):
    """One of several; what is stored and is none of them any more stays to be seen."""

    def __init__(self, entry: Entry, text: str, options: Sequence[str]) -> None:
        super().__init__(entry, text)
        self._options = [*options, *([text] if text and text not in options else [])]

    def filled_in(self) -> Widget:
        """The choice."""
        blank = not self.entry.usual
        return Choice(
            [(_TOLD.get((self.key, option), option), option) for option in self._options],
            prompt="none" if self._options else "none yet",
            allow_blank=blank or not self._options,
            compact=True,
            **({"value": self._value} if self._value else {}),  # type: ignore[arg-type]
        )

    def follow(self, text: str) -> None:
        """Pick what follows from another field."""
        self.query_one(Select).value = text

    @property
    def value(self) -> str:
        """What is picked, empty for nothing."""
        value = self.query_one(Select).value
        return value if isinstance(value, str) else ""


class FlagAnswer(Answer):
    """Yes or no; the words stand behind the box."""

    def compose(self) -> ComposeResult:
        """The box over the whole width."""
        box = YesNo(self.label)
        box.value = self._value == "yes"
        yield box

    @property
    def value(self) -> str:
        """Yes or no."""
        return "yes" if self.query_one(YesNo).value else "no"

    def note(self, sentence: str, *, wrong: bool = True) -> None:
        """A box cannot be wrong in itself."""


class TicksAnswer(Answer):
    """Some of several."""

    def compose(self) -> ComposeResult:
        """The label, and a box for each."""
        ticked = [word.strip() for word in self._value.split(",")]
        yield Static(self.label, markup=False, classes="label")
        note = Static("", markup=False, classes="note -over")
        note.display = False
        for number, option in enumerate(self.entry.options):
            box = YesNo(option)
            box.value = option in ticked
            if number:
                yield Static("", classes="label -blank")
            yield box
        yield note

    @property
    def value(self) -> str:
        """What is ticked, in the order of the boxes."""
        ticked = [box.value for box in self.query(YesNo)]
        return ", ".join(option for option, yes in zip(self.entry.options, ticked, strict=True) if yes)


class FindAnswer(Answer):
    """A line in which words of the trade or a zone are found by a part of them: what fits is listed below, to tap or by ↓ and Enter."""

    BINDINGS = [Binding("down", "walk(1)", "what fits", show=False)]

    def __init__(self, entry: Entry, text: str) -> None:
        super().__init__(entry, text)
        self._fitting: tuple[tuple[str, str], ...] = ()

    def below(self) -> ComposeResult:
        """What fits."""
        found = OptionList(compact=True, classes="found")
        found.display = False
        found.can_focus = False  # Tab goes on to the next field; only ↓ goes in
        yield found

    def on_input_changed(self, event: Input.Changed) -> None:
        """List what fits what is typed."""
        from crewjobs.services.forms.words import fitting

        units = cast("CrewApp", self.app).units
        taken = event.value == self._value
        self._fitting = () if taken else fitting(self.entry.kind, event.value, units, _FOUND)
        found = self.query_one(OptionList)
        found.clear_options()
        found.add_options([Option(Text(shown, overflow="ellipsis", no_wrap=True)) for shown, _ in self._fitting])
        found.display = bool(self._fitting)

    def action_walk(self, _step: int) -> None:
        """Down into what fits."""
        found = self.query_one(OptionList)
        if found.display:
            found.highlighted = 0
            found.can_focus = True
            found.focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Take it."""
        event.stop()
        self._take(event.option_index)
        self.query_one(Input).focus()

    def _take(self, number: int) -> None:
        self._value = self._fitting[number][1]
        field = self.query_one(Input)
        field.value = self._value
        field.cursor_position = len(self._value)
        found = self.query_one(OptionList)
        found.display = found.can_focus = False

    def take_first(self) -> bool:
        """Take the first zone that fits, where what is typed is none; say whether it did. In a list what is typed is meant."""
        if self.entry.kind is not Kind.ZONE or not self.query_one(OptionList).display:
            return False
        self._take(0)
        return True

    def hide(self) -> None:
        """The field was left: what fitted is in the way."""
        for found in self.query(OptionList):  # none yet while the page is being put in place
            found.display = found.can_focus = False


class LinesAnswer(Answer):
    """Keys of the file as they are written there, for what has no field."""

    def filled_in(self) -> Widget:
        """A few lines."""
        return TextArea(self._value, compact=True, show_line_numbers=False, tab_behavior="focus")

    @property
    def value(self) -> str:
        """What is written."""
        return self.query_one(TextArea).text.strip()
