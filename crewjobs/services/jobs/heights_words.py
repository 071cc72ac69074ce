"""How high a job's new floors stand, as text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from crewjobs.services.text_lines import TextLine

if TYPE_CHECKING:
    from crewjobs.services.jobs.heights_rows import HeightsView


def lines_of(view: HeightsView) -> Iterator[TextLine]:
    """Yield build-ups and what they meet."""
    yield TextLine(f"Job {view.job}: {view.title}. Heights over the subfloor:", "", "  ")
    yield from (TextLine(room, "  ", "    ") for room in view.rooms)
    for title, rows in (
        ("To settle before material is ordered:", [row for row in view.rows if row.look]),
        ("As it should be:", [row for row in view.rows if not row.look]),
    ):
        if rows:
            yield TextLine()
            yield TextLine(title)
            yield from (TextLine(f"- {row.sentence}.", "  ", "    ") for row in rows)
    if not view.rows:
        yield TextLine()
        yield TextLine("The new floors meet nothing by their height that is known here.")
    if view.taken_as:
        yield TextLine()
        yield TextLine("Taken as usual, since the job does not say (a tape decides):")
        yield from (TextLine(f"- {sentence}", "  ", "    ") for sentence in view.taken_as)
