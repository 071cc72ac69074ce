"""The evening: a crew's printed sheet typed back in its own order, one column, house by house."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from textual.widgets import Input, Static

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.domain.wording import listed, upper
from crewjobs.screens.evening_steps import pause_step, people_step, share_step, time_step, wait_step
from crewjobs.screens.in_keys import in_keys
from crewjobs.screens.kept_dialog import KeptDialog, taken_up_words
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.ticked_field import TickedField
from crewjobs.screens.words import day as day_of
from crewjobs.services.forms.kept import KeptForm
from crewjobs.services.forms.kept_evening import UNKNOWN, Lines, as_words, lines_of, with_rest
from crewjobs.services.rows import Done, EveningHouse, EveningLine, EveningSheet

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen
    from crewjobs.screens.face import OfficeFace

_FINISHED = ("done", "not needed")
_LINES = {"started": "start", "stopped": "stop", "people": "people", "break": "pause", "waited": "wait"}
"""Lines of a house by what the office calls them."""
_OF_A_LINE = re.compile(r"House (\d+): (started|stopped|people|break|waited|found|[Tt]ask \d+)\b(:)?")
_FOUND_LINES = 3
"""As many as the page has."""


def ask_evening(screen: CrewScreen, crew: str, day: date | None) -> None:
    """Read what the crew's page of a day asks and open the form; what it recorded is told."""

    def read(sheet: EveningSheet) -> None:
        if sheet.houses:
            open_sheet(screen, sheet)
        else:
            screen.status.say(no_sheet(sheet))

    screen.ask_to_open(lambda office: office.evening_sheet(crew, day), read)


def no_sheet(sheet: EveningSheet) -> str:
    """Say that a crew has no houses on a day."""
    return f"{sheet.crew} has no sheet for {day_of(sheet.day)}: nothing was planned."


def open_sheet(screen: CrewScreen, sheet: EveningSheet, kept: KeptForm | None = None) -> None:
    """Open the form of a sheet, or as it was `kept`; what it recorded is told."""

    def told(done: Done | None) -> None:
        if done is not None:
            screen.told(Outcome(value=done))

    screen.app.push_screen(EveningDialog(sheet, kept), told)


