"""On site: ticking by key and by tap, refusals and reasons, undo, at 40 columns."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest
from textual.containers import VerticalScroll
from textual.events import Key
from textual.widgets import Input, Static

from crewjobs.domain.errors import NotWritten, Refused
from crewjobs.screens.app import CrewApp
from crewjobs.screens.ask_text import AskWhen
from crewjobs.screens.choose import Choose
from crewjobs.screens.evening import EveningDialog
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.key_line import KeyLine
from crewjobs.screens.widgets.page_title import PageTitle
from crewjobs.screens.widgets.refusal import NO_REASON, Hint, Sentences
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.screens.widgets.site_day import EVENING, draw_day, next_task, none_left
from crewjobs.screens.words import day as day_words
from crewjobs.services.history import UndoNext
from crewjobs.services.jobs.written import WANTED
from crewjobs.services.rows import Done, SiteDay, SiteHouse, SiteTask, SiteUnticked
from tests.screens import fake_rows
from tests.screens.conftest import front, press, refused, said, settled, title_of
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]
PHONE = (40, 20)


async def test_tick_on_site_by_keyboard(office: FakeOffice, make_app: MakeApp) -> None:
    """4, Enter: the next task is ticked, the program says so, and the eye is led to the one after."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "enter")
        assert office.calls == [("tick", 101, (4,), "", "")]
        assert "Ticked screw down squeaks, scrape, dining." in said(app)
        assert app.screen.query_one(Sheet).selected == ("task", 101, 5)


async def test_tick_on_site_by_one_tap(office: FakeOffice, make_app: MakeApp) -> None:
    """One tap on a task, anywhere in its three lines, ticks it."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        sheet = front(app).sheet
        box = sheet.box(("task", 101, 5))
        assert box.bottom - box.top == 2
        await pilot.click(sheet, offset=(20, box.bottom - sheet.scroll_offset.y))
        await settled(pilot)
        assert office.calls == [("tick", 101, (5,), "", "")]


async def test_refused_tick_is_recorded_with_a_reason(office: FakeOffice, make_app: MakeApp) -> None:
    """A task on hold is refused with its sentence; a typed reason repeats the tick with it."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "right")
        front(app).sheet.select(("task", 101, 6))
        await press(pilot, "enter")
        assert "On hold until Mon 2 Mar 15:00" in refused(app)
        line, calls = front(app).refusal.query_one(Field), list(office.calls)
        await press(pilot, "enter")
        assert NO_REASON in str(line.query_one(".note", Static).render())
        assert office.calls == calls
        await press(pilot, "a", "backspace")
        assert not line.query_one(".note").display
        await press(pilot, *"dry early", "enter")
        assert office.calls[-1] == ("tick", 101, (6,), "", "dry early")
        assert refused(app) == ""
        assert "Ticked lay click rows, kitchen." in said(app)


async def test_reason_is_kept_when_refused_again(office: FakeOffice, make_app: MakeApp) -> None:
    """What was typed as a reason stays in its field while the office still says no."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "right")
        front(app).sheet.select(("task", 101, 6))
        await press(pilot, "enter", *"fan on")
        office.task_rows = tuple(replace(one, state="done") for one in office.task_rows)
        await press(pilot, "enter")
        assert "is ticked already" in refused(app)
        assert front(app).refusal.query_one(Input).value == "fan on"


async def test_a_reason_is_given_by_tap(office: FakeOffice, make_app: MakeApp) -> None:
    """The sentence below the reason records it, so that a thumb need not find Enter."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "right")
        front(app).sheet.select(("task", 101, 6))
        await press(pilot, "enter", *"fan on")
        await pilot.click(Hint, offset=(3, 0))
        await settled(pilot)
        assert office.calls[-1] == ("tick", 101, (6,), "", "fan on")


