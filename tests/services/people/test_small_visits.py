"""Small visits and the lead's own calendar."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crewjobs.domain.crew import Lead
from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import Span, WeekHours, to_wall
from tests import thorough
from tests.builders import CENTRAL, central
from tests.services.conftest import JOB, SHOP, Shop, kept, load_den

LEAD_HOURS = WeekHours(days=((Span(start=9 * 60, end=12 * 60), Span(start=13 * 60, end=16 * 60)),) * 5 + ((),) * 2)


def make_two_houses(shop: Shop) -> None:
    """The shop with its lead, and a second house, job 5, 25 minutes away, open from 9:00 to 16:00 on weekdays."""
    text = JOB.replace("number = 4", "number = 5").replace("9 Quarry Road", "12 Ames Lane")
    text = text.replace("Den, Quarry Road", "Den, Ames Lane")
    text = text.replace("year_built = 1994", 'year_built = 1994\ndrive_min = 25\nhours = { mon-fri = "9:00-16:00" }')
    shop.office.load([shop.file("ames.toml", text)])
    with shop.office._database.unit_of_work(who="tester") as uow:
        uow.save_shop(replace(uow.shop(), lead=Lead(name="Nadia Reyes", hours=LEAD_HOURS)))
        uow.commit("the lead", at=shop.clock.now())


two_houses = kept(load_den, make_two_houses)


def close(shop, number=4, state="done"):
    shop.office.edit(number, shop.record(number).version, {"state": state})


def test_the_lead_is_proposed_in_their_own_hours(two_houses):
    """Without a name and a time: the lead, the first quarter hour in their hours, and nothing is recorded."""
    found = two_houses.office.propose_visit(4, "reading")
    assert (found.who, f"{found.start:%a %H:%M}") == ("Nadia Reyes", "Mon 09:00")
    assert two_houses.record().small_visits == ()


def test_the_drive_between_two_houses_is_kept_free(two_houses):
    """20 and 25 minutes from the shop: 45 minutes after the visit before, on the next quarter hour."""
    two_houses.office.plan_visit(4, "reading", at="today 9:00")
    found = two_houses.office.propose_visit(5, "measuring")
    assert f"{found.start:%a %H:%M}" == "Mon 10:45"


def test_nobody_is_in_two_places_at_once(two_houses):
    """45 minutes of drive lie between the houses: 44 are too few, 45 are enough."""
    two_houses.office.plan_visit(4, "reading", at="thu 9:00")
    with pytest.raises(
        Refused, match=r"Nadia Reyes is at job 4 .* 45 min of drive apart: nobody is in two places at once"
    ):
        two_houses.office.plan_visit(5, "measuring", at="thu 10:44")
    two_houses.office.plan_visit(5, "measuring", at="thu 10:45")


def test_a_crews_lead_goes_where_the_shop_has_no_lead(shop):
    """The crews' leads inside their crew's hours; a crew's planned day keeps its people."""
    assert shop.office.propose_visit(4, "reading").who == "Ines Varga"
    shop.office.plan()
    day = next(visit for one in shop.office.week().days for visit in one.visits if visit.crew == "Birch")
    found = shop.office.propose_visit(4, "reading", who="Ines")
    end = found.start + timedelta(minutes=60)
    assert not (found.start < day.end and day.start < end)


def test_a_person_leaves_the_crews_day_only_if_said(two_houses):
    """At another house while the crew works: refused, until it is said that they leave the crew for it."""
    two_houses.office.plan()
    busy = next(
        visit for one in two_houses.office.week().days for visit in one.visits
        if visit.job == 4 and visit.end - visit.start > timedelta(hours=3) and visit.start.hour >= 7
    )  # fmt: skip
    lead = {"Birch": "Ines Varga", "Cedar": "Maeve Ostrow"}[busy.crew]
    at = f"{busy.start.date().isoformat()} 10:00"
    with pytest.raises(Refused, match="with their crew: say --leaves-crew"):
        two_houses.office.plan_visit(5, "measuring", at=at, who=lead)
    two_houses.office.plan_visit(5, "measuring", at=at, who=lead, leaves_crew=True)


