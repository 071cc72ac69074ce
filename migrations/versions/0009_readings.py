"""Readings of air, wood and slabs; what a material asks of air and slab; the moisture a shop wants in wood."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Materials that are there ask for what is usual of their kind, a shop wants the wood of most of the USA (8 %). Nothing was
    read yet."""
    with op.batch_alter_table("material", recreate="always") as batch:
        batch.add_column(sa.Column("conditions", sa.JSON(none_as_null=True), nullable=True))
        batch.add_column(sa.Column("slab", sa.JSON(none_as_null=True), nullable=True))
    with op.batch_alter_table("shop", recreate="always") as batch:
        batch.add_column(sa.Column("wood_target", sa.Float(), nullable=False, server_default="8.0"))
    with op.batch_alter_table("shop", recreate="always") as batch:
        batch.alter_column("wood_target", server_default=None)
    _part_of_job(
        "air_readings",
        sa.Column("room", sa.Text(), nullable=False),
        sa.Column("samples", sa.JSON(), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("meter", sa.Text(), nullable=False),
    )
    _part_of_job(
        "reading",
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("room", sa.Text(), nullable=False),
        sa.Column("values", sa.JSON(), nullable=False),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("hours", sa.Float(), nullable=True),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("meter", sa.Text(), nullable=False),
        sa.Column("target", sa.Float(), nullable=True),
    )


def _part_of_job(name: str, *columns: sa.Column) -> None:
    op.create_table(
        name,
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        *columns,
        sa.PrimaryKeyConstraint("job", "number", name=op.f(f"pk_{name}")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f(f"fk_{name}_job_job"), initially="DEFERRED", deferrable=True
        ),
    )
