"""A notice tells no day of work that waits for somebody who was to look at what was found, and has not come."""

from __future__ import annotations

from datetime import datetime

import pytest

from tests.services.conftest import Shop, kept
from tests.services.findings.test_found_holds import SUSPECT, make_house


def plan(shop: Shop) -> None:
    """Found on Monday in the loft, and planned when inspector and laboratory were expected in time."""
    shop.office.arrived(4, "gray plank", 18, in_rooms=True)
    shop.office.found(4, "loft", SUSPECT)
    shop.office.plan()


shop = kept(make_house, plan)


def notice(shop: Shop) -> str:
    return " ".join(shop.office.page_text(shop.office.notice(4)).split())


@pytest.mark.parametrize(("day", "clock"), [("2026-03-02", "11:30"), ("2026-03-02", "18:00")])
def test_its_days_are_told_while_somebody_may_still_come_in_time(shop: Shop, day: str, clock: str) -> None:
    """The same evening too: tomorrow is another day."""
    shop.clock.set(day, clock)
    assert "Finished, as planned" in notice(shop)


def test_from_the_next_day_on_the_rest_has_none(shop: Shop) -> None:
    """Nor what comes after it; what does not wait for it keeps its day."""
    shop.clock.set("2026-03-03", "08:00")
    said = notice(shop)
    assert (
        "The rest of our work has no day yet: we have yet to ask the inspector and we have yet to ask the laboratory."
        in said
    )
    assert "Finished, as planned" not in said
    days = shop.office.notice(4).days
    assert days
    assert not any("loft" in one.what for one in days)


def test_a_day_the_inspector_gives_is_a_day_again(shop: Shop) -> None:
    """Late and with a new day: the plan made anew has days, and the notice tells them."""
    shop.clock.set("2026-03-03", "08:00")
    shop.office.promised(4, "inspector", "wed 10:00")
    shop.office.plan()
    assert "Finished, as planned" in notice(shop)
    assert shop.office.notice(4).finish >= datetime(2026, 3, 9).date()
