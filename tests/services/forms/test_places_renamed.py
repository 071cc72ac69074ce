"""A room, a section or stairs named otherwise in a job's form stays the same place in all that is recorded of it."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.plan import Pin
from crewjobs.engines.readiness.found import not_agreed, work_task
from crewjobs.engines.stages.basis import basis_of as basis_of_moves
from crewjobs.engines.take_off.floors import is_current
from crewjobs.services.forms.places_renamed import names_in, renamed
from crewjobs.services.forms.placing import refused_at
from tests.services.conftest import Shop
from tests.services.moving.test_moves import flat  # noqa: F401  a fixture


@pytest.fixture
def lived_in(flat: Shop) -> Shop:  # noqa: F811
    """The flat with its stages and its layout found, and readings, a finding, a lot's rooms and a pin of its living room."""
    shop = flat
    shop.office.moves(7)
    shop.office.layout(7, "living", seconds=0.2)
    shop.office.read_floor(7, "flatness", ["1/8 in"], room="living")
    shop.office.read_air(7, ["70 F", "45 %"], room="living")
    shop.office.found(7, "living", "squeak")
    shop.office.arrived(7, "slate plank", 18, lot="A1")
    shop.office.lots(7, "slate plank", ["A1=living,bedroom"])
    task = next(task for task in shop.record(7).tasks if task.key.scope.name == "living" and not task.not_needed)
    with shop.office._database.unit_of_work(who="tester") as uow:
        uow.save_pin(Pin(job=7, task=task.number, crew="Birch", day=date(2026, 3, 4)))
        uow.commit("a pin", at=shop.clock.at)
    return shop


def of_record(shop: Shop):
    """The job as it is, without what only rises, and its pins."""
    with shop.office._database.reading() as uow:
        return replace(shop.record(7), version=0), uow.pins()


def test_a_room_and_its_section_with_other_names_lose_nothing(lived_in: Shop) -> None:
    """The same tasks by number, none fallen away; readings, finding, lot, pin, stages and layout are the room's still."""
    before, pins = of_record(lived_in)
    form = lived_in.office.job_draft(7)
    living = next(part for part in form.of("room") if part.name == "living")
    form.write(living, {"name": "parlor", "sections": living.texts["sections"].replace("door half", "hall end")})
    done = lived_in.office.keep_draft(form)
    after, still = of_record(lived_in)
    told = "'living' is now called 'parlor' in this job: its tasks and what was recorded of it go with it."
    assert done.then[0] == told
    assert not any("no longer" in words for words in done.then)
    unsaid = replace(
        after, moves=tuple(replace(plan, taken_as=()) for plan in after.moves), job=replace(after.job, title="")
    )
    assert not re.search(r"'living|door half|living,|living /|/ living", repr(unsaid))
    assert [(task.number, task.not_needed, task.quantity) for task in after.tasks] == [
        (task.number, task.not_needed, task.quantity) for task in before.tasks
    ]
    assert {task.where for task in after.tasks} >= {"parlor, hall end", "parlor, window half", "parlor / hall"}
    assert len(after.links) == len(before.links)
    assert still == pins
    assert (after.readings[0].room, after.air[0].room, after.findings[0].place) == ("parlor",) * 3
    assert after.lot_uses[0].rooms == ("parlor", "bedroom")
    plan = after.moves_in_force
    assert plan is not None
    assert plan.basis == basis_of_moves(after.job)
    assert is_current(after.layouts[0], after.job, after.job.materials[0])
    lived_in.office.undo()
    assert of_record(lived_in) == (before, pins)


def rename(shop: Shop, old: str, new: str) -> None:
    """Give a room another name in its job's form."""
    form = shop.office.job_draft(7)
    form.write(next(part for part in form.of("room") if part.name == old), {"name": new})
    shop.office.keep_draft(form)