async def test_escape_closes_a_refusal_and_returns_to_the_list(office: FakeOffice, make_app: MakeApp) -> None:
    """After Esc the keys work on the list again and nothing was written."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "right")
        front(app).sheet.select(("task", 101, 6))
        await press(pilot, "enter", "escape")
        assert refused(app) == ""
        assert isinstance(app.focused, Sheet)
        assert office.log == []


async def test_whole_phase_at_once(office: FakeOffice, make_app: MakeApp) -> None:
    """P ticks all that is left of the phase of the section of the selected task, and no task of another day."""
    later = fake_rows.task(11, "subfloor prep", "dining", "Prime the patch")
    office.task_rows = (*office.task_rows, later)
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "P")
        assert isinstance(app.screen, Choose)
        assert app.screen.title_text() == "Tick 2 tasks of job 101 at once? subfloor prep, dining"
        await press(pilot, "enter")
        assert office.calls == []
        await press(pilot, "P", "down", "enter")
        assert office.calls == [("tick", 101, (4, 5), "", "")]


async def test_whole_phase_by_tap(office: FakeOffice, make_app: MakeApp) -> None:
    """The box beside a phase of a section does the same by tap."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        sheet = front(app).sheet
        box = sheet.box(("phase", 101, "subfloor prep", "dining"))
        await pilot.click(sheet, offset=(box.left + 2, box.top - sheet.scroll_offset.y))
        await settled(pilot)
        assert office.calls == []
        await press(pilot, "down", "enter")
        assert office.calls == [("tick", 101, (4, 5), "", "")]


async def test_after_a_tick_that_leaves_the_page_the_next_task_is_selected(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """The plan follows a tick, and the task is on the page no more: the cursor goes to the next task, never to "all"."""
    whole, group = office.site_day, ("house", "dining")

    def followed(crew: str, day: date | None = None) -> SiteDay:
        view = whole(crew, day)
        (house,) = view.houses
        left = [task for task in house.tasks if task.state != "done"]
        held, free = (replace(left[-1], number=n, phase=group[0], hold=hold) for n, hold in ((21, "not yet"), (22, "")))
        return replace(view, houses=(replace(house, tasks=(*left[:-1], held, free)),))

    office.site_day = followed  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        assert front(app).sheet.selected == ("task", 101, 4)
        await press(pilot, "enter")
        assert ("phase", 101, *group) in front(app).sheet.targets
        assert front(app).sheet.selected == ("task", 101, 22)


async def test_long_refusal_leaves_room_for_the_reason(office: FakeOffice, make_app: MakeApp) -> None:
    """However much the office has to say, at 40x20 the field for the reason is in sight."""
    office.task_rows = tuple(replace(one, hold=f"{one.hold} {'And one thing more. ' * 20}") for one in office.task_rows)
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "enter")
        field = front(app).refusal.query_one(Input)
        assert field.region.height == 1
        assert field.region.bottom <= 19


async def test_time_typed_goes_with_the_ticks(office: FakeOffice, make_app: MakeApp) -> None:
    """A time set with w is sent as typed, shown, and its refusal is shown as it is."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "w", *"noonish", "enter")
        assert "Ticks count from: noonish" in front(app).sheet.text
        await press(pilot, "enter")
        assert office.calls == [("tick", 101, (4,), "noonish", "")]
        assert "'noonish' is no time" in refused(app)


async def test_undo_takes_back_the_tick(office: FakeOffice, make_app: MakeApp) -> None:
    """u after a tick: the task is to do again and the program says what was undone."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4", "enter", "u")
        assert said(app).startswith("Undone: Ticked screw down squeaks")
        assert next(one for one in office.task_rows if one.number == 4).state == "to do"
        assert "[x]" not in front(app).sheet.text


async def test_tall_task_is_read_before_the_next(office: FakeOffice, make_app: MakeApp) -> None:
    """Down scrolls through a task that is taller than the screen before it goes on to the one below."""
    long = ("Weigh it up first, two people or a dolly. " * 12,)
    office.task_rows = tuple(replace(one, cautions=long) if one.number == 4 else one for one in office.task_rows)
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        sheet = front(app).sheet
        assert sheet.scroll_offset.y == 0
        await press(pilot, "down")
        assert sheet.selected == ("task", 101, 4)
        assert sheet.scroll_offset.y > 0
        await press(pilot, "down", "down")
        assert sheet.selected != ("task", 101, 4)


