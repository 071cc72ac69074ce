"""Thursday 6:15, the only person with the needed card is out: that task stops, the rest of the week stays."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import to_wall
from crewjobs.services.pages.sheets import day_plans
from tests.builders import CENTRAL
from tests.services.conftest import SHOP, Shop, kept

CARD = "lead-safe renovator"
HOUSE = """
number = NUMBER
title = "House NUMBER"
promised = PROMISED
wished = WISHED

[customer]
name = "Ferenc Albright"

[site]
address = "NUMBER Cooper Lane, Marrow Bend"
year_built = 1994

[[room]]
name = "parlor"
length = "12 ft"
width = "10 ft"
layers = ["carpet"]
floor = "gray plank"

[[room]]
name = "study"
length = "11 ft"
width = "10 ft"
layers = ["carpet"]
floor = "gray plank"

[[material]]
name = "gray plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.8 ft2"

[[order]]
material = "gray plank"
cartons = 15
supplier = "north yard"
ordered = 2026-02-02
due = "2026-02-20 10:00"
"""
WEDNESDAY, THURSDAY, FRIDAY = date(2026, 3, 4), date(2026, 3, 5), date(2026, 3, 6)


def make_week(shop: Shop) -> None:
    """Three houses with dry material; in house 11 the base of the study goes back on by somebody with the card."""
    shop.clock.set("2026-02-20", "09:00")
    houses = [
        HOUSE.replace("NUMBER", str(number)).replace("PROMISED", promised).replace("WISHED", wished)
        for number, wished, promised in (
            (11, "2026-03-04", "2026-03-10"),
            (12, "2026-03-04", "2026-03-10"),
            (13, "2026-03-06", "2026-03-12"),
        )
    ]
    files = [shop.file(f"{i}.toml", text) for i, text in enumerate(houses)]
    shop.office.load([shop.file("shop.toml", SHOP), *files])
    with shop.office._database.unit_of_work(who="tester") as uow:
        known = uow.shop()
        birch, *others = known.crews
        ines = replace(birch.workers[0], cards=frozenset({CARD}))
        birch = replace(birch, workers=(ines, *birch.workers[1:]))
        uow.save_shop(replace(known, crews=(birch, *others)))
        before = uow.job(11)
        tasks = tuple(
            replace(task, card=CARD) if task.key.template == "base-back" and task.where == "study" else task
            for task in before.tasks
        )
        uow.save_job(before, replace(before, tasks=tasks))
        uow.commit("set up by the test", at=shop.clock.now())
    shop.clock.set("2026-02-20", "11:00")
    for number in (11, 12, 13):
        shop.office.arrived(number, "gray plank", 15, in_rooms=True, at="2026-02-20 10:30")
        shop.ready(number, "Ferenc Albright")
    shop.clock.set("2026-03-02", "06:30")
    shop.office.plan()


week = kept(make_week)


def visits(shop: Shop, since: date) -> set[tuple[str, date, int]]:
    """Return who is at which house on which day, from a day on."""
    weeks = [shop.office.week(since + timedelta(days=7 * n)) for n in range(3)]
    return {(v.crew, day.day, v.job) for view in weeks for day in view.days for v in day.visits if day.day >= since}


def work_as_planned(shop: Shop, until: date) -> None:
    """Tick what the plan has before a day."""
    with shop.office._database.reading() as uow:
        plan = uow.latest_plan()
    for placed in sorted(plan.placements, key=lambda placed: placed.end):
        if to_wall(CENTRAL, placed.end).date() < until and to_wall(CENTRAL, placed.start).date() >= date(2026, 3, 1):
            shop.clock.at = placed.end
            shop.office.tick(placed.key.job, placed.tasks, because="worked as planned")


def test_the_task_stops_and_the_week_stays(week):
    """The card's task leaves Thursday, other rooms go on; at most two visits move and Friday stays as it was."""
    work_as_planned(week, THURSDAY)
    week.clock.set("2026-03-05", "06:15")
    before = visits(week, THURSDAY)
    done = week.office.away("Ines", THURSDAY, because="sick")
    assert any("needs the card 'lead-safe renovator', which only Ines Varga holds" in said for said in done.then)
    week.office.plan()
    after = visits(week, THURSDAY)
    with week.office._database.reading() as uow:
        plan = uow.latest_plan()
    assert plan.left_out == ()
    card = week.number_of("base-back", "study", job=11)
    (placed,) = [p for p in plan.placements if p.key.job == 11 and card in p.tasks]
    assert to_wall(CENTRAL, placed.start).date() == FRIDAY
    assert placed.reason == "Ines Varga holds the card 'lead-safe renovator' and is not there on Thu 5 Mar"
    on_thursday = [p for p in plan.placements if p.crew == "Birch" and to_wall(CENTRAL, p.start).date() == THURSDAY]
    assert on_thursday
    assert {p.people for p in on_thursday} == {2}
    assert len(before - after) <= 2
    assert {visit for visit in before if visit[1] == FRIDAY} <= after


