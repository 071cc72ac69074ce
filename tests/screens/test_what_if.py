"""What if: a list, a form, an answer that scrolls; the form stays as it was filled in."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from textual.widgets import Input, Select, Static

from crewjobs.domain.errors import Refused
from crewjobs.screens.answer import Answer
from crewjobs.screens.app import CrewApp
from crewjobs.screens.drawing import width_of
from crewjobs.screens.record.form import Form
from crewjobs.screens.what_if import draw_what_if, draw_when
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.answers.what_if_rows import WhatIfAsked
from tests.screens import fake_week
from tests.screens.conftest import front, press
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]


def shown(app: CrewApp) -> str:
    """What the answer says, on one line."""
    assert isinstance(app.screen, Answer)
    return " ".join(app.screen.query_one(Sheet).text.split())


def written(app: CrewApp, key: str) -> Input:
    """A line of the form in front."""
    assert isinstance(app.screen, Form)
    return app.screen.query_one(f"#field-{key}", Field).query_one(Input)


async def test_w_on_a_visit_knows_crew_and_day_and_shows_both_plans(office: FakeOffice, make_app: MakeApp) -> None:
    """The form of a day off is filled with the visit's crew and day; the answer closes back to it, as typed."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2")
        front(app).sheet.select(("visit", date(2026, 3, 3), 0))
        await press(pilot, "i", "enter")
        assert written(app, "day").value == "2026-03-03"
        crew = written(app, "who").value
        await pilot.click("Button")
        await press(pilot)
        assert office.calls == [("what if", WhatIfAsked(off=((crew, "2026-03-03"),)))]
        assert "breaks its promise of Fri 6 Mar" in shown(app)
        assert "without it ends Fri 6 Mar 15:00 with it Mon 9 Mar 11:15" in shown(app)
        await press(pilot, "escape")
        assert written(app, "who").value == crew
        await press(pilot, "escape")
        assert app.screen is front(app)


async def test_a_refusal_keeps_what_was_typed(office: FakeOffice, make_app: MakeApp) -> None:
    """A crew nobody has: one sentence below its field, and all fields stay."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2", "i", "enter")
        written(app, "who").value = "Willow"
        written(app, "day").value = "fri"
        await pilot.click("Button")
        await press(pilot)
        assert isinstance(app.screen, Form)
        assert "there is no crew 'willow'" in str(app.screen.query_one("#field-who .note", Static).content).lower()
        assert written(app, "who").value == "Willow"


async def test_when_is_asked_and_read_on_a_phone(office: FakeOffice, make_app: MakeApp) -> None:
    """At 40 columns and 20 lines the floor is typed, the answer scrolls, and no line is cut."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "2", "i", "end", "enter")
        written(app, "floor").value = "400 ft2 click vinyl"
        await pilot.click("Button")
        await press(pilot)
        assert office.calls == [("when", "400 ft2 click vinyl", 20, True, (), "", "")]
        sheet = app.screen.query_one(Sheet)
        assert max(len(line) for line in sheet.text.splitlines()) <= sheet.scrollable_content_region.width <= 38
        await press(pilot, "end")
        assert sheet.scroll_offset.y == sheet.max_scroll_y > 0
        assert "Without moving anything" in shown(app)


@pytest.mark.parametrize("width", [36, 60, 118])
def test_no_line_is_wider_than_the_panel(width: int) -> None:
    """At every width all that is said is there, in lines that fit."""
    what_if, when = fake_week.what_if(), fake_week.when()
    for lines, sentences in (
        (draw_what_if(what_if, width), (what_if.sentence, what_if.soon)),
        (
            draw_when(when, width),
            (
                when.soonest.sentence,
                when.soonest.others,
                *when.assumed,
                *(visit.words for visit in when.soonest.visits),
            ),
        ),
    ):
        assert max(width_of(line) for line in lines) <= width
        text = " ".join(" ".join("".join(piece.text for piece in line).strip() for line in lines).split())
        assert all(" ".join(sentence.split()) in text for sentence in sentences)


async def test_a_day_that_is_none_is_said_at_its_line(office: FakeOffice, make_app: MakeApp) -> None:
    """Beside the line that is left out, and the office is not asked."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "2", "i", "enter")
        written(app, "who").value = ""
        written(app, "day").value = "someday"
        await press(pilot, "ctrl+s")
        notes = [str(app.screen.query_one(f"#field-{key} .note", Static).content) for key in ("who", "day")]
        assert notes[0] == "Write a crew's name, or somebody's."
        assert "'someday' is not a day" in notes[1]
        assert not app.screen.query_one("#fault").display
        assert office.calls == []


REFUSED = {
    "day": (
        "job 1 is promised Fri 6 Mar already: suppose another day.",
        "job 8: promised for Fri 6 Mar 2026, before the wished start on Mon 23 Mar 2026.",
        "Ines Varga is out on Tue 3 Mar already.",
        "Birch does not work on Sat 7 Mar: nobody is off then.",
        "Fri 27 Feb has gone by: suppose a day to come.",
    ),
    "hours": (
        "Birch works on Fri 6 Mar anyhow: give hours to suppose others, such as 7:00-18:00.",
        "'8:05-12:00' do not start and end on a quarter hour.",
    ),
    "job": ("job 4 is booked already: only one asked or quoted can be booked.",),
    "what": ("job 4 has more than one: say pad or glue.",),
}


@pytest.mark.parametrize(("line", "sentence"), [(line, one) for line, those in REFUSED.items() for one in those])
async def test_what_is_refused_is_said_at_the_line_that_mends_it(
    office: FakeOffice, make_app: MakeApp, monkeypatch: pytest.MonkeyPatch, line: str, sentence: str
) -> None:
    """The field in hand is what is wrong; nothing stands below all of them."""

    def refuse(*_args: object, **_said: object) -> None:
        raise Refused(sentence)

    monkeypatch.setattr(office, "what_if", refuse)
    place = {"day": 4, "hours": 1, "job": 6, "what": 3}[line]  # promised, works, booked, comes later
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2", "i", *["down"] * place, "enter")
        for name, value in (("job", "1"), ("day", "fri")):
            if app.screen.query(f"#field-{name}"):
                written(app, name).value = value
        for pick in app.screen.query(Select):
            pick.value = "Birch"
        await press(pilot, "ctrl+s")
        assert sentence[1:] in str(app.screen.query_one(f"#field-{line} .note", Static).content)
        assert not app.screen.query_one("#fault").display
