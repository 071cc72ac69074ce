"""The demo shop: loaded from its files, its past told to the same use cases as people tell theirs, planned, printed.

Its clock stands at Monday 2 March 2026, 06:30 US Central, six days before the change of daylight saving
time, so equal runs give equal results.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_wall
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.services import house_ready, loading, materials, ticking
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.services.resources import seed_folder
from crewjobs.services.rows import WaitRow, WeekView
from crewjobs.storage.database import Database, is_there, open_database
from crewjobs.storage.paths import without_dots

if TYPE_CHECKING:
    from crewjobs.files.history_file import Happened, TaskName
    from crewjobs.storage.unit_of_work import UnitOfWork

LOADED_AT: Final = datetime(2026, 2, 16, 14, 0, tzinfo=UTC)
"""When the demo's jobs came in, so that their past comes after them in the change log."""
WHO: Final = "demo"
EVERYTHING_READY: Final = house_ready.Answers(ready=tuple(ReadyItem))


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoLoaded:
    """What the demo database holds."""

    shop: str
    zone: str
    now: datetime
    database: Path
    crews: int
    jobs: int
    tasks: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoReport:
    """What `crewjobs demo` shows: loaded, planned, waiting, files."""

    loaded: DemoLoaded
    planned: WeekView
    waiting: tuple[WaitRow, ...]
    files: tuple[Path, ...]


def run_demo(database: Path | None, out: Path | None) -> DemoReport:
    """Make the demo anew in a scratch database, plan its week, write every crew's pages.

    Raises:
        Refused: the file is a real shop's database, or cannot be written.
    """
    path = database or scratch_path()
    _check(path)
    path = without_dots(path.absolute())
    # Made beside and put in place whole: a demo that is being looked at, or made twice at once, never sees half of one.
    beside = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        loaded = _fill(open_database(beside, create=True, demo=True), path)
        office = demo_office(beside)
        office.plan()
        files = office.day_plans(office.now().date(), (out or path.parent / "pages").absolute())
        report = DemoReport(loaded=loaded, planned=office.week(), waiting=office.waiting(), files=files)
        os.replace(beside, path)
    finally:
        with contextlib.suppress(OSError):  # where its folder could not be made there is nothing to clear away
            beside.unlink()
    return report


def demo_office(database: Path) -> Office:
    """Return the services on a demo database, under the demo's clock."""
    return Office(open_database(database, create=False), FixedClock(DEMO_NOW), who=WHO)


def scratch_path() -> Path:
    """Return where the demo's database is kept: never where a real shop's is."""
    import platformdirs

    return platformdirs.user_cache_path("crewjobs", appauthor=False) / "demo" / "demo.sqlite3"


def _check(path: Path) -> None:
    """Refuse to put the demo where anything but an earlier demo is."""
    if is_there(path) and path.stat().st_size and not open_database(path, create=False).is_demo():
        raise Refused(f"{path} holds a real shop: the demo never writes there; name another file with --db.")


def _fill(database: Database, shown: Path) -> DemoLoaded:
    from crewjobs.files.detect import read_text_file
    from crewjobs.files.history_file import read_history

    folder = seed_folder()
    history = folder / "history.toml"
    files = loading.read([path for path in sorted(folder.glob("*.toml")) if path != history])
    with database.unit_of_work(who=WHO) as uow:
        loading.load(uow, LOADED_AT, files)
    with database.reading() as uow:
        zones = {record.job.number: record.job.site.zone for record in uow.live_jobs()}
    for happened in read_history(read_text_file(history), history.name, zones):
        with database.unit_of_work(who=WHO) as uow:
            _tell(uow, happened)
    with database.reading() as uow:
        shop, records = uow.shop(), uow.live_jobs()
    return DemoLoaded(
        shop=shop.name,
        zone=shop.zone,
        now=to_wall(shop.zone, DEMO_NOW),
        database=shown,
        crews=len(shop.crews),
        jobs=len(records),
        tasks=sum(not task.not_needed for record in records for task in record.tasks),
    )


def _tell(uow: UnitOfWork, happened: Happened) -> None:
    """Tell one thing that happened to the use case that records it, at the moment it happened."""
    record, at = uow.job(happened.job), happened.at
    if happened.arrived is not None:
        came = happened.arrived
        materials.arrived(uow, at, happened.job, came.material, came.cartons, lot=came.lot, in_rooms=came.in_rooms)
    elif happened.moved_in is not None:
        carried = [t.number for t in record.tasks if is_carry_in(t) and t.where == happened.moved_in.material]
        ticking.tick(uow, at, happened.job, carried, because=happened.because)
    elif happened.ready is not None:
        house_ready.record_ready(uow, at, happened.job, asked=happened.ready.asked, answers=EVERYTHING_READY)
    elif happened.ticked:
        ticking.tick(uow, at, happened.job, _numbers(record, happened.ticked), because=happened.because)
    else:
        for number in _numbers(record, happened.started):
            ticking.start(uow, at, happened.job, number, crew=happened.crew)


def _numbers(record: JobRecord, names: Iterable[TaskName]) -> list[int]:
    numbers = []
    for name in names:
        where = name.where or "house"
        found = [t.number for t in record.tasks if t.key.template == name.template and t.where == where and t.open]
        if not found:
            raise Refused(f"job {record.job.number} has no open task '{name.template}' in '{where}'.")
        numbers += found
    return numbers
