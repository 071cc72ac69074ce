"""Start tables that several calendars share a store of."""

from __future__ import annotations

from crewjobs.domain.tasks import Pause
from crewjobs.engines.planning.calendars import calendar_of
from crewjobs.engines.planning.starts import StartTables
from tests.engines.planning.networks import MONDAY


def test_no_calendar_gets_the_table_of_one_that_is_gone() -> None:
    """Calendars made for one question and dropped, one after the other: each is answered by its own hours."""
    tables = StartTables()
    for first in range(50):
        found = tables.of(calendar_of([(MONDAY, ((first, first + 8),))], 96), 4, Pause.NIGHT, 1).first(0, 96)
        assert found == (first, first + 4)
