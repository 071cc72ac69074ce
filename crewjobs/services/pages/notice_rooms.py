"""Which rooms of a house are out of use when, by the plan: until they may be walked on, and furniture put back.

Links and waits are those of the plan, so a promise here is never earlier than what holds a task. Waits whose name tells of
furniture end its being away; every other wait that begins with laying ends nobody walking there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Phase, ScopeKind, Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.readiness.house import is_looking
from crewjobs.paper.notice import OutOfUse
from crewjobs.services.weeks.visits import Planned

FURNITURE: Final = "furniture"
"""In the name of a wait: what it keeps off the floor."""
FURNITURE_BACK: Final = frozenset({"furniture-back", "furniture-home"})
"""Templates in which the crew brings furniture back; a test holds them to the catalogue."""
AFTER_LAYING: Final = frozenset({Phase.TRIM, Phase.FIXTURES_RESET})
NOT_KNOWN: Final = "on a day not planned yet"


def out_of_use(found: Planned | None, record: JobRecord, now: datetime) -> Iterator[OutOfUse]:
    """Yield the sections and stairs that get a floor, or have one that still cures, in the job's order."""
    for room in record.job.rooms:
        if room.floor is not None:
            for section in room.sections:
                mine = [
                    task for task in record.tasks if _at(task, room.name, section.name, whole=len(room.sections) == 1)
                ]
                later = [t for t in record.tasks if _at(t, room.name, section.name, whole=True)]
                yield from _out(found, record, ", ".join(filter(None, (room.name, section.name))), mine, later, now)
    for flight in record.job.stairs:
        if flight.floor is not None:
            mine = [task for task in record.tasks if task.key.scope.name == flight.name and _on_stairs(task)]
            yield from _out(found, record, flight.name, mine, mine, now)


def _at(task: Task, room: str, part: str, *, whole: bool) -> bool:
    scope = task.key.scope
    if scope.name != room:
        return False
    return (scope.kind is ScopeKind.SECTION and scope.part == part) or (whole and scope.kind is ScopeKind.ROOM)


def _on_stairs(task: Task) -> bool:
    return task.key.scope.kind is ScopeKind.STAIRS


def _out(
    found: Planned | None,
    record: JobRecord,
    name: str,
    tasks: Sequence[Task],
    later: Sequence[Task],
    now: datetime,
) -> Iterator[OutOfUse]:
    """Yield how a place is out of use by its `tasks`, of which `later` has those of its whole room too; nothing where its work and its waits are over."""
    works = [task for task in tasks if not task.not_needed and not is_looking(task) and not is_carry_in(task)]
    laying = [task for task in works if task.phase is Phase.INSTALL]
    ends = _ends(found, record, laying)
    walk, furnish = ends.get(False), ends.get(True)
    still = any(task.open for task in works) or any(end and end > now for end in ends.values())
    if not works or not still:
        return
    zone, stairs = record.job.site.zone, any(_on_stairs(task) for task in works)
    yield OutOfUse(
        room=name,
        out=_since(found, record, works),
        walk=_walk_words(
            zone,
            walk,
            walk == furnish and not stairs,
            any(task.phase in AFTER_LAYING and task.open for task in later),
            now,
        ),
        furnish="" if stairs else _furnish_words(found, record, name, walk, furnish, now),
    )


def _ends(found: Planned | None, record: JobRecord, laying: Sequence[Task]) -> dict[bool, datetime | None]:
    """Return when what is laid may be walked on (False) and furnished (True), waits counted; None where nobody knows."""
    done = [_end(found, record, task) for task in laying]
    if not laying or any(end is None for end in done):
        return {False: None, True: None}
    numbers = {task.number: end for task, end in zip(laying, done, strict=True)}
    latest = {False: max(end for end in done if end), True: max(end for end in done if end)}
    for link in record.links:
        start = numbers.get(link.before)
        if start is not None and link.wait_min:
            kind = FURNITURE in link.name
            latest[kind] = max(latest[kind], start + timedelta(minutes=link.wait_min))
    return {False: latest[False], True: max(latest.values())}


def _end(found: Planned | None, record: JobRecord, task: Task) -> datetime | None:
    if task.done_at is not None:
        return task.done_at
    placed = found.placement(record.job.number, task.number) if found else None
    return placed.end if placed else None


def _since(found: Planned | None, record: JobRecord, works: Sequence[Task]) -> str:
    if any(task.started_at or task.done_at for task in works):
        return "out of use now"
    starts = [found.placement(record.job.number, task.number) for task in works] if found else []
    known = [placed.start for placed in starts if placed is not None]
    if not known:
        return f"out of use {NOT_KNOWN}"
    return f"out of use from about {moment_words(to_wall(record.job.site.zone, min(known)))}"


def _walk_words(zone: str, walk: datetime | None, both: bool, more: bool, now: datetime) -> str:
    if walk is None:
        return f"May be walked on: {NOT_KNOWN}."
    if walk <= now:
        text = "By the clock it may be walked on now; the crew says so."
    else:
        furnished = " and furnished" if both else ""
        text = f"May be walked on{furnished}: not before {moment_words(to_wall(zone, walk))}."
    return f"{text} We come back to it for base, trim or fixtures." if more else text


def _furnish_words(
    found: Planned | None, record: JobRecord, name: str, walk: datetime | None, furnish: datetime | None, now: datetime
) -> str:
    if furnish is None:
        return ""
    zone = record.job.site.zone
    room = name.partition(",")[0]
    back = [
        _end(found, record, task)
        for task in record.tasks
        if task.key.template in FURNITURE_BACK
        and task.open
        and (task.key.scope.kind is ScopeKind.STAGE or task.key.scope.name == room)
    ]
    known = [end for end in back if end is not None]
    if known:
        return f"Furniture: we put it back, planned for {moment_words(to_wall(zone, max(*known, furnish)))}."
    if furnish <= now or walk == furnish:
        return ""
    return f"Furniture: not before {moment_words(to_wall(zone, furnish))}."
