"""A job called off leaves cartons on their way, cartons in a house and a customer who was told a day."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.waits import WaitState
from crewjobs.services.asked.telling import last_told
from tests.services.conftest import JOB, Shop


def call_off(shop: Shop) -> tuple[str, ...]:
    return shop.office.edit(4, shop.record().version, {"state": "called off"}).then


def test_what_is_on_order_and_who_was_told_is_said(shop: Shop) -> None:
    """Calling off names the cartons with their supplier and day, and who has to hear it; the job's page keeps saying it."""
    said = call_off(shop)
    order = "9 cartons of gray plank still on order from north yard, due Tue 3 Mar 10:00: stop it"
    assert any(sentence.startswith(order) for sentence in said), said
    assert any("Teo Halloran was promised Fri 13 Mar 2026: tell them" in sentence for sentence in said)
    page = shop.office.job(4)
    assert any(line.startswith(order) for line in page.site_lines)


def test_what_it_would_leave_behind_is_said_before(shop: Shop) -> None:
    """Asked before, the same is said as after it but for the undo, and nothing is called off by asking."""
    asked = shop.office.if_called_off(4)
    assert shop.office.job(4).terms["state"] == "booked"
    said = [sentence for sentence in call_off(shop) if "still open" not in sentence and "plan" not in sentence.split()]
    assert said
    assert set(said) <= set(asked), said
    assert any("9 cartons of gray plank still on order" in sentence for sentence in asked)
    assert asked[-1].endswith("still open would leave the plan.")


def test_the_supplier_is_called_until_the_order_is_settled(shop: Shop) -> None:
    """The order stays on the waiting list, its supplier to be called, until it has come or is taken out of the job."""
    call_off(shop)
    shop.office.told(4)
    (row,) = (row for row in shop.office.waiting() if row.job == 4)
    assert (row.state, row.whom) == (WaitState.TO_TELL, "north yard")
    assert "9 cartons of gray plank still on order" in row.what
    text = JOB[: JOB.index("[[order]]")].replace("number = 4\n", 'number = 4\nstate = "called off"\n')
    shop.office.load([shop.file("less.toml", text)], replace=True)
    assert [row for row in shop.office.waiting() if row.job == 4] == []
    shop.office.undo()
    shop.clock.set("2026-03-03", "10:10")
    shop.office.arrived(4, "gray plank", 9)
    (row,) = (row for row in shop.office.waiting() if row.job == 4)
    assert row.what == "called off, 9 cartons of gray plank came for it"
    assert any("9 cartons of gray plank came for it: `crewjobs returned 4`" in x for x in shop.office.job(4).site_lines)


def test_what_came_is_fetched_until_it_went_back(shop: Shop) -> None:
    """Cartons in the house of a job called off stay on the waiting list until they went back; all of them can."""
    shop.clock.set("2026-03-03", "10:10")
    shop.office.arrived(4, "gray plank", 9)
    call_off(shop)
    shop.office.told(4)
    (row,) = (row for row in shop.office.waiting() if row.job == 4)
    assert row.call.endswith('`crewjobs returned 4 "gray plank" 9`')
    shop.office.returned(4, "gray plank", 5)
    (row,) = (row for row in shop.office.waiting() if row.job == 4)
    assert "4 cartons" in row.what
    shop.clock.set("2026-03-03", "11:00")
    shop.office.returned(4, "gray plank", 4)
    assert [row for row in shop.office.waiting() if row.job == 4] == []


def test_who_counts_on_it_is_called_until_everybody_is_told(shop: Shop) -> None:
    """The crew at work, the customer and who was asked for something are each a call; one record of telling takes all off."""
    shop.office.ask(4, "painter", "the second coat")
    (first, *_) = (task for task in shop.record().tasks if task.open and not task.needs_material)
    with shop.office._database.unit_of_work(who="tester") as uow:
        record = uow.job(4)
        begun = tuple(
            replace(task, started_at=shop.clock.at, crew="Birch") if task.number == first.number else task
            for task in record.tasks
        )
        uow.save_job(record, replace(record, tasks=begun))
        uow.commit("begun", at=shop.clock.at)
    call_off(shop)

    def called() -> list[str]:
        return sorted(row.whom for row in shop.office.waiting() if row.job == 4)

    everybody = ["Birch", "Teo Halloran", "north yard", "painter"]
    assert called() == everybody
    phone = next(row.phone for row in shop.office.waiting() if row.whom == "Teo Halloran")
    assert phone == "555-0142"
    shop.clock.set("2026-03-03", "10:10")
    assert shop.office.to_tell_off(4) == ("Birch", "Teo Halloran", "the painter")
    no_finish = "`crewjobs told 4`, with no day, records everybody as told: Birch, Teo Halloran and the painter"
    with pytest.raises(Refused, match=no_finish):
        shop.office.told(4, "fri")
    assert "Birch, Teo Halloran and the painter told" in shop.office.told(4).sentence
    assert called() == ["north yard"]
    assert not any("tell them" in line for line in shop.office.job(4).site_lines)
    for record in (shop.office.told, shop.office.to_tell_off, partial(shop.office.told, day="fri")):
        with pytest.raises(Refused, match="nobody is to be told"):
            record(4)
    shop.office.undo()
    assert called() == everybody
    shop.office.told(4)
    shop.office.edit(4, shop.record().version, {"state": "booked"})
    assert [told.finish for told in shop.record().told] == [None]  # until a day is told again
    shop.office.edit(4, shop.record().version, {"state": "called off"})
    assert called() == everybody


