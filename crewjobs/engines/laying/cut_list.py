"""The cut list in laying order: each row with its pieces, the plank each comes from, and what to keep of it with which label.

Planks are numbered as they are opened while rows are laid. Either half of a plank may be needed first; what is left then is
kept under the plank's number and the row it goes to.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from crewjobs.domain.units import INCH
from crewjobs.engines.laying.floors import Floor
from crewjobs.engines.laying.model import Kind, Layout, Piece

TIGHT: Final = INCH // 2
"""With less to spare a wall that is off spoils the other half (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcutting:
    """What to keep of a plank: its number, how long the rest is, and where it goes (field and row from 0, kind)."""

    plank: int
    length: int
    field: int
    row: int
    kind: Kind
    piece: int = 0
    """The number of the piece it becomes, in the layout."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPiece:
    """A piece in its place. `plank` is numbered from 1 as planks are opened (0: an offcut at hand, named by `offcut`).

    `kept` is whether it comes from a rest that was kept before; `keep` what to keep when it is cut. `tight`: the plank it
    shares leaves less than 1/2 in to spare. `number` is its place in the layout's pieces.
    """

    number: int
    kind: Kind
    length: int
    plank: int
    kept: bool
    keep: Offcutting | None
    tight: bool
    offcut: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRun:
    """The pieces of one run from left to right; rows and fields count from 0, `width` is what the row is ripped to.

    A run that is laid in several goes is there as many times; `stage` says in which.
    """

    field: int
    row: int
    run: int
    width: int
    pieces: tuple[CutPiece, ...]
    stage: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """What is left of a plank when all its pieces are cut, and which factory end it still has, if any."""

    plank: int
    length: int
    end: Kind | None


def laying_order(floor: Floor, layout: Layout, stages: Mapping[int, int] | None = None) -> list[int]:
    """Return the numbers of the pieces in the order they are laid: field by field, row by row, from the left.

    `stages` are by piece where a floor is laid in several goes, the earlier ones first.
    """
    runs, goes = floor.problem.runs, stages or {}

    def place(number: int) -> tuple[int, int, int, int]:
        piece = layout.pieces[number]
        return goes.get(number, 0), runs[piece.run].field, runs[piece.run].row, piece.left

    return sorted(range(len(layout.pieces)), key=place)


def plank_numbers(
    floor: Floor, layout: Layout, stages: Mapping[int, int] | None = None, opened: int = 0
) -> dict[int, int]:
    """Return the numbers of the layout's planks on the cut list: as they are opened, on from those `opened` before."""
    found: dict[int, int] = {}
    for number in laying_order(floor, layout, stages):
        plank = layout.pieces[number].plank
        if plank >= 0:
            found.setdefault(plank, opened + len(found) + 1)
    return found


def cut_list(
    floor: Floor, layout: Layout, stages: Mapping[int, int] | None = None, numbers: Mapping[int, int] | None = None
) -> list[CutRun]:
    """Return the cut list of a layout, `stages` by piece where it is laid in several goes, `numbers` what its planks are called."""
    runs, goes = floor.problem.runs, stages or {}
    order = laying_order(floor, layout, stages)
    of: dict[int, list[int]] = defaultdict(list)
    for number in order:
        of[layout.pieces[number].plank].append(number)
    numbers = plank_numbers(floor, layout, stages) if numbers is None else numbers
    found: list[CutRun] = []
    pieces: list[CutPiece] = []
    for place, number in enumerate(order):
        piece = layout.pieces[number]
        pieces.append(_cut_piece(floor, layout, number, of[piece.plank], numbers.get(piece.plank, 0)))
        stage, then = goes.get(number, 0), order[place + 1] if place + 1 < len(order) else None
        if then is None or (layout.pieces[then].run, goes.get(then, 0)) != (piece.run, stage):
            run = runs[piece.run]
            width = floor.fields[run.field].rips.widths[run.row]
            found.append(
                CutRun(field=run.field, row=run.row, run=piece.run, width=width, pieces=tuple(pieces), stage=stage)
            )
            pieces = []
    return found


def _cut_piece(floor: Floor, layout: Layout, number: int, shared: Sequence[int], plank: int) -> CutPiece:
    product, runs = floor.problem.product, floor.problem.runs
    piece = layout.pieces[number]
    at = shared.index(number)
    cut = [layout.pieces[k] for k in shared]
    keep = None
    if at + 1 < len(shared):
        after = cut[at + 1]
        keep = Offcutting(
            plank=plank,
            length=_room(floor, piece.plank) - sum(one.length + product.kerf for one in cut[: at + 1]),
            field=runs[after.run].field,
            row=runs[after.run].row,
            kind=after.kind,
            piece=shared[at + 1],
        )
    spare = _room(floor, piece.plank) - sum(one.length for one in cut) - product.kerf * (len(cut) - 1)
    return CutPiece(
        number=number,
        kind=piece.kind,
        length=piece.length,
        plank=plank,
        kept=at > 0 or piece.plank < 0,
        keep=keep,
        tight=spare < TIGHT and (len(cut) > 1 or piece.plank < 0),
        offcut="" if piece.plank >= 0 else floor.problem.offcuts[-1 - piece.plank].label,
    )


def _room(floor: Floor, plank: int) -> int:
    return floor.problem.product.length if plank >= 0 else floor.problem.offcuts[-1 - plank].length


def rests(floor: Floor, layout: Layout, pieces: Sequence[Piece] | None = None) -> list[Rest]:
    """Return what is left of the planks once these pieces are cut (all of them, if none are named), longest first.

    Planks keep the layout's numbers here.
    """
    product = floor.problem.product
    of: dict[int, list[Piece]] = defaultdict(list)
    for piece in layout.pieces if pieces is None else pieces:
        of[piece.plank].append(piece)
    found = []
    for plank, cut in of.items():
        left = _room(floor, plank) - sum(one.length + product.kerf for one in cut)
        if left > 0:
            found.append(Rest(plank=plank, length=left, end=_factory_end(floor, plank, cut)))
    return sorted(found, key=lambda rest: -rest.length)


def _factory_end(floor: Floor, plank: int, cut: Sequence[Piece]) -> Kind | None:
    """Return what a rest may still become: a start, an end, or neither (from wall to wall only)."""
    kinds = {piece.kind for piece in cut}
    starting, ending = Kind.START not in kinds, Kind.END not in kinds
    if plank < 0:
        at_hand = floor.problem.offcuts[-1 - plank]
        starting, ending = starting and at_hand.starts, ending and not at_hand.starts
    return Kind.START if starting else Kind.END if ending else None
