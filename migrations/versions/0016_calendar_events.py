"""What calendar files said last of each event, so that the next file changes and does not double."""

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """No calendar was written so far."""
    op.create_table(
        "calendar_event",
        sa.Column("calendar", sa.Text(), nullable=False),
        sa.Column("uid", sa.Text(), nullable=False),
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("tasks", sa.JSON(), nullable=False),
        sa.Column("start", sa.String(27), nullable=False),
        sa.Column("end", sa.String(27), nullable=False),
        sa.Column("day", sa.Date(), nullable=True),
        sa.Column("summary", sa.Text(), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("cancelled", sa.Boolean(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("changed_at", sa.String(27), nullable=False),
        sa.PrimaryKeyConstraint("calendar", "uid", name=op.f("pk_calendar_event")),
        sa.CheckConstraint("sequence >= 0", name=op.f("ck_calendar_event_sequence")),
    )
