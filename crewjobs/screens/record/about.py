"""What a record is about: which house, crew and day stood under the hand when it was asked for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.services.places import PlacesView


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """Known before anything is typed: the job, crew and day under the hand, and the crews there are to pick from.

    `place` is the place under the hand, where one is; `places` what the job has to pick from, for forms that ask for one.
    `off` is who is to be told that the job is called off, empty of any other, for the form of what people were told.
    """

    job: int | None = None
    place: str = ""
    places: PlacesView | None = None
    off: tuple[str, ...] = ()
    crew: str = ""
    crews: tuple[str, ...] = ()
    day: date | None = None

    @property
    def number(self) -> int:
        """The job's number, where one is known."""
        assert self.job is not None
        return self.job

    @property
    def picks(self) -> PlacesView:
        """What the job has to pick from, where it was looked up."""
        assert self.places is not None
        return self.places

    @property
    def crew_options(self) -> tuple[tuple[str, str], ...]:
        """The crews to pick from."""
        return tuple((crew, crew) for crew in self.crews)
