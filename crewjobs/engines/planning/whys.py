"""Why a block has no place in the plan, as one sentence that names the binding fact."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from crewjobs.domain.plan import BlockKey, Pin
from crewjobs.domain.tasks import Pause
from crewjobs.domain.units import exact_wait, span_words
from crewjobs.domain.wall import QUARTER, to_utc, to_wall
from crewjobs.domain.wording import counted, day_words, listed, moment_words
from crewjobs.engines.planning.calendars import Calendar, Window, crew_days, site_calendar, site_windows, slots_of
from crewjobs.engines.planning.jobwork import Floor, JobWork
from crewjobs.engines.planning.links import most_slots
from crewjobs.engines.planning.problem import Block
from crewjobs.engines.planning.words import (
    PHASE_WORDS,
    block_words,
    cards_words,
    fact_words,
    moment,
    skills_words,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class NoPlace:
    """A block that found no place from a slot on, and the block whose end it waited for, if one.

    `latest` is the slot by which it had to start, where there was one and later there is a place.
    """

    key: BlockKey
    earliest: int
    after: BlockKey | None
    latest: int | None = None


def why_no_place(work: JobWork, floor: Floor, cause: NoPlace) -> str:
    """Return why a block has no place."""
    block = work.blocks[cause.key]
    if cause.key in work.barred:
        return work.barred[cause.key]
    if cause.latest is not None:
        return _not_in_time(work, floor, cause)
    if cause.key in work.pins:
        return why_not_pinned(work, floor, cause)
    able = [block.crew] if block.crew else [crew for crew in floor.crews if floor.able(block, crew)]
    if not able:
        return _nobody(block, floor)
    return _no_stretch(work, floor, block, able) or _no_time(work, floor, cause, able)


def _not_in_time(work: JobWork, floor: Floor, cause: NoPlace) -> str:
    """Return why a block cannot start before too long has passed after what comes before it."""
    task, must = work.blocks[cause.key].tasks[0], work.must.get(cause.key)
    name = f"'{task.title}' ({task.where})"
    if must is not None and must.by >= floor.problem.now and floor.axis.down(must.by) == cause.latest:
        until = moment(work.record.job.site.zone, must.by, floor.problem.now)
        most = exact_wait(must.link.most_min or 0)
        return f"{name} must start by {until}, at most {most} after {must.what}: nobody who can do it can start by then"
    slots = {one: most_slots(one, floor.least_spare(work.blocks[one.before])) for one in work.tight[cause.key]}
    link = min(slots, key=lambda one: slots[one])
    before = work.blocks[link.before].tasks[0]
    close = f"{name} must start at most {exact_wait(link.most_min or 0)} after '{before.title}' ({before.where})"
    if slots[link] < slots_of(link.wait_min):
        return (
            f"{close}, and at least {exact_wait(link.wait_min)} after: too close together for a plan in quarter hours"
        )
    return f"{close}, and no two places are so close"


def why_whole(work: JobWork, floor: Floor, causes: Sequence[NoPlace]) -> str:
    """Return why a house is not opened: the first two causes, and how many more there are."""
    whys = list(dict.fromkeys(why_no_place(work, floor, cause) for cause in causes))
    more = f"; and {len(whys) - 2} more" if len(whys) > 2 else ""
    stays = any(cause.key in work.barred for cause in causes)
    closed = "; until then the house is not opened" if stays else ""
    return "; ".join(whys[:2]) + more + closed


def _nobody(block: Block, floor: Floor) -> str:
    crews = floor.crews.values()
    if not crews:
        return "the shop has no crew"
    skilled = [crew for crew in crews if block.skills <= crew.skills]
    if not skilled:
        return f"no crew {skills_words(block.skills)}"
    most = max(floor.roster.most(crew.name) for crew in skilled)
    if most >= block.least_people:
        title = next(task.title for task in block.tasks if task.card)
        return f"'{title}' needs somebody who holds the card {cards_words(block.cards)}; no crew that can do it has one"
    task = max(block.tasks, key=lambda task: task.least_people)
    who = f"the largest crew that {skills_words(block.skills)}" if block.skills else "the largest crew"
    return f"'{task.title}' needs {task.least_people} people; {who} has {most}"


def _no_stretch(work: JobWork, floor: Floor, block: Block, able: list[str]) -> str:
    """Return why no day or stretch is long enough, empty if some crew has one."""
    job = work.record.job
    calendars = {crew: floor.calendar(work.record, crew, block) for crew in able}
    if all(calendar.total == 0 for calendar in calendars.values()):
        if all(floor.calendars.crew(crew).total == 0 for crew in able):
            return f"{listed(able)}: no working hours before the plan ends {_end(work, floor)}"
        shut = ["site hours"] * (job.site.hours is not None) + ["blocked days"] * bool(job.blocked)
        causes = [*shut, *["the elevator's hours"] * block.elevator, "the drive"]
        return f"{listed(causes)} leave{'s' if len(causes) == 1 else ''} no working time for {listed(able)}"
    if any(calendar.longest(block.pause) >= floor.slots(block, crew) for crew, calendar in calendars.items()):
        return ""
    hours = span_words(min(floor.slots(block, crew) for crew in able) * QUARTER)
    if block.pause is Pause.NIGHT:
        return f"{block_words(block)} takes {hours}, more than is left before the plan ends {_end(work, floor)}"
    stretch = "in one go" if block.pause is Pause.NONE else "on one day"
    where = "with the elevator" if block.elevator else "at this site"
    return f"'{block.tasks[0].title}' needs {hours} {stretch}, and no crew has that long {where}"


def _no_time(work: JobWork, floor: Floor, cause: NoPlace, able: list[str]) -> str:
    block, fact = work.blocks[cause.key], work.ready.get(cause.key)
    zone, end = work.record.job.site.zone, _end(work, floor)
    if fact is not None and floor.axis.up(fact.at) >= floor.until:
        return f"{fact_words(fact, zone, fact.at - timedelta(days=30))}, after the plan ends {end}"
    if not any(_fits(floor, block, crew, floor.calendar(work.record, crew, block), cause.earliest) for crew in able):
        if work.record.job.blocked and any(
            _fits(floor, block, crew, _unblocked(work, floor, crew, block), cause.earliest) for crew in able
        ):
            return f"the days the customer has blocked leave no room before the plan ends {end}"
        if short := _short_site_hours(work, floor, able):
            return short
        if cause.after is not None:
            since = moment(zone, floor.axis.at(cause.earliest), floor.problem.now)
            before = _placed_words(work, work.blocks[cause.after])
            late = f"{_placed_words(work, block)} can begin {since}, after {before}: too late to fit before the plan ends {end}"
            return late + _longer_than_the_plan(work, floor)
    there = [crew for crew in able if floor.calendar(work.record, crew, block).total]
    booked = f"{listed(there)} {'is' if len(there) == 1 else 'are'} booked"
    tools = f", or the {listed(sorted(block.tools))} elsewhere" if block.tools else ""
    return f"no room before the plan ends {end}: {booked}{tools}"


def _placed_words(work: JobWork, block: Block) -> str:
    """Return what a block is, and where it is worked if the job has more than one of its phase: "the laying (bed 2)"."""
    if block.phase not in PHASE_WORDS or sum(one.phase is block.phase for one in work.blocks.values()) == 1:
        return block_words(block)
    return f"{block_words(block)} ({listed(list(dict.fromkeys(task.where for task in block.tasks)), most=2)})"


def _longer_than_the_plan(work: JobWork, floor: Floor) -> str:
    """Return that a job is too long for the plan by its work alone, empty where it is not.

    Each block is begun as soon as those before it end, at once by whichever crew is done first, as if no crew had other work and
    nothing had to dry: what does not fit so fits in no way.
    """
    ends: dict[BlockKey, int] = {}
    for key in work.order:
        block = work.blocks[key]
        since = max((ends[link.before] for link in work.into[key] if link.before in ends), default=0)
        able = [block.crew] if block.crew else [crew for crew in floor.crews if floor.able(block, crew)]
        places = [floor.starts(work.record, block, crew).first(since, floor.until) for crew in able]
        if not able:
            continue
        if not any(places):
            ahead = counted(floor.problem.days, "day")
            return f"; the job is longer than the {ahead} the plan looks ahead, however soon it begins"
        ends[key] = min(place[1] for place in places if place is not None)
    return ""


def _short_site_hours(work: JobWork, floor: Floor, able: list[str]) -> str:
    """Return that a site's hours are too short for all of its work, empty where they are not, or not they alone."""
    site = work.record.job.site
    if site.hours is None:
        return ""
    takes = {crew: sum(floor.slots(block, crew) for block in work.blocks.values()) for crew in able}
    here = {crew: floor.calendar(work.record, crew) for crew in able}
    most = max(able, key=lambda crew: here[crew].total)
    days = crew_days(floor.axis, floor.problem.shop, floor.crews[most])
    anytime = site_calendar(floor.axis, days, replace(site, hours=None), ((-floor.axis.slots, 2 * floor.axis.slots),))
    if here[most].total >= takes[most] or anytime.total < takes[most]:
        return ""
    day, total = here[most].longest_day * QUARTER, here[most].total * QUARTER
    weeks = round(floor.axis.slots * QUARTER / (7 * 24 * 60))
    return (
        f"the site's hours leave {most} {span_words(day)} a day there: {span_words(total)} in {weeks} weeks, and the "
        f"work takes it {span_words(takes[most] * QUARTER)}"
    )


