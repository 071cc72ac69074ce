"""Fields of a house: rooms joined through openings, held to areas and to shapes put together by a library of geometry."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from shapely import Polygon
from shapely.affinity import rotate, translate

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import Opening, Room, Site, Transition
from crewjobs.domain.job import Customer, Job
from crewjobs.domain.layout import Obstacle
from crewjobs.domain.material import FloorKind, Material, Method
from crewjobs.domain.outline import Outline
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.take_off.fields import fields_of

PLANK = Material(
    name="plank",
    kind=FloorKind.CLICK_VINYL,
    method=Method.FLOATING,
    plank_width=7 * INCH,
    plank_length=48 * INCH,
    carton_ft2=23.8,
    acclimation_min=0,
)


def _job(rooms: list[Room], openings: list[Opening]) -> Job:
    return Job(
        number=1, title="Two rooms", customer=Customer(name="Tamsin Rook"),
        site=Site(address="3 Weir Street", zone="America/Chicago"), rooms=tuple(rooms), openings=tuple(openings),
        materials=(PLANK,),
    )  # fmt: skip


def _room(name: str, *corners: tuple[int, int]) -> Room:
    return Room(name=name, floor="plank", outline=Outline(corners=tuple((x * FOOT, y * FOOT) for x, y in corners)))


def _turned(ring: list[tuple[int, int]], random: Random) -> list[tuple[int, int]]:
    """Measure a room from another corner, the other way round, with its length lying the other way."""
    if random.random() < 0.5:
        ring = ring[::-1]
    if random.random() < 0.5:
        ring = [(10 - y, x) for x, y in ring]
    start = random.randrange(len(ring))
    return ring[start:] + ring[:start]


def _wall(ring: list[tuple[int, int]], a: tuple[float, float], b: tuple[float, float]) -> tuple[int, float]:
    """Return the wall that holds both ends of an opening, and how far from its first corner the nearer end is."""
    for number, (one, then) in enumerate(zip(ring, (*ring[1:], ring[0]), strict=True), 1):
        (x0, y0), (x1, y1) = one, then
        if all((x - x0) * (y1 - y0) == (y - y0) * (x1 - x0) for x, y in (a, b)):
            length = abs(x1 - x0) + abs(y1 - y0)
            far = [abs(x - x0) + abs(y - y0) for x, y in (a, b)]
            if max(far) <= length and all(min(x0, x1) <= x <= max(x0, x1) for x in (a[0], b[0])):
                return number, min(far)
    raise AssertionError("no wall")


@pytest.mark.parametrize("seed", range(30))
def test_two_rooms_joined_are_one_floor_however_they_were_measured(seed: int) -> None:
    """An L beside a box, each measured from any corner, either way round, turned: the field is congruent to both with the doorway."""
    random = Random(seed)
    ell = [(0, 0), (10, 0), (10, 4), (6, 4), (6, 9), (0, 9)]
    start, width, deep = random.randrange(0, 2), 3, 5 * INCH
    box = [(0, 0), (8, 0), (8, 7), (0, 7)]
    ours, theirs = _turned(ell, Random(seed + 1000)), _turned(box, Random(seed + 2000))
    # the opening is in the L's wall from (10, 0) to (10, 4), and in the box's from (0, 7) to (0, 0)
    at_ours = [(10, start), (10, start + width)]
    at_theirs = [(0, start + 1), (0, start + 1 + width)]
    same = Random(seed + 1000), Random(seed + 2000)
    moved = [_moved(points, random_) for points, random_ in zip((at_ours, at_theirs), same, strict=True)]
    (wall, offset), (other, beyond) = _wall(ours, *moved[0]), _wall(theirs, *moved[1])
    opening = Opening(
        between=("ell", "box"), width=width * FOOT, door=False, transition=Transition.CONTINUOUS,
        walls=(wall, other), offsets=(round(offset * FOOT), round(beyond * FOOT)), throat=deep,
    )  # fmt: skip
    told: list[str] = []
    found = fields_of(_job([_room("ell", *ours), _room("box", *theirs)], [opening]), "plank", told)
    assert [[one.room for one in field.rooms] for field in found] == [["ell", "box"]]
    assert not told
    field = Polygon(found[0].field.outline)
    expected = Polygon([(x * FOOT, y * FOOT) for x, y in ell]).area + 56 * FOOT**2 + width * FOOT * deep
    assert field.is_valid
    assert field.area == expected
    for name, ring in (("ell", ours), ("box", theirs)):
        place = found[0].place_of(name)
        lies = Polygon([place.to((x * FOOT, y * FOOT)) for x, y in ring])
        assert field.buffer(1).contains(lies)
    together = Polygon([(x, y) for x, y in ell]).union(translate(Polygon(box), 10 + deep / FOOT, -1))
    shape = together.union(
        Polygon([(10, start), (10 + deep / FOOT, start), (10 + deep / FOOT, start + width), (10, start + width)])
    )
    assert _congruent(shape, field)


def _moved(points: list[tuple[int, int]], random: Random) -> list[tuple[int, int]]:
    """Move points as `_turned` moves a room's corners."""
    random.random()
    return [(10 - y, x) for x, y in points] if random.random() < 0.5 else points


