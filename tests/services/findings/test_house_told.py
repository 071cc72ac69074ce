"""What is not settled in a house is told to whoever goes there, for whichever of its jobs."""

from __future__ import annotations

from datetime import date

import pytest

from tests.services.conftest import Shop, kept
from tests.services.findings.test_found_holds import make_house
from tests.services.findings.test_found_in_callbacks import WHAT, finish

DAY = date(2026, 3, 5)
SAID = "front room: mold, found Mon 2 Mar 11:30, is not settled."


def come_back(shop: Shop) -> None:
    """A lead looks at the finished job 4; callback 5 works in its front room, callback 6 in its loft."""
    finish(shop)
    shop.office.callback(4, WHAT, where="front room")
    shop.office.callback(4, WHAT, where="loft")
    shop.office.plan_visit(4, "callback", at="2026-03-05 09:00", who="Ines Varga")


shop = kept(make_house, come_back)


def page(shop: Shop) -> str:
    return " ".join(shop.office.day_plan_text(DAY, "Ines Varga").split())


@pytest.mark.parametrize(
    ("kind", "check"),
    [("mold", "source of the water stopped first"), ("suspect asbestos", "presumed to hold asbestos")],
)
@pytest.mark.parametrize("state", ["booked", "done"])
def test_a_visit_to_the_finished_job_is_told(shop: Shop, kind: str, check: str, state: str) -> None:
    """Whatever nobody has decided of, with what to check, whether that job goes on in the list or not."""
    if state == "done":
        shop.office.edit(4, shop.office.job(4).version, {"state": state})
    assert kind not in page(shop)
    shop.office.found(5, "front room", kind, area="12 ft2")
    assert f"Found: {SAID.replace('mold', kind)}" in page(shop)
    assert check in page(shop).partition("CAUTIONS")[2].partition("HOUSE 1")[0]


def test_the_finders_answer_names_the_visit_and_week_and_job_say_it(shop: Shop) -> None:
    """Who goes there may have printed the page already."""
    said = shop.office.found(5, "front room", "mold", area="12 ft2").then
    assert (
        "Ines Varga goes there Thu 5 Mar 09:00 for job 4 (callback): tell them, and print that day's page again."
        in said
    )
    [line] = [line for line in shop.office.job(4).findings if "mold" in line]
    assert line.startswith(f"Job 5: {SAID}")
    [small] = [small for day in shop.office.week().days for small in day.small]
    assert small.found == "not settled: mold in front room"


def test_a_visit_to_another_callback_is_told_of_a_room_it_does_not_know(shop: Shop) -> None:
    """The house is one; what the job itself says is not said twice."""
    shop.office.plan_visit(6, "site-check", at="2026-03-05 11:00", who="Ines Varga")
    shop.office.plan_visit(5, "site-check", at="2026-03-05 13:00", who="Ines Varga")
    shop.office.found(5, "front room", "mold", area="12 ft2")
    houses = page(shop).split("HOUSE ")[1:]
    assert len(houses) == 3
    assert all(house.count("front room: mold") == 1 for house in houses)


def test_once_it_is_settled_nobody_is_told(shop: Shop) -> None:
    """Neither on the page nor in the week."""
    shop.office.found(5, "front room", "mold", area="12 ft2")
    shop.office.way_on(5, "front room", "mold", "specialist", by="Ines Varga", because="clearance in hand")
    assert "mold" not in page(shop)
    assert not any(small.found for day in shop.office.week().days for small in day.small)
    assert not any("mold" in line for line in shop.office.job(4).findings)


def words(shop: Shop, page: object) -> str:
    return " ".join(shop.office.page_text(page).split())


def events(shop: Shop) -> list[str]:
    """Return what the calendars of job 4 and of its visitor say, each as one line."""
    found = []
    for file, of in (("job.ics", {"job": 4}), ("who.ics", {"crew": "Ines Varga"})):
        path = shop.folder / file
        shop.office.calendars(path, **of)
        found.append(path.read_text().replace("\r\n ", "").replace("\n ", "").replace("\\", ""))
    return found


SHUT = "front room: shut until what was found there is settled"
LEAVE = "please leave it off where the crew turned it off"


def test_the_customers_page_and_the_wall_sheet_of_a_visit_are_told(shop: Shop) -> None:
    """The room is shut and what is off stays off for whichever job somebody comes; the customer is not told what it is."""
    assert "settled" not in words(shop, shop.office.notice(4))
    shop.office.found(5, "front room", "live wire or pipe", words="wire")
    for number in (4, 5, 6):
        if number == 6:
            shop.office.plan_visit(6, "site-check", at="2026-03-05 11:00", who="Ines Varga")
        notice = words(shop, shop.office.notice(number))
        assert notice.count(SHUT) == 1
        assert notice.count(LEAVE) == 1
        assert "live wire" not in notice
    sheet = words(shop, shop.office.week_sheet())
    assert sheet.count("not settled: live wire or pipe in front room") == 2
    shop.office.way_on(5, "front room", "live wire or pipe", "made by the trade", by="Ines Varga")
    assert SHUT not in words(shop, shop.office.notice(4))
    assert "not settled" not in words(shop, shop.office.week_sheet())


def test_the_calendars_of_a_visit_are_told(shop: Shop) -> None:
    """The visitor what it is, the customer what is shut and off."""
    shop.office.plan()
    assert not any("settled" in one for one in events(shop))
    shop.office.found(5, "front room", "live wire or pipe", words="wire")
    house, visitor = events(shop)
    assert SHUT.capitalize() in house
    assert LEAVE in house
    assert "live wire" not in house
    assert "Not settled: live wire or pipe in front room" in visitor


def test_the_crew_of_another_job_of_the_house_is_told(shop: Shop) -> None:
    """On its page with what to check, on site, in its calendar, in the week and on the wall; once it is settled nowhere."""
    shop.ready(6)
    shop.office.plan()
    [(day, crew)] = [(one.day, visit.crew) for one in shop.office.week().days for visit in one.visits if visit.job == 6]

    def told() -> list[str]:
        shop.office.calendars(shop.folder / "crew.ics", crew=crew)
        [house] = [one for one in shop.office.site_day(crew, day).houses if one.job == 6]
        found = [visit.found for one in shop.office.week().days for visit in one.visits if visit.job == 6]
        return [
            " ".join(shop.office.day_plan_text(day, crew).split()),
            " ".join(house.found),
            (shop.folder / "crew.ics").read_text().replace("\r\n ", "").replace("\n ", ""),
            " ".join(found),
            words(shop, shop.office.week_sheet()),
        ]

    assert not any("mold" in one for one in told())
    shop.office.found(5, "front room", "mold", area="12 ft2")
    page, site, calendar, week, wall = told()
    assert page.count(f"Found: {SAID}") == 1
    assert "source of the water stopped first" in page.partition("CAUTIONS")[2].partition("HOUSE 1")[0]
    assert SAID in site
    assert "Not settled: mold in front room" in calendar
    assert week == "not settled: mold in front room"
    assert "! not settled: mold in front room" in wall
    shop.office.edit(5, shop.office.job(5).version, {"state": "called off"})
    assert all("mold in front room" in one or SAID in one for one in told()), "it is there still"
    shop.office.way_on(5, "front room", "mold", "specialist", by="Ines Varga", because="clearance in hand")
    assert not any("mold" in one for one in told())
