"""What the week tells of what was recorded: hours at houses the plan has on that day no more, and no phase as done of which more is to do."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from crewjobs.cli.week import week_text
from crewjobs.domain.tasks import Phase, Scope, ScopeKind
from crewjobs.files.evening_text import read_form
from crewjobs.paper.document_text import document_text
from crewjobs.paper.week_sheet import week_document
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.services.weeks.visits import done_words, work_words
from crewjobs.storage.database import open_database
from tests.builders import record, task

MONDAY = date(2026, 3, 2)
WEEK_BEFORE = MONDAY - timedelta(days=7)
SHEET = (
    "House 1, job 11\nStarted 07:20 Stopped 15:10\n[ x ] 11 x\n[ done 10:40 ] 6 x\n[ 60 of 120 ft2 ] 13 x\n[ x ] 12 x\n"
)


def office_at(file: Path, after: timedelta = timedelta()) -> Office:
    return Office(open_database(file, create=False), FixedClock(DEMO_NOW + after), who="tester", follows=True)


def told(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture
def before(demo_file: Path) -> Office:
    return office_at(demo_file)


def test_a_week_gone_by_tells_the_hours_and_dry_runs_recorded_in_it(before: Office) -> None:
    """Before the first plan five houses were worked at, one by a sub without hours, and one was not ready: each is there on its day."""
    found = {(one.day, visit.crew, visit.job): visit for one in before.week(WEEK_BEFORE).days for visit in one.visits}
    thursday, friday = date(2026, 2, 26), date(2026, 2, 27)
    assert found.keys() == {
        (thursday, "Cedar", 10),
        (thursday, "Rowan", 7),
        (friday, "Birch", 4),
        (friday, "Birch", 11),
        (friday, "Cedar", 10),
        (friday, "Hazel", 14),
    }
    hazel = found[friday, "Hazel", 14]
    assert (f"{hazel.start:%H:%M}", f"{hazel.end:%H:%M}") == ("10:40", "15:50")
    assert hazel.what == "task 14 'Lay click vinyl rows' (back bedroom) begun 10:40, rows 1–9 of 19"
    birch = found[friday, "Birch", 11]
    assert (f"{birch.start:%H:%M}", f"{birch.end:%H:%M}", birch.tasks) == ("14:30", "15:30", ())
    assert birch.recorded.startswith("14:30–15:30, 3 people")
    assert birch.what.startswith("ticked: ")
    assert found[thursday, "Rowan", 7].what.startswith("dry run: no power in the house")


def test_a_week_gone_by_has_nothing_of_another(before: Office) -> None:
    """What is out from Tuesday, what is not planned and a promise of another week are not told in it, on the screen or on paper."""
    view = before.week(WEEK_BEFORE)
    assert (view.warnings, view.left_out, view.promises) == ((), (), ())
    assert before.week().warnings
    page = told(document_text(week_document(before.week_sheet(WEEK_BEFORE))))
    assert "Nothing" not in page
    assert "recorded: 14:30–15:30, 3 people" in page
    early = told(document_text(week_document(before.week_sheet(WEEK_BEFORE - timedelta(days=350)))))
    assert "! Nothing of a plan and no hours are kept of this week." in early


def test_a_dry_run_of_today_is_no_visit_of_the_week(demo_file: Path) -> None:
    """The plan has the crew elsewhere by now; the day after it is told where it stood."""
    office_at(demo_file, timedelta(hours=1)).dry_run(11, "Birch", "no power in the house")
    for after, told_of in ((timedelta(hours=2), 0), (timedelta(days=1), 1)):
        visits = office_at(demo_file, after).week(MONDAY).days[0].visits
        assert len([one for one in visits if one.what == "dry run: no power in the house"]) == told_of


def test_hours_at_a_house_the_plan_has_moved_stand_in_the_week(demo_file: Path) -> None:
    """Stopped at nine, all of the house is Friday's: Monday has the crew there with its hours all the same."""
    office_at(demo_file, timedelta(hours=2, minutes=30)).found(11, "front room", "suspect asbestos", by="Ines")
    office = office_at(demo_file, timedelta(hours=9))
    office.evening("Birch", MONDAY, read_form("House 1, job 11\nStarted 07:15 Stopped 09:10\n", "sheet"))
    assert "Birch    07:15-09:10  job 11 Rental, both rooms: nothing ticked for it" in told_week(office)
    page = told(document_text(week_document(office.week_sheet(MONDAY))))
    assert "07:15–09:10 Job 11" in page
    assert "recorded: 07:15–09:10, 3 people: 5.8 h of one person" in page


def told_week(office: Office) -> str:
    return week_text(office.week()).replace("\n", " ")


