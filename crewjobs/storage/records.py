"""The tables. Private to storage: everything outside sees domain values.

Plain tables instead of mapped classes: the domain's values are frozen, so nothing would be gained by a second
set of mutable objects, and `sqlalchemy.orm` costs a third of the import time of every command.

Columns carry the names of the domain's fields (see `mapping`). Every foreign key is checked at the commit, so
rows of one change may be written in any order, and none of them deletes or empties rows by itself: what the
database did on its own would be missing from the change log.
"""

from __future__ import annotations

from typing import Any, Final

from sqlalchemy import JSON, Column, Float, Index, Integer, Table, Text, UniqueConstraint

from crewjobs.domain.job import JobState
from crewjobs.storage import shop_records as shop_records  # its tables are of the same database
from crewjobs.storage.columns import (
    check,
    day,
    flag,
    instant,
    key,
    maybe,
    nested,
    number,
    refers,
    text,
    whole,
)
from crewjobs.storage.columns import metadata as metadata


def _part_of_job(name: str, *columns: Any) -> Table:
    """A table of parts of a job: a small number never reused in the job, and the place in its list."""
    return Table(
        name,
        metadata,
        whole("job"),
        whole("number"),
        whole("position"),
        *columns,
        key("job", "number"),
        refers(["job"], ["job.number"]),
    )


