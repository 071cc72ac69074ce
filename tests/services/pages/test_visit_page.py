"""The page of one person's small visits: the lead's day, and what a person of a crew does beside its page."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest

from crewjobs.domain.agreed import VisitKind
from crewjobs.domain.crew import Lead
from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import Span, WeekHours
from crewjobs.services.pages.sheets import pages
from tests.services.conftest import JOB, Shop, kept, load_den

THURSDAY = date(2026, 3, 5)
HOURS = WeekHours(days=((Span(start=8 * 60, end=12 * 60), Span(start=13 * 60, end=16 * 60)),) * 5 + ((),) * 2)


def make_led(shop: Shop) -> None:
    """The shop with its lead, planned, and a second house, job 5, 25 minutes away."""
    text = JOB.replace("number = 4", "number = 5").replace("9 Quarry Road", "12 Ames Lane")
    text = text.replace("year_built = 1994", "year_built = 1994\ndrive_min = 25").replace("555-0142", "555-0143")
    shop.office.load([shop.file("ames.toml", text)])
    shop.ready(5)
    with shop.office._database.unit_of_work(who="tester") as uow:
        uow.save_shop(replace(uow.shop(), lead=Lead(name="Nadia Reyes", hours=HOURS)))
        uow.commit("the lead", at=shop.clock.now())
    shop.office.plan()


led = kept(load_den, make_led)


def pages_of(shop: Shop, who: str = "", day: date = THURSDAY, *, lead_copy: bool = False):
    office = shop.office
    with office._database.reading() as uow:
        return pages(uow, office._catalogue(uow), office._clock.now(), day, who, lead_copy=lead_copy, paper="")


def test_the_lead_has_a_page_on_a_day_with_small_visits(led):
    """Time, house, address, phone, kind and why, with the drives from the shop, between and back."""
    led.office.plan_visit(4, "site-check", at="thu 9:00", because="is the paint dry")
    led.office.plan_visit(5, "reading", at="thu 10:45", minutes=30)
    (page,) = [page for page in pages_of(led) if page.one_person]
    assert (page.crew_name, page.people) == ("Nadia Reyes", ())
    first, second = page.houses
    assert (first.job, first.arrive, first.leave, first.phone) == (4, time(9), time(10), "555-0142")
    assert (second.job, second.address, second.leave) == (5, "12 Ames Lane, Marrow Bend", time(11, 15))
    assert first.work == "Site check: Den, Quarry Road"
    assert ("Why", "is the paint dry") in {(fact.label, fact.text) for fact in first.facts}
    assert [(leg.start, leg.end, leg.what) for leg in page.drives] == [
        (time(8, 40), time(9), "Shop to House 1"),
        (time(10), time(10, 45), "House 1 to House 2"),
        (time(11, 15), time(11, 40), "House 2 to shop"),
    ]
    assert not first.asks_hours
    text = " ".join(led.office.day_plan_text(THURSDAY, "Nadia Reyes").split())
    assert "NADIA REYES" in text
    assert "Den, Quarry Road" in text
    assert "Started" not in text


def test_a_day_without_small_visits_has_no_page_of_the_lead(led):
    """Only the crews' pages; asked for by name the page says that nothing is planned."""
    assert [page.crew_name for page in pages_of(led)] == ["Birch", "Cedar"]
    assert pages_of(led, "Nadia")[0].notes == ("No small visit is planned for this day.",)


def test_a_visit_that_was_made_is_no_longer_on_the_page(led):
    """What is done needs no paper."""
    led.office.plan_visit(4, "site-check", at="thu 9:00")
    led.office.visit_done(4, "site-check", at="6:15")
    assert [page.crew_name for page in pages_of(led)] == ["Birch", "Cedar"]


def test_what_to_look_at_follows_the_kind(led):
    """Measuring goes room by room, a site check asks the house's items, a reading and a carry-in name their tasks."""
    for number, kind in enumerate(("measuring", "site-check", "carry-in", "reading", "walk-through")):
        led.office.plan_visit(4, kind, at=f"thu {8 + number}:00" if number < 4 else "thu 13:00", minutes=30)
    (page,) = [page for page in pages_of(led) if page.one_person]
    titles = [[line.title for line in house.tasks] for house in page.houses]
    assert all(titles)
    measuring, check, carry, reading, walk = titles
    assert any("Length and width" in title for title in measuring)
    assert "Wet work and paint done" in check
    assert led.record().task(led.number_of("carry-in")).title in carry
    assert led.record().task(led.number_of("room-reading")).title in reading
    assert "Color against the signed sample" in walk


