"""When a floor somebody asks for on the telephone could be laid; nothing is kept."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest

from crewjobs.cli.when import when_text
from crewjobs.domain.errors import Refused
from tests.services.conftest import JOB, SHOP, Shop


@pytest.fixture
def planned(shop: Shop) -> Shop:
    """Job 4 planned, its planks due on Tuesday."""
    shop.office.plan()
    return shop


def test_both_answers_have_times_a_crew_and_a_reason(planned: Shop) -> None:
    """Start before finish, the material in the rooms 48 h before it is laid, what fixes the finish; nothing is kept."""
    before = planned.path.read_bytes()
    view = planned.office.when("400 ft2 click vinyl", removes=("carpet",))
    for answer in (view.soonest, view.undisturbed):
        assert answer is not None
        assert answer.in_rooms_by is not None
        assert answer.carry_in is not None
        assert answer.carry_in <= answer.in_rooms_by <= answer.finish - timedelta(hours=48)
        assert answer.start < answer.finish
        assert set(answer.crews) <= {"Birch", "Cedar"}
        assert answer.because.startswith(f"It ends {answer.finish:%a} {answer.finish.day} Mar {answer.finish:%H:%M}: ")
    assert view.undisturbed is not None
    assert view.undisturbed.moves == ()
    assert view.soonest.finish.date() <= view.undisturbed.finish.date()
    assert planned.path.read_bytes() == before
    text = when_text(view)
    assert "carpet comes up" in text
    assert text.endswith("(Nothing was kept.)")


@pytest.mark.parametrize("words", ["400 click vinyl", "700 glue-down vinyl"])
def test_the_answer_is_told_day_by_day_with_the_waits_between(planned: Shop, words: str) -> None:
    """Of a floor of several days each is one visit on one date: carried in first, nothing laid in the hours it acclimates."""
    answer = planned.office.when(words, removes=("carpet",)).soonest
    visits = answer.visits
    assert len(visits) > 2
    assert all(visit.start.date() == visit.end.date() and visit.start < visit.end for visit in visits)
    assert all(one.end <= other.start for one, other in pairwise(visits) if one.crew == other.crew)
    assert {visit.crew for visit in visits} == set(answer.crews)
    assert answer.carry_in is not None
    assert answer.in_rooms_by is not None
    assert visits[0].start <= answer.carry_in < visits[0].end
    assert "carry in" in visits[0].what
    assert visits[-1].end == answer.finish
    laid = [visit for visit in visits if "install" in visit.what]
    assert laid
    assert all(visit.end > answer.in_rooms_by + timedelta(hours=48) for visit in laid)
    text = when_text(planned.office.when(words, removes=("carpet",)))
    assert all(f"\n    {visit.words}" in text for visit in visits)


def test_material_that_comes_later_ends_later(planned: Shop) -> None:
    """From Monday the 16th on, nothing is laid before it acclimated 48 h from that morning at seven."""
    view = planned.office.when("200 laminate", ready="2026-03-16")
    assert view.soonest.in_rooms_by is not None
    assert view.soonest.in_rooms_by.date() >= date(2026, 3, 16)
    assert view.soonest.finish.date() >= date(2026, 3, 18)


def test_units_and_words_are_those_of_the_shop_and_of_job_files(planned: Shop) -> None:
    """37.2 m² are 400 ft²; without a unit it is the shop's; a floor by any word a job file takes."""
    asked = {
        planned.office.when(words).asked for words in ("400 hardwood", "400 ft2 of solid wood", "37.16 m2 solid wood")
    }
    assert asked == {"400 ft² of solid wood"}
    assert planned.office.when("400 click plank").asked == "400 ft² of click vinyl"


def test_a_metric_shop_means_square_metres(empty_shop: Shop) -> None:
    """A bare number is m² where the shop is metric, and is told so."""
    metric = SHOP.replace('zone = "America/Chicago"', 'zone = "America/Chicago"\nunits = "metric"')
    empty_shop.office.load([empty_shop.file("shop.toml", metric), empty_shop.file("den.toml", JOB)])
    empty_shop.office.plan()
    assert empty_shop.office.when("30 laminate").asked == "30.0 m² of laminate"


def test_a_crew_that_cannot_lay_it_is_refused_with_one_that_can(planned: Shop) -> None:
    """Birch nails no floors: Cedar does."""
    with pytest.raises(Refused, match="Birch cannot lay solid wood in that house, Cedar can"):
        planned.office.when("200 solid wood", crew="birch")
    assert planned.office.when("200 solid wood", crew="cedar").soonest.crews == ("Cedar",)


def test_a_floor_of_an_old_house_waits_for_the_laboratory(planned: Shop) -> None:
    """Sheet vinyl of 1970 is presumed to hold asbestos: sampled first, so the same floor ends later than over a new one."""
    new = planned.office.when("200 laminate", removes=("sheet vinyl",))
    old = planned.office.when("200 laminate", removes=("sheet vinyl",), built=1979)
    assert old.soonest.finish > new.soonest.finish


def test_what_fits_nowhere_is_refused_with_the_reason(planned: Shop) -> None:
    """Material that comes after the plan's end: no place, and the sentence says how far the plan goes."""
    with pytest.raises(Refused, match="fits nowhere in the plan, which goes to Mon 30 Mar"):
        planned.office.when("400 laminate", ready="2026-05-04")