@pytest.mark.parametrize(
    ("kind", "at", "who", "said"),
    [
        ("reading", "thu 16:30", "", "slot outside site hours"),
        ("reading", "sat 10:00", "", r"slot outside site hours .*closed"),
        ("reading", "2026-02-27 10:00", "", "has gone by"),
        ("reading", "thu 10:00", "Zed", "there is nobody called 'Zed'"),
        ("tea", "thu 10:00", "", "is no small visit"),
        ("callback", "thu 10:00", "", "a callback belongs to a job that was finished"),
        ("reading", "ten", "", "not a moment to come"),
    ],
)
def test_a_visit_that_cannot_be_is_refused(two_houses, kind, at, who, said):
    """Each is one sentence, and nothing is recorded."""
    with pytest.raises(Refused, match=said):
        two_houses.office.plan_visit(5, kind, at=at, who=who)
    assert two_houses.record(5).small_visits == ()


@pytest.mark.parametrize("minutes", [0, 14, 241, -60])
def test_a_small_visit_is_small(two_houses, minutes):
    """15 minutes to 4 hours."""
    with pytest.raises(Refused, match="15 minutes to 4 hours"):
        two_houses.office.plan_visit(5, "reading", at="thu 10:00", minutes=minutes)
    with pytest.raises(Refused, match="15 minutes to 4 hours"):
        two_houses.office.propose_visit(5, "reading", minutes=minutes)


def test_who_is_out_makes_no_visit(two_houses):
    """Out on a day, a person is not sent anywhere and not proposed that day."""
    two_houses.office.away("Ines", date(2026, 3, 2), because="sick")
    with pytest.raises(Refused, match=r"Ines Varga is out on Mon 2 Mar \(sick\)"):
        two_houses.office.plan_visit(4, "reading", at="today 10:00", who="Ines")
    assert two_houses.office.propose_visit(4, "reading", who="Ines").start.date() == date(2026, 3, 3)


def test_measuring_of_a_closed_job_does_not_fit(two_houses):
    """What comes after the end is a callback or a punch list."""
    close(two_houses, state="closed")
    with pytest.raises(Refused, match="job 4 is closed: no measuring"):
        two_houses.office.plan_visit(4, "measuring", at="thu 10:00")


def test_a_callback_stands_on_the_old_job_and_nowhere_in_its_pace(two_houses):
    """Hours, pace, phases, cells, tasks and crew hours of the job are the same with a callback made as without."""
    close(two_houses)
    before, record = two_houses.office.job(4), two_houses.record()
    two_houses.office.plan_visit(4, "callback", at="thu 10:00", because="a board clicks")
    two_houses.clock.set("2026-03-05", "11:30")
    two_houses.office.visit_done(4, "callback")
    after = two_houses.office.job(4)
    for name in ("hours", "spread", "pace", "man_days", "phases", "cells", "tasks"):
        assert getattr(after, name) == getattr(before, name)
    assert two_houses.record().crew_hours == record.crew_hours
    assert after.small_visits == (
        "Callback, Thu 5 Mar 10:00, 60 min, Nadia Reyes (a board clicks), done Thu 5 Mar 11:30",
    )


def test_a_visit_made_ticks_nothing_and_offers_the_task(two_houses):
    """The reading's task is offered by its number; whether the number read is good enough is the reader's word."""
    two_houses.office.plan_visit(4, "reading", at="today 9:00")
    two_houses.clock.set("2026-03-02", "10:00")
    tasks = two_houses.record().tasks
    done = two_houses.office.visit_done(4, "reading")
    assert two_houses.record().tasks == tasks
    assert any(f"`crewjobs tick 4 {two_houses.number_of('room-reading')}`" in line for line in done.then)


def test_a_visit_is_not_made_before_its_time_unless_said_when(two_houses):
    """Planned for Tuesday 9:00, now Monday 6:30: done without a time is refused, with its time it is taken."""
    two_houses.office.plan_visit(4, "reading", at="tue 9:00")
    before = two_houses.record()
    with pytest.raises(Refused, match=r"is planned for Tue 3 Mar 09:00, which has not come yet; .* say when with --at"):
        two_houses.office.visit_done(4, "reading")
    assert two_houses.record() == before
    two_houses.office.visit_done(4, "reading", at="6:15")
    assert two_houses.record().small_visits[0].done_at == central("2026-03-02", "06:15")


