"""How far a task under way is: what is recorded, shown and refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.evening import EveningEntry, HouseEntry, latest

OUT = "carpet-out"


@pytest.fixture
def tearing(shop):
    """The shop at the hour when the den's carpet may come out, and that task's number."""
    shop.clock.set("2026-03-04", "12:00")
    number = shop.number_of(OUT)
    return shop, number


def test_how_far_starts_the_task_and_is_shown(tearing):
    """90 of 178 ft² of the carpet: the task is under way, and its page says how far it is."""
    shop, number = tearing
    done = shop.office.how_far(4, number, "90 of 178 ft2", because="no mask at hand")
    row = next(task for task in shop.office.job(4).tasks if task.number == number)
    assert (row.state, row.how_far) == ("under way", "90 of 178 ft²")
    assert done.sentence.startswith("Job 4: 90 of 178 ft², task "), "the fact first"


def test_a_bare_count_takes_the_unit_of_the_whole(tearing):
    """9 of 19 of an area counts rows; 90 of its own 178 is in ft²; afterwards the unit stays."""
    shop, number = tearing
    shop.office.how_far(4, number, "9 of 19", because="x")
    assert shop.record().how_far[-1].unit == "rows"
    shop.office.how_far(4, number, "12 of 19")
    shop.office.how_far(4, number, "13 rows")
    assert [(one.done, one.whole, one.unit) for one in shop.record().how_far] == [
        (9, 19, "rows"),
        (12, 19, "rows"),
        (13, 19, "rows"),
    ]
    shop.office.how_far(4, number, "170 of 178")
    assert shop.record().how_far[-1].unit == "ft²"


REFUSED = {
    "20 of 19 rows": "there are 19",
    "90 of 300 ft2": "is 178 ft², not 300",
    "9 rows": "of how many",
    "rows 5-9 of 19": "leaves out",
    "rows 9-5 of 19": "backwards",
    "0 of 19 rows": "nothing is done",
    "soon": "9/19 rows",
}


@pytest.mark.parametrize("text", REFUSED)
def test_what_cannot_be_is_refused_and_nothing_kept(tearing, text):
    """One sentence says why; the job stays as it was."""
    shop, number = tearing
    before = shop.record()
    with pytest.raises(Refused, match=REFUSED[text]) as refused:
        shop.office.how_far(4, number, text)
    assert len(refused.value.sentences) == 1
    assert shop.record() == before


def test_less_than_was_said_needs_the_reason(tearing):
    """A row taken up again is recorded with its reason; without it nothing is."""
    shop, number = tearing
    shop.office.how_far(4, number, "9 of 19 rows", because="x")
    with pytest.raises(OnHold, match="less than rows 1–9 of 19"):
        shop.office.how_far(4, number, "8 of 19 rows")
    done = shop.office.how_far(4, number, "8 of 19 rows", because="one row was bowed")
    assert "because one row was bowed" in done.sentence
    assert latest(shop.record().how_far, number).done == 8


def test_a_task_on_hold_is_not_begun_without_a_reason(shop):
    """Judged as a start is: the hold is named, and with the reason it is kept as passed."""
    number = shop.number_of(OUT)
    shop.clock.set("2026-03-04", "12:00")
    with pytest.raises(OnHold, match="on hold"):
        shop.office.how_far(4, number, "50 %")
    shop.office.how_far(4, number, "50 %", because="the family had done the rest")
    [passed] = [one for one in shop.record().passed if one.task == number]
    assert passed.because == "the family had done the rest"
    assert passed.seen


def test_what_holds_a_task_under_way_needs_the_reason(tearing):
    """Begun before somebody found it: nothing more is said of it without a reason, but what was done before; each time anew."""
    shop, number = tearing
    shop.office.how_far(4, number, "20 of 178 ft2", because="no mask at hand")
    shop.clock.set("2026-03-04", "13:00")
    shop.office.found(4, "den", "suspect asbestos")
    shop.clock.set("2026-03-04", "14:00")
    before = shop.record()
    with pytest.raises(OnHold, match=r"is on hold: suspect asbestos found in den.* If it was done all the same"):
        shop.office.how_far(4, number, "90 of 178 ft2")
    assert shop.record() == before
    shop.office.how_far(4, number, "30 of 178 ft2", at="12:40")
    shop.office.how_far(4, number, "90 of 178 ft2", because="the inspector stood by")
    passed = shop.record().passed[-1]
    assert (passed.task, passed.because) == (number, "the inspector stood by")
    assert any("suspect asbestos" in words for words in passed.seen)
    with pytest.raises(OnHold, match="suspect asbestos"):
        shop.office.how_far(4, number, "178 of 178 ft2")


def test_the_evening_asks_for_the_reason_of_a_task_under_way_that_is_held(tearing):
    """The sheet's line says how far it got, refused without a reason and recorded with it."""
    shop, number = tearing
    shop.office.plan()
    shop.office.how_far(4, number, "20 of 178 ft2", because="no mask at hand")
    shop.office.found(4, "den", "suspect asbestos", at="12:00")
    shop.clock.set("2026-03-04", "15:00")

    def entry(answer: str) -> EveningEntry:
        house = HouseEntry(house=1, job=4, start="11:00", stop="14:00", people="2", tasks=((number, answer),))
        return EveningEntry(houses=(house,))

    with pytest.raises(
        Refused,
        match=r"on hold: suspect asbestos found in den.*give the reason behind how far it got \(9/19 rows because REASON\)",
    ):
        shop.office.evening("Birch", date(2026, 3, 4), entry("90 of 178 ft2"))
    shop.office.evening("Birch", date(2026, 3, 4), entry("90 of 178 ft2 because the inspector stood by"))
    assert latest(shop.record().how_far, number).done == 90


