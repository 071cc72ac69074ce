"""A job that came from a list: who and where are known, no room and no material is, so nothing of it can be planned."""

from __future__ import annotations

from collections.abc import Iterator

from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.plan import NO_ROOMS
from crewjobs.domain.waits import WaitState
from crewjobs.services.rows import WaitRow


def what_to_do(job: Job) -> str:
    """Return how its rooms come in."""
    file = f"job-{job.number}.toml"
    return (
        f"measure it: in the screens, Jobs, e and Whole job ask for its rooms and material; "
        f"or `crewjobs dump {job.number} --out {file}` writes the file to add them to, `crewjobs load {file} --replace` brings it back"
    )


def unmeasured_rows(record: JobRecord) -> Iterator[WaitRow]:
    """Yield the row of a booked job without rooms, if it is one."""
    job = record.job
    if job.unmeasured:
        yield WaitRow(
            job=job.number,
            title=job.title,
            what=f"{NO_ROOMS}: it has no place in the plan",
            state=WaitState.NOT_PLANNED,
            since=None,
            ready_at=None,
            minutes_left=None,
            done=None,
            verified=True,
            holds="the whole job",
            call=what_to_do(job),
        )
