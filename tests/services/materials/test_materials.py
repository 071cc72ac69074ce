"""Deliveries, and what they start."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.waits import WaitState
from crewjobs.services.asked.house_ready import Answers
from tests.builders import central
from tests.services.conftest import JOB, SHOP, Shop, kept


def test_cartons_into_the_rooms_start_the_clock_and_tick_the_carry_in(shop):
    """The whole order into the rooms: the lot's clock runs, the carry-in is done, the answer names the instant."""
    shop.clock.set("2026-03-03", "10:30")
    done = shop.office.arrived(4, "", 9, in_rooms=True)
    assert done.then == ("gray plank is ready to lay Thu 5 Mar 10:30, by hours only: nobody read the air.",)
    assert shop.record().task(shop.number_of("carry-in")).done_at == central("2026-03-03", "10:30")


def test_part_of_an_order_leaves_the_carry_in_open(shop):
    """Five of nine cartons in the rooms: the carry-in stays, the list says how many are here."""
    shop.clock.set("2026-03-03", "09:30")
    shop.office.arrived(4, "", 5, in_rooms=True)
    assert shop.record().task(shop.number_of("carry-in")).open
    assert "5 of 9 cartons here" in shop.office.waiting()[0].what


def test_what_is_still_to_come_is_ready_at_the_earliest_then(shop):
    """Five of nine in the rooms, the rest due 10:00: ready 48 h after that at the earliest, as nobody knows more."""
    shop.clock.set("2026-03-03", "09:30")
    done = shop.office.arrived(4, "", 5, in_rooms=True)
    assert (
        "gray plank is ready to lay Thu 5 Mar 10:00 at the earliest, by hours only: nobody read the air." in done.then
    )


def test_a_lot_has_its_own_name(shop):
    """Lots are lettered unless named; a name used twice is refused."""
    shop.clock.set("2026-03-03", "11:00")
    shop.office.arrived(4, "", 4)
    shop.office.arrived(4, "", 2)
    assert [lot.name for lot in shop.record().lots] == ["A", "B"]
    with pytest.raises(Refused, match="has a lot A of gray plank already"):
        shop.office.arrived(4, "", 1, lot="A")


@pytest.mark.parametrize(
    ("cartons", "at", "said"),
    [
        (0, "", "0 cartons is not a delivery"),
        (10, "", "10 cartons of gray plank would have come, 9 are ordered"),
        (
            9,
            "2026-02-10 09:00",
            "comes before its order of Mon 16 Feb 2026: where it was ordered earlier, write that day into its order",
        ),
        (9, "2026-03-09 09:00", "has not come yet"),
    ],
)
def test_a_delivery_that_cannot_be_is_refused(shop, cartons, at, said):
    """No cartons, more than ordered, before the order, in the future: one sentence, nothing stored."""
    with pytest.raises(Refused, match=said):
        shop.office.arrived(4, "", cartons, at=at)
    assert shop.record().lots == ()


def test_an_unknown_material_is_refused_with_those_there_are(shop):
    """The sentence names the job's materials."""
    with pytest.raises(Refused, match=r"no material 'blue plank'; it has 'gray plank'"):
        shop.office.arrived(4, "blue plank", 1)


def test_one_carton_is_not_cartons(shop):
    """The sentence counts as people do."""
    shop.clock.set("2026-03-03", "10:30")
    assert "1 carton of gray plank" in shop.office.arrived(4, "", 1).sentence


def test_cartons_do_not_go_into_a_house_answered_not_ready_without_a_reason(shop):
    """As ticking the carry-in: refused with what is missing; with a reason taken, and the reason kept with what was seen."""
    shop.clock.set("2026-03-03", "10:30")
    shop.office.ready(4, answers=Answers(not_ready=(ReadyItem.PAINT,)))
    before = shop.record()
    with pytest.raises(OnHold, match="is on hold: the house is not ready: wet work or paint is not done"):
        shop.office.arrived(4, "", 9, in_rooms=True)
    assert shop.record() == before
    done = shop.office.arrived(4, "", 9, in_rooms=True, because="the bedroom is dry")
    assert "although on hold, because the bedroom is dry" in done.sentence
    [passed] = shop.record().passed
    assert (passed.task, passed.because) == (shop.number_of("carry-in"), "the bedroom is dry")
    assert "wet work or paint is not done" in passed.seen[0]


def test_a_second_lot_off_the_same_truck_goes_into_the_house_for_the_same_reason(shop):
    """Two lots at one instant into a house not ready: both are taken with the reason, which is kept once."""
    shop.clock.set("2026-03-03", "10:30")
    shop.office.ready(4, answers=Answers(not_ready=(ReadyItem.PAINT,)))
    shop.office.arrived(4, "", 5, in_rooms=True, because="the bedroom is dry")
    done = shop.office.arrived(4, "", 4, in_rooms=True, because="the bedroom is dry")
    assert "although on hold, because the bedroom is dry" in done.sentence
    assert [lot.name for lot in shop.record().lots] == ["A", "B"]
    assert len(shop.record().passed) == 1


