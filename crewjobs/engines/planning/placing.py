"""Where the blocks of one job can go: a whole job placed as one main crew would do it, and taken off again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from crewjobs.domain.plan import BlockKey
from crewjobs.domain.tasks import Pause
from crewjobs.engines.planning.calendars import SLOTS_A_DAY, slots_of
from crewjobs.engines.planning.jobwork import OPENING_SLOTS, UNSPLIT_SLOTS, Floor, JobWork
from crewjobs.engines.planning.packing import link_slot
from crewjobs.engines.planning.problem import Block
from crewjobs.engines.planning.timeline import Booking, Piece
from crewjobs.engines.planning.whys import NoPlace, pin_fault

CARTONS_AHEAD_DAYS = 2
"""Where a start is wished for, cartons come in no more than their own hours and this many days before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How a job is tried: by which main crew, from which slots on, and whether what carrying in needs waits for it.

    No work on the floors starts before the slot `since`; cartons keep to `wished`, the slot of the wished
    start. `joined` places the way's protection and the like in one visit with the cartons.
    """

    main: str
    since: int
    wished: int
    joined: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """A job as tried. `missing` leads from a block without a place to the block that is the cause."""

    way: Way
    placed: dict[BlockKey, Booking] = field(default_factory=dict)
    missing: dict[BlockKey, BlockKey] = field(default_factory=dict)
    causes: dict[BlockKey, NoPlace] = field(default_factory=dict)


class Placer:
    """Finds places on the crews' timelines around what is booked; `fixed` is work under way."""

    def __init__(self, floor: Floor, fixed: Mapping[BlockKey, Booking]) -> None:
        self._floor = floor
        self._fixed = fixed

    def book(self, work: JobWork, block: Block, crew: str, earliest: int, before: int | None = None) -> Booking | None:
        """Book the earliest place of a block with a crew, if it starts before a slot."""
        floor = self._floor
        timeline, calendar = floor.timelines[crew], floor.calendar(work.record, crew)
        found = timeline.first(calendar, work.number, floor.piece(block, crew), earliest, floor.axis.slots)
        if found is None or (before is not None and found[0] >= before):
            return None
        booking = Booking(key=block.key, crew=crew, start=found[0], end=found[1])
        timeline.add(booking)
        return booking

    def book_pinned(self, work: JobWork, key: BlockKey, earliest: int) -> Booking | None:
        """Book the earliest place of a pinned block on its day with its crew."""
        pin = work.pins[key][0]
        day, next_day = self._floor.day(work.record, pin.day)
        return self.book(work, work.blocks[key], pin.crew, max(earliest, day, self._fact_slot(work, key)), next_day)

    def unbook(self, booking: Booking) -> None:
        """Take a booking off."""
        self._floor.timelines[booking.crew].remove(booking)

    def fixed_of(self, work: JobWork) -> dict[BlockKey, Booking]:
        """Return the bookings of a job's work under way."""
        return {key: self._fixed[key] for key in work.order if key in self._fixed}

    def attempt(self, work: JobWork, way: Way) -> Attempt:
        """Place the blocks one after the other, with one crew where it can; leave no booking behind."""
        attempt = Attempt(way=way)
        known = self.fixed_of(work)
        for key in work.order:
            if key in known:
                continue
            cause = next(
                (attempt.missing[link.before] for link in work.into[key] if link.before in attempt.missing), None
            )
            if cause is None:
                earliest = self._earliest(work, key, way, known)
                found = self._pair(work, key, way, earliest, known) if way.joined else ()
                found = found or self._choose(work, key, way.main, earliest, known)
                for booking in found:
                    known[booking.key] = attempt.placed[booking.key] = booking
                if found:
                    continue
                attempt.causes[key] = NoPlace(key=key, earliest=earliest, after=_last_before(work, key, known))
                cause = key
            attempt.missing[key] = cause
        for booking in attempt.placed.values():
            self.unbook(booking)
        return attempt

    def _fact_slot(self, work: JobWork, key: BlockKey) -> int:
        fact = work.ready.get(key)
        return 0 if fact is None else self._floor.axis.up(fact.at)

    def _earliest(self, work: JobWork, key: BlockKey, way: Way, known: Mapping[BlockKey, Booking]) -> int:
        bound = _carton_slot(work, way.wished) if key in work.ahead else way.since
        return max(self._fact_slot(work, key), link_slot(work, key, known), bound)

    def _choose(
        self, work: JobWork, key: BlockKey, main: str, earliest: int, known: Mapping[BlockKey, Booking]
    ) -> tuple[Booking, ...]:
        """Book a block with the main crew if that can do it, else with the best other; nothing where none can."""
        floor, block = self._floor, work.blocks[key]
        if key in work.barred or (key in work.pins and pin_fault(work, key, floor)):
            return ()
        if key in work.pins:
            booking = self.book_pinned(work, key, earliest)
        elif block.crew:
            booking = self.book(work, block, block.crew, earliest)
        else:
            able = main and floor.able(block, main)
            booking = self.book(work, block, main, earliest) if able else None
            booking = booking or self._other(work, block, main, earliest, known)
        return (booking,) if booking else ()

    def _other(
        self, work: JobWork, block: Block, main: str, earliest: int, known: Mapping[BlockKey, Booking]
    ) -> Booking | None:
        """Book a block with the best crew but the main one: one seen on the job before others, then the soonest."""
        floor = self._floor
        seen = [*work.crews_seen, *(booking.crew for booking in known.values())]
        offers = []
        for place, crew in enumerate(floor.crews):
            booking = self.book(work, block, crew, earliest) if crew != main and floor.able(block, crew) else None
            if booking:
                self.unbook(booking)
                offers.append((crew not in seen, booking.end, place, booking))
        if not offers:
            return None
        booking = min(offers, key=lambda offer: offer[:3])[3]
        floor.timelines[booking.crew].add(booking)
        return booking

    def _pair(
        self, work: JobWork, key: BlockKey, way: Way, earliest: int, known: Mapping[BlockKey, Booking]
    ) -> tuple[Booking, ...]:
        """Book a block that carrying in needs together with the cartons, in one visit; nothing where that cannot be."""
        floor, first = self._floor, work.blocks[key]
        carry = self._cartons_after(work, key, known)
        if carry is None or not way.main or first.carry_in:
            return ()
        if any(not self._plain(work, block, way.main) for block in (first, carry)):
            return ()
        gate = self._earliest(work, carry.key, way, known)
        ahead, behind = floor.slots(first, way.main), floor.slots(carry, way.main)
        opening = ahead + behind if ahead + behind <= UNSPLIT_SLOTS else OPENING_SLOTS
        piece = Piece(work=ahead + behind, pause=Pause.NIGHT, opening=opening)
        calendar, timeline = floor.calendar(work.record, way.main), floor.timelines[way.main]
        since = max(earliest, gate - ahead)
        while found := timeline.first(calendar, work.number, piece, since, floor.axis.slots):
            index = calendar.count(found[0])
            middle = calendar.slot(index + ahead)
            if middle < gate:
                since = found[0] + 1
                continue
            pair = (
                Booking(key=key, crew=way.main, start=found[0], end=calendar.slot(index + ahead - 1) + 1),
                Booking(key=carry.key, crew=way.main, start=middle, end=found[1]),
            )
            return self._kept_rules(work, pair)
        return ()

    def _kept_rules(self, work: JobWork, pair: tuple[Booking, Booking]) -> tuple[Booking, ...]:
        """Book a pair if each of the two could lie there on its own."""
        calendar = self._floor.calendar(work.record, pair[0].crew)
        for booking in pair:
            piece = self._floor.piece(work.blocks[booking.key], booking.crew)
            fit = calendar.first_fit(booking.start, booking.end, piece.work, piece.pause, piece.opening)
            if fit != (booking.start, booking.end):
                return ()
        for booking in pair:
            self._floor.timelines[booking.crew].add(booking)
        return pair

    def _cartons_after(self, work: JobWork, key: BlockKey, known: Mapping[BlockKey, Booking]) -> Block | None:
        """Return the carry-in that can go right after a block, all else it waits for being placed."""
        for link in work.out[key]:
            block = work.blocks[link.after]
            ready = all(other.before == key or other.before in known for other in work.into[link.after])
            if block.carry_in and link.wait_min == 0 and ready and link.after not in known:
                return block
        return None

    def _plain(self, work: JobWork, block: Block, crew: str) -> bool:
        """Return whether a block is free to go anywhere with a crew, over night too."""
        bound = block.begun or block.key in work.pins or block.key in work.barred
        return not bound and block.pause is Pause.NIGHT and self._floor.able(block, crew)


def _carton_slot(work: JobWork, wished: int) -> int:
    if not wished:
        return 0
    waits = [slots_of(link.wait_min) for key in work.ahead for link in work.out[key]]
    return max(0, wished - max(waits, default=0) - CARTONS_AHEAD_DAYS * SLOTS_A_DAY)


def _last_before(work: JobWork, key: BlockKey, known: Mapping[BlockKey, Booking]) -> BlockKey | None:
    """Return the block whose end, with its wait, is the last thing a block waits for."""
    ends = [
        (known[link.before].end + slots_of(link.wait_min), link.before)
        for link in work.into[key]
        if link.before in known
    ]
    return max(ends, default=(0, None))[1]
