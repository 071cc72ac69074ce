"""The evening entry: a crew's printed sheet typed back, recorded whole in one change or refused whole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from crewjobs.domain.errors import NotWritten, OnHold, Refused
from crewjobs.domain.evening import EveningEntry, Finding, latest
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, ScopeKind, Task
from crewjobs.domain.wall import hour_words, to_wall, wall_minute
from crewjobs.domain.wording import day_words, listed, typed, upper
from crewjobs.engines.readiness.holds import holds
from crewjobs.services.evenings.evening_read import Said, TypedHouse, read_houses
from crewjobs.services.evenings.evening_sheet import CrewDay, crew_day
from crewjobs.services.evenings.far_words import far_words, left_words
from crewjobs.services.evenings.how_far import reported
from crewjobs.services.findings.found_told import in_full
from crewjobs.services.jobs.known_hours import finding_cautions, finding_words, times_words
from crewjobs.services.jobs.written import written_then
from crewjobs.services.rows import Done
from crewjobs.services.ticking import in_working_order, set_in_motion, ticked, with_task
from crewjobs.services.wording import hours_words, task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

SEVERAL = 4
"""So many tasks that the same holds are named."""
REASON = " (done because REASON), or, where what it waits for was done earlier, when that was (done 13:05)"
FAR_REASON = " behind how far it got (9/19 rows because REASON)"


def enter(
    uow: UnitOfWork,
    catalogue: Catalogue,
    now: datetime,
    crew: str,
    day: date,
    entry: EveningEntry,
    *,
    ask: bool = True,
) -> Done:
    """Record what a crew's sheet says: hours, what is done and how far, findings, all of it in one change.

    Times left away are as planned, tasks left away not done; a house with nothing typed was not worked at. Hours that are far from
    what the crew usually takes for what was done are kept and, with `ask`, asked about.

    Raises:
        Refused: anything in it cannot be, every fault with a sentence of its own; then nothing is recorded.
    """
    found = crew_day(uow, now, crew, day)
    houses, faults = read_houses(uow, found, entry, now)
    on = day_words(day, to_wall(found.shop.zone, now).date())
    if not houses and not faults:
        raise Refused(f"nothing was typed for {found.crew.name} on {on}: nothing was recorded.")
    evening = _Evening(found=found)
    for house in houses:
        evening.before.setdefault(house.job, uow.job(house.job))
    evening.after = dict(evening.before)
    evening.take(houses)
    faults += [*evening.faults, *evening.held_words()]
    if faults:
        raise Refused(list(dict.fromkeys(faults)))
    if evening.after == evening.before:
        raise Refused(f"all that was typed for {found.crew.name} on {on} is recorded already.")
    odd = _asked_about(uow, now, houses, evening) if ask else ()
    for number, before in evening.before.items():
        uow.save_job(before, evening.after[number])
    what = f"evening of {found.crew.name}, {day_words(day)}: {'; '.join(evening.told())}"
    jobs = list(evening.before)
    change = uow.commit(what, at=now, job=jobs[0] if len(jobs) == 1 else None)
    return Done(sentence=upper(what) + ".", change=change, then=(*odd, *evening.follows(houses, catalogue, now)))


def _asked_about(uow: UnitOfWork, now: datetime, houses: Sequence[TypedHouse], evening: _Evening) -> tuple[str, ...]:
    """Return the questions about hours of this evening; they are looked at with what was known before it."""
    if all(house.hours is None for house in houses) or evening.found.crew.sub is not None:
        return ()
    from crewjobs.services.evenings.evening_odd import odd_words  # learns, with the libraries for that

    records = [evening.after[job] for job in dict.fromkeys(house.job for house in houses if house.hours is not None)]
    return odd_words(uow, now, records, evening.found.crew.name, evening.found.day)


@dataclass(slots=True, kw_only=True)
class _Evening:
    """The records as the entry changes them, and what could not be."""

    found: CrewDay
    before: dict[int, JobRecord] = field(default_factory=dict)
    after: dict[int, JobRecord] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    held: dict[tuple[str, str], list[str]] = field(default_factory=dict)
    known: list[str] = field(default_factory=list)
    reasons: dict[int, dict[int, str]] = field(default_factory=dict)

    def take(self, houses: Sequence[TypedHouse]) -> None:
        """Take everything in, by the clock and inside a moment in working order."""
        for job in self.before:
            at_job = [house for house in houses if house.job == job]
            self._work(job, at_job)
            record = self.after[job]
            hours = tuple(house.hours for house in at_job if house.hours is not None)
            instead = {old for house in at_job for old in house.instead}
            findings = tuple(one for house in at_job for one in self._findings(record, house))
            self.after[job] = replace(
                record,
                crew_hours=(*(one for one in record.crew_hours if one not in instead), *hours),
                findings=(*record.findings, *findings),
            )

    def _work(self, job: int, houses: Sequence[TypedHouse]) -> None:
        said = [(house, one) for house in houses for one in house.said]
        there = {task.number for task in self.before[job].tasks}
        rank = {
            n: i
            for i, n in enumerate(
                in_working_order(self.before[job], [one.task for _, one in said if one.task in there])
            )
        }
        for house, one in sorted(said, key=lambda pair: (pair[1].at, rank.get(pair[1].task, 0))):
            try:
                self._say(job, house, one)
            except OnHold as held:
                if house.sure:
                    self._hold(house.label, held)
                self._suppose(job, one)
            except Refused as refused:
                self.faults += [f"{house.label}: {sentence}" for sentence in refused.sentences]
                self._suppose(job, one)

    def _hold(self, label: str, held: OnHold) -> None:
        """Note what holds a task; tasks that the same holds are told together."""
        if isinstance(held, NotWritten):
            self.faults.append(f"{label}: {held.sentences[0].removesuffix('.')} (done because …).")
            self.faults += [f"{label}: {sentence}" for sentence in held.sentences[1:]]
        elif held.what:
            self.faults += [f"{label}: {sentence}" for sentence in held.sentences[:-1]]
            self.held.setdefault((label, held.why), []).append(held.what)
        else:
            self.faults.append(f"{label}: {held.sentences[-1].removesuffix('.')}{FAR_REASON}.")

    def _suppose(self, job: int, said: Said) -> None:
        """Go on as if a refused answer were true, so that what only follows from it is not told, too.

        Nothing of the entry is recorded then.
        """
        task = self.after[job].task(said.task)
        if said.answer.far is None and task.open:
            done = replace(task, started_at=task.started_at or said.at, done_at=said.at)
            self.after[job] = with_task(self.after[job], done)

    def held_words(self) -> Iterator[str]:
        for (label, why), tasks in self.held.items():
            are = "is" if len(tasks) == 1 else "are"
            named = listed(tasks, most=SEVERAL)
            yield f"{label}: {upper(named)} {are} on hold: {why}. If it was done all the same, give the reason{REASON}."

    def _say(self, job: int, house: TypedHouse, said: Said) -> None:
        record = self.after[job]
        task = record.task(said.task)
        if said.answer.far is None and self._ticked_today(task):
            self.known.append(f"{upper(task_words(task))} was ticked already.")
            return
        if said.answer.far is not None:
            changed = reported(record, task, said.answer.far, said.at, said.answer.because, self.found.shop.units)
        else:
            changed = ticked(record, task, said.at, said.answer.because)
        now = changed.task(task.number)
        began = task.started_at or _began(record, task, self._free_from(record, task, house.start, said.at), said.at)
        self.after[job] = with_task(changed, replace(now, started_at=began, crew=task.crew or self.found.crew.name))
        if said.answer.because:
            self.reasons.setdefault(job, {})[task.number] = said.answer.because

    def _free_from(self, record: JobRecord, task: Task, start: datetime, at: datetime) -> datetime:
        """Return from when its crew was free for a task: not before what the page has done ahead of it was done that day."""
        ahead = {
            other
            for sheet in self.found.houses
            if sheet.record.job.number == record.job.number and task.number in sheet.starts
            for other, end in sheet.ends.items()
            if end <= sheet.starts[task.number]
        }
        done = [one.done_at for one in record.tasks if one.number in ahead and one.done_at is not None]
        return max([start, *(moment for moment in done if moment < at)])

    def _ticked_today(self, task: Task) -> bool:
        zone = self.found.shop.zone
        return task.done_at is not None and to_wall(zone, task.done_at).date() == self.found.day

    def _findings(self, record: JobRecord, house: TypedHouse) -> Iterator[Finding]:
        known = {
            (one.place, one.what)
            for one in record.findings
            if to_wall(self.found.shop.zone, one.at).date() == self.found.day
        }
        for place, what in house.findings:
            if (place, what) not in known:
                yield Finding(at=house.stop, place=place, what=what, by=self.found.crew.name)

    def told(self) -> Iterator[str]:
        """Say per job what is recorded."""
        for job, before in self.before.items():
            after, zone = self.after[job], self.found.shop.zone
            old = {task.number: task for task in before.tasks}
            done = [str(t.number) for t in after.tasks if t.done_at is not None and old[t.number].done_at is None]
            parts = [times_words(hours, zone) for hours in after.crew_hours if hours not in before.crew_hours]
            if gone := [times_words(hours, zone) for hours in before.crew_hours if hours not in after.crew_hours]:
                parts.append(f"in the place of {listed(gone)}")
            parts += [f"{'tasks' if len(done) > 1 else 'task'} {listed(done, most=40)} done"] if done else []
            parts += [f"task {far.task} {far_words(far)}" for far in after.how_far[len(before.how_far) :]]
            parts += [f"found in {finding_words(one)}" for one in after.findings[len(before.findings) :]]
            new = [hold for hold in after.passed[len(before.passed) :] if hold.seen]
            if new:
                held = {hold.task: hold.because for hold in new}
                parts += [f"task {number} although on hold, because {why}" for number, why in held.items()]
            held_tasks = {hold.task for hold in new}
            parts += [f"task {n} because {why}" for n, why in self.reasons.get(job, {}).items() if n not in held_tasks]
            yield f"job {job} {', '.join(parts) or 'nothing new'}"

    def follows(self, houses: Sequence[TypedHouse], catalogue: Catalogue, now: datetime) -> Iterator[str]:
        """Say what the entry set in motion, what is left of what is under way, and what to check."""
        for job, before in self.before.items():
            after = self.after[job]
            yield from set_in_motion(before, after, now)
            new = [t for t, old in zip(after.tasks, before.tasks, strict=True) if t.done_at != old.done_at]
            yield from (said for task in new for said in written_then(after, task))
            yield from _left(after, [far.task for far in after.how_far[len(before.how_far) :]])
            found = after.findings[len(before.findings) :]
            yield from (f"Check: {text}" for text in finding_cautions(found, catalogue))
            for one in found:
                if finding_cautions([one], catalogue):
                    yield from _holding(after, one)
                yield in_full(after, one, catalogue)
        yield from self.known
        for house in houses:
            yield from _odd(self.found, house, self.after[house.job])


def _holding(record: JobRecord, found: Finding) -> Iterator[str]:
    """Say how what is still to begin at the place of a finding waits until somebody has decided about it."""

    def there(task: Task) -> bool:
        places = {task.where, task.where.replace(", ", " "), task.key.scope.name}
        if task.key.scope.kind is ScopeKind.OPENING:
            places |= {end for one in record.job.openings if one.name == task.key.scope.name for end in one.between}
        return found.place == "house" or found.place in places

    still = [task for task in record.tasks if task.open and task.started_at is None]
    tasks = [str(task.number) for task in still if there(task)]
    if tasks:
        ask = f"crewjobs ask {record.job.number} WHO {typed(found.what)} --holds {','.join(tasks)}"
        yield f"`{ask}` holds what is still to begin there until WHO (laboratory, plumber, customer, …) has answered."


def _began(record: JobRecord, task: Task, start: datetime, at: datetime) -> datetime:
    """Return the earliest instant from the crew's start on at which nothing held the task; `at` where there is none."""
    ends = [hold.until for hold in holds(record, task, start) if hold.until is not None]
    done = [other.done_at for other in record.tasks if other.done_at is not None]
    for moment in sorted({start, *(one for one in (*ends, *done) if start < one < at)}):
        if moment <= at and not holds(record, task, moment):
            return moment
    return at


