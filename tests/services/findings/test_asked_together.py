"""Who is asked because of what was found in a house is asked once, and waited for in every job of it that this holds."""

from __future__ import annotations

import pytest

from crewjobs.domain.house_ready import Other, WaitingOn
from crewjobs.engines.readiness.holds import cannot_be_planned
from crewjobs.services.findings.asked_together import same_asking
from tests.builders import central
from tests.services.conftest import Shop, kept
from tests.services.findings.test_found_holds import SUSPECT, make_house
from tests.services.findings.test_found_in_callbacks import WHAT, asked_of, finish


def come_back(shop: Shop) -> None:
    """Job 4 is done; three callbacks go into its front room, and in the first of them mold for a specialist is found."""
    finish(shop)
    for number in (5, 6, 7):
        shop.office.callback(4, f"{WHAT}, {number}", where="front room")
        shop.ready(number)
    shop.office.found(5, "front room", "mold", area="12 ft2")


shop = kept(make_house, come_back)


def of(shop: Shop, number: int, who: Other = Other.SPECIALIST) -> WaitingOn:
    [waits] = [waits for waits in shop.record(number).waiting_on if waits.who is who]
    return waits


def call_off(shop: Shop, number: int) -> tuple[str, ...]:
    return shop.office.edit(number, shop.office.job(number).version, {"state": "called off"}).then


def test_all_jobs_it_holds_wait_and_have_his_day(shop: Shop) -> None:
    """Nothing of any of them is left without a way on once he has promised a day."""
    assert all(of(shop, number).holds == (1,) for number in (5, 6, 7))
    said = shop.office.promised(5, "specialist", "tue 09:00").then
    assert said == ("The same is waited for in job 6 and job 7: it is known there too.",)
    assert {of(shop, number).promised for number in (5, 6, 7)} == {central("2026-03-03", "09:00")}
    assert not any(cannot_be_planned(shop.record(number), shop.clock.at) for number in (5, 6, 7))
    assert "the specialist" in " ".join(shop.office.page_text(shop.office.notice(7)).split())


@pytest.mark.parametrize("over", ["", "called off", "done"])
def test_a_word_is_recorded_through_any_of_them(shop: Shop, over: str) -> None:
    """Also once the job in which it was found is over; what is undone is undone in all of them."""
    if over:
        shop.office.edit(5, shop.office.job(5).version, {"state": over})
    shop.office.chased(6, "specialist")
    shop.office.promised(7, "specialist", "wed 09:00")
    for number in (5, 6, 7):
        assert (of(shop, number).usual, of(shop, number).promised) == (False, central("2026-03-04", "09:00"))
    shop.clock.set("2026-03-04", "10:00")
    shop.office.came(6, "specialist")
    assert {of(shop, number).came_at for number in (5, 6, 7)} == {central("2026-03-04", "10:00")}
    shop.office.undo()
    assert {of(shop, number).came_at for number in (5, 6, 7)} == {None}


def test_the_waiting_list_names_one_call(shop: Shop) -> None:
    """It stands with the first booked job that waits, and names the others."""
    assert asked_of(shop, "specialist") == [(5, f"{WHAT}, 5 (front room), job 6 and job 7")]
    call_off(shop, 5)
    assert asked_of(shop, "specialist") == [(6, f"{WHAT}, 6 (front room) and job 7")]


def test_a_callback_booked_later_waits_for_him_too(shop: Shop) -> None:
    """With the day he has promised by then."""
    shop.office.promised(6, "specialist", "tue 09:00")
    shop.office.callback(4, WHAT, where="front room")
    assert same_asking(of(shop, 8), of(shop, 5))
    assert of(shop, 8).promised == central("2026-03-03", "09:00")


def test_one_that_did_not_know_of_him_is_told_by_the_next_word(shop: Shop) -> None:
    """A job recorded before this was shared has no such waiting: a word through it is of the same asking, not a second one."""
    with shop.office._database.unit_of_work(who="tester") as uow:
        from dataclasses import replace

        before = uow.job(6)
        uow.save_job(before, replace(before, waiting_on=()))
        uow.commit("as it was", at=shop.clock.at, job=6)
    shop.office.promised(6, "specialist", "tue 09:00")
    assert same_asking(of(shop, 6), of(shop, 5))
    assert of(shop, 5).promised == central("2026-03-03", "09:00")


def test_the_way_on_answers_him_everywhere_and_that_is_said_once(shop: Shop) -> None:
    """Nobody waits for him in any of them; that no answer was recorded is no three things."""
    said = shop.office.way_on(6, "front room", "mold", "specialist", by="Ines Varga", because="clearance in hand").then
    assert sum("No longer waited for" in words for words in said) == 1
    assert all(of(shop, number).came_at for number in (5, 6, 7))
    assert not asked_of(shop, "specialist")


def test_where_more_is_seen_he_is_asked_for_all_of_them_and_answered_by_the_way_on(shop: Shop) -> None:
    """Little of it asks nobody; with more of it he is waited for from then on, in each job it holds."""
    shop.office.way_on(5, "front room", "mold", "specialist", by="Ines Varga", because="clearance in hand")
    shop.clock.set("2026-03-03", "08:00")
    shop.office.found(6, "front room", "mold", area="5 ft2")
    shop.clock.set("2026-03-03", "09:00")
    shop.office.found(6, "front room", "mold", area="40 ft2")
    assert asked_of(shop, "specialist") == [(5, f"{WHAT}, 5 (front room), job 6 and job 7")]
    shop.office.way_on(7, "front room", "mold", "specialist", by="Ines Varga", because="clearance in hand")
    assert not asked_of(shop, "specialist")


def test_one_asked_in_another_job_by_hand_is_somebody_else(shop: Shop) -> None:
    """What was asked in one job of the house for the words that a finding in another asks for is not mixed up with it."""
    shop.office.ask(7, "specialist", "licensed pest control: what lives in front room")
    shop.office.found(5, "front room", "pests")
    shop.office.promised(5, "specialist", "thu 09:00", what="licensed pest control: what lives in front room (2)")
    by_hand, found = (one for one in shop.record(7).waiting_on if "pest" in one.what)
    assert (by_hand.promised, found.promised) == (None, central("2026-03-05", "09:00"))
