"""Forms of jobs and of the shop: the same tables, the same checks and the same jobs as their files."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import us_rules
from crewjobs.domain.job import JobState
from crewjobs.domain.units import UNIT_SYSTEMS
from crewjobs.files.job_file import job_of_tables, read_job, write_job
from crewjobs.files.shop_file import read_shop, shop_of_tables
from crewjobs.services.forms.checking import check_job, check_shop
from crewjobs.services.forms.draft import Draft, draft_of, fresh
from crewjobs.services.forms.fields import JOB_PAGES, ROOM, SHOP_PAGES, From
from crewjobs.services.forms.kept import KeptForm, pages_of, stood, take_up
from crewjobs.services.forms.making import new_job
from crewjobs.services.forms.remarks import NOWHERE
from crewjobs.services.forms.texts import Kind, Reading, value_of
from crewjobs.services.forms.words import fitting
from crewjobs.services.resources import seed_folder
from crewjobs.services.zones import zones, zones_like
from tests import thorough
from tests.files.strategies import jobs, without_entry_notes
from tests.services.conftest import JOB, Shop

ZONE = "America/Chicago"
TODAY = date(2026, 3, 2)
JOB_FILES = sorted(seed_folder().glob("[0-9]*.toml"))


def typed_anew(draft: Draft) -> Draft:
    """The same lines, as if a person had typed each of them."""
    for part in draft.parts:
        part.first = dict.fromkeys(part.first, "\0")
    return draft


@pytest.mark.parametrize("path", JOB_FILES, ids=lambda path: path.stem)
def test_a_form_filled_in_line_by_line_is_the_job_of_the_file(path):
    """Every line of the form of a demo job, read again as typed, gives the very job of its file."""
    text = path.read_text(encoding="utf-8")
    raw, said = typed_anew(draft_of(JOB_PAGES, tomllib.loads(text), ZONE)).tables(TODAY)
    assert said == ()
    assert job_of_tables(raw, path.name, ZONE) == read_job(text, path.name, ZONE)


def test_the_shops_form_filled_in_line_by_line_is_the_shop_of_the_file():
    """So too the demo's shop, its tools and its crews with their cards, days off and single days."""
    text = (seed_folder() / "shop.toml").read_text(encoding="utf-8")
    raw, said = typed_anew(draft_of(SHOP_PAGES, tomllib.loads(text), ZONE)).tables(TODAY)
    assert said == ()
    assert shop_of_tables(raw, "shop") == read_shop(text, "shop")


@settings(max_examples=thorough.examples(200, 15))
@given(jobs)
def test_a_form_nobody_touched_is_the_job_it_was_opened_on(job):
    """Whatever a job holds, opening its form and keeping it as it is changes nothing."""
    text = write_job(job)
    raw, said = draft_of(JOB_PAGES, tomllib.loads(text), ZONE).tables(TODAY)
    assert said == ()
    assert job_of_tables(raw, "job", ZONE) == without_entry_notes(job)


def fill(draft: Draft, kind: str, **texts: str) -> None:
    """Write lines into the first page of a kind; ``_`` in a key stands for the dot."""
    keys = {entry.key.replace(".", "__"): entry.key for entry in draft.of(kind)[0].page.entries}
    draft.write(draft.of(kind)[0], {keys[key]: text for key, text in texts.items()})


def den(draft: Draft | None = None) -> Draft:
    """The one-room job of the README, as a person fills its form in."""
    draft = draft or new_job(ZONE)
    fill(draft, "house", customer__name="Teo Halloran", site__address="9 Quarry Road", site__year_built="1994")
    fill(draft, "material", name="gray plank", plank="7 in x 48 in", carton="23.8 ft2")
    fill(draft, "room", name="den", length="14' 6", width="12' 3 1/2", layers="carpet", furniture="sofa, desk")
    draft.turn_to(draft.of("opening")[0])
    fill(draft, "opening", width="36 in")
    fill(draft, "order", cartons="9", ordered="2026-02-16", due="tue 10:00")
    return draft


def test_a_name_given_late_is_followed_everywhere():
    """The floor's and the room's own name, typed after others named them, are named by room, doorway and order."""
    draft = den()
    raw, _ = draft.tables(TODAY)
    assert (raw["room"][0]["floor"], raw["order"][0]["material"]) == ("gray plank", "gray plank")
    fill(draft, "room", name="study")
    raw, _ = draft.tables(TODAY)
    assert raw["opening"][0]["between"] == ["study", "outside"]
    assert not check_job(draft, TODAY).faults


def test_a_name_taken_out_first_or_typed_over_anothers_is_followed_too():
    """A name is emptied, passes another's and becomes its own: order, room and doorway follow all the way."""
    draft = den()
    draft.add("room").texts["name"] = "den 2"
    for name in ("", "p", "pearl ash"):
        fill(draft, "material", name=name)
    for name in ("", "den 2", "den 2 east"):
        fill(draft, "room", name=name)
    raw, _ = draft.tables(TODAY)
    assert (raw["room"][0]["floor"], raw["order"][0]["material"]) == ("pearl ash", "pearl ash")
    assert raw["opening"][0]["between"] == ["den 2 east", "outside"]
    assert draft.of("room")[1].name == "den 2"


def remarks(draft: Draft) -> dict[tuple[str, str], str]:
    """What is worth knowing, by kind of page and field."""
    told: dict[tuple[str, str], str] = {}
    for one in check_job(draft, TODAY).remarks:
        place = (draft.parts[one.part].page.kind, one.key)
        told[place] = f"{told.get(place, '')} {one.words}".strip()
    return told


def test_a_fault_of_several_values_is_said_at_the_one_that_mends_it():
    """Due before ordered beside Comes, a floor's name that is there twice beside the second, five people beside People."""
    draft = den()
    fill(draft, "order", ordered="2026-02-20", due="2026-02-18 8:00")
    second = draft.add("material")
    draft.write(second, {"name": "gray plank", "plank": "7 in x 48 in", "carton": "23.8 ft2"})
    found = {(one.part, one.key): one.words for one in check_job(draft, TODAY).faults}
    order = draft.parts.index(draft.of("order")[0])
    assert found[order, "due"] == (
        "Due before it was ordered on 2026-02-20: put right the day it was ordered or the day it comes."
    )
    assert "is there twice" in found[draft.parts.index(second), "name"]
    shop = draft_of(SHOP_PAGES, {}, ZONE)
    draft_of_shop(shop, "Ann, Bea, Cy, Dee, Eve")
    (fault,) = check_shop(shop, TODAY).faults
    assert (fault.part, fault.key) == (1, "workers")
    assert "has 5 people" in fault.words
    shop.write(shop.parts[1], {"workers": "Ann, Bea"})
    shop.write(shop.parts[0], {"shop.kept_percent": "-4"})
    (fault,) = check_shop(shop, TODAY).faults
    assert (fault.key, fault.words) == ("shop.kept_percent", "'-4' is not 0 to 200.")


