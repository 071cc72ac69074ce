"""Week: planning that can be stopped, pinning, turning the pages, day plans."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest
from textual.widgets import Button, Select

from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.visit import VisitDialog
from crewjobs.screens.widgets.headline import Headline
from crewjobs.screens.widgets.page_title import PageTitle
from crewjobs.screens.widgets.planning_line import PlanningLine
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.rows import WeekView
from tests.screens import fake_rows
from tests.screens.conftest import front, press, said, settled, title_of
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]


async def test_planning_shows_progress_and_stops(office: FakeOffice, make_app: MakeApp) -> None:
    """While planning runs the other screens work; Esc stops it and the best so far is told."""
    office.gate.clear()
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("2")
        await pilot.pause(0.1)
        await pilot.press("p")
        await pilot.pause(0.4)
        assert "12 of 40" in front(app).query_one(PlanningLine).text
        await pilot.press("1")
        await pilot.pause(0.2)
        assert "Self-leveler" in front(app).sheet.text
        assert front(app).query_one(PlanningLine).display
        await pilot.press("escape")
        await settled(pilot)
        assert "12 of 40 rounds" in said(app)
        assert "Tamm kitchen and bath is 4 days late." in said(app)
        assert not front(app).query_one(PlanningLine).display


async def test_quitting_stops_planning(office: FakeOffice, make_app: MakeApp) -> None:
    """Leaving the program does not wait for a plan that never ends."""
    office.gate.clear()
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        await pilot.press("p")
        await pilot.pause(0.2)
        await pilot.press("q")
    for _ in range(100):
        if office.log:
            break
        await asyncio.sleep(0.02)
    assert office.log[-1][0].endswith("12 of 40 rounds.")


async def test_visit_says_why_and_is_pinned(office: FakeOffice, make_app: MakeApp) -> None:
    """Enter on a visit shows its reason; crew and day chosen there are pinned."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "2")
        front(app).sheet.select(("visit", date(2026, 3, 3), 0))
        await press(pilot, "enter")
        texts = " ".join(str(widget.render()) for widget in app.screen.query("#body Static"))
        assert "The leveler is ready on Mon 2 Mar 15:00" in texts
        app.screen.query_one("#crew", Select).value = "Cedar"
        app.screen.query_one("#day", Select).value = date(2026, 3, 4)
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "pin"))
        await settled(pilot)
        assert office.calls == [("pin", 101, (6, 7), "Cedar", date(2026, 3, 4), True)]
        assert "Pinned task 6" in said(app)


async def test_a_visit_is_moved_on_trial(office: FakeOffice, make_app: MakeApp) -> None:
    """What moving it costs is shown over the dialog, which stays as it was; nothing is pinned by looking."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        front(app).sheet.select(("visit", date(2026, 3, 3), 0))
        await press(pilot, "enter")
        dialog = app.screen
        app.screen.query_one("#crew", Select).value = "Cedar"
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "try"))
        await settled(pilot)
        assert [call[0] for call in office.calls] == ["what if"]
        assert office.calls[0][1].visits[0][2] == "Cedar"
        assert "without it ends" in " ".join(app.screen.query_one(Sheet).text.split())
        await press(pilot, "escape")
        assert app.screen is dialog
        assert app.screen.query_one("#crew", Select).value == "Cedar"
        assert [call[0] for call in office.calls] == ["what if"]

        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "try"))
        await settled(pilot)
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "pin"))
        await settled(pilot)
        assert [call[0] for call in office.calls] == ["what if", "what if", "pin"]
        assert office.calls[-1][3] == "Cedar"
        assert app.screen is front(app)


async def test_pinned_visit_is_unpinned(office: FakeOffice, make_app: MakeApp) -> None:
    """A pinned visit offers to be unpinned; others do not."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "2")
        front(app).sheet.select(("visit", date(2026, 3, 4), 0))
        await press(pilot, "enter")
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "unpin"))
        await settled(pilot)
        assert office.calls == [("unpin", 101, (8,))]


