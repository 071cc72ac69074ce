"""Who is asked because of what was found in a house is asked once, and waited for in every job of it that this holds."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
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


def test_calling_off_says_what_is_not_settled_and_of_the_last_what_of_the_appointment(shop: Shop) -> None:
    """As long as one is held he is still asked; of the last he is called off, or comes for the customer."""
    shop.office.promised(5, "specialist", "tue 09:00")
    assert call_off(shop, 5)[0].endswith("whoever decides is still asked, it holds job 6 and job 7.")
    assert call_off(shop, 6)[0].endswith("whoever decides is still asked, it holds job 7.")
    last = call_off(shop, 7)
    assert "Front room: mold, found Mon 2 Mar 11:30, is not settled." in last[0]
    assert last[0].endswith("for them to ask, no longer for the shop.")
    assert last[1] == (
        "The specialist was asked for 'mold: looked at, and how it is removed in front room', promised for Tue 3 Mar 09:00: "
        "call them off, or let them come as agreed with Teo Halloran."
    )
    assert not asked_of(shop, "specialist")


def to_call_off(shop: Shop) -> list[int]:
    """Return with which jobs the waiting list has the call to a specialist who is not needed any more."""
    return [row.job for row in shop.office.waiting() if row.what.startswith("called off, the specialist was asked for")]


def test_who_comes_for_jobs_that_are_called_off_is_told_once(shop: Shop) -> None:
    """He is a call until he is told, with one of the jobs, and told of that one he is told of all."""
    shop.office.promised(5, "specialist", "tue 09:00")
    for number in (5, 6, 7):
        assert to_call_off(shop) == []
        assert not any("call them off" in line for line in shop.office.job(5).site_lines)
        call_off(shop, number)
    assert to_call_off(shop) == [5]
    (row,) = (row for row in shop.office.waiting() if row.whom == "specialist")
    assert row.what.endswith("promised for Tue 3 Mar 09:00")
    assert row.call.startswith("call the specialist off, or let them come as agreed with Teo Halloran; ")
    assert any("call them off" in line for line in shop.office.job(7).site_lines)
    done = shop.office.told(7)
    assert done.sentence == "Job 7: the specialist told that it is called off."
    assert done.then == ("Nobody is to be told of job 5 and job 6 any more either.",)
    assert to_call_off(shop) == []
    with pytest.raises(Refused, match="nobody is to be told of it any more"):
        shop.office.told(5)


def test_he_stands_with_the_job_whose_customer_is_told_as_well(shop: Shop) -> None:
    """One call each: who tells the customer of job 6 has told him, too."""
    shop.office.promised(5, "specialist", "tue 09:00")
    shop.office.edit(6, shop.office.job(6).version, {"promised": "2026-03-13"})
    for number in (5, 6, 7):
        call_off(shop, number)
    assert to_call_off(shop) == [6]
    assert shop.office.told(6).sentence.startswith("Job 6: Teo Halloran and the specialist told")
    assert to_call_off(shop) == []


def test_nobody_is_called_off_who_was_not_asked_or_is_asked_still(shop: Shop) -> None:
    """Of one job done he is still asked, and it is said for which; one nobody called is not called off."""
    shop.office.edit(5, shop.office.job(5).version, {"state": "done"})
    call_off(shop, 6)
    said = call_off(shop, 7)
    assert said[0].endswith("whoever decides is still asked for job 5.")
    assert asked_of(shop, "specialist")
    said = call_off(shop, 5)
    assert said[0].endswith("for them to ask, no longer for the shop.")
    assert not any("call them off" in words for words in said)


def test_a_done_job_that_is_called_off_says_what_is_not_settled(shop: Shop) -> None:
    """It was asked for as long as it was done; held callbacks keep it so."""
    shop.office.found(4, "front room", SUSPECT)
    shop.office.promised(4, "laboratory", "fri 12:00")
    shop.office.edit(4, shop.office.job(4).version, {"state": "done"})
    said = call_off(shop, 4)
    assert any(
        "suspect asbestos" in words
        and words.endswith("whoever decides is still asked, it holds job 5, job 6 and job 7.")
        for words in said
    )
