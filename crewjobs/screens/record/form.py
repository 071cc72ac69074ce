"""A form made of its blanks: lines to write, boxes to tick, one of several to pick; buttons that record."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Self, TypeAlias

from textual.widgets import Input, Select, Static

from crewjobs.domain.errors import Refused
from crewjobs.screens.dialog import Dialog, Mark, mark_of
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.kept_dialog import KeptDialog, taken_up_words
from crewjobs.screens.outcome import outcome_of, work
from crewjobs.screens.record import checks
from crewjobs.screens.record.at_lines import Mended, at_its_line
from crewjobs.screens.widgets.choice import Choice
from crewjobs.screens.widgets.field import Field, count_in, whole
from crewjobs.screens.widgets.yes_no import YesNo
from crewjobs.services.forms.kept import KeptForm
from crewjobs.services.forms.kept_days import DayLine, written_out
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.domain.units import UnitSystem


@dataclass(frozen=True, slots=True)
class Blank:
    """A line to write, with what stands in it from the start; the `hint` shows while it is empty."""

    key: str
    label: str
    hint: str = ""
    value: str = ""
    check: Callable[[str], None] = checks.line
    """Refuses what the line cannot be; it is not asked about an empty one."""
    needed: str = ""
    """What is said where it is left empty; nothing, where it may be."""
    known: Callable[[OfficeFace, str], object] | None = None
    """Refuses what the office does not know, such as a name: said beside what is wrong with other lines."""


@dataclass(frozen=True, slots=True)
class Box:
    """A box that is ticked or not."""

    key: str
    label: str


@dataclass(frozen=True, slots=True)
class Pick:
    """One of several; with an empty `value` nothing is picked yet."""

    key: str
    label: str
    options: tuple[tuple[str, str], ...]
    """Words shown and the value each stands for."""
    value: str = ""
    needed: bool = True
    """Whether nothing is recorded before one is picked."""
    also: Mapping[str, Sequence[str]] = field(default_factory=dict)
    """What people also call an option, by what is shown of it."""


@dataclass(frozen=True, slots=True)
class Note:
    """A sentence between the blanks."""

    text: str


Part: TypeAlias = Blank | Box | Pick | Note


@dataclass(frozen=True, slots=True)
class Filled:
    """What a form holds when a button is pressed."""

    texts: Mapping[str, str]
    boxes: Mapping[str, bool] = field(default_factory=dict)

    def __getitem__(self, key: str) -> str:
        """A line as written, without blanks around it, or the value picked."""
        return self.texts[key]

    def yes(self, key: str) -> bool:
        """Whether a box is ticked."""
        return self.boxes[key]

    def count(self, key: str, what: str) -> float:
        """A count, which off a roll is in metres to the centimetre in a metric shop; 0 where nothing is written.

        Raises:
            Refused: something else is written.
        """
        return count_of(self.texts[key], f"{what}: write a whole number.") if self.texts[key] else 0

    def whole(self, key: str, what: str, *, empty: int) -> int:
        """A whole number; `empty` where nothing is written.

        Raises:
            Refused: something else is written.
        """
        text = self.texts[key]
        if not text:
            return empty
        return whole_of(text, f"{what}: write a whole number.")


def count_of(text: str, fault: str) -> float:
    """Return a count as written: whole, or metres to the centimetre.

    Raises:
        Refused: with the sentence `fault`, where it is something else.
    """
    count = count_in(text, "m")
    if count is None:
        raise Refused(fault)
    return count


def whole_of(text: str, fault: str) -> int:
    """Return a whole number as written.

    Raises:
        Refused: with the sentence `fault`, where it is something else.
    """
    number = whole(text)
    if number is None:
        raise Refused(fault)
    return number


@dataclass(frozen=True, slots=True)
class Press:
    """A button: it records and closes, with `fill` looks something up and writes it into the blanks, or with `show`
    looks something up and opens it over the form, which stays as it is.
    """

    name: str
    label: str
    save: Callable[[OfficeFace, Filled], Done] | None = None
    fill: Callable[[OfficeFace, Filled], tuple[str, Mapping[str, str]]] | None = None
    show: Callable[[OfficeFace, Filled], Dialog[None]] | None = None
    meanwhile: str = ""
    """What is said while it records, where that takes seconds."""
    checks: Mapping[str, Callable[[str], None]] = field(default_factory=dict)
    """What refuses lines, by their keys, that only this button records; an empty one is not asked about."""


class Form(KeptDialog[Done]):
    """Closes with what was recorded; refused, it says why, at the lines where it can, and keeps what was typed.

    `check` says what is wrong with lines that hang on each other, each sentence behind its line's key: ``hours: …``.
    `mended` names the line that mends what the office refuses, by what its sentence has in it.
    The hand is on its first part, or on the line `at`.
    """

    def __init__(
        self,
        title: str,
        parts: Sequence[Part],
        presses: Sequence[Press],
        check: Callable[[Filled, UnitSystem], Sequence[str]] | None = None,
        *,
        at: str = "",
        mended: Mended = (),
    ) -> None:
        super().__init__()
        self._check = check
        self._mended = mended
        self._title = title
        self._parts = tuple(parts)
        self._at = at
        self._said_of: dict[str, object] = {}
        """Of each choice what was picked when a fault was said at it last."""
        self._presses = {press.name: press for press in presses}
        self._asked_before: tuple[str, dict[str, str], list[str]] | None = None
        """The button that would write over what was typed: what it would write, and over what."""
        self._opens: tuple[str, Mapping[str, str]] | None = None
        self._taken: KeptForm | None = None

    def kept_as(self, form: str, about: Mapping[str, str], taken: KeptForm | None = None) -> Self:
        """Have what is typed kept under what opens it again; `taken` is what was kept of it before. Returns the form."""
        self._opens, self._taken = (form, about), taken
        return self

    def on_mount(self) -> None:
        """Put the hand on the line where one begins, and what was typed before into the lines."""
        if self._at:
            self.query_one(f"#field-{self._at} Input").focus()
        if self._taken is not None:
            taken = written_out(self._taken, self._day_lines())
            self.say_above(taken_up_words(taken), *self._write(taken.texts))
        for box in self.query(YesNo):
            self.watch(box, "value", self.keep_soon, init=False)

    def _day_lines(self) -> dict[str, DayLine]:
        """Return the lines in which a day or an hour is typed, by key."""
        return {
            part.key: DayLine(part.label, checks.HOW[part.check], _when_empty(part.hint))
            for part in self._parts
            if isinstance(part, Blank) and part.check in checks.HOW
        }

    def _write(self, texts: Mapping[str, str]) -> Iterable[str]:
        """Write what was typed; say of what was picked and is no more to be picked."""
        for part in self._parts:
            match part:
                case Blank():
                    self.query_one(f"#field-{part.key} Input", Input).value = texts.get(part.key, part.value)
                case Box():
                    self.query_one(f"#box-{part.key}", YesNo).value = bool(texts.get(_of_box(part)))
                case Pick():
                    values, words = dict(part.options), texts.get(part.key, "")
                    if words in values:
                        self.query_one(f"#pick-{part.key}", Select).value = values[words]
                    elif words:
                        yield f"{part.label}: '{words}' is no more to be picked; pick it anew."

    def on_input_changed(self, _event: Input.Changed) -> None:
        """Keep it a moment later."""
        self.keep_soon()

    def kept(self) -> KeptForm | None:
        """What is typed, by line; of a choice its words, since what they stand for may be another by then."""
        if self._opens is None or not self.typed():
            return None
        form, about = self._opens
        filled, texts = self._filled(), dict[str, str]()
        for part in self._parts:
            match part:
                case Blank():
                    texts[part.key] = filled[part.key]
                case Box():
                    texts[_of_box(part)] = "yes" if filled.yes(part.key) else ""
                case Pick():
                    texts[part.key] = next((words for words, value in part.options if value == filled[part.key]), "")
        return KeptForm(form=form, title=self._title, about=about, texts=texts)

    def title_text(self) -> str:
        """What is recorded, of which job."""
        return self._title

    def body(self) -> Iterable[Widget]:
        """The blanks, top to bottom."""
        for part in self._parts:
            match part:
                case Blank():
                    yield Field(part.key, part.label, part.value, part.hint)
                case Box():
                    yield YesNo(part.label, id=f"box-{part.key}")
                case Pick():
                    values = [value for _, value in part.options]
                    yield Static(part.label, markup=False, classes="hint")
                    choice = Choice(
                        part.options,
                        prompt="choose" if part.options else "none yet",
                        allow_blank=part.value not in values,
                        compact=True,
                        id=f"pick-{part.key}",
                        **({"value": part.value} if part.value in values else {}),  # type: ignore[arg-type]
                    )
                    choice.also = part.also
                    yield choice
                    note = Static("", markup=False, classes="note", id=f"pick-note-{part.key}")
                    note.display = False
                    yield note
                case Note():
                    yield Static(part.text, markup=False, classes="hint")

    def buttons(self) -> Iterable[tuple[str, str]]:
        """What records, then closing."""
        return (*((press.name, press.label) for press in self._presses.values()), ("close", "Close"))

    def pressed(self, name: str) -> None:
        """Record it, or look something up."""
        press, filled = self._presses[name], self._filled()
        faults = self._faults(press, filled)
        if faults and any(isinstance(part, Blank) and part.known and filled[part.key] for part in self._parts):
            work(self, partial(self._say_all, faults, filled), "faults", exclusive=True)
            return
        if faults:
            self.say_no(*faults)
            return
        self.say_no()
        if press.save is not None:
            save = press.save
            self.save(lambda office: save(office, filled), press.meanwhile)
        elif press.fill is not None:
            work(self, partial(self._fill, press, press.fill, filled), "fill", exclusive=True)
        elif press.show is not None:
            self.say("Trying it …")
            work(self, partial(self._open, press.show, filled), "show", exclusive=True)

    async def _say_all(self, faults: Sequence[str], filled: Filled) -> None:
        """Say beside what is wrong with lines which of the others the office does not know."""
        office, found = self.crew_app.office, list(faults)
        for part in self._parts:
            if office is None or not isinstance(part, Blank) or part.known is None or not filled[part.key]:
                continue
            outcome = await outcome_of(partial(part.known, office, filled[part.key]))
            found += [f"{part.key}: {sentence}" for sentence in outcome.sentences]
        self.say_no(*found)

    def _faults(self, press: Press, filled: Filled) -> list[str]:
        """Return what can be said of the lines as they are, each sentence behind its line's key."""
        faults = []
        for part in self._parts:
            if isinstance(part, Pick) and part.needed and not filled[part.key]:
                faults.append(f"{part.key}: Pick one: {part.label[:1].lower()}{part.label[1:]}.")
            elif isinstance(part, Blank) and not filled[part.key]:
                faults += [f"{part.key}: {part.needed}"] if part.needed else []
            elif isinstance(part, Blank):
                for check in filter(None, (part.check, press.checks.get(part.key))):
                    try:
                        check(filled[part.key])
                    except Refused as refused:
                        faults += [f"{part.key}: {sentence}" for sentence in refused.sentences]
        return [*faults, *(self._check(filled, self.crew_app.units) if self._check is not None else ())]

    def say_no(self, *sentences: str) -> None:
        """Say it at the line that it names, else at the one that mends it; the rest below."""
        lines = {
            name.casefold() for part in self._parts if isinstance(part, Blank | Pick) for name in (part.key, part.label)
        }
        super().say_no(
            *(
                sentence
                if sentence.partition(":")[0].strip().casefold() in lines
                else at_its_line(sentence, (), self._mended)
                for sentence in sentences
            )
        )

    def marks(self) -> Iterable[Mark]:
        """Lines and choices, as they stand."""
        for part in self._parts:
            if isinstance(part, Blank):
                yield mark_of(self.query_one(f"#field-{part.key}", Field))
            elif isinstance(part, Pick):
                note = self.query_one(f"#pick-note-{part.key}", Static)
                pick = self.query_one(f"#pick-{part.key}", Select)
                yield Mark((part.label, part.key), partial(self._note_pick, pick, note), pick, note)

    def _note_pick(self, pick: Select[str], note: Static, fault: str) -> None:
        self._said_of[pick.id or ""] = pick.value
        _noted(note, fault)

    def on_select_changed(self, event: Select.Changed) -> None:
        """Another one is picked: what was said of the one before is not so of it."""
        self.keep_soon()
        name = event.select.id or ""
        if event.value == self._said_of.get(name):
            return  # the word of a choice that was made before the fault was said
        for note in self.query(f"#pick-note-{name.removeprefix('pick-')}").results(Static):
            _noted(note, "")

    def typed(self) -> bool:
        """Whether a line, a choice or a box is other than at the beginning."""
        filled = self._filled()
        picked = any(
            filled[part.key] != part.value
            for part in self._parts
            if isinstance(part, Pick) and (filled[part.key] or part.value in [value for _, value in part.options])
        )
        return picked or any(filled.boxes.values()) or super().typed()

    def main_button(self) -> str:
        """What records; of a form that only looks something up, its first button."""
        keeping = [press.name for press in self._presses.values() if press.save is not None]
        if not keeping:
            return next(iter(self._presses), "")
        return "save" if "save" in keeping else keeping[0] if len(keeping) == 1 else ""

    def keeps(self) -> bool:
        """Where several record, ^s asks for one of them."""
        return bool(self._presses)

    def action_keep(self) -> None:
        """Press the main button; where several record, ask for one of them."""
        if self.main_button():
            super().action_keep()
        elif self._presses:
            self.say(f"Press one: {', '.join(one.label for one in self._presses.values() if one.save is not None)}.")

    async def _open(self, call: Callable[[OfficeFace, Filled], Dialog[None]], filled: Filled) -> None:
        office = self.crew_app.office
        if office is None:
            return
        outcome = await outcome_of(lambda: call(office, filled))
        self.say_no(*outcome.sentences)
        if outcome.value is not None:
            self.app.push_screen(outcome.value)

    async def _fill(
        self, press: Press, call: Callable[[OfficeFace, Filled], tuple[str, Mapping[str, str]]], filled: Filled
    ) -> None:
        office = self.crew_app.office
        if office is None:
            return
        outcome = await outcome_of(lambda: call(office, filled))
        if outcome.value is None:
            self.say_no(*outcome.sentences)
            return
        sentence, texts = outcome.value
        if self._asks_before(press, texts):
            return
        self.say(sentence)
        for key, text in texts.items():
            self.query_one(f"#field-{key}", Field).begin_with(text)

    def _asks_before(self, press: Press, texts: Mapping[str, str]) -> bool:
        """Whether what was typed would be lost by it; then that is said, and the same button pressed again does it."""
        fields = {key: self.query_one(f"#field-{key}", Field) for key in texts}
        lost = [
            field
            for key, field in fields.items()
            if field.typed and field.value and field.value.casefold() not in texts[key].casefold()
        ]
        asked = (press.name, dict(texts), [field.value for field in lost])
        if not lost or asked == self._asked_before:
            self._asked_before = None
            return False
        self._asked_before = asked
        would = "; ".join(f"{field.label}: {texts[field.key] or 'nothing'}" for field in lost)
        self.say(f"What you typed is left as it is. Press {press.label} again to have in its place: {would}.")
        return True

    def _filled(self) -> Filled:
        texts: dict[str, str] = {}
        boxes: dict[str, bool] = {}
        for part in self._parts:
            match part:
                case Blank():
                    texts[part.key] = self.query_one(f"#field-{part.key}", Field).value
                case Box():
                    boxes[part.key] = self.query_one(f"#box-{part.key}", YesNo).value
                case Pick():
                    value = self.query_one(f"#pick-{part.key}", Select).value
                    texts[part.key] = value if isinstance(value, str) else ""
        return Filled(texts, boxes)


def _when_empty(hint: str) -> str:
    """Return which moment an empty line stands for, by its hint; empty for none."""
    return next((word for word in ("now", "today") if hint.endswith((f"empty is {word}", f"empty: {word}"))), "")


def _of_box(box: Box) -> str:
    """Return what a box is kept by: a line may have its key."""
    return f"box {box.key}"


def _noted(note: Static, fault: str) -> None:
    note.update(fault)
    note.display = bool(fault)
