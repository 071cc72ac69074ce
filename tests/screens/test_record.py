"""Recording what happened by key: the list of what can be recorded, its forms, and what each tells the office."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pytest
from rich.cells import cell_len
from textual.pilot import Pilot
from textual.widgets import Button, Input, Select, Static

from crewjobs.domain.errors import Refused
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.files.catalogue import read_catalogue
from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.record.form import Blank, Box, Form, Pick, Press
from crewjobs.screens.widgets.choice import Choice
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.hinted import HintedInput, fitted
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.screens.widgets.yes_no import YesNo
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.places import PlacesView
from crewjobs.services.rows import Done, OfferRow
from tests import thorough
from tests.screens import fake_rows
from tests.screens.conftest import front, press, said, settled
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]
PHONE = (40, 20)
ENTRIES = (
    "ready",
    "dry run",
    "reading",
    "found",
    "way on",
    "away",
    "hours",
    "goes on",
    "ask",
    "answered",
    "told",
    "visit",
    "before",
    "after",
    "went back",
    "callback",
    "order",
    "money",
)
RIGHT = {
    **dict.fromkeys(("day", "on", "wished", "promised", "sampled"), "2026-03-05"),
    **dict.fromkeys(("at", "since"), "2026-03-02 06:00"),
    "until": "2026-03-05 07:00",
    "far": "50 %",
    "year": "1962",
    "values": "70F 40%",
}
"""What fits lines that take not everything."""
FILLED_WHOLE = {"reading": "belong to other readings"}
"""What forms say themselves of which not every line can be filled at once."""


async def choose(pilot: Pilot[None], app: CrewApp, entry: str) -> None:
    """Choose a line of the list in front."""
    assert isinstance(app.screen, Choose)
    app.screen.query_one(Sheet).select(entry)
    await press(pilot, "enter")


async def fill(pilot: Pilot[None], app: CrewApp, button: str, typed: Mapping[str, str | bool]) -> None:
    """Write, pick and tick, and press a button of the form in front."""
    for key, value in typed.items():
        if isinstance(value, bool):
            app.screen.query_one(f"#box-{key}", YesNo).value = value
        elif found := app.screen.query(f"#pick-{key}"):
            found.only_one(Select).value = value
        else:
            app.screen.query_one(f"#field-{key}", Field).query_one(Input).value = value
    form = app.screen
    assert isinstance(form, Form)
    form.pressed(button)
    await settled(pilot)


def told(app: CrewApp) -> str:
    """All that the form in front says, at its lines and below them."""
    shown = [note for note in app.screen.query(".note, #fault, #asked").results(Static) if note.display]
    return "\n".join(str(note.render()) for note in shown)


def _names(cases: Sequence[tuple[object, ...]]) -> str:
    return "-".join(str(case[0]) for case in cases)


CALLS = (
    (
        "ready",
        "all",
        {"asked": "Ilse Tamm", "since": "mon 8:00"},
        ("ready", 101, {"asked": "Ilse Tamm", "answers": Answers(ready=tuple(ReadyItem), since="mon 8:00")}),
    ),
    (
        "ready",
        "save",
        {"air": True, "missing": "paint", "until": "thu 7:00", "by": "Ilse Tamm"},
        (
            "ready",
            101,
            {
                "answers": Answers(
                    ready=(ReadyItem.AIR,), not_ready=(ReadyItem.PAINT,), by="Ilse Tamm", until="thu 7:00"
                )
            },
        ),
    ),
    ("ready", "save", {"asked": "Ilse Tamm"}, ("ready", 101, {"asked": "Ilse Tamm"})),
    (
        "dry run",
        "save",
        {"crew": "Birch", "because": "wet paint", "until": "thu 7:00"},
        ("dry_run", 101, "Birch", "wet paint", {"until": "thu 7:00"}),
    ),
    (
        "away",
        "save",
        {"who": "Nadia", "day": "2026-03-05", "to": "Cedar", "because": "sick", "again": True},
        ("away", "Nadia", fake_rows.MONDAY.replace(day=5), {"to": "Cedar", "because": "sick", "again": True}),
    ),
    ("away", "back", {"who": "Nadia", "day": "2026-03-05"}, ("back", "Nadia", fake_rows.MONDAY.replace(day=5))),
    (
        "hours",
        "save",
        {"crew": "Birch", "day": "2026-03-07", "hours": "8:00-12:00", "because": "stock"},
        ("hours", "Birch", fake_rows.MONDAY.replace(day=7), "8:00-12:00", {"because": "stock"}),
    ),
    (
        "hours",
        "off",
        {"crew": "Cedar", "day": "2026-03-06"},
        ("hours", "Cedar", fake_rows.MONDAY.replace(day=6), "off"),
    ),
    (
        "hours",
        "usual",
        {"crew": "Cedar", "day": "2026-03-06"},
        ("usual_hours", "Cedar", fake_rows.MONDAY.replace(day=6)),
    ),
    (
        "ask",
        "save",
        {"who": "plumber", "what": "gas capped", "promised": "thu 12:00", "holds": "#4, 5"},
        ("ask", 101, "plumber", "gas capped", {"promised": "thu 12:00", "holds": [4, 5]}),
    ),
    (
        "goes on",
        "save",
        {"task": "4", "far": "50 %", "crew": "Birch", "because": "the inspector stood by"},
        ("how_far", 101, 4, "50 %", "", "the inspector stood by", "Birch"),
    ),
    ("answered", "came", {"who": "plumber", "at": "9:00"}, ("came", 101, "plumber", {"at": "9:00"})),
    ("answered", "promised", {"who": "painter", "until": "fri 8:00"}, ("promised", 101, "painter", "fri 8:00")),
    ("answered", "chased", {"who": "laboratory", "what": "sample"}, ("chased", 101, "laboratory", {"what": "sample"})),
    (
        "found",
        "save",
        {"place": "kitchen", "kind": "mold", "area": "4 ft2", "photos": "a.jpg; b.jpg", "by": "Ines"},
        ("found", 101, "kitchen", "mold", {"photos": ["a.jpg", "b.jpg"], "area": "4 ft2", "by": "Ines"}),
    ),
    (
        "found",
        "save",
        {"place": "kitchen", "kind": "further layer", "year": "1985"},
        ("found", 101, "kitchen", "further layer", {"year": 1985}),
    ),
    (
        "way on",
        "save",
        {
            "way": "1",
            "laboratory": "Bay",
            "sampled": "2026-03-04",
            "sample": "K-1",
        },
        (
            "way_on",
            101,
            "kitchen",
            "suspect asbestos",
            "proven clear",
            {"laboratory": "Bay", "sampled": "2026-03-04", "sample": "K-1"},
        ),
    ),
    ("told", "save", {"day": "fri"}, ("told", 101, "fri")),
    (
        "visit",
        "save",
        {"kind": "reading", "at": "thu 9:00", "minutes": "30", "leaves": True},
        ("plan_visit", 101, "reading", {"at": "thu 9:00", "minutes": 30, "leaves_crew": True}),
    ),
    ("visit", "made", {"kind": "site check"}, ("visit_done", 101, "site check", {"minutes": 60})),
    ("visit", "off", {"kind": "callback", "at": "thu 9:00"}, ("visit_off", 101, "callback", {"at": "thu 9:00"})),
    (
        "before",
        "save",
        {"name": "Ilse Tamm", "color": "light", "damage1": "hall: scratch", "photo1": "a.jpg", "damage3": "sill"},
        (
            "walk_before",
            101,
            "Ilse Tamm",
            {"color": "light", "damage": [("hall: scratch", "a.jpg"), ("sill", "")]},
        ),
    ),
    (
        "after",
        "save",
        {"name": "Ilse Tamm", "punch2": "base by the door", "carton": True},
        ("walk_after", 101, "Ilse Tamm", {"punch": ["base by the door"], "carton_left": True}),
    ),
    (
        "reading",
        "save",
        {"values": "70F, 40%", "room": "den"},
        ("read_air", 101, ("70F", "40%"), {"room": "den"}),
    ),
    (
        "reading",
        "save",
        {"kind": "boards", "values": "8.1 8.3", "by": "Ines Varga"},
        ("read_floor", 101, "boards", ("8.1", "8.3"), {"by": "Ines Varga"}),
    ),
    (
        "reading",
        "save",
        {"file": "den.csv", "room": "den"},
        ("read_logger", 101, Path("den.csv"), {"room": "den"}),
    ),
    (
        "went back",
        "save",
        {"what": "oak plank", "count": "3", "at": "fri 15:00"},
        ("returned", 101, "oak plank", 3, {"at": "fri 15:00"}),
    ),
    (
        "callback",
        "save",
        {"what": "swap the board", "where": "hall", "hours": "1.5", "people": "2", "wished": "fri"},
        ("callback", 101, "swap the board", {"where": "hall", "hours": "1.5", "people": 2, "wished": "fri"}),
    ),
    (
        "order",
        "asked",
        {"what": "stairs too", "amount": "900"},
        ("agreed", 101, "stairs too", "900", {"only_asked": True}),
    ),
    (
        "order",
        "agreed",
        {"what": "stairs too", "by": "Ilse Tamm"},
        ("agreed", 101, "stairs too", "", {"by": "Ilse Tamm"}),
    ),
    ("money", "save", {"fact": "asked", "amount": "1,250.00"}, ("money", 101, "asked", "1,250.00")),
)


@pytest.mark.parametrize("calls", thorough.in_fours(thorough.of(CALLS, CALLS[::2])), ids=_names)
async def test_what_is_typed_reaches_the_office(
    office: FakeOffice, make_app: MakeApp, calls: Sequence[tuple[str, str, Mapping[str, str | bool], tuple[object]]]
) -> None:
    """From a job's page: the form of the entry hands on what was typed and says what was recorded; undo is offered."""
    app = make_app(office)
    async with app.run_test(size=(100, 50)) as pilot:
        await press(pilot, "3", "enter")
        for entry, button, typed, call in calls:
            office.calls.clear()
            await press(pilot, "r")
            await choose(pilot, app, entry)
            await fill(pilot, app, button, typed)
            assert office.calls == [call]
            assert "is recorded." in said(app)
            await press(pilot, "u")
            assert office.calls[-1] == ("undo",)


