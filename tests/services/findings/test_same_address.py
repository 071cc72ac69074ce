"""Jobs of one customer at one address go into the same house, whether they come back to each other or not."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import OnHold
from crewjobs.domain.waits import WaitState
from crewjobs.engines.readiness.holds import cannot_be_planned
from crewjobs.services.findings.at_the_address import AT_ITS_ADDRESS
from crewjobs.services.findings.house_told import others_of_its_house, others_with_findings
from tests.services.conftest import Shop, kept
from tests.services.findings.test_found_holds import HOUSE, SUSPECT, make_house
from tests.services.findings.test_found_in_callbacks import CLEAR, finish
from tests.services.jobs.test_reads import asked

PIPE = "live wire or pipe"
SECOND = HOUSE.replace("number = 4", "number = 5").replace("Slab and joists", "Second job")
SPELLED = SECOND.replace('"Teo Halloran"', '"TEO  halloran"').replace("9 Quarry Road", "9  quarry ROAD")
OTHERS = SECOND.replace("number = 5", "number = 6").replace("Teo Halloran", "Maud Ferrant")


def two_jobs(shop: Shop) -> None:
    """A second job of the customer, spelled otherwise, and one of another customer in the building."""
    shop.office.load([shop.file("five.toml", SPELLED), shop.file("six.toml", OTHERS)])


first = kept(make_house)
shop = kept(make_house, two_jobs)


def held(shop: Shop, job: int) -> bool:
    return any(finding.holds for finding in shop.record(job).findings)


def decided(shop: Shop) -> list[int]:
    rows = shop.office.waiting()
    return [row.job for row in rows if row.state is WaitState.TO_DECIDE and "the way on" in row.what]


def test_what_is_found_in_one_holds_in_the_other_and_is_decided_once(shop: Shop) -> None:
    """Nobody is planned into the second job; one way on opens both, and undo takes back both."""
    said = shop.office.found(4, "front room", PIPE, words="gas pipe cut").then
    assert any(words.startswith("Job 5: it is known there too, and holds task") for words in said)
    assert cannot_be_planned(shop.record(5), shop.clock.at)
    with pytest.raises(OnHold, match=f"{PIPE} found in front room"):
        shop.office.tick(5, [shop.number_of("slab-test-set", job=5)])
    assert decided(shop) == [4]
    notice = " ".join(shop.office.page_text(shop.office.notice(5)).split())
    assert "front room: shut until" in notice
    assert any(PIPE in line for line in shop.office.job(5).findings)
    said = shop.office.way_on(5, "front room", PIPE, "made by the trade", by="a plumber").then
    assert "Job 4: the same is settled there too." in said
    assert not decided(shop)
    shop.office.undo()
    assert decided(shop) == [4]
    shop.office.undo()
    assert not held(shop, 4)
    assert not shop.record(5).findings


def test_another_customers_job_at_the_address_is_not_held_and_told_nothing_of_theirs(shop: Shop) -> None:
    """That something is not settled stands on its page and in Waiting, once, and no more when it is settled."""
    shop.office.found(4, "front room", PIPE, words="gas pipe cut")
    assert not shop.record(6).findings
    [line] = shop.office.job(6).findings
    [row] = [row for row in shop.office.waiting() if row.what == AT_ITS_ADDRESS]
    assert line.startswith(AT_ITS_ADDRESS)
    assert (row.job, row.holds) == (6, "")
    for text in (line, row.call):
        assert "look in job 4" in text
        assert not any(theirs in text.casefold() for theirs in ("halloran", "slab", "front room", "pipe", "job 5"))
    shop.office.way_on(4, "front room", PIPE, "made by the trade", by="a plumber")
    assert not shop.office.job(6).findings
    assert not [row for row in shop.office.waiting() if row.what == AT_ITS_ADDRESS]


def test_a_job_that_comes_later_takes_along_what_is_not_settled(first: Shop) -> None:
    """Whoever is asked already is waited for in it too."""
    first.office.found(4, "front room", SUSPECT)
    said = first.office.load([first.file("five.toml", SPELLED)]).then
    assert any(words.startswith(f"Job 5: front room: {SUSPECT}, found") for words in said)
    assert any(words.startswith(f"Job 5: On hold by {SUSPECT} in front room") for words in said)
    assert held(first, 5)
    assert {one.what for one in first.record(4).waiting_on} == {one.what for one in first.record(5).waiting_on}
    assert decided(first) == [4]


def test_a_job_that_becomes_one_of_the_house_takes_it_along(first: Shop) -> None:
    """Its file with another address brings it there."""
    first.office.found(4, "front room", PIPE)
    elsewhere = SECOND.replace("9 Quarry Road", "11 Quarry Road")
    first.office.load([first.file("five.toml", elsewhere)])
    assert not first.record(5).findings
    first.office.load([first.file("five.toml", SECOND)], replace=True)
    assert held(first, 5)


def test_what_was_settled_in_a_finished_job_holds_nothing(first: Shop) -> None:
    """What nobody has decided there holds all the same: it is in the house still."""
    first.office.found(4, "front room", SUSPECT)
    first.office.found(4, "back room", PIPE)
    first.office.way_on(4, "front room", SUSPECT, "proven clear", **CLEAR)
    finish(first)
    first.office.edit(4, first.office.job(4).version, {"state": "closed"})
    first.office.load([first.file("five.toml", SPELLED)])
    assert [(one.place, bool(one.holds)) for one in first.record(5).findings] == [("back room", True)]


def test_a_job_called_off_is_not_held_until_it_is_booked_again(shop: Shop) -> None:
    """Booked again it goes there, and what was found meanwhile comes along."""
    shop.office.edit(5, shop.office.job(5).version, {"state": "called off"})
    shop.office.found(4, "front room", PIPE)
    assert not shop.record(5).findings
    said = shop.office.edit(5, shop.office.job(5).version, {"state": "booked"}).then
    assert any(words.startswith(f"Job 5: front room: {PIPE}, found") for words in said)
    assert held(shop, 5)


def test_a_room_the_other_job_does_not_know_is_told_there(first: Shop) -> None:
    """Whether one comes through it the job does not know; nobody goes in, so its page and the finder's answer say it."""
    smaller = SECOND.replace("front room", "cellar").replace("back room", "pantry")
    first.office.load([first.file("five.toml", smaller)])
    said = first.office.found(4, "front room", PIPE).then
    assert any(words.startswith("Job 5 goes into the same house and knows nothing of front room") for words in said)
    assert any(line.startswith(f"Job 4: front room: {PIPE}") for line in first.office.job(5).findings)
    first.office.load([first.file("seven.toml", smaller.replace("number = 5", "number = 7"))])
    assert not first.record(7).findings


