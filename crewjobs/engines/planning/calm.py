"""Planning again, calmly: what the plan before promised people for the coming days stays, as far as it still can.

Two ways are tried, and the one that harms less is kept: every job keeps what it can of its places and the rest goes
into the gaps between them; or the jobs go one after the other as they were, each a little later where the one before
it takes longer.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import NamedTuple

from crewjobs.domain.plan import BlockKey, Placement
from crewjobs.engines.planning.jobwork import SPARE_DAYS, Floor, JobWork
from crewjobs.engines.planning.objective import frozen_until
from crewjobs.engines.planning.packing import pack
from crewjobs.engines.planning.placing import Attempt, Placer, Way
from crewjobs.engines.planning.timeline import Booking

CALM_DAYS = 14
"""A job that comes within so many days stays where it was planned, unless moving it helps a promise."""


class _Harm(NamedTuple):
    """What a way does to people, the first difference decides."""

    missing: int
    """Blocks without a place."""
    broken: int
    """Promises that the plan before kept and that are not kept like this; of a job let go, as far as can be seen now."""
    told: int
    """Blocks of what is left of today and of a crew's next day that are elsewhere though nothing hits them."""
    upset: int
    """Blocks on another day or with another crew (all of a job most of whose work would move), and one for every two days
    by which jobs finish later than they were planned to."""
    anew: int
    """Jobs most of whose work would move: nobody knows yet where to."""
    late: int
    """Days after promises, all jobs together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Before:
    """A job and where the plan before had it; `way` has the crew that did most of it."""

    work: JobWork
    places: tuple[Placement, ...]
    way: Way

    def on(self, floor: Floor, numbers: set[int]) -> tuple[date, date, frozenset[str]] | None:
        """Return from which day to which tasks were planned, and with whom; None where they were not."""
        was = [placed for placed in self.places if numbers & set(placed.tasks)]
        if not was:
            return None
        days = [floor.date_of(self.work.record, floor.axis.down(placed.start)) for placed in was]
        ends = [floor.date_of(self.work.record, floor.axis.up(placed.end) - 1) for placed in was]
        return min(days), max(ends), frozenset(placed.crew for placed in was)


class Staying(NamedTuple):
    """The jobs that stay as the plan before had them, by number, and whether they slide: keeping all first harms more."""

    jobs: dict[int, Attempt]
    slid: bool


def staying(
    works: Sequence[JobWork],
    floor: Floor,
    placer: Placer,
    days: int = CALM_DAYS,
    *,
    pinned: bool = False,
    slides: bool = True,
) -> Staying:
    """Return the jobs of the coming `days` as the plan before had them; their bookings are on the timelines.

    A job most of whose work would move is left out, to be planned anew; so is one with a pin, unless `pinned`
    says that those stay, too, whose pins the plan before kept. Without `slides` all keep first what they can.
    """
    jobs = _before(works, floor, days, pinned=pinned)
    if not jobs:
        return Staying(jobs={}, slid=False)
    soon = _unhit_soon(jobs, floor, placer)
    ways = []
    for kept in (_kept, _one_by_one, _shifted) if slides else (_kept,):
        found = kept(jobs, floor, placer)
        let_go = _let_go(jobs, found, floor, placer)
        ways.append((_harm(jobs, found, floor, soon, let_go), found))
        for attempt in (*found.values(), *let_go.values()):
            for booking in attempt.placed.values():
                placer.unbook(booking)
    best = min(ways, key=lambda way: way[0])[1]
    for attempt in best.values():
        for booking in attempt.placed.values():
            floor.timelines[booking.crew].add(booking)
    return Staying(jobs=best, slid=best is not ways[0][1])


def as_before(work: JobWork, floor: Floor, placer: Placer, *, little: bool = False) -> Attempt | None:
    """Return a job as the plan before had it, as far as it can be among what is booked; no booking is left behind.

    None where the plan before did not have it, or most of its work would move, unless `little` of it will do.
    """
    for one in _before([work], floor, floor.problem.days + SPARE_DAYS, pinned=True):
        begun = Attempt(way=one.way, placed=placer.still(one.work, one.places, one.way))
        whole = _repaired(one, begun, floor, placer, little=little)
        if whole is not None:
            for booking in whole.placed.values():
                placer.unbook(booking)
            return whole
    return None


def _before(works: Sequence[JobWork], floor: Floor, days: int = CALM_DAYS, *, pinned: bool = False) -> list[_Before]:
    """Return the jobs that come within so many days, by their start in the plan before."""
    plan = floor.problem.previous
    if plan is None:
        return []
    until = floor.problem.now + timedelta(days=days)
    found = []
    for work in works:
        still_open = {task.number for block in work.blocks.values() for task in block.tasks}
        places = tuple(p for p in plan.placements if p.key.job == work.number and still_open & set(p.tasks))
        if (work.pins and not pinned) or not places or min(placed.start for placed in places) >= until:
            continue
        time = {crew: sum((p.end - p.start for p in places if p.crew == crew), timedelta()) for crew in floor.crews}
        way = Way(main=max(time, key=lambda crew: time[crew]), since=0, wished=0)
        found.append(_Before(work=work, places=places, way=way))
    return sorted(found, key=lambda one: (min(placed.start for placed in one.places), one.work.number))


def _kept(jobs: Sequence[_Before], floor: Floor, placer: Placer) -> dict[int, Attempt]:
    """Book what stays of all jobs first, then the rest around it."""
    return _around(jobs, floor, placer)


def _one_by_one(jobs: Sequence[_Before], floor: Floor, placer: Placer) -> dict[int, Attempt]:
    """Book job after job, what stays of each and then its rest."""
    found: dict[int, Attempt] = {}
    for one in jobs:
        found.update(_around([one], floor, placer))
    return found


def _around(jobs: Sequence[_Before], floor: Floor, placer: Placer) -> dict[int, Attempt]:
    begun = [(one, Attempt(way=one.way, placed=placer.still(one.work, one.places, one.way))) for one in jobs]
    tried = [(one, _repaired(one, attempt, floor, placer)) for one, attempt in begun]
    return {one.work.number: whole for one, whole in tried if whole is not None}


def _shifted(jobs: Sequence[_Before], floor: Floor, placer: Placer) -> dict[int, Attempt]:
    """Book every block with the crew and in the order it had, no sooner than it was: the right shift, gaps take it up."""
    placed = {one.work.number: dict(placer.fixed_of(one.work)) for one in jobs}
    free = {crew: max((booking.end for mine in placed.values() for booking in mine.values() if booking.crew == crew),
                      default=0) for crew in floor.crews}  # fmt: skip
    at = {(one.work.number, task): placement for one in jobs for placement in one.places for task in placement.tasks}
    order = sorted(
        (at[key.job, key.task].start, one.work.number, one.work.order.index(key), key, one)
        for one in jobs
        for key in one.work.order
        if (key.job, key.task) in at and key not in placed[key.job]
    )
    for _, number, _, key, one in order:
        if any(link.before not in placed[number] for link in one.work.into[key]):
            continue
        booking = placer.shifted(one.work, key, one.places, placed[number], free.get(at[number, key.task].crew, 0))
        if booking is not None:
            placed[number][key] = booking
            free[booking.crew] = booking.end
    found = {}
    for one in jobs:
        fixed = placer.fixed_of(one.work)
        mine = {key: booking for key, booking in placed[one.work.number].items() if key not in fixed}
        whole = _repaired(one, Attempt(way=one.way, placed=mine), floor, placer, little=True)
        if whole is not None:
            found[one.work.number] = whole
    return found


def _repaired(one: _Before, attempt: Attempt, floor: Floor, placer: Placer, *, little: bool = False) -> Attempt | None:
    """Book the rest of a job around what stays of it, packed; None, and nothing booked, where most of it would move.

    With `little` it does not matter how much stays.
    """
    work, kept = one.work, frozenset(attempt.placed)
    placer.repaired(work, one.places, attempt)
    fixed = placer.fixed_of(work)
    stays = {
        key
        for key, booking in attempt.placed.items()
        if _is_on_its_day(one, booking, floor) and (key in kept or not work.blocks[key].second)
    }
    packed = pack(work, floor, {**fixed, **attempt.placed}, held=stays)
    whole = replace(attempt, placed={key: booking for key, booking in packed.items() if key not in fixed})
    labor = {key: sum(work.blocks[key].labor) for key in work.order if key not in fixed}
    enough = little or sum(labor[key] for key in stays) * 2 >= sum(labor.values())
    if enough and _as_pinned(work, whole.placed, floor):
        return whole
    for booking in whole.placed.values():
        placer.unbook(booking)
    return None


def _as_pinned(work: JobWork, placed: Mapping[BlockKey, Booking], floor: Floor) -> bool:
    """Return whether every pinned block is with its crew and begins on its day."""
    return all(
        key in placed and (placed[key].crew, floor.date_of(work.record, placed[key].start)) == (pin.crew, pin.day)
        for key, pins in work.pins.items()
        for pin in pins
    )


def _is_on_its_day(one: _Before, booking: Booking, floor: Floor) -> bool:
    was = one.on(floor, {task.number for task in one.work.blocks[booking.key].tasks})
    day = floor.date_of(one.work.record, booking.start)
    return was is not None and was[0] <= day <= was[1] and booking.crew in was[2]


def _was_kept(one: _Before, floor: Floor) -> bool:
    """Return whether the plan before kept the promise of a job."""
    promised = one.work.record.job.promised
    end = max(placed.end for placed in one.places)
    return promised is not None and floor.date_of(one.work.record, floor.axis.up(end) - 1) <= promised


def _unhit_soon(jobs: Sequence[_Before], floor: Floor, placer: Placer) -> frozenset[BlockKey]:
    """Return the blocks of what is left of today and of each crew's next day that can lie where they were."""
    until = {crew: frozen_until(floor, crew) for crew in floor.crews}
    still = [placer.still(one.work, one.places, one.way) for one in jobs]
    found = [(one, booking) for one, kept in zip(jobs, still, strict=True) for booking in kept.values()]
    for _, booking in found:
        placer.unbook(booking)
    return frozenset(
        booking.key
        for one, booking in found
        if booking.start < until[booking.crew] and _is_on_its_day(one, booking, floor)
    )


