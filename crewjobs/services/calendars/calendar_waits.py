"""What of a job comes or is ready at an instant to come: deliveries promised, acclimation, cures and tests by the clock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from crewjobs.domain.calendar import EventKind
from crewjobs.domain.goods import GoodsLine
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material, OrderLine
from crewjobs.domain.tasks import Phase, Task
from crewjobs.domain.wall import to_wall, wall_minute
from crewjobs.domain.wording import upper
from crewjobs.engines.readiness.clocks import ACCLIMATING, counted_by_lots, material_clock
from crewjobs.engines.readiness.goods import goods_clock, latest_word
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.readiness.shut import in_place
from crewjobs.services.clock import DAY_END_MIN
from crewjobs.services.findings.hanging import ALL_HANGS, TO_CREW, hanging
from crewjobs.services.weeks.cut_off import Cut, cuts
from crewjobs.services.weeks.gone_by import still_ahead, unsure
from crewjobs.services.weeks.repaired import opened_by, still_shut
from crewjobs.services.weeks.usable import places, usable_from, working
from crewjobs.services.weeks.visits import Planned

SHORT_WAIT = timedelta(hours=2)
"""A wait shorter than this (caulk before paint) is inside a day's work and not told."""
BY_THE_CLOCK = "By the clock only: look and touch before anyone relies on it; the product's own sheet decides."
READ_FIRST = "By the clock only: the room is read first, temperature and humidity in the range of the carton's sheet."
FORECAST = "A forecast: the boards and the subfloor are read first, and the readings decide."
PROMISED = "As the supplier promised it."


@dataclass(frozen=True, slots=True, kw_only=True)
class Dated:
    """Something at an instant (UTC), or some time of its day where no hour was said (`all_day`).

    `name` is the same whatever the instant becomes.
    """

    kind: EventKind
    name: str
    at: datetime
    summary: str
    to_crew: tuple[str, ...]
    to_house: tuple[str, ...]
    all_day: bool = False


def deliveries(record: JobRecord, now: datetime) -> Iterator[Dated]:
    """Yield what was ordered and promised for later, by order line; what comes first fills what is promised first."""
    for material in record.job.materials:
        yield from _of_material(record, material, now)
    for line in record.job.goods:
        clock = goods_clock(record, line, now)
        if clock.due is not None and _ahead(record, clock.due, now):
            yield _delivery(record, line, line.name, f"{line.name}, {line.counted(clock.missing)}", clock.due)


def _of_material(record: JobRecord, material: Material, now: datetime) -> Iterator[Dated]:
    clock, word = material_clock(record, material, now), latest_word(record, material.name, now)
    lines = [(number, line) for number, line in enumerate(record.job.orders, 1) if line.material == material.name]
    placed = [(number, line) for number, line in lines if line.ordered is not None]
    if not placed or not clock.missing:
        return
    if word is not None:
        if word.due is not None and _ahead(record, word.due, now):
            number, line = placed[-1]
            yield _of_line(record, material, number, line, clock.missing, word.due)
        return
    come = clock.ordered - clock.missing
    for number, line in sorted(placed, key=lambda one: (one[1].due is None, one[1].due or now, one[0])):
        left = max(0, line.cartons - come)
        come = max(0, come - line.cartons)
        if left and line.due is not None and _ahead(record, line.due, now):
            yield _of_line(record, material, number, line, left, line.due)


def _of_line(record: JobRecord, material: Material, number: int, line: OrderLine, count: int, due: datetime) -> Dated:
    return _delivery(record, line, f"{material.name} {number}", f"{material.name}, {material.counted(count)}", due)


def _delivery(record: JobRecord, line: OrderLine | GoodsLine, name: str, what: str, due: datetime) -> Dated:
    source = f"{PROMISED.removesuffix('.')}: {line.supplier}." if line.supplier else PROMISED
    return Dated(
        kind=EventKind.DELIVERY,
        name=name,
        at=due,
        summary=f"{what} due",
        to_crew=(source,),
        to_house=(PROMISED,),
        all_day=_no_hour(record, due),
    )


def _no_hour(record: JobRecord, due: datetime) -> bool:
    """Return whether something is promised for a day without an hour, which is kept as the end of that day's work."""
    return wall_minute(to_wall(record.job.site.zone, due)) == DAY_END_MIN


def _ahead(record: JobRecord, due: datetime, now: datetime) -> bool:
    """Return whether what is promised is still ahead: without an hour, until its day is over."""
    zone = record.job.site.zone
    return due > now or (_no_hour(record, due) and to_wall(zone, due).date() == to_wall(zone, now).date())


def ready_instants(found: Planned, record: JobRecord, now: datetime) -> Iterator[Dated]:
    """Yield when what lies or cures has had its hours: since it began, or from when it is planned to."""
    ready = {one.name: one for one in (*_planned_ends(found, record, now), *_lying(record, now))}
    yield from (one for one in ready.values() if one.at > now)


