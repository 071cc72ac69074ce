"""The printed day plan, read back."""

import hashlib
import os
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, time

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.paper import fonts
from crewjobs.paper.day_plan_document import day_plan_document
from crewjobs.paper.document import Document
from crewjobs.paper.document_html import document_html
from crewjobs.paper.document_pdf import _payload, document_pdf, not_printed
from crewjobs.paper.model import Caution, DayPlan, HouseFact, PaperSize
from crewjobs.paper.payload import missing_note
from crewjobs.paper.pdf import day_plan_pdf, missing_characters
from crewjobs.paper.text import day_plan_text
from tests import thorough
from tests.paper import reading, samples

MARKUP = '#let x = 1 $x^2$ *bold* _it_ [a] \\ <l> @r #panic("no") //c `raw` ~ -- "q" '
PLANS: dict[str, Callable[[PaperSize], DayPlan]] = {
    "typical": samples.typical_day,
    "empty": samples.empty_day,
    "nothing": samples.nothing_at_all,
    "owing": samples.owing_day,
    "one person": samples.visits_day,
    "300 tasks": samples.long_day,
    "furniture": samples.moving_day,
    "furniture for pages": lambda paper: samples.crowded_move(paper, "Wilhelmina van Oostermoor " * 3),
    "laying": samples.laying_day,
    "200 letters without a space": lambda paper: samples.with_text("W" * 200, paper),
    "200 letters in words": lambda paper: samples.with_text("Wilhelmina van Oostermoor " * 8, paper),
    "markup": lambda paper: samples.with_text(MARKUP, paper),
    "Arabic": lambda paper: samples.with_text("محمد علي ", paper),
    "Hebrew": lambda paper: samples.with_text("דוד לוי ", paper),
    "Chinese": lambda paper: samples.with_text("王小明", paper),
    "control characters": lambda paper: samples.with_text("a\x1b[31m\x00\u202eb\ud800", paper),
}
SIZES: dict[PaperSize, tuple[float, float]] = {"letter": (612, 792), "a4": (595.28, 841.89)}
# A rule sticks out by half its own thickness at its ends; the picture it is measured in adds half a point.
MARGIN, FOOT_MARGIN, HAIR = 36.0, 20.0, 2.0

Printed = tuple[str, PaperSize, DayPlan, bytes]


READ_BACK = ("typical", "empty", "300 tasks", "markup", "owing", "one person", "furniture", "furniture for pages")
"""Plans of which every text is looked for; of the others some letters cannot be printed, or are cut."""


EVERY = [(name, size) for name in PLANS for size in SIZES]
USUAL = [(name, size) for name, size in EVERY if size == "letter" or name in ("typical", "furniture", "laying")]


@pytest.fixture(scope="module", params=thorough.of(EVERY, USUAL), ids=str)
def printed(request: pytest.FixtureRequest) -> Printed:
    """Return a plan and its pages, set once for all that is asked of them."""
    name, size = request.param
    plan = PLANS[name](size)
    return name, size, plan, day_plan_pdf(plan)


def test_paper_size(printed: Printed) -> None:
    """Every page is Letter or A4, as the plan says."""
    _, size, _, pdf = printed
    for page in reading.pages(pdf):
        assert (page.width, page.height) == pytest.approx(SIZES[size], abs=0.01)


def test_ink_stays_inside_the_margins(printed: Printed) -> None:
    """Nothing is printed outside half an inch at the sides and top, and the foot stays printable."""
    _, size, _, pdf = printed
    width, height = SIZES[size]
    for number in range(len(reading.pages(pdf))):
        left, top, right, bottom = reading.ink_box(pdf, number)
        assert left >= MARGIN - HAIR
        assert top >= MARGIN - HAIR
        assert right <= width - MARGIN + HAIR
        assert bottom <= height - FOOT_MARGIN


def test_no_word_lies_on_another(printed: Printed) -> None:
    """No two words overlap on any page."""
    _, _, _, pdf = printed
    for page in reading.pages(pdf):
        assert reading.overlapping_words(page) == []