async def test_enter_before_the_day_is_read_is_answered(office: FakeOffice, make_app: MakeApp) -> None:
    """Nothing is ticked unseen, and the key is not swallowed without a word; drawn, it ticks."""
    gate, read = threading.Event(), office.site_day

    def slowly(crew: str, day: date | None = None) -> SiteDay:
        gate.wait(10)
        return read(crew, day)

    office.site_day = slowly  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await settled(pilot)
        await pilot.press("4")
        await pilot.pause(0.05)
        await pilot.press("enter")
        await pilot.pause(0.05)
        answered = said(app)
        gate.set()
        await settled(pilot)
        assert "press Enter again in a moment" in answered
        assert office.calls == []
        await press(pilot, "enter")
        assert office.calls[0][0] == "tick"


@pytest.mark.parametrize("size", [PHONE, (40, 34)])
@pytest.mark.parametrize("template", list(WANTED))
async def test_what_to_write_with_a_tick_is_in_sight(
    office: FakeOffice, make_app: MakeApp, template: str, size: tuple[int, int]
) -> None:
    """What is written and the example stand in the lines that are in sight, and Enter is not said to pass over anything."""
    wanted, tick = WANTED[template], office.tick

    def asks(job: int, tasks: Sequence[int], *, at: str = "", because: str = "") -> Done:
        if not because:
            title = "Laboratory answer in hand for every suspect layer"
            raise NotWritten(
                [f'Write as the reason {wanted.what}, such as "{wanted.such_as}": {title} is ticked only so.', "Rest."]
            )
        return tick(job, tasks, at=at, because=because)

    office.tick = asks  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "4", "enter")
        said_no = front(app).refusal.query_one(Sentences)
        room = front(app).refusal.query_one(VerticalScroll).size.height
        lines = ["".join(piece.text for piece in line) for line in said_no.draw(said_no.size.width)]
        assert wanted.such_as in " ".join(" ".join(lines[:room]).split())
        assert "with these words" in front(app).refusal.query_one(Hint).text
        assert "all the same" not in front(app).refusal.query_one(Hint).text
        await press(pilot, *"Lab", "enter")
        assert office.calls[-1][-1] == "Lab"


async def test_a_key_while_the_tick_is_written_is_answered(office: FakeOffice, make_app: MakeApp) -> None:
    """Struck again before it is written: it is not ticked twice, and that the second key did nothing is said."""
    gate, tick = threading.Event(), office.tick

    def slowly(job: int, tasks: Sequence[int], *, at: str = "", because: str = "") -> Done:
        gate.wait(10)
        return tick(job, tasks, at=at, because=because)

    office.tick = slowly  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        await pilot.press("enter")
        await pilot.pause(0.05)
        await pilot.press("enter")
        await pilot.pause(0.05)
        answered = said(app)
        gate.set()
        await settled(pilot)
        assert "that key did nothing more" in answered
        assert [call[:3] for call in office.calls] == [("tick", 101, (4,))]