def draft_of_shop(shop: Draft, people: str) -> None:
    """Write a shop with one crew of those people."""
    shop.write(shop.parts[0], {"shop.name": "Alder", "shop.zone": ZONE, "shop.hours": "mon-fri 7:00-16:00"})
    shop.write(shop.add("crew"), {"name": "Birch", "workers": people})


def test_what_few_jobs_have_is_remarked_and_bars_nothing():
    """A day that is past, a weekday that is today, a narrow doorway, a long room, a floor laid nowhere; TODAY is a Monday."""
    draft = den()
    fill(draft, "terms", promised="2026-02-02", wished=f"{TODAY:%a}")
    fill(draft, "opening", width="14 in")
    fill(draft, "room", length="101'")
    fill(draft, "order", ordered="fri")
    draft.write(draft.add("material"), {"name": "oak", "plank": "7 in x 48 in", "carton": "23.8 ft2"})
    told = remarks(draft)
    assert "is past" in told["terms", "promised"]
    assert told["room", "furniture"] == NOWHERE
    assert told["terms", "wished"] == "Mon 2 Mar 2026, today; a week later is Mon 9 Mar 2026."
    assert told["order", "ordered"] == "Fri 27 Feb 2026."  # what was ordered has been: the last Friday
    raw, _ = draft.tables(TODAY)
    assert raw["order"][0]["ordered"] == date(2026, 2, 27)
    assert told["opening", "width"].startswith("Less than 1' 4\"")
    assert told["room", "length"].startswith("More than 100'")
    assert told["material", "name"].startswith("No room and no stairs")
    fill(draft, "house", site__year_built=str(TODAY.year + 1))
    (fault,) = (one for one in check_job(draft, TODAY).faults if one.key == "site.year_built")
    assert fault.words == f"'{TODAY.year + 1}' is after this year, {TODAY.year}."


WRONG = (
    ("house", "customer.name", "", "It is needed, such as Teo Halloran."),
    ("house", "site.address", "", "It is needed, such as 9 Quarry Road, Marrow Bend."),
    ("house", "site.year_built", "about 1950", "'about 1950' is not a whole number: write its digits."),
    ("house", "site.year_built", "3100", "'3100' is not between 1600 and 2100."),
    ("house", "site.hours", "whenever", "days come first, then hours"),
    ("house", "site.zone", "Mars/Olympus", "is not a time zone"),
    ("material", "plank", "7 x 48", "write width x length, each with its unit, such as 7 in x 48 in"),
    ("material", "carton", "23.8", "is not an area: write it with its unit"),
    ("material", "acclimation", "two days", "is not a wait"),
    ("material", "temperature", "warm", ""),
    ("material", "rest", "lengths = [", "write one key = value a line"),
    ("room", "name", "house", "stands for the whole house"),
    ("room", "length", "", "It is needed, such as 14' 6."),
    ("room", "width", "0 in", "must be more than zero"),
    ("room", "floor", "oak", "there is no floor 'oak' in this job"),
    ("room", "layers", "carpit", "did you mean 'carpet'?"),
    ("room", "furniture", "sofa 84", "its size is length and width"),
    ("room", "fixtures", "2 toilt", "did you mean 'toilet'?"),
    ("room", "fixtures", "0", "'0' is not known: it is one of"),
    ("room", "start_wall", "12", "It has walls 1 to 4"),
    ("room", "flange", "0", "A flange, and no toilet"),
    ("material", "carton_lb", "0", "A carton weighs 0 lb"),
    ("material", "slab_ph", "0", "pH of the slab 0: it is more than 0"),
    ("opening", "between.1", "", "It is needed."),
    ("opening", "walls", "2", "write one wall for each of the two sides, From first, such as 2, 0,"),
    ("terms", "callback_of", "-3", "is 1 or more"),
    ("room", "storey", "up", "'up' is not a whole number: write its digits."),
    ("room", "corners", "0, 0; 12'", "a corner is two lengths"),
    ("room", "sections", "near, far: 3'", "needs its length"),
    ("room", "sections", "near: 3', far: 2'", "The sections must add up to"),
    ("room", "sections", "near: 3', near", "Give each section its own name"),
    ("opening", "between.0", "attic", "there is no room 'attic' in this job"),
    ("opening", "width", "wide", "is not a length"),
    ("order", "cartons", "nine", "'nine' is not a whole number: write its digits."),
    ("order", "ordered", "soon", "'soon' is not a day"),
    ("order", "due", "noon", "is not a moment"),
    ("terms", "promised", "2026-02-30", "there is no such date"),
    ("terms", "weight", "7", "'7' is not between 1 and 3."),
    ("terms", "blocked", "2026-03-09 to soon", "'soon' is not a day"),
)


@pytest.mark.parametrize(("kind", "key", "text", "words"), WRONG, ids=lambda value: str(value)[:20])
def test_what_is_wrong_is_said_at_its_field_and_stays_as_typed(kind, key, text, words):
    """Each wrong line is named on its own page, at its own field where it is one field's fault, and nowhere else."""
    draft = den()
    (part,) = draft.of(kind)
    draft.write(part, {key: text})
    faults = check_job(draft, TODAY).faults
    assert {one.part for one in faults} == {draft.parts.index(part)}
    assert {one.key for one in faults} <= {key, ""}
    assert key != "sections" or {one.key for one in faults} == {key}
    assert any(words.casefold() in one.words.casefold() for one in faults)
    assert part.texts[key] == text


def test_what_is_not_said_is_asked_for_in_the_forms_own_words():
    """Goods that are none, stairs with one end, a shop without its zone: no key of the file, and whole sentences."""
    for kind, key, texts, words in (
        ("goods", "goods", {"goods": "", "count": "4"}, "It is needed: choose what is ordered."),
        (
            "stairs",
            "between.1",
            {"steps": "13", "between__0": "den"},
            "It is needed beside the other: stairs lead from a room below to one above.",
        ),
    ):
        draft = den()
        draft.add(kind)
        fill(draft, kind, **texts)
        assert [(one.key, one.words) for one in check_job(draft, TODAY).faults] == [(key, words)]
    shop = draft_of(SHOP_PAGES, {}, ZONE)
    words = {one.key: one.words for one in check_shop(shop, TODAY).faults}
    assert words["shop.zone"] == "It is needed: type a city, such as Chicago, and take what is listed."


