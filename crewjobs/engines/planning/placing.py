"""Where the blocks of one job can go: a whole job placed as one main crew would do it, and taken off again."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

from crewjobs.domain.plan import BlockKey, Placement
from crewjobs.domain.tasks import Pause
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.calendars import SLOTS_A_DAY, slots_of
from crewjobs.engines.planning.jobwork import OPENING_SLOTS, UNSPLIT_SLOTS, Floor, JobWork
from crewjobs.engines.planning.links import most_slots, start_to_end_by
from crewjobs.engines.planning.packing import latest_slot, link_slot, on_one_day
from crewjobs.engines.planning.problem import Block
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.planning.whys import NoPlace, pin_fault

LITTLE_LABOR_MIN = 4 * 60
"""Labor minutes of one person that are done beside other work of a day rather than in a visit of their own."""
MOST_PUSHES = 120
"""How often at most a block goes later so that what must follow it soon can, before that counts as having no place."""
CARTONS_AHEAD_DAYS = 2
"""Where a start is wished for, cartons come in no more than their own hours and this many days before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How a job is tried: by which main crew, from which slots on, and whether what carrying in needs waits for it.

    No work on the floors starts before the slot `since`; cartons keep to `wished`, the slot of the wished
    start. `joined` places the way's protection and the like in one visit with the cartons; work of up to
    `unsplit` slots is not split over a night. `crews` are blocks that another crew than the main one does.
    """

    main: str
    since: int
    wished: int
    joined: bool = False
    unsplit: int = UNSPLIT_SLOTS
    crews: Mapping[BlockKey, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """A job as tried. `missing` leads from a block without a place to the block that is the cause; `kept` stay put."""

    way: Way
    placed: dict[BlockKey, Booking] = field(default_factory=dict)
    missing: dict[BlockKey, BlockKey] = field(default_factory=dict)
    causes: dict[BlockKey, NoPlace] = field(default_factory=dict)
    kept: set[BlockKey] = field(default_factory=set)


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """What is otherwise when a job is placed again: slots blocks do not start before, blocks left out with their cause.

    `pushed_by` names the block that must start soon after one that goes later. `stuck` are those that must end on the
    day they begin and do so on none. With `hurry` all that comes before a pin goes to whoever has it done first.
    """

    later: Mapping[BlockKey, int] = field(default_factory=dict)
    without: Mapping[BlockKey, BlockKey] = field(default_factory=dict)
    pushed_by: Mapping[BlockKey, BlockKey] = field(default_factory=dict)
    pushes: int = 0
    stuck: frozenset[BlockKey] = frozenset()
    hurry: bool = False


class Placer:
    """Finds places on the crews' timelines around what is booked; `fixed` is work under way.

    `keeping` lets everything lie where the plan before had it, also what new facts might leave for a second trip.
    """

    def __init__(self, floor: Floor, fixed: Mapping[BlockKey, Booking], *, keeping: bool = False) -> None:
        self._floor = floor
        self._keeping = keeping
        self._fixed = fixed

    def book(
        self,
        work: JobWork,
        block: Block,
        crew: str,
        earliest: int,
        *,
        before: int | None = None,
        unsplit: int = UNSPLIT_SLOTS,
    ) -> Booking | None:
        """Book the place of a block that ends first with a crew, of those that start before a slot."""
        booking = self._floor.first(work.record, block, crew, earliest, unsplit, before)
        if booking is None:
            return None
        self._floor.timelines[crew].add(booking)
        return booking

    def book_pinned(self, work: JobWork, key: BlockKey, earliest: int, before: int | None = None) -> Booking | None:
        """Book the earliest place of a pinned block on its day with its crew, if it starts before a slot."""
        pin = work.pins[key][0]
        day, next_day = self._floor.day(work.record, pin.day)
        earliest = max(earliest, day, self._fact_slot(work, key))
        until = next_day if before is None else min(before, next_day)
        return self.book(work, work.blocks[key], pin.crew, earliest, before=until)

    def unbook(self, booking: Booking) -> None:
        """Take a booking off."""
        self._floor.timelines[booking.crew].remove(booking)

    def fixed_of(self, work: JobWork) -> dict[BlockKey, Booking]:
        """Return the bookings of a job's work under way."""
        return {key: self._fixed[key] for key in work.order if key in self._fixed}

    def attempt(self, work: JobWork, way: Way) -> Attempt:
        """Place the blocks one after the other, with one crew where it can; leave no booking behind."""
        attempt = Attempt(way=way)
        self._fill(work, attempt, ())
        for booking in attempt.placed.values():
            self.unbook(booking)
        return attempt

    def _fill(self, work: JobWork, attempt: Attempt, before: Sequence[Placement]) -> None:
        """Book what an attempt does not hold yet, where the plan `before` had it if it can still lie there.

        What must start soon after another block, and cannot, has that block go later, or left out where that does not
        help; what must end on the day it begins goes later to a day on which it does, and does not begin where its end
        has no place: then all but what is kept is placed again.
        """
        again = Again()
        while (more := self._run(work, attempt, before, again)) is not None:
            stands = self._stands(work, attempt.way, again, more)
            again = more
            gone = after_them(work, {*again.later, *again.without}) & attempt.kept
            attempt.kept.difference_update(gone)
            for key in [key for key in attempt.placed if key not in attempt.kept and key not in stands]:
                self.unbook(attempt.placed.pop(key))
            for key in [key for key in attempt.missing if key not in stands]:
                del attempt.missing[key]

    def _stands(self, work: JobWork, way: Way, before: Again, after: Again) -> frozenset[BlockKey]:
        """Return the blocks that would be placed just as they are: those whose turn comes before any that is otherwise."""
        if work.pins or work.same_day or way.joined:
            return frozenset()
        otherwise = {key for key, slot in after.later.items() if before.later.get(key) != slot}
        otherwise |= after.without.keys() - before.without.keys()
        turns = [key in otherwise for key in work.order]
        return frozenset(work.order[: turns.index(True)]) if True in turns else frozenset()

    def _run(self, work: JobWork, attempt: Attempt, before: Sequence[Placement], again: Again) -> Again | None:
        """Book block after block; return what has to be otherwise for the whole to be placed again, None when done."""
        way, known = attempt.way, {**self.fixed_of(work), **attempt.placed}
        ends_by = self._ends_by(work, known) if work.pins else {}
        for key in _in_turn(work, again):
            if key in known:
                continue
            needed = (
                *(link.before for link in work.into[key]),
                *(last for one, last, _ in work.same_day if one == key),
            )
            cause = again.without.get(key) or next(
                (attempt.missing[one] for one in needed if one in attempt.missing), None
            )
            if cause is None:
                earliest = max(self._earliest(work, key, way, known), self._not_before(work, key, before))
                earliest = max(earliest, again.later.get(key, 0))
                found = self._as_it_was(work, key, before, known) if key not in again.later else ()
                if not found and way.joined and key in work.ahead:
                    found = self._one_visit(work, key, way, known)
                latest = latest_slot(work, self._floor, key, known) if key in work.tight or key in work.must else None
                found = found or self._choose(work, key, way, earliest, known, soon=latest)
                if key in ends_by and not (key in work.pins or key in work.barred or work.blocks[key].crew):
                    found = self._before_a_pin(work, key, found, earliest, ends_by[key], hurry=again.hurry)
                if found and latest is not None and found[-1].start > latest:
                    for booking in found:
                        self.unbook(booking)
                    more = self._push(work, key, known, found[-1].start, again)
                    if more is not None:
                        return more
                    found = self._choose(work, key, way, earliest, known, latest)
                else:
                    latest = None
                for booking in found:
                    known[booking.key] = attempt.placed[booking.key] = booking
                if (
                    not found
                    and key in work.pins
                    and not again.hurry
                    and any(link.before in known for link in work.into[key])
                ):
                    return replace(again, hurry=True)
                if not found and (stuck := _in_vain(work, key, again)):
                    return replace(
                        again,
                        later={one: slot for one, slot in again.later.items() if one not in stuck},
                        stuck=again.stuck | stuck,
                    )
                if found:
                    whole = self._to_its_day(work, key, known, again)
                    if whole is not None:
                        return whole
                    continue
                cause = again.pushed_by.get(key, key)
                if cause != key or key in again.pushed_by.values():  # later there would be a place, but never in time
                    latest = earliest
                after = last_before(work, cause, known)
                attempt.causes[cause] = NoPlace(key=cause, earliest=earliest, after=after, latest=latest)
            attempt.missing[key] = cause
            alone = [link.before for link in work.tight.get(key, ()) if link.before in attempt.placed]
            alone += [first for first, last, _ in work.same_day if last == key and first in attempt.placed]
            if alone:  # nothing is primed that nobody pours on in time, nothing taken out that does not come back
                return replace(again, without={**again.without, **dict.fromkeys(alone, cause)})
        return None

    def _push(
        self, work: JobWork, key: BlockKey, known: Mapping[BlockKey, Booking], start: int, again: Again
    ) -> Again | None:
        """Return that the block before goes so much later that a block can follow in time at a slot; None if it cannot."""
        late = [
            (link, known[link.before])
            for link in work.tight.get(key, ())
            if link.before in known and self._floor.starts_by(work, link, known[link.before]) < start
        ]
        if not late or again.pushes >= MOST_PUSHES or any(link.before in self._fixed for link, _ in late):
            return None
        later = dict(again.later)
        for link, booking in late:
            block = work.blocks[link.before]
            calendar = self._floor.calendar(work.record, booking.crew, block)
            slots = self._floor.slots(block, booking.crew, booking.people)
            spare = self._floor.spare(block, booking.crew, booking.people)
            from_slot = start_to_end_by(calendar, slots, start - most_slots(link, spare))
            later[link.before] = max(booking.start + 1, from_slot)
        pushed_by = {**again.pushed_by, **{link.before: key for link, _ in late}}
        return replace(again, later=later, pushed_by=pushed_by, pushes=again.pushes + 1)

    def _ends_by(self, work: JobWork, known: Mapping[BlockKey, Booking]) -> dict[BlockKey, int]:
        """Return the slots by which blocks must end for the pinned ones after them to begin on their days.

        Reckoned backwards by what each takes the crew that is free for it last, whatever else is booked. What no crew
        can do in time is not bound.
        """
        floor, ends = self._floor, dict[BlockKey, int]()
        for key in reversed(work.order):
            block, end = work.blocks[key], ends.get(key, floor.axis.slots)
            starts: list[int] = []
            if key in known:
                continue
            if key in work.pins:
                if not pin_fault(work, key, floor):
                    starts = self._on_the_day(work, key, end)
            elif key in ends:
                crews = [block.crew] if block.crew else [crew for crew in floor.crews if floor.able(block, crew)]
                fits = [floor.starts(work.record, block, crew).last(0, end) for crew in crews]
                starts = [fit[0] for fit in fits if fit is not None]
            if starts:
                for link in work.into[key]:
                    by = max(starts) - slots_of(link.wait_min)
                    ends[link.before] = min(by, ends.get(link.before, by))
        return ends

    def _on_the_day(self, work: JobWork, key: BlockKey, end: int) -> list[int]:
        """Return the starts that are free for a pinned block with its crew on its day; it ends by a slot."""
        floor, pin = self._floor, work.pins[key][0]
        day, next_day = floor.day(work.record, pin.day)
        starts = floor.starts(work.record, work.blocks[key], pin.crew)
        found: list[int] = []
        for low, high in floor.timelines[pin.crew].gaps(work.number, max(0, day), end, starts.work):
            if low >= next_day:
                break
            found += [start for start in starts.table(low, high).starts if start < next_day]
        return found

    def _before_a_pin(
        self, work: JobWork, key: BlockKey, found: tuple[Booking, ...], earliest: int, end: int, *, hurry: bool
    ) -> tuple[Booking, ...]:
        """Return a block that comes before a pin as booked if it ends in time; else with whoever has it done first."""
        if found and found[-1].end <= end and not hurry:
            return found
        for booking in found:
            self.unbook(booking)
        floor, block, offers = self._floor, work.blocks[key], []
        for place, crew in enumerate(floor.crews):
            offer = self.book(work, block, crew, earliest) if floor.able(block, crew) else None
            if offer is not None:
                self.unbook(offer)
                offers.append((offer.end, place, offer))
        if offers and (not found or min(offers)[0] < found[-1].end):
            found = (min(offers)[2],)
        for booking in found:
            self._floor.timelines[booking.crew].add(booking)
        return found

    def _to_its_day(
        self, work: JobWork, key: BlockKey, known: Mapping[BlockKey, Booking], again: Again
    ) -> Again | None:
        """Return that what must end with a block on the day it begins does so later; None if it does end, or cannot.

        It goes after all that need not wait for it, and day by day on: first to what is left of its own day.
        """
        for first, last, _ in work.same_day:
            if key != last or first not in known or first in self._fixed or first in {*work.pins, *again.stuck}:
                continue
            begin, end = known[first].start, known[last].end
            ends_on = self._floor.date_of(work.record, end - 1)
            if end <= begin or self._floor.date_of(work.record, begin) == ends_on or again.pushes >= MOST_PUSHES:
                continue
            if self._longer_than_a_day(work, first, last):
                continue
            since = begin if first not in again.later else max(begin + 1, self._floor.day(work.record, ends_on)[0])
            return replace(again, later={**again.later, first: since}, pushes=again.pushes + 1)
        return None

    def _longer_than_a_day(self, work: JobWork, first: BlockKey, last: BlockKey) -> bool:
        """Return whether the waits and the work from one block to another take more than any day has."""
        chain, floor, ends = on_one_day(work, first, last), self._floor, dict[BlockKey, int]()
        for key in work.order:
            if key in chain:
                start = max((ends[link.before] + slots_of(link.wait_min) for link in work.into[key] if link.before in ends),
                            default=0)  # fmt: skip
                block = work.blocks[key]
                able = [floor.slots(block, crew) for crew in floor.crews if floor.able(block, crew)]
                ends[key] = start + min(able, default=0)
        return ends[last] > SLOTS_A_DAY

    def still(self, work: JobWork, before: Sequence[Placement], way: Way) -> dict[BlockKey, Booking]:
        """Book the blocks that can lie where a plan before had them, as long as all they wait for can.

        What carries in goes as early as it can where it cannot stay: hours of waiting hang on it.
        """
        known, kept = self.fixed_of(work), {}
        for key in sorted(work.order, key=lambda key: key not in work.ahead):
            if key in known or any(link.before not in known for link in work.into[key]):
                continue
            found = self._as_it_was(work, key, before, known)
            if not found and key in work.ahead:
                found = self._soon(work, key, way, known)
            for booking in found:
                known[booking.key] = kept[booking.key] = booking
        return kept

    def _soon(self, work: JobWork, key: BlockKey, way: Way, known: Mapping[BlockKey, Booking]) -> tuple[Booking, ...]:
        """Book a block of carrying in: in one visit with the cartons where these get in on the same day, else alone."""
        floor = self._floor
        visit = self._one_visit(work, key, way, known)
        if visit:
            carry = work.blocks[visit[-1].key]
            gate = max(self._fact_slot(work, booking.key) for booking in visit)
            alone = floor.first(work.record, carry, way.main, max(gate, self._earliest(work, key, way, known)))
            if alone and floor.date_of(work.record, visit[-1].start) <= floor.date_of(work.record, alone.start):
                return visit
            for booking in visit:
                self.unbook(booking)
        latest = latest_slot(work, floor, key, known)
        return self._choose(work, key, way, self._earliest(work, key, way, known), known, latest)

    def repaired(self, work: JobWork, before: Sequence[Placement], kept: Attempt) -> None:
        """Book the rest of a job around what is kept of it: where a plan before had it, else as early as it can be."""
        kept.kept.update(kept.placed)
        self._fill(work, kept, before)

    def _as_it_was(
        self, work: JobWork, key: BlockKey, before: Sequence[Placement], known: Mapping[BlockKey, Booking]
    ) -> tuple[Booking, ...]:
        """Book a block with the crew and within the time a plan before had its tasks, if it can still begin there.

        Its tasks may have been in other blocks then: facts that are new part and join them.
        """
        block, floor = work.blocks[key], self._floor
        numbers = {task.number for task in block.tasks}
        was = [placed for placed in before if numbers & set(placed.tasks)]
        crews = {placed.crew for placed in was}
        if key in work.barred or len(crews) != 1 or not numbers <= {n for placed in was for n in placed.tasks}:
            return ()
        crew, start = crews.pop(), min(placed.start for placed in was)
        if crew not in floor.crews or not floor.able(block, crew):
            return ()
        if block.second and not self._keeping and start < _first_trip_over(work, before):
            return ()
        earliest = max(self._fact_slot(work, key), link_slot(work, key, known), floor.axis.down(start), 0)
        until = floor.axis.down(max(placed.end for placed in was))
        latest = latest_slot(work, floor, key, known)
        until = until if latest is None else min(until, latest + 1)
        booking = self.book(work, block, crew, earliest, before=until)
        return (booking,) if booking else ()

    def shifted(
        self, work: JobWork, key: BlockKey, before: Sequence[Placement], known: Mapping[BlockKey, Booking], free: int
    ) -> Booking | None:
        """Book a block with the crew a plan before had it with, no sooner than there nor than `free`, by its links."""
        block, floor = work.blocks[key], self._floor
        numbers = {task.number for task in block.tasks}
        was = min((one for one in before if numbers & set(one.tasks)), key=lambda one: one.start, default=None)
        if was is None or key in work.barred or was.crew not in floor.crews or not floor.able(block, was.crew):
            return None
        since = max(self._fact_slot(work, key), link_slot(work, key, known), floor.axis.down(was.start), free, 0)
        latest = latest_slot(work, floor, key, known)
        return self.book(work, block, was.crew, since, before=None if latest is None else latest + 1)

    def _not_before(self, work: JobWork, key: BlockKey, before: Sequence[Placement]) -> int:
        """Return the slot before which a block that cannot stay is not put: nobody drives there a day earlier for it.

        That is where it was, and for little work the day on which what follows it was.
        """
        floor, block = self._floor, work.blocks[key]
        if not before or key in work.ahead:
            return 0
        starts = {n: placed.start for placed in before for n in placed.tasks}
        own = [starts[task.number] for task in block.tasks if task.number in starts]
        slot = floor.axis.down(min(own)) if own else 0
        follows = [
            starts[task.number] - timedelta(minutes=link.wait_min)
            for link in work.out[key]
            for task in work.blocks[link.after].tasks
            if task.number in starts
        ]
        if follows and sum(block.labor) <= LITTLE_LABOR_MIN:
            slot = max(slot, floor.day(work.record, to_wall(work.record.job.site.zone, min(follows)).date())[0])
        return max(0, slot)

    def _fact_slot(self, work: JobWork, key: BlockKey) -> int:
        fact = work.ready.get(key)
        return 0 if fact is None else self._floor.axis.up(fact.at)

    def _earliest(self, work: JobWork, key: BlockKey, way: Way, known: Mapping[BlockKey, Booking]) -> int:
        bound = carton_slot(work, way.wished) if key in work.ahead else way.since
        return max(self._fact_slot(work, key), link_slot(work, key, known), bound)

    def _choose(
        self,
        work: JobWork,
        key: BlockKey,
        way: Way,
        earliest: int,
        known: Mapping[BlockKey, Booking],
        latest: int | None = None,
        soon: int | None = None,
    ) -> tuple[Booking, ...]:
        """Book a block with the main crew if that can do it, else with the best other; nothing where none can.

        Where it must start by the slot `latest`, another crew than the main one comes for it. Where it should by `soon`,
        the main crew begins with fewer people if that is in time and with more it is not.
        """
        until = None if latest is None else latest + 1
        floor, block = self._floor, work.blocks[key]
        if key in work.barred or (key in work.pins and pin_fault(work, key, floor)):
            return ()
        if key in work.pins:
            booking = self.book_pinned(work, key, earliest, until)
        elif block.crew:
            booking = self.book(work, block, block.crew, earliest, before=until)
        else:
            main = way.crews.get(key, way.main)
            able = main and floor.able(block, main)
            by = [until] if soon is None or not able or not floor.roster.days(main) else [soon + 1, until]
            tries = (self.book(work, block, main, earliest, before=one, unsplit=way.unsplit) for one in by if able)
            booking = next((one for one in tries if one is not None), None)
            booking = booking or self._other(work, block, way, earliest, known, until)
        return (booking,) if booking else ()

    def _other(
        self,
        work: JobWork,
        block: Block,
        way: Way,
        earliest: int,
        known: Mapping[BlockKey, Booking],
        before: int | None = None,
    ) -> Booking | None:
        """Book a block with the best crew but the main one: one seen on the job before others, then the soonest."""
        floor = self._floor
        seen = [*work.crews_seen, *(booking.crew for booking in known.values())]
        offers = []
        for place, crew in enumerate(floor.crews):
            if crew == way.main or not floor.able(block, crew):
                continue
            booking = self.book(work, block, crew, earliest, before=before, unsplit=way.unsplit)
            if booking:
                self.unbook(booking)
                offers.append((crew not in seen, booking.end, place, booking))
        if not offers:
            return None
        booking = min(offers, key=lambda offer: offer[:3])[3]
        floor.timelines[booking.crew].add(booking)
        return booking

    def _one_visit(
        self, work: JobWork, key: BlockKey, way: Way, known: Mapping[BlockKey, Booking]
    ) -> tuple[Booking, ...]:
        """Book a block that carrying in needs, all else that it needs and the cartons one after the other.

        Returns nothing where that cannot be.
        """
        floor, crew = self._floor, way.main
        chain = _up_to_cartons(work, key, known)
        if len(chain) < 2 or not crew or any(not self._plain(work, work.blocks[one], crew) for one in chain):
            return ()
        slots = [floor.slots(work.blocks[one], crew) for one in chain]
        starts = [sum(slots[:i]) for i in range(len(chain))]
        gates = [self._earliest(work, one, way, known) for one in chain]
        opening = sum(slots) if sum(slots) <= UNSPLIT_SLOTS else OPENING_SLOTS
        # Where the cartons go up by a booked elevator, all of the visit is within its hours.
        moved = next((work.blocks[one] for one in chain if work.blocks[one].elevator), None)
        calendar, timeline = floor.calendar(work.record, crew, moved), floor.timelines[crew]
        since = max(gate - start for gate, start in zip(gates, starts, strict=True))
        visits = floor.tables.of(calendar, sum(slots), Pause.NIGHT, opening)
        while found := timeline.first(visits, work.number, max(0, since), floor.axis.slots):
            index = calendar.count(found[0])
            firsts = [calendar.slot(index + start) for start in starts]
            if any(first < gate for first, gate in zip(firsts, gates, strict=True)):
                since = found[0] + 1
                continue
            lasts = [calendar.slot(index + start + length - 1) for start, length in zip(starts, slots, strict=True)]
            visit = [
                Booking(one, crew, first, last + 1, floor.crews[crew].people)
                for one, first, last in zip(chain, firsts, lasts, strict=True)
            ]
            return self._by_the_rules(work, visit)
        return ()

    def _by_the_rules(self, work: JobWork, visit: Sequence[Booking]) -> tuple[Booking, ...]:
        """Book a visit if each part of it could lie there on its own."""
        for booking in visit:
            block = work.blocks[booking.key]
            fit = self._floor.starts(work.record, block, booking.crew).first(booking.start, booking.end)
            if fit != (booking.start, booking.end):
                return ()
            if self._floor.staff(work.record, block, booking.crew, *fit) != booking.people:
                return ()
        for booking in visit:
            self._floor.timelines[booking.crew].add(booking)
        return tuple(visit)

    def _plain(self, work: JobWork, block: Block, crew: str) -> bool:
        """Return whether a block is free to go anywhere with a crew, over night too, and needs no shared tool."""
        bound = block.tools or block.begun or block.key in work.pins or block.key in work.barred
        return not bound and block.pause is Pause.NIGHT and self._floor.able(block, crew)