def _congruent(shape: Polygon, field: Polygon) -> bool:
    """Return whether one is the other, turned by quarters or seen in a mirror."""
    scaled = Polygon([(x * FOOT, y * FOOT) for x, y in shape.exterior.coords])
    mirrored = Polygon([(-x, y) for x, y in scaled.exterior.coords])
    for one in (scaled, mirrored):
        for quarter in range(4):
            turned = rotate(one, 90 * quarter, origin=(0, 0))
            moved = translate(turned, -turned.bounds[0], -turned.bounds[1])
            if moved.symmetric_difference(field).area < 1e-6 * field.area:
                return True
    return False


def test_a_strip_ends_a_floor_in_the_middle_of_the_doorway() -> None:
    """A doorway of 30 in, 4 1/2 in deep, with a T-mold: each room has half of it, and is a field of its own."""
    box = ((0, 0), (10, 0), (10, 8), (0, 8))
    opening = Opening(between=("a", "b"), width=30 * INCH, walls=(2, 4), offsets=(FOOT, FOOT))
    found = fields_of(_job([_room("a", *box), _room("b", *box)], [opening]), "plank", [])
    assert [Polygon(one.field.outline).area for one in found] == [80 * FOOT**2 + 30 * INCH * opening.throat / 2] * 2


def test_where_an_opening_is_has_to_be_said() -> None:
    """Rooms whose opening has no walls are laid out one by one, and that is told; so are doorways left out."""
    box = ((0, 0), (10, 0), (10, 8), (0, 8))
    openings = [
        Opening(between=("a", "b"), width=30 * INCH, transition=Transition.CONTINUOUS, walls=(2, 0)),
        Opening(between=("a", "outside"), width=36 * INCH),
    ]
    told: list[str] = []
    found = fields_of(_job([_room("a", *box), _room("b", *box)], openings), "plank", told)
    assert len(found) == 2
    assert [Polygon(one.field.outline).area for one in found] == [80 * FOOT**2] * 2
    assert "a / b runs on without a strip" in told[0]
    assert "a / outside is left out" in told[1]


def test_islands_come_along_and_rooms_on_each_other_are_refused() -> None:
    """A room joined at the far end brings its island where it stands; rooms that would overlap have one sentence."""
    box = ((0, 0), (10, 0), (10, 8), (0, 8))
    island = Obstacle(
        name="island", outline=Outline(corners=tuple((x * FOOT, y * FOOT) for x, y in ((2, 2), (5, 2), (5, 4), (2, 4))))
    )
    rooms = [
        _room("a", *box),
        Room(name="b", floor="plank", outline=_room("b", *box).outline, obstacles=(island,)),
        _room("c", *box),
    ]
    through = {"width": 30 * INCH, "transition": Transition.CONTINUOUS, "throat": 6 * INCH}
    one = Opening(between=("a", "b"), walls=(2, 4), offsets=(FOOT, 8 * FOOT - FOOT - 30 * INCH), **through)
    (both, alone) = fields_of(_job(rooms, [one]), "plank", [])
    assert both.field.holes == (
        tuple((round(x * FOOT), y * FOOT) for x, y in ((12.5, 2), (15.5, 2), (15.5, 4), (12.5, 4))),
    )
    assert alone.field.name == "c"
    other = Opening(between=("a", "c"), walls=(2, 4), offsets=(4 * FOOT, 2 * FOOT), **through)
    with pytest.raises(Refused, match="a, b and c lie on each other"):
        fields_of(_job(rooms, [one, other]), "plank", [])


def test_rooms_without_a_wall_between_are_one_floor() -> None:
    """A living room that opens into a dining room over its whole width: both together, no doorway between."""
    box = ((0, 0), (10, 0), (10, 8), (0, 8))
    wide = Opening(
        between=("a", "b"), width=8 * FOOT, transition=Transition.CONTINUOUS, walls=(2, 4), throat=0, door=False
    )
    (both,) = fields_of(_job([_room("a", *box), _room("b", *box)], [wide]), "plank", [])
    assert Polygon(both.field.outline).area == pytest.approx(160 * FOOT**2, rel=1e-3)
    assert len(both.field.outline) == 4


def _ring_of_four(off: int = 0) -> tuple[list[Room], list[Opening]]:
    """Four rooms of 10 x 8 ft around a post, walls of 6 in, an opening of 3 ft between each and the next: a way around."""
    box = ((0, 0), (10, 0), (10, 8), (0, 8))
    through = {"width": 3 * FOOT, "transition": Transition.CONTINUOUS, "throat": 6 * INCH, "door": False}

    def opening(one: str, other: str, walls: tuple[int, int], at: int, more: int = 0) -> Opening:
        length = (10, 8, 10, 8)[walls[0] - 1] * FOOT
        return Opening(between=(one, other), walls=walls, offsets=(at, length - at - 3 * FOOT + more), **through)

    openings = [
        opening("a", "b", (2, 4), 4 * FOOT), opening("b", "c", (3, 1), 2 * FOOT), opening("c", "d", (4, 2), FOOT),
        opening("d", "a", (1, 3), 5 * FOOT, off),
    ]  # fmt: skip
    return [_room(name, *box) for name in "abcd"], openings