@pytest.mark.parametrize(
    ("key", "texts", "words"),
    [
        ("between.1", {"between__1": "den"}, "It leads from one room to another"),
        ("steps", {"steps": "0"}, "'0' is not between 1 and 200"),
        ("flights", {"flights": "99"}, "99 flights; 13 steps make"),
        ("open_ends", {"open_ends": "99"}, "99 open ends; 13 steps have"),
        ("width", {"width": "1 in"}, '1" wide; they are'),
    ],
)
def test_what_stairs_cannot_be_is_said_at_the_field_that_mends_it(key, texts, words):
    """Each of their own rules, not at the end of the page."""
    draft = den()
    draft.add("stairs")
    fill(draft, "stairs", **{"name": "back stairs", "steps": "13", "between__0": "den", "floor": "gray plank", **texts})
    (fault,) = [one for one in check_job(draft, TODAY).faults if one.key != "between.1" or key == "between.1"]
    assert fault.key == key
    assert words in fault.words


def test_the_shops_faults_are_at_their_fields():
    """A shop with nothing said is asked for each thing it needs, at that thing."""
    draft = draft_of(SHOP_PAGES, {}, ZONE)
    draft.parts.append(fresh(SHOP_PAGES[1]))
    draft.write(draft.parts[1], {"hours": "mon-fri 9"})
    faults = {(one.part, one.key) for one in check_shop(draft, TODAY).faults}
    assert {(0, "shop.name"), (0, "shop.zone"), (1, "name"), (1, "workers"), (1, "hours")} <= faults


def test_a_person_in_two_crews_is_said_beside_their_name_and_never_planned(shop: Shop):
    """The form of the shop says it at the later crew's people and keeps nothing; a shop that has it is not planned."""
    form = shop.office.shop_draft()
    people = form.of("crew")[1].texts["workers"]
    form.write(form.of("crew")[1], {"workers": f"{people}, ines varga"})
    (fault,) = check_shop(form, TODAY).faults
    assert (form.parts[fault.part].name, fault.key) == ("Cedar", "workers")
    assert fault.words.startswith("Ines varga is in Birch already")
    with pytest.raises(Refused, match="in Birch already"):
        shop.office.keep_shop(form)
    with shop.office._database.unit_of_work(who="tester") as uow:
        stored = uow.shop()
        birch, cedar = stored.crews
        uow.save_shop(replace(stored, crews=(birch, replace(cedar, workers=(*cedar.workers, birch.workers[1])))))
        uow.commit("as an earlier version kept it", at=shop.clock.at)
    with pytest.raises(Refused, match="Cedar: Tobiah Lund is in Birch already"):
        shop.office.plan()


def test_a_crew_that_goes_with_work_begun_is_told(shop: Shop):
    """The task under way is named with what to record of it; the rest of it is planned for a crew that is there."""
    shop.office.plan()
    task = shop.record().tasks[0].number
    shop.office.start(4, task, crew="Cedar")
    form = shop.office.shop_draft()
    form.parts.remove(form.of("crew")[1])
    done = shop.office.keep_shop(form)
    assert any(f"Job 4: Cedar is no longer in the shop and has begun {task} " in words for words in done.then), (
        done.then
    )
    assert shop.office.week().crews == ("Birch",)


def test_how_many_cartons_the_rooms_take_is_said_beside_the_order():
    """178 ft² and a tenth in cartons of 23.8 ft², with one kept in the house: by hand 195.8 / 23.8 = 8.2, so 9, and 1."""
    draft = den()
    told = remarks(draft)
    assert told["order", "cartons"] == (
        "The rooms take 10 cartons by area, a tenth and one carton to keep. Laid out plank by plank, once the job is made, "
        "it may be fewer. Ordered are 9 cartons: 1 fewer by area."
    )
    fill(draft, "order", cartons="10")
    assert "Ordered" not in remarks(draft)["order", "cartons"]
    fill(draft, "order", cartons="40")
    assert remarks(draft)["order", "cartons"].endswith("Ordered are 40 cartons: far more.")


def test_a_made_job_is_the_loaded_one(shop: Shop):
    """The form of the den, kept, gives the tasks, minutes and links that its file gives when it is loaded."""
    draft = den()
    shop.office.keep_draft(draft)
    raw, _ = draft.tables(TODAY)
    loaded = shop.file("den.toml", write_job(job_of_tables(raw, "form", ZONE)))
    shop.office.load([loaded])
    made, as_file = shop.record(draft.number), shop.record(draft.number + 1)
    assert made.tasks == as_file.tasks
    assert made.links == as_file.links
    assert made.job.rooms == as_file.job.rooms


def test_a_changed_measure_changes_what_is_open_and_keeps_what_is_done(shop: Shop):
    """A shorter den: rows are estimated anew, what was ticked keeps its estimate; the entry notes stay; undo takes it back."""
    patch = shop.number_of("patch")
    shop.office.tick(4, [patch], because="set up by the test")
    before = shop.record()
    draft = shop.office.job_draft(4)
    fill(draft, "room", length="10'")
    shop.office.keep_draft(draft)
    after, lay = shop.record(), shop.number_of("lay-click-vinyl")
    assert after.task(patch) == before.task(patch)
    assert after.task(lay).estimate.expected < before.task(lay).estimate.expected
    assert after.job.site.entry_notes == before.job.site.entry_notes
    shop.office.undo()
    assert shop.record().job == before.job


def test_rooms_come_and_go_where_nothing_was_done(shop: Shop):
    """A hall is added with its doorway, stairs too; the den cannot go or be called otherwise once a task of it was ticked."""
    draft = shop.office.job_draft(4)
    hall = draft.add("room")
    draft.write(hall, {"name": "hall", "length": "9'", "width": "3' 6"})
    door = draft.add("opening")
    draft.write(door, {"between.0": "hall", "between.1": "den", "width": "30 in"})
    draft.write(draft.add("stairs"), {"name": "stairs", "steps": "13"})
    shop.office.keep_draft(draft)
    assert [room.name for room in shop.record().job.rooms] == ["den", "hall"]
    assert any(task.where == "stairs" for task in shop.record().tasks)
    shop.office.tick(4, [shop.number_of("patch")], because="set up by the test")
    draft = shop.office.job_draft(4)
    draft.remove(draft.of("room")[1])
    draft.remove(draft.of("opening")[1])
    draft.remove(draft.of("stairs")[0])
    shop.office.keep_draft(draft)
    assert [room.name for room in shop.record().job.rooms] == ["den"]
    draft = shop.office.job_draft(4)
    fill(draft, "room", name="study")
    with pytest.raises(Refused, match="'den' stays in the job, under that name: 1 task of it was begun or done"):
        shop.office.keep_draft(draft)


