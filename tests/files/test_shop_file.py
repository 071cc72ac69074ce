"""A shop file: the shop, its crews, its own task templates."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings

from crewjobs.domain.crew import Lead, SharedTool, Shop, Skill, Sub, Worker
from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import ThreePoint
from crewjobs.domain.wall import Span
from crewjobs.files.faults import Misread
from crewjobs.files.shop_file import read_shop, write_shop
from tests import thorough
from tests.files.samples import SHOP, changed
from tests.files.strategies import shops


@settings(max_examples=thorough.examples(30, 10))
@given(shops)
def test_a_written_shop_reads_back(shop: Shop) -> None:
    """Any shop with its crews is read back from its file as the very same."""
    assert read_shop(write_shop(shop), "shop.toml").shop == shop


def test_template_changes_read_back() -> None:
    """The shop's changes to task templates are written and read back."""
    found = read_shop(SHOP, "shop.toml")
    assert read_shop(write_shop(found.shop, found.overrides), "shop.toml") == found
    assert found.overrides[0].minutes == ThreePoint(low=0.4, likely=0.6, high=1.0)
    assert found.overrides[0].waits == (("leveler cures", 16 * 60),)


def test_a_wait_at_most_reads_back() -> None:
    """What a label says a wait may be at most is the shop's to change, in the words waits have."""
    more = '\n[[template]]\nkey = "prime"\nat_most = { "primer dries" = "12 h" }\n'
    found = read_shop(SHOP + more, "shop.toml")
    assert found.overrides[1].at_most == (("primer dries", 12 * 60),)
    assert read_shop(write_shop(found.shop, found.overrides), "shop.toml") == found


def test_shared_tools_as_written() -> None:
    """A tool is spelled as the templates' load spells it, whatever its capitals; a count left out is one."""
    more = '\n[[tools]]\nname = "Dust Collector"\ncount = 2\n\n[[tools]]\nname = "tile stripper"\n'
    found = read_shop(SHOP + more, "shop.toml")
    assert found.shop.tools == (SharedTool(name="dust collector", count=2), SharedTool(name="tile stripper"))
    assert read_shop(write_shop(found.shop, found.overrides), "shop.toml") == found


def test_the_first_worker_leads() -> None:
    """Without a mark the first of a crew is its lead; a mark makes it another."""
    first = read_shop(SHOP, "shop.toml").shop.crews[0]
    assert first.workers == (Worker(name="Ines Varga", lead=True), Worker(name="Tobiah Lund"))
    text = changed(SHOP, '"Tobiah Lund"', '{ name = "Tobiah Lund", lead = true }')
    assert [worker.lead for worker in read_shop(text, "shop.toml").shop.crews[0].workers] == [False, True]


def test_a_crew_as_written() -> None:
    """Skills, days off and the truck mean what they say."""
    crew = read_shop(SHOP, "shop.toml").shop.crews[0]
    assert crew.skills == {Skill.FLOATING, Skill.GLUED}
    assert crew.days_off == {date(2026, 3, day) for day in (9, 10, 11)}
    assert crew.truck == ("table saw",)


ON_DAYS = (
    'truck = ["table saw"]\nhours_on = { "2026-03-14" = "8-12", "2026-03-10" = "9:00-11:00", "2026-03-05" = "off" }'
)


def test_hours_on_single_days_as_written() -> None:
    """Other hours on one day, or none, outrank the week and the days off; they are written back so."""
    found = read_shop(changed(SHOP, 'truck = ["table saw"]', ON_DAYS), "shop.toml")
    crew = found.shop.crews[0]
    assert crew.hours.on(date(2026, 3, 14)) == (Span(start=480, end=720),)
    assert [crew.comes(date(2026, 3, day)) for day in (5, 9, 10, 11, 12, 14)] == [False, False, True, False, True, True]
    assert 'hours_on = { 2026-03-05 = "off", 2026-03-10 = "9:00-11:00", 2026-03-14 = "8:00-12:00" }' in write_shop(
        found.shop
    )
    assert read_shop(write_shop(found.shop, found.overrides), "again.toml") == found


def test_a_sub_in_the_shops_hours_has_single_days_of_its_own() -> None:
    """A sub without hours works the shop's, but for the days that it names."""
    text = changed(
        changed(SHOP, 'truck = ["table saw"]', SUB + '\nhours_on = { "2026-03-14" = "8-12" }'),
        'hours = { mon-thu = "7:00-12:00, 12:30-15:30", sat = "8-12" }',
        "",
    )
    shop = read_shop(text, "shop.toml").shop
    assert shop.crews[0].hours == shop.hours.with_single(date(2026, 3, 14), (Span(start=480, end=720),))