def test_no_character_without_a_glyph(printed: Printed) -> None:
    """No character is set with the font's "missing" glyph: what cannot be printed is replaced before."""
    _, _, _, pdf = printed
    assert "(cid:0)" not in reading.pdf_text(pdf)


def test_fonts_are_embedded(printed: Printed) -> None:
    """Only the page's own typefaces are used, and their files are inside the PDF."""
    _, _, _, pdf = printed
    fonts_used = reading.embedded_fonts(pdf)
    plex = {"IBMPlexSansCond-Regular", "IBMPlexSansCond-SemiBold", "IBMPlexSansCond-Bold"}
    assert all(fonts_used.values())
    assert set(fonts_used) <= plex | reading.OTHER_SCRIPTS
    assert "IBMPlexSansCond-Bold" in fonts_used


def test_every_planned_text_is_printed(printed: Printed) -> None:
    """Each text of the plan stands on the page as typed, Typst markup included."""
    name, _, plan, pdf = printed
    if name in READ_BACK:
        assert reading.missing_from(plan, reading.pdf_text(pdf), cut=True) == []


@pytest.mark.parametrize("size", list(SIZES))
def test_long_names_lose_no_letter(size: PaperSize) -> None:
    """200-letter texts that break over lines and pages are printed in full."""
    letter = "Ŵ"  # wide, and in none of the page's own words
    plan = samples.with_text(letter * 200, size)
    # Without a time, so that no shortened label of the day's bar adds to the count.
    plan = replace(plan, waits=tuple(replace(wait, at=None) for wait in plan.waits))
    wanted = sum(text.count(letter) for text in reading.planned_texts(plan))
    assert reading.body_text(day_plan_pdf(plan)).count(letter) == wanted


def test_pages_are_numbered() -> None:
    """Every page says which of how many it is."""
    pdf = day_plan_pdf(samples.long_day())
    pages = reading.pages(pdf)
    assert len(pages) > 5
    for number, page in enumerate(pages, start=1):
        assert f"Page{number}of{len(pages)}" in reading.squeezed(page.extract_text())


def test_a_page_says_which_house_it_goes_on_with() -> None:
    """A page in the middle of a house names it at its head; one that begins with a new house does not."""
    heads = [
        reading.squeezed(page.crop((0, 0, page.width, 60)).extract_text())
        for page in reading.pages(day_plan_pdf(samples.long_day()))
    ]
    assert "continued" not in heads[0]
    assert all("House1continued" in head for head in heads[3:])
    short = reading.pages(day_plan_pdf(samples.typical_day()))
    assert "House1continued" in reading.squeezed(short[1].extract_text())


@pytest.mark.parametrize("size", list(SIZES))
def test_typical_day_takes_two_pages(size: PaperSize) -> None:
    """One main house and a short second one fit on the two sides of a sheet."""
    assert len(reading.pages(day_plan_pdf(samples.typical_day(size)))) == 2


def test_a_fact_stands_under_its_own_heading() -> None:
    """However far down the page the facts of a house come, no heading ends a page with its text on the next one."""
    day = samples.typical_day()
    facts = tuple(HouseFact(label=f"Label{n:02}", text=f"Words{n:02} " + "to be read on site " * 4) for n in range(60))
    house = replace(day.houses[0], facts=facts)
    for notes in range(0, 14, thorough.examples(1, 4)):
        plan = replace(day, notes=("A line more above the house.",) * notes, houses=(house,))
        pages = [reading.squeezed(page.extract_text()) for page in reading.pages(day_plan_pdf(plan))]
        assert sum("Label" in page for page in pages) > 1
        for n in range(60):
            [page] = [page for page in pages if f"Label{n:02}" in page]
            assert f"Words{n:02}" in page, (notes, n)


