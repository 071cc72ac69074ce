"""Spreadsheets: jobs, hours and material out; a list of jobs in."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.services.clock import read_day

if TYPE_CHECKING:
    from crewjobs.services.rows import Done
    from crewjobs.services.spreadsheets.export_rows import ExportTable
    from crewjobs.services.spreadsheets.import_rows import ImportView

from crewjobs.services.office.base import OfficeBase


class Spreadsheets(OfficeBase):
    """Tables for other programs, and from them."""

    def export(self, what: str, *, since: str = "", until: str = "") -> ExportTable:
        """Return jobs, hours or material as a table; `since` and `until` are days as typed, empty for no bound.

        Raises:
            Refused: another word, no days, or the last before the first.
        """
        from crewjobs.services.spreadsheets.export_hours import hours_table
        from crewjobs.services.spreadsheets.export_jobs import jobs_table
        from crewjobs.services.spreadsheets.export_material import material_table
        from crewjobs.services.spreadsheets.export_rows import WHAT, Days

        if what not in WHAT:
            raise Refused(f"{quoted(what)} cannot be exported: it is {', '.join(WHAT[:-1])} or {WHAT[-1]}.")
        today = self.now().date()
        days = Days(
            since=read_day(since, today) if since else None,
            until=read_day(until, today) if until else None,
        )
        if days.since and days.until and days.until < days.since:
            raise Refused(f"from {days.since} to {days.until}: the last day is before the first.")
        with self._database.reading() as uow:
            if what == "jobs":
                return jobs_table(uow, self._clock.now(), days)
            if what == "hours":
                return hours_table(uow, days)
            return material_table(uow, self._clock.now(), days)

    def export_file(self, what: str, file: Path, *, since: str = "", until: str = "", bom: bool = False) -> int:
        """Write jobs, hours or material as CSV to a file that is not there yet; return the count of its rows."""
        from crewjobs.files.csv_text import write_csv
        from crewjobs.files.new_file import write_new

        table = self.export(what, since=since, until=until)
        write_new(file, write_csv(table.columns, table.rows, bom=bom), "export")
        return len(table.rows)

    def look_at_list(
        self, file: Path, *, columns: Sequence[str] = (), state: str = "asked", dates: str = "", encoding: str = ""
    ) -> ImportView:
        """Return what a list of jobs would become; nothing is kept.

        `columns` say which column is what (``Client=customer``), `state` is that of rows that give none, `dates` how days are written,
        `encoding` that of the file where it is not found.
        """
        from crewjobs.files.list_columns import known_words
        from crewjobs.files.list_file import read_list
        from crewjobs.services.spreadsheets.importing import HowRead, import_view

        found = read_list(file, known_words, encoding)
        with self._database.reading() as uow:
            how = HowRead(columns=tuple(columns), state=state, dates=dates)
            return import_view(uow, self._clock.now(), found, how)

    def import_list(
        self, file: Path, *, columns: Sequence[str] = (), state: str = "asked", dates: str = "", encoding: str = ""
    ) -> Done:
        """Make the jobs of a list, all of them or none, in one change."""
        from crewjobs.files.list_columns import known_words
        from crewjobs.files.list_file import read_list
        from crewjobs.services.spreadsheets.importing import HowRead, import_list

        self._may_write()
        found = read_list(file, known_words, encoding)
        with self._writing() as uow:
            how = HowRead(columns=tuple(columns), state=state, dates=dates)
            return import_list(uow, self._clock.now(), found, how)