async def test_u_while_the_tick_is_written_takes_that_back_without_asking(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """It is the tick made just now, though it was not told yet when u was struck."""
    app, gate, read, tick = make_app(office), threading.Event(), threading.Event(), office.tick

    def slowly(job: int, tasks: Sequence[int], *, at: str = "", because: str = "") -> Done:
        done = tick(job, tasks, at=at, because=because)
        read.set()
        gate.wait(10)
        return done

    office.tick = slowly  # type: ignore[method-assign]
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        await pilot.press("enter")
        assert read.wait(10)
        await pilot.press("u")
        await pilot.pause(0.1)
        gate.set()
        await settled(pilot)
        assert not isinstance(app.screen, Choose)
        assert [call[0] for call in office.calls] == ["tick", "undo"]


async def test_u_beside_what_changed_nothing_asks_first(office: FakeOffice, make_app: MakeApp) -> None:
    """A tick, then a search that found nothing or only proposed: no undo stands beside that, and u names the tick and asks."""
    nothing, proposed = Done(sentence="No better plan found.", change=0), Done(sentence="Proposed.", change=77, plan=6)
    for told in (nothing, proposed):
        app = make_app(office)
        async with app.run_test(size=(80, 24)) as pilot:
            await press(pilot, "4", "enter")
            assert front(app).status.undoable
            front(app).told(Outcome(value=told), looks=False)
            await settled(pilot)
            assert not front(app).status.undoable
            await press(pilot, "u")
            assert isinstance(app.screen, Choose)
            assert "Ticked" in app.screen.query_one(Sheet).text
            await press(pilot, "enter")
            assert ("undo",) not in office.calls


async def test_and_more_opens_all_that_was_said(office: FakeOffice, make_app: MakeApp) -> None:
    """On a phone an answer takes three lines at most; n, or a tap on "and more", opens all of it; the next move ends it."""
    app = make_app(office)
    long = Done(sentence="A long answer. " * 9, change=3, then=("And this.", "And that follows from it."))
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        front(app).told(Outcome(value=long), looks=False)
        await settled(pilot)
        status = front(app).status
        assert len(status.text.splitlines()) == 3
        await pilot.click(status, offset=(5, 2))
        await settled(pilot)
        assert "And that follows from it." in app.screen.query_one(Sheet).text
        await press(pilot, "escape", "j")
        assert status.text == ""
        await press(pilot, "n")
        assert "And this." in app.screen.query_one(Sheet).text


async def test_a_day_with_nothing_left_says_so_and_enter_takes_its_sheet_in(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """The last tick leads to what comes next: the list stands, done, and Enter there opens the evening as h does."""
    office.task_rows = [replace(one, state="done") if one.number == 4 else one for one in office.task_rows]
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "enter")
        sheet = front(app).sheet
        assert office.calls == [("tick", 101, (5,), "", "")]
        assert sheet.selected == EVENING
        assert "All is ticked: nothing of this day is left." in " ".join(sheet.text.split())
        assert [target for target in sheet.targets if target[0] == "task"] == [("task", 101, 4), ("task", 101, 5)]
        assert sheet.scroll_offset.y == 0
        assert front(app).query_one(KeyLine).text.startswith(" Enter evening ")
        await press(pilot, "down")
        assert front(app).query_one(KeyLine).text.startswith(" Enter untick ")
        await press(pilot, "up", "enter")
        assert isinstance(app.screen, EveningDialog)
        await press(pilot, "escape", "u")
        assert sheet.selected == ("task", 101, 5), "there is something left again"


async def test_an_answer_shows_as_much_of_its_reasons_as_there_is_room_for(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """A reason too long for the lines below is begun there, not hidden as one of several more."""
    app = make_app(office)
    told = Done(sentence="It has no day.", change=0, then=("Because of this and that. " * 8, "And a detail."))
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4")
        front(app).told(Outcome(value=told), looks=False)
        await settled(pilot)
        lines = front(app).status.text.splitlines()
        assert "Because of this" in lines[1]
        assert "Because of this" in lines[2]
        assert lines[3].strip() == "… and 1 more n all"


async def test_what_undo_asks_about_is_read_whole_on_a_phone(office: FakeOffice, make_app: MakeApp) -> None:
    """A long change by somebody else: all of it is in the dialog, before the answers."""
    what = "plan 7: " + ", ".join(f"job {number} planned" for number in range(1, 20)) + ", to Fri 6 Mar 15:30"
    at = datetime(2026, 3, 2, 6, 30)
    office.undo_next = lambda: UndoNext(number=9, at=at, who="Maeve", what=what, own=False, plan=True)  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "u")
        assert isinstance(app.screen, Choose)
        sheet = app.screen.query_one(Sheet)
        told = " ".join(sheet.text.split())
        assert f"{what[0].upper()}{what[1:]}." in told
        assert "Maeve did this, Mon 2 Mar 06:30." in told
        assert sheet.scroll_offset.y == 0
        await press(pilot, "down", "down")
        assert sheet.box("take").bottom < sheet.scroll_offset.y + sheet.size.height


async def test_ticks_struck_fast_each_land_on_what_is_shown_selected(office: FakeOffice, make_app: MakeApp) -> None:
    """Enter, again and again, while the plan follows and the day is read slowly: no task twice, none refused, in their order."""
    app = make_app(office)
    read, tick = office.site_day, office.tick

    def slow_read(crew: str, day: date | None = None) -> SiteDay:
        time.sleep(0.05)
        return read(crew, day)

    def slow_tick(job: int, tasks: Sequence[int], *, at: str = "", because: str = "") -> Done:
        time.sleep(0.05)
        return tick(job, tasks, at=at, because=because)

    office.site_day, office.tick = slow_read, slow_tick  # type: ignore[method-assign]
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        for _ in range(40):
            app.post_message(Key("enter", None))
            await asyncio.sleep(0.01)
            if front(app).sheet.selected == EVENING:
                break
        await settled(pilot)
        assert office.calls == [("tick", 101, (4,), "", ""), ("tick", 101, (5,), "", "")]
        assert refused(app) == ""
        assert front(app).sheet.selected == EVENING


async def test_a_tick_is_taken_back_from_its_row_after_asking(office: FakeOffice, make_app: MakeApp) -> None:
    """Enter on a ticked task asks; the answer that is first there leaves it, the other takes that very tick back."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "enter")
        front(app).sheet.select(("task", 101, 4))
        await press(pilot, "enter", "enter")
        assert [call[0] for call in office.calls] == ["tick"]
        await press(pilot, "enter", "down", "enter")
        assert office.calls[-1] == ("untick", 101, 4)
        assert "is not done after all" in said(app)


async def test_once_what_held_all_of_it_is_settled_the_hand_is_on_the_next_task(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """A finding had taken what was left out of the day; with its way on the hand does not stay on what is ticked."""
    seen, settled_now = office.site_day, False

    def site_day(crew: str, day: date | None = None) -> SiteDay:
        view = seen(crew, day)
        (house,) = view.houses
        done, left = house.tasks
        left = left if settled_now else replace(left, hold="not settled", taken="no place in the plan")
        return replace(view, houses=(replace(house, tasks=(replace(done, state="done"), left)),))

    office.site_day = site_day  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        front(app).sheet.select(("task", 101, 4))
        settled_now = True
        front(app).read_anew()
        await settled(pilot)
        assert front(app).sheet.selected == ("task", 101, 5)


async def test_the_arrows_stand_still_whichever_day_is_between_them(office: FakeOffice, make_app: MakeApp) -> None:
    """A thumb that goes on from day to day taps on one place."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        title = front(app).query_one("#whose", PageTitle)
        places = set()
        for _ in range(9):
            (line,) = title.draw(40)
            places.add(tuple("".join(piece.text for piece in line).index(arrow) for arrow in "‹›"))
            await press(pilot, "right_square_bracket")
        assert len(places) == 1


async def test_a_day_gone_by_asks_when_each_task_was_done(office: FakeOffice, make_app: MakeApp) -> None:
    """The end that the plan of that day had for it is proposed, its beginning for a start; another day is as ever."""
    office.now = lambda: fake_rows.NOW + timedelta(days=1)
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "enter")
        assert isinstance(app.screen, AskWhen)
        told = str(app.screen.query_one(".hint", Static).content)
        assert told.startswith("Screw down squeaks (dining). The plan had it then."), (
            "the dialog covers what it asks of"
        )
        await press(pilot, "escape")
        assert office.calls == []
        await press(pilot, "s")
        assert isinstance(app.screen, AskWhen)
        assert app.screen.query_one(Field).value == "2026-03-02 07:00"
        await press(pilot, "escape", "enter", "enter", "enter", "enter")
        assert [(call[2], call[3]) for call in office.calls] == [
            ((4,), "2026-03-02 09:00"),
            ((5,), "2026-03-02 10:00"),
        ]
        await press(pilot, "right_square_bracket", "enter")
        assert office.calls[-1][3] == ""


