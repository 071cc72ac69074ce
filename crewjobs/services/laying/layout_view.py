"""A layout in words: how rows run and why, and the cut list row by row."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.layout import CutOut
from crewjobs.domain.material import Method
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.moves import Spot
from crewjobs.domain.units import INCH, UnitSystem, format_cut
from crewjobs.domain.wording import counted, listed, upper
from crewjobs.drawing.shapes import Fill
from crewjobs.engines.laying.bounds import by_material
from crewjobs.engines.laying.cut_list import CutPiece, CutRun, cut_list
from crewjobs.engines.laying.directions import WallReason, WayReason
from crewjobs.engines.laying.fixtures import CutOut as Placed
from crewjobs.engines.laying.fixtures import Side, cut_outs
from crewjobs.engines.laying.floors import FieldRows
from crewjobs.engines.laying.model import Kind, Layout, Point, Problem, Product, Status
from crewjobs.engines.laying.replanning import far_wall
from crewjobs.engines.laying.rows import RipReason
from crewjobs.engines.stages.drawing import place_words
from crewjobs.engines.take_off.drawing import drawn_layout
from crewjobs.engines.take_off.drawing_parts import drawn_diagonal
from crewjobs.engines.take_off.floors import HouseFloor, numbers_of, stages_laid
from crewjobs.engines.take_off.parts import laid_with, spots_of, stages_of
from crewjobs.services.laying.diagonal_words import SLANTED, diagonal_cut_outs, diagonal_direction, diagonal_first
from crewjobs.services.laying.layout_rows import LayoutRow, LayoutView, PieceRow
from crewjobs.services.laying.layouts import LaidOut
from crewjobs.services.laying.movement_words import movement_words
from crewjobs.services.laying.wall_cut_words import wall_cut_words
from crewjobs.services.laying.wall_words import wall_words
from crewjobs.services.wording import assumed

NUMBERED: Final = "Planks are numbered as they are opened; what is kept of one is marked with its number and its row."
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
    WayReason.PARTS: "along the line between the parts of the room",
    WayReason.DOORWAYS: "on through the doorways",
    WayReason.FEWEST_SLIVERS: "fewer slivers than the other way",
    WayReason.FEWEST_ROWS: "fewer rows than the other way",
    WayReason.EITHER: "nothing speaks for one way",
    WayReason.ASKED: "as asked for",
    WayReason.ONLY_WAY: "the other way leaves too narrow a row",
}
_WALL: Final = {
    WallReason.WORKED_FIRST: "what is worked first lies there",
    WallReason.KEPT: "the floor is begun there",
    WallReason.LONGEST_WALL: "the longer straight wall",
    WallReason.AWAY_FROM_DOORS: "away from the doorways",
    WallReason.FEWEST_SLIVERS: "fewer slivers than from the other side",
    WallReason.EITHER: "the other side would do as well",
    WallReason.ASKED: "as asked for",
}


def sure_words(layout: Layout, problem: Problem) -> str:
    """Return how sure it is that no fewer planks will do, as a sentence.

    Rows no longer than a plank are laid in one piece; where that, and not the material alone, asks for so many planks, it is said.
    """
    if layout.status is Status.PROVED:
        product = problem.product
        short = [
            run for run in problem.runs if run.laid is None and 2 * product.min_piece <= run.length < product.length
        ]
        if short and layout.planks > by_material(problem):
            return "No layout of these rows takes fewer, rows shorter than a plank in one piece."
        return "No layout of these rows takes fewer."
    return f"{counted(layout.planks - layout.bound, 'plank')} fewer may be possible, not more."


def direction_words(job: Job, house: HouseFloor, field: int, units: UnitSystem) -> str:
    """Return how a field's rows run and why: ``living + hall: 19 rows from the wall of living on your left …. Why: …``."""
    way = house.directions[field]
    if house.turned:
        return diagonal_direction(job, house, field, units)
    room, wall = house.start_of(job, field)
    widths = house.floor.fields[field].rips.widths
    first, last = house.floor.fields[field].first_and_last
    plank = house.floor.problem.product.width
    rips = ""
    if len(widths) > 1 and min(first, last) < plank:
        rips = f", the first {format_cut(first, units)} wide, the last {format_cut(last, units)}"
    rips_now = house.floor.fields[field].rips.reason
    why_first = _FIRST[rips_now if rips_now is RipReason.LAID else way.rips.reason]
    reasons = f"{_WAY[way.way]}; from there: {_WALL[way.why_wall]}; {why_first}"
    where = wall_words(job, room, wall, units)
    return f"{house.fields[field].field.name}: {counted(len(widths), 'row')} from {where}{rips}. Why: {reasons}"


