"""Forms of several pages: what is wrong beside its field, what was typed kept, and how they look."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from textual.app import App, ComposeResult
from textual.pilot import Pilot
from textual.widgets import Button, Collapsible, Input, OptionList, Select, Static, TextArea

from crewjobs.domain.errors import Refused
from crewjobs.screens.app import CrewApp
from crewjobs.screens.choose import Choose
from crewjobs.screens.draft.answers import Answer, answer_for
from crewjobs.screens.draft.form import DraftForm
from crewjobs.screens.draft.jobs import _ask_next as ask_next
from crewjobs.screens.widgets.choice import Choice
from crewjobs.screens.widgets.planning_line import PlanningLine
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.screens.widgets.yes_no import YesNo
from crewjobs.services.forms.checking import Checked, check_shop
from crewjobs.services.forms.draft import Draft, Said, draft_of
from crewjobs.services.forms.fields import SHOP_PAGES, Entry
from crewjobs.services.forms.texts import Kind
from tests.screens.conftest import front, press, refused, said, settled
from tests.screens.fake_office import FakeOffice
from tests.screens.test_bursts import strike

MakeApp = Callable[[FakeOffice], CrewApp]


class FakeBeginning:
    """No shop yet; making it gives the invented one."""

    slow_demo = False
    """Whether the demo is made until it is stopped."""

    def __init__(self, office: FakeOffice) -> None:
        self.office = office
        self.made: list[Draft] = []

    def taken_back(self) -> tuple[int, str] | None:
        return None

    def needed(self) -> bool:
        return True

    def draft(self) -> Draft:
        draft = draft_of(SHOP_PAGES, {}, "America/Chicago")
        shop = draft.of("shop")[0]
        shop.texts.update({entry.key: entry.fresh for entry in shop.page.entries if entry.fresh})
        shop.texts["shop.zone"] = "America/Chicago"
        draft.add("crew")
        return draft

    def check(self, draft: Draft) -> Checked:
        return check_shop(draft, date(2026, 3, 2))

    def make(self, draft: Draft) -> FakeOffice:
        self.made.append(draft)
        return self.office

    def demo(self, stop: Callable[[], bool] | None = None) -> FakeOffice:
        if self.slow_demo and stop is not None:
            while not stop():
                time.sleep(0.01)
            raise Refused("the demo was stopped: it is not made, and nothing of it is kept.")
        raise Refused("the demo's folder may only be read.")


@pytest.fixture
def first(office: FakeOffice, tmp_path: Path) -> CrewApp:
    """The screens before there is a shop."""
    return CrewApp(lambda: office, tmp_path, lambda: FakeBeginning(office))


def answer(app: CrewApp, key: str) -> Answer:
    """A field of the page in front."""
    return next(one for one in app.screen.query(Answer) if one.key == key)


def note(app: CrewApp, key: str) -> str:
    """What is said below a field."""
    found = answer(app, key).query_one(".note", Static)
    return str(found.content) if found.display else ""


def marked(app: CrewApp) -> set[int]:
    """The pages that are marked as wrong, from 0."""
    form = app.screen
    assert isinstance(form, DraftForm)
    return {one.part for one in form._shown_faults()}


async def put(pilot: Pilot[None], app: CrewApp, **texts: str) -> None:
    """Write into fields; ``__`` in a name stands for the dot."""
    for key, text in texts.items():
        field = answer(app, key.replace("__", "."))
        if field.query(TextArea):
            field.query_one(TextArea).text = text
        elif field.query(Select):
            field.query_one(Select).value = text
        else:
            field.query_one(Input).value = text
        await settled(pilot)


async def new_job(pilot: Pilot[None]) -> None:
    """Open the form of a new job."""
    await press(pilot, "3", "plus")


async def test_a_field_that_was_left_says_what_is_wrong_and_keeps_it(office: FakeOffice, make_app: MakeApp) -> None:
    """A year in words is said beside the year; nothing is said of fields not reached. Pages turn all the same: ! marks this one."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await new_job(pilot)
        await put(pilot, app, site__year_built="about 1950")
        answer(app, "site.year_built").query_one(Input).focus()
        await press(pilot, "tab")
        assert note(app, "site.year_built") == "'about 1950' is not a whole number: write its digits."
        assert note(app, "site.address") == ""
        await press(pilot, "pagedown")
        assert "2 of 6" in app.screen.title_text()
        assert marked(app) == {0}
        await press(pilot, "pageup")
        assert "1 of 6" in app.screen.title_text()
        assert note(app, "site.address").startswith("It is needed")
        assert answer(app, "site.year_built").value == "about 1950"
        await put(pilot, app, customer__name="Ilse Tamm", site__address="1 Mill Lane", site__year_built="1950")
        await press(pilot, "pagedown")
        assert "2 of 6" in app.screen.title_text()


