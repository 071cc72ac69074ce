"""A job's take-off as text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from crewjobs.services.text_lines import TextLine

if TYPE_CHECKING:
    from crewjobs.services.laying.layout_rows import TakeOffView


def lines_of(view: TakeOffView) -> Iterator[TextLine]:
    """Yield the shopping list, its left-overs and what was taken as usual."""
    yield TextLine(f"Job {view.job}: {view.title}. What it takes:", "", "  ")
    for row in view.materials:
        yield TextLine()
        yield TextLine(f"{row.cartons} {row.unit}  {row.material} ({row.kind})", "", "    ")
        yield TextLine(row.sentence, "  ", "    ")
        if row.fault:
            yield TextLine(f"! not laid out: {row.fault}", "  ", "    ")
        yield from (TextLine(field, "  ", "    ") for field in row.fields)
        yield from (TextLine(lot, "  ", "    ") for lot in row.lots)
    if view.goods:
        yield TextLine()
        for goods in view.goods:
            yield TextLine(goods.sentence, "", "    ")
            yield from (TextLine(stick, "  ", "      ") for stick in goods.sticks)
    yield from (TextLine(walls, "", "    ") for walls in view.walls)
    for title, sentences in (
        ("Supplies:", [supply.sentence for supply in view.supplies]),
        ("Left over, if all goes by this:", view.left),
        ("With the seasons:", view.movement),
        ("Heights, to settle before ordering:", [f"{one}." for one in view.heights]),
    ):
        if sentences:
            yield TextLine()
            yield TextLine(title)
            yield from (TextLine(sentence, "  ", "    ") for sentence in sentences)
    if view.taken_as:
        yield TextLine()
        yield TextLine("Taken as usual, since the job does not say:")
        yield from (TextLine(f"- {sentence}", "  ", "    ") for sentence in view.taken_as)
