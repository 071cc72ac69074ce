"""The board a week plan is made on: crews' timelines, what is settled about each job, and what stays from before."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from crewjobs.domain.plan import BlockKey, LeftOut, Pin, Placement, Unkept
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words
from crewjobs.engines.planning.calm import CALM_DAYS, staying
from crewjobs.engines.planning.choosing import Chooser, Found
from crewjobs.engines.planning.jobwork import SPARE_DAYS, Floor, JobWork
from crewjobs.engines.planning.keeping import Keeper
from crewjobs.engines.planning.placing import Attempt, Placer, Way, after_them
from crewjobs.engines.planning.problem import Block
from crewjobs.engines.planning.reasons import start_reason
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.planning.whys import pin_fault, too_late, why_no_place, why_not_pinned, why_pins_bar, why_whole

Choose = Callable[[JobWork, int], Found]
"""How a job is to be done from the slot of its wished start on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """What was decided about a job: what is booked for it, what is left out and why, and whether its wish is kept.

    `bookings` are without the work under way; `missing` counts the blocks without a place, `way`
    is how they were placed, None where the house stays shut.
    """

    bookings: Mapping[BlockKey, Booking]
    left_out: tuple[LeftOut, ...] = ()
    wished: int = 0
    missing: int = 0
    way: Way | None = None


