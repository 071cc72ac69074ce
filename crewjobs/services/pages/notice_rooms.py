"""Which rooms of a house are out of use when, by the plan: until they may be walked on, and furniture put back.

From when to when is `crewjobs.services.weeks.usable`'s to say; here it is put in words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, Phase, ScopeKind, Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words, upper
from crewjobs.engines.readiness.shut import behind_shut, in_place, nobody_in
from crewjobs.paper.notice import OutOfUse
from crewjobs.services.findings.hanging import DAYS_HANG, FOUND_THERE, found_in, hanging
from crewjobs.services.pages.notice_no_day import NO_DAY, NOT_KNOWN
from crewjobs.services.pages.notice_stands import brought_back, stands_on
from crewjobs.services.pages.ready_asked import leave_off_words
from crewjobs.services.weeks.cut_off import Cut, laying_of
from crewjobs.services.weeks.repaired import opened_at, opened_by, still_shut
from crewjobs.services.weeks.untold import DAYS_COUNT
from crewjobs.services.weeks.usable import (
    Times,
    counts_as_laid,
    end_of,
    on_stairs,
    places,
    start_of,
    usable_from,
    working,
)
from crewjobs.services.weeks.visits import Planned

FURNITURE_BACK: Final = frozenset({"furniture-back", "furniture-home"})
"""Templates in which the crew brings furniture back; a test holds them to the catalogue."""
SHUT: Final = "shut until what was found there is settled"
SHUT_OFF: Final = "out of use until what was found on the only way to it is settled"
REPAIRED: Final = "repaired, as agreed with you"
SETTLED: Final = "whoever decides about it looks at it first. We tell you when it may be used again."
STAY_BACK: Final = "do not go through there"
ONCE_LOOKED: Final = "once we have seen that it is laid; we tell you"
"""Of a floor that was to be laid by now, and nobody said that it is: when it may be walked on."""
LAID: Final = "laid, not in full use yet"
COME_BACK: Final = "We come back to it for base, trim or fixtures"
AFTER_LAYING: Final = frozenset({Phase.TRIM, Phase.FIXTURES_RESET})


@dataclass(frozen=True, slots=True, kw_only=True)
class Minutes:
    """When the tasks of a job are worked: by the `plan` as it was made, and of that what is still `ahead`."""

    plan: Times
    ahead: Times

    def to_come(self, task: Task, now: datetime) -> bool:
        """Return whether an open task is planned for later, or the day planned for it still counts."""
        return task.open and task.number in self.plan and (task.number in self.ahead or self.plan[task.number][1] > now)


def out_of_use(
    found: Planned | None,
    record: JobRecord,
    times: Minutes,
    now: datetime,
    cut: Mapping[str, Sequence[Cut]],
    catalogue: Catalogue,
    counted: frozenset[int] = frozenset(),
) -> Iterator[OutOfUse]:
    """Yield the sections and stairs that get a floor, or have one that still cures, in the job's order.

    Where nothing of the job is to come, those alone in which work has begun, or should have by the plan, or something was
    found that holds it. A place that nobody goes into for what was found there has no instant, and is told also where the
    job has no work in it; where that is repaired by the plan, as the customer agreed, it has that instant. So is one nobody comes to by its only way, as `cut` says, beside what is worked there. Of places with work
    that is `counted` it is said that their times hang on work nobody has told of.
    """
    opened, told = opened_by(record, times.ahead, now), set[str]()
    shut = still_shut(record, opened, now)
    own: dict[str, datetime | None] = {}
    for name, tasks, later in places(record):
        if in_place(record, name, shut):
            told.add(name)
            yield _shut(record, name, now)
        else:
            row = next(_out(found, times, record, name, tasks, later, now, catalogue, counted), None)
            at = opened_at(record, name, opened)
            if at is not None:
                told.add(name)
                row = _opened(record, name, at, row, now)
            if row is not None:
                yield row
            walk = usable_from(found, times.ahead, record, laying_of(tasks))[False]
            if row is not None:
                own |= {room.name: walk for room in record.job.rooms if in_place(record, name, {room.name})}
    rest = [*(room.name for room in record.job.rooms), *(flight.name for flight in record.job.stairs)]
    # Found in another job of the house: a room this one does not know.
    elsewhere = sorted(shut.intersection(one.place for one in record.findings).difference(rest))
    for name in (*rest, *elsewhere):
        if name in shut and not any(in_place(record, one, {name}) for one in told):
            yield _shut(record, name, now)
        elif name not in shut:
            if name in opened and not any(in_place(record, one, {name}) for one in told):
                yield _opened(record, name, opened[name], None, now)
            yield from _cut(record, name, cut.get(name, ()), own, now)


def _cut(
    record: JobRecord, name: str, cut: Sequence[Cut], own: Mapping[str, datetime | None], now: datetime
) -> Iterator[OutOfUse]:
    """Yield from when until when nobody comes to a room by its only way, and what that is.

    Beside its `own` floor, walked on from then or on a day not known, it is told as the way there. Not where that is no sooner, nor where people may be let through: of a toilet that is told all the same.
    """
    zone = record.job.site.zone
    for one in cut:
        walk = own.get(name)
        if one.maybe or (walk is not None and one.end is not None and one.end <= walk):
            continue
        start = moment_words(to_wall(zone, one.start))
        until = f"not before {moment_words(to_wall(zone, one.end))}" if one.end else NOT_KNOWN
        yield OutOfUse(
            room=f"way to {name}" if name in own else name,
            out=f"out of use since about {start}" if one.start <= now else f"out of use from about {start}",
            walk=f"As far as we know you get there only through {one.words}: please do not go through there. In use again: {until}.",
            furnish="",
        )


def shut_words(record: JobRecord, ahead: Times, now: datetime) -> Iterator[str]:
    """Yield in a sentence each the rooms and stairs that are shut for what was found, and what is left off for it.

    By the minutes `ahead` of the plan one may be repaired, as the customer agreed.
    """
    opened = opened_by(record, ahead, now)
    shut = nobody_in(record, now)
    known = [*(room.name for room in record.job.rooms), *(flight.name for flight in record.job.stairs)]
    places = [name for name in dict.fromkeys((*known, *(one.place for one in record.findings))) if name in shut]
    for name in places:
        row = _opened(record, name, opened[name], None, now) if name in opened else _shut(record, name, now)
        yield f"{upper(name)}: {row.out}."
    if off := leave_off_words(record, now):
        yield off


def _opened(record: JobRecord, name: str, at: datetime, row: OutOfUse | None, now: datetime) -> OutOfUse:
    """Return a place that is shut and is repaired `at` an instant by the plan: until then for that, and after it as its work's `row` tells."""
    behind = in_place(record, name, behind_shut(record, now))
    what = f"what was found {'on the only way to it' if behind else 'there'} is {REPAIRED}"
    planned = f"planned to be done by {moment_words(to_wall(record.job.site.zone, at))}"
    stay = f"Please {STAY_BACK if behind else _stay_out(record, name)}"
    if row is None:
        return OutOfUse(
            room=name,
            out=f"out of use until {what}: {planned}",
            walk=f"{stay} until then: we look at it first, and tell you when it may be used again.",
            furnish="",
        )
    return replace(
        row, out="out of use now", walk=f"{stay} until {what}: {planned}, and we look at it first. {row.walk}"
    )


