"""What the screens ask of the office; `crewjobs.services.office.Office` is one, a test's stand-in another.

Every call blocks and is called in a thread. Every call may raise `crewjobs.domain.errors.Refused`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from crewjobs.domain.evening import EveningEntry
    from crewjobs.domain.units import UnitSystem
    from crewjobs.services.answers.what_if_rows import WhatIfAsked, WhatIfView, WhenView
    from crewjobs.services.answers.why_rows import WhyView
    from crewjobs.services.asked.house_ready import Answers
    from crewjobs.services.calendars.calendar_rows import CalendarsView
    from crewjobs.services.forms.checking import Checked
    from crewjobs.services.forms.draft import Draft
    from crewjobs.services.history import UndoNext
    from crewjobs.services.jobs.heights_rows import HeightsView
    from crewjobs.services.laying.layout_rows import LayoutsView, TakeOffView
    from crewjobs.services.moving.rooms_rows import RoomsView
    from crewjobs.services.odds.odds_rows import OddsView, PromiseView
    from crewjobs.services.pages.still_holds import PrintedView
    from crewjobs.services.places import PlacesView
    from crewjobs.services.rates.rates_rows import LatelyView, RatesView
    from crewjobs.services.rows import (
        ChangeRow,
        Done,
        EveningSheet,
        JobPage,
        JobRow,
        OfferRow,
        ProposalView,
        SiteDay,
        VisitProposal,
        WaitRow,
        WeekView,
    )
    from crewjobs.services.spreadsheets.import_rows import ImportView


class OfficeFace(Protocol):
    """The part of the services that screens call."""

    def now(self) -> datetime: ...

    def shop_name(self) -> str: ...

    def whose(self, jobs: Sequence[int]) -> dict[str, str]: ...

    def units(self) -> UnitSystem: ...

    def is_demo(self) -> bool: ...

    def crews(self) -> tuple[str, ...]: ...

    def waiting(self) -> tuple[WaitRow, ...]: ...

    def week(self, monday: date | None = None) -> WeekView: ...

    def why(self, job: int | None = None, *, stop: Callable[[], bool] | None = None) -> WhyView: ...

    def take_way(self, name: str, job: int | None = None) -> Done: ...

    def what_if(self, asked: WhatIfAsked) -> WhatIfView: ...

    def when(
        self,
        words: str,
        *,
        drive_min: int = 20,
        furnished: bool = True,
        removes: Sequence[str] = (),
        ready: str = "",
        crew: str = "",
    ) -> WhenView: ...

    def jobs(self, everything: bool = False) -> tuple[JobRow, ...]: ...

    def job(self, number: int) -> JobPage: ...

    def site_day(self, crew: str, day: date | None = None) -> SiteDay: ...

    def to_tell_off(self, number: int) -> tuple[str, ...] | None: ...

    def places(self, job: int) -> PlacesView: ...

    def rooms(self, job: int) -> RoomsView: ...

    def moves(self, job: int, *, again: bool = False, stop: Callable[[], bool] | None = None) -> Done: ...

    def layouts(self, job: int) -> LayoutsView: ...

    def lay_out(
        self,
        job: int,
        *,
        again: bool = False,
        stop: Callable[[], bool] | None = None,
        watch: Callable[[str], None] | None = None,
    ) -> Done: ...

    def row_lies(self, job: int, room: str, row: int, *, measured: str = "", to_wall: str = "") -> Done: ...

    def furnish(self, job: int, room: str, words: str) -> Done: ...

    def furniture_of(self, job: int, room: str) -> str: ...

    def rates(self, crew: str = "") -> RatesView: ...

    def lately(self) -> LatelyView: ...

    def pin_rate(self, crew: str, template: str, rate: str) -> Done: ...

    def unpin_rate(self, crew: str, template: str) -> Done: ...

    def odds(self, job: int | None = None, *, stop: Callable[[], bool] | None = None) -> OddsView: ...

    def promise(self, job: int, odds_percent: float, *, stop: Callable[[], bool] | None = None) -> PromiseView: ...

    def last_change(self) -> int: ...

    def tick(self, job: int, tasks: Sequence[int], *, at: str = "", because: str = "") -> Done: ...

    def untick(self, job: int, task: int) -> Done: ...

    def start(self, job: int, task: int, *, crew: str = "", at: str = "") -> Done: ...

    def evening_sheet(self, crew: str, day: date | None = None) -> EveningSheet: ...

    def evening(self, crew: str, day: date, entry: EveningEntry) -> Done: ...

    def how_far(self, job: int, task: int, text: str, *, crew: str = "", at: str = "", because: str = "") -> Done: ...

    def tick_phase(
        self, job: int, phase: str, where: str, *, only: Collection[int] = (), at: str = "", because: str = ""
    ) -> Done: ...

    def is_planned(self) -> bool: ...

    def plan(
        self, progress: Callable[[int, int, str], None] | None = None, stop: Callable[[], bool] | None = None
    ) -> Done: ...

    def improve(
        self,
        seconds: float | None = None,
        *,
        watch: Callable[[int, str], None] | None = None,
        stop: Callable[[], bool] | None = None,
        after: int | None = None,
        unseen: int | None = None,
    ) -> Done: ...

    def proposal(self) -> ProposalView: ...

    def accept(self) -> Done: ...

    def pin(self, job: int, tasks: Sequence[int], crew: str, day: date, *, visit: bool = False) -> Done: ...

    def unpin(self, job: int, tasks: Sequence[int]) -> Done: ...

    def arrived(
        self,
        job: int,
        material: str,
        cartons: float,
        *,
        lot: str = "",
        at: str = "",
        in_rooms: bool = False,
        back_ordered: str = "",
        because: str = "",
    ) -> Done: ...

    def read_air(
        self, job: int, values: Sequence[str], *, room: str = "", at: str = "", by: str = "", meter: str = ""
    ) -> Done: ...

    def read_logger(
        self, job: int, path: Path, *, room: str = "", zone: str = "", unit: str = "", by: str = ""
    ) -> Done: ...

    def found(
        self,
        job: int,
        place: str,
        what: str,
        *,
        area: str = "",
        year: int | None = None,
        words: str = "",
        by: str = "",
        photos: Sequence[str] = (),
        at: str = "",
    ) -> Done: ...

    def way_on(
        self,
        job: int,
        place: str,
        what: str,
        way: str,
        *,
        by: str = "",
        because: str = "",
        laboratory: str = "",
        sampled: str = "",
        sample: str = "",
        at: str = "",
    ) -> Done: ...

    def read_floor(
        self,
        job: int,
        kind: str,
        values: Sequence[str],
        *,
        room: str = "",
        material: str = "",
        hours: str = "",
        at: str = "",
        by: str = "",
        meter: str = "",
    ) -> Done: ...

    def back_ordered(self, job: int, what: str, day: str, because: str = "") -> Done: ...

    def check_lot(
        self,
        job: int,
        material: str,
        lot: str,
        cartons: float,
        *,
        damaged: float = 0,
        color_differs: bool = False,
        at: str = "",
    ) -> Done: ...

    def lots(self, job: int, material: str, words: Sequence[str], *, because: str = "") -> Done: ...

    def read_day(self, text: str) -> date: ...
    def read_person(self, name: str) -> str: ...
    def read_gone(self, text: str) -> str: ...

    def ready(self, job: int, *, asked: str = "", answers: Answers | None = None, at: str = "") -> Done: ...

    def dry_run(self, job: int, crew: str, because: str, *, item: str = "", until: str = "", at: str = "") -> Done: ...

    def offers(self, crew: str, *, at: str = "", not_at: int | None = None) -> tuple[OfferRow, ...]: ...
    def no_offers(self, crew: str, *, at: str = "", not_at: int | None = None) -> str: ...

    def ask(
        self,
        job: int,
        who: str,
        what: str,
        *,
        promised: str = "",
        holds: Sequence[int] = (),
        template: str = "",
        at: str = "",
    ) -> Done: ...

    def promised(self, job: int, who: str, until: str, *, what: str = "") -> Done: ...

    def chased(self, job: int, who: str, *, what: str = "", at: str = "") -> Done: ...

    def came(self, job: int, who: str, *, what: str = "", at: str = "") -> Done: ...

    def told(self, job: int, day: str = "", *, off: bool | None = None) -> Done: ...

    def returned(self, job: int, what: str, count: float, *, at: str = "") -> Done: ...

    def away(self, worker: str, day: date, *, to: str = "", because: str = "", again: bool = False) -> Done: ...

    def back(self, worker: str, day: date) -> Done: ...

    def hours(self, crew: str, day: date, hours: str, *, because: str = "") -> Done: ...

    def usual_hours(self, crew: str, day: date, *, because: str = "") -> Done: ...

    def propose_visit(self, job: int, kind: str, *, who: str = "", minutes: int = 60) -> VisitProposal: ...

    def plan_visit(
        self,
        job: int,
        kind: str,
        *,
        at: str,
        who: str = "",
        minutes: int = 60,
        because: str = "",
        leaves_crew: bool = False,
    ) -> Done: ...

    def visit_done(self, job: int, kind: str, *, who: str = "", at: str = "", minutes: int = 60) -> Done: ...

    def visit_off(self, job: int, kind: str, *, who: str = "", at: str = "") -> Done: ...

    def walk_before(
        self,
        job: int,
        name: str,
        *,
        color: str = "",
        direction: str = "",
        lot: str = "",
        damage: Sequence[tuple[str, str]] = (),
        at: str = "",
        because: str = "",
    ) -> Done: ...

    def walk_after(
        self,
        job: int,
        name: str,
        *,
        punch: Sequence[str] = (),
        carton_left: bool = False,
        care_sheet: bool = False,
        at: str = "",
        because: str = "",
    ) -> Done: ...

    def callback(
        self,
        job: int,
        what: str,
        *,
        where: str = "",
        hours: str = "",
        people: int = 1,
        wished: str = "",
        promised: str = "",
    ) -> Done: ...

    def money(self, job: int, fact: str, amount: str = "", *, on: str = "", again: bool = False) -> Done: ...

    def agreed(
        self, job: int, what: str, amount: str = "", *, on: str = "", by: str = "", only_asked: bool = False
    ) -> Done: ...

    def declined(self, job: int, what: str, *, on: str = "", by: str = "") -> Done: ...

    def if_called_off(self, job: int) -> tuple[str, ...]: ...

    def edit(self, job: int, version: int, changes: Mapping[str, str]) -> Done: ...

    def new_job(self) -> Draft: ...

    def job_draft(self, number: int) -> Draft: ...

    def check_draft(self, draft: Draft) -> Checked: ...

    def missing_cards(self, number: int) -> tuple[str, ...]: ...

    def people_short(self, number: int) -> int: ...

    def toilet_to_agree(self, number: int) -> bool: ...

    def keep_draft(self, draft: Draft) -> Done: ...

    def shop_draft(self) -> Draft: ...

    def check_shop(self, draft: Draft) -> Checked: ...

    def keep_shop(self, draft: Draft) -> Done: ...

    def undo_next(self) -> UndoNext | None: ...

    def undo(self, number: int | None = None) -> Done: ...

    def changes(self, limit: int = 200) -> tuple[ChangeRow, ...]: ...

    def printed_sheets(self, *, every: bool = False) -> PrintedView: ...

    def backup(self, file: Path | None = None) -> Path: ...

    def heights(self, job: int) -> HeightsView: ...

    def take_off(self, job: int, *, stop: Callable[[], bool] | None = None) -> TakeOffView: ...

    def calendars(self, out: Path, *, crew: str = "", job: int | None = None) -> CalendarsView: ...

    def look_at_calendars(self, *, crew: str = "", job: int | None = None) -> CalendarsView: ...

    def day_plans(self, day: date, folder: Path, *, crew: str = "", lead_copy: bool = False) -> tuple[Path, ...]: ...

    def job_pages(self, kind: str, job: int, folder: Path) -> tuple[Path, ...]: ...

    def job_not_printed(self, kind: str, job: int) -> str: ...

    def week_pages(self, day: date, folder: Path) -> tuple[Path, ...]: ...

    def export_file(self, what: str, file: Path, *, since: str = "", until: str = "") -> int: ...

    def look_at_list(
        self, file: Path, *, columns: Sequence[str] = (), state: str = "asked", dates: str = ""
    ) -> ImportView: ...

    def import_list(
        self, file: Path, *, columns: Sequence[str] = (), state: str = "asked", dates: str = ""
    ) -> Done: ...
