"""Planning anew from the row laid: what is on the floor stays, what was cut is kept, the rest is laid to the walls as they are.

Walls that turned out elsewhere are moved in the outline (`moved`), in the frame of the field: the one at the right of the row
that was measured, and the one across from it. Rows laid keep their widths and joints; the last row takes what is left, be it narrower than the rules like it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from crewjobs.domain.bounds import WIDEST_OPENING
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH, format_length, quoted
from crewjobs.engines.laying.cut_list import plank_numbers, rests
from crewjobs.engines.laying.floors import LEAST_STRIP, FieldRows, Floor, Laid, beyond_walls, floor_of, into_doorways
from crewjobs.engines.laying.geometry import depth, inset, runs_of
from crewjobs.engines.laying.model import Field, Kind, Layout, Offcut, Point, Problem, Product, Run
from crewjobs.engines.laying.rows import RipReason, Rips, widths_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Replan:
    """The floor to lay from here on, and the first pieces planned before, for a search to begin with.

    `narrow` is the width of a last row under the limit, None where it keeps it.
    """

    floor: Floor
    starts: tuple[int, ...]
    narrow: int | None


def moved(rows: FieldRows, row: int, *, right: int = 0, far: int = 0) -> Field:
    """Return the field with the wall at the right end of a row, and the one across from it, moved outwards by so much.

    Inwards where negative; 1/4064 inch. Right and far are as seen by who faces the starting wall with the rows laid between. A
    wall is moved as a whole, its doorways with it; walls of other rooms and those set back stay.
    """
    corners = [rows.frame.to(point) for point in rows.field.outline]
    found = [*corners]
    if right:
        for i in _along(rows, corners, _right_wall(corners, rows, row), 0):
            found[i] = found[i][0] + right, found[i][1]
    if far:
        for i in _along(rows, corners, _far_wall(corners, rows, row), 1):
            found[i] = found[i][0], found[i][1] + far
    return replace(rows.field, outline=tuple(rows.frame.back(point) for point in found))


def to_far_wall(rows: FieldRows, row: int) -> int:
    """Return how far it is from the near edge of a row to the wall across from it (1/4064 inch)."""
    corners = [rows.frame.to(point) for point in rows.field.outline]
    i = _far_wall(corners, rows, row)
    return (corners[i][1] + corners[(i + 1) % len(corners)][1]) // 2 - rows.row_at(row)[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class FarWall:
    """The wall across from a row that a measure goes to: its middle (in the field, 1/4064 inch), and what makes that worth saying.

    `slanted`: how far it is differs along it; `several`: other walls face the row, too, nearer or farther.
    """

    middle: Point
    slanted: bool
    several: bool


def far_wall(rows: FieldRows, row: int) -> FarWall:
    """Return the wall that `to_far_wall` measures to.

    Raises:
        Refused: there is none.
    """
    corners = [rows.frame.to(point) for point in rows.field.outline]
    i = _far_wall(corners, rows, row)
    (x0, y0), (x1, y1) = corners[i], corners[(i + 1) % len(corners)]
    others = {round((a[1] + b[1]) / 2) for _, a, b in _facing(corners, rows, row)}
    return FarWall(
        middle=rows.frame.back(((x0 + x1) // 2, (y0 + y1) // 2)),
        slanted=abs(y1 - y0) > INCH // 8,
        several=len(others) > 1,
    )


def _right_wall(corners: Sequence[Point], rows: FieldRows, row: int) -> int:
    """Return the number of the side at which a row ends at the right: the outermost that any part of it meets, doorways aside."""
    near, far = rows.row_at(row)
    met = []
    for y in (
        near + 1,
        (near + far) / 2,
        far - 1,
    ):  # beside a jog a row meets two walls: it is as long as the outer one allows
        for i, ((x0, y0), (x1, y1)) in enumerate(_sides(corners)):
            if min(y0, y1) <= y < max(y0, y1) and not _in_doorway(rows, i, len(corners)):
                met.append((x0 + (x1 - x0) * (y - y0) / (y1 - y0), i))
    if not met:
        raise Refused("that row lies in a doorway alone: measure one that runs from wall to wall.")
    return max(met)[1]


def _far_wall(corners: Sequence[Point], rows: FieldRows, row: int) -> int:
    """Return the number of the side across from a row: beyond it, facing it, along most of it."""
    left, right = _reach(corners, rows, row)
    found = [
        (max(min(a[0], b[0]), left) - min(max(a[0], b[0]), right), (a[1] + b[1]) / 2, i)
        for i, a, b in _facing(corners, rows, row)
    ]
    if not found:
        raise Refused("there is no wall across from that row.")
    level: dict[int, float] = {}
    for along, y, _ in found:  # a wall with an opening in it is several sides
        level[round(y)] = level.get(round(y), 0.0) + along
    return min(found, key=lambda one: (level[round(one[1])], one[1], one[0]))[2]


def _reach(corners: Sequence[Point], rows: FieldRows, row: int) -> tuple[float, float]:
    """Return from where to where a row reaches along its middle."""
    near, far = rows.row_at(row)
    middle = (near + far) / 2
    ends = [
        x0 + (x1 - x0) * (middle - y0) / (y1 - y0)
        for (x0, y0), (x1, y1) in _sides(corners)
        if min(y0, y1) <= middle < max(y0, y1)
    ]
    return (min(ends), max(ends)) if ends else (0.0, 0.0)


def _facing(corners: Sequence[Point], rows: FieldRows, row: int) -> list[tuple[int, Point, Point]]:
    """Return the sides beyond a row that face it along a part of it, doorways aside."""
    left, right = _reach(corners, rows, row)
    near, _ = rows.row_at(row)
    turn = 1 if sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in _sides(corners)) > 0 else -1
    return [
        (i, a, b)
        for i, (a, b) in enumerate(_sides(corners))
        if (b[0] - a[0]) * turn < 0  # the floor lies on the side of the starting wall
        and min(max(a[0], b[0]), right) > max(min(a[0], b[0]), left)
        and (a[1] + b[1]) / 2 > near
        and not _in_doorway(rows, i, len(corners))
    ]


def _sides(corners: Sequence[Point]) -> list[tuple[Point, Point]]:
    return [(corners[i], corners[(i + 1) % len(corners)]) for i in range(len(corners))]


def _in_doorway(rows: FieldRows, side: int, count: int) -> bool:
    return side in rows.doorways or (side + 1) % count in rows.doorways


def _along(rows: FieldRows, corners: Sequence[Point], side: int, axis: int) -> set[int]:
    """Return the corners of a wall: both of a side, and on along it with the doorways in it and behind openings to other rooms."""
    from shapely import Point as Dot
    from shapely import Polygon

    count, floor = len(corners), Polygon(corners)
    found, new = set[int](), [side]
    while new:
        start = new.pop()
        found |= _chain(rows, corners, start, axis)
        at, (one, other) = corners[start][axis], (corners[start], corners[(start + 1) % count])
        if one[axis] != other[axis]:
            continue
        for i in range(count):
            a, b = corners[i], corners[(i + 1) % count]
            if {i, (i + 1) % count} <= found or a[axis] != at or b[axis] != at:
                continue
            ends = sorted(point[1 - axis] for k in found if (point := corners[k])[axis] == at)
            low, high = sorted((a[1 - axis], b[1 - axis]))
            gap = (ends[-1], low) if low >= ends[-1] else (high, ends[0])
            middle = (gap[0] + gap[1]) / 2
            beyond = (float(at + 1), middle) if axis == 0 else (middle, float(at + 1))
            if 0 < gap[1] - gap[0] <= WIDEST_OPENING and floor.contains(Dot(beyond)):
                new.append(i)
    return found


def _chain(rows: FieldRows, corners: Sequence[Point], side: int, axis: int) -> set[int]:
    """Return the corners of a wall that follow each other: both of a side, and on along it with the doorways in it."""
    count = len(corners)
    found = {side, (side + 1) % count}
    low = min(corners[i][axis] for i in found)
    high = max(corners[i][axis] for i in found)
    for step, at in ((1, (side + 1) % count), (-1, side)):
        for _ in range(count):
            at = (at + step) % count
            if at in found or not (low <= corners[at][axis] <= high or at in rows.doorways):
                break
            found.add(at)
    return found


def offcuts_after(
    floor: Floor, layout: Layout, laid: Mapping[int, int], numbers: Mapping[int, int] | None = None
) -> list[Offcut]:
    """Return what is at hand when so many rows of each field are laid: rests no shorter than the shortest piece.

    `numbers` are what the planks are called on the cut list, where it does not go row by row. Labels are the plank's number on the cut list. A rest that could start a row or end one is kept to start one. Offcuts at hand before and not yet used are still there.
    """
    problem = floor.problem
    done = [
        piece for piece in layout.pieces if problem.runs[piece.run].row < laid.get(problem.runs[piece.run].field, 0)
    ]
    touched = {piece.plank for piece in done}
    numbers = plank_numbers(floor, layout) if numbers is None else numbers
    found = [one for number, one in enumerate(problem.offcuts) if -1 - number not in touched]
    for rest in rests(floor, layout, done):
        if rest.length >= problem.product.min_piece and rest.end is not None:
            label = f"plank {numbers[rest.plank]}" if rest.plank >= 0 else problem.offcuts[-1 - rest.plank].label
            found.append(Offcut(label=label, length=rest.length, starts=rest.end is Kind.START))
    return found


def replan(
    floor: Floor,
    layout: Layout,
    laid: Mapping[int, int],
    *,
    fields: Mapping[int, Field] | None = None,
    starts: Mapping[int, int] | None = None,
    offcuts: Sequence[Offcut] | None = None,
) -> Replan:
    """Return the floor from the rows laid on: `laid` is how many rows of each field lie.

    `fields` are outlines measured anew, `starts` first pieces of runs (by number) that were laid otherwise than planned,
    `offcuts` what is at hand where that is not what the layout leaves.

    Raises:
        Refused: more rows than there are, walls so far off that laid rows lie outside, or nothing is left to lay.
    """
    rows, runs, narrow = [], [], None
    for number, before in enumerate(floor.fields):
        count = laid.get(number, 0)
        if not 0 <= count <= len(before.rips.widths):
            raise Refused(
                f"{quoted(before.field.name)} has {len(before.rips.widths)} rows: {count} of them cannot be laid."
            )
        runs += [
            replace(run, laid=(starts or {}).get(i, run.laid if run.laid is not None else layout.starts[i]))
            for i, run in floor.runs_of(number)
            if run.row < count
        ]
        now, onward = _rest_of(floor, before, number, count, (fields or {}).get(number, before.field))
        limit = floor.problem.product.least_rip
        if count < len(now.rips.widths) and now.first_and_last[1] < limit:
            narrow = now.first_and_last[1]
        rows.append(now)
        runs += onward
    if all(run.laid is not None for run in runs):
        raise Refused("every row is laid: there is nothing left to plan.")
    at_hand = offcuts_after(floor, layout, laid) if offcuts is None else offcuts
    problem = Problem(product=floor.problem.product, runs=tuple(runs), offcuts=tuple(at_hand))
    known = _planned(floor, layout)
    planned = tuple(
        run.laid if run.laid is not None else known.get((run.field, run.row, run.left), run.length) for run in runs
    )
    return Replan(floor=Floor(problem=problem, fields=tuple(rows)), starts=planned, narrow=narrow)


def _planned(floor: Floor, layout: Layout) -> dict[tuple[int, int, int], int]:
    """Return the first pieces planned before, by field, row and where the run begins."""
    return {(run.field, run.row, run.left): start for run, start in zip(floor.problem.runs, layout.starts, strict=True)}


def _rest_of(floor: Floor, before: FieldRows, number: int, count: int, field: Field) -> tuple[FieldRows, list[Run]]:
    """Return a field with the rows that are laid and those that follow, and the runs that follow."""
    product = floor.problem.product
    if not count and field is before.field:
        return before, [run for _, run in floor.runs_of(number)]
    within = inset(field, product.gap, before.frame)
    low, high = depth(within)
    done = before.rips.widths[:count]
    left = high - before.low - sum(done)
    if left < 0:
        raise Refused(
            f"{quoted(field.name)}: the rows laid reach {format_length(-left)} beyond the far wall as measured: measure again."
        )
    _, after = beyond_walls(field, before.frame, before.doorways)
    if count:
        wall = left - after
        onward = widths_of(wall, product.width, product.width) if wall > 0 else ()
        last = onward[-1] if onward else 0
        if onward:
            onward, _, _ = into_doorways(onward, product.width, 0, after)
        elif left:
            onward = widths_of(left, product.width, product.width)
        number_of_last = count + len(onward) - 1 - (1 if last and last + after - product.width >= LEAST_STRIP else 0)
        walls = (*before.walls[:1], (number_of_last, last)) if before.walls and last else before.walls
        rips = Rips(widths=(*done, *onward), reason=RipReason.LAID, slivers=before.rips.slivers)
    else:
        return _afresh(product, before, number, field)
    now = replace(before, field=field, low=before.low if count else low, rips=rips, walls=walls)
    return now, [run for run in runs_of(within, rips.widths, field=number, low=now.low) if run.row >= count]


def _afresh(product: Product, before: FieldRows, number: int, field: Field) -> tuple[FieldRows, list[Run]]:
    """Return a field of which nothing lies, its walls as measured."""
    laid = Laid(field=field, wall=before.frame.wall, doorways=before.doorways)
    floor = floor_of(product, [laid])
    return floor.fields[0], [replace(run, field=number) for run in floor.problem.runs]
