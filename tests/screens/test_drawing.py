"""Lines of pieces: they fit, they lose nothing, and typed text stays text."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.screens.drawing import Piece, bar, beside, cell_len, filled, fit, paragraph, row, width_of, wrap
from crewjobs.screens.widgets.headline import Headline
from crewjobs.screens.widgets.job_list import NUMBER, draw_jobs
from crewjobs.screens.widgets.job_page import draw_page
from crewjobs.screens.widgets.site_day import draw_day
from crewjobs.screens.widgets.waits import draw_summary, draw_waits, left
from crewjobs.screens.widgets.week_table import draw_week
from crewjobs.screens.words import clean, cleaned, share, span
from crewjobs.services.rows import JobRow, SiteDay, SiteHouse, SiteTask, WaitState
from tests.screens import fake_rows
from tests.screens.fake_office import FakeOffice

WORDS = st.text(st.characters(exclude_categories=("Cs",)), max_size=60)
LONG = "Hall between the stairs and the two bedrooms over the garage with the low wall"


@given(WORDS)
def test_cleaned_text_is_printable(text: str) -> None:
    """Whatever a person typed, what is shown holds no character a terminal acts on."""
    assert clean(text).isprintable()


@given(WORDS, st.integers(1, 50))
def test_wrapped_lines_fit(text: str, width: int) -> None:
    """No line is wider than asked, double-width characters included (they need two cells)."""
    width = max(width, 2)
    assert all(cell_len(line) <= width for line in wrap(clean(text), width))


@given(WORDS, st.integers(2, 50))
def test_wrapping_loses_no_character(text: str, width: int) -> None:
    """All that is not blank is still there, in order."""
    text = clean(text)
    assert "".join("".join(wrap(text, width)).split()) == "".join(text.split())


@given(WORDS, st.integers(0, 50))
def test_fitted_text_fits(text: str, width: int) -> None:
    """Cut text takes no more cells than it may."""
    assert cell_len(fit(clean(text), width)) <= width


@given(st.lists(WORDS, max_size=4), st.integers(1, 50))
def test_filled_line_is_exact(texts: list[str], width: int) -> None:
    """A filled line takes exactly its width."""
    assert width_of(filled([Piece(clean(text)) for text in texts], width)) == width


@given(WORDS, WORDS, st.integers(1, 60))
def test_row_is_exact(one: str, other: str, width: int) -> None:
    """Left and right together take exactly the width."""
    assert width_of(row([Piece(clean(one))], [Piece(clean(other))], width)) == width


@given(st.floats(0, 1), st.integers(6, 60))
def test_tape_is_exact_and_never_shows_more_than_has_run(done: float, width: int) -> None:
    """A tape has its width, and its thick part is no longer than the share that has run."""
    pieces = bar(done, width)
    run = sum(2 if cell in "━┿" else 1 if cell == "╸" else 0 for piece in pieces for cell in piece.text)
    assert width_of(pieces) == width
    assert run <= done * (width - 2) * 2


def test_columns_keep_their_places() -> None:
    """A column that is shorter than its neighbor still takes its room."""
    lines = beside([([[Piece("a")]], 4), ([[Piece("b")], [Piece("c")]], 4)], gap=1)
    assert ["".join(piece.text for piece in line) for line in lines] == ["a    b   ", "     c   "]


def test_hanging_paragraph_starts_below_its_text() -> None:
    """The second line of a paragraph with a lead stands under the first one's text."""
    lines = ["".join(piece.text for piece in line) for line in paragraph("one two three", 9, lead="→ ")]
    assert lines == ["→ one two", "  three"]


@pytest.mark.parametrize("width", [36, 40, 58, 60, 79, 80, 100, 119, 120, 200])
def test_no_screen_draws_wider_than_it_is(width: int) -> None:
    """At every width all sheets stay inside it, with long titles, too."""
    office = FakeOffice()
    office.title = LONG
    waits = [
        fake_rows.wait(title=LONG, what=LONG, holds=LONG, call=LONG, verified=False, done=0.5, state=state)
        for state in WaitState
    ]
    drawings = [
        draw_waits([*office.waiting(), *waits], width, ("wait", 7, 104)),
        draw_week(office.week(), width, office.now()),
        draw_jobs([*office.jobs(everything=True), fake_rows.job_row(title=LONG, late=True)], width, NUMBER),
        draw_page(office.job(101), width, "yesterday 16:00"),
        draw_day(office.site_day("Birch", fake_rows.MONDAY + timedelta(days=1)), width),
    ]
    wide = [(width_of(line), "".join(piece.text for piece in line)) for lines in drawings for line in lines]
    assert [line for size, line in wide if size > width] == []


