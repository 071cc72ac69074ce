"""The week, the list of jobs and the waiting list as people read them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from crewjobs.cli.job import job_text
from crewjobs.cli.jobs import jobs_text
from crewjobs.cli.week import week_text
from crewjobs.domain.errors import Refused
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import day_words, moment_words
from crewjobs.engines.readiness.holds import holds
from crewjobs.screens.widgets.site_day import next_task
from crewjobs.services.answers.moved_visit import moved_visit
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.demonstration.demo import demo_office
from crewjobs.services.jobs.known import WOOD_READING
from crewjobs.services.office import Office
from crewjobs.services.weeks.visits import planned
from crewjobs.storage.database import open_database
from tests.services.conftest import JOB, SHOP


@pytest.fixture
def demo(demo_made):
    """The demo shop, planned; tests only look."""
    return demo_office(demo_made)


def test_before_a_plan_the_week_says_so(shop):
    """No plan: an empty week, number 0, and the pages are refused with the way."""
    assert shop.office.week().plan_number == 0
    with pytest.raises(Refused, match="nothing is planned yet"):
        shop.office.site_day("Birch")


def test_the_first_planning_that_is_stopped_says_that_nothing_is_planned(shop):
    """Only where there is no plan is planning refused for a stop: no plan is in force that could stay."""
    with pytest.raises(Refused) as refused:
        shop.office.plan(stop=lambda: True)
    assert refused.value.sentences == ("planning was stopped; nothing is planned yet.",)
    assert shop.office.week().plan_number == 0


def test_a_planned_job_stands_in_the_week_to_its_end(shop):
    """Every open task of the job is in a visit of the coming weeks, and the promise is said to hold."""
    shop.office.plan()
    weeks = [shop.office.week(date(2026, 3, 2) + timedelta(days=7 * n)) for n in range(3)]
    tasks = {task for view in weeks for day in view.days for visit in day.visits for task in visit.tasks}
    assert tasks == {task.number for task in shop.record().tasks if task.open}
    assert [(row.job, row.holds) for row in weeks[0].promises] == [(4, True)]
    assert weeks[0].left_out == ()


def test_a_change_makes_the_plan_stale_until_it_is_planned_again(shop):
    """A tick that moves nothing leaves the plan as it is; a person out who is missed is named; planning again clears it."""
    shop.office.plan()
    assert shop.office.week().stale == ""
    shop.office.tick(4, [shop.record().tasks[0].number], because="set up by the test")
    assert shop.office.week().stale == ""
    days = [day for day in shop.office.week().days if day.visits]
    crew = days[0].visits[0].crew
    shop.office.pin(4, days[0].visits[0].tasks[-1:], crew, days[0].day + timedelta(days=1))
    assert shop.office.week().stale.startswith("2 changes since this plan was made, the last: job 4")
    shop.office.plan()
    assert shop.office.week().stale == ""


def test_days_that_went_by_without_a_tick_are_said_and_nothing_holds_by_them(shop):
    """A week after the plan with nothing ticked: the unticked job and its first day are named, its promise not kept.

    While the promised day is still to come the row says what to do; until the evening of the first day nothing is said.
    """
    shop.office.plan()
    (row,) = shop.office.week().promises
    first = min(day.day for day in shop.office.week().days if day.visits)
    shop.clock.set(first.isoformat(), "23:00")
    assert shop.office.week().stale == ""
    shop.clock.set((first + timedelta(days=1)).isoformat(), "06:00")
    assert "(job 4, since " in shop.office.week().stale
    over = row.finish.date() + timedelta(days=1)
    assert over <= row.promised
    shop.clock.set(over.isoformat(), "06:00")
    (later,) = shop.office.week().promises
    assert (later.holds, later.word) == (False, "not ticked: tick it or plan again")
    why = shop.office.why(4)
    assert why.stale == shop.office.week().stale
    assert (why.job.holds, why.job.promise[0].endswith("it is not all ticked: tick what is done, or plan again.")) == (
        False,
        True,
    )
    shop.clock.set((row.promised + timedelta(days=1)).isoformat(), "06:00")
    (missed,) = shop.office.week().promises
    assert (missed.holds, missed.overdue, missed.word) == (False, False, "not ticked, DOES NOT HOLD")
    end = f"{row.finish:%a %d %b}"
    assert f"planned end {end}: not ticked, DOES NOT HOLD" in week_text(shop.office.week())
    (listed,) = shop.office.jobs()
    assert listed.late
    assert f"{end} NOT TICKED, LATE\n" in jobs_text((listed,))
    sheet = shop.office.week_sheet()
    assert [one.planned for one in sheet.promises] == [f"planned end {day_words(row.finish.date())}"]
    shop.office.plan()
    assert "not ticked" not in shop.office.week().stale


def test_no_promise_is_said_to_hold_while_work_of_an_earlier_day_is_not_ticked(shop):
    """Work of the first day is not ticked, the finish is days ahead: from the next morning nobody can tell whether it holds.

    In its evening it may still be ticked; what is planned again is counted on as before.
    """
    shop.office.plan()
    (row,) = shop.office.week().promises
    with shop.office._database.reading() as uow:
        times = planned(uow).task_minutes(uow.job(4))
    first = min(end for _, end in times.values())
    day = first.date()
    assert day < row.finish.date() <= row.promised
    assert (row.holds, row.overdue, shop.office.why(4).job.holds) == (True, False, True)
    shop.clock.set(day.isoformat(), "23:00")
    assert shop.office.week().promises == (row,)
    shop.clock.set((day + timedelta(days=1)).isoformat(), "06:00")
    (later,) = shop.office.week().promises
    assert (later.holds, later.overdue, later.slack_min) == (False, True, None)
    assert later.word == "not ticked: tick it or plan again"
    assert "not ticked: tick it or plan again" in week_text(shop.office.week())
    (listed,) = shop.office.jobs()
    assert (listed.late, listed.unticked_since, listed.unticked) == (False, day, f"not ticked since {day_words(day)}")
    text = jobs_text((listed,))
    assert f"{row.finish:%a %d %b} NOT TICKED\n" in text
    assert f"job 4: not ticked since {day_words(day)}" in text
    assert f"Not ticked since {day_words(day)}: tick what is done" in job_text(shop.office.job(4), everything=False)
    why = shop.office.why(4).job
    assert why.holds is False
    assert why.promise == (
        f"Promised {day_words(row.promised)}: whether it holds cannot be told, work planned before today is not ticked "
        f"(since {day_words(day)}): tick what is done, or plan again.",
    )
    shop.office.plan()
    (again,) = shop.office.week().promises
    assert again.overdue is False
    assert again.word in ("holds", "DOES NOT HOLD")
    (listed,) = shop.office.jobs()
    assert (listed.unticked_since, "NOT TICKED" in jobs_text((listed,))) == (None, False)


def test_no_promise_is_said_to_hold_once_the_planned_end_of_its_job_is_gone_by_unticked(demo_made):
    """In the evening of that day, too, when the next day's pages are printed: there is no time to spare by what nobody has ticked."""
    told = {}
    for clock in ("11:00", "17:30"):
        hour, minute = map(int, clock.split(":"))
        now = to_utc("America/Chicago", date(2026, 3, 2), hour * 60 + minute)
        office = Office(open_database(demo_made, create=False), FixedClock(now))
        told[clock] = {row.job: row for row in office.week(date(2026, 3, 2)).promises}
    assert [told["11:00"][job].word for job in (10, 14, 1)] == ["holds"] * 3
    late = [told["17:30"][job] for job in (10, 14)]
    assert [(row.word, row.spare_words) for row in late] == [("not ticked: tick it or plan again", "")] * 2
    assert told["17:30"][1].word == "holds", "its work goes on tomorrow"


