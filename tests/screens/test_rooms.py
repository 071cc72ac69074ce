"""Rooms: which job, the stages stepped through, all carries of one, stages found, furniture said in words."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from textual.widgets import Button, Input, Static

from crewjobs.domain.errors import Refused
from crewjobs.screens.answer import Answer
from crewjobs.screens.app import CrewApp
from crewjobs.screens.draft.form import DraftForm
from crewjobs.screens.drawing import width_of
from crewjobs.screens.record.form import Form
from crewjobs.screens.rooms import NO_STAGES
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.house_drawing import BESIDE, draw_rooms
from crewjobs.screens.widgets.key_line import KeyLine
from crewjobs.screens.widgets.page_title import PageTitle
from crewjobs.screens.widgets.planning_line import PlanningLine
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.moving.rooms_rows import RoomsView
from tests.screens.conftest import front, press, refused, said, settled
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]


def shown(app: CrewApp) -> str:
    """What the screen's sheet says, on one line."""
    return " ".join(front(app).sheet.text.split())


def title(app: CrewApp) -> str:
    """Which job."""
    return front(app).query_one(PageTitle).text


async def test_it_opens_with_the_first_furnished_job(office: FakeOffice, make_app: MakeApp) -> None:
    """Nothing looked at yet: the first job in the list that has furniture, not one that has none."""
    app = make_app(office)
    first, second = (row.number for row in office.jobs()[:2])
    office.bare = {first}
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "5")
        assert title(app).split()[0] == str(second)


async def test_a_job_that_is_no_more_gives_way(office: FakeOffice, make_app: MakeApp) -> None:
    """Where the job looked at last was taken back, Rooms opens as if none had been looked at."""
    app = make_app(office)
    app.job = 999
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5")
        assert title(app).split()[0] == "101"
        assert refused(app) == ""


async def test_it_opens_with_the_job_looked_at_last(office: FakeOffice, make_app: MakeApp) -> None:
    """After a job's page, Rooms shows that job; n, p and the list go to others, and 5 comes back to the last of them."""
    app = make_app(office)
    numbers = [row.number for row in office.jobs()]
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "3", "down", "enter")
        looked_at = app.job
        assert looked_at in numbers
        await press(pilot, "5")
        assert title(app).split()[0] == str(looked_at)
        after = numbers[(numbers.index(looked_at) + 1) % len(numbers)]
        await press(pilot, "right_square_bracket")
        assert title(app).split()[0] == str(after)
        await press(pilot, "left_square_bracket", "left_square_bracket", "right_square_bracket", "1", "5")
        assert title(app).split()[0] == str(looked_at)
        await press(pilot, "g", "home", "enter")
        assert title(app).split()[0] == str(numbers[0])


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 20)])
async def test_arrows_step_through_the_stages(size: tuple[int, int], office: FakeOffice, make_app: MakeApp) -> None:
    """Left and right go one stage on and back and stop at the ends; every letter that stands is in the drawing."""
    app = make_app(office)
    app.job = 101
    async with app.run_test(size=size) as pilot:
        await press(pilot, "5")
        assert "[•carry-in]" in shown(app)
        await press(pilot, "right", "right")
        assert "[move 2 of 3]" in shown(app)
        assert "6 carries: 36 min of labor, about 20 min by the clock with 2 people." in shown(app)
        assert {"A", "B", "C", "D", "E", "F", "G"} <= set(shown(app).replace("─", " ").split())
        await press(pilot, "left", "left", "left")
        assert "[•carry-in]" in shown(app)
        await press(pilot, *["right"] * 6)
        assert "[everything home]" in shown(app)


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 20)])
async def test_paging_reads_the_stage_and_goes_to_no_other(
    size: tuple[int, int], office: FakeOffice, make_app: MakeApp
) -> None:
    """PgDn and PgUp scroll what is drawn of the stage that was gone to; the carries are its own."""
    app = make_app(office)
    app.job = 101
    async with app.run_test(size=size) as pilot:
        await press(pilot, "5", "right", "right", "pagedown", "pagedown")
        assert "[move 2 of 3]" in shown(app)
        await press(pilot, "pageup")
        assert "[move 2 of 3]" in shown(app)
        await press(pilot, "right")
        assert "[move 3 of 3]" in shown(app)