def test_a_form_opened_before_somebody_elses_change_writes_nothing_over_it(shop: Shop):
    """The form carries what it was opened on."""
    draft = shop.office.job_draft(4)
    shop.office.edit(4, shop.record().version, {"title": "Den and more"})
    fill(draft, "room", length="10'")
    with pytest.raises(Refused, match="changed meanwhile"):
        shop.office.keep_draft(draft)
    with pytest.raises(Refused, match="nothing was changed"):
        shop.office.keep_draft(shop.office.job_draft(4))


def test_what_is_recorded_beside_a_jobs_form_is_no_change_of_what_it_has(shop: Shop):
    """A tick and a reading touch no room: the form is kept, and so is what was typed in it before the screens ended."""
    draft = shop.office.job_draft(4)
    opened = list(draft.parts)
    fill(draft, "room", length="10'")
    kept = KeptForm(form="job", title="Job 4", stood=stood(draft), pages=pages_of(draft, opened))
    shop.office.tick(4, [shop.number_of("patch")], because="set up by the test")
    shop.office.read_air(4, ["70F", "40%"])
    again = shop.office.job_draft(4)
    take_up(again, kept)
    assert again.of("room")[0].texts["length"] == "10'"
    shop.office.keep_draft(draft)
    assert shop.office.job_draft(4).of("room")[0].texts["length"] == "10'"
    assert any(task.done_at for task in shop.record().tasks)
    with pytest.raises(Refused, match="Job 4 was changed since the screens ended"):
        take_up(shop.office.job_draft(4), kept)


def test_called_off_in_the_form_and_taken_back(shop: Shop):
    """The state is a field like others; undo brings the job back."""
    draft = shop.office.job_draft(4)
    fill(draft, "terms", state="called off")
    shop.office.keep_draft(draft)
    assert shop.record().job.state is JobState.CALLED_OFF
    shop.office.undo()
    assert shop.record().job.state is JobState.BOOKED


def test_changed_furniture_keeps_what_words_do_not_say():
    """A weight from the file stays with the piece when another is added in words."""
    text = JOB.replace('{ name = "sofa", people = 2 }', '{ name = "sofa", people = 2, lb = 250 }')
    draft = draft_of(JOB_PAGES, tomllib.loads(text), ZONE)
    fill(draft, "room", furniture="sofa, desk, 2 bookcase")
    raw, _ = draft.tables(TODAY)
    pieces = {piece.name: piece for piece in job_of_tables(raw, "job", ZONE).rooms[0].furniture}
    assert pieces["sofa"].weight_lb == 250
    assert pieces["bookcase"].count == 2


def test_what_has_no_field_is_there_as_in_the_file_and_cannot_say_a_field_twice():
    """An obstacle is kept, and can be written; a key that has a field of its own is refused there."""
    draft = den()
    fill(draft, "room", rest='obstacles = [{ name = "island", at = ["4\'", "5\'"], size = "60 in x 36 in" }]')
    raw, said = draft.tables(TODAY)
    assert said == ()
    assert job_of_tables(raw, "job", ZONE).rooms[0].obstacles[0].name == "island"
    fill(draft, "room", rest='name = "attic"')
    (fault,) = check_job(draft, TODAY).faults
    assert (fault.key, "has a field of its own" in fault.words) == ("rest", True)


def test_the_holidays_of_a_region_are_its_days():
    """The federal holidays of 2026 left after 2 March: 5 U.S.C. 6103 (a), Independence Day on its Saturday and observed on the
    Friday before (b); which days they are is told, and a region nobody knows is refused beside the field."""
    draft = draft_of(SHOP_PAGES, {}, ZONE)
    fill(draft, "shop", shop__holidays="US, 2026-12-24")
    days = [day for day in draft.tables(TODAY)[0]["shop"]["holidays"] if day.year == 2026]
    assert [f"{day:%m-%d}" for day in days] == [
        *("05-25", "06-19", "07-03", "07-04", "09-07", "10-12", "11-11", "11-26", "12-25"),
        "12-24",
    ]
    (remark,) = check_shop(draft, TODAY).remarks
    assert "2026-05-25" in remark.words
    fill(draft, "shop", shop__holidays="US-QQ")
    told = {one.key: one.words for one in check_shop(draft, TODAY).faults}
    assert "No holidays are known of 'US-QQ'" in told["shop.holidays"]


def test_zones_are_found_by_any_part_of_their_name():
    """``chic`` finds Chicago, ``new york`` New York; nothing typed finds nothing."""
    assert zones_like("chic", 5) == ("America/Chicago",)
    assert zones_like("new york", 5)[0] == "America/New_York"
    assert zones_like("", 5) == ()
    assert len(zones()) > 300


def test_every_page_has_a_field_for_each_key_a_person_meets_first():
    """A room's page shows what has to be there without unfolding anything."""
    first = {entry.key for entry in ROOM.entries if not entry.more}
    assert {"name", "length", "width", "layers", "floor", "furniture", "fixtures", "trim", "subfloor"} <= first


def test_the_shop_is_changed_in_its_form_and_taken_back(shop: Shop):
    """A second person in a crew, a holiday; a form opened before that writes nothing over it; undo takes it back."""
    before = shop.office.dump_shop()
    draft, late = shop.office.shop_draft(), shop.office.shop_draft()
    with pytest.raises(Refused, match="nothing was changed"):
        shop.office.keep_shop(late)
    draft.write(draft.of("crew")[1], {"workers": "Maeve Ostrow (lead-safe renovator), Dario Nkemelu, Ilse Tamm"})
    draft.write(draft.of("shop")[0], {"shop.holidays": "2026-05-25, 2026-07-02 to 2026-07-03"})
    shop.office.keep_shop(draft)
    after = shop.office.dump_shop()
    assert '"Ilse Tamm"' in after
    assert "holidays = [2026-05-25, 2026-07-02, 2026-07-03]" in after
    late.write(late.of("crew")[0], {"name": "Alder"})
    with pytest.raises(Refused, match="changed meanwhile"):
        shop.office.keep_shop(late)
    shop.office.undo()
    assert shop.office.dump_shop() == before


def test_a_job_from_a_list_gets_its_rooms_in_the_form(shop: Shop):
    """Imported without rooms, its form asks for floor, room, doorway and order; kept, it has tasks."""
    file = shop.file("list.csv", "Customer,Address\nIlse Tamm,1 Mill Lane\n")
    shop.office.import_list(file)
    draft = shop.office.job_draft(5)
    assert draft.of("house")[0].texts["customer.name"] == "Ilse Tamm"
    fill(draft, "material", name="gray plank", plank="7 in x 48 in", carton="23.8 ft2")
    fill(draft, "room", name="den", length="14' 6", width="12' 3 1/2", layers="carpet")
    draft.turn_to(draft.of("opening")[0])
    fill(draft, "opening", width="36 in")
    fill(draft, "order", cartons="10")
    assert not check_job(draft, TODAY).faults
    shop.office.keep_draft(draft)
    assert shop.record(5).tasks


