"""Waiting among a crew's hours, rates pinned by hand, and the learned pace kept beside the records."""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Of the hours that are there nobody said that any were waiting; no rate was pinned, no pace was kept."""
    with op.batch_alter_table("crew_hours", recreate="always") as batch:
        batch.add_column(sa.Column("wait_min", sa.Integer(), nullable=False, server_default="0"))
        batch.add_column(sa.Column("wait_why", sa.Text(), nullable=False, server_default=""))
        batch.create_check_constraint(op.f("ck_crew_hours_wait_min"), "wait_min >= 0")
    with op.batch_alter_table("crew_hours", recreate="always") as batch:
        for name in ("wait_min", "wait_why"):
            batch.alter_column(name, server_default=None)
    op.create_table(
        "rate_pin",
        sa.Column("crew", sa.Text(), nullable=False),
        sa.Column("template", sa.Text(), nullable=False),
        sa.Column("factor", sa.Float(), nullable=False),
        sa.PrimaryKeyConstraint("crew", "template", name=op.f("pk_rate_pin")),
        sa.CheckConstraint("factor > 0", name=op.f("ck_rate_pin_factor")),
    )
    op.create_table(
        "kept_pace",
        sa.Column("part", sa.Text(), nullable=False),
        sa.Column("kept", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("part", name=op.f("pk_kept_pace")),
    )
