"""What happened, told by people: ticks, material, evenings, people, visits, money."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused

if TYPE_CHECKING:
    from crewjobs.domain.evening import EveningEntry
    from crewjobs.files.detect import Loaded
    from crewjobs.services.asked.house_ready import Answers
    from crewjobs.services.history import UndoNext
    from crewjobs.services.rows import Done

from crewjobs.services.office.base import OfficeBase, followed


class Recording(OfficeBase):
    """Records facts; the plan follows them."""

    @followed
    def tick(self, job: int, tasks: Sequence[int], *, at: str = "", because: str = "") -> Done:
        """Record that tasks are done."""
        from crewjobs.services import ticking

        with self._writing() as uow:
            return ticking.tick(uow, self._clock.now(), job, tasks, at=at, because=because)

    @followed
    def untick(self, job: int, task: int) -> Done:
        """Record that a task is not done after all."""
        from crewjobs.services import unticking

        with self._writing() as uow:
            return unticking.untick(uow, self._clock.now(), job, task)

    @followed
    def tick_phase(
        self, job: int, phase: str, where: str, *, only: Collection[int] = (), at: str = "", because: str = ""
    ) -> Done:
        """Record that a whole phase in one place is done, or of it the tasks `only` names."""
        from crewjobs.services import ticking

        with self._writing() as uow:
            return ticking.tick_phase(uow, self._clock.now(), job, phase, where, only=only, at=at, because=because)

    @followed
    def start(self, job: int, task: int, *, crew: str = "", at: str = "") -> Done:
        """Record that a task has begun."""
        from crewjobs.services import ticking

        with self._writing() as uow:
            return ticking.start(uow, self._clock.now(), job, task, crew=crew, at=at)

    @followed
    def how_far(self, job: int, task: int, text: str, *, crew: str = "", at: str = "", because: str = "") -> Done:
        """Record how far a task is, and which crew goes on with it where that is another."""
        from crewjobs.services.evenings import how_far

        with self._writing() as uow:
            return how_far.how_far(uow, self._clock.now(), job, task, text, crew=crew, at=at, because=because)

    @followed
    def evening(self, crew: str, day: date, entry: EveningEntry) -> Done:
        """Record a crew's sheet as it was typed back."""
        from crewjobs.services.evenings import evening

        with self._writing() as uow:
            done = evening.enter(uow, self._catalogue(uow), self._clock.now(), crew, day, entry)
        self._database.keep_pace(
            uow.to_keep
        )  # as it was before this evening: it was learned before anything was written
        return done

    @followed
    def arrived(
        self,
        job: int,
        material: str,
        cartons: float,
        *,
        lot: str = "",
        at: str = "",
        in_rooms: bool = False,
        back_ordered: str = "",
        because: str = "",
    ) -> Done:
        """Record cartons or goods that came."""
        from crewjobs.services.materials import materials

        with self._writing() as uow:
            return materials.arrived(
                uow,
                self._clock.now(),
                job,
                material,
                cartons,
                lot=lot,
                at=at,
                in_rooms=in_rooms,
                back_ordered=back_ordered,
                because=because,
            )

    @followed
    def arrived_together(
        self,
        job: int,
        came: Sequence[tuple[str, float]],
        *,
        at: str = "",
        in_rooms: bool = False,
        because: str = "",
    ) -> Done:
        """Record several things one truck brought."""
        from crewjobs.services.materials import materials

        with self._writing() as uow:
            return materials.arrived_together(
                uow, self._clock.now(), job, came, at=at, in_rooms=in_rooms, because=because
            )

    @followed
    def read_air(
        self, job: int, values: Sequence[str], *, room: str = "", at: str = "", by: str = "", meter: str = ""
    ) -> Done:
        """Record the air of a room, or of the house, as read."""
        from crewjobs.services.readings import readings

        with self._writing() as uow:
            return readings.record_air(uow, self._clock.now(), job, values, room=room, at=at, by=by, meter=meter)

    @followed
    def read_logger(
        self, job: int, path: Path, *, room: str = "", zone: str = "", unit: str = "", by: str = ""
    ) -> Done:
        """Record what a logger's file holds of a room's air."""
        from crewjobs.services.readings import readings

        with self._writing() as uow:
            return readings.record_logger(uow, self._clock.now(), job, path, room=room, zone=zone, unit=unit, by=by)

    @followed
    def read_floor(
        self,
        job: int,
        kind: str,
        values: Sequence[str],
        *,
        room: str = "",
        material: str = "",
        hours: str = "",
        at: str = "",
        by: str = "",
        meter: str = "",
    ) -> Done:
        """Record a reading of boards, subfloor, slab or surface."""
        from crewjobs.services.readings import readings

        with self._writing() as uow:
            return readings.record_reading(
                uow,
                self._clock.now(),
                job,
                kind,
                values,
                room=room,
                material=material,
                hours=hours,
                at=at,
                by=by,
                meter=meter,
            )

    @followed
    def back_ordered(self, job: int, what: str, day: str, because: str = "") -> Done:
        """Record for when the supplier promises what has not come."""
        from crewjobs.services.materials import ordered

        with self._writing() as uow:
            return ordered.back_ordered(uow, self._clock.now(), job, what, day, because)

    @followed
    def check_lot(
        self,
        job: int,
        material: str,
        lot: str,
        cartons: float,
        *,
        damaged: float = 0,
        color_differs: bool = False,
        at: str = "",
    ) -> Done:
        """Record the check of a lot before its first carton is opened."""
        from crewjobs.services.materials import lots

        with self._writing() as uow:
            return lots.check_lot(
                uow,
                self._clock.now(),
                job,
                material,
                lot,
                cartons,
                damaged=damaged,
                color_differs=color_differs,
                at=at,
            )

    @followed
    def lots(self, job: int, material: str, words: Sequence[str], *, because: str = "") -> Done:
        """Record the lead's word on which rooms each lot goes into."""
        from crewjobs.services.materials import lots

        with self._writing() as uow:
            return lots.lots(uow, self._clock.now(), job, material, words, because=because)

    @followed
    def ready(self, job: int, *, asked: str = "", answers: Answers | None = None, at: str = "") -> Done:
        """Record that a house was asked for being ready, what was answered, or both."""
        from crewjobs.services.asked import house_ready

        with self._writing() as uow:
            return house_ready.record_ready(uow, self._clock.now(), job, asked=asked, answers=answers, at=at)

    @followed
    def dry_run(self, job: int, crew: str, because: str, *, item: str = "", until: str = "", at: str = "") -> Done:
        """Record a crew sent to a house that was not ready, and say what it can do instead."""
        from crewjobs.services.asked import house_ready

        with self._writing() as uow:
            return house_ready.dry_run(
                uow,
                self._clock.now(),
                job,
                crew,
                because,
                item=item,
                until=until,
                at=at,
                catalogue=self._catalogue(uow),
            )

    @followed
    def ask(
        self,
        job: int,
        who: str,
        what: str,
        *,
        promised: str = "",
        holds: Sequence[int] = (),
        template: str = "",
        at: str = "",
    ) -> Done:
        """Record that somebody else was asked for something."""
        from crewjobs.services.asked import waiting_on

        with self._writing() as uow:
            return waiting_on.ask(
                uow, self._clock.now(), job, who, what, promised=promised, holds=holds, template=template, at=at
            )

    @followed
    def promised(self, job: int, who: str, until: str, *, what: str = "") -> Done:
        """Record for when somebody else promises what was asked."""
        from crewjobs.services.asked import waiting_on

        with self._writing() as uow:
            return waiting_on.promise(uow, self._clock.now(), job, who, until, what=what)

    def chased(self, job: int, who: str, *, what: str = "", at: str = "") -> Done:
        """Record that somebody else was asked again."""
        from crewjobs.services.asked import waiting_on

        with self._writing() as uow:
            return waiting_on.chase(uow, self._clock.now(), job, who, what=what, at=at)

    @followed
    def came(self, job: int, who: str, *, what: str = "", at: str = "") -> Done:
        """Record that what somebody else was asked for is there."""
        from crewjobs.services.asked import waiting_on

        with self._writing() as uow:
            return waiting_on.came(uow, self._clock.now(), job, who, what=what, at=at)

    @followed
    def returned(self, job: int, what: str, count: float, *, at: str = "") -> Done:
        """Record cartons of a material that went back to their supplier."""
        from crewjobs.services.materials import returns

        with self._writing() as uow:
            return returns.returned(uow, self._clock.now(), job, what, count, at=at)

    def told(self, job: int, day: str = "", *, off: bool | None = None) -> Done:
        """Record the finish a customer was told (empty: the plan's); of a job called off or done, that everybody was told of that.

        `off` says which of the two is meant, where that was asked for: the other is refused.
        """
        from crewjobs.domain.job import ENDED, JobState
        from crewjobs.services.asked import telling
        from crewjobs.services.jobs import called_off

        with self._writing() as uow:
            state = uow.job(job).job.state
            over = state is JobState.CALLED_OFF or (state in ENDED and not day.strip() and off is None)
            if off or over:
                return called_off.tell_off(uow, self._clock.now(), job, day, finish=off is False)
            return telling.told(uow, self._clock.now(), job, day)

    @followed
    def edit(self, job: int, version: int, changes: Mapping[str, str]) -> Done:
        """Change what was agreed, against the version seen."""
        from crewjobs.services.jobs import amending

        with self._writing() as uow:
            return amending.edit(uow, self._clock.now(), job, version, changes)

    @followed
    def away(self, worker: str, day: date, *, to: str = "", because: str = "", again: bool = False) -> Done:
        """Record that a person is not with their crew on a day."""
        from crewjobs.services.people import away

        with self._writing() as uow:
            return away.away(uow, self._clock.now(), worker, day, to=to, because=because, again=again)

    @followed
    def back(self, worker: str, day: date) -> Done:
        """Record that a person is with their crew on a day after all."""
        from crewjobs.services.people import away

        with self._writing() as uow:
            return away.back(uow, self._clock.now(), worker, day)

    @followed
    def hours(self, crew: str, day: date, hours: str, *, because: str = "") -> Done:
        """Record a crew's hours on a day; ``off`` is a day off."""
        from crewjobs.services.people import day_hours

        with self._writing() as uow:
            return day_hours.record(uow, self._clock.now(), crew, day, hours, because=because)

    @followed
    def usual_hours(self, crew: str, day: date, *, because: str = "") -> Done:
        """Record that a crew has its usual hours on a day after all."""
        from crewjobs.services.people import day_hours

        with self._writing() as uow:
            return day_hours.as_usual(uow, self._clock.now(), crew, day, because=because)

    @followed
    def plan_visit(
        self,
        job: int,
        kind: str,
        *,
        at: str,
        who: str = "",
        minutes: int = 60,
        because: str = "",
        leaves_crew: bool = False,
    ) -> Done:
        """Record that somebody will make a small visit."""
        from crewjobs.services.people import small_visits

        with self._writing() as uow:
            return small_visits.plan(
                uow,
                self._clock.now(),
                job,
                kind,
                at=at,
                who=who,
                minutes=minutes,
                because=because,
                leaves_crew=leaves_crew,
            )

    @followed
    def visit_done(self, job: int, kind: str, *, who: str = "", at: str = "", minutes: int = 60) -> Done:
        """Record that a small visit was made."""
        from crewjobs.services.people import small_visits

        with self._writing() as uow:
            return small_visits.done(uow, self._clock.now(), job, kind, who=who, at=at, minutes=minutes)

    @followed
    def visit_off(self, job: int, kind: str, *, who: str = "", at: str = "") -> Done:
        """Take a planned small visit away."""
        from crewjobs.services.people import small_visits

        with self._writing() as uow:
            return small_visits.call_off(uow, self._clock.now(), job, kind, who=who, at=at)

    def walk_before(
        self,
        job: int,
        name: str,
        *,
        color: str = "",
        direction: str = "",
        lot: str = "",
        damage: Sequence[tuple[str, str]] = (),
        at: str = "",
        because: str = "",
    ) -> Done:
        """Record the walk-through before the work."""
        from crewjobs.services.jobs import walks

        with self._writing() as uow:
            return walks.before(
                uow,
                self._clock.now(),
                job,
                name,
                color=color,
                direction=direction,
                lot=lot,
                damage=damage,
                at=at,
                because=because,
            )

    def walk_after(
        self,
        job: int,
        name: str,
        *,
        punch: Sequence[str] = (),
        carton_left: bool = False,
        care_sheet: bool = False,
        at: str = "",
        because: str = "",
    ) -> Done:
        """Record the walk-through after the work, and say what of the job took longer than it was estimated."""
        from crewjobs.services.jobs import walks

        with self._writing() as uow:
            done = walks.after(
                uow,
                self._clock.now(),
                job,
                name,
                punch=punch,
                carton_left=carton_left,
                care_sheet=care_sheet,
                at=at,
                because=because,
            )
        return replace(done, then=(*done.then, *self._took_longer(job)))

    def _took_longer(self, job: int) -> tuple[str, ...]:
        """Return what took longer at a job that is over; nothing of one that has no hours, or is a callback."""
        from crewjobs.services.rates import against

        try:
            with self._database.reading() as uow:
                return against.took_longer(against.against_view(uow, self._clock.now(), job))
        except Refused:
            return ()

    def callback(
        self,
        job: int,
        what: str,
        *,
        where: str = "",
        hours: str = "",
        people: int = 1,
        wished: str = "",
        promised: str = "",
    ) -> Done:
        """Book what is to be put right on a finished job as a small job of its own."""
        from crewjobs.services.jobs import callbacks

        with self._writing() as uow:
            return callbacks.book(
                uow,
                self._catalogue(uow),
                self._clock.now(),
                job,
                what,
                where=where,
                hours=hours,
                people=people,
                wished=wished,
                promised=promised,
            )

    def money(self, job: int, fact: str, amount: str = "", *, on: str = "", again: bool = False) -> Done:
        """Record one of the three facts of money."""
        from crewjobs.services.jobs import money

        with self._writing() as uow:
            return money.record(uow, self._clock.now(), job, fact, amount, on=on, again=again)

    @followed
    def agreed(
        self, job: int, what: str, amount: str = "", *, on: str = "", by: str = "", only_asked: bool = False
    ) -> Done:
        """Record a change order, agreed or only asked."""
        from crewjobs.services.jobs import money

        with self._writing() as uow:
            return money.agreed(
                uow, self._catalogue(uow), self._clock.now(), job, what, amount, on=on, by=by, only_asked=only_asked
            )

    @followed
    def declined(self, job: int, what: str, *, on: str = "", by: str = "") -> Done:
        """Record that the customer said no to a change order."""
        from crewjobs.services.jobs import money

        with self._writing() as uow:
            return money.declined(uow, self._clock.now(), job, what, on=on, by=by)

    @followed
    def found(
        self,
        job: int,
        place: str,
        what: str,
        *,
        area: str = "",
        year: int | None = None,
        words: str = "",
        by: str = "",
        photos: Sequence[str] = (),
        at: str = "",
    ) -> Done:
        """Record what was found in a place: it holds what it must, and who is asked is waited for."""
        from crewjobs.services.findings import found

        with self._writing() as uow:
            return found.record_found(
                uow,
                self._catalogue(uow),
                self._clock.now(),
                job,
                place,
                what,
                area=area,
                year=year,
                words=words,
                by=by,
                photos=photos,
                at=at,
            )

    @followed
    def way_on(
        self,
        job: int,
        place: str,
        what: str,
        way: str,
        *,
        by: str = "",
        because: str = "",
        laboratory: str = "",
        sampled: str = "",
        sample: str = "",
        at: str = "",
    ) -> Done:
        """Record the way on from a finding, with what it needs."""
        from crewjobs.services.findings import found_ways

        with self._writing() as uow:
            return found_ways.take_way(
                uow,
                self._catalogue(uow),
                self._clock.now(),
                job,
                place,
                what,
                way,
                by=by,
                because=because,
                laboratory=laboratory,
                sampled=sampled,
                sample=sample,
                at=at,
            )

    def undo_next(self) -> UndoNext | None:
        """Return what an undo takes back now, None where there is nothing."""
        from crewjobs.services import history

        with self._database.reading() as uow:
            return history.undo_next(uow, uow.shop().zone, self._who)

    def undo(self, number: int | None = None) -> Done:
        """Take the last change back, or the one of a number."""
        from crewjobs.services import history

        with self._writing(at_any_time=True) as uow:  # so is taken back what a wrong clock recorded
            return history.undo(uow, self._clock.now(), number)

    def load(self, paths: Sequence[Path], replace: bool = False) -> Done:
        """Load job files and the shop file, all or none."""
        from crewjobs.services.jobs import loading

        self._may_write()
        with self._database.reading() as uow:
            zone = loading.shop_zone(uow)
        files = loading.read(paths, zone)
        with self._writing() as uow:
            return loading.load(uow, self._clock.now(), files, replace_known=replace)

    def load_read(self, loaded: Loaded, *, what: str = "") -> Done:
        """Load what was read already, all or none; `what` is how the change is called."""
        from crewjobs.services.jobs import loading

        with self._writing() as uow:
            return loading.load(uow, self._clock.now(), loaded, what=what)