def test_a_job_without_a_room_is_told_in_words(shop: Shop):
    """All pages of rooms taken out: what is missing is said of the whole."""
    draft = den()
    for kind in ("opening", "room"):
        draft.remove(draft.of(kind)[0])
    assert [one.words for one in check_job(draft, TODAY).faults if one.part < 0] == [
        "The job has no room and no stairs: add a room."
    ]


def test_words_that_fit_are_found_by_any_word_of_theirs():
    """``2 bed`` in a list: beds with their size, the count and what stands before kept; a whole word fits nothing more."""
    found = dict(fitting(Kind.FURNITURE, "sofa, 2 bed", "us", 9))
    assert found["queen bed, 7' × 5' 2\""] == "sofa, 2 queen bed"
    assert next(words for words in found if words.startswith("usual bedroom: queen bed, 2 nightstand"))
    assert fitting(Kind.LAYERS, "carpet, vin", "us", 9)[0] == ("sheet vinyl", "carpet, sheet vinyl")
    assert ("glued carpet", "sheet vinyl, glued carpet") in fitting(Kind.LAYERS, "sheet vinyl, carp", "us", 9)
    assert fitting(Kind.COUNTS, "2 floor vent", "us", 9) == ()
    assert fitting(Kind.LAYERS, "", "us", 9) == ()


@pytest.mark.parametrize(
    ("year", "cards", "painted", "said"),
    [
        ("1977", frozenset(), "yes", "Built before 1978"),
        ("", frozenset(), "yes", "Not known counts as built before 1978"),
        ("1978", frozenset(), "yes", ""),
        ("1977", frozenset({"lead-safe renovator"}), "yes", ""),
        ("1977", frozenset(), "no", ""),
        ("about 1950", frozenset(), "yes", ""),
    ],
)
def test_a_house_before_1978_asks_for_the_card_beside_its_year(year, cards, painted, said):
    """Housing built before 1978, the year not included, comes under the rule (40 CFR 745); the field says where the card is entered."""
    draft = den()
    fill(draft, "house", site__year_built=year)
    draft.of("room")[0].texts["painted_trim"] = painted
    words = " ".join(one.words for one in check_job(draft, TODAY, cards).remarks if one.key == "site.year_built")
    assert words.startswith(said)
    assert bool(words) == bool(said)
    assert ("field People" in words) == bool(said)


def test_outside_the_united_states_no_card_of_theirs_holds_a_plan(shop: Shop):
    """40 CFR 745 binds there alone: elsewhere the year says that local rules decide, and no task asks for the card."""
    draft = den(shop.office.new_job())
    fill(draft, "house", site__year_built="1962", site__zone="Europe/Berlin")
    told = [one.words for one in check_job(draft, TODAY, frozenset()).remarks if one.key == "site.year_built"]
    assert len(told) == 1
    assert "local rules decide" in told[0]
    assert "renovator" not in told[0]
    shop.office.keep_draft(draft)
    assert shop.office.missing_cards(draft.number) == ()
    assert not any(task.card for task in shop.record(draft.number).tasks)
    assert us_rules("Pacific/Honolulu")
    assert us_rules("America/Chicago")
    assert us_rules("UTC")


def test_the_card_a_made_job_needs_is_told_until_somebody_holds_it(shop: Shop):
    """Of a job in a house of 1962 the card is missing; entered in the shop's form, it is not."""
    draft = den(shop.office.new_job())
    fill(draft, "house", site__year_built="1962")
    shop.office.keep_draft(draft)
    assert shop.office.missing_cards(draft.number) == ("lead-safe renovator",)
    form = shop.office.shop_draft()
    crew = form.of("crew")[0]
    first, *others = crew.texts["workers"].split(", ")
    crew.texts["workers"] = ", ".join((f"{first} (lead-safe renovator)", *others))
    shop.office.keep_shop(form)
    assert shop.office.missing_cards(draft.number) == ()


def test_the_people_a_made_job_needs_together_are_told_until_a_crew_has_them(shop: Shop):
    """A sofa is carried by two: a crew of one is told so beside what else it lacks, not one thing at a time."""
    draft = den(shop.office.new_job())
    fill(draft, "room", furniture="sofa")
    shop.office.keep_draft(draft)
    assert shop.office.people_short(draft.number) == 0
    form = shop.office.shop_draft()
    for crew in form.of("crew"):
        crew.texts["workers"] = crew.texts["workers"].split(", ")[0]
    shop.office.keep_shop(form)
    assert shop.office.people_short(draft.number) == 2


def test_an_only_toilet_asks_what_is_used_meanwhile():
    """Beside Fixtures, as long as somebody lives there, no other is listed and nothing is written at Toilet out."""
    draft = den()
    fill(draft, "room", fixtures="toilet")
    assert "Toilet out" in remarks(draft)["room", "fixtures"]
    fill(draft, "house", site__toilet_meanwhile="rented toilet")
    assert ("room", "fixtures") not in remarks(draft)
    fill(draft, "house", site__toilet_meanwhile="", site__occupied="no")
    assert ("room", "fixtures") not in remarks(draft)


def test_a_job_made_with_an_only_toilet_that_gets_no_day_is_told(shop: Shop):
    """Its floor is glued: until it is said what is used meanwhile; a floating floor needs nothing."""
    draft = den(shop.office.new_job())
    fill(draft, "room", fixtures="toilet")
    fill(draft, "material", method="glued")
    shop.office.keep_draft(draft)
    assert shop.office.toilet_to_agree(draft.number)
    form = shop.office.job_draft(draft.number)
    fill(form, "house", site__toilet_meanwhile="rented toilet")
    shop.office.keep_draft(form)
    assert not shop.office.toilet_to_agree(draft.number)


def test_a_room_without_measures_asks_for_both():
    """Kept at once, a new form says of length and of width that they are needed."""
    draft = new_job(ZONE)
    place = draft.parts.index(draft.of("room")[0])
    needed = {one.key for one in check_job(draft, TODAY).faults if one.part == place}
    assert needed == {"name", "length", "width"}


