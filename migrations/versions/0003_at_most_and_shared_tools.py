"""What must start before a wait runs too long, and the tools that crews share."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Give links a wait at most (none for those that are there) and the shop its shared tools (none so far)."""
    with op.batch_alter_table("link", recreate="always") as batch:
        batch.add_column(sa.Column("most_min", sa.Integer(), nullable=True))
        batch.create_check_constraint(op.f("ck_link_most_min"), "most_min >= wait_min")
    with op.batch_alter_table("shop", recreate="always") as batch:
        batch.add_column(sa.Column("tools", sa.JSON(), nullable=False, server_default="[]"))
    with op.batch_alter_table("shop", recreate="always") as batch:
        batch.alter_column("tools", server_default=None)
