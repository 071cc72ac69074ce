"""Planning anew from the row laid: what is on the floor stays, what was cut is kept, the rest is laid to the walls as they are.

Walls that turned out elsewhere are moved in the outline (`moved`), in the frame of the field: left, right, and far from the
starting wall. Rows laid keep their widths and joints; the last row takes what is left, be it narrower than the rules like it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import format_length, quoted
from crewjobs.engines.laying.cut_list import plank_numbers, rests
from crewjobs.engines.laying.floors import FieldRows, Floor
from crewjobs.engines.laying.geometry import depth, inset, level_edges, runs_of
from crewjobs.engines.laying.model import Field, Kind, Layout, Offcut, Problem, Run
from crewjobs.engines.laying.rows import RipReason, Rips, choose_rips, widths_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Replan:
    """The floor to lay from here on, and the first pieces planned before, for a search to begin with.

    `narrow` is the width of a last row under the limit, None where it keeps it.
    """

    floor: Floor
    starts: tuple[int, ...]
    narrow: int | None


def moved(rows: FieldRows, *, left: int = 0, right: int = 0, far: int = 0) -> Field:
    """Return the field with its outermost walls moved outwards by so much (inwards where negative; 1/4064 inch).

    Left, right and far are as seen by who faces the starting wall with the rows laid between; walls set back stay.
    """
    corners = [rows.frame.to(point) for point in rows.field.outline]
    low_x, high_x = min(x for x, _ in corners), max(x for x, _ in corners)
    high_y = max(y for _, y in corners)
    turned = [
        (x - left if x == low_x else x + right if x == high_x else x, y + far if y == high_y else y) for x, y in corners
    ]
    return replace(rows.field, outline=tuple(rows.frame.back(point) for point in turned))


def offcuts_after(floor: Floor, layout: Layout, laid: Mapping[int, int]) -> list[Offcut]:
    """Return what is at hand when so many rows of each field are laid: rests no shorter than the shortest piece.

    Labels are the plank's number on the cut list. A rest that could start a row or end one is kept to start one. Offcuts at hand before and not yet used are still there.
    """
    problem = floor.problem
    done = [
        piece for piece in layout.pieces if problem.runs[piece.run].row < laid.get(problem.runs[piece.run].field, 0)
    ]
    touched = {piece.plank for piece in done}
    numbers = plank_numbers(floor, layout)
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
        if count < len(now.rips.widths) and now.rips.last < limit:
            narrow = now.rips.last
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
    if count:
        onward = widths_of(left, product.width, product.width) if left else ()
        rips = Rips(widths=(*done, *onward), reason=RipReason.LAID, slivers=before.rips.slivers)
    else:
        rips = choose_rips(product, high - low, [(y - low, beyond) for y, beyond in level_edges(within)])
    now = FieldRows(field=field, frame=before.frame, low=before.low if count else low, rips=rips)
    return now, [run for run in runs_of(within, rips.widths, field=number, low=now.low) if run.row >= count]
