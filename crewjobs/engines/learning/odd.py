"""Records that are hardly what they say: kept as they are, and asked about."""

from __future__ import annotations

from dataclasses import dataclass

from crewjobs.domain.pace import WorkedDay
from crewjobs.domain.units import format_hours
from crewjobs.domain.wording import day_words


@dataclass(frozen=True, slots=True, kw_only=True)
class OddRecord:
    """A record with the labor minutes that all the others lead one to expect, and the chance that it is not what it says."""

    day: WorkedDay
    expected_min: float
    chance: float

    @property
    def sentence(self) -> str:
        """Return what is odd, that it is kept, and what to ask."""
        one = self.day
        return (
            f"job {one.job}, {f'{one.days} days to ' if one.days > 1 else ''}{day_words(one.day)}, {one.crew}: {format_hours(one.labor_min)} of one person where about "
            f"{format_hours(self.expected_min)} would be usual for what was done; it is kept and hardly counts. "
            "Ask the crew: are the times, the people and what was done right?"
        )