async def test_enter_goes_on_from_every_kind_of_field(office: FakeOffice, make_app: MakeApp) -> None:
    """From a box and a choice as from a line; space ticks, letters and Enter pick, and from the last field it points at what is wrong first."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await new_job(pilot)
        answer(app, "site.year_built").query_one(Input).focus()
        await press(pilot, *"1994", "enter", "enter", *"20")
        assert answer(app, "site.occupied").value == "yes"
        assert answer(app, "site.drive_min").value == "20"
        await press(pilot, "enter")
        assert "1 of 6" in app.screen.title_text()
        assert answer(app, "customer.name").query_one(Input).has_focus
        answer(app, "site.occupied").query_one(YesNo).focus()
        await press(pilot, "space")
        assert answer(app, "site.occupied").value == "no"
        await put(pilot, app, customer__name="Ilse Tamm", site__address="1 Mill Lane")
        answer(app, "site.drive_min").query_one(Input).focus()
        await press(pilot, "enter")
        assert "2 of 6" in app.screen.title_text()
        kind = answer(app, "kind").query_one(Choice)
        kind.focus()
        await pilot.press(*"lam")  # in one go: letters far apart begin another word
        await press(pilot, "enter")
        assert answer(app, "kind").value == "laminate"
        assert not kind.expanded
        assert answer(app, "plank").query_one(Input).has_focus
        kind.focus()
        await press(pilot, "space", "down", "enter")
        assert answer(app, "kind").value != "laminate"
        kind.focus()
        await press(pilot, "space")
        assert kind.expanded
        await pilot.click("#frame .title")
        await settled(pilot)
        assert not kind.expanded


@pytest.mark.parametrize("size", [(120, 36), (80, 24)])
async def test_pages_are_added_and_gone_to_by_key(size: tuple[int, int], office: FakeOffice, make_app: MakeApp) -> None:
    """In the list of pages Enter and space do what a tap does."""
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await new_job(pilot)
        form = app.screen
        assert isinstance(form, DraftForm)
        for key, target, title in (("enter", ("add", "stairs"), "Stairs"), ("space", ("add", "work"), "Other work")):
            if size[0] < 96:
                form.pressed("list")
            listed = form.query_one("#contents", Sheet)
            listed.focus()
            await settled(pilot)
            while listed.selected != target:
                await press(pilot, "down")
            await press(pilot, key)
            assert title in form.title_text()
        if size[0] < 96:
            form.pressed("list")
        form.query_one("#contents", Sheet).focus()
        await press(pilot, "home", "enter")
        assert "1 of 8" in form.title_text()
        assert answer(app, "customer.name").query_one(Input).has_focus


async def test_a_fault_in_what_is_folded_away_is_shown(office: FakeOffice, make_app: MakeApp) -> None:
    """Kept with a fault two pages back, in a field under More: the form goes there, unfolds, and says it."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "e")
        await pilot.click(next(one for one in app.screen.query(Button) if one.name == "whole"))
        await settled(pilot)
        fold = app.screen.query_one(Collapsible)
        fold.collapsed = False
        await settled(pilot)
        await put(pilot, app, site__hours="whenever")
        await press(pilot, "pagedown", "pagedown", "ctrl+s")
        assert note(app, "site.hours").startswith("'whenever'")
        await put(pilot, app, site__hours="mon-fri 9:00-16:00")
        await press(pilot, "pagedown", "ctrl+s")
        assert not isinstance(app.screen, DraftForm)
        (name, raw) = office.calls[-1]
        assert name == "keep_draft"
        assert raw["site"]["hours"] == {"mon-fri": "9:00-16:00"}