_STATES: Final = ", ".join(f"'{state.value}'" for state in JobState)
job = Table(
    "job",
    metadata,
    whole("number"),
    text("title"),
    text("state"),
    day("wished", nullable=True),
    day("promised", nullable=True),
    whole("weight"),
    Column("callback_of", Integer),
    nested("blocked"),
    nested("stages"),
    nested("starts"),
    whole("version"),
    whole("last_part"),
    key("number"),
    refers(["callback_of"], ["job.number"]),
    check("number", "number > 0", "a job's number is 1 or more."),
    check("callback_of", "callback_of <> number", "a job does not come back to itself."),
    check("state", f"state IN ({_STATES})", f"a job is one of {', '.join(JobState)}."),
    check("weight", "weight > 0", "a job's weight is 1 or more."),
    Index(None, "state"),
)
customer = Table(
    "customer",
    metadata,
    whole("job"),
    text("name"),
    text("phone"),
    text("mail"),
    key("job"),
    refers(["job"], ["job.number"]),
)
site = Table(
    "site",
    metadata,
    whole("job"),
    text("address"),
    text("zone"),
    Column("year_built", Integer),
    flag("occupied"),
    whole("flights_up"),
    text("grade"),
    text("parking"),
    text("pets"),
    text("key_with"),
    flag("crew_toilet"),
    text("toilet_meanwhile"),
    whole("drive_min"),
    maybe("hours"),
    maybe("elevator"),
    Column("beds", Integer),
    text("entry_notes"),
    key("job"),
    refers(["job"], ["job.number"]),
    check("drive_min", "drive_min >= 0", "a drive takes no less than 0 minutes."),
)
material = _part_of_job(
    "material",
    text("name"),
    text("kind"),
    text("method"),
    whole("plank_width"),
    whole("plank_length"),
    number("carton_ft2"),
    whole("acclimation_min"),
    Column("carton_lb", Float),
    Column("in_carton", Integer),
    Column("shortest", Integer),
    Column("stagger", Integer),
    Column("gap", Integer),
    Column("pail_ft2", Float),
    text("pattern"),
    nested("lengths"),
    Column("joint", Integer),
    Column("repeat", Integer),
    whole("fill"),
    maybe("conditions"),
    maybe("slab"),
    Column("thickness", Integer),
    text("species"),
    text("cut"),
    UniqueConstraint("job", "name"),
    check("plank", "plank_width > 0 AND plank_length > 0", "a plank's width and length are more than zero."),
    check("carton_ft2", "carton_ft2 > 0", "a carton covers more than 0 ft²."),
    check("carton_lb", "carton_lb > 0", "a carton weighs more than 0 lb."),
    check("acclimation_min", "acclimation_min >= 0", "acclimation takes no less than 0 hours."),
)
room = _part_of_job(
    "room",
    text("name"),
    nested("outline"),
    whole("storey"),
    nested("layers"),
    text("subfloor"),
    Column("floor", Text),
    number("level_ft2"),
    number("patch_ft2"),
    flag("add_plywood"),
    flag("pad"),
    text("trim"),
    flag("painted_trim"),
    nested("fixtures"),
    nested("furniture"),
    nested("cuts"),
    text("keeps"),
    flag("power"),
    text("joists"),
    text("rows"),
    whole("start_wall"),
    whole("window_wall"),
    nested("obstacles"),
    nested("cut_outs"),
    Column("flange", Integer),
    Column("under_counter", Integer),
    UniqueConstraint("job", "name"),
    refers(["job", "floor"], ["material.job", "material.name"]),
    check("level_ft2", "level_ft2 >= 0", "the area to level is no less than 0 ft²."),
    check("patch_ft2", "patch_ft2 >= 0", "the area to patch is no less than 0 ft²."),
)
opening = _part_of_job(
    "opening",
    nested("between"),
    whole("width"),
    flag("door"),
    text("transition"),
    flag("rated"),
    nested("parts"),
    Column("distance", Integer),
    whole("steps"),
    nested("walls"),
    nested("offsets"),
    whole("throat"),
    text("which"),
    Column("gap", Integer),
    check("width", "width > 0", "an opening is wider than 0."),
    check("steps", "steps >= 0", "there are 0 steps or more between two rooms."),
)
stairs = _part_of_job(
    "stairs",
    text("name"),
    whole("steps"),
    whole("flights"),
    whole("open_ends"),
    nested("layers"),
    Column("floor", Text),
    Column("width", Integer),
    nested("between"),
    UniqueConstraint("job", "name"),
    refers(["job", "floor"], ["material.job", "material.name"]),
    check("steps", "steps > 0", "stairs have 1 step or more."),
    check("flights", "flights > 0", "stairs have 1 flight or more."),
    check("open_ends", "open_ends >= 0", "stairs have 0 open ends or more."),
)
order_line = _part_of_job(
    "order_line",
    text("material"),
    whole("cartons"),
    text("supplier"),
    day("ordered", nullable=True),
    instant("due", nullable=True),
    flag("special"),
    refers(["job", "material"], ["material.job", "material.name"]),
    check("cartons", "cartons > 0", "an order is for 1 carton or more."),
)
goods_line = _part_of_job(
    "goods_line",
    text("goods"),
    whole("count"),
    text("place"),
    text("supplier"),
    day("ordered", nullable=True),
    instant("due", nullable=True),
    flag("special"),
    UniqueConstraint("job", "goods", "place"),
    check("count", "count > 0", "an order is for 1 piece or more."),
)
extra_work = _part_of_job(
    "extra_work",
    text("what"),
    text("place"),
    whole("minutes"),
    whole("people"),
    text("needs"),
    flag("under"),
    UniqueConstraint("job", "what", "place"),
    check("minutes", "minutes > 0", "agreed work takes more than 0 minutes."),
    check("people", "people > 0", "agreed work takes 1 person or more."),
)
lot = _part_of_job(
    "lot",
    text("material"),
    text("name"),
    whole("cartons"),
    instant("arrived_at"),
    instant("moved_in_at", nullable=True),
    instant("checked_at", nullable=True),
    whole("damaged"),
    flag("color_differs"),
    refers(["job", "material"], ["material.job", "material.name"]),
    check("cartons", "cartons > 0", "a lot has 1 carton or more."),
    check("moved_in_at", "moved_in_at >= arrived_at", "cartons are moved in after they have come, not before."),
    check("damaged", "damaged BETWEEN 0 AND cartons", "of a lot no more cartons are damaged than came."),
)
task = _part_of_job(
    "task",
    text("template"),
    text("scope_kind"),
    text("scope_name"),
    text("scope_part"),
    text("cause"),
    text("title"),
    text("phase"),
    whole("stage"),
    number("quantity"),
    text("unit"),
    number("low"),
    number("likely"),
    number("high"),
    whole("people"),
    whole("least_people"),
    text("pause"),
    Column("skill", Text),
    Column("needs_material", Text),
    Column("needs_goods", Text),
    text("card"),
    flag("elevator"),
    instant("started_at", nullable=True),
    instant("done_at", nullable=True),
    flag("not_needed"),
    text("crew"),
    UniqueConstraint("job", "template", "scope_kind", "scope_name", "scope_part", "cause"),
    check("quantity", "quantity >= 0", "a task's quantity is no less than 0."),
    check("estimate", "0 <= low AND low <= likely AND likely <= high", "an estimate is low, likely, high, in order."),
    check("people", "1 <= least_people AND least_people <= people", "a task needs 1 person or more, of those it has."),
    check("done_at", "done_at >= started_at", "a task is done after it was started, not before."),
    # Lists count the tasks of thousands of jobs without reading the tasks themselves.
    Index(None, "job", "not_needed", "done_at"),
)
link = _part_of_job(
    "link",
    whole("before"),
    whole("after"),
    whole("wait_min"),
    text("name"),
    whole("most_min", nullable=True),
    refers(["job", "before"], ["task.job", "task.number"]),
    refers(["job", "after"], ["task.job", "task.number"]),
    check("wait_min", "wait_min >= 0", "a wait is no less than 0 minutes."),
    check("most_min", "most_min >= wait_min", "what a task waits at most is no less than what it waits at least."),
    check("two", "before <> after", "no task waits for itself."),
)
hold_passed = _part_of_job(
    "hold_passed",
    whole("task"),
    instant("at"),
    text("because"),
    nested("seen"),
    refers(["job", "task"], ["task.job", "task.number"]),
    check("because", "because <> ''", "a hold is passed with a reason."),
)
# What was asked, said and seen around a job. Each is a fact with its instant; what follows from them is computed.
ready_asked = _part_of_job("ready_asked", instant("at"), text("of"))
ready_answer = _part_of_job(
    "ready_answer",
    text("item"),
    flag("ready"),
    instant("at"),
    text("by"),
    instant("until", nullable=True),
    instant("since", nullable=True),
)
dry_run = _part_of_job(
    "dry_run",
    instant("at"),
    text("crew"),
    text("because"),
    Column("item", Text),
    check("because", "because <> ''", "a dry run is recorded with its reason."),
)
waiting_on = _part_of_job(
    "waiting_on",
    text("who"),
    text("what"),
    day("asked"),
    instant("promised", nullable=True),
    nested("chased"),
    nested("holds"),
    instant("came_at", nullable=True),
    instant("asked_at", nullable=True),
    flag("usual"),
    UniqueConstraint("job", "who", "what"),
)
goods_come = _part_of_job(
    "goods_come",
    text("line"),
    whole("count"),
    instant("at"),
    check("count", "count > 0", "a delivery is 1 piece or more."),
)
went_back = _part_of_job(
    "went_back",
    text("material"),
    whole("count"),
    instant("at"),
    check("count", "count > 0", "a return is 1 carton or more."),
)
new_date = _part_of_job("new_date", text("line"), instant("at"), instant("due", nullable=True), text("because"))
lot_use = _part_of_job(
    "lot_use",
    text("material"),
    text("lot"),
    nested("rooms"),
    text("because"),
    UniqueConstraint("job", "material", "lot"),
)
how_far = _part_of_job(
    "how_far",
    whole("task"),
    instant("at"),
    number("done"),
    number("whole"),
    text("unit"),
    refers(["job", "task"], ["task.job", "task.number"]),
    check("done", "done BETWEEN 0 AND whole", "no more is done of a task than there is."),
)
crew_hours = _part_of_job(
    "crew_hours",
    text("crew"),
    instant("start"),
    instant("stop"),
    whole("people"),
    whole("break_min"),
    whole("wait_min"),
    text("wait_why"),
    UniqueConstraint("job", "crew", "start"),
    check("stop", "stop > start", "a crew stops after it started, not before."),
    check("people", "people > 0", "a crew is 1 person or more."),
    check("wait_min", "wait_min >= 0", "a crew waits for no less than no time."),
)
finding = _part_of_job(
    "finding",
    instant("at"),
    text("place"),
    text("what"),
    text("by"),
    text("kind"),
    Column("area_ft2", Float),
    Column("year", Integer),
    nested("photos"),
    nested("holds"),
    text("work"),
    whole("dry_min"),
)
way_taken = _part_of_job(
    "way_taken",
    instant("found_at"),
    text("place"),
    text("kind"),
    text("way"),
    instant("at"),
    text("by"),
    text("because"),
    text("laboratory"),
    day("sampled", nullable=True),
    text("sample"),
    nested("keeps"),
    nested("drops"),
)
walk_through = _part_of_job(
    "walk_through",
    text("walk"),
    instant("at"),
    text("name"),
    text("color"),
    text("direction"),
    text("lot"),
    nested("damage"),
    nested("punch"),
    flag("carton_left"),
    flag("care_sheet"),
)
change_order = _part_of_job(
    "change_order",
    text("what"),
    whole("cents"),
    day("asked"),
    day("agreed", nullable=True),
    text("by"),
    whole("minutes"),
    flag("drafted"),
    day("declined", nullable=True),
    UniqueConstraint("job", "what"),
)
money = _part_of_job("money", text("fact"), day("day"), whole("cents"))
told = _part_of_job("told", instant("at"), day("finish", nullable=True), flag("off"))
small_visit = _part_of_job(
    "small_visit",
    text("kind"),
    text("who"),
    instant("start"),
    whole("minutes"),
    text("why"),
    instant("done_at", nullable=True),
    UniqueConstraint("job", "kind", "start"),
)

