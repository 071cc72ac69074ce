"""What `what-if` tells is the best that was found; where recording leaves the plan in force elsewhere, that is told, too."""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from crewjobs.domain.wording import day_words
from crewjobs.services.answers.what_if import AT_ANOTHER_HOUR, AT_FIRST, OTHER_MOVES
from crewjobs.services.answers.what_if_rows import WhatIfAsked
from crewjobs.services.office import Office
from tests import thorough
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
    thorough.of(
        [
            ("Birch", date(2026, 3, 3), 0, False),
            ("Birch", date(2026, 3, 3), 6, True),
            ("Cedar", date(2026, 3, 4), 6, False),
        ],
        1,
    ),
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
    said = told(view.at_first if apart else view.sentence)
    assert changed
    assert {job: days for job, days in said.items() if job in before} == changed
    if not rounds:  # at once it is told against the plan in force, and does not say so
        assert view.sentence.startswith(f"With {crew} off")
        assert "against" not in view.soon


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


def test_what_no_command_records_is_told_without_it(demo_file: Path) -> None:
    """A crew more has no command: what recording the rest does at first is not foretold."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    more = (("Elm", "Birch", ""),)
    assert office.what_if(WhatIfAsked(crews=more)).at_first == ""
    assert office.what_if(WhatIfAsked(crews=more, off=(("Birch", "2026-03-03"),))).at_first == ""


TUESDAY = date(2026, 3, 3)


BOOKED = """
title = "Den, Quarry Road"
state = "booked"
promised = 2026-03-13

[customer]
name = "Teo Halloran"

[site]
address = "9 Quarry Road, Marrow Bend"
year_built = 1994

[[room]]
name = "den"
length = "14' 6"
width = "12' 3 1/2"
layers = ["carpet"]
floor = "gray plank"

[[opening]]
between = ["den", "outside"]
width = "36 in"

[[material]]
name = "gray plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.8 ft2"

[[order]]
material = "gray plank"
cartons = 9
supplier = "north yard"
ordered = 2026-02-16
due = "2026-03-03 10:00"
"""


def visit(office: Office, job: int, crew: str, to: date) -> tuple[int, tuple[int, ...], str, date]:
    """Return the visit to a job on Tuesday as it is moved."""
    (tasks,) = (one.tasks for on in office.week().days if on.day == TUESDAY for one in on.visits if one.job == job)
    return job, tasks, crew, to


def give(office: Office, command: str) -> None:
    """Do what a printed command does, read word by word as a shell reads it."""
    program, name, *words = shlex.split(command)
    assert program == "crewjobs"
    if name == "pin":
        office.pin(int(words[0]), [int(number) for number in words[1].split(",")], words[2], office.read_day(words[3]))
    elif name == "hours":
        office.hours(words[0], office.read_day(words[1]), words[2].replace("--off", "off"))
    elif name == "back-ordered":
        office.back_ordered(int(words[0]), words[1], words[2])
    else:
        assert name == "amend"
        office.edit(int(words[0]), office.job(int(words[0])).version, {words[1].removeprefix("--"): words[2]})


def test_several_visits_are_told_as_their_pins_make_the_plan_one_after_the_other(demo_file: Path) -> None:
    """Two visits moved at once: each finish to the minute, each piece that moves, each pin not kept, as after the commands."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    before, kept = finishes(office.week()), demo_file.read_bytes()
    wednesday = date(2026, 3, 4)
    asked = WhatIfAsked(visits=(visit(office, 4, "Rowan", wednesday), visit(office, 2, "Birch", wednesday)))
    view = office.what_if(asked)
    assert demo_file.read_bytes() == kept
    assert len(view.commands) == 2
    for command in view.commands:
        give(office, command)
    after = finishes(office.week())
    assert {row.job: row.then for row in view.jobs} == {row.job: after[row.job] for row in view.jobs}
    others = before.keys() - {row.job for row in view.jobs}
    assert {job: after[job] for job in others} == {job: before[job] for job in others}
    assert len(view.jobs) > 2  # more than the two that are moved
    assert view.recording.endswith("record it, in this order.")
    assert any("task 27" in words for words in view.unkept)


