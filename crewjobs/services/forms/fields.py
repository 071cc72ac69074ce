"""The pages of the two forms, a job's and the shop's, with their fields: a key of the file, a label, how its line is read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from crewjobs.domain.conditions import Outside
from crewjobs.domain.crew import PAPERS, Skill
from crewjobs.domain.furniture import Keeps
from crewjobs.domain.goods import Goods
from crewjobs.domain.house import GRADES, Subfloor, Transition, Trim
from crewjobs.domain.job import JobState
from crewjobs.domain.layout import Direction
from crewjobs.domain.material import SHEET_GOODS, FloorKind, Method
from crewjobs.domain.pattern import Pattern
from crewjobs.domain.species import SPECIES, Cut
from crewjobs.domain.units import UNIT_SYSTEMS, UnitSystem
from crewjobs.services.forms.texts import Kind


class From(StrEnum):
    """Where a choice finds its options when they hang on the rest of the form."""

    MATERIALS = "materials"
    ROOMS = "rooms"
    ENDS = "rooms, their sections, and outside"
    PLACES = "rooms, stairs and openings"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A field: `key` is its path below the page's table, steps between dots.

    `usual` is what a key that is not there means, as its line would say it; `fresh` stands in a new page's field.
    `asked` is said of it where nothing stands in it and something must, where its example is no value to repeat.
    `metric` is its example in a shop that measures in metres, where that is another. `more` fields are folded away. With `only`, the field is there only while another one of the page has one of some values.
    """

    key: str
    label: str
    kind: Kind = Kind.TEXT
    hint: str = ""
    metric: str = ""
    asked: str = ""
    options: tuple[str, ...] = ()
    chosen_from: From | None = None
    usual: str = ""
    fresh: str = ""
    more: bool = False
    only: tuple[str, frozenset[str]] | None = None

    def shown(self, texts: Mapping[str, str]) -> bool:
        """Return whether it is there, by what the other fields of its page say."""
        return self.only is None or texts.get(self.only[0], "") in self.only[1]

    def example(self, units: UnitSystem) -> str:
        """Return what may stand in it, for somebody who measures so."""
        return self.metric if units == "metric" and self.metric else self.hint


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One kind of page: the table of the file it fills, alone or once for each of several.

    `marker` is the key that tells an item of a shared list apart; `many` names one more of it ("" for a page that is there once).
    `holds` are the tables of a page without one of its own that a file must have, however little is said in them.
    """

    kind: str
    title: str
    about: str
    entries: tuple[Entry, ...]
    table: str = ""
    many: str = ""
    marker: str = ""
    holds: tuple[str, ...] = ()

    def entry(self, key: str) -> Entry:
        """Return a field by its key."""
        return next(entry for entry in self.entries if entry.key == key)


def _words(kinds: type[StrEnum]) -> tuple[str, ...]:
    return tuple(kind.value for kind in kinds if kind.value)


REST: Final = "rest"
"""The key under which what has no field of its own is kept, spelled as in the file."""
_REST: Final = Entry(key=REST, label="Other keys", kind=Kind.REST, more=True)
_PLANKS: Final = ("kind", frozenset(_words(FloorKind)) - {kind.value for kind in SHEET_GOODS})
_SHEET: Final = ("kind", frozenset(kind.value for kind in SHEET_GOODS))
_YES: Final = "yes"
_CITY: Final = "It is needed: type a city, such as Chicago, and take what is listed."
_LEAD: Final = "It is needed where their hours are given: a name."
_WORK_HOURS: Final = "It is needed: hours of one person, such as 1.5; or minutes, under More."
_ROOMS: Final = "It is needed beside the other: stairs lead from a room below to one above."
_GOODS: Final = "It is needed: choose what is ordered."
_NO: Final = "no"

HOUSE: Final = Page(
    kind="house",
    title="House",
    about="Who pays, and where the floor is.",
    holds=("customer", "site"),
    entries=(
        Entry(key="customer.name", label="Customer", hint="Teo Halloran"),
        Entry(key="site.address", label="Address", hint="9 Quarry Road, Marrow Bend"),
        Entry(key="site.year_built", label="Year built", kind=Kind.WHOLE, hint="1994; empty: not known"),
        Entry(key="site.occupied", label="Somebody lives there", kind=Kind.FLAG, usual=_YES),
        Entry(key="site.drive_min", label="Drive, min", kind=Kind.WHOLE, hint="one way; empty: 20"),
        Entry(key="customer.phone", label="Phone", more=True),
        Entry(key="customer.mail", label="Mail", more=True),
        Entry(key="site.flights_up", label="Flights up", kind=Kind.WHOLE, hint="empty: none", more=True),
        Entry(key="site.grade", label="Grade", kind=Kind.CHOICE, options=GRADES, usual="above", more=True),
        Entry(key="site.parking", label="Parking", more=True),
        Entry(key="site.pets", label="Pets", more=True),
        Entry(key="site.key_with", label="Key with", more=True),
        Entry(key="site.crew_toilet", label="Crew may use a toilet there", kind=Kind.FLAG, usual=_YES, more=True),
        Entry(key="site.toilet_meanwhile", label="Toilet out", hint="rented toilet in the garage", more=True),
        Entry(key="site.beds", label="Beds a night", kind=Kind.WHOLE, hint="empty: all there are", more=True),
        Entry(key="site.hours", label="Site hours", kind=Kind.HOURS, hint="mon-fri 9:00-16:00; empty: any", more=True),
        Entry(key="site.elevator", label="Elevator", kind=Kind.HOURS, hint="mon-fri 9:00-11:00", more=True),
        Entry(key="site.zone", label="Time zone", kind=Kind.ZONE, hint="empty: the shop's", more=True),
        Entry(key="site.entry_notes", label="Entry notes", hint="private; empty: as they are", more=True),
    ),
)
FLOOR: Final = Page(
    kind="material",
    title="Floor",
    about="What is laid. Sizes with their unit: 7 in x 48 in, 18 cm x 120 cm; the carton says what it covers.",
    table="material",
    many="another floor",
    entries=(
        Entry(key="name", label="Its name", hint="gray plank", fresh="new floor"),
        Entry(key="kind", label="Kind", kind=Kind.CHOICE, options=_words(FloorKind), fresh=FloorKind.CLICK_VINYL.value),
        Entry(key="plank", label="Plank", hint="7 in x 48 in", metric="18 cm x 122 cm", only=_PLANKS),
        Entry(key="carton", label="Carton covers", hint="23.8 ft2", metric="2.2 m2", only=_PLANKS),
        Entry(key="roll", label="Roll width", hint="12 ft", metric="4 m", only=_SHEET),
        Entry(key="acclimation", label="Acclimates", hint="48 h; empty: as usual for its kind"),
        Entry(key="method", label="Method", kind=Kind.CHOICE, options=_words(Method), more=True),
        Entry(
            key="repeat",
            label="Repeat",
            hint="18 in, of a pattern",
            metric="45 cm, of a pattern",
            only=_SHEET,
            more=True,
        ),
        Entry(key="fill", label="Fill pieces", kind=Kind.WHOLE, hint="1", only=_SHEET, more=True),
        Entry(key="carton_lb", label="Carton weighs", kind=Kind.WEIGHT, hint="32 lb, 14.5 kg", only=_PLANKS, more=True),
        Entry(key="planks", label="In a carton", kind=Kind.WHOLE, hint="10 planks", only=_PLANKS, more=True),
        Entry(
            key="shortest", label="Shortest", hint="8 in, at a wall", metric="20 cm, at a wall", only=_PLANKS, more=True
        ),
        Entry(
            key="stagger",
            label="Stagger",
            hint="8 in, of end joints",
            metric="20 cm, of end joints",
            only=_PLANKS,
            more=True,
        ),
        Entry(key="gap", label="Gap at walls", hint="1/4 in", metric="8 mm", only=_PLANKS, more=True),
        Entry(
            key="pattern",
            label="Pattern",
            kind=Kind.CHOICE,
            options=_words(Pattern),
            usual=Pattern.STRAIGHT.value,
            only=_PLANKS,
            more=True,
        ),
        Entry(key="joint", label="Grout joint", hint="1/8 in", metric="3 mm", only=_PLANKS, more=True),
        Entry(key="pail", label="Pail covers", hint="200 ft2", metric="18 m2", only=_PLANKS, more=True),
        Entry(key="thickness", label="Thickness", hint="5 mm", more=True),
        Entry(key="species", label="Species", kind=Kind.CHOICE, options=tuple(SPECIES), only=_PLANKS, more=True),
        Entry(key="cut", label="Cut", kind=Kind.CHOICE, options=_words(Cut), usual="flat", only=_PLANKS, more=True),
        Entry(key="temperature", label="Temperature", hint="65-85 F", metric="18-29 C", more=True),
        Entry(key="humidity", label="Humidity", hint="30-50 % RH", more=True),
        Entry(key="outside", label="Out of range", kind=Kind.CHOICE, options=_words(Outside), more=True),
        Entry(key="slab_rh", label="Slab, % RH", kind=Kind.NUMBER, more=True),
        Entry(key="slab_vapor", label="Slab vapor", kind=Kind.NUMBER, hint="lb/1000 ft2/24 h", more=True),
        Entry(key="slab_ph", label="Slab pH", kind=Kind.NUMBER, more=True),
        _REST,
    ),
)
ROOM: Final = Page(
    kind="room",
    title="Room",
    about="Wall to wall, with the unit: 14' 6, 12' 3 1/2, 3.81 m. A room that only has things carried through gets no new floor.",
    table="room",
    many="another room",
    entries=(
        Entry(key="name", label="Its name", hint="den"),
        Entry(key="length", label="Length", hint="14' 6", metric="4.42 m"),
        Entry(key="width", label="Width", hint="12' 3 1/2", metric="3.75 m"),
        Entry(key="floor", label="New floor", kind=Kind.CHOICE, chosen_from=From.MATERIALS, fresh="new floor"),
        Entry(
            key="layers",
            label="Lies there now",
            kind=Kind.LAYERS,
            hint="carpet, glued carpet, sheet vinyl 1966; top first",
        ),
        Entry(key="furniture", label="Furniture", kind=Kind.FURNITURE, hint="usual bedroom, 2 bookcase, piano stays"),
        Entry(key="fixtures", label="Fixtures", kind=Kind.COUNTS, hint="toilet, 2 floor vent"),
        Entry(
            key="subfloor", label="Subfloor", kind=Kind.CHOICE, options=_words(Subfloor), usual=Subfloor.PLYWOOD.value
        ),
        Entry(key="trim", label="Trim", kind=Kind.CHOICE, options=_words(Trim), usual=Trim.REUSE_BASE.value),
        Entry(key="storey", label="Storey", kind=Kind.WHOLE, hint="0 is the ground floor", more=True),
        Entry(
            key="corners",
            label="Or corners",
            kind=Kind.POINTS,
            hint="0, 0; 12', 0; 12', 9' 6; 0, 9' 6",
            metric="0, 0; 3.6 m, 0; 3.6 m, 2.9 m; 0, 2.9 m",
            more=True,
        ),
        Entry(
            key="sections",
            label="Sections",
            kind=Kind.PARTS,
            hint="window half: 9', door half",
            metric="window half: 2.8 m, door half",
            more=True,
        ),
        Entry(key="level", label="To level", hint="40 ft2", metric="4 m2", more=True),
        Entry(key="patch", label="To patch", hint="6 ft2", metric="0.5 m2", more=True),
        Entry(key="plywood", label="New plywood underlayment", kind=Kind.FLAG, usual=_NO, more=True),
        Entry(key="pad", label="A pad goes under it", kind=Kind.FLAG, usual=_NO, more=True),
        Entry(key="painted_trim", label="Trim may be painted", kind=Kind.FLAG, usual=_YES, more=True),
        Entry(
            key="keeps",
            label="May keep",
            kind=Kind.CHOICE,
            options=_words(Keeps),
            usual=Keeps.ANYTHING.value,
            more=True,
        ),
        Entry(key="power", label="Has power for a freezer", kind=Kind.FLAG, usual=_YES, more=True),
        Entry(key="joists", label="Joists run", kind=Kind.CHOICE, options=_words(Direction), more=True),
        Entry(key="rows", label="Rows run", kind=Kind.CHOICE, options=_words(Direction), more=True),
        Entry(key="start_wall", label="Start wall", kind=Kind.WHOLE, hint="1, in the order of corners", more=True),
        Entry(key="window_wall", label="Window wall", kind=Kind.WHOLE, hint="the one with most light", more=True),
        Entry(
            key="flange", label="Flange", hint="-1/4 in: below the floor", metric="-6 mm: below the floor", more=True
        ),
        Entry(key="under_counter", label="Under counter", hint="34 1/2 in", metric="87 cm", more=True),
        _REST,
    ),
)
DOORWAY: Final = Page(
    kind="opening",
    title="Doorway",
    about="Between two rooms, or from a room to outside: anywhere that is no room of this job. Things are carried through it.",
    table="opening",
    many="another doorway",
    entries=(
        Entry(key="between.0", label="From", kind=Kind.CHOICE, chosen_from=From.ENDS),
        Entry(key="between.1", label="To", kind=Kind.CHOICE, chosen_from=From.ENDS, fresh="outside"),
        Entry(key="width", label="Clear width", hint="32 in", metric="80 cm", fresh=""),
        Entry(key="door", label="It has a door", kind=Kind.FLAG, usual=_YES),
        Entry(
            key="transition",
            label="Transition",
            kind=Kind.CHOICE,
            options=_words(Transition),
            usual=Transition.T_MOLD.value,
        ),
        Entry(key="rated", label="A fire-rated door", kind=Kind.FLAG, usual=_NO, more=True),
        Entry(
            key="distance", label="Walk", hint="18 ft, middle to middle", metric="5.5 m, middle to middle", more=True
        ),
        Entry(key="steps", label="Steps between", kind=Kind.WHOLE, hint="0", more=True),
        Entry(key="walls", label="In walls", kind=Kind.WHOLES, hint="2, 4; 0 not known", more=True),
        Entry(key="offsets", label="Begins at", kind=Kind.LENGTHS, hint="3', 1' 6", metric="0.9 m, 0.45 m", more=True),
        Entry(key="throat", label="Throat", hint="4 1/2 in", metric="115 mm", more=True),
        Entry(key="gap", label="Gap under door", hint="3/4 in", metric="20 mm", more=True),
        Entry(key="which", label="Which", hint="by the stairs, of several", more=True),
        _REST,
    ),
)
STAIRS: Final = Page(
    kind="stairs",
    title="Stairs",
    about=(
        "Timed by the step. Steps are counted as risers, from the floor below to the floor above: the last is the edge of "
        "the floor above, which has a nose too."
    ),
    table="stairs",
    many="stairs",
    entries=(
        Entry(key="name", label="Its name", hint="stairs to the attic", fresh="stairs"),
        Entry(key="steps", label="Steps", kind=Kind.WHOLE, hint="14, risers counted"),
        Entry(key="layers", label="Lies there now", kind=Kind.LAYERS, hint="carpet"),
        Entry(key="floor", label="New floor", kind=Kind.CHOICE, chosen_from=From.MATERIALS, fresh="new floor"),
        Entry(key="between.0", label="Room below", kind=Kind.CHOICE, asked=_ROOMS, chosen_from=From.ROOMS),
        Entry(key="between.1", label="Room above", kind=Kind.CHOICE, asked=_ROOMS, chosen_from=From.ROOMS),
        Entry(key="flights", label="Flights", kind=Kind.WHOLE, hint="1", more=True),
        Entry(key="open_ends", label="Open ends", kind=Kind.WHOLE, hint="0", more=True),
        Entry(key="width", label="Step width", hint="36 in", metric="90 cm", more=True),
        _REST,
    ),
)
_SUPPLY: Final = (
    Entry(
        key="ordered", label="Ordered", kind=Kind.GONE_DAY, hint="today, mon, 2026-02-23; empty: not yet", fresh="today"
    ),
    Entry(key="due", label="Comes", kind=Kind.MOMENT, hint="tue 8:00, 2026-03-03 10:00"),
    Entry(key="supplier", label="Supplier", more=True),
    Entry(key="special", label="Not placed before the deposit is in", kind=Kind.FLAG, usual=_NO, more=True),
    _REST,
)
ORDER: Final = Page(
    kind="order",
    title="Order",
    about=(
        "Nothing is planned before it is known when the floor comes. Where it is in the house already, write the day it "
        "was ordered, leave empty when it comes, and record its arrival when the job is made."
    ),
    table="order",
    many="another order",
    marker="material",
    entries=(
        Entry(key="material", label="Of", kind=Kind.CHOICE, chosen_from=From.MATERIALS, fresh="new floor"),
        Entry(key="cartons", label="Cartons", kind=Kind.WHOLE, hint="9"),
        Entry(key="feet", label="Or feet", kind=Kind.WHOLE, hint="27, only off a roll", more=True),
        *_SUPPLY,
    ),
)
GOODS: Final = Page(
    kind="goods",
    title="Other goods",
    about="Pad, glue, transitions, noses and the like, on order.",
    table="order",
    many="other goods",
    marker="goods",
    entries=(
        Entry(
            key="goods",
            label="What",
            kind=Kind.CHOICE,
            options=_words(Goods),
            asked=_GOODS,
            fresh=Goods.TRANSITION.value,
        ),
        Entry(key="count", label="How many", kind=Kind.WHOLE, hint="1"),
        Entry(key="place", label="For", kind=Kind.CHOICE, chosen_from=From.PLACES),
        *_SUPPLY,
    ),
)
WORK: Final = Page(
    kind="work",
    title="Other work",
    about="Work no floor asks for, agreed in words.",
    table="work",
    many="other work",
    entries=(
        Entry(key="what", label="What", hint="swap the board that clicks"),
        Entry(key="hours", label="Hours", kind=Kind.NUMBER, hint="1.5, of one person", asked=_WORK_HOURS),
        Entry(key="minutes", label="Or minutes", kind=Kind.WHOLE, hint="40", more=True),
        Entry(key="where", label="Where", kind=Kind.CHOICE, chosen_from=From.PLACES, usual="house"),
        Entry(key="people", label="People at once", kind=Kind.WHOLE, hint="1", more=True),
        Entry(key="needs", label="Needs", hint="what it cannot be done without", more=True),
        Entry(key="under", label="It is under the present floor", kind=Kind.FLAG, usual=_NO, more=True),
        _REST,
    ),
)
TERMS: Final = Page(
    kind="terms",
    title="Days",
    about="What was agreed. Days as mon, tomorrow, 2026-03-06; empty: none.",
    entries=(
        Entry(key="title", label="Title", hint="Den, Quarry Road; empty: the customer"),
        Entry(key="state", label="State", kind=Kind.CHOICE, options=_words(JobState), usual=JobState.BOOKED.value),
        Entry(key="wished", label="Wished start", kind=Kind.DAY, hint="mon"),
        Entry(key="promised", label="Promised", kind=Kind.DAY, hint="fri"),
        Entry(key="weight", label="Weight", kind=Kind.WHOLE, hint="1 to 3, of a broken promise; empty: 1", more=True),
        Entry(key="blocked", label="Blocked days", kind=Kind.DAYS, hint="2026-03-09 to 2026-03-11, fri", more=True),
        Entry(key="callback_of", label="Callback of", kind=Kind.WHOLE, hint="the job it comes back to", more=True),
        _REST,
    ),
)
JOB_PAGES: Final = (HOUSE, FLOOR, ROOM, DOORWAY, STAIRS, ORDER, GOODS, WORK, TERMS)

SHOP: Final = Page(
    kind="shop",
    title="Shop",
    about="Who you are; all of it can be changed later. Usual hours are when somebody of the shop is at work: typed here, they are a new crew's hours, too, until its own are typed.",
    holds=("shop",),
    entries=(
        Entry(key="shop.name", label="Shop's name", hint="Alder Street Floors"),
        Entry(key="shop.zone", label="Time zone", kind=Kind.ZONE, hint="type a city: Chicago", asked=_CITY),
        Entry(key="shop.units", label="Units", kind=Kind.CHOICE, options=UNIT_SYSTEMS, usual="us"),
        Entry(key="shop.paper", label="Paper", kind=Kind.CHOICE, options=PAPERS, usual="letter"),
        Entry(
            key="shop.hours",
            label="Usual hours",
            kind=Kind.HOURS,
            hint="mon-fri 7:00-16:00",
            fresh="mon-fri 7:00-16:00",
        ),
        Entry(key="shop.phone", label="Phone", hint="on what customers get"),
        Entry(key="shop.holidays", label="Holidays", kind=Kind.DAYS, hint="US, US-TX, CA-ON, or days: 2026-11-26"),
        Entry(
            key="shop.kept_percent", label="Days kept free", kind=Kind.WHOLE, hint="50, % of a job's spread", more=True
        ),
        Entry(
            key="shop.wood_target", label="Wood indoors", kind=Kind.NUMBER, hint="8, % over the year here", more=True
        ),
        Entry(key="shop.hour_price", label="Price an hour", hint="$68.00, for change orders", more=True),
        Entry(
            key="lead.name", label="Who measures", hint="if somebody does, besides the crews", asked=_LEAD, more=True
        ),
        Entry(
            key="lead.hours", label="Their hours", kind=Kind.HOURS, hint="mon-fri 7:30-12:00, 13:00-16:30", more=True
        ),
        Entry(key=REST, label="Other keys", kind=Kind.REST, more=True),
    ),
)
CREW: Final = Page(
    kind="crew",
    title="Crew",
    about="One to four people, the lead first. A card goes in brackets: Maeve Ostrow (lead-safe renovator).",
    table="crew",
    many="another crew",
    entries=(
        Entry(key="name", label="Crew's name", hint="Alder"),
        Entry(key="workers", label="People", kind=Kind.PEOPLE, hint="Pia Sandoval, Jon Ekwueme"),
        Entry(
            key="hours",
            label="Hours",
            kind=Kind.HOURS,
            hint="mon-fri 7:00-12:00, 12:30-15:30",
            fresh="mon-fri 7:00-12:00, 12:30-15:30",
        ),
        Entry(key="lays", label="It works at", kind=Kind.TICKS, options=_words(Skill), fresh=", ".join(_words(Skill))),
        Entry(key="days_off", label="Days off", kind=Kind.DAYS, hint="2026-07-06 to 2026-07-17", more=True),
        Entry(key="truck", label="On the truck", kind=Kind.NAMES, hint="table saw, moisture meter", more=True),
        Entry(
            key="sub.area",
            label="Sub lays a day",
            hint="350 ft2, if paid by the foot",
            metric="32 m2, if paid by area",
            more=True,
        ),
        Entry(key="sub.steps", label="Sub's steps", kind=Kind.WHOLE, hint="13 a day", more=True),
        Entry(key=REST, label="Other keys", kind=Kind.REST, more=True),
    ),
)
SHOP_PAGES: Final = (SHOP, CREW)