def test_years_of_finished_jobs_of_a_house_are_not_read(shop: Shop) -> None:
    """Of those in which nothing was found nobody going there is to know; Waiting takes no more queries with them."""
    shop.office.found(4, "front room", PIPE)
    before = asked(shop.office.waiting)
    done = [
        shop.file(f"{n}.toml", f'state = "closed"\n{SPELLED.replace("number = 5", f"number = {n}")}')
        for n in range(20, 30)
    ]
    shop.office.load(done)
    assert asked(shop.office.waiting) == before
    with shop.office._database.reading() as uow:
        assert [one.job.number for one in others_of_its_house(uow, 4)] == [5]
        assert [one.job.number for one in others_with_findings(uow, 20)] == [4, 5]


@pytest.mark.parametrize("kind", [PIPE, "mold"])
def test_a_room_written_in_other_capitals_is_the_same_room_of_the_house(first: Shop, kind: str) -> None:
    """Found first or loaded first, it holds in both; who is asked is waited for in both, and one way on settles both."""
    spelled = SPELLED.replace('"front room"', '"FRONT Room"')
    area = "16 ft2" if kind == "mold" else ""
    first.office.found(4, "front room", kind, words="seen", area=area)
    late = first.office.load([first.file("five.toml", spelled)]).then
    assert not any("goes into the same house and" in words for words in late)
    assert held(first, 5)
    first.office.undo()
    first.office.undo()
    first.office.load([first.file("five.toml", spelled)])
    said = first.office.found(4, "front room", kind, words="seen", area=area).then
    assert any(words.startswith("Job 5: it is known there too, and holds ") for words in said)
    assert [one.place for one in first.record(5).findings] == ["FRONT Room"]
    assert held(first, 5)
    asked, too = ([(one.who, one.what) for one in first.record(job).waiting_on] for job in (4, 5))
    assert asked == too != []
    assert all(one.holds == first.record(5).findings[0].holds for one in first.record(5).waiting_on)
    assert decided(first) == [4]
    way = "made by the trade" if kind == PIPE else "specialist"
    done = first.office.way_on(5, "FRONT Room", kind, way, by="Ines Varga", because="looked at")
    assert any(words == "Job 4: the same is settled there too." for words in done.then)
    assert [[one.place for one in first.record(job).ways_taken] for job in (4, 5)] == [["front room"], ["FRONT Room"]]
    assert decided(first) == []
