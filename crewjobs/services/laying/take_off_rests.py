"""Supplies in words, and what should be left over of everything bought when all is laid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.units import FOOT, UnitSystem, format_area, format_cut
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.heights.left import left_under
from crewjobs.engines.take_off.goods import Line
from crewjobs.engines.take_off.supplies import supplies_of
from crewjobs.services.laying.layout_rows import PlanksRow, SupplyRow
from crewjobs.services.laying.layouts import LaidOut

LITRES: Final = 3.785411784
"""A gallon of what is bought by it."""
LONGEST_TOLD: Final = 5
"""Offcuts and rests of sticks that are told, the longest."""
SHORTEST_REST: Final = 3 * FOOT
"""A rest of a stick shorter than this is not told; ours."""


def supply_rows(record: JobRecord, units: UnitSystem) -> Iterator[SupplyRow]:
    """Yield what the job implies, in the order of the work; what a way on leaves in the house is not carried out of it."""
    for one in supplies_of(record.job, left_under(record)):
        rule, count, unit = told_in(one.rule, units), one.count, one.unit
        if units == "metric" and unit == "gallon":
            count, unit = ceil(count * LITRES), "litre"
        yield SupplyRow(
            name=one.name, count=count, unit=unit, rule=rule, standing=one.standing,
            sentence=f"{one.name}: {counted(count, unit, 'boxes' if unit == 'box' else '')} ({rule}; {one.standing})",
        )  # fmt: skip


def offcut_words(found: LaidOut, units: UnitSystem) -> Iterator[str]:
    """Yield the longest rests of planks that no row takes."""
    product, layout = found.house.floor.problem.product, found.layout
    cut: dict[int, list[int]] = {}
    for piece in layout.pieces:
        if piece.plank > 0:
            cut.setdefault(piece.plank, []).append(piece.right - piece.left)
    rests = sorted((product.length - sum(those) - product.kerf * len(those) for those in cut.values()), reverse=True)
    longest = [rest for rest in rests if rest >= product.min_piece][:LONGEST_TOLD]
    if longest:
        yield f"longest offcuts {listed([format_cut(rest, units) for rest in longest], most=LONGEST_TOLD)}"


def left_words(rows: Sequence[PlanksRow], lines: Sequence[Line], units: UnitSystem) -> Iterator[str]:
    """Yield what should be left, material by material, then of what is bought beside it."""
    for row in rows:
        parts = [*row.left]
        if row.left_planks:
            unopened, single = divmod(row.left_planks, row.per_carton) if row.per_carton else (0, row.left_planks)
            whole = [counted(unopened, "unopened carton")] * bool(unopened) + [
                counted(single, f"whole {row.piece}")
            ] * bool(single)
            parts = [*whole, *parts]
        if parts:
            yield f"{row.material}: {'; '.join(parts)}"
    for line in lines:
        if line.sticks is not None:
            longest = sorted((rest for rest in line.sticks.left if rest >= SHORTEST_REST), reverse=True)[:LONGEST_TOLD]
            if longest:
                yield f"{line.name}: {listed([format_cut(rest, units) for rest in longest], most=LONGEST_TOLD)}"
        elif line.cover > 1 and line.count * line.cover - line.need >= 1:
            yield f"{line.name}: for {format_area(line.count * line.cover - line.need, units)}"
