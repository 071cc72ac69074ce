"""What is wrong with what a plan is made from: said in one sentence each, while all the rest is planned."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta

from crewjobs.domain.crew import Crew, Shop, in_two_crews
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.wall import days_from, to_wall
from crewjobs.domain.wording import dated_words, day_words

WEEKDAYS = ("Mondays", "Tuesdays", "Wednesdays", "Thursdays", "Fridays", "Saturdays", "Sundays")
HORIZON_DAYS = 28
"""Four weeks: long enough for the slowest acclimation and cure after the next deliveries."""
LOOK_AHEAD = 60
"""Days in which the next day a crew works is looked for."""


def promise_gone_by(record: JobRecord, now: datetime) -> str:
    """Return a sentence where a booked job with work left is promised for a day before today; empty where it is not."""
    job = record.job
    today = to_wall(job.site.zone, now).date()
    still = any(task.open for task in record.tasks)
    if job.promised is None or job.promised >= today or job.state is not JobState.BOOKED or not still:
        return ""
    return (
        f"Job {job.number} is promised for {dated_words(job.promised)}, a day that has gone by: "
        f"`crewjobs amend {job.number} --promised DAY` promises it anew."
    )


def crews_without_hours(shop: Shop, today: date, days: int) -> Iterator[str]:
    """Yield a sentence for each crew that works on none of the days from today on: nothing is planned for it."""
    for crew in shop.crews:
        if crew.only:
            continue
        if not crew.hours.every:
            yield (
                f"{crew.name} has no working hours, so nothing is planned for it: give it some in the shop file, "
                'such as hours = { mon-fri = "7:00-12:00, 12:30-15:30" }.'
            )
        elif not any(_works(shop, crew, day) for day in days_from(today, days)):
            last = day_words(today + timedelta(days=days))
            yield f"{crew.name} is off on all its days until {last}, so nothing is planned for it until then."


def refuse_two_places(shop: Shop) -> None:
    """Refuse to plan a shop of which somebody stands in two crews, as records of earlier versions may have it.

    Raises:
        Refused: with a sentence for each of them.
    """
    twice = [f"{shop.crews[place].name}: {fault}" for place, fault in in_two_crews(shop.crews)]
    if twice:
        raise Refused([*twice, "nothing is planned until then: change the shop, in its form or its file."])


def plan_faults(records: Iterable[JobRecord], shop: Shop, now: datetime) -> Iterator[str]:
    """Yield all of them for a shop and its jobs."""
    yield from crews_without_hours(shop, to_wall(shop.zone, now).date(), HORIZON_DAYS)
    yield from filter(None, (promise_gone_by(record, now) for record in records))


def why_not_on(shop: Shop, crew: Crew, record: JobRecord, day: date) -> str:
    """Return why a crew cannot be pinned to a job on a day, with the next day on which it can; empty where it can."""
    why = _why_not(shop, crew, record, day)
    if not why:
        return ""
    ahead = (later for later in days_from(day, LOOK_AHEAD) if not _why_not(shop, crew, record, later))
    free = next(ahead, None)
    if free is None:
        return f"{why}: pin to another crew."
    return f"{why}: pin to another day, the next is {day_words(free)}."


def _why_not(shop: Shop, crew: Crew, record: JobRecord, day: date) -> str:
    site = record.job.site
    if not crew.hours.every:
        return f"{crew.name} has no working hours on any day"
    if day in shop.holidays:
        return f"{day_words(day)} is a holiday of the shop"
    if crew.off(day):
        return f"{day_words(day)} is a day off for {crew.name}"
    if not crew.hours.on(day):
        return f"{crew.name} does not work on {WEEKDAYS[day.weekday()]}, and {day_words(day)} is one"
    if not crew.comes(day):
        return f"{crew.name} does not work on {day_words(day)}"
    if day in record.job.blocked:
        return f"the customer of job {record.job.number} has blocked {day_words(day)}"
    if site.hours is not None and not site.hours.on(day):
        return f"the site of job {record.job.number} is closed on {day_words(day)}"
    return ""


def _works(shop: Shop, crew: Crew, day: date) -> bool:
    return crew.comes(day) and day not in shop.holidays
