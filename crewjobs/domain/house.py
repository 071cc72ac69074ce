"""The house: site, rooms with their layers and fixtures, openings, sections, stairs, furniture."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

from crewjobs.domain.bounds import (
    LONGEST_DRIVE_MIN,
    LONGEST_WALK,
    MOST_ALIKE,
    MOST_BEDS,
    MOST_FLIGHTS,
    MOST_FLIGHTS_UP,
    MOST_STEPS,
    STOREYS,
    THICKEST,
    WIDEST_OPENING,
)
from crewjobs.domain.errors import Refused
from crewjobs.domain.furniture import Keeps, Piece
from crewjobs.domain.layout import CutOut, Direction, Obstacle
from crewjobs.domain.outline import Outline
from crewjobs.domain.units import FOOT, INCH, exact_length, quoted
from crewjobs.domain.wall import WEEKDAYS, Span, WeekHours, clock
from crewjobs.domain.wording import listed

MEANWHILE_IN_THE_FILE: Final = '(toilet_meanwhile = "rented toilet" in the job file)'
"""Where a job file says what is used while the only toilet is out; a form has a field for it."""
MOST_NAMED: Final = 12
"""So many rooms, stairs or materials of a job are named where one given is none of them; a sentence ends somewhere."""


class Covering(StrEnum):
    """What may lie in a room now, from the top down to the subfloor."""

    CARPET = "carpet"  # stretched, with pad and tack strip
    GLUED_CARPET = "glued carpet"  # direct-glue, without pad and strip
    SHEET_VINYL = "sheet vinyl"
    VINYL_TILE = "vinyl tile"  # glued resilient tile, asphalt tile included
    GLUED_VINYL = "glue-down vinyl"
    CLICK_VINYL = "click vinyl"
    LAMINATE = "laminate"
    FLOATING_WOOD = "floating wood"
    NAILED_WOOD = "nailed wood"
    GLUED_WOOD = "glued wood"
    CERAMIC_TILE = "ceramic tile"
    PLYWOOD = "plywood underlayment"


PRESUMED = frozenset({Covering.SHEET_VINYL, Covering.VINYL_TILE, Covering.GLUED_VINYL, Covering.GLUED_CARPET})
"""Layers (with their backing, mastic and glue) presumed to hold asbestos up to the year below, until tested.