async def test_week_turns_and_comes_back(office: FakeOffice, make_app: MakeApp) -> None:
    """] and [ go a week on and back, t to the week that runs."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "2", "right_square_bracket")
        assert title_of(app) == "Week of Mon 9 Mar 2026"
        await press(pilot, "left_square_bracket", "left_square_bracket")
        assert title_of(app) == "Week of Mon 23 Feb 2026"
        await press(pilot, "t")
        assert title_of(app) == "Week of Mon 2 Mar 2026"


@pytest.mark.parametrize("size", [(40, 20), (80, 24)])
async def test_weeks_are_turned_by_a_tap(size: tuple[int, int], office: FakeOffice, make_app: MakeApp) -> None:
    """‹ and › stand above the week at any width, and what lies between them leads back to the week that runs."""
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "2")
        title = front(app).query_one(PageTitle)
        for arrow, week in (("›", "9 Mar"), ("›", "16 Mar"), ("week", "2 Mar"), ("‹", "23 Feb")):
            (line,) = title.draw(size[0])
            at = "".join(piece.text for piece in line).rindex(arrow)
            await pilot.click(title, offset=(at, 0))
            await settled(pilot)
            assert title_of(app) == f"Week of Mon {week} 2026"


async def test_day_plans_say_where_they_are(office: FakeOffice, make_app: MakeApp) -> None:
    """d writes the plans of the selected day and names the files and their folder."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "2")
        front(app).sheet.select(("visit", date(2026, 3, 4), 1))
        await press(pilot, "d")
        assert office.calls == [("day_plans", date(2026, 3, 4), "", False)]
        assert str(app.folder) in said(app)
        assert "2026-03-04-birch.pdf" in said(app)


async def test_the_week_sheet_is_written(office: FakeOffice, make_app: MakeApp) -> None:
    """D writes the sheet of the week that is shown, and says where it is."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "2", "D")
        assert office.calls == [("week_pages", date(2026, 3, 2))]
        assert "week-2026-03-02.pdf" in said(app)


async def test_selection_survives_resizing(office: FakeOffice, make_app: MakeApp) -> None:
    """From wide to narrow and back the same visit stays selected and in view."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "2")
        sheet = front(app).sheet
        target = ("visit", date(2026, 3, 5), 1)
        sheet.select(target)
        for width, height in ((40, 20), (80, 24), (120, 36)):
            await pilot.resize_terminal(width, height)
            await settled(pilot)
            box = sheet.box(target)
            assert sheet.selected == target
            assert sheet.scroll_offset.y <= box.top
            assert box.bottom < sheet.scroll_offset.y + sheet.size.height


async def test_no_plan_says_what_to_do(make_app: MakeApp) -> None:
    """A shop that has not planned is told which key plans."""
    app = make_app(FakeOffice(planned=False))
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        assert "No plan yet. Press p" in front(app).sheet.text


async def test_what_the_plan_does_to_the_house_is_said(office: FakeOffice, make_app: MakeApp) -> None:
    """A warning of the week stands below its days."""
    view = office.week()
    office.week = lambda monday=None: replace(view, warnings=("Job 101: the only toilet listed is out over night.",))
    app = make_app(office)
    async with app.run_test(size=(120, 60)) as pilot:
        await press(pilot, "2")
        assert "the only toilet listed is out over night" in front(app).sheet.text


@pytest.mark.parametrize("size", [(120, 60), (80, 60), (40, 60)])
async def test_who_is_not_with_their_crew_stands_in_the_day(
    size: tuple[int, int], office: FakeOffice, make_app: MakeApp
) -> None:
    """At every width a day names who is out and who is lent."""
    view = office.week()
    days = (replace(view.days[0], away=("Noor Haddad out", "Jon Ekwueme with Cedar")), *view.days[1:])
    office.week = lambda monday=None: replace(view, days=days)
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "2")
        assert "! Noor Haddad out, Jon Ekwueme with Cedar" in " ".join(front(app).sheet.text.split())


@pytest.mark.parametrize("size", [(120, 60), (80, 60), (40, 60)])
async def test_what_is_not_settled_where_somebody_goes_stands_below_who_goes(
    size: tuple[int, int], office: FakeOffice, make_app: MakeApp
) -> None:
    """At every width, with the job; once for a person who goes there twice."""
    view = office.week()
    first, *rest = view.days
    small = tuple(replace(one, job=112, found="not settled: mold in hall") for one in first.small)
    office.week = lambda monday=None: replace(view, days=(replace(first, small=small), *rest))
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "2")
        assert " ".join(front(app).sheet.text.split()).count("! 112 not settled: mold in hall") == 1


