"""Whom to call today, out of what waits."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.domain.waits import WaitState
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.services.waiting.calls import calls
from crewjobs.services.waiting.licensed_waits import ACCREDITED, SAMPLES
from crewjobs.storage.database import open_database
from tests.services.conftest import JOB, SHOP


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


def test_too_few_cartons_are_told_where_the_material_waits(empty_shop):
    """Nine cover what is laid, without the carton to keep; five do not, and the lead reads it before the truck comes."""
    shop = empty_shop
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", JOB)])
    assert not any("more than ordered" in row.call for row in shop.office.waiting())
    shop.office.load([shop.file("den.toml", JOB.replace("cartons = 9", "cartons = 5"))], replace=True)
    row = next(row for row in shop.office.waiting() if row.what.startswith("gray plank"))
    assert row.call.startswith("5 cartons more than ordered by the take-off, 10 cartons by area")


def test_the_inspector_is_asked_for_before_he_samples(empty_shop):
    """Nobody comes unasked: the sampling of a suspect floor is a call, until somebody asked and the row is the promise."""
    shop = empty_shop
    old = JOB.replace('layers = ["carpet"]', 'layers = [{ covering = "sheet vinyl", year = 1968 }]')
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", old)])
    number = shop.number_of("sampling")
    row = next(row for row in shop.office.waiting() if row.whom == "inspector")
    assert (row.state, row.what) == (WaitState.TO_ASK, f"inspector: {SAMPLES}, {ACCREDITED}")
    assert row.call.endswith(f"--holds {number}`")
    shop.office.ask(4, "inspector", SAMPLES, holds=[number])
    assert [row.state for row in shop.office.waiting() if "inspector" in row.what] == [WaitState.ASKED]


def test_week_page_and_notice_say_that_the_inspector_is_yet_to_be_asked(empty_shop):
    """A day that stands in the plan is no day with him: who reads only these knows it, until somebody has asked."""
    shop = empty_shop
    old = JOB.replace('layers = ["carpet"]', 'layers = [{ covering = "sheet vinyl", year = 1968 }]')
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", old)])
    shop.ready()
    shop.office.plan()
    visit = next(v for day in shop.office.week().days for v in day.visits if shop.number_of("sampling") in v.tasks)
    asked = f"Nobody has asked the inspector yet: {SAMPLES}; holds back "
    assert any(words.startswith(asked) for words in visit.owed)
    day = visit.start.date()
    assert asked in " ".join(shop.office.day_plan_text(day, visit.crew).split())
    told = f"We have yet to ask the inspector ({SAMPLES}); no day is promised yet"
    assert told in " ".join(shop.office.page_text(shop.office.notice(4)).split())
