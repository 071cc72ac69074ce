"""Work that by the plan runs by now and that nobody has ticked yet: nobody types at seven in the morning."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from crewjobs.domain.evening import latest
from crewjobs.domain.job import JobState
from crewjobs.domain.wall import QUARTER, days_from, to_wall
from crewjobs.engines.planning.critical_path import neighbors, reached
from crewjobs.engines.planning.layout import TaskTime, task_times
from crewjobs.engines.planning.roster import present, with_parts
from crewjobs.engines.readiness.house import HouseState, house
from crewjobs.engines.readiness.lots import is_carry_in

if TYPE_CHECKING:
    from crewjobs.domain.crew import Away, Crew, Shop
    from crewjobs.domain.job import JobRecord
    from crewjobs.domain.plan import Pin, Placement, WeekPlan
    from crewjobs.engines.planning.problem import Errand
    from crewjobs.services.weeks.been_today import Seen

Held = Callable[[int, datetime], bool]
"""Whether a fact kept a task from beginning at an instant."""
ABOUT = timedelta(minutes=QUARTER)
"""What is recorded no more than a quarter of an hour after its planned time is on time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """What is known of a shop's day: who is out, who leaves for an hour, what is pinned; `now` is the instant of asking."""

    shop: Shop
    away: Sequence[Away]
    now: datetime
    errands: Sequence[Errand] = ()
    pins: Sequence[Pin] = ()


def as_planned_today(
    record: JobRecord, plans: Sequence[WeekPlan], site: Site, held: Held, seen: Seen
) -> tuple[JobRecord, tuple[Placement, ...]]:
    """Return a job with today's work as far as it would be by the plan, and the places of what would be done of it.

    `plans` are those in force today, oldest first: a later one goes on with what ran by the one before. What would have
    ended is taken as done, what would run as begun, by whom and when it was planned; so is work that was recorded as
    begun on an earlier day. A block that runs as planned and can go on so is taken as done by its end, part by part: its
    place stands to its end, since nobody would gain by its rest being placed anew. Only for the planner: a tick of one
    crew must not make another crew's morning start anew. `held` says whether a fact kept a task from beginning at an
    instant, `seen` whether a crew was still at another house then; that, a house answered not ready, a crew that has
    nobody there or has told its hours of today keep work from having begun. Cartons are carried in when somebody says so: hours run from then, and a truck comes when it comes.
    Nothing begins ahead of what it follows. Of yesterday's work nothing is taken for granted: what was to begin then and
    is not recorded begins with today's part of it.
    """
    if record.job.state is not JobState.BOOKED or house(record, site.now).state is HouseState.NOT_READY:
        return record, ()
    today = _Today(record, site, held, seen)
    for plan, until in zip(plans, [*(plan.made_at for plan in plans[1:]), site.now], strict=True):
        today.run(plan, until, last=plan is plans[-1])
    return today.record, tuple(today.stands)