air_readings = _part_of_job("air_readings", text("room"), nested("samples"), text("by"), text("meter"))
"""`room` is empty for the whole house. A logger's file is one row, its samples in the order of time."""
reading = _part_of_job(
    "reading",
    text("kind"),
    instant("at"),
    text("room"),
    nested("values"),
    text("material"),
    Column("hours", Float),
    text("by"),
    text("meter"),
    Column("target", Float),
)

# Jobs are named in plans without a foreign key: a plan is what was planned, also of a job that was taken back.
moves = _part_of_job(
    "moves",
    instant("at"),
    nested("pieces"),
    nested("stages"),
    number("cost"),
    number("bound"),
    flag("proved"),
    text("basis"),
    nested("taken_as"),
    flag("given"),
)
"""Furniture stages as they were taken last; those before them are in the change log."""
layout = _part_of_job(
    "layout",
    text("material"),
    instant("at"),
    nested("walls"),
    nested("starts"),
    nested("planks"),
    whole("count"),
    whole("bound"),
    text("basis"),
    nested("anew"),
    UniqueConstraint("job", "material"),
)
"""The layout of a material's planks as it was found last; those before it are in the change log."""
plan = Table(
    "plan",
    metadata,
    whole("number"),
    instant("made_at"),
    instant("until"),
    whole("based_on"),
    flag("withdrawn"),
    flag("proposed"),
    key("number"),
)
plan_block = Table(
    "plan_block",
    metadata,
    whole("plan"),
    whole("position"),
    whole("job"),
    whole("task"),
    nested("tasks"),
    text("phase"),
    whole("stage"),
    text("crew"),
    instant("start"),
    instant("end"),
    text("reason"),
    whole("people"),
    nested("pace"),
    number("spread", nullable=True),
    key("plan", "position"),
    refers(["plan"], ["plan.number"]),
    check("end", '"end" >= start', "a block ends after it starts, not before."),
)
plan_left_out = Table(
    "plan_left_out",
    metadata,
    whole("plan"),
    whole("position"),
    whole("job"),
    nested("tasks"),
    text("why"),
    key("plan", "position"),
    refers(["plan"], ["plan.number"]),
)
pin = Table(
    "pin",
    metadata,
    whole("job"),
    whole("task"),
    text("crew"),
    day("day"),
    key("job", "task"),
    refers(["job", "task"], ["task.job", "task.number"]),
)
"""`crew` without a foreign key: a part of a crew that works by itself for a day is no crew of the shop."""

