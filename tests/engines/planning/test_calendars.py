"""Compiled calendars against minutes simulated one by one, in zones with both changes of the clocks."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.tasks import Pause
from crewjobs.domain.wall import Span, to_wall
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.judging.minutes import Minutes
from crewjobs.engines.planning.calendars import (
    Axis,
    Calendar,
    axis_from,
    crew_days,
    site_calendar,
    site_windows,
    slots_of,
    worked_minutes,
)
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.starts import StartTables
from tests import thorough
from tests.engines.planning.networks import MONDAY, USUAL, at, crew, hours, job, random_problem, shop


def _compiled(seed: int) -> tuple[Axis, list[tuple[Calendar, list[bool]]]]:
    """Return the calendars of a random problem and, beside each, the same simulated by minutes, slot by slot."""
    problem = random_problem(seed)
    axis = axis_from(problem.now, 10)
    minutes = Minutes(problem.shop, problem.now, axis.end)
    found = []
    for one in problem.shop.crews:
        days = crew_days(axis, problem.shop, one)
        for record in problem.jobs[:2]:
            site = record.job.site
            calendar = site_calendar(axis, days, site, site_windows(axis, site, record.job.blocked))
            there = minutes.there(one, record.job)
            firsts = [minutes.of(axis.at(slot)) for slot in range(axis.slots)]
            flags = [there.count(first, first + 15) for first in firsts]
            assert set(flags) <= {0, 15}, "a quarter hour is worked whole or not at all"
            found.append((calendar, [bool(flag) for flag in flags]))
    return axis, found


@settings(max_examples=thorough.examples(25, 12), deadline=None)
@given(st.integers(0, 100_000))
def test_calendar_is_the_simulation(seed: int) -> None:
    """The compiled windows hold exactly the quarter hours that the minutes show."""
    axis, found = _compiled(seed)
    for calendar, flags in found:
        compiled = [False] * axis.slots
        for start, end in zip(calendar.starts, calendar.ends, strict=True):
            compiled[start:end] = [True] * (end - start)
        assert compiled == flags
        assert calendar.total == sum(flags)


@settings(max_examples=thorough.examples(18, 8), deadline=None)
@given(st.integers(0, 100_000), st.integers(0, 960), st.integers(1, 40), st.sampled_from(Pause), st.data())
def test_start_tables_are_the_simulation(seed: int, low: int, work: int, pause: Pause, data: st.DataObject) -> None:
    """A start table, whole and asked for its first and last fit, agrees with working minute by minute from every slot.

    The minutes are simulated from the raw hours, zones and days off; of the zones, those with half-hour changes of
    the clock (Lord Howe) and changes at midnight (Havana) are among them.
    """
    axis, found = _compiled(seed)
    calendar, flags = data.draw(st.sampled_from(found))
    zone = random_problem(seed).shop.zone
    limit = data.draw(st.integers(low, axis.slots))
    fits = [fit for start in range(low, limit) if (fit := _try(axis, zone, flags, start, work, pause, limit))]
    starts = StartTables().of(calendar, work, pause, 2)
    table = starts.table(low, limit)
    assert list(zip(table.starts, table.ends, strict=True)) == fits
    assert starts.first(low, limit) == (fits[0] if fits else None)
    assert starts.last(low, limit) == (fits[-1] if fits else None)


def _try(
    axis: Axis, zone: str, flags: list[bool], start: int, work: int, pause: Pause, limit: int
) -> tuple[int, int] | None:
    """Work slot by slot from a start; None where a rule is broken. Days are those the shop's clocks show."""
    if not flags[start]:
        return None
    worked = [slot for slot in range(start, axis.slots) if flags[slot]][:work]
    if len(worked) < work or worked[-1] + 1 > limit:
        return None
    day_of = {slot: to_wall(zone, axis.at(slot)).date() for slot in range(axis.slots) if flags[slot]}
    in_day = sum(day_of[slot] == day_of[start] and slot >= start for slot in day_of)
    longest = max(Counter(day_of.values()).values())
    broken = {
        Pause.NONE: worked[-1] - start != work - 1 or in_day < work,
        Pause.LUNCH: in_day < work,
        Pause.NIGHT: in_day < min(work, 2, longest),
    }
    return None if broken[pause] else (start, worked[-1] + 1)