def test_all_of_it_suggests_ticking_and_ticks_nothing(tearing):
    """The last row said, the task is still open, and the sentence names the command that ticks it."""
    shop, number = tearing
    done = shop.office.how_far(4, number, "19 of 19 rows", because="x")
    assert shop.record().task(number).open
    assert any(f"crewjobs tick 4 {number}" in sentence for sentence in done.then)


@pytest.mark.parametrize(("said", "left"), [("9 of 19 rows", "10 of 19 rows left."), ("40 %", "60 % left.")])
def test_what_is_left_is_said(tearing, said, left):
    """The answer says what is left, in the unit it was counted in, as the evening entry does."""
    shop, number = tearing
    assert shop.office.how_far(4, number, said, because="x").then == (left,)


def test_what_is_done_has_no_how_far(tearing):
    """A ticked task is refused, and says no more how far it got."""
    shop, number = tearing
    shop.office.how_far(4, number, "9 of 19 rows", because="x")
    shop.office.tick(4, [number], because="x")
    with pytest.raises(Refused, match="done already"):
        shop.office.how_far(4, number, "10 of 19 rows")
    assert next(task for task in shop.office.job(4).tasks if task.number == number).how_far == ""


def test_an_earlier_evening_cannot_be_said_after_a_later_one(tearing):
    """What was said for noon stands against something said afterwards for the morning."""
    shop, number = tearing
    shop.office.how_far(4, number, "9 of 19 rows", because="x")
    with pytest.raises(Refused, match="was said already"):
        shop.office.how_far(4, number, "5 of 19 rows", at="11:00", because="x")


def test_of_the_same_instant_the_last_word_counts(tearing):
    """Two words at one standing clock: the second is how far it is."""
    shop, number = tearing
    shop.office.how_far(4, number, "9 of 19 rows", because="x")
    shop.office.how_far(4, number, "10 of 19 rows")
    record = shop.record()
    assert latest(record.how_far, number).done == 10
    assert latest(record.how_far, number, shop.clock.at - timedelta(hours=1)) is None