def layout_view(
    record: JobRecord, found: LaidOut, room: str, *, units: UnitSystem = "us", order: Order | None = None
) -> LayoutView:
    """Return the layout of the field a room is part of; with an `order` only what is laid now is told, the rest is drawn.

    Planks are numbered in the order in which the job is worked; which of its pieces opens a plank and which is kept goes by `order`.
    """
    house, layout, job = found.house, found.layout, record.job
    field, numbers = house.field_of(room), numbers_of(job, house, layout)
    places = spots_of(job, house.fields, house.floor, layout, diagonal=house.turned)
    spots = laid_with(house.floor, layout, places, lambda spot: job.stage_of(*spot))
    stages = stages_of(job, spots) if order is None else {i: order.of(spot) for i, spot in enumerate(spots)}
    cut = [run for run in cut_list(house.floor, layout, stages, numbers) if run.field == field]
    several = len({run.stage for run in cut}) > 1
    aside = order.aside(spots) if order is not None else {}
    outs = diagonal_cut_outs(job, house, layout, field, units) if house.turned else _all_cuts(job, found, field, units)
    told = _Told(found=found, field=field, units=units, outs=outs, aside=aside, places=places)
    rows = tuple(
        LayoutRow(
            row=run.row + 1,
            width=_row_width(house, run, units),
            ripped=house.floor.fields[field].along_wall(run.row) < house.floor.problem.product.width,
            pieces=tuple(told.piece(piece) for piece in run.pieces),
            place=_places(places[piece.number] for piece in run.pieces) if several else "",
        )
        for run in cut
    )
    opened = {p.plank for p in layout.pieces if p.plank >= 0 and house.floor.problem.runs[p.run].field == field}
    return LayoutView(
        job=job.number,
        title=job.title,
        material=house.material.name,
        rooms=tuple(one.room for one in house.fields[field].rooms),
        direction=direction_words(job, house, field, units),
        first=f"{first_words(job, house, field, several=several)} {NUMBERED}",
        planks=len(opened),
        planks_of_all=layout.planks,
        bound_of_all=layout.bound,
        proved=layout.status is Status.PROVED,
        sure=sure_words(layout, house.floor.problem),
        rows=rows,
        notes=(
            *_notes(found, field, rows, units),
            *_nowhere(job, found, field),
            *(_ends_unevenly(job, found, field) if several else ()),
            *(movement_words(house, field, units) if order is None else ()),
            *(
                (*_where_to_measure(job, found, field, units), *_against_the_order(job, found, field))
                if order is None
                else ()
            ),
            *_too_early(found, field, places, spots, order),
        ),
        taken_as=assumed(job, house.taken_as, units),
        drawing=(
            drawn_diagonal(house, layout, field)
            if house.turned
            else drawn_layout(
                house, layout, field, cut, aside, [(low, high) for _, low, high in _holes(job, found, field)]
            )
        ),
        counts=(
            f"{counted(len(opened), 'plank')} here, {layout.planks} in all of this material"
            f"{f', {house.opened} opened before' if house.opened else ''}. "
            f"{sure_words(layout, house.floor.problem)}"
        ),
    )


def _against_the_order(job: Job, found: LaidOut, field: int) -> Iterator[str]:
    """Say which parts are worked before those their rows go on from: they are laid with these, whatever the order says."""
    house, layout = found.house, found.layout
    lies = spots_of(job, house.fields, house.floor, layout, diagonal=house.turned)
    onto = laid_with(house.floor, layout, lies, lambda spot: job.stage_of(*spot))
    runs = house.floor.problem.runs
    moved: dict[Spot, dict[Spot, int]] = {}
    for piece, (here, there) in enumerate(zip(lies, onto, strict=True)):
        if here != there and runs[layout.pieces[piece].run].field == field:
            pieces = moved.setdefault(here, {})
            pieces[there] = pieces.get(there, 0) + 1
    for here, pieces in moved.items():
        there = max(pieces, key=lambda spot: pieces[spot])
        yield (
            f"{upper(place_words(here))} is worked before {place_words(there)}, but rows there go on from it: "
            f"{counted(sum(pieces.values()), 'piece')} of {place_words(here)} can only be laid with {place_words(there)}. Work "
            f"{place_words(there)} before it, or have rows run the other way."
        )


