"""From fields to the search's problem: each field turned to its starting wall, its rows ripped, its runs measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH, quoted
from crewjobs.engines.laying.bounds import by_material
from crewjobs.engines.laying.frames import Frame, Wall
from crewjobs.engines.laying.geometry import depth, inset, level_edges, runs_of
from crewjobs.engines.laying.model import Field, Offcut, Problem, Product, Run
from crewjobs.engines.laying.rows import SLIVER, Rips, choose_rips

MOST_RUNS: Final = 3000
"""More runs than any house's floors have in one product."""


LEAST_STRIP: Final = INCH // 2
"""A strip of floor in a doorway narrower than this lies under what covers the joint (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """How a field is to be laid: from which wall. `first` asks for a first row so wide (1/4064 inch).

    `doorways` are the numbers of corners that lie in a doorway whose floor ends there: rows are as wide as the walls want them.
    """

    field: Field
    wall: Wall = Wall.TOP
    first: int | None = None
    doorways: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldRows:
    """A field in its frame: where its first row begins (`low`, y in the frame), and how wide its rows are.

    A row that reaches into a doorway beyond the first or the last wall is wider there than along the wall; `doorways` as in
    `Laid`, `walls` the numbers of the rows along the first and the last wall with their widths along them.
    """

    field: Field
    frame: Frame
    low: int
    rips: Rips
    doorways: frozenset[int] = frozenset()
    walls: tuple[tuple[int, int], ...] = ()

    def along_wall(self, row: int) -> int:
        """Return how wide a row is along its wall: less than the row where that reaches into a doorway."""
        return min((width for number, width in self.walls if number == row), default=self.rips.widths[row])

    @property
    def first_and_last(self) -> tuple[int, int]:
        """Return how wide the rows along the first and the last wall are."""
        if not self.walls:
            return self.rips.widths[0], self.rips.widths[-1]
        return self.walls[0][1], self.walls[-1][1]

    def begun_anew(self, product: Product) -> Rips | None:
        """Return the rows of this floor, walls as they are now, were it begun again; None where no first row helps."""
        within = inset(self.field, product.gap, self.frame)
        low, high = depth(within)
        before, after = beyond_walls(self.field, self.frame, self.doorways)
        try:
            return choose_rips(product, high - low - before - after)
        except Refused:
            return None

    def thin_strips(self, product: Product) -> list[tuple[int, int]]:
        """Return the rows beside a wall in the middle of the floor that are narrower there than a last row may be, and how wide.

        Slivers are counted apart.
        """
        found = dict[int, int]()
        edges = level_edges(inset(self.field, product.gap, self.frame))
        for row in range(len(self.rips.widths)):
            low, high = self.row_at(row)
            for at, beyond in edges:
                if low < at < high and SLIVER <= (strip := high - at if beyond else at - low) < product.least_rip:
                    found[row] = min(strip, found.get(row, strip))
        first, last = (
            self.walls[0][0] if self.walls else 0,
            self.walls[-1][0] if self.walls else len(self.rips.widths) - 1,
        )
        return [(row, width) for row, width in found.items() if first < row < last]

    def row_at(self, row: int) -> tuple[int, int]:
        """Return where a row lies across, in the frame."""
        low = self.low + sum(self.rips.widths[:row])
        return low, low + self.rips.widths[row]


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """Fields of one product with the problem they make; fields share cut pieces."""

    problem: Problem
    fields: tuple[FieldRows, ...]

    def runs_of(self, field: int) -> list[tuple[int, Run]]:
        """Return the runs of a field with their numbers."""
        return [(number, run) for number, run in enumerate(self.problem.runs) if run.field == field]


def floor_of(product: Product, fields: Sequence[Laid], *, offcuts: Sequence[Offcut] = ()) -> Floor:
    """Return the rows and runs of fields laid with one product.

    Raises:
        Refused: an outline or an island is none, a row would be too narrow, or there is nothing to lay.
    """
    if not fields:
        raise Refused("there is no floor to lay: name a room with an outline.")
    rows, runs = [], []
    for number, laid in enumerate(fields):
        frame = Frame(wall=laid.wall)
        within = inset(laid.field, product.gap, frame)
        low, high = depth(within)
        before, after = beyond_walls(laid.field, frame, laid.doorways)
        edges = [(y - low - before, beyond) for y, beyond in level_edges(within) if low + before <= y <= high - after]

        def planks(widths: tuple[int, ...], within: Any = within, low: int = low + before) -> int:
            return by_material(Problem(product=product, runs=tuple(runs_of(within, widths, low=low))))

        try:
            rips = choose_rips(product, high - low - before - after, edges, first=laid.first, cost=planks)
        except Refused as fault:
            raise Refused([f"{quoted(laid.field.name)}: {sentence}" for sentence in fault.sentences]) from fault
        widths, ahead, walls = into_doorways(rips.widths, product.width, before, after)
        rips = replace(rips, widths=widths)
        rows.append(
            FieldRows(
                field=laid.field,
                frame=frame,
                low=low + before - ahead,
                rips=rips,
                doorways=laid.doorways,
                walls=walls,
            )
        )
        runs += runs_of(within, rips.widths, field=number, low=low + before - ahead)
        if len(runs) > MOST_RUNS:
            raise Refused(
                f"{quoted(laid.field.name)}: more than {MOST_RUNS} runs of planks: check the outline and the plank's width."
            )
    return Floor(problem=Problem(product=product, runs=tuple(runs), offcuts=tuple(offcuts)), fields=tuple(rows))


def beyond_walls(field: Field, frame: Frame, doorways: frozenset[int]) -> tuple[int, int]:
    """Return how far doorways reach beyond the first wall and beyond the last one, in the frame."""
    ys = [frame.to(point)[1] for point in field.outline]
    walls = [y for corner, y in enumerate(ys) if corner not in doorways]
    return (min(walls) - min(ys), max(ys) - max(walls)) if walls else (0, 0)


def into_doorways(
    widths: tuple[int, ...], width: int, before: int, after: int
) -> tuple[tuple[int, ...], int, tuple[tuple[int, int], ...]]:
    """Return rows that go on into doorways before the first and after the last wall, how far they then begin before it, and walls.

    The row along a wall is as wide as a plank there at most, what is left is a row of its own; a strip too narrow to hold is left
    to what covers the joint. Walls are the numbers and widths of the rows along them.
    """
    found = [*widths]
    last = widths[-1]
    found[-1], over = min(width, last + after), last + after - width
    behind = [over] if over >= LEAST_STRIP else []
    first = found[0]
    found[0], over = min(width, first + before), first + before - width
    ahead = [over] if over >= LEAST_STRIP else []
    begins = found[0] - first + sum(ahead)
    rows = (*ahead, *found, *behind)
    walls = ((len(ahead), widths[0]), (len(rows) - 1 - len(behind), last))
    return rows, begins, walls if before or after else ()
