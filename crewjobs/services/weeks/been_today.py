"""Where crews were today, for the planner: what the plan in force has not any more they were at all the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

from crewjobs.domain.job import JobState
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.problem import Been
from crewjobs.engines.planning.roster import with_parts
from crewjobs.engines.planning.whereabouts import told_left

if TYPE_CHECKING:
    from crewjobs.domain.crew import Shop
    from crewjobs.domain.job import JobRecord
    from crewjobs.domain.plan import Placement, WeekPlan
    from crewjobs.services.weeks.presumed import Site
    from crewjobs.storage.unit_of_work import UnitOfWork


def been_today(records: Sequence[JobRecord], plans: Sequence[WeekPlan], site: Site) -> Iterator[Been]:
    """Yield at which houses crews were today by the `plans` in force before the newest of them, and by what they recorded there.

    `plans` are those in force today, oldest first. A plan sent a crew to what was to begin while it was in force. A house
    of which the hours are told the crew left for the shop.
    """
    shop, now = with_parts(site.shop, site.away), site.now
    today = to_wall(shop.zone, now).date()

    def is_today(moment: datetime) -> bool:
        return moment <= now and to_wall(shop.zone, moment).date() == today

    known = {record.job.number: record for record in records}
    for plan, since in pairwise(plans):
        for placed in plan.placements:
            told = placed.key.job in known and told_left(known[placed.key.job], plan, placed.crew, placed.start)
            if is_today(placed.start) and placed.start <= since.made_at and plan.made_at < placed.end and not told:
                until = min(placed.end, since.made_at)
                yield Been(crew=placed.crew, job=placed.key.job, at=placed.start, until=until)
    for record in records:
        said = [(crew.name, at) for crew in shop.crews for at in recorded_at(shop, record, crew.name)]
        for name, at in (*said, *ticked_there(shop, record, plans, today)):
            if is_today(at):
                yield Been(crew=name, job=record.job.number, at=at, until=at)
        for crew in shop.crews:
            yield from (one for one in back_at_shop(record, crew.name) if is_today(one.at))


def ended_since(uow: UnitOfWork, since: datetime) -> dict[int, datetime]:
    """Return by job when (UTC) it was told that it is booked no more, of those told from an instant on: its last time counts."""
    rows = [
        (change, after["number"])
        for change, _, before, after in uow.rows_since(("job",), since)
        if before and after and before["state"] == JobState.BOOKED.value != after["state"]
    ]
    told = {one.number: one.at for one in uow.changes_since(since)} if rows else {}
    return {job: told[change] for change, job in sorted(rows)}


def left_ended(
    ended: Sequence[JobRecord], plans: Sequence[WeekPlan], zone: str, now: datetime, told: Mapping[int, datetime]
) -> Iterator[Been]:
    """Yield when crews left the houses of jobs that have `ended` since a plan of today sent them there, and when they are at the shop.

    `plans` are those in force today, oldest first. They left when it was `told` (`ended_since`), whether or not a plan followed.
    Hours told there say it better.
    """
    today, records = to_wall(zone, now).date(), {record.job.number: record for record in ended}
    for plan, until in zip(plans, [*(plan.made_at for plan in plans[1:]), now], strict=True):
        for placed in plan.placements:
            record = records.get(placed.key.job)
            if record is None or to_wall(zone, placed.start).date() != today:
                continue
            hours = [one for one in back_at_shop(record, placed.crew) if placed.start < one.at <= now]
            left = min(placed.end, until, told.get(record.job.number, until))
            if placed.start < left and plan.made_at < placed.end:
                drive = timedelta(minutes=record.job.site.drive_min)
                yield from hours or [Been(crew=placed.crew, job=0, at=left, until=left + drive)]


def recorded_at(shop: Shop, record: JobRecord, crew: str) -> Iterator[datetime]:
    """Yield when a crew recorded something at the house of a job: begun, done, how far, read, found, or sent there for nothing."""
    names = _names(shop, crew)
    own = {task.number for task in record.tasks if task.crew == crew}
    for task in record.tasks:
        if task.number in own:
            yield from (at for at in (task.started_at, task.done_at) if at is not None)
    yield from (said.at for said in record.how_far if said.task in own)
    yield from (reading.at for reading in record.readings if reading.by in names)
    yield from (finding.at for finding in record.findings if finding.by in names)
    yield from (run.at for run in record.dry_runs if run.crew == crew)


def ticked_there(shop: Shop, record: JobRecord, plans: Sequence[WeekPlan], day: date) -> Iterator[tuple[str, datetime]]:
    """Yield by whom and when (UTC) work was done on a day that the plan then in force had later or not on it: they were there then.

    Of work that had begun by that plan a tick may be told any time after. Whose it was says who began it, else the newest of the
    `plans` of the day, oldest first, that had it on that day.
    """
    number = record.job.number
    for task in record.tasks:
        done = task.done_at
        if done is None or to_wall(shop.zone, done).date() != day:
            continue
        placed = [_placed_on(shop.zone, one, number, task.number, day) for one in plans if one.made_at < done]
        last = placed[-1] if placed else None
        whose = task.crew or next((one.crew for one in reversed(placed) if one is not None), "")
        if placed and whose and (last is None or last.start > done):
            yield whose, done


def _seen_at(shop: Shop, record: JobRecord, crew: str) -> Iterator[datetime]:
    """Yield when a crew was at the house of a job whatever its plan says: it began, read or found something, or stood there for nothing."""
    names = _names(shop, crew)
    yield from (task.started_at for task in record.tasks if task.crew == crew and task.started_at is not None)
    yield from (reading.at for reading in record.readings if reading.by in names)
    yield from (finding.at for finding in record.findings if finding.by in names)
    yield from (run.at for run in record.dry_runs if run.crew == crew)


class Seen:
    """Where crews were seen on a day by what is recorded, beside where its plans sent them; houses by their address.

    Recorded are their hours, where these are told, else what they began, read or found, and what they did against the plan
    (`ticked_there`). A crew that a plan sent on is at the next house, unless it was seen since in the one before and nothing was
    done in the next.
    """

    def __init__(
        self, shop: Shop, records: Sequence[JobRecord], plans: Sequence[WeekPlan], day: date, now: datetime
    ) -> None:
        """Look at the plans in force on a day, oldest first, and at what is recorded of it by now (UTC)."""
        self._house = {record.job.number: record.job.site.address for record in records}
        self._sent: dict[str, list[tuple[datetime, str]]] = {}
        for plan, until in zip(plans, [*(plan.made_at for plan in plans[1:]), now], strict=False):
            for one in plan.placements:
                of_day = to_wall(shop.zone, one.start).date() == day and one.key.job in self._house
                if of_day and one.start <= until and plan.made_at < one.end:
                    self._sent.setdefault(one.crew, []).append((one.start, self._house[one.key.job]))
        self._seen: dict[str, list[tuple[datetime, str]]] = {}
        self._done: list[tuple[datetime, str]] = []
        for record in records if self._sent else ():
            ticked = list(ticked_there(shop, record, plans, day))
            for name in self._sent:
                mine = [
                    one for one in record.crew_hours if one.crew == name and to_wall(shop.zone, one.start).date() == day
                ]
                told = [at for one in mine for at in (one.start, one.stop)]
                known = told or [*_seen_at(shop, record, name), *(at for crew, at in ticked if crew == name)]
                here = [(at, record.job.site.address) for at in known if at <= now]
                self._seen.setdefault(name, []).extend(one for one in here if to_wall(shop.zone, one[0]).date() == day)
            done = [*(task.done_at for task in record.tasks), *(said.at for said in record.how_far)]
            self._done += [(at, record.job.site.address) for at in done if at is not None]

    def last(self, job: int, crew: str) -> datetime | None:
        """Return when (UTC) a crew was seen last at the house of a job, None where it was not."""
        here = self._house.get(job)
        return max((at for at, house in self._seen.get(crew, ()) if house == here), default=None)

    def elsewhere(self, job: int, crew: str, start: datetime) -> datetime | None:
        """Return until when (UTC) a crew that was to begin at a job at an instant was in the house before; None where it came."""
        here = self._house.get(job)
        before = max((one for one in self._sent.get(crew, ()) if one[0] < start and one[1] != here), default=None)
        since = [(at, house) for at, house in self._seen.get(crew, ()) if at > start]
        if before is None or any(house == here and at > start for at, house in (*since, *self._done)):
            return None
        return max((at for at, house in since if house == before[1]), default=None)


def _names(shop: Shop, crew: str) -> set[str]:
    whole = [worker.name for one in shop.crews if one.name == crew for worker in one.workers]
    return {crew, *whole, *(name.split()[0] for name in whole)}


def _placed_on(zone: str, plan: WeekPlan, job: int, task: int, day: date) -> Placement | None:
    """Return where a plan has a task, where that is on a date of the shop."""
    placed = next((one for one in plan.placements if one.key.job == job and task in one.tasks), None)
    there = placed is not None and to_wall(zone, placed.start).date() <= day <= to_wall(zone, placed.end).date()
    return placed if there else None


def back_at_shop(record: JobRecord, crew: str) -> Iterator[Been]:
    """Yield when a crew left the house of a job, by the hours it told there, and when it is back at the shop (job 0)."""
    drive = timedelta(minutes=record.job.site.drive_min)
    yield from (
        Been(crew=crew, job=0, at=one.stop, until=one.stop + drive) for one in record.crew_hours if one.crew == crew
    )
