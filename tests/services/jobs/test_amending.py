"""Edits carry the version seen."""

from __future__ import annotations

from datetime import date

import pytest

from crewjobs.domain.errors import Refused


def test_an_edit_changes_the_job_and_raises_its_version(shop):
    """The promise moves, the log says from what to what."""
    version = shop.record().version
    done = shop.office.edit(4, version, {"promised": "2026-03-20"})
    assert shop.record().job.promised == date(2026, 3, 20)
    assert shop.record().version > version
    assert done.sentence == "Job 4: promised Fri 13 Mar → Fri 20 Mar."
    done = shop.office.edit(4, shop.record().version, {"promised": "2027-01-04", "blocked": "2026-03-10, 2026-03-09"})
    assert done.sentence == "Job 4: promised Fri 20 Mar → Mon 4 Jan 2027, blocked none → Mon 9 Mar, Tue 10 Mar."


def test_an_edit_on_an_old_version_is_refused(shop):
    """A tick in between raises the version: the edit says to look again, and changes nothing."""
    version = shop.record().version
    shop.office.tick(4, [shop.record().tasks[0].number], because="set up by the test")
    with pytest.raises(Refused, match="changed meanwhile"):
        shop.office.edit(4, version, {"title": "Den"})
    assert shop.record().job.title == "Den, Quarry Road"


def test_every_wrong_field_is_named(shop):
    """Two wrong values are two sentences; nothing is changed."""
    with pytest.raises(Refused) as refused:
        shop.office.edit(4, shop.record().version, {"promised": "2026-02-30", "state": "maybe", "weight": "2"})
    assert len(refused.value.sentences) == 2
    assert shop.record().job.weight == 1


def test_a_called_off_job_is_not_ticked(shop):
    """Only booked jobs are worked."""
    shop.office.edit(4, shop.record().version, {"state": "called off"})
    with pytest.raises(Refused, match="called off, not booked"):
        shop.office.tick(4, [shop.record().tasks[0].number])


def test_closing_a_job_says_how_much_of_it_is_open(shop):
    """A job closed with work left is no fault, yet the work leaves the plan: both are said, and the way back."""
    still = sum(task.open for task in shop.record().tasks)
    done = shop.office.edit(4, shop.record().version, {"state": "closed"})
    assert done.then == (f"{still} of its tasks are still open and leave the plan: `crewjobs undo` takes this back.",)
    again = shop.office.edit(4, shop.record().version, {"state": "called off"})
    assert not any("still open" in sentence for sentence in again.then)


@pytest.mark.parametrize("state", ["done", "closed", "called off"])
def test_no_work_is_left_of_a_job_that_is_over(shop, state):
    """Its page tells no hours that nobody will work any more, as its tasks have left the plan."""
    assert shop.office.job(4).row.hours_left > 0
    shop.office.edit(4, shop.record().version, {"state": state})
    assert shop.office.job(4).row.hours_left == 0


def test_a_promise_before_the_wished_start_is_said_once_and_with_its_days(shop):
    """The word stands once, the days as everywhere, beside another field's fault too."""
    shop.office.edit(4, shop.record().version, {"wished": "2026-03-09"})
    with pytest.raises(Refused) as refused:
        shop.office.edit(4, shop.record().version, {"promised": "2026-03-06", "weight": "9"})
    assert refused.value.sentences == (
        "promised: for Fri 6 Mar 2026, before the wished start on Mon 9 Mar 2026.",
        "weight: '9' is not a weight: 1, 2 or 3.",
    )
