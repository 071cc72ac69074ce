"""Names of rooms, doors and people in letters read from right to left: on every page each is set apart as one, with its number."""

from __future__ import annotations

import re

import pytest
from bidi import get_display

from crewjobs.paper.day_plan_document import day_plan_document
from crewjobs.paper.directions import isolated, named, parts
from crewjobs.paper.document_html import document_html
from crewjobs.paper.document_pdf import document_pdf
from crewjobs.paper.document_text import document_text
from crewjobs.paper.payload import payload
from crewjobs.paper.text import day_plan_text
from crewjobs.services.pages import revisions, sheets
from crewjobs.services.pages.names import with_names
from crewjobs.services.pages.printed import document_of
from tests.paper.reading import pages
from tests.services.conftest import JOB, SHOP

HALL, BEDROOM, CUSTOMER, WORKER = "صالة 2", "غرفة النوم 1", "أحمد 5", "سامي 7"
SECOND = f"""
[[room]]
name = "{BEDROOM}"
length = "12'"
width = "10'"
layers = ["carpet"]
floor = "gray plank"

[[opening]]
between = ["{HALL}", "{BEDROOM}"]
width = "30 in"
"""
ROOM_POINTS = 12
"""Less than the shorter room's name takes on paper, more than any space."""
MARKS = {0x2068: None, 0x2069: None}


@pytest.fixture
def shop(empty_shop):
    """A shop with two such rooms, a door between them, and such people; it is planned."""
    job = JOB.replace('"den"', f'"{HALL}"').replace("Teo Halloran", CUSTOMER)
    job = job.replace("\n[[material]]", f"{SECOND}\n[[material]]")
    files = {"shop.toml": SHOP.replace("Ines Varga", WORKER), "den.toml": job}
    empty_shop.office.load([empty_shop.file(name, text) for name, text in files.items()])
    empty_shop.ready()
    empty_shop.office.plan()
    return empty_shop


def _documents(shop):
    office = shop.office
    days = [day for day in office.week().days if any(visit.job == 4 for visit in day.visits)]
    found = [office.notice(4), office.ready_questions(4), office.job_record(4), office.week_sheet(days[0].day)]
    yield from (document_of(page) for page in found)
    yield from (day_plan_document(page) for page in _day_plans(shop))


def _day_plans(shop):
    days = {visit.start.date(): None for day in shop.office.week().days for visit in day.visits if visit.job == 4}
    with shop.office._database.reading() as uow:
        found = uow, shop.office._catalogue(uow), shop.office.now()
        return [page for day in days for page in sheets.pages(*found, day, "", lead_copy=False, paper="")]


def _named_in(text: str) -> int:
    return sum(text.count(name) for name in (HALL, BEDROOM, CUSTOMER, WORKER))


def _apart(name: str, text: str) -> bool:
    """Return whether a name stands in a text, and never but as one that is set apart."""
    return 0 < text.count(name) == text.count(f"\u2068{name}\u2069")


def test_each_name_in_a_sentence_is_set_apart_as_one(shop) -> None:
    """In text and on a phone; no word of one stands beside its own without the number."""
    seen = 0
    for document in _documents(shop):
        text, html = document_text(document, 400), document_html(document)
        for name in (HALL, BEDROOM, CUSTOMER, WORKER):
            word = name.split()[0]
            assert text.count(word) == text.count(f"\u2068{name}\u2069"), (document.title, name)
            shown = re.sub("<title>.*?</title>|<svg.*?</svg>", "", html, flags=re.DOTALL)
            assert shown.count(word) == shown.count(f"<bdi>{name}</bdi>"), (document.title, name)
        seen += _named_in(text)
        assert not set(text + html) & set("\ufdd0\ufdd1")
    assert seen > 20


def test_the_day_plan_sets_its_names_apart_in_text_and_on_paper(shop) -> None:
    """Its crew's people with their initials behind them, its rooms and the door between two of them."""
    days = [page for page in _day_plans(shop) if page.houses]
    text = "".join(day_plan_text(page, 400) for page in days)
    assert _apart(HALL, text)
    assert _apart(CUSTOMER, text)
    assert f"\u2068{WORKER}\u2069 (" in text
    places = (task["place"] for page in days for task in _tasks(page))
    place = next(one for one in places if " / " in one and BEDROOM.split()[0] in one)
    assert place.replace("\u00a0", " ").casefold() == f"\u2068{HALL}\u2069 / \u2068{BEDROOM}\u2069".casefold()


def _tasks(page):
    for house in payload(page, ())["houses"]:
        for stretch in house["stretches"]:
            yield from (task for lane in stretch["lanes"] for task in lane)


def test_two_rooms_in_one_line_have_each_its_number_left_of_it_on_paper(shop) -> None:
    """By the places of the printed characters: read from right to left a number comes after its room, and no two stand together."""
    mark = named([HALL, BEDROOM])
    line = mark(f"Demolition ({HALL} and {BEDROOM})")
    for base in ("L", None):
        shown = get_display(isolated(line), base_dir=base).replace("\u00a0", " ").translate(MARKS)
        assert re.search(r"\(2 [^0-9]+ and 1 [^0-9]+\)", shown), shown
    page = document_of(shop.office.notice(4))
    rows = [row for paper in pages(document_pdf(page)) for row in _rows(paper.chars)]
    between = [
        (row[place - 1], row[place])
        for row in rows
        for place in range(1, len(row) - 3)
        if [char["text"] for char in row[place : place + 4]] == [*"and1"]
    ]
    assert between
    for two, word in between:
        assert two["text"] == "2"
        assert word["x0"] - two["x1"] > ROOM_POINTS, "the room of the number stands right of it"


def _rows(chars):
    found: dict[int, list] = {}
    for char in chars:
        if char["text"].strip():
            found.setdefault(round(char["top"]), []).append(char)
    return [sorted(row, key=lambda char: char["x0"]) for row in found.values()]


@pytest.mark.parametrize("width", range(24, 44))
def test_no_line_of_a_message_begins_with_the_number_of_a_name(shop, width: int) -> None:
    """Alone on its line it numbers nothing; nothing is lost by it, and no line is wider."""
    text = document_text(document_of(shop.office.notice(4)), width)
    assert not re.search(r"^\W*\u2068?[125]\u2069", text, re.MULTILINE)
    assert max(len(line.translate(MARKS)) for line in text.splitlines()) <= width


def test_pages_are_filed_under_what_was_typed(shop) -> None:
    """Marks are of the page alone: a sheet that was printed is found again, and says the same as before."""
    office = shop.office
    office.load(
        [shop.file("shop.toml", SHOP.replace('"Birch"', '"طاقم 3"').replace("Ines Varga", WORKER))], replace=True
    )
    office.plan()
    with office._database.reading() as uow:
        notice = office.notice(4)
        assert revisions.digest_of(notice) == revisions.digest_of(with_names(uow, notice))
    for page in _day_plans(shop):
        assert "\ufdd0" not in page.crew_name
        if page.crew_name == "طاقم 3":
            assert "\u2068طاقم 3\u2069 CREW" in day_plan_text(page)


def test_a_name_in_a_longer_word_is_none_and_the_longer_name_counts() -> None:
    """Of a room and its number's room the one that stands there; what is marked is marked once."""
    mark = named(["صالة", "صالة 2", "den"])
    assert next(part for part, apart in parts(mark("the den, صالة 2 h and وصالة 3 h")) if apart) == "صالة 2"
    assert mark(mark("صالة 2")) == mark("صالة 2")
    assert mark("the den 2") == "the den 2"
    assert "صالة\ufdd1" not in mark("صالةx").replace("x", "")
