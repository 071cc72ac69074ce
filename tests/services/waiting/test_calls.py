"""Whom to call today, out of what waits."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.domain.waits import WaitState
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.services.waiting.calls import calls
from crewjobs.storage.database import open_database


@pytest.fixture(scope="module")
def waiting(demo_made):
    """The demo's waiting list."""
    return Office(open_database(demo_made, create=False), FixedClock(DEMO_NOW), who="tester").waiting()


def test_everybody_is_called_once_about_all_that_a_call_settles(waiting):
    """A late supplier, a customer whose deposit is missing, one to be told, a trade to be asked: in the order of the list."""
    found = calls(waiting)
    assert [row for call in found for row in call.about] == sorted(
        (row for row in waiting if row.whom), key=lambda row: [call.whom for call in found].index(row.whom)
    )
    assert len({call.whom for call in found}) == len(found)
    by_state = {row.state: call.whom for call in found for row in call.about}
    assert by_state[WaitState.LATE] == "mill order"
    assert by_state[WaitState.TO_ASK] == "plumber"
    assert {WaitState.NOT_ORDERED, WaitState.TO_TELL, WaitState.ASKED} <= set(by_state)


def test_nobody_is_called_about_what_has_its_day(waiting):
    """What is due, promised, acclimating, curing or there, and a house answered for a day to come, is no call today."""
    quiet = {WaitState.DUE, WaitState.PROMISED, WaitState.ACCLIMATING, WaitState.RUNNING, WaitState.READY}
    assert quiet & {row.state for row in waiting}
    assert not [row for row in waiting if row.whom and row.state in quiet]
    assert not [row for row in waiting if row.whom and row.state is WaitState.NOT_READY]


def test_words_name_the_jobs(waiting):
    """Somebody with two things has both jobs told, each once."""
    call = next(one for one in calls(waiting) if one.whom == "mill order")
    assert call.words == "mill order (7 late)"


def test_a_customer_is_called_by_the_phone_that_is_known(waiting):
    """In the list of calls and behind the name in the row; of others than customers no phone is known."""
    call = next(one for one in calls(waiting) if one.whom == "Kwame Ferrant")
    assert call.words == "Kwame Ferrant 555-0117 (2 to tell)"
    (row,) = call.about
    assert row.call_words == "tell Kwame Ferrant (555-0117), then `crewjobs told 2`"
    assert not [row for row in waiting if row.phone and row.state is WaitState.LATE]
    assert not [row for row in waiting if row.phone and not row.whom]


def test_two_of_one_name_are_two_calls(waiting):
    """Each with the phone and the job that are theirs."""
    row = next(one for one in waiting if one.whom == "Kwame Ferrant")
    other = replace(row, job=9, phone="555-0199")
    assert [call.name for call in calls([row, other])] == ["Kwame Ferrant 555-0117", "Kwame Ferrant 555-0199"]
