"""Deliveries checked, lots the lead speaks about, goods and new dates."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from crewjobs.domain.agreed import Money, MoneyFact
from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import Goods, GoodsLine
from crewjobs.domain.waits import WaitState
from tests.builders import central
from tests.services.conftest import JOB, SHOP, Shop, kept

HOUSE = (
    JOB.replace(
        "[[opening]]",
        """
[[room]]
name = "hall"
length = "20 ft"
width = "4 ft"
layers = ["carpet"]
floor = "gray plank"

[[opening]]""",
        1,
    )
    .replace("cartons = 9", "cartons = 13")
    .replace('ordered = 2026-02-16\ndue = "2026-03-03 10:00"', 'ordered = 2026-02-16\ndue = "2026-03-02 06:00"')
)
"""A den of 178 ft² and a hall of 80 ft²; 13 cartons of 23.8 ft² are ordered."""


def make_house(shop: Shop) -> None:
    """The shop with the two rooms, transitions ordered for Wednesday and special base not yet."""
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", HOUSE)])
    lines = (
        GoodsLine(
            goods=Goods.TRANSITION,
            count=2,
            place="den / outside",
            supplier="north yard",
            ordered=date(2026, 2, 16),
            due=central("2026-03-04", "10:00"),
        ),
        GoodsLine(goods=Goods.BASE, count=20, supplier="mill shop", special=True),
    )
    with_goods(shop, lines)


house = kept(make_house)


def with_goods(shop, lines, money=()):
    """Give job 4 order lines of goods, and the tasks that set them."""
    needs = {"set-strip": Goods.TRANSITION, "base-new": Goods.BASE, "base-back": Goods.BASE}
    with shop.office._database.unit_of_work(who="tester") as uow:
        before = uow.job(4)
        tasks = tuple(replace(task, needs_goods=needs.get(task.key.template)) for task in before.tasks)
        after = replace(before, job=replace(before.job, goods=tuple(lines)), tasks=tasks, money=tuple(money))
        uow.save_job(before, after)
        uow.commit("goods ordered", at=shop.clock.now(), job=4)


def rows_of(shop, words):
    return [row for row in shop.office.waiting() if words in row.what]


def two_lots(shop):
    shop.clock.set("2026-03-02", "10:00")
    shop.office.arrived(4, "", 9, lot="A")
    shop.office.arrived(4, "", 4, lot="B")


def test_goods_come_by_their_name(house):
    """A piece of two came: the sentence counts it, says what is missing until when, and the list has it."""
    done = house.office.arrived(4, "Transition", 1)
    assert done.sentence == "Job 4: 1 piece of transition (den / outside) came Mon 2 Mar 06:30."
    assert done.then == ("1 piece of transition (den / outside) is still missing, due Wed 4 Mar 10:00.",)
    (row,) = rows_of(house, "transition")
    assert (row.what, row.state) == ("transition (den / outside), 1 of 2 pieces here", WaitState.DUE)
    assert row.call == "north yard brings it Wed 4 Mar 10:00"
    house.office.arrived(4, "transition", 1)
    assert rows_of(house, "transition") == []


def test_the_rest_is_back_ordered_with_the_delivery(house):
    """`--back-ordered` gives what is missing its new date; on the job page the line says so."""
    done = house.office.arrived(4, "transition", 1, back_ordered="2026-03-18", because="strip sold out")
    assert done.then == ("1 piece of transition (den / outside) is still missing, due Wed 18 Mar 17:00.",)
    line = next(row for row in house.office.job(4).materials if row.name.startswith("transition"))
    assert (line.cartons_come, line.cartons_ordered, line.unit) == (1, 2, "pieces")
    assert line.status == "due Wed 18 Mar 17:00, back-ordered"


def test_a_late_truck_gets_a_new_date_by_command(house):
    """Planks late since 06:00 are due on Friday by the supplier's word; the word before is said."""
    assert rows_of(house, "gray plank")[0].state is WaitState.LATE
    done = house.office.back_ordered(4, "gray plank", "fri 9:00", "truck broke down")
    assert done.sentence == (
        "Job 4: 13 cartons of gray plank back-ordered to Fri 6 Mar 09:00 (was due Mon 2 Mar 06:00), "
        "because truck broke down."
    )
    assert done.then[0].startswith("Holds back Lay click vinyl rows (den and hall)")
    row = rows_of(house, "gray plank")[0]
    assert (row.state, row.call) == (WaitState.DUE, "north yard brings it Fri 6 Mar 09:00")
    house.office.back_ordered(4, "gray plank", "none")
    assert rows_of(house, "gray plank")[0].call == "ask north yard for a delivery date"