def test_work_of_a_finding_still_waits_for_the_customer(lived_in: Shop) -> None:
    """The draft is known by the place it names; agreed, and more of it found, so is the further order."""
    office = lived_in.office
    office.found(7, "living", "hump", area="9 ft2")
    rename(lived_in, "living", "parlor")
    record = lived_in.record(7)
    hump = next(one for one in record.findings if one.kind == "hump")
    task = work_task(record, hump)
    assert task is not None
    assert "has not agreed to 'hump in parlor: take the hump down'" in not_agreed(record, task, lived_in.clock.at)
    office.agreed(7, hump.order, "100", by="Teo Halloran")
    rename(lived_in, "parlor", "salon")
    office.found(7, "salon", "hump", area="20 ft2")
    rename(lived_in, "salon", "snug")
    assert [one.what for one in lived_in.record(7).change_orders if "hump" in one.what] == [
        "hump in snug: take the hump down",
        "more hump in snug: take the hump down",
    ]


def test_who_was_asked_because_of_a_finding_is_still_asked_for_it(lived_in: Shop) -> None:
    """The way on from it is the answer, whatever the room is called by then."""
    office = lived_in.office
    office.found(7, "living", "suspect asbestos")
    rename(lived_in, "living", "parlor")
    assert {one.what for one in lived_in.record(7).waiting_on if one.usual} == {
        "sample of what was found in parlor",
        "answer on what was found in parlor",
    }
    office.way_on(
        7, "parlor", "suspect asbestos", "proven clear", laboratory="Bay Analysis", sampled="2026-03-02", sample="K-1"
    )
    assert not [one for one in lived_in.record(7).waiting_on if one.usual and one.came_at is None]


def test_two_rooms_swap_their_names(lived_in: Shop) -> None:
    """Each keeps its own tasks; a name of a room taken out is taken by none."""
    form = lived_in.office.job_draft(7)
    living, bedroom, *_ = form.of("room")
    form.write(living, {"name": "between"})
    form.write(bedroom, {"name": "living"})
    form.write(living, {"name": "bedroom"})
    names = names_in(form)
    assert names.rooms == {"living": "bedroom", "bedroom": "living"}
    record = lived_in.record(7)
    same = renamed(record, names)
    assert same is not None
    assert renamed(same, names) == record
    form = lived_in.office.job_draft(7)
    living, bedroom, *_ = form.of("room")
    form.remove(bedroom)
    form.write(living, {"name": "bedroom"})
    assert not names_in(form).rooms


def test_two_names_are_not_swapped_in_one_go(lived_in: Shop) -> None:
    """The one is named otherwise first: said of that room, and nothing is changed."""
    form = lived_in.office.job_draft(7)
    living, bedroom, *_ = form.of("room")
    form.write(living, {"name": "between"})
    form.write(bedroom, {"name": "living"})
    form.write(living, {"name": "bedroom"})
    before = of_record(lived_in)
    with pytest.raises(Refused, match="'living' takes the name of another of this job: call that one otherwise") as no:
        lived_in.office.keep_draft(form)
    assert of_record(lived_in) == before
    said = refused_at(form, no.value.sentences[0])
    assert said is not None
    assert (form.parts[said.part].name, said.key) == ("bedroom", "name")


def test_a_room_begun_stays_under_its_name(lived_in: Shop) -> None:
    """What was ticked there was ticked of that name."""
    with lived_in.office._database.unit_of_work(who="tester") as uow:
        record = uow.job(7)
        task = next(task for task in record.tasks if task.key.scope.name == "living" and not task.not_needed)
        begun = replace(task, started_at=lived_in.clock.at, crew="Birch")
        uow.save_job(record, replace(record, tasks=tuple(begun if one == task else one for one in record.tasks)))
        uow.commit("begun", at=lived_in.clock.at)
    form = lived_in.office.job_draft(7)
    form.write(form.of("room")[0], {"name": "parlor"})
    with pytest.raises(Refused, match="'living' stays in the job, under that name"):
        lived_in.office.keep_draft(form)