def test_a_visit_nobody_planned_is_recorded_with_who_and_when(two_houses):
    """It needs both; it may not have been elsewhere at the time."""
    with pytest.raises(Refused, match="say who went and from when"):
        two_houses.office.visit_done(4, "site-check")
    two_houses.office.visit_done(4, "site-check", who="Nadia", at="yesterday 9:00")
    with pytest.raises(Refused, match="two places at once"):
        two_houses.office.visit_done(5, "site check", who="Nadia", at="yesterday 9:30")


def test_one_of_several_is_called_off_by_its_time(two_houses):
    """Two of a kind: it must be said which; the other stays."""
    two_houses.office.plan_visit(4, "reading", at="wed 9:00")
    two_houses.office.plan_visit(4, "reading", at="thu 9:00")
    with pytest.raises(Refused, match="say which with --at"):
        two_houses.office.visit_off(4, "reading")
    two_houses.office.visit_off(4, "reading", at="wed 9:00")
    assert [visit.start for visit in two_houses.record().small_visits] == [central("2026-03-05", "09:00")]


def test_the_week_shows_the_leads_own_line(two_houses):
    """Before there is a plan and after, also for a job that has ended."""
    close(two_houses)
    two_houses.office.plan_visit(4, "callback", at="thu 9:00")
    for _ in range(2):
        (small,) = [row for day in two_houses.office.week().days for row in day.small]
        assert (small.who, small.job, small.kind, f"{small.start:%a %H:%M}") == (
            "Nadia Reyes", 4, "callback", "Thu 09:00",
        )  # fmt: skip
        assert small.address == "9 Quarry Road, Marrow Bend"
        two_houses.office.plan()


def test_the_crews_page_says_who_of_it_is_elsewhere(two_houses):
    """A note on the page of that day, on that crew's page alone."""
    two_houses.office.plan()
    two_houses.office.plan_visit(4, "reading", at="thu 6:00", who="Ines", leaves_crew=True)
    note = "06:00 Ines Varga at job 4: reading"
    assert note in two_houses.office.day_plan_text(date(2026, 3, 5), "Birch")
    assert note not in two_houses.office.day_plan_text(date(2026, 3, 5), "Cedar")
    assert note not in two_houses.office.day_plan_text(date(2026, 3, 6), "Birch")


VISITS = st.tuples(
    st.sampled_from([4, 5]),
    st.sampled_from(["reading", "site-check", "walk-through"]),
    st.integers(2, 4),
    st.integers(9 * 4, 15 * 4),
    st.sampled_from([15, 45, 60, 90]),
    st.sampled_from(["Nadia", "Ines", ""]),
)


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
@settings(
    max_examples=thorough.examples(25, 8), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(VISITS, min_size=2, max_size=12))
def test_accepted_visits_of_a_person_never_overlap(two_houses, wanted):
    """Whatever is asked in whatever order: of what was accepted, no two visits of one person lack the drive between."""
    accepted = 0
    for job, kind, day, quarter, minutes, who in wanted:
        at = f"2026-03-{day:02d} {quarter // 4:02d}:{quarter % 4 * 15:02d}"
        try:
            two_houses.office.plan_visit(job, kind, at=at, who=who, minutes=minutes)
            accepted += 1
        except Refused:
            continue
    booked = [(job, visit) for job in (4, 5) for visit in two_houses.record(job).small_visits]
    assert len(booked) == accepted
    for i, (job, one) in enumerate(booked):
        for other_job, other in booked[:i]:
            if one.who == other.who:
                drive = timedelta() if job == other_job else timedelta(minutes=45)
                first, second = sorted((one, other), key=lambda visit: visit.start)
                assert first.start + timedelta(minutes=first.minutes) + drive <= second.start
    while accepted:
        two_houses.office.undo()
        accepted -= 1
    assert two_houses.record(4).small_visits == two_houses.record(5).small_visits == ()


