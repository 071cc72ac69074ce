"""The evening form on the screen: a whole sheet typed in its order, refused with all kept, at 40 columns."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from textual.widgets import Input, Static

from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.screens.app import CrewApp
from crewjobs.screens.dialog import KEEP_FIRST, NOT_WRITTEN
from crewjobs.screens.evening import EveningDialog
from crewjobs.screens.evening_steps import Step, pause_step, people_step, share_step, time_step, wait_step
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.widgets.drawn import Drawn
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.ticked_field import TickedField
from crewjobs.services.clock import FixedClock
from crewjobs.services.forms.kept_files import KeptForms
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database
from tests.builders import central
from tests.screens import fake_rows
from tests.screens.conftest import front, press, said, settled
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]
PHONE = (40, 20)


async def test_the_sheet_is_typed_in_its_order(office: FakeOffice, make_app: MakeApp) -> None:
    """e, then Enter from field to field: what is typed goes to the office whole, what is left away stays empty."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "h")
        assert isinstance(app.screen, EveningDialog)
        await press(
            pilot,
            "enter",
            *"15:40",
            "enter",
            "enter",
            "enter",
            "enter",
            "x",
            "enter",
            *"9/19",
            "enter",
            *"wet",
            "enter",
        )
        await press(pilot, "enter", "enter", "enter")
        house = HouseEntry(house=1, job=101, stop="15:40", tasks=((4, "x"), (5, "9/19")), found=("wet",))
        assert office.calls == [("evening", "Birch", fake_rows.MONDAY, EveningEntry(houses=(house,)))]
        assert "Evening of Birch." in said(app)


async def test_the_sheet_of_a_crew_that_was_renamed_meanwhile_is_that_crews(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """Typed while another program gave the crew another name, it is recorded all the same."""
    crews, number = office.crews(), 1
    office.crews = lambda: crews  # type: ignore[method-assign]
    office.last_change = lambda: number  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "4", "h", *"7:00")
        crews, number = ("Zeder", *crews[1:]), 2
        await press(pilot, "ctrl+s")
        assert office.calls[-1][:2] == ("evening", "Zeder")


@pytest.mark.parametrize("size", [PHONE, (120, 36)])
async def test_a_tap_ticks_a_task_and_takes_it_back(
    office: FakeOffice, make_app: MakeApp, size: tuple[int, int]
) -> None:
    """By mouse alone: three lines of a task are its target, a second tap takes the x back, and the sheet is sent."""
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "4", "h")
        form = app.screen
        first, second = form.query(TickedField).first(), form.query_one("#field-h1-task-5", TickedField)
        for field, place in ((first, (20, 1)), (second, (2, 2)), (second, (30, 1))):
            field.scroll_visible(animate=False)
            await settled(pilot)
            # The words stand right above the line, with a blank that belongs to them, too.
            assert field.region.height == 2 + field.query_one(Drawn).region.height
            await pilot.click(field, offset=place)
            await settled(pilot)
        assert (first.value, second.value) == ("x", "")
        assert "[x]" in "".join(str(one.text) for one in first.query(Drawn))
        await pilot.click("#buttons Button")
        await settled(pilot)
        house = HouseEntry(house=1, job=101, tasks=((4, "x"),))
        assert office.calls == [("evening", "Birch", fake_rows.MONDAY, EveningEntry(houses=(house,)))]


