"""Waits that may be no longer than so long: by when a task must have started, given what was ticked before it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Link, Task
from crewjobs.domain.units import exact_wait
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words
from crewjobs.engines.readiness.hold import Hold, HoldKind


@dataclass(frozen=True, slots=True, kw_only=True)
class MustStart:
    """By when (UTC) a task must have started, because of what was done at `since` and the link that says at most."""

    by: datetime
    since: datetime
    link: Link
    before: Task

    @property
    def what(self) -> str:
        """Return what was done before, with its place."""
        return f"'{self.before.title}' ({self.before.where})"

    def sentence(self, zone: str) -> str:
        """Return what was done when, what must be checked, and who decides, once the time has run out."""
        done, most = moment_words(to_wall(zone, self.since)), exact_wait(self.link.most_min or 0)
        return (
            f"{self.what} was done {done}, more than {most} before: "
            "its label must be checked for how long it may wait, and the lead decides whether it is done again"
        )


def must_start(record: JobRecord, task: Task, at: datetime, *, ahead: bool = False) -> MustStart | None:
    """Return by when an open task that has not begun must start, by what was ticked until an instant; None if never.

    Of several the one that runs out first; with `ahead` the first that has not run out, if there is one.
    """
    if not task.open or (task.started_at is not None and task.started_at <= at):
        return None
    tasks = {other.number: other for other in record.tasks}
    found = []
    for link in record.links:
        before = tasks[link.before]
        if link.after != task.number or link.most_min is None or before.not_needed or before.done_at is None:
            continue
        if before.done_at <= at:
            by = before.done_at + timedelta(minutes=link.most_min)
            found.append(MustStart(by=by, since=before.done_at, link=link, before=before))
    return min(found, key=lambda one: (ahead and one.by < at, one.by, one.link.before), default=None)


def at_most_holds(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    """Yield the hold of a task whose at most has run out by an instant."""
    found = must_start(record, task, at)
    if found is not None and found.by < at:
        yield Hold(kind=HoldKind.TOO_LATE, what=found.sentence(record.job.site.zone))
