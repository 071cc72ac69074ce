"""A tool that crews share, from the shop file to the plan and the truck list."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from crewjobs.services.jobs.catalogues import catalogue_of
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.shared_tools import goes_on, last_at
from crewjobs.services.weeks.visits import planned
from tests.builders import central
from tests.services.conftest import JOB, SHOP

MONDAY = central("2026-03-02", "06:30")
AT_FOUR = "at job 4, 9 Quarry Road, Marrow Bend"
TOOLS = '\n[[tools]]\nname = "Vinyl cutter"\n'


def test_the_plan_is_told_which_tasks_need_what_the_shop_lists(empty_shop):
    """Without a list every crew has its own; with one the laying needs it, however it is spelled, and dump gives it back."""
    shop = empty_shop
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", JOB)])
    with shop.office._database.reading() as uow:
        assert problem_of(uow, shop.clock.at).tools == {}
    shop.office.load([shop.file("shop.toml", SHOP + TOOLS)], replace=True)
    with shop.office._database.reading() as uow:
        found = problem_of(uow, shop.clock.at)
        assert [(tool.name, tool.count) for tool in uow.shop().tools] == [("vinyl cutter", 1)]
    assert found.tools == {(4, shop.number_of("lay-click-vinyl")): frozenset({"vinyl cutter"})}


def test_the_truck_list_says_where_the_tool_was(empty_shop):
    """Two dens: the day on which the second is begun says at which house the one cutter was last, and until when."""
    shop = empty_shop
    second = JOB.replace("number = 4", "number = 5").replace("9 Quarry Road", "11 Quarry Road")
    files = [shop.file("shop.toml", SHOP + TOOLS), shop.file("den.toml", JOB), shop.file("den5.toml", second)]
    shop.office.load(files)
    for number in (4, 5):
        shop.ready(number)
        shop.clock.set("2026-03-03", "10:00")
        shop.office.arrived(number, "", 9, in_rooms=True)
    shop.office.plan()
    with shop.office._database.reading() as uow:
        plan = uow.latest_plan()
        lays = {number: shop.number_of("lay-click-vinyl", job=number) for number in (4, 5)}
    placed = sorted((p for p in plan.placements if lays.get(p.key.job) in p.tasks), key=lambda p: p.start)
    assert placed[0].end <= placed[1].start
    text = shop.office.day_plan_text(placed[1].start.date(), placed[1].crew)
    assert f"at job {placed[0].key.job}, " in text


@pytest.fixture
def two_dens(empty_shop):
    """Two dens of one shop with one cutter: Birch lays job 4 on Tuesday to 13:15, Cedar job 5 from 14:15 to Wednesday 08:00."""
    shop = empty_shop
    second = JOB.replace("number = 4", "number = 5").replace("9 Quarry Road", "11 Quarry Road")
    shop.office.load([shop.file("shop.toml", SHOP + TOOLS), shop.file("den.toml", JOB), shop.file("den5.toml", second)])
    for number in (4, 5):
        shop.ready(number)
        shop.office.arrived(number, "", 9, in_rooms=True)
    shop.office.plan()
    with shop.office._database.reading() as uow:
        found, catalogue = planned(uow), catalogue_of(uow)
    return found, catalogue, {number: shop.number_of("lay-click-vinyl", job=number) for number in (4, 5)}


def day_of(found, *visits):
    """The plan with these visits alone: job, task, crew, from and to when."""
    placements = [
        replace(
            found.placement(job, task), tasks=(task,), crew=crew, start=central(*start), end=central(*end), people=0
        )
        for job, task, crew, start, end in visits
    ]
    return replace(found, plan=replace(found.plan, placements=tuple(placements)))


def told(found, catalogue, crew, day, now=MONDAY):
    return last_at(found, found.day(crew, date.fromisoformat(day)), catalogue, now).get("vinyl cutter", "")


def test_a_tool_that_is_away_when_a_crew_leaves_is_brought_by_somebody_to_be_agreed(two_dens):
    """The crew is at the house from the morning and needs the tool at 14:15 only: it cannot be loaded, and no drive fetches it."""
    found, catalogue, lays = two_dens
    first = min(task.number for task in found.records[5].tasks if task.open and task.number != lays[5])
    found = day_of(
        found,
        (4, lays[4], "Birch", ("2026-03-03", "07:30"), ("2026-03-03", "13:15")),
        (5, first, "Cedar", ("2026-03-03", "07:30"), ("2026-03-03", "14:15")),
        (5, lays[5], "Cedar", ("2026-03-03", "14:15"), ("2026-03-04", "08:00")),
    )
    assert told(found, catalogue, "Birch", "2026-03-03") == ""
    said = told(found, catalogue, "Cedar", "2026-03-03")
    away = "not to load before leaving: needed from Tue 3 Mar 14:15; at job 4, 9 Quarry Road, Marrow Bend"
    assert said == f"{away}, used there until Tue 3 Mar 13:15; nobody has a drive for it: agree who brings it"


@pytest.mark.parametrize(("comes", "said"), [("13:45", True), ("14:30", False)])
def test_who_comes_over_from_the_tools_house_in_time_can_bring_it(two_dens, comes, said):
    """Birch drives on to job 5 after it laid job 4: it is told of only where it is there before the tool is needed."""
    found, catalogue, lays = two_dens
    first, other = [task.number for task in found.records[5].tasks if task.open and task.number != lays[5]][:2]
    found = day_of(
        found,
        (4, lays[4], "Birch", ("2026-03-03", "07:30"), ("2026-03-03", "13:15")),
        (5, other, "Birch", ("2026-03-03", comes), ("2026-03-03", "16:00")),
        (5, first, "Cedar", ("2026-03-03", "07:30"), ("2026-03-03", "14:15")),
        (5, lays[5], "Cedar", ("2026-03-03", "14:15"), ("2026-03-04", "08:00")),
    )
    told_of = told(found, catalogue, "Cedar", "2026-03-03")
    assert ("Birch comes over at Tue 3 Mar 13:45: agree that it is brought along" in told_of) is said
    assert ("nobody has a drive for it" in told_of) is not said


def test_a_tool_that_is_free_before_a_crew_leaves_is_at_the_house_before(two_dens):
    found, catalogue, lays = two_dens
    found = day_of(
        found,
        (4, lays[4], "Birch", ("2026-03-03", "07:30"), ("2026-03-03", "13:15")),
        (5, lays[5], "Cedar", ("2026-03-04", "07:30"), ("2026-03-04", "12:00")),
    )
    said = told(found, catalogue, "Cedar", "2026-03-04")
    assert said == f"{AT_FOUR}, used there until Tue 3 Mar 13:15; Birch takes it along to the shop on Tue 3 Mar"
    late = told(found, catalogue, "Cedar", "2026-03-04", central("2026-03-04", "06:30"))
    used = "by the plan used there until Tue 3 Mar 13:15, which nobody ticked"
    assert late == f"{AT_FOUR}, {used}; Birch was to take it along to the shop on Tue 3 Mar: see whether it is there"


def test_a_tool_is_where_it_stood_over_night_and_not_where_it_was_before(two_dens):
    """The work at job 5 goes on in the morning: its tool has been there since it began, job 4 has it no more, nobody loads it."""
    found, catalogue, lays = two_dens
    found = day_of(
        found,
        (4, lays[4], "Birch", ("2026-03-03", "07:30"), ("2026-03-03", "13:15")),
        (5, lays[5], "Cedar", ("2026-03-03", "14:15"), ("2026-03-04", "10:00")),
    )
    assert found.day("Cedar", date(2026, 3, 4)), "the laying goes on"
    said = told(found, catalogue, "Cedar", "2026-03-04")
    assert said == "not to load: by the plan it is there already, at job 5, 11 Quarry Road, Marrow Bend"


def ticked(found, job, task, began, done):
    """The same with a task done, begun at one moment and done at another."""
    record = found.records[job]
    tasks = tuple(
        replace(one, started_at=central(*began), done_at=central(*done), crew="Birch") if one.number == task else one
        for one in record.tasks
    )
    return replace(found, records={**found.records, job: replace(record, tasks=tasks)})


def test_a_tool_is_where_ticked_work_used_it_last_though_no_plan_has_that(two_dens):
    """Job 4 was laid on Tuesday afternoon and ticked: the plan, which has its place no more, sends nobody to job 5's past for it."""
    found, catalogue, lays = two_dens
    first = min(task.number for task in found.records[5].tasks if task.open and task.number != lays[5])
    found = day_of(found, (5, lays[5], "Cedar", ("2026-03-05", "07:30"), ("2026-03-05", "12:00")))
    found = ticked(found, 4, lays[4], ("2026-03-03", "14:00"), ("2026-03-03", "15:30"))
    said = told(found, catalogue, "Cedar", "2026-03-05")
    assert said == f"{AT_FOUR}, used there until Tue 3 Mar 15:30; Birch takes it along to the shop on Tue 3 Mar"
    found = ticked(found, 5, first, ("2026-03-04", "08:00"), ("2026-03-04", "09:00"))
    assert told(found, catalogue, "Cedar", "2026-03-05") == said, "work without the tool moves it nowhere"


