"""Grids and herringbones in words: how they lie and the lines they are set out by, with walls a person can measure from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from crewjobs.domain.job import Job
from crewjobs.domain.material import FloorKind, Material
from crewjobs.domain.pattern import Pattern
from crewjobs.domain.units import INCH, UnitSystem, exact_length, format_length
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.laying.frames import Wall
from crewjobs.engines.laying.patterns import Through
from crewjobs.engines.laying.tiles import Centred, RowCuts
from crewjobs.engines.take_off.fields import HouseField
from crewjobs.engines.take_off.herringbone import HerringboneField, HerringboneFloor
from crewjobs.engines.take_off.rules import gap_of
from crewjobs.engines.take_off.set_out import extent_of, outermost
from crewjobs.engines.take_off.tiled import TiledField, TiledFloor

SLIVER: Final = 2 * INCH
"""A cut tile narrower than this is pointed out; common practice, no source."""
_NAMES: Final = {
    Pattern.GRID: "a straight grid",
    Pattern.THIRD_OFFSET: "rows offset by a third",
    Pattern.DIAGONAL_GRID: "a grid at 45 degrees to the walls",
}


def wall_words(job: Job, field: HouseField, side: Wall) -> str:
    """Return the wall that lies farthest out on a side of the drawing: ``wall 4 of bath``."""
    room, wall = outermost(job, field, side)
    return f"wall {wall} of {room.name}"


def size_words(material: Material) -> str:
    """Return the size of a plank or tile."""
    return f"{exact_length(material.plank_width)} x {exact_length(material.plank_length)}"


def tile_direction(job: Job, floor: TiledFloor, field: TiledField, units: UnitSystem) -> str:
    """Return how tiles lie in a field: ``bath: tiles 12" x 12" in a straight grid, joints 1/8" wide, …``."""
    joint = f", joints {format_length(floor.tile.joint, units)} wide" if floor.tile.joint else ""
    rows = ""
    if not field.turned and (floor.tile.length != floor.tile.width or len(field.layout.rows) > 1):
        along = wall_words(job, field.house, Wall.TOP if field.runs.along_x else Wall.LEFT)
        rows = f", rows along {along} ({'as asked for' if field.runs.asked else 'the longer way'})"
    name = field.house.field.name
    return f"{name}: tiles {size_words(floor.material)} in {_NAMES[floor.material.pattern]}{joint}{rows}"


def tile_lines(job: Job, floor: TiledFloor, field: TiledField, units: UnitSystem) -> Iterator[str]:
    """Yield how a grid is set out: cuts at both walls each way, and the lines to snap."""
    if field.turned:
        yield from _diagonal_lines(job, field, units)
        return
    left, low, _, _ = field.layout.extent
    near_x, far_x, near_y, far_y = _sides(field)
    x, y = field.layout.origin
    tile, rows = floor.tile, field.layout.rows
    yield from _one_way(
        job, floor, field, rows, (near_x, far_x), (x - left, tile.length, field.layout.along_x.centred), units
    )
    across = field.layout.along_y
    one = RowCuts(across.width, across.width, across.whole)
    yield from _one_way(job, floor, field, (one,), (near_y, far_y), (y - low, tile.width, across.centred), units)


def _one_way(
    job: Job,
    floor: TiledFloor,
    field: TiledField,
    rows: tuple[RowCuts, ...],
    walls: tuple[Wall, Wall],
    at: tuple[int, int, Centred],
    units: UnitSystem,
) -> Iterator[str]:
    """Yield cuts and lines between two facing walls: `at` is where a tile begins, how long it is, and what is centred."""
    begins, size, centred = at
    near, far = (wall_words(job, field.house, wall) for wall in walls)
    pitch, gap = size + floor.tile.joint, floor.tile.gap
    left, _, right, _ = field.layout.extent
    extent = right - left if walls[0] is _sides(field)[0] else field.layout.extent[3] - field.layout.extent[1]
    if extent <= size:
        yield f"Between {near} and {far}: one tile cut to {format_length(extent, units)}."
        return
    if len(rows) == 1:
        row = rows[0]
        cuts = (
            f"{counted(row.whole + 2, 'tile')}, none cut"
            if row.left == row.right == size
            else f"{format_length(row.left, units)} at both, {row.whole} whole between, {centred} in the middle"
        )
    else:
        ends = [f"{format_length(row.left, units)} and {format_length(row.right, units)}" for row in rows]
        cuts = f"rows 1 to 3 from {wall_words(job, field.house, _sides(field)[2])} begin and end with {listed(ends, most=3)}, and so on"
    first = begins % pitch
    middle = first + max(0, round((extent / 2 - first) / pitch)) * pitch
    yield (
        f"Between {near} and {far}: {cuts}. A tile{' of row 1' if len(rows) > 1 else ''} begins {format_length(gap + middle, units)} from "
        f"{near}: snap that line."
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
        moved = f", {format_length(off, units)} from the middle" if off else ", in the middle"
        extent = extent_of(job, field.house, 0)
        low, high = extent[axis], extent[axis + 2]
        yield (
            f"Between {one} and {other}: corners of four tiles lie on a line {format_length(round((high - low) / 2) + off, units)} "
            f"from {one}{moved}: snap it, tiles at 45 degrees to it; triangles at both walls are {format_length(depth, units)} deep."
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
    yield f"{format_length(floor.tile.gap, units)} free at every wall. See that the two lines are square to each other (3-4-5) before a tile is set."
    if not field.turned and field.layout.narrowest < SLIVER:
        yield f"A cut at a jog or in a doorway is {format_length(field.layout.narrowest, units)} wide: look whether the grid should move."
    if floor.material.kind is not FloorKind.GLUED_VINYL and floor.material.pattern is not Pattern.THIRD_OFFSET:
        yield "Joints of all rows lie in one line: whether this click floor may be laid so is on its maker's sheet."


def herringbone_direction(job: Job, floor: HerringboneFloor, field: HerringboneField) -> str:
    """Return how a herringbone lies: ``entry: planks 3" x 1' 6" in a herringbone, points along wall 1 of entry (…)``."""
    along = wall_words(job, field.house, Wall.TOP if field.runs.along_x else Wall.LEFT)
    why = "as asked for" if field.runs.asked else "the longer way"
    return (
        f"{field.house.field.name}: planks {size_words(floor.material)} in a herringbone, points along {along} ({why})"
    )


def herringbone_lines(job: Job, floor: HerringboneFloor, field: HerringboneField, units: UnitSystem) -> Iterator[str]:
    """Yield where the center line lies and what lies on it."""
    side = Wall.TOP if field.layout.along_x else Wall.LEFT
    room, wall = outermost(job, field.house, side)
    axis = 1 if field.layout.along_x else 0
    edge = min(field.house.place_of(room.name).to(corner)[axis] for corner in room.outline.corners)
    far = format_length(round(field.layout.center - edge), units)
    yield f"Snap the center line {far} from wall {wall} of {room.name}, along it: it is the middle between the walls."
    off = format_length(floor.working_line, units)
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
    yield f"{format_length(gap_of(floor.material), units)} free at every wall."
    if floor.material.kind is not FloorKind.GLUED_VINYL:
        yield "With tongue and groove, or click, left and right planks are needed, half of each: order them so."


def waste_words(share: float) -> str:
    """Return the waste of the rule of thumb."""
    return "a tenth" if abs(share - 0.1) < 1e-9 else f"{share * 100:g} %"
