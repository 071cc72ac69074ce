"""The larger tables of a job file, a room's and a material's, and the words people use in them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Final

from crewjobs.domain.bounds import MOST_ALIKE
from crewjobs.domain.conditions import USUAL_SLAB, Conditions, Outside, Range, SlabLimits
from crewjobs.domain.errors import Refused
from crewjobs.domain.furniture import Keeps, Piece
from crewjobs.domain.goods import Goods, GoodsLine, early_due
from crewjobs.domain.house import Covering, Fixture, FixtureKind, Layer, Room, Subfloor, Transition, Trim
from crewjobs.domain.job import JobState
from crewjobs.domain.layout import CutOut, Direction, Obstacle
from crewjobs.domain.material import (
    SHEET_GOODS,
    USUAL_ACCLIMATION_MIN,
    USUAL_CONDITIONS,
    USUAL_METHOD,
    WOOD,
    FloorKind,
    Material,
    Method,
    OrderLine,
)
from crewjobs.domain.outline import Outline, Point
from crewjobs.domain.pattern import Lengths, Pattern
from crewjobs.domain.units import FOOT, MILLIMETRE, quoted
from crewjobs.domain.work import ExtraWork
from crewjobs.files.faults import At
from crewjobs.files.furniture_table import PieceTable, pieces_of
from crewjobs.files.layout_table import read_coordinate
from crewjobs.files.pattern_table import PLANK, WIDTH_ALONE, WIDTH_WRITTEN
from crewjobs.files.tables import NONE, Area, Length, Wait, current_zone
from crewjobs.files.values import length_text, read_choice, read_whole, shown

HOUSE: Final = "house"
"""Where work of no single room is."""
MOST_CORNERS: Final = 200
LEAST_SIDE: Final = 300 * MILLIMETRE
"""Just under a foot: nobody stands in less, so it is a slip of the finger. Common practice, no source."""
TOO_NARROW: Final = "under 1 ft is no side of a room, nobody stands in it: look at its digits and its unit; a recess goes in with its room, as corners."
WORDS: Final[dict[type[StrEnum], dict[str, StrEnum]]] = {
    FixtureKind: {
        "fridge": FixtureKind.REFRIGERATOR,
        "vent": FixtureKind.FLOOR_VENT,
        "register": FixtureKind.FLOOR_VENT,
        "floor register": FixtureKind.FLOOR_VENT,
        "washing machine": FixtureKind.WASHER,
    },
    FloorKind: {
        "click plank": FloorKind.CLICK_VINYL,
        "hardwood": FloorKind.SOLID_WOOD,
        "solid hardwood": FloorKind.SOLID_WOOD,
        "engineered hardwood": FloorKind.ENGINEERED_WOOD,
        "vinyl sheet": FloorKind.SHEET_VINYL,
        "sheet goods": FloorKind.SHEET_VINYL,
    },
    Method: {
        "glue down": Method.GLUED,
        "nail down": Method.NAILED,
        "click": Method.FLOATING,
        "perimeter": Method.PERIMETER,
        "perimeter glued": Method.PERIMETER,
        "full spread": Method.GLUED,
    },
    Subfloor: {"concrete": Subfloor.SLAB, "concrete slab": Subfloor.SLAB, "boards": Subfloor.PLANKS},
    Trim: {"keep base": Trim.REUSE_BASE, "new shoe": Trim.SHOE_ONLY},
    Covering: {
        "carpet and pad": Covering.CARPET,
        "carpet glued": Covering.GLUED_CARPET,
        "carpet glued down": Covering.GLUED_CARPET,
        "glued down carpet": Covering.GLUED_CARPET,
        "glue down carpet": Covering.GLUED_CARPET,
        "direct glue carpet": Covering.GLUED_CARPET,
        "direct stick carpet": Covering.GLUED_CARPET,
        "vct": Covering.VINYL_TILE,
    },
    Transition: {"tmold": Transition.T_MOLD, "t molding": Transition.T_MOLD},
    Goods: {
        "transitions": Goods.TRANSITION,
        "nose": Goods.STAIR_NOSE,
        "stair noses": Goods.STAIR_NOSE,
        "plywood": Goods.PLYWOOD,
        "leveller": Goods.LEVELER,
        "new base": Goods.BASE,
    },
    Pattern: {
        "one third offset": Pattern.THIRD_OFFSET,
        "1/3 offset": Pattern.THIRD_OFFSET,
        "straight grid": Pattern.GRID,
        "grid diagonal": Pattern.DIAGONAL_GRID,
        "rows": Pattern.STRAIGHT,
    },
    Direction: {"lengthwise": Direction.ALONG, "crosswise": Direction.ACROSS},
    Outside: {"stops": Outside.STOPS, "restarts": Outside.STARTS_AGAIN},
    Keeps: {"all": Keeps.ANYTHING, "none": Keeps.NOTHING, "furniture only": Keeps.FURNITURE},
    JobState: {"cancelled": JobState.CALLED_OFF, "canceled": JobState.CALLED_OFF},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionTable:
    """A section as its table spells it; the last of a room may leave its length out."""

    name: str
    length: Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomTable:
    """A room as its table spells it: length and width, or corners."""

    name: str
    length: Length | None = None
    width: Length | None = None
    corners: tuple[Point, ...] | None = None
    storey: int = 0
    layers: tuple[Layer, ...] = ()
    subfloor: Subfloor = Subfloor.PLYWOOD
    floor: str | None = None
    level: Area = NONE
    patch: Area = NONE
    plywood: bool = False
    pad: bool = False
    trim: Trim = Trim.REUSE_BASE
    painted_trim: bool = True
    fixtures: tuple[Fixture, ...] = ()
    furniture: tuple[PieceTable, ...] = ()
    sections: tuple[SectionTable, ...] = ()
    keeps: Keeps = Keeps.ANYTHING
    power: bool = True
    joists: Direction = Direction.UNSAID
    rows: Direction = Direction.UNSAID
    start_wall: int = 0
    window_wall: int = 0
    obstacles: tuple[Obstacle, ...] = ()
    cut_outs: tuple[CutOut, ...] = ()
    flange: Length | None = None
    under_counter: Length | None = None

    def value(self) -> Room:
        """Return the room.

        Raises:
            Refused: its outline or its sections cannot be.
        """
        outline = self._outline()
        try:
            cuts = tuple(self._cuts(outline.size[0]))
        except At as fault:
            try:
                self._room(outline, ())
            except Refused as more:
                raise ExceptionGroup("a room's faults", [fault, more]) from None
            raise
        return self._room(outline, cuts)

    def _room(self, outline: Outline, cuts: tuple[tuple[str, int], ...]) -> Room:
        return Room(
            name=self.name,
            outline=outline,
            storey=self.storey,
            layers=self.layers,
            subfloor=self.subfloor,
            floor=self.floor,
            level_ft2=self.level,
            patch_ft2=self.patch,
            add_plywood=self.plywood,
            pad=self.pad,
            trim=self.trim,
            painted_trim=self.painted_trim,
            fixtures=self.fixtures,
            furniture=self._pieces(),
            cuts=cuts,
            keeps=self.keeps,
            power=self.power,
            joists=self.joists,
            rows=self.rows,
            start_wall=self.start_wall,
            window_wall=self.window_wall,
            obstacles=self.obstacles,
            cut_outs=self.cut_outs,
            flange=self.flange,
            under_counter=self.under_counter,
        )

    def _pieces(self) -> tuple[Piece, ...]:
        try:
            return pieces_of(self.furniture)
        except Refused as fault:
            raise At("furniture", fault) from None

    def _outline(self) -> Outline:
        if self.corners is not None:
            if self.length is not None or self.width is not None:
                raise At("corners", "the room has length or width too: give one or the other.")
            try:
                outline = Outline(corners=self.corners)
            except Refused as fault:
                raise At("corners", fault) from None
            if min(outline.size) < LEAST_SIDE:
                raise At("corners", TOO_NARROW)
            return outline
        if self.length is None or self.width is None:
            key = "length" if self.length is None else "width"
            raise At(key, "missing; a room has length and width, or corners.")
        for key, size in (("length", self.length), ("width", self.width)):
            if size == 0:
                raise At(key, "it must be more than zero.")
            if size < LEAST_SIDE:
                raise At(key, TOO_NARROW)
        return Outline.rectangle(self.length, self.width)

    def _cuts(self, rest: int) -> Iterator[tuple[str, int]]:
        for number, section in enumerate(self.sections, start=1):
            length: int
            if section.length is not None:
                length = section.length
            elif number == len(self.sections):
                length = rest
            else:
                raise At("sections", f"section {quoted(section.name)} needs its length: only the last takes the rest.")
            rest -= length
            if length <= 0:
                raise At(
                    "sections", f"section {quoted(section.name)} gets nothing: the ones before it take the whole room."
                )
            yield section.name, length


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialTable:
    """A material as its table spells it: planks in cartons, or sheet goods off a roll; method and acclimation by kind
    where they are left out."""

    name: str
    kind: FloorKind
    plank: tuple[int, int] | None = None
    carton: Area | None = None
    roll: Length | None = None
    method: Method | None = None
    acclimation: Wait | None = None
    carton_lb: float | None = None
    planks: int | None = None
    shortest: Length | None = None
    stagger: Length | None = None
    gap: Length | None = None
    pail: Area | None = None
    repeat: Length | None = None
    fill: int | None = None
    pattern: Pattern = Pattern.STRAIGHT
    lengths: Lengths = ()
    joint: Length | None = None
    temperature: Range | None = None
    humidity: Range | None = None
    outside: Outside | None = None
    slab_rh: float | None = None
    slab_vapor: float | None = None
    slab_ph: float | None = None
    thickness: Length | None = None
    species: str = ""
    cut: str = "flat"

    def value(self) -> Material:
        """Return the material.

        Raises:
            Refused: its planks, cartons or roll cannot be.
            ExceptionGroup: keys of the other sort of material, or some missing.
        """
        faults = [*self._faults_of_sort()]
        if faults:
            raise ExceptionGroup("a material's faults", faults)
        method = self.method or USUAL_METHOD[self.kind]
        wait = USUAL_ACCLIMATION_MIN[self.kind] if self.acclimation is None else self.acclimation
        if self.roll is not None:
            return Material.sheet(
                name=self.name, kind=self.kind, method=method, roll_width=self.roll, acclimation_min=wait,
                repeat=self.repeat, fill=1 if self.fill is None else self.fill,
                conditions=self._conditions(), slab=self._slab(), thickness=self.thickness,
            )  # fmt: skip
        width, length = self.plank or (0, 0)
        if length == WIDTH_ALONE:
            length = max(one for one, _ in self.lengths)
        return Material(
            name=self.name,
            kind=self.kind,
            method=method,
            plank_width=width,
            plank_length=length,
            carton_ft2=self.carton or NONE,
            acclimation_min=wait,
            carton_lb=self.carton_lb,
            in_carton=self.planks,
            shortest=self.shortest,
            stagger=self.stagger,
            gap=self.gap,
            pail_ft2=self.pail,
            pattern=self.pattern,
            lengths=self.lengths,
            joint=self.joint,
            conditions=self._conditions(),
            slab=self._slab(),
            thickness=self.thickness,
            species=self.species,
            cut=self.cut,
        )

    def _conditions(self) -> Conditions | None:
        """Return the air it asks for, None where nothing of it was written; what was not is as usual."""
        usual = USUAL_CONDITIONS[self.kind]
        said = Conditions(
            temperature=self.temperature or usual.temperature,
            humidity=self.humidity or usual.humidity,
            outside=self.outside or usual.outside,
        )
        return None if said == usual else said

    def _slab(self) -> SlabLimits | None:
        """Return what it allows of a slab, None where nothing of it was written; what was not is as usual."""
        given = (self.slab_rh, self.slab_vapor, self.slab_ph)
        rh, vapor, ph = (
            as_usual if own is None else own
            for own, as_usual in zip(given, (USUAL_SLAB.rh, USUAL_SLAB.vapor, USUAL_SLAB.ph), strict=True)
        )
        said = SlabLimits(rh=rh, vapor=vapor, ph=ph)
        return None if said == USUAL_SLAB else said

    def _faults_of_sort(self) -> Iterator[Refused]:
        """Find what is missing of planks or of a roll, and what belongs to the other."""
        if self.kind not in WOOD and (self.species or self.cut != "flat"):
            yield At("species" if self.species else "cut", f"{self.kind} is sawn from no wood: leave it out.")
        if self.kind not in SHEET_GOODS:
            if self.plank is None:
                yield At("plank", 'missing; write the size of one plank, such as plank = "7 in x 48 in".')
            elif self.plank[1] == WIDTH_ALONE and not self.lengths:
                width = quoted(length_text(self.plank[0]))
                yield (
                    At("lengths", f"missing, and {width} is {WIDTH_WRITTEN}.")
                    if self.kind in WOOD
                    else At("plank", f"{width} is not {PLANK}.")
                )
            if self.carton is None:
                yield At("carton", 'missing; write what one carton covers, such as carton = "23.8 ft2".')
            if self.pail is not None and (method := self.method or USUAL_METHOD[self.kind]) is not Method.GLUED:
                yield At("pail", f"this floor is {method}, not glued: leave it out.")
            if self.roll is not None:
                yield At("roll", f"{self.kind} comes in cartons: write plank and carton instead.")
            for key in ("repeat", "fill"):
                if getattr(self, key) is not None:
                    yield At(key, f"{self.kind} comes in cartons: leave it out, it is of what comes off a roll.")
            return
        if self.roll is None:
            yield At("roll", 'missing; write how wide the roll is, such as roll = "12 ft".')
        for key in (
            "plank", "carton", "carton_lb", "planks", "shortest", "stagger", "gap", "pail", "pattern", "lengths", "joint",
        ):  # fmt: skip
            if getattr(self, key) not in (None, (), Pattern.STRAIGHT):
                instead = "leave it out" if self.roll is not None else 'write roll = "12 ft" instead'
                why = "a pattern is of planks and tiles" if key == "pattern" else f"{self.kind} comes off a roll"
                yield At(key, f"{why}: {instead}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderTable:
    """An order line as its table spells it: cartons or running feet (or metres) of a material, or a count of goods."""

    material: str | None = None
    cartons: int | None = None
    feet: int | None = None
    metres: float | None = None
    goods: Goods | None = None
    count: int | None = None
    place: str = ""
    supplier: str = ""
    ordered: date | None = None
    due: datetime | None = None
    special: bool = False

    def value(self) -> OrderLine | GoodsLine:
        """Return the order line.

        Raises:
            Refused: material and goods at once, neither, a count that belongs to the other, or due before it was ordered.
            ExceptionGroup: more than one of these.
        """
        faults = [*self._faults_of_kind(), *self._faults_of_days()]
        if len(faults) > 1:
            raise ExceptionGroup("an order line's faults", faults)
        if faults:
            raise faults[0]
        if self.goods is not None:
            return GoodsLine(
                goods=self.goods,
                count=self.count or 0,
                place=self.place,
                supplier=self.supplier,
                ordered=self.ordered,
                due=self.due,
                special=self.special,
            )
        return OrderLine(
            material=self.material or "",
            cartons=self.cartons or self.feet or self._feet_of_metres(),
            supplier=self.supplier,
            ordered=self.ordered,
            due=self.due,
            special=self.special,
        )

    def _feet_of_metres(self) -> int:
        """Return what of a roll was written in metres as the nearest foot, which is what is kept."""
        return max(1, round((self.metres or 0) * 1000 * MILLIMETRE / FOOT))

    def _faults_of_days(self) -> Iterator[Refused]:
        early = early_due(self.ordered, self.due, current_zone())
        if early:
            yield Refused(early)

    def _faults_of_kind(self) -> Iterator[Refused]:
        """Find what is missing or belongs to the other kind of order line."""
        if self.goods is not None:
            if any(item is not None for item in (self.material, self.cartons, self.feet, self.metres)):
                yield At("goods", "an order line is goods with their count, or material with cartons: write two lines.")
            elif self.count is None:
                yield At("count", "missing; write how many pieces, rolls, pails, bags or sheets, such as count = 14.")
        elif self.count is not None or self.place:
            yield At(
                "place" if self.count is None else "count",
                'it belongs to goods: write goods = "stair nose" beside it, or cartons for a material.',
            )
        else:
            if self.material is None:
                yield At(
                    "material",
                    "missing; write the name of one of the job's materials with cartons = 14, "
                    'or goods = "stair nose" with count = 14.',
                )
            if (self.cartons, self.feet, self.metres) == (None, None, None) and self.material is not None:
                yield At(
                    "cartons",
                    "missing; write how many cartons, such as cartons = 14 (of sheet goods running feet: feet = 27, or metres = 8.3).",
                )
            if sum(item is not None for item in (self.cartons, self.feet, self.metres)) > 1:
                yield At(
                    "feet" if self.feet is not None else "metres",
                    "an order line has cartons, or running feet or metres of sheet goods: write one of them.",
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkTable:
    """Work agreed in words as its table spells it: hours or minutes of one person."""

    what: str
    where: str = HOUSE
    hours: float | None = None
    minutes: int | None = None
    people: int = 1
    needs: str = ""
    under: bool = False

    def value(self) -> ExtraWork:
        """Return the work.

        Raises:
            Refused: hours and minutes at once, or neither.
        """
        if self.hours is not None and self.minutes is not None:
            raise At("minutes", "the work has hours too: give one or the other.")
        if self.hours is None and self.minutes is None:
            raise At("hours", "missing; write how long one person takes, such as hours = 1.5 or minutes = 40.")
        minutes = round(self.hours * 60) if self.hours is not None else self.minutes or 0
        place = "" if self.where.strip().casefold() == HOUSE else self.where
        return ExtraWork(
            what=self.what, place=place, minutes=minutes, people=self.people, needs=self.needs, under=self.under
        )


def read_corners(value: object, _: object) -> tuple[Point, ...]:
    """Return corner points from a list of pairs of lengths."""
    if not isinstance(value, list) or not all(isinstance(corner, list) and len(corner) == 2 for corner in value):
        raise Refused('corners are a list of pairs, such as [["0", "0"], ["12\'", "0"], ["12\'", "9\' 6"]].')
    if len(value) > MOST_CORNERS:
        raise Refused(f"{len(value)} corners: {MOST_CORNERS} are the most.")
    return tuple((read_coordinate(x), read_coordinate(y)) for x, y in value)


def read_fixtures(value: object, _: object) -> tuple[Fixture, ...]:
    """Return fixtures from a table of kinds and counts."""
    if not isinstance(value, dict):
        raise Refused(f'{shown(value)} is not a table of fixtures: write {{ toilet = 1, "floor vent" = 2 }}.')
    fixtures: list[Fixture] = []
    faults: list[str] = []
    for name, count in value.items():
        try:
            kind = read_choice(name, FixtureKind, WORDS[FixtureKind])
            fixtures.append(Fixture(kind=kind, count=read_whole(count, 1, MOST_ALIKE)))
        except Refused as fault:
            faults += [
                f"{quoted(name)}: {sentence}" if name not in sentence else sentence for sentence in fault.sentences
            ]
    if faults:
        raise Refused(faults)
    return tuple(fixtures)
