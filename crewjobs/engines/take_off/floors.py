"""A material's floor in a house: its fields, which way their rows run and why, and layouts kept and told again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import sha256
from math import hypot
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.floor_layout import FloorLayout, PlannedAnew
from crewjobs.domain.house import Opening, Room
from crewjobs.domain.job import Job
from crewjobs.domain.layout import Direction as Runs
from crewjobs.domain.material import FloorKind, Material, Method
from crewjobs.domain.pattern import AT_45, Pattern
from crewjobs.domain.units import INCH, quoted
from crewjobs.domain.wording import listed
from crewjobs.engines.laying.cut_list import plank_numbers
from crewjobs.engines.laying.directions import Direction, Surroundings, WallReason, propose
from crewjobs.engines.laying.floors import Floor, Laid, floor_of
from crewjobs.engines.laying.frames import Wall
from crewjobs.engines.laying.layouts import least_stagger, pieces_of
from crewjobs.engines.laying.model import Layout, Point, Status
from crewjobs.engines.laying.model import Piece as LaidPiece
from crewjobs.engines.laying.patterns import turned
from crewjobs.engines.laying.replanning import moved, offcuts_after, replan, to_far_wall
from crewjobs.engines.laying.stairs import count_stairs
from crewjobs.engines.take_off.diagonal import propose_diagonal
from crewjobs.engines.take_off.fields import HouseField, Placed, Vector, fields_of, outward
from crewjobs.engines.take_off.parts import laid_with, line_between, onward, spots_of, stages_of
from crewjobs.engines.take_off.rules import carton_words, product_of

RECKONED: Final = 3
"""Raised where rows are made another way, so that layouts kept before are found anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseFloor:
    """All fields of a material with the direction of each, and the floor they make.

    `opened` is the last number a plank has on cut lists before, where the rest was planned anew.
    """

    material: Material
    fields: tuple[HouseField, ...]
    directions: tuple[Direction, ...]
    floor: Floor
    taken_as: tuple[str, ...]
    opened: int = 0

    @property
    def turned(self) -> bool:
        """Return whether rows run at 45 degrees: the floor's fields are turned then, and walls are sides of the turned field."""
        return self.material.pattern in AT_45

    def start_of(self, job: Job, field: int) -> tuple[str, int]:
        """Return the room and its wall (counted from 1) along which a field's first row lies: the outermost, of those the longest."""
        here, rows = self.fields[field], self.floor.fields[field]
        walls = []
        for place in here.rooms:
            outline = job.room(place.room).outline
            for wall, (length, ends) in enumerate(zip(outline.walls, outline.sides, strict=True), 1):
                if side_of(here, job.room(place.room), wall) is self.directions[field].wall:
                    middle = [sum(point[axis] for point in map(place.to, ends)) / 2 for axis in (0, 1)]
                    _, away = rows.frame.to((round(middle[0]), round(middle[1])))
                    walls.append((round(away / INCH), -length, place.room, wall))
        _, _, name, wall = min(walls)
        return name, wall

    def wall_at(self, job: Job, field: int, point: Point) -> tuple[str, int]:
        """Return the room and its wall (counted from 1) that a point of a field's outline lies on, or nearest to."""
        found = []
        for place in self.fields[field].rooms:
            for wall, ends in enumerate(job.room(place.room).outline.sides, 1):
                found.append((_away(point, *map(place.to, ends)), place.room, wall))
        _, room, wall = min(found)
        return room, wall

    def field_of(self, room: str) -> int:
        """Return the number of the field a room is part of."""
        return next(n for n, field in enumerate(self.fields) if any(one.room == room for one in field.rooms))


