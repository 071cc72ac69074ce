"""What the columns of a list were taken as, so that the next list with the same heading is read the same way."""

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """No list came in so far."""
    op.create_table(
        "list_mapping",
        sa.Column("heading", sa.Text(), nullable=False),
        sa.Column("taken_as", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("heading", name=op.f("pk_list_mapping")),
    )
