"""How late things come: the conjugate updates against scipy and by hand, and what of a job's dates is a record."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from scipy.integrate import quad

from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import Goods, GoodsCome, GoodsLine, NewDate
from crewjobs.domain.house_ready import Other, ReadyAnswer, ReadyItem, WaitingOn
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Lot, OrderLine
from crewjobs.engines.learning.dates_kept import dates_kept, who_brings
from crewjobs.engines.learning.lateness import BEFORE, CHANCE_WORTH, MOST_DAYS, Kept, WordKind, before, learn_lateness
from tests.builders import material
from tests.builders import record as plain_record

DUE = datetime(2026, 3, 3, 16, tzinfo=UTC)
NOW = DUE + timedelta(days=20)
DELIVERY, OTHERS, HOUSE = WordKind


def days(number: float) -> datetime:
    return DUE + timedelta(days=number)


def test_by_hand_three_late_of_ten():
    """Beta(1.2, 6.8) and 3 of 10: (1.2 + 3) / 18; gamma(5, 8) and 1 + 2 + 6 days: (8 + 9) / (5 + 3 - 1)."""
    ones = [Kept(kind=DELIVERY, late=True, days=late) for late in (1, 2, 6)] + [Kept(kind=DELIVERY)] * 7
    found = before(0.15, 2.0, worth=8, lates=4).learned(ones)
    assert found.chance == pytest.approx(4.2 / 18)
    assert found.mean_days == pytest.approx(17 / 7)
    assert (found.records, found.lates) == (10, 3)


@given(st.lists(st.tuples(st.floats(0.01, MOST_DAYS), st.booleans()), max_size=6), st.integers(0, 9))
def test_updates_equal_likelihood_times_prior_over_their_integral(lates, kept):
    """With scipy's densities, what is still out by its survival function: the mean chance and the mean of the mean days."""
    first = before(0.2, 1.5)
    found = first.learned([Kept(kind=HOUSE, late=True, days=d, over=o) for d, o in lates] + [Kept(kind=HOUSE)] * kept)

    def chance(p: float) -> float:
        return float(stats.beta.pdf(p, first.late, first.kept) * stats.binom.pmf(len(lates), len(lates) + kept, p))

    both = [quad(lambda p, n=n: p**n * chance(p), 0, 1)[0] for n in (0, 1)]
    assert found.chance == pytest.approx(both[1] / both[0], rel=1e-5)
    # Over the logarithm of the mean days, out to where nothing is left of the slowly falling tail.
    mean = np.exp(np.linspace(np.log(1e-3), np.log(1e7), 4001))
    seen = [stats.expon.pdf(d, scale=mean) if over else stats.expon.sf(d, scale=mean) for d, over in lates]
    each = mean * stats.invgamma.pdf(mean, first.came, scale=first.days) * np.prod(seen, axis=0)
    assert found.mean_days == pytest.approx((mean * each).sum() / each.sum(), rel=1e-5)


def test_one_date_forgotten_for_months_counts_as_two_weeks():
    """An order entered long afterward does not make every delivery hopeless."""
    first = before(0.15, 2.0, lates=4)
    months, weeks = (first.learned([Kept(kind=DELIVERY, late=True, days=late)]) for late in (90.0, MOST_DAYS))
    assert months.mean_days == weeks.mean_days == pytest.approx((2 * 4 + 14) / (4 + 1))


def test_without_records_it_is_what_is_held_before():
    """The constants, whoever it is."""
    for kind, (chance, mean) in BEFORE.items():
        found = learn_lateness(()).of(kind, "anybody")
        assert (found.chance, found.mean_days) == (pytest.approx(chance), pytest.approx(mean))


def test_a_name_is_judged_from_all_others_and_its_own():
    """The mill: 0 of 0 known of its own would be as the others; its own records move it, and do not count twice."""
    others = [Kept(kind=DELIVERY, by="river", late=n < 4, days=1.0 if n < 4 else 0.0) for n in range(12)]
    mill = [Kept(kind=DELIVERY, by=name, late=True, days=3) for name in ("Mill ", "mill")]
    found = learn_lateness([*others, *mill])
    of_others = before(*BEFORE[DELIVERY]).learned(others)
    like_them = before(of_others.chance, of_others.mean_days).learned(mill)
    assert found.of(DELIVERY, " MILL") == like_them
    assert like_them.chance == pytest.approx((of_others.chance * CHANCE_WORTH + 2) / (CHANCE_WORTH + 2))
    assert found.of(DELIVERY).records == 14
    assert found.of(DELIVERY, "nobody yet") == found.of(DELIVERY)
    assert found == learn_lateness([*mill, *others])


