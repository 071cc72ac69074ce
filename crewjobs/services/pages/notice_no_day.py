"""What a customer is told while their floor has no day: why, in plain words, and what a small visit looks at.

Only the job's own facts are spoken of, never the plan's reasons, which may name another house.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from datetime import datetime, timedelta
from typing import Final

from crewjobs.domain.agreed import SmallVisit, VisitKind
from crewjobs.domain.house_ready import Other, WaitingOn
from crewjobs.domain.job import LIVE, JobRecord, JobState
from crewjobs.domain.plan import LeftOut
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed, moment_words
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.found import found_no_date, only_kept
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.readiness.house import house_no_date, is_looking
from crewjobs.engines.readiness.others import others_no_date, still_out
from crewjobs.services.findings.found_asked import because_of
from crewjobs.services.waiting.licensed_waits import wanted
from crewjobs.services.weeks.toilets import back_the_same_day

LOOKS: Final = {
    VisitKind.MEASURING: "We measure the rooms and look at the floor that is there. Nothing is taken up or moved.",
    VisitKind.SITE_CHECK: "We look at the rooms, the way in, heat and power. Nothing is taken up or moved.",
    VisitKind.READING: "We read how damp and how warm the floor and the air of the rooms are.",
    VisitKind.PUNCH_LIST: "We see to what was left to do.",
    VisitKind.CALLBACK: "We look at what you called us for.",
}
"""What a small visit is about, where its name alone does not say it; common practice, no source."""
SOMEBODY_THERE: Final = "Somebody there to let us in"
PAST: Final = "What is left of our work has no new day yet. We tell you as soon as it has one."
"""To its customer, where all the days of its open work are gone by."""
NO_DAY: Final = "on a day not planned yet"
NOT_KNOWN: Final = f"{NO_DAY}; we tell you"
"""Of what is out, or cannot be used: when that ends, where the plan has no day for it or its day is gone by."""
NO_YES: Final = {
    JobState.ASKED: "it is planned once it is measured and you have said yes to an offer",
    JobState.QUOTED: "it is planned once you have said yes to our offer",
}


def coming_visits(record: JobRecord, now: datetime) -> tuple[SmallVisit, ...]:
    """Return the small visits of a job that are still to come or under way; to one called off nobody goes any more."""
    if record.job.state is JobState.CALLED_OFF:
        return ()
    return tuple(
        visit
        for visit in record.small_visits
        if visit.done_at is None and visit.start + timedelta(minutes=visit.minutes) > now
    )


def nothing_begun(record: JobRecord) -> bool:
    """Return whether neither cartons nor a crew have been in the house, so that nothing of its rooms matters yet."""
    return not any((task.started_at or task.done_at) and not is_looking(task) for task in record.tasks)


def is_finished(record: JobRecord) -> bool:
    """Return whether all work of a job that goes on is done."""
    return record.job.state in LIVE and bool(record.tasks) and not any(task.open for task in record.tasks)


def no_day_why(record: JobRecord, now: datetime, without: Set[int], left: Sequence[LeftOut]) -> str:
    """Return why a job's work has no day, in words for its customer; empty where its own facts do not say it.

    The tasks `without` a day may wait for more than what keeps them from one: who is expected about what was found is told too.
    What of it is `left` out of the plan says whether it was for want of a toilet.
    """
    if record.job.state in NO_YES:
        return NO_YES[record.job.state]
    others = (*_others(record, now), *_expected(record, now, without))
    facts = (*_materials(record, now), *others, *_house(record, now), *_found(record, now), *_toilet(record, left))
    whys = dict.fromkeys(facts)
    return listed(list(whys), most=6)


def _materials(record: JobRecord, now: datetime) -> Iterator[str]:
    for material in record.job.materials:
        if not any(task.needs_material == material.name and task.open for task in record.tasks):
            continue
        clock = material_clock(record, material, now)
        if clock.state is WaitState.NOT_ORDERED:
            yield f"{material.name} is not ordered yet{': your deposit releases it' if clock.needs_deposit else ''}"
        elif clock.state is WaitState.LATE:
            yield f"{material.name} is late and its supplier has not named a new day yet"
        elif clock.state is WaitState.DUE and clock.due is None:
            yield f"{material.name} is ordered and its supplier has not named a day yet"


def _others(record: JobRecord, now: datetime) -> Iterator[str]:
    for task in record.tasks:
        if task.open and others_no_date(record, task, now):
            for waits in still_out(record, now):
                if task.number in waits.holds and (waits.promised is None or waits.promised < now):
                    purpose = "" if of_found(record, waits) else purpose_words(record, waits)  # told beside it
                    yield f"{to_ask_words(waits) or f'we wait for {who_words(waits.who)}'}{purpose}"


def asked_of_found(record: JobRecord, now: datetime, numbers: Set[int]) -> Iterator[WaitingOn]:
    """Yield who is waited for because of what was found and holds one of some tasks."""
    for waits in still_out(record, now):
        if of_found(record, waits) and not numbers.isdisjoint(waits.holds):
            yield waits


def _expected(record: JobRecord, now: datetime, without: Set[int]) -> Iterator[str]:
    """Yield who is still expected about what was found; where nobody knows a day of theirs `_others` says so."""
    for waits in asked_of_found(record, now, without):
        if waits.promised is not None and waits.promised >= now:
            yield f"{to_ask_words(waits) or f'we wait for {who_words(waits.who)}'}{purpose_words(record, waits)}"


def gone_by_words(record: JobRecord, numbers: Set[int]) -> str:
    """Return what to expect of work whose day is gone by and that nobody ticked, true whether or not it was done; empty for none."""
    late = [task for task in record.tasks if task.number in numbers]
    cartons = list(dict.fromkeys(task.where for task in late if is_carry_in(task)))
    said = []
    if cartons:
        lie, are = ("does not lie", "it is") if len(cartons) == 1 else ("do not lie", "they are")
        what = listed(cartons, most=4, of="materials")
        said.append(f"If {what} {lie} in your house yet, {are} still to be carried in, on a day we tell you.")
    if any(not is_carry_in(task) and not is_looking(task) and task.needs_material not in cartons for task in late):
        said.append(
            "Work that was planned to be done by now and is not has no new day yet. We tell you as soon as it has one."
        )
    return " ".join(said)


def who_words(who: Other) -> str:
    """Return who is waited for: only who they are, since what was noted of them stays in the shop."""
    if who is Other.CUSTOMER:
        return "your own choice"
    return "somebody else's work" if who is Other.OTHER else f"the {who.value}"


def to_ask_words(waits: WaitingOn) -> str:
    """Return that somebody is still to be asked, while nobody is known to have done it; else empty: then they are waited for."""
    return f"we have yet to ask {who_words(waits.who)}" if waits.to_be_asked else ""


def of_found(record: JobRecord, waits: WaitingOn) -> bool:
    """Return whether somebody is waited for because of what was found."""
    return any(because_of(finding, waits) for finding in record.findings)


def purpose_words(record: JobRecord, waits: WaitingOn) -> str:
    """Return in brackets what somebody is waited for, where it is what licensed people do or was found; else empty.

    Never in the words it was noted in, which stay in the shop: what is done before the tasks it holds.
    """
    if of_found(record, waits):
        return " (what was found in your house)"
    held = (task for task in record.tasks if task.number in waits.holds)
    licensed = dict.fromkeys(what for task in held for who, what in wanted(record, task) if who is waits.who)
    return f" ({listed(list(licensed), most=6)})" if licensed else ""


def _house(record: JobRecord, now: datetime) -> Iterator[str]:
    if any(task.open and house_no_date(record, task, now) for task in record.tasks):
        yield "your house is not ready for us, and we know no day on which it will be"


def _found(record: JobRecord, now: datetime) -> Iterator[str]:
    held = [task for task in record.tasks if task.open and found_no_date(record, task, now)]
    kept = [task for task in held if only_kept(record, task, now)]
    if len(kept) < len(held):
        yield "what was found in your house is to be settled with you first"
    if kept:
        yield "we still decide how the rest is done over what stays in your house"


def _toilet(record: JobRecord, left: Sequence[LeftOut]) -> Iterator[str]:
    if any(asked.why in one.why for asked in back_the_same_day(record) for one in left if one.job == record.job.number):
        yield "a rented toilet or nights away are first to be agreed with you, please call us"


def promised_words(record: JobRecord, waits: WaitingOn, now: datetime) -> str:
    """Return for when somebody promised something, at the site's wall, or is expected where nobody did; empty where neither is known.

    Of a day gone by: that it was promised, and is not done; that somebody was expected says nothing any more, and as little
    while nobody has asked them.
    """
    if waits.to_be_asked:
        return "; no day is promised yet"
    if waits.promised is None:
        return ""
    wall, past = to_wall(record.job.site.zone, waits.promised), waits.promised < now
    if past:
        return "; no day is promised yet" if waits.usual else f": was promised for {moment_words(wall)}, not done yet"
    if waits.usual:
        return f", expected {day_words(wall.date())} at the earliest; no day is promised yet"
    return f", promised for {moment_words(wall)}"
