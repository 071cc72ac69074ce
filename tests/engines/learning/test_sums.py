"""Hours are sums over a day's tasks: what can be learned from them, and what cannot."""

from __future__ import annotations

from dataclasses import replace
from math import log, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.pace import DoneTask, RatePin
from crewjobs.engines.learning.pace import Pace, learn
from crewjobs.engines.learning.predicting import chance_within, parted, predict, rate, usual_minutes
from crewjobs.engines.learning.scales import GROUPS, OWN, TEMPLATE, Priors, Scales
from crewjobs.engines.learning.updating import with_job
from tests.engines.learning.made import day, shop
from tests.thorough import examples

WIDTH = 2 * 1.2815515655446004


def sd(found):
    """Return the standard deviation of a rate's log, from its band."""
    return log(found.high / found.low) / WIDTH


def test_of_two_tasks_always_done_together_only_the_sum_is_known():
    """Ten days of pad and rows in one: how long both take is known well, how long each takes is not."""
    days = [day(number, 300.0, ("pad", 100), ("rows", 100)) for number in range(10)]
    scales = Scales(
        groups={name: {TEMPLATE: 0.4}.get(name, 0.01) for name in GROUPS}, job=0.05, within=0.05, entry=0.05
    )
    pace = learn(days, priors=Priors(scales=scales, learned=False))
    both = predict(pace, "Birch", days[0].done)
    assert both.median == pytest.approx(300, rel=0.03)
    pad, rows = rate(pace, "Birch", "pad"), rate(pace, "Birch", "rows")
    assert pad.factor == pytest.approx(rows.factor)
    apart = log(pad.factor) - log(rows.factor)
    assert apart == pytest.approx(0, abs=1e-9)
    # the sum's band is that of job, tasks and entry; each part alone is nearly as unsure as the difference of both was before
    assert sd(pad) > 0.8 * 0.4 / sqrt(2)
    assert both.sigma < 0.1


def test_a_day_with_one_of_them_parts_the_sum():
    """One more day with the pad alone, and both are known; the other's rate moves against it."""
    scales = Scales(
        groups={name: {TEMPLATE: 0.4}.get(name, 0.01) for name in GROUPS}, job=0.05, within=0.05, entry=0.05
    )
    days = [day(number, 300.0, ("pad", 100), ("rows", 100)) for number in range(10)]
    pace = learn([*days, day(10, 110.0, ("pad", 100))], priors=Priors(scales=scales, learned=False))
    pad, rows = rate(pace, "Birch", "pad"), rate(pace, "Birch", "rows")
    assert pad.factor == pytest.approx(1.10, abs=0.06)
    assert rows.factor == pytest.approx(1.90, abs=0.09)
    assert sd(pad) < 0.12
    assert sd(rows) < 0.12


@pytest.mark.parametrize("labor", [120.0, 260.0])
def test_one_sum_of_two_tasks_against_a_grid(labor):
    """The effects of two tasks of one sum: mean and spread of its log against the posterior summed over a fine grid."""
    prior, noise = 0.3, 0.15
    scales = Scales(
        groups={name: {TEMPLATE: prior}.get(name, 0.0) for name in GROUPS}, job=0.0, within=0.0, entry=noise
    )
    pace = learn(
        [day(1, labor, ("pad", 60), ("rows", 120))], priors=Priors(scales=scales, learned=False, doubted=False)
    )
    axis = np.linspace(-2, 2, 801)
    a, b = np.meshgrid(axis, axis, indexing="ij")
    logs = np.log(60 * np.exp(a) + 120 * np.exp(b))
    weight = np.exp(-(a**2 + b**2) / (2 * prior**2) - (log(labor) - logs) ** 2 / (2 * noise**2))
    weight /= weight.sum()
    for template, values in (("pad", a), ("rows", b)):
        mean = (weight * values).sum()
        spread = sqrt((weight * (values - mean) ** 2).sum())
        found = rate(pace, "Birch", template)
        assert log(found.factor) == pytest.approx(mean, abs=0.02)
        assert sd(found) == pytest.approx(spread, rel=0.1)


def test_a_predicted_sum_against_sampled_ones():
    """Median, 10 % and 90 % of a job's minutes against 200,000 samples of the same model."""
    pace = learn([], priors=Priors(learned=False))
    books = {"pad": 60.0, "rows": 400.0, "base": 150.0}
    tasks = day(1, 1, *books.items()).done
    random, count = np.random.default_rng(1), 200_000
    of = pace.scales.groups
    shared = random.normal(0, sqrt(of["shop"] ** 2 + of["crew"] ** 2 + pace.scales.job**2), count)
    each = sqrt(of[TEMPLATE] ** 2 + of[OWN] ** 2 + pace.scales.within**2)
    total = sum(book * np.exp(shared + random.normal(0, each, count)) for book in books.values())
    found = predict(pace, "Birch", tasks)
    assert found.median == pytest.approx(np.median(total), rel=0.02)
    assert found.band == pytest.approx(tuple(np.quantile(total, (0.1, 0.9))), rel=0.03)
    assert found.mean == pytest.approx(total.mean(), rel=0.01)
    assert usual_minutes(pace, "Birch", tasks) == pytest.approx(total.mean(), rel=0.01)
    assert chance_within(found, found.within(0.9)) == pytest.approx(0.9)


def test_without_hours_it_is_the_book_with_the_prior_band():
    """No record: every factor is 1, its band is the prior's, no job stands behind it."""
    found = rate(Pace(), "Birch", "rows")
    of = Scales().groups
    unsure = sqrt(of["shop"] ** 2 + of["template"] ** 2 + of["crew"] ** 2 + of["own"] ** 2)
    assert (found.factor, found.jobs, found.pinned) == (1.0, 0, False)
    assert log(found.high) == pytest.approx(1.2815515655446004 * unsure)
    assert found.low == pytest.approx(1 / found.high)
    assert learn([]).mean.size == 0


