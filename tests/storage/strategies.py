"""Any job that the domain allows, with anything that may have happened to it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

from hypothesis import strategies as st

from crewjobs.domain.bounds import MOST_GOODS, MOST_TOOLS, NARROWEST_ROLL, WIDEST_OPENING, WIDEST_ROLL
from crewjobs.domain.conditions import Conditions, Outside, Range, SlabLimits
from crewjobs.domain.crew import MOST_KEPT_PERCENT, Crew, Lead, SharedTool, Shop, Skill, Sub, Worker
from crewjobs.domain.goods import Goods, GoodsLine
from crewjobs.domain.house import (
    Covering,
    Fixture,
    FixtureKind,
    Layer,
    Opening,
    Piece,
    Room,
    Site,
    Stairs,
    Subfloor,
    Transition,
    Trim,
)
from crewjobs.domain.job import Customer, HoldPassed, Job, JobRecord, JobState
from crewjobs.domain.layable import continuous_faults, outside_faults
from crewjobs.domain.material import METHODS, SHEET_GOODS, TILED, WOOD, FloorKind, Lot, Material, Method, OrderLine
from crewjobs.domain.outline import Outline
from crewjobs.domain.pattern import GRIDS, ROWS, Pattern, equal_shares
from crewjobs.domain.plan import BlockKey, LeftOut, Placement, WeekPlan
from crewjobs.domain.tasks import (
    Driver,
    Link,
    Pause,
    Phase,
    Scope,
    ScopeKind,
    Task,
    TaskKey,
    TemplateOverride,
    ThreePoint,
)
from crewjobs.domain.units import FOOT
from crewjobs.domain.wall import Span, WeekHours
from crewjobs.domain.work import MOST_WORK_MIN, ExtraWork
from tests.storage.basic import (
    amounts,
    days,
    instants,
    lengths,
    names,
    numbers,
    optional,
    some,
    texts,
    versions,
    zones,
)
from tests.storage.happenings import happenings

NO_TIE = st.none()
RESERVED = ("house", "outside")
"""Names no room or stairs of a file may have."""
places = names.filter(lambda name: "".join(filter(str.isalpha, name)).casefold() not in RESERVED)


@st.composite
def week_hours(draw):
    """Draw hours with up to two spans a day."""
    week = []
    for _ in range(7):
        edges = sorted(draw(st.sets(st.integers(0, 96), max_size=4)))
        pairs = zip(edges[::2], edges[1::2], strict=False)
        week.append(tuple(Span(start=15 * start, end=15 * end) for start, end in pairs))
    return WeekHours(days=tuple(week))


@st.composite
def crew_hours(draw):
    """Draw a crew's week with up to three single days of other hours, or none."""
    week = draw(week_hours())
    single = draw(st.dictionaries(days, st.sampled_from(week.days), max_size=3))
    return replace(week, but=tuple(single.items()))


@st.composite
def crews(draw, name):
    """Draw a crew of one to four."""
    people = draw(st.lists(names, min_size=1, max_size=4, unique=True))
    lead = draw(st.sampled_from(people))
    return Crew(
        name=name,
        workers=tuple(
            Worker(name=person, lead=person == lead, cards=draw(st.frozensets(names, max_size=2))) for person in people
        ),
        hours=draw(crew_hours()),
        skills=draw(st.frozensets(st.sampled_from(Skill))),
        days_off=draw(st.frozensets(days, max_size=3)),
        truck=draw(some(texts)),
        sub=draw(optional(st.builds(Sub, area_ft2=st.floats(0.5, 5000), steps=st.integers(0, 200)))),
    )


shared_tools = st.builds(SharedTool, name=names, count=st.integers(1, MOST_TOOLS))


