"""Whether a job's furniture stages are found, or could be: told where the job is looked at and when it is loaded."""

from __future__ import annotations

from crewjobs.domain.job import LIVE, Job, JobRecord
from crewjobs.domain.moves import StageKind
from crewjobs.domain.reach import no_way_words
from crewjobs.domain.units import format_hours
from crewjobs.domain.wording import counted
from crewjobs.engines.stages.basis import basis_of


def furniture_moved(job: Job) -> bool:
    """Return whether furniture stands in a room that gets a new floor."""
    return any(room.floor is not None and room.pieces for room in job.rooms)


def could_be_found(job: Job) -> bool:
    """Return whether people live there with furniture, a way leads in, and nobody said in which order it is worked."""
    moved = furniture_moved(job)
    way_in = any("outside" in opening.between for opening in job.openings)
    return job.state in LIVE and job.site.occupied and moved and way_in and not job.stages


def furniture_lines(record: JobRecord) -> tuple[str, ...]:
    """Return a line about a job's furniture stages; none where there is nothing to say."""
    job, plan = record.job, record.moves_in_force
    command = f"`crewjobs moves {job.number}`"
    if plan is None and could_be_found(job):
        missing = no_way_words(job)
        return (
            f"Furniture: no stages can be found: {missing}"
            if missing
            else f"Furniture: no stages found yet, {command} finds them",
        )
    if plan is None:
        return ()
    if plan.basis != basis_of(job):
        return (
            f"Furniture: the house was changed since its stages were found, `crewjobs moves {job.number} --from-here` finds them anew",
        )
    work = sum(stage.kind is StageKind.WORK for stage in plan.stages)
    minutes = sum(stage.minutes for stage in plan.stages if stage.kind is not StageKind.CARRY_IN)
    return (f"Furniture: {counted(work, 'stage')}, {format_hours(minutes)} of carrying in all, {command} shows them",)