def test_a_special_order_waits_for_the_deposit(house):
    """Not ordered and no deposit: the call asks for it; with the deposit in, the call is to order."""
    (row,) = rows_of(house, "base")
    assert (row.state, row.call) == (WaitState.NOT_ORDERED, "ask for the deposit: it releases the special order")
    lines = house.record().job.goods
    with_goods(house, lines, [MoneyFact(fact=Money.DEPOSIT, day=date(2026, 3, 2))])
    assert rows_of(house, "base")[0].call == "order it from mill shop"


def test_a_special_order_placed_without_the_deposit_is_said_not_refused(house):
    """The order stands in the file; the list says that the deposit is not in."""
    lines = house.record().job.goods
    placed = replace(lines[1], ordered=date(2026, 3, 1), due=central("2026-03-20", "10:00"))
    with_goods(house, (lines[0], placed))
    assert rows_of(house, "base")[0].call.endswith("a special order placed although the deposit is not in")


def test_a_lot_is_checked_and_the_task_is_ticked_with_the_last(house):
    """Count, damage and color are kept with the lot; the task of checking is ticked when every lot is checked."""
    two_lots(house)
    check = house.number_of("count-lot-check")
    ahead = [link.before for link in house.record().links if link.after == check]
    house.office.tick(4, ahead, because="set up by the test")
    house.office.check_lot(4, "", "A", 9)
    assert house.record().task(check).open
    done = house.office.check_lot(4, "gray plank", "b", 4)
    assert done.sentence == (
        "Job 4: lot B of gray plank checked Mon 2 Mar 10:00: 4 cartons, none damaged, color as the signed sample."
    )
    assert done.then[-1].endswith("is ticked with it.")
    assert not house.record().task(check).open


def test_what_is_short_or_damaged_is_called_before_a_carton_is_opened(house):
    """One carton less than taken in and two damaged: 10 of 13 can be laid; all that came is checked, so the task is done."""
    two_lots(house)
    check = house.number_of("count-lot-check")
    house.office.tick(4, [link.before for link in house.record().links if link.after == check], because="x")
    house.office.check_lot(4, "", "B", 4)
    done = house.office.check_lot(4, "", "A", 8, damaged=2)
    assert "8 cartons (9 were taken in), 2 damaged" in done.sentence
    assert done.then[0] == "10 of 13 cartons can be laid, 3 short: call north yard before one is opened."
    assert done.then[-1].endswith("is ticked with it.")


def test_cartons_for_damaged_ones_may_come(house):
    """Three damaged of thirteen: three more are a delivery, four are more than ordered."""
    house.clock.set("2026-03-02", "10:00")
    house.office.arrived(4, "", 13)
    house.office.check_lot(4, "", "A", 13, damaged=3)
    with pytest.raises(Refused, match="14 cartons of gray plank would have come, 13 are ordered"):
        house.office.arrived(4, "", 4)
    house.office.arrived(4, "", 3)