@pytest.mark.parametrize("given_", [{"days": -1.0}, {"days": 2.0}, {"late": True, "days": float("nan")}])
def test_days_that_cannot_be_are_refused(given_):
    """Below nothing, without being late, or no number."""
    with pytest.raises(Refused, match="days late"):
        Kept(kind=DELIVERY, **given_)


# -- what is a record


def job_of() -> JobRecord:
    order = OrderLine(material="harbor plank", cartons=10, supplier="river", ordered=date(2026, 2, 20), due=DUE)
    return plain_record(materials=(material(),), orders=(order,), ready=False)


def lot(record: JobRecord, at: datetime, cartons: int, name: str = "A") -> Lot:
    return Lot(material=record.job.materials[0].name, name=name, cartons=cartons, arrived_at=at)


def told(record: JobRecord, now: datetime = NOW) -> list[tuple[str, bool, float, bool]]:
    return [(one.by, one.late, round(one.days, 3), one.over) for one in dates_kept(record, now)]


def test_a_delivery_is_kept_by_its_day_and_late_by_its_last_carton():
    """Two hours late the same day is kept; the tenth carton three days later is late by three days."""
    record = job_of()
    assert told(replace(record, lots=(lot(record, days(2 / 24), 10),))) == [("river", False, 0, True)]
    both = (lot(record, days(-1), 9), lot(record, days(3), 1, "B"))
    assert told(replace(record, lots=both)) == [("river", True, 3, True)]
    assert who_brings(record, record.job.materials[0].name) == "river"


def test_what_is_to_come_tells_nothing_and_what_is_overdue_how_long_so_far():
    """Before its day no record; after it late, not over, by the days so far."""
    assert told(job_of(), days(-1)) == []
    assert told(job_of(), days(0.1)) == []
    assert told(job_of(), days(4)) == [("river", True, 4, False)]


def test_a_date_taken_back_is_not_kept_and_the_new_one_is_a_date():
    """Back-ordered to ten days later, come a day before that: the first is late by nine days, the second kept."""
    record = job_of()
    word = NewDate(line=record.job.materials[0].name, at=days(-2), due=days(10))
    back = replace(record, new_dates=(word,))
    assert told(back, days(-1)) == [("river", True, 0, False)]
    assert told(replace(back, lots=(lot(record, days(9), 10),))) == [
        ("river", True, 9, True),
        ("river", False, 0, True),
    ]
    sooner = replace(record, new_dates=(replace(word, due=days(-0.5)),), lots=(lot(record, days(-0.5), 10),))
    assert told(sooner) == [("river", False, 0, True)]


def test_goods_and_others_are_dates_too():
    """Pad by the roll from the same supplier; the plumber two days late, the painter not yet due, the usual counts."""
    record = job_of()
    pad = GoodsLine(goods=Goods.PAD, count=2, supplier="coast", ordered=date(2026, 2, 20), due=DUE)
    asked = date(2026, 2, 27)
    waits = (
        WaitingOn(who=Other.PLUMBER, what="gas", asked=asked, promised=DUE, came_at=days(2)),
        WaitingOn(who=Other.LABORATORY, what="samples", asked=asked, promised=DUE, came_at=days(-1), usual=True),
        WaitingOn(who=Other.PAINTER, what="coat", asked=asked, promised=NOW + timedelta(days=1)),
        WaitingOn(who=Other.CUSTOMER, what="color", asked=asked),
    )
    whole = replace(
        record,
        job=replace(record.job, goods=(pad,), orders=()),
        goods_come=(GoodsCome(line=pad.name, count=2, at=days(1)),),
        waiting_on=waits,
    )
    assert told(whole) == [("coast", True, 1, True), ("plumber", True, 2, True), ("laboratory", False, 0, True)]


def answer(at: float, *, until: float | None = None) -> ReadyAnswer:
    ready = until is None
    return ReadyAnswer(
        item=ReadyItem.PAINT, ready=ready, at=days(at), by="Teo", until=None if until is None else days(until)
    )


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        ([answer(-3, until=0)], []),
        ([answer(-3, until=0), answer(1)], [("", False, 0, True)]),
        ([answer(-3, until=0), answer(0.5, until=4), answer(4)], [("", True, 4, True), ("", False, 0, True)]),
        ([answer(-3, until=0), answer(-1, until=4)], [("", True, 20, False)]),
        ([answer(-3, until=4), answer(-1, until=0), answer(0.1)], [("", False, 0, True)]),
    ],
)
def test_a_house_keeps_its_word_unless_it_is_found_unready(answers, expected):
    """Not known; ready when asked again; found unready and ready four days late; taken back; put right sooner."""
    record = job_of()
    plain = replace(record, job=replace(record.job, orders=()))
    assert told(replace(plain, answers=tuple(answers))) == expected
