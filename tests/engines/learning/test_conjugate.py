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
from crewjobs.engines.learning.scales import CONDITION, CREW, GROUPS, OWN, SHOP, TEMPLATE, Priors, Scales
from crewjobs.engines.learning.sums import linear
from crewjobs.engines.learning.updating import with_job
from tests.engines.learning.made import day


def known(job=0.0, within=0.0, entry=0.0, **groups):
    """Return priors with these standard deviations, all others nothing, that no record moves or is doubted by."""
    scales = Scales(groups={name: groups.get(name, 0.0) for name in GROUPS}, job=job, within=within, entry=entry)
    return Priors(scales=scales, learned=False, doubted=False)


def test_the_textbook_numbers_of_a_normal_mean():
    """Twelve trout, mean 32 in, known sd 2, prior normal(30, 4²): posterior normal(31.96, 0.5714²).

    Source: Bolstad, Introduction to Bayesian Statistics, chapter on the normal mean (MEMORY; the numbers agree with the closed
    form). Here inches over 30 are tenths of log minutes, since no crew takes exp(32) times the book's time.
    """
    around = np.linspace(-3, 3, 12)
    days = [day(number, 60 * exp((2 + off) / 10), ("lay", 60)) for number, off in enumerate(around)]
    found = rate(learn(days, priors=known(within=0.2, shop=0.4)), "Birch", "lay")
    assert 30 + 10 * log(found.factor) == pytest.approx(31.96, abs=0.005)
    sd = log(found.high / found.factor) / 1.2815515655446004
    assert 10 * sd == pytest.approx(0.5714, abs=5e-5)
    assert found.jobs == 12


@pytest.mark.parametrize("seed", range(3))
def test_single_tasks_give_the_normal_conditional_of_scipy(seed):
    """Crews, templates, conditions and jobs of one task a day: mean and covariance equal conditioning one large normal."""
    random = np.random.default_rng(seed)
    priors = known(job=0.17, within=0.24, entry=0.06, shop=0.2, template=0.3, crew=0.15, own=0.1, condition=0.12)
    days, crews, works = [], ["Birch", "Cedar"], ["lay", "tear out", "base"]
    for number in range(12):
        for later in range(random.integers(1, 4)):
            holds = ["furnished"] if random.random() < 0.5 else []
            work = (works[random.integers(3)], 60.0, *holds)
            days.append(
                day(number, float(60 * exp(random.normal(0.2, 0.4))), work, crew=crews[number % 2], after=later)
            )
    effects = [(SHOP,), *((TEMPLATE, w) for w in works), *((CREW, c) for c in crews)]
    effects += [*((OWN, c, w) for c in crews for w in works), (CONDITION, "furnished")]
    design = np.zeros((len(days), len(effects)))
    for row, one in enumerate(days):
        work = one.done[0]
        for effect in [(SHOP,), (TEMPLATE, work.template), (CREW, one.crew), (OWN, one.crew, work.template)]:
            design[row, effects.index(effect)] = 1
        design[row, -1] = bool(work.conditions)
    prior = np.diag([priors.scales.groups[effect[0]] ** 2 for effect in effects])
    # task number 1 of a job is one task over several days: its own deviation is shared, as the job's is
    same = np.array([[a.job == b.job for b in days] for a in days])
    same_task = np.array([[a.job == b.job and a.done[0].number == b.done[0].number for b in days] for a in days])
    noise = 0.17**2 * same + 0.24**2 * same_task + 0.06**2 * np.eye(len(days))
    said = np.array([log(one.labor_min / 60) for one in days])
    gain = np.linalg.solve(design @ prior @ design.T + noise, design @ prior).T
    mean, cov = gain @ said, prior - gain @ design @ prior
    pace = learn(days, priors=priors)
    at = [pace.places.get(effect) for effect in effects]
    seen = [place for place in range(len(effects)) if at[place] is not None]
    order = [at[place] for place in seen]
    np.testing.assert_allclose(pace.mean[order], mean[seen], atol=1e-8)
    np.testing.assert_allclose(pace.cov[np.ix_(order, order)], cov[np.ix_(seen, seen)], atol=1e-8)


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