# `job` without a foreign key: the log outlives what it tells of.
change = Table(
    "change",
    metadata,
    whole("number"),
    instant("at"),
    text("who"),
    text("what"),
    Column("job", Integer),
    Column("caused_by", Integer),
    Column("undoes", Integer),
    flag("undoable"),
    key("number"),
    refers(["caused_by"], ["change.number"]),
    refers(["undoes"], ["change.number"]),
    Index(None, "job"),
    Index(None, "caused_by"),
    Index(None, "undoes"),
)
change_row = Table(
    "change_row",
    metadata,
    whole("change"),
    whole("number"),
    text("table_name"),
    text("key"),
    Column("before", JSON(none_as_null=True)),
    Column("after", JSON(none_as_null=True)),
    key("change", "number"),
    refers(["change"], ["change.number"]),
    Index(None, "table_name", "key"),
)

LOG: Final = frozenset({change.name, change_row.name})
"""Written once, never changed."""
UNLOGGED: Final = frozenset(
    {
        plan_block.name,
        plan_left_out.name,
        shop_records.kept_pace.name,
        shop_records.calendar_event.name,
        shop_records.printed_sheet.name,
    }
)
"""Parts of immutable versions: they are their own history, the log only names the version; what is no fact at all; and
what calendars and printed sheets said, which no undo can unsay."""
BOOKKEEPING: Final = frozenset({"version", "last_part"})
"""Columns that only ever rise: no fact of the trade, so an undo leaves them."""
PRIVATE: Final = frozenset({("customer", "phone"), ("customer", "mail"), ("site", "entry_notes")})
"""Columns whose values never reach the change log."""


def row_key(table: Table, row: dict[str, Any]) -> tuple[Any, ...]:
    """Return the primary key of a row."""
    return tuple(row[column.name] for column in table.primary_key.columns)