@pytest.mark.parametrize(
    ("asked", "begins"),
    thorough.of(
        [
            pytest.param(lambda office: WhatIfAsked(off=(("Birch", "tue"),), visits=(visit(office, 2, "Birch", date(2026, 3, 5)),)), AT_FIRST, id="off and a visit"),
            pytest.param(lambda office: WhatIfAsked(without=(1,), visits=(visit(office, 4, "Rowan", date(2026, 3, 4)),)), AT_ANOTHER_HOUR, id="without and a visit"),
            pytest.param(lambda _: WhatIfAsked(off=(("Birch", "tue"), ("Cedar", "tue")), promises=((4, "2026-03-20"),)), AT_FIRST, id="two off and a promise"),
            pytest.param(lambda _: WhatIfAsked(late=((6, "field laminate", "wed 10:00"),), book=(8,), works=(("Rowan", "sat", "8:00-12:00"),)), "", id="late, booked and a day more"),
        ],
        1,
    ),
)  # fmt: skip
def test_several_things_recorded_in_their_order_do_what_was_told(
    demo_file: Path, asked: Callable[[Office], WhatIfAsked], begins: str
) -> None:
    """What is mixed is planned anew; where its commands lead elsewhere, that is told as they then do it."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    before = finishes(office.week())
    view = office.what_if(asked(office))
    for command in view.commands:
        give(office, command)
    after = finishes(office.week())
    changed = {
        job: (day_words(end.date(), TODAY), day_words(was.date(), TODAY))
        for job, end in after.items()
        if end is not None and (was := before.get(job)) is not None and end.date() != was.date()
    }
    said = told(view.at_first if view.at_first.startswith(AT_FIRST) else view.sentence)
    assert {job: days for job, days in said.items() if job in after and job in before} == changed
    assert view.at_first.startswith(begins)
    assert bool(view.at_first) == bool(begins)
    if begins == AT_ANOTHER_HOUR:
        named = re.findall(r"job (\d+) ends \w+ \d+ \w+ (\d\d:\d\d)", view.at_first)
        assert named
        assert all(f"{end:%H:%M}" == hour for job, hour in named if (end := after[int(job)]) is not None)


def test_what_cannot_be_recorded_after_the_rest_is_said_with_its_command(demo_file: Path) -> None:
    """Nobody is away from a crew that does not work: the second command would be refused, which is told before anybody gives it."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    view = office.what_if(WhatIfAsked(off=(("Birch", "tue"), ("Ines Varga", "tue"))))
    away = 'crewjobs away "Ines Varga" 2026-03-03'
    assert view.commands == ("crewjobs hours Birch 2026-03-03 --off", away)
    assert view.at_first.startswith(
        f"Recorded in this order, `{away}` is refused: Birch does not work on Tue 3 Mar: nobody is away from it"
    )


def test_a_job_that_is_loaded_waits_for_what_follows(demo_file: Path, tmp_path: Path) -> None:
    """Loading has no plan follow: alone nothing is told of it, and with a visit after it what both do."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    file = tmp_path / "den.toml"
    file.write_text(BOOKED)
    assert office.what_if(WhatIfAsked(files=(file,))).at_first == ""
    view = office.what_if(WhatIfAsked(files=(file,), visits=(visit(office, 4, "Rowan", date(2026, 3, 4)),)))
    assert view.at_first.startswith(AT_ANOTHER_HOUR)
    office.load([file])
    give(office, view.commands[1])
    after = finishes(office.week())
    named = re.findall(r"job (\d+) ends \w+ \d+ \w+ (\d\d:\d\d)", view.at_first)
    assert named
    assert all(f"{end:%H:%M}" == hour for job, hour in named if (end := after[int(job)]) is not None)


def test_the_first_sentence_says_that_it_is_not_told_against_the_plan_in_force(demo_file: Path) -> None:
    """Where both sides are planned anew, what does not move between them may well move on the wall."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    view = office.what_if(WhatIfAsked(off=(("Birch", "2026-03-03"),)), rounds=1)
    assert view.sentence.startswith("Against a plan made anew, not the one in force: with Birch off on Tue 3 Mar, ")
    assert " against that plan" in view.soon


