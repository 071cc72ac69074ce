"""Which opening of several between the same two rooms it is."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Until now there was one between two rooms at most: none needs telling apart."""
    with op.batch_alter_table("opening", recreate="always") as batch:
        batch.add_column(sa.Column("which", sa.Text(), nullable=False, server_default=""))
    with op.batch_alter_table("opening", recreate="always") as batch:
        batch.alter_column("which", server_default=None)
