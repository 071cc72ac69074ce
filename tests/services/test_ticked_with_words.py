"""Tasks that are ticked only with words written down: a laboratory's answer, a licensed person's work."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import pytest

from crewjobs.cli.evening import form_text
from crewjobs.domain.errors import NotWritten, OnHold, Refused
from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.domain.wall import to_wall
from crewjobs.files.catalogue import read_catalogue
from crewjobs.services.jobs.written import WANTED
from crewjobs.services.pages.job_record import job_record
from crewjobs.services.weeks.visits import planned
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


def coming(shop: Shop, tasks: Sequence[int]) -> tuple[date, str]:
    """Return the day on which the first of some tasks of job 5 is planned, and its crew."""
    with shop.office._database.reading() as uow:
        found = planned(uow)
    placed = [one for number in tasks if (one := found.placement(5, number)) is not None]
    first = min(placed, key=lambda one: one.start)
    return to_wall(shop.record(5).job.site.zone, first.start).date(), first.crew


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
    write, instead = refused.value.sentences
    assert write.startswith(
        f'Write as the reason laboratory, day, sample numbers and result, such as "{ANSWER}": task '
    )
    assert instead.startswith('Found in it: not ticked, `crewjobs found 5 PLACE "suspect asbestos"`')
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
    assert held.value.sentences[0].startswith("Write as the reason laboratory, day")


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
    lines = [line for house in shop.office.evening_sheet("Birch", date(2026, 3, 3)).houses for line in house.lines]
    assert all(bool(line.words) is (line.task == answer) for line in lines)
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


def test_the_sheet_says_at_the_line_that_a_bare_x_is_not_taken(answered: tuple[Shop, int]) -> None:
    """Not only once the whole sheet is typed; no other line says it."""
    shop, answer = answered
    shop.office.plan()
    day, crew = coming(shop, [answer])
    shop.clock.set(str(day), "17:00")
    form = form_text(shop.office.evening_sheet(crew, day))
    [line] = [one for one in form.splitlines() if one.startswith(f"[    ] {answer} Laboratory answer")]
    assert line.endswith("(not x alone: x because laboratory, day, sample numbers and result)")
    assert form.count("not x alone") == 1


def test_the_crew_that_goes_in_next_reads_the_words_on_its_page(answered: tuple[Shop, int]) -> None:
    """On paper and on site; the tick taken back, they are gone."""
    shop, answer = answered
    shop.office.tick(5, [answer], because=ANSWER)
    shop.office.plan()
    day, crew = coming(shop, [task.number for task in shop.record(5).tasks if task.open])
    words = f"Written down: Laboratory answer in hand for every suspect layer: {ANSWER} (Tue 3 Mar 09:00)"
    assert words in " ".join(shop.office.day_plan_text(day, crew).split())
    [house] = [one for one in shop.office.site_day(crew, day).houses if one.job == 5]
    assert words in house.facts
    shop.office.untick(5, answer)
    assert "Written down" not in shop.office.day_plan_text(day, crew)
