"""Rates: one crew after the other, estimates against hours, what is to be asked; keyboard alone and mouse alone."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable

import pytest
from textual.widgets import Button, Input

from crewjobs.screens.app import CrewApp
from crewjobs.screens.job import JobScreen
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.headline import Headline
from crewjobs.screens.widgets.key_line import KeyLine
from crewjobs.screens.widgets.page_title import PageTitle
from crewjobs.screens.widgets.rate_table import draw_rates, rate_sentence
from tests.screens import fake_rates
from tests.screens.conftest import front, press, said, settled, tap
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]
SIZES = [(120, 36), (80, 24), (40, 20)]


def shown(app: CrewApp) -> str:
    """What the sheet in front shows, on one line."""
    return " ".join(front(app).sheet.text.split())


@pytest.mark.parametrize("size", SIZES)
async def test_a_rate_is_told_at_every_size(size: tuple[int, int], office: FakeOffice, make_app: MakeApp) -> None:
    """Title, book, own, band in figures and drawn, jobs behind; the selected one in a sentence; a pinned one says so."""
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "6")
        text = shown(app)
        for words in (
            "Lay floating planks",
            "320 ft²",
            "291",
            "242–349",
            "━",
            "◆",
            "┊",
            "pinned",
            "times the book's pace",
        ):
            assert words in text
        assert "4 jobs" in text or " 4 " in text
        assert all(len(line) <= size[0] for line in front(app).sheet.text.splitlines())


async def test_phases_stand_in_the_order_of_work(office: FakeOffice, make_app: MakeApp) -> None:
    """Demolition before prep before laying before trim, whatever has most jobs behind it."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "6")
        lines = [line.strip() for line in front(app).sheet.text.splitlines()]
        assert [line for line in lines if line in ("demolition", "subfloor prep", "install", "trim")] == [
            "demolition",
            "subfloor prep",
            "install",
            "trim",
        ]


async def test_crews_by_keys_and_by_mouse(office: FakeOffice, make_app: MakeApp) -> None:
    """Arrows go round, c and a tap on the name let one choose; a sub and a crew without hours have a sentence."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "6", "right")
        assert "Cedar has no hours" in shown(app)
        await press(pilot, "right")
        assert "capacity, not rates" in shown(app)
        await press(pilot, "right")
        assert "Lay floating planks" in shown(app)
        await press(pilot, "g", "down", "enter")
        assert "Cedar has no hours" in shown(app)
        await pilot.click(PageTitle, offset=(2, 0))
        await settled(pilot)
        await press(pilot, "up", "enter")
        assert "Lay floating planks" in shown(app)


async def test_rates_by_the_mouse_alone(office: FakeOffice, make_app: MakeApp) -> None:
    """The name in the headline opens the screen, a tap on estimates the other view, a second tap on a job its page."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await settled(pilot)
        headline = app.screen.query_one(Headline)
        await pilot.click(headline, offset=(headline.text.splitlines()[0].index("6 Rates") + 1, 0))
        await settled(pilot)
        title = app.screen.query_one(PageTitle)
        await pilot.click(title, offset=(title.text.index("estimates") + 1, 0))
        await settled(pilot)
        sheet = front(app).sheet
        assert ("job", 101) in sheet.targets
        await tap(pilot, sheet, ("job", 101))
        assert "Demolition took longer: about 8.2 h" in shown(app)
        await tap(pilot, sheet, ("job", 101))
        assert isinstance(front(app), JobScreen)
        await press(pilot, "escape", "v")
        assert "Lay floating planks" in shown(app)


@pytest.mark.parametrize("size", SIZES)
async def test_an_estimate_is_drawn_against_its_hours(
    size: tuple[int, int], office: FakeOffice, make_app: MakeApp
) -> None:
    """Two bars a phase on one scale, told apart by character and word, then the sentences, of the selected job."""
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "6", "v")
        text = shown(app)
        assert "estimated ░" in text
        assert "took █" in text
        assert "Subfloor prep took longer" in text
        assert "Demolition took longer: about 8.2 h" not in text
        await press(pilot, "down", "down", "down", "down")
        await press(pilot, "enter")
        if not isinstance(front(app), JobScreen):  # out of sight on a phone: the first Enter brings it into view
            await press(pilot, "enter")
        assert isinstance(front(app), JobScreen)


