"""A pace kept as bytes is the same pace, and goes on learning from there."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from crewjobs.domain.errors import Refused
from crewjobs.engines.learning import kept
from crewjobs.engines.learning.kept import as_bytes, from_bytes
from crewjobs.engines.learning.pace import Pace, learn
from crewjobs.engines.learning.predicting import rate
from crewjobs.engines.learning.updating import with_job
from tests.engines.learning.made import day, shop


def _learned():
    """Return a pace with an odd record, a job added later with work of its own, and one put right."""
    made = shop(4, 20, conditions=(("furnished", 0.2),))
    days = [*made.days[:-1], replace(made.days[-1], labor_min=11_000.0)]
    return made, with_job(learn(days), 500, [day(500, 300.0, ("new work", 100, "upstairs"), crew="Oak & Söhne")])


def test_what_is_kept_comes_back():
    """Every number, the odd records, the jobs behind each rate."""
    _, pace = _learned()
    back = from_bytes(as_bytes(pace))
    np.testing.assert_array_equal(back.mean, pace.mean)
    np.testing.assert_array_equal(back.cov, pace.cov)
    assert (back.scales, back.places, dict(back.jobs)) == (pace.scales, dict(pace.places), dict(pace.jobs))
    assert back.odd == pace.odd != ()
    assert as_bytes(back) == as_bytes(pace)


def test_it_goes_on_learning_as_if_it_had_never_been_kept():
    """A job put right and one taken back change both alike."""
    made, pace = _learned()
    back = from_bytes(as_bytes(pace))
    job = made.days[0].job
    mine = [replace(one, labor_min=one.labor_min * 1.2) for one in made.days if one.job == job]
    one, other = (with_job(with_job(each, job, mine), 500, ()) for each in (pace, back))
    np.testing.assert_array_equal(one.mean, other.mean)
    assert rate(one, "crew 1", "work 2") == rate(other, "crew 1", "work 2")


def test_a_pace_of_nothing_is_kept_too():
    """No record, no effect."""
    assert from_bytes(as_bytes(Pace())).mean.size == 0


@pytest.mark.parametrize(
    "broken", [b"", b"PK\x03\x04 no archive", as_bytes(Pace())[:-40]], ids=["empty", "other", "cut"]
)
def test_what_cannot_be_read_is_refused(broken):
    """Cut off, empty or something else: one sentence, and it is learned anew."""
    with pytest.raises(Refused, match="the rates kept cannot be read; they are learned anew"):
        from_bytes(broken)


def test_another_version_is_refused(monkeypatch):
    """What an older program kept is not taken for this one's."""
    old = as_bytes(Pace())
    monkeypatch.setattr(kept, "VERSION", kept.VERSION + 1)
    with pytest.raises(Refused, match="of another version"):
        from_bytes(old)
