"""What `what-if` tells is the best that was found; where recording leaves the plan in force elsewhere, that is told, too."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from crewjobs.domain.wording import day_words
from crewjobs.services.answers.what_if import AT_FIRST
from crewjobs.services.answers.what_if_rows import WhatIfAsked
from crewjobs.services.office import Office
from tests.services.answers.test_a_pin_tried import finishes

TODAY = date(2026, 3, 2)


def days_of(office: Office) -> dict[int, date]:
    """Return the day each promised job ends by the plan in force."""
    return {job: end.date() for job, end in finishes(office.week()).items() if end is not None}


def told(words: str) -> dict[int, tuple[str, str]]:
    """Return which jobs are said to end on another day: that day, and the one it is instead of."""
    return {
        int(job): (now, was)
        for job, now, was in re.findall(r"job (\d+) ends (.+?) instead of (.+?)(?: and|[,;])", words)
    }


@pytest.mark.parametrize(
    ("crew", "day", "rounds", "apart"),
    [
        ("Birch", date(2026, 3, 3), 0, False),
        ("Birch", date(2026, 3, 3), 40, True),
        ("Cedar", date(2026, 3, 4), 40, False),
    ],
)
def test_a_day_off_recorded_does_what_was_told(demo_file: Path, crew: str, day: date, rounds: int, apart: bool) -> None:
    """A crew's day off in the demo's week: what the record makes of each promised job stands in the answer before it."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    before = days_of(office)
    view = office.what_if(WhatIfAsked(off=((crew, day.isoformat()),)), rounds=rounds)
    assert days_of(office) == before
    office.hours(crew, day, "off")
    after = days_of(office)
    changed = {
        job: (day_words(after[job], TODAY), day_words(before[job], TODAY))
        for job in before
        if after[job] != before[job]
    }
    assert view.at_first.startswith(AT_FIRST) == apart  # looked for longer, a better plan may be found
    said = told(view.at_first or view.sentence)
    assert changed
    assert {job: days for job, days in said.items() if job in before} == changed


def test_a_job_called_off_leaves_the_others_where_they_are(demo_file: Path) -> None:
    """Planned anew others end sooner; the plan in force keeps them, which the answer says before it is recorded."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    before = days_of(office)
    view = office.what_if(WhatIfAsked(without=(4,)))
    assert told(view.sentence)
    assert view.at_first.startswith(f"{AT_FIRST} no job ends on another day; ")
    office.edit(4, office.job(4).version, {"state": "called off"})
    after = days_of(office)
    assert {job: after[job] for job in after} == {job: day for job, day in before.items() if job != 4}


def test_what_no_command_records_alone_is_told_without_it(demo_file: Path) -> None:
    """A crew more has no command, and two things at once are recorded one after the other: neither is foretold."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    assert office.what_if(WhatIfAsked(crews=(("Elm", "Birch", ""),))).at_first == ""
    assert office.what_if(WhatIfAsked(off=(("Birch", "2026-03-03"), ("Cedar", "2026-03-03")))).at_first == ""