async def test_keys_of_a_crew_are_offered_only_where_one_is_shown(office: FakeOffice, make_app: MakeApp) -> None:
    """Estimates are of all crews: g, [ and ] are offered among the rates, and neither below nor in help beside them."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "6")
        keys = app.screen.query_one(KeyLine)
        assert "crew before" in keys.text
        await press(pilot, "v")
        assert "crew" not in keys.text
        assert not any(
            app.screen.active_bindings[key].enabled
            for key in ("g", "left_square_bracket")
            if key in app.screen.active_bindings
        )
        await press(pilot, "g")
        assert len(app.screen_stack) == 1
        await press(pilot, "v")
        assert "crew before" in keys.text


async def test_an_odd_record_leads_to_its_job(office: FakeOffice, make_app: MakeApp) -> None:
    """What is to be asked about opens the job it is of."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "6", "end")
        assert front(app).sheet.selected == ("ask", 0, 104)
        await press(pilot, "enter")
        screen = front(app)
        assert isinstance(screen, JobScreen)
        assert screen.number == 104


async def test_without_hours_both_views_say_what_brings_them(office: FakeOffice, make_app: MakeApp) -> None:
    """A sentence, no table and no key that fails."""
    office.no_hours = True
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "6")
        assert "the book's rates stand" in shown(app)
        await press(pilot, "right", "g", "enter", "v")
        assert "No job has hours yet" in shown(app)


async def test_a_rate_is_set_by_hand_and_taken_back(office: FakeOffice, make_app: MakeApp) -> None:
    """p asks for it, a rate that is none is refused beside what was typed, what was done is told and can be undone."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "6", "e")
        work = app.screen.query_one("#field-work", Field).value
        assert work == "Carpet, pad and tack strip out, cut small and carried to the truck"
        await press(pilot, *"fast", "enter")
        assert "is no rate" in str(app.screen.query_one("#field-rate .note").render())
        rate = app.screen.query_one("#field-rate", Field)
        assert rate.value == "fast"
        assert app.focused is rate.query_one(Input), "typing goes on where it was refused"
        rate.query_one(Input).value = "300"
        await press(pilot, "enter")
        assert office.calls[-1] == ("pin_rate", "Birch", "carpet-out", "300")
        assert "Birch: carpet-out is pinned." in said(app)
        assert front(app).status.undoable


async def test_a_pinned_rate_is_let_go_by_mouse(office: FakeOffice, make_app: MakeApp) -> None:
    """A second tap on it opens the dialog; one that is not pinned has no such button."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "6")
        target = ("rate", "Birch", "leveler")
        await tap(pilot, front(app).sheet, target)
        await tap(pilot, front(app).sheet, target)
        await pilot.click(next(button for button in app.screen.query(Button) if button.name == "unpin"))
        await settled(pilot)
        assert office.calls[-1] == ("unpin_rate", "Birch", "leveler")
        await press(pilot, "home", "enter")
        assert "unpin" not in [button.name for button in app.screen.query(Button)]


def test_a_rate_in_words_says_whether_the_band_holds_the_books() -> None:
    """By the same two decimals that are shown."""
    rate = fake_rates.rate_row("x", "install", "x", 100, 2.0, sure=1.2)
    assert (
        rate_sentence(rate)
        == "0.50 times the book's pace, with 80 % between 0.42 and 0.60; the book's lies outside the band."
    )
    assert "still holds" in rate_sentence(fake_rates.rate_row("x", "install", "x", 100, 1.1, sure=1.2))
    assert "Pinned by hand: at the book's pace" in rate_sentence(
        fake_rates.rate_row("x", "install", "x", 100, 1.0, sure=1.0, pinned=True)
    )


def test_all_crews_are_drawn_on_one_scale() -> None:
    """The book's mark stands in the same column for every rate."""
    lines = draw_rates(fake_rates.rates(), "Birch", 120, None)
    texts = ["".join(piece.text for piece in line) for line in lines]
    marks = {text.index("┊") for text in texts if "┊" in text and "book;" not in text}
    assert len(marks) == 1


def test_screens_with_hours_in_them_load_no_numbers_before_they_paint() -> None:
    """Importing Rates, Week, Jobs and a job's page brings in neither numpy nor scipy: the office does, in a thread."""
    code = (
        "import sys\n"
        "from crewjobs.screens import rates, week, jobs, job, odds_dialog\n"
        "print({'numpy', 'scipy', 'sqlalchemy'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"
