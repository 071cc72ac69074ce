"""Grids and herringbones in words: how they lie and the lines they are set out by, with walls a person can measure from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from crewjobs.domain.job import Job
from crewjobs.domain.material import FloorKind, Material
from crewjobs.domain.pattern import Pattern
from crewjobs.domain.units import UnitSystem, format_cut
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.laying.frames import Wall
from crewjobs.engines.laying.mixed_lengths import MixedLayout
from crewjobs.engines.laying.model import Profile
from crewjobs.engines.laying.patterns import Through
from crewjobs.engines.laying.tile_cuts import Centred, RowCuts
from crewjobs.engines.laying.tiles import CRUMB, SLIVER
from crewjobs.engines.take_off.fields import HouseField
from crewjobs.engines.take_off.herringbone import HerringboneField, HerringboneFloor
from crewjobs.engines.take_off.rules import gap_of
from crewjobs.engines.take_off.set_out import extent_of, outermost
from crewjobs.engines.take_off.tiled import TiledField, TiledFloor

ROUNDED: Final = 2
"""Cuts that differ by no more (1/4064 inch) are alike."""
CLEARLY_MORE: Final = 0.05
"""A length taken by so much more of the running length than comes is pointed out; common practice, no source."""
_NAMES: Final = {
    Pattern.GRID: "a straight grid",
    Pattern.THIRD_OFFSET: "rows offset by a third",
    Pattern.DIAGONAL_GRID: "a grid at 45 degrees to the walls",
}


def wall_words(job: Job, field: HouseField, side: Wall) -> str:
    """Return the wall that lies farthest out on a side of the drawing: ``wall 4 of bath``."""
    room, wall = outermost(job, field, side)
    return f"wall {wall} of {room.name}"


def size_words(material: Material, units: UnitSystem) -> str:
    """Return the size of a plank or tile."""
    return f"{format_cut(material.plank_width, units)} x {format_cut(material.plank_length, units)}"


def tile_direction(job: Job, floor: TiledFloor, field: TiledField, units: UnitSystem) -> str:
    """Return how tiles lie in a field: ``bath: tiles 12" x 12" in a straight grid, joints 1/8" wide, …``."""
    joint = f", joints {format_cut(floor.tile.joint, units)} wide" if floor.tile.joint else ""
    rows = ""
    if not field.turned and (floor.tile.length != floor.tile.width or len(field.layout.rows) > 1):
        along = wall_words(job, field.house, Wall.TOP if field.runs.along_x else Wall.LEFT)
        rows = f", rows along {along} ({'as asked for' if field.runs.asked else 'the longer way'})"
    name = field.house.field.name
    return f"{name}: tiles {size_words(floor.material, units)} in {_NAMES[floor.material.pattern]}{joint}{rows}"


def tile_lines(job: Job, floor: TiledFloor, field: TiledField, units: UnitSystem) -> Iterator[str]:
    """Yield how a grid is set out: cuts at both walls each way, and the lines to snap."""
    if field.turned:
        yield from _diagonal_lines(job, field, units)
        return
    left, low, right, high = field.layout.extent
    near_x, far_x, near_y, far_y = _sides(field)
    x, y = field.layout.origin
    rows = field.layout.rows
    middle = field.layout.along_x.centred, field.layout.along_y.centred
    one = _Way(near_x, far_x, right - left, x - left, floor.tile.length, middle[0])
    yield _one_way(job, floor, field, one, rows, units)
    other = _Way(near_y, far_y, high - low, y - low, floor.tile.width, middle[1])
    yield _one_way(job, floor, field, other, (field.layout.across,), units)


class _Way(NamedTuple):
    """Between two facing walls: how far it is, where a tile begins, how long it is, and what is in the middle."""

    near: Wall
    far: Wall
    extent: int
    begins: int
    size: int
    centred: Centred