def test_no_phase_is_told_as_done_of_which_more_is_to_do(demo_file: Path) -> None:
    """Of the subfloor prep only the slab test was set: it is named, and so are the hours, not those of the plan."""
    office = office_at(demo_file, timedelta(hours=10))
    office.evening("Birch", MONDAY, read_form(SHEET, "sheet"))
    [visit] = [one for one in office.week().days[0].visits if one.crew == "Birch"]
    assert visit.done
    assert "subfloor prep" not in visit.what
    assert "Slab moisture test set" in visit.what
    assert (f"{visit.start:%H:%M}", f"{visit.end:%H:%M}") == ("07:20", "15:10")
    page = told(document_text(week_document(office.week_sheet(MONDAY))))
    assert "07:20–15:10 Job 11" in page
    assert "recorded: 07:20–15:10, 30 min of it break, 3 people: 22.0 h of one person; task 13 60 of 120 ft²" in page


def test_a_phase_that_is_done_in_its_rooms_is_named() -> None:
    """More of it in another room is another matter; more of it in this one, or in the whole house, is not."""
    hall, den = (Scope(kind=ScopeKind.ROOM, name=name) for name in ("hall", "den"))
    done = task(1, phase=Phase.DEMOLITION, scope=hall, done_at=DEMO_NOW)
    elsewhere, here = task(2, phase=Phase.DEMOLITION, scope=den), task(2, phase=Phase.DEMOLITION, scope=hall)
    house = task(2, phase=Phase.DEMOLITION, scope=Scope(kind=ScopeKind.JOB, name=""))
    assert done_words(record([done, elsewhere]), [done]) == work_words([done])
    assert "demolition" in work_words([done])
    for more in (here, house):
        assert done_words(record([done, more]), [done]) == "work 1 (hall)"


def test_how_far_a_sub_came_stands_in_the_week_when_the_plan_moves_the_rest(demo_file: Path) -> None:
    """Hazel has no hours: its rows of Monday, at the times of that day's plan, stand there when the rest is a fortnight off."""
    office = office_at(demo_file, timedelta(hours=10))
    office.evening("Hazel", MONDAY, read_form("House 1, job 14\n[ 14/19 rows ] 14 x\n", "sheet"))
    rows = "task 14 'Lay click vinyl rows' (back bedroom) rows 1–14 of 19"
    for later in (office, office_at(demo_file, timedelta(days=1))):
        assert f"Hazel    07:30-13:00  job 14 Back bedroom: {rows}" in week_text(later.week())
        assert rows in told(document_text(week_document(later.week_sheet(MONDAY))))


def test_a_visit_the_plan_still_has_tells_how_far_it_came(demo_file: Path) -> None:
    """Nothing is planned anew: the visit stands as planned, with the rows beside it."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW + timedelta(hours=10)), who="tester")
    office.how_far(14, 14, "14/19 rows")
    [hazel] = [one for one in office.week().days[0].visits if one.crew == "Hazel"]
    assert hazel.tasks
    assert hazel.recorded == "task 14 rows 1–14 of 19"


def test_a_day_gone_by_keeps_in_the_week_what_its_plan_had(demo_file: Path) -> None:
    """Planned again on Tuesday with nothing ticked: Monday has in the week what the pages of that day have, and says that it was planned."""
    before, pages = office_at(demo_file, timedelta(days=1)).week(MONDAY).days[0].visits, {}
    office = office_at(demo_file, timedelta(days=1))
    office.plan()
    after = office.week(MONDAY).days[0].visits
    assert [(one.crew, one.job, one.start, one.end) for one in after] == [
        (one.crew, one.job, one.start, one.end) for one in before
    ]
    assert {one.crew for one in after} == {"Birch", "Cedar", "Hazel"}
    for one in after:
        assert one.what.startswith("no hours, nothing ticked; planned that day: ")
        assert not one.tasks
        pages[one.crew] = told(office.day_plan_text(MONDAY, one.crew))
        assert f"{one.start:%H:%M}–{one.end:%H:%M} House 1, job {one.job}" in pages[one.crew]
    assert "no hours, nothing ticked" in told(document_text(week_document(office.week_sheet(MONDAY))))


def test_a_house_its_crew_was_stopped_in_stays_in_the_week(demo_file: Path) -> None:
    """With what was found there, on the day and the day after alike: until then the crew was there, and nothing else is said of it."""
    office_at(demo_file, timedelta(hours=2, minutes=30)).found(11, "front room", "suspect asbestos", by="Ines")
    for after in (timedelta(hours=3), timedelta(days=1)):
        day = office_at(demo_file, after).week(MONDAY).days[0]
        (birch,) = [one for one in day.visits if (one.crew, one.job) == ("Birch", 11)]
        assert birch.what.startswith("stopped: ")
        assert (birch.start.hour, birch.end.hour, birch.tasks) == (7, 9, ())