def test_spring_change_makes_a_night_shift_an_hour_shorter() -> None:
    """On 8 March 2026 US Central clocks skip 2:00 to 3:00: a shift from 0:00 to 6:00 has five hours."""
    night = crew("Birch", 1, hours(("00:00", "06:00"), days="sat sun"))
    axis = axis_from(at(date(2026, 3, 7), "00:00"), 2)
    calendar = site_calendar(axis, crew_days(axis, shop(night), night), job(1, drive=0).site, ((-9999, 9999),))
    lengths = [(end - start) / 4 for start, end in zip(calendar.starts, calendar.ends, strict=True)]
    assert lengths == [6, 5]


def test_hours_are_wall_clock_on_both_sides_of_the_change() -> None:
    """Crew hours start at 7:30 by the wall before and after the change, an hour apart in UTC."""
    birch = crew("Birch", 1, USUAL)
    axis = axis_from(at(date(2026, 3, 6), "06:00"), 5)
    starts = [axis.at(windows[0][0]) for _, windows in crew_days(axis, shop(birch), birch) if windows[0][0] >= 0]
    assert [to_wall("America/Chicago", start).strftime("%a %H:%M") for start in starts[:3]] == [
        "Fri 07:30",
        "Mon 07:30",
        "Tue 07:30",
    ]
    assert [start.hour for start in starts[:2]] == [13, 12]


def test_half_hour_zone_keeps_the_quarter() -> None:
    """A shop at UTC+5:30 starts at 7:30 by its wall, 2:00 in UTC."""
    birch = crew("Birch", 1, USUAL)
    axis = axis_from(datetime(2026, 3, 2, tzinfo=UTC), 1)
    days = crew_days(axis, shop(birch, zone="Asia/Kolkata"), birch)
    assert axis.at(next(windows[0][0] for day, windows in days if day == MONDAY)) == datetime(2026, 3, 2, 2, tzinfo=UTC)


def test_drive_is_inside_the_crew_hours_at_both_ends() -> None:
    """Twenty minutes away: reached at 8:00 after a start at 7:30, left at 15:30 to be back by 16:00."""
    birch = crew("Birch", 1, USUAL)
    axis = axis_from(at(MONDAY, "00:00"), 1)
    site = job(1, drive=20).site
    calendar = site_calendar(axis, crew_days(axis, shop(birch), birch), site, site_windows(axis, site, frozenset()))
    walls = [to_wall("America/Chicago", axis.at(slot)).strftime("%H:%M") for slot in (*calendar.starts, *calendar.ends)]
    assert walls == ["08:00", "12:30", "12:00", "15:30"]


def test_site_hours_are_read_in_the_site_zone() -> None:
    """A site one zone west that opens at 9:00 is reached at 10:00 of the shop."""
    birch = crew("Birch", 1, USUAL)
    axis = axis_from(at(MONDAY, "00:00"), 1)
    site = job(1, zone="America/Denver", drive=0, site_hours=hours(("09:00", "16:00"))).site
    calendar = site_calendar(axis, crew_days(axis, shop(birch), birch), site, site_windows(axis, site, frozenset()))
    assert to_wall("America/Chicago", axis.at(calendar.starts[0])).strftime("%H:%M") == "10:00"


@pytest.mark.parametrize("where", ["off", "holiday", "blocked"])
def test_a_closed_day_is_closed(where: str) -> None:
    """Days off, holidays and the customer's blocked days hold no work."""
    tuesday = MONDAY + timedelta(days=1)
    birch = crew("Birch", 1, USUAL, off=[tuesday] if where == "off" else [])
    the_shop = shop(birch, holidays=[tuesday] if where == "holiday" else [])
    axis = axis_from(at(MONDAY, "00:00"), 3)
    site = job(1).site
    blocked = frozenset({tuesday}) if where == "blocked" else frozenset()
    calendar = site_calendar(axis, crew_days(axis, the_shop, birch), site, site_windows(axis, site, blocked))
    assert {day.day for day in calendar.days} == {2, 4}