LATE = (6, "field laminate", "2026-03-10")


@pytest.mark.parametrize(
    "asked",
    thorough.of(
        [
            WhatIfAsked(late=(LATE,), off=(("Birch", "tue"),)),
            WhatIfAsked(late=(LATE,)),
            WhatIfAsked(late=(LATE,), book=(8,)),
        ],
        1,
    ),
)
def test_an_hour_that_recording_does_not_bring_is_not_told_without_a_word(demo_file: Path, asked: WhatIfAsked) -> None:
    """Of each finish in the table that comes on its day, but at another hour once recorded, that hour is said."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    view = office.what_if(asked)
    for command in view.commands:
        give(office, command)
    after = finishes(office.week())
    ends = {row.job: row.then for row in view.jobs if row.then is not None and after.get(row.job) is not None}
    other = {job: after[job] for job, then in ends.items() if after[job].date() == then.date() and after[job] != then}
    named = dict(re.findall(r"job (\d+) ends \w+ \d+ \w+ (\d\d:\d\d)", view.at_first))
    assert {job: f"{end:%H:%M}" for job, end in other.items()}.items() <= {int(j): h for j, h in named.items()}.items()
    assert {job: f"{after[job]:%H:%M}" for job in map(int, named)} == {int(j): h for j, h in named.items()}
    assert other


def test_a_visit_moved_to_a_day_off_is_said_not_to_be_kept(demo_file: Path) -> None:
    """Whoever is off that day cannot have it: that is said of the plan told, with the reason."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    tuesday, wednesday = date(2026, 3, 3), date(2026, 3, 4)
    visits = (one for day in office.week().days if day.day == tuesday for one in day.visits)
    tasks = next(one.tasks for one in visits if one.job == 2)
    asked = WhatIfAsked(visits=((2, tasks, "Birch", wednesday),), off=(("Birch", "wed"),))
    (said,) = office.what_if(asked).unkept
    assert "pinned day Wed 4 Mar is a day off for Birch" in said


def test_where_only_other_work_moves_than_told_it_is_said_how_much(demo_file: Path) -> None:
    """Every job ends as told, by another way: the record then says the same number."""
    office = Office.at(database=demo_file, pretend="2026-03-02 09:00")
    late = (6, "field laminate", "2026-03-10 10:00")
    view = office.what_if(WhatIfAsked(late=(late,)))
    assert view.at_first.startswith(OTHER_MOVES)
    said = re.search(r"\d+ pieces of work move", view.at_first).group()
    then = office.back_ordered(*late).then
    assert any(said in one for one in then)
    assert f"{len(view.moves)} pieces" not in said
    assert {one.job: one.then for one in view.jobs}[6] == finishes(office.week())[6]


def test_a_promise_that_recording_alone_does_not_keep_is_named(demo_file: Path) -> None:
    """Told to keep its new promise, recorded it stays where it was, which does not: that is said, and what then happens."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    asked = WhatIfAsked(
        late=((12, "creek maple", "2026-03-05 10:00"),),
        off=(("Rowan", "thu"),),
        works=(("Rowan", "sat", ""),),
        promises=((12, "2026-03-13"),),
    )
    view = office.what_if(asked)
    assert "keeps its promise of Fri 13 Mar" in view.sentence
    assert "job 12 ends Tue 17 Mar as before and does not keep its promise of Fri 13 Mar" in view.at_first
    for command in view.commands:
        give(office, command)
    (row,) = (row for row in office.week().promises if row.job == 12)
    assert (row.finish.date(), row.holds) == (date(2026, 3, 17), False)
