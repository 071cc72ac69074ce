"""A crew's day with what it did of it: a plan made anew gives up the places of work that is done, the day's list does not.

What a plan made anew took from a day that had begun is told, too: the crew holds the page that had it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Placement, WeekPlan
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.engines.planning.layout import TaskTime
from crewjobs.engines.readiness.found import held_by
from crewjobs.services.weeks.been_today import Seen, ended_since, left_ended, ticked_there
from crewjobs.services.weeks.visits import Planned, Stretch

if TYPE_CHECKING:
    from crewjobs.engines.planning.problem import Been
    from crewjobs.storage.unit_of_work import UnitOfWork

Done = tuple[int, int]
"""Job and task."""
Piece = tuple[JobRecord, TaskTime]
"""A piece of a day with the job it is of."""


class Taken(NamedTuple):
    """A piece that a plan took from a crew's day: of which job, where it was, and when the crew was stopped there (UTC).

    That is when what stopped it happened, as recorded (`stopped_by`), else when that plan was made; where its job ended since,
    when that was told: the plan in force may hold it as before.
    """

    record: JobRecord
    piece: TaskTime
    at: datetime


class DaysDone:
    """The days of a shop up to today, each crew's with what it did; the plans of all of them are read once."""

    def __init__(self, uow: UnitOfWork, found: Planned, first: date, last: date, now: datetime) -> None:
        self._uow, self._found, self._now = uow, found, now
        self._last = min(last, to_wall(found.shop.zone, now).date())
        self._records = dict(found.records)
        self._kept: dict[date, Mapping[str, list[Piece]]] = {}
        self._seen: dict[date, Seen] = {}
        self._told_ended: dict[date, Mapping[int, datetime]] = {}
        self._plans: tuple[WeekPlan, ...] = ()
        if first <= self._last:
            start, end = self._of_shop(first), self._of_shop(self._last + timedelta(days=1))
            self._plans = uow.plans_until(end, back_to=start, within=(start, end))

    def day(self, crew: str, day: date) -> tuple[Stretch, ...]:
        """Return the stretches of a crew on a date of the shop, in order, those tasks among them that it did that day.

        What the plan in force has no more stands where the last plan of that day had it, within the time there is
        between the houses of the plan in force: it was done by then, and nobody is at two houses at once.

        Raises:
            Refused: there is no such crew.
        """
        stands = self._found.day(crew, day)
        if day > self._last:
            return stands
        if day not in self._kept:
            self._kept[day] = self._done(day)
        done = sorted(self._kept[day].get(crew, ()), key=lambda one: (one[1].start, one[1].people, one[1].task))
        return tuple(_with_done(crew, stands, [(of, _by_then(piece, of.task(piece.task))) for of, piece in done]))

    @property
    def last(self) -> date:
        """Return the last of the days, today where they run to it or past it."""
        return self._last

    @property
    def zone(self) -> str:
        """Return the zone of the shop, by whose dates the days are."""
        return self._found.shop.zone

    def _of_shop(self, day: date, minute: int = 0) -> datetime:
        return to_utc(self._found.shop.zone, day, minute)

    def _done(self, day: date) -> Mapping[str, list[Piece]]:
        """Return by crew the pieces of a day that are done and stand in the plan in force on that day no more.

        The newest plan that has a task on the day says whose it was, and when.
        """
        found = self._found
        earlier = self._earlier(day)
        firsts = self._firsts(day, earlier)
        did: dict[str, list[Piece]] = {}
        known: set[Done] = set()
        done_in: dict[int, set[int]] = {}
        for plan in (found.plan, *reversed(earlier)):
            placed = [
                one
                for one in plan.placements
                if plan.number >= firsts.get(one.crew, plan.number + 1) and self._touches(one, day)
            ]
            for number in {one.key.job for one in placed} - done_in.keys():
                done_in[number] = self._tasks_done(number, day)
            wanted = {(number, task) for number, tasks in done_in.items() for task in tasks} - known
            new: set[Done] = set()
            for name in dict.fromkeys(one.crew for one in placed):
                mine = [one for one in placed if one.crew == name and _among(one, self._records[one.key.job], wanted)]
                for piece in _pieces(found, plan, mine, self._records, name, day):
                    if (piece.job, piece.task) in wanted:
                        new.add((piece.job, piece.task))
                        if plan is not found.plan or piece.job not in found.records:  # a job that ended stands nowhere
                            did.setdefault(name, []).append((self._records[piece.job], piece))
            known |= new
        return did

    def taken(self, crew: str, day: date) -> tuple[Taken, ...]:
        """Return what plans of a day gave a crew on it that is open still and that the plan in force gives it there no more.

        Each task once, at the place it had first, in that order: it was on hold since, or another day's or crew's, or its job
        has ended since the day began; then the plan in force may hold it as before.

        Raises:
            Refused: there is no such crew.
        """
        if day > self._last:
            return ()
        earlier = self._earlier(day)
        first = self._firsts(day, earlier).get(crew)
        known = {(one.record.job.number, task.number) for one in self._found.day(crew, day) for task in one.tasks}
        pieces: dict[Done, Piece] = {}
        last: dict[Done, int] = {}
        plans = [plan for plan in (*earlier, self._of_ended(day)) if first is not None and plan.number >= first]
        for place, plan in enumerate(plans):
            placed = [one for one in plan.placements if one.crew == crew and self._touches(one, day)]
            wanted = {(one.key.job, task) for one in placed for task in self._open(one)} - known
            last |= dict.fromkeys(wanted, place)
            if wanted <= pieces.keys():
                continue
            mine = [one for one in placed if _among(one, self._records[one.key.job], wanted)]
            for piece in (*_pieces(self._found, plan, mine, self._records, crew, day), *self._ended(mine, day)):
                if (piece.job, piece.task) in wanted:
                    pieces.setdefault((piece.job, piece.task), (self._records[piece.job], piece))
        made = [*(plan.made_at for plan in plans[1:]), self._now]
        took: dict[tuple[int, int], set[int]] = {}
        for (job, task), place in last.items():
            took.setdefault((job, place), set()).add(task)

        def stopped(record: JobRecord, place: int) -> datetime:
            job = record.job.number
            at = self.held_until(job, day, made[place])
            return stopped_by(record, self.zone, took[job, place], crew, (plans[place].made_at, at))

        return tuple(Taken(record, piece, stopped(record, last[key])) for key, (record, piece) in pieces.items())

    def had(self, crew: str, day: date) -> tuple[Stretch, ...]:
        """Return what a crew had to do on a day by its plans at houses to which no plan in force sends it that day, and it did none of.

        Each stands where the day's plan had it, within the time there is between the houses of the day.

        Raises:
            Refused: there is no such crew.
        """
        stands = self.day(crew, day)
        known = {one.record.job.number for one in stands}
        gone = [(one.record, one.piece) for one in self.taken(crew, day) if one.record.job.number not in known]
        with_them = _with_done(crew, stands, sorted(gone, key=lambda one: (one[1].start, one[1].people, one[1].task)))
        return tuple(one for one in with_them if one.record.job.number not in known)

    def begun(self, crew: str, day: date) -> dict[Done, datetime]:
        """Return since when a crew is at what it has under way on a date: by the plans of that day, or as recorded, the earlier.

        A plan that followed has the rest of it from its own instant on; the crew was there before.

        Raises:
            Refused: there is no such crew.
        """
        if day > self._last:
            return {}
        zone, since = self._found.shop.zone, dict[Done, datetime]()
        under_way = {
            (one.record.job.number, task.number): task.started_at
            for one in self._found.day(crew, day)
            for task in one.tasks
            if task.open and task.started_at is not None
        }
        earlier = self._earlier(day)
        first = self._firsts(day, earlier).get(crew)
        for plan in earlier:
            if first is None or plan.number < first:
                continue
            placed = [one for one in plan.placements if one.crew == crew and self._touches(one, day)]
            mine = [one for one in placed if any((one.key.job, task) in under_way for task in one.tasks)]
            for piece in _pieces(self._found, plan, mine, self._records, crew, day):
                key = (piece.job, piece.task)
                if key in under_way and piece.start <= self._now:
                    since.setdefault(key, piece.start)
        for key, at in under_way.items():
            if to_wall(zone, at).date() == day:
                since[key] = min(at, since.get(key, at))
        return since

    def by_plans(self, crew: str, day: date) -> Iterator[tuple[WeekPlan, datetime, tuple[Stretch, ...]]]:
        """Yield the plans that were in force on a crew's day, oldest first, each with until when it was and the crew's stretches in it.

        The one in force holds until now. Of a day to come there is none yet.

        Raises:
            Refused: there is no such crew.
        """
        if day > self._last:
            return
        earlier, plan = self._earlier(day), self._found.plan
        first = self._firsts(day, earlier).get(crew, 0)
        plans = [*(one for one in earlier if one.number >= first), *([plan] if plan.number >= first else [])]
        for one, until in zip(plans, [*(one.made_at for one in plans[1:]), self._now], strict=True):
            placed = [there for there in one.placements if there.crew == crew and self._touches(there, day)]
            for number in {there.key.job for there in placed} - self._records.keys():
                self._records[number] = self._uow.job(number)
            known = [there for there in placed if _all_there(there, self._records[there.key.job])]
            mine = replace(self._found, plan=replace(one, placements=tuple(known)), records=self._records)
            yield one, until, mine.day(crew, day) if known else ()

    def seen(self, day: date) -> Seen:
        """Return where crews were seen on a day up to today, by what is recorded beside its plans."""
        if day not in self._seen:
            plans = self._of_day(day)
            jobs = {one.key.job for plan in plans for one in plan.placements if self._touches(one, day)}
            for number in jobs - self._records.keys():
                self._records[number] = self._uow.job(number)
            until = min(self._now, self._of_shop(day + timedelta(days=1)))
            records = [self._records[number] for number in sorted(jobs)]
            self._seen[day] = Seen(self._found.shop, records, plans, day, until)
        return self._seen[day]

    def left_ended(self, day: date) -> Iterator[Been]:
        """Yield when crews left the houses of jobs that have ended since plans of a day up to today sent them there, for the shop."""
        plans, live = self._of_day(day), self._found.records
        numbers = {one.key.job for plan in plans for one in plan.placements if self._touches(one, day)} - live.keys()
        for number in numbers - self._records.keys():
            self._records[number] = self._uow.job(number)
        ended = [self._records[number] for number in sorted(numbers)]
        yield from left_ended(ended, plans, self.zone, self._now, self._ended_since(day) if ended else {})

    def held_until(self, job: int, day: date, until: datetime) -> datetime:
        """Return until when (UTC) a plan of a day held what it had of a job: until another was made, or the job ended before."""
        return until if job in self._found.records else min(until, self._ended_since(day).get(job, until))

    def _ended_since(self, day: date) -> Mapping[int, datetime]:
        if day not in self._told_ended:
            self._told_ended[day] = ended_since(self._uow, self._of_shop(day))
        return self._told_ended[day]

    def ticked(self, crew: str, record: JobRecord, day: date) -> Iterator[datetime]:
        """Yield when (UTC) a crew did work at a job on a day that the plan then in force had later or not on it."""
        there = ticked_there(self._found.shop, record, self._of_day(day), day)
        yield from (at for name, at in there if name == crew)

    def _of_day(self, day: date) -> list[WeekPlan]:
        """Return the plans that were in force on a day, oldest first."""
        every = [*self._earlier(day), self._found.plan]
        made = [one for one in every if one.made_at < self._of_shop(day + timedelta(days=1))]
        first = max((place for place, one in enumerate(made) if one.made_at < self._of_shop(day)), default=0)
        return made[first:]

    def _ended(self, placed: Sequence[Placement], day: date) -> Iterator[TaskTime]:
        """Yield all tasks of what was to end on a day: hours cut since, or nobody left, lay none of it out there any more."""
        for one in placed:
            if to_wall(self._found.shop.zone, one.end).date() == day:
                for task in one.tasks:
                    yield TaskTime(job=one.key.job, task=task, start=one.start, end=one.end, people=(), part=1)

    def _open(self, placed: Placement) -> set[int]:
        """Return the tasks of a placement that are still to be done."""
        if placed.key.job not in self._records:
            self._records[placed.key.job] = self._uow.job(placed.key.job)
        return {task.number for task in self._records[placed.key.job].tasks if task.open} & set(placed.tasks)

    def _of_ended(self, day: date) -> WeekPlan:
        """Return of the plan in force what it holds on a day of jobs that have ended since the day began."""
        plan, live = self._found.plan, self._found.records
        placed = tuple(one for one in plan.placements if one.key.job not in live and self._touches(one, day))
        if placed:
            ended = self._ended_since(day)
            placed = tuple(one for one in placed if one.key.job in ended)
        return replace(plan, placements=placed)

    def _earlier(self, day: date) -> list[WeekPlan]:
        """Return the plans of a day that are in force no more, oldest first."""
        ends = self._of_shop(day + timedelta(days=1))
        return [one for one in self._plans if one.number != self._found.plan.number and one.made_at < ends]

    def _firsts(self, day: date, earlier: Sequence[WeekPlan]) -> dict[str, int]:
        """Return by crew the number of the plan that was in force when its day began; none before it counts."""
        firsts = {}
        for crew in self._found.shop.crews:
            hours = crew.hours.on(day)
            begins = self._of_shop(day, hours[0].start if hours else 0)
            firsts[crew.name] = max((one.number for one in earlier if one.made_at <= begins), default=0)
        return firsts

    def _touches(self, placed: Placement, day: date) -> bool:
        zone = self._found.shop.zone
        return to_wall(zone, placed.start).date() <= day <= to_wall(zone, placed.end).date()

    def _tasks_done(self, job: int, day: date) -> set[int]:
        if job not in self._records:
            self._records[job] = self._uow.job(job)
        zone = self._found.shop.zone
        return {
            task.number
            for task in self._records[job].tasks
            if task.done_at is not None and to_wall(zone, task.done_at).date() == day
        }


