"""Day plans of an invented shop in the invented town of Marrow Bend, as the page tests and eyes need them."""

from dataclasses import replace
from datetime import UTC, date, datetime, time
from itertools import pairwise

from crewjobs.drawing.laid_rows import LaidPiece, LaidRow
from crewjobs.drawing.shapes import Box, Drawing, Fill, Line, Says, Shape, Tile, Words
from crewjobs.paper.initials import initials
from crewjobs.paper.model import (
    Caution,
    CutRow,
    DayPlan,
    Drive,
    EntryNote,
    House,
    HouseFact,
    HouseLayout,
    HowFar,
    LeadOnly,
    LoadItem,
    PaperSize,
    Person,
    Sheet,
    Span,
    StandsLine,
    TaskLine,
    WaitEnd,
)
from crewjobs.services.moving.rooms_view import rooms_view
from crewjobs.services.pages.page_moves import house_stage
from tests.moved_house import moved_record

SHOP_NAME = "Linden Floor Crew"
SHOP_PHONE = "555-0100"
DAY = date(2026, 3, 3)


def people(*names: str) -> tuple[Person, ...]:
    """A crew whose first name is the lead's."""
    return tuple(
        Person(name=name, initials=mark, lead=place == 0)
        for place, (name, mark) in enumerate(zip(names, initials(names), strict=True))
    )


def sheet(name: str, revision: int = 1) -> Sheet:
    """A sheet printed the evening before the sample day."""
    return Sheet(name=name, revision=revision, printed_at=datetime(2026, 3, 2, 18, 42))


def _birch_tasks() -> tuple[TaskLine, ...]:
    """A click floor over leveled plywood, three people, dust before furniture."""
    return (
        TaskLine(
            title="Walk-through with the customer, photo of every room",
            at=time(7, 30),
            until=time(7, 45),
            initials=("IV",),
            place="All rooms",
            notes=("Color, direction and lot agreed; existing damage noted.",),
        ),
        TaskLine(
            title="Floor paper from front door to kitchen, plastic on openings",
            at=time(7, 30),
            until=time(7, 50),
            initials=("TL", "RA"),
            place="Hall",
        ),
        TaskLine(
            title="Air handler fan off, then plastic on the return grille",
            at=time(7, 50),
            until=time(8, 0),
            place="Hall",
        ),
        TaskLine(
            title="Grind ridge, vacuum, prime, pour leveler 6′ × 4′, 1/4″ at the deepest",
            kind="wait starts",
            at=time(8, 0),
            until=time(9, 15),
            initials=("IV", "TL"),
            place="Dining room, window corner",
            notes=("Primer dry to the touch before the pour: about 30 min.",),
            wait_note="look at it 3 h later at the earliest",
        ),
        TaskLine(
            title="Undercut 3 jambs and the casing, dry-fit the T-mold 72″",
            at=time(8, 0),
            until=time(8, 50),
            initials=("RA",),
            place="Hall and closet",
            how_far=HowFar(total="3", unit="jambs"),
        ),
        TaskLine(
            title="Vacuum, check flatness with the 10′ straightedge",
            at=time(8, 50),
            until=time(9, 15),
            initials=("RA",),
            place="Living room",
            notes=("Over 3/16″ in 10′: mark it and tell the lead before any plank.",),
        ),
        TaskLine(
            title="Move 2 of 3: sofa, bookcase, low table to the dining room, hearth side",
            kind="move",
            at=time(9, 15),
            until=time(9, 40),
            place="Living room",
            notes=("Shelves emptied by the customer. If not: note the time.",),
        ),
        TaskLine(
            title="Pad down, seams taped",
            at=time(9, 40),
            until=time(10, 10),
            initials=("TL", "RA"),
            place="Living room",
            how_far=HowFar(total="185", unit="ft²"),
        ),
        TaskLine(
            title="Snap the start line 5½″ off the street wall, cut row 1",
            at=time(9, 40),
            until=time(10, 15),
            initials=("IV",),
            place="Living room",
            notes=("Save starters over 8 in; no equal stairs.",),
        ),
        TaskLine(
            title="Lay rows 1–19 from the street wall",
            at=time(10, 15),
            until=time(14, 0),
            initials=("IV", "TL"),
            place="Living room",
            how_far=HowFar(total="19", unit="rows", unit_first=True),
        ),
        TaskLine(
            title="Cut and bag starters and ends, feed planks from lot 0417",
            at=time(10, 15),
            until=time(11, 30),
            initials=("RA",),
            place="Garage",
        ),
        TaskLine(
            title="Press-test the leveler, take the caution tape down",
            kind="wait ends",
            at=time(12, 30),
            until=time(12, 45),
            initials=("RA",),
            place="Dining room",
            notes=("Thumb leaves no mark and the color is even: otherwise it stays shut.",),
        ),
        TaskLine(
            title="Pad down, seams taped",
            at=time(12, 45),
            until=time(13, 30),
            initials=("RA",),
            place="Dining room",
            how_far=HowFar(total="126", unit="ft²"),
        ),
        TaskLine(
            title="Room temperature and humidity; plank and subfloor moisture",
            kind="reading",
            at=time(15, 40),
            until=time(15, 50),
            initials=("IV",),
            place="Bedroom, closet wall",
            notes=("Five boards, three places of subfloor; write them on the reading card.",),
        ),
        TaskLine(
            title="Sweep, bags to the truck, plastic off the grille, then the fan on again",
            at=time(15, 50),
            until=time(16, 15),
            place="All rooms",
        ),
        TaskLine(
            title="Lay the first rows from the window wall",
            place="Dining room",
            hold="The leveler there may not be loaded before Wed 4 Mar 07:30, 22 h after the pour.",
            how_far=HowFar(total="126", unit="ft²"),
        ),
    )