def test_an_order_without_its_day_says_that_nothing_is_planned():
    """Beside Comes, as long as it is empty; and the cartons are told before a number is typed."""
    draft = den()
    fill(draft, "order", due="", cartons="")
    told = {one.key: one.words for one in check_job(draft, TODAY).remarks}
    assert "no day plan" in told["due"]
    assert told["cartons"].startswith("The rooms take ")
    fill(draft, "order", due="tue 10:00")
    assert "no day plan" not in remarks(draft)["order", "due"]


MEASURED = [
    (page.kind, entry.key, re.split(r"[,:] (?=[a-z]+ )", entry.example(units))[0])
    for page in JOB_PAGES
    for entry in page.entries
    for units in UNIT_SYSTEMS
    if entry.metric and entry.kind is Kind.TEXT
]


@pytest.mark.parametrize(("kind", "key", "text"), MEASURED, ids=lambda value: str(value))
def test_an_example_of_a_measure_can_be_typed_as_it_is(kind: str, key: str, text: str):
    """In feet and in metres: nothing is wrong with it at its field, nor said that it cannot be read."""
    draft = den()
    part = draft.of(kind)[0] if draft.of(kind) else draft.add(kind)
    if key in ("roll", "repeat"):
        draft.write(part, {"kind": "sheet vinyl"})
    if key == "pail":
        draft.write(part, {"kind": "engineered wood", "method": "glued"})
    if key == "joint":
        draft.write(part, {"kind": "glue-down vinyl", "pattern": "grid"})
    if key == "flange":
        draft.write(part, {"fixtures": "toilet"})
    draft.write(part, {key: text})
    place = draft.parts.index(part)
    found = [one.words for one in check_job(draft, TODAY).faults if (one.part, one.key) == (place, key)]
    assert found == []


@pytest.mark.parametrize(("text", "pounds"), [("32", 32), ("32.5 lb", 32.5), ("14.5 kg", 31.97), ("0.5kg", 1.1)])
def test_a_carton_weighs_pounds_or_kilograms(text: str, pounds: float):
    """0.45359237 kg is a pound: NIST SP 811, appendix B.8 (MEMORY)."""
    draft = den()
    fill(draft, "material", carton_lb=text)
    raw, said = draft.tables(TODAY)
    assert said == ()
    assert raw["material"][0]["carton_lb"] == pounds


def test_a_weight_that_is_none_is_said_at_its_field():
    """A word, and a unit that is no weight."""
    for text in ("heavy", "14 m", "kg"):
        draft = den()
        fill(draft, "material", carton_lb=text)
        faults = check_job(draft, TODAY).faults
        assert [one.key for one in faults] == ["carton_lb"]


def test_a_piece_of_no_known_size_is_told_beside_the_furniture():
    """As the sheet in Rooms tells it; a usual piece and one with its size tell nothing."""
    draft = den()
    fill(draft, "room", furniture="sofa, loom, kayak 9' x 2' 6")
    place = draft.parts.index(draft.of("room")[0])
    told = [one.words for one in check_job(draft, TODAY).remarks if (one.part, one.key) == (place, "furniture")]
    assert len(told) == 2
    assert "'loom'" in told[0]
    assert told[1] == NOWHERE  # in a job of one room
    fill(draft, "room", furniture="sofa, kayak 9' x 2' 6")
    draft.write(draft.add("room"), {"name": "garage", "length": "20'", "width": "12'", "floor": ""})
    assert not [one for one in check_job(draft, TODAY).remarks if one.key == "furniture"]


def test_a_piece_of_no_known_size_is_told_while_the_rest_is_still_to_be_written():
    """In a new job whose house and floor are empty, and in the room's own sections."""
    draft = new_job(ZONE)
    fill(draft, "room", name="den", sections="window half: 9', door half", furniture="sofa, closet in door half")
    told = [one.words for one in check_job(draft, TODAY).remarks if one.key == "furniture"]
    assert len(told) == 1
    assert told[0].startswith("No size is known of 'closet': taken as ")


def test_a_missing_measure_asks_for_one_in_the_shops_units():
    """In a metric shop an example in metres."""
    draft = new_job(ZONE, "metric")
    said = {one.key: one.words for one in check_job(draft, TODAY).faults}
    assert said["length"] == "It is needed, such as 4.42 m."
    assert said["plank"] == "It is needed, such as 18 cm x 122 cm."


def test_what_is_added_has_a_name_of_its_own_and_an_order_takes_the_floor_without_one():
    """A second floor is ``new floor 2``, further stairs are numbered too, and a second order is of the floor that has none."""
    draft = new_job(ZONE)
    second = draft.add("material")
    assert second.name == "new floor 2"
    assert draft.add("order").texts["material"] == "new floor 2"
    assert [draft.add("stairs").name for _ in range(2)] == ["stairs", "stairs 2"]


def test_measures_follow_the_zone_until_one_is_chosen():
    """Berlin is in metres and on A4, half a name typed is followed by nothing, and what was chosen stays."""
    draft = draft_of(SHOP_PAGES, {}, "America/Chicago")
    (shop,) = draft.of("shop")
    draft.write(shop, {"shop.zone": "America/Chicago", "shop.units": "us", "shop.paper": "letter"})
    draft.write(shop, {"shop.zone": "berl"})
    assert shop.texts["shop.units"] == "us"
    draft.write(shop, {"shop.zone": "Europe/Berlin"})
    assert (shop.texts["shop.units"], shop.texts["shop.paper"]) == ("metric", "a4")
    draft.write(shop, {"shop.paper": "letter"})
    draft.write(shop, {"shop.zone": "America/Denver"})
    assert (shop.texts["shop.units"], shop.texts["shop.paper"]) == ("metric", "letter")


def test_a_new_crew_begins_with_the_shops_hours_until_it_has_its_own():
    """What is typed as usual hours stands in crews not yet touched, half typed or refused in none; a crew's own stay."""
    draft = draft_of(SHOP_PAGES, {}, ZONE)
    (shop,) = draft.of("shop")
    draft.write(shop, {"shop.hours": "mon-fri 7:00-16:00"})
    first, second = draft.add("crew"), draft.add("crew")
    draft.write(second, {"hours": "mon-thu 6:00-16:00"})
    for typed, there in (("seven to four", first.texts["hours"]), ("mon-sat 8:00-14:00", "mon-sat 8:00-14:00")):
        draft.write(shop, {"shop.hours": typed})
        assert (first.texts["hours"], second.texts["hours"]) == (there, "mon-thu 6:00-16:00")
    assert draft.add("crew").texts["hours"] == "mon-sat 8:00-14:00"