def test_two_lots_are_asked_about_where_people_look(house):
    """Answer, waiting list, list of jobs and job page ask for the lead's word; once said, they do not."""
    house.clock.set("2026-03-02", "10:00")
    house.office.arrived(4, "", 9)
    done = house.office.arrived(4, "", 4)
    asked = "wo lots of gray plank: say which rooms each goes into"
    assert done.then[-1] == f'T{asked} (`crewjobs lots 4 "gray plank" …`).'
    (row,) = rows_of(house, asked)
    assert row.state is WaitState.TO_DECIDE
    assert row.holds.startswith("Lay click vinyl rows (den and hall)")
    assert row.call.startswith("check lots A and B before a carton is opened; the lead says it")
    assert house.office.jobs()[0].waits_for == f"t{asked}"
    assert house.office.job(4).materials[0].lots_asked == (f"t{asked}",)
    house.office.lots(4, "", ["A=den", "B=hall"])
    assert rows_of(house, asked) == []
    assert "goes into den" in house.office.job(4).materials[0].lots[0]


def test_the_answer_says_whether_each_lot_carries_its_rooms(house):
    """214 ft² for 178 ft² leaves 20 %; 95 ft² for 80 ft² leaves 19 %. Source: the arithmetic itself."""
    two_lots(house)
    done = house.office.lots(4, "", ["A=den", "B=hall"])
    assert done.sentence == "Job 4: gray plank, lot A goes into den and lot B goes into hall."
    assert done.then[0] == "Lot A: 9 cartons cover 214 ft², the room is 178 ft²; 36 ft² (20 %) for cuts."
    assert done.then[1] == "Lot B: 4 cartons cover 95 ft², the room is 80 ft²; 15.2 ft² (19 %) for cuts."


def test_little_left_for_cuts_is_warned_of(house):
    """Eleven cartons are 262 ft² for 258 ft² of rooms: 1 %, said, and not refused."""
    house.clock.set("2026-03-02", "10:00")
    house.office.arrived(4, "", 11, lot="A")
    house.office.arrived(4, "", 2, lot="B")
    done = house.office.lots(4, "", ["A"])
    assert done.then[0] == "Lot A: 11 cartons cover 262 ft², the rooms are 258 ft²; 3.6 ft² (1 %) for cuts."
    assert done.then[1].startswith("That is little: rows usually take 7 to 10 % for cuts")
    assert "Lot B goes nowhere by this: 2 cartons are left over." in done.then


def test_a_reason_lets_two_lots_share_a_room(house):
    """One run on two trucks: with the reason both lots go everywhere, and their cartons count together."""
    two_lots(house)
    done = house.office.lots(4, "", ["A", "B"], because="one run on two trucks")
    assert done.sentence.endswith("because one run on two trucks.")
    assert done.then[0].startswith("Lots A and B: 13 cartons cover 309 ft²")


def test_a_color_that_differs_takes_the_word_back(house):
    """Said for lot A, then its color differs: the rooms are held again until the lead says why."""
    house.clock.set("2026-03-02", "10:00")
    house.office.arrived(4, "", 13)
    house.office.lots(4, "", ["A"])
    done = house.office.check_lot(4, "", "A", 13, color_differs=True)
    assert any(line.startswith("Lot A of gray plank differs in color from the signed sample") for line in done.then)
    with pytest.raises(Refused, match="differs in color from the signed sample: if it is laid all the same, say why"):
        house.office.lots(4, "", ["A"])
    house.office.lots(4, "", ["A"], because="customer looked and takes it")
    assert rows_of(house, "differs in color") == []


