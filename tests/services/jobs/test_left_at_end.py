"""What a job that is done or closed leaves open: its punch list and its balance, said and waited for."""

from __future__ import annotations

import pytest

from crewjobs.domain.waits import WaitState
from crewjobs.services.rows import Done
from tests.services.conftest import Shop


def punch_rows(shop: Shop):
    return [row for row in shop.office.waiting() if row.what.startswith("Punch list")]


def ended(shop: Shop, state: str) -> Done:
    return shop.office.edit(4, shop.record().version, {"state": state})


@pytest.fixture
def scuffed(shop: Shop) -> Shop:
    """One item was left at the walk after the work; a balance was asked on Friday and has not come."""
    shop.office.walk_after(4, "Teo Halloran", punch=["scuff at den door"], because="shown")
    shop.office.money(4, "asked", "1840", on="2026-02-27")
    return shop


def test_a_done_job_waits_for_its_punch_list_until_it_is_made(scuffed: Shop) -> None:
    """Booked and done it is on the waiting list; a later walk that leaves nothing takes it off."""
    assert [row.job for row in punch_rows(scuffed)] == [4]
    ended(scuffed, "done")
    [row] = punch_rows(scuffed)
    assert (row.state, row.what) == (WaitState.TO_ASK, "Punch list, 1 open: scuff at den door")
    assert "`crewjobs visit 4 punch-list`" in row.call
    scuffed.clock.set("2026-03-03", "08:00")
    scuffed.office.walk_after(4, "Teo Halloran")
    assert not punch_rows(scuffed)


def test_what_is_left_is_said_when_a_job_is_done_and_when_it_is_closed(scuffed: Shop) -> None:
    """The item and the balance, both times; closed with it, it is said that nobody waits for the item any more."""
    done = " ".join(ended(scuffed, "done").then)
    assert "Punch list: 1 still open: scuff at den door. It stays on the waiting list" in done
    assert "The balance asked Fri 27 Feb, $1,840.00, is not recorded as received" in done
    closed = " ".join(ended(scuffed, "closed").then)
    assert "scuff at den door. Closed, the job is off the waiting list with it" in closed
    assert "$1,840.00, is not recorded as received" in closed
    assert not punch_rows(scuffed)


def test_with_nothing_left_nothing_is_said(shop: Shop) -> None:
    """No punch list, and the balance is in: the answer says neither."""
    shop.office.walk_after(4, "Teo Halloran", because="shown")
    shop.office.money(4, "asked", "1840", on="2026-02-27")
    shop.office.money(4, "received", "1840")
    said = " ".join(ended(shop, "done").then)
    assert "Punch list" not in said
    assert "balance" not in said


def test_a_time_that_is_agreed_is_waited_for_until_it_has_gone_by(scuffed: Shop) -> None:
    """A visit for it stands as promised for its hour; gone by and nothing made, a time is to be agreed again."""
    ended(scuffed, "done")
    scuffed.office.plan_visit(4, "punch-list", who="Tobiah", at="2026-03-03 10:00")
    [row] = punch_rows(scuffed)
    assert row.state is WaitState.PROMISED
    assert "Tobiah" in row.call
    scuffed.clock.set("2026-03-04", "08:00")
    assert [row.state for row in punch_rows(scuffed)] == [WaitState.TO_ASK]