@pytest.mark.parametrize("width", [38, 60, 80, 100, 120])
def test_waits_say_the_whole_next_step_at_every_width(width: int) -> None:
    """What to do next and that a reading decides are never cut, however narrow the screen."""
    rows = fake_rows.waits()
    for place, wait in enumerate(rows):
        (lines,) = [draw_waits([wait], width, ("wait", 0, wait.job))]
        text = " ".join("".join(piece.text for piece in line) for line in lines)
        for word in wait.call.split():
            assert word in text, (place, word)
        assert ("hours only" in text) is (not wait.verified)


def drawn(lines) -> list[str]:
    return ["".join(piece.text for piece in line).strip() for line in lines]


@pytest.mark.parametrize("width", [38, 40, 60, 120])
def test_waits_say_what_they_hold_back_at_every_width(width: int) -> None:
    """On a phone too: at least its beginning on every row, all of it on the selected one."""
    for wait in (wait for wait in fake_rows.waits() if wait.holds):
        shut = " ".join(drawn(draw_waits([wait], width, None)))
        assert f"holds back {wait.holds.split()[0]}" in shut
        unfolded = " ".join(drawn(draw_waits([wait], width, ("wait", 0, wait.job))))
        assert all(word in unfolded for word in wait.holds.split())


def test_each_task_on_site_stands_under_its_own_phase_and_place() -> None:
    """Bed and living in turn: the last heading above a task is always its own, also where the phase stays the same."""
    order = ("bed", "living", "bed", "bed", "living", "house")
    tasks = tuple(
        SiteTask(
            job=4, number=n, title=f"task no {n}", where=where, phase="house" if where == "house" else "demolition",
            quantity="", state="to do", time="", hold="", cautions=(),
        )
        for n, where in enumerate(order, start=1)
    )  # fmt: skip
    now = fake_rows.at(2, 7)
    house = SiteHouse(job=4, title="Den", address="", arrive=now, leave=now, facts=(), tasks=tasks)
    heading, seen = "", {}
    for line in drawn(draw_day(SiteDay(crew="Birch", day=now.date(), houses=(house,)), 40)):
        if line.startswith(("demolition", "house")):
            heading = line
        for task in tasks:
            if task.title in line:
                seen[task.number] = heading.partition("  ")[0]
    wanted = {task.number: ", ".join(dict.fromkeys((task.phase, task.where))) for task in tasks}
    assert {number: name.strip() for number, name in seen.items()} == wanted


def test_the_week_says_beside_a_visit_what_is_owed_to_it() -> None:
    """In columns, in rows and on a phone; what stands in columns is wrapped, never cut."""
    office = FakeOffice()
    view = office.week()
    place, day = next((n, day) for n, day in enumerate(view.days) if day.visits)
    owed = "Waits for the plumber: supply line, late."
    visits = (replace(day.visits[0], owed=(owed,)), *day.visits[1:])
    days = (*view.days[:place], replace(day, visits=visits), *view.days[place + 1 :])
    for width in (40, 80, 120):
        lines = drawn(draw_week(replace(view, days=days), width, None))
        assert any("! Waits for" in line for line in lines), width


def test_the_job_page_says_orders_and_why_it_is_not_planned() -> None:
    """Each order line under its material, the reason in the head, at every size."""
    page = FakeOffice().job(101)
    order = "9 cartons from north yard, ordered Mon 16 Feb"
    materials = (replace(page.materials[0], orders=(order,)), *page.materials[1:])
    page = replace(page, materials=materials, not_planned=("the only toilet would be out over night",))
    for width in (40, 80, 120):
        text = " ".join(" ".join(drawn(draw_page(page, width, ""))).split())
        assert all(word in text for word in order.split()), width
        assert "not planned: the only toilet" in text


def test_rows_are_cleaned_all_through() -> None:
    """Escape characters deep inside a row do not come through, and clean rows are the same object."""
    dirty = fake_rows.wait(title="red\x1b[31m", holds="a\nb")
    assert cleaned((dirty,))[0].title == "red␛[31m"
    assert cleaned((dirty,))[0].holds == "a b"
    tidy = fake_rows.waits()
    assert cleaned(tidy) is tidy


def test_direction_overrides_are_shown_not_obeyed() -> None:
    """A character that turns the direction of writing becomes a dot."""
    assert clean("oak\u202edecrof") == "oak·decrof"


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(0, "0 min"), (59, "59 min"), (60, "1 h"), (510, "8 h 30 min"), (2881, "49 h"), (5760, "96 h"), (5761, "5 days")],
)
def test_spans_are_said_in_hours(minutes: int, said: str) -> None:
    """Waits are told in hours by the clock; longer ones in days, rounded up."""
    assert span(minutes) == said


