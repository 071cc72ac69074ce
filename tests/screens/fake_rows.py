"""Rows of an invented shop, Linden Floor Crew in Marrow Bend, as it stands on Monday 2 March 2026 at 06:30."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone

from crewjobs.services.rows import (
    JobRow,
    MaterialRow,
    PhaseCell,
    TaskRow,
    WaitRow,
    WaitState,
)

CENTRAL = timezone(timedelta(hours=-6))
MONDAY = date(2026, 3, 2)
CREWS = ("Birch", "Cedar", "Rowan")

AMES = "Ames Lane, main floor"
FERRIS = "Ferris house, living and hall"
HOLLIS = "Hollis stairs"
TAMM = "Tamm kitchen and bath"
VOGEL = "Vogel upstairs"


def at(day: int, hour: int, minute: int = 0, month: int = 3) -> datetime:
    """An instant of spring 2026 on the shop's wall."""
    return datetime(2026, month, day, hour, minute, tzinfo=CENTRAL)


NOW = at(2, 6, 30)


def wait(**given: object) -> WaitRow:
    """A wait with what the test does not care about filled in."""
    row: dict[str, object] = {
        "job": 104,
        "title": FERRIS,
        "what": "Something",
        "state": WaitState.RUNNING,
        "since": None,
        "ready_at": None,
        "minutes_left": None,
        "done": None,
        "verified": True,
        "holds": "",
        "call": "",
    }
    return WaitRow(**(row | given))  # type: ignore[arg-type]


def waits() -> tuple[WaitRow, ...]:
    """Worst first, one or two of every state."""
    return (
        wait(
            job=109,
            title=HOLLIS,
            what="Stair nose, oak, 14 pieces",
            state=WaitState.NOT_ORDERED,
            holds="nose pieces on 14 steps",
            call="Order it today: the supplier needs 5 working days.",
            whom="hill supply",
        ),
        wait(
            job=107,
            title=TAMM,
            what="Glue-down vinyl plank, 22 cartons",
            state=WaitState.LATE,
            since=at(27, 12, month=2),
            holds="glue-down rows in kitchen, bath",
            call="Ask the supplier for a new day: 16 of 22 cartons have come.",
            whom="hill supply",
        ),
        wait(
            job=112,
            title=VOGEL,
            what="Laminate plank, 18 cartons",
            state=WaitState.DUE,
            ready_at=at(6, 13),
            holds="acclimation of 3 bedrooms",
            call="Ask the customer who lets the truck in on Wednesday.",
            whom="Ilse Brandauer",
        ),
        wait(
            job=104,
            title=FERRIS,
            what="Engineered oak plank, lot 7731",
            state=WaitState.ACCLIMATING,
            since=at(27, 14, month=2),
            ready_at=at(4, 14),
            minutes_left=3330,
            done=0.5375,
            verified=False,
            holds="rows in living, hall",
            call="Meter planks and subfloor the day before: within 2 points of each other.",
        ),
        wait(
            job=101,
            title=AMES,
            what="Self-leveler, kitchen and hall",
            state=WaitState.RUNNING,
            since=at(1, 15),
            ready_at=at(2, 15),
            minutes_left=510,
            done=0.6458,
            holds="pad, click rows in kitchen and hall",
            call="Keep people and furniture off until then.",
        ),
        wait(
            job=101,
            title=AMES,
            what="Click vinyl plank, lot B-20",
            state=WaitState.READY,
            since=at(26, 10, month=2),
            ready_at=at(28, 10, month=2),
            minutes_left=0,
            done=1.0,
            holds="",
            call="Count cartons and colors before the first is opened.",
        ),
    )


def job_row(**given: object) -> JobRow:
    """A job in the list."""
    row: dict[str, object] = {
        "number": 101,
        "title": AMES,
        "customer": "Ines Abara",
        "address": "12 Ames Lane, Marrow Bend",
        "state": "booked",
        "phase": "subfloor prep",
        "tasks_done": 9,
        "tasks_all": 31,
        "hours_left": 38.5,
        "promised": date(2026, 3, 6),
        "planned_finish": at(5, 15),
        "late": False,
        "waits_for": "leveler until Mon 2 Mar 15:00",
    }
    return JobRow(**(row | given))  # type: ignore[arg-type]


def jobs() -> tuple[JobRow, ...]:
    """Open and closed."""
    return (
        job_row(),
        job_row(
            number=104,
            title=FERRIS,
            customer="Tom and Lea Ferris",
            address="4 Quarry Road, Marrow Bend",
            phase="demolition",
            tasks_done=3,
            tasks_all=27,
            hours_left=46.0,
            promised=date(2026, 3, 10),
            planned_finish=at(9, 16),
            waits_for="oak plank until Wed 4 Mar 14:00",
        ),
        job_row(
            number=107,
            title=TAMM,
            customer="Noor Tamm",
            address="88 Mill Race, Marrow Bend",
            phase="demolition",
            tasks_done=0,
            tasks_all=34,
            hours_left=41.5,
            promised=date(2026, 3, 6),
            planned_finish=at(10, 12),
            late=True,
            waits_for="6 cartons, late",
        ),
        job_row(
            number=109,
            title=HOLLIS,
            customer="Wes Hollis",
            address="31 Cooper Hill, Marrow Bend",
            phase="",
            tasks_done=0,
            tasks_all=16,
            hours_left=19.0,
            promised=None,
            planned_finish=None,
            waits_for="stair nose, not ordered",
        ),
        job_row(
            number=112,
            title=VOGEL,
            customer="Marta Vogel",
            address="7 Heron Close, Lower Marrow",
            phase="acclimate",
            tasks_done=0,
            tasks_all=22,
            hours_left=29.0,
            promised=date(2026, 3, 13),
            planned_finish=at(12, 15),
            waits_for="laminate, due Wed 4 Mar",
        ),
        job_row(
            number=98,
            title="Dell porch room",
            customer="Rae Dell",
            address="2 Weir Street, Marrow Bend",
            state="closed",
            phase="",
            tasks_done=18,
            tasks_all=18,
            hours_left=0.0,
            promised=date(2026, 2, 13),
            planned_finish=None,
            waits_for="",
        ),
    )