def house_floor(job: Job, material: Material, *, begun: Sequence[str] = ()) -> HouseFloor:
    """Return a material's floor in a house, with each field's direction as the lead said, else as proposed.

    `begun` are the sides at which rows of a layout that was kept begin: what lies already stays where it is.

    Raises:
        Refused: rooms or rules that cannot be laid: which, and what can be changed.
    """
    product, taken_as = product_of(material), [*filter(None, [carton_words(material)])]
    fields = fields_of(job, material.name, taken_as)
    directions, diagonal = [], material.pattern in AT_45
    for number, field in enumerate(fields):
        rooms = {one.room: job.room(one.room) for one in field.rooms}
        if diagonal:
            corner = next(((room, room.start_wall) for room in rooms.values() if room.start_wall), None)
            directions.append(propose_diagonal(product, field, corner))
            taken_as += [
                f"{room.name}: rows {room.rows} were asked for; laid diagonally they run at 45 degrees to the walls"
                for room in rooms.values()
                if room.rows
            ]
            continue
        asked = next((side_of(field, room, room.start_wall) for room in rooms.values() if room.start_wall), None)
        along = next((along_x(field, room, room.rows) for room in rooms.values() if room.rows), None)
        taken_as += _joists_differ(material, field, rooms)
        around, doorways = _around(job, material, field, rooms), field.doorways
        way = propose(product, field.field, around, along_x=along, wall=asked, doorways=doorways)
        if len(begun) == len(fields) and begun[number] != way.wall:
            kept_wall = Wall(begun[number])
            way = replace(
                propose(product, field.field, Surroundings(), wall=kept_wall, doorways=doorways),
                why_wall=WallReason.KEPT,
            )
        directions.append(way)
    laid = [
        Laid(
            field=turned(field.field) if diagonal else field.field,
            wall=way.wall,
            doorways=frozenset() if diagonal else field.doorways,
        )
        for field, way in zip(fields, directions, strict=True)
    ]
    return HouseFloor(
        material=material,
        fields=fields,
        directions=tuple(directions),
        floor=floor_of(product, laid),
        taken_as=tuple(taken_as),
    )


def _away(point: Point, one: Vector, other: Vector) -> float:
    """Return how far a point lies from a line between two others."""
    along = (other[0] - one[0], other[1] - one[1])
    length = hypot(*along)
    part = ((point[0] - one[0]) * along[0] + (point[1] - one[1]) * along[1]) / length**2
    part = max(0.0, min(1.0, part))
    return hypot(point[0] - one[0] - part * along[0], point[1] - one[1] - part * along[1])


def basis_of(job: Job, material: Material) -> str:
    """Return a hash of all that a layout hangs on, a dot, and one of the order its parts are worked in.

    The first differs once rooms, openings or the plank were changed.
    """
    rooms = [room for room in job.rooms if room.floor == material.name]
    names = {room.name for room in rooms}
    seen = (
        RECKONED,
        [(r.name, r.outline.corners, r.joists, r.rows, r.start_wall, r.window_wall, r.obstacles) for r in rooms],
        [
            (o.between, o.width, o.transition, o.walls, o.offsets, o.throat)
            for o in job.openings
            if names & {*o.between}
        ],
        product_of(material),
        material.kind,
        material.method,
        *([material.pattern] if material.pattern is not Pattern.STRAIGHT else []),
    )
    worked = [(r.name, section.name, job.stage_of(r.name, section.name)) for r in rooms for section in r.sections]
    firsts = {stage: n for n, stage in enumerate(sorted({stage for *_, stage in worked}))}
    order = [(room, part, firsts[stage]) for room, part, stage in worked]
    return f"{_hash(seen)}.{_hash(order)}"


def is_current(one: FloorLayout, job: Job, material: Material) -> bool:
    """Return whether a layout that was kept is of the rooms as they are, and of the order they are worked in unless it is begun."""
    basis = basis_of(job, material)
    return one.basis == basis or (bool(one.anew) and one.basis.split(".")[0] == basis.split(".")[0])


def _hash(seen: object) -> str:
    return sha256(repr(seen).encode()).hexdigest()[:12]


