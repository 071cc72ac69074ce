"""Whether a telling without a day was that the job is called off, or that no day of it is known."""

import sqlalchemy as sa
from alembic import op

revision = "0020"
down_revision = "0019"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Of a job that is called off now a telling without a day was of that; of any other nobody knows it any more."""
    with op.batch_alter_table("told", recreate="always") as batch:
        batch.add_column(sa.Column("off", sa.Boolean(), nullable=False, server_default=sa.false()))
    op.execute(
        "UPDATE told SET off = 1 WHERE finish IS NULL AND job IN (SELECT number FROM job WHERE state = 'called off')"
    )
    with op.batch_alter_table("told", recreate="always") as batch:
        batch.alter_column("off", server_default=None)