def test_the_waiting_list_says_whom_the_work_waits_for(week):
    """From the call on, planned again or not, the card's task stands on the list with who is out and when they are back."""
    work_as_planned(week, THURSDAY)
    week.clock.set("2026-03-05", "06:15")
    assert not [row for row in week.office.waiting() if CARD in row.what]
    week.office.away("Ines", THURSDAY, because="sick")
    for _ in range(2):
        (row,) = [row for row in week.office.waiting() if CARD in row.what]
        assert (row.job, row.what) == (11, f"Ines Varga out Thu 5 Mar, and the card '{CARD}' with them")
        assert row.ready_at is not None
        assert (row.ready_at.date(), row.ready_at.hour) == (FRIDAY, 7)
        assert "(study)" in row.holds
        week.office.plan()


def test_the_page_says_who_is_there(week):
    """Thursday's page has the two who come, and that the third is out."""
    work_as_planned(week, THURSDAY)
    week.clock.set("2026-03-05", "06:15")
    week.office.away("Ines", THURSDAY, because="sick")
    week.office.plan()
    page = " ".join(week.office.day_plan_text(THURSDAY, "Birch").split())
    assert "Ines Varga of Birch is out today (sick)." in page
    assert "Tobiah Lund" in page
    assert "2 people" in page


def test_a_person_lent_works_with_the_other_crew_that_day(week):
    """Rém goes to Cedar on Thursday: Cedar is planned with three, Birch with two; on Friday all are home again."""
    work_as_planned(week, THURSDAY)
    week.clock.set("2026-03-05", "06:15")
    week.office.away("Rém", THURSDAY, to="cedar")
    week.office.plan()
    with week.office._database.reading() as uow:
        plan = uow.latest_plan()
    thursday = [
        p for p in plan.placements if to_wall(CENTRAL, p.start).date() == to_wall(CENTRAL, p.end).date() == THURSDAY
    ]
    assert {(p.crew, p.people) for p in thursday} == {("Birch", 2), ("Cedar", 3)}
    friday = [p for p in plan.placements if to_wall(CENTRAL, p.start).date() == FRIDAY]
    assert {(p.crew, p.people) for p in friday} <= {("Birch", 3), ("Cedar", 2)}


def test_a_person_lent_stands_on_the_other_crews_page_with_work(week):
    """Ines leads Birch and nobody in Cedar: its page says who lent her, has her on its lines, and one lead, its own."""
    work_as_planned(week, THURSDAY)
    week.clock.set("2026-03-05", "06:15")
    week.office.away("Ines", THURSDAY, to="cedar")
    week.office.plan()
    page = page_of(week, THURSDAY, "Cedar")
    lent = next(person for person in page.people if person.name == "Ines Varga")
    assert [person.name for person in page.people if person.lead] == ["Maeve Ostrow"]
    assert lent.note == "lent by Birch today"
    lines = [line for house in page.houses for line in house.tasks]
    assert any(lent.initials in line.initials or not line.initials for line in lines)  # none: the whole crew
    assert not any("on no line" in note for note in page.notes)


