"""What is kept in a room and where openings lead, beds a night, where rows begin, and furniture stages."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Rooms that are there may keep anything and have power; where their openings lead within a room was not said.

    Beds a night and where rows begin were not said either; no job has furniture stages yet.
    """
    _added("job", sa.Column("starts", sa.JSON(), nullable=False, server_default="[]"))
    with op.batch_alter_table("site", recreate="always") as batch:
        batch.add_column(sa.Column("beds", sa.Integer(), nullable=True))
    _added("room", sa.Column("keeps", sa.Text(), nullable=False, server_default="anything"))
    _added("room", sa.Column("power", sa.Boolean(), nullable=False, server_default=sa.true()))
    _added("opening", sa.Column("parts", sa.JSON(), nullable=False, server_default='["", ""]'))
    with op.batch_alter_table("opening", recreate="always") as batch:
        batch.add_column(sa.Column("distance", sa.Integer(), nullable=True))
    _added("opening", sa.Column("steps", sa.Integer(), nullable=False, server_default="0"))
    with op.batch_alter_table("opening", recreate="always") as batch:
        batch.create_check_constraint(op.f("ck_opening_steps"), "steps >= 0")
    op.create_table(
        "moves",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("pieces", sa.JSON(), nullable=False),
        sa.Column("stages", sa.JSON(), nullable=False),
        sa.Column("cost", sa.Float(), nullable=False),
        sa.Column("bound", sa.Float(), nullable=False),
        sa.Column("proved", sa.Boolean(), nullable=False),
        sa.Column("basis", sa.Text(), nullable=False),
        sa.Column("taken_as", sa.JSON(), nullable=False),
        sa.Column("given", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_moves")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_moves_job_job"), initially="DEFERRED", deferrable=True
        ),
    )


def _added(table: str, column: sa.Column) -> None:
    """Add a column that every row of a table has; what is there gets the given value, what comes says its own."""
    with op.batch_alter_table(table, recreate="always") as batch:
        batch.add_column(column)
    with op.batch_alter_table(table, recreate="always") as batch:
        batch.alter_column(column.name, server_default=None)
