"""What a house, a material, an order, a crew and a job cannot be."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from crewjobs.domain.crew import Crew, Shop, Skill, Worker
from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import Goods, GoodsLine
from crewjobs.domain.house import Covering, Fixture, FixtureKind, Layer, Opening, Piece, Room, Site, Stairs
from crewjobs.domain.job import Customer, Job, JobRecord
from crewjobs.domain.material import (
    METHODS,
    USUAL_ACCLIMATION_MIN,
    USUAL_METHOD,
    FloorKind,
    Material,
    Method,
    OrderLine,
)
from crewjobs.domain.outline import Outline
from crewjobs.domain.units import FOOT, INCH
from crewjobs.domain.wall import WeekHours
from tests.builders import material

ROOM = Room(name="living", outline=Outline.rectangle(18 * FOOT, 10 * FOOT), floor="harbor plank")
HALL = Room(name="hall", outline=Outline.rectangle(10 * FOOT, 4 * FOOT))
PLANK = Material(
    name="harbor plank",
    kind=FloorKind.CLICK_VINYL,
    method=Method.FLOATING,
    plank_width=7 * INCH,
    plank_length=48 * INCH,
    carton_ft2=23.33,
    acclimation_min=2880,
)
SITE = Site(address="14 Mill Lane, Marrow Bend", zone="America/Chicago")
JOB = Job(
    number=1,
    title="Living",
    customer=Customer(name="Odalys Brandt", phone="555-0112"),
    site=SITE,
    rooms=(ROOM, HALL),
    openings=(Opening(between=("living", "hall"), width=5 * FOOT),),
    materials=(PLANK,),
)
HOURS = WeekHours(days=((),) * 7)
CREW = Crew(
    name="Birch", workers=(Worker(name="Ines Varga", lead=True),), hours=HOURS, skills=frozenset({Skill.NAILED})
)


@pytest.mark.parametrize(
    ("make", "word"),
    [
        (lambda: Fixture(kind=FixtureKind.TOILET, count=0), "count"),
        (lambda: Piece(name="sofa", count=0), "count"),
        (lambda: Piece(name="sofa", people=5), "four"),
        (lambda: Layer(covering=Covering.CARPET, year=66), "year"),
        (lambda: Opening(between=("hall", "hall"), width=FOOT), "different"),
        (lambda: Opening(between=("hall", "bath"), width=0), "width"),
        (lambda: Stairs(name="up", steps=0), "steps"),
        (lambda: Stairs(name="up", steps=3, flights=4), "flights"),
        (lambda: Stairs(name="up", steps=3, open_ends=7), "open ends"),
        (lambda: replace(SITE, year_built=19666), "year"),
        (lambda: replace(SITE, grade="beside"), "grade"),
        (lambda: replace(SITE, flights_up=-1), "flights up"),
        (lambda: replace(ROOM, level_ft2=-1.0), "leveled"),
        (lambda: replace(ROOM, level_ft2=float("nan")), "leveled"),
        (lambda: replace(ROOM, patch_ft2=182.0), "patched"),
        (lambda: replace(ROOM, fixtures=(Fixture(kind=FixtureKind.PIPE), Fixture(kind=FixtureKind.PIPE))), "twice"),
        (lambda: replace(ROOM, cuts=(("a", 9 * FOOT), ("b", 8 * FOOT))), "add up"),
        (lambda: replace(ROOM, cuts=(("a", 19 * FOOT), ("b", -FOOT))), "more than zero"),
        (lambda: replace(ROOM, cuts=(("a", 9 * FOOT), ("a", 9 * FOOT))), "own name"),
        (lambda: replace(PLANK, carton_ft2=2.0), "less than one of its planks"),
        (lambda: replace(PLANK, carton_ft2=float("nan")), "less than one of its planks"),
        (lambda: replace(PLANK, plank_width=0), "more than zero"),
        (lambda: replace(PLANK, plank_width=PLANK.plank_length, plank_length=PLANK.plank_width), "wider than long"),
        (lambda: replace(PLANK, acclimation_min=-1), "acclimation"),
        (lambda: replace(PLANK, carton_lb=0.0), "weighs"),
        (lambda: OrderLine(material="harbor plank", cartons=0), "cartons"),
        (lambda: GoodsLine(goods=Goods.PAD, count=0), "0 rolls; it is 1 to 10000"),
        (lambda: GoodsLine(goods=Goods.PAD, count=10_001), "10001 rolls; it is 1 to 10000"),
        (lambda: replace(CREW, workers=()), "one to four"),
        (lambda: replace(CREW, workers=(Worker(name="A"), Worker(name="B"))), "one lead"),
        (lambda: replace(CREW, workers=(Worker(name="A", lead=True), Worker(name="A"))), "one name"),
        (lambda: Shop(name="S", zone="UTC", hours=HOURS, crews=(CREW, CREW)), "twice"),
        (
            lambda: Shop(name="S", zone="UTC", hours=HOURS, crews=(CREW, replace(CREW, name=CREW.name.upper()))),
            "capitals do not matter",
        ),
        (lambda: Shop(name="S", zone="UTC", hours=HOURS, paper="foolscap"), "paper"),
        (lambda: Shop(name="S", zone="UTC", hours=HOURS, units="cubits"), "units"),  # type: ignore[arg-type]
        (lambda: replace(JOB, number=-1), "negative"),
        (lambda: replace(JOB, weight=0), "weight"),
        (lambda: replace(JOB, wished=date(2026, 3, 9), promised=date(2026, 3, 6)), "before the wished"),
        (lambda: replace(JOB, rooms=(ROOM, HALL, HALL)), "room 'hall' is there twice"),
        (lambda: replace(JOB, materials=()), "no material 'harbor plank'"),
        (lambda: replace(JOB, rooms=(ROOM,)), "no room 'hall'"),
        (lambda: replace(JOB, stairs=(Stairs(name="up", steps=3, floor="x"),)), "no material 'x'"),
        (lambda: replace(JOB, stairs=(Stairs(name="hall", steps=3),)), "stairs 'hall': there is a room of that name"),
        (lambda: replace(JOB, orders=(OrderLine(material="x", cartons=1),)), "no material 'x'"),
        (lambda: replace(JOB, stages=((("hall", ""),),)), "stages"),
        (lambda: replace(JOB, stages=((("living", ""), ("hall", "")), (("hall", ""),))), "stages"),
        (lambda: JobRecord(job=JOB).task(7), "no task 7"),
    ],
)
def test_what_cannot_be_is_refused(make: Callable[[], Any], word: str) -> None:
    """Each impossible value is refused with a sentence that names what is wrong."""
    with pytest.raises(Refused, match=word):
        make()


def test_all_faults_of_a_job_are_named_together() -> None:
    """A job with three faults is refused with three sentences."""
    with pytest.raises(Refused) as caught:
        replace(JOB, weight=0, materials=(), rooms=(ROOM,))
    assert len(caught.value.sentences) == 3


def test_due_is_compared_by_the_calendar_of_the_site() -> None:
    """An order may come on the evening it was placed, although the UTC date is the next day's; not the day before."""
    evening = datetime(2026, 3, 7, 3, tzinfo=UTC)  # 6 March, 21:00 in Chicago
    line = OrderLine(material="harbor plank", cartons=1, ordered=date(2026, 3, 6), due=evening)
    assert replace(JOB, orders=(line,)).orders == (line,)
    with pytest.raises(Refused, match="due before it was ordered"):
        replace(JOB, orders=(replace(line, ordered=date(2026, 3, 7)),))


