"""What new floors meet by their height: worked by hand, limits as trade-facts section 10 and 8.2 have them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.house import Covering, Fixture, FixtureKind, Layer, Opening, Room, Site, Stairs, Transition
from crewjobs.domain.job import Customer, Job
from crewjobs.domain.material import FloorKind, Material, Method
from crewjobs.domain.outline import Outline
from crewjobs.domain.tear_out import TAKES_OUT
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.heights.build_up import build_up
from crewjobs.engines.heights.meeting import (
    ApplianceUnder,
    DoorOver,
    FlangeAt,
    FlangeNeed,
    FloorsMeet,
    Joint,
    RisersOf,
    flange_need,
    joint_of,
    met,
)
from crewjobs.files.catalogue import read_catalogue

OAK = Material(
    name="oak", kind=FloorKind.SOLID_WOOD, method=Method.NAILED, plank_width=13 * INCH // 4, plank_length=48 * INCH,
    carton_ft2=21.7, acclimation_min=0,
)  # fmt: skip


def room(name: str, *layers: Layer, floor: str | None = "oak", **more: object) -> Room:
    return Room(name=name, outline=Outline.rectangle(10 * FOOT, 8 * FOOT), layers=layers, floor=floor, **more)  # type: ignore[arg-type]


def job(*rooms: Room, openings: tuple[Opening, ...] = (), stairs: tuple[Stairs, ...] = ()) -> Job:
    return Job(
        number=1, title="Heights", customer=Customer(name="Tamsin Rook"), site=Site(address="3 Weir Street", zone="America/Chicago"),
        rooms=rooms, openings=openings, stairs=stairs, materials=(OAK,),
    )  # fmt: skip


CARPET = Layer(covering=Covering.CARPET)
THIN = Layer(covering=Covering.SHEET_VINYL, thickness=INCH // 16)


def test_a_build_up_is_the_sum_of_its_layers() -> None:
    """1/16 in comes out, 1/4 in of plywood and 3/4 in of oak go in: the floor rises 15/16 in."""
    house = job(room("kitchen", THIN, add_plywood=True))
    found = build_up(house, house.rooms[0])
    assert found is not None
    assert (found.was, found.becomes, found.rise) == (INCH // 16, INCH, 15 * INCH // 16)
    assert [part.usual for part in found.before] == [False]
    assert build_up(house, room("attic", floor=None)) is None


def test_floors_that_meet_have_the_strip_that_their_heights_ask_for() -> None:
    """Oak of 3/4 in beside carpet of 5/8 in: 1/8 in, a T-mold; beside a bare sheet of 1/16 in: 11/16 in, more than a strip bridges."""
    way = {"width": 30 * INCH, "door": False}
    house = job(
        room("den"), room("hall", CARPET, floor=None), room("bath", THIN, floor=None), room("attic", floor=None),
        openings=tuple(Opening(between=("den", other), **way) for other in ("hall", "bath", "attic", "outside")),
    )  # fmt: skip
    found = [one for one in met(house) if isinstance(one, FloorsMeet)]
    assert [(one.opening.between[1], one.apart, one.joint, one.fits, one.higher) for one in found] == [
        ("hall", INCH // 8, Joint.T_MOLD, True, "den"),
        ("bath", 11 * INCH // 16, Joint.RAMP, False, "den"),
    ]


@pytest.mark.parametrize(
    ("sixteenths", "transition", "joint", "fits"),
    [
        (0, Transition.CONTINUOUS, Joint.RUNS_ON, True),
        (1, Transition.CONTINUOUS, Joint.RUNS_ON, False),
        (2, Transition.T_MOLD, Joint.T_MOLD, True),
        (3, Transition.T_MOLD, Joint.REDUCER, False),
        (8, Transition.REDUCER, Joint.REDUCER, True),
        (8, Transition.CONTINUOUS, Joint.REDUCER, False),
        (0, Transition.REDUCER, Joint.T_MOLD, False),
        (9, Transition.THRESHOLD, Joint.RAMP, False),  # over 1/2 in: a ramp (2010 ADA Standards 303.4)
    ],
)
def test_limits_of_strips(sixteenths: int, transition: Transition, joint: Joint, fits: bool) -> None:
    """1/8 in for a T-mold (common practice, no source); beveled to 1/2 in, inclusive (2010 ADA Standards 303.3)."""
    assert joint_of(sixteenths * INCH // 16, transition) == (joint, fits)


def test_what_comes_off_a_door() -> None:
    """Trade-facts section 10: new height less old height, and wanted gap less present gap: 3/4 - 1/16 + 1/2 - 5/8 = 9/16 in."""
    ways = (
        Opening(between=("den", "hall"), width=30 * INCH, gap=5 * INCH // 8),
        Opening(between=("den", "hall"), width=30 * INCH, which="not measured"),
        Opening(between=("den", "hall"), width=30 * INCH, which="high", gap=2 * INCH),
        Opening(between=("den", "hall"), width=30 * INCH, which="no door", door=False),
    )
    found = [
        one
        for one in met(job(room("den", THIN), room("hall", CARPET, floor=None), openings=ways))
        if isinstance(one, DoorOver)
    ]
    assert [(one.opening.which, one.cut, one.much) for one in found] == [
        ("", 9 * INCH // 16, True),
        ("not measured", None, False),
        ("high", 0, False),
    ]
    lower = job(room("den", CARPET, CARPET), room("hall", CARPET, floor=None), openings=ways)
    assert not [one for one in met(lower) if isinstance(one, DoorOver)]


@pytest.mark.parametrize(
    ("eighths", "need"),
    [
        (4, FlangeNeed.LOWER),  # 1/2 in is too high
        (3, FlangeNeed.NOTHING),
        (2, FlangeNeed.NOTHING),
        (0, FlangeNeed.NOTHING),  # flush to 1/4 accepted
        (-1, FlangeNeed.THICK_RING),
        (-2, FlangeNeed.THICK_RING),  # flush to 1/4 below
        (-3, FlangeNeed.EXTENDER),  # more than 1/4 below
        (-4, FlangeNeed.EXTENDER),
        (-5, FlangeNeed.PLUMBER),  # over 1/2
    ],
)
def test_what_a_flange_asks_for(eighths: int, need: FlangeNeed) -> None:
    """Trade-facts section 10: 1/4 in above wanted (general guides); a ring to 1/4 below, an extender, over 1/2 a plumber (COMMON)."""
    assert flange_need(eighths * INCH // 8) is need


def test_flange_and_dishwasher_on_a_floor_that_rises() -> None:
    """A flange 1/4 in above a thin sheet comes to lie 7/16 in below oak; 34 1/2 in of counter loses 11/16 in."""
    wet = {"fixtures": (Fixture(kind=FixtureKind.TOILET), Fixture(kind=FixtureKind.DISHWASHER))}
    (flange, appliance) = met(job(room("bath", THIN, flange=INCH // 4, under_counter=69 * INCH // 2, **wet)))
    assert isinstance(flange, FlangeAt)
    assert (flange.above, flange.need) == (-7 * INCH // 16, FlangeNeed.EXTENDER)
    assert isinstance(appliance, ApplianceUnder)
    assert (appliance.stays, appliance.tight) == (69 * INCH // 2 - 11 * INCH // 16, True)
    (flange, appliance) = met(job(room("bath", THIN, **wet)))
    assert isinstance(flange, FlangeAt)
    assert isinstance(appliance, ApplianceUnder)
    assert (flange.above, flange.need, appliance.stays) == (None, None, None)


@given(st.integers(0, 24), st.integers(0, 24), st.integers(0, 24))
def test_first_and_last_riser(foot: int, step: int, head: int) -> None:
    """Each riser between two steps stays; the first changes by what the steps rise more than the floor at their foot, the last the other
    way at their head; 3/8 in between risers (IRC R311.7.5.1, MEMORY)."""

    def layers(sixteenths: int) -> tuple[Layer, ...]:
        return (Layer(covering=Covering.CARPET, thickness=sixteenths * INCH // 16),) if sixteenths else ()

    house = job(
        room("low", *layers(foot)),
        room("high", *layers(head)),
        stairs=(Stairs(name="main", steps=13, floor="oak", layers=layers(step), between=("low", "high")),),
    )
    found = [one for one in met(house) if isinstance(one, RisersOf)]
    rise = {name: 12 - was for name, was in (("foot", foot), ("step", step), ("head", head))}
    first, last = rise["step"] - rise["foot"], rise["head"] - rise["step"]
    if not (first or last):
        assert not found
        return
    assert (found[0].first, found[0].last) == (first * INCH // 16, last * INCH // 16)
    assert found[0].over == (max(abs(first), abs(last)) > 6)


def test_what_takes_out_is_the_catalogues() -> None:
    """Each template takes out the covering it is said to."""
    templates = {template.key: template for template in read_catalogue().templates}
    for key, covering in TAKES_OUT.items():
        assert templates[key].applies.coverings == frozenset({covering})
