"""Callbacks: a small job tied to the finished one, planned and worked as any, and in nobody's pace."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.domain.house import Covering, Layer
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.job import JobState
from crewjobs.domain.work import ExtraWork
from crewjobs.engines.estimating.spread import spread_hours
from crewjobs.engines.readiness.holds import cannot_be_planned
from crewjobs.files.job_file import read_job, write_job
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.rows import CALLBACK_HOURS, SPREAD
from tests.services.conftest import JOB, Shop, kept, load_den

WHAT = "swap the board that clicks"
OF_FLOORS = ("hours", "spread", "pace", "man_days", "phases", "cells", "tasks", "spent_rest", "crew_hours")


def close(shop: Shop, number: int = 4, state: str = "closed") -> None:
    shop.office.edit(number, shop.record(number).version, {"state": state})


def worked(shop: Shop, number: int, start: str, stop: str) -> None:
    """Say that two people of Birch were at a house on Thursday."""
    entry = HouseEntry(house=1, job=number, start=start, stop=stop, people="2", pause="0 min")
    shop.office.evening("Birch", date(2026, 3, 5), EveningEntry(houses=(entry,)))


def make_closed(shop: Shop) -> None:
    """Job 4, laid on 2 March from lot D and handed over with a full carton left, closed."""
    shop.office.arrived(4, "gray plank", 9, lot="D", in_rooms=True)
    numbers = [task.number for task in shop.record().tasks if task.open]
    shop.office.tick(4, numbers, because="entered from the paper")
    shop.office.walk_after(4, "Teo Halloran", carton_left=True, care_sheet=True)
    close(shop)


closed = kept(load_den, make_closed)


def test_a_callback_is_a_small_job_of_its_own(closed: Shop) -> None:
    """Next free number, the old title, customer and site with its private notes, the room with what was laid in it and
    no new floor, one task of the hours said, and the carton that was kept for this."""
    closed.office.callback(4, WHAT, where="Den", hours="1,5", people=2, wished="thu", promised="fri")
    old, job = closed.record().job, closed.record(5).job
    assert (job.number, job.title, job.callback_of) == (5, "Callback: Den, Quarry Road (job 4)", 4)
    assert (job.customer, job.site, job.state) == (old.customer, old.site, JobState.BOOKED)
    assert job.site.entry_notes == "side door, code 4471"
    assert (job.wished, job.promised) == (date(2026, 3, 5), date(2026, 3, 6))
    (room,) = job.rooms
    assert (room.outline, room.furniture) == (old.rooms[0].outline, old.rooms[0].furniture)
    assert (room.floor, room.layers) == (None, (Layer(covering=Covering.CLICK_VINYL, year=2026),))
    needs = "the carton of gray plank kept in the house, lot D"
    assert job.work == (ExtraWork(what=WHAT, place="den", minutes=90, people=2, needs=needs),)
    assert (job.materials, job.orders, job.openings) == ((), (), ())
    (task,) = closed.record(5).tasks
    assert (task.title, task.where, task.estimate.likely) == (f"{WHAT} (with {needs})", "den", 90)
    assert (task.people, task.least_people, task.needs_material) == (2, 2, None)


def test_what_was_left_under_the_floor_holds_what_comes_back_to_it(shop: Shop) -> None:
    """Floated over, it is there still: screwing down a board waits for the lead's word, and a room without it does not."""
    said = {"by": "Ines Varga", "because": "heights checked, told in writing"}
    shop.office.found(4, "den", "suspect asbestos")
    shop.office.way_on(4, "den", "suspect asbestos", "float over", **said)
    shop.office.way_on(4, "den", "suspect asbestos", "nothing into it", **said)
    make_closed(shop)
    done = shop.office.callback(4, WHAT, where="den")
    assert any(
        words.startswith("Den: suspect asbestos stays there, left undisturbed and floated") for words in done.then
    )
    with pytest.raises(OnHold, match="float over was taken, and that is not done into it"):
        shop.office.tick(5, [1])
    shop.office.way_on(5, "den", "suspect asbestos", "nothing into it", **said)
    assert not cannot_be_planned(shop.record(5), shop.clock.at)


def test_nothing_private_is_said_or_logged(closed: Shop) -> None:
    """Neither the sentence, the log, the job's page nor its file tells the entry notes."""
    done = closed.office.callback(4, WHAT)
    told = [done.sentence, *done.then, *(change.what for change in closed.office.changes()), closed.office.dump(5)]
    assert "4471" not in " ".join([*told, repr(closed.office.job(5))])


def test_it_is_one_change_and_goes_with_one_undo(closed: Shop) -> None:
    """Taken back, there is no callback and the old job is as it was; its number is not given again."""
    before, changes = closed.office.job(4), len(closed.office.changes())
    done = closed.office.callback(4, WHAT)
    assert len(closed.office.changes()) == changes + 1
    assert closed.office.job(4) != before
    assert closed.office.undo().sentence.endswith(done.sentence[1:])
    assert closed.office.job(4).ties == before.ties == ()
    with pytest.raises(Refused, match="no job 5"):
        closed.office.job(5)
    closed.office.callback(4, WHAT)
    assert closed.record(6).job.callback_of == 4