@pytest.mark.parametrize("entries", thorough.in_fours(thorough.of(ENTRIES, ENTRIES[1::3])), ids="-".join)
async def test_refused_all_stays_as_typed(office: FakeOffice, make_app: MakeApp, entries: Sequence[str]) -> None:
    """The sentence stands in the form, every line keeps its words, and nothing is recorded."""
    office.says_no = "the moment has not come."
    app = make_app(office)
    async with app.run_test(size=(100, 50)) as pilot:
        await press(pilot, "3", "enter")
        for entry in entries:
            await press(pilot, "r")
            await choose(pilot, app, entry)
            form = app.screen
            assert isinstance(form, Form)
            lines = list(form.query(Field))
            for field in lines:
                field.query_one(Input).value = RIGHT.get(field.key, "12")
            for pick in form.query(Select):
                pick.value = next(value for _, value in pick._options if isinstance(value, str))
            form.pressed({"ready": "all", "answered": "came", "order": "agreed"}.get(entry, "save"))
            await settled(pilot)
            assert app.screen is form
            why = FILLED_WHOLE.get(entry, "the moment has not come")
            assert why in str(form.query_one("#fault", Static).render())
            assert all(field.value == RIGHT.get(field.key, "12") for field in lines)
            assert office.log == []
            await press(pilot, "escape", "escape")


