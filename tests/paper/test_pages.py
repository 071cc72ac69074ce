"""The pages beside the day plan, read back: as PDF through pdfplumber and pypdf, as text, as HTML."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from itertools import product

import pypdf
import pytest

from crewjobs.paper.day_plan_document import day_plan_document
from crewjobs.paper.directions import unmarked
from crewjobs.paper.document import Document, Entries, Entry, Line, Table
from crewjobs.paper.document_html import document_html
from crewjobs.paper.document_pdf import document_pdf
from crewjobs.paper.document_text import document_text
from crewjobs.paper.model import PaperSize
from crewjobs.paper.notice import DONE
from crewjobs.paper.week_sheet import WeekSheet
from crewjobs.paper.wrap import display_width
from tests import thorough
from tests.paper import page_samples, reading, samples
from tests.paper.test_pdf import FOOT_MARGIN, HAIR, MARGIN, MARKUP, SIZES

LONG = "Wilhelmina van Oostermoor " * 8
SAMPLES = {
    "week": page_samples.week,
    "notice": page_samples.notice,
    "questions": page_samples.questions,
    "record": page_samples.record,
    "shopping": page_samples.shopping,
    "week of 100 visits": lambda paper: page_samples.week(paper, visits=6, crews=4),
    "record of 300 tasks": lambda paper: page_samples.record(paper, work=300),
}
TEXTS = {
    "long": LONG,
    "one word": "W" * 200,
    "markup": MARKUP,
    "Arabic": "محمد علي ",
    "Chinese": "王小明",
    "control": "a\x1b[31m\u202eb\ud800",
}
PLAIN = list(product(SAMPLES, SIZES))
FEW = [(name, size) for name, size in PLAIN if "00" not in name or size == "letter"]
FILLED = list(product(("week", "notice", "questions", "record", "shopping"), TEXTS))
MOST_TELLING = (("week", "one word"), ("notice", "markup"), ("record", "Arabic"), ("shopping", "Chinese"))
Read = tuple[str, PaperSize, page_samples.Page, bytes]


def page_of(case: str, size: PaperSize) -> page_samples.Page:
    """A sample, or one with a text in place of all of its own."""
    name, _, text = case.partition(": ")
    page = SAMPLES[name](size)
    return page_samples.with_text(page, TEXTS[text]) if text else page


CASES = [*PLAIN, *((f"{name}: {text}", "letter") for name, text in FILLED)]
USUAL = [*FEW, *((f"{name}: {text}", "letter") for name, text in FILLED if (name, text) in MOST_TELLING)]


@pytest.fixture(scope="module", params=thorough.of(CASES, USUAL), ids=str)
def read(request: pytest.FixtureRequest) -> Read:
    """A page and its PDF, set once for all that is asked of it."""
    case, size = request.param
    page = page_of(case, size)
    return case, size, page, document_pdf(page_samples.document(page))


def test_paper_size(read: Read) -> None:
    """Every page is Letter or A4; the week lies down, all others stand."""
    case, size, _, pdf = read
    wanted = SIZES[size][::-1] if case.startswith("week") else SIZES[size]
    for page in pypdf.PdfReader(io.BytesIO(pdf)).pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(wanted, abs=0.01)


def test_ink_stays_inside_the_margins(read: Read) -> None:
    """No character, line or box outside the margins, as drawn and as placed."""
    _, _, _, pdf = read
    for number, page in enumerate(reading.pages(pdf)):
        if number in (0, len(reading.pages(pdf)) - 1):  # what is drawn: every page takes long to paint
            left, top, right, bottom = reading.ink_box(pdf, number)
            assert left >= MARGIN - HAIR
            assert top >= MARGIN - HAIR
            assert right <= page.width - MARGIN + HAIR
            assert bottom <= page.height - FOOT_MARGIN
        placed = (*page.chars, *page.rects, *page.lines)
        assert min(one["x0"] for one in placed) >= MARGIN - HAIR
        assert max(one["x1"] for one in placed) <= page.width - MARGIN + HAIR
        assert max(one["bottom"] for one in placed) <= page.height - FOOT_MARGIN


def test_no_word_lies_on_another(read: Read) -> None:
    """No two words overlap on any page."""
    for page in reading.pages(read[3]):
        assert reading.overlapping_words(page) == []


def test_only_the_pages_own_fonts_embedded(read: Read) -> None:
    """The day plan's typefaces, their files inside, and no sign set as a missing one."""
    fonts = reading.embedded_fonts(read[3])
    plex = {"IBMPlexSansCond-Regular", "IBMPlexSansCond-SemiBold", "IBMPlexSansCond-Bold"}
    assert all(fonts.values())
    assert set(fonts) <= plex | reading.OTHER_SCRIPTS
    assert "IBMPlexSansCond-Bold" in fonts
    assert "(cid:0)" not in reading.pdf_text(read[3])


