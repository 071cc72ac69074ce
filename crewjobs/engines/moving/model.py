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

from crewjobs.engines.moving.fitting import FloorPlan

OUTSIDE: Final = -1
"""The place crews come from and go to; nothing is kept there."""
NONE: Final = -1
"""No place: a house without a `nowhere`."""
HOME: Final = -2
"""Where a piece starts that stands at home before the first stage."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where pieces can stand: a section to work, or a store.

    `capacity` is how much of its floor pieces may cover (ft²), `as_passage` how much while the crew walks through it (less than
    0: nobody can). A section that `cures` is nothing to stand on or walk through in so many stages after it was worked.
    `floor` is its outline, where it is known: pieces with a `shape` must then really fit on it. None: area alone counts.
    """

    name: str
    capacity: int
    as_passage: int
    worked: bool = False
    sleeps: bool = False
    toilet: bool = False
    cures: int = 0
    floor: FloorPlan | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A piece of furniture, or several that are carried as one.

    `home` is the number of the place where it stands at the end, `start` the one before the first stage (`HOME`: at home),
    `footprint` the floor it covers (ft²), `allowed` the places it may stand in, `nights` what a night in each place costs,
    `moves[a][b]` what it costs to carry it from one place to another. `shape` are the rectangles it takes on a floor (inches,
    width and depth), such as two stacks of chairs; without any only its footprint counts. `unpowered` are the places left
    out of `allowed` only because they have no power, `shut` those to which it goes through no way.

    Two kinds of things come and go, which stand `nowhere` when they are not in the way: cartons are `used_by` sections and on
    floor until the last of these was worked, gone in every stage after that one; a door is `loose_from` the first stage in
    which one of these is worked, and on floor from then on to the end (before that it may be).
    """

    name: str
    home: int
    footprint: int
    allowed: frozenset[int]
    moves: tuple[tuple[int, ...], ...]
    nights: tuple[int, ...]
    bed: bool = False
    start: int = HOME
    shape: tuple[tuple[int, int], ...] = ()
    used_by: frozenset[int] = frozenset()
    loose_from: frozenset[int] = frozenset()
    unpowered: frozenset[int] = frozenset()
    shut: frozenset[int] = frozenset()

    @property
    def begins(self) -> int:
        """Return the number of the place where it stands before the first stage."""
        return self.home if self.start == HOME else self.start


@dataclass(frozen=True, slots=True, kw_only=True)
class MovingProblem:
    """A house to be worked section by section with its furniture in it. Places and pieces are named by their numbers.

    `ways` are the pairs of places one can walk between, `OUTSIDE` among them. `sets` are the sections that may be worked in
    one stage; `before` holds pairs of which the first is worked no later than the second. `clear[s]` are the places that
    hold nothing while section s is worked (dust). A stage of work costs `setup`, one of waiting `wait`; `beds` must
    stand in places that sleep in every stage, and one `toilet` place must be neither worked nor curing where there is any.
    Where it is `lived_in`, a bed or a toilet to which nobody gets in the evening is none; to each place of `reach` one gets in
    every stage in which it is not worked. The ways are like the crew's, but through what was worked only where it does
    not cure.

    `fields` are the continuous fields, each with its alternatives (pairs like `before`): one of them holds throughout.
    `nowhere` is the place that is no floor: it has no ways, and all that comes and goes has room there.

    For planning from the middle of a job: `done` are the sections worked already, `curing` the places that cure now, with for
    how many stages from the first on. With an `opening` the first stage is the carry-in: nothing is worked, it costs no
    setup, what is in the house stands where it starts, and what is carried in is put on floor that is free. Neither a way
    nor a bed is asked for in it.
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
    fields: tuple[tuple[tuple[tuple[int, int], ...], ...], ...] = ()
    nowhere: int = NONE
    done: frozenset[int] = frozenset()
    curing: tuple[tuple[int, int], ...] = ()
    opening: bool = False
    lived_in: bool = False
    reach: frozenset[int] = frozenset()

    @property
    def sections(self) -> tuple[int, ...]:
        """Return the places that are worked."""
        return tuple(number for number, place in enumerate(self.places) if place.worked)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """Work on some sections (none: a night of waiting, or the opening) with the pieces standing `at` these places, by piece."""

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

    `NO_WAY`: proved that there is none. `UNKNOWN`: none was found in the time given. A plan without stages is one where
    nothing is left to be worked.
    """

    status: Status
    stages: tuple[Stage, ...] = ()
    cost: int = 0
    bound: int = 0

    @property
    def gap(self) -> float:
        """Return by how much of its cost the plan may be above the best there is, 0..1."""
        return (self.cost - self.bound) / self.cost if self.stages and self.cost else 0.0
