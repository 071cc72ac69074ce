"""One transaction: what a use case reads and writes, and the one function that commits."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import datetime
from functools import wraps
from pathlib import Path
from types import TracebackType
from typing import Any, Concatenate, ParamSpec, Self, TypeVar

from sqlalchemy import Connection, Engine

from crewjobs.domain.calendar import WrittenEvent
from crewjobs.domain.crew import Away, DayHours, Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord
from crewjobs.domain.list_mapping import ListMapping
from crewjobs.domain.pace import RatePin
from crewjobs.domain.plan import Pin, WeekPlan
from crewjobs.domain.printed import PrintedSheet, SheetKind
from crewjobs.domain.tasks import TemplateOverride
from crewjobs.domain.wording import undone_words
from crewjobs.storage import calendars, changes, jobs, kept_pace, plans, printed, renaming, shops, undo
from crewjobs.storage.changes import Change
from crewjobs.storage.faults import BrokenRule
from crewjobs.storage.jobs import Addressed, BookedVisit, Callback, JobSummary
from crewjobs.storage.ledger import Ledger
from crewjobs.storage.paths import shown
from crewjobs.storage.undo import Taken

P = ParamSpec("P")
Found = TypeVar("Found")


def _read(method: Callable[Concatenate[UnitOfWork, P], Found]) -> Callable[Concatenate[UnitOfWork, P], Found]:
    """Tell a record that cannot be read, since another program wrote into the file or the disk hurt it, as a damaged database is."""

    @wraps(method)
    def told(uow: UnitOfWork, /, *args: P.args, **kwargs: P.kwargs) -> Found:
        try:
            return method(uow, *args, **kwargs)
        except (ValueError, KeyError, TypeError, AttributeError) as error:
            path = Path(uow.path)
            raise Refused(
                f"a record in {shown(path)} cannot be read ({error or type(error).__name__}): `crewjobs check` looks through all of them, "
                "and `crewjobs restore FILE` puts a backup in its place."
            ) from error

    return told


class UnitOfWork:
    """What can be read and written in one transaction; it is rolled back unless `commit` was called.

    ``with database.unit_of_work(who="Sam") as uow:`` begins it with the right to write, alone;
    ``with database.reading() as uow:`` sees one state of the database and writes nothing.
    """

    def __init__(self, engine: Engine, *, who: str | None, demo: bool) -> None:
        self._engine = engine
        self._who = who
        self._demo = demo
        self.to_keep: dict[str, bytes] = {}
        """What was learned in this transaction and is worth keeping once it is over, by the name of the part."""

    @property
    def path(self) -> str:
        """Return the file it reads."""
        return self._engine.url.database or ""

    def __enter__(self) -> Self:
        """Begin.

        Raises:
            Refused: another program is writing and goes on for longer than a command waits.
        """
        self._connection: Connection = self._engine.connect()
        self._ledger = Ledger(self._connection)
        try:
            self._connection.begin()
        except BaseException:
            self._connection.close()
            raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Roll back what was not committed."""
        try:
            self._connection.rollback()
        finally:
            self._connection.close()

    # The shop.

    @_read
    def shop(self) -> Shop:
        """Return the shop.

        Raises:
            Refused: there is none yet.
        """
        return shops.read_shop(self._connection)

    def save_shop(self, shop: Shop) -> None:
        """Store the shop in the place of the one that was there, with its crews' hours on single days.

        Raises:
            Refused: a crew is dropped that something is pinned to.
        """
        shops.save_shop(self._writer(), shop, demo=self._demo)

    def rename_crews(self, names: Mapping[str, str]) -> None:
        """Name crews otherwise in what is recorded and planned of them; the shop itself is saved after it."""
        renaming.rename_crews(self._writer(), names)

    def rename_people(self, names: Mapping[str, str]) -> None:
        """Name people otherwise in the small visits they make; the shop and who is away are saved by themselves."""
        renaming.rename_people(self._writer(), names)

    @_read
    def overrides(self) -> tuple[TemplateOverride, ...]:
        """Return how the shop changes the task templates, by key."""
        return shops.read_overrides(self._connection)

    def save_overrides(self, overrides: Sequence[TemplateOverride]) -> None:
        """Store how the shop changes the task templates, in the place of what was there."""
        shops.save_overrides(self._writer(), overrides)

    # People away from their crew.

    @_read
    def away(self) -> tuple[Away, ...]:
        """Return who is away from their crew on which days, by day."""
        return shops.read_away(self._connection)

    def save_away(self, away: Away) -> None:
        """Record a person away on a day, in the place of what was recorded for that day."""
        shops.save_away(self._writer(), away)

    def drop_away(self, away: Away) -> None:
        """Take it back: the person is with their crew that day."""
        shops.drop_away(self._writer(), away)

    # Crews' hours on single days.

    @_read
    def day_hours(self) -> tuple[DayHours, ...]:
        """Return the hours recorded for crews on single days, by day; the shop's crews have theirs in them."""
        return shops.read_day_hours(self._connection)

    def save_day_hours(self, hours: DayHours) -> None:
        """Record a crew's hours on a day, in the place of what was recorded for that day."""
        shops.save_day_hours(self._writer(), hours)

    def drop_day_hours(self, hours: DayHours) -> None:
        """Take it back: the crew has its usual hours that day."""
        shops.drop_day_hours(self._writer(), hours)

    # Rates set by hand, and the pace that is kept.

    @_read
    def rate_pins(self) -> tuple[RatePin, ...]:
        """Return the rates set by hand, by crew and template."""
        return shops.read_rate_pins(self._connection)

    def save_rate_pin(self, pin: RatePin) -> None:
        """Set a rate by hand, in the place of one that was set before."""
        shops.save_rate_pin(self._writer(), pin)

    def drop_rate_pin(self, pin: RatePin) -> None:
        """Let a crew's rate at a template be as it is learned again."""
        shops.drop_rate_pin(self._writer(), pin)

    def kept_pace(self, *names: str) -> Mapping[str, bytes]:
        """Return what is kept of the learned pace by the name of the part, as this transaction would keep it; `names` alone if any."""
        return {**kept_pace.read_kept(self._connection, names), **self.to_keep}

    def jobs_touched(self, since: int) -> frozenset[int]:
        """Return the numbers of the jobs of which anything was changed after a change of the log."""
        return kept_pace.jobs_touched(self._connection, since)

    # Lists that came in.

    @_read
    def list_mapping(self, heading: str) -> ListMapping | None:
        """Return what the columns of a list with a heading were taken as, None where none had it."""
        return shops.read_list_mapping(self._connection, heading)

    def save_list_mapping(self, mapping: ListMapping) -> None:
        """Keep what the columns of a list are taken as."""
        shops.save_list_mapping(self._writer(), mapping)

    # Jobs.

    @_read
    def job(self, number: int) -> JobRecord:
        """Return a job with what has happened.

        Raises:
            Refused: there is no such job.
        """
        return jobs.read_job(self._connection, number)

    @_read
    def live_jobs(self) -> tuple[JobRecord, ...]:
        """Return the jobs asked, quoted or booked, by number."""
        return jobs.read_live(self._connection)

    @_read
    def owing_jobs(self) -> tuple[JobRecord, ...]:
        """Return the jobs done or closed of which a balance was asked, by number."""
        return jobs.read_owing(self._connection)

    @_read
    def walked_jobs(self) -> tuple[JobRecord, ...]:
        """Return the jobs done and not closed that were walked through after the work, by number."""
        return jobs.read_walked(self._connection)

    @_read
    def jobs_asked_still(self) -> tuple[JobRecord, ...]:
        """Return the jobs done or closed, or called off with something found, with somebody's answer still out, by number."""
        return jobs.read_asked_still(self._connection)

    @_read
    def called_off_jobs(self) -> tuple[JobRecord, ...]:
        """Return the jobs called off of which something was ordered or has come, or that somebody may count on, by number."""
        return jobs.read_called_off(self._connection)

    @_read
    def ended_jobs(self, most: int) -> tuple[JobRecord, ...]:
        """Return the jobs done or closed, by number: the latest so many."""
        return jobs.read_ended(self._connection, most)

    @_read
    def past_jobs(self, *, without: Collection[str] = (), called_off: bool = False) -> tuple[JobRecord, ...]:
        """Return all jobs done or closed, those called off too if said so, by number; fields in `without` are left empty."""
        return jobs.read_past(self._connection, without=without, called_off=called_off)

    @_read
    def jobs_on_the_clock(self) -> tuple[JobRecord, ...]:
        """Return all jobs that hours of a crew or a dry run are recorded of, by number."""
        return jobs.read_on_the_clock(self._connection)

    def numbers_on_the_clock(self, since: datetime, until: datetime) -> tuple[int, ...]:
        """Return the numbers of the jobs at which a crew was by what is recorded of a time (UTC), ascending."""
        return jobs.numbers_on_the_clock(self._connection, since, until)

    @_read
    def worked_among(self, numbers: Collection[int]) -> tuple[JobRecord, ...]:
        """Return those of some jobs that hours of a crew are recorded of, by number."""
        return jobs.read_worked(self._connection, numbers)

    @_read
    def worked_jobs(self) -> tuple[JobRecord, ...]:
        """Return all jobs that hours of a crew are recorded of, closed ones too, by number."""
        return jobs.read_worked(self._connection)

    def hours_known(self) -> bool:
        """Return whether hours of a crew are recorded of any job."""
        return jobs.hours_known(self._connection)

    @_read
    def small_visits(self, since: datetime) -> tuple[BookedVisit, ...]:
        """Return the small visits of all jobs that begin at or after an instant, by their start."""
        return jobs.read_small_visits(self._connection, since)

    @_read
    def callbacks(self) -> tuple[Callback, ...]:
        """Return all callbacks with the jobs they come back to, by number."""
        return jobs.read_callbacks(self._connection)

    @_read
    def at_their_addresses(self, numbers: Collection[int]) -> tuple[Addressed, ...]:
        """Return some jobs, and those at their addresses of which somebody going there is to know, ascending."""
        return jobs.read_at_their_addresses(self._connection, numbers)

    def with_findings(self, numbers: Collection[int]) -> tuple[int, ...]:
        """Return those of some jobs in which something was found, ascending."""
        return jobs.read_with_findings(self._connection, numbers)

    def job_numbers(self) -> tuple[int, ...]:
        """Return the numbers of all jobs, ascending."""
        return jobs.read_numbers(self._connection)

    def next_number(self) -> int:
        """Return a number that no job has or ever had."""
        return jobs.next_number(self._connection)

    @_read
    def job_summaries(self, everything: bool = False) -> tuple[JobSummary, ...]:
        """Return the live jobs, or all of them, as light rows for lists."""
        return jobs.read_summaries(self._connection, everything=everything)

    def add_job(self, record: JobRecord) -> None:
        """Store a new job.

        Raises:
            Refused: its number is taken.
        """
        jobs.add_job(self._writer(), record)

    def save_job(self, before: JobRecord, after: JobRecord) -> JobRecord:
        """Write what differs between two states of a job; return the new one, whose version has risen by one.

        Raises:
            Refused: the job was changed since `before` was read.
        """
        return jobs.save_job(self._writer(), before, after)

    # The plan.

    @_read
    def latest_plan(self) -> WeekPlan | None:
        """Return the plan in force, None if there is none."""
        return plans.read_latest(self._connection)

    @_read
    def left_out_since(self) -> dict[int, datetime]:
        """Return for each job left out of the plan in force the instant from which on every plan left it out."""
        return plans.left_out_since(self._connection)

    @_read
    def proposal(self) -> WeekPlan | None:
        """Return the newest proposal that is newer than the plan in force, None if there is none."""
        return plans.read_proposal(self._connection)

    def proposed_number(self) -> int:
        """Return the number of that proposal, 0 where there is none."""
        return plans.proposed_number(self._connection)

    @_read
    def plans_until(
        self, before: datetime, *, back_to: datetime, within: tuple[datetime, datetime] | None = None
    ) -> tuple[WeekPlan, ...]:
        """Return, oldest first, the plans made from `back_to` until `before`, led by the one in force at `back_to`.

        With `within` of each only what touches the time between two instants, and nothing of what it left out.
        """
        return plans.read_until(self._connection, before, back_to, within)

    def save_plan(self, plan: WeekPlan) -> int:
        """Store a plan as a new version and return its number."""
        return plans.save_plan(self._writer(), plan)

    @_read
    def pins(self) -> tuple[Pin, ...]:
        """Return all pins."""
        return plans.read_pins(self._connection)

    def save_pin(self, pin: Pin) -> None:
        """Pin the block of a task, in the place of a pin it had."""
        plans.save_pin(self._writer(), pin)

    def drop_pin(self, job: int, task: int) -> None:
        """Take the pin of a task away, if it has one."""
        plans.drop_pin(self._writer(), job, task)

    # What calendars said.

    @_read
    def written_events(self) -> tuple[WrittenEvent, ...]:
        """Return what was written last of every event of every calendar."""
        return calendars.read_written(self._connection)

    def save_written(self, events: Sequence[WrittenEvent]) -> None:
        """Keep what was written of some events, in the place of what was written of them before. No undo takes it back."""
        calendars.save_written(self._writer(), events)

    def first_change_at(self) -> datetime | None:
        """Return when the first change of the log was made, None before it."""
        return calendars.first_change_at(self._connection)

    # What was printed.

    @_read
    def printed(self) -> tuple[PrintedSheet, ...]:
        """Return every revision of every sheet that was printed, by sheet."""
        return printed.read_printed(self._connection)

    def last_printed(self, kind: SheetKind, about: str) -> tuple[int, str]:
        """Return the newest revision of a sheet and the digest of what it says; 0 and nothing where none was printed."""
        return printed.last_printed(self._connection, kind, about)

    def save_printed(self, sheets: Sequence[PrintedSheet]) -> None:
        """Keep new revisions. No undo takes them back."""
        printed.save_printed(self._writer(), sheets)

    # The change log.

    def last_change_number(self) -> int:
        """Return the number of the newest change, 0 if there is none."""
        return changes.last_number(self._connection)

    @_read
    def changes(self, limit: int = 60, job: int | None = None) -> tuple[Change, ...]:
        """Return changes, newest first, of one job or of everything."""
        return changes.list_changes(self._connection, limit, job)

    @_read
    def changes_since(self, since: datetime) -> tuple[Change, ...]:
        """Return the changes written from an instant on, newest first."""
        return changes.list_since(self._connection, since)

    @_read
    def rows_since(self, tables: Sequence[str], since: datetime) -> Sequence[tuple[int, str, Any, Any]]:
        """Return change, table, before and after, as the log writes them, of rows changed from an instant on."""
        return changes.rows_since(self._connection, tables, since)

    @_read
    def last_act_told(self) -> Change | None:
        """Return the newest change that people made and that stands: the one an undo takes back; None if there is none."""
        return changes.last_act(self._connection)

    def undo(
        self,
        number: int | None = None,
        *,
        at: datetime,
        check: Callable[[UnitOfWork, int | None], None] | None = None,
    ) -> Taken:
        """Take back a change, or the newest that stands, together with what came with it, and commit that.

        The old values are written as a new change; taking that one back brings the first one again. `check` is
        called with this transaction and the change's job before the commit, and refuses where a rule of the
        trade would no longer hold.

        Raises:
            Refused: there is nothing to take back, or something newer stands on it.
        """
        found = undo.target(self._connection, number)
        try:
            stays, gone = undo.write_back(self._writer(), found)
            if check is not None:
                check(self, found.job)
            change = self._commit(undone_words(found.what), at=at, job=found.job, undoes=found.number)
        except BrokenRule:
            raise Refused(
                f"change {found.number} ({found.what}) cannot be taken back: what it stands on was changed since."
            ) from None
        return Taken(
            change=change,
            undone=found.number,
            what=found.what,
            job=found.job,
            private_stays=stays,
            private_gone=gone,
        )

    def commit(
        self, what: str, *, at: datetime, job: int | None = None, caused_by: int | None = None, undoable: bool = True
    ) -> int:
        """Make what was written last, together with one change in the log, and return the change's number.

        `what` is the sentence of the log; `caused_by` the change this one came with (a plan after a tick), with
        which it is taken back.

        Raises:
            Refused: a rule of the database does not hold, its disk is full, or another program reads for too long.
        """
        return self._commit(what, at=at, job=job, caused_by=caused_by, undoable=undoable)

    def _commit(
        self,
        what: str,
        *,
        at: datetime,
        job: int | None,
        caused_by: int | None = None,
        undoes: int | None = None,
        undoable: bool = True,
    ) -> int:
        ledger = self._writer()
        number = changes.write_change(
            self._connection,
            ledger.take_entries(),
            at=at,
            who=self._who or "",
            what=what,
            job=job,
            caused_by=caused_by,
            undoes=undoes,
            undoable=undoable,
        )
        self._connection.commit()
        return number

    def _writer(self) -> Ledger:
        if self._who is None:
            raise RuntimeError("this transaction only reads: write in Database.unit_of_work")
        return self._ledger
