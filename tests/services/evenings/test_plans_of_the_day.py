"""The times a sheet has of a house that several plans of one day had: those of the crew's page as it is by now."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from crewjobs.services.office import Office

MONDAY = date(2026, 3, 2)


def times(file: Path) -> list[tuple[int, str, str]]:
    sheet = Office.at(database=file, pretend="2026-03-02 15:40").evening_sheet("Birch", MONDAY)
    return [(house.job, house.start, house.stop) for house in sheet.houses]


def test_an_end_that_no_longer_stands_is_not_proposed(demo_file: Path) -> None:
    """Slower than planned, then stopped in one room: the plan between had a later end than the one in force."""
    Office.at(database=demo_file, pretend="2026-03-02 07:20").how_far(11, 11, "50 ft2")
    assert times(demo_file) == [(11, "07:15", "14:08")]
    Office.at(database=demo_file, pretend="2026-03-02 10:40").found(11, "front room", "mold", area="14 ft2")
    assert times(demo_file) == [(11, "07:15", "13:09")]


def test_a_house_the_newest_plan_has_no_more_ends_when_that_was_made(demo_file: Path) -> None:
    """Blank times are recorded as planned: nobody was there for hours after the house was stopped."""
    Office.at(database=demo_file, pretend="2026-03-02 10:40").found(11, "front room", "suspect asbestos")
    assert times(demo_file) == [(11, "07:15", "10:40")]
