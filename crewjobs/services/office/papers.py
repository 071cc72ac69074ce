"""Pages on paper beside the day plan: the week for the wall, notice, house-ready questions, job record, shopping list."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.domain.wording import listed

if TYPE_CHECKING:
    from crewjobs.paper.house_ready import ReadyQuestions
    from crewjobs.paper.job_record import JobRecordPage
    from crewjobs.paper.notice import CustomerNotice
    from crewjobs.paper.shopping_list import ShoppingList
    from crewjobs.paper.week_sheet import WeekSheet
    from crewjobs.services.pages.printed import Page
    from crewjobs.services.pages.still_holds import PrintedView

from crewjobs.services.office.base import OfficeBase

PAGES_OF_A_JOB = ("notice", "house-ready", "job-record", "shopping-list")
"""Pages that are of one job, by the name of their command."""


class Papers(OfficeBase):
    """Builds pages from the records as they are, and writes them; recorded is which revision of a sheet went out."""

    def week_sheet(self, day: date | None = None, *, paper: str = "") -> WeekSheet:
        """Return the sheet of the week that holds a day (default: today)."""
        from crewjobs.services.pages import revisions, week_sheet

        with self._database.reading() as uow:
            return revisions.numbered(uow, week_sheet.week_sheet(uow, self._clock.now(), day, paper=paper))

    def notice(self, job: int, *, paper: str = "") -> CustomerNotice:
        """Return the notice to a job's customer."""
        from crewjobs.services.pages import notice, revisions

        with self._database.reading() as uow:
            return revisions.numbered(uow, notice.notice(uow, self._clock.now(), job, paper=paper))

    def ready_questions(self, job: int, *, paper: str = "") -> ReadyQuestions:
        """Return the questions whether a job's house is ready."""
        from crewjobs.services.pages import ready_questions, revisions

        with self._database.reading() as uow:
            return revisions.numbered(uow, ready_questions.ready_questions(uow, self._clock.now(), job, paper=paper))

    def job_record(self, job: int, *, paper: str = "") -> JobRecordPage:
        """Return the record of a job for the file."""
        from crewjobs.services.pages import job_record, revisions

        with self._database.reading() as uow:
            return revisions.numbered(
                uow, job_record.job_record(uow, self._catalogue(uow), self._clock.now(), job, paper=paper)
            )

    def shopping_list(
        self, jobs: Sequence[int] = (), *, week: date | None = None, crew: str = "", paper: str = ""
    ) -> ShoppingList:
        """Return what is to be bought for some jobs, those of a week, those of a crew, or all that are booked."""
        from crewjobs.services.pages import revisions, shopping

        asked = shopping.Asked(jobs=tuple(jobs), week=week, crew=crew)
        with self._database.reading() as uow:
            return revisions.numbered(uow, shopping.shopping_list(uow, self._clock.now(), asked, paper=paper))

    def printed_sheets(self, *, every: bool = False) -> PrintedView:
        """Return the sheets that were printed, and whether each still says what it would say now."""
        from crewjobs.services.pages import still_holds

        with self._database.reading() as uow:
            return still_holds.printed_sheets(uow, self._catalogue(uow), self._clock.now(), every=every)

    def behind(self, job: int | None = None) -> str:
        """Return what of a job, or of all, is to be ticked or planned again before a page of it leaves; empty where nothing is."""
        from crewjobs.services.pages.behind import behind_words

        with self._database.reading() as uow:
            return behind_words(uow, self._clock.now(), job)

    def page_text(self, page: Page, width: int | None = None) -> str:
        """Return a page as text."""
        from crewjobs.services.pages import printed

        return printed.page_text(page, width)

    def write_files(self, page: Page, files: Mapping[str, Path]) -> tuple[Path, ...]:
        """Write a page as the files asked for, by kind: pdf, txt, html."""
        from crewjobs.services.pages import printed

        (page,) = self._to_print([page])
        written = printed.write_files(page, files)
        self._keep_printed([page])
        return written

    def write_page(self, page: Page, folder: Path) -> tuple[Path, ...]:
        """Write a page as PDF, text and HTML into a folder."""
        from crewjobs.services.pages import printed

        (page,) = self._to_print([page])
        written = printed.write_page(page, folder)
        self._keep_printed([page])
        return written

    def not_printed(self, page: Page) -> str:
        """Return what who prints a page for a customer is told of characters its PDF cannot show; empty where it shows all."""
        from crewjobs.services.pages import printed

        return printed.not_printed(page)

    def job_pages(self, kind: str, job: int, folder: Path) -> tuple[Path, ...]:
        """Write a page of one job, by the name of its command, into a folder; the shopping list of job 0 is that of all booked ones.

        Raises:
            Refused: there is no such page, no such job, or the page says why it has nothing to say.
        """
        return self.write_page(self._page_of(kind, job), folder)

    def job_not_printed(self, kind: str, job: int) -> str:
        """Return of a page of one job, by the name of its command, what `not_printed` does.

        Raises:
            Refused: as `job_pages`.
        """
        return self.not_printed(self._page_of(kind, job))

    def _page_of(self, kind: str, job: int) -> Page:
        makers: dict[str, Callable[[int], Page]] = {
            "notice": self.notice,
            "house-ready": self.ready_questions,
            "job-record": self.job_record,
            "shopping-list": lambda number: self.shopping_list([number] if number else ()),
        }
        if kind not in makers:
            raise Refused(f"{quoted(kind)} is no page of a job: it is one of {listed(PAGES_OF_A_JOB, most=9)}.")
        return makers[kind](job)

    def week_pages(self, day: date, folder: Path) -> tuple[Path, ...]:
        """Write the sheet of the week that holds a day into a folder."""
        return self.write_page(self.week_sheet(day), folder)
