"""The day plan out of the plan in force."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from types import SimpleNamespace

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.engines.planning.layout import TaskTime
from crewjobs.files.catalogue import read_catalogue
from crewjobs.paper.model import TaskLine
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.demonstration.demo import demo_office
from crewjobs.services.findings.air import notes_told
from crewjobs.services.jobs.known import HAND_OVER, VENTS_BACK
from crewjobs.services.office import Office
from crewjobs.services.pages.crew_houses import as_planned
from crewjobs.services.pages.page import _due, _floor_notes
from crewjobs.services.pages.sheets import day_plans, write
from crewjobs.services.weeks.lead_closed import DUCT_NOTE
from crewjobs.services.weeks.usable import LEAD_CHECKED
from crewjobs.services.weeks.visits import Stretch, planned
from crewjobs.storage.database import open_database
from tests import thorough


@pytest.fixture
def demo(demo_by_book):
    """The demo shop, planned; tests only look."""
    return demo_office(demo_by_book)


def plan_of(office, day: date, crew: str, *, lead_copy: bool = False):
    with office._database.reading() as uow:
        (plan,) = day_plans(uow, office._catalogue(uow), office._clock.now(), day, crew, lead_copy=lead_copy, paper="")
    return plan


def days_of(office, job: int) -> list[tuple[date, str]]:
    """Return the days and crews that visit a job in four weeks."""
    found = []
    for monday in (date(2026, 3, 2), date(2026, 3, 9), date(2026, 3, 16), date(2026, 3, 23)):
        found += [(day.day, v.crew) for day in office.week(monday).days for v in day.visits if v.job == job]
    return found


def test_entry_notes_stand_on_the_leads_copy_only(demo):
    """Job 1 has an entry note: the crew's page and text have no trace of it, the lead's has it."""
    day, crew = days_of(demo, 1)[0]
    assert "latch" not in repr(plan_of(demo, day, crew))
    assert "latch" not in demo.day_plan_text(day, crew)
    assert "latch" in repr(plan_of(demo, day, crew, lead_copy=True))
    assert "latch" in demo.day_plan_text(day, crew, lead_copy=True)


def test_the_page_has_the_tasks_of_the_week_and_no_others(demo):
    """Titles and houses on paper are those of the plan."""
    day, crew = days_of(demo, 1)[0]
    plan = plan_of(demo, day, crew)
    site = demo.site_day(crew, day)
    for house, shown in zip(plan.houses, site.houses, strict=True):
        assert house.job == shown.job
        assert {line.title.removesuffix(", goes on") for line in house.tasks} == {task.title for task in shown.tasks}


def test_the_day_runs_from_the_shop_to_back_by(demo):
    """Drives join shop, houses and shop; nothing overlaps."""
    for crew in demo.crews():
        plan = plan_of(demo, date(2026, 3, 3), crew)
        if not plan.houses:
            continue
        assert plan.start == plan.drives[0].start
        assert plan.back_by == plan.drives[-1].end
        assert len(plan.drives) == len(plan.houses) + 1
        for house, to, away in zip(plan.houses, plan.drives, plan.drives[1:], strict=False):
            assert to.end <= house.arrive < house.leave <= away.start


def test_a_carry_in_day_names_cartons_and_truck(demo):
    """The laminate's truck comes Friday 6 March 10:00: the house says what it brings; nothing of it is on the load list."""
    day, crew = next(found for found in days_of(demo, 6) if found[0] >= date(2026, 3, 6))
    plan = plan_of(demo, day, crew)
    house = next(house for house in plan.houses if house.job == 6)
    trucks = [fact.text for fact in house.facts if fact.label == "Truck"]
    assert trucks == ["18 cartons of field laminate, due 10:00; count them, then into the rooms"]
    assert [item for item in plan.load if item.group == "material"] == []


def test_wood_is_due_for_a_reading_never_ready_by_the_clock(demo):
    """Where the boards are to be read the page says what the reading must show; no wait calls the wood ready."""
    ends = [end for day, crew in days_of(demo, 5) for end in plan_of(demo, day, crew).waits if "mill oak" in end.what]
    assert {(end.kind, "points" in end.check) for end in ends} == {("reading", True)}


