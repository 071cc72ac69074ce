"""From fields to the search's problem: each field turned to its starting wall, its rows ripped, its runs measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.engines.laying.bounds import by_material
from crewjobs.engines.laying.frames import Frame, Wall
from crewjobs.engines.laying.geometry import depth, inset, level_edges, runs_of
from crewjobs.engines.laying.model import Field, Offcut, Problem, Product, Run
from crewjobs.engines.laying.rows import Rips, choose_rips

MOST_RUNS: Final = 3000
"""More runs than any house's floors have in one product."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """How a field is to be laid: from which wall. `first` asks for a first row so wide (1/4064 inch)."""

    field: Field
    wall: Wall = Wall.TOP
    first: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldRows:
    """A field in its frame: where its first row begins (`low`, y in the frame), and how wide its rows are."""

    field: Field
    frame: Frame
    low: int
    rips: Rips

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
        edges = [(y - low, beyond) for y, beyond in level_edges(within)]

        def planks(widths: tuple[int, ...], within: Any = within) -> int:
            return by_material(Problem(product=product, runs=tuple(runs_of(within, widths))))

        try:
            rips = choose_rips(product, high - low, edges, first=laid.first, cost=planks)
        except Refused as fault:
            raise Refused([f"{quoted(laid.field.name)}: {sentence}" for sentence in fault.sentences]) from fault
        rows.append(FieldRows(field=laid.field, frame=frame, low=low, rips=rips))
        runs += runs_of(within, rips.widths, field=number)
        if len(runs) > MOST_RUNS:
            raise Refused(
                f"{quoted(laid.field.name)}: more than {MOST_RUNS} runs of planks: check the outline and the plank's width."
            )
    return Floor(problem=Problem(product=product, runs=tuple(runs), offcuts=tuple(offcuts)), fields=tuple(rows))
