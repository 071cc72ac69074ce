"""What must start before a wait runs too long, shared tools, plans that are only proposed, time kept before promises."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Give links a wait at most (none for those that are there) and the shop its shared tools (none so far).

    Plans that are there are no proposals; half of a job's spread is kept before its promise until the shop says else.
    """
    with op.batch_alter_table("link", recreate="always") as batch:
        batch.add_column(sa.Column("most_min", sa.Integer(), nullable=True))
        batch.create_check_constraint(op.f("ck_link_most_min"), "most_min >= wait_min")
    with op.batch_alter_table("shop", recreate="always") as batch:
        batch.add_column(sa.Column("tools", sa.JSON(), nullable=False, server_default="[]"))
    with op.batch_alter_table("shop", recreate="always") as batch:
        batch.alter_column("tools", server_default=None)
    with op.batch_alter_table("shop", recreate="always") as batch:
        batch.add_column(sa.Column("kept_percent", sa.Integer(), nullable=False, server_default="50"))
        batch.create_check_constraint(op.f("ck_shop_kept_percent"), "kept_percent BETWEEN 0 AND 200")
    with op.batch_alter_table("shop", recreate="always") as batch:
        batch.alter_column("kept_percent", server_default=None)
    with op.batch_alter_table("plan", recreate="always") as batch:
        batch.add_column(sa.Column("proposed", sa.Boolean(), nullable=False, server_default=sa.false()))
    with op.batch_alter_table("plan", recreate="always") as batch:
        batch.alter_column("proposed", server_default=None)
