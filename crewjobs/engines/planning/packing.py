"""A job's bookings moved together under its fixed end, so that the house is open as few days as it can be."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from crewjobs.domain.plan import BlockKey
from crewjobs.engines.planning.calendars import slots_of
from crewjobs.engines.planning.jobwork import Floor, JobWork
from crewjobs.engines.planning.links import end_of_start_by, most_slots, start_to_end_by
from crewjobs.engines.planning.timeline import Booking

VISIT = 4
"""So many days that a block in an open house waits weigh as much as one visit more (`common practice`)."""


def link_slot(work: JobWork, key: BlockKey, bookings: Mapping[BlockKey, Booking]) -> int:
    """Return the slot from which the links of a block let it start."""
    return max(
        (bookings[link.before].end + slots_of(link.wait_min) for link in work.into[key] if link.before in bookings),
        default=0,
    )


def latest_slot(work: JobWork, floor: Floor, key: BlockKey, bookings: Mapping[BlockKey, Booking]) -> int | None:
    """Return the slot by which a block must start, None where nothing says so; what is too late already binds no more."""
    must = work.must.get(key)
    slots = [floor.axis.down(must.by)] if must is not None and must.by >= floor.problem.now else []
    tight = work.tight.get(key, ())
    slots += [floor.starts_by(work, link, bookings[link.before]) for link in tight if link.before in bookings]
    return min(slots, default=None)


def open_days(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> int:
    """Return the days from the first work on the floors to the job's end, both counted; carrying in opens no house.

    A house that stands open is so from the start of the plan on.
    """
    floors = {key: booking for key, booking in bookings.items() if key not in work.ahead}
    if not floors:
        return 0
    trips = two_trips(work, bookings)
    if trips is None:
        return _days(work, floor, opening(work, floors), max(booking.end for booking in bookings.values()))
    return sum(
        _days(work, floor, opening(work, {key: floors[key] for key in trip}), max(floors[key].end for key in trip))
        for trip in trips
    )


def opening(work: JobWork, floors: Mapping[BlockKey, Booking]) -> int:
    """Return the slot from which a house is open with some work on its floors: now, where it stands open already."""
    return 0 if stands_open(work, floors) else min(booking.start for booking in floors.values())


def stands_open(work: JobWork, keys: Iterable[BlockKey]) -> bool:
    """Return whether a house stands open while some work on its floors is to come; before a second trip it is shut."""
    return work.opened and any(not work.blocks[key].second for key in keys)


def comings(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> int:
    """Return how often crews come to the house, in quarters, and how many days the work in a house that stands open waits.

    A block that waits a day there weighs a quarter of a visit: a crew that has nothing else comes once more rather than
    leave such a house for days, but nobody comes for an hour on Friday to save one on Monday.
    """
    floors = [key for key in bookings if key not in work.ahead and not work.blocks[key].begun]
    waits = 0
    if stands_open(work, floors):
        waits = sum(_days(work, floor, 0, bookings[key].start + 1) - 1 for key in floors)
    return VISIT * visits(work, floor, bookings) + waits


def two_trips(work: JobWork, bookings: Mapping[BlockKey, Booking]) -> tuple[list[BlockKey], list[BlockKey]] | None:
    """Return the work on the floors of a first and of a second trip, None where there is one or they are not apart."""
    floors = [key for key in bookings if key not in work.ahead]
    second = [key for key in floors if work.blocks[key].second]
    first = [key for key in floors if not work.blocks[key].second]
    if not first or not second:
        return None
    done, again = max(bookings[key].end for key in first), min(bookings[key].start for key in second)
    return (first, second) if done <= again else None


def _days(work: JobWork, floor: Floor, start: int, end: int) -> int:
    return (floor.date_of(work.record, end - 1) - floor.date_of(work.record, start)).days + 1


def over_night(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> bool:
    """Return whether something that must end on the day it begins does not, or has no end planned at all.

    What is under way has begun already: it is over night only where its end is planned for another day.
    """
    return any(
        _days(work, floor, bookings[first].start, bookings[last].end) != 1
        if last in bookings
        else not work.blocks[first].begun
        for first, last, _ in work.same_day
        if first in bookings
    )


def on_one_day(work: JobWork, first: BlockKey, last: BlockKey) -> frozenset[BlockKey]:
    """Return the blocks from `first` to `last`: all that comes after the one and before the other, and the two."""
    after: set[BlockKey] = {first}
    for key in work.order:
        if any(link.before in after for link in work.into[key]):
            after.add(key)
    before: set[BlockKey] = {last}
    for key in reversed(work.order):
        if any(link.after in before for link in work.out[key]):
            before.add(key)
    return frozenset(after & before) | {first, last}


def visits(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> int:
    """Return how often a crew comes to the house, counting a break in a day's work as going and coming."""
    count = 0
    for crew in floor.crews:
        calendar = floor.calendar(work.record, crew)
        mine = sorted((booking.start, booking.end) for booking in bookings.values() if booking.crew == crew)
        reached = (-1, -1)
        for start, end in mine:
            index, last = calendar.count(start), calendar.count(end)
            while index < last:
                day = calendar.window(index)
                begin, stop = calendar.day_begin[day], min(last, calendar.day_end[day])
                count += (begin, index) != reached
                reached, index = (begin, stop), stop
    return count


