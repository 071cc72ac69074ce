"""Words of rows and sentences that need a site or a task."""

from __future__ import annotations

from datetime import datetime, timedelta

from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words


def at_site(zone: str, instant: datetime) -> str:
    """Return an instant in the words of the site's own time."""
    return moment_words(to_wall(zone, instant))


def task_words(task: Task) -> str:
    """Return a task as people name it: ``task 14 'Lay rows' (living)``."""
    return f"task {task.number} '{task.title}' ({task.where})"


def hours_words(span: timedelta) -> str:
    """Return a span as ``2 h``, ``5 h 24 min`` or ``45 min``."""
    hours, minutes = divmod(round(span.total_seconds() / 60), 60)
    return " ".join([f"{hours} h"] * bool(hours) + [f"{minutes} min"] * bool(minutes or not hours))
