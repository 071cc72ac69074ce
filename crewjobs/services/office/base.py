"""The database under its clock, and how what is recorded is followed by the plan."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from functools import wraps
from typing import TYPE_CHECKING, Concatenate, ParamSpec, TypeVar

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import to_wall
from crewjobs.services.clock import Clock
from crewjobs.services.office.told import in_units_of
from crewjobs.storage.database import Database

if TYPE_CHECKING:
    from crewjobs.domain.plan import WeekPlan
    from crewjobs.domain.tasks import Catalogue
    from crewjobs.domain.units import UnitSystem
    from crewjobs.engines.answering.ways_out import WayOut
    from crewjobs.services.office import Office
    from crewjobs.services.pages.revisions import AnyPage, P
    from crewjobs.services.rows import Done
    from crewjobs.services.weeks.week import StaleKept
    from crewjobs.storage.unit_of_work import UnitOfWork


Asked = ParamSpec("Asked")
Face = TypeVar("Face", bound="OfficeBase")


def followed(record: Callable[Concatenate[Face, Asked], Done]) -> Callable[Concatenate[Face, Asked], Done]:
    """Have the plan follow what a method of the office records, and say what that moves; what it refuses comes in the shop's units."""

    @wraps(record)
    def and_follow(office: Face, /, *args: Asked.args, **kwargs: Asked.kwargs) -> Done:
        anyway = office.without_it()
        try:
            done = record(office, *args, **kwargs)
        except Refused as refused:
            raise in_units_of(office, refused) from None
        return office.follow(done, anyway)

    return and_follow


ONLY_SHOWS = "with --now the program only shows; leave it away to record (it writes in a demo database only)."


class OfficeBase:
    """What all of the office stands on.

    `pretending` shows another moment and writes nothing; `follows` repairs the plan in force after what is recorded;
    `trying` writes at whatever moment, in a copy that is thrown away.
    """

    def __init__(
        self,
        database: Database,
        clock: Clock,
        *,
        who: str = "",
        pretending: bool = False,
        follows: bool = False,
        trying: bool = False,
    ) -> None:
        self._database = database
        self._clock = clock
        self._who = who
        self._pretending = pretending
        self._follows = follows
        self._trying = trying
        self._ways: dict[str, tuple[WayOut, int]] = {}
        self._stale: StaleKept | None = None

    def now(self) -> datetime:
        """Return the moment as the shop's wall time."""
        return to_wall(self._zone(), self._clock.now())

    def units(self) -> UnitSystem:
        """Return the units the shop works in."""
        with self._database.reading() as uow:
            return uow.shop().units

    def without_it(self) -> WeekPlan | None:
        """Return what the plan in force is by now, where that is no longer itself, before something is recorded."""
        if not self._follows or self._pretending:
            return None
        from crewjobs.services.weeks import following

        return following.without_it(self._database, self._clock.now())

    def follow(self, done: Done, anyway: WeekPlan | None = None) -> Done:
        """Have the plan in force follow a change, where this office does; return what was done and what moves."""
        if not self._follows:
            return done
        from crewjobs.services.weeks import following

        return following.quietly(self._database, self._who, self._clock.now(), done, anyway)

    @contextmanager
    def _on_a_copy(self) -> Iterator[tuple[Database, Office]]:
        """Yield a copy of the database that is thrown away, and an office that records in it and has its plan follow."""
        from crewjobs.services.office import Office

        with self._database.on_a_copy() as copy:
            yield copy, Office(copy, self._clock, who=self._who, follows=True, trying=True)

    def _zone(self) -> str:
        with self._database.reading() as uow:
            return uow.shop().zone

    def _catalogue(self, uow: UnitOfWork) -> Catalogue:
        from crewjobs.services.jobs.catalogues import catalogue_of

        return catalogue_of(uow)

    def _may_write(self, *, at_any_time: bool = False) -> None:
        """Refuse to write where another moment is only shown, and by a clock that is set back unless `at_any_time`."""
        if self._pretending:
            raise Refused(ONLY_SHOWS)
        if at_any_time or self._trying:
            return
        from crewjobs.services.set_back import refuse_set_back

        with self._database.reading() as uow:
            refuse_set_back(uow, self._clock.now(), demo=self._database.is_demo())

    def _writing(self, *, at_any_time: bool = False) -> UnitOfWork:
        self._may_write(at_any_time=at_any_time)
        return self._database.unit_of_work(who=self._who)

    def _to_print(self, pages: Sequence[P]) -> list[P]:
        """Return pages with the revisions they go out with; with another moment shown they are none of the shop's."""
        from crewjobs.services.pages import revisions

        with self._database.reading() as uow:
            return [revisions.numbered(uow, page, printed=not self._pretending) for page in pages]

    def _keep_printed(self, pages: Sequence[AnyPage]) -> None:
        """Record which revisions of sheets went out; with another moment shown nothing is."""
        if not self._pretending:
            from crewjobs.services.pages import revisions

            with self._writing(at_any_time=True) as uow:
                revisions.keep(uow, pages, self._clock.now())