def _one_way(
    job: Job, floor: TiledFloor, field: TiledField, way: _Way, rows: tuple[RowCuts, ...], units: UnitSystem
) -> str:
    """Return cuts and the line to snap between two facing walls."""
    near, far = (wall_words(job, field.house, wall) for wall in (way.near, way.far))
    between = f"Between {near} and {far}:"
    if way.extent <= way.size:
        return f"{between} one tile cut to {format_cut(way.extent, units)}."
    if len(rows) > 1:
        ends = [f"{format_cut(row.left, units)} and {format_cut(row.right, units)}" for row in rows]
        first = wall_words(job, field.house, _sides(field)[2])
        cuts = f"rows 1 to 3 from {first} begin and end with {listed(ends, most=3)}, and so on"
    elif rows[0].left == rows[0].right == way.size:
        cuts = f"{counted(rows[0].whole + 2, 'tile')}, none cut"
    elif abs(rows[0].left - rows[0].right) <= ROUNDED:
        centred = "" if field.moved else f", {way.centred} in the middle"
        cuts = f"{format_cut(rows[0].left, units)} at both, {rows[0].whole} whole between{centred}"
    else:
        cuts = f"{format_cut(rows[0].left, units)} at {near}, {format_cut(rows[0].right, units)} at {far}, {rows[0].whole} whole between"
    pitch = way.size + floor.tile.joint
    begins = way.begins % pitch
    line = begins + max(0, round((way.extent / 2 - begins) / pitch)) * pitch
    row = " of row 1" if len(rows) > 1 else ""
    return (
        f"{between} {cuts}. A tile{row} begins {format_cut(floor.tile.gap + line, units)} from {near}: snap that line."
    )


def _sides(field: TiledField) -> tuple[Wall, Wall, Wall, Wall]:
    """Return the sides of the drawing at which a field's frame begins and ends along its rows, and across them."""
    if field.frame.wall is Wall.TOP:
        return Wall.LEFT, Wall.RIGHT, Wall.TOP, Wall.BOTTOM
    return Wall.BOTTOM, Wall.TOP, Wall.LEFT, Wall.RIGHT


def _diagonal_lines(job: Job, field: TiledField, units: UnitSystem) -> Iterator[str]:
    for axis, near, far in ((0, Wall.LEFT, Wall.RIGHT), (1, Wall.TOP, Wall.BOTTOM)):
        one, other = (wall_words(job, field.house, wall) for wall in (near, far))
        depth = field.edges[1 - axis]
        off = field.off[axis]
        moved = f", {format_cut(off, units)} from the middle" if off else ", in the middle"
        extent = extent_of(job, field.house, 0)
        low, high = extent[axis], extent[axis + 2]
        yield (
            f"Between {one} and {other}: corners of four tiles lie on a line {format_cut(round((high - low) / 2) + off, units)} "
            f"from {one}{moved}: snap it, tiles at 45 degrees to it; triangles at both walls are {format_cut(depth, units)} deep."
        )


def tile_counts(floor: TiledFloor, field: TiledField) -> str:
    """Return how many tiles a field takes, and all of this material."""
    one = field.layout
    return (
        f"{one.whole + one.shared} tiles here: {one.whole} whole, {one.cut} cut pieces out of {one.shared}, two from one where they fit "
        f"({one.tiles} if every piece takes a tile of its own); {floor.tiles} in all of this material."
    )


def tile_notes(floor: TiledFloor, field: TiledField, units: UnitSystem) -> Iterator[str]:
    """Yield what to look at before the first tile is set."""
    yield f"{format_cut(floor.tile.gap, units)} free at every wall. See that the two lines are square to each other (3-4-5) before a tile is set."
    if not field.turned and field.layout.narrowest < SLIVER:
        yield f"A cut at a jog, beside an island or in a doorway is {format_cut(field.layout.narrowest, units)} wide, however the grid is moved: look at it first."
    if field.layout.crumbs:
        yield (
            f"{counted(field.layout.crumbs, 'crumb')} of a tile under {format_cut(CRUMB, units)} deep at the walls are not counted: grout or "
            "caulk them (common practice, no source)."
        )
    if field.turned and field.layout.pairs:
        turn = (
            "a tile that is turned shows its pattern turned"
            if floor.tile.profile is Profile.NONE
            else "its two ends go to facing walls"
        )
        yield f"Two triangles come from opposite corners of one tile, a saw's cut between them: {turn}."
    if field.moved:
        yield "The grid lies off the middle: in the middle a jog, an island or a doorway would get a sliver."
    if floor.material.kind is not FloorKind.GLUED_VINYL and floor.material.pattern is not Pattern.THIRD_OFFSET:
        yield "Joints of all rows lie in one line: whether this click floor may be laid so is on its maker's sheet."