def test_a_punch_list_visit_has_its_open_items_to_tick(led):
    """The items of the last walk-through after the work, each with a box; a callback says what to look at."""
    led.office.walk_after(
        4, "Teo Halloran", punch=["shoe by the door", "touch up a scratch"], because="said at the end"
    )
    led.office.plan_visit(4, "punch-list", at="thu 9:00")
    led.office.edit(5, led.record(5).version, {"state": "done"})
    led.office.plan_visit(5, "callback", at="thu 11:00", because="a board clicks")
    (page,) = [page for page in pages_of(led) if page.one_person]
    punch, callback = page.houses
    assert [line.title for line in punch.tasks] == ["Punch list: shoe by the door", "Punch list: touch up a scratch"]
    assert callback.tasks[0].title == "Look at: a board clicks"


def test_a_worker_has_a_page_beside_the_crews(led):
    """Who leaves the crew for a visit has a page of their own after it; the other crew's pages have none of it."""
    led.office.plan_visit(5, "reading", at="thu 6:00", minutes=30, who="Ines", leaves_crew=True)
    assert [page.crew_name for page in pages_of(led, "Birch")] == ["Birch", "Ines Varga"]
    assert [page.crew_name for page in pages_of(led, "Cedar")] == ["Cedar"]


def test_the_leads_page_has_entry_notes_only_on_the_leads_copy(led):
    """The code of the side door is for the lead's copy alone, as on a crew's page."""
    led.office.plan_visit(4, "reading", at="thu 9:00")
    assert "4471" not in repr([page for page in pages_of(led) if page.one_person])
    assert "4471" in repr([page for page in pages_of(led, lead_copy=True) if page.one_person])


def test_pages_are_written_for_crews_and_people(led, tmp_path):
    """A PDF and a text each, named after the person."""
    led.office.plan_visit(4, "reading", at="thu 9:00")
    names = {path.name for path in led.office.day_plans(THURSDAY, tmp_path)}
    assert {f"day-plan-2026-03-05-nadia-reyes.{kind}" for kind in ("pdf", "txt")} <= names
    assert len(names) == 6


def test_every_kind_of_small_visit_has_lines_to_tick(led):
    """No kind is left without something to look at."""
    from crewjobs.domain.agreed import SmallVisit
    from crewjobs.services.people.visit_looks import TAKE, looks

    office = led.office
    with office._database.reading() as uow:
        catalogue, now = office._catalogue(uow), office._clock.now()
    for kind in VisitKind:
        visit = SmallVisit(kind=kind, who="Nadia Reyes", start=now, minutes=60)
        assert looks(led.record(), visit, catalogue, "us", now), kind
        assert TAKE[kind]


def test_the_lead_can_be_away_a_day_and_the_visits_of_it_are_named(led):
    """Out on Thursday: the visit there needs a new time and is said to; proposals go to another day; Friday is free."""
    led.office.plan_visit(4, "reading", at="thu 9:00")
    done = led.office.away("Nadia", THURSDAY, because="dentist")
    assert done.sentence == "Nadia Reyes is out on Thu 5 Mar (dentist)."
    assert done.then[0].startswith(
        "Job 4: the reading of Nadia Reyes at 09:00 needs a new time: `crewjobs visit 4 reading"
    )
    led.clock.set("2026-03-05", "06:00")
    assert f"{led.office.propose_visit(5, 'site-check').start:%a}" == "Fri"
    with pytest.raises(Refused, match=r"Nadia Reyes is out on Thu 5 Mar \(dentist\)"):
        led.office.plan_visit(5, "site-check", at="thu 14:00")
    (small,) = [row for day in led.office.week().days for row in day.small]
    assert small.out
    (page,) = [page for page in pages_of(led) if page.one_person]
    assert page.notes[0] == "Nadia Reyes is out today (dentist): these visits need a new time."
    assert led.office.back("Nadia", THURSDAY).sentence == "Nadia Reyes is at work on Thu 5 Mar after all."
    assert f"{led.office.propose_visit(5, 'site-check').start:%a}" == "Thu"


def test_the_lead_is_lent_to_no_crew_and_is_away_once(led):
    """A crew to work with, a day off, the same day twice: one sentence each, nothing recorded."""
    with pytest.raises(Refused, match="Nadia Reyes is in no crew"):
        led.office.away("Nadia Reyes", THURSDAY, to="Birch")
    with pytest.raises(Refused, match="Nadia Reyes does not work on Sat 7 Mar"):
        led.office.away("Nadia Reyes", date(2026, 3, 7))
    led.office.away("Nadia Reyes", THURSDAY)
    with pytest.raises(Refused, match="is out on Thu 5 Mar already"):
        led.office.away("Nadia Reyes", THURSDAY)


def test_small_visits_of_a_worker_who_is_out_are_named(led):
    """Ines is out on Thursday: her reading there needs a new time."""
    led.office.plan_visit(4, "reading", at="thu 6:00", who="Ines", leaves_crew=True)
    then = led.office.away("Ines", THURSDAY).then
    assert any(line.startswith("Job 4: the reading of Ines Varga at 06:00 needs a new time") for line in then)