@settings(max_examples=thorough.examples(18, 8), deadline=None)
@given(st.integers(0, 100_000), st.integers(0, 9000), st.integers(0, 5000))
def test_worked_minutes_are_the_simulated_ones(seed: int, since: int, length: int) -> None:
    """The minutes a crew could work between two instants are those of the simulation, to the minute."""
    problem = random_problem(seed)
    start = problem.now + timedelta(minutes=since)
    minutes = Minutes(problem.shop, start, start + timedelta(minutes=length))
    first = minutes.of(start)
    for one in problem.shop.crews:
        for record in problem.jobs[:2]:
            expected = minutes.there(one, record.job).count(first, first + length)
            found = worked_minutes(problem.shop, one, record.job, start, start + timedelta(minutes=length))
            assert found == expected


@given(st.integers(0, 3000))
def test_slots_round_up(minutes: int) -> None:
    """Minutes become the smallest number of quarter hours that holds them."""
    assert 0 <= slots_of(minutes) * 15 - minutes < 15


# -- single days


SATURDAY = MONDAY + timedelta(days=5)


def test_a_single_day_outranks_the_week_and_a_day_off() -> None:
    """Other hours on one day, none on another, some on a day off: the calendar has these, and as every week beside."""
    tuesday, wednesday, friday = (MONDAY + timedelta(days=n) for n in (1, 2, 4))
    week = crew("Birch", 2, off=[wednesday])
    spans = (Span(start=8 * 60, end=12 * 60),)
    single = replace(
        week, hours=replace(week.hours, but=((SATURDAY, spans), (wednesday, spans), (tuesday, ()), (friday, spans)))
    )
    axis = axis_from(at(MONDAY, "0:00"), 14)
    found = dict(crew_days(axis, shop(single), single))
    usual = dict(crew_days(axis, shop(week), week))
    assert tuesday not in found
    assert {sum(end - start for start, end in found[day]) for day in (wednesday, friday, SATURDAY)} == {16}
    assert wednesday not in usual
    changed = {tuesday, wednesday, friday, SATURDAY}
    assert {day: found[day] for day in found if day not in changed} == {
        day: usual[day] for day in usual if day not in changed
    }
    closed = shop(single, holidays=[SATURDAY])
    assert SATURDAY not in dict(crew_days(axis, closed, single)), "a holiday of the shop is one for all"


@settings(max_examples=thorough.examples(15, 8), deadline=None)
@given(st.integers(0, 100_000))
def test_plans_with_single_days_break_no_rule(seed: int) -> None:
    """Any problem, with crews' hours on single days drawn among theirs: the judge finds nothing, calendars are minutes."""
    whole, random = random_problem(seed), Random(seed)
    first = to_wall(whole.shop.zone, whole.now).date()
    crews = []
    for one in whole.shop.crews:
        days = random.sample([first + timedelta(days=n) for n in range(14)], 4)
        drawn = tuple((day, random.choice((*one.hours.days, ()))) for day in {*days, *sorted(one.days_off)[:1]})
        crews.append(replace(one, hours=replace(one.hours, but=drawn)))
    single = replace(whole, shop=replace(whole.shop, crews=tuple(crews)))
    plan = plan_week(single)
    assert check_plan(single, plan) == ()
    axis = axis_from(single.now, 10)
    minutes = Minutes(single.shop, single.now, axis.end)
    record = single.jobs[0]
    for one in crews:
        calendar = site_calendar(
            axis,
            crew_days(axis, single.shop, one),
            record.job.site,
            site_windows(axis, record.job.site, record.job.blocked),
        )
        there = minutes.there(one, record.job)
        assert calendar.total * 15 == there.count(minutes.of(axis.at(0)), minutes.of(axis.at(axis.slots)))