async def test_without_stages_enter_says_how_they_are_found(office: FakeOffice, make_app: MakeApp) -> None:
    """As the arrows do."""
    app = make_app(office)
    app.job = 104
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "5", "enter")
        assert NO_STAGES in said(app)


async def test_enter_shows_all_carries_of_the_stage(office: FakeOffice, make_app: MakeApp) -> None:
    """All carries in their order with people, minutes and what is only set down; Esc goes back to the same stage."""
    app = make_app(office)
    app.job = 101
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "5", "right", "right", "enter")
        assert isinstance(app.screen, Answer)
        text = " ".join(app.screen.query_one(Sheet).text.split())
        assert "1 A sofa: garage → living, window half (set down), 2 people, 9 min" in text
        assert "6 G 14 cartons of harbor plank" in text
        await press(pilot, "escape")
        assert "[move 2 of 3]" in shown(app)


async def test_p_finds_the_stages(office: FakeOffice, make_app: MakeApp) -> None:
    """Without stages the screen says how to find them; p finds them, says what was found and shows the first."""
    app = make_app(office)
    app.job = 104
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5")
        assert "No furniture stages have been found for this job yet. p finds them" in shown(app)
        await press(pilot, "right")
        assert "p finds them" in said(app)
        await press(pilot, "p")
        assert office.calls[0] == ("moves", 104, False)
        assert "3 moves are found" in said(app)
        assert "[•carry-in]" in shown(app)
        await press(pilot, "p", "m")
        assert [call for call in office.calls if call[0] == "moves"][1:] == [
            ("moves", 104, True),
            ("moves", 104, False),
        ]


async def test_a_house_without_furniture_is_told_how_to_say_it(office: FakeOffice, make_app: MakeApp) -> None:
    """Nothing known of furniture: the screen names the key that says it, not the one that finds stages."""
    app = make_app(office)
    app.job = 107
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5")
        assert "Nothing is known of furniture in these rooms. e says what stands in a room." in shown(app)
        assert "m finds" not in shown(app)


async def test_esc_stops_finding_and_keeps_the_best(office: FakeOffice, make_app: MakeApp) -> None:
    """While stages are found the screen lives: the line says what is done, other keys work, Esc ends it."""
    office.gate.clear()
    app = make_app(office)
    app.job = 101
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5")
        await pilot.press("p")
        await pilot.pause(0.05)
        assert "furniture stages of job 101" in front(app).query_one(PlanningLine).text
        await pilot.press("right")
        await pilot.pause(0.05)
        assert "[move 1 of 3]" in shown(app)
        await pilot.press("escape")
        await settled(pilot)
        assert "the best so far" in said(app)
        assert not front(app).query_one(PlanningLine).display


async def test_no_way_through_is_a_sentence(office: FakeOffice, make_app: MakeApp) -> None:
    """A search that finds no way is refused in its own words, and the screen stays."""
    office.says_no = "No way through: 60 ft² more, for instance a container in the drive, makes it work."
    app = make_app(office)
    app.job = 104
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5", "p")
        assert office.says_no in refused(app)
        await press(pilot, "escape")
        assert "No furniture stages" in shown(app)


def fault(app: CrewApp) -> str:
    """What is said below the lines of the form in front."""
    return str(app.screen.query_one("#fault", Static).content)