def test_a_person_on_no_line_is_named_with_the_reason(week):
    """Lent after the plan was made, she stands on no line of the page in force: it says so, and to plan again."""
    work_as_planned(week, THURSDAY)
    week.clock.set("2026-03-05", "06:15")
    week.office.away("Ines", THURSDAY, to="cedar")
    page = page_of(week, THURSDAY, "Cedar")
    (note,) = [note for note in page.notes if "on no line" in note]
    assert note.startswith("Ines Varga stands on no line")
    assert "Plan again" in note


def page_of(week, day, crew):
    office = week.office
    with office._database.reading() as uow:
        (page,) = day_plans(uow, office._catalogue(uow), office._clock.now(), day, crew, lead_copy=False, paper="")
    return page


def test_nobody_is_in_two_places(week):
    """Who is out is not lent as well; unknown people and days off are refused with a sentence each."""
    week.office.away("Ines Varga", THURSDAY)
    for who, day, to, said in (
        ("Ines", THURSDAY, "Cedar", "nobody is in two places at once"),
        ("Wilhelmina", THURSDAY, "", "there is nobody called 'Wilhelmina'"),
        ("Tobiah", date(2026, 3, 7), "", "Birch does not work on Sat 7 Mar"),
        ("Tobiah", THURSDAY, "Birch", "Tobiah Lund is in Birch already"),
        ("Tobiah", date(2026, 2, 2), "", "more than 7 days ago"),
    ):
        with pytest.raises(Refused, match=said):
            week.office.away(who, day, to=to)
    week.office.back("Ines", THURSDAY)
    with pytest.raises(Refused, match="is not away on Thu 5 Mar"):
        week.office.back("Ines", THURSDAY)


def test_a_part_of_the_crew_works_by_itself_that_day(week):
    """Tobiah and Rém are sent out by themselves on Thursday: the plan may use them, a page of theirs is printed."""
    work_as_planned(week, THURSDAY)
    week.clock.set("2026-03-05", "06:15")
    for who in ("Tobiah", "Rém"):
        week.office.away(who, THURSDAY, to="Birch two")
    week.office.plan()
    with week.office._database.reading() as uow:
        plan = uow.latest_plan()
    parts = [p for p in plan.placements if p.crew == "Birch two"]
    assert {to_wall(CENTRAL, p.start).date() for p in parts} <= {THURSDAY}
    page = " ".join(week.office.day_plan_text(THURSDAY, "Birch two").split())
    assert "Tobiah Lund" in page
    assert "Ines Varga" not in page


def test_a_part_of_the_crew_is_given_what_is_ready(week):
    """Two of three are sent out by themselves: the plan names them where it has no work for them, what is offered can
    be pinned to them, and the next plan has them at it on that day alone.
    """
    work_as_planned(week, THURSDAY)
    week.clock.set("2026-03-05", "06:15")
    for who in ("Tobiah", "Rém"):
        week.office.away(who, THURSDAY, to="Birch two")
    said = week.office.plan().then
    thursday = next(one for one in week.office.week(THURSDAY).days if one.day == THURSDAY)
    assert any(words.startswith("Birch two has no work on Thu 5 Mar: ") for words in said) or any(
        visit.crew == "Birch two" for visit in thursday.visits
    )
    offer = week.office.offers("Birch two", at="7:00")[0]
    given = offer.tasks[0]
    week.office.pin(offer.job, [given], "birch two", THURSDAY)
    week.office.plan()
    with week.office._database.reading() as uow:
        plan = uow.latest_plan()
    parts = [p for p in plan.placements if p.crew == "Birch two"]
    assert any(p.key.job == offer.job and given in p.tasks for p in parts)
    assert {to_wall(CENTRAL, p.start).date() for p in parts} == {THURSDAY}
    assert "Birch two" in week.office.crews()
    assert week.office.site_day("Birch two", THURSDAY).houses
    week.clock.set("2026-03-06", "06:15")
    assert "Birch two" not in week.office.crews()