def stopped_by(record: JobRecord, zone: str, took: Set[int], crew: str, made: tuple[datetime, datetime]) -> datetime:
    """Return when (UTC) a crew was stopped at a job whose tasks `took` the second of two plans took, by when both were `made`.

    What was found there, or that the house turned the crew away, may be told a while later: the plan follows then, but the crew
    was stopped when it happened. Where nothing of the kind is recorded of that day, the plan itself stopped it.
    """
    before, now = made
    found = (one.at for one in record.findings if not took.isdisjoint(held_by(record, one, now)))
    turned = (run.at for run in record.dry_runs if run.crew == crew and before < run.at)
    day = to_wall(zone, now).date()
    return min((at for at in (*found, *turned) if at <= now and to_wall(zone, at).date() == day), default=now)


def day_with_done(uow: UnitOfWork, found: Planned, crew: str, day: date, now: datetime) -> tuple[Stretch, ...]:
    """Return one crew's day as `DaysDone.day` does.

    Raises:
        Refused: there is no such crew.
    """
    return DaysDone(uow, found, day, day, now).day(crew, day)


def _among(placed: Placement, record: JobRecord, wanted: set[Done]) -> bool:
    """Return whether one of the wanted is in a placement whose tasks its job still has."""
    return any((placed.key.job, task) in wanted for task in placed.tasks) and _all_there(placed, record)


