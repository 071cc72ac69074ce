"""What the people of a house cannot use over a night of the plan, or from now on: toilets and stairs, with what is to be agreed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Phase, Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed
from crewjobs.engines.readiness.shut import behind_shut, nobody_in
from crewjobs.services.weeks.gone_by import not_ticked_words
from crewjobs.services.weeks.toilets import for_lead, put_back, resets, shut_words
from crewjobs.services.weeks.usable import floored_stairs, start_of, usable_from
from crewjobs.services.weeks.visits import Planned
from crewjobs.services.wording import at_site


def toilet_warnings(found: Planned, now: datetime, since: date | None = None) -> Iterator[str]:
    """Yield a sentence for each occupied house without any listed toilet over a night of the plan, or from now on.

    With `since`, what is back before that day is left out: nothing is left to be agreed.
    """
    for record in found.records.values():
        job = record.job
        if shut := shut_words(record, now):
            yield f"Job {job.number} {job.title}: {shut}"
            continue
        pairs = resets(record) if job.site.occupied else ()
        spans = [(_when(found, record, out, last=False), _back(found, record, out, back)) for out, back in pairs]
        out = max((start for start, _ in spans if start is not None), default=None)
        back = min((end for _, end in spans if end is not None), default=None)
        if out is None or back is None or any(start is None for start, _ in spans) or back <= out:
            continue
        if to_wall(job.site.zone, out).date() == to_wall(job.site.zone, back).date():
            continue
        if since is not None and to_wall(job.site.zone, back).date() < since:
            continue
        agreed = (
            f"meanwhile: {job.site.toilet_meanwhile}."
            if job.site.toilet_meanwhile
            else (
                "Nothing is noted for the nights: a rented toilet or nights away are for the lead and the customer to agree now."
            )
        )
        which = "the only toilet listed is" if len(pairs) == 1 else "all toilets listed are"
        lead = [out.key.scope.name for out, _ in pairs if for_lead(out)]
        why = f" ({listed(lead)} closed off for lead paint until the dust check has passed)" if lead else ""
        still = any(task.open for pair in pairs for task in pair)
        behind = not_ticked_words(found.task_minutes(record), record, now) if still else ""
        yield (
            f"Job {job.number} {job.title}: {which} out from {at_site(job.site.zone, out)} to "
            f"{at_site(job.site.zone, back)}{why}{behind}; {agreed}"
        )


def _back(found: Planned, record: JobRecord, out: Task, back: Task) -> datetime | None:
    """Return when a toilet can be used again: when all that ends its being out is done, or is planned to end."""
    ends = [_when(found, record, task, last=True) for task in put_back(record, out, back)]
    return None if any(end is None for end in ends) else max(end for end in ends if end is not None)


def _when(found: Planned, record: JobRecord, task: Task, *, last: bool) -> datetime | None:
    """Return when a task was done, or is planned to begin or end; None if it is neither."""
    if task.done_at is not None:
        return task.done_at
    placement = found.placement(record.job.number, task.number)
    return (placement.end if last else placement.start) if placement else None


def stair_warnings(found: Planned, now: datetime, since: date | None = None) -> Iterator[str]:
    """Yield a sentence for each flight of an occupied house that is closed over a night of the plan, or from now on.

    With `since`, what may be used again before that day is left out: nothing is left to be agreed.
    """
    for record in found.records.values():
        job, zone = record.job, record.job.site.zone
        if not job.site.occupied:
            continue
        times = found.task_minutes(record)
        cut = behind_shut(record, now)
        shut, late = nobody_in(record, now), not_ticked_words(times, record, now)
        agree = "nights included; another way out and to the bathroom, or nights away, is for the lead and the customer to agree"
        yield from (
            f"Job {job.number} {job.title}: {flight.name} {'cut off by what was found on the way there' if flight.name in cut else 'shut for what was found there'}, from now until it is settled, {agree} at once."
            for flight in job.stairs
            if flight.name in shut
        )
        for flight, works in floored_stairs(record):
            if flight.name in shut:
                continue
            laying = [task for task in works if task.phase is Phase.INSTALL]
            behind = late if any(task.open for task in laying) else ""
            begun = [at for task in works if (at := task.started_at or task.done_at) is not None]
            out = min(begun, default=start_of(times, works))
            back = usable_from(found, times, record, laying)[False]
            if out is None or back is None or to_wall(zone, out).date() == to_wall(zone, back).date():
                continue
            if since is not None and to_wall(zone, back).date() < since:
                continue
            yield (
                f"Job {job.number} {job.title}: {flight.name} cannot be used from {at_site(zone, out)} to {at_site(zone, back)}"
                f"{behind}, {agree} first."
            )