async def test_the_first_wrong_field_of_a_page_is_gone_to_and_a_filled_one_is_not_told(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """Whatever order faults are found in; and what turning to a page fills in is no fault on it any more."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "e")
        app.screen.pressed("whole")  # type: ignore[attr-defined]
        await settled(pilot)
        form = app.screen
        assert isinstance(form, DraftForm)
        found = [Said(part=0, key="site.address", words="Another."), Said(part=0, key="customer.name", words="A name.")]
        form._check = lambda _: Checked(faults=tuple(found))
        await press(pilot, "ctrl+s")
        assert answer(app, "customer.name").query_one(Input).has_focus
        turned_to = iter([(Said(part=1, key="name", words="It is needed."),), ()])
        form._check = lambda _: Checked(faults=next(turned_to))
        form._turn_with(form._onward)
        await settled(pilot)
        assert "2 of" in form.title_text()
        assert note(app, "name") == ""


@pytest.mark.parametrize("size", [(40, 20), (80, 24)], ids=str)
async def test_each_field_folded_away_can_be_seen_once_unfolded(
    size: tuple[int, int], office: FakeOffice, make_app: MakeApp
) -> None:
    """Under More on the smallest screen: the view follows the field in use, down to the last."""
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "3", "enter", "e")
        app.screen.pressed("whole")  # type: ignore[attr-defined]
        await settled(pilot)
        app.screen.query_one(Collapsible).collapsed = False
        await settled(pilot)
        body = app.screen.query_one("#body")
        folded = [one for one in app.screen.query(Answer) if one.entry.more]
        assert len(folded) > 4
        for one in folded:
            one.query("Input, Select, YesNo, TextArea").first().focus()
            await settled(pilot)
            inside = app.screen.focused
            assert inside is not None
            assert body.region.contains_region(inside.region), one.key


async def test_pages_turned_quicker_than_they_are_painted_lose_nothing(office: FakeOffice, make_app: MakeApp) -> None:
    """Page down and up hammered: the form stands at its end, each page with its own lines, and no line strayed to another."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "enter", "e")
        await pilot.click(next(one for one in app.screen.query(Button) if one.name == "whole"))
        await settled(pilot)
        form = app.screen
        assert isinstance(form, DraftForm)
        before = [dict(part.texts) for part in form._draft.parts]
        await pilot.press("pagedown", "pagedown", "pageup", "pagedown", "pagedown", "pagedown", "pageup")
        await settled(pilot)
        assert "4 of" in form.title_text()
        assert [part.texts for part in form._draft.parts] == before


async def test_a_roll_has_other_fields_than_planks(office: FakeOffice, make_app: MakeApp) -> None:
    """Sheet vinyl asks for the roll in the place of plank and carton, and back; what was typed of planks is still there."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await new_job(pilot)
        await put(pilot, app, customer__name="Ilse Tamm", site__address="1 Mill Lane")
        await press(pilot, "pagedown")
        await put(pilot, app, plank="7 in x 48 in", kind="sheet vinyl")
        assert {"roll"} <= {one.key for one in app.screen.query(Answer)}
        assert "plank" not in {one.key for one in app.screen.query(Answer)}
        await put(pilot, app, kind="laminate")
        assert answer(app, "plank").value == "7 in x 48 in"


async def test_leaving_asks_once_and_what_the_office_refuses_stays(office: FakeOffice, make_app: MakeApp) -> None:
    """Esc with something typed says that nothing is written; again, it leaves. A refusal is said and the form stays."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "3", "enter", "e")
        await pilot.click(next(one for one in app.screen.query(Button) if one.name == "whole"))
        await settled(pilot)
        office.says_no = "job 101 was changed meanwhile."
        await put(pilot, app, customer__name="Ilse")
        await press(pilot, "ctrl+s")
        assert "changed meanwhile" in str(app.screen.query_one("#fault", Static).content)
        assert answer(app, "customer.name").value == "Ilse"
        await press(pilot, "escape")
        assert isinstance(app.screen, DraftForm)
        await press(pilot, "escape")
        assert not isinstance(app.screen, DraftForm)
        assert not any(call[0] == "keep_draft" for call in office.calls)


async def test_a_zone_is_found_by_typing_a_part_of_it(first: CrewApp) -> None:
    """``new york``, and Enter takes the first that fits, and what was said of another word goes; a list below it is there to be tapped."""
    async with first.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter")
        field = answer(first, "shop.zone")
        field.query_one(Input).focus()
        await put(pilot, first, shop__zone="nowhere")
        await press(pilot, "tab")
        assert "not a time zone" in note(first, "shop.zone")
        await put(pilot, first, shop__zone="new york")
        assert field.query_one(OptionList).display
        field.query_one(Input).focus()
        await press(pilot, "enter")
        await settled(pilot)
        assert field.value == "America/New_York"
        assert not note(first, "shop.zone")
        assert not field.query_one(OptionList).display
        await put(pilot, first, shop__zone="berl")
        await pilot.click(field.query_one(OptionList), offset=(3, 0))
        await settled(pilot)
        assert field.value == "Europe/Berlin"
        await press(pilot, "tab", "tab")
        assert (answer(first, "shop.units").value, answer(first, "shop.paper").value) == ("metric", "a4")


async def test_furniture_is_found_and_taken_by_key_and_by_tap(office: FakeOffice, make_app: MakeApp) -> None:
    """``be`` lists what fits with its size: down and Enter takes one, a tap another; Enter in the field only goes on."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await new_job(pilot)
        await put(pilot, app, customer__name="Ilse Tamm", site__address="1 Mill Lane")
        await press(pilot, "pagedown")
        await put(pilot, app, plank="7 in x 48 in", carton="23.8 ft2")
        await press(pilot, "pagedown")
        field = answer(app, "furniture")
        field.query_one(Input).focus()
        await press(pilot, *"desk, 2 be")
        found = field.query_one(OptionList)
        assert found.display
        await press(pilot, "down", "down", "enter")
        taken = field.value
        assert taken.startswith("desk, 2 ")
        assert taken != "desk, 2 be"
        await press(pilot, *", lam")
        await pilot.click(found, offset=(3, 0))
        await settled(pilot)
        assert field.value == f"{taken}, lamp"
        await press(pilot, *", rug", "enter")
        assert field.value == f"{taken}, lamp, rug"
        assert not field.query_one(Input).has_focus


async def test_making_the_demo_counts_seconds_and_esc_stops_it(first: CrewApp) -> None:
    """It says what is at work and how it is stopped; stopped, the first choice stands again."""
    async with first.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        FakeBeginning.slow_demo = True
        try:
            await pilot.press("down", "enter")
            line = front(first).query_one(PlanningLine)
            while not line.seconds:
                await pilot.pause(0.1)
            assert "making the demo shop" in line.text
            assert "1 s" in line.text
            await pilot.press("escape")
            await settled(pilot)
        finally:
            FakeBeginning.slow_demo = False
        assert isinstance(first.screen, Choose)
        assert said(first) == "The demo was stopped: it is not made, and nothing of it is kept."


async def test_a_demo_that_cannot_be_made_says_so_at_the_welcome(first: CrewApp) -> None:
    """The welcome comes again, with the reason."""
    async with first.run_test(size=(80, 24)) as pilot:
        await press(pilot, "down", "enter")
        assert "How do you want to begin?" in first.screen.title_text()
        assert said(first) == "The demo's folder may only be read."


async def test_the_shop_is_changed_from_everywhere(office: FakeOffice, make_app: MakeApp) -> None:
    """A command of the palette opens the shop's form; kept, it is told where one is."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await settled(pilot)
        app.change_shop()
        await settled(pilot)
        await put(pilot, app, shop__name="Linden and Daughters")
        await press(pilot, "ctrl+s")
        assert office.calls[-1][0] == "keep_shop"
        assert said(app) == "The shop is changed."


async def test_no_job_yet_says_how_to_write_one(make_app: MakeApp) -> None:
    """An empty list names the key."""
    office = FakeOffice()
    office.job_rows = ()
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3")
        assert "+ writes one" in " ".join(front(app).sheet.text.split())


DEN = {"name": "den", "length": "14' 6", "width": "12 3 1/2", "layers": "carpet", "furniture": "sofa, desk"}
PICTURES = {
    "welcome_80": (80, 24),
    "set_up_120": (120, 36),
    "crew_40": (40, 20),
    "room_wrong_120": (120, 36),
    "room_40": (40, 20),
    "pages_40": (40, 20),
    "days_80": (80, 24),
}


@pytest.mark.parametrize("name", PICTURES)
def test_form_looks_as_it_did(
    name: str, office: FakeOffice, first: CrewApp, make_app: MakeApp, snap_compare: Callable[..., bool]
) -> None:
    """A form at its size looks as it was last found good."""
    app = first if name.startswith(("welcome", "set_up", "crew")) else make_app(office)

    async def before(pilot: Pilot[None]) -> None:
        await settled(pilot)
        if app is first:
            await press(pilot, *(() if name.startswith("welcome") else ("enter",)))
            if name == "crew_40":
                await put(pilot, app, shop__name="Alder")
                await press(pilot, "pagedown")
        else:
            await new_job(pilot)
            form = app.screen
            assert isinstance(form, DraftForm)
            draft = form._draft
            await put(pilot, app, customer__name="Teo Halloran", site__address="9 Quarry Road")
            draft.write(draft.of("material")[0], {"name": "gray plank", "plank": "7 in x 48 in", "carton": "23.8 ft2"})
            draft.write(draft.of("room")[0], DEN if "wrong" in name else {**DEN, "width": "12' 3 1/2"})
            form._turn_with(lambda: form._go(draft.of("terms" if "days" in name else "room")[0]))
            await settled(pilot)
            if "wrong" in name:
                await press(pilot, "pagedown", "pageup")
            elif name == "pages_40":
                form.pressed("list")
        await settled(pilot)
        focused = pilot.app.focused
        if focused is not None and hasattr(focused, "cursor_blink"):
            focused.cursor_blink = False
            await pilot.pause()

    app.title = "crewjobs"
    assert snap_compare(app, terminal_size=PICTURES[name], run_before=before)


async def test_a_missing_card_leads_to_the_crews_form(office: FakeOffice, make_app: MakeApp) -> None:
    """After a job is made whose work nobody may do: the first answer opens the shop's form, and the question comes again."""
    office.no_card = ("lead-safe renovator",)
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        ask_next(front(app), 101)
        await settled(pilot)
        assert isinstance(app.screen, Choose)
        await press(pilot, "enter")
        assert isinstance(app.screen, DraftForm)
        assert "Crew" in app.screen.title_text()
        assert answer(app, "workers").query_one(Input).has_focus
        office.no_card = ()
        await press(pilot, "escape")
        assert isinstance(app.screen, Choose)
        assert app.screen.title_text() == "What next?"


async def test_too_few_people_are_told_beside_a_missing_card(office: FakeOffice, make_app: MakeApp) -> None:
    """Both at once, and either leads to the crews: who enters one is not told of the other only after planning."""
    office.no_card, office.short = ("lead-safe renovator",), 2
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        ask_next(front(app), 101)
        await settled(pilot)
        assert isinstance(app.screen, Choose)
        said = [words for _, words in app.screen._options]
        assert "lead-safe renovator" in said[0]
        assert "needs 2 people, and no crew has so many" in said[1]
        await press(pilot, "down", "enter")
        assert isinstance(app.screen, DraftForm)
        assert answer(app, "workers").query_one(Input).has_focus


async def test_an_only_toilet_leads_to_its_field(office: FakeOffice, make_app: MakeApp) -> None:
    """It gets no day: the first answer opens the house's page with the hand on Toilet out, and the question comes again."""
    office.no_toilet = True
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        ask_next(front(app), 101)
        await settled(pilot)
        await press(pilot, "enter")
        assert isinstance(app.screen, DraftForm)
        assert answer(app, "site.toilet_meanwhile").query_one(Input).has_focus
        office.no_toilet = False
        await press(pilot, "escape")
        assert isinstance(app.screen, Choose)


async def test_the_foot_says_how_many_fields_are_to_mend(office: FakeOffice, make_app: MakeApp) -> None:
    """A page that cannot be kept says at its foot why; a zone that is typed takes the place of the one there."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await new_job(pilot)
        foot = app.screen.query_one(".keys", Static)
        assert str(foot.content).startswith("Enter next field")
        await press(pilot, "pagedown", "pageup")
        assert str(foot.content) == "2 fields to mend on this page"
        await put(pilot, app, customer__name="Ilse Tamm", site__address="1 Mill Lane")
        await press(pilot, "pagedown")
        assert str(foot.content).startswith("Enter next field")


async def test_what_is_wrong_is_brought_into_view_whole(office: FakeOffice, first: CrewApp) -> None:
    """At 40x20, ^s goes to the first wrong field, its sentence under it in sight; so is that of a page's last field."""
    async with first.run_test(size=(40, 20)) as pilot:
        await press(pilot, "enter")
        assert "^s make it" in str(first.screen.query_one(".keys", Static).content)
        await put(pilot, first, shop__name="Alder", shop__phone="1", shop__holidays="whenever it rains for long")
        await press(pilot, "pagedown", "ctrl+s")
        body = first.screen.query_one("#body").region
        for _ in range(2):
            field = answer(first, "shop.holidays")
            assert field.query_one(Input).has_focus
            assert note(first, "shop.holidays")
            assert body.contains_region(field.region)
            assert body.bottom <= first.screen.query_one("#buttons").region.y
            await press(pilot, "home", "shift+tab", "enter", "enter")


async def test_a_page_filled_in_is_removed_only_when_pressed_again(office: FakeOffice, make_app: MakeApp) -> None:
    """Remove stands beside the button that adds: a slip of the thumb loses no room. An empty page goes at once."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await new_job(pilot)
        await press(pilot, "pagedown", "pagedown")
        await put(pilot, app, name="den", length="12'", width="10'")
        form = app.screen
        assert isinstance(form, DraftForm)
        next(one for one in form.query(Button) if one.name == "remove").focus()
        await settled(pilot)
        strike(app, "enter")
        await settled(pilot)
        assert "3 of 6" in form.title_text()
        assert "Sure?" in {str(one.label) for one in form.query(Button)}
        next(one for one in form.query(Button) if one.name == "remove").focus()
        await settled(pilot)
        strike(app, "enter")
        await settled(pilot)
        assert [part.page.kind for part in form._draft.parts] == ["house", "material", "opening", "order", "terms"]
        await press(pilot, "pagedown")
        form.pressed("remove")
        await settled(pilot)
        assert [part.page.kind for part in form._draft.parts] == ["house", "material", "order", "terms"]


async def test_a_doorway_never_turned_to_leads_from_the_only_room(office: FakeOffice, make_app: MakeApp) -> None:
    """Made from another page: what the doorway's page shows is taken, and only its width is missing."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await new_job(pilot)
        form = app.screen
        assert isinstance(form, DraftForm)
        await put(pilot, app, customer__name="Ilse Tamm", site__address="1 Mill Lane", site__year_built="1994")
        for kind, texts in (
            ("material", {"name": "ash", "plank": "7 in x 48 in", "carton": "20 ft2"}),
            ("room", {"name": "den", "length": "12'", "width": "10'"}),
        ):
            form._draft.write(form._draft.of(kind)[0], texts)
        await press(pilot, "ctrl+s")
        assert "Doorway" in form.title_text()
        notes = {key: str(answer(app, key).query_one(".note", Static).content) for key in ("between.0", "width")}
        assert answer(app, "between.0").value == "den"
        assert notes["between.0"] == ""
        assert "needed" in notes["width"]


async def test_a_typed_zone_takes_the_place_of_the_one_there(office: FakeOffice, make_app: MakeApp) -> None:
    """Enter from the field before selects the zone that stands there."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        app.change_shop()
        await settled(pilot)
        await press(pilot, "enter", *"Mars")
        assert answer(app, "shop.zone").value == "Mars"


async def test_close_by_mouse_asks_before_it_leaves(office: FakeOffice, make_app: MakeApp) -> None:
    """The field that is left for the button is checked meanwhile: what was asked stands all the same, until another key."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "+", *"Gerd")
        form = app.screen
        await pilot.click("#do-close")
        await settled(pilot)
        assert app.screen is form
        assert "Nothing of this is written yet." in str(form.query_one("#asked").render())
        await press(pilot, "shift+tab")
        await pilot.click("#do-close")
        await settled(pilot)
        assert app.screen is form  # another key went on: it is asked again
        await pilot.click("#do-close")
        await settled(pilot)
        assert app.screen is not form


async def test_tab_goes_past_what_fits(office: FakeOffice, make_app: MakeApp) -> None:
    """One Tab, one field, whatever is listed below it; down goes in."""
    app = make_app(office)
    async with app.run_test(size=(80, 30)) as pilot:
        await press(pilot, "3", "+", "pagedown", "pagedown")
        furniture = app.screen.query_one("#field-furniture Input")
        furniture.focus()
        await press(pilot, *"book")
        assert app.screen.query_one("#field-furniture .found").display
        await press(pilot, "tab")
        assert "field-furniture" not in [node.id for node in app.focused.ancestors_with_self]


async def test_keys_quicker_than_page_turns_keep_their_fields(office: FakeOffice, make_app: MakeApp) -> None:
    """Struck all at once, Enter and page keys in their midst, each line stands in the field it was typed for."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await new_job(pilot)
        strike(app, *"Ilse Tamm", "enter", *"1 Mill Lane", "enter", *"1994", "pagedown")
        strike(app, *"oak", "enter", *"lam", "enter", *"7 in x 48 in", "tab", *"20 ft2", "pagedown")
        strike(app, *"den", "enter", *"12'", "enter", *"10'", "pageup", "pageup", "tab", "tab", "tab", "space")
        await settled(pilot)
        strike(app, "pagedown", "tab", *"sheet", "pagedown", "pageup")
        await settled(pilot)
        assert answer(app, "kind").value == "laminate"
        strike(app, "tab", *"sheet", "enter", "pagedown", "pageup")
        await settled(pilot)
        assert answer(app, "kind").value == "sheet vinyl"
        form = app.screen
        assert isinstance(form, DraftForm)
        house, floor, room = (part.texts for part in form._draft.parts[:3])
        assert (house["customer.name"], house["site.address"]) == ("Ilse Tamm", "1 Mill Lane")
        assert house["site.year_built"] == "1994"
        assert (floor["name"], floor["kind"], floor["plank"], floor["carton"]) == (
            "oak",
            "sheet vinyl",
            "7 in x 48 in",
            "20 ft2",
        )
        assert (room["name"], room["length"], room["width"]) == ("den", "12'", "10'")
        assert house["site.occupied"] == "no"


async def test_what_is_typed_ahead_of_a_fault_is_not_taken(office: FakeOffice, make_app: MakeApp) -> None:
    """Enter on the last field finds the year wrong: what follows at once was meant for the next page, and spoils nothing here."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await new_job(pilot)
        strike(app, *"Ilse", "enter", *"1 Mill Lane", "enter", *"old", *["enter"] * 3, *"oak floor", "enter", "space")
        await settled(pilot)
        assert "1 of 6" in app.screen.title_text()
        assert answer(app, "site.year_built").value == "old"
        assert answer(app, "site.year_built").query_one(Input).has_focus
        assert answer(app, "site.occupied").value == "yes"
        assert "typed ahead is not taken" in str(app.screen.query_one(".keys", Static).content)


@pytest.mark.parametrize(
    "kind", sorted(set(Kind) - {Kind.FLAG}, key=lambda kind: kind.value)
)  # yes or no is never wrong
async def test_something_is_said_below_every_kind_of_field(kind: Kind) -> None:
    """A fault, a remark, and neither again: also below what has no line to write in."""
    shown = answer_for(Entry(key="one", label="One", kind=kind), "", ("a", "b"))

    class OneField(App[None]):
        def compose(self) -> ComposeResult:
            yield shown

    async with OneField().run_test(size=(60, 20)) as pilot:
        await pilot.pause()
        for sentence, wrong in (("Choose one.", True), ("This is worth knowing.", False), ("", True)):
            shown.note(sentence, wrong=wrong)
            await pilot.pause()
            below = shown.query_one(".note", Static)
            assert (str(below.content), below.display) == (sentence, bool(sentence))


async def test_pages_with_nothing_chosen_are_turned_over(office: FakeOffice, make_app: MakeApp) -> None:
    """Who looks through the pages of a new job before filling any in comes through, and back, with faults said."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await new_job(pilot)
        form = app.screen
        assert isinstance(form, DraftForm)
        seen = []
        for _ in range(9):
            seen.append(form.title_text())
            await press(pilot, "tab", "pagedown")
        assert any("Doorway" in title for title in seen)
        for _ in range(9):
            await press(pilot, "pageup", "tab")
        assert app.screen is form
        assert form.title_text() == seen[0]


async def test_enter_again_while_it_plans_ticks_nothing_behind(office: FakeOffice, make_app: MakeApp) -> None:
    """Struck at once or in the middle of the work, it was not meant for the job's page; once all is told, it acts again."""
    app = make_app(office)
    async with app.run_test(size=(80, 40)) as pilot:
        await settled(pilot)
        ask_next(front(app), 101)
        await settled(pilot)
        assert isinstance(app.screen, Choose)
        office.gate.clear()
        strike(app, "enter", "enter", "enter")
        while app.screen is not front(app) or not front(app).status.busy:
            await pilot.pause(0.01)
        strike(app, "enter", "space")
        await pilot.pause(0.5)
        strike(app, "enter")
        await pilot.pause(0.1)
        office.gate.set()
        await settled(pilot)
        assert "day_plans" in [call[0] for call in office.calls]
        assert "tick" not in [call[0] for call in office.calls]
        assert ".pdf" in said(app)
        await pilot.pause(0.4)
        await press(pilot, "enter")
        assert "tick" in [call[0] for call in office.calls]


@pytest.mark.parametrize("size", [(40, 20), (80, 24)], ids=str)
async def test_what_is_refused_when_it_is_kept_stands_at_its_field(
    size: tuple[int, int], office: FakeOffice, make_app: MakeApp
) -> None:
    """A begun room's other name and a floor that has come: said there, in sight, until the name is the one before."""
    app = make_app(office)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "3", "enter", "e")
        app.screen.pressed("whole")  # type: ignore[attr-defined]
        await settled(pilot)
        form = app.screen
        assert isinstance(form, DraftForm)
        for page, old, sentence, words in (
            (
                3,
                "front room",
                "'front room' stays in the job, under that name: 1 task of it was begun or done.",
                "begun",
            ),
            (
                2,
                "mill oak",
                "The form: cartons of mill oak have come for job 101; the file must keep that material.",
                "Cartons of mill oak have come: this floor stays in the job, under that name.",
            ),
        ):
            await form._go(form._draft.parts[page - 1])
            await settled(pilot)
            assert answer(app, "name").value == old
            await put(pilot, app, name="another")
            office.says_no = sentence
            await form._go(form._draft.parts[0])
            await settled(pilot)
            await press(pilot, "ctrl+s")
            assert words in note(app, "name")
            assert answer(app, "name").query_one(Input).has_focus
            assert form.query_one("#body").region.contains_region(answer(app, "name").region)
            assert "1 field to mend" in str(form.query_one(".keys", Static).content)
            await press(pilot, "tab")
            assert words in note(app, "name")
            await put(pilot, app, name=old)
            await press(pilot, "tab")
            assert note(app, "name") == ""


