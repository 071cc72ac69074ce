"""Where soft wood was found nothing goes on before the repair but what that needs; and after the yes all of the job has a day."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.found import ASKED_FOR, NOBODY_IN
from crewjobs.domain.tear_out import OFF_STAIRS
from crewjobs.engines.estimating.done_in import done_in
from crewjobs.engines.heights.left import left_under
from crewjobs.engines.readiness.found import comes_before, held_by, work_task
from crewjobs.engines.readiness.found_first import after_found_work
from crewjobs.engines.readiness.holds import cannot_be_planned
from crewjobs.files.catalogue import read_catalogue
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.findings.found_holds import where_nobody_goes
from crewjobs.services.findings.lifted_first import LAID_OVER, LIFTED_FIRST, NOTHING_ON_IT
from crewjobs.services.office import Office
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.storage.database import open_database
from tests import thorough
from tests.builders import central

CATALOGUE = read_catalogue()
SOFT = "rot in {}: cut out and replace soft wood"


@pytest.fixture
def office(demo_file) -> Office:
    """Return the demo; nothing is planned anew."""
    return Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester")


def record(office: Office, job: int):
    with office._database.reading() as uow:
        return uow.job(job)


@pytest.mark.parametrize("job", thorough.of([1, 2, 3, 4, 5, 6, 7, 9, 10, 11, 12, 14], [1, 2, 6, 10, 11]))
def test_every_place_of_every_job(office, job):
    """Shut before the yes; after it nothing but the repair and what it comes after is before it, and nothing waits for itself."""
    before = record(office, job)
    no_day = cannot_be_planned(before, DEMO_NOW).keys()
    where = done_in(before.job, CATALOGUE, before.moves_in_force)
    held_there, goes_on = where_nobody_goes(CATALOGUE)
    places = ["house", *(room.name for room in before.job.rooms), *(flight.name for flight in before.job.stairs)]
    for place in places:
        office.found(job, place, "rot", area="4 ft2")
        now = record(office, job)
        there = [
            task.number
            for task in now.tasks
            if task.open
            and task.key.template in held_there - goes_on - {"extra-work"}
            and (place == "house" or place in where.get(task.key, ()))
        ]
        assert {*there} <= {*held_by(now, now.findings[-1], DEMO_NOW)}, place
        office.agreed(job, SOFT.format(place), "300", by="Pia")
        now = record(office, job)
        assert cannot_be_planned(now, DEMO_NOW).keys() <= no_day, place
        ordered = after_found_work(now, DEMO_NOW)
        work = work_task(now, now.findings[-1])
        first = comes_before(now, work.number)
        assert all(work.number in comes_before(ordered, number) for number in {*there} - first), place
        assert not any(
            link.after in comes_before(ordered, link.before) for link in ordered.links if work.number in (link.before,)
        ), place
        office.undo()
        office.undo()


def test_what_lies_over_it_comes_out_first_where_it_can(office):
    """Of the back hall only its door is before the vinyl; the hall that is laid last is lifted by whoever repairs it, who is told so."""
    office.found(2, "back hall", "rot", area="12 ft2")
    with pytest.raises(OnHold, match="rot found in back hall"):
        office.tick(2, [16])
    office.agreed(2, SOFT.format("back hall"), by="Kwame")
    now = record(office, 2)
    work = work_task(now, now.findings[0])
    before = {now.task(number).key.template for number in comes_before(now, work.number)}
    assert {"sheet-vinyl-out", "doors-off", "base-off-scrap"} <= before
    assert "lay-glued-vinyl" not in before
    office.found(1, "hall", "rot", area="20 ft2")
    rows = {(row.title, row.where): row for job in (1, 2) for row in office.job(job).tasks}
    assert LIFTED_FIRST in rows["cut out and replace soft wood", "hall"].notes
    assert LIFTED_FIRST not in rows["cut out and replace soft wood", "back hall"].notes


def test_a_room_behind_does_not_work_on_its_own_soft_wood_first(office):
    """Both repairs have the same words; the one behind waits for the one on the way, and the door between for that as well."""
    for place in ("corner bedroom", "landing"):
        office.found(6, place, "rot", area="4 ft2")
    for place in ("corner bedroom", "landing"):
        office.agreed(6, SOFT.format(place), by="Pia")
    now = after_found_work(record(office, 6), DEMO_NOW)
    room, landing = (work_task(now, one) for one in now.findings)
    assert landing.number in comes_before(now, room.number)
    assert room.number in now.findings[1].holds
    assert room.number not in comes_before(now, landing.number)


def test_the_tick_of_a_repair_says_what_it_still_holds_and_how_it_is_settled(office):
    """The repair alone opens nothing; mold dries first. On a job that nobody ticks any more the way on is recorded all the same."""
    office.found(14, "back bedroom", "rot", area="4 ft2")
    office.agreed(14, SOFT.format("back bedroom"), by="Rosalind")
    assert LAID_OVER in next(row for row in office.job(14).tasks if row.number == 23).notes, "half its rows lie"
    said = office.tick(14, [23]).then
    assert said[0].startswith("Rot in back bedroom still holds task 14 ")
    assert said[0].endswith(": now it is looked at and read, and the way on recorded.")
    assert '`crewjobs found 14 "back bedroom" rot --way replaced`' in said[1]
    office.found(4, "family room", "mold", area="4 ft2")
    office.agreed(4, "clean, cut out what is soft and dry", by="Hollis")
    (dries,) = (words for words in office.tick(4, [41]).then if words.startswith("Mold in family room still holds"))
    assert "it dries until Wed 4 Mar" in dries
    office.found(1, "living", "rot", area="4 ft2")
    with pytest.raises(Refused, match="which is not ticked"):
        office.way_on(1, "living", "rot", "replaced", by="Odalys", because="9 %")
    office.edit(1, office.job(1).version, {"state": "called off"})
    (telling,) = (row.call for row in office.waiting() if row.job == 1 and "nobody comes" in row.call)
    assert "and that rot in living is not settled; when everybody is told" in telling
    office.way_on(1, "living", "rot", "replaced", by="Odalys", because="her carpenter, 9 %")
    assert [way.way for way in record(office, 1).ways_taken] == ["replaced"]


def test_soft_wood_under_what_is_floated_over_is_not_ticked_away(office):
    """Its repair goes into what is left there: it waits for a way on by which that is gone, and nobody is told to tick it undone."""
    office.found(1, "living", "rot", area="6 ft2")
    office.found(1, "living", "suspect asbestos")
    office.agreed(1, SOFT.format("living"), by="Odalys")
    over = next(row for row in office.job(1).tasks if row.number == 6)
    assert NOTHING_ON_IT.format("living") in over.notes, (
        "the furniture goes onto the other half first, and the rot may be there"
    )
    (offer,) = (row for row in office.offers("Cedar") if row.job == 1)
    assert offer.why.endswith("; not settled: suspect asbestos in living; repair agreed: rot in living")
    done = office.way_on(1, "living", "suspect asbestos", "float over", by="Maeve", because="heights, told in writing")
    now = record(office, 1)
    work = work_task(now, now.findings[0])
    assert any("--way 'licensed removal'" in words.replace('"', "'") for words in done.then)
    why = cannot_be_planned(now, DEMO_NOW)[work.number]
    assert "waits for a way on by which it is gone" in why
    assert "crewjobs tick" not in why
    dropped = now.ways_taken[0].drops
    off = {now.task(number).key.template for number in dropped}
    assert {"screw-down", "scrape-and-look"} <= off
    said = {"by": "a firm", "because": "clearance in writing", "sampled": "2026-03-02"}
    gone = office.way_on(1, "living", "suspect asbestos", "licensed removal", **said).then
    assert any(words.startswith("On the job again: ") and "Screw the subfloor down" in words for words in gone)
    now = record(office, 1)
    assert cannot_be_planned(now, DEMO_NOW) == {}
    assert not any(now.task(number).not_needed for number in dropped)
    assert left_under(now) == {}, "the firm has it out: heights count nothing of it"
    assert all(now.task(number).not_needed for number in now.ways_taken[-1].drops)
    office.undo()
    assert record(office, 1).ways_taken[0].drops == dropped


@pytest.mark.parametrize("rot_first", [True, False])
def test_the_day_of_a_laboratory_says_nothing_of_soft_wood(office, rot_first):
    """The bath is reached through the back hall alone: without a yes to that repair it has no day, whoever answers for the bath."""
    found = [("back hall", "rot"), ("bath", "suspect asbestos")]
    for place, kind in found if rot_first else found[::-1]:
        office.found(2, place, kind, area="6 ft2")
    now = record(office, 2)
    bath = [task.number for task in now.tasks if task.open and task.where == "bath"]
    assert bath
    assert {*bath} <= cannot_be_planned(now, DEMO_NOW).keys()
    office.agreed(2, SOFT.format("back hall"), by="Kwame")
    assert not {*bath} & cannot_be_planned(record(office, 2), DEMO_NOW).keys()


def test_what_is_asked_for_is_what_the_kinds_ask_for():
    """And stairs are taken bare by the templates that say so."""
    asks = {kind.key: {one.what for one in kind.asks} for kind in CATALOGUE.findings if kind.asks}
    assert asks == ASKED_FOR
    assert "rot" in NOBODY_IN - asks.keys()
    bare = {one.key for one in CATALOGUE.templates if one.key.startswith("stairs-") and one.key.endswith("-out")}
    assert bare == OFF_STAIRS


def test_what_comes_after_a_repair_has_not_begun_before_that_was_done(demo_file):
    """By the plan of the morning the board would have been under way since; the wood under it was cut out in the afternoon."""

    def at(clock: str) -> Office:
        return Office(
            open_database(demo_file, create=False), FixedClock(central("2026-03-02", clock)), who="tester", follows=True
        )

    rest = [row.number for row in at("07:00").job(10).tasks if row.state != "done"]
    at("07:00").tick(10, rest, because="done on Sunday")
    at("07:05").edit(10, at("07:05").job(10).version, {"state": "done"})
    at("07:10").callback(10, "board clicks", where="den", wished="2026-03-02")
    job = max(row.number for row in at("07:10").jobs())
    at("07:12").ready(job, asked="Ingrid", answers=all_ready())
    at("11:15").found(job, "den", "rot", area="4 ft2")
    at("11:20").agreed(job, SOFT.format("den"), by="Ingrid")
    repair = next(row.number for row in at("11:20").job(job).tasks if row.title.startswith("cut out"))
    at("15:30").tick(job, [repair])
    with at("15:30")._database.reading() as uow:
        [presumed] = [one for one in problem_of(uow, central("2026-03-02", "15:30")).jobs if one.job.number == job]
    [board] = [task for task in presumed.tasks if task.title == "board clicks"]
    assert board.started_at is None


def all_ready():
    from crewjobs.domain.house_ready import ReadyItem
    from crewjobs.services.asked.house_ready import Answers

    return Answers(ready=tuple(ReadyItem))