def test_a_promise_gone_by_with_work_left_is_late_without_a_finish_too(shop):
    """No plan at all: until the evening of the promised day the job is only not planned to its end, after it late."""
    promised = shop.record().job.promised
    for days, late in ((0, False), (1, True)):
        shop.clock.set((promised + timedelta(days=days)).isoformat(), "20:00")
        (row,) = shop.office.jobs()
        assert (row.planned_finish, row.endless, row.late) == (None, True, late)
        assert ("none LATE" in jobs_text((row,))) == late


def test_a_quoted_job_is_left_out_with_its_reason(shop):
    """Only booked jobs are planned; the others say why."""
    shop.office.load([shop.file("quoted.toml", JOB.replace("number = 4", 'number = 5\nstate = "quoted"'))])
    shop.office.plan()
    assert [(row.job, "quoted" in row.why) for row in shop.office.week().left_out] == [(5, True)]


def test_visits_lie_inside_the_crews_hours(demo):
    """Across four weeks no visit starts or ends outside its crew's day."""
    with demo._database.reading() as uow:
        hours = {crew.name: crew.hours for crew in uow.shop().crews}
    for n in range(4):
        for day in demo.week(date(2026, 3, 2) + timedelta(days=7 * n)).days:
            for visit in day.visits:
                spans = hours[visit.crew].on(day.day)
                assert spans, visit
                first, last = spans[0].start, spans[-1].end
                assert first <= visit.start.hour * 60 + visit.start.minute
                assert visit.end.hour * 60 + visit.end.minute <= last


