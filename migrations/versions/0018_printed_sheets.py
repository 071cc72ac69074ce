"""Which sheets were printed, so that one that says something else has another revision."""

import sqlalchemy as sa
from alembic import op

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """What was printed before is not known."""
    op.create_table(
        "printed_sheet",
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("about", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=True),
        sa.Column("job", sa.Integer(), nullable=True),
        sa.Column("plan", sa.Integer(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("printed_at", sa.String(27), nullable=False),
        sa.PrimaryKeyConstraint("kind", "about", "revision", name=op.f("pk_printed_sheet")),
        sa.CheckConstraint("revision >= 1", name=op.f("ck_printed_sheet_revision")),
    )