def words_of(page: Document) -> Iterator[str]:
    """Every text of a page in finished words; what a wait is called on later days is said in short."""
    for text in reading.planned_texts(page):
        if text not in ("plain", "strong", "small", "wait", "ends", "letter", "a4"):
            yield text


def lacking(page: Document, found: str) -> list[str]:
    """Texts of a page that are not in what was read back."""
    there = reading.squeezed(found)
    return [text for text in dict.fromkeys(map(unmarked, words_of(page))) if reading.squeezed(text) not in there]


def test_every_text_is_printed(read: Read) -> None:
    """Each text of the page stands on paper as typed, markup included; through pypdf too, which reads by itself."""
    case, _, page, pdf = read
    if ":" in case and not case.endswith("markup"):
        return  # letters no typeface has, or cut where a page ends
    document = page_samples.document(page)
    assert lacking(document, reading.pdf_text(pdf)) == []
    if ":" not in case:
        by_pypdf = "".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(pdf)).pages)
        assert lacking(document, by_pypdf) == []


SMALL = {"week": lambda: page_samples.week(crews=1), "notice": page_samples.notice, "record": page_samples.record}


@pytest.mark.parametrize("name", thorough.of(list(SMALL), ["week"]))
def test_long_names_lose_no_letter(name: str) -> None:
    """200-letter words that break over lines and pages are printed in full, beside the cut ones of head and foot."""
    letter = "Ŵ"
    page = page_samples.document(page_samples.with_text(SMALL[name](), letter * 200))
    wanted = sum(text.count(letter) for text in words_of(page))
    assert reading.pdf_text(document_pdf(page)).count(letter) >= wanted


@pytest.mark.parametrize("width", [24, 40, 72])
def test_text_has_every_word_and_stays_narrow(width: int) -> None:
    """Each planned text is in the text page, and no line is wider than asked for."""
    for name, size in thorough.of(PLAIN, PLAIN[:10:2]):
        page = page_samples.document(SAMPLES[name](size))
        text = document_text(page, width)
        assert max(display_width(line) for line in text.splitlines()) <= width
        there = reading.squeezed(text).casefold()
        named_by_rows = {block.heads[0] for block in page.blocks if isinstance(block, Table)}
        wanted = (one for one in dict.fromkeys(words_of(page)) if one not in named_by_rows)
        assert [one for one in wanted if reading.squeezed(one).casefold() not in there] == []


def test_control_characters_command_no_terminal() -> None:
    """Escape sequences and direction overrides are shown as codes in the text."""
    for name in ("week", "notice", "questions", "record", "shopping"):
        text = document_text(page_samples.document(page_of(f"{name}: control", "letter")))
        assert "\x1b" not in text
        assert "\u202e" not in text


