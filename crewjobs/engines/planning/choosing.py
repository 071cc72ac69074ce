"""How one job is done among what is booked: every crew tried, the best of them in more ways, the least cost wins."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from itertools import combinations, islice, product
from typing import NamedTuple

from crewjobs.domain.plan import BlockKey
from crewjobs.engines.planning.jobwork import HALF_DAY_SLOTS, Floor, JobWork
from crewjobs.engines.planning.packing import comings, open_days, over_night, pack, two_trips
from crewjobs.engines.planning.placing import Attempt, Placer, Way
from crewjobs.engines.planning.timeline import Booking

LATER_DAYS = 7
"""How many days later than it could a house is opened at most, to have it open fewer days."""
CLOSER_LOOKS = 2
"""How many crews a job is tried with in other ways than the plain one."""


MOST_MIXES, MIXES = 48, 4
"""How many ways to share out work that must follow soon are looked at, and how many that do are kept, for one job."""


class Cost(NamedTuple):
    """What is compared, the first difference decides."""

    missing: int
    """Blocks without a place."""
    late: int
    """Days after the promise."""
    crews: int
    """Crews that come."""
    others: int
    """Slots worked by others than the main crew."""
    days: int
    """Days the house is open and days to the job's end, together."""
    comings: int
    """Visits, and days that work in a house that stands open waits (`packing.comings`)."""
    end: int
    """Slot at which the last block ends."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A job as one crew would do it, packed; `refused` where the house may not be opened like this."""

    attempt: Attempt
    packed: dict[BlockKey, Booking]
    refused: bool
    cost: Cost
    over_night: bool = False
    """Whether something that must end on the day it begins does not."""

    @property
    def rank(self) -> tuple[bool, bool, Cost]:
        return self.refused, self.over_night, self.cost


