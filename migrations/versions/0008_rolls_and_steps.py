"""How long the pattern of sheet goods is, and of how many pieces a narrow strip of them may be made up; how wide steps are."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Of materials that are there no pattern has to match, and strips are whole; of stairs it was not said."""
    with op.batch_alter_table("material", recreate="always") as batch:
        batch.add_column(sa.Column("repeat", sa.Integer(), nullable=True))
        batch.add_column(sa.Column("fill", sa.Integer(), nullable=False, server_default="1"))
    with op.batch_alter_table("material", recreate="always") as batch:
        batch.alter_column("fill", server_default=None)
    with op.batch_alter_table("stairs", recreate="always") as batch:
        batch.add_column(sa.Column("width", sa.Integer(), nullable=True))
