"""Rates as they are shown: robust against odd records, with conditions, pins, and hours that are no work kept apart."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.pace import DoneTask, HoursKind, LearnedRate, RatePin
from crewjobs.engines.learning.pace import learn
from crewjobs.engines.learning.predicting import condition_factor, predict, rate
from crewjobs.engines.learning.scales import Priors
from crewjobs.engines.learning.updating import with_job
from tests.engines.learning.made import day, shop
from tests.thorough import examples

SMALL = 0.05
"""The most that one record of twenty times its hours may move the log of a rate with ten jobs behind it."""


def evenly(count=10):
    return [day(number, 60 * exp(0.2 + 0.15 * (-1) ** number), ("rows", 60)) for number in range(count)]


@pytest.mark.parametrize("times", [20.0, 1 / 20])
def test_an_odd_record_hardly_moves_the_rate(times):
    """A record of twenty times its hours moves it by less than 5 %; counted in full it would by more than 20 %."""
    plain, odd = evenly(), day(77, 60 * exp(0.2) * times, ("rows", 60))
    for priors, far in ((Priors(), False), (Priors(doubted=False), True)):
        before = rate(learn(plain, priors=priors), "Birch", "rows")
        after = rate(learn([*plain, odd], priors=priors), "Birch", "rows")
        moved = abs(log(after.factor / before.factor))
        assert moved > 0.15 if far else moved < SMALL
    assert after.jobs == 11  # in full
    assert rate(learn([*plain, odd]), "Birch", "rows").jobs == 10


def test_an_odd_record_is_asked_about_and_kept():
    """It is in the list with one sentence, what would be usual beside; the ordinary ones are not."""
    odd = day(77, 60 * exp(0.2) * 20, ("rows", 60))
    pace = learn([*evenly(), odd])
    assert [one.day for one in pace.odd] == [odd]
    assert pace.odd[0].expected_min == pytest.approx(60 * exp(0.2), rel=0.1)
    assert pace.odd[0].sentence == (
        "job 77, Mon 2 Mar, Birch: 24.4 h of one person where about 1.2 h would be usual for what was done; it is kept and "
        "hardly counts. Ask the crew: are the times, the people and what was done right?"
    )


def test_an_odd_record_learned_later_is_found_as_well():
    """Learning on from one job doubts as learning all does; put right, it counts."""
    pace = learn(evenly())
    odd = day(77, 60 * exp(0.2) * 20, ("rows", 60))
    after = with_job(pace, 77, [odd])
    assert [one.day for one in after.odd] == [odd]
    before = rate(pace, "Birch", "rows")
    assert abs(log(rate(after, "Birch", "rows").factor / before.factor)) < SMALL
    right = with_job(after, 77, [replace(odd, labor_min=75.0)])
    assert right.odd == ()
    assert rate(right, "Birch", "rows").jobs == before.jobs + 1


def test_the_first_record_of_a_shop_may_be_odd():
    """Twenty times the book in the only record there is: asked about, and the rate stays within a third of the book's."""
    pace = learn([day(1, 1200.0, ("rows", 60))])
    assert len(pace.odd) == 1
    assert rate(pace, "Birch", "rows").factor < 4 / 3


def test_a_job_whose_days_are_all_odd_is_found():
    """Four days of ten times their hours agree with each other, and with nothing else."""
    odd = [day(77, 600 * exp(0.2), ("rows", 60), after=later) for later in range(4)]
    odd = [replace(one, done=(replace(one.done[0], number=later),)) for later, one in enumerate(odd)]
    pace = learn([*evenly(), *odd])
    assert {one.day.job for one in pace.odd} == {77}
    before = rate(learn(evenly()), "Birch", "rows")
    assert abs(log(rate(pace, "Birch", "rows").factor / before.factor)) < SMALL


def test_what_is_merely_slow_is_not_called_odd():
    """In made shops without a wrong record about one in a hundred is asked about at most."""
    asked = [len(learn(shop(seed, 60).days).odd) for seed in range(3)]
    assert sum(asked) <= 0.01 * sum(len(shop(seed, 60).days) for seed in range(3)) + 1


