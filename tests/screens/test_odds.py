"""Odds in Week, Jobs and on a job's page: filled in after painting, never in its way; a day that holds is promised."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest
from textual.pilot import Pilot
from textual.widgets import Button, Input

from crewjobs.screens.app import CrewApp
from crewjobs.screens.odds_dialog import OddsDialog
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.week_table import draw_week
from tests.screens import fake_rates, fake_rows, fake_week
from tests.screens.conftest import front, press, said, settled
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]


def shown(app: CrewApp) -> str:
    """What the sheet in front shows, on one line."""
    return " ".join(front(app).sheet.text.split())


def promise_button(app: CrewApp) -> Button:
    """The one that changes something."""
    return next(button for button in app.screen.query(Button) if button.name == "promise")


async def painted(pilot: Pilot[None], app: CrewApp, words: str) -> None:
    """Wait until words are seen, whatever still runs."""
    for _ in range(200):
        if words in shown(app):
            return
        await pilot.pause(0.02)
    raise AssertionError(shown(app))


@pytest.mark.parametrize("key", ["2", "3"])
async def test_painted_first_then_filled_in(key: str, office: FakeOffice, make_app: MakeApp) -> None:
    """The screen stands while the odds are looked at, says so, and then shows them."""
    app = make_app(office)
    async with app.run_test(size=(80, 60)) as pilot:
        await settled(pilot)
        office.odds_gate.clear()
        await pilot.press(key)
        await painted(pilot, app, "odds: looking …")
        assert "58 %" not in shown(app)
        office.odds_gate.set()
        await settled(pilot)
        assert "58 %" in shown(app)
        assert key == "2" or "over 99 %" in shown(app)
        assert "looking" not in shown(app)


async def test_left_alone_the_looking_stops(office: FakeOffice, make_app: MakeApp) -> None:
    """Leaving the screen ends it; an answer that comes all the same is not shown elsewhere."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        office.odds_gate.clear()
        await pilot.press("2")
        await painted(pilot, app, "odds: looking …")
        await pilot.press("4")
        (stop,) = office.stops
        assert stop is not None
        for _ in range(100):
            if stop():
                break
            await pilot.pause(0.02)
        assert stop()
        office.odds_gate.set()
        await settled(pilot)


async def test_odds_are_looked_at_once_while_nothing_changes(office: FakeOffice, make_app: MakeApp) -> None:
    """Week, Jobs and the pages share one answer; a tick makes it void."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2", "3", "enter")
        assert office.odds_asked == [None]
        assert "odds 58 %: likely done Fri 6 Mar, with 80 % by Mon 9 Mar" in shown(app)
        front(app).sheet.select(("task", 4))
        await press(pilot, "enter", "enter")  # the first brings it into view
        assert office.odds_asked == [None, 101]


async def test_work_that_is_not_ticked_has_no_odds_and_says_so(
    office: FakeOffice, make_app: MakeApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The list says none, the week and the page say why."""
    monkeypatch.setattr(fake_week, "LEFT_OUT", ())
    app = make_app(office)
    async with app.run_test(size=(80, 60)) as pilot:
        await press(pilot, "3")
        assert " none" in front(app).sheet.text
        await press(pilot, "2")
        assert "no odds: it has work that was planned to be done by now and is not ticked" in shown(app)
        app.open_job(107)
        await settled(pilot)
        assert "no odds: it has work that was planned to be done by now" in shown(app)


async def test_no_plan_no_odds(make_app: MakeApp) -> None:
    """Nothing is looked at in a week without a plan; the list of jobs says the office's sentence."""
    office = FakeOffice(planned=False)
    office.no_odds = "nothing is planned yet: `crewjobs plan` does it."
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        assert office.odds_asked == []
        await press(pilot, "3")
        assert "no odds: nothing is planned yet" in shown(app)


async def test_jobs_by_their_odds(office: FakeOffice, make_app: MakeApp) -> None:
    """The least likely first, those without any last."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "3", "o", "o")
        numbers = [target[1] for target in front(app).sheet.targets if target[0] == "job"]
        assert numbers[:2] == [101, 104]


async def test_the_day_that_holds_is_promised_and_can_be_taken_back(office: FakeOffice, make_app: MakeApp) -> None:
    """From a job's page by keys alone: the day for 90 %, then the same edit as amend, told, with undo at hand."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "c", "enter")
        dialog = app.screen
        assert isinstance(dialog, OddsDialog)
        assert "Tue 10 Mar is the first day that holds with 90 %" in " ".join(dialog.query_one("Sheet").text.split())  # type: ignore[attr-defined]
        assert promise_button(app).label.plain == "Promise it"
        await press(pilot, "tab", "tab", "tab", "enter")
        assert office.calls[-1] == ("edit", 101, 7, {"promised": "2026-03-10"})
        assert "Changed promised of job 101." in said(app)
        assert front(app).status.undoable


async def test_a_job_nobody_said_yes_to_is_booked_with_its_promise(office: FakeOffice, make_app: MakeApp) -> None:
    """The day was found as if it were booked: the button says so, and one change does both, so one undo takes both back."""
    office.job_rows = tuple(replace(row, state="quoted") if row.number == 101 else row for row in office.job_rows)
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "c", "enter")
        assert promise_button(app).label.plain == "Book and promise it"
        assert "promising that day books it too" in " ".join(app.screen.query_one("Sheet").text.split())  # type: ignore[attr-defined]
        await pilot.click(promise_button(app))
        await settled(pilot)
        assert office.calls == [("edit", 101, 7, {"state": "booked", "promised": "2026-03-10"})]
        assert front(app).status.undoable


