"""The demo shop: loaded from its files, its past told to the same use cases as people tell theirs, planned, printed.

Its clock stands at Monday 2 March 2026, 06:30 US Central, six days before the change of daylight saving
time, so equal runs give equal results.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import to_wall
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.jobs import loading
from crewjobs.services.office import Office
from crewjobs.services.resources import seed_folder
from crewjobs.services.rows import WaitRow, WeekView
from crewjobs.storage.database import Database, is_there, open_database
from crewjobs.storage.paths import without_dots

LOADED_AT: Final = datetime(2026, 2, 16, 14, 0, tzinfo=UTC)
"""When the demo's jobs came in, so that their past comes after them in the change log."""
ENTERED_AT: Final = datetime(2026, 2, 27, 22, 27, tzinfo=UTC)
"""When the jobs of the weeks before were entered, so that their hours tell the crews' pace; after the callback has its number."""
WHO: Final = "demo"
LAID_OUT: Final = 1
"""The job whose floor is laid out, in so many rounds: no more time than the demo has, the same layout each time."""
ROUNDS: Final = 2


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


def run_demo(database: Path | None, out: Path | None, stop: Callable[[], bool] | None = None) -> DemoReport:
    """Make the demo anew in a scratch database, plan its week, write every crew's pages.

    Raises:
        Refused: the file is a real shop's database, or cannot be written; or `stop` said so, and nothing of it is kept.
    """
    path = database or scratch_path()
    _check(path)
    path = without_dots(path.absolute())
    # Made beside and put in place whole: a demo that is being looked at, or made twice at once, never sees half of one.
    beside = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        loaded = _fill(open_database(beside, create=True, demo=True), path, stop)
        office = demo_office(beside)
        try:
            office.plan(stop=stop)
        except Refused:  # what planning says of a stop is of a shop's plans, and there is no shop yet
            _go_on(stop)
            raise
        _go_on(stop)
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


def _lay_out(database: Database) -> None:
    """Keep the layout of the job whose half of a room is laid on the demo's first days: its page has a cut list."""
    from crewjobs.services.laying import layouts

    with database.reading() as uow:
        record = uow.job(LAID_OUT)
    found = [layouts.laid_out(record, one, LOADED_AT, rounds=ROUNDS) for one in layouts.laid_materials(record.job)]
    layouts.keep(database, WHO, LOADED_AT, record, found)


def _go_on(stop: Callable[[], bool] | None) -> None:
    if stop is not None and stop():
        raise Refused("the demo was stopped: it is not made, and nothing of it is kept.")


def _fill(database: Database, shown: Path, stop: Callable[[], bool] | None) -> DemoLoaded:
    from crewjobs.files.detect import read_text_file
    from crewjobs.files.history_file import SHOP, read_history
    from crewjobs.services.demonstration.demo_closed import enter_past
    from crewjobs.services.demonstration.demo_past import tell
    from crewjobs.services.jobs.catalogues import catalogue_of

    folder = seed_folder()
    history = folder / "history.toml"
    files = loading.read([path for path in sorted(folder.glob("*.toml")) if path != history])
    with database.unit_of_work(who=WHO) as uow:
        loading.load(uow, LOADED_AT, files)
    _go_on(stop)
    _lay_out(database)
    with database.reading() as uow:
        catalogue = catalogue_of(uow)
        zones = {SHOP: uow.shop().zone} | {record.job.number: record.job.site.zone for record in uow.live_jobs()}
    entered = False
    for happened in read_history(read_text_file(history), history.name, zones):
        _go_on(stop)
        if happened.at > ENTERED_AT and not entered:
            with database.unit_of_work(who=WHO) as uow:
                enter_past(uow, ENTERED_AT, folder / "past", catalogue)
            entered = True
        with database.unit_of_work(who=WHO) as uow:
            tell(uow, happened, catalogue)
    with database.reading() as uow:
        shop, records = uow.shop(), [uow.job(number) for number in uow.job_numbers()]
    return DemoLoaded(
        shop=shop.name,
        zone=shop.zone,
        now=to_wall(shop.zone, DEMO_NOW),
        database=shown,
        crews=len(shop.crews),
        jobs=len(records),
        tasks=sum(not task.not_needed for record in records for task in record.tasks),
    )
