"""Everything the faces can ask for, in one place: each call is one transaction on its own connection.

Screens and commands hold an `Office` and nothing below it. Every method may raise `Refused`.
Each use case is imported by the method that calls it: a command pays only for what it does.
"""

from __future__ import annotations

import getpass
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Concatenate, ParamSpec

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import parse_length, quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed
from crewjobs.services.clock import (
    DEMO_NOW,
    Clock,
    FixedClock,
    SystemClock,
    deadline,
    read_day,
    read_moment,
    read_past_day,
)
from crewjobs.storage.database import Database, default_path, is_there, open_database

if TYPE_CHECKING:
    from crewjobs.domain.evening import EveningEntry
    from crewjobs.domain.job import JobRecord
    from crewjobs.domain.plan import WeekPlan
    from crewjobs.domain.tasks import Catalogue
    from crewjobs.engines.answering.ways_out import WayOut
    from crewjobs.services.day_hours import DayHoursRow
    from crewjobs.services.house_ready import Answers
    from crewjobs.services.layout_rows import LayoutsView, LayoutView, TakeOffView
    from crewjobs.services.layouts import LaidOut
    from crewjobs.services.rooms_rows import RoomsView
    from crewjobs.services.rows import (
        ChangeRow,
        Done,
        EveningSheet,
        JobPage,
        JobRow,
        OfferRow,
        ProposalView,
        SiteDay,
        TemplateRow,
        VisitProposal,
        WaitRow,
        WeekView,
    )
    from crewjobs.services.sheet_rows import SheetView
    from crewjobs.services.what_if_rows import WhatIfAsked, WhatIfView, WhenView
    from crewjobs.services.why_rows import WhyView
    from crewjobs.storage.unit_of_work import UnitOfWork


MOST_KEPT = 20
"""Cartons that stay in a house at most."""
Asked = ParamSpec("Asked")


def followed(record: Callable[Concatenate[Office, Asked], Done]) -> Callable[Concatenate[Office, Asked], Done]:
    """Have the plan follow what a method of the office records, and say what that moves."""

    @wraps(record)
    def and_follow(office: Office, /, *args: Asked.args, **kwargs: Asked.kwargs) -> Done:
        anyway = office.without_it()
        return office.follow(record(office, *args, **kwargs), anyway)

    return and_follow


PATIENT = 20.0
"""Seconds in which a way out that was shown has to be found again, also on a busy machine."""
ONLY_SHOWS = "with --now the program only shows; leave it away to record (it writes in a demo database only)."