@pytest.mark.parametrize("entries", thorough.in_fours(thorough.of(ENTRIES, ENTRIES[::3])), ids="-".join)
async def test_every_form_is_filled_on_a_phone(office: FakeOffice, make_app: MakeApp, entries: Sequence[str]) -> None:
    """At 40x20 whatever has the focus lies inside the form, and the buttons are in sight."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "3", "enter")
        for entry in entries:
            await press(pilot, "r")
            await choose(pilot, app, entry)
            form = app.screen
            body, buttons = form.query_one("#body"), form.query_one("#buttons")
            assert form.region.contains_region(buttons.region)
            assert all(form.region.contains_region(one.region) for one in form.query(Button))
            for _ in range(len(form.query(Input)) + len(form.query(YesNo)) + len(form.query(Select))):
                assert app.focused is not None
                assert body.region.contains_region(app.focused.region)
                await press(pilot, "tab")
            await press(pilot, "escape")


async def test_on_site_knows_the_crew_the_house_and_the_day(office: FakeOffice, make_app: MakeApp) -> None:
    """A dry run from On site needs no more than the reason; who is away is asked of the day that is shown."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "right", "r")
        await choose(pilot, app, "dry run")
        await fill(pilot, app, "save", {"because": "wet paint"})
        assert office.calls == [("dry_run", 101, "Birch", "wet paint")]
        await press(pilot, "r")
        await choose(pilot, app, "away")
        assert app.screen.query_one("#field-day", Field).value == "2026-03-03"


