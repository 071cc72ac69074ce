"""Findings of a kind, with area, year, photos, the tasks they hold and the work they add; the ways on; drafts of change orders."""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Findings that are there have no kind and hold nothing by themselves, as before."""
    with op.batch_alter_table("finding", recreate="always") as batch:
        batch.add_column(sa.Column("kind", sa.Text(), nullable=False, server_default=""))
        batch.add_column(sa.Column("area_ft2", sa.Float(), nullable=True))
        batch.add_column(sa.Column("year", sa.Integer(), nullable=True))
        batch.add_column(sa.Column("photos", sa.JSON(), nullable=False, server_default="[]"))
        batch.add_column(sa.Column("holds", sa.JSON(), nullable=False, server_default="[]"))
        batch.add_column(sa.Column("work", sa.Text(), nullable=False, server_default=""))
        batch.add_column(sa.Column("dry_min", sa.Integer(), nullable=False, server_default="0"))
    with op.batch_alter_table("finding", recreate="always") as batch:
        for name in ("kind", "photos", "holds", "work", "dry_min"):
            batch.alter_column(name, server_default=None)
    with op.batch_alter_table("change_order", recreate="always") as batch:
        batch.add_column(sa.Column("minutes", sa.Integer(), nullable=False, server_default="0"))
        batch.add_column(sa.Column("drafted", sa.Boolean(), nullable=False, server_default=sa.false()))
    with op.batch_alter_table("change_order", recreate="always") as batch:
        for name in ("minutes", "drafted"):
            batch.alter_column(name, server_default=None)
    with op.batch_alter_table("shop", recreate="always") as batch:
        batch.add_column(sa.Column("hour_cents", sa.Integer(), nullable=False, server_default="0"))
    with op.batch_alter_table("shop", recreate="always") as batch:
        batch.alter_column("hour_cents", server_default=None)
    op.create_table(
        "way_taken",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("found_at", sa.String(27), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("way", sa.Text(), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("because", sa.Text(), nullable=False),
        sa.Column("laboratory", sa.Text(), nullable=False),
        sa.Column("sampled", sa.Date(), nullable=True),
        sa.Column("sample", sa.Text(), nullable=False),
        sa.Column("keeps", sa.JSON(), nullable=False),
        sa.Column("drops", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_way_taken")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_way_taken_job_job"), initially="DEFERRED", deferrable=True
        ),
    )