def test_running_wait_is_never_called_whole() -> None:
    """A wait that has run 99.9 % is not at 100 %."""
    assert share(0.999) == "99 %"


def test_late_material_says_how_late() -> None:
    """Minutes below zero are lateness, not time left."""
    assert left(fake_rows.wait(state=WaitState.LATE, minutes_left=-120)) == "2 h late"


@pytest.mark.parametrize("here", ["waiting", "on_site", "rates"])
@pytest.mark.parametrize("width", [40, 57, 80, 120])
def test_what_is_at_work_is_told_on_top_at_any_width(here: str, width: int) -> None:
    """Beside the screens' names, or in the rule below where these fill the line; no line gets wider."""
    head = Headline(here)
    head.set_reactive(Headline.busy, "writing")
    lines = head.draw(width)
    assert [width_of(line) for line in lines] <= [width, width]
    assert any("writing …" in "".join(piece.text for piece in line) for line in lines)


@pytest.mark.parametrize("width", [50, 80, 140])
def test_a_job_with_planned_work_not_ticked_says_since_when(width: int) -> None:
    """In the list at every width, and on its page; the hour of its planned end is not said: it is not to be counted on."""
    behind = fake_rows.job_row(waits_for="", unticked_since=date(2026, 3, 3))

    def text(row: JobRow) -> str:
        return "\n".join("".join(piece.text for piece in line) for line in draw_jobs([row], width, NUMBER))

    assert "not ticked since Tue 3 Mar" in text(behind)
    assert "15:00" not in text(behind)
    assert "not ticked" not in text(fake_rows.job_row())
    if width >= 100:
        assert "Thu 5 Mar not ticked" in text(behind)
        assert "Thu 5 Mar late" in text(replace(behind, late=True))
    else:
        assert "late, planned Thu 5 Mar; not ticked since Tue 3 Mar" in " ".join(
            text(replace(behind, late=True)).split()
        )
    assert "15:00" not in text(replace(behind, late=True))
    assert "15:00" in text(replace(behind, late=True, unticked_since=None))
    page = FakeOffice().job(101)
    drawn = draw_page(replace(page, row=behind), width, "")
    assert "not ticked since Tue 3 Mar" in "\n".join("".join(piece.text for piece in line) for line in drawn)


@pytest.mark.parametrize("width", [40, 80, 120])
def test_who_is_to_be_called_is_told_with_the_phone(width: int) -> None:
    """In the list of calls, in the row, and on the job's page."""
    tell = {"state": WaitState.TO_TELL, "call": "tell Ada Lund, then told 104", "whom": "Ada Lund", "phone": "555-0142"}
    wait = fake_rows.wait(**tell)
    for lines in (draw_summary([wait], width), draw_waits([wait], width, None)):
        assert "555-0142" in " ".join(drawn(lines))
    page = replace(FakeOffice().job(101), phone="555-0142")
    assert "555-0142" in " ".join(drawn(draw_page(page, width, "")))


@pytest.mark.parametrize("width", [80, 120])
def test_a_week_says_its_days_in_whole(width: int) -> None:
    """Days and months of two digits and three letters, with one crew and room for the waits beside it."""
    view = FakeOffice().week()
    first = date(2026, 11, 30)
    days = tuple(replace(one, day=first + timedelta(days=at)) for at, one in enumerate(view.days))
    lines = drawn(draw_week(replace(view, monday=first, days=days, crews=("Birch",)), width, None))
    assert any(line.startswith("Mon 30 Nov ") for line in lines)
    assert not any("N…" in line or "N..." in line for line in lines)


def test_a_day_with_nothing_ticked_has_no_sign_of_done() -> None:
    """All of it is another day's by now: nothing is left of it, and nothing of it is done."""
    task = SiteTask(
        job=4, number=1, title="rows", where="hall", phase="lay", quantity="", state="to do", time="", hold="",
        cautions=(), moved="Wed 4 Mar", taken=True,
    )  # fmt: skip
    moved, done = replace(task), replace(task, state="done", moved="", taken=False)
    for tasks, sign in (((moved, moved), "›"), ((done, moved), "›"), ((done, done), "[x]")):
        house = replace(FakeOffice().site_day("Birch", fake_rows.MONDAY).houses[0], job=4, tasks=tasks)
        (line, *_) = drawn(draw_day(SiteDay(crew="Birch", day=fake_rows.MONDAY, houses=(house,)), 80))
        assert line.startswith(f"{sign} "), line