def test_sections_share_the_room() -> None:
    """Sections by length add up to the room's area and keep the lead's order."""
    room = replace(ROOM, cuts=(("window half", 11 * FOOT), ("door half", 7 * FOOT)))
    assert [(section.name, section.area_ft2) for section in room.sections] == [("window half", 110), ("door half", 70)]


def test_a_room_without_cuts_is_one_section() -> None:
    """A room floored whole is a single section without a name."""
    assert [(section.name, section.area_ft2) for section in ROOM.sections] == [("", 180)]


@pytest.mark.parametrize(
    ("covering", "year", "suspect"),
    [
        (Covering.VINYL_TILE, 1966, True),
        (Covering.SHEET_VINYL, 1980, True),
        (Covering.SHEET_VINYL, 1981, False),
        (Covering.GLUED_VINYL, None, True),
        (Covering.CARPET, 1966, False),
        (Covering.GLUED_CARPET, 1980, True),
        (Covering.GLUED_CARPET, 1981, False),
        (Covering.GLUED_CARPET, None, True),
        (Covering.CERAMIC_TILE, None, False),
    ],
)
def test_which_layers_are_presumed_asbestos(covering: Covering, year: int | None, suspect: bool) -> None:
    """Resilient layers, and what lies in old glue, put in no later than 1980, or in an unknown year, until tested. Source: 29 CFR 1926.1101(b), (k)."""
    assert Layer(covering=covering, year=year).suspect is suspect


