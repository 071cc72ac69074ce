"""Material: product lines in neutral words, what was ordered, what came."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from math import isfinite
from typing import Final

from crewjobs.domain.bounds import (
    LONGEST_PLANK,
    MOST_CARTON_FT2,
    MOST_CARTON_LB,
    MOST_CARTONS,
    NARROWEST_ROLL,
    THICKEST,
    WIDEST_ROLL,
)
from crewjobs.domain.conditions import USUAL_SLAB, Conditions, Range, SlabLimits
from crewjobs.domain.errors import Refused
from crewjobs.domain.pattern import GRIDS, ROWS, WIDEST_JOINT, Lengths, Pattern, lengths_faults
from crewjobs.domain.units import FOOT, INCH, LONGEST_WAIT, MILLIMETRE, UnitSystem, exact_length, quoted, square_feet


class FloorKind(StrEnum):
    """The kinds of floor the templates know."""

    CLICK_VINYL = "click vinyl"
    GLUED_VINYL = "glue-down vinyl"
    LAMINATE = "laminate"
    ENGINEERED_WOOD = "engineered wood"
    SOLID_WOOD = "solid wood"
    SHEET_VINYL = "sheet vinyl"


class Method(StrEnum):
    """How a floor is held down."""

    FLOATING = "floating"
    GLUED = "glued"
    NAILED = "nailed"
    PERIMETER = "perimeter-fastened"


WOOD = frozenset({FloorKind.ENGINEERED_WOOD, FloorKind.SOLID_WOOD})
SHEET_GOODS = frozenset({FloorKind.SHEET_VINYL})
"""Kinds that come off a roll, ordered by the running foot, and not in cartons."""
WIDEST_GAP: Final = 2 * INCH
LEAST_PAIL_FT2: Final = 1.0
MOST_PAIL_FT2: Final = 1000.0
LONGEST_REPEAT: Final = 6 * FOOT
MOST_FILL: Final = 6
CARTONS: Final = "cartons"
RUNNING_FEET: Final = "running ft"
METRES: Final = "m"
"""What a material is ordered and counted in."""
USUAL_METHOD = {
    FloorKind.CLICK_VINYL: Method.FLOATING,
    FloorKind.GLUED_VINYL: Method.GLUED,
    FloorKind.LAMINATE: Method.FLOATING,
    FloorKind.ENGINEERED_WOOD: Method.FLOATING,
    FloorKind.SOLID_WOOD: Method.NAILED,
    FloorKind.SHEET_VINYL: Method.GLUED,
}
METHODS = {  # common practice, no source: the ways in which a kind is laid at all
    FloorKind.CLICK_VINYL: (Method.FLOATING, Method.GLUED),
    FloorKind.GLUED_VINYL: (Method.GLUED,),
    FloorKind.LAMINATE: (Method.FLOATING,),
    FloorKind.ENGINEERED_WOOD: (Method.FLOATING, Method.GLUED, Method.NAILED),
    FloorKind.SOLID_WOOD: (Method.NAILED, Method.GLUED),
    FloorKind.SHEET_VINYL: (Method.GLUED, Method.PERIMETER),
}
TILED = frozenset({FloorKind.CLICK_VINYL, FloorKind.GLUED_VINYL, FloorKind.LAMINATE})
"""Kinds that come as tiles too. A tile is no kind of its own: it acclimates, is prepared for, laid, cured and taken up as planks of
its kind are, and only where its joints lie is different. So a tile is a plank of its size, laid in a grid."""
USUAL_ACCLIMATION_MIN = {  # common practice, no source: the carton's own sheet outranks it
    FloorKind.CLICK_VINYL: 48 * 60,
    FloorKind.GLUED_VINYL: 48 * 60,
    FloorKind.LAMINATE: 48 * 60,
    FloorKind.ENGINEERED_WOOD: 48 * 60,
    FloorKind.SOLID_WOOD: 5 * 24 * 60,
    FloorKind.SHEET_VINYL: 24 * 60,
}
USUAL_CONDITIONS: Final = {  # the carton's own sheet outranks it
    # resilient floors: ASTM F710 in secondary texts
    FloorKind.CLICK_VINYL: Conditions(temperature=Range(low=65, high=85)),
    FloorKind.GLUED_VINYL: Conditions(temperature=Range(low=65, high=85)),
    FloorKind.SHEET_VINYL: Conditions(temperature=Range(low=65, high=85)),
    # common practice, no source
    FloorKind.LAMINATE: Conditions(temperature=Range(low=60, high=85)),
    # wood: national wood flooring installation guidelines in secondary texts (35 to 55 % RH in some)
    FloorKind.ENGINEERED_WOOD: Conditions(temperature=Range(low=60, high=80), humidity=Range(low=30, high=50)),
    FloorKind.SOLID_WOOD: Conditions(temperature=Range(low=60, high=80), humidity=Range(low=30, high=50)),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A floor product of a job. Sizes in 1/4064 inch; cover in ft² a carton; acclimation in minutes by the clock.

    Wood is ready by a moisture reading, never by the clock alone: its acclimation is what is planned, and
    the reading task decides. Sheet goods are counted by the running foot off their roll: one of them is as wide as
    the roll (`plank_width`), a foot long, and covers what `carton_ft2` says; `sheet` makes them.

    By the maker's own sheet, else as usual: how many planks are `in_carton`, the `shortest` piece at a wall, how far end joints
    of neighboring rows are apart at least (`stagger`), the `gap` left at the walls, and what a pail of its adhesive covers
    with the trowel the label names (ft²).

    Of sheet goods: how long the pattern is that has to match from drop to drop (`repeat`, None where none has to), and of how many
    pieces at most a strip under half the roll may be made up (`fill`).

    `pattern` is how its planks lie. Boards of random `lengths` come with the percent of running length of each; the longest is
    `plank_length` then. `joint` is what stays between grouted tiles.

    `conditions` is the air it asks for, `slab` what it allows of a slab, `thickness` how thick it is with a pad that is part of it; None as usual.
    `species` and `cut` (flat or quarter) are of the wood boards are sawn from, for how they move; empty where it was not said. `told_in` is no fact of it but how its
    shop counts a roll, set where a job is read.
    """

    name: str
    kind: FloorKind
    method: Method
    plank_width: int
    plank_length: int
    carton_ft2: float
    acclimation_min: int
    carton_lb: float | None = None
    in_carton: int | None = None
    shortest: int | None = None
    stagger: int | None = None
    gap: int | None = None
    pail_ft2: float | None = None
    repeat: int | None = None
    fill: int = 1
    pattern: Pattern = Pattern.STRAIGHT
    lengths: Lengths = ()
    joint: int | None = None
    conditions: Conditions | None = None
    slab: SlabLimits | None = None
    thickness: int | None = None
    species: str = ""
    cut: str = "flat"
    told_in: UnitSystem = field(default="us", compare=False, repr=False)

    @classmethod
    def sheet(
        cls,
        *,
        name: str,
        kind: FloorKind,
        method: Method,
        roll_width: int,
        acclimation_min: int,
        repeat: int | None = None,
        fill: int = 1,
        conditions: Conditions | None = None,
        slab: SlabLimits | None = None,
        thickness: int | None = None,
    ) -> Material:
        """Return sheet goods off a roll of a width in 1/4064 inch.

        Raises:
            Refused: no kind of sheet goods, no such roll, or no such method.
        """
        return cls(
            name=name,
            kind=kind,
            method=method,
            plank_width=roll_width,
            plank_length=FOOT,
            carton_ft2=square_feet(2 * roll_width * FOOT),
            acclimation_min=acclimation_min,
            repeat=repeat,
            fill=fill,
            conditions=conditions,
            slab=slab,
            thickness=thickness,
        )

    def __post_init__(self) -> None:
        where = f"material {quoted(self.name)}"
        size = self._faults_of_roll() if self.is_sheet else self._faults_of_plank()
        faults = [
            f"{where}: {fault}"
            for fault in (*size, *self._faults_of_use(), *self._faults_of_laying(), *self._faults_of_pattern())
        ]
        if faults:
            raise Refused(faults)

    def _faults_of_plank(self) -> Iterator[str]:
        if self.plank_width <= 0 or self.plank_length <= 0:
            yield "a plank's width and length must be more than zero."
        if self.plank_width > self.plank_length:
            yield (
                f"a plank {exact_length(self.plank_width)} wide and {exact_length(self.plank_length)} long "
                "is wider than long: write width × length."
            )
        if max(self.plank_width, self.plank_length) > LONGEST_PLANK:
            yield (
                f"a plank {exact_length(self.plank_width)} wide and {exact_length(self.plank_length)} long: "
                f"{exact_length(LONGEST_PLANK)} is the most."
            )
        plank = square_feet(2 * self.plank_width * self.plank_length)
        if not isfinite(self.carton_ft2) or self.carton_ft2 < plank - 0.01:  # cover is printed rounded
            yield (
                f"a carton covers {self.carton_ft2:g} ft², less than one of its planks "
                f"({exact_length(self.plank_width)} × {exact_length(self.plank_length)}, {plank:.3f} ft²)."
            )
        elif self.carton_ft2 > MOST_CARTON_FT2:
            yield f"a carton covers {self.carton_ft2:g} ft²; {MOST_CARTON_FT2:g} is the most."

    def _faults_of_laying(self) -> Iterator[str]:
        if self.thickness is not None and not 0 < self.thickness <= THICKEST:
            yield f"it is {exact_length(self.thickness)} thick; that is more than 0, {exact_length(THICKEST)} at most."
        half = self.plank_length // 2
        for what, size in (("the shortest piece", self.shortest), ("the stagger", self.stagger)):
            if size is not None and not 0 < size <= half:
                yield (
                    f"{what} is {exact_length(size)}; it is more than zero, half a plank ({exact_length(half)}) at most."
                )
        if self.gap is not None and not 0 <= self.gap <= WIDEST_GAP:
            yield f"a gap of {exact_length(self.gap)} at the walls; it is 0 to {exact_length(WIDEST_GAP)}."
        if self.pail_ft2 is not None and not LEAST_PAIL_FT2 <= self.pail_ft2 <= MOST_PAIL_FT2:
            yield f"a pail covers {self.pail_ft2:g} ft²; it is {LEAST_PAIL_FT2:g} to {MOST_PAIL_FT2:g}."
        if not self.is_sheet and (self.repeat is not None or self.fill != 1):
            yield f"{self.kind} comes in cartons: a pattern's repeat and pieces to fill in are of sheet goods."
        if self.repeat is not None and not INCH <= self.repeat <= LONGEST_REPEAT:
            yield (
                f"the pattern repeats every {exact_length(self.repeat)}; it is {exact_length(INCH)} to "
                f"{exact_length(LONGEST_REPEAT)}."
            )
        if not 1 <= self.fill <= MOST_FILL:
            yield f"a narrow strip is made up of {self.fill} pieces at most; it is 1 to {MOST_FILL}."
        if self.in_carton is None or self.is_sheet:
            return
        plank = square_feet(2 * self.plank_width * self.plank_length)
        if self.in_carton < 1 or abs(self.in_carton * plank - self.carton_ft2) >= plank:
            yield (
                f"{self.in_carton} planks in a carton cover {self.in_carton * plank:.2f} ft², and a carton covers "
                f"{self.carton_ft2:g} ft²: look at the carton again."
            )

    def _faults_of_pattern(self) -> Iterator[str]:
        """Find what cannot be laid in a pattern, and what has no meaning in it."""
        if self.is_sheet:
            if self.pattern is not Pattern.STRAIGHT or self.lengths or self.joint is not None:
                yield f"{self.kind} comes off a roll: it has no pattern, lengths or joint."
            return
        square = self.plank_width == self.plank_length
        if self.pattern in GRIDS and self.kind not in TILED:
            yield f"{self.kind} is not laid as {self.pattern}: it is straight, diagonal or herringbone."
        elif self.pattern is Pattern.DIAGONAL_GRID and not square:
            yield "a diagonal grid takes square tiles: planks are laid diagonal, in rows."
        if self.pattern not in ROWS and (self.stagger is not None or self.shortest is not None):
            yield f"laid as {self.pattern} it has no stagger and no shortest piece: leave them out."
        if self.joint is not None and (self.pattern not in GRIDS or self.kind is not FloorKind.GLUED_VINYL):
            yield f"a joint is left between tiles of {FloorKind.GLUED_VINYL} in a grid only: leave it out."
        elif self.joint is not None and not 0 <= self.joint <= WIDEST_JOINT:
            yield f"a joint of {exact_length(self.joint)}; it is 0 to {exact_length(WIDEST_JOINT)}."
        if self.lengths:
            yield from self._faults_of_lengths()

    def _faults_of_lengths(self) -> Iterator[str]:
        if self.kind not in WOOD:
            yield f"{self.kind} comes in planks of one length: leave lengths out."
            return
        yield from lengths_faults(self.lengths, self.plank_width)
        longest = max(length for length, _ in self.lengths)
        if self.plank_length != longest:
            yield (
                f"its longest board is {exact_length(longest)} by its lengths and {exact_length(self.plank_length)} by its plank: "
                "write the width alone as plank."
            )
        if self.pattern not in ROWS:
            yield f"laid as {self.pattern} its boards are of one length: leave lengths out."
        if self.in_carton is not None:
            yield "boards of random lengths are bought by what a carton covers: leave planks out."

    def _faults_of_roll(self) -> Iterator[str]:
        if not NARROWEST_ROLL <= self.plank_width <= WIDEST_ROLL:
            yield (
                f"a roll {exact_length(self.plank_width)} wide: it is {exact_length(NARROWEST_ROLL)} at least and "
                f"{exact_length(WIDEST_ROLL)} at most."
            )
        foot = square_feet(2 * self.plank_width * FOOT)
        if self.plank_length != FOOT or not isfinite(self.carton_ft2) or abs(self.carton_ft2 - foot) > 1e-6:
            yield f"a running foot off this roll covers {foot:g} ft², neither more nor less."
        if self.carton_lb is not None:
            yield f"{self.kind} comes off a roll: it has no weight of a carton."

    def _faults_of_use(self) -> Iterator[str]:
        if self.method not in METHODS[self.kind]:
            yield f"{self.kind} is not {self.method}: it is {' or '.join(METHODS[self.kind])}."
        if not 0 <= self.acclimation_min <= LONGEST_WAIT:
            yield "acclimation is between 0 hours and a year."
        if self.carton_lb is not None and not 0 < self.carton_lb < MOST_CARTON_LB:
            yield f"a carton weighs {self.carton_lb:g} lb; it is more than 0 and less than {MOST_CARTON_LB:g}."

    @property
    def is_sheet(self) -> bool:
        """Return whether it comes off a roll by the running foot, not in cartons."""
        return self.kind in SHEET_GOODS

    @property
    def unit(self) -> str:
        """Return what it is ordered and counted in: ``cartons``, ``running ft``, or ``m`` of a roll in a metric shop."""
        return METRES if self.in_metres else RUNNING_FEET if self.is_sheet else CARTONS

    @property
    def in_metres(self) -> bool:
        """Return whether it is told in metres off its roll; what is kept of it is feet all the same."""
        return self.is_sheet and self.told_in == "metric"

    def counted(self, count: int) -> str:
        """Return a count of it with its unit: ``1 carton``, ``14 cartons``, ``14 running ft``, or ``4.27 m`` in a metric shop."""
        return f"{self.number(count)} {unit_of(count, self.unit)}"

    def number(self, count: int) -> str:
        """Return a count as it is told, without its unit: ``14``, or ``4.27`` in metres off a roll."""
        return f"{self.told(count):.2f}" if self.in_metres else str(count)

    def told(self, count: int) -> float:
        """Return a count in the unit it is told in: cartons and feet as they are, metres to the centimetre."""
        return round(count * FOOT / (1000 * MILLIMETRE), 2) if self.in_metres else count

    def kept(self, typed: float) -> int:
        """Return a count as it is kept, from one in the unit it is told in: metres as the nearest foot of the roll.

        Raises:
            Refused: cartons or feet that are no whole number.
        """
        if self.in_metres:
            return round(typed * 1000 * MILLIMETRE / FOOT)
        return whole_count(typed, self.unit, self.name)

    @property
    def before_use(self) -> str:
        """Return the moment after which nothing goes back: ``before a carton is opened``, ``before the roll is cut``."""
        return "before the roll is cut" if self.is_sheet else "before a carton is opened"

    @property
    def asks(self) -> Conditions:
        """Return the air it asks for: its own, else the usual of its kind."""
        return USUAL_CONDITIONS[self.kind] if self.conditions is None else self.conditions

    @property
    def slab_limits(self) -> SlabLimits:
        """Return what it allows of a slab: its own, else the usual."""
        return USUAL_SLAB if self.slab is None else self.slab

    @property
    def by_reading(self) -> bool:
        """Return whether a moisture reading, not the clock, makes it ready."""
        return self.kind in WOOD


