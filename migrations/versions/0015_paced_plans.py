"""The pace by which each block of a plan is planned, and how far its crew's work there may be off."""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Plans made so far are by the book and by the spread of its estimates."""
    with op.batch_alter_table("plan_block", recreate="always") as batch:
        batch.add_column(sa.Column("pace", sa.JSON(), nullable=False, server_default="[]"))
        batch.add_column(sa.Column("spread", sa.Float(), nullable=True))
    with op.batch_alter_table("plan_block", recreate="always") as batch:
        batch.alter_column("pace", server_default=None)