def _fits(floor: Floor, block: Block, crew: str, calendar: Calendar, earliest: int) -> bool:
    piece = floor.piece(block, crew)
    starts = floor.tables.of(calendar, piece.work, piece.pause, piece.opening)
    return starts.first(earliest, floor.axis.slots) is not None


def _unblocked(work: JobWork, floor: Floor, crew: str, block: Block) -> Calendar:
    site = work.record.job.site
    days = crew_days(floor.axis, floor.problem.shop, floor.crews[crew])
    return site_calendar(floor.axis, days, site, site_windows(floor.axis, site, frozenset(), elevator=block.elevator))


def _end(work: JobWork, floor: Floor) -> str:
    wall = to_wall(work.record.job.site.zone, floor.problem.now + timedelta(days=floor.problem.days))
    return moment_words(wall, floor.problem.today)


def too_late(work: JobWork, floor: Floor, start: int, wished: int) -> str:
    """Return why a job whose first start lies after the plan's end is left out."""
    day = work.record.job.wished
    if wished >= floor.until and day is not None:
        return f"the start is wished for {day_words(day, floor.problem.today)}, after the plan ends {_end(work, floor)}"
    first = day_words(floor.date_of(work.record, start), floor.problem.today)
    return f"no room before the plan ends {_end(work, floor)}: it could start {first}"