def test_hours_that_are_refused_are_shown_as_the_field_takes_them():
    """What the sentence says is right is taken when it is typed."""
    draft = draft_of(SHOP_PAGES, {}, ZONE)
    draft_of_shop(draft, "Ann, Bea")
    for typed in ("seven to four", "mon-fri late"):
        draft.write(draft.parts[0], {"shop.hours": typed})
        (fault,) = check_shop(draft, TODAY).faults
        assert fault.key == "shop.hours"
        right = re.search(r"such as (mon-fri 7:00-12:00, 12:30-15:30)", fault.words)
        assert right is not None
        draft.write(draft.parts[0], {"shop.hours": right[1]})
        assert not check_shop(draft, TODAY).faults


@pytest.mark.parametrize(
    ("kind", "key", "text", "us", "metric"),
    [
        ("opening", "width", "20 m", "40' at most", "12.192 m at most"),
        ("opening", "width", "12' 13 in", "'12' 13 in' is not a length: inches behind", "'12' 13 in' is not a length: inches"),
        ("room", "furniture", "sofa x x x", "sofa 84 in x 36 in", "sofa 210 cm x 90 cm"),
        ("room", "furniture", "unicorn 3 m x", "its size is length and width", "its size is length and width"),
        ("room", "corners", "0, 0; 12'", "12', 9' 6", "3.6 m, 2.9 m"),
        ("material", "plank", "7 x 48", "such as 7 in x 48 in", "such as 18 cm x 122 cm"),
        ("material", "carton", "2,200 m2", "a point stands for the comma", "a point stands for the comma"),
        ("material", "slab_rh", "-4", "'-4' is not between 0 and 100.", "'-4' is not between 0 and 100."),
        ("room", "layers", "tatami, reed", "'tatami' and 'reed' are not known: each is one of carpet", "each is one of"),
    ],
)  # fmt: skip
def test_a_fault_is_told_in_what_the_shop_measures_in(kind, key, text, us, metric):
    """What was typed is quoted as typed; bounds and examples are in feet or in metres."""
    for units, words in (("us", us), ("metric", metric)):
        draft = den(new_job(ZONE, units))
        draft.write(draft.of(kind)[0], {key: text})
        (fault,) = check_job(draft, TODAY).faults
        assert fault.key == key
        assert words in fault.words


def test_a_decimal_comma_is_read_as_a_point():
    """``4,5 m`` and ``2,2 m2``: with its unit behind, nothing else can be meant."""
    draft = den(new_job(ZONE, "metric"))
    fill(draft, "room", length="4,5 m")
    fill(draft, "material", carton="2,2 m2")
    assert not check_job(draft, TODAY).faults


def test_a_decimal_comma_is_one_in_a_list_of_lengths_too():
    """Sections, layers and corners: between two digits it parts nothing, elsewhere it does, as ``;`` does."""
    draft = den(new_job(ZONE, "metric"))
    for sections in ("window half: 2,5 m, door half", "window half: 2,5 m; door half"):
        fill(draft, "room", length="4,5 m", sections=sections, layers="sheet vinyl 1962 2,5 mm, carpet")
        assert not check_job(draft, TODAY).faults
        raw, _ = draft.tables(TODAY)
        job = job_of_tables(raw, "den.toml", ZONE)
        assert [section.name for section in job.rooms[0].sections] == ["window half", "door half"]
        assert [layer.covering.value for layer in job.rooms[0].layers] == ["sheet vinyl", "carpet"]
    ends = next(entry for entry in draft.of("opening")[0].page.entries if entry.chosen_from is From.ENDS)
    assert "den: door half" in draft.options(ends)
    fill(draft, "room", sections="", length="", width="", corners="0,0; 3,6 m, 0; 3,6 m, 2,9 m; 0, 2,9 m")
    assert not check_job(draft, TODAY).faults


def test_holidays_of_a_region_say_how_far_they_reach():
    """They are kept as days, to the end of next year."""
    draft = draft_of(SHOP_PAGES, {}, ZONE)
    draft_of_shop(draft, "Ann, Bea")
    draft.write(draft.parts[0], {"shop.holidays": "US-TX"})
    (remark,) = check_shop(draft, TODAY).remarks
    assert remark.key == "shop.holidays"
    assert "to the end of 2027; write it again then" in remark.words


def test_days_with_their_hours_are_parted_by_a_comma_too():
    """As one writes them; a comma between two stretches of a day stays one."""
    draft = draft_of(SHOP_PAGES, {}, ZONE)
    part = draft.of("shop")[0]
    draft.write(part, {"shop.name": "Alder", "shop.hours": "mon-fri 7:00-12:00, 12:30-16:00, sat 8:00-12:00"})
    raw, said = draft.tables(TODAY)
    assert said == ()
    assert raw["shop"]["hours"] == {"mon-fri": "7:00-12:00, 12:30-16:00", "sat": "8:00-12:00"}


def test_a_room_taken_out_tells_what_goes_with_it_and_an_undo_brings_all_back(shop: Shop):
    """Its open tasks fall away, what was read and found in it is kept with the job and counted; undone, all is as it was."""
    form = shop.office.job_draft(4)
    form.write(form.add("room"), {"name": "nook", "length": "6'", "width": "5'", "floor": "gray plank"})
    form.write(form.add("opening"), {"between.0": "den", "between.1": "nook", "width": "32 in"})
    shop.office.keep_draft(form)
    shop.office.read_air(4, ["70F", "40%"], room="nook")
    shop.office.found(4, "nook", "pests")
    before = shop.record()
    form = shop.office.job_draft(4)
    form.remove(form.of("room")[1])
    form.remove(next(part for part in form.of("opening") if "nook" in part.name))
    done = shop.office.keep_draft(form)
    (told,) = (words for words in done.then if "'nook'" in words)
    assert "no longer in the job" in told
    assert "recorded of it, and kept with the job: 1 reading and 1 finding" in told
    off = sum(task.not_needed for task in shop.record().tasks) - sum(task.not_needed for task in before.tasks)
    assert off > 0
    shop.office.undo()
    after = shop.record()
    assert (after.tasks, after.readings, after.air, after.findings, after.job) == (
        before.tasks,
        before.readings,
        before.air,
        before.findings,
        before.job,
    )


def test_a_card_nearly_that_of_the_work_is_asked_about(shop: Shop):
    """Begun or mistyped it is no card of its own: said beside People; another card is."""
    form = shop.office.shop_draft()
    crew = form.of("crew")[0]
    first = crew.texts["workers"].split(", ")[0].partition(" (")[0]
    for card in ("lead safe", "lead-safe renovater"):
        crew.texts["workers"] = f"{first} ({card})"
        (fault,) = check_shop(form, TODAY).faults
        assert fault.key == "workers"
        assert "did you mean 'lead-safe renovator'?" in fault.words
    for open_end in ("(lead-safe renovator", "lead-safe renovator)"):
        crew.texts["workers"] = f"{first} {open_end}"
        (fault,) = check_shop(form, TODAY).faults
        assert fault.key == "workers"
        assert "open and close the bracket behind the name" in fault.words
    crew.texts["workers"] = f"{first} (forklift)"
    assert check_shop(form, TODAY).faults == ()


