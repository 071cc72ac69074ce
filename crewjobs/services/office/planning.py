"""The plan: the week, why, what if, when, proposals, pins."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.domain.wording import listed
from crewjobs.services.clock import deadline

if TYPE_CHECKING:
    from crewjobs.services.answers.what_if_rows import WhatIfAsked, WhatIfView, WhenView
    from crewjobs.services.answers.why_rows import WhyView
    from crewjobs.services.calendars.calendar_rows import CalendarsView
    from crewjobs.services.rows import Done, OfferRow, ProposalView, WeekView

from crewjobs.services.office.base import OfficeBase, followed

PATIENT = 20.0
"""Seconds in which a way out that was shown has to be found again, also on a busy machine."""


class Planning(OfficeBase):
    """Asks for plans and takes them."""

    def is_planned(self) -> bool:
        """Return whether there is a plan in force."""
        with self._database.reading() as uow:
            return uow.latest_plan() is not None

    def offers(self, crew: str, *, at: str = "", not_at: int | None = None) -> tuple[OfferRow, ...]:
        """Return ready work that fits a crew from a moment on, best first."""
        from crewjobs.services.answers import offers

        with self._database.reading() as uow:
            return offers.offers(uow, self._catalogue(uow), self._clock.now(), crew, at=at, not_at=not_at)

    def no_offers(self, crew: str, *, at: str = "", not_at: int | None = None) -> str:
        """Return the sentence for no offers, with the main reason."""
        from crewjobs.services.answers import offer_words

        with self._database.reading() as uow:
            return offer_words.none_words(uow, self._catalogue(uow), self._clock.now(), crew, at=at, not_at=not_at)

    def week(self, monday: date | None = None, *, odds: bool = False) -> WeekView:
        """Return the plan of the week that holds a day (default: today), with the chance of each promise where asked for."""
        from crewjobs.services.weeks import week

        with self._database.reading() as uow:
            self._stale = self._stale or week.StaleKept()
            view = week.week(uow, self._clock.now(), monday, self._stale)
            if not odds:
                return view
            from crewjobs.services.odds.odds import with_chances

            return with_chances(uow, self._clock.now(), view)

    def why(self, job: int | None = None, *, stop: Callable[[], bool] | None = None) -> WhyView:
        """Return why a job is finished when it is; without one, which promises clash and what can be done.

        `stop` ends trying plans: what was found by then is the answer.
        """
        from crewjobs.services.answers import why
        from crewjobs.services.answers.why_promises import SECONDS

        over = deadline(SECONDS)
        answer = why.why(self._database, self._clock.now(), job, lambda: over() or (stop is not None and stop()))
        self._ways = {name: (way, answer.based_on) for name, way in answer.ways.items()}
        return answer.view

    def take_way(self, name: str, job: int | None = None) -> Done:
        """Make the plan of a way out the proposal: the one this office has shown, else the one found again."""
        from crewjobs.services.answers import ways_taken, why

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
        """Return the plan with and without something supposed, side by side; half of `seconds` go to each. Keeps nothing.

        Visits moved alone, with neither rounds nor seconds, are told as this office's plan follows their pins.
        """
        from crewjobs.services.answers import what_if

        def half() -> Callable[[], bool]:
            over = deadline((seconds or 0) / 2)
            return lambda: over() or (stop is not None and stop())

        now = self._clock.now()
        return what_if.what_if(
            self._database,
            now,
            asked,
            rounds=rounds,
            stop=half if seconds else None,
            on_a_copy=self._on_a_copy if self._follows else None,
        )

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
        from crewjobs.services.answers import when

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

    def plan(
        self, progress: Callable[[int, int, str], None] | None = None, stop: Callable[[], bool] | None = None
    ) -> Done:
        """Plan the weeks ahead."""
        from crewjobs.services.weeks import planning

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
        from crewjobs.services.weeks import proposals

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

    def calendars(self, out: Path, *, crew: str = "", job: int | None = None) -> CalendarsView:
        """Write the plan in force as calendar files of a crew or person, a job or all of them, and keep what they say.

        `out` is a folder, or for one calendar a file that ends in ``.ics``.
        """
        from crewjobs.services.calendars import calendars

        self._may_write()
        return calendars.write(self._database, self._who, self._clock.now(), out, crew=crew, job=job)

    def look_at_calendars(self, *, crew: str = "", job: int | None = None) -> CalendarsView:
        """Return what the calendars would say; no file is made and nothing is kept."""
        from crewjobs.services.calendars import calendars

        with self._database.reading() as uow:
            return calendars.look(uow, self._clock.now(), crew=crew, job=job)

    def proposal_waits(self) -> bool:
        """Return whether a proposal waits that was made with all in view that is recorded now."""
        from crewjobs.services.weeks import proposals

        with self._database.reading() as uow:
            return proposals.waits(uow)

    def proposal(self) -> ProposalView:
        """Return the plan that is proposed: what it saves and what would move."""
        from crewjobs.services.weeks import proposals

        with self._database.reading() as uow:
            return proposals.proposal(uow, self._clock.now())

    def accept(self) -> Done:
        """Take the proposed plan as the plan in force, if it still is better today."""
        from crewjobs.services.weeks import proposals

        self._may_write()
        return proposals.accept(self._database, self._who, self._clock.now())

    @followed
    def pin(self, job: int, tasks: Sequence[int], crew: str, day: date, *, visit: bool = False) -> Done:
        """Keep the blocks of some tasks, or those that begin in a `visit`, with a crew on a day."""
        from crewjobs.services.weeks import pins

        with self._writing() as uow:
            return pins.pin(uow, self._clock.now(), job, tasks, crew, day, visit=visit)

    @followed
    def unpin(self, job: int, tasks: Sequence[int]) -> Done:
        """Let the planner move the blocks of some tasks again."""
        from crewjobs.services.weeks import pins

        with self._writing() as uow:
            return pins.unpin(uow, self._clock.now(), job, tasks)
