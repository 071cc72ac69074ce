"""What is planned over the turn of a year is told with the year that is not the present one."""

from __future__ import annotations

import re

import pytest

from crewjobs.cli.when import when_text
from crewjobs.cli.why import why_text
from crewjobs.domain.errors import Refused
from crewjobs.services.answers.what_if_rows import WhatIfAsked
from tests.services.conftest import JOB, SHOP, Shop

NO_YEAR = re.compile(r"\b\d{1,2} Jan(?! 2027)")


@pytest.fixture
def new_year(empty_shop: Shop) -> Shop:
    """On Monday 28 December 2026 a job whose planks come on 4 January and that is promised for that day."""
    shop = empty_shop
    shop.clock.set("2026-12-28", "06:30")
    job = (
        JOB.replace("2026-03-13", "2027-01-04")
        .replace("2026-02-16", "2026-12-14")
        .replace('"2026-03-03 10:00"', '"2027-01-04 10:00"')
    )
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", job)])
    shop.office.plan()
    return shop


def test_why_tells_days_of_the_next_year_with_it(new_year: Shop) -> None:
    """Finish, delivery and promise lie in January 2027: each says so, of one job and of all promises."""
    for text in (why_text(new_year.office.why(4)), why_text(new_year.office.why(None))):
        assert "Mon 4 Jan 2027" in text
        assert not NO_YEAR.search(text)


def test_when_and_what_if_tell_days_of_another_year_with_it(new_year: Shop) -> None:
    """What could be laid in January, what a later promise does, and a day five years ago that is refused."""
    texts = [
        when_text(new_year.office.when("300 laminate", ready="2027-01-05")),
        new_year.office.what_if(WhatIfAsked(promises=((4, "2027-01-15"),))).sentence,
        new_year.office.what_if(WhatIfAsked(off=(("Birch", "2027-01-05"),))).sentence,
    ]
    for text in texts:
        assert "Jan 2027" in text
        assert not NO_YEAR.search(text)
    with pytest.raises(Refused, match="Wed 1 Jan 2020 has gone by"):
        new_year.office.when("300 laminate", ready="2020-01-01")
