"""The week for the wall: days down, crews across, each visit with its people, the waits beside the work they hold.

Times are the shop's wall clock. The sheet hangs where everybody who comes into the shop sees it: it has no field for
phones of customers or entry notes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, time, timedelta
from typing import Final

from crewjobs.domain.wording import listed
from crewjobs.paper import wording as say
from crewjobs.paper.directions import whole
from crewjobs.paper.document import Block, Cell, Document, Entry, Line, Say, Table, entries, section
from crewjobs.paper.model import PaperSize, Sheet
from crewjobs.paper.shares import shares_of

MOST_ACROSS: Final = 4
"""So many crews stand side by side on a page; more of them come in a table below."""
SATURDAY: Final = 5
_DAY: Final = 0.4
"""The column of days, by an equal one."""
_ACROSS: Final = 175
"""About so many characters of a cell stand across all the others."""
NOTHING: Final = "Nothing is planned in this week."
NOTHING_RECORDED: Final = "Nothing of a plan and no hours are kept of this week."


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekVisit:
    """One stretch of a crew at a house; `people` are initials, or empty for the whole crew."""

    job: int
    name: str
    address: str
    start: time
    end: time
    work: str
    people: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    """Such as "pinned" or "under way"."""
    owed: tuple[str, ...] = ()
    """What is not settled in its house, and what people still owe to it: a house that has not said yes, a plumber who is late."""
    recorded: str = field(default="", repr=False)
    """The crew's hours there that day. No reason to print a sheet again: what it says of the days to come is the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekWait:
    """A wait on one day: it goes on (`until` in words), or `ends` that day at a time; `unpromised`, that is only the earliest."""

    job: int
    what: str
    until: str
    ends: time | None = None
    first: bool = True
    """Whether this is the first of its days on the sheet: on the others it is said in short."""
    unpromised: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewCell:
    """A crew on a day: off, or its visits, and the waits that hold its work."""

    off: bool = False
    notes: tuple[str, ...] = ()
    visits: tuple[WeekVisit, ...] = ()
    waits: tuple[WeekWait, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekColumn:
    """A crew with its people and their initials, the lead first, and its cell of each day of the sheet."""

    crew: str
    people: tuple[tuple[str, str], ...]
    days: tuple[CrewCell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BesideCell:
    """What a day brings beside the crews' work: deliveries, small visits, who is away, waits that hold no crew's work."""

    comes: tuple[str, ...] = ()
    small: tuple[str, ...] = ()
    away: tuple[str, ...] = ()
    waits: tuple[WeekWait, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NotPlanned:
    """A job the plan has no place for, and why."""

    job: int
    name: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekPromise:
    """A promise of the week: for which day, when the work ends by the plan, whether that holds, in words."""

    job: int
    name: str
    promised: date
    planned: str
    word: str
    holds: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekSheet:
    """A week of the plan in force. `days` are those of the sheet, each with a cell in every column."""

    shop_name: str
    shop_phone: str
    sheet: Sheet
    paper: PaperSize
    monday: date
    days: tuple[date, ...]
    columns: tuple[WeekColumn, ...]
    beside: tuple[BesideCell, ...]
    not_planned: tuple[NotPlanned, ...] = ()
    promises: tuple[WeekPromise, ...] = ()
    warnings: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    """Above the week: that facts changed since it was planned, that the plan ends before the week does."""

    def __post_init__(self) -> None:
        if any(len(column.days) != len(self.days) for column in self.columns) or len(self.beside) != len(self.days):
            raise ValueError("A week sheet has a cell in every column for each of its days.")


def week_document(week: WeekSheet) -> Document:
    """Return the week as a page."""
    sunday = week.monday + timedelta(days=6)
    return Document(
        title=f"{week.shop_name}: the week",
        aside=f"{say.day_text(week.monday, year=week.monday.year != sunday.year)} to {say.day_text(sunday, year=True)}",
        under=tuple(f"! {note}" for note in week.notes),
        blocks=tuple(_blocks(week)),
        foot=say.sheet_of(week.sheet.name, week.sheet),
        newer=say.newer_words(week.shop_name, week.shop_phone),
        printed_at=week.sheet.printed_at,
        paper=week.paper,
        landscape=True,
    )


def _blocks(week: WeekSheet) -> Iterator[Block]:
    if week.sheet.plan and not any(cell.visits for column in week.columns for cell in column.days):
        over = week.monday + timedelta(days=7) <= week.sheet.printed_at.date()
        yield Say(text=NOTHING_RECORDED if over else NOTHING, strong=True)
    for first in range(0, max(1, len(week.columns)), MOST_ACROSS):
        if week.days:
            yield _table(week, week.columns[first : first + MOST_ACROSS], last=first + MOST_ACROSS >= len(week.columns))
    if any(cell.waits for column in week.columns for cell in column.days) or any(one.waits for one in week.beside):
        yield Say(
            text="Beside the work, with a bar: what is waited for. By the clock only: look and touch before anyone relies on it.",
            small=True,
        )
    yield from section("Before the start", entries(*(Entry(text=one, tag="agree") for one in week.warnings)))
    yield from section("Promises", entries(*(_promise(one) for one in week.promises)))
    yield from section("Not planned, and why", entries(*(_not_planned(one) for one in week.not_planned)))


def _table(week: WeekSheet, columns: Sequence[WeekColumn], *, last: bool) -> Table:
    heads = ["Day", *(column.crew for column in columns)]
    rows: list[tuple[Cell, ...]] = []
    if any(column.people for column in columns):
        people = [_people(column) for column in columns]
        rows.append(((Line(text="People", kind="small"),), *people, *([()] if last else [])))
    told: list[set[int]] = [set() for _ in columns]
    """Jobs by column whose name was said on an earlier day: the address tells them from there on."""
    quiet = _quiet_weekend(week, columns)
    for place, day in enumerate(week.days):
        if day in quiet:
            continue
        name: Cell = (Line(text=say.day_text(day), kind="strong"),)
        cells = [tuple(_crew_lines(one.days[place], names)) for one, names in zip(columns, told, strict=True)]
        rows.append((name, *cells, *([tuple(_beside(week.beside[place]))] if last else [])))
    if quiet:
        both = [(day, place) for place, day in enumerate(week.days) if day in quiet]
        cells = [tuple(_waits_of([(day, column.days[place].waits) for day, place in both])) for column in columns]
        beside = [tuple(_waits_of([(day, week.beside[place].waits) for day, place in both]))] if last else []
        rows.append(
            ((Line(text=" and ".join(f"{day:%a} {day.day}" for day, _ in both), kind="strong"),), *cells, *beside)
        )
    shares = shares_of([row[1:] for row in rows], _ACROSS)
    return Table(
        heads=(*heads, *(["Comes, away, waits"] if last else [])),
        shares=(_DAY, *shares),
        rows=tuple(rows),
        fits=True,
    )


def _quiet_weekend(week: WeekSheet, columns: Sequence[WeekColumn]) -> tuple[date, ...]:
    """Return Saturday and Sunday where both are on the sheet and nothing but waits is on either: one row tells them."""
    found = [
        day
        for place, day in enumerate(week.days)
        if day.weekday() >= SATURDAY
        and not any(column.days[place].visits or column.days[place].notes for column in columns)
        and not (week.beside[place].comes or week.beside[place].small or week.beside[place].away)
    ]
    return tuple(found) if len(found) > 1 else ()


def _waits_of(days: Sequence[tuple[date, Sequence[WeekWait]]]) -> Iterator[Line]:
    """Yield the waits of several days as of one: what runs on once, what ends with its day."""
    ending = {(wait.job, wait.what) for _, waits in days for wait in waits if wait.ends is not None}
    running = {(wait.job, wait.what): wait for _, waits in reversed(days) for wait in waits}
    yield from _waits([wait for key, wait in running.items() if key not in ending])
    for day, waits in days:
        for wait in waits:
            if wait.ends is not None:
                yield Line(text=f"{day:%a} {_ends(wait, wait.ends)} job {wait.job} {_short(wait.what)}", kind="ends")


def _people(column: WeekColumn) -> Cell:
    names = [f"{say.visible(name)} ({mark})" if mark else say.visible(name) for name, mark in column.people]
    return (Line(text=", ".join(names), kind="small"),) if names else ()


def _crew_lines(cell: CrewCell, told: set[int]) -> Iterator[Line]:
    if cell.off:
        yield Line(text="off", kind="small")
    yield from (Line(text=note, kind="small") for note in cell.notes)
    for visit in cell.visits:
        people, marks = ", ".join(visit.people), ", ".join(visit.marks)
        where = f" · {whole(visit.address)}" if visit.address else ""
        yield Line(text=f"{say.between(visit.start, visit.end)} Job {visit.job}{where}", kind="strong")
        what = visit.work if visit.job in told and visit.address else f"{visit.name}: {visit.work}"
        told.add(visit.job)
        yield Line(text=" · ".join(part for part in (what, people, marks) if part))
        if visit.recorded:
            yield Line(text=f"recorded: {visit.recorded}", kind="small")
        yield from (Line(text=f"! {owed}", kind="small") for owed in visit.owed)
    yield from _waits(cell.waits)


def _waits(waits: Sequence[WeekWait]) -> Iterator[Line]:
    """Yield the waits that begin to be shown, those that go on in one line, and each that ends."""
    for wait in waits:
        if wait.first and wait.ends is None:
            yield Line(text=f"Job {wait.job} {wait.what}, {wait.until}", kind="wait")
    on = [wait for wait in waits if not wait.first and wait.ends is None]
    jobs = dict.fromkeys(wait.job for wait in on)
    if len(on) == 1:
        yield Line(text=f"Goes on: job {on[0].job} {_short(on[0].what)}", kind="wait")
    elif on:
        yield Line(text=f"Goes on: {'jobs' if len(jobs) > 1 else 'job'} {listed([*map(str, jobs)])}", kind="wait")
    for wait in waits:
        if wait.ends is not None:
            what = wait.what if wait.first else _short(wait.what)
            yield Line(text=f"{_ends(wait, wait.ends)} job {wait.job} {what}", kind="ends")


def _ends(wait: WeekWait, ends: time) -> str:
    return "at the earliest, promised by nobody:" if wait.unpromised else f"{say.clock(ends)} ends:"


def _short(what: str) -> str:
    """Return what is waited for up to its places or details, which were said on its first day."""
    return what.partition(" (")[0].partition(":")[0]


def _beside(cell: BesideCell) -> Iterator[Line]:
    yield from (Line(text=f"Comes: {one}") for one in cell.comes)
    yield from (Line(text=one) for one in cell.small)
    yield from (Line(text=f"Away: {one}") for one in cell.away)
    yield from _waits(cell.waits)


def _promise(one: WeekPromise) -> Entry:
    tag = "" if one.holds else one.word.lower()
    return Entry(
        lead=say.day_text(one.promised),
        tag=tag,
        text=f"Job {one.job} {one.name}: {one.planned}" + (f", {one.word}" if one.holds else ""),
    )


def _not_planned(one: NotPlanned) -> Entry:
    return Entry(lead=f"Job {one.job}", text=f"{one.name}: {one.why}")