class _Today:
    """A job as it is by the plans of today, one after the other."""

    def __init__(self, record: JobRecord, site: Site, held: Held, seen: Seen) -> None:
        self.record, self._number = record, record.job.number
        self.stands: list[Placement] = []
        self._known = record
        self._site = site
        self._held, self._seen = held, seen
        self._shop = with_parts(site.shop, site.away)
        self._day = self._date(site.now)
        told = {hours.crew for hours in record.crew_hours if self._date(hours.start) == self._day}
        self._crews: dict[str, Crew] = {
            crew.name: crew
            for crew in self._shop.crews
            if crew.name not in told and present(site.shop, site.away, crew.name, self._day)
        }

    def _date(self, instant: datetime) -> date:
        return to_wall(self.record.job.site.zone, instant).date()

    def run(self, plan: WeekPlan, until: datetime, *, last: bool) -> None:
        """Let the work of a plan go on until an instant; the places of an earlier plan than the `last` stand no more."""
        places = [
            placed
            for placed in plan.placements
            if placed.key.job == self.record.job.number
            and placed.crew in self._crews
            and placed.start <= until
            and self._date(placed.start) <= self._day <= self._date(placed.end - timedelta(minutes=1))
            and any(self._known.task(task).open for task in placed.tasks)
        ]
        times = {
            placed: task_times(placed, self.record, self._shop, self._crews[placed.crew], plan.made_at)
            for placed in places
        }
        begun: dict[int, tuple[datetime, str]] = {}
        ended: dict[int, datetime] = {}
        for placed, pieces in times.items():
            for task, (start, end) in self._spans(pieces).items():
                came = self._seen.elsewhere(self._number, placed.crew, start) is None
                if start <= until and came and not self._held(task, start) and not self._elsewhere(placed, task):
                    begun[task] = start, placed.crew
                    if end <= until:
                        ended[task] = end
        begun, ended = self._as_said(begun, ended, times, until)
        begun = self._with_all_before(begun)
        self._take(begun, {task: end for task, end in ended.items() if task in begun} if last else {})
        if last:
            for placed, pieces in times.items():
                self._stand(plan, placed, pieces)

    def _spans(self, pieces: Sequence[TaskTime]) -> dict[int, tuple[datetime, datetime]]:
        """Return from when to when open tasks are worked today; what began on another day has no end, unless recorded."""
        found: dict[int, tuple[datetime, datetime]] = {}
        for number in dict.fromkeys(piece.task for piece in pieces):
            task = self._known.task(number)
            mine = [piece for piece in pieces if piece.task == number]
            of_today = [piece for piece in mine if self._date(piece.start) == self._day]
            if not task.open or not of_today:
                continue
            whole = task.started_at is not None or self._date(mine[0].start) == self._day
            end = mine[-1].end if whole else datetime.max.replace(tzinfo=self._site.now.tzinfo)
            found[number] = of_today[0].start, end
        return found

    def _as_said(
        self,
        begun: Mapping[int, tuple[datetime, str]],
        ended: Mapping[int, datetime],
        times: Mapping[Placement, Sequence[TaskTime]],
        until: datetime,
    ) -> tuple[dict[int, tuple[datetime, str]], dict[int, datetime]]:
        """Return what is begun and ended where somebody said today that a task is behind: that outranks the plan.

        At the plan's pace it then ends later; not at all today where its crew is gone from the house by then. What
        follows it has not begun, nor has what the same crew was to do once it was done.
        """
        begun, ended, behind, then = dict(begun), dict(ended), set[int](), set[int]()
        leaves = max((pieces[-1].end for pieces in times.values() if pieces), default=until)
        for placed, pieces in times.items():
            for number, (start, end) in self._spans(pieces).items():
                said = latest(self._known.how_far, number, until)
                if said is None or said.share == 1 or self._date(said.at) != self._day:
                    continue
                late = said.at + (end - start) * (1 - said.share) if end <= leaves else leaves
                if late <= end + ABOUT and said.at < leaves:
                    continue
                behind.add(number)
                then |= {task for task, (at, crew) in begun.items() if crew == placed.crew and at >= end}
                ended.pop(number, None)
                if late <= min(until, leaves) and said.at < leaves:
                    ended[number] = late
        known = {task.number for task in self._known.tasks if task.started_at is not None}
        after = (reached(behind | then, neighbors(self._known.links)[1]) | then) - behind - known if behind else set()
        return (
            {number: at for number, at in begun.items() if number not in after},
            {number: at for number, at in ended.items() if number not in after},
        )

    def _with_all_before(self, begun: Mapping[int, tuple[datetime, str]]) -> dict[int, tuple[datetime, str]]:
        """Return those tasks all of whose work before them is done or among them, and that carry nothing in."""
        record = self.record
        found = {number: at for number, at in begun.items() if not is_carry_in(record.task(number))}
        under_way = {task.number for task in record.tasks if task.started_at is not None}
        while True:
            open_still = {task.number for task in record.tasks if task.open and task.number not in found}
            stuck = {link.after for link in record.links if link.before in open_still} & found.keys() - under_way
            if not stuck:
                return found
            found = {number: at for number, at in found.items() if number not in stuck}

    def _take(self, begun: Mapping[int, tuple[datetime, str]], ended: Mapping[int, datetime]) -> None:
        tasks = tuple(
            replace(
                task,
                started_at=task.started_at or begun[task.number][0],
                crew=task.crew or begun[task.number][1],
                done_at=ended.get(task.number),
            )
            if task.open and task.number in begun
            else task
            for task in self.record.tasks
        )
        self.record = replace(self.record, tasks=tasks)

    def _stand(self, plan: WeekPlan, placed: Placement, pieces: Sequence[TaskTime]) -> None:
        """Keep the place of what is done of a block; of one that runs as planned the whole place, and all of it done."""
        ends = {piece.task: piece.end for piece in pieces}
        if placed.end > self._site.now:
            if not self._on_plan(plan, placed, pieces):
                return self._stand_done(placed)
            starts = {piece.task: piece.start for piece in reversed(pieces)}
            rest = {n: ends[n] for n in placed.tasks if self.record.task(n).open}
            self._take({n: (starts[n], placed.crew) for n in rest}, rest)
            self.stands.append(placed)
            return None
        return self._stand_done(placed)

    def _stand_done(self, placed: Placement) -> None:
        mine = [n for n in placed.tasks if self._known.task(n).open and not self.record.task(n).open]
        if mine:
            whole = not any(self.record.task(n).open for n in placed.tasks)
            # The rest of it is placed anew from now on: what is done of it keeps its crew no longer.
            until = max(placed.start + ABOUT, min(placed.end, self._site.now + (placed.start - self._site.now) % ABOUT))
            self.stands.append(placed if whole else placed.cut(mine, until))

    def _on_plan(self, plan: WeekPlan, placed: Placement, pieces: Sequence[TaskTime]) -> bool:
        """Return whether a block runs by the plan and can go on so to its planned end, by all that is known now."""
        record, still = self.record, [n for n in placed.tasks if self.record.task(n).open]
        starts = {piece.task: piece.start for piece in reversed(pieces)}
        ends = {piece.task: piece.end for piece in pieces}
        if starts.keys() != set(placed.tasks) or -((placed.start - max(ends.values())) // ABOUT) * ABOUT != (
            placed.end - placed.start
        ):
            return False  # hours or work have changed
        if any(task in ends and ends[task] <= self._site.now for task in still):
            return False  # something by the plan done has not begun
        if any(
            is_carry_in(record.task(n)) or self._held(n, max(starts[n], self._site.now)) or self._elsewhere(placed, n)
            for n in still
        ):
            return False
        if any(starts[n] < self._site.now and record.task(n).started_at is None for n in still):
            return False
        inside = {*placed.tasks, *(task.number for task in record.tasks if not task.open)}
        for link in record.links:
            if link.after in still and link.before not in inside:
                return False
            if link.before in still and link.most_min is not None and link.after not in inside:
                return False  # how soon it must be followed counts from its very end
        return self._recorded_on_time(plan, placed, starts, ends) and self._all_there(placed)

    def _elsewhere(self, placed: Placement, task: int) -> bool:
        """Return whether a task is pinned to another crew or day than its place's, or went over to another crew."""
        known = self._known.task(task)
        if known.started_at is not None and known.crew not in ("", placed.crew):
            return True
        return any(
            (pin.crew, pin.day) != (placed.crew, self._date(placed.start))
            for pin in self._site.pins
            if (pin.job, pin.task) == (self.record.job.number, task)
        )

    def _recorded_on_time(
        self, plan: WeekPlan, placed: Placement, starts: Mapping[int, datetime], ends: Mapping[int, datetime]
    ) -> bool:
        """Return whether what was recorded of a block since its plan was made is no later than planned, give or take."""
        since = min(plan.made_at, placed.start)
        for number in placed.tasks:
            known = self._known.task(number)  # a tick alone says when it was done, not when it was begun
            at, by = (known.started_at, starts[number]) if known.open else (known.done_at, ends[number])
            if at is not None and at > since and at > by + ABOUT:
                return False
        return not any(said.task in placed.tasks and said.at > since for said in self._known.how_far)

    def _all_there(self, placed: Placement) -> bool:
        """Return whether so many people are with the crew to the end of a block as it was planned with."""
        site, people = self._site, placed.people or self._crews[placed.crew].people
        first, last = to_wall(site.shop.zone, site.now).date(), to_wall(site.shop.zone, placed.end).date()
        gone = {one.worker for one in site.errands if one.start < placed.end and site.now < one.end}
        days = [day for day in days_from(first, (last - first).days + 1) if self._crews[placed.crew].comes(day)]
        there = [present(self._shop, site.away, placed.crew, day) for day in days]
        # Who leaves for a small visit was known to the plan, or is one fewer now: either way the rest is counted.
        return all(sum(worker.name not in gone for worker in of_day) >= people for of_day in there)
