"""Printing from the page of a job: which page, where it is, why not."""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import date
from pathlib import Path

from textual.pilot import Pilot

from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.printing import write_week
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.rows import Done
from tests.screens.conftest import front, press, refused, said, settled
from tests.screens.fake_office import FakeOffice
from tests.screens.test_bursts import strike

MakeApp = Callable[[FakeOffice], CrewApp]


async def _choose(app: CrewApp, pilot: Pilot[None], kind: str) -> None:
    """Open the list on the page of the first job and choose a page."""
    await press(pilot, "3", "enter", "d")
    assert isinstance(app.screen, Choose)
    app.screen.query_one(Sheet).select(kind)
    await press(pilot, "enter")


async def test_a_page_of_the_job_is_written(office: FakeOffice, make_app: MakeApp) -> None:
    """The notice goes into the folder as PDF, text and HTML, and the status line says where."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await _choose(app, pilot, "notice")
        assert office.calls[-1] == ("job_pages", "notice", 101)
        assert str(app.folder) in said(app).replace("\n", "")
        assert "notice-job-101.pdf, notice-job-101.txt, notice-job-101.html" in said(app)


async def test_what_a_notice_cannot_show_is_told_with_where_it_is(office: FakeOffice, make_app: MakeApp) -> None:
    """The page itself leaves: who printed it hears of its empty boxes on the screen, and of a page without any nothing."""
    office.missing = "The PDF has an empty box for 🐕: 1 character that no typeface of the program has."
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await _choose(app, pilot, "notice")
        assert office.missing in front(app).status.said
        await press(pilot, "escape")
        await _choose(app, pilot, "job-record")
        assert "empty box" not in said(app)


async def test_pages_printed_while_a_plan_is_looked_for_stay_told(office: FakeOffice, make_app: MakeApp) -> None:
    """The search ends after the print: both stand on the screen, and n has both, each as told, the newest first."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        await write_week(front(app), date(2026, 3, 2))
        front(app).told(
            Outcome(value=Done(sentence="No better plan found.", change=0, then=("Job 7 waits.",))), beside=True
        )
        await settled(pilot)
        plan, where, pages, follows = front(app).status.said
        assert (plan, pages, follows) == ("No better plan found.", "week-2026-03-02.pdf", "Job 7 waits.")
        assert where.startswith("Week sheet of Mon 2 Mar in")
        await press(pilot, "n")
        text = app.screen.query_one(Sheet).text
        assert text.index("No better plan") < text.index("Job 7 waits") < text.index("Week sheet of Mon 2 Mar in")
        await press(pilot, "escape")
        front(app).told(Outcome(value=Done(sentence="Told by another key.", change=0)))
        assert said(app) == "Told by another key."


async def test_why_there_is_no_page_is_said(office: FakeOffice, make_app: MakeApp) -> None:
    """What the office refuses stands on the screen; nothing is said to be written."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await _choose(app, pilot, "house-ready")
        assert "work has begun at job 101" in refused(app)
        assert "house-ready" not in said(app)


async def test_enter_again_while_a_page_is_written_ticks_nothing_behind(office: FakeOffice, make_app: MakeApp) -> None:
    """Struck twice on the list of pages, Enter prints the page: the second is not for the task that is selected behind."""
    written = threading.Event()
    pages = office.job_pages

    def slowly(kind: str, job: int, folder: Path) -> tuple[Path, ...]:
        written.wait(10)
        return pages(kind, job, folder)

    office.job_pages = slowly  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "d")
        app.screen.query_one(Sheet).select("notice")
        strike(app, "enter", "enter")
        await pilot.pause(0.3)
        strike(app, "enter", "space")
        await pilot.pause(0.1)
        written.set()
        await settled(pilot)
        assert office.calls == [("job_pages", "notice", 101)]
        assert "notice-job-101.pdf" in said(app)