def test_what_was_asked_to_be_recorded_is_not_taken_for_the_other(shop: Shop) -> None:
    """Called off, or booked again, by somebody else while a form was open: its answer is refused, and nobody counts as told."""
    assert shop.office.to_tell_off(4) is None
    with pytest.raises(Refused, match="job 4 is booked, not called off"):
        shop.office.told(4, off=True)
    call_off(shop)
    with pytest.raises(Refused, match="no finish is told"):
        shop.office.told(4, off=False)
    assert shop.record().told == ()
    assert "told that it is called off" in shop.office.told(4, off=True).sentence


@pytest.mark.parametrize("state", ["done", "closed"])
def test_who_was_asked_for_a_job_that_is_done_is_told_that_he_is_not_needed(shop: Shop, state: str) -> None:
    """The answer names him, the page says it in the place of what it waits for, and he is a call until he is told."""
    shop.office.told(4, "thu")
    shop.office.ask(4, "plumber", "move a pipe", promised="wed 10:00")
    words = "he plumber was asked for 'move a pipe', promised for Wed 4 Mar 10:00"
    said = shop.office.edit(4, shop.record().version, {"state": state}).then
    assert f"T{words}: tell them that it is no longer needed." in said

    def called() -> list[str]:
        return [row.what for row in shop.office.waiting() if row.job == 4]

    def page() -> list[str]:
        return [line for line in shop.office.job(4).site_lines if "plumber" in line]

    assert called() == [f"{state}, t{words}"]
    assert page() == [f"T{words}: tell them that it is no longer needed."]
    shop.clock.set("2026-03-03", "10:10")
    assert shop.office.told(4).sentence == "Job 4: the plumber told that it is no longer needed."
    assert (called(), page()) == ([], [])
    assert any("was told that it is finished" in line for line in shop.office.job(4).site_lines)
    assert last_told(shop.record()) is not None
    shop.office.undo()
    shop.office.came(4, "plumber")
    assert (called(), page()) == ([], [])


def test_who_is_told_that_a_job_is_done_is_told_again_where_it_is_called_off(shop: Shop) -> None:
    """Nobody has told the customer anything yet."""
    shop.office.ask(4, "plumber", "move a pipe")
    shop.office.edit(4, shop.record().version, {"state": "done"})
    shop.office.told(4)
    call_off(shop)
    assert {"plumber", "Teo Halloran"} <= {row.whom for row in shop.office.waiting() if row.job == 4}


def test_a_customer_is_no_call_once_the_day_has_gone_by(shop: Shop) -> None:
    """Jobs called off long ago do not fill the list: nobody counts on a day gone by."""
    call_off(shop)
    shop.clock.set("2026-03-13", "16:00")
    assert "Teo Halloran" in [row.whom for row in shop.office.waiting()]
    shop.clock.set("2026-03-14", "06:00")
    assert "Teo Halloran" not in [row.whom for row in shop.office.waiting()]


def test_no_work_is_left_of_a_job_called_off(shop: Shop) -> None:
    """Its row tells no hours that nobody will work; booked again they are there again."""
    left = shop.office.job(4).row.hours_left
    assert left > 0
    call_off(shop)
    assert shop.office.job(4).row.hours_left == 0
    shop.office.undo()
    assert shop.office.job(4).row.hours_left == left


def test_tasks_that_have_fallen_away_are_not_counted(shop: Shop) -> None:
    """The question counts what the list of jobs counts."""
    first, *_ = (task for task in shop.record().tasks if task.open)
    with shop.office._database.unit_of_work(who="tester") as uow:
        record = uow.job(4)
        last = record.tasks[-1].number
        tasks = tuple(
            replace(task, started_at=shop.clock.at, done_at=shop.clock.at)
            if task.number == first.number
            else replace(task, not_needed=True)
            if task.number == last
            else task
            for task in record.tasks
        )
        uow.save_job(record, replace(record, tasks=tasks))
        uow.commit("one done, one no longer needed", at=shop.clock.at)
    row = next(one for one in shop.office.jobs() if one.number == 4)
    said = shop.office.if_called_off(4)
    assert said[0].startswith(f"Work has begun: {row.tasks_done} of {row.tasks_all} tasks done, 0 under way")
    assert said[-1].startswith(f"{row.tasks_all - row.tasks_done} tasks still open")


def test_what_comes_to_a_job_called_off_goes_back_and_holds_nothing(shop: Shop) -> None:
    """Of cartons no clock is told, of what others bring no task it no longer holds."""
    held = shop.record().tasks[0].number
    shop.office.ask(4, "painter", "the second coat", holds=(held,))
    call_off(shop)
    shop.clock.set("2026-03-03", "10:10")
    came = shop.office.arrived(4, "gray plank", 9)
    assert came.then == ('The job is called off: send them back, `crewjobs returned 4 "gray plank" N` records it.',)
    assert shop.office.came(4, "painter").then == ()


def test_who_was_told_that_it_is_called_off_reads_so_once_it_is_booked_again(shop: Shop) -> None:
    """Not that there was no day: on the list, the job's page and the notice, until he is told the new one."""
    shop.office.plan()
    call_off(shop)
    shop.office.told(4)
    assert [one.off for one in shop.record().told] == [True]
    shop.office.edit(4, shop.record().version, {"state": "booked"})
    shop.office.plan()
    [row] = [row for row in shop.office.waiting() if row.state is WaitState.TO_TELL]
    assert row.what.endswith("told last was that the job is called off")
    assert any(line.endswith("that it is called off") for line in shop.office.job(4).site_lines)
    notice = " ".join(shop.office.page_text(shop.office.notice(4)).split())
    assert "Before, you were told that your floor is called off: this is newer." in notice
    shop.office.told(4)
    notice = " ".join(shop.office.page_text(shop.office.notice(4)).split())
    assert "Before, you were told" not in notice
