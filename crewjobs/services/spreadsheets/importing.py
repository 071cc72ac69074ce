"""A plain list of jobs and customers in: looked at first, then all of its rows or none, in one change.

Jobs come in without rooms: a list tells no walls and no material, and a room made up from an area would give base, cuts and cartons nobody
measured. So they have no tasks until a job file brings their rooms.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import Site
from crewjobs.domain.job import Customer, Job, JobRecord, JobState
from crewjobs.domain.list_mapping import ListMapping, heading_of
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import alike, counted, listed, upper
from crewjobs.files.list_columns import BY_NAME, guessed, mapped, missing, tells_area
from crewjobs.files.list_file import DELIMITERS, ListFile, ListRow
from crewjobs.files.list_values import (
    Order,
    Over,
    is_ambiguous,
    order_of,
    read_day_cell,
    read_line,
    read_minutes,
    read_state,
    read_year,
)
from crewjobs.services.rows import Done
from crewjobs.services.spreadsheets.import_rows import ImportColumn, ImportFault, ImportRow, ImportView

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

STATES: Final = ("asked", "quoted", "booked")
"""The states in which jobs come in."""
_EXAMPLES: Final = 3
_DAYS: Final = ("wished", "promised")
_READ: Final[Mapping[str, Callable[[str], Any]]] = {
    **dict.fromkeys(("customer", "address", "title", "phone", "mail", "parking", "pets", "key_with"), read_line),
    "state": read_state,
    "year_built": read_year,
    "drive_min": read_minutes,
}
_MOST_FAULTS: Final = 60
"""A list with more faults is told so: nobody reads them all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HowRead:
    """What a person said of a list: columns (``Client=customer``), the state of rows that give none, which comes first in a day."""

    columns: tuple[str, ...] = ()
    state: str = "asked"
    dates: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Looked:
    """A list looked at: what is shown, the new jobs without their numbers, and what its columns are."""

    view: ImportView
    jobs: tuple[Job, ...]
    mapping: ListMapping


def import_view(uow: UnitOfWork, now: datetime, found: ListFile, how: HowRead) -> ImportView:
    """Return what a list would become.

    Raises:
        Refused: what was said of its columns, states or days is none of what there is.
    """
    return _look(uow, now, found, how).view


def import_list(uow: UnitOfWork, now: datetime, found: ListFile, how: HowRead) -> Done:
    """Store the new jobs of a list, all of them in one change, and what its columns are.

    Raises:
        Refused: with every fault of the list, or nothing of it is new; nothing is stored then.
    """
    looked = _look(uow, now, found, how)
    view = looked.view
    if view.faults:
        raise Refused([f"{found.source}: {fault.words}" for fault in view.faults])
    if not looked.jobs:
        raise Refused(f"{found.source}: nothing in it is new. {view.sentence}")
    first = max(uow.next_number(), 1)
    numbered = [replace(job, number=number) for number, job in enumerate(looked.jobs, start=first)]
    for job in numbered:
        uow.add_job(JobRecord(job=job))
    uow.save_list_mapping(looked.mapping)
    last = numbered[-1].number
    which = f"job {first}" if first == last else f"jobs {first} to {last}"
    what = f"imported {counted(len(numbered), 'job')} from {found.source} ({which})"
    return Done(
        sentence=f"{what[:1].upper()}{what[1:]}.",
        change=uow.commit(what, at=now),
        then=(
            *([view.sentence] if len(view.rows) > len(numbered) else []),
            f"They have no rooms yet, so no tasks and no hours: `crewjobs dump {first} --out job-{first}.toml` writes the file to add rooms "
            f"and material to, `crewjobs load job-{first}.toml --replace` brings it back.",
        ),
    )


def _look(uow: UnitOfWork, now: datetime, found: ListFile, how: HowRead) -> _Looked:
    state, order = _checked(how)
    before = uow.list_mapping(heading_of(found.columns))
    start = before.taken_as if before is not None else guessed(found.columns)
    taken = mapped(found.columns, start, how.columns)
    faults = [ImportFault(line=0, column="", sentence=sentence) for sentence in missing(taken)]
    beyond = [
        ImportFault(
            line=line,
            column="",
            sentence="it has more cells than the heading has columns: put cells with a delimiter in quotes.",
        )
        for line in found.beyond
    ]
    zone = uow.shop().zone
    reader = _Reader(found, taken, state, order, zone, to_wall(zone, now).date())
    if not faults:
        reader.read(_known(uow))
    faults = sorted((*faults, *beyond, *reader.faults), key=lambda fault: fault.line)
    rows = tuple(reader.rows)
    view = ImportView(
        source=found.source,
        delimiter=DELIMITERS[found.delimiter],
        encoding=found.encoding,
        kept=before is not None,
        columns=tuple(_columns(found, taken)),
        rows=rows,
        faults=tuple(_bounded(faults)),
        notes=tuple(dict.fromkeys((*reader.notes, *_areas(found, taken)))),
        new=len(reader.jobs),
        sentence=_sentence(rows, len(faults)),
    )
    return _Looked(
        view=view, jobs=tuple(reader.jobs), mapping=ListMapping(heading=heading_of(found.columns), taken_as=taken)
    )


