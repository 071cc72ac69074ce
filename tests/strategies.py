"""Random jobs that a shop could have: rooms of both shapes, layers, fixtures, furniture, stairs, materials, orders.

Sizes are whole 1/4 inches or centimeters, so both sorts of length occur. Every value drawn is one that the domain accepts;
`jobs` is what most tests want, the smaller strategies are for tests about one thing.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

from hypothesis import strategies as st

from crewjobs.domain.conditions import Conditions, Outside, Range, SlabLimits
from crewjobs.domain.furniture import Keeps, Piece
from crewjobs.domain.house import (
    GRADES,
    USUAL_THROAT,
    Covering,
    Fixture,
    FixtureKind,
    Layer,
    Opening,
    Room,
    Site,
    Stairs,
    Subfloor,
    Transition,
    Trim,
)
from crewjobs.domain.job import Customer, Job, JobRecord
from crewjobs.domain.layout import CutOut, Direction, Obstacle
from crewjobs.domain.material import METHODS, SHEET_GOODS, TILED, WOOD, FloorKind, Lot, Material, Method, OrderLine
from crewjobs.domain.outline import Outline
from crewjobs.domain.pattern import GRIDS, ROWS, Pattern, equal_shares
from crewjobs.domain.units import FOOT, INCH, MILLIMETRE, square_feet
from crewjobs.domain.work import MOST_WORK_MIN, ExtraWork

ROOM_NAMES = ("living", "kitchen", "hall", "bath", "den", "bedroom", "closet", "laundry")
MATERIAL_NAMES = ("harbor plank", "oak plank", "slate tile", "ash board")
STAIR_NAMES = ("front stairs", "cellar stairs")
PIECE_NAMES = ("sofa", "chair", "table", "bed", "shelf", "piano")
SECTION_NAMES = ("street half", "garden half", "middle", "far end")
ZONES = ("America/Chicago", "America/New_York", "America/Phoenix", "America/Los_Angeles")
START = datetime(2026, 3, 2, 12, 30, tzinfo=UTC)


def lengths(least_ft: int = 3, most_ft: int = 30) -> st.SearchStrategy[int]:
    """Lengths in 1/4064 inch, on the quarter inch or on the centimeter."""
    quarter, centimeter = INCH // 4, 10 * MILLIMETRE
    return st.one_of(
        st.integers(-(-least_ft * FOOT // quarter), most_ft * FOOT // quarter).map(lambda n: n * quarter),
        st.integers(-(-least_ft * FOOT // centimeter), most_ft * FOOT // centimeter).map(lambda n: n * centimeter),
    )


def rectangles() -> st.SearchStrategy[Outline]:
    """Plain rooms."""
    return st.builds(Outline.rectangle, lengths(), lengths())


@st.composite
def l_shapes(draw: st.DrawFn) -> Outline:
    """Rooms with one corner missing."""
    length, width = draw(lengths(6)), draw(lengths(6))
    notch_x, notch_y = draw(st.integers(FOOT, length - FOOT)), draw(st.integers(FOOT, width - FOOT))
    corners = ((0, 0), (length, 0), (length, width - notch_y), (length - notch_x, width - notch_y))
    return Outline(corners=(*corners, (length - notch_x, width), (0, width)))


def layers() -> st.SearchStrategy[tuple[Layer, ...]]:
    """What lies there now, top first; the same covering may lie there twice."""
    years = st.none() | st.integers(1950, 2025)
    one = st.builds(
        Layer, covering=st.sampled_from(list(Covering)), year=years, thickness=st.sampled_from((None, None, INCH // 16))
    )
    return st.lists(one, max_size=4).map(tuple)


def fixtures() -> st.SearchStrategy[tuple[Fixture, ...]]:
    """Fixtures, each kind once."""
    one = st.builds(Fixture, kind=st.sampled_from(list(FixtureKind)), count=st.integers(1, 3))
    return st.lists(one, max_size=4, unique_by=lambda fixture: fixture.kind).map(tuple)


@st.composite
def pieces(draw: st.DrawFn, parts: tuple[str, ...] = ()) -> Piece:
    """Furniture, some of which stays; its size, weight and the rest said or left to what is usual."""
    sized = draw(st.booleans())
    return Piece(
        name=draw(st.sampled_from(PIECE_NAMES)),
        count=draw(st.integers(1, 6)),
        people=draw(st.integers(1, 4)),
        stays=draw(st.booleans()),
        length=draw(lengths(1, 9)) if sized else None,
        width=draw(lengths(1, 6)) if sized else None,
        weight_lb=draw(st.none() | st.integers(2, 600).map(float)),
        set_down_min=draw(st.none() | st.integers(0, 60)),
        stack=draw(st.none() | st.integers(1, 6)),
        power=draw(st.none() | st.booleans()),
        sleeps=draw(st.none() | st.integers(0, 2)),
        part=draw(st.sampled_from(("", *parts))),
    )


def furniture(parts: tuple[str, ...] = ()) -> st.SearchStrategy[tuple[Piece, ...]]:
    """Furniture of a room with some sections."""
    return st.lists(pieces(parts), max_size=3).map(tuple)


@st.composite
def cuts(draw: st.DrawFn, length: int) -> tuple[tuple[str, int], ...]:
    """The lead's lines across a length: none, or two to four sections that add up to it."""
    count = draw(st.sampled_from((0, 0, 2, 2, 3, 4)))
    if not count:
        return ()
    inch = st.integers(1, length // INCH - 1).map(lambda place: place * INCH)
    edges = [0, *sorted(draw(st.lists(inch, min_size=count - 1, max_size=count - 1, unique=True))), length]
    return tuple((SECTION_NAMES[i], edges[i + 1] - edges[i]) for i in range(count))


@st.composite
def rooms(draw: st.DrawFn, name: str, floors: tuple[str, ...]) -> Room:
    """A room that gets one of the floors, or (seldom) none."""
    outline = draw(st.one_of(rectangles(), rectangles(), l_shapes()))
    area = outline.area_ft2
    cut = draw(cuts(outline.size[0]))
    wet = st.sampled_from((0.0, 0.0, 0.25, 1.0)).map(lambda share: round(area * share, 1))
    return Room(
        name=name,
        outline=outline,
        storey=draw(st.integers(0, 2)),
        layers=draw(layers()),
        subfloor=draw(st.sampled_from(list(Subfloor))),
        floor=draw(st.sampled_from((*floors * 3, None))) if floors else None,
        level_ft2=draw(wet),
        patch_ft2=draw(wet),
        add_plywood=draw(st.booleans()),
        pad=draw(st.booleans()),
        trim=draw(st.sampled_from(list(Trim))),
        painted_trim=draw(st.booleans()),
        fixtures=(there := draw(fixtures())),
        flange=draw(st.sampled_from((None, 0, INCH // 4, -INCH // 2)))
        if any(one.kind is FixtureKind.TOILET for one in there)
        else None,
        under_counter=draw(st.sampled_from((None, 69 * INCH // 2))),
        furniture=draw(furniture(tuple(part for part, _ in cut))),
        cuts=cut,
        keeps=draw(st.sampled_from(list(Keeps))),
        power=draw(st.booleans()),
        **draw(layout_facts(outline)),
    )


@st.composite
def layout_facts(draw: st.DrawFn, outline: Outline) -> dict[str, Any]:
    """What is said of rows in a room: mostly nothing; else joists, rows, walls, an island at the first corner, a flange."""
    if draw(st.integers(0, 2)):
        return {}
    wall = st.integers(0, len(outline.corners))
    start = draw(wall)
    ring = Outline.rectangle(draw(st.integers(1, 11)) * INCH, draw(st.integers(1, 11)) * INCH).corners
    island = Obstacle(name="column", outline=Outline(corners=ring if draw(st.booleans()) else ring[:3]))
    flange = CutOut(what="flange", at=(6 * INCH, draw(st.integers(0, 11)) * INCH), size=(4 * INCH, 5 * INCH // 2))
    return {
        "joists": draw(st.sampled_from(list(Direction))),
        "rows": Direction.UNSAID if start else draw(st.sampled_from(list(Direction))),  # a wall says how they run
        "start_wall": start,
        "window_wall": draw(wall),
        "obstacles": draw(st.sampled_from(((), (island,)))),
        "cut_outs": draw(st.sampled_from(((), (flange,)))),
    }


asked_of_air = st.sampled_from(
    [
        None,
        Conditions(temperature=Range(low=55, high=80.6), humidity=Range(low=35, high=55)),
        Conditions(temperature=Range(low=50, high=95), humidity=Range(low=20, high=60), outside=Outside.STARTS_AGAIN),
    ]
)
asked_of_slab = st.sampled_from([None, SlabLimits(rh=85, vapor=5, ph=10), SlabLimits(rh=75, vapor=3, ph=9.5)])


@st.composite
def materials(draw: st.DrawFn, name: str) -> Material:
    """Any kind of floor held down in a way that exists for it; a carton covers one plank or more."""
    width, length = draw(st.integers(2, 12)) * INCH, draw(st.integers(12, 84)) * INCH
    planks = draw(st.integers(1, 14))
    kind = draw(st.sampled_from(list(FloorKind)))
    if kind in SHEET_GOODS:
        return Material.sheet(
            name=name,
            kind=kind,
            method=draw(st.sampled_from(METHODS[kind])),
            roll_width=draw(st.sampled_from((6, 9, 12, 15))) * FOOT,
            acclimation_min=draw(st.integers(0, 48)) * 60,
            repeat=draw(st.sampled_from((None, 9 * INCH, 21 * INCH))),
            fill=draw(st.sampled_from((1, 3))),
            thickness=draw(st.sampled_from((None, INCH // 4, 5 * MILLIMETRE))),
            conditions=draw(asked_of_air),
            slab=draw(asked_of_slab),
        )
    pattern = draw(st.sampled_from(list(Pattern)))
    squares = pattern is Pattern.HERRINGBONE and width == length
    if (pattern in GRIDS and kind not in TILED) or pattern is Pattern.DIAGONAL_GRID or squares:
        pattern = Pattern.STRAIGHT
    ruled = pattern in ROWS
    mixed = ruled and kind in WOOD and draw(st.booleans())
    method = draw(st.sampled_from(METHODS[kind]))
    return Material(
        name=name,
        kind=kind,
        method=method,
        plank_width=width,
        plank_length=length,
        carton_ft2=round(planks * square_feet(2 * width * length) + 0.005, 2),
        acclimation_min=draw(st.integers(0, 14 * 24)) * 60,
        carton_lb=draw(st.none() | st.integers(10, 70).map(float)),
        in_carton=None if mixed else draw(st.sampled_from((None, planks))),
        shortest=draw(st.sampled_from((None, length // 4))) if ruled else None,
        stagger=draw(st.sampled_from((None, length // 3))) if ruled else None,
        gap=draw(st.sampled_from((None, 0, INCH // 4))),
        pail_ft2=draw(st.sampled_from((None, 150.0))) if method is Method.GLUED else None,
        pattern=pattern,
        lengths=equal_shares((width, length)) if mixed and width < length else (),
        thickness=draw(st.sampled_from((None, INCH // 4, 5 * MILLIMETRE))),
        conditions=draw(asked_of_air),
        slab=draw(asked_of_slab),
    )


@st.composite
def openings(draw: st.DrawFn, rooms: tuple[Room, ...]) -> tuple[Opening, ...]:
    """Openings between rooms, or to outside, of the same two several told apart, none wider than the longest wall of its rooms."""
    walls = {room.name: max(room.outline.walls) for room in rooms}
    ends = (*walls, "outside")
    pairs = [(one, other) for place, one in enumerate(ends) for other in ends[place + 1 :]]
    chosen = draw(st.lists(st.sampled_from(pairs), max_size=5)) if pairs else []
    parts = {room.name: ["", *(part for part, _ in room.cuts)] for room in rooms}
    ways = [pair if draw(st.booleans()) else pair[::-1] for pair in chosen]
    floors = {room.name: room.floor for room in rooms}

    def one_floor(pair: tuple[str, str]) -> bool:
        return len({floors.get(name) for name in pair} - {None}) < 2

    return tuple(
        Opening(
            between=pair,
            parts=(draw(st.sampled_from(parts.get(pair[0], [""]))), draw(st.sampled_from(parts.get(pair[1], [""])))),
            distance=draw(st.none() | lengths()),
            steps=draw(st.sampled_from((0, 0, 3, 14))),
            width=min([draw(st.integers(24, 72)) * INCH, *(walls[name] for name in pair if name in walls)]),
            door=(door := draw(st.booleans())),
            transition=draw(
                st.sampled_from([way for way in Transition if way is not Transition.CONTINUOUS or one_floor(pair)])
            ),
            rated=draw(st.booleans()),
            throat=draw(st.sampled_from((0, USUAL_THROAT, 6 * INCH))),
            gap=draw(st.sampled_from((None, 0, INCH // 2))) if door else None,
            which=f"the {number}th from the street" if chosen.index(chosen[number]) < number else "",
        )
        for number, pair in enumerate(ways)
    )


@st.composite
def stairs(draw: st.DrawFn, floors: tuple[str, ...], names: tuple[str, ...] = ()) -> tuple[Stairs, ...]:
    """No stairs, or one or two flights of them."""
    return tuple(
        Stairs(
            name=name,
            steps=(steps := draw(st.integers(1, 18))),
            flights=draw(st.integers(1, min(3, steps))),
            layers=draw(layers()),
            floor=draw(st.sampled_from((*floors, None))),
            width=draw(st.sampled_from((None, 36 * INCH))),
            between=names[:2] if len(names) > 1 and draw(st.booleans()) else (),
        )
        for name in draw(st.lists(st.sampled_from(STAIR_NAMES), max_size=2, unique=True))
    )


def sites() -> st.SearchStrategy[Site]:
    """Houses of any age, lived in or empty."""
    return st.builds(
        Site,
        address=st.sampled_from(("4 Mill Lane", "9 Ferry Road", "17 Orchard Way")),
        zone=st.sampled_from(ZONES),
        year_built=st.none() | st.integers(1890, 2025),
        occupied=st.booleans(),
        flights_up=st.integers(0, 3),
        grade=st.sampled_from(GRADES),
        drive_min=st.integers(0, 90),
        beds=st.none() | st.integers(0, 4),
    )


@st.composite
def orders(draw: st.DrawFn, names: tuple[str, ...]) -> tuple[OrderLine, ...]:
    """What was ordered of some materials: not yet, without a date, or due some days later."""
    lines = []
    for name in draw(st.lists(st.sampled_from(names), max_size=3)) if names else ():
        ordered = draw(st.none() | st.dates(date(2026, 2, 1), date(2026, 3, 1)))
        due = START + timedelta(hours=draw(st.integers(0, 400)))
        lines.append(
            OrderLine(
                material=name,
                cartons=draw(st.integers(1, 60)),
                supplier="the supply house",
                ordered=ordered,
                due=due if ordered and draw(st.booleans()) else None,
            )
        )
    return tuple(lines)


@st.composite
def stages(draw: st.DrawFn, of: tuple[Room, ...]) -> tuple[tuple[tuple[str, str], ...], ...]:
    """The lead's order of work: the sections' own (empty), or any sections in any stages."""
    parts = [(room.name, section.name) for room in of for section in room.sections]
    if not parts or draw(st.booleans()):
        return ()
    order = draw(st.permutations(parts))
    breaks = sorted(draw(st.sets(st.integers(1, len(order) - 1)))) if len(order) > 1 else []
    edges = [0, *breaks, len(order)]
    return tuple(tuple(order[edges[i] : edges[i + 1]]) for i in range(len(edges) - 1))


@st.composite
def starts(draw: st.DrawFn, of: tuple[Room, ...]) -> tuple[tuple[str, str], ...]:
    """Where rows may begin: not said, or some sections that get a floor."""
    parts = [(room.name, section.name) for room in of if room.floor for section in room.sections]
    return tuple(draw(st.lists(st.sampled_from(parts), max_size=3, unique=True))) if parts else ()


@st.composite
def jobs(draw: st.DrawFn, *, most_rooms: int = 4) -> Job:
    """A job with everything a house can have."""
    names = tuple(draw(st.lists(st.sampled_from(ROOM_NAMES), min_size=1, max_size=most_rooms, unique=True)))
    floors = tuple(draw(st.lists(st.sampled_from(MATERIAL_NAMES), min_size=1, max_size=3, unique=True)))
    made = tuple(draw(rooms(name, floors)) for name in names)
    stuff = tuple(draw(materials(name)) for name in floors)
    return Job(
        number=draw(st.integers(1, 999)),
        title="a job",
        customer=Customer(name="R. Alder"),
        site=draw(sites()),
        weight=draw(st.integers(1, 3)),
        rooms=made,
        openings=draw(openings(made)),
        stairs=draw(stairs(tuple(one.name for one in stuff if not one.is_sheet), names)),
        materials=stuff,
        orders=draw(orders(floors)),
        stages=draw(stages(made)),
        starts=draw(starts(made)),
    )


@st.composite
def worked_on(draw: st.DrawFn, of: st.SearchStrategy[Job]) -> Job:
    """The job with work agreed in words: in the house, in rooms with and without a new floor, on stairs."""
    job = draw(of)
    places = ("", *(room.name for room in job.rooms), *(flight.name for flight in job.stairs))
    one = st.builds(
        ExtraWork,
        what=st.sampled_from(("shelf off", "new threshold", "board swapped")),
        place=st.sampled_from(places),
        minutes=st.integers(1, MOST_WORK_MIN),
        people=st.integers(1, 4),
        needs=st.sampled_from(("", "a drill")),
        under=st.booleans(),
    )
    work = draw(st.lists(one, max_size=4, unique_by=lambda entry: (entry.what, entry.place)))
    return replace(job, work=tuple(work))


@st.composite
def begun(draw: st.DrawFn, record: JobRecord) -> JobRecord:
    """The record with some tasks started and some done, and with a lot of some of its materials come."""
    count = len(record.tasks)
    started = draw(st.sets(st.integers(0, count - 1), max_size=6)) if count else set()
    done = draw(st.sets(st.integers(0, count - 1), max_size=12)) if count else set()
    tasks = [
        replace(
            task,
            started_at=START if place in started | done else None,
            done_at=START + timedelta(hours=place) if place in done else None,
        )
        for place, task in enumerate(record.tasks)
    ]
    lots = [
        Lot(
            material=material.name, name="A1", cartons=8, arrived_at=START, moved_in_at=draw(st.none() | st.just(START))
        )
        for material in record.job.materials
        if draw(st.booleans())
    ]
    return replace(record, tasks=tuple(tasks), lots=tuple(lots))