async def test_space_ticks_an_empty_task_and_stays_a_blank_in_a_text(office: FakeOffice, make_app: MakeApp) -> None:
    """Space puts and takes the x; in what is typed it is a blank, and a tap loses nothing that was typed."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "h")
        field = app.screen.query(TickedField).first()
        field.query_one(Input).focus()
        for keys, value in (
            (("space",), "x"),
            (("space",), ""),
            ((*"x", "space", *"because", "space", *"dry"), "x because dry"),
        ):
            await press(pilot, *keys)
            assert field.value == value
        for value in ("", "x because dry"):
            field.turn()
            assert field.value == value
        field.query_one(Input).value = "9/19 rows"
        for value, sign in (("x", "[x]"), ("9/19 rows", "[/]")):
            field.turn()
            await settled(pilot)
            assert field.value == value
            assert sign in field.query_one(Drawn).text


async def test_times_people_and_how_far_are_stepped_by_taps(office: FakeOffice, make_app: MakeApp) -> None:
    """− and + behind a line begin at what was planned; what is typed in other words stays."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "h")
        form = app.screen
        planned = office.evening_sheet("Birch").houses[0]
        hour, minute = (int(part) for part in planned.stop.split(":"))
        later = f"{(hour * 60 + minute + 15) // 60:02d}:{(minute + 15) % 60:02d}"
        for key, place, value in (("stop", 4, later), ("people", 1, "2"), ("pause", 4, "15"), ("wait", 4, "15 min")):
            field = form.query_one(f"#field-h1-{key}", Field)
            field.scroll_visible(animate=False)
            await settled(pilot)
            await pilot.click(field.query_one("_Steps"), offset=(place, 0))
            await settled(pilot)
            assert field.value == value, key
        task = next(one for one in form.query(TickedField) if one.query("_Steps"))
        task.scroll_visible(animate=False)
        await settled(pilot)
        for place, value in ((4, "10 %"), (4, "20 %"), (1, "10 %"), (1, "")):
            await pilot.click(task.query_one("_Steps"), offset=(place, 0))
            await settled(pilot)
            assert task.value == value


@pytest.mark.parametrize(
    ("step", "text", "way", "then"),
    [
        (time_step("07:00"), "", -1, "06:45"),
        (time_step("07:00"), "8 h", 1, "8.25 h"),
        (time_step("07:00"), "23:50", 1, "00:05"),
        (time_step("07:00"), "noon", 1, "noon"),
        (people_step(3), "1", -1, "1"),
        (people_step(3), "", 1, "3"),
        (pause_step(30), "", -1, "15"),
        (wait_step, "45 min truck", 1, "60 min truck"),
        (wait_step, "15", -1, ""),
        (share_step, "95 %", 1, "100 %"),
        (share_step, "9/19 rows", 1, "9/19 rows"),
        (share_step, "x", 1, "x"),
    ],
)
def test_a_step_of_a_line(step: Step, text: str, way: int, then: str) -> None:
    """A quarter of an hour, one person, a tenth; nothing below none, and what cannot be stepped stays."""
    assert step(text, way) == then


async def test_what_cannot_be_kept_is_said_once(office: FakeOffice, make_app: MakeApp, tmp_path: Path) -> None:
    """A folder that cannot be: one sentence, however often it is tried, and typing goes on where it was."""
    (tmp_path / "state").write_text("no folder")
    app = make_app(office)
    app.forms = KeptForms(tmp_path / "state" / "forms")
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "h", "7")
        form = app.screen
        assert isinstance(form, EveningDialog)
        focused = app.focused
        for _ in range(2):
            form._keep_later()
            await settled(pilot)
        assert [one.message[:34] for one in app._notifications] == ["What is typed here cannot be kept:"]
        assert app.focused is focused