async def test_what_a_later_day_knew_open_is_not_asked_for_a_day_gone_by(office: FakeOffice, make_app: MakeApp) -> None:
    """No time of that day would be taken: that is said at once, for its tick and for how far it was; the next task is asked for as ever."""
    read, said_later = office.site_day, "Task 4 'Screw down squeaks' (dining): 50 % was said Tue 3 Mar 08:00"

    def later(crew: str, day: date | None = None) -> SiteDay:
        view = read(crew, day)
        houses = [
            replace(house, tasks=tuple(replace(t, not_yet=said_later if t.number == 4 else "") for t in house.tasks))
            for house in view.houses
        ]
        return replace(view, houses=tuple(houses))

    office.site_day = later  # type: ignore[method-assign]
    office.now = lambda: fake_rows.NOW + timedelta(days=1)
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        for key in ("enter", "f"):
            front(app).sheet.select(("task", 101, 4))
            await press(pilot, key)
            assert not isinstance(app.screen, AskWhen)
            assert said_later in said(app)
            assert "on the page of a later day" in said(app)
        assert office.calls == []
        front(app).sheet.select(("task", 101, 5))
        await press(pilot, "enter")
        assert isinstance(app.screen, AskWhen)


async def test_from_when_ticks_count_is_checked_before_it_is_taken(office: FakeOffice, make_app: MakeApp) -> None:
    """What is no moment is said below its field, and stays typed."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "w", *"banana", "enter")
        assert isinstance(app.screen, AskWhen)
        field = app.screen.query_one(Field)
        assert (field.value, str(field.query_one(".note", Static).content)) == ("banana", "'banana' is not a moment.")


async def test_what_is_left_of_days_before_is_seen_at_first_look(office: FakeOffice, make_app: MakeApp) -> None:
    """However far down the next task stands, a line above says since when and how much; a tap or v leads to that day, and v back."""
    read, days = office.site_day, list[date]()
    today, before = fake_rows.NOW.date(), fake_rows.NOW.date() - timedelta(days=3)

    def behind(crew: str, day: date | None = None) -> SiteDay:
        view = read(crew, day)
        days.append(view.day)
        left = SiteUnticked(tasks=29, since=before, own=before) if view.day >= today else None
        return replace(view, unticked=left)

    office.site_day = behind  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        line = app.screen.query_one("#unticked", PageTitle)
        assert line.text.split() == f"! Not ticked since {day_words(before)}: 29 v ›".split()
        await pilot.click(line, offset=(10, 0))
        await settled(pilot)
        assert (days[-1], line.display) == (before, False)
        await press(pilot, "v")
        assert (days[-1], line.display) == (today, True)
        await press(pilot, "v")
        assert days[-1] == before


async def test_nothing_left_of_days_before_is_said(office: FakeOffice, make_app: MakeApp) -> None:
    """No line stands above the day then, and v says so."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        assert not app.screen.query_one("#unticked", PageTitle).display
        await press(pilot, "v")
        assert "nothing is left to tick" in said(app)