def _birch_houses() -> tuple[House, ...]:
    return (
        House(
            number=1,
            job=118,
            customer="Dagny Oyelaran",
            phone="555-0142",
            address="14 Lantern Row, Marrow Bend",
            work="Living room, hall and dining room: click vinyl plank over pad",
            arrive=time(7, 30),
            leave=time(16, 15),
            hours="8 h 45 min by the clock, 30 min of it lunch: 24.75 people-hours for 3",
            facts=(
                HouseFact(label="Pets", text="dog in the yard: side gate latched"),
                HouseFact(label="Parking", text="drive, left side only, until 09:00"),
                HouseFact(label="Toilet for the crew", text="hall bath, floor paper down"),
                HouseFact(label="Key", text="customer home until 08:30, then key back in the box"),
                HouseFact(label="Power and water", text="garage; hose bib at the side wall"),
                HouseFact(label="House", text="built 1994, occupied, on grade"),
            ),
            tasks=_birch_tasks(),
            moved_anyway=(
                "Refrigerator, on sliders: water shut off first, floor dry behind it.",
                "Gas range stays until a licensed person has shut, disconnected and leak-checked it.",
            ),
            floor_notes=(
                "Leave one full carton of lot 0417 in the hall closet.",
                "Anti-tip bracket back on the range.",
            ),
        ),
        House(
            number=2,
            job=109,
            customer="Ansel Thorne",
            phone="555-0177",
            address="3 Quarry Lane, Marrow Bend",
            work="Bedroom: carry-in of solid oak",
            arrive=time(16, 30),
            leave=time(17, 0),
            hours="30 min by the clock: 1.5 people-hours for 3",
            facts=(HouseFact(label="Parking", text="street"), HouseFact(label="Key", text="neighbor, 5 Quarry Lane")),
            tasks=(
                TaskLine(
                    title="Carry in 9 cartons, flat, off the slab, air on all sides",
                    at=time(16, 30),
                    until=time(16, 50),
                    place="Bedroom, closet wall",
                    how_far=HowFar(total="9", unit="cartons"),
                ),
                TaskLine(
                    title="Temperature and humidity of the room",
                    kind="reading",
                    at=time(16, 50),
                    until=time(17, 0),
                    initials=("IV",),
                    place="Bedroom",
                ),
            ),
        ),
    )


def _birch_load() -> tuple[LoadItem, ...]:
    return (
        LoadItem(
            group="material",
            quantity="14 cartons",
            what="Click vinyl plank 7½″ × 48″, driftwood gray",
            note="lot 0417 only, do not mix",
            houses=(1,),
        ),
        LoadItem(group="material", quantity="2 rolls", what="Pad for click vinyl, 100 ft² each", houses=(1,)),
        LoadItem(group="material", quantity="3 bags", what="Leveler, fast set, 50 lb", houses=(1,)),
        LoadItem(group="material", quantity="1 jug", what="Primer for leveler, 1 gal", houses=(1,)),
        LoadItem(group="material", quantity="4 pieces", what="T-mold 72″ (2), reducer 72″ (2)", houses=(1,)),
        LoadItem(group="material", quantity="9 cartons", what="Solid oak 5″ × ¾″, goes in today", houses=(2,)),
        LoadItem(group="tools", quantity="1", what="Grinder with shroud, HEPA vacuum, spare filter", houses=(1,)),
        LoadItem(group="tools", quantity="1 + 3", what="Mixer; buckets with marks", houses=(1,)),
        LoadItem(group="tools", quantity="1", what="Undercut saw, two new blades", houses=(1,)),
        LoadItem(group="tools", quantity="2", what="Tapping block, pull bar", houses=(1,)),
        LoadItem(group="tools", quantity="1", what="Moisture meter, pin and pinless", houses=(1, 2)),
        LoadItem(group="tools", quantity="8", what="Furniture sliders", houses=(1,)),
        LoadItem(group="supplies", quantity="2 rolls", what="Floor paper, tape", houses=(1,)),
        LoadItem(group="supplies", quantity="40", what="Spacers 3/8″", houses=(1,)),
        LoadItem(group="supplies", quantity="1 box", what="Contractor bags", houses=(1, 2)),
    )


