"""Third floor, site hours and an elevator slot: a truck twenty minutes late moves the finish, and the call is listed."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wording import day_words
from crewjobs.screens.widgets.waits import ready
from crewjobs.services.waiting.calls import calls as to_call
from tests.builders import central
from tests.services.conftest import JOB, SHOP, Shop, kept

HOUSE = (
    JOB.replace("promised = 2026-03-13", "promised = 2026-03-10")
    .replace("cartons = 9", "cartons = 30")
    .replace(
        "year_built = 1994",
        'year_built = 1994\nflights_up = 3\nhours = { mon-fri = "9:00-16:00" }\nelevator = { mon-fri = "9:00-11:00" }',
    )
    .replace('length = "14\' 6"', 'length = "28 ft"')
    .replace('width = "12\' 3 1/2"', 'width = "22 ft"')
    .replace('layers = ["carpet"]\n', "")
    .replace('patch = "20 ft2"\n', "")
    .replace("2026-03-03 10:00", "2026-03-04 09:00")
)


def make_shop(shop: Shop) -> None:
    """30 cartons due Wednesday 9:00; the customer was told the finish of that plan."""
    office = shop.office
    office.load([shop.file("shop.toml", SHOP), shop.file("flat.toml", HOUSE)])
    shop.ready()
    office.tick(4, [shop.number_of("room-reading"), shop.number_of("walk-through-before")])
    office.plan()
    office.told(4)


shop = kept(make_shop)


def visits(shop, word):
    weeks = [shop.office.week(day) for day in (date(2026, 3, 2), date(2026, 3, 9))]
    return [v for week in weeks for d in week.days for v in d.visits if word in v.what]


def placed(shop, template):
    """Where the plan in force has a task."""
    number = shop.number_of(template)
    with shop.office._database.reading() as uow:
        return next(p for p in uow.latest_plan().placements if number in p.tasks)


def laid_from(shop):
    """When the plan in force lays the first row."""
    return placed(shop, "lay-click-vinyl").start


def calls(shop):
    return [row for row in shop.office.waiting() if row.state is WaitState.TO_TELL]


def missed(shop):
    """The truck comes at 11:20; what was carried in Thursday by 11:00 is told, and the week is planned again."""
    shop.clock.set("2026-03-04", "11:20")
    shop.office.arrived(4, "gray plank", 30)
    shop.office.tick(4, [shop.number_of("count-lot-check")])
    shop.clock.set("2026-03-04", "12:00")
    return shop.office.plan()


def test_in_by_eleven_is_ready_two_days_later(shop):
    """Carried in Wednesday by 11:00, ready Friday 11:00, laid that same day; nobody is to be called."""
    shop.clock.set("2026-03-04", "11:00")
    shop.office.arrived(4, "gray plank", 30)
    shop.office.tick(4, [shop.number_of("count-lot-check"), shop.number_of("carry-in")])
    shop.office.plan()
    row = next(row for row in shop.office.waiting() if row.state is WaitState.ACCLIMATING)
    assert row.ready_at == central("2026-03-06", "11:00")
    assert central("2026-03-06", "11:00") <= laid_from(shop) < central("2026-03-06", "16:00")
    assert calls(shop) == []


def test_a_truck_at_twenty_past_misses_the_slot_and_the_call_is_listed(shop):
    """Carried in on Thursday's slot, ready Saturday, first laid Monday 9:00; the later finish is said and listed."""
    told = shop.record().told[-1].finish
    done = missed(shop)
    carry = placed(shop, "carry-in")
    assert central("2026-03-05", "09:00") <= carry.start < carry.end <= central("2026-03-05", "11:00")
    shop.clock.set("2026-03-05", "11:00")
    shop.office.tick(4, [shop.number_of("carry-in")])
    shop.office.plan()
    ready = next(row for row in shop.office.waiting() if row.state is WaitState.ACCLIMATING)
    assert ready.ready_at == central("2026-03-07", "11:00")
    assert min(v.start for v in visits(shop, "install")) == central("2026-03-09", "09:00")
    finish = shop.office.jobs()[0].planned_finish.date()
    assert finish > told
    (call,) = calls(shop)
    words = f"finish moves from {told:%a} {told.day} {told:%b} to {finish:%a} {finish.day} {finish:%b}"
    assert call.what == words
    assert call.call == "tell Teo Halloran, then `crewjobs told 4`"
    assert f"Job 4: {words}." in done.then
    assert (call.phone, ready.phone) == ("555-0142", "")


def test_told_is_off_the_list_until_it_moves_again(shop):
    """The new day told, nobody is to be called; a plan that comes back to the old day is told again."""
    missed(shop)
    assert calls(shop)
    done = shop.office.told(4)
    assert "told that it is finished" in done.sentence
    assert calls(shop) == []
    shop.office.told(4, "2026-03-31")
    assert calls(shop)[0].what.startswith("finish moves from Tue 31 Mar to ")


def test_a_promise_kept_early_is_no_call_and_a_late_one_is(shop):
    """Nobody was told a day: against the promise only a later finish is to be told."""
    shop.office.undo()
    finish = shop.office.jobs()[0].planned_finish.date()
    version = shop.record().version
    shop.office.edit(4, version, {"promised": "2026-03-20"})
    assert calls(shop) == []
    shop.office.edit(4, version + 1, {"promised": "2026-03-05"})
    (call,) = calls(shop)
    assert call.what == f"finish moves from Thu 5 Mar to {finish:%a} {finish.day} {finish:%b}"


