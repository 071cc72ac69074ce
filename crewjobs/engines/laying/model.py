"""What a layout is made of: the product with its rules, the fields, and the runs the rows fall into.

Lengths are whole numbers of 1/4064 inch throughout, so that inches, their fractions and millimetres are exact. In the frame of a
field rows run along +x and row 0 touches the lowest y; `frames` turns a room so.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH, exact_length, quoted

Point = tuple[int, int]

STEP: Final = INCH // 8
"""The grid on which first pieces are cut: an eighth is what a tape and a pencil give."""
LEAST_RIP: Final = 2 * INCH
"""No first or last row narrower than this, or a third of a plank (common practice, no source)."""
ROOM_FOR_STEPS: Final = 4096
"""Cut positions along one plank, at most: more is a grid finer than any saw."""


class Profile(StrEnum):
    """What the ends of a plank allow: with a click profile a cut end can only stand at a wall."""

    CLICK = "click"
    NONE = "none"


class Kind(StrEnum):
    """Where a piece lies in its run."""

    START = "start"
    FULL = "full"
    END = "end"
    SINGLE = "single"


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """A plank and the rules it is laid by; lengths in 1/4064 inch.

    `kerf` is what a cut takes, `min_piece` the shortest start or end piece, `stagger` how far joints of neighbouring rows lie
    apart at least, `second_row` the same for a row and the next but one (an H pattern), `gap` what stays free at the walls,
    `step` the grid of first pieces.

    Raises:
        Refused: sizes of no plank, or rules that no row can keep.
    """

    length: int
    width: int
    kerf: int = INCH // 8
    per_carton: int = 10
    min_piece: int = 10 * INCH
    stagger: int = 7 * INCH
    second_row: int = 2 * INCH
    profile: Profile = Profile.CLICK
    gap: int = INCH // 4
    step: int = STEP

    def __post_init__(self) -> None:
        faults = []
        if self.width <= 0 or self.length < self.width:
            faults.append(
                f"a plank {exact_length(max(0, self.width))} wide and {exact_length(max(0, self.length))} long: "
                "give a width above zero and a length not below it."
            )
        if min(self.kerf, self.min_piece, self.stagger, self.second_row, self.gap) < 0 or self.per_carton < 1:
            faults.append(
                "kerf, shortest piece, stagger and gap are zero or more, and a carton holds one plank or more."
            )
        if not 0 < self.step <= max(self.length, 1) or self.length > ROOM_FOR_STEPS * max(self.step, 1):
            faults.append(f"cuts every {exact_length(max(0, self.step))}: take steps of about 1/8 in.")
        if not faults and self.kerf >= self.length:
            faults.append(f"a cut takes {exact_length(self.kerf)}, more than the whole plank.")
        if not faults and 2 * self.stagger > self.length:
            faults.append(
                f"joints {exact_length(self.stagger)} apart cannot be kept with planks of {exact_length(self.length)}: "
                f"half a plank, {exact_length(self.length // 2)}, is the most."
            )
        if not faults and 2 * self.min_piece > self.length:
            faults.append(
                f"no piece under {exact_length(self.min_piece)} leaves no cut in planks of {exact_length(self.length)}: "
                f"half a plank, {exact_length(self.length // 2)}, is the most."
            )
        if faults:
            raise Refused(faults)

    @property
    def least_rip(self) -> int:
        """Return the narrowest first or last row: a third of a plank or 2 in, but half of a narrow strip (it always can be)."""
        return max(-(-self.width // 3), min(LEAST_RIP, self.width // 2))

    @property
    def steps(self) -> int:
        """Return in how many steps a plank is cut; the last one may be shorter."""
        return -(-self.length // self.step)

    def start_at(self, step: int) -> int:
        """Return the length of a first piece by its step; the last one is the whole plank."""
        return min(step * self.step, self.length)


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A floor laid in one go: the finished walls' corner points (doorway throats included) and what stands in it.

    Points in 1/4064 inch. `holes` are islands, hearths, columns.
    """

    name: str
    outline: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()

    def __post_init__(self) -> None:
        if len(self.outline) < 3 or any(len(hole) < 3 for hole in self.holes):
            raise Refused(f"{quoted(self.name)}: an outline or an island needs at least three corners.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A connected part of a row, charged by its whole extent from `left` to `right` (1/4064 inch, in the frame of its field).

    `laid` is the length of the first piece where the run is on the floor already: it is not cut again, but its joints count.
    """

    field: int
    row: int
    left: int
    right: int
    laid: int | None = None

    @property
    def length(self) -> int:
        """Return its extent."""
        return self.right - self.left


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """A cut piece at hand that opens no new plank: which factory end it still has, and how long it is (1/4064 inch).

    `starts`: its right end is a factory's, so it can start a row; otherwise its left one is, and it can end a row.
    """

    label: str
    length: int
    starts: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """What the search is given: runs of one product, over all fields, with the pieces at hand."""

    product: Product
    runs: tuple[Run, ...]
    offcuts: tuple[Offcut, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece on the floor: its run (by number), where it lies in the frame, and the plank it comes from.

    Planks are numbered from 0; an offcut at hand number i is plank -1 - i.
    """

    run: int
    kind: Kind
    left: int
    right: int
    plank: int

    @property
    def length(self) -> int:
        """Return its length."""
        return self.right - self.left


class Status(StrEnum):
    """How sure a count of planks is. Words for people are made elsewhere."""

    PROVED = "proved"
    FOUND = "found"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A layout that can be laid: the first piece of every run (1/4064 inch), its pieces by run from the left, and the count.

    `planks` counts new planks opened; `bound` is what no layout of these runs, cut on the product's grid, opens fewer than. `spare` is the smallest rest
    of a plank two or more pieces come from, `stagger` the least distance of joints of neighbouring rows, `second` of a row
    and the next but one (None where there is no such thing), `stairs` how often joints move on alike three times.
    """

    status: Status
    starts: tuple[int, ...] = ()
    pieces: tuple[Piece, ...] = ()
    planks: int = 0
    bound: int = 0
    spare: int | None = None
    stagger: int | None = None
    second: int | None = None
    stairs: int = 0
