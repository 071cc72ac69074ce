"""What a notice asks by which day, and of whom it says that we wait for them, for what."""

from __future__ import annotations

from datetime import date

from crewjobs.domain.wall import to_utc
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database

ZONE = "America/Chicago"


def at(path, day: date | None = None) -> Office:
    clock = FixedClock(DEMO_NOW if day is None else to_utc(ZONE, day, 6 * 60 + 30))
    return Office(open_database(path, create=False), clock, who="tester", follows=True)


def told(office: Office, job: int) -> str:
    return " ".join(office.page_text(office.notice(job)).split())


def test_a_way_in_is_asked_for_by_the_day_material_is_carried_in(demo_file):
    """Planks that come two weeks after the crew need no way in by the crew's first day, nor at once when that is today."""
    office = at(demo_file)
    assert any("A clear way in" in one for one in office.notice(3).ready), "carried in on the first day"
    office.back_ordered(3, "gravel plank", "2026-03-23 10:00")
    for notice in (office.notice(3), at(demo_file, date(2026, 3, 10)).notice(3)):
        assert not any("A clear way in" in one for one in notice.ready)
        (way,) = [one for one in notice.ready_own if "A clear way in" in one]
        assert "(gravel plank): by Mon 23 Mar." in way


def test_two_things_of_one_trade_are_told_each_with_what_it_is(demo_file):
    """One plumber is promised and to be asked: to shut the gas, and to connect it again. What the shop noted stays there."""
    text = told(at(demo_file), 3)
    assert "We wait for the plumber (gas shut, disconnected and capped), promised for Thu 5 Mar 09:00" in text
    assert "We have yet to ask the plumber (gas reconnected and leak-checked); no day is promised yet" in text


def test_what_was_noted_of_somebody_stays_in_the_shop(demo_file):
    """Also where they are asked for licensed work: it is told by the tasks it holds."""
    office = at(demo_file)
    with office._database.reading() as uow:
        (task,) = [task.number for task in uow.job(3).tasks if task.key.template == "gas-appliances-back"]
    office.ask(3, "plumber", "owes us for the last time", holds=[task])
    text = told(office, 3)
    assert "We wait for the plumber (gas reconnected and leak-checked)" in text
    assert "owes us" not in text
    assert "yet to ask the plumber" not in text