def pin_fault(work: JobWork, key: BlockKey, floor: Floor) -> str:
    """Return why a pin can never be kept, whatever else is planned; empty if it can."""
    pin, block = work.pins[key][0], work.blocks[key]
    for other in work.pins[key][1:]:
        if (other.crew, other.day) != (pin.crew, pin.day):
            return f"pinned twice: to {_pin(pin, floor.problem.today)} and to {_pin(other, floor.problem.today)}"
    if pin.crew not in floor.crews:
        return f"pinned to {_pin(pin, floor.problem.today)}, which is no crew of the shop"
    crew, site = floor.crews[pin.crew], work.record.job.site
    if not block.skills <= crew.skills:
        return (
            f"pinned to {_pin(pin, floor.problem.today)}, but no one there {skills_words(block.skills - crew.skills)}"
        )
    lacks = floor.lacks(block, pin.crew, pin.day)
    if lacks:
        return f"pinned to {_pin(pin, floor.problem.today)}, but {lacks} that day"
    if pin.day < to_wall(site.zone, floor.problem.now).date():
        return f"pinned to {_pin(pin, floor.problem.today)}, a day that is past"
    if floor.day(work.record, pin.day)[0] >= floor.until:
        return f"pinned to {_pin(pin, floor.problem.today)}, after the plan ends {_end(work, floor)}"
    return _pin_day_fault(work, pin, floor)


def why_not_pinned(work: JobWork, floor: Floor, cause: NoPlace) -> str:
    """Return why a pinned block has no place where it is pinned to."""
    return pin_fault(work, cause.key, floor) or _pin_missed(work, floor, cause)


def why_pins_bar(work: JobWork, key: BlockKey, today: date) -> str:
    """Return that a pin could be kept only where other work of its job had no place."""
    return f"pinned to {_pin(work.pins[key][0], today)}, but then other work of the job has no place"


def _pin_day_fault(work: JobWork, pin: Pin, floor: Floor) -> str:
    crew, job, shop = floor.crews[pin.crew], work.record.job, floor.problem.shop
    if pin.day in shop.holidays:
        return f"pinned to {_pin(pin, floor.problem.today)}, but that day is a holiday of the shop"
    if not crew.comes(pin.day):
        return f"pinned day {day_words(pin.day, floor.problem.today)} is a day off for {pin.crew}"
    if pin.day in job.blocked:
        return f"pinned to {_pin(pin, floor.problem.today)}, a day the customer has blocked"
    if job.site.hours is not None and not job.site.hours.on(pin.day):
        return f"pinned to {_pin(pin, floor.problem.today)}, a day the site is closed"
    return ""