WRONG = {
    "more goods than ordered": (
        lambda office: office.arrived(4, "transition", 3),
        r"3 pieces of transition \(den / outside\) would have come, 2 are ordered",
    ),
    "goods not ordered": (lambda office: office.arrived(4, "base", 1), "its order says no day"),
    "goods before their order": (
        lambda office: office.arrived(4, "transition", 1, at="2026-02-10 09:00"),
        "comes before its order of Mon 16 Feb 2026",
    ),
    "goods nobody ordered": (lambda office: office.arrived(4, "glue", 1), "there is no material or goods 'glue'"),
    "goods with a lot": (lambda office: office.arrived(4, "transition", 1, lot="A"), "comes without lots"),
    "back-ordered to a day gone by": (
        lambda office: office.back_ordered(4, "transition", "2026-02-20"),
        "Fri 20 Feb 2026 17:00 has gone by",
    ),
    "back-ordered and not ordered": (lambda office: office.back_ordered(4, "base", "fri"), "base is not ordered"),
    "back-ordered though all came": (
        lambda office: office.arrived(4, "transition", 2, back_ordered="fri"),
        r"all 2 pieces of transition \(den / outside\) have come; nothing is back-ordered",
    ),
    "back-ordered to no day": (lambda office: office.back_ordered(4, "transition", "soon"), "'soon' is not a day"),
    "a reason without a day": (
        lambda office: office.arrived(4, "transition", 1, because="sold out"),
        "a reason goes with --back-ordered",
    ),
    "a lot nobody knows": (
        lambda office: office.check_lot(4, "", "C", 3),
        "job 4 has no lot 'C' of gray plank; it has lots A and B",
    ),
    "more counted than ordered": (
        lambda office: office.check_lot(4, "", "A", 12),
        "16 cartons of gray plank would have come, 13 are ordered",
    ),
    "more damaged than counted": (lambda office: office.check_lot(4, "", "A", 9, damaged=10), "10 damaged of 9"),
    "nothing counted": (lambda office: office.check_lot(4, "", "A", 0), "0 cartons is no count"),
    "checked before it came": (
        lambda office: office.check_lot(4, "", "A", 9, at="2026-03-02 09:00"),
        "it cannot be checked before that",
    ),
    "checked tomorrow": (
        lambda office: office.check_lot(4, "", "A", 9, at="2026-03-03 09:00"),
        "has not come yet",
    ),
    "a lot of goods": (lambda office: office.check_lot(4, "transition", "A", 2), "comes without lots"),
    "a word on a lot nobody knows": (lambda office: office.lots(4, "", ["C=den"]), "no lot 'C' of gray plank"),
    "a room that is none": (
        lambda office: office.lots(4, "", ["A=attic"]),
        "'attic' is no room or stairs that gets gray plank; those are den and hall",
    ),
    "a room in two lots": (
        lambda office: office.lots(4, "", ["A=den", "B=den,hall"]),
        "den would get lots A and B of gray plank: two lots do not mix in a room",
    ),
    "all rooms on two lots": (lambda office: office.lots(4, "", ["A", "B"]), "two lots do not mix in a room"),
    "cartons that do not cover": (
        lambda office: office.lots(4, "", ["B=den"]),
        "lot B: 4 cartons cover 95 ft², the room is 178 ft², 4 cartons short",
    ),
    "no word": (lambda office: office.lots(4, "", []), "say which lot of gray plank goes where"),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_cannot_be_is_one_sentence_and_changes_nothing(house, case):
    """Each is refused with what would be right, and the record stays as it was."""
    ask, said = WRONG[case]
    two_lots(house)
    before = house.record()
    with pytest.raises(Refused, match=said) as refused:
        ask(house.office)
    assert len(refused.value.sentences) == 1
    assert house.record() == before


def test_each_can_be_taken_back(house):
    """Delivery of goods, new date, check and word are a change each; undo takes every one back."""
    two_lots(house)
    before = house.record()
    house.office.arrived(4, "transition", 1, back_ordered="fri")
    house.office.back_ordered(4, "transition", "2026-03-20")
    house.office.check_lot(4, "", "A", 9, damaged=1)
    house.office.lots(4, "", ["A=hall"])
    for _ in range(4):
        house.office.undo()
    assert replace(house.record(), version=before.version) == before


def test_goods_that_came_cannot_leave_the_job(house):
    """A file without the order line of goods that came is refused, and the goods stay."""
    house.office.arrived(4, "transition", 1)
    with pytest.raises(
        Refused, match=r"transition \(den / outside\) came for job 4; the file must keep that order line"
    ):
        house.office.load([house.file("again.toml", HOUSE)], replace=True)
    assert len(house.record().goods_come) == 1
