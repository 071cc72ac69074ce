"""A job's estimate against its hours, by phase, as far as sums can tell."""

from __future__ import annotations

from dataclasses import replace
from math import log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.pace import HoursKind
from crewjobs.domain.tasks import Phase
from crewjobs.engines.learning.against import against
from crewjobs.engines.learning.pace import Pace, learn
from crewjobs.engines.learning.scales import Priors
from tests.engines.learning.made import day
from tests.thorough import examples

PHASES = {1: Phase.DEMOLITION, 2: Phase.INSTALL, 3: Phase.TRIM}


def row(found, phase):
    return next(one for one in found.phases if one.phase is phase)


def own_days(*labor):
    """Return a day for each phase with its task alone, each 240 minutes by the book."""
    days = [day(7, minutes, ("work", 240), after=number) for number, minutes in enumerate(labor)]
    return [
        replace(one, done=(replace(one.done[0], number=number, template=f"work {number}"),))
        for number, one in enumerate(days, start=1)
    ]


def test_phases_with_days_of_their_own_are_told_for_sure():
    """Where each phase had its own days, its hours are the days'; longer, as estimated and less are said so."""
    found = against(Pace(), own_days(480, 240, 120), PHASES)
    assert found.sentences == (
        "The job took 14.0 h of one person where 12.0 h were estimated: 17 % more.",
        "Demolition took longer: about 8.0 h of one person where 4.0 h were estimated, likely between 7.5 h and 8.5 h.",
        "Install was as estimated: about 4.0 h of one person where 4.0 h were estimated.",
        "Trim took less: about 2.0 h of one person where 4.0 h were estimated, likely between 1.9 h and 2.1 h.",
    )


def test_phases_known_only_together_are_said_to_be_unsure():
    """One day of both with a quarter more: both may have taken longer, and neither is called sure."""
    found = against(Pace(), [day(7, 600.0, ("tear out", 240), ("rows", 240))], PHASES)
    assert [one.sure for one in found.phases] == [False, False]
    assert found.sentences[1] == (
        "Demolition may have taken longer: about 5.0 h of one person where 4.0 h were estimated; likely between 3.5 h and "
        "7.1 h, since its hours are known only with other work's."
    )


def test_what_is_less_sure_takes_more_of_the_difference():
    """A crew whose pace at tearing out is well known: the hours too many go to the rows, which nobody knows of yet."""
    past = [day(number, 240.0, ("tear out", 240)) for number in range(100, 140)]
    found = against(learn(past), [day(7, 720.0, ("tear out", 240), ("rows", 240))], PHASES)
    assert row(found, Phase.INSTALL).likely_min > row(found, Phase.DEMOLITION).likely_min + 60


@settings(max_examples=examples(30, 8), deadline=None)
@given(st.lists(st.tuples(st.floats(60, 2000), st.floats(30, 900), st.floats(30, 900)), min_size=1, max_size=4))
def test_the_phases_add_up_to_the_hours(days):
    """Whatever the days took, the likely minutes of all phases are their sum, and each is more than nothing."""
    records = [
        day(7, labor, ("tear out", first), ("rows", second), after=number)
        for number, (labor, first, second) in enumerate(days)
    ]
    found = against(Pace(), records, PHASES)
    assert sum(one.likely_min for one in found.phases) == pytest.approx(found.taken_min)
    assert all(0 < one.low_min <= one.likely_min <= one.high_min for one in found.phases)


def test_the_parts_of_a_day_against_sampled_ones():
    """Two phases of one day: likely minutes and band against samples of the model whose sum is within 1 % of the day's."""
    pace, books, labor = Pace(), np.array([300.0, 120.0]), 560.0
    of, random = pace.scales, np.random.default_rng(2)
    count = 2_000_000
    shared = random.normal(0, np.hypot(np.hypot(of.groups["shop"], of.groups["crew"]), of.job), (count, 1))
    each = np.sqrt(of.groups["template"] ** 2 + of.groups["own"] ** 2 + of.within**2)
    minutes = books * np.exp(shared + random.normal(0, each, (count, 2)))
    near = minutes[np.abs(np.log(minutes.sum(axis=1) / labor)) < 0.01]
    found = against(pace, [day(7, labor, ("tear out", 300), ("rows", 120))], PHASES)
    for at, phase in enumerate((Phase.DEMOLITION, Phase.INSTALL)):
        one = row(found, phase)
        assert one.likely_min == pytest.approx(np.median(near[:, at]), rel=0.05)
        low, high = np.quantile(near[:, at], (0.1, 0.9))
        assert log(one.high_min / one.low_min) == pytest.approx(log(high / low), rel=0.25)


def test_the_job_itself_is_no_reason_for_its_own_hours():
    """A pace that was learned from the job too gives the same rows as one that never saw it."""
    past = [day(number, 300.0, ("tear out", 240), ("rows", 60)) for number in range(20)]
    mine = day(7, 720.0, ("tear out", 240), ("rows", 240))
    past = [one for one in past if one.job != 7]
    priors = Priors(learned=False)
    without, seen = learn(past, priors=priors), learn([*past, mine], priors=priors)
    a, b = against(without, [mine], PHASES), against(seen, [mine], PHASES)
    assert row(a, Phase.INSTALL).likely_min == pytest.approx(row(b, Phase.INSTALL).likely_min, rel=0.02)


def test_an_estimate_of_its_own_replaces_the_books():
    """What was quoted for a task counts, not the book's minutes."""
    found = against(Pace(), own_days(480, 240, 120), PHASES, {1: 480.0})
    assert row(found, Phase.DEMOLITION).more == pytest.approx(0)
    assert found.estimated_min == 960


def test_hours_apart_are_told_apart():
    """Waiting, dry runs, callbacks and days without a ticked task are named and are no phase's."""
    more = [
        day(7, 90.0, kind=HoursKind.WAITING, after=4),
        day(7, 120.0, kind=HoursKind.DRY_RUN, after=5),
        day(7, 60.0, after=6),
    ]
    found = against(Pace(), [*own_days(240, 240, 240), *more], PHASES)
    assert found.taken_min == 720
    assert found.sentences[-3:] == (
        "1.0 h of one person on days without a ticked task.",
        "Dry run: 2.0 h of one person, kept apart.",
        "Waiting: 1.5 h of one person, kept apart.",
    )
    assert found.sentences[0].endswith("where 12.0 h were estimated: as estimated.")


def test_nothing_to_compare_is_refused():
    """No hours, or hours of two jobs: one sentence."""
    with pytest.raises(Refused, match="no hours with anything done"):
        against(Pace(), [], PHASES)
    with pytest.raises(Refused, match="hours of jobs 1, 2; give the records of one job"):
        against(Pace(), [day(1, 60.0, ("rows", 60)), day(2, 60.0, ("rows", 60))], PHASES)


def test_what_is_asked_about_is_said_and_makes_nothing_sure():
    """A day with a digit too much among days as usual: the record is named, and its phases only may have taken longer."""
    usual = [day(job, 240, (f"work {number}", 240), after=number) for job in range(10, 22) for number in (1, 2, 3)]
    mine = own_days(240, 240, 2400)
    pace = learn([*usual, *mine])
    found = against(pace, mine, PHASES)
    assert [one.day.labor_min for one in found.odd] == [2400]
    assert not any(one.sure for one in found.phases)
    assert any(sentence.startswith("Asked about: job 7,") for sentence in found.sentences)
    assert any("may have taken longer" in sentence and "nothing is sure" in sentence for sentence in found.sentences)
