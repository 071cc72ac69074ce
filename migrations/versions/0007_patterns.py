"""How planks lie to each other, boards of random lengths, and the joint between tiles."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Materials that are there lie in straight rows of planks of one length; what comes says its own."""
    with op.batch_alter_table("material", recreate="always") as batch:
        batch.add_column(sa.Column("pattern", sa.Text(), nullable=False, server_default="straight"))
        batch.add_column(sa.Column("lengths", sa.JSON(), nullable=False, server_default="[]"))
        batch.add_column(sa.Column("joint", sa.Integer(), nullable=True))
    with op.batch_alter_table("material", recreate="always") as batch:
        batch.alter_column("pattern", server_default=None)
        batch.alter_column("lengths", server_default=None)
