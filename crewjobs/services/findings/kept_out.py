"""What is told whoever does what goes on in some of its places while nobody goes into others for what was found there."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, Task
from crewjobs.domain.wording import listed
from crewjobs.engines.readiness.found import before_its_work, its_work_agreed
from crewjobs.engines.readiness.shut import nobody_in
from crewjobs.services.findings.found_holds import places_by_task, where_nobody_goes

NOBODY_GOES_IN: Final = "nobody goes in there until what was found is settled"


def kept_out_words(record: JobRecord, catalogue: Catalogue, task: Task, now: datetime) -> Iterator[str]:
    """Yield in which of its places nobody does a task that goes on in the others.

    Where the crew is to work on what was found, as the customer agreed, what that comes after is done there all the same.
    """
    shut = nobody_in(record, now)
    if not shut or task.key.template not in where_nobody_goes(catalogue)[1]:
        return
    places = places_by_task(record, catalogue)[task.key]
    first = {
        one.place
        for one in record.findings
        if its_work_agreed(record, one) and task.number in before_its_work(record, one)
    }
    if (out := sorted(shut & places - first)) and places - {*out}:
        yield f"not in {listed(out, most=len(out))}: {NOBODY_GOES_IN}"