def test_what_was_said_to_be_under_way_today_is_next() -> None:
    """Not what stands above it; held, it is not. A tick leads on to what stands behind, as ever."""
    noon = fake_rows.at(2, 12)
    first, second, third = (
        SiteTask(
            job=4, number=n, title=f"task no {n}", where="den", phase="install", quantity="", time="", hold="",
            cautions=(), state="under way" if n == 2 else "to do", at_it=n == 2,
        )
        for n in (1, 2, 3)
    )  # fmt: skip
    house = SiteHouse(job=4, title="Den", address="", arrive=noon, leave=noon, facts=(), tasks=(first, second, third))
    day = SiteDay(crew="Birch", day=noon.date(), houses=(house,))
    assert next_task(day) is second
    assert next_task(day, ("task", 4, 3)) is third
    held = replace(house, tasks=(first, replace(second, hold="a finding"), third))
    assert next_task(replace(day, houses=(held,))) is first


def test_a_section_whose_rest_is_moved_is_not_called_ticked() -> None:
    """Two of three tasks are another day's by now: neither its heading nor its key says that all is ticked."""
    noon = fake_rows.at(2, 12)
    rows = [
        SiteTask(
            job=4, number=n, title=f"task no {n}", where="den", phase="install", quantity="", time="", hold="",
            cautions=(), state="done" if n == 1 else "to do", moved="" if n == 1 else "moved to Fri 6 Mar",
        )
        for n in (1, 2, 3)
    ]  # fmt: skip
    house = SiteHouse(job=4, title="Den", address="", arrive=noon, leave=noon, facts=(), tasks=tuple(rows))
    day = SiteDay(crew="Birch", day=noon.date(), houses=(house,))
    shown = "\n".join("".join(piece.text for piece in line) for line in draw_day(day, 60))
    assert "[x] all" not in shown
    assert "1/3, rest moved" in shown
    assert "moved to Fri 6 Mar" in none_left(rows, 4, "install", "den")
    assert none_left(rows[:1], 4, "install", "den") == "All of it is ticked already."