def _too_early(
    found: LaidOut, field: int, places: Sequence[Spot], spots: Sequence[Spot], order: Order | None
) -> Iterator[str]:
    """Say that rows laid now go on from rows that are laid later."""
    if order is None:
        return
    house, layout = found.house, found.layout
    onto = laid_with(house.floor, layout, places, order.of)
    runs = house.floor.problem.runs
    early = [
        (runs[layout.pieces[i].run].row, with_now)
        for i, with_now in enumerate(onto)
        if runs[layout.pieces[i].run].field == field
        and order.of(spots[i]) in order.now.values()
        and order.of(with_now) == order.LATER
    ]
    if early:
        row, spot = min(early)
        yield (
            f"Row {row + 1} goes on from rows in {place_words(spot)}, which are laid later by the plan: lay those first, or have rows begin "
            "here (start_wall in the job file) and lay it out anew."
        )


def _row_width(house: HouseFloor, run: CutRun, units: UnitSystem) -> str:
    """Return how wide a row is, and how wide it is in a doorway where it reaches into one."""
    along = house.floor.fields[run.field].along_wall(run.row)
    inside = f" along the wall, {format_cut(run.width, units)} in the doorway" if along < run.width else ""
    return f"{format_cut(along, units)}{inside}"


def _places(spots: Iterable[Spot]) -> str:
    """Return where the pieces of a row lie: ``living, window half``, or several of them."""
    return " + ".join(dict.fromkeys(place_words(spot) for spot in spots))