def _checked(how: HowRead) -> tuple[JobState, Order | None]:
    if how.state not in STATES:
        raise Refused(f"{quoted(how.state)}: jobs come in {STATES[0]}, {STATES[1]} or {STATES[2]}.")
    if how.dates and how.dates not in tuple(Order):
        raise Refused(f"{quoted(how.dates)}: days are {', '.join(Order)}.")
    return JobState(how.state), Order(how.dates) if how.dates else None


def _columns(found: ListFile, taken: Sequence[str]) -> Iterator[ImportColumn]:
    for place, (column, name) in enumerate(zip(found.columns, taken, strict=True)):
        cells = dict.fromkeys(" ".join(row.cells[place].split()) for row in found.rows)
        examples = [cell for cell in cells if cell][:_EXAMPLES]
        yield ImportColumn(column=column, taken_as=name, examples=tuple(cell[:60] for cell in examples))


def _areas(found: ListFile, taken: Sequence[str]) -> Iterator[str]:
    """Say of a column of areas why it is left alone."""
    for column, name in zip(found.columns, taken, strict=True):
        if not name and tells_area(column):
            yield (
                f"Column {quoted(column)} is not taken: an area has no walls and no material, and a room made up from it would tell base, "
                "cuts and cartons that nobody measured."
            )


def _bounded(faults: Sequence[ImportFault]) -> list[ImportFault]:
    if len(faults) <= _MOST_FAULTS:
        return list(faults)
    rest = ImportFault(line=0, column="", sentence=f"and {len(faults) - _MOST_FAULTS} faults more.")
    return [*faults[:_MOST_FAULTS], rest]


def _known(uow: UnitOfWork) -> dict[tuple[str, str, str], int]:
    return {same(one.customer, one.address, one.title): one.number for one in uow.job_summaries(everything=True)}


def same(customer: str, address: str, title: str) -> tuple[str, str, str]:
    """Return by what a job is known again: its customer, address and title, whatever their case and blanks."""
    return alike(customer), alike(address), alike(title)