async def test_a_reading_may_be_of_no_room_though_a_room_is_under_the_hand(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """What the form offers can be picked: none stands in its list, whatever it begins with."""
    app = make_app(office)
    async with app.run_test(size=(100, 50)) as pilot:
        await press(pilot, "4", "r")
        await choose(pilot, app, "reading")
        room = app.screen.query_one("#pick-room", Select)
        assert room.value, "the room under the hand"
        await fill(pilot, app, "save", {"values": "70F 40%", "room": ""})
        assert [call for call in office.calls if call[0] == "read_air"] == [("read_air", 101, ("70F", "40%"), {})]


async def test_without_a_house_only_people_and_offers(office: FakeOffice, make_app: MakeApp) -> None:
    """Where nothing is selected that has a job, what is asked of a job is not offered."""
    office.wait_rows = ()
    app = make_app(office)
    async with app.run_test(size=(100, 40)) as pilot:
        await press(pilot, "r")
        assert isinstance(app.screen, Choose)
        assert [value for value, _ in app.screen._options] == ["away", "hours", "offers", "figure"]


async def test_all_that_follows_is_read(office: FakeOffice, make_app: MakeApp) -> None:
    """More than one sentence that follows stands whole in its own sheet on the smallest screen; Esc closes it."""
    office.follows = tuple(f"Ready for Birch: job {n} Ames kitchen, lay rows, 07:45-11:00." for n in range(1, 5))
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "r")
        await choose(pilot, app, "dry run")
        await fill(pilot, app, "save", {"because": "wet paint"})
        shown = [str(one.render()) for one in app.screen.query(".follows").results(Static)]
        assert shown == list(office.follows)
        await press(pilot, "escape")
        assert app.screen is front(app)


async def test_an_offer_is_pinned(office: FakeOffice, make_app: MakeApp) -> None:
    """What a crew could do now is listed best first with its hours; Enter asks whether it is pinned to the crew that day."""
    office.offer_rows = (
        OfferRow(
            crew="Birch",
            job=101,
            title="Ames kitchen",
            tasks=(4,),
            what="lay rows",
            hours=6.0,
            people=2,
            arrive=fake_rows.at(2, 7, 45),
            leave=fake_rows.at(2, 11, 0),
            fetch=(),
            why="1 block to its end",
        ),
    )
    app = make_app(office)
    async with app.run_test(size=(100, 40)) as pilot:
        await press(pilot, "4", "r")
        await choose(pilot, app, "offers")
        assert office.calls == [("offers", "Birch", 101)]
        assert "07:45-11:00 job 101, Ames kitchen: lay rows" in " ".join(app.screen.query_one(Sheet).text.split())
        await press(pilot, "enter")
        await fill(pilot, app, "save", {})
        assert office.calls[-1] == ("pin", 101, (4,), "Birch", fake_rows.MONDAY, True)
        assert "Pinned task 4 of job 101 to Birch" in said(app)


async def test_the_first_free_time_is_written_into_the_form(office: FakeOffice, make_app: MakeApp) -> None:
    """A proposal is said and filled in; nothing is recorded before it is planned."""
    app = make_app(office)
    async with app.run_test(size=(100, 40)) as pilot:
        await press(pilot, "3", "enter", "r")
        await choose(pilot, app, "visit")
        await fill(pilot, app, "propose", {"kind": "reading"})
        form = app.screen
        assert form.query_one("#field-at", Field).value == "2026-03-04 09:15"
        assert form.query_one("#field-who", Field).value == "Nadia Reyes"
        assert "free for a reading" in str(form.query_one("#fault", Static).render())
        assert office.log == []


SAID = (
    ("visit", {"kind": "reading", "minutes": "an hour"}, "is not a whole number"),
    ("callback", {"what": "swap", "people": "two"}, "is not a whole number"),
    ("went back", {"count": "9" * 5000}, "write a whole number"),  # more digits than Python reads
    ("ask", {"who": "plumber", "holds": "9" * 5000}, "write the tasks' numbers"),
    ("ask", {"who": "plumber", "holds": "the toilet"}, "write the tasks' numbers"),
    ("found", {"place": "den", "kind": "mold", "year": "long ago"}, "write the year a layer went in"),
    ("reading", {"kind": "boards", "values": "8.1", "file": "den.csv"}, "holds the air"),
    ("reading", {"values": "70 40", "hours": "72"}, "belong to other readings"),
    ("reading", {"values": "70 40", "file": "den.csv"}, "says what was read and when"),
    ("before", {"name": "Ilse Tamm", "photo2": "a.jpg"}, "photo 2 belongs to a damage"),
)


@pytest.mark.parametrize("cases", thorough.in_fours(SAID), ids=_names)
async def test_what_is_no_number_or_belongs_to_nothing_is_said(
    office: FakeOffice, make_app: MakeApp, cases: Sequence[tuple[str, Mapping[str, str | bool], str]]
) -> None:
    """The office is not asked; the sentence says what would be right."""
    app = make_app(office)
    async with app.run_test(size=(100, 50)) as pilot:
        await press(pilot, "3", "enter")
        for entry, typed, words in cases:
            await press(pilot, "r")
            await choose(pilot, app, entry)
            await fill(pilot, app, "save", typed)
            assert words in told(app)
            assert office.calls == []
            await press(pilot, "escape", "escape")