def test_a_house_nobody_answered_for_takes_cartons_and_it_is_said(empty_shop):
    """Nobody was asked: it happened and is recorded, and the answer says that nobody asked; a ready house is silent."""
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", JOB)])
    empty_shop.clock.set("2026-03-03", "10:30")
    done = empty_shop.office.arrived(4, "", 9, in_rooms=True)
    assert any(line.startswith("Nobody has asked whether the house is ready") for line in done.then)


def test_a_reason_needs_something_it_is_for(shop):
    """Without a new day and without a house that holds, a reason says nothing: refused."""
    shop.clock.set("2026-03-03", "10:30")
    with pytest.raises(Refused, match="a reason goes with --back-ordered, or with --in-rooms"):
        shop.office.arrived(4, "", 9, in_rooms=True, because="just so")


def test_the_clock_counts_from_when_the_air_ran(shop):
    """Air not running, cartons in at 10:30 all the same, air since 9:00 the next day: ready 48 h after that, and said."""
    shop.clock.set("2026-03-03", "10:30")
    shop.office.ready(4, answers=Answers(not_ready=(ReadyItem.AIR,)))
    done = shop.office.arrived(4, "", 9, in_rooms=True, because="they do not fit the shop")
    assert "gray plank is in the rooms, and no hours count: heat or air is not running." in done.then
    [row] = planks(shop)
    assert (row.ready_at, row.minutes_left) == (None, None)
    assert "so no hours count" in row.call
    shop.clock.set("2026-03-04", "12:00")
    shop.office.ready(4, answers=Answers(ready=(ReadyItem.AIR,), since="9:00"))
    [row] = planks(shop)
    assert (row.state, row.ready_at) == (WaitState.ACCLIMATING, central("2026-03-06", "09:00"))
    assert "counted from when the air ran" in row.call
    [lot] = shop.office.job(4).materials[0].lots
    assert "counted from when the air ran, Wed 4 Mar 09:00, ready Fri 6 Mar 09:00" in lot


def planks(shop):
    return [row for row in shop.office.waiting() if row.what.startswith("gray plank")]


def make_third_floor(shop: Shop) -> None:
    """Job 4 with site hours 9-16 and an elevator 9-11; its truck is due Wednesday 11:20."""
    job = JOB.replace(
        "year_built = 1994",
        'year_built = 1994\nhours = { mon-fri = "9:00-16:00" }\nelevator = { mon-fri = "9-11" }',
    ).replace("2026-03-03 10:00", "2026-03-04 11:20")
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", job)])
    shop.ready()


third_floor = kept(make_third_floor)


def test_a_truck_that_misses_the_slot_is_ready_later(third_floor):
    """Due Wednesday 11:20, the elevator 9-11: in the rooms Thursday 9:00 at the earliest, so ready Saturday 9:00."""
    [row] = planks(third_floor)
    assert row.ready_at == central("2026-03-07", "09:00")
    assert "in the rooms Thu 5 Mar 09:00 at the earliest, when the elevator is booked" in row.call
    third_floor.clock.set("2026-03-04", "11:20")
    done = third_floor.office.arrived(4, "", 9)
    said = (
        "Wed 4 Mar 11:20 is outside the elevator's hours (Wed 4 Mar: 09:00-11:00): they can go up next Thu 5 Mar 09:00."
    )
    assert said in done.then
    [row] = planks(third_floor)
    assert row.call.endswith("the elevator is booked next Thu 5 Mar 09:00-11:00")


@pytest.mark.parametrize(("clock", "said"), [("09:00", 0), ("11:00", 0), ("11:01", 1), ("08:30", 1)])
def test_cartons_up_outside_the_slot_are_recorded_and_it_is_said(third_floor, clock, said):
    """What happened is taken at any hour; outside the slot the answer says so, its two ends are inside."""
    third_floor.clock.set("2026-03-04", "16:00")
    done = third_floor.office.arrived(4, "", 9, in_rooms=True, at=clock)
    assert sum("is outside the elevator's hours" in line for line in done.then) == said
    assert third_floor.record().lots[0].moved_in_at == central("2026-03-04", clock)


def test_laying_waits_for_the_delivery_check_also_behind_the_carry_in(shop):
    """In the rooms, unchecked and acclimated: laying is on hold for the count, by check-lot it is free of it."""
    shop.clock.set("2026-03-03", "10:30")
    shop.office.arrived(4, "", 9, in_rooms=True)
    [row] = planks(shop)
    assert "not checked yet: check lot A before a carton is opened" in row.call
    lay, check = shop.number_of("lay-click-vinyl"), shop.number_of("count-lot-check")
    shop.clock.set("2026-03-06", "08:00")
    ahead = [task.number for task in shop.record().tasks if task.open and task.number not in (lay, check)]
    before = {link.before for link in shop.record().links if link.after == lay} - {check}
    shop.office.tick(4, [number for number in ahead if number in before], because="set up by the test")
    with pytest.raises(OnHold, match=f"task {check} 'Count cartons"):
        shop.office.tick(4, [lay])
    shop.office.tick(4, [shop.number_of("room-reading")])
    assert shop.office.check_lot(4, "", "A", 9).then[-1].endswith("is ticked with it.")
    shop.office.tick(4, [lay])
    assert shop.record().passed[-1].task != lay


