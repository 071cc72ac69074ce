"""Where crews were today, for the planner: what the plan in force has not any more they were at all the same."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.problem import Been
from crewjobs.engines.planning.roster import with_parts

if TYPE_CHECKING:
    from crewjobs.domain.crew import Shop
    from crewjobs.domain.job import JobRecord
    from crewjobs.domain.plan import WeekPlan
    from crewjobs.services.weeks.presumed import Site


def been_today(records: Sequence[JobRecord], plans: Sequence[WeekPlan], site: Site) -> Iterator[Been]:
    """Yield at which houses crews were today by the `plans` in force before the newest of them, and by what they recorded there.

    `plans` are those in force today, oldest first. A plan sent a crew to what was to begin while it was in force. A house
    of which the hours are told the crew left for the shop.
    """
    shop, now = with_parts(site.shop, site.away), site.now
    today = to_wall(shop.zone, now).date()

    def is_today(moment: datetime) -> bool:
        return moment <= now and to_wall(shop.zone, moment).date() == today

    for plan, since in pairwise(plans):
        for placed in plan.placements:
            if is_today(placed.start) and placed.start <= since.made_at and plan.made_at < placed.end:
                until = min(placed.end, since.made_at)
                yield Been(crew=placed.crew, job=placed.key.job, at=placed.start, until=until)
    for crew in shop.crews:
        for record in records:
            for at in recorded_at(shop, record, crew.name):
                if is_today(at):
                    yield Been(crew=crew.name, job=record.job.number, at=at, until=at)
            yield from (one for one in back_at_shop(record, crew.name) if is_today(one.at))


def recorded_at(shop: Shop, record: JobRecord, crew: str) -> Iterator[datetime]:
    """Yield when a crew recorded something at the house of a job: begun, done, how far, read, found, or sent there for nothing."""
    whole = [worker.name for one in shop.crews if one.name == crew for worker in one.workers]
    names = {crew, *whole, *(name.split()[0] for name in whole)}
    own = {task.number for task in record.tasks if task.crew == crew}
    for task in record.tasks:
        if task.number in own:
            yield from (at for at in (task.started_at, task.done_at) if at is not None)
    yield from (said.at for said in record.how_far if said.task in own)
    yield from (reading.at for reading in record.readings if reading.by in names)
    yield from (finding.at for finding in record.findings if finding.by in names)
    yield from (run.at for run in record.dry_runs if run.crew == crew)


def back_at_shop(record: JobRecord, crew: str) -> Iterator[Been]:
    """Yield when a crew left the house of a job, by the hours it told there, and when it is back at the shop (job 0)."""
    drive = timedelta(minutes=record.job.site.drive_min)
    yield from (
        Been(crew=crew, job=0, at=one.stop, until=one.stop + drive) for one in record.crew_hours if one.crew == crew
    )
