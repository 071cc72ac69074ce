"""What makes a sheet another one: what it says, and not on which day it says it."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from datetime import date, timedelta

import pytest

from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.services.pages.revisions import digest_of
from crewjobs.services.pages.still_holds import NOT_COMPARED
from crewjobs.storage.database import open_database

NEXT_MORNING = DEMO_NOW + timedelta(days=1, minutes=90)


@pytest.fixture
def own(demo_file) -> Office:
    return Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester")


def test_a_notice_holds_the_next_morning_where_only_its_date_is_another(own, tmp_path):
    """As planned today, said on another day, is no other revision; it is printed again as the same one."""
    own.write_page(own.notice(3), tmp_path)
    later = Office(own._database, FixedClock(NEXT_MORNING), who="tester")
    rows = {row.name: row for row in later.printed_sheets().sheets}
    assert rows["Notice for job 3"].holds is True
    later.write_page(later.notice(3), tmp_path)
    assert later.notice(3).sheet.revision == 1


def test_what_was_to_be_cleared_by_a_day_that_is_over_is_told_otherwise(own):
    """At once is another thing to say than by the evening of a day."""
    notice = own.notice(3)
    by = min(filter(None, (notice.ready_by, *(one.by for one in notice.clear))))
    assert digest_of(notice) == digest_of(replace(notice, as_planned=by))
    assert digest_of(notice) != digest_of(replace(notice, as_planned=by + timedelta(days=1)))
    asked = replace(notice, clear=(), ready_by=date(2026, 3, 5))
    assert digest_of(asked) == digest_of(replace(asked, as_planned=date(2026, 3, 5)))
    assert digest_of(asked) != digest_of(replace(asked, as_planned=date(2026, 3, 6)))


def test_a_sheet_kept_by_an_older_state_is_not_called_another(own, demo_file, tmp_path):
    """Its digest was made otherwise: nobody knows, so it is said so; printed anew it is compared again."""
    own.write_page(own.notice(3), tmp_path)
    with sqlite3.connect(demo_file) as connection:
        connection.execute("UPDATE printed_sheet SET digest = ? WHERE about = '3'", ["ab" * 32])
    row = next(row for row in own.printed_sheets().sheets if row.name == "Notice for job 3")
    assert (row.holds, row.words) == (None, NOT_COMPARED)
    own.write_page(own.notice(3), tmp_path)
    row = next(row for row in own.printed_sheets().sheets if row.name == "Notice for job 3")
    assert (row.holds, row.revision) == (True, 2)
