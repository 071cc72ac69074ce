"""What if a crew is off, a truck late, a job more: read from what is stored, and nothing of it kept."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from crewjobs.cli.what_if import what_if_text
from crewjobs.domain.errors import Refused
from crewjobs.domain.wording import typed
from crewjobs.engines.answering.what_if import JobChange, Side
from crewjobs.services.answers.what_if import _job_words
from crewjobs.services.answers.what_if_rows import WhatIfAsked
from tests.builders import record
from tests.services.conftest import JOB, SHOP, Shop

SPARE = JOB.replace("number = 4", "").replace("9 Quarry", "40 Quarry").replace("Den, Quarry", "Spare room, Quarry")


@pytest.fixture
def planned(shop: Shop) -> Shop:
    """Job 4 planned, its planks due on Tuesday."""
    shop.office.plan()
    return shop


def bytes_of(shop: Shop) -> bytes:
    return shop.path.read_bytes()


def test_every_kind_is_told_and_nothing_is_kept(planned: Shop) -> None:
    """Each thing that can be supposed gives a sentence that begins with it; the database stays byte for byte."""
    before = bytes_of(planned)
    file = planned.file("spare.toml", SPARE)
    for asked, said in (
        (WhatIfAsked(off=(("birch", "fri"),)), "With Birch off on Fri 6 Mar, "),
        (WhatIfAsked(off=(("Maeve", "fri"),)), "With Maeve Ostrow of Cedar out on Fri 6 Mar, "),
        (WhatIfAsked(works=(("Birch", "sat", ""),)), "With Birch working on Sat 7 Mar 07:00-12:00, 12:30-15:30, "),
        (WhatIfAsked(works=(("Birch", "sat", "8:00-12:00"),)), "With Birch working on Sat 7 Mar 08:00-12:00, "),
        (WhatIfAsked(crews=(("Elm", "Cedar", "wed"),)), "With a crew more, Elm, like Cedar from Wed 4 Mar, "),
        (WhatIfAsked(late=((4, "gray plank", "2026-03-12"),)), "With gray plank of job 4 due Thu 12 Mar 17:00, "),
        (WhatIfAsked(late=((4, "", "none"),)), "With gray plank of job 4 without a date, "),
        (WhatIfAsked(promises=((4, "2026-03-20"),)), "With job 4 promised Fri 20 Mar, "),
        (WhatIfAsked(without=(4,)), "With job 4 called off, "),
        (WhatIfAsked(files=(file,)), "With job 5 (Spare room, Quarry Road) booked, "),
    ):
        view = planned.office.what_if(asked)
        assert view.sentence.startswith(said)
        assert view.sentence.endswith(".")
        assert len(view.supposed) == 1
    assert bytes_of(planned) == before


def test_a_late_truck_breaks_a_promise(planned: Shop) -> None:
    """Due the day before the promise, 48 h of acclimation cannot be over: lost, and both finishes are told."""
    view = planned.office.what_if(WhatIfAsked(late=((4, "gray plank", "2026-03-12 10:00"),)))
    assert view.lost == (4,)
    (row,) = view.jobs
    assert (row.holds, row.holds_then) == (True, False)
    assert row.finish is not None
    assert row.then is not None
    assert row.then.date() >= date(2026, 3, 16)
    assert "breaks its promise of Fri 13 Mar; all other promises hold." in view.sentence
    assert view.moves
    assert "BROKEN" in what_if_text(view)


def test_a_visit_moved_is_told_before_it_is_kept(planned: Shop) -> None:
    """A visit on a later day with another crew: what it breaks is told, the pin that keeps it named, and none is written."""
    before = bytes_of(planned)
    visit = next(one for day in planned.office.week().days for one in day.visits if one.tasks)
    view = planned.office.what_if(WhatIfAsked(visits=((4, visit.tasks, visit.crew, date(2026, 3, 16)),)))
    assert f"pinned to {visit.crew} on Mon 16 Mar" in view.sentence
    assert view.lost == (4,)
    assert view.commands[0].endswith(f"{visit.crew} 2026-03-16")
    with pytest.raises(Refused, match="has gone by"):
        planned.office.what_if(WhatIfAsked(visits=((4, visit.tasks, visit.crew, date(2026, 2, 16)),)))
    assert bytes_of(planned) == before


def test_an_earlier_truck_is_no_harm(planned: Shop) -> None:
    """Planks on Monday instead of Tuesday: nothing is lost, and the job ends no later."""
    view = planned.office.what_if(WhatIfAsked(late=((4, "gray plank", "2026-03-02 12:00"),)))
    assert view.lost == ()
    assert all(row.then is not None and row.finish is not None and row.then <= row.finish for row in view.jobs)


def test_now_is_the_plan_in_force(planned: Shop) -> None:
    """The finish without is the week's, to the minute; a crew that has nothing to do then changes nothing."""
    (promise,) = planned.office.week().promises
    gone = planned.office.what_if(WhatIfAsked(without=(4,)))
    assert gone.jobs[0].finish == promise.finish
    assert (gone.crew_days_then, gone.note) == (0, "")
    idle = planned.office.what_if(WhatIfAsked(off=(("Cedar" if _crew(planned) == "Birch" else "Birch", "fri"),)))
    assert (idle.jobs, idle.moves) == ((), ())
    assert "no job ends on another day; all promises hold." in idle.sentence


