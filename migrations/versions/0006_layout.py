"""How rows, joists and light run in a room, what is laid around, where openings are, a plank's own rules, and layouts."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Of rooms, openings and materials that are there none of it was said; a doorway is as deep as usual (4 1/2 in). No job has
    a layout yet."""
    _added("room", sa.Column("joists", sa.Text(), nullable=False, server_default=""))
    _added("room", sa.Column("rows", sa.Text(), nullable=False, server_default=""))
    _added("room", sa.Column("start_wall", sa.Integer(), nullable=False, server_default="0"))
    _added("room", sa.Column("window_wall", sa.Integer(), nullable=False, server_default="0"))
    _added("room", sa.Column("obstacles", sa.JSON(), nullable=False, server_default="[]"))
    _added("room", sa.Column("cut_outs", sa.JSON(), nullable=False, server_default="[]"))
    _added("opening", sa.Column("walls", sa.JSON(), nullable=False, server_default="[0, 0]"))
    _added("opening", sa.Column("offsets", sa.JSON(), nullable=False, server_default="[0, 0]"))
    _added("opening", sa.Column("throat", sa.Integer(), nullable=False, server_default="18288"))
    with op.batch_alter_table("material", recreate="always") as batch:
        batch.add_column(sa.Column("in_carton", sa.Integer(), nullable=True))
        batch.add_column(sa.Column("shortest", sa.Integer(), nullable=True))
        batch.add_column(sa.Column("stagger", sa.Integer(), nullable=True))
        batch.add_column(sa.Column("gap", sa.Integer(), nullable=True))
        batch.add_column(sa.Column("pail_ft2", sa.Float(), nullable=True))
    op.create_table(
        "layout",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("walls", sa.JSON(), nullable=False),
        sa.Column("starts", sa.JSON(), nullable=False),
        sa.Column("planks", sa.JSON(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("bound", sa.Integer(), nullable=False),
        sa.Column("basis", sa.Text(), nullable=False),
        sa.Column("anew", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("job", "number", name=op.f("pk_layout")),
        sa.ForeignKeyConstraint(
            ["job"], ["job.number"], name=op.f("fk_layout_job_job"), initially="DEFERRED", deferrable=True
        ),
        sa.UniqueConstraint("job", "material", name=op.f("uq_layout_job_material")),
    )


def _added(table: str, column: sa.Column) -> None:
    """Add a column that every row of a table has; what is there gets the given value, what comes says its own."""
    with op.batch_alter_table(table, recreate="always") as batch:
        batch.add_column(column)
    with op.batch_alter_table(table, recreate="always") as batch:
        batch.alter_column(column.name, server_default=None)
