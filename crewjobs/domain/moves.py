"""Furniture stages as they were found: what is worked in which order, what is carried, and where everything stands meanwhile.

A plan of moves is immutable; another one takes its place. It is in force as long as the job's own order of work is the one
it was made for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

Spot = tuple[str, str]
"""A room and a section of it (empty for a room that is not cut)."""
IN_PLACE: Spot = ("", "")
"""Nowhere on a floor: on the truck, on its hinges, used up."""


class Belongs(StrEnum):
    """What kind of thing takes floor."""

    FURNITURE = "furniture"
    APPLIANCE = "appliance"
    CARTONS = "cartons"
    DOOR = "door"


class StageKind(StrEnum):
    """What a stage of moves is for."""

    CARRY_IN = "carry-in"
    WORK = "work"
    WAIT = "wait"
    HOME = "home"


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedPiece:
    """One thing that is carried as one: its name, where it belongs, who carries it. `letter` marks it in the drawing.

    `covers` are the rectangles of floor it takes, in whole inches.
    """

    letter: str
    name: str
    belongs: Belongs
    home: Spot
    people: int = 1
    weight_lb: float = 0.0
    covers: tuple[tuple[int, int], ...] = ()
    bed: bool = False
    power: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where a piece (by its place in the plan's list) stands in a stage.

    `at` are its rectangles in inches from the section's own corner: x along the room's length, y across it, width along x,
    depth along y. Empty where only the area of the place was looked at.
    """

    piece: int
    spot: Spot
    at: tuple[tuple[int, int, int, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """One carry: a piece from one place to another in so many labor minutes; `down` where it is only set down there."""

    piece: int
    start: Spot
    to: Spot
    minutes: float
    down: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveStage:
    """What is carried, in this order, then what is worked (nothing in a carry-in, a wait, or when all goes home).

    `free` are ways of 32 in kept clear, per place walked through: rectangles as those of `Standing`. `aside` are pieces that stay
    in their place and are pushed aside there.
    """

    kind: StageKind
    worked: tuple[Spot, ...] = ()
    carried: tuple[Carried, ...] = ()
    standing: tuple[Standing, ...] = ()
    free: tuple[tuple[Spot, tuple[tuple[int, int, int, int], ...]], ...] = ()
    aside: tuple[int, ...] = ()

    @property
    def minutes(self) -> float:
        """Return the labor minutes of its carries."""
        return sum(carry.minutes for carry in self.carried)


@dataclass(frozen=True, slots=True, kw_only=True)
class MovesPlan:
    """Stages in order. `cost` and `bound` are labor minutes with set-ups and nights, without what is set down on the way; no plan
    costs less than `bound`.

    `proved`: nothing is cheaper; with `given` in the order of work the job gave. `taken_as` are assumptions made where the job did not say, a sentence each; `basis` is a
    hash of all that was looked at, which differs when the house was changed since.
    """

    at: datetime
    pieces: tuple[MovedPiece, ...]
    stages: tuple[MoveStage, ...]
    cost: float
    bound: float
    proved: bool
    basis: str
    taken_as: tuple[str, ...] = ()
    given: bool = False

    @property
    def order(self) -> tuple[tuple[Spot, ...], ...]:
        """Return the sections by stage of work, as a job's own stages are."""
        return tuple(stage.worked for stage in self.stages if stage.kind is StageKind.WORK)

    @property
    def gap(self) -> float:
        """Return by how much of its cost the plan may be above the best there is, 0..1."""
        return max(0.0, (self.cost - self.bound) / self.cost) if self.cost else 0.0


def in_force(plans: Sequence[MovesPlan], stages: Sequence[Sequence[Spot]]) -> MovesPlan | None:
    """Return the last plan of moves if the job is worked in its order; None where another order was given since."""
    if not plans:
        return None
    asked = [frozenset(stage) for stage in stages]
    made = [frozenset(stage) for stage in plans[-1].order]
    return plans[-1] if asked == made else None
