"""Taking one tick back: what comes back with it, and what refuses it."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from tests.services.test_ticking import carried_in, everything_before


def test_a_tick_is_taken_back_with_all_that_it_set_running(shop):
    """The job is as it was before the tick, though another was done since; undo puts the tick back."""
    before = shop.record()
    patch = shop.number_of("patch")
    shop.office.tick(4, [patch], because="told by phone")
    ticked = shop.record()
    other = next(task.number for task in before.tasks if task.number != patch)
    shop.office.tick(4, [other])
    done = shop.office.untick(4, patch)
    assert "is not done after all (it was ticked Mon 2 Mar 06:30)" in done.sentence
    after = shop.record()
    assert after.task(patch) == before.task(patch)
    assert after.passed == before.passed
    assert not after.task(other).open
    shop.office.undo()
    assert shop.record().task(patch) == ticked.task(patch)
    assert shop.record().passed == ticked.passed


def test_what_had_begun_before_is_under_way_again(shop):
    """Begun at seven, ticked at nine: without the tick it is under way since seven."""
    first = shop.record().tasks[0].number
    shop.clock.set("2026-03-02", "07:00")
    shop.office.start(4, first)
    begun = shop.record().task(first)
    shop.clock.set("2026-03-02", "09:00")
    shop.office.tick(4, [first])
    shop.office.untick(4, first)
    assert shop.record().task(first) == begun


def test_a_tick_that_later_work_stands_on_stays(shop):
    """Laid already: what had to come before it is not undone under it, and nothing is other than before."""
    carried_in(shop)
    everything_before(shop, "lay-click-vinyl")
    lay = shop.number_of("lay-click-vinyl")
    shop.clock.set("2026-03-09", "07:00")
    shop.office.tick(4, [lay])
    record = shop.record()
    ahead = next(link.before for link in record.links if link.after == lay)
    with pytest.raises(Refused, match=rf"stays done: .*task {lay} .*take that back first"):
        shop.office.untick(4, ahead)
    assert shop.record() == record


def test_what_is_not_done_has_no_tick_to_take_back(shop):
    """It is refused in one sentence."""
    with pytest.raises(Refused, match="is to do: there is no tick to take back"):
        shop.office.untick(4, shop.record().tasks[0].number)