@pytest.mark.parametrize(("year", "applies"), [(1977, True), (1978, False), (None, True)])
def test_when_the_lead_rule_is_thought_of(year: int | None, applies: bool) -> None:
    """Housing built before 1978, or in an unknown year. Source: 40 CFR 745."""
    assert replace(SITE, year_built=year).lead_rule is applies


def test_private_values_do_not_show_in_a_repr() -> None:
    """Phones, mail and entry notes are kept out of what a log or an error might print."""
    site = replace(SITE, entry_notes="code 4711")
    customer = Customer(name="A", phone="555-0199", mail="a@example.com")
    assert "4711" not in repr(site)
    assert "555-0199" not in repr(customer)
    assert "example.com" not in repr(customer)


def test_every_kind_of_floor_has_a_usual_wait() -> None:
    """48 h for vinyl planks, laminate and engineered wood, five days for solid wood, 24 h for sheet vinyl (trade-facts
    3.5): common practice, no source."""
    hours = {kind: minutes / 60 for kind, minutes in USUAL_ACCLIMATION_MIN.items()}
    others = {FloorKind.SOLID_WOOD: 120, FloorKind.SHEET_VINYL: 24}
    assert hours == {kind: others.get(kind, 48) for kind in FloorKind}


def test_every_kind_of_floor_is_laid_in_its_usual_way() -> None:
    """The usual method of a kind is one that exists for it, and a method that does not is refused with those that do."""
    for kind in FloorKind:
        assert USUAL_METHOD[kind] in METHODS[kind]
        for method in set(Method) - set(METHODS[kind]):
            with pytest.raises(Refused, match=f"{kind} is not {method}: it is {' or '.join(METHODS[kind])}"):
                replace(PLANK, kind=kind, method=method)


def test_only_wood_waits_for_a_reading() -> None:
    """Engineered and solid wood are ready by a reading, the others by the clock. Source: common practice, no source."""
    by_reading = {kind for kind in FloorKind if material(kind=kind).by_reading}
    assert by_reading == {FloorKind.ENGINEERED_WOOD, FloorKind.SOLID_WOOD}


def test_furniture_that_stays_is_not_moved() -> None:
    """Pieces are counted without those that stay."""
    room = replace(ROOM, furniture=(Piece(name="chair", count=4), Piece(name="piano", stays=True)))
    assert room.pieces == 4


def test_the_stage_of_a_section() -> None:
    """A section is worked in the stage that names it; without stages, in its own place within the room."""
    halves = replace(ROOM, cuts=(("window half", 9 * FOOT), ("door half", 9 * FOOT)))
    plain = replace(JOB, rooms=(halves, HALL))
    staged = replace(plain, stages=((("living", "door half"),), (("living", "window half"), ("hall", ""))))
    assert [plain.stage_of("living", part) for part in ("window half", "door half")] == [1, 2]
    assert [staged.stage_of("living", part) for part in ("window half", "door half")] == [2, 1]
    assert staged.stage_of("hall", "") == 2
