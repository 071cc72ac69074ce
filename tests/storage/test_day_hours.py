"""A crew's hours on single days: stored beside the week, kept when the shop is loaded again, taken back by undo."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from datetime import date
from sqlite3 import connect

import pytest

from crewjobs.domain.crew import DayHours
from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import Span
from crewjobs.storage import open_database
from tests.storage.actions import NOW, shop, undo

SATURDAY = date(2026, 3, 7)
MORNING = (Span(start=8 * 60, end=12 * 60),)
NORTH = DayHours(crew="North", day=SATURDAY, spans=MORNING, why="the customer is away")


def save(database, *hours, shop_too=None):
    """Record hours, and with `shop_too` store that shop first."""
    with database.unit_of_work(who="Sam") as uow:
        if shop_too is not None:
            uow.save_shop(shop_too)
        for one in hours:
            uow.save_day_hours(one)
        return uow.commit("hours", at=NOW)


def read(database):
    """Return the hours recorded, and those on Saturday by crew."""
    with database.reading() as uow:
        return uow.day_hours(), {crew.name: crew.hours.on(SATURDAY) for crew in uow.shop().crews}


def test_hours_of_a_day_are_its_crews(database):
    """What is recorded is read with its reason, and stands in the crew's own hours, of that crew alone."""
    save(database, NORTH, shop_too=shop("North", "South"))
    assert read(database) == ((NORTH,), {"North": MORNING, "South": ()})


def test_a_day_has_one_entry(database):
    """Recorded again, the later hours stand; taken back, the day is as every week."""
    save(database, NORTH, shop_too=shop("North"))
    off = replace(NORTH, spans=(), why="")
    save(database, off)
    assert read(database)[0] == (off,)
    with database.unit_of_work() as uow:
        uow.drop_day_hours(off)
        uow.commit("as usual", at=NOW)
    assert read(database) == ((), {"North": ()})


def test_what_is_recorded_of_a_crew_outlives_it(database):
    """As people away: what was recorded of a crew that a shop leaves out stays, and nobody else has it."""
    save(database, NORTH, shop_too=shop("North", "South"))
    save(database, shop_too=shop("South"))
    assert read(database) == ((NORTH,), {"South": ()})


def test_a_shop_stored_as_it_was_read_keeps_the_reasons(database):
    """Hours that stay as they are keep why; others of the shop take their place without one."""
    save(database, NORTH, shop_too=shop("North"))
    with database.unit_of_work() as uow:
        known = uow.shop()
        uow.save_shop(known)
        uow.commit("again", at=NOW)
    assert read(database)[0] == (NORTH,)
    (north,) = known.crews
    off = replace(known, crews=(replace(north, hours=north.hours.with_single(SATURDAY, ())),))
    save(database, shop_too=off)
    assert read(database)[0] == (replace(NORTH, spans=(), why=""),)


def test_undo_takes_it_back_and_gives_it_back(database):
    """The entry goes with its change, and comes again with its reason when the undo is undone."""
    change = save(database, NORTH, shop_too=shop("North"))
    later = save(database, replace(NORTH, spans=(), why="snow"))
    taken = undo(database)
    assert read(database)[0] == (NORTH,)
    undo(database, taken.change)
    assert read(database)[0] == (replace(NORTH, spans=(), why="snow"),)
    with pytest.raises(Refused, match="came after it"):
        undo(database, change)
    assert later == change + 1


def test_a_week_stored_by_an_older_program_has_no_single_days(database):
    """A crew's row of revision 0003 knows its week alone; it is read as it was, and takes single days."""
    save(database, shop_too=shop("North"))
    with closing(connect(database.path)) as file:
        ((hours,),) = file.execute("SELECT hours FROM crew").fetchall()
        assert '"but": []' in hours
        file.execute("UPDATE crew SET hours = replace(hours, ', \"but\": []', '')")
        file.commit()
    grown = open_database(database.path)
    assert read(grown) == ((), {"North": ()})
    save(grown, NORTH)
    assert read(grown) == ((NORTH,), {"North": MORNING})