def kept(job: Job, house: HouseFloor, layout: Layout, at: datetime) -> FloorLayout:
    """Return a layout as it is kept with the job."""
    return FloorLayout(
        material=house.material.name,
        at=at,
        walls=tuple(str(way.wall) for way in house.directions),
        starts=layout.starts,
        planks=tuple(piece.plank for piece in layout.pieces),
        count=layout.planks,
        bound=layout.bound,
        basis=basis_of(job, house.material),
    )


def stages_laid(job: Job, house: HouseFloor, layout: Layout) -> dict[int, int]:
    """Return by piece the stage it is laid in."""
    lies = spots_of(job, house.fields, house.floor, layout, diagonal=house.turned)
    return stages_of(job, laid_with(house.floor, layout, lies, lambda spot: job.stage_of(*spot)))


def numbers_of(job: Job, house: HouseFloor, layout: Layout) -> dict[int, int]:
    """Return what the planks of a layout are called on its cut list."""
    return plank_numbers(house.floor, layout, stages_laid(job, house, layout), house.opened)


def told_again(job: Job, house: HouseFloor, one: FloorLayout) -> tuple[HouseFloor, Layout]:
    """Return a layout that was kept, piece by piece, with the floor it is of: what was planned anew since included."""
    layout = _layout(house.floor, one.starts, one.planks, one.count, one.bound)
    laid: dict[int, int] = {}
    for anew in one.anew:
        house, _ = rest_of(job, house, layout, laid, anew.field, anew.rows, right=anew.right, far=anew.far)
        laid[anew.field] = anew.rows
        layout = _layout(house.floor, anew.starts, anew.planks, anew.count, anew.bound)
    return house, layout


def parts_of_rows(job: Job, house: HouseFloor, layout: Layout, field: int, rows: int) -> int:
    """Return through how many parts the first rows of a field run, where a row of them runs through more than one; else 0."""
    stages, runs = stages_laid(job, house, layout), house.floor.problem.runs
    found: dict[int, set[int]] = {}
    for number, piece in enumerate(layout.pieces):
        run = runs[piece.run]
        if run.field == field and run.row < rows:
            found.setdefault(run.row, set()).add(stages[number])
    return max((len(parts) for parts in found.values() if len(parts) > 1), default=0)


def rest_of(
    job: Job,
    house: HouseFloor,
    layout: Layout,
    laid: Mapping[int, int],
    field: int,
    rows: int,
    *,
    right: int,
    far: int,
) -> tuple[HouseFloor, tuple[int, ...]]:
    """Return the floor that is left once so many rows of a field lie, its walls where they were measured, and first pieces planned.

    `laid` are rows of fields laid at an earlier time.

    Raises:
        Refused: more rows than there are, walls so far off that rows lie outside, or nothing is left to lay.
    """
    floor, numbers = house.floor, numbers_of(job, house, layout)
    here, lie = floor.fields[field], {**laid, field: rows}
    measured = moved(here, rows, right=right, far=far) if right or far else here.field
    at_hand = offcuts_after(floor, layout, lie, numbers)
    rest = replan(floor, layout, lie, fields={field: measured}, offcuts=at_hand)
    runs = floor.problem.runs
    used = [
        numbers[piece.plank]
        for piece in layout.pieces
        if piece.plank >= 0 and runs[piece.run].row < lie.get(runs[piece.run].field, 0)
    ]
    return replace(house, floor=rest.floor, opened=max([house.opened, *used])), rest.starts


def planned_anew(layout: Layout, field: int, rows: int, *, right: int, far: int) -> PlannedAnew:
    """Return a layout of the rest of a floor as it is kept."""
    return PlannedAnew(
        field=field,
        rows=rows,
        right=right,
        far=far,
        starts=layout.starts,
        planks=tuple(piece.plank for piece in layout.pieces),
        count=layout.planks,
        bound=layout.bound,
    )