def _all_there(placed: Placement, record: JobRecord) -> bool:
    """Return whether a job has all the tasks of a placement still."""
    return set(placed.tasks) <= {task.number for task in record.tasks}


def _pieces(
    found: Planned, plan: WeekPlan, placed: Sequence[Placement], records: Mapping[int, JobRecord], crew: str, day: date
) -> tuple[TaskTime, ...]:
    mine = replace(found, plan=replace(plan, placements=tuple(placed)), records=records)
    return tuple(piece for stretch in mine.day(crew, day) for piece in stretch.pieces) if placed else ()


def _by_then(piece: TaskTime, task: Task) -> TaskTime:
    """Return a piece of what is done as it was by when it was done: nothing of that is still to come."""
    done = task.done_at
    return piece if done is None else replace(piece, start=min(piece.start, done), end=min(piece.end, done))


def _with_done(crew: str, stands: Sequence[Stretch], done: Sequence[Piece]) -> list[Stretch]:
    """Return the day with the pieces that are done, each at its house where that is in the plan around its time."""
    day = list(stands)
    together: list[Stretch] = []
    for record, piece in done:
        last = together[-1] if together else None
        between = any(last is not None and last.start < one.start < piece.start for one in stands)
        if last is not None and last.record.job.number == record.job.number and not between:
            together[-1] = replace(last, pieces=(*last.pieces, piece))
        else:
            together.append(Stretch(record=record, crew=crew, pieces=(piece,)))
    for one in together:
        _put(day, one)
    return day


