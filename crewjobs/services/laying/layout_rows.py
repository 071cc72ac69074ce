"""What a layout and a take-off show: frozen rows, every word ready to print."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import Final

from crewjobs.drawing.laid_rows import LaidPiece, LaidRow
from crewjobs.drawing.laid_rows import key_of as key_of
from crewjobs.drawing.laid_rows import paint_rows as paint_rows
from crewjobs.drawing.shapes import Drawing, Fill
from crewjobs.drawing.svg import drawing_svg as drawing_svg

LAYOUT_SECONDS: Final = 6.0
"""How long fewer planks are looked for in one material, where it is not proved before that no fewer will do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceRow:
    """One piece of a row, from the left: its kind and length in words, the plank it is cut from, numbered as they are opened.

    Plank 0 is an offcut at hand, named by `offcut`. `keep` says what is kept of that plank and where it goes (`keep_for` only
    where), `kept` that it is such a rest, `tight` that less than half an inch is to spare, `cut_outs` what is cut out of it and
    where. `left_in` is how far from the left of the floor it begins, in inches; `now`: it is laid in what is looked at, else
    it was laid before (`laid`) or is later. `place` counts the pieces of its run from the left.
    """

    kind: str
    length: str
    length_in: float
    plank: int
    kept: bool
    keep: str
    tight: bool
    offcut: str = ""
    cut_outs: tuple[str, ...] = ()
    keep_for: str = ""
    left_in: float = 0.0
    now: bool = True
    laid: bool = False
    place: int = 0

    @property
    def named(self) -> str:
        """Return which piece of its row it is, as told beside what is cut out of it."""
        return f"piece {self.place} from the left, whole" if self.kind == "whole" else f"{self.kind} {self.length}"

    @property
    def words(self) -> str:
        """Return it as on a cut list: ``start 23 1/4" (plank 4, keep 24 1/2" for row 5)``, ``end 14" (kept 3)``."""
        if self.kind == "whole":
            return "whole"
        source = (
            f"at hand: {self.offcut}" if self.offcut else f"kept {self.plank}" if self.kept else f"plank {self.plank}"
        )
        keep = f", keep {self.keep_for}" if self.keep_for else ""
        return f"{self.kind} {self.length} ({source}{keep}{', tight' if self.tight else ''})"


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutRow:
    """One row (or the part of one beside an island), counted from 1, ripped to `width` where that is less than a plank.

    `place` is where it lies where the floor is laid in several goes; the row is then there once for each.
    `told` are its pieces in words where boards come in random lengths.
    """

    row: int
    width: str
    ripped: bool
    pieces: tuple[PieceRow, ...]
    place: str = ""
    told: str = ""

    @property
    def words(self) -> tuple[str, ...]:
        """Return its pieces from the left as on a cut list, whole planks counted."""
        if self.told:
            return (self.told,)
        found: list[str] = []
        for whole, group in groupby(self.pieces, key=lambda piece: piece.kind == "whole"):
            pieces = [*group]
            found += [f"{len(pieces)} whole"] if whole else [piece.words for piece in pieces]
        return tuple(found)

    @property
    def line(self) -> str:
        """Return all of it as on a cut list, with the width it is ripped to."""
        ripped = f"ripped to {self.width}: " if self.ripped and not self.told else ""
        return f"{ripped}{'; '.join(self.words)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutView:
    """The layout of one field: its rooms, how rows run and why, and the cut list in laying order.

    `planks` are those opened for it, `planks_of_all` those of the whole material.
    `way` is how it is laid out: rows, random lengths, tiles or herringbone; tiles and herringbone have no rows but `lines`, how they
    are set out. `counts` is how many planks it takes, in words.
    """

    job: int
    title: str
    material: str
    rooms: tuple[str, ...]
    direction: str
    first: str
    planks: int
    planks_of_all: int
    bound_of_all: int
    proved: bool
    sure: str
    rows: tuple[LayoutRow, ...]
    notes: tuple[str, ...]
    taken_as: tuple[str, ...]
    drawing: Drawing
    way: str = "rows"
    lines: tuple[str, ...] = ()
    counts: str = ""

    @property
    def drawn_rows(self) -> tuple[LaidRow, ...]:
        """Return every row of the floor with all its pieces, to be painted one line a row."""
        found: dict[int, list[PieceRow]] = {}
        for row in self.rows:
            found.setdefault(row.row, []).extend(row.pieces)
        return tuple(
            LaidRow(
                label=str(number),
                pieces=tuple(_drawn(piece) for piece in sorted(pieces, key=lambda one: one.left_in)),
            )
            for number, pieces in sorted(found.items())
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardsRow:
    """How many boards of one length are taken."""

    length: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutsView:
    """The layouts kept of a job's floors, one a field; `missing` says of which floors there is none, and why."""

    job: int
    title: str
    floors: tuple[LayoutView, ...]
    missing: tuple[str, ...]


def _drawn(piece: PieceRow) -> LaidPiece:
    source = piece.offcut or (str(piece.plank) if piece.plank else "")  # boards of random lengths have none
    if not piece.now:
        fill = Fill.LAID if piece.laid else Fill.LATER
    elif piece.kind == "whole":
        fill = Fill.WHOLE
    else:
        fill = Fill.CUT if source else Fill.CUT_ALONE
    mark = source if fill is Fill.CUT else ""
    return LaidPiece(start=piece.left_in, end=piece.left_in + piece.length_in, fill=fill, mark=mark)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanksRow:
    """What one material takes: planks, cartons with reserve, the rule of thumb beside it; of sheet goods feet off the roll.

    `left_planks` is what is left if nothing of the reserve is needed, `sentence` all of it in words, `fault` why there is no layout,
    `left` what pieces are left of it, the largest first.
    `left_planks` is what is left if nothing of the reserve is needed, `sentence` all of it in words, `fault` why there is no layout.
    `way` is how it is laid out, `boards` how many of each length are taken where they come in random ones; `bound` is 0 where none
    is known; `piece` is what one of them is called.
    """

    material: str
    kind: str
    area_ft2: float
    planks: int
    bound: int
    proved: bool
    cartons: float
    thumb: float
    ordered: float
    unit: str
    left_planks: int
    sentence: str
    per_carton: int = 0
    fields: tuple[str, ...] = ()
    lots: tuple[str, ...] = ()
    fault: str = ""
    left: tuple[str, ...] = ()
    way: str = "rows"
    boards: tuple[BoardsRow, ...] = ()
    piece: str = "plank"


@dataclass(frozen=True, slots=True, kw_only=True)
class GoodsRow:
    """One line of what else is bought, with which piece is cut from which stick."""

    name: str
    count: int
    unit: str
    sentence: str
    sticks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyRow:
    """One supply the job implies, with the rule it is counted by and how sure that rule is."""

    name: str
    count: int
    unit: str
    rule: str
    standing: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOffView:
    """The shopping list of a job; `left` is what should be left over when all is laid, `walls` which number is which wall, `heights` what is to be
    settled about heights before ordering, `movement` what floors do with the seasons."""

    job: int
    title: str
    materials: tuple[PlanksRow, ...]
    goods: tuple[GoodsRow, ...]
    supplies: tuple[SupplyRow, ...]
    left: tuple[str, ...]
    taken_as: tuple[str, ...]
    walls: tuple[str, ...] = ()
    heights: tuple[str, ...] = ()
    movement: tuple[str, ...] = ()
