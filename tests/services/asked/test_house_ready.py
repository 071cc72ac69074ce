"""Asking a house, answering, dry runs: what is recorded, what is refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.waits import WaitState
from crewjobs.services.asked import house_ready
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.waiting.around_waits import working_days_before
from tests.builders import central
from tests.services.conftest import JOB, SHOP, Shop, kept

PAINT, AIR = ReadyItem.PAINT, ReadyItem.AIR


def make_silent(shop: Shop) -> None:
    """The shop with job 4, whose house nobody has asked."""
    files = [shop.file("shop.toml", SHOP), shop.file("den.toml", JOB)]
    shop.office.load(files)


silent = kept(make_silent)


def answer(shop, **given):
    return shop.office.ready(4, answers=Answers(**given))


def test_an_answer_to_a_question_never_asked_is_refused(silent):
    """The sentence says how to ask in the same command, and nothing is recorded."""
    with pytest.raises(Refused, match="nobody was asked whether the house of job 4 is ready: say who was with --asked"):
        answer(silent, ready=tuple(ReadyItem))
    assert silent.record().answers == ()


def test_asked_and_answered_at_once(silent):
    """Both are one change, and the house is ready."""
    done = silent.office.ready(4, asked="Teo Halloran", answers=Answers(ready=tuple(ReadyItem)))
    assert done.then == ("By all answers the house is ready for cartons and crew.",)
    assert len(silent.office.changes()) == 2
    assert {one.by for one in silent.record().answers} == {"Teo Halloran"}


def test_an_answer_before_the_asking_is_refused(silent):
    """The sentence names both moments."""
    silent.office.ready(4, asked="Teo Halloran")
    with pytest.raises(
        Refused, match="asked Mon 2 Mar 06:30: an answer Sun 1 Mar 10:00 would come before the question"
    ):
        silent.office.ready(4, answers=Answers(ready=(AIR,)), at="2026-03-01 10:00")


def test_what_is_still_open_is_said(silent):
    """After a part of the answers the rest is named."""
    silent.office.ready(4, asked="Teo Halloran")
    then = answer(silent, ready=(AIR, ReadyItem.POWER, ReadyItem.KEY)).then
    assert then[0] == (
        "Teo Halloran was asked Mon 2 Mar 06:30; still open: wet work and paint done "
        "and rooms emptied of what is the customer's to move."
    )


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"ready": (PAINT,), "not_ready": (PAINT,)}, "house ready, paint: it is ready or it is not"),
        ({"not_ready": (PAINT,), "until": "2026-03-01 07:00"}, "that is not after the answer"),
        ({"not_ready": (PAINT,), "until": "soon"}, "'soon' is not a moment to come"),
        ({"ready": (AIR,), "until": "thu 7:00"}, "say with --not-ready what is not"),
        ({"ready": (AIR,), "since": "2026-03-20 07:00"}, "cannot be so since later than it was said"),
    ],
)
def test_answers_that_cannot_be_are_refused(silent, given, said):
    """One sentence each, and nothing is recorded."""
    silent.office.ready(4, asked="Teo Halloran")
    with pytest.raises(Refused, match=said):
        answer(silent, **given)
    assert silent.record().answers == ()


def test_nothing_said_and_unknown_items_are_refused(silent):
    """The sentence says what would be right."""
    with pytest.raises(Refused, match="say who was asked"):
        silent.office.ready(4)
    with pytest.raises(Refused, match="'cat' is not asked of a house: it is one of air "):
        house_ready.read_items(["cat"])


def test_a_house_nobody_asked_is_not_entered_without_a_reason(silent):
    """The start is refused with the command; with a reason it is done, and what was seen is kept."""
    start = silent.number_of("protect-house")
    silent.office.tick(4, [silent.number_of("walk-through-before")])
    with pytest.raises(OnHold, match="nobody has asked whether the house is ready"):
        silent.office.tick(4, [start])
    silent.office.tick(4, [start], because="the key was under the mat, rooms empty and dry")
    assert "nobody has asked" in silent.record().passed[-1].seen[0]


def test_a_dry_run_needs_a_reason_that_tells_what_was_missing(shop):
    """Without a reason, or with one that tells nothing, it is refused; a crew the shop lacks too."""
    with pytest.raises(Refused, match="a dry run is recorded with its reason"):
        shop.office.dry_run(4, "Birch", " ")
    with pytest.raises(Refused, match="say with --item what of the house was not ready"):
        shop.office.dry_run(4, "Birch", "it was hopeless")
    with pytest.raises(Refused, match="there is no crew 'Willow'"):
        shop.office.dry_run(4, "Willow", "paint is wet")
    shop.office.dry_run(4, "Birch", "it was hopeless", item="emptied")
    with pytest.raises(Refused, match="is recorded already"):
        shop.office.dry_run(4, "Birch", "nobody there")


def test_nobody_is_sent_to_a_finished_house(shop):
    """After its last task is ticked a job has no dry run; one from before that can still be told."""
    record = shop.record()
    done = tuple(
        replace(task, started_at=shop.clock.now(), done_at=shop.clock.now(), crew="Birch") for task in record.tasks
    )
    with shop.office._database.unit_of_work(who="tester") as uow:
        uow.save_job(uow.job(4), replace(uow.job(4), tasks=done))
        uow.commit("all done", at=shop.clock.now(), job=4)
    shop.clock.set("2026-03-04", "07:30")
    with pytest.raises(Refused, match=r"job 4 was finished Mon 2 Mar 06:30; say which job Birch was sent to"):
        shop.office.dry_run(4, "Birch", "the paint is wet")
    assert shop.office.dry_run(4, "Birch", "the paint is wet", at="2026-03-02 06:00").change


def test_a_dry_run_typed_again_is_the_same_one(shop):
    """Same crew, house, day and item an hour later is refused; another item, crew or day is a dry run of its own."""
    shop.office.dry_run(4, "Birch", "the paint is wet")
    shop.clock.set("2026-03-02", "07:30")
    with pytest.raises(Refused, match=r"to job 4 Mon 2 Mar 06:30 is recorded already, because the paint is wet\."):
        shop.office.dry_run(4, "Birch", "wet paint")
    shop.office.dry_run(4, "Birch", "nobody there")
    shop.office.dry_run(4, "Cedar", "the paint is wet")
    shop.clock.set("2026-03-03", "07:30")
    shop.office.dry_run(4, "Birch", "the paint is wet")
    assert len(shop.record().dry_runs) == 4


def test_a_dry_run_without_a_day_takes_the_job_out_of_the_plan(shop):
    """Nobody knows until when: the plan says to get a day instead of sending the crew back."""
    shop.office.dry_run(4, "Birch", "the paint is wet")
    then = shop.office.plan().then
    assert any("the house is not ready: wet work or paint is not done; get a day" in words for words in then)


def test_the_house_is_listed_two_working_days_ahead(silent):
    """Planned to begin Monday 16 March: not on the list on Wednesday 11 March, on it on Thursday, off it when answered."""
    silent.office.pin(4, [silent.number_of("protect-house")], "Birch", date(2026, 3, 16))
    silent.office.back_ordered(4, "gray plank", "2026-03-16 07:00")
    silent.office.plan()
    rows = {}
    for day in ("2026-03-11", "2026-03-12"):
        silent.clock.set(day, "09:00")
        rows[day] = [r for r in silent.office.waiting() if r.state is WaitState.TO_ASK]
    assert rows["2026-03-11"] == []
    (row,) = rows["2026-03-12"]
    assert "first there Mon 16 Mar" in row.call
    assert row.call.startswith("ask Teo Halloran: `crewjobs ready 4 --asked NAME`")
    silent.office.ready(4, asked="Teo Halloran")
    (row,) = [r for r in silent.office.waiting() if r.state is WaitState.ASKED]
    assert row.since == central("2026-03-12", "09:00")
    answer(silent, ready=tuple(ReadyItem))
    assert not [r for r in silent.office.waiting() if r.state in (WaitState.ASKED, WaitState.TO_ASK)]


def test_a_house_still_to_ask_after_its_day_is_overdue(silent):
    """Cartons due Tuesday and nobody asked: on Friday the call says when it was due, not that it comes first then."""
    [row] = [row for row in silent.office.waiting() if row.state is WaitState.TO_ASK]
    assert row.call.endswith("; first there Tue 3 Mar")
    silent.clock.set("2026-03-06", "08:00")
    [row] = [row for row in silent.office.waiting() if row.state is WaitState.TO_ASK]
    assert row.call.endswith("; overdue: somebody was to be there first Tue 3 Mar")


def test_working_days_leave_out_weekends_and_holidays(shop):
    """Two working days before a Tuesday after a Monday off are the Thursday before."""
    with shop.office._database.reading() as uow:
        known = uow.shop()
    assert working_days_before(known, date(2026, 3, 10), 2) == date(2026, 3, 6)
    from dataclasses import replace

    closed = replace(known, holidays=frozenset({date(2026, 3, 9)}))
    assert working_days_before(closed, date(2026, 3, 10), 2) == date(2026, 3, 5)


def test_work_under_way_stops_where_the_house_is_not_ready(shop):
    """A dry run on a job under way: nothing of it is planned before its day, and what is left of the begun task is kept."""
    shop.office.tick(4, [shop.number_of("room-reading"), shop.number_of("walk-through-before")])
    shop.clock.set("2026-03-02", "10:00")
    shop.office.tick(4, [shop.number_of("protect-house"), shop.number_of("move-furniture-out")])
    shop.office.start(4, shop.number_of("base-off"), crew="Birch")
    shop.clock.set("2026-03-03", "07:10")
    shop.office.dry_run(4, "Birch", "paint is wet", until="thu 7:00")
    shop.office.plan()
    with shop.office._database.reading() as uow:
        starts = {task: p.start for p in uow.latest_plan().placements for task in p.tasks}
    assert shop.number_of("base-off") in starts
    assert min(start for task, start in starts.items()) >= central("2026-03-05", "07:00")
    shop.clock.set("2026-03-05", "07:15")
    shop.office.dry_run(4, "Birch", "the paint is wet still")
    assert any("get a day" in words for words in shop.office.plan().then)


def test_a_dry_run_on_a_day_off_is_recorded_and_said(shop):
    """The crew may have gone on a Sunday all the same: recorded, and said first, so that a wrong day is seen."""
    shop.clock.set("2026-03-08", "08:00")
    done = shop.office.dry_run(4, "Birch", "paint is wet")
    assert done.then[0].startswith("Birch does not work on Sun 8 Mar: recorded all the same")
    assert len(shop.record().dry_runs) == 1
    shop.clock.set("2026-03-09", "08:00")
    assert not any("does not work" in said for said in shop.office.dry_run(4, "Birch", "no power").then)


def test_of_an_instant_gone_by_it_is_said_that_nobody_had_asked_by_then(silent):
    """Cartons that went in before anybody asked, recorded after somebody did: that nobody has is no longer true."""
    silent.clock.set("2026-03-03", "12:00")
    silent.ready()
    came = silent.office.arrived(4, "gray plank", 9, in_rooms=True, at="2026-03-03 10:00")
    (said,) = (sentence for sentence in came.then if "nobody answered for" in sentence)
    assert said.startswith("Nobody had asked by Tue 3 Mar 10:00 whether the house is ready: ")