class Chooser:
    """Tries jobs on the crews' timelines; leaves no booking behind. `fixed` is work under way."""

    def __init__(self, floor: Floor, placer: Placer, fixed: Mapping[BlockKey, Booking]) -> None:
        self._floor = floor
        self._placer = placer
        self._fixed = fixed
        self._mixes: dict[int, list[Way]] = {}  # by job: how crews may share what must follow soon

    def best(self, work: JobWork, wished: int) -> Found:
        """Return the best way to do a job: every crew tried as the main one, the best of them looked at closer."""
        first = [self.attempt(work, Way(main=crew, since=wished, wished=wished)) for crew in self.mains(work)]
        if all(_never_in_time(work, found.attempt) for found in first):
            first += [self.attempt(work, replace(way, since=wished, wished=wished)) for way in self._mixed(work)]
        best = sorted(first, key=lambda found: found.rank)
        if best[0].refused:
            return best[0]
        # Another way with the same crew changes neither what it cannot do nor who else must come.
        equal = [found for found in best if not found.refused and found.cost[:4] <= best[0].cost[:4]]
        return min((self.closer(work, found) for found in equal[:CLOSER_LOOKS]), key=lambda found: found.rank)

    def _mixed(self, work: JobWork) -> list[Way]:
        """Return a few ways to share out among crews what must follow soon, which would do if all crews were free.

        Found once for a job, those with the fewest hand-overs: where there is none no other job is to blame.
        """
        if work.number not in self._mixes:
            floor, found = self._floor.emptied(), list[Way]()
            free = Chooser(floor, Placer(floor, self._fixed), self._fixed)
            for way in islice(self._shared_out(work), MOST_MIXES):
                attempt = free.attempt(work, way).attempt
                if not _never_in_time(work, attempt):
                    found.append(way)
                if len(found) == MIXES:
                    break
            self._mixes[work.number] = found
        return self._mixes[work.number]

    def _shared_out(self, work: JobWork) -> Iterator[Way]:
        """Yield ways in which crews share what must follow soon, those with the fewest hand-overs first."""
        floor = self._floor
        tied = [key for key in work.order if (key in work.tight or key in work.tight_out) and key not in self._fixed]
        tied = [key for key in tied if key not in work.pins and not work.blocks[key].crew]
        able = {key: [crew for crew in floor.crews if floor.able(work.blocks[key], crew)] for key in tied}
        for others in range(1, len(tied) + 1):
            for main in self.mains(work):
                for some in combinations(tied, others):
                    for crews in product(*([one for one in able[key] if one != main] for key in some)):
                        yield Way(main=main, since=0, wished=0, crews=dict(zip(some, crews, strict=True)))

    def mains(self, work: JobWork) -> list[str]:
        """Return the crews that can do some of a job; one without a name where none can."""
        loose = [block for key, block in work.blocks.items() if key not in self._fixed]
        able = [crew for crew in self._floor.crews if any(self._floor.able(block, crew) for block in loose)]
        return able or [""]

    def closer(self, work: JobWork, found: Found) -> Found:
        """Return the best of several ways with the same crew: fewer visits, or a house opened later.

        Half days are not split over a night; cartons go in one visit with what they need; work on the floors
        starts up to a week later, as long as the promise is kept as well.
        """
        floor = self._floor
        ways = [replace(found.attempt.way, unsplit=HALF_DAY_SLOTS)]
        if work.ahead:
            ways = [replace(way, joined=True) for way in (found.attempt.way, *ways)] + ways
        best = min((*(self.attempt(work, way) for way in ways), found), key=lambda found: found.rank)
        starts = [booking.start for key, booking in best.packed.items() if key not in work.ahead]
        if (
            not starts
            or work.under_way
            or work.pins
            or (open_days(work, floor, best.packed) == 1 and not best.over_night)
        ):
            return best
        opening, way = floor.date_of(work.record, min(starts)), best.attempt.way
        for days in range(1, LATER_DAYS + 1):
            since = floor.day(work.record, opening + timedelta(days=days))[0]
            later = self.attempt(work, replace(way, since=since))
            if since >= floor.until or later.refused or (not best.over_night and later.cost[:2] > best.cost[:2]):
                break
            # Rooms that can be laid now are not put off until the second trip to save one of the two.
            if two_trips(work, best.packed) and not two_trips(work, later.packed):
                break
            best = min(best, later, key=lambda found: found.rank)
        return best

    def attempt(self, work: JobWork, way: Way) -> Found:
        """Return a job as done in one way."""
        attempt = self._placer.attempt(work, way)
        refused = self.stays_shut(work, attempt)
        packed = self.packed(work, attempt)
        cost = self.cost(work, attempt, packed)
        over_night = self.over_night(work, packed)
        return Found(attempt=attempt, packed=packed, refused=refused, cost=cost, over_night=over_night)

    def stays_shut(self, work: JobWork, attempt: Attempt) -> bool:
        """Return whether a house is not opened: some of it has no place, but for what may be left for later, or no
        place before the plan ends.
        """
        if work.opened:
            return False
        causes = set(attempt.missing.values()) - work.later
        starts = [booking.start for booking in attempt.placed.values()]
        if not starts:
            return bool(attempt.missing)
        return bool(causes) or min(starts) >= self._floor.until

    def over_night(self, work: JobWork, packed: Mapping[BlockKey, Booking]) -> bool:
        """Return whether something that must end on the day it begins does not."""
        return over_night(work, self._floor, packed)

    def packed(self, work: JobWork, attempt: Attempt) -> dict[BlockKey, Booking]:
        """Return an attempt packed; leave no booking behind."""
        for booking in attempt.placed.values():
            self._floor.timelines[booking.crew].add(booking)
        packed = pack(work, self._floor, {**self._placer.fixed_of(work), **attempt.placed})
        for key, booking in packed.items():
            if key not in self._fixed:
                self._placer.unbook(booking)
        return packed

    def cost(self, work: JobWork, attempt: Attempt, packed: Mapping[BlockKey, Booking]) -> Cost:
        """Return what a job costs as placed."""
        floor, promised = self._floor, work.record.job.promised
        end = max((booking.end for booking in packed.values()), default=1)
        last = floor.date_of(work.record, end - 1)
        late = 0 if promised is None else max(0, (last - promised).days)
        crews = frozenset(booking.crew for booking in packed.values()).union(work.crews_seen)
        others = sum(
            floor.slots(work.blocks[key], booking.crew)
            for key, booking in packed.items()
            if booking.crew != attempt.way.main
        )
        days = open_days(work, floor, packed) + (last - floor.date_of(work.record, 0)).days
        return Cost(
            missing=len(attempt.missing),
            late=late,
            crews=len(crews),
            others=others,
            days=days,
            comings=comings(work, floor, packed),
            end=end,
        )


def _never_in_time(work: JobWork, attempt: Attempt) -> bool:
    """Return whether a block has no place because it, or one that must follow it soon, never starts in time."""
    whys = (attempt.causes[cause] for cause in attempt.missing.values())
    return any(why.latest is not None and why.key in work.tight for why in whys)
