"""Supplies the facts of a job imply: what of them, how much by which rule, and how sure that rule is.

The names are those of the load list (the catalogue's `supplies`), so that what is bought and what goes on the truck are one thing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import ceil
from types import MappingProxyType
from typing import Final

from crewjobs.domain.house import Covering, FixtureKind, Room, Subfloor, Transition, Trim
from crewjobs.domain.job import Job
from crewjobs.domain.material import FloorKind, Material, Method
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.estimating.places import floored_rooms, floored_stairs
from crewjobs.engines.estimating.quantities import (
    LB_PER_FT2,
    SHEET_FT2,
    TRIP_LB,
    base_length,
    leveler_bags,
    steps_ft2,
    whole_units,
)
from crewjobs.engines.estimating.rolls import roll_plan

COMMON: Final = "common practice, no source"
LABEL: Final = "common practice, no source; the label rules"
DERIVED: Final = "arithmetic from the tube's size"
LEVELER_DEPTH_IN: Final = 0.25
"""Leveler is bought for 1/4 in where no depth was measured; common practice, no source."""
PATCH_FT2: Final = 24.0
"""A 25 lb bag at 1/8 in; common practice, no source."""
SKIM_FT2: Final = 150.0
PRIMER_FT2: Final = 200.0
FELT_FT2: Final = 400.0
PAD_WIDTH_FT: Final = 4.0
TAPE_FT: Final = 100.0
SCREWS_A_SHEET: Final = 130
"""Every 6 in in the field and along the edges of a sheet of 4 by 8 ft; common practice, no source."""
CLEAT_SPACING: Final = 9 * INCH
"""Cleats 8 to 10 in apart along every board; common practice, no source."""
BEAD_FT: Final = 55.0
"""A tube of 10.1 fl oz (18.2 in³) in a bead of 3/16 in (0.0276 in²): 660 in. Derived."""
NAIL_SPACING_FT: Final = 16 / 12
GLUE_EDGE_FT: Final = 150.0
SEALER_FT: Final = 100.0
GLUE_JOINT_FT2: Final = 250.0
STEPS_A_TUBE: Final = 4
BOX: Final = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What is bought of one supply: `count` of a `unit`, the `rule` it was counted by, and how sure that is (`standing`)."""

    name: str
    count: int
    unit: str
    rule: str
    standing: str = COMMON


def supplies_of(job: Job, left: Mapping[str, Collection[Covering]] = MappingProxyType({})) -> tuple[Supply, ...]:
    """Return what a job's facts imply, in the order of the work; coverings that are `left`, by room, fill no bag."""
    return tuple(
        supply
        for supply in (
            *_demolition(job, left), *_prep(job), *_laying(job), *_sheets(job), *_stairs(job), *_trim(job), *_resets(job)
        )
        if supply.count > 0
    )  # fmt: skip


def _by_area(name: str, unit: str, area: float, cover: float, what: str, standing: str = COMMON) -> Iterator[Supply]:
    if area > 0:
        yield Supply(
            name=name,
            count=whole_units(area, cover),
            unit=unit,
            rule=f"{cover:g} ft² a {unit}{what}",
            standing=standing,
        )


def _demolition(job: Job, left: Mapping[str, Collection[Covering]]) -> Iterator[Supply]:
    if job.site.occupied:
        yield Supply(name="floor protection", count=1, unit="roll", rule="one in a house that is lived in")
    rooms = sum(
        LB_PER_FT2[layer.covering] * room.outline.area_ft2
        for room in floored_rooms(job)
        for layer in room.layers
        if layer.covering not in left.get(room.name, ())
    )
    stairs = sum(
        LB_PER_FT2[layer.covering] * steps_ft2(flight) for flight in floored_stairs(job) for layer in flight.layers
    )
    yield Supply(
        name="contractor bags",
        count=whole_units(rooms + stairs, TRIP_LB),
        unit="bag",
        rule=f"{TRIP_LB:g} lb of the old floor each",
    )


def _prep(job: Job) -> Iterator[Supply]:
    rooms = floored_rooms(job)
    yield from _by_area("patch", "bag", sum(room.patch_ft2 for room in rooms), PATCH_FT2, " of 25 lb at 1/8 in", LABEL)
    leveled = sum(room.level_ft2 for room in rooms)
    yield from _by_area("primer", "gallon", leveled, PRIMER_FT2, "", LABEL)
    if leveled:
        yield Supply(
            name="leveler", count=leveler_bags(leveled, LEVELER_DEPTH_IN), unit="bag",
            rule="0.45 ft³ a bag of 50 lb at 1/4 in: measure the depth", standing=LABEL,
        )  # fmt: skip
    wood = sum(whole_units(room.net_ft2, SHEET_FT2) for room in rooms if room.add_plywood)
    yield Supply(
        name="fasteners", count=whole_units(wood * SCREWS_A_SHEET, BOX), unit="box",
        rule=f"about {SCREWS_A_SHEET} a sheet of plywood, {BOX} in a box",
    )  # fmt: skip


