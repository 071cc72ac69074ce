"""An office without records: it holds an invented shop in memory, and says no where a real one would."""

from __future__ import annotations

import threading
import tomllib
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import fields, replace
from datetime import date, datetime, timedelta
from pathlib import Path

from crewjobs.domain.errors import AlreadySo, ChangedMeanwhile, OnHold, Refused
from crewjobs.domain.evening import EveningEntry
from crewjobs.domain.units import UnitSystem
from crewjobs.services.answers.what_if_rows import WhatIfAsked, WhatIfView, WhenView
from crewjobs.services.answers.why_rows import WhyView
from crewjobs.services.calendars.calendar_rows import CalendarRow, CalendarsView
from crewjobs.services.forms import checking, making
from crewjobs.services.forms.checking import Checked
from crewjobs.services.forms.draft import Draft, draft_of
from crewjobs.services.forms.fields import JOB_PAGES, SHOP_PAGES
from crewjobs.services.history import UndoNext
from crewjobs.services.jobs.heights_rows import HeightsView
from crewjobs.services.laying.layout_rows import LayoutsView, TakeOffView
from crewjobs.services.moving.rooms_rows import RoomsView
from crewjobs.services.moving.rooms_view import rooms_view
from crewjobs.services.odds.odds_rows import OddsView, PromiseView
from crewjobs.services.pages.still_holds import PrintedView
from crewjobs.services.places import PlacesView, WayPick
from crewjobs.services.rates.rates_rows import LatelyView, RatesView
from crewjobs.services.resources import seed_folder
from crewjobs.services.rows import (
    ChangeRow,
    Done,
    EveningHouse,
    EveningLine,
    EveningSheet,
    JobPage,
    JobRow,
    MaterialRow,
    OfferRow,
    ProposalView,
    SiteDay,
    SiteHouse,
    SiteTask,
    TaskRow,
    VisitProposal,
    WaitRow,
    WeekView,
)
from tests.moved_house import moved_record
from tests.screens import fake_layouts, fake_rates, fake_rows, fake_week

_SHOP = seed_folder() / "shop.toml"
_OAK = seed_folder() / "05-nailed-oak-and-stairs.toml"


