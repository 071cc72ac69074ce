"""By when a task must start, and what is said once that is over."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.tasks import Link
from crewjobs.engines.readiness.at_most import must_start
from crewjobs.engines.readiness.holds import HoldKind, holds
from tests.builders import central, record, task

DONE = central("2026-03-07", "12:00")
CLOSE = Link(before=1, after=2, wait_min=120, name="primer dries", most_min=24 * 60)


def house(done=DONE, begun=None):
    return record([task(1, "prime", done_at=done), task(2, "pour", started_at=begun)], [CLOSE])


def test_a_day_runs_by_the_clock_across_the_change_of_it():
    """Primed on Saturday at noon: held from Sunday 13:00 on, the night of the change being an hour short."""
    by = central("2026-03-08", "13:00")
    pour = house().tasks[1]
    assert must_start(house(), pour, DONE).by == by
    assert holds(house(), pour, by) == ()
    (late,) = holds(house(), pour, by + timedelta(minutes=1))
    assert late.kind is HoldKind.TOO_LATE
    assert late.until is None


def test_the_sentence_says_what_when_the_label_and_who_decides():
    """What was done, when, what must be checked, who decides; never that anything is safe."""
    (late,) = holds(house(), house().tasks[1], DONE + timedelta(days=3))
    for word in (
        "'prime 1' (living)",
        "Sat 7 Mar 12:00",
        "more than 24 h",
        "label must be checked",
        "the lead decides",
    ):
        assert word in late.what
    assert "safe" not in late.what


@given(st.integers(0, 3 * 24 * 60), st.booleans())
def test_it_binds_only_what_is_to_be_done_after_what_is_done(minutes, begun):
    """Nothing binds before the first task is ticked, nor once the second has begun."""
    at = DONE + timedelta(minutes=minutes)
    record_ = house(begun=at if begun else None)
    found = must_start(record_, record_.tasks[1], at)
    assert (found is None) == begun
    assert must_start(record_, record_.tasks[1], DONE - timedelta(minutes=1)) is None
    assert must_start(house(done=None), house(done=None).tasks[1], at) is None


def test_the_nearest_of_several_binds():
    """Of two waits at most the one that runs out first counts; what is not needed binds nothing."""
    later = Link(before=3, after=2, most_min=60)
    both = replace(house(), tasks=(*house().tasks, task(3, "treat", done_at=DONE)), links=(CLOSE, later))
    assert must_start(both, both.tasks[1], DONE).link == later
    after = DONE + timedelta(hours=2)
    assert must_start(both, both.tasks[1], after).link == later
    assert must_start(both, both.tasks[1], after, ahead=True).link == CLOSE
    spared = replace(both, tasks=(*both.tasks[:2], replace(both.tasks[2], not_needed=True)))
    assert must_start(spared, spared.tasks[1], DONE).link == CLOSE
