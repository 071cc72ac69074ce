"""The plan's judge: every rule of a week plan checked again, minute by minute, without the planner's help.

The tests run it on the plans they make; the program itself plans without it. It reads the raw hours, zones, tasks,
links and records of who is away, and works out itself who is there, which crews there are and which houses are open. Of
the planner's own code it uses one thing, the layout of a block (`layout.lay_out`): how many minutes tasks take together
that share the people of a crew. How they are shared out is no rule that could be broken but the plan's own way, and the
judge has to find just that work in the plan; that a layout keeps the links and people of its tasks the layout's own
tests hold.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from crewjobs.domain.crew import Crew, Worker
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import Placement, WeekPlan
from crewjobs.domain.tasks import Driver, Link, Pause, Phase, ScopeKind, Task
from crewjobs.domain.wall import QUARTER, to_wall
from crewjobs.engines.judging.check_links import followed_soon, raw_links, too_late
from crewjobs.engines.judging.check_ways import Ways, name_of, next_quarter
from crewjobs.engines.judging.minutes import Minutes, Presence, whole_quarters
from crewjobs.engines.planning.layout import TaskSpan, lay_out, makespan
from crewjobs.engines.planning.problem import PlanProblem

LONG_WAIT = 2 * 24 * 60
"""Minutes: what starts so long a wait is done as early as it can be, and opens no house; the planner has its own."""
LEAST_START = 30
"""Minutes of the day work needs to be started, unless it is shorter."""


def check_plan(problem: PlanProblem, plan: WeekPlan) -> tuple[str, ...]:
    """Return every rule a plan breaks, one sentence each; nothing where it holds.

    What stands of today (`problem.stands`) was judged with the plan it is from.
    """
    made = tuple(placed for placed in plan.placements if placed not in problem.stands)
    return tuple(_Judge(problem, replace(plan, placements=made)).faults())


class _Judge:
    def __init__(self, problem: PlanProblem, plan: WeekPlan) -> None:
        self._problem = problem
        self._plan = plan
        self._own = {crew.name: crew for crew in problem.shop.crews}
        self._crews = {crew.name: self._on_its_days(crew) for crew in (*problem.shop.crews, *_parts(problem))}
        self._records = {record.job.number: record for record in problem.jobs}
        self._of = {(p.key.job, number): p for p in plan.placements for number in p.tasks}
        started = [
            task.started_at
            for record in problem.jobs
            for task in record.tasks
            if task.open and task.started_at is not None
        ]
        first = min([problem.now, *started, *(placement.start for placement in plan.placements)])
        last = max([problem.now, *(placement.end for placement in plan.placements)])
        self._minutes = Minutes(problem.shop, first, last)
        self._ways = Ways(problem, self._minutes)
        self._waits: dict[int, tuple[Link, ...]] = {}

    def faults(self) -> Iterator[str]:
        yield from self._coverage()
        sound = []
        for placement in self._plan.placements:
            faults = list(self._shape(placement))
            yield from faults
            if not faults:
                sound.append(placement)
                yield from self._work(placement)
                yield from self._facts(placement)
        for crew in self._crews.values():
            yield from self._one_place(crew, [placement for placement in sound if placement.crew == crew.name])
        yield from self._one_day()
        yield from self._ways.too_many_out(sound, self._known_begun)
        for record in self._problem.jobs:
            yield from self._links(record)
            yield from too_late(self._problem.now, record, self._of, self._begun, self._done_at)
            yield from self._closed_house(
                record, [placement for placement in sound if placement.key.job == record.job.number]
            )

    def _coverage(self) -> Iterator[str]:
        seen: dict[tuple[int, int], int] = {}
        entries = [(placement.key.job, placement.tasks) for placement in self._plan.placements]
        entries += [(left.job, left.tasks) for left in self._plan.left_out]
        for job, numbers in entries:
            for number in numbers:
                seen[job, number] = seen.get((job, number), 0) + 1
        for left in self._plan.left_out:
            if not left.why.strip():
                yield f"job {left.job}: left out without a why."
        wanted = [
            (record.job.number, task.number)
            for record in self._problem.jobs
            if record.job.state is JobState.BOOKED
            for task in record.tasks
            if task.open
        ]
        for job, number in wanted:
            if seen.get((job, number), 0) != 1:
                yield f"job {job}, task {number}: is in the plan {seen.get((job, number), 0)} times, not once."
        for job, number in self._of:
            if (job, number) not in wanted:
                yield f"job {job}, task {number}: is planned but not open work of a booked job."

    def _shape(self, placement: Placement) -> Iterator[str]:
        name = name_of(placement)
        if placement.crew not in self._crews:
            yield f"{name}: there is no crew '{placement.crew}'."
            return
        if placement.key.job not in self._records:
            yield f"{name}: there is no such job."
            return
        numbers = {task.number for task in self._records[placement.key.job].tasks}
        if not placement.tasks or any(number not in numbers for number in placement.tasks):
            yield f"{name}: has tasks the job does not have."
            return
        tasks = self._tasks(placement)
        if {(_planned_phase(task, placement), task.stage) for task in tasks} != {(placement.phase, placement.stage)}:
            yield f"{name}: its tasks are not of one phase and stage."
        if len({task.pause for task in tasks}) > 1:
            yield f"{name}: its tasks pause by different rules."
        if placement.key.task != min(placement.tasks):
            yield f"{name}: is not named by its lowest task."
        if not placement.reason.strip():
            yield f"{name}: has no reason."
        for moment in (placement.start, placement.end):
            if moment.timestamp() % (QUARTER * 60):
                yield f"{name}: {moment} is not on the quarter hour."
        if not self._problem.now <= placement.start < placement.end:
            yield f"{name}: starts before the plan or ends before it starts."

    def _tasks(self, placement: Placement) -> tuple[Task, ...]:
        record = self._records[placement.key.job]
        return tuple(record.task(number) for number in placement.tasks)

    def _begun(self, task: Task) -> bool:
        return task.open and task.started_at is not None and task.started_at <= self._problem.now

    def _raw_links(self, record: JobRecord) -> tuple[Link, ...]:
        """Return what open tasks of a job wait for; read once."""
        number = record.job.number
        if number not in self._waits:
            self._waits[number] = tuple(raw_links(record, self._begun))
        return self._waits[number]

    def _beginner(self, job: int, task: Task) -> str:
        """Return the crew that began a task, empty where nobody knows."""
        if task.crew in self._own:
            return task.crew
        before = self._problem.previous.placements if self._problem.previous else ()
        names = [p.crew for p in before if p.key.job == job and task.number in p.tasks]
        return names[-1] if names and names[-1] in self._own else ""

    def _goes_on(self, job: int, task: Task) -> str | None:
        return self._beginner(job, task) if self._begun(task) else None

    def _labor(self, record: JobRecord, task: Task, doer: Crew) -> int:
        """Return the labor minutes left of a task that a crew does."""
        if not self._begun(task) or task.started_at is None:
            return self._whole_labor(doer, record, task)
        since, now, looked = task.started_at, self._problem.now, None
        whole = full = self._whole_labor(self._own.get(task.crew, _nobody(self._problem)), record, task)
        for said in record.how_far:
            if said.task == task.number and said.at <= now:
                full = round(whole * (1 - said.share))
                since, looked = max(task.started_at, said.at), said.at
        name = task.crew if task.crew in self._own else ""
        beside = [other for other in record.tasks if self._begun(other)]
        beside = [other for other in beside if (other.crew if other.crew in self._own else "") == name]
        crew = self._own[name] if name else _nobody(self._problem)
        there = self._minutes.there(crew, record.job, elevator=task.elevator)
        start, end = self._minutes.of(since), self._minutes.of(now)
        worked = there.count(start, end)
        if looked is not None or record.crew_hours or any(task.number in one.holds for one in record.findings):
            idle = self._idle_days(there, end, looked)
            worked = sum(
                bool(there.flags[m])
                and self._minutes.day(m) not in idle
                and self._told_there(crew, record, m)
                and not self._found_in_it(record, task, m)
                for m in range(start, end)
            )
        most = max(task.people, crew.people) if _paid_by_it(crew, task) else task.people
        hands = max(task.least_people, min(most, crew.people // len(beside)))
        return max(QUARTER, full - worked * min(hands, crew.people))

    def _idle_days(self, there: Presence, now: int, looked: datetime | None) -> frozenset[date]:
        """Return the day on which somebody said how far a task is, where nothing of it is left for the crew by now."""
        if looked is None:
            return frozenset()
        day = self._minutes.day(self._minutes.of(looked))
        minute = self._minutes.of(next_quarter(self._minutes.at(now)))  # no place starts before it
        while self._minutes.day(minute) == day:
            if there.flags[minute]:
                return frozenset()
            minute += 1
        return frozenset({day})

    def _told_there(self, crew: Crew, record: JobRecord, minute: int) -> bool:
        """Return whether a crew can have been at a house in a minute by the hours it told of that day, if any."""
        mine = [one for one in record.crew_hours if one.crew == crew.name]
        mine = [one for one in mine if self._minutes.day(self._minutes.of(one.start)) == self._minutes.day(minute)]
        return not mine or any(self._minutes.of(one.start) <= minute < self._minutes.of(one.stop) for one in mine)

    def _whole_labor(self, crew: Crew, record: JobRecord, task: Task) -> int:
        """Return the labor minutes of a whole task by its crew's pace; a sub's laying is its people's full days, by its capacity."""
        times = self._problem.paces.times.get((crew.name, record.job.number, task.number), 1.0)
        estimate = max(1, round(task.estimate.expected * times))
        if crew.sub is None or not _paid_by_it(crew, task):
            return estimate
        a_day = crew.sub.area_ft2 if task.unit is Driver.AREA else crew.sub.steps
        hours = max(sum(span.end - span.start for span in day) for day in crew.hours.days)
        at_site = max(QUARTER, hours - 2 * whole_quarters(record.job.site.drive_min))
        return max(1, round(task.quantity / a_day * at_site * crew.people)) if a_day else estimate

    def _found_in_it(self, record: JobRecord, task: Task, minute: int) -> bool:
        """Return whether in a minute something found in a task kept people from it."""
        for one in record.findings:
            if task.number not in one.holds or self._minutes.of(one.at) > minute:
                continue
            named = (one.at, one.place, one.kind)
            ways = [way for way in record.ways_taken if (way.found_at, way.place, way.kind) == named]
            same = [other for other in record.findings if (other.at, other.place, other.kind) == named]
            if len(same) > 1:  # found twice in a minute: the first way on is the first one's
                nth = [other is one for other in same].index(True)
                ways = ways[nth : nth + 1]
            ways = sorted((way for way in ways if self._minutes.of(way.at) <= minute), key=lambda way: way.at)
            if not ways or task.number in ways[-1].keeps:
                return True
        return False

    def _work(self, placement: Placement) -> Iterator[str]:
        record, crew, name = self._records[placement.key.job], self._crews[placement.crew], name_of(placement)
        tasks = self._tasks(placement)
        people = placement.people or crew.people
        if list(placement.pace or [1.0] * len(tasks)) != [
            self._problem.paces.times.get((placement.crew, placement.key.job, task.number), 1.0) for task in tasks
        ]:
            yield f"{name}: does not tell the pace by which it is planned."
        work = whole_quarters(makespan(self._laid_out(placement)))
        there = self._minutes.there(crew, record.job, elevator=any(task.elevator for task in tasks))
        start, end = self._minutes.of(placement.start), self._minutes.of(placement.end)
        worked = there.count(start, end)
        if worked != work:
            yield f"{name}: {crew.name} can work {worked} minutes there, the work takes {work}."
        if not (there.flags[start] and there.flags[end - 1]):
            yield f"{name}: starts or ends when {crew.name} cannot work there."
        yield from self._pauses(placement, tasks, work)
        begun = [task for task in tasks if self._begun(task)]
        beginner = self._beginner(record.job.number, begun[0]) if begun else ""
        if beginner and beginner != crew.name:
            yield f"{name}: was begun by {beginner}, not {crew.name}."
        days = dict.fromkeys(self._minutes.day(m) for m in range(start, end) if there.flags[m])
        gone = {one.worker for one in self._problem.errands if one.start < placement.end and placement.start < one.end}
        present = [[worker for worker in self._present(crew, day) if worker.name not in gone] for day in days]
        fewest = min(map(len, present), default=0)
        if fewest != people:
            yield f"{name}: is planned with {people} people, {crew.name} has {fewest}."
        if beginner:
            return
        for task in tasks:
            if task.skill is not None and task.skill not in crew.skills:
                yield f"{name}: {crew.name} cannot do task {task.number} ({task.skill.value})."
            if task.least_people > fewest:
                yield f"{name}: task {task.number} needs {task.least_people} people, {crew.name} has {fewest}."
            if task.card and not all(any(task.card in one.cards for one in there_) for there_ in present):
                yield f"{name}: task {task.number} needs the card '{task.card}' on every day."

    def _present(self, crew: Crew, day: date) -> list[Worker]:
        """Return who is with a crew on a day, from the bare records of who is away."""
        entries = [one for one in self._problem.away if one.day == day]
        gone = {one.worker for one in entries if one.crew == crew.name}
        here = [] if crew.only else [worker for worker in crew.workers if worker.name not in gone]
        for one in entries:
            if one.to == crew.name:
                here += [worker for worker in self._own[one.crew].workers if worker.name == one.worker]
        return here

    def _on_its_days(self, crew: Crew) -> Crew:
        """Return a crew off on the days on which nobody is with it."""
        hours = crew.hours
        for day in {one.day for one in self._problem.away if one.crew == crew.name}:
            if not self._present(crew, day):
                hours = hours.with_single(day, ())
        return replace(crew, hours=hours)

    def _pauses(self, placement: Placement, tasks: Sequence[Task], work: int) -> Iterator[str]:
        record, crew, name = self._records[placement.key.job], self._crews[placement.crew], name_of(placement)
        there = self._minutes.there(crew, record.job, elevator=any(task.elevator for task in tasks))
        start, end = self._minutes.of(placement.start), self._minutes.of(placement.end)
        worked = [m for m in range(start, end) if there.flags[m]]
        if tasks[0].pause is Pause.NONE and len(worked) != end - start:
            yield f"{name}: pauses, though it is done in one go."
        days = [self._minutes.day(m) for m in worked]
        if tasks[0].pause is Pause.LUNCH and len(set(days)) > 1:
            yield f"{name}: pauses over night, though it may only pause over lunch."
        first = days.count(days[0]) if days else 0
        if first < min(LEAST_START, work) and not any(self._begun(task) for task in tasks):
            day_lengths: dict[object, int] = {}
            for m, flag in enumerate(there.flags):
                if flag:
                    day_lengths[self._minutes.day(m)] = day_lengths.get(self._minutes.day(m), 0) + 1
            if max(day_lengths.values()) >= LEAST_START:
                yield f"{name}: starts with only {first} minutes of the day left."

    def _facts(self, placement: Placement) -> Iterator[str]:
        name, job = name_of(placement), placement.key.job
        record = self._records[job]
        for task in self._tasks(placement):
            if self._begun(task):
                continue
            for fact in self._problem.earliest.get((job, task.number), ()):
                if placement.start < fact.at:
                    yield f"{name}: starts before {fact.at}, though {fact.reason}."
            if (job, task.number) in self._problem.impossible:
                yield f"{name}: task {task.number} cannot be planned: {self._problem.impossible[job, task.number]}."
            for pin in self._problem.pins:
                if (pin.job, pin.task) != (job, task.number) or self._unkept(placement):
                    continue
                day = to_wall(record.job.site.zone, placement.start).date()
                if (placement.crew, day) != (pin.crew, pin.day):
                    yield f"{name}: task {pin.task} is pinned to {pin.crew} on {pin.day}."

    def _unkept(self, placement: Placement) -> bool:
        """Return whether the plan says, with a why, that work is not where it is pinned to."""
        said = [one for one in self._plan.unkept if one.pin.job == placement.key.job and one.pin in self._problem.pins]
        return any(one.pin.task in placement.tasks and one.why.strip() and one.instead for one in said)

    def _one_place(self, crew: Crew, planned: Sequence[Placement]) -> Iterator[str]:
        mine = sorted(planned, key=lambda p: (p.start, p.end))
        yield from self._ways.from_now(crew, mine, self._goes_on)
        yield from self._ways.between(crew, mine)
        yield from self._begun_first(crew, mine)

    def _begun_first(self, crew: Crew, mine: Sequence[Placement]) -> Iterator[str]:
        """Work under way goes on in the first minute its crew can work there, unless other such work does.

        A block that stands to its end, as it runs by the plan before, is such work: the crew comes from there.
        """
        known = [
            p for p in mine if any(self._begun(t) and self._beginner(p.key.job, t) == crew.name for t in self._tasks(p))
        ]
        if known and self._tasks(known[0])[0].pause is Pause.NIGHT:
            moved = any(task.elevator for task in self._tasks(known[0]))
            there = self._minutes.there(crew, self._records[known[0].key.job].job, elevator=moved)
            begin = self._minutes.of(next_quarter(self._problem.now))
            until = self._minutes.of(known[0].start)
            house, last = self._ways.house(crew, self._goes_on), self._ways.last(crew)
            stands = [one for one in self._problem.stands if one.crew == crew.name and one.end > self._problem.now]
            if stands:
                at_last = max(stands, key=lambda one: one.end)
                begin = min(max(begin, self._minutes.of(at_last.end)), until)
                drive = whole_quarters(self._ways.drive(at_last.key.job, known[0].key.job))
                begin = next((m for m in range(begin, until) if self._minutes.hours(crew, begin, m) >= drive), until)
            elif house is not None:
                drive = whole_quarters(self._ways.drive(house, known[0].key.job))
                way = drive + QUARTER if last is not None and last.turned else drive
                # Until then it is there, or on its way to the shop.
                begin = begin if last is None else max(begin, self._minutes.of(last.until))
                begin = next((m for m in range(begin, until) if self._minutes.hours(crew, begin, m) >= way), until)
            length = self._minutes.of(known[0].end) - until
            empty = [
                (self._minutes.of(one.start), self._minutes.of(one.end))
                for one in self._problem.errands
                if one.start < known[0].end and not self._there_in(crew, self._minutes.of(one.start))
            ]
            # Work does not stop for an errand: where the only one there leaves, it waits for them.
            if any(
                there.flags[m]
                and self._there_in(crew, m)
                and not any(leaves < m + length and m < back for leaves, back in empty)
                for m in range(whole_quarters(begin), until, QUARTER)  # work starts on the quarter hour
            ):
                yield f"{name_of(known[0])}: is under way but does not go on at once."

    def _there_in(self, crew: Crew, minute: int) -> bool:
        """Return whether somebody of a crew is with it in a minute, and not on an errand."""
        instant = self._minutes.at(minute)
        gone = {one.worker for one in self._problem.errands if one.start <= instant < one.end}
        return any(worker.name not in gone for worker in self._present(crew, self._minutes.day(minute)))

    def _links(self, record: JobRecord) -> Iterator[str]:
        job = record.job.number
        for link in self._raw_links(record):
            before, after = self._of.get((job, link.before)), self._of.get((job, link.after))
            if after is None:
                continue
            if before is None:
                yield f"{name_of(after)}: task {link.after} is planned, task {link.before} before it is not."
            elif before is after:
                if link.wait_min:
                    yield f"{name_of(after)}: task {link.after} waits {link.wait_min} minutes inside its block."
            elif after.start - before.end < timedelta(minutes=link.wait_min):
                yield f"{name_of(after)}: does not keep {link.wait_min} minutes after task {link.before}."

    def _done_at(self, placement: Placement, number: int) -> tuple[datetime, datetime]:
        """Return when a task of a placement begins and is done to the minute, by its layout on the minutes worked."""
        record, crew = self._records[placement.key.job], self._crews[placement.crew]
        tasks = self._tasks(placement)
        there = self._minutes.there(crew, record.job, elevator=any(task.elevator for task in tasks))
        start, end = self._minutes.of(placement.start), self._minutes.of(placement.end)
        worked = [m for m in range(start, end) if there.flags[m]]
        span = next(span for span in self._laid_out(placement) if span.task == number)
        if not worked:
            return placement.start, placement.end
        first, last = worked[min(span.start, len(worked) - 1)], worked[min(span.end, len(worked)) - 1]
        return placement.start + timedelta(minutes=first - start), placement.start + timedelta(minutes=last + 1 - start)

    def _laid_out(self, placement: Placement) -> tuple[TaskSpan, ...]:
        record, crew = self._records[placement.key.job], self._crews[placement.crew]
        tasks, numbers = self._tasks(placement), frozenset(placement.tasks)
        inner = [
            (link.before, link.after)
            for link in self._raw_links(record)
            if link.before in numbers and link.after in numbers
        ]
        labor = [self._labor(record, task, crew) for task in tasks]
        return lay_out([_all_hands(crew, task) for task in tasks], labor, inner, placement.people or crew.people)

    def _known_begun(self, job: int, number: int) -> bool:
        """Return whether a task is under way with a crew that is known: it has its tools already."""
        task = self._records[job].task(number)
        return self._begun(task) and bool(self._beginner(job, task))

    def _one_day(self) -> Iterator[str]:
        for pair in self._problem.same_day:
            first, last = self._of.get((pair.job, pair.first)), self._of.get((pair.job, pair.last))
            if first is None or pair.job not in self._records:
                continue
            record = self._records[pair.job]
            if self._begun(record.task(pair.first)):
                continue  # nobody can begin it on another day any more
            if last is None:
                if record.task(pair.last).open:
                    yield f"{name_of(first)}: task {pair.first} is planned, task {pair.last}, which must end that day, is not."
                continue
            zone = record.job.site.zone
            if to_wall(zone, first.start).date() != to_wall(zone, last.end - timedelta(minutes=1)).date():
                yield f"{name_of(first)}: task {pair.last} does not end on the day on which task {pair.first} begins."

    def _closed_house(self, record: JobRecord, planned: Sequence[Placement]) -> Iterator[str]:
        job = record.job.number
        left = [number for entry in self._plan.left_out if entry.job == job for number in entry.tasks]
        fresh = [p for p in planned if not all(self._begun(task) for task in self._tasks(p))]
        if not left or not fresh or _opened(record):
            return
        tasks = {task.number: task for task in record.tasks if task.open}
        links = self._raw_links(record)
        pairs = [(link.before, link.after) for link in links]
        # Carrying in and sending away open no house, nor does what only they need.
        starts = [n for n in tasks if _carries_in(tasks[n])]
        starts += [link.before for link in links if link.wait_min >= LONG_WAIT]
        ahead = _forward(starts, [(after, before) for before, after in pairs])
        fresh = [p for p in fresh if not set(p.tasks) <= ahead]
        if not fresh:
            return
        no_date = [n for n in tasks if (job, n) in self._problem.impossible and not self._begun(tasks[n])]
        unfurnished = {tasks[n].where for n in no_date if tasks[n].phase is Phase.FIXTURES_RESET}
        laying = [n for n, task in tasks.items() if task.needs_material and task.unit.value in ("ft²", "steps")]
        one_day = [(pair.first, pair.last) for pair in self._problem.same_day if pair.job == job]
        soon = [
            (one, then)
            for one, then in (*followed_soon(record), *one_day)
            if one in left and not self._begun(tasks[one])
        ]
        laid = [n for n in laying if n not in left]
        explained: set[int] = set()
        while True:
            waits = _forward(no_date, pairs)
            late = [n for n in laying if n in left and (n in waits or tasks[n].where in unfurnished)]
            for_late = _forward(late, [(after, before) for before, after in pairs])
            bare = {tasks[n].where for n in late}
            torn = {n for n, task in tasks.items() if task.phase is Phase.DEMOLITION and task.where in bare}
            explained = waits | _forward((for_late | torn) & set(left), pairs)
            alone = {one for one, then in soon if then in explained} - set(no_date)
            if not alone:
                break
            no_date += sorted(alone)  # what must follow it soon, or end on its day, is left out
        if not laid or set(left) - explained:
            yield f"job {job}: the house is opened though not all of it is planned."
        needed = _forward(laid, [(after, before) for before, after in pairs])
        for placement in fresh:
            for task in self._tasks(placement):
                if task.phase is Phase.DEMOLITION and task.where in bare and task.number not in needed:
                    yield f"{name_of(placement)}: tears out {task.where}, whose floor has no date."


