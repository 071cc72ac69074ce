"""Work agreed in words, what a callback cannot be, and what no link and no shared tool is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from crewjobs.domain.crew import SharedTool
from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Link
from crewjobs.domain.work import MOST_WORK_MIN, ExtraWork
from tests.builders import record

JOB = record().job
SHELF = ExtraWork(what="shelf off", place="living", minutes=60)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: ExtraWork(what=" ", minutes=60), "say in a few words"),
        (lambda: ExtraWork(what="shelf off", minutes=0), "more than 0 and 40 at most"),
        (lambda: ExtraWork(what="shelf off", minutes=MOST_WORK_MIN + 1), "larger work is a job of its own"),
        (lambda: ExtraWork(what="shelf off", minutes=60, people=5), "one to four at once"),
        (lambda: replace(JOB, work=(SHELF, replace(SHELF, minutes=30))), r"work 'shelf off' \(living\) is there twice"),
        (lambda: replace(JOB, work=(replace(SHELF, place="attic"),)), "no room or stairs 'attic'"),
        (lambda: replace(JOB, callback_of=JOB.number), "cannot come back to itself"),
        (lambda: replace(JOB, callback_of=0), "a job's number is 1 or more"),
        (
            lambda: Link(before=3, after=4, wait_min=120, most_min=90),
            "task 4 after task 3: at most 90 min is less than at least 2 h; give a longer at most",
        ),
        (lambda: SharedTool(name=" "), "a shared tool needs a name"),
        (lambda: SharedTool(name="tile stripper", count=0), "tool 'tile stripper': 0 of it; a shop has 1 to 99"),
    ],
)
def test_what_cannot_be_is_refused(make: Callable[[], Any], said: str) -> None:
    """Each rule has its sentence."""
    with pytest.raises(Refused, match=said):
        make()


def test_the_same_work_may_be_done_in_two_places() -> None:
    """What tells entries apart is what and where together."""
    job = replace(JOB, work=(SHELF, replace(SHELF, place="")))
    assert len(job.work) == 2


def test_only_a_callback_is_one() -> None:
    """The tie makes it one, whatever its work."""
    assert replace(JOB, callback_of=JOB.number + 1).is_callback
    assert not replace(JOB, work=(SHELF,)).is_callback
