"""Order lines on a job's page: supplier, ordered, promised, arrived, short, back-ordered."""

from __future__ import annotations

from crewjobs.cli.job import job_text
from tests.services.conftest import JOB, SHOP, Shop

NOSE = (
    JOB
    + """
[[order]]
goods = "transition"
count = 3
supplier = "trim house"
ordered = 2026-02-20
due = "2026-03-04 09:00"
special = true
"""
)


def orders(shop: Shop, name: str) -> tuple[str, ...]:
    return next(row.orders for row in shop.office.job(4).materials if row.name == name)


def in_place(place: str) -> str:
    text = NOSE.replace("count = 3", f'count = 3\nplace = "{place}"')
    return text.replace('width = "36 in"', 'width = "36 in"\ntransition = "reducer"')


def loaded(shop: Shop) -> Shop:
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", NOSE)])
    shop.ready()
    return shop


def test_an_order_line_says_from_whom_ordered_and_promised_when(empty_shop):
    """Planks and goods alike, before anything has come; nothing is called short then."""
    shop = loaded(empty_shop)
    assert orders(shop, "gray plank") == (
        "9 cartons from north yard, ordered Mon 16 Feb, promised for Tue 3 Mar 10:00",
    )
    assert orders(shop, "transition") == (
        "3 pieces from trim house, ordered Fri 20 Feb, promised for Wed 4 Mar 09:00, special order",
    )
    text = " ".join(job_text(shop.office.job(4), everything=False).split())
    assert "9 cartons from north yard, ordered Mon 16 Feb, promised for Tue 3 Mar 10:00" in text


def test_what_came_and_what_is_short_stand_under_it(empty_shop):
    """Eight of nine cartons and one of three strips: what came when, how many are short, back-ordered until when and why."""
    shop = loaded(empty_shop)
    shop.clock.set("2026-03-03", "10:30")
    shop.office.arrived(4, "gray plank", 8)
    shop.office.arrived(4, "transition", 1, back_ordered="2026-03-18", because="the mill is out")
    assert orders(shop, "gray plank")[1:] == ("short 1 carton, no new day given",)
    came, short = orders(shop, "transition")[1:]
    assert came == "came: 1 Tue 3 Mar 10:30"
    assert short.startswith("short 2 pieces, back-ordered to Wed 18 Mar ")
    assert short.endswith("(the mill is out)")
    shop.office.back_ordered(4, "transition", "none")
    assert orders(shop, "transition")[-1] == "short 2 pieces, back-ordered, nobody can say until when"


def test_one_piece_is_not_called_pieces(empty_shop):
    """Ordered, missing and refused alike: 1 piece, 2 pieces."""
    shop = empty_shop
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", NOSE.replace("count = 3", "count = 2"))])
    shop.ready()
    shop.clock.set("2026-03-04", "09:30")
    shop.office.arrived(4, "transition", 1)
    assert orders(shop, "transition")[-1] == "short 1 piece, no new day given"
    fewer = shop.file("den.toml", NOSE.replace("count = 3", "count = 1"))
    shop.office.load([fewer], replace=True)
    assert orders(shop, "transition")[0].startswith("1 piece from trim house")


def test_a_line_nobody_placed_says_so(empty_shop):
    """No supplier, no ordered day, no promise: each is said, none is left blank."""
    text = JOB.replace('supplier = "north yard"\nordered = 2026-02-16\ndue = "2026-03-03 10:00"\n', "")
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", text)])
    assert orders(empty_shop, "gray plank") == ("9 cartons, no supplier named, not ordered yet, no day promised",)


def test_strips_for_a_room_hold_the_strips_of_its_openings(empty_shop):
    """`place = "den"`: a new date says what it holds back, and the waiting list too; the opening's task is on hold."""
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", in_place("den"))])
    done = empty_shop.office.back_ordered(4, "transition", "2026-03-18")
    assert any(line.startswith("Holds back ") and "den / outside" in line for line in done.then)
    [row] = [row for row in empty_shop.office.waiting() if row.what.startswith("transition (den)")]
    assert "den / outside" in row.holds
    strip = next(task for task in empty_shop.office.job(4).tasks if task.number == empty_shop.number_of("set-strip"))
    assert "transition (den): 0 of 3 pieces have come" in strip.hold


def test_goods_that_no_task_needs_are_said_to_hold_nothing(empty_shop):
    """A line for a place where nothing is made of it is no slip without a word: its row and a new date say so."""
    nose = in_place("den").replace('goods = "transition"', 'goods = "stair nose"')
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", nose)])
    said = "no task of the job needs stair nose in den, so nothing waits for it"
    assert any(said in line.lower() for line in empty_shop.office.back_ordered(4, "stair nose", "2026-03-18").then)
    [row] = [row for row in empty_shop.office.waiting() if row.what.startswith("stair nose")]
    assert row.call.endswith(said)
