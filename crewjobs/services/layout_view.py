"""A layout in words: how rows run and why, and the cut list row by row."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.layout import CutOut
from crewjobs.domain.units import UnitSystem, format_length
from crewjobs.domain.wording import counted, listed, upper
from crewjobs.engines.laying.cut_list import CutPiece, cut_list
from crewjobs.engines.laying.directions import WallReason, WayReason
from crewjobs.engines.laying.fixtures import CutOut as Placed
from crewjobs.engines.laying.fixtures import Side, cut_outs
from crewjobs.engines.laying.model import Kind, Layout, Status
from crewjobs.engines.laying.rows import RipReason
from crewjobs.engines.take_off.drawing import drawn_layout
from crewjobs.engines.take_off.drawing_parts import drawn_diagonal
from crewjobs.engines.take_off.floors import HouseFloor
from crewjobs.services.diagonal_words import SLANTED, diagonal_cut_outs, diagonal_direction, diagonal_first
from crewjobs.services.layout_rows import LayoutRow, LayoutView, PieceRow
from crewjobs.services.layouts import LaidOut

KINDS: Final = {Kind.START: "start", Kind.FULL: "whole", Kind.END: "end", Kind.SINGLE: "wall to wall"}
_FIRST: Final = {
    RipReason.FULL: "a whole first row leaves a last row wide enough",
    RipReason.LAST_TOO_NARROW: "with a whole first row the last one would be too narrow",
    RipReason.SLIVERS: "with a whole first row a jog would leave slivers",
    RipReason.ONE_ROW: "one row is enough",
    RipReason.ASKED: "as asked for",
    RipReason.LAID: "laid already",
}
_WAY: Final = {
    WayReason.ACROSS_JOISTS: "solid wood goes across the joists",
    WayReason.LIGHT: "with the light of the main window",
    WayReason.LONGEST_WALL: "along the longest wall",
    WayReason.DOORWAYS: "on through the doorways",
    WayReason.FEWEST_SLIVERS: "fewer slivers than the other way",
    WayReason.FEWEST_ROWS: "fewer rows than the other way",
    WayReason.EITHER: "nothing speaks for one way",
    WayReason.ASKED: "as asked for",
    WayReason.ONLY_WAY: "the other way leaves too narrow a row",
}
_WALL: Final = {
    WallReason.LONGEST_WALL: "the longer straight wall",
    WallReason.AWAY_FROM_DOORS: "away from the doorways",
    WallReason.FEWEST_SLIVERS: "fewer slivers than from the other side",
    WallReason.EITHER: "the other side would do as well",
    WallReason.ASKED: "as asked for",
}


def sure_words(layout: Layout) -> str:
    """Return how sure it is that no fewer planks will do, as a sentence."""
    if layout.status is Status.PROVED:
        return "No layout takes fewer."
    return f"{counted(layout.planks - layout.bound, 'plank')} fewer may be possible, not more."


def direction_words(job: Job, house: HouseFloor, field: int, units: UnitSystem) -> str:
    """Return how a field's rows run and why: ``living + hall: 19 rows from wall 3 of living (…), the way: …``."""
    way = house.directions[field]
    if house.turned:
        return diagonal_direction(job, house, field, units)
    room, wall = house.start_of(job, field)
    widths = house.floor.fields[field].rips.widths
    plank = house.floor.problem.product.width
    rips = ""
    if len(widths) > 1 and (widths[0] < plank or widths[-1] < plank):
        rips = f", the first {format_length(widths[0], units)} wide, the last {format_length(widths[-1], units)}"
    reasons = f"{_WAY[way.way]}; from there: {_WALL[way.why_wall]}; {_FIRST[way.rips.reason]}"
    length = format_length(job.room(room).outline.walls[wall - 1], units)
    return f"{house.fields[field].field.name}: {counted(len(widths), 'row')} from wall {wall} of {room} ({length}){rips} ({reasons})"


def layout_view(record: JobRecord, found: LaidOut, room: str, *, units: UnitSystem = "us") -> LayoutView:
    """Return the layout of the field a room is part of."""
    house, layout = found.house, found.layout
    field = house.field_of(room)
    outs = diagonal_cut_outs(record.job, house, layout, field, units) if house.turned else None
    rows, comes_through = [], _cut_outs(record.job, found, field, units) if outs is None else outs
    several = len(house.fields) > 1
    for run in cut_list(house.floor, layout):
        if run.field == field:
            pieces = tuple(
                _piece(found, piece, units, comes_through.get(piece.number, ()), several) for piece in run.pieces
            )
            width = house.floor.problem.product.width
            rows.append(
                LayoutRow(
                    row=run.row + 1, width=format_length(run.width, units), ripped=run.width < width, pieces=pieces
                )
            )
    opened = {p.plank for p in layout.pieces if p.plank >= 0 and house.floor.problem.runs[p.run].field == field}
    return LayoutView(
        job=record.job.number,
        title=record.job.title,
        material=house.material.name,
        rooms=tuple(one.room for one in house.fields[field].rooms),
        direction=direction_words(record.job, house, field, units),
        first=first_words(record.job, house, field),
        planks=len(opened),
        planks_of_all=layout.planks,
        bound_of_all=layout.bound,
        proved=layout.status is Status.PROVED,
        sure=sure_words(layout),
        rows=tuple(rows),
        notes=tuple(_notes(found, field, rows, units)),
        taken_as=house.taken_as,
        drawing=drawn_diagonal(house, layout, field) if house.turned else drawn_layout(house, layout, field),
        counts=f"{len(opened)} planks here, {layout.planks} in all of this material. {sure_words(layout)}",
    )


