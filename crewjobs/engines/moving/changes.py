"""What would open a house that has no plan: a rule given up, and by how little. Words for people are made elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from crewjobs.engines.moving.model import MovingProblem


class Rule(StrEnum):
    """What can be given up."""

    FLOOR = "floor"
    WALKWAY = "walkway"
    BEDS = "beds"
    POWER = "power"
    DUST = "dust"
    CARTONS = "cartons"
    CURE = "cure"
    ORDER = "order"
    STAYS = "stays"
    TOILET = "toilet"
    AWAY = "away"


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A rule given up by the least that is enough: `problem` is the house with it, which has a plan.

    `stages` is in how many stages it is needed at least. `worked` are the sections of the stage that needs it most (none: a
    wait, or it is needed in no stage by itself, as another order), `also` those of each other stage that needs it.
    """

    rule: Rule
    problem: MovingProblem
    stages: int
    worked: frozenset[int]
    also: tuple[frozenset[int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MoreFloor(Change):
    """A further store outside of so much floor (ft², as footprints are), for these pieces where it is needed most.

    `box` is how wide and long a store is at least in which they really stand in every stage (inches; 0: only area is known).
    """

    floor: int
    box: tuple[int, int] = (0, 0)
    pieces: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StepOver(Change):
    """A place where the crew steps over what stands there, `over` more floor covered than lets one through (0: it lies across).

    `pieces` stand there in the stage that needs it most.
    """

    place: int
    over: int
    pieces: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FewerBeds(Change):
    """So many beds fewer than asked for, in each of `stages` nights at most."""

    fewer: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WithoutPower(Change):
    """Pieces that stand without power."""

    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptElsewhere(Change):
    """Cartons that are kept in another house, or come later."""

    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class InDust(Change):
    """Sections that are worked although pieces stand in the places that should be clear."""

    sections: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShorterCure(Change):
    """Places that are stood on and walked through so many stages earlier."""

    places: tuple[int, ...]
    earlier: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherStart(Change):
    """Sections that hang together, laid from another one than asked for: any of `starts` will do (`problem` takes the first)."""

    sections: frozenset[int]
    starts: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MustMove(Change):
    """Pieces that were to stay where the floor is laid."""

    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WithoutToilet(Change):
    """Nights without a toilet: `stages` of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NightsAway(Change):
    """Nights (`stages` of them) in which nobody sleeps in the house: neither beds nor a toilet nor a way to them is asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """What would open a house. `open`: there is a way as it is, and nothing needs to change.

    `together` is asked for where no rule alone would do: a change with all the floor outside one could want, and then the
    least floor with it; `problem` of both is the house with both. `undecided` are the rules that were not looked at to the end: stopped, too hard, or the solver is not installed.
    """

    open: bool = False
    changes: tuple[Change, ...] = ()
    together: tuple[tuple[Change, MoreFloor], ...] = ()
    undecided: tuple[Rule, ...] = ()