def test_what_a_job_that_is_called_off_leaves_is_not_called_moved() -> None:
    """One task was ticked before: the rest is nobody's, no group of it can be ticked, and the sheet is what is left to do."""
    noon = fake_rows.at(2, 12)
    rows = [
        SiteTask(
            job=4, number=n, title=f"task no {n}", where="den", phase="install", quantity="", time="", hold="", cautions=(),
            state="done" if n == 1 else "to do", taken=n > 1, moved="" if n == 1 else "the job is called off",
            ended="called off",
        )
        for n in (1, 2, 3)
    ]  # fmt: skip

    def shown(*tasks: SiteTask) -> str:
        house = SiteHouse(job=4, title="Den", address="", arrive=noon, leave=noon, facts=(), tasks=tasks)
        day = SiteDay(crew="Birch", day=noon.date(), houses=(house,))
        assert next_task(day) is None
        return " ".join("".join(piece.text for piece in line) for line in draw_day(day, 84))

    assert "1 of 3 ticked, 2 of a job that is called off: nothing else is left." in shown(*rows)
    assert "1/3, job called off" in shown(*rows)
    assert "moved" not in shown(*rows)
    assert "what was found" not in shown(*rows), "its sheet takes hours alone"
    assert " called off  job 4" in shown(*rows[1:])
    assert none_left(rows, 4, "install", "den") == "What is not ticked of it stays so: the job is called off."


def test_a_day_whose_sheet_is_taken_in_does_not_ask_for_it() -> None:
    """The hours stand at the house; before that the sheet is what is to come."""
    noon = fake_rows.at(2, 12)
    task = SiteTask(
        job=4, number=1, title="rows", where="den", phase="install", quantity="", time="", hold="", cautions=(),
        state="under way", moved="moved to Fri 6 Mar",
    )  # fmt: skip
    house = SiteHouse(job=4, title="Den", address="", arrive=noon, leave=noon, facts=(), tasks=(task,))

    def shown(one: SiteHouse) -> str:
        day = SiteDay(crew="Birch", day=noon.date(), houses=(one,))
        return "\n".join("".join(piece.text for piece in line) for line in draw_day(day, 60))

    assert "h takes in its sheet" in shown(house)
    told = shown(replace(house, recorded="07:20–14:00, 3 people"))
    assert "h takes in its sheet" not in told
    assert "Its sheet is taken in" in told
    assert "Recorded: 07:20–14:00, 3 people." in told


async def test_no_key_and_no_tap_acts_on_a_day_that_was_turned_away_from(office: FakeOffice, make_app: MakeApp) -> None:
    """] and Enter, or a tap, before the next day is there: nothing of the day before is ticked, and that is said."""
    app = make_app(office)
    opened = threading.Event()
    opened.set()
    read = office.site_day

    def slow(*of: object) -> SiteDay:
        opened.wait(5)
        return read(*of)

    office.site_day = slow  # type: ignore[method-assign, assignment]
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        sheet = front(app).sheet
        box = sheet.box(("task", 101, 5))
        opened.clear()
        try:
            await pilot.press("right_square_bracket", "enter")
            await pilot.pause()
            assert "Reading …: press Enter again" in said(app)
            await pilot.click(sheet, offset=(20, box.bottom - sheet.scroll_offset.y))
            await pilot.pause()
            assert "it did nothing" in said(app)
            await pilot.press("s", "right_square_bracket")
        finally:
            opened.set()
        await settled(pilot)
        assert office.calls == []
        await press(pilot, "t", "enter")
        assert office.calls == [("tick", 101, (4,), "", "")]