class Seen(HTMLParser):
    """What a browser would show and load."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.text, self.tags, self.attributes, self.open = "", set[str](), list[tuple[str, str]](), list[str]()
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        if tag not in ("meta", "br", "col"):
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.text += data


def phone_pages() -> Iterator[tuple[str, Document]]:
    """Every page as it goes to a phone, day plans with furniture and floors among them."""
    for name, sample in SAMPLES.items():
        yield name, page_samples.document(sample("letter"))
    yield "day", day_plan_document(samples.typical_day())
    yield "moving", day_plan_document(samples.moving_day())
    yield "laying", day_plan_document(samples.laying_day())
    yield "empty", day_plan_document(samples.empty_day())
    yield "nothing", day_plan_document(samples.nothing_at_all())
    yield "300 tasks", day_plan_document(samples.long_day())
    yield "Arabic", day_plan_document(samples.with_text("محمد علي", "letter"))


def test_html_shows_every_text_and_loads_nothing() -> None:
    """One file, tags closed, no script, no address of anything outside, light and dark, each text of the page in it."""
    for name, page in phone_pages():
        html = document_html(page)
        seen = Seen(html)
        assert not seen.open, name
        assert not seen.tags & {"script", "link", "img", "iframe", "object", "embed", "form", "base"}
        assert [
            value for one, value in seen.attributes if one in ("src", "href", "srcset", "action", "background")
        ] == []
        assert "url(" not in html.replace("url(#", "")
        assert "@import" not in html
        assert "prefers-color-scheme: dark" in html
        heads = "".join(value for one, value in seen.attributes if one == "data-head")
        assert lacking(page, seen.text + heads) == [], name


def test_html_takes_no_text_for_markup() -> None:
    """Tags and quotes that people typed are shown, in texts and in attributes alike."""
    evil = "\"><script>alert('x')</script><img src=http://x.example>&amp;"
    for name in ("week", "notice", "questions", "record", "shopping"):
        page = page_samples.document(page_samples.with_text(SAMPLES[name]("letter"), evil))
        seen = Seen(document_html(page))
        assert not seen.tags & {"script", "img"}
        assert evil in seen.text
    plan = day_plan_document(samples.with_text(evil, "letter"))
    assert not Seen(document_html(plan)).tags & {"script", "img"}


def test_a_day_plan_for_a_phone_has_all_the_crew_needs() -> None:
    """Each planned text of a day is on its phone page; an entry note only on the lead's."""
    plan = samples.typical_day()
    seen = Seen(document_html(day_plan_document(plan)))
    assert reading.missing_from(plan, seen.text) == []
    from dataclasses import replace

    assert "4471" not in document_html(day_plan_document(replace(plan, lead_only=None)))


def test_nothing_at_all_is_a_page_too() -> None:
    """Pages with nothing to say are set in all three ways, and say so."""
    for page in page_samples.nothing():
        document = page_samples.document(page)
        assert len(reading.pages(document_pdf(document))) == 1
        assert Seen(document_html(document)).text.strip()
        assert document_text(document).strip()
    week, notice, *_ = (document_text(page_samples.document(page)) for page in page_samples.nothing())
    assert "Nothing is planned in this week." in week
    assert "No day is planned yet." in notice


def test_a_table_of_more_crews_than_fit_goes_on_below() -> None:
    """Nine crews: each has its head once on a page that shows it, and what comes beside stands in the last table."""
    pdf = document_pdf(page_samples.document(page_samples.week(crews=9)))
    text = reading.pdf_text(pdf)
    assert all(f"Crew {number}" in text for number in range(9))
    assert "Comes: 10:00 job 6" in text


def test_equal_pages_are_equal_files() -> None:
    """The same page printed twice is the same PDF, byte by byte."""
    page = page_samples.document(page_samples.notice())
    assert document_pdf(page) == document_pdf(page)


def test_a_remark_stands_further_in_only_under_what_it_is_on() -> None:
    """A crew that is off stands as its waits do; a small line under another is its remark."""
    off, wait = Line(text="off", kind="small"), Line(text="glue cures", kind="plain")
    for cell, pads in (((off, wait), (4, 4)), ((wait, off), (4, 6))):
        table = Table(heads=("Day", "Birch"), shares=(1, 1), rows=(((Line(text="Sat"),), cell),))
        page = replace(page_samples.document(page_samples.week()), blocks=(table,))
        lines = document_text(page).splitlines()
        found = [len(line) - len(line.lstrip()) for line in lines if line.strip() in ("off", "glue cures")]
        assert tuple(found) == pads