@st.composite
def shops(draw):
    """Draw a shop with up to three crews."""
    called = draw(st.lists(names, max_size=3, unique_by=lambda name: name.strip().casefold()))
    return Shop(
        name=draw(texts),
        zone=draw(zones),
        units=draw(st.sampled_from(["us", "metric"])),
        paper=draw(st.sampled_from(["letter", "a4"])),
        phone=draw(texts),
        hours=draw(week_hours()),
        holidays=draw(st.frozensets(days, max_size=3)),
        crews=tuple(draw(crews(name)) for name in called),
        lead=draw(optional(st.builds(Lead, name=names, hours=week_hours()))),
        tools=tuple(draw(st.lists(shared_tools, max_size=3, unique_by=lambda tool: tool.name.strip().casefold()))),
        kept_percent=draw(st.integers(0, MOST_KEPT_PERCENT)),
        wood_target=draw(st.sampled_from((6.0, 8.0, 11.0))),
        hour_cents=draw(st.sampled_from((0, 1, 7250))),
    )


layers = st.builds(Layer, covering=st.sampled_from(Covering), year=optional(st.integers(1900, 2026)))
fixtures = st.builds(Fixture, kind=st.sampled_from(FixtureKind), count=st.integers(1, 5))
pieces = st.builds(Piece, name=texts, count=st.integers(1, 9), people=st.integers(1, 4), stays=st.booleans())