async def test_what_was_typed_stays_when_the_office_says_no(office: FakeOffice, make_app: MakeApp) -> None:
    """Refused, the sentence stands at its line, which has the focus and is in sight, and every field holds what was typed."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "h", "enter", *"6:00", "enter", "enter", "enter", "enter", "x")
        form = app.screen
        assert isinstance(form, EveningDialog)
        form.pressed("save")
        await settled(pilot)
        assert app.screen is form
        stop = form.query_one("#field-h1-stop", Field)
        assert "before it started" in str(stop.query_one(".note").render())
        assert app.focused is stop.query_one(Input)
        assert form.query_one("#body").region.contains_region(stop.region)
        typed = {field.key: field.value for field in form.query(Field) if field.value}
        assert typed == {"h1-stop": "6:00", "h1-task-4": "x"}
        assert office.log == []


async def test_every_fault_stands_at_its_line(office: FakeOffice, make_app: MakeApp) -> None:
    """People, break, a task, a finding: each at its own line of its house; what is of no line stands below."""
    faults = {
        "House 1: people: 'x' is not how many people: write a whole number, such as 3.": "h1-people",
        "House 1: break: 'soon' is not a break: write its minutes, such as 30.": "h1-pause",
        "House 1: task 4: 'perhaps' is no answer: write x.": "h1-task-4",
        "House 1: Task 5 'Grind' (dining) is on hold: no air. If it was done all the same, give the reason.": "h1-task-5",
        "House 1: found: in 'hall': say what.": "h1-found-1",
    }
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "h")
        form = app.screen
        assert isinstance(form, EveningDialog)
        form.refused(Outcome(sentences=(*faults, "House 7: is not on the sheet of Birch.")))
        await settled(pilot)
        for key in faults.values():
            assert form.query_one(f"#field-{key}", Field).faulty
        assert "House 7" in str(form.query_one("#fault").render())
        assert "is on hold: no air" in str(form.query_one("#field-h1-task-5 .note").render())
        assert app.focused is form.query_one("#field-h1-people Input")


async def test_every_field_can_be_reached_and_is_seen_on_a_phone(office: FakeOffice, make_app: MakeApp) -> None:
    """At 40x20 each field that has the focus lies inside the form, with room to type a reason."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "h")
        form = app.screen
        fields = len(form.query(Input))
        for _ in range(fields):
            assert isinstance(app.focused, Input)
            assert app.focused.region.width >= 16
            assert form.query_one("#body").region.contains_region(app.focused.region)
            await press(pilot, "enter")
        assert not isinstance(app.focused, Input)


async def test_how_far_by_key(office: FakeOffice, make_app: MakeApp) -> None:
    """f asks how far the selected task is, sends it as typed and shows it on the day."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "f", *"9/19 rows", "enter")
        assert office.calls == [("how_far", 101, 4, "9/19 rows", "", "")]
        assert "9/19 rows" in front(app).sheet.text
        await press(pilot, "f")
        told = str(app.screen.query_one(".hint", Static).content)
        assert told == "Screw down squeaks (dining).", "the dialog covers what it asks of, and rows have no numbers"
        await press(pilot, *"20 of 19", "enter")
        field = app.screen.query_one("#field-text", Field)
        assert "there are 19" in str(field.query_one(".note", Static).render())
        assert field.value == "20 of 19"
        assert app.focused is field.query_one(Input)


async def test_a_crew_without_a_sheet_is_told_so(office: FakeOffice, make_app: MakeApp) -> None:
    """On a day without a visit no form opens."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "left", "h")
        assert not isinstance(app.screen, EveningDialog)
        assert "nothing was planned" in said(app)


@pytest.fixture
def evening_of_birch(demo_file: Path) -> Office:
    """The demo shop at 17:50 of its first day."""
    return Office(open_database(demo_file, create=False), FixedClock(central("2026-03-02", "17:50")), who="lead")


async def test_the_whole_sheet_of_the_demo_is_typed_back(evening_of_birch: Office, tmp_path: Path) -> None:
    """Birch's page of 2 March, line by line: hours, one how far, what did not wait for it done, a finding; all of it is kept."""
    sheet = evening_of_birch.evening_sheet("Birch")
    [house] = sheet.houses
    lines = [line for line in house.lines if line.state != "done"]
    under_way = next(line for line in lines if line.size and not line.wait)
    waiting = {line.task for line in lines if line.task == under_way.task or line.wait}
    with evening_of_birch._database.reading() as uow:
        links = uow.job(house.job).links
    shut: set[int] = set()
    while more := {link.after for link in links if link.before in waiting | shut} - shut:
        shut |= more
    app = CrewApp(lambda: evening_of_birch, tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "4", "h")
        for typed in ("7:10", "16:10", "3", "30", "20 truck"):
            await press(pilot, *typed, "enter")
        for line in lines:
            if line.task == under_way.task:
                await press(pilot, *"9/19 rows")
            elif line.task not in shut:
                await press(pilot, "x")
            await press(pilot, "enter")
        await press(pilot, *"wet at the door", "enter", "enter", "enter", "enter")
        assert not isinstance(app.screen, EveningDialog), app.screen.query_one("#fault").render()
    page = evening_of_birch.job(house.job)
    row = next(task for task in page.tasks if task.number == under_way.task)
    assert row.how_far == "rows 1–9 of 19"
    assert page.crew_hours == (
        "Mon 2 Mar Birch 07:10–16:10, 30 min of it break, 20 min of it waiting (truck), 3 people: 24.5 h of one person at work",
        "Fri 27 Feb Birch 14:30–15:30, 3 people: 3.0 h of one person",
    )
    assert page.findings[0].endswith("house: wet at the door (Birch)")
    assert page.findings[1].startswith("Check: Mold or wet wood")
    assert sum(phase.spent for phase in page.phases) + page.spent_rest == pytest.approx(24.5 + 3.0)