def test_a_notice_tells_what_is_left_to_do() -> None:
    """On paper, as text and on a phone: under when we come."""
    left = "touch up the base beside the closet"
    page = page_samples.document(replace(page_samples.notice(), punch=(left,), finished=True))
    for told in (" ".join(document_text(page).split()), document_html(page), reading.pdf_text(document_pdf(page))):
        flat = told.lower().replace(" ", "")
        at = [flat.index(words.replace(" ", "")) for words in ("when we come", DONE.lower(), left)]
        assert at == sorted(at)


def test_a_long_name_breaks_between_its_words() -> None:
    """As the lead of an entry: no word of it is cut while its column has room for it."""
    name = "Bartholomew Weatherby of the Featherstone Cottages " * 4
    page = replace(
        page_samples.document(page_samples.record()),
        blocks=(Entries(entries=(Entry(lead=name.strip(), text="nine cartons"),)),),
    )
    words = {word["text"] for one in reading.pages(document_pdf(page)) for word in one.extract_words()}
    assert set(name.split()) <= words
    assert not any(word.startswith("Weath") and word != "Weatherby" for word in words)


def _long_tuesday() -> WeekSheet:
    """A week in which one crew's Tuesday is longer than a page."""
    week = page_samples.week()
    column, cell = week.columns[1], week.columns[1].days[1]
    long = replace(cell, visits=tuple(replace(cell.visits[0], work=f"work {n} {'den ' * 60}") for n in range(14)))
    columns = (week.columns[0], replace(column, days=(column.days[0], long, *column.days[2:])), *week.columns[2:])
    return replace(week, columns=columns)


def test_a_row_that_runs_over_a_page_is_named_on_each() -> None:
    """Whose day it is stands where the columns are headed; on its own page, and of a row that fits, it is the head alone."""
    first, second, *_ = reading.pages(document_pdf(page_samples.document(_long_tuesday())))
    heads = [page.within_bbox((0, 55, 105, 95)).extract_text().split("\n") for page in (first, second)]
    assert heads[1][:2] == ["Tue 3 Mar", "continued"]
    assert "Day" in first.extract_text()
    assert "Day" not in second.extract_text()
    assert first.extract_text().count("Tue 3 Mar") == second.extract_text().count("Tue 3 Mar") == 1
    assert "continued" not in first.extract_text()
    plain = "".join(
        page.extract_text() for page in reading.pages(document_pdf(page_samples.document(page_samples.week())))
    )
    assert "continued" not in plain


def _running_head(document: Document) -> str:
    """What stands in the second page's head."""
    page = reading.pages(document_pdf(document))[1]
    return page.within_bbox((0, 30, page.width, 60)).extract_text()


@pytest.mark.parametrize("size", SIZES)
def test_a_record_is_named_by_number_and_customer_on_every_page(size: PaperSize) -> None:
    """Its title is told beside them as far as the page has room; where its end is missing that is shown."""
    record = replace(page_samples.record(size, work=60), job=1204, customer="Hollis Adeyemi-Roth", state="closed")
    fits = "Family room and entry on slab, new base"
    assert fits in _running_head(page_samples.document(replace(record, title=fits)))
    head = _running_head(page_samples.document(replace(record, title=f"{fits}, {'and the hall ' * 12}")))
    assert f"Job 1204, Hollis Adeyemi-Roth: {fits}" in head
    assert "…" in head


def test_a_title_that_finds_no_room_in_the_head_stands_below_it_in_full() -> None:
    """One that the head has room for is said once."""
    for title, times in (("Family room and entry on slab, with new base and shoe", 1), ("W" * 70, 2)):
        first = reading.pages(document_pdf(page_samples.document(replace(page_samples.record(), title=title))))[0]
        told = reading.squeezed(first.extract_text())
        assert told.count(f"Job4:{reading.squeezed(title)[:20]}") == times
        assert reading.squeezed(title) in told