class Board:
    """The crews' timelines with what is settled on them; jobs are settled one after the other, and lifted off again.

    `keeping` leaves every job of the plan before where it is as long as it still can be done there in time, but for one
    that a crew is to have its places for `first`; without `slides` none slides behind others. `unkept` are
    the pins that no plan keeps, by job and block, with why: their work is planned without them.
    """

    def __init__(
        self,
        floor: Floor,
        works: Sequence[JobWork],
        *,
        keeping: bool = False,
        slides: bool = True,
        first: tuple[int, str] | None = None,
    ) -> None:
        self._keeping = keeping
        self.floor = floor
        self.works = {work.number: work for work in works}
        self.settled: dict[int, Settled] = {}
        self._fixed: dict[BlockKey, Booking] = {}  # work under way
        self._placer = Placer(floor, self._fixed, keeping=keeping)
        self.chooser = Chooser(floor, self._placer, self._fixed)
        self.keeper = Keeper(floor, self._placer, self.chooser)
        self._stays: dict[int, Attempt] = {}
        self._held: dict[BlockKey, Booking] = {}  # places kept free for pins until their job is planned
        self.unkept: dict[int, dict[BlockKey, str]] = {}
        self._go_on()
        self._begin()
        self._try_pins()
        if keeping:  # pins lie where they were; what of them does not is held after that
            if first is not None:
                self.place(first[0], self.with_crew(first[1]))
            now = [work for number, work in self.works.items() if number not in self.settled]
            days = floor.problem.days + SPARE_DAYS
            self._stays, self.slid = staying(now, floor, self._placer, days, pinned=True, slides=slides)
            self._hold()
        else:
            self._hold()
            now = list(self.works.values())
            self._stays, self.slid = staying(now, floor, self._placer, CALM_DAYS)  # kept free until their turn comes

    def _go_on(self) -> None:
        """Keep every crew at what it is at, where that goes on as the plan before has it, to its end there."""
        floor = self.floor
        for placed in floor.problem.stands:
            end, timeline = floor.axis.up(placed.end), floor.timelines.get(placed.crew)
            if end > 0 and timeline is not None:
                held = (floor.problem.tools.get((placed.key.job, n), frozenset()) for n in placed.tasks)
                tools = frozenset[str]().union(*held)
                timeline.add(Booking(placed.key, placed.crew, 0, end, placed.people, tools))

    def _begin(self) -> None:
        """Let work under way go on first, on every crew in the order of the plan before, else in that of beginning.

        At the house where a crew stands it goes on before it drives to what it left in another. What was handed over to a crew since comes after what that crew is at.
        """
        before = self.floor.problem.previous.placements if self.floor.problem.previous else ()
        had = {(one.key.job, number, one.crew): one.start for one in before for number in one.tasks}
        begun = []
        for work in self.works.values():
            for key, block in work.blocks.items():
                if block.begun:
                    starts = [
                        had[key.job, t.number, block.crew]
                        for t in block.tasks
                        if (key.job, t.number, block.crew) in had
                    ]
                    first = min(starts, default=None)
                    stood = self.floor.stands.get(block.crew)
                    away = stood is not None and stood.key.job != key.job
                    begun.append((away, first is None, first or block.begun, block.begun, key, work))
        for *_, key, work in sorted(begun, key=lambda entry: entry[:5]):
            block = work.blocks[key]
            booking = self._placer.book(work, block, block.crew, 0) if block.crew else None
            if booking:
                self._fixed[key] = booking

    def _try_pins(self) -> None:
        """Let go of the pins that could not be kept even if nothing but what is under way and pinned were planned."""
        pinned = [work for work in self.works.values() if work.pins]
        for work in pinned:
            faults = {key: why for key in work.pins if (why := pin_fault(work, key, self.floor))}
            self._unpin(work, {key: why for key, why in faults.items() if key not in work.barred})
        self._hold()
        for number in [work.number for work in pinned]:
            work = self._lifted(self.works[number])
            while (whys := self._bars(work, self.chooser.best(work, 0))) is not None:
                work = self._unpin(work, whys)
            for key in work.pins:
                self._hold_one(work, key)
        for booking in self._held.values():
            self._placer.unbook(booking)
        self._held.clear()

    def _lifted(self, work: JobWork) -> JobWork:
        """Take off the places kept for a job's pins."""
        for key in work.pins:
            if key in self._held:
                self._placer.unbook(self._held.pop(key))
        return work

    def _bars(self, work: JobWork, found: Found) -> dict[BlockKey, str] | None:
        """Return the pins that keep a job from being planned as a whole, and why; None where they do not."""
        if not work.pins or not (found.refused or found.over_night or found.attempt.missing):
            return None
        causes = dict.fromkeys(found.attempt.missing.values())
        whys = {
            key: why_not_pinned(work, self.floor, found.attempt.causes[key])
            for key in causes
            if key in work.pins and key not in work.barred
        }
        if whys:
            return whys
        free = self.chooser.best(replace(work, pins={}), 0)
        if (*free.rank[:2], free.cost.missing) < (*found.rank[:2], found.cost.missing):
            return {key: why_pins_bar(work, key, self.floor.problem.today) for key in work.pins}
        return None

    def _unpin(self, work: JobWork, whys: Mapping[BlockKey, str]) -> JobWork:
        """Return a job without some of its pins: it is planned so from now on."""
        if not whys:
            return work
        self.unkept.setdefault(work.number, {}).update(whys)
        left = replace(work, pins={key: pins for key, pins in work.pins.items() if key not in whys})
        self.works[work.number] = left
        return left

    def _hold(self) -> None:
        stays = self._stays
        for work in self.works.values():
            for key in work.pins if work.number not in stays else ():
                self._hold_one(work, key)

    def _hold_one(self, work: JobWork, key: BlockKey) -> None:
        if key not in work.barred and not pin_fault(work, key, self.floor):
            booking = self._placer.book_pinned(work, key, 0)
            if booking:
                self._held[key] = booking

    def _let_go(self, numbers: Sequence[int]) -> dict[int, Attempt]:
        """Take the places kept for jobs off; return them."""
        gone = {number: self._stays.pop(number) for number in numbers if number in self._stays}
        for attempt in gone.values():
            for booking in attempt.placed.values():
                self._placer.unbook(booking)
        return gone

    def _keep_again(self, gone: Mapping[int, Attempt]) -> None:
        for number, attempt in gone.items():
            self._stays[number] = attempt
            for booking in attempt.placed.values():
                self.floor.timelines[booking.crew].add(booking)

    def _found(self, work: JobWork, wished: int) -> Found:
        """Return how a job is done: as before where that is no later than anew, around what others keep where it can.

        A house that is open is finished on an earlier day where it can be: nobody waits for a crew that stands idle.
        """
        stays = self._let_go([work.number]).get(work.number)
        kept = self.keeper.kept_as(work, stays) if stays is not None else None
        if kept is not None and self._keeping and self.keeper.as_good(work, kept):
            return self.keeper.with_what_goes_on(work, kept, wished)
        fresh = self.chooser.best(work, wished)
        if self._keeping:
            fresh = self.keeper.calmer(work, fresh)
            if kept is not None and not any(kept.rank[:2]) and kept.cost[:2] <= fresh.cost[:2]:
                return kept
        elif kept is not None:
            sooner = work.opened and self.keeper.last_day(work, fresh) < self.keeper.last_day(work, kept)
            if kept.rank[:2] <= fresh.rank[:2] and kept.cost[:2] <= fresh.cost[:2] and not sooner:
                return kept
        late = fresh.cost.late and not self._keeping  # what a proposal may do, moves nobody here
        if not (fresh.refused or fresh.over_night or fresh.cost.missing or late):
            return fresh
        gone = self._let_go(list(self._stays))
        freer = self.chooser.best(work, wished) if gone else fresh
        if (*freer.rank[:2], *freer.cost[:2]) < (*fresh.rank[:2], *fresh.cost[:2]):
            if self._keeping:
                self._stay_around(freer, gone)
            return freer
        self._keep_again(gone)
        return fresh

    def with_crew(self, crew: str) -> Choose:
        """Return how a job is done by a main crew, as early as it can be."""
        return lambda work, wished: self.chooser.attempt(work, Way(main=crew, since=wished, wished=wished))

    def _stay_around(self, found: Found, gone: Mapping[int, Attempt]) -> None:
        """Keep the jobs that were let go for another as the plan before had them, as far as they can be beside it.

        Only those in whose places it lies are hit: what it leaves free stays where people know it.
        """
        mine = [booking for key, booking in found.packed.items() if key not in self._fixed]
        for booking in mine:
            self.floor.timelines[booking.crew].add(booking)
        works = [work for number, work in self.works.items() if number in gone]
        days = self.floor.problem.days + SPARE_DAYS
        self._stays.update(staying(works, self.floor, self._placer, days, pinned=True).jobs)
        for booking in mine:
            self._placer.unbook(booking)

    def place(self, number: int, choose: Choose | None = None, *, unpin: bool = False) -> Settled:
        """Book a job with the best crew, or as `choose` says; return what is settled about it.

        With `unpin` it is planned without the pins that leave it without a place.
        """
        work = self._lifted(self.works[number])
        while (
            unpin and work.pins and (whys := self._bars(work, self._found(work, self._wished_slot(work)))) is not None
        ):
            work = self._unpin(work, whys)
        settled = self._settle(work, choose)
        self.put(number, settled)
        return settled

    def put(self, number: int, settled: Settled) -> None:
        """Book what was settled about a job, on timelines that still have room for it."""
        self._lifted(self.works[number])
        for booking in settled.bookings.values():
            self.floor.timelines[booking.crew].add(booking)
        self.settled[number] = settled

    def lift(self, number: int) -> Settled:
        """Take a job off; places it is pinned to are kept for it."""
        settled = self.settled.pop(number)
        for key, booking in settled.bookings.items():
            if key in self.works[number].pins:
                self._held[key] = booking
            else:
                self._placer.unbook(booking)
        return settled

    def _settle(self, work: JobWork, choose: Choose | None) -> Settled:
        wished = self._wished_slot(work)
        best = choose or self._found
        found = best(work, wished)
        if wished and wished < self.floor.until and (found.refused or found.cost.late > 0):
            sooner = (choose or self.chooser.best)(work, 0)
            if (sooner.refused, *sooner.cost[:2]) < (found.refused, *found.cost[:2]):
                wished, found = 0, sooner
        if found.over_night:
            broken = {first: why for first, _, why in work.same_day}
            return self._settle(replace(work, barred={**broken, **work.barred}, same_day=(), shut=True), choose)
        if found.refused:
            ahead = self._only_ahead(work, found.attempt)
            left = self._whole(work, self._why_whole(work, found.attempt, wished), ahead)
            return Settled(bookings=ahead, left_out=left, missing=len(work.blocks) - len(ahead))
        loose = {key: booking for key, booking in found.packed.items() if key not in self._fixed}
        return Settled(
            bookings=loose,
            left_out=self._rest(work, found.attempt),
            wished=wished,
            missing=len(found.attempt.missing),
            way=found.attempt.way,
        )

    def bookings_of(self, number: int) -> dict[BlockKey, Booking]:
        """Return all that is booked for a job, its work under way too."""
        settled = self.settled.get(number)
        return {**self._placer.fixed_of(self.works[number]), **(settled.bookings if settled else {})}

    def _wished_slot(self, work: JobWork) -> int:
        """Return the slot of the wished start; what is under way or pinned no longer waits for it."""
        day = work.record.job.wished
        if day is None or work.under_way or work.pins:
            return 0
        return max(0, self.floor.day(work.record, day)[0])

    def stopped(self, number: int) -> None:
        """Leave a job out whose turn did not come."""
        left = self._whole(self.works[number], "planning was stopped before its turn", ())
        self.settled[number] = Settled(bookings={}, left_out=left, missing=len(self.works[number].blocks))

    def _why_whole(self, work: JobWork, attempt: Attempt, wished: int) -> str:
        if not attempt.missing or wished >= self.floor.until:
            start = min((booking.start for booking in attempt.placed.values()), default=wished)
            return too_late(work, self.floor, start, wished)
        causes = [attempt.causes[cause] for cause in dict.fromkeys(attempt.missing.values())]
        return why_whole(work, self.floor, causes)

    def _only_ahead(self, work: JobWork, attempt: Attempt) -> dict[BlockKey, Booking]:
        """Book what carries in, and what that needs, of a house that stays shut because some of it has no date.

        The truck comes all the same, and the hours of the cartons run; but not after the plan has ended.
        """
        no_date = set(attempt.missing.values()) <= set(work.barred)
        if work.shut or not no_date:
            return {}
        late = {key for key, booking in attempt.placed.items() if booking.end > self.floor.until}
        booked = {key for key in attempt.placed if key in work.ahead} - after_them(work, late)
        pairs = [(link.before, link.after) for links in work.tight_out.values() for link in links]
        pairs += [(first, last) for first, last, _ in work.same_day]
        while True:
            serves: set[BlockKey] = set()
            for key in reversed(work.order):
                if work.blocks[key].carry_in or any(link.after in serves for link in work.out[key]):
                    serves |= {key} & booked
            # What must follow them soon, or on that day, has no date, or serves nothing that is carried in.
            alone = {first for first, then in pairs if first in serves and then not in serves}
            alone |= {
                first
                for first, last, _ in work.same_day
                if first in serves and last in serves and not self._on_one_day(work, attempt, first, last)
            }
            if not alone:
                break
            booked -= after_them(work, alone)
        return {key: booking for key, booking in attempt.placed.items() if key in serves}

    def _on_one_day(self, work: JobWork, attempt: Attempt, first: BlockKey, last: BlockKey) -> bool:
        begins, ends = attempt.placed[first].start, attempt.placed[last].end - 1
        return self.floor.date_of(work.record, begins) == self.floor.date_of(work.record, ends)

    def _whole(self, work: JobWork, why: str, but: Collection[BlockKey]) -> tuple[LeftOut, ...]:
        keys = [key for key in work.blocks if key not in self._fixed and key not in but]
        numbers = [task.number for key in keys for task in work.blocks[key].tasks]
        return (LeftOut(job=work.number, tasks=tuple(sorted(numbers)), why=why),) if numbers else ()

    def _rest(self, work: JobWork, attempt: Attempt) -> tuple[LeftOut, ...]:
        tasks: dict[str, list[int]] = {}
        for key, cause in attempt.missing.items():
            why = why_no_place(work, self.floor, attempt.causes[cause])
            tasks.setdefault(why, []).extend(task.number for task in work.blocks[key].tasks)
        return tuple(LeftOut(job=work.number, tasks=tuple(sorted(found)), why=why) for why, found in tasks.items())

    def placements(self) -> tuple[Placement, ...]:
        """Return all bookings as placements, by start and crew."""
        works = self.works
        bookings = dict(self._fixed)
        for settled in self.settled.values():
            bookings.update(settled.bookings)
        found = []
        for booking in sorted(bookings.values(), key=lambda booking: (booking.start, booking.crew, booking.key)):
            work = works[booking.key.job]
            block = work.blocks[booking.key]
            mine = {key: bookings[key] for key in work.order if key in bookings}
            found.append(
                Placement(
                    key=booking.key,
                    tasks=tuple(task.number for task in block.tasks),
                    phase=block.phase,
                    stage=block.stage,
                    crew=booking.crew,
                    start=self.floor.axis.at(booking.start),
                    end=self.floor.axis.at(booking.end),
                    reason=start_reason(work, self.floor, booking, mine, self._wish_of(work.number))
                    + (f"; {why}" if (why := self._missed_pin(booking)) else ""),
                    people=booking.people,
                    pace=self._pace(block, booking.crew),
                    spread=self.floor.problem.paces.spreads.get((booking.crew, work.number)),
                )
            )
        return tuple(found)

    def _pace(self, block: Block, crew: str) -> tuple[float, ...]:
        """Return the pace by which a crew's block is planned, task by task; nothing where all of it is by the book."""
        paces = self.floor.problem.paces
        found = tuple(paces.of(crew, block.key.job, task.number) for task in block.tasks)
        return found if any(one != 1 for one in found) else ()

    def _missed_pin(self, booking: Booking) -> str:
        """Return why a booking is not where it is pinned to; empty where it is, or is pinned to nothing."""
        why = self.unkept.get(booking.key.job, {}).get(booking.key, "")
        return why if why and self._missed_by(booking.key, booking) else ""

    def _missed_by(self, key: BlockKey, booking: Booking) -> list[Pin]:
        """Return the pins of a block that a booking does not keep."""
        work = self.works[key.job]
        numbers = {task.number for task in work.blocks[key].tasks}
        at = booking.crew, self.floor.date_of(work.record, booking.start)
        pins = [pin for pin in self.floor.problem.pins if pin.job == key.job and pin.task in numbers]
        return [pin for pin in pins if (pin.crew, pin.day) != at]

    def unkept_pins(self) -> Iterator[Unkept]:
        """Yield the pins that are not kept, why, and where their work is now."""
        for number, whys in sorted(self.unkept.items()):
            bookings, zone = self.bookings_of(number), self.works[number].record.job.site.zone
            for key, why in sorted(whys.items()):
                booking = bookings.get(key)
                if booking is None:
                    continue  # it is left out, with its own why
                wall = to_wall(zone, self.floor.axis.at(booking.start))
                instead = f"{booking.crew} does it {moment_words(wall)}"
                yield from (Unkept(pin=pin, why=why, instead=instead) for pin in self._missed_by(key, booking))

    def _wish_of(self, number: int) -> int:
        settled = self.settled.get(number)
        return settled.wished if settled else 0

    def opens_in_time(self, work: JobWork, bookings: Mapping[BlockKey, Booking]) -> bool:
        """Return whether a house that is still shut is opened before the plan ends."""
        return work.opened or min((b.start for b in bookings.values()), default=0) < self.floor.until

    def left_out(self) -> tuple[LeftOut, ...]:
        """Return all work without a place, by job."""
        return tuple(left for settled in self.settled.values() for left in settled.left_out)
