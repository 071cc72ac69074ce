"""What a record is about: which house, crew and day stood under the hand when it was asked for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """Known before anything is typed: the job, crew and day under the hand, and the crews there are to pick from."""

    job: int | None = None
    crew: str = ""
    crews: tuple[str, ...] = ()
    day: date | None = None

    @property
    def number(self) -> int:
        """The job's number, where one is known."""
        assert self.job is not None
        return self.job

    @property
    def crew_options(self) -> tuple[tuple[str, str], ...]:
        """The crews to pick from."""
        return tuple((crew, crew) for crew in self.crews)
