"""A laboratory answers on a sample: its usual day is counted from the inspector's, whatever is heard of that one and however often."""

from __future__ import annotations

from datetime import date

from crewjobs.domain.house_ready import Other, WaitingOn
from crewjobs.domain.wall import to_wall
from tests.services.conftest import Shop, kept
from tests.services.findings.test_found_holds import SUSPECT, make_house


def find(shop: Shop) -> None:
    """Found on Monday: the inspector is usual that day, the laboratory on Thursday."""
    shop.office.found(4, "loft", SUSPECT)


shop = kept(make_house, find)
TO_LAB = "The laboratory promised 'answer on what was found in loft' for"


def laboratory(shop: Shop) -> WaitingOn:
    [waits] = [waits for waits in shop.record().waiting_on if waits.who is Other.LABORATORY and waits.came_at is None]
    return waits


def day_of(shop: Shop) -> date:
    promised = laboratory(shop).promised
    assert promised is not None
    return to_wall("America/Chicago", promised).date()


def row(shop: Shop, who: str) -> str:
    [found] = [row.what for row in shop.office.waiting() if row.what.startswith(f"{who}: ") and "loft" in row.what]
    return found


def test_every_promise_of_the_inspector_moves_the_laboratory(shop: Shop) -> None:
    """Later and earlier again; three working days after each."""
    for until, usual in (
        ("wed 10:00", date(2026, 3, 9)),
        ("2026-03-11 10:00", date(2026, 3, 16)),
        ("thu 10:00", date(2026, 3, 10)),
    ):
        shop.office.promised(4, "inspector", until)
        assert (day_of(shop), laboratory(shop).usual) == (usual, True)


def test_the_sample_itself_moves_it_where_it_was_promised_for_another_day(shop: Shop) -> None:
    """Promised for Wednesday, taken on Thursday."""
    shop.office.promised(4, "inspector", "wed 10:00")
    shop.clock.set("2026-03-05", "11:00")
    shop.office.came(4, "inspector")
    assert day_of(shop) == date(2026, 3, 10)


def test_while_the_inspector_is_late_the_laboratory_has_no_day(shop: Shop) -> None:
    """The evening before he may still come that day; from the next on nobody knows when the sample is taken, until he has a day."""
    shop.clock.set("2026-03-02", "18:00")
    assert "expected Thu 5 Mar at the earliest" in row(shop, "laboratory")
    shop.clock.set("2026-03-04", "08:00")
    assert row(shop, "laboratory") == "laboratory: answer on what was found in loft, to be asked"
    assert "5 Mar" not in str([line for line in shop.office.job(4).site_lines if "laboratory" in line])
    shop.office.promised(4, "inspector", "thu 09:00")
    assert "expected Tue 10 Mar at the earliest" in row(shop, "laboratory")
    shop.clock.set("2026-03-06", "08:00")
    assert "expected" not in row(shop, "laboratory")


def test_a_day_the_laboratory_promised_stands_and_one_before_the_sample_is_said(shop: Shop) -> None:
    """Whichever word comes last; once it has a day after the sample nothing is said."""
    shop.office.promised(4, "laboratory", "thu 12:00")
    assert not shop.office.promised(4, "inspector", "wed 10:00").then
    assert (day_of(shop), laboratory(shop).usual) == (date(2026, 3, 5), False)
    [said] = shop.office.promised(4, "inspector", "2026-03-09 10:00").then
    assert said.startswith(f"{TO_LAB} Thu 5 Mar 12:00, before its sample of Mon 9 Mar 10:00: get a new day")
    assert day_of(shop) == date(2026, 3, 5)
    [said] = shop.office.promised(4, "laboratory", "fri 12:00").then
    assert said.startswith(f"{TO_LAB} Fri 6 Mar 12:00")
    assert not shop.office.promised(4, "laboratory", "2026-03-12 12:00").then


def test_an_inspector_asked_by_hand_moves_nothing(shop: Shop) -> None:
    """He was asked for something else."""
    shop.office.ask(4, "inspector", "permit of the stairs", promised="wed 10:00")
    shop.office.promised(4, "inspector", "2026-03-11 10:00", what="permit of the stairs")
    assert day_of(shop) == date(2026, 3, 5)