@st.composite
def elevators(draw, hours):
    """Draw an elevator's hours: a stretch of a day the site is open, none where there is none."""
    open_ = [(day, span) for day, spans in enumerate(hours.days) for span in spans] if hours else []
    if hours and not open_:
        return None
    day, span = draw(st.sampled_from(open_)) if open_ else (draw(st.integers(0, 6)), Span(start=480, end=1020))
    start = draw(st.integers(span.start // 15, span.end // 15 - 1))
    booked = Span(start=15 * start, end=15 * draw(st.integers(start + 1, span.end // 15)))
    return draw(optional(st.just(WeekHours(days=tuple((booked,) if n == day else () for n in range(7))))))


@st.composite
def sites(draw):
    """Draw a site, with an elevator inside its hours."""
    site = draw(plain_sites)
    return replace(site, elevator=draw(elevators(site.hours)))


plain_sites = st.builds(
    Site,
    address=texts,
    zone=zones,
    year_built=optional(st.integers(1700, 2026)),
    occupied=st.booleans(),
    flights_up=st.integers(0, 9),
    grade=st.sampled_from(["above", "on", "below"]),
    parking=texts,
    pets=texts,
    key_with=texts,
    crew_toilet=st.booleans(),
    toilet_meanwhile=texts,
    drive_min=st.integers(0, 500),
    hours=optional(week_hours()),
    entry_notes=texts,
)
sides = lengths.map(lambda length: length + FOOT)
"""A room's: files give none under a foot."""
outlines = st.builds(Outline.rectangle, sides, sides) | st.just(
    Outline(corners=((0, 0), (95000, 0), (95000, 53001), (52000, 53001), (52000, 97000), (0, 97000)))
)


@st.composite
def rooms(draw, name, floors):
    """Draw a room, in one or two sections."""
    outline = draw(outlines)
    length = outline.size[0]
    cuts = ()
    if outline.is_rectangle and length > 1 and draw(st.booleans()):
        first = draw(st.integers(1, length - 1))
        cuts = (("this half", first), ("that half", length - first))
    area = st.floats(0, outline.area_ft2)
    return Room(
        name=name,
        outline=outline,
        storey=draw(st.integers(-1, 3)),
        layers=draw(some(layers)),
        subfloor=draw(st.sampled_from(Subfloor)),
        floor=draw(floors),
        level_ft2=draw(area),
        patch_ft2=draw(area),
        add_plywood=draw(st.booleans()),
        pad=draw(st.booleans()),
        trim=draw(st.sampled_from(Trim)),
        painted_trim=draw(st.booleans()),
        fixtures=draw(some(fixtures, unique_by=lambda fixture: fixture.kind)),
        furniture=draw(some(pieces)),
        cuts=cuts,
    )


@st.composite
def materials(draw, name):
    """Draw a material of which a carton covers a few planks."""
    width, length = sorted([draw(st.integers(4064, 50000)), draw(st.integers(4064, 500000))])
    pattern, said = draw(st.sampled_from(Pattern)), draw(st.integers(0, 3))
    if pattern is Pattern.DIAGONAL_GRID:
        length = width
    if pattern is Pattern.HERRINGBONE and width == length:
        pattern = Pattern.STRAIGHT
    kind = draw(st.sampled_from(FloorKind))
    if kind in SHEET_GOODS:
        return Material.sheet(
            name=name,
            kind=kind,
            method=draw(st.sampled_from(METHODS[kind])),
            roll_width=draw(st.integers(NARROWEST_ROLL, WIDEST_ROLL)),
            acclimation_min=draw(st.integers(0, 10000)),
            repeat=draw(st.none() | st.integers(4064, 200000)),
            fill=draw(st.integers(1, 6)),
            **air_and_slab(said),
        )
    pattern = Pattern.STRAIGHT if pattern in GRIDS and kind not in TILED else pattern
    grouted = pattern in GRIDS and kind is FloorKind.GLUED_VINYL
    return Material(
        name=name,
        kind=kind,
        method=draw(st.sampled_from(METHODS[kind])),
        plank_width=width,
        plank_length=length,
        carton_ft2=width * length / 48768**2 * draw(st.floats(1, 30)),
        acclimation_min=draw(st.integers(0, 10000)),
        carton_lb=draw(optional(st.floats(0.5, 999))),
        stagger=length // said if said > 1 and pattern in ROWS else None,
        gap=(None, 0, 1, 8128)[said],
        pattern=pattern,
        lengths=random_lengths(width, length, said) if kind in WOOD and pattern in ROWS else (),
        joint=(None, 0, 1, 2032)[said] if grouted else None,
        **air_and_slab(said),
    )


def air_and_slab(said):
    """Return what a material asks of air and slab: nothing of its own, one of the two, or both."""
    asks = Conditions(
        temperature=Range(low=55, high=80.6), humidity=Range(low=35, high=55), outside=Outside.STARTS_AGAIN
    )
    return {"conditions": asks if said > 1 else None, "slab": SlabLimits(rh=85, vapor=5, ph=10) if said % 2 else None}


def random_lengths(width, longest, said):
    """Return no lengths, or some up to the longest, with equal or other shares: few draws, as jobs are large already."""
    every = tuple(sorted({width, (width + longest) // 2, longest}))
    if not said or len(every) < 2:
        return ()
    if said == 1:
        return equal_shares(every)
    return tuple((length, 100 * part / sum(range(said, said + len(every)))) for part, length in enumerate(every, said))


@st.composite
def jobs(draw, number=numbers, callback_of=NO_TIE):
    """Draw a job; the one it comes back to would have to be there where it is stored."""
    called = draw(st.lists(places, min_size=1, max_size=3, unique=True))
    made_of = draw(st.lists(names.filter(lambda name: name not in called), max_size=2, unique=True))
    floors = optional(st.sampled_from(made_of)) if made_of else st.none()
    stuff = tuple(draw(materials(name)) for name in made_of)
    for_steps = optional(st.sampled_from([one.name for one in stuff if not one.is_sheet] or [None]))
    inside = tuple(draw(rooms(name, floors)) for name in called)
    pairs = [(a, b) for a in called for b in [*called, "outside"] if a != b]
    wished, promised = sorted([draw(days), draw(days)])
    sections = [(room.name, section.name) for room in inside for section in room.sections]
    orders = st.builds(
        OrderLine,
        material=st.sampled_from(made_of) if made_of else st.nothing(),
        cartons=st.integers(1, 200),
        supplier=texts,
        ordered=optional(st.just(date(2019, 12, 31))),
        due=optional(instants),
        special=st.booleans(),
    )
    openings = draw(_openings(pairs, {room.name: max(room.outline.walls) for room in inside}))
    glued = {one.name for one in stuff if one.method is Method.GLUED}
    inside = tuple(replace(room, pad=False) if room.floor in glued else room for room in inside)
    wrong = [*continuous_faults(openings, inside), *outside_faults(openings)]
    openings = tuple(
        replace(one, transition=Transition.T_MOLD) if one.transition is Transition.CONTINUOUS and wrong else one
        for one in openings
    )
    flights = draw(st.lists(places.filter(lambda name: name not in [*called, *made_of]), max_size=2, unique=True))
    known = ["", *called, *flights, *(opening.name for opening in openings)]
    own = draw(number)
    return Job(
        number=own,
        title=draw(texts),
        customer=Customer(name=draw(texts), phone=draw(texts), mail=draw(texts)),
        site=draw(sites()),
        state=draw(st.sampled_from(JobState)),
        wished=draw(optional(st.just(wished))),
        promised=draw(optional(st.just(promised))),
        weight=draw(st.integers(1, 3)),
        callback_of=draw(callback_of.filter(lambda other: other != own)),
        blocked=draw(st.frozensets(days, max_size=3)),
        rooms=inside,
        openings=openings,
        stairs=tuple(
            Stairs(
                name=name,
                steps=14,
                flights=draw(st.integers(1, 3)),
                open_ends=draw(st.integers(0, 28)),
                layers=draw(some(layers)),
                floor=draw(for_steps),
                width=draw(st.none() | st.integers(12 * 4064, 144 * 4064)),
            )
            for name in flights
        ),
        materials=stuff,
        orders=draw(some(orders)) if made_of else (),
        goods=draw(_goods(known)),
        work=draw(_work(["", *called, *flights])),
        stages=draw(st.sampled_from([(), (tuple(sections),), tuple((section,) for section in sections)])),
    )


def _work(places):
    return some(
        st.builds(
            ExtraWork,
            what=names,
            place=st.sampled_from(places),
            minutes=st.integers(1, MOST_WORK_MIN),
            people=st.integers(1, 4),
            needs=texts,
        ),
        unique_by=lambda entry: (entry.what, entry.place),
    )


def _goods(places):
    return some(
        st.builds(
            GoodsLine,
            goods=st.sampled_from(Goods),
            count=st.integers(1, MOST_GOODS),
            place=st.sampled_from(places),
            supplier=texts,
            ordered=optional(st.just(date(2019, 12, 31))),
            due=optional(instants),
            special=st.booleans(),
        ),
        unique_by=lambda line: line.name,
    )


def _openings(pairs, walls):
    def one(pair):
        return st.builds(
            Opening,
            between=st.just(pair),
            width=st.integers(1, min([WIDEST_OPENING, *(walls[name] for name in pair if name in walls)])),
            door=st.booleans(),
            transition=st.sampled_from(Transition),
            rated=st.booleans(),
        )

    return some(st.sampled_from(pairs).flatmap(one), unique_by=lambda opening: opening.name)


scopes = st.builds(Scope, kind=st.sampled_from(ScopeKind), name=texts, part=texts)
keys = st.builds(TaskKey, template=texts, scope=scopes, cause=texts)
estimates = (
    st.lists(amounts, min_size=3, max_size=3).map(sorted).map(lambda p: ThreePoint(low=p[0], likely=p[1], high=p[2]))
)


@st.composite
def tasks(draw, number, key):
    """Draw a task in any state."""
    least, started = draw(st.integers(1, 4)), draw(optional(instants))
    done = draw(optional(instants))
    return Task(
        number=number,
        key=key,
        title=draw(texts),
        phase=draw(st.sampled_from(Phase)),
        stage=draw(st.integers(0, 5)),
        quantity=draw(amounts),
        unit=draw(st.sampled_from(Driver)),
        estimate=draw(estimates),
        people=draw(st.integers(least, 4)),
        least_people=least,
        pause=draw(st.sampled_from(Pause)),
        skill=draw(optional(st.sampled_from(Skill))),
        needs_material=draw(optional(texts)),
        needs_goods=draw(optional(st.sampled_from(Goods))),
        card=draw(texts),
        elevator=draw(st.booleans()),
        started_at=started,
        done_at=max(done, started) if done and started else done,
        not_needed=draw(st.booleans()),
        crew=draw(texts),
    )


@st.composite
def job_records(draw, number=numbers, version=versions):
    """Draw a job with what has happened to it."""
    job = draw(jobs(number))
    called = draw(st.lists(st.integers(1, 500), max_size=5, unique=True))
    made = tuple(draw(tasks(number, draw(keys.map(lambda key, n=number: _own(key, n))))) for number in called)
    made_of = [material.name for material in job.materials]
    passed = st.builds(
        HoldPassed,
        task=st.sampled_from(called) if called else st.nothing(),
        at=instants,
        because=names,
        seen=some(texts),
    )
    pairs = [(a, b) for a in called for b in called if a != b]
    links = st.builds(
        lambda pair, wait, name, more: Link(
            before=pair[0], after=pair[1], wait_min=wait, name=name, most_min=None if more is None else wait + more
        ),
        st.sampled_from(pairs) if pairs else st.nothing(),
        st.integers(0, 10000),
        texts,
        optional(st.integers(0, 10000)),
    )
    return JobRecord(
        job=job,
        version=draw(version),
        tasks=made,
        links=draw(some(links)) if pairs else (),
        lots=draw(some(lots(made_of))) if made_of else (),
        passed=draw(some(passed)) if called else (),
        **draw(happenings(called, made_of)),
    )


@st.composite
def lots(draw, made_of):
    """Draw a lot, checked or not."""
    cartons = draw(st.integers(1, 200))
    return Lot(
        material=draw(st.sampled_from(made_of)),
        name=draw(texts),
        cartons=cartons,
        arrived_at=draw(instants),
        moved_in_at=draw(optional(st.just(datetime(2036, 1, 1, tzinfo=UTC)))),
        checked_at=draw(optional(instants)),
        damaged=draw(st.integers(0, cartons)),
        color_differs=draw(st.booleans()),
    )


def _own(key, number):
    return TaskKey(template=f"{key.template}-{number}", scope=key.scope, cause=key.cause)


@st.composite
def plans(draw, job=1):
    """Draw a plan of one job."""
    placements = []
    for task in draw(st.lists(st.integers(1, 50), max_size=3, unique=True)):
        start, end = sorted([draw(instants), draw(instants)])
        tasks = tuple(draw(st.lists(st.integers(1, 50), max_size=3)))
        placements.append(
            Placement(
                key=BlockKey(job=job, task=task),
                tasks=tasks,
                phase=draw(st.sampled_from(Phase)),
                stage=draw(st.integers(0, 5)),
                crew=draw(texts),
                start=start,
                end=end,
                reason=draw(texts),
                pace=draw(st.one_of(st.just(()), st.tuples(*(st.floats(0.05, 20) for _ in tasks)))),
                spread=draw(optional(st.floats(0, 3))),
            )
        )
    left = st.builds(LeftOut, job=st.just(job), tasks=some(st.integers(1, 50)), why=texts)
    return WeekPlan(
        made_at=draw(instants),
        until=draw(instants),
        placements=tuple(placements),
        left_out=draw(some(left)),
        based_on=draw(st.integers(0, 99)),
    )


overrides = st.lists(
    st.builds(
        TemplateOverride,
        key=names,
        title=optional(texts),
        minutes=optional(estimates),
        fixed=optional(amounts),
        people=optional(st.integers(1, 4)),
        load=optional(some(texts)),
        waits=some(st.tuples(texts, st.integers(0, 9999))),
        at_most=some(st.tuples(texts, st.integers(0, 9999))),
        off=st.booleans(),
    ),
    max_size=3,
    unique_by=lambda override: override.key,
).map(lambda found: tuple(sorted(found, key=lambda override: override.key)))
