"""What a promise that holds has to spare, and how that is told."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from crewjobs.domain.units import span_words

MUCH_MIN: Final = 60
"""What other jobs have, or leave, of the time to spare is not told where it is less."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spare:
    """What a promise that holds has to spare.

    `slack_min` are the minutes the crew of the last work could still work there before the promised day ends,
    `booked_min` those of them in which the plan has it at other jobs, `kept_min` how many are to be kept.
    """

    crew: str
    slack_min: int
    booked_min: int
    kept_min: int

    @property
    def tight(self) -> bool:
        """Return whether there is less to spare than is to be kept."""
        return self.slack_min < self.kept_min

    @property
    def words(self) -> str:
        """Return what there is to spare, how much of that time is planned for other jobs, and what should be kept."""
        hours = f"{span_words(self.slack_min)} of {self.crew}'s time to spare"
        if self.booked_min and self.slack_min - self.booked_min < MUCH_MIN:
            hours += ", all of it planned for other jobs"
        elif self.booked_min >= MUCH_MIN:
            hours += f", {span_words(self.booked_min)} of it planned for other jobs"
        kept = f"{span_words(self.kept_min)} should be kept"
        return f"{hours}, tight: {kept}" if self.tight else f"{hours}, {kept}" if self.kept_min else hours
