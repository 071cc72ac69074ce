"""Rows at 45 degrees in words: the corner they begin at, where to stand, what a length of a slanted piece is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import Job
from crewjobs.domain.units import UnitSystem, format_cut
from crewjobs.domain.wording import counted
from crewjobs.engines.laying.directions import WallReason, WayReason
from crewjobs.engines.laying.fixtures import cut_outs
from crewjobs.engines.laying.model import Layout
from crewjobs.engines.take_off.diagonal import corner_of, turned_to
from crewjobs.engines.take_off.floors import HouseFloor
from crewjobs.services.laying.layout_rows import LayoutView
from crewjobs.services.laying.wall_words import wall_legends

SLANTED: Final = "A piece at a wall is cut at 45 degrees: its length is that of its longer edge."
_WHY: Final = {
    WayReason.ASKED: "as asked for",
    WayReason.FEWEST_ROWS: "fewer rows than from another corner",
}


def corner_words(job: Job, house: HouseFloor, field: int) -> str:
    """Return the corner at which rows begin: ``the corner of walls 4 and 1 of den``."""
    room, wall = corner_of(job, house.fields[field], house.directions[field].wall)
    before = wall - 1 or len(job.room(room).outline.walls)
    return f"the corner of walls {before} and {wall} of {room}"


def diagonal_direction(job: Job, house: HouseFloor, field: int, units: UnitSystem) -> str:
    """Return how rows at 45 degrees run: from which corner and why, and how far from it the first joint of rows lies."""
    way, widths = house.directions[field], house.floor.fields[field].rips.widths
    reason = _WHY.get(
        way.way,
        "fewer slivers than from another corner"
        if way.why_wall is WallReason.FEWEST_SLIVERS
        else "any corner would do",
    )
    return (
        f"{house.fields[field].field.name}: {counted(len(widths), 'row')} at 45 degrees from {corner_words(job, house, field)} "
        f"({reason}), the first row to a line {format_cut(widths[0], units)} from that corner of the floor, square to the diagonal"
    )


def diagonal_first(job: Job, house: HouseFloor, field: int) -> str:
    """Return where to stand, and which way rows are laid."""
    room, _ = corner_of(job, house.fields[field], house.directions[field].wall)
    return (
        f"Stand in {room} facing {corner_words(job, house, field)}: row 1 lies across it, at 45 degrees to the walls, every row "
        "from your left to your right."
    )


def with_walls(job: Job, view: LayoutView, units: UnitSystem) -> LayoutView:
    """Return the view of a floor at 45 degrees with which number is which wall, others as they are."""
    if SLANTED not in view.notes:
        return view
    return replace(view, notes=(*wall_legends(job, view.rooms, units), *view.notes))


def diagonal_cut_outs(
    job: Job, house: HouseFloor, layout: Layout, field: int, units: UnitSystem
) -> Mapping[int, tuple[str, ...]]:
    """Return by piece what comes through it: where its middle is. It stands square to the walls, at 45 degrees to the plank."""
    told: dict[int, list[str]] = defaultdict(list)
    for place in house.fields[field].rooms:
        for one in job.room(place.room).cut_outs:
            x, y = turned_to(place.to(one.at))
            try:
                hit = cut_outs(house.floor, layout, field, (round(x), round(y)))[0]
            except Refused:  # in the gap at a wall, or in a doorway left out: no plank lies there
                continue
            size = f"{format_cut(one.size[0], units)} x {format_cut(one.size[1], units)}"
            left = hit.from_left <= hit.from_right
            along = format_cut(min(hit.from_left, hit.from_right), units)
            told[hit.piece].append(
                f"{one.what}: its middle {along} from its {'left' if left else 'right'} end, "
                f"{format_cut(hit.from_near, units)} in from the edge toward the starting corner; {size}, square to the walls: it may "
                "reach into the planks beside"
            )
    return {piece: tuple(words) for piece, words in told.items()}
