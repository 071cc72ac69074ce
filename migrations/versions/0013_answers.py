"""Answers nobody promised but that are usual, what a customer said no to, and work under the present floor."""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """What was asked so far was promised by somebody, nothing was declined, and no work was under a floor."""
    with op.batch_alter_table("waiting_on", recreate="always") as batch:
        batch.add_column(sa.Column("usual", sa.Boolean(), nullable=False, server_default=sa.false()))
    with op.batch_alter_table("waiting_on", recreate="always") as batch:
        batch.alter_column("usual", server_default=None)
    with op.batch_alter_table("extra_work", recreate="always") as batch:
        batch.add_column(sa.Column("under", sa.Boolean(), nullable=False, server_default=sa.false()))
    with op.batch_alter_table("extra_work", recreate="always") as batch:
        batch.alter_column("under", server_default=None)
    with op.batch_alter_table("change_order", recreate="always") as batch:
        batch.add_column(sa.Column("declined", sa.Date(), nullable=True))
