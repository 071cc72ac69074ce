"""The first tables: shop, crews, jobs with what happened to them, plans, pins, the change log."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "change",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("job", sa.Integer(), nullable=True),
        sa.Column("caused_by", sa.Integer(), nullable=True),
        sa.Column("undoes", sa.Integer(), nullable=True),
        sa.Column("undoable", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["caused_by"],
            ["change.number"],
            name=op.f("fk_change_caused_by_change"),
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.ForeignKeyConstraint(
            ["undoes"], ["change.number"], name=op.f("fk_change_undoes_change"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_change")),
    )
    op.create_index(op.f("ix_change_caused_by"), "change", ["caused_by"], unique=False)
    op.create_index(op.f("ix_change_job"), "change", ["job"], unique=False)
    op.create_index(op.f("ix_change_undoes"), "change", ["undoes"], unique=False)
    op.create_table(
        "crew",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("hours", sa.JSON(), nullable=False),
        sa.Column("skills", sa.JSON(), nullable=False),
        sa.Column("truck", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_crew")),
    )
    op.create_table(
        "holiday", sa.Column("day", sa.Date(), nullable=False), sa.PrimaryKeyConstraint("day", name=op.f("pk_holiday"))
    )
    op.create_table(
        "job",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("wished", sa.Date(), nullable=True),
        sa.Column("promised", sa.Date(), nullable=True),
        sa.Column("weight", sa.Integer(), nullable=False),
        sa.Column("blocked", sa.JSON(), nullable=False),
        sa.Column("stages", sa.JSON(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("last_part", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "state IN ('asked', 'quoted', 'booked', 'done', 'closed', 'called off')", name=op.f("ck_job_state")
        ),
        sa.CheckConstraint("number > 0", name=op.f("ck_job_number")),
        sa.CheckConstraint("weight > 0", name=op.f("ck_job_weight")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_job")),
    )
    op.create_index(op.f("ix_job_state"), "job", ["state"], unique=False)
    op.create_table(
        "plan",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(length=27), nullable=False),
        sa.Column("until", sa.String(length=27), nullable=False),
        sa.Column("based_on", sa.Integer(), nullable=False),
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_plan")),
    )
    op.create_table(
        "shop",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("units", sa.Text(), nullable=False),
        sa.Column("paper", sa.Text(), nullable=False),
        sa.Column("phone", sa.Text(), nullable=False),
        sa.Column("hours", sa.JSON(), nullable=False),
        sa.Column("demo", sa.Boolean(), nullable=False),
        sa.CheckConstraint("paper IN ('letter', 'a4')", name=op.f("ck_shop_paper")),
        sa.CheckConstraint("units IN ('us', 'metric')", name=op.f("ck_shop_units")),
        sa.CheckConstraint("id = 1", name=op.f("ck_shop_single")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop")),
    )
    op.create_table(
        "template_override",
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("fields", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_template_override")),
    )
    op.create_table(
        "change_row",
        sa.Column("change", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("table_name", sa.Text(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("before", sa.JSON(), nullable=True),
        sa.Column("after", sa.JSON(), nullable=True),
        sa.ForeignKeyConstraint(
            ["change"],
            ["change.number"],
            name=op.f("fk_change_row_change_change"),
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.PrimaryKeyConstraint("change", "number", name=op.f("pk_change_row")),
    )
    op.create_index(op.f("ix_change_row_table_name_key"), "change_row", ["table_name", "key"], unique=False)
    op.create_table(
        "crew_day_off",
        sa.Column("crew", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(
            ["crew"], ["crew.name"], name=op.f("fk_crew_day_off_crew_crew"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("crew", "day", name=op.f("pk_crew_day_off")),
    )
    op.create_table(
        "customer",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("phone", sa.Text(), nullable=False),
        sa.Column("mail", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_customer_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", name=op.f("pk_customer")),
    )
    op.create_table(
        "material",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("method", sa.Text(), nullable=False),
        sa.Column("plank_width", sa.Integer(), nullable=False),
        sa.Column("plank_length", sa.Integer(), nullable=False),
        sa.Column("carton_ft2", sa.Float(), nullable=False),
        sa.Column("acclimation_min", sa.Integer(), nullable=False),
        sa.Column("carton_lb", sa.Float(), nullable=True),
        sa.CheckConstraint("acclimation_min >= 0", name=op.f("ck_material_acclimation_min")),
        sa.CheckConstraint("carton_ft2 > 0", name=op.f("ck_material_carton_ft2")),
        sa.CheckConstraint("carton_lb > 0", name=op.f("ck_material_carton_lb")),
        sa.CheckConstraint("plank_width > 0 AND plank_length > 0", name=op.f("ck_material_plank")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_material_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_material")),
        sa.UniqueConstraint("job", "name", name=op.f("uq_material_job_name")),
    )
    op.create_table(
        "opening",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("between", sa.JSON(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("door", sa.Boolean(), nullable=False),
        sa.Column("transition", sa.Text(), nullable=False),
        sa.Column("rated", sa.Boolean(), nullable=False),
        sa.CheckConstraint("width > 0", name=op.f("ck_opening_width")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_opening_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_opening")),
    )
    op.create_table(
        "plan_block",
        sa.Column("plan", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("task", sa.Integer(), nullable=False),
        sa.Column("tasks", sa.JSON(), nullable=False),
        sa.Column("phase", sa.Text(), nullable=False),
        sa.Column("stage", sa.Integer(), nullable=False),
        sa.Column("crew", sa.Text(), nullable=False),
        sa.Column("start", sa.String(length=27), nullable=False),
        sa.Column("end", sa.String(length=27), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.CheckConstraint('"end" >= start', name=op.f("ck_plan_block_end")),
        sa.ForeignKeyConstraint(
            ["plan"], ["plan.number"], name=op.f("fk_plan_block_plan_plan"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("plan", "position", name=op.f("pk_plan_block")),
    )
    op.create_table(
        "plan_left_out",
        sa.Column("plan", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("tasks", sa.JSON(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["plan"], ["plan.number"], name=op.f("fk_plan_left_out_plan_plan"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("plan", "position", name=op.f("pk_plan_left_out")),
    )
    op.create_table(
        "site",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("year_built", sa.Integer(), nullable=True),
        sa.Column("occupied", sa.Boolean(), nullable=False),
        sa.Column("flights_up", sa.Integer(), nullable=False),
        sa.Column("grade", sa.Text(), nullable=False),
        sa.Column("parking", sa.Text(), nullable=False),
        sa.Column("pets", sa.Text(), nullable=False),
        sa.Column("key_with", sa.Text(), nullable=False),
        sa.Column("crew_toilet", sa.Boolean(), nullable=False),
        sa.Column("drive_min", sa.Integer(), nullable=False),
        sa.Column("hours", sa.JSON(), nullable=True),
        sa.Column("entry_notes", sa.Text(), nullable=False),
        sa.CheckConstraint("drive_min >= 0", name=op.f("ck_site_drive_min")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_site_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", name=op.f("pk_site")),
    )
    op.create_table(
        "task",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("template", sa.Text(), nullable=False),
        sa.Column("scope_kind", sa.Text(), nullable=False),
        sa.Column("scope_name", sa.Text(), nullable=False),
        sa.Column("scope_part", sa.Text(), nullable=False),
        sa.Column("cause", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("phase", sa.Text(), nullable=False),
        sa.Column("stage", sa.Integer(), nullable=False),
        sa.Column("quantity", sa.Float(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("low", sa.Float(), nullable=False),
        sa.Column("likely", sa.Float(), nullable=False),
        sa.Column("high", sa.Float(), nullable=False),
        sa.Column("people", sa.Integer(), nullable=False),
        sa.Column("least_people", sa.Integer(), nullable=False),
        sa.Column("pause", sa.Text(), nullable=False),
        sa.Column("skill", sa.Text(), nullable=True),
        sa.Column("needs_material", sa.Text(), nullable=True),
        sa.Column("started_at", sa.String(length=27), nullable=True),
        sa.Column("done_at", sa.String(length=27), nullable=True),
        sa.Column("not_needed", sa.Boolean(), nullable=False),
        sa.Column("crew", sa.Text(), nullable=False),
        sa.CheckConstraint("0 <= low AND low <= likely AND likely <= high", name=op.f("ck_task_estimate")),
        sa.CheckConstraint("1 <= least_people AND least_people <= people", name=op.f("ck_task_people")),
        sa.CheckConstraint("done_at >= started_at", name=op.f("ck_task_done_at")),
        sa.CheckConstraint("quantity >= 0", name=op.f("ck_task_quantity")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_task_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_task")),
        sa.UniqueConstraint(
            "job",
            "template",
            "scope_kind",
            "scope_name",
            "scope_part",
            "cause",
            name=op.f("uq_task_job_template_scope_kind_scope_name_scope_part_cause"),
        ),
    )
    op.create_index(op.f("ix_task_job_not_needed_done_at"), "task", ["job", "not_needed", "done_at"], unique=False)
    op.create_table(
        "worker",
        sa.Column("crew", sa.Text(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("lead", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["crew"], ["crew.name"], name=op.f("fk_worker_crew_crew"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("crew", "position", name=op.f("pk_worker")),
    )
    op.create_table(
        "hold_passed",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("task", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("because", sa.Text(), nullable=False),
        sa.Column("seen", sa.JSON(), nullable=False),
        sa.CheckConstraint("because <> ''", name=op.f("ck_hold_passed_because")),
        sa.ForeignKeyConstraint(
            ["job", "task"],
            ["task.job", "task.number"],
            name=op.f("fk_hold_passed_job_task_task"),
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_hold_passed_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_hold_passed")),
    )
    op.create_table(
        "link",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("before", sa.Integer(), nullable=False),
        sa.Column("after", sa.Integer(), nullable=False),
        sa.Column("wait_min", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.CheckConstraint("before <> after", name=op.f("ck_link_two")),
        sa.CheckConstraint("wait_min >= 0", name=op.f("ck_link_wait_min")),
        sa.ForeignKeyConstraint(
            ["job", "after"],
            ["task.job", "task.number"],
            name=op.f("fk_link_job_after_task"),
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.ForeignKeyConstraint(
            ["job", "before"],
            ["task.job", "task.number"],
            name=op.f("fk_link_job_before_task"),
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_link_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_link")),
    )
    op.create_table(
        "lot",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("cartons", sa.Integer(), nullable=False),
        sa.Column("arrived_at", sa.String(length=27), nullable=False),
        sa.Column("moved_in_at", sa.String(length=27), nullable=True),
        sa.CheckConstraint("cartons > 0", name=op.f("ck_lot_cartons")),
        sa.CheckConstraint("moved_in_at >= arrived_at", name=op.f("ck_lot_moved_in_at")),
        sa.ForeignKeyConstraint(
            ["job", "material"],
            ["material.job", "material.name"],
            name=op.f("fk_lot_job_material_material"),
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_lot_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_lot")),
    )
    op.create_table(
        "order_line",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("cartons", sa.Integer(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("ordered", sa.Date(), nullable=True),
        sa.Column("due", sa.String(length=27), nullable=True),
        sa.CheckConstraint("cartons > 0", name=op.f("ck_order_line_cartons")),
        sa.ForeignKeyConstraint(
            ["job", "material"],
            ["material.job", "material.name"],
            name=op.f("fk_order_line_job_material_material"),
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_order_line_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_order_line")),
    )
    op.create_table(
        "pin",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("task", sa.Integer(), nullable=False),
        sa.Column("crew", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(
            ["crew"], ["crew.name"], name=op.f("fk_pin_crew_crew"), initially="DEFERRED", deferrable=True
        ),
        sa.ForeignKeyConstraint(
            ["job", "task"],
            ["task.job", "task.number"],
            name=op.f("fk_pin_job_task_task"),
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.PrimaryKeyConstraint("job", "task", name=op.f("pk_pin")),
    )
    op.create_table(
        "room",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("outline", sa.JSON(), nullable=False),
        sa.Column("storey", sa.Integer(), nullable=False),
        sa.Column("layers", sa.JSON(), nullable=False),
        sa.Column("subfloor", sa.Text(), nullable=False),
        sa.Column("floor", sa.Text(), nullable=True),
        sa.Column("level_ft2", sa.Float(), nullable=False),
        sa.Column("patch_ft2", sa.Float(), nullable=False),
        sa.Column("add_plywood", sa.Boolean(), nullable=False),
        sa.Column("pad", sa.Boolean(), nullable=False),
        sa.Column("trim", sa.Text(), nullable=False),
        sa.Column("painted_trim", sa.Boolean(), nullable=False),
        sa.Column("fixtures", sa.JSON(), nullable=False),
        sa.Column("furniture", sa.JSON(), nullable=False),
        sa.Column("cuts", sa.JSON(), nullable=False),
        sa.CheckConstraint("level_ft2 >= 0", name=op.f("ck_room_level_ft2")),
        sa.CheckConstraint("patch_ft2 >= 0", name=op.f("ck_room_patch_ft2")),
        sa.ForeignKeyConstraint(
            ["job", "floor"],
            ["material.job", "material.name"],
            name=op.f("fk_room_job_floor_material"),
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_room_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_room")),
        sa.UniqueConstraint("job", "name", name=op.f("uq_room_job_name")),
    )
    op.create_table(
        "stairs",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("steps", sa.Integer(), nullable=False),
        sa.Column("flights", sa.Integer(), nullable=False),
        sa.Column("open_ends", sa.Integer(), nullable=False),
        sa.Column("layers", sa.JSON(), nullable=False),
        sa.Column("floor", sa.Text(), nullable=True),
        sa.CheckConstraint("flights > 0", name=op.f("ck_stairs_flights")),
        sa.CheckConstraint("open_ends >= 0", name=op.f("ck_stairs_open_ends")),
        sa.CheckConstraint("steps > 0", name=op.f("ck_stairs_steps")),
        sa.ForeignKeyConstraint(
            ["job", "floor"],
            ["material.job", "material.name"],
            name=op.f("fk_stairs_job_floor_material"),
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_stairs_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_stairs")),
        sa.UniqueConstraint("job", "name", name=op.f("uq_stairs_job_name")),
    )
