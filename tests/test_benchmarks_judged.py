"""How figures of benchmarks are judged by their standard errors, and what the exact cases print."""

from __future__ import annotations

from math import nan, sqrt

import numpy as np
import pytest

from crewjobs.engines.learning.lateness import BEFORE, WordKind, learn_lateness
from crewjobs.engines.learning.pace import Pace
from tests.benchmarks.judged import HELD, NOT, WITHIN, in_lines, judge, ratio, root, told
from tests.benchmarks.made_shops import World
from tests.benchmarks.odds_published import published
from tests.benchmarks.odds_shops import LATE_CHANCES, LATE_MEANS, Deliveries, ahead, deliveries, said, usual_hours
from tests.benchmarks.rates import MOST_OFF, covered, error_over, exact, root_mean_square
from tests.benchmarks.season import difference


@pytest.mark.parametrize(
    ("found", "word"),
    [
        ((0.81, 0.001), HELD),
        ((0.823, 0.004), WITHIN),
        ((0.823, 0.002), NOT),
        ((0.77, 0.02), WITHIN),
        ((0.83, nan), NOT),
    ],
)
def test_a_figure_outside_by_less_than_its_error_is_held_within_it(found, word):
    """Between 0.78 and 0.82; without an error there is only held or not."""
    one = judge(found, 0.78, 0.82)
    assert one["told"] == word
    assert (one["held"], one["held_within_error"]) == (word == HELD, word in (HELD, WITHIN))


def test_bounds_and_figures_are_printed_with_what_is_held():
    """One-sided bounds too; a figure without an error has none printed."""
    said_ = list(in_lines({"seed": 1, "expected": {"ms": judge(70, most=50), "kept": judge((0.79, 0.02), least=0.8)}}))
    assert said_[0] == "seed: 1"
    assert said_[2].split() == ["ms", "70,", "at", "most", "50:", "not", "held"]
    assert said_[3].split() == [
        "kept",
        "0.79",
        "±",
        "0.02,",
        "at",
        "least",
        "0.8:",
        "held",
        "within",
        "its",
        "standard",
        "error",
    ]


def test_the_error_of_a_root_is_the_errors_over_twice_the_root():
    """By hand: √(0.25 ± 0.1) is 0.5 ± 0.1."""
    assert root((0.25, 0.1)) == pytest.approx((0.5, 0.1))
    assert told((0.25, nan), 2) == {"mean": 0.25, "error": None}


def test_bands_of_one_shop_are_one_observation():
    """Two shops, 1 of 2 and 2 of 2 held, in two bins: in all as `ratio` of the shops; a bin has the shops it came up in."""
    shops = [{"few": [True, False]}, {"few": [True], "many": [True]}]
    assert covered(shops) == pytest.approx(ratio([1, 2], [2, 2]))
    assert covered(shops, "few") == pytest.approx(ratio([1, 1], [2, 1]))


def test_errors_and_their_ratios_by_hand():
    """Squares 4 and 4 over 16 and 16: half, without error; the root of their mean is 2."""
    shops = [{"learned": [2.0], "book": [-4.0]}, {"learned": [-2.0], "book": [4.0]}]
    assert error_over(shops, "learned", "book") == pytest.approx((0.5, 0))
    assert root_mean_square(shops, "learned") == pytest.approx((2, 0))


def test_the_error_of_a_ratio_of_errors_is_what_many_worlds_show():
    """The ratio of two root mean squares over 30 shops, made 400 times: it spreads as its printed error says."""
    random = np.random.default_rng(1)
    found = []
    for _ in range(400):
        shops = []
        for wide in random.uniform(0.5, 1.5, 30):
            off = random.normal(0, wide)
            shops.append({"book": [off], "learned": [0.4 * off + random.normal(0, 0.2)]})
        found.append(error_over(shops, "learned", "book"))
    ratios, errors = np.array(found).T
    assert errors.mean() == pytest.approx(ratios.std(), rel=0.2)


def test_the_exact_cases_are_printed_and_held():
    """Off by rounding alone from conditioning one large normal, at a seed no other test uses."""
    off = exact(77)
    assert max(off["mean_off_closed_form"], off["covariance_off_closed_form"]) < MOST_OFF
    assert off["textbook_mean_printed"] == 31.96


def test_the_published_network_is_printed_and_held():
    """Weeks, variance and chance as printed, sampled as well."""
    figures, judged = published(np.random.default_rng(1))
    assert (figures["weeks"], figures["variance"]) == (44, 9)
    assert all(one["held"] for one in judged.values())


def test_what_is_said_of_deliveries_is_learned_and_not_the_truth():
    """A shop whose deliveries are late every other time, four days: of few dates little is learned, of many nearly all."""
    come, hours = Deliveries(chance=0.5, mean_days=4.0), usual_hours()
    world, random = World(np.random.default_rng(2), 1.0), np.random.default_rng(3)
    jobs = ahead(world, random)
    told_ = []
    for count in (0, 10_000):
        lateness = learn_lateness(come.history(count, np.random.default_rng(4)))
        plan, _ = said(Pace(), lateness, jobs, hours)
        late, held = plan.lates[0], lateness.of(WordKind.DELIVERY)
        assert (late.how.chance, late.how.mean_days) == (held.chance, held.mean_days)
        assert len({one.how for one in plan.lates}) == 1  # one source, unsure of all it brings at once
        again, _ = said(Pace(), learn_lateness([]), jobs, hours, plan)
        assert [one.due for one in again.lates] == [one.due for one in plan.lates]
        told_.append((late.how.chance, late.how.mean_days))
    assert told_[0] == pytest.approx(BEFORE[WordKind.DELIVERY])
    assert told_[1][0] == pytest.approx(0.5, abs=0.05)
    assert told_[1][1] > 3  # of any one no more than two weeks count


def test_shops_differ_in_how_late_deliveries_come():
    """Drawn between the bounds, each its own."""
    drawn = [deliveries(np.random.default_rng(seed)) for seed in range(20)]
    assert len({(one.chance, one.mean_days) for one in drawn}) == 20
    assert all(LATE_CHANCES[0] <= one.chance <= LATE_CHANCES[1] for one in drawn)
    assert all(LATE_MEANS[0] <= one.mean_days <= LATE_MEANS[1] for one in drawn)


def test_policies_are_compared_job_by_job():
    """Later by 2 and by 0: 1 day on the average, √2 / √2 its error; jobs only one of them ended are left out."""
    assert difference({(1, 1): 3, (1, 2): 1, (1, 3): 9}, {(1, 1): 1, (1, 2): 1}) == pytest.approx(
        (1, sqrt(2) / sqrt(2))
    )
