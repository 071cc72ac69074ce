"""Ticking on site: what is refused, what is kept, what a tick sets in motion."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from tests.builders import central


def carried_in(shop, day="2026-03-06", clock="14:00"):
    shop.clock.set(day, clock)
    shop.office.arrived(4, "", 9, in_rooms=True)


def everything_before(shop, template):
    """Tick all that a task waits for, reason given, so that only the material can hold it."""
    record = shop.record()
    target = shop.number_of(template)
    ahead, todo = set(), [target]
    while todo:
        number = todo.pop()
        for link in record.links:
            if link.after == number and link.before not in ahead:
                ahead.add(link.before)
                todo.append(link.before)
    still = [task.number for task in record.tasks if task.number in ahead and task.open]
    if still:
        shop.office.tick(4, still, because="set up by the test")


def test_laying_is_refused_until_the_planks_are_ready_across_the_clock_change(shop):
    """In at Friday 14:00, 48 h: at Sunday 14:30 the tick is refused with Sunday 15:00; at 15:00 it is taken."""
    carried_in(shop)
    everything_before(shop, "lay-click-vinyl")
    lay = shop.number_of("lay-click-vinyl")
    shop.clock.set("2026-03-08", "14:30")
    with pytest.raises(Refused, match=r"on hold: lot A of gray plank acclimates 48 h, until Sun 8 Mar 15:00"):
        shop.office.tick(4, [lay])
    assert shop.record().task(lay).open
    shop.clock.set("2026-03-08", "15:00")
    assert "done Sun 8 Mar 15:00" in shop.office.tick(4, [lay]).sentence


def test_a_reason_passes_a_hold_and_is_kept_with_what_was_seen(shop):
    """`because` records the tick, the reason and the facts that were seen."""
    carried_in(shop)
    everything_before(shop, "lay-click-vinyl")
    lay = shop.number_of("lay-click-vinyl")
    shop.clock.set("2026-03-07", "09:00")
    shop.office.tick(4, [lay], because="maker allows none at 70 °F, sheet in the file")
    passed = shop.record().passed[-1]
    assert passed.task == lay
    assert passed.because == "maker allows none at 70 °F, sheet in the file"
    assert "until Sun 8 Mar 15:00" in passed.seen[0]
    (told,) = [words for words in shop.office.job(4).passed if words.startswith("Sat 7 Mar 09:00")]
    assert told.endswith("Done all the same: maker allows none at 70 °F, sheet in the file")


def test_a_tick_for_yesterday_starts_the_cure_yesterday(shop):
    """A patch ticked this morning with --at yesterday 16:00 dries from yesterday 16:00."""
    shop.clock.set("2026-03-04", "07:00")
    patch = shop.number_of("patch")
    done = shop.office.tick(4, [patch], at="yesterday 16:00", because="told by phone")
    assert shop.record().task(patch).done_at == central("2026-03-03", "16:00")
    assert "Tue 3 Mar 16:00" in done.sentence


def test_what_is_done_cannot_be_ticked_again(shop):
    """The second tick is refused with the moment of the first, and changes nothing."""
    first = shop.record().tasks[0].number
    shop.office.tick(4, [first])
    version = shop.record().version
    with pytest.raises(Refused, match="is done already, since Mon 2 Mar 06:30"):
        shop.office.tick(4, [first])
    assert shop.record().version == version


def test_several_ticks_are_all_or_none(shop):
    """One task on hold among several refuses them all."""
    first, lay = shop.record().tasks[0].number, shop.number_of("lay-click-vinyl")
    with pytest.raises(Refused):
        shop.office.tick(4, [first, lay])
    assert shop.record().task(first).open


@pytest.mark.parametrize(
    ("at", "said"),
    [("2026-03-03 10:00", "has not come yet"), ("25:00", "not a moment"), ("2026-02-30 10:00", "no such date")],
)
def test_a_moment_that_cannot_be_is_refused(shop, at, said):
    """The future, and what is no moment, is one sentence."""
    with pytest.raises(Refused, match=said):
        shop.office.tick(4, [shop.record().tasks[0].number], at=at)


def test_unknown_job_and_task_are_refused(shop):
    """Each is named with the command that lists them."""
    with pytest.raises(Refused, match="there is no job 99"):
        shop.office.tick(99, [1])
    with pytest.raises(Refused, match="job 4 has no task 999"):
        shop.office.tick(4, [999])


def test_a_phase_is_ticked_at_once_in_working_order(shop):
    """A whole phase of a section is one tick, one change; links inside the phase do not stop it."""
    record = shop.record()
    for task in record.tasks:
        if task.phase.value == "house" and task.open and "protect" in task.key.template:
            shop.office.tick(4, [task.number], because="set up by the test")
    before = len(shop.office.changes())
    shop.office.tick_phase(4, "demolition", "den", because="set up by the test")
    assert all(not t.open for t in shop.record().tasks if t.phase.value == "demolition" and t.where == "den")
    assert len(shop.office.changes()) == before + 1


def test_ticking_the_carry_in_starts_the_clock(shop):
    """Cartons that came start their clock when the carry-in is ticked, and the answer says when they are ready."""
    shop.clock.set("2026-03-03", "10:05")
    shop.office.arrived(4, "gray plank", 9)
    assert shop.office.waiting()[0].state.value == "arrived"
    shop.clock.set("2026-03-03", "11:00")
    carry = shop.number_of("carry-in")
    done = shop.office.tick(4, [carry], because="set up by the test")
    assert shop.record().lots[0].moved_in_at == central("2026-03-03", "11:00")
    assert "gray plank is ready to lay Thu 5 Mar 11:00, by hours only: nobody read the air." in done.then


def test_a_carry_in_without_cartons_is_refused_whatever_the_reason(shop):
    """No carton has come: the clock cannot start, so no reason passes it."""
    with pytest.raises(Refused, match="no carton of gray plank has come"):
        shop.office.tick(4, [shop.number_of("carry-in")], because="hurry")


def test_begun_work_says_who_and_cannot_begin_twice(shop):
    """A start keeps crew and moment; a second start is refused."""
    first = next(t.number for t in shop.record().tasks if not shop.office.job(4).tasks[t.number - 1].hold)
    shop.office.start(4, first, crew="Cedar")
    assert shop.record().task(first).crew == "Cedar"
    with pytest.raises(Refused, match="is under way already"):
        shop.office.start(4, first)
    with pytest.raises(Refused, match="no crew 'Willow'"):
        shop.office.start(4, first, crew="Willow")


def test_undo_takes_a_tick_back_and_again_further(shop):
    """Undo twice walks two ticks back; the state is as before them, the log keeps all four."""
    one, two = (task.number for task in shop.record().tasks[:2])
    shop.office.tick(4, [one], because="set up by the test")
    shop.office.tick(4, [two], because="set up by the test")
    shop.office.undo()
    shop.office.undo()
    assert shop.record().task(one).open
    assert shop.record().task(two).open
    assert len([change for change in shop.office.changes() if change.undone]) == 2


def test_crew_phase_and_place_are_known_in_any_case(shop):
    """As with pins and pages, capitals do not matter; what is kept is the shop's own spelling."""
    shop.office.start(4, 1, crew="birch ")
    assert shop.record().task(1).crew == "Birch"
    assert "done" in shop.office.tick_phase(4, "Demolition", "DEN", because="shown").sentence