def first_words(job: Job, house: HouseFloor, field: int) -> str:
    """Return where to stand, and which way rows are laid."""
    if house.turned:
        return diagonal_first(job, house, field)
    room, wall = house.start_of(job, field)
    return f"Stand in {room} facing wall {wall}: row 1 lies along it, every row from your left to your right."


def _piece(found: LaidOut, piece: CutPiece, units: UnitSystem, outs: tuple[str, ...], several: bool) -> PieceRow:
    keep = ""
    if piece.keep is not None:
        name = f" of {found.house.fields[piece.keep.field].field.name}" if several else ""
        keep = (
            f"keep {format_length(piece.keep.length, units)}, mark it {piece.plank} and row {piece.keep.row + 1}{name} "
            f"({KINDS[piece.keep.kind]})"
        )
    return PieceRow(
        kind=KINDS[piece.kind],
        length=format_length(piece.length, units),
        length_in=round(piece.length / 4064, 4),
        plank=piece.plank,
        kept=piece.kept,
        keep=keep,
        tight=piece.tight,
        offcut=piece.offcut,
        cut_outs=outs,
    )


def _notes(found: LaidOut, field: int, rows: list[LayoutRow], units: UnitSystem) -> Iterator[str]:
    layout, product = found.layout, found.house.floor.problem.product
    apart = [f"joints {format_length(layout.stagger, units)} apart at least" if layout.stagger is not None else ""]
    apart.append(f"no piece under {format_length(product.min_piece, units)} beside a joint")
    yield f"{upper(listed([one for one in apart if one]))}; {format_length(product.gap, units)} free at every wall."
    if found.house.turned:
        yield SLANTED
    tight = sorted({row.row for row in rows if any(piece.tight for piece in row.pieces)})
    if tight:
        where = listed([str(row) for row in tight], most=8)
        yield f"Tight cuts in row {where}: less than half an inch to spare, measure there before cutting."
    if layout.stairs:
        yield f"{counted(layout.stairs, 'place')} where joints of three rows move on alike: a stair step shows."
    widths = found.house.floor.fields[field].rips.widths
    if len(widths) > 1 and widths[-1] < product.least_rip:
        last, least = (format_length(width, units) for width in (widths[-1], product.least_rip))
        yield f"The last row comes out {last} wide, less than {least}: look how it is held before it is cut."
    if found.house.directions[field].rips.slivers:
        yield "A jog leaves a strip narrower than an inch: look at it before the first row is set."


def _cut_outs(job: Job, found: LaidOut, field: int, units: UnitSystem) -> Mapping[int, tuple[str, ...]]:
    """Return by piece what is cut out of it, and where."""
    told: dict[int, list[str]] = defaultdict(list)
    house = found.house
    for place in house.fields[field].rooms:
        for one in job.room(place.room).cut_outs:
            (x, y), (width, depth) = one.at, one.size
            corners = [place.to((x - width / 2, y - depth / 2)), place.to((x + width / 2, y + depth / 2))]
            low = tuple(round(min(corner[axis] for corner in corners)) for axis in (0, 1))
            high = tuple(round(max(corner[axis] for corner in corners)) for axis in (0, 1))
            try:
                hits = cut_outs(house.floor, found.layout, field, (low[0], low[1]), (high[0], high[1]))
            except Refused:  # in the gap at a wall, or in a doorway left out: no plank lies there
                continue
            for hit in hits:
                told[hit.piece].append(_cut_out_words(one, hit, units))
    return {piece: tuple(words) for piece, words in told.items()}


def _cut_out_words(one: CutOut, hit: Placed, units: UnitSystem) -> str:
    size = f"{format_length(hit.width, units)} x {format_length(hit.depth, units)}"
    along = (
        f"{format_length(hit.from_left, units)} from its left end"
        if hit.from_left <= hit.from_right
        else f"{format_length(hit.from_right, units)} from its right end"
    )
    edges = {
        Side.NEAR: "through the edge toward the starting wall",
        Side.FAR: "through the edge away from the starting wall",
    }
    open_edges = [words for side, words in edges.items() if side in hit.open]
    across = (
        listed(open_edges)
        if open_edges
        else f"{format_length(hit.from_near, units)} in from the edge toward the starting wall"
    )
    return f"{one.what}: {size}, {along}, {across}"