def walked_on(found: Planned, record: JobRecord, now: datetime) -> Iterator[Dated]:
    """Yield when a place may be walked on as its notice says, where no wait that is told ends then: a floor that has no cure."""
    times = still_ahead(found.task_minutes(record), record, now)
    ends, shut, hung = _ends(found, record, now), _shut(found, record, now), hanging(record, now)
    cut = _ways_out_of_use(found, record, now)
    for name, tasks, _ in places(record):
        if in_place(record, name, shut):
            continue
        laying = [task for task in working(tasks) if task.phase is Phase.INSTALL]
        walk = usable_from(found, times, record, laying)[False]
        numbers = {task.number for task in laying}
        told = any(end == walk and number in numbers for (number, _), end in ends.items())
        if walk is not None and walk > now and not told:
            yield _ready(
                f"walk on {name}",
                f"Not walked on before this hour: {name}",
                walk,
                (BY_THE_CLOCK, *_way_words(cut, tasks[0], walk)),
                bool(hung & numbers),
            )


def _lying(record: JobRecord, now: datetime) -> Iterator[Dated]:
    for material in record.job.materials:
        clock = material_clock(record, material, now)
        laying = any(task.needs_material == material.name and task.open for task in record.tasks)
        if laying and clock.since is not None and clock.ready_at is not None and not clock.missing:
            yield _acclimated(record, material.name, clock.ready_at)


def _acclimated(record: JobRecord, material: str, at: datetime) -> Dated:
    read = any(one.name == material and one.by_reading for one in record.job.materials)
    said = "ready by forecast" if read else "acclimation hours over"
    check = (FORECAST if read else READ_FIRST,)
    return _ready(f"acclimated {material}", f"{material}: {said}", at, check)


def _planned_ends(found: Planned, record: JobRecord, now: datetime) -> Iterator[Dated]:
    hung, cut = hanging(record, now), _ways_out_of_use(found, record, now)
    for (number, name), end in _ends(found, record, now).items():
        before = record.task(number)
        if name == ACCLIMATING:
            yield _acclimated(record, before.where, end)
        elif not is_carry_in(before):
            what = upper(name.partition(" (")[0])
            yield _ready(
                f"{number} {name}",
                f"{what}: hours over ({before.where})",
                end,
                (BY_THE_CLOCK, *_way_words(cut, before, end)),
                number in hung,
            )


def _ways_out_of_use(found: Planned, record: JobRecord, now: datetime) -> Mapping[str, Sequence[Cut]]:
    times = found.task_minutes(record)
    return cuts(found, record, times, still_ahead(times, record, now), now)


def _way_words(cut: Mapping[str, Sequence[Cut]], task: Task, at: datetime) -> Iterator[str]:
    """Yield that nobody gets to where a task is at an instant, though its own floor has set: as the notice tells it."""
    for one in cut.get(task.key.scope.name, ()):
        if not one.maybe and one.start <= at and (one.end is None or at < one.end):
            yield f"As far as we know you get there only through {one.words}."


def _ends(found: Planned, record: JobRecord, now: datetime) -> dict[tuple[int, str], datetime]:
    """Return the ends of waits between tasks by task and name, the later of two of one name after one task.

    None begins with work whose day is gone by and that nobody ticked, none in a place nobody goes into for what was found
    there, unless that is repaired by the plan: its notice names no instant either.
    """
    late, shut = unsure(found.task_minutes(record), record, now), _shut(found, record, now)
    ends: dict[tuple[int, str], datetime] = {}
    for link in record.links:
        before, after = record.task(link.before), record.task(link.after)
        if link.wait_min * timedelta(minutes=1) < SHORT_WAIT or not after.open or before.not_needed:
            continue
        if before.done_at is not None and counted_by_lots(link, after):
            continue  # the lots' own clock tells it
        if before.key.scope.name in shut:
            continue
        start = found.waits_from(record, before)
        if start is not None and before.number not in late:
            key = (before.number, link.name)
            end = start + timedelta(minutes=link.wait_min)
            ends[key] = max(end, ends.get(key, end))
    return ends


def _shut(found: Planned, record: JobRecord, now: datetime) -> frozenset[str]:
    """Return the places nobody goes into for what was found there, and that no repair in the plan opens."""
    return still_shut(record, opened_by(record, still_ahead(found.task_minutes(record), record, now), now), now)


def _ready(name: str, summary: str, at: datetime, check: tuple[str, ...], hangs: bool = False) -> Dated:
    only = (ALL_HANGS,) if hangs else ()
    crew = tuple(TO_CREW[one] for one in only)
    return Dated(
        kind=EventKind.READY, name=name, at=at, summary=summary, to_crew=(*check, *crew), to_house=(*check, *only)
    )