def test_a_plan_that_facts_have_overtaken_is_said_not_to_be_now(planned: Shop) -> None:
    """A truck put off since the plan was made: what stands as now is planned with that, and the note says so."""
    planned.office.back_ordered(4, "gray plank", "2026-03-10")
    view = planned.office.what_if(WhatIfAsked(promises=((4, "2026-03-27"),)))
    assert "not the plan in force" in view.note
    assert view.note in " ".join(what_if_text(view).split())


def _crew(shop: Shop) -> str:
    (crew,) = {visit.crew for day in shop.office.week().days for visit in day.visits}
    return crew


def test_a_file_is_expanded_as_load_does(planned: Shop) -> None:
    """The job supposed from a file ends when it ends once it is loaded and planned."""
    file = planned.file("spare.toml", SPARE)
    view = planned.office.what_if(WhatIfAsked(files=(file,)))
    row = next(row for row in view.jobs if row.job == 5)
    assert view.recording == f"`crewjobs load {typed(str(file))}` records it."
    asked = planned.file("asked.toml", SPARE.replace("title = ", 'state = "quoted"\ntitle = ', 1))
    quoted = planned.office.what_if(WhatIfAsked(files=(asked,)))
    assert quoted.commands[1:] == ("crewjobs amend 5 --state booked",)
    planned.office.load([file])
    planned.office.plan()
    finish = {one.job: one.finish for one in planned.office.week().promises}[5]
    assert (row.finish, row.then) == (None, finish)


def test_a_crew_more_says_how_it_is_added(planned: Shop) -> None:
    """No command adds a crew: the sentence names the file and the commands around it."""
    view = planned.office.what_if(WhatIfAsked(crews=(("Alder", "Birch", ""),)))
    assert view.commands == ()
    assert view.recording.startswith("A crew is added in the shop file: `crewjobs dump shop --out shop.toml`")


def test_a_job_without_its_material_is_said_not_to_end(planned: Shop) -> None:
    """A file whose planks nobody ordered: it is not planned to its end, and why stands beside it."""
    bare = SPARE[: SPARE.index("[[order]]")]
    view = planned.office.what_if(WhatIfAsked(files=(planned.file("bare.toml", bare),)))
    row = next(row for row in view.jobs if row.job == 5)
    assert row.then is None
    assert any("not ordered" in why for why in row.why)


def test_several_things_hold_at_once(planned: Shop) -> None:
    """A crew off and a promise moved: both are in the sentence, and the promise is judged by its new day."""
    asked = WhatIfAsked(off=(("Birch", "fri"),), promises=((4, "2026-03-27"),))
    view = planned.office.what_if(asked)
    assert view.sentence.startswith("With Birch off on Fri 6 Mar and job 4 promised Fri 27 Mar, ")
    assert view.jobs[0].promised_then == date(2026, 3, 27)