async def test_enter_on_a_day_asks_which_of_its_visits(office: FakeOffice, make_app: MakeApp) -> None:
    """Enter says why and pins, as the bottom line tells, on a day's row too; on a phone right goes on to its visits."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "2")
        selected = front(app).sheet.selected
        assert isinstance(selected, tuple)
        assert selected[0] == "day"
        await press(pilot, "enter")
        assert isinstance(app.screen, Choose)
        await press(pilot, "enter")
        assert isinstance(app.screen, VisitDialog)
        await press(pilot, "escape", "right")
        assert front(app).sheet.selected != selected


async def test_esc_means_one_thing_at_a_time(office: FakeOffice, make_app: MakeApp) -> None:
    """What begins to work closes an older refusal; one that comes meanwhile is closed first, and the line says so."""
    office.gate.clear()
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        front(app).refusal.say(("Not possible.",))
        await pilot.press("p")
        await pilot.pause(0.1)
        assert not front(app).refusal.display
        line = front(app).query_one(PlanningLine)
        assert line.text.endswith("Esc stops")
        front(app).refusal.say(("Not possible.",))
        await pilot.pause()
        assert line.text.endswith("then Esc stops")
        await pilot.press("escape")
        assert not line.text.endswith("then Esc stops")
        office.gate.set()
        await settled(pilot)


@pytest.mark.parametrize("size", [(160, 20), (80, 24), (40, 20)], ids=str)
async def test_today_stands_on_top(size: tuple[int, int], office: FakeOffice, make_app: MakeApp) -> None:
    """In the middle of a week today is seen first, what is amiss with the plan above it; again by t; days before are above."""
    today, view = fake_rows.NOW + timedelta(days=2), office.week()
    office.now = lambda: today
    office.week = lambda monday=None: replace(view, stale="One task was ticked after this plan was made.")
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "2")
        sheet = front(app).sheet
        target = ("day", today.date())
        assert sheet.selected == target
        assert sheet.scroll_offset.y == sheet.box(target).top > 0
        seen = sheet.text.splitlines()[sheet.scroll_offset.y :]
        assert seen[0].strip().startswith("! One task was ticked")
        names = [line.split() for line in seen[1:3] if line.split()[-1] == "waits"]
        assert bool(names) == (size[0] == 160)  # the names stand over the columns
        await press(pilot, "home")
        assert sheet.scroll_offset.y == 0
        await press(pilot, "t")
        assert sheet.selected == target
        assert sheet.scroll_offset.y == sheet.box(target).top


async def test_what_is_chosen_while_it_is_read_is_of_the_new_plan(office: FakeOffice, make_app: MakeApp) -> None:
    """Enter while the week is read anew: the list waits, and has the visits of the plan that is read."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        week = front(app)
        view, gate = office.week(), threading.Event()
        tuesday = date(2026, 3, 3)
        days = tuple(
            replace(one, visits=tuple(replace(visit, crew="Cedar", tasks=(77,)) for visit in one.visits[:1]))
            if one.day == tuesday
            else one
            for one in view.days
        )

        def slow(monday: date | None = None) -> WeekView:
            gate.wait(5)
            return replace(view, days=days, plan_number=view.plan_number + 1)

        office.week = slow
        for target in (("day", tuesday), ("visit", tuesday, 0)):
            gate.clear()
            week.sheet.select(target)
            week.load()
            await pilot.press("enter")
            await pilot.pause()
            assert app.screen is week
            gate.set()
            await settled(pilot)
            if target[0] == "day":
                assert isinstance(app.screen, Choose)
                assert "Cedar, " in app.screen.query_one(Sheet).text
                assert len(app.screen.query_one(Sheet).targets) == 1
                await press(pilot, "escape")
                office.week, slow_week = (lambda monday=None: view), office.week
                week.load()
                await settled(pilot)
                office.week = slow_week
            else:
                assert app.screen is week
                assert "The plan has changed: look again." in said(app)


async def test_a_list_does_not_outlive_its_plan(office: FakeOffice, make_app: MakeApp) -> None:
    """A visit picked of a list below which the week became another: the list is made anew and says so."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        week, view = front(app), office.week()
        week.sheet.select(("day", date(2026, 3, 3)))
        await press(pilot, "enter")
        days = tuple(
            replace(one, visits=tuple(replace(visit, tasks=(77,)) for visit in one.visits)) for one in view.days
        )
        office.week = lambda monday=None: replace(view, days=days)
        week.load()
        await press(pilot, "enter")
        assert isinstance(app.screen, Choose)
        assert "The plan has changed: look again." in app.screen.query_one(Sheet).text
        await press(pilot, "enter")
        assert isinstance(app.screen, VisitDialog)


async def test_that_enter_came_too_early_is_not_said_once_it_opened_the_visit(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """Struck while the week is first read it is said to press it again; that is over when the next one opens the visit."""
    gate, read = threading.Event(), office.week

    def slowly(monday: date | None = None) -> WeekView:
        gate.wait(10)
        return read(monday)

    office.week = slowly  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("2")
        await pilot.pause(0.05)
        await pilot.press("enter")
        await pilot.pause(0.05)
        week = front(app)
        early = said(app)
        gate.set()
        await settled(pilot)
        assert "press Enter again in a moment" in early
        await press(pilot, "down", "enter")
        assert isinstance(app.screen, (Choose, VisitDialog))
        assert week.status.said == ()


async def test_another_week_is_read_from_its_beginning(office: FakeOffice, make_app: MakeApp) -> None:
    """Turned to from the end of one, it does not open at its own end; back in the week that runs it is today."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "2", "end", "right_square_bracket")
        view = front(app)._view
        assert front(app).sheet.selected == ("day", view.days[0].day)
        await press(pilot, "end", "left_square_bracket")
        assert front(app).sheet.selected == ("day", front(app).query_one(Headline).now.date())
