"""The tables. Private to storage: everything outside sees domain values.

Plain tables instead of mapped classes: the domain's values are frozen, so nothing would be gained by a second
set of mutable objects, and `sqlalchemy.orm` costs a third of the import time of every command.

Columns carry the names of the domain's fields (see `mapping`). Every foreign key is checked at the commit, so
rows of one change may be written in any order, and none of them deletes or empties rows by itself: what the
database did on its own would be missing from the change log.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any, Final

from sqlalchemy import (
    JSON,
    Boolean,
    CheckConstraint,
    Column,
    Date,
    Dialect,
    Float,
    ForeignKeyConstraint,
    Index,
    Integer,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Table,
    Text,
    UniqueConstraint,
)
from sqlalchemy.types import TypeDecorator

from crewjobs.domain.job import JobState

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


class Instant(TypeDecorator[datetime]):
    """An aware instant as UTC text of one fixed width, so that text order is time order."""

    impl = String(27)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:  # noqa: ARG002
        """Return the text to store."""
        return None if value is None else instant_text(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """Return the stored instant."""
        return None if value is None else datetime.fromisoformat(value)


def instant_text(instant: datetime) -> str:
    """Return an aware instant as ``2026-03-02T12:30:00.000000Z``.

    Raises:
        ValueError: the instant has no zone.
    """
    if instant.tzinfo is None:
        raise ValueError(f"{instant!r} has no zone")
    return instant.astimezone(UTC).isoformat(timespec="microseconds").removesuffix("+00:00") + "Z"


def _check(name: str, rule: str, sentence: str) -> CheckConstraint:
    """A rule of the database, with the sentence a person reads when it says no."""
    return CheckConstraint(rule, name=name, info={"sentence": sentence})


def _key(*columns: str) -> PrimaryKeyConstraint:
    return PrimaryKeyConstraint(*columns)


def _refers(columns: list[str], to: list[str]) -> ForeignKeyConstraint:
    return ForeignKeyConstraint(columns, to, deferrable=True, initially="DEFERRED")


def _text(name: str) -> Column[Any]:
    return Column(name, Text, nullable=False)


def _whole(name: str) -> Column[Any]:
    return Column(name, Integer, nullable=False, autoincrement=False)


def _number(name: str) -> Column[Any]:
    return Column(name, Float, nullable=False)


def _flag(name: str) -> Column[Any]:
    return Column(name, Boolean, nullable=False)


def _nested(name: str) -> Column[Any]:
    return Column(name, JSON, nullable=False)


def _instant(name: str, *, nullable: bool = False) -> Column[Any]:
    return Column(name, Instant, nullable=nullable)


def _day(name: str, *, nullable: bool = False) -> Column[Any]:
    return Column(name, Date, nullable=nullable)


def _part_of_job(name: str, *columns: Any) -> Table:
    """A table of parts of a job: a small number never reused in the job, and the place in its list."""
    return Table(
        name,
        metadata,
        _whole("job"),
        _whole("number"),
        _whole("position"),
        *columns,
        _key("job", "number"),
        _refers(["job"], ["job.number"]),
    )


shop = Table(
    "shop",
    metadata,
    _whole("id"),
    _text("name"),
    _text("zone"),
    _text("units"),
    _text("paper"),
    _text("phone"),
    _nested("hours"),
    _flag("demo"),
    _key("id"),
    _check("single", "id = 1", "a database holds one shop."),
    _check("units", "units IN ('us', 'metric')", "units are us or metric."),
    _check("paper", "paper IN ('letter', 'a4')", "paper is letter or a4."),
)
holiday = Table("holiday", metadata, _day("day"), _key("day"))
template_override = Table("template_override", metadata, _text("key"), _nested("fields"), _key("key"))
crew = Table(
    "crew",
    metadata,
    _text("name"),
    _whole("position"),
    _nested("hours"),
    _nested("skills"),
    _nested("truck"),
    _key("name"),
)
worker = Table(
    "worker",
    metadata,
    _text("crew"),
    _whole("position"),
    _text("name"),
    _flag("lead"),
    _key("crew", "position"),
    _refers(["crew"], ["crew.name"]),
)
crew_day_off = Table(
    "crew_day_off", metadata, _text("crew"), _day("day"), _key("crew", "day"), _refers(["crew"], ["crew.name"])
)

_STATES: Final = ", ".join(f"'{state.value}'" for state in JobState)
job = Table(
    "job",
    metadata,
    _whole("number"),
    _text("title"),
    _text("state"),
    _day("wished", nullable=True),
    _day("promised", nullable=True),
    _whole("weight"),
    _nested("blocked"),
    _nested("stages"),
    _whole("version"),
    _whole("last_part"),
    _key("number"),
    _check("number", "number > 0", "a job's number is 1 or more."),
    _check("state", f"state IN ({_STATES})", f"a job is one of {', '.join(JobState)}."),
    _check("weight", "weight > 0", "a job's weight is 1 or more."),
    Index(None, "state"),
)
customer = Table(
    "customer",
    metadata,
    _whole("job"),
    _text("name"),
    _text("phone"),
    _text("mail"),
    _key("job"),
    _refers(["job"], ["job.number"]),
)
site = Table(
    "site",
    metadata,
    _whole("job"),
    _text("address"),
    _text("zone"),
    Column("year_built", Integer),
    _flag("occupied"),
    _whole("flights_up"),
    _text("grade"),
    _text("parking"),
    _text("pets"),
    _text("key_with"),
    _flag("crew_toilet"),
    _whole("drive_min"),
    Column("hours", JSON(none_as_null=True)),
    _text("entry_notes"),
    _key("job"),
    _refers(["job"], ["job.number"]),
    _check("drive_min", "drive_min >= 0", "a drive takes no less than 0 minutes."),
)
material = _part_of_job(
    "material",
    _text("name"),
    _text("kind"),
    _text("method"),
    _whole("plank_width"),
    _whole("plank_length"),
    _number("carton_ft2"),
    _whole("acclimation_min"),
    Column("carton_lb", Float),
    UniqueConstraint("job", "name"),
    _check("plank", "plank_width > 0 AND plank_length > 0", "a plank's width and length are more than zero."),
    _check("carton_ft2", "carton_ft2 > 0", "a carton covers more than 0 ft²."),
    _check("carton_lb", "carton_lb > 0", "a carton weighs more than 0 lb."),
    _check("acclimation_min", "acclimation_min >= 0", "acclimation takes no less than 0 hours."),
)
room = _part_of_job(
    "room",
    _text("name"),
    _nested("outline"),
    _whole("storey"),
    _nested("layers"),
    _text("subfloor"),
    Column("floor", Text),
    _number("level_ft2"),
    _number("patch_ft2"),
    _flag("add_plywood"),
    _flag("pad"),
    _text("trim"),
    _flag("painted_trim"),
    _nested("fixtures"),
    _nested("furniture"),
    _nested("cuts"),
    UniqueConstraint("job", "name"),
    _refers(["job", "floor"], ["material.job", "material.name"]),
    _check("level_ft2", "level_ft2 >= 0", "the area to level is no less than 0 ft²."),
    _check("patch_ft2", "patch_ft2 >= 0", "the area to patch is no less than 0 ft²."),
)
opening = _part_of_job(
    "opening",
    _nested("between"),
    _whole("width"),
    _flag("door"),
    _text("transition"),
    _flag("rated"),
    _check("width", "width > 0", "an opening is wider than 0."),
)
stairs = _part_of_job(
    "stairs",
    _text("name"),
    _whole("steps"),
    _whole("open_ends"),
    _nested("layers"),
    Column("floor", Text),
    UniqueConstraint("job", "name"),
    _refers(["job", "floor"], ["material.job", "material.name"]),
    _check("steps", "steps > 0", "stairs have 1 step or more."),
    _check("open_ends", "open_ends >= 0", "stairs have 0 open ends or more."),
)
order_line = _part_of_job(
    "order_line",
    _text("material"),
    _whole("cartons"),
    _text("supplier"),
    _day("ordered", nullable=True),
    _instant("due", nullable=True),
    _refers(["job", "material"], ["material.job", "material.name"]),
    _check("cartons", "cartons > 0", "an order is for 1 carton or more."),
)
lot = _part_of_job(
    "lot",
    _text("material"),
    _text("name"),
    _whole("cartons"),
    _instant("arrived_at"),
    _instant("moved_in_at", nullable=True),
    _refers(["job", "material"], ["material.job", "material.name"]),
    _check("cartons", "cartons > 0", "a lot has 1 carton or more."),
    _check("moved_in_at", "moved_in_at >= arrived_at", "cartons are moved in after they have come, not before."),
)
task = _part_of_job(
    "task",
    _text("template"),
    _text("scope_kind"),
    _text("scope_name"),
    _text("scope_part"),
    _text("cause"),
    _text("title"),
    _text("phase"),
    _whole("stage"),
    _number("quantity"),
    _text("unit"),
    _number("low"),
    _number("likely"),
    _number("high"),
    _whole("people"),
    _whole("least_people"),
    _text("pause"),
    Column("skill", Text),
    Column("needs_material", Text),
    _instant("started_at", nullable=True),
    _instant("done_at", nullable=True),
    _flag("not_needed"),
    _text("crew"),
    UniqueConstraint("job", "template", "scope_kind", "scope_name", "scope_part", "cause"),
    _check("quantity", "quantity >= 0", "a task's quantity is no less than 0."),
    _check("estimate", "0 <= low AND low <= likely AND likely <= high", "an estimate is low, likely, high, in order."),
    _check("people", "1 <= least_people AND least_people <= people", "a task needs 1 person or more, of those it has."),
    _check("done_at", "done_at >= started_at", "a task is done after it was started, not before."),
    # Lists count the tasks of thousands of jobs without reading the tasks themselves.
    Index(None, "job", "not_needed", "done_at"),
)
link = _part_of_job(
    "link",
    _whole("before"),
    _whole("after"),
    _whole("wait_min"),
    _text("name"),
    _refers(["job", "before"], ["task.job", "task.number"]),
    _refers(["job", "after"], ["task.job", "task.number"]),
    _check("wait_min", "wait_min >= 0", "a wait is no less than 0 minutes."),
    _check("two", "before <> after", "no task waits for itself."),
)
hold_passed = _part_of_job(
    "hold_passed",
    _whole("task"),
    _instant("at"),
    _text("because"),
    _nested("seen"),
    _refers(["job", "task"], ["task.job", "task.number"]),
    _check("because", "because <> ''", "a hold is passed with a reason."),
)

# Jobs are named in plans without a foreign key: a plan is what was planned, also of a job that was taken back.
plan = Table(
    "plan",
    metadata,
    _whole("number"),
    _instant("made_at"),
    _instant("until"),
    _whole("based_on"),
    _flag("withdrawn"),
    _key("number"),
)
plan_block = Table(
    "plan_block",
    metadata,
    _whole("plan"),
    _whole("position"),
    _whole("job"),
    _whole("task"),
    _nested("tasks"),
    _text("phase"),
    _whole("stage"),
    _text("crew"),
    _instant("start"),
    _instant("end"),
    _text("reason"),
    _key("plan", "position"),
    _refers(["plan"], ["plan.number"]),
    _check("end", '"end" >= start', "a block ends after it starts, not before."),
)
plan_left_out = Table(
    "plan_left_out",
    metadata,
    _whole("plan"),
    _whole("position"),
    _whole("job"),
    _nested("tasks"),
    _text("why"),
    _key("plan", "position"),
    _refers(["plan"], ["plan.number"]),
)
pin = Table(
    "pin",
    metadata,
    _whole("job"),
    _whole("task"),
    _text("crew"),
    _day("day"),
    _key("job", "task"),
    _refers(["job", "task"], ["task.job", "task.number"]),
    _refers(["crew"], ["crew.name"]),
)

# `job` without a foreign key: the log outlives what it tells of.
change = Table(
    "change",
    metadata,
    _whole("number"),
    _instant("at"),
    _text("who"),
    _text("what"),
    Column("job", Integer),
    Column("caused_by", Integer),
    Column("undoes", Integer),
    _flag("undoable"),
    _key("number"),
    _refers(["caused_by"], ["change.number"]),
    _refers(["undoes"], ["change.number"]),
    Index(None, "job"),
    Index(None, "caused_by"),
    Index(None, "undoes"),
)
change_row = Table(
    "change_row",
    metadata,
    _whole("change"),
    _whole("number"),
    _text("table_name"),
    _text("key"),
    Column("before", JSON(none_as_null=True)),
    Column("after", JSON(none_as_null=True)),
    _key("change", "number"),
    _refers(["change"], ["change.number"]),
    Index(None, "table_name", "key"),
)

LOG: Final = frozenset({change.name, change_row.name})
"""Written once, never changed."""
UNLOGGED: Final = frozenset({plan_block.name, plan_left_out.name})
"""Parts of immutable versions: they are their own history, the log only names the version."""
BOOKKEEPING: Final = frozenset({"version", "last_part"})
"""Columns that only ever rise: no fact of the trade, so an undo leaves them."""
PRIVATE: Final = frozenset({("customer", "phone"), ("customer", "mail"), ("site", "entry_notes")})
"""Columns whose values never reach the change log."""


def row_key(table: Table, row: dict[str, Any]) -> tuple[Any, ...]:
    """Return the primary key of a row."""
    return tuple(row[column.name] for column in table.primary_key.columns)