def test_cautions_come_in_the_order_to_act_in(demo):
    """On a demolition day in the house of 1966 asbestos is spoken of, and all stand in the catalogue's order."""
    day, crew = next(found for found in days_of(demo, 3) if plan_has_demolition(demo, *found))
    texts = [caution.text for caution in plan_of(demo, day, crew).cautions]
    with demo._database.reading() as uow:
        known = [caution.said for caution in demo._catalogue(uow).cautions]
    assert any("asbestos" in text.lower() for text in texts)
    assert texts == [text for text in known if text in texts]


def plan_has_demolition(office, day: date, crew: str) -> bool:
    return any(
        task.phase == "demolition" and task.job == 3 for h in office.site_day(crew, day).houses for task in h.tasks
    )


def test_a_house_left_for_the_night_says_how(demo):
    """A day that ends in an open house ends with the fan on again; the last day does not say tonight."""
    monday = plan_of(demo, date(2026, 3, 2), "Rowan").houses[0]
    assert any(note.startswith("Tonight: ") and "fan on" in note for note in monday.floor_notes)
    last = plan_of(demo, date(2026, 3, 2), "Cedar").houses[0]
    assert not any(note.startswith("Tonight: ") for note in last.floor_notes)


def houses_of(demo, job: int) -> list:
    """Return a job's houses on the pages of four weeks, day by day."""
    pages = [plan_of(demo, day, crew) for day, crew in sorted(set(days_of(demo, job)))]
    return [house for page in pages for house in page.houses if house.job == job]


def titles(house) -> str:
    return " ".join(task.title for task in house.tasks)


def test_a_house_with_protection_down_is_left_with_the_fan_on_or_as_its_lead_paint_wants(demo):
    """The evening of the day it is laid too; from the closing off until the dust check no fan is told to run, nor a walk on stairs."""
    closed, laid = False, False
    seen = {True: 0, False: 0}
    for house in houses_of(demo, 5):
        laid |= "Protection down" in titles(house)
        closed |= "Lead paint: work area closed off" in titles(house)
        closed &= "checked by the certified renovator" not in titles(house)
        tonight = [note for note in house.floor_notes if note.startswith("Tonight: ")]
        assert not any("people walk here" in note for task in house.tasks for note in task.notes)
        if not laid or not tonight:
            assert "Protection down" not in titles(house)
            continue
        seen[closed] += 1
        assert ("then fan on" in tonight[0]) is not closed
        assert ("front room and dining room closed off for lead paint: plastic stays" in tonight[0]) is closed
        if "Protection down" in titles(house):
            (laying,) = [task for task in house.tasks if task.title.startswith("Protection down")]
            assert any("plastic stays on its grilles" in note for note in laying.notes)
    assert seen[True]


def test_vents_go_back_with_their_ducts_closed_until_the_dust_check(demo):
    """In the rooms that are closed off for lead paint; once it has passed, and in other houses, nothing is said of it."""
    with demo._database.reading() as uow:
        lead, other, catalogue = uow.job(5), uow.job(1), read_catalogue()
    vents = [task for task in lead.tasks if task.key.template == VENTS_BACK]
    assert vents
    passed = tuple(
        replace(task, done_at=DEMO_NOW) if task.key.template == LEAD_CHECKED else task for task in lead.tasks
    )
    for task in vents:
        assert DUCT_NOTE in notes_told(lead, task, catalogue, DEMO_NOW)
        assert DUCT_NOTE not in notes_told(replace(lead, tasks=passed), task, catalogue, DEMO_NOW)
    for task in other.tasks:
        assert DUCT_NOTE not in notes_told(other, task, catalogue, DEMO_NOW)


