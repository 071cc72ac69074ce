"""Where the model is exactly normal it gives what closed forms, scipy and a textbook give."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log, sqrt

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import invgamma, multivariate_normal

from crewjobs.engines.learning.arrays import as_arrays, ordered
from crewjobs.engines.learning.effects import effects_seen
from crewjobs.engines.learning.fitting import left_out, posterior, scales_from
from crewjobs.engines.learning.noise import Doubt
from crewjobs.engines.learning.pace import learn
from crewjobs.engines.learning.predicting import predict, rate
from crewjobs.engines.learning.scales import CREW, GROUPS, SHOP, Priors, Scales
from crewjobs.engines.learning.sums import linear
from crewjobs.engines.learning.updating import with_job
from tests.engines.learning.closed_forms import PRINTED, TROUT_MEAN, TROUT_SD, conditioned, known, trout
from tests.engines.learning.made import day


def test_the_textbook_numbers_of_a_normal_mean():
    """Posterior normal(31.96, 0.5714²), as it is printed (`closed_forms`)."""
    mean, sd, jobs = trout()
    assert mean == pytest.approx(TROUT_MEAN, abs=PRINTED["mean"])
    assert sd == pytest.approx(TROUT_SD, abs=PRINTED["sd"])
    assert jobs == 12


@pytest.mark.parametrize("seed", range(3))
def test_single_tasks_give_the_normal_conditional(seed):
    """Crews, templates, conditions and jobs of one task a day: mean and covariance equal conditioning one large normal."""
    (mean, cov), (true_mean, true_cov) = conditioned(seed)
    assert len(mean) > 5
    np.testing.assert_allclose(mean, true_mean, atol=1e-8)
    np.testing.assert_allclose(cov, true_cov, atol=1e-8)


def test_learning_job_by_job_is_learning_all():
    """With single tasks and known scales, jobs added one after the other and one taken back give the same pace, exactly."""
    priors = known(job=0.17, within=0.24, shop=0.2, template=0.3, crew=0.15, own=0.1)
    days = [
        day(number, 60 + 7 * number, (("lay", "base")[number % 2], 60), crew=("Birch", "Cedar")[number // 3 % 2])
        for number in range(12)
    ]
    whole = learn(days, priors=priors)
    step = learn([], priors=priors)
    for one in days:
        step = with_job(step, one.job, [one])
    step = with_job(step, 5, [])
    step = with_job(step, 5, [days[5]])
    for crew in ("Birch", "Cedar"):
        for work in ("lay", "base"):
            a, b = rate(whole, crew, work), rate(step, crew, work)
            assert (a.factor, a.low, a.high) == pytest.approx((b.factor, b.low, b.high), rel=1e-9)
            assert a.jobs == b.jobs


def test_a_single_task_is_predicted_with_all_that_varies():
    """The log of a new job's one task spreads by what is unknown of the pace, between jobs and within them, in squares."""
    days = [day(number, 80.0, ("lay", 60)) for number in range(4)]
    pace = learn(days, priors=known(job=0.1, within=0.2, shop=0.3))
    found = predict(pace, "Birch", day(9, 1, ("lay", 100)).done)
    left = 1 / (1 / 0.3**2 + 4 / (0.1**2 + 0.2**2))
    assert found.sigma == pytest.approx(sqrt(left + 0.1**2 + 0.2**2), rel=1e-9)
    mean = left * 4 / (0.1**2 + 0.2**2) * log(80 / 60)
    assert found.median == pytest.approx(100 * exp(mean), rel=1e-9)


def test_the_scales_found_are_the_most_likely_ones():
    """Scales between jobs and of crews maximize scipy's marginal likelihood with their priors (inverse gamma in the variance)."""
    random = np.random.default_rng(4)
    crews = [f"crew {number}" for number in range(6)]
    pace_of = random.normal(0, 0.4, 6)
    days = [
        day(number, float(60 * exp(pace_of[number % 6] + off)), ("lay", 60), crew=crews[number % 6])
        for number, off in enumerate(random.normal(0, 0.3, 60))
    ]
    scales = Scales(
        groups={name: {SHOP: 0.2, CREW: 0.15}.get(name, 0.0) for name in GROUPS}, job=0.18, within=0.0, entry=0.0
    )
    weight = 6.0
    said = np.array([log(one.labor_min / 60) for one in days])
    same = np.array([[a.crew == b.crew for b in days] for a in days], dtype=float)

    def cost(logs):
        shop, crew, job, wide = np.exp(2 * logs)
        cov = shop + crew * same + job * np.eye(60)
        held = sum(
            # -weight/2·(log v/p + p/v): the inverse gamma density of v around p = wide·prior², in log v
            invgamma.logpdf(v, weight / 2, scale=weight * p / 2) + log(v)
            for v, p in ((shop, wide * 0.2**2), (crew, wide * 0.15**2), (job, wide * 0.18**2), (1.0, wide))
        )
        return -multivariate_normal.logpdf(said, np.zeros(60), cov) - held

    start = np.log([0.2, 0.15, 0.18, 1.0])
    best = np.exp(
        minimize(cost, start, method="Nelder-Mead", options={"xatol": 1e-7, "fatol": 1e-10, "maxiter": 4000}).x
    )
    effects = effects_seen(ordered(days))
    records = as_arrays(ordered(days), {effect: place for place, effect in enumerate(effects)})
    priors, mean, doubt = Priors(scales=scales, weight=weight), np.zeros(len(effects)), Doubt.none(60)
    cov = np.diag([scales.of(effect) ** 2 for effect in effects])
    for _ in range(100):
        line = linear(records, mean, cov, scales)
        mean, cov = posterior(records, line, np.array([scales.of(effect) for effect in effects]), scales, doubt)
        seen = left_out(records, line, mean, cov, scales, doubt, doubted=False)
        scales = scales_from(scales, effects, mean, cov, seen, priors)
    assert (scales.groups[SHOP], scales.groups[CREW], scales.job) == pytest.approx(tuple(best[:3]), rel=1e-3)
    learned = learn(days, priors=replace(priors, scales=priors.scales, doubted=False)).scales
    assert (
        best[1] < learned.groups[CREW] < 1.2 * best[1]
    )  # a little wider, since six crews tell little of how crews differ


def test_scales_taken_as_they_are_stay():
    """Priors that are not learned come back unchanged."""
    priors = Priors(learned=False)
    days = [day(number, 400.0, ("lay", 60)) for number in range(5)]
    assert learn(days, priors=priors).scales == priors.scales
    assert learn(days, priors=replace(priors, learned=True)).scales != priors.scales
