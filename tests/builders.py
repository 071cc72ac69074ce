"""Small values for tests: a room, a material, a job with tasks, each with sensible defaults."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime

from crewjobs.domain.house import Room, Site
from crewjobs.domain.house_ready import ReadyAnswer, ReadyAsked, ReadyItem
from crewjobs.domain.job import Customer, Job, JobRecord
from crewjobs.domain.material import SHEET_GOODS, USUAL_METHOD, FloorKind, Lot, Material, OrderLine
from crewjobs.domain.outline import Outline
from crewjobs.domain.reading import AirReadings, Reading
from crewjobs.domain.tasks import Driver, Link, Pause, Phase, Scope, ScopeKind, Task, TaskKey, ThreePoint
from crewjobs.domain.units import FOOT, INCH
from crewjobs.domain.wall import to_utc

CENTRAL = "America/Chicago"
LONG_AGO = datetime(2026, 1, 5, 15, tzinfo=UTC)
"""When the house of `record` was asked and answered ready."""


def central(day: str, clock: str) -> datetime:
    """Return the instant of a US Central wall time, such as ``central("2026-03-06", "14:00")``."""
    hour, minute = clock.split(":")
    return to_utc(CENTRAL, date.fromisoformat(day), int(hour) * 60 + int(minute))


def utc(*parts: int) -> datetime:
    """Return a UTC instant."""
    return datetime(*parts, tzinfo=UTC)  # type: ignore[misc, arg-type]


def material(name: str = "harbor plank", kind: FloorKind = FloorKind.CLICK_VINYL, hours: int = 48) -> Material:
    """Return a 7 × 48 in plank, 23.8 ft² a carton; sheet goods off a roll of 12 ft."""
    if kind in SHEET_GOODS:
        return Material.sheet(
            name=name, kind=kind, method=USUAL_METHOD[kind], roll_width=12 * FOOT, acclimation_min=hours * 60
        )
    return Material(
        name=name,
        kind=kind,
        method=USUAL_METHOD[kind],
        plank_width=7 * INCH,
        plank_length=48 * INCH,
        carton_ft2=23.8,
        acclimation_min=hours * 60,
    )


def task(
    number: int,
    template: str = "work",
    *,
    phase: Phase = Phase.INSTALL,
    scope: Scope | None = None,
    minutes: float = 60,
    stage: int = 1,
    needs_material: str | None = None,
    done_at: datetime | None = None,
    started_at: datetime | None = None,
    people: int = 2,
    pause: Pause = Pause.NIGHT,
    unit: Driver = Driver.ONCE,
) -> Task:
    """Return a task of `minutes` labor without spread."""
    return Task(
        number=number,
        key=TaskKey(template=f"{template}-{number}", scope=scope or Scope(kind=ScopeKind.ROOM, name="living")),
        title=f"{template} {number}",
        phase=phase,
        stage=stage,
        quantity=1,
        unit=unit,
        estimate=ThreePoint(low=minutes, likely=minutes, high=minutes),
        people=people,
        least_people=1,
        pause=pause,
        needs_material=needs_material,
        done_at=done_at,
        started_at=started_at or done_at,
    )


def link(before: int, after: int, hours: float = 0, name: str = "") -> Link:
    """Return a link with a wait in hours."""
    return Link(before=before, after=after, wait_min=round(hours * 60), name=name)


def record(
    tasks: Sequence[Task] = (),
    links: Sequence[Link] = (),
    *,
    materials: Sequence[Material] = (),
    orders: Sequence[OrderLine] = (),
    lots: Sequence[Lot] = (),
    number: int = 1,
    ready: bool = True,
    air: Sequence[AirReadings] = (),
    readings: Sequence[Reading] = (),
) -> JobRecord:
    """Return a booked job with one living room in US Central; the house is ready unless `ready` is false."""
    job = Job(
        number=number,
        title="Ferry Lane 4",
        customer=Customer(name="Odalys Brandt"),
        site=Site(address="4 Ferry Lane, Marrow Bend", zone=CENTRAL),
        rooms=(
            Room(
                name="living",
                outline=Outline.rectangle(14 * FOOT, 12 * FOOT),
                floor=materials[0].name if materials else None,
            ),
        ),
        materials=tuple(materials),
        orders=tuple(orders),
    )
    asked = (ReadyAsked(at=LONG_AGO, of="Odalys Brandt"),) if ready else ()
    answers = tuple(ReadyAnswer(item=item, ready=True, at=LONG_AGO, by="Odalys Brandt") for item in ReadyItem if ready)
    return JobRecord(
        job=job,
        tasks=tuple(tasks),
        links=tuple(links),
        lots=tuple(lots),
        asked=asked,
        answers=answers,
        air=tuple(air),
        readings=tuple(readings),
    )
