"""What is not settled at a job's address in another customer's job, on the waiting list of that job."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from crewjobs.domain.job import JobRecord
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.services.findings.at_the_address import AT_ITS_ADDRESS, look_words
from crewjobs.services.findings.house_told import open_in
from crewjobs.services.rows import WaitRow


def beside_rows(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> Iterator[WaitRow]:
    """Yield a row where something is not settled in `others`, jobs of other customers at a job's address; it holds none of its work."""
    if not others or not any(task.open for task in record.tasks):
        return
    since = min(finding.at for other in others for finding in open_in(other, now))
    yield WaitRow(
        job=record.job.number,
        title=record.job.title,
        what=AT_ITS_ADDRESS,
        state=WaitState.TO_DECIDE,
        since=to_wall(record.job.site.zone, since),
        ready_at=None,
        minutes_left=None,
        done=None,
        verified=True,
        holds="",
        call=look_words(others),
    )
