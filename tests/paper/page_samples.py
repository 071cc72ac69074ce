"""Pages of the invented shop beside the day plan, as their tests and eyes need them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Any

from crewjobs.paper.document import Document
from crewjobs.paper.house_ready import ReadyQuestion, ReadyQuestions, questions_document
from crewjobs.paper.job_record import JobRecordPage, RecordMaterial, RecordRoom, RecordWork, record_document
from crewjobs.paper.model import PaperSize, Sheet
from crewjobs.paper.notice import CustomerNotice, FixtureOut, NoticeDay, OutOfUse, ToClear, notice_document
from crewjobs.paper.shopping_list import OnItsWay, ShoppingList, SupplyNeed, ToBuy, shopping_document
from crewjobs.paper.week_sheet import (
    BesideCell,
    CrewCell,
    NotPlanned,
    WeekColumn,
    WeekPromise,
    WeekSheet,
    WeekVisit,
    WeekWait,
    week_document,
)

MONDAY = date(2026, 3, 2)
SHOP, PHONE = "Linden Floor Crew", "555-0100"
Page = WeekSheet | CustomerNotice | ReadyQuestions | JobRecordPage | ShoppingList
DOCUMENTS: dict[type, Callable[..., Document]] = {
    WeekSheet: week_document,
    CustomerNotice: notice_document,
    ReadyQuestions: questions_document,
    JobRecordPage: record_document,
    ShoppingList: shopping_document,
}


def document(page: Page) -> Document:
    """A page in finished words."""
    return DOCUMENTS[type(page)](page)


def sheet(name: str) -> Sheet:
    """A sheet printed on Monday before work."""
    return Sheet(name=name, revision=2, plan=3, printed_at=datetime(2026, 3, 2, 6, 30))


def week(paper: PaperSize = "letter", *, visits: int = 1, crews: int = 3) -> WeekSheet:
    """A week of some crews, each with so many visits a day, a wait that goes on and one that ends."""
    days = tuple(MONDAY + timedelta(days=number) for number in range(5))
    columns = []
    for number in range(crews):
        cells = []
        for place, _ in enumerate(days):
            going = WeekWait(job=4, what=f"glue {number} sets (bath)", until="until Wed 4 Mar 13:00", first=place == 0)
            ends = WeekWait(job=5, what=f"leveler {number} cures", until="", ends=time(15, 30))
            cells.append(
                CrewCell(
                    off=place == 4,
                    notes=("half a day",) if place == 3 else (),
                    visits=tuple(_visit(number, place, one) for one in range(visits)) if place < 4 else (),
                    waits=(going,) if place < 2 else (ends,) if place == 2 else (),
                )
            )
        columns.append(
            WeekColumn(crew=f"Crew {number}", people=((f"Ada Brook{number}", "AB"), ("", "P2")), days=tuple(cells))
        )
    return WeekSheet(
        shop_name=SHOP,
        shop_phone=PHONE,
        sheet=sheet("Week of Mon 2 Mar"),
        paper=paper,
        monday=MONDAY,
        days=days,
        columns=tuple(columns),
        beside=tuple(
            BesideCell(
                comes=("10:00 job 6 field laminate, 18 cartons",) if place == 4 else (),
                small=("09:00–10:00 Adela Whitcomb: measuring, job 8 Basement room",) if place == 1 else (),
                away=("Noor Haddadin out (jury duty)",) if place == 2 else (),
                waits=(WeekWait(job=9, what="association: approval", until="until Wed 11 Mar", first=place == 0),),
            )
            for place, _ in enumerate(days)
        ),
        not_planned=(NotPlanned(job=7, name="Study", why="barrel oak is late: a new delivery date is needed"),),
        promises=(
            WeekPromise(
                job=1, name="Hall", promised=days[4], planned="planned end Thu 5 Mar", word="holds", holds=True
            ),
            WeekPromise(job=12, name="Music room", promised=days[4], planned="not planned", word="BROKEN", holds=False),
        ),
        warnings=("Job 2 Bath: the only toilet listed is out over a night.",),
        notes=("2 changes since this plan was made.",),
    )


def _visit(crew: int, place: int, number: int) -> WeekVisit:
    return WeekVisit(
        job=10 * crew + number,
        name=f"Den{crew}{place}{number}",
        address=f"{place} Quarry Road",
        start=time(7 + number % 12, 15),
        end=time(8 + number % 12, 0),
        work="demolition and subfloor prep (den)",
        people=("AB", "P2") if place else (),
        marks=("pinned",) if place == 1 else (),
        owed=("The house is not ready: paint is wet.",) if place == 2 else (),
    )


def notice(paper: PaperSize = "letter") -> CustomerNotice:
    """A notice to a household of two rooms and one toilet."""
    return CustomerNotice(
        shop_name=SHOP,
        shop_phone=PHONE,
        customer="Teo Halloran",
        address="9 Quarry Road, Marrow Bend",
        job=4,
        as_planned=MONDAY,
        sheet=sheet("Notice for job 4"),
        paper=paper,
        finish=MONDAY + timedelta(days=4),
        days=(NoticeDay(day=MONDAY + timedelta(days=1), start=time(7, 30), end=time(15, 15), what="Demolition (den)"),),
        clear=(
            ToClear(room="den", by=MONDAY, we_move=("sofa", "2 × bookcase")),
            ToClear(room="hall closet", by=None),
        ),
        to_clear=("shelves and closets", "everything small"),
        out=(
            OutOfUse(
                room="den, window half",
                out="out of use from about Tue 3 Mar 07:30",
                walk="May be walked on: not before Wed 4 Mar 13:00.",
                furnish="Furniture: not before Fri 6 Mar 13:00.",
            ),
        ),
        toilets=(
            FixtureOut(
                what="toilet",
                room="bath",
                out="about Tue 3 Mar 08:00",
                back="about Wed 4 Mar 15:00",
                meanwhile="Meanwhile: one in the yard.",
            ),
        ),
        fixtures=(FixtureOut(what="gas range", room="kitchen", out="already", back="about Fri 6 Mar 09:00"),),
        ready=("Heat or air running: day and night", "Power and water"),
        ready_by=date(2026, 2, 27),
        comes=("Tue 3 Mar 10:00: gray plank, 9 cartons, as the supplier promised it",),
        changes=("A delivery that comes late", "Linden Floor Crew tells you of a change before that day"),
        cautions=("Old floor in den may hold asbestos: please do not lift it.",),
        house=("We unload close to the door",),
    )


def questions(paper: PaperSize = "letter") -> ReadyQuestions:
    """Questions of which one is answered and one was answered with no."""
    return ReadyQuestions(
        shop_name=SHOP,
        shop_phone=PHONE,
        customer="Teo Halloran",
        address="9 Quarry Road, Marrow Bend",
        job=4,
        sheet=sheet("House ready, job 4"),
        paper=paper,
        first=MONDAY + timedelta(days=3),
        answer_by=MONDAY + timedelta(days=1),
        questions=(
            ReadyQuestion(asks="Heat or air running?", why="day and night, 65–85 °F"),
            ReadyQuestion(asks="Wet work and paint done?", known="Answered Mon 2 Mar: paint is not done."),
            ReadyQuestion(asks="Power and water?", known="Answered Mon 2 Mar: yes.", answered=True),
        ),
    )


def record(paper: PaperSize = "letter", *, work: int = 2) -> JobRecordPage:
    """The record of a job with so many lines of work."""
    return JobRecordPage(
        shop_name=SHOP,
        shop_phone=PHONE,
        sheet=sheet("Record of job 4"),
        paper=paper,
        job=4,
        title="Den, Quarry Road",
        customer="Teo Halloran",
        address="9 Quarry Road, Marrow Bend",
        state="done",
        dates=("House: built 1994", "First task done Tue 3 Mar 2026, last Fri 6 Mar 2026"),
        rooms=(
            RecordRoom(name="den, 178 ft²", before="carpet on plywood", after="gray plank with pad", laid="Wed 4 Mar"),
        ),
        materials=(RecordMaterial(name="gray plank", what="click vinyl, 9 cartons came", lines=("lot A: 9 cartons",)),),
        work=tuple(
            RecordWork(phase="install", what=f"Lay rows {one}.", where=f"room {one}.", when="Wed 4 Mar", who="Birch")
            for one in range(work)
        ),
        not_done=("Not needed: Roll out the pad (den)",),
        people=("Birch: Ines Varga and Tobiah Lund, as the crew is today",),
        hours=("Wed 4 Mar Birch 07:15–15:45, 3 people: 24.0 h of one person",),
        readings=("Tue 3 Mar 08:00 air: 70 °F and 40 % RH in den",),
        findings=("Tue 3 Mar den: black glue. Way on: an answer of the laboratory.",),
        agreed=("'New shoe', $180.00, agreed Tue 3 Mar by Teo",),
        walks=("Before, Tue 3 Mar with Teo",),
        passed=("Wed 4 Mar task 9: not read. Done all the same: read by hand",),
        dry_runs=("Mon 2 Mar Cedar: paint is wet",),
        small_visits=("Reading, Thu 5 Mar 09:00, 60 min, Ines Varga",),
    )


def shopping(paper: PaperSize = "letter") -> ShoppingList:
    """A list of two suppliers, stock, supplies and what is on its way."""
    oak = ToBuy(
        job=9,
        what="drift oak",
        amount="15 cartons",
        why="its order line is not placed",
        by=MONDAY + timedelta(days=9),
        by_why="carried in then",
        supplier="mill order",
        order_by=MONDAY + timedelta(days=2),
        order_why="mill order took 7 days, the middle of 4 deliveries",
        hold="not placed before the deposit is in",
    )
    return ShoppingList(
        shop_name=SHOP,
        shop_phone=PHONE,
        sheet=sheet("Shopping list"),
        paper=paper,
        whose="jobs 4 and 9",
        buy=(oak, replace(oak, job=4, what="gray plank", supplier="", by=MONDAY - timedelta(days=1), hold="")),
        stock=(
            ToBuy(
                job=4, what="T-mold", amount="1 stick", why="for den / hall", by=MONDAY, by_why="its work begins then"
            ),
        ),
        supplies=(
            SupplyNeed(what="contractor bags", amount="2 boxes", rule="one a room; common practice", jobs=(4, 9)),
        ),
        on_its_way=(
            OnItsWay(job=4, what="pad", amount="4 rolls", due="was due Fri 27 Feb", supplier="north yard", late=True),
        ),
        notes=("Work has begun at job 4.",),
    )


def nothing(paper: PaperSize = "letter") -> tuple[Page, ...]:
    """Every page with nothing to say."""
    bare = {"shop_name": "", "shop_phone": "", "paper": paper}
    empty = JobRecordPage(**{one.name: _empty(getattr(record(), one.name)) for one in fields(JobRecordPage)} | bare)
    return (
        WeekSheet(**bare, sheet=sheet(""), monday=MONDAY, days=(), columns=(), beside=()),
        CustomerNotice(**bare, customer="", address="", job=1, as_planned=MONDAY, sheet=sheet(""), finish=None),
        ReadyQuestions(
            **bare, customer="", address="", job=1, sheet=sheet(""), first=None, answer_by=None, questions=()
        ),
        empty,
        ShoppingList(**bare, sheet=sheet(""), whose="", buy=(), stock=(), supplies=(), on_its_way=()),
    )


def _empty(value: object) -> object:
    """A value of the same kind that says nothing."""
    if isinstance(value, str):
        return ""
    return () if isinstance(value, tuple) else value


def with_text(page: Page, text: str) -> Page:
    """The page with a text in place of every free text in it."""
    return _filled(page, text)  # type: ignore[return-value]


def _filled(value: object, text: str) -> object:
    if isinstance(value, str):
        return text if value else value
    if isinstance(value, tuple):
        return tuple(_filled(part, text) for part in value)
    if is_dataclass(value) and not isinstance(value, type):
        keep = {"paper", "sheet"}
        return replace(
            value,
            **{one.name: _filled(getattr(value, one.name), text) for one in fields(value) if one.name not in keep},
        )
    return value


def with_address(value: Any, address: str) -> Any:
    """The value with an address in place of every address in it."""
    if isinstance(value, tuple):
        return tuple(with_address(part, address) for part in value)
    if is_dataclass(value) and not isinstance(value, type):
        found = {one.name: with_address(getattr(value, one.name), address) for one in fields(value)}
        return replace(value, **{name: address if name == "address" else part for name, part in found.items()})
    return value