def whole_count(typed: float, unit: str, name: str) -> int:
    """Return a count as typed.

    Raises:
        Refused: it is no whole number.
    """
    if typed != round(typed):
        raise Refused(f"{typed:g} {unit} of {name}: write a whole number.")
    return round(typed)


def unit_of(count: int, unit: str) -> str:
    """Return a unit as it follows a count: ``carton`` after 1, ``cartons`` after 2, ``running ft`` after any."""
    return unit.removesuffix("s") if count == 1 else unit


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """What was (or is to be) ordered of one material: cartons, supplier, ordered on, due at (instant, UTC).

    Of sheet goods `cartons` are running feet, here as in a `Lot`. A `special` order is not placed before the deposit is in.
    """

    material: str
    cartons: int
    supplier: str = ""
    ordered: date | None = None
    due: datetime | None = None
    special: bool = False

    def __post_init__(self) -> None:
        if not 1 <= self.cartons <= MOST_CARTONS:
            raise Refused(
                f"order of {quoted(self.material)}: {self.cartons} cartons (or running ft off a roll); it is 1 to {MOST_CARTONS}."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """Cartons of one run that came: when they arrived and when they went into the conditioned rooms.

    Checked before the first is opened: `damaged` cartons cannot be laid, and a color that differs from the
    signed sample holds the lot until the lead decides.
    """

    material: str
    name: str
    cartons: int
    arrived_at: datetime
    moved_in_at: datetime | None = None
    checked_at: datetime | None = None
    damaged: int = 0
    color_differs: bool = False

    def __post_init__(self) -> None:
        if not 0 <= self.damaged <= self.cartons:
            raise Refused(f"lot {quoted(self.name)}: {self.damaged} damaged of {self.cartons} cannot be.")

    @property
    def usable(self) -> int:
        """Return the cartons that can be laid."""
        return self.cartons - self.damaged
