"""A crew's day out of the plan: stretches at a house, task by task to the minute."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import Away, Shop, Worker
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Pin, Placement, WeekPlan
from crewjobs.domain.tasks import Phase, ScopeKind, Task
from crewjobs.domain.wall import QUARTER, to_wall
from crewjobs.domain.wording import listed
from crewjobs.engines.planning.layout import TaskTime, day_pieces, task_times
from crewjobs.engines.planning.roster import present, with_parts
from crewjobs.engines.readiness.found import EXTRA_WORK
from crewjobs.engines.readiness.holds import is_carry_in

if TYPE_CHECKING:
    from crewjobs.storage.jobs import BookedVisit
    from crewjobs.storage.unit_of_work import UnitOfWork


FEW_PLACES: Final = 2
"""So many rooms are named where one title is in several."""
MOST_PLACES: Final = 3
"""So many rooms are named of a stretch's work."""
MOST_NAMED: Final = 4
"""So many tasks are named of what is done of a phase."""
ROOMS: Final = frozenset({ScopeKind.ROOM, ScopeKind.SECTION, ScopeKind.STAIRS})
QUARTER_HOUR = timedelta(minutes=QUARTER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """One stretch of a crew at one house in a day, from first to last minute of work (UTC)."""

    record: JobRecord
    crew: str
    pieces: tuple[TaskTime, ...]

    @property
    def start(self) -> datetime:
        """Return when work begins."""
        return min(piece.start for piece in self.pieces)

    @property
    def end(self) -> datetime:
        """Return when work ends."""
        return max(piece.end for piece in self.pieces)

    @property
    def tasks(self) -> tuple[Task, ...]:
        """Return its tasks in the order they begin, each once."""
        return tuple(self.record.task(number) for number in dict.fromkeys(piece.task for piece in self.pieces))


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """The plan in force with what it speaks of; `shop` has a crew more for every part that works by itself.

    `others` are by job the other ones of its house in which something was found, where that is told (`with_houses`).
    """

    shop: Shop
    plan: WeekPlan
    records: Mapping[int, JobRecord]
    pins: tuple[Pin, ...]
    away: tuple[Away, ...] = ()
    small: tuple[BookedVisit, ...] = ()
    others: Mapping[int, tuple[JobRecord, ...]] = field(default_factory=dict)
    _minutes: dict[int, tuple[JobRecord, dict[int, tuple[datetime, datetime]]]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def present(self, crew: str, day: date) -> tuple[Worker, ...]:
        """Return who is with a crew on a date of the shop: its own people who are not away, and those sent to it.

        Who leaves for a small visit that day stands last: the plan has fewer people meanwhile, and these are the first.
        """
        leave = {booked.visit.who for booked in self.small if to_wall(self.shop.zone, booked.visit.start).date() == day}
        return tuple(sorted(present(self.shop, self.away, crew, day), key=lambda worker: worker.name in leave))

    def day(self, crew: str, day: date) -> tuple[Stretch, ...]:
        """Return the stretches of a crew on a date of the shop, in order.

        Raises:
            Refused: there is no such crew.
        """
        pieces = day_pieces(self.plan, self.shop, list(self.records.values()), crew, day)
        return tuple(self._stretches(crew, [piece for piece in pieces if not self._was_done(piece, day)]))

    def _was_done(self, piece: TaskTime, day: date) -> bool:
        """Return whether a task was done on an earlier date: a plan that still holds, such as of a carry-in, has it all the same."""
        done = next((task.done_at for task in self.records[piece.job].tasks if task.number == piece.task), None)
        return done is not None and to_wall(self.shop.zone, done).date() < day

    def _stretches(self, crew: str, pieces: Sequence[TaskTime]) -> Iterable[Stretch]:
        start = 0
        for i, piece in enumerate(pieces):
            if i + 1 == len(pieces) or pieces[i + 1].job != piece.job:
                stretch = Stretch(record=self.records[piece.job], crew=crew, pieces=tuple(pieces[start : i + 1]))
                sub = any(one.sub is not None for one in self.shop.crews if one.name == crew)
                yield _by_quarters(stretch) if sub else stretch
                start = i + 1

    def placement(self, job: int, task: int) -> Placement | None:
        """Return where the plan has a task."""
        return next((p for p in self.plan.placements if p.key.job == job and task in p.tasks), None)

    def waits_from(self, record: JobRecord, task: Task) -> datetime | None:
        """Return from when the waits count that a task starts: it was done, or is planned to end; None if neither.

        By the quarter hour after its own last minute: what is laid first in a block sets first. Work that waits is planned by the
        whole block's end, so that nothing planned begins before. Once the task is ticked, its own end says it.
        """
        if task.done_at is not None:
            return task.done_at
        placed = self.placement(record.job.number, task.number)
        return None if placed is None else quarter_after(self.task_minutes(record)[task.number][1])

    def task_minutes(self, record: JobRecord) -> dict[int, tuple[datetime, datetime]]:
        """Return from when to when (UTC) each planned task of a job is worked, to the minute inside its block."""
        known = self._minutes.get(id(record))
        if known is None:  # many ask for the same; the record is kept so that no other one gets its place in memory
            known = self._minutes[id(record)] = (record, self._task_minutes(record))
        return dict(known[1])

    def _task_minutes(self, record: JobRecord) -> dict[int, tuple[datetime, datetime]]:
        found: dict[int, tuple[datetime, datetime]] = {}
        for placement in self.plan.placements:
            if placement.key.job != record.job.number:
                continue
            found |= dict.fromkeys(placement.tasks, (placement.start, placement.end))
            crew = next((crew for crew in self.shop.crews if crew.name == placement.crew), None)
            if crew is None:  # the shop has changed since; the block is all there is
                continue
            own: dict[int, tuple[datetime, datetime]] = {}
            for piece in task_times(placement, record, self.shop, crew, self.plan.made_at):
                start, end = own.get(piece.task, (piece.start, piece.end))
                own[piece.task] = (min(start, piece.start), max(end, piece.end))
            found |= own
        return found

    def finish(self, record: JobRecord) -> datetime | None:
        """Return when the last work of a job ends, None where some of it has no place."""
        job = record.job.number
        placed = [p for p in self.plan.placements if p.key.job == job]
        if not placed or any(left.job == job for left in self.plan.left_out):
            return None
        last = max(placed, key=lambda p: p.end)
        crew = next((crew for crew in self.shop.crews if crew.name == last.crew), None)
        if crew is None:  # the shop has changed since; the plan's own quarter hour is all there is
            return last.end
        pieces = task_times(last, record, self.shop, crew, self.plan.made_at)
        return max((piece.end for piece in pieces), default=last.end)

    def pinned(self, job: int, tasks: Iterable[int]) -> bool:
        """Return whether one of a job's tasks is pinned."""
        wanted = set(tasks)
        return any(pin.job == job and pin.task in wanted for pin in self.pins)


def _by_quarters(stretch: Stretch) -> Stretch:
    """Return a sub's stretch by the quarter hour: its day is measured by what it lays, not by minutes of a task."""
    last = quarter_after(stretch.end)
    pieces = tuple(
        replace(
            piece,
            start=quarter_before(piece.start),
            end=last if piece.end == stretch.end else quarter_before(piece.end),
        )
        for piece in stretch.pieces
    )
    return replace(stretch, pieces=pieces)


def quarter_before(instant: datetime) -> datetime:
    """Return the quarter hour an instant is in, by its start."""
    return instant - (instant - instant.replace(minute=0, second=0, microsecond=0)) % QUARTER_HOUR


def quarter_after(instant: datetime) -> datetime:
    """Return the first quarter hour that is not before an instant."""
    start = quarter_before(instant)
    return start if start == instant else start + QUARTER_HOUR


def planned(uow: UnitOfWork, records: Sequence[JobRecord] | None = None) -> Planned | None:
    """Return the plan in force with the jobs it is asked about (default: all live ones), None if there is none yet."""
    plan = uow.latest_plan()
    if plan is None:
        return None
    known = {record.job.number: record for record in (uow.live_jobs() if records is None else records)}
    away = uow.away()
    return Planned(shop=with_parts(uow.shop(), away), plan=plan, records=known, pins=uow.pins(), away=away)


def work_words(tasks: Sequence[Task]) -> str:
    """Return in a few words what a stretch is about: phases and where, or the house tasks by name; work agreed in words in these."""
    carried = [f"carry in {task.where}" for task in tasks if is_carry_in(task)]
    counted = {Phase.ACCLIMATE} if carried else set()  # what is counted is what is carried in
    phases = list(dict.fromkeys(t.phase for t in tasks if t.phase is not Phase.HOUSE and t.phase not in counted))
    whole_house = all(task.key.scope.kind in (ScopeKind.JOB, ScopeKind.MATERIAL) for task in tasks)
    agreed = [task for task in tasks if task.key.template == EXTRA_WORK]
    if not phases or whole_house:
        said = listed(carried or list(_titles([task for task in tasks if task not in agreed])), most=2)
    else:
        said = listed([*carried, *(phase.value for phase in phases)], most=6) + place_words(tasks)
    return "; ".join(filter(None, (said, listed(list(_titles(agreed)), most=2))))


def done_words(record: JobRecord, tasks: Sequence[Task]) -> str:
    """Return what a stretch that is all done was about: as `work_words`, but no phase is named of which more is to do there.

    What is done of such a phase is named task by task.
    """
    phases = {task.phase for task in tasks}
    places = {task.key.scope.name for task in tasks if task.key.scope.kind in ROOMS}
    left = (task for task in record.tasks if task.open and not task.not_needed and task.phase in phases)
    if any(task.key.scope.kind not in ROOMS or task.key.scope.name in places or not places for task in left):
        return listed(list(_titles(tasks)), most=MOST_NAMED, of="tasks") + place_words(tasks)
    return work_words(tasks)


def place_words(tasks: Sequence[Task], of: str = "") -> str:
    """Return in which rooms and on which stairs, else at the doorways of which rooms, work is done, in brackets; `of` counts the rest."""
    places = list(dict.fromkeys(task.key.scope.name for task in tasks if task.key.scope.kind in ROOMS))
    if places:
        return f" ({listed(places, most=MOST_PLACES, of=of)})"
    openings = [task for task in tasks if task.key.scope.kind is ScopeKind.OPENING]
    beside = dict.fromkeys(side for task in openings for side in task.where.split(" / ") if side != "outside")
    return f" (doorways of {listed(list(beside), most=MOST_PLACES, of=of)})" if beside else ""


def _titles(tasks: Sequence[Task]) -> Iterator[str]:
    """Yield each title once, what there is of it more than once with its rooms, or counted where these are many."""
    by_title: dict[str, list[Task]] = {}
    for task in tasks:
        by_title.setdefault(short(task.title), []).append(task)
    for title, alike in by_title.items():
        places = list(dict.fromkeys(task.where for task in alike))
        if len(alike) == 1:
            yield title
        elif len(places) < len(alike):
            yield f"{title} ({len(alike)} times)"
        elif len(places) <= FEW_PLACES:
            yield f"{title} ({listed(places)})"
        else:
            yield f"{title} in {len(places)} rooms"


def short(title: str) -> str:
    """Return a title up to its first comma or colon, which says enough in a list; a bracket before that is kept whole.

    What is in a bracket nobody has closed is cut like the rest.
    """
    depth = 0
    for at, sign in enumerate(title):
        depth += (sign == "(" and ")" in title[at:]) - (sign == ")" and depth > 0)
        if sign in ",:" and depth == 0:
            return title[:at]
    return title
