"""Expected minutes, spread, and the pace they mean."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Driver, Phase, Scope, ScopeKind, Task, TaskKey, ThreePoint
from crewjobs.engines.estimating.estimate import job_totals, per_man_day, total
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.reconcile import reconcile
from crewjobs.files.catalogue import read_catalogue
from tests import thorough
from tests.builders import task
from tests.engines.estimating.show import one_room
from tests.strategies import jobs

CATALOGUE = read_catalogue()


def estimated(number: int, low: float, likely: float, high: float) -> Task:
    """A task with three minutes."""
    made = task(number)
    return Task(
        number=number,
        key=TaskKey(template=str(number), scope=Scope(kind=ScopeKind.JOB)),
        title=made.title,
        phase=Phase.INSTALL,
        stage=1,
        quantity=1,
        unit=Driver.ONCE,
        estimate=ThreePoint(low=low, likely=likely, high=high),
        people=1,
        least_people=1,
        pause=made.pause,
    )


@pytest.mark.parametrize(
    ("a", "m", "b", "te", "sd"),
    [  # solved text exercise, 14 activities (trade-facts 7.2, READ-SEC)
        (5, 5, 7, 5.33, 0.33),
        (4, 8, 13, 8.17, 1.50),
        (1, 10, 17, 9.67, 2.67),
        (2, 6, 9, 5.83, 1.17),
        (6, 10, 13, 9.83, 1.17),
    ],
)
def test_pert_rows_of_the_exercise(a, m, b, te, sd):
    """Mean and standard deviation as printed, to 0.005."""
    three = ThreePoint(low=a, likely=m, high=b)
    assert three.expected == pytest.approx(te, abs=0.005)
    assert three.spread == pytest.approx(sd, abs=0.005)


def test_pert_path_of_the_full_example():
    """Critical path A-B-C-E-F-J-L-N: mean 44, variance 9. Hillier and Lieberman, Reliable Construction (MEMORY)."""
    path = [(1, 2, 3), (2, 3.5, 8), (6, 9, 18), (1, 4.5, 5), (4, 4, 10), (3, 9, 9), (1, 5.5, 7), (5, 5.5, 9)]
    labor = total(estimated(n, *three) for n, three in enumerate(path, start=1))
    assert labor.expected == pytest.approx(44)
    assert labor.spread**2 == pytest.approx(9)


@given(st.lists(st.tuples(*[st.floats(0, 1000)] * 3).map(sorted), min_size=1, max_size=20))
def test_spreads_add_as_squares(threes):
    """Means add, variances add; so the spread of many is less than the sum of theirs."""
    labor = total(estimated(n, *three) for n, three in enumerate(threes, start=1))
    assert labor.expected == pytest.approx(sum((a + 4 * m + b) / 6 for a, m, b in threes))
    assert labor.spread == pytest.approx(sqrt(sum(((b - a) / 6) ** 2 for a, _, b in threes)))


@settings(max_examples=thorough.examples(20, 7), deadline=None)
@given(jobs())
def test_phases_add_up_to_the_job(job):
    """Every task is in one phase, so the phases' minutes are the job's."""
    totals = job_totals(expand(job, CATALOGUE).tasks)
    assert sum(labor.expected for _, labor in totals.phases) == pytest.approx(totals.all.expected)


def test_what_is_not_needed_costs_nothing():
    """A task marked not needed is in no total."""
    record = reconcile(JobRecord(job=one_room()), expand(one_room(), CATALOGUE))
    dropped = reconcile(record, expand(one_room(), CATALOGUE).__class__(tasks=(), links=()))
    assert total(record.tasks).expected > 0
    assert total(dropped.tasks).expected == 0


def test_pace_of_a_template_and_a_task():
    """Floating plank at 0.030 h/ft² likely (0.020 to 0.045): the mean 0.0308 h/ft² is 260 ft² a man-day of 8 h."""
    template = CATALOGUE.template("lay-click-vinyl")
    assert template is not None
    assert per_man_day(template) == pytest.approx(8 / ((0.020 + 4 * 0.030 + 0.045) / 6), rel=1e-6)
    lay = next(t for t in expand(one_room(), CATALOGUE).tasks if t.key.template == "lay-click-vinyl")
    assert per_man_day(lay) == pytest.approx(250 * 480 / lay.estimate.expected)


def test_work_done_once_has_no_pace():
    """A walk-through is not so many a day."""
    template = CATALOGUE.template("walk-through-after")
    assert template is not None
    assert per_man_day(template) is None


def test_a_plain_room_takes_two_people_about_a_day_and_a_half():
    """250 ft² of click vinyl over carpet: between one day and 1.7 of two people at 8 h (common practice, no source)."""
    labor = job_totals(expand(one_room(), CATALOGUE).tasks).all
    assert 1.0 <= labor.man_days / 2 <= 1.7
    assert labor.days(2) == 2


def test_furniture_adds_hours():
    """The same room furnished and lived in takes longer."""
    empty, full = (job_totals(expand(one_room(furnished=f), CATALOGUE).tasks).all for f in (False, True))
    assert full.hours > empty.hours + 1
