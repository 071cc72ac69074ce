"""The classical reckoning of odds against a published network, and sampling against the classical reckoning."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from scipy.stats import norm

from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import ThreePoint
from crewjobs.engines.planning.pert import pert, sampled_ends, sampled_times
from tests.engines.planning.published_pert import (
    ARCS,
    BY,
    CHANCE,
    CRITICAL,
    ESTIMATES,
    MEANS,
    RELIABLE,
    SLACK,
    VARIANCE,
    WEEKS,
)

# A solved text exercise with 14 activities (READ-SEC): low, likely, high, mean, standard deviation.
SOLVED = [
    (5, 5, 7, 5.33, 0.33),
    (4, 8, 13, 8.17, 1.50),
    (1, 10, 17, 9.67, 2.67),
    (2, 6, 9, 5.83, 1.17),
    (6, 10, 13, 9.83, 1.17),
]


@pytest.mark.parametrize(("low", "likely", "high", "mean", "sd"), SOLVED)
def test_mean_and_spread_of_a_solved_exercise(low, likely, high, mean, sd):
    """te = (a + 4m + b) / 6 and (b - a) / 6, to the printed hundredth."""
    estimate = ThreePoint(low=low, likely=likely, high=high)
    assert estimate.expected == pytest.approx(mean, abs=0.005)
    assert estimate.spread == pytest.approx(sd, abs=0.005)


def test_the_published_network_of_fourteen():
    """Length 44, variance 9, the path A-B-C-E-F-J-L-N, its slacks, and a chance of 0.841 by week 47."""
    assert {name: round(ESTIMATES[ord(name)].expected, 9) for name in RELIABLE} == MEANS
    found = pert(ESTIMATES, ARCS)
    assert found.length == pytest.approx(WEEKS)
    assert found.variance == pytest.approx(VARIANCE)
    assert "".join(map(chr, found.critical)) == CRITICAL
    assert {chr(task): pytest.approx(left) for task, left in found.slack.items() if left} == SLACK
    assert found.chance_by(BY) == pytest.approx(CHANCE, abs=0.0005)
    assert found.chance_by(47) == pytest.approx(norm.cdf(47, 44, 3))


def test_the_sampled_critical_path_has_the_classical_mean_and_variance():
    """200,000 samples of the path alone: mean 44, variance 9, and nearly the normal chance by week 47."""
    times = sampled_times(ESTIMATES, 200_000, np.random.default_rng(1))
    path = sum(times[ord(name)] for name in CRITICAL)
    assert path.mean() == pytest.approx(44, abs=0.05)
    assert path.var() == pytest.approx(9, rel=0.02)
    assert (path <= 47).mean() == pytest.approx(0.841, abs=0.01)


def test_the_sampled_network_is_less_hopeful_than_its_critical_path():
    """Other paths are nearly as long: the network ends later in the mean and is less often done by week 47."""
    times = sampled_times(ESTIMATES, 50_000, np.random.default_rng(2))
    ends, path = sampled_ends(times, ARCS), sum(times[ord(name)] for name in CRITICAL)
    assert (ends >= path - 1e-9).all()
    assert ends.mean() > 44.2
    assert (ends <= 47).mean() < (path <= 47).mean() - 0.01


def test_without_spread_sampling_is_the_critical_path():
    """Tasks that take their likely time: every sample ends when the means say."""
    fixed = {
        task: ThreePoint(low=one.expected, likely=one.expected, high=one.expected) for task, one in ESTIMATES.items()
    }
    ends = sampled_ends(sampled_times(fixed, 10, np.random.default_rng(3)), ARCS)
    np.testing.assert_allclose(ends, 44)
    found = pert(fixed, ARCS)
    assert (found.variance, found.chance_by(43.9), found.chance_by(44.1)) == (0, 0, 1)


def test_samples_stay_between_low_and_high_with_the_mean_and_spread():
    """Each task's samples have its PERT mean and standard deviation and leave neither end."""
    times = sampled_times(ESTIMATES, 100_000, np.random.default_rng(4))
    for task, estimate in ESTIMATES.items():
        assert times[task].min() >= estimate.low
        assert times[task].max() <= estimate.high
        assert times[task].mean() == pytest.approx(estimate.expected, abs=0.02)
        assert sqrt(times[task].var()) == pytest.approx(estimate.spread, rel=0.02)


def test_waits_count_and_of_two_critical_paths_the_more_uncertain():
    """A wait of two weeks lies between; of equal paths the one with more variance is reckoned with."""
    estimates = {
        1: ThreePoint(low=2, likely=2, high=2),
        2: ThreePoint(low=3, likely=4, high=5),
        3: ThreePoint(low=1, likely=4, high=7),
        4: ThreePoint(low=1, likely=1, high=1),
    }
    found = pert(estimates, [(1, 2, 2), (1, 3, 2), (2, 4, 0), (3, 4, 0)])
    assert (found.length, found.critical, found.variance) == (9, (1, 3, 4), 1)


def test_a_circle_is_refused():
    """Links in a circle have no length."""
    with pytest.raises(Refused, match="circle"):
        pert({1: ESTIMATES[65], 2: ESTIMATES[66]}, [(1, 2, 0), (2, 1, 0)])
