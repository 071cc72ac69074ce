"""Names read from right to left stand on English pages without turning round what stands beside them."""

from datetime import datetime
from html.parser import HTMLParser

import pytest
from bidi import get_display

from crewjobs.paper.directions import isolated, parts, set_apart
from crewjobs.paper.document import Document, Entries, Entry
from crewjobs.paper.document_html import document_html
from crewjobs.paper.document_pdf import document_pdf
from crewjobs.paper.document_text import document_text
from crewjobs.paper.text import day_plan_text
from tests.paper import samples
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
