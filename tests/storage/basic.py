"""Texts, instants, days and counts of any kind."""

from __future__ import annotations

from datetime import UTC, date, datetime

from hypothesis import strategies as st

texts = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=12)
names = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=8)
instants = st.datetimes(datetime(2020, 1, 1), datetime(2035, 1, 1), timezones=st.just(UTC))
days = st.dates(date(2020, 1, 1), date(2035, 1, 1))
zones = st.sampled_from(["America/Chicago", "America/Los_Angeles", "UTC"])
lengths = st.integers(1, 10**7)
numbers = st.integers(1, 10**6)
versions = st.integers(1, 1000)
amounts = st.floats(0, 1e6)


def some(strategy, most=3, unique_by=None):
    """Return tuples of up to `most` values."""
    return st.lists(strategy, max_size=most, unique_by=unique_by).map(tuple)


def optional(strategy):
    """Return the strategy's values or None."""
    return st.none() | strategy