def _laying(job: Job) -> Iterator[Supply]:
    padded = sum(room.net_ft2 for room in floored_rooms(job) if room.pad)
    if padded:
        yield Supply(
            name="seam tape", count=whole_units(padded / PAD_WIDTH_FT, TAPE_FT), unit="roll",
            rule=f"seams of pad {PAD_WIDTH_FT:g} ft wide, {TAPE_FT:g} ft a roll",
        )  # fmt: skip
    planks = [material for material in job.materials if not material.is_sheet]
    if any(material.method is not Method.GLUED and _area(job, material) for material in planks):
        yield Supply(name="spacers", count=1, unit="bag", rule="one where a gap is left at the walls")
    nailed = [material for material in planks if material.method is Method.NAILED]
    yield from _by_area("felt or paper", "roll", sum(_area(job, one) for one in nailed), FELT_FT2, "")
    cleats = sum(_area(job, one) * FOOT * FOOT / (one.plank_width * CLEAT_SPACING) for one in nailed)
    yield Supply(
        name="cleats", count=ceil(cleats / BOX), unit="box", rule=f"one every 9 in of every board, {BOX} in a box"
    )
    floating = [one for one in planks if one.kind is FloorKind.ENGINEERED_WOOD and one.method is Method.FLOATING]
    yield from _by_area(
        "joint glue",
        "bottle",
        sum(_area(job, one) for one in floating),
        GLUE_JOINT_FT2,
        ", where the joint is glued",
        LABEL,
    )


def _sheets(job: Job) -> Iterator[Supply]:
    for material in job.materials:
        rooms = [room for room in floored_rooms(job) if room.floor == material.name]
        if not material.is_sheet or not rooms:
            continue
        yield from _by_area(
            "patch", "bag", sum(room.net_ft2 for room in rooms), SKIM_FT2, ", to skim under a sheet", LABEL
        )
        seams = sum(floor.seams for floor in roll_plan(rooms, material, job.openings).floors) / FOOT
        edges = sum(room.outline.perimeter for room in rooms) / FOOT
        if material.method is Method.PERIMETER:
            yield Supply(
                name="adhesive", count=whole_units(edges + seams, GLUE_EDGE_FT), unit="gallon",
                rule=f"{GLUE_EDGE_FT:g} ft of wall and seam a gallon", standing=LABEL,
            )  # fmt: skip
        yield Supply(
            name="seam sealer and applicator", count=whole_units(seams, SEALER_FT), unit="kit",
            rule=f"{SEALER_FT:g} ft of seam a kit", standing=LABEL,
        )  # fmt: skip


def _stairs(job: Job) -> Iterator[Supply]:
    steps = sum(flight.steps for flight in floored_stairs(job))
    yield Supply(
        name="construction adhesive", count=whole_units(steps, STEPS_A_TUBE), unit="tube",
        rule=f"{STEPS_A_TUBE} steps a tube",
    )  # fmt: skip


def _trim(job: Job) -> Iterator[Supply]:
    floored = {room.name for room in floored_rooms(job)}
    strips = [
        opening
        for opening in job.openings
        if floored & {*opening.between} and opening.transition not in (Transition.CONTINUOUS, Transition.THRESHOLD)
    ]
    yield Supply(
        name="transition strips and track",
        count=len(strips),
        unit="set",
        rule="track and screws for every strip but thresholds",
    )
    slab = any(room.subfloor is Subfloor.SLAB for room in floored_rooms(job))
    if strips and slab:
        yield Supply(
            name="construction adhesive", count=1, unit="tube", rule="tracks on a slab, where they are not screwed"
        )
    feet = sum(_wall_feet(job, room) for room in floored_rooms(job) if room.trim is not Trim.NONE)
    if feet:
        yield Supply(
            name="nails", count=whole_units(2 * feet / NAIL_SPACING_FT, BOX), unit="box",
            rule=f"two every 16 in along {feet:.0f} ft of wall, {BOX} in a box",
        )  # fmt: skip
        yield Supply(
            name="caulk gun and caulk", count=whole_units(feet, BEAD_FT), unit="tube",
            rule=f"{feet:.0f} ft of wall in a bead of 3/16 in, {BEAD_FT:g} ft a tube", standing=DERIVED,
        )  # fmt: skip
        yield Supply(name="filler", count=1, unit="tub", rule="nail holes")


def _resets(job: Job) -> Iterator[Supply]:
    toilets = _fixtures(floored_rooms(job), FixtureKind.TOILET)
    rule = "one every time the bowl lifts, never reused"
    yield Supply(
        name="new wax ring",
        count=toilets,
        unit="piece",
        rule=f"{rule}; look at the flange's height for an extra-thick one",
    )
    yield Supply(name="closet bolts", count=toilets, unit="set", rule="one a toilet")
    plumbed = (
        FixtureKind.TOILET,
        FixtureKind.PEDESTAL_SINK,
        FixtureKind.DISHWASHER,
        FixtureKind.HARD_WIRED_DISHWASHER,
        FixtureKind.WASHER,
    )
    lines = sum(_fixtures(floored_rooms(job), kind) for kind in plumbed)
    yield Supply(
        name="supply lines",
        count=lines,
        unit="piece",
        rule="at hand for every fixture: old ones are looked at, not trusted",
    )


def _fixtures(rooms: Iterable[Room], kind: FixtureKind) -> int:
    return sum(room.has(kind) for room in rooms)


def _area(job: Job, material: Material) -> float:
    return sum(room.net_ft2 for room in floored_rooms(job) if room.floor == material.name)


def _wall_feet(job: Job, room: Room) -> float:
    widths = [opening.width for opening in job.openings if room.name in opening.between]
    return base_length(room.outline.walls, widths) / FOOT