def _put(day: list[Stretch], done: Stretch) -> None:
    """Put a stretch that is done in its place of the day: at the same house's, else between two, with what time there is."""
    at = sum(one.start <= done.start for one in day)
    here = [place for place, one in enumerate(day) if _at_once(done, one)]
    beside = [place for place in here if place in (at - 1, at)]
    if not beside and not _fits(day, at, done):
        beside = here
    if not beside:
        after, before = _room(day, at - 1, at)
        day.insert(at, within(done, after, before))
        return
    place = beside[0]
    same = day[place]
    after, before = _room(day, place - 1, place + 1)
    # What is done comes before what has not begun there, though it was planned for later.
    to_come = min((piece.start for piece in same.pieces if _to_begin(same.record.task(piece.task))), default=before)
    before = to_come if before is None or to_come is None else min(before, to_come)
    pieces = (*same.pieces, *within(done, after, before).pieces)
    in_order = sorted(pieces, key=lambda piece: (piece.start, piece.end > piece.start, piece.people, piece.task))
    day[place] = replace(same, pieces=tuple(in_order))


def _at_once(done: Stretch, planned: Stretch) -> bool:
    """Return whether what is done is of the same visit to a house as what a plan has there: its crew told no hours up to before that."""
    if done.record.job.number != planned.record.job.number:
        return False
    stops = (one.stop for one in done.record.crew_hours if one.crew == done.crew)
    return not any(done.end <= stop <= planned.start for stop in stops)


def _to_begin(task: Task) -> bool:
    return task.open and task.started_at is None


def _fits(day: Sequence[Stretch], at: int, done: Stretch) -> bool:
    after, before = _room(day, at - 1, at)
    return (after is None or after <= done.start) and (before is None or done.end <= before)


def _room(day: Sequence[Stretch], left: int, right: int) -> tuple[datetime | None, datetime | None]:
    """Return when the stretch before ends, and when the one after begins."""
    return day[left].end if left >= 0 else None, day[right].start if right < len(day) else None


def within(done: Stretch, after: datetime | None, before: datetime | None) -> Stretch:
    """Return a stretch cut to the time between two others (UTC), be it none."""

    def cut(moment: datetime) -> datetime:
        moment = moment if after is None else max(after, moment)
        return moment if before is None else min(before, moment)

    pieces = tuple(replace(piece, start=cut(piece.start), end=cut(piece.end)) for piece in done.pieces)
    return replace(done, pieces=pieces)