@settings(
    max_examples=thorough.examples(20, 7), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(st.tuples(st.sampled_from([4, 5]), st.sampled_from([15, 45, 60, 120])), min_size=1, max_size=8))
def test_every_proposal_is_accepted(two_houses, wanted):
    """What is proposed is never refused a moment later, and lies in the lead's and the house's hours."""
    for job, minutes in wanted:
        found = two_houses.office.propose_visit(job, "site-check", minutes=minutes)
        start = to_wall(CENTRAL, found.start)
        done = two_houses.office.plan_visit(job, "site-check", at=f"{start:%Y-%m-%d %H:%M}", minutes=minutes)
        assert done.then == ()
    for _ in wanted:
        two_houses.office.undo()


@pytest.mark.parametrize(("at", "minutes"), [("thu 4:59", 60), ("thu 23:30", 60), ("thu 20:30", 31), ("thu 0:00", 60)])
def test_a_visit_by_night_takes_a_reason(two_houses, at, minutes):
    """Before 5:00, after 21:00 or over midnight nobody goes without a reason; with one it is recorded."""
    with pytest.raises(Refused, match="outside 5:00 to 21:00"):
        two_houses.office.plan_visit(4, "reading", at=at, minutes=minutes)
    assert two_houses.record().small_visits == ()
    two_houses.office.plan_visit(4, "reading", at=at, minutes=minutes, because="the tenant works nights")
    assert len(two_houses.record().small_visits) == 1


@pytest.mark.parametrize("at", ["thu 5:00", "thu 20:00"])
def test_a_visit_by_day_takes_none(two_houses, at):
    """From 5:00 to 21:00, both counted, no reason is asked."""
    two_houses.office.plan_visit(4, "reading", at=at)
    assert len(two_houses.record().small_visits) == 1


def test_a_reloaded_job_names_the_visits_it_shuts_out(two_houses):
    """A day blocked afterward leaves the visit and names it, with what takes it away; loaded again it is not new."""
    two_houses.office.plan_visit(4, "reading", at="thu 9:00")
    two_houses.office.plan_visit(4, "site check", at="fri 9:00")
    file = two_houses.file("blocked.toml", JOB.replace("number = 4", "number = 4\nblocked = [2026-03-05]"))
    (said,) = two_houses.office.load([file], replace=True).then
    assert "job 4, reading, Thu 5 Mar 09:00" in said
    assert "nobody may work there on Thu 5 Mar; `crewjobs visit 4 reading --off` takes it away." in said
    assert len(two_houses.record().small_visits) == 2
    assert two_houses.office.load([file], replace=True).then == ()


def test_a_reloaded_shop_names_the_visits_of_a_lead_who_is_gone(two_houses):
    """Another lead in the shop file: the old one's visits stay and are named."""
    two_houses.office.plan_visit(4, "reading", at="thu 9:00")
    lead = '[lead]\nname = "Wanda Okoro"\nhours = { mon-fri = "7:30-16:00" }\n'
    (said,) = two_houses.office.load([two_houses.file("shop.toml", SHOP + lead)], replace=True).then
    assert "the shop has nobody called Nadia Reyes" in said


def test_a_longer_drive_names_the_visits_it_brings_too_near(two_houses):
    """Two visits with 45 minutes between them: with a longer drive to one house both are named."""
    two_houses.office.plan_visit(4, "reading", at="thu 9:00")
    two_houses.office.plan_visit(5, "measuring", at="thu 10:45")
    text = JOB.replace("year_built = 1994", "year_built = 1994\ndrive_min = 40")
    said = two_houses.office.load([two_houses.file("far.toml", text)], replace=True).then
    assert len(said) == 2
    assert all("too near to it in time" in sentence for sentence in said)


def test_a_person_is_known_by_the_first_name(two_houses):
    """Forms ask for a name before anything is recorded: the lead and who is in a crew are known, and nobody else."""
    assert two_houses.office.read_person("nadia") == "Nadia Reyes"
    with pytest.raises(Refused, match="nobody called 'zz"):
        two_houses.office.read_person("zz ??")
