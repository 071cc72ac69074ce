"""What fixes the start of a block, as one sentence for people."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from crewjobs.domain.plan import BlockKey
from crewjobs.domain.tasks import Pause
from crewjobs.domain.units import exact_wait, span_words
from crewjobs.domain.wall import QUARTER
from crewjobs.domain.wording import counted, day_words
from crewjobs.engines.planning.calendars import slots_of
from crewjobs.engines.planning.jobwork import Floor, JobWork
from crewjobs.engines.planning.missing import last_missing
from crewjobs.engines.planning.packing import link_slot, on_one_day, stands_open, two_trips
from crewjobs.engines.planning.problem import UNDER_WAY, Block
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.planning.words import block_words, cards_words, fact_words, moment, skills_words

HOUR_SLOTS: Final = 60 // QUARTER


def start_reason(work: JobWork, floor: Floor, booking: Booking, mine: Mapping[BlockKey, Booking], wished: int) -> str:
    """Return what fixes a booking's start, and why not the crew that does most of the job, where that cannot.

    `mine` are the job's own bookings, `wished` is the slot of its wished start.
    """
    must = work.must.get(booking.key)
    if must is not None and must.by < floor.problem.now:
        return f"too late: {must.sentence(work.record.job.site.zone)}"
    trips = two_trips(work, mine)
    trip = "second trip: " if trips is not None and booking.key in trips[1] else ""
    return trip + _start_words(work, floor, booking, mine, wished) + _other_crew_words(work, floor, booking, mine)


def _other_crew_words(work: JobWork, floor: Floor, booking: Booking, mine: Mapping[BlockKey, Booking]) -> str:
    """Return what the crew that does most of the job lacks for a block of another crew."""
    block = work.blocks[booking.key]
    slots = dict.fromkeys(floor.crews, 0)
    for key, other in mine.items():
        slots[other.crew] += floor.slots(work.blocks[key], other.crew)
    most = max(slots, key=lambda crew: slots[crew])
    if most == booking.crew:
        return ""
    if floor.able(block, most):  # on some day, with whoever is lent to it then
        day = floor.date_of(work.record, booking.start)
        there = len(floor.roster.on(most, day))
        return _too_few(block, most, there) if there < block.least_people else ""
    lacking = block.skills - floor.crews[most].skills
    if lacking:
        return f"; {most} crew is not one that {skills_words(lacking)}"
    if block.least_people > floor.roster.most(most):
        return _too_few(block, most, floor.roster.most(most))
    return f"; nobody in {most} crew holds the card {cards_words(block.cards)}"


def _too_few(block: Block, crew: str, there: int) -> str:
    return f"; takes {counted(block.least_people, 'person', 'people')}, {crew} crew has {there or 'nobody'}"


def _start_words(work: JobWork, floor: Floor, booking: Booking, mine: Mapping[BlockKey, Booking], wished: int) -> str:
    block, zone, start = work.blocks[booking.key], work.record.job.site.zone, floor.axis.at(booking.start)
    if block.begun:
        return f"{UNDER_WAY} {moment(zone, block.begun, start)}"
    if booking.key in work.pins:
        pin = work.pins[booking.key][0]
        return f"pinned to {pin.crew} on {day_words(pin.day, floor.problem.today)}"
    slot, words = _binding(work, floor, booking, mine, wished)
    calendar = floor.calendar(work.record, booking.crew, block)
    if block.elevator and (missed := _missed_elevator(work, floor, booking)):
        return missed
    fact = work.ready.get(booking.key)
    own = max(0 if fact is None else floor.axis.up(fact.at), link_slot(work, booking.key, mine))
    short = _short_words(work, floor, booking, own)
    if short:
        return short
    if calendar.slot(calendar.count(slot)) == booking.start:
        return words or "first hours of the day at this site"
    piece = floor.piece(block, booking.crew, people=booking.people)
    fit = floor.starts(work.record, block, booking.crew, people=booking.people).first(slot, floor.axis.slots)
    if fit is not None and fit[0] == booking.start:
        if piece.pause is Pause.NIGHT:
            return "first hours of the day at this site: too little was left of the day before"
        stretch = "in one go" if piece.pause is Pause.NONE else "on one day"
        return f"needs {span_words(piece.work * QUARTER)} {stretch}: the first stretch long enough"
    return _moved(work, floor, booking, mine)


def _missed_elevator(work: JobWork, floor: Floor, booking: Booking) -> str:
    """Return that the elevator is what a block waits for: what it needs was there before its slot began."""
    block, zone, start = work.blocks[booking.key], work.record.job.site.zone, floor.axis.at(booking.start)
    needed = [booking.key, *(link.before for link in work.into[booking.key] if not link.wait_min)]
    facts = [fact for key in needed if (fact := work.ready.get(key)) is not None]
    fact = max(facts, key=lambda fact: fact.at, default=None)
    slot = floor.axis.up(fact.at) if fact else 0
    hours, slots = floor.calendar(work.record, booking.crew), floor.calendar(work.record, booking.crew, block)
    opens = slots.slot(slots.count(slot))
    if opens <= hours.slot(hours.count(slot)) or slots.window(slots.count(opens)) != slots.window(
        slots.count(booking.start)
    ):
        return ""
    words = f"; {fact_words(fact, zone, start)}" if fact else ""
    return f"the elevator is booked from {moment(zone, floor.axis.at(opens), start)}{words}"


def _short_words(work: JobWork, floor: Floor, booking: Booking, slot: int) -> str:
    """Return who was missing where that is why a block starts no sooner: on the last day on which it could have else."""
    block = work.blocks[booking.key]
    starts = floor.starts(work.record, block, booking.crew, people=booking.people)
    missing = last_missing(floor, work.record, block, booking, starts, slot)
    return f"{missing[1]} on {day_words(missing[0], floor.problem.today)}" if missing else ""


def _binding(
    work: JobWork, floor: Floor, booking: Booking, mine: Mapping[BlockKey, Booking], wished: int
) -> tuple[int, str]:
    """Return the last of all that a booking waits for: its slot, and the words for it.

    Of what ends in the same hours without work, a fact or wait comes before the crew's other house; that counts only
    where the crew could have worked at this site while it was there.
    """
    zone, start = work.record.job.site.zone, floor.axis.at(booking.start)
    fact = work.ready.get(booking.key)
    calendar = floor.calendar(work.record, booking.crew, work.blocks[booking.key])
    bounds = [(0, "")]
    elsewhere: list[tuple[int, str]] = []
    if fact is not None:
        bounds.append((floor.axis.up(fact.at), fact_words(fact, zone, start)))
    for link in work.into[booking.key]:
        if link.before not in mine:
            continue
        slot = mine[link.before].end + slots_of(link.wait_min)
        if link.wait_min:
            name = link.name or f"{exact_wait(link.wait_min)} after {block_words(work.blocks[link.before])}"
            bounds.append((slot, f"{name} until {moment(zone, floor.axis.at(slot), start)}"))
        else:
            bounds.append((slot, f"follows {block_words(work.blocks[link.before])}"))
    previous = floor.timelines[booking.crew].before(booking.start)
    if previous is not None and previous.key.job != work.number:
        until = moment(zone, floor.axis.at(previous.end), start)
        on = "comes from" if previous is floor.timelines[booking.crew].stands else "is on"
        words = f"{booking.crew} crew {on} job {previous.key.job}" + (f" until {until}" if on == "is on" else "")
        if calendar.count(booking.start) > calendar.count(previous.start):
            elsewhere.append((floor.timelines[booking.crew].free_from(previous, work.number), words))
    elif previous is not None and previous.key in work.blocks:
        bounds.append((previous.end, f"follows {block_words(work.blocks[previous.key])}"))
    for tool in sorted(booking.tools):
        holder = floor.toolbox.last_before(tool, booking.start, booking.key)
        if holder is None:
            continue
        back = floor.toolbox.back_at(holder, work.number)
        if floor.toolbox.free_from([tool], back - 1, booking.start + 1, work.number) is not None:
            until = moment(zone, floor.axis.at(holder.end), start)
            bounds.append((back, f"the {tool} is at job {holder.key.job} until {until}"))
    day = work.record.job.wished
    if wished and day is not None and booking.key not in work.ahead:
        bounds.append((wished, f"the start is wished for {day_words(day, floor.problem.today)}"))
    # of equals the first is taken
    return max([*sorted(bounds, reverse=True), *elsewhere], key=lambda bound: calendar.count(bound[0]))


def _moved(work: JobWork, floor: Floor, booking: Booking, mine: Mapping[BlockKey, Booking]) -> str:
    """Return why a block starts later than it could: packed next to what follows, or kept where the plan before has it."""
    after = [mine[link.after] for link in work.out[booking.key] if link.after in mine]
    later = [other for other in mine.values() if other.start >= booking.end]
    following = min(after or later, key=lambda other: (other.start, other.key), default=None)
    if booking.key in work.ahead and following is not None:
        return f"right before {block_words(work.blocks[following.key])}, in one visit"
    soon = [link for link in work.tight_out.get(booking.key, ()) if link.after in mine]
    if soon:
        link = min(soon, key=lambda link: mine[link.after].start)
        task = work.blocks[link.after].tasks[0]
        return f"later, so that '{task.title}' ({task.where}) starts at most {exact_wait(link.most_min or 0)} after it"
    for first, last, why in work.same_day:
        if first in mine and last in mine and booking.key in on_one_day(work, first, last):
            return f"begun and ended on one day: else {why}"
    if following is None:
        return "moved to the end of the job, in one visit"
    what = block_words(work.blocks[following.key])
    if not _as_late_as_can_be(work, floor, booking, mine, following):
        return (
            "stays where the plan before has it" if _stayed(floor, booking, work) else f"left there: {what} comes later"
        )
    floors = [other.start for key, other in mine.items() if key not in work.ahead]
    opens = not stands_open(work, mine) and floors and booking.start == min(floors)
    return f"moved next to {what}" + (" so the house is open fewer days" if opens else ", in one visit")


def _as_late_as_can_be(
    work: JobWork, floor: Floor, booking: Booking, mine: Mapping[BlockKey, Booking], following: Booking
) -> bool:
    """Return whether a block lies as late as what follows it lets it, but for less than an hour of work."""
    limit = min(
        (mine[link.after].start - slots_of(link.wait_min) for link in work.out[booking.key] if link.after in mine),
        default=following.start,
    )
    timeline, calendar = floor.timelines[booking.crew], floor.calendar(work.record, booking.crew)
    next_one = next((other for other in timeline.bookings if other.start >= booking.end), None)
    if next_one is not None:
        limit = min(limit, next_one.start)
    return calendar.count(limit) - calendar.count(booking.end) < HOUR_SLOTS


def _stayed(floor: Floor, booking: Booking, work: JobWork) -> bool:
    """Return whether the plan before has some work of a block with the same crew at the same time."""
    was = floor.problem.previous.placements if floor.problem.previous else ()
    numbers = {task.number for task in work.blocks[booking.key].tasks}
    start = floor.axis.at(booking.start)
    return any(
        placed.key.job == work.number
        and placed.start == start
        and placed.crew == booking.crew
        and numbers & {*placed.tasks}
        for placed in was
    )