def typical_day(paper: PaperSize = "letter", *, lead: bool = True) -> DayPlan:
    """Crew Birch: one main house done in parts, a short second one, two waits, one thing on hold."""
    return DayPlan(
        shop_name=SHOP_NAME,
        shop_phone=SHOP_PHONE,
        crew_name="Birch",
        people=people("Ines Varga", "Tobiah Lund", "Rém Achterberg"),
        day=DAY,
        sheet=sheet("Birch Tue 3 Mar", 3),
        paper=paper,
        start=time(7, 0),
        start_place="shop, bay 2",
        back_by=time(17, 20),
        lunch=Span(start=time(12, 0), end=time(12, 30)),
        drives=(
            Drive(start=time(7, 10), end=time(7, 30), what="shop to House 1"),
            Drive(start=time(16, 15), end=time(16, 30), what="House 1 to House 2"),
            Drive(start=time(17, 0), end=time(17, 20), what="House 2 to shop"),
        ),
        load=_birch_load(),
        truck_list=(
            "Table saw with 60-tooth blade",
            "Nailer and hose",
            "Compressor",
            "10′ straightedge",
            "First-aid box",
            "Fire extinguisher",
            "Knee pads",
            "Eye and ear protection",
        ),
        waits=(
            WaitEnd(
                at=time(12, 30),
                what="Leveler may be looked at",
                place="dining room, window corner",
                house=1,
                check="No foot before. Thumb leaves no mark, color even all over; the lead decides.",
            ),
            WaitEnd(
                kind="reading",
                at=time(15, 40),
                what="solid oak, day 4 in the house",
                place="bedroom, closet wall",
                house=1,
                check="Boards within 2 points of the subfloor, and no change since the last reading. "
                "If not: it stays stacked.",
            ),
        ),
        cautions=(
            Caution(
                text="Air handler fan OFF, then plastic on the return grille. At the end plastic off, then fan on.",
                houses=(1,),
            ),
            Caution(text="Silica: shroud and HEPA vacuum on the grinder, half-mask, hall door shut.", houses=(1,)),
            Caution(text="Gas range: shut, disconnected and leak-checked by a licensed person only.", houses=(1,)),
            Caution(text="Dog in the yard. Side gate latched every time.", houses=(1,)),
        ),
        houses=_birch_houses(),
        lead_only=LeadOnly(entry_notes=(EntryNote(house=1, text="Lock box left of the door, code 4471."),))
        if lead
        else None,
    )


def empty_day(paper: PaperSize = "letter") -> DayPlan:
    """Crew Cedar with people and a date, and nothing to do."""
    return DayPlan(
        shop_name=SHOP_NAME,
        shop_phone=SHOP_PHONE,
        crew_name="Cedar",
        people=people("Ana Lund", "Al Lopez"),
        day=DAY,
        sheet=sheet("Cedar Tue 3 Mar"),
        paper=paper,
        notes=("Nothing planned: the oak of job 121 is not ready before Thu 5 Mar.",),
    )


def nothing_at_all(paper: PaperSize = "letter") -> DayPlan:
    """Every text empty, every list empty."""
    return DayPlan(shop_name="", shop_phone="", crew_name="", people=(), day=DAY, sheet=sheet("", 0), paper=paper)