def _in_vain(work: JobWork, key: BlockKey, again: Again) -> frozenset[BlockKey]:
    """Return what went later to end on its day, where a block after it finds no place any more because of that."""
    firsts = {first for first, _, _ in work.same_day if first in again.later}
    return frozenset(first for first in firsts if key in after_them(work, {first}))


def _in_turn(work: JobWork, again: Again) -> Sequence[BlockKey]:
    """Return the order in which blocks are placed: what must end on its day and goes later comes after what can."""
    order: Sequence[BlockKey] = work.order
    for first, last, _ in work.same_day:
        if first in again.later:
            after, chain = after_them(work, {first}), on_one_day(work, first, last)
            rest = [key for key in order if key in after and key not in chain]
            order = [*(k for k in order if k not in after), *(k for k in order if k in after and k in chain), *rest]
    return order


def _first_trip_over(work: JobWork, before: Sequence[Placement]) -> datetime:
    """Return when a plan before had all but the second trip done: what came earlier was no second trip then."""
    first = {t.number for key, block in work.blocks.items() if not block.second for t in block.tasks}
    ends = [placed.end for placed in before if first & set(placed.tasks)]
    return max(ends, default=datetime.min.replace(tzinfo=UTC))


def _up_to_cartons(work: JobWork, key: BlockKey, known: Mapping[BlockKey, Booking]) -> list[BlockKey]:
    """Return the first carry-in a block leads to and all it needs that has no place yet, in order; no waits between."""
    for carry in work.order:
        if not work.blocks[carry].carry_in or carry in known:
            continue
        needed, look = {carry}, [carry]
        while look:
            for link in work.into[look.pop()]:
                if link.before not in known and link.before not in needed:
                    needed.add(link.before)
                    look.append(link.before)
        if key in needed:
            waits = any(link.wait_min for one in needed for link in work.into[one] if link.before in needed)
            waits = waits or any(one in work.tight or one in work.must or one in work.tight_out for one in needed)
            return [] if waits else [one for one in work.order if one in needed]
    return []


def carton_slot(work: JobWork, wished: int) -> int:
    """Return the slot before which no cartons come for a job whose start is wished for slot `wished` (0: any)."""
    if not wished:
        return 0
    waits = [slots_of(link.wait_min) for key in work.ahead for link in work.out[key]]
    return max(0, wished - max(waits, default=0) - CARTONS_AHEAD_DAYS * SLOTS_A_DAY)


def after_them(work: JobWork, keys: Collection[BlockKey]) -> set[BlockKey]:
    """Return blocks and all that comes after them."""
    found: set[BlockKey] = set()
    for key in work.order:
        if key in keys or any(link.before in found for link in work.into[key]):
            found.add(key)
    return found


def last_before(work: JobWork, key: BlockKey, known: Mapping[BlockKey, Booking]) -> BlockKey | None:
    """Return the block whose end, with its wait, is the last thing a block waits for."""
    ends = [
        (known[link.before].end + slots_of(link.wait_min), link.before)
        for link in work.into[key]
        if link.before in known
    ]
    return max(ends, default=(0, None))[1]