def _forward(numbers: Iterable[int], pairs: Sequence[tuple[int, int]]) -> set[int]:
    """Return tasks and all that waits for them, however far along."""
    found = set(numbers)
    while more := {after for before, after in pairs if before in found} - found:
        found |= more
    return found


def _parts(problem: PlanProblem) -> list[Crew]:
    """Return a crew for every part of a crew that works by itself, with all who are ever sent to it, the first its lead."""
    own = {crew.name: crew for crew in problem.shop.crews}
    sent: dict[str, list[tuple[Crew, Worker, date]]] = {}
    for one in problem.away:
        for worker in own[one.crew].workers if one.crew in own and one.to and one.to not in own else ():
            if worker.name == one.worker:
                sent.setdefault(one.to, []).append((own[one.crew], worker, one.day))
    parts = []
    for name, entries in sent.items():
        people = {worker.name: worker for _, worker, _ in reversed(entries)}
        names = dict.fromkeys(worker.name for _, worker, _ in entries)
        workers = tuple(replace(people[one], lead=i == 0) for i, one in enumerate(names))
        days = frozenset(day for _, _, day in entries)
        parts.append(replace(entries[0][0], name=name, workers=workers, only=days, sub=None))
    return parts


def _opened(record: JobRecord) -> bool:
    """Return whether work on a house's floors was begun: tearing out or anything after it, or prep of bare floors."""
    begun = {t.phase for t in record.tasks if t.stage > 0 and (t.started_at is not None or t.done_at is not None)}
    bare = not any(task.open and task.phase is Phase.DEMOLITION for task in record.tasks)
    on_floors = {Phase.DEMOLITION, Phase.INSTALL, Phase.TRIM, Phase.FIXTURES_RESET}
    return bool(begun & on_floors) or (bare and Phase.SUBFLOOR_PREP in begun)


def _carries_in(task: Task) -> bool:
    """Return whether a task brings a material into the rooms."""
    return task.phase is Phase.HOUSE and task.key.scope.kind is ScopeKind.MATERIAL


def _paid_by_it(crew: Crew, task: Task) -> bool:
    """Return whether a crew is a sub that is paid for a task by the foot or step."""
    return crew.sub is not None and bool(task.needs_material) and task.unit.value in ("ft²", "steps")


def _all_hands(crew: Crew, task: Task) -> Task:
    return replace(task, people=max(crew.people, task.people)) if _paid_by_it(crew, task) else task


def _nobody(problem: PlanProblem) -> Crew:
    """Return one person at the shop's hours, counted where nobody knows who began a task."""
    return Crew(name="", workers=(Worker(name="", lead=True),), hours=problem.shop.hours, skills=frozenset())


def _planned_phase(task: Task, placement: Placement) -> Phase:
    """Return a task's phase; a section is hauled out or cleaned up in the block of the work on its floor."""
    with_floor = task.phase is Phase.HOUSE and task.key.scope.kind is ScopeKind.SECTION
    return placement.phase if with_floor and placement.phase in (Phase.DEMOLITION, Phase.INSTALL) else task.phase