async def test_what_is_of_no_field_is_in_sight_at_the_end_of_its_page(office: FakeOffice, make_app: MakeApp) -> None:
    """On the smallest screen ^s shows the sentence below the buttons of the page."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "3", "enter", "e")
        app.screen.pressed("whole")  # type: ignore[attr-defined]
        await settled(pilot)
        form = app.screen
        assert isinstance(form, DraftForm)
        await form._go(form._draft.of("room")[0])
        await settled(pilot)
        form._check = lambda _: Checked(faults=(Said(part=2, key="", words="This page is wrong as a whole."),))
        await press(pilot, "ctrl+s")
        fault = form.query_one("#fault", Static)
        assert str(fault.content) == "This page is wrong as a whole."
        assert form.query_one("#body").region.contains_region(fault.region)
        assert "1 field" not in str(form.query_one(".keys", Static).content)


async def test_who_goes_on_after_esc_sees_what_is_typed(office: FakeOffice, make_app: MakeApp) -> None:
    """The question stands above the buttons: the field in hand is in sight while it is asked, and after it."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "3", "+", *"Ilse")
        body = app.screen.query_one("#body")
        await press(pilot, "escape")
        assert app.screen.query_one("#asked").region.height == 3
        assert body.region.contains_region(app.focused.region)
        await press(pilot, "x")
        assert not app.screen.query_one("#asked").display
        await pilot.pause()
        assert app.focused.value == "Ilsex"
        assert app.focused.region.y >= body.region.y