def _pin_missed(work: JobWork, floor: Floor, cause: NoPlace) -> str:
    """Return why a pin that could be kept on its own found no place on its day: the last of all that keeps it.

    That is a fact or the work before it where it could not begin on that day with its crew free; else another job of the
    crew, or a tool that is at another house. Of these the first day with room is said too.
    """
    pin, block, fact = work.pins[cause.key][0], work.blocks[cause.key], work.ready.get(cause.key)
    pinned = f"pinned to {_pin(pin, floor.problem.today)}"
    day, next_day = floor.day(work.record, pin.day)
    known = floor.axis.up(fact.at) if fact is not None else 0
    earliest = max(cause.earliest, known, day, 0)
    alone = floor.starts(work.record, block, pin.crew).first(earliest, floor.axis.slots)
    if alone is None or alone[0] >= next_day:
        near = to_utc(work.record.job.site.zone, pin.day, 0)
        if fact is not None and known >= max(cause.earliest, day):
            words = fact_words(fact, work.record.job.site.zone, near)
            return f"{pinned}, but {words}, too late for {pin.crew} that day"
        if cause.after is not None and cause.earliest > day:
            late = f", too late for {pin.crew} that day" if cause.earliest < next_day else ""
            return f"{pinned}, but {_waits_for(work, floor, cause, cause.after, near)}{late}"
        return f"{pinned}, whose day has no room left for it"
    found = floor.first(work.record, block, pin.crew, earliest)
    words = _crew_words(work, floor, cause.key, alone) or (
        _tool_words(work, floor, cause.key, alone, found.start) if found is not None else ""
    )
    why = f"{pinned}, but {words}" if words else f"{pinned}, whose day has no room left for it"
    if found is None:
        return why
    return (
        f"{why}; the first day with room is {day_words(floor.date_of(work.record, found.start), floor.problem.today)}"
    )


def _crew_words(work: JobWork, floor: Floor, key: BlockKey, place: Window) -> str:
    """Return at which job the crew is while a pinned block would be worked from the soonest on; empty where at none."""
    crew, zone = work.pins[key][0].crew, work.record.job.site.zone
    held = [one for one in floor.timelines[crew].bookings if one.start < place[1] and one.end > place[0]]
    if not held:
        return ""
    soonest = floor.axis.at(place[0])
    first = min(held, key=lambda one: one.start)
    later = first.start > place[0]
    when = f"{'from' if later else 'until'} {moment(zone, floor.axis.at(first.start if later else first.end), soonest)}"
    takes = span_words(floor.slots(work.blocks[key], crew) * QUARTER)
    return f"it takes {takes} from {moment(zone, soonest, soonest)} at the soonest, and {crew} is on job {first.key.job} {when}"


def _waits_for(work: JobWork, floor: Floor, cause: NoPlace, after: BlockKey, near: datetime) -> str:
    """Return what of the job comes before a block, and until when: work, or what it cures or stands after it."""
    block, before = work.blocks[cause.key], work.blocks[after]
    until = f"{moment(work.record.job.site.zone, floor.axis.at(cause.earliest), near)} at the soonest"
    name = block_words(before)
    if before.phase is block.phase:  # the laying does not wait for the laying
        name = f"'{before.tasks[-1].title}' ({before.tasks[-1].where})"
    wait = max((link for link in work.into[cause.key] if link.before == after), key=lambda link: link.wait_min)
    if wait.wait_min:
        return f"{wait.name or f'{exact_wait(wait.wait_min)} after {name}'} until {until}"
    return f"it waits for {name} until {until}"


def _tool_words(work: JobWork, floor: Floor, key: BlockKey, place: Window, start: int) -> str:
    """Return which tool is at which job, and until when, where that keeps a block from a place; it begins at `start` instead."""
    for tool in sorted(work.blocks[key].tools):
        holder = floor.toolbox.last_before(tool, start, key)
        if holder is not None and floor.toolbox.free_from([tool], *place, work.number) is not None:
            until = moment(work.record.job.site.zone, floor.axis.at(holder.end), floor.axis.at(place[0]))
            return f"the {tool} is at job {holder.key.job} until {until}"
    return ""


def _pin(pin: Pin, today: date) -> str:
    return f"{pin.crew} on {day_words(pin.day, today)}"