def pack(
    work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking], held: Collection[BlockKey] = ()
) -> dict[BlockKey, Booking]:
    """Return a job's bookings packed, and book them so.

    Every block goes as late as what follows it allows, the last ones as late as the job's end. Then blocks go
    back to the earliest place of their day, or of the days the house is open. Of these and of the bookings as
    they were, the one wins that opens the house on the fewest days, then with the fewest visits, then the
    soonest. Work under way, pins, carry-ins and what is `held` stay: cartons go in as early as they can, since
    their hours must run; what they need goes right before them. What must end on the day it begins stays, too, where
    it would not do so any more.
    """
    best = _pack(work, floor, bookings, held)
    if not work.same_day or not over_night(work, floor, best) or over_night(work, floor, bookings):
        return best
    rebook(floor, best, bookings)
    one_day = [key for first, last, _ in work.same_day for key in on_one_day(work, first, last)]
    return _pack(work, floor, bookings, {*held, *one_day})


def _pack(
    work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking], held: Collection[BlockKey]
) -> dict[BlockKey, Booking]:
    loose = [
        key
        for key in bookings
        if not (work.blocks[key].begun or work.blocks[key].carry_in or key in work.pins or key in held)
    ]
    if not loose:
        return dict(bookings)
    late = _all_later(work, floor, bookings, loose, catch_up=True)
    if _too_far_apart(work, floor, late):
        rebook(floor, late, bookings)
        late = _all_later(work, floor, bookings, loose, catch_up=False)
    floors = [key for key in loose if key not in work.ahead]
    trips = two_trips(work, late) or (floors, [])
    opened = {key: min(late[other].start for other in trip) for trip in trips for key in trip}
    found = [dict(bookings), late]
    for from_opened in (False, True):
        again = dict(late)
        for key in sorted(floors, key=lambda key: (late[key].start, late[key].end, key)):
            _sooner(work, floor, again, key, opened[key] if from_opened else None)
        rebook(floor, again, late)
        if again not in found:
            found.append(again)
    best = _least(work, floor, found)
    rebook(floor, late, best)
    return best


def _all_later(
    work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking], loose: Collection[BlockKey], *, catch_up: bool
) -> dict[BlockKey, Booking]:
    """Return all bookings as late as they can be, and book them so.

    With `catch_up` a block goes later than an at most allows as long as the block before it stands where it stood: that
    goes later next.
    """
    late, ends = dict(bookings), _ends(work, bookings)
    moves = set(loose) if catch_up else set()
    for key in sorted(loose, key=lambda key: (-late[key].end, -late[key].start, key)):
        _later(work, floor, late, key, ends[key], moves)
        moves.discard(key)
    return late