async def test_past_the_last_page_the_cursor_stays_in_its_field(office: FakeOffice, make_app: MakeApp) -> None:
    """PgDn has no page to turn to there: what is typed next stands in the field in hand."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "3", "+", *["pagedown"] * 12)
        assert isinstance(app.focused, Input | Select | YesNo)
        held = app.focused
        await press(pilot, "pagedown")
        assert app.focused is held
        assert "6 of 6" in app.screen.title_text()


async def test_without_a_shop_no_screen_is_gone_to_by_name(first: CrewApp) -> None:
    """An empty screen would answer nothing there: what to begin with is asked, and stays."""
    async with first.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert isinstance(first.screen, Choose)
        titles = {one.title.casefold() for one in first.get_system_commands(first.screen)}
        assert not titles & {"go to jobs", "new job", "shop and crews", "plan the weeks"}
        assert "palette: daylight" in titles
        assert not any("main button" in one.title for one in first.get_system_commands(first.screen))
        await press(pilot, "enter")  # the shop's form has one
        assert any("main button" in one.title for one in first.get_system_commands(first.screen))


async def test_a_tap_on_the_words_before_a_field_goes_to_it(office: FakeOffice, make_app: MakeApp) -> None:
    """On every page of a shop: a line, a choice, and of several boxes the first."""
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await settled(pilot)
        app.change_shop()
        await settled(pilot)
        form, tapped = app.screen, set()
        for _ in range(3):
            for field in [one for one in form.query(Answer) if one.query(".label") and not one.entry.more]:
                await pilot.click(field.query(".label").first(), offset=(1, 0))
                await settled(pilot)
                assert field in app.focused.ancestors_with_self, field.key
                tapped.add(type(field).__name__)
            await press(pilot, "pagedown")
        assert {"LineAnswer", "PickAnswer", "FindAnswer", "TicksAnswer"} <= tapped


@pytest.mark.parametrize("come", [False, True])
async def test_a_floor_that_has_come_is_not_asked_for_again(office: FakeOffice, make_app: MakeApp, come: bool) -> None:
    """Once all of every material was recorded, the question what is next leaves it out."""
    office.material_rows = tuple(
        replace(row, cartons_come=row.cartons_ordered if come else 0.0) for row in office.material_rows
    )
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        ask_next(front(app), 101)
        await settled(pilot)
        assert isinstance(app.screen, Choose)
        said = [words for _, words in app.screen._options]
        assert any("in the house already" in words for words in said) is not come


async def test_no_day_for_want_of_people_says_where_they_are_entered(office: FakeOffice, make_app: MakeApp) -> None:
    """Planned all the same, the job has no day: the panel leads to the crews, and to the piece that may stay."""
    office.short, office.empty = 4, True
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        ask_next(front(app), 101)
        await settled(pilot)
        await press(pilot, "down", "enter")
        assert "People more are entered in the palette (^p), Shop and crews" in refused(app)
        assert "piano stays" in refused(app)
