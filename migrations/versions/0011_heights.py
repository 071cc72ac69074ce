"""How thick a material is and of what wood, what is free under a door, how high a flange and a counter are, which rooms stairs lead to."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Nothing of it was measured yet."""
    for table, names in (("material", ["thickness"]), ("opening", ["gap"]), ("room", ["flange", "under_counter"])):
        with op.batch_alter_table(table, recreate="always") as batch:
            for name in names:
                batch.add_column(sa.Column(name, sa.Integer(), nullable=True))
    with op.batch_alter_table("material", recreate="always") as batch:
        batch.add_column(sa.Column("species", sa.Text(), nullable=False, server_default=""))
        batch.add_column(sa.Column("cut", sa.Text(), nullable=False, server_default="flat"))
    with op.batch_alter_table("material", recreate="always") as batch:
        batch.alter_column("species", server_default=None)
        batch.alter_column("cut", server_default=None)
    with op.batch_alter_table("stairs", recreate="always") as batch:
        batch.add_column(sa.Column("between", sa.JSON(), nullable=False, server_default="[]"))
    with op.batch_alter_table("stairs", recreate="always") as batch:
        batch.alter_column("between", server_default=None)
