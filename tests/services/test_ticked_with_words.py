"""Tasks that are ticked only with words written down: a laboratory's answer, a licensed person's work."""

from __future__ import annotations

from datetime import date

import pytest

from crewjobs.domain.errors import NotWritten, OnHold, Refused
from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.files.catalogue import read_catalogue
from crewjobs.services.jobs.written import WANTED
from crewjobs.services.pages.job_record import job_record
from tests.services.conftest import JOB, Shop
from tests.services.test_ticking import everything_before

ANSWER = "Northfield Lab, 3 Mar, sample 17: none found"


@pytest.fixture
def answered(shop: Shop) -> tuple[Shop, int]:
    """Job 5 has a layer that was sampled on Monday; the laboratory called on Tuesday."""
    text = JOB.replace("number = 4", "number = 5").replace('layers = ["carpet"]', 'layers = ["sheet vinyl"]')
    shop.office.load([shop.file("s.toml", text)])
    shop.clock.set("2026-03-02", "08:00")
    shop.office.tick(5, [shop.number_of("sampling", job=5)], because="the lead let the inspector in")
    answer = shop.number_of("laboratory-answer", job=5)
    shop.office.ask(5, "laboratory", "sample 17", promised="tue 15:00", holds=[answer])
    shop.clock.set("2026-03-03", "09:00")
    shop.office.came(5, "laboratory")
    return shop, answer


def record_page(shop: Shop, job: int):
    with shop.office._database.reading() as uow:
        return job_record(uow, read_catalogue(), shop.clock.now(), job)


def test_every_task_of_the_catalogue_that_says_so_is_ticked_only_with_words() -> None:
    """A note that begins "ticked only" is no wish: the program asks for the words."""
    said = {one.key for one in read_catalogue().templates if any(note.startswith("ticked only") for note in one.notes)}
    assert said == set(WANTED)


def test_a_laboratorys_answer_is_not_ticked_without_its_words(answered: tuple[Shop, int]) -> None:
    """No hold is left, and yet the bare tick is refused with what to write and what is done where it was found."""
    shop, answer = answered
    with pytest.raises(NotWritten) as refused:
        shop.office.tick(5, [answer])
    [sentence] = refused.value.sentences
    assert "laboratory, day, sample numbers and result" in sentence
    assert ANSWER in sentence
    assert '`crewjobs found 5 PLACE "suspect asbestos"`' in sentence
    assert shop.record(5).task(answer).open


def test_what_was_written_stands_beside_the_line(answered: tuple[Shop, int]) -> None:
    """In the answer, on the job's page, in the record; it is no hold that was passed. The tick taken back, it is gone."""
    shop, answer = answered
    done = shop.office.tick(5, [answer], because=ANSWER)
    assert done.sentence.endswith(f"; written down: {ANSWER}.")
    assert any(f"`crewjobs tick 5 {answer} --take-back`" in said for said in done.then)
    page = shop.office.job(5)
    assert page.written == (
        f"Tue 3 Mar 09:00 task {answer} 'Laboratory answer in hand for every suspect layer' (house): {ANSWER}",
    )
    assert not any(ANSWER in line for line in page.passed)
    paper = record_page(shop, 5)
    [row] = [one for one in paper.work if one.what.startswith("Laboratory answer")]
    assert row.what.endswith(ANSWER)
    assert not any(ANSWER in line for line in paper.passed)
    shop.office.untick(5, answer)
    assert shop.office.job(5).written == ()


def test_on_hold_the_words_are_asked_for_with_the_reason(answered: tuple[Shop, int]) -> None:
    """One answer passes the hold and is written beside the tick, so both are said."""
    shop, answer = answered
    shop.office.ask(5, "laboratory", "sample 18", promised="fri 15:00", holds=[answer])
    with pytest.raises(OnHold, match="waits for the laboratory: sample 18") as held:
        shop.office.tick(5, [answer])
    assert "ticked only with laboratory, day" in held.value.sentences[0]


def test_the_evening_asks_for_the_words_too(answered: tuple[Shop, int]) -> None:
    """A bare x is refused with how to write it; with the words it is recorded, and not as a hold that was passed."""
    shop, answer = answered
    shop.clock.set("2026-03-03", "17:00")

    def enter(text: str):
        house = HouseEntry(house=1, job=5, start="7:00", stop="15:00", tasks=((answer, text),))
        return shop.office.evening("Birch", date(2026, 3, 3), EveningEntry(houses=(house,)))

    with pytest.raises(Refused) as refused:
        enter("x")
    [sentence] = [one for one in refused.value.sentences if "ticked only with" in one]
    assert sentence.endswith("(done because …).")
    done = enter(f"done because {ANSWER}")
    assert "on hold" not in done.sentence
    assert shop.record(5).passed[-1].because == ANSWER


def test_gas_is_reconnected_by_somebody_who_is_named(shop: Shop) -> None:
    """Who reconnected and leak-checked it, and when, is written with the tick."""
    with_range = JOB.replace('floor = "gray plank"\n', 'floor = "gray plank"\nfixtures = { "gas range" = 1 }\n', 1)
    shop.office.load([shop.file("den.toml", with_range)], replace=True)
    shop.office.arrived(4, "", 9, in_rooms=True)
    everything_before(shop, "gas-appliances-back")
    shop.clock.set("2026-03-12", "15:00")
    back = shop.number_of("gas-appliances-back")
    with pytest.raises(OnHold, match="the licensed person who reconnected and leak-checked it, and the hour"):
        shop.office.tick(4, [back])
    shop.office.tick(4, [back], because="Ada Lund, licensed plumber, 14:30: leak-checked")
    assert any("Ada Lund" in line for line in shop.office.job(4).written)


def test_another_tasks_reason_is_none_of_its_words(answered: tuple[Shop, int]) -> None:
    """Ticked with others, nothing is ticked; with its whole phase it stays open, which is said, and the others are done."""
    shop, answer = answered
    shop.office.untick(5, sampling := shop.number_of("sampling", job=5))
    reason, both = "the neighbor let us in", (sampling, answer)
    task = shop.record(5).task(answer)
    with pytest.raises(Refused, match=f"^Task {answer} .* is ticked by itself, with laboratory, .*Nothing is ticked"):
        shop.office.tick(5, both, because=reason)
    assert all(shop.record(5).task(number).open for number in both)
    for only in ((), both):
        done = shop.office.tick_phase(5, task.phase, task.where, only=only, because=reason)
        assert any(said.startswith(f"Task {answer} ") and said.endswith("it stays open.") for said in done.then)
        assert [number for number in both if shop.record(5).task(number).open] == [answer]
        shop.office.undo()
    shop.office.tick_phase(5, task.phase, task.where, only=[sampling], because=reason)
    with pytest.raises(NotWritten):
        shop.office.tick_phase(5, task.phase, task.where, only=[answer])
    shop.office.tick_phase(5, task.phase, task.where, only=[answer], because=ANSWER)
    assert not shop.record(5).task(answer).open