def test_every_job_is_planned_or_says_why(demo):
    """Each open job stands in the plan or in the list of what is left out."""
    views = [demo.week(date(2026, 3, 2) + timedelta(days=7 * n)) for n in range(4)]
    planned = {visit.job for view in views for day in view.days for visit in day.visits}
    left = {row.job: row.why for row in views[0].left_out}
    assert {row.number for row in demo.jobs()} == planned | set(left)
    assert all(why.strip() for why in left.values())


def test_the_waiting_list_is_worst_first(demo):
    """Not ordered, late, due, then what runs, then what is ready; each row says what it holds back, calls to a
    customer apart.
    """
    rows = demo.waiting()
    ranks = [row.state.rank for row in rows]
    assert ranks == sorted(ranks)
    assert {row.state.value for row in rows} >= {"not ordered", "late", "due", "acclimating", "running", "ready"}
    assert all(row.holds for row in rows if row.state.value not in ("to tell", "asked"))
    assert all(row.call for row in rows if row.state.value in ("not ordered", "late"))


def test_waits_run_beside_the_work(demo):
    """The leveler that cures on Monday is a wait of Monday and ends there."""
    monday = demo.week().days[0]
    ends = [wait.end for wait in monday.waits if wait.job == 4 and "eveler" in wait.what]
    assert [(end.hour, end.minute) for end in ends] == [(15, 30)]


def test_the_crews_day_on_site_has_every_planned_task_once(demo):
    """On site shows the same tasks as the week's visits, with a time each, in order."""
    day = demo.site_day("Cedar")
    shown = [task.number for house in day.houses for task in house.tasks]
    visits = [v for d in demo.week().days if d.day == date(2026, 3, 2) for v in d.visits if v.crew == "Cedar"]
    assert shown == [task for visit in visits for task in visit.tasks]
    times = [datetime.strptime(task.time, "%H:%M") for task in day.houses[0].tasks]
    assert times == sorted(times)


def test_the_only_toilet_out_over_night_is_said(demo):
    """Job 2 has one toilet and a glue-down floor: the plan names the nights and what may be agreed."""
    (warning,) = [one for one in demo.week().warnings if "toilet listed" in one]
    assert warning.startswith("Job 2 Bath and back hall, one toilet: the only toilet listed is out from")
    assert "rented toilet" in warning


def test_a_toilet_that_is_back_is_no_warning_any_more(demo):
    """Weeks after the one in which the toilet is back do not warn of it."""
    assert not [one for one in demo.week(date(2026, 3, 9)).warnings if "toilet listed" in one]


def test_a_crew_sent_for_want_of_people_says_so(demo):
    """Job 12 has a piece three people carry and a crew of two: the third crew's short visit says why."""
    days = [d for week in (9, 16) for d in demo.week(date(2026, 3, week)).days]
    visits = [v for d in days for v in d.visits if v.job == 12 and v.crew == "Birch"]
    assert visits
    assert all("takes 3 people, Cedar crew has 2" in v.reason for v in visits)


