"""What a day plan can and cannot hold, and what is derived from it."""

import dataclasses
from dataclasses import replace
from datetime import time

import pytest

from crewjobs.paper import model
from crewjobs.paper.daybar import day_bar
from crewjobs.paper.model import EntryNote, House, LeadOnly, Person
from crewjobs.paper.payload import payload
from tests.paper import samples


def test_values_are_frozen_slotted_and_named() -> None:
    """Every value of the model is frozen, slotted and built by name only."""
    classes = [kind for kind in vars(model).values() if isinstance(kind, type) and kind.__module__ == model.__name__]
    assert len(classes) >= 14
    for kind in classes:
        assert dataclasses.is_dataclass(kind)
        assert kind.__dataclass_params__.frozen
        assert "__slots__" in vars(kind)
        assert all(field.kw_only for field in dataclasses.fields(kind))


def test_no_house_has_room_for_an_entry_note() -> None:
    """Entry notes are reachable through the lead's value alone."""
    assert not [field.name for field in dataclasses.fields(House) if "entry" in field.name or "code" in field.name]
    lead = samples.typical_day()
    assert lead.lead_copy
    assert lead.entry_notes(1) == ("Lock box left of the door, code 4471.",)
    assert lead.entry_notes(2) == ()
    assert replace(lead, lead_only=None).entry_notes(1) == ()
    assert "4471" not in str(payload(replace(lead, lead_only=None), ()))


def test_shared_initials_are_an_error() -> None:
    """Two people with one mark would make a line say the wrong person."""
    twice = (Person(name="Ana Lund", initials="AL"), Person(name="Al Lopez", initials="AL"))
    with pytest.raises(ValueError, match="share initials"):
        replace(samples.empty_day(), people=twice)


def test_shared_house_numbers_are_an_error() -> None:
    """Two houses with one number would send material to the wrong one."""
    house = samples.typical_day().houses[0]
    with pytest.raises(ValueError, match="share a number"):
        replace(samples.typical_day(), houses=(house, house))


def test_entry_note_without_its_house_is_an_error() -> None:
    """An entry note that no page would print is not silently lost."""
    with pytest.raises(ValueError, match="not on the page"):
        replace(samples.empty_day(), lead_only=LeadOnly(entry_notes=(EntryNote(house=1, text="code"),)))


def test_bar_of_the_day_covers_everything_in_whole_hours() -> None:
    """Start 07:00 and back by 17:20 give 07:00 to 18:00, with houses, drives, lunch and both waits."""
    bar = day_bar(samples.typical_day())
    assert bar is not None
    assert (bar.first, bar.last) == (7 * 60, 18 * 60)
    assert [(piece.kind, piece.house) for piece in bar.bars] == [
        ("drive", None),
        ("drive", None),
        ("drive", None),
        ("house", 1),
        ("house", 2),
        ("lunch", None),
    ]
    assert [mark.at for mark in bar.marks] == [12 * 60 + 30, 15 * 60 + 40]


def test_no_bar_without_a_stretch_of_time() -> None:
    """An empty day has no bar."""
    assert day_bar(samples.empty_day()) is None


def test_a_visit_past_midnight_is_drawn_to_midnight() -> None:
    """A visit that ends the next day ends the line at 24:00."""
    plan = samples.typical_day()
    night = replace(plan.houses[0], arrive=time(22, 0), leave=time(2, 0))
    bar = day_bar(replace(plan, houses=(night,), drives=(), lunch=None, waits=(), start=None, back_by=None))
    assert bar is not None
    assert (bar.first, bar.last) == (22 * 60, 24 * 60)