async def test_what_is_asked_while_the_palette_closes_is_seen(office: FakeOffice, make_app: MakeApp) -> None:
    """To go elsewhere by name asks in the sheet, beside its fields: its lines and the field in hand are in sight."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4", "h", *"0720", "ctrl+p", *"week", "enter")
        await settled(pilot)
        assert isinstance(app.screen, EveningDialog)
        asked = app.screen.query_one("#asked", Static)
        assert KEEP_FIRST in str(asked.content)
        assert app.screen.query_one("#frame").region.contains_region(asked.region)
        assert app.screen.query_one("#body").region.contains_region(app.focused.region)
        await press(pilot, "escape")  # the first one: it asks, and does not leave
        assert isinstance(app.screen, EveningDialog)
        assert NOT_WRITTEN in str(asked.content)
        await press(pilot, "escape")
        assert not isinstance(app.screen, EveningDialog)


@pytest.mark.parametrize("size", [PHONE, (80, 24)])
async def test_what_is_asked_hides_no_line_in_hand(
    office: FakeOffice, make_app: MakeApp, size: tuple[int, int]
) -> None:
    """It is asked above the buttons, on leaving: each line stays in sight with what was typed into it."""
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "4", "h")
        body = app.screen.query_one("#body")
        for line in app.screen.query(Input):
            await press(pilot, "2", "escape")
            assert app.focused is line
            assert app.screen.query_one("#asked").display
            assert body.region.contains_region(line.region)
            await press(pilot, "backspace", "tab")


async def test_of_a_job_that_ended_the_hours_alone_are_asked(
    office: FakeOffice, make_app: MakeApp, monkeypatch
) -> None:
    """What would be refused has no line; what can be entered is said above, and the times go to the office."""
    sheet = office.evening_sheet("Birch", fake_rows.MONDAY)
    over = replace(sheet.houses[0], over="job 101 is done, not booked: only hours are recorded on it.", lines=())
    monkeypatch.setattr(office, "evening_sheet", lambda *_: replace(sheet, houses=(over,)))
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "h")
        form = app.screen
        assert isinstance(form, EveningDialog)
        assert [field.key for field in form.query(Field)] == [
            f"h1-{key}" for key in ("start", "stop", "people", "pause", "wait")
        ]
        assert any("Job 101 is done" in str(words.content) for words in form.query(Static))
        await press(pilot, "enter", *"11:00", "ctrl+s")
        house = HouseEntry(house=1, job=101, stop="11:00")
        assert office.calls == [("evening", "Birch", fake_rows.MONDAY, EveningEntry(houses=(house,)))]


async def test_a_tap_on_a_label_goes_to_its_line(office: FakeOffice, make_app: MakeApp) -> None:
    """What is typed after it stands there, not in the line before."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "h")
        people = app.screen.query_one("#field-h1-people", Field)
        await pilot.click(people.query_one(".label"), offset=(1, 0))
        await press(pilot, "2")
        assert people.value == "2"
        assert app.screen.query_one("#field-h1-start", Field).value == ""