CARDS = '[{ name = "Ines Varga", cards = ["Lead-safe renovator"] }, "Tobiah Lund"]'
SUB = 'truck = ["table saw"]\nsub = { area = "350 ft2", steps = 13 }'


def test_people_have_their_cards() -> None:
    """A card is spelled as the tasks that ask for it spell it, whatever its capitals; a person without cards is a name."""
    crew = read_shop(changed(SHOP, '["Ines Varga", "Tobiah Lund"]', CARDS), "shop.toml").shop.crews[0]
    assert crew.workers == (
        Worker(name="Ines Varga", lead=True, cards=frozenset({"lead-safe renovator"})),
        Worker(name="Tobiah Lund"),
    )


def test_a_sub_is_measured_by_its_day_and_needs_no_hours() -> None:
    """Area and steps in a full day; without hours of its own it works the shop's."""
    text = changed(
        changed(SHOP, 'truck = ["table saw"]', SUB), 'hours = { mon-thu = "7:00-12:00, 12:30-15:30", sat = "8-12" }', ""
    )
    shop = read_shop(text, "shop.toml").shop
    assert shop.crews[0].sub == Sub(area_ft2=350, steps=13)
    assert shop.crews[0].hours == shop.hours


def test_a_sub_for_stairs_alone_names_no_area() -> None:
    """Steps alone are a sub's day where it lays no floors, and they are written back so."""
    text = changed(
        changed(SHOP, 'truck = ["table saw"]', "sub = { steps = 13 }"), '"floating", "glue-down"', '"stairs"'
    )
    found = read_shop(text, "shop.toml")
    assert found.shop.crews[0].sub == Sub(steps=13)
    assert read_shop(write_shop(found.shop, found.overrides), "again.toml") == found