@pytest.mark.parametrize("size", list(SIZES))
def test_what_is_told_of_a_house_stands_on_one_page_with_its_first_task(size: PaperSize) -> None:
    """A few facts of several lines each are no reason to part a house's data from its heading, its blanks or its tasks."""
    day = replace(samples.typical_day(size), load=(), truck_list=(), cautions=())
    facts = tuple(
        HouseFact(label=f"Label{n}", text=f"Words{n} " + "to be read on site, all of it, by who comes " * 4 + f"End{n}")
        for n in range(6)
    )
    tasks = (replace(day.houses[0].tasks[0], title="The first of all"),)
    house = replace(day.houses[0], facts=facts, tasks=tasks, hours="so and so many hours", stages=(), layouts=())
    wanted = [*(f"{word}{n}" for n in range(6) for word in ("Label", "Words", "End")), "soandsomany", "Thefirst"]
    parted = set()
    for notes in range(0, 42, thorough.examples(1, 3)):
        plan = replace(day, notes=("A line more above the house.",) * notes, houses=(house,))
        pages = [reading.squeezed(page.extract_text()) for page in reading.pages(day_plan_pdf(plan))]
        on = {word: [n for n, page in enumerate(pages) if word in page] for word in wanted}
        assert len({tuple(found) for found in on.values()}) == 1, (notes, on)
        [[at]] = {tuple(found) for found in on.values()}
        assert "HOUSE" in pages[at]
        parted.add(at)
    assert parted == {0, 1}, "some stood at the foot of the first page, some went over"


def test_no_caution_is_parted_where_the_load_leaves_the_truck_no_room() -> None:
    """What page one has no room for goes on across the next, behind it the truck's own; every caution stands in one piece."""
    day = samples.typical_day(lead=False)
    load = tuple(replace(day.load[0], what=f"Tool {n}", note="", houses=()) for n in range(38))
    words = "to be read on site, all of it, by who comes " * 4
    cautions = tuple(Caution(text=f"First{n} {words} Last{n}.") for n in range(16))
    plan = replace(day, load=load, cautions=cautions, waits=(), houses=(), truck_list=("notched trowel",) * 9)
    one, two = (reading.squeezed(page.extract_text()) for page in reading.pages(day_plan_pdf(plan)))
    for n in range(16):
        assert (f"First{n}to" in one) == (f"Last{n}." in one) != (f"Last{n}." in two), n
    assert "Last9." in one
    assert "Last15." in two
    assert two.index("Last15.") < two.index("notchedtrowel")


def test_no_page_has_only_how_a_house_is_left() -> None:
    """Four tasks of five lines fill the first page: the last of them comes onto the second with what ends the house."""
    day = samples.typical_day(lead=False)
    first = day.houses[0]
    line = replace(first.tasks[0], notes=("Cut, rolled and tied.",) * 4, how_far=None, initials=())
    tasks = tuple(replace(line, title=f"Strip {n} of carpet out", at=time(8, n)) for n in range(4))
    house = replace(first, tasks=tasks, stages=(), layouts=(), moved_anyway=(), floor_notes=("Cords up.",))
    pages = reading.pages(day_plan_pdf(replace(day, houses=(house,), load=(), waits=(), cautions=())))
    one, two = (reading.squeezed(page.extract_text()) for page in pages)
    assert "Strip2" in one
    assert "Strip3" in two
    assert "HOWWELEAVEIT" in two


def test_what_is_done_with_the_rows_says_so_in_the_place_of_its_hour() -> None:
    """On paper, as text and as HTML; its planned hour stands on none of them."""
    day = samples.typical_day()
    first, *others = day.houses[0].tasks
    line = replace(first, at=time(13, 41), until=time(14, 8), with_rows=True)
    plan = replace(day, houses=(replace(day.houses[0], tasks=(line, *others)), *day.houses[1:]))
    pages = (reading.pdf_text(day_plan_pdf(plan)), day_plan_text(plan), document_html(day_plan_document(plan)))
    for page in map(reading.squeezed, pages):
        assert "withtherows" in page
        assert "13:41" not in page