class EveningDialog(KeptDialog[Done]):
    """Everything is sent at once; refused, every fault is said and what was typed stays."""

    def __init__(self, sheet: EveningSheet, kept: KeptForm | None = None) -> None:
        """Take what is asked, and what was typed already when a link dropped."""
        super().__init__()
        self._sheet, self._taken = sheet, kept
        self._rest: Lines = {}
        """What was typed before and has no line here; kept until this is recorded or left by hand."""

    def title_text(self) -> str:
        """Whose evening."""
        return f"Evening: {self._sheet.crew}, {day_of(self._sheet.day)}, plan {self._sheet.revision}"

    def body(self) -> Iterable[Widget]:
        """How to answer, then the houses as on the page."""
        yield Static(
            "A tap on a task, or Space, puts its x; − and + step. Or type done 14:20, how far (9/19 rows), x because … where it was on hold; "
            "empty is not done. Times left empty are as planned.",
            markup=False,
            classes="hint",
        )
        if self._sheet.break_rule:
            yield Static(self._sheet.break_rule, markup=False, classes="hint")
        for house in self._sheet.houses:
            yield from self._house(house)

    def _house(self, house: EveningHouse) -> Iterator[Widget]:
        yield Static(f"House {house.house}  job {house.job}  {house.address}", markup=False, classes="strong")
        if house.over:
            yield Static(in_keys(upper(house.over)), markup=False, classes="hint")
        for told in house.told:
            yield Static(f"recorded already: {told}", markup=False, classes="hint")
        key = f"h{house.house}"
        if not self._sheet.sub:
            yield Field(f"{key}-start", "Started", "", house.start, step=time_step(house.start))
            yield Field(f"{key}-stop", "Stopped", "", f"{house.stop}, or 8.5 h", step=time_step(house.stop))
            yield Field(f"{key}-people", "People", "", str(house.people), step=people_step(house.people))
            yield Field(f"{key}-pause", "Break, min", "", f"{house.pause} as planned", step=pause_step(house.pause))
            yield Field(f"{key}-wait", "Waited", "", "for others, such as 45 min truck", step=wait_step)
        for line in house.lines:
            yield from self._line(key, line)
        for number in range(1, 1 if house.over else _FOUND_LINES + 1):
            yield Field(f"{key}-found-{number}", "Found", "", "kitchen: what" if number == 1 else "")

    def _line(self, key: str, line: EveningLine) -> Iterator[Widget]:
        if line.state in _FINISHED:
            yield Static(f"[x] {line.title}", markup=False, classes="hint")
            return
        notes = [line.size and f"of {line.size}", line.before and f"so far {line.before}", line.wait]
        hint = ", ".join(filter(None, notes)) or "done?"
        yield TickedField(
            f"{key}-task-{line.task}", line.title, f"task {line.task}", hint, step=share_step if line.size else None
        )
        if line.words:
            yield Static(f"Not x alone: x because {line.words}.", markup=False, classes="hint")

    def on_mount(self) -> None:
        """Begin at the top."""
        self.query(Input).first().focus()
        if self._taken is not None:
            left = list(self._take_up(self._taken))
            self.say_above(" ".join((taken_up_words(self._taken), *left)))

    def _take_up(self, taken: KeptForm) -> Iterator[str]:
        """Put what was typed of a house to the same house, wherever it stands now; yield what finds no line any more."""
        houses = {str(house.job): house for house in self._sheet.houses}
        now = {job: house.house for job, house in houses.items()}
        ticked: list[str] = []
        for job, lines in lines_of(taken).items():
            house = houses.get(job)
            if house is not None and house.told:
                yield (
                    f"Recorded already of house {house.house}, job {job}: {'; '.join(house.told)}. "
                    "Where that is what stands here, it is not to be recorded twice."
                )
            finished = (
                {f"task-{one.task}" for one in house.lines if one.state in _FINISHED} if house is not None else set()
            )
            for line, text in lines.items():
                fields = self.query(f"#field-h{now.get(job, 0)}-{line}").results(Field)
                field = next(iter(fields), None)
                if field is None and line in finished and text.strip().casefold() == "x":
                    ticked.append(line.removeprefix("task-"))
                elif field is None:
                    self._rest.setdefault(job, {})[line] = text
                else:
                    field.query_one(Input).value = text
        if ticked:
            yield f"Ticked meanwhile: {'task' if len(ticked) == 1 else 'tasks'} {listed(ticked, most=20)}."
        for job, lines in self._rest.items():
            which = "not known" if job == UNKNOWN else job
            yield f"Not taken up, for this sheet has no line for it: {listed(as_words(lines), most=20)} (job {which})."
        if self._rest:
            yield "That stays kept until this sheet is recorded or left."

    def typed(self) -> bool:
        """So is what was typed before and has no line here: it is not let go unasked."""
        return super().typed() or bool(self._rest)

    def on_input_changed(self, _event: Input.Changed) -> None:
        """Keep it a moment later."""
        self.keep_soon()

    def kept(self) -> KeptForm | None:
        """What is typed, by field."""
        return self._as_typed() if self.typed() else None

    def _as_typed(self) -> KeptForm:
        sheet, lines = self._sheet, {field.key: field.value for field in self.query(Field)}
        houses, texts = with_rest([house.job for house in sheet.houses], lines, self._rest)
        return KeptForm(
            form="evening",
            title=self.title_text(),
            about={"crew": sheet.crew, "day": sheet.day.isoformat(), "houses": houses},
            texts=texts,
        )

    def entry(self) -> EveningEntry:
        """Return what is typed."""
        return EveningEntry(houses=tuple(self._typed(house) for house in self._sheet.houses))

    def _typed(self, house: EveningHouse) -> HouseEntry:
        texts = {field.key: field.value for field in self.query(Field)}
        key = f"h{house.house}"
        answers = ((line.task, texts.get(f"{key}-task-{line.task}", "")) for line in house.lines)
        found = (texts.get(f"{key}-found-{number}", "") for number in range(1, _FOUND_LINES + 1))
        return HouseEntry(
            house=house.house,
            job=house.job,
            start=texts.get(f"{key}-start", ""),
            stop=texts.get(f"{key}-stop", ""),
            people=texts.get(f"{key}-people", ""),
            pause=texts.get(f"{key}-pause", ""),
            wait=texts.get(f"{key}-wait", ""),
            tasks=tuple((task, text) for task, text in answers if text),
            found=tuple(text for text in found if text),
        )

    def refused(self, outcome: Outcome[Done]) -> None:
        """The office said no: what it says of a line of a house is said at that line."""
        self.say_no(*(self._at_its_line(sentence) for sentence in outcome.sentences))

    def _at_its_line(self, sentence: str) -> str:
        """Return a sentence behind the key of the line it is about; as it is where that is no line of the form."""
        found = _OF_A_LINE.match(sentence)
        if found is None:
            return sentence
        key, what, words = f"h{found[1]}", found[2].casefold(), sentence[found.end() :].strip()
        if what.startswith("task "):
            name, words = f"{key}-{what.replace(' ', '-')}", sentence.partition(": ")[2] if not found[3] else words
        elif what == "found":
            texts = [f"{key}-found-{number}" for number in range(1, _FOUND_LINES + 1)]
            name = next((one for one in texts if self.query_one(f"#field-{one}", Field).value), texts[0])
        else:
            name = f"{key}-{_LINES[what]}"
        return f"{name}: {words}" if self.query(f"#field-{name}") else sentence

    def pressed(self, _name: str) -> None:
        """Send it all."""
        crew, day, entry = self._sheet.crew, self._sheet.day, self.entry()
        app = self.crew_app
        if crew not in app.crews:
            self._ask_whose()
            return

        def record(office: OfficeFace) -> Done:
            app.look_at_shop(office)
            if crew not in app.crews:  # renamed, or taken out, while its sheet was typed
                raise Refused(f"There is no crew {crew} any more: ^s once more asks whose sheet this is.")
            return office.evening(crew, day, entry)

        self.save(record)

    def _ask_whose(self) -> None:
        """Open it as the sheet of the crew that is chosen, with what was typed of the same houses."""
        from crewjobs.screens.whose_sheet import ask_whose

        app, typed = self.crew_app, self.typed()
        kept = replace(self._as_typed(), sent_after=self._sent_after)

        def opened(sheet: EveningSheet) -> None:
            if app.front is not None:
                # It waits beside this form before this form lets its own go: a link may drop between the two.
                waits = app.forms.lay_aside(kept) if app.forms is not None and typed else kept
                self.dismiss(None)
                open_sheet(app.front, sheet, waits if typed else None)

        told = f"There is no crew {self._sheet.crew} any more. What is typed goes to the same houses of the sheet that is opened."
        ask_whose(app, kept, self._sheet.day, (told,), opened, lambda _: None)
