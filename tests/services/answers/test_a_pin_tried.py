"""A visit tried elsewhere and then pinned there: what was told of it is what happens, in the demo's shop."""

from __future__ import annotations

import re
from datetime import date, datetime
from pathlib import Path

import pytest

from crewjobs.services.answers.what_if_rows import WhatIfAsked
from crewjobs.services.office import Office
from crewjobs.services.rows import WeekView
from crewjobs.services.weeks.following import STAYS


def finishes(week: WeekView) -> dict[int, datetime | None]:
    """Return when each promised job ends by the plan in force."""
    return {promise.job: promise.finish for promise in week.promises}


@pytest.mark.parametrize(
    ("moment", "job", "day", "crew", "to"),
    [
        ("2026-03-02 06:30", 4, date(2026, 3, 3), "Rowan", date(2026, 3, 4)),
        ("2026-03-04 10:40", 1, date(2026, 3, 4), "Cedar", date(2026, 3, 4)),
    ],
    ids=["fresh", "stale"],
)
def test_what_is_tried_is_what_the_pin_does(
    demo_file: Path, moment: str, job: int, day: date, crew: str, to: date
) -> None:
    """Ends job by job, pieces moved, pins not kept: told before the pin as after it, with days unticked behind it or none."""
    office = Office.at(database=demo_file, pretend=moment)
    before = office.week()
    (visit,) = (one for on in before.days if on.day == day for one in on.visits if one.job == job)
    view = office.what_if(WhatIfAsked(visits=((job, visit.tasks, crew, to),)))
    assert finishes(office.week()) == finishes(before)  # nothing was kept
    done = office.pin(job, visit.tasks, crew, to, visit=True)

    then = finishes(office.week())
    ends = {row.job: row.then for row in view.jobs}
    assert {number: then[number] for number in ends if number in then} == {n: e for n, e in ends.items() if n in then}
    assert any(row.finish != row.then for row in view.jobs)
    stale = view.note.startswith("What ends without it")
    assert stale == (moment > "2026-03-03")
    if not stale:
        others = finishes(before).keys() - ends.keys()
        assert {number: then[number] for number in others} == {number: finishes(before)[number] for number in others}
    (follows,) = (words for words in done.then if words.startswith("The plan follows"))
    assert f": {len(view.moves)} pieces of work move" in follows
    assert ("; " in follows) == stale
    assert view.soon.endswith(follows.partition("; ")[2] if stale else ").")
    assert tuple(words for words in done.then if "pinned to" in words) == view.unkept
    assert bool(view.unkept) == stale


def test_a_visit_tried_where_it_is_moves_nothing(demo_file: Path) -> None:
    """A fresh plan, a visit pinned to its own crew and day: the plan stays, and that is what is told."""
    office = Office.at(database=demo_file)
    visit = next(one for on in office.week().days for one in on.visits if one.tasks)
    view = office.what_if(WhatIfAsked(visits=((visit.job, visit.tasks, visit.crew, visit.start.date()),)))
    assert (view.jobs, view.moves, view.unkept, view.soon) == ((), (), (), STAYS)


def test_pins_that_do_not_hold_are_told_by_task_and_once(demo_file: Path) -> None:
    """All of a visit beyond the plan's end is one sentence, with the year of a day that is not of this one; each names its tasks."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    tuesday = next(on for on in office.week().days if on.day == date(2026, 3, 3))
    (visit,) = (one for one in tuesday.visits if one.job == 1)
    view = office.what_if(WhatIfAsked(visits=((1, visit.tasks, "Cedar", date(2027, 2, 3)),)))
    assert "pinned to Cedar on Wed 3 Feb 2027" in view.sentence
    (said,) = view.unkept
    assert re.match(
        r"Job 1: task \d+ '[^']+' \([^)]+\), task .* and \d more: pinned to Cedar on Wed 3 Feb 2027, after the plan ends",
        said,
    )
    assert said.endswith("; done by Cedar from Tue 3 Mar 07:45 on.")
    monday = next(on for on in office.week().days if on.day == date(2026, 3, 2))
    (visit,) = (one for one in monday.visits if one.job == 11)
    view = office.what_if(WhatIfAsked(visits=((11, visit.tasks, "Birch", date(2026, 3, 3)),)))
    assert view.unkept
    assert all(re.match(r"Job 11: task \d+ '[^']+' \(", words) for words in view.unkept)
