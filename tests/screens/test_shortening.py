"""What was done is seen of a sentence of a record, however long its names, reasons and lists are."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pytest

from crewjobs.screens.app import CrewApp
from crewjobs.screens.drawing import wrap
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.shortening import shortened
from crewjobs.services.rows import Done
from tests.screens.conftest import front, press, settled
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]
TILE = "'Glued resilient tile out, whole where possible'"
LONG = f"Owner's closet {'and the hall behind it ' * 8}".strip()


def two_lines(text: str) -> bool:
    """Whether it has room in two lines of a phone beside undo."""
    return len(wrap(text, 29)) <= 2


def has_room(cells: int, text: str) -> bool:
    """Whether it is no longer than that."""
    return len(text) <= cells


@pytest.mark.parametrize(
    ("sentence", "left"),
    [
        ("Job 11: task 6 'Sweep' (den) done Mon 2 Mar 06:30.", "Job 11: task 6 'Sweep' (den) done Mon 2 Mar 06:30."),
        (
            f"Job 11: task 11 {TILE} (front room) done Mon 2 Mar 06:30.",
            "Job 11: task 11 'Glued …' done Mon 2 Mar 06:30.",
        ),
        (
            f"Job 11: task 11 {TILE} (den), task 13 {TILE} (hall), task 15 {TILE} (bath) and 4 more done Mon 2 Mar 06:30, "
            "although on hold, because the lead looked at all of them.",
            "Job 11: task 11 'Glued …' and 6 more done Mon 2 Mar 06:30 …",
        ),
        (
            f"Job 11: task 11 '{LONG}' (front room) is not done after all (it was ticked Mon 2 Mar 06:30).",
            "Job 11: task 11 'Owner's …' is not done after all …",
        ),
        (f"Job 11: task 11 '{'x' * 200}' (den) begun Mon 2 Mar 06:30.", "Job 11: task 11 'xxxxxxxxxxxxx…' begun Mon …"),
        (
            f"Job 1: 5 cartons of {LONG}, lot B, came Fri 27 Feb 09:00.",
            "Job 1: 5 cartons of Owner's … came Fri 27 Feb 09:00.",
        ),
        (
            "Job 3: Ilse Brandt asked whether the house is ready; ready: wet work and paint done, a key there.",
            "Job 3: Ilse Brandt asked whether the house is ready; …",
        ),
    ],
)
def test_what_was_done_is_left(sentence: str, left: str) -> None:
    """First its reason gives way, then words of names, then all but one task of several; what it was never does."""
    told = shortened(sentence, two_lines)
    assert told == left
    assert two_lines(told)


def test_no_more_is_left_out_than_has_to_be() -> None:
    """Where there is more room, more words of a name stand, and where it is."""
    sentence = (
        f"Taken back: job 11: task 11 {TILE} (front room) done Mon 2 Mar 06:30, although on hold, because it is dry."
    )
    assert shortened(sentence, partial(has_room, 200)) == sentence
    for room, name in ((112, TILE), (100, "'Glued resilient tile out …'"), (80, "'Glued …'")):
        told = shortened(sentence, partial(has_room, room))
        assert told == f"Taken back: job 11: task 11 {name} (front room) done Mon 2 Mar 06:30 …"


async def test_on_a_phone_it_is_seen_that_it_is_done_and_what_was_taken_back(
    office: FakeOffice, make_app: MakeApp
) -> None:
    """The status has three lines there: done stands in them, beside undo and above what follows."""
    app = make_app(office)
    done = f"ob 11: task 11 {TILE} (front room) done Mon 2 Mar 06:30."
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "4")
        status = front(app).status
        front(app).told(
            Outcome(value=Done(sentence=f"J{done}", change=3, then=("It dries.", "It cures."))), looks=False
        )
        await settled(pilot)
        assert [line.split() for line in status.text.splitlines()] == [
            ["=", "Job", "11:", "task", "11", "'Glued", "…'", "u", "undo"],
            ["done", "Mon", "2", "Mar", "06:30."],
            ["and", "2", "more", "n", "all"],
        ]
        status.say(f"Taken back: j{done}", "U puts it back.")
        await settled(pilot)
        told = " ".join(status.text.split())
        assert told == "= Taken back: job 11: task 11 'Glued …' done Mon 2 Mar 06:30. and 1 more n all"
        await press(pilot, "n")
        assert TILE in " ".join(app.screen.query_one("#answer").text.split())
