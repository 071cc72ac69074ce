"""House ready, goods and lots, who else is waited for, evening facts, people away, money, small visits."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables of what is asked, said and seen around a job, and give old rows what they lack."""
    op.create_table(
        "away",
        sa.Column("crew", sa.Text(), nullable=False),
        sa.Column("worker", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("to", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("crew", "worker", "day", name=op.f("pk_away")),
    )
    op.create_table(
        "change_order",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("cents", sa.Integer(), nullable=False),
        sa.Column("asked", sa.Date(), nullable=False),
        sa.Column("agreed", sa.Date(), nullable=True),
        sa.Column("by", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_change_order_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_change_order")),
        sa.UniqueConstraint("job", "what", name=op.f("uq_change_order_job_what")),
    )
    op.create_table(
        "crew_hours",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("crew", sa.Text(), nullable=False),
        sa.Column("start", sa.String(length=27), nullable=False),
        sa.Column("stop", sa.String(length=27), nullable=False),
        sa.Column("people", sa.Integer(), nullable=False),
        sa.Column("break_min", sa.Integer(), nullable=False),
        sa.CheckConstraint("people > 0", name=op.f("ck_crew_hours_people")),
        sa.CheckConstraint("stop > start", name=op.f("ck_crew_hours_stop")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_crew_hours_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_crew_hours")),
        sa.UniqueConstraint("job", "crew", "start", name=op.f("uq_crew_hours_job_crew_start")),
    )
    op.create_table(
        "dry_run",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("crew", sa.Text(), nullable=False),
        sa.Column("because", sa.Text(), nullable=False),
        sa.Column("item", sa.Text(), nullable=True),
        sa.CheckConstraint("because <> ''", name=op.f("ck_dry_run_because")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_dry_run_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_dry_run")),
    )
    op.create_table(
        "extra_work",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("people", sa.Integer(), nullable=False),
        sa.Column("needs", sa.Text(), nullable=False),
        sa.CheckConstraint("minutes > 0", name=op.f("ck_extra_work_minutes")),
        sa.CheckConstraint("people > 0", name=op.f("ck_extra_work_people")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_extra_work_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_extra_work")),
        sa.UniqueConstraint("job", "what", "place", name=op.f("uq_extra_work_job_what_place")),
    )
    op.create_table(
        "finding",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_finding_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_finding")),
    )
    op.create_table(
        "goods_come",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("line", sa.Text(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.CheckConstraint("count > 0", name=op.f("ck_goods_come_count")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_goods_come_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_goods_come")),
    )
    op.create_table(
        "goods_line",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("goods", sa.Text(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("ordered", sa.Date(), nullable=True),
        sa.Column("due", sa.String(length=27), nullable=True),
        sa.Column("special", sa.Boolean(), nullable=False),
        sa.CheckConstraint("count > 0", name=op.f("ck_goods_line_count")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_goods_line_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_goods_line")),
        sa.UniqueConstraint("job", "goods", "place", name=op.f("uq_goods_line_job_goods_place")),
    )
    op.create_table(
        "lot_use",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("lot", sa.Text(), nullable=False),
        sa.Column("rooms", sa.JSON(), nullable=False),
        sa.Column("because", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_lot_use_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_lot_use")),
        sa.UniqueConstraint("job", "material", "lot", name=op.f("uq_lot_use_job_material_lot")),
    )
    op.create_table(
        "money",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("fact", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("cents", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_money_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_money")),
    )
    op.create_table(
        "new_date",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("line", sa.Text(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("due", sa.String(length=27), nullable=True),
        sa.Column("because", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_new_date_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_new_date")),
    )
    op.create_table(
        "ready_answer",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("item", sa.Text(), nullable=False),
        sa.Column("ready", sa.Boolean(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("until", sa.String(length=27), nullable=True),
        sa.Column("since", sa.String(length=27), nullable=True),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_ready_answer_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_ready_answer")),
    )
    op.create_table(
        "ready_asked",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("of", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_ready_asked_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_ready_asked")),
    )
    op.create_table(
        "small_visit",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("start", sa.String(length=27), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("done_at", sa.String(length=27), nullable=True),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_small_visit_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_small_visit")),
        sa.UniqueConstraint("job", "kind", "start", name=op.f("uq_small_visit_job_kind_start")),
    )
    op.create_table(
        "told",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("finish", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_told_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_told")),
    )
    op.create_table(
        "waiting_on",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("asked", sa.Date(), nullable=False),
        sa.Column("promised", sa.String(length=27), nullable=True),
        sa.Column("chased", sa.JSON(), nullable=False),
        sa.Column("holds", sa.JSON(), nullable=False),
        sa.Column("came_at", sa.String(length=27), nullable=True),
        sa.Column("asked_at", sa.String(length=27), nullable=True),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_waiting_on_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_waiting_on")),
        sa.UniqueConstraint("job", "who", "what", name=op.f("uq_waiting_on_job_who_what")),
    )
    op.create_table(
        "walk_through",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("walk", sa.Text(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("color", sa.Text(), nullable=False),
        sa.Column("direction", sa.Text(), nullable=False),
        sa.Column("lot", sa.Text(), nullable=False),
        sa.Column("damage", sa.JSON(), nullable=False),
        sa.Column("punch", sa.JSON(), nullable=False),
        sa.Column("carton_left", sa.Boolean(), nullable=False),
        sa.Column("care_sheet", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_walk_through_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_walk_through")),
    )
    op.create_table(
        "how_far",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("task", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("done", sa.Float(), nullable=False),
        sa.Column("whole", sa.Float(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.CheckConstraint("done BETWEEN 0 AND whole", name=op.f("ck_how_far_done")),
        sa.ForeignKeyConstraint(
            ["job", "task"],
            ["task.job", "task.number"],
            name=op.f("fk_how_far_job_task_task"),
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_how_far_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_how_far")),
    )
    op.create_table(
        "went_back",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.CheckConstraint("count > 0", name=op.f("ck_went_back_count")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_went_back_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_went_back")),
    )
    with op.batch_alter_table("job", recreate="always") as batch:
        batch.add_column(sa.Column("callback_of", sa.Integer(), nullable=True))
        batch.create_check_constraint(op.f("ck_job_callback_of"), "callback_of <> number")
        batch.create_foreign_key(
            op.f("fk_job_callback_of_job"), "job", ["callback_of"], ["number"], initially="DEFERRED", deferrable=True
        )
    _add("crew", sa.Column("sub", sa.JSON(), nullable=True))
    _add(
        "lot",
        sa.Column("checked_at", sa.String(length=27), nullable=True),
        sa.Column("damaged", sa.Integer(), nullable=False, server_default="0"),
        sa.Column("color_differs", sa.Boolean(), nullable=False, server_default="0"),
    )
    with op.batch_alter_table("lot") as batch:
        batch.create_check_constraint(op.f("ck_lot_damaged"), "damaged BETWEEN 0 AND cartons")
    _add("order_line", sa.Column("special", sa.Boolean(), nullable=False, server_default="0"))
    with op.batch_alter_table("pin", recreate="always") as batch:
        batch.drop_constraint(op.f("fk_pin_crew_crew"), type_="foreignkey")
    _add("plan_block", sa.Column("people", sa.Integer(), nullable=False, server_default="0"))
    _add("shop", sa.Column("lead", sa.JSON(), nullable=True))
    _add(
        "site",
        sa.Column("elevator", sa.JSON(), nullable=True),
        sa.Column("toilet_meanwhile", sa.Text(), nullable=False, server_default=""),
    )
    _add(
        "task",
        sa.Column("needs_goods", sa.Text(), nullable=True),
        sa.Column("card", sa.Text(), nullable=False, server_default=""),
        sa.Column("elevator", sa.Boolean(), nullable=False, server_default="0"),
    )
    _add("worker", sa.Column("cards", sa.JSON(), nullable=False, server_default="[]"))


def _add(table: str, *columns: sa.Column[object]) -> None:
    """Add columns; a default is only for the rows that are there."""
    with op.batch_alter_table(table, recreate="always") as batch:
        for column in columns:
            batch.add_column(column)
    with op.batch_alter_table(table, recreate="always") as batch:
        for column in columns:
            if column.server_default is not None:
                batch.alter_column(column.name, server_default=None)