@pytest.mark.parametrize("size", [(80, 24), PHONE])
async def test_every_entry_of_the_list_is_seen_when_it_is_selected(
    office: FakeOffice, make_app: MakeApp, size: tuple[int, int]
) -> None:
    """Walking down the list by keys, the selected entry lies inside the list, to the last one, and Enter opens it."""
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "3", "enter", "r")
        dialog = app.screen
        assert isinstance(dialog, Choose)
        sheet = dialog.query_one(Sheet)
        for value, _ in dialog._options:
            assert sheet.selected == value
            box, top = sheet.box(value), sheet.scroll_offset.y
            assert top <= box.top
            assert box.bottom < top + sheet.scrollable_content_region.height
            assert dialog.query_one("#body").region.contains_region(sheet.region)
            await pilot.press("down")
            await pilot.pause()


async def test_of_a_job_called_off_it_says_who_counts_as_told_and_asks_no_day(
    office: FakeOffice, make_app: MakeApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is recorded is another thing than the finish: the form says of whom, and has no line to write a day in."""
    monkeypatch.setattr(office, "to_tell_off", lambda _number: ("Ingrid Ames", "the plumber"))
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "3", "enter", "r")
        await choose(pilot, app, "told")
        assert isinstance(app.screen, Form)
        assert app.screen.title_text() == "Everybody told, job 101"
        assert not app.screen.query(Field)
        notes = " ".join(str(note.render()) for note in app.screen.query(Static))
        assert "records everybody as told: Ingrid Ames and the plumber." in notes
        await press(pilot, "ctrl+s")
        assert office.calls == [("told", 101, {"off": True})]


async def test_of_a_job_called_off_of_which_everybody_is_told_no_form_opens(
    office: FakeOffice, make_app: MakeApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Why not is said on the screen."""

    def nobody(_number: int) -> None:
        raise Refused("job 101 is called off, and nobody is to be told of it any more.")

    monkeypatch.setattr(office, "to_tell_off", nobody)
    app = make_app(office)
    async with app.run_test(size=(100, 50)) as pilot:
        await press(pilot, "3", "enter", "r")
        await choose(pilot, app, "told")
        assert not isinstance(app.screen, Form)
        assert "nobody is to be told of it any more" in said(app)


async def test_what_must_be_picked_is_asked_for(office: FakeOffice, make_app: MakeApp) -> None:
    """A dry run without its crew is not sent to the office: the form says what to pick and goes there."""
    app = make_app(office)
    async with app.run_test(size=(100, 50)) as pilot:
        await press(pilot, "3", "enter", "r")
        await choose(pilot, app, "dry run")
        await fill(pilot, app, "save", {"because": "wet paint"})
        assert told(app) == "Pick one: crew sent there."
        assert app.focused is app.screen.query_one("#pick-crew")
        assert office.calls == []
        pick = app.screen.query_one("#pick-crew", Select)
        pick.value = next(value for _, value in pick._options if isinstance(value, str))
        await settled(pilot)
        assert told(app) == "", "what was asked for is put right: nothing is asked for any more"


async def test_what_esc_asks_is_in_sight_at_once(office: FakeOffice, make_app: MakeApp) -> None:
    """On a phone, with something typed far up: the sentence that says nothing is written is seen, not only there."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "4", "F")
        app.screen.query_one("#field-area", Field).query_one(Input).value = "12 ft2"
        await settled(pilot)
        await press(pilot, "escape")
        asked, body = app.screen.query_one("#asked"), app.screen.query_one("#body")
        assert "Nothing of this is written yet" in told(app)
        assert app.screen.query_one("#frame").region.contains_region(asked.region)
        assert not body.region.overlaps(asked.region)
        assert body.region.contains_region(app.focused.region)


async def test_a_figure_is_worked_out_and_nothing_is_recorded(office: FakeOffice, make_app: MakeApp) -> None:
    """Chosen from the list, answered beneath with unit and source; what cannot be is said, and what was typed stays."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "3", "enter", "r")
        await choose(pilot, app, "figure")
        await choose(pilot, app, "dew-point")
        await fill(pilot, app, "work-out", {"temp": "70", "rh": "50"})
        answer = str(app.screen.query_one("#fault", Static).render())
        assert "50.5 °F." in answer
        assert "Magnus form" in answer
        await fill(pilot, app, "work-out", {"rh": "0.5"})
        assert "write 50 for 50 %" in told(app)
        assert app.screen.query_one("#field-temp", Field).value == "70"
    assert office.calls == []


@pytest.mark.parametrize(("screen", "key"), [("3", "F"), ("4", "F")])
async def test_a_finding_has_a_key_of_its_own(office: FakeOffice, make_app: MakeApp, screen: str, key: str) -> None:
    """On a job's page and on site; it fits a phone."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, screen, *(("enter",) if screen == "3" else ()), key)
        assert isinstance(app.screen, Form)
        assert "A finding, job" in app.screen.title_text()
        await fill(pilot, app, "save", {"place": "kitchen", "kind": "rot"})
        assert office.calls[-1][0] == "found"
        assert office.calls[-1][2:] == ("kitchen", "rot")


async def test_kinds_places_and_what_is_not_decided_can_be_picked(office: FakeOffice, make_app: MakeApp) -> None:
    """A finding has every kind of the catalogue and every place of the house; a way on only what waits for one."""
    app = make_app(office)
    kinds = {kind.key for kind in read_catalogue().findings}

    def options(pick: str) -> set[str]:
        return {value for _, value in app.screen.query_one(f"#pick-{pick}", Select)._options if isinstance(value, str)}

    async with app.run_test(size=(100, 50)) as pilot:
        await press(pilot, "3", "enter", "r")
        await choose(pilot, app, "found")
        assert options("kind") == kinds
        assert options("place") == {"kitchen", "den", "main stairs", "house"}
        await press(pilot, "escape", "escape", "3", "enter", "r")
        await choose(pilot, app, "way on")
        assert options("way") == {"0", "1"}


async def test_nothing_waits_for_a_way_on(office: FakeOffice, make_app: MakeApp) -> None:
    """It says so, and has no button that records."""
    office.places = lambda job: PlacesView(rooms=("den",), stairs=(), ways=())
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "3", "enter", "r")
        await choose(pilot, app, "way on")
        assert not app.screen.query("#save")
        assert "Nothing that was found here waits" in " ".join(str(one.render()) for one in app.screen.query(Static))


async def test_every_fault_is_said_at_its_line(office: FakeOffice, make_app: MakeApp) -> None:
    """All at once; the first is gone to, the text stays; ^s keeps; Esc asks once before typed text is lost."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "3", "enter", "r")
        await choose(pilot, app, "reading")
        await fill(pilot, app, "save", {"values": "yy", "at": "quarter past"})
        form = app.screen
        notes = {key: str(form.query_one(f"#field-{key} .note", Static).render()) for key in ("values", "at")}
        assert "'yy' is not a temperature" in notes["values"]
        assert "'quarter past' is not a" in notes["at"]
        first = form.query_one("#field-values", Field)
        assert app.focused is first.query_one(Input)
        assert form.query_one("#body").region.contains_region(first.region)
        await press(pilot, "escape")
        assert app.screen is form
        assert "Nothing of this is written yet" in told(app)
        first.query_one(Input).value = "70F 40%"
        form.query_one("#field-at", Field).query_one(Input).value = "6:00"
        await press(pilot, "ctrl+s")
        assert office.calls == [("read_air", 101, ("70F", "40%"), {"at": "6:00"})]
        office.calls.clear()
        await press(pilot, "r")
        await choose(pilot, app, "money")
        await fill(pilot, app, "save", {"amount": "lots", "on": "someday"})
        for words in ("Pick one: what.", "'lots' is not an amount", "'someday' is not a day"):
            assert words in told(app)
        assert office.calls == []


async def test_enter_goes_on_from_a_box_and_a_choice(office: FakeOffice, make_app: MakeApp) -> None:
    """It neither ticks nor opens: that is Space; letters open a choice where they fit, and Enter there takes and goes on."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        parts = (
            Pick("kind", "Kind", (("air", "air"), ("slab", "slab"), ("wood", "wood")), "air"),
            Box("sure", "It is sure"),
            Blank("words", "Words"),
        )
        app.push_screen(Form("Try", parts, (Press("save", "Record"),)))
        await settled(pilot)
        app.screen.query_one("#pick-kind", Select).focus()
        form = app.screen
        assert isinstance(form, Form)
        kind = form.query_one("#pick-kind", Select)
        await press(pilot, *"wo")
        assert kind.expanded
        assert form._filled()["kind"] == "air"
        await press(pilot, "escape")
        assert not kind.expanded
        assert form._filled()["kind"] == "air"
        await press(pilot, "7", "tab")
        assert not kind.expanded
        assert form._filled()["kind"] == "air"
        kind.focus()
        await press(pilot, "enter", "shift+tab", "w", "enter", "enter", *"so")
        filled = form._filled()
        assert (filled["kind"], filled.yes("sure"), filled["words"]) == ("wood", False, "so")


def at(app: CrewApp, key: str) -> str:
    """What is said at a line of the form in front."""
    return str(app.screen.query_one(f"#field-{key} .note", Static).content)


async def test_no_enter_answers_for_the_customer(office: FakeOffice, make_app: MakeApp) -> None:
    """Enter from line to line and on the first button asks; with somebody named it says that an answer is missing."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "3", "enter", "r")
        await choose(pilot, app, "order")
        await pilot.press(*"rot")
        await press(pilot, "enter", *"900", "enter", *"Ilse", "enter", "enter", "enter")
        assert office.calls == []
        assert "press Agreed or Declined" in at(app, "by")
        assert app.screen.query_one("#field-by Input").has_focus
        await press(pilot, "ctrl+s")
        assert office.calls == []
        assert "Press one: Only asked, Agreed, Declined." in told(app)
        app.screen.query_one("#field-by Input", Input).value = ""
        await press(pilot, "enter", "enter", "enter")
        assert office.calls == [("agreed", 101, "rot", "900", {"only_asked": True})]


@pytest.mark.parametrize(
    ("entry", "sentence", "key", "words"),
    [
        ("order", "'rot': say who agreed with --by NAME; its work opens by that.", "by", "say who agreed; its work"),
        ("order", "'rot': say the amount, 0 where it costs nothing.", "amount", "say the amount"),
        ("order", "a change order says what it is for.", "what", "A change order says"),
        ("order", "'rot' was asked Mon 2 Mar: it cannot be agreed before that, Sun 1 Mar.", "on", "cannot be agreed"),
        (
            "way on",
            "'float over' opens nothing without --because (why, or on what): --because says that heights were checked.",
            "because",
            "without On what (why, or on what): On what says that heights were checked.",
        ),
        (
            "way on",
            "'removed' opens nothing without --sampled (when): --by is the firm, --because its clearance in writing.",
            "sampled",
            "By whom is the firm, On what its clearance in writing.",
        ),
        ("way on", "Mon 2 Mar is no moment for it: it was found Tue 3 Mar, and now is Mon.", "at", "is no moment"),
    ],
)
async def test_what_the_office_refuses_stands_at_its_line(
    entry: str, sentence: str, key: str, words: str, office: FakeOffice, make_app: MakeApp
) -> None:
    """In the words of the form, with the hand there and the sentence in sight on the smallest screen."""
    office.says_no = sentence
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "3", "enter", "r")
        await choose(pilot, app, entry)
        await fill(
            pilot, app, "agreed" if entry == "order" else "save", {"what": "rot"} if entry == "order" else {"way": "0"}
        )
        assert words in at(app, key)
        assert app.screen.query_one(f"#field-{key} Input").has_focus
        body = app.screen.query_one("#body")
        assert body.region.contains_region(app.screen.query_one(f"#field-{key} .note").region)


