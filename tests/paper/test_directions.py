"""Names read from right to left stand on English pages without turning round what stands beside them."""

from datetime import datetime
from html.parser import HTMLParser

import pytest
from bidi import get_display

from crewjobs.cli.printing import plain
from crewjobs.paper.directions import isolated, parts, set_apart, unmarked, whole
from crewjobs.paper.document import Document, Entries, Entry
from crewjobs.paper.document_html import document_html
from crewjobs.paper.document_pdf import document_pdf
from crewjobs.paper.document_text import document_text
from crewjobs.paper.payload import payload
from crewjobs.paper.text import day_plan_text
from tests.paper import page_samples, samples
from tests.paper.reading import pages, pdf_text

NAME, ROOM, STREET = "حسن الراوي", "غرفة النوم", "شارع النخيل 12"
LINES = (
    (f"{NAME} 555-0177", "555-0177"),
    (f"{NAME} (312) 555-0142", "(312)555-0142"),
    (f"{ROOM}, 108 ft²", "108ft²"),
    (f"For {NAME}, {STREET}, +1 312 555-0143", "+1312555-0143"),
    ("דוד לוי 555-0177", "555-0177"),
    ("555-0142 דוד לוי (312) 555-0177", "(312)555-0177"),
)

ADDRESSES = (
    ("شارع النخيل 14، الطابق 2", "14", "2"),
    ("14 شارع النخيل، 2", "14", "2"),
    ("שדרות הנביאים 14, דירה 2", "14", "2"),
)
"""Each with its house number and what comes after it: in letters read from right to left the first stands right of the second."""


def _page(*texts: str) -> Document:
    return Document(
        title="Page",
        aside="",
        under=(),
        blocks=(Entries(entries=tuple(Entry(text=text) for text in texts)),),
        foot="",
        newer="",
        printed_at=datetime(2026, 3, 2, 8, 0),
        paper="letter",
    )


@pytest.mark.parametrize(("line", "stands"), LINES)
def test_what_follows_a_name_in_arabic_letters_stands_on_paper_from_left_to_right(line: str, stands: str) -> None:
    """By the places of the printed characters, not by their order in the file (UAX 9: without isolates W2 and N1 turn them)."""
    (page,) = pages(document_pdf(_page(line)))
    row = sorted(
        (c for c in page.chars if 60 < c["top"] < page.height - 60 and c["text"].strip()), key=lambda c: c["x0"]
    )
    assert stands in "".join(char["text"] for char in row)


def test_what_sets_a_name_apart_is_no_part_of_the_text_that_is_copied_off_a_page() -> None:
    """No control character comes with a name or with a sign after it, such as the colon of every hour."""
    found = pdf_text(document_pdf(_page(f"{NAME}: 555-0177", "at 07:30")))
    assert not set(found) & set("\u2066\u2067\u2068\u2069\u202a\u202b\u202c")
    assert "at07:30" in found.replace(" ", "")


class _Apart(HTMLParser):
    """The text of a page's `bdi` elements, the innermost only."""

    def __init__(self) -> None:
        super().__init__()
        self.open, self.found = list[str](), list[str]()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        if self.open[-1:] == ["bdi"]:
            self.found.append(data)


def test_on_a_phone_each_name_is_an_element_of_its_own() -> None:
    """HTML Living Standard: a `bdi` element is isolated, and takes no part in the direction of what holds it."""
    reader = _Apart()
    reader.feed(document_html(_page(*(line for line, _ in LINES))))
    assert {NAME, ROOM, STREET} <= set(reader.found)
    assert not [text for text in reader.found if NAME in text and "555" in text]


@pytest.mark.parametrize("text", ["Ada Brook 555-0142", "", "naïve 李 寶玲", f"{NAME}!", STREET])
def test_a_line_with_nothing_beside_such_a_name_is_left_as_it_is(text: str) -> None:
    """So that a sentence wholly in Arabic finds its own direction."""
    assert isolated(text) == text


def test_parts_put_together_are_the_line() -> None:
    """Nothing is lost; numbers between words and after the last go with them, a telephone number does not."""
    for line, _ in LINES:
        assert "".join(part for part, _ in parts(line)) == line
    assert [part for part, apart in parts(f"at {STREET} دمشق 5, 555-0177") if apart] == [f"{STREET} دمشق 5"]


@pytest.mark.parametrize(("line", "stands"), LINES)
def test_in_a_message_each_line_is_shown_with_its_telephone_number_as_it_is_dialled(line: str, stands: str) -> None:
    """By an independent judge of UAX 9, each line a paragraph that finds its own direction, as a phone's text view has it."""
    shown = [get_display(one) for one in document_text(_page(line), 72).splitlines()]
    assert any(stands in "".join(one.split()) for one in shown)
    alone = get_display(set_apart(line))
    assert stands in "".join(alone.split())


def test_without_being_set_apart_a_telephone_number_is_turned_round() -> None:
    """So the judge sees what the marks are for."""
    assert "0177-555" in get_display(LINES[0][0])


def test_a_text_page_without_such_names_has_not_one_more_character() -> None:
    """Plain stays plain, and a line beside one with such a name as well."""
    assert not set(day_plan_text(samples.typical_day())) & set("\u2066\u2067\u2068\u2069\u200e")
    assert set_apart(f"Ada 555-0142\n{NAME} 555-0177\n") == f"Ada 555-0142\n\u2068{NAME}\u2069 555-0177\n"