def task(number: int, phase: str, where: str, title: str, **given: object) -> TaskRow:
    """A task of job 101."""
    row: dict[str, object] = {
        "number": number,
        "phase": phase,
        "stage": 1,
        "where": where,
        "title": title,
        "quantity": "",
        "hours": 1.0,
        "spread": 0.2,
        "pace": "",
        "state": "to do",
        "started_at": None,
        "done_at": None,
        "hold": "",
        "planned": "",
        "cautions": (),
        "notes": (),
    }
    return TaskRow(**(row | given))  # type: ignore[arg-type]


CURE = "On hold until Mon 2 Mar 15:00: the leveler cures, 8 h 30 min left by the clock."


def tasks() -> tuple[TaskRow, ...]:
    """Enough of a floor to see every state."""
    return (
        task(
            1,
            "demolition",
            "kitchen",
            "Take up sheet vinyl",
            quantity="142 ft²",
            hours=3.5,
            spread=0.8,
            state="done",
            done_at=at(26, 11, month=2),
            cautions=(
                "Built before 1980: have the old sheet floor tested before it is cut or scraped; the laboratory decides.",
            ),
        ),
        task(
            2,
            "demolition",
            "hall",
            "Take up carpet, pad and tack strip",
            quantity="60 ft²",
            hours=1.5,
            state="done",
            done_at=at(26, 14, month=2),
        ),
        task(
            3,
            "subfloor prep",
            "kitchen",
            "Pour leveler",
            quantity="142 ft²",
            hours=2.5,
            spread=0.5,
            state="done",
            done_at=at(1, 15),
        ),
        task(
            4,
            "subfloor prep",
            "dining",
            "Screw down squeaks, scrape",
            quantity="168 ft²",
            hours=2.0,
            spread=0.4,
            planned="Mon 2 Mar Birch",
        ),
        task(5, "subfloor prep", "dining", "Patch seams", quantity="4 seams", hours=1.0, planned="Mon 2 Mar Birch"),
        task(
            6,
            "install",
            "kitchen",
            "Lay click rows",
            quantity="142 ft²",
            hours=6.0,
            spread=1.3,
            pace="190 ft² per man-day",
            hold=CURE,
            planned="Tue 3 Mar Birch",
        ),
        task(
            7,
            "install",
            "hall",
            "Lay click rows",
            quantity="60 ft²",
            hours=3.0,
            spread=0.7,
            hold=CURE,
            planned="Tue 3 Mar Birch",
        ),
        task(
            8,
            "install",
            "dining",
            "Lay click rows",
            quantity="168 ft²",
            hours=7.0,
            spread=1.5,
            hold="Waits for task 5, patch seams in dining.",
            planned="Wed 4 Mar Birch",
        ),
        task(
            9,
            "trim",
            "dining",
            "Base and shoe",
            quantity="52 ft",
            hours=2.5,
            hold="Waits for task 8, click rows in dining.",
        ),
        task(
            10,
            "fixtures reset",
            "kitchen",
            "Range back in place, anti-tip bracket checked",
            hours=0.5,
            hold="Waits for task 6, click rows in kitchen.",
            cautions=("Gas: a licensed person connects and leak-checks it.",),
        ),
    )


def cells(rows: tuple[TaskRow, ...]) -> tuple[PhaseCell, ...]:
    """Counted from the tasks, in their order."""
    seen: dict[tuple[str, str], list[TaskRow]] = {}
    for one in rows:
        seen.setdefault((one.phase, one.where), []).append(one)
    return tuple(
        PhaseCell(
            phase=phase,
            where=where,
            done=sum(one.state == "done" for one in found),
            all=len(found),
            hours=sum(one.hours for one in found),
            spread=sum(one.spread for one in found),
        )
        for (phase, where), found in seen.items()
    )


def materials() -> tuple[MaterialRow, ...]:
    """Of job 101."""
    return (
        MaterialRow(
            name="Click vinyl plank, light",
            kind="click vinyl",
            cartons_ordered=20,
            cartons_come=20,
            lots=("lot B-20: 20 cartons, in the rooms since Thu 26 Feb 10:00",),
            status="ready",
        ),
        MaterialRow(
            name="Quarter round, white", kind="trim", cartons_ordered=3, cartons_come=0, lots=(), status="due Tue 3 Mar"
        ),
    )