def test_a_job_nobody_gets_into_is_remarked():
    """No doorway to outside is said once, at the doorway or beside the room; a room without any, beside its name."""
    draft = den()
    fill(draft, "room", furniture="")
    assert not {key for key in remarks(draft) if key[1] in ("between.1", "name")}
    second = draft.add("room")
    draft.write(second, {"name": "WC", "length": "6'", "width": "4'"})
    assert "No doorway and no stairs lead here" in remarks(draft)["room", "name"]
    draft.remove(second)
    opening = draft.of("opening")[0]
    draft.remove(opening)
    assert (
        remarks(draft)["room", "name"] == "No doorway leads outside: add one from a room to outside, or nobody gets in."
    )
    fill(draft, "terms", state="done")
    assert ("room", "name") not in remarks(draft)


def test_a_job_nobody_gets_into_is_kept_and_told(shop: Shop):
    """When it is saved, from the form as from a file, and again only where that changed."""
    draft = den(shop.office.new_job())
    draft.remove(draft.of("opening")[0])
    done = shop.office.keep_draft(draft)
    words = f"Job {draft.number}: no doorway leads outside: add one from a room to outside."
    assert words in done.then
    again = shop.office.job_draft(draft.number)
    fill(again, "terms", wished="2026-03-20")
    assert words not in shop.office.keep_draft(again).then
    shut = JOB.replace("number = 4", "number = 9").replace('["den", "outside"]', '["den", "den: x"]')
    shut = shut[: shut.index("[[opening]]")] + shut[shut.index("[[material]]") :]
    done = shop.office.load([shop.file("shut.toml", shut)])
    assert "Job 9: no doorway leads outside: add one from a room to outside." in done.then


def test_a_count_of_seven_digits_is_a_count():
    """What is too much is said of the count, not of a fixture of that name."""
    draft = den()
    fill(draft, "room", fixtures="9999999 toilet")
    assert "'9999999' is not between 1 and 200" in faults(draft)["room", "fixtures"]


def test_a_room_nobody_stands_in_is_refused():
    """A tenth of an inch is a slip; so are corners that lie as close."""
    draft = den()
    fill(draft, "room", length="0.1 in")
    assert "under 1 ft is no side of a room" in faults(draft)["room", "length"].lower()
    fill(draft, "room", length="", width="", corners="0, 0; 12', 0; 12', 2 in; 0, 2 in")
    assert "under 1 ft is no side of a room" in faults(draft)["room", "corners"].lower()


def faults(draft: Draft) -> dict[tuple[str, str], str]:
    """What is wrong, by kind of page and field."""
    return {(draft.parts[one.part].page.kind, one.key): one.words for one in check_job(draft, TODAY).faults}


def test_a_section_with_another_name_is_followed():
    """By the doorway that names it, the furniture in it and the order of work; letter by letter, as it is typed."""
    draft = den()
    fill(draft, "room", sections="window half: 9', door half", furniture="sofa in door half, desk in window half")
    fill(draft, "opening", between__0="den: door half")
    rest = draft.of("terms")[0]
    draft.write(rest, {"rest": 'stages = [["den: window half"], ["den: door half"]]'} if "rest" in rest.texts else {})
    for typed in (
        "window half: 9', door",
        "window half: 9', ",
        "window half: 9'",
        "window half: 9', hal",
        "window half: 9', hall end",
    ):
        fill(draft, "room", sections=typed)
    assert draft.of("opening")[0].texts["between.0"] == "den: hall end"
    assert draft.of("room")[0].texts["furniture"] == "sofa in hall end, desk in window half"
    assert faults(draft) == {}
    fill(draft, "room", sections="garden half: 9', hall end")
    assert draft.of("room")[0].texts["furniture"] == "sofa in hall end, desk in garden half"
    assert faults(draft) == {}


@pytest.mark.parametrize(
    ("kind", "key", "typed", "words"),
    [
        (
            "opening",
            "transition",
            {"between.1": "outside", "transition": "continuous"},
            "pick a strip as its transition",
        ),
        ("opening", "between.1", {"between.1": "front room"}, "It joins two different rooms"),
        ("material", "plank", {"plank": "0 in x 48 in"}, "must be more than zero"),
        ("material", "plank", {"plank": "99 in x 60 in"}, "is wider than long"),
        ("material", "carton", {"carton": "0.01 ft2"}, "less than one of its planks"),
        ("material", "carton", {"carton": "2000 ft2"}, "1000 is the most"),
    ],
)
def test_a_fault_stands_at_the_field_that_mends_it(kind: str, key: str, typed: dict[str, str], words: str):
    """In the words of a form, without the page's name, which stands above it."""
    path = next(path for path in JOB_FILES if path.stem.startswith("05"))
    draft = draft_of(JOB_PAGES, tomllib.loads(path.read_text(encoding="utf-8")), ZONE)
    part = draft.of(kind)[0]
    draft.write(part, typed)
    said = [one for one in check_job(draft, TODAY).faults if words in one.words]
    assert [(draft.parts[one.part] is part, one.key) for one in said] == [(True, key)]
    assert " = " not in said[0].words
    assert not said[0].words.startswith(("Opening", "Material"))


def test_a_doorway_of_a_part_of_a_room_is_found_by_its_rooms():
    """A reader names the room there, and the page names its part: the fault stands at that page's field all the same."""
    path = next(path for path in JOB_FILES if path.stem.startswith("01"))
    draft = draft_of(JOB_PAGES, tomllib.loads(path.read_text(encoding="utf-8")), ZONE)
    part = next(one for one in draft.of("opening") if ":" in one.texts["between.0"])
    draft.write(part, {"between.1": "outside", "transition": "continuous"})
    said = [one for one in check_job(draft, TODAY).faults if "no floor runs on" in one.words.casefold()]
    assert [(draft.parts[one.part] is part, one.key) for one in said] == [(True, "transition")]


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        (Kind.NUMBER, "1,5", 1.5),
        (Kind.NUMBER, "1,500", "1,500"),
        (Kind.WEIGHT, "32,5", 32.5),
        (Kind.WEIGHT, "32,5 lb", 32.5),
    ],
)
def test_one_comma_is_a_decimal_point(kind: Kind, text: str, value: object) -> None:
    """As before a unit; three digits behind it may be thousands, and are left to be refused."""
    assert value_of(kind, text, Reading(today=date(2026, 3, 2))) == value