def _order(shown: str, house: str, more: str) -> bool:
    """Return whether on a line as it is shown the number of the house stands right of the other, with letters between them."""
    between = shown.partition(more)[2].rpartition(house)[0]
    return any(char.isalpha() for char in between) or "،" in between


@pytest.mark.parametrize(("address", "house", "more"), ADDRESSES)
def test_an_address_is_set_apart_as_one_with_its_numbers(address: str, house: str, more: str) -> None:
    """Cut at its numbers, 14 stood beside 2 and read as house 142. By an independent judge of UAX 9, from left to right and in a message."""
    line = f"For {whole(NAME)}, {whole(address)}, 555-0143"
    assert [part for part, apart in parts(line) if apart] == [NAME, address]
    for base in ("L", None):
        shown = get_display(isolated(line), base_dir=base).replace("\u00a0", " ")
        assert _order(shown, house, more), shown
        assert "555-0143" in shown


@pytest.mark.parametrize(("address", "house", "more"), ADDRESSES)
def test_an_address_over_two_lines_of_a_message_is_set_apart_on_each(address: str, house: str, more: str) -> None:
    """No line ends before what set its part apart does; put together without the marks they are the address."""
    page = document_text(_page(f"{'x' * 20} · {whole(address)}, 555-0143"), 34)
    lines = [line for line in page.splitlines() if "\u2068" in line]
    assert len(lines) > 1
    assert all(line.count("\u2068") == line.count("\u2069") for line in lines)
    bare = " ".join(line.strip() for line in page.translate({0x2068: None, 0x2069: None}).splitlines())
    assert f"{address}, 555-0143" in bare
    assert unmarked(page) == page


@pytest.mark.parametrize(("address", "house", "more"), ADDRESSES)
def test_an_address_is_one_element_on_a_phone_and_stands_in_its_order_on_paper(
    address: str, house: str, more: str
) -> None:
    """By the places of the printed digits: with the first number right of the second, and nothing of the marks printed."""
    page = _page(f"Job 3 · {whole(address)}")
    reader = _Apart()
    reader.feed(document_html(page))
    assert address in reader.found
    (paper,) = pages(document_pdf(page))
    row = sorted(
        (c for c in paper.chars if c["text"].isdigit() and 60 < c["top"] < paper.height - 60), key=lambda c: c["x0"]
    )
    assert "".join(char["text"] for char in row) == f"3{more}{house}"
    assert row[2]["x0"] - row[1]["x1"] > 10
    assert not set(pdf_text(document_pdf(page))) & set("\u2068\u2069\ufdd0\ufdd1\ufffd")


def test_an_address_in_latin_letters_is_not_marked() -> None:
    """Plain stays plain."""
    assert whole("8 Bell Close, Marrow Bend") == "8 Bell Close, Marrow Bend"


def test_a_whole_that_was_cut_ends_with_its_line() -> None:
    """Where there was no room for all of it, what comes after is not taken along."""
    assert set_apart(f"{whole(ADDRESSES[0][0])[:8]}") == f"\u2068{ADDRESSES[0][0][:7]}\u2069"


def test_a_number_between_words_and_an_arabic_comma_goes_with_them() -> None:
    """Also in a title or a note that nobody marked."""
    assert [part for part, apart in parts(f"Job 3: {ADDRESSES[0][0]}") if apart] == [ADDRESSES[0][0]]


def test_a_number_of_an_address_stays_with_its_word_on_paper() -> None:
    """Each at the end of a narrow column would begin the next line, away from what it numbers."""
    assert isolated(whole(ADDRESSES[0][0])) == "\u2068شارع النخيل\u00a014، الطابق\u00a02\u2069"


@pytest.mark.parametrize(
    "page", [page_samples.week(), page_samples.notice(), page_samples.questions(), page_samples.record()]
)
def test_every_page_sets_each_of_its_addresses_apart_as_one(page: page_samples.Page) -> None:
    """As a message and on a phone, with nothing of the marks sent."""
    address = ADDRESSES[0][0]
    document = page_samples.document(page_samples.with_address(page, address))
    text, html = document_text(document, 200), document_html(document)
    assert f"\u2068{address}\u2069" in text
    assert f"<bdi>{address}</bdi>" in html
    assert text.count(address) == text.count(f"\u2068{address}\u2069")
    assert not set(text + html) & set("\ufdd0\ufdd1")


def test_the_day_plan_sets_its_addresses_apart_as_one() -> None:
    """In its text and for its PDF."""
    address = ADDRESSES[0][0]
    day = page_samples.with_address(samples.typical_day(), address)
    assert f"\u2068{address}\u2069" in day_plan_text(day, 100)
    house = payload(day, ())["houses"][0]
    assert house["address"].replace("\u00a0", " ") == f"\u2068{address}\u2069"


def test_what_programs_read_has_none_of_the_marks() -> None:
    """Words that a page was given whole stand in its JSON as they were typed."""
    assert plain((f"job 3, {whole(ADDRESSES[0][0])}",)) == [f"job 3, {ADDRESSES[0][0]}"]
