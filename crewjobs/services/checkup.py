"""Whether a database is whole, as a file and record by record as the program reads it; and a backup put back."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.storage.database import is_there, open_database
from crewjobs.storage.paths import default_path, shown
from crewjobs.storage.restoring import in_one_line, look_through, restore

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

MOST_CHANGES = 1_000_000
"""So many changes of the log are read: all of them."""
MOST_FAULTS = 20
"""So many faults of records are told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckUp:
    """What was looked through, and what is wrong with it; no `faults`: it is whole. `plan` is 0 where there is none."""

    file: Path
    revision: str
    jobs: int
    plan: int
    faults: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """Return what was looked through, and what is to be done where something is wrong."""
        plan = f" and plan {self.plan}" if self.plan else ""
        looked = f"{shown(self.file)}: {self.jobs} {'job' if self.jobs == 1 else 'jobs'}{plan} looked through"
        if not self.faults:
            return f"{looked}, and the file itself: it is whole."
        return f"{looked}: something is wrong. `crewjobs restore FILE` puts a backup in its place, and keeps this one beside it."

    @property
    def no_backup(self) -> str:
        """Return that a copy of it would put nothing back, with the first of what is wrong."""
        return f"{shown(self.file)} is damaged, and so would be a copy of it ({in_one_line(self.faults[0])}): nothing was kept."


@dataclass(frozen=True, slots=True, kw_only=True)
class PutBack:
    """A backup put in the place of a database; `kept` is where what stood there is, None where nothing did."""

    file: Path
    backup: Path
    kept: Path | None

    @property
    def sentence(self) -> str:
        """Return what was done."""
        kept = f" What stood there is kept in {shown(self.kept)}." if self.kept else ""
        return f"{shown(self.file)} is again as in {shown(self.backup)}.{kept}"


def put_back(backup: Path, database: Path | None) -> PutBack:
    """Put a backup in the place of a database (default: the person's own), brought up to date where it is older.

    Raises:
        Refused: as `restore`, or the backup cannot be brought up to date, or `check` finds something wrong with it.
    """
    path = database or default_path()
    is_there(path)  # what cannot be a database's file is refused

    def sound(ready: Path) -> None:
        try:
            with open_database(ready, create=False).reading() as uow:
                found = check_up(uow, ready)
        except Refused as refused:  # it is the backup that people know
            raise Refused([one.replace(shown(ready), shown(backup)) for one in refused.sentences]) from None
        if found.faults:
            first = in_one_line(found.faults[0])
            raise Refused(
                f"{shown(backup)} was not put back: something is wrong with it; choose another backup ({first})."
            )

    return PutBack(file=path, backup=backup, kept=restore(backup, path, sound))


def check_at(database: Path | None) -> CheckUp:
    """Look through a database (default: the person's own) without changing it.

    Raises:
        Refused: it is not there, or cannot be read at all.
    """
    path = database or default_path()
    if is_there(path):
        revision, faults = look_through(path)
        if faults:
            return CheckUp(file=path, revision=revision, jobs=0, plan=0, faults=faults)
    with open_database(path, create=False).reading() as uow:
        return check_up(uow, path)


def check_up(uow: UnitOfWork, file: Path) -> CheckUp:
    """Look through a database: its file, every job with what happened at it, and the plan in force.

    Raises:
        Refused: the file cannot be read at all.
    """
    revision, faults = look_through(file)
    numbers = uow.job_numbers()
    found = [*faults, *_of_records(uow, numbers)]
    try:
        plan = uow.latest_plan()
    except Refused:
        plan = None  # it is among what was found
    return CheckUp(
        file=file,
        revision=revision,
        jobs=len(numbers),
        plan=plan.number if plan else 0,
        faults=tuple(found[:MOST_FAULTS]),
    )


def _of_records(uow: UnitOfWork, numbers: tuple[int, ...]) -> Iterator[str]:
    known: dict[int, set[int]] = {}
    others: tuple[tuple[str, Callable[[], object]], ...] = (
        ("the shop", uow.shop if numbers else tuple),
        ("who is away", uow.away),
        ("the crews' hours on single days", uow.day_hours),
        ("the pins", uow.pins),
        ("what was printed", uow.printed),
        ("the log", lambda: uow.changes(MOST_CHANGES)),
    )
    for name, read in others:
        try:
            read()
        except Refused as error:
            yield f"{name} cannot be read: {_cause(error)}"
    for number in numbers:
        try:
            known[number] = {task.number for task in uow.job(number).tasks}
        except Refused as error:
            yield f"job {number} cannot be read: {_cause(error)}"
    try:
        plan = uow.latest_plan()
    except Refused as error:
        yield f"the plan in force cannot be read: {_cause(error)}"
        return
    for placed in plan.placements if plan else ():
        if placed.key.job not in numbers:
            yield f"the plan in force places work of job {placed.key.job}, which is not there"
            continue
        missing = sorted(set(placed.tasks) - known.get(placed.key.job, set(placed.tasks)))
        if missing:
            yield f"the plan in force places tasks {', '.join(map(str, missing))} of job {placed.key.job}, which has them no more"


def _cause(error: Refused) -> str:
    """Return what is wrong with a record: the fault behind the sentence that people are told elsewhere, else that sentence."""
    return str(error.__cause__ or error)
