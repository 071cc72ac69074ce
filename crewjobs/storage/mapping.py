"""Domain values to rows and back, exact both ways.

A column is named as the field it keeps. A row is a dictionary of what the columns take: dates and instants as they
are, enums by value, and whole small values (an outline, layers, hours) in their plain form.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields
from enum import Enum
from types import NoneType
from typing import Any, Final, Generic, TypeVar, get_args, get_type_hints

from sqlalchemy import JSON, Float, Integer, Table

from crewjobs.domain.agreed import ChangeOrder, MoneyFact, SmallVisit, Told, WalkThrough
from crewjobs.domain.calendar import WrittenEvent
from crewjobs.domain.crew import Away, Crew, DayHours, Shop, Skill, Worker
from crewjobs.domain.evening import CrewHours, Finding, HowFar
from crewjobs.domain.floor_layout import FloorLayout
from crewjobs.domain.found import WayTaken
from crewjobs.domain.goods import Goods, GoodsCome, GoodsLine, LotUse, NewDate, WentBack
from crewjobs.domain.house import Opening, Room, Site, Stairs
from crewjobs.domain.house_ready import DryRun, ReadyAnswer, ReadyAsked, WaitingOn
from crewjobs.domain.job import Customer, HoldPassed, Job
from crewjobs.domain.list_mapping import ListMapping
from crewjobs.domain.material import Lot, Material, OrderLine
from crewjobs.domain.moves import MovesPlan
from crewjobs.domain.pace import RatePin
from crewjobs.domain.plan import BlockKey, LeftOut, Pin, Placement, WeekPlan
from crewjobs.domain.printed import PrintedSheet
from crewjobs.domain.reading import AirReadings, Reading
from crewjobs.domain.tasks import Driver, Link, Pause, Phase, Scope, ScopeKind, Task, TaskKey, ThreePoint
from crewjobs.domain.work import ExtraWork
from crewjobs.storage import records, shop_records
from crewjobs.storage.plain import builder, plain

Value = TypeVar("Value")
Row = dict[str, Any]
Build = Callable[[Any], Any]


class Codec(Generic[Value]):
    """Rows of one table for values of one class, by the fields that have a column."""

    def __init__(self, table: Table, kind: type[Value], *, match: tuple[str, ...] = ()) -> None:
        self.table = table
        self.kind = kind
        self.match = match
        """The columns by which a part of a job is found again when the job is edited."""
        hints = get_type_hints(kind)
        columns = table.columns
        names = [field.name for field in fields(kind) if field.name in columns]  # type: ignore[arg-type]
        self._nested = tuple(name for name in names if isinstance(columns[name].type, JSON))
        self._scalars = tuple(name for name in names if name not in self._nested)
        self._numbers = tuple(name for name in self._scalars if isinstance(columns[name].type, Float | Integer))
        self._build: dict[str, Build | None] = {name: builder(hints[name]) for name in self._nested}
        self._build |= {name: _enum_in(hints[name]) for name in self._scalars}

    def row(self, value: Value, **others: Any) -> Row:
        """Return the row of a value; `others` are the columns that are no field of it."""
        row = {name: plain(getattr(value, name)) for name in self._nested}
        for name in self._scalars:
            scalar = getattr(value, name)
            row[name] = scalar.value if isinstance(scalar, Enum) else scalar
        return row | others

    def value(self, row: Mapping[str, Any], **others: Any) -> Value:
        """Return the value of a row; `others` are the fields kept elsewhere."""
        self._check_numbers(row, self._numbers)
        for name, build in self._build.items():
            others[name] = row[name] if build is None else build(row[name])
        return self.kind(**others)

    def _check_numbers(self, row: Mapping[str, Any], names: Iterable[str]) -> None:
        """Refuse a text that another program left where a number belongs: SQLite keeps it, and nobody can reckon with it."""
        for name in names:
            if isinstance(row[name], str):
                raise ValueError(f"{name} of {self.table.name} is {row[name]!r}, which is no number")


def _enum_in(hint: Any) -> Build | None:
    kinds = [kind for kind in (get_args(hint) or (hint,)) if kind is not NoneType]
    return builder(hint) if len(kinds) == 1 and isinstance(kinds[0], type) and issubclass(kinds[0], Enum) else None


class _TaskCodec(Codec[Task]):
    """Tasks are many and their values nested: written out, since lists of live jobs read a thousand of them."""

    def row(self, value: Task, **others: Any) -> Row:
        """Return the row of a task."""
        key, estimate = value.key, value.estimate
        return super().row(
            value,
            template=key.template,
            scope_kind=key.scope.kind.value,
            scope_name=key.scope.name,
            scope_part=key.scope.part,
            cause=key.cause,
            low=estimate.low,
            likely=estimate.likely,
            high=estimate.high,
            **others,
        )

    def value(self, row: Mapping[str, Any], **others: Any) -> Task:
        """Return the task of a row."""
        self._check_numbers(row, _OF_A_TASK)
        skill = row["skill"]
        return Task(
            number=row["number"],
            key=TaskKey(
                template=row["template"],
                scope=Scope(kind=_SCOPES[row["scope_kind"]], name=row["scope_name"], part=row["scope_part"]),
                cause=row["cause"],
            ),
            title=row["title"],
            phase=_PHASES[row["phase"]],
            stage=row["stage"],
            quantity=row["quantity"],
            unit=_DRIVERS[row["unit"]],
            estimate=ThreePoint(low=row["low"], likely=row["likely"], high=row["high"]),
            people=row["people"],
            least_people=row["least_people"],
            pause=_PAUSES[row["pause"]],
            skill=None if skill is None else Skill(skill),
            needs_material=row["needs_material"],
            needs_goods=None if row["needs_goods"] is None else Goods(row["needs_goods"]),
            card=row["card"],
            elevator=row["elevator"],
            started_at=row["started_at"],
            done_at=row["done_at"],
            not_needed=row["not_needed"],
            crew=row["crew"],
            **others,
        )


_OF_A_TASK: Final = ("number", "stage", "quantity", "low", "likely", "high", "people", "least_people")
_SCOPES: Final = {kind.value: kind for kind in ScopeKind}
_PHASES: Final = {phase.value: phase for phase in Phase}
_DRIVERS: Final = {driver.value: driver for driver in Driver}
_PAUSES: Final = {pause.value: pause for pause in Pause}

SHOP: Final = Codec(shop_records.shop, Shop)
CREW: Final = Codec(shop_records.crew, Crew)
WORKER: Final = Codec(shop_records.worker, Worker)
AWAY: Final = Codec(shop_records.away, Away)
DAY_HOURS: Final = Codec(shop_records.day_hours, DayHours)
RATE_PIN: Final = Codec(shop_records.rate_pin, RatePin)
LIST_MAPPING: Final = Codec(shop_records.list_mapping, ListMapping)
PRINTED_SHEET: Final = Codec(shop_records.printed_sheet, PrintedSheet)
WRITTEN_EVENT: Final = Codec(shop_records.calendar_event, WrittenEvent)
JOB: Final = Codec(records.job, Job)
CUSTOMER: Final = Codec(records.customer, Customer)
SITE: Final = Codec(records.site, Site)
PIN: Final = Codec(records.pin, Pin)
PLAN: Final = Codec(records.plan, WeekPlan)
BLOCK: Final = Codec(records.plan_block, Placement)
LEFT_OUT: Final = Codec(records.plan_left_out, LeftOut)

JOB_PARTS: Final[dict[str, Codec[Any]]] = {
    "materials": Codec(records.material, Material, match=("name",)),
    "rooms": Codec(records.room, Room, match=("name",)),
    "openings": Codec(records.opening, Opening, match=("between", "which")),
    "stairs": Codec(records.stairs, Stairs, match=("name",)),
    "orders": Codec(records.order_line, OrderLine, match=("material",)),
    "goods": Codec(records.goods_line, GoodsLine, match=("goods", "place")),
    "work": Codec(records.extra_work, ExtraWork, match=("what", "place")),
}
"""What a job is made of, by the field of `Job`."""
RECORD_PARTS: Final[dict[str, Codec[Any]]] = {
    "tasks": _TaskCodec(records.task, Task, match=("number",)),
    "links": Codec(records.link, Link, match=("before", "after", "name")),
    "lots": Codec(records.lot, Lot, match=("material", "name")),
    "passed": Codec(records.hold_passed, HoldPassed, match=("task", "at")),
    "asked": Codec(records.ready_asked, ReadyAsked, match=("at",)),
    "answers": Codec(records.ready_answer, ReadyAnswer, match=("item", "at")),
    "dry_runs": Codec(records.dry_run, DryRun, match=("at",)),
    "waiting_on": Codec(records.waiting_on, WaitingOn, match=("who", "what")),
    "goods_come": Codec(records.goods_come, GoodsCome, match=("line", "at")),
    "new_dates": Codec(records.new_date, NewDate, match=("line", "at")),
    "lot_uses": Codec(records.lot_use, LotUse, match=("material", "lot")),
    "went_back": Codec(records.went_back, WentBack, match=("material", "at")),
    "how_far": Codec(records.how_far, HowFar, match=("task", "at")),
    "crew_hours": Codec(records.crew_hours, CrewHours, match=("crew", "start")),
    "findings": Codec(records.finding, Finding, match=("at", "place")),
    "ways_taken": Codec(records.way_taken, WayTaken, match=("found_at", "place", "kind", "at")),
    "walks": Codec(records.walk_through, WalkThrough, match=("walk", "at")),
    "change_orders": Codec(records.change_order, ChangeOrder, match=("what",)),
    "money": Codec(records.money, MoneyFact, match=("fact", "day")),
    "told": Codec(records.told, Told, match=("at",)),
    "small_visits": Codec(records.small_visit, SmallVisit, match=("kind", "start")),
    "air": Codec(records.air_readings, AirReadings, match=("room", "samples")),
    "readings": Codec(records.reading, Reading, match=("kind", "at", "room")),
    "moves": Codec(records.moves, MovesPlan, match=("at",)),
    "layouts": Codec(records.layout, FloorLayout, match=("material",)),
}
"""What has happened to it, by the field of `JobRecord`."""


def block_row(placement: Placement, plan: int, position: int) -> Row:
    """Return the row of a placement."""
    return BLOCK.row(placement, plan=plan, position=position, job=placement.key.job, task=placement.key.task)


def block_of(row: Mapping[str, Any]) -> Placement:
    """Return the placement of a row."""
    return BLOCK.value(row, key=BlockKey(job=row["job"], task=row["task"]))
