"""How much may be tried for one answer, counted in work and not in time: the same question gets the same answer again."""

from __future__ import annotations

from crewjobs.engines.planning.problem import Stop

WORK = 0.3
"""What it costs to make a job's work ready, for each of its blocks."""
AHEAD = 0.2
"""What it costs to look how soon a job could end, for each of its blocks."""
PLACED = 0.3
"""What it costs to find a place for a block."""
STEP = 0.06
"""What a step of the search costs, for each block of the jobs it moves among."""
SOLVED = 7500.0
"""What a unit of the solver's own count of work costs."""


class Effort:
    """What may still be done: about milliseconds of an idle core. Asked whether it is over, it is a `Stop`.

    `stop` ends it sooner: the clock, which on a busy machine comes first. A `part` spends of the whole, too.
    """

    def __init__(self, most: float, stop: Stop | None = None, whole: Effort | None = None) -> None:
        self.left = most
        self._stop = stop
        self._whole = whole

    def __call__(self) -> bool:
        """Return whether nothing more may be done."""
        if self.left <= 0 or (self._stop is not None and self._stop()):
            return True
        return self._whole is not None and self._whole()

    def spend(self, work: float) -> None:
        """Count what was done."""
        self.left -= work
        if self._whole is not None:
            self._whole.spend(work)

    def part(self, share: float) -> Effort:
        """Return a share of what is left."""
        return Effort(max(0.0, self.left) * share, whole=self)


class OutOfTime(Exception):
    """There was no time to find out: neither yes nor no."""