def test_undo_takes_it_back(tearing):
    """The task is to do again and nothing is said of it."""
    shop, number = tearing
    before = shop.record()
    shop.office.how_far(4, number, "9 of 19 rows", because="x")
    shop.office.undo()
    assert replace(shop.record(), version=before.version) == before


def test_said_twice_in_one_minute_the_later_counts(tearing):
    """Of one minute the word said last stands, after the same checks: less needs its reason, more than all is refused."""
    shop, number = tearing
    shop.office.how_far(4, number, "90 of 178 ft2", because="x")
    shop.office.how_far(4, number, "100 of 178 ft2")
    assert latest(shop.record().how_far, number).done == 100
    with pytest.raises(OnHold, match="80 of 178 ft² is less than 100 of 178 ft²"):
        shop.office.how_far(4, number, "80 of 178 ft2")
    with pytest.raises(Refused, match="is 178 ft², not 300"):
        shop.office.how_far(4, number, "100 of 300 ft2")
    shop.office.how_far(4, number, "80 of 178 ft2", because="a strip was laid back")
    row = next(task for task in shop.office.job(4).tasks if task.number == number)
    assert row.how_far == "80 of 178 ft²"


def test_another_crew_goes_on_with_it(tearing):
    """How far it is and who goes on: from then on the plan has it with that crew, and what was done is not done again."""
    shop, number = tearing
    shop.office.how_far(4, number, "50 %", because="no mask at hand")
    shop.office.plan()
    was = _place(shop, number)
    other = "Cedar" if was.crew == "Birch" else "Birch"
    done = shop.office.how_far(4, number, "50 %", crew=other.lower())
    assert f"{other} goes on with it" in done.sentence
    shop.office.plan()
    now = _place(shop, number)
    assert (now.crew, shop.record().task(number).crew) == (other, other)


def _place(shop, task):
    with shop.office._database.reading() as uow:
        return next(p for p in uow.latest_plan().placements if p.key.job == 4 and task in p.tasks)


def test_what_is_under_way_is_handed_over_not_pinned(tearing):
    """A pin on a task under way is refused with the command that hands it over; beside others it is said."""
    shop, number = tearing
    shop.office.how_far(4, number, "50 %", crew="Birch", because="no mask at hand")
    with pytest.raises(Refused, match=f"under way with Birch, goes on there; `crewjobs how-far 4 {number} HOW-FAR"):
        shop.office.pin(4, [number], "Cedar", date(2026, 3, 5))
    other = next(
        task.number for task in shop.record().tasks if task.open and task.started_at is None and task.stage > 0
    )
    done = shop.office.pin(4, [number, other], "Cedar", date(2026, 3, 5))
    assert any("Not pinned" in line and "under way with Birch" in line for line in done.then)


@pytest.mark.parametrize(("crew", "why"), [("Aspen", "no crew"), ("Painter", "no crew")])
def test_only_a_crew_that_is_there_goes_on(tearing, crew, why):
    """A name that no crew has is refused, and nothing is recorded."""
    shop, number = tearing
    with pytest.raises(Refused, match=why):
        shop.office.how_far(4, number, "50 %", crew=crew, because="x")
    assert not shop.record().how_far


def test_what_was_said_to_be_done_in_part_was_not_done_before(tearing):
    """A tick for an hour before the last word of less than all is refused and keeps nothing; from that hour on it is taken."""
    shop, number = tearing
    shop.office.how_far(4, number, "10 %", at="10:00", because="x")
    shop.office.how_far(4, number, "50 %")
    shop.clock.set("2026-03-04", "15:00")
    shop.office.how_far(4, number, "100 %")
    before = shop.record()
    with pytest.raises(Refused, match=r"50 % was said Wed 4 Mar 12:00: it cannot be done before that") as refused:
        shop.office.tick(4, [number], at="11:59")
    assert len(refused.value.sentences) == 1
    assert shop.record() == before
    shop.office.tick(4, [number], at="12:00", because="x")
    assert shop.record().task(number).done_at == shop.record().how_far[1].at
