"""Why: a panel of sentences, opened from the week and from a job's page."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from crewjobs.screens.answer import Answer
from crewjobs.screens.app import CrewApp
from crewjobs.screens.drawing import width_of
from crewjobs.screens.why import draw_why
from crewjobs.screens.widgets.planning_line import PlanningLine
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.answers.why_rows import LateGroup, LateRow
from tests.screens import fake_week
from tests.screens.conftest import front, press, settled
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]


def shown(app: CrewApp) -> str:
    """What the panel says, on one line."""
    assert isinstance(app.screen, Answer)
    return " ".join(app.screen.query_one(Sheet).text.split())


async def test_y_on_a_visit_explains_its_job(office: FakeOffice, make_app: MakeApp) -> None:
    """The chain and how the promise stands are told of the job of the selected visit; Esc goes back."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        front(app).sheet.select(("visit", date(2026, 3, 3), 0))
        await press(pilot, "y")
        assert office.calls == [("why", 101)]
        assert "pale oak is due Fri 6 Mar 13:00; it acclimates 48 h until Sun 8 Mar 14:00" in shown(app)
        assert "the promise cannot be kept" in shown(app)
        await press(pilot, "escape")
        assert app.screen is front(app)


async def test_y_on_a_day_explains_the_promises(office: FakeOffice, make_app: MakeApp) -> None:
    """Where no visit is selected, what clashes is told with its ways out."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        front(app).sheet.select(("day", date(2026, 3, 3)))
        await press(pilot, "y")
        assert office.calls == [("why", None)]
        assert "→ Keep job 102: then job 103 ends Wed 11 Mar 11:00" in shown(app)


async def test_y_on_a_job_page_wraps_at_40_columns(office: FakeOffice, make_app: MakeApp) -> None:
    """On a phone's width no line is cut, and what does not fit the height is scrolled to."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "3", "enter", "y")
        assert office.calls == [("why", 101)]
        sheet = app.screen.query_one(Sheet)
        assert max(len(line) for line in sheet.text.splitlines()) <= sheet.scrollable_content_region.width <= 38
        assert shown(app).endswith("so the promise cannot be kept.")
        before = sheet.scroll_offset.y
        await press(pilot, "end")
        assert sheet.scroll_offset.y >= before
        assert sheet.scroll_offset.y == sheet.max_scroll_y


async def test_a_refusal_is_told_and_no_panel_opens(office: FakeOffice, make_app: MakeApp) -> None:
    """Where nothing is planned yet the screen says so in one sentence."""
    from crewjobs.domain.errors import Refused

    def refuse(job: int | None = None, **_more: object) -> None:
        raise Refused("nothing is planned yet: `crewjobs plan` does it.")

    office.why = refuse  # type: ignore[method-assign, assignment]
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2", "y")
        assert not isinstance(app.screen, Answer)
        from tests.screens.conftest import refused

        assert "nothing is planned yet" in refused(app)


async def test_a_way_out_is_taken_from_the_panel(office: FakeOffice, make_app: MakeApp) -> None:
    """The button lists the ways there are; the one chosen is proposed, and the panel closes."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        front(app).sheet.select(("day", date(2026, 3, 3)))
        await press(pilot, "y")
        await pilot.click("#buttons Button")
        await press(pilot, "enter")
        assert ("take_way", "slip-103", None) in office.calls
        assert app.screen is front(app)


async def test_y_in_the_list_of_jobs_explains_the_selected_one(office: FakeOffice, make_app: MakeApp) -> None:
    """The job under the cursor is the one that is asked about."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "y")
        assert office.calls == [("why", 101)]


@pytest.mark.parametrize("job", [101, None])
@pytest.mark.parametrize("width", [36, 60, 118])
def test_no_line_is_wider_than_the_panel(job: int | None, width: int) -> None:
    """At every width all of a sentence is there, in lines that fit."""
    lines = draw_why(fake_week.why(job), width)
    assert max(width_of(line) for line in lines) <= width
    text = " ".join("".join(piece.text for piece in line).strip() for line in lines)
    for sentence in (s for clash in fake_week.why(job).clashes for s in (clash.sentence, clash.ways[0].sentence)):
        assert sentence in " ".join(text.split())


@pytest.mark.parametrize("width", [36, 118])
def test_many_late_promises_are_drawn_by_their_reason(width: int) -> None:
    """The sum first, then each reason with a line a job; what is told in a group is not told again."""
    group = LateGroup(head="The material is ready only after the promise:", lines=("job 101: 3 days late",))
    row = LateRow(job=101, sentence="Job 101 alone.", explained=True, grouped=True)
    view = replace(fake_week.why(None), late=(row,), late_sum="4 promises cannot be kept.", late_groups=(group,))
    lines = draw_why(view, width)
    assert max(width_of(line) for line in lines) <= width
    text = " ".join(" ".join("".join(piece.text for piece in line).strip() for line in lines).split())
    assert text.startswith(f"{view.late_sum} {group.head} · {group.lines[0]}")
    assert row.sentence not in text


async def test_looking_for_clashes_can_be_stopped(
    office: FakeOffice, make_app: MakeApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While plans are tried it is told, other keys work, and Esc ends it with what was found by then."""
    stopped: list[bool] = []

    def why(job: int | None = None, *, stop: Callable[[], bool]) -> object:
        while not stop():
            time.sleep(0.01)
        stopped.append(True)
        return fake_week.why(job)

    monkeypatch.setattr(office, "why", why)
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        front(app).sheet.select(("day", date(2026, 3, 3)))
        await pilot.press("y")
        await pilot.pause(0.1)
        line = front(app).query_one(PlanningLine)
        assert "At work: which promises clash" in line.text
        assert "Esc stops" in line.text
        await pilot.press("1")
        await pilot.pause(0.1)
        assert app.current_mode == "waiting"
        await pilot.press("escape")
        await settled(pilot)
        assert stopped == [True]
        assert "pale oak" in shown(app) or "promise" in shown(app)