@settings(max_examples=examples(25, 5), deadline=None)
@given(st.integers(0, 1000), st.randoms(use_true_random=False))
def test_the_order_of_records_does_not_matter(seed, random):
    """The same records shuffled give the same pace, bit for bit."""
    days = shop(seed, 8).days
    mixed = list(days)
    random.shuffle(mixed)
    one, other = learn(days), learn(mixed)
    assert one.places == other.places
    np.testing.assert_array_equal(one.mean, other.mean)
    np.testing.assert_array_equal(one.cov, other.cov)


@settings(max_examples=examples(25, 5), deadline=None)
@given(st.integers(0, 1000))
def test_a_job_taken_back_and_told_again_changes_nothing(seed):
    """Learning on from a job that is known already leaves the pace where it is, within what is linear."""
    made = shop(seed, 12)
    pace = learn(made.days)
    job = made.days[4].job
    again = with_job(pace, job, [one for one in made.days if one.job == job])
    assert again.jobs == pace.jobs
    np.testing.assert_allclose(again.mean, pace.mean, atol=2e-3)
    np.testing.assert_allclose(again.cov, pace.cov, atol=2e-3)


def test_a_job_added_is_nearly_as_if_all_were_learned_anew():
    """Adding the last of forty jobs, with the scales as they were, moves every rate to within 1 % of learning all."""
    made = shop(3, 40)
    last = made.days[-1].job
    before = learn([one for one in made.days if one.job != last])
    added = with_job(before, last, [one for one in made.days if one.job == last])
    whole = learn(made.days, priors=Priors(scales=before.scales, learned=False))
    for crew, work in made.true:
        assert rate(added, crew, work).factor == pytest.approx(rate(whole, crew, work).factor, rel=0.01)


def test_a_job_brings_work_and_crews_anew():
    """What no record knew has its effects afterwards, and counts its job."""
    pace = with_job(learn(shop(1, 5).days), 99, [day(99, 300.0, ("new work", 100, "upstairs"), crew="Cedar")])
    found = rate(pace, "Cedar", "new work")
    assert found.jobs == 1
    assert found.factor > 1.3
    assert rate(with_job(pace, 99, []), "Cedar", "new work").jobs == 0


def test_records_of_another_job_are_refused():
    """A job is told by its own records."""
    with pytest.raises(Refused, match="hours of job 2 among those of job 1"):
        with_job(Pace(), 1, [day(2, 100.0, ("rows", 100))])


def test_learning_leaves_records_and_paces_as_they_are():
    """A pace that was learned on from is the same as before."""
    made = shop(2, 6)
    pace = learn(made.days)
    mean, jobs = pace.mean.copy(), dict(pace.jobs)
    with_job(pace, 1, [replace(made.days[0], labor_min=5000.0)])
    np.testing.assert_array_equal(pace.mean, mean)
    assert pace.jobs == jobs


def test_works_parted_spread_as_they_do_together():
    """Shared and own parts of five works add up to about the spread of their sum that is predicted as a whole."""
    pace = learn(shop(6, 30).days)
    works = [day(1, 1, *((f"work {(at + more) % 8}", 100.0) for more in range(3))).done for at in range(5)]
    found = parted(pace, "crew 1", works)
    whole = predict(pace, "crew 1", [replace(task, number=at) for at, task in enumerate(sum(works, ()))])
    share = np.array(found.medians) / sum(found.medians)
    common = found.shared * float(share @ np.array(found.leans))
    variance = common**2 + pace.scales.job**2 + (share**2 * np.array(found.sigmas) ** 2).sum()
    assert sqrt(variance) == pytest.approx(whole.sigma, rel=0.1)
    assert sum(found.medians) == pytest.approx(whole.median, rel=0.02)
    alone = parted(pace, "crew 1", works[:1])
    assert alone.shared == 0
    assert alone.medians[0] == pytest.approx(predict(pace, "crew 1", works[0]).median, rel=0.005)
    assert sqrt(alone.sigmas[0] ** 2 + pace.scales.job**2) == pytest.approx(
        predict(pace, "crew 1", works[0]).sigma, rel=0.02
    )


@pytest.mark.parametrize("pinned", [0, 1, 3])
def test_a_rate_set_by_hand_makes_no_other_surer(pinned):
    """Six works of a template each, no hours: the spread of their sum is that of the model drawn 100,000 times by itself."""
    works = [(DoneTask(number=at, template=f"work {at}", book_min=240.0),) for at in range(6)]
    pins = [RatePin(crew="Cedar", template=f"work {at}", factor=1.0) for at in range(pinned)]
    pace = learn([], pins=pins)
    found, groups = parted(pace, "Cedar", works), pace.scales.groups
    random, count = np.random.default_rng(5), 100_000
    common = random.normal(0, np.hypot(groups["shop"], groups["crew"]), count)
    whole = np.zeros(count)
    for at in range(6):
        own = 0.0 if at < pinned else common + random.normal(0, np.hypot(groups["template"], groups["own"]), count)
        whole += 240 * np.exp(own + random.normal(0, pace.scales.within, count))
    shared, said = random.normal(0, found.shared, count), np.zeros(count)
    for median, sigma, lean in zip(found.medians, found.sigmas, found.leans, strict=True):
        said += median * np.exp(lean * shared + random.normal(0, sigma, count))
    assert np.log(said).std() == pytest.approx(np.log(whole).std(), rel=0.06)
    assert np.quantile(said, 0.95) == pytest.approx(np.quantile(whole, 0.95), rel=0.03)
