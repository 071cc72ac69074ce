"""What a new floor's height means where it meets something: other floors, doors, flanges, counters, first and last risers.

Everything here is to be known before material is ordered. Nothing is decided here: what is found is what to look at.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from crewjobs.domain.house import FixtureKind, Opening, Room, Stairs, Transition
from crewjobs.domain.job import Job
from crewjobs.domain.units import INCH
from crewjobs.engines.heights.build_up import BuildUp, build_up, of_stairs
from crewjobs.engines.heights.left import Left

LEVEL: Final = INCH // 8
"""Floors that differ by no more are bridged by a T-mold (common practice, no source: the strip's maker decides)."""
WANTED_GAP: Final = INCH // 2
"""Free under an interior door over the new floor (trade-facts section 10, general guides)."""
WIDEST_RATED_GAP: Final = 3 * INCH // 4
"""Free under a fire-rated door at most (NFPA 80, after general guides)."""
LEAST_CUT: Final = INCH // 16
"""Less is not taken off a door."""
MOST_CUT: Final = INCH // 2
"""A hollow door is cut by no more at its foot, a solid one by about 1 1/2 in (general guides)."""
FLANGE_ABOVE: Final = INCH // 4
"""A closet flange's top over the new floor (general plumbing guides); flush to that is accepted."""
COUNTER: Final = 69 * INCH // 2
"""A usual opening under a counter, 34 1/2 in (common practice, no source)."""
UNDER_COUNTER: Final = (FixtureKind.DISHWASHER, FixtureKind.HARD_WIRED_DISHWASHER)
"""What stands under a counter and has to slide back in over the new floor."""
MOST_RISER: Final = 3 * INCH // 8
"""Risers of a flight differ by no more (IRC R311.7.5.1, MEMORY)."""


class Joint(StrEnum):
    """What two floors ask for where they meet. Words for people are made elsewhere."""

    RUNS_ON = "runs on"
    T_MOLD = "T-mold"
    REDUCER = "reducer"
    RAMP = "ramp"


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorsMeet:
    """Two floors in an opening: which room's is higher, by how much (1/4064 inch), and what that asks for; `fits`: what is planned does."""

    opening: Opening
    higher: str
    lower: str
    apart: int
    joint: Joint
    fits: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorOver:
    """A door over a floor that rises: by how much, and how much must come off it; None where the gap under it was not measured."""

    opening: Opening
    room: str
    rise: int
    cut: int | None

    @property
    def much(self) -> bool:
        """Return whether that is more than a hollow door takes."""
        return self.cut is not None and self.cut > MOST_CUT


class FlangeNeed(StrEnum):
    """What a closet flange asks for."""

    NOTHING = "nothing"
    LOWER = "too high"
    THICK_RING = "an extra-thick ring or a waxless seal"
    EXTENDER = "an extender ring"
    PLUMBER = "a plumber"


@dataclass(frozen=True, slots=True, kw_only=True)
class FlangeAt:
    """A closet flange's top over the new floor, less than zero below it; None where it was not measured."""

    room: str
    rise: int
    above: int | None
    need: FlangeNeed | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ApplianceUnder:
    """An appliance under a counter over a floor that rises: what stays free, None where it was not measured."""

    room: str
    rise: int
    stays: int | None

    @property
    def tight(self) -> bool:
        """Return whether less is free than is usual for such an appliance."""
        return self.stays is not None and self.stays < COUNTER


@dataclass(frozen=True, slots=True, kw_only=True)
class RisersOf:
    """By how much the first and the last riser of stairs come to differ from those between; None where the floor there is not known."""

    stairs: Stairs
    first: int | None
    last: int | None

    @property
    def over(self) -> bool:
        """Return whether either differs by more than is allowed."""
        return any(change is not None and abs(change) > MOST_RISER for change in (self.first, self.last))


Met = FloorsMeet | DoorOver | FlangeAt | ApplianceUnder | RisersOf


def met(job: Job, left: Left | None = None) -> Iterator[Met]:
    """Yield everything a job's new floors meet by their height; `left` is what stays under them, by room."""
    stays = left or {}
    built = {room.name: build_up(job, room, stays.get(room.name, frozenset())) for room in job.rooms}
    new = {room.name for room in job.rooms if room.floor is not None}
    for opening in job.openings:
        if new & {*opening.between}:
            yield from _floors(opening, built)
            yield from _door(opening, built, new)
    for room in job.rooms:
        found = built[room.name]
        if room.name in new and found is not None:
            yield from _fixtures(room, found)
    for stairs in job.stairs:
        yield from _risers(job, stairs, built)


def joint_of(apart: int, transition: Transition) -> tuple[Joint, bool]:
    """Return what floors so far apart in height ask for, and whether a way they are planned to meet does."""
    if apart > INCH // 2:
        return Joint.RAMP, False
    if apart > LEVEL:
        return Joint.REDUCER, transition in (Transition.REDUCER, Transition.THRESHOLD, Transition.END_CAP)
    if transition is Transition.CONTINUOUS:
        return Joint.RUNS_ON, apart == 0
    return Joint.T_MOLD, transition is not Transition.REDUCER or apart > 0


def flange_need(above: int) -> FlangeNeed:
    """Return what a flange asks for whose top is so far above the new floor (below: less than zero)."""
    if above >= 2 * FLANGE_ABOVE:
        return FlangeNeed.LOWER
    if above >= 0:
        return FlangeNeed.NOTHING
    if above >= -INCH // 4:
        return FlangeNeed.THICK_RING
    return FlangeNeed.EXTENDER if above >= -INCH // 2 else FlangeNeed.PLUMBER


def _floors(opening: Opening, built: dict[str, BuildUp | None]) -> Iterator[FloorsMeet]:
    one, other = (built.get(name) for name in opening.between)
    if one is None or other is None or opening.steps:
        return
    apart = one.becomes - other.becomes
    higher, lower = opening.between if apart >= 0 else opening.between[::-1]
    joint, fits = joint_of(abs(apart), opening.transition)
    yield FloorsMeet(opening=opening, higher=higher, lower=lower, apart=abs(apart), joint=joint, fits=fits)


def _door(opening: Opening, built: dict[str, BuildUp | None], new: set[str]) -> Iterator[DoorOver]:
    if not opening.door:
        return
    rises = [(found.rise, name) for name in opening.between if name in new and (found := built[name]) is not None]
    rise, room = max(rises, default=(0, ""))
    if rise <= 0:
        return
    cut = None if opening.gap is None else rise + WANTED_GAP - opening.gap
    if cut is not None and cut < LEAST_CUT:
        cut = 0
    yield DoorOver(opening=opening, room=room, rise=rise, cut=cut)


def _fixtures(room: Room, found: BuildUp) -> Iterator[Met]:
    if room.has(FixtureKind.TOILET) and found.rise:
        above = None if room.flange is None else room.flange - found.rise
        yield FlangeAt(room=room.name, rise=found.rise, above=above, need=None if above is None else flange_need(above))
    if any(room.has(kind) for kind in UNDER_COUNTER) and found.rise > 0:
        stays = None if room.under_counter is None else room.under_counter - found.rise
        yield ApplianceUnder(room=room.name, rise=found.rise, stays=stays)


def _risers(job: Job, stairs: Stairs, built: dict[str, BuildUp | None]) -> Iterator[RisersOf]:
    if not stairs.between:
        return
    steps = of_stairs(job, stairs).rise
    low, high = (built[name] for name in stairs.between)
    first = None if low is None else steps - low.rise
    last = None if high is None else high.rise - steps
    if first or last:
        yield RisersOf(stairs=stairs, first=first, last=last)
