"""That everybody was told of a job called off: a telling without a day of the finish."""

import sqlalchemy as sa
from alembic import op

revision = "0019"
down_revision = "0018"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """What was told so far is a day."""
    with op.batch_alter_table("told", recreate="always") as batch:
        batch.alter_column("finish", existing_type=sa.Date(), nullable=True)