def test_a_tick_of_the_evening_does_not_take_a_tool_back_that_went_on_at_noon(two_dens):
    """Nobody said when the laying of job 4 began: the plan says it, and job 5 had the cutter after it."""
    found, catalogue, lays = two_dens
    found = day_of(
        found,
        (4, lays[4], "Birch", ("2026-03-03", "07:30"), ("2026-03-03", "13:15")),
        (5, lays[5], "Cedar", ("2026-03-03", "14:15"), ("2026-03-04", "10:00")),
    )
    found = ticked(found, 4, lays[4], ("2026-03-03", "17:00"), ("2026-03-03", "17:00"))
    assert "it is there already, at job 5" in told(found, catalogue, "Cedar", "2026-03-04")


def test_a_tool_of_the_first_house_is_taken_along_to_the_second(two_dens):
    """It stands where the crew begins its day, and is needed where it goes then."""
    found, catalogue, lays = two_dens
    rest = next(task.number for task in found.records[4].tasks if task.open and task.number > lays[4])
    found = day_of(
        found,
        (4, rest, "Cedar", ("2026-03-04", "07:30"), ("2026-03-04", "10:00")),
        (5, lays[5], "Cedar", ("2026-03-04", "11:00"), ("2026-03-04", "15:00")),
    )
    found = ticked(found, 4, lays[4], ("2026-03-03", "07:30"), ("2026-03-03", "13:15"))
    said = told(found, catalogue, "Cedar", "2026-03-04")
    assert said == "not to load: take it along from job 4, 9 Quarry Road, Marrow Bend"


