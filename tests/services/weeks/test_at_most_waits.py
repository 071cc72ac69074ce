"""Primer that may stay bare only so long, from the tick to the waiting list, the page and the reason."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.waits import WaitState
from tests.services.conftest import JOB, SHOP, Shop, kept
from tests.services.test_ticking import everything_before


def make_primed(shop: Shop) -> None:
    """Job 4 with leveler in its den, primed on Monday at 9:00."""
    job = JOB.replace('patch = "20 ft2"', 'level = "60 ft2"')
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", job)])
    shop.ready()
    everything_before(shop, "prime")
    shop.clock.set("2026-03-02", "09:00")
    shop.office.tick(4, [shop.number_of("prime")], because="set up by the test")


primed = kept(make_primed)


def pours(shop):
    """Return the rows that say by when leveler must be poured, or that it is too late."""
    said = ("must start by", "more than 24 h before")
    return [one for one in shop.office.waiting() if any(words in one.what for words in said)]


def test_the_waiting_list_says_by_when_and_then_who_decides(primed):
    """Until a day after the primer it is due, with the label named; then it is the lead's to decide."""
    primed.clock.set("2026-03-02", "12:00")
    (due,) = pours(primed)
    assert due.state is WaitState.DUE
    assert "must start by Tue 3 Mar 09:00, at most 24 h after" in due.what
    assert due.call == "the label decides"
    primed.clock.set("2026-03-03", "09:01")
    (late,) = pours(primed)
    assert late.state is WaitState.TO_DECIDE
    assert "its label must be checked" in late.what
    assert f"crewjobs tick 4 {primed.number_of('pour-leveler')} --because" in late.call
    page = {task.number: task.hold for task in primed.office.job(4).tasks}
    assert "the lead decides" in page[primed.number_of("pour-leveler")]


def test_a_pour_ticked_when_done_was_begun_in_time(primed):
    """Ticked a quarter hour after its last moment, without a start recorded: it had begun before, so nothing is asked."""
    primed.clock.set("2026-03-03", "09:15")
    assert "done" in primed.office.tick(4, [primed.number_of("pour-leveler")]).sentence


def test_a_pour_a_day_too_late_is_on_hold(primed):
    """A day later neither start nor tick goes through without the reason, and the page shows what was seen."""
    pour = primed.number_of("pour-leveler")
    primed.clock.set("2026-03-04", "10:00")
    with pytest.raises(Refused, match="its label must be checked"):
        primed.office.start(4, pour)
    with pytest.raises(Refused, match="the lead decides whether it is done again"):
        primed.office.tick(4, [pour])
    primed.office.tick(4, [pour], because="primed again at 8:00, label says 24 h")
    assert any("label must be checked" in words for words in primed.office.job(4).passed)