def test_entry_notes_only_on_the_leads_copy() -> None:
    """The crew's copy holds no entry code and does not call itself the lead's."""
    lead = samples.typical_day()
    crew = reading.squeezed(reading.pdf_text(day_plan_pdf(replace(lead, lead_only=None))))
    assert "code4471" in reading.squeezed(reading.pdf_text(day_plan_pdf(lead)))
    assert "4471" not in crew
    assert "Lead'scopy" not in crew


def test_a_house_too_short_for_its_number_has_it_above_the_bar() -> None:
    """Three visits of ten minutes, two of them close together and one at the end: each number stands by itself over the bar."""
    plan = samples.typical_day()
    first, second = plan.houses
    short = [
        replace(second, number=number, arrive=time(hour, minute), leave=time(hour, minute + 9))
        for number, hour, minute in ((2, 16, 20), (3, 16, 30), (4, 17, 50))
    ]
    pdf = day_plan_pdf(replace(plan, houses=(first, *short), back_by=time(18, 0)))
    page = reading.pages(pdf)[0]
    words = page.extract_words()
    hours = next(word["top"] for word in words if word["text"] == "07:00" and word["bottom"] - word["top"] < 10)
    bar = {word["text"]: word for word in words if hours - 45 < word["top"] < hours and word["text"] in "1234"}
    assert sorted(bar) == ["1", "2", "3", "4"]
    assert {number for number, word in bar.items() if word["bottom"] < bar["1"]["top"]} == {"2", "3", "4"}
    assert bar["2"]["x1"] < bar["3"]["x0"] < bar["3"]["x1"] < bar["4"]["x0"]
    assert reading.overlapping_words(page) == []


def test_equal_plans_give_equal_bytes() -> None:
    """Two processes with different hash seeds print the same file."""
    code = (
        "import hashlib; from tests.paper.samples import typical_day; from crewjobs.paper.pdf import day_plan_pdf;"
        "print(hashlib.sha256(day_plan_pdf(typical_day())).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for seed in ("1", "2")
    }
    assert digests == {hashlib.sha256(day_plan_pdf(samples.typical_day())).hexdigest()}


def test_another_printing_time_is_another_file() -> None:
    """The file's own date is the sheet's, so a reprint is told apart."""
    plan = samples.typical_day()
    later = replace(plan, sheet=replace(plan.sheet, printed_at=plan.sheet.printed_at.replace(minute=43)))
    assert day_plan_pdf(plan) != day_plan_pdf(later)


def test_characters_no_typeface_has_are_named() -> None:
    """Missing characters are each listed once; Latin, Greek, Cyrillic, Arabic, Hebrew and Chinese names miss none."""
    plan = replace(samples.typical_day(), crew_name="ไทย ไ ကခ")
    assert missing_characters(plan) == tuple(sorted("ไทยကခ"))
    assert missing_characters(replace(plan, crew_name="Łukasz Nguyễn Αθηνά Пётр محمد שָׁלוֹם 王小明 ½⅛″×²°→")) == ()


def test_without_the_extra_chinese_names_are_missing_and_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """The typeface of Chinese, Japanese and Korean is large and comes on request: without it the page says how."""
    monkeypatch.setattr(fonts, "cjk_folder", lambda: None)
    fonts.printable.cache_clear()
    try:
        plan = replace(samples.typical_day(), crew_name="王小明 王")
        missing = missing_characters(plan)
    finally:
        fonts.printable.cache_clear()
    assert missing == tuple(sorted("王小明"))
    assert missing_note(missing).endswith("the extra crewjobs[cjk] brings them.")
    assert missing_note((*missing, "🏠", "ไ")).endswith("the extra crewjobs[cjk] brings 3 of them.")
    assert "cjk" not in missing_note(("ไ",))


