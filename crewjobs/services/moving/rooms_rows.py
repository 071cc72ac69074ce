"""What the rooms of a job show: frozen rows, every word ready to print; the drawing is shapes, painted where it is shown."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Final

from crewjobs.domain.moves import MovesPlan
from crewjobs.drawing.characters import drawing_text as drawing_text
from crewjobs.drawing.shapes import Drawing

MOVES_SECONDS: Final = 10.0
"""How long the best stages are looked for, where it is not proved before that there are none better."""


def sure_words(plan: MovesPlan) -> str:
    """Return how sure it is that no other way costs less, as a sentence."""
    way = "in the order given" if plan.given else ""
    if plan.proved:
        return f"No other way {way + ' ' if way else ''}costs less, set-ups and nights counted."
    if plan.bound <= 0:
        return "How much less another way could cost was not found out."
    most = max(1, ceil(100 * plan.gap))
    return f"Another way {way + ' ' if way else ''}could cost up to {most} % less, set-ups and nights counted."


@dataclass(frozen=True, slots=True, kw_only=True)
class CarryRow:
    """One carry: its number within the stage, the piece by letter and name, from where to where.

    `minutes` are labor of all who carry; `down`: it is only set down there and carried on later in the same stage.
    """

    number: int
    letter: str
    name: str
    start: str
    to: str
    people: int
    minutes: int
    down: bool

    @property
    def words(self) -> str:
        """Return it as a line: ``B  sofa: living, window half → garage, 2 people``."""
        down = " (set down)" if self.down else ""
        hands = f"{self.people} {'person' if self.people == 1 else 'people'}"
        return f"{self.letter}  {self.name}: {self.start} → {self.to}{down}, {hands}"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceRow:
    """What stands in one place: letters with names, in the order of the letters."""

    place: str
    pieces: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StageRow:
    """One stage: `label` such as ``move 2 of 3``, what is worked, what is carried before, where everything then stands.

    `minutes` are labor; `clock_min` about how long it takes with `people`. `here`: the job is at this stage.
    """

    number: int
    label: str
    sentence: str
    worked: tuple[str, ...]
    carries: tuple[CarryRow, ...]
    standing: tuple[PlaceRow, ...]
    drawing: Drawing
    minutes: int
    clock_min: int
    people: int
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionRow:
    """A section and what it is now, in the words of the drawing's key."""

    name: str
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomRow:
    """A room as it is: its size, its sections by state, its furniture with counts, and what may be kept in it."""

    name: str
    size: str
    sections: tuple[SectionRow, ...]
    furniture: tuple[str, ...]
    keeps: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomsView:
    """The rooms of one job, and its furniture stages where it has any that are in force.

    `drawing` is the house as it is now, without stages: everything in its own room. `minutes`, `clock_min` and `people`
    are of all stages together. `stale` says why stages that were found are no more to be followed, empty where they are.
    """

    job: int
    title: str
    headline: str
    stages: tuple[StageRow, ...]
    rooms: tuple[RoomRow, ...]
    drawing: Drawing
    minutes: int = 0
    clock_min: int = 0
    people: int = 0
    taken_as: tuple[str, ...] = ()
    stale: str = ""

    @property
    def here(self) -> int:
        """Return the place of the stage the job is at, 0 where it has none."""
        return next((stage.number for stage in self.stages if stage.here), 0)
