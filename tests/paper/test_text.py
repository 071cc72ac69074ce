"""The day plan as plain text."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from crewjobs.drawing.shapes import Words
from crewjobs.paper.model import DayPlan
from crewjobs.paper.text import NARROWEST, day_plan_text
from crewjobs.paper.wrap import display_width, wrap
from tests import thorough
from tests.paper import reading, samples

PLANS: dict[str, Callable[[], DayPlan]] = {
    "typical": samples.typical_day,
    "empty": samples.empty_day,
    "nothing": samples.nothing_at_all,
    "300 tasks": samples.long_day,
    "furniture": samples.moving_day,
    "furniture for pages": lambda: samples.crowded_move(text="Wilhelmina van Oostermoor "),
    "laying": samples.laying_day,
    "laying for pages": lambda: samples.laying_for_pages(text="Wilhelmina van Oostermoor "),
    "200 letters": lambda: samples.with_text("W" * 200),
    "markup": lambda: samples.with_text("#let [bold]x[/] <b>&amp;</b> $x$ "),
    "Arabic": lambda: samples.with_text("محمد علي "),
    "Chinese": lambda: samples.with_text("王小明"),
}
# Letters whose width no two tables disagree about.
SCRIPTS = st.text(alphabet="abc WÄñŁ½″°²–王小明あ한Жαمحمدשל 0-9.,", max_size=60)


@pytest.mark.parametrize("width", [NARROWEST, 40, 78])
@pytest.mark.parametrize("name", list(PLANS))
def test_every_planned_text_is_there(name: str, width: int) -> None:
    """Each text of the plan stands on the page as typed, whatever the width."""
    plan = PLANS[name]()
    assert reading.missing_from(plan, day_plan_text(plan, width)) == []


@given(text=st.text(max_size=80), width=st.integers(NARROWEST, 120))
@settings(max_examples=thorough.examples(30, 10), deadline=None)
def test_any_text_stays_within_the_width_and_off_the_terminal(text: str, width: int) -> None:
    """No line is wider than asked and no control character gets through, whatever people type."""
    page = day_plan_text(samples.with_text(text), width)
    assert max(display_width(line) for line in page.split("\n")) <= width
    assert not [char for char in page if char != "\n" and (char < " " or "\x7f" <= char < "\xa0")]


@given(text=SCRIPTS, width=st.integers(NARROWEST, 120))
@settings(max_examples=thorough.examples(30, 10), deadline=None)
def test_width_holds_by_an_independent_measure(text: str, width: int) -> None:
    """No line is wider than asked by the width table of another library (rich)."""
    page = day_plan_text(samples.with_text(text), width)
    assert max(cell_len(line) for line in page.split("\n")) <= width


@given(text=st.text(max_size=120), width=st.integers(2, 40))
def test_wrapping_keeps_every_character(text: str, width: int) -> None:
    """Wrapping moves only white space."""
    assert "".join("".join(wrap(text, width)).split()) == "".join(text.split())


def test_escape_sequences_are_shown() -> None:
    """An escape sequence, a bell and a direction override print as their codes."""
    plan = replace(samples.empty_day(), notes=("a\x1b[31m\x07\u202eb",))
    assert r"a\x1b[31m\x07\u202eb" in day_plan_text(plan)


def test_entry_notes_only_on_the_leads_copy() -> None:
    """The crew's copy holds no entry code and does not call itself the lead's."""
    lead = samples.typical_day()
    assert "code 4471" in day_plan_text(lead)
    assert "Lead's copy" in day_plan_text(lead)
    assert "4471" not in day_plan_text(replace(lead, lead_only=None))
    assert "Lead's copy" not in day_plan_text(replace(lead, lead_only=None))


def test_each_line_says_who() -> None:
    """Initials stand at the head of people's own lane, or on the line of a task that some of them share."""
    page = day_plan_text(samples.typical_day())
    assert "| IV, TL\n| 08:00 [ ] WAIT STARTS" in page
    assert "subfloor moisture (IV)" in " ".join(page.split())


def test_house_is_asked_for_start_stop_and_people() -> None:
    """Each house has blanks for start, stop and people; no line asks for its minutes."""
    page = day_plan_text(samples.typical_day())
    assert page.count("Started ____ : ____ Stopped ____ : ____ People ____") == 2
    assert "How far: rows ____ of 19" in page
    assert "How far: ____ of 185 ft²" in page