def test_the_tie_is_seen_from_both_jobs(closed: Shop) -> None:
    """Each page and each line of the list names the other job, and the callback says that its hours never count."""
    closed.office.callback(4, WHAT)
    closed.office.callback(4, "glue the nosing", hours="1")
    (tie,) = closed.office.job(5).ties
    assert tie.startswith("Callback of job 4, Den, Quarry Road (closed)")
    assert "never count in the crew's pace" in tie
    assert closed.office.job(4).ties == ("Called back: job 5, booked", "Called back: job 6, booked")
    rows = {row.number: row.tie for row in closed.office.jobs(everything=True)}
    assert rows == {4: "called back: jobs 5, 6", 5: "callback of job 4", 6: "callback of job 4"}


def test_a_callback_is_planned_printed_worked_and_ticked(closed: Shop) -> None:
    """Held until somebody says the house is ready; then planned from its wished day, on the page, how far in %, done."""
    closed.office.callback(4, WHAT, where="den", hours="3", wished="thu")
    with pytest.raises(OnHold, match="nobody has asked whether the house is ready"):
        closed.office.tick(5, [1])
    closed.office.ready(5, asked="Teo Halloran", answers=Answers(ready=tuple(ReadyItem)))
    closed.office.plan()
    (visit,) = [visit for day in closed.office.week().days for visit in day.visits if visit.job == 5]
    assert visit.start.date() == date(2026, 3, 5)
    page = closed.office.day_plan_text(date(2026, 3, 5), visit.crew)
    assert "Swap the board that clicks" in page or WHAT in page
    closed.clock.set("2026-03-05", "10:00")
    closed.office.how_far(5, 1, "50 %")
    row = closed.office.job(5).row
    assert (row.phase, round(row.hours_left, 3)) == ("under way", round(closed.office.job(5).hours / 2, 3))
    closed.office.tick(5, [1])
    assert closed.office.job(5).row.phase == "finished"


def test_hours_of_a_callback_are_in_nobodys_pace(closed: Shop) -> None:
    """Two people's three hours stand on the callback's page as they were said, are spread over no task, and leave the
    old job's hours, pace and phases untouched."""
    closed.office.callback(4, WHAT, where="den", hours="3")
    closed.office.ready(5, asked="Teo Halloran", answers=Answers(ready=tuple(ReadyItem)))
    closed.clock.set("2026-03-05", "17:00")
    before = closed.office.job(4)
    worked(closed, 5, "8:00", "11:00")
    closed.office.tick(5, [1], at="2026-03-05 11:00")
    after, page = closed.office.job(4), closed.office.job(5)
    for name in OF_FLOORS:
        assert getattr(after, name) == getattr(before, name)
    assert closed.record(5).crew_hours[0].labor == 360
    assert spread_hours(closed.record(5)) == ()
    assert [phase.spent for phase in page.phases] == [0.0]
    assert (page.pace, page.spent_rest) == ("", 0.0)
    assert "6.0 h of one person" in page.crew_hours[0]
    assert page.hours_note == CALLBACK_HOURS
    assert after.hours_note == SPREAD


def test_the_same_hours_on_a_job_that_is_no_callback_are_spread(closed: Shop) -> None:
    """What keeps a callback's hours out is the tie alone: the same work without it takes all of them."""
    text = write_job(read_job(JOB, "den.toml", "America/Chicago")).partition("[[room]]")[0].replace("number = 4", "")
    room = '[[room]]\nname = "den"\nlength = "10 ft"\nwidth = "9 ft"\n[[work]]\nwhat = "shelf off"\nhours = 3\n'
    closed.office.load([closed.file("more.toml", text + room)])
    closed.office.ready(5, asked="Teo Halloran", answers=Answers(ready=tuple(ReadyItem)))
    closed.clock.set("2026-03-05", "17:00")
    worked(closed, 5, "8:00", "11:00")
    closed.office.tick(5, [1], at="2026-03-05 11:00")
    assert [sum(day.tasks.values()) for day in spread_hours(closed.record(5))] == [360]


@pytest.mark.parametrize(
    ("named", "said"),
    [
        ({"where": "attic"}, "job 4 has no room or stairs 'attic': it has den, or 'house'"),
        ({"hours": "0"}, "'0' is no time for a callback: more than 0 hours of one person, 40 at most"),
        ({"hours": "-1"}, "'-1' is no time for a callback"),
        ({"hours": "40.1"}, "'40.1' is no time for a callback"),
        ({"hours": "nan"}, "'nan' is no time for a callback"),
        ({"people": 0}, "0 people; it takes one to four at once"),
        ({"people": 5}, "5 people; it takes one to four at once"),
        ({"what": " "}, "say in a few words what is to be done"),
        ({"what": "\x1b[2J"}, "no control characters"),
        ({"promised": "soon"}, "'soon' is not a day"),
        (
            {"wished": "fri", "promised": "thu"},
            "promised for Thu 5 Mar 2026, before the wished start on Fri 6 Mar 2026",
        ),
        ({"job": 9}, "there is no job 9"),
    ],
)
def test_what_cannot_be_is_one_sentence(closed: Shop, named: dict, said: str) -> None:
    """Unknown job or place, hours or people out of reach, no words, no day: one sentence, and no job is made."""
    job, what = named.pop("job", 4), named.pop("what", WHAT)
    with pytest.raises(Refused) as refused:
        closed.office.callback(job, what, **named)
    assert len(refused.value.sentences) == 1
    assert said in refused.value.sentences[0]
    assert [row.number for row in closed.office.jobs(everything=True)] == [4]


