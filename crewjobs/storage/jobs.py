"""Jobs: whole records in and out, and light rows for lists of thousands."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cache
from typing import Any, Final

from sqlalchemy import ColumnElement, Connection, Table, TextClause, TextualSelect, false, func, or_, select, text

from crewjobs.domain.agreed import Money, SmallVisit, Walk
from crewjobs.domain.errors import ChangedMeanwhile, Refused
from crewjobs.domain.job import LIVE, Job, JobRecord, JobState
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import house_zone
from crewjobs.domain.wording import alike
from crewjobs.storage import records
from crewjobs.storage.changes import list_changes
from crewjobs.storage.ledger import Ledger, Row, stored
from crewjobs.storage.mapping import CUSTOMER, JOB, JOB_PARTS, RECORD_PARTS, SITE, Codec
from crewjobs.storage.shops import read_units, read_zone

_CODECS: Final[dict[str, Codec[Any]]] = {"customer": CUSTOMER, "site": SITE, **JOB_PARTS, **RECORD_PARTS}
_LIVE = tuple(sorted(state.value for state in LIVE))


@dataclass(frozen=True, slots=True, kw_only=True)
class JobSummary:
    """One job of a list, read without its record. Tasks not needed are not counted."""

    number: int
    title: str
    customer: str
    address: str
    state: str
    promised: date | None
    tasks_done: int
    tasks_all: int
    callback_of: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Callback:
    """A callback and the finished job it comes back to (`of`, with that one's title and state)."""

    number: int
    of: int
    title: str
    state: str
    of_title: str
    of_state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Addressed:
    """A job by whose it is and where it goes; both as they are known again whatever their case and blanks."""

    number: int
    customer: str
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BookedVisit:
    """A small visit with the house it goes to; `drive_min` are the minutes from the shop."""

    job: int
    title: str
    address: str
    drive_min: int
    visit: SmallVisit


def read_job(connection: Connection, number: int) -> JobRecord:
    """Return a job with what has happened.

    Raises:
        Refused: there is no such job.
    """
    for record in _read(connection, records.job.c.number == number):
        return record
    raise Refused(f"there is no job {number}: `crewjobs jobs` lists them.")


def read_live(connection: Connection) -> tuple[JobRecord, ...]:
    """Return the jobs asked, quoted or booked, by number; as many queries for thirty as for one."""
    return _read(connection, records.job.c.state.in_(_LIVE))


def read_owing(connection: Connection) -> tuple[JobRecord, ...]:
    """Return the jobs done or closed of which a balance was asked, by number; what came in since is theirs to say."""
    asked = select(records.money.c.job).where(records.money.c.fact == Money.ASKED.value)
    ended = (JobState.DONE.value, JobState.CLOSED.value)
    return _read(connection, records.job.c.state.in_(ended) & records.job.c.number.in_(asked))


def read_walked(connection: Connection) -> tuple[JobRecord, ...]:
    """Return the jobs done and not closed that were walked through after the work, by number; what it left is theirs to say."""
    after = select(records.walk_through.c.job).where(records.walk_through.c.walk == Walk.AFTER.value)
    return _read(connection, (records.job.c.state == JobState.DONE.value) & records.job.c.number.in_(after))


def read_asked_still(connection: Connection) -> tuple[JobRecord, ...]:
    """Return the jobs done or closed, or called off and something was found in them, with somebody's answer still out, by number."""
    found = select(records.finding.c.job)
    out = select(records.waiting_on.c.job).where(records.waiting_on.c.came_at.is_(None))
    job = records.job.c
    over = job.state.in_((JobState.DONE.value, JobState.CLOSED.value))
    off = (job.state == JobState.CALLED_OFF.value) & job.number.in_(found)
    return _read(connection, (over | off) & job.number.in_(out))


def read_called_off(connection: Connection) -> tuple[JobRecord, ...]:
    """Return the jobs called off of which something was ordered or has come, or that somebody may count on, by number."""
    job, task = records.job.c, records.task.c
    counting = (
        *(select(line.c.job).where(line.c.ordered.is_not(None)) for line in (records.order_line, records.goods_line)),
        select(records.lot.c.job),
        select(records.told.c.job),
        select(records.waiting_on.c.job).where(records.waiting_on.c.came_at.is_(None)),
        select(task.job).where(task.started_at.is_not(None), task.done_at.is_(None)),
    )
    wanted = or_(job.promised.is_not(None), *(job.number.in_(jobs) for jobs in counting))
    return _read(connection, (job.state == JobState.CALLED_OFF.value) & wanted)


def read_ended(connection: Connection, most: int) -> tuple[JobRecord, ...]:
    """Return the jobs done or closed, by number: the latest so many."""
    job, ended = records.job.c, (JobState.DONE.value, JobState.CLOSED.value)
    latest = select(job.number).where(job.state.in_(ended)).order_by(job.number.desc()).limit(most)
    return _read(connection, job.number.in_(latest))


def read_past(
    connection: Connection, *, without: Collection[str] = (), called_off: bool = False
) -> tuple[JobRecord, ...]:
    """Return all jobs done or closed, those called off too if said so, by number.

    `without` names fields of the records that are left empty and not read: thousands of past jobs are read for a few of them.
    """
    states = [JobState.DONE.value, JobState.CLOSED.value, *([JobState.CALLED_OFF.value] if called_off else [])]
    return _read(connection, records.job.c.state.in_(states), without)


def read_on_the_clock(connection: Connection) -> tuple[JobRecord, ...]:
    """Return all jobs, whatever their state, that hours of a crew or a dry run are recorded of, by number."""
    job = records.job.c.number
    return _read(connection, job.in_(select(records.crew_hours.c.job)) | job.in_(select(records.dry_run.c.job)))


def numbers_on_the_clock(connection: Connection, since: datetime, until: datetime) -> tuple[int, ...]:
    """Return the numbers of the jobs at which a crew was by what is recorded of a time (UTC), ascending.

    By hours or a dry run that began within it, work of a crew begun or done, or a word on how far work is.
    """
    task, found = records.task.c, set[int]()
    for at in (records.crew_hours.c.start, records.dry_run.c.at, records.how_far.c.at):
        found |= set(connection.execute(select(at.table.c.job).where(at >= since, at < until)).scalars())
    for at in (task.started_at, task.done_at):
        query = select(task.job).where(task.crew != "", at >= since, at < until)
        found |= set(connection.execute(query).scalars())
    return tuple(sorted(found))


def read_worked(connection: Connection, numbers: Collection[int] | None = None) -> tuple[JobRecord, ...]:
    """Return all jobs, or those of some numbers, that hours of a crew are recorded of, whatever their state, by number."""
    which: ColumnElement[bool] = records.job.c.number.in_(select(records.crew_hours.c.job))
    return _read(connection, which if numbers is None else which & records.job.c.number.in_(sorted(numbers)))


def hours_known(connection: Connection) -> bool:
    """Return whether hours of a crew are recorded of any job."""
    return connection.execute(select(records.crew_hours.c.job).limit(1)).first() is not None


def read_small_visits(connection: Connection, since: datetime) -> tuple[BookedVisit, ...]:
    """Return the small visits of all jobs that begin at or after an instant, by their start.

    To a job called off nobody goes: of its visits those alone that were made. They stay in its record, should it go on after all.
    """
    job, visit, site = records.job.c, records.small_visit, records.site.c
    query = (
        select(job.number.label("of_job"), job.title, site.address, site.drive_min, *visit.c)
        .join(records.job, job.number == visit.c.job)
        .join(records.site, site.job == visit.c.job)
        .where(visit.c.start >= since, (job.state != JobState.CALLED_OFF.value) | visit.c.done_at.is_not(None))
        .order_by(visit.c.start, visit.c.job, visit.c.number)
    )
    return tuple(
        BookedVisit(
            job=row["of_job"],
            title=row["title"],
            address=row["address"],
            drive_min=row["drive_min"],
            visit=RECORD_PARTS["small_visits"].value(dict(row)),
        )
        for row in connection.execute(query).mappings()
    )


def read_callbacks(connection: Connection) -> tuple[Callback, ...]:
    """Return all callbacks, by number."""
    job, old = records.job.c, records.job.alias()
    query = (
        select(job.number, job.callback_of, job.title, job.state, old.c.title, old.c.state)
        .select_from(records.job.join(old, old.c.number == job.callback_of))
        .order_by(job.number)
    )
    return tuple(
        Callback(number=number, of=of, title=title, state=state, of_title=of_title, of_state=of_state)
        for number, of, title, state, of_title, of_state in connection.execute(query)
    )


def read_with_findings(connection: Connection, numbers: Collection[int]) -> tuple[int, ...]:
    """Return those of some jobs in which something was found, ascending."""
    if not numbers:
        return ()
    job = records.finding.c.job
    return tuple(connection.execute(select(job).where(job.in_(numbers)).distinct().order_by(job)).scalars())


def read_at_their_addresses(connection: Connection, numbers: Collection[int]) -> tuple[Addressed, ...]:
    """Return some jobs, and those at their addresses of which somebody going there is to know, ascending.

    To know are the live ones, those in which something was found, and those with a small visit to come: of the years of others
    nothing is read.
    """
    job, customer, site, visit = records.job.c, records.customer.c, records.site.c, records.small_visit.c
    all_of_them = (
        select(job.number, customer.name, site.address)
        .join(records.customer, customer.job == job.number)
        .join(records.site, site.job == job.number)
    )
    wanted = connection.execute(all_of_them.where(job.number.in_(numbers))).all()
    known = {alike(address) for _, _, address in wanted}
    # SQLite folds ASCII alone and knows no blanks but one: what it may not tell is compared below.
    plain = func.lower(func.replace(site.address, " ", ""))
    may_be = or_(plain.in_({one.replace(" ", "") for one in known}), site.address.op("GLOB")("*[^ -~]*"))
    told = or_(
        job.state.in_(_LIVE),
        job.number.in_(select(records.finding.c.job)),
        job.number.in_(select(visit.job).where(visit.done_at.is_(None))),
    )
    there = connection.execute(all_of_them.where(may_be, told)).all()
    found = {
        number: Addressed(number=number, customer=alike(name), address=alike(address))
        for number, name, address in (*wanted, *there)
    }
    return tuple(one for _, one in sorted(found.items()) if one.address in known)


def read_numbers(connection: Connection) -> tuple[int, ...]:
    """Return the numbers of all jobs."""
    return tuple(connection.execute(select(records.job.c.number).order_by(records.job.c.number)).scalars())


def next_number(connection: Connection) -> int:
    """Return a number that no job has or ever had, also none that was taken back."""
    logged = records.change_row.c
    ever = select(logged.key).where(logged.table_name == records.job.name, logged.before.is_(None))
    return max((json.loads(key)[0] for key in connection.execute(ever).scalars()), default=0) + 1


def read_summaries(connection: Connection, *, everything: bool) -> tuple[JobSummary, ...]:
    """Return the live jobs, or all of them, as rows of a list."""
    job, task, customer, site = records.job.c, records.task.c, records.customer.c, records.site.c
    wanted: list[ColumnElement[bool]] = [] if everything else [job.state.in_(_LIVE)]
    counted = select(task.job, func.count(task.done_at).label("done"), func.count().label("all"))
    counted = counted.where(task.not_needed == false())
    if not everything:
        counted = counted.where(task.job.in_(select(job.number).where(*wanted)))
    tasks = counted.group_by(task.job).subquery()
    columns = (job.number, job.title, customer.name, site.address, job.state, job.promised, job.callback_of)
    query = (
        select(*columns, tasks.c.done, tasks.c.all)
        .join(records.customer, customer.job == job.number)
        .join(records.site, site.job == job.number)
        .outerjoin(tasks, tasks.c.job == job.number)
        .where(*wanted)
        .order_by(job.number)
    )
    return tuple(
        JobSummary(
            number=number,
            title=title,
            customer=name,
            address=address,
            state=state,
            promised=promised,
            tasks_done=done or 0,
            tasks_all=all_tasks or 0,
            callback_of=of,
        )
        for number, title, name, address, state, promised, of, done, all_tasks in connection.execute(query)
    )


def add_job(ledger: Ledger, record: JobRecord) -> None:
    """Store a new job.

    Raises:
        Refused: its number is taken.
    """
    job = record.job
    taken = select(records.job.c.title).where(records.job.c.number == job.number)
    title = ledger.connection.execute(taken).scalar()
    if title is not None:
        raise Refused(f"there is a job {job.number} already ({quoted(title)}): give this one another number.")
    last_part = 0
    for codec, values in _parts(record):
        rows, last_part = _numbered(codec, job.number, [], values, last_part)
        ledger.insert(codec.table, rows)
    ledger.insert(records.job, [JOB.row(job, version=record.version, last_part=last_part)])
    ledger.insert(records.customer, [CUSTOMER.row(job.customer, job=job.number)])
    ledger.insert(records.site, [SITE.row(job.site, job=job.number)])


def save_job(ledger: Ledger, before: JobRecord, after: JobRecord) -> JobRecord:
    """Write what differs between two states of a job and return the new one with its version.

    Raises:
        Refused: the job was changed since `before` was read, or a material is dropped of which cartons came.
    """
    number = before.job.number
    if after.job.number != number:
        raise ValueError(f"job {number} cannot become job {after.job.number}")
    row = stored(ledger.connection, records.job, records.job.c.number == number)
    if not row:
        raise Refused(f"there is no job {number}: `crewjobs jobs` lists them.")
    if row[0]["version"] != before.version:
        raise ChangedMeanwhile(_changed_meanwhile(ledger.connection, number))
    if replace(after, version=before.version) == before:
        return before
    _check_lots(after)
    last_part = row[0]["last_part"]
    for (codec, old), (_, new) in zip(_parts(before), _parts(after), strict=True):
        if old != new:
            current = stored(ledger.connection, codec.table, codec.table.c.job == number)
            rows, last_part = _numbered(codec, number, current, new, last_part)
            _drop_pins(ledger, codec.table, current, rows)
            ledger.sync(codec.table, current, rows)
    _sync_one(ledger, CUSTOMER, number, before.job.customer, after.job.customer)
    _sync_one(ledger, SITE, number, before.job.site, after.job.site)
    version = before.version + 1
    ledger.update(records.job, row[0], JOB.row(after.job, version=version, last_part=last_part))
    return replace(after, version=version)


def _sync_one(ledger: Ledger, codec: Codec[Any], job: int, before: Any, after: Any) -> None:
    ledger.sync(codec.table, [codec.row(before, job=job)], [codec.row(after, job=job)])


def _parts(record: JobRecord) -> list[tuple[Codec[Any], Sequence[Any]]]:
    parts = [(codec, getattr(record.job, name)) for name, codec in JOB_PARTS.items()]
    return parts + [(codec, getattr(record, name)) for name, codec in RECORD_PARTS.items()]


def _numbered(
    codec: Codec[Any], job: int, current: Iterable[Row], values: Iterable[Any], last: int
) -> tuple[list[Row], int]:
    """Return the rows of values, each with the number it had; new ones are numbered on from `last`."""
    had: defaultdict[str, list[int]] = defaultdict(list)
    for row in sorted(current, key=lambda row: -row["position"]):
        had[_matched(codec, row)].append(row["number"])
    rows = []
    for position, value in enumerate(values, start=1):
        row = codec.row(value, job=job, position=position)
        if "number" not in row:  # a task has a number of its own
            old = had[_matched(codec, row)]
            last = last if old else last + 1
            row["number"] = old.pop() if old else last
        rows.append(row)
    return rows, last


def _matched(codec: Codec[Any], row: Row) -> str:
    return json.dumps([row[name] for name in codec.match], default=str)


def _drop_pins(ledger: Ledger, table: Table, current: Iterable[Row], rows: Iterable[Row]) -> None:
    """A pin of a task that goes, goes with it."""
    if table is not records.task:
        return
    gone = {(row["job"], row["number"]) for row in current} - {(row["job"], row["number"]) for row in rows}
    for job, task in gone:
        pins = stored(ledger.connection, records.pin, records.pin.c.job == job, records.pin.c.task == task)
        ledger.delete(records.pin, pins)


def _check_lots(record: JobRecord) -> None:
    names = {material.name for material in record.job.materials}
    for lot in record.lots:
        if lot.material not in names:
            raise Refused(
                f"job {record.job.number}: cartons of {quoted(lot.material)} have come (lot {quoted(lot.name)}), "
                "so it stays among the materials."
            )


def _changed_meanwhile(connection: Connection, number: int) -> str:
    latest = next(iter(list_changes(connection, 1, number)), None)
    what = f" ({latest.what})" if latest else ""
    return f"job {number} was changed meanwhile{what}: look again and repeat."


def _read(connection: Connection, which: ColumnElement[bool], without: Collection[str] = ()) -> tuple[JobRecord, ...]:
    """Return whole records, or `without` some fields: one query a table that has rows of them, whatever the number of jobs."""
    jobs = stored(connection, records.job, which, order=("number",))
    if not jobs:
        return ()
    numbers = {"numbers": json.dumps([row["number"] for row in jobs])}
    held = set(connection.execute(_tables_held(), numbers).scalars()) - {_CODECS[name].table.name for name in without}
    parts = {name: _by_job(connection, codec, numbers, held) for name, codec in _CODECS.items()}
    units = (
        read_units(connection) if any(one.is_sheet for those in parts["materials"].values() for one in those) else "us"
    )
    found, shop_zone = [], read_zone(connection)
    for row in jobs:
        number = row["number"]
        single = {name: parts[name][number][0] for name in ("customer", "site")}
        if single["site"].zone != shop_zone:
            single["site"] = replace(single["site"], zone=house_zone(single["site"].zone, shop_zone))
        job: Job = JOB.value(row, **single, **{name: tuple(parts[name][number]) for name in JOB_PARTS})
        if any(material.is_sheet for material in job.materials):
            job = replace(job, materials=tuple(replace(material, told_in=units) for material in job.materials))
        happened = {name: tuple(parts[name][number]) for name in RECORD_PARTS}
        found.append(JobRecord(job=job, version=row["version"], **happened))
    return tuple(found)


def _by_job(
    connection: Connection, codec: Codec[Any], numbers: dict[str, str], held: Collection[str]
) -> defaultdict[int, list[Any]]:
    table = codec.table
    values: defaultdict[int, list[Any]] = defaultdict(list)
    if table.name in held:
        names = [column.name for column in table.columns]
        for found in connection.execute(_rows_of_jobs(table), numbers).all():
            row = dict(zip(names, found, strict=True))
            values[row["job"]].append(codec.value(row))
    return values


# Reading a record asks up to thirty tables. Written as text once, for a query that SQLAlchemy builds and compiles anew in
# each process takes longer than SQLite takes to answer it; the numbers come as one JSON list, so the text is always the same.
_OF_JOBS: Final = "job IN (SELECT value FROM json_each(:numbers))"


@cache
def _rows_of_jobs(table: Table) -> TextualSelect:
    columns = ", ".join(f'"{column.name}"' for column in table.columns)
    order = " ORDER BY job, position" if "position" in table.c else ""
    return text(f'SELECT {columns} FROM "{table.name}" WHERE {_OF_JOBS}{order}').columns(*table.columns)


@cache
def _tables_held() -> TextClause:
    """Return the query for the tables in which jobs have rows: most jobs have none in most of them."""
    tables = [codec.table.name for codec in _CODECS.values()]
    each = (f"SELECT '{name}' WHERE EXISTS (SELECT 1 FROM \"{name}\" WHERE {_OF_JOBS})" for name in tables)
    return text(" UNION ALL ".join(each))