def long_day(paper: PaperSize = "letter", count: int = 300) -> DayPlan:
    """Crew Rowan: `count` tasks in one house, four people, long load list and many waits."""
    crew = people("Wilhelmina Ostrander", "Bo", "Jean-Luc Fairweather", "Ada Mbeki")
    marks = [person.initials for person in crew]
    tasks = tuple(
        TaskLine(
            title=f"Room {index + 1}: strip {index + 1} of carpet rolled, tied and carried out",
            at=time(7 + index * 9 // count, index * 540 // count % 60),
            until=time(7 + index * 9 // count + 1, 0),
            initials=(marks[index % 4],) if index // 20 % 3 else (),
            place=f"Room {index + 1}, closet wall",
            notes=(f"Tack strip {index + 1} stays where the new pad needs it.",) if index % 5 == 0 else (),
            how_far=HowFar(total=str(100 + index), unit="ft²", before="20 ft²") if index % 7 == 0 else None,
        )
        for index in range(count)
    )
    base = typical_day(paper, lead=False)
    house = replace(base.houses[0], tasks=tasks, leave=time(17, 0))
    return replace(
        base,
        crew_name="Rowan",
        people=crew,
        sheet=sheet("Rowan Tue 3 Mar"),
        houses=(house,),
        load=tuple(
            LoadItem(group="supplies", quantity=f"{index} pieces", what=f"Tack strip bundle {index}", houses=(1,))
            for index in range(70)
        ),
        waits=tuple(
            WaitEnd(
                at=time(7 + index, 15),
                what=f"Patch {index} may be looked at",
                place=f"room {index}",
                house=1,
                check="No mark of a thumb; the lead decides.",
            )
            for index in range(10)
        ),
    )


def with_text(text: str, paper: PaperSize = "letter") -> DayPlan:
    """A typical lead's copy in which every user text is replaced by `text` and a number that tells them apart."""
    base = typical_day(paper)
    house = replace(
        base.houses[0],
        customer=f"{text}01",
        phone=f"{text}02",
        address=f"{text}03",
        work=f"{text}04",
        hours=f"{text}05",
        facts=tuple(HouseFact(label=f"{text}{n}6", text=f"{text}{n}7") for n in range(4)),
        moved_anyway=(f"{text}08",),
        floor_notes=(f"{text}09",),
        tasks=tuple(
            replace(
                task,
                title=f"{text}{n}a",
                place=f"{text}{n}b",
                notes=(f"{text}{n}c",),
                hold=f"{text}{n}d",
                wait_note=f"{text}{n}e" if task.kind == "wait starts" else "",
                how_far=HowFar(total=f"{text}{n}f", unit=f"{text}{n}g", before=f"{text}{n}h"),
            )
            for n, task in enumerate(base.houses[0].tasks[:6])
        ),
    )
    return replace(
        base,
        shop_name=f"{text}10",
        shop_phone=f"{text}11",
        crew_name=f"{text}12",
        people=tuple(replace(person, name=f"{text}1{n}i", note=f"{text}1{n}j") for n, person in enumerate(base.people)),
        sheet=sheet(f"{text}13"),
        start_place=f"{text}14",
        notes=(f"{text}15",),
        load=(
            LoadItem(group="material", quantity=f"{text}16", what=f"{text}17", note=f"{text}18", houses=(1, 2)),
            LoadItem(group="tools", quantity=f"{text}19", what=f"{text}20"),
        ),
        truck_list=(f"{text}21", f"{text}22"),
        waits=(
            WaitEnd(at=time(12, 30), what=f"{text}23", place=f"{text}24", house=1, check=f"{text}25"),
            WaitEnd(kind="reading", at=None, what=f"{text}26", place=f"{text}27", check=f"{text}28"),
        ),
        cautions=(Caution(text=f"{text}29", houses=(1,)), Caution(text=f"{text}30")),
        houses=(house,),
        lead_only=LeadOnly(entry_notes=(EntryNote(house=1, text=f"{text}31"),)),
    )


def owing_day(paper: PaperSize = "letter") -> DayPlan:
    """The typical day, where a plumber is late at the first house and no hours are asked at the second."""
    plan = typical_day(paper)
    first, second = plan.houses
    owed = ("Waits for the plumber: supply line moved, late, was promised for Mon 2 Mar 12:00; holds back Base off.",)
    found = ("den: rot, 12 ft² seen, Tue 3 Mar 10:40. Nobody steps on it.",)
    return replace(plan, houses=(replace(first, owed=owed, found=found), replace(second, asks_hours=False, hours="")))


def visits_day(paper: PaperSize = "letter") -> DayPlan:
    """One person's two small visits."""
    plan = typical_day(paper)
    visits = tuple(replace(house, asks_hours=False, hours="", tasks=house.tasks[:3]) for house in plan.houses)
    return replace(
        plan,
        crew_name="Nadia Reyes",
        one_person=True,
        people=(),
        load=(),
        truck_list=(),
        waits=(),
        cautions=(),
        houses=visits,
        sheet=sheet("Nadia Reyes Tue 3 Mar"),
        lead_only=None,
    )


def moving_day(paper: PaperSize = "letter", stage: int = 2) -> DayPlan:
    """The typical day on which a stage of the furniture is carried, its house drawn."""
    base = typical_day(paper)
    view = rooms_view(moved_record(), datetime(2026, 3, 2, 13, 0, tzinfo=UTC)).stages[stage]
    drawn = house_stage(view, made=True)
    return replace(base, houses=(replace(base.houses[0], stages=(drawn,)), base.houses[1]))


def crowded_move(paper: PaperSize = "letter", text: str = "") -> DayPlan:
    """A day of a stage with more carries than a page has lines, every text of theirs long."""
    base = moving_day(paper)
    (stage,) = base.houses[0].stages
    carries = tuple(
        replace(stage.carries[n % len(stage.carries)], name=f"{text}{n}k", start=f"{text}{n}l", to=f"{text}{n}m")
        for n in range(90)
    )
    stands = tuple(StandsLine(letter=f"S{n}", name=f"{text}{n}n", place=f"{text}{n}o") for n in range(20))
    crowded = replace(stage, sentence=f"{text}p", label=f"{text}q", carries=carries, stands=stands)
    return replace(base, houses=(replace(base.houses[0], stages=(crowded, crowded)), base.houses[1]))


def laid_floor(rows: int = 14, text: str = "") -> HouseLayout:
    """A floor to lay: so many rows of four planks of 48 in, the first cut; every text of its list with `text` before it."""
    shapes: list[Shape] = []
    drawn = []
    for row in range(rows):
        first = 12 + 9 * (row % 4)
        ends = [0, first, first + 48, first + 96, 150]
        pieces = [*pairwise(ends)]
        fills = [Fill.CUT, Fill.WHOLE, Fill.WHOLE if row < 9 else Fill.LATER, Fill.CUT if row < 9 else Fill.LAID]
        shapes += [
            Box(tile=0, x=16 + a, y=7 * row, width=b - a, depth=7, fill=fill)
            for (a, b), fill in zip(pieces, fills, strict=True)
        ]
        shapes.append(Words(tile=0, text=str(row + 1), says=Says.NOTE, x=0, y=7 * row, width=14, depth=5))
        drawn.append(
            LaidRow(
                label=str(row + 1),
                pieces=tuple(
                    LaidPiece(start=a, end=b, fill=fill, mark=str(row + 1) if fill is Fill.CUT else "")
                    for (a, b), fill in zip(pieces, fills, strict=True)
                ),
            )
        )
    corners = [(16, 0), (166, 0), (166, 7 * rows), (16, 7 * rows)]
    shapes += [
        Line(tile=0, start=a, end=b, wall=True) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)
    ]
    tile = Tile(name="den", x=0, y=0, width=166, depth=7 * rows, inner=(16, 0, 150, 7 * rows))
    return HouseLayout(
        title=f"{text}gray plank, den",
        sentences=(
            f"{text}Den: {rows} rows from the wall facing you as you come in from hall (12' 6\").",
            "Face that wall.",
        ),
        drawing=Drawing(width=166, depth=7 * rows, line=5, shapes=tuple(shapes), tiles=(tile,)),
        drawn_rows=tuple(drawn),
        rows=tuple(
            CutRow(
                label=f"Row {row + 1}",
                pieces=f'{text}start {12 + 9 * (row % 4)} 3/8" (plank {row + 1}, keep 24" for row {row + 2}); 2 whole',
                cut_outs=(f'{text}end 7": vent {row}: 4" x 10", 3" from its left end',) if row % 5 == 2 else (),
            )
            for row in range(rows)
        ),
        notes=(f'{text}1/4" free at every wall.',),
    )


def laying_day(paper: PaperSize = "letter") -> DayPlan:
    """The typical day with a floor whose rows stand in two columns, and one with cut-outs."""
    base = typical_day(paper)
    short = laid_floor(12)
    short = replace(short, rows=tuple(replace(row, pieces=row.pieces[:18], cut_outs=()) for row in short.rows))
    return replace(base, houses=(replace(base.houses[0], layouts=(short, laid_floor())), base.houses[1]))


def laying_for_pages(paper: PaperSize = "letter", text: str = "") -> DayPlan:
    """A floor with more rows than a page has lines, every text long."""
    base = typical_day(paper)
    return replace(base, houses=(replace(base.houses[0], layouts=(laid_floor(70, text),)), base.houses[1]))
