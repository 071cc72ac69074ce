"""What a customer is asked to have ready: the same on the notice and among the questions, and only what they can answer.

What was turned off for something that was found is not asked for, whoever decides about that says when it runs again; nor is
a room to be emptied, or a way cleared into it, that nobody goes into.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, datetime
from typing import Final

from crewjobs.domain.house_ready import READY_WORDS, ReadyItem
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.tasks import Task
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.wording import day_words, listed, upper
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.readiness.house import house, items_of
from crewjobs.engines.readiness.lots import lots_here
from crewjobs.engines.readiness.shut import left_off, nobody_in

LEAVE_OFF: Final = "please leave it off where the crew turned it off; whoever decides about what was found in your house says when it runs again"
OFF_WORDS: Final = {ReadyItem.AIR: ("heat", "air"), ReadyItem.POWER: ("power", "water", "gas")}
"""What of an item is turned off."""
CARRIED_IN_BY: Final = "by the day it is carried in; we tell you"
"""Of the way in for material that has no day, beside what has one."""


def asked_items(record: JobRecord, now: datetime) -> tuple[ReadyItem, ...]:
    """Return what is asked of a house: without what was turned off there, and nothing to be emptied where all of that is shut."""
    off = left_off(record, now)
    return tuple(
        item
        for item in items_of(record.job)
        if item not in off and not (item is ReadyItem.EMPTIED and _nothing_to_empty(record, now))
    )


def _nothing_to_empty(record: JobRecord, now: datetime) -> bool:
    """Return whether nobody goes into any of the rooms, or onto the stairs where there is no such room, that are emptied.

    Where no floor is laid it is the places of the agreed work, as in a callback.
    """
    job, shut = record.job, nobody_in(record, now)
    rooms = [room.name for room in job.rooms if room.floor is not None and (room.furniture or job.site.occupied)]
    emptied = rooms or [flight.name for flight in job.stairs if flight.floor is not None] or _worked_in(job)
    return bool(emptied) and shut.issuperset(emptied)


def _worked_in(job: Job) -> list[str]:
    """Return where agreed work is done; of the whole house that is every room and flight of the job."""
    places = [entry.place for entry in job.work]
    return [*(room.name for room in job.rooms), *(flight.name for flight in job.stairs)] if "" in places else places


def said_yes(record: JobRecord, now: datetime) -> frozenset[ReadyItem]:
    """Return the items of which the latest answer is yes."""
    found = house(record, now)
    return frozenset(items_of(record.job)) - {*found.unanswered, *(answer.item for answer in found.missing)}


def leave_off_words(record: JobRecord, now: datetime) -> str:
    """Return what is left off until whoever decides about what was found says when it runs again; empty where nothing is."""
    off = left_off(record, now)
    words = [word for item in ReadyItem if item in off for word in OFF_WORDS[item]]
    if not words:
        return ""
    told = " or ".join([", ".join(words[:-1]), words[-1]])
    return f"{upper(told)}: {LEAVE_OFF}."


def item_words(record: JobRecord, item: ReadyItem, units: UnitSystem, now: datetime) -> str:
    """Return an item as it is asked of the customer, with what it means at this house."""
    words = upper(asked_words(item))
    return f"{words}{': ' + why if (why := ready_why(record, item, units, now)) else ''}"


def asked_words(item: ReadyItem) -> str:
    """Return an item as it is asked of the customer."""
    return READY_WORDS[item].replace("the customer's", "yours")


def ready_why(record: JobRecord, item: ReadyItem, units: UnitSystem, now: datetime) -> str:
    """Return what an item means at this house, in words for its customer; empty where it says itself."""
    if item in left_off(record, now):
        return "whoever decides about what was found in your house says when it runs again"
    if item is ReadyItem.AIR:
        floors = {room.floor for room in record.job.rooms} | {flight.floor for flight in record.job.stairs}
        ranges = [str(m.asks.temperature) for m in record.job.materials if m.name in floors]
        lying = lying_there(record, now)
        words = "day and night, until we are done" if ranges else ""
        if len(set(ranges)) == 1:
            words = told_in(f"day and night, {ranges[0]} °F, until we are done", units)
        if not lying:
            return words
        return (
            f"{words}; now already, since {listed(lying, most=6)} {'lies' if len(lying) == 1 else 'lie'} in your house"
        )
    if item is ReadyItem.POWER:
        return "outlets that work in or beside the rooms"
    if item is ReadyItem.KEY:
        return "from the hour we come until we leave"
    return ""


def lying_there(record: JobRecord, now: datetime) -> list[str]:
    """Return the names of what is still to be laid and lies in the rooms already."""
    return [material.name for material in record.job.materials if _lies_there(record, material, now)]


def _lies_there(record: JobRecord, material: Material, now: datetime) -> bool:
    """Return whether material that is still to be laid lies in the rooms and takes on their air."""
    open_work = any(task.needs_material == material.name and task.open for task in record.tasks)
    return open_work and any(
        lot.moved_in_at and lot.moved_in_at <= now for lot in lots_here(record, material.name, now)
    )


def ways_in(
    record: JobRecord, carried: Mapping[int, date], by: date | None, first: date | None, now: datetime, *, dry: bool
) -> Iterator[tuple[str, bool]]:
    """Yield the way in for material still to be carried in, each with whether it has a day of its own: the one it is carried in on.

    `carried` are the days of the carrying in by its task. With what is asked `by` a day stands what comes on the `first` one that
    this is for, or has as little a day as all else. `dry`: no room is asked to be emptied, so a dry one is asked for here.
    No way is asked for into rooms that nobody goes into.
    """
    days = dict[date | None, list[str]]()
    for task in record.tasks:
        if is_carry_in(task) and task.open and not _carried_into_shut(record, task, now):
            days.setdefault(carried.get(task.number), []).append(task.where)
    for day, materials in sorted(days.items(), key=lambda one: one[0] or date.max):
        what = listed(list(dict.fromkeys(materials)), most=4, of="materials")
        way = f"A clear way in{' and dry room' if dry else ''} for the material ({what})"
        if day == first if by is not None else day is None:
            yield f"{way}: it lies in the rooms before it is laid", False
        else:
            when = f"by {day_words(day)}" if day is not None else CARRIED_IN_BY
            yield f"{way}: {when}. It lies in the rooms before it is laid", True


def _carried_into_shut(record: JobRecord, task: Task, now: datetime) -> bool:
    """Return whether nobody goes into any of the rooms some material is carried in for."""
    name, job = task.key.scope.name, record.job
    places = [room.name for room in job.rooms if name in (room.floor, room.name)]
    places += [flight.name for flight in job.stairs if name in (flight.floor, flight.name)]
    return bool(places) and nobody_in(record, now).issuperset(places)
