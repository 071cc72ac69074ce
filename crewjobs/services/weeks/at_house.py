"""At which house a crew is: where the plans of its day sent it, as far as they held, and where it recorded something."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from crewjobs.domain.wall import to_wall
from crewjobs.services.weeks.been_today import back_at_shop, recorded_at

if TYPE_CHECKING:
    from crewjobs.domain.job import JobRecord
    from crewjobs.services.weeks.days_done import DaysDone
    from crewjobs.services.weeks.visits import Planned, Stretch


@dataclass(frozen=True, slots=True, kw_only=True)
class AtHouse:
    """A crew at the house of a job, since when and until when it is planned there (UTC)."""

    job: int
    since: datetime
    until: datetime


def at_house(found: Planned, days: DaysDone, crew: str, now: datetime) -> AtHouse | None:
    """Return at which house a crew is now, None where it has gone to none today or has told that it left.

    A plan made while the crew is at a house has its work there from that instant on, or none of it: the crew came by the plan
    before. What it recorded at a house says that it is there still, or in the place of the one it was sent to since.

    Raises:
        Refused: there is no such crew.
    """
    day = to_wall(found.shop.zone, now).date()
    if not found.present(crew, day):
        return None
    came: list[AtHouse] = []
    for plan, until, stretches in days.by_plans(crew, day):
        for stretch in stretches:
            here = AtHouse(job=stretch.record.job.number, since=stretch.start, until=stretch.end)
            if came and came[-1].job == here.job:
                came[-1] = replace(came[-1], until=max(here.until, plan.made_at))
            elif here.since <= min(until, now) and here.until > plan.made_at:
                came.append(here)
    told = sorted(
        (at, record.job.number)
        for record in found.records.values()
        for at in (*recorded_at(found.shop, record, crew), *days.ticked(crew, record, day))
        if at <= now and to_wall(found.shop.zone, at).date() == day
    )
    for at, job in told:
        _there(came, job, at)
    if not came or _left(found.records, came[-1], crew, now):
        return None
    return came[-1]


def since_there(at: AtHouse | None, stretches: Sequence[Stretch], place: int, now: datetime) -> datetime | None:
    """Return since when a crew is at the house of a stretch of its day (UTC), where that is before the stretch begins; else None.

    That is the first stretch there that is not over, with no other house between; `at` is where the crew is (`at_house`).
    """
    one = stretches[place]
    if at is None or one.record.job.number != at.job or not at.since < one.start or one.end <= now:
        return None
    before = stretches[:place]
    return None if any(other.end > at.since for other in before) else at.since


def _there(came: list[AtHouse], job: int, at: datetime) -> None:
    """Take in that a crew was at a house at an instant: it had not left that for the one the plan sent it to by then."""
    been = [place for place, one in enumerate(came) if one.since <= at]
    last = been[-1] if been else -1
    if last >= 1 and came[last].job != job == came[last - 1].job:
        del came[last]
        last -= 1
    if last >= 0 and came[last].job == job:
        came[last] = replace(came[last], until=max(came[last].until, at))
    else:
        came.insert(last + 1, AtHouse(job=job, since=at, until=at))


def on_its_way_back(found: Planned, days: DaysDone, crew: str, now: datetime) -> datetime | None:
    """Return when a crew that told its hours at the house it was at last is back at the shop (UTC); None where it is by now.

    So is one at whose house the job has ended.
    """
    day = to_wall(found.shop.zone, now).date()
    told = (one for record in found.records.values() for one in back_at_shop(record, crew))
    ended = (one for one in days.left_ended(day) if one.crew == crew)
    left = (one for one in (*told, *ended) if one.at <= now and to_wall(found.shop.zone, one.at).date() == day)
    last = max(left, key=lambda one: one.at, default=None)
    return last.until if last is not None and last.until > now else None


def _left(records: Mapping[int, JobRecord], last: AtHouse, crew: str, now: datetime) -> bool:
    """Return whether a crew told its hours at the house it was at last, or by its plan is back at the shop."""
    record = records.get(last.job)
    if record is None or any(one.crew == crew and last.since < one.stop <= now for one in record.crew_hours):
        return True
    return last.until + timedelta(minutes=record.job.site.drive_min) < now