def _too_far_apart(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> bool:
    """Return whether a block starts later than an at most of its job allows."""
    return any(
        bookings[key].start > floor.starts_by(work, link, bookings[link.before])
        for key, links in work.tight.items()
        for link in links
        if key in bookings and link.before in bookings
    )


def _ends(work: JobWork, bookings: Mapping[BlockKey, Booking]) -> dict[BlockKey, int]:
    """Return the slot each block may go back to: its job's end, or that of the first trip where a second comes.

    What waits for nothing itself on the second trip goes next to what does, so only that says how far apart they lie.
    """
    end = max(booking.end for booking in bookings.values())
    waits = {key: one for key, one in bookings.items() if not work.blocks[key].second or key in work.ready}
    trips = two_trips(work, waits)
    first = max(bookings[key].end for key in trips[0]) if trips else end
    return {key: end if work.blocks[key].second else first for key in bookings}


def _least(work: JobWork, floor: Floor, found: Sequence[dict[BlockKey, Booking]]) -> dict[BlockKey, Booking]:
    """Return the first of those with the fewest open days, then the fewest visits, then the soonest starts.

    What carrying in needs is better late than early. Visits are counted only where open days are equal.
    """
    days = [open_days(work, floor, packed) for packed in found]
    best = [packed for packed, opened in zip(found, days, strict=True) if opened == min(days)]
    return best[0] if len(best) == 1 else min(best, key=lambda packed: _visits_and_starts(work, floor, packed))


def _visits_and_starts(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> tuple[int, int]:
    starts = sum(
        -booking.start if key in work.ahead and not work.blocks[key].carry_in else booking.start
        for key, booking in bookings.items()
    )
    return comings(work, floor, bookings), starts


def rebook(floor: Floor, old: Mapping[BlockKey, Booking], new: Mapping[BlockKey, Booking]) -> None:
    """Take off bookings that are otherwise in `new`, and book these instead."""
    changed = [(old[key], booking) for key, booking in new.items() if old[key] != booking]
    for was, _ in changed:
        floor.timelines[was.crew].remove(was)
    for _, booking in changed:
        floor.timelines[booking.crew].add(booking)


def _later(
    work: JobWork,
    floor: Floor,
    packed: dict[BlockKey, Booking],
    key: BlockKey,
    end: int,
    moves: Collection[BlockKey] = (),
) -> None:
    old = packed[key]
    after = [link for link in work.out[key] if link.after in packed]
    limit = min([end, *(packed[link.after].start - slots_of(link.wait_min) for link in after)])
    if limit <= old.end:
        return  # it lies as late as it can, or later
    timeline = floor.timelines[old.crew]
    timeline.remove(old)
    block = work.blocks[key]
    if key in work.tight or key in work.must:
        stand = {link.before: packed[link.before] for link in work.tight.get(key, ()) if link.before in packed}
        latest = latest_slot(work, floor, key, {one: at for one, at in stand.items() if one not in moves})
        if latest is not None:
            calendar = floor.calendar(work.record, old.crew, block)
            limit = min(limit, end_of_start_by(calendar, floor.slots(block, old.crew, old.people), latest))
    found = timeline.last(floor.starts(work.record, block, old.crew, people=old.people), work.number, old.start, limit)
    if found and floor.roster.days(old.crew) and floor.staff(work.record, block, old.crew, *found) != old.people:
        found = None
    if found and old.tools and floor.toolbox.free_from(old.tools, *found, work.number) is not None:
        found = None
    packed[key] = old if found is None else old._replace(start=found[0], end=found[1])
    timeline.add(packed[key])


def _sooner(work: JobWork, floor: Floor, packed: dict[BlockKey, Booking], key: BlockKey, since: int | None) -> None:
    """Move a booking to the earliest place of the day it is on, or of the day of slot `since`, in its gap."""
    old = packed[key]
    hours = floor.calendars.crew(old.crew)
    first = old.start if since is None else min(since, old.start)
    day = hours.slot(hours.day_begin[hours.window(hours.count(first))])
    fact = work.ready.get(key)
    earliest = max(day, link_slot(work, key, packed), 0 if fact is None else floor.axis.up(fact.at))
    if earliest >= old.start:
        return  # it lies as early as it can, or earlier
    timeline = floor.timelines[old.crew]
    timeline.remove(old)
    block = work.blocks[key]
    spare, tight = floor.spare(block, old.crew, old.people), work.tight_out.get(key, ())
    follow = [packed[link.after].start - most_slots(link, spare) for link in tight if link.after in packed]
    if follow:
        calendar = floor.calendar(work.record, old.crew, block)
        earliest = max(earliest, start_to_end_by(calendar, floor.slots(block, old.crew, old.people), max(follow)))
    found = timeline.sooner(floor.starts(work.record, block, old.crew, people=old.people), work.number, earliest, old)
    if found and floor.roster.days(old.crew) and floor.staff(work.record, block, old.crew, *found) != old.people:
        found = None
    if found and old.tools and floor.toolbox.free_from(old.tools, *found, work.number) is not None:
        found = None
    packed[key] = old if found is None else old._replace(start=found[0], end=found[1])
    timeline.add(packed[key])
