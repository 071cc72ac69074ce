"""The first run: there is no shop yet, and it is made out of a form, or the demo is opened."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import to_wall, zone_of
from crewjobs.domain.wording import TAKEN_BACK, act_words
from crewjobs.files.detect import Loaded
from crewjobs.services.clock import SystemClock
from crewjobs.services.forms.checking import Checked, check_shop
from crewjobs.services.forms.draft import Draft, draft_of
from crewjobs.services.forms.fields import SHOP_PAGES
from crewjobs.services.forms.reading import shop_of
from crewjobs.services.jobs import loading
from crewjobs.services.office import Office
from crewjobs.services.zones import measures_in
from crewjobs.storage.database import is_there, open_database
from crewjobs.storage.paths import default_path, shown

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date


class Beginning:
    """What can be done before there is a shop: set one up in a file (default: the person's own), or look at the demo."""

    def __init__(self, database: Path | None = None) -> None:
        self._path = database or default_path()

    def needed(self) -> bool:
        """Return whether there is no shop there yet.

        Raises:
            Refused: it cannot be a database's file, or cannot be opened.
        """
        if not is_there(self._path) or not self._path.stat().st_size:
            return True
        with open_database(self._path, create=False).reading() as uow:
            return loading.shop_zone(uow) is None

    def taken_back(self) -> tuple[int, str] | None:
        """Return the undo that left no shop, by its change and by what it took back; None where no undo was the last change.

        Raises:
            Refused: the file cannot be opened.
        """
        if not is_there(self._path) or not self._path.stat().st_size:
            return None
        with open_database(self._path, create=False).reading() as uow:
            last = next(iter(uow.changes(1)), None)
        if last is None or not last.what.startswith(TAKEN_BACK):
            return None
        return last.number, f"{act_words(last.what)}."

    def draft(self) -> Draft:
        """Return the form of a shop nobody has written yet, with the zone of this machine."""
        zone = here()
        units, paper = measures_in(zone)
        draft = draft_of(SHOP_PAGES, {}, zone)
        (shop,) = draft.of("shop")
        shop.texts.update({entry.key: entry.fresh for entry in shop.page.entries if entry.fresh})
        shop.texts.update({"shop.zone": zone, "shop.units": units, "shop.paper": paper})
        draft.add("crew")
        return draft

    def check(self, draft: Draft) -> Checked:
        """Return what is wrong in the form; nothing is written."""
        return check_shop(draft, _today(draft))

    def make(self, draft: Draft) -> Office:
        """Make the database with the shop in it, in one transaction, and return the services on it.

        Raises:
            Refused: every fault of the form, and nothing is written; or the file cannot be made.
        """
        raw, said = draft.tables(_today(draft))
        if said:
            raise Refused([one.words for one in said])
        found = shop_of(raw)
        loaded = Loaded(shop=found.shop, overrides=found.overrides, jobs=(), sources=())
        if not self.needed():
            raise Refused(f"{shown(self._path)} holds a shop by now: leave with q, and open it anew.")
        fresh = not is_there(self._path)
        office = Office.at(database=self._path, create=True)
        try:
            office.load_read(loaded, what=f"shop {found.shop.name} set up")
        except BaseException:
            if fresh:  # what was made for it holds nothing: as if it had never been asked for
                with contextlib.suppress(OSError):
                    self._path.unlink()
            raise
        return office

    def demo(self, stop: Callable[[], bool] | None = None) -> Office:
        """Make the demo shop anew in its own scratch database, and return the services on it.

        Raises:
            Refused: it cannot be made; or `stop` said so, and nothing of it is kept.
        """
        from crewjobs.services.demonstration.demo import demo_office, run_demo

        return demo_office(run_demo(None, None, stop).loaded.database)


def here() -> str:
    """Return the time zone this machine is set to; UTC where it does not say."""
    from pendulum.tz import local_timezone

    try:
        return zone_of(local_timezone().name).key
    except (Refused, RuntimeError, ValueError, OSError):
        return "UTC"


def _today(draft: Draft) -> date:
    return to_wall(draft.zone, SystemClock().now()).date()
