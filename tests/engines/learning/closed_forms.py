"""What the model is held against where it is exactly normal: a textbook's worked numbers, and one large normal conditioned.

Tests assert on these; `tests.benchmarks.rates` prints them for any seed.
"""

from __future__ import annotations

from math import exp, log

import numpy as np

from crewjobs.engines.learning.pace import learn
from crewjobs.engines.learning.predicting import rate
from crewjobs.engines.learning.scales import CONDITION, CREW, GROUPS, OWN, SHOP, TEMPLATE, Priors, Scales
from tests.engines.learning.made import day

TROUT_MEAN, TROUT_SD = 31.96, 0.5714
"""Twelve trout, mean 32 in, known sd 2, prior normal(30, 4²): the posterior's mean and standard deviation as they are printed.

Source: Bolstad, Introduction to Bayesian Statistics, chapter on the normal mean (MEMORY; the numbers agree with the closed form).
"""
PRINTED = {"mean": 0.005, "sd": 0.00005}
"""Half of the last digit that is printed of each."""
Z_80 = 1.2815515655446004


def known(job=0.0, within=0.0, entry=0.0, **groups):
    """Return priors with these standard deviations, all others nothing, that no record moves or is doubted by."""
    scales = Scales(groups={name: groups.get(name, 0.0) for name in GROUPS}, job=job, within=within, entry=entry)
    return Priors(scales=scales, learned=False, doubted=False)


def trout():
    """Return the model's mean and standard deviation of the trout, in inches, and the records behind them.

    Inches over 30 are tenths of log minutes here, since no crew takes exp(32) times the book's time.
    """
    around = np.linspace(-3, 3, 12)
    days = [day(number, 60 * exp((2 + off) / 10), ("lay", 60)) for number, off in enumerate(around)]
    found = rate(learn(days, priors=known(within=0.2, shop=0.4)), "Birch", "lay")
    return 30 + 10 * log(found.factor), 10 * log(found.high / found.factor) / Z_80, found.jobs


def conditioned(seed):
    """Return made crews, templates, conditions and jobs of one task a day twice: by the model, and by conditioning one large normal.

    Each is the mean of the effects seen and their covariance; single tasks keep the model exactly normal.
    """
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
    return (pace.mean[order], pace.cov[np.ix_(order, order)]), (mean[seen], cov[np.ix_(seen, seen)])
