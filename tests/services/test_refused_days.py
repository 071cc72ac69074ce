"""A refused day of another year is told with its year, which may be the fault; one of this year without it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import EveningEntry
from tests.services.conftest import Shop

CLEAR = {"laboratory": "Bay Analysis", "sample": "7"}


def _sampled(day: str) -> Callable[[Shop], object]:
    return lambda shop: shop.office.way_on(4, "den", "suspect asbestos", "proven clear", sampled=day, **CLEAR)


def _asked(shop: Shop) -> None:
    shop.office.ask(4, "plumber", "gas shut off")
    shop.office.agreed(4, "heated floor", "400", only_asked=True)


REFUSED: dict[str, tuple[Callable[[Shop], object], str]] = {
    "a sample of a year to come": (_sampled("2027-01-01"), "a sample of Fri 1 Jan 2027 is none of this"),
    "a sample of long ago": (_sampled("1990-01-01"), "a sample of Mon 1 Jan 1990 is none of this"),
    "a sample of this year": (_sampled("2026-02-27"), "a sample of Fri 27 Feb is none of this"),
    "a pin": (lambda shop: shop.office.pin(4, [1], "Birch", date(2025, 3, 3)), "Mon 3 Mar 2025 has gone by"),
    "hours": (lambda shop: shop.office.hours("Birch", date(2025, 3, 3), "off"), "Mon 3 Mar 2025 has gone by"),
    "usual hours": (
        lambda shop: shop.office.usual_hours("Birch", date(2027, 3, 3)),
        "no other hours are recorded for Birch on Wed 3 Mar 2027",
    ),
    "somebody away": (lambda shop: shop.office.away("Ines", date(2025, 3, 3)), "Mon 3 Mar 2025 is more than"),
    "somebody back": (lambda shop: shop.office.back("Ines", date(2027, 3, 3)), "is not away on Wed 3 Mar 2027"),
    "what came": (
        lambda shop: shop.office.came(4, "plumber", at="2025-03-03 10:00"),
        "before that, Mon 3 Mar 2025 10:00",
    ),
    "an order": (
        lambda shop: shop.office.agreed(4, "heated floor", "", on="2025-03-03", by="Teo"),
        "cannot be agreed before that, Mon 3 Mar 2025",
    ),
    "an evening": (lambda shop: shop.office.evening("Birch", date(2025, 3, 3), EveningEntry()), "on Mon 3 Mar 2025"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_a_refused_day_has_its_year_where_that_is_another(shop: Shop, what: str) -> None:
    """Whatever is recorded of it."""
    act, words = REFUSED[what]
    shop.office.found(4, "den", "suspect asbestos")
    _asked(shop)
    shop.office.plan()
    with pytest.raises(Refused) as refused:
        act(shop)
    assert words in str(refused.value)
