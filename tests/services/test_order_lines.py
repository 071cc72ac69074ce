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


def test_a_line_nobody_placed_says_so(empty_shop):
    """No supplier, no ordered day, no promise: each is said, none is left blank."""
    text = JOB.replace('supplier = "north yard"\nordered = 2026-02-16\ndue = "2026-03-03 10:00"\n', "")
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", text)])
    assert orders(empty_shop, "gray plank") == ("9 cartons, no supplier named, not ordered yet, no day promised",)