@pytest.mark.parametrize("there", [True, False])
def test_an_emoji_is_in_no_typeface_whatever_is_installed(monkeypatch: pytest.MonkeyPatch, there: bool) -> None:
    """It is as wide as a Chinese letter and comes with no extra; nor does a letter the installed extra lacks."""
    if not there:
        monkeypatch.setattr(fonts, "cjk_folder", lambda: None)
    assert missing_note(tuple("🏠🌳")) == (
        "\ufffd marks 2 characters that no typeface of the program has. The text and HTML pages show them."
    )
    if there:
        assert "cjk" not in missing_note(("王",))


def test_a_customers_page_tells_of_its_marks_in_the_foot_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """What of the program could be installed is nothing to them: who prints it is told; the shop's own pages say it themselves."""
    monkeypatch.setattr(fonts, "cjk_folder", lambda: None)
    page = Document(
        title="Your floor 🏠",
        aside="",
        under=(),
        blocks=(),
        foot="",
        newer="",
        printed_at=datetime(2026, 3, 2),
        paper="letter",
    )
    assert "1 character" in str(_payload(page)["missing"])
    assert _payload(page)["missing_sent"] == not_printed(page) == ""
    message = replace(page, message=True)
    sent = _payload(message)
    assert (sent["missing"], sent["title"]) == ("", "Your floor \ufffd")
    assert sent["missing_sent"] == "\ufffd: 1 character not shown"
    assert "1characternotshown" in reading.squeezed(reading.pdf_text(document_pdf(message)))
    assert not_printed(message) == (
        "The PDF has an empty box for 🏠: 1 character that no typeface of the program has. The text and HTML pages show them."
    )
    assert not_printed(replace(message, title="Your floor")) == ""
    told = replace(message, title="Your floor \U0001f3e0\ufe0f")  # how it looks, in color, is no character of its own
    assert _payload(told)["title"] == "Your floor \ufffd"
    assert not_printed(told) == not_printed(message)


def test_page_says_that_characters_are_missing() -> None:
    """A page with replaced characters points to the text page, and that one has them."""
    plan = replace(samples.typical_day(), notes=("Call ไทย first.",))
    printed = reading.squeezed(reading.pdf_text(day_plan_pdf(plan)))
    assert "marks3charactersthatnotypeface" in printed
    assert "Callfirst." in printed
    assert "ไทย" in day_plan_text(plan)
    whole = reading.squeezed(reading.pdf_text(day_plan_pdf(samples.typical_day())))
    assert "thispage'stypefaces" not in whole


def test_control_characters_are_shown() -> None:
    """An escape sequence, a direction override and a lone surrogate print as their codes."""
    text = reading.squeezed(reading.pdf_text(day_plan_pdf(PLANS["control characters"]("letter"))))
    assert r"a\x1b[31m\x00\u202eb\ud80015" in text


