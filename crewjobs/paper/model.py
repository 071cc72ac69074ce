"""What one crew's day plan says, before anything is formatted.

Build one `DayPlan` a crew and day and hand it to `day_plan_text` or `day_plan_pdf`.
Times are the site's wall clock (`datetime.time`, never an instant with a zone); the pages show
them as 07:30. Lengths, quantities and hours come as finished text, unit included, since only the
caller knows the shop's units. Any text may hold any character: it is data, never markup.

Derived by the pages, so never given: the bar of the day (from houses, drives, lunch and waits),
the page numbers, and which work stands side by side (from `at`, `until` and `initials`).
"""

from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Literal

from crewjobs.drawing.laid_rows import LaidRow
from crewjobs.drawing.shapes import Drawing
from crewjobs.paper.initials import initials as initials

PaperSize = Literal["letter", "a4"]
LoadGroup = Literal["material", "tools", "supplies"]
TaskKind = Literal["task", "move", "wait starts", "wait ends", "reading"]
WaitKind = Literal["clock", "reading"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody of the crew today. `initials` are unique within the crew: see `initials()`."""

    name: str
    initials: str
    lead: bool = False
    note: str = ""
    """For example "lent by Cedar today", "leaves at 14:00"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch of the day by the clock."""

    start: time
    end: time


@dataclass(frozen=True, slots=True, kw_only=True)
class Drive:
    """One leg on the road. `what` is, for example, "Shop to House 1"."""

    start: time
    end: time
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadItem:
    """One line of the load list. `quantity` carries its unit ("14 cartons", "1", "2 × 25 ft")."""

    group: LoadGroup
    quantity: str
    what: str
    houses: tuple[int, ...] = ()
    """The houses it is for, by their number on the page; empty: for the whole day."""
    note: str = ""
    """For example "lot 0417 only, do not mix"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitEnd:
    """A wait that ends today, or a reading that is due today.

    `clock`: a cure or a drying time; `at` is the earliest time by the clock and `check` what must
    be seen before anyone relies on it. `reading`: wood, whose wait no clock ends; `at` is when
    the reading is due (None: any time today) and `check` what it must show.
    """

    kind: WaitKind = "clock"
    at: time | None
    what: str
    place: str
    house: int | None = None
    """Its number on the page; None when no house of today: then `place` says which job."""
    check: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution. They are printed in the order given, which is the order to act in."""

    text: str
    houses: tuple[int, ...] = ()
    """The houses of the page it is said for; none where it is said for all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseFact:
    """A fact at the head of its house: label "Parking", text "drive, left side, until 09:00"."""

    label: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HowFar:
    """What a measured task is asked in the evening: how far did it get.

    `total="185", unit="ft²"` prints "____ of 185 ft²"; `total="19", unit="rows", unit_first=True`
    prints "rows ____ of 19". `before` is what earlier days did ("9 rows"), printed beside it.
    """

    total: str
    unit: str
    unit_first: bool = False
    before: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskLine:
    """One line to tick off.

    kind: `move` furniture or appliances; `wait starts` a pour, a glue-up: prints a blank for the
    time it was started; `wait ends` something may be looked at from now on; `reading` a
    temperature, humidity or moisture reading is taken.
    """

    title: str
    task: int = 0
    """Its number in the job, not printed: what the line is typed back to; 0 where it is none."""
    kind: TaskKind = "task"
    at: time | None = None
    """When it starts by the plan; None: printed after the others (on hold, or as time allows)."""
    until: time | None = None
    """When it ends by the plan. Never printed: it only decides what stands side by side."""
    with_rows: bool = field(default=False, repr=False)
    """It is done as rows reach it that begin later: "with the rows" is printed in the place of `at`, which only decides where
    it stands. Found from times that are told, so no reason of its own to print a page again."""
    initials: tuple[str, ...] = ()
    """Who does it; empty: the whole crew."""
    place: str = ""
    """Room and section as seen on walking in: "Living room, street wall half"."""
    notes: tuple[str, ...] = ()
    wait_note: str = ""
    """Only for `wait starts`, beside the blank: "walk on it 3 h later at the earliest"."""
    hold: str = ""
    """Why it may not start, as one sentence; empty: it may."""
    hold_tag: str = field(default="", repr=False)
    """What stands before `hold` in the place of ON HOLD: of work the plan has elsewhere by now that it is not for today."""
    how_far: HowFar | None = None
    done: bool = field(default=False, repr=False)
    """It was ticked when the page was made: no blanks and no tips any more. No reason to print a page again: what it says of
    the day is the same."""
    stands: str = field(default="", repr=False)
    """Of a done task that started a wait: "started 10:44, stands until Tue 10:44"; printed in place of the blank."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CarryLine:
    """One carry, in its order: the piece by its letter in the drawing, from where to where, how many carry it.

    `down`: it is only set down there and carried on later.
    """

    letter: str
    name: str
    start: str
    to: str
    people: int
    down: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StandsLine:
    """What stands where it stood, by its letter in the drawing."""

    letter: str
    name: str
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseStage:
    """A stage of the furniture: "move 2 of 3", what of it is done today, the house drawn as it stands meanwhile.

    `carries` only where they are made today; `stands` is everything else that has a letter in the drawing.
    """

    label: str
    sentence: str
    drawing: Drawing
    carries: tuple[CarryLine, ...] = ()
    stands: tuple[StandsLine, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRow:
    """A row of planks to cut and lay: "Row 7", where it is ripped, its pieces from the left, and what is cut out of them."""

    label: str
    pieces: str
    cut_outs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseLayout:
    """How a floor is laid today: its rows drawn, and the cut list of what is laid.

    `drawing` is for the page, `drawn_rows` the same row by row for text.
    """

    title: str
    """What is laid where: "harbor plank: living, window half"."""
    sentences: tuple[str, ...]
    drawing: Drawing
    drawn_rows: tuple[LaidRow, ...]
    rows: tuple[CutRow, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """One visit: a stretch of the crew at one site. A second visit to a site is a second house.

    There is no field for entry codes here on purpose: see `LeadOnly`.
    """

    number: int
    """On the page: 1 prints "House 1". Counts from 1 in the order of the day."""
    job: int
    """The job's plain number."""
    customer: str
    address: str
    phone: str = ""
    work: str
    """Rooms and floor: "Living room and hall: click vinyl plank over new pad"."""
    arrive: time
    leave: time
    not_today: bool = False
    """Whether a plan made since took all of it before the crew was to come: nobody drives there, and it has no time."""
    hours: str = ""
    """Says which are which: "9 h by the clock less 30 min lunch, 3 people: 25.5 people-hours"."""
    owed: tuple[str, ...] = ()
    """What people still owe to the work here, to be asked before anybody leaves: "Waits for the plumber: …"."""
    found: tuple[str, ...] = ()
    """What was found in the house and is not settled, with who stays away: told over the whole width, before what is usual."""
    asks_hours: bool = True
    """Whether start, stop and people are asked: not of a crew paid by the foot, nor of a small visit."""
    facts: tuple[HouseFact, ...] = ()
    """Site hours, pets, parking, elevator slot, crew toilet, who has the key, power and water, in this order."""
    stages: tuple[HouseStage, ...] = ()
    """Stages of the furniture of which something is carried or worked today, in their order."""
    layouts: tuple[HouseLayout, ...] = ()
    """Floors of which planks are laid today."""
    tasks: tuple[TaskLine, ...] = ()
    moved_anyway: tuple[str, ...] = ()
    """What the crew moves although it is not its work: "Gas range: only after ...". """
    floor_notes: tuple[str, ...] = ()
    """How the floor and house are left: "Leave one full carton in the hall closet"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryNote:
    """How to get in: a gate or lock-box code. Private."""

    house: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadOnly:
    """What is printed on the lead's copy alone."""

    entry_notes: tuple[EntryNote, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The foot of every page. `printed_at` is the site's wall clock.

    `plan` is the number of the plan it speaks of, 0 before any; `revision` rises where the sheet says something else than
    when it was printed last, 0 where that is not known.
    """

    name: str
    """What people call it on the phone: "Birch Tue 3 Mar"."""
    plan: int = 0
    revision: int = 0
    printed_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPlan:
    """One crew's day on paper.

    Entry notes are reachable only through `lead_only`, so a copy without it cannot print them.
    Raises ValueError if two people share initials or two houses share a number (the page would
    point at the wrong one), or if an entry note's house is not on the page.
    """

    shop_name: str
    shop_phone: str
    crew_name: str
    people: tuple[Person, ...]
    one_person: bool = False
    """A page of one person's small visits: `crew_name` is theirs; load, waits and cautions only where there are any."""
    day: date
    sheet: Sheet
    paper: PaperSize = "letter"
    start: time | None = None
    """When the day begins; None on a day without work."""
    start_place: str = ""
    back_by: time | None = None
    lunch: Span | None = None
    drives: tuple[Drive, ...] = ()
    notes: tuple[str, ...] = ()
    """For the whole day: who is out, why nothing is planned."""
    load: tuple[LoadItem, ...] = ()
    truck_list: tuple[str, ...] = ()
    """What stands on this crew's truck every day, apart from the load list."""
    waits: tuple[WaitEnd, ...] = ()
    cautions: tuple[Caution, ...] = ()
    houses: tuple[House, ...] = ()
    lead_only: LeadOnly | None = None

    def __post_init__(self) -> None:
        marks = [person.initials for person in self.people]
        if len(set(marks)) != len(marks):
            raise ValueError(f"Two people of crew {self.crew_name} share initials: {', '.join(marks)}.")
        numbers = [house.number for house in self.houses]
        if len(set(numbers)) != len(numbers):
            raise ValueError(f"Two houses of crew {self.crew_name} share a number: {numbers}.")
        noted = self.lead_only.entry_notes if self.lead_only else ()
        if not {note.house for note in noted} <= set(numbers):
            raise ValueError(f"An entry note of crew {self.crew_name} is for a house that is not on the page.")

    @property
    def gone(self) -> bool:
        """Whether the day was over when this was printed: what it tells is what had been planned, and what is recorded."""
        return self.day < self.sheet.printed_at.date()

    @property
    def tells_none(self) -> bool:
        """Whether a list without a line is told as such: who has the day before them must know that nothing is missing."""
        return not (self.one_person or self.gone)

    @property
    def lead_copy(self) -> bool:
        """Whether this is the lead's copy, the only one with entry notes."""
        return self.lead_only is not None

    def entry_notes(self, house: int) -> tuple[str, ...]:
        """Entry notes of one house by its number on the page; empty on every copy but the lead's."""
        if self.lead_only is None:
            return ()
        return tuple(note.text for note in self.lead_only.entry_notes if note.house == house)