class FakeOffice:
    """Implements `crewjobs.screens.face.OfficeFace`; `calls` keeps what was asked of it, for tests to read."""

    def __init__(self, *, empty: bool = False, planned: bool = True) -> None:
        self.calls: list[tuple[object, ...]] = []
        self.empty = empty
        self.plan_number = 3 if planned else 0
        self.version = 7
        self.title = fake_rows.AMES
        self.stored: dict[str, str] = {}
        self.task_rows: tuple[TaskRow, ...] = fake_rows.tasks()
        self.material_rows: tuple[MaterialRow, ...] = fake_rows.materials()
        self.wait_rows: tuple[WaitRow, ...] = fake_rows.waits()
        self.job_rows: tuple[JobRow, ...] = fake_rows.jobs()
        self.pins: dict[tuple[int, int], tuple[str, date]] = {}
        self.log: list[tuple[str, tuple[TaskRow, ...]]] = []
        self.no_card: tuple[str, ...] = ()
        self.short = 0
        self.no_toilet = False
        self.did = "Birch lead"
        self.steps = 40
        self.gate = threading.Event()
        self.gate.set()
        self.says_no = ""
        self.no_hours = False
        self.no_odds = ""
        self.odds_asked: list[int | None] = []
        self.stops: list[Callable[[], bool] | None] = []
        self.odds_gate = threading.Event()
        self.odds_gate.set()
        self.follows: tuple[str, ...] = ()
        self.offer_rows: tuple[OfferRow, ...] = ()
        self.staged = {101}
        self.bare = {107}
        self.laid_out = {101}
        self.missing = ""

    # Reads

    def now(self) -> datetime:
        return fake_rows.NOW

    def shop_name(self) -> str:
        return "" if self.empty else "Linden Floor Crew"

    def whose(self, jobs: Sequence[int]) -> dict[str, str]:
        """The shop, and of each job a customer who is called as its title."""
        titles = {row.number: row.title for row in self.job_rows}
        return {"shop": self.shop_name(), **{str(job): titles[job] for job in jobs if job in titles}}

    def units(self) -> UnitSystem:
        return "us"

    def is_demo(self) -> bool:
        return False

    def crews(self) -> tuple[str, ...]:
        return () if self.empty else fake_rows.CREWS

    def waiting(self) -> tuple[WaitRow, ...]:
        return () if self.empty else self.wait_rows

    def week(self, monday: date | None = None) -> WeekView:
        monday = monday or fake_rows.MONDAY
        planned = self.plan_number > 0 and not self.empty
        days = fake_week.days(monday)
        if not planned:
            days = tuple(replace(day, visits=(), waits=(), off=()) for day in days)
        return WeekView(
            monday=monday,
            crews=self.crews(),
            days=days,
            left_out=fake_week.LEFT_OUT if planned else (),
            promises=fake_week.PROMISES if planned else (),
            plan_number=self.plan_number,
            made_at=fake_rows.at(1, 18, 5) if planned else None,
            stale="One task was ticked after this plan was made." if planned and self.log else "",
        )

    def take_way(self, name: str, job: int | None = None) -> Done:
        self.calls.append(("take_way", name, job))
        return Done(sentence="Plan 8 is proposed: 3 pieces of work move.", change=1, plan=8)

    def why(self, job: int | None = None, *, stop: Callable[[], bool] | None = None) -> WhyView:
        self.calls.append(("why", job))
        return fake_week.why(job)

    def what_if(self, asked: WhatIfAsked) -> WhatIfView:
        self.calls.append(("what if", asked))
        if any(who == "Willow" for who, _ in asked.off):
            raise Refused("there is no crew 'Willow': the crews are Birch, Cedar.")
        return fake_week.what_if()

    def when(
        self,
        words: str,
        *,
        drive_min: int = 20,
        furnished: bool = True,
        removes: Sequence[str] = (),
        ready: str = "",
        crew: str = "",
    ) -> WhenView:
        self.calls.append(("when", words, drive_min, furnished, tuple(removes), ready, crew))
        return fake_week.when()

    def rates(self, crew: str = "") -> RatesView:
        return fake_rates.no_rates() if self.no_hours else fake_rates.rates()

    def lately(self) -> LatelyView:
        return LatelyView(jobs=(), more=False, note="No job has hours yet.") if self.no_hours else fake_rates.lately()

    def pin_rate(self, crew: str, template: str, rate: str) -> Done:
        self.calls.append(("pin_rate", crew, template, rate))
        if not rate.strip("x ").replace(".", "").isdecimal():
            raise Refused(f"{rate!r} is no rate: write such as 320 ft² or 1.2x, times the book's time.")
        return self._write(f"{crew}: {template} is pinned.", ("Plan again to use it.",))

    def unpin_rate(self, crew: str, template: str) -> Done:
        self.calls.append(("unpin_rate", crew, template))
        return self._write(f"{crew}: {template} is no longer pinned.", ("Plan again to use it.",))

    def odds(self, job: int | None = None, *, stop: Callable[[], bool] | None = None) -> OddsView:
        self.odds_asked.append(job)
        self.stops.append(stop)
        self.odds_gate.wait(10)
        if stop is not None and stop():
            raise Refused("the odds were not looked at to the end.")
        if self.no_odds:
            raise Refused(self.no_odds)
        return fake_rates.odds(job)

    def promise(self, job: int, odds_percent: float, *, stop: Callable[[], bool] | None = None) -> PromiseView:
        if not 50 <= odds_percent <= 99:
            raise Refused(f"odds of {odds_percent:g} %: a promise is asked for with 50 to 99.")
        row = next(row for row in self.job_rows if row.number == job)
        return fake_rates.promise(job, odds_percent, booked=row.state not in ("asked", "quoted"))

    def last_change(self) -> int:
        return len(self.log) + self.version

    def jobs(self, everything: bool = False) -> tuple[JobRow, ...]:
        if self.empty:
            return ()
        return tuple(row for row in self.job_rows if everything or row.state != "closed")

    def job(self, number: int) -> JobPage:
        row = next((row for row in self.job_rows if row.number == number), None)
        if row is None:
            raise Refused(f"There is no job {number}.")
        rows = self.task_rows if number == 101 else ()
        if number == 101:
            row = replace(row, title=self.title, tasks_done=sum(one.state == "done" for one in rows))
        return JobPage(
            row=row,
            version=self.version,
            site_lines=("Key under the bench; dog stays in the yard.", "Wood subfloor above a crawlspace, built 1966."),
            rooms=("kitchen 12' 2\" × 11' 8\", 142 ft²", "hall 15' × 4', 60 ft²", "dining 14' × 12', 168 ft²"),
            materials=self.material_rows if number == 101 else (),
            cells=fake_rows.cells(rows),
            tasks=rows,
            hours=sum(one.hours for one in rows),
            spread=3.1,
            area_ft2=370.0,
            cautions=(
                "Built 1966: paint and old sheet floor may hold lead or asbestos; test first, the laboratory decides.",
            )
            if number == 101
            else (),
            small_visits=("Reading, Tue 3 Mar 09:00, 60 min, Nadia Reyes",) if number == 101 else (),
            money=("Deposit in, $1,250.00, Fri 27 Feb",) if number == 101 else (),
            changes=self.changes(),
            terms={
                "title": row.title,
                "state": row.state,
                "promised": row.promised.isoformat() if row.promised else "",
                "wished": "",
                "weight": "2",
                "blocked": "2026-03-09",
            },
        )

    def changes(self, limit: int = 200) -> tuple[ChangeRow, ...]:
        return tuple(
            ChangeRow(number=place + 1, at=fake_rows.NOW, who="Birch lead", what=what, undone=False)
            for place, (what, _) in reversed(list(enumerate(self.log)))
        )

    def rooms(self, job: int) -> RoomsView:
        row = self.job(job).row
        record = moved_record()
        rooms = tuple(replace(r, furniture=()) if job in self.bare else r for r in record.job.rooms)
        house = replace(record.job, number=job, title=row.title, rooms=rooms)
        record = replace(record, job=house, moves=record.moves if job in self.staged else ())
        return rooms_view(record, self.now())

    def moves(self, job: int, *, again: bool = False, stop: Callable[[], bool] | None = None) -> Done:
        self.calls.append(("moves", job, again))
        if self.says_no:
            raise Refused(self.says_no)
        while not self.gate.wait(0.01):
            if stop is not None and stop():
                break
        self.staged.add(job)
        stopped = stop is not None and stop()
        return self._write(f"Job {job}: 3 moves are found{', the best so far' if stopped else ''}.")

    def layouts(self, job: int) -> LayoutsView:
        return fake_layouts.layouts(job, self.job(job).row.title, laid=job in self.laid_out)

    def lay_out(
        self,
        job: int,
        *,
        again: bool = False,
        stop: Callable[[], bool] | None = None,
        watch: Callable[[str], None] | None = None,
    ) -> Done:
        self.calls.append(("lay_out", job, again))
        if self.says_no:
            raise Refused(self.says_no)
        if watch is not None:
            watch("harbor plank: 49 planks, 48 at least")
        while not self.gate.wait(0.01):
            if stop is not None and stop():
                break
        self.laid_out.add(job)
        return self._write(f"Job {job}: harbor plank, 48 planks. No layout of these rows takes fewer.")

    def row_lies(self, job: int, room: str, row: int, *, measured: str = "", to_wall: str = "") -> Done:
        self.calls.append(("row_lies", job, room, row, measured, to_wall))
        if row > 12:
            raise Refused("'living + hall' has 12 rows: there is no row 13.")
        self.gate.wait(10)
        return self._write(f"Job {job}: harbor plank in living + hall is planned anew after row {row}.")

    def furniture_of(self, job: int, room: str) -> str:
        self.calls.append(("furniture_of", job, room))
        return f"sofa of {room}"

    def furnish(self, job: int, room: str, words: str) -> Done:
        self.calls.append(("furnish", job, room, words))
        if "elephant" in words:
            raise Refused("'elephant' is no furniture known here: give its size, such as 'elephant 84 x 36 in'.")
        return self._write(f"Job {job}, {room}: {words}.")

    def heights(self, job: int) -> HeightsView:
        return HeightsView(job=job, title=self.title, rooms=("kitchen: 7/8 in",), rows=(), taken_as=())

    def take_off(self, job: int, *, stop: Callable[[], bool] | None = None) -> TakeOffView:
        empty: dict[str, object] = {field.name: () for field in fields(TakeOffView)}
        return TakeOffView(**(empty | {"job": job, "title": self.title}))  # type: ignore[arg-type]

    def printed_sheets(self, *, every: bool = False) -> PrintedView:
        return PrintedView(sheets=(), past=0)

    def backup(self, file: Path | None = None) -> Path:
        return file or Path("demo.db.backup")

    def site_day(self, crew: str, day: date | None = None) -> SiteDay:
        day = day or fake_rows.MONDAY
        if crew != "Birch" or day not in (fake_rows.MONDAY, fake_rows.MONDAY + timedelta(days=1)):
            return SiteDay(crew=crew, day=day, houses=())
        numbers = (4, 5) if day == fake_rows.MONDAY else (6, 7)
        times = {4: "07:00–09:00", 5: "09:00–10:00", 6: "07:00–12:00", 7: "12:30–15:30"}
        return SiteDay(
            crew=crew,
            day=day,
            houses=(
                SiteHouse(
                    job=101,
                    title=self.title,
                    address="12 Ames Lane, Marrow Bend",
                    arrive=datetime(day.year, day.month, day.day, 7, tzinfo=fake_rows.CENTRAL),
                    leave=datetime(day.year, day.month, day.day, 11, tzinfo=fake_rows.CENTRAL),
                    facts=("Key under the bench", "dog stays in the yard"),
                    tasks=tuple(self._site_task(one, times) for one in self.task_rows if one.number in numbers),
                ),
            ),
        )

    def _site_task(self, one: TaskRow, times: Mapping[int, str]) -> SiteTask:
        return SiteTask(
            job=101,
            number=one.number,
            title=one.title,
            where=one.where,
            phase=one.phase,
            quantity=one.quantity,
            state=one.state,
            time=times[one.number],
            until=times[one.number].partition("–")[2],
            hold=one.hold if one.state == "to do" else "",
            cautions=one.cautions,
            how_far=one.how_far,
        )

    # Changes

    def _write(self, what: str, then: tuple[str, ...] = ()) -> Done:
        self.log.append((what, self.task_rows))
        self.version += 1
        return Done(sentence=what, change=len(self.log), then=then)

    def tick(self, job: int, tasks: Sequence[int], *, at: str = "", because: str = "") -> Done:
        self.calls.append(("tick", job, tuple(tasks), at, because))
        found = [one for one in self.task_rows if one.number in tasks]
        if at == "noonish":
            raise Refused("'noonish' is no time: write 14:30, yesterday 16:00 or 2026-03-02 14:30.")
        for one in found:
            if one.state == "done":
                raise AlreadySo(f"Task {one.number}, {one.title.lower()} in {one.where}, is ticked already.")
            if one.hold and not because:
                raise OnHold(one.hold)
        done = self._write(f"Ticked {', '.join(f'{one.title.lower()}, {one.where}' for one in found)}.")
        self.task_rows = tuple(
            replace(one, state="done", done_at=fake_rows.NOW, hold="") if one in found else one
            for one in self.task_rows
        )
        return done

    def untick(self, job: int, task: int) -> Done:
        self.calls.append(("untick", job, task))
        done = self._write(f"Task {task} is not done after all.")
        self.task_rows = tuple(
            replace(one, state="to do", done_at=None) if one.number == task else one for one in self.task_rows
        )
        return done

    def start(self, job: int, task: int, *, crew: str = "", at: str = "") -> Done:
        self.calls.append(("start", job, task, crew, at))
        done = self._write(f"Started task {task}.")
        self.task_rows = tuple(
            replace(one, state="under way", started_at=fake_rows.NOW) if one.number == task else one
            for one in self.task_rows
        )
        return done

    def evening_sheet(self, crew: str, day: date | None = None) -> EveningSheet:
        found = self.site_day(crew, day)
        return EveningSheet(
            crew=crew,
            day=found.day,
            revision=self.plan_number,
            sub=False,
            houses=tuple(
                EveningHouse(
                    house=number,
                    job=house.job,
                    title=house.title,
                    address=house.address,
                    start=f"{house.arrive:%H:%M}",
                    stop=f"{house.leave:%H:%M}",
                    people=3,
                    pause=0,
                    told=(),
                    lines=tuple(
                        EveningLine(
                            task=one.number,
                            title=f"{one.where}: {one.title}",
                            size=one.quantity,
                            before=one.how_far,
                            state=one.state,
                            wait="",
                        )
                        for one in house.tasks
                    ),
                )
                for number, house in enumerate(found.houses, start=1)
            ),
        )

    def evening(self, crew: str, day: date, entry: EveningEntry) -> Done:
        self.calls.append(("evening", crew, day, entry))
        if any(house.stop == "6:00" for house in entry.houses):
            raise Refused("House 1: stopped at 06:00, before it started at 07:00.")
        return self._write(f"Evening of {crew}.")

    def how_far(self, job: int, task: int, text: str, *, crew: str = "", at: str = "", because: str = "") -> Done:
        self.calls.append(("how_far", job, task, text, at, because, *([crew] if crew else [])))
        if self.says_no:
            raise Refused(self.says_no)
        if text.startswith("20 of 19"):
            raise Refused(f"Task {task}: 20 of 19 rows cannot be: there are 19.")
        done = self._write(f"Task {task}: {text} is recorded.")
        self.task_rows = tuple(
            replace(one, state="under way", started_at=fake_rows.NOW, how_far=text) if one.number == task else one
            for one in self.task_rows
        )
        return done

    def tick_phase(
        self, job: int, phase: str, where: str, *, only: Collection[int] = (), at: str = "", because: str = ""
    ) -> Done:
        if only:
            return self.tick(job, tuple(only), at=at, because=because)
        self.calls.append(("tick_phase", job, phase, where, at, because))
        numbers = [one.number for one in self.task_rows if (one.phase, one.where, one.state) == (phase, where, "to do")]
        return self.tick(job, numbers, at=at, because=because)

    def improve(
        self,
        seconds: float | None = None,
        *,
        watch: Callable[[int, str], None] | None = None,
        stop: Callable[[], bool] | None = None,
        after: int | None = None,
        unseen: int | None = None,
    ) -> Done:
        self.calls.append(("improve", seconds) if after is None else ("improve", seconds, after))
        if watch is not None:
            watch(1, "more time left before promises that are tight")
        saves = ("Job 104 would end Tue 10 Mar instead of Thu 12 Mar.",)
        return Done(sentence="Plan 8 is proposed: 2 pieces of work move.", change=1, plan=8, then=saves)

    def proposal(self) -> ProposalView:
        return fake_week.PROPOSAL

    def accept(self) -> Done:
        self.calls.append(("accept",))
        return Done(sentence="Plan 9: 7 jobs planned.", change=2)

    def is_planned(self) -> bool:
        return True

    def plan(
        self, progress: Callable[[int, int, str], None] | None = None, stop: Callable[[], bool] | None = None
    ) -> Done:
        self.calls.append(("plan",))
        taken = self.steps
        for step in range(1, self.steps + 1):
            if progress is not None:
                progress(step, self.steps, f"placing block {step}")
            if step == 12:
                while not self.gate.wait(0.01):
                    if stop is not None and stop():
                        break
            if stop is not None and stop():
                taken = step
                break
        self.plan_number += 1
        return self._write(
            f"Plan {self.plan_number}: 14 visits for 3 crews, {taken} of {self.steps} rounds.",
            ("Tamm kitchen and bath is 4 days late.",),
        )

    def pin(self, job: int, tasks: Sequence[int], crew: str, day: date, *, visit: bool = False) -> Done:
        self.calls.append(("pin", job, tuple(tasks), crew, day, visit))
        self.pins[job, tasks[0]] = (crew, day)
        return self._write(f"Pinned task {tasks[0]} of job {job} to {crew} on {day.isoformat()}.")

    def unpin(self, job: int, tasks: Sequence[int]) -> Done:
        self.calls.append(("unpin", job, tuple(tasks)))
        for task in tasks:
            self.pins.pop((job, task), None)
        return self._write(f"Task {tasks[0]} of job {job} may move again.")

    def arrived(
        self,
        job: int,
        material: str,
        cartons: int,
        *,
        lot: str = "",
        at: str = "",
        in_rooms: bool = False,
        back_ordered: str = "",
        because: str = "",
    ) -> Done:
        self.calls.append(("arrived", job, material, cartons, lot, at, in_rooms, back_ordered, because))
        if cartons > 3:
            raise Refused(f"3 cartons of {material} are ordered; {cartons} cannot have come.")
        return self._write(f"{cartons} cartons of {material} have come.")

    def back_ordered(self, job: int, what: str, day: str, because: str = "") -> Done:
        self.calls.append(("back_ordered", job, what, day, because))
        return self._write(f"{what} back-ordered to {day}.")

    def check_lot(
        self,
        job: int,
        material: str,
        lot: str,
        cartons: int,
        *,
        damaged: int = 0,
        color_differs: bool = False,
        at: str = "",
    ) -> Done:
        self.calls.append(("check_lot", job, material, lot, cartons, damaged, color_differs, at))
        return self._write(f"Lot {lot} of {material} checked.")

    def lots(self, job: int, material: str, words: Sequence[str], *, because: str = "") -> Done:
        self.calls.append(("lots", job, material, tuple(words), because))
        return self._write(f"{material}: {' '.join(words)}.")

    def read_air(self, job: int, values: Sequence[str], **more: str) -> Done:
        self.calls.append(("read_air", job, tuple(values), more))
        return self._write(f"Job {job}: air is recorded.")

    def read_logger(self, job: int, path: Path, **more: str) -> Done:
        self.calls.append(("read_logger", job, path, more))
        return self._write(f"Job {job}: {path.name} is recorded.")

    def read_floor(self, job: int, kind: str, values: Sequence[str], **more: str) -> Done:
        self.calls.append(("read_floor", job, kind, tuple(values), more))
        return self._write(f"Job {job}: {kind} is recorded.")

    # What is recorded by a form: kept as it was called, empty particulars left away.

    def read_day(self, text: str) -> date:
        return date.fromisoformat(text)

    def read_person(self, name: str) -> str:
        if "??" in name:
            raise Refused(f"there is nobody called '{name}': Nadia Reyes.")
        return name

    def read_gone(self, text: str) -> str:
        if text == "banana":
            raise Refused("'banana' is not a moment.")
        return text

    def offers(self, crew: str, *, at: str = "", not_at: int | None = None) -> tuple[OfferRow, ...]:
        self.calls.append(("offers", crew, not_at))
        return self.offer_rows

    def no_offers(self, crew: str, *, at: str = "", not_at: int | None = None) -> str:
        return f"No ready work fits {crew} for the rest of today: at no booked house anything is ready."

    def propose_visit(self, job: int, kind: str, *, who: str = "", minutes: int = 60) -> VisitProposal:
        start = fake_rows.at(4, 9, 15)
        sentence = f"Nadia Reyes is free for a {kind} of job {job} from Wed 4 Mar 09:15."
        return VisitProposal(
            sentence=sentence, job=job, kind=kind, who="Nadia Reyes", start=start, minutes=minutes, command=""
        )

    def _recorded(name: str) -> Callable[..., Done]:  # type: ignore[misc]
        def call(self: FakeOffice, *given: object, **named: object) -> Done:
            told = {key: value for key, value in named.items() if value}
            self.calls.append((name, *given, told) if told else (name, *given))
            if self.says_no:
                raise Refused(self.says_no)
            return self._write(f"{name} is recorded.", self.follows)

        return call

    ready = _recorded("ready")

    def to_tell_off(self, number: int) -> tuple[str, ...] | None:
        """Nobody: the job is booked."""
        return None

    def places(self, job: int) -> PlacesView:
        """Two rooms; what was found in the kitchen is not decided."""
        ways = (
            WayPick(place="kitchen", kind="rot", way="replaced", words="kitchen, rot: replaced (by)"),
            WayPick(
                place="kitchen",
                kind="suspect asbestos",
                way="proven clear",
                words="kitchen, suspect asbestos: proven clear (Laboratory, Sampled, Sample)",
            ),
        )
        return PlacesView(rooms=("kitchen", "den"), stairs=("main stairs",), ways=ways)

    found = _recorded("found")
    way_on = _recorded("way_on")
    dry_run = _recorded("dry_run")
    ask = _recorded("ask")
    promised = _recorded("promised")
    chased = _recorded("chased")
    came = _recorded("came")
    told = _recorded("told")
    returned = _recorded("returned")
    away = _recorded("away")
    back = _recorded("back")
    hours = _recorded("hours")
    usual_hours = _recorded("usual_hours")
    plan_visit = _recorded("plan_visit")
    visit_done = _recorded("visit_done")
    visit_off = _recorded("visit_off")
    walk_before = _recorded("walk_before")
    walk_after = _recorded("walk_after")
    callback = _recorded("callback")
    money = _recorded("money")
    agreed = _recorded("agreed")

    def if_called_off(self, job: int) -> tuple[str, ...]:
        return (
            "Work has begun: 3 of 7 tasks done, 0 under way.",
            f"Odalys Brandt was promised job {job} for Thu 12 Mar.",
        )

    def edit(self, job: int, version: int, changes: Mapping[str, str]) -> Done:
        self.calls.append(("edit", job, version, dict(changes)))
        if version != self.version:
            raise ChangedMeanwhile(
                f"Job {job} was changed by somebody else since this form was opened; look at it again."
            )
        if changes.get("promised") == "someday":
            raise Refused("promised: 'someday' is no day.")
        self.title = changes.get("title", self.title)
        return self._write(f"Changed {', '.join(changes)} of job {job}.")

    def new_job(self) -> Draft:
        return making.new_job("America/Chicago")

    def job_draft(self, number: int) -> Draft:
        self.calls.append(("job_draft", number))
        draft = draft_of(JOB_PAGES, tomllib.loads(_OAK.read_text()), "America/Chicago")
        draft.number = number
        return draft

    def check_draft(self, draft: Draft) -> Checked:
        return checking.check_job(draft, fake_rows.NOW.date())

    def missing_cards(self, number: int) -> tuple[str, ...]:
        return self.no_card

    def people_short(self, number: int) -> int:
        return self.short

    def toilet_to_agree(self, number: int) -> bool:
        return self.no_toilet

    def keep_draft(self, draft: Draft) -> Done:
        if self.says_no:
            raise Refused(self.says_no)
        raw, said = draft.tables(fake_rows.NOW.date())
        assert not said
        self.calls.append(("keep_draft", raw))
        draft.number = draft.number or 101
        return Done(sentence=f"Job {draft.number} is made.", change=1)

    def shop_draft(self) -> Draft:
        return draft_of(SHOP_PAGES, tomllib.loads(_SHOP.read_text()), "America/Chicago")

    def check_shop(self, draft: Draft) -> Checked:
        return checking.check_shop(draft, fake_rows.NOW.date())

    def keep_shop(self, draft: Draft) -> Done:
        self.calls.append(("keep_shop", draft.tables(fake_rows.NOW.date())[0]))
        return Done(sentence="The shop is changed.", change=1)

    def undo_next(self) -> UndoNext | None:
        if not self.log:
            return None
        what, at = self.log[-1][0], fake_rows.NOW
        plan = what.startswith("plan ")
        return UndoNext(number=len(self.log), at=at, who=self.did, what=what, own=self.did == "Birch lead", plan=plan)

    def undo(self, number: int | None = None) -> Done:
        self.calls.append(("undo",))
        if not self.log:
            raise Refused("There is nothing to undo.")
        what, rows = self.log.pop()
        self.task_rows = rows
        return Done(sentence=f"Undone: {what}", change=99)

    def calendars(self, out: Path, *, crew: str = "", job: int | None = None) -> CalendarsView:
        self.calls.append(("calendars", crew, job))
        names = (f"Job {job}",) if job is not None else ((crew,) if crew else fake_rows.CREWS)
        rows = [
            CalendarRow(
                name=name, file=out / f"{name.lower().replace(' ', '-')}.ics", events=3, new=2, changed=0, cancelled=1
            )
            for name in names
        ]
        return CalendarsView(calendars=tuple(rows), change=7, written=True)

    def look_at_calendars(self, *, crew: str = "", job: int | None = None) -> CalendarsView:
        names = (*((name, False) for name in fake_rows.CREWS), ("Adela Whitcomb", True), ("job 1", False))
        rows = [
            CalendarRow(name=name, file=None, events=3, new=2, changed=0, cancelled=1, visits_only=visits)
            for name, visits in names
        ]
        return CalendarsView(calendars=tuple(rows), change=None, written=False)

    def job_pages(self, kind: str, job: int, folder: Path) -> tuple[Path, ...]:
        self.calls.append(("job_pages", kind, job))
        if kind == "house-ready":
            raise Refused(f"work has begun at job {job}: nothing is asked any more.")
        return tuple(folder / f"{kind}-job-{job}.{ending}" for ending in ("pdf", "txt", "html"))

    def job_not_printed(self, kind: str, job: int) -> str:
        return self.missing if kind == "notice" else ""

    def week_pages(self, day: date, folder: Path) -> tuple[Path, ...]:
        self.calls.append(("week_pages", day))
        return (folder / f"week-{day.isoformat()}.pdf",)

    def day_plans(self, day: date, folder: Path, *, crew: str = "", lead_copy: bool = False) -> tuple[Path, ...]:
        self.calls.append(("day_plans", day, crew, lead_copy))
        return tuple(
            folder / f"{day.isoformat()}-{name.lower()}.pdf" for name in ((crew,) if crew else fake_rows.CREWS)
        )