class Office:
    """The services on one database under one clock.

    `pretending` shows another moment and writes nothing; `follows` repairs the plan in force after what is recorded.
    """

    def __init__(
        self, database: Database, clock: Clock, *, who: str = "", pretending: bool = False, follows: bool = False
    ) -> None:
        self._database = database
        self._clock = clock
        self._who = who
        self._pretending = pretending
        self._follows = follows
        self._ways: dict[str, tuple[WayOut, int]] = {}

    @classmethod
    def at(cls, *, database: Path | None = None, pretend: str = "", create: bool = False) -> Office:
        """Open the services on a file (default: the person's own), under the system's clock.

        A demo database keeps the demo's clock. `pretend` is another moment as typed: a demo database is
        then worked at that moment, any other only looked at.

        Raises:
            Refused: the file cannot be opened, or the moment is not one.
        """
        opened = open_database(database or default_path(), create=create)
        demo = opened.is_demo()
        clock: Clock = FixedClock(DEMO_NOW) if demo else SystemClock()
        if pretend:
            with opened.reading() as uow:
                clock = FixedClock(read_moment(pretend, uow.shop().zone, clock.now()))
        return cls(opened, clock, who=_user(), pretending=bool(pretend) and not demo, follows=True)

    # -- looking

    def now(self) -> datetime:
        """Return the moment as the shop's wall time."""
        return to_wall(self._zone(), self._clock.now())

    def read_day(self, text: str) -> date:
        """Return a day as typed, seen from the shop's today."""
        return read_day(text, self.now().date())

    def read_past_day(self, text: str) -> date:
        """Return a day that has come, as typed, seen from the shop's today: a weekday is the last one; empty is today."""
        return read_past_day(text, self.now().date())

    def shop_name(self) -> str:
        """Return the shop's name."""
        with self._database.reading() as uow:
            return uow.shop().name

    def is_demo(self) -> bool:
        """Return whether this is a demo database."""
        return self._database.is_demo()

    def crews(self) -> tuple[str, ...]:
        """Return the crews' names, then those of parts of crews that work by themselves today or later."""
        from crewjobs.services.away import working_crews

        with self._database.reading() as uow:
            return working_crews(uow, self._clock.now())

    def waiting(self) -> tuple[WaitRow, ...]:
        """Return what waits for what, worst first."""
        from crewjobs.services import waits

        with self._database.reading() as uow:
            return waits.waiting(uow, self._clock.now())

    def has_jobs(self) -> bool:
        """Return whether there is any job at all, also one that is closed."""
        with self._database.reading() as uow:
            return bool(uow.job_numbers())

    def is_planned(self) -> bool:
        """Return whether there is a plan in force."""
        with self._database.reading() as uow:
            return uow.latest_plan() is not None

    def offers(self, crew: str, *, at: str = "", not_at: int | None = None) -> tuple[OfferRow, ...]:
        """Return ready work that fits a crew from a moment on, best first."""
        from crewjobs.services import offers

        with self._database.reading() as uow:
            return offers.offers(uow, self._catalogue(uow), self._clock.now(), crew, at=at, not_at=not_at)

    def no_offers(self, crew: str, *, at: str = "", not_at: int | None = None) -> str:
        """Return the sentence for no offers, with the main reason."""
        from crewjobs.services import offer_words

        with self._database.reading() as uow:
            return offer_words.none_words(uow, self._catalogue(uow), self._clock.now(), crew, at=at, not_at=not_at)

    def week(self, monday: date | None = None) -> WeekView:
        """Return the plan of the week that holds a day (default: today)."""
        from crewjobs.services import week

        with self._database.reading() as uow:
            return week.week(uow, self._clock.now(), monday)

    def why(self, job: int | None = None) -> WhyView:
        """Return why a job is finished when it is; without one, which promises clash and what can be done."""
        from crewjobs.services import why
        from crewjobs.services.why_promises import SECONDS

        answer = why.why(self._database, self._clock.now(), job, deadline(SECONDS))
        self._ways = {name: (way, answer.based_on) for name, way in answer.ways.items()}
        return answer.view

    def take_way(self, name: str, job: int | None = None) -> Done:
        """Make the plan of a way out the proposal: the one this office has shown, else the one found again."""
        from crewjobs.services import ways_taken, why

        self._may_write()
        now = self._clock.now()
        if name not in self._ways:
            answer = why.why(self._database, now, job, deadline(PATIENT))
            self._ways = {one: (way, answer.based_on) for one, way in answer.ways.items()}
        if name not in self._ways:
            there = listed(list(self._ways), most=9) or "none"
            raise Refused(f"no way out called {quoted(name)} was found; there are: {there}.")
        way, based_on = self._ways.pop(name)
        return ways_taken.take(self._database, self._who, now, way, based_on)

    def what_if(
        self,
        asked: WhatIfAsked,
        *,
        rounds: int = 0,
        seconds: float | None = None,
        stop: Callable[[], bool] | None = None,
    ) -> WhatIfView:
        """Return the plan with and without something supposed, side by side; half of `seconds` go to each. Keeps nothing."""
        from crewjobs.services import what_if

        def half() -> Callable[[], bool]:
            over = deadline((seconds or 0) / 2)
            return lambda: over() or (stop is not None and stop())

        now = self._clock.now()
        return what_if.what_if(self._database, now, asked, rounds=rounds, stop=half if seconds else None)

    def when(
        self,
        words: str,
        *,
        drive_min: int = 20,
        furnished: bool = True,
        removes: Sequence[str] = (),
        ready: str = "",
        crew: str = "",
        built: int | None = None,
    ) -> WhenView:
        """Return when a floor such as ``400 ft2 click vinyl`` could be laid: soonest, and without moving anything."""
        from crewjobs.services import when

        return when.when(
            self._database,
            self._clock.now(),
            words,
            drive_min=drive_min,
            furnished=furnished,
            removes=removes,
            ready=ready,
            crew=crew,
            built=built,
        )

    def jobs(self, everything: bool = False) -> tuple[JobRow, ...]:
        """Return the list of jobs."""
        from crewjobs.services import job_list

        with self._database.reading() as uow:
            return job_list.job_list(uow, self._clock.now(), everything=everything)

    def job(self, number: int) -> JobPage:
        """Return one job, whole."""
        from crewjobs.services import jobs

        with self._database.reading() as uow:
            return jobs.job_page(uow, self._catalogue(uow), number, self._clock.now())

    def rooms(self, job: int) -> RoomsView:
        """Return the rooms of a job drawn, with its furniture stages where it has any."""
        from crewjobs.engines.stages.basis import basis_of
        from crewjobs.services import rooms_view

        with self._database.reading() as uow:
            record, units = uow.job(job), uow.shop().units
            catalogue = self._catalogue(uow) if record.moves_in_force is not None else None
        now, basis = self._clock.now(), basis_of(record.job)
        return rooms_view.rooms_view(record, now, basis=basis, units=units, catalogue=catalogue)

    def check_photos(self, number: int) -> tuple[str, ...]:
        """Return for each photo of a job whether its file still has the bytes recorded."""
        from crewjobs.services import walks

        with self._database.reading() as uow:
            record = uow.job(number)
        return walks.check_photos(record)

    def propose_visit(self, job: int, kind: str, *, who: str = "", minutes: int = 60) -> VisitProposal:
        """Return when somebody could make a small visit."""
        from crewjobs.services import small_visits

        with self._database.reading() as uow:
            return small_visits.propose(uow, self._clock.now(), job, kind, who=who, minutes=minutes)

    def site_day(self, crew: str, day: date | None = None) -> SiteDay:
        """Return one crew's day on site (default: today)."""
        from crewjobs.services import sheets

        with self._database.reading() as uow:
            return sheets.site_day(uow, self._catalogue(uow), self._clock.now(), crew, day)

    def templates(self) -> tuple[TemplateRow, ...]:
        """Return the task templates in force."""
        from crewjobs.services.templates import template_rows

        with self._database.reading() as uow:
            return template_rows(self._catalogue(uow), uow.overrides())

    def changes(self, limit: int = 200) -> tuple[ChangeRow, ...]:
        """Return the change log, newest first."""
        from crewjobs.services import history

        with self._database.reading() as uow:
            return history.change_rows(uow, uow.shop().zone, limit=limit)

    def dump(self, number: int) -> str:
        """Return a job as the file that load reads."""
        from crewjobs.services import loading

        with self._database.reading() as uow:
            return loading.dump(uow, number)

    def dump_shop(self) -> str:
        """Return the shop as the file that load reads."""
        from crewjobs.services import loading

        with self._database.reading() as uow:
            return loading.dump_shop(uow, self._clock.now())

    def hours_of(self, crew: str, day: date) -> DayHoursRow:
        """Return a crew's hours on a day."""
        from crewjobs.services import day_hours

        with self._database.reading() as uow:
            return day_hours.hours_of(uow, crew, day)

    def day_plan_text(self, day: date, crew: str, *, lead_copy: bool = False) -> str:
        """Return the pages of a crew, a person or (with an empty name) of everybody as text."""
        from crewjobs.services import sheets

        with self._database.reading() as uow:
            return sheets.day_plan_text(uow, self._catalogue(uow), self._clock.now(), day, crew, lead_copy=lead_copy)

    def day_plans(
        self, day: date, folder: Path, *, crew: str = "", lead_copy: bool = False, paper: str = ""
    ) -> tuple[Path, ...]:
        """Write the pages of one crew, one person or all, PDF and text, and return where they are."""
        from crewjobs.services import sheets

        with self._database.reading() as uow:
            plans = sheets.pages(
                uow, self._catalogue(uow), self._clock.now(), day, crew, lead_copy=lead_copy, paper=paper
            )
        return sheets.write(plans, folder)

    def backup(self, file: Path) -> Path:
        """Copy the database to a file that is not there yet."""
        return self._database.backup(file)

    # -- recording

    @followed
    def tick(self, job: int, tasks: Sequence[int], *, at: str = "", because: str = "") -> Done:
        """Record that tasks are done."""
        from crewjobs.services import ticking

        with self._writing() as uow:
            return ticking.tick(uow, self._clock.now(), job, tasks, at=at, because=because)

    @followed
    def tick_phase(self, job: int, phase: str, where: str, *, at: str = "", because: str = "") -> Done:
        """Record that a whole phase in one place is done."""
        from crewjobs.services import ticking

        with self._writing() as uow:
            return ticking.tick_phase(uow, self._clock.now(), job, phase, where, at=at, because=because)

    @followed
    def start(self, job: int, task: int, *, crew: str = "", at: str = "") -> Done:
        """Record that a task has begun."""
        from crewjobs.services import ticking

        with self._writing() as uow:
            return ticking.start(uow, self._clock.now(), job, task, crew=crew, at=at)

    @followed
    def how_far(self, job: int, task: int, text: str, *, crew: str = "", at: str = "", because: str = "") -> Done:
        """Record how far a task is, and which crew goes on with it where that is another."""
        from crewjobs.services import how_far

        with self._writing() as uow:
            return how_far.how_far(uow, self._clock.now(), job, task, text, crew=crew, at=at, because=because)

    def evening_sheet(self, crew: str, day: date | None = None) -> EveningSheet:
        """Return what is asked of a crew in the evening (default: of today), in the order of its page."""
        from crewjobs.services import evening_sheet

        with self._database.reading() as uow:
            now = self._clock.now()
            return evening_sheet.sheet_of(uow, now, crew, day or to_wall(uow.shop().zone, now).date())

    @followed
    def evening(self, crew: str, day: date, entry: EveningEntry) -> Done:
        """Record a crew's sheet as it was typed back."""
        from crewjobs.services import evening

        with self._writing() as uow:
            return evening.enter(uow, self._catalogue(uow), self._clock.now(), crew, day, entry)

    @followed
    def arrived(
        self,
        job: int,
        material: str,
        cartons: int,
        *,
        lot: str = "",
        at: str = "",
        in_rooms: bool = False,
        back_ordered: str = "",
        because: str = "",
    ) -> Done:
        """Record cartons or goods that came."""
        from crewjobs.services import materials

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
        came: Sequence[tuple[str, int]],
        *,
        at: str = "",
        in_rooms: bool = False,
        because: str = "",
    ) -> Done:
        """Record several things one truck brought."""
        from crewjobs.services import materials

        with self._writing() as uow:
            return materials.arrived_together(
                uow, self._clock.now(), job, came, at=at, in_rooms=in_rooms, because=because
            )

    @followed
    def back_ordered(self, job: int, what: str, day: str, because: str = "") -> Done:
        """Record for when the supplier promises what has not come."""
        from crewjobs.services import ordered

        with self._writing() as uow:
            return ordered.back_ordered(uow, self._clock.now(), job, what, day, because)

    @followed
    def check_lot(
        self,
        job: int,
        material: str,
        lot: str,
        cartons: int,
        *,
        damaged: int = 0,
        color_differs: bool = False,
        at: str = "",
    ) -> Done:
        """Record the check of a lot before its first carton is opened."""
        from crewjobs.services import lots

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
        from crewjobs.services import lots

        with self._writing() as uow:
            return lots.lots(uow, self._clock.now(), job, material, words, because=because)

    @followed
    def ready(self, job: int, *, asked: str = "", answers: Answers | None = None, at: str = "") -> Done:
        """Record that a house was asked for being ready, what was answered, or both."""
        from crewjobs.services import house_ready

        with self._writing() as uow:
            return house_ready.record_ready(uow, self._clock.now(), job, asked=asked, answers=answers, at=at)

    @followed
    def dry_run(self, job: int, crew: str, because: str, *, item: str = "", until: str = "", at: str = "") -> Done:
        """Record a crew sent to a house that was not ready, and say what it can do instead."""
        from crewjobs.services import house_ready

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
        from crewjobs.services import waiting_on

        with self._writing() as uow:
            return waiting_on.ask(
                uow, self._clock.now(), job, who, what, promised=promised, holds=holds, template=template, at=at
            )

    @followed
    def promised(self, job: int, who: str, until: str, *, what: str = "") -> Done:
        """Record for when somebody else promises what was asked."""
        from crewjobs.services import waiting_on

        with self._writing() as uow:
            return waiting_on.promise(uow, self._clock.now(), job, who, until, what=what)

    def chased(self, job: int, who: str, *, what: str = "", at: str = "") -> Done:
        """Record that somebody else was asked again."""
        from crewjobs.services import waiting_on

        with self._writing() as uow:
            return waiting_on.chase(uow, self._clock.now(), job, who, what=what, at=at)

    @followed
    def came(self, job: int, who: str, *, what: str = "", at: str = "") -> Done:
        """Record that what somebody else was asked for is there."""
        from crewjobs.services import waiting_on

        with self._writing() as uow:
            return waiting_on.came(uow, self._clock.now(), job, who, what=what, at=at)

    @followed
    def returned(self, job: int, what: str, count: int, *, at: str = "") -> Done:
        """Record cartons of a material that went back to their supplier."""
        from crewjobs.services import returns

        with self._writing() as uow:
            return returns.returned(uow, self._clock.now(), job, what, count, at=at)

    def told(self, job: int, day: str = "") -> Done:
        """Record the finish a customer was told (empty: the plan's)."""
        from crewjobs.services import telling

        with self._writing() as uow:
            return telling.told(uow, self._clock.now(), job, day)

    @followed
    def edit(self, job: int, version: int, changes: Mapping[str, str]) -> Done:
        """Change what was agreed, against the version seen."""
        from crewjobs.services import amending

        with self._writing() as uow:
            return amending.edit(uow, self._clock.now(), job, version, changes)

    def plan(
        self, progress: Callable[[int, int, str], None] | None = None, stop: Callable[[], bool] | None = None
    ) -> Done:
        """Plan the weeks ahead."""
        from crewjobs.services import planning

        self._may_write()
        return planning.plan(self._database, self._who, self._clock.now(), progress, stop)

    def improve(
        self,
        seconds: float | None = None,
        *,
        rounds: int | None = None,
        watch: Callable[[int, str], None] | None = None,
        stop: Callable[[], bool] | None = None,
        after: int | None = None,
        unseen: int | None = None,
    ) -> Done:
        """Look for a better plan for so many seconds or rounds, or until `stop` says so, and propose it.

        `after` is the change it is looked for by itself after, and taken back with; `unseen` a first plan that nobody
        has seen yet, so that a better one takes its place.
        """
        from crewjobs.services import proposals

        self._may_write()
        over = deadline(seconds) if seconds is not None else None

        def ends() -> bool:
            return (over is not None and over()) or (stop is not None and stop())

        return proposals.improve(
            self._database,
            self._who,
            self._clock.now(),
            rounds=rounds,
            stop=ends,
            watch=watch,
            after=after,
            unseen=unseen,
        )

    def proposal_waits(self) -> bool:
        """Return whether a proposal waits that was made with all in view that is recorded now."""
        from crewjobs.services import proposals

        with self._database.reading() as uow:
            return proposals.waits(uow)

    def proposal(self) -> ProposalView:
        """Return the plan that is proposed: what it saves and what would move."""
        from crewjobs.services import proposals

        with self._database.reading() as uow:
            return proposals.proposal(uow, self._clock.now())

    def accept(self) -> Done:
        """Take the proposed plan as the plan in force, if it still is better today."""
        from crewjobs.services import proposals

        self._may_write()
        return proposals.accept(self._database, self._who, self._clock.now())

    @followed
    def pin(self, job: int, tasks: Sequence[int], crew: str, day: date, *, visit: bool = False) -> Done:
        """Keep the blocks of some tasks, or those that begin in a `visit`, with a crew on a day."""
        from crewjobs.services import pins

        with self._writing() as uow:
            return pins.pin(uow, self._clock.now(), job, tasks, crew, day, visit=visit)

    @followed
    def unpin(self, job: int, tasks: Sequence[int]) -> Done:
        """Let the planner move the blocks of some tasks again."""
        from crewjobs.services import pins

        with self._writing() as uow:
            return pins.unpin(uow, self._clock.now(), job, tasks)

    @followed
    def furnish(self, job: int, room: str, words: str) -> Done:
        """Change the furniture of a room to what is said in words."""
        from crewjobs.services import furnishing

        with self._writing() as uow:
            return furnishing.furnish(uow, self._clock.now(), job, room, words)

    def furniture_of(self, job: int, room: str) -> str:
        """Return the furniture of a room in words."""
        from crewjobs.services import furnishing

        with self._database.reading() as uow:
            return furnishing.words_of(uow.job(job).job, room)

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
    ) -> TakeOffView:
        """Return what a job's floors take; layouts that are not there yet are found and kept with the job.

        `reserve` is in percent of the planks, `sticks` how long base, shoe and strips come where not as usual. At most so many seconds are looked at each material, or until `stop` says so.
        """
        from crewjobs.services import layouts
        from crewjobs.services.take_off import lengths_of, take_off_view

        lengths = lengths_of(sticks or {})
        if not 0 <= kept <= MOST_KEPT or (reserve is not None and not 0 <= reserve <= 100):
            raise Refused(
                f"a reserve is 0 to 100 percent of the planks, and 0 to {MOST_KEPT} cartons stay in the house."
            )
        with self._database.reading() as uow:
            record, units = uow.job(job), uow.shop().units
        found = layouts.of_all(record, self._clock.now(), again=again, until=self._until(seconds, stop))
        self._keep_layouts(record, [one for one in found.values() if not isinstance(one, Refused)])
        share = reserve / 100 if reserve is not None else None
        return take_off_view(record, found, units=units, reserve=share, kept=kept, lengths=lengths)

    def layouts(self, job: int) -> LayoutsView:
        """Return the layouts kept of a job's floors, and which floors have none."""
        from crewjobs.services import job_layouts

        with self._database.reading() as uow:
            record, units = uow.job(job), uow.shop().units
        return job_layouts.layouts_view(record, units)

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
        from crewjobs.services import job_layouts

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

    def row_lies(self, job: int, room: str, row: int, *, measured: str = "", to_wall: str = "") -> Done:
        """Record that a row lies and what was measured from it, and plan the rest of its floor anew."""
        from crewjobs.services.rows import Done

        view, change = self._layout(job, room, row=row, measured=measured, to_wall=to_wall)
        rooms = " + ".join(view.rooms)
        return Done(
            sentence=f"Job {job}: {view.material} in {rooms} is planned anew after row {row}. {view.sure}",
            change=change,
        )

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
        from crewjobs.services import layouts
        from crewjobs.services.furnishing import room_named

        with self._database.reading() as uow:
            record, units = uow.job(job), uow.shop().units
        material = layouts.material_of(record, room)
        if material.is_sheet:
            from crewjobs.services.sheet_view import sheet_view

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
        from crewjobs.services import job_layouts, layouts
        from crewjobs.services.furnishing import room_named
        from crewjobs.services.layout_view import layout_view
        from crewjobs.services.other_layouts import other_layout

        with self._database.reading() as uow:
            record, units = uow.job(job), uow.shop().units
        material = layouts.material_of(record, room)
        name, until = room_named(record.job, room).name, self._until(seconds, stop)
        if (other := other_layout(record, material, name, row=row, units=units)) is not None:
            return other, 0
        tell = job_layouts.told(watch, material) if watch is not None else None
        found = layouts.laid_out(record, material, self._clock.now(), again=again, stop=until(), found=tell)
        if row is not None:
            self._may_write()
            found = layouts.from_row(
                found,
                name,
                row,
                measured=parse_length(measured) if measured else None,
                to_wall=parse_length(to_wall) if to_wall else None,
                stop=until(),
            )
        change = self._keep_layouts(record, [found])
        return layout_view(record, found, name, units=units), change

    def _until(self, seconds: float | None, stop: Callable[[], bool] | None) -> Callable[[], Callable[[], bool]]:
        """Return what begins a time of so many seconds, which `stop` ends before."""
        from crewjobs.services.layout_rows import LAYOUT_SECONDS

        def begun() -> Callable[[], bool]:
            over = deadline(LAYOUT_SECONDS if seconds is None else seconds)
            return lambda: over() or (stop is not None and stop())

        return begun

    def _keep_layouts(self, record: JobRecord, found: list[LaidOut]) -> int:
        """Keep what was found, where anything may be written; return the number of the change, 0 for none."""
        from crewjobs.services import layouts

        if self._pretending:
            return 0
        return layouts.keep(self._database, self._who, self._clock.now(), record, found)

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
        from crewjobs.services import moves
        from crewjobs.services.rooms_rows import MOVES_SECONDS

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

    @followed
    def away(self, worker: str, day: date, *, to: str = "", because: str = "", again: bool = False) -> Done:
        """Record that a person is not with their crew on a day."""
        from crewjobs.services import away

        with self._writing() as uow:
            return away.away(uow, self._clock.now(), worker, day, to=to, because=because, again=again)

    @followed
    def back(self, worker: str, day: date) -> Done:
        """Record that a person is with their crew on a day after all."""
        from crewjobs.services import away

        with self._writing() as uow:
            return away.back(uow, self._clock.now(), worker, day)

    @followed
    def hours(self, crew: str, day: date, hours: str, *, because: str = "") -> Done:
        """Record a crew's hours on a day; ``off`` is a day off."""
        from crewjobs.services import day_hours

        with self._writing() as uow:
            return day_hours.record(uow, self._clock.now(), crew, day, hours, because=because)

    @followed
    def usual_hours(self, crew: str, day: date, *, because: str = "") -> Done:
        """Record that a crew has its usual hours on a day after all."""
        from crewjobs.services import day_hours

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
        from crewjobs.services import small_visits

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
        from crewjobs.services import small_visits

        with self._writing() as uow:
            return small_visits.done(uow, self._clock.now(), job, kind, who=who, at=at, minutes=minutes)

    @followed
    def visit_off(self, job: int, kind: str, *, who: str = "", at: str = "") -> Done:
        """Take a planned small visit away."""
        from crewjobs.services import small_visits

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
        from crewjobs.services import walks

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
        """Record the walk-through after the work."""
        from crewjobs.services import walks

        with self._writing() as uow:
            return walks.after(
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
        from crewjobs.services import callbacks

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
        from crewjobs.services import money

        with self._writing() as uow:
            return money.record(uow, self._clock.now(), job, fact, amount, on=on, again=again)

    @followed
    def agreed(
        self, job: int, what: str, amount: str = "", *, on: str = "", by: str = "", only_asked: bool = False
    ) -> Done:
        """Record a change order, agreed or only asked."""
        from crewjobs.services import money

        with self._writing() as uow:
            return money.agreed(uow, self._clock.now(), job, what, amount, on=on, by=by, only_asked=only_asked)

    def undo(self) -> Done:
        """Take the last change back."""
        from crewjobs.services import history

        with self._writing() as uow:
            return history.undo(uow, self._clock.now())

    @classmethod
    def first_load(cls, paths: Sequence[Path], *, database: Path | None = None, pretend: str = "") -> Office:
        """Open the services to load files; a database is made only once the files could fill it.

        Raises:
            Refused: there is none yet and the files are wrong or without a shop, or as `at`.
        """
        from crewjobs.services import loading

        path = database or default_path()
        if not is_there(path):
            if pretend:
                raise Refused(ONLY_SHOWS)
            if loading.read(paths).shop is None:
                raise Refused(loading.NO_SHOP)
        return cls.at(database=database, pretend=pretend, create=True)

    def load(self, paths: Sequence[Path], replace: bool = False) -> Done:
        """Load job files and the shop file, all or none."""
        from crewjobs.services import loading

        self._may_write()
        with self._database.reading() as uow:
            zone = loading.shop_zone(uow)
        files = loading.read(paths, zone)
        with self._writing() as uow:
            return loading.load(uow, self._clock.now(), files, replace_known=replace)

    # -- inside

    def _zone(self) -> str:
        with self._database.reading() as uow:
            return uow.shop().zone

    def _catalogue(self, uow: UnitOfWork) -> Catalogue:
        from crewjobs.files.catalogue import read_catalogue

        return read_catalogue(uow.overrides())

    def without_it(self) -> WeekPlan | None:
        """Return what the plan in force is by now, where that is no longer itself, before something is recorded."""
        if not self._follows or self._pretending:
            return None
        from crewjobs.services import following

        return following.without_it(self._database, self._clock.now())

    def follow(self, done: Done, anyway: WeekPlan | None = None) -> Done:
        """Have the plan in force follow a change, where this office does; return what was done and what moves."""
        if not self._follows:
            return done
        from crewjobs.services import following

        return following.quietly(self._database, self._who, self._clock.now(), done, anyway)

    def _may_write(self) -> None:
        if self._pretending:
            raise Refused(ONLY_SHOWS)

    def _writing(self) -> UnitOfWork:
        self._may_write()
        return self._database.unit_of_work(who=self._who)


def _user() -> str:
    """Return who is at the keyboard, for the change log; empty where the system does not know."""
    try:
        name = getpass.getuser()
        name.encode()
    except (OSError, KeyError, ImportError, UnicodeError):  # a name that is no text is none the log could keep
        return ""
    return name