def test_protection_alone_has_an_evening_too(demo):
    """A visit of nothing but laying it ends with the grille uncovered."""
    with demo._database.reading() as uow:
        found = planned(uow)
    record = found.records[5]
    laying = next(task for task in record.tasks if task.key.template == "protect-house")
    start = found.task_minutes(record)[laying.number][0]
    piece = TaskTime(job=5, task=laying.number, start=start, end=start + timedelta(minutes=20), people=(0,), part=1)
    stretch = Stretch(record=record, crew="Cedar", pieces=(piece,))
    (note,) = _floor_notes(found, as_planned(stretch, gone=False, since=stretch.start), DEMO_NOW)
    assert note.endswith("plastic off the grille, then fan on")
    # So does one of a task that a finding brought, or a second one that day, where it was laid before.
    other = next(
        task for task in record.tasks if task.stage == 0 and task.key.template not in ("protect-house", HAND_OVER)
    )
    piece = replace(piece, task=other.number)
    for laid, notes in ((start, [note]), (None, [])):
        tasks = tuple(replace(task, done_at=laid) if task == laying else task for task in record.tasks)
        stretch = Stretch(record=replace(record, tasks=tasks), crew="Cedar", pieces=(piece,))
        assert [*_floor_notes(found, as_planned(stretch, gone=False, since=stretch.start), DEMO_NOW)] == notes


def test_tools_are_listed_without_a_count(demo):
    """Nobody counts one sliders or one respirators; supplies without a size of their own have no amount either."""
    load = plan_of(demo, date(2026, 3, 3), "Cedar").load
    assert {item.quantity for item in load if item.group == "tools"} == {""}
    supplies = [item.what for item in load if item.group == "supplies"]
    assert "Spacers" in supplies
    assert any(what.startswith("Patch, for ") for what in supplies)


def test_a_crew_without_work_gets_a_page_that_says_so(demo):
    """Sunday: the page is there, without houses, and says why."""
    plan = plan_of(demo, date(2026, 3, 8), "Birch")
    assert plan.houses == ()
    assert plan.notes == ("Birch is off today.",)


def test_an_unknown_crew_is_refused(demo):
    """The sentence names the crews."""
    with pytest.raises(Refused, match="the crews are Birch, Cedar, Rowan"):
        plan_of(demo, date(2026, 3, 3), "Willow")


def test_pages_are_written_as_pdf_and_text(demo_by_book, tmp_path):
    """Both files of every crew and of the lead, who measures that day; A4 where asked, the same words in both."""
    own = demo_office(Path(shutil.copy(demo_by_book, tmp_path / "own.sqlite3")))  # what is printed is recorded
    files = own.day_plans(date(2026, 3, 3), tmp_path, paper="a4")
    assert sorted(path.suffix for path in files) == [".pdf"] * 5 + [".txt"] * 5
    text = (tmp_path / "day-plan-2026-03-03-cedar.txt").read_text(encoding="utf-8")
    assert "Cedar" in text
    assert b"595" in (tmp_path / "day-plan-2026-03-03-cedar.pdf").read_bytes()[:200000]


def test_crews_whose_names_differ_only_in_signs_have_a_page_each(demo, tmp_path):
    """Their files would carry one name; no page is written over another."""
    office, day = demo, date(2026, 3, 2)
    with office._database.reading() as uow:
        plans = day_plans(uow, office._catalogue(uow), office._clock.now(), day, "", lead_copy=False, paper="")
    alike = [replace(plan, crew_name=name) for plan, name in zip(plans, ("A-B", "A B", "a/b", "a b"), strict=True)]
    files = write(alike, tmp_path)
    assert len(set(files)) == len(files) == 8
    assert all(file.is_file() for file in files)
    assert {file.name for file in tmp_path.iterdir()} == {file.name for file in files}


def test_a_page_that_cannot_be_put_in_place_leaves_nothing_beside(demo, tmp_path, monkeypatch):
    """A disk that fills up while a page is written: a refusal, and no half page."""
    office, day = demo, date(2026, 3, 2)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", full)
    with pytest.raises(Refused, match="No space left"):
        office.day_plans(day, tmp_path, crew="Birch")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_no_drive_is_at_lunch(demo):
    """Where a drive and lunch fall together, lunch is eaten first; nobody is in two places."""
    for monday in (date(2026, 3, 2), date(2026, 3, 9)):
        for day in (view.day for view in demo.week(monday).days):
            for crew in demo.crews():
                plan = plan_of(demo, day, crew)
                if plan.lunch is None:
                    continue
                for leg in plan.drives:
                    assert leg.end <= plan.lunch.start or plan.lunch.end <= leg.start, (day, crew, leg)