def first_words(job: Job, house: HouseFloor, field: int, *, several: bool = False) -> str:
    """Return where to stand, and which way rows are laid; `several`: in several goes."""
    parts = (
        " Planks over a line between parts of a room are laid with the part their middle lies in." if several else ""
    )
    if house.turned:
        return f"{diagonal_first(job, house, field)}{parts}"
    return f"Face that wall: row 1 lies along it, every row runs from your left to your right.{parts}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """The order in which parts of a floor are really laid: those that lie, those laid `now` (from 1), all others later."""

    lies: frozenset[Spot]
    now: Mapping[Spot, int]
    LATER: ClassVar[int] = 1000

    def of(self, spot: Spot) -> int:
        """Return when a part is laid; 0 where it lies."""
        return 0 if spot in self.lies else self.now.get(spot, self.LATER)

    def aside(self, spots: Sequence[Spot]) -> dict[int, Fill]:
        """Return by piece what is not laid now."""
        return {
            i: Fill.LAID if self.of(spot) == 0 else Fill.LATER
            for i, spot in enumerate(spots)
            if spot not in self.now or spot in self.lies
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """Tells the pieces of one field."""

    found: LaidOut
    field: int
    units: UnitSystem
    outs: Mapping[int, tuple[str, ...]]
    aside: Mapping[int, Fill]
    places: Sequence[Spot]

    def piece(self, piece: CutPiece) -> PieceRow:
        """Return a piece in words."""
        house, placed = self.found.house, self.found.layout.pieces[piece.number]
        keep = keep_for = ""
        if piece.keep is not None:
            elsewhere = f" of {house.fields[piece.keep.field].field.name}" if piece.keep.field != self.field else ""
            here, there = self.places[piece.number], self.places[piece.keep.piece]
            if not elsewhere and here != there:  # rows of a floor worked in parts have their number in each
                elsewhere = f" of {there[1] or there[0]}"
            row = f"row {piece.keep.row + 1}{elsewhere}"
            length = format_cut(piece.keep.length, self.units)
            keep = f"keep {length}, mark it {piece.plank} and {row} ({KINDS[piece.keep.kind]})"
            keep_for = f"{length} for {row}"
        least = min(run.left for run in house.floor.problem.runs if run.field == self.field)
        fill = self.aside.get(piece.number)
        return PieceRow(
            kind=KINDS[piece.kind],
            length=format_cut(piece.length, self.units),
            length_in=round(piece.length / 4064, 4),
            plank=piece.plank,
            kept=piece.kept,
            keep=keep,
            tight=piece.tight,
            offcut=piece.offcut,
            cut_outs=self.outs.get(piece.number, ()),
            keep_for=keep_for,
            left_in=round((placed.left - least) / 4064, 4),
            now=fill is None,
            laid=fill is Fill.LAID,
            place=1 + sum(one.run == placed.run for one in self.found.layout.pieces[: piece.number]),
        )


def _notes(found: LaidOut, field: int, rows: Sequence[LayoutRow], units: UnitSystem) -> Iterator[str]:
    layout, product = found.layout, found.house.floor.problem.product
    apart = [f"joints {format_cut(layout.stagger, units)} apart at least" if layout.stagger is not None else ""]
    apart.append(f"no piece under {format_cut(product.min_piece, units)} beside a joint")
    yield f"{upper(listed([one for one in apart if one]))}; {format_cut(product.gap, units)} free at every wall."
    if found.house.turned:
        yield SLANTED
    for anew in found.kept.anew:
        if anew.field == field:
            off = [
                f"the next row {format_cut(abs(anew.right), units)} {'longer' if anew.right > 0 else 'shorter'}"
            ] * bool(anew.right)
            off += [
                f"the wall across {format_cut(abs(anew.far), units)} {'farther' if anew.far > 0 else 'nearer'}"
            ] * bool(anew.far)
            yield f"Row {anew.rows} and those before it lie{f'; measured: {listed(off)} than planned' if off else ''}."
    tight = sorted({row.row for row in rows if any(piece.tight and piece.now for piece in row.pieces)})
    if tight:
        where = listed([str(row) for row in tight], most=8)
        yield told_in(
            f"Tight cuts in row {where}: less than half an inch to spare, measure there before cutting.", units
        )
    if layout.stairs:
        yield f"{counted(layout.stairs, 'place')} where joints of three rows move on alike: a stair step shows."
    laid = found.house.floor.fields[field]
    if len(laid.rips.widths) > 1 and laid.first_and_last[1] < product.least_rip:
        last, least = (format_cut(width, units) for width in (laid.first_and_last[1], product.least_rip))
        yield f"The last row comes out {last} wide, less than {least}: {_ways_with_sliver(product, laid, units)}"
    if not found.house.turned:
        yield from _thin_strips(found, field, units)
    if found.house.directions[field].rips.slivers:
        sliver = format_cut(INCH, units)
        yield f"A jog leaves a strip narrower than {sliver}: look at it before the first row is set."


def _ends_unevenly(job: Job, found: LaidOut, field: int) -> Iterator[str]:
    """Say of planks that click that rows of one part end unevenly, where rows run on into parts laid later (common practice, no source)."""
    material, runs = found.house.material, found.house.floor.problem.runs
    if material.method is not Method.FLOATING:
        return
    stages = stages_laid(job, found.house, found.layout)
    rows: dict[int, set[int]] = {}
    for number, piece in enumerate(found.layout.pieces):
        if runs[piece.run].field == field:
            rows.setdefault(runs[piece.run].row, set()).add(stages[number])
    if any(len(parts) > 1 for parts in rows.values()):
        yield (
            "Rows end unevenly where one part of the floor ends, and go on from there later: a plank between two rows that lie is slid or "
            f"tapped in from its end, which a joint that is only angled in does not allow: look at what {material.name} allows, or have "
            "rows run along the line between the parts (rows in the job file)."
        )


def _where_to_measure(job: Job, found: LaidOut, field: int, units: UnitSystem) -> Iterator[str]:
    """Say to which wall, and where along it, a measure to the wall across goes, where that is not plain."""
    rows = found.house.floor.fields[field]
    lie = max((anew.rows for anew in found.kept.anew if anew.field == field), default=0)
    if found.house.turned or lie >= len(rows.rips.widths):
        return
    try:
        wall = far_wall(rows, lie)
    except Refused:
        return
    if wall.slanted or wall.several:
        where = wall_words(job, *found.house.wall_at(job, field, wall.middle), units)
        yield f"A measure to the wall across (far wall, --to-wall) goes to {where}{', to the middle of it' if wall.slanted else ''}."


def _thin_strips(found: LaidOut, field: int, units: UnitSystem) -> Iterator[str]:
    """Say of rows that come out narrow beside a wall of a jog, or of another room of the floor, though no sliver."""
    product, rows = found.house.floor.problem.product, found.house.floor.fields[field]
    lie = max((anew.rows for anew in found.kept.anew if anew.field == field), default=0)
    thin = [(row, width) for row, width in rows.thin_strips(product) if row >= lie]
    if thin:
        told = listed([f"row {row + 1} {format_cut(width, units)}" for row, width in thin], most=6)
        yield (
            f"Beside a wall in the middle of the floor {told} wide, less than {format_cut(product.least_rip, units)}: look how it is held "
            "before it is cut, or give another first row."
        )


def _ways_with_sliver(product: Product, laid: FieldRows, units: UnitSystem) -> str:
    """Return what can be done about a last row too narrow: common practice, no source; the lead decides."""
    covered = format_cut(product.gap + laid.first_and_last[1], units)
    ways = [
        f"leave it out if base and shoe cover {covered} and the product's maker allows such a gap",
        "or glue it to the row before it before that one is laid",
    ]
    rips = laid.begun_anew(product)
    if rips is not None:
        ways.append(
            f"or take up the rows that lie and begin with a first row of {format_cut(rips.first, units)}, which leaves "
            f"{format_cut(rips.last, units)} for the last"
        )
    return f"{', '.join(ways)}."


def _all_cuts(job: Job, found: LaidOut, field: int, units: UnitSystem) -> Mapping[int, tuple[str, ...]]:
    """Return by piece what is cut out of it for walls and for what comes through the floor, and where."""
    told = {piece: [*words] for piece, words in wall_cut_words(found.house, found.layout, field, units).items()}
    for one, hits in _hits(job, found, field):
        for hit in hits:
            told.setdefault(hit.piece, []).append(_cut_out_words(one, hit, units))
    return {piece: tuple(words) for piece, words in told.items()}


def _nowhere(job: Job, found: LaidOut, field: int) -> Iterator[str]:
    """Say what comes through where no plank lies; in rows that lie it was cut out already."""
    if found.house.turned:
        return
    for one, low, high in _holes(job, found, field):
        if not _hit(found, field, low, high) and not _lies(found, field, low, high):
            yield (
                f"{upper(one.what)} lies where no plank is laid: in the gap at a wall, within what stands there, or in a doorway left "
                "out. Measure it from the room's first corner."
            )


def _hits(job: Job, found: LaidOut, field: int) -> Iterator[tuple[CutOut, list[Placed]]]:
    """Yield what comes through the floor with the pieces it is cut out of."""
    for one, low, high in _holes(job, found, field):
        yield one, _hit(found, field, low, high)


def _hit(found: LaidOut, field: int, low: Point, high: Point) -> list[Placed]:
    try:
        return cut_outs(found.house.floor, found.layout, field, low, high)
    except Refused:
        return []


def _lies(found: LaidOut, field: int, low: Point, high: Point) -> bool:
    """Return whether a hole is in rows that lie."""
    rows = found.house.floor.fields[field]
    count = max((anew.rows for anew in found.kept.anew if anew.field == field), default=0)
    near = min(rows.frame.to(corner)[1] for corner in (low, high))
    return bool(count) and near < rows.row_at(count - 1)[1]


def _holes(job: Job, found: LaidOut, field: int) -> Iterator[tuple[CutOut, Point, Point]]:
    """Yield what comes through the floor with two corners of it, in the field."""
    house = found.house
    for place in house.fields[field].rooms:
        for one in job.room(place.room).cut_outs:
            (x, y), (width, depth) = one.at, one.size
            corners = [place.to((x - width / 2, y - depth / 2)), place.to((x + width / 2, y + depth / 2))]
            low = tuple(round(min(corner[axis] for corner in corners)) for axis in (0, 1))
            high = tuple(round(max(corner[axis] for corner in corners)) for axis in (0, 1))
            yield one, (low[0], low[1]), (high[0], high[1])


def _cut_out_words(one: CutOut, hit: Placed, units: UnitSystem) -> str:
    size = f"{format_cut(hit.width, units)} x {format_cut(hit.depth, units)}"
    along = (
        f"{format_cut(hit.from_left, units)} from its left end"
        if hit.from_left <= hit.from_right
        else f"{format_cut(hit.from_right, units)} from its right end"
    )
    edges = {
        Side.NEAR: "through the edge toward the starting wall",
        Side.FAR: "through the edge away from the starting wall",
    }
    open_edges = [words for side, words in edges.items() if side in hit.open]
    across = (
        listed(open_edges)
        if open_edges
        else f"{format_cut(hit.from_near, units)} in from the edge toward the starting wall"
    )
    return f"{one.what}: {size}, {along}, {across}"
