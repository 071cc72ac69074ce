"""How fast each crew is planned: its own pace beside the book's minutes, and how far its work at a job may be off."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import exp
from typing import Final

from crewjobs.domain.plan import Placement

LATE_SDS: Final = 1.645
"""Of log minutes; work takes longer than by that many standard deviations one time in twenty (normal distribution)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paces:
    """Paces by which work is planned. What is not in them is planned by the book and its three-point estimates.

    `times` says, by crew, job and task, how many times the book's minutes are usual. `spreads` is, by crew and job, the
    standard deviation of the log of what all the crew's work there takes.
    """

    times: Mapping[tuple[str, int, int], float] = field(default_factory=dict)
    spreads: Mapping[tuple[str, int], float] = field(default_factory=dict)

    def of(self, crew: str, job: int, task: int) -> float:
        """Return how many times the book's minutes a task usually takes a crew."""
        return self.times.get((crew, job, task), 1.0)

    def more(self, crew: str, job: int) -> float | None:
        """Return by which share of it a crew's work at a job takes longer one time in twenty, None where it is not known."""
        spread = self.spreads.get((crew, job))
        return None if spread is None else exp(LATE_SDS * spread) - 1


BOOK: Final = Paces()
"""Everything by the book."""


def paces_in(placements: Iterable[Placement]) -> Paces:
    """Return the paces by which placements were planned."""
    times: dict[tuple[str, int, int], float] = {}
    spreads: dict[tuple[str, int], float] = {}
    for placed in placements:
        job = placed.key.job
        if placed.pace:
            times.update(((placed.crew, job, task), pace) for task, pace in zip(placed.tasks, placed.pace, strict=True))
        if placed.spread is not None:
            spreads[placed.crew, job] = placed.spread
    return Paces(times=times, spreads=spreads) if times or spreads else BOOK