def _stay_out(record: JobRecord, name: str) -> str:
    stairs = any(flight.name == name for flight in record.job.stairs)
    return "stay off" if stairs else "stay out and keep the door shut"


def _shut(record: JobRecord, name: str, now: datetime) -> OutOfUse:
    """Return a place that is shut for what was found in it, or on the only way to it: not what that is, which is for others to say."""
    if in_place(record, name, behind_shut(record, now)):
        return OutOfUse(room=name, out=SHUT_OFF, walk=f"Please {STAY_BACK}: {SETTLED}", furnish="")
    return OutOfUse(
        room=name,
        out=SHUT,
        walk=f"Please {_stay_out(record, name)}: {SETTLED}",
        furnish="",
    )


def _out(
    found: Planned | None,
    times: Minutes,
    record: JobRecord,
    name: str,
    tasks: Sequence[Task],
    later: Sequence[Task],
    now: datetime,
    catalogue: Catalogue,
    counted: frozenset[int],
) -> Iterator[OutOfUse]:
    """Yield how a place is out of use by its `tasks`, of which `later` has those of its whole room too; nothing once its work and its waits are over.

    A section stays on the page until its whole room is done and furnished: we come back to it, and furniture is put on it.
    """
    works, bringing = working(tasks), _bringing(record, name.partition(",")[0])
    laying = laying_of(tasks)
    ends = usable_from(found, times.ahead, record, laying, catalogue)
    walk, furnish = ends.get(False), ends.get(True)
    still = any(task.open for task in (*working(later), *bringing)) or any(end and end > now for end in ends.values())
    if not works or not still:
        return
    start = start_of(times.plan, works)
    begun = any(task.started_at or task.done_at for task in works) or (start is not None and start <= now)
    waits = FOUND_THERE if in_place(record, name, found_in(record, now)) else ""
    if not begun and not waits and not any(times.to_come(task, now) for task in record.tasks):
        return
    zone, stairs = record.job.site.zone, any(on_stairs(task) for task in works)
    hung = any(task.number in times.ahead for task in works if task.number in hanging(record, now))
    presumed = counts_as_laid(times.ahead, record, laying, now)
    counts = presumed or any(task.number in counted and task.number in times.ahead for task in works)
    furnished = (
        stands_on(record, times.ahead, name, bringing),
        _furnish_words(zone, times.ahead, bringing, walk, furnish, now),
    )
    yield OutOfUse(
        room=name,
        out=LAID
        if walk is not None and walk <= now and not presumed
        else _since(record, works, start, gone_by=start is not None and times.plan != times.ahead and start <= now),
        walk=_walk_words(
            zone,
            walk,
            walk == furnish and not stairs,
            _back_words(zone, times.ahead, later, max(now, walk) if walk else now),
            now,
            presumed=presumed,
        ),
        furnish="" if stairs else " ".join(filter(None, furnished)),
        found=" ".join(filter(None, (waits, DAYS_HANG if hung else "", DAYS_COUNT if counts else ""))),
    )