def handed_on(found, catalogue, crew, day):
    """Return what a crew's page says of the cutter after its day used it, and whether it takes it along."""
    on = date.fromisoformat(day)
    told_on = goes_on(found, crew, found.day(crew, on), catalogue, on).get("vinyl cutter")
    return (told_on.words, told_on.along) if told_on else None


def test_the_crew_that_has_a_tool_is_told_who_needs_it_before_it_can_be_in_the_shop(two_dens):
    """Both sides are told: Cedar that nobody has a drive for it, Birch that Cedar needs it; what stays over night is left where it is."""
    found, catalogue, lays = two_dens
    first = min(task.number for task in found.records[5].tasks if task.open and task.number != lays[5])
    found = day_of(
        found,
        (4, lays[4], "Birch", ("2026-03-03", "07:30"), ("2026-03-03", "13:15")),
        (5, first, "Cedar", ("2026-03-03", "07:30"), ("2026-03-03", "14:15")),
        (5, lays[5], "Cedar", ("2026-03-03", "14:15"), ("2026-03-04", "08:00")),
    )
    needed = "Cedar needs it Tue 3 Mar 14:15, at job 5, 11 Quarry Road, Marrow Bend"
    assert handed_on(found, catalogue, "Birch", "2026-03-03") == (
        f"{needed}; nobody has a drive for it: agree who brings it",
        False,
    )
    assert handed_on(found, catalogue, "Cedar", "2026-03-03") is None
    assert handed_on(found, catalogue, "Cedar", "2026-03-04") == ("take it along to the shop", True)


def test_who_leaves_with_a_tool_last_takes_it_to_the_shop_for_the_next(two_dens):
    """Cedar loads it there on the next day, and both pages say so."""
    found, catalogue, lays = two_dens
    found = day_of(
        found,
        (4, lays[4], "Birch", ("2026-03-03", "07:30"), ("2026-03-03", "13:15")),
        (5, lays[5], "Cedar", ("2026-03-04", "08:00"), ("2026-03-04", "12:00")),
    )
    needed = "Cedar needs it Wed 4 Mar 08:00, at job 5, 11 Quarry Road, Marrow Bend"
    assert handed_on(found, catalogue, "Birch", "2026-03-03") == (f"take it along to the shop: {needed}", True)
    assert "Birch takes it along to the shop" in told(found, catalogue, "Cedar", "2026-03-04")


def test_who_drives_on_to_the_house_that_needs_a_tool_takes_it_there(two_dens):
    """Birch goes to job 5 after it laid job 4, before Cedar needs the cutter there."""
    found, catalogue, lays = two_dens
    first, other = [task.number for task in found.records[5].tasks if task.open and task.number != lays[5]][:2]
    found = day_of(
        found,
        (4, lays[4], "Birch", ("2026-03-03", "07:30"), ("2026-03-03", "13:15")),
        (5, other, "Birch", ("2026-03-03", "13:45"), ("2026-03-03", "16:00")),
        (5, first, "Cedar", ("2026-03-03", "07:30"), ("2026-03-03", "14:15")),
        (5, lays[5], "Cedar", ("2026-03-03", "14:15"), ("2026-03-04", "08:00")),
    )
    words, along = handed_on(found, catalogue, "Birch", "2026-03-03")
    assert along
    assert words == "take it along to job 5, 11 Quarry Road, Marrow Bend: Cedar needs it Tue 3 Mar 14:15"


def test_a_tool_stays_where_the_next_crew_comes_by_first(two_dens):
    """Cedar begins its day at job 4, where the cutter stands, and takes it on to job 5: Birch leaves it there."""
    found, catalogue, lays = two_dens
    rest = next(task.number for task in found.records[4].tasks if task.open and task.number > lays[4])
    found = day_of(
        found,
        (4, lays[4], "Birch", ("2026-03-03", "07:30"), ("2026-03-03", "13:15")),
        (4, rest, "Cedar", ("2026-03-04", "07:30"), ("2026-03-04", "10:00")),
        (5, lays[5], "Cedar", ("2026-03-04", "11:00"), ("2026-03-04", "15:00")),
    )
    assert handed_on(found, catalogue, "Birch", "2026-03-03") is None
    assert "take it along from job 4" in told(found, catalogue, "Cedar", "2026-03-04")