def test_a_sample_goes_to_the_laboratory_first(shop):
    """A suspect layer: the inspector is met within the first two days, long before the house is opened."""
    suspect = JOB.replace("number = 4", "number = 5").replace('layers = ["carpet"]', 'layers = ["sheet vinyl"]')
    shop.office.load([shop.file("suspect.toml", suspect)])
    shop.office.plan()
    page = shop.office.job(5)
    when = {task.title.split(",")[0]: task.planned for task in page.tasks}
    assert when["Old floor sampled by an accredited inspector"][:10] in ("Mon 2 Mar ", "Tue 3 Mar ")
    removal = next(task for task in page.tasks if task.title.startswith("Sheet vinyl"))
    assert removal.planned[:10] not in ("Mon 2 Mar ", "Tue 3 Mar ", "Wed 4 Mar ", "Thu 5 Mar ", "Fri 6 Mar ")


def test_the_days_own_order_is_no_hold(demo):
    """On site a task that only follows another task of the day shows no hold; one that waits for more does."""
    tasks = [task for house in demo.site_day("Rowan").houses for task in house.tasks]
    assert [task.hold for task in tasks if task.phase == "demolition"] == [""] * len(
        [task for task in tasks if task.phase == "demolition"]
    )
    days = [demo.site_day(crew, date(2026, 3, day)) for crew in demo.crews() for day in (3, 4)]
    assert any("is not done" in task.hold for day in days for house in day.houses for task in house.tasks)


def test_only_what_may_begin_is_next_on_site(demo):
    """A task whose predecessor of the same day is itself on hold is on hold too and says why; what is `behind` is no next task."""
    behind = held = 0
    for day in (demo.site_day(crew, date(2026, 3, day)) for crew in demo.crews() for day in range(2, 7)):
        for house in day.houses:
            with demo._database.reading() as uow:
                record, now = uow.job(house.job), demo.now()
            free = {task.number for task in house.tasks if not task.hold and not task.behind}
            assert all(not record.task(n).open or not holds(record, record.task(n), now) for n in free)
            before = {
                link.after: link.before for link in record.links if link.before in {t.number for t in house.tasks}
            }
            ahead = {task.number: task for task in house.tasks}
            for task in house.tasks:
                behind += task.behind
                if task.number in before and ahead[before[task.number]].hold:
                    held += 1
                    assert task.hold
        nearest = next_task(day)
        assert nearest is None or not (nearest.hold or nearest.behind)
    assert behind
    assert held


def test_boards_are_read_a_day_before_they_are_laid(demo):
    """The plan has the reading of wood on a day before its laying, so that a wet board is a call and not a lost visit."""
    with demo._database.reading() as uow:
        plan, records, zone = uow.latest_plan(), uow.live_jobs(), uow.shop().zone
    placed = {(p.key.job, task): p for p in plan.placements for task in p.tasks}
    compared = 0
    for record in records:
        days = {task.number: placed.get((record.job.number, task.number)) for task in record.tasks}
        for reading in (task for task in record.tasks if task.key.template == WOOD_READING and days[task.number]):
            read_on = to_wall(zone, days[reading.number].end).date()
            for task in record.tasks:
                if task.needs_material == reading.key.scope.name and days[task.number]:
                    assert read_on < to_wall(zone, days[task.number].start).date()
                    compared += 1
    assert compared


def test_a_pin_keeps_the_visit_together_where_the_day_crosses_utc_midnight(empty_shop):
    """In Auckland a working day lies on two UTC dates: every block that begins that local day is pinned."""
    shop = SHOP.replace("America/Chicago", "Pacific/Auckland")
    empty_shop.office.load([empty_shop.file("shop.toml", shop), empty_shop.file("den.toml", JOB)])
    empty_shop.office.plan()
    with empty_shop.office._database.reading() as uow:
        plan = uow.latest_plan()
    by_day = defaultdict(list)
    for placement in plan.placements:
        by_day[to_wall("Pacific/Auckland", placement.start).date()].append(placement)
    day, crossing = next((d, ps) for d, ps in by_day.items() if len({p.start.date() for p in ps}) == 2)
    tasks = [p.tasks[0] for p in crossing]
    later = day + timedelta(days=7)
    empty_shop.office.pin(4, tasks, crossing[0].crew, later, visit=True)
    with empty_shop.office._database.reading() as uow:
        assert {(pin.task, pin.day) for pin in uow.pins()} == {(task, later) for task in tasks}