async def test_f_takes_furniture_in_words(office: FakeOffice, make_app: MakeApp) -> None:
    """A room is picked and its furniture typed; refused, what was typed stays; undone with u as everything."""
    app = make_app(office)
    app.job = 101
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5", "e")
        assert isinstance(app.screen, Form)
        field = app.screen.query_one("#field-words", Field).query_one(Input)
        field.value = "2 elephant"
        await pilot.click("Button")
        await settled(pilot)
        assert isinstance(app.screen, Form)
        assert field.value == "2 elephant"
        assert "no furniture known here" in str(app.screen.query_one("#field-words .note", Static).content)
        known = next(one for one in app.screen.query(Button) if one.name == "known")
        await pilot.click(known)
        await settled(pilot)
        assert field.value == "2 elephant"  # what is typed is not written over unasked
        assert "Press What it has again to have in its place: Furniture: sofa of living." in fault(app)
        await pilot.click(known)
        await settled(pilot)
        assert field.value == "sofa of living"
        assert "This is what is said so far" in fault(app)
        await pilot.click(known)  # nobody typed it: nothing is asked
        await settled(pilot)
        assert "This is what is said so far" in fault(app)
        field.value = "usual living room, piano stays"
        await pilot.click("Button")
        await settled(pilot)
        assert ("furnish", 101, "living", "usual living room, piano stays") in office.calls
        assert "usual living room" in said(app)


async def test_keys_for_stages_are_in_the_key_line(office: FakeOffice, make_app: MakeApp) -> None:
    """The arrows are told before anything else; the rest is behind help where it has no room."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "5")
        line = front(app).query_one(KeyLine).text
        assert line.index("p find stages") < line.index("← stage before") < line.index("→ stage after")


@pytest.mark.parametrize("width", [38, 78, BESIDE, 118])
@pytest.mark.parametrize("job", [101, 104, 107])
def test_no_line_is_wider_than_the_sheet(width: int, job: int, office: FakeOffice) -> None:
    """At every width all lines fit, with stages, without, and without furniture."""
    view = office.rooms(job)
    for stage in range(max(len(view.stages), 1)):
        lines = draw_rooms(view, width, 20, ("stage", stage))
        assert max(width_of(line) for line in lines) <= width


async def test_without_a_job_its_keys_say_what_is_to_be_done(office: FakeOffice, make_app: MakeApp) -> None:
    """Each key that is about a job: none is without an answer."""
    office.jobs = lambda *_, **__: ()  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5")
        screen = front(app)
        for key in ("p", "enter", "space", "left", "right", "m", "e", "L", "[", "]", "g"):
            screen.status.say()
            await press(pilot, key)
            assert said(app) == "There is no job yet: + writes one.", key
            assert app.screen is screen


async def test_without_a_job_it_says_how_one_is_written_here(office: FakeOffice, make_app: MakeApp) -> None:
    """Not only by a command of the shell: + is at hand."""
    office.jobs = lambda *_, **__: ()  # type: ignore[method-assign]
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5")
        assert "No jobs yet: + writes one, in a form." in shown(app)
        await press(pilot, "plus")
        assert isinstance(app.screen, DraftForm)


async def test_a_job_taken_back_while_its_rooms_are_shown_is_told(office: FakeOffice, make_app: MakeApp) -> None:
    """Another house does not come in its place without a word."""
    app = make_app(office)
    rows, rooms = office.jobs(), office.rooms
    gone = rows[1].number
    app.job = gone

    def without(job: int) -> RoomsView:
        if job == gone:
            raise Refused(f"there is no job {gone}.")
        return rooms(job)

    async with app.run_test(size=(100, 30)) as pilot:
        await press(pilot, "5")
        assert title(app).split()[0] == str(gone)
        office.jobs = lambda *_, **__: tuple(row for row in rows if row.number != gone)  # type: ignore[method-assign]
        office.rooms = without  # type: ignore[method-assign]
        front(app).load()
        await settled(pilot)
        assert title(app).split()[0] != str(gone)
        assert f"There is no job {gone} any more: its rooms are closed." in said(app)


async def test_a_refusal_that_has_no_room_says_how_the_rest_is_read(office: FakeOffice, make_app: MakeApp) -> None:
    """Of what is longer than its panel the last sentence is behind n; a short one says nothing of that."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "5")
        front(app).refusal.say(("Short.",))
        await settled(pilot)
        assert "n shows the rest" not in refused(app)
        front(app).refusal.say(
            (*("It does not fit: one more thing is in the way. " * 3,) * 4, "A container is wanted.")
        )
        await settled(pilot)
        assert "n shows the rest" in refused(app)
        await press(pilot, "n")
        assert "A container is wanted." in app.screen.query_one(Sheet).text