def test_conditions_are_recovered():
    """Furnished by 30 % and upstairs by 15 %, each in half of the days: found within their band and a tenth."""
    made = shop(5, 120, conditions=(("furnished", log(1.3)), ("upstairs", log(1.15))))
    pace = learn(made.days)
    for name, true in (("furnished", 1.3), ("upstairs", 1.15)):
        factor, low, high = condition_factor(pace, name)
        assert factor == pytest.approx(true, rel=0.1)
        assert low < factor < high
    assert condition_factor(pace, "cut-up")[0] == 1.0
    plain = predict(pace, "crew 1", [DoneTask(number=1, template="work 1", book_min=100)])
    held = DoneTask(number=1, template="work 1", book_min=100, conditions=frozenset({"furnished"}))
    assert predict(pace, "crew 1", [held]).median == pytest.approx(1.3 * plain.median, rel=0.1)


def test_a_crew_borrows_from_the_shop():
    """What one crew was never seen at is expected as the others do it, less sure."""
    days = [day(number, 90.0, ("rows", 60), crew=("Birch", "Cedar", "Oak")[number % 3]) for number in range(30)]
    pace = learn(days)
    seen, unseen = rate(pace, "Birch", "rows"), rate(pace, "Maple", "rows")
    assert unseen.factor == pytest.approx(1.5, rel=0.1)
    assert unseen.jobs == 0
    assert unseen.high / unseen.low > seen.high / seen.low


@settings(max_examples=examples(20, 5), deadline=None)
@given(st.floats(0.2, 5))
def test_a_pin_outranks_what_was_learned(factor):
    """A pinned rate is itself without a band; what was learned stays beside it, and other work is untouched."""
    days = [*evenly(), day(50, 80.0, ("base", 60))]
    pace = learn(days, pins=[RatePin(crew="Birch", template="rows", factor=factor)])
    found = rate(pace, "Birch", "rows")
    assert (found.factor, found.low, found.high) == pytest.approx((factor,) * 3)
    assert found.pinned
    assert found.learned == pytest.approx(rate(learn(days), "Birch", "rows").factor)
    assert rate(pace, "Birch", "base") == rate(learn(days), "Birch", "base")
    task = DoneTask(number=1, template="rows", book_min=100)
    assert predict(pace, "Birch", [task]).median == pytest.approx(100 * factor)
    assert rate(pace.pinned(()), "Birch", "rows").pinned is False


def test_a_slipped_digit_in_a_pin_is_refused():
    """A factor beyond twenty is no rate."""
    with pytest.raises(Refused, match=r"'Birch', 'rows': 200 times the book's time; it is from 0.05 to 20"):
        RatePin(crew="Birch", template="rows", factor=200)


@pytest.mark.parametrize("kind", [HoursKind.CALLBACK, HoursKind.DRY_RUN, HoursKind.WAITING])
def test_hours_that_are_no_work_tell_no_pace(kind):
    """Callbacks, dry runs and waiting are passed over, whatever they took."""
    apart = day(88, 3000.0, ("rows", 60), kind=kind)
    plain, more = learn(evenly()), learn([*evenly(), apart])
    assert rate(more, "Birch", "rows") == rate(plain, "Birch", "rows")
    assert more.odd == ()


def test_a_day_without_anything_done_is_passed_over():
    """Hours with no ticked task have nothing to be a pace of."""
    assert rate(learn([*evenly(), day(88, 480.0)]), "Birch", "rows") == rate(learn(evenly()), "Birch", "rows")


def test_a_rate_as_an_amount_in_a_man_day():
    """Half as long again by the book's 150 ft² a man-day is 100 ft², the band's slower end first."""
    found = LearnedRate(crew="Birch", template="rows", factor=1.5, low=1.2, high=2.0, spread=0.3, jobs=4, learned=1.5)
    assert found.per_man_day(150) == pytest.approx(100)
    assert found.per_man_day_band(150) == pytest.approx((75, 125))


@pytest.mark.parametrize(
    ("labor", "sentence"),
    [
        (-30.0, "-0.5 h of one person; it is more than 0 and at most 192"),
        (12000.0, "200 h of one person; it is more than 0 and at most 192"),
    ],
)
def test_hours_that_cannot_be_are_refused(labor, sentence):
    """Below zero, or more than eight people can do in a day."""
    with pytest.raises(Refused, match=sentence):
        day(1, labor, ("rows", 60))


def test_a_task_twice_in_a_day_is_refused():
    """What was done of a task on a day is one amount."""
    task = DoneTask(number=3, template="rows", book_min=30)
    with pytest.raises(Refused, match="task 3 is there twice; add up what was done of it"):
        replace(day(1, 60.0, ("rows", 60)), done=(task, task))