def _since(record: JobRecord, works: Sequence[Task], start: datetime | None, *, gone_by: bool) -> str:
    if any(task.started_at or task.done_at for task in works):
        return "out of use now"
    if start is None:
        return f"out of use {NO_DAY}"
    when = moment_words(to_wall(record.job.site.zone, start))
    return f"out of use since about {when}, as it was planned" if gone_by else f"out of use from about {when}"


def _walk_words(zone: str, walk: datetime | None, both: bool, more: str, now: datetime, *, presumed: bool) -> str:
    """Return when a place may be walked on; never that it may be now while its laying is only `presumed` to be done."""
    if walk is None:
        return f"May be walked on: {NOT_KNOWN}."
    furnished = " and furnished" if both else ""
    if walk > now:
        text = f"May be walked on{furnished}: not before {moment_words(to_wall(zone, walk))}."
    elif presumed:
        text = f"May be walked on{furnished}: {ONCE_LOOKED}."
    else:
        text = "By the clock it may be walked on now; the crew says so."
    return f"{text} {more}".rstrip()


def _back_words(zone: str, ahead: Times, later: Sequence[Task], since: datetime) -> str:
    """Return that we come back to a place that is laid, and when by the plan where that is later than `since`; empty where nothing is left to be set."""
    left = [task for task in later if task.phase in AFTER_LAYING and task.open]
    if not left:
        return ""
    start = start_of(ahead, left)
    if start is None:
        return f"{COME_BACK}, {NO_DAY}."
    return f"{COME_BACK}, planned for {moment_words(to_wall(zone, start))}." if start > since else f"{COME_BACK}."


def _bringing(record: JobRecord, room: str) -> list[Task]:
    """Return the tasks by which the furniture of a room comes back; none where we carry none."""
    bringing = brought_back(record, room)
    if not bringing and any(one.name == room and one.pieces for one in record.job.rooms):
        bringing = [
            task
            for task in record.tasks
            if task.key.template in FURNITURE_BACK
            and (task.key.scope.kind is ScopeKind.STAGE or task.key.scope.name == room)
        ]
    return bringing


def _furnish_words(
    zone: str,
    times: Times,
    bringing: Sequence[Task],
    walk: datetime | None,
    furnish: datetime | None,
    now: datetime,
) -> str:
    back = [end_of(times, task) for task in bringing if task.open]
    known = [end for end in back if end is not None]
    if known and furnish is not None:
        return f"Furniture: we put it back, planned for {moment_words(to_wall(zone, max(*known, furnish)))}."
    if back:
        return f"Furniture: we put it back {NOT_KNOWN}."
    if furnish is None or furnish <= now or walk == furnish:
        return ""
    return f"Furniture: not before {moment_words(to_wall(zone, furnish))}."
