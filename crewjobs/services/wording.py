"""Words of rows and sentences that need a site or a task."""

from __future__ import annotations

from datetime import datetime, timedelta

from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Task
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words

LONGEST_LINE = 200
"""Characters of a title, a lot's name, a reason."""


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


def read_line(text: str, what: str) -> str:
    """Return a line a person typed, without the blanks around it.

    Raises:
        Refused: it is longer than 200 characters or holds a control character.
    """
    line = text.strip()
    if len(line) > LONGEST_LINE or not line.isprintable():
        raise Refused(f"{what} {quoted(line)}: at most {LONGEST_LINE} characters on one line, no control characters.")
    return line
