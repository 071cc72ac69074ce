"""What is shown of calendars that were written."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarRow:
    """One calendar: where its file is (None: it has nothing to say, or was only looked at), how many events it holds, and what is other than before.

    `cancelled` ones are in the file and not among its `events`. `visits_only`: a person's, of small
    visits. `replaced`: a file of that name stood there.
    """

    name: str
    file: Path | None
    events: int
    new: int
    changed: int
    cancelled: int
    visits_only: bool = False
    replaced: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarsView:
    """The calendars that were written; `change` is the entry of the log, None where they say what they said before.

    Not `written`, they were only looked at: no file was made and nothing is kept.
    """

    calendars: tuple[CalendarRow, ...]
    change: int | None
    written: bool