class _Reader:
    """Reads the rows of a list one after the other."""

    def __init__(
        self, found: ListFile, taken: Sequence[str], state: JobState, order: Order | None, zone: str, today: date
    ) -> None:
        self._found = found
        self._places = {
            name: [i for i, one in enumerate(taken) if one == name] for name in dict.fromkeys(filter(None, taken))
        }
        self._state = state
        self._zone = zone
        self._today = today
        self._gone: dict[str, list[str]] = {name: [] for name in _DAYS}
        self.rows: list[ImportRow] = []
        self.jobs: list[Job] = []
        self.faults: list[ImportFault] = []
        self.notes: list[str] = []
        self._orders: dict[str, Order | None] = {
            name: self._order(name, order) for name in _DAYS if name in self._places
        }

    def _order(self, name: str, said: Order | None) -> Order | None:
        """Return which comes first in the days of a column; what is only supposed is noted."""
        (place,) = self._places[name]
        column, cells = self._found.columns[place], [row.cells[place] for row in self._found.rows]
        if said is not None:
            return said
        try:
            order = order_of(cells)
        except Refused as fault:
            self.faults.append(ImportFault(line=0, column=column, sentence=fault.sentences[0]))
            return None
        unsure = next((cell for cell in cells if is_ambiguous(cell)), "")
        if unsure and order is None:
            read = read_day_cell(unsure, None)
            self.notes.append(
                f"Column {quoted(column)}: {quoted(unsure)} is read as {read}: say day-first or month-first if it is not so."
            )
        return order

    def read(self, known: Mapping[tuple[str, str, str], int]) -> None:
        """Read all rows; `known` are the jobs there already."""
        lines: dict[tuple[str, str, str], int] = {}
        houses = {key[:2]: number for key, number in known.items()}
        for row in self._found.rows:
            # Which cell a row with too many means where, nobody knows: nothing else is said of it.
            values, over = self._values(row) if row.line not in self._found.beyond else (None, "")
            if values is None:
                self._add(row, "wrong", self._raw(row))
                continue
            key = same(values["customer"], values["address"], values["title"])
            if over:
                self._add(row, "left out", values, why=f"{over}: only jobs asked, quoted or booked come in")
            elif key in known:
                self._add(row, "there already", values, job=known[key], why=f"it is job {known[key]}")
            elif key in lines:
                self._add(row, "twice in the list", values, why=f"the same as line {lines[key]}")
            elif (job := self._job(row, values)) is None:
                self._add(row, "wrong", values)
            else:
                lines[key] = row.line
                self.jobs.append(job)
                other = houses.get(key[:2])
                self._add(row, "new job", values, why=f"job {other} is of the same customer and house" if other else "")
                self._note_gone(row, values)
        self.notes += [
            f"{upper(name)} for a day that has gone by: {listed(rows, most=6)}."
            for name, rows in self._gone.items()
            if rows
        ]

    def _note_gone(self, row: ListRow, values: Mapping[str, Any]) -> None:
        """Remember which days of a new job have gone by: they are taken, and may be a slip."""
        for name in _DAYS:
            day = values.get(name)
            if isinstance(day, date) and day < self._today:
                self._gone[name].append(f"line {row.line} ({day})")

    def _cell(self, row: ListRow, name: str) -> str:
        cells = [row.cells[place].strip() for place in self._places.get(name, ())]
        return BY_NAME[name].joins.join(filter(None, cells)) if len(cells) != 1 else cells[0]

    def _raw(self, row: ListRow) -> dict[str, Any]:
        return {name: " ".join(self._cell(row, name).split())[:200] for name in ("customer", "address", "title")}

    def _wrong(self, row: ListRow, name: str, sentence: str) -> None:
        columns = [self._found.columns[place] for place in self._places.get(name, ())]
        self.faults.append(ImportFault(line=row.line, column=listed(columns), sentence=sentence))

    def _values(self, row: ListRow) -> tuple[dict[str, Any] | None, str]:
        """Return what the cells of a row hold, None where one is wrong, and why the job is over where it is."""
        values: dict[str, Any] = {"title": "", "state": self._state}
        before, over = len(self.faults), ""
        for name in self._places:
            cell = self._cell(row, name)
            try:
                if not cell.strip():
                    if name in ("customer", "address"):
                        raise Refused(f"it is empty: every row says {BY_NAME[name].says}.")
                    continue
                values[name] = read_day_cell(cell, self._orders[name]) if name in _DAYS else _READ[name](cell)
            except Over as said:
                over = said.sentences[0].rstrip(".")
            except Refused as fault:
                self._wrong(row, name, fault.sentences[0])
        self._check_year(row, values)
        if len(self.faults) > before:
            return None, ""
        values["title"] = values["title"] or values["customer"]
        return values, over

    def _check_year(self, row: ListRow, values: Mapping[str, Any]) -> None:
        """Say at its column that no house was built in a year, or none yet."""
        built = values.get("year_built")
        if built is None:
            return
        if built > self._today.year:
            self._wrong(row, "year_built", f"the house was built in {built}, which has not come yet.")
            return
        try:
            Site(address="any", zone=self._zone, year_built=built)
        except Refused as refused:
            self._wrong(row, "year_built", refused.sentences[0])

    def _job(self, row: ListRow, values: Mapping[str, Any]) -> Job | None:
        """Return the job of a row; what its parts say of each other is checked by the job itself."""
        of_site = {
            name: values[name] for name in ("year_built", "drive_min", "parking", "pets", "key_with") if name in values
        }
        try:
            return Job(
                number=0,
                title=values["title"],
                customer=Customer(name=values["customer"], phone=values.get("phone", ""), mail=values.get("mail", "")),
                site=Site(address=values["address"], zone=self._zone, **of_site),
                state=values["state"],
                wished=values.get("wished"),
                promised=values.get("promised"),
                rooms=(),
            )
        except Refused as refused:
            self.faults += [ImportFault(line=row.line, column="", sentence=sentence) for sentence in refused.sentences]
            return None

    def _add(
        self, row: ListRow, becomes: str, values: Mapping[str, Any], *, job: int | None = None, why: str = ""
    ) -> None:
        state = values.get("state", "")
        wished, promised = (values.get(name) for name in _DAYS)
        self.rows.append(
            ImportRow(
                line=row.line,
                becomes=becomes,
                title=values["title"],
                customer=values["customer"],
                address=values["address"],
                state=str(state) if becomes not in ("wrong", "left out") else "",
                wished=wished if isinstance(wished, date) else None,
                promised=promised if isinstance(promised, date) else None,
                job=job,
                why=why,
            )
        )


def _sentence(rows: Sequence[ImportRow], faults: int) -> str:
    """Return how many rows become what."""
    counts = {
        becomes: sum(row.becomes == becomes for row in rows) for becomes in dict.fromkeys(row.becomes for row in rows)
    }
    told = [
        f"{counted(count, 'row')} {'is' if count == 1 else 'are'} {becomes}"
        for becomes, count in counts.items()
        if becomes != "new job"
    ]
    new = counts.get("new job", 0)
    parts = [counted(new, "new job") if new else "no new job", *told, *([counted(faults, "fault")] if faults else [])]
    return f"{upper(listed(parts))}."
