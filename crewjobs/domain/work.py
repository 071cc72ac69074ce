"""Work that no floor asks for: what a change order adds, and what a callback is made of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from crewjobs.domain.bounds import MOST_PEOPLE
from crewjobs.domain.errors import Refused
from crewjobs.domain.house import no_such
from crewjobs.domain.units import quoted

MOST_WORK_MIN: Final = 40 * 60
"""Labor minutes of one person in one entry; more is a job with rooms and floors. Common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ExtraWork:
    """Work agreed in words: what, where, and how long it takes.

    `place` names a room or stairs of the job, empty is the house as a whole. `minutes` are labor of one person as
    the lead judges them, `people` how many it takes at once. `needs` is what it cannot be done without, such as the
    carton kept in the house. `under`: it is under the present floor, so that comes out of its place first.
    """

    what: str
    place: str = ""
    minutes: int
    people: int = 1
    needs: str = ""
    under: bool = False

    def __post_init__(self) -> None:
        faults = list(self._faults())
        if faults:
            raise Refused([f"work {quoted(self.what)}: {fault}" for fault in faults])

    def _faults(self) -> Iterator[str]:
        if not self.what.strip():
            yield "say in a few words what is to be done."
        if not 0 < self.minutes <= MOST_WORK_MIN:
            yield (
                f"{self.minutes / 60:g} h of one person; it is more than 0 and {MOST_WORK_MIN // 60} at most: "
                "larger work is a job of its own."
            )
        if not 1 <= self.people <= MOST_PEOPLE:
            yield f"{self.people} people; it takes one to four at once."

    @property
    def title(self) -> str:
        """Return what is to be done with what it needs, as its task is called."""
        return f"{self.what} (with {self.needs})" if self.needs else self.what


def work_faults(entries: Sequence[tuple[str, str]], places: Sequence[str]) -> Iterator[str]:
    """Yield a sentence for each entry (what, place) that is there twice or is nowhere in the job."""
    for what, place in dict.fromkeys(entries):
        if entries.count((what, place)) > 1:
            yield f"work {quoted(what)} ({place or 'house'}) is there twice: say what differs, or add its hours."
        if place and place not in places:
            yield f"work {quoted(what)}: {no_such('room or stairs', place, places)}"