def test_a_lot_that_comes_after_the_check_is_checked_too(shop):
    """Five checked and the task ticked, four more come: they hold the rows until they are checked."""
    shop.clock.set("2026-03-03", "09:00")
    shop.office.arrived(4, "", 5, in_rooms=True)
    shop.office.tick(4, [shop.number_of("room-reading")])
    assert shop.office.check_lot(4, "", "A", 5).then[-1].endswith("is ticked with it.")
    shop.clock.set("2026-03-03", "09:30")
    shop.office.arrived(4, "", 4, in_rooms=True)
    lay = next(task for task in shop.office.job(4).tasks if task.number == shop.number_of("lay-click-vinyl"))
    assert "lot B of gray plank is not checked yet" in lay.hold
    shop.office.check_lot(4, "", "B", 4)
    lay = next(task for task in shop.office.job(4).tasks if task.number == lay.number)
    assert "not checked yet" not in lay.hold


def test_a_lot_that_covers_the_rooms_alone_is_pointed_at(shop):
    """8 of 9 cartons cover the den's 178 ft²: answer and list name the command; 7 do not, and once said it is gone."""
    shop.clock.set("2026-03-03", "09:00")
    assert not any("by area" in line for line in shop.office.arrived(4, "", 7).then)
    shop.office.undo()
    done = shop.office.arrived(4, "", 8)
    hint = (
        'ot A covers the room by area (190 of 178 ft²): `crewjobs lots 4 "gray plank" A` starts them without the rest'
    )
    assert f"L{hint}." in done.then
    assert f"l{hint}" in planks(shop)[0].call
    shop.office.lots(4, "", ["A"])
    assert not any("by area" in row.call for row in planks(shop))


def test_what_one_truck_brought_is_one_change(shop):
    """Planks and strips in one command: both are kept, one undo takes both back, one wrong count refuses all."""
    goods = '\n[[order]]\ngoods = "transition"\ncount = 2\nordered = 2026-02-16\n'
    shop.office.load([shop.file("den.toml", JOB + goods)], replace=True)
    shop.clock.set("2026-03-03", "10:30")
    before = shop.record()
    with pytest.raises(Refused, match="3 pieces of transition would have come, 2 are ordered"):
        shop.office.arrived_together(4, [("gray plank", 9), ("transition", 3)])
    assert shop.record() == before
    done = shop.office.arrived_together(4, [("gray plank", 9), ("transition", 2)], in_rooms=True)
    assert done.sentence == (
        "Job 4: 9 cartons of gray plank, lot A, came, into the rooms and 2 pieces of transition came Tue 3 Mar 10:30."
    )
    assert (len(shop.record().lots), len(shop.record().goods_come)) == (1, 1)
    shop.office.undo()
    assert (shop.record().lots, shop.record().goods_come) == ((), ())


def test_two_arrivals_in_one_minute_both_count(shop):
    """Two lots into the rooms in one minute: nothing is missing, the carry-in is ticked, and which goes where is asked."""
    shop.clock.set("2026-03-03", "10:30")
    shop.office.arrived(4, "", 7, lot="A", in_rooms=True)
    done = shop.office.arrived(4, "", 2, lot="B", in_rooms=True)
    assert not any("missing" in line for line in done.then)
    assert any(line.startswith("Two lots of gray plank: say which rooms each goes into") for line in done.then)
    assert shop.record().task(shop.number_of("carry-in")).done_at == central("2026-03-03", "10:30")
    with pytest.raises(Refused, match="10 cartons of gray plank would have come, 9 are ordered"):
        shop.office.arrived(4, "", 1)


def test_lots_recorded_out_of_order_tick_the_carry_in_with_the_last_one_in(shop):
    """The lot of 10:30 is recorded before that of 9:00: all is in the rooms from 10:30 on, and nothing is carried twice."""
    shop.clock.set("2026-03-03", "11:00")
    shop.office.arrived(4, "", 7, lot="A", at="10:30", in_rooms=True)
    shop.office.arrived(4, "", 2, lot="B", at="9:00", in_rooms=True)
    assert shop.record().task(shop.number_of("carry-in")).done_at == central("2026-03-03", "10:30")


def test_more_than_ordered_is_refused_under_a_clock_set_back(shop):
    """Cartons recorded for an instant that the clock has not reached again are counted all the same."""
    shop.clock.set("2026-03-03", "10:30")
    shop.office.arrived(4, "", 9)
    shop.clock.set("2026-03-03", "10:29")
    with pytest.raises(Refused, match="18 cartons of gray plank would have come, 9 are ordered"):
        shop.office.arrived(4, "", 9)