@pytest.mark.parametrize("package", ["typst", "fontpkg_ibm_plex_sans_condensed"])
def test_without_its_packages_the_page_is_refused(package: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no PDF can be made, one sentence names the package and points to the text page."""
    fonts.printable.cache_clear()
    monkeypatch.setitem(sys.modules, package, None)
    with pytest.raises(Refused, match=f"{package}.*text page"):
        day_plan_pdf(samples.typical_day())


def test_typst_is_loaded_only_to_print() -> None:
    """Importing the paper modules loads neither typst nor the font package."""
    code = (
        "import sys, crewjobs.paper.pdf, crewjobs.paper.text;"
        "print([name for name in sys.modules if name.startswith(('typst', 'fontpkg'))])"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert result.stdout.strip() == "[]"


@pytest.mark.parametrize("size", list(SIZES))
def test_start_and_stop_are_asked_only_where_hours_are_wanted(size: PaperSize) -> None:
    """Of two houses one asks; a page of one person's small visits asks nowhere and is no crew's."""
    owing = reading.squeezed(reading.pdf_text(day_plan_pdf(samples.owing_day(size)))).upper()
    assert owing.count("STARTED:") + owing.count("STOPPED:") == 2
    alone = reading.squeezed(reading.pdf_text(day_plan_pdf(samples.visits_day(size)))).upper()
    assert "STOPPED" not in alone
    assert "REYESCREW" not in alone
    assert "LOADBEFORE" not in alone


@pytest.mark.parametrize("stage", range(5))
def test_every_letter_is_drawn(stage: int) -> None:
    """Each letter of the stage stands in the drawing, left of the list that says what it is."""
    plan = samples.moving_day(stage=stage)
    (drawn,) = plan.houses[0].stages
    words = [word for page in reading.pages(day_plan_pdf(plan)) for word in page.extract_words()]
    left = {word["text"] for word in words if word["x1"] < 36 + 330}
    assert {line.letter for line in (*drawn.carries, *drawn.stands)} - {"G"} <= left
    assert {row.letter for row in drawn.drawing.legend} <= left


def test_a_drawing_stays_in_one_piece() -> None:
    """Walls of a drawing all lie on one page, however little of a page is left where its house ends."""
    for count in thorough.of(range(4, 14), range(4, 14, 3)):
        plan = samples.moving_day()
        house = plan.houses[0]
        plan = replace(plan, houses=(replace(house, tasks=house.tasks[:count]), plan.houses[1]))
        pages = reading.pages(day_plan_pdf(plan))
        walls = [sum(abs(float(line["linewidth"]) - 1.7) < 0.01 for line in page.lines) for page in pages]
        assert sorted(walls, reverse=True)[0] == sum(walls) > 0


def test_a_floor_of_more_rows_than_a_page_holds_is_printed_whole() -> None:
    """Long texts in every row, over several pages: each is found again."""
    plan = samples.laying_for_pages(text="Wilhelmina van Oostermoor " * 3)
    assert reading.missing_from(plan, reading.pdf_text(day_plan_pdf(plan))) == []


def test_cautions_stand_in_two_columns_where_one_would_fill_the_page() -> None:
    """Beside a short load list ten of them would leave half of page one blank: the house begins on page two either way."""
    plan = samples.typical_day()
    words = "eyes and ears covered, guards in place, nobody's foot below what is carried; " * 4
    cautions = tuple(Caution(text=f"Caution {number:02}: {words}") for number in range(1, 11))
    first, *_ = reading.pages(
        day_plan_pdf(replace(plan, load=plan.load[:3], cautions=cautions, houses=plan.houses[:1]))
    )
    heads = [word for word in first.extract_words() if word["text"] == "Caution"]
    assert len(heads) == len(cautions)
    assert sum(word["x0"] < first.width / 8 for word in heads) == len(cautions) // 2


def test_cautions_that_run_over_a_page_go_on_across_the_next() -> None:
    """Beside a load list that has ended nothing stays blank: each comes once, in its order, the next page begins at its left."""
    plan = samples.typical_day()
    words = "eyes and ears covered, guards in place, nobody's foot below what is carried; " * 3
    cautions = tuple(Caution(text=f"Caution {number:02}: {words}") for number in range(1, 25))
    first, second, *_ = reading.pages(day_plan_pdf(replace(plan, cautions=cautions)))
    told = [re.findall(r"Caution (\d\d):", page.extract_text()) for page in (first, second)]
    assert [*told[0], *told[1]] == [f"{number:02}" for number in range(1, 25)]
    assert told[0]
    heads = [word for word in second.extract_words() if word["text"] == "Caution"]
    assert heads
    assert all(word["x0"] < second.width / 8 for word in heads)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_every_page_with_missing_characters_says_so(paper: str) -> None:
    """The first in full; a page that is taken out of the stack says where."""
    plan = replace(samples.long_day(count=90), paper=paper, notes=("Call ไทย first.",))
    document = replace(day_plan_document(plan), paper=paper)
    for pdf in (day_plan_pdf(plan), document_pdf(document)):
        first, *others = reading.pages(pdf)
        assert others
        assert "no typeface of the program has" in " ".join((first.extract_text() or "").split())
        assert all("see page 1" in (page.extract_text() or "") for page in others)
    assert "see page 1" not in reading.pdf_text(day_plan_pdf(samples.long_day(count=90)))