def rows_to_call(shop):
    """Whom the call list at the top of Waiting names for telling a day."""
    return [
        call for call in to_call(shop.office.waiting()) if any(one.state is WaitState.TO_TELL for one in call.about)
    ]


def test_a_finish_that_has_gone_by_is_no_day_to_tell(shop):
    """Nothing ticked since: the list says to tick or plan again first, calls nobody, and the command for it says the same."""
    missed(shop)
    (call,) = calls(shop)
    assert (call.whom, call.tick_first) == ("Teo Halloran", False)
    assert rows_to_call(shop)
    told, finish = shop.record().told[-1].finish, shop.office.jobs()[0].planned_finish.date()
    shop.clock.set(f"{finish + timedelta(days=3)}", "08:00")
    (call,) = calls(shop)
    assert (
        call.what == f"finish told for {day_words(told)}, planned for {day_words(finish)}: work before it is not ticked"
    )
    assert call.call == "tick what is done, or plan again; then tell Teo Halloran the day it ends"
    assert (call.whom, call.tick_first, ready(call)) == ("", True, "tick first")
    assert rows_to_call(shop) == []
    assert shop.office.jobs()[0].unticked
    with pytest.raises(
        Refused, match=f"finishes job 4 {day_words(finish)}, which has gone by: tick what is done or plan"
    ):
        shop.office.told(4)
    shop.office.plan()
    (call,) = calls(shop)
    assert not call.tick_first
    assert shop.office.told(4).change
    assert calls(shop) == []


def test_a_finish_to_come_is_no_day_to_tell_while_the_work_before_it_is_not_ticked(shop):
    """The carrying in was planned for Thursday and nobody ticked it: when it ends then nobody knows."""
    missed(shop)
    finish = shop.office.jobs()[0].planned_finish.date()
    shop.clock.set("2026-03-06", "08:00")
    assert finish > date(2026, 3, 6)
    (call,) = calls(shop)
    assert call.tick_first
    assert rows_to_call(shop) == []
    assert shop.office.jobs()[0].unticked
    with pytest.raises(
        Refused, match=f"finishes job 4 {day_words(finish)}, but work before it is not ticked: tick what"
    ):
        shop.office.told(4)
    assert shop.office.told(4, f"{finish}").change  # who was told that day all the same was told it


def test_a_day_gone_by_and_a_job_without_a_plan_are_refused(shop):
    """One sentence each."""
    with pytest.raises(Refused, match="Sun 1 Mar 2026 has gone by: tell a day to come"):
        shop.office.told(4, "2026-03-01")
    shop.office.load([shop.file("more.toml", HOUSE.replace("number = 4", "number = 5"))])
    with pytest.raises(Refused, match="the plan in force does not finish job 5: say the day that was told"):
        shop.office.told(5)


def test_a_finish_told_and_lost_altogether_is_a_call_until_it_is_told_and_so_is_the_next_day(shop):
    """Nothing of the work has a place: the day told does not hold, and when there is one again it is told as well."""
    told = day_words(shop.record().told[-1].finish)
    shop.office.ask(4, "inspector", "a look at it", holds=[t.number for t in shop.record().tasks if t.open])
    shop.office.plan()
    (call,) = calls(shop)
    assert call.what == f"finish told for {told}: now nothing of it has a place"
    assert call.call == f"tell Teo Halloran that {told} does not hold and no day is known yet, then `crewjobs told 4`"
    assert call.whom == "Teo Halloran"
    shop.clock.set("2026-03-02", "12:00")
    done = shop.office.told(4)
    assert done.sentence == f"Job 4: Teo Halloran told that {told} does not hold and no day is known yet."
    assert calls(shop) == []
    assert any(
        "was told Mon 2 Mar 12:00 that there is no day for its finish" in line for line in shop.office.job(4).site_lines
    )
    with pytest.raises(Refused, match="does not finish job 4: say the day that was told"):
        shop.office.told(4)
    shop.office.undo()
    assert len(calls(shop)) == 1
    shop.office.told(4)
    shop.office.came(4, "inspector")
    shop.office.plan()
    finish = shop.office.jobs()[0].planned_finish.date()
    (call,) = calls(shop)
    assert call.what == f"finish has a day again, {day_words(finish)}: told last was that there is none"
    shop.clock.set("2026-03-02", "12:10")
    shop.office.told(4)
    assert shop.record().told[-1].finish == finish
    assert calls(shop) == []


@pytest.mark.parametrize("by_file", [True, False])
def test_who_was_told_of_no_day_is_told_anew_that_a_job_is_called_off(shop, by_file):
    """That no day is known is not that nobody comes."""
    shop.office.ask(4, "inspector", "a look at it", holds=[t.number for t in shop.record().tasks if t.open])
    shop.office.plan()
    shop.clock.set("2026-03-02", "12:00")
    shop.office.told(4)
    if by_file:
        text = HOUSE.replace("number = 4", 'number = 4\nstate = "called off"')
        shop.office.load([shop.file("off.toml", text)], replace=True)
    else:
        shop.office.edit(4, shop.record().version, {"state": "called off"})
    assert {row.whom for row in calls(shop)} >= {"Teo Halloran", "inspector"}
