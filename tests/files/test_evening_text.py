"""What people write in the evening: how far, answers on the sheet's lines, the sheet's text form."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.files.evening_text import Answer, Measure, read_answer, read_clock, read_form, read_hours, read_how_far

WRITTEN = {
    "9/19 rows": Measure(done=9, whole=19, unit="rows"),
    "9 of 19": Measure(done=9, whole=19),
    "9 of 19 rows": Measure(done=9, whole=19, unit="rows"),
    "9 rows of 19": Measure(done=9, whole=19, unit="rows"),
    "rows 1-9 of 19": Measure(done=9, whole=19, unit="rows", first=1),
    "rows 10–14 of 19": Measure(done=14, whole=19, unit="rows", first=10),
    "row 1 of 19": Measure(done=1, whole=19, unit="rows"),
    "90 of 185 ft2": Measure(done=90, whole=185, unit="ft²"),
    "90/185 sq ft": Measure(done=90, whole=185, unit="ft²"),
    "90 ft²": Measure(done=90, unit="ft²"),
    "8.5 of 17,2 m2": Measure(done=8.5, whole=17.2, unit="m²"),
    "12 of 19 steps": Measure(done=12, whole=19, unit="steps"),
    "50 %": Measure(done=50, whole=100, unit="%"),
    "50%": Measure(done=50, whole=100, unit="%"),
    "half": Measure(done=50, whole=100, unit="%"),
}


@pytest.mark.parametrize("text", WRITTEN)
def test_how_far_is_read_as_people_write_it(text):
    """Each of the forms people write means what they mean."""
    assert read_how_far(text) == WRITTEN[text]


@pytest.mark.parametrize(
    "text", ["", "rows", "nine of 19", "9 rows of 19 ft2", "-3 of 19", "9 of", "50 of 90 %", "1e9/2"]
)
def test_what_says_no_measure_is_refused_with_what_would_be_right(text):
    """One sentence with the forms that are read."""
    with pytest.raises(Refused) as refused:
        read_how_far(text)
    assert len(refused.value.sentences) == 1
    assert "9/19 rows" in refused.value.sentences[0]


ANSWERS = {
    "": Answer(),
    "no": Answer(),
    "0/19": Answer(),
    "x": Answer(done=True),
    "Done": Answer(done=True),
    "done 14:20": Answer(done=True, at=860),
    "14:20": Answer(done=True, at=860),
    "hold: it was dry": Answer(done=True, because="it was dry"),
    "done 14:20 because it was dry, and warm": Answer(done=True, at=860, because="it was dry, and warm"),
    "9/19": Answer(far=Measure(done=9, whole=19)),
    "9/19 rows, because two rows were taken up": Answer(
        far=Measure(done=9, whole=19, unit="rows"), because="two rows were taken up"
    ),
}


@pytest.mark.parametrize("text", ANSWERS)
def test_an_answer_on_a_line_is_read(text):
    """Done, done at, how far, a reason, or nothing."""
    assert read_answer(text) == ANSWERS[text]


@pytest.mark.parametrize("text", ["hold:", "done because", "maybe", "done 25:00", "done later"])
def test_an_answer_that_is_none_is_refused(text):
    """One sentence, never a guess."""
    with pytest.raises(Refused):
        read_answer(text)


def test_more_hours_than_a_day_has_are_refused():
    """25 h are none of a day; 8.5 h are 510 minutes; a time of day is no number of hours."""
    with pytest.raises(Refused, match="24 hours"):
        read_hours("25 h")
    assert read_hours("8.5 h") == 510
    assert read_hours("15:30") is None


@given(st.integers(0, 23 * 60 + 59))
def test_every_time_of_day_is_read_back(minute):
    """Written as the page prints it, a time of day means the same minute."""
    assert read_clock(f"{minute // 60:02}:{minute % 60:02}") == minute


FORM = """
# for people
House 1, job 11  07:15–13:53  44 Signal Street, unit 2
Started 7:10 (07:15)  Stopped ____ (13:53)  People ____ (3)  Break 45 min (30)
[x] 1 Front room: carpet out [215 ft²]
[9/19 rows] 4
[    ] 5 Scrape
found front room: black glue
found ____

House 2, job 9
[done 16:10 because dry] 3
"""


def test_the_form_is_read_in_its_order():
    """Blanks mean nothing typed, what stands in brackets is only the plan."""
    assert read_form(FORM, "sheet") == EveningEntry(
        houses=(
            HouseEntry(
                house=1,
                job=11,
                start="7:10",
                pause="45 min",
                tasks=((1, "x"), (4, "9/19 rows"), (5, "")),
                found=("front room: black glue",),
            ),
            HouseEntry(house=2, job=9, tasks=((3, "done 16:10 because dry"),)),
        )
    )


def test_every_line_that_is_none_of_the_form_is_named():
    """All faults at once, each with its line."""
    with pytest.raises(Refused) as refused:
        read_form("[x] 4\nHouse 1\nwe were late\n[x] four\n", "sheet.txt")
    assert [sentence.partition(":")[0] for sentence in refused.value.sentences] == [
        "sheet.txt, line 1",
        "sheet.txt, line 3",
        "sheet.txt, line 4",
    ]


@given(st.text(max_size=60))
def test_no_text_at_all_breaks_the_reader(text):
    """Whatever is typed is read or refused in sentences."""
    for read in (read_how_far, read_answer, read_clock, read_hours, lambda typed: read_form(typed, "sheet")):
        with contextlib.suppress(Refused):
            read(text)
