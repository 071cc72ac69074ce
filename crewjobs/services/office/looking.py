"""What is asked of the records: lists, pages, days, files."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import to_wall
from crewjobs.services.clock import gone_text, read_day, read_past_day

if TYPE_CHECKING:
    from crewjobs.services.people.day_hours import DayHoursRow
    from crewjobs.services.places import PlacesView
    from crewjobs.services.rows import (
        ChangeRow,
        EveningSheet,
        JobPage,
        JobRow,
        SiteDay,
        TemplateRow,
        VisitProposal,
        WaitRow,
    )

from crewjobs.services.office.base import OfficeBase


class Looking(OfficeBase):
    """Answers from the records as they are; nothing is written."""

    def read_day(self, text: str) -> date:
        """Return a day as typed, seen from the shop's today."""
        return read_day(text, self.now().date())

    def read_person(self, name: str) -> str:
        """Return the whole name of the shop's lead or of a person of a crew; a first name will do where it is the only one.

        Raises:
            Refused: nobody or several people have it.
        """
        from crewjobs.services.people.people import find_person

        with self._database.reading() as uow:
            return find_person(uow.shop(), name).name

    def read_past_day(self, text: str) -> date:
        """Return a day that has come, as typed, seen from the shop's today: a weekday is the last one; empty is today."""
        return read_past_day(text, self.now().date())

    def read_gone(self, text: str) -> str:
        """Return a moment that has come, as typed, with its date so that it means the same tomorrow; empty is now and stays so.

        Raises:
            Refused: no moment, or one that has not come.
        """
        return gone_text(text, self._zone(), self._clock.now())

    def shop_name(self) -> str:
        """Return the shop's name."""
        with self._database.reading() as uow:
            return uow.shop().name

    def whose(self, jobs: Sequence[int]) -> dict[str, str]:
        """Return the shop's name under ``shop``, and under each job's number its customer and address, where there is such a job."""
        from crewjobs.services.forms import kept_whose

        with self._database.reading() as uow:
            return kept_whose.whose(uow, jobs)

    def is_demo(self) -> bool:
        """Return whether this is a demo database."""
        return self._database.is_demo()

    def crews(self) -> tuple[str, ...]:
        """Return the crews' names, then those of parts of crews that work by themselves today or later."""
        from crewjobs.services.people.away import working_crews

        with self._database.reading() as uow:
            return working_crews(uow, self._clock.now())

    def waiting(self) -> tuple[WaitRow, ...]:
        """Return what waits for what, worst first."""
        from crewjobs.services.waiting import waits

        with self._database.reading() as uow:
            return waits.waiting(uow, self._clock.now())

    def has_jobs(self) -> bool:
        """Return whether there is any job at all, also one that is closed."""
        with self._database.reading() as uow:
            return bool(uow.job_numbers())

    def jobs(self, everything: bool = False) -> tuple[JobRow, ...]:
        """Return the list of jobs."""
        from crewjobs.services.jobs import job_list

        with self._database.reading() as uow:
            return job_list.job_list(uow, self._clock.now(), everything=everything)

    def job(self, number: int) -> JobPage:
        """Return one job, whole."""
        from crewjobs.services.jobs import jobs

        with self._database.reading() as uow:
            return jobs.job_page(uow, self._catalogue(uow), number, self._clock.now())

    def check_photos(self, number: int) -> tuple[str, ...]:
        """Return for each photo of a job whether its file still has the bytes recorded."""
        from crewjobs.services.jobs import walks

        with self._database.reading() as uow:
            record = uow.job(number)
        return walks.check_photos(record)

    def propose_visit(self, job: int, kind: str, *, who: str = "", minutes: int = 60) -> VisitProposal:
        """Return when somebody could make a small visit."""
        from crewjobs.services.people import small_visits

        with self._database.reading() as uow:
            return small_visits.propose(uow, self._clock.now(), job, kind, who=who, minutes=minutes)

    def if_called_off(self, job: int) -> tuple[str, ...]:
        """Return what calling a job off would leave behind: on order, come, promised, open."""
        from crewjobs.services.findings.house_told import others_of_its_house
        from crewjobs.services.jobs import called_off

        with self._database.reading() as uow:
            return tuple(called_off.if_off(uow.job(job), others_of_its_house(uow, job), self._clock.now()))

    def site_day(self, crew: str, day: date | None = None) -> SiteDay:
        """Return one crew's day on site (default: today)."""
        from crewjobs.services.pages import site_day

        with self._database.reading() as uow:
            return site_day.site_day(uow, self._catalogue(uow), self._clock.now(), crew, day)

    def to_tell_off(self, number: int) -> tuple[str, ...] | None:
        """Return who is to be told that a job is called off, or, done, needs him no more; None of one for which nobody is.

        Raises:
            Refused: unknown job, or one called off of which nobody is to be told any more.
        """
        from crewjobs.domain.job import ENDED, JobState
        from crewjobs.services.findings.house_told import others_of_its_house
        from crewjobs.services.jobs.called_off import asked_to_tell_off, to_tell_off

        with self._database.reading() as uow:
            record, now = uow.job(number), self._clock.now()
            if record.job.state is JobState.CALLED_OFF:
                return asked_to_tell_off(record, others_of_its_house(uow, number), now)
            if record.job.state in ENDED:
                return to_tell_off(record, others_of_its_house(uow, number), now) or None
            return None

    def places(self, number: int) -> PlacesView:
        """Return what forms about a job have to pick from."""
        from crewjobs.services.places import places_view

        with self._database.reading() as uow:
            return places_view(uow.job(number), self._catalogue(uow), self._clock.now())

    def templates(self) -> tuple[TemplateRow, ...]:
        """Return the task templates in force."""
        from crewjobs.services.jobs.templates import template_rows

        with self._database.reading() as uow:
            return template_rows(self._catalogue(uow), uow.overrides())

    def changes(self, limit: int = 200) -> tuple[ChangeRow, ...]:
        """Return the change log, newest first."""
        from crewjobs.services import history

        with self._database.reading() as uow:
            return history.change_rows(uow, uow.shop().zone, limit=limit)

    def dump(self, number: int) -> str:
        """Return a job as the file that load reads."""
        from crewjobs.services.jobs import loading

        with self._database.reading() as uow:
            return loading.dump(uow, number)

    def dump_shop(self) -> str:
        """Return the shop as the file that load reads."""
        from crewjobs.services.jobs import loading

        with self._database.reading() as uow:
            return loading.dump_shop(uow, self._clock.now())

    def hours_of(self, crew: str, day: date) -> DayHoursRow:
        """Return a crew's hours on a day."""
        from crewjobs.services.people import day_hours

        with self._database.reading() as uow:
            return day_hours.hours_of(uow, crew, day)

    def day_plan_text(self, day: date, crew: str, *, lead_copy: bool = False) -> str:
        """Return the pages of a crew, a person or (with an empty name) of everybody as text."""
        from crewjobs.services.pages import sheets

        with self._database.reading() as uow:
            return sheets.day_plan_text(uow, self._catalogue(uow), self._clock.now(), day, crew, lead_copy=lead_copy)

    def day_plans(
        self,
        day: date,
        folder: Path,
        *,
        crew: str = "",
        lead_copy: bool = False,
        paper: str = "",
        html: bool = False,
    ) -> tuple[Path, ...]:
        """Write the pages of one crew, one person or all, PDF and text, with `html` for phones too; return where they are."""
        from crewjobs.services.pages import sheets

        with self._database.reading() as uow:
            plans = sheets.pages(
                uow, self._catalogue(uow), self._clock.now(), day, crew, lead_copy=lead_copy, paper=paper
            )
        plans = tuple(self._to_print(plans))
        written = sheets.write(plans, folder, html=html)
        self._keep_printed(plans)
        return written

    def backup(self, file: Path | None = None) -> Path:
        """Copy the database to a file that is not there yet; without one beside the database, under a name that is free.

        Raises:
            Refused: it cannot be written, or the database is damaged: as a file, or in one of its records.
        """
        from crewjobs.services.checkup import check_up

        with self._database.reading() as uow:
            found = check_up(uow, self._database.path)
        if found.faults:
            raise Refused(
                f"{found.no_backup} `crewjobs restore FILE` puts an older backup in its place, and keeps this one beside it."
            )
        return self._database.backup(file)

    def evening_sheet(self, crew: str, day: date | None = None) -> EveningSheet:
        """Return what is asked of a crew in the evening (default: of today), in the order of its page."""
        from crewjobs.services.evenings import evening_sheet

        with self._database.reading() as uow:
            now = self._clock.now()
            return evening_sheet.sheet_of(uow, now, crew, day or to_wall(uow.shop().zone, now).date())
