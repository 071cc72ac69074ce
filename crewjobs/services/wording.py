"""Words shared by rows, commands and sentences: moments, task names, lists."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import to_wall


def day_words(day: date) -> str:
    """Return a date as ``Tue 3 Mar``."""
    return f"{day:%a} {day.day} {day:%b}"


def moment_words(moment: datetime) -> str:
    """Return a wall time as ``Tue 3 Mar 14:00``."""
    return f"{day_words(moment.date())} {moment:%H:%M}"


def at_site(zone: str, instant: datetime) -> str:
    """Return an instant in the words of the site's own time."""
    return moment_words(to_wall(zone, instant))


def task_words(task: Task) -> str:
    """Return a task as people name it: ``task 14 'Lay rows' (living)``."""
    return f"task {task.number} '{task.title}' ({task.where})"


def listed(words: Sequence[str], most: int = 4) -> str:
    """Return ``a, b and c``; more than `most` are counted."""
    shown = list(words) if len(words) <= most else [*words[: most - 1], f"{len(words) - most + 1} more"]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}" if shown else ""


def upper(words: str) -> str:
    """Return the words with their first letter as a capital."""
    return words[:1].upper() + words[1:]


def hours_words(span: timedelta) -> str:
    """Return a span as ``2 h``, ``5 h 24 min`` or ``45 min``."""
    hours, minutes = divmod(round(span.total_seconds() / 60), 60)
    return " ".join([f"{hours} h"] * bool(hours) + [f"{minutes} min"] * bool(minutes or not hours))