def _left(record: JobRecord, tasks: Sequence[int]) -> Iterator[str]:
    for number in dict.fromkeys(tasks):
        said, task = latest(record.how_far, number), record.task(number)
        if said is None or not task.open:
            continue
        if said.share == 1:
            yield f"{upper(task_words(task))} is all done by that: `crewjobs tick {record.job.number} {number}` says so."
        else:
            yield f"{upper(task_words(task))}: {left_words(said)}."


LONG_DAY_MIN = 12 * 60
"""Beyond it a day is worth a second look at the times; common practice, no source."""


def _odd(found: CrewDay, house: TypedHouse, record: JobRecord) -> Iterator[str]:
    """Say what is unusual and yet happened: outside the site's hours, on a day nobody was to be there, a long day."""
    if house.hours is None:
        return
    site, hours = record.job.site, house.hours
    start, stop = to_wall(site.zone, hours.start), to_wall(site.zone, hours.stop)
    if record.job.site.hours is not None:
        open_ = site.hours.on(start.date()) if site.hours else ()
        first = min((span.start for span in open_), default=24 * 60)
        last = max((span.end for span in open_), default=0)
        if wall_minute(start) < first or wall_minute(stop) > last or stop.date() != start.date():
            yield f"{house.label}: {start:%H:%M} to {hour_words(stop)} is outside the site's hours; recorded, since it happened."
    if start.date() in record.job.blocked or start.date() in found.shop.holidays:
        yield f"{house.label}: {day_words(start.date())} was a day nobody was to work there; recorded, since it happened."
    if hours.minutes > LONG_DAY_MIN:
        yield f"{house.label}: {hours_words(hours.stop - hours.start)} is a long day: read the times once more."