def wall_to_wall(floor: Floor, field: int, row: int) -> tuple[int, int]:
    """Return how long a row (from 0) is from wall to wall by the layout, and how far its near edge is from the wall across from it.

    Raises:
        Refused: there is no such row.
    """
    rows, gap = floor.fields[field], floor.problem.product.gap
    runs = [run for _, run in floor.runs_of(field) if run.row == row]
    count = len(rows.rips.widths)
    if not runs:
        last = f"row {row} is its last: the floor lies" if row == count else f"there is no row {row}"
        raise Refused(f"{quoted(rows.field.name)} has {count} rows: {last}.")
    across = max(run.right for run in runs) - min(run.left for run in runs) + 2 * gap
    return across, to_far_wall(rows, row)


def _layout(floor: Floor, starts: tuple[int, ...], numbers: tuple[int, ...], count: int, bound: int) -> Layout:
    problem, planks = floor.problem, iter(numbers)
    pieces = tuple(
        LaidPiece(run=number, kind=kind, left=left, right=right, plank=next(planks))
        for number, (run, start) in enumerate(zip(problem.runs, starts, strict=True))
        if run.laid is None
        for kind, left, right in pieces_of(problem.product, run, start)
    )
    return Layout(
        status=Status.PROVED if count <= bound else Status.FOUND,
        starts=starts,
        pieces=pieces,
        planks=count,
        bound=bound,
        stagger=least_stagger(problem, starts, 1),
        second=least_stagger(problem, starts, 2),
        stairs=count_stairs(problem, starts),
    )


def _joists_differ(material: Material, field: HouseField, rooms: Mapping[str, Room]) -> Iterator[str]:
    """Say of nailed solid wood that joists of rooms on one floor run differently: rows cross those of the largest room."""
    if material.kind is not FloorKind.SOLID_WOOD or material.method is not Method.NAILED:
        return
    said = sorted((room for room in rooms.values() if room.joists), key=lambda room: -room.outline.area_ft2)
    along = [room.name for room in said if along_x(field, room, room.joists) != along_x(field, said[0], said[0].joists)]
    if along:
        yield (
            f"the joists under {listed(along, most=6)} run with the rows, as rows cross those of {said[0].name}: what the maker wants "
            "under such a floor is looked up first"
        )


def _around(job: Job, material: Material, field: HouseField, rooms: Mapping[str, Room]) -> Surroundings:
    largest = sorted(rooms.values(), key=lambda room: -room.outline.area_ft2)
    joists = next((along_x(field, room, room.joists) for room in largest if room.joists), None)
    light = next((side_of(field, room, room.window_wall) for room in rooms.values() if room.window_wall), None)
    line = line_between(job, field)
    return Surroundings(
        solid=material.kind is FloorKind.SOLID_WOOD and material.method is Method.NAILED,
        joists_along_x=joists,
        light=light,
        doorways=tuple(_doorways(job.openings, field, rooms)),
        onward=onward(job, field),
        parts_along_x=abs(line[0]) >= abs(line[1]) if line is not None else None,
    )


def _doorways(openings: tuple[Opening, ...], field: HouseField, rooms: Mapping[str, Room]) -> Iterator[Wall]:
    for opening in openings:
        inside = [name in rooms for name in opening.between]
        if all(inside):
            continue
        for side in (0, 1):
            if inside[side] and opening.walls[side]:
                yield side_of(field, rooms[opening.between[side]], opening.walls[side])


def side_of(field: HouseField, room: Room, wall: int) -> Wall:
    """Return on which side of the field's drawing a wall of a room lies."""
    x, y = field.place_of(room.name).turned(outward(room.outline, wall))
    if abs(x) > abs(y):
        return Wall.RIGHT if x > 0 else Wall.LEFT
    return Wall.BOTTOM if y > 0 else Wall.TOP


def along_x(field: HouseField, room: Room, runs: Runs) -> bool:
    """Return whether what runs along a room's first wall, or across it, runs along the field's x."""
    place: Placed = field.place_of(room.name)
    (x0, y0), (x1, y1) = room.outline.corners[:2]
    first: Vector = place.turned((x1 - x0, y1 - y0))
    return (abs(first[0]) >= abs(first[1])) == (runs is Runs.ALONG)
