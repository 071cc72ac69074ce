"""What is in a house: rooms, furniture and its stages, what floors take and how they are laid."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import parse_length
from crewjobs.services.clock import deadline

if TYPE_CHECKING:
    from crewjobs.domain.job import JobRecord
    from crewjobs.services.jobs.heights_rows import HeightsView
    from crewjobs.services.laying.layout_rows import LayoutsView, LayoutView, TakeOffView
    from crewjobs.services.laying.layouts import LaidOut
    from crewjobs.services.laying.sheet_rows import SheetView
    from crewjobs.services.moving.rooms_rows import RoomsView
    from crewjobs.services.rows import Done

from crewjobs.services.office.base import OfficeBase, followed
from crewjobs.services.office.told import refused_in_units

MOST_KEPT = 20
"""Cartons that stay in a house at most."""


class Houses(OfficeBase):
    """Rooms, furniture, take-off and layouts of a job."""

    def rooms(self, job: int) -> RoomsView:
        """Return the rooms of a job drawn, with its furniture stages where it has any."""
        from crewjobs.engines.stages.basis import basis_of
        from crewjobs.services.moving import rooms_view

        with self._database.reading() as uow:
            record, units = uow.job(job), uow.shop().units
            catalogue = self._catalogue(uow) if record.moves_in_force is not None else None
        now, basis = self._clock.now(), basis_of(record.job)
        return rooms_view.rooms_view(record, now, basis=basis, units=units, catalogue=catalogue)

    @followed
    def furnish(self, job: int, room: str, words: str) -> Done:
        """Change the furniture of a room to what is said in words."""
        from crewjobs.services.moving import furnishing

        with self._writing() as uow:
            return furnishing.furnish(uow, self._clock.now(), job, room, words)

    def furniture_of(self, job: int, room: str) -> str:
        """Return the furniture of a room in words."""
        from crewjobs.services.moving import furnishing

        with self._database.reading() as uow:
            return furnishing.words_of(uow.job(job).job, room)

    @followed
    def moves(
        self,
        job: int,
        *,
        again: bool = False,
        seconds: float | None = None,
        stop: Callable[[], bool] | None = None,
    ) -> Done:
        """Find a job's furniture stages from where it is, and make them its order of work; `again`: also in another one.

        At most so many seconds, or until `stop` says so.
        """
        from crewjobs.services.moving import moves
        from crewjobs.services.moving.rooms_rows import MOVES_SECONDS

        self._may_write()
        limit = MOVES_SECONDS if seconds is None else seconds
        over, given_up = deadline(limit), deadline(2 * limit)
        return moves.take(
            self._database,
            self._who,
            self._clock.now(),
            job,
            any_order=again,
            stop=lambda: over() or (stop is not None and stop()),
            stop_reasons=lambda: given_up() or (stop is not None and stop()),
        )

    @refused_in_units
    def take_off(
        self,
        job: int,
        *,
        reserve: float | None = None,
        kept: int = 1,
        again: bool = False,
        sticks: Mapping[str, str] | None = None,
        seconds: float | None = None,
        stop: Callable[[], bool] | None = None,
        watch: Callable[[str], None] | None = None,
    ) -> TakeOffView:
        """Return what a job's floors take; layouts that are not there yet are found and kept with the job.

        `reserve` is in percent of the planks, `sticks` how long base, shoe and strips come where not as usual. At most so many seconds are looked at each material, or until `stop` says so.
        """
        from crewjobs.services.laying import job_layouts, layouts
        from crewjobs.services.laying.take_off import lengths_of, take_off_view

        if not 0 <= kept <= MOST_KEPT or (reserve is not None and not 0 <= reserve <= 100):
            raise Refused(
                f"a reserve is 0 to 100 percent of the planks, and 0 to {MOST_KEPT} cartons stay in the house."
            )
        with self._database.reading() as uow:
            record, units = uow.job(job), uow.shop().units
        lengths = lengths_of(sticks or {}, units)
        tell = job_layouts.told_of_each(watch) if watch is not None else None
        found = layouts.of_all(record, self._clock.now(), again=again, until=self._until(seconds, stop), watch=tell)
        self._keep_layouts(record, [one for one in found.values() if not isinstance(one, Refused)])
        share = reserve / 100 if reserve is not None else None
        return take_off_view(record, found, units=units, reserve=share, kept=kept, lengths=lengths)

    def heights(self, job: int) -> HeightsView:
        """Return how high a job's new floors stand and what they meet."""
        from crewjobs.services.jobs.heights import heights_view

        with self._database.reading() as uow:
            return heights_view(uow.job(job), uow.shop().units)

    @refused_in_units
    def layouts(self, job: int) -> LayoutsView:
        """Return the layouts kept of a job's floors, and which floors have none."""
        from crewjobs.services.laying import job_layouts

        with self._database.reading() as uow:
            record, units = uow.job(job), uow.shop().units
        return job_layouts.layouts_view(record, units)

    @refused_in_units
    def lay_out(
        self,
        job: int,
        *,
        again: bool = False,
        seconds: float | None = None,
        stop: Callable[[], bool] | None = None,
        watch: Callable[[str], None] | None = None,
    ) -> Done:
        """Find the layouts of a job's floors and keep them; `again`: also look for fewer planks where some are kept."""
        from crewjobs.services.laying import job_layouts

        self._may_write()
        with self._database.reading() as uow:
            record = uow.job(job)
        return job_layouts.lay_out(
            self._database,
            self._who,
            self._clock.now(),
            record,
            again=again,
            until=self._until(seconds, stop),
            watch=watch,
        )

    @refused_in_units
    def row_lies(self, job: int, room: str, row: int, *, measured: str = "", to_wall: str = "") -> Done:
        """Record that a row lies and what was measured from it, and plan the rest of its floor anew."""
        from crewjobs.services.rows import Done

        view, change = self._layout(job, room, row=row, measured=measured, to_wall=to_wall)
        rooms = " + ".join(view.rooms)
        return Done(
            sentence=f"Job {job}: {view.material} in {rooms} is planned anew after row {row}. {view.sure}",
            change=change,
        )

    @refused_in_units
    def layout(
        self,
        job: int,
        room: str,
        *,
        again: bool = False,
        row: int | None = None,
        measured: str = "",
        to_wall: str = "",
        seconds: float | None = None,
        stop: Callable[[], bool] | None = None,
        watch: Callable[[str], None] | None = None,
    ) -> LayoutView | SheetView:
        """Return how a room's planks are laid; a layout that is not there yet is found and kept with the job.

        With `row` the rest is planned anew once that row lies: the next one `measured` from wall to wall, and `to_wall` from the
        laid row's edge to the wall opposite.
        """
        from crewjobs.services.laying import layouts
        from crewjobs.services.moving.furnishing import room_named

        with self._database.reading() as uow:
            record, units = uow.job(job), uow.shop().units
        material = layouts.material_of(record, room)
        if material.is_sheet:
            from crewjobs.services.laying.sheet_view import sheet_view

            return sheet_view(record, material, room_named(record.job, room).name, units=units, anew=row is not None)
        view, _ = self._layout(
            job, room, again=again, row=row, measured=measured, to_wall=to_wall, seconds=seconds, stop=stop, watch=watch
        )
        return view

    def _layout(
        self,
        job: int,
        room: str,
        *,
        again: bool = False,
        row: int | None = None,
        measured: str = "",
        to_wall: str = "",
        seconds: float | None = None,
        stop: Callable[[], bool] | None = None,
        watch: Callable[[str], None] | None = None,
    ) -> tuple[LayoutView, int]:
        """Return a layout, and the change it was kept by, 0 for none."""
        from crewjobs.services.laying import job_layouts, layouts
        from crewjobs.services.laying.diagonal_words import with_walls
        from crewjobs.services.laying.layout_view import layout_view
        from crewjobs.services.laying.other_layouts import other_layout
        from crewjobs.services.moving.furnishing import room_named

        with self._database.reading() as uow:
            record, units = uow.job(job), uow.shop().units
        material = layouts.material_of(record, room)
        name, until = room_named(record.job, room).name, self._until(seconds, stop)
        next_row, across = (parse_length(text) if text else None for text in (measured, to_wall))
        if (other := other_layout(record, material, name, row=row, units=units)) is not None:
            return other, 0
        tell = job_layouts.told(watch, material) if watch is not None else None
        found = layouts.laid_out(record, material, self._clock.now(), again=again, stop=until(), found=tell)
        if row is not None:
            self._may_write()
            found = layouts.from_row(
                record.job,
                found,
                name,
                row,
                measured=next_row,
                to_wall=across,
                stop=until(),
            )
        change = self._keep_layouts(record, [found])
        return with_walls(record.job, layout_view(record, found, name, units=units), units), change

    def _until(self, seconds: float | None, stop: Callable[[], bool] | None) -> Callable[[], Callable[[], bool]]:
        """Return what begins a time of so many seconds, which `stop` ends before."""
        from crewjobs.services.laying.layout_rows import LAYOUT_SECONDS

        def begun() -> Callable[[], bool]:
            over = deadline(LAYOUT_SECONDS if seconds is None else seconds)
            return lambda: over() or (stop is not None and stop())

        return begun

    def _keep_layouts(self, record: JobRecord, found: list[LaidOut]) -> int:
        """Keep what was found, where anything may be written; return the number of the change, 0 for none."""
        from crewjobs.services.laying import layouts

        if self._pretending:
            return 0
        return layouts.keep(self._database, self._who, self._clock.now(), record, found)