def _let_go(jobs: Sequence[_Before], found: Mapping[int, Attempt], floor: Floor, placer: Placer) -> dict[int, Attempt]:
    """Book the jobs that a way lets go, and whose promise was kept, as they were as far as that goes, around the rest."""
    gone = [one for one in jobs if one.work.number not in found and _was_kept(one, floor)]
    begun = [(one, Attempt(way=one.way, placed=placer.still(one.work, one.places, one.way))) for one in gone]
    tried = [(one, _repaired(one, attempt, floor, placer, little=True)) for one, attempt in begun]
    return {one.work.number: whole for one, whole in tried if whole is not None}


def _misses(one: _Before, attempt: Attempt, floor: Floor) -> bool:
    """Return whether a job as placed ends after its promise."""
    promised, ends = one.work.record.job.promised, [booking.end for booking in attempt.placed.values()]
    return promised is not None and bool(ends) and floor.date_of(one.work.record, max(ends) - 1) > promised


def _harm(
    jobs: Sequence[_Before],
    found: Mapping[int, Attempt],
    floor: Floor,
    soon: frozenset[BlockKey] = frozenset(),
    let_go: Mapping[int, Attempt] | None = None,
) -> _Harm:
    missing = anew = broken = late = later = moved = told = 0
    for one in jobs:
        attempt = found.get(one.work.number)
        if attempt is None:
            anew += 1
            moved += len(one.work.blocks)  # what of it stays on its page is weighed when its turn comes
            if _was_kept(one, floor):
                where = let_go.get(one.work.number) if let_go else None
                broken += where is None or bool(where.missing) or _misses(one, where, floor)
            continue
        missing += len(attempt.missing)
        gone = [booking.key for booking in attempt.placed.values() if not _is_on_its_day(one, booking, floor)]
        moved += len(gone)
        told += sum(key in soon for key in gone)
        if not attempt.placed:
            continue
        record = one.work.record
        last = floor.date_of(record, max(booking.end for booking in attempt.placed.values()) - 1)
        was = floor.date_of(record, floor.axis.up(max(placed.end for placed in one.places)) - 1)
        later += max(0, (last - was).days)
        if record.job.promised is not None:
            late += max(0, (last - record.job.promised).days)
            broken += _was_kept(one, floor) and _misses(one, attempt, floor)
    return _Harm(missing=missing, broken=broken, told=told, upset=moved + later // 2, anew=anew, late=late)
