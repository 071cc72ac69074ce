"""From a job to the problem the search solves: its places, ways, pieces and rules, and what stands in the way from the start.

Floor is counted in tenths of a square foot, costs in tenths of a labor minute. What a job does not say is taken as usual, and
each such assumption is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import isinf
from typing import Final

from crewjobs.domain.furniture import Keeps, UsualFurniture
from crewjobs.domain.house import FixtureKind
from crewjobs.domain.job import Job
from crewjobs.domain.moves import Belongs, Spot
from crewjobs.domain.units import INCH
from crewjobs.domain.wording import counted
from crewjobs.engines.moving.model import OUTSIDE, MovingProblem, Piece, Place
from crewjobs.engines.stages.floors import area_in2, floor_plan, walked_in2
from crewjobs.engines.stages.things import Thing, things_of
from crewjobs.engines.stages.unfit import faults_of, places_words, slept_in, spot_words
from crewjobs.engines.stages.walks import GRIP_MIN, OUTDOORS, Passage, Walks, passages, size_of
from crewjobs.engines.stages.working import dusty, fields_of, laid_in_pieces, work_sets

PACKED: Final = 0.75
"""The share of a floor that is covered at most, so that people still get at what stands there; common practice, no source.
Up to so much nearly all still fits (measured); the rectangles are asked besides."""
PACKED_FULL: Final = 1.0
"""The same where only the rectangles count: what a house without any other way comes to."""
SETUP_MIN: Final = 60
"""Labor minutes to set up, clean and take up the seam again, for every stage of work; common practice, no source."""
WAIT_MIN: Final = 240
"""What a day on which the crew can only wait for a floor to cure costs; a judgement."""
BED_OUT_MIN: Final = 20
"""What a night in another room's bed costs, beside the carrying; a judgement."""
HINGES_MIN: Final = 1
"""What carrying a door to or from its hinges takes a person at least: none comes off before it must."""
DOOR_OFF_TENTHS: Final = 1
"""Tenths of a minute for every stage in which a door is off, so that none comes off before it must."""
CARTONS_A_TRIP: Final = 3
"""On a two-wheel hand truck; common practice, no source."""
NOBODY_TAKES: Final = 10**8
"""A carry for which there is no way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Here:
    """How far a job is: sections done, those begun, where things stand (by thing), and what cures for how many stages.

    `hanging` are the openings whose doors hang again, or never come off.
    """

    done: frozenset[Spot] = frozenset()
    begun: frozenset[Spot] = frozenset()
    at: Mapping[int, Spot] = field(default_factory=dict)
    curing: tuple[tuple[Spot, int], ...] = ()
    hanging: frozenset[str] = frozenset()

    @property
    def begins(self) -> bool:
        """Return whether anything was done or carried yet."""
        return bool(self.done or self.begun or self.at)


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """A job as a problem: `spots` names its places, `things` its pieces; `nowhere` is the last place.

    `packed` is the share of a floor that is covered at most, `areas` are the floors of `spots` in tenths of a square foot,
    `gets_out` the things that get out of the house, `outside` those of them that may stand dry but without heat and power.
    """

    problem: MovingProblem
    spots: tuple[Spot, ...]
    things: tuple[Thing, ...]
    taken_as: tuple[str, ...]
    packed: float = PACKED
    areas: tuple[int, ...] = ()
    outside: frozenset[int] = frozenset()
    gets_out: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Unfit:
    """Why there is nothing to search for: a sentence each."""

    sentences: tuple[str, ...]


def house_of(
    job: Job,
    usual: UsualFurniture,
    *,
    cures: Mapping[Spot, int],
    here: Here | None = None,
    any_order: bool = True,
    packed: float = PACKED,
) -> House | Unfit:
    """Return a job as a problem, or why it cannot be one.

    `cures` are the stages for which each section is nothing to stand on or walk through after it was laid. With
    `any_order` sections may be worked in any order their floors allow, else in the job's own. `packed` is the share of a floor
    that is covered at most.
    """
    here = here or Here()
    taken_as: list[str] = []
    floored = [
        (room.name, part.name)
        for room in job.rooms
        if room.floor is not None
        for part in room.sections
        if (room.name, part.name) not in here.done
    ]
    things = things_of(job, usual, floored, taken_as, laid=sorted(here.done), hanging=here.hanging)
    spots = tuple((room.name, part.name) for room in job.rooms for part in room.sections)
    heated = [spot for spot in spots if slept_in(job.room(spot[0]))]
    if len(heated) < 2 and not here.at and any(thing.belongs is Belongs.CARTONS for thing in things):
        things = tuple(thing for thing in things if thing.belongs is not Belongs.CARTONS)
        taken_as.append(
            "no heated place beside the one that is worked is named: where the cartons stand while it is worked is not looked at"
        )
    ways = passages(job, taken_as)
    faults = [*faults_of(job, spots, floored, things, ways, here.at)]
    if faults:
        return Unfit(tuple(faults))
    compiled = _Compiled(job, spots, things, ways, here, cures, taken_as, packed)
    gets_out = frozenset(i for i, thing in enumerate(things) if compiled.goes_outside(thing))
    return House(
        problem=compiled.problem(floored, any_order),
        spots=spots,
        things=things,
        taken_as=tuple(dict.fromkeys(taken_as)),
        packed=packed,
        gets_out=gets_out,
        outside=frozenset(i for i in gets_out if not (things[i].power or things[i].used_by or things[i].stays)),
        areas=tuple(_tenths(area_in2(job.room(spot[0]), spot[1])) for spot in spots),
    )


class _Compiled:
    def __init__(
        self,
        job: Job,
        spots: Sequence[Spot],
        things: Sequence[Thing],
        ways: Sequence[Passage],
        here: Here,
        cures: Mapping[Spot, int],
        taken_as: list[str],
        packed: float,
    ) -> None:
        self._packed = packed
        self._job, self._spots, self._things, self._here = job, spots, things, here
        self._cures, self._ways = cures, ways
        self._number = {spot: i for i, spot in enumerate(spots)} | {OUTDOORS: OUTSIDE}
        self._walks = Walks(spots, ways)
        self._nowhere = len(spots)
        self._taken_as = taken_as

    def problem(self, floored: Sequence[Spot], any_order: bool) -> MovingProblem:
        """Return the problem."""
        job, number = self._job, self._number
        stages = [[part for part in stage if part in floored] for stage in job.stages]
        free = any_order or not stages
        sets = [*work_sets(job, floored, self._ways)] if free else [frozenset(stage) for stage in stages if stage]
        begun = frozenset(floored) & self._here.begun
        if begun:  # what is being worked is finished as it was begun
            sets = [begun, *(one for one in sets if not one & begun)]
        before = [*self._begun_first(floored)]
        if not free:
            before += [(a, b) for one, then in pairwise(sets) for a in one for b in then]
            if not self._here.done:
                self._taken_as.append("the order of work is the one the job gives")
            anywhere = {frozenset(spots) for spots in laid_in_pieces(replace(job, starts=()), floored, sets)}
            for field_spots in laid_in_pieces(job, floored, sets):
                names = places_words(field_spots, most=6)
                self._taken_as.append(
                    f"in the order given, the floor of {names} is laid in pieces that meet later"
                    if frozenset(field_spots) in anywhere
                    else f"in the order given, the floor of {names} does not begin where its rows are to begin (starts)"
                )
        sleepers = [thing for thing in self._things if thing.sleeps and slept_in(job.room(thing.home[0]))]
        beds = job.site.beds if job.site.beds is not None else len(sleepers) if job.site.occupied else 0
        carried_in = any(thing.belongs is Belongs.CARTONS for thing in self._things) and not self._here.at
        toilets = [room.name for room in job.rooms if room.has(FixtureKind.TOILET)]
        asked = toilets if job.site.occupied and not job.site.toilet_meanwhile else []
        if len(asked) == 1 and any(spot[0] == asked[0] for spot in floored):
            nights = max(self._cures.get(spot, 0) for spot in floored if spot[0] == asked[0])
            self._taken_as.append(
                f"the only toilet is in {asked[0]}, whose floor cures: {counted(nights, 'night')} in which nobody uses it; "
                "something is to be arranged with the customer (toilet_meanwhile)"
                if nights
                else f"the only toilet is in {asked[0]}, which is worked: taken as put back the same day, or something is "
                "arranged for the night (toilet_meanwhile)"
            )
        return MovingProblem(
            places=(*(self._place(spot, floored, len(asked) > 1) for spot in self._spots), self._no_place()),
            pieces=tuple(self._piece(i, thing) for i, thing in enumerate(self._things)),
            ways=tuple((number[way.a], number[way.b]) for way in self._ways),
            sets=tuple(sorted({frozenset(number[s] for s in one) for one in sets}, key=sorted)),
            before=tuple(dict.fromkeys((number[a], number[b]) for a, b in before)),
            setup=SETUP_MIN * 10,
            wait=WAIT_MIN * 10,
            beds=beds,
            clear={number[s]: frozenset(number[p] for p in kept) for s, kept in dusty(job, floored)},
            fields=tuple(
                tuple(tuple((number[a], number[b]) for a, b in pairs) for pairs in ways)
                for ways in (fields_of(job, floored) if free else ())
            ),
            nowhere=self._nowhere,
            done=frozenset(number[s] for s in self._here.done if s in number and job.room(s[0]).floor is not None),
            curing=tuple((number[spot], left) for spot, left in self._here.curing if left > 0),
            opening=carried_in,
            lived_in=True,
            reach=frozenset(number[self._door_of(asked[0])] for _ in asked if len(asked) == 1),
        )

    def _door_of(self, room: str) -> Spot:
        """Return the section of a room one comes to first, as far as is known."""
        return next((end for way in self._ways for end in (way.a, way.b) if end[0] == room), (room, ""))

    def _begun_first(self, floored: Sequence[Spot]) -> Iterator[tuple[Spot, Spot]]:
        for begun in floored:
            if begun in self._here.begun:
                yield from ((begun, other) for other in floored if other not in self._here.begun)

    def _place(self, spot: Spot, floored: Sequence[Spot], toilets: bool) -> Place:
        room = self._job.room(spot[0])
        area = area_in2(room, spot[1])
        length, width = (side // INCH for side in size_of(room, spot[1]))
        standing = [i for i, thing in enumerate(self._things) if self._start(i, thing) == spot]
        load = sum(self._things[i].area_in2 for i in standing)
        own = sum(
            thing.area_in2
            for thing in self._things
            if thing.home == spot and not thing.loose_from and not thing.used_by
        )
        full = max(area * self._packed, load, own)
        walked = (area - walked_in2(length, width)) * self._packed
        return Place(
            name=spot_words(spot),
            capacity=_tenths(full),
            as_passage=_tenths(walked) if walked >= 0 else 0,
            worked=spot in floored or spot in self._here.done,
            sleeps=slept_in(room),
            toilet=toilets and bool(room.has(FixtureKind.TOILET)),
            cures=self._cures.get(spot, 0),
            floor=floor_plan(room, spot[1]),
        )

    def _no_place(self) -> Place:
        return Place(name="", capacity=10**9, as_passage=-1)

    def _start(self, i: int, thing: Thing) -> Spot | None:
        """Return where a thing stands before the first stage, None for nowhere."""
        if i in self._here.at:
            return self._here.at[i] if self._here.at[i] in self._number else None
        return None if thing.used_by or thing.loose_from else thing.home

    def _piece(self, i: int, thing: Thing) -> Piece:
        comes_and_goes = bool(thing.used_by or thing.loose_from)
        reached = self._reached(thing)
        allowed, unpowered = self._allowed(thing, reached)
        start = self._start(i, thing)
        at = self._nowhere if start is None else self._number[start]
        home = self._nowhere if comes_and_goes else self._number[thing.home]
        if comes_and_goes:
            allowed |= {self._nowhere}
        return Piece(
            name=thing.name,
            home=home,
            start=at,
            footprint=_tenths(thing.area_in2),
            allowed=frozenset(allowed | {at, home}),
            unpowered=frozenset(unpowered - {at, home}),
            shut=frozenset(range(len(self._spots))) - reached,
            moves=self._moves(thing),
            nights=tuple(self._night(thing, spot) for spot in (*self._spots, ("", ""))),
            bed=thing.sleeps,
            shape=thing.rects,
            used_by=frozenset(self._number[s] for s in thing.used_by),
            loose_from=frozenset(self._number[s] for s in thing.loose_from),
        )

    def _night(self, thing: Thing, spot: Spot) -> int:
        """Return tenths of a minute that a night there counts: another room's bed, a door off before it must be."""
        if thing.loose_from:
            return DOOR_OFF_TENTHS if spot[0] else 0
        return BED_OUT_MIN * 10 if thing.sleeps and spot[0] != thing.home[0] else 0

    def _reached(self, thing: Thing) -> frozenset[int]:
        """Return the places to which ways lead that a thing goes through."""
        walks = (
            self._walks.from_outside(thing.weight_lb, thing.people, thing.needs_in)
            if thing.used_by
            else self._walks.minutes(thing.weight_lb, thing.people, thing.needs_in)[self._number[thing.home]]
        )
        return frozenset(number for number, minutes in enumerate(walks) if not isinf(minutes))

    def goes_outside(self, thing: Thing) -> bool:
        """Return whether a thing gets out of the house from where it is at home."""
        outside = self._walks.from_outside(thing.weight_lb, thing.people, thing.needs_in)
        return not isinf(outside[self._number[thing.home]])

    def _allowed(self, thing: Thing, reached: frozenset[int]) -> tuple[set[int], set[int]]:
        """Return the places a thing may stand in, and those it may not only because they have no power."""
        if thing.stays:
            return {self._number[thing.home]}, set()
        allowed, unpowered = set[int](), set[int]()
        for spot in self._spots:
            if self._number[spot] not in reached:
                continue
            room, number = self._job.room(spot[0]), self._number[spot]
            if spot[0] == thing.home[0] and thing.belongs is not Belongs.CARTONS:
                allowed.add(number)
                continue
            if room.keeps is Keeps.NOTHING or room.has(FixtureKind.TOILET):
                continue
            if thing.belongs is Belongs.CARTONS and room.keeps is not Keeps.ANYTHING:
                continue
            if thing.power and not room.power:
                unpowered.add(number)
                continue
            allowed.add(number)
        return allowed, unpowered

    def _moves(self, thing: Thing) -> tuple[tuple[int, ...], ...]:
        """Return tenths of labor minutes from place to place; what is used up costs nothing."""
        walks = self._walks.minutes(thing.weight_lb, thing.people, thing.needs_in)
        outside = self._walks.from_outside(thing.weight_lb, thing.people, thing.needs_in)
        count = len(self._spots)
        grip = thing.people * GRIP_MIN * thing.grips + thing.set_down_min / 2

        def cost(a: int, b: int) -> int:
            if a == b:
                return 0
            if a == self._nowhere and thing.used_by:  # from the truck at the door
                loads = -(-thing.grips // CARTONS_A_TRIP)
                return NOBODY_TAKES if isinf(outside[b]) else round(10 * loads * outside[b])
            if self._nowhere in (a, b):
                if not thing.loose_from:
                    return 0
                walk = walks[self._number[thing.home]][a if b == self._nowhere else b]
                return NOBODY_TAKES if isinf(walk) else round(10 * (HINGES_MIN * thing.people + walk))
            return NOBODY_TAKES if isinf(walks[a][b]) else max(1, round(10 * (grip + thing.grips * walks[a][b])))

        return tuple(tuple(cost(a, b) for b in range(count + 1)) for a in range(count + 1))


def _tenths(square_inches: float) -> int:
    return int(square_inches / 14.4)