The rule is for vinyl and asphalt flooring and its mastic; old glue under carpet is taken as that is: common practice, no source.
"""
ASBESTOS_YEAR = 1980  # 29 CFR 1926.1101(b), (k): put in no later than this year (inclusive)
_ABROAD = ("Africa/", "Antarctica/", "Arctic/", "Asia/", "Atlantic/", "Australia/", "Europe/", "Indian/", "Pacific/")
_US_ISLANDS = frozenset(
    f"Pacific/{name}" for name in ("Guam", "Honolulu", "Johnston", "Midway", "Pago_Pago", "Saipan", "Samoa", "Wake")
)
"""Of the zones of the Pacific those of the United States (IANA time zone database, zone.tab; MEMORY)."""
LEAD_YEAR = 1978  # 40 CFR 745: housing built before this year (exclusive)
USUAL_THROAT = 9 * INCH // 2
"""How deep a doorway is between finished walls of 2x4 studs; common practice, no source."""
DEEPEST_THROAT = 3 * FOOT
NARROWEST_STEP, WIDEST_STEP = FOOT, 12 * FOOT
HIGHEST_FLANGE, WIDEST_GAP = 3 * INCH, 6 * INCH
LOWEST_COUNTER, HIGHEST_COUNTER = 24 * INCH, 48 * INCH
YEARS = range(1600, 2101)
"""Years a house or a floor can be of; anything else is a slip of the finger."""
GRADES = ("above", "on", "below")


class Subfloor(StrEnum):
    """What the layers lie on."""

    PLYWOOD = "plywood"
    OSB = "OSB"
    PLANKS = "board planks"
    SLAB = "slab"


class Trim(StrEnum):
    """What happens to the trim of a room."""

    REUSE_BASE = "reuse base"
    NEW_BASE = "new base"
    SHOE_ONLY = "new shoe, base stays"
    NONE = "none"


class FixtureKind(StrEnum):
    """What stands on or comes through the floor and is taken off, worked around or put back."""

    TOILET = "toilet"
    PEDESTAL_SINK = "pedestal sink"
    GAS_RANGE = "gas range"
    ELECTRIC_RANGE = "electric range"
    HARD_WIRED_RANGE = "hard-wired range"
    REFRIGERATOR = "refrigerator"
    DISHWASHER = "dishwasher"
    HARD_WIRED_DISHWASHER = "hard-wired dishwasher"
    WASHER = "washer"
    GAS_DRYER = "gas dryer"
    ELECTRIC_DRYER = "electric dryer"
    FLOOR_VENT = "floor vent"
    PIPE = "pipe"


class Transition(StrEnum):
    """How two floors meet in an opening."""

    T_MOLD = "T-mold"
    REDUCER = "reducer"
    END_CAP = "end cap"
    THRESHOLD = "threshold"
    CONTINUOUS = "continuous"


def no_part(part: str, parts: Sequence[str]) -> str:
    """Return a sentence for a section that a room has not."""
    if not parts:
        return f"there is no section {quoted(part)}: the room is floored whole."
    return f"there is no section {quoted(part)}; there are {listed([quoted(known) for known in parts], most=9)}."


def no_such(what: str, name: str, known: Sequence[str]) -> str:
    """Return a sentence for a name of a room, stairs or material that the job has not, with those it has."""
    there = listed([quoted(one) for one in known], most=MOST_NAMED) or "none"
    return f"there is no {what} {quoted(name)} in this job; there {'are' if len(known) > 1 else 'is'} {there}."


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer of the present floor; an unknown year counts as old, an unknown thickness (1/4064 inch) is as usual."""

    covering: Covering
    year: int | None = None
    thickness: int | None = None

    def __post_init__(self) -> None:
        _check_year("the floor was put in", self.year)
        if self.thickness is not None and not 0 < self.thickness <= THICKEST:
            raise Refused(
                f"layer {quoted(self.covering)}: {exact_length(self.thickness)} thick; it is more than 0, {exact_length(THICKEST)} at most."
            )

    @property
    def suspect(self) -> bool:
        """Return whether it is presumed to hold asbestos until tested (29 CFR 1926.1101)."""
        return self.covering in PRESUMED and (self.year is None or self.year <= ASBESTOS_YEAR)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixture:
    """Fixtures of one kind in a room."""

    kind: FixtureKind
    count: int = 1

    def __post_init__(self) -> None:
        if not 1 <= self.count <= MOST_ALIKE:
            raise Refused(f"fixture '{self.kind}': the count is {self.count}; it is 1 to {MOST_ALIKE}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """The part of a room floored in one go, with its area in ft²."""

    name: str
    area_ft2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A room: its outline, what lies in it now, what it gets, what stands in it.

    `cuts` are the lead's lines across the room's length: names of the sections with the length each takes
    (1/4064 inch); empty means the room is floored whole. `floor` names a material of the job, or None
    where the room is only cleared, passed through or kept things in. `keeps` is what may stand in it while other rooms are
    worked, `power` whether what must not be cut from power can.

    For the layout of planks: how `joists` run, and where the lead has decided it how `rows` run and from which wall (counted from
    1 in the order of the corners, 0 for not said); the wall with most light; what is laid around, and what comes through.

    For heights (1/4064 inch, None where it was not measured): how far the closet flange's top stands above the present floor (less
    than zero: below), and how high it is from the present floor to the counter over an appliance.
    """

    name: str
    outline: Outline
    storey: int = 0
    layers: tuple[Layer, ...] = ()
    subfloor: Subfloor = Subfloor.PLYWOOD
    floor: str | None = None
    level_ft2: float = 0.0
    patch_ft2: float = 0.0
    add_plywood: bool = False
    pad: bool = False
    trim: Trim = Trim.REUSE_BASE
    painted_trim: bool = True
    fixtures: tuple[Fixture, ...] = ()
    furniture: tuple[Piece, ...] = ()
    cuts: tuple[tuple[str, int], ...] = ()
    keeps: Keeps = Keeps.ANYTHING
    power: bool = True
    joists: Direction = Direction.UNSAID
    rows: Direction = Direction.UNSAID
    start_wall: int = 0
    window_wall: int = 0
    obstacles: tuple[Obstacle, ...] = ()
    cut_outs: tuple[CutOut, ...] = ()
    flange: int | None = None
    under_counter: int | None = None

    def __post_init__(self) -> None:
        found = (*self._faults(), *self._faults_of_cuts(), *self._faults_of_layout(), *self._faults_of_heights())
        faults = [f"room {quoted(self.name)}: {fault}" for fault in found]
        if faults:
            raise Refused(faults)

    def _faults(self) -> Iterator[str]:
        for what, area in (("leveled", self.level_ft2), ("patched", self.patch_ft2)):
            if not 0 <= area <= self.outline.area_ft2 + 1:  # people round the area up to whole square feet
                yield f"{area:g} ft² to be {what} is not between 0 and the room's {self.outline.area_ft2:.1f} ft²."
        if self.storey not in STOREYS:
            yield f"storey {self.storey} is not between {STOREYS[0]} and {STOREYS[-1]}."
        kinds = [fixture.kind for fixture in self.fixtures]
        for kind in dict.fromkeys(kinds):
            if kinds.count(kind) > 1:
                yield f"fixture '{kind}' is there twice: give its count instead."
        parts = [name for name, _ in self.cuts]
        for piece in self.furniture:
            if piece.part and piece.part not in parts:
                yield f"furniture {quoted(piece.name)}: {no_part(piece.part, parts)}"

    def _faults_of_cuts(self) -> Iterator[str]:
        if not self.cuts:
            return
        names = [name for name, _ in self.cuts]
        if len(set(names)) < len(names) or "" in names:
            yield "give each section its own name."
        if any(length <= 0 for _, length in self.cuts):
            yield "a section's length must be more than zero."
        elif sum(length for _, length in self.cuts) != self.outline.size[0]:
            yield f"the sections must add up to the room's length, {exact_length(self.outline.size[0])}."
        else:
            yield from (
                f"section {quoted(name)} would be in two pieces, or nothing at all: draw its line elsewhere."
                for name, _ in self.cuts
                if not self._hangs_together(name)
            )

    def _faults_of_layout(self) -> Iterator[str]:
        walls = len(self.outline.corners)
        for what, wall in (("the rows start at", self.start_wall), ("most light comes from", self.window_wall)):
            if not 0 <= wall <= walls:
                yield f"{what} wall {wall}: it has walls 1 to {walls}, in the order of its corners."
        for obstacle in self.obstacles:
            if not all(self.outline.holds(corner) for corner in obstacle.outline.corners):
                yield f"{quoted(obstacle.name)} lies outside the room: measure its corners from the room's own corner."
        for one in self.cut_outs:
            if not self.outline.holds(one.at):
                yield f"{quoted(one.what)} lies outside the room: measure its middle from the room's own corner."

    def _faults_of_heights(self) -> Iterator[str]:
        if self.flange is not None:
            if abs(self.flange) > HIGHEST_FLANGE:
                most, below = exact_length(HIGHEST_FLANGE), "below" if self.flange < 0 else "above"
                yield f"a flange {exact_length(abs(self.flange))} {below} the floor; it is {most} above to {most} below at most."
            elif not self.has(FixtureKind.TOILET):
                yield "a flange, and no toilet among its fixtures."
        if self.under_counter is not None and not LOWEST_COUNTER <= self.under_counter <= HIGHEST_COUNTER:
            yield (
                f"{exact_length(self.under_counter)} under the counter; it is {exact_length(LOWEST_COUNTER)} to "
                f"{exact_length(HIGHEST_COUNTER)}."
            )

    def _hangs_together(self, part: str) -> bool:
        try:
            self.outline_of(part)
        except Refused:
            return False
        return True

    @property
    def sections(self) -> tuple[Section, ...]:
        """Return the parts floored one after the other, in the lead's order."""
        if not self.cuts:
            return (Section(name="", area_ft2=self.outline.area_ft2),)
        return tuple(Section(name=name, area_ft2=self.outline_of(name).area_ft2) for name, _ in self.cuts)

    @property
    def net_ft2(self) -> float:
        """Return the floor without what stands on it and is laid around, in ft²."""
        return self.outline.area_ft2 - sum(obstacle.outline.area_ft2 for obstacle in self.obstacles)

    def outline_of(self, part: str) -> Outline:
        """Return the outline of a section, in the room's own corner points; of a room floored whole the room's."""
        start, length = self.stretch(part)
        return self.outline if length == self.outline.size[0] else self.outline.strip(start, length)

    def stretch(self, part: str) -> tuple[int, int]:
        """Return where a section begins along the room's length, and the length it takes (1/4064 inch)."""
        start = 0
        for name, length in self.cuts:
            if name == part:
                return start, length
            start += length
        return 0, self.outline.size[0]

    @property
    def pieces(self) -> int:
        """Return how many pieces of furniture are moved."""
        return sum(piece.count for piece in self.furniture if not piece.stays)

    def has(self, kind: FixtureKind) -> int:
        """Return how many fixtures of a kind the room has."""
        return sum(fixture.count for fixture in self.fixtures if fixture.kind == kind)


def opening_name(between: Sequence[str], which: str = "") -> str:
    """Return what an opening is called."""
    return f"{' / '.join(between)}{f', {which}' if which else ''}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A doorway or cased opening between two rooms, or between a room and ``outside``.

    `parts` are the sections it leads from and to, empty for a room floored whole or where it is not known. `distance` is the
    walk from the middle of one to the middle of the other (1/4064 inch, None: by their sizes), `steps` the stairs between.
    `walls` are the walls it is in (counted from 1 in the order of each room's corners, 0 for not said), `offsets` how far from the
    first corner of that wall it begins, `throat` how deep it is, from one room's wall to the other's. `which` tells it from
    others between the same two rooms, such as ``by the window``. `gap` is what is free under its door over the present floor, None
    where it was not measured.
    """

    between: tuple[str, str]
    width: int
    door: bool = True
    transition: Transition = Transition.T_MOLD
    rated: bool = False
    parts: tuple[str, str] = ("", "")
    distance: int | None = None
    steps: int = 0
    walls: tuple[int, int] = (0, 0)
    offsets: tuple[int, int] = (0, 0)
    throat: int = USUAL_THROAT
    which: str = ""
    gap: int | None = None

    def __post_init__(self) -> None:
        faults = []
        if self.gap is not None and not self.door:
            faults.append("a gap under its door, and it has no door.")
        if self.gap is not None and not 0 <= self.gap <= WIDEST_GAP:
            faults.append(f"{exact_length(self.gap)} are free under its door; it is 0 to {exact_length(WIDEST_GAP)}.")
        if not 0 <= self.throat <= DEEPEST_THROAT:
            faults.append(f"it is {exact_length(self.throat)} deep; it is 0 to {exact_length(DEEPEST_THROAT)}.")
        if self.between[0] == self.between[1]:
            faults.append("it joins two different rooms, or a room and 'outside'.")
        if self.width <= 0:
            faults.append("its width must be more than zero.")
        if self.width > WIDEST_OPENING:
            faults.append(
                f"{exact_length(self.width)} is wider than {exact_length(WIDEST_OPENING)}, the most it can be."
            )
        if self.distance is not None and not 0 < self.distance <= LONGEST_WALK:
            faults.append(
                f"a walk of {exact_length(self.distance)}; it is more than 0, {exact_length(LONGEST_WALK)} at most."
            )
        if not 0 <= self.steps <= MOST_STEPS:
            faults.append(f"{self.steps} steps; it is 0 to {MOST_STEPS}.")
        if faults:
            raise Refused([f"opening {quoted(self.name)}: {fault}" for fault in faults])

    @property
    def name(self) -> str:
        """Return its name, such as ``hall / bath``, or ``hall / living, by the window`` where there are several."""
        return opening_name(self.between, self.which)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stairs:
    """A stair floored by the step: all its steps, in one or more flights with landings between them.

    `steps` counts rises, from the floor below to the floor above, those onto landings too: each has its riser and its nose.
    The last step of a flight is the edge of a landing or of the floor above: there is a riser and a nose, and no tread.

    `width` is how long a step is from side to side (1/4064 inch), None where it was not measured. `between` are the rooms at its
    foot and at its head, empty where it was not said.
    """

    name: str
    steps: int
    flights: int = 1
    open_ends: int = 0
    layers: tuple[Layer, ...] = ()
    floor: str | None = None
    width: int | None = None
    between: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        where = f"stairs {quoted(self.name)}"
        if self.between and (len(self.between) != 2 or self.between[0] == self.between[1]):
            raise Refused(
                f"{where}: it leads from one room to another: name the one at its foot, then the one at its head."
            )
        if not 1 <= self.steps <= MOST_STEPS:
            raise Refused(f"{where}: {self.steps} steps; stairs have 1 to {MOST_STEPS}.")
        most = min(self.steps, MOST_FLIGHTS)
        if not 1 <= self.flights <= most:
            raise Refused(f"{where}: {self.flights} flights; {self.steps} steps make 1 to {most}.")
        if not 0 <= self.open_ends <= 2 * self.steps:
            raise Refused(f"{where}: {self.open_ends} open ends; {self.steps} steps have 0 to {2 * self.steps}.")
        if self.width is not None and not NARROWEST_STEP <= self.width <= WIDEST_STEP:
            raise Refused(
                f"{where}: steps {exact_length(self.width)} wide; they are {exact_length(NARROWEST_STEP)} to {exact_length(WIDEST_STEP)}."
            )

    @property
    def treads(self) -> int:
        """Return how many treads there are: one less than steps in each flight."""
        return self.steps - self.flights


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Where the floor is. `entry_notes` are private: the lead's copy only, never dumped, never in the change log.

    `elevator` are the hours the elevator is booked for the crew: what goes up or down by it moves only then.
    `toilet_meanwhile` says what people use while the only toilet is out over night (a rented one, a night away);
    empty means nothing was arranged. `beds` is how many beds must stand to be slept in every night; None: all there are,
    where people live there.
    """

    address: str
    zone: str
    year_built: int | None = None
    occupied: bool = True
    flights_up: int = 0
    grade: str = "above"
    parking: str = ""
    pets: str = ""
    key_with: str = ""
    crew_toilet: bool = True
    toilet_meanwhile: str = ""
    drive_min: int = 20
    hours: WeekHours | None = None
    elevator: WeekHours | None = None
    beds: int | None = None
    entry_notes: str = field(default="", repr=False)

    def __post_init__(self) -> None:
        _check_year("the house was built", self.year_built)
        faults = []
        if self.grade not in GRADES:
            faults.append(f"grade {quoted(self.grade)} is not known: it is one of {', '.join(GRADES)}.")
        if not 0 <= self.flights_up <= MOST_FLIGHTS_UP:
            faults.append(f"{self.flights_up} flights up; it is 0 to {MOST_FLIGHTS_UP}.")
        if not 0 <= self.drive_min <= LONGEST_DRIVE_MIN:
            faults.append(f"{self.drive_min} minutes of drive; it is 0 to {LONGEST_DRIVE_MIN}.")
        if self.beds is not None and not 0 <= self.beds <= MOST_BEDS:
            faults.append(f"{self.beds} beds a night; it is 0 to {MOST_BEDS}.")
        if self.elevator is not None:
            faults += self._faults_of_elevator(self.elevator)
        if faults:
            raise Refused([f"site: {fault}" for fault in faults])

    def _faults_of_elevator(self, elevator: WeekHours) -> Iterator[str]:
        if not any(elevator.days):
            yield "the elevator has no hours at all: leave it out where there is none."
        if self.hours is None:
            return
        outside: dict[Span, list[int]] = {}
        for weekday, spans in enumerate(elevator.days):
            for span in spans:
                if not any(open_.start <= span.start and span.end <= open_.end for open_ in self.hours.days[weekday]):
                    outside.setdefault(span, []).append(weekday)
        if outside:
            slots = [f"{_weekday_words(days)} {clock(span.start)}-{clock(span.end)}" for span, days in outside.items()]
            those = "that day" if len(outside) == 1 == len(next(iter(outside.values()))) else "those days"
            yield f"the elevator is booked {'; '.join(slots)}, outside the site's hours {those}."

    @property
    def lead_rule(self) -> bool:
        """Return whether the lead-paint rule is to be thought of (40 CFR 745); an unknown year counts as old."""
        return self.year_built is None or self.year_built < LEAD_YEAR

    @property
    def us_rules(self) -> bool:
        """Return whether rules of the United States may bind at this site, by its zone."""
        return us_rules(self.zone)


def us_rules(zone: str) -> bool:
    """Return whether a zone may lie in the United States, which alone the rule on old paint binds (40 CFR 745).

    The Americas and whatever names no place count as such: too much is asked there rather than too little.
    """
    return not zone.startswith(_ABROAD) or zone in _US_ISLANDS


def _weekday_words(days: Sequence[int]) -> str:
    """Return weekdays in order as ``mon-fri`` where they follow each other, else ``mon, wed and fri``."""
    if len(days) > 1 and days[-1] - days[0] == len(days) - 1:
        return f"{WEEKDAYS[days[0]]}-{WEEKDAYS[days[-1]]}"
    return listed([WEEKDAYS[day] for day in days], most=7)


def _check_year(what: str, year: int | None) -> None:
    if year is not None and year not in YEARS:
        raise Refused(f"{what} in {year}: a year lies between {YEARS[0]} and {YEARS[-1]}.")