def test_one_wait_that_ends_in_two_rooms_at_once_is_one_line(demo_file):
    """Job 4's glue, laid in the family room and the entry by 13:15: said once, with both rooms."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester")
    with closing(sqlite3.connect(demo_file)) as file, file:
        laid = "update task set done_at = '2026-03-03T19:15:00.000000Z' where job = 4 and template = 'lay-glued-vinyl'"
        assert file.execute(laid).rowcount == 2
    text = office.day_plan_text(date(2026, 3, 4), "Birch")
    assert text.count("Glue sets for light foot: hours over") == 2  # on the day's list and among the waits
    assert "family room, entry" in text


def test_a_wait_of_one_room_ends_on_the_page_of_its_own_day(demo_made):
    """The bath's glue lies a day before the block of both rooms ends: it is on the crew's page of the day it has set."""
    office = Office(open_database(demo_made, create=False), FixedClock(DEMO_NOW), who="tester")
    ends = {
        day: [(one.place, one.at) for one in plan_of(office, date(2026, 3, day), "Rowan").waits if "Glue" in one.what]
        for day in (4, 5)
    }
    assert ends == {4: [("bath", time(16, 0))], 5: [("back hall", time(8, 0))]}


def test_a_page_on_a_plan_that_is_behind_says_so_first_at_the_house(demo_made):
    """Thursday at noon, nothing of Tuesday and Wednesday ticked at job 1: its crew asks first, in the sentence with the tasks."""
    late = Office(open_database(demo_made, create=False), FixedClock(DEMO_NOW.replace(day=5, hour=18)), who="tester")
    (house,) = plan_of(late, date(2026, 3, 5), "Cedar").houses
    assert house.owed[0].startswith("not ticked, though planned to be done (since Tue 3 Mar): task ")
    assert house.owed[0].endswith("tick what is done, call the office before going on.")
    assert "ASK FIRST: not ticked" in late.day_plan_text(date(2026, 3, 5), "Cedar")
    assert late.site_day("Cedar", date(2026, 3, 5)).houses[0].earlier == house.owed[0]  # in the hallway as on the page
    assert late.site_day("Cedar", date(2026, 3, 3)).houses[0].earlier == ""
    assert plan_of(late, date(2026, 3, 3), "Cedar").houses[0].owed == ()  # a day gone by
    evening = Office(open_database(demo_made, create=False), FixedClock(DEMO_NOW.replace(hour=23)), who="tester")
    assert plan_of(evening, date(2026, 3, 3), "Cedar").houses[0].owed == ()  # today is ticked in its evening


def test_no_wait_is_counted_from_work_that_nobody_ticked(demo_made):
    """The glue of job 4 was to lie by Tuesday, and on Thursday nobody has said it does: neither the week nor a page has it set."""
    fresh = Office(open_database(demo_made, create=False), FixedClock(DEMO_NOW), who="tester")
    late = Office(open_database(demo_made, create=False), FixedClock(DEMO_NOW.replace(day=5, hour=18)), who="tester")
    sets = {
        who: {wait.job for on in who.week().days for wait in on.waits if "Glue sets" in wait.what}
        for who in (fresh, late)
    }
    assert {2, 4} <= sets[fresh]
    assert not {2, 4} & sets[late]
    assert any("Glue sets" in end.what for end in plan_of(fresh, date(2026, 3, 4), "Birch").waits)
    assert not any("Glue sets" in end.what for end in plan_of(late, date(2026, 3, 4), "Birch").waits)


def test_a_truck_of_another_day_is_told_with_its_day(demo):
    """Due Friday 10:00: on Friday's page the hour says it, on Monday's the hour alone would be Monday's."""
    with demo._database.reading() as uow:
        found = planned(uow)
    due = datetime(2026, 3, 6, 16, tzinfo=UTC)
    friday, monday = (SimpleNamespace(start=due + timedelta(days=days)) for days in (0, 3))
    assert _due(found, due, friday, DEMO_NOW) == ", due 10:00"
    assert _due(found, due, monday, DEMO_NOW) == ", due Fri 6 Mar 10:00"
    assert _due(found, due, monday, due) == ", due Fri 6 Mar 10:00, nobody has said it came"