def test_rooms_all_around_are_one_floor_with_the_walls_in_its_middle() -> None:
    """Each room and each doorway counts once; the walls between the doorways stand in the middle, a cross of 6 in."""
    told: list[str] = []
    (found,) = fields_of(_job(*_ring_of_four()), "plank", told)
    whole = Polygon(found.field.outline, found.field.holes)
    assert not told
    assert whole.is_valid
    assert whole.area == pytest.approx((4 * 80 + 4 * 3 * 0.5) * FOOT**2, rel=1e-6)
    (cross,) = (Polygon(hole) for hole in found.field.holes)
    x, y, to_x, to_y = cross.bounds
    low, high = {side: round((far - near) / INCH) for side, (near, far) in enumerate(((x, to_x), (y, to_y)))}.values()
    # arms from the doorways' near edges: a / b begins 4 ft, 2 ft ... from the corners that meet in the post
    assert cross.area == pytest.approx((low + high - 6) * 6 * INCH**2, rel=1e-6)


def test_a_doorway_whose_sides_miss_each_other_is_told() -> None:
    """The last one lies 9 in off by the other three: its floor is left out, and by how much it is off is said; half an inch is measured so."""
    told: list[str] = []
    (found,) = fields_of(_job(*_ring_of_four(9 * INCH)), "plank", told)
    assert told == [
        'the floor in the doorway d / a is left out: by the other openings its sides lie 9" beside each other (look at walls, offsets '
        "and throats)"
    ]
    assert Polygon(found.field.outline, found.field.holes).area == pytest.approx((4 * 80 + 3 * 3 * 0.5) * FOOT**2)
    (near,) = fields_of(_job(*_ring_of_four(INCH // 2)), "plank", [])
    assert Polygon(near.field.outline, near.field.holes).area == pytest.approx(
        (4 * 80 + 4 * 3 * 0.5) * FOOT**2, rel=1e-3
    )


def test_two_doorways_between_the_same_rooms_are_told_apart() -> None:
    """Both are laid through, and the wall between them stands in the floor; with one name for both the job is refused."""
    box = ((0, 0), (10, 0), (10, 8), (0, 8))
    through = {"width": 2 * FOOT, "transition": Transition.CONTINUOUS, "throat": 6 * INCH, "door": False}
    one = Opening(between=("a", "b"), walls=(2, 4), offsets=(FOOT, 5 * FOOT), **through)
    other = replace(one, offsets=(5 * FOOT, FOOT), which="by the window")
    told: list[str] = []
    (found,) = fields_of(_job([_room("a", *box), _room("b", *box)], [one, other]), "plank", told)
    assert not told
    (wall,) = found.field.holes
    assert Polygon(wall).area == 2 * FOOT * 6 * INCH
    assert other.name == "a / b, by the window"
    with pytest.raises(Refused, match=r"is there twice: .* which = .by the window"):
        _job([_room("a", *box), _room("b", *box)], [one, replace(other, which="")])


def test_a_strip_within_a_floor_that_runs_on_all_around() -> None:
    """One of the four doorways has a strip: both halves are floor, and do not touch."""
    rooms, openings = _ring_of_four()
    openings[3] = replace(openings[3], transition=Transition.T_MOLD)
    (found,) = fields_of(_job(rooms, openings), "plank", [])
    whole = Polygon(found.field.outline, found.field.holes)
    assert whole.is_valid
    assert whole.area == pytest.approx((4 * 80 + 4 * 3 * 0.5) * FOOT**2, rel=1e-3)
    assert len(found.doorways) == 4


@pytest.mark.parametrize("at", [(0, 0), (4, 0), (7, 5)])
def test_what_stands_at_a_wall_is_part_of_it(at: tuple[int, int]) -> None:
    """A cabinet in a corner or at a wall leaves the outline that shapely leaves; one that stands free is a hole."""
    x, y = at
    corners = tuple((a * FOOT, b * FOOT) for a, b in ((x, y), (x + 3, y), (x + 3, y + 3), (x, y + 3)))
    box = ((0, 0), (10, 0), (10, 8), (0, 8))
    room = replace(_room("a", *box), obstacles=(Obstacle(name="cabinets", outline=Outline(corners=corners)),))
    (found,) = fields_of(_job([room], []), "plank", [])
    assert not found.field.holes
    left = Polygon(room.outline.corners).difference(Polygon(corners))
    assert Polygon(found.field.outline).symmetric_difference(left).area == pytest.approx(0, abs=1)