def test_the_lead_has_hours_of_their_own() -> None:
    """Measuring, readings and walk-throughs are the lead's, in hours of their own."""
    shop = read_shop(SHOP + '\n[lead]\nname = "Vera Lindqvist"\nhours = { mon-fri = "7-17" }\n', "shop.toml").shop
    assert shop.lead == Lead(name="Vera Lindqvist", hours=shop.hours)


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('zone = "America/Chicago"', "", "shop.toml: shop, key 'zone': missing; write the time zone"),
        ('zone = "America/Chicago"', 'zone = "Middle"', "shop, key 'zone': 'Middle' is not a time zone"),
        ("[shop]", "[shopp]", "shop.toml: key 'shopp': unknown key; did you mean 'shop'?"),
        ("holidays", "hollidays", "shop, key 'hollidays': unknown key; did you mean 'holidays'?"),
        ("2026-05-25", '"2026-02-30"', "shop, key 'holidays': '2026-02-30' does not exist in the calendar"),
        ("[shop]", '[shop]\nunits = "imperial"', "shop, key 'units': 'imperial' is not known: it is one of us, metric"),
        ("[shop]", '[shop]\npaper = "legal"', "shop, key 'paper': 'legal' is not known: it is one of letter, a4"),
        ('"floating"', '"floting"', "crew 'Birch', key 'lays', item 1: 'floting' is not known; did you mean 'floating'?"),
        ('"Ines Varga", "Tobiah Lund"', "", "shop.toml: crew 'Birch' has 0 people: a crew is one to four"),
        ('"Tobiah Lund"', '"Ines Varga"', "crew 'Birch' has two people of one name"),
        ('"8-12"', '"12-8"', "crew 'Birch', hours: '12-8': the end comes after the start"),
        ('"pour-leveler"', '"pour-lever"', "shop.toml: template 'pour-lever': there is none of that name"),
        ("[0.4, 0.6, 1]", "[0.4, 0.6]", "template 'pour-leveler', key 'minutes': a list is not low, likely and high minutes"),
        ("[0.4, 0.6, 1]", "[0.4, 0.6, 600000]", "key 'minutes': '600000' is not between 0 and 527040"),
        ("[0.4, 0.6, 1]", "[0.4, 0.6, 1]\nfixed = 2000000", "key 'fixed': '2000000' is not between 0 and 527040"),
        ("[0.4, 0.6, 1]", "[0.4, 0.6, 1]\npeople = 500", "template 'pour-leveler': 500 people; it takes"),
        ("[0.4, 0.6, 1]", "[4, 0.6, 1]", "shop.toml: template 'pour-leveler': minutes are low, likely and high"),
        ('["Ines Varga", "Tobiah Lund"]', '[{ name = "Ines Varga", cards = "renovator" }]', "workers 'Ines Varga', key 'cards': 'renovator' is not a list of cards"),
        ('["Ines Varga", "Tobiah Lund"]', '[{ name = "Ines Varga", cards = [" "] }]', "workers 'Ines Varga', key 'cards': it is empty"),
        ('truck = ["table saw"]', 'sub = { area = "0 ft2" }', "crew 'Birch', sub: a sub's day is up to 5,000 ft², up to 200 steps, or both: more than 0 of one"),
        ('truck = ["table saw"]', "sub = {}", "crew 'Birch', sub: a sub's day is up to"),
        ('truck = ["table saw"]', "sub = { steps = 13 }", "crew 'Birch' lays floating and glue-down, and its sub names no area"),
        ('truck = ["table saw"]', 'sub = { area = "350" }', "crew 'Birch', sub, key 'area': '350' is not an area"),
        ('hours = { mon-thu = "7:00-12:00, 12:30-15:30", sat = "8-12" }', "", "crew 'Birch', key 'hours': missing; write the usual hours"),
        ('truck = ["table saw"]', 'hours_on = "8-12"', "crew 'Birch', key 'hours_on': '8-12' is not a table of dates: write single days such as"),
        ('truck = ["table saw"]', 'hours_on = { sat = "8-12" }', "crew 'Birch', hours_on: 'sat' is not a date"),
        ('truck = ["table saw"]', 'hours_on = { "2026-02-30" = "8-12" }', "crew 'Birch', hours_on: '2026-02-30' does not exist in the calendar"),
        ('truck = ["table saw"]', 'hours_on = { "2026-03-07" = "noon" }', "crew 'Birch', hours_on: 'noon' is not a stretch of a day"),
        ('truck = ["table saw"]', 'hours_on = { "2026-03-07" = "8:05-12:00" }', "crew 'Birch', hours_on: the hours of Sat 7 Mar do not start and end on a quarter hour"),
        ('truck = ["table saw"]', 'hours_on = { "2026-03-07" = "8-12", "2026-3-7" = "off" }', "crew 'Birch', hours_on: the hours of 2026-03-07 are given twice"),
        ("[[crew]]", '[lead]\nname = "Vera"\n\n[[crew]]', "shop.toml: lead, key 'hours': missing"),
        ("[[template]]", '[[tools]]\nname = "saw"\ncount = 0\n\n[[template]]', "tools 'saw': tool 'saw': 0 of it; a shop has 1 to 99 of a shared tool"),
        ("[[template]]", '[[tools]]\nname = "saw"\n\n[[tools]]\nname = "Saw"\n\n[[template]]', "tool 'Saw' is there twice"),
        ("[[template]]", '[[tools]]\ncount = 1\n\n[[template]]', "tools 1, key 'name': missing"),
        ('"16 h"', "16", "template 'pour-leveler', waits: '16' is not a wait"),
    ],
)  # fmt: skip
def test_each_fault_has_its_sentence(old: str, new: str, sentence: str) -> None:
    """One mistake in a good file: the file is refused, and the sentence says where and what would be right."""
    with pytest.raises(Refused) as caught:
        read_shop(changed(SHOP, old, new), "shop.toml")
    assert any(sentence in fault for fault in caught.value.sentences), caught.value.sentences


def test_nobody_is_in_two_crews() -> None:
    """A person stands in one crew, so that no plan has them in two houses; capitals do not matter, and the place is known."""
    crew = SHOP[SHOP.index("[[crew]]") : SHOP.index("[[template]]")]
    other = changed(changed(crew, '"Birch"', '"Alder"'), '"Ines Varga", "Tobiah Lund"', '"Jon Ekwueme", "TOBIAH Lund"')
    with pytest.raises(Misread) as caught:
        read_shop(SHOP.replace("[[template]]", other + "[[template]]"), "shop.toml")
    (fault,) = caught.value.faults
    assert fault.path == ("crew", 1, "workers")
    assert fault.sentence.startswith("shop.toml: crew 'Alder', key 'workers': TOBIAH Lund is in Birch already")


def test_two_crews_of_one_name() -> None:
    """Crews are told apart by their names."""
    text = SHOP.replace("[[template]]", SHOP[SHOP.index("[[crew]]") : SHOP.index("[[template]]")] + "[[template]]")
    with pytest.raises(Refused, match="crew 'Birch' is there twice"):
        read_shop(text, "shop.toml")
