"""Who comes before cartons and crew, and what of a house is known to be ready on a later day: told alike by notice and questions."""

from __future__ import annotations

from datetime import date

import pytest

from crewjobs.domain.house_ready import Other
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.services.pages.notice_work import LYING
from crewjobs.storage.database import open_database
from tests.services.conftest import JOB, SHOP, Shop, kept

PAINTED = JOB.replace('layers = ["carpet"]', 'layers = ["LAYER"]').replace("2026-03-03 10:00", "2026-03-05 10:00")


def _text(office: Office, page) -> str:
    return " ".join(office.page_text(page).split())


@pytest.fixture
def late(demo_file) -> Office:
    """The demo where job 12's wood comes days later, but somebody reads its rooms today."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)
    office.edit(2, office.job(2).version, {"state": "called off"})
    office.back_ordered(12, "creek maple", "2026-03-11 09:00")
    return office


def test_only_what_was_carried_in_is_read_where_it_lies(late: Office) -> None:
    """Before the cartons come the rooms are read; the boards after they were carried in."""
    days = late.notice(12).days
    carried = next(one.day for one in days if "Carry in" in one.what)
    assert days[0].day < carried
    assert days[0].what == "Temperature and humidity of the rooms read"
    lying = [one.day for one in days if LYING in one.what.lower()]
    assert lying
    assert min(lying) > carried


def test_a_key_is_asked_for_on_the_first_day_somebody_comes(late: Office) -> None:
    """Two working days before the cartons would be after that visit; the rest is asked for by then all the same."""
    notice, page = late.notice(12), late.ready_questions(12)
    assert notice.days[0].day == date(2026, 3, 2) < notice.ready_by
    key = "Somebody or a key there: for the first time on Mon 2 Mar; from the hour we come until we leave"
    assert notice.ready_own == (key,)
    assert not any("key" in one for one in notice.ready)
    assert "EACH BY ITS OWN DAY [ ] Somebody or a key there: for the first time" in _text(late, notice)
    assert page.before == notice.days[0]
    assert "let in first on Mon 2 Mar 12:45–13:00: temperature and humidity of the rooms read." in _text(late, page)
    assert "come on Wed 11 Mar" in _text(late, page)
    assert "for the first time on Mon 2 Mar: please answer this before" in page.questions[-1].why


def painted(shop: Shop, layer: str) -> Office:
    """Load the den with a floor in it, nobody asked yet, and plan."""
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", PAINTED.replace("LAYER", layer))])
    shop.clock.set("2026-03-02", "06:30")
    shop.office.plan()
    return shop.office


def _nothing(_: Shop) -> None:
    """Nothing is loaded yet."""


empty = kept(_nothing)


def test_house_ready_and_notice_name_the_same_first_visit(empty: Shop) -> None:
    """An inspector's sample comes before cartons and crew: both pages say so, and so does the week."""
    office = painted(empty, "sheet vinyl")
    notice, page = office.notice(4), office.ready_questions(4)
    assert page.first is not None
    assert notice.days[0].day < page.first
    assert page.before == notice.days[0]
    assert "sampled by an accredited inspector" in page.before.what
    assert "comes first on" not in _text(office, page)


def test_house_ready_of_a_crew_that_comes_first_says_that_alone(empty: Shop) -> None:
    """Nobody looks before: one day is told."""
    office = painted(empty, "laminate")
    page = office.ready_questions(4)
    assert page.before is None
    assert page.first == office.notice(4).days[0].day
    assert "comes first on" in _text(office, page)


def test_what_is_known_to_be_ready_later_is_asked_for_by_that_day(demo_made) -> None:
    """Job 6's customer said Friday 08:00, and the painter is promised for Thursday: nobody asks for it by Wednesday."""
    demo = Office(open_database(demo_made, create=False), FixedClock(DEMO_NOW), who="tester")
    notice, page = demo.notice(6), demo.ready_questions(6)
    assert notice.ready_by == date(2026, 3, 4)
    assert notice.ready_own == ("Wet work and paint done: by Fri 6 Mar 08:00, as you told us",)
    assert not any("paint" in one for one in notice.ready)
    (asked,) = (one for one in page.questions if not one.answered)
    assert asked.as_said == "not yet; on Fri 6 Mar 08:00, as said before"
    assert "Is it ready now?" not in asked.known
    assert "[ ] yes, already [ ] not yet; on Fri 6 Mar 08:00, as said before [ ] later; it will be on" in _text(
        demo, page
    )


def test_a_painters_promise_is_the_day_where_the_customer_said_none(empty: Shop) -> None:
    """Asked for by an earlier day, it could not be; once the promise is gone by it is asked for as everything else."""
    office = painted(empty, "laminate")
    office.ask(4, Other.PAINTER, "second coat", promised="2026-03-05 17:00", holds=[])
    notice, page = office.notice(4), office.ready_questions(4)
    assert notice.ready_own == ("Wet work and paint done: once the painter is done, promised for Thu 5 Mar 17:00",)
    paint = next(one for one in page.questions if "paint" in one.asks)
    assert paint.known == "As far as we know once the painter is done, promised for Thu 5 Mar 17:00."
    assert paint.as_said == "not yet; on Thu 5 Mar 17:00, as the painter promised"
    empty.clock.set("2026-03-06", "06:30")
    assert not any("painter" in one for one in office.notice(4).ready_own)