def test_every_task_that_is_named_is_pinned_and_of_a_visit_what_begins_in_it(empty_shop):
    """Tasks of two days: named one by one all are pinned; of a visit the one that only goes on is not, and that is said.

    What is done already is passed over, and that is said, too.
    """
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", JOB)])
    empty_shop.office.plan()
    days = [day for day in empty_shop.office.week().days if day.visits]
    first, second = days[0].visits[0].tasks[0], days[1].visits[0].tasks[-1]
    crew, later = days[0].visits[0].crew, days[-1].day + timedelta(days=7)
    done = empty_shop.office.pin(4, [first, second], crew, later, visit=True)
    assert any(word.startswith(f"Not pinned: task {first} ") for word in done.then)
    with empty_shop.office._database.reading() as uow:
        assert {pin.task for pin in uow.pins()} == {second}
    done = empty_shop.office.pin(4, [first, second], crew, later)
    with empty_shop.office._database.reading() as uow:
        assert {pin.task for pin in uow.pins()} == {first, second}
    empty_shop.office.tick(4, [first], because="set up by the test")
    done = empty_shop.office.pin(4, [first, second], crew, later)
    assert any(word.startswith(f"Passed over: task {first} ") for word in done.then)


def test_the_week_says_who_is_not_with_their_crew(shop):
    """Out, lent and by themselves stand on their own day, before there is a plan and after, with the reason."""
    shop.office.away("Rém", date(2026, 3, 4), because="a tooth")
    shop.office.away("Tobiah", date(2026, 3, 4), to="Cedar")
    shop.office.away("Dario", date(2026, 3, 5), to="Cedar two")
    wanted = {
        date(2026, 3, 4): ("Rém Achterberg out (a tooth)", "Tobiah Lund with Cedar"),
        date(2026, 3, 5): ("Dario Nkemelu by themselves as 'Cedar two'",),
    }
    for _ in range(2):
        view = shop.office.week()
        assert {day.day: tuple(sorted(day.away)) for day in view.days if day.away} == wanted
        assert "Rém Achterberg out (a tooth)" in week_text(view)
        sheet = [line for cell in shop.office.week_sheet().beside for line in cell.away]
        assert "Dario Nkemelu by themselves as 'Cedar two'" in sheet
        shop.office.plan()


def test_a_week_shows_its_own_promises_and_those_that_do_not_hold(shop):
    """What holds for another week is counted only; broken, it stands on every week until it is mended."""
    shop.office.plan()
    this, next_one = (shop.office.week(date(2026, 3, day)) for day in (2, 9))
    assert [row.job for row in this.promises] == [4]
    assert (this.due, this.not_due) == ((), "1 promise for another week holds.")
    assert ([row.job for row in next_one.due], next_one.not_due) == ([4], "")
    assert "job 4 Den, Quarry Road: promised" in week_text(next_one)
    assert "job 4 Den, Quarry Road: promised" not in week_text(this)
    for chance, said in (
        (0.9, "holds by the plan."),
        (0.62, "holds by the plan; odds under 80 %: job 4 (62 %)."),
        (0.798, "holds by the plan; odds under 80 %: job 4 (just under)."),
    ):
        with_odds = replace(this, promises=(replace(this.promises[0], chance=chance),))
        assert with_odds.not_due == f"1 promise for another week {said}"
        assert with_odds.promises[0].word == "holds by the plan"
    shop.office.edit(4, shop.record().version, {"promised": "2026-03-03"})
    for day in (2, 9, 23):
        (row,) = shop.office.week(date(2026, 3, day)).due
        assert not row.holds