HINTS = {
    ("(none (like 2026-03-06))", 24): "(none (like 2026-03-06))",
    ("(none (like 2026-03-06))", 23): "(none …)",
    ("(tue 8:00, fri 13:00)", 15): "(tue 8:00 …)",
    ("(tue 8:00, fri 13:00)", 8): "(tue …)",
    ("(empty: as it is)", 10): "(empty …)",
    ("(empty: as it is)", 8): "",
    ("find: words of number, house …", 29): "find: words of number …",
    ("(toilet, 2 floor vent)", 16): "(toilet …)",
    ("(carpet; empty: all of it)", 18): "(carpet …)",
}


@pytest.mark.parametrize(("hint", "width"), HINTS)
def test_an_example_is_cut_at_a_word_or_left_away(hint: str, width: int) -> None:
    """What is left of it ends in an ellipsis, its brackets in pairs."""
    assert fitted(hint, width) == HINTS[hint, width]


async def test_no_example_of_a_form_is_cut_on_a_phone(office: FakeOffice, make_app: MakeApp) -> None:
    """Each fits the line it stands in; there, wide, it is whole again."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "3", "enter", "e")
        lines = list(app.screen.query(HintedInput))
        assert lines
        for line in lines:
            assert cell_len(line.placeholder) <= line.scrollable_content_region.width
        promised = app.screen.query_one("#field-promised", Field).query_one(HintedInput)
        assert promised.placeholder == "(none …)"
        await pilot.resize_terminal(100, 30)
        await settled(pilot)
        assert promised.placeholder == "(none (like 2026-03-06))"


async def test_all_that_is_wrong_with_a_form_is_said_at_once_and_in_its_place(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """A line too long to be kept, an amount that is none, and what is left out: each at its line, nothing below."""
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "3", "enter", "r")
        await choose(pilot, app, "order")
        await fill(pilot, app, "agreed", {"what": "w" * 240, "amount": "12,50", "by": "x" * 240})
        assert "t most 200 characters" in at(app, "what")
        assert at(app, "amount")
        assert "t most 200 characters" in at(app, "by")
        assert not app.screen.query_one("#fault").display
        assert app.screen.query_one("#field-what Input").has_focus
        await fill(pilot, app, "agreed", {"what": "", "amount": "12,50", "by": "x"})
        assert "Write what it is for" in at(app, "what")
        assert at(app, "amount")
        assert office.calls == []


@pytest.mark.parametrize(
    ("entry", "sentence", "key", "typed"),
    [
        ("away", "there is nobody called 'Nobody': Ines Varga.", "who", {"who": "Nobody", "day": "2026-03-05"}),
        ("hours", "'x' are no hours of a day: write such as 8:00-12:00.", "hours", {"day": "2026-03-05", "hours": "x"}),
        (
            "goes on",
            "job 101 has no task 99: `crewjobs job 101` lists its tasks.",
            "task",
            {"task": "99", "far": "50 %"},
        ),
        ("ready", "not ready until Sun 1 Mar 06:00: that is not after the answer.", "until", {"missing": "paint"}),
        ("visit", "measuring: 5 minutes; a small visit takes 15 minutes to 4 hours.", "minutes", {"kind": "measuring"}),
        ("money", "Tue 5 Jan 2027 has not come yet: only what has happened is recorded.", "on", {"fact": "deposit"}),
        ("reading", "140 % RH cannot be: it is 0 to 100.", "values", {"values": "70F 40%"}),
    ],
)
async def test_what_the_office_refuses_of_a_line_is_not_said_at_the_bottom(
    entry: str, sentence: str, key: str, typed: Mapping[str, str | bool], office: FakeOffice, make_app: MakeApp
) -> None:
    """By what its sentence is about, whatever form it is."""

    def no(*_: object, **__: object) -> Done:
        raise Refused(sentence)

    for name in ("away", "hours", "how_far", "ready", "plan_visit", "money", "read_air"):
        setattr(office, name, no)
    app = make_app(office)
    async with app.run_test(size=PHONE) as pilot:
        await press(pilot, "3", "enter", "r")
        await choose(pilot, app, entry)
        crew = {"crew": "Birch"} if app.screen.query("#pick-crew") else {}
        await fill(pilot, app, "save", {**crew, **typed})
        assert at(app, key)[1:20] == sentence[1:20]
        assert not app.screen.query_one("#fault").display


async def test_letters_that_begin_nothing_choose_nothing_and_peoples_words_find_a_kind(
    office: FakeOffice, make_app: MakeApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    """ "black glue" is what people call suspect asbestos; what nobody says is no kind's second or third letter, and Enter leaves it open."""
    monkeypatch.setattr("crewjobs.screens.widgets.choice._ONE_WORD", 60.0)  # on a busy machine letters lie far apart
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "4", "F")
        kind = app.screen.query_one("#pick-kind", Choice)
        kind.focus()
        await pilot.press(*"zl")
        await press(pilot, "enter")
        assert kind.expanded
        assert kind.is_blank()
        await press(pilot, "escape")
        kind.focus()
        await pilot.press(*"bla")
        await press(pilot, "enter")
        assert kind.value == "suspect asbestos"