def test_rounds_give_the_same_answer_twice(planned: Shop) -> None:
    """Looked for in rounds, equal questions have equal answers."""
    asked = WhatIfAsked(crews=(("Elm", "Birch", ""),))
    assert planned.office.what_if(asked, rounds=1) == planned.office.what_if(asked, rounds=1)
    assert planned.office.what_if(asked, seconds=0.2).rounds is None


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (WhatIfAsked(off=(("Willow", "fri"),)), "there is no crew 'Willow'"),
        (WhatIfAsked(off=(("Birch", "sat"),)), "Birch does not work on Sat 7 Mar"),
        (WhatIfAsked(off=(("Birch", "2026-02-27"),)), "has gone by"),
        (WhatIfAsked(off=(("Birch", "2026-06-01"),)), "is after the plan's end"),
        (WhatIfAsked(works=(("Birch", "fri", ""),)), "works on Fri 6 Mar anyhow"),
        (WhatIfAsked(works=(("Birch", "sat", "noon"),)), "'noon' are no hours"),
        (WhatIfAsked(works=(("Birch", "sat", "8:05-12:00"),)), "do not start and end on a quarter hour"),
        (WhatIfAsked(crews=(("Birch", "Cedar", ""),)), "there is a crew 'Birch' already"),
        (WhatIfAsked(crews=((" ", "Cedar", ""),)), "needs a name"),
        (WhatIfAsked(late=((99, "x", "fri"),)), "there is no job 99"),
        (WhatIfAsked(late=((4, "oak", "fri"),)), "no material 'oak'"),
        (WhatIfAsked(late=((4, "gray plank", "2026-02-20"),)), "has gone by"),
        (WhatIfAsked(promises=((4, "2026-02-20"),)), "has gone by"),
        (WhatIfAsked(promises=((4, "2026-03-13"),)), "job 4 is promised Fri 13 Mar already"),
        (WhatIfAsked(late=((4, "gray plank", "tue 10:00"),)), "gray plank of job 4 is due Tue 3 Mar 10:00 already"),
        (
            WhatIfAsked(off=(("birch", "tue"),), works=(("Birch", "2026-03-03", ""),)),
            "what Birch does on Tue 3 Mar is supposed twice",
        ),
        (
            WhatIfAsked(off=(("Birch", "sat"),), works=(("Birch", "sat", ""),)),
            "what Birch does on Sat 7 Mar is supposed twice",
        ),
        (WhatIfAsked(promises=((4, "2026-03-16"), (4, "2026-03-17"))), "the promise of job 4 is supposed twice"),
        (WhatIfAsked(without=(4, 4)), "calling off job 4 is supposed twice"),
        (
            WhatIfAsked(late=((4, "gray plank", "2026-03-12"), (4, "", "none"))),
            "the date of gray plank of job 4 is supposed twice",
        ),
        (
            WhatIfAsked(visits=((4, (5, 6), "Birch", date(2026, 3, 3)), (4, (6, 7), "Cedar", date(2026, 3, 4)))),
            "moving a visit of job 4 is supposed twice",
        ),
        (
            WhatIfAsked(off=(("Birch", "tue"), ("birch", "2026-03-03"))),
            "what Birch does on Tue 3 Mar is supposed twice",
        ),
        (
            WhatIfAsked(off=(("Birch", "tue"),), works=(("Birch", "tue", "8:00-12:00"),)),
            "what Birch does on Tue 3 Mar is supposed twice",
        ),
        (
            WhatIfAsked(off=(("Ines", "tue"), ("Ines Varga", "tue"))),
            "that Ines Varga is out on Tue 3 Mar is supposed twice",
        ),
        (WhatIfAsked(crews=(("Elm", "Birch", ""), ("Elm", "Birch", ""))), "a crew 'Elm' is supposed twice"),
        (WhatIfAsked(book=(9, 9)), "booking job 9 is supposed twice"),
        (
            WhatIfAsked(files=(Path("new.toml"), Path("in") / ".." / "new.toml")),
            "is given twice: two jobs that are alike need a file each",
        ),
        (WhatIfAsked(without=(9,)), "job 9 is not among the booked jobs"),
        (WhatIfAsked(book=(4,)), "job 4 is booked already"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(planned: Shop, asked: WhatIfAsked, said: str) -> None:
    """Names, days, hours and jobs that cannot be: one sentence each."""
    with pytest.raises(Refused) as refused:
        planned.office.what_if(asked)
    assert len(refused.value.sentences) == 1
    assert said in refused.value.sentences[0]


def test_a_job_that_is_supposed_booked_can_be_supposed_promised(planned: Shop) -> None:
    """Quoted, it has no promise to move; booked and promised are recorded in that order."""
    planned.office.edit(4, planned.record().version, {"state": "quoted", "promised": "none"})
    view = planned.office.what_if(WhatIfAsked(book=(4,), promises=((4, "2026-03-20"),)))
    assert view.supposed == ("job 4 booked", "job 4 promised Fri 20 Mar")
    assert view.commands == ("crewjobs amend 4 --state booked", "crewjobs amend 4 --promised 2026-03-20")
    [row] = [row for row in view.jobs if row.job == 4]
    assert (row.promised_then, row.holds_then) == (date(2026, 3, 20), True)
    with pytest.raises(Refused, match="job 4 is not among the booked jobs"):
        planned.office.what_if(WhatIfAsked(promises=((4, "2026-03-20"),)))


def test_a_file_of_a_job_that_is_there_is_refused(planned: Shop) -> None:
    """The same number twice, and a shop file: neither is a job more."""
    with pytest.raises(Refused, match="job 4 is there already"):
        planned.office.what_if(WhatIfAsked(files=(planned.file("again.toml", JOB),)))
    with pytest.raises(Refused, match="a shop file cannot be supposed"):
        planned.office.what_if(WhatIfAsked(files=(planned.file("shop2.toml", SHOP),)))


def test_before_a_plan_it_says_so(shop: Shop) -> None:
    """Without a plan there is nothing to compare with."""
    with pytest.raises(Refused, match="nothing is planned yet"):
        shop.office.what_if(WhatIfAsked(without=(4,)))


def test_a_quoted_job_is_booked(empty_shop: Shop) -> None:
    """A quoted job has no place in the plan; booked it ends, and keeps its promise."""
    quoted = JOB.replace("number = 4", 'number = 4\nstate = "quoted"')
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", quoted)])
    empty_shop.office.plan()
    view = empty_shop.office.what_if(WhatIfAsked(book=(4,)))
    assert view.jobs[0].then is not None
    assert "job 4 ends " in view.sentence
    assert "and keeps its promise of Fri 13 Mar" in view.sentence


def test_a_job_supposed_booked_that_breaks_its_promise_is_not_told_as_no_promise_lost(planned: Shop) -> None:
    """Its own is lost: of the others it is said that no other is."""
    late = SPARE.replace("ordered = 2026-02-16\n", "").replace('due = "2026-03-03 10:00"\n', "")
    file = planned.file("late.toml", late)
    view = planned.office.what_if(WhatIfAsked(files=(file,)))
    assert view.lost == ()
    assert "job 5 is not planned to its end and breaks its promise" in view.sentence
    assert view.sentence.endswith("all other promises hold.")


@pytest.mark.parametrize(
    ("was", "now", "holds", "kept", "said"),
    [
        (None, 17, False, True, "job 7 has a finish, Tue 17 Mar, and does not keep its promise of Fri 13 Mar"),
        (None, 12, True, True, "job 7 has a finish, Thu 12 Mar, and keeps its promise of Fri 13 Mar"),
        (
            18,
            17,
            False,
            True,
            "job 7 ends Tue 17 Mar instead of Wed 18 Mar and does not keep its promise of Fri 13 Mar",
        ),
        (18, 17, False, False, "job 7 ends Tue 17 Mar instead of Wed 18 Mar"),
        (12, 17, False, True, "job 7 ends Tue 17 Mar instead of Thu 12 Mar and breaks its promise of Fri 13 Mar"),
    ],
)
def test_a_finish_that_comes_back_too_late_does_not_keep_its_promise(was, now, holds, kept, said) -> None:
    """No comma is left open, and what was told to be kept and is not is named."""

    def side(day: int | None, holds: bool) -> Side:
        end = datetime(2026, 3, day, 18, tzinfo=UTC) if day else None
        return Side(there=True, end=end, promised=date(2026, 3, 13), holds=holds, crew_days=1, crews=("Birch",))

    change = JobChange(job=7, was=side(was, was == 12), now=side(now, holds))
    assert _job_words(change, record(number=7), date(2026, 3, 2), kept) == said