def test_a_visit_is_named_by_its_job_and_day(demo):
    """A visit moved in words is the very one the week's Try it moves; a day or crew without one is refused."""
    day, to = date(2026, 3, 4), date(2026, 3, 5)
    view = demo.week(day)
    (visit,) = [one for on in view.days if on.day == day for one in on.visits if one.job == 4]
    assert moved_visit(view, 4, day, "", "Cedar", to, day) == (4, visit.tasks, "Cedar", to)
    two = replace(view, days=tuple(replace(on, visits=(*on.visits, replace(visit, crew="Elm"))) for on in view.days))
    assert moved_visit(two, 4, day, "elm", "Cedar", to, day)[1] == visit.tasks
    with pytest.raises(Refused, match="Birch and Elm on Wed 4 Mar: say which"):
        moved_visit(two, 4, day, "", "Cedar", to, day)
    with pytest.raises(Refused, match="no visit on Wed 4 Mar"):
        moved_visit(view, 9, day, "", "Cedar", to, day)
    with pytest.raises(Refused, match="Rowan is not at job 4"):
        moved_visit(view, 4, day, "Rowan", "Cedar", to, day)
    with pytest.raises(Refused, match="no visit on Wed 4 Mar 2026 that"):
        moved_visit(view, 9, day, "", "Cedar", to, date(2027, 1, 4))


def test_the_list_names_first_what_stops_the_next_work(demo):
    """Job 3's demolition waits for laboratory and plumber, its laying for planks a week later: the list names the two."""
    waits = next(row.waits_for for row in demo.jobs() if row.number == 3)
    assert waits == "the laboratory, promised for Tue 3 Mar 10:00; the plumber, promised for Thu 5 Mar 09:00"


def test_what_is_due_is_ready_where_the_plan_has_it_carried_in(demo):
    """Waiting list, job page and the table of material name the week's own instant, and say that it is the plan's."""
    today = demo.now().date()
    days = [day for week in range(3) for day in demo.week(today + timedelta(days=7 * week)).days]
    ends = {(wait.job, wait.what): wait.end for day in days for wait in day.waits}
    due = [row for row in demo.waiting() if row.state is WaitState.DUE and "cartons" in row.what]
    assert {row.job for row in due} == {3, 6, 12}
    columns = demo.export("material").columns
    lines = [dict(zip(columns, line, strict=True)) for line in demo.export("material").rows]
    table = {(line["job"], line["material"]): line["ready at"] for line in lines if line["what"] == "material"}
    for row in due:
        name = row.what.partition(",")[0]
        assert row.ready_at == ends[row.job, f"{name} acclimates"]
        assert row.basis == "as planned, by hours only"
        assert table[row.job, name] == f"{row.ready_at:%Y-%m-%d %H:%M}"
        (material,) = [one for one in demo.job(row.job).materials if one.name == name]
        assert moment_words(row.ready_at) in material.status


def test_before_a_plan_what_is_due_is_ready_from_the_promised_delivery(shop):
    """And it is said to be so."""
    (row,) = [row for row in shop.office.waiting() if row.state is WaitState.DUE and row.what.startswith("gray plank")]
    assert row.basis == "from the promised delivery, by hours only"


def test_what_has_come_is_no_reason_that_it_is_due(demo_file):
    """Job 12's maple, planned for when it was due, came early, and nothing in the plan had to move."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester")
    due = [v.reason for d in office.week(date(2026, 3, 9)).days for v in d.visits if v.job == 12]
    assert due[0].startswith("creek maple is due")
    office.arrived(12, "creek maple", 10, lot="A")
    reasons = [v.reason for d in office.week(date(2026, 3, 9)).days for v in d.visits if v.job == 12]
    assert reasons == ["creek maple has come", *due[1:]]


def test_a_week_whose_work_is_over_says_when_the_next_is(demo_made):
    """On its last evenings; not while a crew still has work in it, nor of another week."""

    def at(day: int) -> Office:
        moment = to_utc("America/Chicago", date(2026, 3, day), 18 * 60)
        return Office(open_database(demo_made, create=False), FixedClock(moment), who="tester")

    assert at(3).week().after == ""
    sunday, coming = at(8).week(), at(8).week(date(2026, 3, 9))
    first = min((visit for day in coming.days for visit in day.visits), key=lambda visit: visit.start)
    assert sunday.after.startswith("Nothing more is planned in this week; next is Mon 9 Mar ")
    assert f"{first.start:%H:%M}, {first.crew} at job {first.job}." in sunday.after
    assert sunday.after in " ".join(week_text(sunday).split())
    assert coming.after == ""
