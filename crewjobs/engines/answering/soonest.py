"""A job of a plan as early as it can be: what shows whether what binds its work binds its end, too."""

from __future__ import annotations

from typing import Final

from crewjobs.domain.plan import BlockKey
from crewjobs.engines.answering.planned_job import Binding, Place, PlannedJob
from crewjobs.engines.planning.calendars import slots_of
from crewjobs.engines.planning.timeline import Booking

_NOT_BY_PLACE: Final = (Binding.FACT, Binding.PIN, Binding.WISHED)
"""What a start waits for wherever the rest of the plan stands."""


def soonest(job: PlannedJob) -> dict[BlockKey, Booking]:
    """Return the job's bookings, each as early as its crew and all it waits for allow, with the people it has.

    One after the other in the order of the plan, so none is later than planned. What must start soon after other
    work, or end on the day it begins, stands where the plan has it.
    """
    for booking in job.at.values():
        if booking.crew in job.floor.timelines:
            job.floor.timelines[booking.crew].remove(booking)
    found: dict[BlockKey, Booking] = {}
    for key in sorted(job.at, key=lambda key: (job.at[key].start, job.at[key].end, key)):
        found[key] = _soon_as_can(job, job.places[key], found)
        if found[key].crew in job.floor.timelines:
            job.floor.timelines[found[key].crew].add(found[key])
    job.rebook(found, job.at)
    return found


def _soon_as_can(job: PlannedJob, place: Place, done: dict[BlockKey, Booking]) -> Booking:
    planned, calendar = job.as_planned[place.placement.key], place.calendar
    fixed = place.block.begun is not None or planned.key in job.on_one_day or job.soon(place) is not None
    if calendar is None or place.work <= 0 or fixed:
        return planned
    slots = [bound.slot for bound in place.bounds if bound.binding in _NOT_BY_PLACE]
    for link in job.links:
        if link.after in place.placement.tasks and link.before not in place.placement.tasks:
            source = job.of[link.before]
            slots.append(done.get(source, job.as_planned[source]).end + slots_of(link.wait_min))
    starts = job.floor.tables.of(calendar, place.work, place.block.pause, place.opening)
    timeline, earliest = job.floor.timelines[planned.crew], max(slots, default=0)
    while earliest < planned.start:
        found = timeline.first(starts, planned.key.job, earliest, planned.end)
        if found is None or found[0] >= planned.start:
            return planned
        free = job.floor.toolbox.free_from(planned.tools, *found) if planned.tools else None
        if free is None and job.enough(place, *found):
            return planned._replace(start=found[0], end=found[1])
        earliest = free if free is not None else found[0] + 1
    return planned
