"""The three facts of money, and change orders."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from crewjobs.cli.waiting import waiting_text
from crewjobs.domain.agreed import ChangeOrder, Money, MoneyFact
from crewjobs.domain.errors import Refused
from crewjobs.domain.waits import WaitState


def money_rows(shop):
    return [row for row in shop.office.waiting() if row.what.startswith(("Balance", "Customer's choice"))]


def test_each_fact_is_kept_with_its_day_and_cents(shop):
    """What was typed stands in the record to the cent and on the job's page."""
    shop.office.money(4, "deposit", "$1,250.05", on="fri")
    assert shop.record().money == (MoneyFact(fact=Money.DEPOSIT, day=date(2026, 2, 27), cents=125005),)
    assert shop.office.job(4).money == ("Deposit in, $1,250.05, Fri 27 Feb",)


def test_a_fact_is_recorded_once(shop):
    """A second deposit is refused; a further part is recorded with --again."""
    shop.office.money(4, "deposit", "500")
    with pytest.raises(Refused, match=r"deposit in, .500.00, Mon 2 Mar is recorded already; say --again"):
        shop.office.money(4, "deposit", "500")
    shop.office.money(4, "deposit", "250", again=True)
    assert [fact.cents for fact in shop.record().money] == [50000, 25000]


def test_what_has_not_happened_is_not_recorded(shop):
    """A day to come, a word that is no fact, an amount of nothing: refused, nothing stored."""
    for fact, amount, on in (("deposit", "5", "2026-03-03"), ("refund", "5", ""), ("deposit", "0", "")):
        with pytest.raises(Refused):
            shop.office.money(4, fact, amount, on=on)
    assert shop.record().money == ()


def test_received_before_asked_is_kept_and_said(shop):
    """Money may come before it was asked; the sentence says that no asking is recorded."""
    done = shop.office.money(4, "received", "20")
    assert "No balance was recorded as asked" in done.then[0]


@pytest.mark.parametrize(("days", "rows"), [(14, 0), (15, 1)])
def test_a_balance_is_called_for_after_two_weeks(shop, days, rows):
    """Asked more than 14 days ago and not received it is on the waiting list, late, with a call. Common practice, no source."""
    shop.office.money(4, "asked", "900", on="2026-03-02")
    shop.clock.set(f"2026-03-{2 + days}", "08:00")
    assert [(row.state, "call Teo Halloran" in row.call) for row in money_rows(shop)] == [(WaitState.LATE, True)] * rows


def test_a_balance_of_a_done_job_is_called_for_until_it_is_received(shop):
    """A job that has ended stays on the waiting list for its balance alone, and leaves it when the money is in."""
    shop.office.money(4, "asked", "900", on="2026-02-02")
    shop.office.edit(4, shop.record().version, {"state": "done"})
    assert [row.what for row in shop.office.waiting()] == ["Balance, $900.00"]
    shop.office.money(4, "received", "900")
    assert shop.office.waiting() == ()


def test_a_balance_partly_received_stays_to_be_called_for(shop):
    """900 asked and 300 of it received: the rest stands on the list after two weeks, until it is in."""
    shop.office.money(4, "asked", "900")
    done = shop.office.money(4, "received", "300")
    assert "$300.00 received of $900.00 asked: $600.00 still open." in done.then
    shop.clock.set("2026-03-17", "08:00")
    [row] = money_rows(shop)
    assert (row.what, row.state) == ("Balance, $600.00 of $900.00", WaitState.LATE)
    assert row.call == "call Teo Halloran: asked Mon 2 Mar, $300.00 received"
    assert shop.office.money(4, "received", "600", again=True).then == ()
    assert money_rows(shop) == []


def test_more_received_than_asked_is_said(shop):
    """2000 received of 1200 asked is recorded, and the answer names the difference."""
    shop.office.money(4, "asked", "1200")
    done = shop.office.money(4, "received", "2000")
    assert done.then == ("$2,000.00 received of $1,200.00 asked: $800.00 more than was asked; look at the amounts.",)


def test_a_change_order_may_be_a_credit(shop):
    """Less work is money back: it is said as a credit and counts below zero in what is agreed together."""
    done = shop.office.agreed(4, "no base in the den", "($120)", by="Teo Halloran")
    assert "'no base in the den', credit $120.00, asked Mon 2 Mar" in done.sentence
    shop.office.agreed(4, "leveler", "20", by="Teo Halloran")
    assert shop.office.job(4).change_orders[-1] == "Agreed together: -$100.00"


def test_a_change_order_waits_until_it_is_agreed(shop):
    """Asked it is the customer's choice on the waiting list; agreed by the same words it is gone from there."""
    shop.office.agreed(4, "Level the hall", "300", only_asked=True, on="fri")
    assert [(row.what, row.state) for row in money_rows(shop)] == [
        ("Customer's choice: Level the hall, $300.00", WaitState.ASKED)
    ]
    done = shop.office.agreed(4, "level the hall", by="Teo Halloran")
    assert money_rows(shop) == []
    assert shop.record().change_orders == (
        ChangeOrder(
            what="Level the hall", cents=30000, asked=date(2026, 2, 27), agreed=date(2026, 3, 2), by="Teo Halloran"
        ),
    )
    assert done.sentence.endswith("agreed Mon 2 Mar by Teo Halloran.")


def test_what_is_known_by_its_day_shows_no_hour(shop):
    """A change order asked on Friday has waited since Friday, not since its midnight."""
    shop.office.agreed(4, "Level the hall", "300", only_asked=True, on="fri")
    assert "since Fri 27 Feb, no date" in waiting_text(tuple(money_rows(shop)))


def test_no_change_order_is_agreed_before_it_was_asked(shop):
    """Agreed on an earlier day than asked: refused with both days."""
    shop.office.agreed(4, "new base", "80", only_asked=True, on="fri")
    with pytest.raises(Refused, match="asked Fri 27 Feb: it cannot be agreed before that, Thu 26 Feb"):
        shop.office.agreed(4, "new base", on="2026-02-26")


def test_a_change_order_is_agreed_once(shop):
    """Agreed is agreed; a first one needs its amount."""
    with pytest.raises(Refused, match="say the amount"):
        shop.office.agreed(4, "new base")
    shop.office.agreed(4, "new base", "80")
    with pytest.raises(Refused, match="was agreed Mon 2 Mar already"):
        shop.office.agreed(4, "new base", "90")


def test_only_what_is_agreed_is_added_up(shop):
    """The page adds agreed change orders, and no other money."""
    shop.office.agreed(4, "new base", "80.10")
    shop.office.agreed(4, "leveler", "19.90")
    shop.office.agreed(4, "stairs too", "4000", only_asked=True)
    assert shop.office.job(4).change_orders[-1] == "Agreed together: $100.00"


def test_a_deposit_names_the_special_orders_it_releases(shop):
    """A special order that is not placed is named when the deposit comes in."""
    with shop.office._database.unit_of_work(who="tester") as uow:
        record = uow.job(4)
        orders = tuple(replace(line, special=True, ordered=None, due=None) for line in record.job.orders)
        uow.save_job(record, replace(record, job=replace(record.job, orders=orders)))
        uow.commit("special", at=shop.clock.now(), job=4)
    done = shop.office.money(4, "deposit", "100")
    assert done.then == ("The special order of gray plank may be placed now, north yard.",)
