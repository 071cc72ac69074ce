"""What a layout and a take-off show: frozen rows, every word ready to print."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from crewjobs.drawing.shapes import Drawing
from crewjobs.drawing.svg import drawing_svg as drawing_svg

LAYOUT_SECONDS: Final = 6.0
"""How long fewer planks are looked for in one material, where it is not proved before that no fewer will do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceRow:
    """One piece of a row, from the left: its kind and length in words, the plank it is cut from, numbered as they are opened.

    Plank 0 is an offcut at hand, named by `offcut`. `keep` says what is kept of that plank and where it goes, `kept` that it is such a rest, `tight` that less than half an inch
    is to spare, `cut_outs` what is cut out of it and where.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutRow:
    """One row (or the part of one beside an island), counted from 1, ripped to `width` where that is less than a plank.

    `words` are its pieces from the left where boards come in random lengths.
    """

    row: int
    width: str
    ripped: bool
    pieces: tuple[PieceRow, ...]
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutView:
    """The layout of one field: its rooms, how rows run and why, and the cut list in laying order.

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


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardsRow:
    """How many boards of one length are taken."""

    length: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanksRow:
    """What one material takes: planks, cartons with reserve, the rule of thumb beside it; of sheet goods feet off the roll.

    `left_planks` is what is left if nothing of the reserve is needed, `sentence` all of it in words, `fault` why there is no layout.
    `way` is how it is laid out, `boards` how many of each length are taken where they come in random ones; `bound` is 0 where none
    is known.
    """

    material: str
    kind: str
    area_ft2: float
    planks: int
    bound: int
    proved: bool
    cartons: int
    thumb: int
    ordered: int
    unit: str
    left_planks: int
    sentence: str
    fields: tuple[str, ...] = ()
    lots: tuple[str, ...] = ()
    fault: str = ""
    way: str = "rows"
    boards: tuple[BoardsRow, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class GoodsRow:
    """One line of what else is bought, with which piece is cut from which stick."""

    name: str
    count: int
    unit: str
    sentence: str
    sticks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOffView:
    """The shopping list of a job."""

    job: int
    title: str
    materials: tuple[PlanksRow, ...]
    goods: tuple[GoodsRow, ...]
    taken_as: tuple[str, ...]