async def test_a_crew_named_anew_is_known_by_its_name(
    office: FakeOffice, make_app: MakeApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An undo, or another program, gives a crew its old name: its day is read under it, and the list of crews has it."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "4")
        names = tuple(f"{name} Street" for name in office.crews())
        monkeypatch.setattr(office, "crews", lambda: names)
        office.version += 1
        for _ in range(2):  # by the second reading the names are known
            front(app).load()
            await settled(pilot)
        assert app.crews == names
        await press(pilot, "g")
        assert isinstance(app.screen, Choose)
        assert names[0] in app.screen.query_one(Sheet).text


async def test_nothing_acts_on_a_page_that_cannot_be_shown(
    office: FakeOffice, make_app: MakeApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plan taken back has no day: the one that was seen before is not left to be ticked."""
    app = make_app(office)

    def refused_day(_crew: str, _day: date | None = None) -> SiteDay:
        raise Refused("nothing is planned yet.")

    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "4")
        before = office.last_change()
        with monkeypatch.context() as patch:
            patch.setattr(office, "site_day", refused_day)
            front(app).load()
            await settled(pilot)
            assert "nothing is planned yet" in refused(app).casefold()
            assert front(app).sheet.text.strip() == ""
            await press(pilot, "enter", "s", "enter")
            assert office.last_change() == before
        await press(pilot, "escape")
        front(app).load()
        await settled(pilot)
        assert front(app).sheet.text.strip()
        await press(pilot, "enter")
        assert office.last_change() > before


class Renaming:
    """An office in which another program gives the crew that is looked at another name, or takes it out."""

    def __init__(self, office: FakeOffice) -> None:
        self.crews, self.number, self._seen = office.crews(), 1, office.site_day
        office.crews = lambda: self.crews  # type: ignore[method-assign]
        office.last_change = lambda: self.number  # type: ignore[method-assign]
        office.site_day = self.site_day  # type: ignore[method-assign]

    def site_day(self, crew: str, day: date | None = None) -> SiteDay:
        """Whoever is at the place of Cedar has its day; one that is not there is refused."""
        if crew not in self.crews:
            raise Refused(f"there is no crew '{crew}'.")
        return replace(self._seen("Birch", day), crew=crew)

    def name(self, *crews: str) -> None:
        """Have the shop have these crews, seen by whoever looks."""
        self.crews, self.number = crews, self.number + 1


@pytest.mark.parametrize("renamed", [(), ("Zeder",)])
async def test_no_other_crews_day_comes_into_the_place_of_one_that_is_no_more(
    renamed: tuple[str, ...], office: FakeOffice, make_app: MakeApp
) -> None:
    """Renamed or taken out, the page is empty and says so, nothing is ticked, until another crew is chosen."""
    shop = Renaming(office)
    first, other, *rest = shop.crews
    rest = [*renamed, *rest]
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4")
        front(app)._pick(other)  # type: ignore[attr-defined]
        await settled(pilot)
        shop.name(first, *rest)
        for _ in range(2):
            front(app).read_anew()
            await settled(pilot)
        await press(pilot, "escape", "enter", "P", "s")
        await press(pilot, "escape")
        assert office.calls == []
        assert f"There is no crew {other} any more" in front(app).sheet.text.replace("\n", " ")
        assert title_of(app).startswith(other)
        await press(pilot, "g", "enter")
        assert title_of(app).startswith(first)


async def test_screens_opened_again_show_no_other_crews_day_for_one_that_is_no_more(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """The crew whose day was left has another name, or is gone: whose day is shown is chosen anew."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        app.crew = "Xeder"
        await press(pilot, "4", "enter")
        assert "There is no crew Xeder any more" in front(app).sheet.text.replace("\n", " ")
        assert office.calls == []