def test_wood_is_due_a_reading_and_never_ready() -> None:
    """A reading that is due says so, with what it must show."""
    page = " ".join(day_plan_text(samples.typical_day()).split())
    assert "15:40 Reading due: solid oak" in page
    assert "Boards within 2 points of the subfloor" in page
    assert "ready" not in page.lower()


def test_started_blank_only_where_a_wait_starts() -> None:
    """A pour has a blank for the time it was started, other work has none."""
    page = day_plan_text(samples.typical_day())
    assert page.count("started at ____ : ____") == 1


def test_a_done_line_has_no_blanks_and_no_tips() -> None:
    """What is ticked is not asked for again; a wait it started says since when and until when it stands."""
    plan = samples.typical_day()
    house = plan.houses[0]
    stands = "started 10:44, slab test stands, until Tue 3 Mar 10:44 by the clock"
    tasks = tuple(replace(task, done=True, stands=stands if task.kind == "wait starts" else "") for task in house.tasks)
    page = " ".join(day_plan_text(replace(plan, houses=(replace(house, tasks=tasks),))).replace("| ", "").split())
    assert stands in page
    assert "[x]" in page
    assert not any(words in page for words in ("started at ____", "How far:", house.tasks[0].notes[0]))


def test_what_was_done_before_is_said() -> None:
    """A measured task that was begun says how far it had got."""
    assert "(before today: 20 ft²)" in day_plan_text(samples.long_day(count=8))


def test_too_narrow_a_page_is_refused() -> None:
    """A width in which times and boxes have no room is an error, not a broken page."""
    with pytest.raises(ValueError, match="at least 24 columns"):
        day_plan_text(samples.empty_day(), NARROWEST - 1)


def test_what_others_owe_stands_above_the_houses_facts() -> None:
    """A sentence to act on before leaving is read before the customer's line."""
    page = day_plan_text(samples.owing_day())
    assert page.index("ASK FIRST: Waits for the plumber") < page.index("Customer: ")


def test_no_hours_are_asked_where_none_are_wanted() -> None:
    """The blanks for start, stop and people stand at the first house alone, which asks for them."""
    page = day_plan_text(samples.owing_day())
    assert page.count("Started ____") == 1


def test_a_page_of_one_person_has_no_crew_and_no_empty_sections() -> None:
    """The name heads it, not a crew; load, waits and cautions only where there are any."""
    page = day_plan_text(samples.visits_day())
    assert page.startswith("NADIA REYES ")
    assert not [line for line in page.splitlines() if line.startswith("Crew")]
    for absent in ("REYES CREW", "LOAD BEFORE", "WAITS THAT END", "CAUTIONS", "Started"):
        assert absent not in page


@pytest.mark.parametrize("width", [NARROWEST, 40, 78, 120])
def test_the_house_of_a_stage_is_drawn(width: int) -> None:
    """A stage's letters stand in the drawing and again at each carry, in lines no wider than the page."""
    page = day_plan_text(samples.moving_day(), width)
    assert max(display_width(line) for line in page.splitlines()) <= width
    drawing, carried = page[page.index("FURNITURE: move 2 of 3") :].split("Carried, in this order")
    marks = set("".join(char if char.isalnum() else " " for char in drawing).split())
    assert set("ABCDEFG") <= marks
    assert [line[4] for line in carried.splitlines() if line.startswith("[ ] ")][:6] == list("ABCDEG")


@given(text=st.text(max_size=60), width=st.integers(NARROWEST, 120))
@settings(max_examples=thorough.examples(15, 5), deadline=None)
def test_names_in_a_drawing_stay_within_the_width_and_off_the_terminal(text: str, width: int) -> None:
    """Whatever rooms and pieces are called, no line is wider than asked and no control character gets through."""
    plan = samples.crowded_move(text=text)
    (stage, _) = plan.houses[0].stages
    shapes = tuple(replace(s, text=text or "x") if isinstance(s, Words) else s for s in stage.drawing.shapes)
    stage = replace(stage, drawing=replace(stage.drawing, shapes=shapes))
    page = day_plan_text(replace(plan, houses=(replace(plan.houses[0], stages=(stage,)),)), width)
    assert max(display_width(line) for line in page.split("\n")) <= width
    assert not [char for char in page if char != "\n" and (char < " " or "\x7f" <= char < "\xa0")]
