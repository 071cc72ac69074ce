"""What is ticked before the crew's hours begin stands on that evening's sheet: hours are still to be told of it."""

from __future__ import annotations

from datetime import date

from crewjobs.services.office import Office

MONDAY = date(2026, 3, 2)
CEDAR_AT = 10
"""In the demo Cedar ends this job on Monday, with nothing else planned that day."""
UNDER_WAY = 35
"""Begun by Cedar on Friday: it stays Cedar's."""


def test_a_house_done_before_the_day_began_is_on_the_sheet(demo_file):
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    (before,) = office.evening_sheet("Cedar", MONDAY).houses
    office.tick(CEDAR_AT, [line.task for line in before.lines])
    (after,) = office.evening_sheet("Cedar", MONDAY).houses
    assert (after.job, {line.task for line in after.lines}) == (before.job, {line.task for line in before.lines})
    assert {line.state for line in after.lines} == {"done"}


def test_what_an_earlier_plan_had_for_another_crew_is_not_of_its_day(demo_file):
    """Handed over before the day began and ticked then, it is of the crew it was handed to alone."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    (before,) = office.evening_sheet("Cedar", MONDAY).houses
    tasks = [line.task for line in before.lines]
    office.pin(CEDAR_AT, tasks, "Birch", MONDAY)
    office.tick(CEDAR_AT, tasks)
    (cedar,) = office.evening_sheet("Cedar", MONDAY).houses
    assert [line.task for line in cedar.lines] == [UNDER_WAY]
    (birch,) = (house for house in office.evening_sheet("Birch", MONDAY).houses if house.job == CEDAR_AT)
    assert {line.task for line in birch.lines} == set(tasks) - {UNDER_WAY}
