"""What the search is given and what it returns: places, pieces, the sections to work, and a plan of stages.

A stage is some moves, then work on a set of sections; it is also a night. Costs are whole numbers of one unit the caller
chooses (tenths of a labor minute), floor is whole square feet. Capacity is held at the end of a stage's moves, not while
things are carried.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

OUTSIDE: Final = -1
"""The place crews come from and go to; nothing is kept there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where pieces can stand: a section to work, or a store.

    `capacity` is how much of its floor pieces may cover (ft²), `as_passage` how much while the crew walks through it (less than
    0: nobody can). A section that `cures` is nothing to stand on or walk through in so many stages after it was worked.
    """

    name: str
    capacity: int
    as_passage: int
    worked: bool = False
    sleeps: bool = False
    toilet: bool = False
    cures: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A piece of furniture, or several that are carried as one.

    `home` is the number of the place where it stands at the beginning and the end, `footprint` the floor it covers (ft²),
    `allowed` the places it may stand in, `nights` what a night in each place costs, `moves[a][b]` what it costs to carry it
    from one place to another.
    """

    name: str
    home: int
    footprint: int
    allowed: frozenset[int]
    moves: tuple[tuple[int, ...], ...]
    nights: tuple[int, ...]
    bed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MovingProblem:
    """A house to be worked section by section with its furniture in it. Places and pieces are named by their numbers.

    `ways` are the pairs of places one can walk between, `OUTSIDE` among them. `sets` are the sections that may be worked in
    one stage; `before` holds pairs of which the first is worked no later than the second. `clear[s]` are the places that
    hold nothing while section s is worked (dust). A stage of work costs `setup`, one of waiting `wait`; `beds` must
    stand in places that sleep in every stage, and one `toilet` place must be neither worked nor curing where there is any.
    """

    places: tuple[Place, ...]
    pieces: tuple[Piece, ...]
    ways: tuple[tuple[int, int], ...]
    sets: tuple[frozenset[int], ...]
    before: tuple[tuple[int, int], ...] = ()
    setup: int = 0
    wait: int = 0
    beds: int = 0
    clear: Mapping[int, frozenset[int]] = field(default_factory=dict)

    @property
    def sections(self) -> tuple[int, ...]:
        """Return the places that are worked."""
        return tuple(number for number, place in enumerate(self.places) if place.worked)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """Work on some sections (none: a night of waiting) with the pieces standing `at` these places, by piece."""

    worked: frozenset[int]
    at: tuple[int, ...]


class Status(StrEnum):
    """How sure a plan is. Words for people are made elsewhere."""

    PROVED = "proved"
    FOUND = "found"
    NO_WAY = "no way"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class MovingPlan:
    """The best plan found: its stages, what it costs, and what no plan costs less than.

    `NO_WAY`: proved that there is none. `UNKNOWN`: none was found in the time given.
    """

    status: Status
    stages: tuple[Stage, ...] = ()
    cost: int = 0
    bound: int = 0

    @property
    def gap(self) -> float:
        """Return by how much of its cost the plan may be above the best there is, 0..1."""
        return (self.cost - self.bound) / self.cost if self.stages and self.cost else 0.0
