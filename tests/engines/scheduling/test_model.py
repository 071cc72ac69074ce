from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from crewjobs.engines.scheduling.model import always
from tests.engines.scheduling.small import tables

SLOTS = st.integers(-2, 14)
ANY = tables() | st.builds(always, st.integers(0, 4), st.integers(4, 9))


@given(ANY, SLOTS, SLOTS)
def test_the_first_start_is_the_first_of_all_that_fit(table, low, high):
    """`first` finds what a look at every start finds, or that its end comes too late."""
    pairs = [(s, e) for s, e in zip(table.starts, table.ends, strict=True) if s >= low]
    assert table.first(low, high) == (pairs[0] if pairs and pairs[0][1] <= high else None)


@given(ANY, SLOTS, SLOTS)
def test_between_keeps_the_starts_that_lie_within(table, low, high):
    """`between` keeps each start from `low` on whose end is no later than `high`, and no other."""
    kept = table.between(low, high)
    within = [(s, e) for s, e in zip(table.starts, table.ends, strict=True) if low <= s and e <= high]
    assert list(zip(kept.starts, kept.ends, strict=True)) == within