def herringbone_direction(job: Job, floor: HerringboneFloor, field: HerringboneField, units: UnitSystem) -> str:
    """Return how a herringbone lies: ``entry: planks 3" x 1' 6" in a herringbone, points along wall 1 of entry (…)``."""
    along = wall_words(job, field.house, Wall.TOP if field.runs.along_x else Wall.LEFT)
    why = "as asked for" if field.runs.asked else "the longer way"
    return f"{field.house.field.name}: planks {size_words(floor.material, units)} in a herringbone, points along {along} ({why})"


def herringbone_lines(job: Job, floor: HerringboneFloor, field: HerringboneField, units: UnitSystem) -> Iterator[str]:
    """Yield where the center line lies and what lies on it."""
    side = Wall.TOP if field.layout.along_x else Wall.LEFT
    room, wall = outermost(job, field.house, side)
    axis = 1 if field.layout.along_x else 0
    edge = min(field.house.place_of(room.name).to(corner)[axis] for corner in room.outline.corners)
    far = format_cut(round(field.layout.center - edge), units)
    yield f"Snap the center line {far} from wall {wall} of {room.name}, along it: it is the middle between the walls."
    off = format_cut(floor.working_line, units)
    if field.layout.through is Through.POINTS:
        yield (
            f"Ends of planks stand across the center line at 45 degrees: snap a line {off} to either side of it, the corners of "
            "planks touch these lines."
        )
    else:
        yield (
            "The center line runs through the middle of every plank it crosses, at 45 degrees to it: planks laid so along it "
            "are the first column."
        )


def herringbone_counts(floor: HerringboneFloor, field: HerringboneField) -> str:
    """Return how many planks a field takes, and all of this material."""
    one = field.layout
    return (
        f"{one.planks} planks here: {one.whole} whole, {one.cut} cut; {floor.planks} in all of this material. Every plank that touches the "
        "floor is counted, as offcuts are rarely of use again: fewer may do."
    )


def herringbone_notes(floor: HerringboneFloor, units: UnitSystem) -> Iterator[str]:
    """Yield what to look at before the first plank is set."""
    yield f"{format_cut(gap_of(floor.material), units)} free at every wall."
    if floor.material.kind is not FloorKind.GLUED_VINYL:
        yield "With tongue and groove, or click, left and right planks are needed, half of each: order them so."


def waste_words(share: float) -> str:
    """Return the waste of the rule of thumb."""
    return "a tenth" if abs(share - 0.1) < 1e-9 else f"{share * 100:g} %"


def area_words(share: float) -> str:
    """Return the rule of thumb by which cartons are counted: one of them stays in the house."""
    return f"area, {waste_words(share)} and one carton to keep"


def off_shares(material: Material, layout: MixedLayout, units: UnitSystem) -> Iterator[str]:
    """Say which length is taken in another share than the cartons bring it, so that boards of it run short."""
    total = sum(share for _, share in material.lengths)
    for length, share in material.lengths:
        taken, brought = layout.boards.get(length, 0) * length / max(1, layout.running), share / total
        if taken - brought > CLEARLY_MORE:
            yield (
                f"{taken:.0%} of the running length is boards of {format_cut(length, units)} here and {brought:.0%} of what comes: they run "
                "short, and rows come out otherwise."
            )