def test_forty_hours_are_the_most_and_two_are_usual(closed: Shop) -> None:
    """The bound itself is taken, and with nothing said it is two hours in the whole house."""
    closed.office.callback(4, WHAT, hours="40 h")
    closed.office.callback(4, WHAT)
    assert [closed.record(number).job.work[0].minutes for number in (5, 6)] == [2400, 120]
    assert closed.record(6).job.work[0].place == ""


@pytest.mark.parametrize(
    ("state", "said"),
    [
        ("booked", "job 4 is not finished, .* of its tasks are open: .* is a punch list item"),
        ("quoted", "job 4 is quoted: a callback belongs to a job that was finished"),
        ("called off", "job 4 is called off"),
    ],
)
def test_work_that_goes_on_has_a_punch_list_instead(shop: Shop, state: str, said: str) -> None:
    """Before a job is done, closed or handed over nothing is called back."""
    if state != "booked":
        close(shop, state=state)
    with pytest.raises(Refused, match=said):
        shop.office.callback(4, WHAT)


def test_a_job_handed_over_may_be_called_back_before_it_is_closed(closed: Shop) -> None:
    """Booked with every task done is finished; so is done."""
    for state in ("done", "booked"):
        close(closed, state=state)
        assert closed.record().finished
    closed.office.callback(4, WHAT)
    assert not closed.record(5).finished


def test_a_callback_can_be_called_back(closed: Shop) -> None:
    """Once done it is a finished job like any: the new one is tied to it and named by the house."""
    closed.office.callback(4, WHAT, where="den")
    closed.office.tick(5, [1], because="entered from the paper")
    closed.office.callback(5, "it clicks again", where="den")
    again = closed.record(6).job
    assert (again.callback_of, again.title) == (5, "Callback: Den, Quarry Road (job 4) (job 5)")
    assert again.rooms == closed.record(5).job.rooms


def test_no_carton_is_named_that_nobody_said_was_left(shop: Shop) -> None:
    """Without a walk-through that says so, the task names no carton."""
    shop.office.arrived(4, "gray plank", 9, in_rooms=True)
    shop.office.tick(4, [task.number for task in shop.record().tasks if task.open], because="from the paper")
    shop.office.callback(4, WHAT, where="den")
    assert shop.record(5).tasks[0].title == WHAT


def test_the_visit_that_looks_first_names_the_command(closed: Shop) -> None:
    """Having looked, somebody books what is to be done."""
    done = closed.office.visit_done(4, "callback", who="Ines", at="2026-03-02 06:00")
    assert any('`crewjobs callback 4 "WHAT"`' in line for line in done.then)


def test_a_file_may_come_back_only_to_a_job_that_is_there(closed: Shop, tmp_path: Path) -> None:
    """A callback's file loads where its old job is; else one sentence names the key, and nothing is stored."""
    closed.office.callback(4, WHAT)
    text = closed.office.dump(5).replace("number = 5", "number = 7")
    closed.office.load([closed.file("seven.toml", text)])
    assert closed.record(7).job.callback_of == 4
    wrong = closed.file(
        "eight.toml", text.replace("number = 7", "number = 8").replace("callback_of = 4", "callback_of = 6")
    )
    with pytest.raises(Refused, match=r"eight\.toml: key 'callback_of': there is no job 6"):
        closed.office.load([wrong])
    assert closed.office.jobs(everything=True)[-1].number == 7


def test_agreed_work_follows_its_job_file(shop: Shop) -> None:
    """A change order's work becomes a task in the file's job, keeps its number when it is changed, and goes when it goes."""
    more = '\n[[work]]\nwhat = "shelf off the wall"\nwhere = "den"\nhours = 1\n'
    count = len(shop.record().tasks)
    shop.office.load([shop.file("den.toml", JOB + more)], replace=True)
    added = shop.record().tasks[count]
    assert (added.title, added.where, added.estimate.likely) == ("shelf off the wall", "den", 60)
    shop.office.load([shop.file("den.toml", JOB + more.replace("hours = 1", "minutes = 100"))], replace=True)
    assert shop.record().task(added.number).estimate.likely == 100
    pace = shop.office.job(4).pace
    shop.office.load([shop.file("den.toml", JOB)], replace=True)
    assert shop.record().task(added.number).not_needed
    assert shop.office.job(4).pace == pace
