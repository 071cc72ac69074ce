"""A crew's hours on one day in the place of its usual ones."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table; no crew of a shop that is there has other hours on a day yet."""
    op.create_table(
        "day_hours",
        sa.Column("crew", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("spans", sa.JSON(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("crew", "day", name=op.f("pk_day_hours")),
    )