def test_every_acclimation_the_week_has_end_in_a_crews_house_stands_on_its_page(demo: Office) -> None:
    """Also of material that is carried in only by the plan: no page says that no wait ends where the week has one end."""
    found = 0
    for row in demo.week(date(2026, 3, 9)).days:
        ends = {
            (one.job, f"{one.end:%H:%M}") for one in row.waits if "acclimates" in one.what and one.end.date() == row.day
        }
        for page in (plan_of(demo, row.day, crew) for crew in ("Birch", "Cedar", "Rowan")):
            jobs = {house.number: house.job for house in page.houses}
            told = {
                (jobs[end.house], f"{end.at:%H:%M}")
                for end in page.waits
                if "acclimation" in end.what and end.house and end.at
            }
            here = {end for end in ends if end[0] in jobs.values()}
            assert told >= here
            found += len(here)
    assert found


def test_rows_of_the_day_before_lie_though_their_block_goes_on(demo: Office) -> None:
    """The half laid on Wednesday is laid on Thursday's cut list: a row that goes on from it uses the piece kept there."""
    wednesday, thursday = (
        next(house for house in plan_of(demo, date(2026, 3, day), "Cedar").houses if house.job == 1) for day in (4, 5)
    )
    assert wednesday.layouts
    assert thursday.layouts
    words = " ".join(str(one) for one in thursday.layouts)
    assert "laid later" not in words
    assert "kept 111" in words


def lines_of_two_weeks(office) -> dict[tuple[int, int], list[tuple[datetime, TaskLine]]]:
    """Return the lines of every task in two weeks by job and number, in order."""
    found: dict[tuple[int, int], list[tuple[datetime, TaskLine]]] = {}
    for day in (date(2026, 3, 2) + timedelta(days=n) for n in range(12)):
        for crew in office.crews():
            for house in plan_of(office, day, crew).houses:
                for line in house.tasks:
                    at = datetime.combine(day, line.at or time.max)
                    found.setdefault((house.job, line.task), []).append((at, line))
    return {key: sorted(lines, key=lambda one: one[0]) for key, lines in found.items()}


def test_a_wait_starts_once_where_its_task_ends(demo):
    """Lunch and nights cut a task: the blank for when its wait began stands on the last part of it, on that day alone."""
    starting = [
        lines for lines in lines_of_two_weeks(demo).values() if any(line.kind == "wait starts" for _, line in lines)
    ]
    over_lunch = [lines for lines in starting if len({at.date() for at, _ in lines}) < len(lines)]
    over_night = [lines for lines in starting if len({at.date() for at, _ in lines}) > 1]
    assert over_lunch
    assert over_night
    for lines in starting:
        assert [line.kind for _, line in lines] == [*["task"] * (len(lines) - 1), "wait starts"]
        assert [bool(line.wait_note) for _, line in lines] == [*[False] * (len(lines) - 1), True]


def test_cuts_made_as_the_rows_reach_them_have_no_hour_before_these(demo):
    """Where the plan has them before the rows of their room begin, "with the rows" stands in the place of the hour, else the hour."""
    lines = [line for found in lines_of_two_weeks(demo).values() for line in found]
    rows: dict[str, datetime] = {}
    for at, line in lines:
        if line.title.startswith(("Lay click", "Lay laminate", "Spread glue and lay", "Lay engineered")):
            rows[line.place] = min(at, rows.get(line.place, at))
    cuts = [(at, line) for at, line in lines if line.title.startswith("Cuts around") and line.place in rows]
    assert any(line.with_rows for _, line in cuts)
    assert all(line.with_rows == (at < rows[line.place]) for at, line in cuts)
    (day, crew, line) = next(
        (at.date(), crew, line)
        for at, line in cuts
        for crew in demo.crews()
        if line.with_rows and on_page(demo, at, crew)
    )
    assert line.at is not None
    text = demo.day_plan_text(day, crew)
    assert f"with the rows [ ] {line.place}: Cuts around" in text
    assert f"{line.at:%H:%M} [ ] {line.place}: Cuts around" not in text


def on_page(office, at: datetime, crew: str) -> bool:
    houses = plan_of(office, at.date(), crew).houses
    return any(line.at == at.time() and line.with_rows for house in houses for line in house.tasks)
