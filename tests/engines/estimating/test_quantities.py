"""Quantities and man-days against published worked examples (trade-facts 12.5 and 12.6)."""

from __future__ import annotations

from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.outline import Outline
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.estimating.quantities import (
    base_length,
    cartons_needed,
    duration_days,
    man_day_equivalent,
    man_days,
    whole_units,
)


@pytest.mark.parametrize(
    ("area", "carton", "waste", "extra", "cartons"),
    [
        (10 * 12, 24, 0.10, 0, 6),  # retail measuring guide: 120 -> 132 -> 5.5 -> 6
        (242, 23.8, 0.10, 1, 13),  # common practice, no source; arithmetic derived: 266.2 -> 12, one carton more
        (240, 24, 0.0, 0, 10),  # derived: an exact fit takes no extra carton
        (100, 11, 0.10, 0, 10),  # derived: 100 × 1.1 is 110.00000000000001 in floating point
        (0, 24, 0.10, 0, 0),
    ],
)
def test_cartons_follow_the_worked_examples(area, carton, waste, extra, cartons):
    """Waste is multiplied on and cartons are rounded up once, at the end."""
    assert cartons_needed(area, carton, waste=waste, extra=extra) == cartons


@pytest.mark.parametrize(("need", "cover", "units"), [(500, 175, 3), (500, 200, 3), (106 / 0.85, 5.5, 23)])
def test_pails_rolls_and_boards_follow_the_worked_examples(need, cover, units):
    """Source: retail measuring guide (pails, rolls); US Army engineer subcourse EN01136, lesson 5 (boards)."""
    assert whole_units(need, cover) == units


@given(st.integers(1, 500), st.integers(1, 4000), st.integers(1, 60))
def test_an_exact_fit_is_never_rounded_up(cartons, hundredths, waste):
    """However area, cover and waste are written as decimals, so many full cartons are so many cartons."""
    cover = hundredths / 100
    assert cartons_needed(cartons * cover / (1 + waste / 100), cover, waste=waste / 100) == cartons


def test_base_is_the_walls_less_the_doors():
    """Exterior 148 ft, interior 149 ft on both faces, doors 25 ft: 421 ft. Source: college text, p. 169."""
    assert base_length([148 * FOOT, 149 * FOOT, 149 * FOOT], [25 * FOOT]) == 421 * FOOT


def test_base_of_a_room_takes_its_outline_and_its_doors():
    """12' 6" × 10' with a 30 in door: 45 ft less 2.5 ft."""
    room = Outline.rectangle(12 * FOOT + 6 * INCH, 10 * FOOT)
    assert base_length(room.walls, [30 * INCH]) == 42 * FOOT + 6 * INCH


def test_a_room_that_is_all_doors_has_no_base():
    """Length never goes below zero."""
    assert base_length([3 * FOOT], [4 * FOOT]) == 0


def test_t_shaped_room_with_waste():
    """4 × 12 + 8 × 10 ft with 15 %: 147.2 ft². Source: state distance-learning course."""
    f = FOOT
    corners = ((4 * f, 0), (12 * f, 0), (12 * f, 10 * f), (4 * f, 10 * f), (4 * f, 12 * f), (0, 12 * f), (0, 0))
    room = Outline(corners=corners)
    assert room.area_ft2 == pytest.approx(128)
    assert cartons_needed(room.area_ft2, 1, waste=0.15) == ceil(147.2)


def test_man_days_of_the_manuals_example():
    """16 000 ft² at 33 h a 1000 ft², delay factor 1: 66 man-days. Source: NAVEDTRA 14045, p. 2-27."""
    assert man_days(16_000 / 1000 * 33 * 60) == pytest.approx(66)


def test_duration_of_the_manuals_example():
    """70 man-days, crew of 12, availability 0.75, equivalent 0.9375: 8.296, so 9 days. Source: NAVEDTRA 14045, p. 2-29."""
    days = duration_days(70, 12, availability=0.75, equivalent=0.9375)
    assert days == pytest.approx(8.296, abs=0.01)
    assert ceil(days) == 9


def test_man_day_equivalent_of_the_manuals_example():
    """10 h shift less 1 h lunch, 1 h travel, 0.5 h breaks: 0.9375. Source: NAVEDTRA 14045, p. 2-29 (10 h inferred)."""
    assert man_day_equivalent(10, lunch_h=1, travel_h=1, breaks_h=0.5) == 0.9375


def test_four_fast_workers_equal_five_slow_ones():
    """What five do in 60 days, four who equal five do in 48 each as fast. Source: Hicks, Builders' Guide."""
    work = 60 * 4  # man-days of the fast four at the slow five's pace
    assert duration_days(work, 4, equivalent=5 / 4) == 48


@pytest.mark.parametrize("bad", [(10.0, 0.0), (-1.0, 10.0)])
def test_nonsense_needs_are_refused(bad):
    """A cover of nothing and a negative need are faults of the caller, not counts."""
    with pytest.raises(ValueError):
        whole_units(*bad)


def test_nobody_takes_no_duration():
    """A crew of nobody never finishes."""
    with pytest.raises(ValueError):
        duration_days(3, 0)