async def test_enter_again_and_again_promises_nothing(office: FakeOffice, make_app: MakeApp) -> None:
    """What was found does not put the focus on the button that changes something, from the field or from Find."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "c", "enter", "enter", "enter")
        assert promise_button(app).display
        assert app.focused is app.screen.query_one(Input)
        await press(pilot, "tab", "tab", "enter", "enter", "enter")
        assert isinstance(app.focused, Button)
        assert app.focused.name == "find"
        assert office.calls == []


@pytest.mark.parametrize("size", [(80, 24), (40, 20)])
async def test_after_a_refusal_typing_goes_on_in_the_field(
    size: tuple[int, int], office: FakeOffice, make_app: MakeApp
) -> None:
    """The field is in sight with what was typed and the refusal below it, and takes the next keys; also after a find."""
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "3", "enter", "c", "enter", "backspace", "backspace", "4", "0", "enter")
        field = app.screen.query_one(Field)
        assert (field.value, app.focused) == ("40", field.query_one(Input))
        assert "odds of 40 %" in str(field.query_one(".note").render())
        for part in (field.query_one(Input), field.query_one(".note")):
            assert app.screen.query_one("#body").region.contains_region(part.region)
        assert not promise_button(app).display
        await press(pilot, "backspace", "backspace", "8", "0", "enter")
        assert not field.query_one(".note").display
        assert "holds with 80 %" in " ".join(app.screen.query_one("Sheet").text.split())  # type: ignore[attr-defined]
        assert promise_button(app).display


async def test_odds_that_are_none_are_refused_beside_the_field(office: FakeOffice, make_app: MakeApp) -> None:
    """Words and percentages out of range; what was typed stays and nothing is promised. By mouse."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "c")
        field = app.screen.query_one(Field)
        find = next(button for button in app.screen.query(Button) if button.name == "find")
        field.query_one(Input).value = "often"
        await pilot.click(find)
        await settled(pilot)
        assert "50 to 99" in str(field.query_one(".note").render())
        field.query_one(Input).value = "30"
        await pilot.click(find)
        await settled(pilot)
        assert "odds of 30 %" in str(field.query_one(".note").render())
        assert field.value == "30"
        assert not promise_button(app).display
        assert office.calls == []


async def test_odds_of_every_promise_from_the_week(office: FakeOffice, make_app: MakeApp) -> None:
    """With a day selected all promises are told, with what moves them; on a phone, too."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "2", "c")
        text = " ".join(app.screen.query_one("Sheet").text.split())  # type: ignore[attr-defined]
        assert "Ames Lane, main floor: holds with a chance of 58%" in text
        assert "how quick Birch is, known from 4 jobs" in text
        assert "Times are by each crew's own pace" in text


@pytest.mark.parametrize(
    ("width", "expected"),
    [
        (
            40,
            (
                " holds by the plan, odds under 1 %",
                " does not hold, odds under 1 %",
                " promised Fri 6 Mar, planned Thu 5 Mar",
            ),
        ),
        (80, (" holds by the plan, odds under 1 %: promised Fri 6 Mar, planned Thu 5 Mar",)),
    ],
)
def test_a_promise_keeps_room_for_its_days(width: int, expected: tuple[str, ...], office: FakeOffice) -> None:
    """In 40 columns word and odds stand on a line of their own; where odds are shown it is the plan that says it holds."""
    low = replace(fake_rates.odds(), rows=tuple(replace(row, chance=0.004, note="") for row in fake_rates.odds().rows))
    lines = ["".join(piece.text for piece in line).rstrip() for line in draw_week(office.week(), width, None, low)]
    assert max(len(line) for line in lines) <= width
    for start in expected:
        assert any(line.startswith(start) for line in lines), lines


def test_a_week_without_odds_says_holds_alone_and_names_low_odds_of_other_weeks(office: FakeOffice) -> None:
    """Without odds nothing is by the plan; with odds those of other weeks under 80 % are named, the others counted."""
    week = replace(office.week(), monday=date(2026, 3, 16))
    text = " ".join(piece.text for line in draw_week(week, 80, fake_rows.NOW) for piece in line)
    assert "2 promises for other weeks hold." in " ".join(text.split())
    text = " ".join(piece.text for line in draw_week(week, 80, fake_rows.NOW, fake_rates.odds()) for piece in line)
    assert "2 promises for other weeks hold by the plan; odds under 80 %: job 101 (58 %)." in " ".join(text.split())


def test_what_a_promise_holds_only_with_stands_beside_its_planned_end(office: FakeOffice) -> None:
    """With odds and without, wide and narrow; nothing is said of the others."""
    week = office.week()
    first, *others = week.promises
    week = replace(week, promises=(replace(first, only_if="only if it is settled"), *others))
    for width in (40, 80, 120):
        for odds in (None, fake_rates.odds()):
            lines = draw_week(week, width, fake_rows.NOW, odds)
            assert " ".join(piece.text for line in lines for piece in line).split().count("settled") == 1
