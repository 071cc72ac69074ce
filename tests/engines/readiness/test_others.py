"""What was asked of others, and the tasks it holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from crewjobs.domain.house_ready import Other, WaitingOn
from crewjobs.engines.readiness.holds import HoldKind, cannot_be_planned, holds, known_instants
from tests.builders import central, record, task

NOW = central("2026-03-03", "09:00")
RANGE, OTHER_TASK = task(1, "range out"), task(2, "lay")
ASKED = WaitingOn(who=Other.PLUMBER, what="gas shut off", asked=date(2026, 3, 2), holds=(1,))


def job(**given):
    return replace(record([RANGE, OTHER_TASK]), waiting_on=(replace(ASKED, **given),))


def test_only_the_tasks_named_wait():
    """What was asked holds its tasks until it is there, and no other."""
    assert [hold.kind for hold in holds(job(), RANGE, NOW)] == [HoldKind.OTHERS]
    assert holds(job(), OTHER_TASK, NOW) == ()
    assert holds(job(came_at=NOW), RANGE, NOW) == ()
    assert holds(job(came_at=NOW), RANGE, NOW - timedelta(minutes=1)) != ()


def test_the_hold_names_who_what_and_since_when():
    """The sentence says whom to chase and what to record."""
    (hold,) = holds(job(), RANGE, NOW)
    assert hold.what == (
        "waits for the plumber: gas shut off, asked Mon 2 Mar (`crewjobs came 1 plumber` when it is there)"
    )


def test_what_a_finding_waits_for_is_to_be_asked_until_somebody_asked():
    """Nobody asked: no day of an asking is told. Chased, the first such day is that of the asking; promised, it is a date."""
    usual = NOW + timedelta(hours=8)
    (hold,) = holds(job(usual=True, promised=usual), RANGE, NOW)
    assert hold.what.startswith("waits for the plumber: gas shut off, to be asked (")
    (hold,) = holds(job(usual=True, chased=(date(2026, 3, 3),)), RANGE, NOW)
    assert hold.what.startswith("waits for the plumber: gas shut off, asked Tue 3 Mar (")
    late = cannot_be_planned(job(usual=True, promised=usual), usual + timedelta(minutes=1))
    assert late == {
        1: "waits for the plumber: gas shut off, to be asked, was expected Tue 3 Mar at the earliest, promised by nobody: get a date"
    }
    assert cannot_be_planned(job(usual=True), NOW) == {
        1: "waits for the plumber: gas shut off, to be asked: get a date"
    }


def test_a_promise_to_come_is_planned_with_and_one_gone_by_is_not():
    """Without a date it cannot be planned, with one from then on, past it a new date is needed."""
    noon = NOW + timedelta(hours=3)
    assert cannot_be_planned(job(), NOW) == {1: "waits for the plumber: gas shut off, asked Mon 2 Mar: get a date"}
    assert [known.at for known in known_instants(job(promised=noon), NOW)[1]] == [noon]
    assert cannot_be_planned(job(promised=noon), NOW) == {}
    late = cannot_be_planned(job(promised=noon), noon + timedelta(minutes=1))
    assert late == {1: "waits for the plumber: gas shut off, asked Mon 2 Mar, promised and not there: get a new date"}