@pytest.mark.parametrize("size", [PHONE, (80, 24)])
async def test_a_tap_on_words_goes_to_their_field(office: FakeOffice, make_app: MakeApp, size: tuple[int, int]) -> None:
    """The words before a line, those above a choice, and what is said below either: what is typed next stands there."""
    parts = (
        Blank("one", "One", needed="Say one."),
        Pick("kind", "Which kind", (("Ash", "a"), ("Oak", "o"))),
        Blank("two", "Two"),
    )
    form = Form("Taps", parts, (Press("save", "Save", save=lambda *_: Done(sentence="Kept.", change=1)),))
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        app.push_screen(form)
        await settled(pilot)
        one, two = form.query_one("#field-one"), form.query_one("#field-two")
        pick = form.query_one(Select)
        above = next(
            words for words in form.query("#body > .hint").results(Static) if str(words.content) == "Which kind"
        )
        await press(pilot, "ctrl+s")
        for words, field in (
            (two.query_one(".label"), two),
            (one.query_one(".note"), one),
            (above, pick),
            (one.query_one(".label"), one),
            (form.query_one("#pick-note-kind"), pick),
        ):
            await pilot.click(words, offset=(1, 0))
            await settled(pilot)
            assert field in app.focused.ancestors_with_self, words
        await pilot.click(two.query_one(".label"), offset=(1, 0))
        await press(pilot, "5")
        assert two.value == "5"
